// scene.h: one invented person with four exercises of twelve rungs each, and a diary of any length: what the benchmarks run on.
// Knows only the engine's own curve with noise: enough for speed and for agreement between two programs, no measure of the advice.
#ifndef THEW_BENCH_SCENE_H
#define THEW_BENCH_SCENE_H

#include <stdbool.h>
#include <stdint.h>

#include "engine/advice.h"
#include "engine/diary.h"
#include "engine/prior.h"
#include "engine/real.h"

enum { SCENE_TRACKS = 4, SCENE_RUNGS = 12, SCENE_SETS_MAX = 3200 };

typedef struct {
    thew_profile profile;
    thew_rung ladder[SCENE_TRACKS][SCENE_RUNGS]; // from the lightest
    double truth_ln[SCENE_TRACKS];
    thew_set set[SCENE_SETS_MAX];
    thew_checkin checkin[SCENE_SETS_MAX];
    int set_count, checkin_count;
    uint64_t seed;
} scene;

/// xorshift64* (memory): the same on every machine.
static inline double scene_unit(scene *s)
{
    s->seed ^= s->seed >> 12, s->seed ^= s->seed << 25, s->seed ^= s->seed >> 27;
    return (double)((s->seed * 2685821657736338717u) >> 11) * 0x1p-53;
}

static inline double scene_normal(scene *s)
{
    return thew_normal_quantile(.5 * 0x1p-53 + scene_unit(s) * (1 - 0x1p-52));
}

static inline void scene_add_track(scene *s, thew_joint joint, thew_kind kind)
{
    int task = thew_profile_add_task(&s->profile, thew_task_default(joint, kind));
    int t = thew_profile_add_track(&s->profile, task, THEW_BOTH, thew_prior_capacity_of_joint(THEW_CONDITION_MS, joint, .05));
    s->truth_ln[t] = s->profile.track[t].ln_mean + s->profile.track[t].ln_sd * .7 * scene_normal(s);
    double peak_share = .3 * thew_exp(s->profile.track[t].ln_mean);
    for (int r = 0; r < SCENE_RUNGS; r++, peak_share *= 1.1) // measured bands with a setting between each two: steps of 10 %
        s->ladder[t][r] =
            (thew_rung){ .peak_share = peak_share, .mean_share = .8, .ln_sd = r % 2 ? .05 : .04, .key = 1u + (unsigned)r };
}

/// What the person does with a rung on a day: mostly as strong as that, sometimes stopped for another reason or written down
/// wrongly.
static inline thew_set scene_do(scene *s, thew_day day, double day_effect, int track, int rung)
{
    const thew_task *task = &s->profile.task[s->profile.track[track].task];
    const thew_rung *r = &s->ladder[track][rung];
    double capacity_ln = s->truth_ln[track] + day_effect + .053 * scene_normal(s);
    double tired_s = thew_endurance_time_s(task->endurance, r->peak_share / thew_exp(capacity_ln), r->mean_share);
    double seen_s = tired_s > 1000 ? 1000 : thew_tempo_seen_failing_s(task->tempo, task->starts_lifting, tired_s);
    thew_set set = { day, track, *r, THEW_FAILURE, (double)(int)seen_s, -1 };
    if (seen_s >= task->window_to_s) {
        set.ended = THEW_COMPLETED;
        set.seconds = task->window_to_s;
    }
    double luck = scene_unit(s);
    if (luck < .02) {
        set.seconds = (double)(int)(1 + 89 * scene_unit(s)); // a wrong entry
    } else if (luck < .06) {
        set.ended = luck < .04 ? THEW_SYMPTOM : THEW_OTHER;
        set.seconds = (double)(int)(set.seconds * scene_unit(s));
    } else if (luck < .16) {
        set.ended = THEW_RESERVE;
        set.seconds = (double)(int)(.8 * set.seconds);
        set.reserve_s = (double)(int)(30 * scene_unit(s));
    }
    return set;
}

static inline thew_checkin scene_check_in(scene *s, thew_day day)
{
    thew_conditions c = {
        .has_heat = true,
        .heat_index_c = 15 + 15 * scene_unit(s),
        .has_fatigue = true,
        .fatigue = (double)(int)(8 * scene_unit(s)),
        .has_sleep = scene_unit(s) < .7,
        .sleep = (double)(int)(10 * scene_unit(s)),
        .has_readiness = scene_unit(s) < .3,
        .readiness = .08 * scene_normal(s),
    };
    return (thew_checkin){ day, c };
}

/// A few times a week, each exercise once or twice, on a rung near the one that would fail in mid-window; away now and then.
static inline void scene_make(scene *s, uint64_t seed, int set_count)
{
    *s = (scene){ .seed = seed };
    thew_profile_start(THEW_CONDITION_MS, &s->profile);
    scene_add_track(s, THEW_JOINT_SHOULDER, THEW_REPETITIONS);
    scene_add_track(s, THEW_JOINT_ELBOW, THEW_REPETITIONS);
    scene_add_track(s, THEW_JOINT_KNEE, THEW_REPETITIONS);
    scene_add_track(s, THEW_JOINT_KNEE, THEW_HOLD);
    thew_day day = 20000;
    while (s->set_count < set_count) {
        day += scene_unit(s) < .02 ? 28 : 2 + (int)(3 * scene_unit(s));
        double day_effect = .065 * scene_normal(s);
        s->checkin[s->checkin_count++] = scene_check_in(s, day);
        int sets_each = scene_unit(s) < .5 ? 1 : 2;
        for (int k = 0; k < SCENE_TRACKS * sets_each && s->set_count < set_count; k++) {
            int track = k % SCENE_TRACKS;
            double wanted = (s->truth_ln[track] + thew_log(.5) - thew_log(s->ladder[track][0].peak_share)) / thew_log(1.1);
            int rung = (int)thew_clamp(wanted + 1.5 * scene_normal(s) + .5, 0, SCENE_RUNGS - 1);
            s->set[s->set_count++] = scene_do(s, day, day_effect, track, rung);
        }
        for (int t = 0; t < SCENE_TRACKS; t++)
            s->truth_ln[t] += .001 + .012 * scene_normal(s);
    }
}

static inline thew_diary scene_diary(const scene *s, int set_count)
{
    thew_diary diary = { s->set, set_count, s->checkin, 0 };
    while (diary.checkin_count < s->checkin_count && s->checkin[diary.checkin_count].day <= s->set[set_count - 1].day)
        diary.checkin_count++;
    return diary;
}

#endif
