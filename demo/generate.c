// generate.c: demo_files: makes the demo studio's files, the same from the same seed.
//   demo_files FOLDER [--seed NUMBER] [--truth FILE]
// Knows arguments and names of files. Leaves to others: everything in them (play.h, write.h).
#include <errno.h>
#include <glib/gstdio.h>

#include "demo/write.h"

static bool save(const char *folder, const char *name, const GString *text)
{
    g_autofree char *path = folder ? g_build_filename(folder, name, NULL) : g_strdup(name);
    g_autoptr(GError) error = NULL;
    if (g_file_set_contents(path, text->str, (gssize)text->len, &error)) return true;
    g_printerr("demo_files: %s\n", error->message);
    return false;
}

static bool save_all(const play_studio *studio, const char *folder, const char *truth_path)
{
    g_autoptr(GString) people = g_string_new(NULL), kit = g_string_new(NULL), diary = g_string_new(NULL), days = g_string_new(NULL);
    write_people(people);
    write_kit(kit, studio);
    write_diary(diary, studio);
    write_days(days, studio);
    bool saved = save(folder, "people.csv", people) && save(folder, "kit.csv", kit) && save(folder, "days.csv", days) &&
                 save(folder, "diary.csv", diary);
    if (!saved || !truth_path) return saved;
    g_autoptr(GString) truth = g_string_new(NULL);
    write_truth(truth, studio);
    return save(NULL, truth_path, truth);
}

int main(int argc, char **argv)
{
    gint64 seed = PLAY_SEED;
    g_autofree char *truth = NULL;
    const GOptionEntry entries[] = {
        { "seed", 0, 0, G_OPTION_ARG_INT64, &seed, "another number makes another half year of the same people", "NUMBER" },
        { "truth", 0, 0, G_OPTION_ARG_FILENAME, &truth, "also write what is true of each set, for judging advice", "FILE" },
        { 0 },
    };
    g_autoptr(GOptionContext) context = g_option_context_new("FOLDER - files of an invented studio");
    g_option_context_add_main_entries(context, entries, NULL);
    g_autoptr(GError) error = NULL;
    if (!g_option_context_parse(context, &argc, &argv, &error) || argc != 2) {
        g_printerr("demo_files: %s\n", error ? error->message : "needs exactly one FOLDER");
        return 2;
    }
    if (g_mkdir_with_parents(argv[1], 0777) != 0) {
        g_printerr("demo_files: %s: %s\n", argv[1], g_strerror(errno));
        return 1;
    }
    g_autoptr(thew_catalogue) catalogue = thew_catalogue_load(NULL, &error);
    if (!catalogue) {
        g_printerr("%s\n", error->message);
        return 1;
    }
    g_autoptr(play_studio) studio = play_half_year(catalogue, (uint64_t)seed);
    return save_all(studio, argv[1], truth) ? 0 : 1;
}
