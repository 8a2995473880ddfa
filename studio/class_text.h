// class_text.h: plans of classes and of blocks as the texts that the store keeps (JSON), made and read in one place.
// Knows their form. Leaves to others: whether a plan is a good one (compose_class.h, plan_block.h).
#ifndef THEW_STUDIO_CLASS_TEXT_H
#define THEW_STUDIO_CLASS_TEXT_H

#include <glib.h>
#include <stdbool.h>

#include "catalogue/catalogue.h"
#include "studio/held.h"

typedef struct {
    const char *goal;
    int weight; // 1 to THEW_CLASS_WEIGHT_MAX (compose_class.h)
} thew_wish_goal;

/// What a class was asked to be, as people say it; compose_class.h has the whole.
typedef struct {
    const thew_wish_goal *goal; // [goal_count]
    guint goal_count;
    double minutes;
    unsigned positions; // bit 1 << thew_position
    unsigned kinds;     // bit 1 << thew_implement_kind
    int sets;
    int rest_s;
    const char *const *fixed, *const *excluded; // NULL-terminated exercises; never NULL
} thew_kept_wishes;

/// One exercise of a class, in order.
typedef struct {
    const char *exercise, *variant;
    int sets, rest_s;
} thew_kept_slot;

typedef struct {
    thew_kept_wishes wishes;
    const thew_kept_slot *slot; // [slot_count]
    guint slot_count;
} thew_kept_plan;

#define THEW_BLOCK_WEEKDAYS_MAX 7
typedef struct {
    int sessions_a_week;
    int weekday[THEW_BLOCK_WEEKDAYS_MAX]; // 1 Monday to 7 Sunday (ISO 8601), rising
    int weekday_count;                    // 0: as it comes
    const char *class;                    // NULL: none in particular
    int sets;                             // of each exercise
    int easier_every_weeks;               // 0: none
} thew_block_plan;

/// The text that is kept: the same for the same plan, byte by byte. Newly allocated.
char *thew_class_text(const thew_kept_plan *plan);
/// Read it.
///   held      what the plan points at from then on (held.h)
///   returns   false if it is none (damaged, or of a later version); `plan` is then empty
bool thew_class_text_read(const char *text, GPtrArray *held, thew_kept_plan *plan);

char *thew_block_text(const thew_block_plan *plan);
bool thew_block_text_read(const char *text, GPtrArray *held, thew_block_plan *plan);

#endif
