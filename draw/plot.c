// plot.c: see plot.h.
#include "draw/plot.h"

#include <math.h>

#include "draw/svg.h"

#define PLOT_HIGH 338.0 // of the lines' own ground
#define LEFT 92.0
#define BESIDE_LEAST 120.0 // room for the lines' names
#define BESIDE_MOST 260.0
#define BOTTOM 78.0
#define EDGE 16.0
#define TICKS_MOST 6
#define MARK_R 7.0

typedef struct {
    thew_svg svg;
    const thew_plot *plot;
    double x_low, x_high, y_low, y_high; // numbers
    double left, right, top, bottom;     // px
    double key_top;                      // of the lines' names above a narrow plot
    bool narrow;
} canvas;

double thew_plot_step(double span, int most)
{
    double step = pow(10, floor(log10(span / most)));
    static const double factor[] = { 1, 2, 5, 10 };
    for (gsize f = 0; f < G_N_ELEMENTS(factor); f++)
        if (span / (step * factor[f]) <= most) return step * factor[f];
    return step * 20;
}

static double at_x(const canvas *c, double x)
{
    return c->left + (x - c->x_low) / (c->x_high - c->x_low) * (c->right - c->left);
}

static double at_y(const canvas *c, double y)
{
    return c->bottom - (y - c->y_low) / (c->y_high - c->y_low) * (c->bottom - c->top);
}

static void number_text(char text[32], double value, double step)
{
    double shown = fabs(value) < step * 1e-6 ? 0 : value;
    char format[8];
    g_snprintf(format, sizeof format, "%%.%df", CLAMP((int)ceil(-log10(step) - 1e-9), 0, 6));
    bool plain = step < 1e6 && step > 1e-6;
    g_ascii_formatd(text, 32, plain ? format : "%.6g", shown);
}

static bool is_there(const thew_plot_series *series, int i)
{
    bool spread = series->low && series->high;
    return isfinite(series->x[i]) && isfinite(series->y[i]) && (!spread || (isfinite(series->low[i]) && isfinite(series->high[i])));
}

static void take_in(canvas *c, double x, double low, double high)
{
    c->x_low = fmin(c->x_low, x);
    c->x_high = fmax(c->x_high, x);
    c->y_low = fmin(c->y_low, low);
    c->y_high = fmax(c->y_high, high);
}

// Some room where there is none, whatever the size of the numbers.
static double apart_from(double low)
{
    return low + fmax(1, fabs(low) * 1e-6);
}

static void measure_numbers(canvas *c)
{
    c->x_low = INFINITY;
    c->x_high = -INFINITY;
    c->y_low = c->y_high = 0; // zero belongs in the picture
    for (int s = 0; s < c->plot->series_count; s++) {
        const thew_plot_series *series = &c->plot->series[s];
        for (int i = 0; i < series->count; i++)
            if (is_there(series, i))
                take_in(c, series->x[i], series->low ? series->low[i] : series->y[i],
                        series->high ? series->high[i] : series->y[i]);
    }
    for (int m = 0; m < c->plot->mark_count; m++) {
        const thew_plot_mark *mark = &c->plot->mark[m];
        if (isfinite(mark->x) && isfinite(mark->y)) take_in(c, mark->x, mark->y, mark->y);
    }
    if (!isfinite(c->x_low)) c->x_low = c->x_high = 0;
    if (!(c->x_high > c->x_low)) c->x_high = apart_from(c->x_low);
    if (!(c->y_high > c->y_low)) c->y_high = apart_from(c->y_low);
    double step = thew_plot_step(c->y_high - c->y_low, TICKS_MOST);
    c->y_high = ceil(c->y_high / step) * step;
    c->y_low = floor(c->y_low / step) * step;
}

static double beside(const thew_plot *plot)
{
    double widest = BESIDE_LEAST;
    for (int s = 0; s < plot->series_count; s++)
        widest = fmax(widest, thew_svg_text_width(plot->series[s].name, THEW_SVG_TEXT, false) + 26);
    return fmin(widest, BESIDE_MOST);
}

static void measure_page(canvas *c, double width)
{
    c->narrow = width < THEW_SVG_NARROW;
    double head = thew_svg_title(NULL, width, c->plot->title);
    c->key_top = head;
    if (c->narrow) head += c->plot->series_count * THEW_SVG_LINE;
    c->left = c->narrow ? 64 : LEFT;
    c->right = width - (c->narrow ? 24 : beside(c->plot));
    g_autoptr(GPtrArray) name = thew_svg_wrap(c->plot->y_name, width - 2 * EDGE, THEW_SVG_TEXT, false);
    c->top = head + 32 + (name->len - 1) * THEW_SVG_LINE; // below the name of the y axis
    c->bottom = c->top + PLOT_HIGH;
}

static void draw_y_axis(canvas *c)
{
    double step = thew_plot_step(c->y_high - c->y_low, TICKS_MOST);
    for (double y = c->y_low; y <= c->y_high + step / 2; y += step) {
        char text[32];
        number_text(text, y, step);
        thew_svg_line(&c->svg, fabs(y) < step / 2 ? "axis" : "grid", c->left, at_y(c, y), c->right, at_y(c, y));
        thew_svg_text(&c->svg, "", THEW_SVG_END, c->left - 12, at_y(c, y) + 6, text);
    }
    g_autoptr(GPtrArray) name = thew_svg_wrap(c->plot->y_name, c->svg.width - 2 * EDGE, THEW_SVG_TEXT, false);
    for (guint l = 0; l < name->len; l++)
        thew_svg_text(&c->svg, "", THEW_SVG_START, EDGE, c->top - 18 - (name->len - 1 - l) * THEW_SVG_LINE, name->pdata[l]);
}

static void draw_x_numbers(canvas *c, double base)
{
    double step = thew_plot_step(c->x_high - c->x_low, c->narrow ? TICKS_MOST - 2 : TICKS_MOST);
    for (double x = ceil(c->x_low / step) * step; x <= c->x_high + step * 1e-6; x += step) {
        char text[32];
        number_text(text, x, step);
        thew_svg_line(&c->svg, "axis", at_x(c, x), c->bottom, at_x(c, x), c->bottom + 7);
        thew_svg_text(&c->svg, "", THEW_SVG_MIDDLE, at_x(c, x), base, text);
    }
}

static void draw_x_axis(canvas *c)
{
    double base = c->bottom + 28;
    if (c->plot->x_left && c->plot->x_right) {
        thew_svg_text(&c->svg, "", THEW_SVG_START, c->narrow ? EDGE : c->left, base, c->plot->x_left);
        thew_svg_text(&c->svg, "", THEW_SVG_END, c->right, base, c->plot->x_right);
    } else {
        draw_x_numbers(c, base);
    }
    thew_svg_text(&c->svg, "", THEW_SVG_MIDDLE, (c->left + c->right) / 2, c->svg.height - EDGE, c->plot->x_name);
}

// Runs of points without a gap: the first of the next run at or after `from`, its end in *end; -1 if there is none.
static int next_run(const thew_plot_series *series, int from, int *end)
{
    while (from < series->count && !is_there(series, from))
        from++;
    if (from >= series->count) return -1;
    for (*end = from; *end < series->count && is_there(series, *end);)
        ++*end;
    return from;
}

static void draw_spread(canvas *c, const thew_plot_series *series, int index)
{
    if (!series->low || !series->high) return;
    g_autoptr(GString) d = g_string_new(NULL);
    for (int end = 0, from; (from = next_run(series, end, &end)) >= 0;) {
        for (int i = from; i < end; i++)
            thew_svg_add(d, i == from ? "M" : "L", at_x(c, series->x[i]), at_y(c, series->high[i]));
        for (int i = end - 1; i >= from; i--)
            thew_svg_add(d, "L", at_x(c, series->x[i]), at_y(c, series->low[i]));
        g_string_append(d, "Z");
    }
    g_autofree char *class_name = g_strdup_printf("b%d", index);
    thew_svg_path(&c->svg, class_name, d->str);
}

static void draw_line(canvas *c, const thew_plot_series *series, int index)
{
    g_autoptr(GString) d = g_string_new(NULL);
    for (int end = 0, from; (from = next_run(series, end, &end)) >= 0;)
        for (int i = from; i < end; i++)
            thew_svg_add(d, i == from ? "M" : "L", at_x(c, series->x[i]), at_y(c, series->y[i]));
    g_autofree char *class_name = g_strdup_printf("line s%d", index);
    thew_svg_path(&c->svg, class_name, d->str);
}

static double end_of_line(const canvas *c, const thew_plot_series *series)
{
    for (int i = series->count - 1; i >= 0; i--)
        if (is_there(series, i)) return at_y(c, series->y[i]);
    return c->bottom;
}

// Names at the lines' ends, moved apart where they would lie on each other.
static void draw_names_beside(canvas *c)
{
    double taken[THEW_PLOT_SERIES_MAX];
    for (int s = 0; s < c->plot->series_count; s++) {
        double y = end_of_line(c, &c->plot->series[s]) + 6;
        for (int again = 0; again < THEW_PLOT_SERIES_MAX; again++)
            for (int t = 0; t < s; t++)
                if (fabs(y - taken[t]) < 22) y = taken[t] + 22;
        taken[s] = y;
        thew_svg_text_within(&c->svg, "", THEW_SVG_START, c->right + 10, y, c->svg.width - c->right - 14, c->plot->series[s].name);
    }
}

// A row for each line, with a piece of it.
static void draw_names_above(canvas *c)
{
    for (int s = 0; s < c->plot->series_count; s++) {
        double y = c->key_top + 8 + s * THEW_SVG_LINE;
        g_autofree char *class_name = g_strdup_printf("line s%d", s);
        thew_svg_line(&c->svg, class_name, EDGE + 2, y - 6, EDGE + 46, y - 6);
        thew_svg_text_within(&c->svg, "", THEW_SVG_START, EDGE + 60, y, c->svg.width - EDGE - 64, c->plot->series[s].name);
    }
}

static void draw_mark(canvas *c, const thew_plot_mark *mark)
{
    if (!isfinite(mark->x) || !isfinite(mark->y)) return;
    double x = at_x(c, mark->x), y = at_y(c, mark->y);
    thew_svg_circle(&c->svg, "mark", x, y, MARK_R);
    if (!mark->text) return;
    // A word over the mark, or below it near the top; it stays on the page and off the axis.
    double beyond = c->svg.width - 8, room = beyond - c->left - 4;
    g_autoptr(GPtrArray) lines = thew_svg_wrap(mark->text, room, THEW_SVG_TEXT, false);
    double widest = 0, above = y - 18 - (lines->len - 1) * THEW_SVG_LINE;
    for (guint l = 0; l < lines->len; l++)
        widest = fmax(widest, thew_svg_text_width(lines->pdata[l], THEW_SVG_TEXT, false));
    double middle = fmax(fmin(x, beyond - widest / 2), c->left + 4 + widest / 2), foot = above > c->top + 10 ? above : y + 34;
    for (guint l = 0; l < lines->len; l++)
        thew_svg_text(&c->svg, "halo", THEW_SVG_MIDDLE, middle, foot + l * THEW_SVG_LINE, lines->pdata[l]);
}

char *thew_plot_svg(const thew_plot *plot)
{
    g_assert(plot->series_count >= 1 && plot->series_count <= THEW_PLOT_SERIES_MAX && plot->mark_count <= THEW_PLOT_MARKS_MAX);
    canvas c = { .plot = plot };
    double width = thew_svg_width(plot->width_px, THEW_SVG_WIDTH);
    measure_numbers(&c);
    measure_page(&c, width);
    thew_svg_begin(&c.svg, width, c.bottom + BOTTOM, plot->prefix ? plot->prefix : "plot", plot->title, plot->description);
    thew_svg_title(&c.svg, width, plot->title);
    draw_y_axis(&c);
    draw_x_axis(&c);
    for (int s = 0; s < plot->series_count; s++)
        draw_spread(&c, &plot->series[s], s);
    for (int s = 0; s < plot->series_count; s++)
        draw_line(&c, &plot->series[s], s);
    for (int m = 0; m < plot->mark_count; m++)
        draw_mark(&c, &plot->mark[m]);
    if (c.narrow)
        draw_names_above(&c);
    else
        draw_names_beside(&c);
    return thew_svg_end(&c.svg);
}
