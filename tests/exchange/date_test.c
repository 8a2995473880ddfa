// date_test.c: full-dates of RFC 3339 and the days there are.
// Outside truth: RFC 3339 section 5.6 (grammar), 5.7 and appendix C (days in a month, leap years); the C library's own calendar
// (gmtime) for the numbers.
#define _POSIX_C_SOURCE 200809L // gmtime_r
#include "expect.h"

#include <time.h>

#include "exchange/date.h"

static void forms(void **state)
{
    (void)state;
    // clang-format off
    static const struct {
        const char *why, *text;
        bool is_form, exists;
    } row[] = {
        { "RFC 3339 section 5.8, its date", "1985-04-12", true, true },
        { "RFC 3339 section 5.8, its date", "1937-01-01", true, true },
        { "leap year: divisible by 4 (appendix C)", "2024-02-29", true, true },
        { "no leap year", "2026-02-29", true, false },
        { "no leap year: divisible by 100 (appendix C)", "1900-02-29", true, false },
        { "leap year: divisible by 400 (appendix C)", "2000-02-29", true, true },
        { "31 days in January (5.7)", "2026-01-31", true, true },
        { "30 days in April (5.7)", "2026-04-31", true, false },
        { "30 days in June (5.7)", "2026-06-31", true, false },
        { "30 days in September (5.7)", "2026-09-31", true, false },
        { "30 days in November (5.7)", "2026-11-31", true, false },
        { "no day 0", "2026-01-00", true, false },
        { "no month 0", "2026-00-10", true, false },
        { "no month 13", "2026-13-10", true, false },
        { "no year 0 here", "0000-01-01", true, false },
        { "the last year that can be written", "9999-12-31", true, true },
        { "one digit for a month (5.6: 2DIGIT)", "2026-3-31", false, false },
        { "two digits for a year (5.6: 4DIGIT)", "26-03-31", false, false },
        { "points", "2026.03.31", false, false },
        { "a time behind it", "2026-03-31T10:00:00Z", false, false },
        { "a space behind it", "2026-03-31 ", false, false },
        { "a space before it", " 2026-03-31", false, false },
        { "no separators", "20260331", false, false },
        { "a sign", "+026-03-31", false, false },
        { "letters", "2026-Mar-1", false, false },
        { "cut off", "2026-03-3", false, false },
        { "nothing", "", false, false },
    };
    // clang-format on
    EACH(i, row)
    {
        thew_date date = { 0, 0, 0 };
        bool is_form = thew_date_parse(row[i].text, &date);
        g_autofree char *why = g_strdup_printf("%s: %s", row[i].why, row[i].text);
        expect_number(why, row[i].is_form, is_form);
        expect_number(why, row[i].exists, is_form && thew_date_exists(date));
        char text[THEW_DATE_TEXT];
        if (is_form) expect_text(why, row[i].text, thew_date_text(date, text));
    }
    expect_end(60);
}

static void numbers_agree_with_the_c_library(void **state)
{
    (void)state;
    thew_date before = { 0, 0, 0 };
    for (int number = -25567; number < 60000; number++) { // 1900-01-01 to 2134
        time_t seconds = (time_t)number * 86400;
        struct tm tm;
        gmtime_r(&seconds, &tm);
        thew_date date = { (int16_t)(tm.tm_year + 1900), (int8_t)(tm.tm_mon + 1), (int8_t)tm.tm_mday };
        if (!thew_date_exists(date)) expect_text("a day the C library knows", "exists", "does not");
        expect_number("days since 1970-01-01", number, thew_date_number(date));
        if (thew_date_compare(before, date) >= 0 || thew_date_compare(date, before) <= 0 || thew_date_compare(date, date) != 0)
            expect_text("days in order", "before", "not before");
        before = date;
    }
    expect_end(85000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(forms),
        cmocka_unit_test(numbers_agree_with_the_c_library),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
