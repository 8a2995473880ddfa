// field.h: the fields of one JSON object of the stream, each checked as it is read; the first fault is kept.
// Knows types, ranges, words, dates, unknown keys. Leaves to others: what the fields mean.
#ifndef THEW_FIELD_H
#define THEW_FIELD_H

#include <jansson.h>
#include <stdbool.h>

#include "engine/capacity.h"

#define THEW_FIELD_KEYS_MAX 16

/// An object being read. Once a fault is found, later reads give their fallback and change nothing.
typedef struct {
    const json_t *object;
    const char *name;                      // "set": faults are at "set.seconds"
    const char *known[THEW_FIELD_KEYS_MAX]; // keys asked for so far
    int known_count;
    char at[320], what[160];               // of the first fault, a very long key cut short; what is "" while there is none
    const json_t *got;                     // borrowed; NULL: missing
    bool is_missing;                       // the fault is a key that is not there
} thew_fields;

/// Start reading; a fault at once if `value` is no object.
thew_fields thew_fields_of(const char *name, const json_t *value);
/// End: keys that nobody asked for are a fault.
///   returns   true if there was none
bool thew_fields_end(thew_fields *fields);
bool thew_fields_failed(const thew_fields *fields);
/// Note a fault at a key ("" for the object itself), unless there is one already.
void thew_fields_fault(thew_fields *fields, const char *key, const json_t *got, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

/// Text of 1 to 64 characters.
///   returns   borrowed from the document; NULL if absent or wrong
const char *thew_fields_id(thew_fields *fields, const char *key, bool required);
/// A number from low to high; `what` as in "a number of seconds".
double thew_fields_number(thew_fields *fields, const char *key, bool required, const char *what, double low, double high, double fallback);
/// One of some words (NULL-terminated); its index, or the fallback.
int thew_fields_choice(thew_fields *fields, const char *key, bool required, const char *const *words, int fallback);
/// An RFC 3339 full-date that exists; THEW_NO_DAY if wrong.
thew_day thew_fields_day(thew_fields *fields, const char *key);
/// An array of exactly `count` numbers (or at least one, count 0), left alone if absent.
bool thew_fields_numbers(thew_fields *fields, const char *key, const char *what, double low, double high, int count, double *out);
/// An array; NULL if absent or wrong.
const json_t *thew_fields_array(thew_fields *fields, const char *key, bool required);

#endif
