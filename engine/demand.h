// demand.h: what a resistance asks of the joints, through the range of motion.
// Knows statics (planar, quasi-static: 7 s over .6 m, inertia under 1 % of weight). Leaves to others: how long anybody lasts (endurance.h).
//
// The torque of a joint: cut the figure there and take the part that turns when the joint's angle changes and the root's side stays still.
// The muscles hold that part against its weight, the implement and the band. What is shared:
//   shoulder, elbow          this arm; 1 / hands of the implement
//   trunk                    head, arms and trunk, both sides together; all of the implement
//   hip, knee, ankle         root at the hip: this leg, all of what is held at it.
//                            root on the floor: what stands above the joint: this leg, and of head, arms and trunk (less support_share)
//                            and of an implement held above the hip 1 / legs; on one leg the other leg hangs from its own hip.
//   ankle, root at forefoot  the heel rises, the body above moves with it: the push of the floor through the ball, times its lever.
// Head, arms and trunk: Winter's row, which has the arms hanging; in the sagittal plane both arms are moved to where the posture has them.
// An action that the plane does not show has no torque: trunk and ankle outside the sagittal plane. In the transverse plane nothing weighs.
// On two legs in the frontal plane each half of the trunk stands over its own hip: how the legs share a side bend is not determined.
#ifndef THEW_DEMAND_H
#define THEW_DEMAND_H

#include "movement.h"

#define THEW_GRAVITY_M_S2 9.81
#define THEW_ECCENTRIC_FACTOR 1.2 // a judgement for slow movement: 1.02-1.12 at .25 rad/s (Anderson 2007), 1.41 overall (Nuzzo 2023)
#define THEW_DEMAND_STEPS 64      // intervals of s in which the range is searched

/// What is added to the body's own weight. All-zero is body weight alone. Band and mass may both be present.
typedef struct {
    double mass_kg;          // free weight at the hold point
    const thew_band *band;   // NULL for none
    thew_strand strand;
    const thew_band *band_2; // a second band side by side, or NULL
    thew_strand strand_2;
    // A setting: the anchor is moved away from the hold point by this share of stature, along the band's line at s = 0 (nearer if
    // negative): a chair further from the door. Without effect on an anchor that moves or is mirrored, or that lies at the hold point.
    double anchor_dx_h;
} thew_resistance;

/// Seconds: lowering, pause, lifting, pause. Default 7, 1, 7, 1.
typedef struct {
    double lowering_s, pause_low_s, lifting_s, pause_high_s;
} thew_tempo;

static inline thew_tempo thew_tempo_default(void) { return (thew_tempo){ 7, 1, 7, 1 }; }
static inline double thew_tempo_cycle_s(thew_tempo t) { return t.lowering_s + t.pause_low_s + t.lifting_s + t.pause_high_s; }

/// One place in the range.
typedef struct {
    double s;
    double band_length_m, band_stretch, band_force_n; // 0 without a band; the greatest stretch if there are two
    double torque_nm[THEW_EFFORT_MAX];                // of one side (trunk: of both), in the direction of each effort's action
                                                      // (negative: the other way)
    double share[THEW_EFFORT_MAX];                    // torque / (reference strength x angle factor), 0 if negative
    double peak_share;                                // greatest of the limiting efforts
} thew_demand_at;

typedef struct {
    double peak_share;  // d: the greatest over the range while lifting; at hold_s for a hold
    double mean_share;  // a: mean over the cycle / d, lowering divided by the eccentric factor; 1 for a hold; in (0, 1]
    double sticking_s;  // where the peak lies
    double ends_from_s, ends_to_s; // the part of the lift in which a set can end: about the sticking point (0, 1: anywhere; a hold)
    int limiting_effort;// index of the effort that peaks
    double torque_nm;   // of that effort, there
    double stretch_max; // greatest stretch of a band over the range (a hold: at hold_s); 0 without
    double ln_sd;       // SD of ln d: the band's, for its part of the torque there; body size; support
} thew_demand;

/// Statics at one place.
thew_demand_at thew_demand_at_s(const thew_movement *movement, const thew_body_model *body, const thew_resistance *resistance, double s);

/// The whole range.
///   tempo    a cycle above 0 s; not looked at for a hold
///   status   THEW_OK, THEW_BEYOND_CURVE, THEW_SLACK
THEW_MUST_USE thew_status thew_demand_of(const thew_movement *movement, const thew_body_model *body, const thew_resistance *resistance,
                                         thew_tempo tempo, thew_demand *demand);

/// Energy stored in limbs and bands at a posture given outright, as the named joint bears it (shared as above): what its torque must agree
/// with. Turn the joint's part of the figure by a small angle with the root's side still, and the energy rises by torque x angle:
///   root at the hip          dU / d(angle), for the trunk with the thigh still (lean and hip together)
///   root on the floor        lean follows: hip and trunk +, knee -, ankle +; but the ankle of a root at the forefoot: dU / d(ankle)
///   anchor                   one that stays: the same at both postures. One that moves: where it is in each posture, for both ends of
///                            the band do work on this figure. Mirrored: the same at both, for the far end's work is the other
///                            side's (following, a symmetric movement stores twice one side's work); but following for a hip, knee
///                            or ankle that stands and bears both arms with a band between them.
/// Used by the tests of virtual work and by nobody else.
double thew_demand_energy_j(const thew_movement *movement, const thew_body_model *body, const thew_resistance *resistance,
                            const thew_posture *posture, thew_xy anchor, thew_joint joint);

#endif
