// db_sqlite.c: SQLite behind the door (see db_backend.h).
// Knows SQLite's settings, its codes, its files beside the file. Leaves to others: everything that is the same for each database.
#include <errno.h>
#include <fcntl.h>
#include <glib/gstdio.h>
#include <sqlite3.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "store/db_backend.h"

#define APPLICATION_ID 0x74686577 // "thew", at byte 68 of the file
#define BUSY_MS 5000

// --- what went wrong

static thew_store_status disk_status(int cause)
{
    return cause == ENOSPC || cause == EDQUOT || cause == EFBIG ? THEW_STORE_FULL : THEW_STORE_DISK;
}

static thew_store_status status_of(sqlite3 *handle, int code)
{
    switch (code & 0xff) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
        return THEW_STORE_BUSY;
    case SQLITE_FULL:
        return THEW_STORE_FULL;
    case SQLITE_READONLY:
        return THEW_STORE_READ_ONLY;
    case SQLITE_CORRUPT:
        return THEW_STORE_DAMAGED;
    case SQLITE_NOTADB:
        return THEW_STORE_FOREIGN;
    case SQLITE_CONSTRAINT:
    case SQLITE_TOOBIG:
        return THEW_STORE_REFUSED;
    case SQLITE_CANTOPEN:
    case SQLITE_PERM:
    case SQLITE_AUTH:
        return THEW_STORE_NO_FILE;
    case SQLITE_IOERR:
        if (code == SQLITE_IOERR_SHORT_READ || code == SQLITE_IOERR_CORRUPTFS) return THEW_STORE_DAMAGED;
        return disk_status(sqlite3_system_errno(handle));
    case SQLITE_NOMEM:
        g_error("out of memory"); // as GLib does wherever else memory ends
    case SQLITE_PROTOCOL:
    case SQLITE_NOLFS:
        return THEW_STORE_DISK;
    default:
        return THEW_STORE_BUG;
    }
}

static thew_store_status trouble(thew_db *db)
{
    sqlite3 *handle = db->handle;
    int code = sqlite3_extended_errcode(handle);
    thew_store_status status = status_of(handle, code);
    int cause = sqlite3_system_errno(handle);
    bool of_system = (status == THEW_STORE_NO_FILE || status == THEW_STORE_DISK) && cause != 0;
    return thew_db_fail(db, status, "%s", of_system ? g_strerror(cause) : sqlite3_errmsg(handle));
}

static thew_store_status run_script(thew_db *db, const char *sql)
{
    return sqlite3_exec(db->handle, sql, NULL, NULL, NULL) == SQLITE_OK ? THEW_STORE_OK : trouble(db);
}

// For questions asked here only, whose answer is one number.
static thew_store_status ask(thew_db *db, const char *sql, gint64 *answer)
{
    sqlite3_stmt *statement = NULL;
    *answer = 0;
    if (sqlite3_prepare_v2(db->handle, sql, -1, &statement, NULL) != SQLITE_OK) return trouble(db);
    int code = sqlite3_step(statement);
    if (code == SQLITE_ROW) *answer = sqlite3_column_int64(statement, 0);
    thew_store_status status = code == SQLITE_ROW || code == SQLITE_DONE ? THEW_STORE_OK : trouble(db);
    sqlite3_finalize(statement);
    return status;
}

// --- opening

// foreign_keys: off by default. FULL: a commit is on the disk before it is acknowledged. secure_delete: who is removed is
// overwritten. temp_store: nothing of anybody in temporary files. trusted_schema, cell_size_check, DEFENSIVE: a bent or planted
// file does less harm.
static thew_store_status settle_in(thew_db *db)
{
    sqlite3_extended_result_codes(db->handle, 1);
    sqlite3_busy_timeout(db->handle, BUSY_MS);
    sqlite3_db_config(db->handle, SQLITE_DBCONFIG_DEFENSIVE, 1, NULL);
    sqlite3_db_config(db->handle, SQLITE_DBCONFIG_DQS_DML, 0, NULL); // "text" in double quotes is a name, or a mistake
    sqlite3_db_config(db->handle, SQLITE_DBCONFIG_DQS_DDL, 0, NULL);
    return run_script(db,
                      "PRAGMA foreign_keys = ON; PRAGMA synchronous = FULL; PRAGMA secure_delete = ON; PRAGMA temp_store = MEMORY;"
                      "PRAGMA trusted_schema = OFF; PRAGMA cell_size_check = ON; PRAGMA cache_size = -32768");
}

// What is known of people's health is for its owner's eyes: SQLite would make the file readable for all. The log beside it gets the
// same rights. A file that is there keeps its own; where none can be made SQLite says why.
static void make_private(const char *path)
{
    int file = g_open(path, O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, S_IRUSR | S_IWUSR);
    if (file >= 0) close(file);
}

static thew_store_status open_file(thew_db *db, const char *name, int flags)
{
    sqlite3 *handle = NULL;
    int code = sqlite3_open_v2(name, &handle, flags | SQLITE_OPEN_NOMUTEX, NULL);
    db->handle = handle;
    if (code != SQLITE_OK) return trouble(db);
    return settle_in(db);
}

static void close_file(thew_db *db)
{
    int code = sqlite3_close(db->handle); // NULL is harmless
    g_assert(code == SQLITE_OK);
    db->handle = NULL;
}

// An empty file is new where one may be made, and a loss where one should be; a full one must be ours.
static thew_store_status check_owner(thew_db *db)
{
    gint64 things, owner;
    thew_store_status status = ask(db, "SELECT COUNT(*) FROM sqlite_schema", &things);
    if (status >= 0) status = ask(db, "PRAGMA application_id", &owner);
    if (status < 0) return status;
    if (things > 0 && owner != APPLICATION_ID) return thew_db_fail(db, THEW_STORE_FOREIGN, "another program's SQLite database");
    if (things > 0) return THEW_STORE_OK;
    if (db->mode != THEW_DB_MAKE) return thew_db_fail(db, THEW_STORE_EMPTY, NULL);
    g_autofree char *sql = g_strdup_printf("PRAGMA application_id = %d", APPLICATION_ID);
    return run_script(db, sql);
}

static thew_store_status open_for_writing(thew_db *db)
{
    int flags = SQLITE_OPEN_READWRITE | (db->mode == THEW_DB_MAKE ? SQLITE_OPEN_CREATE : 0);
    if (db->mode == THEW_DB_MAKE) make_private(db->path);
    thew_store_status status = open_file(db, db->path, flags);
    if (db->handle != NULL && sqlite3_db_readonly(db->handle, "main") == 1)
        return thew_db_fail(db, THEW_STORE_READ_ONLY, NULL); // SQLite settles for less
    if (status >= 0) status = check_owner(db);
    // The file is there and can be written, so what cannot be opened is its log.
    if (status == THEW_STORE_NO_FILE && g_access(db->path, W_OK) == 0 && !g_file_test(db->path, G_FILE_TEST_IS_DIR))
        return thew_db_fail(db, THEW_STORE_READ_ONLY, "%s", g_strerror(sqlite3_system_errno(db->handle)));
    return status < 0 ? status : run_script(db, "PRAGMA journal_mode = WAL");
}

// Where nothing can be written, not even the log's index, the file is taken as unchanging; but not if a log lies beside it whose
// changes would then be missed.
static thew_store_status open_unchanging(thew_db *db)
{
    g_autofree char *log = g_strconcat(db->path, "-wal", NULL);
    struct stat about;
    if (stat(log, &about) == 0 && about.st_size > 0)
        return thew_db_fail(db, THEW_STORE_READ_ONLY, "%s holds changes that can only be read where it can be written", log);
    g_autofree char *whole = g_canonicalize_filename(db->path, NULL);
    g_autofree char *plain = g_filename_to_uri(whole, NULL, NULL);
    g_autofree char *uri = g_strconcat(plain, "?immutable=1", NULL);
    close_file(db);
    thew_store_status status = open_file(db, uri, SQLITE_OPEN_READONLY | SQLITE_OPEN_URI);
    return status < 0 ? status : check_owner(db);
}

static thew_store_status open_for_reading(thew_db *db)
{
    thew_store_status status = open_file(db, db->path, SQLITE_OPEN_READONLY);
    if (status >= 0) status = check_owner(db);
    bool is_there = g_access(db->path, R_OK) == 0;
    return is_there && (status == THEW_STORE_NO_FILE || status == THEW_STORE_READ_ONLY) ? open_unchanging(db) : status;
}

static thew_store_status open_sqlite(thew_db *db)
{
    return db->mode == THEW_DB_READ ? open_for_reading(db) : open_for_writing(db);
}

// --- statements

static void check_parameters(sqlite3_stmt *handle)
{
    for (int i = 1; i <= sqlite3_bind_parameter_count(handle); i++) {
        char name[16];
        g_snprintf(name, sizeof name, "$%d", i);
        g_assert_cmpstr(sqlite3_bind_parameter_name(handle, i), ==, name);
    }
}

static thew_store_status prepare(thew_db *db, thew_db_statement *statement)
{
    sqlite3_stmt *handle = NULL;
    const char *rest = NULL;
    if (sqlite3_prepare_v3(db->handle, statement->sql->text, -1, SQLITE_PREPARE_PERSISTENT, &handle, &rest) != SQLITE_OK)
        return trouble(db);
    g_assert(handle != NULL && *rest == '\0');
    check_parameters(handle);
    statement->handle = handle;
    return THEW_STORE_OK;
}

static void finalize(thew_db_statement *statement)
{
    sqlite3_finalize(statement->handle);
}

static bool writes(const thew_db_statement *statement)
{
    return !sqlite3_stmt_readonly(statement->handle);
}

static int bind_value(sqlite3_stmt *handle, int index, const thew_db_value *value)
{
    switch (value->type) {
    case THEW_DB_NULL:
        return sqlite3_bind_null(handle, index);
    case THEW_DB_INTEGER:
        return sqlite3_bind_int64(handle, index, value->integer);
    case THEW_DB_REAL:
        return sqlite3_bind_double(handle, index, value->real);
    case THEW_DB_TEXT:
        return sqlite3_bind_text64(handle, index, value->bytes, value->size, SQLITE_TRANSIENT, SQLITE_UTF8);
    case THEW_DB_BLOB:
        return sqlite3_bind_blob64(handle, index, value->bytes, value->size, SQLITE_TRANSIENT);
    }
    g_assert_not_reached();
}

static thew_store_status bind(thew_db *db, thew_db_statement *statement, int index, const thew_db_value *value)
{
    return bind_value(statement->handle, index, value) == SQLITE_OK ? THEW_STORE_OK : trouble(db);
}

// SQLite does not say which reference leads nowhere: name all that the table has.
static thew_store_status broken_reference(thew_db *db, const thew_sql *sql)
{
    static const char of_table[] = "SELECT group_concat(DISTINCT \"table\") FROM pragma_foreign_key_list($1)";
    sqlite3_stmt *handle = NULL;
    g_auto(GStrv) name = g_strsplit(sql->name, ".", 2);
    const char *tables = NULL;
    if (sqlite3_prepare_v2(db->handle, of_table, -1, &handle, NULL) == SQLITE_OK &&
        sqlite3_bind_text(handle, 1, name[0], -1, SQLITE_STATIC) == SQLITE_OK && sqlite3_step(handle) == SQLITE_ROW)
        tables = (const char *)sqlite3_column_text(handle, 0);
    thew_store_status status = thew_db_fail(db, THEW_STORE_REFUSED, "%s: a reference leads nowhere; %s refers to %s", sql->name,
                                            name[0], tables != NULL ? tables : "nothing, but is referred to");
    sqlite3_finalize(handle);
    return status;
}

static thew_store_status step(thew_db *db, thew_db_statement *statement, bool *has_row)
{
    int code = sqlite3_step(statement->handle);
    *has_row = code == SQLITE_ROW;
    if (code == SQLITE_ROW || code == SQLITE_DONE) return THEW_STORE_OK;
    if (sqlite3_extended_errcode(db->handle) == SQLITE_CONSTRAINT_FOREIGNKEY) return broken_reference(db, statement->sql);
    thew_store_status status = trouble(db);
    if (status != THEW_STORE_REFUSED && status != THEW_STORE_BUG) return status;
    return thew_db_fail(db, status, "%s: %s", statement->sql->name, sqlite3_errmsg(db->handle));
}

static int column_count(const thew_db_statement *statement)
{
    return sqlite3_column_count(statement->handle);
}

static const char *column_name(const thew_db_statement *statement, int index)
{
    return sqlite3_column_name(statement->handle, index);
}

static thew_db_value column(const thew_db_statement *statement, int index)
{
    sqlite3_stmt *handle = statement->handle;
    thew_db_value value = { .type = THEW_DB_NULL };
    switch (sqlite3_column_type(handle, index)) {
    case SQLITE_INTEGER:
        value = (thew_db_value){ .type = THEW_DB_INTEGER, .integer = sqlite3_column_int64(handle, index) };
        break;
    case SQLITE_FLOAT:
        value = (thew_db_value){ .type = THEW_DB_REAL, .real = sqlite3_column_double(handle, index) };
        break;
    case SQLITE_TEXT:
        value = (thew_db_value){ .type = THEW_DB_TEXT, .bytes = (const char *)sqlite3_column_text(handle, index) };
        value.size = (size_t)sqlite3_column_bytes(handle, index);
        break;
    case SQLITE_BLOB:
        value = (thew_db_value){ .type = THEW_DB_BLOB, .bytes = sqlite3_column_blob(handle, index) };
        value.size = (size_t)sqlite3_column_bytes(handle, index);
        if (value.size == 0) value.bytes = ""; // SQLite gives NULL for no bytes
        break;
    }
    return value;
}

static gint64 changed(const thew_db *db)
{
    return sqlite3_changes64(db->handle);
}

static void reset(thew_db_statement *statement)
{
    sqlite3_reset(statement->handle);
    sqlite3_clear_bindings(statement->handle);
}

// --- the house's own work

static const thew_sql columns = {
    "sqlite_schema.columns",
    "SELECT t.name AS table_name, c.name AS column_name FROM sqlite_schema AS t JOIN pragma_table_info(t.name) AS c "
    "WHERE t.type = 'table' AND t.name NOT LIKE 'sqlite_%' ORDER BY t.name, c.cid",
};

// ANALYZE's own tables come and go; everything else stands as the migrations made it.
static const thew_sql definitions = {
    "sqlite_schema.definitions",
    "SELECT type, name, tbl_name, sql FROM sqlite_schema WHERE name NOT LIKE 'sqlite_%' ORDER BY type, name",
};

static thew_store_status hold_keys(thew_db *db, bool hold)
{
    return run_script(db, hold ? "PRAGMA foreign_keys = ON" : "PRAGMA foreign_keys = OFF");
}

static int find_damage(void *finding, int count, char **value, char **name)
{
    (void)count;
    (void)name;
    if (strcmp(value[0], "ok") != 0) g_ptr_array_add(finding, g_strdup(value[0]));
    return 0;
}

static int find_dangling(void *finding, int count, char **value, char **name)
{
    (void)count;
    (void)name;
    g_ptr_array_add(finding, g_strdup_printf("%s: row %s refers to something in %s that is not there", value[0],
                                             value[1] != NULL ? value[1] : "?", value[2]));
    return 0;
}

static thew_store_status check(thew_db *db, GPtrArray *finding)
{
    if (sqlite3_exec(db->handle, "PRAGMA integrity_check", find_damage, finding, NULL) != SQLITE_OK ||
        sqlite3_exec(db->handle, "PRAGMA foreign_key_check", find_dangling, finding, NULL) != SQLITE_OK)
        return trouble(db);
    return THEW_STORE_OK;
}

// The source's own reading transaction holds still what is copied, and writers go on.
static thew_store_status copy(thew_db *db, const char *path)
{
    sqlite3 *target = NULL;
    make_private(path);
    int code = sqlite3_open_v2(path, &target, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE | SQLITE_OPEN_NOMUTEX, NULL);
    sqlite3_extended_result_codes(target, 1);
    sqlite3_backup *backup = code == SQLITE_OK ? sqlite3_backup_init(target, "main", db->handle, "main") : NULL;
    if (backup != NULL) {
        (void)sqlite3_backup_step(backup, -1);
        code = sqlite3_backup_finish(backup);
        // One plain file, that can be read where nothing can be written.
        if (code == SQLITE_OK) code = sqlite3_exec(target, "PRAGMA journal_mode = DELETE", NULL, NULL, NULL);
    } else {
        code = sqlite3_extended_errcode(target);
    }
    thew_store_status status = THEW_STORE_OK;
    if (code != SQLITE_OK) status = thew_db_fail(db, status_of(target, code), "copying to %s: %s", path, sqlite3_errmsg(target));
    sqlite3_close(target);
    return status;
}

static thew_store_status sweep(thew_db *db)
{
    int code = sqlite3_wal_checkpoint_v2(db->handle, NULL, SQLITE_CHECKPOINT_TRUNCATE, NULL, NULL);
    if ((code & 0xff) == SQLITE_BUSY || (code & 0xff) == SQLITE_LOCKED) return THEW_STORE_TRACES;
    return code == SQLITE_OK ? THEW_STORE_OK : trouble(db);
}

const thew_db_backend thew_db_sqlite = {
    .begin_reading = "BEGIN",
    .begin_writing = "BEGIN IMMEDIATE",
    .columns = &columns,
    .definitions = &definitions,
    .open = open_sqlite,
    .close = close_file,
    .script = run_script,
    .prepare = prepare,
    .finalize = finalize,
    .writes = writes,
    .bind = bind,
    .step = step,
    .column_count = column_count,
    .column_name = column_name,
    .column = column,
    .changed = changed,
    .reset = reset,
    .hold_keys = hold_keys,
    .check = check,
    .copy = copy,
    .sweep = sweep,
};
