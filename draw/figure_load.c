// figure_load.c: what resists in a figure: band, loop, dumbbell, cuff.
#include <math.h>

#include "draw/figure_parts.h"

#define BAND_PX 7.0 // a band that is just taut

thew_xy thew_stage_hold(const thew_stage *c, const thew_pose *pose, thew_scene_side side)
{
    switch (c->scene.movement->hold_point) {
    case THEW_POINT_HAND:
        return pose->arm[side].hand;
    case THEW_POINT_ELBOW:
        return pose->arm[side].elbow;
    case THEW_POINT_SHOULDER:
        return pose->arm[side].shoulder;
    case THEW_POINT_HIP:
        return pose->leg[side].hip;
    case THEW_POINT_KNEE:
        return pose->leg[side].knee;
    case THEW_POINT_ANKLE:
        return pose->leg[side].ankle;
    case THEW_POINT_HEEL:
        return pose->leg[side].heel;
    case THEW_POINT_FOREFOOT:
        return pose->leg[side].ball;
    default:
        return pose->pelvis;
    }
}

static double band_length_m(const thew_stage *c, double s)
{
    thew_pose pose = thew_pose_at(&c->scene, s);
    thew_xy hold = thew_stage_hold(c, &pose, THEW_NEAR), anchor = thew_scene_anchor(&c->scene, s);
    return hypot(hold.x_m - anchor.x_m, hold.y_m - anchor.y_m);
}

// Length over rest length: the band's own, or as if it were just taut where it is shortest.
static double stretch_at(const thew_stage *c, double s)
{
    const thew_setting *setting = thew_stage_setting(c->figure);
    double length_m = band_length_m(c, s), rest_m = INFINITY;
    if (c->figure->band && setting->strand.share > 0) return length_m / (c->figure->band->rest_length_m * setting->strand.share);
    for (int i = 0; i <= THEW_FIGURE_STEPS; i++)
        rest_m = fmin(rest_m, band_length_m(c, (double)i / THEW_FIGURE_STEPS));
    return fmax(1, length_m / fmax(rest_m, .15 * c->scene.height_m));
}

// A loop goes round both limbs: two strands with round ends.
static void draw_loop(thew_stage *c, const char *class_name, double width, thew_xy hold, thew_xy anchor)
{
    double x1 = thew_stage_x(c, hold.x_m), y1 = thew_stage_y(c, hold.y_m), x2 = thew_stage_x(c, anchor.x_m),
           y2 = thew_stage_y(c, anchor.y_m);
    double length = hypot(x2 - x1, y2 - y1), half = thew_stage_share(c, c->scene.movement->plane == THEW_TRANSVERSE ? .012 : .016);
    if (length < 1) return;
    double ux = (x2 - x1) / length, uy = (y2 - y1) / length, out = thew_stage_share(c, .042); // beyond the joints, round the limb
    double ox = ux * out, oy = uy * out, nx = -uy * half, ny = ux * half;
    g_autoptr(GString) d = g_string_new(NULL);
    thew_svg_add(d, "M", x1 - ox + nx, y1 - oy + ny);
    thew_svg_add(d, "L", x2 + ox + nx, y2 + oy + ny);
    thew_svg_add(d, "A", half, half, 0, 0, 0, x2 + ox - nx, y2 + oy - ny);
    thew_svg_add(d, "L", x1 - ox - nx, y1 - oy - ny);
    thew_svg_add(d, "A", half, half, 0, 0, 0, x1 - ox + nx, y1 - oy + ny);
    g_string_append(d, "Z");
    thew_svg_stroke(&c->svg, "clear", width + 4, d->str);
    thew_svg_stroke(&c->svg, class_name, width, d->str);
}

static void draw_strand(thew_stage *c, const char *class_name, double width, double stretch, thew_xy hold, thew_xy anchor)
{
    double x1 = thew_stage_x(c, hold.x_m), y1 = thew_stage_y(c, hold.y_m), x2 = thew_stage_x(c, anchor.x_m),
           y2 = thew_stage_y(c, anchor.y_m);
    g_autoptr(GString) d = g_string_new(NULL);
    thew_svg_add(d, "M", x1, y1);
    if (stretch < .995) { // slack: it hangs by about what is left over
        double sag = hypot(x2 - x1, y2 - y1) * fmin(.4, .6 * sqrt(1 - stretch));
        thew_svg_add(d, "Q", (x1 + x2) / 2, (y1 + y2) / 2 + sag, x2, y2);
    } else {
        thew_svg_add(d, "L", x2, y2);
    }
    thew_svg_stroke(&c->svg, "clear", width + 4, d->str);
    thew_svg_stroke(&c->svg, class_name, width, d->str);
}

// Rubber thins by the root of its stretch; shown as three times that, to be seen: a pixel or two would not.
static double band_width(double stretch)
{
    return BAND_PX * pow(fmax(1, stretch), -1.5) + 1.5;
}

static void draw_band(thew_stage *c, const thew_pose *pose, double s, thew_scene_side side, bool ghost)
{
    bool mirrored = c->scene.movement->anchor.mirrored, round = mirrored || c->figure->implement->kind == THEW_IMPLEMENT_LOOP;
    double stretch = stretch_at(c, s), width = ghost ? 3 : band_width(stretch) * (side == THEW_FAR ? .8 : 1);
    thew_xy hold = thew_stage_hold(c, pose, side), anchor = thew_scene_anchor(&c->scene, s);
    if (side == THEW_FAR && c->scene.movement->plane != THEW_SAGITTAL) anchor.x_m = -anchor.x_m;
    const char *class_name = ghost ? "band dash" : side == THEW_FAR ? "band far-band" : "band near-band";
    if (round)
        draw_loop(c, class_name, ghost ? width : fmax(3.5, width * .8), hold, anchor);
    else
        draw_strand(c, class_name, width, stretch, hold, anchor);
    if (!ghost && !round && side == THEW_NEAR)
        thew_svg_circle(&c->svg, "load anchor", thew_stage_x(c, anchor.x_m), thew_stage_y(c, anchor.y_m),
                        thew_stage_share(c, .013));
}

static void draw_dumbbell(thew_stage *c, thew_xy hand, bool ghost)
{
    double x = thew_stage_x(c, hand.x_m), y = thew_stage_y(c, hand.y_m), half = thew_stage_share(c, .054),
           plate = thew_stage_share(c, .03), high = thew_stage_share(c, .09);
    const char *class_name = ghost ? "ghost-load" : "load";
    g_autoptr(GString) d = g_string_new(NULL);
    thew_svg_add(d, "M", x - half, y);
    thew_svg_add(d, "L", x + half, y);
    thew_svg_stroke(&c->svg, "clear", thew_stage_share(c, .018) + 4, d->str);
    thew_svg_stroke(&c->svg, "band", thew_stage_share(c, .018), d->str);
    for (int end = -1; end <= 1; end += 2) {
        double left = x + end * half - plate / 2;
        thew_svg_box(&c->svg, "hole", left - 2, y - high / 2 - 2, plate + 4, high + 4, 5);
        thew_svg_box(&c->svg, class_name, left, y - high / 2, plate, high, 3.5);
    }
}

// A sleeve across the limb, at the ankle or over the ball of the foot.
static void draw_cuff(thew_stage *c, const thew_pose *pose, bool ghost)
{
    const thew_pose_leg *leg = &pose->leg[THEW_NEAR];
    bool foot = c->scene.movement->hold_point == THEW_POINT_FOREFOOT;
    thew_xy from = foot ? leg->heel : leg->knee, to = foot ? leg->toe : leg->ankle;
    double x = thew_stage_x(c, to.x_m) - thew_stage_x(c, from.x_m), y = thew_stage_y(c, to.y_m) - thew_stage_y(c, from.y_m),
           length = fmax(hypot(x, y), 1e-9);
    x /= length;
    y /= length;
    thew_knob ball = thew_stage_sole(c, leg, leg->ball, THEW_HEEL_R);
    double middle_x = foot ? ball.x : thew_stage_x(c, to.x_m) - x * thew_stage_share(c, .035),
           middle_y = foot ? ball.y : thew_stage_y(c, to.y_m) - y * thew_stage_share(c, .035);
    double half = thew_stage_share(c, foot ? .026 : .033), width = thew_stage_share(c, .04);
    g_autoptr(GString) d = g_string_new(NULL);
    thew_svg_add(d, "M", middle_x - y * half, middle_y + x * half);
    thew_svg_add(d, "L", middle_x + y * half, middle_y - x * half);
    thew_svg_stroke(&c->svg, "clear", width + 4, d->str);
    thew_svg_stroke(&c->svg, ghost ? "band dash" : "band", ghost ? 3 : width, d->str);
}

static bool far_has_load(const thew_stage *c)
{
    const thew_implement *i = c->figure->implement;
    return c->scene.both_arms && c->scene.movement->hold_point == THEW_POINT_HAND && !c->scene.movement->anchor.mirrored &&
           (i->kind != THEW_IMPLEMENT_DUMBBELL || i->pieces == 2);
}

void thew_stage_draw_load(thew_stage *c, const thew_pose *pose, double s, thew_scene_side side, bool ghost)
{
    if (side == THEW_FAR && !far_has_load(c)) return;
    switch (c->figure->implement->kind) {
    case THEW_IMPLEMENT_BAND:
    case THEW_IMPLEMENT_LOOP:
        draw_band(c, pose, s, side, ghost);
        break;
    case THEW_IMPLEMENT_DUMBBELL:
        draw_dumbbell(c, thew_stage_hold(c, pose, side), ghost);
        break;
    case THEW_IMPLEMENT_CUFF:
        draw_cuff(c, pose, ghost);
        break;
    default:
        break;
    }
}
