// Check-ins: heat index, fatigue and answers lead to a verdict by the safety rules; what is kept can be sent again.
// Truth: tests/reference/safety_rules.csv (M07, M09, M10, G17 ...) and heat_index.csv; people are invented.
#include "studio/check_in.h"

#include "catalogue/day_questions.h"
#include "store/studio.h"
#include "tests/studio/stored.h"

static thew_store_checkin a_checkin(const char *record)
{
    return (thew_store_checkin){ .entry = { .record = record, .person = "ida", .day = { 2026, 3, 31 } } };
}

static void each_rule(void **state)
{
    (void)state;
    static const struct {
        const char *why;
        double fatigue, usual;   // negative: not known
        double room_c, humidity; // humidity negative: not known
        bool sensitive;
        const char *answers;
        double caution_c;
        thew_day_verdict verdict;
    } row[] = {
        { "nothing said", -1, -1, 0, -1, false, NULL, 27, THEW_GO },
        { "M07: fatigue 6", 6, -1, 0, -1, false, NULL, 27, THEW_GO },
        { "M07: 7 or more of 10", 7, -1, 0, -1, false, NULL, 27, THEW_LIGHTER },
        { "M07: 9 or more", 9, -1, 0, -1, false, NULL, 27, THEW_NOT_TODAY },
        { "M07: 3 above own usual", 5, 2, 0, -1, false, NULL, 27, THEW_LIGHTER },
        { "M07: 2.9 above", 5, 2.1, 0, -1, false, NULL, 27, THEW_GO },
        { "M09: 29 C at 60 % is beyond 27 C", -1, -1, 29, 60, false, NULL, 27, THEW_LIGHTER },
        { "M09: 23 C at 40 % is not", -1, -1, 23, 40, false, NULL, 27, THEW_GO },
        { "M09: heat-sensitive from 24 C", -1, -1, 25, 50, true, NULL, 27, THEW_LIGHTER },
        { "M10: 34 C at 60 % is beyond 32 C", -1, -1, 34, 60, false, NULL, 27, THEW_NOT_TODAY },
        { "M10: heat-sensitive from 27 C", -1, -1, 29, 60, true, NULL, 27, THEW_NOT_TODAY },
        { "a studio that is more careful", -1, -1, 25, 50, false, NULL, 24, THEW_LIGHTER },
        { "a temperature alone says nothing", -1, -1, 34, -1, false, NULL, 27, THEW_GO },
        { "all answered no", -1, -1, 0, -1, false, "{\"fever-or-infection\":\"no\",\"new-sign\":\"no\"}", 27, THEW_GO },
        { "G17: fever", -1, -1, 0, -1, false, "{\"fever-or-infection\":\"yes\"}", 27, THEW_NOT_TODAY },
        { "M01: a new sign", -1, -1, 0, -1, false, "{\"new-sign\":\"yes\"}", 27, THEW_ASK_FIRST },
        { "M04: a severe one", -1, -1, 0, -1, false, "{\"severe-new-sign\":\"yes\"}", 27, THEW_ASK_FIRST },
        { "M14: spasticity much worse", -1, -1, 0, -1, false, "{\"spasticity-much-worse\":\"yes\"}", 27, THEW_NOT_TODAY },
        { "M16: a near fall", -1, -1, 0, -1, false, "{\"fall-or-near-fall\":\"yes\"}", 27, THEW_LIGHTER },
        { "M21: dizzy on standing", -1, -1, 0, -1, false, "{\"dizzy-on-standing\":\"yes\"}", 27, THEW_LIGHTER },
        { "the heaviest decides", 7, -1, 34, 60, false, "{\"new-sign\":\"yes\"}", 27, THEW_ASK_FIRST },
    };
    for (gsize i = 0; i < G_N_ELEMENTS(row); i++) {
        thew_store_checkin checkin = a_checkin("x");
        checkin.fatigue = (thew_maybe_real){ row[i].fatigue >= 0, row[i].fatigue };
        checkin.room_c = (thew_maybe_real){ row[i].room_c > 0, row[i].room_c };
        checkin.humidity_percent = (thew_maybe_real){ row[i].humidity >= 0, row[i].humidity };
        checkin.answers = row[i].answers;
        thew_settings settings = thew_settings_default();
        settings.heat_caution_c = row[i].caution_c;
        g_autoptr(thew_day_finding) finding = thew_check_in_judge(&checkin, &settings, row[i].sensitive, row[i].usual);
        row_text(row[i].why, thew_day_verdict_word(row[i].verdict), thew_day_verdict_word(finding->verdict));
        row_true(row[i].why, "there are sentences just when there is something to heed",
                 (finding->words->len > 0) == (row[i].verdict != THEW_GO));
    }
    rows_end(40);
}

static void every_question_has_its_rule(void **state)
{
    (void)state;
    size_t count;
    const thew_day_question *question = thew_day_questions(&count);
    static const char *const verdict[] = { "lighten", "pause today", "ask clinician first" };
    for (size_t q = 0; q < count; q++)
        for (const char *const *rule = question[q].rule; *rule; rule++) {
            csv *rules = csv_open("safety_rules.csv");
            bool found = false, follows = false;
            while (csv_next(rules)) {
                if (!csv_is(rules, "id", *rule)) continue;
                found = true;
                const char *action = csv_text(rules, "action");
                follows = strstr(action, verdict[question[q].follows]) ||
                          strstr(action, "stop"); // M16, M17: of the set, seated afterwards
                if (strcmp(*rule, "G19") == 0)
                    follows = true; // soreness lightens; dark urine: clinician the same day, in its words
            }
            row_true(question[q].question, "its rule is one of the table", found);
            row_true(question[q].question, "what follows is what the rule says", follows);
        }
    row_near("none is asked for that is not there", 1, thew_day_question_find("nothing") == NULL, 0);
    rows_end(25);
}

static void kept_and_sent_again(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    take_on(&s, "ida");
    thew_record_result result[2];
    thew_store_checkin checkin = a_checkin("c1");
    checkin.room_c = (thew_maybe_real){ true, 29 };
    checkin.humidity_percent = (thew_maybe_real){ true, 60 };
    checkin.fatigue = (thew_maybe_real){ true, 3 };
    checkin.answers = "{\"new-sign\": \"no\", \"dizzy-on-standing\": \"yes\"}";
    row_said(&s, "kept", THEW_DONE, "", thew_check_in(s.studio, &the_coach, &checkin, 1, result, s.refusal));
    kept(&s, thew_db_begin(s.studio->db));
    kept(&s, thew_store_setting_put(s.studio->db, s.studio->id, &(thew_store_setting){ "heat_caution_c", "35" }));
    kept(&s, thew_db_commit(s.studio->db));
    checkin.answers = "{\"dizzy-on-standing\":\"yes\",\"new-sign\":\"no\"}";
    row_said(&s, "sent again in another order, and limits have moved", THEW_DONE_BEFORE, "",
             thew_check_in(s.studio, &the_coach, &checkin, 1, result, s.refusal));
    checkin.fatigue.value = 4;
    row_said(&s, "another content", THEW_CONFLICT, "/check_ins/0/record",
             thew_check_in(s.studio, &the_coach, &checkin, 1, result, s.refusal));
    g_autoptr(thew_checkin_list) list = NULL;
    must(&s, thew_check_in_read(s.studio, "ida", false, &list, s.refusal));
    row_near("one", 1, list->row->len, 0);
    const thew_checkin_row *row = &g_array_index(list->row, thew_checkin_row, 0);
    row_text("the verdict of then", "lighter", row->checkin->verdict);
    row_near("heat index of 29 C at 60 % (NWS: 84 F gives 88 F, about 31 C)", 31, row->checkin->heat_index_c.value, 1.5);
    row_has("what to do", "seated", row->words[0]);

    thew_store_checkin wrong = a_checkin("c2");
    wrong.fatigue = (thew_maybe_real){ true, 11 };
    wrong.humidity_percent = (thew_maybe_real){ true, 101 };
    wrong.answers = "{\"new-sign\":\"perhaps\",\"what\":\"yes\"}";
    row_said(&s, "every fault at once", THEW_INVALID,
             "/check_ins/0/humidity_percent /check_ins/0/fatigue /check_ins/0/answers/new-sign /check_ins/0/answers",
             thew_check_in(s.studio, &the_coach, &wrong, 1, result, s.refusal));
    wrong = a_checkin("c3");
    wrong.answers = "[]";
    row_said(&s, "answers that are none", THEW_INVALID, "/check_ins/0/answers",
             thew_check_in(s.studio, &the_coach, &wrong, 1, result, s.refusal));
    thew_store_checkin never = a_checkin("c4");
    never.entry.replaces = "c1";
    never.entry.withdrawn = true;
    row_said(&s, "it never was", THEW_DONE, "", thew_check_in(s.studio, &the_coach, &never, 1, result, s.refusal));
    g_autoptr(thew_checkin_list) none = NULL;
    must(&s, thew_check_in_read(s.studio, "ida", false, &none, s.refusal));
    row_near("none", 0, none->row->len, 0);
    rows_end(14);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_rule),
        cmocka_unit_test(every_question_has_its_rule),
        cmocka_unit_test(kept_and_sent_again),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
