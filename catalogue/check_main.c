// check_main.c: the build's own look at the data files: loads a folder as the program will, and fails with every fault's sentence.
//   catalogue_check FOLDER STAMP
#include <stdio.h>

#include "catalogue.h"

int main(int argc, char **argv)
{
    if (argc != 3) {
        fprintf(stderr, "usage: %s FOLDER STAMP\n", argv[0]);
        return 2;
    }
    g_autoptr(GError) error = NULL;
    g_autoptr(thew_catalogue) catalogue = thew_catalogue_load_folder(argv[1], &error);
    if (catalogue == NULL) {
        fprintf(stderr, "%s\n", error->message);
        return 1;
    }
    size_t count;
    thew_catalogue_exercises(catalogue, &count);
    g_autofree char *found = g_strdup_printf("%zu exercises\n", count);
    if (!g_file_set_contents(argv[2], found, -1, &error)) {
        fprintf(stderr, "%s\n", error->message);
        return 1;
    }
    return 0;
}
