// The life of an advice: made once, kept with its odds, accepted, overridden, undone, settled by the set that is done. All is
// invented.
#include "studio/propose.h"

#include "store/advice.h"
#include "store/studio.h"
#include "studio/check_in.h"
#include "studio/screen.h"
#include "tests/studio/stored.h"

static thew_proposals *ask_on(scene *s, const char *person, thew_day day)
{
    thew_proposals *p = NULL;
    must(s, thew_propose(s->studio, person, day, &p, s->refusal));
    return p;
}

static thew_proposals *ask(scene *s)
{
    return ask_on(s, "ida", TODAY);
}

static const thew_proposed *row_of(const thew_proposals *p, const char *exercise)
{
    for (guint i = 0; i < p->proposed->len; i++) {
        const thew_proposed *proposed = &g_array_index(p->proposed, thew_proposed, i);
        if (strcmp(proposed->advised->exercise->id, exercise) == 0) return proposed;
    }
    fail_msg("no advice for %s", exercise);
    return NULL;
}

// Of the row's advice as it is in the store: "open", "open accepted", "taken by r1", ...
static char *fate(scene *s, const char *advice)
{
    g_autoptr(thew_rows) rows = NULL;
    kept(s, thew_store_advice_find(s->studio->db, s->studio->id, advice, &rows));
    const thew_store_advice *row = thew_row(rows, thew_store_advice, 0);
    return g_strdup_printf("%s%s%s%s", row->became, row->accepted_us.us ? " accepted" : "", row->record ? " by " : "",
                           row->record ? row->record : "");
}

static void row_fate(scene *s, const char *why, const char *expected, const char *advice)
{
    g_autofree char *obtained = fate(s, advice);
    row_text(why, expected, obtained);
}

static guint count_of(scene *s, const char *became)
{
    g_autoptr(thew_rows) rows = NULL;
    kept(s, thew_store_advice_all(s->studio->db, s->studio->id, became, &rows));
    return rows->row->len;
}

static void a_past(scene *s)
{
    static const struct {
        int days_ago;
        const char *exercise, *implement, *setting;
        double seconds;
    } row[] = { { 12, "seated-row", "soft", "mark-3", 81 },
                { 12, "seated-curl", "light", NULL, 70 },
                { 8, "seated-row", "firm", "mark-1", 66 },
                { 8, "seated-curl", "light", NULL, 75 } };
    for (gsize i = 0; i < G_N_ELEMENTS(row); i++) {
        g_autofree char *record = g_strdup_printf("past-%zu", i);
        thew_store_set set = a_set(record, "ida");
        set.entry.day = thew_studio_date(TODAY - row[i].days_ago);
        set.exercise = row[i].exercise;
        set.implement = row[i].implement;
        set.setting = row[i].setting;
        set.seconds = row[i].seconds;
        must(s, record_one(s, &set));
    }
}

static scene somebody_with_a_past(void)
{
    scene s = scene_set();
    take_on(&s, "ida");
    a_past(&s);
    return s;
}

static void made_once(void **state)
{
    (void)state;
    g_auto(scene) s = somebody_with_a_past();
    g_autoptr(thew_proposals) first = ask(&s), second = ask(&s), none = NULL;
    row_near("one for each exercise and side", 2, first->proposed->len, 0);
    row_near("kept", 2, count_of(&s, "open"), 0);
    for (guint i = 0; i < first->proposed->len; i++) {
        const thew_proposed *a = &g_array_index(first->proposed, thew_proposed, i),
                            *b = &g_array_index(second->proposed, thew_proposed, i);
        row_text("asked twice: the same identifier", a->advice, b->advice);
        row_text("the same load", a->label, b->label);
        row_true("the same odds", "they have the same bits", memcmp(&a->odds, &b->odds, sizeof a->odds) == 0);
        row_near("shares of one", 1, a->odds.p_floor + a->odds.p_early + a->odds.p_window + a->odds.p_beyond, 1e-9);
        row_true("what is to be done", "it is open", a->became == THEW_OPEN);
        guint advised = 0, chosen = 0;
        for (guint r = 0; r < a->rung->len; r++) {
            const thew_proposed_rung *rung = &g_array_index(a->rung, thew_proposed_rung, r);
            advised += rung->is_advised;
            chosen += rung->is_chosen && rung->is_advised;
        }
        row_near("one rung is advised", 1, advised, 0);
        row_near("and that is what is chosen", 1, chosen, 0);
        g_autoptr(GArray) drawn = thew_proposed_ladder(a, 7);
        advised = 0;
        for (guint r = 0; r < drawn->len; r++)
            advised += g_array_index(drawn, thew_odds_rung, r).is_advised;
        row_near("to be drawn: some about it", MIN(7, a->rung->len), drawn->len, 0);
        row_near("with it", 1, advised, 0);
        row_true("why", "there is a sentence", strlen(a->reason) > 20);
        row_true("cautions", "the implement's own are there", a->caution[0] != NULL);
    }
    g_autoptr(thew_proposals) tomorrow = ask_on(&s, "ida", TODAY + 1);
    row_near("another day's is another, and this day's stays open", 4, count_of(&s, "open"), 0);
    wait_hours(&s, 24);
    g_autoptr(thew_proposals) next_day = ask_on(&s, "ida", TODAY + 1);
    row_near("its day passed: it lapsed", 2, count_of(&s, "lapsed"), 0);
    row_text("tomorrow's came to be today's", row_of(tomorrow, "seated-row")->advice, row_of(next_day, "seated-row")->advice);
    row_said(&s, "a day that is past", THEW_INVALID, "/day", thew_propose(s.studio, "ida", TODAY, &none, s.refusal));
    row_said(&s, "nobody", THEW_ABSENT, "", thew_propose(s.studio, "nobody", TODAY + 1, &none, s.refusal));
    rows_end(25);
}

static void said_as_from_files(void **state)
{
    (void)state;
    g_auto(scene) s = somebody_with_a_past();
    g_autoptr(thew_proposals) p = ask(&s);
    g_autoptr(thew_person_advice) plain = thew_advise_person(s.catalogue, &p->knowledge->participant, TODAY);
    row_same_advice("what is proposed is what thew_advise_person says", plain, p->advice);
    for (guint i = 0; i < p->proposed->len; i++) {
        const thew_advised *advised = &g_array_index(plain->advised, thew_advised, i);
        const thew_proposed *proposed = &g_array_index(p->proposed, thew_proposed, i);
        row_text("the load", advised->take->label, proposed->label);
        row_near("the odds", advised->advice.odds.p_window, proposed->odds.p_window, 0);
        row_near("the goal", thew_advised_aim_s(plain, advised), proposed->goal_s, 0);
    }
    rows_end(10);
}

static void answered_and_undone(void **state)
{
    (void)state;
    g_auto(scene) s = somebody_with_a_past();
    g_autoptr(thew_proposals) p = ask(&s);
    const char *row = row_of(p, "seated-row")->advice;
    thew_other_load load = { "over-1", NULL, "soft", "mark-1", "a bad night" };
    row_said(&s, "yes", THEW_DONE, "", thew_propose_accept(s.studio, row, s.refusal));
    row_fate(&s, "accepted", "open accepted", row);
    row_said(&s, "yes, again", THEW_DONE_BEFORE, "", thew_propose_accept(s.studio, row, s.refusal));
    g_autoptr(thew_proposals) accepted = ask(&s);
    row_true("shown", "as taken", row_of(accepted, "seated-row")->became == THEW_TAKEN);
    row_said(&s, "undo", THEW_DONE, "", thew_propose_undo(s.studio, row, s.refusal));
    row_said(&s, "undo again", THEW_DONE_BEFORE, "", thew_propose_undo(s.studio, row, s.refusal));
    row_fate(&s, "undone", "open", row);
    row_said(&s, "another load", THEW_DONE, "", thew_propose_override(s.studio, &the_coach, row, &load, s.refusal));
    row_said(&s, "sent again", THEW_DONE_BEFORE, "", thew_propose_override(s.studio, &the_coach, row, &load, s.refusal));
    row_fate(&s, "overridden", "overridden", row);
    g_autoptr(thew_proposals) overridden = ask(&s);
    const thew_proposed *shown = row_of(overridden, "seated-row");
    row_text("the same advice", row, shown->advice);
    row_text("with what was chosen", "soft, mark-1", shown->override_label);
    row_text("and why", "a bad night", shown->override_reason);
    load.reason = "something else";
    row_said(&s, "the identifier says something else already", THEW_CONFLICT, "",
             thew_propose_override(s.studio, &the_coach, row, &load, s.refusal));

    static const struct {
        const char *why, *places;
        thew_other_load load;
    } wrong[] = {
        { "no reason", "/reason", { "o", NULL, "soft", NULL, "" } },
        { "no identifier", "/override", { "", NULL, "soft", NULL, "x" } },
        { "no such variant", "/variant", { "o", "seated-curl", "soft", NULL, "x" } },
        { "a band that she has not", "/implement", { "o", NULL, "hard", NULL, "x" } },
        { "a setting that there is not", "/implement", { "o", NULL, "soft", "mark-99", "x" } },
    };
    for (gsize i = 0; i < G_N_ELEMENTS(wrong); i++)
        row_said(&s, wrong[i].why, THEW_INVALID, wrong[i].places,
                 thew_propose_override(s.studio, &the_coach, row, &wrong[i].load, s.refusal));
    row_fate(&s, "nothing of that changed it", "overridden", row);
    row_said(&s, "undo", THEW_DONE, "", thew_propose_undo(s.studio, row, s.refusal));
    row_fate(&s, "open", "open", row);
    row_said(&s, "no such advice", THEW_ABSENT, "", thew_propose_accept(s.studio, "nothing", s.refusal));
    rows_end(35);
}

// What a set makes of an advice, and its correction and withdrawal.
static void settled_by_the_set(void **state)
{
    (void)state;
    static const struct {
        const char *why;
        char answer; // 'y'es, 'o'verride with soft mark-1, ' ' none
        bool as_told, as_chosen;
        const char *after, *withdrawn;
    } row[] = {
        { "as told, without an answer", ' ', true, false, "taken by done", "open" },
        { "as told, after a yes", 'y', true, false, "taken accepted by done", "open accepted" },
        { "another load, without an answer", ' ', false, false, "overridden by done", "open" },
        { "another load, after a yes", 'y', false, false, "overridden accepted by done", "open accepted" },
        { "as chosen", 'o', false, true, "overridden by done", "overridden" },
        { "as told, though another was chosen", 'o', true, false, "overridden by done", "overridden" },
    };
    for (gsize i = 0; i < G_N_ELEMENTS(row); i++) {
        g_auto(scene) s = somebody_with_a_past();
        g_autoptr(thew_proposals) p = ask(&s);
        const thew_proposed *told = row_of(p, "seated-row");
        thew_other_load load = { "over-1", NULL, "soft", "mark-1", "a bad night" };
        if (row[i].answer == 'y') must(&s, thew_propose_accept(s.studio, told->advice, s.refusal));
        if (row[i].answer == 'o') must(&s, thew_propose_override(s.studio, &the_coach, told->advice, &load, s.refusal));
        thew_store_set set = a_set("done", "ida");
        set.variant = told->variant;
        set.implement = row[i].as_told ? told->implement : row[i].as_chosen ? "soft" : "firm";
        set.setting = row[i].as_told ? told->setting : row[i].as_chosen ? "mark-1" : "mark-6";
        must(&s, record_one(&s, &set));
        row_fate(&s, row[i].why, row[i].after, told->advice);
        row_said(&s, "answered after the set", THEW_CONFLICT, "", thew_propose_undo(s.studio, told->advice, s.refusal));
        g_autoptr(thew_proposals) after = ask(&s);
        row_text("asked again after the set: the day's advice stays", told->advice, row_of(after, "seated-row")->advice);
        row_text("with the set that was done", "done", row_of(after, "seated-row")->record);
        thew_store_set never = {
            .entry = { .record = "never", .person = "ida", .day = set.entry.day, .replaces = "done", .withdrawn = true }
        };
        must(&s, record_one(&s, &never));
        row_fate(&s, "the set never was", row[i].withdrawn, told->advice);
    }
    rows_end(30);
}

static void what_was_agreed_on_stands(void **state)
{
    (void)state;
    g_auto(scene) s = somebody_with_a_past();
    g_autoptr(thew_proposals) p = ask(&s);
    const char *row = row_of(p, "seated-row")->advice, *curl = row_of(p, "seated-curl")->advice;
    must(&s, thew_propose_accept(s.studio, row, s.refusal));
    thew_store_set other = a_set("other", "ida");
    other.exercise = "seated-curl";
    other.implement = "light";
    other.setting = NULL;
    other.seconds = 80;
    must(&s, record_one(&s, &other));
    g_autoptr(thew_proposals) after = ask(&s);
    row_text("another exercise was done meanwhile: the yes stands", row, row_of(after, "seated-row")->advice);
    row_text("the one that was done is the day's", curl, row_of(after, "seated-curl")->advice);

    thew_store_set symptom = a_set("symptom", "ida"); // stopped at once: what is advised anew is lighter
    symptom.entry.day = thew_studio_date(TODAY - 1);
    symptom.implement = "soft";
    symptom.setting = "mark-0";
    symptom.ended = "symptom";
    symptom.seconds = 8;
    must(&s, record_one(&s, &symptom));
    g_autoptr(thew_proposals) eased = ask(&s);
    const thew_proposed *now = row_of(eased, "seated-row");
    bool lighter = now->advised->take->rung.peak_share < row_of(p, "seated-row")->advised->take->rung.peak_share;
    row_true("a symptom was written down late", "what is advised is lighter", lighter);
    row_true("then the yes no longer stands", "it is another advice, and open",
             strcmp(now->advice, row) != 0 && now->became == THEW_OPEN);
    rows_end(4);
}

static void not_for_everybody(void **state)
{
    (void)state;
    g_auto(scene) s = somebody_with_a_past();
    thew_proposals *none = NULL;
    g_autoptr(thew_proposals) before = ask(&s);
    row_has("not screened: advice says so first", "screening is not complete", before->note->len ? before->note->pdata[0] : NULL);

    thew_store_checkin hot = { .entry = { .record = "hot", .person = "ida", .day = { 2026, 3, 31 } }, .fatigue = { true, 9 } };
    thew_record_result result;
    must(&s, thew_check_in(s.studio, &the_coach, &hot, 1, &result, s.refusal));
    g_autoptr(thew_proposals) tired = ask(&s);
    row_has("the day's check-in is repeated", "not today", tired->note->len > 1 ? tired->note->pdata[1] : NULL);

    size_t count;
    const thew_question *const *question = thew_catalogue_questions(s.catalogue, &count);
    const char *answer = NULL, *ask_first = NULL;
    for (size_t q = 0; q < count && !ask_first; q++)
        for (size_t c = 0; c < question[q]->consequence_count; c++)
            if (question[q]->kind == THEW_ASK_YES_NO && question[q]->consequence[c].action == THEW_SCREEN_ASK) {
                ask_first = question[q]->id;
                answer = question[q]->consequence[c].answer[0];
            }
    thew_screen_given given = { ask_first, answer, "" };
    must(&s, thew_screen(s.studio, &the_coach, "ida", &given, 1, NULL, s.refusal));
    row_said(&s, "the screening says to ask a clinician first", THEW_CONFLICT, "",
             thew_propose(s.studio, "ida", TODAY, &none, s.refusal));
    rows_end(4);
}

static void limits_and_settings_hold(void **state)
{
    (void)state;
    g_auto(scene) s = somebody_with_a_past();
    kept(&s, thew_db_begin(s.studio->db));
    kept(&s, thew_store_limit_put(s.studio->db, s.studio->id, "ida",
                                  &(thew_store_limit){ "movement", "seated-row", "shoulder", { 2026, 4, 30 } }));
    kept(&s, thew_store_setting_put(s.studio->db, s.studio->id, &(thew_store_setting){ "window_to_s", "120" }));
    kept(&s, thew_store_setting_put(s.studio->db, s.studio->id, &(thew_store_setting){ "window_from_s", "90" }));
    kept(&s, thew_store_person_touch_all(s.studio->db, s.studio->id));
    kept(&s, thew_db_commit(s.studio->db));
    g_autoptr(thew_proposals) p = ask(&s);
    const thew_proposed *row = row_of(p, "seated-row"), *curl = row_of(p, "seated-curl");
    row_text("off limits: no advice", NULL, row->advice);
    row_true("off limits", "there is a sentence instead", strlen(row->reason) > 10);
    row_near("the studio's window", 90, curl->window_from_s, 0);
    row_near("to its end", 120, curl->window_to_s, 0);
    g_autoptr(thew_proposals) later = ask_on(&s, "ida", TODAY + 31);
    row_true("after the limit's last day", "it is advised again", row_of(later, "seated-row")->advice != NULL);
    rows_end(5);
}

// A desk that may only look sees the advice, and writes nothing.
static void open_for_reading(void **state)
{
    (void)state;
    g_auto(scene) s = somebody_with_a_past();
    g_autoptr(thew_studio) reader = NULL;
    must(&s, thew_studio_open(s.where.file, THEW_DB_READ, s.catalogue, &reader, s.refusal));
    reader->clock_us = s.studio->clock_us;
    g_autoptr(thew_proposals) seen = NULL;
    must(&s, thew_propose(reader, "ida", TODAY, &seen, s.refusal));
    row_near("nothing is kept", 0, count_of(&s, "open"), 0);
    g_autoptr(thew_proposals) made = ask(&s);
    row_text("the identifier that it would have", row_of(made, "seated-row")->advice, row_of(seen, "seated-row")->advice);
    row_text("the same load", row_of(made, "seated-row")->label, row_of(seen, "seated-row")->label);
    rows_end(3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(made_once),
        cmocka_unit_test(said_as_from_files),
        cmocka_unit_test(answered_and_undone),
        cmocka_unit_test(settled_by_the_set),
        cmocka_unit_test(what_was_agreed_on_stands),
        cmocka_unit_test(not_for_everybody),
        cmocka_unit_test(limits_and_settings_hold),
        cmocka_unit_test(open_for_reading),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
