// advice.c: see advice.h.
#include "store/advice.h"

#include "store/kept.h"
#include "store/statements.h"

#define TOLD                                                                                                                       \
    "advice, person, day, exercise, variant, side, implement, setting, label, demand, p_floor, p_early, p_window, p_beyond, "      \
    "p10_s, p50_s, p90_s, goal_s, reason, engine, made_us"
#define BECAME "became, became_us, record, accepted_us"
#define OVERRIDE "override, advice, person, variant, implement, setting, label, demand, reason, made_us, written_by"

enum { ADD, SETTLE, ACCEPT, FIND, OF, ON, ALL, OVERRIDE_ADD, OVERRIDE_FIND, OVERRIDE_OF };
static const thew_sql sql[] = {
    [ADD] = { "advice.add",
              "INSERT INTO advice (studio, " TOLD ", " BECAME ") VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, "
              "$13, $14, $15, $16, $17, $18, $19, $20, $21, $22, $23, $24, $25, $26)" },
    [SETTLE] = { "advice.settle", "UPDATE advice SET became = $1, became_us = $2, record = $3 WHERE studio = $4 AND advice = $5" },
    [ACCEPT] = { "advice.accept", "UPDATE advice SET accepted_us = $1 WHERE studio = $2 AND advice = $3" },
    [FIND] = { "advice.find", "SELECT " TOLD ", " BECAME " FROM advice WHERE studio = $1 AND advice = $2" },
    [OF] = { "advice.of",
             "SELECT " TOLD ", " BECAME " FROM advice WHERE studio = $1 AND person = $2 ORDER BY day, made_us, advice" },
    [ON] = { "advice.on", "SELECT " TOLD ", " BECAME " FROM advice WHERE studio = $1 AND person = $2 AND (day >= $3 OR "
                          "became = 'open') ORDER BY day, made_us, advice" },
    [ALL] = { "advice.all",
              "SELECT " TOLD ", " BECAME " FROM advice WHERE studio = $1 AND became = $2 ORDER BY day, made_us, advice" },
    [OVERRIDE_ADD] = { "override_reason.add", "INSERT INTO override_reason (studio, " OVERRIDE ") "
                                              "VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12)" },
    [OVERRIDE_FIND] = { "override_reason.find", "SELECT " OVERRIDE " FROM override_reason WHERE studio = $1 AND override = $2" },
    [OVERRIDE_OF] = { "override_reason.of",
                      "SELECT " OVERRIDE " FROM override_reason WHERE studio = $1 AND person = $2 ORDER BY made_us, override" },
};
const thew_sql_list thew_advice_sql = { sql, G_N_ELEMENTS(sql) };

static const thew_field advice_fields[] = {
    THEW_FIELD(thew_store_advice, advice),    THEW_FIELD(thew_store_advice, person),    THEW_FIELD(thew_store_advice, day),
    THEW_FIELD(thew_store_advice, exercise),  THEW_FIELD(thew_store_advice, variant),   THEW_FIELD(thew_store_advice, side),
    THEW_FIELD(thew_store_advice, implement), THEW_FIELD(thew_store_advice, setting),   THEW_FIELD(thew_store_advice, label),
    THEW_FIELD(thew_store_advice, demand),    THEW_FIELD(thew_store_advice, p_floor),   THEW_FIELD(thew_store_advice, p_early),
    THEW_FIELD(thew_store_advice, p_window),  THEW_FIELD(thew_store_advice, p_beyond),  THEW_FIELD(thew_store_advice, p10_s),
    THEW_FIELD(thew_store_advice, p50_s),     THEW_FIELD(thew_store_advice, p90_s),     THEW_FIELD(thew_store_advice, goal_s),
    THEW_FIELD(thew_store_advice, reason),    THEW_FIELD(thew_store_advice, engine),    THEW_FIELD(thew_store_advice, made_us),
    THEW_FIELD(thew_store_advice, became),    THEW_FIELD(thew_store_advice, became_us), THEW_FIELD(thew_store_advice, record),
    THEW_FIELD(thew_store_advice, accepted_us),
};
static const thew_map advice_map = THEW_MAP(thew_store_advice, advice_fields, G_N_ELEMENTS(advice_fields));
// What was told never changes, what became of it does: only the first tells a repeat from a conflict.
static const thew_map told_map = THEW_MAP(thew_store_advice, advice_fields, G_N_ELEMENTS(advice_fields) - 4);

static const thew_field override_fields[] = {
    THEW_FIELD(thew_store_override, override),   THEW_FIELD(thew_store_override, advice),
    THEW_FIELD(thew_store_override, person),     THEW_FIELD(thew_store_override, variant),
    THEW_FIELD(thew_store_override, implement),  THEW_FIELD(thew_store_override, setting),
    THEW_FIELD(thew_store_override, label),      THEW_FIELD(thew_store_override, demand),
    THEW_FIELD(thew_store_override, reason),     THEW_FIELD(thew_store_override, made_us),
    THEW_FIELD(thew_store_override, written_by),
};
static const thew_map override_map = THEW_MAP(thew_store_override, override_fields, G_N_ELEMENTS(override_fields));

thew_store_status thew_store_advice_add(thew_db *db, const char *studio, const thew_store_advice *advice)
{
    g_autoptr(thew_rows) kept = NULL;
    thew_store_status status = thew_query_rows_for(db, &sql[FIND], THEW_KEYS(studio, advice->advice), &advice_map, &kept);
    if (status >= 0) status = thew_kept_compare(db, &told_map, kept, advice, advice->advice);
    return status != THEW_STORE_OK ? status : thew_query_put(db, &sql[ADD], THEW_KEYS(studio), &advice_map, advice);
}

thew_store_status thew_store_advice_settle(thew_db *db, const char *studio, const char *advice, const char *became, thew_utc at,
                                           const char *record)
{
    gint64 changed;
    thew_query query = thew_query_of(db, &sql[SETTLE]);
    thew_query_text(&query, became);
    thew_query_utc(&query, at);
    thew_query_text(&query, record);
    thew_query_text(&query, studio);
    thew_query_text(&query, advice);
    thew_store_status status = thew_query_run(&query, &changed);
    return thew_query_found(db, &sql[SETTLE], status, changed);
}

thew_store_status thew_store_advice_accept(thew_db *db, const char *studio, const char *advice, thew_utc at)
{
    gint64 changed;
    thew_query query = thew_query_of(db, &sql[ACCEPT]);
    thew_query_utc(&query, at);
    thew_query_text(&query, studio);
    thew_query_text(&query, advice);
    thew_store_status status = thew_query_run(&query, &changed);
    return thew_query_found(db, &sql[ACCEPT], status, changed);
}

thew_store_status thew_store_advice_find(thew_db *db, const char *studio, const char *advice, thew_rows **rows)
{
    return thew_query_one_for(db, &sql[FIND], THEW_KEYS(studio, advice), &advice_map, rows);
}

thew_store_status thew_store_advice_of(thew_db *db, const char *studio, const char *person, thew_rows **rows)
{
    return thew_query_rows_for(db, &sql[OF], THEW_KEYS(studio, person), &advice_map, rows);
}

thew_store_status thew_store_advice_on(thew_db *db, const char *studio, const char *person, thew_date from, thew_rows **rows)
{
    thew_query query = thew_query_of(db, &sql[ON]);
    thew_query_text(&query, studio);
    thew_query_text(&query, person);
    thew_query_date(&query, from);
    return thew_query_rows(&query, &advice_map, rows);
}

thew_store_status thew_store_advice_all(thew_db *db, const char *studio, const char *became, thew_rows **rows)
{
    return thew_query_rows_for(db, &sql[ALL], THEW_KEYS(studio, became), &advice_map, rows);
}

thew_store_status thew_store_override_add(thew_db *db, const char *studio, const thew_store_override *override)
{
    g_autoptr(thew_rows) kept = NULL;
    thew_store_status status =
        thew_query_rows_for(db, &sql[OVERRIDE_FIND], THEW_KEYS(studio, override->override), &override_map, &kept);
    if (status >= 0) status = thew_kept_compare(db, &override_map, kept, override, override->override);
    return status != THEW_STORE_OK ? status : thew_query_put(db, &sql[OVERRIDE_ADD], THEW_KEYS(studio), &override_map, override);
}

thew_store_status thew_store_override_of(thew_db *db, const char *studio, const char *person, thew_rows **rows)
{
    return thew_query_rows_for(db, &sql[OVERRIDE_OF], THEW_KEYS(studio, person), &override_map, rows);
}
