// curve_test.c: the band's curve as a picture: what it shows, and that it can be read and heard.
#include "draw/curve.h"

#include "tests/draw/shape.h"

static thew_band rubber(void)
{
    thew_band band;
    thew_reading reading[] = { { 2.25, 30 }, { 3, 41 }, { 3.75, 50 } };
    assert_true(thew_band_fit(1.5, reading, 3, 0, &band, NULL) >= 0);
    return band;
}

static void documents_are_well_formed(void **state)
{
    (void)state;
    thew_band band = rubber(), guess = thew_band_unmeasured(.3, 4);
    static const thew_reading reading[] = { { 2.25, 30 }, { 3, 41 }, { 3.75, 50 } };
    thew_reading many[40];
    for (int r = 0; r < 40; r++)
        many[r] = (thew_reading){ 1.6 + .07 * r, 20 + r };
    const struct {
        const char *why;
        thew_curve_plot plot;
        double width;
    } row[] = {
        { "a measured band", { "green", &band, reading, 3, NULL, 0 }, 800 },
        { "narrow", { "green", &band, reading, 3, "kit", 320 }, 320 },
        { "a label that would be markup", { "<b> & \"c\"", &band, reading, 3, NULL, 0 }, 800 },
        { "no label yet", { NULL, &band, reading, 1, NULL, 480 }, 480 },
        { "never measured", { "loop", &guess, NULL, 0, NULL, 0 }, 800 },
        { "more readings than there is room for", { "green", &band, many, 40, NULL, 0 }, 800 },
    };
    EACH(i, row)
    {
        g_autofree char *svg = thew_curve_svg(&row[i].plot);
        check_document(row[i].why, svg, row[i].plot.prefix ? row[i].plot.prefix : "curve", row[i].width);
        row_has(row[i].why, "80 in 100", svg);
    }
    rows_end(12);
}

// Marks stand where the readings are: further right and higher for the longer one.
static void readings_are_marked(void **state)
{
    (void)state;
    thew_band band = rubber();
    static const thew_reading reading[] = { { 2.25, 30 }, { 3, 41 }, { 3.75, 50 } };
    g_autofree char *svg = thew_curve_svg(&(thew_curve_plot){ "green", &band, reading, 3, NULL, 0 });
    g_auto(shapes) all = shapes_of("curve", svg);
    row_near("a mark each", 3, shapes_count(&all, "mark"), 0);
    for (int m = 0; m + 1 < 3; m++) {
        const shape *one = shapes_find("mark", &all, "mark", m), *next = shapes_find("mark", &all, "mark", m + 1);
        row_true("longer", "further right", shape_number(next, "cx") > shape_number(one, "cx"));
        row_true("stronger", "higher up", shape_number(next, "cy") < shape_number(one, "cy"));
    }
    rows_end(5);
}

// What is seen is also said: the force at twice the rest length with its interval.
static void it_says_what_it_shows(void **state)
{
    (void)state;
    thew_band band = rubber();
    g_autofree char *said = g_strdup_printf("At twice the rest length it is %.1f newtons, from", thew_band_force_n(&band, 2));
    g_autofree char *svg = thew_curve_svg(&(thew_curve_plot){ "green", &band, NULL, 0, NULL, 0 });
    row_has("force", said, svg);
    row_has("what it rests on", "0 readings", svg);
    thew_reading far = { 6, 100 };
    g_autofree char *longer = thew_curve_svg(&(thew_curve_plot){ "green", &band, &far, 1, NULL, 0 });
    row_has("as far as somebody measured", "to 6.00 m", longer);
    row_has("else three times the rest length", "to 4.50 m", svg);
    rows_end(4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(documents_are_well_formed),
        cmocka_unit_test(readings_are_marked),
        cmocka_unit_test(it_says_what_it_shows),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
