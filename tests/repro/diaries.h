// diaries.h: the reference diaries: invented people with invented sets, the same on every host, for the reproducibility hash and for
// whoever wants a diary at hand. Made by a small generator of their own, not by the engine's model and not by libm.
#ifndef THEW_REPRO_DIARIES_H
#define THEW_REPRO_DIARIES_H

#include "engine/diary.h"
#include "engine/prior.h"

#define THEW_DIARIES_COUNT 12
#define THEW_DIARIES_SETS 160
#define THEW_DIARIES_CHECKINS 60
#define THEW_DIARIES_RUNGS 12

/// One person: profile, ladder of each task (rising demand), sets and check-ins.
typedef struct {
    thew_profile profile;
    thew_rung rung[THEW_TRACKS_MAX][THEW_DIARIES_RUNGS];
    thew_set set[THEW_DIARIES_SETS];
    thew_checkin checkin[THEW_DIARIES_CHECKINS];
    thew_diary diary; // points into this struct
} thew_reference_diary;

/// Make the diary of person `index`, 0 to THEW_DIARIES_COUNT - 1.
void thew_reference_diary_make(int index, thew_reference_diary *out);

#endif
