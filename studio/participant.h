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
} thew_participant;

/// The body on a day; age to the middle of the birth year.
thew_body thew_participant_body(const thew_participant *participant, thew_day day);

#endif
