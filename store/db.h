// db.h: a database behind one door: opening it, transactions, and what went wrong in a sentence.
// Knows how to ask and how to give up cleanly. Leaves to others: what is asked (query.h and the subjects), which tables there are
// (migrate.h), which database it is (db_backend.h), why anything is asked (studio/).
//
// Threads: a thew_db serves one thread at a time. A process opens one for writing, and one more for each thread that only reads:
// with the write-ahead log a reader sees the last commit, never waits for the writer, and never makes it wait.
//
// A failed statement spoils its transaction, as in PostgreSQL: the commit then rolls back and says what failed first. So nothing is
// ever half done, and both databases behave alike. A conflict (THEW_STORE_CONFLICT, _NOT_FOUND) is an answer: it spoils
// nothing.
#ifndef THEW_STORE_DB_H
#define THEW_STORE_DB_H

#include <glib.h>
#include <stdbool.h>

#include "store/status.h"

typedef struct thew_db thew_db;

typedef enum {
    THEW_DB_READ,  // looks only; a file that cannot be written will do
    THEW_DB_WRITE, // must be there
    THEW_DB_MAKE   // as WRITE, but is made if it is not there
} thew_db_mode;

/// Open a database as it stands. What a studio needs is thew_store_open (store.h), which also brings its tables up to date.
///   path     a file
///   db       out: never NULL; after a failure good for its sentence only. Close it in either case.
///   status   THEW_STORE_NO_FILE, _READ_ONLY, _DAMAGED, _FOREIGN, _EMPTY, _BUSY, _DISK, _FULL
THEW_STORE_MUST_USE thew_store_status thew_db_open(const char *path, thew_db_mode mode, thew_db **db);

/// Close it; what is not committed is rolled back. NULL is harmless.
void thew_db_close(thew_db *db);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_db, thew_db_close)

/// What the last failure was: the place, what is wrong, what would be right, the cause. Stays until the next failure; "" before
/// any.
const char *thew_db_sentence(const thew_db *db);
const char *thew_db_path(const thew_db *db);
thew_db_mode thew_db_opened_for(const thew_db *db);

/// Begin to write. From here on nobody else writes; waits up to five seconds for one who does.
///   status   THEW_STORE_NESTED, _READ_ONLY, _BUSY, and whatever the disk says
THEW_STORE_MUST_USE thew_store_status thew_db_begin(thew_db *db);
/// Begin to read: everything asked until the end is of one moment.
THEW_STORE_MUST_USE thew_store_status thew_db_begin_reading(thew_db *db);

/// Keep what was written. THEW_STORE_OK means that it is on the disk. After a failure it is rolled back.
///   status   what first failed in the transaction; THEW_STORE_FULL, _DISK, _NO_TRANSACTION
THEW_STORE_MUST_USE thew_store_status thew_db_commit(thew_db *db);
/// Forget what was written. Harmless without a transaction.
void thew_db_rollback(thew_db *db);
/// Commit if all went well (`so_far` not negative), roll back if not.
///   returns   so_far, or why the commit failed
THEW_STORE_MUST_USE thew_store_status thew_db_end(thew_db *db, thew_store_status so_far);

bool thew_db_is_writing(const thew_db *db);

/// For the store's own files: keep a sentence made of the place, the status's own, and the cause if one is given.
///   returns   the status
G_GNUC_PRINTF(3, 4)
thew_store_status thew_db_fail(thew_db *db, thew_store_status status, const char *cause, ...);

#endif
