// standing.h: where each person stands, in one row: what a glance at everybody needs, so that it need not read their diaries.
// Knows what is kept. Leaves to others: how it is found (studio/believe.h), what follows from it (studio/watch.h). A cache, like
// belief.h's: dropped and made again at will.
#ifndef THEW_STORE_STANDING_H
#define THEW_STORE_STANDING_H

#include "store/query.h"

typedef struct {
    const char *person;
    const char *engine;            // version
    gint64 revision;               // of the person: what is written later is not in it
    int sets;                      // current records
    thew_date first_day, last_day; // all-zero: none
    int last_sets;                 // of the last day
    gint64 days;                   // bit i: trained i days before last_day; bit 0 is set if there is one
    bool declined;                 // a sudden decline was seen on the last day
    thew_date symptom_day;         // the last one
    const char *symptom_exercise;
    thew_date unrested_day; // the last day on which a muscle was trained before it had recovered
    const char *unrested_exercise;
    const char *used_up_exercise; // whose ladder is used up; NULL: none
    bool used_up_light;           // even the heaviest is too light; else even the lightest is too heavy
    const char *nothing_fits;     // an exercise for which the kit has nothing; NULL: none
    thew_date earliest_day;       // earliest good day
    const char *screening;        // verdict: "clear", "with_care", "ask_first", "not_asked"
    int items;                    // of kit that they may use
    thew_date asked_day;          // a check-in said "ask_first" that day, and none since said otherwise
} thew_store_standing;

/// A person who still trains here, and where they stand. Without a standing that is up to date, `current` is false.
typedef struct {
    thew_store_standing standing; // person is always there
    const char *called;
    const char *endpoint; // NULL: not decided
    bool heat_sensitive;
    thew_date since_day;
    bool current; // it stands for all that is known of them, and is this engine's
} thew_store_overview;

/// How many of something a person has.
typedef struct {
    const char *person;
    int count;
} thew_store_count;

/// Keep it in place of the one before.
THEW_STORE_MUST_USE thew_store_status thew_store_standing_put(thew_db *db, const char *studio, const thew_store_standing *standing);
/// One row of thew_store_standing, whatever it stands for, or THEW_STORE_NOT_FOUND.
THEW_STORE_MUST_USE thew_store_status thew_store_standing_find(thew_db *db, const char *studio, const char *person,
                                                               thew_rows **rows);
/// Rows of thew_store_overview of all who have not left, by what they are called.
THEW_STORE_MUST_USE thew_store_status thew_store_overview_all(thew_db *db, const char *studio, const char *engine,
                                                              thew_rows **rows);
/// Rows of thew_store_count: advice that waits for an answer, for that day or later.
THEW_STORE_MUST_USE thew_store_status thew_store_waiting(thew_db *db, const char *studio, thew_date from, thew_rows **rows);
/// Forget all of the studio's.
THEW_STORE_MUST_USE thew_store_status thew_store_standing_drop(thew_db *db, const char *studio);

#endif
