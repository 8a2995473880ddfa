// instant.c: see instant.h.
#include "exchange/instant.h"

#include <glib.h>
#include <string.h>

#include "exchange/date.h"

#define DAY_S 86400
#define SECOND_US 1000000

// `digits` of them, or -1.
static int number_at(const char **at, int digits)
{
    int value = 0;
    for (int i = 0; i < digits; i++, ++*at) {
        if (!g_ascii_isdigit(**at)) return -1;
        value = value * 10 + (**at - '0');
    }
    return value;
}

static bool take(const char **at, char character)
{
    if (**at != character) return false;
    ++*at;
    return true;
}

// "17:05:00" into seconds; -1 if it is none.
static int read_time(const char **at)
{
    int hour = number_at(at, 2);
    if (hour < 0 || hour > 23 || !take(at, ':')) return -1;
    int minute = number_at(at, 2);
    if (minute < 0 || minute > 59 || !take(at, ':')) return -1;
    int second = number_at(at, 2);
    if (second < 0 || second > 60) return -1;
    return (hour * 60 + minute) * 60 + MIN(second, 59);
}

// ".25" into microseconds; nothing is zero; -1 if there are no digits after the point.
static int read_fraction(const char **at)
{
    int us = 0, unit = SECOND_US / 10;
    if (!take(at, '.')) return 0;
    if (!g_ascii_isdigit(**at)) return -1;
    for (; g_ascii_isdigit(**at); ++*at, unit /= 10)
        us += (**at - '0') * unit;
    return us;
}

// "Z" or "+02:00" into seconds east of Greenwich.
static bool read_offset(const char **at, int *offset_s)
{
    *offset_s = 0;
    if (take(at, 'Z')) return true;
    int sign = **at == '-' ? -1 : 1;
    if (!take(at, '+') && !take(at, '-')) return false;
    int hour = number_at(at, 2);
    if (hour < 0 || hour > 23 || !take(at, ':')) return false;
    int minute = number_at(at, 2);
    *offset_s = sign * (hour * 60 + minute) * 60;
    return minute >= 0 && minute <= 59;
}

bool thew_instant_us_parse(const char *text, int64_t *us)
{
    char day[THEW_DATE_TEXT];
    thew_date date;
    int offset_s;
    if (strlen(text) < THEW_DATE_TEXT) return false;
    g_strlcpy(day, text, sizeof day);
    const char *at = text + THEW_DATE_TEXT - 1;
    if (!thew_date_parse(day, &date) || !thew_date_exists(date) || !take(&at, 'T')) return false;
    int second = read_time(&at);
    int fraction = second < 0 ? -1 : read_fraction(&at);
    if (fraction < 0 || !read_offset(&at, &offset_s) || *at != '\0') return false;
    int64_t whole = (int64_t)thew_date_number(date) * DAY_S + second - offset_s;
    int64_t first = (int64_t)thew_date_number((thew_date){ 1, 1, 1 }) * DAY_S;
    int64_t last = (int64_t)thew_date_number((thew_date){ 9999, 12, 31 }) * DAY_S + DAY_S - 1;
    if (whole < first || whole > last) return false;
    *us = whole * SECOND_US + fraction;
    return true;
}

char *thew_instant_us_text(int64_t us, char text[THEW_INSTANT_TEXT])
{
    int64_t whole = us / SECOND_US - (us % SECOND_US < 0);
    int fraction = (int)(us - whole * SECOND_US);
    g_autoptr(GDateTime) at = g_date_time_new_from_unix_utc(whole);
    g_assert(at != NULL);
    int length = g_snprintf(text, THEW_INSTANT_TEXT, "%04d-%02d-%02dT%02d:%02d:%02d", g_date_time_get_year(at),
                            g_date_time_get_month(at), g_date_time_get_day_of_month(at), g_date_time_get_hour(at),
                            g_date_time_get_minute(at), g_date_time_get_second(at));
    if (fraction != 0) length += g_snprintf(text + length, (gulong)(THEW_INSTANT_TEXT - length), ".%06d", fraction);
    g_snprintf(text + length, (gulong)(THEW_INSTANT_TEXT - length), "Z");
    return text;
}
