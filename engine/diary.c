// diary.c: see diary.h.
#include "diary.h"

#include <assert.h>

thew_day thew_diary_next(const thew_diary *diary, thew_diary_place place)
{
    thew_day day = THEW_DAY_MAX;
    if (place.set < diary->set_count)
        day = diary->set[place.set].day;
    if (place.checkin < diary->checkin_count && diary->checkin[place.checkin].day < day)
        day = diary->checkin[place.checkin].day;
    return day == THEW_DAY_MAX ? THEW_NO_DAY : day;
}

thew_status thew_diary_play_day(const thew_profile *profile, const thew_diary *diary, thew_diary_place *place, thew_capacity *capacity)
{
    thew_day day = thew_diary_next(diary, *place);
    assert(day != THEW_NO_DAY);
    const thew_conditions *conditions = 0;
    while (place->checkin < diary->checkin_count && diary->checkin[place->checkin].day == day)
        conditions = &diary->checkin[place->checkin++].conditions;
    thew_status news = thew_capacity_go_to(profile, capacity, day, conditions);
    if (news < 0)
        return news;
    while (place->set < diary->set_count && diary->set[place->set].day == day) {
        thew_status status = thew_capacity_record(profile, capacity, &diary->set[place->set++]);
        if (status < 0)
            return status;
        if (status > 0)
            news = status;
    }
    return news;
}

thew_status thew_diary_play(const thew_profile *profile, const thew_diary *diary, thew_day until, thew_capacity *capacity)
{
    thew_status news = thew_capacity_start(profile, capacity);
    if (news < 0)
        return news;
    thew_diary_place place = { 0, 0 };
    for (thew_day day; (day = thew_diary_next(diary, place)) != THEW_NO_DAY && day <= until;) {
        thew_status status = thew_diary_play_day(profile, diary, &place, capacity);
        if (status < 0)
            return status;
        if (status > 0)
            news = status;
    }
    return news;
}

// Merge sort from the bottom up needs memory; a diary comes nearly in order, so insertion is linear in practice.
void thew_diary_sort(const thew_set *set, int set_count, int *order)
{
    for (int i = 0; i < set_count; i++) {
        int j = i;
        for (; j > 0 && set[order[j - 1]].day > set[i].day; j--)
            order[j] = order[j - 1];
        order[j] = i;
    }
}
