// write.h: the demo studio as the files that a coach keeps.
// Knows columns and that each file says at its top that it is invented. Leaves to others: what is in them (cast.h, play.h).
#ifndef THEW_DEMO_WRITE_H
#define THEW_DEMO_WRITE_H

#include "demo/play.h"

void write_people(GString *out);
void write_kit(GString *out, const play_studio *studio);
void write_diary(GString *out, const play_studio *studio);
void write_days(GString *out, const play_studio *studio);

/// What no coach can know: a line for each row of the diary, in its order: when momentary failure came or would have come, and
/// whether the entry is wrong. For judging advice only.
void write_truth(GString *out, const play_studio *studio);

#endif
