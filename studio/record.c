// record.c: see record.h.
#include "studio/record.h"

#include <string.h>

#include "exchange/nearest.h"
#include "store/kit.h"
#include "studio/batch.h"
#include "studio/check.h"
#include "studio/know.h"

#define SECONDS_MAX 3600.0 // as in a coach's file

// --- What a set says -------------------------------------------------------------------------------------------------------------

// "; perhaps "x" is meant", or nothing. Newly allocated.
static char *hint(const char *name, GPtrArray *known)
{
    g_ptr_array_add(known, NULL);
    const char *nearest = thew_nearest(name, (const char *const *)known->pdata);
    return nearest ? g_strdup_printf("; perhaps \"%s\" is meant", nearest) : g_strdup("");
}

static const thew_exercise *check_exercise(thew_batch *batch, guint index, const thew_store_set *set)
{
    const thew_exercise *exercise = set->exercise ? thew_catalogue_exercise(batch->studio->catalogue, set->exercise) : NULL;
    if (exercise) return exercise;
    size_t count;
    const thew_exercise *const *all = thew_catalogue_exercises(batch->studio->catalogue, &count);
    g_autoptr(GPtrArray) known = g_ptr_array_new();
    for (size_t e = 0; e < count; e++)
        g_ptr_array_add(known, (gpointer)all[e]->id);
    g_autofree char *perhaps = hint(set->exercise ? set->exercise : "", known);
    thew_refusal_at(batch->refusal, batch->array, index, "exercise", "there is no exercise \"%s\" in the catalogue%s",
                    set->exercise ? set->exercise : "", perhaps);
    return NULL;
}

static const thew_variant *check_variant(thew_batch *batch, guint index, const thew_store_set *set, const thew_exercise *exercise)
{
    if (!set->variant) return exercise->usual;
    g_autoptr(GPtrArray) known = g_ptr_array_new();
    for (size_t v = 0; v < exercise->variant_count; v++) {
        if (strcmp(exercise->variant[v]->id, set->variant) == 0) return exercise->variant[v];
        g_ptr_array_add(known, (gpointer)exercise->variant[v]->id);
    }
    g_autofree char *perhaps = hint(set->variant, known);
    thew_refusal_at(batch->refusal, batch->array, index, "variant", "%s has no variant \"%s\"%s", exercise->name, set->variant,
                    perhaps);
    return NULL;
}

// A person's own stands before everybody's, what is in use before what was.
static const thew_store_item *item_called(const thew_rows *items, const char *label)
{
    const thew_store_item *found = NULL;
    for (guint i = 0; i < items->row->len; i++) {
        const thew_store_item *item = thew_row(items, thew_store_item, i);
        if (strcmp(item->label, label) != 0) continue;
        bool better = !found || (found->retired_day.year != 0 && item->retired_day.year == 0) ||
                      (!found->person && item->person && (found->retired_day.year != 0) == (item->retired_day.year != 0));
        if (better) found = item;
    }
    return found;
}

// Two bands side by side are written with a plus between them.
static const thew_store_item *pair_called(const thew_rows *items, const char *labels)
{
    g_auto(GStrv) label = g_strsplit(labels, "+", 3);
    if (g_strv_length(label) != 2) return NULL;
    const thew_store_item *one = item_called(items, g_strstrip(label[0])), *other = item_called(items, g_strstrip(label[1]));
    bool bands = one && other && strcmp(one->kind, "band") == 0 && strcmp(other->kind, "band") == 0;
    return bands && one != other ? one : NULL;
}

// The kind of what was taken; NULL for a name that is none of theirs. Body weight is "body".
static const char *check_implement(thew_batch *batch, guint index, const thew_store_set *set, thew_batch_person *person)
{
    if (!set->implement) return thew_implement_kind_id(THEW_IMPLEMENT_BODY);
    const thew_rows *items = thew_batch_items(batch, person);
    if (!items) return NULL;
    const thew_store_item *item = item_called(items, set->implement);
    if (!item) item = pair_called(items, set->implement);
    if (item) return item->kind;
    g_autoptr(GPtrArray) known = g_ptr_array_new();
    for (guint i = 0; i < items->row->len; i++)
        g_ptr_array_add(known, (gpointer)thew_row(items, thew_store_item, i)->label);
    g_autofree char *perhaps = hint(set->implement, known);
    thew_refusal_at(batch->refusal, batch->array, index, "implement",
                    "%s has no \"%s\"%s; two bands are a+b, body weight alone is nothing", person->person->called, set->implement,
                    perhaps);
    return NULL;
}

// The setting has to be one of an implement of that kind; the kind one that the variant is done with.
static void check_setting(thew_batch *batch, guint index, const thew_store_set *set, const thew_variant *variant, const char *kind)
{
    bool done_with = false;
    g_autoptr(GPtrArray) known = g_ptr_array_new();
    for (size_t i = 0; i < variant->implement_count; i++) {
        const thew_implement *implement = &variant->implement[i];
        if (strcmp(thew_implement_kind_id(implement->kind), kind) != 0) continue;
        done_with = true;
        if (!set->setting || thew_implement_setting(implement, set->setting)) return;
        for (size_t s = 0; s < implement->setting_count; s++)
            g_ptr_array_add(known, (gpointer)implement->setting[s].id);
    }
    if (!done_with) {
        thew_refusal_at(batch->refusal, batch->array, index, "implement", "%s is not done with %s%s", variant->name,
                        set->implement ? "a " : "", set->implement ? kind : "body weight alone");
        return;
    }
    g_autofree char *perhaps = hint(set->setting, known);
    thew_refusal_at(batch->refusal, batch->array, index, "setting", "%s has no setting \"%s\"%s", variant->name, set->setting,
                    perhaps);
}

static void check_end(thew_batch *batch, guint index, const thew_store_set *set)
{
    if (!thew_know_is_side(set->side))
        thew_refusal_at(batch->refusal, batch->array, index, "side", "this must be one of: both, left, right");
    if (!thew_know_is_ended(set->ended))
        thew_refusal_at(batch->refusal, batch->array, index, "ended",
                        "this must be one of: failure, completed, reserve, symptom, other");
    else if (set->reserve_s.known && thew_know_ended(set->ended) != THEW_RESERVE)
        thew_refusal_at(batch->refusal, batch->array, index, "reserve_s", "only a set that ended in reserve has seconds left");
    g_autofree char *seconds = g_strdup_printf("/%s/%u/seconds", batch->array, index),
                    *reserve = g_strdup_printf("/%s/%u/reserve_s", batch->array, index),
                    *exertion = g_strdup_printf("/%s/%u/exertion", batch->array, index);
    thew_check_number(batch->refusal, seconds, set->seconds, 0, SECONDS_MAX, "seconds");
    thew_check_maybe(batch->refusal, reserve, set->reserve_s, 0, SECONDS_MAX, "seconds");
    thew_check_maybe(batch->refusal, exertion, set->exertion, 0, 10, "");
}

static void check_set(thew_batch *batch, guint index, const thew_store_set *set)
{
    if (thew_batch_is_kept(batch, &set->entry, thew_store_diary_find)) return;
    thew_batch_person *person = thew_batch_check(batch, index, &set->entry);
    if (set->entry.withdrawn) return; // what it never was need not be said
    check_end(batch, index, set);
    const thew_exercise *exercise = check_exercise(batch, index, set);
    const thew_variant *variant = exercise ? check_variant(batch, index, set, exercise) : NULL;
    const char *kind = person ? check_implement(batch, index, set, person) : NULL;
    if (variant && kind) check_setting(batch, index, set, variant, kind);
}

// --- Keeping ---------------------------------------------------------------------------------------------------------------------

static const thew_store_entry *entry_at(const void *user, guint index)
{
    return &((const thew_store_set *)user)[index].entry;
}

// A withdrawal says again what it takes back.
static thew_store_status keep_withdrawal(thew_batch *batch, const thew_store_entry *entry)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status = thew_store_diary_find(batch->studio->db, batch->studio->id, entry->replaces, &rows);
    if (status < 0) return status;
    thew_store_set taken_back = *thew_row(rows, thew_store_set, 0);
    taken_back.entry = *entry;
    return thew_store_diary_add(batch->studio->db, batch->studio->id, &taken_back);
}

static thew_store_status keep_set(thew_batch *batch, guint index, const void *user)
{
    thew_store_set set = ((const thew_store_set *)user)[index];
    set.entry = thew_batch_entry(batch, &set.entry);
    if (set.entry.withdrawn) return keep_withdrawal(batch, &set.entry);
    return thew_store_diary_add(batch->studio->db, batch->studio->id, &set);
}

thew_verdict thew_record_sets(thew_studio *studio, const thew_actor *actor, const thew_store_set *set, guint count,
                              thew_record_result *result, thew_refusal *refusal)
{
    g_auto(thew_batch) batch;
    thew_batch_begin(&batch, studio, actor, "sets", count, refusal);
    for (guint i = 0; count <= THEW_BATCH_MAX && i < count; i++)
        check_set(&batch, i, &set[i]);
    return thew_batch_run(&batch, count, entry_at, keep_set, thew_store_diary_find, true, set, result);
}

// --- Reading back ----------------------------------------------------------------------------------------------------------------

static thew_set_row row_of(const thew_studio *studio, const thew_store_set *set, bool current, GStringChunk *words)
{
    const thew_exercise *exercise = thew_catalogue_exercise(studio->catalogue, set->exercise);
    g_autofree char *label = thew_know_label(set->implement, set->setting);
    return (thew_set_row){ .set = set,
                           .current = current,
                           .exercise_name = exercise ? exercise->name : set->exercise,
                           .label = g_string_chunk_insert_const(words, label) };
}

static bool lies_between(const thew_store_set *set, thew_day from, thew_day until)
{
    thew_day day = thew_studio_number(set->entry.day);
    return (from == THEW_NO_DAY || day >= from) && (until == THEW_NO_DAY || day <= until);
}

// Newest day first; within a day by the time that is said, else as they were kept.
static int by_day(const void *a, const void *b)
{
    const thew_store_entry *one = &(*(const thew_store_set *const *)a)->entry, *two = &(*(const thew_store_set *const *)b)->entry;
    int days = thew_date_compare(two->day, one->day);
    if (days != 0) return days;
    if (one->at_us.us != two->at_us.us) return one->at_us.us < two->at_us.us ? -1 : 1;
    gint64 first = (*(const thew_store_set *const *)a)->kept.revision, second = (*(const thew_store_set *const *)b)->kept.revision;
    return first < second ? -1 : first > second;
}

static void take_rows(const thew_studio *studio, thew_set_list *list, thew_day from, thew_day until)
{
    g_autoptr(GHashTable) replaced = g_hash_table_new(g_str_hash, g_str_equal);
    g_autoptr(GPtrArray) order = g_ptr_array_new();
    for (guint i = 0; i < list->kept->row->len; i++) {
        const thew_store_set *set = thew_row(list->kept, thew_store_set, i);
        if (set->entry.replaces) g_hash_table_add(replaced, (gpointer)set->entry.replaces);
        if (lies_between(set, from, until)) g_ptr_array_add(order, (gpointer)set);
    }
    g_ptr_array_sort(order, by_day);
    for (guint i = 0; i < order->len; i++) {
        const thew_store_set *set = order->pdata[i];
        bool current = !set->entry.withdrawn && !g_hash_table_contains(replaced, set->entry.record);
        thew_set_row row = row_of(studio, set, current, list->words);
        g_array_append_val(list->row, row);
    }
}

thew_verdict thew_record_read(const thew_studio *studio, const char *person, thew_day from, thew_day until, bool history,
                              thew_set_list **list, thew_refusal *refusal)
{
    *list = NULL;
    g_autoptr(thew_rows) who = NULL;
    g_autoptr(thew_set_list) read = g_new0(thew_set_list, 1);
    read->row = g_array_new(FALSE, FALSE, sizeof(thew_set_row));
    read->words = g_string_chunk_new(1024);
    thew_store_status status = thew_store_person_find(studio->db, studio->id, person, &who);
    if (status == THEW_STORE_NOT_FOUND) return thew_refuse(refusal, THEW_ABSENT, "there is nobody \"%s\" in this studio", person);
    if (status >= 0)
        status = history ? thew_store_diary_history(studio->db, studio->id, person, &read->kept)
                         : thew_store_diary_current(studio->db, studio->id, person, thew_studio_date(from), thew_studio_date(until),
                                                    &read->kept);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    take_rows(studio, read, from, until);
    *list = g_steal_pointer(&read);
    return THEW_DONE;
}

void thew_set_list_free(thew_set_list *list)
{
    if (!list) return;
    g_array_unref(list->row);
    thew_rows_free(list->kept);
    g_string_chunk_free(list->words);
    g_free(list);
}
