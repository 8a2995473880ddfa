// noise.c: see noise.h.
//
// With a = sd / tail, t = |z| / sd and M the Mills ratio (upper tail over density of the standard normal phi),
//     near = phi(t) M(a - t), far = phi(t) M(a + t)
// are what the Laplace's two halves give at z, and
//     density = (near + far) / (2 tail), its slope (far - near) / (2 tail^2), chance of more than |z| = phi(t) M(t) + (near - far) / 2.
#include "noise.h"

#include <assert.h>
#include <stdbool.h>

#include "real.h"

#define SQRT_2 0x1.6a09e667f3bcdp+0
#define INV_SQRT_2PI 0x1.9884533d43651p-2
#define LN_SQRT_2PI 0x1.d67f1c864beb5p-1
#define A_MAX 24.0 // beyond, the tail counts by its variance only
#define AT_MAX 400.0 // a t beyond which chances stay as they are: some e^-112 at most
#define PURE 8.5   // SDs of the normal part from which on only the Laplace's tail is left: the normal's own is below 1e-17
#define BLOCK THEW_NOISE_BLOCK

static double half_line(double sd, double tail) { return tail > 0 && sd <= A_MAX * tail ? tail : 0; }

static double plain_sd(double sd, double tail) { return tail > 0 ? thew_sqrt(sd * sd + 2 * tail * tail) : sd; }

// z >= 0 of a normal: relative to phi.
static thew_noise_at look_normal(double sd, double z)
{
    double t = z / sd, density = 1 / sd;
    return (thew_noise_at){
        .above = 1 / thew_normal_hazard(t),
        .density = density,
        .slope = -t * density / sd,
        .bend = (t * t - 1) * density / (sd * sd),
    };
}

// z >= 0, relative to `near`.
static thew_noise_at look_above(double sd, double tail, double z)
{
    double a = sd / tail, t = z / sd;
    double hazard = thew_normal_hazard(a - t); // phi over near
    double far = hazard / thew_normal_hazard(a + t), centre = hazard / thew_normal_hazard(t);
    return (thew_noise_at){
        .above = centre + .5 * (1 - far),
        .density = (1 + far) / (2 * tail),
        .slope = (far - 1) / (2 * tail * tail),
        .bend = ((1 + far) / (2 * tail) - hazard / sd) / (tail * tail),
    };
}

thew_noise_at thew_noise_look(double sd, double tail, double z)
{
    double distance = thew_abs(z), b = half_line(sd, tail);
    thew_noise_at at = b > 0 ? look_above(sd, b, distance) : look_normal(plain_sd(sd, tail), distance);
    if (z >= 0)
        return at;
    double a = b > 0 ? sd / b : 0, t = distance / (b > 0 ? sd : plain_sd(sd, tail));
    double scale = b > 0 ? thew_exp(a * (a / 2 - t)) * thew_normal_above(a - t) : thew_normal_density(t);
    return (thew_noise_at){ 1 - scale * at.above, scale * at.density, -scale * at.slope, scale * at.bend };
}

double thew_noise_ln_scale(double sd, double tail, double z)
{
    if (z < 0)
        return 0;
    double b = half_line(sd, tail);
    if (b <= 0) {
        double t = z / plain_sd(sd, tail);
        return -.5 * t * t - LN_SQRT_2PI;
    }
    double a = sd / b, t = z / sd;
    return a * (a / 2 - t) + thew_normal_above_ln(a - t);
}

// Where the normal part can no longer be felt (PURE SDs beyond where `near` is centred), the Laplace's tail is all there is: one exponential.
static bool is_near(double sd, double tail, double z) { return thew_abs(z) < (PURE + sd / tail) * sd; }

// e^(a^2 / 2 - |z| / tail) / 2 at each place.
static void pure_tail_n(double sd, double tail, const double *z, double *out, int count)
{
    double a = sd / tail;
    for (int i = 0; i < count; i++)
        out[i] = .5 * a * a - thew_abs(z[i]) / tail;
    thew_exp_n(out, out, count);
    for (int i = 0; i < count; i++)
        out[i] *= .5;
}

// Of count places the first from which on one is near, and how many there are up to the last.
static int near_run(double sd, double tail, const double *z, int count, int *first)
{
    int last = count - 1;
    for (*first = 0; *first < count && !is_near(sd, tail, z[*first]);)
        (*first)++;
    while (last > *first && !is_near(sd, tail, z[last]))
        last--;
    return last - *first + 1 > 0 && *first < count ? last - *first + 1 : 0;
}

void thew_noise_density_n(double sd, double tail, const double *z, double *out, int count)
{
    double b = half_line(sd, tail), root = plain_sd(sd, tail), each[BLOCK], here[BLOCK], below[BLOCK], density[BLOCK], slope[BLOCK];
    for (int i = 0; i < BLOCK; i++)
        each[i] = b > 0 ? sd : root;
    for (int done = 0; done < count; done += BLOCK) {
        int n = count - done < BLOCK ? count - done : BLOCK, first = 0, run = n;
        for (int i = 0; i < n; i++)
            here[i] = z[done + i];
        if (b > 0) {
            pure_tail_n(sd, b, here, out + done, n);
            for (int i = 0; i < n; i++)
                out[done + i] /= b;
            run = near_run(sd, b, here, n, &first);
        }
        thew_noise_below_each(each, b, here + first, run, below, density, slope);
        for (int i = 0; i < run; i++)
            out[done + first + i] = density[i];
    }
}

void thew_noise_above_n(double sd, double tail, const double *z, double *out, int count)
{
    double b = half_line(sd, tail), root = plain_sd(sd, tail), each[BLOCK], here[BLOCK];
    for (int i = 0; i < BLOCK; i++)
        each[i] = b > 0 ? sd : root;
    for (int done = 0; done < count; done += BLOCK) {
        int n = count - done < BLOCK ? count - done : BLOCK, first = 0, run = n;
        for (int i = 0; i < n; i++)
            here[i] = -z[done + i];
        if (b > 0) {
            pure_tail_n(sd, b, here, out + done, n);
            for (int i = 0; i < n; i++)
                out[done + i] = here[i] > 0 ? 1 - out[done + i] : out[done + i];
            run = near_run(sd, b, here, n, &first);
        }
        thew_noise_below_each(each, b, here + first, run, out + done + first, 0, 0);
    }
}

void thew_noise_below_each(const double *sd, double tail, const double *z, int count, double *below, double *density, double *slope)
{
    assert(count <= THEW_NOISE_BLOCK);
    double x[3 * THEW_NOISE_BLOCK], e[2 * THEW_NOISE_BLOCK];
    bool plain[THEW_NOISE_BLOCK];
    for (int i = 0; i < count; i++) {
        plain[i] = half_line(sd[i], tail) <= 0;
        double root = plain[i] ? plain_sd(sd[i], tail) : sd[i], t = thew_abs(z[i]) / root;
        double a = plain[i] ? 0 : root / tail;
        if (a * t > AT_MAX)
            t = AT_MAX / a;
        x[i] = t / SQRT_2;
        x[count + i] = (a - t) / SQRT_2;
        x[2 * count + i] = (a + t) / SQRT_2;
        e[i] = plain[i] ? -.5 * t * t : a * (a / 2 - t);
        e[count + i] = plain[i] ? 0 : a * (a / 2 + t);
    }
    bool all_plain = tail <= 0;
    thew_erfc_n(x, x, all_plain ? count : 3 * count);
    if (!all_plain || density)
        thew_exp_n(e, e, all_plain ? count : 2 * count);
    for (int i = 0; i < count; i++) {
        double near = plain[i] ? 0 : .5 * e[i] * x[count + i], far = plain[i] ? 0 : .5 * e[count + i] * x[2 * count + i];
        double above = .5 * x[i] + .5 * (near - far);
        below[i] = z[i] < 0 ? above : 1 - above;
        if (!density)
            continue;
        double root = plain[i] ? plain_sd(sd[i], tail) : sd[i];
        double fall = plain[i] ? INV_SQRT_2PI * e[i] / root * (thew_abs(z[i]) / (root * root)) : (near - far) / (2 * tail * tail);
        density[i] = plain[i] ? INV_SQRT_2PI * e[i] / root : (near + far) / (2 * tail);
        slope[i] = z[i] < 0 ? fall : -fall;
    }
}
