// tables.h: every table there is, counted; for the files of the store only.
// Knows which tables this program knows, and which the database has: a table that the one has and the other lacks is found.
#ifndef THEW_STORE_TABLES_H
#define THEW_STORE_TABLES_H

#include "store/query.h"

typedef struct {
    const char *name;
    const thew_sql *count;     // all its rows
    const thew_sql *of_person; // those of a person: studio, person; NULL if it has no column `person`
} thew_table;

/// The tables that this program knows, by name.
const thew_table *thew_tables(size_t *count);

typedef struct {
    const char *table_name, *column_name;
} thew_table_column;

/// Every column of every table of the database, from its own schema.
THEW_STORE_MUST_USE thew_store_status thew_tables_columns(thew_db *db, thew_rows **rows);

/// Whether the tables of the database, and those of them that hold a person, are those that this program knows.
///   finding   a sentence is added for each that is not
THEW_STORE_MUST_USE thew_store_status thew_tables_check(thew_db *db, GPtrArray *finding);

/// Count all rows: out [thew_tables' count].
THEW_STORE_MUST_USE thew_store_status thew_tables_count(thew_db *db, gint64 *rows);

#endif
