// limb.c: see limb.h.
#include "draw/limb.h"

#include <math.h>

#include "draw/svg.h"

static void add_disc(GString *d, thew_knob k)
{
    thew_svg_add(d, "M", k.x - k.radius, k.y);
    thew_svg_add(d, "A", k.radius, k.radius, 0, 1, 1, k.x + k.radius, k.y);
    thew_svg_add(d, "A", k.radius, k.radius, 0, 1, 1, k.x - k.radius, k.y);
    g_string_append(d, "Z");
}

void thew_limb_add(GString *d, thew_knob from, thew_knob to)
{
    double dx = to.x - from.x, dy = to.y - from.y, length = hypot(dx, dy);
    if (length <= fabs(from.radius - to.radius) + 1e-6) { // one disc holds the other
        add_disc(d, from.radius > to.radius ? from : to);
        return;
    }
    // The outer tangents touch both discs where the normal n stands, n . u = (r1 - r2) / length.
    double ux = dx / length, uy = dy / length, cosine = (from.radius - to.radius) / length, sine = sqrt(1 - cosine * cosine);
    double ax = cosine * ux + sine * uy, ay = cosine * uy - sine * ux; // one side
    double bx = cosine * ux - sine * uy, by = cosine * uy + sine * ux; // the other
    int large_from = from.radius > to.radius, large_to = !large_from;
    thew_svg_add(d, "M", from.x + from.radius * ax, from.y + from.radius * ay);
    thew_svg_add(d, "L", to.x + to.radius * ax, to.y + to.radius * ay);
    thew_svg_add(d, "A", to.radius, to.radius, 0, large_to, 1, to.x + to.radius * bx, to.y + to.radius * by);
    thew_svg_add(d, "L", from.x + from.radius * bx, from.y + from.radius * by);
    thew_svg_add(d, "A", from.radius, from.radius, 0, large_from, 1, from.x + from.radius * ax, from.y + from.radius * ay);
    g_string_append(d, "Z");
}
