// drawings.c: drawings as answers: numbers from the studio, pictures from draw/.
#include <math.h>

#include "draw/curve.h"
#include "draw/figure.h"
#include "draw/odds.h"
#include "draw/setline.h"
#include "serve/handlers.h"
#include "serve/kit_parts.h"
#include "serve/tell.h"
#include "studio/propose.h"
#include "studio/strength_of.h"
#include "studio/words.h"

#define WIDTH_MIN 160
#define WIDTH_MAX 4000

static const char *const sides[] = { "both", "left", "right", NULL };

static double width_of(thew_request *request)
{
    return thew_request_number(request, "width", WIDTH_MIN, WIDTH_MAX, 0);
}

// --- strength, ladder

static const char *exercise_of(thew_request *request)
{
    const char *exercise = thew_request_text(request, "exercise", NULL);
    if (!exercise) thew_refusal_add(request->refusal, "", "the parameter exercise is missing");
    return exercise;
}

void thew_strength_drawing(thew_request *request)
{
    const char *exercise = exercise_of(request), *side = thew_request_word(request, "side", sides, "both");
    double width = width_of(request);
    if (!thew_request_sound(request)) return;
    g_autoptr(thew_strength) strength = NULL;
    if (!thew_request_done(request, thew_studio_strength(request->studio, request->part[0], exercise, thew_know_side(side),
                                                         &strength, request->refusal)))
        return;
    g_autofree char *title =
        g_str_equal(side, "both") ? g_strdup(strength->exercise->name) : g_strdup_printf("%s, %s", strength->exercise->name, side);
    thew_strength_plot plot = thew_strength_plot_of(strength, title, width);
    thew_answer_svg(request, thew_strength_svg(&plot));
}

static const thew_proposed *find_proposed(const thew_proposals *proposals, const char *exercise, thew_side side)
{
    for (guint i = 0; i < proposals->proposed->len; i++) {
        const thew_proposed *one = &g_array_index(proposals->proposed, thew_proposed, i);
        if (g_str_equal(one->advised->exercise->id, exercise) && one->advised->side == side) return one;
    }
    return NULL;
}

void thew_ladder_drawing(thew_request *request)
{
    const char *exercise = exercise_of(request), *side = thew_request_word(request, "side", sides, "both");
    thew_date date = thew_request_day(request, "day");
    double width = width_of(request);
    if (!thew_request_sound(request)) return;
    g_autoptr(thew_proposals) proposals = NULL;
    if (!thew_request_done(request, thew_propose(request->studio, request->part[0], thew_tell_day_or_today(request->studio, date),
                                                 &proposals, request->refusal)))
        return;
    const thew_proposed *found = find_proposed(proposals, exercise, thew_know_side(side));
    if (!found || !found->rung || found->rung->len == 0) {
        thew_answer_problem(request, 404, "There is no ladder for this exercise and side.");
        return;
    }
    g_autofree thew_odds_rung *rung = g_new0(thew_odds_rung, found->rung->len);
    for (guint i = 0; i < found->rung->len; i++) {
        const thew_proposed_rung *one = &g_array_index(found->rung, thew_proposed_rung, i);
        rung[i] = (thew_odds_rung){ one->fitted->label, one->odds, one->is_advised, one->is_last };
    }
    thew_odds_ladder ladder = { .title = found->advised->exercise->name,
                                .floor_s = found->floor_s,
                                .window_from_s = found->window_from_s,
                                .window_to_s = found->window_to_s,
                                .rung = rung,
                                .rung_count = thew_odds_keep_telling(rung, (int)found->rung->len),
                                .width_px = width };
    thew_answer_svg(request, thew_odds_svg(&ladder));
}

// --- a set

static bool find_movement(thew_request *request, const char *exercise, const char *variant, const thew_variant **found)
{
    const thew_catalogue *catalogue = request->studio->catalogue;
    const thew_exercise *of = exercise ? thew_catalogue_exercise(catalogue, exercise) : NULL;
    *found = variant ? thew_catalogue_variant(catalogue, variant) : of ? of->usual : NULL;
    if (*found && (!of || (*found)->exercise == of)) return true;
    thew_answer_problem(request, 404, "There is no such exercise or variant in the catalogue.");
    return false;
}

void thew_set_line_drawing(thew_request *request)
{
    static const char *const ends[] = { "failure", "completed", "reserve", "symptom", "other", NULL };
    const char *exercise = thew_request_text(request, "exercise", NULL), *variant = thew_request_text(request, "variant", NULL),
               *ended = thew_request_word(request, "ended", ends, NULL);
    double seconds = thew_request_number(request, "seconds", 0, 3600, -1), width = width_of(request);
    double p10_s = thew_request_number(request, "p10", 0, 1e6, -1), p50_s = thew_request_number(request, "p50", 0, 1e6, -1),
           p90_s = thew_request_number(request, "p90", 0, 1e6, INFINITY);
    const thew_variant *of;
    if (!thew_request_sound(request) || !find_movement(request, exercise, variant, &of)) return;
    thew_settings settings;
    if (!thew_request_store(request, thew_set_up_settings(request->studio, &settings))) return;
    thew_set_line line = { .kind = of->exercise->kind,
                           .tempo = of->tempo,
                           .starts_lifting = thew_catalogue_movement(of)->starts_lifting,
                           .floor_s = settings.floor_s,
                           .window_from_s = settings.window_from_s,
                           .window_to_s = settings.window_to_s,
                           .width_px = width };
    if (ended && seconds >= 0) line.mark[line.mark_count++] = (thew_set_line_mark){ thew_know_ended(ended), seconds, 0 };
    if (p10_s >= 0 && p50_s >= p10_s && p90_s >= p50_s) {
        line.has_expected = true;
        line.p10_s = p10_s;
        line.p50_s = p50_s;
        line.p90_s = p90_s;
    }
    thew_answer_svg(request, thew_set_line_svg(&line));
}

// --- a figure

static const thew_implement *find_implement(const thew_variant *variant, const char *name)
{
    if (!name) return variant->implement;
    const thew_implement *found = thew_variant_implement(variant, name);
    for (size_t i = 0; !found && i < variant->implement_count; i++)
        if (g_str_equal(thew_implement_kind_id(variant->implement[i].kind), name)) found = &variant->implement[i];
    return found;
}

void thew_figure_drawing(thew_request *request)
{
    const char *variant = thew_request_text(request, "variant", NULL), *implement = thew_request_text(request, "implement", NULL);
    double width = width_of(request);
    const thew_variant *of;
    if (!thew_request_sound(request) || !find_movement(request, NULL, variant, &of)) return;
    const thew_implement *with = find_implement(of, implement);
    if (!with) {
        thew_answer_problem(request, 404, "This variant is not done with that implement.");
        return;
    }
    thew_body_model body = thew_body_build((thew_body){ 0 });
    thew_figure figure = { .variant = of, .implement = with, .body = &body, .width_px = width };
    thew_answer_header(request, "Cache-Control", "private, max-age=3600");
    thew_answer_svg(request, thew_figure_svg(&figure));
}

// --- a band's curve

char *thew_drawing_of_curve(const thew_equipment *item, double width_px)
{
    g_autofree thew_reading *reading = g_new0(thew_reading, item->reading_count + 1);
    for (guint i = 0; i < item->reading_count; i++)
        reading[i] = (thew_reading){ item->reading[i].length_m, item->reading[i].force_n };
    thew_curve_plot plot = { item->item.label, &item->curve->band, reading, (int)item->reading_count, item->item.item, width_px };
    return thew_curve_svg(&plot);
}

char *thew_drawing_of_typed_curve(const thew_curve *curve, const thew_reading_given *reading, guint count, double width_px)
{
    g_autofree thew_reading *read = g_new0(thew_reading, count + 1);
    for (guint i = 0; i < count; i++)
        read[i] = (thew_reading){ reading[i].length_m, reading[i].force_n };
    thew_curve_plot plot = { NULL, &curve->band, read, (int)count, "typed", width_px };
    return thew_curve_svg(&plot);
}

void thew_curve_drawing(thew_request *request)
{
    double width = width_of(request);
    g_autoptr(thew_kit) kit = NULL;
    if (!thew_request_sound(request)) return;
    if (!thew_request_done(request, thew_equip_read(request->studio, request->part[0], &kit, request->refusal))) return;
    const thew_equipment *item = kit->item->pdata[0];
    // Everybody's kit is in everybody's hands.
    if (!thew_request_may(request, item->item.person ? THEW_ACT_READ_KIT : THEW_ACT_READ_CATALOGUE, item->item.person)) return;
    if (item->curve)
        thew_answer_svg(request, thew_drawing_of_curve(item, width));
    else
        thew_answer_problem(request, 404, "This item has no curve: it is no band, or nothing is known of it yet.");
}
