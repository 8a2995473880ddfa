// decay.h: an exponential approach to a level, and its inverse, exact to the last digits however slow the approach is.
// Knows two quotients that tend to 1 as their argument tends to 0, without cancellation. For endurance.c and fatigue.c only.
//
// Both divide by the logarithm of the rounded value instead of by the argument, so that the rounding errors of numerator and
// denominator cancel (Kahan's way to ln(1 + x) and e^x - 1; memory). Checked against series in tests/engine/endurance_test.c.
#ifndef THEW_DECAY_H
#define THEW_DECAY_H

#include "real.h"

/// (1 - e^-z) / z for z >= 0, infinity included: how much of a constant rate has arrived after z time constants.
static inline double thew_decay_arrived(double z)
{
    double left = thew_exp(-z);
    if (left == 1) return 1;
    if (left < 0x1p-60) return 1 / z; // 1 - left rounds to 1; and the logarithm of a subnormal number is worth nothing
    return (1 - left) / -thew_log(left);
}

/// -ln(1 - y) / y for 0 <= y < 1: by what factor decay delays an arrival.
static inline double thew_decay_delay(double y)
{
    double left = 1 - y;
    return left == 1 ? 1 : thew_log(left) / (left - 1);
}

#endif
