// enrol.h: taking someone on, what is known of them, and the list of everybody.
// Knows what may be said of a person and that it is changed as one: row, goals, exercises, limits. Leaves to others: screening
// (screen.h), kit (equip.h), the diary (record.h), how they do (A's standing; see thew_enrol_standings).
#ifndef THEW_STUDIO_ENROL_H
#define THEW_STUDIO_ENROL_H

#include "store/person.h"
#include "studio/screen.h"
#include "studio/studio.h"

/// What a coach says of a person. NULL, all-zero and 0 are "unknown", as in store/person.h.
typedef struct {
    const char *called;
    const char *sex; // "female", "male", NULL
    int birth_year;  // 0: unknown
    thew_maybe_real height_m, mass_kg;
    const char *condition;   // "ms", "none", NULL
    const char *endpoint;    // "failure", "reserve", NULL
    const char *weaker_side; // "left", "right", NULL
    bool heat_sensitive;
    const char *note; // "" for none
    thew_date since_day, left_day;
    const char *const *goal;       // NULL-terminated, in order; NULL: none
    const char *const *exercise;   // likewise: those to advise on
    const thew_store_limit *limit; // [limit_count]
    guint limit_count;
} thew_person_change;

/// How somebody stands, as far as it shows without estimating anew.
typedef struct {
    thew_day last_day; // THEW_NO_DAY: none
    int sets;
    bool declined;     // a sudden decline at the last estimate
    int waiting;       // advice that waits for a yes
    thew_day earliest; // good day to train again; THEW_NO_DAY: unknown
} thew_standing_brief;

/// One line of the list.
typedef struct {
    const char *person, *called;
    thew_date since_day, left_day;
    const char *endpoint; // NULL: not decided
    bool screened;        // every question was answered
    thew_standing_brief standing;
} thew_person_brief;

typedef struct {
    GArray *brief;   // thew_person_brief, by what they are called
    thew_rows *rows; // holds the texts
} thew_people;
void thew_people_free(thew_people *people);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_people, thew_people_free)

typedef struct {
    const char *caution, *words;
} thew_person_caution;

/// One person, whole.
typedef struct {
    const char *person;
    thew_person_change known;
    thew_utc made_us, changed_us;
    GArray *caution; // thew_person_caution
    thew_screening *screening;
    thew_standing_brief standing;
    GPtrArray *held; // what holds the texts
} thew_person_whole;
void thew_person_whole_free(thew_person_whole *person);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_person_whole, thew_person_whole_free)

/// Take someone on.
///   person    a new identifier
///   verdict   THEW_DONE; THEW_DONE_BEFORE (the very same); THEW_CONFLICT (another of that identifier); THEW_INVALID with a fault
///   for each
///             field: "/called", "/goals/1", "/limits/0/what", ...
thew_verdict thew_enrol(thew_studio *studio, const thew_actor *actor, const char *person, const thew_person_change *change,
                        thew_refusal *refusal);
/// Change what is known: everything is put in place of what was known before.
///   verdict   THEW_ABSENT; else as above. An endpoint "failure" is refused where the screening asks for sets in reserve; an
///   endpoint not
///             decided becomes "reserve" there.
thew_verdict thew_enrol_change(thew_studio *studio, const thew_actor *actor, const char *person, const thew_person_change *change,
                               thew_refusal *refusal);

/// Everybody, those who left too.
thew_verdict thew_enrol_list(thew_studio *studio, thew_people **people, thew_refusal *refusal);
/// One of them.
///   whole     out: NULL unless THEW_DONE
thew_verdict thew_enrol_read(thew_studio *studio, const char *person, thew_person_whole **whole, thew_refusal *refusal);

/// How they stand: of one, or of all (person NULL), by identifier. The one place to change when there is a better source.
///   standing   out: person (owned) to thew_standing_brief (owned); of whom nothing is known may be left out
thew_store_status thew_enrol_standings(thew_studio *studio, const char *person, GHashTable **standing);

#endif
