// set_up_test.c: the studio's name, zone, language, settings: what is refused, what is kept, what follows.
#include "studio/set_up.h"

#include "store/person.h"
#include "store/studio.h"
#include "studio/enrol.h"
#include "tests/studio/use_case.h"

static thew_studio_change riverside(void)
{
    return (thew_studio_change){ "Riverside", "Europe/Vienna", "en", thew_settings_default() };
}

static void what_is_refused(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    thew_studio_change row[] = { riverside(), riverside(), riverside(), riverside(), riverside(),
                                 riverside(), riverside(), riverside(), riverside() };
    static const char *const why[] = { "no name",
                                       "a zone that is none",
                                       "no zone",
                                       "a word instead of a tag",
                                       "a tag that ends in a hyphen",
                                       "a window of two seconds",
                                       "a floor inside the window",
                                       "27 Fahrenheit",
                                       "all of it" };
    static const char *const places[] = { "/called",
                                          "/zone",
                                          "/zone",
                                          "/language",
                                          "/language",
                                          "/settings/window_to_s",
                                          "/settings/floor_s",
                                          "/settings/heat_caution_c",
                                          "/called /zone /language /settings/heat_caution_c" };
    row[0].called = "";
    row[1].zone = "Europe/Atlantis";
    row[2].zone = "";
    row[3].language = "English please";
    row[4].language = "en-";
    row[5].settings.window_to_s = 62;
    row[6].settings.floor_s = 58;
    row[7].settings.heat_caution_c = 80;
    row[8] = (thew_studio_change){ "", "x", "", { .heat_caution_c = 0, .window_from_s = 60, .window_to_s = 90, .floor_s = 30 } };
    for (size_t i = 0; i < G_N_ELEMENTS(row); i++)
        row_said(&s, why[i], THEW_INVALID, places[i], thew_set_up_change(s.studio, &the_coach, &row[i], s.refusal));
    rows_end(18);
}

static void what_is_kept(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    thew_person_change ida = { .called = "Ida", .note = "" };
    must(&s, thew_enrol(s.studio, &the_coach, "p1", &ida, s.refusal));
    thew_studio_change change = { "Hillside", "Pacific/Auckland", "de-AT", { 25, 45.5, 75, 20 } };
    must(&s, thew_set_up_change(s.studio, &the_coach, &change, s.refusal));
    g_autoptr(thew_studio_shown) shown = NULL;
    must(&s, thew_set_up_read(s.studio, &shown, s.refusal));
    row_text("name", "Hillside", shown->called);
    row_text("zone", "Pacific/Auckland", shown->zone);
    row_text("language", "de-AT", shown->language);
    row_near("heat", 25, shown->settings.heat_caution_c, 0);
    row_near("window", 45.5, shown->settings.window_from_s, 0);
    row_near("floor", 20, shown->settings.floor_s, 0);
    row_near("people", 1, shown->counts.people, 0);
    row_near("sets", 0, (double)shown->counts.sets, 0);
    row_true("demo", "it is none", !shown->demo);
    // RFC 3339; noon in UTC is past midnight in Auckland (+13:00 in March, tz database)
    row_near("its days begin there at once", thew_date_number(THE_DAY(2026, 4, 1)), thew_studio_today(s.studio), 0);
    g_autoptr(thew_rows) person = NULL;
    assert_int_equal(thew_store_person_find(s.studio->db, s.studio->id, "p1", &person), THEW_STORE_OK);
    row_near("another window is other advice: the next revision", 2, (double)thew_row(person, thew_store_person, 0)->revision, 0);

    change.settings = thew_settings_default();
    must(&s, thew_set_up_change(s.studio, &the_coach, &change, s.refusal));
    g_autoptr(thew_rows) settings = NULL;
    assert_int_equal(thew_store_setting_all(s.studio->db, s.studio->id, &settings), THEW_STORE_OK);
    row_near("what is as the program has it is not kept", 0, settings->row->len, 0);
    must(&s, thew_set_up_demo(s.studio, true, s.refusal));
    g_autoptr(thew_studio_shown) demo = NULL;
    must(&s, thew_set_up_read(s.studio, &demo, s.refusal));
    row_true("demo", "it is one", demo->demo);
    rows_end(13);
}

// Another program, or a hand, may have written anything.
static void settings_that_are_none_are_the_default(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    static const struct {
        const char *why, *setting, *value;
        double window_from_s, heat_c;
    } row[] = {
        { "no number", "window_from_s", "sixty", 60, 27 },
        { "out of range", "heat_caution_c", "-3", 60, 27 },
        { "a window that opens after it closes", "window_from_s", "95", 60, 27 },
        { "a number", "window_from_s", "50", 50, 27 },
        { "a setting of a later version", "moon", "full", 50, 27 },
    };
    EACH(i, row)
    {
        assert_int_equal(thew_db_begin(s.studio->db), THEW_STORE_OK);
        thew_store_setting put = { row[i].setting, row[i].value };
        assert_int_equal(thew_db_end(s.studio->db, thew_store_setting_put(s.studio->db, s.studio->id, &put)), THEW_STORE_OK);
        thew_settings read;
        assert_int_equal(thew_set_up_settings(s.studio, &read), THEW_STORE_OK);
        row_near(row[i].why, row[i].window_from_s, read.window_from_s, 0);
        row_near(row[i].why, row[i].heat_c, read.heat_caution_c, 0);
    }
    rows_end(10);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_refused),
        cmocka_unit_test(what_is_kept),
        cmocka_unit_test(settings_that_are_none_are_the_default),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
