// entry.h: what diary, check-ins and outcome measures have in common: they are the truth, and only ever added to.
// Knows repeats, conflicts and corrections. Leaves to others: what a record says (diary.h, checkin.h, outcome.h).
//
//   record a ◄── replaces ── record b ◄── replaces ── record c      c is current, a and b stay; if c is withdrawn, none is
//
// Record identifiers are made by the writer, so that sending again what was perhaps received already is harmless.
#ifndef THEW_STORE_ENTRY_H
#define THEW_STORE_ENTRY_H

#include "store/query.h"

/// How every such record begins. The writer's.
typedef struct {
    const char *record; // identifier
    const char *person;
    thew_date day;
    thew_utc at_us;       // 0: only the day is known
    const char *replaces; // NULL: corrects nothing
    bool withdrawn;       // what it replaces never was
    const char *written_by;
    const char *device; // NULL: not on one
    const char *note;   // "" for none
} thew_store_entry;

/// How it ends. The store's: left alone in what is given.
typedef struct {
    gint64 revision; // the person's, with this record
    thew_utc kept_us;
    const char *digest; // of what the writer gave, and of these two (map.h, thew_map_seal)
} thew_store_kept;

// What adding one can say, beside what the disk says:
//   THEW_STORE_REPEATED    the very same record is kept already: nothing was changed, and nothing has to be
//   THEW_STORE_CONFLICT    a record of that identifier has another content; or what it replaces is replaced by another already
//   (which one
//                          stands in the sentence)
//   THEW_STORE_NOT_FOUND   there is no such person, or no such record to replace of theirs
//   THEW_STORE_REFUSED     a rule of the table (a word that is not of its list, a class run that is not there): spoils the
//   transaction
// The first three are answers: the transaction can go on.

#endif
