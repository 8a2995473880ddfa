// diaries.c: see diaries.h. Whole-number arithmetic and + - * / on doubles only, so that it is the same everywhere.
#include "tests/repro/diaries.h"

#define FIRST_DAY 20454 // 2026-01-01

// splitmix64 (Steele, Lea & Flood 2014): state in, number out.
static uint64_t next(uint64_t *state)
{
    uint64_t z = *state += 0x9e3779b97f4a7c15u;
    z = (z ^ z >> 30) * 0xbf58476d1ce4e5b9u;
    z = (z ^ z >> 27) * 0x94d049bb133111ebu;
    return z ^ z >> 31;
}

static double uniform(uint64_t *state) { return (double)(next(state) >> 11) / 9007199254740992.0; }
static int below(uint64_t *state, int count) { return (int)(next(state) % (uint64_t)count); }

static void make_profile(int index, thew_reference_diary *out)
{
    static const thew_joint joint[] = { THEW_JOINT_SHOULDER, THEW_JOINT_ELBOW, THEW_JOINT_KNEE, THEW_JOINT_HIP, THEW_JOINT_ANKLE };
    thew_condition condition = index % 3 ? THEW_CONDITION_MS : THEW_CONDITION_NONE;
    thew_profile_start(condition, &out->profile);
    for (int e = 0; e < 2 + index % 4; e++) {
        thew_kind kind = e == 3 ? THEW_HOLD : THEW_REPETITIONS;
        thew_task made = thew_task_default(joint[e], kind);
        made.starts_lifting = e == 1;
        int task = thew_profile_add_task(&out->profile, made);
        thew_estimate prior = thew_prior_capacity_of_joint(condition, joint[e], 0);
        for (thew_side side = e == 2 ? THEW_LEFT : THEW_BOTH; side <= (e == 2 ? THEW_RIGHT : THEW_BOTH); side++)
            if (thew_profile_add_track(&out->profile, task, side, prior) < 0)
                __builtin_trap();
    }
}

static void make_ladders(thew_reference_diary *out, uint64_t *state)
{
    for (int e = 0; e < out->profile.task_count; e++) {
        double demand = .15 + .1 * uniform(state);
        for (int r = 0; r < THEW_DIARIES_RUNGS; r++) {
            out->rung[e][r] = (thew_rung){ demand, .6 + .3 * uniform(state), r % 4 ? 0 : .08, (unsigned)(100 * e + r), 0, r % 3 ? 0 : .5, r % 3 ? 0 : 1 };
            demand *= 1.08 + .1 * uniform(state);
        }
    }
}

static thew_set make_set(const thew_reference_diary *out, uint64_t *state, thew_day day)
{
    static const thew_ended often[] = { THEW_FAILURE, THEW_FAILURE, THEW_FAILURE, THEW_FAILURE, THEW_COMPLETED,
                                        THEW_COMPLETED, THEW_COMPLETED, THEW_RESERVE, THEW_SYMPTOM, THEW_OTHER };
    int track = below(state, out->profile.track_count);
    thew_set set = { .day = day, .track = track, .rung = out->rung[out->profile.track[track].task][below(state, THEW_DIARIES_RUNGS)] };
    set.ended = often[below(state, 10)];
    set.seconds = set.ended == THEW_COMPLETED ? 90 : 15 + below(state, 75);
    set.reserve_s = set.ended == THEW_RESERVE && below(state, 2) ? 5 + below(state, 40) : -1;
    return set;
}

static thew_checkin make_checkin(uint64_t *state, thew_day day)
{
    thew_conditions c = { .has_heat = below(state, 2), .has_fatigue = below(state, 3) > 0, .has_sleep = below(state, 2), .has_readiness = below(state, 4) == 0 };
    c.heat_index_c = 18 + 16 * uniform(state);
    c.fatigue = below(state, 11);
    c.sleep = below(state, 11);
    c.readiness = .4 * (uniform(state) - .5);
    return (thew_checkin){ day, c };
}

void thew_reference_diary_make(int index, thew_reference_diary *out)
{
    uint64_t state = 2026u + (uint64_t)index;
    *out = (thew_reference_diary){ 0 };
    make_profile(index, out);
    make_ladders(out, &state);
    thew_day day = FIRST_DAY;
    int sets = 0, checkins = 0;
    while (sets < THEW_DIARIES_SETS) {
        day += below(&state, 20) ? 1 + below(&state, 5) : 25; // now and then a long break
        if (below(&state, 3) && checkins < THEW_DIARIES_CHECKINS)
            out->checkin[checkins++] = make_checkin(&state, day);
        for (int s = 1 + below(&state, 5); s > 0 && sets < THEW_DIARIES_SETS; s--)
            out->set[sets++] = make_set(out, &state, day);
    }
    out->diary = (thew_diary){ out->set, sets, out->checkin, checkins };
}
