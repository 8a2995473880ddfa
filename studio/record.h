// record.h: sets as they are recorded, corrected and withdrawn; and the diary read back.
// Knows what a set has to keep to before it may be kept, as a coach's file has. Leaves to others: who may write (serve/), what it
// says of strength (believe.h).
#ifndef THEW_STUDIO_RECORD_H
#define THEW_STUDIO_RECORD_H

#include "store/diary.h"
#include "studio/studio.h"

#define THEW_BATCH_MAX 500

/// What became of each record of a batch.
typedef enum { THEW_KEPT, THEW_REPEATED } thew_record_result;

/// Record sets: new ones, corrections (`replaces`), withdrawals (`replaces` and `withdrawn`: only who, which and day count).
/// All or none. Sending again is harmless. Afterwards advice is settled and the belief is up to date.
///   set      [count], at most THEW_BATCH_MAX; written_by and device are the actor's, `note` may be NULL, `kept` is left alone
///   result   out [count]
///   refusal  "/sets/3/seconds" and so on, every fault there is
///   returns  THEW_DONE; THEW_DONE_BEFORE: all of them were kept already; THEW_INVALID; THEW_ABSENT: a person or a record to
///   replace;
///            THEW_CONFLICT: a record of that identifier says something else, or was replaced already; THEW_UNABLE
thew_verdict thew_record_sets(thew_studio *studio, const thew_actor *actor, const thew_store_set *set, guint count,
                              thew_record_result *result, thew_refusal *refusal);

/// One record as it is read back.
typedef struct {
    const thew_store_set *set;
    bool current;
    const char *exercise_name; // the identifier where the catalogue has it no more
    const char *label;         // what was taken
} thew_set_row;

typedef struct {
    GArray *row; // thew_set_row
    thew_rows *kept;
    GStringChunk *words;
} thew_set_list;

/// A person's sets, newest day first, within a day in the order in which they were done.
///   from, until   both included; THEW_NO_DAY: open
///   history       those replaced and withdrawn too
thew_verdict thew_record_read(const thew_studio *studio, const char *person, thew_day from, thew_day until, bool history,
                              thew_set_list **list, thew_refusal *refusal);
void thew_set_list_free(thew_set_list *list);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_set_list, thew_set_list_free)

#endif
