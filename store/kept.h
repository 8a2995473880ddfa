// kept.h: things that are written once and never changed; for the files of the store only.
// Knows when writing again is harmless and when it is a conflict. Leaves to others: which things (the subjects).
#ifndef THEW_STORE_KEPT_H
#define THEW_STORE_KEPT_H

#include "store/query.h"

/// Whether what is kept already is what is given.
///   kept     [0 or 1] row of the map's struct
///   status   THEW_STORE_OK: nothing is kept; THEW_STORE_REPEATED: the very same is; THEW_STORE_CONFLICT: something else is
THEW_STORE_MUST_USE thew_store_status thew_kept_compare(thew_db *db, const thew_map *map, const thew_rows *kept, const void *given,
                                                        const char *name);

/// The statements of something that is kept version by version, from 1, without gaps.
typedef struct {
    const thew_sql *find; // studio, name, version: that version's row
    const thew_sql *last; // studio, name: the latest version's number
    const thew_sql *add;  // studio, then all that is given
} thew_kept_versions;

/// Find one version, as 0 or 1 row.
THEW_STORE_MUST_USE thew_store_status thew_kept_find_version(thew_db *db, const thew_sql *find, const char *studio,
                                                             const char *name, int version, const thew_map *map, thew_rows **rows);
/// Add one: the next, or one that is kept already just so.
THEW_STORE_MUST_USE thew_store_status thew_kept_next_version(thew_db *db, const thew_kept_versions *versions, const char *studio,
                                                             const char *name, int version, const thew_map *map, const void *given);

/// A sentence for every row that is not what its digest says. The digest is the map's last member, and the first names the row.
void thew_kept_check(const thew_map *map, const thew_rows *rows, const char *studio, GPtrArray *finding);

extern const thew_map thew_reading_map, thew_event_map; // of kit.c and run.c

#endif
