// tell.h: values as JSON: what several answers have in common.
// Knows how days, instants, unknown things and parts of the catalogue are written. Leaves to others: which answer has what.
// Every function returns a new reference.
#ifndef THEW_TELL_H
#define THEW_TELL_H

#include <jansson.h>

#include "catalogue/catalogue.h"
#include "engine/diary.h"
#include "engine/outlook.h"
#include "store/map.h"
#include "studio/admit.h"
#include "studio/screen.h"

#define THEW_TELL_DIGITS 15 // of numbers: what was typed comes back as it was

json_t *thew_tell_text(const char *text); // NULL: null
json_t *thew_tell_real(double number);    // not finite: null
json_t *thew_tell_maybe(thew_maybe_real number);
json_t *thew_tell_day(thew_day day);                 // THEW_NO_DAY: null
json_t *thew_tell_date(thew_date date);              // all-zero: null
json_t *thew_tell_instant(thew_utc at);              // 0: null
json_t *thew_tell_texts(const char *const *text);    // NULL-terminated; NULL: none
json_t *thew_tell_strings(const GPtrArray *strings); // of char *; NULL: none

json_t *thew_tell_odds(const thew_odds *odds);
json_t *thew_tell_screening(const thew_screening *screening);
json_t *thew_tell_catalogue(const thew_catalogue *catalogue);

/// Where a day is asked for and none is named, it is today.
thew_day thew_tell_day_or_today(thew_studio *studio, thew_date date);

#endif
