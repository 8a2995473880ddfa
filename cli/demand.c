// demand.c: `thew demand`: what one resistance asks of one body through the range of motion, as a table, JSON or a plot.
#include <jansson.h>
#include <string.h>

#include "cli/command.h"
#include "cli/files.h"
#include "draw/plot.h"
#include "studio/fit.h"
#include "studio/words.h"

#define PLACES 11 // rows of the table, from one turnaround to the other
#define DEGREES (180 / G_PI)

typedef struct {
    char *people, *person, *kit, *implement, *setting, *variant, *svg, *catalogue, *on;
    gboolean json;
    thew_day day;
} options;

static void options_clear(options *o)
{
    char *strings[] = { o->people, o->person, o->kit, o->implement, o->setting, o->variant, o->svg, o->catalogue, o->on };
    for (gsize s = 0; s < G_N_ELEMENTS(strings); s++)
        g_free(strings[s]);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(options, options_clear)

// One rung, seen through its range.
typedef struct {
    const thew_fitted *fitted;
    const thew_movement *movement;
    thew_body_model body;
    thew_resistance resistance;
} question;

static thew_demand_at at(const question *q, double s) { return thew_demand_at_s(q->movement, &q->body, &q->resistance, s); }

static double angle_deg(const question *q, int effort, double s)
{
    thew_posture posture = thew_movement_posture(q->movement, s);
    return thew_posture_angle(&posture, q->movement->effort[effort].action) * DEGREES;
}

// "elbow flexion"
static char *action_words(thew_action action) { return g_strdelimit(g_strdup(thew_action_id(action)), "_", ' '); }

static void end_line(GString *out)
{
    while (out->len > 0 && out->str[out->len - 1] == ' ')
        g_string_truncate(out, out->len - 1);
    g_string_append_c(out, '\n');
}

#define GROUP 24 // characters of one effort's three columns

static void append_heading(GString *out, const question *q)
{
    bool band = q->resistance.band != NULL;
    g_string_append_printf(out, "  %5s%s", "", band ? "  BAND                       " : "");
    for (int e = 0; e < q->movement->effort_count; e++) {
        g_autofree char *words = action_words(q->movement->effort[e].action);
        g_autofree char *upper = g_ascii_strup(words, -1);
        g_string_append_printf(out, "  %-*s", GROUP, upper);
    }
    end_line(out);
    g_string_append_printf(out, "  RANGE%s", band ? "  length m  stretch  force N" : "");
    for (int e = 0; e < q->movement->effort_count; e++)
        g_string_append_printf(out, "  angle  torque N m  share%s", q->movement->effort[e].synergist ? "*" : " ");
    end_line(out);
}

static void append_place(GString *out, const question *q, double s)
{
    thew_demand_at here = at(q, s);
    g_string_append_printf(out, "  %3.0f %%", here.s * 100);
    if (q->resistance.band)
        g_string_append_printf(out, "  %8.2f  %7.2f  %7.1f", here.band_length_m, here.band_stretch, here.band_force_n);
    for (int e = 0; e < q->movement->effort_count; e++)
        g_string_append_printf(out, "  %5.0f  %10.1f  %3.0f %% ", angle_deg(q, e, here.s), here.torque_nm[e], here.share[e] * 100);
    end_line(out);
}

static void append_table(GString *out, const question *q)
{
    const thew_demand *d = &q->fitted->demand;
    g_string_append_printf(out, "%s with %s\n  %s", q->fitted->variant->name, q->fitted->label, q->fitted->implement->words);
    if (q->fitted->implement->setting_count > 1)
        g_string_append_printf(out, " %s", q->fitted->setting->words);
    g_string_append(out, "\n\n");
    append_heading(out, q);
    bool synergist = false;
    for (int p = 0; p < PLACES; p++)
        append_place(out, q, p / (PLACES - 1.0));
    for (int e = 0; e < q->movement->effort_count; e++)
        synergist |= q->movement->effort[e].synergist;
    g_autofree char *limiting = action_words(q->movement->effort[d->limiting_effort].action);
    g_string_append_printf(out,
                           "\nSticking point: at %.0f %% of the range, %s, %.1f N m: %.0f %% of the reference strength (SD %.0f %%).\n"
                           "Mean over a repetition: %.0f %% of that peak.\n",
                           d->sticking_s * 100, limiting, d->torque_nm, d->peak_share * 100, q->fitted->rung.ln_sd * 100, d->mean_share * 100);
    if (q->fitted->fitness != THEW_FITS)
        g_string_append_printf(out, "Not advised: %s.\n", thew_fitness_words(q->fitted->fitness));
    if (synergist)
        g_string_append(out, "* helps, but does not limit the set\n");
    if (!thew_strength_is_sourced(q->movement->effort[d->limiting_effort].action))
        g_string_append_printf(out, "The reference strength of %s is from memory, not from a text: take the share as rough.\n", limiting);
}

static char *to_json(const question *q)
{
    const thew_demand *d = &q->fitted->demand;
    json_t *range = json_array();
    for (int p = 0; p <= THEW_DEMAND_STEPS; p++) {
        thew_demand_at here = at(q, (double)p / THEW_DEMAND_STEPS);
        json_t *efforts = json_array();
        for (int e = 0; e < q->movement->effort_count; e++)
            json_array_append_new(efforts, json_pack("{s:s,s:f,s:f,s:f}", "action", thew_action_id(q->movement->effort[e].action), "angle_deg",
                                                     angle_deg(q, e, here.s), "torque_nm", here.torque_nm[e], "share", here.share[e]));
        json_array_append_new(range, json_pack("{s:f,s:f,s:f,s:f,s:o}", "s", here.s, "band_length_m", here.band_length_m, "band_stretch",
                                               here.band_stretch, "band_force_n", here.band_force_n, "efforts", efforts));
    }
    json_t *all = json_pack("{s:s,s:s,s:f,s:f,s:f,s:s,s:f,s:f,s:o}", "variant", q->fitted->variant->id, "take", q->fitted->label, "peak_share",
                            d->peak_share, "mean_share", d->mean_share, "sticking_s", d->sticking_s, "limiting",
                            thew_action_id(q->movement->effort[d->limiting_effort].action), "torque_nm", d->torque_nm, "ln_sd", d->ln_sd, "range",
                            range);
    char *dump = json_dumps(all, JSON_INDENT(1) | JSON_REAL_PRECISION(12));
    json_decref(all);
    char *text = g_strconcat(dump, "\n", NULL);
    free(dump);
    return text;
}

static char *to_svg(const question *q)
{
    static const int points = THEW_DEMAND_STEPS + 1;
    const thew_demand *d = &q->fitted->demand;
    double x[THEW_DEMAND_STEPS + 1], y[THEW_PLOT_SERIES_MAX][THEW_DEMAND_STEPS + 1];
    for (int p = 0; p < points; p++) {
        x[p] = (double)p / THEW_DEMAND_STEPS;
        thew_demand_at here = at(q, x[p]);
        for (int e = 0; e < q->movement->effort_count; e++)
            y[e][p] = here.share[e] * 100;
    }
    g_autofree char *title = g_strdup_printf("%s with %s", q->fitted->variant->name, q->fitted->label);
    g_autofree char *limiting = action_words(q->movement->effort[d->limiting_effort].action);
    g_autofree char *description =
        g_strdup_printf("Demand through the range of motion. The sticking point lies at %.0f %% of the range: %s, %.1f N m, %.0f %% of "
                        "the reference strength.",
                        d->sticking_s * 100, limiting, d->torque_nm, d->peak_share * 100);
    g_autofree char *sticking = g_strdup_printf("sticking point: %.1f N m, %.0f %%", d->torque_nm, d->peak_share * 100);
    thew_plot plot = { .title = title,
                       .description = description,
                       .x_name = "range of motion",
                       .x_left = "start of the lift",
                       .x_right = "end of the lift",
                       .y_name = "demand, % of reference strength",
                       .series_count = q->movement->effort_count,
                       .mark = { { d->sticking_s, d->peak_share * 100, sticking } },
                       .mark_count = 1 };
    g_autoptr(GPtrArray) names = g_ptr_array_new_with_free_func(g_free);
    for (int e = 0; e < q->movement->effort_count; e++) {
        g_ptr_array_add(names, action_words(q->movement->effort[e].action));
        plot.series[e] = (thew_plot_series){ .name = names->pdata[e], .x = x, .y = y[e], .count = points };
    }
    return thew_plot_svg(&plot);
}
G_STATIC_ASSERT(THEW_EFFORT_MAX <= THEW_PLOT_SERIES_MAX);

static void list_fitted(const thew_fitted *f)
{
    g_printerr("  --variant %s", f->variant->id);
    if (f->piece)
        g_printerr(" --implement \"%s%s%s\"", f->piece->label, f->piece_2 ? "+" : "", f->piece_2 ? f->piece_2->label : "");
    g_printerr("%s%s\n", f->implement->setting_count > 1 ? " --setting " : "", f->implement->setting_count > 1 ? f->setting->id : "");
}

// Of the variant that was asked for, or if it has none of all.
static void list_ladder(const thew_ladder *ladder, const char *variant)
{
    const char *asked = variant ? variant : ladder->exercise->usual->id;
    guint count = 0;
    for (guint i = 0; i < ladder->fitted->len; i++)
        count += strcmp(g_array_index(ladder->fitted, thew_fitted, i).variant->id, asked) == 0;
    if (ladder->fitted->len == 0) {
        g_printerr("This kit and body make no load for it.\n");
        return;
    }
    g_printerr("The loads that this kit and body make%s:\n", count > 0 ? " for that variant" : "");
    for (guint i = 0; i < ladder->fitted->len; i++)
        if (count == 0 || strcmp(g_array_index(ladder->fitted, thew_fitted, i).variant->id, asked) == 0)
            list_fitted(&g_array_index(ladder->fitted, thew_fitted, i));
}

static int run(const options *o, const char *exercise_id)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(thew_catalogue) catalogue = thew_catalogue_load(o->catalogue, &error);
    if (!catalogue) {
        g_printerr("%s\n", error->message);
        return THEW_EXIT_REFUSED;
    }
    const thew_exercise *exercise = thew_catalogue_exercise(catalogue, exercise_id);
    if (!exercise)
        return thew_usage_error("demand", "there is no exercise \"%s\"; thew exercises lists them", exercise_id);
    g_autoptr(thew_files) files = thew_files_read(catalogue, (thew_paths){ .people = o->people, .kit = o->kit }, (thew_date){ 0 });
    if (thew_trouble_report(files->trouble) != THEW_EXIT_OK)
        return THEW_EXIT_REFUSED;
    const thew_participant *participant = thew_files_find(files, o->person);
    if (!participant) {
        g_printerr("%s: there is no person \"%s\"\n", thew_csv_shown_name(o->people), o->person);
        return THEW_EXIT_REFUSED;
    }
    g_autoptr(thew_ladder) ladder = thew_fit(exercise, participant, o->day, NULL);
    question q = { .fitted = thew_ladder_done(ladder, o->variant, o->implement, o->setting) };
    if (!q.fitted) {
        g_printerr("thew demand: %s cannot be done that way with this kit and body.\n", exercise->name);
        list_ladder(ladder, o->variant);
        return THEW_EXIT_REFUSED;
    }
    q.movement = &q.fitted->implement->movement;
    q.body = thew_body_build(thew_participant_body(participant, o->day));
    q.resistance = thew_fitted_resistance(q.fitted);
    if (o->svg) {
        g_autofree char *svg = to_svg(&q);
        int status = thew_output(o->svg, svg, strlen(svg));
        if (status != THEW_EXIT_OK || strcmp(o->svg, "-") == 0)
            return status;
    }
    g_autoptr(GString) text = g_string_new(NULL);
    if (o->json) {
        g_autofree char *json = to_json(&q);
        g_string_append(text, json);
    } else {
        append_table(text, &q);
    }
    return thew_output("-", text->str, text->len);
}

int thew_command_demand(int argc, char **argv)
{
    g_auto(options) o = { 0 };
    const GOptionEntry entries[] = {
        { "people", 0, 0, G_OPTION_ARG_FILENAME, &o.people, "who trains (required)", "FILE" },
        { "person", 0, 0, G_OPTION_ARG_STRING, &o.person, "whose body (required)", "ID" },
        { "kit", 0, 0, G_OPTION_ARG_FILENAME, &o.kit, "what they train with", "FILE" },
        { "implement", 0, 0, G_OPTION_ARG_STRING, &o.implement, "its label in the kit; two bands as a+b (default: body weight)", "LABEL" },
        { "setting", 0, 0, G_OPTION_ARG_STRING, &o.setting, "how it is held (default: the first)", "SETTING" },
        { "variant", 0, 0, G_OPTION_ARG_STRING, &o.variant, "which variant (default: the usual one)", "VARIANT" },
        { "on", 0, 0, G_OPTION_ARG_STRING, &o.on, "the day, for the person's age (default: today)", "YYYY-MM-DD" },
        { "svg", 0, 0, G_OPTION_ARG_FILENAME, &o.svg, "write a plot to this file; - for standard output, alone", "FILE" },
        { "json", 0, 0, G_OPTION_ARG_NONE, &o.json, "for programs: one JSON document", NULL },
        { "catalogue", 0, 0, G_OPTION_ARG_FILENAME, &o.catalogue, "a folder of further exercises", "FOLDER" },
        { 0 },
    };
    int status = THEW_EXIT_OK;
    if (!thew_options_parse("demand", "EXERCISE", "What a resistance asks of the joints, through the range of motion.",
                            "The share is of the strength that a healthy person of that sex, age and size has at that joint angle.\n", entries,
                            &argc, &argv, &status))
        return status;
    if (argc != 2)
        return thew_usage_error("demand", "needs exactly one EXERCISE, got %d", argc - 1);
    if (!o.people || !o.person)
        return thew_usage_error("demand", "needs --people FILE and --person ID");
    if (!thew_paths_use_input_once((thew_paths){ .people = o.people, .kit = o.kit }))
        return thew_usage_error("demand", "standard input (-) can be one file only");
    o.day = thew_words_today();
    if (o.on && !thew_date_option(o.on, &o.day))
        return thew_usage_error("demand", "--on must be a day that exists, as YYYY-MM-DD; got \"%s\"", o.on);
    return run(&o, argv[1]);
}
