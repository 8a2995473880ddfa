// query.c: see query.h.
#include "store/query.h"

#include <math.h>
#include <string.h>

#include "store/map_value.h"

thew_query thew_query_of(thew_db *db, const thew_sql *sql)
{
    thew_query query = { .db = db };
    thew_db_statement *statement = NULL;
    query.status = thew_db_spoil(db, thew_db_prepared(db, sql, &statement));
    if (query.status < 0) return query;
    g_assert(!statement->in_use);
    statement->in_use = true;
    query.statement = statement;
    return query;
}

// --- parameters

static thew_store_status refusal(thew_query *query, const char *why)
{
    const thew_db_statement *statement = query->statement;
    return thew_db_fail(query->db, THEW_STORE_REFUSED, "%s, parameter %d: %s", statement->sql->name, query->bound, why);
}

static void bind(thew_query *query, const thew_db_value *value)
{
    query->bound++;
    if (query->status < 0) return;
    // SQLite would keep both: the one as NULL, the other as it is. PostgreSQL refuses.
    if (value->type == THEW_DB_REAL && isnan(value->real))
        query->status = refusal(query, "must be a number");
    else if (value->type == THEW_DB_TEXT && !g_utf8_validate(value->bytes, (gssize)value->size, NULL))
        query->status = refusal(query, "must be UTF-8");
    else
        query->status = query->db->backend->bind(query->db, query->statement, query->bound, value);
    thew_db_spoil(query->db, query->status);
}

void thew_query_text(thew_query *query, const char *text)
{
    thew_db_value value = thew_value_text(text);
    bind(query, &value);
}

void thew_query_integer(thew_query *query, gint64 value)
{
    bind(query, &(thew_db_value){ .type = THEW_DB_INTEGER, .integer = value });
}

void thew_query_utc(thew_query *query, thew_utc utc)
{
    bind(query, &(thew_db_value){ .type = utc.us != 0 ? THEW_DB_INTEGER : THEW_DB_NULL, .integer = utc.us });
}

void thew_query_date(thew_query *query, thew_date date)
{
    char scratch[THEW_DATE_TEXT];
    thew_db_value value = thew_value_date(date, scratch);
    bind(query, &value);
}

void thew_query_blob(thew_query *query, thew_blob blob)
{
    bind(query,
         &(thew_db_value){ .type = blob.bytes != NULL ? THEW_DB_BLOB : THEW_DB_NULL, .bytes = blob.bytes, .size = blob.size });
}

static void bind_members(thew_query *query, const thew_map *map, int count, const void *row)
{
    for (int i = 0; i < count; i++) {
        char scratch[THEW_DATE_TEXT];
        thew_db_value value = thew_field_value(&map->field[i], row, scratch);
        bind(query, &value);
    }
}

void thew_query_row(thew_query *query, const thew_map *map, const void *row)
{
    bind_members(query, map, map->count, row);
}

void thew_query_given(thew_query *query, const thew_map *map, const void *row)
{
    bind_members(query, map, map->given, row);
}

// --- ends

static thew_store_status end(thew_query *query)
{
    thew_db_statement *statement = query->statement;
    if (statement != NULL) {
        query->db->backend->reset(statement);
        statement->in_use = false;
        query->statement = NULL;
    }
    return thew_db_spoil(query->db, query->status);
}

static bool step(thew_query *query)
{
    thew_db *db = query->db;
    if (query->status < 0) return false;
    g_assert(!db->backend->writes(query->statement) || db->transaction == THEW_DB_WRITING);
    bool has_row = false;
    query->status = db->backend->step(db, query->statement, &has_row);
    return query->status >= 0 && has_row;
}

thew_store_status thew_query_run(thew_query *query, gint64 *changed)
{
    bool has_row = step(query);
    g_assert(!has_row);
    if (changed != NULL) *changed = query->status < 0 ? 0 : query->db->backend->changed(query->db);
    return end(query);
}

// A statement and a map that disagree are our mistake, or tables that are not what they were.
static bool check_columns(thew_query *query, const thew_map *map)
{
    const thew_db_backend *backend = query->db->backend;
    const thew_db_statement *statement = query->statement;
    bool agree = backend->column_count(statement) == map->count;
    for (int i = 0; agree && i < map->count; i++)
        agree = strcmp(backend->column_name(statement, i), map->field[i].column) == 0;
    if (!agree)
        query->status = thew_db_fail(query->db, THEW_STORE_BUG, "%s: its columns are not those of its rows", statement->sql->name);
    return agree;
}

static bool take_row(thew_query *query, const thew_map *map, thew_rows *rows)
{
    thew_db *db = query->db;
    const thew_db_statement *statement = query->statement;
    guint at = rows->row->len;
    g_array_set_size(rows->row, at + 1); // cleared
    for (int i = 0; i < map->count; i++) {
        thew_db_value value = db->backend->column(statement, i);
        if (thew_field_take(&map->field[i], rows->row->data + at * map->size, &value, rows->words)) continue;
        query->status = thew_db_fail(db, THEW_STORE_DAMAGED, "%s, row %u: column %s holds what it cannot hold",
                                     statement->sql->name, at + 1, map->field[i].column);
        return false;
    }
    return true;
}

thew_store_status thew_query_rows(thew_query *query, const thew_map *map, thew_rows **rows)
{
    g_autoptr(thew_rows) read = thew_rows_new(map->size);
    read->map = map;
    *rows = NULL;
    while (step(query)) {
        if (read->row->len == 0 && !check_columns(query, map)) break;
        if (!take_row(query, map, read)) break;
    }
    if (query->status >= 0) *rows = g_steal_pointer(&read);
    return end(query);
}

thew_store_status thew_query_one(thew_query *query, const thew_map *map, thew_rows **rows)
{
    thew_db *db = query->db;
    const char *name = query->statement != NULL ? ((thew_db_statement *)query->statement)->sql->name : "";
    thew_store_status status = thew_query_rows(query, map, rows);
    if (*rows == NULL || (*rows)->row->len > 0) return status;
    thew_rows_free(*rows);
    *rows = NULL;
    return thew_db_fail(db, THEW_STORE_NOT_FOUND, "%s", name);
}

thew_store_status thew_query_number(thew_query *query, gint64 absent, gint64 *value)
{
    *value = absent;
    if (step(query)) {
        thew_db_value column = query->db->backend->column(query->statement, 0);
        if (column.type == THEW_DB_INTEGER) *value = column.integer;
        while (step(query)) // what returns rows changes something only once it is through
            ;
    }
    return end(query);
}

thew_store_status thew_query_word(thew_query *query, char **word)
{
    *word = NULL;
    if (step(query)) {
        thew_db_value column = query->db->backend->column(query->statement, 0);
        if (column.type == THEW_DB_TEXT) *word = g_strndup(column.bytes, column.size);
        while (step(query))
            ;
    }
    return end(query);
}

// --- the usual shapes

static thew_query of_keys(thew_db *db, const thew_sql *sql, const char *const *key)
{
    thew_query query = thew_query_of(db, sql);
    for (; *key != NULL; key++)
        thew_query_text(&query, *key);
    return query;
}

thew_store_status thew_query_run_for(thew_db *db, const thew_sql *sql, const char *const *key, gint64 *changed)
{
    thew_query query = of_keys(db, sql, key);
    return thew_query_run(&query, changed);
}

thew_store_status thew_query_rows_for(thew_db *db, const thew_sql *sql, const char *const *key, const thew_map *map,
                                      thew_rows **rows)
{
    thew_query query = of_keys(db, sql, key);
    return thew_query_rows(&query, map, rows);
}

thew_store_status thew_query_one_for(thew_db *db, const thew_sql *sql, const char *const *key, const thew_map *map,
                                     thew_rows **rows)
{
    thew_query query = of_keys(db, sql, key);
    return thew_query_one(&query, map, rows);
}

thew_store_status thew_query_put(thew_db *db, const thew_sql *sql, const char *const *key, const thew_map *map, const void *row)
{
    thew_query query = of_keys(db, sql, key);
    thew_query_given(&query, map, row);
    return thew_query_run(&query, NULL);
}

thew_store_status thew_query_found(thew_db *db, const thew_sql *sql, thew_store_status status, gint64 changed)
{
    if (status < 0 || changed > 0) return status;
    return thew_db_fail(db, THEW_STORE_NOT_FOUND, "%s", sql->name);
}
