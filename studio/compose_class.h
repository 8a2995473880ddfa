// compose_class.h: a class put together: from goals, positions, kit and minutes to exercises in an order, with the second at which
// each set starts, and what stays uncovered; and what an order that the coach has changed by hand costs. Knows the catalogue's
// names, and the class as everybody does it. Leaves to others: the best choice and its proof (engine/compose.h), who takes part and
// with which load (advise.h), where plans are kept, what they are called, pages.
//
// Every exercise is done with all its sets in a row, every set of a one-sided variant on the left and then on the right, and every
// set is given the time of a whole window: a class may end earlier, not later. Times are counted from the first set's start, in
// seconds.
#ifndef THEW_STUDIO_COMPOSE_CLASS_H
#define THEW_STUDIO_COMPOSE_CLASS_H

#include <glib.h>
#include <stdbool.h>

#include "catalogue/catalogue.h"
#include "engine/compose.h"
#include "studio/refusal.h"

#define THEW_CLASS_WEIGHT_MAX 10
#define THEW_CLASS_SETS_MAX 10
#define THEW_CLASS_MINUTES_MAX 240.0

typedef struct {
    const char *goal; // identifier or name
    int weight;       // 1 to THEW_CLASS_WEIGHT_MAX
} thew_class_goal_wish;

/// What is asked for. Nothing in it is owned. Names are those of the catalogue: identifiers, or names whatever their case. Lists
/// end with NULL.
typedef struct {
    const thew_class_goal_wish *goal; // [goal_count]; none: every goal of the catalogue, all alike
    guint goal_count;
    double minutes;              // above 0
    const char *const *position; // "seated", "standing", "lying"; NULL: any
    const char *const
        *kit; // "band", "loop", "dumbbell", "cuff", and "anchor": something firm to fix a band to, such as a door. NULL: all
    const char *const *fixed;       // exercises, or single variants, that must be in; may be NULL
    const char *const *excluded;    // that must not; may be NULL
    int exercises_max;              // 1 to THEW_COMPOSE_SLOTS_MAX
    int sets;                       // of each exercise, 1 to THEW_CLASS_SETS_MAX
    int rest_s;                     // between sets of an exercise, and between exercises; setting up is done in it
    int side_rest_s;                // between left and right
    int position_change_s;          // added to the rest where the position changes
    int window_from_s, window_to_s; // the seconds after which a set should end; each set is given all of it
    int position_changes_max;       // 0 to THEW_COMPOSE_SLOTS_MAX
    int muscle_weight;              // of each muscle beside the goals, 0 to THEW_CLASS_WEIGHT_MAX; see THEW_CLASS_GOAL_WORTH
    bool repeats_allowed;           // two exercises in a row on the same prime mover
} thew_class_wishes;

/// A goal of weight 1 is worth this many muscles of weight 1, so that goals come first and muscles fill what is left (judgement).
#define THEW_CLASS_GOAL_WORTH 10
/// A second exercise of the same muscle is worth this much of the first, a third nothing (judgement).
#define THEW_CLASS_SECOND_PERCENT 50

/// 60 minutes in any position with any kit, one set each of up to 10 exercises, two changes of position, window and rests as
/// everywhere. Sources in compose_class.c.
thew_class_wishes thew_class_wishes_default(void);

/// One exercise of a class.
typedef struct {
    const thew_exercise *exercise;
    const thew_variant *variant;     // the usual one where position and kit allow it; each person's own may differ
    const thew_implement *implement; // the variant's first that the kit has
    bool is_fixed;                   // the coach's wish
    int sets;
    bool by_side;                               // each set on the left, then on the right
    double start_s, end_s;                      // of its first and last set
    double pause_s;                             // before it; 0 for the first
    bool changes_position, repeats_prime_mover; // against the exercise before
    double capacity_ln; // the lowest of its first sets: what exercises before it leave of capacity, predicted; 0 or less
    GPtrArray *serves;  // owned; thew_goal: those of the wishes that it serves
} thew_class_item;

/// One set on one side.
typedef struct {
    guint item;
    int number;     // of the exercise's sets, from 1
    thew_side side; // THEW_BOTH: both at once
    double start_s, seconds;
    double rest_s;      // before it; 0 for the first
    double capacity_ln; // what all sets before it leave of capacity
} thew_class_set;

/// A goal that counts.
typedef struct {
    const thew_goal *goal;
    int weight, exercises; // exercises: how many serve it; 0: uncovered
} thew_class_goal;

/// A muscle that some exercise within position and kit trains as prime mover, or one that the class trains at all.
typedef struct {
    const thew_muscle *muscle;
    int as_prime_mover, as_synergist; // exercises
    bool within_reach;                // some exercise within the wishes has it as prime mover
} thew_class_muscle;

/// What is to be said about a class. The first group breaks a wish; the second is allowed, and costs.
typedef enum {
    THEW_CLASS_TOO_LONG,                        // `amount` seconds more than there are
    THEW_CLASS_TOO_MANY,                        // `amount` exercises more than allowed
    THEW_CLASS_CHANGES,                         // `amount` changes of position more than allowed
    THEW_CLASS_MISSING,                         // `exercise` must be in
    THEW_CLASS_EXCLUDED,                        // `item` must not be in
    THEW_CLASS_TWICE,                           // `item` is the same exercise as `other` before it
    THEW_CLASS_POSITION,                        // `item` needs a position that is not allowed
    THEW_CLASS_KIT,                             // `item` needs what the kit does not have
    THEW_CLASS_REPEAT,                          // `item` follows `other` on the same prime mover
    THEW_CLASS_BREAKS_COUNT,                    // from here on nothing is broken
    THEW_CLASS_ORDER = THEW_CLASS_BREAKS_COUNT, // `item` needs as synergist `muscle`, the prime mover of `other` before it
    THEW_CLASS_OUT_OF_REACH,                    // no exercise within the wishes serves `goal`
    THEW_CLASS_NARROWED,                        // so many exercises fit that each was looked at in one position only
} thew_class_finding_kind;

typedef struct {
    thew_class_finding_kind kind;
    guint item, other;
    int amount;
    const thew_exercise *exercise;
    const thew_goal *goal;
    const thew_muscle *muscle;
} thew_class_finding;

/// A class. Owns its arrays; the catalogue must outlive it.
typedef struct {
    GArray *item;             // thew_class_item, in order
    GArray *set;              // thew_class_set, in order
    GArray *goal;             // thew_class_goal, those that count, heaviest first
    GArray *muscle;           // thew_class_muscle, in the catalogue's order
    GArray *finding;          // thew_class_finding
    double seconds;           // from the first set's start to the last set's end
    thew_compose_score score; // engine/compose.h; coverage in hundredths
    bool breaks;              // some wish
    // composed: how sure it is
    bool optimal;             // nothing is better
    thew_compose_score bound; // nothing is better than this
    // judged: the best order of the very same exercises, with no more changes of position than are allowed, or than it has
    bool has_best_order; // there is one that breaks nothing
    thew_compose_score best_order;
    GArray *best_order_item; // guint: indices of `item`, in that order; NULL if there is none
} thew_class_plan;

void thew_class_plan_free(thew_class_plan *plan);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_class_plan, thew_class_plan_free)

/// The best class there is.
///   plan      out: NULL unless THEW_DONE; `optimal` false, and the gap in `bound`, if the search was cut short
///   refusal   faults at "/minutes", "/goals/0/goal", "/goals/0/weight", "/positions/0", "/kit/0", "/fixed/0", "/excluded/0",
///             "/exercises_max", "/sets", "/rest_s", "/side_rest_s", "/position_change_s", "/position_changes_max", "/window",
///             "/muscle_weight"
///   returns   THEW_DONE, THEW_INVALID, or THEW_CONFLICT: what must be in does not fit
thew_verdict thew_class_compose(const thew_catalogue *catalogue, const thew_class_wishes *wishes, thew_class_plan **plan,
                                thew_refusal *refusal);

/// One exercise of an order made by hand.
typedef struct {
    const char *name;      // of an exercise (the variant that composing would take) or of a variant
    const char *implement; // of the variant; NULL: the first that the kit has, or the first
    int sets;              // 0: as in the wishes
} thew_class_choice;

/// What an order made by hand comes to: times, coverage, what it breaks, and what a better order of the same exercises would save.
///   choice    [count], up to THEW_COMPOSE_SLOTS_MAX; the wishes' `fixed` and `excluded` are held against it
///   plan      out: NULL unless THEW_DONE
///   refusal   as above, and "/exercises", "/exercises/0/name", "/exercises/0/implement", "/exercises/0/sets"
///   returns   THEW_DONE, even if it breaks wishes; THEW_INVALID
thew_verdict thew_class_judge(const thew_catalogue *catalogue, const thew_class_wishes *wishes, const thew_class_choice *choice,
                              guint count, thew_class_plan **plan, thew_refusal *refusal);

/// How much greater coverage might be than the plan's, as a share of the plan's; 0 if it is the best.
double thew_class_gap(const thew_class_plan *plan);

/// A sentence for a finding. Newly allocated.
char *thew_class_finding_words(const thew_class_plan *plan, const thew_class_finding *finding);

/// Whether a band needs something firm away from body and chair: it is fixed further than THEW_CLASS_ANCHOR_H of stature from the
/// body.
bool thew_class_needs_anchor(const thew_implement *implement);
#define THEW_CLASS_ANCHOR_H .3

#endif
