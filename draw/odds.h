// odds.h: the ladder with its odds: for each rung a bar of what a set would probably do, and the same in numbers.
// Knows bars and numbers. Leaves to others: the odds (engine/outlook.h), which rungs are worth showing, what they are called.
#ifndef THEW_ODDS_H
#define THEW_ODDS_H

#include <stdbool.h>

#include "engine/outlook.h"

/// The four parts of a bar, in their order.
typedef enum { THEW_ODDS_FLOOR, THEW_ODDS_EARLY, THEW_ODDS_WINDOW, THEW_ODDS_BEYOND, THEW_ODDS_PARTS } thew_odds_part;

typedef struct {
    const char *label; // what to take
    thew_odds odds;
    bool is_advised; // marked by a frame, an arrow and a word
    bool is_last;    // of the last set: marked by a ring and a word
} thew_odds_rung;

typedef struct {
    const char *title;
    const char *description; // NULL: made from the numbers
    double floor_s, window_from_s, window_to_s;
    const thew_odds_rung *rung; // [rung_count], from the lightest, drawn from the top
    int rung_count;
    const char *prefix; // of ids; see svg.h
    double width_px;    // 0: 800
} thew_odds_ladder;

/// The ladder as a complete SVG document. Newly allocated.
char *thew_odds_svg(const thew_odds_ladder *ladder);

/// Leave out the rungs on which a set hardly ever ends inside the window (under 5 in 100), but neither the advised nor the last one.
///   returns   how many are left, in their order
int thew_odds_keep_telling(thew_odds_rung *rung, int rung_count);

/// Whole chances in 100 that add up to 100 (largest remainder). The odds must add up to 1.
///   in_100   out [THEW_ODDS_PARTS]
void thew_odds_in_100(const thew_odds *odds, int in_100[THEW_ODDS_PARTS]);

#endif
