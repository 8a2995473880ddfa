// text_rows.h: rows.h for texts and for yes or no: every row that fails prints what was expected and obtained.
#ifndef THEW_TESTS_TEXT_ROWS_H
#define THEW_TESTS_TEXT_ROWS_H

#include "engine/rows.h"

static inline void row_text(const char *why, const char *expected, const char *obtained)
{
    rows_seen++;
    if (expected == obtained || (expected && obtained && strcmp(expected, obtained) == 0)) return;
    rows_failed++;
    printf("# %s: expected \"%s\", obtained \"%s\"\n", why, expected ? expected : "(none)", obtained ? obtained : "(none)");
}

static inline void row_has(const char *why, const char *part, const char *obtained)
{
    rows_seen++;
    if (obtained && strstr(obtained, part)) return;
    rows_failed++;
    printf("# %s: expected \"%s\" in it, obtained \"%s\"\n", why, part, obtained ? obtained : "(none)");
}

/// `what` names what must hold ("take is heavier than the last").
static inline void row_true(const char *why, const char *what, bool holds)
{
    rows_seen++;
    if (holds) return;
    rows_failed++;
    printf("# %s: expected that %s\n", why, what);
}

#endif
