// heat.h: the heat index of the US National Weather Service, and the bands of caution made from it.
// Knows temperature and humidity. Leaves to others: what a studio does about it.
// Source: Rothfusz 1990 (NWS SR 90-23) with the two adjustments and the simple branch of the NWS heat index equation page.
#ifndef THEW_HEAT_H
#define THEW_HEAT_H

#include <stdbool.h>

/// The bare regression, degrees Fahrenheit in and out; humidity in percent, 0 to 100 (assert). It is what the printed table holds.
double thew_heat_regression_f(double air_f, double humidity_percent);
/// The full index: simple branch under 80 F, regression with dry and humid adjustment above.
double thew_heat_index_f(double air_f, double humidity_percent);
/// The same in degrees Celsius.
double thew_heat_index_c(double air_c, double humidity_percent);

typedef enum { THEW_HEAT_FINE, THEW_HEAT_LIGHTEN, THEW_HEAT_PAUSE } thew_heat_call;

/// What to do about it: lighten from 27 C (heat-sensitive: 24 C), no session from 32 C (heat-sensitive: 27 C); safety
/// rules M09 and M10.
///   before   the call made last time (THEW_HEAT_FINE if none): it is only taken back when the index falls 1 C under its limit,
///            since the formula jumps by up to 1 C at its switch
thew_heat_call thew_heat_advise(double index_c, bool heat_sensitive, thew_heat_call before);

#endif
