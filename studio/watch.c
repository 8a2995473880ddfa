// watch.c: see watch.h.
#include "studio/watch.h"

#include <string.h>

#include "store/block.h"
#include "studio/class_text.h"
#include "studio/held.h"
#include "studio/words.h"

// How long a sign is shown, and when it is one: judgements, but for those that name a rule.
#define MOMENT_MS 40 // for bringing people up to date before looking
#define DECLINE_DAYS 42
#define SYMPTOM_DAYS 14
#define ASKED_DAYS 28
#define LADDER_DAYS 60
#define MISSED_DAYS 14      // safety rule R04
#define MISSED_DAYS_MAX 365 // then it is a habit, or they left
#define WEEK_DAYS 7
#define SESSIONS_A_WEEK_MAX 3 // of this kind, with a rest day between: Latimer-Cheung 2013 asks for two
#define RHYTHM_WEEKS 6
#define RHYTHM_LEAST 3 // of these weeks

const char *thew_attention_word(thew_attention_kind kind)
{
#define ATTENTION_WORD(kind, word) [kind] = word,
    static const char *const word[] = { THEW_ATTENTION_LIST(ATTENTION_WORD) };
#undef ATTENTION_WORD
    return word[kind];
}

// --- One person ------------------------------------------------------------------------------------------------------------------

typedef struct {
    const thew_studio *studio;
    thew_today *today;
    const thew_store_overview *row;
    thew_day day, last;
    guint first_plan; // of today->plan: where this person's begin
} look;

static const char *hold(const look *l, const char *format, ...) G_GNUC_PRINTF(2, 3);
static const char *hold(const look *l, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    g_autofree char *text = g_strdup_vprintf(format, arguments);
    va_end(arguments);
    return g_string_chunk_insert_const(l->today->words, text);
}

static const char *exercise_name(const look *l, const char *id)
{
    const thew_exercise *exercise = thew_catalogue_exercise(l->studio->catalogue, id);
    return exercise ? exercise->name : id;
}

static const char *day_words(const look *l, thew_day day)
{
    g_autofree char *words = thew_words_day(day);
    return hold(l, "%s", words);
}

static void attend(const look *l, thew_attention_kind kind, thew_day day, const char *exercise, const char *words,
                   const char *what_to_do)
{
    thew_attention attention = { .kind = kind,
                                 .person = l->row->standing.person,
                                 .called = l->row->called,
                                 .day = day,
                                 .words = words,
                                 .what_to_do = what_to_do,
                                 .exercise = exercise };
    g_array_append_val(l->today->attention, attention);
}

// Days from then until the day looked at; -1 if there is no such day, or it is still to come.
static int days_since(const look *l, thew_date date)
{
    thew_day day = thew_studio_number(date);
    return day == THEW_NO_DAY || day > l->day ? -1 : l->day - day;
}

static bool within(const look *l, thew_date date, int days)
{
    int since = days_since(l, date);
    return since >= 0 && since < days;
}

static bool trained_on(const thew_store_standing *s, thew_day last, thew_day day)
{
    return last != THEW_NO_DAY && day <= last && last - day < 62 && (s->days >> (last - day) & 1);
}

static void look_for_decline(const look *l)
{
    const thew_store_standing *s = &l->row->standing;
    if (!s->declined || !within(l, s->last_day, DECLINE_DAYS)) return;
    attend(l, THEW_ATTENTION_DECLINE, l->last, NULL,
           hold(l, "%s's strength had fallen suddenly on %s.", l->row->called, day_words(l, l->last)),
           "Ask how they are before the next session; loads are eased meanwhile. Whether it is a relapse or an infection is the "
           "clinician's "
           "to say.");
}

static void look_for_symptom(const look *l)
{
    const thew_store_standing *s = &l->row->standing;
    if (within(l, s->asked_day, ASKED_DAYS))
        attend(l, THEW_ATTENTION_SYMPTOM, thew_studio_number(s->asked_day), NULL,
               hold(l, "%s's check-in on %s said to ask a clinician first.", l->row->called,
                    day_words(l, thew_studio_number(s->asked_day))),
               "No sets until the clinician has answered; what they say stands above this.");
    bool at_last = thew_date_compare(s->symptom_day, s->last_day) == 0;
    if (!within(l, s->symptom_day, at_last ? LADDER_DAYS : SYMPTOM_DAYS)) return;
    attend(l, THEW_ATTENTION_SYMPTOM, thew_studio_number(s->symptom_day), s->symptom_exercise,
           hold(l, "%s stopped a set of %s for a symptom on %s.", l->row->called, exercise_name(l, s->symptom_exercise),
                day_words(l, thew_studio_number(s->symptom_day))),
           "Ask what it was before the next session; if it lasts or comes again, the clinician decides.");
}

static void look_for_screening(const look *l)
{
    const char *verdict = l->row->standing.screening;
    thew_day since = thew_studio_number(l->row->since_day);
    if (verdict && strcmp(verdict, "ask_first") == 0)
        attend(l, THEW_ATTENTION_NOT_SCREENED, since == THEW_NO_DAY ? l->day : since, NULL,
               hold(l, "%s's screening says to ask a clinician first.", l->row->called),
               "No advice is made until a clinician has agreed; write down who, and when.");
    if (l->row->standing.engine && (!verdict || strcmp(verdict, "not_asked") == 0))
        attend(l, THEW_ATTENTION_NOT_SCREENED, since == THEW_NO_DAY ? l->day : since, NULL,
               hold(l, "%s's screening is not complete.", l->row->called), "Ask its questions before the next session.");
}

static int sessions_of_week(const look *l)
{
    int count = 0;
    for (int before = 0; before < WEEK_DAYS; before++)
        count += trained_on(&l->row->standing, l->last, l->day - before);
    return count;
}

static void look_for_too_much(const look *l)
{
    const thew_store_standing *s = &l->row->standing;
    int sessions = sessions_of_week(l);
    if (sessions > SESSIONS_A_WEEK_MAX)
        attend(l, THEW_ATTENTION_TOO_MUCH, l->last, NULL,
               hold(l, "%s trained on %d days of the last seven.", l->row->called, sessions),
               "More than three sessions a week leave too little rest: agree on fewer.");
    else if (within(l, s->unrested_day, WEEK_DAYS))
        attend(l, THEW_ATTENTION_TOO_MUCH, thew_studio_number(s->unrested_day), s->unrested_exercise,
               hold(l, "%s trained the muscles of %s on %s without a day of rest between.", l->row->called,
                    exercise_name(l, s->unrested_exercise), day_words(l, thew_studio_number(s->unrested_day))),
               "Leave a day between sessions for the same muscles.");
}

static void look_for_ladder(const look *l)
{
    const thew_store_standing *s = &l->row->standing;
    if (!s->used_up_exercise || !within(l, s->last_day, LADDER_DAYS)) return;
    const char *name = exercise_name(l, s->used_up_exercise);
    attend(l, THEW_ATTENTION_LADDER, l->last, s->used_up_exercise,
           s->used_up_light
               ? hold(l, "Even the heaviest load that %s has for %s is too light by now.", l->row->called, name)
               : hold(l, "Even the lightest load that %s has for %s may end too early too often.", l->row->called, name),
           s->used_up_light ? "Another band or weight, or the harder variant, goes on from here."
                            : "A lighter band or weight, or the easier variant; if strength fell, ask how they are.");
}

static void look_for_missed(const look *l)
{
    int since = days_since(l, l->row->standing.last_day);
    if (since < MISSED_DAYS || since > MISSED_DAYS_MAX) return;
    attend(l, THEW_ATTENTION_MISSED, l->last, NULL,
           hold(l, "%s has not trained for %d weeks, since %s.", l->row->called, since / 7, day_words(l, l->last)),
           "Ask how they are. The first session afterwards is one step lighter.");
}

static void look_for_kit(const look *l)
{
    const thew_store_standing *s = &l->row->standing;
    if (!s->nothing_fits) return;
    attend(l, THEW_ATTENTION_NO_KIT, l->day, s->nothing_fits,
           s->items == 0
               ? hold(l, "%s has no kit: nothing can be advised for %s.", l->row->called, exercise_name(l, s->nothing_fits))
               : hold(l, "Nothing in %s's kit fits %s.", l->row->called, exercise_name(l, s->nothing_fits)),
           "Add what they own and measure their bands, or choose another exercise.");
}

static void look_for_waiting(const look *l, int waiting)
{
    if (waiting == 0) return;
    attend(l, THEW_ATTENTION_WAITING, l->day, NULL,
           waiting == 1 ? hold(l, "One advice for %s waits for a yes.", l->row->called)
                        : hold(l, "%d advices for %s wait for a yes.", waiting, l->row->called),
           "Accept them, or choose otherwise with a reason.");
}

// --- Who trains ------------------------------------------------------------------------------------------------------------------

static const char *const weekday_name[] = { "Mondays", "Tuesdays", "Wednesdays", "Thursdays", "Fridays", "Saturdays", "Sundays" };

// 0 Monday to 6 Sunday; 1970-01-01 was a Thursday.
static int weekday_of(thew_day day)
{
    return (int)((((gint64)day + 3) % 7 + 7) % 7);
}

// Planned for this weekday by a block; the block's name, or NULL.
static const char *planned_by(const look *l, bool *has_block)
{
    *has_block = false;
    g_autoptr(GPtrArray) held = thew_held_new();
    for (guint i = l->first_plan; i < l->today->plan->row->len; i++) { // in order of the person
        const thew_store_block *block = thew_row(l->today->plan, thew_store_block, i);
        thew_block_plan plan;
        if (strcmp(block->person, l->row->standing.person) != 0) break;
        if (!thew_block_text_read(block->plan, held, &plan)) continue;
        *has_block = *has_block || plan.weekday_count > 0;
        for (int w = 0; w < plan.weekday_count; w++)
            if (plan.weekday[w] == weekday_of(l->day) + 1) return block->called;
    }
    return NULL;
}

static int weeks_on_weekday(const look *l)
{
    int count = 0;
    for (int week = 1; week <= RHYTHM_WEEKS; week++)
        count += trained_on(&l->row->standing, l->last, l->day - 7 * week);
    return count;
}

static void look_for_training(const look *l)
{
    if (l->last == l->day) return; // has been here
    bool has_block;
    const char *block = planned_by(l, &has_block), *why = NULL;
    int since = days_since(l, l->row->standing.last_day), weeks = weeks_on_weekday(l);
    if (block)
        why = hold(l, "Planned: %s.", block);
    else if (!has_block && since >= 0 && since < MISSED_DAYS && weeks >= RHYTHM_LEAST)
        why = hold(l, "Mostly trains on %s: %d of the last %d weeks.", weekday_name[weekday_of(l->day)], weeks, RHYTHM_WEEKS);
    if (!why) return;
    thew_trains trains = { .person = l->row->standing.person,
                           .called = l->row->called,
                           .why = why,
                           .earliest = thew_studio_number(l->row->standing.earliest_day),
                           .heat_sensitive = l->row->heat_sensitive };
    g_array_append_val(l->today->trains, trains);
}

static void look_for_trained(const look *l)
{
    if (!within(l, l->row->standing.last_day, WEEK_DAYS)) return;
    thew_trained trained = { l->row->standing.person, l->row->called, l->last, l->row->standing.last_sets };
    g_array_append_val(l->today->recent, trained);
}

// --- Everybody -------------------------------------------------------------------------------------------------------------------

static void look_at(const look *l, int waiting)
{
    look_for_decline(l);
    look_for_symptom(l);
    look_for_screening(l);
    look_for_too_much(l);
    look_for_ladder(l);
    look_for_missed(l);
    look_for_kit(l);
    look_for_waiting(l, waiting);
    look_for_training(l);
    look_for_trained(l);
    const thew_store_standing *s = &l->row->standing;
    thew_watched watched = { .person = s->person,
                             .last_day = l->last,
                             .earliest = thew_studio_number(s->earliest_day),
                             .sets = s->sets,
                             .waiting = waiting,
                             .declined = s->declined,
                             .screened = s->screening && strcmp(s->screening, "not_asked") != 0 };
    g_array_append_val(l->today->watched, watched);
}

// The most urgent kind first; of one kind the newest sign, then by name.
static int most_urgent_first(const void *a, const void *b)
{
    const thew_attention *one = a, *two = b;
    if (one->kind != two->kind) return one->kind < two->kind ? -1 : 1;
    if (one->day != two->day) return one->day > two->day ? -1 : 1;
    int called = strcmp(one->called, two->called);
    return called != 0 ? called : strcmp(one->person, two->person);
}

static int newest_first(const void *a, const void *b)
{
    const thew_trained *one = a, *two = b;
    if (one->day != two->day) return one->day > two->day ? -1 : 1;
    return strcmp(one->called, two->called);
}

static int count_of(GHashTable *waiting, const char *person)
{
    return GPOINTER_TO_INT(g_hash_table_lookup(waiting, person));
}

// Person to the place of their first block; those without any are at the end.
static GHashTable *index_plans(const thew_rows *plan)
{
    GHashTable *first = g_hash_table_new(g_str_hash, g_str_equal);
    for (guint i = plan->row->len; i-- > 0;)
        g_hash_table_insert(first, (gpointer)thew_row(plan, thew_store_block, i)->person, GUINT_TO_POINTER(i + 1));
    return first;
}

static thew_store_status look_at_all(const thew_studio *studio, thew_today *today)
{
    g_autoptr(thew_rows) counts = NULL;
    g_autoptr(GHashTable) waiting = g_hash_table_new(g_str_hash, g_str_equal);
    thew_date date = thew_studio_date(today->day);
    thew_store_status status = thew_store_overview_all(studio->db, studio->id, THEW_ENGINE_VERSION, &today->overview);
    if (status >= 0) status = thew_store_block_on(studio->db, studio->id, date, &today->plan);
    if (status >= 0) status = thew_store_waiting(studio->db, studio->id, date, &counts);
    if (status < 0) return status;
    for (guint i = 0; i < counts->row->len; i++) {
        const thew_store_count *row = thew_row(counts, thew_store_count, i);
        g_hash_table_insert(waiting, (gpointer)row->person, GINT_TO_POINTER(row->count));
    }
    g_autoptr(GHashTable) plans = index_plans(today->plan);
    for (guint i = 0; i < today->overview->row->len; i++) {
        const thew_store_overview *row = thew_row(today->overview, thew_store_overview, i);
        guint plan = GPOINTER_TO_UINT(g_hash_table_lookup(plans, row->standing.person));
        look l = {
            studio, today, row, today->day, thew_studio_number(row->standing.last_day), plan ? plan - 1 : today->plan->row->len
        };
        int count = count_of(waiting, row->standing.person);
        look_at(&l, count);
        today->waiting += (guint)count;
        today->behind += !row->current;
    }
    g_array_sort(today->attention, most_urgent_first);
    g_array_sort(today->recent, newest_first);
    return status;
}

static thew_store_status look_at_once(const thew_studio *studio, thew_today *today)
{
    thew_store_status begun = thew_db_begin_reading(studio->db);
    if (begun < 0 && begun != THEW_STORE_NESTED) return begun;
    thew_store_status status = look_at_all(studio, today);
    return begun == THEW_STORE_NESTED ? status : thew_db_end(studio->db, status);
}

thew_verdict thew_watch(thew_studio *studio, thew_day day, thew_today **today, thew_refusal *refusal)
{
    *today = NULL;
    if (thew_db_opened_for(studio->db) != THEW_DB_READ) { // a cache: what fails here is shown as it stood
        g_autoptr(thew_refusal) unheard = thew_refusal_new();
        thew_believe_a_moment(studio, MOMENT_MS, unheard);
    }
    g_autoptr(thew_today) all = g_new0(thew_today, 1);
    all->day = day;
    all->attention = g_array_new(FALSE, FALSE, sizeof(thew_attention));
    all->trains = g_array_new(FALSE, FALSE, sizeof(thew_trains));
    all->recent = g_array_new(FALSE, FALSE, sizeof(thew_trained));
    all->watched = g_array_new(FALSE, FALSE, sizeof(thew_watched));
    all->words = g_string_chunk_new(4096);
    thew_store_status status = look_at_once(studio, all);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    *today = g_steal_pointer(&all);
    return THEW_DONE;
}

void thew_today_free(thew_today *today)
{
    if (!today) return;
    g_array_unref(today->attention);
    g_array_unref(today->trains);
    g_array_unref(today->recent);
    g_array_unref(today->watched);
    thew_rows_free(today->overview);
    thew_rows_free(today->plan);
    g_string_chunk_free(today->words);
    g_free(today);
}
