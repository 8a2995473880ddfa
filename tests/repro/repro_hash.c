// repro_hash.c: see repro_hash.h. A new part of the engine gets a function here, and a line in thew_repro_hash.
#include "tests/repro/repro_hash.h"

#include <string.h>

#include "engine/advice.h"
#include "engine/fatigue.h"
#include "engine/grid.h"
#include "engine/heat.h"
#include "engine/smooth.h"
#include "tests/engine/real_hash.h"
#include "tests/repro/diaries.h"

// FNV-1a of Fowler, Noll and Vo: offset basis and prime for 64 bits (memory).
static const uint64_t start = 0xcbf29ce484222325u, prime = 0x100000001b3u;

static uint64_t with_bits(uint64_t hash, uint64_t bits)
{
    for (int byte = 0; byte < 8; byte++)
        hash = (hash ^ (bits >> 8 * byte & 0xff)) * prime;
    return hash;
}

static uint64_t with(uint64_t hash, double result)
{
    uint64_t bits;
    memcpy(&bits, &result, sizeof bits);
    return with_bits(hash, result == result ? bits : 0x7ff8000000000000u); // which NaN it is, hosts may choose
}

// Long chains of dependent steps: a last bit that differs anywhere has spread by the end.
static uint64_t with_fatigue(uint64_t hash)
{
    for (int joint = 0; joint < THEW_JOINT_COUNT; joint++) {
        thew_fatigue_rates rates = thew_fatigue_rates_of((thew_joint)joint);
        thew_fatigue_state state = { 0, 0 };
        for (int set = 1; set <= 8; set++) {
            state = thew_fatigue_run(rates, state, set / 9., 7. * set);
            state = thew_fatigue_run(rates, state, 0, 60. / set);
            hash = with(with(hash, state.active), state.fatigued);
            hash = with(hash, thew_fatigue_time_s(rates, set / 9., .05, 900));
        }
    }
    return hash;
}

static uint64_t with_odds(uint64_t hash, const thew_odds *o)
{
    const double all[] = { o->p_floor, o->p_early, o->p_window, o->p_beyond, o->p10_s, o->p50_s, o->p90_s };
    for (unsigned i = 0; i < sizeof all / sizeof all[0]; i++)
        hash = with(hash, all[i]);
    return hash;
}

static uint64_t with_belief(uint64_t hash, const thew_profile *profile, const thew_capacity *capacity)
{
    for (int i = 0; i < capacity->dim; i++) {
        hash = with(hash, capacity->mean[i]);
        for (int j = 0; j <= i; j++)
            hash = with(hash, capacity->covariance[i * THEW_STATE_MAX + j]);
    }
    for (int t = 0; t < profile->track_count; t++)
        hash = with(hash, capacity->lever[t]);
    return with(with(hash, capacity->jump_p), capacity->ln_evidence);
}

static uint64_t with_advice(uint64_t hash, const thew_reference_diary *person, const thew_capacity *capacity)
{
    const thew_set *last = &person->set[person->diary.set_count - 1];
    thew_history history = { true, last->rung.peak_share, last->rung.key, last->ended, last->seconds, 3, false, false };
    for (int t = 0; t < person->profile.track_count; t++) {
        thew_odds odds[THEW_DIARIES_RUNGS];
        thew_advice advice;
        thew_status status = thew_advise(&person->profile, capacity, t, person->rung[person->profile.track[t].task], THEW_DIARIES_RUNGS,
                                         capacity->day + 3, 0, &history, odds, &advice);
        hash = with_bits(with_bits(hash, (uint64_t)status), (uint64_t)advice.rung);
        for (int r = 0; r < THEW_DIARIES_RUNGS; r++)
            hash = with_odds(hash, &odds[r]);
    }
    return hash;
}

static uint64_t with_smoother(uint64_t hash, const thew_reference_diary *person)
{
    static _Alignas(16) char memory[8 << 20];
    static thew_day days[THEW_DIARIES_SETS + THEW_DIARIES_CHECKINS];
    static thew_smooth_at at[(THEW_DIARIES_SETS + THEW_DIARIES_CHECKINS) * THEW_TRACKS_MAX];
    thew_status status = thew_smooth(&person->profile, &person->diary, memory, sizeof memory, days, at);
    hash = with_bits(hash, (uint64_t)status);
    for (int i = 0; i < thew_smooth_day_count(&person->diary) * person->profile.track_count; i++)
        hash = with(with(with(with(hash, at[i].filtered.mean), at[i].filtered.sd), at[i].smoothed.mean), at[i].smoothed.sd);
    return hash;
}

// The first track's sets alone, by the grid.
static uint64_t with_grid(uint64_t hash, const thew_reference_diary *person)
{
    static double memory[THEW_GRID_K * (THEW_GRID_TAU * THEW_GRID_DAY + 8)];
    thew_profile alone = { .prior = person->profile.prior, .task_count = 1, .track_count = 1 };
    alone.task[0] = person->profile.task[0];
    alone.track[0] = person->profile.track[0];
    thew_grid grid;
    thew_grid_start(&alone, 1, memory, &grid);
    for (int s = 0; s < person->diary.set_count; s++)
        if (person->set[s].track == 0)
            hash = with_bits(hash, (uint64_t)thew_grid_record(&alone, &grid, &person->set[s]));
    thew_odds odds[THEW_DIARIES_RUNGS];
    thew_grid_odds(&alone, &grid, person->rung[0], THEW_DIARIES_RUNGS, true, odds);
    for (int r = 0; r < THEW_DIARIES_RUNGS; r++)
        hash = with_odds(hash, &odds[r]);
    thew_estimate k = thew_grid_capacity(&alone, &grid), tau = thew_grid_tau(&grid);
    return with(with(with(with(hash, k.mean), k.sd), tau.mean), tau.sd);
}

static uint64_t with_diaries(uint64_t hash)
{
    static thew_reference_diary person;
    static thew_capacity capacity;
    for (int index = 0; index < THEW_DIARIES_COUNT; index++) {
        thew_reference_diary_make(index, &person);
        hash = with_bits(hash, (uint64_t)thew_diary_play(&person.profile, &person.diary, THEW_DAY_MAX, &capacity));
        hash = with_belief(hash, &person.profile, &capacity);
        hash = with_advice(hash, &person, &capacity);
        hash = with_smoother(hash, &person);
        hash = with_grid(hash, &person);
    }
    return hash;
}

// Statics of one arm and one leg with weight and band, by sex and age.
static uint64_t with_demand(uint64_t hash)
{
    const thew_reading readings[] = { { 1.5, 25 }, { 2.2, 44 } };
    thew_band band;
    hash = with_bits(hash, (uint64_t)thew_band_fit(1, readings, 2, 0, &band, 0));
    for (int who = 0; who < 6; who++) {
        thew_body_model body = thew_body_build((thew_body){ (thew_sex)(who % 3), 25 + 9. * who, 1.55 + .06 * who, 52 + 7. * who });
        thew_movement curl = { .low = { .elbow = .2 },
                               .high = { .elbow = 2.2 },
                               .hold_point = THEW_POINT_HAND,
                               .anchor = { .from = THEW_POINT_HIP, .dx_h = .25, .dy_h = -.285 },
                               .effort = { { THEW_ELBOW_FLEXION, false } },
                               .effort_count = 1,
                               .legs = 1,
                               .hands = 1 };
        thew_resistance resistance = { .mass_kg = who, .band = who % 2 ? &band : 0, .strand = { .5, 1 } };
        thew_demand d;
        hash = with_bits(hash, (uint64_t)thew_demand_of(&curl, &body, &resistance, thew_tempo_default(), &d));
        hash = with(with(with(with(hash, d.peak_share), d.mean_share), d.sticking_s), d.ln_sd);
    }
    return hash;
}

static uint64_t with_heat(uint64_t hash)
{
    for (int humidity = 0; humidity <= 100; humidity += 5)
        for (int air = 15; air <= 45; air++)
            hash = with(hash, thew_heat_index_c(air, humidity));
    return hash;
}

uint64_t thew_repro_hash(void)
{
    uint64_t hash = start;
    hash = with_bits(hash, thew_real_hash());
    hash = with_fatigue(hash);
    hash = with_heat(hash);
    hash = with_demand(hash);
    hash = with_diaries(hash);
    return hash;
}
