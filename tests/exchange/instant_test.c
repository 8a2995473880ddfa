// instant_test.c: RFC 3339 date-times, read and written.
#include "expect.h"

#include "exchange/instant.h"

#define NONE INT64_MIN
#define S G_GINT64_CONSTANT(1000000)

// Seconds since 1970 by Python's datetime, which is outside of this project.
static void readings(void **state)
{
    (void)state;
    static const struct {
        const char *why, *text;
        int64_t us;
    } row[] = {
        { "the beginning of time", "1970-01-01T00:00:00Z", 0 },
        { "RFC 3339 section 5.8, first example", "1985-04-12T23:20:50.52Z", 482196050 * S + 520000 },
        { "second example: eight hours behind", "1996-12-19T16:39:57-08:00", 851042397 * S },
        { "third example: a leap second counts as the second before it", "1990-12-31T23:59:60Z", 662687999 * S },
        { "last example: Amsterdam time of 1937", "1937-01-01T12:00:27.87+00:20", -1041337173 * S + 870000 },
        { "before 1970, with a fraction", "1969-12-31T23:59:59.999999Z", -1 },
        { "finer than a microsecond is cut off", "1970-01-01T00:00:00.0000019Z", 1 },
        { "a leap day", "2024-02-29T00:00:00Z", 1709164800 * S },
        { "no such day", "2026-02-29T00:00:00Z", NONE },
        { "no offset", "2026-03-31T17:05:00", NONE },
        { "no seconds", "2026-03-31T17:05Z", NONE },
        { "a blank for the T", "2026-03-31 17:05:00Z", NONE },
        { "small letters", "2026-03-31t17:05:00z", NONE },
        { "hour 24", "2026-03-31T24:00:00Z", NONE },
        { "minute 60", "2026-03-31T23:60:00Z", NONE },
        { "second 61", "2026-03-31T23:59:61Z", NONE },
        { "a point without digits", "2026-03-31T17:05:00.Z", NONE },
        { "an offset of too many minutes", "2026-03-31T17:05:00+01:60", NONE },
        { "an offset without a colon", "2026-03-31T17:05:00+0100", NONE },
        { "something behind", "2026-03-31T17:05:00Z ", NONE },
        { "a day alone", "2026-03-31", NONE },
        { "nothing", "", NONE },
        { "before year 1 in UTC", "0001-01-01T00:30:00+01:00", NONE },
        { "after year 9999 in UTC", "9999-12-31T23:30:00-01:00", NONE },
    };
    EACH(i, row)
    {
        int64_t us = NONE;
        bool read = thew_instant_us_parse(row[i].text, &us);
        expect_number(row[i].why, row[i].us != NONE, read);
        expect_number(row[i].why, (double)(row[i].us / S), (double)(us / S));
        expect_number(row[i].why, (double)(row[i].us % S), (double)(us % S));
    }
    expect_end(60);
}

static void written_and_read_back(void **state)
{
    (void)state;
    static const struct {
        const char *text;
    } row[] = { { "1970-01-01T00:00:00Z" },
                { "1969-12-31T23:59:59.999999Z" },
                { "2026-03-31T17:05:00.250000Z" },
                { "0001-01-01T00:00:00Z" },
                { "9999-12-31T23:59:59.999999Z" } };
    EACH(i, row)
    {
        int64_t us = NONE;
        char text[THEW_INSTANT_TEXT];
        thew_instant_us_parse(row[i].text, &us);
        expect_text("the same text", row[i].text, thew_instant_us_text(us, text));
    }
    expect_end(5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(readings),
        cmocka_unit_test(written_and_read_back),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
