// real_bench.c: what one call of engine/real.h takes, beside the system's libm in the same run.
// Prints `case,count,ms` and, as comments, nanoseconds a call and the ratio of ours to libm's. Independent calls over an array, so
// a processor overlaps them: throughput, not latency.
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <stdio.h>
#include <time.h>

#include "engine/real.h"

enum { COUNT = 1024, TRIES = 500 };

static double argument[COUNT], result[COUNT];

static double now_ms(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return 1e3 * (double)now.tv_sec + 1e-6 * (double)now.tv_nsec;
}

/// Milliseconds for COUNT calls; the least of many short tries, since other work on the machine only adds.
static double one_by_one_ms(double (*call)(double))
{
    double best = INFINITY;
    for (int try = 0; try < TRIES; try++) {
        double begin = now_ms();
        for (int i = 0; i < COUNT; i++)
            result[i] = call(argument[i]);
        best = fmin(best, now_ms() - begin);
    }
    return best;
}

static double array_ms(void (*call)(const double *, double *, int))
{
    double best = INFINITY;
    for (int try = 0; try < TRIES; try++) {
        double begin = now_ms();
        call(argument, result, COUNT);
        best = fmin(best, now_ms() - begin);
    }
    return best;
}

static double ns(double ms)
{
    return 1e6 * ms / COUNT;
}

static double pow_ours(double x)
{
    return thew_pow(x, 1.7);
}

static double pow_libm(double x)
{
    return pow(x, 1.7);
}

static const struct {
    const char *name;
    double low, high;
    double (*ours)(double), (*libm)(double);
    void (*array)(const double *, double *, int);
} row[] = {
    {"exp",              -20,  20,   thew_exp,             exp,      thew_exp_n },
    { "log",             1e-3, 50,   thew_log,             log,      thew_log_n },
    { "erfc",            -3,   6,    thew_erfc,            erfc,     thew_erfc_n},
    { "sin",             -10,  10,   thew_sin,             sin,      NULL       },
    { "cos",             -10,  10,   thew_cos,             cos,      NULL       },
    { "pow",             1e-3, 50,   pow_ours,             pow_libm, NULL       },
    { "normal_density",  -5,   5,    thew_normal_density,  NULL,     NULL       },
    { "normal_above",    -5,   5,    thew_normal_above,    NULL,     NULL       },
    { "normal_above_ln", -5,   5,    thew_normal_above_ln, NULL,     NULL       },
    { "normal_hazard",   -5,   5,    thew_normal_hazard,   NULL,     NULL       },
    { "normal_quantile", .001, .999, thew_normal_quantile, NULL,     NULL       },
};

int main(void)
{
    for (size_t r = 0; r < sizeof row / sizeof *row; r++) {
        for (int i = 0; i < COUNT; i++)
            // Steps of the golden section: spread evenly, and neighbours far apart, as a branch would not like them.
            argument[i] = row[r].low + (row[r].high - row[r].low) * fmod(.6180339887498949 * i, 1);
        double ours = one_by_one_ms(row[r].ours);
        printf("real %s,%d,%.4f\n# %.1f ns a call", row[r].name, COUNT, ours, ns(ours));
        double libm = row[r].libm ? one_by_one_ms(row[r].libm) : NAN;
        if (row[r].libm) printf("; libm %.1f ns, ratio %.2f", ns(libm), ours / libm);
        puts("");
        if (!row[r].array) continue;
        double array = array_ms(row[r].array);
        printf("real %s array,%d,%.4f\n# %.1f ns an element, ratio to libm %.2f\n", row[r].name, COUNT, array, ns(array),
               array / libm);
    }
    return 0;
}
