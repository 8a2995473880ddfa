// checkin.h: how a person came to a day: room, fatigue, sleep, readiness, the questions of safety and what was decided of them.
// Knows what one says in words and numbers. Leaves to others: repeats and corrections (entry.h), what follows from it (studio/).
#ifndef THEW_STORE_CHECKIN_H
#define THEW_STORE_CHECKIN_H

#include "store/entry.h"

typedef struct {
    thew_store_entry entry;
    thew_maybe_real room_c, humidity_percent, heat_index_c;
    thew_maybe_real fatigue, sleep; // 0 to 10
    thew_maybe_real readiness;      // ln of the day's short task over this person's usual
    const char *answers;            // JSON: to the questions of safety; NULL: not asked
    const char *verdict;            // "go", "lighter", "not_today", "ask_first"; NULL: none
    thew_store_kept kept;
} thew_store_checkin;

/// Add one; see entry.h for what that can say. A day may have several, from the person's phone and the coach's desk.
THEW_STORE_MUST_USE thew_store_status thew_store_checkin_add(thew_db *db, const char *studio, const thew_store_checkin *checkin);
/// As in diary.h, rows of thew_store_checkin.
THEW_STORE_MUST_USE thew_store_status thew_store_checkin_find(thew_db *db, const char *studio, const char *record,
                                                              thew_rows **rows);
THEW_STORE_MUST_USE thew_store_status thew_store_checkin_current(thew_db *db, const char *studio, const char *person,
                                                                 thew_date from, thew_date until, thew_rows **rows);
THEW_STORE_MUST_USE thew_store_status thew_store_checkin_history(thew_db *db, const char *studio, const char *person,
                                                                 thew_rows **rows);

#endif
