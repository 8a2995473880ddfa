// keep_class_test.c: classes: their texts, what is refused and where, versions, and plans that are not kept.
#include "studio/keep_class.h"

#include "studio/set_up.h"
#include "tests/studio/use_case.h"

static const thew_kept_slot two_slots[] = { { "seated-row", "seated-row", 1, 90 }, { "sit-to-stand", "sit-to-stand", 2, 60 } };
static const char *const none[] = { NULL }, *const row_fixed[] = { "seated-row", NULL };

static thew_kept_plan plan(void)
{
    return (thew_kept_plan){ .wishes = { .minutes = 30,
                                         .positions = 1u << THEW_SEATED | 1u << THEW_STANDING,
                                         .kinds = 1u << THEW_IMPLEMENT_BAND | 1u << THEW_IMPLEMENT_DUMBBELL,
                                         .sets = 1,
                                         .rest_s = 90,
                                         .fixed = none,
                                         .excluded = none },
                             .slot = two_slots,
                             .slot_count = 2 };
}

static thew_class_version monday(void)
{
    return (thew_class_version){ .class = "c1", .version = 1, .called = "Monday", .plan = plan() };
}

static void texts_say_the_same_both_ways(void **state)
{
    (void)state;
    static const thew_wish_goal goal[] = { { "balance", 3 }, { "say \"ah\"", 1 } };
    static const char *const fixed[] = { "seated-row", "a\nb", NULL };
    thew_kept_plan full = plan(), empty = { .wishes = { .minutes = 5, .fixed = none, .excluded = none } };
    full.wishes.goal = goal;
    full.wishes.goal_count = 2;
    full.wishes.fixed = fixed;
    const thew_kept_plan *const row[] = { &full, &empty };
    EACH(i, row)
    {
        g_autoptr(GPtrArray) held = thew_held_new();
        g_autofree char *text = thew_class_text(row[i]);
        thew_kept_plan read;
        bool is = thew_class_text_read(text, held, &read);
        g_autofree char *again_text = is ? thew_class_text(&read) : NULL;
        row_text("there and back", text, again_text);
    }
    static const char *const bad[] = {
        "", "{}", "[]", "{\"form\":2}", "{\"form\":1,\"form\":1}", "{\"form\":1,\"wishes\":{},\"slots\":[]}"
    };
    g_autofree char *text = thew_class_text(&full);
    g_autoptr(GPtrArray) held = thew_held_new();
    thew_kept_plan read;
    EACH(i, bad)
    row_true(bad[i], "it is no plan", !thew_class_text_read(bad[i], held, &read) && read.slot_count == 0);
    for (size_t cut = 0; cut < strlen(text); cut++) {
        g_autofree char *part = g_strndup(text, cut);
        row_true(part, "a text cut off is no plan", !thew_class_text_read(part, held, &read));
    }
    rows_end(2 + 6 + 100);
}

static void what_is_refused(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    static const thew_kept_slot wrong[] = { { "fly", "seated-row", 1, 90 },
                                            { "seated-row", "sit-to-stand", 0, 90 },
                                            { "seated-row", "nothing", 1, -5 } };
    static const thew_wish_goal no_goal[] = { { "fly", 1 } };
    static const char *const no_exercise[] = { "fly", NULL };
    thew_class_version row[] = { monday(), monday(), monday(), monday(), monday(), monday(), monday(), monday() };
    static const char *const why[] = { "no name",
                                       "version 0",
                                       "no slots",
                                       "slots, each with its fault",
                                       "no position",
                                       "no minutes",
                                       "a goal that is none",
                                       "an exercise that is none" };
    static const char *const places[] = { "/called",
                                          "/version",
                                          "/slots",
                                          "/slots/0/exercise /slots/1/variant /slots/1/sets /slots/2/variant /slots/2/rest_s",
                                          "/wishes/positions",
                                          "/wishes/minutes",
                                          "/wishes/goals/0/goal",
                                          "/wishes/excluded/0" };
    row[0].called = "";
    row[1].version = 0;
    row[2].plan.slot_count = 0;
    row[3].plan.slot = wrong;
    row[3].plan.slot_count = 3;
    row[4].plan.wishes.positions = 0;
    row[5].plan.wishes.minutes = 0;
    row[6].plan.wishes.goal = no_goal;
    row[6].plan.wishes.goal_count = 1;
    row[7].plan.wishes.excluded = no_exercise;
    for (size_t i = 0; i < G_N_ELEMENTS(row); i++)
        row_said(&s, why[i], THEW_INVALID, places[i], thew_keep_class(s.studio, &the_coach, &row[i], s.refusal));
    rows_end(16);
}

static void versions(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    thew_class_version class = monday();
    row_said(&s, "the first", THEW_DONE, "", thew_keep_class(s.studio, &the_coach, &class, s.refusal));
    wait_hours(&s, 1);
    row_said(&s, "sent again", THEW_DONE_BEFORE, "", thew_keep_class(s.studio, &the_coach, &class, s.refusal));
    class.called = "Tuesday";
    row_said(&s, "another content", THEW_CONFLICT, "", thew_keep_class(s.studio, &the_coach, &class, s.refusal));
    class.version = 2;
    class.plan.slot_count = 1;
    row_said(&s, "the next", THEW_DONE, "", thew_keep_class(s.studio, &the_coach, &class, s.refusal));
    class.version = 4;
    row_said(&s, "one left out", THEW_CONFLICT, "", thew_keep_class(s.studio, &the_coach, &class, s.refusal));
    g_autoptr(thew_classes) all = NULL;
    g_autoptr(thew_class_kept) first = NULL, latest = NULL, no = NULL;
    must(&s, thew_keep_class_list(s.studio, &all, s.refusal));
    row_near("one class", 1, all->brief->len, 0);
    row_text("by its latest name", "Tuesday", g_array_index(all->brief, thew_class_brief, 0).called);
    row_near("with one slot", 1, g_array_index(all->brief, thew_class_brief, 0).slots, 0);
    must(&s, thew_keep_class_read(s.studio, "c1", 1, &first, s.refusal));
    must(&s, thew_keep_class_read(s.studio, "c1", 0, &latest, s.refusal));
    row_text("the first is as it was", "Monday", first->class.called);
    row_near("both slots", 2, first->class.plan.slot_count, 0);
    row_text("in order", "sit-to-stand", first->class.plan.slot[1].exercise);
    row_near("sets", 2, first->class.plan.slot[1].sets, 0);
    row_true("fewer exercises", "are fewer minutes", latest->class.minutes < first->class.minutes && latest->class.minutes > 1);
    row_said(&s, "a version that is none", THEW_ABSENT, "", thew_keep_class_read(s.studio, "c1", 3, &no, s.refusal));
    row_said(&s, "a class that is none", THEW_ABSENT, "", thew_keep_class_read(s.studio, "c9", 0, &no, s.refusal));
    rows_end(2 * 7 + 8);
}

static void plans_that_are_not_kept(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    thew_kept_wishes wishes = plan().wishes;
    wishes.fixed = row_fixed;
    thew_class_plan *composed, *judged;
    must(&s, thew_keep_class_compose(s.studio, &wishes, &composed, s.refusal));
    bool row_in = false;
    for (guint i = 0; i < composed->item->len; i++)
        row_in = row_in || strcmp(g_array_index(composed->item, thew_class_item, i).exercise->id, "seated-row") == 0;
    row_true("what must be in", "is", row_in);
    row_between("within the minutes", 1, composed->seconds, 30 * 60);
    thew_kept_plan given = plan();
    must(&s, thew_keep_class_judge(s.studio, &given, &judged, s.refusal));
    row_near("an order made by hand", 2, judged->item->len, 0);
    thew_class_plan_free(judged);
    // The studio's window is the time that each set is given.
    thew_studio_change wide = { "Riverside", "Europe/Vienna", "en", thew_settings_default() };
    wide.settings.window_to_s = 300;
    must(&s, thew_set_up_change(s.studio, &the_coach, &wide, s.refusal));
    double before = composed->seconds;
    thew_class_plan_free(composed);
    wishes.minutes = 200;
    must(&s, thew_keep_class_compose(s.studio, &wishes, &composed, s.refusal));
    row_true("a wider window", "is a longer class", composed->seconds > before);
    thew_class_plan_free(composed);
    wishes.positions = 0;
    row_said(&s, "no position", THEW_INVALID, "/positions", thew_keep_class_compose(s.studio, &wishes, &composed, s.refusal));
    wishes = plan().wishes;
    wishes.minutes = 1;
    wishes.fixed = row_fixed;
    row_said(&s, "what must be in does not fit a minute", THEW_CONFLICT, "",
             thew_keep_class_compose(s.studio, &wishes, &composed, s.refusal));
    rows_end(4 + 4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(texts_say_the_same_both_ways),
        cmocka_unit_test(what_is_refused),
        cmocka_unit_test(versions),
        cmocka_unit_test(plans_that_are_not_kept),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
