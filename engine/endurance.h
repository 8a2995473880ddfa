// endurance.h: how long a set lasts at a given share of capacity.
// Knows the hyperbolic endurance curve, its inverse and its slopes, and when in a repetition a set can end. Leaves to others: who
// the person is and how sure we are (capacity.h), fatigue carried between sets (fatigue.h).
//
//   T = -(tau / rho) ln(1 - rho (1 - L) / (a L)),   L peak share of capacity, a mean / peak, F = 1 / tau, R = rho F
//
// Source: the constant-load three-compartment model (Xia & Frey-Law 2008; Frey-Law, Looft & Heitsman 2012) solved exactly.
#ifndef THEW_ENDURANCE_H
#define THEW_ENDURANCE_H

#include <stdbool.h>

#include "demand.h"
#include "strength.h"

typedef struct {
    double tau_s; // 1 / F
    double rho;   // R / F, 0 allowed (the simple form)
} thew_endurance;

/// Prior medians by the prime mover's joint at loads that fail near 75 s: mean of the model and of the power laws of Frey-Law &
/// Avin 2010. Hip: no measurement exists, the pooled value stands in. rho is R / F of the same table.
thew_endurance thew_endurance_default(thew_joint joint);
#define THEW_TAU_LN_SD .40 // between people (.35-.5: Liu, Brown & Yue 2002, and retest studies)

/// Time to momentary failure of one steady set, seconds.
///   load_share   peak demand / capacity, > 0
///   mean_share   mean / peak demand over a cycle, in (0, 1]
///   returns      0 for load_share >= 1; infinity where rho (1 - L) >= a L
double thew_endurance_time_s(thew_endurance endurance, double load_share, double mean_share);

/// The load share that fails at time_s (> 0): the inverse, in closed form.
///   time_s       infinity gives the greatest share that never fails, rho / (rho + a)
///   returns      in (0, 1), to rounding
double thew_endurance_load_share(thew_endurance endurance, double time_s, double mean_share);

/// d ln L / d ln tau at a fixed time: how a wrong tau shifts the capacity read from a set of that length. In [0, 1).
double thew_endurance_tau_lever(thew_endurance endurance, double time_s, double mean_share);

/// d ln T / d ln L at a load share in (0, 1): negative; -infinity where the time is infinite.
double thew_endurance_slope(thew_endurance endurance, double load_share, double mean_share);

/// A moving set fails while lifting: who tires at time t (counted from the set's start) is seen to fail at the first moment from t
/// on that lies in a lifting phase. For holds (cycle 0) and tempos without a lifting phase that is t itself. A lifting phase holds
/// its first moment and not its last: who tires just as a lift ends is seen at the start of the next one. Against the
/// three-compartment model (tempo 7, 1, 7, 1, failing at 40-120 s) this is early: by 4 % in the median, 14 % in one of ten, and by
/// a whole repetition at worst, since who tires past the sticking point of one lift gets to the next one's. Measured, with a closer
/// rule, in tests/engine/fatigue_moving_test.c.
double thew_tempo_seen_failing_s(thew_tempo tempo, bool starts_lifting, double tired_s);
/// The reverse, for odds: the latest tiring time that is seen failing before seen_s (exclusive), so that
/// P(seen < seen_s) = P(tired < this).
double thew_tempo_tired_before_s(thew_tempo tempo, bool starts_lifting, double seen_s);
/// And for records: a failure seen at seen_s began to be one after this time (seen_s itself inside a lifting phase; the end of the
/// last lifting phase when seen within `slack_s` of a lifting phase's start, or between two lifting phases).
double thew_tempo_tired_from_s(thew_tempo tempo, bool starts_lifting, double seen_s, double slack_s);

#endif
