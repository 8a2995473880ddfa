// map.h: how a struct is a row: which member is which column, and of what kind.
// Knows kinds of members, and how to gather rows with all that they point at. Leaves to others: statements (query.h), tables.
//
// A subject lists its struct's members once; the list serves reading, writing and the digest that tells two records apart. A
// member's C type decides how it is kept, so the two cannot disagree:
//   const char *    TEXT, NULL where the pointer is. Words of closed lists ("failure", "left") are texts too: the table knows the
//   list. int, gint64     INTEGER bool            INTEGER, 0 or 1 double          REAL; never NaN, perhaps infinite thew_maybe_real
//   REAL, NULL where unknown thew_date       TEXT, RFC 3339 full-date ("2026-03-31"): sorts as it stands, is free of zones, reads
//   alike everywhere; NULL for all-zero thew_utc        INTEGER, microseconds since 1970-01-01T00:00:00Z: exact, compact, sorts,
//   subtracts, and no database converts it on
//                   the way; NULL for zero
//   thew_blob       BLOB, NULL for a null pointer
#ifndef THEW_STORE_MAP_H
#define THEW_STORE_MAP_H

#include <glib.h>
#include <stdbool.h>
#include <stddef.h>

#include "exchange/date.h"

/// A number that may be unknown; all-zero is.
typedef struct {
    bool known;
    double value;
} thew_maybe_real;

/// An instant; 0 is none.
typedef struct {
    gint64 us;
} thew_utc;

/// Bytes, aligned to nothing: copy them before use as anything but bytes.
typedef struct {
    const void *bytes;
    size_t size;
} thew_blob;

/// The instant that it is by the system's clock.
thew_utc thew_utc_now(void);

typedef enum {
    THEW_FIELD_TEXT,
    THEW_FIELD_INT,
    THEW_FIELD_INT64,
    THEW_FIELD_BOOL,
    THEW_FIELD_REAL,
    THEW_FIELD_MAYBE,
    THEW_FIELD_DATE,
    THEW_FIELD_UTC,
    THEW_FIELD_BLOB
} thew_field_kind;

typedef struct {
    const char *column;
    size_t offset;
    thew_field_kind kind;
} thew_field;

typedef struct {
    const thew_field *field; // [count], in the order of the statements' columns
    int count;
    size_t size; // of the struct
    int given;   // the first so many are the writer's own; the rest is the store's
} thew_map;

#define THEW_FIELD_KIND(member)                                                                                                    \
    _Generic((member),                   \
        const char *: THEW_FIELD_TEXT,   \
        int: THEW_FIELD_INT,             \
        gint64: THEW_FIELD_INT64,        \
        bool: THEW_FIELD_BOOL,           \
        double: THEW_FIELD_REAL,         \
        thew_maybe_real: THEW_FIELD_MAYBE, \
        thew_date: THEW_FIELD_DATE,      \
        thew_utc: THEW_FIELD_UTC,        \
        thew_blob: THEW_FIELD_BLOB)
#define THEW_FIELD_AS(type, member, column)                                                                                        \
    {                                                                                                                              \
        column, offsetof(type, member), THEW_FIELD_KIND(((type *)0)->member)                                                       \
    }
#define THEW_FIELD(type, member) THEW_FIELD_AS(type, member, #member)
#define THEW_MAP(type, fields, given)                                                                                              \
    {                                                                                                                              \
        fields, G_N_ELEMENTS(fields), sizeof(type), given                                                                          \
    }

/// Rows that were read, with all that they point at.
typedef struct {
    GArray *row;
    GStringChunk *words;
    const thew_map *map; // what their members are called; NULL: gathered otherwise than by a query
} thew_rows;

thew_rows *thew_rows_new(size_t row_size);
void thew_rows_free(thew_rows *rows);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_rows, thew_rows_free)

/// The i-th of them, as a const pointer to `type`.
#define thew_row(rows, type, i) ((const type *)thew_rows_at(rows, sizeof(type), i))
const void *thew_rows_at(const thew_rows *rows, size_t row_size, guint i);

#define THEW_DIGEST_TEXT 33
#define THEW_SEAL_TEXT 41

/// A digest of what the writer gave: the first 128 bits of SHA-256 over names and values of the members that are not NULL, in
/// hexadecimal. A column that a later version adds changes no digest of rows that have nothing in it.
void thew_map_digest(const thew_map *map, const void *row, char digest[THEW_DIGEST_TEXT]);

/// What is kept as a row's `digest`, its last member: that digest, and 32 bits of one over it and what the store added. The first
/// part tells a repeat from a conflict; the whole tells what is damaged.
void thew_map_seal(const thew_map *map, const void *row, char seal[THEW_SEAL_TEXT]);

#endif
