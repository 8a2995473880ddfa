// catalogue.c: puts the parts together and finds them again. See catalogue.h.
#include "parts.h"

enum { FAULTS_SHOWN_MAX = 100 };

void *thew_catalogue_keep(thew_catalogue *catalogue, void *block)
{
    if (block != NULL) g_ptr_array_add(catalogue->owned, block);
    return block;
}

void *thew_catalogue_own(thew_catalogue *catalogue, size_t count, size_t size)
{
    return thew_catalogue_keep(catalogue, g_malloc0_n(count, size));
}

void thew_catalogue_put(GHashTable *by_id, const char *id, void *thing, thew_json at)
{
    if (id == NULL) return;
    if (g_hash_table_contains(by_id, id))
        thew_json_fault(&at, "must be an id that nothing else of its kind has", "\"%s\" is taken already", id);
    else
        g_hash_table_insert(by_id, (char *)id, thing);
}

static thew_catalogue *new_catalogue(void)
{
    thew_catalogue *c = g_new0(thew_catalogue, 1);
    c->document = g_ptr_array_new_with_free_func((GDestroyNotify)json_decref);
    c->owned = g_ptr_array_new_with_free_func(g_free);
    GPtrArray **array[] = { &c->exercise, &c->goal, &c->muscle, &c->caution, &c->question };
    for (size_t i = 0; i < G_N_ELEMENTS(array); i++)
        *array[i] = g_ptr_array_new();
    GHashTable **table[] = { &c->exercise_by_id, &c->variant_by_id,  &c->goal_by_id,    &c->muscle_by_id,
                             &c->caution_by_id,  &c->settings_by_id, &c->question_by_id };
    for (size_t i = 0; i < G_N_ELEMENTS(table); i++)
        *table[i] = g_hash_table_new(g_str_hash, g_str_equal);
    return c;
}

void thew_catalogue_free(thew_catalogue *catalogue)
{
    if (catalogue == NULL) return;
    GPtrArray *array[] = { catalogue->exercise, catalogue->goal,  catalogue->muscle,  catalogue->caution,
                           catalogue->question, catalogue->owned, catalogue->document };
    for (size_t i = 0; i < G_N_ELEMENTS(array); i++)
        g_ptr_array_unref(array[i]);
    GHashTable *table[] = { catalogue->exercise_by_id, catalogue->variant_by_id,  catalogue->goal_by_id,    catalogue->muscle_by_id,
                            catalogue->caution_by_id,  catalogue->settings_by_id, catalogue->question_by_id };
    for (size_t i = 0; i < G_N_ELEMENTS(table); i++)
        g_hash_table_unref(table[i]);
    g_free(catalogue);
}

// Exercises refer to the tables, so the tables are read first.
static const struct {
    const char *name; // the file's, or its folder's
    void (*read)(thew_catalogue *, const thew_json *);
} part[] = {
    {"goals.json",      thew_tables_read_goals   },
    { "muscles.json",   thew_tables_read_muscles },
    { "cautions.json",  thew_tables_read_cautions},
    { "settings.json",  thew_tables_read_settings},
    { "screening.json", thew_screening_read_file },
    { "movements",      thew_exercise_read       },
};

// Which part a file is, by its name; -1 for none.
static int part_of(const char *name)
{
    g_autofree char *base = g_path_get_basename(name), *path = g_path_get_dirname(name), *folder = g_path_get_basename(path);
    for (int i = 0; i < (int)G_N_ELEMENTS(part); i++)
        if (g_str_equal(part[i].name, base) || (g_str_equal(part[i].name, folder) && g_str_has_suffix(base, ".json"))) return i;
    return -1;
}

static void read_file(thew_catalogue *catalogue, const thew_catalogue_file *file, int kind, GPtrArray *fault)
{
    thew_json_file opened = { .name = file->name, .fault = fault };
    json_t *root = thew_json_parse(&opened, file->bytes, file->size);
    if (root == NULL) return;
    g_ptr_array_add(catalogue->document, root);
    thew_json top = thew_json_top(&opened, root);
    part[kind].read(catalogue, &top);
}

static int by_id(const void *a, const void *b)
{
    return strcmp((*(thew_exercise *const *)a)->id, (*(thew_exercise *const *)b)->id);
}

// A goal that nothing serves would be offered and then disappoint.
static void check_goals_served(const thew_catalogue *catalogue, GPtrArray *fault)
{
    g_autoptr(GHashTable) served = g_hash_table_new(NULL, NULL);
    for (guint i = 0; i < catalogue->exercise->len; i++) {
        const thew_exercise *exercise = catalogue->exercise->pdata[i];
        for (size_t j = 0; j < exercise->goal_count; j++)
            g_hash_table_add(served, (void *)exercise->goal[j]);
    }
    for (guint i = 0; i < catalogue->goal->len; i++)
        if (!g_hash_table_contains(served, catalogue->goal->pdata[i]))
            g_ptr_array_add(fault,
                            g_strdup_printf("goals.json: goals[%u].id: \"%s\" is served by no exercise; an exercise must name it",
                                            i, ((thew_goal *)catalogue->goal->pdata[i])->id));
}

static void report(GPtrArray *fault, GError **error)
{
    guint left_out = 0;
    if (fault->len > FAULTS_SHOWN_MAX) {
        left_out = fault->len - FAULTS_SHOWN_MAX;
        g_ptr_array_set_size(fault, FAULTS_SHOWN_MAX);
    }
    if (left_out > 0) g_ptr_array_add(fault, g_strdup_printf("and %u more", left_out));
    g_ptr_array_add(fault, NULL);
    g_autofree char *lines = g_strjoinv("\n", (char **)fault->pdata);
    g_set_error_literal(error, THEW_CATALOGUE_ERROR, THEW_CATALOGUE_ERROR_DATA, lines);
}

thew_catalogue *thew_catalogue_load_files(const thew_catalogue_file *file, size_t file_count, GError **error)
{
    g_autoptr(thew_catalogue) catalogue = new_catalogue();
    g_autoptr(GPtrArray) fault = g_ptr_array_new_with_free_func(g_free);
    for (int kind = 0; kind < (int)G_N_ELEMENTS(part); kind++)
        for (size_t i = 0; i < file_count; i++)
            if (part_of(file[i].name) == kind) read_file(catalogue, &file[i], kind, fault);
    for (size_t i = 0; i < file_count; i++)
        if (part_of(file[i].name) < 0)
            g_ptr_array_add(fault,
                            g_strdup_printf("%s: no part of a catalogue; the files are goals.json, muscles.json, cautions.json, "
                                            "settings.json, "
                                            "screening.json and movements/*.json",
                                            file[i].name));
    if (fault->len == 0) check_goals_served(catalogue, fault);
    if (fault->len > 0) {
        report(fault, error);
        return NULL;
    }
    g_ptr_array_sort(catalogue->exercise, by_id);
    return g_steal_pointer(&catalogue);
}

static const void *list(const GPtrArray *array, size_t *count)
{
    *count = array->len;
    return array->pdata;
}

const thew_exercise *const *thew_catalogue_exercises(const thew_catalogue *catalogue, size_t *count)
{
    return list(catalogue->exercise, count);
}

const thew_goal *const *thew_catalogue_goals(const thew_catalogue *catalogue, size_t *count)
{
    return list(catalogue->goal, count);
}

const thew_muscle *const *thew_catalogue_muscles(const thew_catalogue *catalogue, size_t *count)
{
    return list(catalogue->muscle, count);
}

const thew_caution *const *thew_catalogue_cautions(const thew_catalogue *catalogue, size_t *count)
{
    return list(catalogue->caution, count);
}

const thew_exercise *thew_catalogue_exercise(const thew_catalogue *catalogue, const char *id)
{
    return g_hash_table_lookup(catalogue->exercise_by_id, id);
}

const thew_variant *thew_catalogue_variant(const thew_catalogue *catalogue, const char *id)
{
    return g_hash_table_lookup(catalogue->variant_by_id, id);
}

const thew_goal *thew_catalogue_goal(const thew_catalogue *catalogue, const char *id)
{
    return g_hash_table_lookup(catalogue->goal_by_id, id);
}

const thew_muscle *thew_catalogue_muscle(const thew_catalogue *catalogue, const char *id)
{
    return g_hash_table_lookup(catalogue->muscle_by_id, id);
}

const thew_implement *thew_variant_implement(const thew_variant *variant, const char *id)
{
    for (size_t i = 0; i < variant->implement_count; i++)
        if (g_str_equal(variant->implement[i].id, id)) return &variant->implement[i];
    return NULL;
}

const thew_setting *thew_implement_setting(const thew_implement *implement, const char *id)
{
    for (size_t i = 0; i < implement->setting_count; i++)
        if (g_str_equal(implement->setting[i].id, id)) return &implement->setting[i];
    return NULL;
}

thew_resistance thew_implement_resistance(const thew_implement *implement, const thew_setting *setting, const thew_band *band,
                                          double piece_kg)
{
    thew_joint joint = thew_action_joint(implement->movement.effort[0].action);
    bool each_arm_its_own = joint == THEW_JOINT_SHOULDER || joint == THEW_JOINT_ELBOW;
    thew_resistance resistance = { .mass_kg = each_arm_its_own ? piece_kg : implement->pieces * piece_kg };
    if (band != NULL) {
        resistance.band = band;
        resistance.strand = setting->strand;
        resistance.anchor_dx_h = setting->anchor_dx_h;
    }
    return resistance;
}

const thew_movement *thew_catalogue_movement(const thew_variant *variant)
{
    return variant->implement_count == 0 ? NULL : &variant->implement[0].movement;
}

const char *thew_position_id(thew_position position)
{
    return thew_position_word[position];
}
const char *thew_implement_kind_id(thew_implement_kind kind)
{
    return thew_implement_word[kind];
}
const char *thew_region_id(thew_region region)
{
    return thew_region_word[region];
}
