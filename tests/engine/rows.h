// rows.h: what table tests share. A row that fails prints what was expected and obtained, the rows after it still run, and the test
// fails at its end. And reading the outside tables in tests/reference/ (commas, double quotes, a header line; no quotes within
// quotes).
#ifndef THEW_TESTS_ROWS_H
#define THEW_TESTS_ROWS_H

#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

// Under the address sanitizer, ten times as slow, a share of a large sample is enough: the numbers are those of the other builds.
#if defined(__SANITIZE_ADDRESS__)
#define SAMPLE(count) ((count) / 8)
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define SAMPLE(count) ((count) / 8)
#endif
#endif
#ifndef SAMPLE
#define SAMPLE(count) (count)
#endif

#define EACH(i, list) for (size_t i = 0; (i) < sizeof(list) / sizeof *(list); (i)++)

static int rows_seen, rows_failed;

static inline void row_near(const char *why, double expected, double obtained, double tolerance)
{
    rows_seen++;
    if (expected == obtained) return; // infinities too
    double off = expected > obtained ? expected - obtained : obtained - expected;
    if (off <= tolerance) return;
    rows_failed++;
    printf("# %s: expected %.17g, obtained %.17g, tolerance %.3g\n", why, expected, obtained, tolerance);
}

static inline void row_relative(const char *why, double expected, double obtained, double tolerance)
{
    row_near(why, expected, obtained, tolerance * (expected < 0 ? -expected : expected));
}

static inline void row_between(const char *why, double low, double obtained, double high)
{
    rows_seen++;
    if (obtained >= low && obtained <= high) return;
    rows_failed++;
    printf("# %s: expected %.17g to %.17g, obtained %.17g\n", why, low, high, obtained);
}

/// Ends a test: no row failed, and at least `least` were looked at.
static inline void rows_end(int least)
{
    int seen = rows_seen, failed = rows_failed;
    rows_seen = rows_failed = 0;
    if (seen < least) fail_msg("%d rows looked at, %d expected", seen, least);
    if (failed) fail_msg("%d of %d rows failed", failed, seen);
}

// ---- tables ----

#define CSV_COLUMNS 32
#define CSV_LINE 2048

typedef struct {
    FILE *file;
    char header_line[CSV_LINE], line[CSV_LINE];
    char *header[CSV_COLUMNS], *cell[CSV_COLUMNS];
    int columns;
} csv;

static inline int csv_split(char *line, char **cell)
{
    int count = 0;
    for (char *at = line; at && count < CSV_COLUMNS;) {
        char end = *at == '"' ? '"' : ',';
        if (end == '"') at++;
        cell[count++] = at;
        at = strpbrk(at, end == '"' ? "\"" : ",\r\n");
        if (!at) break;
        if (*at == '"') *at++ = 0;
        char stopped = *at;
        *at++ = 0;
        if (stopped != ',') break;
    }
    return count;
}

static inline csv *csv_open(const char *name)
{
    static csv table;
    char path[1024];
    const char *folder = getenv("THEW_REFERENCE");
    if (!folder) fail_msg("THEW_REFERENCE does not say where tests/reference is");
    snprintf(path, sizeof path, "%s/%s", folder, name);
    table.file = fopen(path, "r");
    if (!table.file || !fgets(table.header_line, CSV_LINE, table.file)) fail_msg("cannot read %s", path);
    table.columns = csv_split(table.header_line, table.header);
    return &table;
}

/// The next row; false, and the file closed, after the last.
static inline bool csv_next(csv *table)
{
    if (!fgets(table->line, CSV_LINE, table->file)) {
        fclose(table->file);
        return false;
    }
    int count = csv_split(table->line, table->cell);
    while (count < table->columns)
        table->cell[count++] = "";
    return true;
}

static inline const char *csv_text(const csv *table, const char *column)
{
    for (int i = 0; i < table->columns; i++)
        if (!strcmp(table->header[i], column)) return table->cell[i];
    fail_msg("no column %s", column);
    return "";
}

static inline double csv_number(const csv *table, const char *column)
{
    return strtod(csv_text(table, column), NULL);
}

static inline bool csv_is(const csv *table, const char *column, const char *text)
{
    return !strcmp(csv_text(table, column), text);
}

// ---- random numbers (xorshift64*, memory): the same on every machine, the seed in the test ----

static inline double random_unit(uint64_t *seed)
{
    *seed ^= *seed >> 12, *seed ^= *seed << 25, *seed ^= *seed >> 27;
    return (double)((*seed * 2685821657736338717u) >> 11) * 0x1p-53;
}

static inline double random_between(uint64_t *seed, double low, double high)
{
    return low + (high - low) * random_unit(seed);
}

#endif
