// plan_block_test.c: weeks laid out: what is refused, what is unusual, planned against done.
#include "studio/plan_block.h"

#include "store/diary.h"
#include "studio/enrol.h"
#include "tests/studio/use_case.h"

static thew_block spring(void)
{
    return (thew_block){ .block = "b1",
                         .version = 1,
                         .person = "p1",
                         .called = "Spring",
                         .from_day = { 2026, 3, 2 },
                         .until_day = { 2026, 4, 12 },
                         .plan = {
                             .sessions_a_week = 2, .weekday = { 2, 5 }, .weekday_count = 2, .sets = 1, .easier_every_weeks = 3 } };
}

static void enrol_ida(scene *s)
{
    thew_person_change ida = { .called = "Ida", .note = "" };
    must(s, thew_enrol(s->studio, &the_coach, "p1", &ida, s->refusal));
}

static void what_is_refused(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    enrol_ida(&s);
    thew_block row[] = { spring(), spring(), spring(), spring(), spring(), spring(), spring(), spring(), spring() };
    static const char *const why[] = { "ends before it begins",
                                       "two years",
                                       "no session",
                                       "eight sessions",
                                       "a weekday that is none",
                                       "out of order",
                                       "more days than sessions",
                                       "a class that is none",
                                       "easier every week" };
    static const char *const places[] = { "/until_day",
                                          "/until_day",
                                          "/plan/sessions_a_week /plan/weekdays",
                                          "/plan/sessions_a_week",
                                          "/plan/weekdays/1",
                                          "/plan/weekdays/1",
                                          "/plan/weekdays",
                                          "/plan/class",
                                          "/plan/easier_every_weeks" };
    row[0].until_day = (thew_date){ 2026, 3, 1 };
    row[1].until_day = (thew_date){ 2028, 3, 1 };
    row[2].plan.sessions_a_week = 0;
    row[3].plan.sessions_a_week = 8;
    row[4].plan.weekday[1] = 8;
    row[5].plan.weekday[1] = 2;
    row[6].plan.sessions_a_week = 1;
    row[7].plan.class = "c9";
    row[8].plan.easier_every_weeks = 1;
    for (size_t i = 0; i < G_N_ELEMENTS(row); i++)
        row_said(&s, why[i], THEW_INVALID, places[i], thew_plan_block(s.studio, &the_coach, &row[i], s.refusal));
    thew_block of_nobody = spring();
    of_nobody.person = "p9";
    row_said(&s, "of nobody", THEW_ABSENT, "", thew_plan_block(s.studio, &the_coach, &of_nobody, s.refusal));
    rows_end(20);
}

// Two or three sessions a week with a rest day between: Canadian guidelines (Latimer-Cheung 2013), Kim 2019. It is said, not
// forbidden.
static void what_is_unusual(void **state)
{
    (void)state;
    static const struct {
        const char *why;
        thew_block_plan plan;
        guint notes;
        const char *has;
    } row[] = {
        { "two, with rest", { .sessions_a_week = 2, .weekday = { 2, 5 }, .weekday_count = 2 }, 0, NULL },
        { "three, as they come", { .sessions_a_week = 3 }, 0, NULL },
        { "one", { .sessions_a_week = 1 }, 1, "One session" },
        { "four", { .sessions_a_week = 4 }, 1, "More than three" },
        { "days in a row", { .sessions_a_week = 2, .weekday = { 2, 3 }, .weekday_count = 2 }, 1, "in a row" },
        { "Sunday and Monday are in a row too", { .sessions_a_week = 2, .weekday = { 1, 7 }, .weekday_count = 2 }, 1, "in a row" },
        { "fewer days than sessions", { .sessions_a_week = 3, .weekday = { 2, 5 }, .weekday_count = 2 }, 1, "only 2 weekdays" },
    };
    EACH(i, row)
    {
        g_autoptr(GPtrArray) note = thew_plan_block_notes(&row[i].plan);
        row_near(row[i].why, row[i].notes, note->len, 0);
        if (row[i].has && note->len > 0) row_has(row[i].why, row[i].has, note->pdata[0]);
    }
    rows_end(12);
}

static void versions(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    enrol_ida(&s);
    thew_block block = spring();
    row_said(&s, "the first", THEW_DONE, "", thew_plan_block(s.studio, &the_coach, &block, s.refusal));
    wait_hours(&s, 1);
    row_said(&s, "sent again an hour later", THEW_DONE_BEFORE, "", thew_plan_block(s.studio, &the_coach, &block, s.refusal));
    block.called = "Spring and summer";
    row_said(&s, "another content", THEW_CONFLICT, "", thew_plan_block(s.studio, &the_coach, &block, s.refusal));
    block.version = 3;
    row_said(&s, "one left out", THEW_CONFLICT, "", thew_plan_block(s.studio, &the_coach, &block, s.refusal));
    block.version = 2;
    row_said(&s, "the next", THEW_DONE, "", thew_plan_block(s.studio, &the_coach, &block, s.refusal));
    g_autoptr(thew_blocks) blocks = NULL;
    must(&s, thew_plan_block_list(s.studio, "p1", &blocks, s.refusal));
    row_near("the latest of one", 1, blocks->block->len, 0);
    const thew_block_whole *whole = blocks->block->pdata[0];
    row_text("which", "Spring and summer", whole->block.called);
    row_near("weekdays come back", 5, whole->block.plan.weekday[1], 0);
    row_near("so does the rest", 3, whole->block.plan.easier_every_weeks, 0);
    rows_end(14);
}

static void did(scene *s, const char *record, thew_date day)
{
    assert_int_equal(thew_db_begin(s->studio->db), THEW_STORE_OK);
    thew_store_set set = { .entry = { .record = record, .person = "p1", .day = day, .written_by = "coach-1", .note = "" },
                           .exercise = "seated-row",
                           .side = "both",
                           .ended = "failure",
                           .seconds = 62 };
    assert_int_equal(thew_db_end(s->studio->db, thew_store_diary_add(s->studio->db, s->studio->id, &set)), THEW_STORE_OK);
}

// Today is Tuesday 31 March 2026; the block runs from Monday 2 March.
static void planned_against_done(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    enrol_ida(&s);
    thew_block block = spring();
    must(&s, thew_plan_block(s.studio, &the_coach, &block, s.refusal));
    did(&s, "r1", THE_DAY(2026, 3, 3));
    did(&s, "r2", THE_DAY(2026, 3, 3)); // the same session
    did(&s, "r3", THE_DAY(2026, 3, 6));
    did(&s, "r4", THE_DAY(2026, 3, 12));
    did(&s, "r5", THE_DAY(2026, 2, 27)); // before it
    did(&s, "r6", THE_DAY(2026, 3, 31));
    g_autoptr(thew_blocks) blocks = NULL;
    must(&s, thew_plan_block_list(s.studio, "p1", &blocks, s.refusal));
    const thew_block_whole *whole = blocks->block->pdata[0];
    static const struct {
        const char *why;
        int planned, done;
        bool easier, over;
    } row[] = {
        { "both", 2, 2, false, true },
        { "one, on another day", 2, 1, false, true },
        { "none, and easier", 2, 0, true, true },
        { "none", 2, 0, false, true },
        { "this week", 2, 1, false, false },
        { "the last, easier again", 2, 0, true, false },
    };
    assert_int_equal(whole->week->len, G_N_ELEMENTS(row));
    EACH(i, row)
    {
        const thew_block_week *week = &g_array_index(whole->week, thew_block_week, i);
        row_near(row[i].why, row[i].planned, week->planned, 0);
        row_near(row[i].why, row[i].done, week->done, 0);
        row_true(row[i].why, "easier or not", week->easier == row[i].easier);
        row_true(row[i].why, "over or not", week->over == row[i].over);
    }
    row_near("planned in weeks that are over", 8, whole->planned, 0);
    row_near("done", 3, whole->done, 0);
    row_has("in words", "8 sessions planned so far, 3 done", whole->words);
    row_true("a Tuesday of it", "is one to train", thew_plan_block_trains(&whole->block, thew_date_number(THE_DAY(2026, 4, 7))));
    row_true("a Wednesday", "is not", !thew_plan_block_trains(&whole->block, thew_date_number(THE_DAY(2026, 4, 8))));
    row_true("a Tuesday after it", "is not", !thew_plan_block_trains(&whole->block, thew_date_number(THE_DAY(2026, 4, 14))));
    rows_end(24 + 6);
}

// A block that begins on a Thursday asks in its first week for the part that is left.
static void weeks_that_are_cut_off(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    enrol_ida(&s);
    thew_block block = spring();
    block.from_day = (thew_date){ 2026, 3, 5 };
    block.until_day = (thew_date){ 2026, 3, 10 };
    must(&s, thew_plan_block(s.studio, &the_coach, &block, s.refusal));
    g_autoptr(thew_blocks) blocks = NULL;
    must(&s, thew_plan_block_list(s.studio, "p1", &blocks, s.refusal));
    const thew_block_whole *whole = blocks->block->pdata[0];
    assert_int_equal(whole->week->len, 2);
    row_near("Thursday to Sunday: Friday is left", 1, g_array_index(whole->week, thew_block_week, 0).planned, 0);
    row_near("Monday and Tuesday: Tuesday", 1, g_array_index(whole->week, thew_block_week, 1).planned, 0);
    rows_end(2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_refused),      cmocka_unit_test(what_is_unusual),        cmocka_unit_test(versions),
        cmocka_unit_test(planned_against_done), cmocka_unit_test(weeks_that_are_cut_off),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
