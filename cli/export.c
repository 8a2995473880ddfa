// export.c: `thew export`: all that is kept, or one of the coach's files.
// Knows arguments, folders, files. Leaves to others: what is in them (studio/hand_out.h).
#include <errno.h>
#include <glib/gstdio.h>
#include <stdio.h>
#include <string.h>

#include "cli/command.h"
#include "cli/open.h"
#include "studio/hand_out.h"

static const char description[] =
    "With one of people, kit, diary, days: that file on standard output, as thew import reads it. With\n"
    "--to: everything, the four files among them; contents.txt says what the others are. Exports are\n"
    "noted in the log that the person can see. They hold what is known of people's health: files are made\n"
    "readable for you alone; keep them so.\n";

static int failed(const char *path, const char *why)
{
    fprintf(stderr, "thew: %s could not be written: %s\n", path, why);
    return THEW_EXIT_REFUSED;
}

// Whole or not at all, for nobody else's eyes.
static int save(const char *path, const char *bytes, gsize size)
{
    g_autoptr(GError) error = NULL;
    bool saved = g_file_set_contents_full(path, bytes, (gssize)size, G_FILE_SET_CONTENTS_CONSISTENT | G_FILE_SET_CONTENTS_DURABLE,
                                          0600, &error);
    return saved ? THEW_EXIT_OK : failed(path, error->message);
}

static int save_folder(thew_studio *studio, const char *person, const char *folder)
{
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    g_autoptr(GPtrArray) files = NULL;
    if (thew_hand_out(studio, &thew_cli_actor, person, &files, refusal) != THEW_DONE) return thew_refused(refusal);
    if (g_mkdir_with_parents(folder, 0700) != 0) return failed(folder, g_strerror(errno));
    int status = THEW_EXIT_OK;
    for (guint f = 0; f < files->len && status == THEW_EXIT_OK; f++) {
        const thew_handed *file = files->pdata[f];
        g_autofree char *path = g_build_filename(folder, file->name, NULL);
        status = save(path, file->text->str, file->text->len);
    }
    if (status == THEW_EXIT_OK) printf("%s: %u files\n", folder, files->len);
    return status;
}

static int save_zip(thew_studio *studio, const char *person, const char *path)
{
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    g_autoptr(GBytes) zip = NULL;
    if (thew_hand_out_zip(studio, &thew_cli_actor, person, &zip, refusal) != THEW_DONE) return thew_refused(refusal);
    gsize size;
    const char *bytes = g_bytes_get_data(zip, &size);
    int status = save(path, bytes, size);
    if (status == THEW_EXIT_OK) printf("%s: %" G_GSIZE_FORMAT " bytes\n", path, size);
    return status;
}

static int print_sheet(thew_studio *studio, thew_sheet sheet, const char *person)
{
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    g_autoptr(GString) text = g_string_new(NULL);
    if (thew_hand_out_sheet(studio, &thew_cli_actor, sheet, person, text, refusal) != THEW_DONE) return thew_refused(refusal);
    return thew_output("-", text->str, text->len);
}

// "diary" of "diary.csv"; THEW_SHEET_COUNT if it is none.
static thew_sheet sheet_called(const char *name)
{
    int sheet = 0;
    for (; sheet < THEW_SHEET_COUNT; sheet++) {
        const char *file = thew_sheet_name((thew_sheet)sheet);
        if (strlen(name) == strlen(file) - strlen(".csv") && g_str_has_prefix(file, name)) break;
    }
    return (thew_sheet)sheet;
}

int thew_command_export(int argc, char **argv)
{
    g_autofree char *path = NULL, *person = NULL, *to = NULL;
    const GOptionEntry entries[] = {
        THEW_STUDIO_OPTION(path),
        { "person", 0, 0, G_OPTION_ARG_STRING, &person, "only what is kept of this person", "PERSON" },
        { "to", 0, 0, G_OPTION_ARG_FILENAME, &to, "everything, into this folder, or into one file that ends in .zip",
          "FOLDER|FILE.zip" },
        { 0 },
    };
    int status = THEW_EXIT_OK;
    if (!thew_options_parse("export", "[people | kit | diary | days]", "Hand out what a studio keeps.", description, entries, &argc,
                            &argv, &status))
        return status;
    thew_sheet sheet = argc == 2 ? sheet_called(argv[1]) : THEW_SHEET_COUNT;
    if (argc > 2 || (argc == 2 && sheet == THEW_SHEET_COUNT))
        return thew_usage_error("export", "takes at most one of people, kit, diary, days; got \"%s\"", argv[argc - 1]);
    if ((argc == 2) == (to != NULL))
        return thew_usage_error("export", "needs one of people, kit, diary, days; or --to for everything");
    g_auto(thew_opened) opened = { 0 };
    status = thew_open(path, THEW_DB_WRITE, &opened);
    if (status != THEW_EXIT_OK) return status;
    if (!to) return print_sheet(opened.studio, sheet, person);
    return g_str_has_suffix(to, ".zip") ? save_zip(opened.studio, person, to) : save_folder(opened.studio, person, to);
}
