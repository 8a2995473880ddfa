// simulate.h: people who exist only here: how strong they are, how that changes, how long their sets last and what gets written
// down. Knows a truth that is richer than the engine's own model, so that the engine can be wrong about it. Leaves to others: who
// these people are and what they own (demo/), how a load is chosen (the hand rule, the advice), how anything is judged (bench/). It
// measures the advice and is never its training ground: no constant of the engine comes from here.
//
// The model. Every number stands in simulate.c, with its source or marked as a judgement.
//
//   strength    Each joint action on each side has an isometric capacity: reference strength (strength.h) x exp of
//                   error of the norm, one for all people        + the condition's deficit x how hard it struck this person
//                 + person + region (legs, trunk, arms) + action + side + training gain + today
//               A set has the effort that limits at each place of the range: several actions can fail it, not the prime mover
//               alone. Both sides together are little better than the weaker one. Each exercise has a knack of its own, and is
//               learned over the first visits. Strength through the range is tilted from person to person; every implement in every
//               setting is met a little differently from what the catalogue's posture says, and always in the same way by the same
//               person.
//   a set       The full three-compartment model through the range (thew_fatigue_repetitions_s), with the person's own F and R. It
//   fails
//               while lifting. Fatigue of shared muscles is carried into the next set and leaves with rest.
//   training    The gain nears the most that this person can gain, slowly; it fades after two weeks away. A muscle taken close to
//   failure
//               is a little weaker for a day or two.
//   days        One effect common to all of the day (autocorrelated), one of each action and side, one on fatigability, and chance
//   in
//               every set. Fatigue and sleep are real, bear on the day, and are reported with an error. Heat weakens who is
//               sensitive.
//   events      Relapses: some muscles lose a fifth to two fifths within days and get most of it back over weeks. Infections:
//   everything is
//               weaker for a week or two. Ageing and the condition's course: slowly down.
//   bands       The true force differs from the scale's reading (gain of the scale, error of each reading) and falls with use.
//   writing     A failure is seen after a reaction time and rounded, to 1 or to 5 s. Who stops in reserve misjudges it. Some sets
//   stop for
//               a symptom or another reason. Some entries are wrong: digits, implement, side or ending.
//
// What it leaves out, and so cannot test: fluctuation within a day and by the hour, spasticity, tremor, a person's own ratio of
// lowering to lifting strength, medicines, helpers, and people who cheat on the range of motion.
//
// The same seed gives the same people, sets and slips, bit for bit wherever the engine does: only real.h's functions are used.
#ifndef THEW_BENCH_SIMULATE_H
#define THEW_BENCH_SIMULATE_H

#include <stdbool.h>
#include <stdint.h>

#include "engine/capacity.h"
#include "engine/fatigue.h"

// --- Chance ----------------------------------------------------------------------------------------------------------------------

/// xoshiro256**: Blackman & Vigna 2021, ACM Trans Math Softw 47:36, seeded by splitmix64 (Steele, Lea & Flood 2014) as they advise
/// (memory).
typedef struct {
    uint64_t s[4];
} sim_random;

/// Streams of one seed do not follow each other: each person, purpose and so on has one.
sim_random sim_random_make(uint64_t seed, uint64_t stream);
/// A stream's number from a name, so that adding somebody changes nobody else (FNV-1a, 64 bits).
uint64_t sim_stream_of(const char *name);
uint64_t sim_next(sim_random *random);
/// In [0, 1).
double sim_unit(sim_random *random);
double sim_between(sim_random *random, double from, double to);
double sim_normal(sim_random *random, double mean, double sd);
bool sim_chance(sim_random *random, double p);
/// 0 to count - 1; count at least 1.
int sim_pick(sim_random *random, int count);

// --- Weather ---------------------------------------------------------------------------------------------------------------------

/// The room somebody trains in.
typedef struct {
    double room_c, humidity_percent;
} sim_room;

/// Outdoors in a temperate northern place: the mean of the season and what stays from day to day.
typedef struct {
    sim_random random;
    double departure_c, humidity_percent;
    double afternoon_c;
} sim_weather;

sim_weather sim_weather_start(uint64_t seed);
/// The next day. `heat_wave` lifts it by some eight degrees.
void sim_weather_next(sim_weather *weather, thew_day day, bool heat_wave);
/// Indoors: heated in winter, following the outdoors in summer; `cooled` has some means against it.
sim_room sim_weather_room(const sim_weather *weather, bool cooled);

// --- Bands and scales ------------------------------------------------------------------------------------------------------------

/// A natural rubber band as it really is when new.
///   force_n   at twice its rest length
thew_band sim_band_make(sim_random *random, double rest_length_m, double force_n);
/// The same after so many sets.
thew_band sim_band_worn(thew_band band, double sets);

/// A household scale: its gain is wrong, and every reading a little more.
typedef struct {
    double gain;
} sim_scale;
sim_scale sim_scale_make(sim_random *random);
/// What it shows of the band at a length, in kilograms to the nearest tenth.
double sim_scale_kgf(sim_scale scale, sim_random *random, const thew_band *band, double length_m);

// --- A person: constant ----------------------------------------------------------------------------------------------------------

#define SIM_EXERCISES_MAX 32
typedef enum { SIM_LEFT, SIM_RIGHT, SIM_SIDES } sim_side;

/// What is asked for; the rest is drawn. All-zero: an average person without the condition.
typedef struct {
    thew_body body;        // as it really is; nothing unknown
    bool ms;               // multiple sclerosis or similar
    double severity;       // 0 to 1: share of the greatest deficit
    double stronger_ln;    // than others of that sex, age and size
    thew_side weaker_side; // THEW_BOTH: none
    double weaker_by;      // share, .3 = 30 % weaker
    bool heat_sensitive;
    bool steady_events;   // no relapse or infection by chance: only those that are called
    double wrong_entry_p; // of a set's entry; 0 = drawn
    double rounding_s;    // 1 or 5; 0 = 1
} sim_wish;

/// Everything that stays. Fields are truth: nothing but this file and an oracle may look at them.
typedef struct {
    thew_body_model body;
    bool ms, steady_events;
    uint64_t seed;
    double strength_ln[THEW_ACTION_COUNT][SIM_SIDES]; // over the reference, untrained, on a usual day
    double tilt[THEW_ACTION_COUNT];                   // of ln demand from one end of the range to the other
    thew_fatigue_rates rates[THEW_ACTION_COUNT];
    double gain_max_ln, gain_share; // and the share of what is left to gain that one set brings
    double course_per_day;
    double day_sd, own_day_sd, set_sd, fatigability_day_sd;
    double heat_per_c;
    double fatigue_usual, fatigue_per_point, sleep_usual, sleep_per_point;
    double sore_depth, sore_days;
    double learning_ln;
    double delay_s, rounding_s;
    double wrong_entry_p, symptom_p, other_p;
    double reserve_bias_s, reserve_sd_s;
} sim_person;

/// Errors of the norms, the same for everybody of one seed.
typedef struct {
    double norm_ln[THEW_ACTION_COUNT];
} sim_world;

sim_world sim_world_make(uint64_t seed);
sim_person sim_person_make(const sim_world *world, sim_wish wish, uint64_t seed, uint64_t stream);

// --- A person's days: changing ---------------------------------------------------------------------------------------------------

/// One joint action on one side.
typedef struct {
    double gain_ln; // of training, so far
    double own_day_ln;
    double struck_ln;  // what the last relapse takes at its worst (negative)
    double lasting_ln; // what earlier ones left
    double fatigued;   // share of the muscle's units, between the sets of a session
    thew_day trained;  // last; THEW_NO_DAY
    int sets_today;
} sim_muscle;

typedef struct {
    sim_random random, slips; // slips have their own chance: what is written never changes what happens
    thew_day day;
    double day_ln, fatigability_ln;
    double fatigue, sleep; // felt, on the scales of a check-in
    double course_ln;
    double heat_excess_c;
    thew_day relapse; // when the last one began; THEW_NO_DAY
    thew_day infection;
    double infection_ln; // at its worst (negative)
    double infection_days;
    sim_muscle muscle[THEW_ACTION_COUNT][SIM_SIDES];
    int visits[SIM_EXERCISES_MAX];
    thew_day visited[SIM_EXERCISES_MAX];
} sim_state;

/// Somebody who has not trained for long, on that morning.
sim_state sim_state_start(const sim_person *person, thew_day day);
/// A night, and the morning after; `heat_index_c` of the room today. Events come by chance unless the person is steady.
void sim_state_next_day(const sim_person *person, sim_state *state, double heat_index_c);

typedef enum { SIM_STRIKES_LEGS, SIM_STRIKES_LEFT, SIM_STRIKES_RIGHT, SIM_STRIKES_ALL, SIM_STRIKES_COUNT } sim_strikes;
/// A relapse begins today: what it strikes loses about that share of strength.
void sim_state_relapse(sim_state *state, sim_strikes where, double share);
/// An infection begins today.
void sim_state_infection(sim_state *state);
/// In bed: fever, or the first days of a relapse.
bool sim_state_is_ill(const sim_state *state);

/// The scores of a check-in, 0 to 10, as they are said: whole numbers, with an error.
typedef struct {
    double fatigue, sleep;
} sim_scores;
sim_scores sim_state_scores(sim_state *state);

/// Truth for an oracle: ln capacity over the reference, today and unfatigued.
double sim_capacity_ln(const sim_person *person, const sim_state *state, thew_action action, thew_side side);

// --- Sets ------------------------------------------------------------------------------------------------------------------------

/// What is to be done: the resistance as it really is.
typedef struct {
    int exercise; // a number for it, 0 to SIM_EXERCISES_MAX - 1: its knack, and how often it was done
    thew_side side;
    const thew_movement *movement;
    thew_resistance resistance;
    thew_tempo tempo; // not looked at for a hold
    uint64_t met;     // identity of implement and setting (sim_stream_of of their names): how this person meets it
} sim_task;

/// Truth for an oracle: what the exercise's knack and practice, and the way this person meets the implement, add to ln capacity.
double sim_practice_ln(const sim_person *person, const sim_state *state, const sim_task *task);

/// Seconds to momentary failure; up to `limit_s`. `luck_ln` is added to strength: 0 for what is to be expected.
double sim_lasts_s(const sim_person *person, const sim_state *state, const sim_task *task, double luck_ln, double limit_s);

typedef enum { SIM_TO_FAILURE, SIM_TO_RESERVE } sim_endpoint;

/// How a set went.
typedef struct {
    thew_ended ended;
    double seconds;   // when it ended, exactly
    double reserve_s; // felt to be left; negative unless it ended in reserve
    double exertion;  // felt, 0 to 10
    double lasts_s;   // when momentary failure came or would have come; up to 400
} sim_outcome;

/// Do it: the muscles tire and are trained.
///   window_to_s   the set ends there
sim_outcome sim_do(const sim_person *person, sim_state *state, const sim_task *task, sim_endpoint endpoint, double window_to_s);
/// Sit between two sets.
void sim_rest(const sim_person *person, sim_state *state, double seconds);

/// What the person or the helper writes: seen late and rounded; never past the window's close.
sim_outcome sim_written(const sim_person *person, sim_state *state, sim_outcome outcome, double window_to_s);

typedef enum { SIM_NO_SLIP, SIM_SLIP_SECONDS, SIM_SLIP_IMPLEMENT, SIM_SLIP_SIDE, SIM_SLIP_ENDING, SIM_SLIP_COUNT } sim_slip;
/// Whether the entry goes wrong, and how. The seconds and the ending are spoilt here; implement and side are the caller's to spoil.
sim_slip sim_write_wrongly(const sim_person *person, sim_state *state, sim_outcome *written);

#endif
