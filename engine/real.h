// real.h: the engine's own elementary functions, bit for bit the same on every host.
// Knows exp, log, erfc, sine and cosine within 2 units in the last place (ULP), and the normal distribution made from them.
// Why not libm: its last bits differ between glibc, wasi-libc and compilers, and one hash over the reference diaries must agree
// natively and in the browser. Needs round-to-nearest and no contraction (-ffp-contract=off); sets no errno, calls no library.
// A NaN gives a NaN everywhere; which one is not promised.
#ifndef THEW_REAL_H
#define THEW_REAL_H

#define THEW_PI 3.14159265358979323846
#define THEW_ANGLE_MAX_RAD 1e5

/// e to the x; subnormal, then 0 far below, infinity from 709.79 up. Within 2 ULP (checked against MPFR, as everything here).
double thew_exp(double x);
/// Natural logarithm, subnormal numbers included; -infinity at 0, NaN below. Within 2 ULP.
double thew_log(double x);
/// Complementary error function. Within 2 ULP, also where the result is subnormal (x > 26.54): there a unit is 2^-1074, however few
/// of them the result has.
double thew_erfc(double x);
/// Sine and cosine of an angle in radians, |x| <= THEW_ANGLE_MAX_RAD; NaN beyond. Within 2 ULP, close to multiples of pi / 2 too.
double thew_sin(double x);
double thew_cos(double x);
/// Square root, correctly rounded (the machine's own instruction: IEEE 754 demands it).
static inline double thew_sqrt(double x)
{
    return __builtin_sqrt(x);
}
/// x to the power y for x > 0: exp of y ln x, so the error is up to 2 (|y ln x| + 1) ULP.
double thew_pow(double x, double y);

/// Arrays, element by element the same bits as the scalar functions; written so that a compiler can use vector instructions.
///   x, y   [count]; y may be x, but may not overlap it in part
void thew_exp_n(const double *x, double *y, int count);
void thew_log_n(const double *x, double *y, int count);
void thew_erfc_n(const double *x, double *y, int count);

/// Standard normal: density, distribution, upper tail. Within 2 ULP, each tail down to subnormal numbers.
double thew_normal_density(double z);
double thew_normal_below(double z);
double thew_normal_above(double z);
/// Logarithm of the upper tail, for any z: at z = 1e7 it is about -5e13. Within 5 ULP.
double thew_normal_above_ln(double z);
/// z whose lower tail is p, 0 < p < 1; infinities at 0 and 1, NaN outside. Within 3 ULP.
double thew_normal_quantile(double p);
/// Density over upper tail, phi(z) / (1 - Phi(z)): the inverse Mills ratio, stable for every z. Within 4 ULP.
double thew_normal_hazard(double z);

static inline double thew_min(double a, double b)
{
    return a < b ? a : b;
}
static inline double thew_max(double a, double b)
{
    return a > b ? a : b;
}
static inline double thew_clamp(double x, double low, double high)
{
    return x < low ? low : x > high ? high : x;
}
static inline double thew_abs(double x)
{
    return x < 0 ? -x : x;
}

#endif
