// migrate.c: see migrate.h.
#include "store/migrate.h"

#include <string.h>

#include "store/db_backend.h"
#include "store/statements.h"

extern const thew_embedded thew_embedded_migrations[];
extern const size_t thew_embedded_migrations_count;

const thew_embedded *thew_migrations(size_t *count)
{
    *count = thew_embedded_migrations_count;
    return thew_embedded_migrations;
}

// What ran. Of the database, not of a studio: the one table without a studio in its key.
static const char begin[] = "CREATE TABLE IF NOT EXISTS migration ("
                            "number INTEGER NOT NULL PRIMARY KEY, name TEXT NOT NULL, checksum TEXT NOT NULL, "
                            "left_as TEXT NOT NULL, ran_us INTEGER NOT NULL) STRICT";

typedef struct {
    int number;
    const char *name;
    const char *checksum; // SHA-256 of its text
    const char *left_as;  // SHA-256 of all definitions after it
    thew_utc ran_us;
} ran;

static const thew_field fields[] = {
    THEW_FIELD(ran, number), THEW_FIELD(ran, name), THEW_FIELD(ran, checksum), THEW_FIELD(ran, left_as), THEW_FIELD(ran, ran_us),
};
static const thew_map map = THEW_MAP(ran, fields, G_N_ELEMENTS(fields));

enum { ALL, ADD };
static const thew_sql sql[] = {
    [ALL] = { "migration.all", "SELECT number, name, checksum, left_as, ran_us FROM migration ORDER BY number" },
    [ADD] = { "migration.add", "INSERT INTO migration (number, name, checksum, left_as, ran_us) VALUES ($1, $2, $3, $4, $5)" },
};
const thew_sql_list thew_migrate_sql = { sql, G_N_ELEMENTS(sql) };

static thew_store_status read_ran(thew_db *db, thew_rows **rows)
{
    thew_query query = thew_query_of(db, &sql[ALL]);
    thew_store_status status = thew_query_rows(&query, &map, rows);
    if (status != THEW_STORE_BUG) return status;
    return thew_db_fail(db, THEW_STORE_DAMAGED, "its list of migrations cannot be read"); // the statement is right, as tests show
}

static char *checksum(const thew_embedded *file)
{
    return g_compute_checksum_for_data(G_CHECKSUM_SHA256, (const guchar *)file->bytes, file->size);
}

typedef struct {
    const char *type, *name, *tbl_name, *sql;
} definition;

static const thew_field definition_fields[] = {
    THEW_FIELD(definition, type),
    THEW_FIELD(definition, name),
    THEW_FIELD(definition, tbl_name),
    THEW_FIELD(definition, sql),
};
static const thew_map definition_map = THEW_MAP(definition, definition_fields, G_N_ELEMENTS(definition_fields));

static thew_store_status read_definitions(thew_db *db, thew_rows **rows)
{
    thew_query query = thew_query_of(db, db->backend->definitions);
    return thew_query_rows(&query, &definition_map, rows);
}

// Newly allocated; NULL after a failure.
static thew_store_status digest_definitions(thew_db *db, char **digest)
{
    g_autoptr(thew_rows) rows = NULL;
    *digest = NULL;
    thew_store_status status = read_definitions(db, &rows);
    if (status < 0) return status;
    g_autoptr(GString) all = g_string_new(NULL);
    for (guint i = 0; i < rows->row->len; i++) {
        const definition *row = thew_row(rows, definition, i);
        g_string_append_printf(all, "%s %s %s %s\n", row->type, row->name, row->tbl_name, row->sql != NULL ? row->sql : "");
    }
    *digest = g_compute_checksum_for_string(G_CHECKSUM_SHA256, all->str, (gssize)all->len);
    return THEW_STORE_OK;
}

// Where no migration ran there is nothing yet but the list of them.
static thew_store_status must_be_new(thew_db *db)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status = read_definitions(db, &rows);
    if (status < 0 || rows->row->len <= 1) return status;
    return thew_db_fail(db, THEW_STORE_DAMAGED, "it has tables, but no list of the migrations that made them");
}

// Every table, index and rule is as the last migration left it: a bent or meddled definition would come out as nonsense later.
static thew_store_status compare_definitions(thew_db *db, const thew_rows *rows)
{
    if (rows->row->len == 0) return must_be_new(db);
    const ran *last = thew_row(rows, ran, rows->row->len - 1);
    g_autofree char *digest = NULL;
    thew_store_status status = digest_definitions(db, &digest);
    if (status < 0 || strcmp(digest, last->left_as) == 0) return status;
    return thew_db_fail(db, THEW_STORE_DAMAGED, "its tables are not as %s left them", last->name);
}

// What ran must be what we have, as far as it went.
static thew_store_status compare(thew_db *db, const thew_rows *rows, const thew_embedded *file, size_t count)
{
    for (guint i = 0; i < rows->row->len; i++) {
        const ran *row = thew_row(rows, ran, i);
        if (row->number > (int)count)
            return thew_db_fail(db, THEW_STORE_NEWER, "it went through %s; this program ends with %s", row->name,
                                file[count - 1].name);
        if (row->number != (int)i + 1) return thew_db_fail(db, THEW_STORE_DAMAGED, "it says nothing of migration %u", i + 1);
        g_autofree char *ours = checksum(&file[i]);
        if (strcmp(ours, row->checksum) != 0) return thew_db_fail(db, THEW_STORE_ALTERED, "%s", row->name);
    }
    return compare_definitions(db, rows);
}

static thew_store_status run_one(thew_db *db, int number, const thew_embedded *file)
{
    thew_store_status status = db->backend->script(db, file->bytes);
    if (status < 0) {
        g_autofree char *cause = g_strdup(db->sentence);
        return thew_db_fail(db, status, "%s: %s", file->name, cause);
    }
    g_autofree char *sum = checksum(file), *left_as = NULL;
    status = digest_definitions(db, &left_as);
    if (status < 0) return status;
    thew_query query = thew_query_of(db, &sql[ADD]);
    thew_query_row(&query, &map, &(ran){ number, file->name, sum, left_as, thew_utc_now() });
    return thew_query_run(&query, NULL);
}

static thew_store_status nothing_broken(thew_db *db)
{
    g_autoptr(GPtrArray) finding = g_ptr_array_new_with_free_func(g_free);
    thew_store_status status = db->backend->check(db, finding);
    if (status < 0 || finding->len == 0) return status;
    return thew_db_fail(db, THEW_STORE_DAMAGED, "after its migrations: %s", (const char *)finding->pdata[0]);
}

static thew_store_status run_missing(thew_db *db, const thew_embedded *file, size_t count)
{
    thew_store_status status = db->backend->script(db, begin);
    if (status < 0) return status;
    g_autoptr(thew_rows) rows = NULL;
    status = read_ran(db, &rows);
    if (status >= 0) status = compare(db, rows, file, count);
    if (status < 0 || rows->row->len == count) return status;
    for (size_t i = rows->row->len; i < count && status >= 0; i++)
        status = run_one(db, (int)i + 1, &file[i]);
    return status < 0 ? status : nothing_broken(db);
}

thew_store_status thew_migrate(thew_db *db, const thew_embedded *file, size_t count)
{
    thew_store_status status = db->backend->hold_keys(db, false);
    if (status < 0) return status;
    status = thew_db_begin(db);
    if (status >= 0) status = thew_db_end(db, run_missing(db, file, count));
    thew_store_status held = db->backend->hold_keys(db, true);
    return status < 0 ? status : held;
}

thew_store_status thew_migrate_check(thew_db *db, const thew_embedded *file, size_t count)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status = read_ran(db, &rows);
    if (status >= 0) status = compare(db, rows, file, count);
    if (status < 0 || rows->row->len == count) return status;
    return thew_db_fail(db, THEW_STORE_OLDER, "it lacks %s", file[rows->row->len].name);
}
