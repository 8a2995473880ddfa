// field.c: see field.h.
#include "cli/field.h"

#include <glib.h>
#include <math.h>
#include <stdarg.h>
#include <string.h>

#include "exchange/date.h"

#define ID_CHARACTERS_MAX 64
#define UTF8_BYTES_MAX 4

void thew_fields_fault(thew_fields *fields, const char *key, const json_t *got, const char *format, ...)
{
    if (fields->what[0])
        return;
    glong room = (glong)(sizeof fields->at - strlen(fields->name)) / UTF8_BYTES_MAX - 1;
    g_autofree char *shown = g_utf8_strlen(key, -1) > room ? g_utf8_substring(key, 0, room) : g_strdup(key);
    g_snprintf(fields->at, sizeof fields->at, "%s%s%s", fields->name, *key ? "." : "", shown);
    va_list arguments;
    va_start(arguments, format);
    g_vsnprintf(fields->what, sizeof fields->what, format, arguments);
    va_end(arguments);
    fields->got = got;
}

bool thew_fields_failed(const thew_fields *fields) { return fields->what[0] != 0; }

thew_fields thew_fields_of(const char *name, const json_t *value)
{
    thew_fields fields = { .object = value, .name = name };
    if (!json_is_object(value))
        thew_fields_fault(&fields, "", value, "must be an object");
    return fields;
}

static bool is_known(const thew_fields *fields, const char *key)
{
    for (int k = 0; k < fields->known_count; k++)
        if (strcmp(fields->known[k], key) == 0)
            return true;
    return false;
}

bool thew_fields_end(thew_fields *fields)
{
    const char *key;
    json_t *value;
    json_object_foreach((json_t *)fields->object, key, value)
    {
        if (is_known(fields, key))
            continue;
        if (fields->is_missing) // a mistyped key is why another seems to be missing
            fields->what[0] = 0;
        fields->is_missing = false;
        g_autofree char *known = g_strjoinv(", ", (char **)fields->known);
        thew_fields_fault(fields, key, value, "is not known here; the keys are %s", known);
    }
    return !thew_fields_failed(fields);
}

// The value at a key; a fault if it is required and missing.
static const json_t *value_at(thew_fields *fields, const char *key, bool required)
{
    g_assert(fields->known_count < THEW_FIELD_KEYS_MAX - 1);
    fields->known[fields->known_count++] = key;
    if (thew_fields_failed(fields))
        return NULL;
    const json_t *value = json_object_get(fields->object, key);
    if (!value && required) {
        thew_fields_fault(fields, key, NULL, "is required");
        fields->is_missing = true;
    }
    return value;
}

const char *thew_fields_id(thew_fields *fields, const char *key, bool required)
{
    const json_t *value = value_at(fields, key, required);
    if (!value)
        return NULL;
    const char *text = json_string_value(value);
    glong length = text ? g_utf8_strlen(text, -1) : 0;
    if (length >= 1 && length <= ID_CHARACTERS_MAX)
        return text;
    thew_fields_fault(fields, key, value, "must be text of 1 to %d characters", ID_CHARACTERS_MAX);
    return NULL;
}

double thew_fields_number(thew_fields *fields, const char *key, bool required, const char *what, double low, double high, double fallback)
{
    const json_t *value = value_at(fields, key, required);
    if (!value)
        return fallback;
    double number = json_is_number(value) ? json_number_value(value) : NAN;
    if (number >= low && number <= high)
        return number;
    thew_fields_fault(fields, key, value, "must be %s from %g to %g", what, low, high);
    return fallback;
}

int thew_fields_choice(thew_fields *fields, const char *key, bool required, const char *const *words, int fallback)
{
    const json_t *value = value_at(fields, key, required);
    if (!value)
        return fallback;
    for (int w = 0; words[w]; w++)
        if (json_is_string(value) && strcmp(words[w], json_string_value(value)) == 0)
            return w;
    g_autofree char *all = g_strjoinv(", ", (char **)words);
    thew_fields_fault(fields, key, value, "must be one of %s", all);
    return fallback;
}

thew_day thew_fields_day(thew_fields *fields, const char *key)
{
    const json_t *value = value_at(fields, key, true);
    if (!value)
        return THEW_NO_DAY;
    thew_date date;
    const char *text = json_string_value(value);
    if (text && thew_date_parse(text, &date) && thew_date_exists(date))
        return thew_date_number(date);
    thew_fields_fault(fields, key, value, "must be a day that exists, as YYYY-MM-DD");
    return THEW_NO_DAY;
}

bool thew_fields_numbers(thew_fields *fields, const char *key, const char *what, double low, double high, int count, double *out)
{
    const json_t *value = value_at(fields, key, false);
    if (!value)
        return false;
    bool right = json_is_array(value) && (int)json_array_size(value) == count;
    for (int i = 0; right && i < count; i++) {
        const json_t *item = json_array_get(value, (size_t)i);
        double number = json_is_number(item) ? json_number_value(item) : NAN;
        right = number >= low && number <= high;
        out[i] = number;
    }
    if (!right)
        thew_fields_fault(fields, key, value, "must be an array of %d numbers%s from %g to %g", count, what, low, high);
    return right;
}

const json_t *thew_fields_array(thew_fields *fields, const char *key, bool required)
{
    const json_t *value = value_at(fields, key, required);
    if (!value || json_is_array(value))
        return value;
    thew_fields_fault(fields, key, value, "must be an array");
    return NULL;
}
