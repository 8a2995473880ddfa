// body_test.c: the body of engine/body.c against Winter's tables, and what it assumes of people it knows little of.
#include "rows.h"

#include "engine/body.h"

static const thew_body man = { THEW_SEX_MALE, 40, 1.75, 75 }; // invented; the size of the rows S01-S22 of statics.csv

// ---- tests/reference/segments_winter.csv ----

static double of_table(const char *type, const char *segment, const char *column)
{
    csv *table = csv_open("segments_winter.csv");
    double value = -1;
    while (csv_next(table))
        if (csv_is(table, "row_type", type) && csv_is(table, "segment", segment)) value = csv_number(table, column);
    if (value < 0) fail_msg("no row %s of %s", segment, type);
    return value;
}

static const struct {
    thew_segment segment;
    const char *length, *mass;
} named[] = {
    {THEW_SEGMENT_UPPER_ARM, "upper arm",               "upper arm"              },
    { THEW_SEGMENT_FOREARM,  "forearm",                 "forearm"                },
    { THEW_SEGMENT_HAND,     "hand",                    "hand"                   },
    { THEW_SEGMENT_THIGH,    "thigh",                   "thigh"                  },
    { THEW_SEGMENT_SHANK,    "shank",                   "shank"                  },
    { THEW_SEGMENT_FOOT,     "foot length",             "foot"                   },
    { THEW_SEGMENT_HAT,      "trunk (shoulder to hip)", "HAT (head, arms, trunk)"},
};

static void segments_are_those_of_the_table(void **state)
{
    (void)state;
    thew_body_model body = thew_body_build(man);
    for (size_t i = 0; i < sizeof named / sizeof *named; i++) {
        thew_segment_size size = body.segment[named[i].segment];
        double length_m = of_table("length", named[i].length, "length_fraction_of_stature") * 1.75;
        double mass_kg = of_table("inertia", named[i].mass, "mass_fraction_of_body") * 75;
        double centre = of_table("inertia", named[i].mass, "com_from_proximal_fraction_of_length");
        row_near(named[i].length, length_m, size.length_m, 1e-12);
        row_near(named[i].mass, mass_kg, size.mass_kg, 1e-12);
        // Table 4.1 measures the foot from the ankle to the ball, not from heel to toe: see the_foot_is_a_triangle.
        if (named[i].segment != THEW_SEGMENT_FOOT) row_near(named[i].mass, centre * length_m, size.centre_m, 1e-12);
    }
    row_near("foot breadth", of_table("length", "foot breadth", "length_fraction_of_stature") * 1.75, body.foot_breadth_m, 1e-12);
    row_near("ankle height", of_table("length", "ankle height", "length_fraction_of_stature") * 1.75, body.ankle_height_m, 1e-12);
    row_near("shoulder breadth", of_table("length", "shoulder breadth", "length_fraction_of_stature") * 1.75,
             body.shoulder_breadth_m, 1e-12);
    row_near("hip breadth", of_table("length", "hip breadth", "length_fraction_of_stature") * 1.75, body.hip_breadth_m, 1e-12);
    row_near("head and neck", of_table("length", "head and neck", "length_fraction_of_stature") * 1.75, body.head_m, 1e-12);
    rows_end(25);
}

static void masses_add_up(void **state)
{
    (void)state;
    thew_body_model body = thew_body_build(man);
    const thew_segment_size *s = body.segment;
    double hand = s[THEW_SEGMENT_HAND].mass_kg, forearm = s[THEW_SEGMENT_FOREARM].mass_kg, arm = s[THEW_SEGMENT_UPPER_ARM].mass_kg;
    double foot = s[THEW_SEGMENT_FOOT].mass_kg, shank = s[THEW_SEGMENT_SHANK].mass_kg, thigh = s[THEW_SEGMENT_THIGH].mass_kg;
    row_near("HAT and two legs are the body", 75, s[THEW_SEGMENT_HAT].mass_kg + 2 * (thigh + shank + foot), 1e-12);
    const struct {
        const char *composite;
        double mass_kg;
    } row[] = {
        {"forearm and hand", forearm + hand      },
        { "total arm",       arm + forearm + hand},
        { "foot and shank",  foot + shank        },
        { "total leg",       thigh + shank + foot},
    };
    for (size_t i = 0; i < sizeof row / sizeof *row; i++)
        row_near(row[i].composite, of_table("inertia", row[i].composite, "mass_fraction_of_body") * 75, row[i].mass_kg, 1e-12);
    double trunk = of_table("inertia", "trunk, head and neck", "mass_fraction_of_body") * 75;
    row_near("trunk, head, neck and two arms are HAT", s[THEW_SEGMENT_HAT].mass_kg, trunk + 2 * (arm + forearm + hand), 1e-12);
    rows_end(6);
}

// The composite rows are not quite consistent with the single ones (segments_winter.csv, notes): the tolerance is what the table
// itself is off by, and no more.
static void composite_centres_nearly_agree(void **state)
{
    (void)state;
    thew_body_model body = thew_body_build(man);
    const thew_segment_size *s = body.segment;
    double ua = s[THEW_SEGMENT_UPPER_ARM].length_m, fa = s[THEW_SEGMENT_FOREARM].length_m;
    double th = s[THEW_SEGMENT_THIGH].length_m, sh = s[THEW_SEGMENT_SHANK].length_m;
    double forearm_hand = (.016 * s[THEW_SEGMENT_FOREARM].centre_m + .006 * (fa + s[THEW_SEGMENT_HAND].centre_m)) / .022 / fa;
    double arm = (.028 * s[THEW_SEGMENT_UPPER_ARM].centre_m + .016 * (ua + s[THEW_SEGMENT_FOREARM].centre_m) +
                  .006 * (ua + fa + s[THEW_SEGMENT_HAND].centre_m)) /
                 .050 / (ua + fa);
    double leg = (.100 * s[THEW_SEGMENT_THIGH].centre_m + .0465 * (th + s[THEW_SEGMENT_SHANK].centre_m) + .0145 * (th + sh)) /
                 .161 / (th + sh);
    row_relative("forearm and hand", of_table("inertia", "forearm and hand", "com_from_proximal_fraction_of_length"), forearm_hand,
                 .01);
    row_relative("total arm", of_table("inertia", "total arm", "com_from_proximal_fraction_of_length"), arm, .03);
    row_relative("total leg", of_table("inertia", "total leg", "com_from_proximal_fraction_of_length"), leg, .037);
    rows_end(3);
}

static void the_foot_is_a_triangle(void **state)
{
    (void)state;
    thew_body_model body = thew_body_build(man);
    double foot_m = .152 * 1.75;
    row_near("heel to ball is .72 of the foot (memory)", .72 * foot_m, body.heel_behind_m + body.ball_ahead_m, 1e-12);
    row_near("the ankle stands at .25 (memory)", .25 * foot_m, body.heel_behind_m, 1e-12);
    double squared = body.ball_ahead_m * body.ball_ahead_m + body.ankle_height_m * body.ankle_height_m;
    double centre_m = body.segment[THEW_SEGMENT_FOOT].centre_m;
    row_near("its centre is half way from ankle to ball (Winter)", squared / 4, centre_m * centre_m, 1e-12);
    rows_end(3);
}

// ---- what is assumed ----

static void what_is_unknown_is_the_population(void **state)
{
    (void)state;
    // Fryar et al. 2021 (memory), as in body.c.
    thew_body_model woman = thew_body_build((thew_body){ .sex = THEW_SEX_FEMALE });
    thew_body_model his = thew_body_build((thew_body){ .sex = THEW_SEX_MALE });
    thew_body_model nobody = thew_body_build((thew_body){ 0 });
    row_near("a woman's stature", 1.613, woman.height_m, 1e-12);
    row_near("a woman's mass", 77.5, woman.mass_kg, 1e-12);
    row_near("a man's stature", 1.753, his.height_m, 1e-12);
    row_near("a man's mass", 90.6, his.mass_kg, 1e-12);
    row_near("nobody's stature is between", (1.613 + 1.753) / 2, nobody.height_m, 1e-12);
    row_near("nobody's mass is between", (77.5 + 90.6) / 2, nobody.mass_kg, 1e-12);
    row_near("nobody's age", 50, nobody.age_y, 0);
    thew_body_model small = thew_body_build((thew_body){ .sex = THEW_SEX_FEMALE, .height_m = 1.50 });
    row_near("a small woman keeps the mean body mass index", 77.5 / (1.613 * 1.613), small.mass_kg / (1.50 * 1.50), 1e-12);
    thew_body_model known = thew_body_build(man);
    row_near("what is known is kept: age", 40, known.age_y, 0);
    row_near("what is known is kept: stature", 1.75, known.height_m, 0);
    row_near("what is known is kept: mass", 75, known.mass_kg, 0);
    assert_int_equal(known.sex, THEW_SEX_MALE);
    assert_int_equal(nobody.sex, THEW_SEX_UNKNOWN);
    rows_end(11);
}

static void each_assumption_costs(void **state)
{
    (void)state;
    thew_body less[] = { man, man, man, man };
    less[0].sex = THEW_SEX_UNKNOWN, less[1].age_y = 0, less[2].height_m = 0, less[3].mass_kg = 0;
    double squares = 0;
    row_near("nothing assumed costs nothing", 0, thew_body_build(man).size_ln_sd, 0);
    for (int i = 0; i < 4; i++) {
        double ln_sd = thew_body_build(less[i]).size_ln_sd;
        row_between("one assumption", .03, ln_sd, .30);
        squares += ln_sd * ln_sd;
    }
    double all = thew_body_build((thew_body){ 0 }).size_ln_sd;
    row_near("all four together, independent", squares, all * all, 1e-12);
    rows_end(6);
}

static void everything_grows_with_size(void **state)
{
    (void)state;
    thew_body twice = { THEW_SEX_MALE, 40, 2 * 1.20, 2 * 50 }, once = { THEW_SEX_MALE, 40, 1.20, 50 };
    thew_body_model large = thew_body_build(twice), small = thew_body_build(once);
    for (int i = 0; i < THEW_SEGMENT_COUNT; i++) {
        row_near("length with stature", 2 * small.segment[i].length_m, large.segment[i].length_m, 1e-12);
        row_near("centre with stature", 2 * small.segment[i].centre_m, large.segment[i].centre_m, 1e-12);
        row_near("mass with mass", 2 * small.segment[i].mass_kg, large.segment[i].mass_kg, 1e-12);
    }
    rows_end(21);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(segments_are_those_of_the_table),   cmocka_unit_test(masses_add_up),
        cmocka_unit_test(composite_centres_nearly_agree),    cmocka_unit_test(the_foot_is_a_triangle),
        cmocka_unit_test(what_is_unknown_is_the_population), cmocka_unit_test(each_assumption_costs),
        cmocka_unit_test(everything_grows_with_size),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
