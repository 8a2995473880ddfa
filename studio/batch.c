// batch.c: see batch.h.
#include "studio/batch.h"

#include <string.h>

#include "store/kit.h"
#include "studio/believe.h"
#include "studio/check.h"
#include "studio/propose.h"

static void person_free(gpointer data)
{
    thew_batch_person *person = data;
    thew_rows_free(person->rows);
    thew_rows_free(person->item);
    g_hash_table_unref(person->day);
    g_free(person);
}

void thew_batch_begin(thew_batch *batch, thew_studio *studio, const thew_actor *actor, const char *array, guint count,
                      thew_refusal *refusal)
{
    *batch = (thew_batch){ .studio = studio,
                           .actor = actor,
                           .array = array,
                           .refusal = refusal,
                           .person = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, person_free),
                           .record = g_hash_table_new(g_str_hash, g_str_equal) };
    g_autofree char *pointer = g_strconcat("/", array, NULL);
    if (count == 0) thew_refusal_add(refusal, pointer, "there is nothing in it");
    if (count > THEW_BATCH_MAX)
        thew_refusal_add(refusal, pointer, "these are %u records; at most %d go at once: send the rest after them", count,
                         THEW_BATCH_MAX);
}

void thew_batch_clear(thew_batch *batch)
{
    g_hash_table_unref(batch->person);
    g_hash_table_unref(batch->record);
}

// --- Checking --------------------------------------------------------------------------------------------------------------------

static thew_batch_person *find_person(thew_batch *batch, const char *id)
{
    thew_batch_person *person = g_hash_table_lookup(batch->person, id);
    if (person) return person;
    person = g_new0(thew_batch_person, 1);
    person->day = g_hash_table_new(g_direct_hash, g_direct_equal);
    thew_store_status status = thew_store_person_find(batch->studio->db, batch->studio->id, id, &person->rows);
    if (status >= 0) person->person = thew_row(person->rows, thew_store_person, 0);
    if (status < 0 && status != THEW_STORE_NOT_FOUND) batch->status = status;
    g_hash_table_insert(batch->person, g_strdup(id), person);
    return person;
}

const thew_rows *thew_batch_items(thew_batch *batch, thew_batch_person *person)
{
    if (person->item) return person->item;
    thew_store_status status = thew_store_item_of(batch->studio->db, batch->studio->id, person->person->person, &person->item);
    if (status < 0) batch->status = status;
    return person->item;
}

static char *pointer_to(const thew_batch *batch, guint index, const char *member)
{
    return g_strdup_printf("/%s/%u/%s", batch->array, index, member);
}

static void check_record(thew_batch *batch, guint index, const thew_store_entry *entry)
{
    g_autofree char *pointer = pointer_to(batch, index, "record");
    if (!thew_check_identifier(batch->refusal, pointer, entry->record)) return;
    if (!g_hash_table_insert(batch->record, (gpointer)entry->record, GUINT_TO_POINTER(index + 1)))
        thew_refusal_add(batch->refusal, pointer, "this record comes twice in what was sent; each has an identifier of its own");
    if (entry->replaces && strcmp(entry->replaces, entry->record) == 0)
        thew_refusal_at(batch->refusal, batch->array, index, "replaces",
                        "a record cannot replace itself; name the one that was wrong");
    if (entry->withdrawn && !entry->replaces)
        thew_refusal_at(batch->refusal, batch->array, index, "replaces", "name the record that never was");
}

static void check_day(thew_batch *batch, guint index, const thew_store_entry *entry, const thew_batch_person *person)
{
    g_autofree char *pointer = pointer_to(batch, index, "day");
    if (!thew_check_day(batch->refusal, pointer, entry->day, false)) return;
    thew_day today = thew_studio_today(batch->studio);
    if (thew_studio_number(entry->day) > today) {
        char text[THEW_DATE_TEXT];
        thew_refusal_add(batch->refusal, pointer, "this day is still to come; today is %s",
                         thew_date_text(thew_studio_date(today), text));
    }
    int born = person && person->person ? person->person->birth_year : 0;
    if (born > 0 && entry->day.year < born)
        thew_refusal_add(batch->refusal, pointer, "this is before %s was born, in %d", person->person->called, born);
}

bool thew_batch_is_kept(thew_batch *batch, const thew_store_entry *entry, thew_batch_find find)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status =
        entry->record ? find(batch->studio->db, batch->studio->id, entry->record, &rows) : THEW_STORE_NOT_FOUND;
    if (status < 0 && status != THEW_STORE_NOT_FOUND) batch->status = status;
    return status == THEW_STORE_OK;
}

thew_batch_person *thew_batch_check(thew_batch *batch, guint index, const thew_store_entry *entry)
{
    check_record(batch, index, entry);
    g_autofree char *note = pointer_to(batch, index, "note");
    thew_check_text(batch->refusal, note, entry->note, 0, THEW_NOTE_MAX);
    thew_batch_person *person = entry->person ? find_person(batch, entry->person) : NULL;
    check_day(batch, index, entry, person);
    if (person && person->person) return person;
    if (entry->person)
        thew_refusal_at(batch->refusal, batch->array, index, "person", "there is nobody \"%s\" in this studio", entry->person);
    else
        thew_refusal_at(batch->refusal, batch->array, index, "person", "say whose it is");
    return NULL;
}

thew_store_entry thew_batch_entry(const thew_batch *batch, const thew_store_entry *given)
{
    thew_store_entry entry = *given;
    entry.written_by = batch->actor->account;
    entry.device = batch->actor->device;
    if (!entry.note) entry.note = "";
    return entry;
}

// --- Keeping ---------------------------------------------------------------------------------------------------------------------

static void touch(thew_batch *batch, const char *person, thew_date day)
{
    thew_batch_person *of = g_hash_table_lookup(batch->person, person);
    if (of) g_hash_table_add(of->day, GINT_TO_POINTER(thew_studio_number(day)));
}

// The day that a record stood on before it was corrected has to be looked at too.
static thew_store_status touch_replaced(thew_batch *batch, const thew_store_entry *entry, thew_batch_find find)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status = find(batch->studio->db, batch->studio->id, entry->replaces, &rows);
    if (status < 0) return status;
    const thew_store_entry *replaced = (const void *)rows->row->data; // every row begins with one
    if (strcmp(replaced->person, entry->person) == 0) touch(batch, entry->person, replaced->day);
    return THEW_STORE_OK;
}

// What the store's answer means at this record. Only answers come here, so the transaction can go on and name further faults.
static void refuse_one(thew_batch *batch, guint index, const thew_store_entry *entry, thew_batch_find find,
                       thew_store_status status)
{
    g_autoptr(thew_rows) same = NULL;
    if (status == THEW_STORE_NOT_FOUND) {
        thew_refusal_at(batch->refusal, batch->array, index, "replaces", "this person has no record \"%s\" to correct",
                        entry->replaces);
    } else if (find(batch->studio->db, batch->studio->id, entry->record, &same) == THEW_STORE_OK) {
        thew_refusal_at(
            batch->refusal, batch->array, index, "record",
            "a record of this identifier says something else already; a correction has one of its own and names it in replaces");
    } else {
        thew_refusal_at(batch->refusal, batch->array, index, "replaces",
                        "record \"%s\" was corrected already; correct the latest one", entry->replaces);
    }
}

static thew_store_status keep_one(thew_batch *batch, guint index, const thew_store_entry *entry, thew_batch_keep keep,
                                  thew_batch_find find, const void *user, thew_record_result *result, thew_store_status *answer)
{
    thew_store_status status = keep(batch, index, user);
    if (status == THEW_STORE_NOT_FOUND || status == THEW_STORE_CONFLICT) {
        refuse_one(batch, index, entry, find, status);
        if (*answer != THEW_STORE_CONFLICT) *answer = status;
        return THEW_STORE_OK;
    }
    if (status < 0) return status;
    result[index] = status == THEW_STORE_REPEATED ? THEW_REPEATED : THEW_KEPT;
    touch(batch, entry->person, entry->day);
    return entry->replaces ? touch_replaced(batch, entry, find) : THEW_STORE_OK;
}

static thew_store_status settle_all(thew_batch *batch)
{
    thew_store_status status = THEW_STORE_OK;
    GHashTableIter people, days;
    gpointer id, of, day;
    g_hash_table_iter_init(&people, batch->person);
    while (status >= 0 && g_hash_table_iter_next(&people, &id, &of)) {
        g_hash_table_iter_init(&days, ((thew_batch_person *)of)->day);
        while (status >= 0 && g_hash_table_iter_next(&days, &day, NULL))
            status = thew_propose_settle(batch->studio, id, GPOINTER_TO_INT(day));
    }
    return status;
}

// A cache: what fails here is made up for the next time that it is asked for.
static void believe_all(thew_batch *batch)
{
    GHashTableIter people;
    gpointer id;
    g_hash_table_iter_init(&people, batch->person);
    while (g_hash_table_iter_next(&people, &id, NULL)) {
        g_autoptr(thew_refusal) unheard = thew_refusal_new();
        thew_believe(batch->studio, id, unheard);
    }
}

static bool all_repeated(const thew_record_result *result, guint count)
{
    for (guint i = 0; i < count; i++)
        if (result[i] != THEW_REPEATED) return false;
    return true;
}

thew_verdict thew_batch_run(thew_batch *batch, guint count, const thew_store_entry *(*entry)(const void *user, guint index),
                            thew_batch_keep keep, thew_batch_find find, bool settle, const void *user, thew_record_result *result)
{
    thew_db *db = batch->studio->db;
    if (batch->status < 0) return thew_refuse_store(batch->refusal, db, batch->status);
    if (!thew_refusal_is_empty(batch->refusal)) return THEW_INVALID;
    thew_store_status status = thew_db_begin(db), answer = THEW_STORE_OK;
    if (status < 0) return thew_refuse_store(batch->refusal, db, status);
    for (guint i = 0; status >= 0 && i < count; i++)
        status = keep_one(batch, i, entry(user, i), keep, find, user, result, &answer);
    if (status >= 0 && answer == THEW_STORE_OK && settle) status = settle_all(batch);
    if (answer != THEW_STORE_OK)
        thew_db_rollback(db);
    else
        status = thew_db_end(db, status);
    if (status < 0) return thew_refuse_store(batch->refusal, db, status);
    if (answer != THEW_STORE_OK) return answer == THEW_STORE_CONFLICT ? THEW_CONFLICT : THEW_ABSENT;
    if (all_repeated(result, count)) return THEW_DONE_BEFORE;
    believe_all(batch);
    return THEW_DONE;
}
