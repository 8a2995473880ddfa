// remove.c: see remove.h.
#include "store/remove.h"

#include "store/db_backend.h"
#include "store/statements.h"
#include "store/tables.h"

static const thew_sql sql[] = {
    { "person.remove", "DELETE FROM person WHERE studio = $1 AND person = $2" },
};
const thew_sql_list thew_remove_sql = { sql, G_N_ELEMENTS(sql) };

static thew_store_status nothing_left(thew_db *db, const thew_table *table, const char *studio, const char *person)
{
    gint64 left;
    thew_query query = thew_query_of(db, table->of_person);
    thew_query_text(&query, studio);
    thew_query_text(&query, person);
    thew_store_status status = thew_query_number(&query, 0, &left);
    if (status < 0 || left == 0) return status;
    return thew_db_spoil(db, thew_db_fail(db, THEW_STORE_BUG,
                                          "table %s would keep %" G_GINT64_FORMAT " rows of a person who is removed", table->name,
                                          left));
}

static thew_store_status all_are_known(thew_db *db)
{
    g_autoptr(GPtrArray) finding = g_ptr_array_new_with_free_func(g_free);
    thew_store_status status = thew_tables_check(db, finding);
    if (status < 0 || finding->len == 0) return status;
    return thew_db_spoil(db, thew_db_fail(db, THEW_STORE_BUG, "%s", (const char *)finding->pdata[0]));
}

thew_store_status thew_store_remove_person(thew_db *db, const char *studio, const char *person)
{
    thew_store_status status = all_are_known(db);
    if (status < 0) return status;
    gint64 removed;
    status = thew_query_run_for(db, &sql[0], THEW_KEYS(studio, person), &removed);
    status = thew_query_found(db, &sql[0], status, removed);
    size_t count;
    const thew_table *table = thew_tables(&count);
    for (size_t i = 0; status >= 0 && i < count; i++)
        if (table[i].of_person != NULL) status = nothing_left(db, &table[i], studio, person);
    return status;
}

thew_store_status thew_store_remove_traces(thew_db *db)
{
    if (db->transaction != THEW_DB_IDLE) return thew_db_fail(db, THEW_STORE_NESTED, NULL);
    return db->backend->sweep(db);
}
