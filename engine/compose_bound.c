// compose_bound.c: how much coverage can still be reached.
// Knows the Lagrangian dual of the linear programme
//     greatest sum of value y   with   y of a worth <= number of chosen that serve it,  chosen within slots and seconds
// in which the first row is priced by a multiplier for each worth and the seconds by one for all. What is left is picking the best
// few by their reduced gains, so every evaluation is a bound, and subgradient steps (Polyak's length) lower it. Whole numbers
// throughout: the bound holds to the last bit, on every host. Leaves to others: orders, families, the search.
#include "compose_parts.h"

#include <assert.h>
#include <string.h>

#define SCALE THEW_COMPOSE_SCALE
#define SECOND_UNIT 128 // seconds that count like one worth in the length of a step: about one exercise

// What can still be had: values left of each worth, no more of them than open candidates serve it.
typedef struct {
    int count;
    int32_t first[THEW_COMPOSE_WORTHS_MAX], second[THEW_COMPOSE_WORTHS_MAX]; // scaled
    int64_t coverage;                                                        // of the chosen, scaled
    int slots, room_s;
    const uint8_t *group;
} rest_of;

// One evaluation.
typedef struct {
    int64_t bound; // scaled
    int32_t gain[THEW_COMPOSE_CANDIDATES_MAX];
    int first[THEW_COMPOSE_CANDIDATES_MAX], second[THEW_COMPOSE_CANDIDATES_MAX]; // the greatest gains of a group; -1 = none
    int pick[THEW_COMPOSE_SLOTS_MAX + 1]; // the greatest gains, falling; with the first that was left out
    int pick_count;                       // of those within the slots
    bool left_out;
} evaluation;

static void set_out(const thew_compose_plan *plan, const thew_compose_node *node, int room_s, rest_of *rest)
{
    uint8_t open_serving[THEW_COMPOSE_WORTHS_MAX] = { 0 };
    for (thew_compose_bits left = node->open; left; left &= left - 1) {
        int i = thew_compose_lowest(left);
        for (int s = 0; s < plan->serve_count[i]; s++)
            open_serving[plan->serves[i][s]]++;
    }
    rest->count = plan->worth_count;
    for (int w = 0; w < rest->count; w++) {
        int served = node->served[w], open = open_serving[w];
        int values[3] = { plan->value[0][w], plan->value[1][w], 0 };
        rest->first[w] = open > 0 && served < 2 ? values[served] * SCALE : 0;
        rest->second[w] = open > 1 && served < 1 ? values[1] * SCALE : 0;
    }
    rest->coverage = (int64_t)node->coverage * SCALE;
    rest->slots = plan->task->slots - thew_compose_count(node->chosen);
    rest->room_s = room_s - node->cost_s;
}

static int64_t above(int32_t value, int32_t price)
{
    return value > price ? value - price : 0;
}

// Keeps the greatest gains, one more than there are slots, equal ones by index.
static void pick(evaluation *e, int *kept, int slots, int i)
{
    if (e->gain[i] <= 0 || (*kept > slots && e->gain[i] <= e->gain[e->pick[slots]])) return;
    int at = *kept <= slots ? (*kept)++ : slots;
    for (; at > 0 && e->gain[e->pick[at - 1]] < e->gain[i]; at--)
        e->pick[at] = e->pick[at - 1];
    e->pick[at] = i;
}

static int32_t gain_of(const thew_compose_plan *plan, const thew_compose_prices *prices, int i)
{
    int64_t gain = -(int64_t)prices->second * plan->cost_s[i];
    for (int s = 0; s < plan->serve_count[i]; s++)
        gain += prices->worth[plan->serves[i][s]];
    return gain < INT32_MIN ? INT32_MIN : (int32_t)gain;
}

static void lead_group(evaluation *e, int group, int i)
{
    int first = e->first[group], second = e->second[group];
    if (first < 0 || e->gain[i] > e->gain[first]) {
        e->second[group] = first;
        e->first[group] = i;
    } else if (second < 0 || e->gain[i] > e->gain[second]) {
        e->second[group] = i;
    }
}

static void evaluate(const thew_compose_plan *plan, const thew_compose_node *node, const rest_of *rest,
                     const thew_compose_prices *prices, evaluation *e)
{
    memset(e->first, -1, sizeof e->first);
    memset(e->second, -1, sizeof e->second);
    thew_compose_bits groups = 0;
    for (thew_compose_bits left = node->open; left; left &= left - 1) {
        int i = thew_compose_lowest(left);
        e->gain[i] = gain_of(plan, prices, i);
        lead_group(e, rest->group[i], i);
        groups |= thew_compose_bit(rest->group[i]);
    }
    int kept = 0;
    for (; groups; groups &= groups - 1)
        pick(e, &kept, rest->slots, e->first[thew_compose_lowest(groups)]);
    e->left_out = kept > rest->slots;
    e->pick_count = e->left_out ? rest->slots : kept;
    e->bound = rest->coverage + (int64_t)prices->second * rest->room_s;
    for (int w = 0; w < rest->count; w++)
        e->bound += above(rest->first[w], prices->worth[w]) + above(rest->second[w], prices->worth[w]);
    for (int p = 0; p < e->pick_count; p++)
        e->bound += e->gain[e->pick[p]];
}

static int32_t clamped(int64_t x, int64_t high)
{
    return (int32_t)(x < 0 ? 0 : x > high ? high : x);
}

// Towards lower bounds: a worth that more serve than count loses price, one that counts more often than it is served gains.
//   excess   of the bound over the goal, scaled; per mille of Polyak's step are taken
static void improve(const thew_compose_plan *plan, const rest_of *rest, const evaluation *e, int64_t excess, int per_mille,
                    thew_compose_prices *prices)
{
    int slope[THEW_COMPOSE_WORTHS_MAX], second = rest->room_s;
    for (int w = 0; w < rest->count; w++)
        slope[w] = -(rest->first[w] > prices->worth[w]) - (rest->second[w] > prices->worth[w]);
    for (int p = 0; p < e->pick_count; p++) {
        int i = e->pick[p];
        second -= plan->cost_s[i];
        for (int s = 0; s < plan->serve_count[i]; s++)
            slope[plan->serves[i][s]]++;
    }
    int64_t length = 0;
    for (int w = 0; w < rest->count; w++) {
        if (rest->first[w] == 0 && slope[w] > 0) slope[w] = 0; // nothing to gain: its price stays at 0
        length += slope[w] * slope[w];
    }
    bool stuck = second > 0 && prices->second == 0;
    int64_t seconds_length = stuck ? 0 : (int64_t)second * second / (SECOND_UNIT * SECOND_UNIT);
    length += seconds_length;
    if (length == 0) return;
    int64_t step = excess * per_mille / 1000 / length + 1;
    for (int w = 0; w < rest->count; w++)
        prices->worth[w] = clamped(prices->worth[w] - step * slope[w], rest->first[w]);
    if (!stuck) prices->second = clamped(prices->second - step * second / (SECOND_UNIT * SECOND_UNIT), INT32_MAX / 2);
}
static int64_t gain_or_0(const evaluation *e, int i)
{
    return i >= 0 && e->gain[i] > 0 ? e->gain[i] : 0;
}

// What may still be in, and what must be, of a set that reaches the goal: by how much the bound falls if a candidate is forced.
static void settle(const thew_compose_plan *plan, const thew_compose_node *node, const rest_of *rest, const evaluation *e,
                   int64_t goal, thew_compose_settled *settled)
{
    thew_compose_bits picked = 0;
    bool full = e->pick_count == rest->slots && rest->slots > 0;
    int64_t successor = e->left_out ? e->gain[e->pick[rest->slots]] : 0;
    int64_t displaced = full ? e->gain[e->pick[rest->slots - 1]] : 0;
    *settled = (thew_compose_settled){ .branch = e->pick_count > 0 ? e->pick[0] : -1 };
    for (int p = 0; p < e->pick_count; p++) {
        int i = e->pick[p];
        int64_t own = gain_or_0(e, e->second[rest->group[i]]);
        picked |= thew_compose_bit(i);
        if (e->bound - e->gain[i] + (own > successor ? own : successor) < goal) settled->needed |= thew_compose_bit(i);
    }
    for (thew_compose_bits left = rest->slots > 0 ? node->open : 0; left; left &= left - 1) {
        int i = thew_compose_lowest(left), leader = e->first[rest->group[i]];
        int64_t in_place_of = picked >> leader & 1 ? e->gain[leader] : displaced;
        bool fits = plan->cost_s[i] <= rest->room_s;
        settled->open |= fits && e->bound + e->gain[i] - in_place_of >= goal ? thew_compose_bit(i) : 0;
    }
}

int thew_compose_bound(const thew_compose_plan *plan, const thew_compose_node *node, const uint8_t *group, int room_s, int goal,
                       int tries, thew_compose_prices *prices, thew_compose_settled *settled)
{
    rest_of rest;
    set_out(plan, node, room_s, &rest);
    assert(rest.slots >= 0);
    rest.group = group;
    if (rest.room_s < 0) return -1;
    int64_t goal_scaled = (int64_t)goal * SCALE;
    for (int w = 0; w < rest.count; w++)
        prices->worth[w] = clamped(prices->worth[w], rest.first[w]);
    thew_compose_prices trial = *prices;
    evaluation best, now;
    evaluate(plan, node, &rest, prices, &best);
    now = best;
    int per_mille = 1000;
    for (int t = 0; t < tries && best.bound >= goal_scaled; t++) {
        improve(plan, &rest, &now, now.bound - goal_scaled + SCALE, per_mille, &trial);
        evaluate(plan, node, &rest, &trial, &now);
        if (now.bound < best.bound) {
            best = now;
            *prices = trial;
        } else {
            per_mille = per_mille * 9 / 10;
        }
    }
    if (best.bound >= goal_scaled) settle(plan, node, &rest, &best, goal_scaled, settled);
    int bound = (int)(best.bound / SCALE);
    return bound - bound % plan->step;
}
