// shape.c: see shape.h.
#include "serve/shape.h"

#include <math.h>
#include <string.h>

#include "exchange/instant.h"
#include "exchange/nearest.h"

typedef struct {
    thew_shaped *shaped;
    thew_refusal *refusal;
    GString *pointer; // where we are
} reader;

static void fault(const reader *at, const char *format, ...) G_GNUC_PRINTF(2, 3);
static void fault(const reader *at, const char *format, ...)
{
    if (at->refusal->fault->len >= THEW_SHAPE_FAULTS_MAX) return;
    va_list arguments;
    va_start(arguments, format);
    g_autofree char *sentence = g_strdup_vprintf(format, arguments);
    va_end(arguments);
    thew_refusal_add(at->refusal, at->pointer->str, "%s", sentence);
}

static void *own(reader *at, size_t bytes)
{
    void *memory = g_malloc0(bytes ? bytes : 1);
    g_ptr_array_add(at->shaped->owned, memory);
    return memory;
}

// --- the way to a value (RFC 6901: ~ and / in names are written ~0 and ~1)

static gsize step_into(reader *at, const char *name)
{
    gsize before = at->pointer->len;
    g_string_append_c(at->pointer, '/');
    for (; *name; name++) {
        if (*name == '~')
            g_string_append(at->pointer, "~0");
        else if (*name == '/')
            g_string_append(at->pointer, "~1");
        else
            g_string_append_c(at->pointer, *name);
    }
    return before;
}

static gsize step_to(reader *at, size_t index)
{
    gsize before = at->pointer->len;
    g_string_append_printf(at->pointer, "/%zu", index);
    return before;
}

static void step_out(reader *at, gsize before)
{
    g_string_truncate(at->pointer, before);
}

// --- texts

static const char *kind_of(const json_t *value)
{
    switch (json_typeof(value)) {
    case JSON_OBJECT:
        return "an object";
    case JSON_ARRAY:
        return "an array";
    case JSON_STRING:
        return "a text";
    case JSON_INTEGER:
    case JSON_REAL:
        return "a number";
    case JSON_NULL:
        return "null";
    default:
        return "true or false";
    }
}

static bool is_in_one_line(const char *text)
{
    for (; *text; text++)
        if ((unsigned char)*text < ' ' || *text == 0x7f) return false;
    return true;
}

static bool has_no_control(const char *text)
{
    for (; *text; text++)
        if (((unsigned char)*text < ' ' && !strchr("\n\r\t", *text)) || *text == 0x7f) return false;
    return true;
}

// Whatever a studio's files call people and things, as long as it can stand in a line and in a path.
static bool is_name(const char *text)
{
    return is_in_one_line(text) && !strchr(text, '/') && *text != ' ' && !g_str_has_suffix(text, " ");
}

static bool is_blank(const char *text)
{
    for (; *text; text = g_utf8_next_char(text))
        if (!g_unichar_isspace(g_utf8_get_char(text))) return false;
    return true;
}

static const char *read_text(reader *at, const thew_shape_field *field, const json_t *value)
{
    if (!json_is_string(value)) {
        fault(at, "is %s; must be a text%s", kind_of(value), field->may_be_null ? ", or null" : "");
        return NULL;
    }
    const char *text = json_string_value(value);
    glong length = g_utf8_strlen(text, -1);
    if (length > (glong)field->high)
        fault(at, "has %ld characters; must have at most %ld", length, (glong)field->high);
    else if (field->low > 0 && is_blank(text))
        fault(at, "is empty; must say something%s", field->may_be_null ? ", or be null" : "");
    else if (field->kind == THEW_SHAPE_TEXT && !is_in_one_line(text))
        fault(at, "holds a line break or a control character; must be one line of text");
    else if (field->kind == THEW_SHAPE_LINES && !has_no_control(text))
        fault(at, "holds a control character; must be text");
    else if (field->kind == THEW_SHAPE_NAME && !is_name(text))
        fault(at, "is \"%.40s\"; must be an identifier: one line, no slash, no blank at either end", text);
    else
        return text;
    return NULL;
}

static char *words_in_a_row(const char *const *word)
{
    GString *row = g_string_new(NULL);
    for (guint i = 0; word[i]; i++)
        g_string_append_printf(row, "%s\"%s\"", i == 0 ? "" : word[i + 1] ? ", " : " or ", word[i]);
    return g_string_free(row, FALSE);
}

static const char *read_word(reader *at, const thew_shape_field *field, const json_t *value)
{
    g_autofree char *row = words_in_a_row(field->word);
    if (!json_is_string(value)) {
        fault(at, "is %s; must be %s%s", kind_of(value), row, field->may_be_null ? ", or null" : "");
        return NULL;
    }
    for (guint i = 0; field->word[i]; i++)
        if (strcmp(field->word[i], json_string_value(value)) == 0) return field->word[i];
    fault(at, "is \"%.40s\"; must be %s", json_string_value(value), row);
    return NULL;
}

// --- numbers, days, instants

static bool read_number(reader *at, const thew_shape_field *field, const json_t *value, double *number)
{
    if (!json_is_number(value)) {
        fault(at, "is %s; must be a number%s", kind_of(value), field->may_be_null ? ", or null" : "");
        return false;
    }
    *number = json_number_value(value);
    if (*number < field->low || *number > field->high) {
        fault(at, "is %.15g; must be from %.15g to %.15g", *number, field->low, field->high);
        return false;
    }
    return true;
}

static bool read_int(reader *at, const thew_shape_field *field, const json_t *value, int *out)
{
    double number;
    if (!read_number(at, field, value, &number)) return false;
    if (number != floor(number)) {
        fault(at, "is %.15g; must be a whole number", number);
        return false;
    }
    *out = (int)number;
    return true;
}

static void read_day(reader *at, const json_t *value, thew_date *out)
{
    thew_date date;
    if (!json_is_string(value))
        fault(at, "is %s; must be a day (\"2026-03-31\")", kind_of(value));
    else if (!thew_date_parse(json_string_value(value), &date))
        fault(at, "is \"%.40s\"; must be a day (\"2026-03-31\")", json_string_value(value));
    else if (!thew_date_exists(date))
        fault(at, "is \"%.40s\"; there is no such day", json_string_value(value));
    else
        *out = date;
}

static bool read_utc(const char *text, thew_utc *at)
{
    int64_t us;
    if (!thew_instant_us_parse(text, &us) || us <= 0) return false; // 0 is none, and nothing here is older than 1970
    at->us = us;
    return true;
}

static void read_instant(reader *at, const json_t *value, thew_utc *out)
{
    if (!json_is_string(value))
        fault(at, "is %s; must be an instant from 1970 on (\"2026-03-31T09:30:00Z\")", kind_of(value));
    else if (!read_utc(json_string_value(value), out))
        fault(at, "is \"%.40s\"; must be an instant from 1970 on (\"2026-03-31T09:30:00Z\")", json_string_value(value));
}

// --- arrays, objects

static bool read_array(const reader *at, const thew_shape_field *field, const json_t *value, double most)
{
    if (!json_is_array(value)) {
        fault(at, "is %s; must be an array", kind_of(value));
        return false;
    }
    size_t count = json_array_size(value);
    double least = field->kind == THEW_SHAPE_LIST ? field->low : 0;
    if ((double)count < least || (double)count > most) {
        fault(at, "has %zu elements; must have from %.0f to %.0f", count, least, most);
        return false;
    }
    return true;
}

static void read_texts(reader *at, const thew_shape_field *field, const json_t *value, thew_shape_list *list)
{
    if (!read_array(at, field, value, field->high)) return;
    size_t count = json_array_size(value);
    const char **item = own(at, (count + 1) * sizeof(char *));
    thew_shape_field element = { .kind = THEW_SHAPE_NAME, .low = 1, .high = THEW_SHAPE_NAME_MAX, .word = field->word };
    for (size_t i = 0; i < count; i++) {
        gsize before = step_to(at, i);
        const json_t *one = json_array_get(value, i);
        item[i] = field->kind == THEW_SHAPE_WORDS ? read_word(at, &element, one) : read_text(at, &element, one);
        step_out(at, before);
    }
    *list = (thew_shape_list){ item, (guint)count };
}

static void read_ints(reader *at, const thew_shape_field *field, const json_t *value, thew_shape_list *list)
{
    if (!read_array(at, field, value, THEW_SHAPE_INTS_MAX)) return;
    size_t count = json_array_size(value);
    int *item = own(at, count * sizeof *item);
    for (size_t i = 0; i < count; i++) {
        gsize before = step_to(at, i);
        read_int(at, field, json_array_get(value, i), &item[i]);
        step_out(at, before);
    }
    *list = (thew_shape_list){ item, (guint)count };
}

static void read_pairs(reader *at, const thew_shape_field *field, const json_t *value, const char **out)
{
    if (!json_is_object(value)) {
        fault(at, "is %s; must be an object of texts, or null", kind_of(value));
        return;
    }
    if ((double)json_object_size(value) > field->high)
        fault(at, "has %zu members; must have at most %.0f", json_object_size(value), field->high);
    thew_shape_field element = { .kind = THEW_SHAPE_TEXT, .high = 200 };
    const char *key;
    json_t *one;
    json_object_foreach((json_t *)value, key, one)
    {
        gsize before = step_into(at, key);
        if (!is_name(key) || !*key || strlen(key) > THEW_SHAPE_NAME_MAX) fault(at, "must be named by an identifier");
        read_text(at, &element, one);
        step_out(at, before);
    }
    char *text = json_dumps(value, JSON_COMPACT | JSON_SORT_KEYS);
    g_ptr_array_add(at->shaped->owned, g_strdup(text));
    free(text);
    *out = at->shaped->owned->pdata[at->shaped->owned->len - 1];
}

static void read_object(reader *at, const thew_shape *shape, const json_t *value, char *row);

static void read_list(reader *at, const thew_shape_field *field, const json_t *value, thew_shape_list *list)
{
    if (!read_array(at, field, value, field->high)) return;
    size_t count = json_array_size(value);
    char *item = own(at, count * field->of->size);
    for (size_t i = 0; i < count; i++) {
        gsize before = step_to(at, i);
        read_object(at, field->of, json_array_get(value, i), item + i * field->of->size);
        step_out(at, before);
    }
    *list = (thew_shape_list){ item, (guint)count };
}

static void read_real(reader *at, const thew_shape_field *field, const json_t *value, void *out)
{
    double number;
    if (!read_number(at, field, value, &number)) return;
    if (field->is_maybe)
        *(thew_maybe_real *)out = (thew_maybe_real){ true, number };
    else
        *(double *)out = number;
}

static void read_flag(const reader *at, const json_t *value, bool *out)
{
    if (json_is_boolean(value))
        *out = json_is_true(value);
    else
        fault(at, "is %s; must be true or false", kind_of(value));
}

static void read_value(reader *at, const thew_shape_field *field, const json_t *value, void *out)
{
    if (json_is_null(value) && field->may_be_null) return;
    switch (field->kind) {
    case THEW_SHAPE_TEXT:
    case THEW_SHAPE_LINES:
    case THEW_SHAPE_NAME:
        *(const char **)out = read_text(at, field, value);
        break;
    case THEW_SHAPE_WORD:
        *(const char **)out = read_word(at, field, value);
        break;
    case THEW_SHAPE_REAL:
        read_real(at, field, value, out);
        break;
    case THEW_SHAPE_INT:
        read_int(at, field, value, out);
        break;
    case THEW_SHAPE_FLAG:
        read_flag(at, value, out);
        break;
    case THEW_SHAPE_DAY:
        read_day(at, value, out);
        break;
    case THEW_SHAPE_INSTANT:
        read_instant(at, value, out);
        break;
    case THEW_SHAPE_NAMES:
    case THEW_SHAPE_WORDS:
        read_texts(at, field, value, out);
        break;
    case THEW_SHAPE_INTS:
        read_ints(at, field, value, out);
        break;
    case THEW_SHAPE_PAIRS:
        read_pairs(at, field, value, out);
        break;
    case THEW_SHAPE_OBJECT:
        read_object(at, field->of, value, out);
        break;
    case THEW_SHAPE_LIST:
        read_list(at, field, value, out);
        break;
    }
}

static const thew_shape_field *find_field(const thew_shape *shape, const char *name)
{
    for (size_t i = 0; i < shape->count; i++)
        if (strcmp(shape->field[i].name, name) == 0) return &shape->field[i];
    return NULL;
}

static void refuse_unknown(reader *at, const thew_shape *shape, const json_t *value)
{
    const char *key;
    json_t *one;
    json_object_foreach((json_t *)value, key, one)
    {
        if (find_field(shape, key)) continue;
        g_autoptr(GPtrArray) names = g_ptr_array_new();
        for (size_t i = 0; i < shape->count; i++)
            g_ptr_array_add(names, (gpointer)shape->field[i].name);
        g_ptr_array_add(names, NULL);
        gsize before = step_into(at, key);
        const char *nearest = thew_nearest(key, (const char *const *)names->pdata);
        if (nearest)
            fault(at, "is not known here; \"%s\" is", nearest);
        else
            fault(at, "is not known here");
        step_out(at, before);
    }
}

static void read_object(reader *at, const thew_shape *shape, const json_t *value, char *row)
{
    if (!json_is_object(value)) {
        fault(at, "is %s; must be an object", kind_of(value));
        return;
    }
    refuse_unknown(at, shape, value);
    for (size_t i = 0; i < shape->count; i++) {
        const thew_shape_field *field = &shape->field[i];
        const json_t *member = json_object_get(value, field->name);
        gsize before = step_into(at, field->name);
        if (member)
            read_value(at, field, member, row + field->offset);
        else
            fault(at, "is missing%s", field->may_be_null ? "; what is unknown is null" : "");
        step_out(at, before);
    }
}

bool thew_shape_read(const thew_shape *shape, const char *bytes, size_t size, thew_shaped *shaped, thew_refusal *refusal)
{
    *shaped = (thew_shaped){ .owned = g_ptr_array_new_with_free_func(g_free) };
    reader at = { shaped, refusal, g_string_new(NULL) };
    shaped->row = own(&at, shape->size);
    json_error_t error;
    shaped->document = json_loadb(bytes ? bytes : "", size, JSON_REJECT_DUPLICATES, &error);
    if (shaped->document)
        read_object(&at, shape, shaped->document, shaped->row);
    else
        fault(&at, "the body is no JSON: line %d, column %d: %s", error.line, error.column, error.text);
    g_string_free(at.pointer, TRUE);
    return refusal->fault->len == 0;
}

void thew_shaped_clear(thew_shaped *shaped)
{
    g_clear_pointer(&shaped->document, json_decref);
    g_clear_pointer(&shaped->owned, g_ptr_array_unref);
    shaped->row = NULL;
}

// --- writing

static json_t *text_or_null(const char *text)
{
    return text ? json_string(text) : json_null();
}

static json_t *real_or_null(double number)
{
    return isfinite(number) ? json_real(number) : json_null();
}

static json_t *write_list(const thew_shape_field *field, const thew_shape_list *list)
{
    json_t *array = json_array();
    for (guint i = 0; i < list->count; i++) {
        if (field->kind == THEW_SHAPE_LIST)
            json_array_append_new(array, thew_shape_write(field->of, (const char *)list->item + i * field->of->size));
        else if (field->kind == THEW_SHAPE_INTS)
            json_array_append_new(array, json_integer(*thew_shape_item(*list, int, i)));
        else
            json_array_append_new(array, json_string(*thew_shape_item(*list, char *, i)));
    }
    return array;
}

static json_t *write_day(thew_date date)
{
    char text[THEW_DATE_TEXT];
    return date.year ? json_string(thew_date_text(date, text)) : json_null();
}

static json_t *write_instant(thew_utc at)
{
    char text[THEW_INSTANT_TEXT];
    return at.us ? json_string(thew_instant_us_text(at.us, text)) : json_null();
}

static json_t *write_real(const thew_shape_field *field, const void *from)
{
    if (!field->is_maybe) return real_or_null(*(const double *)from);
    const thew_maybe_real *maybe = from;
    return maybe->known ? real_or_null(maybe->value) : json_null();
}

static json_t *write_value(const thew_shape_field *field, const void *from)
{
    switch (field->kind) {
    case THEW_SHAPE_TEXT:
    case THEW_SHAPE_LINES:
    case THEW_SHAPE_NAME:
    case THEW_SHAPE_WORD:
        return text_or_null(*(const char *const *)from);
    case THEW_SHAPE_REAL:
        return write_real(field, from);
    case THEW_SHAPE_INT: {
        int number = *(const int *)from;
        return number == 0 && field->may_be_null ? json_null() : json_integer(number);
    }
    case THEW_SHAPE_FLAG:
        return json_boolean(*(const bool *)from);
    case THEW_SHAPE_DAY:
        return write_day(*(const thew_date *)from);
    case THEW_SHAPE_INSTANT:
        return write_instant(*(const thew_utc *)from);
    case THEW_SHAPE_PAIRS: {
        const char *text = *(const char *const *)from;
        json_t *pairs = text ? json_loads(text, 0, NULL) : NULL;
        return pairs ? pairs : json_null();
    }
    case THEW_SHAPE_OBJECT:
        return thew_shape_write(field->of, from);
    case THEW_SHAPE_NAMES:
    case THEW_SHAPE_WORDS:
    case THEW_SHAPE_INTS:
    case THEW_SHAPE_LIST:
        return write_list(field, from);
    }
    return json_null();
}

json_t *thew_shape_write(const thew_shape *shape, const void *row)
{
    json_t *object = json_object();
    for (size_t i = 0; i < shape->count; i++)
        json_object_set_new(object, shape->field[i].name,
                            write_value(&shape->field[i], (const char *)row + shape->field[i].offset));
    return object;
}

// --- itself, as JSON Schema

static json_t *schema_of_field(const thew_shape_field *field);

static json_t *schema_of_words(const char *const *word, bool may_be_null)
{
    json_t *list = json_array();
    for (guint i = 0; word[i]; i++)
        json_array_append_new(list, json_string(word[i]));
    if (may_be_null) json_array_append_new(list, json_null());
    return json_pack("{s:o}", "enum", list);
}

static json_t *schema_of_text(const thew_shape_field *field)
{
    json_t *schema = json_pack("{s:s, s:i}", "type", "string", "maxLength", (int)field->high);
    if (field->low > 0) json_object_set_new(schema, "minLength", json_integer((json_int_t)field->low));
    return schema;
}

static json_t *schema_of_number(const char *type, double low, double high)
{
    return json_pack("{s:s, s:f, s:f}", "type", type, "minimum", low, "maximum", high);
}

static json_t *schema_of_array(const thew_shape_field *field, json_t *items, double least, double most)
{
    (void)field;
    return json_pack("{s:s, s:o, s:i, s:i}", "type", "array", "items", items, "minItems", (int)least, "maxItems", (int)most);
}

static json_t *schema_of_value(const thew_shape_field *field)
{
    const thew_shape_field name = { .kind = THEW_SHAPE_NAME, .low = 1, .high = THEW_SHAPE_NAME_MAX };
    switch (field->kind) {
    case THEW_SHAPE_TEXT:
    case THEW_SHAPE_LINES:
    case THEW_SHAPE_NAME:
        return schema_of_text(field);
    case THEW_SHAPE_WORD:
        return schema_of_words(field->word, false);
    case THEW_SHAPE_REAL:
        return schema_of_number("number", field->low, field->high);
    case THEW_SHAPE_INT:
        return schema_of_number("integer", field->low, field->high);
    case THEW_SHAPE_FLAG:
        return json_pack("{s:s}", "type", "boolean");
    case THEW_SHAPE_DAY:
        return json_pack("{s:s, s:s}", "type", "string", "format", "date");
    case THEW_SHAPE_INSTANT:
        return json_pack("{s:s, s:s}", "type", "string", "format", "date-time");
    case THEW_SHAPE_NAMES:
        return schema_of_array(field, schema_of_text(&name), 0, field->high);
    case THEW_SHAPE_WORDS:
        return schema_of_array(field, schema_of_words(field->word, false), 0, field->high);
    case THEW_SHAPE_INTS:
        return schema_of_array(field, schema_of_number("integer", field->low, field->high), 0, THEW_SHAPE_INTS_MAX);
    case THEW_SHAPE_PAIRS:
        return json_pack("{s:s, s:i, s:{s:s, s:i}}", "type", "object", "maxProperties", (int)field->high, "additionalProperties",
                         "type", "string", "maxLength", 200);
    case THEW_SHAPE_OBJECT:
        return thew_shape_schema(field->of);
    case THEW_SHAPE_LIST:
        return schema_of_array(field, thew_shape_schema(field->of), field->low, field->high);
    }
    return json_true();
}

static json_t *schema_of_field(const thew_shape_field *field)
{
    if (!field->may_be_null) return schema_of_value(field);
    if (field->kind == THEW_SHAPE_WORD) return schema_of_words(field->word, true);
    return json_pack("{s:[o, {s:s}]}", "anyOf", schema_of_value(field), "type", "null");
}

json_t *thew_shape_schema(const thew_shape *shape)
{
    json_t *properties = json_object(), *required = json_array();
    for (size_t i = 0; i < shape->count; i++) {
        json_object_set_new(properties, shape->field[i].name, schema_of_field(&shape->field[i]));
        json_array_append_new(required, json_string(shape->field[i].name));
    }
    return json_pack("{s:s, s:o, s:o, s:b}", "type", "object", "properties", properties, "required", required,
                     "additionalProperties", 0);
}
