// Sets as they are recorded: what is refused and where, what is kept, that sending again is harmless. People and sets are invented.
#include "studio/record.h"

#include <math.h>

#include "store/diary.h"
#include "tests/studio/stored.h"

static thew_store_set changed(int row)
{
    thew_store_set set = a_set("new-1", "ida");
    switch (row) {
    case 1:
        set.entry.record = "with blanks in it";
        break;
    case 2:
        set.entry.person = "nobody";
        break;
    case 3:
        set.entry.day = (thew_date){ 2026, 4, 1 };
        break;
    case 4:
        set.entry.day = (thew_date){ 2026, 2, 30 };
        break;
    case 5:
        set.entry.day = (thew_date){ 1960, 1, 1 };
        break;
    case 6:
        set.exercise = "seated-rows";
        break;
    case 7:
        set.variant = "seated-curl";
        break;
    case 8:
        set.implement = "sofd";
        break;
    case 9:
        set.implement = "soft+soft";
        break;
    case 10:
        set.implement = "soft+iron";
        break;
    case 11:
        set.setting = "mark-99";
        break;
    case 12:
        set.implement = "iron";
        break;
    case 13:
        set.side = "middle";
        break;
    case 14:
        set.ended = "tired";
        break;
    case 15:
        set.seconds = 3601;
        break;
    case 16:
        set.seconds = NAN;
        break;
    case 17:
        set.reserve_s = (thew_maybe_real){ true, 5 };
        break;
    case 18:
        set.exertion = (thew_maybe_real){ true, 11 };
        break;
    case 19:
        set.entry.replaces = "new-1";
        break;
    case 20:
        set.entry.withdrawn = true;
        break;
    case 21:
        set.exercise = NULL, set.side = NULL, set.ended = NULL, set.entry.person = NULL;
        break;
    case 22:
        set.entry.day = (thew_date){ 0 };
        break;
    default:
        break;
    }
    return set;
}

static void what_is_refused(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    take_on(&s, "ida");
    static const struct {
        const char *why, *places;
    } row[] = {
        { "as it should be", "" },
        { "an identifier is letters, digits, . _ -", "/sets/0/record" },
        { "nobody of that name", "/sets/0/person" },
        { "tomorrow", "/sets/0/day" },
        { "no such day", "/sets/0/day" },
        { "before she was born", "/sets/0/day" },
        { "no such exercise", "/sets/0/exercise" },
        { "a variant of another exercise", "/sets/0/variant" },
        { "an implement that she has not", "/sets/0/implement" },
        { "one band is no pair", "/sets/0/implement" },
        { "a band and a weight are no pair", "/sets/0/implement" },
        { "no such setting", "/sets/0/setting" },
        { "rows are not done with a dumbbell", "/sets/0/implement" },
        { "no such side", "/sets/0/side" },
        { "no such ending", "/sets/0/ended" },
        { "longer than an hour", "/sets/0/seconds" },
        { "no number", "/sets/0/seconds" },
        { "seconds left after a failure", "/sets/0/reserve_s" },
        { "an exertion beyond 10", "/sets/0/exertion" },
        { "replaces itself", "/sets/0/replaces" },
        { "withdraws nothing", "/sets/0/replaces" },
        { "every fault is named at once", "/sets/0/person /sets/0/side /sets/0/ended /sets/0/exercise" },
        { "no day", "/sets/0/day" },
    };
    for (int i = (int)G_N_ELEMENTS(row) - 1; i >= 0; i--) {
        thew_store_set set = changed(i);
        row_said(&s, row[i].why, i ? THEW_INVALID : THEW_DONE, row[i].places, record_one(&s, &set));
    }
    thew_record_result result[2];
    thew_store_set two[] = { a_set("new-2", "ida"), a_set("new-2", "ida") };
    row_said(&s, "one identifier twice", THEW_INVALID, "/sets/1/record",
             thew_record_sets(s.studio, &the_coach, two, 2, result, s.refusal));
    row_said(&s, "nothing", THEW_INVALID, "/sets", thew_record_sets(s.studio, &the_coach, two, 0, result, s.refusal));
    thew_store_set *many = g_new0(thew_store_set, THEW_BATCH_MAX + 1);
    row_said(&s, "too many", THEW_INVALID, "/sets",
             thew_record_sets(s.studio, &the_coach, many, THEW_BATCH_MAX + 1, NULL, s.refusal));
    g_free(many);
    rows_end(50);
}

static void all_or_none_and_again(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    take_on(&s, "ida");
    thew_store_set set[] = { a_set("a", "ida"), a_set("b", "ida"), a_set("c", "ida") };
    thew_record_result result[3];
    set[2].seconds = -1;
    row_said(&s, "one of three is wrong", THEW_INVALID, "/sets/2/seconds",
             thew_record_sets(s.studio, &the_coach, set, 3, result, s.refusal));
    g_autoptr(thew_set_list) none = NULL;
    must(&s, thew_record_read(s.studio, "ida", THEW_NO_DAY, THEW_NO_DAY, false, &none, s.refusal));
    row_near("none was kept", 0, none->row->len, 0);
    row_said(&s, "two of them", THEW_DONE, "", thew_record_sets(s.studio, &the_coach, set, 2, result, s.refusal));
    row_said(&s, "the same two again", THEW_DONE_BEFORE, "", thew_record_sets(s.studio, &the_coach, set, 2, result, s.refusal));
    set[2].seconds = 60;
    row_said(&s, "two of three again", THEW_DONE, "", thew_record_sets(s.studio, &the_coach, set, 3, result, s.refusal));
    row_true("each is answered", "two are repeated and one is kept",
             result[0] == THEW_REPEATED && result[1] == THEW_REPEATED && result[2] == THEW_KEPT);
    set[1].seconds = 99;
    row_said(&s, "another content under the same identifier", THEW_CONFLICT, "/sets/1/record",
             thew_record_sets(s.studio, &the_coach, set, 3, result, s.refusal));

    // what was right once is harmless to send again, even if the kit was renamed since
    kept(&s, thew_db_begin(s.studio->db));
    own(&s, "ida-soft", "ida", "softer", "band", 0, 2, 22);
    kept(&s, thew_db_commit(s.studio->db));
    row_said(&s, "again, after the band was renamed", THEW_DONE_BEFORE, "",
             thew_record_sets(s.studio, &the_coach, set, 1, result, s.refusal));
    rows_end(14);
}

static void corrections(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    take_on(&s, "ida");
    take_on(&s, "ole");
    thew_store_set first = a_set("a", "ida"), correction = a_set("b", "ida"),
                   withdrawal = { .entry = { .record = "c", .person = "ida" } };
    must(&s, record_one(&s, &first));
    correction.entry.replaces = "a";
    correction.seconds = 66;
    must(&s, record_one(&s, &correction));
    row_said(&s, "the correction again", THEW_DONE_BEFORE, "", record_one(&s, &correction));
    correction.entry.record = "b2";
    row_said(&s, "what was corrected already", THEW_CONFLICT, "/sets/0/replaces", record_one(&s, &correction));
    correction.entry.replaces = "zzz";
    row_said(&s, "what is not there", THEW_ABSENT, "/sets/0/replaces", record_one(&s, &correction));
    correction.entry.replaces = "b";
    correction.entry.person = "ole";
    row_said(&s, "somebody else's", THEW_ABSENT, "/sets/0/replaces", record_one(&s, &correction));

    g_autoptr(thew_set_list) now = NULL, history = NULL, gone = NULL, nobody = NULL;
    must(&s, thew_record_read(s.studio, "ida", THEW_NO_DAY, THEW_NO_DAY, false, &now, s.refusal));
    row_near("one is current", 1, now->row->len, 0);
    const thew_set_row *current = &g_array_index(now->row, thew_set_row, 0);
    row_near("the corrected one", 66, current->set->seconds, 0);
    row_text("in words", "soft, mark-3", current->label);
    row_text("its exercise", "Seated row", current->exercise_name);
    row_text("who wrote it", "coach-1", current->set->entry.written_by);

    withdrawal.entry.day = first.entry.day;
    withdrawal.entry.replaces = "b";
    withdrawal.entry.withdrawn = true;
    row_said(&s, "it never was: only who, which and day are said", THEW_DONE, "", record_one(&s, &withdrawal));
    row_said(&s, "said again", THEW_DONE_BEFORE, "", record_one(&s, &withdrawal));
    must(&s, thew_record_read(s.studio, "ida", THEW_NO_DAY, THEW_NO_DAY, false, &gone, s.refusal));
    row_near("none is current", 0, gone->row->len, 0);
    must(&s, thew_record_read(s.studio, "ida", THEW_NO_DAY, THEW_NO_DAY, true, &history, s.refusal));
    row_near("all that was written", 3, history->row->len, 0);
    row_said(&s, "nobody's diary", THEW_ABSENT, "",
             thew_record_read(s.studio, "nobody", THEW_NO_DAY, THEW_NO_DAY, true, &nobody, s.refusal));
    rows_end(20);
}

static void days_and_their_order(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    take_on(&s, "ida");
    static const struct {
        const char *record;
        thew_date day;
        gint64 at_us;
    } row[] = { { "second", { 2026, 3, 30 }, 2000000 },
                { "first", { 2026, 3, 30 }, 1000000 },
                { "paper", { 2026, 3, 30 }, 0 },
                { "newest", { 2026, 3, 31 }, 0 },
                { "oldest", { 2026, 1, 5 }, 0 } };
    for (gsize i = 0; i < G_N_ELEMENTS(row); i++) {
        thew_store_set set = a_set(row[i].record, "ida");
        set.entry.day = row[i].day;
        set.entry.at_us.us = row[i].at_us;
        must(&s, record_one(&s, &set));
    }
    static const struct {
        const char *why;
        thew_day from, until;
        const char *order;
    } ask[] = {
        { "all: newest day first, a day's by its times", THEW_NO_DAY, THEW_NO_DAY, "newest paper first second oldest " },
        { "from a day", TODAY, THEW_NO_DAY, "newest " },
        { "until a day", THEW_NO_DAY, TODAY - 2, "oldest " },
        { "one day", TODAY - 1, TODAY - 1, "paper first second " },
    };
    for (gsize a = 0; a < G_N_ELEMENTS(ask); a++) {
        for (int history = 0; history < 2; history++) {
            g_autoptr(thew_set_list) list = NULL;
            g_autoptr(GString) order = g_string_new(NULL);
            must(&s, thew_record_read(s.studio, "ida", ask[a].from, ask[a].until, history, &list, s.refusal));
            for (guint i = 0; i < list->row->len; i++)
                g_string_append_printf(order, "%s ", g_array_index(list->row, thew_set_row, i).set->entry.record);
            row_text(ask[a].why, ask[a].order, order->str);
        }
    }
    rows_end(8);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_refused),
        cmocka_unit_test(all_or_none_and_again),
        cmocka_unit_test(corrections),
        cmocka_unit_test(days_and_their_order),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
