// strength_of.h: one exercise and side of a person over months: the smoothed strength with its interval, and every set as a point.
// Knows how a diary becomes a line and a sentence about it. Leaves to others: the drawing (draw/strength.h takes what is here as it
// stands).
#ifndef THEW_STUDIO_STRENGTH_OF_H
#define THEW_STUDIO_STRENGTH_OF_H

#include "draw/strength.h"
#include "studio/advise.h"
#include "studio/know.h"

/// A set at the capacity that it implies.
typedef struct {
    const char *record; // NULL from files
    const char *label;
    thew_ended ended;
    double seconds;
    double percent; // of the first estimate; all but failures are at least that
} thew_strength_point;

/// The line of one track. Owns everything.
typedef struct {
    const thew_exercise *exercise;
    thew_side side;
    GArray *smoothed, *filtered; // thew_strength_estimate, ln capacity, days rising: the days on which anything was recorded, from
                                 // the first set on
    GArray *set;                 // thew_strength_set, days rising
    GArray *point;               // thew_strength_point, beside `set`
    GArray *heat_day, *jump_day; // thew_day
    char *sentence;              // real change or noise
    GStringChunk *words;
} thew_strength;

/// From a participant, as far as it is known until a day.
///   record     [participant->entry->len] identifiers, or NULL
///   returns    NULL if there is no such exercise or side on record, or nothing could be computed
thew_strength *thew_strength_of(const thew_catalogue *catalogue, const thew_participant *participant, const char *const *record,
                                const char *exercise, thew_side side, thew_day until);
/// The same of a stored person.
///   returns   THEW_DONE, THEW_ABSENT (the person; the sentence says so if there is no set of it), THEW_UNABLE
thew_verdict thew_studio_strength(thew_studio *studio, const char *person, const char *exercise, thew_side side,
                                  thew_strength **strength, thew_refusal *refusal);
void thew_strength_free(thew_strength *strength);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_strength, thew_strength_free)

/// ln capacity as per cent of the first estimate.
double thew_strength_percent(const thew_strength *strength, double ln_capacity);

/// What draw/strength.h wants; points into `strength`, and `title` is kept as given.
thew_strength_plot thew_strength_plot_of(const thew_strength *strength, const char *title, double width_px);

#endif
