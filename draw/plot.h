// plot.h: a plot of a few lines over a number, as SVG: readable with blurred vision, in light and dark, in black and white.
// Knows axes, lines told apart by dash and name as well as colour, marks, shaded spread. Leaves to others: where numbers come from,
// how an SVG is written (svg.h).
#ifndef THEW_PLOT_H
#define THEW_PLOT_H

#include <glib.h>

#define THEW_PLOT_SERIES_MAX 4
#define THEW_PLOT_MARKS_MAX 12

typedef struct {
    const char *name;         // stands at the line's end; in a narrow plot above it
    const double *x, *y;      // [count], x rising; where one is not finite there is a gap
    const double *low, *high; // [count] spread around y; both or neither
    int count;
} thew_plot_series;

typedef struct {
    double x, y;
    const char *text; // NULL: a dot without a word
} thew_plot_mark;

typedef struct {
    const char *title;           // what is seen, as a sentence
    const char *description;     // the same for those who cannot see it; NULL: the title
    const char *x_name, *y_name; // with units
    thew_plot_series series[THEW_PLOT_SERIES_MAX];
    int series_count;
    thew_plot_mark mark[THEW_PLOT_MARKS_MAX];
    int mark_count;
    const char *x_left, *x_right; // words under the ends of the x axis in place of its numbers; both or neither
    const char *prefix;           // of ids; see svg.h
    double width_px;              // 0: 800
} thew_plot;

/// The plot as a complete SVG document. Newly allocated.
char *thew_plot_svg(const thew_plot *plot);

/// A step of 1, 2 or 5 times a power of ten that cuts `span` into at most `most` parts.
double thew_plot_step(double span, int most);

#endif
