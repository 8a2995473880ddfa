// class.c: see class.h.
#include "store/class.h"

#include "store/kept.h"
#include "store/statements.h"

#define CLASS "class, version, called, minutes, plan, retired, made_us, written_by"

enum { ADD, FIND, LAST, LATEST, VERSIONS };
static const thew_sql sql[] = {
    [ADD] = { "class.add", "INSERT INTO class (studio, " CLASS ") VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)" },
    [FIND] = { "class.find", "SELECT " CLASS " FROM class WHERE studio = $1 AND class = $2 AND version = $3" },
    [LAST] = { "class.last", "SELECT MAX(version) FROM class WHERE studio = $1 AND class = $2" },
    [LATEST] = { "class.latest", "SELECT " CLASS " FROM class AS a WHERE studio = $1 AND version = (SELECT MAX(b.version) "
                                 "FROM class AS b WHERE b.studio = a.studio AND b.class = a.class) ORDER BY called, class" },
    [VERSIONS] = { "class.versions", "SELECT " CLASS " FROM class WHERE studio = $1 AND class = $2 ORDER BY version" },
};
const thew_sql_list thew_class_sql = { sql, G_N_ELEMENTS(sql) };

static const thew_field fields[] = {
    THEW_FIELD(thew_store_class, class),   THEW_FIELD(thew_store_class, version),    THEW_FIELD(thew_store_class, called),
    THEW_FIELD(thew_store_class, minutes), THEW_FIELD(thew_store_class, plan),       THEW_FIELD(thew_store_class, retired),
    THEW_FIELD(thew_store_class, made_us), THEW_FIELD(thew_store_class, written_by),
};
static const thew_map map = THEW_MAP(thew_store_class, fields, G_N_ELEMENTS(fields));

thew_store_status thew_store_class_add(thew_db *db, const char *studio, const thew_store_class *class)
{
    thew_kept_versions versions = { &sql[FIND], &sql[LAST], &sql[ADD] };
    return thew_kept_next_version(db, &versions, studio, class->class, class->version, &map, class);
}

thew_store_status thew_store_class_find(thew_db *db, const char *studio, const char *class, int version, thew_rows **rows)
{
    thew_store_status status = thew_kept_find_version(db, &sql[FIND], studio, class, version, &map, rows);
    if (*rows == NULL || (*rows)->row->len > 0) return status;
    thew_rows_free(*rows);
    *rows = NULL;
    return thew_db_fail(db, THEW_STORE_NOT_FOUND, "class %s, version %d", class, version);
}

thew_store_status thew_store_class_latest(thew_db *db, const char *studio, thew_rows **rows)
{
    return thew_query_rows_for(db, &sql[LATEST], THEW_KEYS(studio), &map, rows);
}

thew_store_status thew_store_class_versions(thew_db *db, const char *studio, const char *class, thew_rows **rows)
{
    return thew_query_rows_for(db, &sql[VERSIONS], THEW_KEYS(studio, class), &map, rows);
}
