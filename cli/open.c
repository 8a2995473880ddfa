// open.c: see open.h.
#include "cli/open.h"

#include <stdio.h>

#include "cli/command.h"

const thew_actor thew_cli_actor = { "cli", NULL };

const char *thew_studio_file(const char *option)
{
    const char *said = g_getenv("THEW_STUDIO");
    return option ? option : said && *said ? said : "studio.thew";
}

void thew_opened_clear(thew_opened *opened)
{
    g_clear_pointer(&opened->studio, thew_studio_close);
    g_clear_pointer(&opened->catalogue, thew_catalogue_free);
}

int thew_open(const char *option, thew_db_mode mode, thew_opened *opened)
{
    g_autoptr(GError) error = NULL;
    opened->catalogue = thew_catalogue_load(NULL, &error);
    if (!opened->catalogue) {
        fprintf(stderr, "thew: %s\n", error->message);
        return THEW_EXIT_REFUSED;
    }
    const char *path = thew_studio_file(option);
    if (mode != THEW_DB_MAKE && !g_file_test(path, G_FILE_TEST_EXISTS)) {
        fprintf(stderr, "thew: %s: there is no such file; --studio says where it is, thew init makes one\n", path);
        return THEW_EXIT_REFUSED;
    }
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    return thew_studio_open(path, mode, opened->catalogue, &opened->studio, refusal) == THEW_DONE ? THEW_EXIT_OK
                                                                                                  : thew_refused(refusal);
}

int thew_refused(const thew_refusal *refusal)
{
    for (guint f = 0; f < refusal->fault->len; f++) {
        const thew_fault *fault = refusal->fault->pdata[f];
        fprintf(stderr, "thew: %s%s%s\n", *fault->pointer ? fault->pointer + 1 : "", *fault->pointer ? ": " : "", fault->sentence);
    }
    if (refusal->sentence) fprintf(stderr, "thew: %s\n", refusal->sentence);
    return THEW_EXIT_REFUSED;
}
