// heat.c: see heat.h.
#include "heat.h"

#include <assert.h>

#include "real.h"

#define SWITCH_F 80.0    // from here on the regression holds
#define TAKEN_BACK_C 1.0 // how far under its limit a call is taken back

static void check(double air, double humidity_percent)
{
    assert(air > -1e3 && air < 1e3); // also catches what is not a number
    assert(humidity_percent >= 0 && humidity_percent <= 100);
    (void)air, (void)humidity_percent;
}

double thew_heat_regression_f(double air_f, double humidity_percent)
{
    check(air_f, humidity_percent);
    double t = air_f, h = humidity_percent;
    return -42.379 + 2.04901523 * t + 10.14333127 * h - .22475541 * t * h - .00683783 * t * t - .05481717 * h * h +
           .00122874 * t * t * h + .00085282 * t * h * h - .00000199 * t * t * h * h;
}

// Both vanish at the edges of their temperature range; the dry one also at 13 %, the humid one at 85 %.
static double adjustment_f(double air_f, double humidity_percent)
{
    if (humidity_percent < 13 && air_f >= 80 && air_f <= 112)
        return -(13 - humidity_percent) / 4 * thew_sqrt((17 - thew_abs(air_f - 95)) / 17);
    if (humidity_percent > 85 && air_f >= 80 && air_f <= 87) return (humidity_percent - 85) / 10 * (87 - air_f) / 5;
    return 0;
}

double thew_heat_index_f(double air_f, double humidity_percent)
{
    check(air_f, humidity_percent);
    // Already the average with the air temperature that the page asks for.
    double simple = .5 * (air_f + 61 + (air_f - 68) * 1.2 + humidity_percent * .094);
    if (simple < SWITCH_F) return simple;
    return thew_heat_regression_f(air_f, humidity_percent) + adjustment_f(air_f, humidity_percent);
}

double thew_heat_index_c(double air_c, double humidity_percent)
{
    return (thew_heat_index_f(air_c * 1.8 + 32, humidity_percent) - 32) / 1.8;
}

thew_heat_call thew_heat_advise(double index_c, bool heat_sensitive, thew_heat_call before)
{
    assert(index_c == index_c);
    double pause_c = heat_sensitive ? 27 : 32, lighten_c = heat_sensitive ? 24 : 27;
    if (index_c >= pause_c || (before == THEW_HEAT_PAUSE && index_c > pause_c - TAKEN_BACK_C)) return THEW_HEAT_PAUSE;
    if (index_c >= lighten_c || (before != THEW_HEAT_FINE && index_c > lighten_c - TAKEN_BACK_C)) return THEW_HEAT_LIGHTEN;
    return THEW_HEAT_FINE;
}
