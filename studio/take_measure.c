// take_measure.c: see take_measure.h.
#include "studio/take_measure.h"

#include <math.h>
#include <string.h>

#include "studio/batch.h"
#include "studio/check.h"
#include "studio/know.h"

#define AID_MAX 40 // characters

// --- A change in words -----------------------------------------------------------------------------------------------------------

static const char *unit_word(const thew_measure *measure)
{
    return strcmp(measure->unit, "{count}") == 0 ? "times" : measure->unit;
}

// "25 %" or "3.5 times".
static char *amount(const thew_measure *measure, double change)
{
    if (measure->change == THEW_CHANGE_SHARE) return g_strdup_printf("%.0f %%", change * 100);
    return g_strdup_printf("%.3g %s", change, unit_word(measure));
}

char *thew_measure_change_words(const thew_measure *measure, double before, double after)
{
    double change = measure->change == THEW_CHANGE_SHARE && before > 0 ? after / before - 1 : after - before;
    g_autofree char *scores = g_strdup_printf("%.4g against %.4g %s", after, before, unit_word(measure));
    if (change == 0) return g_strdup_printf("%s: no change.", scores);
    if (measure->change == THEW_CHANGE_UNKNOWN)
        return g_strdup_printf("%s: by how much this test has to change before it means anything is not known.", scores);
    bool is_better = (change > 0) == measure->higher_is_better;
    double least = is_better ? measure->better : measure->worse;
    g_autofree char *by = amount(measure, fabs(change)), *from = amount(measure, least);
    if (fabs(change) > least)
        return g_strdup_printf("%s: %s %s, more than the %s that one person's scores differ by anyhow: real change.", scores, by,
                               is_better ? "better" : "worse", from);
    return g_strdup_printf("%s: %s %s, which can be chance (up to %s).", scores, by, is_better ? "better" : "worse", from);
}

// --- Checking --------------------------------------------------------------------------------------------------------------------

static void check_measure(thew_batch *batch, guint index, const thew_store_outcome *outcome, const thew_measure *measure)
{
    g_autofree char *value = g_strdup_printf("/%s/%u/value", batch->array, index);
    if (outcome->unit && strcmp(outcome->unit, measure->unit) != 0)
        thew_refusal_at(batch->refusal, batch->array, index, "unit", "%s is measured in %s (UCUM)", measure->name, measure->unit);
    thew_check_number(batch->refusal, value, outcome->value, measure->from, measure->to, unit_word(measure));
    if (!thew_know_is_side(outcome->side))
        thew_refusal_at(batch->refusal, batch->array, index, "side", "this must be one of: both, left, right");
    else if (measure->sided == (thew_know_side(outcome->side) == THEW_BOTH))
        thew_refusal_at(batch->refusal, batch->array, index, "side", "%s is taken %s", measure->name,
                        measure->sided ? "on the left or on the right" : "of both sides together");
}

static void check_outcome(thew_batch *batch, guint index, const thew_store_outcome *outcome)
{
    if (thew_batch_is_kept(batch, &outcome->entry, thew_store_outcome_find)) return;
    thew_batch_check(batch, index, &outcome->entry);
    if (outcome->entry.withdrawn) return;
    const thew_measure *measure = thew_measure_find(outcome->measure);
    g_autofree char *aid = g_strdup_printf("/%s/%u/aid", batch->array, index);
    thew_check_text(batch->refusal, aid, outcome->aid, 0, AID_MAX);
    if (measure)
        check_measure(batch, index, outcome, measure);
    else
        thew_refusal_at(batch->refusal, batch->array, index, "measure", "there is no outcome measure \"%s\"",
                        outcome->measure ? outcome->measure : "");
}

// --- Keeping ---------------------------------------------------------------------------------------------------------------------

static const thew_store_entry *entry_at(const void *user, guint index)
{
    return &((const thew_store_outcome *)user)[index].entry;
}

static thew_store_status keep_withdrawal(thew_batch *batch, const thew_store_entry *entry)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status = thew_store_outcome_find(batch->studio->db, batch->studio->id, entry->replaces, &rows);
    if (status < 0) return status;
    thew_store_outcome taken_back = *thew_row(rows, thew_store_outcome, 0);
    taken_back.entry = *entry;
    return thew_store_outcome_add(batch->studio->db, batch->studio->id, &taken_back);
}

static thew_store_status keep_outcome(thew_batch *batch, guint index, const void *user)
{
    thew_store_outcome outcome = ((const thew_store_outcome *)user)[index];
    outcome.entry = thew_batch_entry(batch, &outcome.entry);
    if (outcome.entry.withdrawn) return keep_withdrawal(batch, &outcome.entry);
    const thew_measure *measure = thew_measure_find(outcome.measure);
    if (measure) {
        outcome.measure = measure->measure;
        outcome.unit = measure->unit;
    }
    if (outcome.aid && !*outcome.aid) outcome.aid = NULL;
    return thew_store_outcome_add(batch->studio->db, batch->studio->id, &outcome);
}

thew_verdict thew_take_measures(thew_studio *studio, const thew_actor *actor, const thew_store_outcome *outcome, guint count,
                                thew_record_result *result, thew_refusal *refusal)
{
    g_auto(thew_batch) batch;
    thew_batch_begin(&batch, studio, actor, "outcomes", count, refusal);
    for (guint i = 0; count <= THEW_BATCH_MAX && i < count; i++)
        check_outcome(&batch, i, &outcome[i]);
    return thew_batch_run(&batch, count, entry_at, keep_outcome, thew_store_outcome_find, false, outcome, result);
}

// --- Reading back ----------------------------------------------------------------------------------------------------------------

static bool comes_before(const thew_store_outcome *a, const thew_store_outcome *b)
{
    int days = thew_date_compare(a->entry.day, b->entry.day);
    if (days != 0) return days < 0;
    if (a->entry.at_us.us != b->entry.at_us.us) return a->entry.at_us.us < b->entry.at_us.us;
    return a->kept.revision < b->kept.revision;
}

static bool are_comparable(const thew_store_outcome *a, const thew_store_outcome *b)
{
    const thew_measure *measure = thew_measure_find(a->measure);
    return measure && measure == thew_measure_find(b->measure) && strcmp(a->side, b->side) == 0 && g_strcmp0(a->aid, b->aid) == 0;
}

// The first comparable one before it.
static const thew_store_outcome *first_before(const GArray *rows, const thew_store_outcome *outcome)
{
    const thew_store_outcome *first = NULL;
    for (guint i = 0; i < rows->len; i++) {
        const thew_outcome_row *row = &g_array_index(rows, thew_outcome_row, i);
        const thew_store_outcome *other = row->outcome;
        if (!row->current || other->practice || !are_comparable(other, outcome) || !comes_before(other, outcome)) continue;
        if (!first || comes_before(other, first)) first = other;
    }
    return first;
}

static void compare(thew_outcome_list *list)
{
    for (guint i = 0; i < list->row->len; i++) {
        thew_outcome_row *row = &g_array_index(list->row, thew_outcome_row, i);
        const thew_store_outcome *first = row->current && !row->outcome->practice ? first_before(list->row, row->outcome) : NULL;
        if (!first) continue;
        g_autofree char *words =
            thew_measure_change_words(thew_measure_find(row->outcome->measure), first->value, row->outcome->value);
        row->change_words = g_string_chunk_insert_const(list->words, words);
    }
}

static int newest_first(const void *a, const void *b)
{
    const thew_store_outcome *one = ((const thew_outcome_row *)a)->outcome, *two = ((const thew_outcome_row *)b)->outcome;
    return comes_before(one, two) ? 1 : comes_before(two, one) ? -1 : 0;
}

static void take_rows(thew_outcome_list *list)
{
    g_autoptr(GHashTable) replaced = g_hash_table_new(g_str_hash, g_str_equal);
    for (guint i = 0; i < list->kept->row->len; i++) {
        const thew_store_outcome *row = thew_row(list->kept, thew_store_outcome, i);
        if (row->entry.replaces) g_hash_table_add(replaced, (gpointer)row->entry.replaces);
    }
    for (guint i = 0; i < list->kept->row->len; i++) {
        const thew_store_outcome *row = thew_row(list->kept, thew_store_outcome, i);
        bool current = !row->entry.withdrawn && !g_hash_table_contains(replaced, row->entry.record);
        thew_outcome_row out = { .outcome = row, .current = current };
        g_array_append_val(list->row, out);
    }
    g_array_sort(list->row, newest_first);
    compare(list);
}

thew_verdict thew_measures_read(const thew_studio *studio, const char *person, bool history, thew_outcome_list **list,
                                thew_refusal *refusal)
{
    *list = NULL;
    g_autoptr(thew_rows) who = NULL;
    g_autoptr(thew_outcome_list) read = g_new0(thew_outcome_list, 1);
    const thew_date open = { 0 };
    read->row = g_array_new(FALSE, TRUE, sizeof(thew_outcome_row));
    read->words = g_string_chunk_new(256);
    thew_store_status status = thew_store_person_find(studio->db, studio->id, person, &who);
    if (status == THEW_STORE_NOT_FOUND) return thew_refuse(refusal, THEW_ABSENT, "there is nobody \"%s\" in this studio", person);
    if (status >= 0)
        status = history ? thew_store_outcome_history(studio->db, studio->id, person, &read->kept)
                         : thew_store_outcome_current(studio->db, studio->id, person, open, open, &read->kept);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    take_rows(read);
    *list = g_steal_pointer(&read);
    return THEW_DONE;
}

void thew_outcome_list_free(thew_outcome_list *list)
{
    if (!list) return;
    g_array_unref(list->row);
    thew_rows_free(list->kept);
    g_string_chunk_free(list->words);
    g_free(list);
}
