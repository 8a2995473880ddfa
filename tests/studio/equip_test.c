// equip_test.c: kit: what is refused, what is kept, curves with their error, wear told from the error of measuring.
#include "studio/equip.h"

#include <math.h>

#include "store/diary.h"
#include "studio/enrol.h"
#include "tests/studio/use_case.h"

static thew_item_given band(void)
{
    return (thew_item_given){ .item = "i1", .label = "green", .kind = "band", .rest_length_m = { true, 1.5 }, .note = "" };
}

static void enrol_ida(scene *s)
{
    thew_person_change ida = { .called = "Ida", .note = "" };
    must(s, thew_enrol(s->studio, &the_coach, "p1", &ida, s->refusal));
}

static void items_that_are_refused(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    thew_item_given row[] = { band(), band(), band(), band(), band(), band(), band(), band() };
    static const char *const why[] = {
        "no label",    "a kind that is none",       "a band without a rest length", "a band with a mass",
        "half a step", "a dumbbell without a mass", "a dumbbell with a length",     "of somebody not here"
    };
    static const char *const places[] = { "/label",         "/kind",  "/rest_length_m",
                                          "/mass_kg",       "/step",  "/mass_kg /rest_length_m",
                                          "/rest_length_m", "/person" };
    row[0].label = "";
    row[1].kind = "rope";
    row[2].rest_length_m.known = false;
    row[3].mass_kg = (thew_maybe_real){ true, 1 };
    row[4].step = (thew_maybe_real){ true, 1.5 };
    row[5].kind = row[6].kind = "dumbbell";
    row[6].mass_kg = (thew_maybe_real){ true, 2 };
    row[7].person = "p9";
    for (size_t i = 0; i < G_N_ELEMENTS(row); i++)
        row_said(&s, why[i], THEW_INVALID, places[i], thew_equip_add(s.studio, &the_coach, &row[i], s.refusal));
    rows_end(16);
}

static void items_that_are_kept(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    enrol_ida(&s);
    thew_item_given one = band(), two = band();
    two.item = "i2";
    row_said(&s, "new", THEW_DONE, "", thew_equip_add(s.studio, &the_coach, &one, s.refusal));
    row_said(&s, "sent again", THEW_DONE_BEFORE, "", thew_equip_add(s.studio, &the_coach, &one, s.refusal));
    row_said(&s, "a label in use", THEW_CONFLICT, "/label", thew_equip_add(s.studio, &the_coach, &two, s.refusal));
    two.person = "p1";
    row_said(&s, "another owner's may be called the same", THEW_DONE, "", thew_equip_add(s.studio, &the_coach, &two, s.refusal));
    one.retired_day = (thew_date){ 2026, 3, 30 };
    row_said(&s, "torn", THEW_DONE, "", thew_equip_change(s.studio, &the_coach, &one, s.refusal));
    two.item = "i3";
    two.person = NULL;
    row_said(&s, "its label is free again", THEW_DONE, "", thew_equip_add(s.studio, &the_coach, &two, s.refusal));
    one.retired_day = (thew_date){ 0 };
    row_said(&s, "and cannot be taken back", THEW_CONFLICT, "/label", thew_equip_change(s.studio, &the_coach, &one, s.refusal));
    two.item = "i9";
    row_said(&s, "none of that identifier", THEW_ABSENT, "", thew_equip_change(s.studio, &the_coach, &two, s.refusal));

    g_autoptr(thew_kit) all = NULL, of_ida = NULL;
    must(&s, thew_equip_list(s.studio, NULL, &all, s.refusal));
    must(&s, thew_equip_list(s.studio, "p1", &of_ida, s.refusal));
    row_near("the studio's", 3, all->item->len, 0);
    row_near("Ida's and everybody's", 3, of_ida->item->len, 0);
    row_text("what is torn stands last", "i1", ((thew_equipment *)all->item->pdata[2])->item.item);
    for (guint i = 0; i < all->item->len; i++) {
        const thew_equipment *e = all->item->pdata[i];
        if (e->item.person) row_text("whose", "Ida", e->owner_called);
        row_true(e->item.item, "an unmeasured band has a guess for a curve, and says so", e->curve && e->curve->news);
    }
    rows_end(16 + 3 + 4);
}

// What the past rests on cannot become something else.
static void what_was_used_stays_what_it_was(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    enrol_ida(&s);
    thew_item_given item = band(), changed;
    must(&s, thew_equip_add(s.studio, &the_coach, &item, s.refusal));
    changed = item;
    changed.kind = "loop";
    row_said(&s, "never used: a slip put right", THEW_DONE, "", thew_equip_change(s.studio, &the_coach, &changed, s.refusal));
    must(&s, thew_equip_change(s.studio, &the_coach, &item, s.refusal));
    assert_int_equal(thew_db_begin(s.studio->db), THEW_STORE_OK);
    thew_store_set set = { .entry = { .record = "r1", .person = "p1", .day = { 2026, 3, 1 }, .written_by = "coach-1", .note = "" },
                           .exercise = "seated-row",
                           .side = "both",
                           .implement = "green",
                           .ended = "failure",
                           .seconds = 62 };
    assert_int_equal(thew_db_end(s.studio->db, thew_store_diary_add(s.studio->db, s.studio->id, &set)), THEW_STORE_OK);
    row_said(&s, "another kind", THEW_CONFLICT, "/kind", thew_equip_change(s.studio, &the_coach, &changed, s.refusal));
    changed = item;
    changed.label = "blue";
    row_said(&s, "another label", THEW_CONFLICT, "/label", thew_equip_change(s.studio, &the_coach, &changed, s.refusal));
    changed = item;
    changed.note = "knot at one end";
    row_said(&s, "a note", THEW_DONE, "", thew_equip_change(s.studio, &the_coach, &changed, s.refusal));
    thew_reading_given reading = { "m1", 2.2, 30, { 2026, 3, 1 }, "" };
    must(&s, thew_equip_measure(s.studio, &the_coach, "i1", &reading, 1, s.refusal));
    changed.rest_length_m.value = 2.2;
    row_said(&s, "as long at rest as when stretched", THEW_CONFLICT, "/rest_length_m",
             thew_equip_change(s.studio, &the_coach, &changed, s.refusal));
    rows_end(10);
}

static void curves_as_one_types(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    static const struct {
        const char *why;
        double rest_m;
        thew_reading_given reading[3];
        guint count;
        const char *places;
    } bad[] = {
        { "no readings", 1.5, { { 0 } }, 0, "/readings" },
        { "no rest length", 0, { { NULL, 2, 20, { 0 }, NULL } }, 1, "/rest_length_m" },
        { "shorter than at rest", 1.5, { { NULL, 1.4, 20, { 0 }, NULL } }, 1, "/readings/0/length_m" },
        { "no force; and one that is right",
          1.5,
          { { NULL, 2.4, 20, { 0 }, NULL }, { NULL, 3, 0, { 0 }, NULL } },
          2,
          "/readings/1/force_n" },
        { "not a number", 1.5, { { NULL, NAN, 20, { 0 }, NULL } }, 1, "/readings/0/length_m" },
    };
    thew_curve *none;
    EACH(i, bad)
    row_said(&s, bad[i].why, THEW_INVALID, bad[i].places,
             thew_equip_curve(bad[i].rest_m, bad[i].reading, bad[i].count, &none, s.refusal));

    // Readings of an exact curve: natural rubber's two coefficients (Treloar 1944 as in engine/band.h), scaled to 40 N at twice the
    // length.
    thew_band rubber = { .rest_length_m = 1.5, .a0c10_n = .1049, .a0c01_n = .1072 };
    double scale = 40 / thew_band_force_n(&rubber, 2);
    thew_reading_given reading[] = { { NULL, 2.25, scale * thew_band_force_n(&rubber, 1.5), { 0 }, NULL },
                                     { NULL, 3, 40, { 0 }, NULL },
                                     { NULL, 3.75, scale * thew_band_force_n(&rubber, 2.5), { 0 }, NULL },
                                     { NULL, 4.2, 25, { 0 }, NULL } };
    thew_curve *curve;
    must(&s, thew_equip_curve(1.5, reading, 3, &curve, s.refusal));
    row_near("force at double", 40, curve->at_double_n, .01);
    row_near("from rest", 1.5, curve->point[0].length_m, 1e-12);
    row_near("to three times that", 4.5, curve->point[THEW_CURVE_POINTS - 1].length_m, 1e-12);
    row_true("readings on the curve", "there is no news", !curve->news);
    const thew_curve_point *middle = &curve->point[(THEW_CURVE_POINTS - 1) / 2];
    row_near("the interval is that of the error told", curve->error_percent, 100 * (middle->high_n / middle->force_n - 1), 1e-9);
    row_between("an error of some per cent", 3, curve->error_percent, 15);
    double sure = curve->error_percent;
    thew_curve_free(curve);
    must(&s, thew_equip_curve(1.5, reading + 1, 1, &curve, s.refusal));
    row_has("one reading", "one length only", curve->news);
    row_true("one reading", "it is less sure", curve->error_percent > sure);
    thew_curve_free(curve);
    must(&s, thew_equip_curve(1.5, reading, 4, &curve, s.refusal));
    row_has("a reading misread by half", "do not lie on one curve", curve->news);
    thew_curve_free(curve);
    thew_reading_given far[] = { { NULL, 3, 40, { 0 }, NULL }, { NULL, 5, 90, { 0 }, NULL } };
    must(&s, thew_equip_curve(1.5, far, 2, &curve, s.refusal));
    row_has("stretched beyond the curve", "3.1 times", curve->news);
    thew_curve_free(curve);
    rows_end(10 + 10);
}

static void readings_are_added_once(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    thew_item_given item = band(),
                    weight = { .item = "i2", .label = "iron", .kind = "dumbbell", .mass_kg = { true, 2 }, .note = "" };
    must(&s, thew_equip_add(s.studio, &the_coach, &item, s.refusal));
    must(&s, thew_equip_add(s.studio, &the_coach, &weight, s.refusal));
    thew_reading_given reading[] = { { "m1", 2.2, 30, { 2026, 3, 1 }, "" }, { "m2", 3, 40, { 2026, 3, 1 }, "" } };
    row_said(&s, "two", THEW_DONE, "", thew_equip_measure(s.studio, &the_coach, "i1", reading, 2, s.refusal));
    wait_hours(&s, 1);
    row_said(&s, "sent again an hour later", THEW_DONE_BEFORE, "",
             thew_equip_measure(s.studio, &the_coach, "i1", reading, 2, s.refusal));
    reading[1].force_n = 41;
    row_said(&s, "another force", THEW_CONFLICT, "/readings/1/reading",
             thew_equip_measure(s.studio, &the_coach, "i1", reading, 2, s.refusal));
    reading[0] = (thew_reading_given){ "m3", 3.5, 50, { 2026, 3, 2 }, "" };
    row_said(&s, "all or none", THEW_CONFLICT, "/readings/1/reading",
             thew_equip_measure(s.studio, &the_coach, "i1", reading, 2, s.refusal));
    reading[1] = (thew_reading_given){ "m 4", 3.5, 50, { 2027, 3, 2 }, "" };
    row_said(&s, "each fault", THEW_INVALID, "/readings/1/reading /readings/1/measured_day",
             thew_equip_measure(s.studio, &the_coach, "i1", reading, 2, s.refusal));
    row_said(&s, "a dumbbell", THEW_INVALID, "", thew_equip_measure(s.studio, &the_coach, "i2", reading, 1, s.refusal));
    row_said(&s, "nothing there", THEW_ABSENT, "", thew_equip_measure(s.studio, &the_coach, "i9", reading, 1, s.refusal));
    g_autoptr(thew_kit) kit = NULL;
    must(&s, thew_equip_read(s.studio, "i1", &kit, s.refusal));
    row_near("two are kept", 2, ((thew_equipment *)kit->item->pdata[0])->reading_count, 0);
    rows_end(14 + 1);
}

static void wear_is_told_from_chance(void **state)
{
    (void)state;
    static const struct {
        const char *why;
        thew_date later;
        double left;     // of the force
        const char *has; // NULL: nothing is said
    } row[] = {
        { "a month later: too soon to say", { 2026, 2, 1 }, .7, NULL },
        { "three months later, the same", { 2026, 3, 30 }, 1, "No change beyond the error" },
        { "a little less", { 2026, 3, 30 }, .95, "No change beyond the error" },
        { "30 % less", { 2026, 3, 30 }, .7, "wears out" },
        { "40 % more", { 2026, 3, 30 }, 1.4, "Measure it again" },
    };
    EACH(i, row)
    {
        g_auto(scene) s = scene_set();
        thew_item_given item = band();
        must(&s, thew_equip_add(s.studio, &the_coach, &item, s.refusal));
        thew_reading_given first[] = { { "m1", 2.25, 60, { 2026, 1, 2 }, "" },
                                       { "m2", 3, 95, { 2026, 1, 2 }, "" },
                                       { "m3", 3.75, 125, { 2026, 1, 2 }, "" } };
        must(&s, thew_equip_measure(s.studio, &the_coach, "i1", first, 3, s.refusal));
        static const char *const name[] = { "n1", "n2", "n3" };
        for (int r = 0; r < 3; r++) {
            first[r].reading = name[r];
            first[r].force_n *= row[i].left;
            first[r].measured_day = row[i].later;
        }
        must(&s, thew_equip_measure(s.studio, &the_coach, "i1", first, 3, s.refusal));
        g_autoptr(thew_kit) kit = NULL;
        must(&s, thew_equip_read(s.studio, "i1", &kit, s.refusal));
        const thew_equipment *e = kit->item->pdata[0];
        if (row[i].has)
            row_has(row[i].why, row[i].has, e->wear);
        else
            row_text(row[i].why, NULL, e->wear);
        row_relative("the curve is that of the last measuring", 95 * row[i].left, e->curve->at_double_n, .05);
    }
    rows_end(10);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(items_that_are_refused),          cmocka_unit_test(items_that_are_kept),
        cmocka_unit_test(what_was_used_stays_what_it_was), cmocka_unit_test(curves_as_one_types),
        cmocka_unit_test(readings_are_added_once),         cmocka_unit_test(wear_is_told_from_chance),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
