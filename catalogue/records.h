// records.h: the tables that records refer to (records/*.json), built into the program; for measures.c and day_questions.c only.
// Knows where their bytes are, and that a mistake in them is a mistake in this program. Leaves to others: what they say.
#ifndef THEW_CATALOGUE_RECORDS_H
#define THEW_CATALOGUE_RECORDS_H

#include "catalogue/json.h"

/// Every item of the one list in such a file, read once and kept as long as the program. A mistake in the file stops the program.
///   name       "measures.json"
///   list       the key of the list, the only one at the top
///   most       items that are allowed, at least one
///   item_size  bytes of one
///   read       fills one, given as zeros
GArray *thew_records_read(const char *name, const char *list, size_t most, size_t item_size, void (*read)(thew_json at, void *item));

#endif
