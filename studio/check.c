// check.c: see check.h.
#include "studio/check.h"

#include <math.h>
#include <string.h>

static bool is_wrong(thew_refusal *refusal, const char *pointer, const char *sentence)
{
    thew_refusal_add(refusal, pointer, "%s", sentence);
    return false;
}

// A character that cannot be shown, or that turns the order of others around (a name must not hide in another).
static bool is_hidden(gunichar c, bool may_have_lines)
{
    if (c == '\n') return !may_have_lines;
    GUnicodeType type = g_unichar_type(c);
    return type == G_UNICODE_CONTROL || type == G_UNICODE_SURROGATE || type == G_UNICODE_UNASSIGNED ||
           (c >= 0x202A && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069);
}

bool thew_check_text(thew_refusal *refusal, const char *pointer, const char *text, glong least, glong most)
{
    if (!text) text = "";
    if (!g_utf8_validate(text, -1, NULL)) return is_wrong(refusal, pointer, "this is no text in UTF-8");
    glong length = g_utf8_strlen(text, -1);
    if (length < least) return is_wrong(refusal, pointer, least == 1 ? "this must not be empty" : "this is too short");
    if (length > most) {
        thew_refusal_add(refusal, pointer, "this has %ld characters; at most %ld would be right", length, most);
        return false;
    }
    for (const char *at = text; *at; at = g_utf8_next_char(at))
        if (is_hidden(g_utf8_get_char(at), most >= THEW_NOTE_MAX))
            return is_wrong(refusal, pointer, "this holds a character that cannot be shown; type it anew");
    if (length > 0 &&
        (g_unichar_isspace(g_utf8_get_char(text)) || g_unichar_isspace(g_utf8_get_char(g_utf8_prev_char(text + strlen(text))))))
        return is_wrong(refusal, pointer, "this begins or ends with a blank; leave it out");
    return true;
}

bool thew_check_identifier(thew_refusal *refusal, const char *pointer, const char *identifier)
{
    size_t length = identifier ? strlen(identifier) : 0;
    bool right = length >= 1 && length <= THEW_IDENTIFIER_MAX;
    for (size_t i = 0; right && i < length; i++)
        right = g_ascii_isalnum(identifier[i]) || strchr("._-", identifier[i]);
    return right || is_wrong(refusal, pointer, "an identifier is 1 to 64 letters, digits, dots, hyphens and underscores");
}

bool thew_check_word(thew_refusal *refusal, const char *pointer, const char *word, const char *const *list, bool may_be_null)
{
    if (!word ? may_be_null : g_strv_contains(list, word)) return true;
    g_autofree char *words = g_strjoinv(", ", (char **)list);
    thew_refusal_add(refusal, pointer, "this must be one of: %s%s", words, may_be_null ? "; or nothing" : "");
    return false;
}

bool thew_check_number(thew_refusal *refusal, const char *pointer, double value, double low, double high, const char *unit)
{
    if (isfinite(value) && value >= low && value <= high) return true;
    thew_refusal_add(refusal, pointer, "this must be from %g to %g%s%s", low, high, *unit ? " " : "", unit);
    return false;
}

bool thew_check_maybe(thew_refusal *refusal, const char *pointer, thew_maybe_real value, double low, double high, const char *unit)
{
    return !value.known || thew_check_number(refusal, pointer, value.value, low, high, unit);
}

bool thew_check_day(thew_refusal *refusal, const char *pointer, thew_date day, bool may_be_null)
{
    if (day.year == 0 && day.month == 0 && day.day == 0)
        return may_be_null || is_wrong(refusal, pointer, "a day is missing; 2026-03-31 would be one");
    if (thew_date_exists(day) && day.year >= 1900 && day.year <= 2200) return true;
    return is_wrong(refusal, pointer, "there is no such day between 1900 and 2200; 2026-03-31 would be one");
}
