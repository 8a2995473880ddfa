// fit_class_test.c: a class for each who takes part: what each cell says, whom it leaves out, and that thirty people take no
// second.
#include "studio/fit_class.h"

#include <time.h>

#include "store/diary.h"
#include "studio/believe.h"
#include "studio/enrol.h"
#include "studio/equip.h"
#include "studio/keep_class.h"
#include "tests/studio/use_case.h"

static const char *const none[] = { NULL };

static void enrol(scene *s, const char *person, const char *called, const thew_store_limit *limit, guint limit_count)
{
    thew_person_change change = { .called = called,
                                  .sex = "female",
                                  .birth_year = 1968,
                                  .height_m = { true, 1.66 },
                                  .mass_kg = { true, 71 },
                                  .condition = "ms",
                                  .note = "",
                                  .limit = limit,
                                  .limit_count = limit_count };
    must(s, thew_enrol(s->studio, &the_coach, person, &change, s->refusal));
}

static void own_weights(scene *s, const char *person)
{
    static const double mass_kg[] = { 1, 2, 3, 4, 6 };
    EACH(i, mass_kg)
    {
        g_autofree char *item = g_strdup_printf("%s-%g", person ? person : "all", mass_kg[i]),
                        *label = g_strdup_printf("iron %g", mass_kg[i]);
        thew_item_given given = {
            .item = item, .person = person, .label = label, .kind = "dumbbell", .mass_kg = { true, mass_kg[i] }, .note = ""
        };
        must(s, thew_equip_add(s->studio, &the_coach, &given, s->refusal));
    }
}

static void did(scene *s, const char *person, int number, thew_date day, const char *exercise, const char *variant,
                const char *side, const char *implement, double seconds)
{
    g_autofree char *record = g_strdup_printf("%s-%d", person, number);
    thew_store_set set = { .entry = { .record = record, .person = person, .day = day, .written_by = "coach-1", .note = "" },
                           .exercise = exercise,
                           .variant = variant,
                           .side = side,
                           .implement = implement,
                           .ended = "failure",
                           .seconds = seconds };
    assert_int_equal(thew_db_begin(s->studio->db), THEW_STORE_OK);
    thew_store_status status = thew_store_diary_add(s->studio->db, s->studio->id, &set);
    assert_int_equal(thew_db_end(s->studio->db, status), THEW_STORE_OK);
}

static const thew_fit_cell *cell(const thew_class_fits *fits, const char *person, guint slot)
{
    for (guint p = 0; p < fits->person_count; p++)
        if (strcmp(fits->person[p].person, person) == 0) return &fits->person[p].cell[slot];
    fail_msg("no %s", person);
    return NULL;
}

static const thew_kept_slot slots[] = {
    { "seated-curl", "seated-curl", 1, 90 },
    { "sit-to-stand", "sit-to-stand", 1, 90 },
    { "seated-thigh-spread", "seated-thigh-spread", 1, 90 }, // a loop: nobody has one
    { "standing-march", "standing-march", 1, 90 },
};

// Four people: with kit; seated only; to ask a clinician first; gone.
static void people(scene *s)
{
    static const thew_store_limit seated[] = { { "position", "standing", "falls", { 0 } } };
    enrol(s, "p1", "Ada", NULL, 0);
    enrol(s, "p2", "Bo", seated, 1);
    enrol(s, "p3", "Cy", NULL, 0);
    enrol(s, "p4", "Di", NULL, 0);
    own_weights(s, NULL);
    thew_screen_given grave = { "heart-unstable", "yes", "" };
    must(s, thew_screen(s->studio, &the_coach, "p3", &grave, 1, NULL, s->refusal));
    thew_person_change gone = { .called = "Di", .note = "", .left_day = { 2026, 3, 1 } };
    must(s, thew_enrol_change(s->studio, &the_coach, "p4", &gone, s->refusal));
    did(s, "p1", 1, THE_DAY(2026, 3, 20), "sit-to-stand", NULL, "both", NULL, 71);
    did(s, "p1", 2, THE_DAY(2026, 3, 24), "sit-to-stand", NULL, "both", NULL, 74);
}

static void each_cell(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    people(&s);
    g_autoptr(thew_class_fits) fits = NULL;
    must(&s, thew_fit_slots(s.studio, slots, G_N_ELEMENTS(slots), NULL, THEW_NO_DAY, &fits, s.refusal));
    row_near("those who have not left", 3, fits->person_count, 0);
    row_text("by name", "Ada", fits->person[0].called);
    row_near("today", thew_studio_today(s.studio), fits->day, 0);
    static const struct {
        const char *why, *person;
        guint slot;
        const char *state;
    } row[] = {
        { "everybody's dumbbells", "p1", 0, "fits" },   { "what she does", "p1", 1, "fits" },
        { "no loop", "p1", 2, "nothing_fits" },         { "body weight", "p1", 3, "fits" },
        { "seated only: curls", "p2", 0, "fits" },      { "seated only: no loop either", "p2", 2, "nothing_fits" },
        { "a clinician first", "p3", 0, "off_limits" }, { "for all of it", "p3", 3, "off_limits" },
    };
    EACH(i, row)
    {
        const thew_fit_cell *at = cell(fits, row[i].person, row[i].slot);
        bool takes = at->state <= THEW_CELL_HARDER_VARIANT;
        row_text(row[i].why, row[i].state, thew_cell_state_word(at->state));
        row_true(row[i].why, "there is a sentence", at->words && *at->words);
        row_true(row[i].why, "who takes something is told what, how long, how likely",
                 takes == (*at->label != 0) && takes == (at->side_count > 0) && takes == (at->variant != NULL));
        for (guint d = 0; d < at->side_count; d++) {
            row_between(row[i].why, 0, at->side[d].window, 1);
            row_between(row[i].why, 30, at->side[d].goal_s, 90);
        }
    }
    // Seated, standing-march is off limits in every variant that stands.
    const thew_fit_cell *march = cell(fits, "p2", 3);
    bool any_seated = false;
    const thew_exercise *exercise = thew_catalogue_exercise(s.catalogue, "standing-march");
    for (size_t v = 0; v < exercise->variant_count; v++)
        any_seated = any_seated || exercise->variant[v]->position != THEW_STANDING;
    row_true("a standing exercise for one who sits", "it is off limits, or another variant",
             any_seated ? march->state != THEW_CELL_FITS : march->state == THEW_CELL_OFF_LIMITS);
    rows_end(3 + 3 * 8);
}

// A person's own variant, as last time, beside the one that the class names.
static void variants_of_their_own(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    const thew_exercise *exercise = thew_catalogue_exercise(s.catalogue, "sit-to-stand");
    assert_true(exercise->variant_count >= 2);
    enrol(&s, "p1", "Ada", NULL, 0);
    own_weights(&s, NULL);
    const thew_variant *body = NULL; // some variant that is done with body weight alone
    int at = -1;
    for (size_t v = 0; v < exercise->variant_count && !body; v++)
        if (exercise->variant[v]->implement[0].kind == THEW_IMPLEMENT_BODY) {
            body = exercise->variant[v];
            at = (int)v;
        }
    assert_non_null(body);
    did(&s, "p1", 1, THE_DAY(2026, 3, 20), "sit-to-stand", body->id, "both", NULL, 70);
    for (size_t v = 0; v < exercise->variant_count; v++) {
        thew_kept_slot slot = { "sit-to-stand", exercise->variant[v]->id, 1, 90 };
        g_autoptr(thew_class_fits) fits = NULL;
        must(&s, thew_fit_slots(s.studio, &slot, 1, NULL, THEW_NO_DAY, &fits, s.refusal));
        const char *expected = (int)v == at ? "fits" : (int)v > at ? "easier_variant" : "harder_variant";
        row_text(exercise->variant[v]->id, expected, thew_cell_state_word(fits->person[0].cell[0].state));
        row_text("always the one that she does", body->id, fits->person[0].cell[0].variant);
    }
    rows_end(4);
}

static void what_is_absent(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    people(&s);
    static const char *const who[] = { "p1", "p9", NULL };
    thew_class_fits *fits;
    row_said(&s, "a class that is none", THEW_ABSENT, "", thew_fit_class(s.studio, "c9", NULL, THEW_NO_DAY, &fits, s.refusal));
    thew_class_version class = {
        .class = "c1",
        .version = 1,
        .called = "Monday",
        .plan = { .wishes = { .minutes = 60, .positions = 7, .sets = 1, .rest_s = 90, .fixed = none, .excluded = none },
                  .slot = slots,
                  .slot_count = 4 }
    };
    must(&s, thew_keep_class(s.studio, &the_coach, &class, s.refusal));
    row_said(&s, "somebody who is not here", THEW_ABSENT, "", thew_fit_class(s.studio, "c1", who, THEW_NO_DAY, &fits, s.refusal));
    static const char *const one[] = { "p4", NULL };
    must(&s, thew_fit_class(s.studio, "c1", one, thew_date_number(THE_DAY(2026, 4, 2)), &fits, s.refusal));
    row_text("who is asked for by name is shown, gone or not", "Di", fits->person[0].called);
    row_near("the day that was asked for", thew_date_number(THE_DAY(2026, 4, 2)), fits->day, 0);
    row_text("the class", "c1", fits->class);
    row_text("names of slots", thew_catalogue_variant(s.catalogue, "seated-curl")->name, fits->slot[0].name);
    thew_class_fits_free(fits);
    rows_end(8);
}

// Thirty people, half a year each, twelve slots: seen at once. A release build takes well under a second; the limit here is one for
// builds with sanitizers.
static void thirty_people(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    static const char *const exercise[] = { "seated-curl",        "seated-lateral-raise", "seated-overhead-press",
                                            "seated-front-raise", "sit-to-stand",         "standing-march" };
    own_weights(&s, NULL);
    for (int p = 0; p < 30; p++) {
        g_autofree char *person = g_strdup_printf("p%d", p), *called = g_strdup_printf("Person %02d", p);
        enrol(&s, person, called, NULL, 0);
        assert_int_equal(thew_db_begin(s.studio->db), THEW_STORE_OK);
        thew_store_status status = THEW_STORE_OK;
        for (int n = 0; status >= 0 && n < 48 * 6; n++) {
            g_autofree char *record = g_strdup_printf("%s-%d", person, n);
            bool body = n % 6 >= 4, left = n / 6 % 2 == 0;
            thew_date day = thew_studio_date(thew_date_number(THE_DAY(2025, 10, 1)) + n / 6 * 7 / 2);
            thew_store_set set = { .entry = { .record = record, .person = person, .day = day, .written_by = "coach-1", .note = "" },
                                   .exercise = exercise[n % 6],
                                   .side = n % 6 == 4 ? "both"
                                           : left     ? "left"
                                                      : "right",
                                   .implement = body ? NULL : "iron 2",
                                   .ended = n % 5 == 0 ? "completed" : "failure",
                                   .seconds = n % 5 == 0 ? 90 : 50 + (n * 7 + p * 3) % 38 };
            status = thew_store_diary_add(s.studio->db, s.studio->id, &set);
        }
        assert_int_equal(thew_db_end(s.studio->db, status), THEW_STORE_OK);
    }
    guint left = 1;
    must(&s, thew_believe_stale(s.studio, 100, &left, s.refusal));
    thew_kept_slot twelve[12];
    size_t count;
    const thew_exercise *const *all = thew_catalogue_exercises(s.catalogue, &count);
    for (guint i = 0; i < 12; i++) {
        const char *id = i < 6 ? exercise[i] : all[i]->id;
        twelve[i] = (thew_kept_slot){ id, id, 1, 90 };
    }
    for (guint slot_count = 6; slot_count <= 12; slot_count += 6) {
        clock_t from = clock(); // of this process: others may be busy
        g_autoptr(thew_class_fits) fits = NULL;
        must(&s, thew_fit_slots(s.studio, twelve, slot_count, NULL, THEW_NO_DAY, &fits, s.refusal));
        double seconds = (double)(clock() - from) / CLOCKS_PER_SEC;
        printf("# 30 people x %u slots%s: %.2f s\n", slot_count, slot_count > 6 ? ", six of them new to everybody" : "", seconds);
        row_near("people", 30, fits->person_count, 0);
        row_between("seconds", 0, seconds, 10);
        row_true("a known exercise", "it fits everybody", fits->person[29].cell[0].state == THEW_CELL_FITS);
    }
    rows_end(6);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_cell),
        cmocka_unit_test(variants_of_their_own),
        cmocka_unit_test(what_is_absent),
        cmocka_unit_test(thirty_people),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
