// demand_test.c: the statics of engine/demand.c against worked examples (statics.csv), against virtual work, and against what
// common sense demands; and the figures for a whole range.
#include "rows.h"

#include "engine/demand.h"
#include "engine/real.h"

static const double degree = THEW_PI / 180;
static const double height_m = 1.75, mass_kg = 75; // of the rows S01-S22

static thew_posture in_degrees(thew_posture p)
{
    return (
        thew_posture){ p.lean * degree, p.shoulder * degree, p.elbow * degree, p.hip * degree, p.knee * degree, p.ankle * degree };
}

static thew_movement still(thew_plane plane, thew_root root, thew_posture posture)
{
    return (thew_movement){ .plane = plane, .root = root, .low = posture, .high = posture, .legs = 1, .hands = 1 };
}

static const thew_resistance nothing = { 0 };

static thew_resistance weight(double kg)
{
    return (thew_resistance){ .mass_kg = kg };
}

static thew_resistance pull(const thew_band *band, double share, int strands)
{
    thew_resistance resistance = { .band = band };
    resistance.strand = (thew_strand){ share, strands };
    return resistance;
}

static double torque_nm(thew_movement movement, const thew_body_model *body, const thew_resistance *resistance, thew_action action)
{
    movement.effort[0] = (thew_effort){ .action = action };
    movement.effort_count = 1;
    return thew_demand_at_s(&movement, body, resistance, 0).torque_nm[0];
}

// ---- bodies of the examples ----

static thew_body_model man(void)
{
    return thew_body_build((thew_body){ THEW_SEX_MALE, 40, height_m, mass_kg });
}
static thew_body_model small(void)
{
    return thew_body_build((thew_body){ THEW_SEX_FEMALE, 40, 1.63, 62 });
}

static thew_body_model weightless(void)
{
    thew_body_model body = man();
    for (int i = 0; i < THEW_SEGMENT_COUNT; i++)
        body.segment[i].mass_kg = 0;
    return body;
}

// Rows that were worked with a composite row of Winter's table get a body made of it.
static thew_body_model foot_in_shank(void)
{
    thew_body_model body = man();
    thew_segment_size *shank = &body.segment[THEW_SEGMENT_SHANK];
    shank->mass_kg = .061 * mass_kg, shank->centre_m = .606 * shank->length_m;
    body.segment[THEW_SEGMENT_FOOT].mass_kg = 0;
    return body;
}

static thew_body_model leg_in_one(void)
{
    thew_body_model body = man();
    thew_segment_size *thigh = &body.segment[THEW_SEGMENT_THIGH];
    thigh->mass_kg = .161 * mass_kg, thigh->centre_m = .447 * (.245 + .246) * height_m;
    body.segment[THEW_SEGMENT_SHANK].mass_kg = body.segment[THEW_SEGMENT_FOOT].mass_kg = 0;
    return body;
}

static thew_body_model foot_at_ankle(void)
{
    thew_body_model body = man();
    body.segment[THEW_SEGMENT_FOOT].centre_m = 0;
    return body;
}

// S15 counts the thigh's .433 from the knee, though the table counts it from the hip: see the_hover_of_the_table.
static thew_body_model thigh_turned_round(void)
{
    thew_body_model body = man();
    thew_segment_size *thigh = &body.segment[THEW_SEGMENT_THIGH];
    thigh->centre_m = (1 - .433) * thigh->length_m;
    return body;
}

// An arm of the textbook problems: one weight along it, the load at the hand. Upper arm and forearm are laid out so that either can
// be the lever: a forearm problem has no upper arm weight, a whole-arm problem no forearm weight.
static thew_body_model forearm(double kg, double centre_m, double load_m)
{
    thew_body_model body = weightless();
    body.segment[THEW_SEGMENT_FOREARM] = (thew_segment_size){ load_m / 2, kg, centre_m };
    body.segment[THEW_SEGMENT_HAND].centre_m = load_m / 2;
    return body;
}

static thew_body_model whole_arm(double weight_n, double centre_m, double load_m)
{
    thew_body_model body = weightless();
    body.segment[THEW_SEGMENT_UPPER_ARM] = (thew_segment_size){ load_m / 2, weight_n / THEW_GRAVITY_M_S2, centre_m };
    body.segment[THEW_SEGMENT_FOREARM].length_m = body.segment[THEW_SEGMENT_HAND].centre_m = load_m / 4;
    return body;
}

// ---- tests/reference/statics.csv ----

static const thew_band band_s = { .rest_length_m = .55, .a0c10_n = 5.17, .a0c01_n = 2.48 };     // S17-S20
static const thew_band band_long = { .rest_length_m = .80, .a0c10_n = 5.17, .a0c01_n = 2.48 };  // S21, S22
static const thew_band band_136 = { .rest_length_m = .50, .a0c10_n = 136 / 3.5, .a0c01_n = 0 }; // 136 N at twice its length
static const thew_strand whole = { 1, 1 };

static const thew_anchor below_elbow = { .from = THEW_POINT_ELBOW, .dy_h = -.95 / 1.75 };
static const thew_anchor under_foot = { .from = THEW_POINT_SHOULDER, .dx_h = .10 / 1.75, .dy_h = -1.36 / 1.75 };
static const thew_anchor over_hand = { .from = THEW_POINT_HAND, .dy_h = 1.0 / 1.75 };

typedef struct {
    const char *id;
    thew_body_model body;
    thew_plane plane;
    thew_root root;
    thew_posture degrees;
    thew_action action;
    thew_point hold;
    double load_kg;
    const thew_band *band;
    thew_anchor anchor;
    int carry, counted; // legs that carry and hands that hold; sides whose torque the row adds up
} example;

static void row_of_table(const char *id, double obtained)
{
    csv *table = csv_open("statics.csv");
    while (csv_next(table))
        if (csv_is(table, "id", id)) {
            double g = csv_number(table, "g_m_per_s2"); // 9.8 in the textbooks, where loads are in kg
            double expected = csv_number(table, "expected_torque_Nm") * (g > 0 ? THEW_GRAVITY_M_S2 / g : 1);
            row_near(id, expected, obtained, csv_number(table, "tolerance_Nm"));
        }
}

static void worked_examples(void **state)
{
    (void)state;
#define CURL THEW_SAGITTAL, THEW_ROOT_HIP
#define SIDE THEW_FRONTAL, THEW_ROOT_HIP
    const thew_posture hover = { .lean = 56, .hip = 126, .knee = 95, .ankle = 25 };
    const thew_anchor none = { 0 };
    // clang-format off
    const example row[] = {
        { "S01", man(), CURL, { .elbow = 90 }, THEW_ELBOW_FLEXION, THEW_POINT_HAND, 5, NULL, none, 1, 1 },
        { "S02", man(), CURL, { .elbow = 45 }, THEW_ELBOW_FLEXION, THEW_POINT_HAND, 5, NULL, none, 1, 1 },
        { "S03", man(), CURL, { .elbow = 120 }, THEW_ELBOW_FLEXION, THEW_POINT_HAND, 5, NULL, none, 1, 1 },
        { "S04", man(), SIDE, { .shoulder = 90 }, THEW_SHOULDER_ABDUCTION, THEW_POINT_NONE, 0, NULL, none, 1, 1 },
        { "S04", man(), CURL, { .shoulder = 90 }, THEW_SHOULDER_FLEXION, THEW_POINT_NONE, 0, NULL, none, 1, 1 },
        { "S05", man(), SIDE, { .shoulder = 90 }, THEW_SHOULDER_ABDUCTION, THEW_POINT_HAND, 3, NULL, none, 1, 1 },
        { "S06", man(), CURL, { .shoulder = 45 }, THEW_SHOULDER_FLEXION, THEW_POINT_HAND, 3, NULL, none, 1, 1 },
        { "S07", small(), SIDE, { .shoulder = 90 }, THEW_SHOULDER_ABDUCTION, THEW_POINT_HAND, 2, NULL, none, 1, 1 },
        { "S08", man(), SIDE, { .shoulder = 90, .elbow = 90 }, THEW_SHOULDER_ABDUCTION, THEW_POINT_HAND, 4, NULL, none, 1, 1 },
        { "S09", foot_in_shank(), CURL, { .hip = 90 }, THEW_KNEE_EXTENSION, THEW_POINT_NONE, 0, NULL, none, 1, 1 },
        { "S10", foot_in_shank(), CURL, { .hip = 90 }, THEW_KNEE_EXTENSION, THEW_POINT_ANKLE, 2, NULL, none, 1, 1 },
        { "S11", foot_in_shank(), CURL, { .hip = 90, .knee = 45 }, THEW_KNEE_EXTENSION, THEW_POINT_ANKLE, 2, NULL, none, 1, 1 },
        { "S12", leg_in_one(), CURL, { .lean = -90 }, THEW_HIP_FLEXION, THEW_POINT_NONE, 0, NULL, none, 1, 1 },
        { "S12", leg_in_one(), SIDE, { .lean = -90 }, THEW_HIP_ABDUCTION, THEW_POINT_NONE, 0, NULL, none, 1, 1 },
        { "S13", foot_at_ankle(), CURL, { .lean = -90 }, THEW_HIP_FLEXION, THEW_POINT_NONE, 0, NULL, none, 1, 1 },
        { "S13", foot_at_ankle(), SIDE, { .lean = -90 }, THEW_HIP_ABDUCTION, THEW_POINT_NONE, 0, NULL, none, 1, 1 },
        { "S14", man(), THEW_SAGITTAL, THEW_ROOT_ANKLE, { .lean = 30, .hip = 30 }, THEW_HIP_EXTENSION, THEW_POINT_NONE, 0, NULL, none, 2, 2 },
        { "S14", man(), THEW_SAGITTAL, THEW_ROOT_ANKLE, { .lean = 30, .hip = 30 }, THEW_TRUNK_EXTENSION, THEW_POINT_NONE, 0, NULL, none, 1, 1 },
        { "S15", thigh_turned_round(), THEW_SAGITTAL, THEW_ROOT_ANKLE, hover, THEW_KNEE_EXTENSION, THEW_POINT_NONE, 0, NULL, none, 2, 1 },
        { "S16", man(), THEW_SAGITTAL, THEW_ROOT_ANKLE, hover, THEW_HIP_EXTENSION, THEW_POINT_NONE, 0, NULL, none, 2, 1 },
        { "S17", weightless(), CURL, { .elbow = 30 }, THEW_ELBOW_FLEXION, THEW_POINT_HAND, 0, &band_s, below_elbow, 1, 1 },
        { "S18", weightless(), CURL, { .elbow = 60 }, THEW_ELBOW_FLEXION, THEW_POINT_HAND, 0, &band_s, below_elbow, 1, 1 },
        { "S19", weightless(), CURL, { .elbow = 90 }, THEW_ELBOW_FLEXION, THEW_POINT_HAND, 0, &band_s, below_elbow, 1, 1 },
        { "S20", weightless(), CURL, { .elbow = 120 }, THEW_ELBOW_FLEXION, THEW_POINT_HAND, 0, &band_s, below_elbow, 1, 1 },
        { "S21", weightless(), SIDE, { .shoulder = 45 }, THEW_SHOULDER_ABDUCTION, THEW_POINT_HAND, 0, &band_long, under_foot, 1, 1 },
        { "S22", weightless(), SIDE, { .shoulder = 90 }, THEW_SHOULDER_ABDUCTION, THEW_POINT_HAND, 0, &band_long, under_foot, 1, 1 },
        { "P01", forearm(2.5, .16, .38), CURL, { .elbow = 90 }, THEW_ELBOW_FLEXION, THEW_POINT_HAND, 4, NULL, none, 1, 1 },
        { "P02", forearm(2, .15, .35), CURL, { .elbow = 90 }, THEW_ELBOW_FLEXION, THEW_POINT_HAND, 25, NULL, none, 1, 1 },
        { "P03", forearm(2, .15, .35), CURL, { .elbow = 90 }, THEW_ELBOW_FLEXION, THEW_POINT_HAND, 21, NULL, none, 1, 1 },
        { "P04", whole_arm(43, .25, .61), CURL, { .shoulder = 90 }, THEW_SHOULDER_EXTENSION, THEW_POINT_HAND, 0, &band_136, over_hand, 1, 1 },
        { "P05", forearm(1, .185, .37), CURL, { .elbow = 90 }, THEW_ELBOW_FLEXION, THEW_POINT_HAND, .6, NULL, none, 1, 1 },
        { "P06", whole_arm(45, .25, .6), SIDE, { .shoulder = 90 }, THEW_SHOULDER_ABDUCTION, THEW_POINT_NONE, 0, NULL, none, 1, 1 },
        { "P07", forearm(0, .15, .27), CURL, { .elbow = 90 }, THEW_ELBOW_FLEXION, THEW_POINT_HAND, 320 / 9.81, NULL, none, 2, 2 },
        { "P08", forearm(20 / 9.81, .15, .35), CURL, { .elbow = 90 }, THEW_ELBOW_FLEXION, THEW_POINT_HAND, 80 / 9.81, NULL, none, 1, 1 },
        { "P09", whole_arm(40, .30, .60), SIDE, { .shoulder = 90 }, THEW_SHOULDER_ABDUCTION, THEW_POINT_HAND, 60 / 9.81, NULL, none, 1, 1 },
    };
    // clang-format on
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        const example *e = &row[i];
        thew_movement movement = still(e->plane, e->root, in_degrees(e->degrees));
        movement.hold_point = e->hold, movement.anchor = e->anchor;
        movement.legs = movement.hands = e->carry;
        thew_resistance resistance = { .mass_kg = e->load_kg, .band = e->band, .strand = whole };
        row_of_table(e->id, torque_nm(movement, &e->body, &resistance, e->action) * e->counted);
    }
    rows_end(35);
}

// S15 as Winter's table has it, by hand: the thigh's centre .433 of its length from the hip, so .567 from the knee. 52.06,
// not 48.09.
static void the_hover_of_the_table(void **state)
{
    (void)state;
    thew_body_model body = man();
    thew_movement hover =
        still(THEW_SAGITTAL, THEW_ROOT_ANKLE, in_degrees((thew_posture){ .lean = 56, .hip = 126, .knee = 95, .ankle = 25 }));
    hover.legs = 2;
    double thigh_m = .245 * height_m, cos_20 = .93969262078590838, sin_56 = .82903757255504169;
    double hat_ahead_of_knee_m = -thigh_m * cos_20 + .626 * .288 * height_m * sin_56;
    double thighs = 2 * .1 * mass_kg * .567 * thigh_m * cos_20, hat = -.678 * mass_kg * hat_ahead_of_knee_m;
    row_near("knee", 9.81 / 2 * (thighs + hat), torque_nm(hover, &body, &nothing, THEW_KNEE_EXTENSION), 1e-9);
    row_near("knee", 52.06, torque_nm(hover, &body, &nothing, THEW_KNEE_EXTENSION), .01);
    rows_end(2);
}

static void the_foot_weighs_where_it_is(void **state)
{
    (void)state;
    thew_body_model body = man(), at_ankle = foot_at_ankle();
    thew_movement lying = still(THEW_SAGITTAL, THEW_ROOT_HIP, in_degrees((thew_posture){ .lean = -90 }));
    double more_nm = torque_nm(lying, &body, &nothing, THEW_HIP_FLEXION) - torque_nm(lying, &at_ankle, &nothing, THEW_HIP_FLEXION);
    // On the back the sole faces away from the hip: half the ankle's height further out than in S13.
    row_near("S13 and the foot's own lever", .0145 * mass_kg * 9.81 * .039 / 2 * height_m, more_nm, 1e-9);
    // Seated, foot free: half the way from ankle to ball ahead of the ankle.
    thew_movement seated = still(THEW_SAGITTAL, THEW_ROOT_HIP, in_degrees((thew_posture){ .hip = 90, .knee = 90 }));
    row_near("the foot by itself", .0145 * mass_kg * 9.81 * .47 * .152 / 2 * height_m,
             torque_nm(seated, &body, &nothing, THEW_ANKLE_DORSIFLEXION), 1e-9);
    rows_end(2);
}

// ---- standing ----

static void a_heel_raise_pushes_through_the_ball(void **state)
{
    (void)state;
    thew_body_model body = man();
    thew_resistance dumbbell = weight(6);
    for (int legs = 1; legs <= 2; legs++)
        for (int deg = 0; deg <= 40; deg += 20) {
            thew_movement raise = still(THEW_SAGITTAL, THEW_ROOT_FOREFOOT, in_degrees((thew_posture){ .ankle = -deg }));
            raise.legs = legs, raise.hold_point = THEW_POINT_HAND, raise.hands = 2;
            thew_xy point[THEW_POINT_COUNT];
            thew_movement_points(&raise, &body, 0, point);
            double lever_m = -point[THEW_POINT_ANKLE].x_m, foot_kg = .0145 * mass_kg; // the ball is the origin
            double nm = 9.81 * ((mass_kg / legs - foot_kg) * lever_m + foot_kg * lever_m / 2);
            row_near("body weight over the legs", nm, torque_nm(raise, &body, &nothing, THEW_ANKLE_PLANTARFLEXION), 1e-9);
            row_near("and a dumbbell in both hands", nm + 9.81 * 6 / legs * lever_m,
                     torque_nm(raise, &body, &dumbbell, THEW_ANKLE_PLANTARFLEXION), 1e-9);
        }
    rows_end(12);
}

static void one_leg_holds_the_pelvis(void **state)
{
    (void)state;
    // From the front, on one leg: trunk half a hip breadth inside the hip, the other leg a whole one. Legs in the tables' shares.
    thew_body_model body = man();
    thew_movement stance = still(THEW_FRONTAL, THEW_ROOT_ANKLE, (thew_posture){ 0 });
    double hip_m = .191 * height_m, nm = 9.81 * mass_kg * (.678 * hip_m / 2 + .161 * hip_m);
    row_near("hip abductors of the standing leg", nm, torque_nm(stance, &body, &nothing, THEW_HIP_ABDUCTION), 1e-9);
    stance.support_share = .4;
    row_near("hands carry two fifths", .6 * nm, torque_nm(stance, &body, &nothing, THEW_HIP_ABDUCTION), 1e-9);
    stance.support_share = 0, stance.legs = 2;
    row_near("on both legs nothing", 0, torque_nm(stance, &body, &nothing, THEW_HIP_ABDUCTION), 1e-9);
    rows_end(3);
}

static void arms_held_out_weigh_on_the_legs(void **state)
{
    (void)state;
    // Both arms straight ahead instead of hanging: their weight moves ahead by its own lever (single rows), for hip, knee and ankle
    // alike.
    thew_body_model body = man();
    double arm = (.028 * .436 * .186 + .016 * (.186 + .43 * .146) + .006 * (.186 + .146 + .506 * .108)) * height_m * mass_kg * 9.81;
    thew_movement hanging = still(THEW_SAGITTAL, THEW_ROOT_ANKLE, in_degrees((thew_posture){ .hip = 60, .knee = 60 })),
                  out = hanging;
    out.low.shoulder = out.high.shoulder = 90 * degree;
    static const thew_action action[] = { THEW_HIP_EXTENSION, THEW_KNEE_FLEXION, THEW_ANKLE_PLANTARFLEXION };
    for (int legs = 1; legs <= 2; legs++)
        for (int i = 0; i < 3; i++) {
            hanging.legs = out.legs = legs;
            double more_nm = torque_nm(out, &body, &nothing, action[i]) - torque_nm(hanging, &body, &nothing, action[i]);
            row_near(thew_action_id(action[i]), 2 * arm / legs, more_nm, 1e-9);
        }
    rows_end(6);
}

static void implements_are_shared(void **state)
{
    (void)state;
    thew_body_model body = weightless();
    thew_resistance load = { .mass_kg = 10 };
    thew_movement squat = still(THEW_SAGITTAL, THEW_ROOT_ANKLE,
                                in_degrees((thew_posture){ .lean = 30, .hip = 90, .knee = 80, .ankle = 20, .elbow = 90 }));
    squat.hold_point = THEW_POINT_HAND;
    double alone[THEW_ACTION_COUNT], curl_nm;
    for (thew_action action = 0; action < THEW_ACTION_COUNT; action++)
        alone[action] = torque_nm(squat, &body, &load, action);
    squat.legs = 2;
    row_near("two legs: half for each hip", alone[THEW_HIP_EXTENSION] / 2, torque_nm(squat, &body, &load, THEW_HIP_EXTENSION),
             1e-12);
    row_near("the arm does not care", alone[THEW_ELBOW_FLEXION], torque_nm(squat, &body, &load, THEW_ELBOW_FLEXION), 1e-12);
    row_near("nor the trunk", alone[THEW_TRUNK_EXTENSION], torque_nm(squat, &body, &load, THEW_TRUNK_EXTENSION), 1e-12);
    squat.hands = 2;
    curl_nm = torque_nm(squat, &body, &load, THEW_ELBOW_FLEXION);
    row_near("two hands: half for each elbow", alone[THEW_ELBOW_FLEXION] / 2, curl_nm, 1e-12);
    row_near("the legs do not care", alone[THEW_HIP_EXTENSION] / 2, torque_nm(squat, &body, &load, THEW_HIP_EXTENSION), 1e-12);
    squat.hands = squat.legs = 0;
    row_near("none given is one", alone[THEW_HIP_EXTENSION], torque_nm(squat, &body, &load, THEW_HIP_EXTENSION), 1e-12);
    row_near("none given is one", alone[THEW_ELBOW_FLEXION], torque_nm(squat, &body, &load, THEW_ELBOW_FLEXION), 1e-12);
    // A weight on the thigh itself is that leg's own.
    squat.hold_point = THEW_POINT_KNEE, squat.legs = 1;
    alone[THEW_ANKLE_DORSIFLEXION] = torque_nm(squat, &body, &load, THEW_ANKLE_DORSIFLEXION);
    squat.legs = 2;
    row_near("held at the knee", alone[THEW_ANKLE_DORSIFLEXION], torque_nm(squat, &body, &load, THEW_ANKLE_DORSIFLEXION), 1e-12);
    row_near("which the hip does not feel", 0, torque_nm(squat, &body, &load, THEW_HIP_EXTENSION), 1e-12);
    // Seated, the leg bears all that hangs on it.
    thew_movement seated = still(THEW_SAGITTAL, THEW_ROOT_HIP, in_degrees((thew_posture){ .hip = 90 }));
    seated.hold_point = THEW_POINT_ANKLE, seated.hands = 2;
    row_near("a cuff", 98.1 * .246 * height_m, torque_nm(seated, &body, &load, THEW_KNEE_EXTENSION), 1e-9);
    rows_end(10);
}

// ---- virtual work: torque = dU / d(angle) ----

// The posture after the joint's part has turned by a small angle, the root's side lying still (demand.h).
static thew_posture turned(const thew_movement *movement, thew_joint joint, double angle_rad)
{
    thew_posture p = movement->low;
    bool floor = movement->root != THEW_ROOT_HIP;
    switch (joint) {
    case THEW_JOINT_SHOULDER:
        p.shoulder += angle_rad;
        break;
    case THEW_JOINT_ELBOW:
        p.elbow += angle_rad;
        break;
    case THEW_JOINT_TRUNK:
        p.lean += angle_rad, p.hip += angle_rad;
        break;
    case THEW_JOINT_HIP:
        p.hip += angle_rad, p.lean += floor ? angle_rad : 0;
        break;
    case THEW_JOINT_KNEE:
        p.knee += angle_rad, p.lean -= floor ? angle_rad : 0;
        break;
    default:
        p.ankle += angle_rad, p.lean += movement->root == THEW_ROOT_ANKLE ? angle_rad : 0;
    }
    return p;
}

// Where the band's far end is, by other means than demand.c.
static thew_xy far_end(const thew_movement *movement, const thew_body_model *body, const thew_resistance *resistance)
{
    thew_xy anchor = thew_movement_anchor(movement, body, 0), point[THEW_POINT_COUNT];
    if (movement->anchor.moves || movement->anchor.mirrored) return anchor;
    thew_movement_points(movement, body, 0, point);
    double x = anchor.x_m - point[movement->hold_point].x_m, y = anchor.y_m - point[movement->hold_point].y_m;
    double further = resistance->anchor_dx_h * body->height_m / thew_sqrt(x * x + y * y);
    return (thew_xy){ anchor.x_m + further * x, anchor.y_m + further * y };
}

// Where a band goes slack its force has a corner, where its ends meet its direction has: no slope is to be had within a step of
// either.
static bool near_corner(const thew_movement *movement, const thew_body_model *body, const thew_resistance *r)
{
    double length_m = thew_demand_at_s(movement, body, r, 0).band_length_m;
    if (r->band && thew_abs(length_m / (r->band->rest_length_m * r->strand.share) - 1) < .05) return true;
    if (r->band_2 && thew_abs(length_m / (r->band_2->rest_length_m * r->strand_2.share) - 1) < .05) return true;
    return (r->band || r->band_2) && length_m < .05;
}

typedef struct {
    const thew_movement *movement;
    const thew_body_model *body;
    const thew_resistance *resistance;
    thew_joint joint;
    bool follows; // the far end is taken along
} work;

static double energy_j(const work *w, double angle_rad)
{
    thew_posture posture = turned(w->movement, w->joint, angle_rad);
    thew_movement there = *w->movement;
    if (w->follows) there.low = there.high = posture;
    return thew_demand_energy_j(w->movement, w->body, w->resistance, &posture, far_end(&there, w->body, w->resistance), w->joint);
}

// Five points: exact to the fourth power of the step.
static double slope_nm(const work *w)
{
    const double h = 1e-3;
    return (8 * (energy_j(w, h) - energy_j(w, -h)) - (energy_j(w, 2 * h) - energy_j(w, -2 * h))) / (12 * h);
}

static thew_posture random_posture(uint64_t *seed)
{
    return (thew_posture){ random_between(seed, -1.6, 1.6), random_between(seed, -1, 3), random_between(seed, 0, 2.5),
                           random_between(seed, -.5, 2),    random_between(seed, 0, 2),  random_between(seed, -.8, .5) };
}

static thew_point random_point(uint64_t *seed, thew_point first, thew_point last)
{
    return (thew_point)((int)first + (int)(random_unit(seed) * (last - first + 1)));
}

static thew_movement random_movement(uint64_t *seed)
{
    thew_movement m = still((thew_plane)(3 * random_unit(seed)), (thew_root)(3 * random_unit(seed)), random_posture(seed));
    m.hold_point = random_point(seed, THEW_POINT_HAND, THEW_POINT_HEEL);
    m.anchor = (thew_anchor){ .from = random_point(seed, THEW_POINT_NONE, THEW_POINT_FLOOR),
                              .dx_h = random_between(seed, -.8, .8),
                              .dy_h = random_between(seed, -.8, .8) };
    double kind = random_unit(seed);
    if (kind > .8 && m.plane != THEW_SAGITTAL)
        m.anchor.mirrored = true;
    else if (kind > .5)
        m.anchor.moves = true;
    // The floor below the hip is of the room, and its height for a seated body that of the first posture: it does not follow a
    // joint.
    if (m.anchor.moves && m.anchor.from == THEW_POINT_FLOOR) m.anchor.from = THEW_POINT_NONE;
    m.legs = 1 + (int)(2 * random_unit(seed)), m.hands = 1 + (int)(2 * random_unit(seed));
    m.support_share = random_between(seed, 0, .9);
    return m;
}

static thew_band random_band(uint64_t *seed)
{
    return (thew_band){ .rest_length_m = random_between(seed, .1, .6),
                        .a0c10_n = random_between(seed, 0, 30),
                        .a0c01_n = random_between(seed, 0, 30) };
}

static thew_body_model random_body(uint64_t *seed)
{
    return thew_body_build((thew_body){ (thew_sex)(3 * random_unit(seed)), random_between(seed, 18, 90),
                                        random_between(seed, 1.4, 2.1), random_between(seed, 40, 160) });
}

static const thew_action positive[] = { THEW_SHOULDER_FLEXION, THEW_ELBOW_FLEXION, THEW_TRUNK_FLEXION,
                                        THEW_HIP_FLEXION,      THEW_KNEE_FLEXION,  THEW_ANKLE_DORSIFLEXION };
enum { JOINTS = sizeof positive / sizeof *positive };

static bool on_arm(thew_point point)
{
    return point == THEW_POINT_HAND || point == THEW_POINT_ELBOW;
}

static void torque_is_the_slope_of_energy(void **state)
{
    (void)state;
    uint64_t seed = 20070801;
    int kinds[3][3][3] = { 0 }; // plane, root, anchor
    for (int i = 0; i < 4000; i++) {
        thew_movement m = random_movement(&seed);
        thew_body_model body = random_body(&seed);
        thew_band band = random_band(&seed), band_2 = random_band(&seed);
        thew_resistance r = { .mass_kg = random_between(&seed, 0, 20), .anchor_dx_h = random_between(&seed, -.1, .2) };
        if (random_unit(&seed) < .8) r.band = &band, r.strand = (thew_strand){ random_between(&seed, .5, 1), 1 + (i % 2) };
        if (random_unit(&seed) < .3) r.band_2 = &band_2, r.strand_2 = (thew_strand){ random_between(&seed, .5, 1), 1 };
        if (near_corner(&m, &body, &r)) continue;
        kinds[m.plane][m.root][m.anchor.moves ? 1 : m.anchor.mirrored ? 2 : 0]++;
        for (int j = 0; j < JOINTS; j++) {
            thew_joint joint = thew_action_joint(positive[j]);
            bool shown = m.plane == THEW_SAGITTAL || (joint != THEW_JOINT_TRUNK && joint != THEW_JOINT_ANKLE);
            // A mirrored band from hand to hand is carried whole by legs that stand: both its ends turn with the trunk.
            bool both_arms = m.root != THEW_ROOT_HIP && j >= 3 &&
                             (on_arm(m.hold_point) || m.hold_point == THEW_POINT_SHOULDER || m.hold_point == THEW_POINT_HIP);
            work w = { &m, &body, &r, joint, m.anchor.moves || (m.anchor.mirrored && both_arms) };
            double nm = torque_nm(m, &body, &r, positive[j]), slope = shown ? slope_nm(&w) : 0;
            row_near(thew_action_id(positive[j]), slope, nm, 1e-6 * thew_max(1, thew_abs(nm)));
            thew_action other = (thew_action)(positive[j] + 1); // the list goes by pairs
            if (joint != THEW_JOINT_SHOULDER) assert_int_equal(thew_action_joint(other), joint);
            row_near("the antagonist feels the opposite", -nm, torque_nm(m, &body, &r, other), 1e-12 * thew_max(1, thew_abs(nm)));
        }
    }
    for (int plane = 0; plane < 3; plane++)
        for (int root = 0; root < 3; root++)
            for (int anchor = 0; anchor < 3; anchor++)
                row_between("every kind was met", plane == THEW_SAGITTAL && anchor == 2 ? 0 : 30, kinds[plane][root][anchor], 4000);
    rows_end(3000 * JOINTS * 2);
}

static void a_mirrored_band_works_on_both_sides(void **state)
{
    (void)state;
    uint64_t seed = 17;
    thew_body_model body = weightless();
    for (int i = 0; i < 300; i++) {
        thew_movement m = still(i % 2 ? THEW_FRONTAL : THEW_TRANSVERSE, THEW_ROOT_HIP, random_posture(&seed));
        m.anchor = (thew_anchor){ .mirrored = true };
        bool arm = i % 4 < 2;
        m.hold_point = arm ? THEW_POINT_HAND : THEW_POINT_KNEE;
        thew_band band = random_band(&seed);
        thew_resistance r = { .band = &band, .strand = whole };
        thew_action action = arm ? THEW_SHOULDER_ABDUCTION : THEW_HIP_ABDUCTION;
        work follows = { &m, &body, &r, thew_action_joint(action), true };
        double nm = torque_nm(m, &body, &r, action);
        row_near("the band stores what two sides give", 2 * nm, slope_nm(&follows), 1e-6 * thew_max(1, thew_abs(nm)));
    }
    rows_end(300);
}

static void a_band_within_the_part_asks_for_nothing(void **state)
{
    (void)state;
    uint64_t seed = 19;
    thew_body_model body = weightless();
    thew_band band = { .rest_length_m = .05, .a0c10_n = 20, .a0c01_n = 20 };
    thew_resistance r = { .band = &band, .strand = whole };
    for (int i = 0; i < 100; i++) {
        thew_movement m = still(THEW_SAGITTAL, THEW_ROOT_ANKLE, random_posture(&seed));
        m.hold_point = THEW_POINT_HAND, m.anchor = (thew_anchor){ .from = THEW_POINT_KNEE, .moves = true }, m.legs = 1 + i % 2;
        row_near("hand to knee: the ankle", 0, torque_nm(m, &body, &r, THEW_ANKLE_PLANTARFLEXION), 1e-9);
        row_near("and the knee itself", 0, torque_nm(m, &body, &r, THEW_KNEE_EXTENSION), 1e-9);
        m.plane = THEW_FRONTAL, m.anchor = (thew_anchor){ .mirrored = true };
        row_near("hand to hand: the standing hip", 0, torque_nm(m, &body, &r, THEW_HIP_ABDUCTION), 0);
        m.root = THEW_ROOT_HIP, m.low.shoulder = m.high.shoulder = random_between(&seed, .3, 1.4), m.low.elbow = m.high.elbow = 0;
        row_between("but the shoulder works", 1e-3, thew_abs(torque_nm(m, &body, &r, THEW_SHOULDER_ABDUCTION)), 1e9);
    }
    rows_end(400);
}

// ---- what no model may break ----

static thew_movement lift(uint64_t *seed)
{
    thew_movement m = random_movement(seed);
    m.high = random_posture(seed);
    m.effort_count = 1 + (int)(2.99 * random_unit(seed));
    for (int i = 0; i < m.effort_count; i++)
        m.effort[i] = (thew_effort){ (thew_action)(THEW_ACTION_COUNT * random_unit(seed)), i == 2 };
    return m;
}

static void figures_hang_together(void **state)
{
    (void)state;
    uint64_t seed = 1;
    for (int i = 0; i < 300; i++) {
        thew_movement m = lift(&seed);
        thew_body_model body = random_body(&seed);
        thew_band band = random_band(&seed);
        thew_resistance r = { .mass_kg = random_between(&seed, 0, 20), .band = i % 3 ? &band : NULL, .strand = whole };
        thew_demand demand;
        memset(&demand, 0xA5, sizeof demand);
        thew_status status = thew_demand_of(&m, &body, &r, thew_tempo_default(), &demand);
        double peak = 0, stretch = 0;
        for (int j = 0; j <= 2000; j++) {
            thew_demand_at at = thew_demand_at_s(&m, &body, &r, j / 2000.);
            peak = thew_max(peak, at.peak_share), stretch = thew_max(stretch, at.band_stretch);
        }
        row_between("no place asks for more than the peak", peak, demand.peak_share, peak * 1.001 + 1e-12); // between two of 2000
        row_between("mean", demand.peak_share > 0 ? 1e-9 : 1, demand.mean_share, 1);
        thew_demand_at at = thew_demand_at_s(&m, &body, &r, demand.sticking_s);
        row_near("the sticking point has the peak", at.peak_share, demand.peak_share, 0);
        row_near("and its torque", at.torque_nm[demand.limiting_effort], demand.torque_nm, 0);
        row_near("synergists do not limit", 0, demand.limiting_effort == 2, 0);
        row_relative("stretch", stretch, demand.stretch_max, .002);
        thew_status expected = demand.stretch_max > 3.1            ? THEW_BEYOND_CURVE
                               : r.band && demand.stretch_max <= 1 ? THEW_SLACK
                                                                   : THEW_OK;
        row_near("status", expected, status, 0);
        row_between("SD of the demand", 0, demand.ln_sd, 1e9);
    }
    rows_end(2400);
}

static double peak_share(thew_movement m, const thew_body_model *body, thew_resistance r)
{
    thew_demand demand;
    assert_true(thew_demand_of(&m, body, &r, thew_tempo_default(), &demand) >= 0);
    return demand.peak_share;
}

// Lifts of the catalogue's kind, where the implement is what is lifted (invented).
// clang-format off
static const struct {
    const char *why;
    thew_plane plane;
    thew_root root;
    thew_posture low, high; // degrees
    thew_action action;
    thew_point hold;
    thew_anchor anchor;
} lifts[] = {
    { "curl", THEW_SAGITTAL, THEW_ROOT_HIP, { .hip = 90, .knee = 90 }, { .elbow = 130, .hip = 90, .knee = 90 },
      THEW_ELBOW_FLEXION, THEW_POINT_HAND, { .from = THEW_POINT_FLOOR } },
    { "side raise", THEW_FRONTAL, THEW_ROOT_HIP, { .lean = 0 }, { .shoulder = 90 },
      THEW_SHOULDER_ABDUCTION, THEW_POINT_HAND, { .from = THEW_POINT_FLOOR } },
    { "knee extension", THEW_SAGITTAL, THEW_ROOT_HIP, { .hip = 90, .knee = 90 }, { .hip = 90 },
      THEW_KNEE_EXTENSION, THEW_POINT_ANKLE, { .from = THEW_POINT_ANKLE, .dx_h = -.2 } },
    { "squat", THEW_SAGITTAL, THEW_ROOT_ANKLE, { .lean = 35, .hip = 95, .knee = 85, .ankle = 25 }, { .lean = 5, .hip = 10, .knee = 10, .ankle = 5 },
      THEW_KNEE_EXTENSION, THEW_POINT_SHOULDER, { .from = THEW_POINT_ANKLE } },
    { "heel raise", THEW_SAGITTAL, THEW_ROOT_FOREFOOT, { .lean = 0 }, { .ankle = -35 },
      THEW_ANKLE_PLANTARFLEXION, THEW_POINT_SHOULDER, { .from = THEW_POINT_FOREFOOT } },
    { "thighs apart", THEW_TRANSVERSE, THEW_ROOT_HIP, { .hip = 5 }, { .hip = 40 },
      THEW_HIP_ABDUCTION, THEW_POINT_KNEE, { .mirrored = true } },
    { "leg to the side", THEW_FRONTAL, THEW_ROOT_HIP, { .lean = 0 }, { .hip = 35 },
      THEW_HIP_ABDUCTION, THEW_POINT_ANKLE, { .from = THEW_POINT_ANKLE, .dx_h = -.1 } },
};
// clang-format on
enum { LIFTS = sizeof lifts / sizeof *lifts };

static thew_movement lift_of(int i)
{
    thew_movement m = { .plane = lifts[i].plane, .root = lifts[i].root, .legs = 2, .hands = 1, .effort_count = 1 };
    m.low = in_degrees(lifts[i].low), m.high = in_degrees(lifts[i].high);
    m.hold_point = lifts[i].hold, m.anchor = lifts[i].anchor;
    m.effort[0] = (thew_effort){ .action = lifts[i].action };
    return m;
}

static void more_is_never_less(void **state)
{
    (void)state;
    thew_body_model body = man();
    for (int i = 0; i < LIFTS; i++) {
        thew_movement m = lift_of(i);
        double last_kg = 0, last_band = 0, last_strands = 0, last_grip = 0;
        for (int step = 0; step < 12; step++) {
            double share = peak_share(m, &body, weight(step));
            row_between(lifts[i].why, last_kg, share, 1e9);
            last_kg = share;
            thew_band band = thew_band_unmeasured(.15, step);
            share = peak_share(m, &body, pull(&band, 1, 1));
            row_between(lifts[i].why, last_band, share, 1e9);
            last_band = share;
            share = peak_share(m, &body, pull(&band, 1, 1 + step));
            row_between(lifts[i].why, last_strands, share, 1e9);
            last_strands = share;
            share = peak_share(m, &body, pull(&band, 1 - step / 16., 1));
            row_between(lifts[i].why, last_grip, share, 1e9);
            last_grip = share;
        }
        if (m.root == THEW_ROOT_HIP) continue;
        thew_movement one = m, held = m;
        one.legs = 1, held.support_share = .5;
        row_between("one leg bears more than one of two", peak_share(m, &body, nothing) * 1.5, peak_share(one, &body, nothing),
                    1e9);
        row_between("support bears", 0, peak_share(held, &body, nothing), peak_share(m, &body, nothing) * .8);
    }
    rows_end(LIFTS * 48 + 4);
}

static void the_stronger_body_is_asked_for_less(void **state)
{
    (void)state;
    for (int i = 0; i < LIFTS; i++) {
        thew_movement m = lift_of(i);
        thew_body_model light = thew_body_build((thew_body){ THEW_SEX_MALE, 30, 1.75, 60 }),
                        heavy = thew_body_build((thew_body){ THEW_SEX_MALE, 30, 1.75, 90 });
        thew_resistance dumbbell = { .mass_kg = 5 };
        // Body weight and strength both go with mass: alone it makes no difference, against an implement it helps.
        row_relative(lifts[i].why, peak_share(m, &light, nothing), peak_share(m, &heavy, nothing), 1e-9);
        if (m.plane == THEW_TRANSVERSE) continue;
        row_between(lifts[i].why, 0, peak_share(m, &heavy, dumbbell), peak_share(m, &light, dumbbell) * .99);
    }
    rows_end(2 * LIFTS - 1);
}

// ---- a whole range ----

static void a_side_raise_by_hand(void **state)
{
    (void)state;
    // Torque goes with the sine of the angle, strength is level: 0 to 90 degrees has its peak at the end and 2 / pi of it as its
    // mean.
    thew_body_model body = man();
    thew_movement m = lift_of(1);
    m.anchor = (thew_anchor){ 0 };
    thew_resistance dumbbell = { .mass_kg = 3 };
    thew_demand demand;
    assert_int_equal(thew_demand_of(&m, &body, &dumbbell, thew_tempo_default(), &demand), THEW_OK);
    row_near("S05", 30.949, demand.torque_nm, .031);
    row_relative("over the reference", demand.torque_nm / thew_strength_reference_nm(THEW_SHOULDER_ABDUCTION, &body),
                 demand.peak_share, 1e-12);
    row_near("the end sticks", 1, demand.sticking_s, 1e-6);
    row_near("and ends the set", 1, demand.ends_to_s, 0);
    row_between("from where it asks for .96 of the peak", .5, demand.ends_from_s, 1 - 1. / THEW_DEMAND_STEPS);
    row_between("there", .96, thew_demand_at_s(&m, &body, &dumbbell, demand.ends_from_s).peak_share / demand.peak_share, 1);
    row_near("mean", ((7 + 7 / 1.2) * 2 / THEW_PI + 1 * 0 + 1 * 1) / 16, demand.mean_share, 1e-6);
    row_near("no band", 0, demand.stretch_max, 0);
    row_near("all was known", 0, demand.ln_sd, 0);
    assert_int_equal(thew_demand_of(&m, &body, &dumbbell, (thew_tempo){ 0, 0, 5, 5 }, &demand), THEW_OK);
    row_near("other tempo", (5 * 2 / THEW_PI + 5) / 10, demand.mean_share, 1e-6);
    m.high.shoulder = 130 * degree;
    assert_int_equal(thew_demand_of(&m, &body, &dumbbell, thew_tempo_default(), &demand), THEW_OK);
    row_near("further: half a turn sticks", 90. / 130, demand.sticking_s, 1e-6);
    row_between("the set ends about there, not past it", 90. / 130 - .2, demand.ends_from_s, 90. / 130);
    row_between("just behind it at the latest", 90. / 130, demand.ends_to_s, 90. / 130 + .05);
    row_near("at the same torque", 30.949, demand.torque_nm, .031);
    m.kind = THEW_HOLD, m.hold_s = 45. / 130;
    assert_int_equal(thew_demand_of(&m, &body, &dumbbell, (thew_tempo){ 0 }, &demand), THEW_OK);
    row_near("held at 45 degrees: S06", 21.884, demand.torque_nm, .022);
    row_near("held there", 45. / 130, demand.sticking_s, 0);
    row_near("a hold can end at any time", 1, demand.ends_to_s - demand.ends_from_s, 0);
    row_near("held all the time", 1, demand.mean_share, 0);
    rows_end(12);
}

static void nothing_is_asked_for(void **state)
{
    (void)state;
    thew_body_model body = man();
    thew_movement m = lift_of(0);
    m.effort[0].action = THEW_ELBOW_EXTENSION; // the weight extends the elbow by itself
    thew_band band = { .rest_length_m = 3, .a0c10_n = 10, .force_ln_sd = .3 };
    thew_resistance slack = { .band = &band, .strand = whole };
    thew_demand demand;
    assert_int_equal(thew_demand_of(&m, &body, &slack, thew_tempo_default(), &demand), THEW_SLACK);
    row_near("demand", 0, demand.peak_share, 0);
    row_near("mean", 1, demand.mean_share, 0);
    row_near("SD", 0, demand.ln_sd, 0);
    thew_demand_at at = thew_demand_at_s(&m, &body, &slack, .5);
    row_between("the torque works the other way", -100, at.torque_nm[0], -1);
    row_near("a slack band pulls with nothing", 0, at.band_force_n, 0);
    row_between("but has a length", .1, at.band_length_m, 2);
    m.effort[0].synergist = true, m.effort[0].action = THEW_ELBOW_FLEXION;
    assert_int_equal(thew_demand_of(&m, &body, &slack, thew_tempo_default(), &demand), THEW_SLACK);
    row_near("nothing but a synergist", 0, demand.peak_share, 0);
    row_near("whose torque is told all the same", thew_demand_at_s(&m, &body, &slack, 0).torque_nm[0], demand.torque_nm, 0);
    m.effort_count = 0;
    row_near("no effort", 0, thew_demand_at_s(&m, &body, &slack, .5).peak_share, 0);
    m = lift_of(0), m.anchor = (thew_anchor){ .from = THEW_POINT_HAND };
    slack.anchor_dx_h = .3;
    row_near("an anchor in the hand itself: no direction to move it", 0, thew_demand_at_s(&m, &body, &slack, 0).band_length_m, 0);
    rows_end(10);
}

static void the_one_who_lacks_most_limits(void **state)
{
    (void)state;
    thew_body_model body = man();
    thew_movement m = lift_of(3);
    m.effort[1] = (thew_effort){ .action = THEW_HIP_EXTENSION },
    m.effort[2] = (thew_effort){ .action = THEW_ANKLE_PLANTARFLEXION, .synergist = true };
    m.effort_count = 3;
    for (int i = 0; i <= 10; i++) {
        thew_demand_at at = thew_demand_at_s(&m, &body, &nothing, i / 10.);
        thew_posture posture = thew_movement_posture(&m, i / 10.);
        for (int j = 0; j < 3; j++) {
            thew_action action = m.effort[j].action;
            double strength_nm = thew_strength_reference_nm(action, &body) *
                                 thew_strength_angle_factor(action, &body, thew_posture_angle(&posture, action));
            row_near(thew_action_id(action), thew_max(at.torque_nm[j], 0) / strength_nm, at.share[j], 1e-12);
        }
        row_near("the greater of the two that limit", thew_max(at.share[0], at.share[1]), at.peak_share, 0);
    }
    rows_end(44);
}

static void bands_lie_side_by_side(void **state)
{
    (void)state;
    thew_body_model body = man();
    thew_movement m = lift_of(0);
    thew_band soft = thew_band_unmeasured(.25, 0), hard = thew_band_unmeasured(.22, 4);
    thew_resistance one = { .band = &soft, .strand = whole }, other = { .band = &hard, .strand = whole },
                    second = { .band_2 = &hard, .strand_2 = whole };
    thew_resistance both = { .band = &soft, .strand = whole, .band_2 = &hard, .strand_2 = whole };
    thew_resistance twice = { .band = &soft, .strand = whole, .band_2 = &soft, .strand_2 = whole }, two = { .band = &soft, .strand = { 1, 2 } };
    for (int i = 0; i <= 10; i++) {
        double s = i / 10.;
        thew_demand_at of_one = thew_demand_at_s(&m, &body, &one, s), of_other = thew_demand_at_s(&m, &body, &other, s);
        thew_demand_at of_both = thew_demand_at_s(&m, &body, &both, s), of_second = thew_demand_at_s(&m, &body, &second, s);
        thew_demand_at bare = thew_demand_at_s(&m, &body, &nothing, s);
        row_near("forces add", of_one.band_force_n + of_other.band_force_n, of_both.band_force_n, 1e-12);
        row_near("torques add", of_one.torque_nm[0] + of_other.torque_nm[0] - bare.torque_nm[0], of_both.torque_nm[0], 1e-12);
        row_near("the greater stretch counts", thew_max(of_one.band_stretch, of_other.band_stretch), of_both.band_stretch, 0);
        row_near("either place will do", of_other.torque_nm[0], of_second.torque_nm[0], 0);
        row_near("twice one band is two strands of it", thew_demand_at_s(&m, &body, &two, s).torque_nm[0],
                 thew_demand_at_s(&m, &body, &twice, s).torque_nm[0], 1e-12);
        // A step away along the band's line at the start, it is longer by as much there.
        thew_resistance further = one;
        further.anchor_dx_h = .05;
        if (i == 0)
            row_near("the anchor moved away", of_one.band_length_m + .05 * height_m,
                     thew_demand_at_s(&m, &body, &further, 0).band_length_m, 1e-12);
    }
    thew_movement loop = lift_of(5);
    thew_resistance mirrored = one;
    mirrored.anchor_dx_h = .05;
    row_near("a loop has no such setting", thew_demand_at_s(&loop, &body, &one, 1).band_length_m,
             thew_demand_at_s(&loop, &body, &mirrored, 1).band_length_m, 0);
    loop.anchor = (thew_anchor){ .from = THEW_POINT_HEEL, .dx_h = .3, .moves = true };
    row_near("nor a band between two limbs", thew_demand_at_s(&loop, &body, &one, 1).band_length_m,
             thew_demand_at_s(&loop, &body, &mirrored, 1).band_length_m, 0);
    rows_end(58);
}

static void errors_add_up(void **state)
{
    (void)state;
    thew_body_model body = man();
    thew_movement m = lift_of(0);
    thew_band band = { .rest_length_m = .45, .a0c10_n = 12, .a0c01_n = 12, .force_ln_sd = .3 }, sure = band;
    sure.force_ln_sd = 0;
    thew_resistance r = { .band = &band, .strand = whole };
    thew_demand demand;
    assert_int_equal(thew_demand_of(&m, &body, &r, thew_tempo_default(), &demand), THEW_OK);
    double bare_nm = thew_demand_at_s(&m, &body, &nothing, demand.sticking_s).torque_nm[0];
    double of_band = .3 * (demand.torque_nm - bare_nm) / demand.torque_nm;
    row_near("the band's error for its part of the torque", of_band, demand.ln_sd, 1e-9);
    // What the error means: a band stronger by one SD of 1 % moves ln d by as much.
    thew_band stronger = band;
    stronger.a0c10_n *= thew_exp(.003), stronger.a0c01_n *= thew_exp(.003);
    row_relative("by another way", of_band / 100, thew_log(peak_share(m, &body, pull(&stronger, 1, 1)) / demand.peak_share), .01);
    m.support_ln_sd = .2, body.size_ln_sd = .1;
    assert_int_equal(thew_demand_of(&m, &body, &r, thew_tempo_default(), &demand), THEW_OK);
    row_near("with size and support", thew_sqrt(of_band * of_band + .04 + .01), demand.ln_sd, 1e-9);
    r.band_2 = &sure, r.strand_2 = whole;
    assert_int_equal(thew_demand_of(&m, &body, &r, thew_tempo_default(), &demand), THEW_OK);
    row_between("a second, well known band makes it smaller", thew_sqrt(.05), demand.ln_sd,
                thew_sqrt(of_band * of_band + .05) - .01);
    band.rest_length_m = .25;
    assert_int_equal(thew_demand_of(&m, &body, &r, thew_tempo_default(), &demand), THEW_BEYOND_CURVE);
    rows_end(4);
}

// The demand of neighbouring settings differs by what the setting does, not by where a grid happens to lie.
static void settings_change_demand_smoothly(void **state)
{
    (void)state;
    thew_body_model body = man();
    thew_band band = thew_band_unmeasured(.35, 3);
    for (int i = 0; i < LIFTS; i++) {
        thew_movement m = lift_of(i);
        double before[2] = { 0 };
        for (int step = 0; step < 400; step++) {
            // Grip and stance alike, in steps of half a thousandth.
            thew_resistance r = {
                .mass_kg = 2, .band = &band, .strand = {1 - .0005 * step, 1},
                        .anchor_dx_h = .0002 * step
            };
            double ln = thew_log(peak_share(m, &body, r) + 1e-6);
            if (step >= 2) row_near(lifts[i].why, 0, ln - 2 * before[1] + before[0], 2e-5);
            before[0] = before[1], before[1] = ln;
        }
    }
    rows_end(LIFTS * 398);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_examples),
        cmocka_unit_test(the_hover_of_the_table),
        cmocka_unit_test(the_foot_weighs_where_it_is),
        cmocka_unit_test(a_heel_raise_pushes_through_the_ball),
        cmocka_unit_test(one_leg_holds_the_pelvis),
        cmocka_unit_test(arms_held_out_weigh_on_the_legs),
        cmocka_unit_test(implements_are_shared),
        cmocka_unit_test(torque_is_the_slope_of_energy),
        cmocka_unit_test(a_mirrored_band_works_on_both_sides),
        cmocka_unit_test(a_band_within_the_part_asks_for_nothing),
        cmocka_unit_test(figures_hang_together),
        cmocka_unit_test(more_is_never_less),
        cmocka_unit_test(the_stronger_body_is_asked_for_less),
        cmocka_unit_test(a_side_raise_by_hand),
        cmocka_unit_test(nothing_is_asked_for),
        cmocka_unit_test(the_one_who_lacks_most_limits),
        cmocka_unit_test(bands_lie_side_by_side),
        cmocka_unit_test(errors_add_up),
        cmocka_unit_test(settings_change_demand_smoothly),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
