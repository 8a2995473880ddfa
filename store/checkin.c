// checkin.c: see checkin.h.
#include "store/checkin.h"

#include "store/entry_parts.h"
#include "store/statements.h"

static const thew_sql sql[] = {
    THEW_ENTRY_SQL("checkin", "room_c, humidity_percent, heat_index_c, fatigue, sleep, readiness, answers, verdict",
                   "$1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19, $20, $21"),
};
const thew_sql_list thew_checkin_sql = { sql, G_N_ELEMENTS(sql) };

static const thew_field fields[] = {
    THEW_ENTRY_FIELDS(thew_store_checkin),
    THEW_FIELD(thew_store_checkin, room_c),
    THEW_FIELD(thew_store_checkin, humidity_percent),
    THEW_FIELD(thew_store_checkin, heat_index_c),
    THEW_FIELD(thew_store_checkin, fatigue),
    THEW_FIELD(thew_store_checkin, sleep),
    THEW_FIELD(thew_store_checkin, readiness),
    THEW_FIELD(thew_store_checkin, answers),
    THEW_FIELD(thew_store_checkin, verdict),
    THEW_KEPT_FIELDS(thew_store_checkin),
};
static const thew_map map = THEW_MAP(thew_store_checkin, fields, G_N_ELEMENTS(fields) - THEW_KEPT_FIELDS_COUNT);
const thew_entry_table thew_checkin_table = { sql, &map };

thew_store_status thew_store_checkin_add(thew_db *db, const char *studio, const thew_store_checkin *checkin)
{
    return thew_entry_add(db, &thew_checkin_table, studio, checkin);
}

thew_store_status thew_store_checkin_find(thew_db *db, const char *studio, const char *record, thew_rows **rows)
{
    return thew_entry_find(db, &thew_checkin_table, studio, record, rows);
}

thew_store_status thew_store_checkin_current(thew_db *db, const char *studio, const char *person, thew_date from, thew_date until,
                                             thew_rows **rows)
{
    return thew_entry_current(db, &thew_checkin_table, studio, person, from, until, rows);
}

thew_store_status thew_store_checkin_history(thew_db *db, const char *studio, const char *person, thew_rows **rows)
{
    return thew_entry_history(db, &thew_checkin_table, studio, person, rows);
}
