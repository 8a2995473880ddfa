// compose_search.c: the search for the best class, and its proof.
// Knows which sets of exercises are worth looking at. Leaves to others: how much coverage a set may still reach (compose_bound.c),
// the best order of a set (compose_order.c), what a finished class is worth (compose.c).
//
// Candidates are decided one by one, the most promising first in, then out; what the bounds settle is not branched on. The first
// search finds the greatest coverage. The second goes by stages, each of which looks for a class of that coverage with an order or
// a time that no stage before had room for: so many violations, then so many changes, then so many seconds. Every stage either
// finds one, or proves that there is none, and what is proven is the certificate where the effort ends.
//
// Where one candidate can always stand in for another and is no worse (compose.c), only classes are looked at that have the worse
// one not without the better: of much alike exercises there are too many classes otherwise.
#include "compose_parts.h"

#include <assert.h>

#define TRIES_FIRST 300       // improvements of the prices at the root of a search,
#define TRIES 6               // and at every other node
#define STATES_PER_EFFORT 200 // states of an order's dynamic programme that take as long as a node
#define SECONDS_ANY (THEW_COMPOSE_SECONDS_MAX + 1)
#define NEAR_SHARE 32 // the last such share of the seconds is searched through at once

typedef struct {
    thew_compose_work *work;
    thew_composed *best;
    bool found;
    long long effort, effort_max;
    bool gave_up;
    int coverage_open; // greatest that may lie where the first search gave up

    // the stage: classes of the best coverage with
    bool polishing;
    int violations_max, changes_max; // no more than these,
    int changes_min;                 // at least these, or they would have been found before,
    int seconds_below;               // fewer than these
    bool first_will_do, done;

    // its part: classes in certain positions, which they take up one after the other if there is a rank
    int position_count;
    const int *rank;
    thew_compose_bits conflict[THEW_COMPOSE_CANDIDATES_MAX]; // others with which it makes a violation in every order
    uint8_t group[THEW_COMPOSE_CANDIDATES_MAX];              // one at most of the same group can be in
} search;

// ---- sets ----

static int positions_of(const thew_compose_plan *plan, thew_compose_bits set)
{
    int count = 0;
    for (int p = 0; p < THEW_COMPOSE_POSITIONS_MAX; p++)
        count += (plan->at[p] & set) != 0;
    return count;
}

// False if one of its family is in.
static bool put(const thew_compose_plan *plan, thew_compose_node *node, int i)
{
    if (node->chosen & plan->family[i]) return false;
    node->chosen |= thew_compose_bit(i);
    node->open &= ~(thew_compose_bit(i) | plan->family[i]);
    node->cost_s += plan->cost_s[i];
    for (int s = 0; s < plan->serve_count[i]; s++) {
        int worth = plan->serves[i][s], served = node->served[worth]++;
        node->coverage += served < 2 ? plan->value[served][worth] : 0;
    }
    return true;
}

// One that is open, together with all that are better: some best class has none without them. False if that cannot be.
static bool take(const thew_compose_plan *plan, thew_compose_node *node, int i)
{
    thew_compose_bits all = thew_compose_bit(i) | (plan->better[i] & ~node->chosen);
    if (all & ~node->open) return false;
    for (; all; all &= all - 1)
        if (!put(plan, node, thew_compose_lowest(all))) return false;
    return thew_compose_count(node->chosen) <= plan->task->slots;
}

// Those that are worse than one that is out.
static void drop_worse(const thew_compose_plan *plan, thew_compose_node *node)
{
    for (thew_compose_bits out = plan->usable & ~(node->chosen | node->open); out; out &= out - 1)
        node->open &= ~plan->worse[thew_compose_lowest(out)];
}

static bool take_all(const thew_compose_plan *plan, thew_compose_node *node, thew_compose_bits all)
{
    for (; all; all &= all - 1)
        if (all & -all & ~node->chosen && !take(plan, node, thew_compose_lowest(all))) return false;
    return true;
}

// ---- orders ----

static int smaller(int a, int b)
{
    return a < b ? a : b;
}

// Changes that are allowed, and that there is time for.
static int changes_in_time(const thew_compose_plan *plan, int cost_s)
{
    int change_s = plan->task->change_s, spare_s = plan->room_s - cost_s;
    assert(spare_s >= 0);
    return change_s == 0 ? plan->task->changes_max : smaller(spare_s / change_s, plan->task->changes_max);
}

// The best order that the stage allows; false if there is none.
static bool order_of(search *s, const thew_compose_node *node, bool neighbours, int *order)
{
    const thew_compose_plan *plan = &s->work->plan;
    thew_compose_rules rules = { .neighbours = neighbours, .violations_max = THEW_COMPOSE_ORDER_NONE - 1 };
    rules.changes_max = changes_in_time(plan, node->cost_s);
    if (!s->polishing) rules.violations_enough = thew_compose_tangle(plan, node->chosen, &s->work->orders);
    if (s->polishing) {
        rules.rank = s->rank;
        rules.violations_max = rules.violations_enough = s->violations_max;
        rules.changes_max = smaller(rules.changes_max, s->changes_max);
    }
    return thew_compose_best_order(plan, node->chosen, &rules, &s->work->orders, order) >= 0;
}

static bool is_better(const search *s, const thew_compose_score *score)
{
    if (!s->found || !s->polishing) return !s->found || thew_compose_compare(*score, s->best->score) < 0;
    return score->coverage == s->best->score.coverage && score->violations <= s->violations_max &&
           score->changes <= s->changes_max && score->seconds < s->seconds_below;
}

// False if it breaks something or is no better.
static bool accept(search *s, const int *order, int count)
{
    thew_composed composed;
    if (thew_compose_judge(s->work->plan.task, order, count, &composed) != 0 || !is_better(s, &composed.score)) return false;
    s->found = true;
    *s->best = composed;
    s->seconds_below = composed.score.seconds;
    s->done = s->polishing && s->first_will_do;
    return true;
}

// What is chosen, as a class.
static void consider(search *s, const thew_compose_node *node)
{
    int order[THEW_COMPOSE_SLOTS_MAX], count = thew_compose_count(node->chosen);
    if (s->polishing && node->order_count == count && accept(s, node->order, count)) return;
    if (count == 0 || order_of(s, node, true, order)) accept(s, order, count);
}

static int conflicts_in(const search *s, thew_compose_bits set)
{
    int count = 0;
    for (thew_compose_bits left = set; left; left &= left - 1)
        count += thew_compose_count(s->conflict[thew_compose_lowest(left)] & left);
    return count;
}

// Takes out of the open ones who would be in conflict with too many. False if there are too many conflicts already.
static bool resolve_conflicts(const search *s, thew_compose_node *node)
{
    int spare = s->violations_max - conflicts_in(s, node->chosen);
    for (thew_compose_bits left = node->open; left; left &= left - 1) {
        int i = thew_compose_lowest(left);
        if (thew_compose_count(s->conflict[i] & node->chosen) > spare) node->open &= ~thew_compose_bit(i);
    }
    return spare >= 0;
}

// How much worse than the stage allows an order is with one more in its midst.
static int excess_with(const search *s, const thew_compose_node *node, int i, int place)
{
    const thew_compose_plan *plan = &s->work->plan;
    thew_compose_bits before = 0;
    int violations = 0, changes = 0, was_at = -1;
    for (int p = 0; p <= node->order_count; p++) {
        int now = p < place ? node->order[p] : p == place ? i : node->order[p - 1];
        int at = plan->task->candidate[now].position;
        violations += thew_compose_count(before & plan->later[now]);
        changes += p > 0 && at != was_at ? 1 : 0;
        changes += p > 0 && s->rank && s->rank[at] < s->rank[was_at] ? THEW_COMPOSE_SLOTS_MAX : 0;
        before |= thew_compose_bit(now);
        was_at = at;
    }
    int changes_max = smaller(s->changes_max, changes_in_time(plan, node->cost_s));
    return (violations > s->violations_max ? violations - s->violations_max : 0) +
           (changes > changes_max ? changes - changes_max : 0);
}

// Puts it where it does least harm, which is returned.
static int insert(const search *s, thew_compose_node *node, int i)
{
    int best = node->order_count, excess = excess_with(s, node, i, best);
    for (int place = best - 1; place >= 0 && excess > 0; place--) {
        int here = excess_with(s, node, i, place);
        best = here < excess ? place : best;
        excess = smaller(here, excess);
    }
    for (int p = node->order_count++; p > best; p--)
        node->order[p] = node->order[p - 1];
    node->order[best] = i;
    return excess;
}

static int take_out(thew_compose_node *node, int place)
{
    int i = node->order[place];
    node->order_count--;
    for (int p = place; p < node->order_count; p++)
        node->order[p] = node->order[p + 1];
    return i;
}

// Tries to extend the order to all that are chosen without a dynamic programme. Whether it will do.
static bool extend_order(const search *s, thew_compose_node *node)
{
    thew_compose_bits missing = node->chosen;
    for (int p = 0; p < node->order_count; p++)
        missing &= ~thew_compose_bit(node->order[p]);
    int excess = 0;
    for (; missing; missing &= missing - 1)
        excess = insert(s, node, thew_compose_lowest(missing));
    for (int p = 0; p < node->order_count && excess > 0; p++)
        excess = insert(s, node, take_out(node, p));
    return excess == 0;
}

// Whether what is chosen has an order that the stage allows, neighbours let pass; takes out of the open ones who would tangle it.
// Orders only get worse as exercises are added, if neighbours are let pass: taking one out of an order adds no violation and no
// change.
static bool untangle(search *s, thew_compose_node *node)
{
    const thew_compose_plan *plan = &s->work->plan;
    thew_compose_orders *orders = &s->work->orders;
    int count = thew_compose_count(node->chosen);
    if (thew_compose_tangle(plan, node->chosen, orders) > s->violations_max) return false;
    for (thew_compose_bits left = count < plan->task->slots ? node->open : 0; left; left &= left - 1) {
        thew_compose_bits one = left & -left;
        if (thew_compose_tangle(plan, node->chosen | one, orders) > s->violations_max) node->open &= ~one;
    }
    return count == 0 || extend_order(s, node) || order_of(s, node, false, node->order);
}

// Those that can be reached from one by steps between some that may stand next to each other.
static thew_compose_bits reached_from(const thew_compose_plan *plan, int i, thew_compose_bits some)
{
    thew_compose_bits reached = thew_compose_bit(i), fresh = reached;
    while (fresh) {
        thew_compose_bits next = 0;
        for (; fresh; fresh &= fresh - 1)
            next |= some & ~plan->clash[thew_compose_lowest(fresh)];
        fresh = next & ~reached;
        reached |= fresh;
    }
    return reached;
}

// Where each position is taken up once, what is chosen in it must make one row, with what is open in between. False if it cannot;
// else takes out of the open ones who cannot be in that row.
static bool line_up(const search *s, thew_compose_node *node)
{
    const thew_compose_plan *plan = &s->work->plan;
    int changes_max = s->polishing ? s->changes_max : plan->task->changes_max;
    if (positions_of(plan, node->chosen) - 1 < changes_max) return true;
    for (int p = 0; p < THEW_COMPOSE_POSITIONS_MAX; p++) {
        thew_compose_bits chosen = node->chosen & plan->at[p], open = node->open & plan->at[p];
        if (!chosen) {
            node->open &= ~open;
            continue;
        }
        thew_compose_bits row = reached_from(plan, thew_compose_lowest(chosen), chosen | open);
        if (chosen & ~row) return false;
        node->open &= row | ~plan->at[p];
    }
    return true;
}

// ---- the search ----

// What a class must reach to matter.
typedef struct {
    int coverage, room_s;
} aim;

static aim aim_of(const search *s, const thew_compose_node *node)
{
    const thew_compose_plan *plan = &s->work->plan;
    const thew_compose_task *task = plan->task;
    if (s->polishing) {
        int seconds = smaller(task->seconds, s->seconds_below - 1);
        return (aim){ .coverage = s->best->score.coverage, .room_s = seconds + task->rest_s - s->changes_min * task->change_s };
    }
    int changes = node->chosen ? positions_of(plan, node->chosen) - 1 : 0;
    return (aim){ .coverage = s->found ? s->best->score.coverage + plan->step : 0,
                  .room_s = plan->room_s - changes * task->change_s };
}

static bool tired(search *s, int bound)
{
    if (s->effort + s->work->orders.states / STATES_PER_EFFORT < s->effort_max) return false;
    s->coverage_open = bound > s->coverage_open ? bound : s->coverage_open;
    s->gave_up = true;
    return true;
}

// All sets between what is chosen and what is open. Each turn of the loop decides one candidate, or more.
//   bound   on coverage, from above
static void look(search *s, thew_compose_node node, int level, int tries, int bound)
{
    const thew_compose_plan *plan = &s->work->plan;
    thew_compose_prices *prices = &s->work->prices[level];
    for (bool is_new = true; !s->done;) {
        aim a = aim_of(s, &node);
        if (node.cost_s > a.room_s || (is_new && s->polishing && !resolve_conflicts(s, &node))) return;
        if (!line_up(s, &node)) return;
        if (tired(s, bound)) return;
        s->effort++;
        thew_compose_settled settled;
        int reach = thew_compose_bound(plan, &node, s->group, a.room_s, a.coverage, tries, prices, &settled);
        if (reach < a.coverage) return;
        bound = smaller(bound, reach);
        tries = TRIES;
        node.open = settled.open;
        drop_worse(plan, &node);
        if (settled.needed) {
            if (!take_all(plan, &node, settled.needed)) return;
            is_new = true;
            continue;
        }
        if (is_new) {
            is_new = false;
            thew_compose_bits open = node.open;
            if (s->polishing && !untangle(s, &node)) return;
            if (node.coverage >= a.coverage) consider(s, &node);
            if (node.coverage >= a.coverage || node.open != open)
                continue; // there may be more to aim for now, or less to do it with
        }
        if (!node.open) return;
        int i = settled.branch >= 0 && node.open >> settled.branch & 1 ? settled.branch : thew_compose_lowest(node.open);
        thew_compose_node with = node;
        s->work->prices[level + 1] = *prices;
        if (take(plan, &with, i)) look(s, with, level + 1, TRIES, bound);
        node.open &= ~thew_compose_bit(i);
    }
}

// All classes of some candidates.
static void look_among(search *s, thew_compose_bits candidates)
{
    const thew_compose_plan *plan = &s->work->plan;
    thew_compose_node root = { .open = candidates };
    if (plan->must & ~candidates || thew_compose_count(plan->must) > plan->task->slots || !take_all(plan, &root, plan->must))
        return;
    thew_compose_prices *prices = &s->work->prices[0];
    int most = 0;
    for (int w = 0; w < plan->worth_count; w++) {
        prices->worth[w] = plan->value[0][w] * THEW_COMPOSE_SCALE / 2;
        most += plan->value[0][w] + plan->value[1][w];
    }
    prices->second = 0;
    look(s, root, 0, TRIES_FIRST, most);
}

// ---- stages ----

// Two that belong before each other are in conflict; and with a rank, two that belong the other way round.
static void set_conflicts(search *s)
{
    const thew_compose_plan *plan = &s->work->plan;
    const thew_compose_candidate *candidate = plan->task->candidate;
    for (int i = 0; i < plan->task->candidate_count; i++) {
        s->conflict[i] = plan->later[i] & plan->earlier[i];
        for (int p = 0; p < THEW_COMPOSE_POSITIONS_MAX && s->rank; p++) {
            int behind = s->rank[p] - s->rank[candidate[i].position];
            s->conflict[i] |= behind > 0 ? plan->earlier[i] & plan->at[p] : behind < 0 ? plan->later[i] & plan->at[p] : 0;
        }
    }
}

// Groups of which no two go together: by family, and in a stage without violations by conflict.
static void set_groups(search *s, bool no_conflicts)
{
    const thew_compose_plan *plan = &s->work->plan;
    thew_compose_bits member[THEW_COMPOSE_CANDIDATES_MAX];
    int group_count = 0;
    for (int i = 0; i < plan->task->candidate_count; i++) {
        thew_compose_bits against = plan->family[i] | (no_conflicts ? s->conflict[i] : 0);
        int group = 0;
        while (group < group_count && member[group] & ~against)
            group++;
        if (group == group_count) member[group_count++] = 0;
        member[group] |= thew_compose_bit(i);
        s->group[i] = (uint8_t)group;
    }
}

static const int rank_of[][THEW_COMPOSE_POSITIONS_MAX] = { { 0, 1, 2 }, { 1, 0, 2 }, { 0, 2, 1 },
                                                           { 1, 2, 0 }, { 2, 0, 1 }, { 2, 1, 0 } };
#define RANKS ((int)(sizeof rank_of / sizeof *rank_of))

// Absent positions come last, so that no two ranks mean the same.
static bool ranks_absent_last(const int *rank, unsigned positions)
{
    for (int p = 0; p < THEW_COMPOSE_POSITIONS_MAX; p++)
        for (int q = p + 1; q < THEW_COMPOSE_POSITIONS_MAX; q++) {
            bool has_p = positions >> p & 1, has_q = positions >> q & 1;
            if ((has_p && !has_q && rank[p] > rank[q]) || (has_q && !has_p && rank[q] > rank[p])) return false;
            if (!has_p && !has_q && rank[p] > rank[q]) return false;
        }
    return true;
}

static thew_compose_bits usable_in(const thew_compose_plan *plan, unsigned positions)
{
    thew_compose_bits candidates = 0;
    for (int p = 0; p < THEW_COMPOSE_POSITIONS_MAX; p++)
        candidates |= positions >> p & 1 ? plan->at[p] & plan->usable : 0;
    return candidates;
}

// For the greatest coverage: in all positions, or in as many as the changes reach.
static void look_first(search *s)
{
    const thew_compose_plan *plan = &s->work->plan;
    int position_count = smaller(plan->task->changes_max + 1, THEW_COMPOSE_POSITIONS_MAX);
    for (unsigned positions = 1; positions < 1u << THEW_COMPOSE_POSITIONS_MAX; positions++)
        if (thew_compose_count(positions) == position_count) look_among(s, usable_in(plan, positions));
}

// Classes in just these positions. If there are no changes to spare, each is taken up once: every way by itself.
static void look_in(search *s, unsigned positions)
{
    const thew_compose_plan *plan = &s->work->plan;
    thew_compose_bits candidates = usable_in(plan, positions);
    if (positions_of(plan, candidates) < s->position_count) return;
    bool ranked = s->changes_max == s->position_count - 1;
    for (int r = 0; r < (ranked ? RANKS : 1); r++) {
        if (ranked && !ranks_absent_last(rank_of[r], positions)) continue;
        s->rank = ranked ? rank_of[r] : NULL;
        set_conflicts(s);
        set_groups(s, s->violations_max == 0);
        look_among(s, candidates);
    }
}

// Fewer positions first: a class that could do with fewer was found before, so each part may count on the changes it needs.
static bool stage(search *s, int violations, int changes_min, int changes_max, int seconds_below, bool first_will_do)
{
    s->violations_max = violations;
    s->changes_max = smaller(changes_max, s->work->plan.task->changes_max);
    s->seconds_below = seconds_below;
    s->first_will_do = first_will_do;
    s->done = false;
    for (s->position_count = 1; s->position_count <= THEW_COMPOSE_POSITIONS_MAX; s->position_count++) {
        if (s->position_count - 1 > s->changes_max) break;
        s->changes_min = changes_min > s->position_count - 1 ? changes_min : s->position_count - 1;
        for (unsigned positions = 1; positions < 1u << THEW_COMPOSE_POSITIONS_MAX; positions++)
            if (thew_compose_count(positions) == s->position_count) look_in(s, positions);
    }
    return s->done;
}

// Of the classes with the best coverage the best. `proven` follows: no such class is better.
static void polish(search *s, thew_compose_score *proven)
{
    const thew_compose_score *best = &s->best->score;
    s->polishing = true;
    while (proven->violations < best->violations && !s->gave_up)
        if (!stage(s, proven->violations, 0, THEW_COMPOSE_SLOTS_MAX, SECONDS_ANY, true) && !s->gave_up) proven->violations++;
    while (proven->changes < best->changes && !s->gave_up)
        if (!stage(s, best->violations, proven->changes, proven->changes, SECONDS_ANY, true) && !s->gave_up) proven->changes++;
    // The fewest seconds: halves what is unproven, until so little is left that it is searched through.
    int step_s = s->work->plan.cost_step_s;
    while (proven->seconds + step_s <= best->seconds && !s->gave_up) {
        int unproven = best->seconds - proven->seconds;
        bool near = unproven <= best->seconds / NEAR_SHARE || unproven <= 2 * step_s;
        int below = near ? best->seconds : best->seconds - unproven / 2;
        if (!stage(s, best->violations, best->changes, best->changes, below, !near) && !s->gave_up)
            proven->seconds = near ? best->seconds : below;
    }
}

thew_status thew_compose_search(thew_compose_work *work, long long effort_max, thew_composed *composed,
                                thew_compose_certificate *certificate)
{
    *composed = (thew_composed){ 0 };
    work->orders.states = 0;
    search s = { .work = work, .best = composed, .effort_max = effort_max };
    set_groups(&s, false);
    look_first(&s);
    thew_compose_score proven = { .coverage = composed->score.coverage };
    if (s.gave_up && s.coverage_open > proven.coverage) proven.coverage = s.coverage_open;
    if (s.found && !s.gave_up && composed->count > 0) polish(&s, &proven);
    *certificate = (thew_compose_certificate){ .optimal = !s.gave_up, .bound = s.gave_up ? proven : composed->score };
    certificate->effort = s.effort + work->orders.states / STATES_PER_EFFORT;
    if (!s.found) return THEW_NO_CLASS;
    return s.gave_up ? THEW_NOT_PROVEN : THEW_OK;
}
