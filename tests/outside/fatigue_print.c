// fatigue_print.c: prints what the fatigue model says about a list of loads, joints and schedules, with all that another program
// needs to compute the same (fatigue_scipy.py). One line a case: kind, a name, F, R, r, then
//   time         load, tolerance, limit_s                                         ->  seconds
//   run          load:seconds;load:seconds;...                                    ->  active, fatigued, at its end
//   after        load:seconds;...                                                 ->  fatigued
//   curve        load, mean share                                                 ->  seconds, by the closed form
//   repetitions  lowering:pause:lifting:pause, 1 if lifting first, share:share:..., fatigued  ->  seconds, fatigued
#include <stdio.h>

#include "engine/endurance.h"
#include "engine/fatigue.h"
#include "engine/real.h"

#define EACH(i, list) for (size_t i = 0; (i) < sizeof(list) / sizeof *(list); (i)++)
#define EACH_JOINT(joint) for (thew_joint joint = 0; (joint) < THEW_JOINT_COUNT; (joint)++)

// clang-format off
static const char *const joint_name[THEW_JOINT_COUNT] = {
    [THEW_JOINT_SHOULDER] = "shoulder", [THEW_JOINT_ELBOW] = "elbow", [THEW_JOINT_TRUNK] = "trunk", [THEW_JOINT_HIP] = "hip",
    [THEW_JOINT_KNEE] = "knee",         [THEW_JOINT_ANKLE] = "ankle", [THEW_JOINT_GRIP] = "grip",
};
// clang-format on

typedef struct {
    double load, seconds;
} part;

// Work and rest in turn, failure and work past it, a load that recovery bears, short bouts at the gain's own pace.
#define PARTS 8
// clang-format off
static const part schedule[][PARTS] = {
    { { .5, 30 }, { 0, 20 }, { .7, 20 }, { 0, 60 }, { .3, 100 } },
    { { .9, 60 }, { .9, 30 }, { 0, 120 }, { .6, 40 } },
    { { .05, 200 }, { 1.1, 10 }, { .05, 50 }, { 0, 5 } },
    { { .8, .3 }, { 0, .2 }, { .8, .3 }, { 0, .2 }, { .4, .15 }, { .9, 1.7 }, { .1, .33 }, { 0, 2.5 } },
};
// clang-format on

static void begin(const char *kind, const char *name, thew_fatigue_rates rates)
{
    printf("%s,%s,%.17g,%.17g,%.17g", kind, name, rates.fatigue_per_s, rates.recovery_per_s, rates.rest_multiplier);
}

static void print_times(void)
{
    static const double loads[] = { .12, .25, .4, .55, .7, .85, .95, 1.1 }, tolerances[] = { .01, .1 };
    EACH_JOINT(joint) EACH(i, loads) EACH(k, tolerances)
    {
        thew_fatigue_rates rates = thew_fatigue_rates_of(joint);
        begin("time", joint_name[joint], rates);
        printf(",%.17g,%.17g,%.17g,%.17g\n", loads[i], tolerances[k], 900.,
               thew_fatigue_time_s(rates, loads[i], tolerances[k], 900));
    }
}

// Every beginning of every schedule is a case, so that the way is checked, not only its end.
static void print_schedules(void)
{
    EACH_JOINT(joint) EACH(i, schedule)
    {
        thew_fatigue_rates rates = thew_fatigue_rates_of(joint);
        thew_fatigue_state full = { 0, 0 };
        double limit = 0;
        char parts[512] = "";
        int length = 0;
        for (int k = 0; k < PARTS && schedule[i][k].seconds > 0; k++) {
            part p = schedule[i][k];
            length += snprintf(parts + length, sizeof parts - (size_t)length, "%s%.17g:%.17g", k ? ";" : "", p.load, p.seconds);
            full = thew_fatigue_run(rates, full, p.load, p.seconds);
            limit = thew_fatigue_after(rates, limit, p.load, p.seconds);
            begin("run", joint_name[joint], rates);
            printf(",%s,%.17g,%.17g\n", parts, full.active, full.fatigued);
            begin("after", joint_name[joint], rates);
            printf(",%s,%.17g\n", parts, limit);
        }
    }
}

static void print_curves(void)
{
    static const double loads[] = { .15, .3, .5, .7, .9 }, mean_shares[] = { .6, .8, 1 };
    EACH_JOINT(joint) EACH(i, loads) EACH(k, mean_shares)
    {
        thew_fatigue_rates rates = thew_fatigue_rates_of(joint);
        thew_endurance endurance = { 1 / rates.fatigue_per_s, rates.recovery_per_s / rates.fatigue_per_s };
        begin("curve", joint_name[joint], rates);
        printf(",%.17g,%.17g,%.17g\n", loads[i], mean_shares[k], thew_endurance_time_s(endurance, loads[i], mean_shares[k]));
    }
}

// A curl, a raise (nothing at the bottom: its pause there is rest), a squat; degrees at both ends of the lift.
static void print_repetitions(void)
{
    // clang-format off
    static const struct {
        const char *name;
        thew_joint joint;
        double from_deg, to_deg;
    } lift[] = {
        { "curl",  THEW_JOINT_ELBOW,    10, 140 },
        { "raise", THEW_JOINT_SHOULDER, 0,  90  },
        { "squat", THEW_JOINT_KNEE,     90, 15  },
    };
    // clang-format on
    // clang-format off
    static const struct {
        thew_tempo tempo;
        double peak, fatigued;
    } set[] = { { { 7, 1, 7, 1 }, .6, 0 }, { { 4, 2, 3, .5 }, .7, .12 }, { { 7, 1, 7, 1 }, .75, .5 } };
    // clang-format on
    EACH(i, lift) EACH(k, set) for (int starts = 0; starts < 2; starts++)
    {
        thew_fatigue_rates rates = thew_fatigue_rates_of(lift[i].joint);
        thew_tempo t = set[k].tempo;
        double share[THEW_DEMAND_STEPS + 1], fatigued = set[k].fatigued;
        begin("repetitions", lift[i].name, rates);
        printf(",%.17g:%.17g:%.17g:%.17g,%d,", t.lowering_s, t.pause_low_s, t.lifting_s, t.pause_high_s, starts);
        for (int s = 0; s <= THEW_DEMAND_STEPS; s++) {
            double degrees = lift[i].from_deg + (lift[i].to_deg - lift[i].from_deg) * s / THEW_DEMAND_STEPS;
            share[s] = set[k].peak * thew_sin(degrees * THEW_PI / 180);
            printf("%s%.17g", s ? ":" : "", share[s]);
        }
        double seconds = thew_fatigue_repetitions_s(rates, share, t, starts, &fatigued, 900);
        printf(",%.17g,%.17g,%.17g\n", set[k].fatigued, seconds, fatigued);
    }
}

int main(void)
{
    print_times();
    print_schedules();
    print_curves();
    print_repetitions();
    return 0;
}
