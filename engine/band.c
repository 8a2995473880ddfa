// band.c: see band.h.
#include "band.h"

#include <assert.h>
#include <stdbool.h>
#include <stddef.h>

#include "real.h"

// .4 kgf: the middle of .3-.5 (common practice, no source).
static const double scale_default_n = .4 * 9.80665;

// What the curve itself misses, at every length: 2.8 % RMS up to l = 3.1, fitted to Treloar 1944 (tests/reference/band_force.csv).
static const double curve_ln_sd = .028;

// Natural rubber's own proportion of the two coefficients, from the same fit (.1049 and .1072 MPa). It stands in where readings
// cannot tell one from the other.
static const double rubber_c10 = .1049, rubber_c01 = .1072;

// How far a band's proportion may be from that. A judgement: from one reading at l = 2, the curves of one coefficient alone miss
// the mixed one by +12 and -28 % at l = 3.
static const double proportion_ln_sd = .15;

// Stretches closer than this (their ratio) are one place of the curve: two coefficients would be read from noise. A judgement.
static const double one_place = 1.02;

// A band that nobody measured: about 12 N at twice the rest length for the softest of a kit, and half or twice that is nothing
// unusual. A judgement. Neighbours on the ladder: Santos 2009, 5.13 over seven steps; the SD of a step is a judgement (some
// neighbours are equal: Santos 2009, Uchida 2016).
static const double softest_n = 12, softest_ln_sd = .35;
static const double step_ratio = 1.26, step_ln_sd = .2;

// ---- the curve ----

// Force is (A0C10 + A0C01 / l) times this.
static double strain(double stretch)
{
    return 2 * (stretch - 1 / (stretch * stretch));
}

double thew_band_force_n(const thew_band *band, double stretch)
{
    if (stretch <= 1) return 0;
    return strain(stretch) * (band->a0c10_n + band->a0c01_n / stretch);
}

double thew_band_energy_j(const thew_band *band, double length_m)
{
    double l = length_m / band->rest_length_m;
    if (l <= 1) return 0;
    double of_c10 = l * l / 2 + 1 / l - 1.5;
    double of_c01 = l + 1 / (2 * l * l) - 1.5;
    return 2 * band->rest_length_m * (band->a0c10_n * of_c10 + band->a0c01_n * of_c01);
}

double thew_strand_force_n(const thew_band *band, thew_strand strand, double length_m)
{
    assert(strand.share > 0 && strand.share <= 1 && strand.strands >= 1);
    return strand.strands * thew_band_force_n(band, length_m / (strand.share * band->rest_length_m));
}

double thew_strand_energy_j(const thew_band *band, thew_strand strand, double length_m)
{
    assert(strand.share > 0 && strand.share <= 1 && strand.strands >= 1);
    return strand.strands * strand.share * thew_band_energy_j(band, length_m / strand.share);
}

// ---- how sure ----

// Relative variance of A0C10 + A0C01 u, u = 1 / l.
static double relative_variance(const thew_band *band, double u)
{
    double sum = band->a0c10_n + band->a0c01_n * u;
    return (band->covariance[0] + 2 * band->covariance[1] * u + band->covariance[2] * u * u) / (sum * sum);
}

// The u at which the force is known best: where the derivative of relative_variance is zero.
static double best_known_u(const thew_band *band)
{
    double above = band->a0c01_n * band->covariance[0] - band->a0c10_n * band->covariance[1];
    double below = band->a0c10_n * band->covariance[2] - band->a0c01_n * band->covariance[1];
    return below > 0 ? thew_clamp(above / below, 1 / THEW_BAND_STRETCH_MAX, 1) : 1;
}

// To first order the covariance can claim more than is possible: with no coefficient below zero, every curve through a known force
// at stretch l1 lies between F(l) ~ strain(l) and F(l) ~ strain(l) / l, a factor l / l1 apart. Taken as even spread to one side.
double thew_band_force_ln_sd(const thew_band *band, double stretch)
{
    double common = band->force_ln_sd * band->force_ln_sd;
    if (band->a0c10_n + band->a0c01_n <= 0) return band->force_ln_sd; // no band
    double best_u = best_known_u(band);
    double apart_ln = thew_log(stretch * best_u);
    double possible = relative_variance(band, best_u) + apart_ln * apart_ln / 3;
    return thew_sqrt(thew_min(relative_variance(band, 1 / stretch), possible) + common);
}

// ---- the fit ----

// Normal equations of the rows (x, y) . coefficients = 1, every row a reading divided by its force: relative weights.
typedef struct {
    double xx, xy, yy, x, y;  // sums over readings
    double e_xx, e_xy, e_yy;  // the same products, times the variance of each row's error
    double shortest, longest; // stretches
    int count;
} sums;

static void sums_add(sums *to, double stretch, double force_n, double scale_sd_n)
{
    double x = strain(stretch) / force_n, y = x / stretch;
    double variance = scale_sd_n / force_n * (scale_sd_n / force_n);
    to->xx += x * x, to->xy += x * y, to->yy += y * y;
    to->x += x, to->y += y;
    to->e_xx += variance * x * x, to->e_xy += variance * x * y, to->e_yy += variance * y * y;
    if (to->count == 0 || stretch < to->shortest) to->shortest = stretch;
    if (to->count == 0 || stretch > to->longest) to->longest = stretch;
    to->count++;
}

// One coefficient: natural rubber's curve, scaled. Its error is one factor at every length.
static void fit_one(const sums *of, thew_band *band)
{
    const double c = rubber_c10, d = rubber_c01;
    double squares = c * c * of->xx + 2 * c * d * of->xy + d * d * of->yy;
    double errors = c * c * of->e_xx + 2 * c * d * of->e_xy + d * d * of->e_yy;
    double sum = c * of->x + d * of->y;
    band->a0c10_n = c * sum / squares;
    band->a0c01_n = d * sum / squares;
    band->force_ln_sd = thew_sqrt(errors / (sum * sum) + proportion_ln_sd * proportion_ln_sd + curve_ln_sd * curve_ln_sd);
}

// (A'A)^-1 A' E A (A'A)^-1: equal relative weights in the fit, but the scale's error E is the same number of newtons at every
// length.
static void covariance_of_two(const sums *of, double det, double covariance[3])
{
    double p = of->yy / det, q = -of->xy / det, r = of->xx / det;
    covariance[0] = p * p * of->e_xx + 2 * p * q * of->e_xy + q * q * of->e_yy;
    covariance[1] = p * q * of->e_xx + (p * r + q * q) * of->e_xy + q * r * of->e_yy;
    covariance[2] = q * q * of->e_xx + 2 * q * r * of->e_xy + r * r * of->e_yy;
}

// The better of the two fits with one coefficient at zero: a column x that is all there is explains x^2 / xx of the rows.
// The covariance stays what it was: the readings say no more about the coefficient at zero than before. The error of the fit that
// is left is added to it: with equal relative weights it holds more of the scale's noise than two coefficients have where they are
// known best.
static void fit_at_bound(const sums *of, thew_band *band)
{
    bool c10 = of->x * of->x / of->xx > of->y * of->y / of->yy;
    band->a0c10_n = c10 ? of->x / of->xx : 0;
    band->a0c01_n = c10 ? 0 : of->y / of->yy;
    band->covariance[0] += c10 ? of->e_xx / (of->xx * of->xx) : 0;
    band->covariance[2] += c10 ? 0 : of->e_yy / (of->yy * of->yy);
}

// Two coefficients, neither below zero. With two unknowns the bounded optimum is the free one, or lies where one of them is zero.
static void fit_two(const sums *of, thew_band *band)
{
    double det = of->xx * of->yy - of->xy * of->xy;
    band->a0c10_n = (of->yy * of->x - of->xy * of->y) / det;
    band->a0c01_n = (of->xx * of->y - of->xy * of->x) / det;
    covariance_of_two(of, det, band->covariance);
    if (band->a0c10_n < 0 || band->a0c01_n < 0) fit_at_bound(of, band);
    band->force_ln_sd = curve_ln_sd;
}

static bool is_finite(double x)
{
    return x - x == 0;
}

// Numbers too far apart for doubles (a reading of 1e-200 N) leave no curve.
static bool is_usable(const thew_band *band)
{
    return is_finite(band->a0c10_n) && is_finite(band->a0c01_n) && is_finite(band->covariance[0]) &&
           is_finite(band->covariance[1]) && is_finite(band->covariance[2]) && is_finite(band->force_ln_sd);
}

static thew_status check_reading(double rest_length_m, thew_reading reading)
{
    if (!is_finite(reading.length_m) || !is_finite(reading.force_n)) return THEW_NOT_FINITE;
    if (reading.force_n <= 0) return THEW_READING_NOT_POSITIVE;
    if (reading.length_m <= rest_length_m) return THEW_READING_NOT_STRETCHED;
    return THEW_OK;
}

static thew_status check(double rest_length_m, const thew_reading *reading, int reading_count, double scale_sd_n, int *at_fault)
{
    if (!is_finite(rest_length_m) || !is_finite(scale_sd_n)) return THEW_NOT_FINITE;
    if (rest_length_m <= 0) return THEW_REST_LENGTH_NOT_POSITIVE;
    if (reading_count < 1) return THEW_NO_READING;
    for (int i = 0; i < reading_count; i++) {
        thew_status status = check_reading(rest_length_m, reading[i]);
        if (status == THEW_OK) continue;
        *at_fault = i;
        return status;
    }
    return THEW_OK;
}

thew_status thew_band_fit(double rest_length_m, const thew_reading *reading, int reading_count, double scale_sd_n, thew_band *band,
                          int *reading_at_fault)
{
    int at_fault = -1;
    thew_status status = check(rest_length_m, reading, reading_count, scale_sd_n, &at_fault);
    if (reading_at_fault) *reading_at_fault = at_fault;
    if (status != THEW_OK) return status;
    assert(scale_sd_n >= 0);
    if (scale_sd_n == 0) scale_sd_n = scale_default_n;

    sums within = { 0 }, all = { 0 };
    for (int i = 0; i < reading_count; i++) {
        double stretch = reading[i].length_m / rest_length_m;
        sums_add(&all, stretch, reading[i].force_n, scale_sd_n);
        if (stretch <= THEW_BAND_STRETCH_MAX) sums_add(&within, stretch, reading[i].force_n, scale_sd_n);
    }
    const sums *used = within.count >= 2 ? &within : &all;
    bool one = used->longest < one_place * used->shortest;

    thew_band fitted = { .rest_length_m = rest_length_m, .reading_count = used->count };
    if (one)
        fit_one(used, &fitted);
    else
        fit_two(used, &fitted);
    if (!is_usable(&fitted)) return THEW_NOT_FINITE;
    *band = fitted;
    if (within.count < all.count) return THEW_BEYOND_CURVE;
    return one ? THEW_ONE_READING : THEW_OK;
}

thew_band thew_band_unmeasured(double rest_length_m, int step)
{
    assert(rest_length_m > 0 && step >= 0);
    double force_n = softest_n * thew_pow(step_ratio, step);
    double scale = force_n / (strain(2) * (rubber_c10 + rubber_c01 / 2));
    return (thew_band){
        .rest_length_m = rest_length_m,
        .a0c10_n = rubber_c10 * scale,
        .a0c01_n = rubber_c01 * scale,
        .force_ln_sd = thew_sqrt(softest_ln_sd * softest_ln_sd + step * step_ln_sd * step_ln_sd),
    };
}
