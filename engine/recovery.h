// recovery.h: how much of a muscle's strength is back after so many hours, and so the earliest day on which nothing is lost.
// Knows the recovery curve and its prior. Leaves to others: when which muscle was trained, and what the week allows.
//
//   readiness = 1 - A exp(-h / theta), h hours since the muscle was last trained to failure
//
// A and theta are judgements (prior medians .10 and 24 h): no published value for multiple sclerosis was found; sets to failure slow
// recovery up to 24-48 h in trained men (Moran-Navarro 2017).
#ifndef THEW_RECOVERY_H
#define THEW_RECOVERY_H

#define THEW_RECOVERY_LOSS_MAX .02 // expected loss that is small enough

typedef struct {
    double depth;   // A, share of strength lost right after, in [0, 1)
    double theta_h; // hours, > 0
} thew_recovery;

thew_recovery thew_recovery_default(void);

/// Share of strength that is back after so many hours.
double thew_recovery_readiness(thew_recovery recovery, double hours);

/// Hours until the loss is under THEW_RECOVERY_LOSS_MAX; never under 24.
double thew_recovery_hours(thew_recovery recovery);

/// The same in whole days from one training day to the next; at least 1. With the defaults 2: a rest day between, as the Canadian
/// guidelines for adults with multiple sclerosis ask (Latimer-Cheung 2013).
int thew_recovery_days(thew_recovery recovery);

#endif
