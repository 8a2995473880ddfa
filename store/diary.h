// diary.h: the training diary: a record for each set that was done.
// Knows what one says in words and numbers. Leaves to others: repeats and corrections (entry.h), strength (engine/).
#ifndef THEW_STORE_DIARY_H
#define THEW_STORE_DIARY_H

#include "store/entry.h"

typedef struct {
    thew_store_entry entry;
    const char *run; // the class it was done in; NULL: alone
    const char *exercise;
    const char *variant;   // NULL: the usual one
    const char *side;      // "both", "left", "right"
    const char *implement; // the owner's label; NULL: body weight
    const char *setting;   // NULL: the first
    const char *ended;     // "failure", "completed", "reserve", "symptom", "other"
    double seconds;
    thew_maybe_real reserve_s;
    thew_maybe_real exertion; // 0 to 10
    const char *reengaged;    // JSON: [[from_s, to_s], ...] after the failure; NULL: none
    thew_store_kept kept;
} thew_store_set;

/// Add one; see entry.h for what that can say.
THEW_STORE_MUST_USE thew_store_status thew_store_diary_add(thew_db *db, const char *studio, const thew_store_set *set);
/// One row of thew_store_set, current or not, or THEW_STORE_NOT_FOUND.
THEW_STORE_MUST_USE thew_store_status thew_store_diary_find(thew_db *db, const char *studio, const char *record, thew_rows **rows);
/// A person's current records from a day until a day, both included (all-zero: open), in the order in which they were done. Without
/// a person: everybody's, one after the other.
THEW_STORE_MUST_USE thew_store_status thew_store_diary_current(thew_db *db, const char *studio, const char *person, thew_date from,
                                                               thew_date until, thew_rows **rows);
/// All that was ever written of a person, in the order in which it was kept.
THEW_STORE_MUST_USE thew_store_status thew_store_diary_history(thew_db *db, const char *studio, const char *person,
                                                               thew_rows **rows);
/// How many current records there are, everybody's.
THEW_STORE_MUST_USE thew_store_status thew_store_diary_count(thew_db *db, const char *studio, gint64 *count);
/// Current records of a class run.
THEW_STORE_MUST_USE thew_store_status thew_store_diary_of_run(thew_db *db, const char *studio, const char *run, thew_rows **rows);

#endif
