// stock.c: see stock.h. Everything in here is invented.
#include "demo/stock.h"

#include <errno.h>
#include <glib/gstdio.h>
#include <math.h>
#include <string.h>

#include "catalogue/screening.h"
#include "demo/write.h"
#include "studio/admit.h"
#include "studio/believe.h"
#include "studio/keep_class.h"
#include "studio/plan_block.h"
#include "studio/propose.h"
#include "studio/screen.h"
#include "studio/set_up.h"
#include "studio/take_in.h"
#include "studio/take_measure.h"

#define WEEK 7

/// What it is made of.
typedef struct {
    thew_studio *studio;
    thew_actor coach;
    const play_studio *play;
    thew_day today;
    thew_refusal *refusal;
} stock;

// Whether the next step may be done.
static bool is_well(thew_verdict verdict)
{
    return verdict == THEW_DONE || verdict == THEW_DONE_BEFORE;
}

// --- the files
// ---------------------------------------------------------------------------------------------------------------------

// The half year ends in the week before today, on the same day of the week as ever.
static int weeks_to_now(thew_day today)
{
    int days = today - 1 - cast_day(CAST_TO);
    return (int)floor((double)days / WEEK);
}

static void move_days(play_studio *play, int days)
{
    for (guint i = 0; i < play->set->len; i++)
        g_array_index(play->set, play_set, i).day += days;
    for (guint i = 0; i < play->day->len; i++)
        g_array_index(play->day, play_day, i).day += days;
}

// Readings stay on the days on which they were made, unless those have not come yet.
static void move_readings(play_studio *play, int days, GStringChunk *words)
{
    for (guint i = 0; i < play->reading->len; i++) {
        play_reading *reading = &g_array_index(play->reading, play_reading, i);
        char text[THEW_DATE_TEXT];
        if (reading->measured)
            reading->measured =
                g_string_chunk_insert(words, thew_date_text(thew_studio_date(cast_day(reading->measured) + days), text));
    }
}

static thew_given_file file_of(const char *name, GString *text)
{
    return (thew_given_file){ name, g_string_free_to_bytes(text) };
}

static thew_verdict take_in_files(const stock *s)
{
    GString *people = g_string_new(NULL), *kit = g_string_new(NULL), *diary = g_string_new(NULL), *days = g_string_new(NULL);
    write_people(people);
    write_kit(kit, s->play);
    write_diary(diary, s->play);
    write_days(days, s->play);
    thew_given_files given = { file_of("people.csv", people), file_of("kit.csv", kit), file_of("diary.csv", diary),
                               file_of("days.csv", days) };
    g_autoptr(thew_trouble_list) trouble = thew_trouble_list_new();
    thew_taken_in taken;
    thew_verdict verdict = thew_take_in(s->studio, &s->coach, &given, false, &taken, trouble, s->refusal);
    if (!is_well(verdict)) {
        g_autoptr(GString) found = g_string_new(NULL);
        thew_trouble_print(trouble, 5, found);
        thew_refusal_add(s->refusal, "", "%s", found->str);
    }
    g_bytes_unref(given.people.bytes);
    g_bytes_unref(given.kit.bytes);
    g_bytes_unref(given.diary.bytes);
    g_bytes_unref(given.days.bytes);
    return verdict;
}

// --- screening
// ---------------------------------------------------------------------------------------------------------------------

/// An answer that is another than the harmless one.
typedef struct {
    int person; // index into cast_people
    const char *question, *answer;
} stock_answer;
static const stock_answer other_answers[] = {
    { 1, "fall", "yes" },
    { 3, "walking-aid", "stick" },
    { 4, "blood-pressure", "treated" },
    { 6, "numbness", "hands" },
    { 9, "latex", "yes" },
    { 11, "dizziness", "yes" },
    { 14, "stiffness", "yes" },
    { 17, "long-illness", "yes-active" },
    { 20, "walking-aid", "frame" },
};
#define NOT_SCREENED 2 // the last ones of the cast have come too late for it

static const char *answer_of(int person, const thew_question *question)
{
    static const char *const side[] = { [THEW_BOTH] = "neither", [THEW_LEFT] = "left", [THEW_RIGHT] = "right" };
    for (gsize a = 0; a < G_N_ELEMENTS(other_answers); a++)
        if (other_answers[a].person == person && strcmp(other_answers[a].question, question->id) == 0)
            return other_answers[a].answer;
    if (question->tells == THEW_TELLS_HEAT) return cast_people[person].heat_sensitive ? "yes" : "no";
    if (question->tells == THEW_TELLS_WEAKER_SIDE) return side[cast_people[person].weaker_side];
    return question->kind == THEW_ASK_CHOICE ? question->choice[0].id : "no"; // the first choice is the harmless one
}

static thew_verdict screen(const stock *s, int person)
{
    size_t count;
    const thew_question *const *question = thew_catalogue_questions(s->studio->catalogue, &count);
    g_autoptr(GArray) given = g_array_new(FALSE, FALSE, sizeof(thew_screen_given));
    for (size_t q = 0; q < count; q++) {
        if (question[q]->optional) continue;
        thew_screen_given answer = { question[q]->id, answer_of(person, question[q]), "" };
        g_array_append_val(given, answer);
    }
    return thew_screen(s->studio, &s->coach, cast_people[person].id, (const thew_screen_given *)(gconstpointer)given->data,
                       given->len, NULL, s->refusal);
}

static thew_verdict screen_all(const stock *s)
{
    thew_verdict verdict = THEW_DONE;
    for (int p = 0; p < cast_people_count - NOT_SCREENED && is_well(verdict); p++)
        verdict = screen(s, p);
    return verdict;
}

// --- outcome measures
// --------------------------------------------------------------------------------------------------------------

// Two tests, three times each, six weeks apart: the first few people, each with a pace of their own.
static thew_verdict take_measures(const stock *s)
{
    static const struct {
        const char *measure, *unit;
        double first, change;
    } test[] = { { "five-times-sit-to-stand", "s", 15.2, -1.1 }, { "timed-25-foot-walk", "s", 6.4, -.2 } };
    enum { PEOPLE = 8, TIMES = 3 };
    thew_verdict verdict = THEW_DONE;
    for (int p = 0; p < PEOPLE && is_well(verdict); p++) {
        thew_store_outcome outcome[TIMES * G_N_ELEMENTS(test)];
        thew_record_result result[G_N_ELEMENTS(outcome)];
        char record[G_N_ELEMENTS(outcome)][40];
        for (guint i = 0; i < G_N_ELEMENTS(outcome); i++) {
            guint t = i % G_N_ELEMENTS(test), time = i / G_N_ELEMENTS(test);
            thew_day day = s->today - 3 - (TIMES - 1 - (int)time) * 6 * WEEK;
            double value = test[t].first * (1 + .06 * (p % 5)) + test[t].change * time * (p % 3);
            g_snprintf(record[i], sizeof record[i], "demo-outcome-%d-%u", p, i);
            outcome[i] = (thew_store_outcome){ .entry = { .record = record[i],
                                                          .person = cast_people[p].id,
                                                          .day = thew_studio_date(day),
                                                          .at_us = { ((gint64)day * 24 + 9) * 3600 * G_USEC_PER_SEC },
                                                          .note = "" },
                                               .measure = test[t].measure,
                                               .value = round(value * 10) / 10,
                                               .unit = test[t].unit,
                                               .side = "both" };
        }
        verdict = thew_take_measures(s->studio, &s->coach, outcome, G_N_ELEMENTS(outcome), result, s->refusal);
    }
    return verdict;
}

// --- classes, blocks, advice
// -------------------------------------------------------------------------------------------------------

static thew_verdict keep_class(const stock *s, const char *class, const char *called, const thew_kept_wishes *wishes)
{
    thew_class_plan *plan = NULL;
    thew_verdict verdict = thew_keep_class_compose(s->studio, wishes, &plan, s->refusal);
    if (!is_well(verdict)) return verdict;
    g_autoptr(GArray) slots = g_array_new(FALSE, FALSE, sizeof(thew_kept_slot));
    for (guint i = 0; i < plan->item->len; i++) {
        const thew_class_item *item = &g_array_index(plan->item, thew_class_item, i);
        thew_kept_slot slot = { item->exercise->id, item->variant->id, item->sets, wishes->rest_s };
        g_array_append_val(slots, slot);
    }
    const thew_class_version version = { .class = class,
                                         .version = 1,
                                         .called = called,
                                         .plan = { *wishes, (const thew_kept_slot *)(gconstpointer)slots->data, slots->len } };
    verdict = thew_keep_class(s->studio, &s->coach, &version, s->refusal);
    thew_class_plan_free(plan);
    return verdict;
}

static thew_verdict keep_classes(const stock *s)
{
    static const char *const none[] = { NULL };
    size_t count;
    const thew_goal *const *goal = thew_catalogue_goals(s->studio->catalogue, &count);
    const thew_wish_goal goals[] = { { goal[0]->id, 3 }, { goal[1]->id, 2 }, { goal[2]->id, 1 } };
    const unsigned bands = 1u << THEW_IMPLEMENT_BODY | 1u << THEW_IMPLEMENT_BAND, all = (1u << THEW_IMPLEMENT_COUNT) - 1;
    const thew_kept_wishes seated = { goals, 2, 30, 1u << THEW_SEATED, bands, 1, 90, none, none };
    const thew_kept_wishes mixed = { goals, 3, 40, 1u << THEW_SEATED | 1u << THEW_STANDING, all, 1, 120, none, none };
    thew_verdict verdict = keep_class(s, "demo-seated", "Seated, with bands", &seated);
    return is_well(verdict) ? keep_class(s, "demo-mixed", "Seated and standing", &mixed) : verdict;
}

static thew_verdict plan_blocks(const stock *s)
{
    enum { BLOCKS = 6, WEEKS = 8 };
    thew_verdict verdict = THEW_DONE;
    for (int p = 0; p < BLOCKS && is_well(verdict); p++) {
        g_autofree char *id = g_strdup_printf("demo-block-%d", p);
        thew_block block = { .block = id,
                             .version = 1,
                             .person = cast_people[p].id,
                             .called = "Eight weeks",
                             .from_day = thew_studio_date(s->today - 4 * WEEK),
                             .until_day = thew_studio_date(s->today + 4 * WEEK - 1),
                             .plan = { .sessions_a_week = 2,
                                       .weekday = { 2, 5 },
                                       .weekday_count = 2,
                                       .class = p % 2 ? "demo-mixed" : "demo-seated",
                                       .sets = 1,
                                       .easier_every_weeks = 4 } };
        verdict = thew_plan_block(s->studio, &s->coach, &block, s->refusal);
    }
    return verdict;
}

// Of every third person's advice the first is taken; the rest waits.
static thew_verdict advise_all(const stock *s)
{
    for (int p = 0; p < cast_people_count - NOT_SCREENED; p++) {
        thew_proposals *proposals = NULL;
        g_autoptr(thew_refusal) ask_first = thew_refusal_new(); // a screening that says so is part of the demo
        thew_verdict verdict = thew_propose(s->studio, cast_people[p].id, s->today, &proposals, ask_first);
        if (verdict == THEW_UNABLE) return thew_refuse(s->refusal, verdict, "%s", ask_first->sentence);
        if (!is_well(verdict)) continue;
        const thew_proposed *first = proposals->proposed->len > 0 ? &g_array_index(proposals->proposed, thew_proposed, 0) : NULL;
        if (p % 3 == 0 && first && first->advice) thew_propose_accept(s->studio, first->advice, ask_first);
        thew_proposals_free(proposals);
    }
    return THEW_DONE;
}

// --- who may come in
// -----------------------------------------------------------------------------------------------------------------

static thew_verdict admit(const stock *s, char **password)
{
    thew_link link, noise;
    if (!thew_admit_ready()) return thew_refuse(s->refusal, THEW_UNABLE, "this system has no source of randomness for a password");
    const thew_account_given given = {
        .account = s->coach.account, .login = STOCK_LOGIN, .role = "coach", .called = "The demo's coach"
    };
    thew_verdict verdict = thew_admit_make(s->studio, &s->coach, &given, &link, s->refusal);
    if (is_well(verdict)) verdict = thew_admit_invite(s->studio, &s->coach, given.account, &noise, s->refusal);
    if (!is_well(verdict)) return verdict;
    *password = g_strndup(link.secret, 16); // 96 random bits of a link that is good no more
    g_auto(thew_admitted) admitted = { 0 };
    return thew_admit_by_link(s->studio, noise.secret, given.login, *password, given.called, &admitted, s->refusal);
}

// --- all of it
// ---------------------------------------------------------------------------------------------------------------------

static thew_verdict fill(const stock *s, char **password)
{
    thew_verdict verdict = thew_set_up_demo(s->studio, true, s->refusal);
    if (is_well(verdict)) verdict = take_in_files(s);
    if (is_well(verdict)) verdict = screen_all(s);
    if (is_well(verdict)) verdict = take_measures(s);
    if (is_well(verdict)) verdict = keep_classes(s);
    if (is_well(verdict)) verdict = plan_blocks(s);
    if (is_well(verdict)) verdict = thew_rebuild(s->studio, NULL, NULL, NULL, s->refusal);
    if (is_well(verdict)) verdict = advise_all(s);
    if (is_well(verdict)) verdict = admit(s, password);
    return verdict;
}

static void remove_store(const char *path)
{
    static const char *const ending[] = { "", "-wal", "-shm" };
    for (gsize e = 0; e < G_N_ELEMENTS(ending); e++) {
        g_autofree char *file = g_strconcat(path, ending[e], NULL);
        g_unlink(file);
    }
}

static thew_verdict make_in(const char *path, const thew_catalogue *catalogue, uint64_t seed, char **password,
                            thew_refusal *refusal)
{
    thew_verdict verdict = thew_studio_make(path, "Demo studio (everything in it is invented)", NULL, "en", refusal);
    g_autoptr(thew_studio) studio = NULL;
    if (is_well(verdict)) verdict = thew_studio_open(path, THEW_DB_WRITE, catalogue, &studio, refusal);
    if (!is_well(verdict)) return verdict;
    g_autoptr(play_studio) play = play_half_year(catalogue, seed);
    g_autoptr(GStringChunk) words = g_string_chunk_new(1024);
    thew_day today = thew_studio_today(studio);
    int days = weeks_to_now(today) * WEEK;
    move_days(play, days);
    move_readings(play, days, words);
    const stock s = { studio, { "demo-coach-account", NULL }, play, today, refusal };
    return fill(&s, password);
}

// Under another name until it is whole.
thew_verdict stock_make(const char *path, const thew_catalogue *catalogue, uint64_t seed, char **password, thew_refusal *refusal)
{
    *password = NULL;
    if (g_file_test(path, G_FILE_TEST_EXISTS))
        return thew_refuse(refusal, THEW_CONFLICT, "%s is there already: choose another name, or remove it first", path);
    g_autofree char *making = g_strconcat(path, ".making", NULL);
    remove_store(making); // of one that was broken off
    thew_verdict verdict = make_in(making, catalogue, seed, password, refusal);
    if (is_well(verdict) && g_rename(making, path) == 0) return THEW_DONE;
    if (is_well(verdict)) verdict = thew_refuse(refusal, THEW_UNABLE, "%s could not be made: %s", path, g_strerror(errno));
    g_clear_pointer(password, g_free);
    remove_store(making);
    return verdict;
}
