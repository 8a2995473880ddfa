// evidence.c: see evidence.h.
#include "evidence.h"

#include <assert.h>

#include "real.h"

#define INFINITE __builtin_inf()
#define SQRT_2 0x1.6a09e667f3bcdp+0
#define INV_SQRT_2PI 0x1.9884533d43651p-2
#define BLOCK 32 // places looked at together, so that each special function is called for all of them at once (real.h)

// A failure seen within this time of a lifting phase's start is one of the phases before (a person needs a moment to notice).
#define NOTICE_S 1.0
#define LATE_S 2.5 // from the end of a set to the second written down, at most (judgement)
// Shorter sets tell no more than this: the curve has L = 1 at 0 s.
#define SHORTEST_S 0.5
// People feel about one repetition less in reserve than they have (Halperin 2022: .95), and err by 1 to 3; here half a repetition is
// added and one is the SD, in seconds of this tempo; for a hold, 10 s stand for a repetition (judgement).
#define RESERVE_BIAS_REPETITIONS 0.5
#define HOLD_REPETITION_S 10.0
// Where the curve is flat (beyond some four minutes) a repetition is next to nothing in ln capacity: no reading is better than this (judgement).
#define READING_SD_MIN .02
// An interval thinner than this, in SDs (and the more so the further out it lies), is treated as uniform: relative errors of 1e-9.
#define THIN 1e-4

thew_task thew_task_default(thew_joint joint, thew_kind kind)
{
    return (thew_task){
        .joint = joint,
        .kind = kind,
        .tempo = kind == THEW_HOLD ? (thew_tempo){ 0 } : thew_tempo_default(),
        .floor_s = 30,
        .window_from_s = 60,
        .window_to_s = 90,
        .endurance = thew_endurance_default(joint),
        .tau_ln_sd = THEW_TAU_LN_SD,
    };
}

thew_tempo thew_evidence_tempo(const thew_task *task, const thew_rung *rung)
{
    thew_tempo t = task->tempo;
    double to_s = rung->ends_to_s > 0 ? rung->ends_to_s : 1, cycle_s = thew_tempo_cycle_s(t);
    double before_s = (task->starts_lifting ? 0 : t.lowering_s + t.pause_low_s) + rung->ends_from_s * t.lifting_s;
    double open_s = (to_s - rung->ends_from_s) * t.lifting_s;
    return (thew_tempo){ .lowering_s = before_s, .lifting_s = open_s, .pause_high_s = thew_max(cycle_s - before_s - open_s, 0) };
}

double thew_evidence_capacity_ln(const thew_task *task, const thew_rung *rung, double tired_s)
{
    assert(rung->peak_share > 0 && rung->mean_share > 0 && rung->mean_share <= 1);
    double load_share = thew_endurance_load_share(task->endurance, thew_max(tired_s, SHORTEST_S), rung->mean_share);
    return thew_log(rung->peak_share / load_share);
}

static thew_evidence later_than(const thew_task *task, const thew_rung *rung, double seconds)
{
    double tired_s = thew_tempo_tired_before_s(thew_evidence_tempo(task, rung), false, seconds);
    double low = tired_s > 0 ? thew_evidence_capacity_ln(task, rung, tired_s) : -INFINITE;
    return (thew_evidence){ .low = low, .high = INFINITE };
}

// From when on a set seen to fail at `seconds` may have been over. Where the sticking point is known, a failure is written down up to
// LATE_S after it, and the moment within so short a time tells nothing: it was over after the sticking point before.
static double over_from_s(const thew_task *task, const thew_rung *rung, double seconds)
{
    thew_tempo tempo = thew_evidence_tempo(task, rung);
    if (seconds <= NOTICE_S)
        return 0;
    if (rung->ends_to_s <= 0 || tempo.lifting_s <= 0)
        return thew_tempo_tired_from_s(tempo, false, seconds, NOTICE_S);
    double late_s = thew_min(LATE_S, tempo.pause_high_s);
    tempo.lifting_s += late_s;
    tempo.pause_high_s -= late_s;
    double from_s = thew_tempo_tired_from_s(tempo, false, seconds, NOTICE_S + late_s);
    return from_s < seconds ? thew_max(from_s - late_s, 0) : from_s;
}

// Who fails at once, or in the first lift after the first lowering, may be as weak as you like: there is no lower end.
static thew_evidence failed_at(const thew_task *task, const thew_rung *rung, double seconds)
{
    double from_s = over_from_s(task, rung, seconds);
    double high = thew_evidence_capacity_ln(task, rung, seconds);
    if (from_s > 0 && from_s >= seconds)
        return (thew_evidence){ .low = high, .high = high };
    return (thew_evidence){ .low = from_s > 0 ? thew_evidence_capacity_ln(task, rung, from_s) : -INFINITE, .high = high };
}

static thew_evidence stopped_with_reserve(const thew_task *task, const thew_rung *rung, double seconds, double reserve_s)
{
    thew_evidence evidence = later_than(task, rung, seconds);
    if (reserve_s < 0)
        return evidence;
    double cycle_s = thew_tempo_cycle_s(task->tempo);
    double repetition_s = cycle_s > 0 ? cycle_s : HOLD_REPETITION_S;
    double felt_s = seconds + reserve_s + RESERVE_BIAS_REPETITIONS * repetition_s;
    evidence.reading = thew_evidence_capacity_ln(task, rung, felt_s);
    double above = thew_evidence_capacity_ln(task, rung, felt_s + repetition_s);
    double below = thew_evidence_capacity_ln(task, rung, thew_max(felt_s - repetition_s, felt_s / 2));
    evidence.reading_sd = thew_max((above - below) / 2, READING_SD_MIN);
    return evidence;
}

thew_evidence thew_evidence_of(const thew_task *task, const thew_rung *rung, thew_ended ended, double seconds, double reserve_s)
{
    assert(seconds >= 0);
    switch (ended) {
    case THEW_FAILURE:
        return failed_at(task, rung, seconds);
    case THEW_RESERVE:
        return stopped_with_reserve(task, rung, seconds, reserve_s);
    case THEW_COMPLETED:
    case THEW_SYMPTOM:
    case THEW_OTHER:
        break;
    }
    return later_than(task, rung, seconds);
}

// Mean and variance of a standard normal that is known to lie between low and high (not both infinite), and ln of the chance that it does.
// Densities and tails are taken relative to those at low, so that nothing underflows however far out the interval lies.
static thew_moments standard_between(double low, double high)
{
    if (low + high < 0) { // by symmetry work in the upper tail, where differences keep their digits
        thew_moments mirrored = standard_between(-high, -low);
        mirrored.mean = -mirrored.mean;
        return mirrored;
    }
    double width = high - low;
    if (width * (1 + thew_abs(low)) < THIN) { // too thin for differences (perhaps nothing, by rounding): as good as uniform
        double middle = low + width / 2;
        double ln_chance = thew_log(thew_max(width, 1e-300)) - middle * middle / 2 - .5 * thew_log(2 * THEW_PI);
        return (thew_moments){ middle, width * width / 12, ln_chance };
    }
    double hazard = thew_normal_hazard(low);
    double fall = thew_exp(-width * (low + high) / 2);                      // density at high / density at low
    double beyond = fall > 0 ? fall * hazard / thew_normal_hazard(high) : 0; // tail above high / tail above low
    double mean = hazard * (1 - fall) / (1 - beyond);
    double variance = 1 + hazard * (low - (fall > 0 ? high * fall : 0)) / (1 - beyond) - mean * mean;
    return (thew_moments){ mean, thew_max(variance, 0), thew_normal_above_ln(low) + thew_log(1 - beyond) };
}

static double normal_ln(double x, double mean, double variance)
{
    double d = x - mean;
    return -.5 * (d * d / variance + thew_log(2 * THEW_PI * variance));
}

// Moments of u after evidence with normal noise of one variance.
static thew_moments with_normal_noise(const thew_evidence *evidence, double noise_variance, double mean, double variance)
{
    double seen_variance = variance + noise_variance; // of v = u + e
    double gain = variance / seen_variance;
    double left = variance - gain * variance;
    if (evidence->low == evidence->high) {
        double surprise = evidence->low - mean;
        return (thew_moments){ mean + gain * surprise, left, normal_ln(evidence->low, mean, seen_variance) };
    }
    double seen_mean = mean, ln_evidence = 0;
    if (evidence->reading_sd > 0) { // an uncertain reading of v first
        double reading_variance = evidence->reading_sd * evidence->reading_sd;
        double weight = seen_variance / (seen_variance + reading_variance);
        ln_evidence = normal_ln(evidence->reading, seen_mean, seen_variance + reading_variance);
        seen_mean += weight * (evidence->reading - seen_mean);
        seen_variance = weight * reading_variance;
    }
    if (evidence->low > -INFINITE || evidence->high < INFINITE) { // then where v must lie
        double sd = thew_sqrt(seen_variance);
        thew_moments cut = standard_between((evidence->low - seen_mean) / sd, (evidence->high - seen_mean) / sd);
        seen_mean += sd * cut.mean;
        seen_variance *= cut.variance;
        ln_evidence += cut.ln_evidence;
    }
    return (thew_moments){ mean + gain * (seen_mean - mean), left + gain * gain * seen_variance, ln_evidence };
}

thew_moments thew_evidence_moments(const thew_evidence *evidence, const thew_noise *noise, double extra_variance, double mean,
                                   double variance)
{
    assert(variance > 0);
    double right = noise->sd * noise->sd;
    double wrong = right * noise->wrong_scale * noise->wrong_scale;
    thew_moments a = with_normal_noise(evidence, right + extra_variance, mean, variance);
    if (noise->wrong_share <= 0)
        return a;
    thew_moments b = with_normal_noise(evidence, wrong + extra_variance, mean, variance);
    double ln_a = a.ln_evidence + thew_log(1 - noise->wrong_share), ln_b = b.ln_evidence + thew_log(noise->wrong_share);
    double top = thew_max(ln_a, ln_b);
    double weight_a = thew_exp(ln_a - top), weight_b = thew_exp(ln_b - top);
    double sum = weight_a + weight_b;
    weight_a /= sum;
    weight_b /= sum;
    double apart = a.mean - b.mean;
    return (thew_moments){
        .mean = weight_a * a.mean + weight_b * b.mean,
        .variance = weight_a * a.variance + weight_b * b.variance + weight_a * weight_b * apart * apart,
        .ln_evidence = top + thew_log(sum),
    };
}

// Adds the likelihood with normal noise of one variance at places u, times a share.
//   count   at most BLOCK
static void add_likelihood(const thew_evidence *evidence, double noise_variance, double share, const double *u, int count, double *out)
{
    double sd = thew_sqrt(noise_variance), weight[BLOCK], low[BLOCK], high[BLOCK];
    if (evidence->low == evidence->high) {
        for (int i = 0; i < count; i++)
            low[i] = -.5 * (evidence->low - u[i]) * (evidence->low - u[i]) / noise_variance;
        thew_exp_n(low, low, count);
        for (int i = 0; i < count; i++)
            out[i] += share * INV_SQRT_2PI / sd * low[i];
        return;
    }
    double keep = 1, root = sd; // of an uncertain reading of u + e, as in with_normal_noise
    bool read = evidence->reading_sd > 0;
    if (read) {
        double sum = noise_variance + evidence->reading_sd * evidence->reading_sd;
        keep = 1 - noise_variance / sum;
        root = thew_sqrt(sum);
        sd *= evidence->reading_sd / root;
    }
    for (int i = 0; i < count; i++) {
        double z = read ? (evidence->reading - u[i]) / root : 0, mean = read ? evidence->reading + keep * (u[i] - evidence->reading) : u[i];
        weight[i] = -.5 * z * z;
        double from = (evidence->low - mean) / (sd * SQRT_2), to = (evidence->high - mean) / (sd * SQRT_2);
        bool mirror = from + to < 0; // to the upper tail, where differences keep their digits
        low[i] = mirror ? -to : from;
        high[i] = mirror ? -from : to;
    }
    thew_erfc_n(low, low, count);
    if (evidence->low > -INFINITE && evidence->high < INFINITE)
        thew_erfc_n(high, high, count);
    else // mirrored or not, the one that is infinite is `high`
        for (int i = 0; i < count; i++)
            high[i] = 0;
    thew_exp_n(weight, weight, read ? count : 0);
    for (int i = 0; i < count; i++)
        out[i] += share * (read ? INV_SQRT_2PI / root * weight[i] : 1) * .5 * thew_max(low[i] - high[i], 0);
}

double thew_evidence_likelihood(const thew_evidence *evidence, const thew_noise *noise, double u)
{
    double likelihood;
    thew_evidence_likelihood_n(evidence, noise, u, 0, &likelihood, 1);
    return likelihood;
}

void thew_evidence_likelihood_n(const thew_evidence *evidence, const thew_noise *noise, double from, double step, double *out, int count)
{
    double right = noise->sd * noise->sd, wrong = right * noise->wrong_scale * noise->wrong_scale;
    for (int done = 0; done < count; done += BLOCK) {
        double u[BLOCK];
        int block_count = count - done < BLOCK ? count - done : BLOCK;
        for (int i = 0; i < block_count; i++) {
            u[i] = from + step * (done + i);
            out[done + i] = 0;
        }
        add_likelihood(evidence, right, 1 - noise->wrong_share, u, block_count, out + done);
        if (noise->wrong_share > 0)
            add_likelihood(evidence, wrong, noise->wrong_share, u, block_count, out + done);
    }
}
