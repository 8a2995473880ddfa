// entry.c: see entry.h.
#include "store/entry.h"

#include <string.h>

#include "store/entry_parts.h"
#include "store/person.h"

static const thew_date first_day = { 1, 1, 1 }, last_day = { 9999, 12, 31 };

static thew_store_status ask(thew_db *db, const thew_sql *sql, const char *const *key, char **word)
{
    thew_query query = thew_query_of(db, sql);
    for (; *key != NULL; key++)
        thew_query_text(&query, *key);
    return thew_query_word(&query, word);
}

static thew_store_status compare_with_kept(thew_db *db, const thew_entry_table *table, const char *studio, const char *record,
                                           const char *digest)
{
    g_autofree char *kept = NULL;
    thew_store_status status = ask(db, &table->sql[THEW_ENTRY_DIGEST], THEW_KEYS(studio, record), &kept);
    if (status < 0 || kept == NULL) return status;
    if (strncmp(kept, digest, THEW_DIGEST_TEXT - 1) == 0) return THEW_STORE_REPEATED; // of a seal the first part
    return thew_db_fail(db, THEW_STORE_CONFLICT, "record %s, with another content", record);
}

// The table's keys would refuse the same, but without saying which record is in the way, and spoiling the transaction.
static thew_store_status check_correction(thew_db *db, const thew_entry_table *table, const char *studio,
                                          const thew_store_entry *entry)
{
    g_autofree char *owner = NULL, *other = NULL;
    thew_store_status status = ask(db, &table->sql[THEW_ENTRY_OWNER], THEW_KEYS(studio, entry->replaces), &owner);
    if (status < 0) return status;
    if (owner == NULL || strcmp(owner, entry->person) != 0)
        return thew_db_fail(db, THEW_STORE_NOT_FOUND, "record %s of this person, which record %s would replace", entry->replaces,
                            entry->record);
    status = ask(db, &table->sql[THEW_ENTRY_REPLACING], THEW_KEYS(studio, entry->person, entry->replaces), &other);
    if (status < 0) return status;
    if (other != NULL)
        return thew_db_fail(db, THEW_STORE_CONFLICT, "record %s is replaced by record %s already: correct that one",
                            entry->replaces, other);
    return THEW_STORE_OK;
}

static thew_store_status add(thew_db *db, const thew_entry_table *table, const char *studio, const void *row, gint64 revision)
{
    const thew_map *map = table->map;
    g_autofree char *whole = g_memdup2(row, map->size);
    thew_store_kept *kept = (thew_store_kept *)(void *)(whole + map->field[map->given].offset); // its last member
    char seal[THEW_SEAL_TEXT];
    *kept = (thew_store_kept){ .revision = revision, .kept_us = thew_utc_now(), .digest = seal };
    thew_map_seal(map, whole, seal);

    thew_query query = thew_query_of(db, &table->sql[THEW_ENTRY_ADD]);
    thew_query_text(&query, studio);
    thew_query_row(&query, map, whole);
    return thew_query_run(&query, NULL);
}

thew_store_status thew_entry_add(thew_db *db, const thew_entry_table *table, const char *studio, const void *row)
{
    const thew_store_entry *entry = row; // its first member
    char digest[THEW_DIGEST_TEXT];
    thew_map_digest(table->map, row, digest);
    thew_store_status status = compare_with_kept(db, table, studio, entry->record, digest);
    if (status == THEW_STORE_OK && entry->replaces != NULL) status = check_correction(db, table, studio, entry);
    gint64 revision;
    if (status == THEW_STORE_OK) status = thew_store_person_touch(db, studio, entry->person, &revision);
    return status != THEW_STORE_OK ? status : add(db, table, studio, row, revision);
}

thew_store_status thew_entry_find(thew_db *db, const thew_entry_table *table, const char *studio, const char *record,
                                  thew_rows **rows)
{
    return thew_query_one_for(db, &table->sql[THEW_ENTRY_FIND], THEW_KEYS(studio, record), table->map, rows);
}

thew_store_status thew_entry_current(thew_db *db, const thew_entry_table *table, const char *studio, const char *person,
                                     thew_date from, thew_date until, thew_rows **rows)
{
    thew_query query = thew_query_of(db, &table->sql[person != NULL ? THEW_ENTRY_CURRENT : THEW_ENTRY_OF_ALL]);
    thew_query_text(&query, studio);
    if (person != NULL) thew_query_text(&query, person);
    thew_query_date(&query, from.year != 0 ? from : first_day);
    thew_query_date(&query, until.year != 0 ? until : last_day);
    return thew_query_rows(&query, table->map, rows);
}

thew_store_status thew_entry_history(thew_db *db, const thew_entry_table *table, const char *studio, const char *person,
                                     thew_rows **rows)
{
    return thew_query_rows_for(db, &table->sql[THEW_ENTRY_HISTORY], THEW_KEYS(studio, person), table->map, rows);
}
