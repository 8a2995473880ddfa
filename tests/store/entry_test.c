// Records that are only ever added to: repeats, conflicts, corrections; the same for diary, check-ins and outcome measures.
#include <math.h>

#include "tests/store/fixture.h"

// One record of each of the three kinds, by number, so that one suite serves all.
typedef struct {
    const char *name;
    thew_store_status (*add)(thew_db *db, const thew_store_entry *entry, double value);
    thew_store_status (*current)(thew_db *db, const char *studio, const char *person, thew_date from, thew_date until,
                                 thew_rows **rows);
    thew_store_status (*history)(thew_db *db, const char *studio, const char *person, thew_rows **rows);
} kind;

static thew_store_status add_set(thew_db *db, const thew_store_entry *entry, double value)
{
    return thew_store_diary_add(
        db, "s",
        &(thew_store_set){ .entry = *entry, .exercise = "seated-row", .side = "both", .ended = "failure", .seconds = value });
}

static thew_store_status add_checkin(thew_db *db, const thew_store_entry *entry, double value)
{
    return thew_store_checkin_add(db, "s", &(thew_store_checkin){ .entry = *entry, .room_c = { true, value } });
}

static thew_store_status add_outcome(thew_db *db, const thew_store_entry *entry, double value)
{
    return thew_store_outcome_add(
        db, "s", &(thew_store_outcome){ .entry = *entry, .measure = "timed walk", .value = value, .unit = "s", .side = "both" });
}

static const kind kinds[] = {
    { "diary", add_set, thew_store_diary_current, thew_store_diary_history },
    { "check-ins", add_checkin, thew_store_checkin_current, thew_store_checkin_history },
    { "outcome measures", add_outcome, thew_store_outcome_current, thew_store_outcome_history },
};

static void put_person(thew_db *db, const char *person)
{
    must(db, thew_store_person_put(
                 db, "s",
                 &(thew_store_person){ .person = person, .called = person, .note = "", .made_us = { 1 }, .changed_us = { 1 } }));
}

static thew_db *two_people(const char *path)
{
    thew_db *db = open_store(path);
    must(db, thew_db_begin(db));
    must(db, thew_store_studio_put(db, &(thew_store_studio){ "s", "Invented", "UTC", "en", { 1 } }));
    put_person(db, "ada");
    put_person(db, "bo");
    must(db, thew_db_commit(db));
    return db;
}

// Identifiers in the rows, parted by spaces. Of all three kinds the entry comes first.
static char *records(const thew_rows *rows)
{
    GString *text = g_string_new(NULL);
    guint size = g_array_get_element_size(rows->row);
    for (guint i = 0; i < rows->row->len; i++)
        g_string_append_printf(text, "%s%s", i > 0 ? " " : "",
                               ((const thew_store_entry *)(void *)(rows->row->data + i * size))->record);
    return g_string_free(text, FALSE);
}

static void expect_records(const char *why, thew_db *db, const kind *k, const char *person, const char *current,
                           const char *history)
{
    g_autoptr(thew_rows) now = NULL, ever = NULL;
    must(db, k->current(db, "s", person, (thew_date){ 0 }, (thew_date){ 0 }, &now));
    must(db, k->history(db, "s", person, &ever));
    g_autofree char *obtained = records(now), *obtained_ever = records(ever);
    expect_text(why, current, obtained);
    expect_text(why, history, obtained_ever);
}

static void repeats_conflicts_and_corrections(void **state)
{
    // In order; each on the ones before. current: ada's after it.
    static const struct {
        const char *why, *record, *person, *replaces;
        bool withdrawn;
        int value;
        thew_store_status status;
        const char *current;
    } row[] = {
        { "first", "a", "ada", NULL, false, 10, THEW_STORE_OK, "a" },
        { "sent twice", "a", "ada", NULL, false, 10, THEW_STORE_REPEATED, "a" },
        { "same name, other value", "a", "ada", NULL, false, 11, THEW_STORE_CONFLICT, "a" },
        { "same name, other person", "a", "bo", NULL, false, 10, THEW_STORE_CONFLICT, "a" },
        { "a correction", "b", "ada", "a", false, 12, THEW_STORE_OK, "b" },
        { "the correction sent twice", "b", "ada", "a", false, 12, THEW_STORE_REPEATED, "b" },
        { "what it corrects sent again", "a", "ada", NULL, false, 10, THEW_STORE_REPEATED, "b" },
        { "a correction that no longer corrects", "b", "ada", NULL, false, 12, THEW_STORE_CONFLICT, "b" },
        { "a second correction of the first", "c", "ada", "a", false, 13, THEW_STORE_CONFLICT, "b" },
        { "so of the correction", "c", "ada", "b", false, 13, THEW_STORE_OK, "c" },
        { "corrects what is not there", "d", "ada", "nothing", false, 10, THEW_STORE_NOT_FOUND, "c" },
        { "corrects another person's", "d", "bo", "c", false, 10, THEW_STORE_NOT_FOUND, "c" },
        { "corrects itself", "d", "ada", "d", false, 10, THEW_STORE_NOT_FOUND, "c" },
        { "another one", "e", "ada", NULL, false, 20, THEW_STORE_OK, "c e" },
        { "it never was", "f", "ada", "c", true, 13, THEW_STORE_OK, "e" },
        { "it was after all", "g", "ada", "f", false, 14, THEW_STORE_OK, "e g" },
        { "nobody's", "h", "nobody", NULL, false, 10, THEW_STORE_NOT_FOUND, "e g" },
    };
    for (size_t k = 0; k < G_N_ELEMENTS(kinds); k++) {
        g_autofree char *name = g_strdup_printf("%s.db", kinds[k].name);
        g_autoptr(thew_db) db = two_people(in_folder(state, name));
        EACH(i, row)
        {
            thew_store_entry entry = { .record = row[i].record,
                                       .person = row[i].person,
                                       .day = { 2026, 1, 12 },
                                       .replaces = row[i].replaces,
                                       .withdrawn = row[i].withdrawn,
                                       .written_by = "coach",
                                       .note = "" };
            must(db, thew_db_begin(db));
            expect_status(row[i].why, db, row[i].status, kinds[k].add(db, &entry, row[i].value));
            must(db, thew_db_commit(db)); // these are answers: none of them spoils the transaction
            g_autoptr(thew_rows) now = NULL;
            must(db, kinds[k].current(db, "s", "ada", (thew_date){ 0 }, (thew_date){ 0 }, &now));
            g_autofree char *current = records(now);
            expect_text(row[i].why, row[i].current, current);
        }
        expect_records("at the end", db, &kinds[k], "ada", "e g", "a b c e f g");
        expect_records("nobody wrote of bo", db, &kinds[k], "bo", "", "");
        g_autoptr(thew_rows) ada = NULL;
        must(db, thew_store_person_find(db, "s", "ada", &ada));
        expect_number("a revision for each record that was kept, and the first", 7,
                      (double)thew_row(ada, thew_store_person, 0)->revision);
    }
    expect_end(100);
}

static void the_sentence_says_what_is_in_the_way(void **state)
{
    g_autoptr(thew_db) db = two_people(in_folder(state, "studio.db"));
    thew_store_entry entry = { .record = "a", .person = "ada", .day = { 2026, 1, 12 }, .written_by = "coach", .note = "" };
    must(db, thew_db_begin(db));
    must(db, add_set(db, &entry, 10));
    expect_status("conflict", db, THEW_STORE_CONFLICT, add_set(db, &entry, 11));
    expect_sentence("which record", db, PARTS("studio.db: ", "record a, with another content"));
    entry.record = "b";
    entry.replaces = "a";
    must(db, add_set(db, &entry, 11));
    entry.record = "c";
    expect_status("replaced", db, THEW_STORE_CONFLICT, add_set(db, &entry, 12));
    expect_sentence("by which", db, PARTS("record a is replaced by record b already"));
    entry.replaces = "z";
    expect_status("nothing to replace", db, THEW_STORE_NOT_FOUND, add_set(db, &entry, 12));
    expect_sentence("which", db, PARTS("record z", "record c"));
    must(db, thew_db_commit(db));
    expect_end(7);
}

// The order in which sets were done, whatever the order in which they were sent; days as asked for.
static void in_order_of_day_and_time(void **state)
{
    g_autoptr(thew_db) db = two_people(in_folder(state, "studio.db"));
    static const struct {
        const char *record;
        thew_date day;
        gint64 at_us;
    } sent[] = {
        { "late", { 2026, 3, 2 }, 900 },  { "early", { 2026, 3, 2 }, 100 },  { "paper-1", { 2026, 3, 2 }, 0 },
        { "paper-2", { 2026, 3, 2 }, 0 }, { "before", { 2026, 3, 1 }, 950 }, { "after", { 2026, 3, 10 }, 1 },
    };
    must(db, thew_db_begin(db));
    EACH(i, sent)
    {
        thew_store_entry entry = { .record = sent[i].record,
                                   .person = "ada",
                                   .day = sent[i].day,
                                   .at_us = { sent[i].at_us },
                                   .written_by = "coach",
                                   .note = "" };
        must(db, add_set(db, &entry, 10));
    }
    must(db, thew_db_commit(db));
    static const struct {
        const char *why;
        thew_date from, until;
        const char *expected;
    } row[] = {
        { "all", { 0 }, { 0 }, "before paper-1 paper-2 early late after" },
        { "from a day on", { 2026, 3, 2 }, { 0 }, "paper-1 paper-2 early late after" },
        { "until a day", { 0 }, { 2026, 3, 2 }, "before paper-1 paper-2 early late" },
        { "one day", { 2026, 3, 10 }, { 2026, 3, 10 }, "after" },
        { "none", { 2026, 3, 3 }, { 2026, 3, 9 }, "" },
    };
    EACH(i, row)
    {
        g_autoptr(thew_rows) rows = NULL;
        must(db, thew_store_diary_current(db, "s", "ada", row[i].from, row[i].until, &rows));
        g_autofree char *obtained = records(rows);
        expect_text(row[i].why, row[i].expected, obtained);
    }
    expect_end(5);
}

// What breaks a rule of the table spoils the whole transaction, and the commit says why.
static void rules_of_the_tables(void **state)
{
    const char *path = in_folder(state, "studio.db");
    g_autoptr(thew_db) db = two_people(path);
    thew_store_entry entry = { .record = "a", .person = "ada", .day = { 2026, 1, 12 }, .written_by = "coach", .note = "" };
    thew_maybe_real none = { false, 0 }, eleven = { true, 11 };
    const struct {
        const char *why;
        thew_store_set set;
        const char *part;
    } row[] = {
        { "an ending that is none",
          { entry, NULL, "row", NULL, "both", NULL, NULL, "tired", 10, none, none, NULL, { 0 } },
          "ended_is_known" },
        { "a side that is none",
          { entry, NULL, "row", NULL, "middle", NULL, NULL, "failure", 10, none, none, NULL, { 0 } },
          "side_is_known" },
        { "before it began",
          { entry, NULL, "row", NULL, "both", NULL, NULL, "failure", -1, none, none, NULL, { 0 } },
          "seconds_are_none_or_more" },
        { "harder than hardest",
          { entry, NULL, "row", NULL, "both", NULL, NULL, "failure", 10, none, eleven, NULL, { 0 } },
          "exertion_is_0_to_10" },
        { "no exercise",
          { entry, NULL, NULL, NULL, "both", NULL, NULL, "failure", 10, none, none, NULL, { 0 } },
          "diary.exercise" },
        { "no number",
          { entry, NULL, "row", NULL, "both", NULL, NULL, "failure", (double)NAN, none, none, NULL, { 0 } },
          "must be a number" },
        { "no text",
          { entry, NULL, "r\xffow", NULL, "both", NULL, NULL, "failure", 10, none, none, NULL, { 0 } },
          "must be UTF-8" },
        { "a run that is not there",
          { entry, "run-9", "row", NULL, "both", NULL, NULL, "failure", 10, none, none, NULL, { 0 } },
          "diary.add: a reference leads nowhere; diary refers to" },
    };
    EACH(i, row)
    {
        must(db, thew_db_begin(db));
        put_person(db, "cy"); // goes with the rest
        expect_status(row[i].why, db, THEW_STORE_REFUSED, thew_store_diary_add(db, "s", &row[i].set));
        expect_sentence(row[i].why, db, PARTS(row[i].part));
        put_person(db, "di"); // so does what comes after it
        expect_status(row[i].why, db, THEW_STORE_REFUSED, thew_db_commit(db));
        expect_sentence(row[i].why, db, PARTS(row[i].part));
        expect_number(row[i].why, 2, (double)look_number(path, "SELECT COUNT(*) FROM person"));
        expect_number(row[i].why, 0, (double)look_number(path, "SELECT COUNT(*) FROM diary"));
    }
    // An entry withdrawn that replaces nothing.
    entry.withdrawn = true;
    must(db, thew_db_begin(db));
    expect_status("withdraws nothing", db, THEW_STORE_REFUSED, add_set(db, &entry, 10));
    expect_sentence("withdraws nothing", db, PARTS("withdrawn_replaces_something"));
    thew_db_rollback(db);
    expect_end(40);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(repeats_conflicts_and_corrections, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(the_sentence_says_what_is_in_the_way, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(in_order_of_day_and_time, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(rules_of_the_tables, make_folder, remove_folder),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
