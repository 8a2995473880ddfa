// cell_test.c: what a field may say, and the sentence when it says something else.
// Outside truth: RFC 3339 section 5.6 for dates, Unicode's NFC for names; the ranges are this test's own.
#include "expect.h"

#include <locale.h>
#include <string.h>

#include "exchange/cell.h"
#include "exchange/csv_write.h"

static const thew_csv_column one[] = {
    {"x", true, ""}
};

// A table of one field, and what was found in it.
typedef struct {
    thew_trouble_list *trouble;
    thew_csv *csv;
    GStringChunk *words;
} one_cell;

static one_cell cell_of(const char *text)
{
    GString *table = g_string_new("x\r\n");
    thew_csv_write_row(table, &text, 1);
    g_autoptr(GBytes) bytes = g_string_free_to_bytes(table);
    one_cell cell = { thew_trouble_list_new(), NULL, g_string_chunk_new(64) };
    cell.csv = thew_csv_new("t.csv", bytes, one, 1, cell.trouble);
    assert_true(thew_csv_next(cell.csv));
    return cell;
}

// Compares what was found with "t.csv:2:1: x: `expected`", or with nothing.
static void finish(one_cell cell, const char *why, const char *expected)
{
    g_autofree char *found = findings(cell.trouble);
    g_autofree char *line = expected != NULL ? g_strdup_printf("t.csv:2:1: x: %s\n", expected) : g_strdup("");
    expect_text(why, line, found);
    thew_csv_free(cell.csv);
    thew_trouble_list_free(cell.trouble);
    g_string_chunk_free(cell.words);
}

#define RANGE "must be a height in metres from 0.5 to 2.5"

static void numbers(void **state)
{
    (void)state;
    // clang-format off
    static const struct {
        const char *why, *text;
        thew_cell_need need;
        thew_maybe value;
        const char *finding;
    } row[] = {
        { "decimals with a point", "1.68", THEW_CELL_REQUIRED, { true, 1.68 }, NULL },
        { "whole", "2", THEW_CELL_REQUIRED, { true, 2 }, NULL },
        { "no digit before the point", ".5", THEW_CELL_REQUIRED, { true, .5 }, NULL },
        { "no digit behind it", "2.", THEW_CELL_REQUIRED, { true, 2 }, NULL },
        { "as spreadsheets write small ones", "16.8E-01", THEW_CELL_REQUIRED, { true, 1.68 }, NULL },
        { "zeros before", "001.5", THEW_CELL_REQUIRED, { true, 1.5 }, NULL },
        { "the lowest", "0.5", THEW_CELL_REQUIRED, { true, .5 }, NULL },
        { "the highest", "2.5", THEW_CELL_REQUIRED, { true, 2.5 }, NULL },
        { "just below", "0.4999999999999999", THEW_CELL_REQUIRED, { false, 0 }, RANGE "; got \"0.4999999999999999\"" },
        { "just above", "2.5000000000000005", THEW_CELL_REQUIRED, { false, 0 }, RANGE "; got \"2.5000000000000005\"" },
        { "empty and optional", "", THEW_CELL_OPTIONAL, { false, 0 }, NULL },
        { "empty and required", "", THEW_CELL_REQUIRED, { false, 0 }, "must not be empty" },
        { "a decimal comma", "1,68", THEW_CELL_REQUIRED, { false, 0 }, RANGE "; decimals have a point; got \"1,68\"" },
        { "with its unit", "1.68 m", THEW_CELL_REQUIRED, { false, 0 },
          RANGE "; the number alone, without its unit; got \"1.68 m\"" },
        { "with its unit", "1.68m", THEW_CELL_REQUIRED, { false, 0 }, RANGE "; the number alone, without its unit; got \"1.68m\"" },
        { "centimetres", "168", THEW_CELL_REQUIRED, { false, 0 }, RANGE "; got \"168\"" },
        { "below zero", "-1.68", THEW_CELL_REQUIRED, { false, 0 }, RANGE "; got \"-1.68\"" },
        { "a plus sign", "+1.68", THEW_CELL_REQUIRED, { false, 0 }, RANGE "; got \"+1.68\"" },
        { "a space before", " 1.68", THEW_CELL_REQUIRED, { false, 0 }, RANGE "; got \" 1.68\"" },
        { "hexadecimal, which strtod takes", "0x1", THEW_CELL_REQUIRED, { false, 0 }, RANGE "; got \"0x1\"" },
        { "a word that strtod takes", "nan", THEW_CELL_REQUIRED, { false, 0 }, RANGE "; got \"nan\"" },
        { "another", "infinity", THEW_CELL_REQUIRED, { false, 0 }, RANGE "; got \"infinity\"" },
        { "beyond what a double holds", "1e999", THEW_CELL_REQUIRED, { false, 0 }, RANGE "; got \"1e999\"" },
        { "below what a double holds", "1e-999", THEW_CELL_REQUIRED, { false, 0 }, RANGE "; got \"1e-999\"" },
        { "an exponent without digits", "1e", THEW_CELL_REQUIRED, { false, 0 },
          RANGE "; the number alone, without its unit; got \"1e\"" },
        { "a point alone", ".", THEW_CELL_REQUIRED, { false, 0 }, RANGE "; got \".\"" },
        { "a minus alone", "-", THEW_CELL_REQUIRED, { false, 0 }, RANGE "; got \"-\"" },
        { "two points", "1.6.8", THEW_CELL_REQUIRED, { false, 0 }, RANGE "; got \"1.6.8\"" },
        { "digits of another script", "١", THEW_CELL_REQUIRED, { false, 0 }, RANGE "; got \"١\"" },
        { "a word", "tall", THEW_CELL_REQUIRED, { false, 0 }, RANGE "; got \"tall\"" },
    };
    // clang-format on
    const thew_limits limits = { "a height in metres", .5, 2.5 };
    EACH(i, row)
    {
        one_cell cell = cell_of(row[i].text);
        thew_maybe value = thew_cell_number(cell.csv, 0, row[i].need, limits);
        expect_number(row[i].why, row[i].value.known, value.known);
        expect_number(row[i].why, row[i].value.value, value.value);
        finish(cell, row[i].why, row[i].finding);
    }
    expect_end(90);
}

// Where decimals are written with a comma, files are still written with a point.
static void numbers_in_another_locale(void **state)
{
    (void)state;
    const char *const comma[] = { "de_DE.UTF-8", "de_DE.utf8", "fr_FR.UTF-8", "nl_NL.UTF-8" };
    size_t i = 0;
    while (i < G_N_ELEMENTS(comma) && setlocale(LC_NUMERIC, comma[i]) == NULL)
        i++;
    // Where none of these is installed, the plain locale is tested once more.
    one_cell cell = cell_of("1.68");
    expect_number("with a point", 1.68, thew_cell_number(cell.csv, 0, THEW_CELL_REQUIRED, (thew_limits){ "x", 0, 9.5 }).value);
    finish(cell, "with a point", NULL);
    cell = cell_of("1,68");
    expect_number("with a comma", 0, thew_cell_number(cell.csv, 0, THEW_CELL_REQUIRED, (thew_limits){ "x", 0, 9.5 }).value);
    finish(cell, "with a comma", "must be x from 0 to 9.5; decimals have a point; got \"1,68\"");
    setlocale(LC_NUMERIC, "C");
    expect_end(4);
}

#define YEAR "must be a year from 1900 to 2026"

static void integers(void **state)
{
    (void)state;
    // clang-format off
    static const struct {
        const char *why, *text;
        thew_cell_need need;
        int value;
        const char *finding;
    } row[] = {
        { "a year", "1971", THEW_CELL_REQUIRED, 1971, NULL },
        { "the first", "1900", THEW_CELL_REQUIRED, 1900, NULL },
        { "the last", "2026", THEW_CELL_REQUIRED, 2026, NULL },
        { "before the first", "1899", THEW_CELL_REQUIRED, -7, YEAR "; got \"1899\"" },
        { "after the last", "2027", THEW_CELL_REQUIRED, -7, YEAR "; got \"2027\"" },
        { "a slip of the finger", "19x4", THEW_CELL_REQUIRED, -7, YEAR "; got \"19x4\"" },
        { "decimals", "1971.0", THEW_CELL_REQUIRED, -7, "must be a year without decimals from 1900 to 2026; got \"1971.0\"" },
        { "more digits than a number holds", "99999999999999999999", THEW_CELL_REQUIRED, -7,
          YEAR "; got \"99999999999999999999\"" },
        { "a plus sign", "+1971", THEW_CELL_REQUIRED, -7, YEAR "; got \"+1971\"" },
        { "a space", " 1971", THEW_CELL_REQUIRED, -7, YEAR "; got \" 1971\"" },
        { "a space behind", "1971 ", THEW_CELL_REQUIRED, -7, YEAR "; the number alone, without its unit; got \"1971 \"" },
        { "an exponent", "2e3", THEW_CELL_REQUIRED, -7, YEAR "; got \"2e3\"" },
        { "empty and optional", "", THEW_CELL_OPTIONAL, -7, NULL },
        { "empty and required", "", THEW_CELL_REQUIRED, -7, "must not be empty" },
    };
    // clang-format on
    EACH(i, row)
    {
        one_cell cell = cell_of(row[i].text);
        expect_number(row[i].why, row[i].value,
                      thew_cell_integer(cell.csv, 0, row[i].need, (thew_limits){ "a year", 1900, 2026 }, -7));
        finish(cell, row[i].why, row[i].finding);
    }
    expect_end(28);
}

static void dates(void **state)
{
    (void)state;
    // clang-format off
    static const struct {
        const char *why, *text;
        thew_cell_need need;
        thew_date today;
        int number; // days since 1970, -1 for none
        const char *finding;
    } row[] = {
        { "the first day that is counted from", "1970-01-01", THEW_CELL_REQUIRED, { 0, 0, 0 }, 0, NULL },
        { "in years to come, when nobody minds", "2999-01-01", THEW_CELL_REQUIRED, { 0, 0, 0 }, 375835, NULL },
        { "today", "1970-01-02", THEW_CELL_REQUIRED, { 1970, 1, 2 }, 1, NULL },
        { "tomorrow", "1970-01-03", THEW_CELL_REQUIRED, { 1970, 1, 2 }, -1,
          "must not lie after today, 1970-01-02; got \"1970-01-03\"" },
        { "February has no 30th", "2026-02-30", THEW_CELL_REQUIRED, { 0, 0, 0 }, -1,
          "no such day: February 2026 has 28 days; got \"2026-02-30\"" },
        { "nor a 29th in most years", "2026-02-29", THEW_CELL_REQUIRED, { 0, 0, 0 }, -1,
          "no such day: February 2026 has 28 days; got \"2026-02-29\"" },
        { "April has no 31st", "2026-04-31", THEW_CELL_REQUIRED, { 0, 0, 0 }, -1,
          "no such day: April 2026 has 30 days; got \"2026-04-31\"" },
        { "day and month changed round", "2026-31-03", THEW_CELL_REQUIRED, { 0, 0, 0 }, -1,
          "no such day; must be a date written like 2026-03-31: year, month, day; got \"2026-31-03\"" },
        { "no day 0", "2026-03-00", THEW_CELL_REQUIRED, { 0, 0, 0 }, -1,
          "no such day; must be a date written like 2026-03-31: year, month, day; got \"2026-03-00\"" },
        { "long ago", "1899-12-31", THEW_CELL_REQUIRED, { 0, 0, 0 }, -1, "must not lie before 1900; got \"1899-12-31\"" },
        { "year 0", "0000-02-30", THEW_CELL_REQUIRED, { 0, 0, 0 }, -1,
          "no such day; must be a date written like 2026-03-31: year, month, day; got \"0000-02-30\"" },
        { "points", "31.03.2026", THEW_CELL_REQUIRED, { 0, 0, 0 }, -1,
          "must be a date written like 2026-03-31; got \"31.03.2026\"" },
        { "strokes", "3/31/26", THEW_CELL_REQUIRED, { 0, 0, 0 }, -1, "must be a date written like 2026-03-31; got \"3/31/26\"" },
        { "a time behind it", "2026-03-31T10:00:00Z", THEW_CELL_REQUIRED, { 0, 0, 0 }, -1,
          "must be a date written like 2026-03-31; got \"2026-03-31T10:00:00Z\"" },
        { "empty and optional", "", THEW_CELL_OPTIONAL, { 0, 0, 0 }, -1, NULL },
        { "empty and required", "", THEW_CELL_REQUIRED, { 0, 0, 0 }, -1, "must not be empty" },
    };
    // clang-format on
    EACH(i, row)
    {
        one_cell cell = cell_of(row[i].text);
        thew_date date = thew_cell_date(cell.csv, 0, row[i].need, row[i].today);
        expect_number(row[i].why, row[i].number, date.year > 0 ? thew_date_number(date) : -1);
        finish(cell, row[i].why, row[i].finding);
    }
    expect_end(32);
}

static void choices(void **state)
{
    (void)state;
    static const char *const sexes[] = { "female", "male", NULL }, *const one_word[] = { "yes", NULL },
                             *const three_words[] = { "a1", "b2", "c3", NULL };
    // clang-format off
    static const struct {
        const char *why, *text;
        const char *const *choices;
        thew_cell_need need;
        int value;
        const char *finding;
    } row[] = {
        { "the first", "female", sexes, THEW_CELL_OPTIONAL, 1, NULL },
        { "the second", "male", sexes, THEW_CELL_REQUIRED, 2, NULL },
        { "empty and optional", "", sexes, THEW_CELL_OPTIONAL, 0, NULL },
        { "empty and required", "", sexes, THEW_CELL_REQUIRED, 0, "must not be empty" },
        { "case counts", "Male", sexes, THEW_CELL_OPTIONAL, 0,
          "must be female, male or empty; perhaps \"male\" is meant; got \"Male\"" },
        { "a slip", "femal", sexes, THEW_CELL_REQUIRED, 0, "must be female or male; perhaps \"female\" is meant; got \"femal\"" },
        { "a space", "male ", sexes, THEW_CELL_REQUIRED, 0, "must be female or male; perhaps \"male\" is meant; got \"male \"" },
        { "an abbreviation", "f", sexes, THEW_CELL_OPTIONAL, 0, "must be female, male or empty; got \"f\"" },
        { "of one", "no", one_word, THEW_CELL_REQUIRED, 0, "must be yes; got \"no\"" },
        { "of three", "d", three_words, THEW_CELL_REQUIRED, 0, "must be a1, b2 or c3; got \"d\"" },
    };
    // clang-format on
    EACH(i, row)
    {
        one_cell cell = cell_of(row[i].text);
        expect_number(row[i].why, row[i].value, thew_cell_choice(cell.csv, 0, row[i].need, row[i].choices));
        finish(cell, row[i].why, row[i].finding);
    }
    expect_end(20);
}

#define TEN "1234567890"
#define TEN_SUNS "日日日日日日日日日日"
#define SIXTY TEN TEN TEN TEN TEN TEN

static void identifiers(void **state)
{
    (void)state;
    // clang-format off
    static const struct {
        const char *why, *text;
        thew_cell_need need;
        const char *value, *finding;
    } row[] = {
        { "a short one", "a", THEW_CELL_REQUIRED, "a", NULL },
        { "spaces inside", "long green band 2", THEW_CELL_REQUIRED, "long green band 2", NULL },
        { "64 characters", SIXTY "1234", THEW_CELL_REQUIRED, SIXTY "1234", NULL },
        { "64 characters of three bytes", TEN_SUNS TEN_SUNS TEN_SUNS TEN_SUNS TEN_SUNS TEN_SUNS "日日日日", THEW_CELL_REQUIRED,
          TEN_SUNS TEN_SUNS TEN_SUNS TEN_SUNS TEN_SUNS TEN_SUNS "日日日日", NULL },
        { "65 characters", SIXTY "12345", THEW_CELL_REQUIRED, NULL,
          "must be at most 64 characters long; got \"" TEN TEN TEN TEN "…\"" },
        { "a space before", " ana", THEW_CELL_REQUIRED, NULL, "must not begin or end with a space; got \" ana\"" },
        { "a space behind", "ana ", THEW_CELL_REQUIRED, NULL, "must not begin or end with a space; got \"ana \"" },
        { "a space alone", " ", THEW_CELL_REQUIRED, NULL, "must not begin or end with a space; got \" \"" },
        { "a space that does not break", "ana\u00A0", THEW_CELL_REQUIRED, NULL,
          "must not begin or end with a space; got \"ana\u00A0\"" },
        { "a space that cannot be seen", "a\u200Bna", THEW_CELL_REQUIRED, NULL,
          "must be printable characters; got \"a\\u{200B}na\"" },
        { "a byte order mark inside", "\uFEFF" "ana", THEW_CELL_REQUIRED, NULL,
          "must be printable characters; got \"\\u{FEFF}ana\"" },
        { "text turned round", "a\u202Ena\u202C", THEW_CELL_REQUIRED, NULL, "must be printable characters; got \"a\\u{202E}na\\u{202C}\"" },
        { "a line end", "a\nb", THEW_CELL_REQUIRED, NULL, "must be printable characters; got \"a\\nb\"" },
        { "two characters that make one (NFC)", "Jose\u0301", THEW_CELL_REQUIRED, "Jos\u00E9", NULL },
        { "empty and optional", "", THEW_CELL_OPTIONAL, NULL, NULL },
        { "empty and required", "", THEW_CELL_REQUIRED, NULL, "must not be empty" },
    };
    // clang-format on
    EACH(i, row)
    {
        one_cell cell = cell_of(row[i].text);
        const char *value = thew_cell_identifier(cell.csv, 0, row[i].need, cell.words);
        expect_text(row[i].why, row[i].value, value);
        if (value != NULL && value != thew_cell_identifier(cell.csv, 0, row[i].need, cell.words))
            expect_text("equal names are the same pointer", value, NULL);
        finish(cell, row[i].why, row[i].finding);
    }
    expect_end(32);
}

static void lists(void **state)
{
    (void)state;
    g_autofree char *many = g_strnfill(201, 'x'), *full = g_strnfill(399, ' ');
    for (int i = 0; i < 200; i++)
        full[2 * i] = 'x'; // the same 200 times: each but the first is one too many, but their number is not
    g_autoptr(GString) too_many = g_string_new("y");
    for (int i = 0; i < 200; i++)
        g_string_append(too_many, " y");
    // clang-format off
    const struct {
        const char *why, *text, *joined, *finding;
    } row[] = {
        { "none", "", "", NULL },
        { "one", "a", "a", NULL },
        { "two", "a b", "a+b", NULL },
        { "spaces wherever", "  a   b ", "a+b", NULL },
        { "twice", "a b a", "a+b", "\"a\"; must name each only once; got \"a b a\"" },
        { "an invisible one", "a \u200B", "a", "\"\\u{200B}\"; must be printable characters; got \"a \\u{200B}\"" },
        { "one that is too long", many, "", NULL },
        { "too many", too_many->str, "", "must be at most 200 names; got \"y y y y y y y y y y y y y y y y y y y y …\"" },
    };
    // clang-format on
    EACH(i, row)
    {
        one_cell cell = cell_of(row[i].text);
        g_autofree const char **list = thew_cell_identifiers(cell.csv, 0, cell.words);
        g_autofree char *joined = g_strjoinv("+", (char **)list);
        expect_text(row[i].why, row[i].joined, joined);
        g_autofree char *long_one = g_strdup_printf("\"%s\"; must be at most 64 characters long; got \"%.40s…\"", many, many);
        finish(cell, row[i].why, row[i].text == many ? long_one : row[i].finding);
    }
    expect_end(16);
}

static void texts(void **state)
{
    (void)state;
    // clang-format off
    static const struct {
        const char *why, *text, *value, *finding;
    } row[] = {
        { "anything", "a, \"b\"\r\n#c ", "a, \"b\"\r\n#c ", NULL },
        { "nothing", "", "", NULL },
        { "joined letters of other scripts", "می\u200Cخواهم 👩\u200D🦽", "می\u200Cخواهم 👩\u200D🦽", NULL },
        { "twelve characters", "123456789012", "123456789012", NULL },
        { "thirteen", "1234567890123", "", "must be at most 12 characters long; got \"1234567890123\"" },
        { "a control character beyond ASCII", "a\xC2\x85" "b", "", "must be text without control characters; got \"a\\u{0085}b\"" },
    };
    // clang-format on
    EACH(i, row)
    {
        one_cell cell = cell_of(row[i].text);
        expect_text(row[i].why, row[i].value, thew_cell_text(cell.csv, 0, 12, cell.words));
        finish(cell, row[i].why, row[i].finding);
    }
    expect_end(12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbers),  cmocka_unit_test(numbers_in_another_locale),
        cmocka_unit_test(integers), cmocka_unit_test(dates),
        cmocka_unit_test(choices),  cmocka_unit_test(identifiers),
        cmocka_unit_test(lists),    cmocka_unit_test(texts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
