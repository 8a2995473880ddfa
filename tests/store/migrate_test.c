// Migrations: from each earlier version, whole or not at all; newer and other lineages are refused.
#include <glib/gstdio.h>

#include "store/migrate.h"
#include "tests/store/fixture.h"

static const thew_embedded *real(size_t *count)
{
    return thew_migrations(count);
}

static void are_numbered_without_gaps(void **state)
{
    (void)state;
    size_t count;
    const thew_embedded *file = real(&count);
    for (size_t i = 0; i < count; i++) {
        g_autofree char *number = g_strdup_printf("%04zu_", i + 1);
        expect_number(file[i].name, 1, g_str_has_prefix(file[i].name, number) && g_str_has_suffix(file[i].name, ".sql"));
    }
    expect_end(5);
}

static char *schema(const char *path)
{
    return look(path, "SELECT type, name, sql FROM sqlite_schema ORDER BY type, name");
}

// A store that stopped at an earlier version, with what it could hold then, becomes what a new one is, and keeps what it held.
static void from_every_earlier_version(void **state)
{
    size_t count;
    const thew_embedded *file = real(&count);
    const char *fresh = in_folder(state, "fresh.db");
    thew_db_close(open_store(fresh));
    g_autofree char *expected = schema(fresh);
    for (size_t version = 0; version <= count; version++) {
        g_autofree char *name = g_strdup_printf("%zu.db", version);
        const char *path = in_folder(state, name);
        thew_db *old;
        old = open_bare(path, THEW_DB_MAKE);
        must(old, thew_migrate(old, file, version));
        thew_db_close(old);
        if (version > 0)
            meddle(path,
                   "PRAGMA foreign_keys = ON; INSERT INTO studio VALUES ('s', 'Invented', 'UTC', 'en', 1);"
                   "INSERT INTO person (studio, person, called, birth_year, heat_sensitive, note, made_us, changed_us, revision) "
                   "VALUES ('s', 'ada', 'Ada', 1961, 1, '', 1, 1, 1)");
        if (version > 0 && version < count) {
            g_autoptr(thew_db) only_looking = NULL;
            expect_open("older", THEW_STORE_OLDER, path, THEW_DB_READ, &only_looking);
            expect_sentence("what it lacks", only_looking, PARTS(file[version].name));
        }
        g_autoptr(thew_db) now = open_store(path);
        g_autofree char *obtained = schema(path);
        expect_text(name, expected, obtained);
        expect_number(name, (double)count, (double)look_number(path, "SELECT COUNT(*) FROM migration"));
        fill_studio(now, "s");
        fill_person(now, "s", "bo");
        g_autoptr(thew_rows) rows = NULL;
        must(now, thew_store_person_all(now, "s", &rows));
        expect_number("who was there is there", version > 0 ? 2 : 1, rows->row->len);
    }
    expect_end(20);
}

// --- migrations of our own

#define FILE_OF(name, sql)                                                                                                         \
    {                                                                                                                              \
        name, sql, sizeof(sql) - 1                                                                                                 \
    }
static const thew_embedded first[] = {
    FILE_OF(
        "0001_a.sql",
        "CREATE TABLE a (x INTEGER NOT NULL PRIMARY KEY, CHECK (x < 9)) STRICT; CREATE TABLE b (x INTEGER REFERENCES a (x)) STRICT;"
        "INSERT INTO a VALUES (1); INSERT INTO b VALUES (1)"),
};
static const thew_embedded second[] = {
    FILE_OF(
        "0001_a.sql",
        "CREATE TABLE a (x INTEGER NOT NULL PRIMARY KEY, CHECK (x < 9)) STRICT; CREATE TABLE b (x INTEGER REFERENCES a (x)) STRICT;"
        "INSERT INTO a VALUES (1); INSERT INTO b VALUES (1)"),
    // A table is rebuilt under the reference to it.
    FILE_OF("0002_rebuild.sql",
            "CREATE TABLE c (x INTEGER NOT NULL PRIMARY KEY, y INTEGER) STRICT; INSERT INTO c SELECT x, 2 * x FROM a;"
            "DROP TABLE a; ALTER TABLE c RENAME TO a"),
};

static thew_db *at_first(const char *path)
{
    thew_db *db;
    db = open_bare(path, THEW_DB_MAKE);
    must(db, thew_migrate(db, first, 1));
    return db;
}

static void a_table_can_be_rebuilt(void **state)
{
    const char *path = in_folder(state, "own.db");
    g_autoptr(thew_db) db = at_first(path);
    must(db, thew_migrate(db, second, 2));
    must(db, thew_migrate(db, second, 2)); // again is nothing
    g_autofree char *a = look(path, "SELECT x, y FROM a"), *b = look(path, "SELECT x FROM b"),
                    *keys = look(path, "PRAGMA foreign_key_check");
    expect_text("what it held", "1|2\n", a);
    expect_text("who refers to it", "1\n", b);
    expect_text("still refers to it", "", keys);
    expect_end(3);
}

static void whole_or_not_at_all(void **state)
{
    static const struct {
        const char *why, *sql;
        thew_store_status status;
        const char *part;
    } row[] = {
        { "a mistake in its second statement", "CREATE TABLE d (x INTEGER) STRICT; CREATE TABEL e (x INTEGER)", THEW_STORE_BUG,
          "0002_b.sql: " },
        { "a rule that what is there breaks", "CREATE TABLE d (x INTEGER) STRICT; INSERT INTO a VALUES (9)", THEW_STORE_REFUSED,
          "CHECK" },
        { "a reference that leads nowhere", "CREATE TABLE d (x INTEGER) STRICT; INSERT INTO b VALUES (7)", THEW_STORE_DAMAGED,
          "b: row 2 refers to something in a" },
    };
    EACH(i, row)
    {
        g_autofree char *name = g_strdup_printf("%zu.db", i);
        const char *path = in_folder(state, name);
        g_autoptr(thew_db) db = at_first(path);
        g_autofree char *before = schema(path);
        const thew_embedded both[] = { first[0], { "0002_b.sql", row[i].sql, strlen(row[i].sql) } };
        expect_status(row[i].why, db, row[i].status, thew_migrate(db, both, 2));
        expect_sentence(row[i].why, db, PARTS(row[i].part));
        g_autofree char *after = schema(path);
        expect_text(row[i].why, before, after);
        expect_number(row[i].why, 1, (double)look_number(path, "SELECT COUNT(*) FROM migration"));
        expect_number(row[i].why, 1, (double)look_number(path, "SELECT COUNT(*) FROM b"));
        gint64 keys;
        static const thew_sql ask = { "settings.keys", "PRAGMA foreign_keys" };
        thew_query query = thew_query_of(db, &ask);
        must(db, thew_query_number(&query, -1, &keys));
        expect_number("references hold again", 1, (double)keys);
    }
    expect_end(18);
}

static void newer_and_other_lineages_are_refused(void **state)
{
    size_t count;
    const thew_embedded *file = real(&count);
    static const struct {
        const char *why, *sql;
        thew_store_status status;
        const char *part;
    } row[] = {
        { "a later version's", "INSERT INTO migration VALUES (%zu, '0099_later.sql', 'x', 'x', 1)", THEW_STORE_NEWER,
          "0099_later.sql" },
        { "another text of one that ran", "UPDATE migration SET checksum = 'x' WHERE number = 2", THEW_STORE_ALTERED, "0002_" },
        { "a table changed by hand", "ALTER TABLE addition ADD COLUMN more TEXT", THEW_STORE_DAMAGED,
          "not as 0006_standing.sql left them" },
        { "no list of what ran", "DROP TABLE migration", THEW_STORE_DAMAGED, "list of" },
        { "a list that cannot be read", "ALTER TABLE migration RENAME COLUMN name TO nbme", THEW_STORE_DAMAGED, "cannot be read" },
        { "one is missing", "DELETE FROM migration WHERE number = 2", THEW_STORE_DAMAGED, "migration 2" },
    };
    EACH(i, row)
    for (thew_db_mode mode = THEW_DB_READ; mode <= THEW_DB_MAKE; mode++) {
        g_autofree char *name = g_strdup_printf("%zu-%d.db", i, mode);
        const char *path = in_folder(state, name);
        thew_db_close(open_store(path));
        g_autofree char *sql = g_strdup_printf(row[i].sql, count + 1);
        meddle(path, sql);
        g_autofree char *before = dump(path);
        g_autoptr(thew_db) db = NULL;
        expect_open(row[i].why, row[i].status, path, mode, &db);
        expect_sentence(row[i].why, db, PARTS(path, row[i].part));
        g_autofree char *after = dump(path);
        expect_text(row[i].why, before, after);
    }
    expect_number("the last one's name stands in the first sentence", 1, file[count - 1].name[0] == '0');
    expect_end(30);
}

#define TEST(f) cmocka_unit_test_setup_teardown(f, make_folder, remove_folder)
int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(are_numbered_without_gaps),
        TEST(from_every_earlier_version),
        TEST(a_table_can_be_rebuilt),
        TEST(whole_or_not_at_all),
        TEST(newer_and_other_lineages_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
