// catalogue.h: which movements there are: exercises, their easier and harder variants, how resistance is held and anchored, and
// what they are good for, as data. Knows the files (movements/*.json, goals.json, muscles.json, cautions.json, settings.json, screening.json),
// their meaning and every rule they must keep. Leaves to others: what a movement asks of a body (engine/demand.h), whose body (the
// studio), which kit somebody owns.
//
// A catalogue never changes after loading, so threads may share it. Everything it returns is its own and lives as long as it does.
// Files hold degrees and words; the structs hold radians and the engine's types.
#ifndef THEW_CATALOGUE_H
#define THEW_CATALOGUE_H

#include <glib.h>
#include <stdbool.h>

#include "engine/demand.h"
#include "tools/embedded.h"

typedef enum { THEW_SEATED, THEW_STANDING, THEW_LYING, THEW_POSITION_COUNT } thew_position;

/// What is added to the body's own weight, by how it resists.
typedef enum {
    THEW_IMPLEMENT_BODY,     // nothing
    THEW_IMPLEMENT_BAND,     // flat strip
    THEW_IMPLEMENT_LOOP,     // closed loop, held between two limbs; its length is that of the loop laid flat
    THEW_IMPLEMENT_DUMBBELL, // in the hand
    THEW_IMPLEMENT_CUFF,     // strapped to the limb
    THEW_IMPLEMENT_COUNT
} thew_implement_kind;

/// What a person wants to be able to do.
typedef struct {
    const char *id, *name, *words;
} thew_goal;

typedef enum { THEW_REGION_LEGS, THEW_REGION_TRUNK, THEW_REGION_ARMS, THEW_REGION_COUNT } thew_region;

typedef struct {
    const char *id, *name; // anatomical name
    thew_region region;
} thew_muscle;

typedef enum { THEW_BEFORE_SET, THEW_DURING_SET } thew_caution_when;

/// A warning in plain words, with the safety rules it follows from.
typedef struct {
    const char *id, *words;
    thew_caution_when when;
    bool confirm;            // to be confirmed before the set may start
    const char *const *rule; // [rule_count], ids of the safety rules ("E01")
    size_t rule_count;
    bool named_only;           // holds only for exercises that name it; else for all that match the three conditions below
    unsigned implements;       // bit 1 << thew_implement_kind; all bits for any
    unsigned positions;        // bit 1 << thew_position; all bits for any
    double shoulder_above_rad; // only where the shoulder goes beyond this angle; 0 for no such condition
} thew_caution;

/// One way to make the same implement harder or easier that a person can find again: a rung of the ladder.
typedef struct {
    const char *id, *words;
    thew_strand strand; // all-zero without a band
    double anchor_dx_h;
} thew_setting;

/// One way to add resistance to a variant.
typedef struct {
    const char *id; // unique within the variant
    thew_implement_kind kind;
    int pieces;               // equal ones needed at once: 2 for a dumbbell in each hand, 0 for body weight
    const char *words;        // how it is held or worn
    const char *anchor_words; // where its other end is; NULL without a band
    double stretch_max;       // length / rest length not to be passed (safety rule E04); 0 without a band
    thew_movement movement;   // complete: what the engine asks for
    const thew_setting *setting;
    size_t setting_count;               // at least 1
    const thew_caution *const *caution; // [caution_count]: everything to be said, before the set first
    size_t caution_count;
} thew_implement;

typedef struct thew_exercise thew_exercise;

/// One way to do an exercise.
typedef struct thew_variant {
    const char *id, *name;
    const thew_exercise *exercise;
    const struct thew_variant *easier, *harder; // its neighbours; NULL at the ends
    thew_position position;
    bool unilateral; // done a side at a time
    thew_tempo tempo;
    const char *const *set_up; // [set_up_count], sentences
    size_t set_up_count;
    const char *const *cue; // [cue_count], short, said while moving
    size_t cue_count;
    const char *breathing;
    const thew_implement *implement;
    size_t implement_count; // at least 1
} thew_variant;

/// A family of variants with one prime mover: capacity is estimated for the exercise, demand for its variants.
struct thew_exercise {
    const char *id, *name;
    const thew_variant *usual;          // the one that carries the exercise's own id
    const thew_variant *const *variant; // [variant_count], easiest first
    size_t variant_count;
    thew_kind kind;
    thew_action prime_action;
    const thew_goal *const *goal; // [goal_count]
    size_t goal_count;
    const thew_muscle *const *prime_mover;
    size_t prime_mover_count;
    const thew_muscle *const *synergist;
    size_t synergist_count;
};

typedef struct thew_catalogue thew_catalogue;

/// One file in memory, named as in the folder ("movements/seated-curl.json", "goals.json").
typedef thew_embedded thew_catalogue_file;

/// Errors of loading. The message holds a line for every fault found (up to 100): file, place in the JSON, what is wrong, what
/// would be right.
#define THEW_CATALOGUE_ERROR (g_quark_from_static_string("thew-catalogue-error"))
typedef enum {
    THEW_CATALOGUE_ERROR_FOLDER, // could not be read
    THEW_CATALOGUE_ERROR_DATA,   // was read, and is wrong
} thew_catalogue_error;

/// The catalogue that is built into the program, and what a studio has added to it.
///   additions   a folder laid out like the built-in one, any part of which may be absent; NULL for none
///   returns     NULL with an error if anything at all is wrong: a catalogue is whole or not there
thew_catalogue *thew_catalogue_load(const char *additions, GError **error);
/// A folder that is a catalogue by itself.
thew_catalogue *thew_catalogue_load_folder(const char *folder, GError **error);
/// The same from files in memory, which are copied.
///   file   [file_count]
thew_catalogue *thew_catalogue_load_files(const thew_catalogue_file *file, size_t file_count, GError **error);
void thew_catalogue_free(thew_catalogue *catalogue);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_catalogue, thew_catalogue_free)

/// The files built into the program.
const thew_catalogue_file *thew_catalogue_embedded(size_t *file_count);

/// Everything there is, in the order of the identifiers (goals, muscles and cautions: of their files).
const thew_exercise *const *thew_catalogue_exercises(const thew_catalogue *catalogue, size_t *count);
const thew_goal *const *thew_catalogue_goals(const thew_catalogue *catalogue, size_t *count);
const thew_muscle *const *thew_catalogue_muscles(const thew_catalogue *catalogue, size_t *count);
const thew_caution *const *thew_catalogue_cautions(const thew_catalogue *catalogue, size_t *count);

/// By identifier; NULL if there is none.
const thew_exercise *thew_catalogue_exercise(const thew_catalogue *catalogue, const char *id);
const thew_variant *thew_catalogue_variant(const thew_catalogue *catalogue, const char *id);
const thew_goal *thew_catalogue_goal(const thew_catalogue *catalogue, const char *id);
const thew_muscle *thew_catalogue_muscle(const thew_catalogue *catalogue, const char *id);
/// By identifier within a variant or an implement; NULL if there is none.
const thew_implement *thew_variant_implement(const thew_variant *variant, const char *id);
const thew_setting *thew_implement_setting(const thew_implement *implement, const char *id);

/// What the engine calls a resistance: an implement in one of its settings.
///   band       what stretches; NULL unless the implement is a band or a loop
///   piece_kg   mass of one piece; 0 unless it is a dumbbell or a cuff. Where legs or trunk do the work they bear all pieces, where
///              arms do each bears its own
thew_resistance thew_implement_resistance(const thew_implement *implement, const thew_setting *setting, const thew_band *band,
                                          double piece_kg);

/// The movement of a variant's first implement: the one to draw. For demand use the implement's own, since bands and weights are
/// held at different places.
const thew_movement *thew_catalogue_movement(const thew_variant *variant);

/// Words of the data files: "seated", "band", "legs".
const char *thew_position_id(thew_position position);
const char *thew_implement_kind_id(thew_implement_kind kind);
const char *thew_region_id(thew_region region);

#endif
