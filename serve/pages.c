// pages.c: see pages.h.
#include "serve/pages.h"

#include <glib.h>
#include <stdlib.h>
#include <string.h>

const char *thew_encoding_word(thew_encoding encoding)
{
    static const char *const word[THEW_ENCODINGS] = { NULL, "gzip", "br" };
    return word[encoding];
}

static int compare(const void *name, const void *file)
{
    return strcmp(name, ((const thew_web_file *)file)->name);
}

static const thew_web_file *find(const thew_web_file *file, size_t count, const char *path)
{
    if (*path != '/') return NULL;
    const thew_web_file *found = bsearch(path + 1, file, count, sizeof *file, compare);
    // What is missing beside the pages is missing; below them any name may be somebody's identifier, "j.doe".
    const char *last = strrchr(path, '/');
    bool is_of_the_desk = !strchr(last, '.') || (last != path && g_ascii_isalpha(path[1]) && !g_str_has_prefix(path, "/assets/"));
    return found || !is_of_the_desk ? found : bsearch("index.html", file, count, sizeof *file, compare);
}

// Whether an Accept-Encoding takes a coding: named, and with a weight above 0 if it has one (RFC 9110, 12.5.3).
static bool takes(const char *accepts, const char *coding)
{
    size_t length = strlen(coding);
    for (const char *at = accepts; at; at = strchr(at, ',')) {
        at += strspn(at, ", \t");
        if (g_ascii_strncasecmp(at, coding, length) != 0 || !strchr(",; \t", at[length])) continue;
        const char *rest = at + length + strspn(at + length, " \t");
        if (*rest != ';') return true;
        rest += 1 + strspn(rest + 1, " \t");
        return g_ascii_strncasecmp(rest, "q=", 2) != 0 || g_ascii_strtod(rest + 2, NULL) > 0;
    }
    return false;
}

static thew_web_bytes bytes_of(const thew_web_file *file, thew_encoding encoding)
{
    return encoding == THEW_BROTLI ? file->brotli : encoding == THEW_GZIP ? file->gzip : file->plain;
}

thew_page thew_pages_find(const thew_web_file *file, size_t count, const char *path, const char *accepts)
{
    thew_page page = { .file = find(file, count, path) };
    if (!page.file) return page;
    for (page.encoding = THEW_BROTLI; page.encoding > THEW_PLAIN; page.encoding--)
        if (bytes_of(page.file, page.encoding).bytes && accepts && takes(accepts, thew_encoding_word(page.encoding))) break;
    page.bytes = bytes_of(page.file, page.encoding);
    g_snprintf(page.etag, sizeof page.etag, "\"%.32s%s%s\"", page.file->digest, page.encoding ? "-" : "",
               page.encoding ? thew_encoding_word(page.encoding) : "");
    return page;
}

bool thew_etag_matches(const char *if_none_match, const char *etag)
{
    size_t length = strlen(etag);
    for (const char *at = if_none_match; at; at = strchr(at, ',')) {
        at += strspn(at, ", \t");
        if (strcmp(at, "*") == 0) return true;
        if (g_str_has_prefix(at, "W/")) at += 2;
        if (strncmp(at, etag, length) == 0 && strchr(", \t", at[length])) return true;
    }
    return false;
}
