// bad_disk.c: see bad_disk.h. The unix VFS opens the files as ever; only the tables of their methods are exchanged for ours.
#include "tests/store/bad_disk.h"

#include <sqlite3.h>
#include <stdbool.h>
#include <string.h>

static sqlite3_vfs *real, own;
static int allowed = -1, refused, says = SQLITE_FULL;

// Files of one kind share a table; there are few kinds.
#define KINDS 8
static const sqlite3_io_methods *original[KINDS];
static sqlite3_io_methods changed[KINDS];

void bad_disk_allow(int count)
{
    allowed = count;
    refused = 0;
}

int bad_disk_refused(void)
{
    return refused;
}

void bad_disk_says(int code)
{
    says = code;
}

static bool refuse(void)
{
    if (allowed < 0) return false;
    if (allowed > 0) {
        allowed--;
        return false;
    }
    refused = 1;
    return true;
}

static const sqlite3_io_methods *original_of(sqlite3_file *file)
{
    return original[file->pMethods - changed];
}

static int write_bytes(sqlite3_file *file, const void *bytes, int count, sqlite3_int64 offset)
{
    if (!refuse()) return original_of(file)->xWrite(file, bytes, count, offset);
    if (count > 1) (void)original_of(file)->xWrite(file, bytes, count / 2, offset); // what still fitted is on the disk
    return says;
}

static int sync_file(sqlite3_file *file, int flags)
{
    return refuse() ? says : original_of(file)->xSync(file, flags);
}

static int open_file(sqlite3_vfs *vfs, const char *name, sqlite3_file *file, int flags, int *flags_out)
{
    (void)vfs;
    int code = real->xOpen(real, name, file, flags, flags_out);
    if (file->pMethods == NULL) return code;
    for (int i = 0; i < KINDS; i++) {
        if (original[i] == NULL) {
            original[i] = file->pMethods;
            changed[i] = *file->pMethods;
            changed[i].xWrite = write_bytes;
            changed[i].xSync = sync_file;
        }
        if (original[i] == file->pMethods) {
            file->pMethods = &changed[i];
            return code;
        }
    }
    return SQLITE_ERROR;
}

void bad_disk_install(void)
{
    if (real != NULL) return;
    real = sqlite3_vfs_find(NULL);
    own = *real;
    own.zName = "bad_disk";
    own.xOpen = open_file;
    sqlite3_vfs_register(&own, 1);
}
