// band.h: the force of an elastic band, from a few readings of a kitchen or luggage scale.
// Knows the Mooney-Rivlin curve and how sure it is. Leaves to others: where the band is held and anchored (movement.h).
//
//   force = 2 (l - 1/l^2) (A0C10 + A0C01 / l),   l = length / rest length,   A0C10, A0C01 >= 0, in newtons
//
// Source: Mooney 1940, Rivlin 1948; good to l = 3.1 for natural rubber (fit of Treloar 1944: 2.8 % RMS, 5.3 % at most).
#ifndef THEW_BAND_H
#define THEW_BAND_H

#include "status.h"

#define THEW_BAND_STRETCH_MAX 3.1 // beyond this the curve is a guess

typedef struct {
    double length_m; // stretched length of the strand that was measured
    double force_n;
} thew_reading;

typedef struct {
    double rest_length_m;
    double a0c10_n, a0c01_n;
    double covariance[3];  // of (a0c10, a0c01): var, cov, var; N^2
    double force_ln_sd;    // error common to every length (the curve's own misfit; much more with one reading, or none): SD of ln force
    int reading_count;     // readings that the curve was fitted to
} thew_band;

/// Coefficients from readings, by linear least squares with relative weights and non-negativity.
///   reading      [reading_count]; at least 1, each longer than the rest length, force above 0
///   scale_sd_n   error of the scale; 0 means the default .4 kgf (.3-.5 kgf is common for such scales: common practice, no source)
///   band         out; untouched on failure
///   reading_at_fault  out, may be NULL: index of the reading that was refused, else -1
///   status       THEW_OK, THEW_ONE_READING (also: several at one length, within 2 %), THEW_BEYOND_CURVE (a reading beyond l = 3.1 was
///                left out of the fit if two remain, else used), or a failure
/// One reading fits one coefficient: natural rubber's curve (Treloar 1944), scaled. The covariance is that of the scale's error, the same
/// number of newtons at every length; where a coefficient was set to zero it says what the readings leave open about both (see band.c).
THEW_MUST_USE thew_status thew_band_fit(double rest_length_m, const thew_reading *reading, int reading_count, double scale_sd_n,
                                        thew_band *band, int *reading_at_fault);

/// A band that nobody measured, known by its place on the ladder of its kit.
///   step         0 for the softest; ln(force) of neighbouring steps is apart by N(ln 1.26, .2^2) (Santos 2009: 5.13 over 7 steps)
///   The softest is set by a judgement; the SD grows with the steps. See band.c.
thew_band thew_band_unmeasured(double rest_length_m, int step);

/// Force at a stretch (length / rest length); 0 when slack (stretch <= 1). Newtons.
double thew_band_force_n(const thew_band *band, double stretch);
/// Elastic energy at a length, joules; its derivative by length is the force. 0 when slack.
double thew_band_energy_j(const thew_band *band, double length_m);
/// SD of ln force at a stretch > 1, from the covariance and the common error; never more than non-negative coefficients allow.
double thew_band_force_ln_sd(const thew_band *band, double stretch);

/// A strand of a band: its rest length is `share` of the whole (where the hand grips it), `strands` of them pull side by side.
/// A band gripped at half has the same force at the same *stretch*, so at the same length a greater one.
typedef struct {
    double share;  // (0, 1]
    int strands;   // >= 1
} thew_strand;

/// Force in newtons of strands stretched to length_m.
double thew_strand_force_n(const thew_band *band, thew_strand strand, double length_m);
/// Energy in joules of the same.
double thew_strand_energy_j(const thew_band *band, thew_strand strand, double length_m);

#endif
