// cast.h: who is in the demo studio: invented people, what they own, what they train and what happens to them, as tables.
// Knows only what is made up by hand. Leaves to others: strength and chance (bench/simulate.h), loads (coach.h), days and sets
// (play.h). Nobody here is real, and nothing was taken from anybody's records.
#ifndef THEW_DEMO_CAST_H
#define THEW_DEMO_CAST_H

#include "bench/simulate.h"
#include "catalogue/catalogue.h"

#define CAST_FROM "2026-05-21" // the half year
#define CAST_TO "2026-11-20"

/// One implement. A kit is all pieces of one name.
typedef struct {
    const char *kit, *label;
    thew_implement_kind kind;
    double mass_kg;       // dumbbell, cuff
    double rest_length_m; // band, loop
    double force_n;       // what it really pulls at twice its rest length when new
    int reading_count;    // of the scale; 0: never measured
    int step;             // and then: its place among the owner's bands
    const char *measured; // day; NULL: not said
    const char *again;    // day on which it was measured again, worn; NULL: never
} cast_piece;

/// How somebody's sets come to paper or phone.
typedef enum {
    CAST_PHONE, // every set has a record's identifier, and mistakes may be corrected
    CAST_PAPER  // typed in later: no identifiers
} cast_writes;

typedef struct {
    const char *id, *called, *kit;
    thew_sex sex;
    int birth_year;
    double height_m, mass_kg;
    bool size_unsaid; // the coach never asked
    bool ms;
    double severity, stronger_ln; // see sim_wish
    thew_side weaker_side;
    double weaker_by;
    sim_endpoint endpoint;
    bool heat_sensitive, cooled_room;
    int sessions_a_week; // 1 to 3; 0: none yet
    double comes_p;      // to a planned session
    int sets;            // of each exercise
    cast_writes writes;
    double check_in_p; // that a day has a check-in
    bool says_exertion;
    double rounding_s, wrong_entry_p; // see sim_wish
    const char *exercises; // identifiers parted by spaces; "id/variant" where the coach chose another than the usual variant
    const char *cautions, *note;
} cast_person;

typedef enum {
    CAST_AWAY,      // from `day` on for `days` days
    CAST_RELAPSE,   // on `day`, `strikes` by `share`
    CAST_INFECTION, // on `day`
    CAST_SYMPTOM,   // in the first set on or after `day`
    CAST_FIRST_DAY  // nothing before `day`
} cast_what;

typedef struct {
    const char *person;
    cast_what what;
    const char *day;
    int days;
    sim_strikes strikes;
    double share;
    const char *note;
} cast_event;

extern const cast_person cast_people[];
extern const int cast_people_count;
extern const cast_piece cast_pieces[];
extern const int cast_piece_count;
extern const cast_event cast_events[];
extern const int cast_event_count;

/// Days with a heat wave outside.
bool cast_is_heat_wave(thew_day day);
/// The day of "YYYY-MM-DD".
thew_day cast_day(const char *text);

#endif
