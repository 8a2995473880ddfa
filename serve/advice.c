// advice.c: the next loads, the coach's answer to them, strength over months.
#include "serve/handlers.h"
#include "serve/tell.h"
#include "studio/propose.h"
#include "studio/strength_of.h"
#include "studio/words.h"

// --- one advice

static json_t *tell_rung(const thew_proposed_rung *rung)
{
    const thew_fitted *fitted = rung->fitted;
    return json_pack("{s:s, s:o, s:o, s:s, s:o, s:o, s:b, s:b, s:b}", "variant", fitted->variant->id, "implement",
                     thew_tell_text(fitted->piece ? fitted->piece->label : NULL), "setting",
                     thew_tell_text(fitted->setting ? fitted->setting->id : NULL), "label", fitted->label, "demand",
                     thew_tell_real(fitted->demand.peak_share), "odds", thew_tell_odds(&rung->odds), "advised", rung->is_advised,
                     "last", rung->is_last, "chosen", rung->is_chosen);
}

static json_t *tell_ladder(const GArray *rung)
{
    json_t *list = json_array();
    for (guint i = 0; rung && i < rung->len; i++)
        json_array_append_new(list, tell_rung(&g_array_index(rung, thew_proposed_rung, i)));
    return list;
}

static json_t *tell_override(const thew_proposed *one)
{
    if (!one->override_label) return json_null();
    return json_pack("{s:s, s:s}", "label", one->override_label, "reason", one->override_reason ? one->override_reason : "");
}

static json_t *tell_advised(const thew_proposed *one)
{
    const thew_advised *found = one->advised;
    json_t *load =
        json_pack("{s:s, s:s, s:s, s:s, s:s, s:s, s:o, s:o, s:s, s:s}", "advice", one->advice, "exercise", found->exercise->id,
                  "exercise_name", found->exercise->name, "side", thew_words_side(found->side), "variant", one->variant,
                  "variant_name", one->variant_name, "implement", thew_tell_text(one->implement), "setting",
                  thew_tell_text(one->setting), "label", one->label, "setting_words", one->setting_words ? one->setting_words : "");
    json_t *rest = json_pack(
        "{s:f, s:f, s:f, s:f, s:o, s:s, s:s, s:o, s:o, s:o, s:o, s:i, s:s, s:o, s:o, s:o, s:b}", "goal_s", one->goal_s, "floor_s",
        one->floor_s, "window_from_s", one->window_from_s, "window_to_s", one->window_to_s, "odds", thew_tell_odds(&one->odds),
        "reason", one->reason, "reason_code", one->reason_code, "if_completed", thew_tell_text(one->if_completed), "if_early",
        thew_tell_text(one->if_early), "earliest", thew_tell_day(found->earliest), "last_day", thew_tell_day(found->last_day),
        "sets", found->record_count, "became", thew_became_word(one->became), "override", tell_override(one), "ladder",
        tell_ladder(one->rung), "cautions", thew_tell_texts(one->caution), "outside_endurance", found->outside_endurance);
    json_object_update(load, rest);
    json_decref(rest);
    return load;
}

// --- a person's

void thew_advice_read(thew_request *request)
{
    thew_date date = thew_request_day(request, "day");
    if (!thew_request_sound(request)) return;
    thew_day day = thew_tell_day_or_today(request->studio, date);
    g_autoptr(thew_proposals) proposals = NULL;
    if (!thew_request_done(request, thew_propose(request->studio, request->part[0], day, &proposals, request->refusal))) return;
    json_t *advised = json_array(), *notes = thew_tell_strings(proposals->note);
    for (guint i = 0; i < proposals->proposed->len; i++) {
        const thew_proposed *one = &g_array_index(proposals->proposed, thew_proposed, i);
        if (one->advice)
            json_array_append_new(advised, tell_advised(one));
        else
            json_array_append_new(notes, json_sprintf("%s: %s", one->advised->exercise->name, one->reason));
    }
    thew_answer_json(request, 200,
                     json_pack("{s:s, s:o, s:s, s:b, s:o, s:o}", "person", request->part[0], "day", thew_tell_day(day), "endpoint",
                               proposals->advice->endpoint == THEW_TO_RESERVE ? "reserve" : "failure", "declined",
                               proposals->advice->declined, "notes", notes, "advised", advised));
}

// --- the coach's answer

// Whose it is, and whether whoever asks may decide it.
static bool find_advice(thew_request *request, char **person, thew_day *day)
{
    if (!thew_request_done(request, thew_propose_whose(request->studio, request->part[0], person, day, request->refusal)))
        return false;
    return thew_request_may(request, THEW_ACT_DECIDE_ADVICE, *person);
}

static void answer_advised(thew_request *request, const char *person, thew_day day)
{
    g_autoptr(thew_proposals) proposals = NULL;
    if (!thew_request_done(request, thew_propose(request->studio, person, day, &proposals, request->refusal))) return;
    const thew_proposed *one = thew_proposals_find(proposals, request->part[0]);
    if (one)
        thew_answer_json(request, 200, tell_advised(one));
    else
        thew_answer_problem(request, 409, "Something else is advised by now; look at the advice anew.");
}

void thew_advice_accept(thew_request *request)
{
    g_autofree char *person = NULL;
    thew_day day = THEW_NO_DAY;
    if (!find_advice(request, &person, &day)) return;
    if (thew_request_done(request, thew_propose_accept(request->studio, request->part[0], request->refusal)))
        answer_advised(request, person, day);
}

void thew_advice_override(thew_request *request)
{
    const thew_override_body *given = thew_request_row(request, thew_override_body);
    thew_other_load choice = { given->override, given->variant, given->implement, given->setting, given->reason };
    thew_actor actor = thew_request_actor(request);
    g_autofree char *person = NULL;
    thew_day day = THEW_NO_DAY;
    if (!find_advice(request, &person, &day)) return;
    if (thew_request_done(request, thew_propose_override(request->studio, &actor, request->part[0], &choice, request->refusal)))
        answer_advised(request, person, day);
}

void thew_advice_reopen(thew_request *request)
{
    g_autofree char *person = NULL;
    thew_day day = THEW_NO_DAY;
    if (!find_advice(request, &person, &day)) return;
    if (thew_request_done(request, thew_propose_undo(request->studio, request->part[0], request->refusal)))
        answer_advised(request, person, day);
}

// --- strength

static json_t *tell_estimates(const thew_strength *strength)
{
    json_t *list = json_array();
    for (guint i = 0; i < strength->smoothed->len; i++) {
        const thew_strength_estimate *one = &g_array_index(strength->smoothed, thew_strength_estimate, i);
        double spread = THEW_STRENGTH_Z80 * one->ln_sd;
        json_array_append_new(list, json_pack("{s:o, s:f, s:f, s:f}", "day", thew_tell_day(one->day), "percent",
                                              thew_strength_percent(strength, one->ln_mean), "low",
                                              thew_strength_percent(strength, one->ln_mean - spread), "high",
                                              thew_strength_percent(strength, one->ln_mean + spread)));
    }
    return list;
}

static json_t *tell_points(const thew_strength *strength)
{
    json_t *list = json_array();
    for (guint i = 0; i < strength->point->len; i++) {
        const thew_strength_point *one = &g_array_index(strength->point, thew_strength_point, i);
        thew_day day = g_array_index(strength->set, thew_strength_set, i).day;
        json_array_append_new(list, json_pack("{s:s, s:o, s:o, s:s, s:f, s:s}", "record", one->record ? one->record : "", "day",
                                              thew_tell_day(day), "percent", thew_tell_real(one->percent), "ended",
                                              thew_words_ended(one->ended), "seconds", one->seconds, "label", one->label));
    }
    return list;
}

void thew_strength_read(thew_request *request)
{
    static const char *const sides[] = { "both", "left", "right", NULL };
    const char *exercise = thew_request_text(request, "exercise", NULL), *side = thew_request_word(request, "side", sides, "both");
    if (!exercise) thew_refusal_add(request->refusal, "", "the parameter exercise is missing");
    if (!thew_request_sound(request)) return;
    g_autoptr(thew_strength) strength = NULL;
    if (!thew_request_done(request, thew_studio_strength(request->studio, request->part[0], exercise, thew_know_side(side),
                                                         &strength, request->refusal)))
        return;
    thew_answer_json(request, 200,
                     json_pack("{s:s, s:s, s:o, s:o, s:s}", "exercise", exercise, "side", side, "estimates",
                               tell_estimates(strength), "sets", tell_points(strength), "words",
                               strength->sentence ? strength->sentence : ""));
}
