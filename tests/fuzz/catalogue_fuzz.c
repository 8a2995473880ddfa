// catalogue_fuzz.c: any bytes as a file of movements/. They are refused with a sentence, or what they make is fit for the engine.
#include <jansson.h>
#include <math.h>
#include <stdint.h>
#include <string.h>

#include "catalogue/catalogue.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

// A catalogue has no goal that nothing serves: only the goals that this file names, if it names any.
static char *goals_of(const char *bytes, size_t size)
{
    json_t *root = json_loadb(bytes, size, 0, NULL), *rows = json_array(), *id;
    size_t i;
    json_array_foreach(json_object_get(root, "goals"), i, id) if (json_is_string(id))
        json_array_append_new(rows, json_pack("{s:O, s:s, s:s}", "id", id, "name", "Goal", "words", "Words."));
    json_t *table = json_pack("{s:o}", "goals", rows);
    char *text = json_dumps(table, 0);
    json_decref(table);
    json_decref(root);
    return text;
}

static void compute(const thew_variant *variant, const thew_implement *implement)
{
    static const thew_band band = { .rest_length_m = 1.5, .a0c10_n = 12, .a0c01_n = 6 };
    const thew_body_model body = thew_body_build((thew_body){ .sex = THEW_SEX_FEMALE });
    bool elastic = implement->kind == THEW_IMPLEMENT_BAND || implement->kind == THEW_IMPLEMENT_LOOP;
    for (size_t i = 0; i < implement->setting_count; i += implement->setting_count / 2 + 1) {
        thew_resistance resistance =
            thew_implement_resistance(implement, &implement->setting[i], elastic ? &band : NULL, elastic ? 0 : 2);
        thew_demand demand;
        thew_status status = thew_demand_of(&implement->movement, &body, &resistance, variant->tempo, &demand);
        if (status < 0 || !isfinite(demand.peak_share) || !(demand.mean_share > 0)) __builtin_trap();
    }
}

static void use(const thew_catalogue *catalogue)
{
    size_t count;
    const thew_exercise *const *exercise = thew_catalogue_exercises(catalogue, &count);
    for (size_t i = 0; i < count; i++)
        for (size_t j = 0; j < exercise[i]->variant_count; j++)
            for (size_t k = 0; k < exercise[i]->variant[j]->implement_count; k++)
                compute(exercise[i]->variant[j], &exercise[i]->variant[j]->implement[k]);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    size_t count;
    const thew_catalogue_file *embedded = thew_catalogue_embedded(&count);
    thew_catalogue_file file[8];
    size_t files = 0;
    char *goals = goals_of((const char *)data, size);
    file[files++] = (thew_catalogue_file){ "goals.json", goals, strlen(goals) };
    file[files++] = (thew_catalogue_file){ "movements/fuzzed.json", (const char *)data, size };
    for (size_t i = 0; i < count; i++)
        if (strchr(embedded[i].name, '/') == NULL && strcmp(embedded[i].name, "goals.json") != 0) file[files++] = embedded[i];
    g_autoptr(GError) error = NULL;
    g_autoptr(thew_catalogue) catalogue = thew_catalogue_load_files(file, files, &error);
    if ((catalogue == NULL) == (error == NULL)) __builtin_trap();
    if (error != NULL && !g_utf8_validate(error->message, -1, NULL)) __builtin_trap();
    if (catalogue != NULL) use(catalogue);
    free(goals);
    return 0;
}
