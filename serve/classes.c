// classes.c: classes and training blocks: composed, judged, kept, fitted to each who takes part.
#include <string.h>

#include "serve/handlers.h"
#include "serve/tell.h"
#include "studio/fit_class.h"
#include "studio/keep_class.h"
#include "studio/plan_block.h"
#include "studio/words.h"

// --- wishes as the browser says them, and as they are kept

static unsigned positions_of(const thew_shape_list *words)
{
    unsigned bits = 0;
    for (guint i = 0; i < words->count; i++)
        for (int p = 0; p < THEW_POSITION_COUNT; p++)
            if (strcmp(thew_position_id((thew_position)p), *thew_shape_item(*words, char *, i)) == 0) bits |= 1u << p;
    return bits;
}

static unsigned kinds_of(const thew_shape_list *words)
{
    unsigned bits = 0;
    for (guint i = 0; i < words->count; i++)
        for (int k = 0; k < THEW_IMPLEMENT_COUNT; k++)
            if (strcmp(thew_implement_kind_id((thew_implement_kind)k), *thew_shape_item(*words, char *, i)) == 0) bits |= 1u << k;
    return bits;
}

static thew_kept_wishes wishes_of(const thew_wishes_body *given)
{
    return (thew_kept_wishes){ .goal = given->goals.item,
                               .goal_count = given->goals.count,
                               .minutes = given->minutes,
                               .positions = positions_of(&given->positions),
                               .kinds = kinds_of(&given->kinds),
                               .sets = given->sets,
                               .rest_s = given->rest_s,
                               .fixed = given->fixed.item,
                               .excluded = given->excluded.item };
}

static json_t *tell_wishes(const thew_kept_wishes *wishes)
{
    json_t *goals = json_array(), *positions = json_array(), *kinds = json_array();
    for (guint i = 0; i < wishes->goal_count; i++)
        json_array_append_new(goals, json_pack("{s:s, s:i}", "goal", wishes->goal[i].goal, "weight", wishes->goal[i].weight));
    for (int p = 0; p < THEW_POSITION_COUNT; p++)
        if (wishes->positions & (1u << p)) json_array_append_new(positions, json_string(thew_position_id((thew_position)p)));
    for (int k = 0; k < THEW_IMPLEMENT_COUNT; k++)
        if (wishes->kinds & (1u << k)) json_array_append_new(kinds, json_string(thew_implement_kind_id((thew_implement_kind)k)));
    return json_pack("{s:o, s:f, s:o, s:o, s:i, s:i, s:o, s:o}", "goals", goals, "minutes", wishes->minutes, "positions", positions,
                     "kinds", kinds, "sets", wishes->sets, "rest_s", wishes->rest_s, "fixed", thew_tell_texts(wishes->fixed),
                     "excluded", thew_tell_texts(wishes->excluded));
}

// --- a plan

static json_t *tell_muscles(const thew_muscle *const *muscle, size_t count)
{
    json_t *list = json_array();
    for (size_t i = 0; i < count; i++)
        json_array_append_new(list, json_string(muscle[i]->id));
    return list;
}

static json_t *tell_goals_of(const GPtrArray *serves)
{
    json_t *list = json_array();
    for (guint i = 0; serves && i < serves->len; i++)
        json_array_append_new(list, json_string(((const thew_goal *)serves->pdata[i])->id));
    return list;
}

// What is to be said about an item without breaking a wish.
static json_t *tell_notes(const thew_class_plan *plan, guint item)
{
    json_t *list = json_array();
    for (guint i = 0; i < plan->finding->len; i++) {
        const thew_class_finding *one = &g_array_index(plan->finding, thew_class_finding, i);
        if (one->kind != THEW_CLASS_ORDER || one->item != item) continue;
        g_autofree char *words = thew_class_finding_words(plan, one);
        json_array_append_new(list, json_string(words));
    }
    return list;
}

static json_t *tell_slot(const thew_class_plan *plan, guint i)
{
    const thew_class_item *one = &g_array_index(plan->item, thew_class_item, i);
    double rest_s = i + 1 < plan->item->len ? g_array_index(plan->item, thew_class_item, i + 1).pause_s : one->pause_s;
    json_t *slot = json_pack("{s:s, s:s, s:i, s:f, s:s, s:s, s:s, s:f, s:f, s:i}", "exercise", one->exercise->id, "variant",
                             one->variant->id, "sets", one->sets, "rest_s", rest_s, "exercise_name", one->exercise->name,
                             "variant_name", one->variant->name, "position", thew_position_id(one->variant->position), "starts_s",
                             one->start_s, "ends_s", one->end_s, "sides", one->by_side ? 2 : 1);
    json_object_set_new(slot, "goals", tell_goals_of(one->serves));
    json_object_set_new(slot, "prime_movers", tell_muscles(one->exercise->prime_mover, one->exercise->prime_mover_count));
    json_object_set_new(slot, "synergists", tell_muscles(one->exercise->synergist, one->exercise->synergist_count));
    json_object_set_new(slot, "notes", tell_notes(plan, i));
    return slot;
}

static bool is_of_an_item(thew_class_finding_kind kind)
{
    return kind == THEW_CLASS_EXCLUDED || kind == THEW_CLASS_TWICE || kind == THEW_CLASS_POSITION || kind == THEW_CLASS_KIT ||
           kind == THEW_CLASS_REPEAT;
}

static json_t *tell_broken(const thew_class_plan *plan)
{
    json_t *list = json_array();
    for (guint i = 0; i < plan->finding->len; i++) {
        const thew_class_finding *one = &g_array_index(plan->finding, thew_class_finding, i);
        if (one->kind >= THEW_CLASS_BREAKS_COUNT) continue;
        g_autofree char *words = thew_class_finding_words(plan, one);
        json_array_append_new(list, json_pack("{s:s, s:o}", "words", words, "slot",
                                              is_of_an_item(one->kind) ? json_integer((json_int_t)one->item) : json_null()));
    }
    return list;
}

// A goal's share: all of it once two exercises serve it (compose_class.h: a second one is worth half of the first).
static double share_of(const thew_class_goal *goal)
{
    double second = THEW_CLASS_SECOND_PERCENT / 100.;
    return goal->exercises == 0 ? 0 : goal->exercises == 1 ? 1 / (1 + second) : 1;
}

static char *words_of(const thew_class_plan *plan)
{
    GString *words = g_string_new(NULL);
    guint covered = 0;
    for (guint i = 0; i < plan->goal->len; i++)
        covered += g_array_index(plan->goal, thew_class_goal, i).exercises > 0;
    g_string_append_printf(words, "%u exercise%s in %.0f minutes; %u of %u goals covered.", plan->item->len,
                           plan->item->len == 1 ? "" : "s", plan->seconds / 60, covered, plan->goal->len);
    for (guint i = 0; i < plan->finding->len; i++) {
        const thew_class_finding *one = &g_array_index(plan->finding, thew_class_finding, i);
        if (one->kind != THEW_CLASS_OUT_OF_REACH && one->kind != THEW_CLASS_NARROWED) continue;
        g_autofree char *more = thew_class_finding_words(plan, one);
        g_string_append_printf(words, " %s", more);
    }
    return g_string_free(words, FALSE);
}

static json_t *tell_plan(const thew_class_plan *plan)
{
    json_t *slots = json_array(), *covered = json_array(), *uncovered = json_array();
    for (guint i = 0; i < plan->item->len; i++)
        json_array_append_new(slots, tell_slot(plan, i));
    for (guint i = 0; i < plan->goal->len; i++) {
        const thew_class_goal *one = &g_array_index(plan->goal, thew_class_goal, i);
        if (one->exercises > 0)
            json_array_append_new(covered, json_pack("{s:s, s:f}", "goal", one->goal->id, "share", share_of(one)));
        else
            json_array_append_new(uncovered, json_string(one->goal->id));
    }
    g_autofree char *words = words_of(plan);
    return json_pack("{s:o, s:f, s:o, s:o, s:f, s:b, s:f, s:o, s:s}", "slots", slots, "minutes", plan->seconds / 60, "covered",
                     covered, "uncovered", uncovered, "objective", (double)plan->score.coverage, "optimal", plan->optimal, "gap",
                     thew_class_gap(plan), "broken", tell_broken(plan), "words", words);
}

void thew_classes_compose(thew_request *request)
{
    thew_kept_wishes wishes = wishes_of(thew_request_row(request, thew_wishes_body));
    g_autoptr(thew_class_plan) plan = NULL;
    if (thew_request_done(request, thew_keep_class_compose(request->studio, &wishes, &plan, request->refusal)))
        thew_answer_json(request, 200, tell_plan(plan));
}

void thew_classes_judge(thew_request *request)
{
    const thew_class_body *given = thew_request_row(request, thew_class_body);
    thew_kept_plan order = { .wishes = wishes_of(&given->wishes), .slot = given->slots.item, .slot_count = given->slots.count };
    g_autoptr(thew_class_plan) plan = NULL;
    if (thew_request_done(request, thew_keep_class_judge(request->studio, &order, &plan, request->refusal)))
        thew_answer_json(request, 200, tell_plan(plan));
}

// --- classes

void thew_classes_list(thew_request *request)
{
    g_autoptr(thew_classes) classes = NULL;
    if (!thew_request_done(request, thew_keep_class_list(request->studio, &classes, request->refusal))) return;
    json_t *list = json_array();
    for (guint i = 0; i < classes->brief->len; i++) {
        const thew_class_brief *one = &g_array_index(classes->brief, thew_class_brief, i);
        json_array_append_new(list, json_pack("{s:s, s:i, s:s, s:f, s:i, s:o, s:b, s:o}", "class", one->class, "version",
                                              one->version, "called", one->called, "minutes", one->minutes, "slots",
                                              (int)one->slots, "goals", thew_tell_texts(one->goal), "retired", one->retired,
                                              "made_at", thew_tell_instant(one->made_us)));
    }
    thew_answer_json(request, 200, list);
}

static void answer_class(thew_request *request, const char *class)
{
    g_autoptr(thew_class_kept) kept = NULL;
    if (!thew_request_done(request, thew_keep_class_read(request->studio, class, 0, &kept, request->refusal))) return;
    const thew_class_version *one = &kept->class;
    g_autoptr(thew_class_plan) plan = NULL;
    if (!thew_request_done(request, thew_keep_class_judge(request->studio, &one->plan, &plan, request->refusal))) return;
    json_t *slots = json_array();
    for (guint i = 0; i < one->plan.slot_count; i++)
        json_array_append_new(slots, thew_shape_write(&thew_part_slot, &one->plan.slot[i]));
    thew_answer_json(request, 200,
                     json_pack("{s:s, s:i, s:s, s:o, s:o, s:b, s:o, s:o, s:s}", "class", one->class, "version", one->version,
                               "called", one->called, "wishes", tell_wishes(&one->plan.wishes), "slots", slots, "retired",
                               one->retired, "plan", tell_plan(plan), "made_at", thew_tell_instant(one->made_us), "written_by",
                               one->written_by));
}

void thew_classes_read(thew_request *request)
{
    answer_class(request, request->part[0]);
}

void thew_classes_keep(thew_request *request)
{
    const thew_class_body *given = thew_request_row(request, thew_class_body);
    thew_class_version class = {
        .class = given->class, .version = given->version, .called = given->called, .retired = given->retired
    };
    class.plan =
        (thew_kept_plan){ .wishes = wishes_of(&given->wishes), .slot = given->slots.item, .slot_count = given->slots.count };
    thew_actor actor = thew_request_actor(request);
    if (thew_request_done(request, thew_keep_class(request->studio, &actor, &class, request->refusal)))
        answer_class(request, given->class);
}

// --- fits

static json_t *tell_cell(const thew_fit_cell *cell)
{
    json_t *sides = json_array();
    for (guint s = 0; s < cell->side_count; s++)
        json_array_append_new(sides, json_pack("{s:s, s:s, s:o, s:o}", "side", thew_words_side(cell->side[s].side), "label",
                                               cell->side[s].label, "window", thew_tell_real(cell->side[s].window), "goal_s",
                                               thew_tell_real(cell->side[s].goal_s)));
    return json_pack("{s:s, s:s, s:o, s:o, s:s}", "state", thew_cell_state_word(cell->state), "label",
                     cell->label ? cell->label : "", "variant", thew_tell_text(cell->variant), "side_labels", sides, "words",
                     cell->words ? cell->words : "");
}

static json_t *tell_fits(const char *class, const thew_class_fits *fits)
{
    json_t *slots = json_array(), *people = json_array();
    for (guint s = 0; s < fits->slot_count; s++)
        json_array_append_new(slots, json_pack("{s:s, s:s, s:s}", "exercise", fits->slot[s].exercise, "variant",
                                               fits->slot[s].variant, "name", fits->slot[s].name));
    for (guint p = 0; p < fits->person_count; p++) {
        json_t *cells = json_array();
        for (guint s = 0; s < fits->slot_count; s++)
            json_array_append_new(cells, tell_cell(&fits->person[p].cell[s]));
        json_array_append_new(people, json_pack("{s:s, s:s, s:o}", "person", fits->person[p].person, "called",
                                                fits->person[p].called, "cells", cells));
    }
    return json_pack("{s:s, s:o, s:o, s:o}", "class", class, "day", thew_tell_day(fits->day), "slots", slots, "people", people);
}

void thew_classes_fits(thew_request *request)
{
    const char *people = thew_request_text(request, "people", "");
    thew_date date = thew_request_day(request, "day");
    if (!thew_request_sound(request)) return;
    g_auto(GStrv) person = g_strsplit(people, ",", -1);
    bool is_of_all = !*person || !**person;
    if (is_of_all && !thew_request_may(request, THEW_ACT_OVERVIEW, NULL)) return;
    for (guint i = 0; !is_of_all && person[i]; i++)
        if (!thew_request_may(request, THEW_ACT_FIT_CLASS, person[i])) return;
    g_autoptr(thew_class_fits) fits = NULL;
    thew_day day = thew_tell_day_or_today(request->studio, date);
    if (thew_request_done(request, thew_fit_class(request->studio, request->part[0], is_of_all ? NULL : (const char *const *)person,
                                                  day, &fits, request->refusal)))
        thew_answer_json(request, 200, tell_fits(request->part[0], fits));
}

// --- training blocks

static json_t *tell_block(const thew_block *block)
{
    json_t *weekdays = json_array();
    for (int i = 0; i < block->plan.weekday_count; i++)
        json_array_append_new(weekdays, json_integer(block->plan.weekday[i]));
    json_t *plan = json_pack("{s:i, s:o, s:o, s:i, s:o}", "sessions_a_week", block->plan.sessions_a_week, "weekdays", weekdays,
                             "class", thew_tell_text(block->plan.class), "sets", block->plan.sets, "easier_every_weeks",
                             block->plan.easier_every_weeks ? json_integer(block->plan.easier_every_weeks) : json_null());
    return json_pack("{s:s, s:i, s:s, s:o, s:o, s:b, s:o}", "block", block->block, "version", block->version, "called",
                     block->called, "from_day", thew_tell_date(block->from_day), "until_day", thew_tell_date(block->until_day),
                     "retired", block->retired, "plan", plan);
}

static const thew_block *find_block(const thew_blocks *blocks, const char *name)
{
    for (guint i = 0; i < blocks->block->len; i++) {
        const thew_block *one = &((const thew_block_whole *)blocks->block->pdata[i])->block;
        if (strcmp(one->block, name) == 0) return one;
    }
    return NULL;
}

void thew_blocks_list(thew_request *request)
{
    g_autoptr(thew_blocks) blocks = NULL;
    if (!thew_request_done(request, thew_plan_block_list(request->studio, request->part[0], &blocks, request->refusal))) return;
    json_t *list = json_array();
    for (guint i = 0; i < blocks->block->len; i++)
        json_array_append_new(list, tell_block(&((const thew_block_whole *)blocks->block->pdata[i])->block));
    thew_answer_json(request, 200, list);
}

static bool take_weekdays(thew_request *request, const thew_shape_list *days, thew_block_plan *plan)
{
    if (days->count > THEW_BLOCK_WEEKDAYS_MAX) {
        thew_refusal_add(request->refusal, "/plan/weekdays", "has %u elements; a week has %d days", days->count,
                         THEW_BLOCK_WEEKDAYS_MAX);
        thew_answer_refusal(request, THEW_INVALID);
        return false;
    }
    plan->weekday_count = (int)days->count;
    for (guint i = 0; i < days->count; i++)
        plan->weekday[i] = *thew_shape_item(*days, int, i);
    return true;
}

void thew_blocks_add(thew_request *request)
{
    const thew_block_body *given = thew_request_row(request, thew_block_body);
    thew_block block = given->block;
    block.person = request->part[0];
    if (!take_weekdays(request, &given->weekdays, &block.plan)) return;
    thew_actor actor = thew_request_actor(request);
    if (!thew_request_done(request, thew_plan_block(request->studio, &actor, &block, request->refusal))) return;
    g_autoptr(thew_blocks) blocks = NULL;
    if (!thew_request_done(request, thew_plan_block_list(request->studio, request->part[0], &blocks, request->refusal))) return;
    const thew_block *kept = find_block(blocks, block.block);
    if (kept) thew_answer_json(request, 200, tell_block(kept));
}
