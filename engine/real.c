// real.c: see real.h.
// Knows how a double is laid out (IEEE 754 binary64) and polynomials fitted by tools/fit_real.py. Asks nothing of the machine but
// correctly rounded + - * / and square root, so the bits are the same wherever those are.
//
// Two habits run through the file. A kernel has no branch: both sides of a choice are computed and one is selected, so that a loop
// over it becomes vector instructions, and scalar and array calls share every operation. And where one rounding too many would
// cost the second ULP, a number is carried as a pair, high + low; where high has 26 bits only, the product of two such is exact.
// The bits are the same without it, but gcc makes vector instructions of the array functions only with -fno-trapping-math: else a
// comparison that might raise a floating-point flag, which nobody reads here, must stay a branch.
#include "real.h"

#include <float.h>
#include <stdint.h>

_Static_assert(FLT_EVAL_METHOD == 0, "sums and products must be rounded to double, one by one");

// Inlined without fail: a call would keep the loop from becoming vector instructions.
#define KERNEL static inline __attribute__((always_inline))

#define LN2_HIGH 0x1.62e42fefa38p-1 // 42 bits: times an exponent is exact
#define LN2_LOW 0x1.ef35793c7673p-45
#define LOG2_E 0x1.71547652b82fep+0
#define INFINITE __builtin_inf()
#define NOT_A_NUMBER __builtin_nan("")

typedef struct {
    double high, low; // their sum is the number, never rounded; low is small beside high
} pair;

// ---- bits ----

KERNEL uint64_t bits_of(double x)
{
    const union {
        double real;
        uint64_t bits;
    } same = { .real = x };
    return same.bits;
}

KERNEL double real_of(uint64_t bits)
{
    const union {
        uint64_t bits;
        double real;
    } same = { .bits = bits };
    return same.real;
}

KERNEL double magnitude(double x)
{
    return real_of(bits_of(x) & 0x7fffffffffffffff);
}

/// x cut to its first 26 bits; what is cut off is exact in a double too.
KERNEL double first_bits(double x)
{
    return real_of(bits_of(x) & 0xfffffffff8000000);
}

/// half of x squared.
KERNEL pair half_square(double x)
{
    const double high = first_bits(x);
    return (pair){ .5 * (high * high), .5 * ((x + high) * (x - high)) };
}

KERNEL double cubic(double x, double x2, double c0, double c1, double c2, double c3)
{
    return (c0 + c1 * x) + (c2 + c3 * x) * x2;
}

// ---- arrays ----

#define BLOCK 16

/// BLOCK elements from x to y, which do not overlap. Length and this are what a compiler must know to use vector instructions.
typedef void block_map(const double *restrict x, double *restrict y);

/// Any number of elements, y perhaps being x: a block's results go by way of the stack.
static inline void in_blocks(block_map *map, const double *x, double *y, int count)
{
    double out[BLOCK];
    int done = 0;
    for (; count - done >= BLOCK; done += BLOCK) {
        map(x + done, out);
        for (int i = 0; i < BLOCK; i++)
            y[done + i] = out[i];
    }
    if (done >= count) return;
    double last[BLOCK] = { 0 };
    for (int i = 0; i < count - done; i++)
        last[i] = x[done + i];
    map(last, out);
    for (int i = 0; i < count - done; i++)
        y[done + i] = out[i];
}

// ---- exponential ----

// Adding this to |x| < 2^51 rounds x to a whole number k and leaves k + 2046 in the last 12 bits.
#define ROUND_BIASED (0x1.8p52 + 2046)

/// y times 2^k, k as ROUND_BIASED left it: in two halves, so that each is a normal number and a subnormal result is rounded once.
KERNEL double times_power(double y, uint64_t biased)
{
    const uint64_t power = biased & 0xfff, half = power >> 1; // half - 1023 + (power - half) - 1023 = k
    return y * real_of(half << 52) * real_of((power - half) << 52);
}

/// (e^r - 1 - r) / r^2 for |r| <= ln 2 / 2.
KERNEL double exp_rest(double r, double r2)
{
    const double r4 = r2 * r2;
    const double low = cubic(r, r2, 0x1.000000000000ap-1, 0x1.55555555554fap-3, 0x1.555555555088dp-5, 0x1.1111111127bb7p-7);
    const double high = cubic(r, r2, 0x1.6c16c1842647bp-10, 0x1.a01a012a61a5fp-13, 0x1.a0199a1724b7cp-16, 0x1.71df254a62257p-19);
    return low + (high + (0x1.28ad687d901bp-22 + 0x1.ad7f639816a89p-26 * r) * r4) * r4;
}

KERNEL double exp_kernel(double x)
{
    // Beyond these the scaling itself overflows to infinity or rounds to 0. A NaN passes both comparisons unchanged.
    x = x < -746 ? -746 : x;
    x = x > 710 ? 710 : x;
    const double biased = x * LOG2_E + ROUND_BIASED;
    const double k = biased - ROUND_BIASED;
    const double r = (x - k * LN2_HIGH) - k * LN2_LOW, r2 = r * r;
    return times_power(1 + (r + r2 * exp_rest(r, r2)), bits_of(biased));
}

typedef struct {
    pair factor;
    uint64_t biased;
} scaled_pair;

/// e to the -x, 0 <= x.high < 800, to some 57 bits: factor in [.7, 1.42], and the power of 2 for times_power.
KERNEL scaled_pair exp_minus(pair x)
{
    const double biased = ROUND_BIASED - x.high * LOG2_E;
    const double k = biased - ROUND_BIASED;
    const double a = -x.high - k * LN2_HIGH, b = k * LN2_LOW + x.low; // a is exact
    const double r = a - b, r_low = (a - r) - b, r2 = r * r;
    const double high = first_bits(1 + r);
    return (scaled_pair){
        {high, ((1 - high) + r) + (r2 * exp_rest(r, r2) + r_low)},
        bits_of(biased)
    };
}

double thew_exp(double x)
{
    return exp_kernel(x);
}

static void exp_block(const double *restrict x, double *restrict y)
{
    for (int i = 0; i < BLOCK; i++)
        y[i] = exp_kernel(x[i]);
}

void thew_exp_n(const double *x, double *y, int count)
{
    in_blocks(exp_block, x, y, count);
}

// ---- logarithm ----

/// k ln 2 + ln(1 + f), sqrt 1/2 <= 1 + f < sqrt 2. With s = f / (2 + f): ln(1 + f) = 2 artanh s = 2 s + s rest(s^2), and 2 s is
/// f - f^2/2 + s f^2/2, so that the rounding of the quotient touches small terms only.
KERNEL double log_near_1(double f, double k)
{
    const double s = f / (2 + f), s2 = s * s, s4 = s2 * s2;
    const double low = cubic(s2, s4, 0x1.5555555555592p-1, 0x1.999999997fdacp-2, 0x1.24924941f1dd4p-2, 0x1.c71c5208c36b1p-3);
    const double high = 0x1.74663f08030cdp-3 + 0x1.39a1b7902f9cep-3 * s2 + 0x1.2f0582ce5991ap-3 * s4;
    const double rest = s2 * (low + high * (s4 * s4));
    const double f_square = .5 * f * f;
    return k * LN2_HIGH - ((f_square - (s * (f_square + rest) + k * LN2_LOW)) - f);
}

KERNEL double log_kernel(double x)
{
    const uint64_t sqrt_half = 0x3fe6a09e667f3bcd, one = 0x3ff0000000000000;
    const double normal = x < DBL_MIN ? x * 0x1p54 : x;
    const double lifted = x < DBL_MIN ? 54 : 0;
    const uint64_t moved = bits_of(normal) + (one - sqrt_half); // the exponent now steps at sqrt 1/2 times a power of 2
    // An integer below 2^52 becomes a double as the fraction of one: old vector units convert no 64-bit integers.
    const double k = (real_of((moved >> 52) | 0x4330000000000000) - (0x1p52 + 1023)) - lifted;
    const double f = real_of((moved & 0x000fffffffffffff) + sqrt_half) - 1;
    double y = log_near_1(f, k);
    y = x <= DBL_MAX ? y : x;
    y = x < 0 ? NOT_A_NUMBER : y;
    return x == 0 ? -INFINITE : y;
}

double thew_log(double x)
{
    return log_kernel(x);
}

static void log_block(const double *restrict x, double *restrict y)
{
    for (int i = 0; i < BLOCK; i++)
        y[i] = log_kernel(x[i]);
}

void thew_log_n(const double *x, double *y, int count)
{
    in_blocks(log_block, x, y, count);
}

double thew_pow(double x, double y)
{
    return thew_exp(y * thew_log(x));
}

// ---- complementary error function ----

// Steep factors first: erfc x = e^(-x^2) T / (x + 7/8) with T = (x + 7/8) e^(x^2) erfc x, which runs from .875 down to .58 only, as
// a polynomial in t = (x - c) / (x + c). With 7/8 T is almost flat at 0, where t is least exact; c is one of the few numbers for
// which degree 20 suffices and T at t = 0 is a double to 60 bits.
#define TAIL_SHIFT .875
#define TAIL_CENTRE 0x1.cfap+1
#define TAIL_AT_CENTRE 0x1.5a4dca053aa68p-1

/// T less its value at the centre, for 0 <= x < 26.6; some bits fewer up to 28.
KERNEL double tail_off_centre(double x)
{
    const double t = (x - TAIL_CENTRE) / (x + TAIL_CENTRE);
    const double t2 = t * t, t4 = t2 * t2, t8 = t4 * t4;
    const double c0 = cubic(t, t2, -0x1.67aca122b4778p-3, 0x1.59f9f7d117975p-4, -0x1.0662e8f78f5fap-6, -0x1.396a7f7b4566bp-6);
    const double c4 = cubic(t, t2, 0x1.b14d71707a8dcp-6, -0x1.3bfcdffa1c9f2p-6, 0x1.387c2cf49cacp-7, -0x1.8de7698e5e1efp-9);
    const double c8 = cubic(t, t2, 0x1.651cfe98cfdc5p-12, 0x1.ad2a6feb244e2p-13, -0x1.b15258fa6a34fp-14, 0x1.2877bd059ba7ep-19);
    const double c12 = cubic(t, t2, 0x1.b00fc8b5e7643p-17, -0x1.62349692b170dp-19, -0x1.844391cd9bf32p-20, 0x1.256ef657978d9p-21);
    const double c16 = cubic(t, t2, 0x1.827d8cc5cee3cp-23, -0x1.7d5a5c88ea21cp-24, -0x1.d5abc2cca86b3p-26, 0x1.5059c047e18b4p-27);
    const double c20 = 0x1.fced3c6bf8925p-29;
    return t * ((c0 + c4 * t4) + ((c8 + c12 * t4) + (c16 + c20 * t4) * t8) * t8);
}

typedef struct {
    double factor;
    uint64_t biased;
} scaled;

/// erfc(x + x_low) before its power of 2, for 0 <= x <= 28 and square = x^2. Exponential, T and divisor are pairs: what is left of
/// error is T's and the exponential's own, and one rounding.
KERNEL scaled erfc_positive(double x, double x_low, pair square)
{
    const scaled_pair e = exp_minus(square);
    const double off = tail_off_centre(x), tail = TAIL_AT_CENTRE + off;
    const double tail_high = first_bits(tail), tail_low = (TAIL_AT_CENTRE - tail_high) + off;
    const double product = e.factor.high * tail_high; // exact
    const double product_low = e.factor.high * tail_low + e.factor.low * tail;
    const double divisor = x + TAIL_SHIFT, divisor_high = first_bits(divisor);
    const double divisor_low = (x - (divisor_high - TAIL_SHIFT)) + x_low;
    const double inverse = 1 / divisor;
    const double y = first_bits((e.factor.high + e.factor.low) * inverse * tail); // a first quotient: 26 bits are enough
    const double left = ((product - y * divisor_high) - y * divisor_low) + product_low;
    return (scaled){ y + left * inverse, e.biased };
}

KERNEL double erfc_kernel(double x)
{
    const double far = magnitude(x), a = far > 27.5 ? 27.5 : far; // erfc 27.3 rounds to 0
    const double a_high = first_bits(a);
    const scaled y = erfc_positive(a, 0, (pair){ a_high * a_high, (a + a_high) * (a - a_high) });
    const double above = times_power(y.factor, y.biased);
    return x < 0 ? 2 - above : above;
}

double thew_erfc(double x)
{
    return erfc_kernel(x);
}

static void erfc_block(const double *restrict x, double *restrict y)
{
    for (int i = 0; i < BLOCK; i++)
        y[i] = erfc_kernel(x[i]);
}

void thew_erfc_n(const double *x, double *y, int count)
{
    in_blocks(erfc_block, x, y, count);
}

// ---- sine and cosine ----

typedef struct {
    double high, low; // radians within pi / 4 of 0; low is below half a unit of high's last place
    uint64_t quarter; // turns of pi / 2 taken off, last two bits
} angle;

/// s = a - b rounded, and what the rounding lost.
KERNEL double minus_rounded_off(double s, double a, double b)
{
    const double back = s - a;
    return (a - (s - back)) - (b + back);
}

/// Takes off the nearest multiple of pi / 2. Three parts of 33 bits times a count of 16 bits are exact; with the fourth, what is
/// left near a multiple of pi / 2 keeps more than 53 bits for every double up to 1e5.
static angle nearest_quarter(double x)
{
    const double biased = x * 0x1.45f306dc9c883p-1 + 0x1.8p52, n = biased - 0x1.8p52;
    const double a = x - n * 0x1.921fb544p+0; // exact
    const double b = n * 0x1.0b4611a6p-34, first = a - b;
    const double c = n * 0x1.3198a2ep-69, second = first - c;
    const double low = (minus_rounded_off(first, a, b) + minus_rounded_off(second, first, c)) - n * 0x1.b839a252049c1p-104;
    const double high = second + low;
    return (angle){ high, (second - high) + low, bits_of(biased) };
}

static double sin_near_0(angle r)
{
    const double x = r.high, x2 = x * x, x4 = x2 * x2;
    const double low = cubic(x2, x4, -0x1.5555555555549p-3, 0x1.111111110f88p-7, -0x1.a01a019c125f3p-13, 0x1.71de35786a4ebp-19);
    const double rest = low + (-0x1.ae5e66cceadfcp-26 + 0x1.5d932cecdbc8cp-33 * x2) * (x4 * x4);
    return x + (x * (x2 * rest) + r.low * (1 - .5 * x2));
}

static double cos_near_0(angle r)
{
    const double x = r.high, x2 = x * x, x4 = x2 * x2;
    const double low = cubic(x2, x4, 0x1.555555555554cp-5, -0x1.6c16c16c15185p-10, 0x1.a01a019cb2714p-16, -0x1.27e4f80a769fcp-22);
    const double rest = low + (0x1.1ee9ec4739306p-29 - 0x1.8faeceb14e4c1p-37 * x2) * (x4 * x4);
    const double half = .5 * x2, first = 1 - half;
    return first + (((1 - first) - half) + (x4 * rest - x * r.low));
}

static double sin_of_quarter(double x, uint64_t ahead)
{
    if (!(magnitude(x) <= THEW_ANGLE_MAX_RAD)) return NOT_A_NUMBER;
    const angle r = nearest_quarter(x);
    const uint64_t quarter = r.quarter + ahead;
    const double y = quarter & 1 ? cos_near_0(r) : sin_near_0(r);
    return quarter & 2 ? -y : y;
}

double thew_sin(double x)
{
    return sin_of_quarter(x, 0);
}

double thew_cos(double x)
{
    return sin_of_quarter(x, 1);
}

// ---- normal distribution ----

#define INV_SQRT_2 0x1.6a09e667f3bcdp-1
#define INV_SQRT_2_HIGH 0x1.6a09e68p-1 // 26 bits
#define INV_SQRT_2_LOW -0x1.80c4336f74d05p-29
#define INV_SQRT_2PI 0x1.9884533d43651p-2
#define INV_SQRT_2PI_HIGH 0x1.988453p-2 // 26 bits
#define INV_SQRT_2PI_LOW 0x1.ea1b284687e5ap-29
#define INV_SQRT_PI 0x1.20dd750429b6dp-1
#define TAIL_SHIFT_SCALED 0x1.6573c8d59af86p-1 // 7/8 sqrt(2 / pi)
#define FAR_Z 39.0                             // density and upper tail round to 0 before

static double near_z(double z)
{
    return magnitude(z) > FAR_Z ? FAR_Z : magnitude(z);
}

double thew_normal_density(double z)
{
    const scaled_pair e = exp_minus(half_square(near_z(z)));
    const double low = e.factor.high * INV_SQRT_2PI_LOW + e.factor.low * INV_SQRT_2PI;
    return times_power(e.factor.high * INV_SQRT_2PI_HIGH + low, e.biased);
}

/// Upper tail for z >= 0. The exponent is z^2 / 2 itself and the divisor knows the rounding of z / sqrt 2, so nothing is lost far
/// out.
static double above_positive(double z)
{
    const double x = z * INV_SQRT_2, z_high = first_bits(z);
    const double x_low = (z_high * INV_SQRT_2_HIGH - x) + (z_high * INV_SQRT_2_LOW + (z - z_high) * INV_SQRT_2);
    const scaled y = erfc_positive(x, x_low, half_square(z));
    return times_power(.5 * y.factor, y.biased);
}

double thew_normal_above(double z)
{
    const double above = above_positive(near_z(z));
    return z < 0 ? 1 - above : above;
}

double thew_normal_below(double z)
{
    return thew_normal_above(-z);
}

/// Inverse Mills ratio, density over upper tail, for z >= 0: (x + 7/8) / T times sqrt(2 / pi) at x = z / sqrt 2. Far out the
/// asymptotic series of the ratio in 1 / z^2 (Laplace): from z = 37 its first term left out is below 2e-17.
static double hazard_positive(double z)
{
    if (z < 37) return (z * INV_SQRT_PI + TAIL_SHIFT_SCALED) / (TAIL_AT_CENTRE + tail_off_centre(z * INV_SQRT_2));
    const double v = 1 / (z * z);
    return z / (1 - v * (1 - v * (3 - v * (15 - v * (105 - v * (945 - v * 10395))))));
}

double thew_normal_above_ln(double z)
{
    if (z < -.545) return log_near_1(-above_positive(near_z(z)), 0); // 1 + f stays above sqrt 1/2
    if (z < 1) return thew_log(thew_normal_above(z));
    const double within = z > 1e155 ? 1e155 : z; // its square is infinite already, its pair is no NaN
    const pair square = half_square(within);
    return (thew_log(INV_SQRT_2PI / hazard_positive(within)) - square.low) - square.high;
}

double thew_normal_hazard(double z)
{
    if (z < 0) return thew_normal_density(z) / thew_normal_above(z);
    return hazard_positive(z);
}

/// Quantile of .5 + d, |d| <= 1/4.
static double quantile_centre(double d)
{
    const double v = d * d, v2 = v * v, v4 = v2 * v2;
    const double low = cubic(v, v2, 0x1.b263fec4e0b22p-8, 0x1.4ffddeaa22e4cp+1, 0x1.71713082c9318p+2, 0x1.f55d0d85e2bfep+3);
    const double middle = cubic(v, v2, 0x1.7849484e77619p+5, 0x1.2ba92dc4cb606p+7, 0x1.f038fe6794b4dp+8, 0x1.a72986bd59f01p+10);
    const double high = cubic(v, v2, 0x1.688bf39598a9dp+12, 0x1.6f8c13d85b60cp+14, 0x1.70aa5eb71d917p+14, 0x1.b044f25d79e05p+19);
    const double top = -0x1.c223e4df1e157p+21 + 0x1.4a9cc8bc5e3d6p+24 * v;
    return 2.5 * d + d * (low + v4 * (middle + v4 * (high + v4 * top))); // sqrt(2 pi) = 2.507: most of it without a rounded factor
}

/// z > 0 whose upper tail is q <= 1/4: a start within 4e-6, then one step of Halley's method on ln(above z) - ln q, whose slope is
/// the hazard; the error left is about a tenth of the start's cubed.
static double quantile_tail(double q)
{
    const double ln_q = thew_log(q), r = thew_sqrt(-2 * ln_q);
    const double v = 1 / (r + 4), v2 = v * v;
    const double low = cubic(v, v2, 0x1.0f7eba60f0c1p-7, 0x1.4e4517f5d4c5fp+2, -0x1.0202f9c823f7dp+5, 0x1.027a43ed0707p+9);
    const double high = cubic(v, v2, -0x1.2462006869c2cp+12, 0x1.bff30d0c647e7p+14, -0x1.7e4292499d4b5p+16, 0x1.28a3903ab881p+17);
    const double z = r - (low + high * (v2 * v2));
    // The quotient is the more exact, except where the tail is subnormal and has few bits.
    const double miss = q > 1e-290 ? thew_log(thew_normal_above(z) / q) : thew_normal_above_ln(z) - ln_q;
    const double hazard = thew_normal_hazard(z);
    return z + miss / (hazard + .5 * miss * (hazard - z));
}

double thew_normal_quantile(double p)
{
    if (!(p > 0 && p < 1)) return p == 0 ? -INFINITE : p == 1 ? INFINITE : NOT_A_NUMBER;
    const double d = p - .5; // exact from .25 up
    if (magnitude(d) <= .25) return quantile_centre(d);
    return d < 0 ? -quantile_tail(p) : quantile_tail(1 - p);
}
