// JSON bodies against shapes: what is read, which faults are found where, what comes back, what a shape says of itself.
// Invented shapes and values.
#include <string.h>

#include "serve/shape.h"
#include "tests/exchange/expect.h"

typedef struct {
    const char *colour;
    int count;
} part;

typedef struct {
    const char *text, *lines, *name, *word, *pairs;
    double real;
    thew_maybe_real maybe;
    int number, years;
    bool flag;
    thew_date day, until;
    thew_utc at;
    thew_shape_list names, words, ints, parts;
    part one;
} whole;

static const char *const sides[] = { "left", "right", NULL };

#define T part
static const thew_shape_field part_fields[] = { THEW_IS_TEXT("colour", T, colour, 1, 10), THEW_IS_INT("count", T, count, 0, 5) };
static const thew_shape part_shape = THEW_SHAPE("Part", T, part_fields);
#undef T
#define T whole
static const thew_shape_field fields[] = {
    THEW_IS_TEXT("text", T, text, 1, 5),
    THEW_MAYBE_LINES("lines", T, lines, 20),
    THEW_IS_NAME("name", T, name),
    THEW_MAYBE_WORD("word", T, word, sides),
    THEW_MAYBE_PAIRS("pairs", T, pairs, 2),
    THEW_IS_REAL("real", T, real, -1, 1),
    THEW_MAYBE_REAL("maybe", T, maybe, 0, 9),
    THEW_IS_INT("number", T, number, 1, 7),
    THEW_MAYBE_INT("years", T, years, 1900, 2000),
    THEW_IS_FLAG("flag", T, flag),
    THEW_IS_DAY("day", T, day),
    THEW_MAYBE_DAY("until", T, until),
    THEW_MAYBE_INSTANT("at", T, at),
    THEW_IS_NAMES("names", T, names, 3),
    THEW_IS_WORDS("words", T, words, 2, sides),
    THEW_IS_INTS("ints", T, ints, 1, 7),
    THEW_IS_LIST("parts", T, parts, 1, 2, &part_shape),
    THEW_IS_OBJECT("one", T, one, &part_shape),
};
static const thew_shape shape = THEW_SHAPE("Whole", T, fields);
#undef T

#define GOOD                                                                                                                       \
    "{\"text\":\"a\",\"lines\":\"x\\ny\",\"name\":\"n-1\",\"word\":\"left\",\"pairs\":{\"b\":\"2\",\"a\":\"1\"},\"real\":0.1,"     \
    "\"maybe\":null,\"number\":3,\"years\":null,\"flag\":true,\"day\":\"2026-02-28\",\"until\":null,"                              \
    "\"at\":\"2026-02-28T12:30:00.250000Z\",\"names\":[\"p\",\"q\"],\"words\":[\"right\"],\"ints\":[1,7],"                         \
    "\"parts\":[{\"colour\":\"red\",\"count\":2}],\"one\":{\"colour\":\"blue\",\"count\":0}}"

static char *read_faults(const char *body)
{
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    g_auto(thew_shaped) shaped = { 0 };
    thew_shape_read(&shape, body, strlen(body), &shaped, refusal);
    GString *text = g_string_new(NULL);
    for (guint i = 0; i < refusal->fault->len; i++) {
        const thew_fault *one = refusal->fault->pdata[i];
        g_string_append_printf(text, "%s%s", i ? " " : "", one->pointer);
    }
    return g_string_free(text, FALSE);
}

// GOOD with the member's value replaced: as text, up to the next member.
static char *with(const char *member, const char *value)
{
    json_t *object = json_loads(GOOD, 0, NULL);
    g_autofree char *wrapped = value ? g_strdup_printf("[%s]", value) : NULL;
    if (wrapped) {
        json_t *array = json_loads(wrapped, 0, NULL);
        assert_non_null(array);
        json_object_set(object, member, json_array_get(array, 0));
        json_decref(array);
    } else {
        json_object_del(object, member);
    }
    char *raw = json_dumps(object, JSON_COMPACT), *text = g_strdup(raw);
    free(raw);
    json_decref(object);
    return text;
}

static void faults_have_their_places(void **state)
{
    (void)state;
    static const struct {
        const char *why, *member, *value, *faults; // value NULL: left out
    } row[] = {
        { "missing", "flag", NULL, "/flag" },
        { "null where it may not be", "text", "null", "/text" },
        { "null where it may be", "word", "null", "" },
        { "another kind", "text", "5", "/text" },
        { "too long, counted in characters", "text", "\"\u00e9\u00e9\u00e9\u00e9\u00e9\u00e9\"", "/text" },
        { "just short enough", "text", "\"\u00e9\u00e9\u00e9\u00e9\u00e9\"", "" },
        { "empty", "text", "\"\"", "/text" },
        { "blanks only, a wide one too", "text", "\" \u3000\"", "/text" },
        { "a line break in one line", "text", "\"a\\nb\"", "/text" },
        { "a control character", "lines", "\"a\\u0007\"", "/lines" },
        { "an identifier with a slash", "name", "\"a/b\"", "/name" },
        { "an identifier that ends in a blank", "name", "\"a \"", "/name" },
        { "an identifier of 64", "name", "\"0123456789012345678901234567890123456789012345678901234567890123\"", "" },
        { "an identifier of 65", "name", "\"01234567890123456789012345678901234567890123456789012345678901234\"", "/name" },
        { "a word that is none", "word", "\"LEFT\"", "/word" },
        { "pairs of something else", "pairs", "{\"a\":1}", "/pairs/a" },
        { "too many pairs", "pairs", "{\"a\":\"\",\"b\":\"\",\"c\":\"\"}", "/pairs" },
        { "at the bound", "real", "-1", "" },
        { "beyond the bound", "real", "-1.0000001", "/real" },
        { "text of a number", "real", "\"0.5\"", "/real" },
        { "a whole number as a real", "number", "3.0", "" },
        { "half a number", "number", "3.5", "/number" },
        { "far beyond int", "number", "1e300", "/number" },
        { "a number as a flag", "flag", "1", "/flag" },
        { "no such day", "day", "\"2026-02-29\"", "/day" },
        { "another form of a day", "day", "\"28.2.2026\"", "/day" },
        { "a day with a time", "day", "\"2026-02-28T00:00:00Z\"", "/day" },
        { "an instant of no zone", "at", "\"2026-02-28T12:30:00\"", "/at" },
        { "an instant without a day", "at", "\"12:30:00Z\"", "/at" },
        { "an instant at hour 24", "at", "\"2026-02-28T24:00:00Z\"", "/at" },
        { "a leap second", "at", "\"2016-12-31T23:59:60Z\"", "" },
        { "nanoseconds", "at", "\"2026-02-28T12:30:00.123456789Z\"", "" },
        { "too many names", "names", "[\"a\",\"b\",\"c\",\"d\"]", "/names" },
        { "a name that is none", "names", "[\"a\",null]", "/names/1" },
        { "a list that is none", "names", "{}", "/names" },
        { "a word of a list", "words", "[\"left\",\"up\"]", "/words/1" },
        { "a number of a list", "ints", "[1,8,2.5]", "/ints/1 /ints/2" },
        { "too few", "parts", "[]", "/parts" },
        { "in an element", "parts", "[{\"colour\":\"red\",\"count\":9},{\"colour\":\"\",\"count\":1}]",
          "/parts/0/count /parts/1/colour" },
        { "unknown in an element", "parts", "[{\"colour\":\"red\",\"count\":1,\"x/y~z\":0}]", "/parts/0/x~1y~0z" },
        { "an element that is none", "parts", "[3]", "/parts/0" },
        { "in an object", "one", "{\"colour\":\"red\"}", "/one/count" },
        { "unknown", "other", "1", "/other" },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(row); i++) {
        g_autofree char *body = with(row[i].member, row[i].value), *faults = read_faults(body);
        expect_text(row[i].why, row[i].faults, faults);
    }
    g_autofree char *none = read_faults("[]"), *broken = read_faults("{\"text\":"), *twice = read_faults("{\"a\":1,\"a\":2}");
    expect_text("an array", "", none); // one fault, of all of it
    expect_text("no JSON", "", broken);
    expect_text("a name twice", "", twice);
    expect_end(G_N_ELEMENTS(row) + 3);
}

static void what_is_read_comes_back(void **state)
{
    (void)state;
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    g_auto(thew_shaped) shaped = { 0 };
    assert_true(thew_shape_read(&shape, GOOD, strlen(GOOD), &shaped, refusal));
    const whole *row = shaped.row;
    expect_text("text", "a", row->text);
    expect_text("pairs, in order", "{\"a\":\"1\",\"b\":\"2\"}", row->pairs);
    expect_number("real", .1, row->real);
    expect_number("unknown", 0, row->maybe.known);
    expect_number("day", 28, row->day.day);
    expect_number("instant", 1772281800250000., (double)row->at.us);
    expect_number("names", 2, row->names.count);
    expect_text("the list ends with NULL", NULL, *thew_shape_item(row->names, char *, 2));
    expect_text("a part", "red", thew_shape_item(row->parts, part, 0)->colour);
    expect_number("a number of a list", 7, *thew_shape_item(row->ints, int, 1));
    json_t *back = thew_shape_write(&shape, row), *given = json_loads(GOOD, 0, NULL);
    json_object_set_new(given, "at", json_string("2026-02-28T12:30:00.250000Z"));
    expect_number("written as it was read", 1, json_equal(back, given));
    json_decref(back);
    json_decref(given);
    expect_end(11);
}

static void shapes_say_themselves(void **state)
{
    (void)state;
    json_t *schema = thew_shape_schema(&shape), *required = json_object_get(schema, "required");
    expect_number("every member is required", (double)G_N_ELEMENTS(fields), (double)json_array_size(required));
    expect_number("nothing else may be there", 0, json_is_true(json_object_get(schema, "additionalProperties")));
    json_t *word = json_object_get(json_object_get(json_object_get(schema, "properties"), "word"), "enum");
    expect_number("the words, and null", 3, (double)json_array_size(word));
    json_t *real = json_object_get(json_object_get(schema, "properties"), "real");
    expect_number("its bound", 1, json_number_value(json_object_get(real, "maximum")));
    json_decref(schema);
    expect_end(4);
}

// Any number of faults: the first are named, and it ends.
static void many_faults(void **state)
{
    (void)state;
    GString *body = g_string_new("{");
    for (int i = 0; i < 5000; i++)
        g_string_append_printf(body, "%s\"x%d\":0", i ? "," : "", i);
    g_string_append_c(body, '}');
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    g_auto(thew_shaped) shaped = { 0 };
    expect_number("refused", 0, thew_shape_read(&shape, body->str, body->len, &shaped, refusal));
    expect_number("named", THEW_SHAPE_FAULTS_MAX, refusal->fault->len);
    g_string_free(body, TRUE);
    expect_end(2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(faults_have_their_places),
        cmocka_unit_test(what_is_read_comes_back),
        cmocka_unit_test(shapes_say_themselves),
        cmocka_unit_test(many_faults),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
