// addition.c: see addition.h.
#include "store/addition.h"

#include "store/kept.h"
#include "store/statements.h"

#define ADDITION "name, version, json, made_us, written_by"

enum { ADD, FIND, LAST, LATEST, VERSIONS };
static const thew_sql sql[] = {
    [ADD] = { "addition.add", "INSERT INTO addition (studio, " ADDITION ") VALUES ($1, $2, $3, $4, $5, $6)" },
    [FIND] = { "addition.find", "SELECT " ADDITION " FROM addition WHERE studio = $1 AND name = $2 AND version = $3" },
    [LAST] = { "addition.last", "SELECT MAX(version) FROM addition WHERE studio = $1 AND name = $2" },
    [LATEST] = { "addition.latest", "SELECT " ADDITION " FROM addition AS a WHERE studio = $1 AND version = (SELECT MAX(b.version) "
                                    "FROM addition AS b WHERE b.studio = a.studio AND b.name = a.name) ORDER BY name" },
    [VERSIONS] = { "addition.versions", "SELECT " ADDITION " FROM addition WHERE studio = $1 AND name = $2 ORDER BY version" },
};
const thew_sql_list thew_addition_sql = { sql, G_N_ELEMENTS(sql) };

static const thew_field fields[] = {
    THEW_FIELD(thew_store_addition, name),    THEW_FIELD(thew_store_addition, version),    THEW_FIELD(thew_store_addition, json),
    THEW_FIELD(thew_store_addition, made_us), THEW_FIELD(thew_store_addition, written_by),
};
static const thew_map map = THEW_MAP(thew_store_addition, fields, G_N_ELEMENTS(fields));

thew_store_status thew_store_addition_add(thew_db *db, const char *studio, const thew_store_addition *addition)
{
    thew_kept_versions versions = { &sql[FIND], &sql[LAST], &sql[ADD] };
    return thew_kept_next_version(db, &versions, studio, addition->name, addition->version, &map, addition);
}

thew_store_status thew_store_addition_latest(thew_db *db, const char *studio, thew_rows **rows)
{
    return thew_query_rows_for(db, &sql[LATEST], THEW_KEYS(studio), &map, rows);
}

thew_store_status thew_store_addition_versions(thew_db *db, const char *studio, const char *name, thew_rows **rows)
{
    return thew_query_rows_for(db, &sql[VERSIONS], THEW_KEYS(studio, name), &map, rows);
}
