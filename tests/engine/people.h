// people.h: invented persons, sets and chance for the tests of the filter. Everything here is invented; the seed is the test's.
#ifndef THEW_TESTS_PEOPLE_H
#define THEW_TESTS_PEOPLE_H

#include "rows.h"

#include <math.h>

#include "engine/capacity.h"
#include "engine/real.h"

static inline double random_normal(uint64_t *seed)
{
    return thew_normal_quantile((random_unit(seed) * 0x1p53 + .5) * 0x1p-53);
}

static inline int random_below(uint64_t *seed, int count)
{
    return (int)(random_unit(seed) * count);
}

/// What chance adds to a set (noise.h).
static inline double random_noise(uint64_t *seed, thew_noise noise)
{
    double normal = noise.sd * random_normal(seed), far = -log((random_unit(seed) * 0x1p53 + .5) * 0x1p-53);
    return normal + noise.tail * (random_unit(seed) < .5 ? far : -far);
}

/// A prior in which nothing moves, varies or errs, but for normal noise: tests switch on what they are about.
static inline thew_capacity_prior prior_at_rest(double noise_sd)
{
    return (thew_capacity_prior){ .noise = { noise_sd, 0 }, .heat_from_c = 24, .away_after_days = 14 };
}

/// A hold whose tau is known.
static inline thew_task hold_of(thew_joint joint)
{
    thew_task task = thew_task_default(joint, THEW_HOLD);
    task.tau_ln_sd = 0;
    return task;
}

/// One task, one track.
static inline thew_profile alone(thew_capacity_prior prior, thew_task task, double ln_mean, double ln_sd)
{
    return (thew_profile){
        .prior = prior, .task_count = 1, .track_count = 1, .task = { task }, .track = { { 0, THEW_BOTH, ln_mean, ln_sd } }
    };
}

/// The rung on which a person of that ln capacity tires just after so many seconds (L from endurance.h, its own tests).
static inline thew_rung rung_reading(const thew_task *task, double capacity_ln, double seconds, double mean_share)
{
    return (thew_rung){ .peak_share = exp(capacity_ln) * thew_endurance_load_share(task->endurance, seconds, mean_share),
                        .mean_share = mean_share };
}

/// A hold to failure that reads exactly this.
static inline thew_set set_reading(const thew_profile *p, thew_day day, int track, double capacity_ln, double seconds)
{
    thew_rung rung = rung_reading(&p->task[p->track[track].task], capacity_ln, seconds, 1);
    return (thew_set){ .day = day, .track = track, .rung = rung, .ended = THEW_FAILURE, .seconds = seconds, .reserve_s = -1 };
}

/// The set that a person shows whose ln capacity in this set, noise and all, is v: the window closes at close_s; a moving set fails
/// while lifting; who fails in the first second of a lift (of a hold: of the set) is seen to fail at its end, since noticing takes
/// a moment. So times fall into the classes that evidence.h tells apart, and into no others.
static inline thew_set set_shown(const thew_profile *p, thew_day day, int track, thew_rung rung, double v, double close_s)
{
    const thew_task *task = &p->task[p->track[track].task];
    double tired_s = thew_endurance_time_s(task->endurance, rung.peak_share / exp(v), rung.mean_share), seen_s = close_s;
    if (tired_s < close_s) seen_s = thew_tempo_seen_failing_s(task->tempo, task->starts_lifting, tired_s);
    if (thew_tempo_cycle_s(task->tempo) > 0) {
        double since_s = thew_tempo_tired_from_s(task->tempo, task->starts_lifting, seen_s, 1);
        if (since_s < seen_s) seen_s = thew_tempo_seen_failing_s(task->tempo, task->starts_lifting, since_s) + 1;
    } else if (seen_s < 1) {
        seen_s = 1;
    }
    bool failed = tired_s < close_s && seen_s < close_s;
    return (thew_set){ .day = day,
                       .track = track,
                       .rung = rung,
                       .ended = failed ? THEW_FAILURE : THEW_COMPLETED,
                       .seconds = failed ? seen_s : close_s,
                       .reserve_s = -1 };
}

static inline thew_capacity started(const thew_profile *p)
{
    static thew_capacity c;
    memset(&c, 0xA5, sizeof c); // a field that is read before it is written shows
    assert_int_equal(thew_capacity_start(p, &c), THEW_OK);
    return c;
}

#endif
