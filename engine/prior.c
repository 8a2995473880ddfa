// prior.c: see prior.h.
#include "prior.h"

#include <assert.h>

#include "real.h"

#define REFERENCE_S 75.0

// SD of ln strength between healthy people of one sex, age and size: the coefficient of variation within age, sex and side is .20-.30
// (Benfica 2018), and age, height and mass explain only 25-31 % (Harbo 2012).
#define HEALTHY_LN_SD .28

// Deficits in mild to moderate MS, typical ranges (memory): knee extension 10-30 %, knee and hip flexion and ankle dorsiflexion 15-40 %,
// arms 0-20 %. Middle of the range, in ln; the spread between people grows with it (judgement).
typedef struct {
    double ln_mean, ln_sd;
} shift;

static shift deficit_of(thew_action action)
{
    switch (thew_action_joint(action)) {
    case THEW_JOINT_KNEE:
        return action == THEW_KNEE_FLEXION ? (shift){ -.32, .20 } : (shift){ -.22, .15 };
    case THEW_JOINT_HIP:
        return action == THEW_HIP_FLEXION ? (shift){ -.32, .20 } : (shift){ -.25, .18 };
    case THEW_JOINT_ANKLE:
        return action == THEW_ANKLE_DORSIFLEXION ? (shift){ -.32, .25 } : (shift){ -.25, .20 };
    case THEW_JOINT_TRUNK:
        return (shift){ -.15, .12 };
    case THEW_JOINT_SHOULDER:
    case THEW_JOINT_ELBOW:
    case THEW_JOINT_GRIP:
    case THEW_JOINT_COUNT:
        break;
    }
    return (shift){ -.10, .10 };
}

// A wrong tau is a wrong capacity: reading it at 75 s costs this much certainty.
static double tau_ln_sd(thew_joint joint)
{
    return thew_endurance_tau_lever(thew_endurance_default(joint), REFERENCE_S, 1) * THEW_TAU_LN_SD;
}

static thew_estimate prior_of(thew_condition condition, thew_action action, thew_joint joint, double size_ln_sd)
{
    shift d = condition == THEW_CONDITION_MS ? deficit_of(action) : (shift){ 0, 0 };
    double tau = tau_ln_sd(joint);
    double variance = HEALTHY_LN_SD * HEALTHY_LN_SD + d.ln_sd * d.ln_sd + tau * tau + size_ln_sd * size_ln_sd;
    return (thew_estimate){ d.ln_mean, thew_sqrt(variance) };
}

thew_estimate thew_prior_capacity(thew_condition condition, thew_action action, double size_ln_sd)
{
    return prior_of(condition, action, thew_action_joint(action), size_ln_sd);
}

thew_estimate thew_prior_capacity_of_joint(thew_condition condition, thew_joint joint, double size_ln_sd)
{
    static const thew_action usual[THEW_JOINT_COUNT] = {
        [THEW_JOINT_SHOULDER] = THEW_SHOULDER_FLEXION, [THEW_JOINT_ELBOW] = THEW_ELBOW_FLEXION,
        [THEW_JOINT_TRUNK] = THEW_TRUNK_EXTENSION,     [THEW_JOINT_HIP] = THEW_HIP_EXTENSION,
        [THEW_JOINT_KNEE] = THEW_KNEE_EXTENSION,       [THEW_JOINT_ANKLE] = THEW_ANKLE_PLANTARFLEXION,
        [THEW_JOINT_GRIP] = THEW_ELBOW_FLEXION, // no action of its own: deficit of the arm, endurance of the grip
    };
    assert(joint >= 0 && joint < THEW_JOINT_COUNT);
    return prior_of(condition, usual[joint], joint, size_ln_sd);
}

void thew_profile_start(thew_condition condition, thew_profile *profile)
{
    *profile = (thew_profile){ .prior = thew_capacity_prior_default(condition == THEW_CONDITION_MS) };
}

int thew_profile_add_task(thew_profile *profile, thew_task task)
{
    if (profile->task_count == THEW_TRACKS_MAX)
        return -1;
    profile->task[profile->task_count] = task;
    return profile->task_count++;
}

int thew_profile_add_track(thew_profile *profile, int task, thew_side side, thew_estimate capacity_ln)
{
    assert(task >= 0 && task < profile->task_count);
    if (profile->track_count == THEW_TRACKS_MAX)
        return -1;
    profile->track[profile->track_count] = (thew_track){ task, side, capacity_ln.mean, capacity_ln.sd };
    return profile->track_count++;
}

int thew_profile_track(const thew_profile *profile, int task, thew_side side)
{
    for (int t = 0; t < profile->track_count; t++)
        if (profile->track[t].task == task && profile->track[t].side == side)
            return t;
    return -1;
}
