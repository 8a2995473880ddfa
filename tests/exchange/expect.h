// expect.h: texts compared row by row: every row that fails is printed with its reason, what was expected and what was obtained.
// Knows printing and counting. Leaves to others: what is compared.
#ifndef THEW_TESTS_EXPECT_H
#define THEW_TESTS_EXPECT_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include <cmocka.h>

#include "exchange/csv.h"

#define EACH(i, rows) for (size_t i = 0; i < G_N_ELEMENTS(rows); i++)

// A text with its length, since bytes of a file may hold a zero.
#define BYTES(text) (text), sizeof(text) - 1

static int expect_count, expect_failed;

static inline void expect_text(const char *why, const char *expected, const char *obtained)
{
    expect_count++;
    if (g_strcmp0(expected, obtained) == 0) return;
    expect_failed++;
    fprintf(stderr, "%s\n  expected: %s\n  obtained: %s\n", why, expected != NULL ? expected : "(none)",
            obtained != NULL ? obtained : "(none)");
}

static inline void expect_number(const char *why, double expected, double obtained)
{
    expect_count++;
    if (expected == obtained) return;
    expect_failed++;
    fprintf(stderr, "%s\n  expected: %.17g\n  obtained: %.17g\n", why, expected, obtained);
}

// At the end of every test: at least so many comparisons, and none that failed.
static inline void expect_end(int at_least)
{
    int count = expect_count, failed = expect_failed;
    expect_count = expect_failed = 0;
    assert_true(count >= at_least);
    assert_int_equal(failed, 0);
}

// Every finding, a line each.
static inline char *findings(const thew_trouble_list *trouble)
{
    GString *out = g_string_new(NULL);
    thew_trouble_print(trouble, G_MAXUINT, out);
    return g_string_free(out, FALSE);
}

#endif
