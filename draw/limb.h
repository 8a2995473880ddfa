// limb.h: limbs as shapes: rounded pieces that taper from joint to joint, together one outline.
// Knows the shape. Leaves to others: where joints are (pose.h), how a shape is painted (figure.h).
#ifndef THEW_LIMB_H
#define THEW_LIMB_H

#include <glib.h>

/// A joint on the page, and how far the skin is from it. Pixels.
typedef struct {
    double x, y, radius;
} thew_knob;

/// Append to a path the outline of two discs and what a string round both would hold. All pieces turn the same way, so that several
/// in one path are filled, and outlined, as one.
void thew_limb_add(GString *d, thew_knob from, thew_knob to);

#endif
