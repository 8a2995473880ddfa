// date.c: days of the calendar (see date.h); the calendar itself is GLib's.
#include "exchange/date.h"

#include <glib.h>

#define JULIAN_1970 719163 // GLib's day 1 is 0001-01-01

static int digits(const char *text, int count)
{
    int value = 0;
    for (int i = 0; i < count; i++)
        value = value * 10 + g_ascii_digit_value(text[i]);
    return value;
}

bool thew_date_parse(const char *text, thew_date *date)
{
    static const char form[] = "dddd-dd-dd";
    for (int i = 0; i < (int)sizeof form - 1; i++)
        if (form[i] == 'd' ? !g_ascii_isdigit(text[i]) : text[i] != form[i]) return false;
    if (text[sizeof form - 1] != '\0') return false;
    *date = (thew_date){ (int16_t)digits(text, 4), (int8_t)digits(text + 5, 2), (int8_t)digits(text + 8, 2) };
    return true;
}

bool thew_date_exists(thew_date date)
{
    if (date.year < 1 || date.month < 1 || date.day < 1) return false;
    return g_date_valid_dmy((GDateDay)date.day, (GDateMonth)date.month, (GDateYear)date.year);
}

int thew_date_month_days(int year, int month)
{
    return g_date_get_days_in_month((GDateMonth)month, (GDateYear)year);
}

int thew_date_number(thew_date date)
{
    g_assert(thew_date_exists(date));
    GDate day;
    g_date_clear(&day, 1);
    g_date_set_dmy(&day, (GDateDay)date.day, (GDateMonth)date.month, (GDateYear)date.year);
    return (int)g_date_get_julian(&day) - JULIAN_1970;
}

int thew_date_compare(thew_date a, thew_date b)
{
    if (a.year != b.year) return a.year - b.year;
    return a.month != b.month ? a.month - b.month : a.day - b.day;
}

char *thew_date_text(thew_date date, char text[THEW_DATE_TEXT])
{
    g_snprintf(text, THEW_DATE_TEXT, "%04d-%02d-%02d", date.year, date.month, date.day);
    return text;
}
