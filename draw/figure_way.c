// figure_way.c: the way of hand, foot or head in a figure, as an arc with an arrow.
#include <math.h>

#include "draw/figure_parts.h"
#include "engine/real.h"

// Those of the body's ends lie beside it and leave their way clear.
typedef enum { GUIDE_HOLD, GUIDE_ANKLE, GUIDE_KNEE, GUIDE_TOE, GUIDE_HEEL, GUIDE_HEAD, GUIDES } guide_place;

// A place beside the head, where nothing hides its way: over the crown, or before the forehead of one who rises past it.
static thew_xy over_head(const thew_stage *c, const thew_pose *pose)
{
    bool rises = c->scene.movement->root == THEW_ROOT_ANKLE;
    double x = pose->head.x_m - pose->pelvis.x_m, y = pose->head.y_m - pose->pelvis.y_m, length_m = hypot(x, y);
    double turned = rises ? -50 * THEW_PI / 180 : 0, away = .11 * c->scene.height_m / length_m;
    return (thew_xy){ pose->head.x_m + away * (x * cos(turned) - y * sin(turned)),
                      pose->head.y_m + away * (x * sin(turned) + y * cos(turned)) };
}

// A little way beyond a foot's end.
static thew_xy beyond(const thew_stage *c, thew_xy from, thew_xy end)
{
    double x = end.x_m - from.x_m, y = end.y_m - from.y_m, away = .05 * c->scene.height_m / fmax(hypot(x, y), 1e-9);
    return (thew_xy){ end.x_m + away * x, end.y_m + away * y };
}

static thew_xy guide(const thew_stage *c, double s, guide_place which)
{
    thew_pose pose = thew_pose_at(&c->scene, s);
    const thew_pose_leg *leg = &pose.leg[THEW_NEAR];
    const thew_xy place[GUIDES] = { [GUIDE_HOLD] = thew_stage_hold(c, &pose, THEW_NEAR),
                                    [GUIDE_ANKLE] = leg->ankle,
                                    [GUIDE_KNEE] = leg->knee,
                                    [GUIDE_TOE] = beyond(c, leg->heel, leg->toe),
                                    [GUIDE_HEEL] = beyond(c, leg->ball, leg->heel),
                                    [GUIDE_HEAD] = over_head(c, &pose) };
    return place[which];
}

static double way_m(const thew_stage *c, guide_place which)
{
    thew_xy from = guide(c, 0, which), to = guide(c, c->scene.end_s, which);
    return hypot(to.x_m - from.x_m, to.y_m - from.y_m);
}

// Where the whole body rises or leans the way of the head; else of what holds the resistance; else of what travels farthest.
static guide_place choose_guide(const thew_stage *c)
{
    const thew_movement *m = c->scene.movement;
    if (m->root == THEW_ROOT_FOREFOOT) return GUIDE_HEEL;
    if (m->root == THEW_ROOT_ANKLE || fabs(m->low.lean - m->high.lean) > .02) return GUIDE_HEAD;
    if (m->hold_point == THEW_POINT_FOREFOOT) return GUIDE_TOE;
    if (m->hold_point != THEW_POINT_NONE) return GUIDE_HOLD;
    if (m->plane != THEW_SAGITTAL) return GUIDE_ANKLE;
    guide_place best = way_m(c, GUIDE_KNEE) > way_m(c, GUIDE_ANKLE) ? GUIDE_KNEE : GUIDE_ANKLE;
    return way_m(c, best) < .08 * c->scene.height_m ? GUIDE_TOE : best;
}

typedef struct {
    double x, y;
} spot;

#define WAY_SPOTS 49

// The part of a way that lies more than `from` from its start and more than `to` from its end, px.
static int trim(const spot *way, int count, double from, double to, spot *kept)
{
    int n = 0;
    for (int i = 0; i < count; i++)
        if (hypot(way[i].x - way[0].x, way[i].y - way[0].y) >= from &&
            hypot(way[i].x - way[count - 1].x, way[i].y - way[count - 1].y) >= to)
            kept[n++] = way[i];
    return n;
}

static void draw_way(thew_stage *c, guide_place which, double mirror)
{
    spot way[WAY_SPOTS], kept[WAY_SPOTS];
    for (int i = 0; i < WAY_SPOTS; i++) {
        thew_xy place = guide(c, c->scene.end_s * i / (WAY_SPOTS - 1), which);
        way[i] = (spot){ thew_stage_x(c, mirror * place.x_m), thew_stage_y(c, place.y_m) };
    }
    double length = 0;
    for (int i = 1; i < WAY_SPOTS; i++)
        length += hypot(way[i].x - way[i - 1].x, way[i].y - way[i - 1].y);
    double head = fmin(15, .6 * length), reach = which >= GUIDE_TOE ? 0 : fmin(thew_stage_share(c, .05), .2 * length);
    int count = trim(way, WAY_SPOTS, reach, reach + head * .8, kept);
    if (count < 2) return;
    g_autoptr(GString) line = g_string_new(NULL), arrow = g_string_new(NULL);
    for (int i = 0; i < count; i++)
        thew_svg_add(line, i == 0 ? "M" : "L", kept[i].x, kept[i].y);
    spot tip = kept[count - 1], before = kept[MAX(0, count - 4)];
    double ux = tip.x - before.x, uy = tip.y - before.y, norm = fmax(hypot(ux, uy), 1e-9);
    ux /= norm;
    uy /= norm;
    thew_svg_add(arrow, "M", tip.x + ux * head * .8, tip.y + uy * head * .8);
    thew_svg_add(arrow, "L", tip.x - ux * head * .3 - uy * head * .55, tip.y - uy * head * .3 + ux * head * .55);
    thew_svg_add(arrow, "L", tip.x - ux * head * .3 + uy * head * .55, tip.y - uy * head * .3 - ux * head * .55);
    g_string_append(arrow, "Z");
    thew_svg_stroke(&c->svg, "clear", 9, line->str);
    thew_svg_stroke(&c->svg, "clear", 6, arrow->str);
    thew_svg_stroke(&c->svg, "way", 4, line->str);
    thew_svg_stroke(&c->svg, "way head", 2, arrow->str);
}

void thew_stage_include_way(thew_stage *c)
{
    guide_place which = choose_guide(c);
    for (int i = 0; i <= THEW_FIGURE_STEPS; i++)
        thew_bounds_include(&c->in, guide(c, (double)i / THEW_FIGURE_STEPS, which), .03 * c->scene.height_m);
}

void thew_stage_draw_way(thew_stage *c)
{
    guide_place which = choose_guide(c);
    bool both = c->scene.movement->plane != THEW_SAGITTAL && c->scene.position != THEW_LYING && !c->figure->variant->unilateral;
    draw_way(c, which, 1);
    if (both) draw_way(c, which, -1);
}
