// cell.h: what one field of a table says: a number, a day, one of a few words, a name, a text.
// Knows the forms and how to ask for them. Leaves to others: the grammar around them (csv.h), what several fields say together.
//
// Each function reads a field of the reader's current row. What is wrong becomes an error; what comes back then is what an empty
// field gives, so that a reader can go on and find the next error too.
#ifndef THEW_CELL_H
#define THEW_CELL_H

#include "exchange/csv.h"
#include "exchange/date.h"

#define THEW_IDENTIFIER_LENGTH 64  // characters
#define THEW_IDENTIFIERS_COUNT 200 // names in one field
#define THEW_TEXT_LENGTH 2000      // characters

typedef enum { THEW_CELL_OPTIONAL, THEW_CELL_REQUIRED } thew_cell_need;

/// A number that may be unknown; all-zero is.
typedef struct {
    bool known;
    double value;
} thew_maybe;

/// "must be `what` from `low` to `high`"
typedef struct {
    const char *what;
    double low, high;
} thew_limits;

/// Whether anything stands there.
bool thew_cell_is_given(const thew_csv *csv, int column);

/// A decimal number with a point, as in every country's programs: -12, .5, 1.25, 3e-2.
thew_maybe thew_cell_number(const thew_csv *csv, int column, thew_cell_need need, thew_limits limits);
/// A whole number; `absent` if empty or wrong.
int thew_cell_integer(const thew_csv *csv, int column, thew_cell_need need, thew_limits limits, int absent);

/// A day that exists, from 1900 on, and not after `today` unless that is all-zero (whoever knows the time passes it).
///   returns   all-zero if empty or wrong
thew_date thew_cell_date(const thew_csv *csv, int column, thew_cell_need need, thew_date today);

/// An instant that exists, from 1900 to 2200, with its offset.
///   returns   microseconds since 1970-01-01T00:00:00Z; 0 if empty or wrong
gint64 thew_cell_instant(const thew_csv *csv, int column);

/// One of some words, letter for letter.
///   choices   NULL-terminated
///   returns   1 for the first, 0 if empty or wrong
int thew_cell_choice(const thew_csv *csv, int column, thew_cell_need need, const char *const *choices);

/// A name by which something is found again: 1 to 64 printable characters, no space at either end; brought into composed form
/// (Unicode NFC), since one keyboard writes é as one character and another as two.
///   names     equal names become the same pointer
///   returns   NULL if empty or wrong
const char *thew_cell_identifier(const thew_csv *csv, int column, thew_cell_need need, GStringChunk *names);
/// Names parted by spaces, each at most once, at most THEW_IDENTIFIERS_COUNT.
///   returns   newly allocated, NULL-terminated, for g_free (not g_strfreev); never NULL
const char **thew_cell_identifiers(const thew_csv *csv, int column, GStringChunk *names);

/// Free text of at most `limit` characters, line ends and all, but no other control characters.
///   returns   "" if empty or wrong
const char *thew_cell_text(const thew_csv *csv, int column, int limit, GStringChunk *words);

#endif
