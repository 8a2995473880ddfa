// odds.c: see odds.h.
#include "draw/odds.h"

#include <glib.h>
#include <math.h>

#include "draw/svg.h"

#define EDGE 16.0
#define LABEL_WIDE 240.0 // of the column of labels
#define BAR_HIGH 28.0
#define ROW_PAD 10.0
#define HATCH 7.0

static double part_of(const thew_odds *odds, thew_odds_part part)
{
    const double p[THEW_ODDS_PARTS] = { odds->p_floor, odds->p_early, odds->p_window, odds->p_beyond };
    return p[part];
}

void thew_odds_in_100(const thew_odds *odds, int in_100[THEW_ODDS_PARTS])
{
    double rest[THEW_ODDS_PARTS];
    int sum = 0;
    for (int p = 0; p < THEW_ODDS_PARTS; p++) {
        double exact = 100 * part_of(odds, p);
        in_100[p] = (int)floor(exact + 1e-9);
        rest[p] = exact - in_100[p];
        sum += in_100[p];
    }
    for (; sum < 100; sum++) {
        int most = 0;
        for (int p = 1; p < THEW_ODDS_PARTS; p++)
            if (rest[p] > rest[most]) most = p;
        in_100[most]++;
        rest[most] = -1;
    }
}

static char *part_words(const thew_odds_ladder *ladder, thew_odds_part part)
{
    switch (part) {
    case THEW_ODDS_FLOOR:
        return g_strdup_printf("under %.0f s", ladder->floor_s);
    case THEW_ODDS_EARLY:
        return g_strdup_printf("%.0f to %.0f s", ladder->floor_s, ladder->window_from_s);
    case THEW_ODDS_WINDOW:
        return g_strdup_printf("window, %.0f to %.0f s", ladder->window_from_s, ladder->window_to_s);
    default:
        return g_strdup("completed");
    }
}

// ---- bars ----

// Diagonals inside a box, rising or falling, one path.
static void add_hatch(GString *d, double x, double y, double width, double height, double step, bool rising)
{
    for (double k = step / 2; k < width + height; k += step) {
        double x1 = fmin(k, width), y1 = k - x1, y2 = fmin(k, height),
               x2 = k - y2; // x + y = k, from the top right to the bottom left
        if (rising) {
            thew_svg_add(d, "M", x + x1, y + y1);
            thew_svg_add(d, "L", x + x2, y + y2);
        } else {
            thew_svg_add(d, "M", x + x1, y + height - y1);
            thew_svg_add(d, "L", x + x2, y + height - y2);
        }
    }
}

// Each part has a texture of its own: crossed, hatched, full, empty.
static void draw_part(thew_svg *svg, thew_odds_part part, double x, double y, double width, double height)
{
    static const char *const class_name[] = { "part floor", "part early", "part window blue", "part beyond" };
    if (part == THEW_ODDS_FLOOR || part == THEW_ODDS_EARLY) {
        g_autoptr(GString) d = g_string_new(NULL);
        add_hatch(d, x, y, width, height, HATCH, true);
        if (part == THEW_ODDS_FLOOR) add_hatch(d, x, y, width, height, HATCH, false);
        if (d->len > 0)
            thew_svg_stroke(svg, part == THEW_ODDS_FLOOR ? "pen s1 whole" : "pen", part == THEW_ODDS_FLOOR ? 2.5 : 1.5, d->str);
    }
    thew_svg_box(svg, class_name[part], x, y, width, height, 0);
}

// Numbers below their parts, moved apart where they would lie on each other, inside the bar's ends.
static void place_numbers(const thew_odds *odds, double left, double width, double apart, double middle[THEW_ODDS_PARTS])
{
    double x = left;
    for (int p = 0; p < THEW_ODDS_PARTS; p++) {
        double wide = width * part_of(odds, p);
        middle[p] = fmax(x + wide / 2, p == 0 ? left + apart / 2 : middle[p - 1] + apart);
        x += wide;
    }
    double most = left + width - apart / 2;
    for (int p = THEW_ODDS_PARTS - 1; p >= 0; p--, most -= apart)
        middle[p] = fmin(middle[p], most);
}

static void draw_bar(thew_svg *svg, const thew_odds *odds, double left, double top, double width)
{
    int in_100[THEW_ODDS_PARTS];
    double middle[THEW_ODDS_PARTS], x = left;
    thew_odds_in_100(odds, in_100);
    place_numbers(odds, left, width, 36, middle);
    for (int p = 0; p < THEW_ODDS_PARTS; p++) {
        double wide = width * part_of(odds, p);
        draw_part(svg, p, x, top, wide, BAR_HIGH);
        x += wide;
        g_autofree char *text = in_100[p] == 0 && part_of(odds, p) > 0 ? g_strdup("<1") : g_strdup_printf("%d", in_100[p]);
        thew_svg_text(svg, p == THEW_ODDS_WINDOW ? "strong" : "", THEW_SVG_MIDDLE, middle[p], top + BAR_HIGH + 20, text);
    }
}

// ---- rows ----

typedef struct {
    thew_svg svg;
    const thew_odds_ladder *ladder;
    double width;
    bool narrow;
} canvas;

static const char *tag_of(const thew_odds_rung *rung)
{
    if (rung->is_advised) return rung->is_last ? "advised, as last time" : "advised";
    return rung->is_last ? "last time" : NULL;
}

static void draw_tag(canvas *c, const thew_odds_rung *rung, double x, double y)
{
    if (!tag_of(rung)) return;
    if (rung->is_advised) {
        g_autoptr(GString) d = g_string_new(NULL);
        thew_svg_add(d, "M", x, y - 14);
        thew_svg_add(d, "L", x + 14, y - 6);
        thew_svg_add(d, "L", x, y + 2);
        g_string_append(d, "Z");
        thew_svg_path(&c->svg, "ink advised", d->str);
    } else {
        thew_svg_circle(&c->svg, "mark last", x + 7, y - 6, 5.5);
    }
    thew_svg_text(&c->svg, rung->is_advised ? "strong" : "", THEW_SVG_START, x + 22, y, tag_of(rung));
}

static GPtrArray *label_lines(const canvas *c, const thew_odds_rung *rung)
{
    return thew_svg_wrap(rung->label, c->narrow ? c->width - 2 * EDGE - 16 : LABEL_WIDE - 16, THEW_SVG_TEXT, rung->is_advised);
}

// Words beside the bar, or above it where that is too narrow.
static double row_high(const canvas *c, const thew_odds_rung *rung)
{
    g_autoptr(GPtrArray) lines = label_lines(c, rung);
    double words = (lines->len + (tag_of(rung) ? 1 : 0)) * THEW_SVG_LINE, bar = BAR_HIGH + THEW_SVG_LINE;
    return (c->narrow ? words + bar : fmax(words, bar)) + 2 * ROW_PAD;
}

static void draw_row(canvas *c, const thew_odds_rung *rung, double top)
{
    double y = top + ROW_PAD + 19, x = EDGE + 8, high = row_high(c, rung);
    if (rung->is_advised) thew_svg_box(&c->svg, "frame", EDGE - 6, top + 1, c->width - 2 * EDGE + 12, high - 2, 8);
    g_autoptr(GPtrArray) lines = label_lines(c, rung);
    for (guint l = 0; l < lines->len; l++, y += THEW_SVG_LINE)
        thew_svg_text(&c->svg, rung->is_advised ? "strong" : "", THEW_SVG_START, x, y, lines->pdata[l]);
    draw_tag(c, rung, x, y);
    double left = c->narrow ? x : EDGE + LABEL_WIDE,
           bar_top = c->narrow ? top + high - ROW_PAD - THEW_SVG_LINE - BAR_HIGH : top + ROW_PAD;
    draw_bar(&c->svg, &rung->odds, left, bar_top, c->width - EDGE - 8 - left);
}

// The parts' textures and words, in as many rows as they need; svg NULL: only measured. Returns the y below.
static double draw_key(thew_svg *svg, const thew_odds_ladder *ladder, double width, double top)
{
    double x = EDGE, y = top + 20;
    for (int p = 0; p < THEW_ODDS_PARTS; p++) {
        g_autofree char *words = part_words(ladder, p);
        double room = 44 + thew_svg_text_width(words, THEW_SVG_TEXT, p == THEW_ODDS_WINDOW);
        if (x > EDGE && x + room > width - 8) {
            x = EDGE;
            y += THEW_SVG_LINE + 4;
        }
        if (svg) {
            draw_part(svg, p, x, y - 16, 34, 20);
            thew_svg_text(svg, p == THEW_ODDS_WINDOW ? "strong" : "", THEW_SVG_START, x + 44, y, words);
        }
        x += room + 20;
    }
    return y + 14;
}

static char *description_of(const thew_odds_ladder *ladder)
{
    g_autoptr(GString) out = g_string_new("Chances in 100 of when a set would fail.");
    for (int r = 0; r < ladder->rung_count; r++) {
        const thew_odds_rung *rung = &ladder->rung[r];
        int in_100[THEW_ODDS_PARTS];
        thew_odds_in_100(&rung->odds, in_100);
        g_string_append_printf(out, " %s%s%s%s:", rung->label, tag_of(rung) ? " (" : "", tag_of(rung) ? tag_of(rung) : "",
                               tag_of(rung) ? ")" : "");
        for (int p = 0; p < THEW_ODDS_PARTS; p++) {
            g_autofree char *words = part_words(ladder, p);
            g_string_append_printf(out, " %d %s%s", in_100[p], words, p + 1 < THEW_ODDS_PARTS ? "," : ".");
        }
    }
    return g_string_free(g_steal_pointer(&out), FALSE);
}

char *thew_odds_svg(const thew_odds_ladder *ladder)
{
    g_assert(ladder->rung_count >= 1);
    canvas c = { .ladder = ladder, .width = thew_svg_width(ladder->width_px, THEW_SVG_WIDTH) };
    c.narrow = c.width < THEW_SVG_NARROW;
    double head = thew_svg_title(NULL, c.width, ladder->title) + THEW_SVG_LINE;
    double top = draw_key(NULL, ladder, c.width, head) + 8, height = top + 12;
    for (int r = 0; r < ladder->rung_count; r++)
        height += row_high(&c, &ladder->rung[r]);
    g_autofree char *words = description_of(ladder);
    thew_svg_begin(&c.svg, c.width, height, ladder->prefix ? ladder->prefix : "odds", ladder->title,
                   ladder->description ? ladder->description : words);
    thew_svg_title(&c.svg, c.width, ladder->title);
    thew_svg_text(&c.svg, "", THEW_SVG_START, EDGE, head - THEW_SVG_LINE + 14, "Chances in 100");
    draw_key(&c.svg, ladder, c.width, head);
    for (int r = 0; r < ladder->rung_count; r++) {
        draw_row(&c, &ladder->rung[r], top);
        top += row_high(&c, &ladder->rung[r]);
    }
    return thew_svg_end(&c.svg);
}

#define TELLING_P .05

int thew_odds_keep_telling(thew_odds_rung *rung, int rung_count)
{
    int kept = 0;
    for (int r = 0; r < rung_count; r++)
        if (rung[r].is_advised || rung[r].is_last || rung[r].odds.p_window >= TELLING_P) rung[kept++] = rung[r];
    return kept;
}
