// belief.h: what a diary has said so far, in a form that can be kept and gone on from.
// Knows when a belief that was kept still stands for the beginning of a diary, and its bytes. Leaves to others: where it is kept
// (believe.h), the filter (engine/capacity.h).
//
// The filter is causal, so a belief goes on from where it stood. It stands only for whole days: the last day on record is always
// played again, since a check-in or a set of that day may still come. Whether it stands for the beginning of this very diary, seen
// with this kit and this body, is told by a digest of all that was played into it; so a late entry, a correction, a band measured
// anew need no bookkeeping: the digest differs, and the diary is played from its beginning.
#ifndef THEW_STUDIO_BELIEF_H
#define THEW_STUDIO_BELIEF_H

#include <glib.h>
#include <stdbool.h>

#include "engine/diary.h"

#define THEW_BELIEF_DIGEST 32 // bytes of SHA-256

typedef struct {
    bool is_some;
    int set_count, checkin_count;      // played, all of days before `until`
    guint8 digest[THEW_BELIEF_DIGEST]; // of the profile and of these
    thew_capacity capacity;
} thew_belief;

/// Play a diary up to and on a day, going on from a belief where it stands for the diary's beginning. Bit for bit the same as
/// thew_diary_play.
///   belief   in: what is believed already, or all-zero; out: of all days on record but the last one that was played. NULL: none
///   status   as thew_diary_play; the belief is emptied on failure
THEW_MUST_USE thew_status thew_belief_play(const thew_profile *profile, const thew_diary *diary, thew_day until,
                                           thew_belief *belief, thew_capacity *capacity);

/// As bytes that every machine reads alike, and back.
GBytes *thew_belief_pack(const thew_belief *belief);
/// returns   false, and an empty belief, if these bytes are none
bool thew_belief_unpack(const void *bytes, gsize size, thew_belief *belief);

#endif
