// backup.c: see backup.h.
#include "store/backup.h"

#include <errno.h>
#include <fcntl.h>
#include <glib/gstdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "store/db_backend.h"
#include "store/store.h"
#include "store/tables.h"

static thew_store_status disk_trouble(thew_db *db, const char *doing, const char *path)
{
    int cause = errno;
    thew_store_status status = cause == ENOSPC || cause == EDQUOT ? THEW_STORE_FULL : THEW_STORE_DISK;
    return thew_db_fail(db, status, "%s %s: %s", doing, path, g_strerror(cause));
}

static thew_store_status sync_path(thew_db *db, const char *path, int flags)
{
    int file = open(path, flags | O_CLOEXEC);
    if (file < 0) return disk_trouble(db, "opening", path);
    thew_store_status status = fsync(file) == 0 ? THEW_STORE_OK : disk_trouble(db, "writing", path);
    close(file);
    return status;
}

static gint64 sum(const gint64 *rows, size_t count)
{
    gint64 all = 0;
    for (size_t i = 0; i < count; i++)
        all += rows[i];
    return all;
}

static thew_store_status copy_one_moment(thew_db *db, const char *part, gint64 *rows)
{
    thew_store_status status = thew_db_begin_reading(db);
    if (status < 0) return status;
    status = thew_tables_count(db, rows);
    if (status >= 0) status = db->backend->copy(db, part);
    thew_db_rollback(db); // nothing was written
    return status;
}

static thew_store_status check_copy(thew_db *copy, const gint64 *rows, size_t count)
{
    g_autoptr(GPtrArray) finding = g_ptr_array_new_with_free_func(g_free);
    thew_store_status status = copy->backend->check(copy, finding);
    if (status < 0) return status;
    if (finding->len > 0) return thew_db_fail(copy, THEW_STORE_DAMAGED, "%s", (const char *)finding->pdata[0]);
    g_autofree gint64 *copied = g_new0(gint64, count);
    status = thew_tables_count(copy, copied);
    if (status < 0 || memcmp(copied, rows, count * sizeof *rows) == 0) return status;
    return thew_db_fail(copy, THEW_STORE_DAMAGED, "the copy has %" G_GINT64_FORMAT " rows, the original %" G_GINT64_FORMAT,
                        sum(copied, count), sum(rows, count));
}

static thew_store_status verify(thew_db *db, const char *part, const gint64 *rows, size_t count)
{
    g_autoptr(thew_db) copy = NULL;
    thew_store_status status = thew_store_open(part, THEW_DB_READ, &copy);
    if (status >= 0) status = check_copy(copy, rows, count);
    return status < 0 ? thew_db_fail(db, status, "%s", thew_db_sentence(copy)) : status;
}

static thew_store_status put_in_place(thew_db *db, const char *part, const char *path)
{
    thew_store_status status = sync_path(db, part, O_RDONLY);
    if (status < 0) return status;
    if (rename(part, path) != 0) return disk_trouble(db, "naming", path);
    g_autofree char *folder = g_path_get_dirname(path);
    return sync_path(db, folder, O_RDONLY | O_DIRECTORY);
}

thew_store_status thew_store_backup(thew_db *db, const char *path, thew_store_copied *copied)
{
    size_t count;
    thew_tables(&count);
    g_autofree gint64 *rows = g_new0(gint64, count);
    g_autofree char *part = g_strconcat(path, ".part", NULL);
    if (g_file_test(path, G_FILE_TEST_EXISTS)) return thew_db_fail(db, THEW_STORE_EXISTS, "%s", path);
    g_unlink(part); // of one that was broken off

    thew_store_status status = copy_one_moment(db, part, rows);
    if (status >= 0) status = verify(db, part, rows, count);
    if (status >= 0) status = put_in_place(db, part, path);
    struct stat about = { 0 };
    if (status < 0)
        g_unlink(part);
    else if (copied != NULL && stat(path, &about) == 0)
        *copied = (thew_store_copied){ (int)count, sum(rows, count), about.st_size };
    return status;
}
