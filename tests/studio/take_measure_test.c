// Outcome measures: which scores can be compared, and when a change is more than error. Truth:
// tests/reference/outcome_measures.csv.
#include "studio/take_measure.h"

#include "tests/studio/stored.h"

// Each change that is read as real comes from a row of the table: the figure stands in it.
static void figures_stand_in_the_table(void **state)
{
    (void)state;
    static const struct {
        const char *measure, *population, *column, *figure;
        double better, worse;
    } row[] = {
        { "five-times sit-to-stand", "MS (n 22)", "mdc_percent_of_mean", "25", .25, .25 },
        { "30-s chair stand", "older adults (n 111, mean 70.4 y)", "mdc95", "3.5", 3.5, 3.5 },
        { "timed up and go", "MS, moderate (n 43)", "mdc_percent_of_mean", "improvement 23; worsening 31", .23, .31 },
        { "10-m timed walk", "MS, moderate (n 43)", "mdc_percent_of_mean", "improvement 23; worsening 31", .23, .31 },
        { "6-minute walk", "MS", "mdc95", "88", 88, 88 },
        { "nine-hole peg", "MS (n 69), dominant hand", "mdc_percent_of_mean", "19.4", .194, .291 },
        { "nine-hole peg", "MS (n 69), other hand", "mdc_percent_of_mean", "29.1", .194, .291 },
        { "30-s arm curl", "older adults (n 111, mean 70.4 y)", "mdc95", "2.95", 2.95, 2.95 },
        { "single-leg stance", "older adults (n 25, 60-89 y)", "mdc95", "24.1", 24.1, 24.1 },
    };
    for (gsize i = 0; i < G_N_ELEMENTS(row); i++) {
        const thew_measure *measure = thew_measure_find(row[i].measure);
        row_true(row[i].measure, "it is among the measures", measure != NULL);
        csv *table = csv_open("outcome_measures.csv");
        bool found = false;
        while (csv_next(table))
            found = found || (csv_is(table, "measure", row[i].measure) && csv_is(table, "population", row[i].population) &&
                              csv_is(table, row[i].column, row[i].figure));
        row_true(row[i].figure, "the figure stands in the table", found);
        if (!measure) continue;
        row_near(row[i].measure, row[i].better, measure->better, 0);
        row_near(row[i].measure, row[i].worse, measure->worse, 0);
    }
    rows_end(30);
}

static void a_change_in_words(void **state)
{
    (void)state;
    static const struct {
        const char *why, *measure;
        double before, after;
        const char *part;
    } row[] = {
        { "16 to 11 s: 31 % less", "five-times-sit-to-stand", 16, 11, "31 % better, more than" },
        { "16 to 13 s: 19 % less", "five-times-sit-to-stand", 16, 13, "19 % better, which can be chance" },
        { "10 to 13 s: 30 % more", "timed-up-and-go", 10, 13, "30 % worse, which can be chance (up to 31 %)" },
        { "10 to 13.2 s: 32 % more", "timed-up-and-go", 10, 13.2, "32 % worse, more than" },
        { "10 to 7.5 s: 25 % less", "timed-up-and-go", 10, 7.5, "25 % better, more than" },
        { "12 to 16 stands", "30-s-chair-stand", 12, 16, "4 times better, more than" },
        { "12 to 15 stands", "30-s-chair-stand", 12, 15, "3 times better, which can be chance" },
        { "the same", "30-s-chair-stand", 12, 12, "no change" },
        { "a measure without a figure", "2-minute-walk", 100, 120, "is not known" },
    };
    for (gsize i = 0; i < G_N_ELEMENTS(row); i++) {
        g_autofree char *words = thew_measure_change_words(thew_measure_find(row[i].measure), row[i].before, row[i].after);
        row_has(row[i].why, row[i].part, words);
    }
    rows_end(9);
}

static thew_store_outcome score(const char *record, int day, double value, const char *aid, bool practice)
{
    return (thew_store_outcome){ .entry = { .record = record, .person = "ida", .day = thew_studio_date(TODAY - 100 + day) },
                                 .measure = "timed-up-and-go",
                                 .value = value,
                                 .side = "both",
                                 .aid = aid,
                                 .practice = practice };
}

static void compared_with_the_first(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    take_on(&s, "ida");
    const thew_store_outcome given[] = {
        score("practice", 0, 20, NULL, true), score("first", 0, 14, NULL, false), score("with-stick", 30, 16, "stick", false),
        score("second", 30, 12, NULL, false), score("third", 60, 9, NULL, false),
    };
    thew_record_result result[5];
    row_said(&s, "kept", THEW_DONE, "", thew_take_measures(s.studio, &the_coach, given, 5, result, s.refusal));
    row_said(&s, "again", THEW_DONE_BEFORE, "", thew_take_measures(s.studio, &the_coach, given, 5, result, s.refusal));
    static const struct {
        const char *why, *record, *part; // NULL: nothing is said
    } row[] = { { "newest first; against the first", "third", "36 % better, more than" },
                { "against the first", "second", "14 % better, which can be chance" },
                { "another aid", "with-stick", NULL },
                { "the first", "first", NULL },
                { "a practice try", "practice", NULL } };
    g_autoptr(thew_outcome_list) list = NULL;
    must(&s, thew_measures_read(s.studio, "ida", false, &list, s.refusal));
    for (guint i = 0; i < list->row->len; i++) {
        const thew_outcome_row *read = &g_array_index(list->row, thew_outcome_row, i);
        for (gsize r = 0; r < G_N_ELEMENTS(row); r++) {
            if (strcmp(row[r].record, read->outcome->entry.record) != 0) continue;
            if (row[r].part)
                row_has(row[r].why, row[r].part, read->change_words);
            else
                row_text(row[r].why, NULL, read->change_words);
        }
    }
    row_text("newest first", "third", g_array_index(list->row, thew_outcome_row, 0).outcome->entry.record);
    row_text("in its own unit", "s", g_array_index(list->row, thew_outcome_row, 0).outcome->unit);
    rows_end(9);
}

static void what_is_refused(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    take_on(&s, "ida");
    static const struct {
        const char *why, *places, *measure, *unit, *side;
        double value;
    } row[] = {
        { "no such measure", "/outcomes/0/measure", "handstand", NULL, "both", 10 },
        { "another unit", "/outcomes/0/unit", "timed-up-and-go", "min", "both", 10 },
        { "beyond what can be", "/outcomes/0/value", "timed-up-and-go", "s", "both", 1000 },
        { "a side for what has none", "/outcomes/0/side", "timed-up-and-go", "s", "left", 10 },
        { "no side for what has one", "/outcomes/0/side", "grip-strength", "kg", "both", 20 },
        { "no such side", "/outcomes/0/side", "grip-strength", "kg", "middle", 20 },
    };
    for (gsize i = 0; i < G_N_ELEMENTS(row); i++) {
        thew_store_outcome given = score("x", 0, row[i].value, NULL, false);
        thew_record_result result;
        given.measure = row[i].measure;
        given.unit = row[i].unit;
        given.side = row[i].side;
        row_said(&s, row[i].why, THEW_INVALID, row[i].places,
                 thew_take_measures(s.studio, &the_coach, &given, 1, &result, s.refusal));
    }
    rows_end(12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(figures_stand_in_the_table),
        cmocka_unit_test(a_change_in_words),
        cmocka_unit_test(compared_with_the_first),
        cmocka_unit_test(what_is_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
