// embedded.h: a file that is part of the program. tools/embed makes a table of these from a folder's files.
#ifndef THEW_EMBEDDED_H
#define THEW_EMBEDDED_H

#include <stddef.h>

typedef struct {
    const char *name;  // its path inside the folder, with forward slashes
    const char *bytes; // followed by a zero byte that is not counted
    size_t size;
} thew_embedded;

#endif
