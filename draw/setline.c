// setline.c: see setline.h.
#include "draw/setline.h"

#include <math.h>

#include "draw/svg.h"

#define EDGE 20.0
#define SMALL_WIDTH 240.0
#define SMALL_LINE 26.0
#define WIDE_LINE 92.0
#define EXPECTED_HIGH 30.0 // of the prediction's bracket

// ---- the line ----

typedef struct {
    double seconds, from, to; // heights
    const char *name;
} phase;

#define PHASES 4

static bool is_level(const thew_set_line *line)
{
    return line->kind == THEW_HOLD || !(thew_tempo_cycle_s(line->tempo) > 0);
}

static void phases_of(const thew_set_line *line, phase out[PHASES])
{
    const thew_tempo t = line->tempo;
    const phase turn[PHASES] = { { t.lowering_s, 1, 0, "lowering" },
                                 { t.pause_low_s, 0, 0, "pause" },
                                 { t.lifting_s, 0, 1, "lifting" },
                                 { t.pause_high_s, 1, 1, "pause" } };
    for (int p = 0; p < PHASES; p++)
        out[p] = turn[(p + (line->starts_lifting ? 2 : 0)) % PHASES];
}

// The phase at a time, and how far in it that is, 0 to 1. A phase holds its first moment and not its last.
static phase phase_at(const thew_set_line *line, double time_s, double *share)
{
    phase all[PHASES];
    phases_of(line, all);
    double left_s = fmod(fmax(time_s, 0), thew_tempo_cycle_s(line->tempo));
    int p = 0;
    while (p < PHASES - 1 && left_s >= all[p].seconds)
        left_s -= all[p++].seconds;
    *share = all[p].seconds > 0 ? fmin(left_s / all[p].seconds, 1) : 1;
    return all[p];
}

double thew_set_line_height(const thew_set_line *line, double time_s)
{
    if (is_level(line)) return .5;
    double share;
    phase now = phase_at(line, time_s, &share);
    return now.from + share * (now.to - now.from);
}

const char *thew_set_line_phase(const thew_set_line *line, double time_s)
{
    double share;
    return is_level(line) ? "holding" : phase_at(line, time_s, &share).name;
}

// ---- in words ----

static const char *ended_word(thew_ended ended)
{
    static const char *const word[] = { "failure", "completed", "reserve", "symptom", "other" };
    return word[ended];
}

static void append_mark_words(GString *out, const thew_set_line *line, int m)
{
    static const char *const sentence[] = { "momentary failure", "completed", "stopped with some in reserve",
                                            "stopped for a symptom", "stopped for another reason" };
    const thew_set_line_mark *mark = &line->mark[m];
    g_string_append_printf(out, " At %.0f s: %s", mark->seconds, sentence[mark->ended]);
    if (mark->ended == THEW_FAILURE) g_string_append_printf(out, ", while %s", thew_set_line_phase(line, mark->seconds));
    if (mark->ended == THEW_RESERVE && mark->reserve_s > 0)
        g_string_append_printf(out, ", %.0f s felt to be left", mark->reserve_s);
    g_string_append(out, m + 1 < line->mark_count ? ", then went on." : ".");
}

static char *expected_words(const thew_set_line *line)
{
    return isfinite(line->p90_s) ? g_strdup_printf("expected %.0f to %.0f s", line->p10_s, line->p90_s)
                                 : g_strdup_printf("expected %.0f s or more", line->p10_s);
}

char *thew_set_line_words(const thew_set_line *line)
{
    g_autoptr(GString) out = g_string_new(NULL);
    if (is_level(line))
        g_string_append(out, "A hold.");
    else
        g_string_append_printf(out, "Tempo %g, %g, %g, %g seconds, from the %s.", line->tempo.lowering_s, line->tempo.pause_low_s,
                               line->tempo.lifting_s, line->tempo.pause_high_s, line->starts_lifting ? "lifting" : "lowering");
    g_string_append_printf(out, " The window is from %.0f to %.0f s", line->window_from_s, line->window_to_s);
    if (line->floor_s > 0) g_string_append_printf(out, ", the floor at %.0f s", line->floor_s);
    g_string_append(out, ".");
    for (int m = 0; m < line->mark_count; m++)
        append_mark_words(out, line, m);
    for (int b = 0; b < line->best_count; b++)
        g_string_append_printf(out, " Earlier best: %.0f s.", line->best_s[b]);
    g_autofree char *expected = expected_words(line);
    if (line->has_expected)
        g_string_append_printf(out, " Failure is %s, most likely about %.0f s.", expected, fmin(line->p50_s, 9999));
    if (line->has_now) g_string_append_printf(out, " Now: %.0f s, %s.", line->now_s, thew_set_line_phase(line, line->now_s));
    return g_string_free(g_steal_pointer(&out), FALSE);
}

// ---- the page ----

#define LABELS_MAX (THEW_SET_LINE_MARKS_MAX + THEW_SET_LINE_BESTS_MAX)

// A word above the line, over what it names.
typedef struct {
    char *text;
    double time_s, left, width; // px
    int row;
    bool strong;
} label;

typedef struct {
    thew_svg svg;
    const thew_set_line *line;
    bool wide;
    double width, left, right; // px
    double end_s;              // of the time that is shown
    double top, high;          // of the line
    double base;               // of the axis
    double head;               // where the labels' rows begin
    label label[LABELS_MAX];
    int label_count, row_count;
    double mark_r, pen;
} canvas;

static double at_x(const canvas *c, double time_s)
{
    return c->left + time_s / c->end_s * (c->right - c->left);
}

static double at_y(const canvas *c, double time_s)
{
    return c->top + (1 - thew_set_line_height(c->line, time_s)) * c->high;
}

static double end_of(const thew_set_line *line)
{
    double end_s = line->window_to_s;
    for (int m = 0; m < line->mark_count; m++) {
        const thew_set_line_mark *mark = &line->mark[m];
        end_s = fmax(end_s, mark->seconds + (mark->ended == THEW_RESERVE ? fmax(mark->reserve_s, 0) : 0));
    }
    for (int b = 0; b < line->best_count; b++)
        end_s = fmax(end_s, line->best_s[b]);
    if (line->has_expected) end_s = fmax(end_s, fmin(isfinite(line->p90_s) ? line->p90_s : line->p50_s, 1.5 * end_s));
    if (line->has_now) end_s = fmax(end_s, line->now_s);
    return end_s * 1.05;
}

static void add_label(canvas *c, char *text, double time_s, bool strong)
{
    g_assert(c->label_count < LABELS_MAX);
    double width = thew_svg_text_width(text, THEW_SVG_TEXT, strong);
    double left = fmax(fmin(at_x(c, time_s) - width / 2, c->width - 8 - width), 8);
    c->label[c->label_count++] = (label){ .text = text, .time_s = time_s, .left = left, .width = width, .strong = strong };
}

static int by_left(const void *a, const void *b)
{
    const label *one = a, *two = b;
    return (one->left > two->left) - (one->left < two->left);
}

static void find_labels(canvas *c)
{
    const thew_set_line *line = c->line;
    for (int m = 0; m < line->mark_count; m++)
        add_label(c, g_strdup_printf("%s %.0f s", ended_word(line->mark[m].ended), line->mark[m].seconds), line->mark[m].seconds,
                  true);
    for (int b = 0; b < line->best_count; b++)
        add_label(c, g_strdup_printf("best %.0f s", line->best_s[b]), line->best_s[b], false);
    qsort(c->label, (gsize)c->label_count, sizeof *c->label, by_left);
    thew_svg_rows rows = thew_svg_rows_empty();
    for (int l = 0; l < c->label_count; l++)
        c->label[l].row = thew_svg_rows_take(&rows, c->label[l].left, c->label[l].left + c->label[l].width + 12);
    c->row_count = rows.count;
}

static double measure(canvas *c)
{
    const thew_set_line *line = c->line;
    c->width = thew_svg_width(line->width_px, c->wide ? THEW_SVG_WIDTH : SMALL_WIDTH);
    if (!c->wide && line->width_px > 0) c->width = line->width_px;
    c->mark_r = c->wide ? 9 : 5.5;
    c->pen = c->wide ? 4 : 2.5;
    c->left = c->wide ? EDGE + 6 : 1.5 * c->mark_r + 3;
    c->right = c->width - c->left;
    c->end_s = end_of(line);
    if (!c->wide) {
        c->top = 1.5 * c->mark_r + 3;
        c->high = SMALL_LINE;
        c->base = c->top + c->high + (line->has_expected ? 18 : 1.5 * c->mark_r + 1);
        return c->base + 3;
    }
    find_labels(c);
    c->head = line->title ? thew_svg_title(NULL, c->width, line->title) : 4;
    c->top = c->head + c->row_count * THEW_SVG_LINE + c->mark_r + 14;
    c->high = WIDE_LINE;
    c->base = c->top + c->high + c->mark_r + 8 + (line->has_expected ? EXPECTED_HIGH + THEW_SVG_LINE : 0);
    return c->base + 2 * THEW_SVG_LINE + 16;
}

static void draw_ground(canvas *c)
{
    const thew_set_line *line = c->line;
    double from = at_x(c, line->window_from_s), to = at_x(c, line->window_to_s), top = c->top - c->mark_r - 2;
    thew_svg_box(&c->svg, "b0 window", from, top, to - from, c->base - top, 0);
    thew_svg_line(&c->svg, "line s0 thin", from, top, from, c->base);
    thew_svg_line(&c->svg, "line s0 thin", to, top, to, c->base);
    if (line->floor_s > 0)
        thew_svg_line(&c->svg, "line s2 thin dash floor", at_x(c, line->floor_s), top, at_x(c, line->floor_s), c->base);
    thew_svg_line(&c->svg, "axis", c->left, c->base, c->right, c->base);
}

static void draw_time(canvas *c, double time_s, const char *unit)
{
    g_autofree char *text = g_strdup_printf("%.0f%s", time_s, unit);
    thew_svg_line(&c->svg, "axis", at_x(c, time_s), c->base, at_x(c, time_s), c->base + 7);
    thew_svg_text(&c->svg, "", THEW_SVG_MIDDLE, at_x(c, time_s), c->base + THEW_SVG_LINE + 1, text);
}

static void draw_axis_words(canvas *c)
{
    const thew_set_line *line = c->line;
    double below = c->base + 2 * THEW_SVG_LINE, from = at_x(c, line->window_from_s), to = at_x(c, line->window_to_s);
    draw_time(c, 0, "");
    if (line->floor_s > 0 && line->floor_s < line->window_from_s) {
        draw_time(c, line->floor_s, "");
        thew_svg_text(&c->svg, "", THEW_SVG_MIDDLE, at_x(c, line->floor_s), below, "floor");
    }
    draw_time(c, line->window_from_s, "");
    draw_time(c, line->window_to_s, " s");
    thew_svg_text(&c->svg, "", THEW_SVG_MIDDLE, (from + to) / 2, below, "window");
}

// The line between two times, with its corners.
static void trace(canvas *c, const char *class_name, double width, double from_s, double to_s)
{
    g_autoptr(GString) d = g_string_new(NULL);
    thew_svg_add(d, "M", at_x(c, from_s), at_y(c, from_s));
    phase all[PHASES];
    phases_of(c->line, all);
    double corner_s = 0;
    for (int p = 0; !is_level(c->line) && corner_s < to_s; p = (p + 1) % PHASES) {
        corner_s += all[p].seconds;
        if (corner_s > from_s && corner_s < to_s && all[p].seconds > 0)
            thew_svg_add(d, "L", at_x(c, corner_s), c->top + (1 - all[p].to) * c->high);
    }
    thew_svg_add(d, "L", at_x(c, to_s), at_y(c, to_s));
    thew_svg_stroke(&c->svg, class_name, width, d->str);
}

// What was done is drawn strongly, what was left of the plan thinly.
static void draw_line(canvas *c)
{
    const thew_set_line *line = c->line;
    double done_s = line->mark_count > 0 ? line->mark[line->mark_count - 1].seconds : line->has_now ? line->now_s : c->end_s;
    done_s = fmin(done_s, c->end_s);
    if (done_s < c->end_s) trace(c, "pen rest", c->wide ? 2 : 1.5, done_s, c->end_s);
    if (done_s > 0) trace(c, "pen done", c->pen, 0, done_s);
}

static void draw_expected(canvas *c)
{
    const thew_set_line *line = c->line;
    bool open = !isfinite(line->p90_s) || line->p90_s > c->end_s;
    double from = at_x(c, fmin(line->p10_s, c->end_s)), to = open ? c->right : at_x(c, line->p90_s);
    double y = c->wide ? c->top + c->high + c->mark_r + 20 : c->base - 6, tick = c->wide ? 9 : 4;
    g_autoptr(GString) d = g_string_new(NULL);
    thew_svg_add(d, "M", from, y - tick);
    thew_svg_add(d, "L", from, y);
    thew_svg_add(d, "L", to, y);
    if (open) { // goes on to the right
        thew_svg_add(d, "M", to - tick, y - tick * .8);
        thew_svg_add(d, "L", to, y);
        thew_svg_add(d, "L", to - tick, y + tick * .8);
    } else {
        thew_svg_add(d, "L", to, y - tick);
    }
    thew_svg_stroke(&c->svg, "pen s1 whole expected", c->wide ? 3 : 2, d->str);
    if (isfinite(line->p50_s) && line->p50_s <= c->end_s)
        thew_svg_circle(&c->svg, "orange", at_x(c, line->p50_s), y, c->wide ? 6 : 3);
    if (!c->wide) return;
    g_autofree char *text = expected_words(line);
    double half = thew_svg_text_width(text, THEW_SVG_TEXT, false) / 2;
    double middle = fmax(fmin((from + to) / 2, c->width - 8 - half), 8 + half);
    thew_svg_text(&c->svg, "halo", THEW_SVG_MIDDLE, middle, y + THEW_SVG_LINE + 2, text);
}

static void draw_polygon(canvas *c, const char *class_name, double width, const double *xy, int corners)
{
    g_autoptr(GString) d = g_string_new(NULL);
    for (int i = 0; i < corners; i++)
        thew_svg_add(d, i == 0 ? "M" : "L", xy[2 * i], xy[2 * i + 1]);
    g_string_append(d, "Z");
    thew_svg_stroke(&c->svg, class_name, width, d->str);
}

static void draw_mark(canvas *c, const thew_set_line_mark *mark)
{
    double x = at_x(c, mark->seconds), y = at_y(c, mark->seconds), r = c->mark_r, line = c->wide ? 3 : 2;
    switch (mark->ended) {
    case THEW_FAILURE:
        thew_svg_circle(&c->svg, "hole", x, y, r + 3);
        thew_svg_circle(&c->svg, "ink failure", x, y, r);
        break;
    case THEW_COMPLETED:
        thew_svg_circle(&c->svg, "hole", x + r * .3, y, r + 4);
        draw_polygon(c, "ink completed", 0, (const double[]){ x - r * .8, y - r * 1.15, x + r * 1.3, y, x - r * .8, y + r * 1.15 },
                     3);
        break;
    case THEW_RESERVE:
        if (mark->reserve_s > 0) thew_svg_line(&c->svg, "line s2", x, y, at_x(c, mark->seconds + mark->reserve_s), y);
        thew_svg_circle(&c->svg, "mark reserve", x, y, r - line / 2);
        break;
    case THEW_SYMPTOM:
        draw_polygon(c, "sign symptom", line, (const double[]){ x, y - r * 1.5, x + r * 1.5, y, x, y + r * 1.5, x - r * 1.5, y },
                     4);
        thew_svg_line(&c->svg, "pen bang", x, y - r * .75, x, y + r * .15);
        thew_svg_circle(&c->svg, "ink", x, y + r * .7, line * .6);
        break;
    case THEW_OTHER:
        draw_polygon(c, "sign other", line, (const double[]){ x - r, y - r, x + r, y - r, x + r, y + r, x - r, y + r }, 4);
        break;
    }
}

static void draw_best(canvas *c, double best_s)
{
    double x = at_x(c, best_s), y = at_y(c, best_s), r = c->mark_r * .72;
    draw_polygon(c, "sign best", c->wide ? 2.5 : 1.5, (const double[]){ x, y + r * .6, x + r, y - r * 1.3, x - r, y - r * 1.3 },
                 3); // points at the line
}

static double label_foot(const canvas *c, const label *here)
{
    return c->head + (c->row_count - here->row) * THEW_SVG_LINE - 4;
}

static void draw_labels(canvas *c)
{
    for (int l = 0; l < c->label_count; l++) { // all leaders first: texts lie over them
        double y = label_foot(c, &c->label[l]) + 6, x = at_x(c, c->label[l].time_s);
        thew_svg_line(&c->svg, "axis", x, y, x, fmax(y, at_y(c, c->label[l].time_s) - c->mark_r - 3));
    }
    for (int l = 0; l < c->label_count; l++) {
        const label *here = &c->label[l];
        thew_svg_text(&c->svg, here->strong ? "strong halo" : "halo", THEW_SVG_START, here->left, label_foot(c, here), here->text);
    }
}

static void draw_now(canvas *c)
{
    double x = at_x(c, c->line->now_s), y = at_y(c, c->line->now_s), r = c->mark_r * 1.45;
    thew_svg_circle(&c->svg, "hole", x, y, r + 4);
    thew_svg_circle(&c->svg, "blue now", x, y, r);
    thew_svg_circle(&c->svg, "hole", x, y, r * .42);
}

char *thew_set_line_svg(const thew_set_line *line)
{
    g_assert(line->window_to_s > line->window_from_s && line->window_from_s >= 0);
    g_assert(line->mark_count >= 0 && line->mark_count <= THEW_SET_LINE_MARKS_MAX);
    g_assert(line->best_count >= 0 && line->best_count <= THEW_SET_LINE_BESTS_MAX);
    canvas c = { .line = line, .wide = line->size == THEW_SET_LINE_WIDE };
    double height = measure(&c);
    g_autofree char *words = thew_set_line_words(line);
    thew_svg_begin(&c.svg, c.width, height, line->prefix ? line->prefix : "set-line", line->title ? line->title : "Set line",
                   line->description ? line->description : words);
    if (c.wide && line->title) thew_svg_title(&c.svg, c.width, line->title);
    draw_ground(&c);
    if (c.wide) draw_axis_words(&c);
    draw_labels(&c);
    draw_line(&c);
    if (line->has_expected) draw_expected(&c);
    for (int b = 0; b < line->best_count; b++)
        draw_best(&c, line->best_s[b]);
    for (int m = 0; m < line->mark_count; m++)
        draw_mark(&c, &line->mark[m]);
    if (line->has_now) draw_now(&c);
    for (int l = 0; l < c.label_count; l++)
        g_free(c.label[l].text);
    return thew_svg_end(&c.svg);
}
