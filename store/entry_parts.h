// entry_parts.h: the statements and steps that diary, check-ins and outcome measures share; for the files of the store only.
#ifndef THEW_STORE_ENTRY_PARTS_H
#define THEW_STORE_ENTRY_PARTS_H

#include "store/entry.h"

/// One of the tables. Its rows begin with a thew_store_entry and end with a thew_store_kept.
typedef struct {
    const thew_sql *sql; // by the enumeration below
    const thew_map *map;
} thew_entry_table;

extern const thew_entry_table thew_diary_table, thew_checkin_table, thew_outcome_table;

enum {
    THEW_ENTRY_ADD,
    THEW_ENTRY_DIGEST,
    THEW_ENTRY_OWNER,
    THEW_ENTRY_REPLACING,
    THEW_ENTRY_FIND,
    THEW_ENTRY_CURRENT,
    THEW_ENTRY_HISTORY,
    THEW_ENTRY_OF_ALL,
    THEW_ENTRY_STATEMENTS
};

#define THEW_ENTRY_COLUMNS "record, person, day, at_us, replaces, withdrawn, written_by, device, note"
#define THEW_KEPT_COLUMNS "revision, kept_us, digest"
#define THEW_ENTRY_IS_CURRENT(table)                                                                                               \
    "withdrawn = 0 AND NOT EXISTS (SELECT 1 FROM " table                                                                           \
    " AS c WHERE c.studio = e.studio AND c.person = e.person AND c.replaces = e.record)"

/// own: the table's own columns; values: as many parameters as there are columns.
#define THEW_ENTRY_SQL(table, own, values)                                                                                         \
    [THEW_ENTRY_ADD] = { table ".add", "INSERT INTO " table " (studio, " THEW_ENTRY_COLUMNS ", " own ", " THEW_KEPT_COLUMNS        \
                                       ") VALUES (" values ")" },                                                                  \
    [THEW_ENTRY_DIGEST] = { table ".digest", "SELECT digest FROM " table " WHERE studio = $1 AND record = $2" },                   \
    [THEW_ENTRY_OWNER] = { table ".owner", "SELECT person FROM " table " WHERE studio = $1 AND record = $2" },                     \
    [THEW_ENTRY_REPLACING] = { table ".replacing",                                                                                 \
                               "SELECT record FROM " table " WHERE studio = $1 AND person = $2 AND replaces = $3" },               \
    [THEW_ENTRY_FIND] = { table ".find", "SELECT " THEW_ENTRY_COLUMNS ", " own ", " THEW_KEPT_COLUMNS " FROM " table               \
                                         " WHERE studio = $1 AND record = $2" },                                                   \
    [THEW_ENTRY_CURRENT] = { table ".current",                                                                                     \
                             "SELECT " THEW_ENTRY_COLUMNS ", " own ", " THEW_KEPT_COLUMNS " FROM " table                           \
                             " AS e WHERE studio = $1 AND person = $2 AND day BETWEEN $3 AND $4 AND " THEW_ENTRY_IS_CURRENT(       \
                                 table) " ORDER BY day, at_us NULLS FIRST, revision" },                                            \
    [THEW_ENTRY_HISTORY] = { table ".history", "SELECT " THEW_ENTRY_COLUMNS ", " own ", " THEW_KEPT_COLUMNS " FROM " table         \
                                               " WHERE studio = $1 AND person = $2 ORDER BY revision" },                           \
    [THEW_ENTRY_OF_ALL] = { table ".of_all", "SELECT " THEW_ENTRY_COLUMNS ", " own ", " THEW_KEPT_COLUMNS " FROM " table           \
                                             " AS e WHERE studio = $1 AND day BETWEEN $2 AND $3 AND " THEW_ENTRY_IS_CURRENT(       \
                                                 table) " ORDER BY person, day, at_us NULLS FIRST, revision" }

#define THEW_ENTRY_FIELDS(type)                                                                                                    \
    THEW_FIELD_AS(type, entry.record, "record"), THEW_FIELD_AS(type, entry.person, "person"),                                      \
        THEW_FIELD_AS(type, entry.day, "day"), THEW_FIELD_AS(type, entry.at_us, "at_us"),                                          \
        THEW_FIELD_AS(type, entry.replaces, "replaces"), THEW_FIELD_AS(type, entry.withdrawn, "withdrawn"),                        \
        THEW_FIELD_AS(type, entry.written_by, "written_by"), THEW_FIELD_AS(type, entry.device, "device"),                          \
        THEW_FIELD_AS(type, entry.note, "note")
#define THEW_KEPT_FIELDS(type)                                                                                                     \
    THEW_FIELD_AS(type, kept.revision, "revision"), THEW_FIELD_AS(type, kept.kept_us, "kept_us"),                                  \
        THEW_FIELD_AS(type, kept.digest, "digest")
#define THEW_KEPT_FIELDS_COUNT 3

THEW_STORE_MUST_USE thew_store_status thew_entry_add(thew_db *db, const thew_entry_table *table, const char *studio,
                                                     const void *row);
THEW_STORE_MUST_USE thew_store_status thew_entry_find(thew_db *db, const thew_entry_table *table, const char *studio,
                                                      const char *record, thew_rows **rows);
/// Days from and until, both included; all-zero: open. Without a person: of everybody, one after the other.
THEW_STORE_MUST_USE thew_store_status thew_entry_current(thew_db *db, const thew_entry_table *table, const char *studio,
                                                         const char *person, thew_date from, thew_date until, thew_rows **rows);
THEW_STORE_MUST_USE thew_store_status thew_entry_history(thew_db *db, const thew_entry_table *table, const char *studio,
                                                         const char *person, thew_rows **rows);

#endif
