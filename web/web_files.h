// web_files.h: the pages, as part of the program. tools/web makes the table from web/.
// Knows names, media types, bytes and their twins. Leaves to others: which twin is sent, and every header (serve/).
#ifndef THEW_WEB_FILES_H
#define THEW_WEB_FILES_H

#include <stddef.h>

typedef struct {
    const char *bytes; // followed by a zero byte that is not counted; null where there is no such twin
    size_t size;
} thew_web_bytes;

typedef struct {
    const char *name;   // without a leading slash: "index.html", "assets/main-7XQ2K3AB.js"
    const char *type;   // for Content-Type: "text/html; charset=utf-8"
    thew_web_bytes plain;
    thew_web_bytes gzip;   // for Content-Encoding: gzip, br; absent where packing does not pay
    thew_web_bytes brotli;
    const char *digest; // SHA-256 of the plain bytes, 64 hexadecimal digits: makes an ETag
    int named_by_hash;  // 1: other bytes would have another name, so it may be kept for ever
} thew_web_file;

extern const thew_web_file thew_web_files[]; // in the order of strcmp() over names: bsearch() finds
extern const size_t thew_web_files_count;    // 0 in a program built without pages

#endif
