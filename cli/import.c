// import.c: `thew import`: the coach's files taken into a studio.
// Knows arguments. Leaves to others: what is new, what is wrong (studio/take_in.h).
#include <stdio.h>
#include <string.h>

#include "cli/command.h"
#include "cli/files.h"
#include "cli/open.h"
#include "exchange/csv.h"
#include "studio/take_in.h"

static const char description[] =
    "All of it is taken in or nothing. The same files again change nothing, so a file that grows can be\n"
    "imported again and again. A set is known by its record; without one, by person, day, exercise, side,\n"
    "load and its place among the like of that day. To correct a set that was taken in, add a row with a\n"
    "record of its own that names the wrong one in the column replaces (thew export shows records).\n"
    "thew template writes an empty file of each kind.\n";

static thew_given_file load(const char *path, thew_trouble_list *trouble)
{
    if (!path) return (thew_given_file){ 0 };
    return (thew_given_file){ thew_csv_shown_name(path), thew_csv_load(path, THEW_CSV_BYTES_MAX, trouble) };
}

static void forget(thew_given_files *files)
{
    thew_given_file *const each[] = { &files->people, &files->kit, &files->diary, &files->days };
    for (gsize f = 0; f < G_N_ELEMENTS(each); f++)
        g_clear_pointer(&each[f]->bytes, g_bytes_unref);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(thew_given_files, forget)

static const char *s(guint count)
{
    return count == 1 ? "" : "s";
}

static void say(const thew_taken_in *taken, bool dry)
{
    printf("%s: %u %s, %u item%s of kit, %u reading%s, %u set%s, %u check-in%s; %u row%s there already\n",
           dry ? "new or changed (a dry run: nothing was kept)" : "new or changed", taken->people,
           taken->people == 1 ? "person" : "people", taken->items, s(taken->items), taken->readings, s(taken->readings),
           taken->sets, s(taken->sets), taken->check_ins, s(taken->check_ins), taken->repeated, s(taken->repeated));
}

static int run(const char *path, thew_paths paths, bool dry)
{
    g_auto(thew_opened) opened = { 0 };
    g_autoptr(thew_trouble_list) trouble = thew_trouble_list_new();
    g_auto(thew_given_files)
        files = { load(paths.people, trouble), load(paths.kit, trouble), load(paths.diary, trouble), load(paths.days, trouble) };
    if (thew_trouble_count(trouble, THEW_TROUBLE_ERROR) > 0) return thew_trouble_report(trouble);
    int status = thew_open(path, THEW_DB_WRITE, &opened);
    if (status != THEW_EXIT_OK) return status;
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    thew_taken_in taken;
    thew_verdict verdict = thew_take_in(opened.studio, &thew_cli_actor, &files, dry, &taken, trouble, refusal);
    thew_trouble_report(trouble);
    if (verdict != THEW_DONE && verdict != THEW_DONE_BEFORE) return thew_refused(refusal);
    say(&taken, dry);
    return THEW_EXIT_OK;
}

int thew_command_import(int argc, char **argv)
{
    g_autofree char *path = NULL, *people = NULL, *kit = NULL, *diary = NULL, *days = NULL;
    gboolean dry = FALSE;
    const GOptionEntry entries[] = {
        THEW_STUDIO_OPTION(path),
        { "people", 0, 0, G_OPTION_ARG_FILENAME, &people, "who trains", "FILE" },
        { "kit", 0, 0, G_OPTION_ARG_FILENAME, &kit, "what they train with", "FILE" },
        { "diary", 0, 0, G_OPTION_ARG_FILENAME, &diary, "the sets that were done; - reads standard input", "FILE" },
        { "days", 0, 0, G_OPTION_ARG_FILENAME, &days, "check-ins", "FILE" },
        { "dry-run", 0, 0, G_OPTION_ARG_NONE, &dry, "only say what would come of it", NULL },
        { 0 },
    };
    int status = THEW_EXIT_OK;
    if (!thew_options_parse("import", NULL, "Take the coach's files into a studio.", description, entries, &argc, &argv, &status))
        return status;
    if (argc != 1) return thew_usage_error("import", "takes options only, such as --diary %s", argv[1]);
    const thew_paths paths = { people, kit, diary, days };
    if (!people && !kit && !diary && !days)
        return thew_usage_error("import", "needs at least one of --people, --kit, --diary, --days");
    if (!thew_paths_use_input_once(paths)) return thew_usage_error("import", "standard input can be only one of the files");
    return run(path, paths, dry);
}
