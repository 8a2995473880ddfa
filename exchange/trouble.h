// trouble.h: what is wrong with a file, or worth a second look, as a list of findings that each become one sentence.
// Knows where a finding lies and how to say it. Leaves to others: what is right and wrong (the readers), where it is printed.
//
//   people.csv:7:23: birth_year: must be a year from 1900 to 2026; got "19x4"
//   file       line:character: column: [note: ]what is wrong; what would be right; got what was found
//
// A file of rubbish has as many findings as lines: only the first THEW_TROUBLE_KEPT of each severity are kept, all are counted.
#ifndef THEW_TROUBLE_H
#define THEW_TROUBLE_H

#include <glib.h>
#include <stdbool.h>

#define THEW_TROUBLE_KEPT 1000  // findings of one severity whose words are kept
#define THEW_TROUBLE_PRINTED 50 // how many a person is shown at once by default

/// An error means that the file must not be taken in; a note that somebody should look.
typedef enum { THEW_TROUBLE_ERROR, THEW_TROUBLE_NOTE } thew_severity;

typedef struct {
    thew_severity severity;
    const char *file;   // as the user named it
    guint line;         // from 1; 0: the file as a whole
    guint character;    // from 1, in characters, not bytes; 0: the line as a whole
    const char *column; // the column's name, NULL outside any
    const char *wrong;  // what is wrong; NULL where `right` says it all
    const char *right;  // what would be right, or NULL
    const char *got;    // the text that was found; NULL or empty for none
} thew_trouble;

typedef struct thew_trouble_list thew_trouble_list;

thew_trouble_list *thew_trouble_list_new(void);
void thew_trouble_list_free(thew_trouble_list *list);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_trouble_list, thew_trouble_list_free)

/// Add a copy of a finding.
void thew_trouble_add(thew_trouble_list *list, const thew_trouble *trouble);

/// True while the words of another finding would be kept: where not, only its severity matters.
bool thew_trouble_keeps(const thew_trouble_list *list, thew_severity severity);

/// How many of a severity were found, kept or not.
guint64 thew_trouble_count(const thew_trouble_list *list, thew_severity severity);
/// The findings that were kept, in the order in which they are printed.
///   returns   newly allocated, of const thew_trouble that live as long as the list
GArray *thew_trouble_all(const thew_trouble_list *list);

/// True while the next error would still be among those printed by default: costly hints are not worth making beyond it.
bool thew_trouble_has_room(const thew_trouble_list *list);

/// One finding as a sentence without a line end. Whatever cannot be printed is escaped, what is long is shortened.
///   returns   newly allocated
char *thew_trouble_sentence(const thew_trouble *trouble);

/// Append the first `limit` findings, a line each: errors before notes, then by file (in the order in which they were first named),
/// line and character; then "and N more" if there are more.
void thew_trouble_print(const thew_trouble_list *list, guint limit, GString *out);

#endif
