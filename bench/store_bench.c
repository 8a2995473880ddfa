// How fast the store keeps and reads: prints `case,count,ms` and the rates that follow.
//
// Each record is a set of an invented person, with all that thew_store_diary_add looks at. The bare statements beside it are
// SQLite's own, in the same file system and with the same settings: what the disk gives.
//   store_bench [FOLDER]   where the files are made: the disk that is measured; by default the folder for temporary files
#include <glib/gstdio.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>

#include "store/diary.h"
#include "store/person.h"
#include "store/store.h"
#include "store/studio.h"

#define PEOPLE 20
#define SETS 1000 // of each person

static void must(thew_db *db, thew_store_status status)
{
    if (status == THEW_STORE_OK) return;
    fprintf(stderr, "store_bench: %s\n", thew_db_sentence(db));
    exit(1);
}

static thew_db *open_store(const char *path, thew_db_mode mode)
{
    thew_db *db = NULL;
    thew_store_status status = thew_store_open(path, mode, &db);
    must(db, status);
    return db;
}

static double report(const char *name, int count, gint64 began)
{
    double ms = (double)(g_get_monotonic_time() - began) / 1000;
    printf("%s,%d,%.2f\n", name, count, ms);
    return count / ms * 1000;
}

static void add_set(thew_db *db, int person, int number)
{
    char who[16], record[32];
    g_snprintf(who, sizeof who, "p%03d", person);
    g_snprintf(record, sizeof record, "p%03d-%06d", person, number);
    thew_store_set set = {
        .entry = { .record = record,
                   .person = who,
                   .day = { 2026, (gint8)(1 + number / 100 % 12), (gint8)(1 + number / 4 % 28) },
                   .at_us = { 1 + number },
                   .written_by = "coach",
                   .note = "" },
        .exercise = "seated-row",
        .side = "both",
        .implement = "green",
        .setting = "mark-3",
        .ended = "failure",
        .seconds = 40 + number % 50,
    };
    must(db, thew_store_diary_add(db, "s", &set));
}

static void make_people(thew_db *db)
{
    must(db, thew_db_begin(db));
    must(db, thew_store_studio_put(db, &(thew_store_studio){ "s", "Invented", "UTC", "en", { 1 } }));
    for (int i = 0; i < PEOPLE; i++) {
        char who[16];
        g_snprintf(who, sizeof who, "p%03d", i);
        must(db,
             thew_store_person_put(
                 db, "s", &(thew_store_person){ .person = who, .called = who, .note = "", .made_us = { 1 }, .changed_us = { 1 } }));
    }
    must(db, thew_db_commit(db));
}

// So many records, so many to a transaction, spread over the people; returns records a second.
static double keep(thew_db *db, const char *name, int *next, int count, int group)
{
    gint64 began = g_get_monotonic_time();
    for (int i = 0; i < count; i += group) {
        must(db, thew_db_begin(db));
        for (int j = 0; j < group; j++, ++*next)
            add_set(db, *next % PEOPLE, *next / PEOPLE);
        must(db, thew_db_commit(db));
    }
    return report(name, count, began);
}

static double read_diary(thew_db *db, int rounds, int *sets)
{
    gint64 began = g_get_monotonic_time();
    for (int i = 0; i < rounds; i++) {
        thew_rows *rows;
        must(db, thew_store_diary_current(db, "s", "p007", (thew_date){ 0 }, (thew_date){ 0 }, &rows));
        *sets = (int)rows->row->len;
        thew_rows_free(rows);
    }
    return report("read a diary", rounds, began);
}

// One bare insert to a transaction: what SQLite and the disk give.
static double bare(const char *path, int count)
{
    sqlite3 *handle = NULL;
    sqlite3_stmt *insert = NULL;
    if (sqlite3_open(path, &handle) != SQLITE_OK ||
        sqlite3_exec(handle,
                     "PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; CREATE TABLE t (k TEXT PRIMARY KEY, v TEXT) STRICT",
                     NULL, NULL, NULL) != SQLITE_OK ||
        sqlite3_prepare_v2(handle, "INSERT INTO t VALUES (?1, ?2)", -1, &insert, NULL) != SQLITE_OK) {
        fprintf(stderr, "store_bench: %s\n", sqlite3_errmsg(handle));
        exit(1);
    }
    gint64 began = g_get_monotonic_time();
    for (int i = 0; i < count; i++) {
        char key[32];
        g_snprintf(key, sizeof key, "record-%d", i);
        sqlite3_bind_text(insert, 1, key, -1, SQLITE_STATIC);
        sqlite3_bind_text(insert, 2, "seated-row both green mark-3 failure", -1, SQLITE_STATIC);
        if (sqlite3_step(insert) != SQLITE_DONE) exit(1);
        sqlite3_reset(insert);
    }
    double rate = report("bare inserts of SQLite, each its own transaction", count, began);
    sqlite3_finalize(insert);
    sqlite3_close(handle);
    return rate;
}

static void open_often(const char *path)
{
    enum { TIMES = 50 };
    gint64 began = g_get_monotonic_time();
    for (int i = 0; i < TIMES; i++) {
        thew_db_close(open_store(path, THEW_DB_WRITE));
    }
    report("open the store and close it", TIMES, began);
}

static void clear_away(const char *folder)
{
    GDir *dir = g_dir_open(folder, 0, NULL);
    for (const char *name; (name = g_dir_read_name(dir)) != NULL;) {
        g_autofree char *path = g_build_filename(folder, name, NULL);
        g_remove(path);
    }
    g_dir_close(dir);
    g_rmdir(folder);
}

int main(int argc, char **argv)
{
    g_autofree char *folder = g_build_filename(argc > 1 ? argv[1] : g_get_tmp_dir(), "thew-bench-XXXXXX", NULL);
    if (g_mkdtemp(folder) == NULL) {
        fprintf(stderr, "store_bench: no folder could be made for %s\n", folder);
        return 1;
    }
    g_autofree char *path = g_build_filename(folder, "studio.db", NULL), *plain = g_build_filename(folder, "bare.db", NULL);
    thew_db *db = open_store(path, THEW_DB_MAKE);
    make_people(db);
    int next = 0, sets = 0;
    puts("case,count,ms");
    double bare_rate = bare(plain, 1000);
    double own = keep(db, "records, each its own transaction", &next, 1000, 1);
    double ten = keep(db, "records, ten to a transaction", &next, 3000, 10);
    double hundred = keep(db, "records, a hundred to a transaction", &next, PEOPLE * SETS - 4000, 100);
    double diaries = read_diary(db, 50, &sets);
    thew_db_close(db);
    open_often(path);
    printf(
        "# acknowledged records a second: %.0f each its own transaction (%.2f of bare inserts), %.0f by ten, %.0f by a hundred\n",
        own, own / bare_rate, ten, hundred);
    printf("# a diary of %d sets is read in %.2f ms\n", sets, 1000 / diaries);
    clear_away(folder);
    return 0;
}
