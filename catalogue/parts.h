// parts.h: what the files of the loader share with one another. Nobody outside this folder includes it.
#ifndef THEW_CATALOGUE_PARTS_H
#define THEW_CATALOGUE_PARTS_H

#include "catalogue.h"
#include "json.h"

/// A named list of settings that many implements use.
typedef struct {
    const char *id, *words;
    thew_setting *setting;
    size_t setting_count;
    bool strands; // every setting has a strand: for bands and loops
} thew_settings;

struct thew_catalogue {
    GPtrArray *document; // of json_t: the strings of all structs are borrowed from these
    GPtrArray *owned;    // every block that the structs point at
    GPtrArray *exercise, *goal, *muscle, *caution, *question;
    GHashTable *exercise_by_id, *variant_by_id, *goal_by_id, *muscle_by_id, *caution_by_id, *settings_by_id, *question_by_id;
};

/// Zeroed memory that lives as long as the catalogue.
void *thew_catalogue_own(thew_catalogue *catalogue, size_t count, size_t size);
#define THEW_OWN(catalogue, type, count) ((type *)thew_catalogue_own(catalogue, count, sizeof(type)))
/// Hand over memory from GLib.
void *thew_catalogue_keep(thew_catalogue *catalogue, void *block);
/// Put a thing under its identifier; a fault if that is taken. Nothing happens without an identifier.
void thew_catalogue_put(GHashTable *by_id, const char *id, void *thing, thew_json at);

// tables.c: goals.json, muscles.json, cautions.json, settings.json
void thew_tables_read_goals(thew_catalogue *catalogue, const thew_json *top);
void thew_tables_read_muscles(thew_catalogue *catalogue, const thew_json *top);
void thew_tables_read_cautions(thew_catalogue *catalogue, const thew_json *top);
void thew_tables_read_settings(thew_catalogue *catalogue, const thew_json *top);
/// An array of settings, in settings.json or inside an implement.
void thew_tables_read_setting_list(thew_catalogue *catalogue, const thew_json *array, thew_settings *settings);

// screening.c: screening.json
void thew_screening_read_file(thew_catalogue *catalogue, const thew_json *top);

// exercise.c: one file of movements/
void thew_exercise_read(thew_catalogue *catalogue, const thew_json *top);

/// A variant while it is being read: what it does not say itself, it has from its exercise.
typedef struct {
    thew_catalogue *catalogue;
    const thew_json *exercise;
    const thew_json *variant; // the same as `exercise` for the usual variant
    thew_variant *out;
} thew_variant_reading;
thew_json thew_variant_field(const thew_variant_reading *reading, const char *key);

// rules.c: what a schema cannot say
void thew_rules_check_variant(const thew_variant_reading *reading);
void thew_rules_check_implement(const thew_implement *implement, const thew_json *at);
/// The cautions that hold for an implement: general ones that match, and those named.
void thew_rules_gather_cautions(thew_catalogue *catalogue, const thew_variant *variant, thew_implement *implement,
                                const GPtrArray *named);

extern const char *const thew_position_word[], *const thew_implement_word[], *const thew_region_word[];

#endif
