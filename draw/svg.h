// svg.h: the one writer of every drawing: document, shapes, text, and the house's look.
// Knows SVG's syntax (numbers with a point whatever the locale, everything escaped), palette and type, how wide text is at most.
// Leaves to others: what is drawn.
//
// One drawing is one <svg> that stands by itself in a file, or in a page beside others: its rules hold inside it only, and every id
// begins with the drawing's prefix. Lengths are pixels at the width that was asked for, so that text keeps its size: ask for a
// narrow drawing where there is little room instead of shrinking a wide one.
//
// The look: ink on paper, light or dark as the reader has chosen, always light in print; two strong colours, blue and orange, that
// hold up in every form of colour blindness; whatever a colour says, a shape, a dash or a word says too. 18 px and more, a typeface
// made for low vision where there is one.
#ifndef THEW_SVG_H
#define THEW_SVG_H

#include <glib.h>
#include <stdbool.h>

#define THEW_SVG_WIDTH 800.0  // where none is asked for
#define THEW_SVG_NARROW 560.0 // below this a drawing puts below what else stands beside
#define THEW_SVG_TEXT 18.0    // size of type, px
#define THEW_SVG_TITLE 22.0   // size of type of a title, bold
#define THEW_SVG_LINE 25.0    // from one line of text to the next
#define THEW_SVG_TITLE_LINE 29.0

typedef struct {
    GString *out;
    double width, height;
} thew_svg;

/// Open a document.
///   prefix       begins every id: letters, digits and hyphens, unique in the page; NULL: "thew"
///   title        what is seen, as a sentence; also the picture's name for those who cannot see it
///   description  the same in full; NULL: the title
void thew_svg_begin(thew_svg *svg, double width, double height, const char *prefix, const char *title, const char *description);
/// Close it. Newly allocated.
char *thew_svg_end(thew_svg *svg);

/// The style sheet that every document carries, for a page whose policy lets no style stand in it. Newly allocated.
char *thew_svg_look(void);

/// The widths that a caller may ask for, and 0 for the default: what is drawn. At least 280.
double thew_svg_width(double asked, double fallback);

/// A group; `class_name` may hold several. Close each that was opened.
void thew_svg_open(thew_svg *svg, const char *class_name);
void thew_svg_close(thew_svg *svg);

void thew_svg_line(thew_svg *svg, const char *class_name, double x1, double y1, double x2, double y2);
void thew_svg_circle(thew_svg *svg, const char *class_name, double x, double y, double radius);
void thew_svg_box(thew_svg *svg, const char *class_name, double x, double y, double width, double height, double radius);
void thew_svg_path(thew_svg *svg, const char *class_name, const char *d);
/// A path with a line width of its own.
void thew_svg_stroke(thew_svg *svg, const char *class_name, double width, const char *d);

/// Part of a path: a command and its numbers, thew_svg_add(d, "M", x, y).
#define thew_svg_add(d, command, ...)                                                                                              \
    thew_svg_numbers(d, command, (const double[]){ __VA_ARGS__ }, sizeof((const double[]){ __VA_ARGS__ }) / sizeof(double))
void thew_svg_numbers(GString *d, const char *command, const double *number, gsize count);

typedef enum { THEW_SVG_START, THEW_SVG_MIDDLE, THEW_SVG_END } thew_svg_align;

/// A line of text with its foot at y.
void thew_svg_text(thew_svg *svg, const char *class_name, thew_svg_align align, double x, double y, const char *text);

/// The most room that a text takes in any of the typefaces, px.
double thew_svg_text_width(const char *text, double size, bool bold);
/// Text broken into lines no wider than `width`, at spaces where it can be. Owned strings; at least one.
GPtrArray *thew_svg_wrap(const char *text, double width, double size, bool bold);
/// A line of text no wider than `width`: what is too long ends in dots. Bold if the class is "strong".
void thew_svg_text_within(thew_svg *svg, const char *class_name, thew_svg_align align, double x, double y, double width,
                          const char *text);
/// A title at the drawing's head, wrapped to its width.
///   returns   the y below it; the same with svg NULL, which draws nothing (for measuring)
double thew_svg_title(thew_svg *svg, double width, const char *title);

/// Labels that must not lie on each other: rows of text one above the other, filled from left to right.
#define THEW_SVG_ROWS 6
typedef struct {
    double taken_to[THEW_SVG_ROWS];
    int count; // rows in use
} thew_svg_rows;
thew_svg_rows thew_svg_rows_empty(void);
/// The first row that has room from `from` to `to`; the last row if none has.
int thew_svg_rows_take(thew_svg_rows *rows, double from, double to);

#endif
