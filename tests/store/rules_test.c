// What the subjects promise beyond keeping rows: once-only links, sessions that end, labels, versions, codes, places, revisions.
#include "tests/store/fixture.h"

static thew_db *one_studio(void **state)
{
    thew_db *db = open_store(in_folder(state, "studio.db"));
    fill_studio(db, "s");
    fill_person(db, "s", "ada");
    must(db, thew_db_begin(db)); // each test goes on in it
    return db;
}

static void links_work_once_and_until_they_end(void **state)
{
    g_autoptr(thew_db) db = one_studio(state);
    static const struct {
        const char *why, *link;
        gint64 now;
        thew_store_status status;
    } row[] = {
        { "no such link", "other-digest", 10, THEW_STORE_NOT_FOUND },
        { "at its end", "link-digest", 9000002, THEW_STORE_NOT_FOUND },
        { "just before", "link-digest", 9000001, THEW_STORE_OK },
        { "a second time", "link-digest", 9000001, THEW_STORE_NOT_FOUND },
    };
    EACH(i, row)
    expect_status(row[i].why, db, row[i].status, thew_store_invitation_use(db, "s", row[i].link, (thew_utc){ row[i].now }));
    g_autoptr(thew_rows) link = NULL;
    must(db, thew_store_invitation_find(db, "s", "link-digest", &link));
    expect_number("when it was used", 9000001, (double)thew_row(link, thew_store_invitation, 0)->used_us.us);
    expect_end(5);
}

static bool has_session(thew_db *db, const char *session, gint64 now)
{
    g_autoptr(thew_rows) rows = NULL;
    return thew_store_session_find(db, "s", session, (thew_utc){ now }, &rows) == THEW_STORE_OK;
}

static void sessions_end(void **state)
{
    g_autoptr(thew_db) db = one_studio(state);
    expect_number("before its end", 1, has_session(db, "token-digest", 9000000));
    expect_number("at its end", 0, has_session(db, "token-digest", 9000001));
    must(db, thew_store_session_seen(db, "s", "token-digest", (thew_utc){ 9000000 }, (thew_utc){ 9500000 }));
    expect_number("seen in time it goes on", 1, has_session(db, "token-digest", 9000001));
    expect_status("seen too late", db, THEW_STORE_NOT_FOUND,
                  thew_store_session_seen(db, "s", "token-digest", (thew_utc){ 9500000 }, (thew_utc){ 9900000 }));
    must(db, thew_store_session_sweep(db, "s", (thew_utc){ 9000003 }));
    expect_number("ended ones are swept", 0, has_session(db, "ada-session", 1));
    expect_number("others not", 1, has_session(db, "token-digest", 1));
    must(db, thew_store_session_end(db, "s", "token-digest"));
    expect_number("ended", 0, has_session(db, "token-digest", 1));

    thew_store_session again = { "again", "coach", "desk", { 1 }, { 2 }, { 9000001 } };
    must(db, thew_store_session_add(db, "s", &again));
    must(db, thew_store_device_remove(db, "s", "desk"));
    expect_number("with its device", 0, has_session(db, "again", 1));
    again.device = NULL;
    must(db, thew_store_session_add(db, "s", &again));
    must(db, thew_store_session_end_all(db, "s", "coach"));
    expect_number("with all of its account", 0, has_session(db, "again", 1));
    expect_status("no such device", db, THEW_STORE_NOT_FOUND, thew_store_device_remove(db, "s", "desk"));
    expect_end(10);
}

static void accounts(void **state)
{
    g_autoptr(thew_db) db = one_studio(state);
    g_autoptr(thew_rows) coach = NULL, sight = NULL, nobody = NULL;
    must(db, thew_store_account_by_login(db, "s", "coach@example.org", &coach));
    expect_text("found by login", "coach", thew_row(coach, thew_store_account, 0)->account);
    expect_status("another's login", db, THEW_STORE_NOT_FOUND, thew_store_account_by_login(db, "t", "coach@example.org", &nobody));
    thew_store_account changed = *thew_row(coach, thew_store_account, 0);
    changed.called = "Coach";
    changed.made_us.us = 77;
    must(db, thew_store_account_put(db, "s", &changed));
    g_autoptr(thew_rows) now = NULL;
    must(db, thew_store_account_find(db, "s", "coach", &now));
    expect_text("changed", "Coach", thew_row(now, thew_store_account, 0)->called);
    expect_number("made when it was made", 1002, (double)thew_row(now, thew_store_account, 0)->made_us.us);

    must(db, thew_store_sight_of(db, "s", "helper", &sight));
    expect_number("whom a helper may see", 1, sight->row->len);
    must(db, thew_store_sight_end(db, "s", "helper", "ada"));
    expect_status("ended before", db, THEW_STORE_NOT_FOUND, thew_store_sight_end(db, "s", "helper", "ada"));
    must(db, thew_store_account_remove(db, "s", "ada-account"));
    g_autoptr(thew_rows) phone = NULL;
    expect_status("its phone goes with it", db, THEW_STORE_NOT_FOUND, thew_store_device_find(db, "s", "ada-phone", &phone));
    expect_status("removed before", db, THEW_STORE_NOT_FOUND, thew_store_account_remove(db, "s", "ada-account"));
    changed.account = "second";
    expect_status("a login is one account's", db, THEW_STORE_REFUSED, thew_store_account_put(db, "s", &changed));
    expect_sentence("which rule", db, PARTS("account.put", "account.login"));
    expect_end(9);
}

static void limits_and_answers(void **state)
{
    g_autoptr(thew_db) db = one_studio(state);
    must(db, thew_store_limit_lift(db, "s", "ada", "movement", "sit-to-stand"));
    expect_status("lifted before", db, THEW_STORE_NOT_FOUND, thew_store_limit_lift(db, "s", "ada", "movement", "sit-to-stand"));
    static const struct {
        const char *why;
        thew_store_answer answer;
        thew_store_status status;
    } row[] = {
        { "the same again", { "fell-past-year", { 2101 }, "yes", "twice", "coach" }, THEW_STORE_REPEATED },
        { "at one instant two answers", { "fell-past-year", { 2101 }, "no", "", "coach" }, THEW_STORE_CONFLICT },
        { "a later answer", { "fell-past-year", { 2201 }, "no", "", "ada-account" }, THEW_STORE_OK },
        { "another question", { "latex", { 2150 }, "yes", "", "coach" }, THEW_STORE_OK },
    };
    EACH(i, row)
    expect_status(row[i].why, db, row[i].status, thew_store_answer_add(db, "s", "ada", &row[i].answer));
    g_autoptr(thew_rows) latest = NULL, all = NULL;
    must(db, thew_store_answer_latest(db, "s", "ada", &latest));
    must(db, thew_store_answer_all(db, "s", "ada", &all));
    expect_number("one for each question", 2, latest->row->len);
    expect_number("none is lost", 3, all->row->len);
    expect_text("the latest holds", "no", thew_row(latest, thew_store_answer, 0)->answer);
    must(db, thew_store_choice_replace(db, "s", "ada", "goal", PARTS("stairs")));
    g_autoptr(thew_rows) choice = NULL;
    must(db, thew_store_choice_all(db, "s", "ada", &choice));
    expect_number("one list replaced, the other not", 2, choice->row->len);
    expect_text("by this", "stairs", thew_row(choice, thew_store_choice, 1)->what);
    expect_end(10);
}

static void kit_labels_and_readings(void **state)
{
    g_autoptr(thew_db) db = one_studio(state);
    thew_store_reading reading = { "ada-reading", "ada-green", 1.8, 21.5, { 2026, 1, 5 }, "luggage scale", { 2103 }, NULL };
    expect_status("the same reading", db, THEW_STORE_REPEATED, thew_store_reading_add(db, "s", &reading));
    reading.force_n = 22;
    expect_status("another of its name", db, THEW_STORE_CONFLICT, thew_store_reading_add(db, "s", &reading));
    reading.reading = "worn";
    reading.measured_day = (thew_date){ 2026, 6, 1 };
    must(db, thew_store_reading_add(db, "s", &reading));
    reading.reading = "of nothing";
    reading.item = "blue";
    expect_status("of no item", db, THEW_STORE_NOT_FOUND, thew_store_reading_add(db, "s", &reading));
    g_autoptr(thew_rows) readings = NULL;
    must(db, thew_store_reading_of(db, "s", "ada-green", &readings));
    expect_number("over time", 2, readings->row->len);
    expect_text("oldest first", "worn", thew_row(readings, thew_store_reading, 1)->reading);

    thew_store_item second = { .item = "second", .person = "ada", .label = "green", .kind = "band", .note = "", .made_us = { 1 } };
    g_autoptr(thew_rows) green = NULL;
    must(db, thew_store_item_find(db, "s", "ada-green", &green));
    thew_store_item torn = *thew_row(green, thew_store_item, 0);
    torn.retired_day = (thew_date){ 2026, 7, 1 };
    must(db, thew_store_item_put(db, "s", &torn));
    must(db, thew_store_item_put(db, "s", &second)); // the label is free again
    second.item = "third";
    expect_status("a label in use", db, THEW_STORE_REFUSED, thew_store_item_put(db, "s", &second));
    expect_sentence("which rule", db, PARTS("kit_item.put", "kit_item.label"));
    expect_end(8);
}

static double revision(thew_db *db, const char *person)
{
    g_autoptr(thew_rows) rows = NULL;
    must(db, thew_store_person_find(db, "s", person, &rows));
    return (double)thew_row(rows, thew_store_person, 0)->revision;
}

// Whatever an estimate may rest on, when written, makes the belief before it stale; nothing else does.
static void what_is_written_makes_beliefs_stale(void **state)
{
    g_autoptr(thew_db) db = one_studio(state);
    must(db, thew_db_commit(db));
    fill_person(db, "s", "bo");
    must(db, thew_db_begin(db));
    double ada = revision(db, "ada"), bo = revision(db, "bo");
    g_autoptr(thew_rows) row = NULL, stale = NULL;
    must(db, thew_store_person_find(db, "s", "ada", &row));
    must(db, thew_store_person_put(db, "s", thew_row(row, thew_store_person, 0)));
    expect_number("the person", ++ada, revision(db, "ada"));
    char record[40];
    thew_store_set set = invented_set("ada", record, 1);
    must(db, thew_store_diary_add(db, "s", &set));
    expect_number("a set", ++ada, revision(db, "ada"));
    expect_status("again", db, THEW_STORE_REPEATED, thew_store_diary_add(db, "s", &set));
    expect_number("a repeat changes nothing", ada, revision(db, "ada"));
    must(db, thew_store_reading_add(db, "s", &(thew_store_reading){ "r2", "ada-green", 2, 25, { 0 }, "", { 1 }, NULL }));
    expect_number("a reading of their own band", ++ada, revision(db, "ada"));
    expect_number("says nothing of others", bo, revision(db, "bo"));
    must(db, thew_store_item_put(
                 db, "s",
                 &(thew_store_item){ .item = "shared-3kg", .label = "3 kg", .kind = "dumbbell", .note = "", .made_us = { 1 } }));
    expect_number("everybody's dumbbell", ++ada, revision(db, "ada"));
    expect_number("everybody's dumbbell", ++bo, revision(db, "bo"));

    must(db, thew_store_belief_put(db, "s", &(thew_store_belief){ "ada", "1.0", (gint64)ada, { 1 }, { "x", 1 } }));
    must(db, thew_store_belief_stale(db, "s", "1.0", &stale));
    expect_number("one of two stands", 1, stale->row->len);
    expect_text("the other is stale", "bo", thew_row(stale, thew_store_stale, 0)->person);
    g_autoptr(thew_rows) stale_too = NULL;
    must(db, thew_store_belief_stale(db, "s", "1.1", &stale_too));
    expect_number("of another engine none stands", 2, stale_too->row->len);
    expect_end(11);
}

static void versions_have_no_gaps(void **state)
{
    g_autoptr(thew_db) db = one_studio(state);
    thew_store_class class = { "monday", 1, "Monday", 45.5, "{\"sets\": []}", false, { 1009 }, "coach" };
    static const struct {
        const char *why, *plan;
        int version;
        thew_store_status status;
    } row[] = {
        { "the same again", "{\"sets\": []}", 1, THEW_STORE_REPEATED },
        { "never changed in place", "{\"sets\": [1]}", 1, THEW_STORE_CONFLICT },
        { "a gap", "{\"sets\": [1]}", 3, THEW_STORE_CONFLICT },
        { "the next", "{\"sets\": [1]}", 2, THEW_STORE_OK },
        { "none before the first", "{\"sets\": [1]}", 0, THEW_STORE_CONFLICT },
    };
    EACH(i, row)
    {
        class.version = row[i].version;
        class.plan = row[i].plan;
        expect_status(row[i].why, db, row[i].status, thew_store_class_add(db, "s", &class));
    }
    g_autoptr(thew_rows) latest = NULL, first = NULL, none = NULL;
    must(db, thew_store_class_latest(db, "s", &latest));
    expect_number("one class", 1, latest->row->len);
    expect_number("its latest", 2, thew_row(latest, thew_store_class, 0)->version);
    must(db, thew_store_class_find(db, "s", "monday", 1, &first));
    expect_text("the first is as it was", "{\"sets\": []}", thew_row(first, thew_store_class, 0)->plan);
    expect_status("none such", db, THEW_STORE_NOT_FOUND, thew_store_class_find(db, "s", "monday", 7, &none));
    expect_sentence("which", db, PARTS("class monday, version 7"));

    must(db, thew_store_addition_add(db, "s", &(thew_store_addition){ "movements/own.json", 2, NULL, { 1 }, "coach" }));
    g_autoptr(thew_rows) addition = NULL, block = NULL;
    must(db, thew_store_addition_latest(db, "s", &addition));
    expect_text("withdrawn", NULL, thew_row(addition, thew_store_addition, 0)->json);
    must(db, thew_store_block_versions(db, "s", "ada-block", &block));
    thew_store_block next = *thew_row(block, thew_store_block, 0);
    next.version = 2;
    next.person = "bo";
    expect_status("a block changes its weeks, not its person", db, THEW_STORE_CONFLICT, thew_store_block_add(db, "s", &next));
    next.person = "ada";
    next.until_day = (thew_date){ 2026, 1, 1 };
    expect_status("a block that ends before it begins", db, THEW_STORE_REFUSED, thew_store_block_add(db, "s", &next));
    expect_sentence("which rule", db, PARTS("block_ends_after_it_begins"));
    expect_end(14);
}

static void runs_and_their_log(void **state)
{
    g_autoptr(thew_db) db = one_studio(state);
    g_autoptr(thew_rows) run = NULL, ended = NULL, after = NULL;
    must(db, thew_store_run_by_code(db, "s", "K7QF", (thew_utc){ 5000001 }, &run));
    expect_status("a code that has ended", db, THEW_STORE_NOT_FOUND,
                  thew_store_run_by_code(db, "s", "K7QF", (thew_utc){ 5000002 }, &ended));
    expect_status("a guess", db, THEW_STORE_NOT_FOUND, thew_store_run_by_code(db, "s", "AAAA", (thew_utc){ 5000001 }, &ended));
    thew_store_event event = { "event-2", { 5000004 }, "pause", NULL, "coach", 0, { 0 }, NULL };
    int place;
    must(db, thew_store_event_add(db, "s", "run-1", &event, &place));
    expect_number("after the first", 2, place);
    event.event = "event-1";
    expect_status("another of its name", db, THEW_STORE_CONFLICT, thew_store_event_add(db, "s", "run-1", &event, NULL));
    event = (thew_store_event){ "event-1", { 5000003 }, "start", "{\"lead_s\": 5}", "coach", 0, { 0 }, NULL };
    expect_status("the same again", db, THEW_STORE_REPEATED, thew_store_event_add(db, "s", "run-1", &event, &place));
    expect_number("in its place", 1, place);
    must(db, thew_store_event_after(db, "s", "run-1", 1, &after));
    expect_number("what somebody who saw the first has missed", 1, after->row->len);
    expect_text("that", "event-2", thew_row(after, thew_store_event, 0)->event);
    g_autoptr(thew_rows) sets = NULL;
    must(db, thew_store_diary_of_run(db, "s", "run-1", &sets));
    expect_number("its results, corrected ones once", 1, sets->row->len);
    must(db, thew_store_run_person_leave(db, "s", "run-1", "ada"));
    expect_status("left before", db, THEW_STORE_NOT_FOUND, thew_store_run_person_leave(db, "s", "run-1", "ada"));
    expect_status("a run of no class", db, THEW_STORE_REFUSED,
                  thew_store_run_put(db, "s", &(thew_store_run){ "run-2", "tuesday", 1, { 1 }, NULL, { 0 }, "", { 1 }, "coach" }));
    expect_sentence("which reference", db, PARTS("run refers to class"));
    expect_end(11);
}

static void advice_and_what_became_of_it(void **state)
{
    g_autoptr(thew_db) db = one_studio(state);
    g_autoptr(thew_rows) rows = NULL, open = NULL, taken = NULL;
    must(db, thew_store_advice_find(db, "s", "ada-advice", &rows));
    thew_store_advice advice = *thew_row(rows, thew_store_advice, 0);
    advice.became = "open";
    advice.record = NULL;
    advice.became_us.us = 0;
    expect_status("told again, whatever became of it", db, THEW_STORE_REPEATED, thew_store_advice_add(db, "s", &advice));
    advice.p_window = .56;
    expect_status("odds are told once", db, THEW_STORE_CONFLICT, thew_store_advice_add(db, "s", &advice));
    advice.advice = "ada-advice-2";
    advice.p_window = .55;
    must(db, thew_store_advice_add(db, "s", &advice));
    must(db, thew_store_advice_all(db, "s", "open", &open));
    must(db, thew_store_advice_all(db, "s", "taken", &taken));
    expect_number("one waits", 1, open->row->len);
    expect_number("one was taken", 1, taken->row->len);
    expect_status("none such", db, THEW_STORE_NOT_FOUND,
                  thew_store_advice_settle(db, "s", "other", "lapsed", (thew_utc){ 1 }, NULL));
    expect_status("taken, but what was done?", db, THEW_STORE_REFUSED,
                  thew_store_advice_settle(db, "s", "ada-advice-2", "taken", (thew_utc){ 1 }, NULL));
    expect_sentence("which rule", db, PARTS("taken_names_its_set"));
    expect_end(7);
}

static void access_newest_first(void **state)
{
    g_autoptr(thew_db) db = one_studio(state);
    for (int i = 0; i < 5; i++) {
        char entry[] = { (char)('a' + i), '\0' };
        must(db,
             thew_store_access_add(db, "s", &(thew_store_access){ entry, { 4000 + i }, NULL, i % 2 ? "ada" : NULL, "log in", "" }));
    }
    g_autoptr(thew_rows) all = NULL, hers = NULL;
    must(db, thew_store_access_all(db, "s", 3, &all));
    must(db, thew_store_access_of(db, "s", "ada", 10, &hers));
    expect_number("as many as asked for", 3, all->row->len);
    expect_text("the newest first", "e", thew_row(all, thew_store_access, 0)->entry);
    expect_number("hers", 3, hers->row->len);
    expect_text("the oldest last", "ada-access", thew_row(hers, thew_store_access, 2)->entry);
    expect_end(4);
}

#define TEST(f) cmocka_unit_test_setup_teardown(f, make_folder, remove_folder)
int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(links_work_once_and_until_they_end),
        TEST(sessions_end),
        TEST(accounts),
        TEST(limits_and_answers),
        TEST(kit_labels_and_readings),
        TEST(what_is_written_makes_beliefs_stale),
        TEST(versions_have_no_gaps),
        TEST(runs_and_their_log),
        TEST(advice_and_what_became_of_it),
        TEST(access_newest_first),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
