// grid.h: the oracle: one exercise's belief over (ln k, ln tau) on a grid, with nothing approximated but the grid.
// Knows the same model as capacity.h for one track, with tau learned as well, the noise's tail, jumps and the day's effect taken exactly
// (the day on nodes a whole number of cells apart). Kept as the thing that the joint filter must agree with; too slow and too lonely
// (it borrows nothing from other exercises) to advise with.
#ifndef THEW_GRID_H
#define THEW_GRID_H

#include "outlook.h"

#define THEW_GRID_TAU_MAX 15
#define THEW_GRID_DAY_MAX 15

/// Cells; the caller owns the memory. `weight` is laid out [tau][day node][k], k fastest.
typedef struct {
    int k_count, tau_count, day_count; // day_count odd
    double k_step, k_from;             // ln k of cell i: k_from + i k_step
    double tau_ln[THEW_GRID_TAU_MAX];  // nodes of ln tau
    double shift[THEW_GRID_TAU_MAX];   // ln k as read at 75 s, minus true ln k, at that tau
    int day_cells;                     // nodes of the day's effect lie this many cells apart
    double day_weight[THEW_GRID_DAY_MAX];
    thew_day day, last_set, last_visit;
    int record_count, visit_count;
    bool symptom;
    double ln_evidence;
    double *weight;                    // [tau_count * day_count * k_count], sums to 1
    double *scratch;                   // [8 * k_count]
} thew_grid;

#define THEW_GRID_K 136
#define THEW_GRID_TAU 9
#define THEW_GRID_DAY 7
#define THEW_GRID_K_STEP .02

/// Doubles needed by a grid `finer` times finer in ln k than the usual one (1 = the usual; more tau and day nodes above 1).
int thew_grid_doubles(int finer);

/// Start from the profile's first track (which must be its only one; asserted). The rung's own offset is not part of a grid: its
/// variance is left out, so compare with rungs of ln_sd next to nothing. The drift stays at its mean.
///   memory   [thew_grid_doubles(finer)], the caller's, kept by the grid
void thew_grid_start(const thew_profile *profile, int finer, double *memory, thew_grid *grid);

/// As thew_capacity_record, for the profile's only track; conditions are not part of the grid.
THEW_MUST_USE thew_status thew_grid_record(const thew_profile *profile, thew_grid *grid, const thew_set *set);

/// Mean and SD of ln k as read from sets that end at 75 s (the joint filter's meaning), and of ln tau.
thew_estimate thew_grid_capacity(const thew_profile *profile, const thew_grid *grid);
thew_estimate thew_grid_tau(const thew_grid *grid);

/// Odds of rungs on the grid's own day (the day's effect as learned) or, with `another_day`, on a day of the same strength whose effect
/// is not known.
///   odds     out [rung_count]; the quantiles are left 0 (see thew_grid_fails_before_p)
void thew_grid_odds(const thew_profile *profile, const thew_grid *grid, const thew_rung *rung, int rung_count, bool another_day,
                    thew_odds *odds);

/// Probability that a set is seen to fail before seen_s, summed cell by cell without any table: slow, the oracle's own oracle.
double thew_grid_fails_before_p(const thew_profile *profile, const thew_grid *grid, const thew_rung *rung, bool another_day, double seen_s);

#endif
