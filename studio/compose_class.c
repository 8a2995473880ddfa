// compose_class.c: which exercises may be in a class, and what is asked of the engine. See compose_class.h.
// What a wish means is in compose_class_wishes.c, what a class comes to in compose_class_plan.c.
#include "studio/compose_class.h"

#include <math.h>
#include <stdlib.h>

#include "studio/compose_class_parts.h"

// ---- options ----

bool thew_class_needs_anchor(const thew_implement *implement)
{
    bool stretches = implement->kind == THEW_IMPLEMENT_BAND || implement->kind == THEW_IMPLEMENT_LOOP;
    const thew_anchor *anchor = &implement->movement.anchor;
    return stretches && !anchor->moves && !anchor->mirrored && fabs(anchor->dx_h) > THEW_CLASS_ANCHOR_H;
}

unsigned thew_class_kit_of(const thew_implement *implement)
{
    return 1u << implement->kind | (thew_class_needs_anchor(implement) ? THEW_CLASS_KIT_ANCHOR : 0);
}

bool thew_class_is_in(const GArray *named, const thew_variant *variant)
{
    for (guint i = 0; i < named->len; i++) {
        const thew_class_named *one = &g_array_index(named, thew_class_named, i);
        if (one->variant ? one->variant == variant : one->exercise == variant->exercise) return true;
    }
    return false;
}

const thew_implement *thew_class_implement(const thew_class_asked *asked, const thew_variant *variant)
{
    for (size_t i = 0; i < variant->implement_count; i++)
        if (!(thew_class_kit_of(&variant->implement[i]) & ~asked->kit)) return &variant->implement[i];
    return NULL;
}

const thew_variant *thew_class_variant(const thew_class_asked *asked, const thew_exercise *exercise, unsigned positions)
{
    const thew_variant *best = NULL;
    int usual = 0, nearest = 0;
    while (exercise->variant[usual] != exercise->usual)
        usual++;
    for (int v = 0; v < (int)exercise->variant_count; v++) { // easiest first
        const thew_variant *variant = exercise->variant[v];
        int distance = abs(v - usual);
        if (!(positions >> variant->position & 1) || thew_class_is_in(asked->excluded, variant) ||
            !thew_class_implement(asked, variant))
            continue;
        if (!best || distance < nearest) best = variant, nearest = distance;
    }
    return best;
}

static thew_class_option option_of(const thew_class_asked *asked, const thew_variant *variant, bool is_fixed)
{
    return (thew_class_option){ variant->exercise, variant, thew_class_implement(asked, variant), is_fixed, asked->wishes->sets };
}

static const thew_variant *fixed_variant(const thew_class_asked *asked, const thew_class_named *named)
{
    const thew_variant *variant = named->variant;
    if (!variant) return thew_class_variant(asked, named->exercise, asked->positions);
    bool fits = asked->positions >> variant->position & 1 && thew_class_implement(asked, variant);
    return fits && !thew_class_is_in(asked->excluded, variant) ? variant : NULL;
}

static bool has_option(const GArray *options, const thew_exercise *exercise)
{
    for (guint o = 0; o < options->len; o++)
        if (g_array_index(options, thew_class_option, o).exercise == exercise) return true;
    return false;
}

// Those that must be in come first, each in one variant: the one that was named, or the usual one as near as it gets.
static void add_fixed(const thew_class_asked *asked, GArray *options, thew_refusal *refusal)
{
    for (guint f = 0; f < asked->fixed->len; f++) {
        const thew_class_named *named = &g_array_index(asked->fixed, thew_class_named, f);
        const thew_variant *variant = fixed_variant(asked, named);
        const char *name = named->variant ? named->variant->name : named->exercise->name;
        g_autofree char *at = g_strdup_printf("/fixed/%u", f);
        if (!variant) {
            thew_refusal_add(refusal, at, "%s cannot be done within the positions, the kit and what is left out", name);
        } else if (has_option(options, named->exercise)) {
            thew_refusal_add(refusal, at, "%s is wanted twice; once is enough", named->exercise->name);
        } else {
            thew_class_option option = option_of(asked, variant, true);
            g_array_append_val(options, option);
        }
    }
}

// The others: one for each position, or only one.
static void add_others(const thew_class_asked *asked, GArray *options, bool each_position)
{
    size_t count;
    const thew_exercise *const *all = thew_catalogue_exercises(asked->catalogue, &count);
    guint fixed = options->len;
    for (size_t e = 0; e < count; e++) {
        bool is_fixed = false;
        for (guint f = 0; f < fixed; f++)
            is_fixed |= g_array_index(options, thew_class_option, f).exercise == all[e];
        for (int p = 0; p < (each_position ? THEW_POSITION_COUNT : 1) && !is_fixed; p++) {
            const thew_variant *variant = thew_class_variant(asked, all[e], asked->positions & (each_position ? 1u << p : ~0u));
            if (!variant) continue;
            thew_class_option option = option_of(asked, variant, false);
            g_array_append_val(options, option);
        }
    }
}

// As many as the engine can look at.
static GArray *list_options(const thew_class_asked *asked, bool *narrowed, thew_refusal *refusal)
{
    GArray *options = g_array_new(FALSE, FALSE, sizeof(thew_class_option));
    add_fixed(asked, options, refusal);
    guint fixed = options->len;
    add_others(asked, options, true);
    *narrowed = options->len > THEW_COMPOSE_CANDIDATES_MAX;
    if (*narrowed) {
        g_array_set_size(options, fixed);
        add_others(asked, options, false);
    }
    if (options->len > THEW_COMPOSE_CANDIDATES_MAX)
        thew_refusal_add(refusal, "",
                         "%u exercises fit, and at most %d can be looked at: narrow the positions or the kit, or leave some out",
                         options->len, THEW_COMPOSE_CANDIDATES_MAX);
    if (fixed > (guint)asked->wishes->exercises_max)
        thew_refusal_add(refusal, "/fixed", "%u exercises must be in, and at most %d are wanted", fixed,
                         asked->wishes->exercises_max);
    return options;
}

// ---- what the engine is asked ----

int thew_class_option_s(const thew_class_asked *asked, const thew_class_option *option)
{
    const thew_class_wishes *w = asked->wishes;
    int set_s = option->variant->unilateral ? 2 * w->window_to_s + w->side_rest_s : w->window_to_s;
    return option->sets * set_s + (option->sets - 1) * w->rest_s;
}

static uint64_t muscle_bits(const thew_class_asked *asked, const thew_muscle *const *muscle, size_t count)
{
    uint64_t bits = 0;
    for (int mark = 0; mark < asked->muscle_count; mark++)
        for (size_t m = 0; m < count; m++)
            bits |= muscle[m] == asked->muscle[mark] ? UINT64_C(1) << mark : 0;
    return bits;
}

thew_compose_candidate thew_class_candidate(const thew_class_asked *asked, const thew_class_option *option)
{
    const thew_exercise *exercise = option->exercise;
    thew_compose_candidate candidate = {
        .seconds = thew_class_option_s(asked, option),
        .prime_movers = muscle_bits(asked, exercise->prime_mover, exercise->prime_mover_count),
        .synergists = muscle_bits(asked, exercise->synergist, exercise->synergist_count),
        .prime_action = exercise->prime_action,
        .position = (int)option->variant->position,
        .kit = thew_class_kit_of(option->implement),
        .region = exercise->prime_mover_count > 0 ? (int)exercise->prime_mover[0]->region : 0,
        .choice = option->is_fixed ? THEW_MUST : THEW_MAY,
    };
    for (int g = 0; g < asked->goal_count; g++)
        for (size_t own = 0; own < exercise->goal_count; own++)
            candidate.goals |= exercise->goal[own] == asked->goal[g] ? UINT64_C(1) << g : 0;
    return candidate;
}

void thew_class_task(const thew_class_asked *asked, thew_compose_task *task)
{
    *task = (thew_compose_task){
        .second_percent = THEW_CLASS_SECOND_PERCENT,
        .positions = asked->positions,
        .changes_max = asked->wishes->position_changes_max,
        .kit = asked->kit,
        .seconds = asked->seconds,
        .slots = asked->wishes->exercises_max,
        .rest_s = asked->wishes->rest_s,
        .change_s = asked->wishes->position_change_s,
        .repeats_allowed = asked->wishes->repeats_allowed,
    };
    for (int g = 0; g < asked->goal_count; g++)
        task->goal_weight[g] = THEW_CLASS_GOAL_WORTH * asked->goal_weight[g];
    for (int m = 0; m < asked->muscle_count; m++)
        task->muscle_weight[m] = asked->wishes->muscle_weight;
}

// Candidates of the options; those of one exercise are a family.
static void set_candidates(const thew_class_asked *asked, const GArray *options, thew_compose_candidate *candidate,
                           thew_compose_task *task)
{
    for (guint o = 0; o < options->len; o++) {
        const thew_class_option *option = &g_array_index(options, thew_class_option, o);
        candidate[o] = thew_class_candidate(asked, option);
        guint first = 0;
        while (g_array_index(options, thew_class_option, first).exercise != option->exercise)
            first++;
        candidate[o].family = (int)first + 1;
    }
    task->candidate = candidate;
    task->candidate_count = (int)options->len;
}

// ---- composing ----

static const char *why_none(const thew_class_asked *asked, const GArray *options)
{
    return asked->fixed->len > 0
               ? "what must be in does not fit into the minutes in any order without two in a row on the same prime mover"
           : options->len > 0 ? "no exercise fits"
                              : "no exercise fits the positions, the kit and what is left out";
}

static thew_class_plan *planned(const thew_class_asked *asked, const GArray *options, const thew_composed *composed)
{
    thew_class_option option[THEW_COMPOSE_SLOTS_MAX];
    for (int i = 0; i < composed->count; i++)
        option[i] = g_array_index(options, thew_class_option, composed->order[i]);
    thew_class_plan *plan = thew_class_plan_new(asked, option, (guint)composed->count);
    plan->score = composed->score;
    return plan;
}

static thew_verdict compose(const thew_class_asked *asked, const GArray *options, bool narrowed, thew_class_plan **plan,
                            thew_refusal *refusal)
{
    thew_compose_candidate candidate[THEW_COMPOSE_CANDIDATES_MAX];
    thew_compose_task task;
    thew_class_task(asked, &task);
    set_candidates(asked, options, candidate, &task);
    g_autofree thew_compose_work *work = g_malloc(thew_compose_work_bytes());
    thew_composed composed;
    thew_compose_certificate certificate;
    thew_status status = thew_compose(&task, THEW_COMPOSE_EFFORT, work, &composed, &certificate);
    if (status == THEW_NO_CLASS || composed.count == 0) return thew_refuse(refusal, THEW_CONFLICT, "%s", why_none(asked, options));
    *plan = planned(asked, options, &composed);
    (*plan)->optimal = certificate.optimal;
    (*plan)->bound = certificate.bound;
    if (narrowed) {
        thew_class_finding finding = { .kind = THEW_CLASS_NARROWED };
        g_array_append_val((*plan)->finding, finding);
    }
    return THEW_DONE;
}

thew_verdict thew_class_compose(const thew_catalogue *catalogue, const thew_class_wishes *wishes, thew_class_plan **plan,
                                thew_refusal *refusal)
{
    *plan = NULL;
    g_auto(thew_class_asked) asked;
    thew_class_ask(catalogue, wishes, &asked, refusal);
    if (!thew_refusal_is_empty(refusal)) return THEW_INVALID;
    bool narrowed;
    g_autoptr(GArray) options = list_options(&asked, &narrowed, refusal);
    if (!thew_refusal_is_empty(refusal)) return THEW_INVALID;
    return compose(&asked, options, narrowed, plan, refusal);
}

// ---- judging ----

static const thew_variant *chosen_variant(const thew_class_asked *asked, const thew_class_named *named)
{
    if (named->variant) return named->variant;
    const thew_variant *variant = thew_class_variant(asked, named->exercise, asked->positions);
    return variant ? variant : named->exercise->usual;
}

static void choose(const thew_class_asked *asked, const thew_class_choice *choice, guint index, GArray *options,
                   thew_refusal *refusal)
{
    thew_class_named named;
    const char *hint = NULL;
    if (!thew_class_find(asked->catalogue, choice->name, &named, &hint)) {
        thew_refusal_at(refusal, "exercises", index, "name", "there is no exercise \"%s\"%s%s%s", choice->name,
                        hint ? "; perhaps \"" : "", hint ? hint : "", hint ? "\" is meant" : "");
        return;
    }
    const thew_variant *variant = chosen_variant(asked, &named);
    thew_class_option option = option_of(asked, variant, false);
    if (!option.implement) option.implement = &variant->implement[0];
    if (choice->implement) option.implement = thew_variant_implement(variant, choice->implement);
    if (!option.implement)
        thew_refusal_at(refusal, "exercises", index, "implement", "%s has no implement \"%s\"", variant->name, choice->implement);
    if (choice->sets != 0) option.sets = choice->sets;
    if (choice->sets < 0 || choice->sets > THEW_CLASS_SETS_MAX)
        thew_refusal_at(refusal, "exercises", index, "sets", "the sets of an exercise must be from 1 to %d, not %d",
                        THEW_CLASS_SETS_MAX, choice->sets);
    for (guint f = 0; f < asked->fixed->len; f++) {
        const thew_class_named *fixed = &g_array_index(asked->fixed, thew_class_named, f);
        option.is_fixed |= fixed->exercise == variant->exercise && (!fixed->variant || fixed->variant == variant);
    }
    g_array_append_val(options, option);
}

// The best order of the same exercises, however long they take together and whatever else they break, with no more changes of
// position than are allowed, or than there are.
static void compare_with_best_order(thew_class_plan *plan, const thew_compose_task *given, const thew_compose_candidate *candidate)
{
    thew_compose_candidate all[THEW_COMPOSE_SLOTS_MAX];
    for (int i = 0; i < given->candidate_count; i++) {
        all[i] = candidate[i];
        all[i].choice = THEW_MUST;
        all[i].family = 0;
    }
    thew_compose_task task = *given;
    task.candidate = all;
    task.positions = THEW_CLASS_POSITIONS_ALL;
    task.changes_max = MAX(given->changes_max, plan->score.changes);
    task.kit = THEW_CLASS_KIT_ALL;
    task.seconds = THEW_COMPOSE_SECONDS_MAX;
    task.slots = given->candidate_count;
    g_autofree thew_compose_work *work = g_malloc(thew_compose_work_bytes());
    thew_composed composed;
    thew_compose_certificate certificate;
    plan->has_best_order = thew_compose(&task, THEW_COMPOSE_EFFORT, work, &composed, &certificate) != THEW_NO_CLASS;
    if (!plan->has_best_order) return;
    plan->best_order = composed.score;
    plan->best_order_item = g_array_new(FALSE, FALSE, sizeof(guint));
    for (int i = 0; i < composed.count; i++) {
        guint item = (guint)composed.order[i];
        g_array_append_val(plan->best_order_item, item);
    }
}

static thew_class_plan *judged(const thew_class_asked *asked, const GArray *options)
{
    thew_compose_candidate candidate[THEW_COMPOSE_SLOTS_MAX];
    thew_compose_task task;
    int order[THEW_COMPOSE_SLOTS_MAX];
    thew_class_task(asked, &task);
    set_candidates(asked, options, candidate, &task);
    for (guint i = 0; i < options->len; i++)
        order[i] = (int)i;
    thew_composed composed;
    thew_compose_judge(&task, order, (int)options->len, &composed);
    thew_class_plan *plan = planned(asked, options, &composed);
    compare_with_best_order(plan, &task, candidate);
    return plan;
}

thew_verdict thew_class_judge(const thew_catalogue *catalogue, const thew_class_wishes *wishes, const thew_class_choice *choice,
                              guint count, thew_class_plan **plan, thew_refusal *refusal)
{
    *plan = NULL;
    g_auto(thew_class_asked) asked;
    thew_class_ask(catalogue, wishes, &asked, refusal);
    if (count > THEW_COMPOSE_SLOTS_MAX)
        thew_refusal_add(refusal, "/exercises", "a class has at most %d exercises, not %u", THEW_COMPOSE_SLOTS_MAX, count);
    g_autoptr(GArray) options = g_array_new(FALSE, FALSE, sizeof(thew_class_option));
    for (guint i = 0; i < count; i++)
        choose(&asked, &choice[i], i, options, refusal);
    if (!thew_refusal_is_empty(refusal)) return THEW_INVALID;
    *plan = judged(&asked, options);
    return THEW_DONE;
}

double thew_class_gap(const thew_class_plan *plan)
{
    int short_of = plan->bound.coverage - plan->score.coverage;
    return plan->optimal || short_of <= 0 ? 0 : (double)short_of / MAX(plan->score.coverage, 1);
}
