// Every subject's round trip: what is written stands in the right columns, and comes back as it was.
#include <string.h>

#include "tests/store/fixture.h"

// What each member is kept as, read by SQLite itself: a statement that mixes up two columns shows here. Values: fixture.c.
static void each_member_stands_in_its_column(void **state)
{
    const char *path = in_folder(state, "studio.db");
    thew_db *db = open_store(path);
    fill_studio(db, "s");
    fill_person(db, "s", "ada");
    thew_db_close(db);
    static const struct {
        const char *sql, *expected;
    } row[] = {
        { "SELECT studio, called, zone, language, made_us FROM studio", "s|Invented Studio|Europe/Vienna|en|1001\n" },
        { "SELECT studio, setting, value FROM studio_setting", "s|heat_limit_c|27\n" },
        { "SELECT studio, person, called, sex, birth_year, height_m, mass_kg, condition FROM person",
          "s|ada|ada-called|female|1961|1.68|64.5|ms\n" },
        { "SELECT endpoint, weaker_side, heat_sensitive, note, since_day, left_day, made_us, changed_us FROM person",
          "reserve|left|1|<b>likes mornings</b>|2025-11-03|(null)|2100|2110\n" },
        { "SELECT person, list, place, what FROM person_list ORDER BY list, place",
          "ada|caution|0|latex\nada|goal|0|standing-up\nada|goal|1|reaching-overhead\n" },
        { "SELECT person, kind, what, reason, until_day FROM person_limit", "ada|movement|sit-to-stand|hip in June|2026-09-01\n" },
        { "SELECT person, question, answered_us, answer, note, written_by FROM screening_answer",
          "ada|fell-past-year|2101|yes|twice|coach\n" },
        { "SELECT account, login, password_hash, role, called, person, made_us, closed_us FROM account ORDER BY account",
          "ada-account|ada-login|(null)|participant|ada|ada|2001|(null)\n"
          "coach|coach@example.org|$argon2id$v=19$m=65536,t=2,p=1$c2FsdA$aGFzaA|coach|The Coach|(null)|1002|(null)\n"
          "helper|helper@example.org|$argon2id$h|helper|A Helper|(null)|2002|2003\n" },
        { "SELECT account, person, until_day FROM account_person", "helper|ada|2027-01-31\n" },
        { "SELECT invitation, account, made_us, ends_us, used_us FROM invitation", "link-digest|coach|1007|9000002|(null)\n" },
        { "SELECT device, account, person, called, made_us, seen_us FROM device ORDER BY device",
          "ada-phone|ada-account|ada|Phone|2004|2005\ndesk|coach|(null)|Desk|1003|1004\n" },
        { "SELECT session, account, device, made_us, seen_us, ends_us FROM session ORDER BY session",
          "ada-session|ada-account|ada-phone|2006|2007|9000003\ntoken-digest|coach|desk|1005|1006|9000001\n" },
        { "SELECT item, person, label, kind, mass_kg, rest_length_m, step, note, made_us, retired_day FROM kit_item ORDER BY item",
          "ada-green|ada|green|band|(null)|1.2|3.0|long one|2102|(null)\nshared-2kg|(null)|2 "
          "kg|dumbbell|2.0|(null)|(null)||1011|(null)\n" },
        { "SELECT reading, item, length_m, force_n, measured_day, note, made_us FROM kit_reading",
          "ada-reading|ada-green|1.8|21.5|2026-01-05|luggage scale|2103\n" },
        { "SELECT name, version, json, made_us, written_by FROM addition", "movements/own.json|1|{\"own\": 1}|1008|coach\n" },
        { "SELECT class, version, called, minutes, plan, retired, made_us, written_by FROM class",
          "monday|1|Monday|45.5|{\"sets\": []}|0|1009|coach\n" },
        { "SELECT run, class, version, planned_us, code, code_ends_us, note, made_us, written_by FROM run",
          "run-1|monday|1|5000001|K7QF|5000002|outdoors|1010|coach\n" },
        { "SELECT run, person, fit, joined_us FROM run_person", "run-1|ada|{\"row\": \"green\"}|3005\n" },
        { "SELECT run, event, at_us, kind, detail, written_by, place FROM run_event",
          "run-1|event-1|5000003|start|{\"lead_s\": 5}|coach|1\n" },
        { "SELECT block, version, person, called, from_day, until_day, plan, retired, made_us, written_by FROM block",
          "ada-block|1|ada|Winter|2026-01-05|2026-02-28|{\"weeks\": 8}|0|2104|coach\n" },
        { "SELECT record, person, day, at_us, replaces, withdrawn, written_by, device, note FROM diary ORDER BY record",
          "ada-set-1|ada|2026-01-12|3001|(null)|0|coach|desk|\nada-set-2|ada|2026-01-12|3001|ada-set-1|0|coach|desk|it was the "
          "reserve\n" },
        { "SELECT run, exercise, variant, side, implement, setting, ended, seconds, reserve_s, exertion, reengaged FROM diary "
          "WHERE replaces IS NOT NULL",
          "run-1|seated-row|seated-row-towel|left|green|mark-3|reserve|71.5|6.0|8.5|[[75, 80]]\n" },
        { "SELECT record, room_c, humidity_percent, heat_index_c, fatigue, sleep, readiness, answers, verdict FROM checkin",
          "ada-checkin|24.5|40.0|24.1|3.0|7.0|-0.05|{\"new\": false}|go\n" },
        { "SELECT record, measure, value, unit, side, practice, aid FROM outcome",
          "ada-outcome|five-times sit-to-stand|14.2|s|both|1|stick\n" },
        { "SELECT advice, person, day, exercise, variant, side, implement, setting, label, demand FROM advice",
          "ada-advice|ada|2026-01-14|seated-row|seated-row-towel|left|green|mark-4|green, mark-4|0.41\n" },
        { "SELECT p_floor, p_early, p_window, p_beyond, p10_s, p50_s, p90_s, goal_s, reason, engine, made_us FROM advice",
          "0.02|0.18|0.55|0.25|48.0|74.0|Inf|72.5|up|1.0|3002\n" },
        { "SELECT became, became_us, record, accepted_us FROM advice", "taken|3003|ada-set-2|3008\n" },
        { "SELECT person, engine, revision, sets, first_day, last_day, last_sets, days, declined, symptom_day, symptom_exercise "
          "FROM standing",
          "ada|1.0|1|1|2026-01-12|2026-01-13|2|3|1|2026-01-14|seated-row\n" },
        { "SELECT unrested_day, unrested_exercise, used_up_exercise, used_up_light, nothing_fits, earliest_day, screening, items, "
          "asked_day FROM standing",
          "2026-01-15|seated-curl|seated-march|1|step-up|2026-01-16|with_care|4|2026-01-17\n" },
        { "SELECT override, advice, person, variant, implement, setting, label, demand, reason, made_us, written_by FROM "
          "override_reason",
          "ada-override|ada-advice|ada|seated-row|green|mark-2|green, mark-2|0.36|slept badly|3004|coach\n" },
        { "SELECT person, engine, revision, made_us, hex(posterior) FROM belief", "ada|1.0|9|3006|000102706F73746572696F72\n" },
        { "SELECT entry, at_us, account, person, action, what FROM access_log", "ada-access|3007|coach|ada|read|diary\n" },
    };
    EACH(i, row)
    {
        g_autofree char *obtained = look(path, row[i].sql);
        expect_text(row[i].sql, row[i].expected, obtained);
    }
    expect_end(32);
}

// --- everything read from one store and written into another makes the same store

typedef struct {
    thew_db *from, *to;
} two;

#define COPY(two, rows, type, call)                                                                                                \
    for (guint i_ = 0; i_ < (rows)->row->len; i_++) {                                                                              \
        const type *row = thew_row(rows, type, i_);                                                                                \
        must((two)->to, call);                                                                                                     \
    }
#define READ(two, call) must((two)->from, call)

static void copy_studio(const two *t)
{
    g_autoptr(thew_rows) studio = NULL, setting = NULL, addition = NULL, class = NULL;
    READ(t, thew_store_studio_find(t->from, "s", &studio));
    COPY(t, studio, thew_store_studio, thew_store_studio_put(t->to, row));
    READ(t, thew_store_setting_all(t->from, "s", &setting));
    COPY(t, setting, thew_store_setting, thew_store_setting_put(t->to, "s", row));
    READ(t, thew_store_addition_versions(t->from, "s", "movements/own.json", &addition));
    COPY(t, addition, thew_store_addition, thew_store_addition_add(t->to, "s", row));
    READ(t, thew_store_class_versions(t->from, "s", "monday", &class));
    COPY(t, class, thew_store_class, thew_store_class_add(t->to, "s", row));
}

static void copy_people(const two *t)
{
    g_autoptr(thew_rows) person = NULL, choice = NULL, limit = NULL, answer = NULL;
    READ(t, thew_store_person_all(t->from, "s", &person));
    COPY(t, person, thew_store_person, thew_store_person_put(t->to, "s", row));
    READ(t, thew_store_choice_all(t->from, "s", "ada", &choice));
    const char *goal[8] = { NULL }, *caution[8] = { NULL };
    int goals = 0, cautions = 0;
    for (guint i = 0; i < choice->row->len; i++) {
        const thew_store_choice *row = thew_row(choice, thew_store_choice, i);
        if (strcmp(row->list, "goal") == 0)
            goal[goals++] = row->what;
        else
            caution[cautions++] = row->what;
    }
    must(t->to, thew_store_choice_replace(t->to, "s", "ada", "goal", goal));
    must(t->to, thew_store_choice_replace(t->to, "s", "ada", "caution", caution));
    READ(t, thew_store_limit_all(t->from, "s", "ada", &limit));
    COPY(t, limit, thew_store_limit, thew_store_limit_put(t->to, "s", "ada", row));
    READ(t, thew_store_answer_all(t->from, "s", "ada", &answer));
    COPY(t, answer, thew_store_answer, thew_store_answer_add(t->to, "s", "ada", row));
}

static void copy_ways_in(const two *t)
{
    g_autoptr(thew_rows) account = NULL, sight = NULL, device = NULL, session = NULL, session_2 = NULL, invitation = NULL;
    READ(t, thew_store_account_all(t->from, "s", &account));
    COPY(t, account, thew_store_account, thew_store_account_put(t->to, "s", row));
    READ(t, thew_store_sight_on(t->from, "s", "ada", &sight));
    COPY(t, sight, thew_store_sight, thew_store_sight_put(t->to, "s", row));
    READ(t, thew_store_device_all(t->from, "s", &device));
    COPY(t, device, thew_store_device, thew_store_device_put(t->to, "s", row));
    READ(t, thew_store_session_find(t->from, "s", "token-digest", (thew_utc){ 1 }, &session));
    COPY(t, session, thew_store_session, thew_store_session_add(t->to, "s", row));
    READ(t, thew_store_session_find(t->from, "s", "ada-session", (thew_utc){ 1 }, &session_2));
    COPY(t, session_2, thew_store_session, thew_store_session_add(t->to, "s", row));
    READ(t, thew_store_invitation_find(t->from, "s", "link-digest", &invitation));
    COPY(t, invitation, thew_store_invitation, thew_store_invitation_add(t->to, "s", row));
}

static void copy_kit_and_runs(const two *t)
{
    g_autoptr(thew_rows) item = NULL, reading = NULL, run = NULL, event = NULL, taking_part = NULL, block = NULL;
    READ(t, thew_store_item_of(t->from, "s", "ada", &item));
    COPY(t, item, thew_store_item, thew_store_item_put(t->to, "s", row));
    READ(t, thew_store_reading_of_person(t->from, "s", "ada", &reading));
    COPY(t, reading, thew_store_reading, thew_store_reading_add(t->to, "s", row));
    READ(t, thew_store_run_between(t->from, "s", (thew_utc){ 5000001 }, (thew_utc){ 5000002 }, &run));
    COPY(t, run, thew_store_run, thew_store_run_put(t->to, "s", row));
    READ(t, thew_store_event_after(t->from, "s", "run-1", 0, &event));
    COPY(t, event, thew_store_event, thew_store_event_add(t->to, "s", "run-1", row, NULL));
    READ(t, thew_store_run_person_all(t->from, "s", "run-1", &taking_part));
    COPY(t, taking_part, thew_store_run_person, thew_store_run_person_put(t->to, "s", "run-1", row));
    READ(t, thew_store_block_latest(t->from, "s", "ada", &block));
    COPY(t, block, thew_store_block, thew_store_block_add(t->to, "s", row));
}

static void copy_records(const two *t)
{
    g_autoptr(thew_rows) set = NULL, checkin = NULL, outcome = NULL, advice = NULL, override = NULL, belief = NULL, access = NULL;
    g_autoptr(thew_rows) standing = NULL;
    READ(t, thew_store_diary_history(t->from, "s", "ada", &set));
    COPY(t, set, thew_store_set, thew_store_diary_add(t->to, "s", row));
    READ(t, thew_store_checkin_history(t->from, "s", "ada", &checkin));
    COPY(t, checkin, thew_store_checkin, thew_store_checkin_add(t->to, "s", row));
    READ(t, thew_store_outcome_history(t->from, "s", "ada", &outcome));
    COPY(t, outcome, thew_store_outcome, thew_store_outcome_add(t->to, "s", row));
    READ(t, thew_store_advice_of(t->from, "s", "ada", &advice));
    COPY(t, advice, thew_store_advice, thew_store_advice_add(t->to, "s", row));
    READ(t, thew_store_override_of(t->from, "s", "ada", &override));
    COPY(t, override, thew_store_override, thew_store_override_add(t->to, "s", row));
    READ(t, thew_store_belief_find(t->from, "s", "ada", &belief));
    COPY(t, belief, thew_store_belief, thew_store_belief_put(t->to, "s", row));
    READ(t, thew_store_standing_find(t->from, "s", "ada", &standing));
    COPY(t, standing, thew_store_standing, thew_store_standing_put(t->to, "s", row));
    READ(t, thew_store_access_of(t->from, "s", "ada", 10, &access));
    COPY(t, access, thew_store_access, thew_store_access_add(t->to, "s", row));
}

static void what_is_read_writes_the_same_store(void **state)
{
    const char *path = in_folder(state, "studio.db"), *other = in_folder(state, "other.db");
    two t = { open_store(path), open_store(other) };
    fill_studio(t.from, "s");
    fill_person(t.from, "s", "ada");
    must(t.to, thew_db_begin(t.to));
    copy_studio(&t);
    copy_people(&t);
    copy_ways_in(&t);
    copy_kit_and_runs(&t);
    copy_records(&t);
    must(t.to, thew_db_commit(t.to));
    thew_db_close(t.from);
    thew_db_close(t.to);
    g_autofree char *expected = dump(path), *obtained = dump(other);
    expect_text("all tables, all columns", expected, obtained);
    expect_end(1);
}

// A studio's rows are its own: the same identifiers in another studio are another's.
static void studios_do_not_see_each_other(void **state)
{
    g_autoptr(thew_db) db = open_store(in_folder(state, "studio.db"));
    fill_studio(db, "s");
    fill_studio(db, "t");
    fill_person(db, "s", "ada");
    fill_person(db, "t", "ada");
    fill_person(db, "t", "bo");
    must(db, thew_db_begin(db));
    must(db, thew_store_belief_drop(db, "s"));
    must(db, thew_db_commit(db));
    static const struct {
        const char *studio;
        guint people, sets, stale;
    } row[] = { { "s", 1, 1, 1 }, { "t", 2, 2, 2 }, { "nowhere", 0, 0, 0 } };
    EACH(i, row)
    {
        g_autoptr(thew_rows) people = NULL, sets = NULL, stale = NULL;
        must(db, thew_store_person_all(db, row[i].studio, &people));
        must(db, thew_store_diary_current(db, row[i].studio, NULL, (thew_date){ 0 }, (thew_date){ 0 }, &sets));
        must(db, thew_store_belief_stale(db, row[i].studio, "1.0", &stale));
        expect_number(row[i].studio, row[i].people, people->row->len);
        expect_number(row[i].studio, row[i].sets, sets->row->len);
        expect_number(row[i].studio, row[i].stale, stale->row->len);
    }
    g_autoptr(thew_rows) belief = NULL;
    expect_status("dropped", db, THEW_STORE_NOT_FOUND, thew_store_belief_find(db, "s", "ada", &belief));
    must(db, thew_store_belief_find(db, "t", "ada", &belief));
    expect_end(10);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(each_member_stands_in_its_column, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(what_is_read_writes_the_same_store, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(studios_do_not_see_each_other, make_folder, remove_folder),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
