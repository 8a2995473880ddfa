// compose.h: which exercises make a class, and in which order: the best there is, with the proof, or how far from it at most.
// Knows coverage, order and time of a class as whole numbers, so that every host composes the same one. Leaves to others: where the
// candidates come from (the studio), who takes part (fitted later), words.
//
// Best, each only where all before it are equal:
//   1 the greatest coverage: the weights of the goals served, and of the muscles that some chosen exercise has as prime movers;
//     a second exercise of the same muscle counts `second_percent` of its weight, a third nothing, a second one for a goal nothing
//   2 the fewest violations of "prime movers before their synergists": pairs in which an exercise comes before one that uses its
//     prime mover as a synergist (a press whose triceps have been emptied ends for the wrong reason). Two that use each other's:
//     one at least
//   3 the fewest changes of position
//   4 the fewest seconds
// and never broken: seconds, slots, positions and changes of them, kit, what must and must not be in, one of a family, and, unless
// repeats are allowed, no two in a row on the same prime mover (the same prime action, or a muscle that is a prime mover of both).
// Of equals any: which one is fixed by the order of the candidates.
//
// Method: branch and bound over sets of exercises, each order by dynamic programming. The bound is the Lagrangian dual of coverage
// as a linear programme (Cornuejols, Fisher & Nemhauser 1977 for the plain case (memory)), valid for whatever multipliers it is
// computed with, which also settles single candidates by their reduced gain.
#ifndef THEW_COMPOSE_H
#define THEW_COMPOSE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "capacity.h"
#include "fatigue.h"
#include "status.h"
#include "strength.h"

#define THEW_COMPOSE_CANDIDATES_MAX 64
#define THEW_COMPOSE_SLOTS_MAX 12
#define THEW_COMPOSE_MARKS_MAX 64 // goals; and muscles
#define THEW_COMPOSE_POSITIONS_MAX 3
#define THEW_COMPOSE_REGIONS_MAX 3
#define THEW_COMPOSE_SECONDS_MAX 43200 // half a day: more is a slip
#define THEW_COMPOSE_PAUSE_MAX_S 3600
#define THEW_COMPOSE_WEIGHT_MAX 100

typedef enum { THEW_MAY, THEW_MUST, THEW_NEVER } thew_choice;

/// One exercise as a class sees it.
typedef struct {
    int seconds;                       // from taking it up to putting it down: set-up, both sides; 1 to THEW_COMPOSE_SECONDS_MAX
    uint64_t goals;                    // bit 1 << goal
    uint64_t prime_movers, synergists; // bit 1 << muscle
    thew_action prime_action;
    int position; // 0 to THEW_COMPOSE_POSITIONS_MAX - 1
    unsigned kit; // all that it needs; bit 1 << kind, kinds as the caller numbers them (an anchor may be one)
    int region;   // 0 to THEW_COMPOSE_REGIONS_MAX - 1; only counted
    int family;   // of those with the same number above 0 one at most is chosen; 0 = none
    thew_choice choice;
} thew_compose_candidate;

/// What is asked for.
typedef struct {
    const thew_compose_candidate *candidate;                                        // [candidate_count]
    int candidate_count;                                                            // 0 to THEW_COMPOSE_CANDIDATES_MAX
    int goal_weight[THEW_COMPOSE_MARKS_MAX], muscle_weight[THEW_COMPOSE_MARKS_MAX]; // 0 to THEW_COMPOSE_WEIGHT_MAX
    int second_percent;                                                             // 0 to 100
    unsigned positions;                                                             // allowed; bit 1 << position
    int changes_max;                                                                // of position, 0 to THEW_COMPOSE_SLOTS_MAX
    unsigned kit;                                                                   // there is; bit 1 << kind
    int seconds;                                                                    // there are, 0 to THEW_COMPOSE_SECONDS_MAX
    int slots;                                                                      // 0 to THEW_COMPOSE_SLOTS_MAX
    int rest_s, change_s; // between two exercises; added to it where the position changes; 0 to THEW_COMPOSE_PAUSE_MAX_S
    bool repeats_allowed; // two sets in a row on one prime mover
} thew_compose_task;

/// How good a class is.
typedef struct {
    int coverage; // hundredths of a weight of 1
    int violations, changes, seconds;
} thew_compose_score;

/// Negative if a is the better, positive if b is, 0 if neither.
int thew_compose_compare(thew_compose_score a, thew_compose_score b);

/// What a class breaks, bit by bit; 0 = nothing.
typedef enum {
    THEW_BREAKS_SECONDS = 1,
    THEW_BREAKS_SLOTS = 2,
    THEW_BREAKS_MUST = 4,
    THEW_BREAKS_NEVER = 8,
    THEW_BREAKS_FAMILY = 16,
    THEW_BREAKS_REPEAT = 32,
    THEW_BREAKS_POSITION = 64,
    THEW_BREAKS_KIT = 128,
    THEW_BREAKS_CHANGES = 256
} thew_compose_break;

/// A class. All-zero is the empty one.
typedef struct {
    int order[THEW_COMPOSE_SLOTS_MAX]; // [count], indices of candidates
    int count;
    thew_compose_score score;
    uint64_t goals_uncovered, muscles_uncovered; // of those with a weight
    int region_count[THEW_COMPOSE_REGIONS_MAX];  // exercises
} thew_composed;

/// Everything there is to say about a class in a given order, made by hand or not.
///   order     [count], indices of candidates, each once; up to THEW_COMPOSE_SLOTS_MAX
///   composed  out
///   returns   what it breaks
unsigned thew_compose_judge(const thew_compose_task *task, const int *order, int count, thew_composed *composed);

/// How sure it is.
typedef struct {
    bool optimal;             // nothing is better
    thew_compose_score bound; // nothing is better than this; the class's own score if optimal
    long long effort;         // what the search took, in nodes
} thew_compose_certificate;

/// Nodes for somebody who waits: under 200 ms. All 800 catalogues of bench/compose_bench.c, 60 movements and 12 slots each, are
/// proven within them.
#define THEW_COMPOSE_EFFORT 60000

/// Memory for one search; its content means nothing before and after.
typedef struct thew_compose_work thew_compose_work;
size_t thew_compose_work_bytes(void);

/// The best class.
///   effort_max   nodes of the search after which it ends with what it has; 1 or more
///   work         thew_compose_work_bytes() bytes, aligned for any type
///   composed     out; empty if there is none
///   certificate  out
///   status       THEW_OK; THEW_NOT_PROVEN: the effort ran out, see the certificate; THEW_NO_CLASS: none keeps to the minutes,
///                the slots and the order with all that must be in (certificate->optimal: none at all, else none was found)
THEW_MUST_USE thew_status thew_compose(const thew_compose_task *task, long long effort_max, thew_compose_work *work,
                                       thew_composed *composed, thew_compose_certificate *certificate);

// ---- what earlier sets leave for later ones ----

/// One set of one side in the course of a class.
typedef struct {
    uint64_t prime_movers, synergists; // bit 1 << muscle
    thew_side side;                    // THEW_BOTH: both work at once
    double rest_s;                     // since the set before; 0 or more
    double load_share;                 // mean over the set, share of the prime movers' unfatigued capacity; 0 to 1
    double seconds;                    // under load
} thew_compose_set;

#define THEW_COMPOSE_SYNERGIST_SHARE .5 // of the prime movers' load share: a judgement, no published value

/// How much lower capacity is at the start of each set than if it were the first: muscle by muscle and side by side through the
/// whole class, by thew_fatigue_after. A set lasts while each of its muscles still has what is asked of it: the load of a prime
/// mover, its share of a synergist (which therefore limits a set only when it is all but spent). So what is left of capacity is the
/// least of 1 - MF and (1 - MF) / share.
/// A set that starts with the fatigued share MF lasts as long as a fresh one by somebody of capacity k (1 - MF): exactly so without
/// recovery under load; with the knee's the seconds are up to .65 MF of them too short (tests/engine/compose_test.c), on the
/// careful side.
///   set              [set_count], in order
///   joint            [THEW_COMPOSE_MARKS_MAX]: whose fatigue and recovery a muscle has
///   synergist_share  0 to 1, of the set's load
///   capacity_ln      out [set_count]: to be added to ln capacity, 0 or less
void thew_compose_carry(const thew_compose_set *set, int set_count, const thew_joint *joint, double synergist_share,
                        double *capacity_ln);

#endif
