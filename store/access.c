// access.c: see access.h.
#include "store/access.h"

#include "store/statements.h"

#define ACCESS "entry, at_us, account, person, action, what"

enum { ADD, OF, ALL };
static const thew_sql sql[] = {
    [ADD] = { "access_log.add", "INSERT INTO access_log (studio, " ACCESS ") VALUES ($1, $2, $3, $4, $5, $6, $7)" },
    [OF] = { "access_log.of",
             "SELECT " ACCESS " FROM access_log WHERE studio = $1 AND person = $2 ORDER BY at_us DESC, entry LIMIT $3" },
    [ALL] = { "access_log.all", "SELECT " ACCESS " FROM access_log WHERE studio = $1 ORDER BY at_us DESC, entry LIMIT $2" },
};
const thew_sql_list thew_access_sql = { sql, G_N_ELEMENTS(sql) };

static const thew_field fields[] = {
    THEW_FIELD(thew_store_access, entry),  THEW_FIELD(thew_store_access, at_us),  THEW_FIELD(thew_store_access, account),
    THEW_FIELD(thew_store_access, person), THEW_FIELD(thew_store_access, action), THEW_FIELD(thew_store_access, what),
};
static const thew_map map = THEW_MAP(thew_store_access, fields, G_N_ELEMENTS(fields));

thew_store_status thew_store_access_add(thew_db *db, const char *studio, const thew_store_access *access)
{
    return thew_query_put(db, &sql[ADD], THEW_KEYS(studio), &map, access);
}

thew_store_status thew_store_access_of(thew_db *db, const char *studio, const char *person, int count, thew_rows **rows)
{
    thew_query query = thew_query_of(db, &sql[OF]);
    thew_query_text(&query, studio);
    thew_query_text(&query, person);
    thew_query_integer(&query, count);
    return thew_query_rows(&query, &map, rows);
}

thew_store_status thew_store_access_all(thew_db *db, const char *studio, int count, thew_rows **rows)
{
    thew_query query = thew_query_of(db, &sql[ALL]);
    thew_query_text(&query, studio);
    thew_query_integer(&query, count);
    return thew_query_rows(&query, &map, rows);
}
