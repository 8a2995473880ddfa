// exercise.c: reads one exercise with its variants from a file of movements/.
// Knows the shape of such a file and what a variant inherits. Leaves to others: what makes sense (rules.c).
#include "parts.h"

// What a variant may say anew; what it does not say is the exercise's.
#define SHARED_KEYS                                                                                                                \
    "position", "root", "unilateral", "low", "high", "hold_at", "starts", "tempo_s", "legs", "support_share", "support_ln_sd",     \
        "implements", "set_up", "cues", "breathing"
static const char *const exercise_key[] = { "id",    "name",     "plane",     "kind",     "efforts", "muscles",
                                            "goals", "cautions", SHARED_KEYS, "variants", NULL };
static const char *const variant_key[] = { "id", "name", "regression_of", "progression_of", "cautions", SHARED_KEYS, NULL };
static const char *const implement_key[] = { "id",    "kind",   "pieces",      "words",    "hold_point",
                                             "hands", "anchor", "max_stretch", "settings", NULL };
static const char *const anchor_key[] = { "from", "dx_h", "dy_h", "moves", "mirrored", "words", NULL };
static const char *const posture_key[] = { "lean", "shoulder", "elbow", "hip", "knee", "ankle", NULL };
static const char *const effort_key[] = { "action", "synergist", NULL };
static const char *const muscles_key[] = { "prime_movers", "synergists", NULL };

static const char *const plane_word[] = { "sagittal", "frontal", "transverse", NULL };
static const char *const root_word[] = { "hip", "ankle", "forefoot", NULL };
static const char *const kind_word[] = { "repetitions", "hold", NULL };
static const char *const starts_word[] = { "lowering", "lifting", NULL };
// From THEW_POINT_HAND on: that there is no point is said by leaving it out.
static const char *const point_word[] = { "hand", "elbow", "shoulder", "hip", "knee", "ankle", "forefoot", "heel", "floor", NULL };

// Degrees that a joint can reach, movement.h's directions: generous limits of a supple adult (common practice, no source); in the
// frontal and the transverse plane a figure cannot bend its knee or ankle.
typedef struct {
    double low_deg, high_deg;
} range;
static const range sagittal_range[] = {
    {-95,  95 },
    { -60, 180},
    { 0,   155},
    { -30, 140},
    { 0,   145},
    { -55, 35 }
};
static const range other_range[] = {
    {-95,  95 },
    { -30, 180},
    { 0,   155},
    { -30, 60 },
    { 0,   0  },
    { 0,   0  }
};

static const size_t TEXTS_MAX = 12, REFERENCES_MAX = 12, IMPLEMENTS_MAX = 8, VARIANTS_MAX = 12;
static const double STRETCH_MAX = 3.0; // safety rule E04

thew_json thew_variant_field(const thew_variant_reading *reading, const char *key)
{
    thew_json own = thew_json_key(reading->variant, key);
    return own.value != NULL || reading->variant == reading->exercise ? own : thew_json_key(reading->exercise, key);
}

// A field that may be absent.
static void read_optional_real(thew_json at, double low, double high, double *out)
{
    if (at.value != NULL) thew_json_real(at, low, high, out);
}

static void read_optional_flag(thew_json at, bool *out)
{
    if (at.value != NULL) thew_json_flag(at, out);
}

static void read_optional_integer(thew_json at, int low, int high, int *out)
{
    if (at.value != NULL) thew_json_integer(at, low, high, out);
}

// A word as an enumeration's number; 0 after a fault.
static unsigned read_word(thew_json at, const char *const *word)
{
    int choice = thew_json_choice(at, word);
    return choice < 0 ? 0 : (unsigned)choice;
}

static thew_point read_point(thew_json at)
{
    int choice = thew_json_choice(at, point_word);
    return choice < 0 ? THEW_POINT_NONE : (thew_point)(THEW_POINT_HAND + choice);
}

static void read_posture(thew_json at, thew_plane plane, thew_posture *posture)
{
    if (!thew_json_object(&at, posture_key)) return;
    const range *reach = plane == THEW_SAGITTAL ? sagittal_range : other_range;
    double *angle[] = { &posture->lean, &posture->shoulder, &posture->elbow, &posture->hip, &posture->knee, &posture->ankle };
    for (size_t i = 0; i < G_N_ELEMENTS(angle); i++) {
        double degrees;
        if (thew_json_real(thew_json_key(&at, posture_key[i]), reach[i].low_deg, reach[i].high_deg, &degrees))
            *angle[i] = degrees * G_PI / 180;
    }
}

static bool read_action(thew_json at, thew_action *action)
{
    for (int i = 0; i < THEW_ACTION_COUNT; i++)
        if (g_strcmp0(json_string_value(at.value), thew_action_id((thew_action)i)) == 0) {
            *action = (thew_action)i;
            return true;
        }
    thew_json_fault(&at, "must be an action of a joint, such as \"elbow_flexion\"", "%s",
                    at.value == NULL ? "is missing" : "is no action that is known");
    return false;
}

static void read_efforts(thew_json at, thew_movement *movement)
{
    movement->effort_count = (int)thew_json_array(&at, 1, THEW_EFFORT_MAX);
    for (int i = 0; i < movement->effort_count; i++) {
        thew_json item = thew_json_item(&at, (size_t)i);
        thew_json_object(&item, effort_key);
        read_action(thew_json_key(&item, "action"), &movement->effort[i].action);
        read_optional_flag(thew_json_key(&item, "synergist"), &movement->effort[i].synergist);
    }
}

static void read_tempo(thew_json at, thew_tempo *tempo)
{
    *tempo = thew_tempo_default();
    if (at.value == NULL || thew_json_array(&at, 4, 4) != 4) return;
    double *phase[] = { &tempo->lowering_s, &tempo->pause_low_s, &tempo->lifting_s, &tempo->pause_high_s };
    for (size_t i = 0; i < G_N_ELEMENTS(phase); i++)
        thew_json_real(thew_json_item(&at, i), i % 2 == 0 ? 1 : 0, 30, phase[i]);
}

// What all implements of a variant have in common.
static thew_movement read_movement(const thew_variant_reading *r)
{
    thew_movement m = { .legs = 1, .hands = 1 };
    m.plane = (thew_plane)read_word(thew_json_key(r->exercise, "plane"), plane_word);
    m.kind = (thew_kind)read_word(thew_json_key(r->exercise, "kind"), kind_word);
    read_efforts(thew_json_key(r->exercise, "efforts"), &m);
    m.root = (thew_root)read_word(thew_variant_field(r, "root"), root_word);
    read_posture(thew_variant_field(r, "low"), m.plane, &m.low);
    read_posture(thew_variant_field(r, "high"), m.plane, &m.high);
    read_optional_real(thew_variant_field(r, "hold_at"), 0, 1, &m.hold_s);
    m.starts_lifting = read_word(thew_variant_field(r, "starts"), starts_word) == 1;
    read_optional_integer(thew_variant_field(r, "legs"), 1, 2, &m.legs);
    read_optional_real(thew_variant_field(r, "support_share"), 0, .9, &m.support_share);
    read_optional_real(thew_variant_field(r, "support_ln_sd"), 0, 1, &m.support_ln_sd);
    return m;
}

static void read_anchor(const thew_json *at, thew_implement *implement)
{
    thew_anchor *anchor = &implement->movement.anchor;
    thew_json_object(at, anchor_key);
    implement->anchor_words = thew_json_text(thew_json_key(at, "words"));
    thew_json from = thew_json_key(at, "from");
    read_optional_flag(thew_json_key(at, "mirrored"), &anchor->mirrored);
    if (anchor->mirrored) {
        if (json_object_size(at->value) > 2)
            thew_json_fault(at, "a mirrored anchor follows from the hold point: leave from, dx_h, dy_h and moves out", "says more");
        return;
    }
    anchor->from = read_point(from);
    read_optional_real(thew_json_key(at, "dx_h"), -2, 2, &anchor->dx_h);
    read_optional_real(thew_json_key(at, "dy_h"), -2, 2, &anchor->dy_h);
    read_optional_flag(thew_json_key(at, "moves"), &anchor->moves);
}

// Settings stand in the implement, or are named and stand in settings.json; without any there is one way to hold the implement.
static void read_settings(thew_catalogue *catalogue, thew_json at, thew_implement *implement)
{
    bool elastic = implement->kind == THEW_IMPLEMENT_BAND || implement->kind == THEW_IMPLEMENT_LOOP;
    thew_settings list = { .strands = false };
    size_t faults_before = at.file->faults;
    if (json_is_string(at.value)) {
        const thew_settings *named = g_hash_table_lookup(catalogue->settings_by_id, json_string_value(at.value));
        if (named != NULL)
            list = *named;
        else
            thew_json_fault(&at, "must be the id of a list in settings.json, or an array of settings", "names no list of settings");
    } else if (at.value != NULL || elastic) {
        thew_tables_read_setting_list(catalogue, &at, &list);
    } else {
        list.setting = THEW_OWN(catalogue, thew_setting, 1);
        list.setting[0] = (thew_setting){ .id = "plain", .words = "As it is." };
        list.setting_count = 1;
    }
    if (elastic && !list.strands && at.file->faults == faults_before)
        thew_json_fault(&at, "every setting of a band or a loop must have strand_share and strands",
                        "has a setting without a strand");
    implement->setting = list.setting;
    implement->setting_count = list.setting_count;
}

static void read_implement(thew_catalogue *catalogue, const thew_json *at, thew_implement *implement)
{
    thew_json_object(at, implement_key);
    int kind = thew_json_choice(thew_json_key(at, "kind"), thew_implement_word);
    implement->kind = kind < 0 ? THEW_IMPLEMENT_BODY : (thew_implement_kind)kind;
    thew_json id = thew_json_key(at, "id");
    implement->id = id.value != NULL ? thew_json_id(id) : thew_implement_word[implement->kind];
    implement->pieces = implement->kind == THEW_IMPLEMENT_BODY ? 0 : 1;
    read_optional_integer(thew_json_key(at, "pieces"), 1, 2, &implement->pieces);
    implement->words = thew_json_text(thew_json_key(at, "words"));
    thew_json hold_point = thew_json_key(at, "hold_point"), anchor = thew_json_key(at, "anchor");
    if (hold_point.value != NULL) implement->movement.hold_point = read_point(hold_point);
    read_optional_integer(thew_json_key(at, "hands"), 1, 2, &implement->movement.hands);
    if (anchor.value != NULL) {
        read_anchor(&anchor, implement);
        implement->stretch_max = STRETCH_MAX;
    }
    read_optional_real(thew_json_key(at, "max_stretch"), 1.1, STRETCH_MAX, &implement->stretch_max);
    read_settings(catalogue, thew_json_key(at, "settings"), implement);
    thew_rules_check_implement(implement, at);
}

static void read_implements(const thew_variant_reading *r, const thew_movement *movement)
{
    thew_json array = thew_variant_field(r, "implements");
    size_t count = thew_json_array(&array, 1, IMPLEMENTS_MAX);
    thew_implement *implement = THEW_OWN(r->catalogue, thew_implement, count);
    for (size_t i = 0; i < count; i++) {
        thew_json at = thew_json_item(&array, i);
        implement[i].movement = *movement;
        read_implement(r->catalogue, &at, &implement[i]);
        for (size_t j = 0; j < i; j++)
            if (g_strcmp0(implement[i].id, implement[j].id) == 0)
                thew_json_fault(&at, "two implements of one kind need an \"id\" each", "is a second \"%s\"", implement[i].id);
    }
    r->out->implement = implement;
    r->out->implement_count = count;
}

// The things that an array of identifiers refers to. An identifier that is not known is a fault.
static GPtrArray *read_references(thew_json at, size_t least, GHashTable *by_id, const char *table)
{
    size_t count;
    g_autofree const char **id = thew_json_texts(at, least, REFERENCES_MAX, thew_json_id, &count);
    GPtrArray *found = g_ptr_array_new();
    for (size_t i = 0; i < count; i++) {
        void *thing = id[i] == NULL ? NULL : g_hash_table_lookup(by_id, id[i]);
        thew_json item = thew_json_item(&at, i);
        g_autofree char *right = g_strdup_printf("must be an id of %s", table);
        if (thing != NULL)
            g_ptr_array_add(found, thing);
        else if (id[i] != NULL)
            thew_json_fault(&item, right, "\"%s\" is not known", id[i]);
    }
    return found;
}

// The same as an array that the catalogue keeps.
static void *keep_references(thew_catalogue *catalogue, thew_json at, size_t least, GHashTable *by_id, const char *table,
                             size_t *count)
{
    GPtrArray *found = read_references(at, least, by_id, table);
    *count = found->len;
    return thew_catalogue_keep(catalogue, g_ptr_array_free(found, FALSE));
}

static const char *const *keep_texts(thew_catalogue *catalogue, thew_json at, size_t *count)
{
    const char **text = thew_json_texts(at, 1, TEXTS_MAX, thew_json_text, count);
    return thew_catalogue_keep(catalogue, text);
}

// Cautions only add up: a variant never takes back what its exercise warns of.
static void gather_cautions(const thew_variant_reading *r)
{
    static const char *const key = "cautions";
    const char *const table = "cautions.json";
    g_autoptr(GPtrArray) named = g_ptr_array_new();
    thew_json base = thew_json_key(r->exercise, key), own = thew_json_key(r->variant, key);
    if (base.value != NULL) g_ptr_array_extend_and_steal(named, read_references(base, 0, r->catalogue->caution_by_id, table));
    if (own.value != NULL && r->variant != r->exercise)
        g_ptr_array_extend_and_steal(named, read_references(own, 0, r->catalogue->caution_by_id, table));
    for (size_t i = 0; i < r->out->implement_count; i++)
        thew_rules_gather_cautions(r->catalogue, r->out, (thew_implement *)&r->out->implement[i], named);
}

static void read_variant(const thew_variant_reading *r)
{
    thew_variant *v = r->out;
    size_t faults_before = r->exercise->file->faults;
    v->id = thew_json_id(thew_json_key(r->variant, "id"));
    v->name = thew_json_text(thew_json_key(r->variant, "name"));
    v->position = (thew_position)read_word(thew_variant_field(r, "position"), thew_position_word);
    thew_json_flag(thew_variant_field(r, "unilateral"), &v->unilateral);
    read_tempo(thew_variant_field(r, "tempo_s"), &v->tempo);
    v->set_up = keep_texts(r->catalogue, thew_variant_field(r, "set_up"), &v->set_up_count);
    v->cue = keep_texts(r->catalogue, thew_variant_field(r, "cues"), &v->cue_count);
    v->breathing = thew_json_text(thew_variant_field(r, "breathing"));
    thew_movement movement = read_movement(r);
    read_implements(r, &movement);
    thew_catalogue_put(r->catalogue->variant_by_id, v->id, v, thew_json_key(r->variant, "id"));
    if (r->exercise->file->faults == faults_before) { // the rules take it that what they look at is there
        thew_rules_check_variant(r);
        gather_cautions(r);
    }
}

// Hang a variant beside the one it is a regression or a progression of.
static void link_variant(const thew_json *at, GPtrArray *variants, thew_variant *v)
{
    thew_json of[] = { thew_json_key(at, "regression_of"), thew_json_key(at, "progression_of") };
    if ((of[0].value == NULL) == (of[1].value == NULL)) {
        thew_json_fault(at, "must have one of regression_of (it is easier) and progression_of (it is harder)", "has %s",
                        of[0].value == NULL ? "neither" : "both");
        return;
    }
    bool harder = of[1].value != NULL;
    const char *id = thew_json_id(of[harder]);
    thew_variant *neighbour = NULL;
    for (guint i = 0; id != NULL && i < variants->len; i++)
        if (g_strcmp0(((thew_variant *)variants->pdata[i])->id, id) == 0) neighbour = variants->pdata[i];
    if (id == NULL) return;
    if (neighbour == NULL || neighbour == v) {
        thew_json_fault(&of[harder], "must be the id of another variant in this file", "\"%s\" is none", id);
    } else if ((harder ? neighbour->harder : neighbour->easier) != NULL) {
        thew_json_fault(&of[harder], "variants form one chain: name the last one in that direction", "\"%s\" has a %s already", id,
                        harder ? "progression" : "regression");
    } else if (harder) {
        neighbour->harder = v;
        v->easier = neighbour;
    } else {
        neighbour->easier = v;
        v->harder = neighbour;
    }
}

// Order the variants along the chain, and see that none is off it.
static void order_variants(const thew_json *top, thew_catalogue *catalogue, thew_exercise *exercise, size_t count)
{
    const thew_variant **ordered = THEW_OWN(catalogue, const thew_variant *, count);
    const thew_variant *v = exercise->usual;
    for (size_t steps = 0; v->easier != NULL && steps < count; steps++)
        v = v->easier;
    size_t reached = 0;
    for (; v != NULL && reached < count; v = v->harder)
        ordered[reached++] = v;
    if (reached < count || v != NULL) {
        thew_json variants = thew_json_key(top, "variants");
        thew_json_fault(&variants, "every variant must be reached by regressions or progressions from the exercise itself",
                        "form no single chain: %zu of %zu are reached", reached, count);
    }
    exercise->variant = ordered;
    exercise->variant_count = reached;
}

static void read_variants(thew_catalogue *catalogue, const thew_json *top, thew_exercise *exercise)
{
    thew_json array = thew_json_key(top, "variants");
    size_t count = array.value == NULL ? 0 : thew_json_array(&array, 0, VARIANTS_MAX);
    thew_variant *variant = THEW_OWN(catalogue, thew_variant, count + 1);
    g_autoptr(GPtrArray) all = g_ptr_array_new();
    for (size_t i = 0; i <= count; i++) {
        thew_json at = i == 0 ? *top : thew_json_item(&array, i - 1);
        variant[i].exercise = exercise;
        g_ptr_array_add(all, &variant[i]);
        if (i > 0) thew_json_object(&at, variant_key);
        read_variant(&(thew_variant_reading){ catalogue, top, i == 0 ? top : &at, &variant[i] });
    }
    size_t faults_before = top->file->faults;
    for (size_t i = 1; i <= count; i++) {
        thew_json at = thew_json_item(&array, i - 1);
        link_variant(&at, all, &variant[i]);
    }
    exercise->usual = &variant[0];
    if (top->file->faults == faults_before) order_variants(top, catalogue, exercise, count + 1);
}

static void read_muscles(thew_catalogue *catalogue, const thew_json *top, thew_exercise *exercise)
{
    thew_json muscles = thew_json_key(top, "muscles");
    if (!thew_json_object(&muscles, muscles_key)) return;
    static const char *const table = "muscles.json";
    exercise->prime_mover = keep_references(catalogue, thew_json_key(&muscles, "prime_movers"), 1, catalogue->muscle_by_id, table,
                                            &exercise->prime_mover_count);
    exercise->synergist = keep_references(catalogue, thew_json_key(&muscles, "synergists"), 0, catalogue->muscle_by_id, table,
                                          &exercise->synergist_count);
    for (size_t i = 0; i < exercise->synergist_count; i++)
        for (size_t j = 0; j < exercise->prime_mover_count; j++)
            if (exercise->synergist[i] == exercise->prime_mover[j])
                thew_json_fault(&muscles, "a muscle must be one or the other", "\"%s\" is prime mover and synergist",
                                exercise->synergist[i]->id);
}

void thew_exercise_read(thew_catalogue *catalogue, const thew_json *top)
{
    if (!json_is_object(top->value)) {
        thew_json_object(top, exercise_key);
        return;
    }
    thew_json_object(top, exercise_key);
    thew_exercise *exercise = THEW_OWN(catalogue, thew_exercise, 1);
    exercise->id = thew_json_id(thew_json_key(top, "id"));
    exercise->name = thew_json_text(thew_json_key(top, "name"));
    exercise->goal =
        keep_references(catalogue, thew_json_key(top, "goals"), 1, catalogue->goal_by_id, "goals.json", &exercise->goal_count);
    read_muscles(catalogue, top, exercise);
    read_variants(catalogue, top, exercise);
    const thew_movement *movement = thew_catalogue_movement(exercise->usual);
    exercise->kind = movement == NULL ? THEW_REPETITIONS : movement->kind;
    exercise->prime_action = movement == NULL ? THEW_SHOULDER_FLEXION : movement->effort[0].action;
    g_ptr_array_add(catalogue->exercise, exercise);
    if (exercise->id != NULL) // variants share the name space: thew_catalogue_put has complained of doubles there
        g_hash_table_insert(catalogue->exercise_by_id, (char *)exercise->id, exercise);
}
