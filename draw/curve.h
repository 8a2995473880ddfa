// curve.h: the force of a band against its length, with its error and the readings that it rests on, as SVG.
// Knows which part of the curve to show and the sentence for those who cannot see it. Leaves to others: the curve (engine/band.h),
// axes and lines (plot.h).
#ifndef THEW_DRAW_CURVE_H
#define THEW_DRAW_CURVE_H

#include "engine/band.h"

typedef struct {
    const char *label; // the owner's own; NULL: none yet
    const thew_band *band;
    const thew_reading *reading; // [reading_count]; may be none
    int reading_count;
    const char *prefix; // of ids; see svg.h
    double width_px;    // 0: 800
} thew_curve_plot;

/// The plot as a complete SVG document: from the rest length to three times that, or as far as a reading goes. Newly allocated.
char *thew_curve_svg(const thew_curve_plot *plot);

#endif
