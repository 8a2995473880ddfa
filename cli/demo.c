// demo.c: `thew demo`: a studio of invented people to look around in, as a studio's file or as a coach's files.
#include <errno.h>
#include <glib/gstdio.h>
#include <stdio.h>

#include "cli/command.h"
#include "cli/open.h"
#include "demo/stock.h"
#include "demo/write.h"

static const char description[] =
    "Everybody in it is invented, and half a year of training is played by simulated people. The file says\n"
    "of itself that it is a demo. Login and password are shown this once only; the password is random.\n";

static int save_files(const thew_catalogue *catalogue, const char *folder, guint64 seed)
{
    g_autoptr(play_studio) play = play_half_year(catalogue, seed);
    g_autoptr(GString) people = g_string_new(NULL), kit = g_string_new(NULL), diary = g_string_new(NULL), days = g_string_new(NULL);
    const struct {
        const char *name;
        const GString *text;
    } file[] = { { "people.csv", people }, { "kit.csv", kit }, { "diary.csv", diary }, { "days.csv", days } };
    write_people(people);
    write_kit(kit, play);
    write_diary(diary, play);
    write_days(days, play);
    if (g_mkdir_with_parents(folder, 0777) != 0) {
        fprintf(stderr, "thew: %s could not be made: %s\n", folder, g_strerror(errno));
        return THEW_EXIT_REFUSED;
    }
    int status = THEW_EXIT_OK;
    for (gsize f = 0; f < G_N_ELEMENTS(file) && status == THEW_EXIT_OK; f++) {
        g_autofree char *path = g_build_filename(folder, file[f].name, NULL);
        status = thew_output(path, file[f].text->str, file[f].text->len);
    }
    if (status == THEW_EXIT_OK) printf("%s: people.csv, kit.csv, diary.csv, days.csv; all of it invented\n", folder);
    return status;
}

static int make_studio(const thew_catalogue *catalogue, const char *path, guint64 seed)
{
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    g_autofree char *password = NULL;
    if (stock_make(path, catalogue, seed, &password, refusal) != THEW_DONE) return thew_refused(refusal);
    printf("%s: a studio of invented people\nlogin    %s\npassword %s\n", path, STOCK_LOGIN, password);
    return THEW_EXIT_OK;
}

int thew_command_demo(int argc, char **argv)
{
    g_autofree char *path = NULL, *folder = NULL;
    gint64 seed = PLAY_SEED;
    const GOptionEntry entries[] = {
        THEW_STUDIO_OPTION(path),
        { "files", 0, 0, G_OPTION_ARG_FILENAME, &folder, "write a coach's four files into this folder instead", "FOLDER" },
        { "seed", 0, 0, G_OPTION_ARG_INT64, &seed, "another number makes another half year of the same people", "NUMBER" },
        { 0 },
    };
    int status = THEW_EXIT_OK;
    if (!thew_options_parse("demo", NULL, "A studio of invented people to look around in.", description, entries, &argc, &argv,
                            &status))
        return status;
    if (argc != 1) return thew_usage_error("demo", "takes options only; got \"%s\"", argv[1]);
    if (path && folder) return thew_usage_error("demo", "makes a studio's file or, with --files, a coach's files; not both");
    g_autoptr(GError) error = NULL;
    g_autoptr(thew_catalogue) catalogue = thew_catalogue_load(NULL, &error);
    if (!catalogue) {
        fprintf(stderr, "thew: %s\n", error->message);
        return THEW_EXIT_REFUSED;
    }
    return folder ? save_files(catalogue, folder, (guint64)seed) : make_studio(catalogue, thew_studio_file(path), (guint64)seed);
}
