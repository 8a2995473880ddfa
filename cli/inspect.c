// inspect.c: `thew inspect`: whether all that is kept is whole and free of contradictions.
#include <stdio.h>

#include "cli/command.h"
#include "cli/open.h"
#include "store/inspect.h"

static const char description[] =
    "Looks at the file's integrity, every reference, every record against its digest, corrections, versions,\n"
    "odds; changes nothing. What is found is said, a line each, and the exit status is 1.\n";

static int inspect(thew_db *db, const char *path)
{
    g_autoptr(GPtrArray) finding = NULL;
    if (thew_store_inspect(db, &finding) < 0) {
        fprintf(stderr, "thew: %s\n", thew_db_sentence(db));
        return THEW_EXIT_REFUSED;
    }
    for (guint f = 0; f < finding->len; f++)
        printf("%s\n", (const char *)finding->pdata[f]);
    if (finding->len == 0) printf("%s: whole\n", path);
    return finding->len == 0 ? THEW_EXIT_OK : THEW_EXIT_REFUSED;
}

int thew_command_inspect(int argc, char **argv)
{
    g_autofree char *path = NULL;
    const GOptionEntry entries[] = { THEW_STUDIO_OPTION(path), { 0 } };
    int status = THEW_EXIT_OK;
    if (!thew_options_parse("inspect", NULL, "Is all that a studio's file keeps whole?", description, entries, &argc, &argv,
                            &status))
        return status;
    if (argc != 1) return thew_usage_error("inspect", "takes options only; got \"%s\"", argv[1]);
    const char *file = thew_studio_file(path);
    g_autoptr(thew_db) db = NULL;
    if (thew_db_open(file, THEW_DB_READ, &db) < 0) { // also one that could not be worked with
        fprintf(stderr, "thew: %s\n", thew_db_sentence(db));
        return THEW_EXIT_REFUSED;
    }
    return inspect(db, file);
}
