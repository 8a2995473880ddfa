// correction.h: records of a table that are repeated, corrected or withdrawn.
// Knows what a row's record, replaces and withdrawn say together. Leaves to others: everything else in a row (diary_csv.h,
// days_csv.h).
//
// A record is never changed: a correction is a new record that names the one it replaces. So corrections form chains,
//     r1 <- r2 <- r3        r1 and r2 are superseded, r3 counts; if r3 is withdrawn, none does
// in which a record is replaced at most once; a circle would leave nothing that counts.
#ifndef THEW_CORRECTION_H
#define THEW_CORRECTION_H

#include "exchange/csv.h"

/// What a row says of it. Equal records of one table are the same pointer.
typedef struct {
    const char *record, *replaces; // NULL: none
    bool is_withdrawn;             // what it replaces never was, and this row is no record of anything done
    bool is_superseded;            // a later record replaces this one:
    guint superseded_by;           // the index of that row, which may be superseded in its turn
} thew_csv_link;

/// A table whose rows have one.
typedef struct {
    const thew_csv *csv;
    const GArray *row;
    gsize at, link;                  // where in a row its thew_csv_row and its thew_csv_link lie
    int record, replaces, withdrawn; // columns
    GEqualFunc says_same;            // whether two rows say the same, record apart
    const char *what;                // "set"
} thew_linked;

/// Records that are not in the table, but where it goes to.
typedef struct {
    bool (*has)(void *user, const char *record);
    void *user;
} thew_known_records;

/// Whether what a row says counts: it is neither replaced nor withdrawn.
bool thew_csv_link_counts(const thew_csv_link *link);

/// Whether a row is to be taken in: not if its record is there already. A repeat is noted, another content an error.
///   index_of   record (the table's pointer) to index; grown here
///   row        not in the table yet: it would be its next
bool thew_linked_is_new(const thew_linked *table, GHashTable *index_of, gconstpointer row);
/// Once all are read: find out who replaces whom. What is wrong becomes errors.
///   elsewhere   which other records may be replaced; NULL: none
void thew_linked_settle(const thew_linked *table, GHashTable *index_of, const thew_known_records *elsewhere);

#endif
