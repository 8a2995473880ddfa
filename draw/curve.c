// curve.c: see curve.h.
#include "draw/curve.h"

#include <glib.h>
#include <math.h>

#include "draw/plot.h"

#define POINTS 91
#define STRETCH_MAX 3.0
#define Z80 1.2815515655446004 // 80 % of a normal lies within this many SD

typedef struct {
    double x[POINTS], y[POINTS], low[POINTS], high[POINTS];
} line;

// As far as three times the rest length, or as far as somebody has measured.
static double furthest(const thew_curve_plot *plot)
{
    double stretch = STRETCH_MAX;
    for (int r = 0; r < plot->reading_count; r++)
        stretch = fmax(stretch, plot->reading[r].length_m / plot->band->rest_length_m);
    return stretch;
}

static void fill(const thew_curve_plot *plot, line *l)
{
    double span = furthest(plot) - 1;
    for (int p = 0; p < POINTS; p++) {
        double stretch = 1 + p * (span / (POINTS - 1));
        double sd = p > 0 ? thew_band_force_ln_sd(plot->band, stretch) : 0;
        l->x[p] = stretch * plot->band->rest_length_m;
        l->y[p] = thew_band_force_n(plot->band, stretch);
        l->low[p] = l->y[p] * exp(-Z80 * sd);
        l->high[p] = l->y[p] * exp(Z80 * sd);
    }
}

char *thew_curve_svg(const thew_curve_plot *plot)
{
    const char *label = plot->label && *plot->label ? plot->label : "band";
    line l;
    fill(plot, &l);
    double at_double_n = thew_band_force_n(plot->band, 2), sd = thew_band_force_ln_sd(plot->band, 2);
    g_autofree char *title = g_strdup_printf("Force of the band \"%s\"", label);
    g_autofree char *description =
        g_strdup_printf("Force against length, from %.2f m at rest to %.2f m, with the range that holds the true force 80 times in "
                        "100. At twice the rest "
                        "length it is %.1f newtons, from %.1f to %.1f. It rests on %d reading%s.",
                        plot->band->rest_length_m, l.x[POINTS - 1], at_double_n, at_double_n * exp(-Z80 * sd),
                        at_double_n * exp(Z80 * sd), plot->reading_count, plot->reading_count == 1 ? "" : "s");
    thew_plot drawn = { .title = title,
                        .description = description,
                        .x_name = "length, m",
                        .y_name = "force, N (shaded: 80 in 100)",
                        .series = { { .name = label, .x = l.x, .y = l.y, .low = l.low, .high = l.high, .count = POINTS } },
                        .series_count = 1,
                        .prefix = plot->prefix ? plot->prefix : "curve",
                        .width_px = plot->width_px };
    // The last ones, where there are more than a plot has room for: they are the band as it is now.
    int first = MAX(plot->reading_count - THEW_PLOT_MARKS_MAX, 0);
    for (int r = first; r < plot->reading_count; r++)
        drawn.mark[drawn.mark_count++] =
            (thew_plot_mark){ plot->reading[r].length_m, plot->reading[r].force_n, r == first ? "readings" : NULL };
    return thew_plot_svg(&drawn);
}
