// diary.c: see diary.h.
#include "store/diary.h"

#include "store/entry_parts.h"
#include "store/statements.h"

#define OWN "run, exercise, variant, side, implement, setting, ended, seconds, reserve_s, exertion, reengaged"

enum { OF_RUN = THEW_ENTRY_STATEMENTS, COUNT };
static const thew_sql sql[] = {
    THEW_ENTRY_SQL("diary", OWN,
                   "$1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19, $20, $21, $22, $23, $24"),
    [OF_RUN] = { "diary.of_run", "SELECT " THEW_ENTRY_COLUMNS ", " OWN ", " THEW_KEPT_COLUMNS " FROM diary AS e "
                                 "WHERE studio = $1 AND run = $2 AND " THEW_ENTRY_IS_CURRENT(
                                     "diary") " ORDER BY person, day, at_us NULLS FIRST, revision" },
    [COUNT] = { "diary.count_current", "SELECT COUNT(*) FROM diary AS e WHERE studio = $1 AND " THEW_ENTRY_IS_CURRENT("diary") },
};
const thew_sql_list thew_diary_sql = { sql, G_N_ELEMENTS(sql) };

static const thew_field fields[] = {
    THEW_ENTRY_FIELDS(thew_store_set),     THEW_FIELD(thew_store_set, run),      THEW_FIELD(thew_store_set, exercise),
    THEW_FIELD(thew_store_set, variant),   THEW_FIELD(thew_store_set, side),     THEW_FIELD(thew_store_set, implement),
    THEW_FIELD(thew_store_set, setting),   THEW_FIELD(thew_store_set, ended),    THEW_FIELD(thew_store_set, seconds),
    THEW_FIELD(thew_store_set, reserve_s), THEW_FIELD(thew_store_set, exertion), THEW_FIELD(thew_store_set, reengaged),
    THEW_KEPT_FIELDS(thew_store_set),
};
static const thew_map map = THEW_MAP(thew_store_set, fields, G_N_ELEMENTS(fields) - THEW_KEPT_FIELDS_COUNT);
const thew_entry_table thew_diary_table = { sql, &map };

thew_store_status thew_store_diary_add(thew_db *db, const char *studio, const thew_store_set *set)
{
    return thew_entry_add(db, &thew_diary_table, studio, set);
}

thew_store_status thew_store_diary_find(thew_db *db, const char *studio, const char *record, thew_rows **rows)
{
    return thew_entry_find(db, &thew_diary_table, studio, record, rows);
}

thew_store_status thew_store_diary_current(thew_db *db, const char *studio, const char *person, thew_date from, thew_date until,
                                           thew_rows **rows)
{
    return thew_entry_current(db, &thew_diary_table, studio, person, from, until, rows);
}

thew_store_status thew_store_diary_history(thew_db *db, const char *studio, const char *person, thew_rows **rows)
{
    return thew_entry_history(db, &thew_diary_table, studio, person, rows);
}

thew_store_status thew_store_diary_of_run(thew_db *db, const char *studio, const char *run, thew_rows **rows)
{
    return thew_query_rows_for(db, &sql[OF_RUN], THEW_KEYS(studio, run), &map, rows);
}

thew_store_status thew_store_diary_count(thew_db *db, const char *studio, gint64 *count)
{
    thew_query query = thew_query_of(db, &sql[COUNT]);
    thew_query_text(&query, studio);
    return thew_query_number(&query, 0, count);
}
