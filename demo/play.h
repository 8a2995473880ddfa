// play.h: the half year of the demo studio, day by day: who comes, what they do, what gets written down.
// Knows sessions, check-ins, mistakes and their corrections. Leaves to others: people (cast.h), bodies (bench/simulate.h), loads
// (coach.h), files (write.h).
#ifndef THEW_DEMO_PLAY_H
#define THEW_DEMO_PLAY_H

#include "demo/cast.h"
#include "exchange/date.h"
#include "exchange/kit_csv.h"
#include "studio/fit.h"

/// A set as it was written, and what is true of it.
typedef struct {
    thew_day day;
    int person;                                           // index into cast_people
    const char *exercise, *variant, *implement, *setting; // NULL: the usual variant, body weight, the first setting
    thew_side side;
    sim_outcome written;
    bool says_exertion;
    char *record, *replaces; // or NULL
    const char *note;        // or NULL
    double lasts_s;          // truth: when momentary failure came or would have come
    sim_slip slip;           // truth: whether this entry is wrong
} play_set;

typedef struct {
    thew_day day;
    int person;
    bool has_room, has_scores;
    sim_room room;
    sim_scores scores;
} play_day;

/// What a scale showed.
typedef struct {
    int person, piece; // index into cast_people, cast_pieces
    const char *measured;
    double length_m, kgf;
} play_reading;

typedef struct {
    GArray *set;     // play_set, in the order in which they were written
    GArray *day;     // play_day, in order of day
    GArray *reading; // play_reading, by person and piece
} play_studio;

// The seed of the files that are shown. Any number would do; this one tells the stories of cast.c well.
#define PLAY_SEED 20261121

/// Play it. The same seed plays the same half year.
play_studio *play_half_year(const thew_catalogue *catalogue, uint64_t seed);
void play_studio_free(play_studio *studio);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(play_studio, play_studio_free)

#endif
