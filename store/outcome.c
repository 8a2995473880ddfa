// outcome.c: see outcome.h.
#include "store/outcome.h"

#include "store/entry_parts.h"
#include "store/statements.h"

static const thew_sql sql[] = {
    THEW_ENTRY_SQL("outcome", "measure, value, unit, side, practice, aid",
                   "$1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19"),
};
const thew_sql_list thew_outcome_sql = { sql, G_N_ELEMENTS(sql) };

static const thew_field fields[] = {
    THEW_ENTRY_FIELDS(thew_store_outcome), THEW_FIELD(thew_store_outcome, measure), THEW_FIELD(thew_store_outcome, value),
    THEW_FIELD(thew_store_outcome, unit),  THEW_FIELD(thew_store_outcome, side),    THEW_FIELD(thew_store_outcome, practice),
    THEW_FIELD(thew_store_outcome, aid),   THEW_KEPT_FIELDS(thew_store_outcome),
};
static const thew_map map = THEW_MAP(thew_store_outcome, fields, G_N_ELEMENTS(fields) - THEW_KEPT_FIELDS_COUNT);
const thew_entry_table thew_outcome_table = { sql, &map };

thew_store_status thew_store_outcome_add(thew_db *db, const char *studio, const thew_store_outcome *outcome)
{
    return thew_entry_add(db, &thew_outcome_table, studio, outcome);
}

thew_store_status thew_store_outcome_find(thew_db *db, const char *studio, const char *record, thew_rows **rows)
{
    return thew_entry_find(db, &thew_outcome_table, studio, record, rows);
}

thew_store_status thew_store_outcome_current(thew_db *db, const char *studio, const char *person, thew_date from, thew_date until,
                                             thew_rows **rows)
{
    return thew_entry_current(db, &thew_outcome_table, studio, person, from, until, rows);
}

thew_store_status thew_store_outcome_history(thew_db *db, const char *studio, const char *person, thew_rows **rows)
{
    return thew_entry_history(db, &thew_outcome_table, studio, person, rows);
}
