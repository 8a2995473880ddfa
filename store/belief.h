// belief.h: what is estimated of a person, as the engine's own bytes: a cache that can be dropped and made again.
// Knows bytes, the engine's version that made them, and which revision of the person they stand for. Leaves to others: what
// they mean.
#ifndef THEW_STORE_BELIEF_H
#define THEW_STORE_BELIEF_H

#include "store/query.h"

typedef struct {
    const char *person;
    const char *engine; // version
    gint64 revision;    // of the person (person.h): what is written later is not in it
    thew_utc made_us;
    thew_blob posterior;
} thew_store_belief;

typedef struct {
    const char *person;
    gint64 revision;
} thew_store_stale;

/// Keep it in place of the one before.
THEW_STORE_MUST_USE thew_store_status thew_store_belief_put(thew_db *db, const char *studio, const thew_store_belief *belief);
/// One row of thew_store_belief, whatever it stands for, or THEW_STORE_NOT_FOUND.
THEW_STORE_MUST_USE thew_store_status thew_store_belief_find(thew_db *db, const char *studio, const char *person, thew_rows **rows);
/// Rows of thew_store_stale: those whose belief is missing, of another engine, or older than what is known of them; with their
/// revision.
THEW_STORE_MUST_USE thew_store_status thew_store_belief_stale(thew_db *db, const char *studio, const char *engine,
                                                              thew_rows **rows);
/// Forget all of the studio's.
THEW_STORE_MUST_USE thew_store_status thew_store_belief_drop(thew_db *db, const char *studio);

#endif
