// settle.h: the sets of one day, and its chance of a sudden change, settled together by expectation propagation (Minka 2001).
// Knows sites: the normal that stands for each piece of evidence, given all the others. Leaves to others: what a site speaks about
// and how the rest of the state follows (capacity.c). For capacity.c and its tests only.
//
// Settling needs nothing but the few numbers that today's evidence speaks about (u of each site, and the jump), so it goes round
// and round in those, and the whole state follows once.
#ifndef THEW_SETTLE_H
#define THEW_SETTLE_H

#include "capacity.h"

#define THEW_TODAY_MAX (THEW_DAY_SETS_MAX + 1)

/// Belief about u of each of the day's sites in order, and last about the jump.
typedef struct {
    int count;
    double mean[THEW_TODAY_MAX];
    double covariance[THEW_TODAY_MAX][THEW_TODAY_MAX]; // [count][count]
} thew_today;

/// A normal by its natural parameters: 1 / variance and mean / variance.
typedef struct {
    double precision, precision_mean;
} thew_natural;

/// How a rank-one update goes on: the belief x after what is known of one u = x_i (or any linear form) changed.
typedef struct {
    double step;   // x's mean += step cov(x, u)
    double shrink; // x's covariance -= shrink cov(x, u) cov(u, x)
} thew_rank_one;

thew_rank_one thew_rank_one_of(thew_natural change, double mean_u, double variance_u);

/// Take in a new site, the last of capacity->site, which says nothing yet.
///   today     changed as the sites are; capacity's own mean and covariance are not
///   returns   ln of the probability (or density) that the belief gave to it
double thew_settle_new(const thew_capacity_prior *prior, thew_capacity *capacity, thew_today *today);

/// Settle the sites and the jump until none moves the belief.
void thew_settle(const thew_capacity_prior *prior, thew_capacity *capacity, thew_today *today);

#endif
