// query.h: one statement: its parameters in, its rows out.
// Knows prepared statements and their cache. Leaves to others: what they say (each subject lists its own, statements.h all).
//
//   thew_query query = thew_query_of(db, &sql[FIND]);
//   thew_query_text(&query, studio);
//   thew_query_text(&query, person);
//   return thew_query_rows(&query, &map, rows);
//
// What goes wrong on the way is remembered and returned at the end.
//
// SQL that SQLite and PostgreSQL both speak:
//   - $1, $2 ... numbered in the order of their first appearance (asserted: SQLite takes them for names); each given a type by what
//     stands beside it, or by CAST($3 AS TEXT);
//   - booleans are integers: `withdrawn = 0`; NULLS FIRST or LAST wherever NULL can be sorted; every column of GROUP BY written
//   out;
//   - COALESCE, COUNT, MAX, MIN, SUM, EXISTS, ON CONFLICT, RETURNING; not LIKE, lower, round, dates, JSON, ANY, GREATEST,
//   string_agg,
//     FOR UPDATE;
//   - texts are compared byte by byte: a PostgreSQL database has to be made with the collation C.
#ifndef THEW_STORE_QUERY_H
#define THEW_STORE_QUERY_H

#include "store/db.h"
#include "store/map.h"

/// A statement. Its name is `table.what`; its address is its identity in the cache, so it is static.
typedef struct {
    const char *name, *text;
} thew_sql;

typedef struct {
    thew_db *db;
    void *statement;
    int bound;
    thew_store_status status;
} thew_query;

/// Parameters follow one by one, in order; then exactly one of _run, _rows, _one or _number ends it.
thew_query thew_query_of(thew_db *db, const thew_sql *sql);
void thew_query_text(thew_query *query, const char *text); // NULL is NULL
void thew_query_integer(thew_query *query, gint64 value);
void thew_query_utc(thew_query *query, thew_utc utc);
void thew_query_date(thew_query *query, thew_date date);
void thew_query_blob(thew_query *query, thew_blob blob);
/// All members that the map lists; or only the writer's own.
void thew_query_row(thew_query *query, const thew_map *map, const void *row);
void thew_query_given(thew_query *query, const thew_map *map, const void *row);

/// Run it for what it changes; that needs a transaction (asserted: they begin and end in studio/).
///   changed   out: how many rows; may be NULL
///   status    THEW_STORE_REFUSED with the rule that was broken, _FULL, _DISK, _DAMAGED, _BUSY: all spoil the transaction
THEW_STORE_MUST_USE thew_store_status thew_query_run(thew_query *query, gint64 *changed);
/// All its rows. The columns bear the map's names, in its order (else THEW_STORE_BUG).
///   rows   out: NULL after a failure
THEW_STORE_MUST_USE thew_store_status thew_query_rows(thew_query *query, const thew_map *map, thew_rows **rows);
/// The same, but THEW_STORE_NOT_FOUND if there is none.
THEW_STORE_MUST_USE thew_store_status thew_query_one(thew_query *query, const thew_map *map, thew_rows **rows);
/// The first column of its first row, a number; `absent` without a row or where it is NULL.
THEW_STORE_MUST_USE thew_store_status thew_query_number(thew_query *query, gint64 absent, gint64 *value);
/// The same for a text; NULL without a row or where it is NULL. Newly allocated.
THEW_STORE_MUST_USE thew_store_status thew_query_word(thew_query *query, char **word);

// The usual shapes in one call. Keys are texts, none of them NULL: THEW_KEYS(studio, person).
#define THEW_KEYS(...) ((const char *const[]){ __VA_ARGS__, NULL })
THEW_STORE_MUST_USE thew_store_status thew_query_run_for(thew_db *db, const thew_sql *sql, const char *const *key, gint64 *changed);
THEW_STORE_MUST_USE thew_store_status thew_query_rows_for(thew_db *db, const thew_sql *sql, const char *const *key,
                                                          const thew_map *map, thew_rows **rows);
THEW_STORE_MUST_USE thew_store_status thew_query_one_for(thew_db *db, const thew_sql *sql, const char *const *key,
                                                         const thew_map *map, thew_rows **rows);
/// Keys, then what the writer gave.
THEW_STORE_MUST_USE thew_store_status thew_query_put(thew_db *db, const thew_sql *sql, const char *const *key, const thew_map *map,
                                                     const void *row);
/// A change that has to find its row: THEW_STORE_NOT_FOUND if it did not.
THEW_STORE_MUST_USE thew_store_status thew_query_found(thew_db *db, const thew_sql *sql, thew_store_status status, gint64 changed);

#endif
