// instant.h: an instant, as files write it.
// Knows RFC 3339's date-time. Leaves to others: days (date.h), time zones, what time it is.
#ifndef THEW_INSTANT_H
#define THEW_INSTANT_H

#include <stdbool.h>
#include <stdint.h>

#define THEW_INSTANT_TEXT 28 // bytes of "2026-03-31T17:05:00.250000Z" with its end

/// Read an RFC 3339 date-time with any offset ("2026-03-31T19:05:00+02:00", section 5.6), nothing around it. T and Z in capitals.
/// What is finer than a microsecond is cut off. A leap second counts as the second before it.
///   us        out: microseconds since 1970-01-01T00:00:00Z; untouched unless there is such an instant
///   returns   whether there is such an instant, from year 1 to 9999
bool thew_instant_us_parse(const char *text, int64_t *us);

/// In UTC and to the microsecond, shorter where nothing is lost ("2026-03-31T17:05:00Z"), into text; returns text.
///   us   within the years 1 to 9999
char *thew_instant_us_text(int64_t us, char text[THEW_INSTANT_TEXT]);

#endif
