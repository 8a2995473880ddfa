// fixture.h: a folder for a test's files, a store in it, a studio with one of everything, and a second pair of eyes on its tables.
// Knows nothing of what is right. All people and records are invented.
#ifndef THEW_TESTS_STORE_FIXTURE_H
#define THEW_TESTS_STORE_FIXTURE_H

#include <string.h>

#include "store/access.h"
#include "store/account.h"
#include "store/addition.h"
#include "store/advice.h"
#include "store/belief.h"
#include "store/block.h"
#include "store/checkin.h"
#include "store/class.h"
#include "store/diary.h"
#include "store/kit.h"
#include "store/outcome.h"
#include "store/person.h"
#include "store/run.h"
#include "store/standing.h"
#include "store/store.h"
#include "store/studio.h"
#include "tests/exchange/expect.h"

/// A status that is not the expected one is printed with the database's sentence.
static inline void expect_status(const char *why, const thew_db *db, thew_store_status expected, thew_store_status obtained)
{
    expect_count++;
    if (expected == obtained) return;
    expect_failed++;
    fprintf(stderr, "%s\n  expected: %s\n  obtained: %s\n  said last: %s\n", why, thew_store_status_sentence(expected),
            thew_store_status_sentence(obtained), db != NULL ? thew_db_sentence(db) : "");
}
static inline void expect_open(const char *why, thew_store_status expected, const char *path, thew_db_mode mode, thew_db **db)
{
    thew_store_status status = thew_store_open(path, mode, db);
    expect_status(why, *db, expected, status);
}
/// Must be THEW_STORE_OK: the rest of the test makes no sense without.
#define must(db, status) must_(db, status, __FILE__, __LINE__)
void must_(const thew_db *db, thew_store_status status, const char *file, int line);
/// The sentence of the last failure holds each of these.
static inline void expect_sentence(const char *why, const thew_db *db, const char *const *part)
{
    for (; *part != NULL; part++) {
        expect_count++;
        if (strstr(thew_db_sentence(db), *part) != NULL) continue;
        expect_failed++;
        fprintf(stderr, "%s\n  expected within: %s\n  obtained: %s\n", why, *part, thew_db_sentence(db));
    }
}
#define PARTS(...) ((const char *const[]){ __VA_ARGS__, NULL })

/// For cmocka: a folder of its own for each test, gone afterwards. *state is its path.
int make_folder(void **state);
int remove_folder(void **state);
/// A name in the folder; kept until the folder goes.
const char *in_folder(void **state, const char *name);

/// A store that must open; open_store makes it if it is not there, open_bare leaves its tables as they are.
thew_db *open_as(const char *path, thew_db_mode mode);
thew_db *open_store(const char *path);
thew_db *open_bare(const char *path, thew_db_mode mode);

/// A studio, and a class in it.
void fill_studio(thew_db *db, const char *studio);
/// A person with one of everything. Identifiers begin with the person's; needs fill_studio.
void fill_person(thew_db *db, const char *studio, const char *person);
/// A set of a person's: day counted from 2026-01-01, everything else made up from the number.
thew_store_set invented_set(const char *person, char record[40], int number);

/// All rows of a query, read by SQLite itself: columns parted by "|", rows by line ends, NULL as (null). Newly allocated.
char *look(const char *path, const char *sql);
gint64 look_number(const char *path, const char *sql);
/// Change something behind the store's back.
void meddle(const char *path, const char *sql);
/// Everything in the database, but not when it was kept and at which revision.
char *dump(const char *path);

#endif
