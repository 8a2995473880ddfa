// participant.c: see participant.h.
#include "studio/participant.h"

#include <string.h>

#define EPOCH_JULIAN 719163u // of 1970-01-01, in days of GDate

static int year_of(thew_day day)
{
    GDate date;
    g_date_clear(&date, 1);
    g_date_set_julian(&date, (guint32)CLAMP((gint64)day + EPOCH_JULIAN, 1, 3650000));
    return g_date_get_year(&date);
}

thew_body thew_participant_body(const thew_participant *participant, thew_day day)
{
    double age_y = 0;
    if (participant->birth_year > 0) age_y = CLAMP(year_of(day) - participant->birth_year, 1, 120);
    return (thew_body){
        .sex = participant->sex, .age_y = age_y, .height_m = participant->height_m, .mass_kg = participant->mass_kg
    };
}

bool thew_participant_is_off_limits(const thew_participant *participant, const thew_variant *variant, thew_day day)
{
    for (guint l = 0; participant->limit && l < participant->limit->len; l++) {
        const thew_limit *limit = &g_array_index(participant->limit, thew_limit, l);
        if (limit->until_day != THEW_NO_DAY && limit->until_day < day) continue;
        if (limit->is_position ? strcmp(limit->what, thew_position_id(variant->position)) == 0
                               : strcmp(limit->what, variant->id) == 0 || strcmp(limit->what, variant->exercise->id) == 0)
            return true;
    }
    return false;
}
