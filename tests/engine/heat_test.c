// heat_test.c: the heat index against the printed table and its own definition (heat_index.csv), and the calls made from it.
// The printed table is the bare regression: the two are tested apart. Only the cells that the file lists are at hand, not all 135.
#include "rows.h"

#include "engine/heat.h"

static bool is_check(const csv *table)
{
    return csv_is(table, "kind", "check");
}
static bool has(const csv *table, const char *column)
{
    return csv_text(table, column)[0] != 0;
}

static const char *named(const csv *table)
{
    static char why[64];
    snprintf(why, sizeof why, "%s F, %s %%", csv_text(table, "temp_f"), csv_text(table, "rh_percent"));
    return why;
}

// Cells printed in whole degrees, rounded half up. One is odd: 90 F, 45 % prints 93 where the formula gives 92.49.
static void regression_is_the_printed_table(void **state)
{
    (void)state;
    int odd = 0;
    csv *table = csv_open("heat_index.csv");
    while (csv_next(table)) {
        if (!is_check(table) || !has(table, "printed_table_f") || csv_is(table, "name", "simple branch")) continue;
        double air = csv_number(table, "temp_f"), humidity = csv_number(table, "rh_percent");
        double printed = csv_number(table, "printed_table_f"), obtained = thew_heat_regression_f(air, humidity);
        if (air == 90 && humidity == 45) {
            odd++;
            row_near("the odd cell: the formula", 92.49, obtained, .00501);
            row_near("the odd cell: the table", 93, printed, 0);
            continue;
        }
        row_between(named(table), printed - .5, obtained, printed + .4999999);
    }
    assert_int_equal(odd, 1);
    rows_end(30);
}

// Both columns to .01 F. expected_plain_f is the regression where it applies; under 80 F the simple form stands in both columns.
static void index_is_its_definition(void **state)
{
    (void)state;
    csv *table = csv_open("heat_index.csv");
    while (csv_next(table)) {
        if (!is_check(table)) continue;
        double air = csv_number(table, "temp_f"), humidity = csv_number(table, "rh_percent");
        double expected = csv_number(table, "expected_adjusted_f"), plain = csv_number(table, "expected_plain_f");
        row_near(named(table), expected, thew_heat_index_f(air, humidity), .00501);
        row_near(named(table), (expected - 32) / 1.8, thew_heat_index_c((air - 32) / 1.8, humidity), .00501 / 1.8 + 1e-12);
        if (plain >= 80) row_near(named(table), plain, thew_heat_regression_f(air, humidity), .00501);
    }
    rows_end(100);
}

// Rows "jump": what the index does just past the air temperature at which the simple form reaches 80 F (printed to .01).
static void it_jumps_where_the_table_says(void **state)
{
    (void)state;
    csv *table = csv_open("heat_index.csv");
    while (csv_next(table)) {
        if (!csv_is(table, "kind", "jump")) continue;
        double humidity = csv_number(table, "rh_percent");
        double air = (80 - .5 * (61 - 68 * 1.2 + humidity * .094)) / 1.1; // the simple form solved for 80
        row_near(named(table), csv_number(table, "temp_f"), air, .00501);
        row_near(named(table), csv_number(table, "coefficient_or_value"),
                 thew_heat_index_f(air + 1e-9, humidity) - thew_heat_index_f(air - 1e-9, humidity), .00501);
    }
    rows_end(14);
}

static void adjustments_keep_to_their_ranges(void **state)
{
    (void)state;
    // clang-format off
    static const struct {
        const char *why;
        double air_f, humidity, adjustment_f;
    } row[] = {
        { "dry: at 13 % nothing",                95,  13,  0             },
        { "dry: and none above 13 %",            95,  13.9, 0             },
        { "dry: (13 - 5) / 4 at 95 F",           95,  5,   -2            },
        { "dry: gone at 112 F",                  112, 5,   0             },
        { "dry: none above",                     113, 5,   0             },
        { "dry: sqrt(2 / 17) below 80 by two",   110, 9,   -.34299717029 }, // -1 x sqrt(2 / 17)
        { "humid: at 85 % nothing",              82,  85,  0             },
        { "humid: and none under 85 %",          82,  81,  0             },
        { "humid: 1.5 x 1 at 82 F",              82,  100, 1.5           },
        { "humid: gone at 87 F",                 87,  100, 0             },
        { "humid: none above",                   90,  100, 0             },
        { "neither in between",                  90,  50,  0             },
    };
    // clang-format on
    EACH(i, row)
    row_near(row[i].why, row[i].adjustment_f,
             thew_heat_index_f(row[i].air_f, row[i].humidity) - thew_heat_regression_f(row[i].air_f, row[i].humidity), 1e-9);
    rows_end(12);
}

// ---- calls ----

// Limits of safety rules M09 and M10: 27 and 32 C, heat-sensitive 24 and 27 C; taken back 1 C under.
static void calls_from_a_cool_room(void **state)
{
    (void)state;
    // clang-format off
    static const struct {
        double index_c;
        thew_heat_call usual, sensitive;
    } row[] = {
        { 15,    THEW_HEAT_FINE,    THEW_HEAT_FINE    },
        { 23.99, THEW_HEAT_FINE,    THEW_HEAT_FINE    },
        { 24,    THEW_HEAT_FINE,    THEW_HEAT_LIGHTEN },
        { 26.99, THEW_HEAT_FINE,    THEW_HEAT_LIGHTEN },
        { 27,    THEW_HEAT_LIGHTEN, THEW_HEAT_PAUSE   },
        { 31.99, THEW_HEAT_LIGHTEN, THEW_HEAT_PAUSE   },
        { 32,    THEW_HEAT_PAUSE,   THEW_HEAT_PAUSE   },
        { 45,    THEW_HEAT_PAUSE,   THEW_HEAT_PAUSE   },
    };
    // clang-format on
    EACH(i, row)
    {
        row_near("usual", row[i].usual, thew_heat_advise(row[i].index_c, false, THEW_HEAT_FINE), 0);
        row_near("heat-sensitive", row[i].sensitive, thew_heat_advise(row[i].index_c, true, THEW_HEAT_FINE), 0);
    }
    rows_end(16);
}

// Readings one after another, each knowing the call before.
static void calls_are_taken_back_late(void **state)
{
    (void)state;
    // clang-format off
    static const struct {
        const char *why;
        bool sensitive;
        double index_c[6];
        thew_heat_call call[6];
    } row[] = {
        { "around the lower limit",       false, { 26.9, 27, 26.9, 26.01, 26, 26.9 }, { 0, 1, 1, 1, 0, 0 } },
        { "around the upper limit",       false, { 31.9, 32, 31.5, 31.01, 31, 31.9 }, { 1, 2, 2, 2, 1, 1 } },
        { "a storm: from pause to fine",  false, { 35, 35, 25, 25, 26.5, 27 },        { 2, 2, 0, 0, 0, 1 } },
        { "from pause into the margin",   false, { 33, 26.5, 26.5, 26, 26.5, 28 },    { 2, 1, 1, 0, 0, 1 } },
        { "sensitive: both limits",       true,  { 23.9, 24, 23.5, 27, 26.5, 26 },    { 0, 1, 1, 2, 2, 1 } },
        { "sensitive: down through both", true,  { 27, 26, 24, 23.5, 23, 23.5 },      { 2, 1, 1, 1, 0, 0 } },
    };
    // clang-format on
    EACH(i, row)
    {
        thew_heat_call before = THEW_HEAT_FINE;
        EACH(k, row[i].index_c)
        {
            before = thew_heat_advise(row[i].index_c[k], row[i].sensitive, before);
            char why[64];
            snprintf(why, sizeof why, "%s, reading %zu", row[i].why, k);
            row_near(why, row[i].call[k], before, 0);
        }
    }
    rows_end(36);
}

// A thermometer that trembles by half a degree Fahrenheit around the formula's own switch, at any humidity: at most one change of
// call.
static void a_trembling_thermometer_does_not_flap(void **state)
{
    (void)state;
    for (int humidity = 0; humidity <= 100; humidity++)
        for (int sensitive = 0; sensitive < 2; sensitive++) {
            double air = (80 - .5 * (61 - 68 * 1.2 + humidity * .094)) / 1.1;
            thew_heat_call before =
                thew_heat_advise((thew_heat_index_f(air - .25, humidity) - 32) / 1.8, sensitive, THEW_HEAT_FINE);
            int changes = 0;
            for (int reading = 0; reading < 20; reading++) {
                double index_c = (thew_heat_index_f(air + (reading % 2 ? -.25 : .25), humidity) - 32) / 1.8;
                thew_heat_call call = thew_heat_advise(index_c, sensitive, before);
                changes += call != before;
                before = call;
            }
            row_between("changes of call", 0, changes, 1);
        }
    rows_end(202);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(regression_is_the_printed_table),
        cmocka_unit_test(index_is_its_definition),
        cmocka_unit_test(it_jumps_where_the_table_says),
        cmocka_unit_test(adjustments_keep_to_their_ranges),
        cmocka_unit_test(calls_from_a_cool_room),
        cmocka_unit_test(calls_are_taken_back_late),
        cmocka_unit_test(a_trembling_thermometer_does_not_flap),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
