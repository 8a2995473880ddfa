// Today: who needs the coach, in which order, who trains, who has. Standings are written outright, so each row says one thing.
// Invented.
#include "studio/watch.h"

#include "store/block.h"
#include "studio/class_text.h"
#include "tests/studio/stored.h"

#define DAYS_AGO(n) thew_studio_date(TODAY - (n))

// Somebody of whom all is well: screened, with kit, trained two days ago.
static thew_store_standing fine(void)
{
    return (thew_store_standing){ .engine = THEW_ENGINE_VERSION,
                                  .sets = 40,
                                  .first_day = DAYS_AGO(100),
                                  .last_day = DAYS_AGO(2),
                                  .last_sets = 4,
                                  .days = 1,
                                  .earliest_day = DAYS_AGO(0),
                                  .screening = "clear",
                                  .items = 3 };
}

// In place of what would be found, at the person's own revision, so that it is taken for up to date.
static void stand(scene *s, const char *person, thew_store_standing standing)
{
    g_autoptr(thew_rows) rows = NULL;
    g_autoptr(thew_refusal) unheard = thew_refusal_new();
    thew_believe(s->studio, person, unheard); // the belief is up to date
    kept(s, thew_store_person_find(s->studio->db, s->studio->id, person, &rows));
    standing.person = person;
    standing.revision = thew_row(rows, thew_store_person, 0)->revision;
    kept(s, thew_db_begin(s->studio->db));
    kept(s, thew_store_standing_put(s->studio->db, s->studio->id, &standing));
    kept(s, thew_db_commit(s->studio->db));
}

static void enter(scene *s, const char *person)
{
    thew_store_person row = { .person = person, .called = person, .note = "", .made_us = { 1 }, .changed_us = { 1 } };
    kept(s, thew_db_begin(s->studio->db));
    kept(s, thew_store_person_put(s->studio->db, s->studio->id, &row));
    kept(s, thew_db_commit(s->studio->db));
}

static char *signs(const thew_today *today)
{
    GString *out = g_string_new(NULL);
    for (guint i = 0; i < today->attention->len; i++) {
        const thew_attention *a = &g_array_index(today->attention, thew_attention, i);
        g_string_append_printf(out, "%s%s:%s", i ? " " : "", a->person, thew_attention_word(a->kind));
    }
    return g_string_free(out, FALSE);
}

static thew_store_standing changed(int row)
{
    thew_store_standing s = fine();
    switch (row) {
    case 1:
        s.declined = true;
        break;
    case 2:
        s.declined = true, s.last_day = DAYS_AGO(50);
        break;
    case 3:
        s.symptom_day = s.last_day, s.symptom_exercise = "seated-row";
        break;
    case 4:
        s.symptom_day = DAYS_AGO(20), s.symptom_exercise = "seated-row";
        break;
    case 5:
        s.screening = "not_asked";
        break;
    case 6:
        s.screening = "ask_first";
        break;
    case 7:
        s.days = 1 | 1 << 2 | 1 << 4;
        s.last_day = DAYS_AGO(1);
        break;
    case 8:
        s.days = 1 | 1 << 1 | 1 << 2 | 1 << 4;
        s.last_day = DAYS_AGO(1);
        break;
    case 9:
        s.days = 1 | 1 << 1 | 1 << 2 | 1 << 6;
        s.last_day = DAYS_AGO(1);
        break;
    case 10:
        s.unrested_day = DAYS_AGO(6), s.unrested_exercise = "seated-row";
        break;
    case 11:
        s.unrested_day = DAYS_AGO(7), s.unrested_exercise = "seated-row";
        break;
    case 12:
        s.used_up_exercise = "seated-row", s.used_up_light = true;
        break;
    case 13:
        s.last_day = DAYS_AGO(13);
        break;
    case 14:
        s.last_day = DAYS_AGO(14);
        break;
    case 15:
        s.last_day = DAYS_AGO(400);
        break;
    case 16:
        s.nothing_fits = "seated-row", s.items = 0;
        break;
    case 17:
        s.asked_day = DAYS_AGO(0);
        break;
    case 18:
        s.sets = 0, s.first_day = s.last_day = s.earliest_day = (thew_date){ 0 }, s.days = 0;
        break;
    default:
        break;
    }
    return s;
}

static void each_sign(void **state)
{
    (void)state;
    static const struct {
        const char *why, *sign, *words, *what_to_do;
    } row[] = {
        { "all is well", "", NULL, NULL },
        { "a sudden decline", "ida:decline", "fallen suddenly", "clinician" },
        { "a decline long ago", "ida:missed_weeks", NULL, NULL },
        { "a symptom at the last session", "ida:symptom", "Seated row for a symptom", "clinician" },
        { "a symptom before others that went well", "", NULL, NULL },
        { "screening not complete", "ida:not_screened", "not complete", "questions" },
        { "screening says to ask first", "ida:not_screened", "ask a clinician first", "agreed" },
        { "three sessions a week", "", NULL, NULL },
        { "four in seven days", "ida:too_much", "4 days of the last seven", "fewer" },
        { "the fourth lies eight days back", "", NULL, NULL },
        { "no rest day within the week", "ida:too_much", "without a day of rest", "a day between" },
        { "no rest day a week ago", "", NULL, NULL },
        { "a ladder used up", "ida:ladder_used_up", "too light", "harder variant" },
        { "13 days without training", "", NULL, NULL },
        { "R04: 14 days or more", "ida:missed_weeks", "2 weeks", "one step lighter" },
        { "over a year: no longer missed", "", NULL, NULL },
        { "no kit", "ida:no_kit", "no kit", "measure" },
        { "the day's check-in asked for a clinician", "ida:symptom", "ask a clinician first", "No sets" },
        { "new, without a set", "", NULL, NULL },
    };
    g_auto(scene) s = scene_set();
    enter(&s, "ida");
    for (gsize i = 0; i < G_N_ELEMENTS(row); i++) {
        stand(&s, "ida", changed((int)i));
        g_autoptr(thew_today) today = NULL;
        must(&s, thew_watch(s.studio, TODAY, &today, s.refusal));
        g_autofree char *obtained = signs(today);
        row_text(row[i].why, row[i].sign, obtained);
        const thew_attention *first = today->attention->len ? &g_array_index(today->attention, thew_attention, 0) : NULL;
        if (row[i].words) row_has(row[i].why, row[i].words, first ? first->words : NULL);
        if (row[i].what_to_do) row_has(row[i].why, row[i].what_to_do, first ? first->what_to_do : NULL);
        row_near("nobody is behind", 0, today->behind, 0);
    }
    rows_end(50);
}

static void most_urgent_first(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    static const struct {
        const char *person;
        int row;
    } row[] = { { "a", 14 }, { "b", 12 }, { "c", 8 }, { "d", 5 }, { "e", 3 }, { "f", 1 }, { "g", 16 }, { "h", 0 } };
    for (gsize i = 0; i < G_N_ELEMENTS(row); i++) {
        enter(&s, row[i].person);
        stand(&s, row[i].person, changed(row[i].row));
    }
    g_autoptr(thew_today) today = NULL;
    must(&s, thew_watch(s.studio, TODAY, &today, s.refusal));
    g_autofree char *obtained = signs(today);
    row_text("in order", "f:decline e:symptom d:not_screened c:too_much b:ladder_used_up a:missed_weeks g:no_kit", obtained);
    row_near("everybody has a line", 8, today->watched->len, 0);
    row_near("who trained within the week", 7, today->recent->len, 0);
    row_text("newest first", "c", g_array_index(today->recent, thew_trained, 0).person);
    rows_end(4);
}

static void who_trains(void **state)
{
    (void)state;
    static const struct {
        const char *why, *person;
        gint64 days; // bit i: i days before the last day, 7 days ago: a Tuesday like TODAY
        int last_ago;
        const char *plan;     // of a block over the day; NULL: none
        const char *expected; // within why; NULL: is not expected
    } row[] = {
        { "every Tuesday of six weeks", "a",
          1 | 1 << 7 | 1 << 14 | 1 << 21 | G_GINT64_CONSTANT(1) << 28 | G_GINT64_CONSTANT(1) << 35, 7, NULL,
          "Tuesdays: 6 of the last 6" },
        { "three of six", "b", 1 | 1 << 14 | G_GINT64_CONSTANT(1) << 28, 7, NULL, "3 of the last 6" },
        { "two of six", "c", 1 | 1 << 7, 7, NULL, NULL },
        { "Mondays", "d", 1 | 1 << 7 | 1 << 14, 8, NULL, NULL },
        { "away for weeks", "e", 1 | 1 << 7 | 1 << 14, 21, NULL, NULL },
        { "has been here today", "f", 1 | 1 << 7 | 1 << 14 | 1 << 21, 0, NULL, NULL },
        { "planned for Tuesdays", "g", 1, 30, "2", "Planned: Spring" },
        { "planned for other days, whatever the habit", "h", 1 | 1 << 7 | 1 << 14 | 1 << 21, 7, "3", NULL },
    };
    g_auto(scene) s = scene_set();
    for (gsize i = 0; i < G_N_ELEMENTS(row); i++) {
        enter(&s, row[i].person);
        if (row[i].plan) {
            thew_block_plan plan = { .sessions_a_week = 1, .weekday = { atoi(row[i].plan) }, .weekday_count = 1, .sets = 1 };
            g_autofree char *text = thew_block_text(&plan), *block = g_strconcat("block-", row[i].person, NULL);
            thew_store_block kept_block = { .block = block,
                                            .version = 1,
                                            .person = row[i].person,
                                            .called = "Spring",
                                            .from_day = DAYS_AGO(10),
                                            .until_day = DAYS_AGO(-10),
                                            .plan = text,
                                            .made_us = { 1 },
                                            .written_by = "coach-1" };
            kept(&s, thew_db_begin(s.studio->db));
            kept(&s, thew_store_block_add(s.studio->db, s.studio->id, &kept_block));
            kept(&s, thew_db_commit(s.studio->db));
        }
        thew_store_standing standing = fine();
        standing.days = row[i].days;
        standing.last_day = DAYS_AGO(row[i].last_ago);
        stand(&s, row[i].person, standing);
    }
    g_autoptr(thew_today) today = NULL;
    must(&s, thew_watch(s.studio, TODAY, &today, s.refusal));
    for (gsize i = 0; i < G_N_ELEMENTS(row); i++) {
        const char *why = NULL;
        for (guint t = 0; t < today->trains->len; t++)
            if (strcmp(g_array_index(today->trains, thew_trains, t).person, row[i].person) == 0)
                why = g_array_index(today->trains, thew_trains, t).why;
        if (row[i].expected)
            row_has(row[i].why, row[i].expected, why);
        else
            row_text(row[i].why, NULL, why);
    }
    rows_end(8);
}

// From sets and advice that are really written down: those who are behind are brought up to date by looking.
static void from_what_is_written(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    take_on(&s, "ida");
    take_on(&s, "ole");
    thew_store_set set = a_set("a", "ida");
    set.ended = "symptom";
    must(&s, record_one(&s, &set));
    g_autoptr(thew_proposals) p = NULL;
    must(&s, thew_propose(s.studio, "ole", TODAY, &p, s.refusal));
    g_autoptr(thew_today) today = NULL;
    must(&s, thew_watch(s.studio, TODAY, &today, s.refusal));
    g_autofree char *obtained = signs(today);
    row_text("a symptom, two without screening, advice that waits",
             "ida:symptom ida:not_screened ole:not_screened ole:advice_waiting", obtained);
    row_near("a row, and a curl on each side", 3, today->waiting, 0);
    row_near("nobody is behind", 0, today->behind, 0);
    row_near("one has trained", 1, today->recent->len, 0);
    must(&s, thew_propose_accept(s.studio, g_array_index(p->proposed, thew_proposed, 0).advice, s.refusal));
    g_autoptr(thew_today) after = NULL;
    must(&s, thew_watch(s.studio, TODAY, &after, s.refusal));
    row_near("one was accepted", 2, after->waiting, 0);
    rows_end(5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_sign),
        cmocka_unit_test(most_urgent_first),
        cmocka_unit_test(who_trains),
        cmocka_unit_test(from_what_is_written),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
