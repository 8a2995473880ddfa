// outlook.h: the odds of a set: how long it would last on a rung, on a day, as far as is known.
// Knows how a belief about capacity becomes odds of time to failure. Leaves to others: which rung to choose (advice.h).
#ifndef THEW_OUTLOOK_H
#define THEW_OUTLOOK_H

#include "capacity.h"

/// Belief about u, the ln capacity of one track on one rung on one day, before noise: a normal, and with chance jump_p a wider one (so wide
/// that of the noise only its variance counts there).
typedef struct {
    double mean, variance;
    double jump_p, jump_variance; // a sudden change between now and then
    thew_noise noise;
    double lever, tau_ln_sd;      // see capacity.h
    double day_ln;                // of the mean: what the day itself adds or takes (its own effect, heat, fatigue, sleep)
} thew_prospect;

/// p_floor + p_early + p_window + p_beyond = 1.
typedef struct {
    double p_floor;  // ends before the floor: an overload
    double p_early;  // between the floor and the window
    double p_window; // inside the window
    double p_beyond; // after the window's close
    double p10_s, p50_s, p90_s; // quantiles of the time to failure, seconds; infinite where the load could be held for ever
} thew_odds;

/// The prospect of a track on a rung on a day at or after the belief's (asserted).
///   conditions   of that day; NULL = nothing known, or the belief's own if the day is its day
thew_prospect thew_outlook_prospect(const thew_profile *profile, const thew_capacity *capacity, int track, const thew_rung *rung,
                                    thew_day day, const thew_conditions *conditions);

/// The same for a whole ladder at once: out [rung_count].
void thew_outlook_ladder(const thew_profile *profile, const thew_capacity *capacity, int track, const thew_rung *rung, int rung_count,
                         thew_day day, const thew_conditions *conditions, thew_prospect *out);

/// Probability that a set is seen to fail before seen_s.
double thew_outlook_fails_before_p(const thew_task *task, const thew_rung *rung, const thew_prospect *prospect, double seen_s);

/// Odds of one rung, and of many at once: the same bits, several times as fast.
///   prospect, odds   [rung_count]
thew_odds thew_outlook_odds(const thew_task *task, const thew_rung *rung, const thew_prospect *prospect);
void thew_outlook_odds_n(const thew_task *task, const thew_rung *rung, const thew_prospect *prospect, int rung_count, thew_odds *odds);

/// The four chances alone, the quantiles left 0.
void thew_outlook_chances_n(const thew_task *task, const thew_rung *rung, const thew_prospect *prospect, int rung_count, thew_odds *odds);

/// ln capacity with noise (what one set would show) below which the share p of sets lies, 0 < p < 1.
double thew_outlook_quantile_ln(const thew_prospect *prospect, double p);

#endif
