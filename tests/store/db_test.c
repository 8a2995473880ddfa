// The door itself: opening, transactions, what the statements may and may not do.
#include <glib/gstdio.h>

#include "store/statements.h"
#include "store/tables.h"
#include "tests/store/fixture.h"

static void every_status_has_a_sentence(void **state)
{
    (void)state;
    static const int code[] = {
#define CODE(name, code, sentence) name,
        THEW_STORE_STATUS_LIST(CODE)
#undef CODE
    };
    g_autoptr(GHashTable) seen = g_hash_table_new(g_str_hash, g_str_equal);
    EACH(i, code)
    {
        const char *sentence = thew_store_status_sentence((thew_store_status)code[i]);
        expect_number(sentence, 1, g_hash_table_add(seen, (gpointer)sentence));
    }
    expect_text("a number that is none", "unknown status", thew_store_status_sentence((thew_store_status)-99));
    expect_end(20);
}

static gint64 people(const char *path)
{
    return look_number(path, "SELECT COUNT(*) FROM person");
}

static thew_store_status add_person(thew_db *db, const char *person)
{
    return thew_store_person_put(
        db, "s", &(thew_store_person){ .person = person, .called = person, .note = "", .made_us = { 1 }, .changed_us = { 1 } });
}

static void transactions(void **state)
{
    const char *path = in_folder(state, "studio.db");
    g_autoptr(thew_db) db = open_store(path);
    fill_studio(db, "s");
    expect_status("nothing to commit", db, THEW_STORE_NO_TRANSACTION, thew_db_commit(db));
    thew_db_rollback(db); // harmless
    must(db, thew_db_begin(db));
    expect_status("in one already", db, THEW_STORE_NESTED, thew_db_begin(db));
    expect_status("nor to read", db, THEW_STORE_NESTED, thew_db_begin_reading(db));
    must(db, add_person(db, "ada"));
    expect_number("seen by others only when kept", 0, (double)people(path));
    must(db, thew_db_commit(db));
    expect_number("kept", 1, (double)people(path));

    must(db, thew_db_begin(db));
    must(db, add_person(db, "bo"));
    thew_db_rollback(db);
    expect_number("rolled back", 1, (double)people(path));

    must(db, thew_db_begin(db));
    must(db, add_person(db, "bo"));
    expect_status("ended with a failure", db, THEW_STORE_CONFLICT, thew_db_end(db, THEW_STORE_CONFLICT));
    expect_number("rolled back", 1, (double)people(path));

    must(db, thew_db_begin(db));
    must(db, add_person(db, "bo"));
    expect_status("ended with news", db, THEW_STORE_REPEATED, thew_db_end(db, THEW_STORE_REPEATED));
    expect_number("kept", 2, (double)people(path));

    must(db, thew_db_begin(db));
    must(db, add_person(db, "cy"));
    thew_db_close(g_steal_pointer(&db));
    expect_number("closing rolls back", 2, (double)people(path));
    expect_end(11);
}

// One who reads sees one moment, whoever writes meanwhile.
static void a_reader_sees_one_moment(void **state)
{
    const char *path = in_folder(state, "studio.db");
    g_autoptr(thew_db) writer = open_store(path), reader = NULL;
    fill_studio(writer, "s");
    reader = open_as(path, THEW_DB_READ);
    g_autoptr(thew_rows) before = NULL, during = NULL, after = NULL;
    must(reader, thew_db_begin_reading(reader));
    must(reader, thew_store_person_all(reader, "s", &before));
    must(writer, thew_db_begin(writer));
    must(writer, add_person(writer, "ada"));
    must(writer, thew_db_commit(writer));
    must(reader, thew_store_person_all(reader, "s", &during));
    must(reader, thew_db_commit(reader));
    must(reader, thew_store_person_all(reader, "s", &after));
    expect_number("before", 0, before->row->len);
    expect_number("still", 0, during->row->len);
    expect_number("then", 1, after->row->len);
    expect_status("a reader does not write", reader, THEW_STORE_READ_ONLY, thew_db_begin(reader));
    expect_sentence("and says so", reader, PARTS("opened for reading"));
    expect_end(5);
}

// --- statements

static void every_statement_can_be_prepared(void **state)
{
    const char *path = in_folder(state, "studio.db");
    g_autoptr(thew_db) db = open_store(path);
    size_t count;
    const thew_sql_list *const *list = thew_statements(&count);
    g_autoptr(GHashTable) seen = g_hash_table_new(g_str_hash, g_str_equal);
    for (size_t i = 0; i < count; i++)
        for (size_t j = 0; j < list[i]->count; j++) {
            const thew_sql *sql = &list[i]->sql[j];
            expect_number(sql->name, 1, g_hash_table_add(seen, (gpointer)sql->name)); // a name for each
            thew_query query = thew_query_of(db, sql);                                // asserts that $1, $2 ... come in order
            expect_status(sql->name, db, THEW_STORE_OK, query.status);
        }
    expect_end(200);
}

// Neither of what only one of the two databases speaks, nor of what would change records that are only added to.
static void statements_keep_to_the_rules(void **state)
{
    (void)state;
    static const char *const not_spoken[] = { "LIKE",      "GLOB",      "lower(",     "upper(",     "round(",    "date(",
                                              "datetime(", "strftime(", "json_",      "->",         "ifnull(",   "IFNULL(",
                                              "||",        "ROWID",     "rowid",      "OR REPLACE", "OR IGNORE", "::",
                                              "ANY(",      "GREATEST",  "FOR UPDATE", "random(",    "\"",        "?" };
    static const char *const only_added_to[] = { "diary",     "checkin",    "outcome",          "kit_reading",
                                                 "run_event", "access_log", "screening_answer", "class",
                                                 "block",     "addition",   "override_reason",  "migration" };
    size_t count;
    const thew_sql_list *const *list = thew_statements(&count);
    for (size_t i = 0; i < count; i++)
        for (size_t j = 0; j < list[i]->count; j++) {
            const thew_sql *sql = &list[i]->sql[j];
            EACH(k, not_spoken)
            {
                if (strstr(sql->text, not_spoken[k]) != NULL) expect_text(sql->name, "what both speak", not_spoken[k]);
            }
            EACH(k, only_added_to)
            {
                g_autofree char *update = g_strdup_printf("UPDATE %s SET", only_added_to[k]);
                g_autofree char *delete = g_strdup_printf("DELETE FROM %s ", only_added_to[k]);
                if (strstr(sql->text, update) != NULL || strstr(sql->text, delete) != NULL)
                    expect_text(sql->name, "only adds", sql->text);
                g_autofree char *insert = g_strdup_printf("INSERT INTO %s ", only_added_to[k]);
                if (strstr(sql->text, insert) != NULL && strstr(sql->text, "ON CONFLICT") != NULL)
                    expect_text(sql->name, "only adds", sql->text);
            }
            expect_count++;
        }
    expect_end(100);
}

// --- the schema

static void the_schema_keeps_to_the_rules(void **state)
{
    const char *path = in_folder(state, "studio.db");
    g_autoptr(thew_db) db = open_store(path);
    g_autoptr(GPtrArray) unknown = g_ptr_array_new_with_free_func(g_free);
    must(db, thew_tables_check(db, unknown));
    expect_number("every table is known", 0, unknown->len);
    size_t count;
    thew_tables(&count);
    static const struct {
        const char *why, *sql, *expected;
    } row[] = {
        { "every table is strict",
          "SELECT name FROM pragma_table_list WHERE schema = 'main' AND type = 'table' AND name NOT LIKE 'sqlite_%' AND strict = 0",
          "" },
        { "the studio's id is first in every table's key, but for the list of migrations",
          "SELECT t.name FROM pragma_table_list AS t WHERE t.schema = 'main' AND t.type = 'table' AND t.name NOT LIKE 'sqlite_%' "
          "AND NOT EXISTS "
          "(SELECT 1 FROM pragma_table_info(t.name) AS c WHERE c.name = 'studio' AND c.pk = 1)",
          "migration\n" },
        { "every reference carries the studio's id, but to another of its own",
          "SELECT t.name, f.\"table\" FROM pragma_table_list AS t JOIN pragma_foreign_key_list(t.name) AS f WHERE f.seq = 0 AND "
          "f.\"from\" <> 'studio'",
          "" },
        { "booleans say yes or no",
          "SELECT t.name, c.name FROM pragma_table_list AS t JOIN pragma_table_info(t.name) AS c JOIN sqlite_schema AS s ON s.name "
          "= t.name "
          "WHERE c.name IN ('withdrawn', 'retired', 'practice', 'heat_sensitive') AND s.sql NOT LIKE '%CHECK (' || c.name || ' IN "
          "(0, 1))%'",
          "" },
        { "every child of a reference can be found by an index",
          "SELECT t.name, f.\"table\" FROM pragma_table_list AS t JOIN pragma_foreign_key_list(t.name) AS f WHERE NOT EXISTS "
          "(SELECT 1 FROM "
          "pragma_index_list(t.name) AS i WHERE (SELECT COUNT(*) FROM pragma_index_info(i.name) AS x JOIN "
          "pragma_foreign_key_list(t.name) AS g "
          "ON g.id = f.id AND g.\"from\" = x.name WHERE x.seqno < (SELECT COUNT(*) FROM pragma_foreign_key_list(t.name) AS h WHERE "
          "h.id = f.id)) "
          "= (SELECT COUNT(*) FROM pragma_foreign_key_list(t.name) AS h WHERE h.id = f.id))",
          "" },
        { "the settings that a commit stands on", "PRAGMA journal_mode", "wal\n" },
    };
    EACH(i, row)
    {
        g_autofree char *obtained = look(path, row[i].sql);
        expect_text(row[i].why, row[i].expected, obtained);
    }
    expect_number(
        "as many tables as we know", (double)count,
        (double)look_number(path, "SELECT COUNT(*) FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%'"));
    expect_end(7);
}

static const thew_sql pragma[] = {
    { "settings.foreign_keys", "PRAGMA foreign_keys" },
    { "settings.synchronous", "PRAGMA synchronous" },
    { "settings.secure_delete", "PRAGMA secure_delete" },
    { "settings.busy", "PRAGMA busy_timeout" },
};

static void each_connection_is_set_up(void **state)
{
    static const gint64 expected[] = { 1, 2 /* FULL */, 1, 5000 };
    g_autoptr(thew_db) writer = open_store(in_folder(state, "studio.db")), reader = NULL;
    reader = open_as(in_folder(state, "studio.db"), THEW_DB_READ);
    EACH(i, pragma)
    {
        gint64 value;
        thew_query query = thew_query_of(writer, &pragma[i]);
        must(writer, thew_query_number(&query, -1, &value));
        expect_number(pragma[i].name, (double)expected[i], (double)value);
        query = thew_query_of(reader, &pragma[i]);
        must(reader, thew_query_number(&query, -1, &value));
        expect_number(pragma[i].name, (double)expected[i], (double)value);
    }
    expect_end(8);
}

static void closing_nothing_is_harmless(void **state)
{
    (void)state;
    thew_db_close(NULL);
    thew_rows_free(NULL);
    thew_db *db = NULL;
    expect_open("no such folder", THEW_STORE_NO_FILE, "no/such/folder/studio.db", THEW_DB_MAKE, &db);
    expect_sentence("and why", db, PARTS("no/such/folder/studio.db: it cannot be opened", "No such file"));
    thew_db_close(db);
    expect_end(3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_status_has_a_sentence),
        cmocka_unit_test_setup_teardown(transactions, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(a_reader_sees_one_moment, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(every_statement_can_be_prepared, make_folder, remove_folder),
        cmocka_unit_test(statements_keep_to_the_rules),
        cmocka_unit_test_setup_teardown(the_schema_keeps_to_the_rules, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(each_connection_is_set_up, make_folder, remove_folder),
        cmocka_unit_test(closing_nothing_is_harmless),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
