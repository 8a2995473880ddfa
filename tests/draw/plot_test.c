// plot_test.c: plots as documents: well-formed whatever the texts, inside their frame whatever the numbers, ticks that people can
// read.
#include "draw/plot.h"

#include <math.h>

#include "tests/text_rows.h"

// --- What a document holds -------------------------------------------------------------------------------------------------------

typedef struct {
    GString *text; // of all <text>, a line each
    GString *title, *desc;
    char *element; // being read
    int line_count, circle_count;
    double least, most; // of all coordinates
    bool is_finite;
} picture;

static void see_numbers(picture *p, const char *numbers)
{
    for (const char *at = numbers; *at;) {
        char *end;
        double number = g_ascii_strtod(at, &end);
        if (end == at) {
            at++;
            continue;
        }
        p->is_finite &= isfinite(number) != 0;
        p->least = MIN(p->least, number);
        p->most = MAX(p->most, number);
        at = end;
    }
}

static void begin(GMarkupParseContext *context, const char *element, const char **name, const char **value, gpointer user,
                  GError **error)
{
    (void)context;
    (void)error;
    picture *p = user;
    g_free(p->element);
    p->element = g_strdup(element);
    p->line_count += strcmp(element, "path") == 0;
    p->circle_count += strcmp(element, "circle") == 0;
    for (; *name; name++, value++)
        if (strchr("xyd", (*name)[0]) && strcmp(*name, "xmlns") != 0) see_numbers(p, *value);
}

static void end(GMarkupParseContext *context, const char *element, gpointer user, GError **error)
{
    (void)context;
    (void)element;
    (void)error;
    g_clear_pointer(&((picture *)user)->element, g_free);
}

static void read_text(GMarkupParseContext *context, const char *text, gsize length, gpointer user, GError **error)
{
    (void)context;
    (void)error;
    picture *p = user;
    if (!p->element) return;
    if (strcmp(p->element, "text") == 0) {
        g_string_append_len(p->text, text, (gssize)length);
        g_string_append_c(p->text, '\n');
    } else if (strcmp(p->element, "title") == 0) {
        g_string_append_len(p->title, text, (gssize)length);
    } else if (strcmp(p->element, "desc") == 0) {
        g_string_append_len(p->desc, text, (gssize)length);
    }
}

static void forget(picture *p)
{
    g_string_free(p->text, TRUE);
    g_string_free(p->title, TRUE);
    g_string_free(p->desc, TRUE);
    g_free(p->element);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(picture, forget)

static picture look(const char *why, const char *svg)
{
    picture p = { .text = g_string_new(NULL),
                  .title = g_string_new(NULL),
                  .desc = g_string_new(NULL),
                  .least = INFINITY,
                  .most = -INFINITY,
                  .is_finite = true };
    static const GMarkupParser parser = { .start_element = begin, .end_element = end, .text = read_text };
    g_autoptr(GMarkupParseContext) context = g_markup_parse_context_new(&parser, 0, &p, NULL);
    g_autoptr(GError) error = NULL;
    bool good = g_markup_parse_context_parse(context, svg, -1, &error) && g_markup_parse_context_end_parse(context, &error);
    row_text(why, NULL, good ? NULL : error->message);
    return p;
}

static picture draw(const char *why, const thew_plot *plot)
{
    g_autofree char *svg = thew_plot_svg(plot);
    return look(why, svg);
}

#define POINTS 5
static const double rising[POINTS] = { 0, 1, 2, 3, 4 };

static thew_plot plot_of(const double *x, const double *y)
{
    return (thew_plot){ .title = "Title",
                        .x_name = "x",
                        .y_name = "y",
                        .series = { { .name = "line", .x = x, .y = y, .count = POINTS } },
                        .series_count = 1 };
}

// --- Steps and ticks -------------------------------------------------------------------------------------------------------------

static void test_steps(void **state)
{
    (void)state;
    static const struct {
        double span;
        int most;
        double step;
    } row[] = {
        { 1, 5, .2 }, { 1, 6, .2 },  { 10, 6, 2 },  { 6, 6, 1 },     { 6.01, 6, 2 },     { 12, 6, 2 },        { 12.1, 6, 5 },
        { 30, 6, 5 }, { 31, 6, 10 }, { 61, 6, 20 }, { 100, 10, 10 }, { 1e-9, 6, 2e-10 }, { 3e300, 6, 5e299 }, { 7e-300, 6, 2e-300 },
    };
    EACH(i, row)
    {
        g_autofree char *why = g_strdup_printf("%g in at most %d", row[i].span, row[i].most);
        row_relative(why, row[i].step, thew_plot_step(row[i].span, row[i].most), 1e-9);
    }
    for (double span = 1e-12; span < 1e12; span *= 1.37) {
        g_autofree char *why = g_strdup_printf("span %g", span);
        row_between(why, 1.9, span / thew_plot_step(span, 6), 6.0000001);
    }
    rows_end(150);
}

static void test_ticks(void **state)
{
    (void)state;
    static const struct {
        const char *why;
        double y[POINTS];
        const char *ticks; // from the bottom
    } row[] = {
        { "whole numbers", { 0, 10, 20, 30, 37 }, "\n0\n10\n20\n30\n40\n" },
        { "zero belongs in the picture", { 50, 51, 52, 53, 54 }, "\n0\n10\n20\n30\n40\n50\n60\n" },
        { "tenths", { .1, .2, .3, .4, .5 }, "\n0.0\n0.1\n0.2\n0.3\n0.4\n0.5\n" },
        { "below zero", { -3, -2, -1, -2, -3 }, "\n-3.0\n-2.5\n-2.0\n-1.5\n-1.0\n-0.5\n0.0\n" },
        { "both sides of zero", { -15, 0, 15, 5, -5 }, "\n-15\n-10\n-5\n0\n5\n10\n15\n" },
        { "all the same", { 7, 7, 7, 7, 7 }, "\n0\n2\n4\n6\n8\n" },
        { "all zero", { 0, 0, 0, 0, 0 }, "\n0.0\n0.2\n0.4\n0.6\n0.8\n1.0\n" },
        { "great", { 0, 1e9, 2e9, 3e9, 4e9 }, "\n0\n1e+09\n2e+09\n3e+09\n4e+09\n" },
        { "small", { 0, 1e-9, 2e-9, 3e-9, 4e-9 }, "\n0\n1e-09\n2e-09\n3e-09\n4e-09\n" },
    };
    EACH(i, row)
    {
        thew_plot plot = plot_of(rising, row[i].y);
        g_auto(picture) p = draw(row[i].why, &plot);
        row_has(row[i].why, row[i].ticks, p.text->str);
    }
    rows_end(18);
}

static void test_words_in_place_of_the_x_axis_numbers(void **state)
{
    (void)state;
    thew_plot plot = plot_of(rising, rising);
    g_auto(picture) numbers = draw("numbers", &plot);
    row_has("numbers", "\n0\n1\n2\n3\n4\nx\n", numbers.text->str);
    plot.x_left = "start";
    plot.x_right = "end";
    g_auto(picture) words = draw("words", &plot);
    row_has("words", "\nstart\nend\nx\n", words.text->str);
    rows_end(4);
}

// --- Texts -----------------------------------------------------------------------------------------------------------------------

static void test_texts_are_escaped(void **state)
{
    (void)state;
    static const struct {
        const char *why, *text, *seen;
    } row[] = {
        { "plain", "Seated row", "Seated row" },
        { "markup", "<b>&amp;\"'</b>", "<b>&amp;\"'</b>" },
        { "end of a comment or a section", "-->]]>", "-->]]>" },
        { "letters of all kinds", "Ångström 体 🏋", "Ångström 体 🏋" },
        { "control characters are no XML",
          "a\x01"
          "b\x1f"
          "c\x7f"
          "d",
          "a b c d" },
        { "nor are these two",
          "a\xEF\xBF\xBE"
          "b\xEF\xBF\xBF"
          "c",
          "a b c" },
        { "bytes that are no UTF-8",
          "a\xFF"
          "b",
          "a\xEF\xBF\xBD"
          "b" },
    };
    EACH(i, row)
    {
        thew_plot plot = plot_of(rising, rising);
        plot.title = plot.description = plot.x_name = plot.y_name = plot.series[0].name = row[i].text;
        plot.mark[0] = (thew_plot_mark){ 2, 2, row[i].text };
        plot.mark_count = 1;
        g_auto(picture) p = draw(row[i].why, &plot);
        row_text(row[i].why, row[i].seen, p.title->str);
        row_text(row[i].why, row[i].seen, p.desc->str);
        row_has(row[i].why, row[i].seen, p.text->str);
    }
    rows_end(28);
}

static void test_the_description_is_the_title_unless_told(void **state)
{
    (void)state;
    thew_plot plot = plot_of(rising, rising);
    g_auto(picture) same = draw("untold", &plot);
    row_text("untold", "Title", same.desc->str);
    plot.description = "For those who cannot see it.";
    g_auto(picture) told = draw("told", &plot);
    row_text("told", "For those who cannot see it.", told.desc->str);
    rows_end(4);
}

static void test_long_texts_stay_whole_for_those_who_listen(void **state)
{
    (void)state;
    g_autofree char *longest = g_strnfill(500, 'm');
    thew_plot plot = plot_of(rising, rising);
    plot.title = plot.series[0].name = longest;
    g_auto(picture) p = draw("500 letters", &plot);
    row_text("500 letters", longest, p.title->str);
    rows_end(2);
}

// --- Numbers ---------------------------------------------------------------------------------------------------------------------

static void test_everything_stays_inside_the_frame(void **state)
{
    (void)state;
    static const struct {
        const char *why;
        double x[POINTS], y[POINTS];
    } row[] = {
        { "usual", { 0, 1, 2, 3, 4 }, { 1, 4, 2, 8, 5 } },
        { "all values the same", { 0, 1, 2, 3, 4 }, { 7, 7, 7, 7, 7 } },
        { "all places the same", { 3, 3, 3, 3, 3 }, { 1, 4, 2, 8, 5 } },
        { "all zero", { 0, 0, 0, 0, 0 }, { 0, 0, 0, 0, 0 } },
        { "negative", { -4, -3, -2, -1, 0 }, { -1, -4, -2, -8, -5 } },
        { "huge", { 1e290, 2e290, 3e290, 4e290, 5e290 }, { -1e290, 1e290, 0, 1e290, 0 } },
        { "tiny", { 1e-290, 2e-290, 3e-290, 4e-290, 5e-290 }, { 1e-290, 2e-290, 1e-290, 0, 0 } },
        { "next to each other far out",
          { 1e17, 1e17 + 16, 1e17 + 32, 1e17 + 48, 1e17 + 64 },
          { 1e17, 1e17, 1e17 + 16, 1e17, 1e17 } },
        { "a gap", { 0, 1, 2, 3, 4 }, { 1, NAN, 2, INFINITY, 5 } },
        { "nothing that can be drawn", { NAN, NAN, NAN, NAN, NAN }, { NAN, INFINITY, -INFINITY, NAN, NAN } },
        { "places that are none", { 0, INFINITY, 2, NAN, 4 }, { 1, 2, 3, 4, 5 } },
    };
    EACH(i, row)
    {
        double low[POINTS], high[POINTS];
        for (int n = 0; n < POINTS; n++) {
            low[n] = row[i].y[n] - fabs(row[i].y[n]) / 2;
            high[n] = row[i].y[n] + fabs(row[i].y[n]) / 2;
        }
        thew_plot plot = plot_of(row[i].x, row[i].y);
        plot.series[0].low = low;
        plot.series[0].high = high;
        plot.mark[0] = (thew_plot_mark){ row[i].x[0], row[i].y[0], "mark" };
        plot.mark[1] = (thew_plot_mark){ row[i].x[4], row[i].y[4], NULL };
        plot.mark_count = 2;
        g_auto(picture) p = draw(row[i].why, &plot);
        row_true(row[i].why, "every coordinate is a number", p.is_finite);
        row_between(row[i].why, 0, p.least, 500);
        row_between(row[i].why, 0, p.most, 800);
    }
    rows_end(44);
}

static void test_a_mark_beyond_the_lines_is_inside_the_frame(void **state)
{
    (void)state;
    thew_plot plot = plot_of(rising, rising);
    plot.mark[0] = (thew_plot_mark){ 40, 400, "far out" };
    plot.mark_count = 1;
    g_auto(picture) p = draw("far out", &plot);
    row_near("far out", 1, p.circle_count, 0);
    row_between("far out", 0, p.least, 800);
    row_between("far out", 0, p.most, 800);
    rows_end(4);
}

static void test_as_many_lines_and_marks_as_there_may_be(void **state)
{
    (void)state;
    thew_plot plot = plot_of(rising, rising);
    static const char *const name[] = { "one", "two", "three", "four" };
    plot.series_count = THEW_PLOT_SERIES_MAX;
    for (int s = 0; s < THEW_PLOT_SERIES_MAX; s++)
        plot.series[s] =
            (thew_plot_series){ .name = name[s], .x = rising, .y = rising, .low = rising, .high = rising, .count = POINTS };
    plot.mark_count = THEW_PLOT_MARKS_MAX;
    for (int m = 0; m < THEW_PLOT_MARKS_MAX; m++)
        plot.mark[m] = (thew_plot_mark){ m % POINTS, m % POINTS, "mark" };
    g_auto(picture) p = draw("full", &plot);
    row_near("lines and their spreads", 2 * THEW_PLOT_SERIES_MAX, p.line_count, 0);
    row_near("marks", THEW_PLOT_MARKS_MAX, p.circle_count, 0);
    EACH(s, name)
    row_has("each line's name", name[s], p.text->str);
    row_between("names on top of each other are moved apart inside the frame", 0, p.most, 800);
    rows_end(8);
}

static void test_one_point_is_a_plot(void **state)
{
    (void)state;
    thew_plot plot = plot_of(rising, rising);
    plot.series[0].count = 1;
    g_auto(picture) one = draw("one point", &plot);
    plot.series[0].count = 0;
    g_auto(picture) none = draw("no point", &plot);
    row_true("one point", "it has a line", one.line_count == 1);
    row_true("no point", "every coordinate is a number", none.is_finite);
    rows_end(4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_steps),
        cmocka_unit_test(test_ticks),
        cmocka_unit_test(test_words_in_place_of_the_x_axis_numbers),
        cmocka_unit_test(test_texts_are_escaped),
        cmocka_unit_test(test_the_description_is_the_title_unless_told),
        cmocka_unit_test(test_long_texts_stay_whole_for_those_who_listen),
        cmocka_unit_test(test_everything_stays_inside_the_frame),
        cmocka_unit_test(test_a_mark_beyond_the_lines_is_inside_the_frame),
        cmocka_unit_test(test_as_many_lines_and_marks_as_there_may_be),
        cmocka_unit_test(test_one_point_is_a_plot),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
