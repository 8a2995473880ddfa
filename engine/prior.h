// prior.h: what is believed of a person before the diary speaks.
// Knows how far people with and without the condition differ from the reference of their sex, age and size. What is known of the same
// person's other exercises and other side enters through the joint belief itself (capacity.h), which this file sets up.
#ifndef THEW_PRIOR_H
#define THEW_PRIOR_H

#include "capacity.h"

typedef enum {
    THEW_CONDITION_NONE,
    THEW_CONDITION_MS // multiple sclerosis and similar: legs weaker than arms, days that differ
} thew_condition;

/// Prior of ln k, as a share of the reference strength of that sex, age and size (strength.h), read from sets that fail near 75 s.
///   action       the prime mover's
///   size_ln_sd   what was assumed of the body (thew_body_model.size_ln_sd)
thew_estimate thew_prior_capacity(thew_condition condition, thew_action action, double size_ln_sd);
/// The same where only the joint is known.
thew_estimate thew_prior_capacity_of_joint(thew_condition condition, thew_joint joint, double size_ln_sd);

/// An empty profile with the defaults for the condition.
void thew_profile_start(thew_condition condition, thew_profile *profile);

/// Add a task; its index, or -1 if there is no room.
THEW_MUST_USE int thew_profile_add_task(thew_profile *profile, thew_task task);

/// Add a track (a task of the profile on a side); its index, or -1 if there is no room.
THEW_MUST_USE int thew_profile_add_track(thew_profile *profile, int task, thew_side side, thew_estimate capacity_ln);

/// The track of a task on a side, or -1.
int thew_profile_track(const thew_profile *profile, int task, thew_side side);

#endif
