// fatigue.c: see fatigue.h.
#include "fatigue.h"

#include <assert.h>
#include <stddef.h>

#include "decay.h"
#include "real.h"

#define GAIN_PER_S 10.0 // of activation and of relaxation (Xia & Frey-Law 2008)
#define STEP_MAX_S .05  // half a time constant of activation

// F and R: Frey-Law, Looft & Heitsman 2012, table 1 (the abstract prints the labels swapped). r: Looft, Herkert & Frey-Law 2018;
// never measured for trunk and hip, where the default of 15 stands in. Hip: no row of its own, the pooled one. All:
// fatigue_parameters.csv.
// clang-format off
static const thew_fatigue_rates rates_by_joint[THEW_JOINT_COUNT] = {
    [THEW_JOINT_SHOULDER] = { .01820, .00168, 15 }, [THEW_JOINT_ELBOW] = { .00912, .00094, 15 },
    [THEW_JOINT_TRUNK] = { .00755, .00075, 15 },    [THEW_JOINT_HIP] = { .00970, .00091, 15 },
    [THEW_JOINT_KNEE] = { .01500, .00149, 15 },     [THEW_JOINT_ANKLE] = { .00589, .00058, 15 },
    [THEW_JOINT_GRIP] = { .00980, .00064, 30 },
};
// clang-format on

thew_fatigue_rates thew_fatigue_rates_of(thew_joint joint)
{
    assert(joint >= 0 && joint < THEW_JOINT_COUNT);
    return rates_by_joint[joint];
}

static void check(thew_fatigue_rates rates)
{
    assert(rates.fatigue_per_s > 0 && rates.recovery_per_s >= 0 && rates.rest_multiplier >= 1);
    (void)rates;
}

// True rest only. Never where a load leaves units to spare: between repetitions of a loaded set that would be a known trap.
static double recovery_per_s(thew_fatigue_rates rates, double load)
{
    return load > 0 ? rates.recovery_per_s : rates.recovery_per_s * rates.rest_multiplier;
}

// ---- the full model ----

// dMA/dt = C - F MA, dMF/dt = F MA - Rr MF. C drives towards the load, but not faster than the resting units allow: 10 (L - MA), or
// 10 MR where MR < L - MA. Above the load the same expression lets go.
static thew_fatigue_state derivative(thew_fatigue_rates rates, double recovery, thew_fatigue_state at, double load)
{
    double resting = 1 - at.active - at.fatigued;
    double drive = GAIN_PER_S * thew_min(load - at.active, resting);
    double tiring = rates.fatigue_per_s * at.active;
    return (thew_fatigue_state){ .active = drive - tiring, .fatigued = tiring - recovery * at.fatigued };
}

static thew_fatigue_state moved(thew_fatigue_state from, thew_fatigue_state slope, double seconds)
{
    return (thew_fatigue_state){ from.active + seconds * slope.active, from.fatigued + seconds * slope.fatigued };
}

// The classical fourth-order Runge-Kutta step.
static thew_fatigue_state stepped(thew_fatigue_rates rates, thew_fatigue_state from, double load, double seconds)
{
    double recovery = recovery_per_s(rates, load);
    thew_fatigue_state k1 = derivative(rates, recovery, from, load);
    thew_fatigue_state k2 = derivative(rates, recovery, moved(from, k1, seconds / 2), load);
    thew_fatigue_state k3 = derivative(rates, recovery, moved(from, k2, seconds / 2), load);
    thew_fatigue_state k4 = derivative(rates, recovery, moved(from, k3, seconds), load);
    thew_fatigue_state mean = { (k1.active + 2 * k2.active + 2 * k3.active + k4.active) / 6,
                                (k1.fatigued + 2 * k2.fatigued + 2 * k3.fatigued + k4.fatigued) / 6 };
    return moved(from, mean, seconds);
}

thew_fatigue_state thew_fatigue_run(thew_fatigue_rates rates, thew_fatigue_state state, double load, double seconds)
{
    check(rates);
    assert(load >= 0 && seconds >= 0 && seconds <= 1e9);
    assert(state.active >= 0 && state.fatigued >= 0 && state.active + state.fatigued <= 1 + 1e-9);
    long long count = (long long)(seconds / STEP_MAX_S) + 1;
    for (long long i = 0; i < count; i++)
        state = stepped(rates, state, load, seconds / (double)count);
    return state;
}

double thew_fatigue_time_s(thew_fatigue_rates rates, double load, double tolerance, double limit_s)
{
    check(rates);
    assert(load >= 0 && tolerance > 0 && tolerance < 1);
    assert(limit_s >= 0 && limit_s <= 1e9);
    double enough = (1 - tolerance) * load;
    thew_fatigue_state state = { 0, 0 };
    for (long long i = 0; (double)i * STEP_MAX_S < limit_s; i++) {
        thew_fatigue_state next = stepped(rates, state, load, STEP_MAX_S);
        if (next.active < enough && next.active < state.active) { // below, and not on the way up
            if (state.active < enough) return 0;                  // it never got there
            double crossing = (state.active - enough) / (state.active - next.active);
            return thew_min(((double)i + crossing) * STEP_MAX_S, limit_s);
        }
        state = next;
    }
    return limit_s;
}

// ---- the limit of instant activation ----

// dMF/dt = inflow - outflow MF over `seconds`, exactly.
static double flowed(double fatigued, double inflow, double outflow, double seconds)
{
    double z = outflow * seconds;
    return fatigued * thew_exp(-z) + inflow * seconds * thew_decay_arrived(z);
}

// Seconds until the fatigued share leaves less than the load; infinity if recovery keeps up.
static double holds_s(thew_fatigue_rates rates, double fatigued, double load)
{
    double room = 1 - load - fatigued;
    if (room <= 0) return 0;
    double rise = rates.fatigue_per_s * load - rates.recovery_per_s * fatigued; // at the start
    if (rates.recovery_per_s * room >= rise) return __builtin_inf();
    return room / rise * thew_decay_delay(rates.recovery_per_s * room / rise);
}

double thew_fatigue_after(thew_fatigue_rates rates, double fatigued, double load, double seconds)
{
    check(rates);
    assert(fatigued >= 0 && fatigued <= 1 && load >= 0 && seconds >= 0 && seconds <= 1e9);
    if (!(load > 0)) return fatigued * thew_exp(-recovery_per_s(rates, 0) * seconds);
    double met = flowed(fatigued, rates.fatigue_per_s * load, rates.recovery_per_s, seconds);
    if (fatigued <= 1 - load && met <= 1 - load) return met; // it runs one way only: met at both ends, met throughout
    double held = thew_min(holds_s(rates, fatigued, load), seconds);
    fatigued = flowed(fatigued, rates.fatigue_per_s * load, rates.recovery_per_s, held);
    // Past failure all that is left works: F MA = F (1 - MF).
    return flowed(fatigued, rates.fatigue_per_s, rates.recovery_per_s + rates.fatigue_per_s, seconds - held);
}

// ---- paced repetitions ----

// A part of the repetition: where in the range it begins and ends, and what its load counts for.
typedef struct {
    double seconds;
    int from, to; // steps of the range
    double weight;
    bool lifts;
} phase;

static void phases_of(thew_tempo tempo, phase phases[4])
{
    phases[0] = (phase){ tempo.lowering_s, THEW_DEMAND_STEPS, 0, 1 / THEW_ECCENTRIC_FACTOR, false };
    phases[1] = (phase){ tempo.pause_low_s, 0, 0, 1, false };
    phases[2] = (phase){ tempo.lifting_s, 0, THEW_DEMAND_STEPS, 1, true };
    phases[3] = (phase){ tempo.pause_high_s, THEW_DEMAND_STEPS, THEW_DEMAND_STEPS, 1, false };
}

typedef struct {
    double time_s, fatigued, limit_s;
    bool failed, limited; // at most one
} set_run;

// Where on a stretch (0 to 1) load and fatigue together first exceed the muscle, on the chord; 2 if nowhere.
static double fails_at(double first, double last, double fatigued, double fatigued_last)
{
    double over_first = first + fatigued - 1, over_last = last + fatigued_last - 1;
    if (over_first > 0) return 0;
    return over_last > 0 ? over_first / (over_first - over_last) : 2;
}

// A stretch over which the load runs straight from `first` to `last`. Its mean stands for it: over a sixty-fourth of a phase the
// difference is far below what matters (1e-6 of the fatigued share over a set; tests/outside/fatigue_scipy.py).
static void stretch(thew_fatigue_rates rates, set_run *run, double first, double last, double seconds, bool lifts)
{
    double next = thew_fatigue_after(rates, run->fatigued, (first + last) / 2, seconds);
    double failure = lifts ? fails_at(first, last, run->fatigued, next) : 2;
    double limit = (run->limit_s - run->time_s) / seconds;
    run->failed = failure <= 1 && failure < limit;
    run->limited = !run->failed && limit <= 1;
    if (!run->failed && !run->limited) {
        run->fatigued = next;
        run->time_s += seconds;
        return;
    }
    double done = run->failed ? failure : limit;
    run->fatigued = thew_fatigue_after(rates, run->fatigued, first + (last - first) * done / 2, seconds * done);
    run->time_s += seconds * done;
}

static void run_phase(thew_fatigue_rates rates, set_run *run, const double *share, phase now)
{
    if (!(now.seconds > 0)) return;
    int toward = now.to > now.from ? 1 : now.to < now.from ? -1 : 0;
    int count = toward ? THEW_DEMAND_STEPS : 1;
    for (int i = 0; i < count && !run->failed && !run->limited; i++) {
        double first = share[now.from + i * toward] * now.weight, last = share[now.from + (i + 1) * toward] * now.weight;
        stretch(rates, run, first, last, now.seconds / count, now.lifts);
    }
}

double thew_fatigue_repetitions_s(thew_fatigue_rates rates, const double *share, thew_tempo tempo, bool starts_lifting,
                                  double *fatigued, double limit_s)
{
    check(rates);
    assert(share && tempo.lifting_s > 0 && tempo.lowering_s >= 0 && tempo.pause_low_s >= 0 && tempo.pause_high_s >= 0);
    assert(limit_s >= 0 && limit_s <= 1e9);
    phase phases[4];
    phases_of(tempo, phases);
    set_run run = { .fatigued = fatigued ? *fatigued : 0, .limit_s = limit_s };
    for (int i = starts_lifting ? 2 : 0; !run.failed && !run.limited; i = (i + 1) % 4)
        run_phase(rates, &run, share, phases[i]);
    if (fatigued) *fatigued = run.fatigued;
    return run.failed ? run.time_s : limit_s;
}
