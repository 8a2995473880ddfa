// body.c: see body.h.
// Knows two tables, both as printed in Winter, Biomechanics and Motor Control of Human Movement (4th ed. 2009): figure 4.1
// (lengths, after Drillis & Contini 1966) and table 4.1 (masses and centres, after Dempster 1955). The rows are kept in
// tests/reference/segments_winter.csv and checked against it. Never mix in another table: de Leva 1996 uses other end points.
#include "body.h"

#include <assert.h>
#include <stdbool.h>

#include "real.h"

// Shares of stature and of body mass; the centre from the end nearer the trunk, as a share of the length.
// Single rows, not composites: the composite rows of the table differ from these by up to 4 % in torque.
typedef struct {
    double length, mass, centre;
} segment_row;

// clang-format off
static const segment_row winter[THEW_SEGMENT_COUNT] = {
    [THEW_SEGMENT_UPPER_ARM] = { .186, .028,  .436 },
    [THEW_SEGMENT_FOREARM] =   { .146, .016,  .430 },
    // The mass row ends at the knuckle, the length at the finger tip: the centre lies 2-3 cm too far out. Kept, to stay with one table.
    [THEW_SEGMENT_HAND] =      { .108, .006,  .506 },
    [THEW_SEGMENT_THIGH] =     { .245, .100,  .433 },
    [THEW_SEGMENT_SHANK] =     { .246, .0465, .433 },
    // Heel to toe. The centre is half way from the ankle to the ball, not half of this length: see foot_centre_m.
    [THEW_SEGMENT_FOOT] =      { .152, .0145, .500 },
    [THEW_SEGMENT_HAT] =       { .288, .678,  .626 },
};
// clang-format on

static const double foot_breadth = .055; // (memory)
static const double ankle_height = .039, shoulder_breadth = .259, hip_breadth = .191;
static const double head = .182; // 1 - .818, the height of the shoulder

// Where ankle and ball lie over the sole, from the heel, as shares of the foot's length. Winter's figure does not say. (memory)
static const double ankle_from_heel = .25, ball_from_heel = .72;

// People aged 20 and over, United States 2015-2018: Fryar et al. 2021, Vital and Health Statistics 3(46). (memory)
typedef struct {
    double height_m, mass_kg;
} population;
static const population women = { 1.613, 77.5 }, men = { 1.753, 90.6 };
static const double middle_age_y = 50; // adults living with multiple sclerosis are 45 to 55 on average (memory)

// What an assumption costs, as SD of ln demand. A demand is a torque over a reference strength that goes with mass times stature.
// Body weight cancels, a weight or a band does not: the figures are those of the worse case, an implement.
static const double sex_ln_sd = .25;    // half of ln(men / women): their ratio is 1.5 to 2.0 (Danneskiold-Samsoe 2009)
static const double height_ln_sd = .04; // 7 cm of 1.70 m within a sex (memory)
static const double mass_ln_sd = .22;   // of mass within a sex, hardly less for known stature (memory)
static const double age_ln_sd = .10;    // 15 years at .6 % a year (strength.c)

static population population_of(thew_sex sex)
{
    if (sex == THEW_SEX_FEMALE) return women;
    if (sex == THEW_SEX_MALE) return men;
    return (population){ (women.height_m + men.height_m) / 2, (women.mass_kg + men.mass_kg) / 2 };
}

static double square_if(bool assumed, double ln_sd)
{
    return assumed ? ln_sd * ln_sd : 0;
}

static double assumed_ln_sd(thew_body known)
{
    return thew_sqrt(square_if(known.sex == THEW_SEX_UNKNOWN, sex_ln_sd) + square_if(known.height_m == 0, height_ln_sd) +
                     square_if(known.mass_kg == 0, mass_ln_sd) + square_if(known.age_y == 0, age_ln_sd));
}

// An unknown mass is that of the population's mean body mass index: short people are not given a tall person's mass.
static double mass_for_height_kg(population mean, double height_m)
{
    double ratio = height_m / mean.height_m;
    return mean.mass_kg * ratio * ratio;
}

static double foot_centre_m(const thew_body_model *body)
{
    double to_ball_m = thew_sqrt(body->ball_ahead_m * body->ball_ahead_m + body->ankle_height_m * body->ankle_height_m);
    return winter[THEW_SEGMENT_FOOT].centre * to_ball_m;
}

thew_body_model thew_body_build(thew_body known)
{
    assert(known.height_m == 0 || (known.height_m >= .5 && known.height_m <= 2.5));
    assert(known.mass_kg == 0 || (known.mass_kg >= 15 && known.mass_kg <= 350));
    assert(known.age_y == 0 || (known.age_y >= 1 && known.age_y <= 120));
    population mean = population_of(known.sex);
    thew_body_model body = {
        .sex = known.sex,
        .age_y = known.age_y > 0 ? known.age_y : middle_age_y,
        .height_m = known.height_m > 0 ? known.height_m : mean.height_m,
        .size_ln_sd = assumed_ln_sd(known),
    };
    body.mass_kg = known.mass_kg > 0 ? known.mass_kg : mass_for_height_kg(mean, body.height_m);
    for (int i = 0; i < THEW_SEGMENT_COUNT; i++) {
        double length_m = winter[i].length * body.height_m;
        body.segment[i] = (thew_segment_size){ length_m, winter[i].mass * body.mass_kg, winter[i].centre * length_m };
    }
    double foot_m = body.segment[THEW_SEGMENT_FOOT].length_m;
    body.heel_behind_m = ankle_from_heel * foot_m;
    body.ball_ahead_m = (ball_from_heel - ankle_from_heel) * foot_m;
    body.foot_breadth_m = foot_breadth * body.height_m;
    body.ankle_height_m = ankle_height * body.height_m;
    body.shoulder_breadth_m = shoulder_breadth * body.height_m;
    body.hip_breadth_m = hip_breadth * body.height_m;
    body.head_m = head * body.height_m;
    body.segment[THEW_SEGMENT_FOOT].centre_m = foot_centre_m(&body);
    return body;
}
