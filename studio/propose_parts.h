// propose_parts.h: what propose.c and propose_answer.c share: how a load is named, and which of a day's advice stands. For these
// files only.
#ifndef THEW_STUDIO_PROPOSE_PARTS_H
#define THEW_STUDIO_PROPOSE_PARTS_H

#include "studio/propose.h"

/// A load by the names that a diary gives. NULL: the usual variant, body weight, the first setting.
typedef struct {
    const char *variant, *implement, *setting;
} thew_load_names;

/// Whether both mean the same load of an exercise. Of two bands the order does not matter.
bool thew_load_is_same(const thew_exercise *exercise, thew_load_names a, thew_load_names b);

/// The one of a day's advice for an exercise and side that stands: that with a set; else the one that was answered; else the one
/// that is open; else the last that lapsed. NULL if there is none.
const thew_store_advice *thew_advice_standing(const thew_rows *advice, thew_date day, const char *exercise, const char *side);
bool thew_advice_is_for(const thew_store_advice *advice, thew_date day, const char *exercise, const char *side);
bool thew_advice_is(const thew_store_advice *advice, const char *became);
/// The coach said yes or chose otherwise.
bool thew_advice_is_answered(const thew_store_advice *advice);

/// The last override of an advice; NULL.
const thew_store_override *thew_override_of(const thew_rows *overrides, const char *advice);

#endif
