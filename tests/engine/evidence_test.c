// evidence_test.c: what a set says (by hand from endurance.h), and the moments of a normal belief after it against brute force: the
// product of prior, noise and indicator integrated over u and v = u + e by Gauss-Legendre panels, in logarithms, with libm. That
// reference shares nothing with evidence.c; its own error is about 1e-12. Truncated normals alone: tests/outside/evidence_scipy.py.
#include "rows.h"

#include <math.h>

#include "engine/evidence.h"
#include "engine/real.h"

#define INF INFINITY

// ---- the reference: ln of the integral of exp(ln f) over [from, to], and its moments ----

// Gauss-Legendre, ten nodes (Abramowitz & Stegun, table 25.4; memory, and checked below by integrating powers).
static const double node[5] = { .1488743389816312, .4333953941292472, .6794095682990244, .8650633666889845, .9739065285171717 };
static const double weight[5] = { .2955242247147529, .2692667193099964, .2190863625159820, .1494513491505806, .0666713443086881 };

typedef struct {
    double ln_sum, mean, variance;
} integral;

typedef double (*ln_function)(double x, const void *data);

static integral integrate(ln_function ln_f, const void *data, double from, double to, int panels)
{
    enum { NODES = 10, PANELS_MAX = 800 };
    static double depth_x[2][PANELS_MAX * NODES], depth_ln[2][PANELS_MAX * NODES]; // the inner integral runs within the outer
    static int depth;
    double *x = depth_x[depth], *ln = depth_ln[depth];
    assert_true(panels <= PANELS_MAX && depth < 2);
    depth++;
    double half = (to - from) / panels / 2, top = -INF;
    for (int p = 0, n = 0; p < panels; p++)
        for (int i = 0; i < NODES; i++, n++) {
            x[n] = from + (2 * p + 1) * half + (i % 2 ? half : -half) * node[i / 2];
            ln[n] = ln_f(x[n], data) + log(half * weight[i / 2]);
            top = fmax(top, ln[n]);
        }
    depth--;
    double sum = 0, mean = 0, square = 0;
    for (int n = 0; n < panels * NODES; n++)
        sum += exp(ln[n] - top);
    for (int n = 0; n < panels * NODES; n++)
        mean += exp(ln[n] - top) / sum * (x[n] - from);
    for (int n = 0; n < panels * NODES; n++)
        square += exp(ln[n] - top) / sum * (x[n] - from - mean) * (x[n] - from - mean);
    return (integral){ top + log(sum), from + mean, square };
}

static double ln_power(double x, const void *data)
{
    return *(const double *)data * log(x);
}

static void the_reference_integrates_powers(void **state)
{
    (void)state;
    for (double power = 0; power < 20; power++)
        row_relative("x^n from 0 to 1", 1 / (power + 1), exp(integrate(ln_power, &power, 0, 1, 1).ln_sum), 1e-14);
    rows_end(20);
}

static double ln_normal(double x, double mean, double sd)
{
    return -.5 * pow((x - mean) / sd, 2) - log(sd) - .5 * log(2 * THEW_PI);
}

typedef struct {
    const thew_evidence *evidence;
    double noise_sd, tail, prior_mean, prior_sd, u;
} problem;

static double reading_sd(const problem *q) { return hypot(q->evidence->reading_sd, sqrt(2) * q->tail); }

// ln of the chance (of a point: the density) that v + Laplace is where it must be: elementary functions only.
static double ln_tail_between(const thew_evidence *e, double tail, double v)
{
    double low = (e->low - v) / tail, high = (e->high - v) / tail;
    if (low == high) return -fabs(low) - log(2 * tail);
    if (low == -INF && high == INF) return 0;
    if (low >= 0) return log(.5) - low + log1p(-exp(low - high));
    if (high <= 0) return log(.5) + high + log1p(-exp(low - high));
    return log1p(-.5 * exp(low) - .5 * exp(-high));
}

// ln p(v | u) p(reading | v) p(where it ended | v), v = u + the noise's normal part.
static double ln_seen(double v, const void *data)
{
    const problem *q = data;
    double ln = ln_normal(v, q->u, q->noise_sd);
    if (q->tail > 0) ln += ln_tail_between(q->evidence, q->tail, v);
    return q->evidence->reading_sd > 0 ? ln + ln_normal(q->evidence->reading, v, reading_sd(q)) : ln;
}

// ln p(evidence | u): v from where the integrand's peak must lie, ten SDs to each side and as far as the tail pulls; in pieces between the
// limits, where the integrand has a corner, or without a tail cut to the interval.
static double ln_likelihood(double u, problem q)
{
    const thew_evidence *e = q.evidence;
    q.u = u;
    if (e->low == e->high && q.tail == 0) return ln_seen(e->low, &q);
    double sd = q.noise_sd, peak = u;
    if (e->reading_sd > 0) {
        double error = reading_sd(&q);
        peak = (u / (sd * sd) + e->reading / pow(error, 2)) / (1 / (sd * sd) + 1 / pow(error, 2));
        sd *= error / hypot(sd, error);
    }
    if (q.tail > 0) {
        double from = peak - 10 * sd - sd * sd / q.tail, to = peak + 10 * sd + sd * sd / q.tail;
        const double edge[] = { from, fmin(fmax(e->low, from), to), fmin(fmax(e->high, from), to), to };
        double ln[3], top = -INF, sum = 0;
        for (int i = 0; i < 3; i++) {
            ln[i] = edge[i + 1] > edge[i] ? integrate(ln_seen, &q, edge[i], edge[i + 1], 24).ln_sum : -INF;
            top = fmax(top, ln[i]);
        }
        for (int i = 0; i < 3; i++)
            sum += exp(ln[i] - top);
        return top + log(sum);
    }
    peak = fmin(fmax(peak, e->low), e->high);
    return integrate(ln_seen, &q, fmax(e->low, peak - 10 * sd), fmin(e->high, peak + 10 * sd), 24).ln_sum;
}

static double ln_posterior(double u, const void *data)
{
    const problem *q = data;
    return ln_normal(u, q->prior_mean, q->prior_sd) + ln_likelihood(u, *q);
}

static thew_moments reference(const thew_evidence *e, const thew_noise *noise, double extra, double prior_mean, double prior_sd)
{
    double noise_sd = sqrt(noise->sd * noise->sd + extra);
    problem q = { e, noise_sd, noise->tail, prior_mean, prior_sd, 0 };
    double nearest = fmin(fmax(prior_mean, e->low), e->high);
    if (e->reading_sd > 0) nearest = fmin(fmax(e->reading, e->low), e->high);
    double reach = 10 * prior_sd, from = fmin(prior_mean, nearest) - reach, to = fmax(prior_mean, nearest) + reach;
    double fine = noise_sd * prior_sd / hypot(noise_sd, prior_sd);
    int panels = (int)((to - from) / fine * .7) + 8;
    integral all = integrate(ln_posterior, &q, from, to, panels < 600 ? panels : 600);
    return (thew_moments){ all.mean, all.variance, all.ln_sum };
}

// ---- moments ----

static const struct {
    const char *why;
    thew_evidence evidence;
    double extra_variance, mean, sd;
} told[] = {
    { "a point where it was expected", { .2, .2, 0, 0 }, 0, .2, .3 },
    { "a point one SD up", { .5, .5, 0, 0 }, 0, .2, .3 },
    { "a point far below: a wrong entry?", { -.8, -.8, 0, 0 }, 0, .2, .1 },
    { "a point sixty noises away", { 4.2, 4.2, 0, 0 }, 0, 0, .25 },
    { "a point, tau unsure", { .5, .5, 0, 0 }, .01, .2, .3 },
    { "later, as expected", { -.1, INF, 0, 0 }, 0, .2, .3 },
    { "later, a surprise", { .9, INF, 0, 0 }, 0, .2, .3 },
    { "later, sixty noises away", { 3.5, INF, 0, 0 }, 0, 0, .25 },
    { "later, long known", { -3, INF, 0, 0 }, 0, 0, .25 },
    { "later, tau unsure", { .9, INF, 0, 0 }, .02, .2, .3 },
    { "failed at once", { -INF, -.4, 0, 0 }, 0, .1, .3 },
    { "failed at once, sixty noises away", { -INF, -3.4, 0, 0 }, 0, 0, .25 },
    { "failed between two lifts, as expected", { .1, .2, 0, 0 }, 0, .15, .3 },
    { "failed between, above", { .5, .62, 0, 0 }, 0, .15, .2 },
    { "failed between, below", { -.62, -.5, 0, 0 }, 0, .15, .2 },
    { "a wide interval far above", { 2, 3.5, 0, 0 }, 0, 0, .15 },
    { "a wide interval far below", { -3.5, -2, 0, 0 }, 0, 0, .15 },
    { "an interval that says little", { -2, 3, 0, 0 }, 0, .5, .3 },
    { "a thin interval", { .3, .301, 0, 0 }, 0, .15, .2 },
    { "a very thin interval", { .3, .300001, 0, 0 }, 0, .15, .2 },
    { "a very thin interval far away", { 2.3, 2.300001, 0, 0 }, 0, .15, .1 },
    { "later, with a reading close by", { .3, INF, .45, .1 }, 0, .2, .3 },
    { "later, with a reading below it", { .3, INF, .1, .08 }, 0, .2, .3 },
    { "later, with a reading far above", { .3, INF, 1.4, .1 }, 0, .2, .3 },
    { "later, with a reading, tau unsure", { .3, INF, .45, .05 }, .01, .2, .3 },
    { "stopped at once, with a reading", { -INF, INF, .45, .1 }, 0, .2, .3 },
};

// Mean within 1e-8 of an SD, SD within 1e-8 of itself, ln of the evidence within 1e-8.
static void moments_are_those_of_brute_force(void **state)
{
    (void)state;
    static const thew_noise noise[] = { { .053, 0 }, { .0294, .0394 }, { .15, .1 } };
    EACH(i, told) EACH(n, noise)
    {
        thew_moments expected = reference(&told[i].evidence, &noise[n], told[i].extra_variance, told[i].mean, told[i].sd);
        thew_moments m =
            thew_evidence_moments(&told[i].evidence, &noise[n], told[i].extra_variance, told[i].mean, told[i].sd * told[i].sd, true);
        char why[128];
        snprintf(why, sizeof why, "%s, noise %zu", told[i].why, n);
        row_near(why, expected.mean, m.mean, 1e-8 * sqrt(expected.variance));
        row_relative(why, sqrt(expected.variance), sqrt(m.variance), 1e-8);
        row_near(why, expected.ln_evidence, m.ln_evidence, 1e-8);
    }
    rows_end(3 * 26 * 3);
}

// The likelihood agrees with brute force, and prior x likelihood, summed over 12 SDs of the prior to both sides, to the ln_evidence
// that the moments give (not where all of it lies beyond).
static void likelihood_is_brute_force_and_sums_to_the_evidence(void **state)
{
    (void)state;
    static const thew_noise noise[] = { { .053, 0 }, { .0294, .0394 } };
    EACH(i, told) EACH(n, noise)
    {
        if (told[i].extra_variance > 0) continue; // the grid's likelihood knows tau
        const thew_evidence *e = &told[i].evidence;
        for (double u = -1; u < 1.5; u += .37) {
            double expected = exp(ln_likelihood(u, (problem){ e, noise[n].sd, noise[n].tail, 0, 0, 0 }));
            row_near(told[i].why, expected, thew_evidence_likelihood(e, &noise[n], u), 1e-8 * expected);
        }
        enum { COUNT = 12001 };
        static double likelihood[COUNT];
        double step = 24 * told[i].sd / (COUNT - 1), from = told[i].mean - 12 * told[i].sd, sum = 0;
        thew_evidence_likelihood_n(e, &noise[n], from, step, likelihood, COUNT);
        for (int k = 0; k < COUNT; k++)
            sum += step * likelihood[k] * exp(ln_normal(from + step * k, told[i].mean, told[i].sd));
        thew_moments m = thew_evidence_moments(e, &noise[n], 0, told[i].mean, told[i].sd * told[i].sd, true);
        if (m.ln_evidence > -50) row_near(told[i].why, m.ln_evidence, log(sum), 1e-8);
    }
    rows_end(300);
}

// Whatever is told: variance above 0 and not above the mixture's own, a mean that moves towards what was seen.
static void beliefs_stay_beliefs(void **state)
{
    (void)state;
    uint64_t seed = 11;
    const thew_noise noise = { .0294, .0394 };
    for (int i = 0; i < 20000; i++) {
        double low = random_between(&seed, -6, 6), width = exp(random_between(&seed, -25, 3)),
               sd = exp(random_between(&seed, -5, 1));
        const thew_evidence each[] = { { low, low, 0, 0 },
                                       { low, low + width, 0, 0 },
                                       { low, INF, 0, 0 },
                                       { -INF, low, 0, 0 },
                                       { low, INF, low + random_between(&seed, -1, 1), random_between(&seed, .01, .5) } };
        double mean = random_between(&seed, -3, 3);
        EACH(k, each)
        {
            thew_moments m = thew_evidence_moments(&each[k], &noise, 0, mean, sd * sd, true);
            row_between("finite ln evidence", -1e9, m.ln_evidence, 60);
            row_between("variance", 1e-12 * sd * sd, m.variance, 1e3);
            if (each[k].reading_sd > 0) continue;
            if (mean <= each[k].low) row_between("up", mean - 1e-9 * sd, m.mean, INF);
            if (mean >= each[k].high) row_between("down", -INF, m.mean, mean + 1e-9 * sd);
        }
    }
    rows_end(200000);
}

// "Later" can only raise a belief and never widen it (the noise being log-concave), "failed at once" only lower it.
static void censored_sets_move_one_way(void **state)
{
    (void)state;
    const thew_noise plain = { .053, 0 }, tailed = { .0294, .0394 };
    for (double z = -8; z <= 8; z += .25) {
        const thew_evidence later = { .3 * z, INF, 0, 0 }, at_once = { -INF, .3 * z, 0, 0 };
        row_between("later raises", 0, thew_evidence_moments(&later, &tailed, 0, 0, .09, false).mean, INF);
        row_between("at once lowers", -INF, thew_evidence_moments(&at_once, &tailed, 0, 0, .09, false).mean, 0);
        row_between("later narrows", 0, thew_evidence_moments(&later, &plain, 0, 0, .09, false).variance, .09 + 1e-15);
        row_between("with a tail too", 0, thew_evidence_moments(&later, &tailed, 0, 0, .09, false).variance, .09 + 1e-15);
    }
    rows_end(195);
}

// ---- what sets say ----

static thew_task task_of(double cycle, bool starts_lifting)
{
    thew_task e = thew_task_default(THEW_JOINT_KNEE, cycle > 0 ? THEW_REPETITIONS : THEW_HOLD);
    e.starts_lifting = starts_lifting;
    return e;
}

// Tempo 7-1-7-1: lifts in [8, 15), [24, 31) ... [72, 79), [88, 95); starting with a lift: [0, 7), [16, 23) ... [64, 71), [80, 87).
// `low_s`, `high_s`: the times whose capacities bound what is told; 0: no lower bound, INFINITY: no upper.
static void endings_say_what_they_say(void **state)
{
    (void)state;
    static const struct {
        const char *why;
        double cycle;
        bool starts_lifting;
        thew_ended ended;
        double seconds, low_s, high_s;
    } row[] = {
        { "hold: failure is a point", 0, false, THEW_FAILURE, 42, 42, 42 },
        { "hold: completed is later", 0, false, THEW_COMPLETED, 90, 90, INF },
        { "hold: a symptom is later", 0, false, THEW_SYMPTOM, 20, 20, INF },
        { "hold: another reason is later", 0, false, THEW_OTHER, 20, 20, INF },
        { "hold: reserve not said is later", 0, false, THEW_RESERVE, 50, 50, INF },
        { "hold: given up at once", 0, false, THEW_FAILURE, 0, 0, .5 },
        { "hold: a second to notice", 0, false, THEW_FAILURE, 1, 0, 1 },
        { "hold: two seconds are a time", 0, false, THEW_FAILURE, 2, 2, 2 },
        { "hold: stopped at once says nothing", 0, false, THEW_OTHER, 0, 0, INF },
        { "inside a lift: a point", 16, false, THEW_FAILURE, 76, 76, 76 },
        { "at a lift's start: since the lift before", 16, false, THEW_FAILURE, 72, 63, 72 },
        { "a second later is noticed late", 16, false, THEW_FAILURE, 73, 63, 73 },
        { "more than a second later is its own time", 16, false, THEW_FAILURE, 73.5, 73.5, 73.5 },
        { "noted between two lifts: since the last", 16, false, THEW_FAILURE, 83, 79, 83 },
        { "the first lift: perhaps far too weak", 16, false, THEW_FAILURE, 8, 0, 8 },
        { "lowering first, seen before any lift", 16, false, THEW_FAILURE, 5, 0, 5 },
        { "lifting first: at once", 16, true, THEW_FAILURE, 0, 0, .5 },
        { "lifting first: the second lift's start", 16, true, THEW_FAILURE, 16, 7, 16 },
        { "lifting first: inside the first lift", 16, true, THEW_FAILURE, 4, 4, 4 },
        { "completed inside a lift", 16, false, THEW_COMPLETED, 90, 90, INF },
        { "completed between lifts: the last one held", 16, false, THEW_COMPLETED, 84, 79, INF },
        { "a symptom in the first lowering: nothing", 16, false, THEW_SYMPTOM, 6, 0, INF },
        { "completed at a lift's start", 16, false, THEW_COMPLETED, 88, 79, INF },
    };
    EACH(i, row)
    {
        thew_task e = task_of(row[i].cycle, row[i].starts_lifting);
        thew_rung rung = { .peak_share = .37, .mean_share = .8 };
        thew_evidence said = thew_evidence_of(&e, &rung, row[i].ended, row[i].seconds, -1);
        // u = ln(d / L(t)), L(t) from endurance.h (its own tests)
        double low = row[i].low_s > 0 ? log(.37 / thew_endurance_load_share(e.endurance, row[i].low_s, .8)) : -INF;
        double high = row[i].high_s < INF ? log(.37 / thew_endurance_load_share(e.endurance, row[i].high_s, .8)) : INF;
        row_near(row[i].why, low, said.low, 1e-12);
        row_near(row[i].why, high, said.high, 1e-12);
        row_near("no reading", 0, said.reading_sd, 0);
    }
    rows_end(3 * 23);
}

// Felt reserve: half a repetition more than said (Halperin 2022: people feel about one too few, .95), SD one repetition; a hold's
// "repetition" is 10 s; half the felt time at least for the lower arm of the SD.
static void reserve_is_a_reading(void **state)
{
    (void)state;
    static const struct {
        const char *why;
        double cycle, seconds, reserve_s, felt_s, below_s, above_s;
    } row[] = {
        { "two repetitions of 16 s", 16, 60, 32, 100, 84, 116 }, { "none left, they say", 16, 60, 0, 68, 52, 84 },
        { "hold: five seconds", 0, 40, 5, 50, 40, 60 },          { "stopped at once, three left", 16, 0, 48, 56, 40, 72 },
        { "hold: the arm is halved", 0, 0, 2, 7, 3.5, 17 },
    };
    EACH(i, row)
    {
        thew_task e = task_of(row[i].cycle, false);
        thew_rung rung = { .peak_share = .5, .mean_share = 1 };
        thew_evidence said = thew_evidence_of(&e, &rung, THEW_RESERVE, row[i].seconds, row[i].reserve_s);
        double felt = log(thew_endurance_load_share(e.endurance, row[i].felt_s, 1));
        double below = log(thew_endurance_load_share(e.endurance, row[i].below_s, 1)),
               above = log(thew_endurance_load_share(e.endurance, row[i].above_s, 1));
        row_near(row[i].why, log(.5) - felt, said.reading, 1e-12);
        row_near(row[i].why, (below - above) / 2, said.reading_sd, 1e-12);
        row_near("later all the same", INF, said.high, 0);
        row_near("and from when", thew_evidence_of(&e, &rung, THEW_COMPLETED, row[i].seconds, -1).low, said.low, 0);
    }
    rows_end(20);
}

static void defaults_are_the_trades(void **state)
{
    (void)state;
    thew_task hold = thew_task_default(THEW_JOINT_GRIP, THEW_HOLD), moving = thew_task_default(THEW_JOINT_KNEE, THEW_REPETITIONS);
    row_near("a hold has no cycle", 0, thew_tempo_cycle_s(hold.tempo), 0);
    row_near("7-1-7-1", 16, thew_tempo_cycle_s(moving.tempo), 0);
    row_near("floor", 30, moving.floor_s, 0);
    row_near("window from", 60, moving.window_from_s, 0);
    row_near("window to", 90, moving.window_to_s, 0);
    row_near("grip's tau", 110.1, hold.endurance.tau_s, 0); // fatigue_parameters.csv
    row_near("SD of ln tau", .4, hold.tau_ln_sd, 0);
    rows_end(7);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_reference_integrates_powers),
        cmocka_unit_test(moments_are_those_of_brute_force),
        cmocka_unit_test(likelihood_is_brute_force_and_sums_to_the_evidence),
        cmocka_unit_test(beliefs_stay_beliefs),
        cmocka_unit_test(censored_sets_move_one_way),
        cmocka_unit_test(endings_say_what_they_say),
        cmocka_unit_test(reserve_is_a_reading),
        cmocka_unit_test(defaults_are_the_trades),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
