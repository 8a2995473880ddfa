// db_backend.h: what a kind of database has to be able to do; for the files of the store only.
// Knows the seam between what all databases share (db.c, query.c) and one of them (db_sqlite.c). A second one, PostgreSQL, is
// another thew_db_backend: it takes the same statements, and the same migrations with the types' names replaced (migrate.h).
#ifndef THEW_STORE_DB_BACKEND_H
#define THEW_STORE_DB_BACKEND_H

#include "store/db.h"
#include "store/query.h"

typedef struct thew_db_backend thew_db_backend;

/// One prepared statement.
typedef struct {
    const thew_sql *sql;
    void *handle;
    bool in_use;
} thew_db_statement;

typedef enum { THEW_DB_IDLE, THEW_DB_READING, THEW_DB_WRITING } thew_db_transaction;

struct thew_db {
    const thew_db_backend *backend;
    void *handle;
    char *path;
    thew_db_mode mode;
    GHashTable *statement; // const thew_sql * to thew_db_statement
    thew_db_transaction transaction;
    thew_store_status spoilt; // what first failed in this transaction
    char *sentence, *spoilt_sentence;
};

/// What goes into a statement and comes out of it. Texts and blobs are the giver's: a column's are good until the next step.
typedef enum { THEW_DB_NULL, THEW_DB_INTEGER, THEW_DB_REAL, THEW_DB_TEXT, THEW_DB_BLOB } thew_db_type;
typedef struct {
    thew_db_type type;
    gint64 integer;
    double real;
    const char *bytes;
    size_t size;
} thew_db_value;

/// Everything that fails leaves a sentence by thew_db_fail (db.h).
struct thew_db_backend {
    const char *begin_reading, *begin_writing;
    const thew_sql *columns; // of every table there is, as rows of table_name, column_name
    const thew_sql
        *definitions; // of everything there is, as rows of type, name, tbl_name, sql: a text that is the same on each opening

    thew_store_status (*open)(thew_db *db);
    void (*close)(thew_db *db);
    /// Several statements, without parameters and results.
    thew_store_status (*script)(thew_db *db, const char *sql);

    thew_store_status (*prepare)(thew_db *db, thew_db_statement *statement);
    void (*finalize)(thew_db_statement *statement);
    bool (*writes)(const thew_db_statement *statement);
    thew_store_status (*bind)(thew_db *db, thew_db_statement *statement, int index, const thew_db_value *value); // from 1
    thew_store_status (*step)(thew_db *db, thew_db_statement *statement, bool *has_row);
    int (*column_count)(const thew_db_statement *statement);
    const char *(*column_name)(const thew_db_statement *statement, int index); // from 0
    thew_db_value (*column)(const thew_db_statement *statement, int index);
    gint64 (*changed)(const thew_db *db);
    void (*reset)(thew_db_statement *statement);

    /// Foreign keys are let go of while tables are rebuilt (outside a transaction), and hold again afterwards.
    thew_store_status (*hold_keys)(thew_db *db, bool hold);
    /// Sentences about damage and about references to nothing.
    thew_store_status (*check)(thew_db *db, GPtrArray *finding);
    /// A copy of what the current reading transaction sees, as a file that is not there yet.
    thew_store_status (*copy)(thew_db *db, const char *path);
    /// Nothing of what was deleted stays anywhere; THEW_STORE_TRACES if it cannot be so now.
    thew_store_status (*sweep)(thew_db *db);
};

extern const thew_db_backend thew_db_sqlite;

/// The transaction, if there is one, cannot be committed any more. Returns the status.
thew_store_status thew_db_spoil(thew_db *db, thew_store_status status);
/// The prepared form of a statement, from the cache.
thew_store_status thew_db_prepared(thew_db *db, const thew_sql *sql, thew_db_statement **statement);

#endif
