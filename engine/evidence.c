// evidence.c: see evidence.h.
#include "evidence.h"

#include <assert.h>

#include "real.h"

#define INFINITE __builtin_inf()
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
// An interval thinner than this, in SDs (and the more so the further out it lies), is treated as a point: relative errors of 1e-8.
#define THIN 7e-5

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

// A chance Z of what was seen as it hangs on the mean m of a normal belief: ln Z (if wanted, else 0), Z' / Z and Z'' / Z.
typedef struct {
    double ln, first, second;
} chance;

// v + tail is this number, v ~ N(m, sd^2); z: number - m.
static chance chance_of_point(double sd, double tail, double z, bool want_ln)
{
    double distance = thew_abs(z);
    thew_noise_at at = thew_noise_look(sd, tail, distance);
    double ln = want_ln ? thew_noise_ln_scale(sd, tail, distance) + thew_log(at.density) : 0;
    return (chance){ ln, (z < 0 ? at.slope : -at.slope) / at.density, at.bend / at.density };
}

// v + tail lies between two numbers, less m; one may be infinite. The lower is no further out than the upper, in the upper tail (else by
// symmetry): there differences keep their digits.
static chance chance_between(double sd, double tail, double low, double high, bool want_ln)
{
    if (low + high < 0) {
        chance mirrored = chance_between(sd, tail, -high, -low, want_ln);
        mirrored.first = -mirrored.first;
        return mirrored;
    }
    double width = high - low;
    if (width < THIN * (tail > 0 ? thew_min(sd, tail) : sd / thew_sqrt(1 + thew_abs(low) / sd))) {
        chance middle = chance_of_point(sd, tail, low + width / 2, want_ln); // too thin for differences (perhaps nothing, by rounding)
        middle.ln += want_ln ? thew_log(thew_max(width, 1e-300)) : 0;
        return middle;
    }
    thew_noise_at from = thew_noise_look(sd, tail, low), to = { 0 };
    double scale = high < INFINITE || want_ln ? thew_noise_ln_scale(sd, tail, low) : 0, fall = 0;
    if (high < INFINITE) {
        to = thew_noise_look(sd, tail, high);
        fall = thew_exp(thew_noise_ln_scale(sd, tail, high) - scale);
    }
    double sum = from.above - fall * to.above;
    double ln = want_ln ? scale + thew_log(sum) : 0;
    return (chance){ ln, (from.density - fall * to.density) / sum, (fall * to.slope - from.slope) / sum };
}

static double normal_ln(double x, double mean, double variance)
{
    double d = x - mean;
    return -.5 * (d * d / variance + thew_log(2 * THEW_PI * variance));
}

// A reading is one of u and the noise's normal part; its own error comes on top, and the tail's variance, since a set and what was felt of
// it go astray apart.
static double reading_variance(const thew_evidence *evidence, const thew_noise *noise)
{
    return evidence->reading_sd * evidence->reading_sd + 2 * noise->tail * noise->tail;
}

thew_moments thew_evidence_moments(const thew_evidence *evidence, const thew_noise *noise, double extra_variance, double mean,
                                   double variance, bool want_ln)
{
    assert(variance > 0);
    double seen_variance = variance + noise->sd * noise->sd + extra_variance; // of v: u and the noise's normal part
    double gain = variance / seen_variance;
    double left = variance - gain * variance; // of u, v being known
    double seen_mean = mean, ln_evidence = 0;
    if (evidence->reading_sd > 0) { // an uncertain reading of v first
        double error = reading_variance(evidence, noise), weight = seen_variance / (seen_variance + error);
        ln_evidence = want_ln ? normal_ln(evidence->reading, seen_mean, seen_variance + error) : 0;
        seen_mean += weight * (evidence->reading - seen_mean);
        seen_variance = weight * error;
    }
    if (evidence->low > -INFINITE || evidence->high < INFINITE) { // then where it must lie, tail and all
        double sd = thew_sqrt(seen_variance), low = evidence->low - seen_mean, high = evidence->high - seen_mean;
        chance c = low == high ? chance_of_point(sd, noise->tail, low, want_ln) : chance_between(sd, noise->tail, low, high, want_ln);
        seen_mean += seen_variance * c.first;
        seen_variance += seen_variance * seen_variance * (c.second - c.first * c.first);
        seen_variance = thew_max(seen_variance, 0);
        ln_evidence += c.ln;
    }
    return (thew_moments){ mean + gain * (seen_mean - mean), left + gain * gain * seen_variance, ln_evidence };
}

// Chance that v + tail lies where it must, z [count] being the lower limit less v; out [count]. Where both limits are below, by symmetry:
// differences keep their digits in the upper tail.
static void between_n(double sd, double tail, const thew_evidence *evidence, double *z, double *out, int count)
{
    double width = evidence->high - evidence->low, beyond[BLOCK];
    if (width == INFINITE) {
        thew_noise_above_n(sd, tail, z, out, count);
        return;
    }
    for (int i = 0; i < count; i++) {
        bool mirror = 2 * z[i] + width < 0;
        beyond[i] = mirror ? -z[i] : z[i] + width;
        z[i] = mirror ? -(z[i] + width) : z[i];
    }
    thew_noise_above_n(sd, tail, z, out, count);
    thew_noise_above_n(sd, tail, beyond, beyond, count);
    for (int i = 0; i < count; i++)
        out[i] = thew_max(out[i] - beyond[i], 0);
}

double thew_evidence_likelihood(const thew_evidence *evidence, const thew_noise *noise, double u)
{
    double likelihood;
    thew_evidence_likelihood_n(evidence, noise, u, 0, &likelihood, 1);
    return likelihood;
}

void thew_evidence_likelihood_n(const thew_evidence *evidence, const thew_noise *noise, double from, double step, double *out, int count)
{
    double sd = noise->sd, keep = 1, root = 1;
    bool open = evidence->low == -INFINITE;
    bool read = evidence->reading_sd > 0; // v = u + normal part: its reading first, then where it must lie given the reading
    if (read) {
        double error = reading_variance(evidence, noise), sum = sd * sd + error;
        keep = error / sum;
        root = thew_sqrt(sum);
        sd *= thew_sqrt(keep);
    }
    for (int done = 0; done < count; done += BLOCK) {
        double u[BLOCK], z[BLOCK], high[BLOCK];
        int n = count - done < BLOCK ? count - done : BLOCK;
        double *here = out + done;
        for (int i = 0; i < n; i++) {
            u[i] = from + step * (done + i);
            here[i] = 1;
            double v = read ? evidence->reading + keep * (u[i] - evidence->reading) : u[i];
            z[i] = open ? v - evidence->high : evidence->low - v; // by symmetry the open end is the upper one
        }
        if (evidence->low == evidence->high) {
            thew_noise_density_n(sd, noise->tail, z, here, n);
            continue;
        }
        between_n(sd, noise->tail, evidence, z, here, n);
        if (!read)
            continue;
        for (int i = 0; i < n; i++)
            high[i] = -.5 * (evidence->reading - u[i]) / root * (evidence->reading - u[i]) / root;
        thew_exp_n(high, high, n);
        for (int i = 0; i < n; i++)
            here[i] *= INV_SQRT_2PI / root * high[i];
    }
}
