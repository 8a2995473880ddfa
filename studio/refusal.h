// refusal.h: what a use case says when it does not do what was asked: which field, what is wrong, what would be right.
// Knows sentences and places. Leaves to others: how they are shown (serve/, cli/).
//
// A use case does all of it or nothing. It looks at everything first, so that one answer names every fault.
#ifndef THEW_REFUSAL_H
#define THEW_REFUSAL_H

#include <glib.h>

#include "store/db.h"

typedef enum {
    THEW_DONE,
    THEW_DONE_BEFORE, // the very same was done already: nothing was changed, and nothing has to be
    THEW_INVALID,     // what was given is wrong: see the faults
    THEW_ABSENT,      // there is no such thing
    THEW_CONFLICT,    // it contradicts what is kept
    THEW_FORBIDDEN,   // not for this account
    THEW_UNABLE       // the surroundings failed (disk full, read-only, another writer): try again later
} thew_verdict;

typedef struct {
    char *pointer; // JSON Pointer into what was given ("/sets/3/seconds"); "" for all of it
    char *sentence;
} thew_fault;

typedef struct {
    GPtrArray *fault; // owned: thew_fault
    char *sentence;   // of the whole, where no field is to blame; NULL
} thew_refusal;

thew_refusal *thew_refusal_new(void);
void thew_refusal_free(thew_refusal *refusal);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_refusal, thew_refusal_free)

/// Note a fault.
///   pointer   "/called"; see thew_refusal_at for places in arrays
void thew_refusal_add(thew_refusal *refusal, const char *pointer, const char *format, ...) G_GNUC_PRINTF(3, 4);
/// The same for a member of an array's element: "/sets/3/seconds".
void thew_refusal_at(thew_refusal *refusal, const char *array, guint index, const char *member, const char *format, ...)
    G_GNUC_PRINTF(5, 6);
bool thew_refusal_is_empty(const thew_refusal *refusal);

/// End with a sentence about the whole.
///   returns   the verdict
thew_verdict thew_refuse(thew_refusal *refusal, thew_verdict verdict, const char *format, ...) G_GNUC_PRINTF(3, 4);
/// What a status of the store means to whoever asked; its sentence is taken over for failures.
thew_verdict thew_refuse_store(thew_refusal *refusal, const thew_db *db, thew_store_status status);

#endif
