// simulate.c: see simulate.h. Row numbers (E.., M.., N..) are those of tests/reference/effects.csv, ms_strength.csv,
// strength_norms.csv.
#include "bench/simulate.h"

#include <assert.h>

#include "engine/heat.h"
#include "engine/real.h"
#include "engine/strength.h"

#define HEAT_FROM_C 24.0    // M09: from here on rooms matter to who is sensitive
#define LASTS_LIMIT_S 400.0 // longer is as good as for ever
#define DAYS_IN_YEAR 365.2425

// --- Chance ----------------------------------------------------------------------------------------------------------------------

static uint64_t splitmix(uint64_t *x)
{
    uint64_t z = (*x += 0x9E3779B97F4A7C15u);
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
}

sim_random sim_random_make(uint64_t seed, uint64_t stream)
{
    uint64_t x = splitmix(&seed) ^ stream;
    sim_random random;
    for (int i = 0; i < 4; i++)
        random.s[i] = splitmix(&x);
    return random;
}

uint64_t sim_stream_of(const char *name)
{
    uint64_t hash = 0xCBF29CE484222325u;
    for (const char *c = name; *c; c++)
        hash = (hash ^ (unsigned char)*c) * 0x100000001B3u;
    return hash;
}

static uint64_t rotated(uint64_t x, int left)
{
    return x << left | x >> (64 - left);
}

uint64_t sim_next(sim_random *random)
{
    uint64_t *s = random->s, result = rotated(s[1] * 5, 7) * 9, t = s[1] << 17;
    s[2] ^= s[0];
    s[3] ^= s[1];
    s[1] ^= s[2];
    s[0] ^= s[3];
    s[2] ^= t;
    s[3] = rotated(s[3], 45);
    return result;
}

double sim_unit(sim_random *random)
{
    return (double)(sim_next(random) >> 11) * 0x1p-53;
}

double sim_between(sim_random *random, double from, double to)
{
    return from + (to - from) * sim_unit(random);
}

double sim_normal(sim_random *random, double mean, double sd)
{
    return mean + sd * thew_normal_quantile(0x1p-54 + sim_unit(random) * (1 - 0x1p-53));
}

bool sim_chance(sim_random *random, double p)
{
    return sim_unit(random) < p;
}

int sim_pick(sim_random *random, int count)
{
    assert(count >= 1);
    int pick = (int)(sim_unit(random) * count);
    return pick < count ? pick : count - 1;
}

static double log_normal(sim_random *random, double median, double ln_sd)
{
    return median * thew_exp(sim_normal(random, 0, ln_sd));
}

static double round_to(double x, double step)
{
    double steps = x / step + .5;
    return (double)(long)(steps < 0 ? steps - 1 : steps) * step;
}

// --- Weather ---------------------------------------------------------------------------------------------------------------------

// All of the weather: judgement, for a temperate northern place.
static const double year_mean_c = 14, year_swing_c = 11, wave_c = 8, weather_sd_c = 2.5, weather_stays = .8;
static const double heated_c = 20.5, follows_from_c = 18, follows_share = .5, cooled_c = 24.5;
static const int hottest_day_of_year = 200;

sim_weather sim_weather_start(uint64_t seed)
{
    return (sim_weather){ .random = sim_random_make(seed, sim_stream_of("weather")),
                          .humidity_percent = 55,
                          .afternoon_c = year_mean_c };
}

void sim_weather_next(sim_weather *weather, thew_day day, bool heat_wave)
{
    double phase = 2 * THEW_PI * ((double)day / DAYS_IN_YEAR - hottest_day_of_year / DAYS_IN_YEAR); // day 0 is a first of January
    double fresh = thew_sqrt(1 - weather_stays * weather_stays);
    weather->departure_c = weather_stays * weather->departure_c + sim_normal(&weather->random, 0, weather_sd_c * fresh);
    weather->afternoon_c = year_mean_c + year_swing_c * thew_cos(phase) + weather->departure_c + (heat_wave ? wave_c : 0);
    weather->humidity_percent = thew_clamp(.7 * weather->humidity_percent + .3 * sim_normal(&weather->random, 52, 15), 25, 90);
}

sim_room sim_weather_room(const sim_weather *weather, bool cooled)
{
    double room_c = heated_c + follows_share * thew_max(weather->afternoon_c - follows_from_c, 0);
    return (sim_room){ cooled ? thew_min(room_c, cooled_c) : room_c, weather->humidity_percent };
}

// --- Bands and scales ------------------------------------------------------------------------------------------------------------

thew_band sim_band_make(sim_random *random, double rest_length_m, double force_n)
{
    // Natural rubber's proportion of the two coefficients (band_force.csv, fit to Treloar 1944), a little different in each; the
    // curve itself misses by 2.8 % RMS (the same).
    double c10 = log_normal(random, .1049, .15), c01 = .1072;
    thew_band band = { .rest_length_m = rest_length_m, .a0c10_n = c10, .a0c01_n = c01 };
    double scale = log_normal(random, force_n, .028) / thew_band_force_n(&band, 2);
    band.a0c10_n *= scale;
    band.a0c01_n *= scale;
    return band;
}

// 5-12 % over the first 500 stretches, most of it early (Simoneau 2001, memory). A set here is some five stretches.
thew_band sim_band_worn(thew_band band, double sets)
{
    double left = 1 - .09 * (1 - thew_exp(-5 * sets / 200));
    band.a0c10_n *= left;
    band.a0c01_n *= left;
    return band;
}

// Gain: judgement.
sim_scale sim_scale_make(sim_random *random)
{
    return (sim_scale){ sim_normal(random, 1, .02) };
}

double sim_scale_kgf(sim_scale scale, sim_random *random, const thew_band *band, double length_m)
{
    double kgf = thew_band_force_n(band, length_m / band->rest_length_m) / 9.80665;
    // .3-.5 kgf is common for such scales (common practice, no source); readings here are taken with care.
    return thew_max(round_to(scale.gain * kgf + sim_normal(random, 0, .15), .1), .1);
}

// --- A person --------------------------------------------------------------------------------------------------------------------

typedef enum { LEGS, TRUNK, ARMS, REGIONS } region;

static region region_of(thew_action action)
{
    switch (thew_action_joint(action)) {
    case THEW_JOINT_HIP:
    case THEW_JOINT_KNEE:
    case THEW_JOINT_ANKLE:
        return LEGS;
    case THEW_JOINT_TRUNK:
        return TRUNK;
    default:
        return ARMS;
    }
}

// Strength between healthy people of one sex, age and size: CV .20-.30 (N46), here .23 in all, shared out by judgement.
static const double person_ln_sd = .16, region_ln_sd = .08, action_ln_sd = .12, knack_ln_sd = .07;
// Sides: healthy people's differ by 9 % (M08, controls); with the condition 20-30 % in the legs (M08, M11, M12), not all of them.
static const double side_ln_sd = .08, side_ms_ln_sd = .12;
// A judgement: the norms are of a few dozen people each, and several are from memory (strength.c).
static const double norm_ln_sd = .10;
// How the catalogue's posture is met, each implement in each setting: chairs, anchors, grips (judgement).
static const double met_ln_sd = .05, tilt_sd = .10;

// The deficit where the condition struck hardest, in ln: M35-M37 (memory). Less means less of everything.
static double deficit_ln(thew_action action)
{
    switch (action) {
    case THEW_KNEE_EXTENSION:
        return -.36;
    case THEW_KNEE_FLEXION:
    case THEW_HIP_FLEXION:
    case THEW_ANKLE_DORSIFLEXION:
        return -.51;
    default:
        return region_of(action) == LEGS ? -.40 : region_of(action) == TRUNK ? -.25 : -.22; // hip, ankle and trunk: judgement
    }
}

sim_world sim_world_make(uint64_t seed)
{
    sim_random random = sim_random_make(seed, sim_stream_of("world"));
    sim_world world;
    for (int a = 0; a < THEW_ACTION_COUNT; a++)
        world.norm_ln[a] = sim_normal(&random, 0, norm_ln_sd);
    return world;
}

static void draw_strength(const sim_world *world, sim_wish wish, sim_random *random, sim_person *p)
{
    double of_region[REGIONS], person = wish.stronger_ln + sim_normal(random, 0, person_ln_sd);
    for (int r = 0; r < REGIONS; r++)
        of_region[r] = sim_normal(random, 0, region_ln_sd);
    for (int a = 0; a < THEW_ACTION_COUNT; a++) {
        thew_action action = (thew_action)a;
        region r = region_of(action);
        double own = world->norm_ln[a] + person + of_region[r] + sim_normal(random, 0, action_ln_sd);
        if (wish.ms) own += deficit_ln(action) * thew_clamp(wish.severity * log_normal(random, 1, .25), 0, 1.3);
        for (int side = 0; side < SIM_SIDES; side++) {
            double of_side = r == TRUNK ? 0 : sim_normal(random, 0, wish.ms ? side_ms_ln_sd : side_ln_sd);
            bool weaker = r != TRUNK &&
                          (wish.weaker_side == THEW_LEFT ? side == SIM_LEFT : wish.weaker_side == THEW_RIGHT && side == SIM_RIGHT);
            p->strength_ln[a][side] = own + of_side + (weaker ? thew_log(1 - wish.weaker_by) : 0);
        }
        if (r == TRUNK) p->strength_ln[a][SIM_RIGHT] = p->strength_ln[a][SIM_LEFT];
        p->tilt[a] = sim_normal(random, 0, tilt_sd);
    }
}

// SD of ln time between people .35-.50 (E29, E30, E33), part of it the person, part the muscle. With the condition muscles tire
// faster even where they are not weak (M02, no number: judgement).
static void draw_fatigability(sim_wish wish, sim_random *random, sim_person *p)
{
    double person = sim_normal(random, wish.ms ? .08 : 0, .28);
    for (int a = 0; a < THEW_ACTION_COUNT; a++) {
        p->rates[a] = thew_fatigue_rates_of(thew_action_joint((thew_action)a));
        p->rates[a].fatigue_per_s *= thew_exp(person + sim_normal(random, 0, .22));
        p->rates[a].recovery_per_s *= log_normal(random, 1, .20);
    }
}

static void draw_training(sim_wish wish, sim_random *random, sim_person *p)
{
    // 15.7 % in 12 weeks twice a week with several sets (E56), 6-30 % in 8 weeks (E58); single sets bring less (E55). The most, and
    // the share per set: judgement.
    p->gain_max_ln = thew_max(sim_normal(random, .22, .08), .04);
    p->gain_share = log_normal(random, .03, .4);
    // Grip falls by 4 N a year in MS (M25), some 1.5 %; others 12-15 % a decade from fifty on (N50).
    p->course_per_day = -(wish.ms ? .015 + .02 * wish.severity * sim_unit(random) : .012) / DAYS_IN_YEAR;
    // Loss right after: judgement, with the time of E46 (24-48 h).
    p->sore_depth = log_normal(random, .10, .4);
    p->sore_days = log_normal(random, 1, .3);
    // The second visit is 10 % longer for holds (E19), first to stable maximum takes 12-22 % (E27, E28): between the two, in ln k.
    p->learning_ln = -log_normal(random, .05, .4);
}

// One test's error in MS 4.1-7.1 % against 3.3-5.2 % (M24), CV of time to failure 14.9 and 9.3 % (E14, E22). The parts: judgement.
static void draw_days(sim_wish wish, sim_random *random, sim_person *p)
{
    p->day_sd = wish.ms ? log_normal(random, .042, .35) : log_normal(random, .029, .3);
    p->own_day_sd = wish.ms ? .024 : .018;
    p->set_sd = log_normal(random, .026, .2);
    p->fatigability_day_sd = wish.ms ? .07 : .05;
    // No published slope of strength on heat. 58-70 % are sensitive (E70-E72); how much: judgement.
    p->heat_per_c = wish.heat_sensitive ? -log_normal(random, .014, .5) : -.001;
    p->fatigue_usual = wish.ms ? thew_clamp(sim_normal(random, 4.5, 1.5), 1, 8) : thew_clamp(sim_normal(random, 2, 1), 0, 5);
    p->sleep_usual = thew_clamp(sim_normal(random, 6.5, 1.2), 3, 9);
    p->fatigue_per_point = -log_normal(random, .008, .5); // both: judgement
    p->sleep_per_point = log_normal(random, .004, .5);
}

// All judgement but the bias of the reserve: felt .95 repetitions fewer than there are (E42), of repetitions far shorter than
// these.
static void draw_writing(sim_wish wish, sim_random *random, sim_person *p)
{
    p->delay_s = log_normal(random, 1.2, .3);
    p->rounding_s = wish.rounding_s > 0 ? wish.rounding_s : 1;
    double drawn = thew_min(log_normal(random, .010, .7), .05);
    p->wrong_entry_p = wish.wrong_entry_p > 0 ? wish.wrong_entry_p : drawn;
    p->symptom_p = wish.ms ? .003 : .0008;
    p->other_p = .008;
    p->reserve_bias_s = sim_normal(random, 6, 4);
    p->reserve_sd_s = log_normal(random, 8, .3);
}

sim_person sim_person_make(const sim_world *world, sim_wish wish, uint64_t seed, uint64_t stream)
{
    assert(wish.body.height_m > 0 && wish.body.mass_kg > 0 && wish.body.age_y > 0 && wish.body.sex != THEW_SEX_UNKNOWN);
    sim_random random = sim_random_make(seed, stream);
    sim_person p = {
        .body = thew_body_build(wish.body), .ms = wish.ms, .steady_events = wish.steady_events, .seed = sim_next(&random)
    };
    draw_strength(world, wish, &random, &p);
    draw_fatigability(wish, &random, &p);
    draw_training(wish, &random, &p);
    draw_days(wish, &random, &p);
    draw_writing(wish, &random, &p);
    return p;
}

// --- Days ------------------------------------------------------------------------------------------------------------------------

sim_state sim_state_start(const sim_person *person, thew_day day)
{
    sim_state state = { .random = sim_random_make(person->seed, 1),
                        .slips = sim_random_make(person->seed, 2),
                        .day = day - 1,
                        .relapse = THEW_NO_DAY,
                        .infection = THEW_NO_DAY,
                        .fatigue = person->fatigue_usual,
                        .sleep = person->sleep_usual };
    for (int a = 0; a < THEW_ACTION_COUNT; a++)
        for (int side = 0; side < SIM_SIDES; side++)
            state.muscle[a][side].trained = THEW_NO_DAY;
    for (int e = 0; e < SIM_EXERCISES_MAX; e++)
        state.visited[e] = THEW_NO_DAY;
    sim_state_next_day(person, &state, 20);
    return state;
}

// Worse over four days, at its worst for six more, then most of it comes back over weeks: judgement.
static double relapse_share(const sim_state *state)
{
    if (state->relapse == THEW_NO_DAY) return 0;
    double days = state->day - state->relapse;
    if (days < 10) return thew_min((days + 1) / 4, 1);
    return .15 + .85 * thew_exp(-(days - 10) / 30);
}

static double infection_now_ln(const sim_state *state)
{
    if (state->infection == THEW_NO_DAY) return 0;
    double over = state->day - state->infection - state->infection_days;
    return over <= 0 ? state->infection_ln : state->infection_ln * thew_exp(-over / 6);
}

bool sim_state_is_ill(const sim_state *state)
{
    bool fever = state->infection != THEW_NO_DAY && state->day - state->infection < state->infection_days;
    bool struck = state->relapse != THEW_NO_DAY && state->day - state->relapse >= 1 && state->day - state->relapse <= 6;
    return fever || struck;
}

void sim_state_infection(sim_state *state)
{
    state->infection = state->day;
    state->infection_days = 3 + 4 * sim_unit(&state->random); // all: judgement
    state->infection_ln = -sim_between(&state->random, .06, .18);
}

// How hard a relapse strikes a muscle, of 1.
static double struck_share(sim_strikes where, thew_action action, sim_side side)
{
    region r = region_of(action);
    switch (where) {
    case SIM_STRIKES_LEGS:
        return r == LEGS ? 1 : r == TRUNK ? .5 : .1;
    case SIM_STRIKES_LEFT:
        return r == TRUNK ? .3 : side == SIM_LEFT ? 1 : .1;
    case SIM_STRIKES_RIGHT:
        return r == TRUNK ? .3 : side == SIM_RIGHT ? 1 : .1;
    case SIM_STRIKES_ALL:
    case SIM_STRIKES_COUNT:
        break;
    }
    return 1;
}

void sim_state_relapse(sim_state *state, sim_strikes where, double share)
{
    double left_over = relapse_share(state);
    for (int a = 0; a < THEW_ACTION_COUNT; a++) {
        double here = log_normal(&state->random, 1, .2);
        for (int side = 0; side < SIM_SIDES; side++) {
            sim_muscle *m = &state->muscle[a][side];
            m->lasting_ln += left_over * m->struck_ln;
            m->struck_ln = thew_log(1 - share) * here * struck_share(where, (thew_action)a, (sim_side)side);
        }
    }
    state->relapse = state->day;
}

// Relapses .05-.23 a person-year (.08 for the relapsing course in 2020: ms_facts.csv); infections 1.2 a year (judgement).
static void strike_by_chance(const sim_person *person, sim_state *state)
{
    if (person->steady_events) return;
    if (person->ms && sim_chance(&state->random, .08 / DAYS_IN_YEAR))
        sim_state_relapse(state, (sim_strikes)sim_pick(&state->random, SIM_STRIKES_COUNT), sim_between(&state->random, .2, .4));
    if (sim_chance(&state->random, 1.2 / DAYS_IN_YEAR)) sim_state_infection(state);
}

// An autoregressive step that keeps its SD.
static double drifted(sim_random *random, double from, double stays, double sd)
{
    return stays * from + sim_normal(random, 0, sd * thew_sqrt(1 - stays * stays));
}

// All of how days follow each other: judgement.
static void live_a_day(const sim_person *p, sim_state *s)
{
    s->day_ln = drifted(&s->random, s->day_ln, .7, p->day_sd);
    s->fatigability_ln = drifted(&s->random, s->fatigability_ln, .5, p->fatigability_day_sd);
    s->sleep = p->sleep_usual + drifted(&s->random, s->sleep - p->sleep_usual, .3, 1.5);
    double tired = drifted(&s->random, s->fatigue - p->fatigue_usual, .5, 1.3);
    tired += -.15 * (s->sleep - p->sleep_usual) - 8 * s->day_ln * .5 + (p->heat_per_c < -.002 ? .12 * s->heat_excess_c : 0);
    tired += -8 * infection_now_ln(s) + 1.5 * relapse_share(s);
    s->fatigue = thew_clamp(p->fatigue_usual + tired, 0, 10);
    s->sleep = thew_clamp(s->sleep, 0, 10);
}

// -.45 to -1.49 % a week without training (E61), the first two weeks free (judgement).
static void live_muscle(const sim_person *p, sim_state *s, sim_muscle *m)
{
    m->own_day_ln = drifted(&s->random, m->own_day_ln, .5, p->own_day_sd);
    if (m->trained != THEW_NO_DAY && s->day - m->trained > 14) m->gain_ln -= (m->gain_ln + .05) / 150;
    m->fatigued = 0;
    m->sets_today = 0;
}

void sim_state_next_day(const sim_person *person, sim_state *state, double heat_index_c)
{
    state->day++;
    state->course_ln += person->course_per_day;
    state->heat_excess_c = thew_max(heat_index_c - HEAT_FROM_C, 0);
    strike_by_chance(person, state);
    live_a_day(person, state);
    for (int a = 0; a < THEW_ACTION_COUNT; a++) {
        for (int side = 0; side < SIM_SIDES; side++)
            live_muscle(person, state, &state->muscle[a][side]);
        if (region_of((thew_action)a) == TRUNK) // has no sides
            state->muscle[a][SIM_RIGHT] = state->muscle[a][SIM_LEFT];
    }
}

sim_scores sim_state_scores(sim_state *state)
{
    double fatigue = state->fatigue + sim_normal(&state->slips, 0, .8), sleep = state->sleep + sim_normal(&state->slips, 0, .8);
    return (sim_scores){ thew_clamp(round_to(fatigue, 1), 0, 10), thew_clamp(round_to(sleep, 1), 0, 10) };
}

// --- Today's capacity ------------------------------------------------------------------------------------------------------------

static double sore_ln(const sim_person *p, const sim_state *s, const sim_muscle *m)
{
    if (m->trained == THEW_NO_DAY || m->trained == s->day) return 0;
    return -p->sore_depth * thew_exp(-(s->day - m->trained) / p->sore_days);
}

static double capacity_of_side_ln(const sim_person *p, const sim_state *s, thew_action action, sim_side side)
{
    const sim_muscle *m = &s->muscle[action][side];
    double stays = p->strength_ln[action][side] + m->gain_ln + s->course_ln + m->lasting_ln + relapse_share(s) * m->struck_ln;
    double today = s->day_ln + m->own_day_ln + p->heat_per_c * s->heat_excess_c + infection_now_ln(s) + sore_ln(p, s, m);
    double felt = p->fatigue_per_point * (s->fatigue - p->fatigue_usual) + p->sleep_per_point * (s->sleep - p->sleep_usual);
    return stays + today + felt;
}

double sim_capacity_ln(const sim_person *person, const sim_state *state, thew_action action, thew_side side)
{
    double left = capacity_of_side_ln(person, state, action, SIM_LEFT),
           right = capacity_of_side_ln(person, state, action, SIM_RIGHT);
    if (side == THEW_LEFT) return left;
    if (side == THEW_RIGHT) return right;
    // Both share the load evenly, so the weaker decides; the stronger helps a little (judgement).
    double weak = thew_exp(thew_min(left, right)), strong = thew_exp(thew_max(left, right));
    return thew_log(.85 * weak + .15 * strong);
}

// --- Sets ------------------------------------------------------------------------------------------------------------------------

// A normal number that is always the same for this person and key.
static double always(const sim_person *person, uint64_t key, double sd)
{
    sim_random random = sim_random_make(person->seed, key);
    return sim_normal(&random, 0, sd);
}

double sim_practice_ln(const sim_person *person, const sim_state *state, const sim_task *task)
{
    double knack = always(person, 1000 + (uint64_t)task->exercise, knack_ln_sd), met = always(person, task->met, met_ln_sd);
    double share = task->movement->kind == THEW_HOLD ? 1 : .6; // holds are learned, repetitions hardly (E19, E21)
    return knack - met + share * person->learning_ln * thew_exp(-state->visits[task->exercise] / 1.5);
}

// The set as the fatigue model needs it.
typedef struct {
    double share[THEW_DEMAND_STEPS + 1]; // of today's capacity, whichever effort is nearest to its limit
    thew_action limiting;                // at the place that sticks
    thew_fatigue_rates rates;
    thew_tempo tempo;
    double fatigued; // to begin with
} load;

static double share_at(const sim_person *p, const sim_task *task, const double *capacity, double s, thew_action *limiting)
{
    thew_demand_at at = thew_demand_at_s(task->movement, &p->body, &task->resistance, s);
    double greatest = 0;
    for (int e = 0; e < task->movement->effort_count; e++) {
        thew_action action = task->movement->effort[e].action;
        double share = at.share[e] * thew_exp(p->tilt[action] * (s - .5)) / capacity[e];
        if (task->movement->effort[e].synergist || share <= greatest) continue;
        greatest = share;
        *limiting = action;
    }
    return greatest;
}

static double fatigued_of(const sim_state *s, thew_action action, thew_side side)
{
    const sim_muscle *m = s->muscle[action];
    if (side == THEW_BOTH) return thew_max(m[SIM_LEFT].fatigued, m[SIM_RIGHT].fatigued);
    return m[side == THEW_LEFT ? SIM_LEFT : SIM_RIGHT].fatigued;
}

static load load_of(const sim_person *p, const sim_state *s, const sim_task *task, double luck_ln)
{
    const thew_movement *movement = task->movement;
    double capacity[THEW_EFFORT_MAX], practice = sim_practice_ln(p, s, task);
    for (int e = 0; e < movement->effort_count; e++)
        capacity[e] = thew_exp(sim_capacity_ln(p, s, movement->effort[e].action, task->side) + practice + luck_ln);
    bool hold = movement->kind == THEW_HOLD;
    load l = { .limiting = movement->effort[0].action, .tempo = hold ? (thew_tempo){ .lifting_s = 1 } : task->tempo };
    double peak = 0;
    for (int i = 0; i <= THEW_DEMAND_STEPS; i++) {
        thew_action here = l.limiting;
        l.share[i] = share_at(p, task, capacity, hold ? movement->hold_s : (double)i / THEW_DEMAND_STEPS, &here);
        if (l.share[i] <= peak) continue;
        peak = l.share[i];
        l.limiting = here;
    }
    l.rates = p->rates[l.limiting];
    l.rates.fatigue_per_s *= thew_exp(s->fatigability_ln);
    l.fatigued = fatigued_of(s, l.limiting, task->side);
    return l;
}

static double run(const load *l, bool starts_lifting, double limit_s, double *fatigued)
{
    *fatigued = l->fatigued;
    return thew_fatigue_repetitions_s(l->rates, l->share, l->tempo, starts_lifting, fatigued, limit_s);
}

double sim_lasts_s(const sim_person *person, const sim_state *state, const sim_task *task, double luck_ln, double limit_s)
{
    load l = load_of(person, state, task, luck_ln);
    double fatigued;
    return run(&l, task->movement->kind == THEW_HOLD || task->movement->starts_lifting, limit_s, &fatigued);
}

// Chance in one set: mostly small, now and then a slip of the grip or a bad start (judgement).
static double luck_ln(const sim_person *p, sim_state *s)
{
    double luck = sim_normal(&s->random, 0, p->set_sd);
    return sim_chance(&s->random, .03) ? luck - sim_between(&s->random, .05, .20) : luck;
}

// Stops before failure by choice: when what is felt to be left has shrunk to what was asked for.
static void stop_in_reserve(const sim_person *p, sim_state *s, sim_outcome *o)
{
    double asked_s = 10 + 5 * sim_pick(&s->random, 3);
    double left_s = asked_s + sim_normal(&s->random, p->reserve_bias_s, p->reserve_sd_s);
    double stop_s = thew_max(o->lasts_s - left_s, .3 * o->lasts_s);
    if (left_s <= 0 || stop_s >= o->seconds) return; // failed, or the window closed, before it felt so
    *o = (sim_outcome){ THEW_RESERVE, stop_s, asked_s, 0, o->lasts_s };
}

static void stop_otherwise(const sim_person *p, sim_state *s, sim_outcome *o)
{
    double symptom_p = p->symptom_p * (1 + .25 * s->heat_excess_c * (p->heat_per_c < -.002) + 5 * relapse_share(s));
    bool symptom = sim_chance(&s->random, symptom_p), other = sim_chance(&s->random, p->other_p);
    double at = sim_between(&s->random, .2, .95);
    if (!symptom && !other) return;
    *o = (sim_outcome){ symptom ? THEW_SYMPTOM : THEW_OTHER, at * o->seconds, -1, 0, o->lasts_s };
}

// Felt effort follows the share of what could be done (judgement), with an error.
static double exertion_of(sim_state *s, const sim_outcome *o)
{
    double done = o->lasts_s > 0 ? thew_min(o->seconds / o->lasts_s, 1) : 1;
    double felt = done > 0 ? 10 * thew_pow(done, .7) : 0;
    return thew_clamp(round_to(felt + sim_normal(&s->random, -.3, .7), 1), 0, 10);
}

// The muscles that worked are tired for the next set, and trained.
static void work(const sim_person *p, sim_state *s, const sim_task *task, const load *l, double fatigued, const sim_outcome *o)
{
    double nearness =
        o->lasts_s - o->seconds < 20 ? 1 : .5; // failure is not needed for strength (E38); far from it brings less (judgement)
    for (int e = 0; e < task->movement->effort_count; e++) {
        thew_action action = task->movement->effort[e].action;
        double part = action == l->limiting ? 1 : .5; // judgement
        for (int side = 0; side < SIM_SIDES; side++) {
            bool works = task->side == THEW_BOTH || region_of(action) == TRUNK || (task->side == THEW_LEFT) == (side == SIM_LEFT);
            sim_muscle *m = &s->muscle[action][side];
            if (!works) continue;
            m->fatigued = thew_max(m->fatigued, part * fatigued);
            m->gain_ln += p->gain_share * part * nearness * (p->gain_max_ln - m->gain_ln) / (1 + m->sets_today);
            m->sets_today++;
            m->trained = s->day;
        }
    }
}

sim_outcome sim_do(const sim_person *person, sim_state *state, const sim_task *task, sim_endpoint endpoint, double window_to_s)
{
    assert(task->exercise >= 0 && task->exercise < SIM_EXERCISES_MAX);
    bool starts_lifting = task->movement->kind == THEW_HOLD || task->movement->starts_lifting;
    load l = load_of(person, state, task, luck_ln(person, state));
    double fatigued, lasts_s = run(&l, starts_lifting, LASTS_LIMIT_S, &fatigued);
    sim_outcome o = { lasts_s < window_to_s ? THEW_FAILURE : THEW_COMPLETED, thew_min(lasts_s, window_to_s), -1, 0, lasts_s };
    if (endpoint == SIM_TO_RESERVE) stop_in_reserve(person, state, &o);
    stop_otherwise(person, state, &o);
    o.exertion = exertion_of(state, &o);
    run(&l, starts_lifting, o.seconds, &fatigued);
    work(person, state, task, &l, fatigued, &o);
    if (state->visited[task->exercise] != state->day) state->visits[task->exercise]++;
    state->visited[task->exercise] = state->day;
    return o;
}

void sim_rest(const sim_person *person, sim_state *state, double seconds)
{
    for (int a = 0; a < THEW_ACTION_COUNT; a++)
        for (int side = 0; side < SIM_SIDES; side++) {
            sim_muscle *m = &state->muscle[a][side];
            m->fatigued = thew_fatigue_after(person->rates[a], m->fatigued, 0, seconds);
        }
}

// --- Writing it down -------------------------------------------------------------------------------------------------------------

sim_outcome sim_written(const sim_person *person, sim_state *state, sim_outcome outcome, double window_to_s)
{
    sim_outcome w = outcome;
    double delay_s = log_normal(&state->slips, person->delay_s, .4);
    if (w.ended == THEW_COMPLETED) return w;
    w.seconds += delay_s;
    if (w.seconds >= window_to_s) { // the clock rang before anybody saw it
        w.ended = THEW_COMPLETED;
        w.seconds = window_to_s;
        w.reserve_s = -1;
        return w;
    }
    w.seconds = thew_min(round_to(w.seconds, person->rounding_s), window_to_s);
    return w;
}

// Digits changed places, one was lost, or the tens are off by one.
static double mistyped(sim_random *random, double seconds)
{
    int whole = (int)seconds, tens = whole / 10 % 10, ones = whole % 10;
    switch (sim_pick(random, 3)) {
    case 0:
        return ones * 10 + tens != whole ? ones * 10 + tens : whole + 10;
    case 1:
        return tens > 0 ? tens : whole + 10;
    default:
        return whole >= 20 && sim_chance(random, .5) ? whole - 10 : whole + 10;
    }
}

sim_slip sim_write_wrongly(const sim_person *person, sim_state *state, sim_outcome *written)
{
    sim_random *random = &state->slips;
    bool wrong = sim_chance(random, person->wrong_entry_p);
    sim_slip slip = (sim_slip)(1 + sim_pick(random, SIM_SLIP_COUNT - 1));
    if (!wrong) return SIM_NO_SLIP;
    if (slip == SIM_SLIP_SECONDS) written->seconds = mistyped(random, written->seconds);
    if (slip == SIM_SLIP_ENDING) {
        written->ended = written->ended == THEW_FAILURE ? THEW_COMPLETED : THEW_FAILURE;
        written->reserve_s = -1;
    }
    return slip;
}
