// outcome.h: outcome measures: standard tests, as they were taken.
// Knows what one says in words and numbers. Leaves to others: repeats and corrections (entry.h), which measures there are, what
// change is real (studio/).
#ifndef THEW_STORE_OUTCOME_H
#define THEW_STORE_OUTCOME_H

#include "store/entry.h"

typedef struct {
    thew_store_entry entry; // at_us: every score carries its hour
    const char *measure;    // "five-times sit-to-stand"
    double value;
    const char *unit; // UCUM: "s"
    const char *side; // "both", "left", "right"
    bool practice;    // a practice try: kept, not counted
    const char *aid;  // stick, frame, orthosis; NULL: none
    thew_store_kept kept;
} thew_store_outcome;

/// Add one; see entry.h for what that can say.
THEW_STORE_MUST_USE thew_store_status thew_store_outcome_add(thew_db *db, const char *studio, const thew_store_outcome *outcome);
/// As in diary.h, rows of thew_store_outcome.
THEW_STORE_MUST_USE thew_store_status thew_store_outcome_find(thew_db *db, const char *studio, const char *record,
                                                              thew_rows **rows);
THEW_STORE_MUST_USE thew_store_status thew_store_outcome_current(thew_db *db, const char *studio, const char *person,
                                                                 thew_date from, thew_date until, thew_rows **rows);
THEW_STORE_MUST_USE thew_store_status thew_store_outcome_history(thew_db *db, const char *studio, const char *person,
                                                                 thew_rows **rows);

#endif
