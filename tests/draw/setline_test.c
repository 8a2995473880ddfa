// setline_test.c: the set line: heights at every phase, the window's edges, a sign for every way a set can end.
#include "draw/setline.h"

#include "shape.h"

#define PRINTED .0051

static thew_set_line usual(void)
{
    return (thew_set_line){ .tempo = { 7, 1, 7, 1 }, .floor_s = 30, .window_from_s = 60, .window_to_s = 90 };
}

static void test_heights(void **state)
{
    (void)state;
    // 7 lowering, 1 pause, 7 lifting, 1 pause: 16 s a repetition.
    static const struct {
        const char *why;
        bool starts_lifting;
        double time_s, height;
        const char *phase;
    } row[] = {
        { "begins at the top when it begins by lowering", false, 0, 1, "lowering" },
        { "half way down", false, 3.5, .5, "lowering" },
        { "all the way down", false, 7, 0, "pause" },
        { "level at the pause", false, 7.9, 0, "pause" },
        { "a phase holds its first moment", false, 8, 0, "lifting" },
        { "half way up", false, 11.5, .5, "lifting" },
        { "level at the top", false, 15.5, 1, "pause" },
        { "the next repetition is the same", false, 16 + 3.5, .5, "lowering" },
        { "the sixth too", false, 5 * 16 + 11.5, .5, "lifting" },
        { "begins at the bottom when it begins by lifting", true, 0, 0, "lifting" },
        { "half way up", true, 3.5, .5, "lifting" },
        { "level at the top", true, 7.5, 1, "pause" },
        { "half way down", true, 11.5, .5, "lowering" },
        { "level at the bottom", true, 15.5, 0, "pause" },
    };
    EACH(i, row)
    {
        thew_set_line line = usual();
        line.starts_lifting = row[i].starts_lifting;
        row_near(row[i].why, row[i].height, thew_set_line_height(&line, row[i].time_s), 1e-12);
        row_text(row[i].why, row[i].phase, thew_set_line_phase(&line, row[i].time_s));
    }
    rows_end(28);
}

static void test_other_tempos(void **state)
{
    (void)state;
    static const struct {
        const char *why;
        thew_tempo tempo;
        double time_s, height;
    } row[] = {
        { "no pauses: turns at once", { 3, 0, 2, 0 }, 3, 0 }, { "no pauses: the middle of the lift", { 3, 0, 2, 0 }, 4, .5 },
        { "no pauses: the next", { 3, 0, 2, 0 }, 5, 1 },      { "only lifting: drops at once", { 0, 0, 4, 0 }, 0, 0 },
        { "only lifting: half way", { 0, 0, 4, 0 }, 2, .5 },  { "only pauses: low", { 0, 2, 0, 2 }, 1, 0 },
        { "only pauses: high", { 0, 2, 0, 2 }, 3, 1 },        { "no tempo at all is level", { 0, 0, 0, 0 }, 3, .5 },
    };
    EACH(i, row)
    {
        thew_set_line line = usual();
        line.tempo = row[i].tempo;
        row_near(row[i].why, row[i].height, thew_set_line_height(&line, row[i].time_s), 1e-12);
    }
    thew_set_line hold = usual();
    hold.kind = THEW_HOLD;
    for (double t = 0; t < 90; t += 7.3)
        row_near("a hold is level throughout", .5, thew_set_line_height(&hold, t), 0);
    row_text("a hold", "holding", thew_set_line_phase(&hold, 30));
    rows_end(20);
}

// From the page back to seconds: the window and the start of the axis tell the scale.
typedef struct {
    double left, px_per_s, top, high;
} scale;

static scale scale_of(const shapes *all, const thew_set_line *line)
{
    const shape *window = shapes_find("window", all, "window", 0), *done = shapes_find("line", all, "pen done", 0);
    double px_per_s = shape_number(window, "width") / (line->window_to_s - line->window_from_s);
    g_autoptr(GArray) spots = path_spots(shape_text(done, "d"));
    double least = INFINITY, most = -INFINITY;
    for (guint i = 0; i < spots->len; i++) {
        least = fmin(least, g_array_index(spots, spot, i).y);
        most = fmax(most, g_array_index(spots, spot, i).y);
    }
    return (scale){ shape_number(window, "x") - line->window_from_s * px_per_s, px_per_s, least, most - least };
}

// Every corner of the line lies where the tempo has it.
static void test_the_line_follows_the_tempo(void **state)
{
    (void)state;
    static const thew_tempo tempo[] = { { 7, 1, 7, 1 }, { 3, 0, 2, 0 }, { 2, 5, 4, 1 } };
    static const double width[] = { 320, 800, 1440 };
    EACH(t, tempo)
    EACH(w, width)
    for (int lifting = 0; lifting <= 1; lifting++) {
        thew_set_line line = usual();
        line.tempo = tempo[t];
        line.starts_lifting = lifting;
        line.width_px = width[w];
        g_autofree char *svg = thew_set_line_svg(&line);
        g_auto(shapes) all = shapes_of("line", svg);
        scale on = scale_of(&all, &line);
        row_near("begins at 0 s", on.left, path_spot(shapes_find("line", &all, "pen done", 0), 0).x, .02);
        g_autoptr(GArray) spots = path_spots(shape_text(shapes_find("line", &all, "pen done", 0), "d"));
        row_between("as many corners as there are turns", 90 / thew_tempo_cycle_s(tempo[t]) * 2, spots->len, 100);
        for (guint i = 0; i < spots->len; i++) {
            spot p = g_array_index(spots, spot, i);
            double time_s = (p.x - on.left) / on.px_per_s, height = 1 - (p.y - on.top) / on.high;
            // a corner's time is known to a hundredth of a pixel; before and after it the line is within what it moves in that time
            double slack = .02 / on.px_per_s / 2 + 2 * PRINTED / on.high;
            double before = thew_set_line_height(&line, fmax(time_s - .001, 0)),
                   behind = thew_set_line_height(&line, time_s + .001);
            row_near("on the line", 0, fmin(fabs(height - before), fabs(height - behind)), slack + .002);
        }
    }
    rows_end(300);
}

static void test_the_window_and_the_floor(void **state)
{
    (void)state;
    thew_set_line line = usual();
    g_autofree char *svg = thew_set_line_svg(&line);
    g_auto(shapes) all = shapes_of("window", svg);
    scale on = scale_of(&all, &line);
    const shape *edge = shapes_find("edge", &all, "s0", 0), *other = shapes_find("edge", &all, "s0", 1),
                *floor = shapes_find("floor", &all, "floor", 0);
    row_near("the window's start is marked", on.left + 60 * on.px_per_s, shape_number(edge, "x1"), .02);
    row_near("its end too", on.left + 90 * on.px_per_s, shape_number(other, "x1"), .02);
    row_near("the floor", on.left + 30 * on.px_per_s, shape_number(floor, "x1"), .02);
    g_autofree char *texts = shapes_texts(&all);
    static const char *const word[] = { "\n0\n", "\n30\n", "\nfloor\n", "\n60\n", "\n90 s\n", "\nwindow\n" };
    EACH(w, word) row_has("words", word[w], texts);
    line.floor_s = 0;
    g_autofree char *without = thew_set_line_svg(&line);
    g_auto(shapes) none = shapes_of("no floor", without);
    row_near("no floor", 0, shapes_count(&none, "floor"), 0);
    rows_end(12);
}

static void test_every_end_has_its_own_sign(void **state)
{
    (void)state;
    static const struct {
        thew_ended ended;
        const char *classes, *word;
    } row[] = {
        { THEW_FAILURE, "failure", "failure 50 s" }, { THEW_COMPLETED, "completed", "completed 50 s" },
        { THEW_RESERVE, "reserve", "reserve 50 s" }, { THEW_SYMPTOM, "symptom", "symptom 50 s" },
        { THEW_OTHER, "other", "other 50 s" },
    };
    EACH(i, row)
    for (thew_set_line_size size = THEW_SET_LINE_WIDE; size <= THEW_SET_LINE_SMALL; size++) {
        thew_set_line line = usual();
        line.size = size;
        line.mark[0] = (thew_set_line_mark){ row[i].ended, 50, 0 };
        line.mark_count = 1;
        g_autofree char *svg = thew_set_line_svg(&line);
        g_auto(shapes) all = shapes_of(row[i].word, svg);
        EACH(j, row) row_near(row[i].word, j == i, shapes_count(&all, row[j].classes), 0);
        scale on = scale_of(&all, &line);
        const shape *sign = shapes_find(row[i].word, &all, row[i].classes, 0);
        bool circle = strcmp(sign->name, "circle") == 0;
        double x = on.left + 50 * on.px_per_s;
        double middle = circle ? shape_number(sign, "cx")
                               : (path_spot(sign, 0).x + path_spot(sign, row[i].ended == THEW_COMPLETED ? 1 : 2).x) / 2;
        row_near("at its time", x, middle, row[i].ended == THEW_COMPLETED ? 4 : .02);
        spot end = path_spot(shapes_find("line", &all, "pen done", 0), -1);
        row_near("what was done ends there", x, end.x, .02);
        if (circle) row_near("on the line", end.y, shape_number(sign, "cy"), PRINTED);
        g_autofree char *texts = shapes_texts(&all);
        if (size == THEW_SET_LINE_WIDE)
            row_has("its word", row[i].word, texts);
        else
            row_text("a row in a table has no words", "\n", texts);
    }
    rows_end(90);
}

static void test_a_reserve_reaches_as_far_as_was_felt(void **state)
{
    (void)state;
    thew_set_line line = usual();
    line.mark[0] = (thew_set_line_mark){ THEW_RESERVE, 50, 12 };
    line.mark_count = 1;
    g_autofree char *svg = thew_set_line_svg(&line);
    g_auto(shapes) all = shapes_of("reserve", svg);
    scale on = scale_of(&all, &line);
    const shape *dots = NULL;
    for (guint i = 0; i < all.shape->len; i++) {
        const shape *s = all.shape->pdata[i];
        if (strcmp(s->name, "line") == 0 && strcmp(shape_text(s, "class"), "line s2") == 0) dots = s;
    }
    assert_non_null(dots);
    row_near("from the end", on.left + 50 * on.px_per_s, shape_number(dots, "x1"), .02);
    row_near("twelve seconds on", on.left + 62 * on.px_per_s, shape_number(dots, "x2"), .02);
    rows_end(3);
}

static void test_what_is_expected_is_a_bracket(void **state)
{
    (void)state;
    static const struct {
        const char *why;
        double p10_s, p50_s, p90_s;
        double to_s; // NAN: open to the right
        bool middle;
        const char *words;
    } row[] = {
        { "inside", 58, 70, 84, 84, true, "expected 58 to 84 s" },
        { "no end", 58, 80, INFINITY, NAN, true, "expected 58 s or more" },
        { "far out", 70, 400, 900, NAN, false, "expected 70 to 900 s" },
        { "all at once", 60, 60, 60, 60, true, "expected 60 to 60 s" },
        { "beyond everything", 500, INFINITY, INFINITY, NAN, false, "expected 500 s or more" },
    };
    EACH(i, row)
    {
        thew_set_line line = usual();
        line.has_expected = true;
        line.p10_s = row[i].p10_s;
        line.p50_s = row[i].p50_s;
        line.p90_s = row[i].p90_s;
        g_autofree char *svg = thew_set_line_svg(&line);
        g_auto(shapes) all = shapes_of(row[i].why, svg);
        scale on = scale_of(&all, &line);
        const shape *bracket = shapes_find(row[i].why, &all, "expected", 0);
        double wide = shape_number(all.shape->pdata[0], "width");
        row_near("p10", fmin(on.left + row[i].p10_s * on.px_per_s, wide - on.left), path_spot(bracket, 0).x, .02);
        if (!isnan(row[i].to_s)) row_near("p90", on.left + row[i].to_s * on.px_per_s, path_spot(bracket, -1).x, .02);
        row_near("p50 is a dot", row[i].middle, shapes_count(&all, "orange"), 0);
        g_autofree char *texts = shapes_texts(&all);
        row_has("words", row[i].words, texts);
        check_document(row[i].why, svg, "set-line-", 800);
    }
    rows_end(50);
}

static void test_the_marker_rides_the_line(void **state)
{
    (void)state;
    for (double now = 0; now < 100; now += 3.7) {
        thew_set_line line = usual();
        line.has_now = true;
        line.now_s = now;
        g_autofree char *svg = thew_set_line_svg(&line);
        g_auto(shapes) all = shapes_of("now", svg);
        const shape *window = shapes_find("now", &all, "window", 0), *marker = shapes_find("now", &all, "now", 0);
        double px_per_s = shape_number(window, "width") / 30, left = shape_number(window, "x") - 60 * px_per_s;
        row_near("at its time", left + now * px_per_s, shape_number(marker, "cx"), .02);
        const shape *rest = shapes_find("now", &all, "pen rest", 0);
        row_near("the rest of the line begins there", path_spot(rest, 0).y, shape_number(marker, "cy"), PRINTED);
        row_near("the line's own height", thew_set_line_height(&line, now),
                 1 - (shape_number(marker, "cy") - path_spot(rest, 1).y) / 92 -
                     (1 - thew_set_line_height(&line, (path_spot(rest, 1).x - left) / px_per_s)),
                 .01);
    }
    rows_end(80);
}

static void test_earlier_bests_point_at_the_line(void **state)
{
    (void)state;
    thew_set_line line = usual();
    line.best_s[0] = 55;
    line.best_s[1] = 71;
    line.best_count = 2;
    g_autofree char *svg = thew_set_line_svg(&line);
    g_auto(shapes) all = shapes_of("bests", svg);
    scale on = scale_of(&all, &line);
    row_near("two", 2, shapes_count(&all, "best"), 0);
    for (int b = 0; b < 2; b++)
        row_near("its tip", on.left + line.best_s[b] * on.px_per_s, path_spot(shapes_find("best", &all, "best", b), 0).x, .02);
    g_autofree char *texts = shapes_texts(&all);
    row_has("word", "best 55 s", texts);
    row_has("word", "best 71 s", texts);
    rows_end(6);
}

static void test_words(void **state)
{
    (void)state;
    thew_set_line line = usual();
    line.mark[0] = (thew_set_line_mark){ THEW_FAILURE, 75, 0 };
    line.mark[1] = (thew_set_line_mark){ THEW_COMPLETED, 90, 0 };
    line.mark_count = 2;
    line.best_s[0] = 68;
    line.best_count = 1;
    line.has_expected = true;
    line.p10_s = 58;
    line.p50_s = 70;
    line.p90_s = 84;
    line.title = "Row <left> & right";
    g_autofree char *words = thew_set_line_words(&line);
    row_text("all",
             "Tempo 7, 1, 7, 1 seconds, from the lowering. The window is from 60 to 90 s, the floor at 30 s. At 75 s: momentary "
             "failure, "
             "while lifting, then went on. At 90 s: completed. Earlier best: 68 s. Failure is expected 58 to 84 s, most likely "
             "about 70 s.",
             words);
    g_autofree char *svg = thew_set_line_svg(&line);
    row_has("in the document, for those who cannot see it", words, svg);
    row_has("escaped", "Row &lt;left&gt; &amp; right", svg);
    rows_end(3);
}

// Everything at once, at every width: nothing leaves the page, no text lies on another.
static void test_documents(void **state)
{
    (void)state;
    static const double width[] = { 320, 390, 768, 800, 1440 };
    EACH(w, width)
    for (thew_ended ended = THEW_FAILURE; ended <= THEW_OTHER; ended++)
        for (double at_s = 0; at_s <= 120; at_s += 11.9) {
            thew_set_line line = usual();
            line.prefix = "two";
            line.width_px = width[w];
            line.kind = ended == THEW_RESERVE ? THEW_HOLD : THEW_REPETITIONS;
            line.title = "Seated straight-arm pull with the long green band, left side";
            line.mark[0] = (thew_set_line_mark){ ended, at_s, 9 };
            line.mark_count = 1;
            line.best_s[0] = 62;
            line.best_s[1] = 70;
            line.best_s[2] = 71;
            line.best_count = 3;
            line.has_expected = true;
            line.p10_s = at_s;
            line.p50_s = at_s + 20;
            line.p90_s = at_s + 40;
            line.has_now = true;
            line.now_s = at_s;
            g_autofree char *why = g_strdup_printf("%g px, end %d at %g s", width[w], (int)ended, at_s);
            g_autofree char *svg = thew_set_line_svg(&line);
            check_document(why, svg, "two-", width[w]);
            check_texts_apart(why, svg);
            line.size = THEW_SET_LINE_SMALL;
            g_autofree char *small = thew_set_line_svg(&line);
            check_document(why, small, "two-", width[w]);
        }
    rows_end(10000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_heights),
        cmocka_unit_test(test_other_tempos),
        cmocka_unit_test(test_the_line_follows_the_tempo),
        cmocka_unit_test(test_the_window_and_the_floor),
        cmocka_unit_test(test_every_end_has_its_own_sign),
        cmocka_unit_test(test_a_reserve_reaches_as_far_as_was_felt),
        cmocka_unit_test(test_what_is_expected_is_a_bracket),
        cmocka_unit_test(test_the_marker_rides_the_line),
        cmocka_unit_test(test_earlier_bests_point_at_the_line),
        cmocka_unit_test(test_words),
        cmocka_unit_test(test_documents),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
