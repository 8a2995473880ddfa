// figure_test.c: the figure against the engine: joints where thew_movement_points has them, bands as long as demand has them, for
// every variant and implement of the catalogue; and a body that stands, sits and holds on where it should.
#include "draw/figure.h"

#include "draw/pose.h"
#include "shape.h"

#define PRINTED .0051 // coordinates are printed to a hundredth of a pixel
#define STEPS 8

static thew_catalogue *catalogue;
static thew_body_model body;

static int load(void **state)
{
    (void)state;
    catalogue = thew_catalogue_load(NULL, NULL);
    body = thew_body_build((thew_body){ .sex = THEW_SEX_FEMALE, .age_y = 52, .height_m = 1.66, .mass_kg = 71 }); // invented
    return catalogue ? 0 : -1;
}

static int unload(void **state)
{
    (void)state;
    thew_catalogue_free(catalogue);
    return 0;
}

// ---- every figure there is ----

typedef void (*check)(const thew_figure *figure, const char *why);

static void each_figure(check check_one)
{
    size_t count;
    const thew_exercise *const *exercise = thew_catalogue_exercises(catalogue, &count);
    for (size_t e = 0; e < count; e++)
        for (size_t v = 0; v < exercise[e]->variant_count; v++)
            for (size_t i = 0; i < exercise[e]->variant[v]->implement_count; i++) {
                const thew_variant *variant = exercise[e]->variant[v];
                thew_figure figure = { .variant = variant, .implement = &variant->implement[i], .body = &body };
                g_autofree char *why = g_strdup_printf("%s with %s", variant->id, variant->implement[i].id);
                check_one(&figure, why);
            }
}

static thew_scene scene_of(const thew_figure *f)
{
    return thew_scene_of(f->variant, f->implement, f->setting ? f->setting : f->implement->setting, f->body);
}

static double apart(thew_xy a, thew_xy b)
{
    return hypot(a.x_m - b.x_m, a.y_m - b.y_m);
}

// ---- documents ----

static void check_documents(const thew_figure *figure, const char *why)
{
    static const double width[] = { 320, 390, 480, 768, 1440 };
    thew_figure f = *figure;
    f.prefix = "one";
    EACH(w, width)
    {
        f.width_px = width[w];
        g_autofree char *both = thew_figure_svg(&f);
        check_document(why, both, "one-", width[w]);
        check_texts_apart(why, both);
        f.is_bare = w % 2 == 0;
        g_autofree char *frame = thew_figure_frame_svg(&f, .3);
        check_document(why, frame, "one-", width[w]);
    }
}

static void test_documents(void **state)
{
    (void)state;
    each_figure(check_documents);
    rows_end(10000);
}

static void check_frames_lie_on_each_other(const thew_figure *figure, const char *why)
{
    g_autofree char *first = thew_figure_frame_svg(figure, 0);
    g_auto(shapes) one = shapes_of(why, first);
    for (int i = 1; i <= 4; i++) {
        g_autofree char *other = thew_figure_frame_svg(figure, i / 4.0);
        g_auto(shapes) two = shapes_of(why, other);
        row_text(why, shape_text(one.shape->pdata[0], "viewBox"), shape_text(two.shape->pdata[0], "viewBox"));
        const shape *floor_one = shapes_count(&one, "floor") ? shapes_find(why, &one, "floor", 0) : NULL;
        if (floor_one) row_text(why, shape_text(floor_one, "y1"), shape_text(shapes_find(why, &two, "floor", 0), "y1"));
    }
}

static void test_frames_lie_on_each_other(void **state)
{
    (void)state;
    each_figure(check_frames_lie_on_each_other);
    rows_end(1000);
}

// One scale, the same across and up, whatever the place.
static void check_place(const thew_figure *figure, const char *why)
{
    thew_figure_place origin = thew_figure_place_of(figure, (thew_xy){ 0, 0 }),
                      there = thew_figure_place_of(figure, (thew_xy){ .3, .7 });
    row_near(why, origin.x + .3 * origin.px_per_m, there.x, 1e-9);
    row_near(why, origin.y - .7 * origin.px_per_m, there.y, 1e-9);
    row_between(why, 100, origin.px_per_m, 400);
}

static void test_places(void **state)
{
    (void)state;
    each_figure(check_place);
    rows_end(300);
}

// ---- joints ----

static const struct {
    const char *name;
    thew_point point;
    bool arm, below_knee;
} joint[] = {
    { "shoulder", THEW_POINT_SHOULDER, false, false }, { "elbow", THEW_POINT_ELBOW, true, false },
    { "hand", THEW_POINT_HAND, true, false },          { "hip", THEW_POINT_HIP, false, false },
    { "knee", THEW_POINT_KNEE, false, true },          { "ankle", THEW_POINT_ANKLE, false, true },
};

static int joints_seen;

static void check_joints(const thew_figure *figure, const char *why)
{
    thew_scene scene = scene_of(figure);
    for (int i = 0; i <= STEPS; i++) {
        double s = (double)i / STEPS;
        g_autofree char *svg = thew_figure_frame_svg(figure, s);
        g_auto(shapes) all = shapes_of(why, svg);
        thew_xy point[THEW_POINT_COUNT];
        thew_movement_points(&figure->implement->movement, figure->body, s, point);
        EACH(j, joint)
        {
            // An arm that rests where the movement leaves it free, and legs that point at the viewer, are not where the plane has
            // them.
            if (joint[j].arm && scene.rests[THEW_NEAR]) continue;
            bool above = figure->implement->movement.plane == THEW_TRANSVERSE;
            if (above && joint[j].point != THEW_POINT_HIP && joint[j].point != THEW_POINT_KNEE) continue;
            if (!above && joint[j].below_knee && thew_scene_hides_legs(&scene)) continue;
            g_autofree char *class_name = g_strdup_printf("joint %s", joint[j].name);
            const shape *dot = shapes_find(why, &all, class_name, 0);
            if (!dot) continue;
            thew_figure_place place = thew_figure_place_of(figure, point[joint[j].point]);
            g_autofree char *what = g_strdup_printf("%s, %s at %g", why, joint[j].name, s);
            row_near(what, place.x, shape_number(dot, "cx"), PRINTED);
            row_near(what, place.y, shape_number(dot, "cy"), PRINTED);
            joints_seen++;
        }
    }
}

static void test_joints_are_the_engines(void **state)
{
    (void)state;
    each_figure(check_joints);
    row_between("joints", 4000, joints_seen, INFINITY);
    rows_end(9000);
}

// Heel, ball and all the rest of the working side, to the last digit.
static void check_pose(const thew_figure *figure, const char *why)
{
    thew_scene scene = scene_of(figure);
    if (figure->implement->movement.plane != THEW_SAGITTAL) return;
    for (int i = 0; i <= STEPS; i++) {
        double s = (double)i / STEPS;
        thew_pose pose = thew_pose_at(&scene, s);
        thew_xy point[THEW_POINT_COUNT];
        thew_movement_points(&figure->implement->movement, figure->body, s, point);
        const thew_pose_leg *leg = &pose.leg[THEW_NEAR];
        row_near(why, 0, apart(leg->heel, point[THEW_POINT_HEEL]) + apart(leg->ball, point[THEW_POINT_FOREFOOT]), 0);
        row_near(why, 0, apart(leg->hip, point[THEW_POINT_HIP]) + apart(leg->knee, point[THEW_POINT_KNEE]), 0);
    }
}

static void test_the_working_side_is_the_engines(void **state)
{
    (void)state;
    each_figure(check_pose);
    rows_end(1000);
}

// ---- the rest of the body ----

// Segments keep their lengths on both sides: no limb stretches to reach what it rests on.
static void check_lengths(const thew_figure *figure, const char *why)
{
    thew_scene scene = scene_of(figure);
    if (figure->implement->movement.plane != THEW_SAGITTAL) return;
    double hand_m = body.segment[THEW_SEGMENT_FOREARM].length_m + body.segment[THEW_SEGMENT_HAND].centre_m;
    for (int i = 0; i <= STEPS; i++) {
        thew_pose pose = thew_pose_at(&scene, (double)i / STEPS);
        for (int side = 0; side < THEW_SIDES; side++) {
            const thew_pose_arm *arm = &pose.arm[side];
            const thew_pose_leg *leg = &pose.leg[side];
            // The far shoulder is set a little ahead, to be seen: 2 cm of the upper arm.
            row_near(why, body.segment[THEW_SEGMENT_UPPER_ARM].length_m, apart(arm->shoulder, arm->elbow),
                     side == THEW_FAR ? .025 * body.height_m : 1e-9);
            row_near(why, hand_m, apart(arm->elbow, arm->hand), 1e-9);
            row_near(why, body.segment[THEW_SEGMENT_THIGH].length_m, apart(leg->hip, leg->knee), 1e-9);
            row_near(why, body.segment[THEW_SEGMENT_SHANK].length_m, apart(leg->knee, leg->ankle), 1e-9);
            row_near(why, body.heel_behind_m + body.ball_ahead_m, apart(leg->heel, leg->ball), 1e-9);
        }
        row_near(why, body.head_m - THEW_HEAD_R * body.height_m, apart(pose.neck, pose.head), 1e-9);
        double trunk_x = pose.neck.x_m - pose.pelvis.x_m, trunk_y = pose.neck.y_m - pose.pelvis.y_m;
        double head_x = pose.head.x_m - pose.neck.x_m, head_y = pose.head.y_m - pose.neck.y_m;
        row_near("the head goes on where the trunk ends", 0, trunk_x * head_y - trunk_y * head_x, 1e-9);
    }
}

static void test_segments_keep_their_lengths(void **state)
{
    (void)state;
    each_figure(check_lengths);
    rows_end(5000);
}

// Feet that carry stand on the floor, all along.
static void check_feet(const thew_figure *figure, const char *why)
{
    const thew_movement *m = &figure->implement->movement;
    thew_scene scene = scene_of(figure);
    if (m->plane != THEW_SAGITTAL) return;
    for (int i = 0; i <= STEPS; i++) {
        thew_pose pose = thew_pose_at(&scene, (double)i / STEPS);
        const thew_pose_leg *near = &pose.leg[THEW_NEAR], *far = &pose.leg[THEW_FAR];
        if (m->root == THEW_ROOT_ANKLE) row_near(why, scene.floor_m, fmin(near->heel.y_m, near->ball.y_m), 1e-9);
        if (m->root == THEW_ROOT_FOREFOOT) row_near(why, scene.floor_m, near->ball.y_m, 1e-9);
        if (scene.far_leg == THEW_LEG_PLANTED) row_near(why, scene.floor_m, far->ball.y_m, 1e-9);
        double least = fmin(fmin(near->heel.y_m, near->ball.y_m), fmin(far->heel.y_m, far->ball.y_m));
        // The catalogue's angles run in straight lines: a foot that is lifted behind or ahead dips by up to 1 cm on its way.
        double dip = figure->variant->position == THEW_STANDING ? .006 : .001;
        row_between("no foot is below the floor", scene.low_floor_m - dip * body.height_m, least, INFINITY);
    }
}

static void test_feet_stand_on_the_floor(void **state)
{
    (void)state;
    each_figure(check_feet);
    rows_end(1500);
}

// Hands that rest are where they rest, unless that is out of reach: then the arm is stretched towards it.
static void check_hands(const thew_figure *figure, const char *why)
{
    thew_scene scene = scene_of(figure);
    if (figure->implement->movement.plane != THEW_SAGITTAL) return;
    for (int i = 0; i <= STEPS; i++) {
        thew_pose pose = thew_pose_at(&scene, (double)i / STEPS);
        for (int side = 0; side < THEW_SIDES; side++) {
            if (!scene.rests[side]) continue;
            double away_m = apart(pose.arm[side].hand, scene.hand_at[side]),
                   reach_m = apart(pose.arm[side].shoulder, pose.arm[side].hand);
            double longest_m =
                apart(pose.arm[side].shoulder, pose.arm[side].elbow) + apart(pose.arm[side].elbow, pose.arm[side].hand);
            row_between(why, 0, away_m, reach_m > longest_m - 1e-6 ? .12 * body.height_m : 1e-6);
        }
    }
}

static void test_hands_rest_where_they_should(void **state)
{
    (void)state;
    each_figure(check_hands);
    rows_end(500);
}

// ---- the chair ----

// Distance from a point to a straight bar.
static double to_bar(thew_xy p, thew_xy a, thew_xy b)
{
    double x = b.x_m - a.x_m, y = b.y_m - a.y_m, length = x * x + y * y;
    double share = length > 0 ? ((p.x_m - a.x_m) * x + (p.y_m - a.y_m) * y) / length : 0;
    share = fmin(fmax(share, 0), 1);
    return apart(p, (thew_xy){ a.x_m + share * x, a.y_m + share * y });
}

// Shank and foot keep clear of every part of the chair that is sat on, at every place of the range.
static void check_chair(const thew_figure *figure, const char *why)
{
    thew_scene scene = scene_of(figure);
    if (figure->implement->movement.plane != THEW_SAGITTAL) return;
    for (int i = 0; i <= STEPS; i++) {
        thew_pose pose = thew_pose_at(&scene, (double)i / STEPS);
        for (int t = 0; t < scene.thing_count; t++) {
            const thew_thing *thing = &scene.thing[t];
            if (thing->kind != THEW_THING_CHAIR) continue;
            for (int side = 0; side < THEW_SIDES; side++) {
                const thew_pose_leg *leg = &pose.leg[side];
                const thew_xy bone[][2] = { { leg->knee, leg->ankle }, { leg->heel, leg->toe } };
                const double radius[][2] = { { THEW_KNEE_R, THEW_ANKLE_R }, { THEW_HEEL_R, THEW_TOE_R } };
                EACH(b, bone)
                for (int k = 0; k <= 20; k++) {
                    double share = k / 20.0, r = (1 - share) * radius[b][0] + share * radius[b][1];
                    thew_xy p = { (1 - share) * bone[b][0].x_m + share * bone[b][1].x_m,
                                  (1 - share) * bone[b][0].y_m + share * bone[b][1].y_m };
                    double clear_m = to_bar(p, thing->from, thing->to) - r * body.height_m - thing->width_m / 2;
                    row_between(why, 0, clear_m, INFINITY);
                }
            }
        }
    }
}

static void test_legs_keep_clear_of_the_chair(void **state)
{
    (void)state;
    each_figure(check_chair);
    rows_end(50000);
}

static void check_seat(const thew_figure *figure, const char *why)
{
    thew_scene scene = scene_of(figure);
    if (figure->variant->position != THEW_SEATED) return;
    int chairs = 0;
    double highest_m = -INFINITY;
    for (int t = 0; t < scene.thing_count; t++)
        chairs += scene.thing[t].kind == THEW_THING_CHAIR;
    row_between(why, 3, chairs, THEW_THINGS_MAX);
    if (figure->implement->movement.plane != THEW_SAGITTAL) return;
    thew_pose pose = thew_pose_at(&scene, 0);
    for (int t = 0; t < scene.thing_count; t++) { // the level bar under the hip is the seat
        const thew_thing *thing = &scene.thing[t];
        bool level = thing->from.y_m == thing->to.y_m, under = thing->from.x_m < pose.pelvis.x_m && thing->to.x_m > pose.pelvis.x_m;
        if (level && under && thing->kind != THEW_THING_STEP) highest_m = fmax(highest_m, thing->from.y_m + thing->width_m / 2);
    }
    row_near(why, pose.pelvis.y_m - THEW_HIP_R * body.height_m, highest_m, 1e-9);
}

static void test_who_sits_has_a_seat_under_the_hip(void **state)
{
    (void)state;
    each_figure(check_seat);
    rows_end(50);
}

// ---- bands ----

static thew_band rubber(double rest_length_m)
{
    return (thew_band){ .rest_length_m = rest_length_m, .a0c10_n = 20, .a0c01_n = 20 }; // invented
}

// The drawn strand goes from the joint that holds it to the anchor, and is as long as demand has it.
static void check_band(const thew_figure *figure, const char *why)
{
    const thew_implement *implement = figure->implement;
    const thew_movement *m = &implement->movement;
    if (implement->kind != THEW_IMPLEMENT_BAND || m->anchor.mirrored) return;
    thew_band band = rubber(.5);
    thew_setting moved = { .id = "farther", .words = "", .strand = { 1, 1 }, .anchor_dx_h = .05 }; // invented
    const thew_setting *setting[] = { implement->setting, &moved };
    EACH(e, setting)
    for (int i = 0; i <= STEPS; i++) {
        double s = (double)i / STEPS;
        thew_figure f = *figure;
        f.setting = setting[e];
        g_autofree char *svg = thew_figure_frame_svg(&f, s);
        g_auto(shapes) all = shapes_of(why, svg);
        const shape *strand = shapes_find(why, &all, "near-band", 0), *anchor = shapes_find(why, &all, "anchor", 0);
        if (!strand || !anchor) continue;
        spot from = path_spot(strand, 0), to = path_spot(strand, -1);
        thew_xy point[THEW_POINT_COUNT];
        thew_movement_points(m, f.body, s, point);
        thew_figure_place hold = thew_figure_place_of(&f, point[m->hold_point]);
        row_near(why, hold.x, from.x, PRINTED);
        row_near(why, hold.y, from.y, PRINTED);
        row_near("the anchor's sign is at the end", 0, hypot(shape_number(anchor, "cx") - to.x, shape_number(anchor, "cy") - to.y),
                 PRINTED);
        if (e == 0) {
            thew_figure_place end = thew_figure_place_of(&f, thew_movement_anchor(m, f.body, s));
            row_near(why, end.x, to.x, PRINTED);
            row_near(why, end.y, to.y, PRINTED);
        }
        thew_resistance resistance = thew_implement_resistance(implement, setting[e], &band, 0);
        thew_demand_at demand = thew_demand_at_s(m, f.body, &resistance, s);
        row_near("as long as in demand", demand.band_length_m, hypot(to.x - from.x, to.y - from.y) / hold.px_per_m, .0002);
    }
}

static void test_bands_reach_their_anchors(void **state)
{
    (void)state;
    each_figure(check_band);
    rows_end(2000);
}

// A loop goes round both limbs: its outline reaches beyond both.
static void check_loop(const thew_figure *figure, const char *why)
{
    const thew_movement *m = &figure->implement->movement;
    if (figure->implement->kind != THEW_IMPLEMENT_LOOP && !m->anchor.mirrored) return;
    for (int i = 0; i <= STEPS; i++) {
        double s = (double)i / STEPS;
        g_autofree char *svg = thew_figure_frame_svg(figure, s);
        g_auto(shapes) all = shapes_of(why, svg);
        const shape *loop = shapes_find(why, &all, "near-band", 0);
        if (!loop) continue;
        thew_xy point[THEW_POINT_COUNT];
        thew_movement_points(m, figure->body, s, point);
        thew_figure_place one = thew_figure_place_of(figure, point[m->hold_point]);
        thew_figure_place two = thew_figure_place_of(figure, thew_movement_anchor(m, figure->body, s));
        g_autoptr(GArray) spots = path_spots(shape_text(loop, "d"));
        double left = INFINITY, right = -INFINITY;
        for (guint p = 0; p < spots->len; p++) {
            left = fmin(left, g_array_index(spots, spot, p).x);
            right = fmax(right, g_array_index(spots, spot, p).x);
        }
        row_between(why, -INFINITY, left, fmin(one.x, two.x));
        row_between(why, fmax(one.x, two.x), right, INFINITY);
    }
}

static void test_loops_go_round_both_limbs(void **state)
{
    (void)state;
    each_figure(check_loop);
    rows_end(60);
}

static const shape *strand_of(const shapes *all)
{
    return shapes_find("strand", all, "near-band", 0);
}

static void test_a_band_thins_as_it_stretches_and_sags_when_slack(void **state)
{
    (void)state;
    const thew_variant *row = thew_catalogue_variant(catalogue, "seated-row");
    thew_band band = rubber(.6);
    thew_setting whole = { .id = "whole", .words = "", .strand = { 1, 1 } };
    thew_figure f = { .variant = row, .implement = thew_variant_implement(row, "band"), .setting = &whole, .body = &body };
    const thew_band *known[] = { NULL, &band }; // by itself a band is taken to be just taut where it is shortest
    EACH(k, known)
    {
        double before = INFINITY;
        f.band = known[k];
        for (int i = 0; i <= STEPS; i++) { // a row lengthens its band all along
            g_autofree char *svg = thew_figure_frame_svg(&f, (double)i / STEPS);
            g_auto(shapes) all = shapes_of("row", svg);
            double width = shape_number(strand_of(&all), "stroke-width");
            row_between("thinner", 1, width, before - .001);
            row_true("taut", "it is straight", !strchr(shape_text(strand_of(&all), "d"), 'Q'));
            before = width;
        }
    }
    thew_band slack = rubber(3);
    f.band = &slack;
    g_autofree char *svg = thew_figure_frame_svg(&f, 0);
    g_auto(shapes) all = shapes_of("slack", svg);
    const char *d = shape_text(strand_of(&all), "d");
    row_true("slack", "it sags", strchr(d, 'Q') != NULL);
    rows_end(50);
}

// ---- both turnarounds ----

static void check_both(const thew_figure *figure, const char *why)
{
    g_autofree char *svg = thew_figure_svg(figure);
    g_auto(shapes) all = shapes_of(why, svg);
    bool moves = scene_of(figure).end_s > 0;
    row_near(why, moves, shapes_count(&all, "start"), 0);
    row_between("an outline of what moves, and its way with an arrow", moves, shapes_count(&all, "ghost"), 6);
    row_between(why, moves, shapes_count(&all, "way head"), 2);
    row_near("a way for each arrow", shapes_count(&all, "way head") * 2, shapes_count(&all, "way"), 0);
    thew_xy point[THEW_POINT_COUNT];
    thew_movement_points(&figure->implement->movement, figure->body, scene_of(figure).end_s, point);
    thew_figure_place hip = thew_figure_place_of(figure, point[THEW_POINT_HIP]);
    const shape *dot = shapes_find(why, &all, "joint hip", 0);
    row_near("the dark figure is at the end", 0, hypot(hip.x - shape_number(dot, "cx"), hip.y - shape_number(dot, "cy")),
             2 * PRINTED);
}

static void test_both_turnarounds(void **state)
{
    (void)state;
    each_figure(check_both);
    rows_end(500);
}

static void test_what_is_said(void **state)
{
    (void)state;
    const thew_variant *curl = thew_catalogue_variant(catalogue, "seated-curl"),
                       *back = thew_catalogue_variant(catalogue, "seated-lean-back");
    g_autofree char *svg = thew_figure_svg(&(thew_figure){ .variant = curl, .implement = curl->implement, .body = &body });
    row_has("name", "<title id=\"figure-title\">Seated curl</title>", svg);
    row_has("for those who cannot see it", "Seen from the side, seated.", svg);
    row_has("the angles of the catalogue", "Elbow flexion from 30 to 125 degrees.", svg);
    row_has("key", ">start of the lift<", svg);
    g_autofree char *hold = thew_figure_svg(&(thew_figure){ .variant = back, .implement = back->implement, .body = &body });
    row_has("a hold is held", ">held here<", hold);
    g_autofree char *bare =
        thew_figure_svg(&(thew_figure){ .variant = curl, .implement = curl->implement, .body = &body, .is_bare = true });
    row_true("bare", "no words are drawn", !strstr(bare, "<text"));
    rows_end(6);
}

// The smallest and the tallest body fit as well.
static void test_other_bodies(void **state)
{
    (void)state;
    thew_body_model usual = body;
    static const double height_m[] = { 1.2, 2.2 };
    EACH(h, height_m)
    {
        body = thew_body_build((thew_body){ .height_m = height_m[h] });
        each_figure(check_band);
        each_figure(check_lengths);
        each_figure(check_chair);
    }
    body = usual;
    rows_end(10000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_documents),
        cmocka_unit_test(test_frames_lie_on_each_other),
        cmocka_unit_test(test_places),
        cmocka_unit_test(test_joints_are_the_engines),
        cmocka_unit_test(test_the_working_side_is_the_engines),
        cmocka_unit_test(test_segments_keep_their_lengths),
        cmocka_unit_test(test_feet_stand_on_the_floor),
        cmocka_unit_test(test_hands_rest_where_they_should),
        cmocka_unit_test(test_legs_keep_clear_of_the_chair),
        cmocka_unit_test(test_who_sits_has_a_seat_under_the_hip),
        cmocka_unit_test(test_bands_reach_their_anchors),
        cmocka_unit_test(test_loops_go_round_both_limbs),
        cmocka_unit_test(test_a_band_thins_as_it_stretches_and_sags_when_slack),
        cmocka_unit_test(test_both_turnarounds),
        cmocka_unit_test(test_what_is_said),
        cmocka_unit_test(test_other_bodies),
    };
    return cmocka_run_group_tests(tests, load, unload);
}
