// backup.c: `thew backup`: a copy of the studio's file, made while others go on writing, and looked at before it counts.
#include <stdio.h>

#include "cli/command.h"
#include "cli/open.h"
#include "store/backup.h"
#include "store/store.h"

static const char description[] =
    "TO is a file that is not there yet. The copy is read back and compared before it gets its name. It is\n"
    "a studio's file like any other: to go on from it, put it in the original's place (with no file of the\n"
    "original's name and -wal or -shm left beside it). It holds what is known of people's health; keep it\n"
    "as safe as the original.\n";

int thew_command_backup(int argc, char **argv)
{
    g_autofree char *path = NULL;
    const GOptionEntry entries[] = { THEW_STUDIO_OPTION(path), { 0 } };
    int status = THEW_EXIT_OK;
    if (!thew_options_parse("backup", "TO", "A verified copy of a studio's file.", description, entries, &argc, &argv, &status))
        return status;
    if (argc != 2) return thew_usage_error("backup", "needs exactly one TO, got %d", argc - 1);
    g_auto(thew_opened) opened = { 0 };
    status = thew_open(path, THEW_DB_READ, &opened);
    if (status != THEW_EXIT_OK) return status;
    thew_store_copied copied;
    if (thew_store_backup(opened.studio->db, argv[1], &copied) < 0) {
        fprintf(stderr, "thew: %s\n", thew_db_sentence(opened.studio->db));
        return THEW_EXIT_REFUSED;
    }
    printf("%s: %d tables, %" G_GINT64_FORMAT " rows, %" G_GINT64_FORMAT " bytes; whole\n", argv[1], copied.tables, copied.rows,
           copied.bytes);
    return THEW_EXIT_OK;
}
