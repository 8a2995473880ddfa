// ladders.h: invented people who own ladders of rungs, keep diaries and mostly follow the advice: what the properties of advice are
// tried on. Nothing here is data; the seed is the test's.
#ifndef THEW_TESTS_LADDERS_H
#define THEW_TESTS_LADDERS_H

#include "rows.h"

#include "engine/advice.h"
#include "engine/prior.h"
#include "engine/real.h"

enum { RUNGS_MAX = 16 };

typedef struct {
    thew_profile profile;
    double truth_ln[THEW_TRACKS_MAX];
    thew_rung ladder[THEW_TRACKS_MAX][RUNGS_MAX]; // from the lightest
    int rung_count[THEW_TRACKS_MAX];
    thew_capacity capacity;
    thew_history history[THEW_TRACKS_MAX];
    thew_day day, last_day[THEW_TRACKS_MAX];
} trainee;

static inline int chance_below(uint64_t *seed, int count)
{
    return (int)(random_unit(seed) * count);
}

static inline double chance_normal(uint64_t *seed)
{
    return thew_normal_quantile((random_unit(seed) * 0x1p53 + .5) * 0x1p-53);
}

static inline bool chance(uint64_t *seed, double p)
{
    return random_unit(seed) < p;
}

/// A ladder about `middle`: steps of 4-10 % (fine) or 12-45 % (coarse).
///   alike   every rung is known as well as every other, and loads alike; otherwise measured, unmeasured and mixed ladders come up
static inline void draw_ladder(uint64_t *seed, double middle, bool alike, thew_rung *rung, int *count)
{
    double step = chance(seed, .5) ? random_between(seed, 1.04, 1.10) : random_between(seed, 1.12, 1.45);
    double mean_share = random_between(seed, .55, 1), demand = middle;
    int known = chance_below(seed, 3); // by default, measured, some not measured
    *count = 3 + chance_below(seed, RUNGS_MAX - 2);
    for (int i = 0; i < *count / 2; i++)
        demand /= step;
    for (int i = 0; i < *count; i++, demand *= step) {
        rung[i] = (thew_rung){ .peak_share = demand, .mean_share = mean_share, .key = 100u + (unsigned)i };
        if (alike) continue;
        rung[i].mean_share = thew_min(1, mean_share * random_between(seed, .97, 1.03));
        rung[i].ln_sd = known == 0 ? 0 : known == 1 ? random_between(seed, .02, .06) : chance(seed, .5) ? .2 : .04;
    }
}

static inline void draw_trainee(uint64_t *seed, bool alike, trainee *p)
{
    thew_condition condition = chance(seed, .7) ? THEW_CONDITION_MS : THEW_CONDITION_NONE;
    memset(p, 0, sizeof *p);
    thew_profile_start(condition, &p->profile);
    double common = chance_normal(seed);
    for (int count = 1 + chance_below(seed, 4); count > 0; count--) {
        thew_joint joint = (thew_joint)chance_below(seed, THEW_JOINT_COUNT);
        thew_task task = thew_task_default(joint, chance(seed, .3) ? THEW_HOLD : THEW_REPETITIONS);
        task.starts_lifting = chance(seed, .3);
        thew_estimate prior = thew_prior_capacity_of_joint(condition, joint, .05);
        int t = thew_profile_add_track(&p->profile, thew_profile_add_task(&p->profile, task), THEW_BOTH, prior);
        p->truth_ln[t] = prior.mean + prior.sd * .7 * (common + chance_normal(seed));
        draw_ladder(seed, .5 * thew_exp(prior.mean + .2 * chance_normal(seed)), alike, p->ladder[t], &p->rung_count[t]);
    }
    p->day = 20000;
    assert_int_equal(thew_capacity_start(&p->profile, &p->capacity), THEW_OK);
}

static inline const thew_task *task_of(const trainee *p, int track)
{
    return &p->profile.task[p->profile.track[track].task];
}

/// What the person does on a rung: as strong as that day, or stopped for another reason, or written down wrongly.
static inline thew_set draw_set(uint64_t *seed, const trainee *p, int track, int rung, double day_effect)
{
    const thew_task *task = task_of(p, track);
    const thew_rung *r = &p->ladder[track][rung];
    double capacity_ln = p->truth_ln[track] + day_effect + .053 * chance_normal(seed);
    double tired_s = thew_endurance_time_s(task->endurance, r->peak_share / thew_exp(capacity_ln), r->mean_share);
    double seen_s = tired_s > 1000 ? 1000 : thew_tempo_seen_failing_s(task->tempo, task->starts_lifting, tired_s);
    bool completed = seen_s >= task->window_to_s;
    thew_set set = { .day = p->day,
                     .track = track,
                     .rung = *r,
                     .ended = completed ? THEW_COMPLETED : THEW_FAILURE,
                     .seconds = completed ? task->window_to_s : (double)(int)seen_s,
                     .reserve_s = -1 };
    double luck = random_unit(seed);
    if (luck < .03) {
        set.ended = THEW_FAILURE;
        set.seconds = random_between(seed, 1, 90);
    } else if (luck < .13) {
        set.ended = luck < .08 ? THEW_OTHER : THEW_SYMPTOM;
        set.seconds *= random_unit(seed);
    } else if (luck < .23) {
        set.ended = THEW_RESERVE;
        set.seconds *= .8;
        set.reserve_s = luck < .18 ? -1 : random_between(seed, 0, 40);
    }
    return set;
}

static inline void take_set(trainee *p, thew_set set)
{
    assert_true(thew_capacity_record(&p->profile, &p->capacity, &set) >= 0);
    p->last_day[set.track] = set.day;
    p->history[set.track] = (thew_history){ .has_last = true,
                                            .last_peak_share = set.rung.peak_share,
                                            .last_key = set.rung.key,
                                            .last_ended = set.ended,
                                            .last_seconds = set.seconds,
                                            .symptom = set.ended == THEW_SYMPTOM };
}

/// A set of that ending on the person's own day.
static inline void take(trainee *p, int track, int rung, thew_ended ended, double seconds)
{
    take_set(p, (thew_set){ p->day, track, p->ladder[track][rung], ended, seconds, -1 });
}

static inline thew_history history_on(const trainee *p, int track, thew_day day)
{
    thew_history history = p->history[track];
    if (history.has_last) history.days_since_last = day - p->last_day[track];
    return history;
}

/// Advice on a track so many days after the person's own; odds [rung_count] or NULL.
static inline thew_advice advice_after(const trainee *p, int track, int days, thew_odds *odds)
{
    thew_advice advice;
    thew_history history = history_on(p, track, p->day + days);
    thew_status status = thew_advise(&p->profile, &p->capacity, track, p->ladder[track], p->rung_count[track], p->day + days, NULL,
                                     &history, odds, &advice);
    assert_true(status >= 0);
    return advice;
}

/// Sessions of all exercises, mostly as advised, with a break now and then.
static inline void train(uint64_t *seed, trainee *p, int sessions)
{
    for (int s = 0; s < sessions; s++) {
        p->day += chance(seed, .05) ? 25 : 1 + chance_below(seed, 4);
        double day_effect = .06 * chance_normal(seed);
        for (int t = 0; t < p->profile.track_count; t++) {
            int rung = chance(seed, .15) ? chance_below(seed, p->rung_count[t]) : advice_after(p, t, 0, NULL).rung;
            take_set(p, draw_set(seed, p, t, rung, day_effect));
        }
    }
}

#endif
