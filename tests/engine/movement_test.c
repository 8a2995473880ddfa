// movement_test.c: where engine/movement.c puts the joints. Heights of a standing body are Winter's; the rest is plain geometry.
#include "rows.h"

#include "engine/movement.h"
#include "engine/real.h"

static const double degree = THEW_PI / 180;
static const double height_m = 1.75, mass_kg = 75;

static thew_body_model body_of_tests(void)
{
    return thew_body_build((thew_body){ THEW_SEX_MALE, 40, height_m, mass_kg });
}

static thew_movement still(thew_plane plane, thew_root root, thew_posture posture)
{
    return (thew_movement){ .plane = plane, .root = root, .low = posture, .high = posture };
}

static double away_m(thew_xy a, thew_xy b)
{
    return thew_sqrt((a.x_m - b.x_m) * (a.x_m - b.x_m) + (a.y_m - b.y_m) * (a.y_m - b.y_m));
}

static void row_xy(const char *why, double x_m, double y_m, thew_xy obtained)
{
    row_near(why, x_m, obtained.x_m, 1e-12);
    row_near(why, y_m, obtained.y_m, 1e-12);
}

// ---- tests/reference/segments_winter.csv: heights over the floor ----

static double height_of(const char *segment)
{
    csv *table = csv_open("segments_winter.csv");
    double share = -1;
    while (csv_next(table))
        if (csv_is(table, "row_type", "length") && csv_is(table, "segment", segment))
            share = csv_number(table, "length_fraction_of_stature");
    if (share < 0) fail_msg("no row %s", segment);
    return share * height_m;
}

static void a_standing_body_has_winters_heights(void **state)
{
    (void)state;
    static const struct {
        const char *segment;
        thew_point point;
    } row[] = {
        {"hip height",       THEW_POINT_HIP     },
        { "knee height",     THEW_POINT_KNEE    },
        { "shoulder height", THEW_POINT_SHOULDER},
        { "ankle height",    THEW_POINT_ANKLE   },
    };
    thew_body_model body = body_of_tests();
    for (thew_plane plane = THEW_SAGITTAL; plane <= THEW_FRONTAL; plane++)
        for (thew_root root = THEW_ROOT_HIP; root <= THEW_ROOT_FOREFOOT; root++) {
            thew_movement standing = still(plane, root, (thew_posture){ 0 });
            thew_xy point[THEW_POINT_COUNT];
            thew_movement_points(&standing, &body, 0, point);
            double floor_m = point[THEW_POINT_FLOOR].y_m;
            for (size_t i = 0; i < sizeof row / sizeof *row; i++)
                row_near(row[i].segment, height_of(row[i].segment), point[row[i].point].y_m - floor_m, 1e-12);
            row_near("heel on the floor", floor_m, point[THEW_POINT_HEEL].y_m, 1e-12);
            row_near("ball on the floor", floor_m, point[THEW_POINT_FOREFOOT].y_m, 1e-12);
            row_near("the floor lies below the hip", point[THEW_POINT_HIP].x_m, point[THEW_POINT_FLOOR].x_m, 0);
            // .818 - .186 = .632 against a drawn .63, and so on down the arm: the figure is not quite additive (its own note).
            row_near("elbow", height_of("elbow height"), point[THEW_POINT_ELBOW].y_m - floor_m, .0025 * height_m);
            row_near("wrist", height_of("wrist height"), point[THEW_POINT_HAND].y_m + .506 * .108 * height_m - floor_m,
                     .0025 * height_m);
        }
    rows_end(54);
}

// ---- postures by hand: shares of stature, so the height is 1 ----

#define SIDE THEW_SAGITTAL // seen from
#define FRONT THEW_FRONTAL
#define ABOVE THEW_TRANSVERSE
#define HIP_RESTS THEW_ROOT_HIP
#define FOOT_RESTS THEW_ROOT_ANKLE
#define BALL_RESTS THEW_ROOT_FOREFOOT
#define AT(name) THEW_POINT_##name

typedef struct {
    const char *why;
    thew_plane plane;
    thew_root root;
    thew_posture degrees;
    thew_point point;
    double x_h, y_h;
} place;

static const double hand = .146 + .506 * .108; // elbow to the hand's centre

static void joints_are_where_geometry_has_them(void **state)
{
    (void)state;
    const double s45 = .70710678118654752;
    // clang-format off
    const double s25 = .42261826174069944, c25 = .90630778703664996, s20 = .34202014332566873, c20 = .93969262078590838;
    const thew_posture hover = { 56, 0, 0, 126, 95, 25 }; // as S15: shank 25 degrees forward, thigh rising 20 to the hip, trunk 56 forward
    const place row[] = {
        { "seated: knee ahead",                       SIDE,  HIP_RESTS,   { .hip = 90, .knee = 90 }, AT(KNEE),     .245, 0 },
        { "seated: ankle below the knee",             SIDE,  HIP_RESTS,   { .hip = 90, .knee = 90 }, AT(ANKLE),    .245, -.246 },
        { "seated: the floor is where the foot is",   SIDE,  HIP_RESTS,   { .hip = 90, .knee = 90 }, AT(FLOOR),    0, -.285 },
        { "seated: ball ahead of the ankle",          SIDE,  HIP_RESTS,   { .hip = 90, .knee = 90 }, AT(FOREFOOT), .245 + .47 * .152, -.285 },
        { "seated: heel behind it",                   SIDE,  HIP_RESTS,   { .hip = 90, .knee = 90 }, AT(HEEL),     .245 - .25 * .152, -.285 },
        { "seated, leg straight: ankle ahead",        SIDE,  HIP_RESTS,   { .hip = 90 },             AT(ANKLE),    .491, 0 },
        { "and toes up",                              SIDE,  HIP_RESTS,   { .hip = 90 },             AT(FOREFOOT), .491 + .039, .47 * .152 },
        { "curl half way: elbow below the shoulder",  SIDE,  HIP_RESTS,   { .elbow = 90 },           AT(ELBOW),    0, .288 - .186 },
        { "curl half way: hand ahead",                SIDE,  HIP_RESTS,   { .elbow = 90 },           AT(HAND),     hand, .288 - .186 },
        { "arms overhead",                            SIDE,  HIP_RESTS,   { .shoulder = 180 },       AT(HAND),     0, .288 + .186 + hand },
        { "leaning: shoulder ahead",                  SIDE,  HIP_RESTS,   { .lean = 90 },            AT(SHOULDER), .288, 0 },
        { "leaning: the arm stays along the trunk",   SIDE,  HIP_RESTS,   { .lean = 90 },            AT(ELBOW),    .288 - .186, 0 },
        { "leaning, arm hanging",                     SIDE,  HIP_RESTS,   { .lean = 90, .shoulder = 90 }, AT(ELBOW), .288, -.186 },
        { "on the back: shoulder behind",             SIDE,  HIP_RESTS,   { .lean = -90 },           AT(SHOULDER), -.288, 0 },
        { "on the back: leg along x",                 SIDE,  HIP_RESTS,   { .lean = -90 },           AT(ANKLE),    .491, 0 },
        { "on the back: the heel lies on the floor",  SIDE,  HIP_RESTS,   { .lean = -90 },           AT(FLOOR),    0, -.25 * .152 },
        { "hover: knee ahead of the ankle",           SIDE,  FOOT_RESTS,  hover,                     AT(KNEE),     .246 * s25, .246 * c25 },
        { "hover: hip behind the ankle",              SIDE,  FOOT_RESTS,  hover,                     AT(HIP),      .246 * s25 - .245 * c20, .246 * c25 + .245 * s20 },
        { "hover: ball ahead on the floor",           SIDE,  FOOT_RESTS,  hover,                     AT(FOREFOOT), .47 * .152, -.039 },
        { "hover: the floor is under the sole",       SIDE,  FOOT_RESTS,  hover,                     AT(FLOOR),    .246 * s25 - .245 * c20, -.039 },
        { "on the toes: the ball stays",              SIDE,  BALL_RESTS,  { .ankle = -45 },          AT(FOREFOOT), 0, 0 },
        { "on the toes: the ankle rises",             SIDE,  BALL_RESTS,  { .ankle = -45 },          AT(ANKLE),    s45 * (.039 - .47 * .152), s45 * (.039 + .47 * .152) },
        { "on the toes: the floor stays",             SIDE,  BALL_RESTS,  { .ankle = -45 },          AT(FLOOR),    s45 * (.039 - .47 * .152), 0 },
        { "from the front: hip beside the midline",   FRONT, HIP_RESTS,   { .lean = 0 },             AT(HIP),      .191 / 2, 0 },
        { "from the front: shoulder beside it",       FRONT, HIP_RESTS,   { .lean = 0 },             AT(SHOULDER), .259 / 2, .288 },
        { "arm out to the side",                      FRONT, HIP_RESTS,   { .shoulder = 90 },        AT(HAND),     .259 / 2 + .186 + hand, .288 },
        { "bottom of a press",                        FRONT, HIP_RESTS,   { .shoulder = 90, .elbow = 90 }, AT(HAND), .259 / 2 + .186, .288 + hand },
        { "leg out to the side",                      FRONT, HIP_RESTS,   { .hip = 90 },             AT(ANKLE),    .191 / 2 + .491, 0 },
        { "its foot hangs on, whatever the ankle does", FRONT, HIP_RESTS, { .hip = 90, .ankle = 30 }, AT(HEEL),    .191 / 2 + .530, 0 },
        { "standing, from the front: hip over ankle", FRONT, FOOT_RESTS,  { .lean = 0 },             AT(HIP),      0, .491 },
        { "and the shoulder a little outside",        FRONT, FOOT_RESTS,  { .lean = 0 },             AT(SHOULDER), (.259 - .191) / 2, .779 },
        { "bent sideways: trunk and pelvis are one",  FRONT, HIP_RESTS,   { .lean = 90 },            AT(SHOULDER), .191 / 2 + .288, .191 / 2 - .259 / 2 },
        { "from above: thigh straight ahead",         ABOVE, HIP_RESTS,   { .lean = 0 },             AT(KNEE),     .191 / 2, .245 },
        { "from above: thigh out to the side",        ABOVE, HIP_RESTS,   { .hip = 90 },             AT(KNEE),     .191 / 2 + .245, 0 },
        { "from above: shoulder over the hips",       ABOVE, HIP_RESTS,   { .lean = 0 },             AT(SHOULDER), .259 / 2, 0 },
        { "from above: arm half way out",             ABOVE, HIP_RESTS,   { .shoulder = 45 },        AT(HAND),     .259 / 2 + s45 * (.186 + hand), s45 * (.186 + hand) },
        { "from above: the floor lies under the hip", ABOVE, HIP_RESTS,   { .lean = 0 },             AT(FLOOR),    .191 / 2, 0 },
    };
    // clang-format on
    thew_body_model body = thew_body_build((thew_body){ THEW_SEX_MALE, 40, 1, 40 });
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        thew_posture p = row[i].degrees;
        p = (thew_posture){ p.lean * degree, p.shoulder * degree, p.elbow * degree,
                            p.hip * degree,  p.knee * degree,     p.ankle * degree };
        thew_movement movement = still(row[i].plane, row[i].root, p);
        thew_xy point[THEW_POINT_COUNT];
        thew_movement_points(&movement, &body, .5, point);
        row_xy(row[i].why, row[i].x_h, row[i].y_h, point[row[i].point]);
    }
    rows_end(2 * 37);
}

static thew_posture random_posture(uint64_t *seed)
{
    return (thew_posture){ random_between(seed, -1.6, 1.6), random_between(seed, -1, 3), random_between(seed, 0, 2.5),
                           random_between(seed, -.5, 2),    random_between(seed, 0, 2),  random_between(seed, -.8, .5) };
}

static void bones_keep_their_length(void **state)
{
    (void)state;
    thew_body_model body = body_of_tests();
    uint64_t seed = 42;
    for (int i = 0; i < 600; i++) {
        thew_movement movement = { .plane = (thew_plane)(i % 3), .root = (thew_root)(i / 3 % 3) };
        movement.low = random_posture(&seed), movement.high = random_posture(&seed);
        thew_xy p[THEW_POINT_COUNT];
        memset(p, 0xA5, sizeof p);
        thew_movement_points(&movement, &body, random_unit(&seed), p);
        row_near("thigh", .245 * height_m, away_m(p[THEW_POINT_HIP], p[THEW_POINT_KNEE]), 1e-12);
        row_near("shank", .246 * height_m, away_m(p[THEW_POINT_KNEE], p[THEW_POINT_ANKLE]), 1e-12);
        row_near("upper arm", .186 * height_m, away_m(p[THEW_POINT_SHOULDER], p[THEW_POINT_ELBOW]), 1e-12);
        row_near("forearm to hand", hand * height_m, away_m(p[THEW_POINT_ELBOW], p[THEW_POINT_HAND]), 1e-12);
        double offset = movement.plane == THEW_SAGITTAL ? 0 : (.259 - .191) / 2, up = movement.plane == THEW_TRANSVERSE ? 0 : .288;
        row_near("hip to shoulder", thew_sqrt(up * up + offset * offset) * height_m,
                 away_m(p[THEW_POINT_HIP], p[THEW_POINT_SHOULDER]), 1e-12);
        double sole = movement.plane == THEW_SAGITTAL ? .72 * .152 : 0;
        row_near("heel to ball", sole * height_m, away_m(p[THEW_POINT_HEEL], p[THEW_POINT_FOREFOOT]), 1e-12);
        static const thew_point root[] = { THEW_POINT_HIP, THEW_POINT_ANKLE, THEW_POINT_FOREFOOT };
        double beside = movement.root == THEW_ROOT_HIP && movement.plane != THEW_SAGITTAL ? .191 / 2 * height_m : 0;
        row_xy("the root rests", beside, 0, p[root[movement.root]]);
        row_xy("no point is the origin", 0, 0, p[THEW_POINT_NONE]);
    }
    rows_end(6000);
}

static void postures_run_straight_and_meet_both_ends(void **state)
{
    (void)state;
    uint64_t seed = 8;
    thew_movement movement = { .low = random_posture(&seed), .high = random_posture(&seed) };
    thew_posture low = thew_movement_posture(&movement, 0), high = thew_movement_posture(&movement, 1),
                 half = thew_movement_posture(&movement, .5);
    assert_memory_equal(&low, &movement.low, sizeof low);
    assert_memory_equal(&high, &movement.high, sizeof high);
    row_near("lean", (low.lean + high.lean) / 2, half.lean, 1e-15);
    row_near("shoulder", (low.shoulder + high.shoulder) / 2, half.shoulder, 1e-15);
    row_near("elbow", (low.elbow + high.elbow) / 2, half.elbow, 1e-15);
    row_near("hip", (low.hip + high.hip) / 2, half.hip, 1e-15);
    row_near("knee", (low.knee + high.knee) / 2, half.knee, 1e-15);
    row_near("ankle", (low.ankle + high.ankle) / 2, half.ankle, 1e-15);
    const thew_posture all = { 1, 2, 3, 4, 5, 6 };
    for (thew_action action = 0; action < THEW_ACTION_COUNT; action++) {
        static const double angle[THEW_JOINT_COUNT] = { [THEW_JOINT_TRUNK] = 1, [THEW_JOINT_SHOULDER] = 2, [THEW_JOINT_ELBOW] = 3,
                                                        [THEW_JOINT_HIP] = 4,   [THEW_JOINT_KNEE] = 5,     [THEW_JOINT_ANKLE] = 6 };
        row_near(thew_action_id(action), angle[thew_action_joint(action)], thew_posture_angle(&all, action), 0);
    }
    rows_end(6 + THEW_ACTION_COUNT);
}

// ---- anchors ----

static void anchors_stay_or_follow(void **state)
{
    (void)state;
    thew_body_model body = thew_body_build((thew_body){ THEW_SEX_MALE, 40, 1, 40 });
    // Knee extension from a chair: the foot goes from below the knee to ahead of it.
    thew_movement kick = {
        .low = {.hip = 90 * degree, .knee = 90 * degree },
          .high = { .hip = 90 * degree                },
          .hold_point = THEW_POINT_ANKLE
    };
    kick.anchor = (thew_anchor){ THEW_POINT_ANKLE, -.2, .1, false, false };
    for (double s = 0; s <= 1; s += .25)
        row_xy("stays where the ankle began", .245 - .2, -.246 + .1, thew_movement_anchor(&kick, &body, s));
    kick.anchor.moves = true;
    row_xy("follows: at the start", .045, -.146, thew_movement_anchor(&kick, &body, 0));
    row_xy("follows: at the end, the offset not turned", .291, .1, thew_movement_anchor(&kick, &body, 1));
    kick.anchor = (thew_anchor){ .from = THEW_POINT_FLOOR };
    row_xy("at the floor below the hip", 0, -.285, thew_movement_anchor(&kick, &body, 1));
    kick.anchor = (thew_anchor){ .from = THEW_POINT_NONE, .dx_h = .5 };
    row_xy("from nothing: from the origin", .5, 0, thew_movement_anchor(&kick, &body, 1));
    kick.anchor = (thew_anchor){ .from = THEW_POINT_HEEL, .mirrored = true };
    row_xy("the mirror image seen from the side is the point itself", .245, -.246, thew_movement_anchor(&kick, &body, 0));
    rows_end(20);
}

static void mirror_images_lie_across_the_midline(void **state)
{
    (void)state;
    thew_body_model body = thew_body_build((thew_body){ THEW_SEX_FEMALE, 40, 1, 40 });
    thew_movement spread = {
        .plane = THEW_FRONTAL, .high = { .hip = 90 * degree }, .hold_point = THEW_POINT_KNEE, .anchor = { .mirrored = true }
    };
    row_xy("thighs together", -.191 / 2, -.245, thew_movement_anchor(&spread, &body, 0));
    row_xy("thighs apart", -.191 / 2 - .245, 0, thew_movement_anchor(&spread, &body, 1));
    spread.root = THEW_ROOT_ANKLE;
    row_xy("standing on the ankle: the midline is beside it", -.191, .246, thew_movement_anchor(&spread, &body, 0));
    spread.plane = THEW_TRANSVERSE, spread.root = THEW_ROOT_HIP;
    row_xy("seen from above", -.191 / 2, .245, thew_movement_anchor(&spread, &body, 0));
    // Whatever the lean, the image is as far from the pelvis as the point, and the way between them is square to the trunk.
    uint64_t seed = 21;
    for (int i = 0; i < 200; i++) {
        thew_movement movement = { .plane = i % 2 ? THEW_FRONTAL : THEW_TRANSVERSE,
                                   .root = (thew_root)(i % 3),
                                   .hold_point = THEW_POINT_HAND,
                                   .anchor = { .mirrored = true } };
        movement.low = random_posture(&seed);
        thew_xy point[THEW_POINT_COUNT], image = thew_movement_anchor(&movement, &body, 0);
        thew_movement_points(&movement, &body, 0, point);
        thew_xy hold = point[THEW_POINT_HAND], pelvis = thew_posture_pelvis(&movement, &body, &movement.low, point[THEW_POINT_HIP]);
        row_near("as far from the pelvis", away_m(hold, pelvis), away_m(image, pelvis), 1e-12);
        double up = movement.plane == THEW_TRANSVERSE ? -1 : 1;
        double along =
            (hold.x_m - image.x_m) * thew_sin(movement.low.lean) + up * (hold.y_m - image.y_m) * thew_cos(movement.low.lean);
        row_near("straight across", 0, along, 1e-12);
    }
    rows_end(408);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_standing_body_has_winters_heights),
        cmocka_unit_test(joints_are_where_geometry_has_them),
        cmocka_unit_test(bones_keep_their_length),
        cmocka_unit_test(postures_run_straight_and_meet_both_ends),
        cmocka_unit_test(anchors_stay_or_follow),
        cmocka_unit_test(mirror_images_lie_across_the_midline),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
