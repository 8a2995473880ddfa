// body.h: a body as lengths and masses.
// Knows Winter's segment tables (lengths after Drillis & Contini 1966, masses after Dempster 1955) and what to assume when size is
// unknown. Leaves to others: strength (strength.h), posture (movement.h).
#ifndef THEW_BODY_H
#define THEW_BODY_H

#include "status.h"

typedef enum { THEW_SEX_UNKNOWN, THEW_SEX_FEMALE, THEW_SEX_MALE } thew_sex;

/// What is known of a body; 0 means unknown, in every field.
typedef struct {
    thew_sex sex;
    double age_y;
    double height_m;
    double mass_kg;
} thew_body;

typedef enum {
    THEW_SEGMENT_UPPER_ARM,
    THEW_SEGMENT_FOREARM,
    THEW_SEGMENT_HAND,
    THEW_SEGMENT_THIGH,
    THEW_SEGMENT_SHANK,
    THEW_SEGMENT_FOOT,
    THEW_SEGMENT_HAT, // head, arms and trunk together, from hip to shoulder
    THEW_SEGMENT_COUNT
} thew_segment;

/// One segment of one body.
typedef struct {
    double length_m;
    double mass_kg;
    double centre_m; // centre of mass, from the end nearer the trunk (HAT: from the hip; foot: from the ankle towards the ball)
} thew_segment_size;

/// A body with nothing left unknown.
typedef struct {
    thew_sex sex;
    double age_y;
    double height_m;
    double mass_kg;
    double size_ln_sd;                                // extra SD of ln demand, from what was assumed; 0 if all was known
    thew_segment_size segment[THEW_SEGMENT_COUNT];
    double foot_breadth_m, ankle_height_m, shoulder_breadth_m, hip_breadth_m, head_m; // head_m: shoulder to vertex
    double heel_behind_m, ball_ahead_m; // from the ankle, along the sole; both lie ankle_height_m below it
} thew_body_model;

/// Fill in what is unknown (population means by sex, sources in body.c) and compute every segment. An unknown mass follows from the
/// stature (mean body mass index); size_ln_sd is that of an implement's demand, more than enough for body weight alone.
/// Never fails: sizes must be 0 or within human range (assert: .5-2.5 m, 15-350 kg, 1-120 y).
thew_body_model thew_body_build(thew_body known);

#endif
