// tables.c: see tables.h.
#include "store/tables.h"

#include <string.h>

#include "store/db_backend.h"
#include "store/statements.h"

// name, whether it has a column `person`
#define TABLES(ALONE, WITH_PERSON)                                                                                                 \
    WITH_PERSON(access_log)                                                                                                        \
    WITH_PERSON(account)                                                                                                           \
    WITH_PERSON(account_person)                                                                                                    \
    ALONE(addition)                                                                                                                \
    WITH_PERSON(advice)                                                                                                            \
    WITH_PERSON(belief)                                                                                                            \
    WITH_PERSON(block)                                                                                                             \
    WITH_PERSON(checkin)                                                                                                           \
    ALONE(class)                                                                                                                   \
    WITH_PERSON(device)                                                                                                            \
    WITH_PERSON(diary)                                                                                                             \
    ALONE(invitation)                                                                                                              \
    WITH_PERSON(kit_item)                                                                                                          \
    ALONE(kit_reading)                                                                                                             \
    ALONE(migration)                                                                                                               \
    WITH_PERSON(outcome)                                                                                                           \
    WITH_PERSON(override_reason)                                                                                                   \
    WITH_PERSON(person)                                                                                                            \
    WITH_PERSON(person_limit)                                                                                                      \
    WITH_PERSON(person_list)                                                                                                       \
    ALONE(run)                                                                                                                     \
    ALONE(run_event)                                                                                                               \
    WITH_PERSON(run_person)                                                                                                        \
    WITH_PERSON(screening_answer)                                                                                                  \
    ALONE(session)                                                                                                                 \
    WITH_PERSON(standing)                                                                                                          \
    ALONE(studio)                                                                                                                  \
    ALONE(studio_setting)

#define NOTHING(name)
#define INDEX_COUNT(name) name##_count,
#define INDEX_PERSON(name) name##_of_person,
enum { TABLES(INDEX_COUNT, INDEX_COUNT) TABLES(NOTHING, INDEX_PERSON) STATEMENTS };

#define SQL_COUNT(name) [name##_count] = { #name ".count", "SELECT COUNT(*) FROM " #name },
#define SQL_PERSON(name)                                                                                                           \
    [name##_of_person] = { #name ".of_person", "SELECT COUNT(*) FROM " #name " WHERE studio = $1 AND person = $2" },
static const thew_sql sql[] = { TABLES(SQL_COUNT, SQL_COUNT) TABLES(NOTHING, SQL_PERSON) };
const thew_sql_list thew_tables_sql = { sql, STATEMENTS };

#define TABLE_ALONE(name) { #name, &sql[name##_count], NULL },
#define TABLE_PERSON(name) { #name, &sql[name##_count], &sql[name##_of_person] },
static const thew_table tables[] = { TABLES(TABLE_ALONE, TABLE_PERSON) };

static const thew_field fields[] = {
    THEW_FIELD(thew_table_column, table_name),
    THEW_FIELD(thew_table_column, column_name),
};
static const thew_map map = THEW_MAP(thew_table_column, fields, G_N_ELEMENTS(fields));

const thew_table *thew_tables(size_t *count)
{
    *count = G_N_ELEMENTS(tables);
    return tables;
}

thew_store_status thew_tables_columns(thew_db *db, thew_rows **rows)
{
    thew_query query = thew_query_of(db, db->backend->columns);
    return thew_query_rows(&query, &map, rows);
}

static const thew_table *find(const char *name)
{
    for (size_t i = 0; i < G_N_ELEMENTS(tables); i++)
        if (strcmp(tables[i].name, name) == 0) return &tables[i];
    return NULL;
}

thew_store_status thew_tables_check(thew_db *db, GPtrArray *finding)
{
    g_autoptr(thew_rows) columns = NULL;
    const char *unknown = NULL;
    thew_store_status status = thew_tables_columns(db, &columns);
    for (guint i = 0; status >= 0 && i < columns->row->len; i++) {
        const thew_table_column *column = thew_row(columns, thew_table_column, i);
        const thew_table *table = find(column->table_name);
        if (table == NULL && g_strcmp0(unknown, column->table_name) != 0)
            g_ptr_array_add(finding, g_strdup_printf("table %s is not known to this program", unknown = column->table_name));
        if (table != NULL && table->of_person == NULL && strcmp(column->column_name, "person") == 0)
            g_ptr_array_add(finding, g_strdup_printf("table %s holds persons, which this program does not know", table->name));
    }
    return status;
}

thew_store_status thew_tables_count(thew_db *db, gint64 *rows)
{
    thew_store_status status = THEW_STORE_OK;
    for (size_t i = 0; status >= 0 && i < G_N_ELEMENTS(tables); i++) {
        thew_query query = thew_query_of(db, tables[i].count);
        status = thew_query_number(&query, 0, &rows[i]);
    }
    return status;
}
