// json.h: strict reading of JSON, in which every mistake gets a sentence: file, place, what is wrong, what would be right.
// Knows syntax, types, ranges, unknown and doubled keys. Leaves to others: what the values mean.
//
// A `thew_json` is a cursor: a value together with the way to it. Cursors live on the stack and point at the cursor above, so a
// cursor must not outlive the one it was taken from. Reading goes on after a mistake, so that one run names them all.
#ifndef THEW_JSON_H
#define THEW_JSON_H

#include <glib.h>
#include <jansson.h>
#include <stdbool.h>

/// A file being read, and what was found wrong with it.
typedef struct {
    const char *name; // as it stands in the sentences
    GPtrArray *fault; // of char *: "file: place: what is wrong; what would be right". A sentence is never kept twice,
    size_t faults;    // but counted each time: whoever reads something twice sees that it is still wrong
} thew_json_file;

typedef struct thew_json {
    thew_json_file *file;
    const struct thew_json *up; // what contains this value; NULL at the top
    const char *key;            // in an object, or
    size_t index;               // in an array (key NULL)
    const json_t *value;        // NULL if there is none
} thew_json;

/// Parse one document; doubled keys, NaN, bad UTF-8, trailing text and the like are refused.
///   returns   a new reference; NULL after a fault with line and column
json_t *thew_json_parse(thew_json_file *file, const char *bytes, size_t size);

thew_json thew_json_top(thew_json_file *file, const json_t *root);
/// The value at a key (of anything that is no object: none).
thew_json thew_json_key(const thew_json *object, const char *key);
thew_json thew_json_item(const thew_json *array, size_t index);

/// Where a cursor is: "variants[2].low.elbow", or "top level". Owned by the caller.
char *thew_json_place(const thew_json *at);
/// Note a fault. `what` follows the place ("is 400"), `right` says what would be right ("must be a number from 0 to 150").
void thew_json_fault(const thew_json *at, const char *right, const char *what, ...) G_GNUC_PRINTF(3, 4);

// The readers: each notes a fault and leaves `out` alone if the value is missing, of another type or out of range.

/// An object that holds no other keys than these (NULL-terminated).
bool thew_json_object(const thew_json *at, const char *const *known_key);
/// An array of `least` to `most` items.
///   returns   its length; 0 after a fault
size_t thew_json_array(const thew_json *at, size_t least, size_t most);
bool thew_json_real(thew_json at, double low, double high, double *out);
bool thew_json_integer(thew_json at, int low, int high, int *out);
bool thew_json_flag(thew_json at, bool *out);
/// One of the words (NULL-terminated).
///   returns   its index, or -1 after a fault
int thew_json_choice(thew_json at, const char *const *word);
/// Text of 1 to 400 bytes without blanks at either end or control characters.
///   returns   borrowed from the document; NULL after a fault
const char *thew_json_text(thew_json at);
/// An identifier: lower-case letters, digits and single hyphens, 2 to 60 of them, a letter first.
const char *thew_json_id(thew_json at);
/// An array of texts, or of identifiers.
///   returns   [count], NULL-terminated, owned by the caller (the strings are the document's); never NULL
const char **thew_json_texts(thew_json at, size_t least, size_t most, const char *(*read)(thew_json), size_t *count);

#endif
