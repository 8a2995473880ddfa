// endurance.c: see endurance.h.
//
// With q the fatigue that has arrived per unit of mean demand, in units of tau (q = T / tau without recovery):
//   a L q = 1 - L            failure: what is fatigued leaves less than the peak asks for
//   q = (1 - e^-z) / rho     z = rho T / tau
// Every function below solves these two for something else. rho appears only inside the two quotients of decay.h, so that rho = 0
// is a point like any other.
#include "endurance.h"

#include <assert.h>

#include "decay.h"
#include "fatigue.h"
#include "real.h"

// tau: row "mean of tau_D and tau_E" of fatigue_parameters.csv.
// clang-format off
static const double tau_s[THEW_JOINT_COUNT] = {
    [THEW_JOINT_SHOULDER] = 55.6, [THEW_JOINT_ELBOW] = 98.1,  [THEW_JOINT_TRUNK] = 122.2, [THEW_JOINT_HIP] = 96.9,
    [THEW_JOINT_KNEE] = 70.8,     [THEW_JOINT_ANKLE] = 169.4, [THEW_JOINT_GRIP] = 110.1,
};
// clang-format on

thew_endurance thew_endurance_default(thew_joint joint)
{
    assert(joint >= 0 && joint < THEW_JOINT_COUNT);
    thew_fatigue_rates rates = thew_fatigue_rates_of(joint);
    return (thew_endurance){ .tau_s = tau_s[joint], .rho = rates.recovery_per_s / rates.fatigue_per_s };
}

static void check(thew_endurance endurance, double mean_share)
{
    assert(endurance.tau_s > 0 && endurance.rho >= 0);
    assert(mean_share > 0 && mean_share <= 1);
    (void)endurance, (void)mean_share;
}

double thew_endurance_time_s(thew_endurance endurance, double load_share, double mean_share)
{
    check(endurance, mean_share);
    assert(load_share > 0);
    if (load_share >= 1) return 0;
    double q = (1 - load_share) / (mean_share * load_share);
    double y = endurance.rho * q;
    return y >= 1 ? __builtin_inf() : endurance.tau_s * q * thew_decay_delay(y);
}

// q after time_s. Infinite time is allowed: everything that recovery lets arrive.
static double arrived(thew_endurance endurance, double time_s)
{
    double t = time_s / endurance.tau_s, z = endurance.rho * t;
    return z > 100 ? 1 / endurance.rho : t * thew_decay_arrived(z); // e^-100 is far below the last digit
}

double thew_endurance_load_share(thew_endurance endurance, double time_s, double mean_share)
{
    check(endurance, mean_share);
    assert(time_s > 0);
    return 1 / (1 + mean_share * arrived(endurance, time_s));
}

// ln L = -ln(1 + a q), and dq / d ln tau = -t e^-z, hence a t e^-z L.
double thew_endurance_tau_lever(thew_endurance endurance, double time_s, double mean_share)
{
    double t = time_s / endurance.tau_s;
    return thew_endurance_load_share(endurance, time_s, mean_share) * mean_share * t * thew_exp(-endurance.rho * t);
}

// dT / dL = -tau / (a L^2 (1 - y)), divided by T / L.
double thew_endurance_slope(thew_endurance endurance, double load_share, double mean_share)
{
    check(endurance, mean_share);
    assert(load_share > 0 && load_share < 1);
    double y = endurance.rho * (1 - load_share) / (mean_share * load_share);
    return y >= 1 ? -__builtin_inf() : -1 / ((1 - load_share) * (1 - y) * thew_decay_delay(y));
}

// ---- when in a repetition a set can be seen failing ----

// The repetition that a moment lies in, and its lifting phase [from, to). All four are made from the count of repetitions alone, so
// that the three functions below agree to the last digit.
typedef struct {
    double last_to_s; // end of the lifting phase before, 0 in the first repetition
    double from_s, to_s;
    double next_from_s; // start of the lifting phase after
} lift;

static double lift_from_s(thew_tempo tempo, bool starts_lifting, double repetition)
{
    return repetition * thew_tempo_cycle_s(tempo) + (starts_lifting ? 0 : tempo.lowering_s + tempo.pause_low_s);
}

// Not beyond the repetition's own end, where rounding might put it.
static double lift_to_s(thew_tempo tempo, bool starts_lifting, double repetition)
{
    return thew_min(lift_from_s(tempo, starts_lifting, repetition) + tempo.lifting_s, (repetition + 1) * thew_tempo_cycle_s(tempo));
}

static lift lift_at(thew_tempo tempo, bool starts_lifting, double time_s)
{
    double cycle_s = thew_tempo_cycle_s(tempo);
    double repetition = (double)(long long)(time_s / cycle_s);
    if (repetition * cycle_s > time_s) repetition -= 1; // the quotient was rounded up to a whole number
    if ((repetition + 1) * cycle_s <= time_s) repetition += 1;
    return (lift){
        .last_to_s = repetition > 0 ? lift_to_s(tempo, starts_lifting, repetition - 1) : 0,
        .from_s = lift_from_s(tempo, starts_lifting, repetition),
        .to_s = lift_to_s(tempo, starts_lifting, repetition),
        .next_from_s = lift_from_s(tempo, starts_lifting, repetition + 1),
    };
}

// Failure can be seen at any time: in a hold; without a lifting phase there is no better rule; and no repetition can be counted at
// infinity, where sets that never fail are said to end.
static bool seen_always(thew_tempo tempo, double time_s)
{
    assert(tempo.lowering_s >= 0 && tempo.pause_low_s >= 0 && tempo.lifting_s >= 0 && tempo.pause_high_s >= 0);
    assert(time_s >= 0);
    return !(tempo.lifting_s > 0) || time_s >= 0x1p40 * tempo.lifting_s;
}

double thew_tempo_seen_failing_s(thew_tempo tempo, bool starts_lifting, double tired_s)
{
    if (seen_always(tempo, tired_s)) return tired_s;
    lift at = lift_at(tempo, starts_lifting, tired_s);
    if (tired_s < at.from_s) return at.from_s;
    return tired_s < at.to_s ? tired_s : at.next_from_s;
}

double thew_tempo_tired_before_s(thew_tempo tempo, bool starts_lifting, double seen_s)
{
    if (seen_always(tempo, seen_s)) return seen_s;
    lift at = lift_at(tempo, starts_lifting, seen_s);
    if (seen_s <= at.from_s) return at.last_to_s; // whoever tired since then is seen at from_s, which is not before seen_s
    return thew_min(seen_s, at.to_s);
}

double thew_tempo_tired_from_s(thew_tempo tempo, bool starts_lifting, double seen_s, double slack_s)
{
    assert(slack_s >= 0);
    if (seen_always(tempo, seen_s)) return seen_s;
    lift at = lift_at(tempo, starts_lifting, seen_s);
    if (seen_s >= at.to_s) return at.to_s; // noted late, or given up between two lifts
    return seen_s <= at.from_s + slack_s ? at.last_to_s : seen_s;
}
