// real_hash.c: see real_hash.h.
#include "tests/engine/real_hash.h"

#include "engine/real.h"

enum { POINT_COUNT = 20000, BLOCK_COUNT = 50 };

/// One number a step from a counter (splitmix64's mixing constants), as a double in [0, 1): exact on every host.
static double fraction(uint64_t index)
{
    uint64_t mixed = index * 0x9e3779b97f4a7c15u;
    mixed = (mixed ^ (mixed >> 30)) * 0xbf58476d1ce4e5b9u;
    mixed = (mixed ^ (mixed >> 27)) * 0x94d049bb133111ebu;
    return (double)((mixed ^ (mixed >> 31)) >> 11) * 0x1p-53;
}

static uint64_t add(uint64_t hash, double x)
{
    const union {
        double real;
        uint64_t bits;
    } same = { .real = x };
    uint64_t bits = x == x ? same.bits : 0x7ff8000000000000; // hosts may differ in which NaN
    for (int i = 0; i < 8; i++, bits >>= 8)
        hash = (hash ^ (bits & 0xff)) * 0x100000001b3u;
    return hash;
}

static uint64_t add_all(uint64_t hash, double wide, double angle, double share)
{
    hash = add(hash, thew_sin(angle));
    hash = add(hash, thew_cos(angle));
    hash = add(hash, thew_pow(100 * share, wide / 20));
    hash = add(hash, thew_sqrt(share));
    hash = add(hash, thew_normal_density(wide));
    hash = add(hash, thew_normal_below(wide));
    hash = add(hash, thew_normal_above(wide));
    hash = add(hash, thew_normal_above_ln(wide));
    hash = add(hash, thew_normal_above_ln(wide * 1e5));
    hash = add(hash, thew_normal_hazard(wide));
    hash = add(hash, thew_normal_quantile(share));
    return add(hash, thew_normal_quantile(share * thew_exp(15 * wide)));
}

static uint64_t add_arrays(uint64_t hash, const double *wide, const double *share)
{
    double y[BLOCK_COUNT], stretched[BLOCK_COUNT];
    thew_erfc_n(wide, y, BLOCK_COUNT);
    for (int i = 0; i < BLOCK_COUNT; i++) {
        hash = add(hash, y[i]);
        stretched[i] = wide[i] * 20;
    }
    thew_exp_n(stretched, y, BLOCK_COUNT);
    for (int i = 0; i < BLOCK_COUNT; i++) {
        hash = add(hash, y[i]);
        stretched[i] = i % 2 ? share[i] + .5 : share[i] * y[i];
    }
    thew_log_n(stretched, y, BLOCK_COUNT);
    for (int i = 0; i < BLOCK_COUNT; i++)
        hash = add(hash, y[i]);
    return hash;
}

uint64_t thew_real_hash(void)
{
    uint64_t hash = 0xcbf29ce484222325u, index = 0;
    for (int block = 0; block < POINT_COUNT / BLOCK_COUNT; block++) {
        double wide[BLOCK_COUNT], share[BLOCK_COUNT];
        for (int i = 0; i < BLOCK_COUNT; i++) {
            wide[i] = 80 * (fraction(++index) - .5) * (i % 3 ? 1 : .05);
            share[i] = fraction(++index);
            hash = add_all(hash, wide[i], 2e5 * (fraction(++index) - .5) * (i % 2 ? 1 : 1e-4), share[i]);
        }
        hash = add_arrays(hash, wide, share);
    }
    return hash;
}
