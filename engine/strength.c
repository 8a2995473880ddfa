// strength.c: see strength.h.
// Two kinds of reference. Hip (sagittal), knee and ankle: Anderson, Madigan & Nussbaum 2007, torque against angle by sex and age
// group, as in tests/reference/torque_angle_anderson.csv. All others: one value a sex for young adults, and one fall with age, from
// tests/reference/strength_norms.csv (rows N..) where it has them. Both go with mass times stature, as Anderson's do.
// These people are few and healthy; people of one sex, age and size differ by a further 20 to 30 % (N46). capacity.h knows that.
#include "strength.h"

#include <stdbool.h>

#include "real.h"

#define JOINT(name, joint, sign, id) joint,
#define SIGN(name, joint, sign, id) sign,
#define ID(name, joint, sign, id) id,
static const thew_joint joint_of[THEW_ACTION_COUNT] = { THEW_ACTION_LIST(JOINT) };
static const int sign_of[THEW_ACTION_COUNT] = { THEW_ACTION_LIST(SIGN) };
static const char *const id_of[THEW_ACTION_COUNT] = { THEW_ACTION_LIST(ID) };

thew_joint thew_action_joint(thew_action action)
{
    return joint_of[action];
}
int thew_action_sign(thew_action action)
{
    return sign_of[action];
}
const char *thew_action_id(thew_action action)
{
    return id_of[action];
}

// ---- knee, hip in the sagittal plane, ankle: T = C1 m g H cos(C2 (angle - C3)) ----
// The isometric part alone. The passive terms (B1, k1, B2, k2) are what tissue adds without a muscle: no strength, so not added
// here. 34 people, 6 of them over 65: the constants are taken as they are, even where an older group is the stronger one.

typedef struct {
    double c1, c2, c3_rad;
} curve;

enum { AGE_GROUPS = 3 };
static const double age_group_y[AGE_GROUPS] = { 21.5, 60, 70 }; // 18-25 and 55-65 by their middles; over 65: a judgement

// clang-format off
static const struct {
    curve woman[AGE_GROUPS], man[AGE_GROUPS];
} anderson[THEW_ACTION_COUNT] = {
    [THEW_HIP_EXTENSION] =        { { { .181,  .697, 1.242 }, { .140,  .830, 1.241 }, { .138,  .707, 1.542 } },
                                    { { .161,  .958,  .932 }, { .171,  .922, 1.176 }, { .144,  .896, 1.125 } } },
    [THEW_HIP_FLEXION] =          { { { .127,  .650, -.350 }, { .091,  .812, -.196 }, { .081,  .625, -.422 } },
                                    { { .113,  .738, -.214 }, { .107,  .712, -.192 }, { .101,  .762, -.269 } } },
    [THEW_KNEE_EXTENSION] =       { { { .159, 1.187, 1.274 }, { .128, 1.286, 1.141 }, { .124, 1.347, 1.140 } },
                                    { { .163, 1.258, 1.133 }, { .156, 1.225, 1.173 }, { .137, 1.310, 1.067 } } },
    [THEW_KNEE_FLEXION] =         { { { .080,  .873,  .635 }, { .060,  .967,  .402 }, { .060,  .897,  .445 } },
                                    { { .087,  .869,  .522 }, { .081,  .986,  .523 }, { .069,  .838,  .437 } } },
    [THEW_ANKLE_PLANTARFLEXION] = { { { .104, 1.399,  .424 }, { .093, 1.504,  .381 }, { .125, 1.299,  .580 } },
                                    { { .095, 1.391,  .408 }, { .114, 1.444,  .551 }, { .106, 1.465,  .498 } } },
    [THEW_ANKLE_DORSIFLEXION] =   { { { .027, 1.079, -.302 }, { .024, 1.308, -.254 }, { .022, 1.096, -.369 } },
                                    { { .033, 1.510, -.187 }, { .028, 1.293, -.284 }, { .029, 1.419, -.174 } } },
};
// clang-format on

static bool has_curve(thew_action action)
{
    return anderson[action].man[0].c1 > 0;
}

static curve mix(curve a, curve b, double share_of_b)
{
    double share_of_a = 1 - share_of_b;
    return (curve){ share_of_a * a.c1 + share_of_b * b.c1, share_of_a * a.c2 + share_of_b * b.c2,
                    share_of_a * a.c3_rad + share_of_b * b.c3_rad };
}

// Straight lines between the middles of the groups, so that nobody's strength jumps on a birthday; level outside them.
static curve at_age(const curve group[AGE_GROUPS], double age_y)
{
    int i = age_y < age_group_y[1] ? 0 : 1;
    double share = (age_y - age_group_y[i]) / (age_group_y[i + 1] - age_group_y[i]);
    return mix(group[i], group[i + 1], thew_clamp(share, 0, 1));
}

static curve curve_of(thew_action action, const thew_body_model *body)
{
    curve woman = at_age(anderson[action].woman, body->age_y), man = at_age(anderson[action].man, body->age_y);
    if (body->sex == THEW_SEX_FEMALE) return woman;
    if (body->sex == THEW_SEX_MALE) return man;
    return mix(woman, man, .5);
}

// ---- the others: N m of a young woman and a young man of the reference sizes below ----

static const double reference_man_kg_m = 80 * 1.80;   // to whom Harbo's equations were put (N05-N12)
static const double reference_woman_kg_m = 65 * 1.67; // (memory)

// clang-format off
static const struct {
    double woman_nm, man_nm;
    bool from_memory;
} young[THEW_ACTION_COUNT] = {
    [THEW_SHOULDER_FLEXION] =   { 45,    89.9, false }, // N32 at 0 degrees; women about half (N36)
    [THEW_SHOULDER_EXTENSION] = { 45,    90,   true  }, // (memory) held still about as strong as flexion; no text found
    [THEW_SHOULDER_ABDUCTION] = { 38,    67,   false }, // N17 x 80 kg, of unclear origin; women .57 (N38, N39). Stobbe (memory): 37, 71
    // Between N40 (48, moving) and N18 x 80 kg (86, of unclear origin), in proportion; women .6 (N41 / N40). Stobbe (memory): 30, 67
    [THEW_SHOULDER_ADDUCTION] = { 38,    64,   false },
    // N11, N12 x 80 kg; women .577, the middle of 1 / 1.5 to 1 / 2.0 (N45). Stobbe (memory): 41 and 77, 27 and 46
    [THEW_ELBOW_FLEXION] =      { 30.9,  53.6, false },
    [THEW_ELBOW_EXTENSION] =    { 28.2,  48.8, false },
    [THEW_TRUNK_FLEXION] =      { 85,   150,   true  }, // (memory) extension is about one and a half times as strong; no text found
    [THEW_TRUNK_EXTENSION] =    { 130,  230,   true  },
    [THEW_HIP_ABDUCTION] =      { 83.9, 103.2, false }, // N13, N14: 1.29 and 1.08 N m/kg, both sexes together
    [THEW_HIP_ADDUCTION] =      { 70.2,  86.4, false },
};
// clang-format on

// Straight falls to the middle of the range over muscle groups: men .54-.89 from 25 to 75 years, women .48-.92 from 40 to 75, level
// before (Danneskiold-Samsoe 2009: N43, N44). 12-15 % a decade from the fifth on in men (Hurley 1995: N50) agrees over 50 to 75.
static double share_of_young(bool man, double age_y)
{
    double from_y = man ? 25 : 40, left_at_75 = man ? .715 : .70;
    return 1 - (1 - left_at_75) * thew_max(age_y - from_y, 0) / (75 - from_y);
}

static double of_sexes(const thew_body_model *body, double woman, double man)
{
    if (body->sex == THEW_SEX_FEMALE) return woman;
    if (body->sex == THEW_SEX_MALE) return man;
    return (woman + man) / 2;
}

// Anderson's last group is "over 65": from its middle on the general fall goes on.
static double fall_after_curves(const thew_body_model *body)
{
    double last_y = age_group_y[AGE_GROUPS - 1], age_y = thew_max(body->age_y, last_y);
    return of_sexes(body, share_of_young(false, age_y) / share_of_young(false, last_y),
                    share_of_young(true, age_y) / share_of_young(true, last_y));
}

double thew_strength_reference_nm(thew_action action, const thew_body_model *body)
{
    double size_kg_m = body->mass_kg * body->height_m;
    if (has_curve(action)) {
        const double gravity_m_s2 = 9.81;
        return curve_of(action, body).c1 * size_kg_m * gravity_m_s2 * fall_after_curves(body);
    }
    double woman = young[action].woman_nm / reference_woman_kg_m * share_of_young(false, body->age_y);
    double man = young[action].man_nm / reference_man_kg_m * share_of_young(true, body->age_y);
    return size_kg_m * of_sexes(body, woman, man);
}

// ---- angle ----

// The fitted curves run on to zero beyond the measured angles, where people do not: at .2 an upright seated person could not lift their
// own thigh, which nearly everybody can. A judgement.
static const double least_factor = .4;

// 89.9 N m at 0 and 68.6 at 45 degrees (N32, N33; nothing is known above): a straight line, a share of the first.
static const double shoulder_flexion_slope_per_rad = (68.6 / 89.9 - 1) / (THEW_PI / 4);

double thew_strength_angle_factor(thew_action action, const thew_body_model *body, double angle_rad)
{
    double factor = 1;
    if (action == THEW_SHOULDER_FLEXION) factor = 1 + shoulder_flexion_slope_per_rad * angle_rad;
    if (has_curve(action)) {
        curve c = curve_of(action, body);
        factor = thew_cos(thew_clamp(c.c2 * (angle_rad - c.c3_rad), -THEW_PI, THEW_PI)); // beyond half a turn it would rise again
    }
    return thew_clamp(factor, least_factor, 1);
}

int thew_strength_is_sourced(thew_action action)
{
    return !young[action].from_memory;
}
