// setline.h: the set line: the one drawing of a set that is used everywhere.
// Time runs left to right; the line falls while lowering, is level at the pauses, rises while lifting (level throughout for a
// hold). Knows the tempo, the window, and the marks on the line. Leaves to others: what a set means (engine/evidence.h), words
// around it.
//
//        .   .   .   .   .|  .  *|       the line, a dot where the set failed
//     \_/ \_/ \_/ \_/ \_/ |\_/ \ |
//     0      floor     window            the window is a shaded band, the floor a dashed line
#ifndef THEW_SETLINE_H
#define THEW_SETLINE_H

#include <stdbool.h>

#include "engine/evidence.h"

#define THEW_SET_LINE_MARKS_MAX 8
#define THEW_SET_LINE_BESTS_MAX 4

typedef enum {
    THEW_SET_LINE_WIDE,  // of a page: with words; 800 px if no width is given
    THEW_SET_LINE_SMALL, // of a row in a table: none, but for those who cannot see it; 240 px
} thew_set_line_size;

/// How a set ended: a dot (failure), an arrow to the right (completed), a ring (reserve), a diamond (symptom), a square (other).
typedef struct {
    thew_ended ended;
    double seconds;
    double reserve_s; // felt to be left, for THEW_RESERVE; 0 or less: not said
} thew_set_line_mark;

typedef struct {
    thew_set_line_size size;
    thew_kind kind;
    thew_tempo tempo; // not looked at for a hold
    bool starts_lifting;
    double floor_s; // 0: none
    double window_from_s, window_to_s;
    thew_set_line_mark mark[THEW_SET_LINE_MARKS_MAX]; // by time; the last is the set's end (before it: a failure that was resumed)
    int mark_count;
    double best_s[THEW_SET_LINE_BESTS_MAX]; // earlier bests
    int best_count;
    bool has_expected; // the prediction: p10, p50, p90 of the time to failure; p90 may be infinite
    double p10_s, p50_s, p90_s;
    bool has_now; // a marker rides the line
    double now_s;
    const char *title;       // NULL: none is shown
    const char *description; // NULL: made from the numbers
    const char *prefix;      // of ids; see svg.h
    double width_px;         // 0: as said above
} thew_set_line;

/// The set line as a complete SVG document. Newly allocated.
char *thew_set_line_svg(const thew_set_line *line);

/// Height of the line at a time: 0 at the bottom (the turnaround from which is lifted), 1 at the top; .5 for a hold.
double thew_set_line_height(const thew_set_line *line, double time_s);

/// What is being done then: "lowering", "pause", "lifting"; "holding" for a hold.
const char *thew_set_line_phase(const thew_set_line *line, double time_s);

/// The same numbers in sentences. Newly allocated.
char *thew_set_line_words(const thew_set_line *line);

#endif
