// csv_write.c: quoting and templates (see csv_write.h).
#include "exchange/csv_write.h"

#include <math.h>
#include <string.h>

#include "exchange/instant.h"

// Beside what the RFC asks for: a # that must not be taken for a comment, spaces at the ends that a reader might strip.
static bool needs_quotes(const char *text)
{
    gsize length = strlen(text);
    if (length == 0) return false;
    return strpbrk(text, ",\"\r\n") != NULL || text[0] == '#' || text[0] == ' ' || text[length - 1] == ' ';
}

void thew_csv_write_field(GString *out, const char *text)
{
    if (!needs_quotes(text)) {
        g_string_append(out, text);
        return;
    }
    g_string_append_c(out, '"');
    for (const char *quote; (quote = strchr(text, '"')) != NULL; text = quote + 1) {
        g_string_append_len(out, text, quote + 1 - text);
        g_string_append_c(out, '"');
    }
    g_string_append(out, text);
    g_string_append_c(out, '"');
}

void thew_csv_write_row(GString *out, const char *const *field, int count)
{
    if (count == 1 && field[0][0] == '\0') g_string_append(out, "\"\""); // an empty line could be taken for no row at all
    for (int i = 0; i < count; i++) {
        if (i > 0) g_string_append_c(out, ',');
        thew_csv_write_field(out, field[i]);
    }
    g_string_append(out, "\r\n");
}

char *thew_csv_number_text(double value, char *text)
{
    g_assert(isfinite(value));
    for (int digits = 15; digits <= 17; digits++) { // 15 always survive in a double, 17 always tell it from its neighbours
        char format[8];
        g_snprintf(format, sizeof format, "%%.%dg", digits);
        g_ascii_formatd(text, G_ASCII_DTOSTR_BUF_SIZE, format, value);
        if (g_ascii_strtod(text, NULL) == value) break;
    }
    return text;
}

char *thew_csv_number(thew_maybe number)
{
    char text[G_ASCII_DTOSTR_BUF_SIZE];
    return number.known ? g_strdup(thew_csv_number_text(number.value, text)) : NULL;
}

char *thew_csv_day(thew_date day)
{
    char text[THEW_DATE_TEXT];
    return day.year > 0 ? g_strdup(thew_date_text(day, text)) : NULL;
}

char *thew_csv_instant(gint64 us)
{
    char text[THEW_INSTANT_TEXT];
    return us != 0 ? g_strdup(thew_instant_us_text(us, text)) : NULL;
}

void thew_csv_write_owned(GString *out, char **field, int count)
{
    for (int f = 0; f < count; f++)
        if (field[f] == NULL) field[f] = g_strdup("");
    thew_csv_write_row(out, (const char *const *)field, count);
    for (int f = 0; f < count; f++)
        g_clear_pointer(&field[f], g_free);
}

void thew_csv_write_header(GString *out, const thew_csv_column *column, int column_count)
{
    for (int i = 0; i < column_count; i++)
        g_string_append_printf(out, "%s%s", i > 0 ? "," : "", column[i].name);
    g_string_append(out, "\r\n");
}

void thew_csv_write_template(GString *out, const char *purpose, const thew_csv_column *column, const char *const *example,
                             int column_count)
{
    g_string_append_printf(out, "# %s\r\n#\r\n", purpose);
    for (int i = 0; i < column_count; i++)
        g_string_append_printf(out, "# %s: %s%s\r\n", column[i].name, column[i].meaning, column[i].required ? " (needed)" : "");
    g_string_append(out, "#\r\n# An example. Nobody real: it is invented.\r\n# ");
    thew_csv_write_row(out, example, column_count);
    thew_csv_write_header(out, column, column_count);
}
