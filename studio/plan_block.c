// plan_block.c: see plan_block.h.
#include "studio/plan_block.h"

#include <string.h>

#include "store/class.h"
#include "store/diary.h"
#include "store/person.h"
#include "studio/check.h"

#define WEEKS_MAX 52
#define SESSIONS_MAX 7
#define SESSIONS_USUAL 3 // a week: Kim 2019; two with a rest day between: Canadian guidelines, Latimer-Cheung 2013
#define SETS_MAX 10
#define EASIER_MAX 26

static int weekday_of(thew_day day)
{
    return (int)(((day + 3) % 7 + 7) % 7) + 1; // 1970-01-01 was a Thursday; 1 Monday to 7 Sunday
}

static bool has_weekday(const thew_block_plan *plan, int weekday)
{
    for (int i = 0; i < plan->weekday_count; i++)
        if (plan->weekday[i] == weekday) return true;
    return false;
}

bool thew_plan_block_trains(const thew_block *block, thew_day day)
{
    return !block->retired && day >= thew_studio_number(block->from_day) && day <= thew_studio_number(block->until_day) &&
           has_weekday(&block->plan, weekday_of(day));
}

// --- what is unusual -------------------------------------------------------------------------------------------------------------

static bool has_neighbours(const thew_block_plan *plan)
{
    for (int weekday = 1; weekday <= 7; weekday++)
        if (has_weekday(plan, weekday) && has_weekday(plan, weekday % 7 + 1)) return true;
    return false;
}

GPtrArray *thew_plan_block_notes(const thew_block_plan *plan)
{
    GPtrArray *note = g_ptr_array_new_with_free_func(g_free);
    if (plan->sessions_a_week > SESSIONS_USUAL)
        g_ptr_array_add(
            note, g_strdup("More than three sessions a week: guidance for adults with multiple sclerosis is two or three, with a "
                           "rest day between."));
    if (plan->sessions_a_week == 1)
        g_ptr_array_add(note, g_strdup("One session a week: guidance is two; one is better than none."));
    if (has_neighbours(plan)) g_ptr_array_add(note, g_strdup("Two sessions on days in a row: a rest day between is usual."));
    if (plan->weekday_count > 0 && plan->weekday_count < plan->sessions_a_week)
        g_ptr_array_add(note,
                        g_strdup_printf("%d sessions a week, but only %d weekday%s named: the others come as they come.",
                                        plan->sessions_a_week, plan->weekday_count, plan->weekday_count == 1 ? " is" : "s are"));
    return note;
}

// --- looking at what is given ----------------------------------------------------------------------------------------------------

static void check_weekdays(const thew_block_plan *plan, thew_refusal *refusal)
{
    for (int i = 0; i < plan->weekday_count; i++) {
        g_autofree char *pointer = g_strdup_printf("/plan/weekdays/%d", i);
        if (plan->weekday[i] < 1 || plan->weekday[i] > 7)
            thew_refusal_add(refusal, pointer, "weekdays count from 1, Monday, to 7, Sunday");
        else if (i > 0 && plan->weekday[i] <= plan->weekday[i - 1])
            thew_refusal_add(refusal, pointer, "weekdays stand in order, each once");
    }
    if (plan->weekday_count > plan->sessions_a_week)
        thew_refusal_add(refusal, "/plan/weekdays", "there are more weekdays than sessions a week");
}

static void check_plan(thew_studio *studio, const thew_block_plan *plan, thew_refusal *refusal)
{
    thew_check_number(refusal, "/plan/sessions_a_week", plan->sessions_a_week, 1, SESSIONS_MAX, "a week");
    thew_check_number(refusal, "/plan/sets", plan->sets, 1, SETS_MAX, "");
    if (plan->easier_every_weeks != 0)
        thew_check_number(refusal, "/plan/easier_every_weeks", plan->easier_every_weeks, 2, EASIER_MAX, "weeks");
    check_weekdays(plan, refusal);
    g_autoptr(thew_rows) class = NULL;
    if (plan->class && (thew_store_class_versions(studio->db, studio->id, plan->class, &class) < 0 || class->row->len == 0))
        thew_refusal_add(refusal, "/plan/class", "there is no such class");
}

static void check_block(thew_studio *studio, const thew_block *block, thew_refusal *refusal)
{
    thew_check_identifier(refusal, "/block", block->block);
    thew_check_text(refusal, "/called", block->called, 1, THEW_NAME_MAX);
    if (block->version < 1) thew_refusal_add(refusal, "/version", "versions count from 1");
    bool days = thew_check_day(refusal, "/from_day", block->from_day, false);
    days = thew_check_day(refusal, "/until_day", block->until_day, false) && days;
    int length = days ? thew_studio_number(block->until_day) - thew_studio_number(block->from_day) : 0;
    if (length < 0) thew_refusal_add(refusal, "/until_day", "a block cannot end before it begins");
    if (length >= 7 * WEEKS_MAX) thew_refusal_add(refusal, "/until_day", "a block has at most %d weeks", WEEKS_MAX);
    check_plan(studio, &block->plan, refusal);
}

// --- keeping ---------------------------------------------------------------------------------------------------------------------

static const thew_store_block *find_version(const thew_rows *versions, int version)
{
    for (guint i = 0; i < versions->row->len; i++)
        if (thew_row(versions, thew_store_block, i)->version == version) return thew_row(versions, thew_store_block, i);
    return NULL;
}

static bool is_same(const thew_store_block *kept, const thew_block *block, const char *text)
{
    return strcmp(kept->person, block->person) == 0 && strcmp(kept->called, block->called) == 0 &&
           thew_date_compare(kept->from_day, block->from_day) == 0 && thew_date_compare(kept->until_day, block->until_day) == 0 &&
           strcmp(kept->plan, text) == 0 && kept->retired == block->retired;
}

static thew_verdict keep(thew_studio *studio, const thew_actor *actor, const thew_block *block, thew_refusal *refusal)
{
    g_autoptr(thew_rows) person = NULL, versions = NULL;
    g_autofree char *text = thew_block_text(&block->plan);
    thew_store_status status = thew_store_person_find(studio->db, studio->id, block->person, &person);
    if (status >= 0) status = thew_store_block_versions(studio->db, studio->id, block->block, &versions);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    const thew_store_block *kept = find_version(versions, block->version);
    if (kept)
        return is_same(kept, block, text)
                   ? THEW_DONE_BEFORE
                   : thew_refuse(refusal, THEW_CONFLICT, "version %d of this block is kept already, with another content",
                                 block->version);
    thew_store_block row = { block->block,     block->version, block->person,  block->called,           block->from_day,
                             block->until_day, text,           block->retired, thew_studio_now(studio), actor->account };
    return thew_refuse_store(refusal, studio->db, thew_store_block_add(studio->db, studio->id, &row));
}

thew_verdict thew_plan_block(thew_studio *studio, const thew_actor *actor, const thew_block *block, thew_refusal *refusal)
{
    check_block(studio, block, refusal);
    if (!thew_refusal_is_empty(refusal)) return THEW_INVALID;
    thew_store_status status = thew_db_begin(studio->db);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    thew_verdict verdict = keep(studio, actor, block, refusal);
    if (verdict != THEW_DONE) {
        thew_db_rollback(studio->db);
        return verdict;
    }
    return thew_refuse_store(refusal, studio->db, thew_db_commit(studio->db));
}

// --- planned against done --------------------------------------------------------------------------------------------------------

static void block_free(gpointer data)
{
    thew_block_whole *whole = data;
    g_array_unref(whole->week);
    g_free(whole->words);
    g_ptr_array_unref(whole->note);
    g_free(whole);
}

void thew_blocks_free(thew_blocks *blocks)
{
    if (!blocks) return;
    g_ptr_array_unref(blocks->block);
    g_ptr_array_unref(blocks->held);
    g_free(blocks);
}

// Days with a set on record within a week.
static int days_done(GHashTable *day_done, thew_day from, thew_day until)
{
    int done = 0;
    for (thew_day day = from; day <= until; day++)
        done += g_hash_table_contains(day_done, GINT_TO_POINTER(day));
    return done;
}

// A week that is cut off asks for its part: its own weekdays, or its share of the sessions, rounded.
static int sessions_planned(const thew_block_plan *plan, thew_day from, thew_day until)
{
    int days = until - from + 1, planned = 0;
    if (plan->weekday_count == 0) return (plan->sessions_a_week * days + 3) / 7;
    for (thew_day day = from; day <= until; day++)
        planned += has_weekday(plan, weekday_of(day));
    int free_ones = plan->sessions_a_week - plan->weekday_count; // without a weekday of their own
    return planned + (free_ones * days + 3) / 7;
}

static void lay_out(thew_block_whole *whole, GHashTable *day_done, thew_day today)
{
    thew_day first = thew_studio_number(whole->block.from_day), last = thew_studio_number(whole->block.until_day);
    int easier = whole->block.plan.easier_every_weeks, number = 1;
    for (thew_day monday = first - (weekday_of(first) - 1); monday <= last; monday += 7, number++) {
        thew_block_week week = { .from_day = MAX(monday, first), .until_day = MIN(monday + 6, last) };
        week.easier = easier > 0 && number % easier == 0;
        week.planned = sessions_planned(&whole->block.plan, week.from_day, week.until_day);
        week.done = days_done(day_done, week.from_day, week.until_day);
        week.over = week.until_day < today;
        g_array_append_val(whole->week, week);
        if (!week.over) continue;
        whole->planned += week.planned;
        whole->done += week.done;
    }
}

static char *words_of(const thew_block_whole *whole)
{
    if (whole->block.retired) return g_strdup("This block was given up.");
    if (whole->planned == 0) return g_strdup("No week of this block is over yet.");
    const char *so = whole->done >= whole->planned ? "as planned" : "fewer than planned";
    if (whole->done > whole->planned) so = "more than planned";
    return g_strdup_printf("%d session%s planned so far, %d done: %s.", whole->planned, whole->planned == 1 ? "" : "s", whole->done,
                           so);
}

static void take_block(const thew_store_block *row, GHashTable *day_done, thew_day today, thew_blocks *into)
{
    thew_block_whole *whole = g_new0(thew_block_whole, 1);
    whole->week = g_array_new(FALSE, FALSE, sizeof(thew_block_week));
    whole->block = (thew_block){ .block = row->block,
                                 .version = row->version,
                                 .person = row->person,
                                 .called = row->called,
                                 .from_day = row->from_day,
                                 .until_day = row->until_day,
                                 .retired = row->retired,
                                 .made_us = row->made_us,
                                 .written_by = row->written_by };
    bool read = thew_block_text_read(row->plan, into->held, &whole->block.plan);
    if (read) lay_out(whole, day_done, today);
    whole->words = read ? words_of(whole) : g_strdup("This block was kept in a form that this version cannot read.");
    whole->note = thew_plan_block_notes(&whole->block.plan);
    g_ptr_array_add(into->block, whole);
}

static thew_store_status read_blocks(thew_studio *studio, const char *person, thew_blocks *into)
{
    g_autoptr(thew_rows) there = NULL, sets = NULL;
    g_autoptr(GHashTable) day_done = g_hash_table_new(NULL, NULL);
    thew_rows *rows = NULL;
    thew_store_status status = thew_store_person_find(studio->db, studio->id, person, &there);
    if (status >= 0) status = thew_store_block_latest(studio->db, studio->id, person, &rows);
    thew_hold(into->held, rows, (GDestroyNotify)thew_rows_free);
    if (status >= 0) status = thew_store_diary_current(studio->db, studio->id, person, (thew_date){ 0 }, (thew_date){ 0 }, &sets);
    if (status < 0) return status;
    for (guint i = 0; i < sets->row->len; i++)
        g_hash_table_add(day_done, GINT_TO_POINTER(thew_studio_number(thew_row(sets, thew_store_set, i)->entry.day)));
    for (guint i = 0; i < rows->row->len; i++)
        take_block(thew_row(rows, thew_store_block, i), day_done, thew_studio_today(studio), into);
    return status;
}

thew_verdict thew_plan_block_list(thew_studio *studio, const char *person, thew_blocks **blocks, thew_refusal *refusal)
{
    *blocks = NULL;
    g_autoptr(thew_blocks) read = g_new0(thew_blocks, 1);
    read->block = g_ptr_array_new_with_free_func(block_free);
    read->held = thew_held_new();
    thew_store_status status = thew_db_begin_reading(studio->db);
    if (status >= 0) status = thew_db_end(studio->db, read_blocks(studio, person, read));
    thew_verdict verdict = thew_refuse_store(refusal, studio->db, status);
    if (verdict == THEW_DONE) *blocks = g_steal_pointer(&read);
    return verdict;
}
