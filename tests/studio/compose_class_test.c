// compose_class_test.c: classes from the built-in catalogue: that the composed one is the best of all that can be put together by
// hand, keeps every wish, and says in seconds and sentences what a hand-made one comes to. Outside truth: every order of every
// choice, tried out where few exercises are left; times added up by hand from the wishes.
#include "studio/compose_class.h"

#include <math.h>

#include "tests/text_rows.h"

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

#define LIST(...) ((const char *const[]){ __VA_ARGS__, NULL })
static const char *const nothing[] = { NULL };

static thew_class_plan *composed(const thew_class_wishes *wishes)
{
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    thew_class_plan *plan = NULL;
    thew_verdict verdict = thew_class_compose(catalogue, wishes, &plan, refusal);
    for (guint f = 0; f < refusal->fault->len; f++)
        printf("# %s\n", ((const thew_fault *)refusal->fault->pdata[f])->sentence);
    assert_int_equal(verdict, THEW_DONE);
    assert_non_null(plan);
    return plan;
}

#define CHOICES_MAX 12
static thew_class_plan *judged(const thew_class_wishes *wishes, const char *const *name)
{
    thew_class_choice choice[CHOICES_MAX] = { 0 };
    guint count = 0;
    for (; name[count]; count++)
        choice[count].name = name[count];
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    thew_class_plan *plan = NULL;
    assert_int_equal(thew_class_judge(catalogue, wishes, choice, count, &plan, refusal), THEW_DONE);
    assert_non_null(plan);
    return plan;
}

static const thew_class_item *item_at(const thew_class_plan *plan, guint i)
{
    return &g_array_index(plan->item, thew_class_item, i);
}

static const thew_class_set *set_at(const thew_class_plan *plan, guint s)
{
    return &g_array_index(plan->set, thew_class_set, s);
}

static bool has_exercise(const thew_class_plan *plan, const char *id)
{
    for (guint i = 0; i < plan->item->len; i++)
        if (strcmp(item_at(plan, i)->exercise->id, id) == 0 || strcmp(item_at(plan, i)->variant->id, id) == 0) return true;
    return false;
}

// ---- the best there is ----

typedef struct {
    const thew_class_wishes *wishes;
    const thew_exercise *const *exercise;
    size_t exercise_count;
    const char *name[CHOICES_MAX];
    guint count;
    thew_compose_score best;
    guint tried, good;
} all_orders;

static void try_all(all_orders *a)
{
    a->name[a->count] = NULL;
    g_autoptr(thew_class_plan) plan = judged(a->wishes, a->name);
    a->tried++;
    if (!plan->breaks) {
        if (a->good == 0 || thew_compose_compare(plan->score, a->best) < 0) a->best = plan->score;
        a->good++;
    }
    if (a->count == (guint)a->wishes->exercises_max) return;
    for (size_t e = 0; e < a->exercise_count; e++) {
        bool in = false;
        for (guint i = 0; i < a->count; i++)
            in |= a->name[i] == a->exercise[e]->id;
        if (in) continue;
        a->name[a->count++] = a->exercise[e]->id;
        try_all(a);
        a->count--;
    }
}

// Wishes that leave few exercises, each in one position.
static void test_no_class_made_by_hand_is_better(void **state)
{
    (void)state;
    static const thew_class_goal_wish stairs[] = { { "climb-stairs", 3 }, { "Sitting and standing upright", 1 } };
    const struct {
        const char *why;
        const char *const *position, *const *kit, *const *fixed;
        const thew_class_goal_wish *goal;
        guint goal_count;
        double minutes;
        int exercises_max, sets;
    } row[] = {
        { "seated, body alone, enough time", LIST("seated"), nothing, NULL, NULL, 0, 60, 4, 1 },
        { "seated, body alone, no time", LIST("seated"), nothing, NULL, NULL, 0, 9, 4, 1 },
        { "two goals", LIST("seated"), nothing, NULL, stairs, 2, 12, 4, 1 },
        { "one that must be in", LIST("seated"), nothing, LIST("seated-toe-lift"), stairs, 2, 8, 3, 1 },
        { "two sets each", LIST("seated"), nothing, NULL, NULL, 0, 20, 3, 2 },
        { "loops", LIST("seated", "lying"), LIST("loop"), NULL, NULL, 0, 15, 3, 1 },
    };
    size_t count;
    const thew_exercise *const *all = thew_catalogue_exercises(catalogue, &count);
    EACH(i, row)
    {
        thew_class_wishes wishes = thew_class_wishes_default();
        wishes.position = row[i].position, wishes.kit = row[i].kit, wishes.fixed = row[i].fixed;
        wishes.goal = row[i].goal, wishes.goal_count = row[i].goal_count;
        wishes.minutes = row[i].minutes, wishes.exercises_max = row[i].exercises_max, wishes.sets = row[i].sets;
        const thew_exercise *within[64];
        all_orders a = { .wishes = &wishes, .exercise = within };
        for (size_t e = 0; e < count; e++) {
            g_autoptr(thew_class_plan) alone = judged(&wishes, LIST(all[e]->id));
            bool fits = true;
            for (guint f = 0; f < alone->finding->len; f++) {
                thew_class_finding_kind kind = g_array_index(alone->finding, thew_class_finding, f).kind;
                fits &= kind != THEW_CLASS_POSITION && kind != THEW_CLASS_KIT;
            }
            if (fits) within[a.exercise_count++] = all[e];
        }
        row_between(row[i].why, 2, (double)a.exercise_count, 8);
        try_all(&a);
        g_autoptr(thew_class_plan) plan = composed(&wishes);
        row_true(row[i].why, "the best is proven", plan->optimal);
        row_true(row[i].why, "some class made by hand keeps the wishes", a.good > 1);
        row_near(row[i].why, 0, thew_compose_compare(plan->score, a.best), 0);
        row_near(row[i].why, 0, thew_class_gap(plan), 0);
    }
    rows_end(30);
}

// What a plan says of itself is what judging says of the same exercises, and every wish is kept.
static void test_a_composed_class_keeps_every_wish(void **state)
{
    (void)state;
    const struct {
        const char *why;
        const char *const *position, *const *kit, *const *fixed, *const *excluded;
        double minutes;
        int exercises_max, sets, changes_max;
    } row[] = {
        { "as it comes", NULL, NULL, NULL, NULL, 60, 10, 1, 2 },
        { "half an hour", NULL, NULL, NULL, NULL, 30, 10, 1, 2 },
        { "two sets", NULL, NULL, NULL, NULL, 60, 12, 2, 2 },
        { "seated", LIST("seated"), NULL, NULL, NULL, 60, 12, 1, 0 },
        { "standing, case does not matter", LIST("Standing"), NULL, NULL, NULL, 45, 12, 1, 0 },
        { "nothing but the body", NULL, nothing, NULL, NULL, 60, 12, 1, 2 },
        { "bands, and no door", NULL, LIST("band"), NULL, NULL, 60, 12, 1, 2 },
        { "bands and a door", NULL, LIST("band", "anchor"), NULL, NULL, 60, 12, 1, 2 },
        { "one position is never left", NULL, NULL, NULL, NULL, 60, 12, 1, 0 },
        { "wishes of a coach", NULL, NULL, LIST("seated-curl", "Standing row"), LIST("Sit to stand", "chair-hover"), 60, 12, 1, 4 },
        { "a short quarter of an hour", NULL, NULL, NULL, NULL, 14.5, 12, 1, 2 },
    };
    EACH(i, row)
    {
        thew_class_wishes wishes = thew_class_wishes_default();
        wishes.position = row[i].position, wishes.kit = row[i].kit, wishes.fixed = row[i].fixed, wishes.excluded = row[i].excluded;
        wishes.minutes = row[i].minutes, wishes.exercises_max = row[i].exercises_max, wishes.sets = row[i].sets;
        wishes.position_changes_max = row[i].changes_max;
        g_autoptr(thew_class_plan) plan = composed(&wishes);
        row_true(row[i].why, "the best is proven", plan->optimal);
        row_true(row[i].why, "nothing is broken", !plan->breaks);
        row_between(row[i].why, 1, plan->seconds, row[i].minutes * 60);
        row_between(row[i].why, 2, plan->item->len, row[i].exercises_max);
        row_between(row[i].why, 0, plan->score.changes, row[i].changes_max);
        row_near(row[i].why, plan->score.seconds, plan->seconds, 0);
        const char *name[CHOICES_MAX + 1] = { NULL };
        for (guint p = 0; p < plan->item->len; p++) {
            const thew_class_item *item = item_at(plan, p);
            name[p] = item->variant->id;
            row_true(row[i].why, "neighbours have prime movers of their own", !item->repeats_prime_mover);
            row_true(row[i].why, "no anchor unless there is one",
                     !thew_class_needs_anchor(item->implement) || !row[i].kit || g_strv_contains(row[i].kit, "anchor"));
            row_true(row[i].why, "no implement but the kit's",
                     !row[i].kit || item->implement->kind == THEW_IMPLEMENT_BODY ||
                         g_strv_contains(row[i].kit, thew_implement_kind_id(item->implement->kind)));
        }
        g_autoptr(thew_class_plan) again = judged(&wishes, name);
        row_near(row[i].why, 0, thew_compose_compare(plan->score, again->score), 0);
        row_true(row[i].why, "no order of the same exercises is better",
                 thew_compose_compare(again->best_order, again->score) >= 0);
        if (row[i].fixed)
            row_true(row[i].why, "the coach's exercises are in, and out",
                     has_exercise(plan, "seated-curl") && has_exercise(plan, "standing-row") &&
                         !has_exercise(plan, "sit-to-stand") && !has_exercise(plan, "chair-hover"));
    }
    rows_end(150);
}

static void test_the_same_class_every_time(void **state)
{
    (void)state;
    thew_class_wishes wishes = thew_class_wishes_default();
    g_autoptr(thew_class_plan) first = composed(&wishes);
    g_autoptr(thew_class_plan) second = composed(&wishes);
    assert_int_equal(first->item->len, second->item->len);
    for (guint i = 0; i < first->item->len; i++)
        assert_ptr_equal(item_at(first, i)->variant, item_at(second, i)->variant);
}

// ---- what a class comes to ----

// Two sets a side at a time, then one position further a set with both arms; 90 s a set, rests 120, 60 and 50 more. Added up by
// hand.
static void test_every_set_has_its_second(void **state)
{
    (void)state;
    thew_class_wishes wishes = thew_class_wishes_default();
    wishes.position_change_s = 50;
    thew_class_choice choice[] = { { "seated-curl", NULL, 2 }, { "Standing row", NULL, 0 } };
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    g_autoptr(thew_class_plan) plan = NULL;
    assert_int_equal(thew_class_judge(catalogue, &wishes, choice, 2, &plan, refusal), THEW_DONE);
    static const struct {
        const char *why;
        guint item;
        int number;
        thew_side side;
        double start_s, rest_s;
    } row[] = {
        { "left first", 0, 1, THEW_LEFT, 0, 0 },
        { "then right", 0, 1, THEW_RIGHT, 90 + 60, 60 },
        { "the second set after a rest", 0, 2, THEW_LEFT, 240 + 120, 120 },
        { "and right again", 0, 2, THEW_RIGHT, 450 + 60, 60 },
        { "both arms, standing: rest and a change", 1, 1, THEW_BOTH, 600 + 120 + 50, 170 },
    };
    assert_int_equal(plan->set->len, G_N_ELEMENTS(row));
    EACH(s, row)
    {
        const thew_class_set *set = set_at(plan, (guint)s);
        row_near(row[s].why, row[s].item, set->item, 0);
        row_near(row[s].why, row[s].number, set->number, 0);
        row_near(row[s].why, row[s].side, set->side, 0);
        row_near(row[s].why, row[s].start_s, set->start_s, 0);
        row_near(row[s].why, row[s].rest_s, set->rest_s, 0);
        row_near(row[s].why, 90, set->seconds, 0);
    }
    row_near("to the last set's end", 860, plan->seconds, 0);
    row_near("as the engine counts", 860, plan->score.seconds, 0);
    row_near("the first exercise's end", 600, item_at(plan, 0)->end_s, 0);
    row_near("the pause before the second", 170, item_at(plan, 1)->pause_s, 0);
    rows_end(34);
}

// In which order shared muscles are tired, and how long they rest: told apart by what is left at the start of the second exercise.
static void test_what_is_left_is_predicted(void **state)
{
    (void)state;
    const struct {
        const char *why;
        const char *first, *second;
        int rest_s;
        double low, high;
    } row[] = {
        { "no muscle in common", "sit-to-stand", "seated-curl", 60, 1, 1 },
        { "the same prime movers, a short rest", "sit-to-stand", "chair-hover", 30, .6, .95 },
        { "the same, a long rest", "sit-to-stand", "chair-hover", 240, .97, .9999 },
        { "a synergist of the first is the second's prime mover", "seated-row", "seated-curl", 30, .7, .99 },
        { "the other way round: the synergist has enough left", "seated-curl", "seated-row", 30, 1, 1 },
    };
    EACH(i, row)
    {
        thew_class_wishes wishes = thew_class_wishes_default();
        wishes.rest_s = row[i].rest_s, wishes.position_change_s = 0;
        g_autoptr(thew_class_plan) plan = judged(&wishes, LIST(row[i].first, row[i].second));
        row_near(row[i].why, 0, item_at(plan, 0)->capacity_ln, 0);
        row_between(row[i].why, row[i].low, 1 + item_at(plan, 1)->capacity_ln, row[i].high);
    }
    rows_end(10);
}

static void test_an_order_by_hand_is_told_what_it_breaks(void **state)
{
    (void)state;
    thew_class_wishes plain = thew_class_wishes_default(), narrow = plain, strict = plain;
    narrow.minutes = 4, narrow.exercises_max = 1, narrow.position_changes_max = 0;
    narrow.position = LIST("seated"), narrow.kit = nothing;
    strict.fixed = LIST("seated-curl"), strict.excluded = LIST("seated-row");
    thew_class_wishes allowed = plain;
    allowed.repeats_allowed = true;
    const struct {
        const char *why;
        const thew_class_wishes *wishes;
        const char *const *name;
        bool breaks;
        const char *sentence[5]; // in order, those of OUT_OF_REACH left out
    } row[] = {
        { "nothing", &plain, LIST("sit-to-stand", "seated-row"), false, { NULL } },
        { "a neighbour on the same prime mover",
          &plain,
          LIST("sit-to-stand", "chair-hover"),
          true,
          { "Chair hover follows Sit to stand on the same prime mover." } },
        { "asked for", &allowed, LIST("sit-to-stand", "chair-hover"), false, { NULL } },
        { "too much of everything",
          &narrow,
          LIST("seated-march", "standing-row"),
          true,
          { "It takes 8 min 30 s: 4 min 30 s more than there are.", "It has 1 exercise more than asked for.",
            "It has 1 change of position more than asked for.", "Standing row is done standing, which is not among the positions.",
            "Standing row needs what the kit does not have: band and anchor." } },
        { "the coach's own wishes",
          &strict,
          LIST("seated-row"),
          true,
          { "Seated curl was to be in, and is not.", "Seated row was to be left out." } },
        { "the same exercise twice",
          &plain,
          LIST("sit-to-stand", "seated-curl", "supported-sit-to-stand"),
          true,
          { "Sit to stand and Sit to stand from a raised seat with hand support are the same exercise: more sets of one say so "
            "more plainly." } },
        { "a synergist beforehand",
          &plain,
          LIST("seated-curl", "seated-row"),
          false,
          { "Seated row needs the biceps brachii as a synergist, which Seated curl has tired before." } },
    };
    EACH(i, row)
    {
        g_autoptr(thew_class_plan) plan = judged(row[i].wishes, row[i].name);
        row_near(row[i].why, row[i].breaks, plan->breaks, 0);
        size_t said = 0;
        for (guint f = 0; f < plan->finding->len; f++) {
            const thew_class_finding *finding = &g_array_index(plan->finding, thew_class_finding, f);
            g_autofree char *words = thew_class_finding_words(plan, finding);
            if (finding->kind == THEW_CLASS_OUT_OF_REACH) continue;
            row_text(row[i].why, said < 5 ? row[i].sentence[said] : NULL, words);
            said++;
        }
        row_text(row[i].why, NULL, said < 5 ? row[i].sentence[said] : NULL);
    }
    rows_end(20);
}

static void test_a_worse_order_is_told_a_better_one(void **state)
{
    (void)state;
    thew_class_wishes wishes = thew_class_wishes_default();
    g_autoptr(thew_class_plan) plan = judged(&wishes, LIST("seated-curl", "sit-to-stand", "seated-row"));
    assert_true(plan->has_best_order);
    row_near("violations of the own order", 1, plan->score.violations, 0);
    row_near("of the better one", 0, plan->best_order.violations, 0);
    row_near("changes of the own order", 2, plan->score.changes, 0);
    row_near("of the better one", 1, plan->best_order.changes, 0);
    row_near("seconds saved: one change", 60, plan->score.seconds - plan->best_order.seconds, 0);
    guint place[3] = { 0 };
    for (guint p = 0; p < 3; p++)
        place[g_array_index(plan->best_order_item, guint, p)] = p;
    row_true("the better one", "the row comes before the curl", place[2] < place[0]);
    rows_end(6);
}

static void test_goals_and_muscles_are_counted(void **state)
{
    (void)state;
    static const thew_class_goal_wish goals[] = { { "carry", 1 }, { "push-off", 5 } };
    thew_class_wishes wishes = thew_class_wishes_default();
    wishes.goal = goals, wishes.goal_count = 2;
    wishes.position = LIST("seated"), wishes.kit = LIST("dumbbell"); // nobody pushes off seated without a band
    g_autoptr(thew_class_plan) plan = judged(&wishes, LIST("seated-curl", "seated-bent-over-row"));
    const thew_class_goal *first = &g_array_index(plan->goal, thew_class_goal, 0),
                          *second = &g_array_index(plan->goal, thew_class_goal, 1);
    row_text("the heaviest first", "push-off", first->goal->id);
    row_near("not covered", 0, first->exercises, 0);
    row_near("both serve the other", 2, second->exercises, 0);
    row_near("which is said of each", 1, item_at(plan, 0)->serves->len, 0);
    row_near("something is out of reach", 1, plan->finding->len > 0, 0);
    g_autofree char *words =
        thew_class_finding_words(plan, &g_array_index(plan->finding, thew_class_finding, plan->finding->len - 1));
    row_text("and which", "Nothing within positions, kit and what is left out serves \"Pushing off when walking\".", words);
    int triceps = 0, biceps = 0;
    for (guint m = 0; m < plan->muscle->len; m++) {
        const thew_class_muscle *muscle = &g_array_index(plan->muscle, thew_class_muscle, m);
        if (strcmp(muscle->muscle->id, "triceps-brachii") == 0) triceps = 1 + muscle->as_prime_mover + muscle->within_reach;
        if (strcmp(muscle->muscle->id, "biceps-brachii") == 0) biceps = muscle->as_prime_mover + 10 * muscle->as_synergist;
    }
    row_near("the triceps is within reach and not trained", 2, triceps, 0);
    row_near("the biceps as prime mover and as synergist", 11, biceps, 0);
    rows_end(8);
}

// ---- what is refused ----

static void test_wrong_wishes_are_refused_with_their_place(void **state)
{
    (void)state;
    static const thew_class_goal_wish unknown[] = { { "climb-stair", 1 } }, twice[] = { { "carry", 1 }, { "Carrying", 2 } },
                                      heavy[] = { { "carry", 11 } };
    thew_class_wishes plain = thew_class_wishes_default();
    const struct {
        const char *why;
        thew_class_wishes wishes;
        const char *pointer, *sentence;
    } row[] = {
        { "a goal nobody knows",
          { .goal = unknown, .goal_count = 1 },
          "/goals/0/goal",
          "there is no goal \"climb-stair\"; perhaps \"climb-stairs\" is meant" },
        { "a goal twice, under its two names",
          { .goal = twice, .goal_count = 2 },
          "/goals/1/goal",
          "Carrying is named twice; once, with its weight, is enough" },
        { "too heavy", { .goal = heavy, .goal_count = 1 }, "/goals/0/weight", "a goal's weight must be from 1 to 10, not 11" },
        { "a position nobody knows",
          { .position = LIST("seated", "prone") },
          "/positions/1",
          "\"prone\" is none of seated, standing, lying" },
        { "no position at all", { .position = nothing }, "/positions", "at least one of seated, standing, lying is needed" },
        { "an implement nobody knows",
          { .kit = LIST("kettle") },
          "/kit/0",
          "\"kettle\" is none of body, band, loop, dumbbell, cuff, anchor" },
        { "an exercise nobody knows",
          { .fixed = LIST("seated-rwo") },
          "/fixed/0",
          "there is no exercise \"seated-rwo\"; perhaps \"seated-row\" is meant" },
        { "nothing near",
          { .excluded = LIST("swimming the channel") },
          "/excluded/0",
          "there is no exercise \"swimming the channel\"" },
        { "no time", { .minutes = -1 }, "/minutes", "minutes must be above 0 and at most 240, not -1" },
        { "all week", { .minutes = 1e9 }, "/minutes", "minutes must be above 0 and at most 240, not 1e+09" },
        { "no number", { .minutes = (double)NAN }, "/minutes", "minutes must be above 0 and at most 240, not nan" },
        { "too many exercises", { .exercises_max = 13 }, "/exercises_max", "the number of exercises must be from 1 to 12, not 13" },
        { "too many sets", { .sets = 11 }, "/sets", "the sets of an exercise must be from 1 to 10, not 11" },
        { "time running backwards", { .rest_s = -5 }, "/rest_s", "the seconds of rest must be from 0 to 600, not -5" },
        { "a window that closes before it opens",
          { .window_from_s = 90, .window_to_s = 60 },
          "/window",
          "the window must open at 10 seconds or later and close by 600, not 90 to 60" },
        { "what must be in cannot be done",
          { .fixed = LIST("standing-row"), .kit = LIST("band") },
          "/fixed/0",
          "Standing row cannot be done within the positions, the kit and what is left out" },
        { "in and out",
          { .fixed = LIST("seated-curl"), .excluded = LIST("Seated curl") },
          "/fixed/0",
          "Seated curl cannot be done within the positions, the kit and what is left out" },
        { "wanted twice",
          { .fixed = LIST("seated-curl", "standing-curl") },
          "/fixed/1",
          "Seated curl is wanted twice; once is enough" },
        { "more than may be",
          { .fixed = LIST("seated-curl", "seated-row"), .exercises_max = 1 },
          "/fixed",
          "2 exercises must be in, and at most 1 are wanted" },
    };
    EACH(i, row)
    {
        thew_class_wishes w = row[i].wishes;
        if (w.minutes == 0) w.minutes = plain.minutes;
        if (w.exercises_max == 0) w.exercises_max = plain.exercises_max;
        if (w.sets == 0) w.sets = plain.sets;
        if (w.window_to_s == 0) w.window_from_s = plain.window_from_s, w.window_to_s = plain.window_to_s;
        g_autoptr(thew_refusal) refusal = thew_refusal_new();
        thew_class_plan *plan = NULL;
        row_near(row[i].why, THEW_INVALID, thew_class_compose(catalogue, &w, &plan, refusal), 0);
        row_true(row[i].why, "there is no plan", plan == NULL);
        row_near(row[i].why, 1, refusal->fault->len, 0);
        const thew_fault *fault = refusal->fault->len > 0 ? refusal->fault->pdata[0] : NULL;
        row_text(row[i].why, row[i].pointer, fault ? fault->pointer : NULL);
        row_text(row[i].why, row[i].sentence, fault ? fault->sentence : NULL);
    }
    rows_end(95);
}

static void test_what_cannot_be_composed_is_said(void **state)
{
    (void)state;
    thew_class_wishes wishes = thew_class_wishes_default();
    const struct {
        const char *why;
        const char *const *fixed, *const *position, *const *kit;
        double minutes;
        const char *sentence;
    } row[] = {
        { "longer than there are minutes", LIST("seated-curl", "seated-march"), NULL, NULL, 5,
          "what must be in does not fit into the minutes in any order without two in a row on the same prime mover" },
        { "nothing lies down without its kit", NULL, LIST("lying"), LIST("dumbbell"), 1, "no exercise fits" },
    };
    EACH(i, row)
    {
        wishes.fixed = row[i].fixed, wishes.position = row[i].position, wishes.kit = row[i].kit, wishes.minutes = row[i].minutes;
        g_autoptr(thew_refusal) refusal = thew_refusal_new();
        thew_class_plan *plan = NULL;
        row_near(row[i].why, THEW_CONFLICT, thew_class_compose(catalogue, &wishes, &plan, refusal), 0);
        row_true(row[i].why, "there is no plan", plan == NULL);
        row_text(row[i].why, row[i].sentence, refusal->sentence);
    }
    rows_end(6);
}

static void test_a_wrong_order_is_refused_with_its_place(void **state)
{
    (void)state;
    thew_class_wishes wishes = thew_class_wishes_default();
    static const thew_class_choice row[] = { { "seated-rwo", NULL, 0 }, { "seated-row", "kettle", 0 }, { "seated-row", NULL, 11 } };
    static const char *const pointer[] = { "/exercises/0/name", "/exercises/0/implement", "/exercises/0/sets" };
    static const char *const sentence[] = { "there is no exercise \"seated-rwo\"; perhaps \"seated-row\" is meant",
                                            "Seated row has no implement \"kettle\"",
                                            "the sets of an exercise must be from 1 to 10, not 11" };
    EACH(i, row)
    {
        g_autoptr(thew_refusal) refusal = thew_refusal_new();
        thew_class_plan *plan = NULL;
        row_near(sentence[i], THEW_INVALID, thew_class_judge(catalogue, &wishes, &row[i], 1, &plan, refusal), 0);
        const thew_fault *fault = refusal->fault->len == 1 ? refusal->fault->pdata[0] : NULL;
        row_text(sentence[i], pointer[i], fault ? fault->pointer : NULL);
        row_text(sentence[i], sentence[i], fault ? fault->sentence : NULL);
    }
    rows_end(9);
}

// ---- more exercises than are built in ----

// The built-in movements, so many times over, each time under other names.
static thew_catalogue *many(int times)
{
    size_t count;
    const thew_catalogue_file *embedded = thew_catalogue_embedded(&count);
    g_autoptr(GArray) files = g_array_new(FALSE, FALSE, sizeof(thew_catalogue_file));
    g_autoptr(GPtrArray) owned = g_ptr_array_new_with_free_func(g_free);
    for (int t = 0; t < times; t++)
        for (size_t f = 0; f < count; f++) {
            bool is_movement = g_str_has_prefix(embedded[f].name, "movements/");
            if (!is_movement && t > 0) continue;
            g_autoptr(GString) bytes = g_string_new_len(embedded[f].bytes, (gssize)embedded[f].size);
            g_autoptr(GString) name = g_string_new(embedded[f].name);
            if (t > 0) {
                g_autofree char *prefix = g_strdup_printf("again%d-", t), *folder = g_strdup_printf("movements/%s", prefix);
                g_autofree char *id = g_strdup_printf("\"id\": \"%s", prefix),
                                *name_of = g_strdup_printf("\"name\": \"Again %d ", t);
                g_autofree char *easier = g_strdup_printf("regression_of\": \"%s", prefix),
                                *harder = g_strdup_printf("progression_of\": \"%s", prefix);
                g_string_replace(name, "movements/", folder, 1);
                g_string_replace(bytes, "\"id\": \"", id, 0);
                g_string_replace(bytes, "\"name\": \"", name_of, 0);
                g_string_replace(bytes, "regression_of\": \"", easier, 0);
                g_string_replace(bytes, "progression_of\": \"", harder, 0);
            }
            thew_catalogue_file file = { g_strdup(name->str), NULL, bytes->len };
            file.bytes = g_string_free(g_steal_pointer(&bytes), FALSE);
            g_ptr_array_add(owned, (gpointer)file.name);
            g_ptr_array_add(owned, (gpointer)file.bytes);
            g_array_append_val(files, file);
        }
    g_autoptr(GError) error = NULL;
    thew_catalogue *made = thew_catalogue_load_files((const thew_catalogue_file *)files->data, files->len, &error);
    if (!made) fail_msg("%s", error->message);
    return made;
}

static void test_a_large_catalogue_is_narrowed_and_says_so(void **state)
{
    (void)state;
    thew_class_wishes wishes = thew_class_wishes_default();
    wishes.exercises_max = 12;
    g_autoptr(thew_catalogue) twice = many(2);
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    g_autoptr(thew_class_plan) plan = NULL;
    row_near("56 exercises, 72 with their positions", THEW_DONE, thew_class_compose(twice, &wishes, &plan, refusal), 0);
    assert_non_null(plan);
    row_true("56 exercises", "the best of what was looked at is proven", plan->optimal && !plan->breaks);
    row_near("and what was not is said", THEW_CLASS_NARROWED,
             g_array_index(plan->finding, thew_class_finding, plan->finding->len - 1).kind, 0);

    g_autoptr(thew_catalogue) thrice = many(3);
    thew_class_plan *none = NULL;
    row_near("84 exercises", THEW_INVALID, thew_class_compose(thrice, &wishes, &none, refusal), 0);
    row_true("84 exercises", "there is no plan", none == NULL);
    const thew_fault *fault = refusal->fault->len > 0 ? refusal->fault->pdata[0] : NULL;
    row_text("84 exercises",
             "84 exercises fit, and at most 64 can be looked at: narrow the positions or the kit, or leave some out",
             fault ? fault->sentence : NULL);
    rows_end(6);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_no_class_made_by_hand_is_better),
        cmocka_unit_test(test_a_composed_class_keeps_every_wish),
        cmocka_unit_test(test_the_same_class_every_time),
        cmocka_unit_test(test_every_set_has_its_second),
        cmocka_unit_test(test_what_is_left_is_predicted),
        cmocka_unit_test(test_an_order_by_hand_is_told_what_it_breaks),
        cmocka_unit_test(test_a_worse_order_is_told_a_better_one),
        cmocka_unit_test(test_goals_and_muscles_are_counted),
        cmocka_unit_test(test_wrong_wishes_are_refused_with_their_place),
        cmocka_unit_test(test_what_cannot_be_composed_is_said),
        cmocka_unit_test(test_a_wrong_order_is_refused_with_its_place),
        cmocka_unit_test(test_a_large_catalogue_is_narrowed_and_says_so),
    };
    return cmocka_run_group_tests(tests, load, unload);
}
