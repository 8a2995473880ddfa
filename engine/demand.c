// demand.c: see demand.h.
#include "demand.h"

#include <assert.h>
#include <stddef.h>

#include "real.h"

// ---- the figure as pieces that can be cut apart ----

typedef enum { OUTSIDE = 0, FOOT = 1, SHANK = 2, THIGH = 4, TRUNK = 8, UPPER_ARM = 16, FOREARM = 32 } piece;

enum { ARM = UPPER_ARM | FOREARM, LEG = THIGH | SHANK | FOOT, ABOVE_HIP = TRUNK | ARM };

// The piece that a point is fixed to. Where two pieces meet either will do: the lever is zero at the joint between them.
static piece piece_of(thew_point point)
{
    switch (point) {
    case THEW_POINT_HAND:
        return FOREARM;
    case THEW_POINT_ELBOW:
        return UPPER_ARM;
    case THEW_POINT_SHOULDER:
    case THEW_POINT_HIP:
        return TRUNK;
    case THEW_POINT_KNEE:
        return THIGH;
    case THEW_POINT_ANKLE:
        return SHANK;
    case THEW_POINT_FOREFOOT:
    case THEW_POINT_HEEL:
        return FOOT;
    default:
        return OUTSIDE;
    }
}

static bool is_arm_joint(thew_joint joint)
{
    return joint == THEW_JOINT_SHOULDER || joint == THEW_JOINT_ELBOW;
}

// A joint cut through: which pieces turn, about which point, and how (+1: in the sense of growing directions, movement.h).
typedef struct {
    unsigned part;
    int sense;
    thew_point pivot;
    bool heel_rises; // the foot turns about the ball, and what stands on the ankle moves with it without turning
} cut;

static cut cut_at(const thew_movement *movement, thew_joint joint)
{
    bool sagittal = movement->plane == THEW_SAGITTAL, hangs = movement->root == THEW_ROOT_HIP;
    switch (joint) {
    case THEW_JOINT_SHOULDER:
        return (cut){ ARM, +1, THEW_POINT_SHOULDER, false };
    case THEW_JOINT_ELBOW:
        return (cut){ FOREARM, +1, THEW_POINT_ELBOW, false };
    case THEW_JOINT_TRUNK:
        return (cut){ sagittal ? ABOVE_HIP : OUTSIDE, -1, THEW_POINT_HIP, false };
    case THEW_JOINT_HIP:
        if (hangs) return (cut){ LEG, +1, THEW_POINT_HIP, false };
        return (cut){ ABOVE_HIP, -1, THEW_POINT_HIP, false };
    case THEW_JOINT_KNEE:
        if (hangs) return (cut){ SHANK | FOOT, -1, THEW_POINT_KNEE, false };
        return (cut){ ABOVE_HIP | THIGH, +1, THEW_POINT_KNEE, false };
    case THEW_JOINT_ANKLE:
        if (!sagittal) break;
        if (hangs) return (cut){ FOOT, +1, THEW_POINT_ANKLE, false };
        if (movement->root == THEW_ROOT_ANKLE) return (cut){ ABOVE_HIP | THIGH | SHANK, -1, THEW_POINT_ANKLE, false };
        return (cut){ ABOVE_HIP | LEG, +1, THEW_POINT_FOREFOOT, true };
    default:
        break;
    }
    return (cut){ OUTSIDE, +1, THEW_POINT_HIP, false };
}

// ---- one place, looked at from one joint ----

typedef struct {
    const thew_movement *movement;
    const thew_body_model *body;
    const thew_resistance *resistance;
    thew_xy point[THEW_POINT_COUNT];
    thew_xy pelvis, trunk_up; // middle of the pelvis, and the trunk's direction
    thew_xy anchor;
} figure;

static figure figure_of(const thew_movement *movement, const thew_body_model *body, const thew_resistance *resistance,
                        const thew_posture *posture, thew_xy anchor)
{
    figure f = { .movement = movement, .body = body, .resistance = resistance, .anchor = anchor };
    thew_posture_points(movement, body, posture, f.point);
    f.pelvis = thew_posture_pelvis(movement, body, posture, f.point[THEW_POINT_HIP]);
    f.trunk_up = (thew_xy){ thew_sin(posture->lean), thew_cos(posture->lean) };
    return f;
}

static int at_least_one(int count)
{
    return count > 1 ? count : 1;
}

// The share of the body above the hips that the joint bears.
static double body_share(const thew_movement *movement, thew_joint joint)
{
    double carried = 1 - movement->support_share;
    return joint == THEW_JOINT_TRUNK ? carried : carried / at_least_one(movement->legs);
}

// The share of the implement that the joint bears.
static double implement_share(const thew_movement *movement, thew_joint joint)
{
    if (is_arm_joint(joint)) return 1. / at_least_one(movement->hands);
    if (joint == THEW_JOINT_TRUNK || movement->root == THEW_ROOT_HIP) return 1;
    return piece_of(movement->hold_point) & LEG ? 1 : 1. / at_least_one(movement->legs);
}

// ---- weights ----

typedef struct {
    piece of;
    thew_xy at;
    double mass_kg;
} weight;

enum { WEIGHTS_MAX = 12 };

typedef struct {
    weight item[WEIGHTS_MAX];
    int count;
} weights;

static void add(weights *to, piece of, thew_xy at, double mass_kg)
{
    assert(to->count < WEIGHTS_MAX);
    to->item[to->count++] = (weight){ of, at, mass_kg };
}

static thew_xy beyond(thew_xy from, thew_xy direction, double length_m)
{
    return (thew_xy){ from.x_m + length_m * direction.x_m, from.y_m + length_m * direction.y_m };
}

// A point at a share of the way.
static thew_xy between(thew_xy from, thew_xy to, double share)
{
    return (thew_xy){ from.x_m + share * (to.x_m - from.x_m), from.y_m + share * (to.y_m - from.y_m) };
}

// One arm, at the points given.
static void add_arm(weights *to, const thew_body_model *body, thew_xy shoulder, thew_xy elbow, thew_xy hand, double arms)
{
    thew_segment_size upper_arm = body->segment[THEW_SEGMENT_UPPER_ARM], forearm = body->segment[THEW_SEGMENT_FOREARM];
    thew_segment_size of_hand = body->segment[THEW_SEGMENT_HAND];
    double hand_m = forearm.length_m + of_hand.centre_m;
    add(to, UPPER_ARM, between(shoulder, elbow, upper_arm.centre_m / upper_arm.length_m), arms * upper_arm.mass_kg);
    add(to, FOREARM, between(elbow, hand, forearm.centre_m / hand_m), arms * forearm.mass_kg);
    add(to, FOREARM, hand, arms * of_hand.mass_kg);
}

static void add_leg(weights *to, const figure *f)
{
    const thew_segment_size *segment = f->body->segment;
    const thew_xy *point = f->point;
    thew_segment_size thigh = segment[THEW_SEGMENT_THIGH], shank = segment[THEW_SEGMENT_SHANK], foot = segment[THEW_SEGMENT_FOOT];
    double ball_m = thew_sqrt(f->body->ball_ahead_m * f->body->ball_ahead_m + f->body->ankle_height_m * f->body->ankle_height_m);
    add(to, THIGH, between(point[THEW_POINT_HIP], point[THEW_POINT_KNEE], thigh.centre_m / thigh.length_m), thigh.mass_kg);
    add(to, SHANK, between(point[THEW_POINT_KNEE], point[THEW_POINT_ANKLE], shank.centre_m / shank.length_m), shank.mass_kg);
    add(to, FOOT, between(point[THEW_POINT_ANKLE], point[THEW_POINT_FOREFOOT], foot.centre_m / ball_m), foot.mass_kg);
}

// The arms as the posture has them, in place of the hanging ones that Winter's row for head, arms and trunk contains.
static void move_arms(weights *to, const figure *f, double arms)
{
    const thew_segment_size *segment = f->body->segment;
    thew_xy shoulder = f->point[THEW_POINT_SHOULDER];
    thew_xy elbow = beyond(shoulder, f->trunk_up, -segment[THEW_SEGMENT_UPPER_ARM].length_m);
    thew_xy hand = beyond(elbow, f->trunk_up, -segment[THEW_SEGMENT_FOREARM].length_m - segment[THEW_SEGMENT_HAND].centre_m);
    add_arm(to, f->body, shoulder, f->point[THEW_POINT_ELBOW], f->point[THEW_POINT_HAND], arms);
    add_arm(to, f->body, shoulder, elbow, hand, -arms);
}

static void add_other_leg(weights *to, const figure *f, double share)
{
    const thew_segment_size *segment = f->body->segment;
    double leg_kg = segment[THEW_SEGMENT_THIGH].mass_kg + segment[THEW_SEGMENT_SHANK].mass_kg + segment[THEW_SEGMENT_FOOT].mass_kg;
    thew_xy other_hip = between(f->point[THEW_POINT_HIP], f->pelvis, 2);
    add(to, TRUNK, other_hip, share * leg_kg);
}

static void add_body_above(weights *to, const figure *f, thew_joint joint)
{
    thew_segment_size hat = f->body->segment[THEW_SEGMENT_HAT];
    double share = body_share(f->movement, joint);
    bool on_one_leg = f->movement->root != THEW_ROOT_HIP && joint != THEW_JOINT_TRUNK && at_least_one(f->movement->legs) == 1;
    thew_xy base = on_one_leg ? f->pelvis : f->point[THEW_POINT_HIP];
    add(to, TRUNK, beyond(base, f->trunk_up, hat.centre_m), share * hat.mass_kg);
    if (f->movement->plane == THEW_SAGITTAL) move_arms(to, f, 2 * share);
    if (on_one_leg) add_other_leg(to, f, share);
}

// All that weighs in the figure, as the joint bears it; nothing does when it is seen from above.
static weights weights_of(const figure *f, thew_joint joint)
{
    weights all = { .count = 0 };
    if (f->movement->plane == THEW_TRANSVERSE) return all;
    if (is_arm_joint(joint)) {
        add_arm(&all, f->body, f->point[THEW_POINT_SHOULDER], f->point[THEW_POINT_ELBOW], f->point[THEW_POINT_HAND], 1);
    } else {
        add_leg(&all, f);
        add_body_above(&all, f, joint);
    }
    thew_point hold = f->movement->hold_point;
    add(&all, piece_of(hold), f->point[hold], implement_share(f->movement, joint) * f->resistance->mass_kg);
    return all;
}

// ---- bands ----

enum { BANDS = 2 };

static const thew_band *band_of(const thew_resistance *resistance, int i)
{
    return i == 0 ? resistance->band : resistance->band_2;
}

static thew_strand strand_of(const thew_resistance *resistance, int i)
{
    return i == 0 ? resistance->strand : resistance->strand_2;
}

static double distance_m(thew_xy a, thew_xy b)
{
    double x = b.x_m - a.x_m, y = b.y_m - a.y_m;
    return thew_sqrt(x * x + y * y);
}

static double band_length_m(const figure *f)
{
    return distance_m(f->point[f->movement->hold_point], f->anchor);
}

static double band_force_n(const figure *f, int i)
{
    const thew_band *band = band_of(f->resistance, i);
    return band ? thew_strand_force_n(band, strand_of(f->resistance, i), band_length_m(f)) : 0;
}

static double band_stretch(const figure *f, int i)
{
    const thew_band *band = band_of(f->resistance, i);
    return band ? band_length_m(f) / (band->rest_length_m * strand_of(f->resistance, i).share) : 0;
}

// Where the anchor is at s, with the setting of the resistance.
static thew_xy anchor_at(const thew_movement *movement, const thew_body_model *body, const thew_resistance *resistance, double s)
{
    thew_xy anchor = thew_movement_anchor(movement, body, s);
    if (resistance->anchor_dx_h == 0 || movement->anchor.moves || movement->anchor.mirrored) return anchor;
    thew_xy point[THEW_POINT_COUNT];
    thew_movement_points(movement, body, 0, point);
    thew_xy hold = point[movement->hold_point];
    double length_m = distance_m(hold, anchor);
    if (length_m == 0) return anchor;
    return between(hold, anchor, 1 + resistance->anchor_dx_h * body->height_m / length_m);
}

// ---- torque ----

static double cross(thew_xy r, thew_xy force)
{
    return r.x_m * force.y_m - r.y_m * force.x_m;
}

// Moment of a force that acts on a piece, about the cut; 0 if the piece is not in the part that turns.
static double moment_nm(const figure *f, const cut *c, piece on, thew_xy at, thew_xy force)
{
    if (!(c->part & on)) return 0;
    if (c->heel_rises && on != FOOT) at = f->point[THEW_POINT_ANKLE];
    thew_xy pivot = f->point[c->pivot];
    return cross((thew_xy){ at.x_m - pivot.x_m, at.y_m - pivot.y_m }, force);
}

static double weights_moment_nm(const figure *f, const cut *c, thew_joint joint)
{
    weights all = weights_of(f, joint);
    double moment = 0;
    for (int i = 0; i < all.count; i++)
        moment += moment_nm(f, c, all.item[i].of, all.item[i].at, (thew_xy){ 0, -all.item[i].mass_kg * THEW_GRAVITY_M_S2 });
    return moment;
}

// Moment of a band that pulls with one newton. Its far end pulls back: on the body too, if it is fixed there.
static double band_moment_m(const figure *f, const cut *c, thew_joint joint)
{
    const thew_movement *movement = f->movement;
    thew_xy hold = f->point[movement->hold_point];
    double length_m = band_length_m(f), share = implement_share(movement, joint);
    if (length_m == 0) return 0;
    thew_xy pull = { share * (f->anchor.x_m - hold.x_m) / length_m, share * (f->anchor.y_m - hold.y_m) / length_m };
    piece held = piece_of(movement->hold_point);
    if (movement->anchor.mirrored) {
        // From hand to hand, with both arms in the part: the band pulls on nothing outside.
        bool both_ends = (c->part & TRUNK) && (held & ABOVE_HIP);
        return both_ends ? 0 : moment_nm(f, c, held, hold, pull);
    }
    double moment = moment_nm(f, c, held, hold, pull);
    if (movement->anchor.moves) {
        thew_point from = movement->anchor.from;
        moment += moment_nm(f, c, piece_of(from), f->point[from], (thew_xy){ -pull.x_m, -pull.y_m });
    }
    return moment;
}

// The torque that muscles must give in the direction of the action: what weights and each band ask for.
typedef struct {
    double weights_nm, band_nm[BANDS];
} torque;

static torque torque_of(const figure *f, thew_action action)
{
    thew_joint joint = thew_action_joint(action);
    cut c = cut_at(f->movement, joint);
    // y points ahead in the transverse plane: growing directions turn the other way round there.
    double turn = f->movement->plane == THEW_TRANSVERSE ? -1 : +1;
    double to_action = -turn * c.sense * thew_action_sign(action);
    double band_m = to_action * band_moment_m(f, &c, joint);
    torque t = { .weights_nm = to_action * weights_moment_nm(f, &c, joint) };
    for (int i = 0; i < BANDS; i++)
        t.band_nm[i] = band_m * band_force_n(f, i);
    return t;
}

static double total_nm(torque t)
{
    return t.weights_nm + t.band_nm[0] + t.band_nm[1];
}

// ---- demand ----

static thew_demand_at demand_at(const figure *f, const thew_posture *posture, double s)
{
    const thew_movement *movement = f->movement;
    assert(movement->effort_count >= 0 && movement->effort_count <= THEW_EFFORT_MAX);
    thew_demand_at at = { .s = s };
    if (f->resistance->band || f->resistance->band_2) {
        at.band_length_m = band_length_m(f);
        at.band_stretch = thew_max(band_stretch(f, 0), band_stretch(f, 1));
        at.band_force_n = band_force_n(f, 0) + band_force_n(f, 1);
    }
    for (int i = 0; i < movement->effort_count; i++) {
        thew_action action = movement->effort[i].action;
        double factor = thew_strength_angle_factor(action, f->body, thew_posture_angle(posture, action));
        at.torque_nm[i] = total_nm(torque_of(f, action));
        at.share[i] = thew_max(at.torque_nm[i], 0) / (factor * thew_strength_reference_nm(action, f->body));
        if (!movement->effort[i].synergist) at.peak_share = thew_max(at.peak_share, at.share[i]);
    }
    return at;
}

thew_demand_at thew_demand_at_s(const thew_movement *movement, const thew_body_model *body, const thew_resistance *resistance,
                                double s)
{
    thew_posture posture = thew_movement_posture(movement, s);
    figure f = figure_of(movement, body, resistance, &posture, anchor_at(movement, body, resistance, s));
    return demand_at(&f, &posture, s);
}

// A range that is searched. An anchor that stays is looked up once.
typedef struct {
    const thew_movement *movement;
    const thew_body_model *body;
    const thew_resistance *resistance;
    thew_xy anchor;
    double share[THEW_DEMAND_STEPS + 1]; // of the grid
    double stretch_max;
} range;

static figure figure_in(const range *r, const thew_posture *posture, double s)
{
    bool stays = !r->movement->anchor.moves && !r->movement->anchor.mirrored;
    thew_xy anchor = stays ? r->anchor : anchor_at(r->movement, r->body, r->resistance, s);
    return figure_of(r->movement, r->body, r->resistance, posture, anchor);
}

static thew_demand_at demand_in(const range *r, double s)
{
    thew_posture posture = thew_movement_posture(r->movement, s);
    figure f = figure_in(r, &posture, s);
    return demand_at(&f, &posture, s);
}

static double share_in(const range *r, double s)
{
    return demand_in(r, s).peak_share;
}

static void search_grid(range *r)
{
    for (int i = 0; i <= THEW_DEMAND_STEPS; i++) {
        thew_demand_at at = demand_in(r, (double)i / THEW_DEMAND_STEPS);
        r->share[i] = at.peak_share;
        r->stretch_max = thew_max(r->stretch_max, at.band_stretch);
    }
}

// Golden section: the share need not be smooth where one effort takes over from another. What is left of the range is below 1e-6.
static double refine(const range *r, double low, double high)
{
    const double golden = .6180339887498949;
    double left = high - golden * (high - low), right = low + golden * (high - low);
    double at_left = share_in(r, left), at_right = share_in(r, right);
    for (int i = 0; i < 24; i++) {
        if (at_left >= at_right) {
            high = right, right = left, at_right = at_left;
            left = high - golden * (high - low), at_left = share_in(r, left);
        } else {
            low = left, left = right, at_left = at_right;
            right = low + golden * (high - low), at_right = share_in(r, right);
        }
    }
    return at_left >= at_right ? left : right;
}

// The sticking point. Every local peak of the grid that comes within 2 % of the highest is refined, so that the answer does not
// jump when a setting moves the peak from one grid point to the next, or one hump overtakes another.
static double peak_s(const range *r)
{
    int best = 0;
    for (int i = 1; i <= THEW_DEMAND_STEPS; i++)
        if (r->share[i] > r->share[best]) best = i;
    double s = (double)best / THEW_DEMAND_STEPS, share = r->share[best];
    if (share == 0) return s;
    for (int i = 0; i <= THEW_DEMAND_STEPS; i++) {
        int before = i > 0 ? i - 1 : i, after = i < THEW_DEMAND_STEPS ? i + 1 : i;
        bool peaks = r->share[i] >= r->share[before] && r->share[i] >= r->share[after];
        if (!peaks || r->share[i] < .98 * r->share[best]) continue;
        double refined = refine(r, (double)before / THEW_DEMAND_STEPS, (double)after / THEW_DEMAND_STEPS);
        double refined_share = share_in(r, refined);
        if (refined_share > share) s = refined, share = refined_share;
    }
    return s;
}

// Simpson's rule over the grid.
static double mean_over_range(const range *r)
{
    double sum = r->share[0] + r->share[THEW_DEMAND_STEPS];
    for (int i = 1; i < THEW_DEMAND_STEPS; i++)
        sum += (i % 2 ? 4 : 2) * r->share[i];
    return sum / (3 * THEW_DEMAND_STEPS);
}

// Mean over a cycle; a muscle that lengthens bears the same torque with a smaller share of its strength.
static double mean_over_cycle(const range *r, thew_tempo tempo)
{
    double cycle_s = thew_tempo_cycle_s(tempo);
    assert(cycle_s > 0);
    double moving_s = tempo.lifting_s + tempo.lowering_s / THEW_ECCENTRIC_FACTOR;
    double still = tempo.pause_low_s * r->share[0] + tempo.pause_high_s * r->share[THEW_DEMAND_STEPS];
    return (moving_s * mean_over_range(r) + still) / cycle_s;
}

static int limiting_effort(const thew_movement *movement, const thew_demand_at *at)
{
    for (int i = 0; i < movement->effort_count; i++)
        if (!movement->effort[i].synergist && at->share[i] == at->peak_share) return i;
    return 0; // nothing but synergists
}

static double demand_ln_sd(const figure *f, thew_action action)
{
    torque t = torque_of(f, action);
    double size = f->body->size_ln_sd, support = f->movement->support_ln_sd;
    double variance = size * size + support * support;
    for (int i = 0; i < BANDS; i++) {
        if (t.band_nm[i] == 0 || total_nm(t) <= 0) continue; // slack, or nothing is asked for
        double ln_sd = t.band_nm[i] / total_nm(t) * thew_band_force_ln_sd(band_of(f->resistance, i), band_stretch(f, i));
        variance += ln_sd * ln_sd;
    }
    return thew_sqrt(variance);
}

// A set ends about its sticking point: who gets past it, lifts on. On the grid, from .96 of the peak before it to .998 after it; in the
// full fatigue model that narrow part of the lift holds nearly every failure (tests/engine/fatigue_moving_test.c).
static void find_end(const range *r, double peak_share, double *from_s, double *to_s)
{
    int from = 0, to = THEW_DEMAND_STEPS;
    while (from < THEW_DEMAND_STEPS && r->share[from] < .96 * peak_share)
        from++;
    while (to > from && r->share[to] < .998 * peak_share)
        to--;
    if (to == from) { // a peak between two places of the grid
        from = from > 0 ? from - 1 : 0;
        to = to < THEW_DEMAND_STEPS ? to + 1 : THEW_DEMAND_STEPS;
    }
    *from_s = (double)from / THEW_DEMAND_STEPS;
    *to_s = (double)to / THEW_DEMAND_STEPS;
}

thew_status thew_demand_of(const thew_movement *movement, const thew_body_model *body, const thew_resistance *resistance,
                           thew_tempo tempo, thew_demand *demand)
{
    assert(movement->effort_count >= 1);
    range r = { .movement = movement, .body = body, .resistance = resistance, .anchor = anchor_at(movement, body, resistance, 0) };
    bool hold = movement->kind == THEW_HOLD;
    if (!hold) search_grid(&r);
    double s = hold ? movement->hold_s : peak_s(&r);

    thew_posture posture = thew_movement_posture(movement, s);
    figure f = figure_in(&r, &posture, s);
    thew_demand_at at = demand_at(&f, &posture, s);
    double stretch_max = thew_max(r.stretch_max, at.band_stretch);
    int limiting = limiting_effort(movement, &at);
    *demand = (thew_demand){
        .peak_share = at.peak_share,
        .mean_share = hold || at.peak_share == 0 ? 1 : thew_min(mean_over_cycle(&r, tempo) / at.peak_share, 1),
        .sticking_s = s,
        .ends_to_s = 1,
        .limiting_effort = limiting,
        .torque_nm = at.torque_nm[limiting],
        .stretch_max = stretch_max,
        .ln_sd = demand_ln_sd(&f, movement->effort[limiting].action),
    };
    if (!hold && at.peak_share > 0) find_end(&r, at.peak_share, &demand->ends_from_s, &demand->ends_to_s);
    if (stretch_max > THEW_BAND_STRETCH_MAX) return THEW_BEYOND_CURVE;
    bool banded = resistance->band || resistance->band_2;
    return banded && stretch_max <= 1 ? THEW_SLACK : THEW_OK;
}

double thew_demand_energy_j(const thew_movement *movement, const thew_body_model *body, const thew_resistance *resistance,
                            const thew_posture *posture, thew_xy anchor, thew_joint joint)
{
    figure f = figure_of(movement, body, resistance, posture, anchor);
    weights all = weights_of(&f, joint);
    double energy_j = 0;
    for (int i = 0; i < all.count; i++)
        energy_j += all.item[i].mass_kg * THEW_GRAVITY_M_S2 * all.item[i].at.y_m;
    for (int i = 0; i < BANDS; i++) {
        const thew_band *band = band_of(resistance, i);
        if (!band) continue;
        energy_j += implement_share(movement, joint) * thew_strand_energy_j(band, strand_of(resistance, i), band_length_m(&f));
    }
    return energy_j;
}
