// svg_test.c: the writer: numbers, escaping, widths, the look; and limbs as outlines.
#include "draw/limb.h"

#include <locale.h>

#include "shape.h"

static char *path_of(double x, double y)
{
    g_autoptr(GString) d = g_string_new(NULL);
    thew_svg_add(d, "M", x, y);
    return g_string_free(g_steal_pointer(&d), FALSE);
}

static void test_numbers(void **state)
{
    (void)state;
    static const struct {
        const char *why;
        double x, y;
        const char *text;
    } row[] = {
        { "whole", 3, 40, "M3 40" },
        { "to a hundredth", 1.005001, 2.499, "M1.01 2.5" },
        { "no zero that says nothing", 1.10, 100.00, "M1.1 100" },
        { "no zero below nothing", -.001, -0.0, "M0 0" },
        { "negative", -1.25, -100, "M-1.25 -100" },
    };
    // Where the locale writes a comma, if the machine has such a one: still a point.
    const char *locale[] = { "C", "de_DE.UTF-8", "fr_FR.UTF-8" };
    EACH(l, locale)
    {
        setlocale(LC_ALL, locale[l]);
        EACH(i, row)
        {
            g_autofree char *d = path_of(row[i].x, row[i].y);
            row_text(row[i].why, row[i].text, d);
        }
    }
    setlocale(LC_ALL, "C");
    rows_end(15);
}

static void test_texts(void **state)
{
    (void)state;
    static const struct {
        const char *why, *text, *seen;
    } row[] = {
        { "plain", "Seated row", "Seated row" },
        { "markup", "<script>&\"'", "<script>&\"'" },
        { "line breaks are spaces", "a\nb\tc", "a b c" },
        { "what XML cannot hold",
          "a\x02"
          "b\x7f",
          "a b " },
        { "bytes that are no text", "a\xff", "a\xef\xbf\xbd" },
        { "other scripts", "Übung 体力", "Übung 体力" },
    };
    EACH(i, row)
    {
        thew_svg svg;
        thew_svg_begin(&svg, 300, 200, "p", row[i].text, NULL);
        thew_svg_text(&svg, "strong", THEW_SVG_END, 10, 20, row[i].text);
        g_autofree char *document = thew_svg_end(&svg);
        g_auto(shapes) all = shapes_of(row[i].why, document);
        const shape *text = shapes_find(row[i].why, &all, "strong", 0);
        row_text(row[i].why, row[i].seen, text ? text->text->str : NULL);
        row_text(row[i].why, "end", text ? shape_text(text, "text-anchor") : NULL);
    }
    rows_end(18);
}

// A prefix comes from code, but must not break a document either.
static void test_ids_carry_the_prefix(void **state)
{
    (void)state;
    thew_svg svg;
    thew_svg_begin(&svg, 300, 200, "a\"b", "t", "d");
    g_autofree char *document = thew_svg_end(&svg);
    g_auto(shapes) all = shapes_of("prefix", document);
    row_text("the name is pointed at", "a\"b-title a\"b-desc", shape_text(all.shape->pdata[0], "aria-labelledby"));
    row_text("picture", "img", shape_text(all.shape->pdata[0], "role"));
    rows_end(3);
}

// Several drawings stand in one page: what one says must not reach another element of it.
static void test_the_look_stays_inside_the_drawing(void **state)
{
    (void)state;
    thew_svg svg;
    thew_svg_begin(&svg, 300, 200, NULL, "t", NULL);
    g_autofree char *document = thew_svg_end(&svg);
    g_auto(shapes) all = shapes_of("look", document);
    const char *style = NULL;
    for (guint i = 0; i < all.shape->len; i++)
        if (strcmp(((shape *)all.shape->pdata[i])->name, "style") == 0) style = ((shape *)all.shape->pdata[i])->text->str;
    assert_non_null(style);
    g_auto(GStrv) rule = g_strsplit(style, "}", -1);
    for (gsize r = 0; rule[r]; r++) {
        const char *inner = strrchr(rule[r], '@') ? strchr(rule[r], '{') + 1 : rule[r];
        g_autofree char *selectors = g_strndup(inner, strcspn(inner, "{"));
        g_auto(GStrv) selector = g_strsplit(selectors, ",", -1);
        for (gsize s = 0; selector[s]; s++)
            if (*selector[s]) row_true(selector[s], "it begins with the drawing's class", g_str_has_prefix(selector[s], ".thew"));
    }
    row_has("dark on screens only", "@media screen and (prefers-color-scheme:dark){.thew{", style);
    row_has("print", "@media print{.thew{background:#fff}", style);
    row_true("look", "nothing is fetched", !strstr(style, "url(") && !strstr(style, "@import"));
    rows_end(40);
}

static void test_text_widths(void **state)
{
    (void)state;
    // DejaVu Sans at 1000 px as measured in a browser (Chromium 156): the estimate may not be less.
    static const struct {
        const char *text;
        double px;
    } row[] = { { "i", 278 }, { "m", 974 },  { "W", 989 }, { "0", 636 }, { "%", 950 },
                { " ", 318 }, { "—", 1000 }, { "é", 615 }, { "½", 969 } };
    EACH(i, row) row_between(row[i].text, row[i].px, thew_svg_text_width(row[i].text, 1000, false), 1.7 * row[i].px);
    row_near("nothing", 0, thew_svg_text_width("", 18, false), 0);
    row_near("a sign above a letter takes no room", thew_svg_text_width("e", 18, false),
             thew_svg_text_width("e\xcc\x81", 18, false), 1e-9);
    row_true("bold", "it is wider", thew_svg_text_width("abc", 18, true) > thew_svg_text_width("abc", 18, false));
    rows_end(12);
}

static void test_wrapping(void **state)
{
    (void)state;
    static const char *const text[] = { "",
                                        "short",
                                        "one two three four five six seven eight nine ten",
                                        "averyverylongwordthatfitsinnolinewhatever",
                                        "a averyverylongwordthatfitsinnoline b",
                                        "   spaces   around   ",
                                        "体力体力体力体力体力体力体力体力" };
    static const double width[] = { 30, 80, 200, 1000 };
    EACH(t, text)
    EACH(w, width)
    {
        g_autoptr(GPtrArray) lines = thew_svg_wrap(text[t], width[w], 18, false);
        g_autoptr(GString) joined = g_string_new(NULL);
        for (guint l = 0; l < lines->len; l++) {
            row_between(text[t], 0, thew_svg_text_width(lines->pdata[l], 18, false), width[w]);
            g_string_append(joined, lines->pdata[l]);
        }
        g_auto(GStrv) part = g_strsplit(text[t], " ", -1);
        g_autofree char *whole = g_strjoinv("", part);
        g_auto(GStrv) kept_part = g_strsplit(joined->str, " ", -1);
        g_autofree char *kept = g_strjoinv("", kept_part);
        row_text("nothing is lost", whole, kept);
    }
    rows_end(56);
}

static void test_what_is_too_long_ends_in_dots(void **state)
{
    (void)state;
    thew_svg svg;
    thew_svg_begin(&svg, 300, 200, NULL, "t", NULL);
    thew_svg_text_within(&svg, "a", THEW_SVG_START, 0, 20, 100, "a label that is much too long");
    thew_svg_text_within(&svg, "b", THEW_SVG_START, 0, 20, 100, "short");
    g_autofree char *document = thew_svg_end(&svg);
    g_auto(shapes) all = shapes_of("dots", document);
    const shape *cut = shapes_find("cut", &all, "a", 0), *whole = shapes_find("whole", &all, "b", 0);
    row_true("cut", "it ends in dots", g_str_has_suffix(cut->text->str, "…"));
    row_between("cut", 50, thew_svg_text_width(cut->text->str, 18, false), 100);
    row_text("whole", "short", whole->text->str);
    rows_end(4);
}

static void test_rows_of_labels(void **state)
{
    (void)state;
    thew_svg_rows rows = thew_svg_rows_empty();
    static const struct {
        const char *why;
        double from, to;
        int row;
    } row[] = {
        { "first", 0, 50, 0 },        { "on it", 20, 60, 1 }, { "on both", 40, 90, 2 }, { "after the first", 50, 70, 0 },
        { "after all", 100, 120, 0 },
    };
    EACH(i, row) row_near(row[i].why, row[i].row, thew_svg_rows_take(&rows, row[i].from, row[i].to), 0);
    row_near("rows in use", 3, rows.count, 0);
    for (int i = 0; i < 20; i++)
        row_between("never beyond the last", 0, thew_svg_rows_take(&rows, 0, 1000), THEW_SVG_ROWS - 1);
    rows_end(26);
}

// The outline of two discs: every corner lies on a disc, the straight sides touch both, and it turns the same way whatever the
// order.
static void test_limbs(void **state)
{
    (void)state;
    static const struct {
        const char *why;
        thew_knob from, to;
    } row[] = {
        { "equal", { 10, 10, 5 }, { 50, 10, 5 } },
        { "tapering", { 10, 10, 8 }, { 50, 40, 3 } },
        { "widening", { 10, 10, 3 }, { -20, 60, 9 } },
        { "straight up", { 0, 0, 4 }, { 0, -40, 2 } },
    };
    EACH(i, row)
    {
        g_autoptr(GString) d = g_string_new(NULL);
        thew_limb_add(d, row[i].from, row[i].to);
        g_autoptr(GArray) s = path_spots(d->str);
        assert_int_equal(s->len, 5);
        spot *p = (spot *)(void *)s->data;
        const thew_knob *on[] = { &row[i].from, &row[i].to, &row[i].to, &row[i].from, &row[i].from };
        for (int k = 0; k < 5; k++)
            row_near(row[i].why, on[k]->radius, hypot(p[k].x - on[k]->x, p[k].y - on[k]->y), .02);
        double sx = p[1].x - p[0].x, sy = p[1].y - p[0].y; // a side is square to both radii
        row_near(row[i].why, 0, (sx * (p[0].x - row[i].from.x) + sy * (p[0].y - row[i].from.y)) / hypot(sx, sy), .05);
        double area = 0;
        for (int k = 0; k < 4; k++)
            area += p[k].x * p[(k + 1) % 4].y - p[(k + 1) % 4].x * p[k].y;
        row_true(row[i].why, "it turns clockwise on the page", area > 0);
    }
    g_autoptr(GString) inside = g_string_new(NULL);
    thew_limb_add(inside, (thew_knob){ 10, 10, 9 }, (thew_knob){ 12, 10, 2 });
    g_autoptr(GArray) s = path_spots(inside->str);
    row_near("one disc holds the other", 3, s->len, 0);
    row_near("it is the greater", 1, g_array_index(s, spot, 0).x, 1e-9);
    rows_end(30);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_numbers),
        cmocka_unit_test(test_texts),
        cmocka_unit_test(test_ids_carry_the_prefix),
        cmocka_unit_test(test_the_look_stays_inside_the_drawing),
        cmocka_unit_test(test_text_widths),
        cmocka_unit_test(test_wrapping),
        cmocka_unit_test(test_what_is_too_long_ends_in_dots),
        cmocka_unit_test(test_rows_of_labels),
        cmocka_unit_test(test_limbs),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
