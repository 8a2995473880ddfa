// json.c: strict reading of JSON. See json.h.
#include "json.h"

#include <math.h>
#include <string.h>

enum { TEXT_BYTES_MAX = 400, ID_BYTES_MAX = 60, SHOWN_CHARS_MAX = 60 };

json_t *thew_json_parse(thew_json_file *file, const char *bytes, size_t size)
{
    json_error_t error;
    json_t *root = json_loadb(bytes, size, JSON_REJECT_DUPLICATES, &error);
    if (root == NULL) {
        g_autofree char *text = g_strdelimit(g_strdup(error.text), "\n\r", ' ');
        thew_json at = thew_json_top(file, NULL);
        thew_json_fault(&at, "must be one JSON object with every key once", "line %d, column %d: %s", error.line, error.column,
                        text);
    }
    return root;
}

thew_json thew_json_top(thew_json_file *file, const json_t *root)
{
    return (thew_json){ .file = file, .value = root };
}

thew_json thew_json_key(const thew_json *object, const char *key)
{
    return (thew_json){ .file = object->file, .up = object, .key = key, .value = json_object_get(object->value, key) };
}

thew_json thew_json_item(const thew_json *array, size_t index)
{
    return (thew_json){ .file = array->file, .up = array, .index = index, .value = json_array_get(array->value, index) };
}

static void append_place(GString *place, const thew_json *at)
{
    if (at->up == NULL) return;
    append_place(place, at->up);
    if (at->key == NULL)
        g_string_append_printf(place, "[%zu]", at->index);
    else
        g_string_append_printf(place, place->len > 0 ? ".%s" : "%s", at->key);
}

char *thew_json_place(const thew_json *at)
{
    GString *place = g_string_new(NULL);
    append_place(place, at);
    if (place->len == 0) g_string_append(place, "top level");
    return g_string_free(place, FALSE);
}

void thew_json_fault(const thew_json *at, const char *right, const char *what, ...)
{
    va_list arguments;
    va_start(arguments, what);
    g_autofree char *wrong = g_strdup_vprintf(what, arguments);
    va_end(arguments);
    g_autofree char *place = thew_json_place(at);
    g_autofree char *sentence = g_strdup_printf("%s: %s: %s; %s", at->file->name, place, wrong, right);
    at->file->faults++;
    // What variants inherit is read once for each of them.
    if (!g_ptr_array_find_with_equal_func(at->file->fault, sentence, g_str_equal, NULL))
        g_ptr_array_add(at->file->fault, g_steal_pointer(&sentence));
}

// A foreign text as part of a sentence: short, and in one line.
static char *shown(const char *text)
{
    g_autofree char *start = g_utf8_substring(text, 0, MIN(g_utf8_strlen(text, -1), SHOWN_CHARS_MAX));
    GString *quoted = g_string_new("\"");
    for (const char *c = start; *c != '\0'; c++)
        g_string_append_c(quoted, g_ascii_iscntrl(*c) ? '?' : *c);
    return g_string_free(g_string_append_c(quoted, '"'), FALSE);
}

// A number as JSON writes it, whatever the locale.
static char *number(double value)
{
    char text[G_ASCII_DTOSTR_BUF_SIZE];
    return g_strdup(g_ascii_formatd(text, sizeof text, "%g", value));
}

// What is there instead of what should be, in a few words.
static char *describe(const json_t *value)
{
    if (value == NULL) return g_strdup("is missing");
    switch (json_typeof(value)) {
    case JSON_OBJECT:
        return g_strdup("is an object");
    case JSON_ARRAY:
        return g_strdup_printf("is an array of %zu", json_array_size(value));
    case JSON_STRING: {
        g_autofree char *text = shown(json_string_value(value));
        return g_strconcat("is ", text, NULL);
    }
    case JSON_INTEGER:
        return g_strdup_printf("is %" JSON_INTEGER_FORMAT, json_integer_value(value));
    case JSON_REAL: {
        g_autofree char *text = number(json_real_value(value));
        return g_strconcat("is ", text, NULL);
    }
    case JSON_TRUE:
        return g_strdup("is true");
    case JSON_FALSE:
        return g_strdup("is false");
    default:
        return g_strdup("is null");
    }
}

static void refuse(const thew_json *at, const char *right)
{
    g_autofree char *what = describe(at->value);
    thew_json_fault(at, right, "%s", what);
}

bool thew_json_object(const thew_json *at, const char *const *known_key)
{
    if (!json_is_object(at->value)) {
        refuse(at, "must be an object { ... }");
        return false;
    }
    bool known_only = true;
    for (void *i = json_object_iter((json_t *)at->value); i != NULL; i = json_object_iter_next((json_t *)at->value, i)) {
        const char *key = json_object_iter_key(i);
        if (g_strv_contains(known_key, key)) continue;
        g_autofree char *all = g_strjoinv(", ", (char **)known_key);
        g_autofree char *right = g_strdup_printf("the keys here are: %s", all);
        g_autofree char *unknown = shown(key);
        thew_json_fault(at, right, "unknown key %s", unknown);
        known_only = false;
    }
    return known_only;
}

size_t thew_json_array(const thew_json *at, size_t least, size_t most)
{
    size_t size = json_array_size(at->value);
    if (json_is_array(at->value) && size >= least && size <= most) return size;
    g_autofree char *right = least == most ? g_strdup_printf("must be an array [ ... ] of %zu", least)
                                           : g_strdup_printf("must be an array [ ... ] of %zu to %zu", least, most);
    refuse(at, right);
    return 0;
}

bool thew_json_real(thew_json at, double low, double high, double *out)
{
    double value = json_is_number(at.value) ? json_number_value(at.value) : NAN;
    if (value >= low && value <= high) {
        *out = value;
        return true;
    }
    g_autofree char *least = number(low), *most = number(high);
    g_autofree char *right = g_strdup_printf("must be a number from %s to %s", least, most);
    refuse(&at, right);
    return false;
}

bool thew_json_integer(thew_json at, int low, int high, int *out)
{
    json_int_t value = json_is_integer(at.value) ? json_integer_value(at.value) : (json_int_t)low - 1;
    if (value >= low && value <= high) {
        *out = (int)value;
        return true;
    }
    g_autofree char *right = g_strdup_printf("must be a whole number from %d to %d", low, high);
    refuse(&at, right);
    return false;
}

bool thew_json_flag(thew_json at, bool *out)
{
    if (json_is_boolean(at.value)) {
        *out = json_is_true(at.value);
        return true;
    }
    refuse(&at, "must be true or false");
    return false;
}

int thew_json_choice(thew_json at, const char *const *word)
{
    for (int i = 0; json_is_string(at.value) && word[i] != NULL; i++)
        if (strcmp(json_string_value(at.value), word[i]) == 0) return i;
    g_autofree char *all = g_strjoinv(", ", (char **)word);
    g_autofree char *right = g_strdup_printf("must be one of: %s", all);
    refuse(&at, right);
    return -1;
}

static bool is_plain_text(const char *text, size_t size)
{
    if (size == 0 || size > TEXT_BYTES_MAX || g_ascii_isspace(text[0]) || g_ascii_isspace(text[size - 1])) return false;
    for (size_t i = 0; i < size; i++)
        if (g_ascii_iscntrl(text[i])) return false;
    return true;
}

const char *thew_json_text(thew_json at)
{
    if (json_is_string(at.value) && is_plain_text(json_string_value(at.value), json_string_length(at.value)))
        return json_string_value(at.value);
    refuse(&at, "must be a text of 1 to 400 bytes in one line, with no blank at either end");
    return NULL;
}

static bool is_id(const char *id)
{
    size_t size = strlen(id);
    if (size < 2 || size > ID_BYTES_MAX || !g_ascii_islower(id[0]) || id[size - 1] == '-' || strstr(id, "--") != NULL) return false;
    for (size_t i = 0; i < size; i++)
        if (!g_ascii_islower(id[i]) && !g_ascii_isdigit(id[i]) && id[i] != '-') return false;
    return true;
}

const char *thew_json_id(thew_json at)
{
    if (json_is_string(at.value) && is_id(json_string_value(at.value))) return json_string_value(at.value);
    refuse(&at, "must be an identifier of 2 to 60 lower-case letters, digits and single hyphens, such as \"seated-curl\"");
    return NULL;
}

const char **thew_json_texts(thew_json at, size_t least, size_t most, const char *(*read)(thew_json), size_t *count)
{
    *count = thew_json_array(&at, least, most);
    const char **text = g_new0(const char *, *count + 1);
    for (size_t i = 0; i < *count; i++) {
        text[i] = read(thew_json_item(&at, i));
        for (size_t j = 0; j < i; j++)
            if (text[i] != NULL && g_strcmp0(text[i], text[j]) == 0) {
                thew_json item = thew_json_item(&at, i);
                thew_json_fault(&item, "each may stand once", "\"%s\" stands twice", text[i]);
            }
    }
    return text;
}
