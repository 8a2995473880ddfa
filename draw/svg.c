// svg.c: see svg.h.
#include "draw/svg.h"

#include <math.h>
#include <string.h>

#define MARGIN 16.0

// ---- the look ----

typedef struct {
    const char *light, *dark, *print;
} colour;

static const colour paper = { "#fdfbf5", "#14161a", "#fff" };
static const colour ink = { "#1a1a1a", "#f2efe6", "#000" };
static const colour blue = { "#0b5394", "#7db8ff", "#0b5394" };
static const colour orange = { "#9a4a00", "#ffb265", "#9a4a00" };
static const colour violet = { "#5b2c83", "#d3a6ff", "#5b2c83" };
static const colour quiet = { "#8a8478", "#81868e", "#8a8478" }; // what stands behind: 3.5 : 1 on light paper, 5 : 1 on dark
static const colour quieter = { "#dcd6c8", "#353942", "#ddd" };  // surfaces

// What is coloured, and how. An empty selector is the drawing itself.
static const struct {
    const char *selector, *property;
    const colour *value;
} paints[] = {
    { "", "background", &paper },
    { "", "color", &ink },
    { ".halo", "stroke", &paper },
    { ".pen,.sign,.part,.frame", "stroke", &ink },
    { ".s0", "stroke", &blue },
    { ".s1", "stroke", &orange },
    { ".s2", "stroke", &ink },
    { ".s3", "stroke", &violet },
    { ".b0", "fill", &blue },
    { ".b1", "fill", &orange },
    { ".b2,.b3,.ink", "fill", &ink },
    { ".blue", "fill", &blue },
    { ".orange", "fill", &orange },
    { ".surface", "fill", &quieter },
    { ".mark,.sign,.hole", "fill", &paper },
    { ".clear", "stroke", &paper },
    { ".limb,.ghost", "stroke", &paper },
    { ".limb", "fill", &ink },
    { ".far", "fill", &quiet },
    { ".ghost", "fill", &paper },
    { ".ghost", "stroke", &quiet },
    { ".joint", "fill", &paper },
    { ".thing", "stroke", &quiet },
    { ".soft", "stroke", &quieter },
    { ".band,.way,.load", "stroke", &orange },
    { ".load", "fill", &orange },
    { ".ghost-load", "stroke", &orange },
    { ".ghost-load", "fill", &paper },
    { ".way", "stroke", &blue },
    { ".way.head", "fill", &blue },
};

// What never changes: sizes, dashes, strengths.
static const char shapes[] =
    "font-family:'Atkinson Hyperlegible',Verdana,'DejaVu Sans',sans-serif}"
    ".thew text{fill:currentColor;font-size:18px}.thew .title{font-size:22px;font-weight:700}.thew .strong{font-weight:700}"
    ".thew .axis{stroke:currentColor;stroke-width:1.5}.thew .grid{stroke:currentColor;stroke-width:1;opacity:.16}"
    ".thew .line{fill:none;stroke-width:4;stroke-linejoin:round;stroke-linecap:round}"
    ".thew .s1{stroke-dasharray:14 8}.thew .s2{stroke-dasharray:3 8}.thew .s3{stroke-dasharray:20 6 3 6}"
    ".thew .b0,.thew .b1{opacity:.16}.thew .b2,.thew .b3{opacity:.12}"
    ".thew .mark{stroke:currentColor;stroke-width:3}"
    ".thew .halo{paint-order:stroke;stroke-width:6px;stroke-linejoin:round}"
    ".thew .whole{stroke-dasharray:none}.thew .thin{stroke-width:2}.thew .dash{stroke-dasharray:7 6}"
    ".thew .pen{fill:none;stroke-linejoin:round;stroke-linecap:round}.thew .bang{stroke-width:3}.thew .rest{opacity:.5}"
    ".thew .sign{stroke-linejoin:round}.thew .part{fill:none;stroke-width:2}.thew .frame{fill:none;stroke-width:3}"
    ".thew .clear{fill:none;stroke-linejoin:round;stroke-linecap:round}"
    ".thew .limb,.thew .ghost{paint-order:stroke;stroke-linejoin:round}"
    ".thew .thing,.thew .soft{fill:none;stroke-linejoin:round;stroke-linecap:round}"
    ".thew .band{fill:none;stroke-linecap:round;stroke-linejoin:round}.thew .band.far-band{opacity:.55}"
    ".thew .ghost-load{stroke-width:2.5}"
    ".thew .way{fill:none;stroke-linecap:round;stroke-linejoin:round}";

static void append_paints(GString *out, gsize offset_of_colour)
{
    for (gsize p = 0; p < G_N_ELEMENTS(paints); p++) {
        const char *value = *(const char *const *)((const char *)paints[p].value + offset_of_colour);
        g_auto(GStrv) selector = g_strsplit(paints[p].selector, ",", -1);
        for (gsize s = 0; paints[p].selector[0] && selector[s]; s++)
            g_string_append_printf(out, "%s.thew %s", s ? "," : "", selector[s]);
        g_string_append_printf(out, "%s{%s:%s}", paints[p].selector[0] ? "" : ".thew", paints[p].property, value);
    }
}

// Dark on screens only: paper stays paper.
static void append_look(GString *out)
{
    g_string_append_printf(out, ".thew{%s", shapes);
    append_paints(out, G_STRUCT_OFFSET(colour, light));
    g_string_append(out, "@media screen and (prefers-color-scheme:dark){");
    append_paints(out, G_STRUCT_OFFSET(colour, dark));
    g_string_append(out, "}@media print{");
    append_paints(out, G_STRUCT_OFFSET(colour, print));
    g_string_append_c(out, '}');
}

char *thew_svg_look(void)
{
    GString *out = g_string_new(NULL);
    append_look(out);
    return g_string_free(out, FALSE);
}

// ---- writing ----

// Characters that XML cannot hold become spaces; bytes that are no text, the replacement character.
static char *safe_text(const char *text)
{
    g_autofree char *valid = g_utf8_make_valid(text, -1);
    g_autoptr(GString) kept = g_string_new(NULL);
    for (const char *at = valid; *at; at = g_utf8_next_char(at)) {
        gunichar c = g_utf8_get_char(at);
        bool allowed = c >= 0x20 && (c < 0x7f || c > 0x9f) && c != 0xfffe && c != 0xffff;
        g_string_append_unichar(kept, allowed ? c : ' ');
    }
    return g_markup_escape_text(kept->str, -1);
}

// To a hundredth of a pixel, with a point in every locale, without zeros that say nothing.
static void append_number(GString *out, double number)
{
    g_assert(isfinite(number));
    char text[G_ASCII_DTOSTR_BUF_SIZE];
    g_ascii_formatd(text, sizeof text, "%.2f", number);
    gsize length = strlen(text);
    while (text[length - 1] == '0')
        length--;
    if (text[length - 1] == '.') length--;
    text[length] = 0;
    g_string_append(out, strcmp(text, "-0") == 0 ? "0" : text);
}

static void append_attribute(thew_svg *svg, const char *name, double number)
{
    g_string_append_printf(svg->out, " %s=\"", name);
    append_number(svg->out, number);
    g_string_append_c(svg->out, '"');
}

static void open_element(thew_svg *svg, const char *element, const char *class_name)
{
    g_string_append_printf(svg->out, "<%s class=\"%s\"", element, class_name);
}

static void close_element(thew_svg *svg)
{
    g_string_append(svg->out, "/>\n");
}

double thew_svg_width(double asked, double fallback)
{
    return asked > 0 ? fmax(asked, 280) : fallback;
}

void thew_svg_begin(thew_svg *svg, double width, double height, const char *prefix, const char *title, const char *description)
{
    *svg = (thew_svg){ .out = g_string_new("<svg xmlns=\"http://www.w3.org/2000/svg\""), .width = width, .height = height };
    append_attribute(svg, "width", width);
    append_attribute(svg, "height", height);
    g_string_append(svg->out, " viewBox=\"0 0 ");
    append_number(svg->out, width);
    g_string_append_c(svg->out, ' ');
    append_number(svg->out, height);
    g_autofree char *name = safe_text(title), *full = safe_text(description ? description : title);
    g_autofree char *id = safe_text(prefix ? prefix : "thew");
    g_string_append_printf(svg->out,
                           "\" class=\"thew\" role=\"img\" aria-labelledby=\"%s-title %s-desc\">\n"
                           "<title id=\"%s-title\">%s</title>\n<desc id=\"%s-desc\">%s</desc>\n",
                           id, id, id, name, id, full);
    g_string_append(svg->out, "<style>");
    append_look(svg->out);
    g_string_append(svg->out, "</style>\n");
}

char *thew_svg_end(thew_svg *svg)
{
    g_string_append(svg->out, "</svg>\n");
    return g_string_free(g_steal_pointer(&svg->out), FALSE);
}

void thew_svg_open(thew_svg *svg, const char *class_name)
{
    open_element(svg, "g", class_name);
    g_string_append(svg->out, ">\n");
}

void thew_svg_close(thew_svg *svg)
{
    g_string_append(svg->out, "</g>\n");
}

void thew_svg_line(thew_svg *svg, const char *class_name, double x1, double y1, double x2, double y2)
{
    open_element(svg, "line", class_name);
    append_attribute(svg, "x1", x1);
    append_attribute(svg, "y1", y1);
    append_attribute(svg, "x2", x2);
    append_attribute(svg, "y2", y2);
    close_element(svg);
}

void thew_svg_circle(thew_svg *svg, const char *class_name, double x, double y, double radius)
{
    open_element(svg, "circle", class_name);
    append_attribute(svg, "cx", x);
    append_attribute(svg, "cy", y);
    append_attribute(svg, "r", radius);
    close_element(svg);
}

void thew_svg_box(thew_svg *svg, const char *class_name, double x, double y, double width, double height, double radius)
{
    open_element(svg, "rect", class_name);
    append_attribute(svg, "x", x);
    append_attribute(svg, "y", y);
    append_attribute(svg, "width", fmax(width, 0));
    append_attribute(svg, "height", fmax(height, 0));
    if (radius > 0) append_attribute(svg, "rx", radius);
    close_element(svg);
}

void thew_svg_path(thew_svg *svg, const char *class_name, const char *d)
{
    open_element(svg, "path", class_name);
    g_string_append_printf(svg->out, " d=\"%s\"", d);
    close_element(svg);
}

void thew_svg_stroke(thew_svg *svg, const char *class_name, double width, const char *d)
{
    open_element(svg, "path", class_name);
    append_attribute(svg, "stroke-width", width);
    g_string_append_printf(svg->out, " d=\"%s\"", d);
    close_element(svg);
}

void thew_svg_numbers(GString *d, const char *command, const double *number, gsize count)
{
    g_string_append(d, command);
    for (gsize n = 0; n < count; n++) {
        if (n > 0) g_string_append_c(d, ' ');
        append_number(d, number[n]);
    }
}

void thew_svg_text(thew_svg *svg, const char *class_name, thew_svg_align align, double x, double y, const char *text)
{
    static const char *const anchor[] = { "start", "middle", "end" };
    g_autofree char *safe = safe_text(text);
    open_element(svg, "text", class_name);
    append_attribute(svg, "x", x);
    append_attribute(svg, "y", y);
    g_string_append_printf(svg->out, " text-anchor=\"%s\">%s</text>\n", anchor[align], safe);
}

// ---- how wide text is ----

// Advances of the widest typeface of the list (DejaVu Sans, measured in a browser), rounded up, in thousandths of the size.
static int advance_of(gunichar c)
{
    static const struct {
        int advance;
        const char *characters;
    } row[] = {
        { 320, "ijlIJ,.' " }, { 420, "frt/:;\\|-()[]!" }, { 530, "sz?\"*_`" }, { 620, "aceokvxyFLPTY" },
        { 700, "ABCKRVXZ" },  { 790, "DGHNOQU&" },        { 840, "w#+<=>^~" }, { 1000, "mMW@%" },
    };
    if (c == 0xa0) return 320; // a space that does not break
    if (g_unichar_iszerowidth(c)) return 0;
    if (g_unichar_iswide(c)) return 1000;
    if (c >= 0x80) return c < 0x250 && g_unichar_isalpha(c) ? 850 : 1000;
    for (gsize r = 0; r < G_N_ELEMENTS(row); r++)
        if (strchr(row[r].characters, (int)c)) return row[r].advance;
    return 640;
}

double thew_svg_text_width(const char *text, double size, bool bold)
{
    g_autofree char *valid = g_utf8_make_valid(text, -1);
    double width = 0;
    for (const char *at = valid; *at; at = g_utf8_next_char(at))
        width += advance_of(g_utf8_get_char(at));
    return width / 1000 * size * (bold ? 1.15 : 1);
}

// Bytes of a word's beginning that fit; at least one character.
static gsize fitting(const char *word, double width, double size, bool bold)
{
    const char *end = g_utf8_next_char(word);
    while (*end) {
        const char *next = g_utf8_next_char(end);
        g_autofree char *part = g_strndup(word, (gsize)(next - word));
        if (thew_svg_text_width(part, size, bold) > width) break;
        end = next;
    }
    return (gsize)(end - word);
}

static void take_line(GPtrArray *lines, GString *line)
{
    if (line->len > 0) g_ptr_array_add(lines, g_strdup(line->str));
    g_string_truncate(line, 0);
}

static void wrap_word(GPtrArray *lines, GString *line, const char *word, double width, double size, bool bold)
{
    g_autofree char *longer = g_strconcat(line->str, line->len ? " " : "", word, NULL);
    if (thew_svg_text_width(longer, size, bold) <= width) {
        g_string_assign(line, longer);
        return;
    }
    take_line(lines, line);
    while (thew_svg_text_width(word, size, bold) > width && g_utf8_strlen(word, -1) > 1) {
        gsize length = fitting(word, width, size, bold);
        g_ptr_array_add(lines, g_strndup(word, length));
        word += length;
    }
    g_string_assign(line, word);
}

GPtrArray *thew_svg_wrap(const char *text, double width, double size, bool bold)
{
    g_autofree char *valid = g_utf8_make_valid(text, -1);
    g_auto(GStrv) word = g_strsplit_set(valid, " \t\n", -1);
    GPtrArray *lines = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(GString) line = g_string_new(NULL);
    for (gsize w = 0; word[w]; w++)
        if (*word[w]) wrap_word(lines, line, word[w], width, size, bold);
    take_line(lines, line);
    if (lines->len == 0) g_ptr_array_add(lines, g_strdup(""));
    return lines;
}

void thew_svg_text_within(thew_svg *svg, const char *class_name, thew_svg_align align, double x, double y, double width,
                          const char *text)
{
    bool bold = strstr(class_name, "strong") != NULL;
    g_autofree char *valid = g_utf8_make_valid(text, -1);
    if (thew_svg_text_width(valid, THEW_SVG_TEXT, bold) <= width) {
        thew_svg_text(svg, class_name, align, x, y, valid);
        return;
    }
    static const char dots[] = "\u2026";
    double room = width - thew_svg_text_width(dots, THEW_SVG_TEXT, bold);
    g_autofree char *begin = g_strndup(valid, fitting(valid, room, THEW_SVG_TEXT, bold));
    g_autofree char *cut = g_strconcat(g_strchomp(begin), dots, NULL);
    thew_svg_text(svg, class_name, align, x, y, cut);
}

double thew_svg_title(thew_svg *svg, double width, const char *title)
{
    g_autoptr(GPtrArray) lines = thew_svg_wrap(title, width - 2 * MARGIN, THEW_SVG_TITLE, true);
    for (guint l = 0; svg && l < lines->len; l++)
        thew_svg_text(svg, "title", THEW_SVG_START, MARGIN, 36 + l * THEW_SVG_TITLE_LINE, lines->pdata[l]);
    return 36 + (lines->len - 1) * THEW_SVG_TITLE_LINE + 16;
}

thew_svg_rows thew_svg_rows_empty(void)
{
    thew_svg_rows rows = { .count = 0 };
    for (int r = 0; r < THEW_SVG_ROWS; r++)
        rows.taken_to[r] = -INFINITY;
    return rows;
}

int thew_svg_rows_take(thew_svg_rows *rows, double from, double to)
{
    int row = 0;
    while (row < THEW_SVG_ROWS - 1 && rows->taken_to[row] > from)
        row++;
    rows->taken_to[row] = to;
    rows->count = MAX(rows->count, row + 1);
    return row;
}
