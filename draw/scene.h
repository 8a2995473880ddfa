// scene.h: the room about a person, as the movement implies it: chair, door, worktop, step, floor; and where resting hands and feet
// go. Knows what furniture a posture needs. Leaves to others: where the working limbs are (engine/movement.h), the whole person
// (pose.h), pixels (figure.h).
//
// The engine's coordinates, in metres. Near is the side that works: nearer to the viewer in the sagittal plane, +x in the others.
#ifndef THEW_SCENE_H
#define THEW_SCENE_H

#include "catalogue/catalogue.h"

typedef enum { THEW_NEAR, THEW_FAR, THEW_SIDES } thew_scene_side;

/// A piece of furniture: straight bars with round ends.
typedef enum {
    THEW_THING_CHAIR,
    THEW_THING_REST,
    THEW_THING_TABLE,
    THEW_THING_DOOR,
    THEW_THING_STEP,
    THEW_THING_CUSHION
} thew_thing_kind;

typedef struct {
    thew_thing_kind kind;
    thew_xy from, to;
    double width_m;
} thew_thing;

#define THEW_THINGS_MAX 24

/// Where the leg of the other side is.
typedef enum {
    THEW_LEG_ALIKE,   // does the same
    THEW_LEG_PLANTED, // its foot stays at far_ankle
    THEW_LEG_STEPS,   // comes up from the floor to the step
    THEW_LEG_LIFTED,  // held just off the floor
} thew_far_leg;

/// What stays the same at every place of the movement.
typedef struct {
    const thew_movement *movement;
    const thew_body_model *body;
    thew_position position;
    double height_m;    // stature
    double end_s;       // the end of the lift, or where a hold is held
    double anchor_dx_h; // of the setting; see thew_resistance
    bool has_floor;
    double floor_m;     // height of the floor
    double low_floor_m; // of the floor that a step stands on; else the same
    thew_thing thing[THEW_THINGS_MAX];
    int thing_count;
    bool has_anchor;        // a band ends there
    bool both_arms;         // the other arm does the same
    bool rests[THEW_SIDES]; // the hand stays at hand_at, as far as it reaches
    thew_xy hand_at[THEW_SIDES];
    thew_far_leg far_leg;
    thew_xy far_ankle;
    double far_shift_m; // sagittal: the other side lies this much ahead, so that it can be seen
} thew_scene;

/// How far skin lies from the line between joints, as shares of stature. A drawing's judgement, no source.
#define THEW_HIP_R .052
#define THEW_SHOULDER_R .044
#define THEW_KNEE_R .035
#define THEW_ANKLE_R .022
#define THEW_HEEL_R .015
#define THEW_TOE_R .012
#define THEW_ELBOW_R .022
#define THEW_HAND_R .024
#define THEW_HEAD_R .060

/// The room for one way of doing a variant.
///   implement   one of the variant's
///   setting     one of the implement's, or NULL
thew_scene thew_scene_of(const thew_variant *variant, const thew_implement *implement, const thew_setting *setting,
                         const thew_body_model *body);

/// Where the band's far end is at s; as in the engine's demand, setting and all.
thew_xy thew_scene_anchor(const thew_scene *scene, double s);

/// Whether the thighs of a seated person point at the viewer (or the shanks away), so that the plane does not show the legs as they
/// are.
bool thew_scene_hides_legs(const thew_scene *scene);

#endif
