// compose_class_plan.c: a class laid out in time, and everything there is to say about it. See compose_class.h.
#include "studio/compose_class_parts.h"

#include "engine/endurance.h"

// Mean over peak load of a repetition, for what earlier sets leave: the free-weight variants of the built-in catalogue have .35 to
// .92, in the middle .57; a band pulls more evenly.
#define MEAN_SHARE .6

static void item_clear(gpointer data)
{
    g_clear_pointer(&((thew_class_item *)data)->serves, g_ptr_array_unref);
}

void thew_class_plan_free(thew_class_plan *plan)
{
    if (!plan) return;
    GArray *array[] = { plan->item, plan->set, plan->goal, plan->muscle, plan->finding, plan->best_order_item };
    for (size_t i = 0; i < G_N_ELEMENTS(array); i++)
        if (array[i]) g_array_unref(array[i]);
    g_free(plan);
}

static thew_class_item *item_at(const thew_class_plan *plan, guint i)
{
    return &g_array_index(plan->item, thew_class_item, i);
}

static bool has_muscle(const thew_muscle *const *list, size_t count, const thew_muscle *muscle)
{
    for (size_t m = 0; m < count; m++)
        if (list[m] == muscle) return true;
    return false;
}

static bool has_prime_mover(const thew_exercise *exercise, const thew_muscle *muscle)
{
    return has_muscle(exercise->prime_mover, exercise->prime_mover_count, muscle);
}

static bool has_synergist(const thew_exercise *exercise, const thew_muscle *muscle)
{
    return has_muscle(exercise->synergist, exercise->synergist_count, muscle);
}

static bool serves(const thew_exercise *exercise, const thew_goal *goal)
{
    for (size_t g = 0; g < exercise->goal_count; g++)
        if (exercise->goal[g] == goal) return true;
    return false;
}

static bool share_prime_mover(const thew_exercise *a, const thew_exercise *b)
{
    if (a->prime_action == b->prime_action) return true;
    for (size_t m = 0; m < a->prime_mover_count; m++)
        if (has_prime_mover(b, a->prime_mover[m])) return true;
    return false;
}

// ---- in time ----

static double add_sets(thew_class_plan *plan, const thew_class_asked *asked, guint i, double start_s)
{
    const thew_class_item *item = item_at(plan, i);
    const thew_class_wishes *w = asked->wishes;
    int sides = item->by_side ? 2 : 1;
    double now_s = start_s, rest_s = item->pause_s;
    for (int number = 1; number <= item->sets; number++)
        for (int side = 0; side < sides; side++) {
            thew_class_set set = { .item = i, .number = number, .start_s = now_s, .seconds = w->window_to_s, .rest_s = rest_s };
            set.side = !item->by_side ? THEW_BOTH : side == 0 ? THEW_LEFT : THEW_RIGHT;
            g_array_append_val(plan->set, set);
            rest_s = side + 1 < sides ? w->side_rest_s : w->rest_s;
            now_s = set.start_s + set.seconds + rest_s;
        }
    return now_s - rest_s;
}

static void add_item(thew_class_plan *plan, const thew_class_asked *asked, const thew_class_option *option)
{
    thew_class_item item = { .exercise = option->exercise, .variant = option->variant, .implement = option->implement };
    item.is_fixed = option->is_fixed;
    item.sets = option->sets;
    item.by_side = option->variant->unilateral;
    item.serves = g_ptr_array_new();
    for (int g = 0; g < asked->goal_count; g++)
        if (serves(option->exercise, asked->goal[g])) g_ptr_array_add(item.serves, (gpointer)asked->goal[g]);
    guint i = plan->item->len;
    if (i > 0) {
        const thew_class_item *before = item_at(plan, i - 1);
        item.changes_position = before->variant->position != option->variant->position;
        item.repeats_prime_mover = share_prime_mover(before->exercise, option->exercise);
        item.pause_s = asked->wishes->rest_s + (item.changes_position ? asked->wishes->position_change_s : 0);
        item.start_s = before->end_s + item.pause_s;
    }
    g_array_append_val(plan->item, item);
    item_at(plan, i)->end_s = plan->seconds = add_sets(plan, asked, i, item.start_s);
}

// ---- what earlier sets leave ----

static uint64_t marks(const thew_class_asked *asked, const thew_exercise *exercise,
                      bool (*has)(const thew_exercise *, const thew_muscle *))
{
    uint64_t bits = 0;
    for (int m = 0; m < asked->muscle_count; m++)
        bits |= has(exercise, asked->muscle[m]) ? UINT64_C(1) << m : 0;
    return bits;
}

// A muscle tires and recovers as its joint does: that of most exercises whose prime mover it is, each exercise shared among its
// prime movers; of equals the first. A muscle that never is one counts where it helps.
static thew_joint joint_of(const thew_class_asked *asked, const thew_muscle *muscle)
{
    double credit[THEW_JOINT_COUNT] = { 0 };
    size_t count;
    const thew_exercise *const *all = thew_catalogue_exercises(asked->catalogue, &count);
    for (size_t e = 0; e < count; e++) {
        thew_joint joint = thew_action_joint(all[e]->prime_action);
        if (has_prime_mover(all[e], muscle))
            credit[joint] += 1.0 / (double)all[e]->prime_mover_count;
        else if (has_synergist(all[e], muscle))
            credit[joint] += 1e-6;
    }
    int best = 0;
    for (int j = 1; j < THEW_JOINT_COUNT; j++)
        if (credit[j] > credit[best] + 1e-9) best = j;
    return (thew_joint)best;
}

// A load that fails in the middle of the window, fresh; the rest of the set's time is rest.
static thew_compose_set engine_set(const thew_class_asked *asked, const thew_class_plan *plan, guint s, double end_s)
{
    const thew_class_set *set = &g_array_index(plan->set, thew_class_set, s);
    const thew_exercise *exercise = item_at(plan, set->item)->exercise;
    double aim_s = (asked->wishes->window_from_s + asked->wishes->window_to_s) / 2.0;
    double mean_share = exercise->kind == THEW_HOLD ? 1 : MEAN_SHARE;
    thew_endurance endurance = thew_endurance_default(thew_action_joint(exercise->prime_action));
    return (thew_compose_set){
        .prime_movers = marks(asked, exercise, has_prime_mover),
        .synergists = marks(asked, exercise, has_synergist),
        .side = set->side,
        .rest_s = s > 0 ? set->start_s - end_s : 0,
        .load_share = mean_share * thew_endurance_load_share(endurance, aim_s, mean_share),
        .seconds = aim_s,
    };
}

static void predict(thew_class_plan *plan, const thew_class_asked *asked)
{
    thew_joint joint[THEW_COMPOSE_MARKS_MAX] = { 0 };
    for (int m = 0; m < asked->muscle_count; m++)
        joint[m] = joint_of(asked, asked->muscle[m]);
    g_autofree thew_compose_set *set = g_new0(thew_compose_set, plan->set->len + 1);
    g_autofree double *capacity_ln = g_new0(double, plan->set->len + 1);
    double end_s = 0;
    for (guint s = 0; s < plan->set->len; s++) {
        set[s] = engine_set(asked, plan, s, end_s);
        end_s = g_array_index(plan->set, thew_class_set, s).start_s + set[s].seconds;
    }
    thew_compose_carry(set, (int)plan->set->len, joint, THEW_COMPOSE_SYNERGIST_SHARE, capacity_ln);
    for (guint s = 0; s < plan->set->len; s++) {
        thew_class_set *planned = &g_array_index(plan->set, thew_class_set, s);
        thew_class_item *item = item_at(plan, planned->item);
        planned->capacity_ln = capacity_ln[s];
        if (planned->number == 1) item->capacity_ln = MIN(item->capacity_ln, capacity_ln[s]);
    }
}

// ---- goals and muscles ----

static gint by_weight(gconstpointer a, gconstpointer b)
{
    return ((const thew_class_goal *)b)->weight - ((const thew_class_goal *)a)->weight;
}

static void count_goals(thew_class_plan *plan, const thew_class_asked *asked)
{
    for (int g = 0; g < asked->goal_count; g++) {
        thew_class_goal goal = { asked->goal[g], asked->goal_weight[g], 0 };
        for (guint i = 0; i < plan->item->len; i++)
            goal.exercises += serves(item_at(plan, i)->exercise, goal.goal);
        g_array_append_val(plan->goal, goal);
    }
    g_array_sort(plan->goal, by_weight); // a stable sort: of equal weight as asked for
}

static bool is_within_reach(const thew_class_asked *asked, const thew_exercise *exercise)
{
    return thew_class_variant(asked, exercise, asked->positions) != NULL;
}

static void count_muscles(thew_class_plan *plan, const thew_class_asked *asked)
{
    size_t count;
    const thew_exercise *const *all = thew_catalogue_exercises(asked->catalogue, &count);
    for (int m = 0; m < asked->muscle_count; m++) {
        thew_class_muscle muscle = { .muscle = asked->muscle[m] };
        for (guint i = 0; i < plan->item->len; i++) {
            muscle.as_prime_mover += has_prime_mover(item_at(plan, i)->exercise, muscle.muscle);
            muscle.as_synergist += has_synergist(item_at(plan, i)->exercise, muscle.muscle);
        }
        for (size_t e = 0; e < count && !muscle.within_reach; e++)
            muscle.within_reach = has_prime_mover(all[e], muscle.muscle) && is_within_reach(asked, all[e]);
        if (muscle.within_reach || muscle.as_prime_mover || muscle.as_synergist) g_array_append_val(plan->muscle, muscle);
    }
}

// ---- findings ----

static void find(thew_class_plan *plan, thew_class_finding finding)
{
    plan->breaks |= finding.kind < THEW_CLASS_BREAKS_COUNT;
    g_array_append_val(plan->finding, finding);
}

static void find_as_a_whole(thew_class_plan *plan, const thew_class_asked *asked)
{
    int over_s = (int)plan->seconds - asked->seconds, over = (int)plan->item->len - asked->wishes->exercises_max;
    if (over_s > 0) find(plan, (thew_class_finding){ THEW_CLASS_TOO_LONG, .amount = over_s });
    if (over > 0) find(plan, (thew_class_finding){ THEW_CLASS_TOO_MANY, .amount = over });
    int changes = 0;
    for (guint i = 0; i < plan->item->len; i++)
        changes += item_at(plan, i)->changes_position;
    if (changes > asked->wishes->position_changes_max)
        find(plan, (thew_class_finding){ THEW_CLASS_CHANGES, .amount = changes - asked->wishes->position_changes_max });
    for (guint f = 0; f < asked->fixed->len; f++) {
        const thew_class_named *named = &g_array_index(asked->fixed, thew_class_named, f);
        bool in = false;
        for (guint i = 0; i < plan->item->len; i++)
            in |= item_at(plan, i)->exercise == named->exercise && (!named->variant || item_at(plan, i)->variant == named->variant);
        if (!in) find(plan, (thew_class_finding){ THEW_CLASS_MISSING, .exercise = named->exercise });
    }
}

static void find_about(thew_class_plan *plan, const thew_class_asked *asked, guint i)
{
    const thew_class_item *item = item_at(plan, i);
    thew_class_finding finding = { .item = i, .exercise = item->exercise };
    if (thew_class_is_in(asked->excluded, item->variant)) finding.kind = THEW_CLASS_EXCLUDED, find(plan, finding);
    if (!(asked->positions >> item->variant->position & 1)) finding.kind = THEW_CLASS_POSITION, find(plan, finding);
    if (thew_class_kit_of(item->implement) & ~asked->kit) finding.kind = THEW_CLASS_KIT, find(plan, finding);
    if (item->repeats_prime_mover && !asked->wishes->repeats_allowed)
        finding.kind = THEW_CLASS_REPEAT, finding.other = i - 1, find(plan, finding);
}

static const thew_muscle *tired_synergist(const thew_exercise *before, const thew_exercise *after)
{
    for (size_t m = 0; m < before->prime_mover_count; m++)
        if (has_synergist(after, before->prime_mover[m])) return before->prime_mover[m];
    return NULL;
}

static void find_between(thew_class_plan *plan, guint other, guint i)
{
    const thew_exercise *before = item_at(plan, other)->exercise, *after = item_at(plan, i)->exercise;
    const thew_muscle *muscle = tired_synergist(before, after);
    if (before == after) find(plan, (thew_class_finding){ THEW_CLASS_TWICE, .item = i, .other = other, .exercise = after });
    if (muscle)
        find(plan, (thew_class_finding){ THEW_CLASS_ORDER, .item = i, .other = other, .exercise = after, .muscle = muscle });
}

static void find_out_of_reach(thew_class_plan *plan, const thew_class_asked *asked)
{
    size_t count;
    const thew_exercise *const *all = thew_catalogue_exercises(asked->catalogue, &count);
    for (int g = 0; g < asked->goal_count; g++) {
        bool reached = false;
        for (size_t e = 0; e < count && !reached; e++)
            reached = serves(all[e], asked->goal[g]) && is_within_reach(asked, all[e]);
        if (!reached) find(plan, (thew_class_finding){ THEW_CLASS_OUT_OF_REACH, .goal = asked->goal[g] });
    }
}

static gint by_kind(gconstpointer a, gconstpointer b)
{
    return (gint)((const thew_class_finding *)a)->kind - (gint)((const thew_class_finding *)b)->kind;
}

thew_class_plan *thew_class_plan_new(const thew_class_asked *asked, const thew_class_option *option, guint count)
{
    thew_class_plan *plan = g_new0(thew_class_plan, 1);
    plan->item = g_array_new(FALSE, FALSE, sizeof(thew_class_item));
    g_array_set_clear_func(plan->item, item_clear);
    plan->set = g_array_new(FALSE, FALSE, sizeof(thew_class_set));
    plan->goal = g_array_new(FALSE, FALSE, sizeof(thew_class_goal));
    plan->muscle = g_array_new(FALSE, FALSE, sizeof(thew_class_muscle));
    plan->finding = g_array_new(FALSE, FALSE, sizeof(thew_class_finding));
    for (guint i = 0; i < count; i++)
        add_item(plan, asked, &option[i]);
    predict(plan, asked);
    count_goals(plan, asked);
    count_muscles(plan, asked);
    find_as_a_whole(plan, asked);
    for (guint i = 0; i < count; i++) {
        find_about(plan, asked, i);
        for (guint other = 0; other < i; other++)
            find_between(plan, other, i);
    }
    find_out_of_reach(plan, asked);
    g_array_sort(plan->finding, by_kind);
    return plan;
}

// ---- words ----

static char *too_long_words(const thew_class_plan *plan, int over_s)
{
    g_autofree char *over =
        over_s < 60 ? g_strdup_printf("%d s", over_s) : g_strdup_printf("%d min %02d s", over_s / 60, over_s % 60);
    return g_strdup_printf("It takes %d min %02d s: %s more than there are.", (int)plan->seconds / 60, (int)plan->seconds % 60,
                           over);
}

char *thew_class_finding_words(const thew_class_plan *plan, const thew_class_finding *finding)
{
    bool has_items = finding->item < plan->item->len && finding->other < plan->item->len;
    const char *item = has_items ? item_at(plan, finding->item)->variant->name : "";
    const char *other = has_items ? item_at(plan, finding->other)->variant->name : "";
    switch (finding->kind) {
    case THEW_CLASS_TOO_LONG:
        return too_long_words(plan, finding->amount);
    case THEW_CLASS_TOO_MANY:
        return g_strdup_printf("It has %d exercise%s more than asked for.", finding->amount, finding->amount == 1 ? "" : "s");
    case THEW_CLASS_CHANGES:
        return g_strdup_printf("It has %d change%s of position more than asked for.", finding->amount,
                               finding->amount == 1 ? "" : "s");
    case THEW_CLASS_MISSING:
        return g_strdup_printf("%s was to be in, and is not.", finding->exercise->name);
    case THEW_CLASS_EXCLUDED:
        return g_strdup_printf("%s was to be left out.", item);
    case THEW_CLASS_TWICE:
        return g_strdup_printf("%s and %s are the same exercise: more sets of one say so more plainly.", other, item);
    case THEW_CLASS_POSITION:
        return g_strdup_printf("%s is done %s, which is not among the positions.", item,
                               thew_position_id(item_at(plan, finding->item)->variant->position));
    case THEW_CLASS_KIT:
        return g_strdup_printf("%s needs what the kit does not have: %s%s.", item,
                               thew_implement_kind_id(item_at(plan, finding->item)->implement->kind),
                               thew_class_needs_anchor(item_at(plan, finding->item)->implement) ? " and anchor" : "");
    case THEW_CLASS_REPEAT:
        return g_strdup_printf("%s follows %s on the same prime mover.", item, other);
    case THEW_CLASS_ORDER:
        return g_strdup_printf("%s needs the %s as a synergist, which %s has tired before.", item, finding->muscle->name, other);
    case THEW_CLASS_OUT_OF_REACH:
        return g_strdup_printf("Nothing within positions, kit and what is left out serves \"%s\".", finding->goal->name);
    case THEW_CLASS_NARROWED:
        return g_strdup("So many exercises fit that each was looked at in one position only.");
    }
    g_assert_not_reached();
}
