// backup.h: a copy of everything, made while others go on writing, and looked at before it counts.
// Knows copies in one file. Leaves to others: when, where to, how many are kept, encryption.
#ifndef THEW_STORE_BACKUP_H
#define THEW_STORE_BACKUP_H

#include "store/db.h"

typedef struct {
    int tables;
    gint64 rows;  // in all of them
    gint64 bytes; // of the file
} thew_store_copied;

/// Copy what is kept at this moment to a file that is not there yet. It gets its name only once the copy is on the disk, its
/// integrity has been checked, and every table has as many rows as the original had; what comes of a failure is removed. The copy
/// is a store like any other: to go on from it, put it in the original's place (with no -wal or -shm of the original left beside
/// it).
///   db       without a transaction
///   copied   out; may be NULL
///   status   THEW_STORE_EXISTS, _DAMAGED (the copy, so probably the original too), _FULL, _DISK, _NO_FILE, _READ_ONLY
THEW_STORE_MUST_USE thew_store_status thew_store_backup(thew_db *db, const char *path, thew_store_copied *copied);

#endif
