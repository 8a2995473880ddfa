// odds_test.c: the ladder's bars: parts as wide as they are likely, numbers that say the same, one rung advised.
#include "draw/odds.h"

#include "shape.h"

#define PRINTED .0051

static const char *const part_class[] = { "part floor", "part early", "part window", "part beyond" };

static thew_odds odds_of(double floor, double early, double window)
{
    return (thew_odds){ .p_floor = floor, .p_early = early, .p_window = window, .p_beyond = 1 - floor - early - window };
}

static thew_odds_ladder ladder_of(const thew_odds_rung *rung, int count)
{
    return (thew_odds_ladder){
        .title = "Seated row, left", .floor_s = 30, .window_from_s = 60, .window_to_s = 90, .rung = rung, .rung_count = count
    };
}

static void test_in_100(void **state)
{
    (void)state;
    static const struct {
        const char *why;
        double floor, early, window;
        int in_100[THEW_ODDS_PARTS];
    } row[] = {
        { "whole", .04, .22, .58, { 4, 22, 58, 16 } },
        { "the largest remainder is rounded up", .041, .224, .576, { 4, 22, 58, 16 } },
        { "of equal remainders the first", .005, .005, .495, { 1, 1, 49, 49 } },
        { "thirds", 1 / 3.0, 1 / 3.0, 1 / 3.0, { 34, 33, 33, 0 } },
        { "certain", 0, 0, 1, { 0, 0, 100, 0 } },
        { "hardly ever", .001, .001, .001, { 0, 0, 0, 100 } },
    };
    EACH(i, row)
    {
        thew_odds odds = odds_of(row[i].floor, row[i].early, row[i].window);
        int in_100[THEW_ODDS_PARTS];
        thew_odds_in_100(&odds, in_100);
        for (int p = 0; p < THEW_ODDS_PARTS; p++)
            row_near(row[i].why, row[i].in_100[p], in_100[p], 0);
    }
    uint64_t seed = 71;
    for (int n = 0; n < 2000; n++) {
        double cut[3] = { random_unit(&seed), random_unit(&seed), random_unit(&seed) },
               sum = cut[0] + cut[1] + cut[2] + random_unit(&seed);
        thew_odds odds = odds_of(cut[0] / sum, cut[1] / sum, cut[2] / sum);
        const double p[] = { odds.p_floor, odds.p_early, odds.p_window, odds.p_beyond };
        int in_100[THEW_ODDS_PARTS], total = 0;
        thew_odds_in_100(&odds, in_100);
        for (int k = 0; k < THEW_ODDS_PARTS; k++) {
            total += in_100[k];
            row_between("never a whole one off (seed 71)", 100 * p[k] - 1, in_100[k], 100 * p[k] + 1);
        }
        row_near("they add up (seed 71)", 100, total, 0);
    }
    rows_end(10000);
}

// Invented odds, from light to heavy.
static const thew_odds_rung rungs[] = {
    { "red, mark-4", { .p_floor = .02, .p_early = .10, .p_window = .38, .p_beyond = .50 }, false, false },
    { "red, mark-6", { .p_floor = .04, .p_early = .18, .p_window = .52, .p_beyond = .26 }, false, true },
    { "green, mark-2", { .p_floor = .06, .p_early = .26, .p_window = .54, .p_beyond = .14 }, true, false },
    { "green & blue, mark-5", { .p_floor = .612, .p_early = .335, .p_window = .0528, .p_beyond = .0002 }, false, false },
};
#define RUNGS ((int)G_N_ELEMENTS(rungs))

static void test_bars(void **state)
{
    (void)state;
    static const double width[] = { 320, 390, 768, 1440 };
    EACH(w, width)
    {
        thew_odds_ladder ladder = ladder_of(rungs, RUNGS);
        ladder.width_px = width[w];
        g_autofree char *svg = thew_odds_svg(&ladder);
        g_auto(shapes) all = shapes_of("bars", svg);
        for (int r = 0; r < RUNGS; r++) {
            const double p[] = { rungs[r].odds.p_floor, rungs[r].odds.p_early, rungs[r].odds.p_window, rungs[r].odds.p_beyond };
            const shape *part[THEW_ODDS_PARTS];
            double total = 0, end = NAN;
            for (int k = 0; k < THEW_ODDS_PARTS; k++) {
                part[k] = shapes_find(rungs[r].label, &all, part_class[k], r + 1); // the first is the key's
                if (!part[k]) return;
                total += shape_number(part[k], "width");
                if (k > 0) row_near("one after the other", end, shape_number(part[k], "x"), 2 * PRINTED);
                end = shape_number(part[k], "x") + shape_number(part[k], "width");
                row_near("in one row", shape_number(part[0], "y"), shape_number(part[k], "y"), 0);
            }
            const shape *first = shapes_find("first bar", &all, part_class[0], 1),
                        *last = shapes_find("last part", &all, part_class[3], 1);
            double whole = shape_number(last, "x") + shape_number(last, "width") - shape_number(first, "x");
            row_near("the widths sum to the whole bar", whole, total, .03);
            for (int k = 0; k < THEW_ODDS_PARTS; k++)
                row_near("as wide as it is likely", p[k] * whole, shape_number(part[k], "width"), .02);
        }
    }
    rows_end(190);
}

// The numbers stand below their bar, in its order, and apart.
static void test_numbers(void **state)
{
    (void)state;
    static const char *const number[][THEW_ODDS_PARTS] = {
        { "2", "10", "38", "50" }, { "4", "18", "52", "26" }, { "6", "26", "54", "14" }, { "61", "34", "5", "<1" }
    };
    thew_odds_ladder ladder = ladder_of(rungs, RUNGS);
    g_autofree char *svg = thew_odds_svg(&ladder);
    g_auto(shapes) all = shapes_of("numbers", svg);
    for (int r = 0; r < RUNGS; r++) {
        const shape *bar = shapes_find("bar", &all, part_class[0], r + 1), *end = shapes_find("bar", &all, part_class[3], r + 1);
        double y = shape_number(bar, "y") + shape_number(bar, "height"), before = -INFINITY;
        int found = 0;
        for (guint i = 0; i < all.shape->len && found < THEW_ODDS_PARTS; i++) {
            const shape *s = all.shape->pdata[i];
            if (strcmp(s->name, "text") != 0 || shape_number(s, "y") < y || shape_number(s, "y") > y + 25 ||
                shape_number(s, "x") < shape_number(bar, "x"))
                continue;
            row_text(rungs[r].label, number[r][found++], s->text->str);
            row_between("apart from the one before", before + 30, shape_number(s, "x"), INFINITY);
            row_between("below the bar", shape_number(bar, "x"), shape_number(s, "x"),
                        shape_number(end, "x") + shape_number(end, "width"));
            before = shape_number(s, "x");
        }
        row_near("four", THEW_ODDS_PARTS, found, 0);
    }
    rows_end(50);
}

static void test_marks(void **state)
{
    (void)state;
    thew_odds_ladder ladder = ladder_of(rungs, RUNGS);
    g_autofree char *svg = thew_odds_svg(&ladder);
    g_auto(shapes) all = shapes_of("marks", svg);
    g_autofree char *texts = shapes_texts(&all);
    row_near("one frame", 1, shapes_count(&all, "frame"), 0);
    row_near("one arrow", 1, shapes_count(&all, "advised"), 0);
    row_near("one ring", 1, shapes_count(&all, "last"), 0);
    row_has("the word under its label", "\ngreen, mark-2\nadvised\n", texts);
    row_has("and of the last", "\nred, mark-6\nlast time\n", texts);
    const shape *frame = shapes_find("frame", &all, "frame", 0), *bar = shapes_find("bar", &all, part_class[2], 3);
    row_between("the frame is round the advised bar", shape_number(frame, "y"), shape_number(bar, "y"),
                shape_number(frame, "y") + shape_number(frame, "height"));
    thew_odds_rung same = rungs[2];
    same.is_last = true;
    ladder = ladder_of(&same, 1);
    g_autofree char *one = thew_odds_svg(&ladder);
    row_has("the same as last time", ">advised, as last time<", one);
    rows_end(8);
}

static void test_words(void **state)
{
    (void)state;
    thew_odds_ladder ladder = ladder_of(rungs, RUNGS);
    ladder.title = "<Row>";
    g_autofree char *svg = thew_odds_svg(&ladder);
    row_has("for those who cannot see it",
            "green, mark-2 (advised): 6 under 30 s, 26 30 to 60 s, 54 window, 60 to 90 s, 14 completed.", svg);
    row_has("escaped", "green &amp; blue, mark-5", svg);
    row_has("escaped", "<title id=\"odds-title\">&lt;Row&gt;</title>", svg);
    rows_end(3);
}

// Each part can be told from the others without colour: crossed, hatched, full, empty.
static void test_textures(void **state)
{
    (void)state;
    thew_odds_rung one = { "one", odds_of(.25, .25, .25), false, false };
    thew_odds_ladder ladder = ladder_of(&one, 1);
    g_autofree char *svg = thew_odds_svg(&ladder);
    g_auto(shapes) all = shapes_of("textures", svg);
    guint strokes[THEW_ODDS_PARTS] = { 0 };
    for (int k = 0; k < THEW_ODDS_PARTS; k++) {
        const shape *part = shapes_find("part", &all, part_class[k], 1);
        double left = shape_number(part, "x"), right = left + shape_number(part, "width"), top = shape_number(part, "y"),
               bottom = top + shape_number(part, "height");
        for (guint i = 0; i < all.shape->len; i++) {
            const shape *s = all.shape->pdata[i];
            if (strcmp(s->name, "path") != 0 || !shape_is(s, "pen")) continue;
            g_autoptr(GArray) spots = path_spots(shape_text(s, "d"));
            spot first = g_array_index(spots, spot, 0);
            if (first.x < left - .01 || first.x > right + .01 || first.y < top - .01 || first.y > bottom + .01) continue;
            strokes[k] += spots->len / 2;
            for (guint p = 0; p < spots->len; p++) {
                row_between("the hatch stays in its part", left - .01, g_array_index(spots, spot, p).x, right + .01);
                row_between("the hatch stays in its part", top - .01, g_array_index(spots, spot, p).y, bottom + .01);
            }
        }
    }
    row_between("hatched", 10, strokes[THEW_ODDS_EARLY], 1000);
    row_near("crossed: twice as many", 2 * strokes[THEW_ODDS_EARLY], strokes[THEW_ODDS_FLOOR], 4);
    row_near("not hatched", 0, strokes[THEW_ODDS_WINDOW] + strokes[THEW_ODDS_BEYOND], 0);
    row_true("full", "the window is filled", shape_is(shapes_find("window", &all, part_class[THEW_ODDS_WINDOW], 1), "blue"));
    rows_end(50);
}

static void test_documents(void **state)
{
    (void)state;
    static const double width[] = { 320, 390, 768, 800, 1440 };
    uint64_t seed = 11;
    EACH(w, width)
    for (int count = 1; count <= 12; count += 5) {
        thew_odds_rung many[12];
        for (int r = 0; r < count; r++) {
            double window = random_unit(&seed), rest = 1 - window, floor = rest * random_unit(&seed);
            many[r] =
                (thew_odds_rung){ r % 2 ? "green + blue, the long one from the cupboard, mark-2" : "red",
                                  odds_of(floor, (rest - floor) * random_unit(&seed), window), r == count / 2, r == count / 3 };
        }
        thew_odds_ladder ladder = ladder_of(many, count);
        ladder.width_px = width[w];
        ladder.prefix = "o9";
        g_autofree char *why = g_strdup_printf("%d rungs at %g px (seed 11)", count, width[w]);
        g_autofree char *svg = thew_odds_svg(&ladder);
        check_document(why, svg, "o9-", width[w]);
        check_texts_apart(why, svg);
    }
    rows_end(3000);
}

static void test_only_telling_rungs_stay(void **state)
{
    (void)state;
    thew_odds_rung rung[] = {
        { .label = "far too light", .odds = { .p_window = .001, .p_beyond = .999 } },
        { .label = "the last one", .odds = { .p_window = .01, .p_beyond = .99 }, .is_last = true },
        { .label = "light", .odds = { .p_window = .05, .p_beyond = .95 } },
        { .label = "advised", .odds = { .p_window = .049, .p_beyond = .951 }, .is_advised = true },
        { .label = "far too heavy", .odds = { .p_window = .049, .p_floor = .951 } },
    };
    static const char *const left[] = { "the last one", "light", "advised" };
    row_near("three stay", 3, thew_odds_keep_telling(rung, 5), 0);
    for (int r = 0; r < 3; r++)
        row_text("in their order", left[r], rung[r].label);
    row_near("none of none", 0, thew_odds_keep_telling(rung, 0), 0);
    rows_end(5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_in_100),    cmocka_unit_test(test_bars),  cmocka_unit_test(test_numbers),
        cmocka_unit_test(test_marks),     cmocka_unit_test(test_words), cmocka_unit_test(test_textures),
        cmocka_unit_test(test_documents), cmocka_unit_test(test_only_telling_rungs_stay),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
