// studio.h: the studio itself and what it has set.
#ifndef THEW_STORE_STUDIO_H
#define THEW_STORE_STUDIO_H

#include "store/query.h"

typedef struct {
    const char *studio; // identifier
    const char *called;
    const char *zone;     // of the tz database: "Europe/Vienna"
    const char *language; // BCP 47: "en"
    thew_utc made_us;
} thew_store_studio;

typedef struct {
    const char *setting, *value;
} thew_store_setting;

/// Make it, or change what it is called, its zone, its language.
THEW_STORE_MUST_USE thew_store_status thew_store_studio_put(thew_db *db, const thew_store_studio *studio);
/// One row of thew_store_studio, or THEW_STORE_NOT_FOUND.
THEW_STORE_MUST_USE thew_store_status thew_store_studio_find(thew_db *db, const char *studio, thew_rows **rows);
/// All studios of this database.
THEW_STORE_MUST_USE thew_store_status thew_store_studio_all(thew_db *db, thew_rows **rows);

/// Set one; a NULL value takes it back to what the program would do.
THEW_STORE_MUST_USE thew_store_status thew_store_setting_put(thew_db *db, const char *studio, const thew_store_setting *setting);
/// Rows of thew_store_setting.
THEW_STORE_MUST_USE thew_store_status thew_store_setting_all(thew_db *db, const char *studio, thew_rows **rows);

#endif
