// list_sql: everything that the store says to a database, for another one to try.
//   list_sql migrations   each file, in order
//   list_sql statements   a line for each: name, tab, text
#include <stdio.h>
#include <string.h>

#include "store/migrate.h"
#include "store/statements.h"

static void list_migrations(void)
{
    size_t count;
    const thew_embedded *file = thew_migrations(&count);
    for (size_t i = 0; i < count; i++)
        fwrite(file[i].bytes, 1, file[i].size, stdout);
}

static void list_statements(void)
{
    size_t count;
    const thew_sql_list *const *list = thew_statements(&count);
    for (size_t i = 0; i < count; i++)
        for (size_t j = 0; j < list[i]->count; j++)
            printf("%s\t%s\n", list[i]->sql[j].name, list[i]->sql[j].text);
}

int main(int argc, char **argv)
{
    if (argc == 2 && strcmp(argv[1], "migrations") == 0)
        list_migrations();
    else if (argc == 2 && strcmp(argv[1], "statements") == 0)
        list_statements();
    else
        return 2;
    return 0;
}
