// may_test.c: what each role may do: every act, every role, everybody's records; and what must hold of any such table.
#include "studio/may.h"

#include "tests/text_rows.h"

// Letters: o own, s one they may see, a anybody else's, t the studio's. The rules are those that the coach was promised: a coach
// may all, an assistant all but accounts, settings, import, removal; a participant reads what is theirs and writes sets, check-ins
// and readings; a helper does so for those they see; a clinician reads strength, outcomes and screening of those they see.
static const struct {
    thew_act act;
    const char *coach, *assistant, *participant, *helper, *clinician;
} row[] = {
    { THEW_ACT_READ_STUDIO, "t", "t", "", "", "" },
    { THEW_ACT_WRITE_STUDIO, "t", "", "", "", "" },
    { THEW_ACT_READ_CATALOGUE, "t", "t", "t", "t", "t" },
    { THEW_ACT_OVERVIEW, "t", "t", "", "", "" },
    { THEW_ACT_ENROL, "t", "t", "", "", "" },
    { THEW_ACT_READ_PERSON, "osa", "osa", "o", "s", "" },
    { THEW_ACT_WRITE_PERSON, "osa", "osa", "", "", "" },
    { THEW_ACT_READ_SCREENING, "osa", "osa", "o", "s", "s" },
    { THEW_ACT_SCREEN, "osa", "osa", "", "", "" },
    { THEW_ACT_READ_ADVICE, "osa", "osa", "o", "s", "" },
    { THEW_ACT_DECIDE_ADVICE, "osa", "osa", "", "", "" },
    { THEW_ACT_READ_STRENGTH, "osa", "osa", "o", "s", "s" },
    { THEW_ACT_READ_DIARY, "osa", "osa", "o", "s", "" },
    { THEW_ACT_RECORD, "osa", "osa", "o", "s", "" },
    { THEW_ACT_READ_CHECK_INS, "osa", "osa", "o", "s", "" },
    { THEW_ACT_CHECK_IN, "osa", "osa", "o", "s", "" },
    { THEW_ACT_READ_OUTCOMES, "osa", "osa", "o", "s", "s" },
    { THEW_ACT_RECORD_OUTCOME, "osa", "osa", "", "", "" },
    { THEW_ACT_READ_BLOCKS, "osa", "osa", "o", "s", "" },
    { THEW_ACT_PLAN_BLOCK, "osa", "osa", "", "", "" },
    { THEW_ACT_READ_KIT, "osat", "osat", "o", "s", "" },
    { THEW_ACT_WRITE_KIT, "osat", "osat", "", "", "" },
    { THEW_ACT_MEASURE_KIT, "osat", "osat", "o", "s", "" },
    { THEW_ACT_READ_CLASSES, "t", "t", "t", "t", "" },
    { THEW_ACT_WRITE_CLASSES, "t", "t", "", "", "" },
    { THEW_ACT_FIT_CLASS, "osa", "osa", "o", "s", "" },
    { THEW_ACT_EXPORT_PERSON, "osa", "osa", "o", "", "" },
    { THEW_ACT_EXPORT_STUDIO, "t", "t", "", "", "" },
    { THEW_ACT_IMPORT, "t", "", "", "", "" },
    { THEW_ACT_REMOVE_PERSON, "osa", "", "", "", "" },
    { THEW_ACT_ACCOUNTS, "t", "", "", "", "" },
    { THEW_ACT_READ_ACCESS, "osat", "", "o", "", "" },
};
static const char letter[THEW_WHOSE_COUNT] = { 'o', 's', 'a', 't' };

static void every_role_and_act(void **state)
{
    (void)state;
    assert_int_equal(sizeof row / sizeof *row, THEW_ACT_COUNT);
    EACH(i, row)
    {
        const char *const expected[THEW_ROLE_COUNT] = { row[i].coach, row[i].assistant, row[i].participant, row[i].helper,
                                                        row[i].clinician };
        for (int role = 0; role < THEW_ROLE_COUNT; role++)
            for (int whose = 0; whose < THEW_WHOSE_COUNT; whose++) {
                char why[160];
                snprintf(why, sizeof why, "%s: %s, whose %c", thew_role_word((thew_role)role), thew_act_words(row[i].act),
                         letter[whose]);
                row_text(why, strchr(expected[role], letter[whose]) ? "may" : "may not",
                         thew_may((thew_role)role, row[i].act, (thew_whose)whose) ? "may" : "may not");
            }
    }
    rows_end(THEW_ACT_COUNT * THEW_ROLE_COUNT * THEW_WHOSE_COUNT);
}

static bool writes(thew_act act)
{
    static const thew_act writing[] = { THEW_ACT_WRITE_STUDIO, THEW_ACT_ENROL,          THEW_ACT_WRITE_PERSON,
                                        THEW_ACT_SCREEN,       THEW_ACT_DECIDE_ADVICE,  THEW_ACT_RECORD,
                                        THEW_ACT_CHECK_IN,     THEW_ACT_RECORD_OUTCOME, THEW_ACT_PLAN_BLOCK,
                                        THEW_ACT_WRITE_KIT,    THEW_ACT_MEASURE_KIT,    THEW_ACT_WRITE_CLASSES,
                                        THEW_ACT_IMPORT,       THEW_ACT_REMOVE_PERSON,  THEW_ACT_ACCOUNTS };
    EACH(i, writing)
    if (writing[i] == act) return true;
    return false;
}

// Independent of the table: what no row may break.
static void what_must_hold(void **state)
{
    (void)state;
    for (int act = 0; act < THEW_ACT_COUNT; act++)
        for (int whose = 0; whose < THEW_WHOSE_COUNT; whose++) {
            const char *words = thew_act_words((thew_act)act);
            thew_act a = (thew_act)act;
            thew_whose w = (thew_whose)whose;
            row_true(words, "an assistant may nothing that the coach may not",
                     thew_may(THEW_COACH, a, w) || !thew_may(THEW_ASSISTANT, a, w));
            for (thew_role role = THEW_PARTICIPANT; role <= THEW_CLINICIAN; role++) {
                row_true(words, "only coach and assistant touch others' records",
                         whose != THEW_WHOSE_OTHER || !thew_may(role, a, w));
                row_true(words, "only coach and assistant write what is no person's",
                         whose != THEW_WHOSE_STUDIO || !writes(a) || !thew_may(role, a, w));
            }
            row_true(words, "a clinician writes nothing", !writes(a) || !thew_may(THEW_CLINICIAN, a, w));
        }
    row_true("beyond the table", "nothing is allowed", !thew_may(THEW_ROLE_COUNT, THEW_ACT_READ_PERSON, THEW_WHOSE_OWN));
    row_true("beyond the table", "nothing is allowed", !thew_may(THEW_COACH, THEW_ACT_COUNT, THEW_WHOSE_OWN));
    row_true("beyond the table", "nothing is allowed", !thew_may(THEW_COACH, THEW_ACT_READ_PERSON, THEW_WHOSE_COUNT));
    rows_end(3);
}

static void roles_have_words(void **state)
{
    (void)state;
    for (int role = 0; role < THEW_ROLE_COUNT; role++) {
        thew_role read = THEW_ROLE_COUNT;
        row_true(thew_role_word((thew_role)role), "it reads back",
                 thew_role_read(thew_role_word((thew_role)role), &read) && (int)read == role);
    }
    thew_role none;
    row_true("a word that is no role", "it is refused",
             !thew_role_read("owner", &none) && !thew_role_read("Coach", &none) && !thew_role_read(NULL, &none));
    rows_end(THEW_ROLE_COUNT + 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_role_and_act),
        cmocka_unit_test(what_must_hold),
        cmocka_unit_test(roles_have_words),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
