// diary.h: a person's sets and check-ins in order of day, played into the filter.
// Knows the order in which a diary speaks: a day's check-in before its sets. Leaves to others: where the records come from, and which of
// them a correction has replaced.
#ifndef THEW_DIARY_H
#define THEW_DIARY_H

#include "capacity.h"

typedef struct {
    thew_day day;
    thew_conditions conditions;
} thew_checkin;

/// Both in order of day (a record out of order is refused: THEW_DATE_BEFORE_STATE). Of two check-ins on a day the last counts.
typedef struct {
    const thew_set *set;
    int set_count;
    const thew_checkin *checkin;
    int checkin_count;
} thew_diary;

/// Where a reading of a diary stands.
typedef struct {
    int set, checkin; // next of each
} thew_diary_place;

/// The next day on which anything is recorded, THEW_NO_DAY at the end.
thew_day thew_diary_next(const thew_diary *diary, thew_diary_place place);

/// Play that day into the belief and move on.
///   status   the first failure, or the last piece of news
THEW_MUST_USE thew_status thew_diary_play_day(const thew_profile *profile, const thew_diary *diary, thew_diary_place *place,
                                              thew_capacity *capacity);

/// The belief after all that was recorded before or on `until` (THEW_DAY_MAX: everything). Starts from the prior.
#define THEW_DAY_MAX INT32_MAX
THEW_MUST_USE thew_status thew_diary_play(const thew_profile *profile, const thew_diary *diary, thew_day until, thew_capacity *capacity);

/// Indices that put sets in order of day, sets of one day in the order given.
///   order    out [set_count]
void thew_diary_sort(const thew_set *set, int set_count, int *order);

#endif
