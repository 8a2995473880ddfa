// pages.h: the browser's files, out of the program itself.
// Knows which file answers which path, in which encoding, and what a browser may keep. Leaves to others: what they are (web/), how
// they come into the program (tools/web), headers that every answer has (http.h).
#ifndef THEW_PAGES_H
#define THEW_PAGES_H

#include <stdbool.h>
#include <stddef.h>

#include "web/web_files.h"

#define THEW_ETAG_TEXT 48

typedef enum { THEW_PLAIN, THEW_GZIP, THEW_BROTLI, THEW_ENCODINGS } thew_encoding;

/// What answers a path: one of the embedded files, and which of its forms.
typedef struct {
    const thew_web_file *file; // NULL: nothing does
    thew_encoding encoding;
    thew_web_bytes bytes;
    char etag[THEW_ETAG_TEXT]; // strong: another for each form
} thew_page;

/// Find it.
///   file      [count], sorted by name
///   path      "/assets/desk-4F7KQ2AB.js"; the desk's own paths (no dot in the last part) are answered by index.html
///   accepts   the request's Accept-Encoding; NULL: none
thew_page thew_pages_find(const thew_web_file *file, size_t count, const char *path, const char *accepts);
/// "gzip", "br"; NULL for THEW_PLAIN.
const char *thew_encoding_word(thew_encoding encoding);

/// Whether an If-None-Match names this tag (RFC 9110, 13.1.2: compared weakly).
bool thew_etag_matches(const char *if_none_match, const char *etag);

#endif
