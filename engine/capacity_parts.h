// capacity_parts.h: how the joint state is laid out and moves; shared by the files that look into it (capacity, outlook, smooth).
// Not for use outside engine/: everybody else asks through capacity.h.
#ifndef THEW_CAPACITY_PARTS_H
#define THEW_CAPACITY_PARTS_H

#include "capacity.h"

enum { THEW_AT_DAY, THEW_AT_JUMP, THEW_AT_DRIFT, THEW_AT_HEAT, THEW_AT_FATIGUE, THEW_AT_SLEEP };
_Static_assert(THEW_AT_SLEEP + 1 == THEW_FIXED, "the fixed part of the state");

static inline int thew_at_track(int track) { return THEW_FIXED + track; }
static inline int thew_at_offset(const thew_profile *p, int offset) { return THEW_FIXED + p->track_count + offset; }
static inline double thew_cov(const thew_capacity *c, int i, int j) { return c->covariance[i * THEW_STATE_MAX + j]; }

/// The day's part of what a set speaks about: 0 where nothing is known.
typedef struct {
    double heat_excess_c, fatigue_excess, sleep_excess;
} thew_day_load;

/// A linear form of the state: sum of factor x_index. Covers day, jump, drift, heat, fatigue, sleep, a track and an offset.
typedef struct {
    int count;
    int index[THEW_FIXED + 2];
    double factor[THEW_FIXED + 2];
} thew_form;

/// u of a track (-1: none) on a rung's offset (-1: none).
///   today     1 if the day's own effect counts, else 0
///   training  days of drift still to come, 0 for the belief's own day
thew_form thew_form_of(const thew_profile *profile, thew_day_load load, int track, int offset, double today, double training);
double thew_form_mean(const thew_capacity *capacity, const thew_form *form);
double thew_form_variance(const thew_capacity *capacity, const thew_form *form);

/// How the state goes from the belief's day to a later one.
typedef struct {
    double days;           // between the two
    double training, away; // days of drift, and of loss through a break
    double away_ln;        // that loss, below 0
    double walk_variance;  // added to each ln k, of which the prior's share is common to all
    double drift_keep;     // factor of the drift's distance from where it settles
    double jump_p;         // chance of a sudden change in between
} thew_transition;

thew_transition thew_transition_to(const thew_profile *profile, const thew_capacity *capacity, thew_day day);

/// Variance of an offset that has not been used: of a rung that brings no SD of its own, the default.
double thew_offset_variance(const thew_profile *profile, const thew_rung *rung);

#endif
