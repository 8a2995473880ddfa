// map_value.h: members of a struct as values of a database, and back; for the files of the store only (see map.h).
#ifndef THEW_STORE_MAP_VALUE_H
#define THEW_STORE_MAP_VALUE_H

#include "store/db_backend.h"

/// NULL becomes NULL. The value points at the text.
thew_db_value thew_value_text(const char *text);
/// All-zero becomes NULL. The value points at the scratch.
thew_db_value thew_value_date(thew_date date, char scratch[THEW_DATE_TEXT]);

/// A member's value, pointing at the member or at the scratch.
thew_db_value thew_field_value(const thew_field *field, const void *row, char scratch[THEW_DATE_TEXT]);
/// Put a value into a row that was all zero; texts and blobs are copied into `words`.
///   returns   false if the member cannot hold it: only damage makes such values
bool thew_field_take(const thew_field *field, void *row, const thew_db_value *value, GStringChunk *words);

#endif
