// pose.h: the whole person, both sides, at any place of a movement.
// Knows what the engine leaves open because no demand depends on it: the other side, the hand that rests, the leg that stands, the
// head. Leaves to others: where the limbs that work are (engine/movement.h, taken over to the last digit), the room (scene.h).
#ifndef THEW_POSE_H
#define THEW_POSE_H

#include "draw/scene.h"

typedef struct {
    thew_xy shoulder, elbow, hand;
} thew_pose_arm;

typedef struct {
    thew_xy hip, knee, ankle, heel, ball, toe;
} thew_pose_leg;

typedef struct {
    thew_xy pelvis, neck, head; // neck: the middle between the shoulders; head: its centre
    thew_pose_arm arm[THEW_SIDES];
    thew_pose_leg leg[THEW_SIDES];
} thew_pose;

/// The person in a scene at s, from 0 to 1.
thew_pose thew_pose_at(const thew_scene *scene, double s);

/// The middle joint of a limb of two parts whose ends are at `from` and `*to`, bent to the left (+1) or to the right (-1) of the
/// way there. An end out of reach is moved to where the limb reaches.
thew_xy thew_pose_bend(thew_xy from, thew_xy *to, double upper_m, double lower_m, double side);

#endif
