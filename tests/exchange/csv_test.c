// csv_test.c: the grammar, the header, and a sentence for everything that breaks them.
// Outside truth: RFC 4180 section 2, whose seven numbered points each bring their examples (CRLF written out there is \r\n here),
// and its ABNF. Rows that go beyond it say "ours".
#define _POSIX_C_SOURCE 200809L // truncate
#include "expect.h"

#include <string.h>
#include <unistd.h>

#include <glib/gstdio.h>

typedef struct {
    const char *why, *bytes;
    size_t length;
    const char *rows;     // each as [field|field|...]
    const char *findings; // a line each
} reading;

static char *rows_of(thew_csv *csv, int column_count)
{
    GString *out = g_string_new(NULL);
    while (csv != NULL && thew_csv_next(csv))
        for (int i = 0; i < column_count; i++)
            g_string_append_printf(out, "%s%s%s", i == 0 ? "[" : "|", thew_csv_field(csv, i), i == column_count - 1 ? "]" : "");
    return g_string_free(out, FALSE);
}

static void expect_reading(const reading *row, const thew_csv_column *column, int column_count)
{
    g_autoptr(thew_trouble_list) trouble = thew_trouble_list_new();
    g_autoptr(GBytes) bytes =
        g_bytes_new(row->bytes, row->length); // a copy of just that length, so that sanitizers see a step beyond
    g_autoptr(thew_csv) csv = thew_csv_new("t.csv", bytes, column, column_count, trouble);
    g_autofree char *rows = rows_of(csv, column_count), *found = findings(trouble);
    expect_text(row->why, row->rows, rows);
    expect_text(row->why, row->findings, found);
}

static const thew_csv_column three[] = {
    {"aaa",  true,  ""},
    { "bbb", false, ""},
    { "ccc", false, ""}
};

static void grammar(void **state)
{
    (void)state;
    // RFC 4180's examples have no header that we know, so the names are put above them as (3) allows.
#define HEADER "aaa,bbb,ccc\r\n"
    // clang-format off
    static const reading row[] = {
        { "section 2 (1): a line each, CRLF", BYTES(HEADER "aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n"), "[aaa|bbb|ccc][zzz|yyy|xxx]", "" },
        { "section 2 (2): the last line may do without", BYTES(HEADER "aaa,bbb,ccc\r\nzzz,yyy,xxx"), "[aaa|bbb|ccc][zzz|yyy|xxx]",
          "" },
        { "section 2 (4): spaces are part of a field", BYTES(HEADER " aaa,bbb , c c \r\n"), "[ aaa|bbb | c c ]", "" },
        { "section 2 (5): quotes or not", BYTES(HEADER "\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx"), "[aaa|bbb|ccc][zzz|yyy|xxx]",
          "" },
        { "section 2 (6): a line break in quotes", BYTES(HEADER "\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx"),
          "[aaa|b\r\nbb|ccc][zzz|yyy|xxx]", "" },
        { "section 2 (6): a comma in quotes", BYTES(HEADER "\"aaa\",\"b,bb\",ccc\r\n"), "[aaa|b,bb|ccc]", "" },
        { "section 2 (7): a quote in quotes is doubled", BYTES(HEADER "\"aaa\",\"b\"\"bb\",\"ccc\""), "[aaa|b\"bb|ccc]", "" },
        { "ABNF: escaped may be empty", BYTES(HEADER "\"\",,\"\"\r\n"), "[||]", "" },
        { "ABNF: a field of one quote", BYTES(HEADER "\"\"\"\",\"\"\"\"\"\",x\r\n"), "[\"|\"\"|x]", "" },
        { "ABNF: CR and LF by themselves in quotes", BYTES(HEADER "\"a\ra\",\"b\nb\",\"\r\n\"\r\n"), "[a\ra|b\nb|\r\n]", "" },
        { "ABNF: the last field empty, no line end", BYTES(HEADER "a,b,"), "[a|b|]", "" },
        { "ABNF: TEXTDATA from space to tilde without quote and comma", BYTES(HEADER "!#$%&'()*+-./09:;<=>?@AZ[\\]^_`az{}~,|,\r\n"),
          "[!#$%&'()*+-./09:;<=>?@AZ[\\]^_`az{}~|||]", "" },
        { "ours: LF ends a line as well", BYTES("aaa,bbb,ccc\na,b,c\n\"d\",\"e\",\"f\"\n"), "[a|b|c][d|e|f]", "" },
        { "ours: UTF-8", BYTES(HEADER "ä,日本,\"😀\"\r\n"), "[ä|日本|😀]", "" },
        { "ours: a byte order mark is skipped", BYTES("\xEF\xBB\xBF" HEADER "a,b,c\r\n"), "[a|b|c]", "" },
        { "ours: a # below the header is text", BYTES(HEADER "#a,b,c\r\n"), "[#a|b|c]", "" },
        { "no rows", BYTES(HEADER), "", "" },
        { "no rows, no line end", BYTES("aaa,bbb,ccc"), "", "" },
        { "columns in another order", BYTES("ccc,aaa,bbb\nc,a,b\n"), "[a|b|c]", "" },
        { "optional columns left out", BYTES("aaa\na\n\n\"\"\nb"), "[a||][||][||][b||]", "" },
    };
    // clang-format on
    EACH(i, row) expect_reading(&row[i], three, 3);
    expect_end(40);
}

static void above_the_header(void **state)
{
    (void)state;
    // clang-format off
    static const reading row[] = {
        { "a comment", BYTES("# invented\naaa,bbb,ccc\na,b,c\n"), "[a|b|c]", "" },
        { "several, empty lines between, CRLF", BYTES("# invented\r\n#\r\n\r\n# more\r\n\r\naaa,bbb,ccc\r\na,b,c\r\n"), "[a|b|c]",
          "" },
        { "a comment that a spreadsheet saved again",
          BYTES("# invented, all of it,,\n\"# so \"\"they\"\" say, here\",,\naaa,bbb,ccc\na,b,c\n"), "[a|b|c]", "" },
        { "a byte order mark before it", BYTES("\xEF\xBB\xBF# invented\naaa,bbb,ccc\na,b,c\n"), "[a|b|c]", "" },
        { "a comment may hold what a field may not", BYTES("# \"stray, \ttab\naaa,bbb,ccc\na,b,c\n"), "[a|b|c]", "" },
        { "lines are counted all the same", BYTES("# invented\n\naaa,bbb,ccc\na,b\n"), "",
          "t.csv:4: 2 fields where the header has 3; an empty field keeps its comma\n" },
        { "nothing else", BYTES("# invented"), "",
          "t.csv: no header: the first line must name the columns; the columns are aaa, bbb, ccc\n" },
    };
    // clang-format on
    EACH(i, row) expect_reading(&row[i], three, 3);
    expect_end(14);
}

static void no_text(void **state)
{
    (void)state;
    // clang-format off
    static const reading row[] = {
        { "nothing", BYTES(""), "", "t.csv: no header: the first line must name the columns; the columns are aaa, bbb, ccc\n" },
        { "a byte order mark alone", BYTES("\xEF\xBB\xBF"), "",
          "t.csv: no header: the first line must name the columns; the columns are aaa, bbb, ccc\n" },
        { "empty lines alone", BYTES("\n\r\n\n"), "",
          "t.csv: no header: the first line must name the columns; the columns are aaa, bbb, ccc\n" },
        { "Latin-1", BYTES("aaa,bbb,ccc\na,b,c\nä,caf\xE9,c\n"), "",
          "t.csv:3:6: a byte that is not UTF-8 (E9); save the table as CSV in UTF-8\n" },
        { "a character cut off at the end", BYTES("aaa,bbb,ccc\na,b,\xE6\x97"), "",
          "t.csv:2:5: a byte that is not UTF-8 (E6); save the table as CSV in UTF-8\n" },
        { "a surrogate", BYTES("aaa,bbb,ccc\na,b,\xED\xA0\x80\n"), "",
          "t.csv:2:5: a byte that is not UTF-8 (ED); save the table as CSV in UTF-8\n" },
        { "an overlong slash", BYTES("aaa,bbb,ccc\na,b,\xC0\xAF\n"), "",
          "t.csv:2:5: a byte that is not UTF-8 (C0); save the table as CSV in UTF-8\n" },
        { "a zero byte", BYTES("aaa,bbb,ccc\na,b\0,c\n"), "",
          "t.csv:2:4: a zero byte: this is no text; save the table as CSV in UTF-8\n" },
        { "UTF-16, little end first", BYTES("\xFF\xFE\x61\x00\x2C\x00"), "",
          "t.csv: this is UTF-16 text; save the table as CSV in UTF-8\n" },
        { "UTF-16, big end first", BYTES("\xFE\xFF\x00\x61\x00\x2C"), "",
          "t.csv: this is UTF-16 text; save the table as CSV in UTF-8\n" },
        { "an archive", BYTES("PK\x03\x04\x14\x00"), "",
          "t.csv: this is a spreadsheet's own file or another archive; save the table as CSV in UTF-8\n" },
        { "an older one", BYTES("\xD0\xCF\x11\xE0\xA1\xB1"), "",
          "t.csv: this is an old spreadsheet's own file; save the table as CSV in UTF-8\n" },
        { "a page", BYTES("%PDF-1.7\n"), "", "t.csv: this is a PDF document; save the table as CSV in UTF-8\n" },
    };
    // clang-format on
    EACH(i, row) expect_reading(&row[i], three, 3);
    expect_end(26);
}

#define STRAY "a quote inside a field that does not begin with one; put the field in quotes and write its own quotes twice\n"
#define UNCLOSED "a quote that is never closed; end the field with a quote; a quote inside it is written twice\n"

static void broken_grammar(void **state)
{
    (void)state;
    // clang-format off
    static const reading row[] = {
        { "section 2 (5): a quote inside an unquoted field; the next row is read", BYTES(HEADER "a,b\"b,c\r\nd,e,f\r\n"), "[d|e|f]",
          "t.csv:2:4: " STRAY },
        { "a space before the opening quote makes it a stray one", BYTES(HEADER "a, \"b\",c\n"), "", "t.csv:2:4: " STRAY },
        { "text after a closing quote", BYTES(HEADER "a,\"b\"b,c\r\nd,e,f\r\n"), "[d|e|f]",
          "t.csv:2:6: text after a closing quote; a quote inside a field is written twice\n" },
        { "the same, opened lines before: where it began is said", BYTES(HEADER "a,\"b,c\nd,\"e\",f\ng,h,i\n"), "[g|h|i]",
          "t.csv:3:4: text after the closing quote of a field that begins in line 2; a quote inside a field is written twice\n" },
        { "never closed; what follows its line is read", BYTES(HEADER "a,\"b,c\nd,e,f\n"), "[d|e|f]", "t.csv:2:3: " UNCLOSED },
        { "never closed, at the very end", BYTES(HEADER "a,b,\""), "", "t.csv:2:5: " UNCLOSED },
        { "never closed, since its last quote is doubled", BYTES(HEADER "a,b,\"c\"\"\n"), "", "t.csv:2:5: " UNCLOSED },
        { "one fault a row, a row each", BYTES(HEADER "a\"\",\"b\"b,c\nd,e\"\nf,g,h\n"), "[f|g|h]",
          "t.csv:2:2: " STRAY "t.csv:3:4: " STRAY },
        { "TEXTDATA has no tab", BYTES(HEADER "a,b\tb,c\n"), "",
          "t.csv:2:4: a tab; commas part the fields, and text has spaces instead of tabs\n" },
        { "nor in quotes", BYTES(HEADER "a,\"b\tb\",c\nd,e,f\n"), "[d|e|f]",
          "t.csv:2:5: a tab; commas part the fields, and text has spaces instead of tabs\n" },
        { "nor another control character", BYTES(HEADER "a,b\x01,c\n"), "",
          "t.csv:2:4: a control character (U+0001); a field is plain text\n" },
        { "nor DEL", BYTES(HEADER "a,b,\"\x7F\"\nd,e,f\n"), "[d|e|f]",
          "t.csv:2:6: a control character (U+007F); a field is plain text\n" },
        { "CR alone ends no line", BYTES("aaa,bbb,ccc\ra,b,c\r"), "",
          "t.csv:1:12: a carriage return without a line feed; lines end in CRLF or LF\n" },
        { "nor below the header", BYTES(HEADER "a,b,c\rd,e,f\n"), "",
          "t.csv:2:6: a carriage return without a line feed; lines end in CRLF or LF\n" },
        { "nor at the end of the file", BYTES(HEADER "a,b,c\r"), "",
          "t.csv:2:6: a carriage return without a line feed; lines end in CRLF or LF\n" },
        { "nor after a closing quote", BYTES(HEADER "a,b,\"c\"\rd"), "",
          "t.csv:2:8: a carriage return without a line feed; lines end in CRLF or LF\n" },
        { "section 2 (4): too few", BYTES(HEADER "a,b\nd,e,f\n"), "[d|e|f]",
          "t.csv:2: 2 fields where the header has 3; an empty field keeps its comma\n" },
        { "one field", BYTES(HEADER "a\n"), "", "t.csv:2: 1 field where the header has 3; an empty field keeps its comma\n" },
        { "section 2 (4): no comma after the last field", BYTES(HEADER "a,b,c,\n"), "",
          "t.csv:2: 4 fields where the header has 3; a field with a comma in it goes in quotes, and decimals have a point\n" },
        { "too many, as a decimal comma makes them", BYTES(HEADER "a,1,5,c\nd,e,f"), "[d|e|f]",
          "t.csv:2: 4 fields where the header has 3; a field with a comma in it goes in quotes, and decimals have a point\n" },
        { "an empty line", BYTES(HEADER "a,b,c\n\nd,e,f\n"), "[a|b|c][d|e|f]", "t.csv:3: an empty line; take it out\n" },
        { "at the end too", BYTES(HEADER "a,b,c\n\r\n"), "[a|b|c]", "t.csv:3: an empty line; take it out\n" },
        { "a comment below the header", BYTES(HEADER "# a,b\n"), "",
          "t.csv:2: 2 fields where the header has 3; comments stand above the header only\n" },
        { "lines in quotes are lines", BYTES(HEADER "a,\"b\n\n\",c\nd\"\"\n"), "[a|b\n\n|c]", "t.csv:5:2: " STRAY },
        { "characters are counted, not bytes", BYTES(HEADER "日本,😀\"\n"), "", "t.csv:2:5: " STRAY },
        { "a byte order mark is no character of the first line", BYTES("\xEF\xBB\xBF" "aaa,b\"b\n"), "", "t.csv:1:6: " STRAY },
    };
    // clang-format on
    EACH(i, row) expect_reading(&row[i], three, 3);
    expect_end(52);
}

static void header(void **state)
{
    (void)state;
    static const thew_csv_column people[] = {
        {"person",      true,  ""},
        { "birth_year", false, ""},
        { "sex",        true,  ""}
    };
#define ALL "the columns are person, birth_year, sex"
    // clang-format off
    static const reading row[] = {
        { "an unknown column with a near one", BYTES("person,brith_year,sex\na,b,c\n"), "[a||c]",
          "t.csv:1:8: unknown column; perhaps \"birth_year\" is meant; " ALL "; got \"brith_year\"\n" },
        { "an unknown column with none near", BYTES("person,weight,sex\na,b,c\n"), "[a||c]",
          "t.csv:1:8: unknown column; " ALL "; got \"weight\"\n" },
        { "case counts", BYTES("Person,birth_year,sex\na,b,c\n"), "",
          "t.csv:1: the column \"person\" is missing\n" "t.csv:1:1: unknown column; perhaps \"person\" is meant; " ALL
          "; got \"Person\"\n" },
        { "spaces count", BYTES("person, birth_year,sex \n"), "",
          "t.csv:1: the column \"sex\" is missing\n"
          "t.csv:1:8: spaces around a column's name; take them out; got \" birth_year\"\n"
          "t.csv:1:20: spaces around a column's name; take them out; got \"sex \"\n" },
        { "missing ones, all of them", BYTES("birth_year\n1\n"), "",
          "t.csv:1: the column \"person\" is missing\nt.csv:1: the column \"sex\" is missing\n" },
        { "named twice: the first is read", BYTES("person,sex,birth_year,sex\na,b,c,d\n"), "[a|c|b]",
          "t.csv:1:23: a column named twice; leave one of them out; got \"sex\"\n" },
        { "without a name", BYTES("person,sex,birth_year,\na,b,c,\n"), "[a|c|b]",
          "t.csv:1:23: a column without a name; name it or take it out of every row\n" },
        { "in quotes it is the same", BYTES("\"person\",\"sex\"\na,b\n"), "[a||b]", "" },
        { "semicolons", BYTES("person;birth_year;sex\na;b;c\n"), "",
          "t.csv:1: semicolons between the columns; part them by commas, and write decimals with a point\n" },
        { "tabs", BYTES("person\tbirth_year\tsex\n"), "",
          "t.csv:1:7: a tab; commas part the fields, and text has spaces instead of tabs\n" },
        { "a quote never closed there", BYTES("person,\"sex\na,b\n"), "", "t.csv:1:8: " UNCLOSED },
        { "no header at all", BYTES("ana,1971,female\n"), "",
          "t.csv:1: the column \"person\" is missing\nt.csv:1: the column \"sex\" is missing\n" "t.csv:1:1: unknown column; " ALL
          "; got \"ana\"\n" "t.csv:1:5: unknown column; " ALL "; got \"1971\"\n" "t.csv:1:10: unknown column; " ALL
          "; got \"female\"\n" },
        { "a comment above: the header's own line", BYTES("# invented\nperson,sex,x\n"), "",
          "t.csv:2:12: unknown column; " ALL "; got \"x\"\n" },
    };
    // clang-format on
    EACH(i, row) expect_reading(&row[i], people, 3);
    expect_end(26);
}

static void limits(void **state)
{
    (void)state;
    static const thew_csv_column two[] = {
        {"a",  true, ""},
        { "b", true, ""}
    };
    // clang-format off
    static const struct {
        const char *why, *before, *after;
        size_t count;
        const char *rows, *findings;
    } row[] = {
        { "the longest field", "a,b\n1,", "\n3,4\n", THEW_CSV_FIELD_BYTES_MAX, "65536 4 ", "" },
        { "a byte more", "a,b\n1,", "\n3,4\n", THEW_CSV_FIELD_BYTES_MAX + 1, "4 ",
          "t.csv:2:3: a field longer than 65536 bytes; shorten it\n" },
        { "the longest field in quotes", "a,b\n1,\"", "\"\n3,4\n", THEW_CSV_FIELD_BYTES_MAX, "65536 4 ", "" },
        { "a byte more", "a,b\n1,\"", "\"\n3,4\n", THEW_CSV_FIELD_BYTES_MAX + 1, "4 ",
          "t.csv:2:3: a field longer than 65536 bytes; shorten it\n" },
        { "very long, no quote, no comma", "a,b\n1,", "\n3,4\n", 1 << 24, "4 ",
          "t.csv:2:3: a field longer than 65536 bytes; shorten it\n" },
        { "very long, a quote that never closes", "a,b\n1,\"", "\n3,4\n", 1 << 24, "4 ",
          "t.csv:2:3: a quoted field longer than 65536 bytes; is its closing quote missing?\n" },
        { "very many fields", "a,b\n1,", "\n3,4\n", 0, "4 ",
          "t.csv:2: 1000002 fields where the header has 2; a field with a comma in it goes in quotes, and decimals have a point\n" },
    };
    // clang-format on
    EACH(i, row)
    {
        GString *text = g_string_new(row[i].before);
        for (size_t k = 0; k < row[i].count; k++)
            g_string_append_c(text, 'x');
        for (int k = 0; row[i].count == 0 && k < 1000000; k++)
            g_string_append_c(text, ',');
        g_string_append(text, row[i].after);
        g_autoptr(GBytes) bytes = g_string_free_to_bytes(text);
        g_autoptr(thew_trouble_list) trouble = thew_trouble_list_new();
        g_autoptr(thew_csv) csv = thew_csv_new("t.csv", bytes, two, 2, trouble);
        g_autoptr(GString) rows = g_string_new(NULL);
        while (thew_csv_next(csv)) {
            gsize length = strlen(thew_csv_field(csv, 1));
            if (length > 1)
                g_string_append_printf(rows, "%" G_GSIZE_FORMAT " ", length);
            else
                g_string_append_printf(rows, "%s ", thew_csv_field(csv, 1));
        }
        g_autofree char *found = findings(trouble);
        expect_text(row[i].why, row[i].rows, rows->str);
        expect_text(row[i].why, row[i].findings, found);
    }
    expect_end(14);
}

static void too_many_columns(void **state)
{
    (void)state;
    GString *text = g_string_new("aaa");
    for (int i = 0; i < THEW_CSV_COLUMNS_MAX; i++)
        g_string_append(text, ",x");
    g_autofree char *line = g_string_free(text, FALSE);
    const reading row = { "257 columns", line, strlen(line), "",
                          "t.csv:1: more than 256 columns; the header names each column once\n" };
    expect_reading(&row, three, 3);
    expect_end(2);
}

// Rows that a later check points at: any row, any field, quotes and lines in between.
static void places(void **state)
{
    (void)state;
    static const char text[] = "aaa,bbb,ccc\n\"a\nä\",\"b\",c\nd,,\"f\"\"\n\"\ng,h,i\n";
    g_autoptr(thew_trouble_list) trouble = thew_trouble_list_new();
    g_autoptr(GBytes) bytes = g_bytes_new_static(text, sizeof text - 1);
    g_autoptr(thew_csv) csv = thew_csv_new("t.csv", bytes, three, 3, trouble);
    thew_csv_row at[3];
    for (int i = 0; i < 3; i++) {
        assert_true(thew_csv_next(csv));
        at[i] = thew_csv_here(csv);
    }
    for (int i = 0; i < 3; i++)
        for (int column = THEW_CSV_WHOLE_ROW; column < 3; column++)
            thew_csv_find(csv, at[i], column, THEW_TROUBLE_NOTE, "here", NULL);
    g_autofree char *found = findings(trouble);
    expect_text("every field of every row",
                "t.csv:2: note: here\n"
                "t.csv:2:1: note: aaa: here; got \"a\\nä\"\n"
                "t.csv:3:4: note: bbb: here; got \"b\"\n"
                "t.csv:3:8: note: ccc: here; got \"c\"\n"
                "t.csv:4: note: here\n"
                "t.csv:4:1: note: aaa: here; got \"d\"\n"
                "t.csv:4:3: note: bbb: here\n"
                "t.csv:4:4: note: ccc: here; got \"f\"\\n\"\n"
                "t.csv:6: note: here\n"
                "t.csv:6:1: note: aaa: here; got \"g\"\n"
                "t.csv:6:3: note: bbb: here; got \"h\"\n"
                "t.csv:6:5: note: ccc: here; got \"i\"\n",
                found);
    expect_end(1);
}

static void rows_without_entries(void **state)
{
    (void)state;
    static const char text[] = "aaa,bbb,ccc\n,,\na,,\n\"\",\"\",\n";
    g_autoptr(thew_trouble_list) trouble = thew_trouble_list_new();
    g_autoptr(GBytes) bytes = g_bytes_new_static(text, sizeof text - 1);
    g_autoptr(thew_csv) csv = thew_csv_new("t.csv", bytes, three, 3, trouble);
    assert_true(thew_csv_next_filled(csv));
    expect_text("the row with an entry", "a", thew_csv_field(csv, 0));
    assert_false(thew_csv_next_filled(csv));
    g_autofree char *found = findings(trouble);
    expect_text("as spreadsheets leave them",
                "t.csv:2: a row without any entry; take it out\nt.csv:4: a row without any entry; take it out\n", found);
    expect_end(2);
}

// ------------------------------------------------------------------------------------------------------------------------- files

static char *folder;
static int make_folder(void **state)
{
    (void)state;
    folder = g_dir_make_tmp("thew-csv-XXXXXX", NULL);
    return folder == NULL;
}
static int remove_folder(void **state)
{
    (void)state;
    int left = g_rmdir(folder);
    g_free(folder);
    return left;
}

static void files(void **state)
{
    (void)state;
    g_autofree char *path = g_build_filename(folder, "t.csv", NULL);
    g_autoptr(thew_trouble_list) trouble = thew_trouble_list_new();
    assert_true(g_file_set_contents(path, "aaa\n1\n", -1, NULL));
    g_autoptr(GBytes) whole = thew_csv_load(path, 6, trouble);
    expect_number("a file of just the limit", 6, (double)g_bytes_get_size(whole));
    g_autoptr(GBytes) above = thew_csv_load(path, 5, trouble);
    assert_null(above);
    assert_true(g_file_set_contents(path, "", 0, NULL));
    g_autoptr(GBytes) empty = thew_csv_load(path, THEW_CSV_BYTES_MAX, trouble);
    expect_number("an empty file", 0, (double)g_bytes_get_size(empty));
    g_unlink(path);
    g_autoptr(GBytes) missing = thew_csv_load(path, THEW_CSV_BYTES_MAX, trouble);
    assert_null(missing);
    g_autoptr(GBytes) directory = thew_csv_load(folder, THEW_CSV_BYTES_MAX, trouble);
    assert_null(directory);
    g_autofree char *found = findings(trouble);
    g_autofree char *expected = g_strdup_printf("%s: larger than 5 bytes; divide it, for instance by year\n"
                                                "%s: cannot be read: No such file or directory\n"
                                                "%s: cannot be read: Is a directory\n",
                                                path, path, folder);
    expect_text("what cannot be read is said", expected, found);
    expect_end(3);
}

static void a_file_beyond_256_mib(void **state)
{
    (void)state;
    g_autofree char *path = g_build_filename(folder, "t.csv", NULL);
    g_autoptr(thew_trouble_list) trouble = thew_trouble_list_new();
    assert_true(g_file_set_contents(path, "aaa\n", -1, NULL));
    assert_int_equal(truncate(path, (off_t)THEW_CSV_BYTES_MAX + 1), 0); // a hole: it takes no room on the disk
    g_autoptr(GBytes) bytes = thew_csv_load(path, THEW_CSV_BYTES_MAX, trouble);
    g_unlink(path);
    assert_null(bytes);
    g_autofree char *found = findings(trouble);
    g_autofree char *expected = g_strdup_printf("%s: larger than 268435456 bytes; divide it, for instance by year\n", path);
    expect_text("refused", expected, found);
    // Bytes from elsewhere too, before any of them is looked at: there is only one here.
    g_autoptr(thew_trouble_list) in_memory = thew_trouble_list_new();
    g_autoptr(GBytes) large = g_bytes_new_static("a", THEW_CSV_BYTES_MAX + 1);
    assert_null(thew_csv_new("t.csv", large, three, 3, in_memory));
    g_autofree char *also = findings(in_memory);
    expect_text("refused", "t.csv: larger than 256 MiB; divide it, for instance by year\n", also);
    expect_end(2);
}

static void standard_input(void **state)
{
    (void)state;
    int ends[2], before = dup(STDIN_FILENO);
    assert_int_equal(pipe(ends), 0);
    assert_int_equal(write(ends[1], "aaa\n1\nx", 7), 7);
    close(ends[1]);
    dup2(ends[0], STDIN_FILENO);
    close(ends[0]);
    g_autoptr(thew_trouble_list) trouble = thew_trouble_list_new();
    g_autoptr(GBytes) bytes = thew_csv_load("-", THEW_CSV_BYTES_MAX, trouble);
    expect_number("a pipe to its end", 7, (double)g_bytes_get_size(bytes));
    dup2(before, STDIN_FILENO);
    close(before);
    expect_text("its name in findings", "standard input", thew_csv_shown_name("-"));
    expect_text("any other is itself", "./-", thew_csv_shown_name("./-"));
    expect_end(3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(grammar),
        cmocka_unit_test(above_the_header),
        cmocka_unit_test(no_text),
        cmocka_unit_test(broken_grammar),
        cmocka_unit_test(header),
        cmocka_unit_test(limits),
        cmocka_unit_test(too_many_columns),
        cmocka_unit_test(places),
        cmocka_unit_test(rows_without_entries),
        cmocka_unit_test(files),
        cmocka_unit_test(a_file_beyond_256_mib),
        cmocka_unit_test(standard_input),
    };
    return cmocka_run_group_tests(tests, make_folder, remove_folder);
}
