// shape.h: what a JSON body must look like, and the struct that it becomes.
// Knows kinds, ranges, words and places: one description reads, writes, and says itself as JSON Schema. Leaves to others: what the
// values mean together (studio/), HTTP.
//
// Every member that a shape lists must be there, null only where it may be, and nothing else may: a misspelt name is never silently
// dropped. Reading goes on after a fault, so that one answer names them all, each with its JSON Pointer.
//
//   kind      JSON                         kept as
//   TEXT      string, one line             const char *
//   LINES     string, may have line ends   const char *
//   NAME      string: an identifier        const char *
//   WORD      string of a closed list      const char *
//   REAL      number                       double; thew_maybe_real where it may be null
//   INT       number without a fraction    int; 0 where it is null
//   FLAG      true, false                  bool
//   DAY       "2026-11-25"                 thew_date; all-zero where it is null
//   INSTANT   "2026-11-25T09:30:00.5Z"     thew_utc; zero where it is null
//   NAMES     array of identifiers         thew_shape_list of const char *
//   WORDS     array of a closed list       thew_shape_list of const char *
//   INTS      array of numbers             thew_shape_list of int
//   PAIRS     object of strings            const char *: the object as JSON, its keys in order
//   OBJECT    object                       struct
//   LIST      array of objects             thew_shape_list of structs
#ifndef THEW_SHAPE_H
#define THEW_SHAPE_H

#include <glib.h>
#include <jansson.h>
#include <stdbool.h>
#include <stddef.h>

#include "store/map.h"
#include "studio/refusal.h"

typedef enum {
    THEW_SHAPE_TEXT,
    THEW_SHAPE_LINES,
    THEW_SHAPE_NAME,
    THEW_SHAPE_WORD,
    THEW_SHAPE_REAL,
    THEW_SHAPE_INT,
    THEW_SHAPE_FLAG,
    THEW_SHAPE_DAY,
    THEW_SHAPE_INSTANT,
    THEW_SHAPE_NAMES,
    THEW_SHAPE_WORDS,
    THEW_SHAPE_INTS,
    THEW_SHAPE_PAIRS,
    THEW_SHAPE_OBJECT,
    THEW_SHAPE_LIST
} thew_shape_kind;

/// An array's elements, in a row. A list of texts ends with a NULL that is not counted.
typedef struct {
    const void *item;
    guint count;
} thew_shape_list;

#define thew_shape_item(list, type, i) (&((const type *)(list).item)[i])

typedef struct thew_shape thew_shape;

typedef struct {
    const char *name;
    thew_shape_kind kind;
    bool may_be_null;
    double low, high;        // of a number; of a text's length in characters; of an array's length
    const char *const *word; // NULL-terminated, of WORD and WORDS
    const thew_shape *of;    // of OBJECT and LIST
    size_t offset;           // of the struct's member
    bool is_maybe;           // REAL: the member is a thew_maybe_real
} thew_shape_field;

struct thew_shape {
    const char *name; // as the description of the whole interface calls it
    const thew_shape_field *field;
    size_t count;
    size_t size; // of the struct
};

#define THEW_SHAPE(name, type, fields)                                                                                             \
    {                                                                                                                              \
        name, fields, G_N_ELEMENTS(fields), sizeof(type)                                                                           \
    }

// Fields. The member's type must be the kind's: the compiler looks.
#define THEW_SHAPE_IS(type, member, wanted) _Generic(((type *)0)->member, wanted : offsetof(type, member))
#define THEW_SHAPE_TEXT_(k, json, type, m, least, most, null)                                                                      \
    {                                                                                                                              \
        json, k, null, least, most, NULL, NULL, THEW_SHAPE_IS(type, m, const char *), false                                        \
    }
#define THEW_IS_TEXT(json, type, m, least, most) THEW_SHAPE_TEXT_(THEW_SHAPE_TEXT, json, type, m, least, most, false)
#define THEW_MAYBE_TEXT(json, type, m, most) THEW_SHAPE_TEXT_(THEW_SHAPE_TEXT, json, type, m, 1, most, true)
#define THEW_IS_LINES(json, type, m, most) THEW_SHAPE_TEXT_(THEW_SHAPE_LINES, json, type, m, 0, most, false)
#define THEW_MAYBE_LINES(json, type, m, most) THEW_SHAPE_TEXT_(THEW_SHAPE_LINES, json, type, m, 0, most, true)
#define THEW_IS_NAME(json, type, m) THEW_SHAPE_TEXT_(THEW_SHAPE_NAME, json, type, m, 1, THEW_SHAPE_NAME_MAX, false)
#define THEW_MAYBE_NAME(json, type, m) THEW_SHAPE_TEXT_(THEW_SHAPE_NAME, json, type, m, 1, THEW_SHAPE_NAME_MAX, true)
#define THEW_IS_WORD(json, type, m, words)                                                                                         \
    {                                                                                                                              \
        json, THEW_SHAPE_WORD, false, 0, 0, words, NULL, THEW_SHAPE_IS(type, m, const char *), false                               \
    }
#define THEW_MAYBE_WORD(json, type, m, words)                                                                                      \
    {                                                                                                                              \
        json, THEW_SHAPE_WORD, true, 0, 0, words, NULL, THEW_SHAPE_IS(type, m, const char *), false                                \
    }
#define THEW_IS_REAL(json, type, m, low, high)                                                                                     \
    {                                                                                                                              \
        json, THEW_SHAPE_REAL, false, low, high, NULL, NULL, THEW_SHAPE_IS(type, m, double), false                                 \
    }
#define THEW_MAYBE_REAL(json, type, m, low, high)                                                                                  \
    {                                                                                                                              \
        json, THEW_SHAPE_REAL, true, low, high, NULL, NULL, THEW_SHAPE_IS(type, m, thew_maybe_real), true                          \
    }
#define THEW_IS_INT(json, type, m, low, high)                                                                                      \
    {                                                                                                                              \
        json, THEW_SHAPE_INT, false, low, high, NULL, NULL, THEW_SHAPE_IS(type, m, int), false                                     \
    }
#define THEW_MAYBE_INT(json, type, m, low, high)                                                                                   \
    {                                                                                                                              \
        json, THEW_SHAPE_INT, true, low, high, NULL, NULL, THEW_SHAPE_IS(type, m, int), false                                      \
    }
#define THEW_IS_FLAG(json, type, m)                                                                                                \
    {                                                                                                                              \
        json, THEW_SHAPE_FLAG, false, 0, 0, NULL, NULL, THEW_SHAPE_IS(type, m, bool), false                                        \
    }
#define THEW_IS_DAY(json, type, m)                                                                                                 \
    {                                                                                                                              \
        json, THEW_SHAPE_DAY, false, 0, 0, NULL, NULL, THEW_SHAPE_IS(type, m, thew_date), false                                    \
    }
#define THEW_MAYBE_DAY(json, type, m)                                                                                              \
    {                                                                                                                              \
        json, THEW_SHAPE_DAY, true, 0, 0, NULL, NULL, THEW_SHAPE_IS(type, m, thew_date), false                                     \
    }
#define THEW_IS_INSTANT(json, type, m)                                                                                             \
    {                                                                                                                              \
        json, THEW_SHAPE_INSTANT, false, 0, 0, NULL, NULL, THEW_SHAPE_IS(type, m, thew_utc), false                                 \
    }
#define THEW_MAYBE_INSTANT(json, type, m)                                                                                          \
    {                                                                                                                              \
        json, THEW_SHAPE_INSTANT, true, 0, 0, NULL, NULL, THEW_SHAPE_IS(type, m, thew_utc), false                                  \
    }
#define THEW_IS_NAMES(json, type, m, most)                                                                                         \
    {                                                                                                                              \
        json, THEW_SHAPE_NAMES, false, 0, most, NULL, NULL, THEW_SHAPE_IS(type, m, thew_shape_list), false                         \
    }
#define THEW_IS_WORDS(json, type, m, most, words)                                                                                  \
    {                                                                                                                              \
        json, THEW_SHAPE_WORDS, false, 0, most, words, NULL, THEW_SHAPE_IS(type, m, thew_shape_list), false                        \
    }
#define THEW_IS_INTS(json, type, m, low, high)                                                                                     \
    {                                                                                                                              \
        json, THEW_SHAPE_INTS, false, low, high, NULL, NULL, THEW_SHAPE_IS(type, m, thew_shape_list), false                        \
    }
#define THEW_MAYBE_PAIRS(json, type, m, most)                                                                                      \
    {                                                                                                                              \
        json, THEW_SHAPE_PAIRS, true, 0, most, NULL, NULL, THEW_SHAPE_IS(type, m, const char *), false                             \
    }
#define THEW_IS_OBJECT(json, type, m, shape)                                                                                       \
    {                                                                                                                              \
        json, THEW_SHAPE_OBJECT, false, 0, 0, NULL, shape, offsetof(type, m), false                                                \
    }
#define THEW_IS_LIST(json, type, m, least, most, shape)                                                                            \
    {                                                                                                                              \
        json, THEW_SHAPE_LIST, false, least, most, NULL, shape, THEW_SHAPE_IS(type, m, thew_shape_list), false                     \
    }

#define THEW_SHAPE_NAME_MAX 64   // characters of an identifier
#define THEW_SHAPE_INTS_MAX 64   // elements of INTS
#define THEW_SHAPE_FAULTS_MAX 50 // named at most

/// What was read, with everything that it points at.
typedef struct {
    void *row;        // of the shape's struct
    json_t *document; // whose texts are pointed at
    GPtrArray *owned;
} thew_shaped;
void thew_shaped_clear(thew_shaped *shaped);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(thew_shaped, thew_shaped_clear)

/// Read a body.
///   bytes     [size], not trusted
///   shaped    out; to be cleared in either case. Its row is whole only without a fault
///   returns   false after at least one fault
bool thew_shape_read(const thew_shape *shape, const char *bytes, size_t size, thew_shaped *shaped, thew_refusal *refusal);

/// The members of a row, as an object; new reference. Numbers that are not finite become null.
json_t *thew_shape_write(const thew_shape *shape, const void *row);

/// The shape as JSON Schema (2020-12, the dialect of OpenAPI 3.1), what is nested included; new reference.
json_t *thew_shape_schema(const thew_shape *shape);

#endif
