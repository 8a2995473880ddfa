// check.h: what is given to a use case, looked at field by field: each fault with its place and what would be right.
// Knows the shapes that recur (texts, words of a list, numbers, days, identifiers). Leaves to others: what is right for whom.
#ifndef THEW_STUDIO_CHECK_H
#define THEW_STUDIO_CHECK_H

#include "exchange/date.h"
#include "store/map.h"
#include "studio/refusal.h"

#define THEW_IDENTIFIER_MAX 64 // bytes, as in the store
#define THEW_NAME_MAX 100      // characters: what somebody or something is called
#define THEW_NOTE_MAX 2000     // characters

// Each notes a fault at `pointer` and returns false if it is not right.

/// Text of `least` to `most` characters (not bytes) in UTF-8, without control characters but line breaks where `most` is
/// THEW_NOTE_MAX, and without blanks at either end. NULL counts as empty.
bool thew_check_text(thew_refusal *refusal, const char *pointer, const char *text, glong least, glong most);
/// An identifier: 1 to 64 letters, digits, and . _ - of ASCII.
bool thew_check_identifier(thew_refusal *refusal, const char *pointer, const char *identifier);
/// One of the words (NULL-terminated). NULL is right only if `may_be_null`.
bool thew_check_word(thew_refusal *refusal, const char *pointer, const char *word, const char *const *list, bool may_be_null);
bool thew_check_number(thew_refusal *refusal, const char *pointer, double value, double low, double high, const char *unit);
/// The same, where it may be unknown.
bool thew_check_maybe(thew_refusal *refusal, const char *pointer, thew_maybe_real value, double low, double high, const char *unit);
/// A day that exists, from year 1900 to 2200. All-zero is right only if `may_be_null`.
bool thew_check_day(thew_refusal *refusal, const char *pointer, thew_date day, bool may_be_null);

#endif
