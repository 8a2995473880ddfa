// fatigue.h: the full three-compartment fatigue model, the reference behind endurance.h.
// Resting, active and fatigued motor units (MR + MA + MF = 1): dMF/dt = F MA - Rr MF; activation follows the target load.
// Knows one muscle through any schedule of load and rest. Leaves to others: whose muscle (capacity.h), which schedule (a class).
// Sources: Xia & Frey-Law 2008 J Biomech 41:3046; Frey-Law, Looft & Heitsman 2012 J Biomech 45:1803;
// Looft, Herkert & Frey-Law 2018.
#ifndef THEW_FATIGUE_H
#define THEW_FATIGUE_H

#include <stdbool.h>

#include "demand.h"
#include "strength.h"

typedef struct {
    double fatigue_per_s;   // F
    double recovery_per_s;  // R
    double rest_multiplier; // r: recovery is r R while the target load is zero
} thew_fatigue_rates;

/// F, R and r by joint; the hip takes the pooled row (never measured), the trunk's r the default (never measured).
thew_fatigue_rates thew_fatigue_rates_of(thew_joint joint);

/// Shares of the muscle; resting = 1 - active - fatigued.
typedef struct {
    double active, fatigued;
} thew_fatigue_state;

/// One step of the model with gain 10 per second towards the target load (share of unfatigued maximum), by a fourth-order method.
///   load      target, 0 = true rest (recovery is multiplied; a small load is not rest)
///   seconds   0 to 1e9; divided into equal steps of at most .05 s
thew_fatigue_state thew_fatigue_run(thew_fatigue_rates rates, thew_fatigue_state state, double load, double seconds);

/// The same in the limit of instant activation, exact for a constant load: while it is met only MF moves, dMF/dt = F L - R MF;
/// from failure on all that is left works, dMF/dt = F (1 - MF) - R MF; at rest dMF/dt = -r R MF.
///   fatigued  share at the start, 0 to 1; exact up to F / (F + R), .91, which is as far as work can take it
///   returns   fatigued share after `seconds` (0 to 1e9)
double thew_fatigue_after(thew_fatigue_rates rates, double fatigued, double load, double seconds);

/// Time to failure of a constant load in the full model: when the active share falls below (1 - tolerance) of the load.
///   tolerance above F / 10, in (0, 1): by that share active units always lag behind
///   returns   seconds; `limit_s` (up to 1e9) if it holds so long; 0 if the active share never reaches (1 - tolerance) of the load
double thew_fatigue_time_s(thew_fatigue_rates rates, double load, double tolerance, double limit_s);

/// Time to failure of paced repetitions whose load runs over the range as `share` [THEW_DEMAND_STEPS + 1] (share of capacity while
/// lifting at s = i / THEW_DEMAND_STEPS; lowering takes share / eccentric factor). Failure: share(t) > 1 - MF, while lifting.
/// Instant activation; a share of exactly 0 (a slack band, a hanging arm) is true rest.
///   tempo     with a lifting phase; for a hold use the two above
///   fatigued  share at the start, and at the end on return; may be NULL (0)
///   returns   seconds from the set's start, or `limit_s` (up to 1e9)
double thew_fatigue_repetitions_s(thew_fatigue_rates rates, const double *share, thew_tempo tempo, bool starts_lifting,
                                  double *fatigued, double limit_s);

#endif
