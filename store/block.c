// block.c: see block.h.
#include "store/block.h"

#include <string.h>

#include "store/kept.h"
#include "store/statements.h"

#define BLOCK "block, version, person, called, from_day, until_day, plan, retired, made_us, written_by"

enum { ADD, FIND, LAST, OWNER, LATEST, ON, VERSIONS };
static const thew_sql sql[] = {
    [ADD] = { "block.add", "INSERT INTO block (studio, " BLOCK ") VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)" },
    [FIND] = { "block.find", "SELECT " BLOCK " FROM block WHERE studio = $1 AND block = $2 AND version = $3" },
    [LAST] = { "block.last", "SELECT MAX(version) FROM block WHERE studio = $1 AND block = $2" },
    [OWNER] = { "block.owner", "SELECT MAX(person) FROM block WHERE studio = $1 AND block = $2" },
    [LATEST] = { "block.latest",
                 "SELECT " BLOCK " FROM block AS a WHERE studio = $1 AND person = $2 AND version = (SELECT MAX(b.version) "
                 "FROM block AS b WHERE b.studio = a.studio AND b.block = a.block) ORDER BY from_day, block" },
    [ON] = { "block.on",
             "SELECT " BLOCK " FROM block AS a WHERE studio = $1 AND from_day <= $2 AND until_day >= $2 AND retired = 0 AND "
             "version = (SELECT MAX(b.version) FROM block AS b WHERE b.studio = a.studio AND b.block = a.block) "
             "ORDER BY person, from_day, block" },
    [VERSIONS] = { "block.versions", "SELECT " BLOCK " FROM block WHERE studio = $1 AND block = $2 ORDER BY version" },
};
const thew_sql_list thew_block_sql = { sql, G_N_ELEMENTS(sql) };

static const thew_field fields[] = {
    THEW_FIELD(thew_store_block, block),      THEW_FIELD(thew_store_block, version),  THEW_FIELD(thew_store_block, person),
    THEW_FIELD(thew_store_block, called),     THEW_FIELD(thew_store_block, from_day), THEW_FIELD(thew_store_block, until_day),
    THEW_FIELD(thew_store_block, plan),       THEW_FIELD(thew_store_block, retired),  THEW_FIELD(thew_store_block, made_us),
    THEW_FIELD(thew_store_block, written_by),
};
static const thew_map map = THEW_MAP(thew_store_block, fields, G_N_ELEMENTS(fields));

thew_store_status thew_store_block_add(thew_db *db, const char *studio, const thew_store_block *block)
{
    g_autofree char *owner = NULL;
    thew_query query = thew_query_of(db, &sql[OWNER]);
    thew_query_text(&query, studio);
    thew_query_text(&query, block->block);
    thew_store_status status = thew_query_word(&query, &owner);
    if (status < 0) return status;
    if (owner != NULL && strcmp(owner, block->person) != 0)
        return thew_db_fail(db, THEW_STORE_CONFLICT, "block %s is of another person", block->block);
    thew_kept_versions versions = { &sql[FIND], &sql[LAST], &sql[ADD] };
    return thew_kept_next_version(db, &versions, studio, block->block, block->version, &map, block);
}

thew_store_status thew_store_block_latest(thew_db *db, const char *studio, const char *person, thew_rows **rows)
{
    return thew_query_rows_for(db, &sql[LATEST], THEW_KEYS(studio, person), &map, rows);
}

thew_store_status thew_store_block_on(thew_db *db, const char *studio, thew_date day, thew_rows **rows)
{
    thew_query query = thew_query_of(db, &sql[ON]);
    thew_query_text(&query, studio);
    thew_query_date(&query, day);
    return thew_query_rows(&query, &map, rows);
}

thew_store_status thew_store_block_versions(thew_db *db, const char *studio, const char *block, thew_rows **rows)
{
    return thew_query_rows_for(db, &sql[VERSIONS], THEW_KEYS(studio, block), &map, rows);
}
