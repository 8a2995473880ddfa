// person.h: who trains: body, condition, endpoint, lists from the catalogue, limits, screening.
// Knows what is kept of a person besides the diary. Leaves to others: kit (kit.h), diary (diary.h), their removal (remove.h), what
// an answer means (studio/).
#ifndef THEW_STORE_PERSON_H
#define THEW_STORE_PERSON_H

#include "store/query.h"

typedef struct {
    const char *person; // identifier
    const char *called; // what to call them
    const char *sex;    // "female", "male", NULL unknown
    int birth_year;     // 0 unknown
    thew_maybe_real height_m, mass_kg;
    const char *condition;   // "ms", "none", NULL unknown
    const char *endpoint;    // "failure", "reserve", NULL not decided
    const char *weaker_side; // "left", "right", NULL unknown
    bool heat_sensitive;
    const char *note;              // "" for none
    thew_date since_day, left_day; // all-zero: unknown; still here
    thew_utc made_us, changed_us;
    gint64 revision; // the store's: grows by one with everything that an estimate may rest on
} thew_store_person;

/// One place of an ordered list from the catalogue.
typedef struct {
    const char *list; // "goal", "exercise" (those to advise on), "caution"
    int place;
    const char *what; // identifier
} thew_store_choice;

/// A movement or a position that is off limits.
typedef struct {
    const char *kind; // "movement", "position"
    const char *what, *reason;
    thew_date until_day; // all-zero: until somebody lifts it
} thew_store_limit;

typedef struct {
    const char *question;
    thew_utc answered_us;
    const char *answer, *note, *written_by;
} thew_store_answer;

/// Take them on, or change what is known of them (when they were made stays).
THEW_STORE_MUST_USE thew_store_status thew_store_person_put(thew_db *db, const char *studio, const thew_store_person *person);
/// One row of thew_store_person, or THEW_STORE_NOT_FOUND.
THEW_STORE_MUST_USE thew_store_status thew_store_person_find(thew_db *db, const char *studio, const char *person, thew_rows **rows);
/// All, those who left too, by what they are called.
THEW_STORE_MUST_USE thew_store_status thew_store_person_all(thew_db *db, const char *studio, thew_rows **rows);

/// Their next revision: what was estimated before no longer stands for all that is known.
///   revision   out: may be NULL
THEW_STORE_MUST_USE thew_store_status thew_store_person_touch(thew_db *db, const char *studio, const char *person,
                                                              gint64 *revision);
/// The same for everybody of the studio.
THEW_STORE_MUST_USE thew_store_status thew_store_person_touch_all(thew_db *db, const char *studio);

/// Put these in place of one of their lists.
///   what   NULL-terminated, in order, each once
THEW_STORE_MUST_USE thew_store_status thew_store_choice_replace(thew_db *db, const char *studio, const char *person,
                                                                const char *list, const char *const *what);
/// Rows of thew_store_choice of all their lists, in order.
THEW_STORE_MUST_USE thew_store_status thew_store_choice_all(thew_db *db, const char *studio, const char *person, thew_rows **rows);

THEW_STORE_MUST_USE thew_store_status thew_store_limit_put(thew_db *db, const char *studio, const char *person,
                                                           const thew_store_limit *limit);
/// Lift one; THEW_STORE_NOT_FOUND if there is none.
THEW_STORE_MUST_USE thew_store_status thew_store_limit_lift(thew_db *db, const char *studio, const char *person, const char *kind,
                                                            const char *what);
/// Rows of thew_store_limit, those that have ended too.
THEW_STORE_MUST_USE thew_store_status thew_store_limit_all(thew_db *db, const char *studio, const char *person, thew_rows **rows);

/// Another answer to a question of the screening; the one before is kept.
///   status   THEW_STORE_REPEATED, THEW_STORE_CONFLICT (another answer at that instant)
THEW_STORE_MUST_USE thew_store_status thew_store_answer_add(thew_db *db, const char *studio, const char *person,
                                                            const thew_store_answer *answer);
/// Rows of thew_store_answer: the latest of each question; or all, oldest first.
THEW_STORE_MUST_USE thew_store_status thew_store_answer_latest(thew_db *db, const char *studio, const char *person,
                                                               thew_rows **rows);
THEW_STORE_MUST_USE thew_store_status thew_store_answer_all(thew_db *db, const char *studio, const char *person, thew_rows **rows);

#endif
