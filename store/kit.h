// kit.h: what people train with, and what a scale said of it over time.
// Knows items and readings. Leaves to others: the curve through the readings (engine/band.h), which of them are too old.
#ifndef THEW_STORE_KIT_H
#define THEW_STORE_KIT_H

#include "store/query.h"

typedef struct {
    const char *item;              // identifier
    const char *person;            // the owner; NULL: everybody's
    const char *label;             // the owner's own; one of theirs that is in use has it
    const char *kind;              // "band", "loop", "dumbbell", "cuff"
    thew_maybe_real mass_kg;       // dumbbell, cuff
    thew_maybe_real rest_length_m; // band, loop
    thew_maybe_real step;          // place on its ladder, 0 the softest
    const char *note;              // "" for none
    thew_utc made_us;
    thew_date retired_day; // all-zero: in use
} thew_store_item;

typedef struct {
    const char *reading; // identifier
    const char *item;
    double length_m, force_n;
    thew_date measured_day; // all-zero: unknown
    const char *note;       // "" for none
    thew_utc made_us;
    const char *digest; // the store's
} thew_store_reading;

/// Make or change (when it was made stays). The owner's next revision, or everybody's.
THEW_STORE_MUST_USE thew_store_status thew_store_item_put(thew_db *db, const char *studio, const thew_store_item *item);
THEW_STORE_MUST_USE thew_store_status thew_store_item_find(thew_db *db, const char *studio, const char *item, thew_rows **rows);
/// Rows of thew_store_item: a person's own and everybody's, retired ones too; or the whole studio's. By label.
THEW_STORE_MUST_USE thew_store_status thew_store_item_of(thew_db *db, const char *studio, const char *person, thew_rows **rows);
THEW_STORE_MUST_USE thew_store_status thew_store_item_all(thew_db *db, const char *studio, thew_rows **rows);

/// Only added to.
///   status   THEW_STORE_REPEATED, _CONFLICT (another reading of that identifier), _NOT_FOUND (the item)
THEW_STORE_MUST_USE thew_store_status thew_store_reading_add(thew_db *db, const char *studio, const thew_store_reading *reading);
/// Rows of thew_store_reading, oldest first: of an item; of all that a person may use.
THEW_STORE_MUST_USE thew_store_status thew_store_reading_of(thew_db *db, const char *studio, const char *item, thew_rows **rows);
THEW_STORE_MUST_USE thew_store_status thew_store_reading_of_person(thew_db *db, const char *studio, const char *person,
                                                                   thew_rows **rows);

#endif
