// csv_write_test.c: what is written reads back as it was.
// Outside truth: RFC 4180 section 2 (6) and (7) for when quotes are needed and how they are doubled.
#include "expect.h"

#include <math.h>
#include <string.h>

#include "exchange/csv_write.h"

static void fields(void **state)
{
    (void)state;
    // clang-format off
    static const struct {
        const char *why, *text, *written;
    } row[] = {
        { "plain", "abc", "abc" },
        { "empty", "", "" },
        { "section 2 (6): a comma", "b,bb", "\"b,bb\"" },
        { "section 2 (6): a line break", "b\r\nbb", "\"b\r\nbb\"" },
        { "section 2 (6): LF", "b\nbb", "\"b\nbb\"" },
        { "section 2 (6): CR", "b\rbb", "\"b\rbb\"" },
        { "section 2 (7): a quote", "b\"bb", "\"b\"\"bb\"" },
        { "quotes at both ends", "\"b\"", "\"\"\"b\"\"\"" },
        { "a quote alone", "\"", "\"\"\"\"" },
        { "ours: no comment by mistake", "#1", "\"#1\"" },
        { "ours: spaces at the ends stay", " b", "\" b\"" },
        { "ours: spaces at the ends stay", "b ", "\"b \"" },
        { "spaces inside need nothing", "b c", "b c" },
        { "other scripts need nothing", "日本", "日本" },
        { "never changed to please a spreadsheet", "=1+1", "=1+1" },
    };
    // clang-format on
    EACH(i, row)
    {
        g_autoptr(GString) out = g_string_new("x");
        g_autofree char *expected = g_strconcat("x", row[i].written, NULL);
        thew_csv_write_field(out, row[i].text);
        expect_text(row[i].why, expected, out->str);
    }
    expect_end(15);
}

static void rows(void **state)
{
    (void)state;
    // clang-format off
    static const struct {
        const char *why, *field[3], *written;
        int count;
    } row[] = {
        { "CRLF ends a row", { "a", "b", "c" }, "a,b,c\r\n", 3 },
        { "empty fields keep their commas", { "", "", "" }, ",,\r\n", 3 },
        { "one empty field is not an empty line", { "" }, "\"\"\r\n", 1 },
        { "one field", { "a" }, "a\r\n", 1 },
    };
    // clang-format on
    EACH(i, row)
    {
        g_autoptr(GString) out = g_string_new(NULL);
        thew_csv_write_row(out, row[i].field, row[i].count);
        expect_text(row[i].why, row[i].written, out->str);
    }
    expect_end(4);
}

// Pieces that a field is put together from: whatever the grammar treats in its own way, and characters of every length in bytes.
static char *random_field(GRand *random)
{
    static const char *const piece[] = { "a", "b", ",", "\"", "\"\"", "\r",     "\n", "\r\n", " ",
                                         "#", ";", "ä", "日", "😀",    "\uFEFF", "=",  "~" };
    GString *field = g_string_new(NULL);
    for (int length = g_rand_int_range(random, 0, 8); length > 0; length--)
        g_string_append(field, piece[g_rand_int_range(random, 0, G_N_ELEMENTS(piece))]);
    return g_string_free(field, FALSE);
}

#define COLUMNS_MAX 5

static void write_header(GString *out, int column_count)
{
    const char *const name[COLUMNS_MAX] = { "a", "b", "c", "d", "e" };
    thew_csv_write_row(out, name, column_count);
}

// One table: written, read, compared.
//   seed   printed with what fails
static void round_trip(guint32 seed)
{
    static const thew_csv_column column[COLUMNS_MAX] = {
        {"a",  true, ""},
        { "b", true, ""},
        { "c", true, ""},
        { "d", true, ""},
        { "e", true, ""},
    };
    g_autoptr(GRand) random = g_rand_new_with_seed(seed);
    int column_count = g_rand_int_range(random, 1, COLUMNS_MAX + 1), row_count = g_rand_int_range(random, 0, 20);
    g_autoptr(GPtrArray) field = g_ptr_array_new_with_free_func(g_free);
    GString *text = g_string_new(g_rand_boolean(random) ? "\xEF\xBB\xBF" : g_rand_boolean(random) ? "# invented\r\n" : "");
    write_header(text, column_count);
    for (int i = 0; i < row_count; i++) {
        for (int k = 0; k < column_count; k++)
            g_ptr_array_add(field, random_field(random));
        thew_csv_write_row(text, (const char *const *)field->pdata + i * column_count, column_count);
    }
    if (g_rand_boolean(random)) g_string_truncate(text, text->len - 2); // section 2 (2)
    g_autoptr(GBytes) bytes = g_string_free_to_bytes(text);
    g_autoptr(thew_trouble_list) trouble = thew_trouble_list_new();
    g_autoptr(thew_csv) csv = thew_csv_new("t.csv", bytes, column, column_count, trouble);
    g_autofree char *why = g_strdup_printf("seed %u", seed);
    int read = 0;
    for (; csv != NULL && thew_csv_next(csv) && read < row_count; read++)
        for (int k = 0; k < column_count; k++)
            expect_text(why, field->pdata[read * column_count + k], thew_csv_field(csv, k));
    g_autofree char *found = findings(trouble);
    expect_text(why, "", found);
    expect_number(why, row_count, read);
}

static void random_tables(void **state)
{
    (void)state;
    for (guint32 seed = 1; seed <= 3000; seed++)
        round_trip(seed);
    expect_end(50000);
}

static void numbers(void **state)
{
    (void)state;
    // clang-format off
    static const struct {
        const char *why;
        double value;
        const char *text;
    } row[] = {
        { "zero", 0, "0" },
        { "a whole number", 74, "74" },
        { "decimals with a point", 1.68, "1.68" },
        { "no more digits than needed", .1, "0.1" },
        { "all that are needed", .1 + .2, "0.30000000000000004" },
        { "below zero", -.5, "-0.5" },
        { "small", 1e-9, "1e-09" },
        { "large", 1e22, "1e+22" },
    };
    // clang-format on
    char text[G_ASCII_DTOSTR_BUF_SIZE];
    EACH(i, row) expect_text(row[i].why, row[i].text, thew_csv_number_text(row[i].value, text));
    g_autoptr(GRand) random = g_rand_new_with_seed(2);
    for (int i = 0; i < 20000; i++) {
        double value = ldexp(g_rand_double(random) - .5, g_rand_int_range(random, -300, 300));
        expect_number("seed 2: the same double again", value, g_ascii_strtod(thew_csv_number_text(value, text), NULL));
    }
    expect_end(20000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(fields),
        cmocka_unit_test(rows),
        cmocka_unit_test(random_tables),
        cmocka_unit_test(numbers),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
