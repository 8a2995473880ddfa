// date.h: a day of the calendar, as files write it.
// Knows RFC 3339's full-date and which days exist. Leaves to others: time of day, time zones, what day it is today.
#ifndef THEW_DATE_H
#define THEW_DATE_H

#include <stdbool.h>
#include <stdint.h>

#define THEW_DATE_TEXT 11 // bytes of "2026-03-31" with its end

/// All-zero means unknown.
typedef struct {
    int16_t year;
    int8_t month, day;
} thew_date;

/// Read "YYYY-MM-DD" (RFC 3339 section 5.6, full-date), digits only, nothing around it.
///   date      out; untouched unless the form is right
///   returns   whether the form is right; that the day exists is thew_date_exists
bool thew_date_parse(const char *text, thew_date *date);

/// Whether there is such a day in the Gregorian calendar, from year 1 on (RFC 3339 section 5.7).
bool thew_date_exists(thew_date date);
/// Days in a month, 28 to 31; month from 1 to 12.
int thew_date_month_days(int year, int month);

/// Days since 1970-01-01 of a date that exists.
int thew_date_number(thew_date date);
/// Below, at or above 0 as `a` is before, on or after `b`.
int thew_date_compare(thew_date a, thew_date b);
/// "YYYY-MM-DD" into text; returns text.
char *thew_date_text(thew_date date, char text[THEW_DATE_TEXT]);

#endif
