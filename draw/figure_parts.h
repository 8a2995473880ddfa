// figure_parts.h: what the files of the figure share with one another. Nobody outside them includes it.
// figure.c: the page and its words; figure_person.c: the body; figure_load.c: what resists; figure_way.c: the arc with its arrow.
#ifndef THEW_FIGURE_PARTS_H
#define THEW_FIGURE_PARTS_H

#include "draw/figure.h"
#include "draw/limb.h"
#include "draw/pose.h"
#include "draw/svg.h"

#define THEW_FIGURE_STEPS 24    // places of the range that are looked at
#define THEW_FIGURE_OUTLINE 4.5 // around limbs, in the colour of the paper: keeps one limb apart from another
#define THEW_FIGURE_GHOST_LINE 6.0

typedef struct {
    double x_low, x_high, y_low, y_high; // metres
} thew_bounds;

/// A figure being drawn: the scene, and how its metres lie on the page.
typedef struct {
    thew_svg svg;
    thew_scene scene;
    const thew_figure *figure;
    thew_bounds in;
    double left, top, scale; // px of the picture's corner, px per metre
    double head;             // px taken by words above
} thew_stage;

static inline double thew_stage_x(const thew_stage *c, double x_m)
{
    return c->left + (x_m - c->in.x_low) * c->scale;
}
static inline double thew_stage_y(const thew_stage *c, double y_m)
{
    return c->top + (c->in.y_high - y_m) * c->scale;
}
/// A share of stature, px.
static inline double thew_stage_share(const thew_stage *c, double share)
{
    return share * c->scene.height_m * c->scale;
}

const thew_setting *thew_stage_setting(const thew_figure *figure);

// ---- figure_person.c ----

/// A joint on the page.
thew_knob thew_stage_knob(const thew_stage *c, thew_xy point, double radius_h);
/// A point of the sole, raised so that its disc stands on it.
thew_knob thew_stage_sole(const thew_stage *c, const thew_pose_leg *leg, thew_xy point, double radius_h);
/// The whole person at s, and what resists.
void thew_stage_draw_person(thew_stage *c, double s);
/// What moves, as an outline where it starts.
void thew_stage_draw_start(thew_stage *c);

// ---- figure_load.c ----

/// Where the resistance meets a side of the body.
thew_xy thew_stage_hold(const thew_stage *c, const thew_pose *pose, thew_scene_side side);
/// What resists on a side, if anything does there.
void thew_stage_draw_load(thew_stage *c, const thew_pose *pose, double s, thew_scene_side side, bool ghost);

// ---- figure_way.c ----

/// Make room in `in` for the way.
void thew_stage_include_way(thew_stage *c);
/// The way of hand, foot or head from start to end.
void thew_stage_draw_way(thew_stage *c);

void thew_bounds_include(thew_bounds *b, thew_xy point, double around_m);

#endif
