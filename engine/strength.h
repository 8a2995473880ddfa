// strength.h: what a healthy person of that sex, age and size can do, joint by joint: the yardstick of every demand.
// Knows reference strengths, how they fall with joint angle, and how much people differ. Leaves to others: this very person (capacity.h).
#ifndef THEW_STRENGTH_H
#define THEW_STRENGTH_H

#include "body.h"

typedef enum {
    THEW_JOINT_SHOULDER,
    THEW_JOINT_ELBOW,
    THEW_JOINT_TRUNK,
    THEW_JOINT_HIP,
    THEW_JOINT_KNEE,
    THEW_JOINT_ANKLE,
    THEW_JOINT_GRIP,
    THEW_JOINT_COUNT
} thew_joint;

// name, joint, sign of the torque in the joint's positive direction (see movement.h), identifier in data files
#define THEW_ACTION_LIST(X)                                                        \
    X(THEW_SHOULDER_FLEXION, THEW_JOINT_SHOULDER, +1, "shoulder_flexion")          \
    X(THEW_SHOULDER_EXTENSION, THEW_JOINT_SHOULDER, -1, "shoulder_extension")      \
    X(THEW_SHOULDER_ABDUCTION, THEW_JOINT_SHOULDER, +1, "shoulder_abduction")      \
    X(THEW_SHOULDER_ADDUCTION, THEW_JOINT_SHOULDER, -1, "shoulder_adduction")      \
    X(THEW_ELBOW_FLEXION, THEW_JOINT_ELBOW, +1, "elbow_flexion")                   \
    X(THEW_ELBOW_EXTENSION, THEW_JOINT_ELBOW, -1, "elbow_extension")               \
    X(THEW_TRUNK_FLEXION, THEW_JOINT_TRUNK, +1, "trunk_flexion")                   \
    X(THEW_TRUNK_EXTENSION, THEW_JOINT_TRUNK, -1, "trunk_extension")               \
    X(THEW_HIP_FLEXION, THEW_JOINT_HIP, +1, "hip_flexion")                         \
    X(THEW_HIP_EXTENSION, THEW_JOINT_HIP, -1, "hip_extension")                     \
    X(THEW_HIP_ABDUCTION, THEW_JOINT_HIP, +1, "hip_abduction")                     \
    X(THEW_HIP_ADDUCTION, THEW_JOINT_HIP, -1, "hip_adduction")                     \
    X(THEW_KNEE_FLEXION, THEW_JOINT_KNEE, +1, "knee_flexion")                      \
    X(THEW_KNEE_EXTENSION, THEW_JOINT_KNEE, -1, "knee_extension")                  \
    X(THEW_ANKLE_DORSIFLEXION, THEW_JOINT_ANKLE, +1, "ankle_dorsiflexion")         \
    X(THEW_ANKLE_PLANTARFLEXION, THEW_JOINT_ANKLE, -1, "ankle_plantarflexion")

#define THEW_ACTION_ENUM(name, joint, sign, id) name,
typedef enum { THEW_ACTION_LIST(THEW_ACTION_ENUM) THEW_ACTION_COUNT } thew_action;
#undef THEW_ACTION_ENUM

thew_joint thew_action_joint(thew_action action);
/// +1 or -1: how the torque of the working muscle counts in the joint's positive direction.
int thew_action_sign(thew_action action);
/// The identifier used in data files ("knee_extension"). Never NULL.
const char *thew_action_id(thew_action action);

/// Greatest isometric torque of one side (trunk: of the whole) over the range of motion, in N m, for a healthy person of that sex, age
/// and size (mean of both sexes if unknown). Sources per action in strength.c; those from memory say so, see thew_strength_is_sourced.
double thew_strength_reference_nm(thew_action action, const thew_body_model *body);

/// The share of that torque available at a joint angle (radians, movement.h's convention), in [.4, 1].
/// Knee, hip (sagittal), ankle: Anderson, Madigan & Nussbaum 2007. Shoulder flexion: a straight line through two static values.
/// Others flat: no source with angles was found.
double thew_strength_angle_factor(thew_action action, const thew_body_model *body, double angle_rad);

/// False where the reference value comes from memory, not from a text.
int thew_strength_is_sourced(thew_action action);

#endif
