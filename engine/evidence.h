// evidence.h: what one set says of the capacity a person had that day.
// Knows how a recorded set becomes a statement about u, the natural logarithm of that day's capacity, and what such a statement does to
// a normal belief about u. Leaves to others: how u is made up of strength, day, heat and rung (capacity.h).
//
// Everything is said in ln capacity: a set of demand d that ends at t means u + e = ln d - ln L(t), L(t) the load share that fails at t.
// The noise e sits in ln capacity, not in ln time: the odds come true that way (noise in ln time understated early failures threefold).
// It is log-concave (noise.h), so that a later end never speaks for a weaker person, whatever was believed before.
#ifndef THEW_EVIDENCE_H
#define THEW_EVIDENCE_H

#include "demand.h"
#include "endurance.h"
#include "noise.h"

/// How a set can end. Words: product.md, "What a set record can say".
typedef enum {
    THEW_FAILURE,   // momentary failure: a density
    THEW_COMPLETED, // the window closed first: later than that, never a failure at that time, never dropped
    THEW_RESERVE,   // stopped by choice, with seconds felt to be left: later, with an uncertain reading
    THEW_SYMPTOM,   // stopped for a symptom: later, never weakness
    THEW_OTHER      // stopped for any other reason: later
} thew_ended;

/// A task: an exercise as the filter needs it ("time to task failure" is the field's term): who tires, how fast, and when that can be seen.
typedef struct {
    thew_joint joint;         // of the prime mover
    thew_kind kind;
    thew_tempo tempo;         // all zero for a hold
    bool starts_lifting;
    double floor_s;           // ending before this is an overload (default 30)
    double window_from_s;     // default 60
    double window_to_s;       // default 90
    thew_endurance endurance;
    double tau_ln_sd;         // how unsure tau is; never learned, always counted
} thew_task;

/// Window 60-90 s, floor 30 s, endurance by joint, tempo 7-1-7-1 (a hold: none).
thew_task thew_task_default(thew_joint joint, thew_kind kind);

/// One resistance of a ladder.
typedef struct {
    double peak_share; // d: peak demand, share of reference strength, > 0
    double mean_share; // a: mean over the cycle / peak, in (0, 1]
    double ln_sd;      // how unsure ln d is: SD of this rung's own offset; 0 = the default of .04
    unsigned key;      // identity of the rung within its task, so that its offset can be learned
    unsigned group;    // rungs of one set-up (implement and way of holding it); 0: none. Changing it is work, see advice.h
    double ends_from_s, ends_to_s; // part of the lift in which a set can end (thew_demand); ends_to_s 0: anywhere
} thew_rung;

/// u + e lies between low and high (equal: is that number; either may be infinite); perhaps with an uncertain reading of u + e.
typedef struct {
    double low, high;
    double reading, reading_sd; // reading_sd 0: none
} thew_evidence;

typedef struct {
    double mean, variance;
    double ln_evidence; // ln of the probability (or density) that the belief gave to what was seen
} thew_moments;

/// The task's tempo in which only the part of the lift that can end a set on this rung counts as lifting. It begins with its lowering
/// phase, whatever the task's own begins with; a hold's is empty.
thew_tempo thew_evidence_tempo(const thew_task *task, const thew_rung *rung);

/// The capacity (natural logarithm) at which a set of this rung tires exactly at tired_s (> 0).
double thew_evidence_capacity_ln(const thew_task *task, const thew_rung *rung, double tired_s);

/// What a set says. A failure seen at the very start of a lifting phase began in the phases before it: an interval.
///   reserve_s   seconds felt to be left, for THEW_RESERVE; negative = not said
///   returns     low = -infinity, high finite: failed at once (or in the first lift, begun with a lowering): perhaps far too weak;
///               both infinite: nothing was learned (a set stopped at once for any reason but failure)
thew_evidence thew_evidence_of(const thew_task *task, const thew_rung *rung, thew_ended ended, double seconds, double reserve_s);

/// Belief N(mean, variance) about u after the evidence: the moments of the exact, non-normal result.
///   extra_variance   added to the noise's normal part (an unsure tau)
///   want_ln          whether ln_evidence is wanted (else 0): the moments alone cost half
thew_moments thew_evidence_moments(const thew_evidence *evidence, const thew_noise *noise, double extra_variance, double mean,
                                   double variance, bool want_ln);

/// Likelihood of the evidence at a known u (density for a point, probability for an interval).
double thew_evidence_likelihood(const thew_evidence *evidence, const thew_noise *noise, double u);

/// The same at count equally spaced places u = from + i step; out [count].
void thew_evidence_likelihood_n(const thew_evidence *evidence, const thew_noise *noise, double from, double step, double *out, int count);

#endif
