// demo_test.c: the demo studio's files are the same each time, say what they are, are read without an error, and hold what is
// promised of them. All expected values are promises of demo/cast.h: the people are invented, so there is no outside truth.
#include "../engine/rows.h"

#include <glib/gstdio.h>

#include "cli/files.h"
#include "demo/write.h"
#include "engine/heat.h"
#include "studio/advise.h"

typedef struct {
    thew_catalogue *catalogue;
    play_studio *studio;
    char *folder;
    thew_files *files;
} demo;

static const char *const name[] = { "people.csv", "kit.csv", "diary.csv", "days.csv" };

static GString *written(const play_studio *studio, size_t which)
{
    GString *text = g_string_new(NULL);
    if (which == 0) write_people(text);
    if (which == 1) write_kit(text, studio);
    if (which == 2) write_diary(text, studio);
    if (which == 3) write_days(text, studio);
    return text;
}

static int set_up(void **state)
{
    static demo d;
    d.catalogue = thew_catalogue_load(NULL, NULL);
    d.studio = play_half_year(d.catalogue, PLAY_SEED);
    d.folder = g_dir_make_tmp("demo-XXXXXX", NULL);
    char *path[4];
    EACH(f, name)
    {
        g_autoptr(GString) text = written(d.studio, f);
        path[f] = g_build_filename(d.folder, name[f], NULL);
        if (!g_file_set_contents(path[f], text->str, (gssize)text->len, NULL)) return 1;
    }
    thew_date last_day;
    thew_date_parse(CAST_TO, &last_day);
    d.files = thew_files_read(d.catalogue, (thew_paths){ path[0], path[1], path[2], path[3] }, last_day);
    EACH(f, name)
    {
        g_remove(path[f]);
        g_free(path[f]);
    }
    g_rmdir(d.folder);
    *state = &d;
    return 0;
}

static int tear_down(void **state)
{
    demo *d = *state;
    thew_files_free(d->files);
    play_studio_free(d->studio);
    thew_catalogue_free(d->catalogue);
    g_free(d->folder);
    return 0;
}

static void two_runs_give_the_same_bytes(void **state)
{
    demo *d = *state;
    g_autoptr(play_studio) again = play_half_year(d->catalogue, PLAY_SEED), other = play_half_year(d->catalogue, PLAY_SEED + 1);
    EACH(f, name)
    {
        g_autoptr(GString) first = written(d->studio, f), second = written(again, f);
        assert_string_equal(first->str, second->str);
    }
    g_autoptr(GString) first = written(d->studio, 2), third = written(other, 2);
    assert_string_not_equal(first->str, third->str); // the seed is used
}

static void each_file_says_that_it_is_invented(void **state)
{
    demo *d = *state;
    EACH(f, name)
    {
        g_autoptr(GString) text = written(d->studio, f);
        assert_true(g_str_has_prefix(text->str, "# "));
        g_autofree char *line = g_strndup(text->str, strcspn(text->str, "\n"));
        assert_non_null(strstr(line, "Invented: nobody in it is real"));
    }
}

static void readers_find_no_error(void **state)
{
    demo *d = *state;
    if (thew_trouble_count(d->files->trouble, THEW_TROUBLE_ERROR) > 0) {
        g_autoptr(GString) out = g_string_new(NULL);
        thew_trouble_print(d->files->trouble, 20, out);
        fail_msg("%s", out->str);
    }
    assert_non_null(d->files->participant);
    assert_int_equal(d->files->participant->len, 24);
}

// --- What is promised ------------------------------------------------------------------------------------------------------------

static const thew_diary_row *row_at(const demo *d, guint i)
{
    return &g_array_index(d->files->diary->row, thew_diary_row, i);
}

static int rows_ended(const demo *d, thew_diary_ended ended)
{
    int count = 0;
    for (guint i = 0; i < d->files->diary->row->len; i++)
        count += row_at(d, i)->ended == ended;
    return count;
}

static void diary_holds_every_ending(void **state)
{
    demo *d = *state;
    static const struct {
        const char *why;
        thew_diary_ended ended;
        int least;
    } row[] = {
        { "failures", THEW_DIARY_FAILURE, 1000 },       { "completed sets", THEW_DIARY_COMPLETED, 1000 },
        { "sets in reserve", THEW_DIARY_RESERVE, 300 }, { "stopped for a symptom", THEW_DIARY_SYMPTOM, 10 },
        { "stopped otherwise", THEW_DIARY_OTHER, 20 },
    };
    EACH(i, row) row_between(row[i].why, row[i].least, rows_ended(d, row[i].ended), 1e5);
    int corrected = 0, wrong = 0, early = 0;
    for (guint i = 0; i < d->files->diary->row->len; i++) {
        const play_set *truth = &g_array_index(d->studio->set, play_set, i);
        corrected += row_at(d, i)->link.is_superseded;
        wrong += truth->slip != SIM_NO_SLIP && !row_at(d, i)->link.is_superseded;
        early += row_at(d, i)->ended == THEW_DIARY_FAILURE && row_at(d, i)->seconds < 30;
    }
    row_between("mistakes that were corrected", 15, corrected, 200);
    row_between("mistakes that were not", 15, wrong, 200);
    row_between("overloads", 50, early, 1000);
    rows_end(8);
}

static int rows_of(const demo *d, const char *person)
{
    int count = 0;
    for (guint i = 0; i < d->files->diary->row->len; i++)
        count += strcmp(row_at(d, i)->person, person) == 0;
    return count;
}

static void people_are_as_told(void **state)
{
    demo *d = *state;
    int youngest = 200, oldest = 0, ms = 0, reserve = 0;
    for (guint i = 0; i < d->files->people->row->len; i++) {
        const thew_people_row *p = &g_array_index(d->files->people->row, thew_people_row, i);
        youngest = MIN(youngest, 2026 - p->birth_year);
        oldest = MAX(oldest, 2026 - p->birth_year);
        ms += p->condition == THEW_PEOPLE_MS;
        reserve += p->endpoint == THEW_PEOPLE_TO_RESERVE;
    }
    row_near("the youngest", 28, youngest, 0);
    row_near("the oldest", 74, oldest, 0);
    row_between("with the condition, and some without", 15, ms, 20);
    row_between("who stop before failure", 2, reserve, 6);
    row_near("kelo has done nothing yet", 0, rows_of(d, "kelo"), 0);
    row_between("jori hardly anything", 1, rows_of(d, "jori"), 9);
    row_between("everybody else a good deal", 100, rows_of(d, "gilo"), 1000);
    rows_end(7);
}

static void summer_is_hot(void **state)
{
    demo *d = *state;
    int hot = 0, hot_later = 0;
    for (guint i = 0; i < d->files->days->row->len; i++) {
        const thew_days_row *row = &g_array_index(d->files->days->row, thew_days_row, i);
        bool is_hot = row->room_c.known && thew_heat_index_c(row->room_c.value, row->humidity_percent.value) >= 27;
        hot += is_hot && (row->date.month == 7 || row->date.month == 8);
        hot_later += is_hot && row->date.month > 9;
    }
    row_between("check-ins in rooms of 27 C and more, July and August", 15, hot, 300);
    row_near("and none in autumn", 0, hot_later, 0);
    rows_end(2);
}

static void kit_holds_every_kind(void **state)
{
    demo *d = *state;
    int kind[THEW_KIT_CUFF + 1] = { 0 }, readings[4] = { 0 };
    for (guint i = 0; i < d->files->kit->item->len; i++) {
        const thew_kit_item *item = &g_array_index(d->files->kit->item, thew_kit_item, i);
        kind[item->kind]++;
        if (item->kind == THEW_KIT_BAND) readings[MIN(item->reading->len, 3)]++;
    }
    for (int k = THEW_KIT_BAND; k <= THEW_KIT_CUFF; k++)
        row_between("bands, loops, dumbbells, cuffs", 1, kind[k], 200);
    row_between("bands that nobody measured", 1, readings[0], 20);
    row_between("read once", 1, readings[1], 20);
    row_between("read twice", 1, readings[2], 100);
    row_between("read three times and more", 1, readings[3], 100);
    rows_end(8);
}

static int days_away(const demo *d, const char *person)
{
    int longest = 0, last = 0;
    for (guint i = 0; i < d->files->diary->row->len; i++) {
        if (strcmp(row_at(d, i)->person, person) != 0) continue;
        int day = thew_date_number(row_at(d, i)->date);
        longest = last ? MAX(longest, day - last) : 0;
        last = day;
    }
    return longest;
}

static double capacity_ln(const demo *d, const char *person, const char *exercise, thew_side side, const char *on)
{
    g_autoptr(thew_person_advice) advice = thew_advise_person(d->catalogue, thew_files_find(d->files, person), cast_day(on));
    for (guint t = 0; t < advice->advised->len; t++) {
        const thew_advised *advised = &g_array_index(advice->advised, thew_advised, t);
        if (strcmp(advised->exercise->id, exercise) == 0 && advised->side == side) return advised->advice.reason.capacity.mean;
    }
    fail_msg("%s has no advice on %s", person, exercise);
    return 0;
}

static void stories_can_be_read_from_the_files(void **state)
{
    demo *d = *state;
    double before = capacity_ln(d, "cado", "seated-knee-extension", THEW_LEFT, "2026-09-07");
    double after = capacity_ln(d, "cado", "seated-knee-extension", THEW_LEFT, "2026-10-05");
    double later = capacity_ln(d, "cado", "seated-knee-extension", THEW_LEFT, CAST_TO);
    row_between("cado's relapse: legs fall", -1, after - before, -.15);
    row_between("and come back", .08, later - after, 1);
    double left = capacity_ln(d, "hanu", "seated-knee-extension", THEW_LEFT, CAST_TO);
    double right = capacity_ln(d, "hanu", "seated-knee-extension", THEW_RIGHT, CAST_TO);
    row_between("hanu's left leg is much weaker", -1.2, left - right, -.25);
    row_between("iska was away for more than three weeks", 22, days_away(d, "iska"), 60);
    rows_end(4);
}

static int advised_with(const demo *d, const char *person, thew_reason_code code)
{
    int count = 0;
    g_autoptr(thew_person_advice) advice = thew_advise_person(d->catalogue, thew_files_find(d->files, person), cast_day(CAST_TO));
    for (guint t = 0; t < advice->advised->len; t++)
        count += g_array_index(advice->advised, thew_advised, t).advice.reason.code == code;
    return count;
}

static void advice_has_something_to_say(void **state)
{
    demo *d = *state;
    for (guint i = 0; i < d->files->participant->len; i++) {
        const thew_participant *p = d->files->participant->pdata[i];
        g_autoptr(thew_person_advice) advice = thew_advise_person(d->catalogue, p, cast_day(CAST_TO));
        row_between(p->id, 3, advice->advised->len, 30);
        for (guint t = 0; t < advice->advised->len; t++)
            row_between(p->id, 1, g_array_index(advice->advised, thew_advised, t).count, THEW_RUNGS_MAX);
        row_near("everything on record is understood", p->entry->len, advice->record_count, 0);
    }
    row_between("fenn's kit has become too light", 1, advised_with(d, "fenn", THEW_REASON_TOO_LIGHT), 9);
    row_between("gilo's lightest step is too heavy", 1, advised_with(d, "gilo", THEW_REASON_TOO_HEAVY), 9);
    row_between("mavi had a symptom", 1, advised_with(d, "mavi", THEW_REASON_EASED_SYMPTOM), 9);
    row_between("kelo begins", 1, advised_with(d, "kelo", THEW_REASON_FIRST_SET), 9);
    rows_end(76);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(two_runs_give_the_same_bytes), cmocka_unit_test(each_file_says_that_it_is_invented),
        cmocka_unit_test(readers_find_no_error),        cmocka_unit_test(diary_holds_every_ending),
        cmocka_unit_test(people_are_as_told),           cmocka_unit_test(summer_is_hot),
        cmocka_unit_test(kit_holds_every_kind),         cmocka_unit_test(stories_can_be_read_from_the_files),
        cmocka_unit_test(advice_has_something_to_say),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
