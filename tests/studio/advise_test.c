// advise_test.c: from kit and diary to advice: exercises, sides, variants, days, notes; and what must hold whatever the diary says.
#include "studio/advise.h"

#include "engine/recovery.h"
#include "tests/studio/somebody.h"

static thew_catalogue *catalogue;

static thew_person_advice *advise(const thew_participant *p, thew_day on)
{
    return thew_advise_person(catalogue, p, on);
}

static const thew_advised *of(const thew_person_advice *a, const char *exercise, thew_side side)
{
    for (guint t = 0; t < a->advised->len; t++) {
        const thew_advised *advised = &g_array_index(a->advised, thew_advised, t);
        if (advised->side == side && strcmp(advised->exercise->id, exercise) == 0) return advised;
    }
    return NULL;
}

// "seated-curl left, seated-curl right"
static char *listed(const thew_person_advice *a)
{
    static const char *const side[] = { "both", "left", "right" };
    GString *text = g_string_new(NULL);
    for (guint t = 0; t < a->advised->len; t++) {
        const thew_advised *advised = &g_array_index(a->advised, thew_advised, t);
        g_string_append_printf(text, "%s%s %s", t > 0 ? ", " : "", advised->exercise->id, side[advised->side]);
    }
    return g_string_free(text, FALSE);
}

static char *noted(const thew_person_advice *a)
{
    g_ptr_array_add(a->note, NULL);
    char *text = g_strjoinv("; ", (char **)a->note->pdata);
    g_ptr_array_set_size(a->note, (int)a->note->len - 1);
    return text;
}

static thew_participant with_kit(void)
{
    thew_participant p = somebody(THEW_CONDITION_MS);
    own_band(&p, "soft", 2, 25);
    own_band(&p, "hard", 2, 60);
    own_weight(&p, "two", THEW_IMPLEMENT_DUMBBELL, 2);
    own_weight(&p, "three", THEW_IMPLEMENT_DUMBBELL, 3);
    return p;
}

// --- Which exercises, which sides ------------------------------------------------------------------------------------------------

static void test_exercises_and_sides(void **state)
{
    (void)state;
    static const struct {
        const char *why;
        const char *planned[4];
        const char *done; // exercise in the diary, or NULL
        thew_side side;
        thew_side weaker;
        const char *listed;
    } row[] = {
        { "nothing planned, nothing done", { NULL }, NULL, 0, 0, "" },
        { "planned, in the order asked for",
          { "sit-to-stand", "seated-row", NULL },
          NULL,
          0,
          0,
          "sit-to-stand both, seated-row both" },
        { "done, not planned", { NULL }, "seated-row", THEW_BOTH, 0, "seated-row both" },
        { "planned first, then done", { "sit-to-stand", NULL }, "seated-row", THEW_BOTH, 0, "sit-to-stand both, seated-row both" },
        { "planned and done: once", { "seated-row", NULL }, "seated-row", THEW_BOTH, 0, "seated-row both" },
        { "planned twice: once", { "seated-row", "seated-row", NULL }, NULL, 0, 0, "seated-row both" },
        { "a side at a time: both sides", { "seated-curl", NULL }, NULL, 0, 0, "seated-curl left, seated-curl right" },
        { "the weaker side first", { "seated-curl", NULL }, NULL, 0, THEW_RIGHT, "seated-curl right, seated-curl left" },
        { "one side done: the other too", { NULL }, "seated-curl", THEW_RIGHT, 0, "seated-curl left, seated-curl right" },
        { "one side of a two-sided exercise done", { NULL }, "seated-row", THEW_LEFT, 0, "seated-row left, seated-row right" },
        { "sides not told apart: then not here either", { NULL }, "seated-curl", THEW_BOTH, 0, "seated-curl both" },
        { "an exercise that the catalogue does not know", { "flying", NULL }, "swimming", THEW_BOTH, 0, "" },
    };
    EACH(i, row)
    {
        g_auto(thew_participant) p = with_kit();
        p.exercise = row[i].planned;
        p.weaker_side = row[i].weaker;
        if (row[i].done) did(&p, DAY - 3, row[i].done, row[i].side, NULL, NULL, THEW_OTHER, 30);
        g_autoptr(thew_person_advice) a = advise(&p, DAY);
        g_autofree char *text = listed(a);
        row_text(row[i].why, row[i].listed, text);
    }
    rows_end(12);
}

static void test_an_earlier_day_does_not_know_the_exercise_yet(void **state)
{
    (void)state;
    g_auto(thew_participant) p = with_kit();
    did(&p, DAY, "seated-row", THEW_BOTH, "hard", "mark-6", THEW_FAILURE, 70);
    g_autoptr(thew_person_advice) before = advise(&p, DAY - 1), then = advise(&p, DAY);
    row_near("the day before", 0, before->advised->len, 0);
    row_near("on the day", 1, then->advised->len, 0);
    rows_end(2);
}

// --- Which variant ---------------------------------------------------------------------------------------------------------------

static void test_variants(void **state)
{
    (void)state;
    g_auto(thew_participant) p = with_kit();
    thew_entry standing = { .day = DAY - 2,
                            .exercise = "seated-row",
                            .variant = "standing-row",
                            .implement = "hard",
                            .setting = "mark-6",
                            .ended = THEW_FAILURE,
                            .seconds = 70,
                            .reserve_s = -1 };
    const char *const planned[] = { "seated-row", "seated-toe-lift", NULL };
    p.exercise = planned;
    g_autoptr(thew_person_advice) first = advise(&p, DAY);
    row_text("nothing done: the usual one", "seated-row", of(first, "seated-row", THEW_BOTH)->variant->id);
    g_array_append_val(p.entry, standing);
    g_autoptr(thew_person_advice) after = advise(&p, DAY);
    const thew_advised *row = of(after, "seated-row", THEW_BOTH);
    row_text("as last time", "standing-row", row->variant->id);
    row_text("and it is known what it was", "hard, mark-6", row->last->label);
    for (guint r = 0; r < row->count; r++)
        row_text("its rungs", "standing-row", g_array_index(row->ladder->fitted, thew_fitted, row->first + r).variant->id);
    g_array_set_size(p.piece, 0);
    g_autoptr(thew_person_advice) bare = advise(&p, DAY);
    row_near("no band: no row", 0, of(bare, "seated-row", THEW_BOTH)->count, 0);
    row_true("no band: no row", "nothing is taken", of(bare, "seated-row", THEW_BOTH)->take == NULL);
    row_text("no band: the variant that the body can do", "weighted-toe-lift", of(bare, "seated-toe-lift", THEW_LEFT)->variant->id);
    rows_end(10);
}

// --- The earliest good day -------------------------------------------------------------------------------------------------------

// Another exercise with the same prime mover as the first that has one.
static const thew_exercise *alike(const thew_exercise *one)
{
    size_t count;
    const thew_exercise *const *all = thew_catalogue_exercises(catalogue, &count);
    for (size_t e = 0; e < count; e++)
        if (all[e] != one && all[e]->prime_action == one->prime_action) return all[e];
    return NULL;
}

static void test_the_earliest_good_day(void **state)
{
    (void)state;
    const thew_exercise *knee = thew_catalogue_exercise(catalogue, "sit-to-stand"), *other = alike(knee);
    assert_non_null(other);
    const struct {
        const char *why, *done;
        thew_side side;
        int days_ago;
        const char *asked;
        thew_side asked_side;
        int days_ahead;
    } row[] = {
        { "trained today: a rest day between", "seated-curl", THEW_LEFT, 0, "seated-curl", THEW_LEFT, 2 },
        { "trained yesterday: tomorrow", "seated-curl", THEW_LEFT, 1, "seated-curl", THEW_LEFT, 1 },
        { "two days ago: today", "seated-curl", THEW_LEFT, 2, "seated-curl", THEW_LEFT, 0 },
        { "long ago: today", "seated-curl", THEW_LEFT, 50, "seated-curl", THEW_LEFT, 0 },
        { "the other side is fresh", "seated-curl", THEW_LEFT, 0, "seated-curl", THEW_RIGHT, 0 },
        { "another muscle is fresh", "seated-curl", THEW_BOTH, 0, "sit-to-stand", THEW_BOTH, 0 },
        { "the same muscle in another exercise is not", other->id, THEW_BOTH, 0, "sit-to-stand", THEW_BOTH, 2 },
        { "one side of it is enough", other->id, THEW_LEFT, 0, "sit-to-stand", THEW_BOTH, 2 },
    };
    row_near("a rest day between: the recovery's days", 2, thew_recovery_days(thew_recovery_default()), 0);
    EACH(i, row)
    {
        g_auto(thew_participant) p = with_kit();
        const char *const planned[] = { row[i].asked, NULL };
        p.exercise = planned;
        did(&p, DAY - row[i].days_ago, row[i].done, row[i].side, NULL, NULL, THEW_FAILURE, 70);
        g_autoptr(thew_person_advice) a = advise(&p, DAY);
        row_near(row[i].why, row[i].days_ahead, of(a, row[i].asked, row[i].asked_side)->earliest - DAY, 0);
    }
    rows_end(9);
}

// --- What is left out
// --------------------------------------------------------------------------------------------------------------

static void test_notes(void **state)
{
    (void)state;
    static const struct {
        const char *why, *implement, *setting;
        int days_ago, record_count;
        const char *note;
    } row[] = {
        { "a good set", "hard", "mark-6", 3, 1, "" },
        { "an implement that the exercise cannot use", "two", NULL, 3, 0,
          "sets of Seated row with two are left out: this exercise, kit and body make no such load" },
        { "body weight where there is none", NULL, NULL, 3, 0,
          "sets of Seated row with body weight are left out: this exercise, kit and body make no such load" },
        { "a setting that the exercise does not have", "hard", "mark-99", 3, 0,
          "sets of Seated row with hard, mark-99 are left out: this exercise, kit and body make no such load" },
        { "a loose band: it counts", "hard", "mark-0", 3, 1,
          "Seated row with hard, mark-0 counts as done, but is not advised: the band hangs loose over much of the lift" },
        { "three years ago", "hard", "mark-6", 3 * 365, 1, "" },
        { "longer ago, or a wrong date", "hard", "mark-6", 3 * 365 + 1, 0,
          "what was done until Thu 16 Feb 2023 is left out: more than 3 years without a set follow (is a date wrong?)" },
        { "later than the day asked for", "hard", "mark-6", -40, 0,
          "a set of Sat 28 Mar 2026 is left out: it is later than Mon 16 Feb 2026" },
    };
    static const char *const planned[] = { "seated-row", NULL };
    EACH(i, row)
    {
        g_auto(thew_participant) p = with_kit();
        p.exercise = planned;
        did(&p, DAY - row[i].days_ago, "seated-row", THEW_BOTH, row[i].implement, row[i].setting, THEW_FAILURE, 70);
        g_autoptr(thew_person_advice) a = advise(&p, DAY);
        g_autofree char *notes = noted(a);
        row_text(row[i].why, row[i].note, notes);
        row_near(row[i].why, row[i].record_count, a->record_count, 0);
        row_near(row[i].why, row[i].record_count, of(a, "seated-row", THEW_BOTH)->record_count, 0);
    }
    rows_end(24);
}

// A wrong date splits a diary: what lies after the gap counts, and the first set before it is not lost from sight.
static void test_a_gap_of_years(void **state)
{
    (void)state;
    g_auto(thew_participant) p = with_kit(), without = with_kit();
    did(&p, DAY - 20000, "seated-row", THEW_BOTH, "hard", "mark-6", THEW_FAILURE, 20);
    did(&p, DAY - 6000, "seated-row", THEW_BOTH, "hard", "mark-6", THEW_COMPLETED, 90);
    thew_participant *each[] = { &p, &without };
    EACH(i, each)
    {
        did(each[i], DAY - 6, "seated-row", THEW_BOTH, "hard", "mark-6", THEW_FAILURE, 70);
        did(each[i], DAY - 3, "seated-row", THEW_BOTH, "hard", "mark-6", THEW_FAILURE, 72);
    }
    thew_checkin long_ago = { .day = DAY - 6000, .conditions = { .has_fatigue = true, .fatigue = 9 } };
    g_array_append_val(p.checkin, long_ago);
    g_autoptr(thew_person_advice) a = advise(&p, DAY), b = advise(&without, DAY);
    row_near("what counts", 2, a->record_count, 0);
    row_near("as if there had been nothing before", of(b, "seated-row", THEW_BOTH)->advice.odds.p_window,
             of(a, "seated-row", THEW_BOTH)->advice.odds.p_window, 0);
    g_autofree char *notes = noted(a);
    row_has("and it is said", "is left out: more than 3 years without a set follow", notes);
    rows_end(3);
}

static void test_notes_are_said_once(void **state)
{
    (void)state;
    g_auto(thew_participant) p = with_kit();
    for (int i = 0; i < 5; i++)
        did(&p, DAY - 10 + i, "seated-row", THEW_BOTH, "two", NULL, THEW_FAILURE, 70);
    for (int i = 0; i < 3; i++)
        did(&p, DAY + 1 + i, "seated-row", THEW_BOTH, "hard", "mark-6", THEW_FAILURE, 70);
    g_autoptr(thew_person_advice) a = advise(&p, DAY);
    g_autofree char *notes = noted(a);
    row_text("five sets, one note; three later ones, one note",
             "sets of Seated row with two are left out: this exercise, kit and body make no such load; "
             "3 sets are left out: they are later than Mon 16 Feb 2026 (the last is of Thu 19 Feb 2026)",
             notes);
    rows_end(1);
}

static void test_no_more_than_there_is_room_for(void **state)
{
    (void)state;
    g_auto(thew_participant) p = with_kit();
    size_t count;
    const thew_exercise *const *all = thew_catalogue_exercises(catalogue, &count);
    g_autoptr(GPtrArray) planned = g_ptr_array_new();
    for (size_t e = 0; e < count; e++) {
        g_ptr_array_add(planned, (void *)all[e]->id);
        did(&p, DAY - 5, all[e]->id, THEW_LEFT, NULL, NULL, THEW_OTHER, 30);
    }
    g_ptr_array_add(planned, NULL);
    p.exercise = (const char *const *)planned->pdata;
    g_autoptr(thew_person_advice) a = advise(&p, DAY);
    g_autofree char *notes = noted(a);
    row_near("sides of exercises", THEW_TRACKS_MAX, a->advised->len, 0);
    row_true("too many", "that is said", strstr(notes, "there is room for 30 of one person") != NULL);
    rows_end(2);
}

// --- The choice ------------------------------------------------------------------------------------------------------------------

static double share(const thew_fitted *f)
{
    return f->rung.peak_share;
}

static void test_what_would_be_next(void **state)
{
    (void)state;
    g_auto(thew_participant) p = with_kit();
    did(&p, DAY - 9, "seated-row", THEW_BOTH, "hard", "mark-6", THEW_FAILURE, 66);
    did(&p, DAY - 6, "seated-row", THEW_BOTH, "hard", "mark-6", THEW_FAILURE, 70);
    did(&p, DAY - 3, "seated-row", THEW_BOTH, "hard", "mark-6", THEW_FAILURE, 74);
    g_autoptr(thew_person_advice) a = advise(&p, DAY);
    const thew_advised *row = of(a, "seated-row", THEW_BOTH);
    row_text("failed inside the window: stay", "hard, mark-6", row->take->label);
    row_near("and aim a second longer", 75, row->advice.goal_s, 0);
    row_near("the reason", THEW_REASON_STAY, row->advice.reason.code, 0);
    row_true("if completed", "next is no lighter", !row->if_completed || share(row->if_completed) > share(row->take));
    row_true("if early", "next is no heavier", !row->if_early || share(row->if_early) < share(row->take));
    row_near("early is half way between floor and window", 45, thew_advised_early_s(thew_advised_task(a, row)), 0);
    g_auto(thew_participant) strong = with_kit();
    did(&strong, DAY - 3, "seated-row", THEW_BOTH, "soft", "mark-6", THEW_COMPLETED, 90);
    g_autoptr(thew_person_advice) b = advise(&strong, DAY);
    row = of(b, "seated-row", THEW_BOTH);
    row_true("little known: if completed", "next is heavier", row->if_completed && share(row->if_completed) > share(row->take));
    row_true("little known: if early", "next is lighter", row->if_early && share(row->if_early) < share(row->take));
    rows_end(8);
}

static void test_no_rise_after_a_symptom_or_a_break(void **state)
{
    (void)state;
    static const struct {
        const char *why;
        int days_ago;
        thew_ended ended;
        const char *symptom; // of another exercise on the same day
        thew_reason_code code;
    } row[] = {
        { "completed three days ago: a rise", 3, THEW_COMPLETED, NULL, THEW_REASON_UP },
        { "a symptom that day, in another exercise", 3, THEW_COMPLETED, "sit-to-stand", THEW_REASON_EASED_SYMPTOM },
        { "three weeks ago", 21, THEW_COMPLETED, NULL, THEW_REASON_EASED_BREAK },
    };
    EACH(i, row)
    {
        g_auto(thew_participant) p = with_kit();
        for (int n = 5; n >= 1; n--)
            did(&p, DAY - row[i].days_ago - 3 * n, "seated-row", THEW_BOTH, "soft", "mark-5", THEW_COMPLETED, 90);
        did(&p, DAY - row[i].days_ago, "seated-row", THEW_BOTH, "soft", "mark-5", row[i].ended, 90);
        if (row[i].symptom) did(&p, DAY - row[i].days_ago, row[i].symptom, THEW_BOTH, NULL, NULL, THEW_SYMPTOM, 20);
        g_autoptr(thew_person_advice) a = advise(&p, DAY);
        const thew_advised *advised = of(a, "seated-row", THEW_BOTH);
        double rise = share(advised->take) / share(advised->last);
        bool eased = row[i].code != THEW_REASON_UP;
        row_between(row[i].why, eased ? 0 : 1.01, rise, eased ? 1.1 : 1.35);
        if (eased) row_near(row[i].why, row[i].code, advised->advice.reason.code, 0);
    }
    rows_end(5);
}

static void test_heat_and_fatigue_of_the_day(void **state)
{
    (void)state;
    g_auto(thew_participant) p = with_kit();
    for (int n = 4; n >= 1; n--)
        did(&p, DAY - 3 * n, "seated-row", THEW_BOTH, "hard", "mark-6", THEW_FAILURE, 70 + n);
    g_autoptr(thew_person_advice) cool = advise(&p, DAY);
    thew_checkin hot = { .day = DAY, .conditions = { .has_heat = true, .heat_index_c = 38, .has_fatigue = true, .fatigue = 9 } };
    g_array_append_val(p.checkin, hot);
    g_autoptr(thew_person_advice) warm = advise(&p, DAY);
    const thew_advised *a = of(cool, "seated-row", THEW_BOTH), *b = of(warm, "seated-row", THEW_BOTH);
    for (guint r = 0; r < a->count; r++)
        if (a->odds[r].p_floor < .9) // nearly sure it cannot become surer: less is known of such a day
            row_true("hot and tired", "every rung is likelier to end before the floor", b->odds[r].p_floor >= a->odds[r].p_floor);
    row_true("hot and tired", "nothing heavier is advised", share(b->take) <= share(a->take));
    rows_end(10);
}

static void test_what_counts_as_a_decline(void **state)
{
    (void)state;
    static const struct {
        const char *why;
        double jump_p, ln;
        bool declined;
    } row[] = {
        { "a certain fall by a fifth", 1, -.22, true },
        { "likely, and down by more than a tenth", .51, -.11, true },
        { "unlikely, though far down", .49, -.5, false },
        { "certain, but small", 1, -.09, false },
        { "a certain rise", 1, .3, false },
        { "nothing", 0, 0, false },
    };
    EACH(i, row)
    {
        g_autofree thew_capacity *capacity = g_new0(thew_capacity, 1);
        capacity->jump_p = row[i].jump_p;
        capacity->mean[1] = row[i].ln; // see capacity.h: component 1 is the jump
        row_near(row[i].why, row[i].declined, thew_advise_declined(capacity), 0);
    }
    rows_end(6);
}

static void test_a_decline_is_seen(void **state)
{
    (void)state;
    g_auto(thew_participant) p = with_kit();
    for (int n = 12; n >= 1; n--) {
        did(&p, DAY - 3 * n - 1, "seated-row", THEW_BOTH, "hard", "mark-6", THEW_FAILURE, 75);
        did(&p, DAY - 3 * n - 1, "sit-to-stand", THEW_BOTH, NULL, NULL, THEW_FAILURE, 75);
        did(&p, DAY - 3 * n - 1, "seated-curl", THEW_LEFT, "two", NULL, THEW_FAILURE, 75);
    }
    g_autoptr(thew_person_advice) well = advise(&p, DAY);
    did(&p, DAY - 1, "seated-row", THEW_BOTH, "hard", "mark-6", THEW_FAILURE, 8);
    did(&p, DAY - 1, "sit-to-stand", THEW_BOTH, NULL, NULL, THEW_FAILURE, 8);
    did(&p, DAY - 1, "seated-curl", THEW_LEFT, "two", NULL, THEW_FAILURE, 8);
    g_autoptr(thew_person_advice) ill = advise(&p, DAY);
    row_near("as always", 0, well->declined, 0);
    row_near("hardly anything is left in any exercise", 1, ill->declined, 0);
    const thew_advised *row = of(ill, "seated-row", THEW_BOTH);
    row_true("after it", "no rise above 10 %", share(row->take) <= 1.1 * share(row->last));
    rows_end(3);
}

// --- Whatever the diary says
// -------------------------------------------------------------------------------------------------------

static const char *const exercises[] = { "seated-row", "seated-curl", "sit-to-stand", "seated-overhead-press", "seated-lean-back" };
static const char *const implements[] = { "soft", "hard", "two", "three", "soft+hard", "gone", NULL };
static const char *const settings[] = { NULL, "mark-2", "mark-6", "mark-9", "near-8" };

static void random_diary(thew_participant *p, GRand *random)
{
    thew_day day = DAY - 200;
    for (int n = g_rand_int_range(random, 0, 60); n > 0; n--) {
        day += g_rand_int_range(random, 0, 6);
        did(p, day, exercises[g_rand_int_range(random, 0, G_N_ELEMENTS(exercises))], (thew_side)g_rand_int_range(random, 0, 3),
            implements[g_rand_int_range(random, 0, G_N_ELEMENTS(implements))],
            settings[g_rand_int_range(random, 0, G_N_ELEMENTS(settings))], (thew_ended)g_rand_int_range(random, 0, 5),
            g_rand_double_range(random, 0, 120));
    }
    thew_day of_checkin = DAY - 100;
    for (int n = g_rand_int_range(random, 0, 10); n > 0; n--) {
        of_checkin += g_rand_int_range(random, 1, 12);
        thew_checkin c = { .day = of_checkin,
                           .conditions = { .has_fatigue = true, .fatigue = g_rand_double_range(random, 0, 10) } };
        g_array_append_val(p->checkin, c);
    }
}

static void check_advised(const thew_person_advice *a, const thew_advised *advised)
{
    const char *why = advised->exercise->id;
    if (advised->count == 0) {
        row_true(why, "nothing is taken where there is nothing", advised->take == NULL);
        return;
    }
    const thew_advice *advice = &advised->advice;
    const thew_odds *o = &advice->odds;
    row_near(why, 1, o->p_floor + o->p_early + o->p_window + o->p_beyond, 1e-9);
    row_true(why, "what is taken is of the variant", advised->take && advised->take->variant == advised->variant);
    row_true(why, "what is taken is fit to be advised", advised->take->fitness == THEW_FITS);
    row_between(why, 60, advice->goal_s, 90);
    row_true(why, "the day is not past", advised->earliest >= a->on && advised->earliest <= a->on + 2);
    double cap = advice->reason.code == THEW_REASON_TOO_HEAVY ? 1 : THEW_FLOOR_CAP;
    row_between(why, 0, o->p_floor, cap);
    if (advised->if_completed) row_true(why, "if completed: never lighter", share(advised->if_completed) >= share(advised->take));
    if (advised->if_early) row_true(why, "if early: never heavier", share(advised->if_early) <= share(advised->take));
    if (advised->other) row_true(why, "what is to be considered is another variant", advised->other != advised->variant);
}

#define DIARIES 60

static void test_what_always_holds(void **state)
{
    (void)state;
    const guint32 seed = 20260216;
    g_autoptr(GRand) random = g_rand_new_with_seed(seed);
    printf("# seed %u\n", seed);
    for (int n = 0; n < DIARIES; n++) {
        g_auto(thew_participant) p = with_kit();
        const char *const planned[] = { exercises[g_rand_int_range(random, 0, G_N_ELEMENTS(exercises))], NULL };
        p.exercise = planned;
        random_diary(&p, random);
        g_autoptr(thew_person_advice) a = advise(&p, DAY + g_rand_int_range(random, -150, 60));
        for (guint t = 0; t < a->advised->len; t++)
            check_advised(a, &g_array_index(a->advised, thew_advised, t));
    }
    rows_end(1000);
}

// Looking back must not know what came later.
static void test_an_earlier_day_is_a_shorter_diary(void **state)
{
    (void)state;
    const guint32 seed = 20260217;
    g_autoptr(GRand) random = g_rand_new_with_seed(seed);
    printf("# seed %u\n", seed);
    for (int n = 0; n < DIARIES; n++) {
        g_auto(thew_participant) whole = with_kit();
        random_diary(&whole, random);
        thew_day on = DAY - g_rand_int_range(random, 0, 200);
        g_autoptr(thew_person_advice) back = advise(&whole, on);
        while (whole.entry->len > 0 && g_array_index(whole.entry, thew_entry, whole.entry->len - 1).day > on)
            g_array_set_size(whole.entry, whole.entry->len - 1);
        while (whole.checkin->len > 0 && g_array_index(whole.checkin, thew_checkin, whole.checkin->len - 1).day > on)
            g_array_set_size(whole.checkin, whole.checkin->len - 1);
        g_autoptr(thew_person_advice) then = advise(&whole, on);
        row_near("exercises and sides", then->advised->len, back->advised->len, 0);
        for (guint t = 0; t < MIN(then->advised->len, back->advised->len); t++) {
            const thew_advised *a = &g_array_index(then->advised, thew_advised, t),
                               *b = &g_array_index(back->advised, thew_advised, t);
            row_text(a->exercise->id, a->take ? a->take->label : NULL, b->take ? b->take->label : NULL);
            row_near(a->exercise->id, a->advice.odds.p_window, b->advice.odds.p_window, 0);
        }
    }
    rows_end(300);
}

static int load(void **state)
{
    (void)state;
    catalogue = the_catalogue();
    return 0;
}

static int unload(void **state)
{
    (void)state;
    thew_catalogue_free(catalogue);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_exercises_and_sides),
        cmocka_unit_test(test_an_earlier_day_does_not_know_the_exercise_yet),
        cmocka_unit_test(test_variants),
        cmocka_unit_test(test_the_earliest_good_day),
        cmocka_unit_test(test_notes),
        cmocka_unit_test(test_a_gap_of_years),
        cmocka_unit_test(test_notes_are_said_once),
        cmocka_unit_test(test_no_more_than_there_is_room_for),
        cmocka_unit_test(test_what_would_be_next),
        cmocka_unit_test(test_no_rise_after_a_symptom_or_a_break),
        cmocka_unit_test(test_heat_and_fatigue_of_the_day),
        cmocka_unit_test(test_what_counts_as_a_decline),
        cmocka_unit_test(test_a_decline_is_seen),
        cmocka_unit_test(test_what_always_holds),
        cmocka_unit_test(test_an_earlier_day_is_a_shorter_diary),
    };
    return cmocka_run_group_tests(tests, load, unload);
}
