// When the surroundings fail: a full disk, a failing one, a file that cannot be written, one that is cut off or bent or not ours.
// Each gets a sentence; nothing that was acknowledged is lost; nothing is half there; what can be read is read.
#define _GNU_SOURCE
#include <fcntl.h>
#include <glib/gstdio.h>
#include <sqlite3.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "store/backup.h"
#include "store/inspect.h"
#include "tests/store/bad_disk.h"
#include "tests/store/fixture.h"

static const thew_date any_day = { 0 };

static const char *filled(void **state, const char *name)
{
    const char *path = in_folder(state, name);
    thew_db *db = open_store(path);
    fill_studio(db, "s");
    fill_person(db, "s", "ada");
    thew_db_close(db);
    return path;
}

static void copy_file(const char *from, const char *to, gsize size_max)
{
    g_autofree char *bytes = NULL;
    gsize size;
    assert_true(g_file_get_contents(from, &bytes, &size, NULL));
    assert_true(g_file_set_contents(to, bytes, (gssize)MIN(size, size_max), NULL));
}

static void nothing_is_found(const char *why, thew_db *db)
{
    g_autoptr(GPtrArray) finding = NULL;
    must(db, thew_store_inspect(db, &finding));
    for (guint i = 0; i < finding->len; i++)
        if (strstr(finding->pdata[i], "belief about") == NULL) expect_text(why, "nothing", finding->pdata[i]);
}

// --- a full disk

#define BATCH 24

static thew_store_status write_batch(thew_db *db, int from)
{
    thew_store_status status = thew_db_begin(db);
    if (status < 0) return status;
    for (int i = from; i < from + BATCH && status >= 0; i++) {
        char record[40];
        thew_store_set set = invented_set("ada", record, i);
        status = thew_store_diary_add(db, "s", &set);
    }
    return thew_db_end(db, status);
}

// Every write and every sync of two transactions and a close is the one that fails, each in its turn.
static void each_write_in_turn(void **state, int code, thew_store_status expected, const char *part)
{
    const char *original = filled(state, "original.db"), *path = in_folder(state, "studio.db");
    bad_disk_says(code);
    int turn = 0;
    for (int refused = 1; refused != 0; turn++) {
        copy_file(original, path, G_MAXSIZE);
        thew_db *db;
        db = open_as(path, THEW_DB_WRITE);
        bad_disk_allow(turn);
        thew_store_status first = write_batch(db, 0), second = write_batch(db, BATCH);
        refused = bad_disk_refused();
        if (first < 0) expect_status("the first", db, expected, first);
        if (second < 0) {
            expect_status("the second", db, expected, second);
            expect_sentence("in words", db, PARTS("studio.db", part));
        }
        g_autoptr(thew_rows) rows = NULL;
        must(db, thew_store_diary_current(db, "s", "ada", any_day, any_day, &rows)); // reading goes on
        expect_number("what was acknowledged, and nothing half", 1 + BATCH * ((first >= 0) + (second >= 0)), rows->row->len);
        thew_db_close(db); // still full
        bad_disk_allow(-1);

        g_autoptr(thew_db) again = NULL;
        again = open_as(path, THEW_DB_WRITE);
        g_autoptr(thew_rows) kept = NULL;
        must(again, thew_store_diary_current(again, "s", "ada", any_day, any_day, &kept));
        expect_number("there after opening again", 1, kept->row->len >= rows->row->len && (kept->row->len - 1) % BATCH == 0);
        thew_store_status repeat = write_batch(again, 0), more = write_batch(again, BATCH);
        expect_number("and it goes on where it stopped", 1, repeat >= 0 && more >= 0);
        nothing_is_found("all is well", again);
        thew_db_close(g_steal_pointer(&again));
        g_remove(in_folder(state, "studio.db-wal"));
        g_remove(in_folder(state, "studio.db-shm"));
    }
    bad_disk_says(SQLITE_FULL);
    expect_number("turns", 1, turn > 10);
    expect_end(50);
}

static void a_full_disk(void **state)
{
    each_write_in_turn(state, SQLITE_FULL, THEW_STORE_FULL, "the disk is full: nothing of this change was kept");
}

static void a_failing_disk(void **state)
{
    each_write_in_turn(state, SQLITE_IOERR_WRITE, THEW_STORE_DISK, "the disk failed: nothing of this change was kept");
}

static void full_while_a_store_is_made(void **state)
{
    int turn = 0;
    for (int refused = 1; refused != 0; turn++) {
        g_autofree char *name = g_strdup_printf("%d.db", turn);
        const char *path = in_folder(state, name);
        thew_db *db;
        bad_disk_allow(turn);
        thew_store_status status = thew_store_open(path, THEW_DB_MAKE, &db);
        refused = bad_disk_refused();
        if (refused) {
            expect_status("made", db, THEW_STORE_FULL, status);
            expect_sentence("in words", db, PARTS(name, "the disk is full"));
        }
        thew_db_close(db);
        bad_disk_allow(-1);
        g_autoptr(thew_db) again = open_store(path);
        fill_studio(again, "s");
        nothing_is_found("made after all", again);
    }
    expect_end(20);
}

static void full_while_a_copy_is_made(void **state)
{
    const char *path = filled(state, "studio.db");
    g_autoptr(thew_db) db = NULL;
    db = open_as(path, THEW_DB_READ);
    g_autofree char *before = dump(path);
    int turn = 0;
    for (int refused = 1; refused != 0; turn++) {
        g_autofree char *name = g_strdup_printf("%d.db", turn), *part = g_strconcat(name, ".part", NULL);
        bad_disk_allow(turn);
        thew_store_status status = thew_store_backup(db, in_folder(state, name), NULL);
        refused = bad_disk_refused();
        bad_disk_allow(-1);
        expect_status("copied", db, refused ? THEW_STORE_FULL : THEW_STORE_OK, status);
        if (refused) expect_sentence("in words", db, PARTS("the disk is full", part));
        expect_number("only whole copies have the name", !refused, g_file_test(in_folder(state, name), G_FILE_TEST_EXISTS));
        expect_number("nothing half done lies about", 0, g_file_test(in_folder(state, part), G_FILE_TEST_EXISTS));
    }
    g_autofree char *after = dump(path);
    expect_text("the original", before, after);
    expect_end(20);
}

// --- a file that cannot be written

// In a process of its own, without root's rights. Returns how many comparisons failed.
static int as_nobody(int (*look_around)(const char *path), const char *path)
{
    pid_t child = fork();
    if (child == 0) {
        expect_count = expect_failed = 0;
        if (geteuid() == 0 && (setresgid(65534, 65534, 65534) != 0 || setresuid(65534, 65534, 65534) != 0)) _exit(99);
        _exit(look_around(path));
    }
    int how;
    assert_int_equal(waitpid(child, &how, 0), child);
    assert_true(WIFEXITED(how));
    return WEXITSTATUS(how);
}

static int can_only_look(const char *path)
{
    thew_db *db;
    expect_open("to write", THEW_STORE_READ_ONLY, path, THEW_DB_WRITE, &db);
    expect_sentence("in words", db, PARTS(path, "can be read, but not written"));
    thew_db_close(db);
    expect_open("to make", THEW_STORE_READ_ONLY, path, THEW_DB_MAKE, &db);
    thew_db_close(db);
    expect_open("to look", THEW_STORE_OK, path, THEW_DB_READ, &db);
    g_autoptr(thew_rows) rows = NULL;
    expect_status("looks", db, THEW_STORE_OK, thew_store_diary_current(db, "s", "ada", any_day, any_day, &rows));
    expect_number("sees", 1, rows != NULL ? rows->row->len : 0);
    expect_status("to write all the same", db, THEW_STORE_READ_ONLY, thew_db_begin(db));
    thew_db_close(db);
    return expect_count == 8 ? expect_failed : 98;
}

static int log_is_in_the_way(const char *path)
{
    thew_db *db;
    expect_open("to look", THEW_STORE_READ_ONLY, path, THEW_DB_READ, &db);
    expect_sentence("in words", db, PARTS("-wal holds changes that can only be read where it can be written"));
    thew_db_close(db);
    return expect_count == 2 ? expect_failed : 98;
}

static int not_even_look(const char *path)
{
    thew_db *db;
    expect_open("to look", THEW_STORE_NO_FILE, path, THEW_DB_READ, &db);
    expect_sentence("in words", db, PARTS("it cannot be opened (Permission denied)"));
    thew_db_close(db);
    return expect_count == 2 ? expect_failed : 98;
}

static void a_file_that_cannot_be_written(void **state)
{
    const char *folder = *state, *path = filled(state, "studio.db");
    g_autofree char *before = dump(path);
    static const struct {
        const char *why;
        mode_t file, folder;
    } row[] = {
        { "neither the file nor its folder", 0444, 0555 },
        { "the file may be, but not its folder: no log can be made", 0666, 0555 },
        { "the folder may be, but not the file", 0444, 0777 },
    };
    EACH(i, row)
    {
        g_chmod(path, row[i].file);
        g_chmod(folder, row[i].folder);
        expect_number(row[i].why, 0, as_nobody(can_only_look, path));
        g_chmod(folder, 0755);
        g_remove(in_folder(state, "studio.db-wal")); // what a look may leave
        g_remove(in_folder(state, "studio.db-shm"));
    }
    g_chmod(path, 0000);
    expect_number("not even read", 0, as_nobody(not_even_look, path));
    g_chmod(path, 0644);
    g_autofree char *after = dump(path);
    expect_text("what it holds is what it held", before, after);

    // A log that nobody has taken over yet, and that cannot be read without writing its index.
    thew_db *db;
    db = open_as(path, THEW_DB_WRITE);
    fill_person(db, "s", "bo");
    copy_file(path, in_folder(state, "left.db"), G_MAXSIZE);
    copy_file(in_folder(state, "studio.db-wal"), in_folder(state, "left.db-wal"), G_MAXSIZE);
    thew_db_close(db);
    g_chmod(in_folder(state, "left.db"), 0444);
    g_chmod(folder, 0555);
    expect_number("a log lies beside it", 0, as_nobody(log_is_in_the_way, in_folder(state, "left.db")));
    g_chmod(folder, 0755);
    expect_end(6);
}

// --- a file that is not what it was

static void files_of_others(void **state)
{
    const char *text = in_folder(state, "text.db"), *other = in_folder(state, "other.db"), *empty = in_folder(state, "empty.db"),
               *nothing = in_folder(state, "nothing.db");
    assert_true(g_file_set_contents(text, "date,person,exercise\n2026-01-01,ada,row\n", -1, NULL));
    assert_true(g_file_set_contents(empty, "", 0, NULL));
    meddle(filled(state, "other.db"), "PRAGMA application_id = 0");
    g_autofree char *words = NULL;
    const struct {
        const char *why, *path;
        thew_db_mode mode;
        thew_store_status status;
        const char *part;
    } row[] = {
        { "a text, to look", text, THEW_DB_READ, THEW_STORE_FOREIGN, "no studio of ours" },
        { "a text, to write", text, THEW_DB_WRITE, THEW_STORE_FOREIGN, "no studio of ours" },
        { "a text, to make", text, THEW_DB_MAKE, THEW_STORE_FOREIGN, "no studio of ours" },
        { "another's database, to look", other, THEW_DB_READ, THEW_STORE_FOREIGN, "another program's" },
        { "another's database, to make", other, THEW_DB_MAKE, THEW_STORE_FOREIGN, "another program's" },
        { "an empty file, to look", empty, THEW_DB_READ, THEW_STORE_EMPTY, "was it cut off" },
        { "an empty file, to write", empty, THEW_DB_WRITE, THEW_STORE_EMPTY, "was it cut off" },
        { "no file, to look", nothing, THEW_DB_READ, THEW_STORE_NO_FILE, "No such file" },
        { "no file, to write", nothing, THEW_DB_WRITE, THEW_STORE_NO_FILE, "No such file" },
        { "a folder", *state, THEW_DB_MAKE, THEW_STORE_NO_FILE, "cannot be opened" },
    };
    EACH(i, row)
    {
        g_autoptr(thew_db) db = NULL;
        expect_open(row[i].why, row[i].status, row[i].path, row[i].mode, &db);
        expect_sentence(row[i].why, db, PARTS(row[i].path, row[i].part));
    }
    assert_true(g_file_get_contents(text, &words, NULL, NULL));
    expect_text("a text is left as it was", "date,person,exercise\n2026-01-01,ada,row\n", words);
    expect_end(21);
}

// Read everything that carries a digest; NULL, once damage is seen.
static char *records(thew_db *db)
{
    GString *text = g_string_new(NULL);
    thew_rows *rows[3] = { NULL };
    thew_store_status status = thew_store_diary_history(db, "s", "ada", &rows[0]);
    if (status >= 0) status = thew_store_checkin_history(db, "s", "ada", &rows[1]);
    if (status >= 0) status = thew_store_outcome_history(db, "s", "ada", &rows[2]);
    for (guint i = 0; rows[0] != NULL && i < rows[0]->row->len; i++) {
        const thew_store_set *set = thew_row(rows[0], thew_store_set, i);
        g_string_append_printf(text, "%s %s %s %s %g %s\n", set->entry.record,
                               set->entry.replaces != NULL ? set->entry.replaces : "", set->ended,
                               set->implement != NULL ? set->implement : "", set->seconds, set->kept.digest);
    }
    for (guint i = 0; rows[1] != NULL && i < rows[1]->row->len; i++)
        g_string_append_printf(text, "%g\n", thew_row(rows[1], thew_store_checkin, i)->fatigue.value);
    for (guint i = 0; rows[2] != NULL && i < rows[2]->row->len; i++)
        g_string_append_printf(text, "%g\n", thew_row(rows[2], thew_store_outcome, i)->value);
    for (int i = 0; i < 3; i++)
        thew_rows_free(rows[i]);
    return g_string_free(text, status < 0);
}

typedef enum { REFUSED, FOUND, HARMLESS, UNNOTICED } outcome_of_damage;

// Refused on opening, or found by inspecting, or without any effect on what was recorded. Never unnoticed.
static outcome_of_damage judge(const char *path, thew_db_mode mode, const char *expected)
{
    g_autoptr(thew_db) db = NULL;
    thew_store_status status = thew_store_open(path, mode, &db);
    if (status < 0) {
        if (strlen(thew_db_sentence(db)) < strlen(path) + 20)
            expect_text("refused with a sentence", "a sentence", thew_db_sentence(db));
        return REFUSED;
    }
    g_autoptr(GPtrArray) finding = NULL;
    status = thew_store_inspect(db, &finding);
    if (status < 0 && status != THEW_STORE_DAMAGED) expect_status("inspected", db, THEW_STORE_DAMAGED, status);
    guint found = 0;
    for (guint i = 0; status >= 0 && i < finding->len; i++)
        found += strstr(finding->pdata[i], "belief about") == NULL;
    if (status < 0 || found > 0) return FOUND;
    g_autofree char *obtained = records(db);
    return g_strcmp0(obtained, expected) == 0 ? HARMLESS : UNNOTICED;
}

static char *records_of(const char *path)
{
    g_autoptr(thew_db) db = NULL;
    db = open_as(path, THEW_DB_READ);
    return records(db);
}

static void a_file_that_is_cut_off(void **state)
{
    const char *path = filled(state, "studio.db"), *cut = in_folder(state, "cut.db");
    g_autofree char *expected = records_of(path);
    struct stat about;
    assert_int_equal(stat(path, &about), 0);
    int count = 0, refused = 0;
    for (gsize size = 0; size < (gsize)about.st_size; size += size % 4096 == 0 ? 1 + size % 97 : 4096 - size % 4096, count++) {
        copy_file(path, cut, size);
        for (thew_db_mode mode = THEW_DB_READ; mode <= THEW_DB_WRITE; mode++) {
            outcome_of_damage outcome = judge(cut, mode, expected);
            refused += outcome == REFUSED;
            expect_number("cut off", 1, outcome == REFUSED || outcome == FOUND);
        }
        g_remove(in_folder(state, "cut.db-wal"));
        g_remove(in_folder(state, "cut.db-shm"));
    }
    printf("# cut off at %d lengths, opened in two ways: %d refused at once, %d found by inspecting\n", count, refused,
           2 * count - refused);
    expect_end(200);
}

// One byte in so many is changed, each in its turn.
static void a_file_that_is_bent(void **state)
{
    const char *path = filled(state, "studio.db"), *bent = in_folder(state, "bent.db");
    thew_db *db = open_store(path);
    for (int i = 0; i < 5; i++) // so that there is more to hit than empty pages
        must(db, write_batch(db, i * BATCH));
    thew_db_close(db);
    g_autofree char *expected = records_of(path), *bytes = NULL;
    gsize size;
    assert_true(g_file_get_contents(path, &bytes, &size, NULL));
    const char *all = g_getenv("THEW_BENT_EVERY");
    gsize every = all != NULL ? (gsize)g_ascii_strtoull(all, NULL, 10) : 997;
    int outcomes[4] = { 0 };
    for (gsize at = 0; at<size; at += every> 0 ? every : 1) {
        bytes[at] = (char)(bytes[at] ^ (1 << at % 8));
        assert_true(g_file_set_contents(bent, bytes, (gssize)size, NULL));
        bytes[at] = (char)(bytes[at] ^ (1 << at % 8));
        outcome_of_damage outcome = judge(bent, THEW_DB_READ, expected);
        outcomes[outcome]++;
        if (outcome == UNNOTICED) fprintf(stderr, "unnoticed at byte %zu\n", at);
        expect_number("a record is other than it was, and nothing says so", 0, outcome == UNNOTICED);
        g_remove(in_folder(state, "bent.db-wal"));
        g_remove(in_folder(state, "bent.db-shm"));
    }
    printf("# one bit of every %zuth byte: %d refused at once, %d found by inspecting, %d without effect on a record\n", every,
           outcomes[REFUSED], outcomes[FOUND], outcomes[HARMLESS]);
    expect_end(100);
}

static int install(void **state)
{
    (void)state;
    bad_disk_install();
    return 0;
}

#define TEST(f) cmocka_unit_test_setup_teardown(f, make_folder, remove_folder)
int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(a_full_disk),
        TEST(a_failing_disk),
        TEST(full_while_a_store_is_made),
        TEST(full_while_a_copy_is_made),
        TEST(a_file_that_cannot_be_written),
        TEST(files_of_others),
        TEST(a_file_that_is_cut_off),
        TEST(a_file_that_is_bent),
    };
    return cmocka_run_group_tests(tests, install, NULL);
}
