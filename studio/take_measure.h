// take_measure.h: outcome measures as they are taken, and whether a change is more than measurement error.
// Knows when two scores can be compared: same measure, side and aid, no practice tries. Leaves to others: the figures
// (catalogue/measures.h).
#ifndef THEW_STUDIO_TAKE_MEASURE_H
#define THEW_STUDIO_TAKE_MEASURE_H

#include "catalogue/measures.h"
#include "store/outcome.h"
#include "studio/record.h"

/// Keep them; as thew_record_sets, with "/outcomes/0/value".
thew_verdict thew_take_measures(thew_studio *studio, const thew_actor *actor, const thew_store_outcome *outcome, guint count,
                                thew_record_result *result, thew_refusal *refusal);

typedef struct {
    const thew_store_outcome *outcome;
    bool current;
    const char *change_words; // against the first comparable score; NULL: it is the first, or is not compared
} thew_outcome_row;

typedef struct {
    GArray *row; // thew_outcome_row
    thew_rows *kept;
    GStringChunk *words;
} thew_outcome_list;

/// A person's outcome measures, newest first.
thew_verdict thew_measures_read(const thew_studio *studio, const char *person, bool history, thew_outcome_list **list,
                                thew_refusal *refusal);
void thew_outcome_list_free(thew_outcome_list *list);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_outcome_list, thew_outcome_list_free)

/// A change in a sentence: real, or within what the same person's scores differ by anyhow. Newly allocated.
char *thew_measure_change_words(const thew_measure *measure, double before, double after);

#endif
