// movement.h: how a movement goes: a planar chain of segments between two turnarounds, where the resistance is held and anchored.
// Knows geometry only: where every joint is at any point s of the range (0 = the turnaround from which the resistance is lifted,
// 1 = the other). Leaves to others: forces (demand.h), which movements exist (the catalogue), who moves.
//
// One plane: x forward (sagittal) or away from the midline (frontal), y up. The direction of a segment is measured from straight
// down, towards +x: 0 hangs, 90 degrees points along x, 180 points up. Joint angles in the anatomical sense, radians:
//   lean      trunk from the vertical, forward positive
//   shoulder  flexion (sagittal) or abduction (frontal): 0 = arm along the trunk
//   elbow     flexion: 0 = straight
//   hip       flexion (sagittal) or abduction (frontal): 0 = thigh in line with the trunk
//   knee      flexion: 0 = straight
//   ankle     dorsiflexion: 0 = foot square to the shank
// so that   upper arm = -lean + shoulder,  forearm = upper arm + elbow,  thigh = -lean + hip,  shank = thigh - knee,
//           foot = shank + 90 degrees + ankle.
//
//            head o
//                 |  shoulder          lean = 0, shoulder = 0, elbow = 90: a seated curl half way
//                 o====o elbow
//                 |    `----o hand
//            hip  o=======o knee
//                         |
//                         o-- foot
//
// The foot is a triangle of ankle, heel and ball; seen from the front (frontal plane) it hangs as one line in the shank's direction and
// the ankle's angle does not turn it. In the frontal plane pelvis and trunk are one stiff piece: the hip lies half the hip breadth, the
// shoulder half the shoulder breadth in +x from its midline. Seen from above (transverse) y points straight ahead, the trunk is one
// point, and shoulder and hip lie beside it.
#ifndef THEW_MOVEMENT_H
#define THEW_MOVEMENT_H

#include <stdbool.h>

#include "band.h"
#include "body.h"
#include "strength.h"

/// The plane that the movement lies in. Transverse: seen from above, with the angles of the frontal plane but turned so that 0 points
/// straight ahead (a seated person's thighs moving apart); gravity does not act in it.
typedef enum { THEW_SAGITTAL, THEW_FRONTAL, THEW_TRANSVERSE } thew_plane;

/// What stays put: the hip (seated, lying, or standing on the other leg) or the ankle (feet on the floor carry the body above).
typedef enum { THEW_ROOT_HIP, THEW_ROOT_ANKLE, THEW_ROOT_FOREFOOT } thew_root;

typedef enum {
    THEW_POINT_NONE,
    THEW_POINT_HAND,     // centre of mass of the hand (Winter); a fist closes 2-3 cm nearer the wrist
    THEW_POINT_ELBOW,
    THEW_POINT_SHOULDER,
    THEW_POINT_HIP,
    THEW_POINT_KNEE,
    THEW_POINT_ANKLE,
    THEW_POINT_FOREFOOT, // ball of the foot
    THEW_POINT_HEEL,
    THEW_POINT_FLOOR,    // the floor straight below the hip; for a root at the hip, at the height of the lowest point of the foot at s = 0
                         // (so both for a standing and for a seated person whose foot is on the floor there)
    THEW_POINT_COUNT
} thew_point;

typedef struct {
    double x_m, y_m;
} thew_xy;

typedef struct {
    double lean, shoulder, elbow, hip, knee, ankle; // radians
} thew_posture;

/// Where the far end of a band is fixed: a body point plus an offset in shares of stature. The offset is carried along, not turned.
typedef struct {
    thew_point from;
    double dx_h, dy_h; // offset, share of stature
    bool moves;        // follows the point (a band between two parts of this figure) instead of staying where the point was at s = 0
    bool mirrored;     // the mirror image of the hold point about the body's midline (a loop around both thighs); `from` is ignored.
                       // In the sagittal plane that is the hold point itself, and the band slack.
} thew_anchor;

/// One joint action that works in the movement. The first of a movement is its prime mover.
typedef struct {
    thew_action action;
    bool synergist; // works, but does not limit the set: left out of the relative demand
} thew_effort;

#define THEW_EFFORT_MAX 4

typedef enum { THEW_REPETITIONS, THEW_HOLD } thew_kind;

/// A movement as the engine needs it; the catalogue fills it. All-zero is no movement.
typedef struct {
    thew_plane plane;
    thew_root root;
    thew_kind kind;
    thew_posture low, high; // at s = 0 and s = 1; every angle runs linearly between them
    double hold_s;          // for a hold: where in the range, 0 to 1
    thew_point hold_point;  // where the resistance meets the body; NONE for body weight alone
    thew_anchor anchor;     // for a band
    thew_effort effort[THEW_EFFORT_MAX];
    int effort_count;
    int legs;               // legs that carry the body: 1 or 2 (roots at ankle or forefoot); else 1
    int hands;              // hands that share one implement: 2 = half the force each; else 1
    double support_share;   // share of the body above that hands or a helper carry, 0 to .9
    double support_ln_sd;   // and how unsure that is: SD of ln demand
    bool starts_lifting;    // first phase of the first repetition; else lowering
} thew_movement;

/// Every point of the figure at s, in metres. The root rests: the ankle or the forefoot at (0, 0); the hip at (0, 0) in the sagittal plane
/// and half the hip breadth beside it in the others, so that x = 0 is the midline of an upright body. THEW_POINT_NONE is the origin.
///   point   out [THEW_POINT_COUNT]
void thew_movement_points(const thew_movement *movement, const thew_body_model *body, double s, thew_xy point[THEW_POINT_COUNT]);

/// The same for a posture given outright. The floor stays where the movement has it.
void thew_posture_points(const thew_movement *movement, const thew_body_model *body, const thew_posture *posture,
                         thew_xy point[THEW_POINT_COUNT]);

/// The posture at s.
thew_posture thew_movement_posture(const thew_movement *movement, double s);

/// The middle of the pelvis of that figure: the hip itself in the sagittal plane.
thew_xy thew_posture_pelvis(const thew_movement *movement, const thew_body_model *body, const thew_posture *posture, thew_xy hip);

/// Where the band's far end is at s, without the setting of a resistance (demand.h).
thew_xy thew_movement_anchor(const thew_movement *movement, const thew_body_model *body, double s);

/// Joint angle that an action works at, radians.
double thew_posture_angle(const thew_posture *posture, thew_action action);

#endif
