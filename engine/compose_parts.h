// compose_parts.h: what the files of class composition share with one another: a task laid out for searching, the bound, the
// orders. Not for use outside engine/: everybody else asks through compose.h.
#ifndef THEW_COMPOSE_PARTS_H
#define THEW_COMPOSE_PARTS_H

#include "compose.h"

// A worth is something that coverage counts: a goal, or a muscle as prime mover.
#define THEW_COMPOSE_WORTHS_MAX (2 * THEW_COMPOSE_MARKS_MAX)

/// A set of candidates; bit 1 << index.
typedef uint64_t thew_compose_bits;

/// How many; by hand, since not every processor that a compiler builds for has an instruction for it, and the sets are small.
static inline int thew_compose_count(thew_compose_bits bits)
{
    int count = 0;
    for (; bits; bits &= bits - 1)
        count++;
    return count;
}
/// The lowest index of a set that is not empty.
static inline int thew_compose_lowest(thew_compose_bits bits)
{
    return __builtin_ctzll(bits);
}
static inline thew_compose_bits thew_compose_bit(int index)
{
    return UINT64_C(1) << index;
}

/// A task with what follows from it. Worths that nobody serves or that weigh nothing are left out.
typedef struct {
    const thew_compose_task *task;
    thew_compose_bits usable, must;
    int worth_count;
    int value[2][THEW_COMPOSE_WORTHS_MAX]; // of the first and of the second exercise, in hundredths; the second is not more
    int step;                              // every coverage is a multiple of this
    uint8_t serves[THEW_COMPOSE_CANDIDATES_MAX][THEW_COMPOSE_WORTHS_MAX], serve_count[THEW_COMPOSE_CANDIDATES_MAX];
    int cost_s[THEW_COMPOSE_CANDIDATES_MAX];                // seconds, a rest included
    int cost_step_s;                                        // every sum of costs is a multiple of this
    int room_s;                                             // seconds there are for costs and changes
    thew_compose_bits family[THEW_COMPOSE_CANDIDATES_MAX];  // the others of its family
    thew_compose_bits later[THEW_COMPOSE_CANDIDATES_MAX];   // those that belong after it,
    thew_compose_bits earlier[THEW_COMPOSE_CANDIDATES_MAX]; // and before it; some are both
    thew_compose_bits clash[THEW_COMPOSE_CANDIDATES_MAX];   // those that may not stand next to it
    thew_compose_bits better[THEW_COMPOSE_CANDIDATES_MAX];  // those that can take its place in any class and make it no worse:
    thew_compose_bits worse[THEW_COMPOSE_CANDIDATES_MAX];   // it is not needed without them; and the other way round
    thew_compose_bits at[THEW_COMPOSE_POSITIONS_MAX];       // those of a position
} thew_compose_plan;

/// What is decided already.
typedef struct {
    thew_compose_bits chosen, open;          // in; undecided. The rest is out
    int coverage, cost_s;                    // of the chosen
    uint8_t served[THEW_COMPOSE_WORTHS_MAX]; // by how many of the chosen
    int order[THEW_COMPOSE_SLOTS_MAX]; // [order_count]: a good one of the chosen, neighbours let pass, as far as it was looked at
    int order_count;
} thew_compose_node;

// ---- compose_bound.c ----

#define THEW_COMPOSE_SCALE 256 // of prices, to one hundredth of a weight

/// Prices of the worths, and of a second. Any are valid; good ones give a low bound.
typedef struct {
    int32_t worth[THEW_COMPOSE_WORTHS_MAX];
    int32_t second;
} thew_compose_prices;

/// What a bound says about single candidates.
typedef struct {
    thew_compose_bits open;   // may still be in a set that reaches the goal
    thew_compose_bits needed; // of these, must be in it
    int branch;               // of the open ones, promises most; -1 if none promises anything
} thew_compose_settled;

/// Upper bound of the coverage of any set of the node's chosen and some of its open ones.
///   group      [THEW_COMPOSE_CANDIDATES_MAX], below that number: of the open ones of a group, one at most will be in
///   room_s     for the costs of all of them together
///   goal       coverage that is of interest: below it the node is dead
///   tries      improvements of the prices
///   prices     in: to begin with; out: the best found
///   settled    out; not set if the node is dead
///   returns    the bound; below `goal` if the node is dead
int thew_compose_bound(const thew_compose_plan *plan, const thew_compose_node *node, const uint8_t *group, int room_s, int goal,
                       int tries, thew_compose_prices *prices, thew_compose_settled *settled);

// ---- compose_order.c ----

#define THEW_COMPOSE_ORDER_SETS (1 << THEW_COMPOSE_SLOTS_MAX)
#define THEW_COMPOSE_ORDER_LANES 16 // THEW_COMPOSE_SLOTS_MAX, rounded up to what a processor's registers hold
#define THEW_COMPOSE_ORDER_NONE 255

/// Tables of the dynamic programmes over the subsets of a set of up to THEW_COMPOSE_SLOTS_MAX.
typedef struct {
    // fewest violations of an order of a subset that ends in one of it, by the changes allowed: [changes][subset][last]
    uint8_t violations[THEW_COMPOSE_SLOTS_MAX][THEW_COMPOSE_ORDER_SETS][THEW_COMPOSE_ORDER_LANES];
    bool reached[THEW_COMPOSE_ORDER_SETS];   // whether a subset has an order within the rules: [subset]
    uint8_t fewest[THEW_COMPOSE_ORDER_SETS]; // the same whatever the positions and neighbours: [subset]
    long long states;                        // looked at so far: how much work was done
} thew_compose_orders;

/// Which orders are of interest.
typedef struct {
    bool neighbours;       // whether some may not stand next to one another
    const int *rank;       // [THEW_COMPOSE_POSITIONS_MAX]: positions only rise in rank; NULL: as they like
    int violations_enough; // fewer are not looked for, unless they cost no more changes
    int violations_max;    // below THEW_COMPOSE_ORDER_NONE
    int changes_max;       // 0 or more
} thew_compose_rules;

/// The order with the fewest violations (down to enough) and of those with the fewest changes.
///   set      1 to THEW_COMPOSE_SLOTS_MAX candidates
///   order    out [count of set]
///   returns  violations, or -1 if no order keeps to the rules
int thew_compose_best_order(const thew_compose_plan *plan, thew_compose_bits set, const thew_compose_rules *rules,
                            thew_compose_orders *orders, int *order);

/// Violations of the best order of a set whatever the positions and neighbours.
///   set   up to THEW_COMPOSE_SLOTS_MAX candidates
int thew_compose_tangle(const thew_compose_plan *plan, thew_compose_bits set, thew_compose_orders *orders);

// ---- compose_search.c ----

/// Everything a search needs.
struct thew_compose_work {
    thew_compose_plan plan;
    thew_compose_orders orders;
    thew_compose_prices prices[THEW_COMPOSE_SLOTS_MAX + 1]; // a level of the search each
};

/// The best class of the work's plan. Outs and status as of thew_compose.
THEW_MUST_USE thew_status thew_compose_search(thew_compose_work *work, long long effort_max, thew_composed *composed,
                                              thew_compose_certificate *certificate);

#endif
