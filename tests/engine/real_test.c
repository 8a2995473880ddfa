// real_test.c: engine/real.h against MPFR (correctly rounded at any precision), against the C library's long double where MPFR is
// slow, and against itself: arrays give the scalars' bits, and one hash stands for all results on every host.
// An error is counted in units in the last place of the exact result (ULP); below the normal numbers a unit is 2^-1074.
#define _GNU_SOURCE // M_SQRT1_2l and its like
#include <float.h>
#include <math.h>
#include <mpfr.h>

#include "engine/real.h"
#include "tests/engine/real_hash.h"
#include "tests/engine/rows.h"

// The longest square that occurs has 106 bits; the rest is room for what subtraction eats.
enum { PRECISION = 160 };

// ---- arguments ----

static const uint64_t seed = 20250301;
static uint64_t state;

/// Uniform in [0, 1): splitmix64.
static double fraction(void)
{
    uint64_t z = state += 0x9e3779b97f4a7c15u;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return (double)((z ^ (z >> 31)) >> 11) * 0x1p-53;
}

typedef enum {
    EVEN,    // uniform between low and high
    SCALES,  // 2^low to 2^high, every binade alike; negative if the function takes that
    BELOW_1, // 1 - 2^low to 1 - 2^high
    AROUND,  // numbers next to where something changes: see `edge`
} spread;

static const double edge[] = {
    0,         0x1p-1074, DBL_MIN, 0x1p-54, .25,  .5,         .75,    1,      2,       M_LN2 / 2, M_LN2,
    M_SQRT1_2, M_SQRT2,   M_PI_4,  M_PI_2,  M_PI, 0x1.cfap+1, .545,   .875,   26.5,    26.543,    26.6,
    27.2,      37,        37.5,    38.4,    38.6, 708.39,     709.78, 745.13, 99999.9, DBL_MAX,
};
enum { EDGE_COUNT = sizeof edge / sizeof *edge, NEIGHBOUR_COUNT = 20 };

static double neighbour(double x, int steps)
{
    for (; steps > 0; steps--)
        x = nextafter(x, INFINITY);
    for (; steps < 0; steps++)
        x = nextafter(x, -INFINITY);
    return x;
}

static double argument(spread how, double low, double high, int i)
{
    switch (how) {
    case EVEN:
        return low + (high - low) * fraction();
    case SCALES:
        return exp2(low + (high - low) * fraction());
    case BELOW_1:
        return 1 - exp2(low + (high - low) * fraction());
    default: {
        const double x = edge[i / NEIGHBOUR_COUNT / 2 % EDGE_COUNT];
        return neighbour(i / NEIGHBOUR_COUNT % 2 ? -x : x, i % NEIGHBOUR_COUNT - NEIGHBOUR_COUNT / 2);
    }
    }
}

// ---- references ----

typedef void exact_function(mpfr_t y, const mpfr_t x);
typedef long double fine_function(double x);

static void exact_exp(mpfr_t y, const mpfr_t x)
{
    mpfr_exp(y, x, MPFR_RNDN);
}
static void exact_log(mpfr_t y, const mpfr_t x)
{
    mpfr_log(y, x, MPFR_RNDN);
}
static void exact_erfc(mpfr_t y, const mpfr_t x)
{
    mpfr_erfc(y, x, MPFR_RNDN);
}
static void exact_sin(mpfr_t y, const mpfr_t x)
{
    mpfr_sin(y, x, MPFR_RNDN);
}
static void exact_cos(mpfr_t y, const mpfr_t x)
{
    mpfr_cos(y, x, MPFR_RNDN);
}

static void exact_above(mpfr_t y, const mpfr_t z)
{
    mpfr_sqrt_ui(y, 2, MPFR_RNDN);
    mpfr_div(y, z, y, MPFR_RNDN);
    mpfr_erfc(y, y, MPFR_RNDN);
    mpfr_div_2ui(y, y, 1, MPFR_RNDN);
}

static void exact_below(mpfr_t y, const mpfr_t z)
{
    MPFR_DECL_INIT(minus, PRECISION);
    mpfr_neg(minus, z, MPFR_RNDN);
    exact_above(y, minus);
}

static void exact_density(mpfr_t y, const mpfr_t z)
{
    MPFR_DECL_INIT(root, PRECISION);
    mpfr_const_pi(root, MPFR_RNDN);
    mpfr_mul_2ui(root, root, 1, MPFR_RNDN);
    mpfr_sqrt(root, root, MPFR_RNDN);
    mpfr_sqr(y, z, MPFR_RNDN);
    mpfr_div_2ui(y, y, 1, MPFR_RNDN);
    mpfr_neg(y, y, MPFR_RNDN);
    mpfr_exp(y, y, MPFR_RNDN);
    mpfr_div(y, y, root, MPFR_RNDN);
}

static void exact_above_ln(mpfr_t y, const mpfr_t z)
{
    if (mpfr_sgn(z) > 0) {
        exact_above(y, z);
        mpfr_log(y, y, MPFR_RNDN);
    } else {
        exact_below(y, z);
        mpfr_neg(y, y, MPFR_RNDN);
        mpfr_log1p(y, y, MPFR_RNDN);
    }
}

static void exact_hazard(mpfr_t y, const mpfr_t z)
{
    MPFR_DECL_INIT(above, PRECISION);
    exact_above(above, z);
    exact_density(y, z);
    mpfr_div(y, y, above, MPFR_RNDN);
}

/// The root of ln above(-y) = ln p by one of Newton's steps on the exact function, begun at the answer to be judged: an error e of
/// that is shown with an error of e squared.
static void exact_quantile(mpfr_t y, const mpfr_t p)
{
    MPFR_DECL_INIT(ln_p, PRECISION);
    MPFR_DECL_INIT(minus, PRECISION);
    MPFR_DECL_INIT(miss, PRECISION);
    MPFR_DECL_INIT(hazard, PRECISION);
    mpfr_log(ln_p, p, MPFR_RNDN);
    mpfr_set_d(minus, -thew_normal_quantile(mpfr_get_d(p, MPFR_RNDN)), MPFR_RNDN);
    exact_above_ln(miss, minus);
    exact_hazard(hazard, minus);
    mpfr_sub(miss, miss, ln_p, MPFR_RNDN);
    mpfr_div(miss, miss, hazard, MPFR_RNDN);
    mpfr_add(minus, minus, miss, MPFR_RNDN);
    mpfr_neg(y, minus, MPFR_RNDN);
}

static long double fine_exp(double x)
{
    return expl(x);
}
static long double fine_log(double x)
{
    return logl(x);
}
static long double fine_erfc(double x)
{
    return erfcl(x);
}
static long double fine_sin(double x)
{
    return sinl(x);
}
static long double fine_cos(double x)
{
    return cosl(x);
}

/// e^(-z^2 / 2) with the square's rounding put right: the parts of z are short, so their products are exact.
static long double fine_gauss(double z)
{
    const long double z_high = (float)z, z_low = z - z_high, square = (long double)z * z;
    const long double lost = ((z_high * z_high - square) + 2 * z_high * z_low) + z_low * z_low;
    return expl(-square / 2) * (1 - lost / 2);
}

static long double fine_density(double z)
{
    return fine_gauss(z) * M_2_SQRTPIl / 2 / M_SQRT2l;
}

/// erfc at z / sqrt 2, moved by what that product lost in rounding.
static long double fine_above(double z)
{
    const long double root_high = 0x1.6a09e668p-1L, root_low = -0x6219b7ba682765p-92L; // together 1 / sqrt 2
    const long double z_high = (float)z, z_low = z - z_high, x = z * M_SQRT1_2l;
    const long double lost = ((z_high * root_high - x) + z_low * root_high) + z * root_low;
    return erfcl(x) / 2 - lost * fine_gauss(z) * M_2_SQRTPIl / 2;
}

static long double fine_hazard(double z)
{
    return fine_density(z) / fine_above(z);
}

static long double fine_above_ln(double z)
{
    return z > 0 ? logl(fine_above(z)) : log1pl(-fine_above(-z));
}

// ---- errors ----

static double unit_of(double y)
{
    int exponent;
    frexp(y, &exponent);
    return ldexp(1, exponent - 53 < -1074 ? -1074 : exponent - 53);
}

typedef struct {
    double ulp, at;
    int count;
} greatest;

static void take(greatest *g, double ulp, double at)
{
    g->count++;
    if (ulp <= g->ulp) return;
    *g = (greatest){ ulp, at, g->count };
}

static double error_ulp(double y, const mpfr_t exact)
{
    const double rounded = mpfr_get_d(exact, MPFR_RNDN);
    if (y == rounded && (isinf(y) || y == 0)) return 0;
    if (!isfinite(y)) return INFINITY;
    MPFR_DECL_INIT(off, 64);
    mpfr_sub_d(off, exact, y, MPFR_RNDN);
    mpfr_div_d(off, off, unit_of(rounded), MPFR_RNDN);
    return fabs(mpfr_get_d(off, MPFR_RNDN));
}

// ---- within so many ULP ----

/// The domain over which a function is promised; arguments outside are passed over.
typedef struct {
    const char *name;
    double (*call)(double);
    exact_function *exact;
    fine_function *fine;
    double low, high, limit_ulp;
} subject;

static const subject exp_is = { "exp", thew_exp, exact_exp, fine_exp, -800, 709.782, 2 };
static const subject log_is = { "log", thew_log, exact_log, fine_log, 0x1p-1074, DBL_MAX, 2 };
static const subject erfc_is = { "erfc", thew_erfc, exact_erfc, fine_erfc, -30, 30, 2 };
static const subject sin_is = { "sin", thew_sin, exact_sin, fine_sin, -1e5, 1e5, 2 };
static const subject cos_is = { "cos", thew_cos, exact_cos, fine_cos, -1e5, 1e5, 2 };
static const subject density_is = { "normal density", thew_normal_density, exact_density, fine_density, -40, 40, 2 };
static const subject above_is = { "normal above", thew_normal_above, exact_above, fine_above, -40, 40, 2 };
static const subject below_is = { "normal below", thew_normal_below, exact_below, NULL, -40, 40, 2 };
static const subject above_ln_is = { "normal above ln", thew_normal_above_ln, exact_above_ln, fine_above_ln, -38.4, 1e7, 5 };
static const subject hazard_is = { "normal hazard", thew_normal_hazard, exact_hazard, fine_hazard, -38.4, 1e7, 4 };
static const subject quantile_is = { "normal quantile", thew_normal_quantile, exact_quantile, NULL, 0x1p-1074, 1 - 0x1p-53, 3 };

// MPFR takes 2 us for an exponential and 200 for an erfc, the long double functions a tenth of one.
static const struct {
    const subject *is;
    const char *why;
    spread how;
    double low, high;
    int exact_count, fine_count;
} sweep[] = {
    {&exp_is,       "all results, the subnormal too",  EVEN,    -745.2, 709.782, 100000, 1000000},
    { &exp_is,      "exponents of everyday",           EVEN,    -2,     2,       100000, 1000000},
    { &exp_is,      "close to 1",                      SCALES,  -60,    0,       20000,  200000 },
    { &exp_is,      "edges",                           AROUND,  0,      0,       1280,   1280   },
    { &log_is,      "every binade, the subnormal too", SCALES,  -1074,  1023.9,  80000,  1000000},
    { &log_is,      "where the result goes through 0", EVEN,    .5,     2,       80000,  1000000},
    { &log_is,      "just below 1",                    BELOW_1, -52,    -1,      20000,  200000 },
    { &log_is,      "edges",                           AROUND,  0,      0,       1280,   1280   },
    { &erfc_is,     "both sides of 0",                 EVEN,    -6,     6,       1500,   1000000},
    { &erfc_is,     "where most is asked",             EVEN,    -1,     2,       2000,   1500000},
    { &erfc_is,     "the far tail",                    EVEN,    6,      26.6,    1500,   1000000},
    { &erfc_is,     "subnormal results",               EVEN,    26.5,   27.3,    500,    100000 },
    { &erfc_is,     "close to 1",                      SCALES,  -60,    0,       2000,   500000 },
    { &erfc_is,     "edges",                           AROUND,  0,      0,       1280,   1280   },
    { &sin_is,      "a few turns",                     EVEN,    -10,    10,      80000,  1000000},
    { &sin_is,      "the whole range",                 EVEN,    -1e5,   1e5,     80000,  0      },
    { &sin_is,      "small",                           SCALES,  -1074,  0,       20000,  0      },
    { &sin_is,      "edges",                           AROUND,  0,      0,       1280,   0      },
    { &cos_is,      "a few turns",                     EVEN,    -10,    10,      80000,  1000000},
    { &cos_is,      "the whole range",                 EVEN,    -1e5,   1e5,     80000,  0      },
    { &cos_is,      "edges",                           AROUND,  0,      0,       1280,   0      },
    { &density_is,  "all results",                     EVEN,    -38.6,  38.6,    20000,  300000 },
    { &density_is,  "edges",                           AROUND,  0,      0,       1280,   0      },
    { &above_is,    "where most is asked",             EVEN,    -4,     4,       1000,   500000 },
    { &above_is,    "the far tail",                    EVEN,    4,      37.5,    1000,   300000 },
    { &above_is,    "edges",                           AROUND,  0,      0,       1280,   0      },
    { &below_is,    "both tails",                      EVEN,    -38.5,  38.5,    1000,   0      },
    { &above_ln_is, "both tails",                      EVEN,    -38.4,  38.4,    1000,   100000 },
    { &above_ln_is, "where its three forms meet",      EVEN,    -1,     1.5,     1000,   300000 },
    { &above_ln_is, "to 1e7",                          SCALES,  0,      23.25,   2000,   0      },
    { &above_ln_is, "edges",                           AROUND,  0,      0,       1280,   0      },
    { &hazard_is,   "where most is asked",             EVEN,    -4,     4,       1000,   300000 },
    { &hazard_is,   "both tails",                      EVEN,    -38.4,  38.4,    1000,   100000 },
    { &hazard_is,   "to 1e7",                          SCALES,  0,      23.25,   2000,   0      },
    { &hazard_is,   "edges",                           AROUND,  0,      0,       1280,   0      },
    { &quantile_is, "even",                            EVEN,    0,      1,       600,    0      },
    { &quantile_is, "down to the smallest number",     SCALES,  -1074,  -1,      900,    0      },
    { &quantile_is, "just below 1",                    BELOW_1, -52,    -1,      300,    0      },
    { &quantile_is, "edges",                           AROUND,  0,      0,       1280,   0      },
};

static bool is_argument(const subject *is, double x)
{
    return x >= is->low && x <= is->high;
}

static void test_ulp(void **unused)
{
    (void)unused;
    MPFR_DECL_INIT(argument_exact, 53);
    MPFR_DECL_INIT(exact, PRECISION);
    state = seed;
    printf("# seed %llu; greatest error found, in ULP\n", (unsigned long long)seed);
    for (size_t s = 0; s < sizeof sweep / sizeof *sweep; s++) {
        const subject *is = sweep[s].is;
        greatest ours = { 0 }, screened = { 0 }, reference = { 0 };
        for (int i = 0; i < sweep[s].exact_count; i++) {
            const double x = argument(sweep[s].how, sweep[s].low, sweep[s].high, i);
            if (!is_argument(is, x)) continue;
            mpfr_set_d(argument_exact, x, MPFR_RNDN);
            is->exact(exact, argument_exact);
            take(&ours, error_ulp(is->call(x), exact), x);
            // The second reference is itself judged, in ULP of a double.
            if (!sweep[s].fine_count) continue;
            const double rounded = mpfr_get_d(exact, MPFR_RNDN);
            mpfr_sub_d(exact, exact, rounded, MPFR_RNDN);
            mpfr_div_d(exact, exact, unit_of(rounded), MPFR_RNDN);
            const long double fine = (is->fine(x) - rounded) / unit_of(rounded);
            take(&reference, fabs((double)fine - mpfr_get_d(exact, MPFR_RNDN)), x);
        }
        for (int i = 0; LDBL_MANT_DIG >= 64 && i < sweep[s].fine_count; i++) {
            const double x = argument(sweep[s].how, sweep[s].low, sweep[s].high, i);
            if (!is_argument(is, x)) continue;
            const long double fine = is->fine(x);
            take(&screened, (double)(fabsl(is->call(x) - fine) / unit_of((double)fine)), x);
        }
        printf("# %-16s %-32s %.3f at %-24.17g of %d by MPFR", is->name, sweep[s].why, ours.ulp, ours.at, ours.count);
        if (screened.count)
            printf(", %.3f at %-24.17g of %d by long double (itself off by %.4f)", screened.ulp, screened.at, screened.count,
                   reference.ulp);
        puts("");
        row_between(sweep[s].why, 0, ours.ulp, is->limit_ulp);
        row_between(sweep[s].why, 0, screened.ulp, is->limit_ulp);
        if (LDBL_MANT_DIG >= 64) row_between("the second reference", 0, reference.ulp, .02);
        row_between("arguments tried", sweep[s].exact_count / 8, ours.count, sweep[s].exact_count);
    }
    rows_end(150);
}

/// The double nearest to each multiple of pi / 2 up to 1e5, and its neighbours: there sine or cosine is all but lost.
static void test_near_multiples_of_half_pi(void **unused)
{
    (void)unused;
    MPFR_DECL_INIT(half_pi, PRECISION);
    MPFR_DECL_INIT(x_exact, 53);
    MPFR_DECL_INIT(exact, 80);
    mpfr_const_pi(half_pi, MPFR_RNDN);
    mpfr_div_2ui(half_pi, half_pi, 1, MPFR_RNDN);
    greatest sine = { 0 }, cosine = { 0 };
    for (unsigned n = 1; n <= 63661; n++) {
        mpfr_mul_ui(exact, half_pi, n, MPFR_RNDN);
        const double nearest = mpfr_get_d(exact, MPFR_RNDN);
        for (int step = -(n % 8 == 0); step <= (n % 8 == 0); step++) {
            const double x = neighbour(n % 3 ? nearest : -nearest, step);
            mpfr_set_d(x_exact, x, MPFR_RNDN);
            mpfr_sin(exact, x_exact, MPFR_RNDN);
            take(&sine, error_ulp(thew_sin(x), exact), x);
            mpfr_cos(exact, x_exact, MPFR_RNDN);
            take(&cosine, error_ulp(thew_cos(x), exact), x);
        }
    }
    printf("# next to multiples of pi / 2: sin %.3f at %.17g, cos %.3f at %.17g\n", sine.ulp, sine.at, cosine.ulp, cosine.at);
    row_between("sin", 0, sine.ulp, 2);
    row_between("cos", 0, cosine.ulp, 2);
    row_between("arguments tried", 63661, sine.count, 1e6);
    rows_end(3);
}

static void test_pow(void **unused)
{
    (void)unused;
    MPFR_DECL_INIT(x_exact, 53);
    MPFR_DECL_INIT(y_exact, 53);
    MPFR_DECL_INIT(exact, PRECISION);
    state = seed;
    double worst = 0;
    for (int i = 0; i < 20000; i++) {
        const double x = argument(SCALES, -20, 20, i), y = argument(EVEN, -30, 30, i);
        mpfr_set_d(x_exact, x, MPFR_RNDN);
        mpfr_set_d(y_exact, y, MPFR_RNDN);
        mpfr_pow(exact, x_exact, y_exact, MPFR_RNDN);
        // The header: about |y ln x| + 1 ULP.
        worst = fmax(worst, error_ulp(thew_pow(x, y), exact) / (fabs(y * log(x)) + 1));
    }
    printf("# pow: greatest error / (|y ln x| + 1) %.3f ULP\n", worst);
    row_between("pow by its promise", 0, worst, 2);
    rows_end(1);
}

// ---- special values ----

static const struct {
    const char *why;
    double (*call)(double);
    double x, y;
} special[] = {
    {"exp 0 is exact",                          thew_exp,             0,                   1                  },
    { "exp overflows",                          thew_exp,             709.8,               INFINITY           },
    { "exp of a great number",                  thew_exp,             DBL_MAX,             INFINITY           },
    { "exp of infinity",                        thew_exp,             INFINITY,            INFINITY           },
    { "the smallest exp: ln 2^-1074 = -744.44", thew_exp,             -744.44007192138126, 0x1p-1074          },
    { "exp underflows past ln 2^-1075",         thew_exp,             -745.1332191019412,  0                  },
    { "exp of minus infinity",                  thew_exp,             -INFINITY,           0                  },
    { "exp NaN",                                thew_exp,             NAN,                 NAN                },
    { "log 1 is exact",                         thew_log,             1,                   0                  },
    { "log 2",                                  thew_log,             2,                   M_LN2              },
    { "log of the smallest number: -1074 ln 2", thew_log,             0x1p-1074,           -744.44007192138126},
    { "log 0",                                  thew_log,             0,                   -INFINITY          },
    { "log -0",                                 thew_log,             -0.0,                -INFINITY          },
    { "log of infinity",                        thew_log,             INFINITY,            INFINITY           },
    { "log below 0",                            thew_log,             -1,                  NAN                },
    { "log of minus infinity",                  thew_log,             -INFINITY,           NAN                },
    { "log NaN",                                thew_log,             NAN,                 NAN                },
    { "erfc 0 is exact",                        thew_erfc,            0,                   1                  },
    { "erfc of infinity",                       thew_erfc,            INFINITY,            0                  },
    { "erfc of minus infinity",                 thew_erfc,            -INFINITY,           2                  },
    { "erfc far out",                           thew_erfc,            28,                  0                  },
    { "erfc far below",                         thew_erfc,            -28,                 2                  },
    { "erfc NaN",                               thew_erfc,            NAN,                 NAN                },
    { "sin 0",                                  thew_sin,             0,                   0                  },
    { "cos 0",                                  thew_cos,             0,                   1                  },
    { "sin beyond its range",                   thew_sin,             100001,              NAN                },
    { "cos beyond its range",                   thew_cos,             -1e300,              NAN                },
    { "sin of infinity",                        thew_sin,             INFINITY,            NAN                },
    { "sin NaN",                                thew_sin,             NAN,                 NAN                },
    { "cos NaN",                                thew_cos,             NAN,                 NAN                },
    { "half lies below 0",                      thew_normal_below,    0,                   .5                 },
    { "half lies above 0",                      thew_normal_above,    0,                   .5                 },
    { "all lies below infinity",                thew_normal_below,    INFINITY,            1                  },
    { "nothing lies below minus infinity",      thew_normal_below,    -INFINITY,           0                  },
    { "nothing lies above infinity",            thew_normal_above,    INFINITY,            0                  },
    { "above NaN",                              thew_normal_above,    NAN,                 NAN                },
    { "density at infinity",                    thew_normal_density,  -INFINITY,           0                  },
    { "density of NaN",                         thew_normal_density,  NAN,                 NAN                },
    { "logarithm of all",                       thew_normal_above_ln, -INFINITY,           0                  },
    { "logarithm of nothing",                   thew_normal_above_ln, INFINITY,            -INFINITY          },
    { "logarithm of next to nothing",           thew_normal_above_ln, 1e200,               -INFINITY          },
    { "logarithm of a half",                    thew_normal_above_ln, 0,                   -M_LN2             },
    { "logarithm of NaN",                       thew_normal_above_ln, NAN,                 NAN                },
    { "quantile of a half",                     thew_normal_quantile, .5,                  0                  },
    { "quantile of 0",                          thew_normal_quantile, 0,                   -INFINITY          },
    { "quantile of 1",                          thew_normal_quantile, 1,                   INFINITY           },
    { "quantile below 0",                       thew_normal_quantile, -1e-300,             NAN                },
    { "quantile above 1",                       thew_normal_quantile, 1 + 0x1p-52,         NAN                },
    { "quantile of NaN",                        thew_normal_quantile, NAN,                 NAN                },
    { "hazard far below",                       thew_normal_hazard,   -INFINITY,           0                  },
    { "hazard far above is z",                  thew_normal_hazard,   1e200,               1e200              },
    { "hazard at infinity",                     thew_normal_hazard,   INFINITY,            INFINITY           },
    { "hazard of NaN",                          thew_normal_hazard,   NAN,                 NAN                },
    { "root of 2, correctly rounded",           thew_sqrt,            2,                   M_SQRT2            },
};

static void test_special_values(void **unused)
{
    (void)unused;
    for (size_t i = 0; i < sizeof special / sizeof *special; i++) {
        const double y = special[i].call(special[i].x);
        if (isnan(special[i].y))
            row_between(special[i].why, 1, isnan(y), 1);
        else
            row_near(special[i].why, special[i].y, y, 0);
    }
    row_near("x to the 0", 1, thew_pow(7, 0), 0);
    row_near("1 to the y", 1, thew_pow(1, 123), 0);
    row_near("0 to a positive power", 0, thew_pow(0, 2), 0);
    rows_end(50);
}

// ---- against itself ----

static bool same_bits(double a, double b)
{
    return memcmp(&a, &b, sizeof a) == 0 || (isnan(a) && isnan(b));
}

static const struct {
    const char *name;
    double (*scalar)(double);
    void (*array)(const double *, double *, int);
    double low, high;
} pairing[] = {
    {"exp",   thew_exp,  thew_exp_n,  -760, 720},
    { "log",  thew_log,  thew_log_n,  -1,   1e3},
    { "erfc", thew_erfc, thew_erfc_n, -7,   28 },
};

/// Every length up to two blocks and a bit, and a long one; odd values among them; apart and in place. What lies behind is
/// untouched.
static void test_arrays_have_the_scalars_bits(void **unused)
{
    (void)unused;
    enum { LONGEST = 10007 };
    static double x[LONGEST], y[LONGEST + 1];
    static const double odd[] = { NAN, INFINITY, -INFINITY, 0, -0.0, 0x1p-1074, DBL_MIN, -DBL_MIN, DBL_MAX, -DBL_MAX, 1 };
    state = seed;
    for (size_t p = 0; p < sizeof pairing / sizeof *pairing; p++)
        for (int length = 0; length <= LONGEST; length = length == 40 ? LONGEST : length + 1) {
            int differing = 0;
            for (int i = 0; i < length; i++)
                x[i] = i % 5 == 2 ? odd[(size_t)i / 5 % (sizeof odd / sizeof *odd)]
                                  : argument(EVEN, pairing[p].low, pairing[p].high, i);
            y[length] = 12345;
            pairing[p].array(x, y, length);
            for (int i = 0; i < length; i++)
                differing += !same_bits(pairing[p].scalar(x[i]), y[i]);
            memcpy(y, x, (size_t)length * sizeof *x);
            pairing[p].array(y, y, length);
            for (int i = 0; i < length; i++)
                differing += !same_bits(pairing[p].scalar(x[i]), y[i]);
            row_near(pairing[p].name, 0, differing, 0);
            row_near("the element behind", 12345, y[length], 0);
        }
    rows_end(200);
}

/// below(quantile p) = p: the quantile's rounding, half an ULP of z and a little, moves p by |z| hazard(|z|) times as much.
static void test_quantile_round_trip(void **unused)
{
    (void)unused;
    state = seed;
    for (int i = 0; i < 20000; i++) {
        const double p = argument(i % 2 ? EVEN : SCALES, i % 2 ? 0 : -1000, i % 2 ? 1 : -1, i), z = thew_normal_quantile(p);
        const double far = fabs(z), hazard = z < 0 ? thew_normal_hazard(far) : thew_normal_density(z) / p;
        row_relative("round trip", p, thew_normal_below(z), 0x1p-52 * (2 + 2 * far * hazard));
    }
    rows_end(20000);
}

/// Exact identities, in bits, which a rewrite must keep.
static void test_symmetry(void **unused)
{
    (void)unused;
    state = seed;
    for (int i = 0; i < 20000; i++) {
        const double x = argument(EVEN, 0, 30, i), p = .5 * argument(EVEN, 0, 1, i);
        row_near("erfc -x = 2 - erfc x", 2 - thew_erfc(x), thew_erfc(-x), 0);
        row_near("below -z = above z", thew_normal_above(x), thew_normal_below(-x), 0);
        row_near("density is even", thew_normal_density(x), thew_normal_density(-x), 0);
        row_near("quantile is odd", -thew_normal_quantile(1 - p), thew_normal_quantile(1 - (1 - p)), 0);
        row_near("sine is odd", -thew_sin(x), thew_sin(-x), 0);
        row_near("cosine is even", thew_cos(x), thew_cos(-x), 0);
    }
    rows_end(100000);
}

static void test_one_hash(void **unused)
{
    (void)unused;
    const uint64_t hash = thew_real_hash();
    printf("# hash of all functions' bits %016llx\n", (unsigned long long)hash);
    assert_int_equal(hash, REAL_HASH_EXPECTED);
}

int main(void)
{
    // The upper tail at 1e7 is about e^-5e13: far below MPFR's usual exponents.
    mpfr_set_emin(mpfr_get_emin_min());
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_ulp),
        cmocka_unit_test(test_near_multiples_of_half_pi),
        cmocka_unit_test(test_pow),
        cmocka_unit_test(test_special_values),
        cmocka_unit_test(test_arrays_have_the_scalars_bits),
        cmocka_unit_test(test_quantile_round_trip),
        cmocka_unit_test(test_symmetry),
        cmocka_unit_test(test_one_hash),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
