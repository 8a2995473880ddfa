// studio_test.c: a studio in a file: made once, opened, its days in its own zone; and how a use case says no.
#include "studio/studio.h"

#include <string.h>

#include "tests/text_rows.h"

#include "tests/studio/place.h"

static thew_catalogue *catalogue;

static int load(void **state)
{
    (void)state;
    catalogue = thew_catalogue_load(NULL, NULL);
    return catalogue ? 0 : -1;
}

static int unload(void **state)
{
    (void)state;
    thew_catalogue_free(catalogue);
    return 0;
}

static void test_a_studio_is_made_once_and_found_again(void **state)
{
    (void)state;
    g_auto(place) where = place_make();
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    assert_int_equal(thew_studio_make(where.file, "Riverside", "Europe/Vienna", "en", refusal), THEW_DONE);
    assert_int_equal(thew_studio_make(where.file, "Another", "UTC", "en", refusal), THEW_CONFLICT);
    assert_false(thew_refusal_is_empty(refusal));

    g_autoptr(thew_studio) studio = NULL;
    g_autoptr(thew_refusal) none = thew_refusal_new();
    assert_int_equal(thew_studio_open(where.file, THEW_DB_WRITE, catalogue, &studio, none), THEW_DONE);
    assert_string_equal(studio->called, "Riverside");
    assert_true(thew_refusal_is_empty(none));
}

static void test_what_cannot_be_a_studio_is_refused(void **state)
{
    (void)state;
    g_auto(place) where = place_make();
    g_autoptr(thew_studio) studio = NULL;
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    assert_int_equal(thew_studio_open(where.file, THEW_DB_WRITE, catalogue, &studio, refusal), THEW_UNABLE);
    assert_null(studio);
    assert_non_null(refusal->sentence);
    assert_int_equal(thew_studio_make(where.file, "Riverside", "Europe/Atlantis", "en", refusal), THEW_INVALID);
    assert_string_equal(((thew_fault *)refusal->fault->pdata[0])->pointer, "/zone");
    assert_false(g_file_test(where.file, G_FILE_TEST_EXISTS));
}

// RFC 3339 instants; the offsets are the tz database's: Vienna +01:00 in winter and +02:00 in summer, Auckland +13:00 in summer.
static void test_days_begin_where_the_studio_is(void **state)
{
    (void)state;
    static const struct {
        const char *why, *zone, *at, *day;
    } row[] = {
        { "before midnight in winter", "Europe/Vienna", "2026-01-31T22:59:59.999999Z", "2026-01-31" },
        { "after midnight in winter", "Europe/Vienna", "2026-01-31T23:00:00Z", "2026-02-01" },
        { "after midnight in summer", "Europe/Vienna", "2026-07-31T22:00:00Z", "2026-08-01" },
        { "the other side of the world", "Pacific/Auckland", "2026-01-31T11:00:00Z", "2026-02-01" },
        { "without a zone", "UTC", "2026-12-31T23:59:59Z", "2026-12-31" },
    };
    for (gsize r = 0; r < G_N_ELEMENTS(row); r++) {
        g_autoptr(GTimeZone) zone = g_time_zone_new_identifier(row[r].zone);
        assert_non_null(zone);
        g_autoptr(GDateTime) at = g_date_time_new_from_iso8601(row[r].at, NULL);
        thew_studio studio = { .zone = zone,
                               .clock_us = { g_date_time_to_unix(at) * G_USEC_PER_SEC + g_date_time_get_microsecond(at) } };
        char text[THEW_DATE_TEXT];
        thew_date_text(thew_studio_date(thew_studio_today(&studio)), text);
        if (strcmp(text, row[r].day) != 0) fail_msg("%s: %s, expected %s", row[r].why, text, row[r].day);
    }
}

static void test_no_day_stays_none(void **state)
{
    (void)state;
    assert_int_equal(thew_studio_number((thew_date){ 0 }), THEW_NO_DAY);
    assert_int_equal(thew_studio_date(THEW_NO_DAY).year, 0);
    for (thew_day day = -400000; day < 400000; day += 97)
        assert_int_equal(thew_studio_number(thew_studio_date(day)), day);
}

static void test_a_refusal_names_every_place(void **state)
{
    (void)state;
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    assert_true(thew_refusal_is_empty(refusal));
    thew_refusal_add(refusal, "/called", "must not be empty");
    thew_refusal_at(refusal, "sets", 3, "seconds", "must be from 0 to %d", 3600);
    assert_int_equal(refusal->fault->len, 2);
    const thew_fault *fault = refusal->fault->pdata[1];
    assert_string_equal(fault->pointer, "/sets/3/seconds");
    assert_string_equal(fault->sentence, "must be from 0 to 3600");
}

// What each status of the store means to who asked.
static void test_a_status_of_the_store_is_a_verdict(void **state)
{
    (void)state;
    g_autoptr(thew_db) db = NULL;
    assert_true(thew_db_open("/nowhere/at/all", THEW_DB_READ, &db) < 0); // good for its sentence only
    static const struct {
        thew_store_status status;
        thew_verdict verdict;
    } row[] = {
        { THEW_STORE_OK, THEW_DONE },           { THEW_STORE_REPEATED, THEW_DONE_BEFORE }, { THEW_STORE_NOT_FOUND, THEW_ABSENT },
        { THEW_STORE_CONFLICT, THEW_CONFLICT }, { THEW_STORE_REFUSED, THEW_INVALID },      { THEW_STORE_FULL, THEW_UNABLE },
        { THEW_STORE_BUSY, THEW_UNABLE },       { THEW_STORE_READ_ONLY, THEW_UNABLE },     { THEW_STORE_TRACES, THEW_DONE },
    };
    for (gsize r = 0; r < G_N_ELEMENTS(row); r++) {
        g_autoptr(thew_refusal) refusal = thew_refusal_new();
        assert_int_equal(thew_refuse_store(refusal, db, row[r].status), row[r].verdict);
        assert_true(thew_refusal_is_empty(refusal) == (row[r].status >= 0));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_a_studio_is_made_once_and_found_again),
        cmocka_unit_test(test_what_cannot_be_a_studio_is_refused),
        cmocka_unit_test(test_days_begin_where_the_studio_is),
        cmocka_unit_test(test_no_day_stays_none),
        cmocka_unit_test(test_a_refusal_names_every_place),
        cmocka_unit_test(test_a_status_of_the_store_is_a_verdict),
    };
    return cmocka_run_group_tests(tests, load, unload);
}
