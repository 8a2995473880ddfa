// capacity.h: what a diary says of a person's strength: one joint normal belief over all of the person's exercises.
// Knows how strength moves between days, how the day, heat, fatigue and sleep bear on it, and how every set of a day is taken in.
// Leaves to others: what one set says (evidence.h), odds (outlook.h), choices (advice.h), words, names, files.
//
// The state x of a person (index: meaning):
//     0 day       today's effect on every set of the day, N(0, day_sd^2), new each day
//     1 jump      a sudden change today (relapse, illness): 0 with probability 1 - p, else N(0, jump_sd^2)
//     2 drift     gain of ln k per day while training
//     3 heat      change of ln k per degree of heat index above 24 C
//     4 fatigue   change of ln k per point of reported fatigue above the person's usual
//     5 sleep     change of ln k per point of reported sleep above the person's usual
//     6 ...       ln k of each track (a task on a side): ln capacity as read from sets that fail inside the window
//     then        offset of each rung that was used: no demand is known exactly
// A set of track i on rung r is evidence about
//     u = ln k_i + day + jump + heat H + fatigue F + sleep S + offset_r - learning        (all linear in x)
// and its noise is a normal with a tail for wrong entries, log-concave (noise.h). All sets of a day, and the jump's two-part prior, are settled together by
// expectation propagation (Minka 2001): each is kept as the normal site that best stands for it, so a day's order does not matter.
//
// tau is never learned (it bought nothing and did harm), but it is not forgotten either: a wrong tau is a wrong capacity for sets that
// end at other times than those it was learned from. `lever` follows, per track, the time level at which ln k is tied down, as in a
// Schmidt-Kalman ("consider") filter, and widens evidence and odds by ((g(T) - lever) tau_ln_sd)^2, g = d ln L / d ln tau. For evidence T is
// when the set was expected to end, not when it did: else an ever earlier failure would say ever less.
//
// So the likelihood of an ending depends on it through one number alone, and is log-concave in that: u moves up with a later end, in every
// quantile. What else is in the state need not: a bad result on a rung that is well known says that the day is bad, and so that the same
// day's better result on another rung was better still. That is right, and yet the next load may not rise for it: advice.h sees to that.
#ifndef THEW_CAPACITY_H
#define THEW_CAPACITY_H

#include <stdint.h>

#include "evidence.h"

#define THEW_TRACKS_MAX 30
#define THEW_OFFSETS_MAX 44
#define THEW_DAY_SETS_MAX 32
#define THEW_FIXED 6
#define THEW_STATE_MAX (THEW_FIXED + THEW_TRACKS_MAX + THEW_OFFSETS_MAX)

typedef int32_t thew_day; // days since 1970-01-01
#define THEW_NO_DAY INT32_MIN

typedef enum { THEW_BOTH, THEW_LEFT, THEW_RIGHT } thew_side;

/// What is assumed of people before a diary speaks. Each default's source stands beside it in capacity.c.
typedef struct {
    thew_noise noise;                // of one set, in ln capacity
    double day_sd;                   // the day's common effect
    double walk_sd_per_root_day;     // random walk of ln k, of one track
    double walk_common_share;        // share of the walk's variance that all tracks have in common
    double drift_per_day, drift_sd_per_day;
    double drift_fade_days;          // the drift returns to drift_settled_per_day with this time constant
    double drift_settled_per_day;
    double away_after_days;          // from then on a break costs strength
    double away_per_day;             // at first
    double away_fade_days;           // the loss levels off with this time constant; 0: never
    double jump_per_day;             // chance of a sudden change, a day
    double jump_after_symptom;       // chance of one by the next time after a reported symptom
    double jump_sd;
    double heat_per_c, heat_sd_per_c;            // per degree of heat index above heat_from_c
    double heat_from_c;
    double fatigue_per_point, fatigue_sd_per_point;
    double sleep_per_point, sleep_sd_per_point;
    double readiness_sd;             // SD of a readiness reading's noise, in ln capacity; its shape is that of a set's
    double learning_hold, learning_repetitions;  // ln k that the first visit to an exercise falls short
    double offset_sd;                // of a rung that brings no SD of its own
    double alike_all, alike_joint, alike_sides;  // shares of prior variance common to all tracks; of the same joint; of both sides
} thew_capacity_prior;

typedef struct {
    int task;    // index into the profile's tasks
    thew_side side;
    double ln_mean;  // prior of ln k
    double ln_sd;
} thew_track;

/// A person as the filter needs it: constant.
typedef struct {
    thew_capacity_prior prior;
    int task_count, track_count;
    thew_task task[THEW_TRACKS_MAX];
    thew_track track[THEW_TRACKS_MAX];
} thew_profile;

/// One set as recorded.
typedef struct {
    thew_day day;
    int track;
    thew_rung rung;
    thew_ended ended;
    double seconds;
    double reserve_s; // negative = not said
} thew_set;

/// What is known of a day; each value counts only if its flag is set.
typedef struct {
    bool has_heat, has_fatigue, has_sleep, has_readiness;
    double heat_index_c;
    double fatigue, sleep; // 0 to 10
    double readiness;      // ln of today's reading over the person's usual; positive is better
} thew_conditions;

/// A set of the current day, as the normal site that stands for it.
typedef struct {
    thew_evidence evidence;
    double extra_variance;
    double shift;          // known part of u (learning)
    double lever;          // of the time that it speaks about
    double precision, precision_mean;
    thew_rung rung;        // of a set: what it was, and how it ended
    thew_ended ended;
    double seconds;
    int16_t track, offset; // -1: none (a readiness reading)
} thew_site;

typedef struct {
    unsigned key;
    int16_t task;
    thew_day last_used;
} thew_offset;

/// What the diary said so far: changed by the calls below. Plain memory: copy it, keep it, throw it away.
typedef struct {
    thew_day day;                // of the belief; THEW_NO_DAY before the first
    thew_day last_set;           // day of the last set of any track
    int dim;                     // THEW_FIXED + tracks + offsets in use
    int offset_count, site_count;
    bool symptom;                // one was reported on the last day
    thew_conditions conditions;
    double heat_excess_c, fatigue_excess, sleep_excess;
    double fatigue_usual, sleep_usual;
    int fatigue_count, sleep_count;
    double jump_p;               // chance that today's jump is one, after today's sets
    double jump_prior_p;
    double jump_precision, jump_precision_mean;
    double ln_evidence;          // of all one-step predictions so far (exact where everything is normal)
    int record_count[THEW_TRACKS_MAX];
    int visit_count[THEW_TRACKS_MAX];
    thew_day last_visit[THEW_TRACKS_MAX];
    double lever[THEW_TRACKS_MAX];        // at which ln k is tied down
    double lever_before[THEW_TRACKS_MAX]; // at the day's start
    double expected_ln[THEW_TRACKS_MAX];  // mean of ln k then
    thew_offset offset[THEW_OFFSETS_MAX];
    thew_site site[THEW_DAY_SETS_MAX + 1];
    double mean[THEW_STATE_MAX];
    double covariance[THEW_STATE_MAX * THEW_STATE_MAX]; // row-major, dim x dim, stride THEW_STATE_MAX
} thew_capacity;
_Static_assert(sizeof(thew_capacity) <= 64 * 1024, "a person's belief stays small");

typedef struct {
    double mean, sd;
} thew_estimate;

/// Published values and judgements; `fluctuating` for multiple sclerosis and similar conditions.
thew_capacity_prior thew_capacity_prior_default(bool fluctuating);

/// The belief before any record.
///   status   THEW_OK or THEW_TOO_MANY (the profile's counts are beyond the maxima)
THEW_MUST_USE thew_status thew_capacity_start(const thew_profile *profile, thew_capacity *capacity);

/// Go on to a day (at or after the belief's), with what is known of it. Asking again for the same day changes nothing, unless it has
/// neither sets nor a readiness reading: then conditions newly given replace those given before.
///   status   THEW_OK, THEW_DATE_BEFORE_STATE, THEW_NOT_FINITE
THEW_MUST_USE thew_status thew_capacity_go_to(const thew_profile *profile, thew_capacity *capacity, thew_day day, const thew_conditions *conditions);

/// Take in a set. Goes on to its day by itself (nothing known of it) if needed.
///   status   THEW_OK, THEW_DROPPED_OFFSET, THEW_DATE_BEFORE_STATE, THEW_UNKNOWN_EXERCISE, THEW_NOT_FINITE; unchanged on failure
THEW_MUST_USE thew_status thew_capacity_record(const thew_profile *profile, thew_capacity *capacity, const thew_set *set);

/// The last set of a track on the belief's day; NULL if there is none.
const thew_site *thew_capacity_last(const thew_capacity *capacity, int track);

/// The belief as it would be had that set (asserted; failed or completed) ended otherwise: completed, or failed at another second.
void thew_capacity_had(const thew_profile *profile, const thew_capacity *capacity, int track, thew_ended ended, double seconds,
                       thew_capacity *out);

/// ln k of a track at the belief's day, without the day's passing effects (a jump counts: it stays).
thew_estimate thew_capacity_of(const thew_profile *profile, const thew_capacity *capacity, int track);

/// The belief's day's sudden change of ln k, if it was one: mean and SD over both possibilities (its chance is jump_p).
thew_estimate thew_capacity_jump(const thew_capacity *capacity);

/// Index of a rung's offset among those in use, or -1.
int thew_capacity_offset(const thew_capacity *capacity, int task, unsigned key);

/// Belief about u for a set of a track on a rung, on the belief's own day.
thew_estimate thew_capacity_today(const thew_profile *profile, const thew_capacity *capacity, int track, const thew_rung *rung);

#endif
