// batch.h: what recording sets, check-ins and outcome measures have in common: many at once, all or none, and harmless when sent
// again. Knows how every such record begins (store/entry.h), whose it may be, and what the store's answers mean to whoever sent it.
// Leaves to others: what a record says (record.h, check_in.h, take_measure.h). For these files only.
#ifndef THEW_STUDIO_BATCH_H
#define THEW_STUDIO_BATCH_H

#include "store/entry.h"
#include "store/person.h"
#include "studio/record.h"

/// What a batch knows of one of its people.
typedef struct {
    const thew_store_person *person; // NULL: there is no such person
    thew_rows *rows;
    thew_rows *item; // thew_store_item, own and everybody's; read when first asked for
    GHashTable *day; // touched: GINT_TO_POINTER(thew_day)
} thew_batch_person;

typedef struct {
    thew_studio *studio;
    const thew_actor *actor;
    const char *array; // of the refusals' pointers: "sets"
    thew_refusal *refusal;
    GHashTable *person;       // identifier, to thew_batch_person
    GHashTable *record;       // identifiers in this batch, to index + 1
    thew_store_status status; // of reading
} thew_batch;

/// What a table has of a record's identifier.
typedef thew_store_status (*thew_batch_find)(thew_db *db, const char *studio, const char *record, thew_rows **rows);

void thew_batch_begin(thew_batch *batch, thew_studio *studio, const thew_actor *actor, const char *array, guint count,
                      thew_refusal *refusal);
void thew_batch_clear(thew_batch *batch);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(thew_batch, thew_batch_clear)

/// Whether a record of that identifier is kept: then nothing has to be checked, the store tells a repeat from a conflict. So what
/// was right once stays harmless to send again, even if the kit was renamed since.
bool thew_batch_is_kept(thew_batch *batch, const thew_store_entry *entry, thew_batch_find find);
/// Check how a record begins: identifier, person, day, correction, note.
///   returns   whose it is; NULL if that is not known
thew_batch_person *thew_batch_check(thew_batch *batch, guint index, const thew_store_entry *entry);
/// The kit that somebody may use, retired pieces too.
const thew_rows *thew_batch_items(thew_batch *batch, thew_batch_person *person);

/// As it is kept: the actor's name beside it, no note an empty one.
thew_store_entry thew_batch_entry(const thew_batch *batch, const thew_store_entry *given);

/// Keeps the record at an index.
typedef thew_store_status (*thew_batch_keep)(thew_batch *batch, guint index, const void *user);
/// Keep all or none, and bring advice and beliefs up to date.
///   entry    out of the index-th
///   settle   whether advice has to be settled: sets
thew_verdict thew_batch_run(thew_batch *batch, guint count, const thew_store_entry *(*entry)(const void *user, guint index),
                            thew_batch_keep keep, thew_batch_find find, bool settle, const void *user, thew_record_result *result);

#endif
