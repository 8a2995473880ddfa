// trouble_test.c: how findings are worded, ordered, counted and cut.
#include "expect.h"

static void one_sentence_each(void **state)
{
    (void)state;
    // clang-format off
    static const struct {
        const char *why, *sentence;
        thew_trouble trouble;
    } row[] = {
        { "everything known", "people.csv:7:23: birth_year: must be a year from 1900 to 2026; got \"19x4\"",
          { .file = "people.csv", .line = 7, .character = 23, .column = "birth_year", .right = "must be a year from 1900 to 2026",
            .got = "19x4" } },
        { "a note says so", "a.csv:2:1: note: b: wrong; right; got \"x\"",
          { .severity = THEW_TROUBLE_NOTE, .file = "a.csv", .line = 2, .character = 1, .column = "b", .wrong = "wrong", .right = "right",
            .got = "x" } },
        { "a whole line", "a.csv:2: an empty line; take it out",
          { .file = "a.csv", .line = 2, .wrong = "an empty line", .right = "take it out" } },
        { "a whole file", "a.csv: cannot be read", { .file = "a.csv", .wrong = "cannot be read" } },
        { "nothing got is not quoted", "a.csv:2:1: b: must not be empty",
          { .file = "a.csv", .line = 2, .character = 1, .column = "b", .right = "must not be empty", .got = "" } },
        { "line ends are visible", "a.csv:1:1: wrong; got \"x\\r\\ny\"",
          { .file = "a.csv", .line = 1, .character = 1, .wrong = "wrong", .got = "x\r\ny" } },
        { "nothing reaches the terminal's control: escape, text turned round", "a.csv:1:1: wrong; got \"\\u{001B}[2J\\u{202E}\\u{202C}\"",
          { .file = "a.csv", .line = 1, .character = 1, .wrong = "wrong", .got = "\x1B[2J\u202E\u202C" } },
        { "letters of other scripts stay", "ä.csv:1:1: wrong; got \"日本\"",
          { .file = "ä.csv", .line = 1, .character = 1, .wrong = "wrong", .got = "日本" } },
        { "40 characters are shown", "a.csv: wrong; got \"1234567890123456789012345678901234567890\"",
          { .file = "a.csv", .wrong = "wrong", .got = "1234567890123456789012345678901234567890" } },
        { "the 41st is cut", "a.csv: wrong; got \"1234567890123456789012345678901234567890…\"",
          { .file = "a.csv", .wrong = "wrong", .got = "12345678901234567890123456789012345678901" } },
    };
    // clang-format on
    EACH(i, row)
    {
        g_autofree char *direct = thew_trouble_sentence(&row[i].trouble);
        expect_text(row[i].why, row[i].sentence, direct);
        g_autoptr(thew_trouble_list) list = thew_trouble_list_new();
        thew_trouble_add(list, &row[i].trouble);
        g_autofree char *kept = findings(list), *line = g_strconcat(row[i].sentence, "\n", NULL);
        expect_text(row[i].why, line, kept);
    }
    expect_end(20);
}

static void add(thew_trouble_list *list, thew_severity severity, const char *file, guint line, guint character)
{
    thew_trouble_add(list,
                     &(thew_trouble){ .severity = severity, .file = file, .line = line, .character = character, .wrong = "x" });
}

static void order_and_limit(void **state)
{
    (void)state;
    g_autoptr(thew_trouble_list) list = thew_trouble_list_new();
    add(list, THEW_TROUBLE_NOTE, "b.csv", 1, 1);
    add(list, THEW_TROUBLE_ERROR, "b.csv", 9, 2);
    add(list, THEW_TROUBLE_ERROR, "a.csv", 1, 1);
    add(list, THEW_TROUBLE_ERROR, "b.csv", 9, 1);
    add(list, THEW_TROUBLE_ERROR, "b.csv", 2, 7);
    add(list, THEW_TROUBLE_NOTE, "a.csv", 3, 1);
    // clang-format off
    static const struct {
        const char *why;
        guint limit;
        const char *text;
    } row[] = {
        { "errors first; files as first named, then lines, then characters", 50,
          "b.csv:2:7: x\nb.csv:9:1: x\nb.csv:9:2: x\na.csv:1:1: x\nb.csv:1:1: note: x\na.csv:3:1: note: x\n" },
        { "exactly as many as may be printed", 6,
          "b.csv:2:7: x\nb.csv:9:1: x\nb.csv:9:2: x\na.csv:1:1: x\nb.csv:1:1: note: x\na.csv:3:1: note: x\n" },
        { "the rest is counted, notes first to go", 3, "b.csv:2:7: x\nb.csv:9:1: x\nb.csv:9:2: x\nand 3 more\n" },
        { "none printed, all counted", 0, "and 6 more\n" },
    };
    // clang-format on
    EACH(i, row)
    {
        g_autoptr(GString) out = g_string_new(NULL);
        thew_trouble_print(list, row[i].limit, out);
        expect_text(row[i].why, row[i].text, out->str);
    }
    expect_end(4);
}

static void many_are_counted_not_kept(void **state)
{
    (void)state;
    g_autoptr(thew_trouble_list) list = thew_trouble_list_new();
    for (guint i = 0; i < 100000; i++) {
        if (i == THEW_TROUBLE_PRINTED - 1) assert_true(thew_trouble_has_room(list));
        if (i == THEW_TROUBLE_PRINTED) assert_false(thew_trouble_has_room(list));
        if (i == THEW_TROUBLE_KEPT - 1) assert_true(thew_trouble_keeps(list, THEW_TROUBLE_ERROR));
        if (i == THEW_TROUBLE_KEPT) assert_false(thew_trouble_keeps(list, THEW_TROUBLE_ERROR));
        add(list, THEW_TROUBLE_ERROR, "a.csv", i + 1, 1);
    }
    add(list, THEW_TROUBLE_NOTE, "a.csv", 1, 1);
    expect_number("all are counted", 100000, (double)thew_trouble_count(list, THEW_TROUBLE_ERROR));
    expect_number("each severity by itself", 1, (double)thew_trouble_count(list, THEW_TROUBLE_NOTE));
    g_autoptr(GString) out = g_string_new(NULL);
    thew_trouble_print(list, 2, out);
    expect_text("the first ones are shown", "a.csv:1:1: x\na.csv:2:1: x\nand 99999 more\n", out->str);
    expect_end(3);
}

static void a_file_name_of_any_bytes(void **state)
{
    (void)state;
    g_autoptr(thew_trouble_list) list = thew_trouble_list_new();
    add(list, THEW_TROUBLE_ERROR, "\xFF\n.csv", 1, 1);
    g_autofree char *text = findings(list);
    expect_text("what is not UTF-8 is replaced, a line end is escaped", "\uFFFD\\n.csv:1:1: x\n", text);
    expect_end(1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_sentence_each),
        cmocka_unit_test(order_and_limit),
        cmocka_unit_test(many_are_counted_not_kept),
        cmocka_unit_test(a_file_name_of_any_bytes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
