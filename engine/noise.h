// noise.h: what chance adds to one set: a normal, and on top of it a Laplace ("tail") for the odd set and the wrong entry.
// Knows the sum of the two: density, upper tail, slopes. Leaves to others: whose noise it is and what follows (evidence.h, outlook.h).
//
// Both parts are log-concave, and so is their sum. That is why it was chosen: under a log-concave noise whatever is believed of capacity
// moves up with what was seen, in every quantile and for any belief beforehand (monotone likelihood ratio: Karlin & Rubin 1956;
// memory), so that a set that failed earlier can never speak for a stronger person. A mixture with a wide normal for wrong entries
// has no such order: early enough, a failure is "probably a wrong entry", and the belief swings back. What wrong entries need is kept:
// no set moves the belief by more than variance / tail, however far off it lies (Huber 1964; memory).
#ifndef THEW_NOISE_H
#define THEW_NOISE_H

/// e = N(0, sd^2) + Laplace(tail), density e^(-|x| / tail) / (2 tail); tail 0: none.
typedef struct {
    double sd, tail;
} thew_noise;

/// A noise at one place z, all divided by e^ln_scale, so that nothing underflows however far out z lies.
typedef struct {
    double above;   // chance of more than z
    double density; // at z
    double slope;   // first derivative of the density
    double bend;    // second
} thew_noise_at;

/// sd > 0; any finite z. Relative errors of some 1e-12 (1e-6 where the tail is so short, sd / 24, that its shape is left out).
thew_noise_at thew_noise_look(double sd, double tail, double z);
/// The scale of the same: apart, since most have no need of it.
double thew_noise_ln_scale(double sd, double tail, double z);

/// Many places at once: density, or chance of more than z. z and out [count], the same or apart.
void thew_noise_density_n(double sd, double tail, const double *z, double *out, int count);
void thew_noise_above_n(double sd, double tail, const double *z, double *out, int count);

/// Many noises that differ in their normal part, each at its own place: chance of less than z[i], and density and its slope if wanted (or NULL).
///   sd, z, below, density, slope   [count], count at most THEW_NOISE_BLOCK
#define THEW_NOISE_BLOCK 48
void thew_noise_below_each(const double *sd, double tail, const double *z, int count, double *below, double *density, double *slope);

#endif
