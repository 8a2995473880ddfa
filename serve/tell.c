// tell.c: see tell.h.
#include "serve/tell.h"

#include <math.h>

#include "catalogue/measures.h"
#include "catalogue/screening.h"
#include "exchange/instant.h"
#include "serve/shape.h"

json_t *thew_tell_text(const char *text)
{
    return text ? json_string(text) : json_null();
}

json_t *thew_tell_real(double number)
{
    return isfinite(number) ? json_real(number) : json_null();
}

json_t *thew_tell_maybe(thew_maybe_real number)
{
    return number.known ? thew_tell_real(number.value) : json_null();
}

json_t *thew_tell_date(thew_date date)
{
    char text[THEW_DATE_TEXT];
    return date.year ? json_string(thew_date_text(date, text)) : json_null();
}

json_t *thew_tell_day(thew_day day)
{
    return thew_tell_date(thew_studio_date(day));
}

json_t *thew_tell_instant(thew_utc at)
{
    char text[THEW_INSTANT_TEXT];
    return thew_tell_text(at.us ? thew_instant_us_text(at.us, text) : NULL);
}

json_t *thew_tell_texts(const char *const *text)
{
    json_t *list = json_array();
    for (; text && *text; text++)
        json_array_append_new(list, json_string(*text));
    return list;
}

json_t *thew_tell_strings(const GPtrArray *strings)
{
    json_t *list = json_array();
    for (guint i = 0; strings && i < strings->len; i++)
        json_array_append_new(list, json_string(strings->pdata[i]));
    return list;
}

json_t *thew_tell_odds(const thew_odds *odds)
{
    return json_pack("{s:f, s:f, s:f, s:f, s:o, s:o, s:o}", "floor", odds->p_floor, "early", odds->p_early, "window",
                     odds->p_window, "beyond", odds->p_beyond, "p10_s", thew_tell_real(odds->p10_s), "p50_s",
                     thew_tell_real(odds->p50_s), "p90_s", thew_tell_real(odds->p90_s));
}

thew_day thew_tell_day_or_today(thew_studio *studio, thew_date date)
{
    return date.year ? thew_studio_number(date) : thew_studio_today(studio);
}

// --- screening

static json_t *tell_answers(const thew_screening *screening)
{
    json_t *list = json_array();
    for (guint i = 0; i < screening->answer->len; i++) {
        const thew_store_answer *one = &g_array_index(screening->answer, thew_store_answer, i);
        json_array_append_new(list, json_pack("{s:s, s:s, s:s, s:o}", "question", one->question, "answer", one->answer, "note",
                                              one->note ? one->note : "", "answered_at", thew_tell_instant(one->answered_us)));
    }
    return list;
}

static json_t *tell_missing(const thew_screening *screening)
{
    json_t *list = json_array();
    for (guint i = 0; i < screening->missing->len; i++)
        json_array_append_new(list, json_string(((const thew_question *)screening->missing->pdata[i])->id));
    return list;
}

static json_t *tell_findings(const thew_screening *screening)
{
    json_t *list = json_array();
    for (guint i = 0; i < screening->finding->len; i++) {
        const thew_finding *one = &g_array_index(screening->finding, thew_finding, i);
        json_array_append_new(list, json_pack("{s:s, s:s, s:s}", "rule", one->rule, "words", one->words, "action",
                                              thew_screen_action_id(one->action)));
    }
    return list;
}

json_t *thew_tell_screening(const thew_screening *screening)
{
    return json_pack("{s:o, s:o, s:s, s:o, s:o}", "answers", tell_answers(screening), "missing", tell_missing(screening), "verdict",
                     thew_screen_verdict_word(screening->verdict), "endpoint_forced",
                     thew_tell_text(screening->reserve_forced ? "reserve" : NULL), "findings", tell_findings(screening));
}

// --- the catalogue

static json_t *tell_goals(const thew_catalogue *catalogue)
{
    size_t count;
    const thew_goal *const *goal = thew_catalogue_goals(catalogue, &count);
    json_t *list = json_array();
    for (size_t i = 0; i < count; i++)
        json_array_append_new(list,
                              json_pack("{s:s, s:s, s:s}", "goal", goal[i]->id, "name", goal[i]->name, "words", goal[i]->words));
    return list;
}

static json_t *tell_muscles(const thew_catalogue *catalogue)
{
    size_t count;
    const thew_muscle *const *muscle = thew_catalogue_muscles(catalogue, &count);
    json_t *list = json_array();
    for (size_t i = 0; i < count; i++)
        json_array_append_new(list, json_pack("{s:s, s:s, s:s}", "muscle", muscle[i]->id, "name", muscle[i]->name, "region",
                                              thew_region_id(muscle[i]->region)));
    return list;
}

static json_t *tell_settings(const thew_implement *implement)
{
    json_t *list = json_array();
    for (size_t i = 0; i < implement->setting_count; i++)
        json_array_append_new(list, json_pack("{s:s, s:s}", "setting", implement->setting[i].id, "words",
                                              implement->setting[i].words ? implement->setting[i].words : ""));
    return list;
}

static json_t *tell_cautions(const thew_implement *implement)
{
    json_t *list = json_array();
    for (size_t i = 0; i < implement->caution_count; i++) {
        const thew_caution *one = implement->caution[i];
        json_array_append_new(list, json_pack("{s:s, s:s, s:b, s:s}", "caution", one->id, "words", one->words, "confirm",
                                              one->confirm, "when", one->when == THEW_BEFORE_SET ? "before" : "during"));
    }
    return list;
}

static json_t *tell_implements(const thew_variant *variant)
{
    json_t *list = json_array();
    for (size_t i = 0; i < variant->implement_count; i++) {
        const thew_implement *one = &variant->implement[i];
        json_array_append_new(list, json_pack("{s:s, s:s, s:i, s:s, s:o, s:o, s:o}", "implement", one->id, "kind",
                                              thew_implement_kind_id(one->kind), "pieces", one->pieces, "words",
                                              one->words ? one->words : "", "anchor", thew_tell_text(one->anchor_words), "settings",
                                              tell_settings(one), "cautions", tell_cautions(one)));
    }
    return list;
}

static json_t *tell_some(const char *const *text, size_t count)
{
    json_t *list = json_array();
    for (size_t i = 0; i < count; i++)
        json_array_append_new(list, json_string(text[i]));
    return list;
}

static json_t *tell_variants(const thew_exercise *exercise)
{
    json_t *list = json_array();
    for (size_t i = 0; i < exercise->variant_count; i++) {
        const thew_variant *one = exercise->variant[i];
        json_array_append_new(list,
                              json_pack("{s:s, s:s, s:s, s:b, s:o, s:o, s:s, s:o}", "variant", one->id, "name", one->name,
                                        "position", thew_position_id(one->position), "unilateral", one->unilateral, "set_up",
                                        tell_some(one->set_up, one->set_up_count), "cues", tell_some(one->cue, one->cue_count),
                                        "breathing", one->breathing ? one->breathing : "", "implements", tell_implements(one)));
    }
    return list;
}

static json_t *tell_muscle_ids(const thew_muscle *const *muscle, size_t count)
{
    json_t *list = json_array();
    for (size_t i = 0; i < count; i++)
        json_array_append_new(list, json_string(muscle[i]->id));
    return list;
}

static json_t *tell_exercise(const thew_exercise *one)
{
    json_t *goals = json_array();
    for (size_t i = 0; i < one->goal_count; i++)
        json_array_append_new(goals, json_string(one->goal[i]->id));
    return json_pack("{s:s, s:s, s:s, s:o, s:o, s:o, s:o, s:s}", "exercise", one->id, "name", one->name, "kind",
                     one->kind == THEW_HOLD ? "hold" : "repetitions", "prime_movers",
                     tell_muscle_ids(one->prime_mover, one->prime_mover_count), "synergists",
                     tell_muscle_ids(one->synergist, one->synergist_count), "goals", goals, "variants", tell_variants(one), "usual",
                     one->usual->id);
}

static json_t *tell_exercises(const thew_catalogue *catalogue)
{
    size_t count;
    const thew_exercise *const *exercise = thew_catalogue_exercises(catalogue, &count);
    json_t *list = json_array();
    for (size_t i = 0; i < count; i++)
        json_array_append_new(list, tell_exercise(exercise[i]));
    return list;
}

static json_t *tell_question(const thew_question *question)
{
    json_t *choices = json_array();
    for (size_t i = 0; i < question->choice_count; i++)
        json_array_append_new(choices,
                              json_pack("{s:s, s:s}", "choice", question->choice[i].id, "words", question->choice[i].words));
    return json_pack("{s:s, s:s, s:s, s:s, s:o, s:o, s:o}", "question", question->id, "words", question->words, "help",
                     question->help ? question->help : "", "kind", thew_ask_kind_id(question->kind), "unit",
                     thew_tell_text(question->unit), "choices", choices, "rules", tell_some(question->rule, question->rule_count));
}

static json_t *tell_questions(const thew_catalogue *catalogue)
{
    size_t count;
    const thew_question *const *question = thew_catalogue_questions(catalogue, &count);
    json_t *list = json_array();
    for (size_t i = 0; i < count; i++)
        json_array_append_new(list, tell_question(question[i]));
    return list;
}

static json_t *tell_measures(void)
{
    size_t count;
    const thew_measure *measure = thew_measures(&count);
    json_t *list = json_array();
    for (size_t i = 0; i < count; i++)
        json_array_append_new(list, json_pack("{s:s, s:s, s:s, s:s, s:s}", "measure", measure[i].measure, "name", measure[i].name,
                                              "unit", measure[i].unit, "words", measure[i].words, "better",
                                              measure[i].higher_is_better ? "higher" : "lower"));
    return list;
}

json_t *thew_tell_catalogue(const thew_catalogue *catalogue)
{
    return json_pack("{s:o, s:o, s:o, s:o, s:o}", "goals", tell_goals(catalogue), "muscles", tell_muscles(catalogue), "exercises",
                     tell_exercises(catalogue), "screening", tell_questions(catalogue), "measures", tell_measures());
}
