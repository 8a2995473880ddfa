// Killed while writing, and several processes at once: what was acknowledged is there, once and whole.
//
// A writer keeps records, each in its own transaction of a set and a check-in, and says so over a pipe only after the commit; it is
// killed (signal 9) at a random moment. This shows what a crash of the program does. It does not show a loss of power: what the
// program gave to the kernel survives the program.
#define _GNU_SOURCE
#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include "store/inspect.h"
#include "store/remove.h"
#include "tests/store/fixture.h"

static const thew_date any_day = { 0 };

static thew_store_status keep_pair(thew_db *db, const char *person, int number)
{
    char record[40];
    thew_store_set set = invented_set(person, record, number);
    thew_store_checkin checkin = { .entry = set.entry, .fatigue = { true, number % 11 } };
    thew_store_status status = thew_db_begin(db);
    if (status < 0) return status;
    status = thew_store_diary_add(db, "s", &set);
    if (status >= 0) status = thew_store_checkin_add(db, "s", &checkin);
    return thew_db_end(db, status);
}

// --- killed

// Never returns. Now and then it empties the log, so that it is killed there too.
static void write_until_killed(const char *path, int first, int acknowledged)
{
    thew_db *db;
    if (thew_store_open(path, THEW_DB_WRITE, &db) < 0) {
        fprintf(stderr, "the writer: %s\n", thew_db_sentence(db));
        _exit(1);
    }
    for (int number = first;; number++) {
        if (keep_pair(db, "ada", number) != THEW_STORE_OK) {
            fprintf(stderr, "the writer: %s\n", thew_db_sentence(db));
            _exit(1);
        }
        if (write(acknowledged, &number, sizeof number) != sizeof number) _exit(2);
        if (number % 16 == 0 && thew_store_remove_traces(db) < 0) _exit(3);
    }
}

// One round: how many were acknowledged, from `first` on. Killed so long after the first of them, or after it was started.
static int kill_a_writer(const char *path, int first, bool after_first, int after_us)
{
    int end[2];
    assert_int_equal(pipe(end), 0);
    pid_t writer = fork();
    if (writer == 0) {
        close(end[0]);
        write_until_killed(path, first, end[1]);
    }
    close(end[1]);
    struct pollfd said = { .fd = end[0], .events = POLLIN };
    if (after_first) assert_int_equal(poll(&said, 1, 60000), 1);
    g_usleep((gulong)after_us);
    kill(writer, SIGKILL);
    int how, count = 0;
    for (int number; read(end[0], &number, sizeof number) == sizeof number; count++)
        assert_int_equal(number, first + count);
    close(end[0]);
    assert_int_equal(waitpid(writer, &how, 0), writer);
    assert_true(WIFSIGNALED(how)); // it did not give up by itself
    return count;
}

// Every acknowledged record is there, at most one more (killed between commit and saying so), and each with its other half.
static int look_after_a_kill(const char *path, int acknowledged)
{
    g_autoptr(thew_db) db = NULL;
    g_autoptr(thew_rows) last = NULL;
    db = open_as(path, THEW_DB_WRITE);
    int sets = (int)look_number(path, "SELECT COUNT(*) FROM diary"),
        checkins = (int)look_number(path, "SELECT COUNT(*) FROM checkin");
    expect_number("each set has its check-in", sets, checkins);
    expect_number("acknowledged, or the one that could not be", 1, sets == acknowledged || sets == acknowledged + 1);
    if (sets == 0) return 0;
    char record[40];
    invented_set("ada", record, sets - 1);
    must(db, thew_store_diary_find(db, "s", record, &last));
    // Sent again, as a phone would that heard nothing: harmless.
    expect_status("sent again", db, THEW_STORE_REPEATED, keep_pair(db, "ada", sets - 1));
    return sets;
}

static void all_records_are_whole(const char *path, int count)
{
    g_autoptr(thew_db) db = NULL;
    g_autoptr(GPtrArray) finding = NULL;
    db = open_as(path, THEW_DB_READ);
    must(db, thew_store_inspect(db, &finding));
    for (guint i = 0; i < finding->len; i++)
        expect_text("all is well", NULL, finding->pdata[i]);
    g_autoptr(thew_rows) rows = NULL;
    must(db, thew_store_diary_history(db, "s", "ada", &rows));
    expect_number("all of them", count, rows->row->len);
    for (guint i = 0; i < rows->row->len; i++) {
        char record[40];
        invented_set("ada", record, (int)i);
        if (strcmp(record, thew_row(rows, thew_store_set, i)->entry.record) != 0)
            expect_text("each once, in order", record, thew_row(rows, thew_store_set, i)->entry.record);
    }
}

static void begin_studio(const char *path)
{
    thew_db *db = open_store(path);
    must(db, thew_db_begin(db));
    must(db, thew_store_studio_put(db, &(thew_store_studio){ "s", "Invented", "UTC", "en", { 1 } }));
    must(db,
         thew_store_person_put(
             db, "s", &(thew_store_person){ .person = "ada", .called = "Ada", .note = "", .made_us = { 1 }, .changed_us = { 1 } }));
    must(db, thew_db_commit(db));
    thew_db_close(db);
}

static int from_environment(const char *name, int otherwise)
{
    const char *text = g_getenv(name);
    return text != NULL ? (int)g_ascii_strtoll(text, NULL, 10) : otherwise;
}

static void killed_while_writing(void **state)
{
    const char *path = in_folder(state, "studio.db");
    begin_studio(path);
    int rounds = from_environment("THEW_KILL_ROUNDS", 100), seed = from_environment("THEW_KILL_SEED", 1);
    g_autoptr(GRand) random = g_rand_new_with_seed((guint32)seed);
    int kept = 0, acknowledged_in_all = 0, unsaid = 0, early = 0;
    for (int round = 0; round < rounds; round++) {
        int acknowledged = kill_a_writer(path, kept, round % 8 != 0, g_rand_int_range(random, 0, 20000));
        acknowledged_in_all += acknowledged;
        early += acknowledged == 0;
        int now = look_after_a_kill(path, kept + acknowledged);
        unsaid += now - kept - acknowledged;
        kept = now;
        if (round % 100 == 99 || round == rounds - 1) all_records_are_whole(path, kept);
    }
    printf("# killed %d times (seed %d): %d records acknowledged, all there; %d kept but not yet said; %d kills before the first\n",
           rounds, seed, acknowledged_in_all, unsaid, early);
    expect_number("something was at stake", 1, acknowledged_in_all > rounds / 2);
    expect_end(2 * rounds);
}

// --- killed while a store is made or brought up to date: it is not there, or is whole

static void killed_while_a_store_is_made(void **state)
{
    g_autoptr(GRand) random = g_rand_new_with_seed(2);
    int begun = 0;
    for (int round = 0; round < 60; round++) {
        g_autofree char *name = g_strdup_printf("%d.db", round);
        const char *path = in_folder(state, name);
        pid_t maker = fork();
        if (maker == 0) {
            thew_db *db;
            _exit(thew_store_open(path, THEW_DB_MAKE, &db) < 0);
        }
        g_usleep((gulong)g_rand_int_range(random, 0, 6000));
        kill(maker, SIGKILL);
        int how;
        assert_int_equal(waitpid(maker, &how, 0), maker);
        begun += g_file_test(path, G_FILE_TEST_EXISTS);
        g_autoptr(thew_db) db = open_store(path);
        fill_studio(db, "s");
        g_autoptr(GPtrArray) finding = NULL;
        must(db, thew_store_inspect(db, &finding));
        expect_number(name, 0, finding->len);
    }
    expect_number("some were caught in the middle", 1, begun > 5);
    expect_end(60);
}

// --- several at once

static int wait_for(pid_t child)
{
    int how;
    assert_int_equal(waitpid(child, &how, 0), child);
    return WIFEXITED(how) ? WEXITSTATUS(how) : 99;
}

// Returns 0 if all went well: each record kept, or kept by the other one before.
static int write_all(const char *path, int count)
{
    thew_db *db;
    if (thew_store_open(path, THEW_DB_WRITE, &db) < 0) return 1;
    for (int number = 0; number < count; number++) {
        thew_store_status status = keep_pair(db, "ada", number);
        if (status != THEW_STORE_OK && status != THEW_STORE_REPEATED) {
            fprintf(stderr, "a writer: %s\n", thew_db_sentence(db));
            return 2;
        }
    }
    thew_db_close(db);
    return 0;
}

// The same records from three processes, as from two devices of one person and the desk; a reader looks on.
static void several_processes_at_once(void **state)
{
    enum { WRITERS = 3, RECORDS = 300 };
    const char *path = in_folder(state, "studio.db");
    begin_studio(path);
    pid_t writer[WRITERS];
    for (int i = 0; i < WRITERS; i++)
        if ((writer[i] = fork()) == 0) _exit(write_all(path, RECORDS));

    thew_db *reader;
    reader = open_as(path, THEW_DB_READ);
    guint seen = 0;
    for (int looks = 0; seen < RECORDS && looks < 100000; looks++) {
        g_autoptr(thew_rows) sets = NULL, checkins = NULL;
        must(reader, thew_db_begin_reading(reader));
        must(reader, thew_store_diary_current(reader, "s", "ada", any_day, any_day, &sets));
        must(reader, thew_store_checkin_current(reader, "s", "ada", any_day, any_day, &checkins));
        must(reader, thew_db_commit(reader));
        if (sets->row->len != checkins->row->len) expect_number("both halves, or none", sets->row->len, checkins->row->len);
        if (sets->row->len < seen) expect_number("never fewer than before", seen, sets->row->len);
        seen = sets->row->len;
    }
    thew_db_close(reader);
    for (int i = 0; i < WRITERS; i++)
        expect_number("a writer", 0, wait_for(writer[i]));
    expect_number("seen in the end", RECORDS, seen);
    all_records_are_whole(path, RECORDS);
    expect_end(5);
}

static void several_make_the_same_store(void **state)
{
    for (int round = 0; round < 10; round++) {
        g_autofree char *name = g_strdup_printf("%d.db", round);
        const char *path = in_folder(state, name);
        pid_t maker[4];
        for (int i = 0; i < 4; i++)
            if ((maker[i] = fork()) == 0) {
                thew_db *db;
                int failed = thew_store_open(path, THEW_DB_MAKE, &db) < 0;
                if (failed) fprintf(stderr, "a maker: %s\n", thew_db_sentence(db));
                thew_db_close(db);
                _exit(failed);
            }
        for (int i = 0; i < 4; i++)
            expect_number("a maker", 0, wait_for(maker[i]));
        expect_number("each migration ran once", 6, (double)look_number(path, "SELECT COUNT(*) FROM migration"));
    }
    expect_end(50);
}

// One holds the right to write for longer than the other waits.
static void busy_is_said(void **state)
{
    const char *path = in_folder(state, "studio.db");
    begin_studio(path);
    g_autoptr(thew_db) one = open_store(path), other = open_store(path);
    must(one, thew_db_begin(one));
    gint64 before = g_get_monotonic_time();
    expect_status("busy", other, THEW_STORE_BUSY, thew_db_begin(other));
    expect_sentence("in words", other, PARTS("another program is writing: try again"));
    expect_number("after waiting", 1, g_get_monotonic_time() - before > 4 * G_USEC_PER_SEC);
    thew_db_rollback(one);
    must(other, thew_db_begin(other));
    expect_end(3);
}

#define TEST(f) cmocka_unit_test_setup_teardown(f, make_folder, remove_folder)
int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(killed_while_writing),
        TEST(killed_while_a_store_is_made),
        TEST(several_processes_at_once),
        TEST(several_make_the_same_store),
        TEST(busy_is_said),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
