#define _GNU_SOURCE
// A person who is removed is gone: from every table that the schema knows, and from the bytes of the files.
#include <stdlib.h>

#include "store/backup.h"
#include "store/inspect.h"
#include "store/remove.h"
#include "store/tables.h"
#include "tests/store/fixture.h"

static thew_db *two_people(const char *path)
{
    thew_db *db = open_store(path);
    fill_studio(db, "s");
    fill_person(db, "s", "removed-one");
    fill_person(db, "s", "other");
    return db;
}

// From the schema itself, by SQLite's own words, not by ours: every table with a column that holds a person refers to `person` and
// goes with it; and what does not hold one hangs on such a table or is not about anybody.
static void every_table_that_holds_a_person_goes_with_it(void **state)
{
    const char *path = in_folder(state, "studio.db");
    thew_db_close(open_store(path));
    g_autofree char *loose = look(
        path,
        "SELECT t.name FROM pragma_table_list AS t JOIN pragma_table_info(t.name) AS c "
        "WHERE t.schema = 'main' AND c.name LIKE '%person%' AND t.name <> 'person' AND NOT EXISTS (SELECT 1 FROM "
        "pragma_foreign_key_list(t.name) AS f WHERE f.\"table\" = 'person' AND f.\"from\" = c.name AND f.on_delete = 'CASCADE')");
    expect_text("holds a person without going with it", "", loose);
    gint64 holding = look_number(path, "SELECT COUNT(*) FROM pragma_table_list AS t JOIN pragma_table_info(t.name) AS c "
                                       "WHERE t.schema = 'main' AND c.name = 'person'");
    size_t count, known = 0;
    const thew_table *table = thew_tables(&count);
    for (size_t i = 0; i < count; i++)
        known += table[i].of_person != NULL;
    expect_number("as many as are asked afterwards", (double)holding, (double)known);
    expect_number("many", 1, known >= 15);
    expect_end(3);
}

static void gone_from_every_table(void **state)
{
    const char *path = in_folder(state, "studio.db");
    g_autoptr(thew_db) db = two_people(path);
    g_autofree char *before = dump(path);
    expect_number("the fixture fills every table that holds a person", 1, strstr(before, "'removed-one'") != NULL);
    size_t count;
    const thew_table *table = thew_tables(&count);
    for (size_t i = 0; i < count; i++) {
        if (table[i].of_person == NULL) continue;
        g_autofree char *sql = g_strdup_printf("SELECT COUNT(*) FROM %s WHERE person = 'removed-one'", table[i].name);
        expect_number(table[i].name, 1, look_number(path, sql) > 0);
    }
    must(db, thew_db_begin(db));
    must(db, thew_store_remove_person(db, "s", "removed-one"));
    must(db, thew_db_commit(db));
    must(db, thew_store_remove_traces(db));
    g_autofree char *after = dump(path);
    expect_number("no column of no table", 0, strstr(after, "removed-one") != NULL);
    g_autoptr(GPtrArray) finding = NULL;
    must(db, thew_store_inspect(db, &finding));
    for (guint i = 0; i < finding->len; i++)
        if (strstr(finding->pdata[i], "belief") == NULL) expect_text("all is well", NULL, finding->pdata[i]);

    // What is left is what there is without them.
    const char *without = in_folder(state, "without.db");
    thew_db *never = open_store(without);
    fill_studio(never, "s");
    fill_person(never, "s", "other");
    thew_db_close(never);
    g_autofree char *expected = dump(without);
    expect_text("the rest is untouched", expected, after);
    expect_end(20);
}

static bool holds(const char *path, const char *text)
{
    g_autofree char *bytes = NULL;
    gsize size;
    if (!g_file_get_contents(path, &bytes, &size, NULL)) return false;
    return memmem(bytes, size, text, strlen(text)) != NULL;
}

static void gone_from_the_bytes(void **state)
{
    const char *path = in_folder(state, "studio.db"), *wal = in_folder(state, "studio.db-wal"), *copy = in_folder(state, "copy.db");
    g_autoptr(thew_db) db = two_people(path), reader = NULL;
    expect_number("there before, in the database or its log", 1, holds(path, "removed-one") || holds(wal, "removed-one"));
    reader = open_as(path, THEW_DB_READ);
    g_autoptr(thew_rows) rows = NULL;
    must(reader, thew_db_begin_reading(reader));
    must(reader, thew_store_person_all(reader, "s", &rows));

    must(db, thew_db_begin(db));
    must(db, thew_store_remove_person(db, "s", "removed-one"));
    expect_status("not within the transaction", db, THEW_STORE_NESTED, thew_store_remove_traces(db));
    must(db, thew_db_commit(db));
    // The reader still sees the moment before: so the log must hold it.
    expect_status("somebody reads", db, THEW_STORE_TRACES, thew_store_remove_traces(db));
    must(reader, thew_db_commit(reader));
    must(db, thew_store_remove_traces(db));
    expect_number("the database", 0, holds(path, "removed-one"));
    expect_number("its log", 0, holds(wal, "removed-one"));
    expect_number("others are there", 1, holds(path, "other-set-1"));
    must(db, thew_store_backup(db, copy, NULL));
    expect_number("a copy made afterwards", 0, holds(copy, "removed-one"));
    expect_end(7);
}

// A table of a later version whose author forgot the reference: it is found before anything is lost or left behind.
static void a_forgotten_table_is_found(void **state)
{
    static const struct {
        const char *why, *sql, *part;
    } row[] = {
        { "a table that this program does not know", "CREATE TABLE forgotten (studio TEXT NOT NULL, person TEXT NOT NULL) STRICT",
          "table forgotten" },
        { "a column that it does not know", "ALTER TABLE addition ADD COLUMN person TEXT", "addition" },
    };
    EACH(i, row)
    {
        g_autofree char *name = g_strdup_printf("%zu.db", i);
        const char *path = in_folder(state, name);
        g_autoptr(thew_db) db = two_people(path);
        meddle(path, row[i].sql);
        must(db, thew_db_begin(db));
        expect_status(row[i].why, db, THEW_STORE_BUG, thew_store_remove_person(db, "s", "removed-one"));
        expect_sentence(row[i].why, db, PARTS(row[i].part));
        expect_status("and it cannot be committed", db, THEW_STORE_BUG, thew_db_commit(db));
        expect_number("all is there", 2, (double)look_number(path, "SELECT COUNT(*) FROM person"));
    }
    expect_end(8);
}

// A reference that does not cascade, as if a migration had lost it: the rows that would be kept are found by looking.
static void rows_that_would_stay_are_found(void **state)
{
    const char *path = in_folder(state, "studio.db");
    g_autoptr(thew_db) db = two_people(path);
    meddle(
        path,
        "PRAGMA foreign_keys = OFF; DROP TABLE person_limit; CREATE TABLE person_limit (studio TEXT NOT NULL, person TEXT NOT NULL,"
        "kind TEXT, what TEXT, reason TEXT, until_day TEXT, PRIMARY KEY (studio, person)) STRICT;"
        "INSERT INTO person_limit VALUES ('s', 'removed-one', 'movement', 'x', '', NULL)");
    must(db, thew_db_begin(db));
    expect_status("kept", db, THEW_STORE_BUG, thew_store_remove_person(db, "s", "removed-one"));
    expect_sentence("where", db, PARTS("table person_limit would keep 1 rows"));
    expect_status("and it cannot be committed", db, THEW_STORE_BUG, thew_db_commit(db));
    expect_number("all is there", 2, (double)look_number(path, "SELECT COUNT(*) FROM person"));
    expect_end(4);
}

static void nobody_of_that_name(void **state)
{
    const char *path = in_folder(state, "studio.db");
    g_autoptr(thew_db) db = two_people(path);
    must(db, thew_db_begin(db));
    expect_status("in this studio", db, THEW_STORE_NOT_FOUND, thew_store_remove_person(db, "s", "nobody"));
    expect_status("in another", db, THEW_STORE_NOT_FOUND, thew_store_remove_person(db, "t", "removed-one"));
    must(db, thew_db_commit(db));
    expect_number("all is there", 2, (double)look_number(path, "SELECT COUNT(*) FROM person"));
    expect_end(3);
}

#define TEST(f) cmocka_unit_test_setup_teardown(f, make_folder, remove_folder)
int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(every_table_that_holds_a_person_goes_with_it),
        TEST(gone_from_every_table),
        TEST(gone_from_the_bytes),
        TEST(a_forgotten_table_is_found),
        TEST(rows_that_would_stay_are_found),
        TEST(nobody_of_that_name),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
