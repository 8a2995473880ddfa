// strength_test.c: the strength plot: where known values, days and marks lie, on a scale where equal ratios are equal distances.
#include "draw/strength.h"

#include "shape.h"

#define PRINTED .0051
#define DAY 20454 // 2026-01-01: 56 years of 365 days and 14 leap days since 1970-01-01
G_STATIC_ASSERT(DAY == 56 * 365 + 14);

// Invented: from 100 % to 125 % in 100 days.
static const thew_strength_estimate rising[] = { { DAY, 1.5, .10 },
                                                 { DAY + 25, 1.5 + .0557858878, .09 },
                                                 { DAY + 50, 1.5 + .1115717757, .08 },
                                                 { DAY + 100, 1.5 + .2231435513, .06 } };
#define RISING G_N_ELEMENTS(rising)

static thew_strength_plot usual(void)
{
    return (thew_strength_plot){ .title = "Seated row, left", .smoothed = rising, .smoothed_count = RISING };
}

// The axis of 100 % and the first and last points of the line tell the scale.
typedef struct {
    double left, px_per_day, y100, px_per_ln;
} scale;

static scale scale_of(const char *why, const shapes *all)
{
    const shape *line = shapes_find(why, all, "smoothed", 0);
    spot first = path_spot(line, 0), last = path_spot(line, -1);
    return (scale){ first.x, (last.x - first.x) / 100, first.y, (first.y - last.y) / log(1.25) };
}

static void test_estimates(void **state)
{
    (void)state;
    static const double width[] = { 320, 800, 1440 };
    EACH(w, width)
    {
        thew_strength_plot plot = usual();
        plot.width_px = width[w];
        g_autofree char *svg = thew_strength_svg(&plot);
        g_auto(shapes) all = shapes_of("estimates", svg);
        scale on = scale_of("estimates", &all);
        const shape *line = shapes_find("line", &all, "smoothed", 0), *spread = shapes_find("spread", &all, "spread", 0);
        for (guint e = 0; e < RISING; e++) {
            double x = on.left + (rising[e].day - DAY) * on.px_per_day, half = 1.2815515655446 * rising[e].ln_sd * on.px_per_ln;
            double y = on.y100 - (rising[e].ln_mean - 1.5) * on.px_per_ln;
            row_near("the line's day", x, path_spot(line, (int)e).x, .02);
            row_near("the line's value", y, path_spot(line, (int)e).y, .02);
            row_near("80 % of a normal above", y - half, path_spot(spread, (int)e).y, .03);
            row_near("and below", y + half, path_spot(spread, -1 - (int)e).y, .03);
        }
    }
    rows_end(50);
}

// 80 to 100 and 100 to 125 are the same ratio, so the same distance.
static void test_equal_ratios_are_equal_distances(void **state)
{
    (void)state;
    static const thew_strength_set set[] = { { DAY + 10, 1.5 - .2231435513, THEW_FAILURE },
                                             { DAY + 20, 1.5, THEW_FAILURE },
                                             { DAY + 30, 1.5 + .2231435513, THEW_FAILURE } };
    thew_strength_plot plot = usual();
    plot.set = set;
    plot.set_count = 3;
    g_autofree char *svg = thew_strength_svg(&plot);
    g_auto(shapes) all = shapes_of("ratios", svg);
    scale on = scale_of("ratios", &all);
    double y[3];
    for (int s = 0; s < 3; s++) {
        const shape *dot = shapes_find("dot", &all, "failure", s);
        y[s] = shape_number(dot, "cy");
        row_near("its day", on.left + 10 * (s + 1) * on.px_per_day, shape_number(dot, "cx"), .02);
    }
    row_near("100 % is where the first estimate is", on.y100, y[1], PRINTED);
    row_near("the same distance", y[0] - y[1], y[1] - y[2], .02);
    row_near("per ln", log(1.25) * on.px_per_ln, y[1] - y[2], .02);
    g_autofree char *texts = shapes_texts(&all);
    row_has("the axis says so", "\n100 %\n", texts);
    rows_end(8);
}

// Each number of the axis stands at its own ratio.
static void test_the_axis(void **state)
{
    (void)state;
    static const double spread_ln[] = { .02, .1, .5, 2 };
    EACH(k, spread_ln)
    {
        thew_strength_estimate wide[RISING];
        memcpy(wide, rising, sizeof rising);
        for (guint e = 0; e < RISING; e++)
            wide[e].ln_sd = spread_ln[k];
        thew_strength_plot plot = usual();
        plot.smoothed = wide;
        g_autofree char *svg = thew_strength_svg(&plot);
        g_auto(shapes) all = shapes_of("axis", svg);
        scale on = scale_of("axis", &all);
        double before = NAN;
        int ticks = 0;
        for (guint i = 0; i < all.shape->len; i++) {
            const shape *s = all.shape->pdata[i];
            if (strcmp(s->name, "text") != 0 || strcmp(shape_text(s, "text-anchor"), "end") != 0 ||
                !g_str_has_suffix(s->text->str, " %"))
                continue;
            double percent = g_ascii_strtod(s->text->str, NULL), y = shape_number(s, "y") - 6;
            row_near(s->text->str, on.y100 - log(percent / 100) * on.px_per_ln, y, .05);
            if (!isnan(before)) row_true(s->text->str, "numbers have room", fabs(before - y) > 25 || percent == 100);
            before = y;
            ticks++;
        }
        row_between("some ticks", 2, ticks, 12);
    }
    rows_end(20);
}

static void test_each_end_has_its_own_sign(void **state)
{
    (void)state;
    static const struct {
        thew_ended ended;
        const char *classes, *key;
    } row[] = {
        { THEW_FAILURE, "failure", "\nfailure\n" },        { THEW_COMPLETED, "at-least", "\nat least this\n" },
        { THEW_RESERVE, "at-least", "\nat least this\n" }, { THEW_OTHER, "at-least", "\nat least this\n" },
        { THEW_SYMPTOM, "symptom", "\nsymptom\n" },
    };
    EACH(i, row)
    {
        thew_strength_set set = { DAY + 40, 1.6, row[i].ended };
        thew_strength_plot plot = usual();
        plot.set = &set;
        plot.set_count = 1;
        g_autofree char *svg = thew_strength_svg(&plot);
        g_auto(shapes) all = shapes_of(row[i].key, svg);
        static const char *const every[] = { "failure", "at-least", "symptom" };
        EACH(e, every) // one in the plot and one in the key
        row_near(row[i].key, strcmp(every[e], row[i].classes) == 0 ? 2 : 0, shapes_count(&all, every[e]), 0);
        scale on = scale_of("sign", &all);
        const shape *sign = shapes_find("sign", &all, row[i].classes, 0);
        double x = on.left + 40 * on.px_per_day, y = on.y100 - .1 * on.px_per_ln;
        if (row[i].ended == THEW_FAILURE) {
            row_near("a dot at the value", y, shape_number(sign, "cy"), .02);
        } else if (row[i].ended == THEW_SYMPTOM) {
            row_near("a diamond around it", y, (path_spot(sign, 0).y + path_spot(sign, 2).y) / 2, .02);
        } else {
            row_near("an arrow from the value", y, path_spot(sign, 0).y, .02);
            row_between("upwards", 0, path_spot(sign, 1).y, y - 10);
            row_near("straight", x, path_spot(sign, 1).x, .02);
        }
        g_autofree char *texts = shapes_texts(&all);
        row_has("its word in the key", row[i].key, texts);
    }
    rows_end(30);
}

static void test_what_says_nothing_is_left_out(void **state)
{
    (void)state;
    static const thew_strength_set set[] = { { DAY + 10, INFINITY, THEW_FAILURE },
                                             { DAY + 20, NAN, THEW_COMPLETED },
                                             { DAY + 22, -INFINITY, THEW_SYMPTOM } };
    thew_strength_plot plot = usual();
    plot.set = set;
    plot.set_count = 3;
    g_autofree char *svg = thew_strength_svg(&plot);
    g_auto(shapes) all = shapes_of("nothing", svg);
    row_near("only the key's dot", 1, shapes_count(&all, "failure"), 0);
    rows_end(2);
}

static void test_gaps_changes_and_heat(void **state)
{
    (void)state;
    static const thew_strength_set set[] = { { DAY + 5, 1.5, THEW_FAILURE },
                                             { DAY + 12, 1.5, THEW_FAILURE },
                                             { DAY + 47, 1.5, THEW_FAILURE },
                                             { DAY + 67, 1.5, THEW_FAILURE } };
    static const thew_day heat[] = { DAY + 50, DAY + 51, DAY + 60 }, jump[] = { DAY + 70 };
    thew_strength_plot plot = usual();
    plot.set = set;
    plot.set_count = 4;
    plot.heat_day = heat;
    plot.heat_count = 3;
    plot.jump_day = jump;
    plot.jump_count = 1;
    g_autofree char *svg = thew_strength_svg(&plot);
    g_auto(shapes) all = shapes_of("marks", svg);
    scale on = scale_of("marks", &all);
    g_autofree char *texts = shapes_texts(&all);
    const shape *gap = shapes_find("gap", &all, "gap", 0), *change = shapes_find("jump", &all, "jump", 0);
    row_near("35 days are a gap, 20 are not", 1, shapes_count(&all, "gap"), 0);
    row_between("after the set before it", on.left + 12 * on.px_per_day, shape_number(gap, "x"), on.left + 15 * on.px_per_day);
    row_between("until the set after it", on.left + 44 * on.px_per_day, shape_number(gap, "x") + shape_number(gap, "width"),
                on.left + 47 * on.px_per_day);
    row_has("in words", "\nno sets for 5 weeks\n", texts);
    row_near("a sudden change", on.left + 70 * on.px_per_day, shape_number(change, "x1"), .02);
    row_has("in words", "\nsudden change\n", texts);
    row_near("heat days", 3, shapes_count(&all, "heat"), 0);
    for (int h = 0; h < 3; h++)
        row_near("heat day", on.left + (heat[h] - DAY) * on.px_per_day, path_spot(shapes_find("heat", &all, "heat", h), 1).x, .02);
    row_has("in words", "\nheat\n", texts);
    plot.gap_days = 15;
    g_autofree char *more = thew_strength_svg(&plot);
    g_auto(shapes) shorter = shapes_of("shorter gaps", more);
    row_near("as long as is asked", 2, shapes_count(&shorter, "gap"), 0);
    rows_end(14);
}

static void test_months(void **state)
{
    (void)state;
    static const struct {
        const char *why;
        int days;
        double width;
        const char *first, *other;
    } row[] = {
        { "a few weeks are days", 30, 800, "\n1 Jan\n", "\n15 Jan\n" },
        { "months", 100, 800, "\n2026\nFeb\nMar\nApr\n", "\nJan\n" },
        { "a year", 365, 800, "\nJan\n2026\nFeb\nMar\nApr\nMay\nJun\nJul\nAug\nSep\nOct\nNov\nDec\n", "\n2027\n" },
        { "a year on a narrow page", 365, 320, "\nJan\n2026\nApr\nJul\nOct\nJan\n2027\n", "Jan" },
        { "ten years", 3652, 800, "\n2027\n", "\n2035\n" },
    };
    EACH(i, row)
    {
        thew_strength_estimate two[] = { { DAY, 1.5, .1 }, { DAY + row[i].days, 1.5, .1 } };
        thew_strength_plot plot = usual();
        plot.smoothed = two;
        plot.smoothed_count = 2;
        plot.width_px = row[i].width;
        g_autofree char *svg = thew_strength_svg(&plot);
        g_auto(shapes) all = shapes_of(row[i].why, svg);
        g_autofree char *texts = shapes_texts(&all);
        row_has(row[i].why, row[i].first, texts);
        row_has(row[i].why, row[i].other, texts);
        check_document(row[i].why, svg, "strength-", row[i].width);
        check_texts_apart(row[i].why, svg);
    }
    rows_end(100);
}

static void test_words(void **state)
{
    (void)state;
    thew_strength_set set[] = { { DAY + 5, 1.5, THEW_FAILURE }, { DAY + 12, 1.5, THEW_SYMPTOM } };
    thew_strength_plot plot = usual();
    plot.set = set;
    plot.set_count = 2;
    plot.title = "<Row> & more";
    g_autofree char *svg = thew_strength_svg(&plot);
    g_auto(shapes) all = shapes_of("words", svg);
    g_autofree char *texts = shapes_texts(&all);
    // 1.25 exp(-+1.2816 x .06) = 1.157, 1.350
    row_has("with its interval", "Now 125\u00a0% of the first estimate (80\u00a0%: 116 to 135\u00a0%).", texts);
    row_has("for those who cannot see it",
            "Strength from 1 Jan 2026 to 11 Apr 2026. Now 125\u00a0% of the first estimate (80\u00a0%: 116 to 135\u00a0%). "
            "2 sets: 1 to failure, 1 stopped for a symptom.",
            svg);
    row_has("escaped", "&lt;Row&gt; &amp; more", svg);
    rows_end(4);
}

static void test_documents(void **state)
{
    (void)state;
    static const double width[] = { 320, 390, 768, 800, 1440 };
    static const struct {
        const char *why;
        int estimates, every_days;
        double move, sd;
    } row[] = {
        { "one day", 1, 1, 0, .1 },          { "two sets", 2, 3, .1, .2 },      { "never sure", 40, 7, .5, 1.5 },
        { "exactly known", 40, 7, .1, 0 },   { "a great loss", 60, 3, -2, .1 }, { "years", 300, 7, .6, .05 },
        { "a thousandfold", 30, 10, 7, .1 },
    };
    EACH(w, width)
    EACH(i, row)
    {
        thew_strength_estimate estimate[300];
        thew_strength_set set[300];
        thew_day heat[300], jump[] = { DAY + row[i].every_days };
        for (int e = 0; e < row[i].estimates; e++) {
            double way = row[i].estimates > 1 ? (double)e / (row[i].estimates - 1) : 0;
            estimate[e] = (thew_strength_estimate){ DAY + e * row[i].every_days, row[i].move * way, row[i].sd };
            set[e] = (thew_strength_set){ estimate[e].day, row[i].move * way + .1 * (e % 3 - 1), (thew_ended)(e % 5) };
            heat[e] = estimate[e].day;
        }
        thew_strength_plot plot = { .title = "Seated straight-arm pull, left",
                                    .smoothed = estimate,
                                    .smoothed_count = row[i].estimates,
                                    .filtered = estimate,
                                    .filtered_count = row[i].estimates,
                                    .set = set,
                                    .set_count = row[i].estimates,
                                    .heat_day = heat,
                                    .heat_count = row[i].estimates,
                                    .jump_day = jump,
                                    .jump_count = row[i].estimates > 1,
                                    .gap_days = row[i].every_days == 10 ? 10 : 0,
                                    .prefix = "s1",
                                    .width_px = width[w] };
        g_autofree char *why = g_strdup_printf("%s at %g px", row[i].why, width[w]);
        g_autofree char *svg = thew_strength_svg(&plot);
        check_document(why, svg, "s1-", width[w]);
        if (row[i].every_days != 10) check_texts_apart(why, svg); // of thirty gaps in a row not every label has room
    }
    rows_end(10000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_estimates),
        cmocka_unit_test(test_equal_ratios_are_equal_distances),
        cmocka_unit_test(test_the_axis),
        cmocka_unit_test(test_each_end_has_its_own_sign),
        cmocka_unit_test(test_what_says_nothing_is_left_out),
        cmocka_unit_test(test_gaps_changes_and_heat),
        cmocka_unit_test(test_months),
        cmocka_unit_test(test_words),
        cmocka_unit_test(test_documents),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
