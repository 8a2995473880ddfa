// run.h: classes as they are held: a plan, who takes part, and a short log.
// Knows what is kept of them. Leaves to others: the plan (class.h), the results (diary.h), what the log means (engine/, studio/).
#ifndef THEW_STORE_RUN_H
#define THEW_STORE_RUN_H

#include "store/query.h"

typedef struct {
    const char *run; // identifier
    const char *class;
    int version;
    thew_utc planned_us;
    const char *code; // to join by; NULL: none
    thew_utc code_ends_us;
    const char *note; // "" for none
    thew_utc made_us;
    const char *written_by;
} thew_store_run;

typedef struct {
    const char *person;
    const char *fit;    // JSON: the loads; NULL: not fitted yet
    thew_utc joined_us; // 0: not yet
} thew_store_run_person;

/// Start, pause, go on, longer rest, skip, stop.
typedef struct {
    const char *event; // identifier
    thew_utc at_us;
    const char *kind;
    const char *detail; // JSON, names no person; NULL: none
    const char *written_by;
    int place; // the store's: counts within the run from 1, as events came in
    thew_utc kept_us;
    const char *digest;
} thew_store_event;

/// Make or change (class, version and when it was made stay).
THEW_STORE_MUST_USE thew_store_status thew_store_run_put(thew_db *db, const char *studio, const thew_store_run *run);
THEW_STORE_MUST_USE thew_store_status thew_store_run_find(thew_db *db, const char *studio, const char *run, thew_rows **rows);
/// One row of thew_store_run whose code it is and has not ended by then, or THEW_STORE_NOT_FOUND.
THEW_STORE_MUST_USE thew_store_status thew_store_run_by_code(thew_db *db, const char *studio, const char *code, thew_utc now,
                                                             thew_rows **rows);
/// Rows of thew_store_run planned from (included) until (not included), in order.
THEW_STORE_MUST_USE thew_store_status thew_store_run_between(thew_db *db, const char *studio, thew_utc from, thew_utc until,
                                                             thew_rows **rows);

THEW_STORE_MUST_USE thew_store_status thew_store_run_person_put(thew_db *db, const char *studio, const char *run,
                                                                const thew_store_run_person *person);
THEW_STORE_MUST_USE thew_store_status thew_store_run_person_leave(thew_db *db, const char *studio, const char *run,
                                                                  const char *person);
/// Rows of thew_store_run_person.
THEW_STORE_MUST_USE thew_store_status thew_store_run_person_all(thew_db *db, const char *studio, const char *run, thew_rows **rows);

/// Only added to.
///   place    out: its place; may be NULL
///   status   THEW_STORE_REPEATED, _CONFLICT (another event of that identifier), _REFUSED (no such run)
THEW_STORE_MUST_USE thew_store_status thew_store_event_add(thew_db *db, const char *studio, const char *run,
                                                           const thew_store_event *event, int *place);
/// Rows of thew_store_event after a place, in order of place.
THEW_STORE_MUST_USE thew_store_status thew_store_event_after(thew_db *db, const char *studio, const char *run, int place,
                                                             thew_rows **rows);

#endif
