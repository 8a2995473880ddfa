// strength.h: the strength plot: one exercise and side over months, with how sure we are and every set that it rests on.
// Knows calendar and scale: ln capacity, shown as per cent of the first estimate, so that equal ratios are equal distances. Leaves
// to others: the estimates (engine/capacity.h), what a set implies (engine/evidence.h).
#ifndef THEW_STRENGTH_PLOT_H
#define THEW_STRENGTH_PLOT_H

#include "engine/capacity.h"

/// A belief about ln capacity on a day.
typedef struct {
    thew_day day;
    double ln_mean, ln_sd;
} thew_strength_estimate;

/// A set at the capacity that it implies: `failure` at that, `symptom` and all others at least at that.
typedef struct {
    thew_day day;
    double ln_capacity;
    thew_ended ended;
} thew_strength_set;

typedef struct {
    const char *title;
    const char *description;                // NULL: made from the numbers
    const thew_strength_estimate *smoothed; // [smoothed_count], days rising; at least one. The first is 100 %
    int smoothed_count;
    const thew_strength_estimate *filtered; // [filtered_count]: as known on the day; may be NULL
    int filtered_count;
    const thew_strength_set *set; // [set_count], days rising
    int set_count;
    const thew_day *heat_day; // [heat_count]
    int heat_count;
    const thew_day *jump_day; // [jump_count]: a sudden change
    int jump_count;
    int gap_days;       // from so many days without a set on, a gap is shown; 0: 21
    const char *prefix; // of ids; see svg.h
    double width_px;    // 0: 800
} thew_strength_plot;

#define THEW_STRENGTH_Z80 1.2815515655446004 // 80 % of a normal lies within this many SD

/// The plot as a complete SVG document. Newly allocated.
char *thew_strength_svg(const thew_strength_plot *plot);

#endif
