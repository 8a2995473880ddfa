// participant.h: a person who trains, what they own and what they did, by the names that people use.
// Knows how these belong together. Leaves to others: files (exchange), rows (store), numbers (engine).
#ifndef THEW_PARTICIPANT_H
#define THEW_PARTICIPANT_H

#include <glib.h>

#include "catalogue/catalogue.h"
#include "engine/diary.h"
#include "engine/prior.h"

typedef enum { THEW_TO_FAILURE, THEW_TO_RESERVE } thew_endpoint;

/// One implement of a person's kit, under the owner's own label.
typedef struct {
    const char *label;
    thew_implement_kind kind;
    double mass_kg; // dumbbell, cuff
    thew_band band; // band, loop
    bool retired;   // no longer in use: what was done with it counts, but it is not advised
} thew_piece;

/// One set as written down. NULL names: the usual variant, body weight, the first setting.
typedef struct {
    thew_day day;
    const char *exercise, *variant, *implement, *setting;
    thew_side side;
    thew_ended ended;
    double seconds;
    double reserve_s; // negative = not said
} thew_entry;

/// Something that is off limits: a position, an exercise or one of its variants.
typedef struct {
    bool is_position;
    const char *what;   // identifier
    thew_day until_day; // included; THEW_NO_DAY: until somebody lifts it
} thew_limit;

/// What every set aims at, seconds; all-zero: the engine's own (thew_task_default).
typedef struct {
    double floor_s, window_from_s, window_to_s;
} thew_window;

/// Everything that is known of one person. Nothing in it is owned: the names and arrays live where they were read.
typedef struct {
    const char *id, *called;
    thew_sex sex;
    int birth_year; // 0 unknown
    double height_m, mass_kg;
    thew_condition condition;
    thew_endpoint endpoint;
    thew_side weaker_side; // THEW_BOTH: neither, or unknown
    bool heat_sensitive;
    const char *const *caution; // NULL-terminated identifiers, or NULL: what screening found to be said before each set
    const char *const *exercise; // NULL-terminated: those to advise on; empty = those in the diary
    GArray *piece;               // thew_piece
    GArray *entry;               // thew_entry, in order of day, those replaced by a correction left out
    GArray *checkin;             // thew_checkin, in order of day
    GArray *limit;               // thew_limit; NULL: none
    struct thew_demand_memo *memo; // of whoever fits them again and again (demand_memo.h); NULL: none
    thew_window window;          // the studio's
} thew_participant;

/// The body on a day. Age counts calendar years: no more is known of a birth year, and so a ladder holds for a whole year.
thew_body thew_participant_body(const thew_participant *participant, thew_day day);

/// Whether a variant is off limits to somebody on a day.
bool thew_participant_is_off_limits(const thew_participant *participant, const thew_variant *variant, thew_day day);

#endif
