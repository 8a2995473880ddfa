// Strength over months: the smoothed line, every set as a point, and whether a change is real. Strength that is known is played
// into sets by the engine's own endurance curve; all is invented.
#include "studio/strength_of.h"

#include <math.h>

#include "draw/strength.h"
#include "engine/evidence.h"
#include "tests/studio/somebody.h"

// Somebody whose strength grows from 100 to `to` per cent in `sessions` weekly rows with one band, told exactly.
static thew_participant grows(const thew_catalogue *catalogue, double to, int sessions)
{
    thew_participant p = somebody(THEW_CONDITION_MS);
    own_band(&p, "soft", 2, 22);
    own_band(&p, "firm", 2, 41);
    const thew_exercise *row = thew_catalogue_exercise(catalogue, "seated-row");
    g_autoptr(thew_ladder) ladder = thew_fit(row, &p, DAY, NULL);
    const thew_fitted *load = thew_ladder_done(ladder, NULL, "firm", "mark-4");
    assert_non_null(load);
    thew_task task = thew_task_default(thew_action_joint(row->prime_action), THEW_REPETITIONS);
    double start = thew_evidence_capacity_ln(&task, &load->rung, 60);
    for (int i = 0; i < sessions; i++) {
        double ln = start + log(to) * i / MAX(sessions - 1, 1), seconds = 20;
        while (seconds < 300 && thew_evidence_capacity_ln(&task, &load->rung, seconds) < ln)
            seconds++;
        did(&p, DAY + 7 * i, "seated-row", THEW_BOTH, "firm", "mark-4", THEW_FAILURE, seconds);
    }
    return p;
}

static void the_line_follows(void **state)
{
    (void)state;
    g_autoptr(thew_catalogue) catalogue = the_catalogue();
    static const struct {
        const char *why;
        double to;
        double low, high; // per cent at the end
        const char *sentence;
    } row[] = {
        { "as strong as at first", 1, 92, 110, "no more than noise" },
        { "half as strong again", 1.5, 122, 160, "real change" },
        { "a quarter weaker", .75, 68, 90, "weaker" },
    };
    for (gsize i = 0; i < G_N_ELEMENTS(row); i++) {
        g_auto(thew_participant) p = grows(catalogue, row[i].to, 26);
        g_autoptr(thew_strength) s = thew_strength_of(catalogue, &p, NULL, "seated-row", THEW_BOTH, DAY + 400);
        assert_non_null(s);
        row_near("an estimate for each day", 26, s->smoothed->len, 0);
        row_near("a point for each set", 26, s->point->len, 0);
        const thew_strength_estimate *last = &g_array_index(s->smoothed, thew_strength_estimate, 25);
        row_near("the first is 100 %", 100, thew_strength_percent(s, g_array_index(s->smoothed, thew_strength_estimate, 0).ln_mean),
                 1e-9);
        row_between(row[i].why, row[i].low, thew_strength_percent(s, last->ln_mean), row[i].high);
        row_true(row[i].why, "it has an interval", last->ln_sd > 0 && last->ln_sd < .4);
        row_has(row[i].why, row[i].sentence, s->sentence);
        thew_strength_plot plot = thew_strength_plot_of(s, "Seated row", 640);
        g_autofree char *svg = thew_strength_svg(&plot);
        row_has("it can be drawn", "</svg>", svg);
    }
    rows_end(21);
}

// A relapse is said before the months: they alone would hide it.
static void a_sudden_decline_is_said_first(void **state)
{
    (void)state;
    g_autoptr(thew_catalogue) catalogue = the_catalogue();
    g_auto(thew_participant) p = grows(catalogue, 1.3, 20);
    thew_day day = DAY + 7 * 19;
    for (int i = 1; i <= 2; i++)
        did(&p, day + 7 * i, "seated-row", THEW_BOTH, "firm", "mark-4", THEW_FAILURE, 22);
    g_autoptr(thew_strength) before = thew_strength_of(catalogue, &p, NULL, "seated-row", THEW_BOTH, day);
    g_autoptr(thew_strength) after = thew_strength_of(catalogue, &p, NULL, "seated-row", THEW_BOTH, day + 14);
    assert_true(before && after);
    row_near("none before", 0, before->jump_day->len, 0);
    row_true("seen afterwards", "there is a day of it", after->jump_day->len > 0);
    row_true("said first", after->sentence, g_str_has_prefix(after->sentence, "A sudden decline was seen on "));
    row_has("how much", "weaker than just before. All in all ", after->sentence);
    for (int i = 3; i <= 14; i++)
        did(&p, day + 7 * i, "seated-row", THEW_BOTH, "firm", "mark-4", THEW_FAILURE, 70);
    g_autoptr(thew_strength) later = thew_strength_of(catalogue, &p, NULL, "seated-row", THEW_BOTH, day + 7 * 14);
    row_true("old news is not said", later->sentence, !g_str_has_prefix(later->sentence, "A sudden"));
    rows_end(5);
}

static void what_is_not_there(void **state)
{
    (void)state;
    g_autoptr(thew_catalogue) catalogue = the_catalogue();
    g_auto(thew_participant) p = grows(catalogue, 1, 1);
    static const struct {
        const char *why, *exercise;
        thew_side side;
        int until;
    } row[] = { { "another exercise", "seated-curl", THEW_BOTH, 10 },
                { "another side", "seated-row", THEW_LEFT, 10 },
                { "before the first set", "seated-row", THEW_BOTH, -1 } };
    for (gsize i = 0; i < G_N_ELEMENTS(row); i++) {
        g_autoptr(thew_strength) s = thew_strength_of(catalogue, &p, NULL, row[i].exercise, row[i].side, DAY + row[i].until);
        row_true(row[i].why, "there is no line", s == NULL);
    }
    g_autoptr(thew_strength) one = thew_strength_of(catalogue, &p, NULL, "seated-row", THEW_BOTH, DAY);
    row_has("one day", "Only one day", one ? one->sentence : NULL);
    rows_end(4);
}

static void ends_of_every_kind(void **state)
{
    (void)state;
    g_autoptr(thew_catalogue) catalogue = the_catalogue();
    g_auto(thew_participant) p = grows(catalogue, 1, 4);
    did(&p, DAY + 30, "seated-row", THEW_BOTH, "firm", "mark-4", THEW_COMPLETED, 90);
    did(&p, DAY + 34, "seated-row", THEW_BOTH, "firm", "mark-4", THEW_SYMPTOM, 40);
    did(&p, DAY + 38, "seated-row", THEW_BOTH, "firm", "mark-4", THEW_OTHER, 0); // stopped at once: says nothing
    g_array_index(p.entry, thew_entry, 4).reserve_s = -1;
    static const char *const record[] = { "r0", "r1", "r2", "r3", "completed", "symptom", "nothing" };
    g_autoptr(thew_strength) s = thew_strength_of(catalogue, &p, record, "seated-row", THEW_BOTH, DAY + 60);
    assert_non_null(s);
    row_near("what says nothing is no point", 6, s->point->len, 0);
    const thew_strength_point *completed = &g_array_index(s->point, thew_strength_point, 4),
                              *symptom = &g_array_index(s->point, thew_strength_point, 5);
    row_text("each with its record", "completed", completed->record);
    row_text("and its load", "firm, mark-4", completed->label);
    row_true("a set that went on for longer shows more", "90 s completed lies above 40 s", completed->percent > symptom->percent);
    rows_end(4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_line_follows),
        cmocka_unit_test(a_sudden_decline_is_said_first),
        cmocka_unit_test(what_is_not_there),
        cmocka_unit_test(ends_of_every_kind),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
