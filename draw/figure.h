// figure.h: the figure: one person doing one movement, drawn from the very geometry that demand is computed from.
// Knows how a body, what it holds and the room are painted. Leaves to others: where everything is (pose.h, scene.h), whose body.
//
//   two turnarounds   the start of the lift as an outline behind its end, the way of hand or foot as an arc with an arrow; of a
//   hold,
//                     the start and where it is held
//   one frame         anywhere in the range, for a figure that moves: all frames of a movement have the same size and place
//
// Near limbs are dark, far ones pale. What resists is orange: a band is the thinner the more it is stretched, and sags when slack.
#ifndef THEW_FIGURE_H
#define THEW_FIGURE_H

#include "catalogue/catalogue.h"

typedef struct {
    const thew_variant *variant;
    const thew_implement *implement; // one of the variant's
    const thew_setting *setting;     // one of the implement's; NULL: the first
    const thew_body_model *body;
    const thew_band *band;      // shows its true stretch; NULL: drawn as just taut where it is shortest
    const char *prefix;         // of ids; see svg.h
    double width_px, height_px; // 0: 480 x 400
    bool is_bare;               // no words in the picture, only its title and description
} thew_figure;

/// Both turnarounds. A complete SVG document, newly allocated.
char *thew_figure_svg(const thew_figure *figure);
/// One frame at s, from 0 to 1. The same. Joints are circles of class "joint" and their name.
char *thew_figure_frame_svg(const thew_figure *figure, double s);

/// Where a place of the movement (the engine's coordinates) lies in the picture, px.
typedef struct {
    double x, y, px_per_m;
} thew_figure_place;
thew_figure_place thew_figure_place_of(const thew_figure *figure, thew_xy place);

#endif
