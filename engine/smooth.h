// smooth.h: what the whole diary says of every day in it, the later days included: the line that plots show.
// Knows the backward pass (Rauch, Tung & Striebel 1965) over the joint state. Leaves to others: the forward pass (capacity.h).
#ifndef THEW_SMOOTH_H
#define THEW_SMOOTH_H

#include <stddef.h>

#include "diary.h"

/// One track on one day: ln k with the day's passing effects taken off.
typedef struct {
    thew_estimate filtered; // from what was known that day
    thew_estimate smoothed; // from everything
} thew_smooth_at;

/// Number of days on which anything is recorded.
int thew_smooth_day_count(const thew_diary *diary);

/// Bytes of memory that thew_smooth needs for so many days.
size_t thew_smooth_bytes(int day_count);

/// Smooth a diary.
///   memory   thew_smooth_bytes(day_count), aligned as for double; overwritten
///   days     out [day_count]
///   at       out [day_count x track_count], track fastest
///   status   THEW_OK, THEW_DROPPED_OFFSET, or the forward pass's failure, or THEW_NO_ROOM
THEW_MUST_USE thew_status thew_smooth(const thew_profile *profile, const thew_diary *diary, void *memory, size_t memory_bytes,
                                      thew_day *days, thew_smooth_at *at);

#endif
