// fatigue_moving_test.c: how well the closed form of endurance.h stands for a moving set, measured against paced repetitions in the
// three-compartment model (same F and R in both: only the short cut is judged here, not the physiology).
//
// The closed form spreads the load evenly over the cycle; a real set can fail only where lifting is hardest. Who tires after the
// sticking point of one lift gets to the next one's. Four ways to name the failing time are measured:
//   tired      T, as the formula gives it
//   seen       the first moment from T on in a lifting phase: what the engine does (thew_tempo_seen_failing_s)
//   window     the same rule with a narrower lifting phase: the part of the lift whose share is at least .96 of the peak before it
//              and .998 after it
//   head start window, with T moved by what the first part of the set, up to the first sticking point, has over or under the mean
// The last two are here to be judged, and are not part of the engine.
#include "rows.h"

#include "engine/endurance.h"
#include "engine/fatigue.h"
#include "engine/real.h"
#include "joints.h"

#define N THEW_DEMAND_STEPS

// ---- shapes of demand over the lift, s from 0 to 1; invented, after the kinds that statics gives ----

// clang-format off
static double degrees_sin(double degrees) { return thew_sin(degrees * THEW_PI / 180); }
static double flat(double s) { return 1 + 0 * s; }
static double curl(double s) { return degrees_sin(10 + 130 * s); }                    // free weight, forearm 10 to 140 degrees
static double curl_with_arm(double s) { return .5 + .5 * degrees_sin(10 + 130 * s); } // never unloaded
static double raise_to_level(double s) { return degrees_sin(2 + 88 * s); }            // straight arm, hanging to level
static double extension(double s) { return degrees_sin(20 + 70 * s); }                // seated knee, shank hanging to level
static double squat(double s) { return degrees_sin(90 - 80 * s); }                    // hardest at the bottom
static double band(double s) { return .3 + .7 * s; }                                  // rising with stretch
// clang-format on

static double knee_in_the_way(double s) // a bump at .35
{
    double z = (s - .35) / .25;
    return .4 + .6 * thew_exp(-z * z);
}

// clang-format off
static const struct {
    const char *name;
    double (*at)(double s);
} shape[] = {
    { "flat", flat },           { "curl", curl },   { "curl with arm", curl_with_arm }, { "raise", raise_to_level },
    { "extension", extension }, { "squat", squat }, { "band", band },                   { "bump", knee_in_the_way },
};
// clang-format on

// ---- what a demand says of itself ----

typedef struct {
    double share[N + 1];    // 1 at the peak
    double lift_mean;       // over the lift
    double mean_share;      // over the cycle
    double open_s, close_s; // where in the lift a failure can be seen, 0 to 1
    double head_start_s;    // surplus over the mean until the first sticking point, in seconds of mean load
} demand;

static demand demand_of(double (*at)(double s), thew_tempo tempo, bool starts_lifting)
{
    demand d = { 0 };
    double peak = 0;
    int sticking = 0;
    for (int i = 0; i <= N; i++) {
        d.share[i] = at((double)i / N);
        if (d.share[i] > peak) peak = d.share[i], sticking = i;
    }
    for (int i = 0; i <= N; i++)
        d.share[i] /= peak;
    double until_sticking = 0;
    for (int i = 0; i < N; i++) {
        d.lift_mean += (d.share[i] + d.share[i + 1]) / 2 / N;
        if (i + 1 == sticking) until_sticking = d.lift_mean;
    }
    double before = d.lift_mean * tempo.lowering_s / THEW_ECCENTRIC_FACTOR + d.share[0] * tempo.pause_low_s;
    d.mean_share = (before + d.lift_mean * tempo.lifting_s + d.share[N] * tempo.pause_high_s) / thew_tempo_cycle_s(tempo);

    int open = 0, close = N;
    while (d.share[open] < .96)
        open++;
    while (d.share[close] < .998)
        close--;
    d.open_s = (double)open / N, d.close_s = (double)(close > open ? close : open + 1) / N;

    double spent = until_sticking * tempo.lifting_s + (starts_lifting ? 0 : before);
    double elapsed = tempo.lifting_s * sticking / N + (starts_lifting ? 0 : tempo.lowering_s + tempo.pause_low_s);
    d.head_start_s = spent / d.mean_share - elapsed;
    return d;
}

// The tempo whose lifting phase is only the part of the lift that can stop a set; the cycle is the same. Begins with "lowering".
static thew_tempo narrowed(thew_tempo tempo, bool starts_lifting, double open_s, double close_s)
{
    double before = (starts_lifting ? 0 : tempo.lowering_s + tempo.pause_low_s) + open_s * tempo.lifting_s;
    double open = (close_s - open_s) * tempo.lifting_s;
    return (thew_tempo){ .lowering_s = before, .lifting_s = open, .pause_high_s = thew_tempo_cycle_s(tempo) - before - open };
}

// ---- the measurement ----

enum { TIRED, SEEN, WINDOW, HEAD_START, WAYS };
static const char *const way_name[WAYS] = { "tired", "seen", "window", "head start" };

#define SETS_MAX 4000
typedef struct {
    int count;
    double error[WAYS][SETS_MAX]; // estimate / model - 1
    double capacity[SETS_MAX];    // ln of capacity read back from the model's failing time, over the true one
} measured;

static void measure_one(measured *m, thew_joint joint, const demand *d, thew_tempo tempo, bool starts_lifting, double load)
{
    thew_fatigue_rates rates = thew_fatigue_rates_of(joint);
    double share[N + 1];
    for (int i = 0; i <= N; i++)
        share[i] = load * d->share[i];
    double true_s = thew_fatigue_repetitions_s(rates, share, tempo, starts_lifting, NULL, 121);
    if (true_s < 40 || true_s > 120) return;
    assert_true(m->count < SETS_MAX);

    thew_endurance endurance = { 1 / rates.fatigue_per_s, rates.recovery_per_s / rates.fatigue_per_s };
    thew_tempo window = narrowed(tempo, starts_lifting, d->open_s, d->close_s);
    double tired_s = thew_endurance_time_s(endurance, load, d->mean_share);
    // clang-format off
    double estimate[WAYS] = {
        [TIRED] = tired_s,
        [SEEN] = thew_tempo_seen_failing_s(tempo, starts_lifting, tired_s),
        [WINDOW] = thew_tempo_seen_failing_s(window, false, tired_s),
        [HEAD_START] = thew_tempo_seen_failing_s(window, false, thew_max(tired_s - d->head_start_s, 0)),
    };
    // clang-format on
    for (int way = 0; way < WAYS; way++)
        m->error[way][m->count] = estimate[way] / true_s - 1;
    m->capacity[m->count] = thew_log(load / thew_endurance_load_share(endurance, true_s, d->mean_share));
    m->count++;
}

static void measure(measured *m, thew_tempo tempo, size_t first, size_t last)
{
    m->count = 0;
    for (size_t i = first; i <= last; i++)
        for (int starts = 0; starts < 2; starts++) {
            demand d = demand_of(shape[i].at, tempo, starts);
            EACH_JOINT(joint)
            for (int k = 0; k < 40; k++)
                measure_one(m, joint, &d, tempo, starts, .2 * thew_exp(.04 * k)); // .2 to .95
        }
}

static int ascending(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

typedef struct {
    double bias, median, p90, worst, sd; // median, p90 and worst of the size
} summary;

static summary summed(const double *value, int count)
{
    static double size[SETS_MAX];
    summary s = { 0 };
    double squares = 0;
    for (int i = 0; i < count; i++) {
        size[i] = thew_abs(value[i]);
        s.bias += value[i] / count;
        squares += value[i] * value[i] / count;
    }
    qsort(size, (size_t)count, sizeof *size, ascending);
    s.median = size[count / 2], s.p90 = size[count * 9 / 10], s.worst = size[count - 1];
    s.sd = thew_sqrt(squares - s.bias * s.bias);
    return s;
}

static void print_summary(const char *what, const char *way, int count, summary s)
{
    printf("# %-14s %-10s %4d sets: bias %+.3f, sd %.3f, size: median %.3f, p90 %.3f, worst %.3f\n", what, way, count, s.bias, s.sd,
           s.median, s.p90, s.worst);
}

static measured m;

// The default tempo. Bounds are what was measured, and a fifth more.
static void default_tempo(void **state)
{
    (void)state;
    // clang-format off
    static const struct {
        double median, p90, worst;
    } bound[WAYS] = {
        [TIRED] = { .084, .202, .381 },
        [SEEN] = { .040, .139, .381 },
        [WINDOW] = { .003, .011, .360 },
        [HEAD_START] = { .0025, .010, .341 },
    };
    // clang-format on
    measure(&m, thew_tempo_default(), 0, sizeof shape / sizeof *shape - 1);
    for (int way = 0; way < WAYS; way++) {
        summary s = summed(m.error[way], m.count);
        print_summary("7,1,7,1", way_name[way], m.count, s);
        row_between("median", 0, s.median, bound[way].median * 1.2);
        row_between("p90", 0, s.p90, bound[way].p90 * 1.2);
        row_between("worst", 0, s.worst, bound[way].worst * 1.2);
    }
    summary s = summed(m.capacity, m.count);
    print_summary("7,1,7,1", "ln capacity", m.count, s);
    row_between("capacity read too high", .025, s.bias, .035);
    row_between("capacity, worst", 0, s.worst, .122 * 1.2);
    row_between("enough sets", 800, m.count, SETS_MAX);
    rows_end(3 * WAYS + 3);
}

// A set fails a repetition later at worst, never earlier than the formula by more than that.
static void other_tempos_and_shapes(void **state)
{
    (void)state;
    // clang-format off
    static const thew_tempo tempos[] = { { 4, 1, 4, 1 }, { 3, 0, 3, 0 }, { 5, 2, 5, 2 }, { 2, 0, 2, 0 } };
    // clang-format on
    EACH(i, tempos)
    {
        char what[64];
        snprintf(what, sizeof what, "%g,%g,%g,%g", tempos[i].lowering_s, tempos[i].pause_low_s, tempos[i].lifting_s,
                 tempos[i].pause_high_s);
        measure(&m, tempos[i], 0, sizeof shape / sizeof *shape - 1);
        for (int way = 0; way < WAYS; way++) {
            summary s = summed(m.error[way], m.count);
            print_summary(what, way_name[way], m.count, s);
            row_between(what, 0, s.worst, 1.3 * thew_tempo_cycle_s(tempos[i]) / 40);
        }
    }
    EACH(i, shape)
    {
        measure(&m, thew_tempo_default(), i, i);
        for (int way = SEEN; way < WAYS; way++) {
            summary s = summed(m.error[way], m.count);
            print_summary(shape[i].name, way_name[way], m.count, s);
            row_between(shape[i].name, 0, s.worst, 1.3 * 16 / 40);
        }
    }
    rows_end(4 * WAYS + 8 * (WAYS - 1));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(default_tempo),
        cmocka_unit_test(other_tempos_and_shapes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
