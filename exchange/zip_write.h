// zip_write.h: several files as one, in the ZIP format that every system opens (ISO/IEC 21320-1's profile: deflate or stored, no
// encryption, UTF-8 names). Knows the format by libarchive. Leaves to others: which files, what they say.
//
// The same files give the same bytes: they stand in the order given, and bear one time that the caller chooses.
#ifndef THEW_ZIP_WRITE_H
#define THEW_ZIP_WRITE_H

#include <glib.h>
#include <stdbool.h>

typedef struct {
    const char *name; // a relative path with slashes
    const char *bytes;
    gsize size;
} thew_zip_entry;

/// Pack files.
///   entry    [count]
///   time_s   since 1970-01-01T00:00:00Z, written beside each; not before 1980
///   error    of the format's library
///   returns  the archive, or NULL
GBytes *thew_zip_write(const thew_zip_entry *entry, gsize count, gint64 time_s, GError **error);

#endif
