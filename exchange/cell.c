// cell.c: forms of single fields (see cell.h).
#include "exchange/cell.h"

#include <math.h>
#include <string.h>

#include "exchange/instant.h"
#include "exchange/nearest.h"

static void find(const thew_csv *csv, int column, const char *wrong, const char *right)
{
    thew_csv_find(csv, thew_csv_here(csv), column, THEW_TROUBLE_ERROR, wrong, right);
}

bool thew_cell_is_given(const thew_csv *csv, int column)
{
    return thew_csv_field(csv, column)[0] != '\0';
}

// False for an empty field, which is an error if something must stand there.
static bool is_to_be_read(const thew_csv *csv, int column, thew_cell_need need)
{
    if (thew_cell_is_given(csv, column)) return true;
    if (need == THEW_CELL_REQUIRED) find(csv, column, NULL, "must not be empty");
    return false;
}

// ---------------------------------------------------------------------------------------------------------------------- numbers

static const char *skip_digits(const char *text)
{
    while (g_ascii_isdigit(*text))
        text++;
    return text;
}

// [-] digits [. digits] [e [+-] digits], with a digit before or after the point. strtod takes much more: spaces, hexadecimal,
// "nan".
//   returns   where the number ends; text itself if there is none
static const char *number_end(const char *text)
{
    const char *digits = text + (*text == '-'), *at = skip_digits(digits);
    bool any = at > digits;
    if (*at == '.') {
        const char *decimals = skip_digits(at + 1);
        any = any || decimals > at + 1;
        at = decimals;
    }
    if (!any) return text;
    if (*at == 'e' || *at == 'E') {
        const char *power = at + 1 + (at[1] == '+' || at[1] == '-'), *power_end = skip_digits(power);
        if (power_end > power) at = power_end;
    }
    return at;
}

// For a text that was refused as a number, or as one outside its limits.
static const char *hint_number(const char *text)
{
    const char *end = number_end(text);
    if (*end == '\0') return "";
    if (*end == ',' && end > text && g_ascii_isdigit(end[1])) return "; decimals have a point";
    if (end > text && strpbrk(end, ".,0123456789") == NULL) return "; the number alone, without its unit";
    return "";
}

static void find_number(const thew_csv *csv, int column, const char *kind, thew_limits limits)
{
    char low[G_ASCII_DTOSTR_BUF_SIZE], high[G_ASCII_DTOSTR_BUF_SIZE];
    g_ascii_formatd(low, sizeof low, "%.10g", limits.low);
    g_ascii_formatd(high, sizeof high, "%.10g", limits.high);
    g_autofree char *right =
        g_strdup_printf("must be %s%s from %s to %s%s", limits.what, kind, low, high, hint_number(thew_csv_field(csv, column)));
    find(csv, column, NULL, right);
}

thew_maybe thew_cell_number(const thew_csv *csv, int column, thew_cell_need need, thew_limits limits)
{
    const thew_maybe unknown = { false, 0 };
    if (!is_to_be_read(csv, column, need)) return unknown;
    const char *text = thew_csv_field(csv, column), *end = number_end(text);
    double value = g_ascii_strtod(text, NULL); // rounds to nearest; beyond double's range: infinite, and so outside the limits
    if (end > text && *end == '\0' && value >= limits.low && value <= limits.high) return (thew_maybe){ true, value + 0.0 };
    find_number(csv, column, "", limits);
    return unknown;
}

int thew_cell_integer(const thew_csv *csv, int column, thew_cell_need need, thew_limits limits, int absent)
{
    if (!is_to_be_read(csv, column, need)) return absent;
    const char *text = thew_csv_field(csv, column), *digits = text + (*text == '-');
    gint64 value;
    if (g_ascii_isdigit(*digits) && g_ascii_string_to_signed(text, 10, (gint64)limits.low, (gint64)limits.high, &value, NULL))
        return (int)value;
    find_number(csv, column, *skip_digits(digits) == '.' ? " without decimals" : "", limits);
    return absent;
}

// ------------------------------------------------------------------------------------------------------------------------ dates

static void find_no_such_day(const thew_csv *csv, int column, thew_date date)
{
    static const char *const month[] = { "January", "February", "March",     "April",   "May",      "June",
                                         "July",    "August",   "September", "October", "November", "December" };
    if (date.year < 1 || date.month < 1 || date.month > 12 || date.day < 1) {
        find(csv, column, "no such day", "must be a date written like 2026-03-31: year, month, day");
        return;
    }
    g_autofree char *wrong = g_strdup_printf("no such day: %s %d has %d days", month[date.month - 1], date.year,
                                             thew_date_month_days(date.year, date.month));
    find(csv, column, wrong, NULL);
}

thew_date thew_cell_date(const thew_csv *csv, int column, thew_cell_need need, thew_date today)
{
    const thew_date unknown = { 0, 0, 0 };
    thew_date date;
    if (!is_to_be_read(csv, column, need)) return unknown;
    if (!thew_date_parse(thew_csv_field(csv, column), &date)) {
        find(csv, column, NULL, "must be a date written like 2026-03-31");
    } else if (!thew_date_exists(date)) {
        find_no_such_day(csv, column, date);
    } else if (date.year < 1900) {
        find(csv, column, NULL, "must not lie before 1900");
    } else if (today.year > 0 && thew_date_compare(date, today) > 0) {
        char limit[THEW_DATE_TEXT];
        g_autofree char *right = g_strdup_printf("must not lie after today, %s", thew_date_text(today, limit));
        find(csv, column, NULL, right);
    } else {
        return date;
    }
    return unknown;
}

gint64 thew_cell_instant(const thew_csv *csv, int column)
{
    const gint64 first_us = -2208988800000000, last_us = 7258118400000000; // 1900-01-01, 2200-01-01
    gint64 us = 0;
    if (!is_to_be_read(csv, column, THEW_CELL_OPTIONAL)) return 0;
    if (thew_instant_us_parse(thew_csv_field(csv, column), &us) && us >= first_us && us < last_us) return us;
    find(csv, column, NULL, "must be a time written like 2026-03-31T17:05:00Z or 2026-03-31T19:05:00+02:00");
    return 0;
}

// ---------------------------------------------------------------------------------------------------------------- words and names

static void find_choice(const thew_csv *csv, int column, thew_cell_need need, const char *const *choices)
{
    g_autoptr(GString) right = g_string_new("must be ");
    for (int i = 0; choices[i] != NULL; i++) {
        bool is_last = choices[i + 1] == NULL && need == THEW_CELL_REQUIRED;
        g_string_append_printf(right, "%s%s", i == 0 ? "" : is_last ? " or " : ", ", choices[i]);
    }
    if (need == THEW_CELL_OPTIONAL) g_string_append(right, " or empty");
    const char *nearest = thew_nearest(thew_csv_field(csv, column), choices);
    if (nearest != NULL) g_string_append_printf(right, "; perhaps \"%s\" is meant", nearest);
    find(csv, column, NULL, right->str);
}

int thew_cell_choice(const thew_csv *csv, int column, thew_cell_need need, const char *const *choices)
{
    if (!is_to_be_read(csv, column, need)) return 0;
    for (int i = 0; choices[i] != NULL; i++)
        if (g_str_equal(choices[i], thew_csv_field(csv, column))) return i + 1;
    find_choice(csv, column, need, choices);
    return 0;
}

static bool is_ascii(const char *text)
{
    while (*text != '\0' && (guchar)*text < 0x80)
        text++;
    return *text == '\0';
}

static const char *keep_name(GStringChunk *names, const char *text)
{
    if (is_ascii(text)) return g_string_chunk_insert_const(names, text);
    g_autofree char *composed = g_utf8_normalize(text, -1, G_NORMALIZE_NFC);
    return g_string_chunk_insert_const(names, composed);
}

static bool is_plain_name(const char *text)
{
    gsize length = 0;
    while (g_ascii_isgraph(text[length]) && length < THEW_IDENTIFIER_LENGTH)
        length++;
    return text[length] == '\0';
}

// What is wrong with a name that is not empty, or NULL.
static const char *name_fault(const char *text)
{
    int length = 0;
    gunichar first = g_utf8_get_char(text), last = first;
    if (is_plain_name(text)) return NULL; // most are: no need to ask Unicode's tables
    for (; *text != '\0'; text = g_utf8_next_char(text), length++) {
        last = g_utf8_get_char(text);
        if (!g_unichar_isprint(last)) return "must be printable characters";
        if (length == THEW_IDENTIFIER_LENGTH) return "must be at most 64 characters long";
    }
    return g_unichar_isspace(first) || g_unichar_isspace(last) ? "must not begin or end with a space" : NULL;
}

const char *thew_cell_identifier(const thew_csv *csv, int column, thew_cell_need need, GStringChunk *names)
{
    if (!is_to_be_read(csv, column, need)) return NULL;
    const char *text = thew_csv_field(csv, column), *fault = name_fault(text);
    if (fault == NULL) return keep_name(names, text);
    find(csv, column, NULL, fault);
    return NULL;
}

const char **thew_cell_identifiers(const thew_csv *csv, int column, GStringChunk *names)
{
    g_auto(GStrv) part = g_strsplit(thew_csv_field(csv, column), " ", -1);
    const char **list = g_new0(const char *, g_strv_length(part) + 1);
    if (g_strv_length(part) > THEW_IDENTIFIERS_COUNT) {
        g_autofree char *right = g_strdup_printf("must be at most %d names", THEW_IDENTIFIERS_COUNT);
        find(csv, column, NULL, right);
        return list;
    }
    for (guint i = 0, count = 0; part[i] != NULL; i++) {
        if (part[i][0] == '\0') continue; // two spaces are as good as one
        const char *fault = name_fault(part[i]);
        const char *name = fault == NULL ? keep_name(names, part[i]) : NULL;
        if (name != NULL && g_strv_contains((const char *const *)list, name)) fault = "must name each only once";
        if (fault == NULL) list[count++] = name;
        if (fault != NULL) {
            g_autofree char *wrong = g_strdup_printf("\"%s\"", part[i]);
            find(csv, column, wrong, fault);
        }
    }
    return list;
}

const char *thew_cell_text(const thew_csv *csv, int column, int limit, GStringChunk *words)
{
    const char *text = thew_csv_field(csv, column);
    int length = 0;
    for (const char *at = text; *at != '\0'; at = g_utf8_next_char(at), length++) {
        gunichar character = g_utf8_get_char(at);
        if (length == limit) {
            g_autofree char *right = g_strdup_printf("must be at most %d characters long", limit);
            find(csv, column, NULL, right);
            return "";
        }
        if (character != '\n' && character != '\r' && g_unichar_iscntrl(character)) {
            find(csv, column, NULL, "must be text without control characters");
            return "";
        }
    }
    return length > 0 ? g_string_chunk_insert(words, text) : "";
}
