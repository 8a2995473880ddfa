// addition.h: what a studio adds to the catalogue: files of its own, version by version.
// Knows names and bytes. Leaves to others: what they say (catalogue/).
#ifndef THEW_STORE_ADDITION_H
#define THEW_STORE_ADDITION_H

#include "store/query.h"

typedef struct {
    const char *name; // as in the catalogue's folder: "movements/my-row.json"
    int version;      // from 1, without gaps
    const char *json; // NULL: from here on withdrawn
    thew_utc made_us;
    const char *written_by;
} thew_store_addition;

/// The next version of a file.
///   status   THEW_STORE_REPEATED; _CONFLICT: that version is kept with another content, or is not the next one
THEW_STORE_MUST_USE thew_store_status thew_store_addition_add(thew_db *db, const char *studio, const thew_store_addition *addition);
/// Rows of thew_store_addition: the latest of each name, withdrawn ones too, by name; or all versions of one.
THEW_STORE_MUST_USE thew_store_status thew_store_addition_latest(thew_db *db, const char *studio, thew_rows **rows);
THEW_STORE_MUST_USE thew_store_status thew_store_addition_versions(thew_db *db, const char *studio, const char *name,
                                                                   thew_rows **rows);

#endif
