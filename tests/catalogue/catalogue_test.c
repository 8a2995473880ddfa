// catalogue_test.c: the loader: what is in the built-in catalogue, how it is found, and what is said of files that are wrong.
// The movements' physics is in movements_test.c.
#include "tests/engine/rows.h"

#include <glib/gstdio.h>
#include <jansson.h>

#include "catalogue/catalogue.h"
#include "engine/real.h"

static thew_catalogue *built_in; // loaded once: a catalogue never changes

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

static void row_text(const char *why, const char *expected, const char *obtained)
{
    rows_seen++;
    if (g_strcmp0(expected, obtained) == 0) return;
    rows_failed++;
    printf("# %s:\n#   expected %s\n#   obtained %s\n", why, expected, obtained);
}

static void row_true(const char *why, bool holds)
{
    rows_seen++;
    if (holds) return;
    rows_failed++;
    printf("# %s: does not hold\n", why);
}

// ---- what is there ----

// What the design asks for, each area by an exercise that must cover it.
static void covers_every_area(void **state)
{
    (void)state;
    static const struct {
        const char *area, *id;
        thew_action prime;
        thew_position position;
        thew_kind kind;
        bool unilateral;
    } row[] = {
        {"overhead press",           "seated-overhead-press",    THEW_SHOULDER_ABDUCTION,   THEW_SEATED,   THEW_REPETITIONS, false},
        { "forward press",           "seated-chest-press",       THEW_SHOULDER_FLEXION,     THEW_SEATED,   THEW_REPETITIONS, false},
        { "row",                     "seated-row",               THEW_SHOULDER_EXTENSION,   THEW_SEATED,   THEW_REPETITIONS, false},
        { "pull-down",               "seated-pull-down",         THEW_SHOULDER_EXTENSION,   THEW_SEATED,   THEW_REPETITIONS, false},
        { "straight-arm pull",       "seated-straight-arm-pull", THEW_SHOULDER_EXTENSION,   THEW_SEATED,   THEW_REPETITIONS, false},
        { "elbow flexion",           "seated-curl",              THEW_ELBOW_FLEXION,        THEW_SEATED,   THEW_REPETITIONS, true },
        { "elbow extension",         "seated-elbow-press-down",  THEW_ELBOW_EXTENSION,      THEW_SEATED,   THEW_REPETITIONS, false},
        { "shoulder abduction",      "seated-lateral-raise",     THEW_SHOULDER_ABDUCTION,   THEW_SEATED,   THEW_REPETITIONS, true },
        { "shoulder flexion",        "seated-front-raise",       THEW_SHOULDER_FLEXION,     THEW_SEATED,   THEW_REPETITIONS, true },
        { "chair hover",             "chair-hover",              THEW_KNEE_EXTENSION,       THEW_STANDING, THEW_HOLD,        false},
        { "sit to stand",            "sit-to-stand",             THEW_KNEE_EXTENSION,       THEW_STANDING, THEW_REPETITIONS, false},
        { "knee extension, seated",  "seated-knee-extension",    THEW_KNEE_EXTENSION,       THEW_SEATED,   THEW_REPETITIONS, true },
        { "knee flexion",            "seated-knee-flexion",      THEW_KNEE_FLEXION,         THEW_SEATED,   THEW_REPETITIONS, true },
        { "hip flexion, seated",     "seated-march",             THEW_HIP_FLEXION,          THEW_SEATED,   THEW_REPETITIONS, true },
        { "hip abduction, seated",   "seated-thigh-spread",      THEW_HIP_ABDUCTION,        THEW_SEATED,   THEW_REPETITIONS, false},
        { "hip abduction, standing", "standing-side-leg-raise",  THEW_HIP_ABDUCTION,        THEW_STANDING, THEW_REPETITIONS, true },
        { "hip abduction, lying",    "side-lying-leg-raise",     THEW_HIP_ABDUCTION,        THEW_LYING,    THEW_REPETITIONS, true },
        { "hip extension",           "standing-hip-extension",   THEW_HIP_EXTENSION,        THEW_STANDING, THEW_REPETITIONS, true },
        { "ankle dorsiflexion",      "seated-toe-lift",          THEW_ANKLE_DORSIFLEXION,   THEW_SEATED,   THEW_REPETITIONS, true },
        { "calf raise on two legs",  "standing-heel-raise",      THEW_ANKLE_PLANTARFLEXION, THEW_STANDING, THEW_REPETITIONS, false},
        { "calf raise on one leg",   "one-leg-heel-raise",       THEW_ANKLE_PLANTARFLEXION, THEW_STANDING, THEW_REPETITIONS, true },
        { "calf, seated",            "seated-foot-press",        THEW_ANKLE_PLANTARFLEXION, THEW_SEATED,   THEW_REPETITIONS, true },
        { "trunk extension, seated", "seated-trunk-rise",        THEW_TRUNK_EXTENSION,      THEW_SEATED,   THEW_REPETITIONS, false},
        { "lean-back hold",          "seated-lean-back",         THEW_TRUNK_FLEXION,        THEW_SEATED,   THEW_HOLD,        false},
    };
    for (size_t i = 0; i < G_N_ELEMENTS(row); i++) {
        const thew_variant *v = thew_catalogue_variant(built_in, row[i].id);
        row_true(row[i].area, v != NULL);
        if (v == NULL) continue;
        row_text(row[i].area, thew_action_id(row[i].prime), thew_action_id(v->exercise->prime_action));
        row_text(row[i].area, thew_position_id(row[i].position), thew_position_id(v->position));
        row_near(row[i].area, row[i].kind, v->exercise->kind, 0);
        row_near(row[i].area, row[i].unilateral, v->unilateral, 0);
    }
    rows_end(5 * (int)G_N_ELEMENTS(row));
}

// Each file of the folder is also in the program: the list in meson.build is kept by hand.
static void embeds_the_whole_folder(void **state)
{
    (void)state;
    g_autoptr(GError) error = NULL;
    g_autoptr(thew_catalogue) folder = thew_catalogue_load_folder(g_getenv("THEW_CATALOGUE"), &error);
    if (folder == NULL) fail_msg("%s", error->message);
    size_t in_folder, in_program, files;
    const thew_exercise *const *exercise = thew_catalogue_exercises(folder, &in_folder);
    thew_catalogue_exercises(built_in, &in_program);
    thew_catalogue_embedded(&files);
    row_between("exercises, and 18 are asked for", 18, (double)in_program, 1e3);
    row_near("exercises in the folder and in the program", (double)in_folder, (double)in_program, 0);
    row_near("files: a movement each, and five tables", (double)in_folder + 5, (double)files, 0);
    for (size_t i = 0; i < in_folder; i++)
        row_true(exercise[i]->id, thew_catalogue_exercise(built_in, exercise[i]->id) != NULL);
    rows_end(3 + 18);
}

static void is_ordered_and_linked(void **state)
{
    (void)state;
    size_t count;
    const thew_exercise *const *exercise = thew_catalogue_exercises(built_in, &count);
    for (size_t i = 0; i < count; i++) {
        const thew_exercise *e = exercise[i];
        if (i > 0) row_true(e->id, strcmp(exercise[i - 1]->id, e->id) < 0);
        row_text("the usual variant carries the exercise's id", e->id, e->usual->id);
        row_between(e->id, 2, (double)e->variant_count, 12); // everybody needs something easier or harder
        row_true(e->id, e->variant[0]->easier == NULL && e->variant[e->variant_count - 1]->harder == NULL);
        for (size_t j = 0; j < e->variant_count; j++) {
            const thew_variant *v = e->variant[j];
            row_true(v->id, thew_catalogue_variant(built_in, v->id) == v && v->exercise == e);
            row_true(v->id, j == 0 || (v->easier == e->variant[j - 1] && e->variant[j - 1]->harder == v));
            row_true(v->id, thew_catalogue_movement(v) == &v->implement[0].movement);
        }
    }
    rows_end(18 * 8);
}

// One variant, field by field, against its file: degrees become radians, what is not said is inherited.
static void reads_what_the_file_says(void **state)
{
    (void)state;
    const double degree = THEW_PI / 180;
    const thew_variant *usual = thew_catalogue_variant(built_in, "seated-curl");
    const thew_variant *standing = thew_catalogue_variant(built_in, "standing-curl");
    const thew_variant *two_hands = thew_catalogue_variant(built_in, "two-hand-curl");
    const thew_movement *m = thew_catalogue_movement(usual);
    row_near("elbow at low", 30 * degree, m->low.elbow, 1e-15);
    row_near("elbow at high", 125 * degree, m->high.elbow, 1e-15);
    row_near("hip, seated", 90 * degree, m->low.hip, 1e-15);
    row_near("hip, standing", 0, thew_catalogue_movement(standing)->low.hip, 0);
    row_near("root", THEW_ROOT_HIP, m->root, 0);
    row_near("plane", THEW_SAGITTAL, m->plane, 0);
    row_near("hands by default", 1, m->hands, 0);
    row_near("legs by default", 1, m->legs, 0);
    row_near("hands that share a dumbbell", 2, thew_catalogue_movement(two_hands)->hands, 0);
    row_near("prime mover and synergist", 2, m->effort_count, 0);
    row_true("the second only helps", !m->effort[0].synergist && m->effort[1].synergist);
    row_true("starts by lifting", m->starts_lifting);
    row_near("default tempo", 16, thew_tempo_cycle_s(usual->tempo), 0);
    row_text("inherited", usual->breathing, standing->breathing);
    row_true("overridden", usual->unilateral && !two_hands->unilateral);
    row_true("easier is before, harder after", two_hands->harder == usual && standing->easier == usual);

    const thew_implement *band = thew_variant_implement(usual, "band");
    row_near("held in the hand", THEW_POINT_HAND, band->movement.hold_point, 0);
    row_near("anchored from the hip", THEW_POINT_HIP, band->movement.anchor.from, 0);
    row_near("under the foot, a seat's height down", -.27, band->movement.anchor.dy_h, 0);
    row_near("stretch", 3, band->stretch_max, 0);
    row_true("no anchor on a dumbbell", thew_variant_implement(usual, "dumbbell")->anchor_words == NULL);
    row_true("an implement that is none", thew_variant_implement(usual, "cuff") == NULL);
    const thew_setting *setting = thew_implement_setting(band, "mark-5");
    row_near("mark 5 leaves 35 % of the band in each half", .35, setting->strand.share, 1e-12);
    row_near("and both halves pull", 2, setting->strand.strands, 0);
    row_true("a setting that is none", thew_implement_setting(band, "mark-99") == NULL);

    const thew_band rubber = { .rest_length_m = 1.5, .a0c10_n = 5 };
    thew_resistance resistance = thew_implement_resistance(band, setting, &rubber, 0);
    row_true("the band", resistance.band == &rubber && resistance.strand.strands == 2 && resistance.mass_kg == 0);
    const thew_implement *one = thew_variant_implement(usual, "dumbbell");
    const thew_implement *each = thew_variant_implement(thew_catalogue_variant(built_in, "seated-overhead-press"), "dumbbell");
    const thew_implement *legs = thew_variant_implement(thew_catalogue_variant(built_in, "sit-to-stand"), "dumbbell");
    row_near("one arm, one piece", 1, one->pieces, 0);
    row_near("both arms, a piece each", 2, each->pieces, 0);
    row_near("one arm bears its piece", 3, thew_implement_resistance(one, &one->setting[0], NULL, 3).mass_kg, 0);
    row_near("each arm bears its own", 3, thew_implement_resistance(each, &each->setting[0], NULL, 3).mass_kg, 0);
    row_near("legs bear both", 6, thew_implement_resistance(legs, &legs->setting[0], NULL, 3).mass_kg, 0);
    row_near("a loop follows the other thigh", 1,
             thew_catalogue_movement(thew_catalogue_variant(built_in, "seated-thigh-spread"))->anchor.mirrored, 0);
    row_true("nothing of that name",
             thew_catalogue_variant(built_in, "no-such") == NULL && thew_catalogue_exercise(built_in, "two-hand-curl") == NULL);
    rows_end(25);
}

// Settings are rungs: neighbours must be close (steps of 5 to 10 % of demand, design of the advice), so shares within 10 % of one
// another.
static void settings_are_close_together(void **state)
{
    (void)state;
    size_t count;
    const thew_exercise *const *exercise = thew_catalogue_exercises(built_in, &count);
    for (size_t i = 0; i < count; i++)
        for (size_t j = 0; j < exercise[i]->variant_count; j++)
            for (size_t k = 0; k < exercise[i]->variant[j]->implement_count; k++) {
                const thew_implement *implement = &exercise[i]->variant[j]->implement[k];
                for (size_t s = 1; s < implement->setting_count; s++)
                    row_between(implement->setting[s].id, 1.01,
                                implement->setting[s - 1].strand.share / implement->setting[s].strand.share, 1.12);
            }
    rows_end(100);
}

static bool warns_of(const thew_implement *implement, const char *id)
{
    for (size_t i = 0; i < implement->caution_count; i++)
        if (g_str_equal(implement->caution[i]->id, id)) return true;
    return false;
}

static void cautions_follow_from_what_is_done(void **state)
{
    (void)state;
    static const struct {
        const char *why, *variant, *implement, *caution;
        bool said;
    } row[] = {
        {"every band is looked over",     "seated-row",               "band",     "band-check",      true },
        { "every anchor is proved",       "seated-row",               "band",     "band-anchor",     true },
        { "a dumbbell has no anchor",     "seated-curl",              "dumbbell", "band-anchor",     false},
        { "a loop too may snap",          "seated-thigh-spread",      "loop",     "band-check",      true },
        { "seated: the chair",            "seated-row",               "band",     "chair",           true },
        { "standing: no chair to sit on", "standing-row",             "band",     "chair",           false},
        { "standing: falls",              "standing-row",             "band",     "falls",           true },
        { "seated: no falls",             "seated-row",               "band",     "falls",           false},
        { "overhead",                     "seated-overhead-press",    "dumbbell", "dizzy-overhead",  true },
        { "not overhead",                 "seated-curl",              "dumbbell", "dizzy-overhead",  false},
        { "shoulder height",              "seated-lateral-raise",     "dumbbell", "shoulder",        true },
        { "well under it",                "seated-low-lateral-raise", "dumbbell", "shoulder",        false},
        { "breathing, always",            "sit-to-stand",             "body",     "breathing",       true },
        { "named by the exercise",        "seated-toe-lift",          "band",     "band-foot-strap", true },
        { "and so kept by its variant",   "weighted-toe-lift",        "cuff",     "band-foot-strap", true },
        { "named by nobody here",         "seated-row",               "band",     "band-foot-strap", false},
    };
    for (size_t i = 0; i < G_N_ELEMENTS(row); i++) {
        const thew_variant *v = thew_catalogue_variant(built_in, row[i].variant);
        const thew_implement *implement = v == NULL ? NULL : thew_variant_implement(v, row[i].implement);
        row_true(row[i].why, implement != NULL && warns_of(implement, row[i].caution) == row[i].said);
    }
    rows_end((int)G_N_ELEMENTS(row));
}

// Source: reference/safety_rules.csv. A caution that cites a rule which does not exist would look founded and not be.
static void cautions_cite_safety_rules(void **state)
{
    (void)state;
    g_autoptr(GHashTable) rule = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    for (csv *table = csv_open("safety_rules.csv"); csv_next(table);)
        g_hash_table_add(rule, g_strdup(csv_text(table, "id")));
    size_t count;
    const thew_caution *const *caution = thew_catalogue_cautions(built_in, &count);
    for (size_t i = 0; i < count; i++)
        for (size_t j = 0; j < caution[i]->rule_count; j++)
            row_true(caution[i]->rule[j], g_hash_table_contains(rule, caution[i]->rule[j]));
    rows_end(20);
}

// ---- what is said of wrong files ----

// The value at a place written as in the faults, "variants[0].low": its container, and its key or index.
static json_t *container_of(json_t *root, const char *place, char *key, size_t *index)
{
    json_t *at = root, *container = NULL;
    for (const char *c = place; *c != '\0';) {
        container = at;
        key[0] = '\0';
        if (*c == '[') {
            char *end;
            *index = strtoul(c + 1, &end, 10);
            at = json_array_get(container, *index);
            c = end + 1;
        } else {
            size_t length = strcspn(c, ".[");
            g_strlcpy(key, c, length + 1);
            at = json_object_get(container, key);
            c += length;
        }
        if (*c == '.') c++;
    }
    return container;
}

// A copy of the text in which the value at a place is another (or a new last one); NULL removes it.
static char *edit(const thew_catalogue_file *file, const char *place, const char *value)
{
    json_t *root = json_loadb(file->bytes, file->size, 0, NULL);
    char key[64];
    size_t index = 0;
    json_t *container = container_of(root, place, key, &index);
    json_t *new_value = value == NULL ? NULL : json_loads(value, JSON_DECODE_ANY, NULL);
    assert_non_null(container);
    assert_true(value == NULL || new_value != NULL);
    int refused;
    if (key[0] != '\0')
        refused = value == NULL ? json_object_del(container, key) : json_object_set_new(container, key, new_value);
    else if (index == json_array_size(container))
        refused = json_array_append_new(container, new_value);
    else
        refused = value == NULL ? json_array_remove(container, index) : json_array_set_new(container, index, new_value);
    assert_int_equal(0, refused);
    char *text = json_dumps(root, 0);
    json_decref(root);
    return text;
}

// Load the built-in files with one of them replaced; the message, or NULL if that went well.
static char *fault_with(const char *name, const char *text)
{
    size_t count;
    const thew_catalogue_file *embedded = thew_catalogue_embedded(&count);
    g_autofree thew_catalogue_file *file = g_new0(thew_catalogue_file, count);
    for (size_t i = 0; i < count; i++) {
        file[i] = embedded[i];
        if (g_str_equal(name, embedded[i].name)) file[i] = (thew_catalogue_file){ embedded[i].name, text, strlen(text) };
    }
    g_autoptr(GError) error = NULL;
    g_autoptr(thew_catalogue) catalogue = thew_catalogue_load_files(file, count, &error);
    assert_true((catalogue == NULL) == (error != NULL));
    return error == NULL ? NULL : g_strdup(error->message);
}

static const thew_catalogue_file *good_file(const char *name)
{
    size_t count;
    const thew_catalogue_file *embedded = thew_catalogue_embedded(&count);
    for (size_t i = 0; i < count; i++)
        if (g_str_equal(name, embedded[i].name)) return &embedded[i];
    fail_msg("no file %s", name);
    return NULL;
}

#define CURL "movements/seated-curl.json"
#define STAND "movements/sit-to-stand.json"
#define HEELS "movements/standing-heel-raise.json"
#define KEYS_OF_POSTURE "the keys here are: lean, shoulder, elbow, hip, knee, ankle"
#define ID_RIGHT "must be an identifier of 2 to 60 lower-case letters, digits and single hyphens, such as \"seated-curl\""

static void names_every_mistake(void **state)
{
    (void)state;
    // clang-format off
    static const struct {
        const char *why, *file, *place, *value, *expected; // value NULL: the key is taken away
    } row[] = {
        { "number too great", CURL, "low.elbow", "400",
          CURL ": low.elbow: is 400; must be a number from 0 to 155" },
        { "just past the reach", CURL, "low.elbow", "155.5",
          CURL ": low.elbow: is 155.5; must be a number from 0 to 155" },
        { "number missing", CURL, "high.knee", NULL,
          CURL ": high.knee: is missing; must be a number from 0 to 145" },
        { "text for a number", CURL, "high.knee", "\"ninety\"",
          CURL ": high.knee: is \"ninety\"; must be a number from 0 to 145" },
        { "a typing mistake in a key", CURL, "low.elbou", "10",
          CURL ": low: unknown key \"elbou\"; " KEYS_OF_POSTURE },
        { "in a variant, its own place", CURL, "variants[1].high.hip", "200",
          CURL ": variants[1].high.hip: is 200; must be a number from -30 to 140" },
        { "posture that is none", CURL, "low", "[1, 2]",
          CURL ": low: is an array of 2; must be an object { ... }" },
        { "word not known", CURL, "position", "\"floating\"",
          CURL ": position: is \"floating\"; must be one of: seated, standing, lying" },
        { "flag as text", CURL, "unilateral", "\"yes\"",
          CURL ": unilateral: is \"yes\"; must be true or false" },
        { "identifier with a capital", CURL, "variants[0].id", "\"Two-hand\"",
          CURL ": variants[0].id: is \"Two-hand\"; " ID_RIGHT },
        { "empty text", CURL, "cues[1]", "\"\"",
          CURL ": cues[1]: is \"\"; must be a text of 1 to 400 bytes in one line, with no blank at either end" },
        { "two lines", CURL, "cues[1]", "\"a\\nb\"",
          CURL ": cues[1]: is \"a?b\"; must be a text of 1 to 400 bytes in one line, with no blank at either end" },
        { "one cue twice", CURL, "cues", "[\"Up.\", \"Up.\"]",
          CURL ": cues[1]: \"Up.\" stands twice; each may stand once" },
        { "no cue", CURL, "cues", "[]",
          CURL ": cues: is an array of 0; must be an array [ ... ] of 1 to 12" },
        { "tempo of three", CURL, "tempo_s", "[7, 1, 7]",
          CURL ": tempo_s: is an array of 3; must be an array [ ... ] of 4" },
        { "action not known", CURL, "efforts[0].action", "\"elbow_bending\"",
          CURL ": efforts[0].action: is no action that is known; must be an action of a joint, such as \"elbow_flexion\"" },
        { "action of another plane", CURL, "efforts[1].action", "\"hip_abduction\"",
          CURL ": efforts[1]: hip_abduction does not lie in this plane; must be an action in the exercise's plane (flexion, "
               "extension: sagittal; abduction, adduction: frontal)" },
        { "no prime mover", CURL, "efforts[0].synergist", "true",
          CURL ": efforts: [0] is a synergist; the first effort is the prime mover and limits the set" },
        { "moves against its prime mover", HEELS, "efforts[0].action", "\"ankle_dorsiflexion\"",
          HEELS ": high: ankle_dorsiflexion turns by -28 degrees; from low to high the prime mover must turn its joint by 10 "
                "degrees or more its own way\n" HEELS
                ": variants[1].high: ankle_dorsiflexion turns by -18 degrees; from low to high the prime mover must turn its joint by 10 "
                "degrees or more its own way" },
        { "repetitions that do not move", "movements/seated-toe-lift.json", "high.ankle", "-30",
          "movements/seated-toe-lift.json: high: is the same posture as low; the turnarounds of repetitions must differ" },
        { "a hold that is nowhere", "movements/seated-lean-back.json", "hold_at", NULL,
          "movements/seated-lean-back.json: hold_at: is missing; a hold must say where in the range it is held, 0 (low) to 1 "
          "(high)" },
        { "repetitions held", CURL, "hold_at", "0.5",
          CURL ": hold_at: is given; must be absent for repetitions" },
        { "standing on the toes by mistake", STAND, "low.ankle", "10",
          STAND ": low: tilts the foot by -15 degrees; a foot that carries the body must be flat: ankle = lean - hip + knee" },
        { "sitting with the thigh hanging", CURL, "high.hip", "40",
          CURL ": high: has the thigh at 40 degrees; seated, the thigh (hip - lean) must lie within 55 and 125 degrees" },
        { "a knee bent sideways", "movements/seated-lateral-raise.json", "low.knee", "90",
          "movements/seated-lateral-raise.json: low.knee: is 90; must be a number from 0 to 0" },
        { "legs that carry nothing", CURL, "legs", "2",
          CURL ": legs: is 2 with root hip; only root ankle or forefoot carries the body: leave legs out" },
        { "support without its doubt", STAND, "support_share", "0.2",
          STAND ": support_ln_sd: is missing or 0; support_share and support_ln_sd (how unsure it is) go together" },
        { "band tied to nothing", CURL, "implements[1].anchor", NULL,
          CURL ": implements[1].anchor: is missing; a band or a loop must have an anchor: where its other end is" },
        { "anchor at a point that is none", CURL, "implements[1].anchor.from", "\"none\"",
          CURL ": implements[1].anchor.from: is \"none\"; must be one of: hand, elbow, shoulder, hip, knee, ankle, forefoot, "
               "heel, floor" },
        { "stretched too far", CURL, "implements[1].max_stretch", "4",
          CURL ": implements[1].max_stretch: is 4; must be a number from 1.1 to 3" },
        { "a dumbbell on the ankle", CURL, "implements[0].hold_point", "\"ankle\"",
          CURL ": implements[0].hold_point: is another point; must be hand for a dumbbell (a weight worn elsewhere is a cuff)" },
        { "body weight held in the hand", STAND, "implements[0].hold_point", "\"hand\"",
          STAND ": implements[0].hold_point: is given; must be absent for body weight alone" },
        { "a pair of bands", CURL, "implements[1].pieces", "2",
          CURL ": implements[1]: has pieces 2; only dumbbells and cuffs are needed in pairs" },
        { "two bands of one name", CURL, "implements[2].id", "\"band\"",
          CURL ": implements[2]: is a second \"band\"; two implements of one kind need an \"id\" each" },
        { "list of settings not known", CURL, "implements[1].settings", "\"by-feel\"",
          CURL ": implements[1].settings: names no list of settings; must be the id of a list in settings.json, or an array of "
               "settings" },
        { "setting without strands", CURL, "implements[1].settings",
          "[{\"id\": \"all\", \"words\": \"All of it.\", \"strand_share\": 1}]",
          CURL ": implements[1].settings[0].strands: is missing; must be a whole number from 1 to 8" },
        { "setting of no strand at all", CURL, "implements[1].settings", "[{\"id\": \"all\", \"words\": \"All of it.\"}]",
          CURL ": implements[1].settings: has a setting without a strand; every setting of a band or a loop must have "
               "strand_share and strands" },
        { "two settings that are one", "settings.json", "settings[0].settings[1].strand_share", "0.5",
          "settings.json: settings[0].settings[1]: resists just like setting [0]; each setting must change the strand or the "
          "anchor" },
        { "goal not known", CURL, "goals[0]", "\"fly\"",
          CURL ": goals[0]: \"fly\" is not known; must be an id of goals.json" },
        { "muscle not known", CURL, "muscles.prime_movers[0]", "\"biceps\"",
          CURL ": muscles.prime_movers[0]: \"biceps\" is not known; must be an id of muscles.json" },
        { "prime mover and synergist", CURL, "muscles.synergists[0]", "\"brachialis\"",
          CURL ": muscles: \"brachialis\" is prime mover and synergist; a muscle must be one or the other" },
        { "caution not known", CURL, "cautions", "[\"mind-the-gap\"]",
          CURL ": cautions[0]: \"mind-the-gap\" is not known; must be an id of cautions.json" },
        { "rule that is none", "cautions.json", "cautions[0].rules[0]", "\"Rule 1\"",
          "cautions.json: cautions[0].rules[0]: is no safety rule; must name a safety rule, such as \"E01\"" },
        { "a finding by no safety rule", "screening.json", "questions[1].leads[0].rule", "\"G1\"",
          "screening.json: questions[1].leads[0].rule: is no safety rule; must name a safety rule, such as \"E01\"" },
        { "an answer that nobody can give", "screening.json", "questions[1].leads[0].answers[0]", "\"maybe\"",
          "screening.json: questions[1].leads[0].answers[0]: \"maybe\" is no answer to this question; must be yes or no" },
        { "a choice that is none", "screening.json", "questions[0].leads[0].answers[0]", "\"perhaps\"",
          "screening.json: questions[0].leads[0].answers[0]: \"perhaps\" is no answer to this question; must be the id of one of its "
          "choices" },
        { "a caution that is none", "screening.json", "questions[4].leads[1].cautions[0]", "\"mind-the-gap\"",
          "screening.json: questions[4].leads[1].cautions[0]: \"mind-the-gap\" is not known; must be an id of cautions.json" },
        { "a number that leads by answers", "screening.json", "questions[5].leads[0].answers", "[\"yes\"]",
          "screening.json: questions[5].leads[0].answers: is given for a number; a number leads by from and below" },
        { "a range upside down", "screening.json", "questions[5].leads[1].below", "100",
          "screening.json: questions[5].leads[1].below: is not above from; must be above from" },
        { "a yes or no with choices", "screening.json", "questions[1].choices", "[]",
          "screening.json: questions[1].choices: is given; must be absent unless kind is choice" },
        { "a question asked twice", "screening.json", "questions[1].id", "\"long-illness\"",
          "screening.json: questions[1].id: \"long-illness\" is taken already; must be an id that nothing else of its kind has" },
        { "an action that is none", "screening.json", "questions[1].leads[0].action", "\"shrug\"",
          "screening.json: questions[1].leads[0].action: is \"shrug\"; must be one of: note, with_care, ask_first" },
        { "variant of nothing", CURL, "variants[0].regression_of", NULL,
          CURL ": variants[0]: has neither; must have one of regression_of (it is easier) and progression_of (it is harder)" },
        { "easier and harder at once", CURL, "variants[0].progression_of", "\"seated-curl\"",
          CURL ": variants[0]: has both; must have one of regression_of (it is easier) and progression_of (it is harder)" },
        { "variant of another exercise", CURL, "variants[0].regression_of", "\"seated-row\"",
          CURL ": variants[0].regression_of: \"seated-row\" is none; must be the id of another variant in this file" },
        { "a fork", CURL, "variants[1]", "{\"id\": \"third-curl\", \"name\": \"Third\", \"regression_of\": \"seated-curl\"}",
          CURL ": variants[1].regression_of: \"seated-curl\" has a regression already; variants form one chain: name the last "
               "one in that direction" },
        { "a chain of its own", CURL, "variants",
          "[{\"id\": \"curl-a\", \"name\": \"A\", \"regression_of\": \"curl-b\"}, {\"id\": \"curl-b\", \"name\": \"B\", \"regression_of\": \"curl-a\"}]",
          CURL ": variants: form no single chain: 1 of 3 are reached; every variant must be reached by regressions or "
               "progressions from the exercise itself" },
        { "an id of another file", CURL, "variants[0].id", "\"seated-row\"",
          "movements/seated-row.json: id: \"seated-row\" is taken already; must be an id that nothing else of its kind has" },
        { "a goal that nothing serves", "goals.json", "goals[18]", "{\"id\": \"fly\", \"name\": \"Flying\", \"words\": \"Fly.\"}",
          "goals.json: goals[18].id: \"fly\" is served by no exercise; an exercise must name it" },
    };
    // clang-format on
    for (size_t i = 0; i < G_N_ELEMENTS(row); i++) {
        char *text = edit(good_file(row[i].file), row[i].place, row[i].value);
        g_autofree char *message = fault_with(row[i].file, text);
        free(text);
        row_text(row[i].why, row[i].expected, message);
    }
    rows_end((int)G_N_ELEMENTS(row));
}

// What cannot be made by editing values: the text itself is wrong.
static void refuses_what_is_no_json(void **state)
{
    (void)state;
    static const struct {
        const char *why, *text, *expected;
    } row[] = {
        {"empty",               "",                                      "line 1, column 0: "                                           },
        { "cut off",            "{\"id\": \"seated-curl\"",              "line 1, column 20: "                                          },
        { "doubled key",        "{\n\"id\": \"a-b\",\n\"id\": \"a-c\"}", "line 3, column 4: duplicate object key"                       },
        { "more after the end", "{} {}",                                 "line 1, column 4: end of file expected"                       },
        { "a comma too many",   "{\"a\": 1,}",                           "line 1, column 9: "                                           },
        { "a comment",          "{\"a\": 1 /* one */}",                  "line 1, column 9: "                                           },
        { "not a number",       "{\"a\": NaN}",                          "line 1, column "                                              },
        { "beyond double",      "{\"a\": 1e999}",                        "line 1, column "                                              },
        { "Latin-1",            "{\"a\": \"\xe9\"}",                     "line 1, column "                                              },
        { "only a number",      "17",                                    "line 1, column 2: "                                           },
        { "an array",           "[]",                                    CURL ": top level: is an array of 0; must be an object { ... }"},
    };
    for (size_t i = 0; i < G_N_ELEMENTS(row); i++) {
        g_autofree char *message = fault_with(CURL, row[i].text);
        row_true(row[i].why, message != NULL && g_str_has_prefix(message, CURL ": top level: "));
        bool said = message != NULL && strstr(message, row[i].expected) != NULL;
        if (!said) row_text(row[i].why, row[i].expected, message);
    }
    rows_end((int)G_N_ELEMENTS(row));
}

static void names_several_mistakes_at_once(void **state)
{
    (void)state;
    char *text = edit(good_file(CURL), "low.elbow", "400");
    char *worse = edit(&(thew_catalogue_file){ CURL, text, strlen(text) }, "goals[1]", "\"fly\"");
    g_autofree char *message = fault_with(CURL, worse);
    row_text("in the order of reading; an inherited mistake is told once",
             CURL ": goals[1]: \"fly\" is not known; must be an id of goals.json\n" CURL
                  ": low.elbow: is 400; must be a number from 0 to 155",
             message);
    free(text);
    free(worse);
    rows_end(1);
}

// Every key of a file, one at a time, taken away and made null: never loaded as if nothing were, unless the key may be absent, and
// never a crash.
static void minds_every_key(void **state)
{
    (void)state;
    static const char *const may_be_absent[] = {
        "cautions", "variants", "tempo_s", "legs", "support_share", "support_ln_sd", NULL
    };
    const thew_catalogue_file *good = good_file(STAND);
    json_t *root = json_loadb(good->bytes, good->size, 0, NULL);
    const char *key;
    json_t *value;
    json_object_foreach(root, key, value)
    {
        char *without = edit(good, key, NULL), *null = edit(good, key, "null");
        g_autofree char *absent = fault_with(STAND, without), *nulled = fault_with(STAND, null);
        row_true(key, (absent == NULL) == g_strv_contains(may_be_absent, key));
        row_true(key, nulled != NULL);
        free(without);
        free(null);
    }
    json_decref(root);
    rows_end(40);
}

// ---- folders ----

static void write_file(const char *folder, const char *name, const char *text)
{
    g_autofree char *path = g_build_filename(folder, name, NULL), *parent = g_path_get_dirname(path);
    assert_int_equal(0, g_mkdir_with_parents(parent, 0700));
    assert_true(g_file_set_contents(path, text, -1, NULL));
}

static void takes_a_studios_additions(void **state)
{
    (void)state;
    g_autofree char *folder = g_dir_make_tmp("thew-catalogue-XXXXXX", NULL);
    assert_non_null(folder);
    char *new_id = edit(good_file("movements/step-up.json"), "id", "\"garden-step\"");
    char *own = edit(&(thew_catalogue_file){ "", new_id, strlen(new_id) }, "variants", "[]");
    char *wrong = edit(&(thew_catalogue_file){ "", own, strlen(own) }, "legs", "3");
    write_file(folder, "movements/garden-step.json", own);
    g_autoptr(GError) error = NULL;
    {
        g_autoptr(thew_catalogue) more = thew_catalogue_load(folder, &error);
        row_true("added", more != NULL && thew_catalogue_exercise(more, "garden-step") != NULL);
        row_true("beside the built-in ones", more != NULL && thew_catalogue_exercise(more, "step-up") != NULL);
    }
    write_file(folder, "movements/garden-step.json", wrong);
    {
        g_autoptr(thew_catalogue) more = thew_catalogue_load(folder, &error);
        g_autofree char *expected =
            g_strdup_printf("%s/movements/garden-step.json: legs: is 3; must be a whole number from 1 to 2", folder);
        row_true("a wrong addition spoils all", more == NULL);
        row_text("and is named with its path", expected, error == NULL ? NULL : error->message);
        g_clear_error(&error);
    }
    write_file(folder, "movements/garden-step.json", own);
    write_file(folder, "recipes.json", "{}");
    {
        g_autoptr(thew_catalogue) more = thew_catalogue_load(folder, &error);
        row_true("a file that is no part", more == NULL && strstr(error->message, "recipes.json: no part of a catalogue") != NULL);
        g_clear_error(&error);
    }
    g_autoptr(thew_catalogue) none = thew_catalogue_load("no/such/folder", &error);
    row_true("no folder", none == NULL && g_error_matches(error, THEW_CATALOGUE_ERROR, THEW_CATALOGUE_ERROR_FOLDER));
    rows_end(6);
    static const char *const name[] = { "movements/garden-step.json", "recipes.json", "movements", "" };
    for (size_t i = 0; i < G_N_ELEMENTS(name); i++) {
        g_autofree char *path = g_build_filename(folder, name[i], NULL);
        g_remove(path);
    }
    free(new_id);
    free(own);
    free(wrong);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(covers_every_area),
        cmocka_unit_test(embeds_the_whole_folder),
        cmocka_unit_test(is_ordered_and_linked),
        cmocka_unit_test(reads_what_the_file_says),
        cmocka_unit_test(settings_are_close_together),
        cmocka_unit_test(cautions_follow_from_what_is_done),
        cmocka_unit_test(cautions_cite_safety_rules),
        cmocka_unit_test(names_every_mistake),
        cmocka_unit_test(refuses_what_is_no_json),
        cmocka_unit_test(names_several_mistakes_at_once),
        cmocka_unit_test(minds_every_key),
        cmocka_unit_test(takes_a_studios_additions),
    };
    return cmocka_run_group_tests(tests, load_built_in, free_built_in);
}
