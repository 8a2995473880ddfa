// What a glance at everybody reads: standings, advice that waits, blocks over a day.
#include <string.h>

#include "tests/store/fixture.h"

static const thew_store_overview *of(const thew_rows *all, const char *person)
{
    for (guint i = 0; i < all->row->len; i++)
        if (strcmp(thew_row(all, thew_store_overview, i)->standing.person, person) == 0)
            return thew_row(all, thew_store_overview, i);
    fail_msg("%s is missing", person);
    return NULL;
}

// Those without a standing too, and what is behind says so.
static void a_glance_at_everybody(void **state)
{
    g_autoptr(thew_db) db = open_store(in_folder(state, "studio.db"));
    fill_studio(db, "s");
    fill_studio(db, "t");
    fill_person(db, "s", "ada");
    fill_person(db, "t", "ada");
    must(db, thew_db_begin(db));
    thew_store_person bo = { .person = "bo", .called = "Bo", .note = "", .made_us = { 1 }, .changed_us = { 1 } };
    must(db, thew_store_person_put(db, "s", &bo));
    bo.person = "cy";
    bo.since_day = (thew_date){ 2026, 1, 1 };
    bo.left_day = (thew_date){ 2026, 1, 2 };
    must(db, thew_store_person_put(db, "s", &bo));
    must(db, thew_db_commit(db));

    g_autoptr(thew_rows) all = NULL, person = NULL;
    must(db, thew_store_person_find(db, "s", "ada", &person));
    must(db, thew_store_overview_all(db, "s", "1.0", &all));
    expect_number("all but those who left", 2, all->row->len);
    expect_text("called", "ada-called", of(all, "ada")->called);
    expect_number("sets", 1, of(all, "ada")->standing.sets);
    expect_number("behind the person's revision", 0, of(all, "ada")->current);
    expect_text("no standing yet", NULL, of(all, "bo")->standing.engine);
    expect_number("and behind", 0, of(all, "bo")->current);

    thew_store_standing standing = of(all, "ada")->standing;
    standing.revision = thew_row(person, thew_store_person, 0)->revision;
    must(db, thew_db_begin(db));
    must(db, thew_store_standing_put(db, "s", &standing));
    must(db, thew_db_commit(db));
    static const struct {
        const char *why, *studio, *engine;
        bool current;
    } row[] = { { "up to date", "s", "1.0", true },
                { "another engine's", "s", "1.1", false },
                { "another studio's", "t", "1.0", false } };
    EACH(i, row)
    {
        g_autoptr(thew_rows) now = NULL;
        must(db, thew_store_overview_all(db, row[i].studio, row[i].engine, &now));
        expect_number(row[i].why, row[i].current, of(now, "ada")->current);
    }
    must(db, thew_db_begin(db));
    must(db, thew_store_standing_drop(db, "s"));
    must(db, thew_db_commit(db));
    g_autoptr(thew_rows) gone = NULL, kept = NULL;
    expect_status("dropped", db, THEW_STORE_NOT_FOUND, thew_store_standing_find(db, "s", "ada", &gone));
    must(db, thew_store_standing_find(db, "t", "ada", &kept));
    expect_end(10);
}

// Open, not accepted, for that day or later.
static void advice_that_waits(void **state)
{
    g_autoptr(thew_db) db = open_store(in_folder(state, "studio.db"));
    fill_studio(db, "s");
    fill_person(db, "s", "ada");
    g_autoptr(thew_rows) rows = NULL;
    must(db, thew_store_advice_find(db, "s", "ada-advice", &rows));
    thew_store_advice advice = *thew_row(rows, thew_store_advice, 0);
    advice.advice = "ada-advice-2";
    advice.became = "open";
    advice.record = NULL;
    advice.became_us.us = advice.accepted_us.us = 0;
    must(db, thew_db_begin(db));
    must(db, thew_store_advice_add(db, "s", &advice));
    must(db, thew_db_commit(db));
    static const struct {
        const char *why;
        thew_date from;
        gint64 accepted_us;
        guint waiting, on;
    } row[] = {
        { "for that day", { 2026, 1, 14 }, 0, 1, 2 },
        { "its day is past, and it is still open", { 2026, 1, 15 }, 0, 0, 1 },
        { "accepted", { 2026, 1, 14 }, 77, 0, 2 },
    };
    EACH(i, row)
    {
        g_autoptr(thew_rows) waiting = NULL, on = NULL;
        must(db, thew_db_begin(db));
        must(db, thew_store_advice_accept(db, "s", "ada-advice-2", (thew_utc){ row[i].accepted_us }));
        must(db, thew_db_commit(db));
        must(db, thew_store_waiting(db, "s", row[i].from, &waiting));
        must(db, thew_store_advice_on(db, "s", "ada", row[i].from, &on));
        expect_number(row[i].why, row[i].waiting, waiting->row->len);
        expect_number(row[i].why, row[i].on, on->row->len);
    }
    must(db, thew_db_begin(db));
    expect_status("none of that name", db, THEW_STORE_NOT_FOUND, thew_store_advice_accept(db, "s", "other", (thew_utc){ 1 }));
    thew_db_rollback(db);
    expect_end(7);
}

// The latest version's days count; those given up do not.
static void blocks_over_a_day(void **state)
{
    g_autoptr(thew_db) db = open_store(in_folder(state, "studio.db"));
    fill_studio(db, "s");
    fill_person(db, "s", "ada");
    thew_store_block block = { .block = "ada-block",
                               .version = 2,
                               .person = "ada",
                               .called = "Winter",
                               .from_day = { 2026, 1, 12 },
                               .until_day = { 2026, 2, 1 },
                               .plan = "{}",
                               .made_us = { 1 },
                               .written_by = "coach" };
    must(db, thew_db_begin(db));
    must(db, thew_store_block_add(db, "s", &block));
    must(db, thew_db_commit(db));
    static const struct {
        const char *why;
        thew_date day;
        guint count;
    } row[] = {
        { "first day", { 2026, 1, 12 }, 1 },
        { "last day", { 2026, 2, 1 }, 1 },
        { "only by version 1", { 2026, 1, 5 }, 0 },
        { "after it", { 2026, 2, 2 }, 0 },
    };
    EACH(i, row)
    {
        g_autoptr(thew_rows) blocks = NULL;
        must(db, thew_store_block_on(db, "s", row[i].day, &blocks));
        expect_number(row[i].why, row[i].count, blocks->row->len);
    }
    block.version = 3;
    block.retired = true;
    must(db, thew_db_begin(db));
    must(db, thew_store_block_add(db, "s", &block));
    must(db, thew_db_commit(db));
    g_autoptr(thew_rows) given_up = NULL;
    must(db, thew_store_block_on(db, "s", row[0].day, &given_up));
    expect_number("given up", 0, given_up->row->len);
    expect_end(5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_glance_at_everybody, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(advice_that_waits, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(blocks_over_a_day, make_folder, remove_folder),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
