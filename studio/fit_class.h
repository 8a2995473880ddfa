// fit_class.h: a class for each who takes part: people by slots, in each cell what they take and what to expect.
// Knows a person's limits, kit and advice, and which variant is possible under them. Leaves to others: the advice (advise.h), the
// class (keep_class.h), how a matrix is shown.
#ifndef THEW_STUDIO_FIT_CLASS_H
#define THEW_STUDIO_FIT_CLASS_H

#include "studio/class_text.h"
#include "studio/participant.h"
#include "studio/studio.h"

typedef enum {
    THEW_CELL_FITS,
    THEW_CELL_EASIER_VARIANT,
    THEW_CELL_HARDER_VARIANT,
    THEW_CELL_NOTHING_FITS, // the kit has nothing for it
    THEW_CELL_OFF_LIMITS    // every variant is
} thew_cell_state;
/// "fits", "easier_variant", "harder_variant", "nothing_fits", "off_limits".
const char *thew_cell_state_word(thew_cell_state state);

typedef struct {
    thew_side side;
    const char *label;
    double window; // chance that the set ends in the window
    double goal_s;
} thew_cell_side;

typedef struct {
    thew_cell_state state;
    const char *label;   // what to take; of both sides, where they differ: "red (left), blue (right)"; "" if nothing
    const char *variant; // the one to do; NULL if none
    thew_cell_side side[2];
    guint side_count;  // 1, or 2 where each side works alone; 0 if nothing
    const char *words; // a sentence
} thew_fit_cell;

typedef struct {
    const char *person, *called;
    const thew_fit_cell *cell; // [slot_count]
} thew_fit_person;

typedef struct {
    const char *exercise, *variant, *name;
} thew_fit_slot;

typedef struct {
    const char *class; // NULL: not kept
    thew_day day;
    const thew_fit_slot *slot; // [slot_count]
    guint slot_count;
    const thew_fit_person *person; // [person_count]
    guint person_count;
    GPtrArray *held; // what holds the texts
} thew_class_fits;
void thew_class_fits_free(thew_class_fits *fits);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_class_fits, thew_class_fits_free)

/// The latest version of a class, for these people.
///   person    NULL-terminated identifiers; NULL or none: everybody who has not left
///   day       THEW_NO_DAY: today
///   verdict   THEW_ABSENT (class, or a person)
thew_verdict thew_fit_class(thew_studio *studio, const char *class, const char *const *person, thew_day day, thew_class_fits **fits,
                            thew_refusal *refusal);
/// The same for slots that are not kept yet.
thew_verdict thew_fit_slots(thew_studio *studio, const thew_kept_slot *slot, guint slot_count, const char *const *person,
                            thew_day day, thew_class_fits **fits, thew_refusal *refusal);

#endif
