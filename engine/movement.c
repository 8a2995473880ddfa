// movement.c: see movement.h.
#include "movement.h"

#include <assert.h>

#include "real.h"

static thew_xy plus(thew_xy a, thew_xy b)
{
    return (thew_xy){ a.x_m + b.x_m, a.y_m + b.y_m };
}

static thew_xy minus(thew_xy a, thew_xy b)
{
    return (thew_xy){ a.x_m - b.x_m, a.y_m - b.y_m };
}

// A length in a direction: 0 is straight down, or straight ahead in the transverse plane, where y points ahead.
static thew_xy along(thew_plane plane, double length_m, double direction_rad)
{
    double y_m = length_m * thew_cos(direction_rad);
    return (thew_xy){ length_m * thew_sin(direction_rad), plane == THEW_TRANSVERSE ? y_m : -y_m };
}

// From the midline towards this side, across a trunk that leans.
static thew_xy across(thew_plane plane, double length_m, double lean_rad)
{
    return along(plane, length_m, THEW_PI / 2 - lean_rad);
}

thew_xy thew_posture_pelvis(const thew_movement *movement, const thew_body_model *body, const thew_posture *posture, thew_xy hip)
{
    if (movement->plane == THEW_SAGITTAL) return hip;
    return minus(hip, across(movement->plane, body->hip_breadth_m / 2, posture->lean));
}

static void place_arm(const thew_movement *movement, const thew_body_model *body, const thew_posture *posture, thew_xy *point)
{
    thew_plane plane = movement->plane;
    thew_xy shoulder = thew_posture_pelvis(movement, body, posture, point[THEW_POINT_HIP]);
    double trunk_m = body->segment[THEW_SEGMENT_HAT].length_m;
    double upper_arm = -posture->lean + posture->shoulder;
    double hand_m = body->segment[THEW_SEGMENT_FOREARM].length_m + body->segment[THEW_SEGMENT_HAND].centre_m;
    if (plane != THEW_TRANSVERSE) shoulder = plus(shoulder, along(plane, trunk_m, THEW_PI - posture->lean));
    if (plane != THEW_SAGITTAL) shoulder = plus(shoulder, across(plane, body->shoulder_breadth_m / 2, posture->lean));
    point[THEW_POINT_SHOULDER] = shoulder;
    point[THEW_POINT_ELBOW] = plus(shoulder, along(plane, body->segment[THEW_SEGMENT_UPPER_ARM].length_m, upper_arm));
    point[THEW_POINT_HAND] = plus(point[THEW_POINT_ELBOW], along(plane, hand_m, upper_arm + posture->elbow));
}

static void place_leg(const thew_movement *movement, const thew_body_model *body, const thew_posture *posture, thew_xy *point)
{
    thew_plane plane = movement->plane;
    double thigh = -posture->lean + posture->hip;
    double shank = thigh - posture->knee;
    double foot = shank + THEW_PI / 2 + posture->ankle;
    point[THEW_POINT_KNEE] = plus(point[THEW_POINT_HIP], along(plane, body->segment[THEW_SEGMENT_THIGH].length_m, thigh));
    point[THEW_POINT_ANKLE] = plus(point[THEW_POINT_KNEE], along(plane, body->segment[THEW_SEGMENT_SHANK].length_m, shank));
    if (plane == THEW_SAGITTAL) {
        thew_xy sole = plus(point[THEW_POINT_ANKLE], along(plane, body->ankle_height_m, foot - THEW_PI / 2));
        point[THEW_POINT_FOREFOOT] = plus(sole, along(plane, body->ball_ahead_m, foot));
        point[THEW_POINT_HEEL] = minus(sole, along(plane, body->heel_behind_m, foot));
    } else {
        point[THEW_POINT_FOREFOOT] = plus(point[THEW_POINT_ANKLE], along(plane, body->ankle_height_m, shank));
        point[THEW_POINT_HEEL] = point[THEW_POINT_FOREFOOT];
    }
}

// All points but the floor, with the root where it rests.
static void place_body(const thew_movement *movement, const thew_body_model *body, const thew_posture *posture, thew_xy *point)
{
    double beside_m = movement->plane == THEW_SAGITTAL ? 0 : body->hip_breadth_m / 2;
    point[THEW_POINT_HIP] = (thew_xy){ movement->root == THEW_ROOT_HIP ? beside_m : 0, 0 };
    place_arm(movement, body, posture, point);
    place_leg(movement, body, posture, point);
    if (movement->root == THEW_ROOT_HIP) return;
    thew_xy root = point[movement->root == THEW_ROOT_ANKLE ? THEW_POINT_ANKLE : THEW_POINT_FOREFOOT];
    for (int i = THEW_POINT_HAND; i < THEW_POINT_FLOOR; i++)
        point[i] = minus(point[i], root);
}

static double floor_height_m(const thew_movement *movement, const thew_body_model *body)
{
    if (movement->root == THEW_ROOT_ANKLE) return -body->ankle_height_m;
    if (movement->root == THEW_ROOT_FOREFOOT) return 0;
    if (movement->plane == THEW_TRANSVERSE) return 0; // seen from above the floor below the hip lies under the hip
    thew_xy low[THEW_POINT_COUNT];
    low[THEW_POINT_HIP] = (thew_xy){ 0, 0 };
    place_leg(movement, body, &movement->low, low);
    return thew_min(low[THEW_POINT_FOREFOOT].y_m, low[THEW_POINT_HEEL].y_m);
}

void thew_posture_points(const thew_movement *movement, const thew_body_model *body, const thew_posture *posture,
                         thew_xy point[THEW_POINT_COUNT])
{
    point[THEW_POINT_NONE] = (thew_xy){ 0, 0 };
    place_body(movement, body, posture, point);
    point[THEW_POINT_FLOOR] = (thew_xy){ point[THEW_POINT_HIP].x_m, floor_height_m(movement, body) };
}

// Exact at both ends.
static double between(double low, double high, double s)
{
    return (1 - s) * low + s * high;
}

thew_posture thew_movement_posture(const thew_movement *movement, double s)
{
    assert(s >= 0 && s <= 1);
    const thew_posture *low = &movement->low, *high = &movement->high;
    return (thew_posture){
        .lean = between(low->lean, high->lean, s),
        .shoulder = between(low->shoulder, high->shoulder, s),
        .elbow = between(low->elbow, high->elbow, s),
        .hip = between(low->hip, high->hip, s),
        .knee = between(low->knee, high->knee, s),
        .ankle = between(low->ankle, high->ankle, s),
    };
}

void thew_movement_points(const thew_movement *movement, const thew_body_model *body, double s, thew_xy point[THEW_POINT_COUNT])
{
    thew_posture posture = thew_movement_posture(movement, s);
    thew_posture_points(movement, body, &posture, point);
}

// The image of a point in the midline through the pelvis, which leans with the trunk.
static thew_xy mirror_image(const thew_movement *movement, const thew_body_model *body, double s, const thew_xy *point)
{
    thew_posture posture = thew_movement_posture(movement, s);
    thew_xy hold = point[movement->hold_point];
    if (movement->plane == THEW_SAGITTAL) return hold;
    thew_xy out = across(movement->plane, 1, posture.lean);
    thew_xy from_midline = minus(hold, thew_posture_pelvis(movement, body, &posture, point[THEW_POINT_HIP]));
    double out_m = from_midline.x_m * out.x_m + from_midline.y_m * out.y_m;
    return minus(hold, across(movement->plane, 2 * out_m, posture.lean));
}

thew_xy thew_movement_anchor(const thew_movement *movement, const thew_body_model *body, double s)
{
    const thew_anchor *anchor = &movement->anchor;
    thew_xy point[THEW_POINT_COUNT];
    thew_movement_points(movement, body, anchor->mirrored || anchor->moves ? s : 0, point);
    if (anchor->mirrored) return mirror_image(movement, body, s, point);
    thew_xy offset = { anchor->dx_h * body->height_m, anchor->dy_h * body->height_m };
    return plus(point[anchor->from], offset);
}

double thew_posture_angle(const thew_posture *posture, thew_action action)
{
    switch (thew_action_joint(action)) {
    case THEW_JOINT_SHOULDER:
        return posture->shoulder;
    case THEW_JOINT_ELBOW:
        return posture->elbow;
    case THEW_JOINT_TRUNK:
        return posture->lean;
    case THEW_JOINT_HIP:
        return posture->hip;
    case THEW_JOINT_KNEE:
        return posture->knee;
    case THEW_JOINT_ANKLE:
        return posture->ankle;
    default:
        return 0; // no action works the grip
    }
}
