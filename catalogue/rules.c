// rules.c: what a schema cannot say: which movements make sense, and which cautions hold for them.
// Knows planes, joints, postures and implements. Leaves to others: the forces (engine/demand.h; the tests compute them for every
// movement of the catalogue).
#include "parts.h"

#include "engine/real.h"

static const double DEGREE = THEW_PI / 180;
static const double LEAST_RANGE_DEG =
    10; // of the prime mover's joint, for repetitions to be seen and felt (common practice, no source)
static const double FLAT_FOOT_DEG = 1.5; // how far a foot that stands on the floor may be from level: rounding of the file's angles
static const double SEAT_TILT_DEG = 35;  // how far a seated thigh may point up or down from the horizontal

const char *const thew_position_word[] = { "seated", "standing", "lying", NULL };
const char *const thew_implement_word[] = { "body", "band", "loop", "dumbbell", "cuff", NULL };
const char *const thew_region_word[] = { "legs", "trunk", "arms", NULL };

static bool is_elastic(thew_implement_kind kind)
{
    return kind == THEW_IMPLEMENT_BAND || kind == THEW_IMPLEMENT_LOOP;
}

void thew_rules_check_implement(const thew_implement *implement, const thew_json *at)
{
    const thew_movement *m = &implement->movement;
    thew_json anchor = thew_json_key(at, "anchor"), hold_point = thew_json_key(at, "hold_point");
    bool elastic = is_elastic(implement->kind), body = implement->kind == THEW_IMPLEMENT_BODY;
    if (elastic && anchor.value == NULL)
        thew_json_fault(&anchor, "a band or a loop must have an anchor: where its other end is", "is missing");
    if (!elastic && anchor.value != NULL) thew_json_fault(&anchor, "only a band or a loop has an anchor", "is given");
    if (body && m->hold_point != THEW_POINT_NONE) thew_json_fault(&hold_point, "must be absent for body weight alone", "is given");
    if (!body && (m->hold_point == THEW_POINT_NONE || m->hold_point == THEW_POINT_FLOOR))
        thew_json_fault(&hold_point, "must be the point of the body that holds or wears it",
                        "is missing or is no place to hold it");
    if (implement->kind == THEW_IMPLEMENT_DUMBBELL && m->hold_point != THEW_POINT_HAND)
        thew_json_fault(&hold_point, "must be hand for a dumbbell (a weight worn elsewhere is a cuff)", "is another point");
    if (implement->pieces == 2 && implement->kind != THEW_IMPLEMENT_DUMBBELL && implement->kind != THEW_IMPLEMENT_CUFF)
        thew_json_fault(at, "only dumbbells and cuffs are needed in pairs", "has pieces 2");
    if (implement->pieces == 2 && m->hands == 2)
        thew_json_fault(at, "either both hands share one implement (hands 2) or each has its own (pieces 2)", "has both");
    if (m->hands == 2 && m->hold_point != THEW_POINT_HAND)
        thew_json_fault(at, "hands 2 (both share one implement) needs hold_point hand", "has hands 2");
    if (elastic && m->anchor.mirrored && m->plane == THEW_SAGITTAL) // both limbs would lie on one another
        thew_json_fault(&anchor, "must not be mirrored in the sagittal plane", "is mirrored");
}

// Does an action turn its joint in this plane?
static bool fits_plane(thew_action action, thew_plane plane)
{
    switch (action) {
    case THEW_SHOULDER_ABDUCTION:
    case THEW_SHOULDER_ADDUCTION:
        return plane == THEW_FRONTAL;
    case THEW_HIP_ABDUCTION:
    case THEW_HIP_ADDUCTION:
        return plane != THEW_SAGITTAL;
    case THEW_ELBOW_FLEXION:
    case THEW_ELBOW_EXTENSION:
        return plane != THEW_TRANSVERSE;
    default:
        return plane == THEW_SAGITTAL;
    }
}

static void check_efforts(const thew_variant_reading *r, const thew_movement *m)
{
    thew_json efforts = thew_json_key(r->exercise, "efforts");
    if (m->effort[0].synergist)
        thew_json_fault(&efforts, "the first effort is the prime mover and limits the set", "[0] is a synergist");
    for (int i = 0; i < m->effort_count; i++) {
        const char *id = thew_action_id(m->effort[i].action);
        thew_json at = thew_json_item(&efforts, (size_t)i);
        if (!fits_plane(m->effort[i].action, m->plane))
            thew_json_fault(
                &at, "must be an action in the exercise's plane (flexion, extension: sagittal; abduction, adduction: frontal)",
                "%s does not lie in this plane", id);
        for (int j = 0; j < i; j++)
            if (m->effort[i].action == m->effort[j].action) thew_json_fault(&at, "each may stand once", "%s stands twice", id);
    }
}

static bool same_posture(const thew_posture *a, const thew_posture *b)
{
    return a->lean == b->lean && a->shoulder == b->shoulder && a->elbow == b->elbow && a->hip == b->hip && a->knee == b->knee &&
           a->ankle == b->ankle;
}

// Lifting runs from low to high, so there the prime mover's joint must turn the way the prime mover pulls.
static void check_range(const thew_variant_reading *r, const thew_movement *m)
{
    thew_json high = thew_variant_field(r, "high"), hold_at = thew_variant_field(r, "hold_at");
    if (m->kind == THEW_HOLD) {
        if (hold_at.value == NULL)
            thew_json_fault(&hold_at, "a hold must say where in the range it is held, 0 (low) to 1 (high)", "is missing");
        return;
    }
    if (hold_at.value != NULL) thew_json_fault(&hold_at, "must be absent for repetitions", "is given");
    thew_action prime = m->effort[0].action;
    double turned = thew_action_sign(prime) * (thew_posture_angle(&m->high, prime) - thew_posture_angle(&m->low, prime)) / DEGREE;
    if (same_posture(&m->low, &m->high))
        thew_json_fault(&high, "the turnarounds of repetitions must differ", "is the same posture as low");
    else if (turned < LEAST_RANGE_DEG)
        thew_json_fault(&high, "from low to high the prime mover must turn its joint by 10 degrees or more its own way",
                        "%s turns by %.0f degrees", thew_action_id(prime), turned);
}

static double thigh_deg(const thew_posture *p)
{
    return (p->hip - p->lean) / DEGREE;
}

// The foot from level, toes up positive: foot = -lean + hip - knee + 90 degrees + ankle (movement.h).
static double foot_tilt_deg(const thew_posture *p)
{
    return (p->hip - p->lean - p->knee + p->ankle) / DEGREE;
}

static void check_posture(const thew_variant_reading *r, const thew_movement *m, const char *key, const thew_posture *p)
{
    thew_json at = thew_variant_field(r, key);
    if (m->root == THEW_ROOT_ANKLE && thew_abs(foot_tilt_deg(p)) > FLAT_FOOT_DEG)
        thew_json_fault(&at, "a foot that carries the body must be flat: ankle = lean - hip + knee",
                        "tilts the foot by %.0f degrees", foot_tilt_deg(p));
    bool thigh_rests = r->out->position == THEW_SEATED && m->plane == THEW_SAGITTAL && m->root == THEW_ROOT_HIP &&
                       thew_action_joint(m->effort[0].action) != THEW_JOINT_HIP;
    if (thigh_rests && thew_abs(thigh_deg(p) - 90) > SEAT_TILT_DEG)
        thew_json_fault(&at, "seated, the thigh (hip - lean) must lie within 55 and 125 degrees", "has the thigh at %.0f degrees",
                        thigh_deg(p));
}

static void check_root(const thew_variant_reading *r, const thew_movement *m)
{
    if (m->root != THEW_ROOT_HIP) {
        if (m->plane != THEW_SAGITTAL)
            thew_json_fault(r->variant, "root ankle and forefoot need the sagittal plane", "stands on its feet in another plane");
        return;
    }
    thew_json legs = thew_variant_field(r, "legs"), share = thew_variant_field(r, "support_share");
    if (m->legs != 1)
        thew_json_fault(&legs, "only root ankle or forefoot carries the body: leave legs out", "is %d with root hip", m->legs);
    if (m->support_share > 0)
        thew_json_fault(&share, "only root ankle or forefoot carries the body: leave support_share out", "is given with root hip");
}

// A diary names a setting by its id alone, so implements of one kind may not share any.
static void check_settings(const thew_variant_reading *reading)
{
    thew_json implements = thew_variant_field(reading, "implements");
    g_autoptr(GHashTable) seen = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    for (size_t i = 0; i < reading->out->implement_count; i++) {
        const thew_implement *implement = &reading->out->implement[i];
        for (size_t s = 0; s < implement->setting_count; s++) {
            const char *id = implement->setting[s].id;
            if (id && !g_hash_table_add(seen, g_strdup_printf("%d %s", implement->kind, id)))
                thew_json_fault(&implements, "two implements of one kind must have no setting in common", "have the setting %s twice", id);
        }
    }
}

void thew_rules_check_variant(const thew_variant_reading *reading)
{
    check_settings(reading);
    const thew_movement *m = thew_catalogue_movement(reading->out);
    check_efforts(reading, m);
    check_range(reading, m);
    check_posture(reading, m, "low", &m->low);
    check_posture(reading, m, "high", &m->high);
    check_root(reading, m);
    thew_json share = thew_variant_field(reading, "support_share"), sd = thew_variant_field(reading, "support_ln_sd");
    if ((m->support_share > 0) != (m->support_ln_sd > 0))
        thew_json_fault(m->support_share > 0 ? &sd : &share, "support_share and support_ln_sd (how unsure it is) go together",
                        "is missing or 0");
}

static bool caution_holds(const thew_caution *caution, const thew_variant *variant, const thew_implement *implement)
{
    const thew_movement *m = &implement->movement;
    double shoulder = thew_max(m->low.shoulder, m->high.shoulder);
    return !caution->named_only && (caution->implements & 1u << implement->kind) != 0 &&
           (caution->positions & 1u << variant->position) != 0 &&
           (caution->shoulder_above_rad == 0 || shoulder > caution->shoulder_above_rad);
}

void thew_rules_gather_cautions(thew_catalogue *catalogue, const thew_variant *variant, thew_implement *implement,
                                const GPtrArray *named)
{
    GPtrArray *all = g_ptr_array_new();
    for (thew_caution_when when = THEW_BEFORE_SET; when <= THEW_DURING_SET; when++)
        for (guint i = 0; i < catalogue->caution->len; i++) {
            thew_caution *caution = catalogue->caution->pdata[i];
            if (caution->when != when) continue;
            if (caution_holds(caution, variant, implement) || g_ptr_array_find((GPtrArray *)named, caution, NULL))
                g_ptr_array_add(all, caution);
        }
    implement->caution_count = all->len;
    implement->caution = thew_catalogue_keep(catalogue, g_ptr_array_free(all, FALSE));
}
