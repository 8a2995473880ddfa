// participant.c: see participant.h.
#include "studio/participant.h"

#define DAYS_IN_YEAR 365.2425
#define EPOCH_YEAR 1970

thew_body thew_participant_body(const thew_participant *participant, thew_day day)
{
    double age_y = 0;
    if (participant->birth_year > 0)
        age_y = CLAMP(EPOCH_YEAR + day / DAYS_IN_YEAR - (participant->birth_year + .5), 1, 120);
    return (thew_body){
        .sex = participant->sex, .age_y = age_y, .height_m = participant->height_m, .mass_kg = participant->mass_kg
    };
}
