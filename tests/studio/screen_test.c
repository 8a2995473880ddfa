// screen_test.c: what follows from answers, rule by rule; that it is kept; and that it never says less than the safety rules do.
#include "studio/screen.h"

#include "studio/enrol.h"
#include "tests/studio/use_case.h"

static thew_catalogue *catalogue;

static int load(void **state)
{
    (void)state;
    catalogue = thew_catalogue_load(NULL, NULL);
    return catalogue ? 0 : -1;
}

static int unload(void **state)
{
    (void)state;
    thew_catalogue_free(catalogue);
    return 0;
}

// Answers of somebody with nothing to heed: the mildest of each question.
static const char *mildest(const thew_question *question)
{
    if (question->kind == THEW_ASK_YES_NO) return "no";
    return question->kind == THEW_ASK_CHOICE ? question->choice[0].id : NULL;
}

#define ANSWERS_MAX 64
static guint answers_with(thew_store_answer answer[ANSWERS_MAX], const char *question, const char *given)
{
    size_t count;
    const thew_question *const *all = thew_catalogue_questions(catalogue, &count);
    guint n = 0;
    for (size_t q = 0; q < count; q++) {
        const char *said = strcmp(all[q]->id, question) == 0 ? given : all[q]->optional ? NULL : mildest(all[q]);
        if (said) answer[n++] = (thew_store_answer){ all[q]->id, { 1 }, said, "", "coach-1" };
    }
    return n;
}

static bool cites(const thew_screening *screening, const char *rule)
{
    for (guint i = 0; i < screening->finding->len; i++)
        if (strcmp(g_array_index(screening->finding, thew_finding, i).rule, rule) == 0) return true;
    return false;
}

static bool warns(const thew_screening *screening, const char *caution)
{
    return g_ptr_array_find_with_equal_func(screening->caution, caution, g_str_equal, NULL);
}

// One answer at a time beside otherwise mild ones. Rules and actions: reference/safety_rules.csv.
static void what_follows_from_each_answer(void **state)
{
    (void)state;
    static const struct {
        const char *why, *question, *answer;
        thew_screen_verdict verdict;
        const char *rule; // "" for none
        bool reserve;
        const char *caution; // NULL: none in particular
    } row[] = {
        { "nothing to heed", "fall", "no", THEW_SCREEN_CLEAR, "", false, NULL },
        { "heart disease and not used to effort", "long-illness", "yes-not-active", THEW_SCREEN_ASK_FIRST, "G01", false, NULL },
        { "heart disease, used to effort", "long-illness", "yes-active", THEW_SCREEN_WITH_CARE, "G01", false, NULL },
        { "pain on effort that nobody explained", "effort-signs", "yes", THEW_SCREEN_ASK_FIRST, "G01", false, NULL },
        { "unstable heart disease", "heart-unstable", "yes", THEW_SCREEN_ASK_FIRST, "G08", true, NULL },
        { "blood pressure not under control", "blood-pressure", "uncontrolled", THEW_SCREEN_ASK_FIRST, "G03", true,
          "blood-pressure" },
        { "high but treated: reserve, no referral", "blood-pressure", "treated", THEW_SCREEN_WITH_CARE, "B02", true,
          "blood-pressure" },
        { "not known: reserve until it is", "blood-pressure", "unknown", THEW_SCREEN_WITH_CARE, "G03", true, "blood-pressure" },
        { "180 is the limit, itself included", "systolic", "180", THEW_SCREEN_ASK_FIRST, "G03", true, NULL },
        { "just under it", "systolic", "179.9", THEW_SCREEN_WITH_CARE, "B02", true, NULL },
        { "140 is high", "systolic", "140", THEW_SCREEN_WITH_CARE, "B02", true, NULL },
        { "139 is not", "systolic", "139", THEW_SCREEN_CLEAR, "", false, NULL },
        { "105 diastolic, the lower of the two limits", "diastolic", "105", THEW_SCREEN_ASK_FIRST, "G03", true, NULL },
        { "104", "diastolic", "104", THEW_SCREEN_WITH_CARE, "B02", true, NULL },
        { "89", "diastolic", "89", THEW_SCREEN_CLEAR, "", false, NULL },
        { "fresh surgery", "surgery", "yes", THEW_SCREEN_ASK_FIRST, "G09", false, NULL },
        { "hernia", "hernia", "yes", THEW_SCREEN_ASK_FIRST, "G10", false, "breathing" },
        { "eye", "eye", "yes", THEW_SCREEN_ASK_FIRST, "G11", false, "face" },
        { "brittle bones", "bone", "yes", THEW_SCREEN_ASK_FIRST, "G13", false, "spine" },
        { "pregnant", "pregnancy", "first-third", THEW_SCREEN_ASK_FIRST, "G15", false, NULL },
        { "relapse", "relapse", "yes", THEW_SCREEN_ASK_FIRST, "M05", false, NULL },
        { "steroids", "steroids", "yes", THEW_SCREEN_ASK_FIRST, "M06", false, NULL },
        { "a fall in the past year", "fall", "yes", THEW_SCREEN_WITH_CARE, "M15", false, "falls" },
        { "a stick", "walking-aid", "stick", THEW_SCREEN_WITH_CARE, "M15", false, "falls" },
        { "a wheelchair", "walking-aid", "wheelchair", THEW_SCREEN_ASK_FIRST, "M26", false, NULL },
        { "heat: known, heeded each day, nothing to hold anybody back", "heat", "yes", THEW_SCREEN_CLEAR, "M09", false, NULL },
        { "numb hands", "numbness", "hands", THEW_SCREEN_WITH_CARE, "M24", false, "grip" },
        { "memory", "memory", "yes", THEW_SCREEN_WITH_CARE, "M27", false, NULL },
        { "skin", "skin", "yes", THEW_SCREEN_ASK_FIRST, "M29", false, "skin" },
        { "latex", "latex", "yes", THEW_SCREEN_WITH_CARE, "E06", false, "latex" },
        { "face pain", "face", "yes", THEW_SCREEN_WITH_CARE, "M20", false, "face" },
        { "dizzy on standing", "dizziness", "yes", THEW_SCREEN_WITH_CARE, "M21", false, "dizzy-on-standing" },
        { "stiffness", "stiffness", "yes", THEW_SCREEN_WITH_CARE, "M12", false, "spasm" },
        { "a shoulder out of joint", "shoulder", "yes", THEW_SCREEN_ASK_FIRST, "S02", false, "shoulder-unstable" },
    };
    EACH(i, row)
    {
        thew_store_answer answer[ANSWERS_MAX];
        guint count = answers_with(answer, row[i].question, row[i].answer);
        g_autoptr(thew_screening) screening = thew_screen_judge(catalogue, answer, count);
        row_text(row[i].why, thew_screen_verdict_word(row[i].verdict), thew_screen_verdict_word(screening->verdict));
        row_true(row[i].why, "its rule is cited", *row[i].rule ? cites(screening, row[i].rule) : screening->finding->len == 0);
        row_true(row[i].why, row[i].reserve ? "sets end in reserve" : "the endpoint is free",
                 screening->reserve_forced == row[i].reserve);
        if (row[i].caution) row_true(row[i].why, row[i].caution, warns(screening, row[i].caution));
    }
    rows_end(3 * (int)G_N_ELEMENTS(row));
}

static void positions_go_off_limits(void **state)
{
    (void)state;
    static const struct {
        const char *why, *question, *answer;
        unsigned off;
    } row[] = {
        { "a wheelchair most of the day", "walking-aid", "wheelchair", 1u << THEW_STANDING },
        { "a stick: with support", "walking-aid", "stick", 0 },
        { "pregnant, first third", "pregnancy", "first-third", 0 },
        { "pregnant, later: not on the back", "pregnancy", "later", 1u << THEW_LYING },
    };
    EACH(i, row)
    {
        thew_store_answer answer[ANSWERS_MAX];
        guint count = answers_with(answer, row[i].question, row[i].answer);
        g_autoptr(thew_screening) screening = thew_screen_judge(catalogue, answer, count);
        row_near(row[i].why, row[i].off, screening->positions_off, 0);
    }
    rows_end(4);
}

// Source: reference/safety_rules.csv. Where the table says to ask a clinician first, so does every answer; the exceptions with
// their reason.
static void says_no_less_than_the_rules(void **state)
{
    (void)state;
    static const struct {
        const char *rule, *answer, *why;
    } milder[] = {
        { "G01", "yes-active", "the rule is about those who are not active yet" },
        { "G03", "unknown", "the rule is about pressure that is known: until then sets end in reserve" },
    };
    g_autoptr(GHashTable) action = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, g_free);
    for (csv *table = csv_open("safety_rules.csv"); csv_next(table);)
        g_hash_table_insert(action, g_strdup(csv_text(table, "id")), g_strdup(csv_text(table, "action")));
    size_t count;
    const thew_question *const *question = thew_catalogue_questions(catalogue, &count);
    for (size_t q = 0; q < count; q++)
        for (size_t c = 0; c < question[q]->consequence_count; c++) {
            const thew_consequence *follows = &question[q]->consequence[c];
            const char *wanted = g_hash_table_lookup(action, follows->rule);
            bool excepted = false;
            EACH(m, milder)
            excepted = excepted || (strcmp(milder[m].rule, follows->rule) == 0 && follows->answer_count > 0 &&
                                    strcmp(milder[m].answer, follows->answer[0]) == 0);
            row_true(question[q]->id, "the rule that it cites exists", wanted != NULL);
            row_true(question[q]->id, "it asks a clinician first where the rule does",
                     excepted || g_strcmp0(wanted, "ask clinician first") != 0 || follows->action == THEW_SCREEN_ASK);
        }
    rows_end(2 * 35);
}

// No sentence names what somebody has; those that hold somebody back name whom to ask.
static void defers_to_the_clinician(void **state)
{
    (void)state;
    size_t count;
    const thew_question *const *question = thew_catalogue_questions(catalogue, &count);
    for (size_t q = 0; q < count; q++)
        for (size_t c = 0; c < question[q]->consequence_count; c++) {
            const char *words = question[q]->consequence[c].words;
            row_true(question[q]->id, "it does not diagnose",
                     !strstr(words, "You have") && !strstr(words, "diagnos") && !strstr(words, "you suffer"));
            if (question[q]->consequence[c].action != THEW_SCREEN_ASK) continue;
            row_true(words, "it says whom to ask", strstr(words, "clinic") || strstr(words, "surgeon") || strstr(words, "nurse"));
        }
    rows_end(50);
}

static void missing_answers_keep_it_open(void **state)
{
    (void)state;
    thew_store_answer answer[ANSWERS_MAX];
    guint count = answers_with(answer, "fall", "no");
    g_autoptr(thew_screening) none = thew_screen_judge(catalogue, NULL, 0);
    g_autoptr(thew_screening) but_one = thew_screen_judge(catalogue, answer, count - 1);
    thew_store_answer grave = { "heart-unstable", { 1 }, "yes", "", "coach-1" }, gone = { "shoe-size", { 1 }, "44", "", "coach-1" };
    g_autoptr(thew_screening) only = thew_screen_judge(catalogue, &grave, 1);
    g_autoptr(thew_screening) old = thew_screen_judge(catalogue, &gone, 1);
    row_text("no answer", "not_asked", thew_screen_verdict_word(none->verdict));
    row_near("all that must be answered are missing", count, none->missing->len, 0);
    row_text("one is missing", "not_asked", thew_screen_verdict_word(but_one->verdict));
    row_near("which one", 1, but_one->missing->len, 0);
    row_text("a grave one outranks the missing", "ask_first", thew_screen_verdict_word(only->verdict));
    row_near("a question that no longer exists is left out", 0, old->answer->len, 0);
    rows_end(6);
}

// --- in a studio
// ---------------------------------------------------------------------------------------------------------------------

static void enrol_ida(scene *s)
{
    thew_person_change ida = { .called = "Ida", .note = "" };
    must(s, thew_enrol(s->studio, &the_coach, "p1", &ida, s->refusal));
}

static void what_is_refused(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    enrol_ida(&s);
    static const struct {
        const char *why;
        thew_screen_given given[2];
        guint count;
        const char *places;
    } row[] = {
        { "no answers", { { 0 } }, 0, "/answers" },
        { "a question that is none", { { "shoe-size", "44", "" } }, 1, "/answers/0/question" },
        { "neither yes nor no", { { "fall", "maybe", "" } }, 1, "/answers/0/answer" },
        { "a choice that is none", { { "walking-aid", "unicycle", "" } }, 1, "/answers/0/answer" },
        { "a number that is none", { { "systolic", "high", "" } }, 1, "/answers/0/answer" },
        { "a number as only C reads it", { { "systolic", "0xB4", "" } }, 1, "/answers/0/answer" },
        { "a number out of range", { { "systolic", "18", "" } }, 1, "/answers/0/answer" },
        { "the same twice", { { "fall", "yes", "" }, { "fall", "no", "" } }, 2, "/answers/1/question" },
        { "a clearance by nobody", { { "clearance", "yes", "" } }, 1, "/answers/0/note" },
    };
    EACH(i, row)
    row_said(&s, row[i].why, THEW_INVALID, row[i].places,
             thew_screen(s.studio, &the_coach, "p1", row[i].given, row[i].count, NULL, s.refusal));
    thew_screen_given good = { "fall", "no", "" };
    row_said(&s, "nobody", THEW_ABSENT, "", thew_screen(s.studio, &the_coach, "p9", &good, 1, NULL, s.refusal));
    g_autoptr(thew_screening) after = NULL;
    must(&s, thew_screen_read(s.studio, "p1", &after, s.refusal));
    row_near("nothing was kept", 0, after->answer->len, 0);
    rows_end(2 * 10 + 1);
}

static thew_verdict say(scene *s, const char *question, const char *answer, const char *note)
{
    wait_hours(s, 1);
    thew_screen_given given = { question, answer, note };
    return thew_screen(s->studio, &the_coach, "p1", &given, 1, NULL, s->refusal);
}

static thew_person_whole *look(scene *s)
{
    thew_person_whole *whole;
    must(s, thew_enrol_read(s->studio, "p1", &whole, s->refusal));
    return whole;
}

static void what_is_kept_follows_the_answers(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    enrol_ida(&s);
    must(&s, say(&s, "walking-aid", "wheelchair", ""));
    must(&s, say(&s, "blood-pressure", "treated", ""));
    must(&s, say(&s, "heat", "yes", ""));
    must(&s, say(&s, "weaker-side", "left", ""));
    {
        g_autoptr(thew_person_whole) p = look(&s);
        row_text("endpoint", "reserve", p->known.endpoint);
        row_true("heat", "is known", p->known.heat_sensitive);
        row_text("weaker side", "left", p->known.weaker_side);
        row_near("a limit", 1, p->known.limit_count, 0);
        row_text("of position", "standing", p->known.limit[0].what);
        row_has("its reason cites the rule", "M26", p->known.limit[0].reason);
        row_near("cautions: skin, blood pressure", 2, p->caution->len, 0);
        thew_person_change change = p->known;
        change.endpoint = "failure";
        row_said(&s, "screening has the last word", THEW_INVALID, "/endpoint",
                 thew_enrol_change(s.studio, &the_coach, "p1", &change, s.refusal));
        change.endpoint = NULL;
        change.limit_count = 0; // the coach knows better
        must(&s, thew_enrol_change(s.studio, &the_coach, "p1", &change, s.refusal));
    }
    must(&s, say(&s, "fall", "yes", ""));
    {
        g_autoptr(thew_person_whole) p = look(&s);
        row_near("a limit that the coach lifted stays lifted", 0, p->known.limit_count, 0);
        row_text("not decided is reserve there", "reserve", p->known.endpoint);
    }
    must(&s, say(&s, "walking-aid", "none", ""));
    must(&s, say(&s, "walking-aid", "wheelchair", ""));
    must(&s, say(&s, "walking-aid", "none", ""));
    g_autoptr(thew_person_whole) p = look(&s);
    row_near("answered anew, its limit is lifted", 0, p->known.limit_count, 0);
    rows_end(7 + 2 + 3);
}

static void a_clinicians_yes_covers_what_was_known(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    enrol_ida(&s);
    thew_screen_given form[ANSWERS_MAX];
    thew_store_answer answer[ANSWERS_MAX];
    guint count = answers_with(answer, "relapse", "yes");
    for (guint i = 0; i < count; i++)
        form[i] = (thew_screen_given){ answer[i].question, answer[i].answer, "" };
    g_autoptr(thew_screening) first = NULL, cleared = NULL, again_same = NULL, newer = NULL;
    must(&s, thew_screen(s.studio, &the_coach, "p1", form, count, &first, s.refusal));
    wait_hours(&s, 24);
    form[count++] = (thew_screen_given){ "clearance", "yes", "Dr N., 1 April 2026, by telephone" };
    must(&s, thew_screen(s.studio, &the_coach, "p1", form, count, &cleared, s.refusal));
    wait_hours(&s, 24);
    must(&s, thew_screen(s.studio, &the_coach, "p1", form, count, &again_same, s.refusal));
    for (guint i = 0; i < count; i++)
        if (strcmp(form[i].question, "skin") == 0) form[i].answer = "yes";
    wait_hours(&s, 24);
    must(&s, thew_screen(s.studio, &the_coach, "p1", form, count, &newer, s.refusal));
    row_text("before", "ask_first", thew_screen_verdict_word(first->verdict));
    row_text("after", "with_care", thew_screen_verdict_word(cleared->verdict));
    row_true("after", "the finding says so", g_array_index(cleared->finding, thew_finding, 0).cleared);
    row_text("the whole form sent again", "with_care", thew_screen_verdict_word(again_same->verdict));
    row_text("something new, though the form still says that there was a yes", "ask_first",
             thew_screen_verdict_word(newer->verdict));
    rows_end(5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_follows_from_each_answer),    cmocka_unit_test(positions_go_off_limits),
        cmocka_unit_test(says_no_less_than_the_rules),      cmocka_unit_test(defers_to_the_clinician),
        cmocka_unit_test(missing_answers_keep_it_open),     cmocka_unit_test(what_is_refused),
        cmocka_unit_test(what_is_kept_follows_the_answers), cmocka_unit_test(a_clinicians_yes_covers_what_was_known),
    };
    return cmocka_run_group_tests(tests, load, unload);
}
