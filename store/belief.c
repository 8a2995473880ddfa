// belief.c: see belief.h.
#include "store/belief.h"

#include "store/statements.h"

#define BELIEF "person, engine, revision, made_us, posterior"

enum { PUT, FIND, STALE, DROP };
static const thew_sql sql[] = {
    [PUT] = { "belief.put", "INSERT INTO belief (studio, " BELIEF ") VALUES ($1, $2, $3, $4, $5, $6) ON CONFLICT (studio, person) "
                            "DO UPDATE SET engine = excluded.engine, revision = excluded.revision, made_us = excluded.made_us, "
                            "posterior = excluded.posterior" },
    [FIND] = { "belief.find", "SELECT " BELIEF " FROM belief WHERE studio = $1 AND person = $2" },
    [STALE] = { "belief.stale",
                "SELECT person, revision FROM person AS p WHERE studio = $1 AND NOT EXISTS (SELECT 1 FROM belief AS b "
                "WHERE b.studio = p.studio AND b.person = p.person AND b.revision = p.revision AND b.engine = $2) "
                "ORDER BY person" },
    [DROP] = { "belief.drop", "DELETE FROM belief WHERE studio = $1" },
};
const thew_sql_list thew_belief_sql = { sql, G_N_ELEMENTS(sql) };

static const thew_field fields[] = {
    THEW_FIELD(thew_store_belief, person),  THEW_FIELD(thew_store_belief, engine),    THEW_FIELD(thew_store_belief, revision),
    THEW_FIELD(thew_store_belief, made_us), THEW_FIELD(thew_store_belief, posterior),
};
static const thew_map map = THEW_MAP(thew_store_belief, fields, G_N_ELEMENTS(fields));

static const thew_field stale_fields[] = {
    THEW_FIELD(thew_store_stale, person),
    THEW_FIELD(thew_store_stale, revision),
};
static const thew_map stale_map = THEW_MAP(thew_store_stale, stale_fields, G_N_ELEMENTS(stale_fields));

thew_store_status thew_store_belief_put(thew_db *db, const char *studio, const thew_store_belief *belief)
{
    return thew_query_put(db, &sql[PUT], THEW_KEYS(studio), &map, belief);
}

thew_store_status thew_store_belief_find(thew_db *db, const char *studio, const char *person, thew_rows **rows)
{
    return thew_query_one_for(db, &sql[FIND], THEW_KEYS(studio, person), &map, rows);
}

thew_store_status thew_store_belief_stale(thew_db *db, const char *studio, const char *engine, thew_rows **rows)
{
    return thew_query_rows_for(db, &sql[STALE], THEW_KEYS(studio, engine), &stale_map, rows);
}

thew_store_status thew_store_belief_drop(thew_db *db, const char *studio)
{
    return thew_query_run_for(db, &sql[DROP], THEW_KEYS(studio), NULL);
}
