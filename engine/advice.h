// advice.h: which rung next, with its odds and a structured reason.
// Knows the choice and its limits. Leaves to others: the odds (outlook.h), what the rungs are called, sentences, and the decision: the
// coach's.
//
// The rung with the greatest chance of failing inside the window, subject to
//   - P(ends before the floor) <= .10, and <= .05 for the first three sets of an exercise;
//   - skipping rungs may not raise the demand by more than 30 % over the last set's; the very next rung up is always allowed;
//   - after a symptom, a break of three weeks or more, or a sudden decline: no rise above 10 %, not even to the next rung;
//   - the first set: the load that the 25th percentile of capacity would fail in mid-window, or less;
//   - the rung of a set that failed inside the window is kept unless another is better by more than a hair (the trade's rule: stay,
//     and aim a second longer; common practice, no source), a completed set never leads down, an early failure never up, and one before
//     the floor always down (one set moves the belief by so much and no more, and it may be a wrong entry: the next set will tell);
//   - an earlier failure never leads higher than a later one or a completed set would have, all else being the same. The belief mostly
//     sees to that (capacity.h). Where rungs are known unequally well, or a day's effect explains a failure, the best odds can rise all
//     the same (one diary in fifty had such a second), so the choice is made from the belief as it would be after each of those better
//     endings too, second by second up to the window's close, and the least counts. This needs the set to be of the belief's own day;
//     after that day, and between failures beyond the window's close, only the belief's own order holds;
//   - another set-up (implement, way of holding it) is not worth a hair either.
// Ties go to the lighter.
#ifndef THEW_ADVICE_H
#define THEW_ADVICE_H

#include "outlook.h"

#define THEW_RUNGS_MAX 160
#define THEW_FLOOR_CAP .10
#define THEW_FLOOR_CAP_FIRST .05
#define THEW_FIRST_SETS 3
#define THEW_RISE_MAX 1.30
#define THEW_RISE_MAX_EASED 1.10
#define THEW_BREAK_DAYS 21
#define THEW_FIRST_QUANTILE_Z (-.6744897501960817) // 25th percentile of a normal
#define THEW_STAY_MARGIN .03

// code, identifier in data (JSON)
#define THEW_REASON_LIST(X)                                                                                         \
    X(THEW_REASON_FIRST_SET, "first_set")             /* nothing recorded yet: from body and other exercises, on the light side */ \
    X(THEW_REASON_UP, "up")                           /* a heavier rung has the best odds */                        \
    X(THEW_REASON_STAY, "stay")                       /* the same rung has the best odds */                         \
    X(THEW_REASON_DOWN, "down")                       /* a lighter rung has the best odds */                        \
    X(THEW_REASON_HELD_BY_FLOOR, "held_by_floor")     /* a heavier one would be better, but may end too early too often */ \
    X(THEW_REASON_HELD_BY_RISE, "held_by_rise")       /* a heavier one would be better, but is too great a step */  \
    X(THEW_REASON_EASED_SYMPTOM, "eased_after_symptom")                                                             \
    X(THEW_REASON_EASED_BREAK, "eased_after_break")                                                                 \
    X(THEW_REASON_EASED_DECLINE, "eased_after_decline")                                                             \
    X(THEW_REASON_TOO_LIGHT, "ladder_too_light")      /* even the heaviest will probably be completed: progression */ \
    X(THEW_REASON_TOO_HEAVY, "ladder_too_heavy")      /* even the lightest may end too early too often: regression */

#define THEW_REASON_ENUM(code, id) code,
typedef enum { THEW_REASON_LIST(THEW_REASON_ENUM) THEW_REASON_COUNT } thew_reason_code;
#undef THEW_REASON_ENUM

/// The identifier used in data ("held_by_floor"). Never NULL.
const char *thew_reason_id(thew_reason_code code);

/// What the choice has to know beyond the belief. All-zero: a first set.
typedef struct {
    bool has_last;         // a set of this track is on record
    double last_peak_share; // its demand (of the rung as it is now)
    unsigned last_key;
    thew_ended last_ended;
    double last_seconds;
    int days_since_last;
    bool symptom;          // reported since, or at, the last set
    bool declined;         // a sudden decline stands unresolved
} thew_history;

typedef struct {
    thew_reason_code code;
    thew_ended last_ended;
    double last_seconds;
    int last_rung;          // index in the ladder, -1 if none (or no longer there)
    double rise_share;      // demand of the advised rung over the last one's; 0 if none
    thew_estimate capacity; // ln
    double today_ln;        // what that day adds to it or takes from it
    double fit_share;       // demand whose set would most likely end in mid-window, over the advised rung's
    int better_rung;        // the rung that was held back, -1 if none
    double limit;           // the limit that held it back: a probability, or a ratio to the last set's demand (1 after an early failure)
} thew_reason;

typedef struct {
    int rung;              // index in the ladder as given
    thew_odds odds;
    double goal_s;         // aim: the window's start, or a second beyond the last failure on this rung, or the window's close
    thew_reason reason;
} thew_advice;

/// Choose. The belief may stand on an earlier day.
///   rung         [rung_count], in any order, 1 to THEW_RUNGS_MAX
///   conditions   of the day, may be NULL
///   odds         out [rung_count]: of every rung; may be NULL
///   status       THEW_OK, THEW_OUTSIDE_ENDURANCE (the load is outside .2-.8 of capacity), THEW_NO_RUNG, THEW_TOO_MANY,
///                THEW_DATE_BEFORE_STATE
THEW_MUST_USE thew_status thew_advise(const thew_profile *profile, const thew_capacity *capacity, int track, const thew_rung *rung,
                                      int rung_count, thew_day day, const thew_conditions *conditions, const thew_history *history,
                                      thew_odds *odds, thew_advice *advice);

#endif
