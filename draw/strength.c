// strength.c: see strength.h.
#include "draw/strength.h"

#include <glib.h>
#include <math.h>

#include "draw/svg.h"

#define PLOT_HIGH 320.0
#define EDGE 16.0
#define LEFT 82.0
#define RIGHT 24.0
#define TICK_APART 40.0 // px between two numbers of the y axis, at least
#define GAP_DAYS 21     // a break after which no load rises steeply (engine/advice.h)
#define STRIP 26.0      // of the heat days
#define DOT_R 5.0
#define DAY_OF_1970 719163 // of GDate, which counts from 1 January of year 1

typedef enum { KEY_LINE, KEY_SPREAD, KEY_FILTERED, KEY_FAILURE, KEY_AT_LEAST, KEY_SYMPTOM, KEYS } key;

static const char *const key_words[KEYS] = { "strength", "80 % interval", "as known on the day",
                                             "failure",  "at least this", "symptom" };

typedef struct {
    thew_svg svg;
    const thew_strength_plot *plot;
    double width, left, right, top, bottom; // px
    double head;                            // where the rows of labels begin
    double day_low, day_high;
    double ln_low, ln_high, ln_first;
    thew_svg_rows rows;
    int row_count;
    int pass; // over the events; see put_label
} canvas;

static double at_x(const canvas *c, double day)
{
    return c->left + (day - c->day_low) / (c->day_high - c->day_low) * (c->right - c->left);
}

static double at_y(const canvas *c, double ln_capacity)
{
    return c->bottom - (ln_capacity - c->ln_low) / (c->ln_high - c->ln_low) * (c->bottom - c->top);
}

static double percent(const canvas *c, double ln_capacity)
{
    return 100 * exp(ln_capacity - c->ln_first);
}

// ---- what is to be shown ----

static void take_in(canvas *c, thew_day day, double low, double high)
{
    c->day_low = fmin(c->day_low, day);
    c->day_high = fmax(c->day_high, day);
    c->ln_low = fmin(c->ln_low, low);
    c->ln_high = fmax(c->ln_high, high);
}

static void take_in_estimates(canvas *c, const thew_strength_estimate *estimate, int count)
{
    for (int e = 0; e < count; e++)
        take_in(c, estimate[e].day, estimate[e].ln_mean - THEW_STRENGTH_Z80 * estimate[e].ln_sd,
                estimate[e].ln_mean + THEW_STRENGTH_Z80 * estimate[e].ln_sd);
}

static void measure_numbers(canvas *c)
{
    const thew_strength_plot *p = c->plot;
    c->day_low = c->ln_low = INFINITY;
    c->day_high = c->ln_high = -INFINITY;
    c->ln_first = p->smoothed[0].ln_mean;
    take_in_estimates(c, p->smoothed, p->smoothed_count);
    take_in_estimates(c, p->filtered, p->filtered_count);
    for (int s = 0; s < p->set_count; s++)
        if (isfinite(p->set[s].ln_capacity)) take_in(c, p->set[s].day, p->set[s].ln_capacity, p->set[s].ln_capacity);
    double days = fmax(c->day_high - c->day_low, 6), spread = fmax(c->ln_high - c->ln_low, log(1.3));
    double middle = (c->ln_high + c->ln_low) / 2;
    c->day_low -= .02 * days;
    c->day_high = c->day_low + 1.04 * days;
    c->ln_low = middle - .56 * spread;
    c->ln_high = middle + .56 * spread;
}

// ---- calendar ----

static GDate date_of(double day)
{
    GDate date;
    g_date_clear(&date, 1);
    g_date_set_julian(&date, (guint32)(DAY_OF_1970 + (int)floor(day)));
    return date;
}

static double day_of(const GDate *date)
{
    return (double)g_date_get_julian(date) - DAY_OF_1970;
}

static const char *month_name(const GDate *date)
{
    static const char *const name[] = { "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec" };
    return name[g_date_get_month(date) - 1];
}

static void draw_month_tick(canvas *c, double day, const char *text, const char *year)
{
    double x = at_x(c, day), half = thew_svg_text_width(text, THEW_SVG_TEXT, false) / 2;
    thew_svg_line(&c->svg, "axis", x, c->bottom, x, c->bottom + 7);
    thew_svg_text(&c->svg, "", THEW_SVG_MIDDLE, fmin(x, c->width - 6 - half), c->bottom + THEW_SVG_LINE + 3, text);
    if (year) thew_svg_text(&c->svg, "", THEW_SVG_MIDDLE, fmin(x, c->width - 30), c->bottom + 2 * THEW_SVG_LINE + 2, year);
}

// Firsts of months, as many as have room for their names.
static void draw_months(canvas *c)
{
    static const guint steps[] = { 1, 2, 3, 6, 12, 24, 60 };
    double month_px = (c->right - c->left) / (c->day_high - c->day_low) * 30.4;
    gsize s = 0;
    while (s < G_N_ELEMENTS(steps) - 1 && steps[s] * month_px < 50)
        s++;
    GDate date = date_of(c->day_low);
    g_date_set_day(&date, 1);
    if (steps[s] > 12) g_date_set_month(&date, G_DATE_JANUARY);
    while ((g_date_get_month(&date) - 1u) % MIN(steps[s], 12u) != 0)
        g_date_subtract_months(&date, 1);
    int year_shown = 0;
    for (; day_of(&date) <= c->day_high; g_date_add_months(&date, steps[s])) {
        if (day_of(&date) < c->day_low) continue;
        g_autofree char *year = g_strdup_printf("%d", g_date_get_year(&date));
        draw_month_tick(c, day_of(&date), month_name(&date), g_date_get_year(&date) != year_shown ? year : NULL);
        year_shown = g_date_get_year(&date);
    }
}

// A few weeks: days with their month.
static void draw_weeks(canvas *c)
{
    double day_px = (c->right - c->left) / (c->day_high - c->day_low);
    int step = 1;
    while (step * day_px < 76)
        step = step == 1 ? 2 : step == 2 ? 7 : step + 7;
    bool year_shown = false;
    for (double day = ceil(c->day_low); day <= c->day_high; day += step) {
        GDate date = date_of(day);
        g_autofree char *text = g_strdup_printf("%d %s", g_date_get_day(&date), month_name(&date));
        g_autofree char *year = g_strdup_printf("%d", g_date_get_year(&date));
        draw_month_tick(c, day, text, year_shown ? NULL : year);
        year_shown = true;
    }
}

// ---- axes ----

// Round per cents, as close as the numbers have room: from 100 upwards and downwards.
static void draw_y_axis(canvas *c)
{
    static const int round[] = { 5,   10,  15,  20,  25,  30,  40,  50,  60,  70,  80,  90,  100,
                                 110, 120, 130, 140, 150, 175, 200, 250, 300, 400, 500, 750, 1000 };
    const int hundred = 12;
    for (int way = -1; way <= 1; way += 2) {
        double last = at_y(c, c->ln_first) - way * TICK_APART;
        for (int r = hundred + (way > 0 ? 0 : -1); r >= 0 && r < (int)G_N_ELEMENTS(round); r += way) {
            double ln = c->ln_first + log(round[r] / 100.0), y = at_y(c, ln);
            if (way < 0 && r == hundred - 1) last = at_y(c, c->ln_first);
            bool shown = ln >= c->ln_low && ln <= c->ln_high && (round[r] == 100 || fabs(y - last) >= TICK_APART);
            if (!shown) continue;
            last = y;
            g_autofree char *text = g_strdup_printf("%d %%", round[r]);
            thew_svg_line(&c->svg, round[r] == 100 ? "axis" : "grid", c->left, y, c->right, y);
            thew_svg_text(&c->svg, "", THEW_SVG_END, c->left - 10, y + 6, text);
        }
    }
}

static void draw_x_axis(canvas *c)
{
    thew_svg_line(&c->svg, "axis", c->left, c->bottom, c->right, c->bottom);
    if (c->day_high - c->day_low < 70)
        draw_weeks(c);
    else
        draw_months(c);
}

// ---- gaps, jumps, heat ----

// What is drawn of the labels over the plot: leaders before texts, so that texts lie over them.
typedef enum { MEASURED, GROUND, TEXTS } pass;

static void put_label(canvas *c, double middle, const char *text)
{
    double width = thew_svg_text_width(text, THEW_SVG_TEXT, false);
    double left = fmax(fmin(middle - width / 2, c->width - 6 - width), 6);
    int row = thew_svg_rows_take(&c->rows, left, left + width + 14);
    double y = c->head + (c->row_count - row) * THEW_SVG_LINE - 6;
    if (c->pass == GROUND) thew_svg_line(&c->svg, "axis", middle, y + 6, middle, c->top);
    if (c->pass == TEXTS) thew_svg_text(&c->svg, "halo", THEW_SVG_START, left, y, text);
}

static char *gap_words(double days)
{
    int weeks = (int)lround(days / 7);
    return weeks < 9 ? g_strdup_printf("no sets for %d weeks", weeks)
                     : g_strdup_printf("no sets for %ld months", lround(days / 30.4));
}

static void draw_gaps(canvas *c)
{
    const thew_strength_plot *p = c->plot;
    int least = p->gap_days > 0 ? p->gap_days : GAP_DAYS;
    for (int s = 1; s < p->set_count; s++) {
        double from = p->set[s - 1].day, to = p->set[s].day;
        if (to - from < least) continue;
        if (c->pass == GROUND)
            thew_svg_box(&c->svg, "surface gap", at_x(c, from) + DOT_R + 3, c->top, at_x(c, to) - at_x(c, from) - 2 * (DOT_R + 3),
                         c->bottom - c->top, 0);
        g_autofree char *text = gap_words(to - from);
        put_label(c, at_x(c, (from + to) / 2), text);
    }
}

static void draw_jumps(canvas *c)
{
    for (int j = 0; j < c->plot->jump_count; j++) {
        double x = at_x(c, c->plot->jump_day[j]);
        if (c->pass == GROUND) thew_svg_line(&c->svg, "line s2 thin dash jump", x, c->top, x, c->bottom);
        put_label(c, x, "sudden change");
    }
}

// Labels from left to right: gaps and jumps by their days.
static void draw_events(canvas *c, pass which)
{
    c->pass = (int)which;
    c->rows = thew_svg_rows_empty();
    draw_gaps(c);
    draw_jumps(c);
    c->row_count = c->rows.count;
}

static void draw_heat(canvas *c)
{
    if (c->plot->heat_count == 0) return;
    double y = c->bottom - STRIP / 2;
    thew_svg_text(&c->svg, "", THEW_SVG_END, c->left - 10, y + 6, "heat");
    for (int h = 0; h < c->plot->heat_count; h++) {
        double x = at_x(c, c->plot->heat_day[h]);
        if (x < c->left || x > c->right) continue;
        g_autoptr(GString) d = g_string_new(NULL);
        thew_svg_add(d, "M", x - 6, y + 7); // a little flame
        thew_svg_add(d, "Q", x - 8, y - 1, x, y - 9);
        thew_svg_add(d, "Q", x + 8, y - 1, x + 6, y + 7);
        g_string_append(d, "Z");
        thew_svg_stroke(&c->svg, "sign heat", 2, d->str);
    }
}

// ---- estimates and sets ----

static void draw_estimates(canvas *c)
{
    const thew_strength_plot *p = c->plot;
    g_autoptr(GString) spread = g_string_new(NULL), line = g_string_new(NULL), known = g_string_new(NULL);
    for (int e = 0; e < p->smoothed_count; e++) {
        const thew_strength_estimate *s = &p->smoothed[e];
        thew_svg_add(spread, e == 0 ? "M" : "L", at_x(c, s->day), at_y(c, s->ln_mean + THEW_STRENGTH_Z80 * s->ln_sd));
        thew_svg_add(line, e == 0 ? "M" : "L", at_x(c, s->day), at_y(c, s->ln_mean));
    }
    for (int e = p->smoothed_count - 1; e >= 0; e--)
        thew_svg_add(spread, "L", at_x(c, p->smoothed[e].day),
                     at_y(c, p->smoothed[e].ln_mean - THEW_STRENGTH_Z80 * p->smoothed[e].ln_sd));
    g_string_append(spread, "Z");
    if (p->smoothed_count == 1) { // no area yet, and no line: a bar and a dot
        thew_svg_path(&c->svg, "line s0 spread", spread->str);
        thew_svg_circle(&c->svg, "blue smoothed", at_x(c, p->smoothed[0].day), at_y(c, c->ln_first), 7);
        return;
    }
    for (int e = 0; e < p->filtered_count; e++)
        thew_svg_add(known, e == 0 ? "M" : "L", at_x(c, p->filtered[e].day), at_y(c, p->filtered[e].ln_mean));
    thew_svg_path(&c->svg, "b0 spread", spread->str);
    if (p->filtered_count > 0) thew_svg_path(&c->svg, "line s1 thin filtered", known->str);
    thew_svg_path(&c->svg, "line s0 smoothed", line->str);
}

static void draw_dot(thew_svg *svg, double x, double y)
{
    thew_svg_circle(svg, "hole", x, y, DOT_R + 2);
    thew_svg_circle(svg, "ink failure", x, y, DOT_R);
}

// An arrow that stands on the value: at least that.
static void draw_at_least(thew_svg *svg, double x, double y)
{
    g_autoptr(GString) d = g_string_new(NULL);
    thew_svg_add(d, "M", x, y);
    thew_svg_add(d, "L", x, y - 15);
    thew_svg_add(d, "M", x - 5, y - 9);
    thew_svg_add(d, "L", x, y - 15);
    thew_svg_add(d, "L", x + 5, y - 9);
    thew_svg_stroke(svg, "clear", 6, d->str);
    thew_svg_stroke(svg, "pen at-least", 2.5, d->str);
}

static void draw_symptom(thew_svg *svg, double x, double y)
{
    g_autoptr(GString) d = g_string_new(NULL);
    thew_svg_add(d, "M", x, y - 11);
    thew_svg_add(d, "L", x + 11, y);
    thew_svg_add(d, "L", x, y + 11);
    thew_svg_add(d, "L", x - 11, y);
    g_string_append(d, "Z");
    thew_svg_stroke(svg, "sign symptom", 2.5, d->str);
    thew_svg_line(svg, "pen bang", x, y - 5, x, y + 1);
    thew_svg_circle(svg, "ink", x, y + 5, 1.8);
}

static void draw_sets(canvas *c)
{
    for (int s = 0; s < c->plot->set_count; s++) {
        const thew_strength_set *set = &c->plot->set[s];
        if (!isfinite(set->ln_capacity)) continue; // it says nothing
        double x = at_x(c, set->day), y = at_y(c, set->ln_capacity);
        if (set->ended == THEW_FAILURE)
            draw_dot(&c->svg, x, y);
        else if (set->ended == THEW_SYMPTOM)
            draw_symptom(&c->svg, x, y);
        else
            draw_at_least(&c->svg, x, y);
    }
}

// ---- key ----

static bool key_is_needed(const thew_strength_plot *p, key k)
{
    if (k == KEY_FILTERED) return p->filtered_count > 0;
    if (k < KEY_FAILURE) return true;
    for (int s = 0; s < p->set_count; s++) {
        thew_ended ended = p->set[s].ended;
        if ((ended == THEW_FAILURE ? KEY_FAILURE : ended == THEW_SYMPTOM ? KEY_SYMPTOM : KEY_AT_LEAST) == k) return true;
    }
    return false;
}

static void draw_key_sign(thew_svg *svg, key k, double x, double y)
{
    switch (k) {
    case KEY_LINE:
        thew_svg_line(svg, "line s0", x, y, x + 32, y);
        break;
    case KEY_SPREAD:
        thew_svg_box(svg, "b0", x, y - 10, 32, 20, 0);
        break;
    case KEY_FILTERED:
        thew_svg_line(svg, "line s1 thin", x, y, x + 32, y);
        break;
    case KEY_FAILURE:
        draw_dot(svg, x + 16, y);
        break;
    case KEY_AT_LEAST:
        draw_at_least(svg, x + 16, y + 8);
        break;
    default:
        draw_symptom(svg, x + 16, y);
        break;
    }
}

// Signs and their words, in as many rows as they need; svg NULL: only measured.
static double draw_key(thew_svg *svg, const thew_strength_plot *p, double width, double top)
{
    double x = EDGE, y = top;
    for (key k = 0; k < KEYS; k++) {
        if (!key_is_needed(p, k)) continue;
        double room = 42 + thew_svg_text_width(key_words[k], THEW_SVG_TEXT, false);
        if (x > EDGE && x + room > width - 8) {
            x = EDGE;
            y += THEW_SVG_LINE + 3;
        }
        if (svg) {
            draw_key_sign(svg, k, x, y - 6);
            thew_svg_text(svg, "", THEW_SVG_START, x + 42, y, key_words[k]);
        }
        x += room + 22;
    }
    return y;
}

// ---- words ----

static char *latest_words(const canvas *c)
{
    const thew_strength_estimate *last = &c->plot->smoothed[c->plot->smoothed_count - 1];
    return g_strdup_printf("Now %.0f\u00a0%% of the first estimate (80\u00a0%%: %.0f to %.0f\u00a0%%).", percent(c, last->ln_mean),
                           percent(c, last->ln_mean - THEW_STRENGTH_Z80 * last->ln_sd),
                           percent(c, last->ln_mean + THEW_STRENGTH_Z80 * last->ln_sd));
}

static char *description_of(const canvas *c)
{
    const thew_strength_plot *p = c->plot;
    int failed = 0, symptoms = 0;
    for (int s = 0; s < p->set_count; s++) {
        failed += p->set[s].ended == THEW_FAILURE;
        symptoms += p->set[s].ended == THEW_SYMPTOM;
    }
    GDate from = date_of(p->smoothed[0].day), to = date_of(p->smoothed[p->smoothed_count - 1].day);
    g_autofree char *latest = latest_words(c);
    return g_strdup_printf("Strength from %d %s %d to %d %s %d. %s %d sets: %d to failure, %d stopped for a symptom.",
                           g_date_get_day(&from), month_name(&from), g_date_get_year(&from), g_date_get_day(&to), month_name(&to),
                           g_date_get_year(&to), latest, p->set_count, failed, symptoms);
}

// ---- all ----

static double draw_heading(canvas *c, bool drawn)
{
    double y = thew_svg_title(drawn ? &c->svg : NULL, c->width, c->plot->title);
    g_autofree char *latest = latest_words(c);
    g_autoptr(GPtrArray) lines = thew_svg_wrap(latest, c->width - 2 * EDGE, THEW_SVG_TEXT, false);
    for (guint l = 0; l < lines->len; l++, y += THEW_SVG_LINE)
        if (drawn) thew_svg_text(&c->svg, "", THEW_SVG_START, EDGE, y + 14, lines->pdata[l]);
    return y + 12;
}

char *thew_strength_svg(const thew_strength_plot *plot)
{
    g_assert(plot->smoothed_count >= 1);
    canvas c = { .plot = plot, .width = thew_svg_width(plot->width_px, THEW_SVG_WIDTH) };
    measure_numbers(&c);
    c.left = LEFT;
    c.right = c.width - RIGHT;
    c.head = draw_heading(&c, false);
    draw_events(&c, MEASURED);
    c.top = c.head + c.row_count * THEW_SVG_LINE + 8;
    c.bottom = c.top + PLOT_HIGH + (plot->heat_count > 0 ? STRIP : 0);
    double key_top = c.bottom + 2 * THEW_SVG_LINE + 34, height = draw_key(NULL, plot, c.width, key_top) + 20;
    g_autofree char *words = description_of(&c);
    thew_svg_begin(&c.svg, c.width, height, plot->prefix ? plot->prefix : "strength", plot->title,
                   plot->description ? plot->description : words);
    draw_heading(&c, true);
    draw_events(&c, GROUND);
    draw_events(&c, TEXTS);
    if (plot->heat_count > 0) c.bottom -= STRIP; // the curve keeps above the strip
    draw_y_axis(&c);
    draw_estimates(&c);
    draw_sets(&c);
    if (plot->heat_count > 0) c.bottom += STRIP;
    draw_heat(&c);
    draw_x_axis(&c);
    draw_key(&c.svg, plot, c.width, key_top);
    return thew_svg_end(&c.svg);
}
