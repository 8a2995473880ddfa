// class.h: classes: plans that never change; another plan is another version.
// Knows plans as texts. Leaves to others: what they say (studio/), when they are held (run.h).
#ifndef THEW_STORE_CLASS_H
#define THEW_STORE_CLASS_H

#include "store/query.h"

typedef struct {
    const char *class; // identifier
    int version;       // from 1, without gaps
    const char *called;
    double minutes;
    const char *plan; // JSON; names no person
    bool retired;     // from here on off the list
    thew_utc made_us;
    const char *written_by;
} thew_store_class;

/// The next version.
///   status   THEW_STORE_REPEATED; _CONFLICT: that version is kept with another content, or is not the next one
THEW_STORE_MUST_USE thew_store_status thew_store_class_add(thew_db *db, const char *studio, const thew_store_class *class);
/// One row of thew_store_class, or THEW_STORE_NOT_FOUND.
THEW_STORE_MUST_USE thew_store_status thew_store_class_find(thew_db *db, const char *studio, const char *class, int version,
                                                            thew_rows **rows);
/// Rows of thew_store_class: the latest of each, retired ones too, by what they are called; or all versions of one.
THEW_STORE_MUST_USE thew_store_status thew_store_class_latest(thew_db *db, const char *studio, thew_rows **rows);
THEW_STORE_MUST_USE thew_store_status thew_store_class_versions(thew_db *db, const char *studio, const char *class,
                                                                thew_rows **rows);

#endif
