// enrol_test.c: taking someone on: what is refused and where, what is kept, what is done before, who is on the list.
#include "studio/enrol.h"

#include <math.h>

#include "store/diary.h"
#include "tests/studio/use_case.h"

// Somebody complete; each row changes one thing.
static thew_person_change ida(void)
{
    return (thew_person_change){ .called = "Ida",
                                 .sex = "female",
                                 .birth_year = 1968,
                                 .height_m = { true, 1.66 },
                                 .mass_kg = { true, 71 },
                                 .condition = "ms",
                                 .endpoint = "failure",
                                 .heat_sensitive = true,
                                 .note = "",
                                 .since_day = { 2026, 1, 12 } };
}

static const char *first_goals(const thew_catalogue *catalogue, const char *goal[3])
{
    size_t count;
    const thew_goal *const *all = thew_catalogue_goals(catalogue, &count);
    goal[0] = all[0]->id;
    goal[1] = all[1]->id;
    goal[2] = NULL;
    return goal[0];
}

static void what_is_refused(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    static const char *const no_goal[] = { "fly", NULL }, *const twice[] = { "seated-row", "seated-row", NULL };
    static const thew_store_limit limits[] = {
        { "movement", "seated-row", "shoulder", { 0 } },   { "movement", "fly", "", { 0 } },
        { "position", "upside-down", "", { 0 } },          { "food", "cake", "", { 0 } },
        { "movement", "seated-row", "", { 2026, 2, 30 } },
    };
    thew_person_change row[] = { ida(), ida(), ida(), ida(), ida(), ida(), ida(), ida(), ida(), ida(), ida(), ida(), ida() };
    const char *why[] = { "no name",
                          "a name of blanks",
                          "a birth year to come",
                          "2.8 m tall",
                          "not a number of kilograms",
                          "a word for sex that is none",
                          "left before she came",
                          "a goal that is none",
                          "an exercise twice",
                          "limits, one fault each and one right",
                          "a name with a hidden turn of direction",
                          "a day that does not exist",
                          "a name of 101 letters" };
    const char *places[] = { "/called",      "/called",
                             "/birth_year",  "/height_m",
                             "/mass_kg",     "/sex",
                             "/left_day",    "/goals/0",
                             "/exercises/1", "/limits/1/what /limits/2/what /limits/3/kind /limits/4/until_day /limits/4/what",
                             "/called",      "/since_day",
                             "/called" };
    g_autofree char *long_name = g_strnfill(101, 'x');
    row[0].called = "";
    row[1].called = " Ida";
    row[2].birth_year = 2030;
    row[3].height_m.value = 2.8;
    row[4].mass_kg.value = NAN;
    row[5].sex = "F";
    row[6].left_day = (thew_date){ 2025, 12, 31 };
    row[7].goal = no_goal;
    row[8].exercise = twice;
    row[9].limit = limits;
    row[9].limit_count = G_N_ELEMENTS(limits);
    row[10].called = "Ida\xE2\x80\xAEx";
    row[11].since_day = (thew_date){ 2026, 2, 29 };
    row[12].called = long_name;
    for (size_t i = 0; i < G_N_ELEMENTS(row); i++)
        row_said(&s, why[i], THEW_INVALID, places[i], thew_enrol(s.studio, &the_coach, "p1", &row[i], s.refusal));
    thew_person_change good = ida();
    row_said(&s, "an identifier with a slash", THEW_INVALID, "/person", thew_enrol(s.studio, &the_coach, "p/1", &good, s.refusal));
    thew_people *people;
    must(&s, thew_enrol_list(s.studio, &people, s.refusal));
    row_near("nothing of it was kept", 0, people->brief->len, 0);
    thew_people_free(people);
    rows_end(2 * 14 + 1);
}

static void what_is_kept(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    const char *goal[3], *exercise[] = { "seated-row", "sit-to-stand", NULL };
    first_goals(s.catalogue, goal);
    thew_store_limit limit[] = { { "position", "standing", "falls", { 0 } },
                                 { "movement", "seated-row", "shoulder", { 2026, 5, 1 } } };
    thew_person_change change = ida();
    change.goal = goal;
    change.exercise = exercise;
    change.limit = limit;
    change.limit_count = 2;
    row_said(&s, "new", THEW_DONE, "", thew_enrol(s.studio, &the_coach, "p1", &change, s.refusal));
    row_said(&s, "sent again", THEW_DONE_BEFORE, "", thew_enrol(s.studio, &the_coach, "p1", &change, s.refusal));
    change.mass_kg.value = 72;
    row_said(&s, "another of that identifier", THEW_CONFLICT, "", thew_enrol(s.studio, &the_coach, "p1", &change, s.refusal));
    row_said(&s, "another of that name", THEW_INVALID, "/called", thew_enrol(s.studio, &the_coach, "p2", &change, s.refusal));
    wait_hours(&s, 1);
    change.limit_count = 1;
    change.exercise = exercise + 1;
    row_said(&s, "changed", THEW_DONE, "", thew_enrol_change(s.studio, &the_coach, "p1", &change, s.refusal));
    row_said(&s, "changed to the same", THEW_DONE_BEFORE, "", thew_enrol_change(s.studio, &the_coach, "p1", &change, s.refusal));
    row_said(&s, "nobody", THEW_ABSENT, "", thew_enrol_change(s.studio, &the_coach, "p9", &change, s.refusal));

    g_autoptr(thew_person_whole) whole = NULL;
    must(&s, thew_enrol_read(s.studio, "p1", &whole, s.refusal));
    row_text("name", "Ida", whole->known.called);
    row_near("mass", 72, whole->known.mass_kg.value, 0);
    row_near("the limit that is left", 1, whole->known.limit_count, 0);
    row_text("which one", "standing", whole->known.limit[0].what);
    row_text("the exercise that is left", "sit-to-stand", whole->known.exercise[0]);
    row_text("goals in order", goal[1], whole->known.goal[1]);
    row_near("made", NOON_US, (double)whole->made_us.us, 0);
    row_near("changed an hour later", NOON_US + (double)HOUR_US, (double)whole->changed_us.us, 0);
    row_near("never asked", THEW_SCREEN_NOT_ASKED, whole->screening->verdict, 0);
    row_near("no sets", 0, whole->standing.sets, 0);
    row_near("no last day", THEW_NO_DAY, whole->standing.last_day, 0);
    rows_end(2 * 7 + 11);
}

static void did(scene *s, const char *record, const char *person, thew_date day)
{
    assert_int_equal(thew_db_begin(s->studio->db), THEW_STORE_OK);
    thew_store_set set = { .entry = { .record = record, .person = person, .day = day, .written_by = "coach-1", .note = "" },
                           .exercise = "seated-row",
                           .side = "both",
                           .ended = "failure",
                           .seconds = 62 };
    assert_int_equal(thew_db_end(s->studio->db, thew_store_diary_add(s->studio->db, s->studio->id, &set)), THEW_STORE_OK);
}

static void who_is_on_the_list(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    thew_person_change change = ida();
    must(&s, thew_enrol(s.studio, &the_coach, "p1", &change, s.refusal));
    change.called = "Bo";
    change.left_day = (thew_date){ 2026, 3, 1 };
    must(&s, thew_enrol(s.studio, &the_coach, "p2", &change, s.refusal));
    did(&s, "r1", "p1", THE_DAY(2026, 3, 20));
    did(&s, "r2", "p1", THE_DAY(2026, 3, 24));
    did(&s, "r3", "p2", THE_DAY(2026, 2, 3));
    g_autoptr(thew_people) people = NULL;
    must(&s, thew_enrol_list(s.studio, &people, s.refusal));
    assert_int_equal(people->brief->len, 2);
    const thew_person_brief *bo = &g_array_index(people->brief, thew_person_brief, 0), *who = bo + 1;
    row_text("by name", "Bo", bo->called);
    row_text("those who left too", "Ida", who->called);
    row_near("sets", 2, who->standing.sets, 0);
    row_near("last day", thew_date_number(THE_DAY(2026, 3, 24)), who->standing.last_day, 0);
    row_near("sets of one who left", 1, bo->standing.sets, 0);
    row_true("screened", "nobody is", !bo->screened && !who->screened);
    change.called = "Ida";
    change.left_day = (thew_date){ 0 };
    row_said(&s, "two called the same", THEW_INVALID, "/called", thew_enrol_change(s.studio, &the_coach, "p2", &change, s.refusal));
    change.called = "ida";
    row_said(&s, "whatever the case", THEW_INVALID, "/called", thew_enrol_change(s.studio, &the_coach, "p2", &change, s.refusal));
    rows_end(6 + 4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_refused),
        cmocka_unit_test(what_is_kept),
        cmocka_unit_test(who_is_on_the_list),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
