// bad_disk.h: SQLite's files on a disk that fills up after so many writes; everything else goes through.
#ifndef THEW_TESTS_STORE_BAD_DISK_H
#define THEW_TESTS_STORE_BAD_DISK_H

/// From now on all files are opened through it. It does nothing until it is told to.
void bad_disk_install(void);
/// So many more writes and syncs succeed; then none does, until told otherwise. Negative: all do.
void bad_disk_allow(int count);
/// Whether one was refused since the last bad_disk_allow.
int bad_disk_refused(void);
/// What is said then: SQLITE_FULL, or one of SQLITE_IOERR_...
void bad_disk_says(int code);

#endif
