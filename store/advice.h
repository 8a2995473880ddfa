// advice.h: what was advised, with its odds as they were told, what became of it, and overrides with their reason.
// Knows what is kept. Leaves to others: how advice is found (engine/), whether it was good (studio/).
#ifndef THEW_STORE_ADVICE_H
#define THEW_STORE_ADVICE_H

#include "store/query.h"

typedef struct {
    const char *advice; // identifier
    const char *person;
    thew_date day;                                               // that it is for
    const char *exercise, *variant, *side, *implement, *setting; // as in diary.h
    const char *label;                                           // of the rung: what to take
    double demand;                                               // share of reference strength
    double p_floor, p_early, p_window, p_beyond;
    double p10_s, p50_s, p90_s; // may be infinite
    double goal_s;
    const char *reason; // its code
    const char *engine; // version
    thew_utc made_us;
    const char *became; // "open", "taken", "overridden", "lapsed"
    thew_utc became_us;
    const char *record; // the set that was done; "taken" has one
    thew_utc accepted_us; // the coach said yes; 0: not yet
} thew_store_advice;

/// What the coach chose instead.
typedef struct {
    const char *override; // identifier
    const char *advice, *person;
    const char *variant, *implement, *setting, *label;
    thew_maybe_real demand;
    const char *reason;
    thew_utc made_us;
    const char *written_by;
} thew_store_override;

/// Keep one.
///   status   THEW_STORE_REPEATED, THEW_STORE_CONFLICT
THEW_STORE_MUST_USE thew_store_status thew_store_advice_add(thew_db *db, const char *studio, const thew_store_advice *advice);
/// Say what became of it.
///   record   NULL unless a set was done
THEW_STORE_MUST_USE thew_store_status thew_store_advice_settle(thew_db *db, const char *studio, const char *advice,
                                                               const char *became, thew_utc at, const char *record);
/// The coach says yes, or (a zero instant) takes it back.
THEW_STORE_MUST_USE thew_store_status thew_store_advice_accept(thew_db *db, const char *studio, const char *advice, thew_utc at);
THEW_STORE_MUST_USE thew_store_status thew_store_advice_find(thew_db *db, const char *studio, const char *advice, thew_rows **rows);
/// Rows of thew_store_advice, by day: a person's; those for a day or later, and any that are open; or a whole studio's of one fate ("open": those that wait).
THEW_STORE_MUST_USE thew_store_status thew_store_advice_of(thew_db *db, const char *studio, const char *person, thew_rows **rows);
THEW_STORE_MUST_USE thew_store_status thew_store_advice_on(thew_db *db, const char *studio, const char *person, thew_date from,
                                                           thew_rows **rows);
THEW_STORE_MUST_USE thew_store_status thew_store_advice_all(thew_db *db, const char *studio, const char *became, thew_rows **rows);

/// Keep why an advice was not taken. What became of the advice is said by itself.
///   status   THEW_STORE_REPEATED, THEW_STORE_CONFLICT
THEW_STORE_MUST_USE thew_store_status thew_store_override_add(thew_db *db, const char *studio, const thew_store_override *override);
/// Rows of thew_store_override of a person, oldest first.
THEW_STORE_MUST_USE thew_store_status thew_store_override_of(thew_db *db, const char *studio, const char *person, thew_rows **rows);

#endif
