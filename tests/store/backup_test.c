// Copies that are looked at before they count, and what inspecting finds.
#include <glib/gstdio.h>
#include <sys/stat.h>

#include "store/backup.h"
#include "store/inspect.h"
#include "tests/store/fixture.h"

static thew_db *filled(const char *path)
{
    thew_db *db = open_store(path);
    fill_studio(db, "s");
    fill_person(db, "s", "ada");
    return db;
}

static void a_copy_is_the_same_store(void **state)
{
    const char *path = in_folder(state, "studio.db"), *copy = in_folder(state, "copy.db");
    g_autoptr(thew_db) db = filled(path), reader = NULL, restored = NULL;
    thew_store_copied copied;
    must(db, thew_store_backup(db, copy, &copied));
    g_autofree char *expected = dump(path), *obtained = dump(copy);
    expect_text("all that is kept", expected, obtained);
    struct stat about;
    expect_number("its size", 0, stat(copy, &about));
    expect_number("its size", (double)about.st_size, (double)copied.bytes);
    expect_number("readable for its owner alone", 0600, about.st_mode & 0777);
    expect_number("the original", 0, stat(path, &about));
    expect_number("likewise", 0600, about.st_mode & 0777);
    double lines = 0;
    for (const char *c = expected; *c != '\0'; c++)
        lines += *c == '\n';
    expect_number("rows, but for the migrations", lines,
                  (double)copied.rows - (double)look_number(path, "SELECT COUNT(*) FROM migration"));
    expect_number("nothing half done lies about", 0, g_file_test(in_folder(state, "copy.db.part"), G_FILE_TEST_EXISTS));
    expect_number("nor a log", 0, g_file_test(in_folder(state, "copy.db-wal"), G_FILE_TEST_EXISTS));

    expect_status("never over something", db, THEW_STORE_EXISTS, thew_store_backup(db, copy, NULL));
    expect_sentence("which", db, PARTS("copy.db"));
    reader = open_as(path, THEW_DB_READ); // one who may only read can make one too
    must(reader, thew_store_backup(reader, in_folder(state, "second.db"), NULL));
    restored = open_as(copy, THEW_DB_WRITE); // and one can go on from it
    fill_person(restored, "s", "bo");
    expect_status("into no folder", db, THEW_STORE_NO_FILE, thew_store_backup(db, "no/such/folder/copy.db", NULL));
    must(db, thew_db_begin(db));
    expect_status("not within a transaction", db, THEW_STORE_NESTED, thew_store_backup(db, in_folder(state, "third.db"), NULL));
    expect_end(13);
}

// While the copy is made somebody writes; it is of one moment all the same.
static void a_copy_is_of_one_moment(void **state)
{
    const char *path = in_folder(state, "studio.db");
    g_autoptr(thew_db) db = filled(path);
    for (int round = 0; round < 5; round++) {
        must(db, thew_db_begin(db));
        for (int i = 0; i < 100; i++) {
            char record[40];
            thew_store_set set = invented_set("ada", record, round * 100 + i);
            must(db, thew_store_diary_add(db, "s", &set));
        }
        must(db, thew_db_commit(db));
        g_autofree char *name = g_strdup_printf("copy-%d.db", round);
        const char *copy = in_folder(state, name);
        g_autoptr(thew_db) reader = NULL;
        reader = open_as(path, THEW_DB_READ);
        must(db, thew_db_begin(db)); // a write that is not kept yet
        char record[40];
        thew_store_set set = invented_set("ada", record, 99999);
        must(db, thew_store_diary_add(db, "s", &set));
        must(reader, thew_store_backup(reader, copy, NULL));
        thew_db_rollback(db);
        expect_number(name, 2 + 100 * (round + 1), (double)look_number(copy, "SELECT COUNT(*) FROM diary"));
    }
    expect_end(5);
}

// --- inspecting

static guint count_findings(thew_db *db, const char *part, char **first)
{
    g_autoptr(GPtrArray) finding = NULL;
    must(db, thew_store_inspect(db, &finding));
    guint with_part = 0;
    for (guint i = 0; i < finding->len; i++)
        with_part += strstr(finding->pdata[i], part) != NULL;
    if (first != NULL) *first = g_strdup(finding->len > 0 ? finding->pdata[0] : "");
    return part[0] != '\0' ? with_part : finding->len;
}

// Each is done behind the store's back to a store in which all is well.
static void each_contradiction_is_found(void **state)
{
    static const struct {
        const char *meddling, *part;
    } row[] = {
        { "UPDATE diary SET seconds = 72 WHERE record = 'ada-set-1'", "record ada-set-1 is not what was written" },
        { "UPDATE diary SET note = note || ' ' WHERE record = 'ada-set-2'", "record ada-set-2 is not what was written" },
        { "UPDATE diary SET variant = NULL WHERE record = 'ada-set-1'", "record ada-set-1 is not what was written" },
        { "UPDATE diary SET kept_us = kept_us + 1 WHERE record = 'ada-set-2'", "record ada-set-2 is not what was written" },
        { "UPDATE diary SET revision = -42 WHERE record = 'ada-set-2'", "record ada-set-2 is not what was written" },
        { "UPDATE checkin SET sleep = 8", "record ada-checkin is not what was written" },
        { "UPDATE outcome SET practice = 0", "record ada-outcome is not what was written" },
        { "UPDATE kit_reading SET force_n = 21.6", "reading ada-reading is not what was written" },
        { "UPDATE run_event SET at_us = at_us + 1", "event event-1 is not what was written" },
        { "DROP INDEX diary_replaced_once; INSERT INTO diary SELECT studio, 'set-3', person, day, at_us, replaces, withdrawn, "
          "written_by, device, note, run, "
          "exercise, variant, side, implement, setting, ended, seconds, reserve_s, exertion, reengaged, revision, kept_us, digest "
          "FROM diary "
          "WHERE record = 'ada-set-2'",
          "record ada-set-1 of the diary is replaced more than once" },
        { "UPDATE person SET revision = 1", "diary of ada holds records that the person's revision does not count" },
        { "UPDATE checkin SET revision = (SELECT MIN(revision) FROM diary)", "two records of ada have one revision" },
        { "UPDATE belief SET revision = 1000", "belief about ada stands for more than is known" },
        { "UPDATE standing SET revision = 1000", "standing of ada stands for more than is known" },
        { "UPDATE class SET version = 2; UPDATE run SET version = 2", "versions of the class monday are missing" },
        { "UPDATE run_event SET place = 2", "events of the run run-1 are missing" },
        { "UPDATE block SET version = 3", "versions of the block ada-block are missing" },
        { "UPDATE addition SET version = 3", "versions of the addition movements/own.json are missing" },
        { "INSERT INTO person SELECT studio, 'bo', called, sex, birth_year, height_m, mass_kg, condition, endpoint, weaker_side, "
          "heat_sensitive, note, "
          "since_day, left_day, made_us, changed_us, revision FROM person; INSERT INTO block SELECT studio, block, 2, 'bo', "
          "called, from_day, until_day, "
          "plan, retired, made_us, written_by FROM block",
          "block ada-block is of two persons" },
        { "UPDATE advice SET p_early = .5", "odds of advice ada-advice do not sum to one" },
        { "UPDATE advice SET became_us = NULL", "what became of advice ada-advice, and when, do not agree" },
        { "PRAGMA foreign_keys = OFF; DELETE FROM run", "refers to something in run that is not there" },
        { "CREATE TABLE more (studio TEXT) STRICT", "table more is not known to this program" },
        { "PRAGMA writable_schema = ON; UPDATE sqlite_schema SET rootpage = (SELECT rootpage FROM sqlite_schema WHERE name = "
          "'diary_by_day') "
          "WHERE name = 'checkin_by_day'",
          "checkin_by_day" }, // what integrity_check is for
    };
    EACH(i, row)
    {
        g_autofree char *name = g_strdup_printf("%zu.db", i), *first = NULL;
        const char *path = in_folder(state, name);
        g_autoptr(thew_db) db = filled(path);
        must(db, thew_db_begin(db));
        must(db, thew_store_belief_put(db, "s", &(thew_store_belief){ "ada", "1.0", 1, { 1 }, { "x", 1 } }));
        must(db, thew_db_commit(db));
        expect_number("all is well", 0, count_findings(db, "", &first));
        if (first[0] != '\0') expect_text("nothing is found", "", first);
        thew_db_close(g_steal_pointer(&db));
        meddle(path, row[i].meddling);
        g_autoptr(thew_db) again = NULL;
        again = open_bare(path, THEW_DB_READ); // some of these thew_store_open refuses
        g_autofree char *said = NULL;
        guint found = count_findings(again, row[i].part, &said);
        expect_number(row[i].meddling, 1, found > 0);
        if (found == 0) expect_text("instead", row[i].part, said);
    }
    expect_end(42);
}

#define TEST(f) cmocka_unit_test_setup_teardown(f, make_folder, remove_folder)
int main(void)
{
    const struct CMUnitTest tests[] = { TEST(a_copy_is_the_same_store), TEST(a_copy_is_of_one_moment),
                                        TEST(each_contradiction_is_found) };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
