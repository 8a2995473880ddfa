// db.c: what all databases share: transactions, the cache of statements, sentences (see db.h).
#include "store/db_backend.h"

static void free_statement(gpointer given)
{
    thew_db_statement *statement = given;
    g_free(statement);
}

static thew_db *db_new(const char *path, thew_db_mode mode)
{
    thew_db *db = g_new0(thew_db, 1);
    db->backend = &thew_db_sqlite;
    db->path = g_strdup(path);
    db->mode = mode;
    db->sentence = g_strdup("");
    db->statement = g_hash_table_new_full(g_direct_hash, g_direct_equal, NULL, free_statement);
    return db;
}

thew_store_status thew_db_open(const char *path, thew_db_mode mode, thew_db **db)
{
    *db = db_new(path, mode);
    return (*db)->backend->open(*db);
}

static void finalize_all(thew_db *db)
{
    GHashTableIter iter;
    gpointer statement;
    g_hash_table_iter_init(&iter, db->statement);
    while (g_hash_table_iter_next(&iter, NULL, &statement))
        db->backend->finalize(statement);
    g_hash_table_remove_all(db->statement);
}

void thew_db_close(thew_db *db)
{
    if (db == NULL) return;
    thew_db_rollback(db);
    finalize_all(db);
    db->backend->close(db);
    g_hash_table_unref(db->statement);
    g_free(db->path);
    g_free(db->sentence);
    g_free(db->spoilt_sentence);
    g_free(db);
}

const char *thew_db_sentence(const thew_db *db)
{
    return db->sentence;
}

const char *thew_db_path(const thew_db *db)
{
    return db->path;
}

thew_db_mode thew_db_opened_for(const thew_db *db)
{
    return db->mode;
}

bool thew_db_is_writing(const thew_db *db)
{
    return db->transaction == THEW_DB_WRITING;
}

thew_store_status thew_db_fail(thew_db *db, thew_store_status status, const char *cause, ...)
{
    g_autoptr(GString) sentence = g_string_new(NULL);
    g_string_append_printf(sentence, "%s: %s", db->path, thew_store_status_sentence(status));
    if (cause != NULL) {
        va_list given;
        va_start(given, cause);
        g_autofree char *said = g_strdup_vprintf(cause, given);
        va_end(given);
        g_string_append_printf(sentence, " (%s)", said);
    }
    g_free(db->sentence);
    db->sentence = g_utf8_make_valid(sentence->str, -1); // a file's name may be any bytes
    return status;
}

thew_store_status thew_db_spoil(thew_db *db, thew_store_status status)
{
    if (status < 0 && db->transaction != THEW_DB_IDLE && db->spoilt == THEW_STORE_OK) {
        db->spoilt = status;
        g_free(db->spoilt_sentence);
        db->spoilt_sentence = g_strdup(db->sentence);
    }
    return status;
}

thew_store_status thew_db_prepared(thew_db *db, const thew_sql *sql, thew_db_statement **statement)
{
    *statement = g_hash_table_lookup(db->statement, sql);
    if (*statement != NULL) return THEW_STORE_OK;
    g_autofree thew_db_statement *fresh = g_new0(thew_db_statement, 1);
    fresh->sql = sql;
    thew_store_status status = db->backend->prepare(db, fresh);
    if (status < 0) return status;
    *statement = fresh;
    g_hash_table_insert(db->statement, (gpointer)sql, g_steal_pointer(&fresh));
    return THEW_STORE_OK;
}

// --- transactions

static thew_store_status begin(thew_db *db, const char *how, thew_db_transaction transaction)
{
    if (db->transaction != THEW_DB_IDLE) return thew_db_fail(db, THEW_STORE_NESTED, NULL);
    thew_store_status status = db->backend->script(db, how);
    if (status < 0) return status;
    db->transaction = transaction;
    db->spoilt = THEW_STORE_OK;
    return THEW_STORE_OK;
}

thew_store_status thew_db_begin(thew_db *db)
{
    if (db->mode == THEW_DB_READ) return thew_db_fail(db, THEW_STORE_READ_ONLY, "it was opened for reading");
    return begin(db, db->backend->begin_writing, THEW_DB_WRITING);
}

thew_store_status thew_db_begin_reading(thew_db *db)
{
    return begin(db, db->backend->begin_reading, THEW_DB_READING);
}

void thew_db_rollback(thew_db *db)
{
    if (db->transaction == THEW_DB_IDLE) return;
    g_autofree char *sentence = g_strdup(db->sentence);
    db->transaction = THEW_DB_IDLE;
    // A full disk may have rolled it back already, so a refusal says nothing; the sentence to keep is that of the cause.
    (void)!db->backend->script(db, "ROLLBACK");
    g_free(db->sentence);
    db->sentence = g_steal_pointer(&sentence);
}

thew_store_status thew_db_commit(thew_db *db)
{
    if (db->transaction == THEW_DB_IDLE) return thew_db_fail(db, THEW_STORE_NO_TRANSACTION, NULL);
    if (db->spoilt < 0) {
        thew_db_rollback(db);
        g_free(db->sentence);
        db->sentence = g_steal_pointer(&db->spoilt_sentence);
        return db->spoilt;
    }
    thew_store_status status = db->backend->script(db, "COMMIT");
    if (status < 0)
        thew_db_rollback(db);
    else
        db->transaction = THEW_DB_IDLE;
    return status;
}

thew_store_status thew_db_end(thew_db *db, thew_store_status so_far)
{
    if (so_far < 0) {
        thew_db_rollback(db);
        return so_far;
    }
    thew_store_status status = thew_db_commit(db);
    return status < 0 ? status : so_far;
}
