// noise_test.c: the noise of a set (normal + Laplace) against brute force: the sum of the two densities' product over a fine grid, with
// libm; and what it was chosen for: its logarithm is concave everywhere, and its pull is bounded.
#include "rows.h"

#include <math.h>

#include "engine/noise.h"
#include "engine/real.h"

static const struct {
    double sd, tail;
} each[] = { { .0294, .0394 }, { .12, .0394 }, { .3, .0394 }, { .01, .2 }, { .9, .0394 }, { .053, 0 } };

static double laplace_above(double x, double tail)
{
    return x < 0 ? 1 - .5 * exp(x / tail) : .5 * exp(-x / tail);
}

// Sum over the normal part from -12 to 12 SDs (trapezoid: exact to the last digits for a smooth integrand, and cells of a hundredth of an
// SD for the Laplace's corner).
static void brute(double sd, double tail, double z, double *density, double *above)
{
    enum { CELLS = 240000 };
    *density = *above = 0;
    double cell = 24.0 / CELLS;
    for (int i = 0; i <= CELLS; i++) {
        double t = -12 + i * cell, weight = cell * exp(-.5 * t * t) / sqrt(2 * THEW_PI), left = z - sd * t;
        *density += weight * exp(-fabs(left) / tail) / (2 * tail);
        *above += weight * laplace_above(left, tail);
    }
}

static void density_and_tail_are_those_of_brute_force(void **state)
{
    (void)state;
    EACH(i, each) for (double z = -1.2; z < 1.21; z += .3)
    {
        double sd = each[i].sd, tail = each[i].tail, density, above;
        if (tail > 0) {
            brute(sd, tail, z, &density, &above);
        } else {
            density = exp(-.5 * z * z / (sd * sd)) / (sd * sqrt(2 * THEW_PI));
            above = .5 * erfc(z / sd / sqrt(2));
        }
        thew_noise_at at = thew_noise_look(sd, tail, z);
        double scale = exp(thew_noise_ln_scale(sd, tail, z));
        row_relative("density", density, scale * at.density, 1e-6);
        row_relative("above", above, scale * at.above, 1e-6);
    }
    rows_end(100);
}

// Slope and bend are the density's own derivatives: central differences.
static void slopes_are_differences(void **state)
{
    (void)state;
    EACH(i, each) for (double z = -.4; z < .41; z += .16)
    {
        double sd = each[i].sd, tail = each[i].tail, h = 1e-4 * sd, f[3];
        for (int k = 0; k < 3; k++)
            f[k] = exp(thew_noise_ln_scale(sd, tail, z + (k - 1) * h)) * thew_noise_look(sd, tail, z + (k - 1) * h).density;
        thew_noise_at at = thew_noise_look(sd, tail, z);
        double scale = exp(thew_noise_ln_scale(sd, tail, z)), size = f[1] / sd;
        row_near("slope", (f[2] - f[0]) / (2 * h), scale * at.slope, 1e-5 * size);
        row_near("bend", (f[2] - 2 * f[1] + f[0]) / (h * h), scale * at.bend, 1e-4 * size / sd + 1e-4 * fabs(scale * at.bend));
    }
    rows_end(60);
}

// (ln f)'' < 0 and |(ln f)'| < 1 / tail wherever it is looked at: later never speaks for weaker, and no set pulls without bound.
static void it_is_log_concave_and_pulls_within_bounds(void **state)
{
    (void)state;
    EACH(i, each) for (double z = -4; z <= 4; z += .01)
    {
        double sd = each[i].sd, tail = each[i].tail;
        thew_noise_at at = thew_noise_look(sd, tail, fabs(z));
        double pull = -at.slope / at.density, curve = at.bend / at.density - pull * pull;
        row_between("curve", -INFINITY, curve, 1e-9 / (sd * sd));
        if (tail > 0) row_between("pull", 0, pull, 1 / tail * (1 + 1e-12));
    }
    rows_end(6 * 800);
}

// Whatever way it is asked for, it is the same noise; where only the Laplace is left too.
static void the_many_are_the_one(void **state)
{
    (void)state;
    enum { COUNT = 203 };
    double z[COUNT], density[COUNT], above[COUNT];
    EACH(i, each)
    {
        double sd = each[i].sd, tail = each[i].tail;
        for (int k = 0; k < COUNT; k++)
            z[k] = -1.5 + .015 * k;
        thew_noise_density_n(sd, tail, z, density, COUNT);
        thew_noise_above_n(sd, tail, z, above, COUNT);
        for (int k = 0; k < COUNT; k++) {
            thew_noise_at at = thew_noise_look(sd, tail, z[k]);
            double scale = exp(thew_noise_ln_scale(sd, tail, z[k])), below, here, slope;
            row_relative("density", scale * at.density, density[k], 1e-9);
            row_relative("above", scale * at.above, above[k], 1e-9);
            thew_noise_below_each(&sd, tail, &z[k], 1, &below, &here, &slope);
            row_near("below", 1 - scale * at.above, below, 1e-12);
            row_relative("density of each", scale * at.density, here, 1e-9);
            row_near("slope of each", scale * at.slope, slope, 1e-9 * fabs(scale * at.slope) + 1e-300);
        }
    }
    rows_end(5 * 6 * COUNT);
}

// A tail much shorter than the normal part counts by its variance: the two ways meet.
static void a_short_tail_is_a_little_more_variance(void **state)
{
    (void)state;
    for (double t = -4; t <= 4; t += .5) {
        thew_noise_at just = thew_noise_look(1, 1 / 23.99, fabs(t)), beyond = thew_noise_look(1, 1 / 24.01, fabs(t));
        double a = exp(thew_noise_ln_scale(1, 1 / 23.99, fabs(t))), b = exp(thew_noise_ln_scale(1, 1 / 24.01, fabs(t)));
        row_near("density", a * just.density, b * beyond.density, 1e-5);
        row_near("above", a * just.above, b * beyond.above, 1e-5);
    }
    rows_end(34);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(density_and_tail_are_those_of_brute_force),
        cmocka_unit_test(slopes_are_differences),
        cmocka_unit_test(it_is_log_concave_and_pulls_within_bounds),
        cmocka_unit_test(the_many_are_the_one),
        cmocka_unit_test(a_short_tail_is_a_little_more_variance),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
