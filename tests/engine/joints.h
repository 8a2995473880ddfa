// joints.h: the names that tests/reference/fatigue_*.csv give to the joints.
#ifndef THEW_TESTS_JOINTS_H
#define THEW_TESTS_JOINTS_H

#include "engine/strength.h"

#define EACH_JOINT(joint) for (thew_joint joint = 0; (joint) < THEW_JOINT_COUNT; (joint)++)

// "general" is the pooled row, and stands in for the hip.
// clang-format off
static const char *const joint_name[THEW_JOINT_COUNT] = {
    [THEW_JOINT_SHOULDER] = "shoulder", [THEW_JOINT_ELBOW] = "elbow", [THEW_JOINT_TRUNK] = "trunk",   [THEW_JOINT_HIP] = "general",
    [THEW_JOINT_KNEE] = "knee",         [THEW_JOINT_ANKLE] = "ankle", [THEW_JOINT_GRIP] = "hand/grip",
};
// clang-format on

#endif
