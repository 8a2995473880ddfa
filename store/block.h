// block.h: training blocks: a person's weeks laid out; plans that never change; another plan is another version.
// Knows plans as texts. Leaves to others: what they say, what was done of them (studio/).
#ifndef THEW_STORE_BLOCK_H
#define THEW_STORE_BLOCK_H

#include "store/query.h"

typedef struct {
    const char *block;  // identifier
    int version;        // from 1, without gaps
    const char *person; // the same in every version
    const char *called;
    thew_date from_day, until_day;
    const char *plan; // JSON
    bool retired;     // from here on given up
    thew_utc made_us;
    const char *written_by;
} thew_store_block;

/// The next version.
///   status   THEW_STORE_REPEATED; _CONFLICT: that version is kept with another content, is not the next one, or is of
///            another person
THEW_STORE_MUST_USE thew_store_status thew_store_block_add(thew_db *db, const char *studio, const thew_store_block *block);
/// Rows of thew_store_block: the latest of each of a person's, retired ones too, by day; or all versions of one; of everybody those that
/// lie over a day and were not given up.
THEW_STORE_MUST_USE thew_store_status thew_store_block_latest(thew_db *db, const char *studio, const char *person,
                                                              thew_rows **rows);
THEW_STORE_MUST_USE thew_store_status thew_store_block_on(thew_db *db, const char *studio, thew_date day, thew_rows **rows);
THEW_STORE_MUST_USE thew_store_status thew_store_block_versions(thew_db *db, const char *studio, const char *block,
                                                                thew_rows **rows);

#endif
