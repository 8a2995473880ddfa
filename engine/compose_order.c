// compose_order.c: the best order of a chosen set, by dynamic programming over its subsets (Held & Karp 1962 (memory)).
// Knows neighbours, positions and who belongs before whom. Leaves to others: which set (compose_search.c).
#include "compose_parts.h"

#include <assert.h>
#include <string.h>

#define NONE THEW_COMPOSE_ORDER_NONE
#define LANES THEW_COMPOSE_ORDER_LANES

// A set by the places of its members, 0 to count - 1.
typedef struct {
    int count;
    int candidate[THEW_COMPOSE_SLOTS_MAX];
    unsigned later[THEW_COMPOSE_SLOTS_MAX]; // members that belong after it
    // [a member][the one before it]: 0 if that step is one without, or with, a change of position; else NONE
    uint8_t stay[THEW_COMPOSE_SLOTS_MAX][LANES], move[THEW_COMPOSE_SLOTS_MAX][LANES];
} members;

// The places of those members that are in a set of candidates.
static unsigned places(const members *m, thew_compose_bits set)
{
    unsigned in = 0;
    for (int i = 0; i < m->count; i++)
        in |= (unsigned)(set >> m->candidate[i] & 1) << i;
    return in;
}

static void list_members(const thew_compose_plan *plan, thew_compose_bits set, members *m)
{
    m->count = 0;
    for (thew_compose_bits left = set; left; left &= left - 1)
        m->candidate[m->count++] = thew_compose_lowest(left);
    for (int i = 0; i < m->count; i++)
        m->later[i] = places(m, plan->later[m->candidate[i]]);
}

static void list_steps(const thew_compose_plan *plan, const thew_compose_rules *rules, members *m)
{
    memset(m->stay, NONE, sizeof m->stay);
    memset(m->move, NONE, sizeof m->move);
    for (int to = 0; to < m->count; to++)
        for (int from = 0; from < m->count; from++) {
            int at = plan->task->candidate[m->candidate[to]].position, was_at = plan->task->candidate[m->candidate[from]].position;
            if (from == to || (rules->neighbours && plan->clash[m->candidate[to]] >> m->candidate[from] & 1)) continue;
            if (at == was_at)
                m->stay[to][from] = 0;
            else if (!rules->rank || rules->rank[at] > rules->rank[was_at])
                m->move[to][from] = 0;
        }
}

// Fewest violations of all orders of a set before the step onto `to`.
static uint8_t before_step(const members *m, int to, const uint8_t *same, const uint8_t *changed)
{
    uint8_t least = NONE;
    for (int i = 0; i < LANES; i++) {
        uint8_t stays = same[i] | m->stay[to][i], moves = changed[i] | m->move[to][i];
        uint8_t better = stays < moves ? stays : moves;
        least = better < least ? better : least;
    }
    return least;
}

static const uint8_t nowhere[LANES] = { NONE, NONE, NONE, NONE, NONE, NONE, NONE, NONE,
                                        NONE, NONE, NONE, NONE, NONE, NONE, NONE, NONE };

// Onto the orders of a set, all steps to one that is not in it.
static void step_on(const members *m, thew_compose_orders *orders, unsigned set, int changes, int violations_max)
{
    const uint8_t *same = orders->violations[changes][set];
    const uint8_t *changed = changes ? orders->violations[changes - 1][set] : nowhere;
    for (unsigned left = ~set & ((1u << m->count) - 1); left; left &= left - 1) {
        int next = __builtin_ctz(left);
        int added = thew_compose_count(set & m->later[next]);
        if (added > violations_max) continue;
        orders->states++;
        int violations = added + before_step(m, next, same, changed);
        if (violations > violations_max) continue;
        unsigned with = set | 1u << next;
        orders->violations[changes][with][next] = (uint8_t)violations;
        orders->reached[with] = true;
    }
}

// Orders with that many changes or fewer, from those with one change fewer.
static void fill(const members *m, thew_compose_orders *orders, int changes, int violations_max)
{
    unsigned sets = 1u << m->count;
    memset(orders->violations[changes], NONE, sets * LANES);
    memset(orders->reached, 0, sets);
    for (int i = 0; i < m->count; i++) {
        orders->violations[changes][1u << i][i] = 0;
        orders->reached[1u << i] = true;
    }
    for (unsigned set = 1; set < sets; set++)
        if (orders->reached[set]) step_on(m, orders, set, changes, violations_max);
    orders->states += sets / 8;
}

static int least_lane(const uint8_t *lanes)
{
    int best = 0;
    for (int i = 1; i < LANES; i++)
        if (lanes[i] < lanes[best]) best = i;
    return best;
}

// Whoever may have come before, with just these violations.
static int step_back(const members *m, const thew_compose_orders *orders, unsigned before, int to, int violations, int *changes)
{
    const uint8_t *same = orders->violations[*changes][before];
    for (int i = 0; i < m->count; i++)
        if ((same[i] | m->stay[to][i]) == violations) return i;
    --*changes;
    assert(*changes >= 0);
    const uint8_t *changed = orders->violations[*changes][before];
    int i = 0;
    while ((changed[i] | m->move[to][i]) != violations)
        i++;
    assert(i < m->count);
    return i;
}

// The order, from its end to its beginning.
static void trace(const members *m, const thew_compose_orders *orders, int changes, int *order)
{
    unsigned set = (1u << m->count) - 1;
    int last = least_lane(orders->violations[changes][set]);
    int violations = orders->violations[changes][set][last];
    for (int place = m->count - 1;; place--) {
        order[place] = m->candidate[last];
        set &= ~(1u << last);
        if (!set) return;
        violations -= thew_compose_count(set & m->later[last]);
        last = step_back(m, orders, set, last, violations, &changes);
    }
}

int thew_compose_best_order(const thew_compose_plan *plan, thew_compose_bits set, const thew_compose_rules *rules,
                            thew_compose_orders *orders, int *order)
{
    assert(set && thew_compose_count(set) <= THEW_COMPOSE_SLOTS_MAX && rules->changes_max >= 0);
    assert(rules->violations_max < NONE);
    members m;
    list_members(plan, set, &m);
    list_steps(plan, rules, &m);
    unsigned all = (1u << m.count) - 1;
    int best = NONE, changes = 0;
    for (int c = 0; c <= rules->changes_max && c < m.count && best > rules->violations_enough; c++) {
        fill(&m, orders, c, rules->violations_max);
        int violations = orders->violations[c][all][least_lane(orders->violations[c][all])];
        changes = violations < best ? c : changes;
        best = violations < best ? violations : best;
    }
    if (best == NONE) return -1;
    trace(&m, orders, changes, order);
    return best;
}

// ---- tangles: orders without regard to positions and neighbours ----

// Those of a set that are left when everybody who can come first, or last, without a violation has gone: cycles, and what lies
// between.
static thew_compose_bits core_of(const thew_compose_plan *plan, thew_compose_bits set)
{
    for (bool shrinks = true; shrinks;) {
        shrinks = false;
        for (thew_compose_bits left = set; left; left &= left - 1) {
            int i = thew_compose_lowest(left);
            if (plan->earlier[i] & set && plan->later[i] & set) continue;
            set &= ~thew_compose_bit(i);
            shrinks = true;
        }
    }
    return set;
}

int thew_compose_tangle(const thew_compose_plan *plan, thew_compose_bits set, thew_compose_orders *orders)
{
    assert(thew_compose_count(set) <= THEW_COMPOSE_SLOTS_MAX);
    members m;
    list_members(plan, core_of(plan, set), &m);
    orders->fewest[0] = 0;
    for (unsigned core = 1; core < 1u << m.count; core++) {
        unsigned least = NONE;
        for (unsigned left = core; left; left &= left - 1) {
            int last = __builtin_ctz(left);
            unsigned before = core & ~(1u << last);
            unsigned violations = orders->fewest[before] + (unsigned)thew_compose_count(before & m.later[last]);
            least = violations < least ? violations : least;
        }
        orders->fewest[core] = (uint8_t)least;
    }
    orders->states += m.count << m.count;
    return orders->fewest[(1u << m.count) - 1];
}
