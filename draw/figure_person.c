// figure_person.c: the person of a figure: limbs, trunk, head, the joints of the working side; and the same as an outline.
#include <math.h>

#include "draw/figure_parts.h"

#define MOVES .012 // a joint that moves less, in shares of stature, has no outline at the start

thew_knob thew_stage_knob(const thew_stage *c, thew_xy point, double radius_h)
{
    return (thew_knob){ thew_stage_x(c, point.x_m), thew_stage_y(c, point.y_m), thew_stage_share(c, radius_h) };
}

// The sole lies flat on the floor: discs at heel and toe stand on it.
thew_knob thew_stage_sole(const thew_stage *c, const thew_pose_leg *leg, thew_xy point, double radius_h)
{
    thew_xy middle = { (leg->heel.x_m + leg->ball.x_m) / 2, (leg->heel.y_m + leg->ball.y_m) / 2 };
    double x = leg->ball.x_m - leg->heel.x_m, y = leg->ball.y_m - leg->heel.y_m, length = hypot(x, y);
    double up_x = leg->ankle.x_m - middle.x_m, up_y = leg->ankle.y_m - middle.y_m;
    if (length > 1e-9) { // square to the sole, towards the ankle
        double side = -y * up_x + x * up_y > 0 ? 1 : -1;
        up_x = -y * side;
        up_y = x * side;
    }
    double up = hypot(up_x, up_y), raised_m = radius_h * c->scene.height_m / fmax(up, 1e-9);
    return thew_stage_knob(c, (thew_xy){ point.x_m + up_x * raised_m, point.y_m + up_y * raised_m }, radius_h);
}

// ---- limbs ----

static void add_arm(const thew_stage *c, GString *d, const thew_pose_arm *arm)
{
    thew_limb_add(d, thew_stage_knob(c, arm->shoulder, .031), thew_stage_knob(c, arm->elbow, THEW_ELBOW_R));
    thew_limb_add(d, thew_stage_knob(c, arm->elbow, THEW_ELBOW_R), thew_stage_knob(c, arm->hand, .017));
    thew_limb_add(d, thew_stage_knob(c, arm->hand, THEW_HAND_R), thew_stage_knob(c, arm->hand, THEW_HAND_R));
}

static void add_leg(const thew_stage *c, GString *d, const thew_pose_leg *leg)
{
    bool hidden = thew_scene_hides_legs(&c->scene), above = c->scene.movement->plane == THEW_TRANSVERSE;
    thew_limb_add(d, thew_stage_knob(c, leg->hip, hidden && !above ? .056 : .05),
                  thew_stage_knob(c, leg->knee, hidden && !above ? .052 : THEW_KNEE_R));
    if (!above) thew_limb_add(d, thew_stage_knob(c, leg->knee, THEW_KNEE_R), thew_stage_knob(c, leg->ankle, THEW_ANKLE_R));
    thew_knob heel = thew_stage_sole(c, leg, leg->heel, THEW_HEEL_R), toe = thew_stage_sole(c, leg, leg->toe, THEW_TOE_R);
    if (above) {
        thew_limb_add(d, thew_stage_knob(c, leg->heel, .02), thew_stage_knob(c, leg->toe, .024));
        return;
    }
    thew_limb_add(d, thew_stage_knob(c, leg->ankle, THEW_ANKLE_R), heel);
    thew_limb_add(d, thew_stage_knob(c, leg->ankle, THEW_ANKLE_R), toe);
    thew_limb_add(d, heel, toe);
}

// A trunk seen from the front narrows from the shoulders to the waist and widens to the hips.
static void add_broad_trunk(const thew_stage *c, GString *d, const thew_pose *pose)
{
    static const struct {
        double up, half, radius; // share of the way from pelvis to neck; half the breadth; shares of stature
    } girth[] = { { 0, .075, .05 }, { .35, .052, .05 }, { .78, .075, .048 }, { .97, .105, .036 } };
    thew_xy up = { pose->neck.x_m - pose->pelvis.x_m, pose->neck.y_m - pose->pelvis.y_m };
    double length_m = hypot(up.x_m, up.y_m), across_x = up.y_m / length_m, across_y = -up.x_m / length_m;
    for (gsize g = 0; g < G_N_ELEMENTS(girth); g++) {
        thew_xy middle = { pose->pelvis.x_m + girth[g].up * up.x_m, pose->pelvis.y_m + girth[g].up * up.y_m };
        double half_m = girth[g].half * c->scene.height_m;
        thew_xy left = { middle.x_m - half_m * across_x, middle.y_m - half_m * across_y };
        thew_xy right = { middle.x_m + half_m * across_x, middle.y_m + half_m * across_y };
        thew_limb_add(d, thew_stage_knob(c, left, girth[g].radius), thew_stage_knob(c, right, girth[g].radius));
        if (g == 0) continue;
        double below_m = girth[g - 1].half * c->scene.height_m;
        for (double side = -1; side <= 1; side += .5) { // close enough together to leave no hole
            thew_xy below = { pose->pelvis.x_m + girth[g - 1].up * up.x_m + side * below_m * across_x,
                              pose->pelvis.y_m + girth[g - 1].up * up.y_m + side * below_m * across_y };
            thew_xy above = { middle.x_m + side * half_m * across_x, middle.y_m + side * half_m * across_y };
            thew_limb_add(d, thew_stage_knob(c, below, girth[g - 1].radius), thew_stage_knob(c, above, girth[g].radius));
        }
    }
}

static void add_trunk(const thew_stage *c, GString *d, const thew_pose *pose)
{
    thew_plane plane = c->scene.movement->plane;
    if (plane == THEW_SAGITTAL)
        thew_limb_add(d, thew_stage_knob(c, pose->pelvis, THEW_HIP_R), thew_stage_knob(c, pose->neck, THEW_SHOULDER_R));
    else if (plane == THEW_FRONTAL)
        add_broad_trunk(c, d, pose);
    else
        thew_limb_add(d, thew_stage_knob(c, pose->arm[THEW_NEAR].shoulder, .042),
                      thew_stage_knob(c, pose->arm[THEW_FAR].shoulder, .042));
    if (plane != THEW_TRANSVERSE) thew_limb_add(d, thew_stage_knob(c, pose->neck, .024), thew_stage_knob(c, pose->head, .024));
}

static void add_head(const thew_stage *c, GString *d, const thew_pose *pose)
{
    thew_limb_add(d, thew_stage_knob(c, pose->head, THEW_HEAD_R), thew_stage_knob(c, pose->head, THEW_HEAD_R));
    if (c->scene.movement->plane != THEW_TRANSVERSE) return;
    thew_xy nose = { pose->head.x_m, pose->head.y_m + .06 * c->scene.height_m }; // which way is ahead
    thew_limb_add(d, thew_stage_knob(c, nose, .014), thew_stage_knob(c, nose, .014));
}

typedef void (*add_part)(const thew_stage *, GString *, const thew_pose *);

static void draw_limb(thew_stage *c, const char *class_name, double outline, GString *d)
{
    thew_svg_stroke(&c->svg, class_name, outline, d->str);
    g_string_truncate(d, 0);
}

static void draw_joint(thew_stage *c, const char *name, thew_xy point)
{
    g_autofree char *class_name = g_strdup_printf("joint %s", name);
    thew_svg_circle(&c->svg, class_name, thew_stage_x(c, point.x_m), thew_stage_y(c, point.y_m),
                    fmax(1.6, thew_stage_share(c, .0085)));
}

static void draw_arm(thew_stage *c, const thew_pose *pose, thew_scene_side side)
{
    g_autoptr(GString) d = g_string_new(NULL);
    add_arm(c, d, &pose->arm[side]);
    draw_limb(c, side == THEW_FAR && c->scene.movement->plane == THEW_SAGITTAL ? "limb far" : "limb", THEW_FIGURE_OUTLINE, d);
}

static void draw_leg(thew_stage *c, const thew_pose *pose, thew_scene_side side)
{
    g_autoptr(GString) d = g_string_new(NULL);
    add_leg(c, d, &pose->leg[side]);
    bool pale = side == THEW_FAR && (c->scene.movement->plane == THEW_SAGITTAL || c->scene.position == THEW_LYING);
    draw_limb(c, pale ? "limb far" : "limb", THEW_FIGURE_OUTLINE, d);
}

static void draw_part(thew_stage *c, const thew_pose *pose, add_part add)
{
    g_autoptr(GString) d = g_string_new(NULL);
    add(c, d, pose);
    draw_limb(c, "limb", THEW_FIGURE_OUTLINE, d);
}

static void draw_joints(thew_stage *c, const thew_pose *pose)
{
    draw_joint(c, "hip", pose->leg[THEW_NEAR].hip);
    draw_joint(c, "knee", pose->leg[THEW_NEAR].knee);
    if (c->scene.movement->plane == THEW_TRANSVERSE) return; // the others lie on each other
    draw_joint(c, "ankle", pose->leg[THEW_NEAR].ankle);
    draw_joint(c, "shoulder", pose->arm[THEW_NEAR].shoulder);
    draw_joint(c, "elbow", pose->arm[THEW_NEAR].elbow);
    draw_joint(c, "hand", pose->arm[THEW_NEAR].hand);
}

// ---- the person ----

static void draw_person_from_side(thew_stage *c, const thew_pose *pose, double s)
{
    thew_stage_draw_load(c, pose, s, THEW_FAR, false);
    draw_arm(c, pose, THEW_FAR);
    draw_leg(c, pose, THEW_FAR);
    draw_part(c, pose, add_trunk);
    draw_part(c, pose, add_head);
    draw_leg(c, pose, THEW_NEAR);
    thew_stage_draw_load(c, pose, s, THEW_NEAR, false);
    draw_arm(c, pose, THEW_NEAR);
}

static void draw_person_from_front(thew_stage *c, const thew_pose *pose, double s)
{
    bool held = c->scene.movement->hold_point == THEW_POINT_HAND;
    draw_part(c, pose, add_trunk);
    draw_part(c, pose, add_head);
    draw_leg(c, pose, THEW_FAR);
    draw_leg(c, pose, THEW_NEAR);
    if (!held) thew_stage_draw_load(c, pose, s, THEW_NEAR, false);
    for (int side = 0; held && side < THEW_SIDES; side++)
        thew_stage_draw_load(c, pose, s, side, false);
    draw_arm(c, pose, THEW_FAR);
    draw_arm(c, pose, THEW_NEAR);
}

static void draw_person_from_above(thew_stage *c, const thew_pose *pose, double s)
{
    draw_leg(c, pose, THEW_FAR);
    draw_leg(c, pose, THEW_NEAR);
    thew_stage_draw_load(c, pose, s, THEW_NEAR, false);
    draw_part(c, pose, add_trunk);
    draw_arm(c, pose, THEW_FAR);
    draw_arm(c, pose, THEW_NEAR);
    draw_part(c, pose, add_head);
}

void thew_stage_draw_person(thew_stage *c, double s)
{
    thew_pose pose = thew_pose_at(&c->scene, s);
    thew_svg_open(&c->svg, "person");
    if (c->scene.movement->plane == THEW_SAGITTAL)
        draw_person_from_side(c, &pose, s);
    else if (c->scene.movement->plane == THEW_FRONTAL)
        draw_person_from_front(c, &pose, s);
    else
        draw_person_from_above(c, &pose, s);
    draw_joints(c, &pose);
    thew_svg_close(&c->svg);
}

// ---- the start, as an outline ----

static bool apart(const thew_stage *c, thew_xy a, thew_xy b)
{
    return hypot(a.x_m - b.x_m, a.y_m - b.y_m) > MOVES * c->scene.height_m;
}

static bool arm_moves(const thew_stage *c, const thew_pose_arm *a, const thew_pose_arm *b)
{
    return apart(c, a->elbow, b->elbow) || apart(c, a->hand, b->hand);
}

static bool leg_moves(const thew_stage *c, const thew_pose_leg *a, const thew_pose_leg *b)
{
    return apart(c, a->knee, b->knee) || apart(c, a->ankle, b->ankle) || apart(c, a->toe, b->toe) || apart(c, a->heel, b->heel);
}

void thew_stage_draw_start(thew_stage *c)
{
    thew_pose start = thew_pose_at(&c->scene, 0), end = thew_pose_at(&c->scene, c->scene.end_s);
    bool both = c->scene.movement->plane != THEW_SAGITTAL;
    g_autoptr(GString) d = g_string_new(NULL);
    thew_svg_open(&c->svg, "start");
    if (apart(c, start.head, end.head)) {
        add_trunk(c, d, &start);
        add_head(c, d, &start);
    }
    for (int side = both ? THEW_FAR : THEW_NEAR; side >= 0; side--)
        if (leg_moves(c, &start.leg[side], &end.leg[side])) add_leg(c, d, &start.leg[side]);
    if (c->scene.far_leg == THEW_LEG_STEPS) add_leg(c, d, &start.leg[THEW_FAR]);
    if (d->len > 0) draw_limb(c, "ghost", THEW_FIGURE_GHOST_LINE, d);
    for (int side = both ? THEW_FAR : THEW_NEAR; side >= 0; side--) {
        if (!arm_moves(c, &start.arm[side], &end.arm[side])) continue;
        thew_stage_draw_load(c, &start, 0, side, true);
        add_arm(c, d, &start.arm[side]);
        draw_limb(c, "ghost", THEW_FIGURE_GHOST_LINE, d);
    }
    if (c->scene.movement->hold_point != THEW_POINT_HAND) thew_stage_draw_load(c, &start, 0, THEW_NEAR, true);
    thew_svg_close(&c->svg);
}
