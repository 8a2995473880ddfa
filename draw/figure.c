// figure.c: see figure.h. The page and its words; the rest: figure_parts.h.
#include <math.h>

#include "draw/figure_parts.h"
#include "engine/real.h"

#define WIDTH 480.0
#define HEIGHT 400.0
#define EDGE 14.0        // around the picture
#define BODY_LARGEST 1.2 // stature, as a share of the picture's height, at most

// ---- from metres to pixels ----

void thew_bounds_include(thew_bounds *b, thew_xy point, double around_m)
{
    b->x_low = fmin(b->x_low, point.x_m - around_m);
    b->x_high = fmax(b->x_high, point.x_m + around_m);
    b->y_low = fmin(b->y_low, point.y_m - around_m);
    b->y_high = fmax(b->y_high, point.y_m + around_m);
}

static void include_pose(thew_bounds *b, const thew_scene *scene, double s)
{
    const double h = scene->height_m;
    thew_pose pose = thew_pose_at(scene, s);
    thew_bounds_include(b, pose.head, THEW_HEAD_R * h);
    thew_bounds_include(b, pose.pelvis, THEW_HIP_R * h);
    for (int side = 0; side < THEW_SIDES; side++) {
        thew_bounds_include(b, pose.arm[side].shoulder, THEW_SHOULDER_R * h);
        thew_bounds_include(b, pose.arm[side].elbow, THEW_ELBOW_R * h);
        thew_bounds_include(b, pose.arm[side].hand, .075 * h); // with what it holds
        thew_bounds_include(b, pose.leg[side].knee, THEW_KNEE_R * h);
        thew_bounds_include(b, pose.leg[side].ankle, .05 * h);
        thew_bounds_include(b, pose.leg[side].toe, THEW_TOE_R * h);
        thew_bounds_include(b, pose.leg[side].heel, THEW_HEEL_R * h);
    }
    if (scene->has_anchor) thew_bounds_include(b, thew_scene_anchor(scene, s), .03 * h);
}

static thew_bounds bounds_of(const thew_scene *scene)
{
    thew_bounds b = { INFINITY, -INFINITY, INFINITY, -INFINITY };
    for (int i = 0; i <= THEW_FIGURE_STEPS; i++)
        include_pose(&b, scene, (double)i / THEW_FIGURE_STEPS);
    for (int t = 0; t < scene->thing_count; t++) {
        const thew_thing *thing = &scene->thing[t];
        thew_bounds_include(&b, thing->from, thing->width_m / 2);
        // A door may run out of the picture: the person is what is to be seen.
        thew_bounds_include(&b, thing->kind == THEW_THING_DOOR ? thing->from : thing->to, thing->width_m / 2);
    }
    if (scene->has_floor) b.y_low = fmin(b.y_low, scene->low_floor_m - .012 * scene->height_m);
    return b;
}

const thew_setting *thew_stage_setting(const thew_figure *figure)
{
    return figure->setting ? figure->setting : figure->implement->setting;
}

static double width_of(const thew_figure *figure)
{
    return thew_svg_width(figure->width_px, WIDTH);
}

// The whole movement in the middle of the page, on one scale for all its frames.
static void fit(thew_stage *c)
{
    double height = c->figure->height_px > 0 ? c->figure->height_px : HEIGHT, width = width_of(c->figure);
    double wide_m = c->in.x_high - c->in.x_low, high_m = c->in.y_high - c->in.y_low;
    double room_x = width - 2 * EDGE, room_y = height - 2 * EDGE;
    double largest = c->scene.movement->plane == THEW_TRANSVERSE ? 1.3 * BODY_LARGEST : BODY_LARGEST;
    c->scale = fmin(fmin(room_x / wide_m, room_y / high_m), largest * height / c->scene.height_m);
    c->left = EDGE + (room_x - wide_m * c->scale) / 2;
    c->top = c->head + EDGE + room_y - high_m * c->scale; // on the ground
}

// ---- the room ----

static const char *const thing_class[] = {
    [THEW_THING_CHAIR] = "thing chair", [THEW_THING_REST] = "thing chair", [THEW_THING_TABLE] = "thing table",
    [THEW_THING_DOOR] = "thing door",   [THEW_THING_STEP] = "thing step",  [THEW_THING_CUSHION] = "thing cushion",
};

static void draw_room(thew_stage *c)
{
    if (c->scene.has_floor) {
        double y = thew_stage_y(c, c->scene.low_floor_m);
        thew_svg_line(&c->svg, "axis floor", EDGE, y, width_of(c->figure) - EDGE, y);
    }
    for (int t = 0; t < c->scene.thing_count; t++) {
        const thew_thing *thing = &c->scene.thing[t];
        g_autoptr(GString) d = g_string_new(NULL);
        thew_svg_add(d, "M", thew_stage_x(c, thing->from.x_m), thew_stage_y(c, thing->from.y_m));
        thew_svg_add(d, "L", thew_stage_x(c, thing->to.x_m), fmax(thew_stage_y(c, thing->to.y_m), c->head + EDGE));
        double width = thing->width_m * c->scale;
        thew_svg_stroke(&c->svg, thing_class[thing->kind], width, d->str);
        if (thing->kind == THEW_THING_CUSHION) thew_svg_stroke(&c->svg, "soft", fmax(width - 5, 1), d->str);
    }
}

// ---- words ----

static void append_change(GString *out, const char *joint, double low_rad, double high_rad)
{
    double low = low_rad * 180 / THEW_PI, high = high_rad * 180 / THEW_PI;
    if (fabs(low - high) < .5) return;
    g_string_append_printf(out, " %s from %.0f to %.0f degrees.", joint, low, high);
}

static char *description_of(const thew_figure *figure)
{
    static const char *const seen[] = { "Seen from the side", "Seen from the front", "Seen from above" };
    const thew_movement *m = &figure->implement->movement;
    g_autoptr(GString) text = g_string_new(NULL);
    g_string_append_printf(text, "%s, %s.", seen[m->plane], thew_position_id(figure->variant->position));
    bool frontal = m->plane != THEW_SAGITTAL;
    append_change(text, "Trunk lean", m->low.lean, m->high.lean);
    append_change(text, frontal ? "Shoulder abduction" : "Shoulder flexion", m->low.shoulder, m->high.shoulder);
    append_change(text, "Elbow flexion", m->low.elbow, m->high.elbow);
    append_change(text, frontal ? "Hip abduction" : "Hip flexion", m->low.hip, m->high.hip);
    append_change(text, "Knee flexion", m->low.knee, m->high.knee);
    append_change(text, "Ankle dorsiflexion", m->low.ankle, m->high.ankle);
    g_string_append_printf(text, " %s", figure->implement->words);
    if (figure->implement->anchor_words) g_string_append_printf(text, " The band's other end: %s", figure->implement->anchor_words);
    return g_string_free(g_steal_pointer(&text), FALSE);
}

static double draw_heading(thew_svg *svg, const thew_figure *figure)
{
    double width = width_of(figure), y = thew_svg_title(svg, width, figure->variant->name);
    g_autoptr(GPtrArray) lines = thew_svg_wrap(figure->implement->words, width - 2 * 16, THEW_SVG_TEXT, false);
    for (guint l = 0; l < lines->len; l++, y += THEW_SVG_LINE)
        if (svg) thew_svg_text(svg, "", THEW_SVG_START, 16, y + 14, lines->pdata[l]);
    return y + 8;
}

// What the outline and the dark figure are: beside each other, or below where that is too wide.
static double draw_key(thew_svg *svg, const thew_figure *figure, double top)
{
    bool hold = figure->implement->movement.kind == THEW_HOLD;
    const char *word[] = { hold ? "start" : "start of the lift", hold ? "held here" : "end of the lift" };
    double x = 30, y = top + 22;
    for (int k = 0; k < 2; k++) {
        double room = 32 + thew_svg_text_width(word[k], THEW_SVG_TEXT, false);
        if (k > 0 && x + room > width_of(figure) - 16) {
            x = 30;
            y += THEW_SVG_LINE + 2;
        }
        if (svg) {
            g_autoptr(GString) d = g_string_new(NULL);
            thew_limb_add(d, (thew_knob){ x, y - 6, 9 }, (thew_knob){ x + 16, y - 6, 7 });
            thew_svg_stroke(svg, k == 0 ? "ghost" : "limb", k == 0 ? THEW_FIGURE_GHOST_LINE : THEW_FIGURE_OUTLINE, d->str);
            thew_svg_text(svg, "", THEW_SVG_START, x + 32, y, word[k]);
        }
        x += room + 28;
    }
    return y + 18;
}

// ---- documents ----

static thew_stage stage_of(const thew_figure *figure)
{
    thew_stage c = { .figure = figure,
                     .scene = thew_scene_of(figure->variant, figure->implement, thew_stage_setting(figure), figure->body) };
    c.in = bounds_of(&c.scene);
    thew_stage_include_way(&c);
    c.head = figure->is_bare ? 0 : draw_heading(NULL, figure);
    fit(&c);
    return c;
}

static void begin(thew_stage *c, bool key)
{
    const thew_figure *figure = c->figure;
    double bottom = c->head + (figure->height_px > 0 ? figure->height_px : HEIGHT);
    double height = key && !figure->is_bare ? draw_key(NULL, figure, bottom) : bottom;
    g_autofree char *description = description_of(figure);
    thew_svg_begin(&c->svg, width_of(figure), height, figure->prefix ? figure->prefix : "figure", figure->variant->name,
                   description);
    if (!figure->is_bare) draw_heading(&c->svg, figure);
    if (height > bottom) draw_key(&c->svg, figure, bottom);
    draw_room(c);
}

char *thew_figure_frame_svg(const thew_figure *figure, double s)
{
    g_assert(s >= 0 && s <= 1);
    thew_stage c = stage_of(figure);
    begin(&c, false);
    thew_stage_draw_person(&c, s);
    return thew_svg_end(&c.svg);
}

char *thew_figure_svg(const thew_figure *figure)
{
    thew_stage c = stage_of(figure);
    begin(&c, true);
    bool moves = c.scene.end_s > 0;
    if (moves) thew_stage_draw_start(&c);
    thew_stage_draw_person(&c, c.scene.end_s);
    if (moves) thew_stage_draw_way(&c);
    return thew_svg_end(&c.svg);
}

thew_figure_place thew_figure_place_of(const thew_figure *figure, thew_xy place)
{
    thew_stage c = stage_of(figure);
    return (thew_figure_place){ thew_stage_x(&c, place.x_m), thew_stage_y(&c, place.y_m), c.scale };
}
