// movements_test.c: is every movement of the built-in catalogue one that a body can do with what people own?
// The figures come from the engine's own statics, which the engine's tests check against outside values; here the data is on trial.
// Bands and weights are invented: flat strips of 1.2 to 2.0 m and loops of .3 m that pull with 10 to 150 N at double length,
// weights of .5 to 8 kg, which is what shops sell (common practice, no source).
#include "tests/engine/rows.h"

#include <math.h>

#include "catalogue/catalogue.h"

static thew_catalogue *built_in;

static int load_built_in(void **state)
{
    (void)state;
    g_autoptr(GError) error = NULL;
    built_in = thew_catalogue_load(NULL, &error);
    if (built_in == NULL) printf("# %s\n", error->message);
    return built_in == NULL;
}

static int free_built_in(void **state)
{
    (void)state;
    thew_catalogue_free(built_in);
    return 0;
}

// ---- walking through all of it ----

typedef struct {
    const thew_variant *variant;
    const thew_implement *implement;
} way; // one way to do one variant

static void for_each_way(void (*look)(way))
{
    size_t count;
    const thew_exercise *const *exercise = thew_catalogue_exercises(built_in, &count);
    for (size_t i = 0; i < count; i++)
        for (size_t j = 0; j < exercise[i]->variant_count; j++)
            for (size_t k = 0; k < exercise[i]->variant[j]->implement_count; k++)
                look((way){ exercise[i]->variant[j], &exercise[i]->variant[j]->implement[k] });
}

static const char *name_of(way w)
{
    static char name[200];
    g_snprintf(name, sizeof name, "%s with %s", w.variant->id, w.implement->id);
    return name;
}

static bool is_elastic(way w)
{
    return w.implement->kind == THEW_IMPLEMENT_BAND || w.implement->kind == THEW_IMPLEMENT_LOOP;
}

// ---- people and kit ----

static thew_body_model typical_woman(void)
{
    return thew_body_build((thew_body){ THEW_SEX_FEMALE, 50, 1.65, 70 });
}

static thew_body_model typical_man(void)
{
    return thew_body_build((thew_body){ THEW_SEX_MALE, 50, 1.78, 85 });
}

// Force at double length: 2 (2 - 1/4) (a + b / 2); a and b in the proportion that statics.csv S17 uses.
static thew_band band_that_pulls(double rest_length_m, double force_n)
{
    double scale = force_n / (3.5 * (5.17 + 2.48 / 2));
    return (thew_band){ .rest_length_m = rest_length_m, .a0c10_n = 5.17 * scale, .a0c01_n = 2.48 * scale };
}

static const double strip_m[] = { 1.5, 1.2, 2.0 }, pull_n[] = { 50, 25, 100, 12, 150 }, weight_kg[] = { 2, 1, 4, .5, 8 };
static const double loop_m = .3;

// The shortest and the longest that a band gets over the range.
static void length_over_range(way w, const thew_body_model *body, double *shortest_m, double *longest_m)
{
    *shortest_m = INFINITY;
    *longest_m = 0;
    for (int i = 0; i <= THEW_DEMAND_STEPS; i++) {
        double s = (double)i / THEW_DEMAND_STEPS;
        thew_xy point[THEW_POINT_COUNT];
        thew_movement_points(&w.implement->movement, body, s, point);
        thew_xy anchor = thew_movement_anchor(&w.implement->movement, body, s), hold = point[w.implement->movement.hold_point];
        double length_m = hypot(hold.x_m - anchor.x_m, hold.y_m - anchor.y_m);
        *shortest_m = fmin(*shortest_m, length_m);
        *longest_m = fmax(*longest_m, length_m);
    }
}

// Settings at which a strip or loop of that length is taut from end to end and never past the implement's limit; and the middle
// one.
static int settings_that_fit(way w, const thew_body_model *body, double rest_m, const thew_setting **middle)
{
    double shortest_m, longest_m;
    length_over_range(w, body, &shortest_m, &longest_m);
    const thew_setting *fitting[100];
    int count = 0;
    for (size_t i = 0; i < w.implement->setting_count; i++) {
        double strand_m = rest_m * w.implement->setting[i].strand.share;
        if (shortest_m > strand_m && longest_m <= w.implement->stretch_max * strand_m) fitting[count++] = &w.implement->setting[i];
    }
    if (count > 0 && middle != NULL) *middle = fitting[count / 2];
    return count;
}

// ---- bands ----

static void look_whether_taut(way w)
{
    if (!is_elastic(w)) return;
    const thew_body body[] = {
        {THEW_SEX_FEMALE,  50, 1.55, 60},
        { THEW_SEX_FEMALE, 50, 1.65, 70},
        { THEW_SEX_MALE,   50, 1.90, 95}
    };
    for (size_t i = 0; i < G_N_ELEMENTS(body); i++) {
        thew_body_model model = thew_body_build(body[i]);
        int fitting = 0;
        if (w.implement->kind == THEW_IMPLEMENT_LOOP)
            fitting = settings_that_fit(w, &model, loop_m, NULL);
        else
            for (size_t j = 0; j < G_N_ELEMENTS(strip_m); j++)
                fitting += settings_that_fit(w, &model, strip_m[j], NULL);
        // Loops come in few sizes and have one setting; strips must leave a choice.
        row_between(name_of(w), w.implement->kind == THEW_IMPLEMENT_LOOP ? 1 : 3, fitting, 1e3);
    }
}

static void bands_are_taut_and_not_torn(void **state)
{
    (void)state;
    for_each_way(look_whether_taut);
    rows_end(3 * 40);
}

// Somebody who owns one strip of the commonest length can do nearly everything that a strip is good for.
static int ways_with_a_strip, ways_with_one_strip;

static void look_whether_one_strip_does(way w)
{
    if (w.implement->kind != THEW_IMPLEMENT_BAND) return;
    thew_body_model body = typical_woman();
    ways_with_a_strip++;
    ways_with_one_strip += settings_that_fit(w, &body, 1.5, NULL) > 1;
}

static void one_strip_serves_most(void **state)
{
    (void)state;
    for_each_way(look_whether_one_strip_does);
    row_between("ways with a strip", 35, ways_with_a_strip, 1e3);
    row_between("share of them with a strip of 1.5 m", .95, (double)ways_with_one_strip / ways_with_a_strip, 1);
    rows_end(2);
}

// Muscle torque times a small turn is the rise of energy, at each joint of each band movement, all through its range.
// How a joint turns with the root's side still is said at thew_demand_energy_j.
static thew_posture turned(const thew_movement *m, thew_posture p, thew_joint joint, double by_rad)
{
    bool on_floor = m->root != THEW_ROOT_HIP;
    switch (joint) {
    case THEW_JOINT_SHOULDER:
        p.shoulder += by_rad;
        break;
    case THEW_JOINT_ELBOW:
        p.elbow += by_rad;
        break;
    case THEW_JOINT_TRUNK:
        p.lean += by_rad;
        p.hip += by_rad;
        break;
    case THEW_JOINT_HIP:
        p.hip += by_rad;
        p.lean += on_floor ? by_rad : 0;
        break;
    case THEW_JOINT_KNEE:
        p.knee += by_rad;
        p.lean -= on_floor ? by_rad : 0;
        break;
    default:
        p.ankle += by_rad;
        p.lean += on_floor && m->root != THEW_ROOT_FOREFOOT ? by_rad : 0;
    }
    return p;
}

static void compare_work(way w, const thew_body_model *body, const thew_resistance *resistance, thew_action action, double s)
{
    thew_movement m = w.implement->movement;
    m.effort[0] = (thew_effort){ .action = action };
    m.effort_count = 1;
    double torque_nm = thew_action_sign(action) * thew_demand_at_s(&m, body, resistance, s).torque_nm[0];
    const double step_rad = 1e-4; // the error of the central difference goes with its square
    thew_joint joint = thew_action_joint(action);
    thew_posture posture = thew_movement_posture(&m, s);
    thew_posture ahead = turned(&m, posture, joint, step_rad), behind = turned(&m, posture, joint, -step_rad);
    thew_xy anchor = thew_movement_anchor(&m, body, s);
    double rise_j = thew_demand_energy_j(&m, body, resistance, &ahead, anchor, joint) -
                    thew_demand_energy_j(&m, body, resistance, &behind, anchor, joint);
    char why[300];
    g_snprintf(why, sizeof why, "%s: %s at %.3f", name_of(w), thew_action_id(action), s);
    row_near(why, torque_nm, rise_j / (2 * step_rad), 1e-6 * fmax(1, fabs(torque_nm)));
}

static void look_at_work(way w)
{
    if (!is_elastic(w)) return;
    static const thew_action in_sagittal[] = { THEW_SHOULDER_FLEXION, THEW_ELBOW_FLEXION,  THEW_TRUNK_EXTENSION,
                                               THEW_HIP_EXTENSION,    THEW_KNEE_EXTENSION, THEW_ANKLE_DORSIFLEXION };
    static const thew_action in_others[] = { THEW_SHOULDER_ABDUCTION, THEW_ELBOW_EXTENSION, THEW_HIP_ABDUCTION };
    bool sagittal = w.implement->movement.plane == THEW_SAGITTAL;
    const thew_action *action = sagittal ? in_sagittal : in_others;
    size_t actions = sagittal ? G_N_ELEMENTS(in_sagittal) : G_N_ELEMENTS(in_others);
    thew_body_model body = typical_woman();
    double rest_m = w.implement->kind == THEW_IMPLEMENT_LOOP ? loop_m : 1.5;
    thew_band band = band_that_pulls(rest_m, 60);
    const thew_setting *setting = &w.implement->setting[w.implement->setting_count / 2];
    settings_that_fit(w, &body, rest_m, &setting);
    thew_resistance resistance = thew_implement_resistance(w.implement, setting, &band, 0);
    for (size_t i = 0; i < actions; i++)
        for (int j = 0; j <= 16; j++)
            compare_work(w, &body, &resistance, action[i], j / 16.);
}

static void torque_does_the_work_of_the_bands(void **state)
{
    (void)state;
    for_each_way(look_at_work);
    rows_end(40 * 3 * 17);
}

// ---- what is asked of the joints ----

// The first usual resistance, from the commonest on, that meets a condition.
typedef bool (*condition)(way w, const thew_body_model *body, const thew_resistance *resistance);

static bool some_resistance(way w, const thew_body_model *body, condition holds)
{
    if (w.implement->kind == THEW_IMPLEMENT_BODY) return holds(w, body, &(thew_resistance){ 0 });
    if (!is_elastic(w)) {
        for (size_t i = 0; i < G_N_ELEMENTS(weight_kg); i++) {
            thew_resistance resistance = thew_implement_resistance(w.implement, &w.implement->setting[0], NULL, weight_kg[i]);
            if (holds(w, body, &resistance)) return true;
        }
        return false;
    }
    bool loop = w.implement->kind == THEW_IMPLEMENT_LOOP;
    for (size_t i = 0; i < (loop ? 1 : G_N_ELEMENTS(strip_m)); i++)
        for (size_t j = 0; j < G_N_ELEMENTS(pull_n); j++) {
            thew_band band = band_that_pulls(loop ? loop_m : strip_m[i], pull_n[j]);
            const thew_setting *setting = NULL;
            if (settings_that_fit(w, body, band.rest_length_m, &setting) == 0) continue;
            thew_resistance resistance = thew_implement_resistance(w.implement, setting, &band, 0);
            if (holds(w, body, &resistance)) return true;
        }
    return false;
}

// Lifting is work all the way: nowhere does the resistance lift the limb by itself. Near the turnaround a hanging limb may rest.
static bool works_throughout(way w, const thew_body_model *body, const thew_resistance *resistance)
{
    const thew_movement *m = &w.implement->movement;
    if (m->kind == THEW_HOLD) return thew_demand_at_s(m, body, resistance, m->hold_s).torque_nm[0] > 0;
    for (int i = THEW_DEMAND_STEPS / 8; i <= THEW_DEMAND_STEPS; i++)
        if (thew_demand_at_s(m, body, resistance, (double)i / THEW_DEMAND_STEPS).torque_nm[0] <= 0) return false;
    return true;
}

static void look_at_the_prime_mover(way w)
{
    thew_body_model woman = typical_woman(), man = typical_man();
    row_near(name_of(w), true, some_resistance(w, &woman, works_throughout), 0);
    row_near(name_of(w), true, some_resistance(w, &man, works_throughout), 0);
}

static void prime_movers_work_throughout(void **state)
{
    (void)state;
    for_each_way(look_at_the_prime_mover);
    rows_end(2 * 90);
}

// .2 to .8 of capacity is where endurance is known (endurance.h); somebody weaker than the reference works nearer to .8.
static bool is_within_reach(way w, const thew_body_model *body, const thew_resistance *resistance)
{
    thew_demand demand;
    thew_status status = thew_demand_of(&w.implement->movement, body, resistance, w.variant->tempo, &demand);
    return status == THEW_OK && demand.peak_share >= .2 && demand.peak_share <= .8;
}

// Weighed down by nothing but themselves these are for whom the reference is far away; their exercises have more to offer.
static const char *const lighter[] = {
    "seated-knee-extension",  "short-seated-knee-extension", "short-standing-knee-flexion", "short-standing-side-leg-raise",
    "short-standing-march",        "weighted-toe-lift",           NULL
};

static void look_whether_within_reach(way w)
{
    if (w.implement->kind == THEW_IMPLEMENT_BODY && g_strv_contains(lighter, w.variant->id)) return;
    thew_body_model woman = typical_woman();
    row_near(name_of(w), true, some_resistance(w, &woman, is_within_reach), 0);
}

static void usual_loads_are_within_reach(void **state)
{
    (void)state;
    for_each_way(look_whether_within_reach);
    rows_end(90);
}

// A progression asks for as much or more with the same in the hands; where anchors differ bands cannot be compared.
static void look_at_the_easier_neighbour(way w)
{
    const thew_variant *easier = w.variant->easier;
    const thew_implement *same = easier == NULL || is_elastic(w) ? NULL : thew_variant_implement(easier, w.implement->id);
    if (same == NULL) return;
    thew_body_model body = typical_woman();
    double mass_kg = w.implement->kind == THEW_IMPLEMENT_BODY ? 0 : 2;
    thew_resistance resistance = thew_implement_resistance(w.implement, &w.implement->setting[0], NULL, mass_kg);
    thew_demand here, there;
    row_near("status", THEW_OK, thew_demand_of(&w.implement->movement, &body, &resistance, w.variant->tempo, &here), 0);
    row_near("status", THEW_OK, thew_demand_of(&same->movement, &body, &resistance, easier->tempo, &there), 0);
    row_between(name_of(w), there.peak_share * (1 - 1e-9), here.peak_share, 10);
}

static void progressions_ask_for_more(void **state)
{
    (void)state;
    for_each_way(look_at_the_easier_neighbour);
    rows_end(3 * 30);
}

// ---- standing on one's feet ----

// Where the body's weight meets the floor, from its ankle torque: it must lie under the foot, or the person falls.
static void look_at_balance(way w)
{
    thew_movement m = w.implement->movement;
    if (m.root != THEW_ROOT_ANKLE || w.implement->kind != THEW_IMPLEMENT_BODY) return;
    thew_body_model body = typical_woman();
    m.effort[0] = (thew_effort){ .action = THEW_ANKLE_PLANTARFLEXION };
    m.effort_count = 1;
    m.support_share = 0;
    double feet_kg = 2 * body.segment[THEW_SEGMENT_FOOT].mass_kg;
    double weight_n = (body.mass_kg - feet_kg) * THEW_GRAVITY_M_S2 / m.legs;
    bool hold = m.kind == THEW_HOLD;
    for (int i = 0; i <= 8; i++) {
        double s = hold ? m.hold_s : i / 8.;
        double ahead_m = thew_demand_at_s(&m, &body, &(thew_resistance){ 0 }, s).torque_nm[0] / weight_n;
        // A hand or the other foot carries the rest of those that are supported: they may be a hand's breadth off.
        double slack_m = w.implement->movement.support_share > 0 ? .10 : 0;
        row_between(name_of(w), -body.heel_behind_m - slack_m, ahead_m, body.ball_ahead_m + slack_m);
    }
}

static void weight_stays_over_the_feet(void **state)
{
    (void)state;
    for_each_way(look_at_balance);
    rows_end(9 * 8);
}

// Nothing of the figure goes through the floor, and who sits has the feet within a hand's breadth of it, or up on something.
static void look_at_the_floor(way w)
{
    const thew_movement *m = &w.implement->movement;
    if (m->plane != THEW_SAGITTAL || w.variant->position == THEW_LYING) return;
    thew_body_model body = typical_woman();
    const double seat_m = .31 * body.height_m; // the knee's height, .285 (Winter), and a firm cushion of 4 cm
    for (int i = 0; i <= 8; i++) {
        thew_xy point[THEW_POINT_COUNT];
        thew_movement_points(m, &body, i / 8., point);
        bool seated = w.variant->position == THEW_SEATED;
        double floor_m = seated ? -seat_m : m->root == THEW_ROOT_HIP ? point[THEW_POINT_FLOOR].y_m : -body.ankle_height_m;
        if (m->root == THEW_ROOT_FOREFOOT) floor_m = 0;
        double lowest_m = fmin(point[THEW_POINT_HAND].y_m, fmin(point[THEW_POINT_HEEL].y_m, point[THEW_POINT_FOREFOOT].y_m));
        row_between(name_of(w), floor_m - .03, lowest_m, INFINITY);
    }
}

static void nobody_goes_through_the_floor(void **state)
{
    (void)state;
    for_each_way(look_at_the_floor);
    rows_end(9 * 60);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(bands_are_taut_and_not_torn),       cmocka_unit_test(one_strip_serves_most),
        cmocka_unit_test(torque_does_the_work_of_the_bands), cmocka_unit_test(prime_movers_work_throughout),
        cmocka_unit_test(usual_loads_are_within_reach),      cmocka_unit_test(progressions_ask_for_more),
        cmocka_unit_test(weight_stays_over_the_feet),        cmocka_unit_test(nobody_goes_through_the_floor),
    };
    return cmocka_run_group_tests(tests, load_built_in, free_built_in);
}
