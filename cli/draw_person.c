// draw_person.c: see draw_person.h.
#include "cli/draw_person.h"

#include <string.h>

#include "cli/command.h"
#include "cli/files.h"
#include "cli/open.h"
#include "draw/curve.h"
#include "draw/odds.h"
#include "studio/equip.h"
#include "studio/strength_of.h"
#include "studio/words.h"

// --- Whose ---------------------------------------------------------------------------------------------------------------------

typedef struct {
    char *studio, *people, *kit, *diary, *days, *person, *side, *on, *to;
    double width;
} person_options;

static void person_options_clear(person_options *o)
{
    char *strings[] = { o->studio, o->people, o->kit, o->diary, o->days, o->person, o->side, o->on, o->to };
    for (gsize s = 0; s < G_N_ELEMENTS(strings); s++)
        g_free(strings[s]);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(person_options, person_options_clear)

#define PERSON_ENTRIES(o)                                                                                                          \
    THEW_STUDIO_OPTION((o).studio),                                                                                                \
        { "people", 0, 0, G_OPTION_ARG_FILENAME, &(o).people, "from files instead: who trains", "FILE" },                          \
        { "kit", 0, 0, G_OPTION_ARG_FILENAME, &(o).kit, "from files: what they train with", "FILE" },                              \
        { "diary", 0, 0, G_OPTION_ARG_FILENAME, &(o).diary, "from files: the sets that were done", "FILE" },                       \
        { "days", 0, 0, G_OPTION_ARG_FILENAME, &(o).days, "from files: check-ins", "FILE" },                                       \
        { "person", 0, 0, G_OPTION_ARG_STRING, &(o).person, "whose (required)", "ID" },                                            \
        { "side", 0, 0, G_OPTION_ARG_STRING, &(o).side, "left or right, where it is done a side at a time", "SIDE" },              \
        { "on", 0, 0, G_OPTION_ARG_STRING, &(o).on, "as known on that day (default: today)", "YYYY-MM-DD" },                       \
        { "width", 0, 0, G_OPTION_ARG_DOUBLE, &(o).width, "pixels (default: 800)", "PX" },                                         \
        { "to", 0, 0, G_OPTION_ARG_FILENAME, &(o).to, "write to this file (default: standard output)", "FILE" }, { 0 }

static const char from_where[] = "From a studio's file, or with --people, --kit and --diary from a coach's files.\n";

static bool is_width(double width)
{
    return width == 0 || (width >= 280 && width <= 10000);
}

/// A person who was found, with all that holds them.
typedef struct {
    const thew_catalogue *catalogue;
    const thew_participant *participant;
    const char *exercise;
    thew_side side;
    thew_day on;
    thew_catalogue *own_catalogue;
    thew_opened opened;
    thew_knowledge *knowledge;
    thew_files *files;
} found;

static void found_clear(found *f)
{
    thew_knowledge_free(f->knowledge);
    thew_files_free(f->files);
    thew_opened_clear(&f->opened);
    thew_catalogue_free(f->own_catalogue);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(found, found_clear)

static int find_in_files(const person_options *o, found *f)
{
    g_autoptr(GError) error = NULL;
    f->catalogue = f->own_catalogue = thew_catalogue_load(NULL, &error);
    if (!f->catalogue) {
        g_printerr("%s\n", error->message);
        return THEW_EXIT_REFUSED;
    }
    f->files = thew_files_read(f->catalogue, (thew_paths){ o->people, o->kit, o->diary, o->days }, (thew_date){ 0 });
    if (thew_trouble_report(f->files->trouble) != THEW_EXIT_OK || !f->files->participant) return THEW_EXIT_REFUSED;
    f->participant = thew_files_find(f->files, o->person);
    if (f->participant) return THEW_EXIT_OK;
    g_printerr("%s: there is no person \"%s\"\n", o->people, o->person);
    return THEW_EXIT_REFUSED;
}

static int find_in_studio(const person_options *o, found *f)
{
    int status = thew_open(o->studio, THEW_DB_READ, &f->opened);
    if (status != THEW_EXIT_OK) return status;
    f->catalogue = f->opened.catalogue;
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    if (thew_know(f->opened.studio, o->person, &f->knowledge, refusal) != THEW_DONE) return thew_refused(refusal);
    f->participant = &f->knowledge->participant;
    return THEW_EXIT_OK;
}

// What is asked for, and of whom. Returns an exit status.
static int find(const char *command, const person_options *o, int argc, char **argv, found *f)
{
    if (argc != 2) return thew_usage_error(command, "needs exactly one EXERCISE, got %d", argc - 1);
    if (!o->person) return thew_usage_error(command, "needs --person ID");
    if (o->people && (!o->kit || !o->diary)) return thew_usage_error(command, "--people needs --kit FILE and --diary FILE beside it");
    if (o->people && o->studio) return thew_usage_error(command, "takes --studio or --people, not both");
    if (!o->people && (o->kit || o->diary || o->days)) return thew_usage_error(command, "--kit, --diary and --days go with --people");
    if (!is_width(o->width)) return thew_usage_error(command, "--width must be from 280 to 10000; got %g", o->width);
    f->side = THEW_BOTH;
    if (o->side && !thew_know_is_side(o->side)) return thew_usage_error(command, "--side must be left, right or both; got \"%s\"", o->side);
    if (o->side) f->side = thew_know_side(o->side);
    f->on = thew_words_today();
    if (o->on && !thew_date_option(o->on, &f->on))
        return thew_usage_error(command, "--on must be a day that exists, as YYYY-MM-DD; got \"%s\"", o->on);
    int status = o->people ? find_in_files(o, f) : find_in_studio(o, f);
    if (status != THEW_EXIT_OK) return status;
    const thew_exercise *exercise = thew_catalogue_exercise(f->catalogue, argv[1]);
    if (!exercise) return thew_usage_error(command, "there is no exercise \"%s\"; thew exercises lists them", argv[1]);
    f->exercise = exercise->id;
    return THEW_EXIT_OK;
}

static char *title_of(const thew_exercise *exercise, thew_side side)
{
    return side == THEW_BOTH ? g_strdup(exercise->name) : g_strdup_printf("%s, %s", exercise->name, thew_words_side(side));
}

static int nothing_of(const found *f, const char *what)
{
    g_printerr("thew: there is %s of %s (%s) for %s up to that day\n", what, f->exercise, thew_words_side(f->side), f->participant->called);
    return THEW_EXIT_REFUSED;
}

// --- Strength over months --------------------------------------------------------------------------------------------------------

int thew_draw_strength(int argc, char **argv)
{
    g_auto(person_options) o = { 0 };
    const GOptionEntry entries[] = { PERSON_ENTRIES(o) };
    int status = THEW_EXIT_OK;
    if (!thew_options_parse("draw strength", "EXERCISE", "A person's strength over months, as SVG.", from_where, entries, &argc, &argv,
                            &status))
        return status;
    g_auto(found) f = { 0 };
    status = find("draw strength", &o, argc, argv, &f);
    if (status != THEW_EXIT_OK) return status;
    g_autoptr(thew_strength) strength = thew_strength_of(f.catalogue, f.participant, NULL, f.exercise, f.side, f.on);
    if (!strength) return nothing_of(&f, "no set on record");
    g_autofree char *title = title_of(strength->exercise, f.side);
    thew_strength_plot plot = thew_strength_plot_of(strength, title, o.width);
    g_autofree char *svg = thew_strength_svg(&plot);
    return thew_output(o.to, svg, strlen(svg));
}

// --- The ladder with its odds ----------------------------------------------------------------------------------------------------

static const thew_advised *advised_on(const thew_person_advice *advice, const found *f)
{
    for (guint t = 0; t < advice->advised->len; t++) {
        const thew_advised *one = &g_array_index(advice->advised, thew_advised, t);
        if (one->side == f->side && strcmp(one->exercise->id, f->exercise) == 0 && one->count > 0) return one;
    }
    return NULL;
}

int thew_draw_ladder(int argc, char **argv)
{
    g_auto(person_options) o = { 0 };
    const GOptionEntry entries[] = { PERSON_ENTRIES(o) };
    int status = THEW_EXIT_OK;
    if (!thew_options_parse("draw ladder", "EXERCISE", "A person's loads for an exercise with their odds, as SVG.", from_where, entries,
                            &argc, &argv, &status))
        return status;
    g_auto(found) f = { 0 };
    status = find("draw ladder", &o, argc, argv, &f);
    if (status != THEW_EXIT_OK) return status;
    g_autoptr(thew_person_advice) advice = thew_advise_person(f.catalogue, f.participant, f.on);
    const thew_advised *advised = advised_on(advice, &f);
    if (!advised) return nothing_of(&f, "no advice");
    g_autofree thew_odds_rung *rung = g_new0(thew_odds_rung, advised->count);
    for (guint r = 0; r < advised->count; r++) {
        const thew_fitted *fitted = &g_array_index(advised->ladder->fitted, thew_fitted, advised->first + r);
        rung[r] = (thew_odds_rung){ fitted->label, advised->odds[r], fitted == advised->take, fitted == advised->last };
    }
    const thew_task *task = thew_advised_task(advice, advised);
    g_autofree char *title = title_of(advised->exercise, f.side);
    thew_odds_ladder ladder = { .title = title,
                                .floor_s = task->floor_s,
                                .window_from_s = task->window_from_s,
                                .window_to_s = task->window_to_s,
                                .rung = rung,
                                .rung_count = thew_odds_keep_telling(rung, (int)advised->count),
                                .width_px = o.width };
    g_autofree char *svg = thew_odds_svg(&ladder);
    return thew_output(o.to, svg, strlen(svg));
}

// --- A band's curve --------------------------------------------------------------------------------------------------------------

// The one in use with that label and a curve. Returns how many there are: labels are their owners' own, so several people may have it.
static guint measured(const thew_kit *kit, const char *label, const thew_equipment **item)
{
    guint count = 0;
    for (guint i = 0; i < kit->item->len; i++) {
        const thew_equipment *one = kit->item->pdata[i];
        if (strcmp(one->item.label, label) != 0 || !one->curve || one->item.retired_day.year != 0) continue;
        *item = one;
        count++;
    }
    return count;
}

static char *curve_svg(const thew_equipment *item, double width_px)
{
    g_autofree thew_reading *reading = g_new0(thew_reading, item->reading_count + 1);
    for (guint i = 0; i < item->reading_count; i++)
        reading[i] = (thew_reading){ item->reading[i].length_m, item->reading[i].force_n };
    return thew_curve_svg(&(thew_curve_plot){ .label = item->item.label,
                                              .band = &item->curve->band,
                                              .reading = reading,
                                              .reading_count = (int)item->reading_count,
                                              .width_px = width_px });
}

int thew_draw_curve(int argc, char **argv)
{
    g_auto(person_options) o = { 0 };
    const GOptionEntry entries[] = {
        THEW_STUDIO_OPTION(o.studio),
        { "person", 0, 0, G_OPTION_ARG_STRING, &o.person, "whose; needed where several people have that label", "ID" },
        { "width", 0, 0, G_OPTION_ARG_DOUBLE, &o.width, "pixels (default: 800)", "PX" },
        { "to", 0, 0, G_OPTION_ARG_FILENAME, &o.to, "write to this file (default: standard output)", "FILE" },
        { 0 },
    };
    int status = THEW_EXIT_OK;
    if (!thew_options_parse("draw curve", "LABEL", "The force of a studio's band against its length, as SVG.",
                            "For bands that stand in a file: thew band --svg.\n", entries, &argc, &argv, &status))
        return status;
    if (argc != 2) return thew_usage_error("draw curve", "needs exactly one LABEL, got %d", argc - 1);
    if (!is_width(o.width)) return thew_usage_error("draw curve", "--width must be from 280 to 10000; got %g", o.width);
    g_auto(thew_opened) opened = { 0 };
    status = thew_open(o.studio, THEW_DB_READ, &opened);
    if (status != THEW_EXIT_OK) return status;
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    g_autoptr(thew_kit) kit = NULL;
    if (thew_equip_list(opened.studio, o.person, &kit, refusal) != THEW_DONE) return thew_refused(refusal);
    const thew_equipment *item = NULL;
    guint count = measured(kit, argv[1], &item);
    if (count > 1) {
        g_printerr("thew: there are %u bands \"%s\" with a curve; say whose with --person ID\n", count, argv[1]);
        return THEW_EXIT_REFUSED;
    }
    if (!item) {
        g_printerr("thew: there is no band \"%s\" with a curve in this kit; thew export kit lists what there is\n", argv[1]);
        return THEW_EXIT_REFUSED;
    }
    g_autofree char *svg = curve_svg(item, o.width);
    return thew_output(o.to, svg, strlen(svg));
}
