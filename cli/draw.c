// draw.c: `thew draw`: the house's drawings, as SVG: a figure doing an exercise, a set line; a person's are in draw_person.c.
#include <math.h>
#include <string.h>

#include "cli/command.h"
#include "cli/draw_person.h"
#include "draw/figure.h"
#include "draw/setline.h"

static const char help[] = "Usage:\n"
                           "  thew draw figure EXERCISE     someone doing it, drawn from the numbers that demand is computed from\n"
                           "  thew draw set-line            a set over time, with its window and how it ended\n"
                           "  thew draw strength EXERCISE   a person's strength over months\n"
                           "  thew draw ladder EXERCISE     a person's loads with their odds\n"
                           "  thew draw curve LABEL         a band's force against its length\n\n"
                           "thew draw figure --help and so on list their options.\n";

// ---- figure ----

typedef struct {
    char *variant, *implement, *setting, *to, *catalogue;
    double at, width;
    gboolean bare;
} figure_options;

static void figure_options_clear(figure_options *o)
{
    char *strings[] = { o->variant, o->implement, o->setting, o->to, o->catalogue };
    for (gsize s = 0; s < G_N_ELEMENTS(strings); s++)
        g_free(strings[s]);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(figure_options, figure_options_clear)

// By identifier, else the first of that kind; without a name the first.
static const thew_implement *find_implement(const thew_variant *variant, const char *name)
{
    if (!name) return variant->implement;
    const thew_implement *found = thew_variant_implement(variant, name);
    for (size_t i = 0; !found && i < variant->implement_count; i++)
        if (strcmp(thew_implement_kind_id(variant->implement[i].kind), name) == 0) found = &variant->implement[i];
    return found;
}

// An exercise's identifier stands for its usual variant; a variant's own is good too.
static const thew_variant *find_variant(const thew_catalogue *catalogue, const char *exercise, const char *variant)
{
    const thew_exercise *found = thew_catalogue_exercise(catalogue, exercise);
    if (!variant) return found ? found->usual : thew_catalogue_variant(catalogue, exercise);
    const thew_variant *one = thew_catalogue_variant(catalogue, variant);
    return one && one->exercise == found ? one : NULL;
}

static int draw_figure(const figure_options *o, const char *exercise)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(thew_catalogue) catalogue = thew_catalogue_load(o->catalogue, &error);
    if (!catalogue) {
        g_printerr("%s\n", error->message);
        return THEW_EXIT_REFUSED;
    }
    const thew_variant *variant = find_variant(catalogue, exercise, o->variant);
    if (!variant)
        return o->variant ? thew_usage_error("draw", "%s has no variant \"%s\"; thew exercises %s lists them", exercise, o->variant,
                                             exercise)
                          : thew_usage_error("draw", "there is no exercise \"%s\"; thew exercises lists them", exercise);
    const thew_implement *implement = find_implement(variant, o->implement);
    if (!implement) return thew_usage_error("draw", "%s is not done with \"%s\"", variant->id, o->implement);
    const thew_setting *setting = o->setting ? thew_implement_setting(implement, o->setting) : NULL;
    if (o->setting && !setting)
        return thew_usage_error("draw", "%s with %s has no setting \"%s\"", variant->id, implement->id, o->setting);
    thew_body_model body = thew_body_build((thew_body){ 0 });
    thew_figure figure = {
        .variant = variant, .implement = implement, .setting = setting, .body = &body, .width_px = o->width, .is_bare = o->bare
    };
    g_autofree char *svg = o->at >= 0 ? thew_figure_frame_svg(&figure, o->at) : thew_figure_svg(&figure);
    return thew_output(o->to, svg, strlen(svg));
}

static int run_figure(int argc, char **argv)
{
    g_auto(figure_options) o = { .at = -1 };
    const GOptionEntry entries[] = {
        { "variant", 0, 0, G_OPTION_ARG_STRING, &o.variant, "which variant (default: the usual one)", "VARIANT" },
        { "implement", 0, 0, G_OPTION_ARG_STRING, &o.implement, "band, loop, dumbbell, cuff or body (default: the first)", "KIND" },
        { "setting", 0, 0, G_OPTION_ARG_STRING, &o.setting, "how it is held (default: the first)", "SETTING" },
        { "at", 0, 0, G_OPTION_ARG_DOUBLE, &o.at,
          "one frame, from 0 (start of the lift) to 1 (its end); default: both in one picture", "S" },
        { "bare", 0, 0, G_OPTION_ARG_NONE, &o.bare, "no words in the picture", NULL },
        { "width", 0, 0, G_OPTION_ARG_DOUBLE, &o.width, "pixels (default: 480)", "PX" },
        { "to", 0, 0, G_OPTION_ARG_FILENAME, &o.to, "write to this file (default: standard output)", "FILE" },
        { "catalogue", 0, 0, G_OPTION_ARG_FILENAME, &o.catalogue, "a folder of further exercises", "FOLDER" },
        { 0 },
    };
    int status = THEW_EXIT_OK;
    if (!thew_options_parse("draw figure", "EXERCISE", "Someone doing an exercise, as SVG.", NULL, entries, &argc, &argv, &status))
        return status;
    if (argc != 2) return thew_usage_error("draw figure", "needs exactly one EXERCISE, got %d", argc - 1);
    if (o.at != -1 && !(o.at >= 0 && o.at <= 1)) return thew_usage_error("draw figure", "--at must be from 0 to 1; got %g", o.at);
    if (o.width != 0 && !(o.width >= 280 && o.width <= 10000))
        return thew_usage_error("draw figure", "--width must be from 280 to 10000; got %g", o.width);
    return draw_figure(&o, argv[1]);
}

// ---- set line ----

typedef struct {
    char *tempo, *starts, *window, *expected, *title, *to;
    char **best;
    double floor_s, ended_s[THEW_OTHER + 1], left_s, now_s, width;
    gboolean hold, small;
} line_options;

static void line_options_clear(line_options *o)
{
    char *strings[] = { o->tempo, o->starts, o->window, o->expected, o->title, o->to };
    for (gsize s = 0; s < G_N_ELEMENTS(strings); s++)
        g_free(strings[s]);
    g_strfreev(o->best);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(line_options, line_options_clear)

// "60-90" or "7,1,7,1": exactly `count` seconds, from 0 to a day, with that between them.
static bool read_seconds(const char *text, char between, int count, double *out)
{
    const char *at = text;
    for (int n = 0; n < count; n++) {
        char *end;
        if (n > 0 && *at++ != between) return false;
        out[n] = g_ascii_strtod(at, &end);
        if (end == at || !g_ascii_isdigit(*at) || !(out[n] >= 0 && out[n] <= 86400)) return false;
        at = end;
    }
    return *at == 0;
}

static int wrong(const char *option, const char *wanted, const char *got)
{
    return thew_usage_error("draw set-line", "--%s must be %s; got \"%s\"", option, wanted, got);
}

// What the options say of the line itself. Returns an exit status.
static int read_line(const line_options *o, thew_set_line *line)
{
    double tempo[4] = { 7, 1, 7, 1 }, window[2] = { 60, 90 }, expected[3];
    if (o->tempo && (!read_seconds(o->tempo, ',', 4, tempo) || tempo[0] + tempo[1] + tempo[2] + tempo[3] < 1))
        return wrong("tempo", "four seconds: lowering, pause, lifting, pause, as 7,1,7,1", o->tempo);
    if (o->window && (!read_seconds(o->window, '-', 2, window) || window[1] <= window[0]))
        return wrong("window", "seconds, as 60-90", o->window);
    if (o->starts && strcmp(o->starts, "lifting") != 0 && strcmp(o->starts, "lowering") != 0)
        return wrong("starts", "lifting or lowering", o->starts);
    if (o->expected && (!read_seconds(o->expected, ',', 3, expected) || expected[0] > expected[1] || expected[1] > expected[2]))
        return wrong("expected", "three rising seconds, as 58,70,84", o->expected);
    line->tempo = (thew_tempo){ tempo[0], tempo[1], tempo[2], tempo[3] };
    line->starts_lifting = o->starts && strcmp(o->starts, "lifting") == 0;
    line->window_from_s = window[0];
    line->window_to_s = window[1];
    if (!o->expected) return THEW_EXIT_OK;
    line->has_expected = true;
    line->p10_s = expected[0];
    line->p50_s = expected[1];
    line->p90_s = expected[2];
    return THEW_EXIT_OK;
}

static int by_time(const void *a, const void *b)
{
    double one = ((const thew_set_line_mark *)a)->seconds, two = ((const thew_set_line_mark *)b)->seconds;
    return (one > two) - (one < two);
}

#define NOT_GIVEN (-1)

static bool is_time(double seconds)
{
    return seconds == NOT_GIVEN || (seconds >= 0 && seconds <= 86400);
}

static int read_marks(const line_options *o, thew_set_line *line)
{
    bool good = is_time(o->floor_s) && is_time(o->left_s) && is_time(o->now_s);
    for (thew_ended ended = THEW_FAILURE; ended <= THEW_OTHER; ended++)
        good &= is_time(o->ended_s[ended]);
    if (!good) return thew_usage_error("draw set-line", "every time must be from 0 to 86400 seconds");
    for (thew_ended ended = THEW_FAILURE; ended <= THEW_OTHER; ended++) {
        if (o->ended_s[ended] == NOT_GIVEN) continue;
        line->mark[line->mark_count++] = (thew_set_line_mark){ ended, o->ended_s[ended], ended == THEW_RESERVE ? o->left_s : 0 };
    }
    qsort(line->mark, (gsize)line->mark_count, sizeof *line->mark, by_time);
    for (int b = 0; o->best && o->best[b]; b++) {
        if (b == THEW_SET_LINE_BESTS_MAX)
            return thew_usage_error("draw set-line", "--best can be given %d times at most", THEW_SET_LINE_BESTS_MAX);
        if (!read_seconds(o->best[b], 0, 1, &line->best_s[line->best_count++])) return wrong("best", "seconds, as 70", o->best[b]);
    }
    return THEW_EXIT_OK;
}

static int run_set_line(int argc, char **argv)
{
    g_auto(line_options) o = { .floor_s = 30, .now_s = NOT_GIVEN };
    for (int e = 0; e <= THEW_OTHER; e++)
        o.ended_s[e] = NOT_GIVEN;
    const GOptionEntry entries[] = {
        { "tempo", 0, 0, G_OPTION_ARG_STRING, &o.tempo, "lowering, pause, lifting, pause (default: 7,1,7,1)", "S,S,S,S" },
        { "starts", 0, 0, G_OPTION_ARG_STRING, &o.starts, "first phase: lowering (default) or lifting", "PHASE" },
        { "hold", 0, 0, G_OPTION_ARG_NONE, &o.hold, "an isometric hold", NULL },
        { "window", 0, 0, G_OPTION_ARG_STRING, &o.window, "when it should fail (default: 60-90)", "S-S" },
        { "floor", 0, 0, G_OPTION_ARG_DOUBLE, &o.floor_s, "before which it should not (default: 30; 0: none)", "S" },
        { "failure", 0, 0, G_OPTION_ARG_DOUBLE, &o.ended_s[THEW_FAILURE], "momentary failure at", "S" },
        { "completed", 0, 0, G_OPTION_ARG_DOUBLE, &o.ended_s[THEW_COMPLETED], "completed at", "S" },
        { "reserve", 0, 0, G_OPTION_ARG_DOUBLE, &o.ended_s[THEW_RESERVE], "stopped with some in reserve at", "S" },
        { "left", 0, 0, G_OPTION_ARG_DOUBLE, &o.left_s, "seconds felt to be left then", "S" },
        { "symptom", 0, 0, G_OPTION_ARG_DOUBLE, &o.ended_s[THEW_SYMPTOM], "stopped for a symptom at", "S" },
        { "other", 0, 0, G_OPTION_ARG_DOUBLE, &o.ended_s[THEW_OTHER], "stopped for another reason at", "S" },
        { "best", 0, 0, G_OPTION_ARG_STRING_ARRAY, &o.best, "an earlier best; may be repeated", "S" },
        { "expected", 0, 0, G_OPTION_ARG_STRING, &o.expected, "prediction: earlier than this in 10, 50, 90 of 100", "S,S,S" },
        { "now", 0, 0, G_OPTION_ARG_DOUBLE, &o.now_s, "a marker at this time", "S" },
        { "small", 0, 0, G_OPTION_ARG_NONE, &o.small, "for a row in a table, without words", NULL },
        { "title", 0, 0, G_OPTION_ARG_STRING, &o.title, "above it", "TEXT" },
        { "width", 0, 0, G_OPTION_ARG_DOUBLE, &o.width, "pixels (default: 800; small: 240)", "PX" },
        { "to", 0, 0, G_OPTION_ARG_FILENAME, &o.to, "write to this file (default: standard output)", "FILE" },
        { 0 },
    };
    int status = THEW_EXIT_OK;
    if (!thew_options_parse("draw set-line", "", "A set over time, as SVG.", NULL, entries, &argc, &argv, &status)) return status;
    if (argc != 1) return thew_usage_error("draw set-line", "takes no \"%s\"", argv[1]);
    if (o.width != 0 && !(o.width >= 120 && o.width <= 10000))
        return thew_usage_error("draw set-line", "--width must be from 120 to 10000; got %g", o.width);
    thew_set_line line = { .size = o.small ? THEW_SET_LINE_SMALL : THEW_SET_LINE_WIDE,
                           .kind = o.hold ? THEW_HOLD : THEW_REPETITIONS,
                           .floor_s = fmax(o.floor_s, 0),
                           .has_now = o.now_s != NOT_GIVEN,
                           .now_s = o.now_s,
                           .title = o.title,
                           .width_px = o.width };
    status = read_line(&o, &line);
    if (status == THEW_EXIT_OK) status = read_marks(&o, &line);
    if (status != THEW_EXIT_OK) return status;
    g_autofree char *svg = thew_set_line_svg(&line);
    return thew_output(o.to, svg, strlen(svg));
}

// ---- which ----

static const struct {
    const char *name;
    int (*run)(int argc, char **argv);
} drawing[] = {
    { "figure", run_figure },         { "set-line", run_set_line },  { "strength", thew_draw_strength },
    { "ladder", thew_draw_ladder },   { "curve", thew_draw_curve },
};

int thew_command_draw(int argc, char **argv)
{
    for (gsize d = 0; argc >= 2 && d < G_N_ELEMENTS(drawing); d++)
        if (strcmp(argv[1], drawing[d].name) == 0) return drawing[d].run(argc - 1, argv + 1);
    if (argc >= 2 && (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "-h") == 0)) return thew_output("-", help, strlen(help));
    if (argc >= 2) return thew_usage_error("draw", "there is no drawing \"%s\": figure, set-line, strength, ladder or curve", argv[1]);
    return thew_usage_error("draw", "needs what to draw: figure, set-line, strength, ladder or curve");
}
