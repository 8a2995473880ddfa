// pose.c: see pose.h.
#include "draw/pose.h"

#include <math.h>

#include "engine/real.h"

#define LIES_APART .02 // how far the heel is behind when a leg is held off the floor

static thew_xy at(double x_m, double y_m)
{
    return (thew_xy){ x_m, y_m };
}

// A length in a direction: 0 is straight down, 90 degrees along +x.
static thew_xy along(thew_xy from, double length_m, double direction_rad)
{
    return at(from.x_m + length_m * sin(direction_rad), from.y_m - length_m * cos(direction_rad));
}

static thew_xy between(thew_xy from, thew_xy to, double share)
{
    return at(from.x_m + share * (to.x_m - from.x_m), from.y_m + share * (to.y_m - from.y_m));
}

thew_xy thew_pose_bend(thew_xy from, thew_xy *to, double upper_m, double lower_m, double side)
{
    double dx = to->x_m - from.x_m, dy = to->y_m - from.y_m, length_m = hypot(dx, dy);
    if (length_m < 1e-9) { // no direction: straight down
        dy = -1;
        length_m = 1;
    }
    double reach_m = fmin(fmax(length_m, fabs(upper_m - lower_m)), upper_m + lower_m);
    double ux = dx / length_m, uy = dy / length_m;
    *to = at(from.x_m + reach_m * ux, from.y_m + reach_m * uy);
    double along_m = (upper_m * upper_m - lower_m * lower_m + reach_m * reach_m) / (2 * fmax(reach_m, 1e-9));
    double aside_m = side * sqrt(fmax(0, upper_m * upper_m - along_m * along_m));
    return at(from.x_m + along_m * ux - aside_m * uy, from.y_m + along_m * uy + aside_m * ux);
}

// ---- lengths ----

static double segment_m(const thew_scene *scene, thew_segment segment)
{
    return scene->body->segment[segment].length_m;
}

static double forearm_m(const thew_scene *scene)
{
    return segment_m(scene, THEW_SEGMENT_FOREARM) + scene->body->segment[THEW_SEGMENT_HAND].centre_m;
}

static bool is_sagittal(const thew_scene *scene)
{
    return scene->movement->plane == THEW_SAGITTAL;
}

// ---- feet ----

static void flat_foot(const thew_scene *scene, thew_pose_leg *leg)
{
    const thew_body_model *b = scene->body;
    double sole_m = leg->ankle.y_m - b->ankle_height_m, x_m = leg->ankle.x_m;
    leg->heel = at(x_m - b->heel_behind_m, sole_m);
    leg->ball = at(x_m + b->ball_ahead_m, sole_m);
    leg->toe = at(x_m - b->heel_behind_m + segment_m(scene, THEW_SEGMENT_FOOT), sole_m);
}

// A foot that is lifted because the leg is too short stays on its ball: the toes turn down.
static void keep_on_ball(const thew_scene *scene, thew_pose_leg *leg, double floor_m)
{
    double a = scene->body->ankle_height_m, b = scene->body->ball_ahead_m, high_m = leg->ankle.y_m - floor_m;
    if (high_m <= a + 1e-9) return;
    double turned = atan2(b, a) - acos(fmin(high_m / hypot(a, b), 1)), c = cos(turned), s = sin(turned);
    thew_xy *point[] = { &leg->heel, &leg->ball, &leg->toe };
    for (size_t p = 0; p < G_N_ELEMENTS(point); p++) {
        double x = point[p]->x_m - leg->ankle.x_m, y = point[p]->y_m - leg->ankle.y_m;
        *point[p] = at(leg->ankle.x_m + c * x + s * y, leg->ankle.y_m - s * x + c * y);
    }
}

// Seen from the front a foot is short, and points a little outwards.
static void front_foot(const thew_scene *scene, thew_pose_leg *leg, double out)
{
    double sole_m = leg->ankle.y_m - scene->body->ankle_height_m;
    leg->heel = leg->ball = at(leg->ankle.x_m, sole_m);
    leg->toe = at(leg->ankle.x_m + out * .022 * scene->height_m, sole_m);
}

static thew_xy toe_of(const thew_scene *scene, const thew_pose_leg *leg)
{
    double to_ball_m = hypot(leg->ball.x_m - leg->heel.x_m, leg->ball.y_m - leg->heel.y_m);
    if (to_ball_m < 1e-9) return leg->ball;
    return between(leg->heel, leg->ball, segment_m(scene, THEW_SEGMENT_FOOT) / to_ball_m);
}

static void bend_leg(const thew_scene *scene, thew_pose_leg *leg)
{
    leg->knee =
        thew_pose_bend(leg->hip, &leg->ankle, segment_m(scene, THEW_SEGMENT_THIGH), segment_m(scene, THEW_SEGMENT_SHANK), 1);
    flat_foot(scene, leg);
}

// ---- sides ----

static thew_xy moved(thew_xy point, double dx_m)
{
    return at(point.x_m + dx_m, point.y_m);
}

static thew_pose_arm arm_moved(const thew_pose_arm *arm, double dx_m)
{
    return (thew_pose_arm){ moved(arm->shoulder, dx_m), moved(arm->elbow, dx_m), moved(arm->hand, dx_m) };
}

static thew_pose_leg leg_moved(const thew_pose_leg *leg, double dx_m)
{
    return (thew_pose_leg){ moved(leg->hip, dx_m),  moved(leg->knee, dx_m), moved(leg->ankle, dx_m),
                            moved(leg->heel, dx_m), moved(leg->ball, dx_m), moved(leg->toe, dx_m) };
}

// The image in the midline, which is x = 0 while the trunk is upright.
static thew_xy mirrored(thew_xy point)
{
    return at(-point.x_m, point.y_m);
}

static thew_pose_arm arm_mirrored(const thew_pose_arm *arm)
{
    return (thew_pose_arm){ mirrored(arm->shoulder), mirrored(arm->elbow), mirrored(arm->hand) };
}

static thew_pose_leg leg_mirrored(const thew_pose_leg *leg)
{
    return (thew_pose_leg){ mirrored(leg->hip),  mirrored(leg->knee), mirrored(leg->ankle),
                            mirrored(leg->heel), mirrored(leg->ball), mirrored(leg->toe) };
}

static void rest_arm(const thew_scene *scene, thew_pose_arm *arm, thew_scene_side which)
{
    double upper_m = segment_m(scene, THEW_SEGMENT_UPPER_ARM), lower_m = forearm_m(scene);
    arm->hand = scene->hand_at[which];
    if (is_sagittal(scene)) { // elbows point backwards
        arm->elbow = thew_pose_bend(arm->shoulder, &arm->hand, upper_m, lower_m, -1);
        return;
    }
    // Seen from the front the arm reaches ahead too, and is shortened: bent half as much as it would be in the plane.
    double side = which == THEW_NEAR ? 1 : -1;
    thew_xy flat = thew_pose_bend(arm->shoulder, &arm->hand, upper_m, lower_m, side);
    arm->elbow = between(between(arm->shoulder, arm->hand, upper_m / (upper_m + lower_m)), flat, .45);
}

// ---- from the side ----

static void step_up(const thew_scene *scene, thew_pose_leg *leg, const thew_pose_leg *near, double s)
{
    // From behind the step on to it, beside the other foot: the foot is lifted before it goes ahead.
    const double h = scene->height_m, ankle_m = scene->body->ankle_height_m;
    thew_xy start = at(near->ankle.x_m - .2 * h, scene->low_floor_m + ankle_m),
            end = at(near->ankle.x_m + scene->far_shift_m, scene->floor_m + ankle_m);
    double lifted = fmin(1, 1.7 * s), ahead = s * s;
    leg->ankle =
        at(start.x_m + ahead * (end.x_m - start.x_m), start.y_m + lifted * (end.y_m - start.y_m) + .035 * h * sin(THEW_PI * s));
    bend_leg(scene, leg);
}

static void place_far_leg(const thew_scene *scene, thew_pose *pose, double s)
{
    thew_pose_leg *near = &pose->leg[THEW_NEAR], *far = &pose->leg[THEW_FAR];
    far->hip = near->hip;
    switch (scene->far_leg) {
    case THEW_LEG_ALIKE:
        *far = leg_moved(near, scene->far_shift_m);
        return;
    case THEW_LEG_PLANTED:
        far->ankle = scene->far_ankle;
        bend_leg(scene, far);
        keep_on_ball(scene, far, scene->floor_m);
        return;
    case THEW_LEG_STEPS:
        step_up(scene, far, near, s);
        return;
    case THEW_LEG_LIFTED:
        far->knee = along(far->hip, segment_m(scene, THEW_SEGMENT_THIGH), THEW_PI / 14);
        far->ankle = along(far->knee, segment_m(scene, THEW_SEGMENT_SHANK), -THEW_PI / 4);
        flat_foot(scene, far);
        // The foot hangs with the shank.
        far->heel = along(along(far->ankle, scene->body->ankle_height_m, -THEW_PI / 8), scene->body->heel_behind_m, -THEW_PI * .62);
        far->ball = along(along(far->ankle, scene->body->ankle_height_m, -THEW_PI / 8), scene->body->ball_ahead_m, THEW_PI * .38);
        far->toe = toe_of(scene, far);
        return;
    }
}

static void see_from_side(const thew_scene *scene, thew_pose *pose, double s)
{
    place_far_leg(scene, pose, s);
    pose->arm[THEW_FAR] = arm_moved(&pose->arm[THEW_NEAR], scene->far_shift_m * .8);
    pose->arm[THEW_FAR].shoulder = moved(pose->arm[THEW_NEAR].shoulder, scene->far_shift_m * .3); // hardly shows beside the neck
}

// ---- from the front ----

// A seated person's thigh points at the viewer: the knee covers the hip, a little lower and further out.
static void sit_facing(const thew_scene *scene, thew_pose_leg *leg, double out)
{
    const double h = scene->height_m;
    bool on_band = scene->has_anchor && out < 0 && scene->movement->anchor.dx_h < -.1;
    leg->knee = at(leg->hip.x_m + out * .012 * h, leg->hip.y_m - .03 * h);
    leg->ankle = at(on_band ? thew_scene_anchor(scene, 0).x_m : leg->knee.x_m, scene->floor_m + scene->body->ankle_height_m);
    front_foot(scene, leg, out);
}

static void see_from_front(const thew_scene *scene, thew_pose *pose)
{
    thew_pose_leg *near = &pose->leg[THEW_NEAR], *far = &pose->leg[THEW_FAR];
    near->toe = along(near->ball, .022 * scene->height_m,
                      atan2(near->ankle.x_m - near->knee.x_m, near->knee.y_m - near->ankle.y_m) + THEW_PI / 2);
    *far = leg_mirrored(near);
    if (thew_scene_hides_legs(scene)) {
        sit_facing(scene, near, 1);
        sit_facing(scene, far, -1);
    } else if (scene->far_leg == THEW_LEG_PLANTED) {
        far->ankle = scene->far_ankle;
        far->knee =
            thew_pose_bend(far->hip, &far->ankle, segment_m(scene, THEW_SEGMENT_THIGH), segment_m(scene, THEW_SEGMENT_SHANK), -1);
        front_foot(scene, far, -1);
    }
    pose->arm[THEW_FAR] = arm_mirrored(&pose->arm[THEW_NEAR]);
    if (!scene->both_arms)
        pose->arm[THEW_FAR].elbow = along(pose->arm[THEW_FAR].shoulder, segment_m(scene, THEW_SEGMENT_UPPER_ARM), -.1);
}

// On the side: the leg below is bent at hip and knee towards the viewer, so that it is seen shortened and in line; the arm below
// lies under the pillow.
static void see_lying(const thew_scene *scene, thew_pose *pose, double s)
{
    const double h = scene->height_m, mat_m = pose->pelvis.y_m - scene->body->shoulder_breadth_m / 2 - .03 * h;
    thew_posture posture = thew_movement_posture(scene->movement, s);
    double away = posture.lean < 0 ? 1 : -1; // feet in +x
    thew_pose_leg *near = &pose->leg[THEW_NEAR], *far = &pose->leg[THEW_FAR];
    near->toe = toe_of(scene, near);
    *far = (thew_pose_leg){ .hip = at(near->hip.x_m, 2 * pose->pelvis.y_m - near->hip.y_m) };
    far->knee = at(far->hip.x_m + away * .7 * segment_m(scene, THEW_SEGMENT_THIGH), mat_m + THEW_KNEE_R * h);
    far->ankle = at(far->knee.x_m + away * .7 * segment_m(scene, THEW_SEGMENT_SHANK), mat_m + THEW_ANKLE_R * h);
    far->heel = far->ball = far->toe = at(far->ankle.x_m + away * scene->body->ankle_height_m, mat_m + THEW_ANKLE_R * h);
    thew_pose_arm *arm = &pose->arm[THEW_FAR];
    arm->shoulder = at(pose->arm[THEW_NEAR].shoulder.x_m, 2 * pose->pelvis.y_m - pose->arm[THEW_NEAR].shoulder.y_m);
    arm->elbow = at(arm->shoulder.x_m - away * segment_m(scene, THEW_SEGMENT_UPPER_ARM), mat_m + THEW_ELBOW_R * h);
    arm->hand = at(arm->elbow.x_m + away * .02 * h, mat_m + .06 * h);
}

// ---- from above ----

static void see_from_above(const thew_scene *scene, thew_pose *pose)
{
    const double h = scene->height_m;
    thew_pose_leg *near = &pose->leg[THEW_NEAR];
    double x = near->knee.x_m - near->hip.x_m, y = near->knee.y_m - near->hip.y_m, length_m = hypot(x, y);
    if (scene->position == THEW_SEATED) { // the shank hangs: the foot lies under the knee, pointing as the thigh does
        near->ankle = near->knee;
        near->heel = between(near->hip, near->knee, 1 - scene->body->heel_behind_m / length_m);
        near->ball = between(near->hip, near->knee, 1 + scene->body->ball_ahead_m / length_m);
    }
    near->toe = toe_of(scene, near);
    pose->leg[THEW_FAR] = leg_mirrored(near);
    thew_pose_arm *arm = &pose->arm[THEW_NEAR]; // hanging, hands on the thighs: seen shortened
    arm->elbow = at(arm->shoulder.x_m + .03 * h, arm->shoulder.y_m + .03 * h);
    arm->hand = at(near->hip.x_m + .45 * x + .005 * h, near->hip.y_m + .45 * y);
    pose->arm[THEW_FAR] = arm_mirrored(arm);
}

// ---- all ----

static void take_near_side(thew_pose *pose, const thew_xy *point)
{
    pose->arm[THEW_NEAR] = (thew_pose_arm){ point[THEW_POINT_SHOULDER], point[THEW_POINT_ELBOW], point[THEW_POINT_HAND] };
    pose->leg[THEW_NEAR] = (thew_pose_leg){
        .hip = point[THEW_POINT_HIP],
        .knee = point[THEW_POINT_KNEE],
        .ankle = point[THEW_POINT_ANKLE],
        .heel = point[THEW_POINT_HEEL],
        .ball = point[THEW_POINT_FOREFOOT],
    };
}

static void place_head(const thew_scene *scene, thew_pose *pose)
{
    const thew_xy *shoulder[] = { &pose->arm[THEW_NEAR].shoulder, &pose->arm[THEW_FAR].shoulder };
    if (is_sagittal(scene)) shoulder[1] = shoulder[0];
    pose->neck = between(*shoulder[0], *shoulder[1], .5);
    double trunk_m = segment_m(scene, THEW_SEGMENT_HAT), up_m = scene->body->head_m - THEW_HEAD_R * scene->height_m;
    pose->head = scene->movement->plane == THEW_TRANSVERSE ? at(pose->neck.x_m, pose->neck.y_m + .02 * scene->height_m)
                                                           : between(pose->pelvis, pose->neck, 1 + up_m / trunk_m);
}

thew_pose thew_pose_at(const thew_scene *scene, double s)
{
    const thew_movement *m = scene->movement;
    thew_xy point[THEW_POINT_COUNT];
    thew_movement_points(m, scene->body, s, point);
    thew_posture posture = thew_movement_posture(m, s);
    thew_pose pose = { .pelvis = thew_posture_pelvis(m, scene->body, &posture, point[THEW_POINT_HIP]) };
    take_near_side(&pose, point);
    pose.leg[THEW_NEAR].toe = toe_of(scene, &pose.leg[THEW_NEAR]);
    if (m->plane == THEW_TRANSVERSE)
        see_from_above(scene, &pose);
    else if (scene->position == THEW_LYING)
        see_lying(scene, &pose, s);
    else if (m->plane == THEW_FRONTAL)
        see_from_front(scene, &pose);
    else
        see_from_side(scene, &pose, s);
    for (int side = 0; side < THEW_SIDES; side++)
        if (scene->rests[side]) rest_arm(scene, &pose.arm[side], side);
    place_head(scene, &pose);
    return pose;
}
