// csv.c: the scanner and the header (see csv.h).
//
//   cursor ──► scan_field ──► scan_row ──► thew_csv_next     rows, as they come
//                    └──────► locate   ──► thew_csv_find     a row once more, to say where a field stands
//
// Positions in characters are not tracked while reading: a finding is rare, so it walks its row again from the start.
#define _POSIX_C_SOURCE 200809L // O_CLOEXEC
#include "exchange/csv.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <unistd.h>

#include <glib/gstdio.h>

#include "exchange/nearest.h"

#define FIELD_BYTES G_STRINGIFY(THEW_CSV_FIELD_BYTES_MAX) " bytes"

typedef struct {
    const char *at;
    const char *line_start;
    guint line;
} cursor;

// The first thing that breaks the grammar in a row.
typedef struct {
    char wrong[96]; // empty: nothing
    const char *right;
    cursor where;
} grammar_fault;

struct thew_csv {
    char *name;
    GBytes *bytes;
    const char *start, *end; // of the text, after a byte order mark
    const thew_csv_column *column;
    int column_count;
    int *field_of_column; // [column_count]; -1: the file has no such column
    guint field_count;    // of the header, and so of each row
    cursor next;          // where the next row begins
    thew_csv_row here;
    GString *text;                     // the current row's fields, each with its '\0'
    guint field[THEW_CSV_COLUMNS_MAX]; // where each begins in text
    guint64 lost_count;
    thew_trouble_list *trouble;
};

// ---------------------------------------------------------------------------------------------------------------------- scanning

static void blame(grammar_fault *fault, const cursor *where, const char *wrong, const char *right)
{
    if (fault == NULL || fault->wrong[0] != '\0') return; // what follows a fault is mostly its consequence
    g_strlcpy(fault->wrong, wrong, sizeof fault->wrong);
    fault->right = right;
    fault->where = *where;
}

static void blame_control(grammar_fault *fault, const cursor *where)
{
    if (*where->at == '\t') {
        blame(fault, where, "a tab", "commas part the fields, and text has spaces instead of tabs");
    } else if (*where->at == '\r') {
        blame(fault, where, "a carriage return without a line feed", "lines end in CRLF or LF");
    } else {
        char wrong[96];
        g_snprintf(wrong, sizeof wrong, "a control character (U+%04X)", (guchar)*where->at);
        blame(fault, where, wrong, "a field is plain text");
    }
}

static bool is_control(char byte)
{
    return (guchar)byte < ' ' || byte == 0x7F;
}
// Everything but control characters, comma and quote; most bytes are answered by the first comparison.
static bool is_plain(char byte)
{
    return (guchar)byte > ',' ? byte != 0x7F : (guchar)byte >= ' ' && byte != ',' && byte != '"';
}

// A field is kept up to one byte more than it may have, so that it shows as too long and a file without commas costs no memory.
static void append(GString *text, gsize field_start, const char *run, const char *run_end)
{
    gsize room = THEW_CSV_FIELD_BYTES_MAX + 1 - (text->len - field_start), length = MIN((gsize)(run_end - run), room);
    if (text->len + length >= text->allocated_len) {
        g_string_append_len(text, run, (gssize)length);
        return;
    }
    memcpy(text->str + text->len, run, length); // as g_string_append_len, but inlined: most runs are a few bytes
    text->len += length;
    text->str[text->len] = '\0';
}

static bool is_too_long(const GString *text, gsize field_start)
{
    return text->len - field_start > THEW_CSV_FIELD_BYTES_MAX;
}

static void begin_line(cursor *c)
{
    c->line_start = c->at;
    c->line++;
}

typedef enum { ENDS_FIELD, ENDS_ROW, NEVER_ENDS } ending;

// From after the opening quote to after the closing one.
//   returns   false if there is none within a field's length
static bool scan_quoted(cursor *c, const char *end, GString *text, grammar_fault *fault)
{
    gsize field_start = text->len;
    while (c->at < end && !is_too_long(text, field_start)) {
        const char *run = c->at;
        while (c->at < end && *c->at != '"' && !is_control(*c->at))
            c->at++;
        append(text, field_start, run, c->at);
        if (c->at == end) return false;
        char byte = *c->at;
        if (byte == '"') {
            c->at++;
            if (c->at == end || *c->at != '"') return true;
        } else if (byte != '\n' && byte != '\r') {
            blame_control(fault, c);
        }
        g_string_append_c(text, byte);
        c->at++;
        if (byte == '\n') begin_line(c);
    }
    return false;
}

// To after the comma or the end of line that ends the field, or to the end of the file.
static ending scan_plain(cursor *c, const char *end, GString *text, gsize field_start, grammar_fault *fault)
{
    for (;;) {
        const char *run = c->at;
        while (c->at < end && is_plain(*c->at))
            c->at++;
        append(text, field_start, run, c->at);
        if (c->at == end) return ENDS_ROW;
        char byte = *c->at;
        if (byte == ',') {
            c->at++;
            return ENDS_FIELD;
        }
        if (byte == '\n' || (byte == '\r' && c->at + 1 < end && c->at[1] == '\n')) {
            c->at += byte == '\r' ? 2 : 1;
            begin_line(c);
            return ENDS_ROW;
        }
        if (byte == '"')
            blame(fault, c, "a quote inside a field that does not begin with one",
                  "put the field in quotes and write its own quotes twice");
        else
            blame_control(fault, c);
        append(text, field_start, c->at, c->at + 1);
        c->at++;
    }
}

static void blame_never_closed(grammar_fault *fault, const cursor *opened, bool is_long)
{
    if (is_long)
        blame(fault, opened, "a quoted field longer than " FIELD_BYTES, "is its closing quote missing?");
    else
        blame(fault, opened, "a quote that is never closed", "end the field with a quote; a quote inside it is written twice");
}

static void blame_after_quote(grammar_fault *fault, const cursor *where, const cursor *opened)
{
    char wrong[96] = "text after a closing quote";
    if (where->line != opened->line)
        g_snprintf(wrong, sizeof wrong, "text after the closing quote of a field that begins in line %u", opened->line);
    blame(fault, where, wrong, "a quote inside a field is written twice");
}

// One field, appended to text with a '\0'. On NEVER_ENDS the cursor stays where the field began.
static ending scan_field(cursor *c, const char *end, GString *text, grammar_fault *fault)
{
    const cursor opened = *c;
    gsize field_start = text->len;
    if (c->at < end && *c->at == '"') {
        c->at++;
        if (!scan_quoted(c, end, text, fault)) {
            blame_never_closed(fault, &opened, is_too_long(text, field_start));
            *c = opened;
            return NEVER_ENDS;
        }
        if (c->at < end && strchr(",\r\n", *c->at) == NULL) blame_after_quote(fault, c, &opened);
    }
    ending ends = scan_plain(c, end, text, field_start, fault);
    if (is_too_long(text, field_start)) blame(fault, &opened, "a field longer than " FIELD_BYTES, "shorten it");
    g_string_append_c(text, '\0');
    return ends;
}

// One row into csv->text and csv->field, of which at most `keep` fields are kept.
//   keep      at most THEW_CSV_COLUMNS_MAX
//   returns   how many fields there are; the cursor is behind the row, or behind the first line of a field that never ends
static guint scan_row(thew_csv *csv, cursor *c, guint keep, grammar_fault *fault)
{
    guint count = 0;
    ending ends;
    g_string_truncate(csv->text, 0);
    do {
        guint field_start = (guint)csv->text->len;
        ends = scan_field(c, csv->end, csv->text, fault);
        if (count < keep)
            csv->field[count] = field_start;
        else
            g_string_truncate(csv->text, field_start);
        count++;
    } while (ends == ENDS_FIELD);
    if (ends == NEVER_ENDS) {
        const char *line_end = memchr(c->at, '\n', (gsize)(csv->end - c->at));
        c->at = line_end != NULL ? line_end + 1 : csv->end;
        begin_line(c);
    }
    return count;
}

// The start of a field of a row that was read before, and what stands there.
static cursor locate(const thew_csv *csv, thew_csv_row row, guint field, GString *got)
{
    const char *start = csv->start + row.offset;
    cursor c = { start, start, row.line };
    for (guint i = 0; i < field; i++) {
        scan_field(&c, csv->end, got, NULL);
        g_string_truncate(got, 0);
    }
    cursor found = c;
    scan_field(&c, csv->end, got, NULL);
    return found;
}

// -------------------------------------------------------------------------------------------------------------------- findings

static guint character_of(const cursor *where)
{
    return (guint)g_utf8_strlen(where->line_start, where->at - where->line_start) + 1;
}

static void find_file(const char *name, thew_trouble_list *trouble, const char *wrong, const char *right)
{
    thew_trouble_add(trouble, &(thew_trouble){ .file = name, .wrong = wrong, .right = right });
}

static void find_at(const char *name, thew_trouble_list *trouble, const cursor *where, const char *wrong, const char *right)
{
    thew_trouble_add(
        trouble,
        &(thew_trouble){ .file = name, .line = where->line, .character = character_of(where), .wrong = wrong, .right = right });
}

static void find_row(const thew_csv *csv, const char *wrong, const char *right)
{
    thew_trouble_add(csv->trouble, &(thew_trouble){ .file = csv->name, .line = csv->here.line, .wrong = wrong, .right = right });
}

void thew_csv_find(const thew_csv *csv, thew_csv_row row, int column, thew_severity severity, const char *wrong, const char *right)
{
    bool is_field = column != THEW_CSV_WHOLE_ROW;
    thew_trouble found = { .severity = severity, .file = csv->name, .line = row.line, .wrong = wrong, .right = right };
    g_autoptr(GString) got = g_string_new(NULL);
    int field = is_field ? csv->field_of_column[column] : -1;
    if (is_field) found.column = csv->column[column].name;
    if (field >= 0 && thew_trouble_keeps(csv->trouble, severity)) {
        cursor where = locate(csv, row, (guint)field, got);
        found.line = where.line; // a row can be many lines long
        found.character = character_of(&where);
        found.got = got->str;
    }
    thew_trouble_add(csv->trouble, &found);
}

// -------------------------------------------------------------------------------------------------------------- loading, checking

const char *thew_csv_shown_name(const char *path)
{
    return g_str_equal(path, "-") ? "standard input" : path;
}

// Everything up to one byte more than the limit, or NULL with errno set.
static GByteArray *read_all(int file, gsize limit_bytes)
{
    g_autoptr(GByteArray) bytes = g_byte_array_new();
    gssize got = 1;
    while (got > 0 && bytes->len <= limit_bytes) {
        guint before = bytes->len, chunk = (guint)MIN(limit_bytes + 1 - before, 1 << 20);
        g_byte_array_set_size(bytes, before + chunk);
        do {
            got = read(file, bytes->data + before, chunk);
        } while (got < 0 && errno == EINTR);
        g_byte_array_set_size(bytes, before + (guint)MAX(got, 0));
    }
    return got < 0 ? NULL : g_steal_pointer(&bytes);
}

GBytes *thew_csv_load(const char *path, gsize limit_bytes, thew_trouble_list *trouble)
{
    g_assert(limit_bytes <= THEW_CSV_BYTES_MAX);
    const char *name = thew_csv_shown_name(path);
    bool is_standard_input = g_str_equal(path, "-");
    int file = is_standard_input ? STDIN_FILENO : g_open(path, O_RDONLY | O_CLOEXEC, 0);
    g_autoptr(GByteArray) bytes = file >= 0 ? read_all(file, limit_bytes) : NULL;
    if (bytes == NULL) {
        g_autofree char *wrong = g_strdup_printf("cannot be read: %s", g_strerror(errno));
        find_file(name, trouble, wrong, NULL);
    }
    if (file >= 0 && !is_standard_input) g_close(file, NULL);
    if (bytes == NULL) return NULL;
    if (bytes->len > limit_bytes) {
        g_autofree char *wrong = g_strdup_printf("larger than %" G_GSIZE_FORMAT " bytes", limit_bytes);
        find_file(name, trouble, wrong, "divide it, for instance by year");
        return NULL;
    }
    return g_byte_array_free_to_bytes(g_steal_pointer(&bytes));
}

// Files that are no text at all are told apart by what they most often are.
static const char *other_kind(const char *start, gsize length)
{
    static const struct {
        const char *bytes, *kind;
    } known[] = {
        {"\xFF\xFE",          "UTF-16 text"                                },
        { "\xFE\xFF",         "UTF-16 text"                                },
        { "PK\x03\x04",       "a spreadsheet's own file or another archive"},
        { "\xD0\xCF\x11\xE0", "an old spreadsheet's own file"              },
        { "%PDF",             "a PDF document"                             },
    };
    for (gsize i = 0; i < G_N_ELEMENTS(known); i++)
        if (length >= strlen(known[i].bytes) && memcmp(start, known[i].bytes, strlen(known[i].bytes)) == 0) return known[i].kind;
    return NULL;
}

static bool check_text(thew_csv *csv)
{
    const char *bad;
    gsize length = (gsize)(csv->end - csv->start);
    const char *kind = other_kind(csv->start, length);
    if (kind != NULL) {
        g_autofree char *wrong = g_strdup_printf("this is %s", kind);
        find_file(csv->name, csv->trouble, wrong, "save the table as CSV in UTF-8");
        return false;
    }
    if (g_utf8_validate_len(csv->start, length, &bad)) return true;
    cursor where = { csv->start, csv->start, 1 };
    for (const char *line_end; (line_end = memchr(where.at, '\n', (gsize)(bad - where.at))) != NULL;) {
        where.at = line_end + 1;
        begin_line(&where);
    }
    where.at = bad;
    if (*bad == '\0') {
        find_at(csv->name, csv->trouble, &where, "a zero byte: this is no text", "save the table as CSV in UTF-8");
    } else {
        g_autofree char *wrong = g_strdup_printf("a byte that is not UTF-8 (%02X)", (guchar)*bad);
        find_at(csv->name, csv->trouble, &where, wrong, "save the table as CSV in UTF-8");
    }
    return false;
}

// ----------------------------------------------------------------------------------------------------------------------- header

static char *list_columns(const thew_csv *csv)
{
    GString *list = g_string_new("the columns are ");
    for (int i = 0; i < csv->column_count; i++)
        g_string_append_printf(list, "%s%s", i > 0 ? ", " : "", csv->column[i].name);
    return g_string_free(list, FALSE);
}

static int column_named(const thew_csv *csv, const char *name)
{
    for (int i = 0; i < csv->column_count; i++)
        if (g_str_equal(csv->column[i].name, name)) return i;
    return -1;
}

// What an unknown column was probably meant to be, and all that it could be.
static char *hint_column(const thew_csv *csv, const char *name)
{
    const char *known[THEW_CSV_COLUMNS_MAX + 1] = { NULL };
    for (int i = 0; i < csv->column_count; i++)
        known[i] = csv->column[i].name;
    g_autofree char *all = list_columns(csv);
    const char *nearest = thew_nearest(name, known);
    if (nearest == NULL) return g_steal_pointer(&all);
    return g_strdup_printf("perhaps \"%s\" is meant; %s", nearest, all);
}

static void find_header(const thew_csv *csv, guint field, const char *wrong, const char *right)
{
    g_autoptr(GString) got = g_string_new(NULL);
    cursor where = locate(csv, csv->here, field, got);
    thew_trouble_add(csv->trouble, &(thew_trouble){ .file = csv->name,
                                                    .line = where.line,
                                                    .character = character_of(&where),
                                                    .wrong = wrong,
                                                    .right = right,
                                                    .got = got->str });
}

static void read_name(thew_csv *csv, guint field)
{
    const char *name = csv->text->str + csv->field[field];
    int column = column_named(csv, name);
    if (column >= 0 && csv->field_of_column[column] >= 0) {
        find_header(csv, field, "a column named twice", "leave one of them out");
    } else if (column >= 0) {
        csv->field_of_column[column] = (int)field;
    } else if (*name == '\0') {
        find_header(csv, field, "a column without a name", "name it or take it out of every row");
    } else {
        g_autofree char *trimmed = g_strstrip(g_strdup(name));
        g_autofree char *hint = hint_column(csv, name);
        column = column_named(csv, trimmed);
        if (column >= 0)
            find_header(csv, field, "spaces around a column's name", "take them out");
        else
            find_header(csv, field, "unknown column", hint);
    }
}

static bool has_required(const thew_csv *csv)
{
    bool all = true;
    for (int i = 0; i < csv->column_count; i++) {
        if (!csv->column[i].required || csv->field_of_column[i] >= 0) continue;
        g_autofree char *wrong = g_strdup_printf("the column \"%s\" is missing", csv->column[i].name);
        find_row(csv, wrong, NULL);
        all = false;
    }
    return all;
}

static bool starts_with(const cursor *c, const char *end, const char *text)
{
    return (gsize)(end - c->at) >= strlen(text) && memcmp(c->at, text, strlen(text)) == 0;
}

// A comment that a spreadsheet put in quotes is one still.
static bool is_above_header(const cursor *c, const char *end)
{
    return starts_with(c, end, "#") || starts_with(c, end, "\"#") || starts_with(c, end, "\n") || starts_with(c, end, "\r\n");
}

static void skip_comments(thew_csv *csv)
{
    cursor *c = &csv->next;
    while (is_above_header(c, csv->end)) {
        const char *line_end = memchr(c->at, '\n', (gsize)(csv->end - c->at));
        c->at = line_end != NULL ? line_end + 1 : csv->end;
        begin_line(c);
    }
}

static thew_csv_row row_at(const thew_csv *csv, const cursor *c)
{
    return (thew_csv_row){ (guint32)(c->at - csv->start), c->line };
}

static bool read_header(thew_csv *csv)
{
    grammar_fault fault = {
        "", NULL, {NULL, NULL, 0}
    };
    skip_comments(csv);
    if (csv->next.at == csv->end) {
        g_autofree char *right = list_columns(csv);
        find_file(csv->name, csv->trouble, "no header: the first line must name the columns", right);
        return false;
    }
    csv->here = row_at(csv, &csv->next);
    csv->field_count = scan_row(csv, &csv->next, THEW_CSV_COLUMNS_MAX, &fault);
    if (fault.wrong[0] != '\0') {
        find_at(csv->name, csv->trouble, &fault.where, fault.wrong, fault.right);
        return false;
    }
    if (csv->field_count > THEW_CSV_COLUMNS_MAX) {
        find_row(csv, "more than " G_STRINGIFY(THEW_CSV_COLUMNS_MAX) " columns", "the header names each column once");
        return false;
    }
    if (csv->field_count == 1 && csv->column_count > 1 && strchr(csv->text->str, ';') != NULL) {
        find_row(csv, "semicolons between the columns", "part them by commas, and write decimals with a point");
        return false;
    }
    for (guint i = 0; i < csv->field_count; i++)
        read_name(csv, i);
    return has_required(csv);
}

thew_csv *thew_csv_new(const char *name, GBytes *bytes, const thew_csv_column *column, int column_count, thew_trouble_list *trouble)
{
    g_assert(column_count > 0 && column_count <= THEW_CSV_COLUMNS_MAX);
    g_autoptr(thew_csv) csv = g_new0(thew_csv, 1);
    gsize length;
    csv->name = g_strdup(name);
    csv->bytes = g_bytes_ref(bytes);
    csv->start = g_bytes_get_data(bytes, &length);
    if (csv->start == NULL) csv->start = ""; // GLib's empty bytes
    csv->end = csv->start + length;
    csv->column = column;
    csv->column_count = column_count;
    csv->field_of_column = g_new(int, column_count);
    for (int i = 0; i < column_count; i++)
        csv->field_of_column[i] = -1;
    csv->text = g_string_new(NULL);
    csv->trouble = trouble;
    if (length > THEW_CSV_BYTES_MAX) {
        find_file(name, trouble, "larger than 256 MiB", "divide it, for instance by year");
        return NULL;
    }
    if (length >= 3 && memcmp(csv->start, "\xEF\xBB\xBF", 3) == 0) csv->start += 3;
    csv->next = (cursor){ csv->start, csv->start, 1 };
    return check_text(csv) && read_header(csv) ? g_steal_pointer(&csv) : NULL;
}

void thew_csv_free(thew_csv *csv)
{
    if (csv == NULL) return;
    g_free(csv->name);
    g_bytes_unref(csv->bytes);
    g_free(csv->field_of_column);
    g_string_free(csv->text, TRUE);
    g_free(csv);
}

// ------------------------------------------------------------------------------------------------------------------------- rows

static void find_ragged(const thew_csv *csv, guint count)
{
    if (count == 1 && csv->text->str[0] == '\0') {
        find_row(csv, "an empty line", "take it out");
        return;
    }
    g_autofree char *wrong = g_strdup_printf("%u field%s where the header has %u", count, count == 1 ? "" : "s", csv->field_count);
    if (csv->text->str[0] == '#')
        find_row(csv, wrong, "comments stand above the header only");
    else if (count < csv->field_count)
        find_row(csv, wrong, "an empty field keeps its comma");
    else
        find_row(csv, wrong, "a field with a comma in it goes in quotes, and decimals have a point");
}

bool thew_csv_next(thew_csv *csv)
{
    for (; csv->next.at < csv->end; csv->lost_count++) {
        grammar_fault fault = {
            "", NULL, {NULL, NULL, 0}
        };
        csv->here = row_at(csv, &csv->next);
        guint count = scan_row(csv, &csv->next, csv->field_count, &fault);
        if (fault.wrong[0] != '\0')
            find_at(csv->name, csv->trouble, &fault.where, fault.wrong, fault.right);
        else if (count != csv->field_count)
            find_ragged(csv, count);
        else
            return true;
    }
    return false;
}

static bool is_filled(const thew_csv *csv)
{
    return csv->text->len > csv->field_count; // more than the fields' ends
}

bool thew_csv_next_filled(thew_csv *csv)
{
    while (thew_csv_next(csv)) {
        if (is_filled(csv)) return true;
        find_row(csv, "a row without any entry", "take it out");
    }
    return false;
}

thew_csv_row thew_csv_here(const thew_csv *csv)
{
    return csv->here;
}

const char *thew_csv_field(const thew_csv *csv, int column)
{
    int field = csv->field_of_column[column];
    return field >= 0 ? csv->text->str + csv->field[field] : "";
}

bool thew_csv_has_column(const thew_csv *csv, int column)
{
    return csv->field_of_column[column] >= 0;
}

bool thew_csv_is_complete(const thew_csv *csv)
{
    return csv->lost_count == 0;
}
void thew_csv_lose(thew_csv *csv)
{
    csv->lost_count++;
}
bool thew_csv_has_room(const thew_csv *csv)
{
    return thew_trouble_has_room(csv->trouble);
}
