// access.h: who did what to whose records: a log that is only added to, and that the person can see.
#ifndef THEW_STORE_ACCESS_H
#define THEW_STORE_ACCESS_H

#include "store/query.h"

typedef struct {
    const char *entry; // identifier
    thew_utc at_us;
    const char *account; // NULL: nobody who is known
    const char *person;  // whose records; NULL: nobody's in particular. What concerns a person goes with them.
    const char *action;  // "read", "log in", "remove"
    const char *what;    // names no person
} thew_store_access;

THEW_STORE_MUST_USE thew_store_status thew_store_access_add(thew_db *db, const char *studio, const thew_store_access *access);
/// Rows of thew_store_access, newest first, at most `count`: about a person; or all.
THEW_STORE_MUST_USE thew_store_status thew_store_access_of(thew_db *db, const char *studio, const char *person, int count,
                                                           thew_rows **rows);
THEW_STORE_MUST_USE thew_store_status thew_store_access_all(thew_db *db, const char *studio, int count, thew_rows **rows);

#endif
