// records.h: the tables that records refer to (records/*.json), built into the program; for measures.c and day_questions.c only.
// Knows where their bytes are, and that a mistake in them is a mistake in this program. Leaves to others: what they say.
#ifndef THEW_CATALOGUE_RECORDS_H
#define THEW_CATALOGUE_RECORDS_H

#include "catalogue/json.h"

/// Parse one of them. Faults are noted in `file`, which thew_records_end looks at.
///   returns   the document, never NULL
json_t *thew_records_begin(const char *name, thew_json_file *file);
/// Stop the program if anything is wrong with it.
void thew_records_end(thew_json_file *file);

#endif
