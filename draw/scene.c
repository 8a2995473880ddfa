// scene.c: see scene.h.
// Furniture follows from geometry alone, so that an exercise which a studio adds is drawn as well as ours. Lengths are shares of
// stature, by the eye; a seat lies under the hip wherever a posture has it.
#include "draw/scene.h"

#include <math.h>

#include "draw/pose.h"
#include "engine/real.h"

#define RANGE_STEPS 16 // places of the range that are looked at
#define BAR .018       // legs and frames
#define SEAT .028      // thickness of a seat
#define TOP .026       // of a worktop
#define DOOR .03
#define BACK_HIGH .27    // backrest above the seat
#define WORKTOP_HIGH .53 // above the floor
#define SEAT_HIGH .235   // of a common chair; what a seat is higher is a cushion
#define SEAT_DEEP .19    // seat ahead of the hip of one who sits right back
#define SEAT_DEPTH_MIN .25
#define SEAT_DEPTH_MAX .29
#define GAP .014       // between the shank and the seat's edge
#define NEAR_FLOOR .05 // a point less than this above the floor stands on it
#define FAR_SHIFT .034

// ---- small helpers ----

static thew_xy at(double x_m, double y_m)
{
    return (thew_xy){ x_m, y_m };
}

static void add(thew_scene *scene, thew_thing_kind kind, double width_h, thew_xy from, thew_xy to)
{
    g_assert(scene->thing_count < THEW_THINGS_MAX);
    scene->thing[scene->thing_count++] = (thew_thing){ kind, from, to, width_h * scene->height_m };
}

static void rest_hand(thew_scene *scene, thew_scene_side side, double x_m, double y_m)
{
    scene->rests[side] = true;
    scene->hand_at[side] = at(x_m, y_m);
}

static void points_at(const thew_scene *scene, double s, thew_xy point[THEW_POINT_COUNT])
{
    thew_movement_points(scene->movement, scene->body, s, point);
}

static double share_s(int step)
{
    return (double)step / RANGE_STEPS;
}

// Direction of thigh and shank from straight down, as the engine has it.
static double thigh_rad(const thew_posture *posture)
{
    return posture->hip - posture->lean;
}

static double shank_rad(const thew_posture *posture)
{
    return thigh_rad(posture) - posture->knee;
}

static double degrees(double rad)
{
    return rad * 180 / THEW_PI;
}

// ---- what kind of movement it is ----

static bool is_sagittal(const thew_scene *scene)
{
    return scene->movement->plane == THEW_SAGITTAL;
}

// Starts from a seat, feet on the floor: a chair belongs under the hip although the feet carry.
static bool rises_from_seat(const thew_scene *scene)
{
    return scene->movement->root == THEW_ROOT_ANKLE && is_sagittal(scene) && degrees(scene->movement->low.knee) > 70;
}

// One foot carries the body up from a bent knee, which is no seat's height: a step.
static bool climbs(const thew_scene *scene)
{
    const thew_movement *m = scene->movement;
    return m->root == THEW_ROOT_ANKLE && is_sagittal(scene) && m->legs == 1 && degrees(m->low.knee) > 35 && !rises_from_seat(scene);
}

static bool has_seat(const thew_scene *scene)
{
    return scene->position == THEW_SEATED || rises_from_seat(scene);
}

// The arms hang along the trunk or straight down throughout and hold nothing: they are free to hold on.
static bool arms_are_free(const thew_scene *scene)
{
    const thew_movement *m = scene->movement;
    bool hang = m->low.elbow == 0 && m->high.elbow == 0;
    bool plumb = m->low.shoulder == m->low.lean && m->high.shoulder == m->high.lean;
    bool along = m->low.shoulder == 0 && m->high.shoulder == 0;
    return m->hold_point != THEW_POINT_HAND && hang && (plumb || along);
}

static bool leg_moves(const thew_scene *scene)
{
    const thew_posture *low = &scene->movement->low, *high = &scene->movement->high;
    return thigh_rad(low) != thigh_rad(high) || shank_rad(low) != shank_rad(high) || low->ankle != high->ankle;
}

// The leg lies level before the seat: something carries it.
static bool leg_lies(const thew_scene *scene)
{
    const thew_posture *low = &scene->movement->low, *high = &scene->movement->high;
    return scene->position == THEW_SEATED && is_sagittal(scene) && degrees(shank_rad(low)) > 75 && degrees(shank_rad(high)) > 75;
}

bool thew_scene_hides_legs(const thew_scene *scene)
{
    return scene->position == THEW_SEATED && !is_sagittal(scene);
}

// ---- floor, anchor ----

static double leg_m(const thew_scene *scene)
{
    return scene->body->segment[THEW_SEGMENT_THIGH].length_m + scene->body->segment[THEW_SEGMENT_SHANK].length_m;
}

// The lowest that the working foot comes anywhere in the range.
static double foot_low_m(const thew_scene *scene)
{
    double low_m = INFINITY;
    for (int i = 0; i <= RANGE_STEPS; i++) {
        thew_xy point[THEW_POINT_COUNT];
        points_at(scene, share_s(i), point);
        low_m = fmin(low_m, fmin(point[THEW_POINT_HEEL].y_m, point[THEW_POINT_FOREFOOT].y_m));
    }
    return low_m;
}

static void find_floor(thew_scene *scene)
{
    const double h = scene->height_m, shank_m = scene->body->segment[THEW_SEGMENT_SHANK].length_m;
    thew_xy point[THEW_POINT_COUNT];
    points_at(scene, 0, point);
    scene->has_floor = scene->movement->plane != THEW_TRANSVERSE && scene->position != THEW_LYING;
    scene->floor_m = point[THEW_POINT_FLOOR].y_m;
    if (scene->position == THEW_SEATED) { // where a square knee has the foot, unless the working foot shows it
        double common_m = point[THEW_POINT_HIP].y_m - shank_m - scene->body->ankle_height_m, foot_m = foot_low_m(scene);
        bool shown = !thew_scene_hides_legs(scene) && fabs(common_m - foot_m) < NEAR_FLOOR * h;
        scene->floor_m = shown ? foot_m : common_m;
    }
    scene->low_floor_m = scene->floor_m;
    if (!climbs(scene)) return;
    // The other leg stands on the floor below, all but straight.
    scene->low_floor_m = point[THEW_POINT_HIP].y_m - .992 * leg_m(scene) - scene->body->ankle_height_m;
}

thew_xy thew_scene_anchor(const thew_scene *scene, double s)
{
    const thew_movement *m = scene->movement;
    thew_xy anchor = thew_movement_anchor(m, scene->body, s), point[THEW_POINT_COUNT];
    if (scene->anchor_dx_h == 0 || m->anchor.moves || m->anchor.mirrored) return anchor;
    points_at(scene, 0, point);
    thew_xy hold = point[m->hold_point];
    double length_m = hypot(anchor.x_m - hold.x_m, anchor.y_m - hold.y_m);
    if (length_m == 0) return anchor;
    double share = 1 + scene->anchor_dx_h * scene->height_m / length_m;
    return at(hold.x_m + share * (anchor.x_m - hold.x_m), hold.y_m + share * (anchor.y_m - hold.y_m));
}

typedef enum { ANCHOR_NONE, ANCHOR_BODY, ANCHOR_FLOOR, ANCHOR_CHAIR, ANCHOR_DOOR } anchor_kind;

static anchor_kind kind_of_anchor(const thew_scene *scene)
{
    const double h = scene->height_m;
    if (!scene->has_anchor) return ANCHOR_NONE;
    if (scene->movement->anchor.mirrored || scene->movement->anchor.moves || !is_sagittal(scene)) return ANCHOR_BODY;
    thew_xy point[THEW_POINT_COUNT], anchor = thew_scene_anchor(scene, 0);
    points_at(scene, 0, point);
    double ahead_m = anchor.x_m - point[THEW_POINT_HIP].x_m;
    if (has_seat(scene) && ahead_m < -.03 * h && ahead_m > -.3 * h) return ANCHOR_CHAIR;
    if (fabs(anchor.y_m - scene->floor_m) < .06 * h) return ANCHOR_FLOOR;
    return fabs(ahead_m) < .15 * h ? ANCHOR_BODY : ANCHOR_DOOR;
}

static void add_door(thew_scene *scene)
{
    const double h = scene->height_m;
    thew_xy anchor = thew_scene_anchor(scene, 0), point[THEW_POINT_COUNT];
    points_at(scene, 0, point);
    double away = anchor.x_m > point[THEW_POINT_HIP].x_m ? 1 : -1, x_m = anchor.x_m + away * DOOR / 2 * h;
    double top_m = fmax(scene->floor_m + 1.19 * h, anchor.y_m + .03 * h); // 2 m for the middle stature
    add(scene, THEW_THING_DOOR, DOOR, at(x_m, scene->floor_m + DOOR / 2 * h), at(x_m, top_m - DOOR / 2 * h));
}

// ---- the other leg ----

static void plant(thew_scene *scene, double x_m)
{
    scene->far_leg = THEW_LEG_PLANTED;
    scene->far_ankle = at(x_m, scene->floor_m + scene->body->ankle_height_m);
}

static void find_seated_leg(thew_scene *scene, const thew_xy *point)
{
    const double h = scene->height_m, hip_m = point[THEW_POINT_HIP].x_m;
    double square_m = hip_m + scene->body->segment[THEW_SEGMENT_THIGH].length_m;
    bool door_ahead = kind_of_anchor(scene) == ANCHOR_DOOR && thew_scene_anchor(scene, 0).x_m > hip_m;
    if (!leg_moves(scene))
        plant(scene, point[THEW_POINT_ANKLE].x_m + (door_ahead ? -1 : 1) * FAR_SHIFT * h);
    else
        plant(scene, square_m - (leg_lies(scene) ? .06 : FAR_SHIFT) * h);
}

static void find_far_leg(thew_scene *scene)
{
    const double h = scene->height_m;
    const thew_movement *m = scene->movement;
    thew_xy point[THEW_POINT_COUNT];
    points_at(scene, 0, point);
    if (thew_scene_hides_legs(scene) || scene->position == THEW_LYING) return;
    if (climbs(scene))
        scene->far_leg = THEW_LEG_STEPS;
    else if (m->root == THEW_ROOT_FOREFOOT && m->legs == 1)
        scene->far_leg = THEW_LEG_LIFTED;
    else if (m->root == THEW_ROOT_ANKLE && m->legs == 1)
        plant(scene, point[THEW_POINT_ANKLE].x_m + scene->body->segment[THEW_SEGMENT_FOOT].length_m);
    else if (scene->position == THEW_SEATED)
        find_seated_leg(scene, point);
    else if (!is_sagittal(scene))
        plant(scene, m->anchor.from == THEW_POINT_ANKLE && scene->has_anchor ? thew_scene_anchor(scene, 0).x_m
                                                                             : -point[THEW_POINT_HIP].x_m);
    else if (m->root == THEW_ROOT_HIP && leg_moves(scene))
        plant(scene, point[THEW_POINT_HIP].x_m + .012 * h);
}

// ---- chair, from the side ----

// How far back the legs reach below the seat, at any place of the range.
static double legs_back_m(const thew_scene *scene, double seat_m)
{
    double back_m = INFINITY;
    for (int i = 0; i <= RANGE_STEPS; i++) {
        thew_pose pose = thew_pose_at(scene, share_s(i));
        for (int side = 0; side < THEW_SIDES; side++) {
            const thew_pose_leg *leg = &pose.leg[side];
            if (fmin(leg->ankle.y_m, leg->heel.y_m) > seat_m) continue;
            back_m =
                fmin(back_m, fmin(leg->ankle.x_m - THEW_ANKLE_R * scene->height_m, leg->heel.x_m - THEW_HEEL_R * scene->height_m));
            double share = (seat_m - leg->knee.y_m) / fmin(leg->ankle.y_m - leg->knee.y_m, -1e-6);
            double shank_m = leg->knee.x_m + fmax(share, 0) * (leg->ankle.x_m - leg->knee.x_m);
            back_m = fmin(back_m, shank_m - THEW_KNEE_R * scene->height_m);
        }
    }
    return back_m;
}

// A thigh that slopes down leaves the seat early.
static double slope_front_m(const thew_scene *scene, double hip_m)
{
    const double h = scene->height_m;
    double front_m = INFINITY;
    for (int i = 0; i <= RANGE_STEPS; i++) {
        if (!has_seat(scene) || (rises_from_seat(scene) && i > 0)) break;
        thew_posture posture = thew_movement_posture(scene->movement, share_s(i));
        double thigh = thigh_rad(&posture);
        if (degrees(thigh) < 89) front_m = fmin(front_m, hip_m + fmax(.02, .016 * tan(thigh)) * h);
    }
    return front_m;
}

// Where the trunk's back is at its rearmost, at a height above the hip.
static double trunk_back_m(const thew_scene *scene, double high_m)
{
    const double h = scene->height_m;
    double back_m = INFINITY;
    for (int i = 0; i <= RANGE_STEPS; i++) {
        double s = share_s(i);
        if (rises_from_seat(scene) && i > 0) break;
        if (s > scene->end_s + 1e-9) break;
        thew_xy point[THEW_POINT_COUNT];
        points_at(scene, s, point);
        double lean = thew_movement_posture(scene->movement, s).lean;
        double behind_m = point[THEW_POINT_HIP].x_m + fmin(0, high_m * tan(lean)) - .05 * h / cos(lean);
        back_m = fmin(back_m, fmin(behind_m, point[THEW_POINT_HIP].x_m - THEW_HIP_R * h));
    }
    return back_m - .012 * h;
}

typedef struct {
    double front_m, back_m, seat_m, floor_m;
    bool armrests;
} chair;

static void add_chair(thew_scene *scene, thew_thing_kind kind, const chair *c, bool backrest)
{
    const double h = scene->height_m, inset_m = BAR / 2 * h;
    double high_m = c->seat_m - c->floor_m, common_m = SEAT_HIGH * h;
    double seat_m = c->seat_m - SEAT / 2 * h;
    if (kind == THEW_THING_CHAIR && high_m > common_m + .03 * h) { // a common chair, and a cushion on it
        double thick_m = high_m - common_m;
        seat_m -= thick_m;
        add(scene, THEW_THING_CUSHION, thick_m / h, at(c->back_m + thick_m / 2 + .02 * h, c->seat_m - thick_m / 2),
            at(c->front_m - thick_m / 2, c->seat_m - thick_m / 2));
    }
    double foot_m = c->floor_m + BAR / 2 * h;
    add(scene, kind, BAR, at(c->front_m - inset_m, seat_m), at(c->front_m - inset_m, foot_m));
    add(scene, kind, BAR, at(c->back_m, seat_m), at(c->back_m, foot_m));
    if (backrest) add(scene, kind, BAR, at(c->back_m, seat_m), at(c->back_m - .012 * h, seat_m + BACK_HIGH * h));
    if (c->armrests) {
        double arm_m = seat_m + .17 * h;
        add(scene, kind, BAR, at(c->back_m, arm_m), at(c->front_m + .09 * h, arm_m));
        add(scene, kind, BAR, at(c->front_m - inset_m, seat_m), at(c->front_m - inset_m, arm_m));
    }
    add(scene, kind, SEAT, at(c->back_m, seat_m), at(c->front_m - SEAT / 2 * h, seat_m));
}

static chair find_chair(const thew_scene *scene)
{
    const double h = scene->height_m;
    thew_xy point[THEW_POINT_COUNT];
    points_at(scene, 0, point);
    thew_xy hip = point[THEW_POINT_HIP];
    chair c = { .seat_m = hip.y_m - THEW_HIP_R * h, .floor_m = scene->floor_m };
    double clear_m = legs_back_m(scene, c.seat_m) - GAP * h, slope_m = slope_front_m(scene, hip.x_m);
    c.front_m = fmin(hip.x_m + SEAT_DEEP * h, fmin(clear_m, slope_m));
    c.back_m = fmin(trunk_back_m(scene, (BACK_HIGH - THEW_HIP_R) * h), c.front_m - SEAT_DEPTH_MIN * h);
    if (kind_of_anchor(scene) == ANCHOR_CHAIR) c.back_m = thew_scene_anchor(scene, 0).x_m;
    c.front_m = fmin(c.front_m, c.back_m + SEAT_DEPTH_MAX * h);
    return c;
}

// What a leg lies on that is held out level: a second chair, the heel just over its edge.
static void add_rest(thew_scene *scene)
{
    const double h = scene->height_m;
    thew_xy point[THEW_POINT_COUNT];
    points_at(scene, 0, point);
    thew_xy knee = point[THEW_POINT_KNEE], ankle = point[THEW_POINT_ANKLE];
    chair c = { .front_m = ankle.x_m - .04 * h,
                .back_m = knee.x_m + .07 * h,
                .seat_m = fmin(knee.y_m, ankle.y_m) - .026 * h,
                .floor_m = scene->floor_m };
    add_chair(scene, THEW_THING_REST, &c, false);
}

static void furnish_seat(thew_scene *scene)
{
    const double h = scene->height_m;
    chair c = find_chair(scene);
    const thew_movement *m = scene->movement;
    c.armrests = rises_from_seat(scene) && m->support_share > 0 && m->legs == 2;
    add_chair(scene, THEW_THING_CHAIR, &c, true);
    if (leg_lies(scene)) add_rest(scene);
    thew_xy point[THEW_POINT_COUNT];
    points_at(scene, 0, point);
    thew_xy hip = point[THEW_POINT_HIP];
    if (c.armrests) {
        for (int side = 0; side < THEW_SIDES; side++)
            rest_hand(scene, side, c.front_m + .07 * h, c.seat_m + (.17 + THEW_HAND_R) * h);
        return;
    }
    if (scene->position != THEW_SEATED) return;
    if (arms_are_free(scene)) {
        bool holds_band = kind_of_anchor(scene) == ANCHOR_BODY;
        thew_xy hold =
            holds_band ? thew_scene_anchor(scene, 0) : at(fmin(hip.x_m + .03 * h, c.front_m - .02 * h), c.seat_m + .004 * h);
        for (int side = 0; side < THEW_SIDES; side++)
            rest_hand(scene, side, hold.x_m, hold.y_m);
    } else if (!scene->both_arms) {
        bool forearm = degrees(m->low.lean) > 30; // one who leans over rests the forearm, hand at the knee
        rest_hand(scene, THEW_FAR, hip.x_m + (forearm ? .27 : .15) * h, hip.y_m + (forearm ? .055 : .06) * h);
    }
}

// ---- what one holds on to while standing, from the side ----

static void add_worktop(thew_scene *scene, double from_m, double to_m, double high_m)
{
    const double h = scene->height_m;
    add(scene, THEW_THING_TABLE, BAR, at(to_m - .04 * h, high_m), at(to_m - .04 * h, scene->low_floor_m + BAR / 2 * h));
    add(scene, THEW_THING_TABLE, TOP, at(from_m, high_m - TOP / 2 * h), at(to_m, high_m - TOP / 2 * h));
}

static void furnish_standing(thew_scene *scene)
{
    const double h = scene->height_m;
    const thew_movement *m = scene->movement;
    thew_xy point[THEW_POINT_COUNT];
    points_at(scene, 0, point);
    thew_xy shoulder = point[THEW_POINT_SHOULDER], hip = point[THEW_POINT_HIP];
    bool free_arms = arms_are_free(scene), legs_need_hold = m->support_share > 0 || (m->root == THEW_ROOT_HIP && leg_moves(scene));
    double lean = degrees(m->low.lean);
    if (free_arms && legs_need_hold && lean > 45) { // chest and forearms on a table
        double top_m = shoulder.y_m - .075 * h;
        add_worktop(scene, hip.x_m + .15 * h, shoulder.x_m + .32 * h, top_m);
        for (int side = 0; side < THEW_SIDES; side++)
            rest_hand(scene, side, shoulder.x_m + .2 * h, top_m + THEW_HAND_R * h);
    } else if (legs_need_hold) {
        double top_m = scene->floor_m + WORKTOP_HIGH * h;
        double hand_m = (climbs(scene) ? point[THEW_POINT_ANKLE].x_m + .25 * h : shoulder.x_m + .235 * h);
        add_worktop(scene, hand_m - .05 * h, hand_m + .22 * h, top_m);
        for (int side = free_arms ? THEW_NEAR : THEW_FAR; side < THEW_SIDES; side++)
            rest_hand(scene, side, hand_m, top_m + THEW_HAND_R * h);
    } else if (!scene->both_arms && !free_arms && lean > 45) { // the seat of a heavy chair ahead
        double seat_m = scene->floor_m + .28 * h, from_m = shoulder.x_m + .07 * h;
        chair c = { .front_m = from_m + .27 * h, .back_m = from_m, .seat_m = seat_m, .floor_m = scene->floor_m };
        add_chair(scene, THEW_THING_REST, &c, false);
        rest_hand(scene, THEW_FAR, from_m + .05 * h, seat_m + THEW_HAND_R * h);
    } else if (!scene->both_arms && !free_arms) { // the back of a chair beside
        double back_m = hip.x_m - .1 * h, top_m = scene->floor_m + (SEAT_HIGH + BACK_HIGH) * h;
        chair c = { .front_m = back_m,
                    .back_m = back_m - SEAT_DEPTH_MIN * h,
                    .seat_m = scene->floor_m + SEAT_HIGH * h,
                    .floor_m = scene->floor_m };
        add_chair(scene, THEW_THING_REST, &c, false);
        add(scene, THEW_THING_REST, BAR, at(back_m - BAR / 2 * h, c.seat_m), at(back_m, top_m));
        rest_hand(scene, THEW_FAR, back_m, top_m + THEW_HAND_R * h);
    }
    if (!climbs(scene)) return;
    double edge_m = point[THEW_POINT_HEEL].x_m - .035 * h, end_m = edge_m + .28 * h, top_m = scene->floor_m - BAR / 2 * h;
    add(scene, THEW_THING_STEP, BAR, at(edge_m, top_m), at(edge_m, scene->low_floor_m + BAR / 2 * h));
    add(scene, THEW_THING_STEP, BAR, at(end_m, top_m), at(end_m, scene->low_floor_m + BAR / 2 * h));
    add(scene, THEW_THING_STEP, BAR, at(edge_m, top_m), at(end_m, top_m));
}

// ---- from the front, from above, lying ----

static void furnish_front(thew_scene *scene)
{
    const double h = scene->height_m;
    thew_xy point[THEW_POINT_COUNT];
    points_at(scene, 0, point);
    double hip_m = point[THEW_POINT_HIP].y_m, half_m = .165 * h, foot_m = scene->floor_m + BAR / 2 * h;
    if (scene->position == THEW_SEATED) {
        double seat_m = hip_m - (THEW_HIP_R + SEAT / 2) * h, top_m = seat_m + BACK_HIGH * h;
        for (int side = -1; side <= 1; side += 2)
            add(scene, THEW_THING_CHAIR, BAR, at(side * half_m, top_m), at(side * half_m, foot_m));
        add(scene, THEW_THING_CHAIR, .05, at(-half_m, top_m - .02 * h), at(half_m, top_m - .02 * h));
        add(scene, THEW_THING_CHAIR, SEAT, at(-half_m, seat_m), at(half_m, seat_m));
        if (!scene->both_arms) rest_hand(scene, THEW_FAR, -.11 * h, hip_m + .035 * h);
        return;
    }
    double top_m = scene->floor_m + WORKTOP_HIGH * h;
    if (arms_are_free(scene)) { // a worktop before the person, who is seen from behind
        add(scene, THEW_THING_TABLE, TOP, at(-.42 * h, top_m - TOP / 2 * h), at(.42 * h, top_m - TOP / 2 * h));
        for (int side = -1; side <= 1; side += 2)
            add(scene, THEW_THING_TABLE, BAR, at(side * .39 * h, top_m - TOP / 2 * h), at(side * .39 * h, foot_m));
        rest_hand(scene, THEW_NEAR, .21 * h, top_m + .01 * h);
        rest_hand(scene, THEW_FAR, -.21 * h, top_m + .01 * h);
    } else if (!scene->both_arms) { // the back of a chair beside
        double back_m = -.29 * h, far_m = back_m - SEAT_DEPTH_MIN * h, seat_m = scene->floor_m + SEAT_HIGH * h;
        chair c = { .front_m = back_m, .back_m = far_m, .seat_m = seat_m, .floor_m = scene->floor_m };
        add_chair(scene, THEW_THING_REST, &c, false);
        add(scene, THEW_THING_REST, BAR, at(back_m - BAR / 2 * h, seat_m), at(back_m, seat_m + BACK_HIGH * h));
        rest_hand(scene, THEW_FAR, back_m, seat_m + (BACK_HIGH + THEW_HAND_R) * h);
    }
}

static void furnish_above(thew_scene *scene)
{
    const double h = scene->height_m, half_m = .17 * h;
    if (scene->position != THEW_SEATED) return;
    add(scene, THEW_THING_CHAIR, BAR, at(-half_m, -.1 * h), at(-half_m, .16 * h));
    add(scene, THEW_THING_CHAIR, BAR, at(half_m, -.1 * h), at(half_m, .16 * h));
    add(scene, THEW_THING_CHAIR, BAR, at(-half_m, .16 * h), at(half_m, .16 * h));
    add(scene, THEW_THING_CHAIR, .032, at(-half_m, -.1 * h), at(half_m, -.1 * h));
}

static void furnish_lying(thew_scene *scene)
{
    const double h = scene->height_m, thick = .04;
    thew_pose pose = thew_pose_at(scene, 0);
    double mat_m = pose.pelvis.y_m - scene->body->shoulder_breadth_m / 2 - .03 * h;
    double from_m = pose.head.x_m, to_m = pose.leg[THEW_NEAR].ankle.x_m;
    add(scene, THEW_THING_CUSHION, thick, at(fmin(from_m, to_m) - .06 * h, mat_m - thick / 2 * h),
        at(fmax(from_m, to_m) + .06 * h, mat_m - thick / 2 * h));
    double bottom_m = pose.head.y_m - THEW_HEAD_R * h, pillow = fmax(bottom_m - mat_m, .03 * h);
    add(scene, THEW_THING_CUSHION, pillow / h, at(from_m - .03 * h, mat_m + pillow / 2), at(from_m + .03 * h, mat_m + pillow / 2));
}

thew_scene thew_scene_of(const thew_variant *variant, const thew_implement *implement, const thew_setting *setting,
                         const thew_body_model *body)
{
    const thew_movement *m = &implement->movement;
    thew_scene scene = { .movement = m,
                         .body = body,
                         .position = variant->position,
                         .height_m = body->height_m,
                         .end_s = m->kind == THEW_HOLD ? m->hold_s : 1,
                         .anchor_dx_h = setting ? setting->anchor_dx_h : 0 };
    scene.has_anchor = implement->kind == THEW_IMPLEMENT_BAND || implement->kind == THEW_IMPLEMENT_LOOP;
    bool one_weight = implement->kind == THEW_IMPLEMENT_DUMBBELL && implement->pieces == 1 && m->hands == 1;
    scene.both_arms = m->hold_point != THEW_POINT_HAND || (!variant->unilateral && !one_weight);
    scene.far_shift_m = FAR_SHIFT * body->height_m;
    find_floor(&scene);
    find_far_leg(&scene);
    if (m->plane == THEW_TRANSVERSE)
        furnish_above(&scene);
    else if (scene.position == THEW_LYING)
        furnish_lying(&scene);
    else if (m->plane == THEW_FRONTAL)
        furnish_front(&scene);
    else if (has_seat(&scene))
        furnish_seat(&scene);
    else
        furnish_standing(&scene);
    if (kind_of_anchor(&scene) == ANCHOR_DOOR) add_door(&scene);
    return scene;
}
