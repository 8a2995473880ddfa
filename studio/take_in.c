// take_in.c: see take_in.h.
#include "studio/take_in.h"

#include <string.h>

#include "exchange/csv_write.h"
#include "studio/as_file.h"
#include "studio/hand_out.h"
#include "studio/known.h"

/// All that is being taken in.
typedef struct {
    thew_studio *studio;
    thew_db *db;
    const thew_actor *actor;
    thew_trouble_list *trouble;
    thew_taken_in *taken;
    thew_utc now;
    thew_people_csv *people, *there_people; // of the files; of the studio, as it was before
    thew_kit_csv *kit, *there_kit;
    thew_diary_csv *diary;
    thew_days_csv *days;
} taking;

static void taking_clear(taking *t)
{
    g_clear_pointer(&t->people, thew_people_csv_free);
    g_clear_pointer(&t->kit, thew_kit_csv_free);
    g_clear_pointer(&t->diary, thew_diary_csv_free);
    g_clear_pointer(&t->days, thew_days_csv_free);
    g_clear_pointer(&t->there_people, thew_people_csv_free);
    g_clear_pointer(&t->there_kit, thew_kit_csv_free);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(taking, taking_clear)

static bool has_errors(const taking *t)
{
    return thew_trouble_count(t->trouble, THEW_TROUBLE_ERROR) > 0;
}

// --- identifiers that follow from what something is
// ----------------------------------------------------------------------------------

// RFC 9562 version 5: the same names give the same identifier, here and in any other studio. The first 16 bytes are thew's
// namespace, once drawn at random.
static char *identifier_of(const char *name)
{
    static const guint8 space[16] = {
        0x5e, 0x0a, 0x61, 0xd3, 0x9b, 0x27, 0x4c, 0x18, 0xa4, 0xf0, 0x33, 0x7e, 0xc1, 0x82, 0x6d, 0x95
    };
    guint8 sum[20];
    gsize size = sizeof sum;
    g_autoptr(GChecksum) checksum = g_checksum_new(G_CHECKSUM_SHA1);
    g_checksum_update(checksum, space, sizeof space);
    g_checksum_update(checksum, (const guchar *)name, (gssize)strlen(name));
    g_checksum_get_digest(checksum, sum, &size);
    sum[6] = (guint8)((sum[6] & 0x0f) | 0x50);
    sum[8] = (guint8)((sum[8] & 0x3f) | 0x80);
    GString *text = g_string_sized_new(37);
    for (int i = 0; i < 16; i++)
        g_string_append_printf(text, "%s%02x", i == 4 || i == 6 || i == 8 || i == 10 ? "-" : "", sum[i]);
    return g_string_free(text, FALSE);
}

static bool follows_from_content(const char *record)
{
    return strlen(record) == 36 && record[14] == '5' && g_uuid_string_is_valid(record);
}

// --- reading
// -----------------------------------------------------------------------------------------------------------------------

// Asked only for records that rows replace and the file does not have.
static bool has_set(void *user, const char *record)
{
    const taking *t = user;
    g_autoptr(thew_rows) rows = NULL;
    return thew_store_diary_find(t->db, t->studio->id, record, &rows) >= 0;
}

static bool has_checkin(void *user, const char *record)
{
    const taking *t = user;
    g_autoptr(thew_rows) rows = NULL;
    return thew_store_checkin_find(t->db, t->studio->id, record, &rows) >= 0;
}

static void read_files(taking *t, const thew_given_files *given)
{
    thew_date today = thew_studio_date(thew_studio_today(t->studio));
    const thew_known_records sets = { has_set, t }, checkins = { has_checkin, t };
    if (given->people.bytes) t->people = thew_people_csv_read(given->people.name, given->people.bytes, today, t->trouble);
    if (given->kit.bytes) t->kit = thew_kit_csv_read(given->kit.name, given->kit.bytes, today, t->trouble);
    if (given->diary.bytes) t->diary = thew_diary_csv_read_beside(given->diary.name, given->diary.bytes, today, &sets, t->trouble);
    if (given->days.bytes) t->days = thew_days_csv_read_beside(given->days.name, given->days.bytes, today, &checkins, t->trouble);
}

// People and kit of the studio as files, so that names are looked up in either alike.
static thew_store_status read_studio(taking *t)
{
    g_autoptr(GString) people = g_string_new(NULL), kit = g_string_new(NULL);
    thew_store_status status = thew_hand_out_within(t->studio, THEW_SHEET_PEOPLE, NULL, people);
    if (status >= 0) status = thew_hand_out_within(t->studio, THEW_SHEET_KIT, NULL, kit);
    if (status < 0) return status;
    g_autoptr(thew_trouble_list) ignored = thew_trouble_list_new(); // what is kept already is not judged again
    g_autoptr(GBytes) people_bytes = g_bytes_new(people->str, people->len), kit_bytes = g_bytes_new(kit->str, kit->len);
    t->there_people = thew_people_csv_read("people of the studio", people_bytes, (thew_date){ 0 }, ignored);
    t->there_kit = thew_kit_csv_read("kit of the studio", kit_bytes, (thew_date){ 0 }, ignored);
    return status;
}

static void check_bands(const taking *t)
{
    for (guint i = 0; t->kit && i < t->kit->item->len; i++) {
        const thew_kit_item *item = &g_array_index(t->kit->item, thew_kit_item, i);
        thew_band band;
        if (item->kind != THEW_KIT_BAND && item->kind != THEW_KIT_LOOP) continue;
        thew_status status = thew_known_band(item, &band);
        if (status < 0)
            thew_csv_find(t->kit->csv, item->at, THEW_KIT_IMPLEMENT, THEW_TROUBLE_ERROR, thew_status_sentence(status), NULL);
    }
}

static void check(taking *t)
{
    g_autoptr(thew_known_ids) ids = thew_known_ids_new(t->studio->catalogue);
    const thew_known known = { thew_known_ids_of, ids, t->there_people, t->there_kit };
    thew_cross_check(t->people, t->kit, t->diary, t->days, &known);
    if (!has_errors(t)) check_bands(t);
}

// --- people
// ------------------------------------------------------------------------------------------------------------------------

static void find_note(const taking *t, const thew_people_row *row, int column, const char *wrong)
{
    thew_csv_find(t->people->csv, row->at, column, THEW_TROUBLE_NOTE, wrong, "it stays; take it back at the desk");
}

// What makes training safer stays.
static void keep_safe(const taking *t, const thew_people_row *row, const thew_store_person *before, thew_store_person *person)
{
    bool was_reserve = g_strcmp0(before->endpoint, "reserve") == 0;
    if (was_reserve && g_strcmp0(person->endpoint, "reserve") != 0) {
        person->endpoint = "reserve";
        find_note(t, row, THEW_PEOPLE_ENDPOINT, "the studio says reserve");
    }
    if (before->heat_sensitive && !person->heat_sensitive) {
        person->heat_sensitive = true;
        find_note(t, row, THEW_PEOPLE_HEAT_SENSITIVE, "the studio says yes");
    }
}

// Those of the file, then those that only the studio has. NULL if that is what the studio has already.
static const char **merge_cautions(const taking *t, const thew_people_row *row, const char *const *before)
{
    GPtrArray *merged = g_ptr_array_new();
    for (const char *const *id = before; *id; id++)
        g_ptr_array_add(merged, (gpointer)*id);
    bool more = false, fewer = false;
    for (const char **id = row->cautions; *id; id++) {
        if (g_strv_contains(before, *id)) continue;
        g_ptr_array_add(merged, (gpointer)*id);
        more = true;
    }
    for (const char *const *id = before; *id; id++)
        fewer |= !g_strv_contains((const char *const *)row->cautions, *id);
    if (fewer) find_note(t, row, THEW_PEOPLE_CAUTIONS, "the studio has a caution that is not here");
    g_ptr_array_add(merged, NULL);
    const char **list = (const char **)g_ptr_array_free(merged, FALSE);
    if (!more) g_clear_pointer(&list, g_free);
    return list;
}

static thew_store_status put_list(const taking *t, const thew_people_row *row, int column, const char *list,
                                  const char *const *after, const char *const *before, bool *changed)
{
    if (!after || !thew_csv_has_column(t->people->csv, column) || g_strv_equal(after, before)) return THEW_STORE_OK;
    *changed = true;
    return thew_store_choice_replace(t->db, t->studio->id, row->person, list, after);
}

static thew_store_status put_lists(const taking *t, const thew_people_row *row, const thew_rows *choice, bool *changed)
{
    g_autofree const char **exercises = thew_as_file_list(choice, "exercise"), **cautions = thew_as_file_list(choice, "caution"),
                          **goals = thew_as_file_list(choice, "goal");
    g_autofree const char **merged =
        thew_csv_has_column(t->people->csv, THEW_PEOPLE_CAUTIONS) ? merge_cautions(t, row, cautions) : NULL;
    thew_store_status status = put_list(t, row, THEW_PEOPLE_EXERCISES, "exercise", row->exercises, exercises, changed);
    if (status >= 0) status = put_list(t, row, THEW_PEOPLE_CAUTIONS, "caution", merged, cautions, changed);
    if (status >= 0) status = put_list(t, row, THEW_PEOPLE_GOALS, "goal", row->goals, goals, changed);
    return status;
}

// Whether two say the same, in the file's words.
static bool is_same_person(const thew_store_person *a, const thew_store_person *b, const thew_rows *choice)
{
    g_autoptr(GString) one = g_string_new(NULL), other = g_string_new(NULL);
    thew_people_row row = thew_as_file_person(a, choice), other_row = thew_as_file_person(b, choice);
    thew_people_csv_write(one, &row);
    thew_people_csv_write(other, &other_row);
    thew_as_file_person_clear(&row);
    thew_as_file_person_clear(&other_row);
    return g_string_equal(one, other);
}

static thew_store_status put_person(const taking *t, const thew_people_row *row, const thew_store_person *before)
{
    thew_store_person person = before ? *before : (thew_store_person){ .made_us = { 0 } };
    g_autoptr(thew_rows) choice = NULL;
    thew_store_status status = thew_store_choice_all(t->db, t->studio->id, row->person, &choice);
    if (status < 0) return status;
    thew_from_file_person(row, t->people->csv, &person);
    if (before) keep_safe(t, row, before, &person);
    bool changed = !before || !is_same_person(before, &person, choice);
    if (!before) person.made_us = t->now;
    person.changed_us = t->now;
    if (changed) status = thew_store_person_put(t->db, t->studio->id, &person);
    if (status >= 0) status = put_lists(t, row, choice, &changed);
    t->taken->people += changed;
    t->taken->repeated += !changed;
    return status;
}

static thew_store_status put_people(const taking *t)
{
    g_autoptr(thew_rows) there = NULL;
    thew_store_status status = thew_store_person_all(t->db, t->studio->id, &there);
    if (status < 0) return status;
    g_autoptr(GHashTable) by_id = g_hash_table_new(g_str_hash, g_str_equal);
    for (guint i = 0; i < there->row->len; i++) {
        const thew_store_person *person = thew_row(there, thew_store_person, i);
        g_hash_table_insert(by_id, (gpointer)person->person, (gpointer)person);
    }
    for (guint i = 0; i < t->people->row->len && status >= 0; i++) {
        const thew_people_row *row = &g_array_index(t->people->row, thew_people_row, i);
        status = put_person(t, row, g_hash_table_lookup(by_id, row->person));
    }
    return status;
}

// --- kit
// ---------------------------------------------------------------------------------------------------------------------------

static char *item_name(const char *owner, const char *label, thew_date retired)
{
    char day[THEW_DATE_TEXT] = "";
    if (retired.year) thew_date_text(retired, day);
    return g_strdup_printf("item\n%s\n%s\n%s", owner, label, day); // no name has a line end in it
}

/// Items of the studio before the import.
typedef struct {
    GHashTable *by_name; // item_name to thew_store_item
    GHashTable *by_id;   // identifier to the same
    GHashTable *retired; // item_name of a label in use to one of that label that is retired
    GHashTable *in_file; // item_name of every item of the file
    thew_rows *rows;
} items_there;

static void items_there_clear(items_there *there)
{
    g_clear_pointer(&there->by_name, g_hash_table_unref);
    g_clear_pointer(&there->by_id, g_hash_table_unref);
    g_clear_pointer(&there->retired, g_hash_table_unref);
    g_clear_pointer(&there->in_file, g_hash_table_unref);
    g_clear_pointer(&there->rows, thew_rows_free);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(items_there, items_there_clear)

static thew_store_status find_items(const taking *t, items_there *there)
{
    there->by_name = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    there->by_id = g_hash_table_new(g_str_hash, g_str_equal);
    there->retired = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    there->in_file = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    thew_store_status status = thew_store_item_all(t->db, t->studio->id, &there->rows);
    for (guint i = 0; status >= 0 && i < there->rows->row->len; i++) {
        const thew_store_item *item = thew_row(there->rows, thew_store_item, i);
        const char *owner = item->person ? item->person : THEW_EVERYBODY;
        g_hash_table_insert(there->by_name, item_name(owner, item->label, item->retired_day), (gpointer)item);
        g_hash_table_insert(there->by_id, (gpointer)item->item, (gpointer)item);
        if (item->retired_day.year)
            g_hash_table_insert(there->retired, item_name(owner, item->label, (thew_date){ 0 }), (gpointer)item);
    }
    for (guint i = 0; i < t->kit->item->len; i++) {
        const thew_kit_item *row = &g_array_index(t->kit->item, thew_kit_item, i);
        g_hash_table_add(there->in_file, item_name(row->person, row->implement, row->retired));
    }
    return status;
}

// Which item of the studio a row means; NULL: a new one.
//   id   what a new one would be called
static const thew_store_item *item_meant(const taking *t, const items_there *there, const thew_kit_item *row, const char *id)
{
    g_autofree char *name = item_name(row->person, row->implement, row->retired);
    g_autofree char *in_use = item_name(row->person, row->implement, (thew_date){ 0 });
    const thew_store_item *item = g_hash_table_lookup(there->by_name, name);
    if (!item && row->retired.year && !g_hash_table_contains(there->in_file, in_use)) // the file retires it
        item = g_hash_table_lookup(there->by_name, in_use);
    if (!item && !thew_csv_has_column(t->kit->csv, THEW_KIT_RETIRED)) // the file does not know that it was retired since
        item = g_hash_table_lookup(there->retired, in_use);
    return item ? item : g_hash_table_lookup(there->by_id, id);
}

static bool is_same_item(const thew_store_item *a, const thew_store_item *b)
{
    g_autoptr(GString) one = g_string_new(NULL), other = g_string_new(NULL);
    g_autoptr(thew_rows) none = thew_rows_new(sizeof(thew_store_reading));
    thew_kit_item row = thew_as_file_item(a, none), other_row = thew_as_file_item(b, none);
    thew_kit_csv_write(one, &row);
    thew_kit_csv_write(other, &other_row);
    thew_as_file_item_clear(&row);
    thew_as_file_item_clear(&other_row);
    return g_string_equal(one, other);
}

static char *reading_name(const char *item, double length_m, double force_n, thew_date measured)
{
    char length[G_ASCII_DTOSTR_BUF_SIZE], force[G_ASCII_DTOSTR_BUF_SIZE], day[THEW_DATE_TEXT] = "";
    if (measured.year) thew_date_text(measured, day);
    return g_strdup_printf("reading\n%s\n%s\n%s\n%s", item, thew_csv_number_text(length_m, length),
                           thew_csv_number_text(force_n, force), day);
}

// Counts down what is there of that name.
static bool take_one(GHashTable *count, const char *name)
{
    guint left = GPOINTER_TO_UINT(g_hash_table_lookup(count, name));
    if (left > 0) g_hash_table_insert(count, g_strdup(name), GUINT_TO_POINTER(left - 1));
    return left > 0;
}

// Which one of its kind something is, from 1.
static guint count_one(GHashTable *count, const char *name)
{
    guint number = GPOINTER_TO_UINT(g_hash_table_lookup(count, name)) + 1;
    g_hash_table_insert(count, g_strdup(name), GUINT_TO_POINTER(number));
    return number;
}

static thew_store_status put_readings(const taking *t, const thew_kit_item *row, const char *item)
{
    g_autoptr(thew_rows) before = NULL;
    thew_store_status status = thew_store_reading_of(t->db, t->studio->id, item, &before);
    g_autoptr(GHashTable) there = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    g_autoptr(GHashTable) number = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    for (guint i = 0; status >= 0 && i < before->row->len; i++) {
        const thew_store_reading *reading = thew_row(before, thew_store_reading, i);
        g_autofree char *name = reading_name(item, reading->length_m, reading->force_n, reading->measured_day);
        count_one(there, name);
    }
    for (guint i = 0; status >= 0 && i < row->reading->len; i++) {
        const thew_kit_reading *reading = &g_array_index(row->reading, thew_kit_reading, i);
        g_autofree char *name = reading_name(item, reading->reading.length_m, reading->reading.force_n, reading->measured);
        g_autofree char *numbered = g_strdup_printf("%s\n%u", name, count_one(number, name));
        g_autofree char *id = identifier_of(numbered);
        if (take_one(there, name)) {
            t->taken->repeated++;
            continue;
        }
        status = thew_store_reading_add(t->db, t->studio->id,
                                        &(thew_store_reading){ .reading = id,
                                                               .item = item,
                                                               .length_m = reading->reading.length_m,
                                                               .force_n = reading->reading.force_n,
                                                               .measured_day = reading->measured,
                                                               .note = reading->note,
                                                               .made_us = t->now });
        t->taken->readings++;
    }
    return status;
}

static thew_store_status put_item(const taking *t, const items_there *there, const thew_kit_item *row)
{
    g_autofree char *name = item_name(row->person, row->implement, row->retired);
    g_autofree char *id = identifier_of(name);
    const thew_store_item *before = item_meant(t, there, row, id);
    thew_store_item item = before ? *before : (thew_store_item){ .item = id, .made_us = t->now };
    thew_from_file_item(row, t->kit->csv, &item);
    if (before && strcmp(before->kind, item.kind) != 0) {
        g_autofree char *wrong = g_strdup_printf("the studio keeps a %s under this label", before->kind);
        thew_csv_find(t->kit->csv, row->at, THEW_KIT_KIND, THEW_TROUBLE_ERROR, wrong, "give different things different labels");
        return THEW_STORE_OK;
    }
    bool changed = !before || !is_same_item(before, &item);
    thew_store_status status = changed ? thew_store_item_put(t->db, t->studio->id, &item) : THEW_STORE_OK;
    if (status >= 0) status = put_readings(t, row, item.item);
    t->taken->items += changed;
    t->taken->repeated += !changed;
    return status;
}

static thew_store_status put_kit(const taking *t)
{
    g_auto(items_there) there = { 0 };
    thew_store_status status = find_items(t, &there);
    for (guint i = 0; i < t->kit->item->len && status >= 0; i++)
        status = put_item(t, &there, &g_array_index(t->kit->item, thew_kit_item, i));
    return status;
}

// --- records: sets and check-ins
// ---------------------------------------------------------------------------------------------------

/// What sets and check-ins differ in.
typedef struct {
    const thew_csv *csv;
    const GArray *row;
    gsize at, link, person; // where in a row these lie
    int record, replaces;   // columns
    const char *what;       // "set"
    thew_store_status (*history)(thew_db *db, const char *studio, const char *person, thew_rows **rows);
    /// What a row is, apart from what was observed.
    char *(*name)(const void *row);
    int columns;
    /// A row, and a kept record, as they would be written: out [columns] newly allocated.
    void (*fields)(const void *row, char **field);
    void (*kept_fields)(const void *kept, char **field);
    thew_store_status (*add)(const taking *t, const void *row, const char *record);
    /// Where on paper a record of that place stands ("2026-01-20\nrow\n1"): see find_orphans. NULL: not asked.
    char *(*place)(const void *row);
    char *(*kept_place)(const void *kept);
    size_t kept_size;
    guint *count;
} record_kind;

static const void *row_at(const record_kind *kind, guint i)
{
    return kind->row->data + i * g_array_get_element_size((GArray *)kind->row);
}
static const thew_csv_link *link_of(const record_kind *kind, const void *row)
{
    return (const thew_csv_link *)(const void *)((const char *)row + kind->link);
}
static thew_csv_row at_of(const record_kind *kind, const void *row)
{
    return *(const thew_csv_row *)(const void *)((const char *)row + kind->at);
}
static const char *person_of(const record_kind *kind, const void *row)
{
    return *(const char *const *)(const void *)((const char *)row + kind->person);
}

/// One person's rows and records.
typedef struct {
    const record_kind *kind;
    const GArray *index;  // guint: their rows
    GPtrArray *record;    // [index->len] owned: what each is called
    GHashTable *index_of; // record to place in `index` + 1
    GHashTable *kept;     // record to the store's row
    GHashTable *orphan;   // place to a record that followed from content and is not in the file
    bool *done;           // [index->len]
} person_records;

static void find_fault(const record_kind *kind, const void *row, int column, const char *wrong, const char *right)
{
    thew_csv_find(kind->csv, at_of(kind, row), column, THEW_TROUBLE_ERROR, wrong, right);
}

static void name_records(const person_records *p)
{
    g_autoptr(GHashTable) number = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    for (guint i = 0; i < p->index->len; i++) {
        const void *row = row_at(p->kind, g_array_index(p->index, guint, i));
        const thew_csv_link *link = link_of(p->kind, row);
        if (link->record) {
            g_ptr_array_add(p->record, g_strdup(link->record));
        } else {
            g_autofree char *name = p->kind->name(row);
            g_autofree char *numbered = g_strdup_printf("%s\n%s\n%u", p->kind->what, name, count_one(number, name));
            g_ptr_array_add(p->record, identifier_of(numbered));
        }
        g_hash_table_insert(p->index_of, p->record->pdata[i], GUINT_TO_POINTER(i + 1));
    }
}

// Records that came from a row without a record which is not in the file any more: was it changed there?
static void find_orphans(const person_records *p, const thew_rows *history)
{
    for (guint i = 0; p->kind->place && i < history->row->len; i++) {
        const void *kept = thew_rows_at(history, p->kind->kept_size, i);
        const char *record = ((const thew_store_entry *)kept)->record;
        if (!follows_from_content(record) || g_hash_table_contains(p->index_of, record)) continue;
        g_hash_table_insert(p->orphan, p->kind->kept_place(kept), (gpointer)record);
    }
}

static void ask_about_orphan(const person_records *p, const void *row)
{
    g_autofree char *place = p->kind->place && !link_of(p->kind, row)->record ? p->kind->place(row) : NULL;
    const char *orphan = place ? g_hash_table_lookup(p->orphan, place) : NULL;
    if (!orphan) return;
    g_autofree char *wrong =
        g_strdup_printf("the studio has another %s of that day, exercise and side, which is not in this file", p->kind->what);
    g_autofree char *right = g_strdup_printf("was this row changed? Both are kept; a correction names %s in replaces", orphan);
    thew_csv_find(p->kind->csv, at_of(p->kind, row), THEW_CSV_WHOLE_ROW, THEW_TROUBLE_NOTE, wrong, right);
}

// What is compared is what would be written. A record's own name is equal already, if the file has it.
//   kept_text   out: what is kept there, newly allocated
//   returns     the first column that the file has and in which they differ; THEW_CSV_WHOLE_ROW if there is none
static int differs(const record_kind *kind, const void *row, const void *kept, char **kept_text)
{
    g_autofree char **ours = g_new0(char *, (gsize)kind->columns), **theirs = g_new0(char *, (gsize)kind->columns);
    int column = THEW_CSV_WHOLE_ROW;
    kind->fields(row, ours);
    kind->kept_fields(kept, theirs);
    for (int c = 0; c < kind->columns; c++) {
        bool is_equal = strcmp(ours[c] ? ours[c] : "", theirs[c] ? theirs[c] : "") == 0;
        if (column == THEW_CSV_WHOLE_ROW && !is_equal && c != kind->record && thew_csv_has_column(kind->csv, c)) {
            column = c;
            *kept_text = g_strdup(theirs[c]);
        }
        g_free(ours[c]);
        g_free(theirs[c]);
    }
    return column;
}

// The very same is kept already, or something else is.
static void compare_record(const taking *t, const person_records *p, const void *row, const char *record, const void *kept)
{
    g_autofree char *kept_text = NULL;
    int column = differs(p->kind, row, kept, &kept_text);
    if (column == THEW_CSV_WHOLE_ROW) {
        t->taken->repeated++;
        return;
    }
    g_autofree char *wrong =
        g_strdup_printf("the studio has this %s (record %s) with \"%s\" here", p->kind->what, record, kept_text ? kept_text : "");
    g_autofree char *right =
        g_strdup_printf("a correction is a row of its own with a record of its own and %s in replaces; another %s needs "
                        "a record of its own",
                        record, p->kind->what);
    find_fault(p->kind, row, column, wrong, right);
}

static thew_store_status put_record(const taking *t, const person_records *p, guint i)
{
    const void *row = row_at(p->kind, g_array_index(p->index, guint, i));
    const char *record = p->record->pdata[i];
    const void *kept = g_hash_table_lookup(p->kept, record);
    p->done[i] = true;
    if (kept) {
        compare_record(t, p, row, record, kept);
        return THEW_STORE_OK;
    }
    thew_store_status status = p->kind->add(t, row, record);
    if (status == THEW_STORE_CONFLICT || status == THEW_STORE_NOT_FOUND) { // an answer: the transaction goes on
        bool of_replaced = link_of(p->kind, row)->replaces != NULL;
        find_fault(p->kind, row, of_replaced ? p->kind->replaces : p->kind->record, thew_db_sentence(t->db), NULL);
        return THEW_STORE_OK;
    }
    if (status < 0) return status;
    ask_about_orphan(p, row);
    ++*p->kind->count;
    return THEW_STORE_OK;
}

// In the file's order, but what is replaced before what replaces it: the other way round the store would refuse it.
static thew_store_status put_in_order(const taking *t, const person_records *p)
{
    thew_store_status status = THEW_STORE_OK;
    g_autoptr(GArray) waiting = g_array_new(FALSE, FALSE, sizeof(guint));
    for (guint i = 0; i < p->index->len && status >= 0; i++) {
        guint at = i;
        while (!p->done[at]) {
            const char *replaces = link_of(p->kind, row_at(p->kind, g_array_index(p->index, guint, at)))->replaces;
            guint before = replaces ? GPOINTER_TO_UINT(g_hash_table_lookup(p->index_of, replaces)) : 0;
            g_array_append_val(waiting, at);
            if (before == 0 || p->done[before - 1]) break;
            at = before - 1;
        }
        for (; waiting->len > 0 && status >= 0; g_array_set_size(waiting, waiting->len - 1))
            status = put_record(t, p, g_array_index(waiting, guint, waiting->len - 1));
    }
    return status;
}

static thew_store_status put_person_records(const taking *t, const record_kind *kind, const char *person, const GArray *index)
{
    g_autoptr(thew_rows) history = NULL;
    thew_store_status status = kind->history(t->db, t->studio->id, person, &history);
    if (status < 0) return status;
    g_autoptr(GPtrArray) record = g_ptr_array_new_with_free_func(g_free);
    g_autoptr(GHashTable) index_of = g_hash_table_new(g_str_hash, g_str_equal), kept = g_hash_table_new(g_str_hash, g_str_equal);
    g_autoptr(GHashTable) orphan = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    g_autofree bool *done = g_new0(bool, index->len);
    const person_records p = { kind, index, record, index_of, kept, orphan, done };
    for (guint i = 0; i < history->row->len; i++) {
        const void *row = thew_rows_at(history, kind->kept_size, i);
        g_hash_table_insert(kept, (gpointer)((const thew_store_entry *)row)->record, (gpointer)row);
    }
    name_records(&p);
    find_orphans(&p, history);
    return put_in_order(t, &p);
}

// Person by person, so that no more than one person's records are in memory.
static thew_store_status put_records(const taking *t, const record_kind *kind)
{
    g_autoptr(GHashTable) index_of = g_hash_table_new_full(g_str_hash, g_str_equal, NULL, (GDestroyNotify)g_array_unref);
    g_autoptr(GPtrArray) people = g_ptr_array_new(); // in the order in which they come up
    for (guint i = 0; i < kind->row->len; i++) {
        const char *person = person_of(kind, row_at(kind, i));
        GArray *index = g_hash_table_lookup(index_of, person);
        if (!index) {
            index = g_array_new(FALSE, FALSE, sizeof(guint));
            g_hash_table_insert(index_of, (gpointer)person, index);
            g_ptr_array_add(people, (gpointer)person);
        }
        g_array_append_val(index, i);
    }
    thew_store_status status = THEW_STORE_OK;
    for (guint i = 0; i < people->len && status >= 0; i++)
        status = put_person_records(t, kind, people->pdata[i], g_hash_table_lookup(index_of, people->pdata[i]));
    return status;
}

// --- sets
// --------------------------------------------------------------------------------------------------------------------------

static const char *or_nothing(const char *text)
{
    return text ? text : "";
}

static char *set_name(const void *at)
{
    const thew_diary_row *row = at;
    char day[THEW_DATE_TEXT];
    return g_strjoin("\n", row->person, thew_date_text(row->date, day), row->exercise, or_nothing(row->variant),
                     row->side == THEW_DIARY_BOTH   ? "both"
                     : row->side == THEW_DIARY_LEFT ? "left"
                                                    : "right",
                     or_nothing(row->implement), or_nothing(row->setting), or_nothing(row->link.replaces), NULL);
}

static char *place_text(thew_date date, const char *exercise, const char *side)
{
    char day[THEW_DATE_TEXT];
    return g_strjoin("\n", thew_date_text(date, day), exercise, side, NULL);
}

static char *set_place(const void *at)
{
    const thew_diary_row *row = at;
    return place_text(row->date, row->exercise,
                      row->side == THEW_DIARY_BOTH   ? "both"
                      : row->side == THEW_DIARY_LEFT ? "left"
                                                     : "right");
}

static char *kept_set_place(const void *at)
{
    const thew_store_set *set = at;
    return place_text(set->entry.day, set->exercise, set->side);
}

static void set_fields(const void *row, char **field)
{
    thew_diary_csv_fields(row, field);
}

static void kept_set_fields(const void *kept, char **field)
{
    thew_diary_row row = thew_as_file_set(kept);
    thew_diary_csv_fields(&row, field);
}

static thew_store_entry entry_of(const taking *t, const char *record, const thew_csv_link *link)
{
    return (thew_store_entry){
        .record = record, .replaces = link->replaces, .written_by = t->actor->account, .device = t->actor->device
    };
}

static thew_store_status add_set(const taking *t, const void *at, const char *record)
{
    const thew_diary_row *row = at;
    thew_store_set set = { .entry = entry_of(t, record, &row->link) };
    thew_from_file_set(row, &set);
    return thew_store_diary_add(t->db, t->studio->id, &set);
}

static thew_store_status put_diary(const taking *t)
{
    const record_kind kind = {
        .csv = t->diary->csv,
        .row = t->diary->row,
        .at = offsetof(thew_diary_row, at),
        .link = offsetof(thew_diary_row, link),
        .person = offsetof(thew_diary_row, person),
        .record = THEW_DIARY_RECORD,
        .replaces = THEW_DIARY_REPLACES,
        .what = "set",
        .history = thew_store_diary_history,
        .name = set_name,
        .columns = THEW_DIARY_COLUMNS,
        .fields = set_fields,
        .kept_fields = kept_set_fields,
        .add = add_set,
        .place = set_place,
        .kept_place = kept_set_place,
        .kept_size = sizeof(thew_store_set),
        .count = &t->taken->sets,
    };
    return put_records(t, &kind);
}

// --- check-ins
// ---------------------------------------------------------------------------------------------------------------------

static char *checkin_name(const void *at)
{
    const thew_days_row *row = at;
    char day[THEW_DATE_TEXT];
    return g_strjoin("\n", row->person, thew_date_text(row->date, day), or_nothing(row->link.replaces), NULL);
}

static void checkin_fields(const void *row, char **field)
{
    thew_days_csv_fields(row, field);
}

static void kept_checkin_fields(const void *kept, char **field)
{
    thew_days_row row = thew_as_file_checkin(kept);
    thew_days_csv_fields(&row, field);
}

static thew_store_status add_checkin(const taking *t, const void *at, const char *record)
{
    const thew_days_row *row = at;
    thew_store_checkin checkin = { .entry = entry_of(t, record, &row->link) };
    thew_from_file_checkin(row, &checkin);
    return thew_store_checkin_add(t->db, t->studio->id, &checkin);
}

static thew_store_status put_days(const taking *t)
{
    const record_kind kind = {
        .csv = t->days->csv,
        .row = t->days->row,
        .at = offsetof(thew_days_row, at),
        .link = offsetof(thew_days_row, link),
        .person = offsetof(thew_days_row, person),
        .record = THEW_DAYS_RECORD,
        .replaces = THEW_DAYS_REPLACES,
        .what = "check-in",
        .history = thew_store_checkin_history,
        .name = checkin_name,
        .columns = THEW_DAYS_COLUMNS,
        .fields = checkin_fields,
        .kept_fields = kept_checkin_fields,
        .add = add_checkin,
        .kept_size = sizeof(thew_store_checkin),
        .count = &t->taken->check_ins,
    };
    return put_records(t, &kind);
}

// --- all of it
// ---------------------------------------------------------------------------------------------------------------------

static thew_store_status put_all(const taking *t)
{
    thew_store_status status = THEW_STORE_OK;
    if (t->people) status = put_people(t);
    if (status >= 0 && t->kit) status = put_kit(t);
    if (status >= 0 && t->diary) status = put_diary(t);
    if (status >= 0 && t->days) status = put_days(t);
    return status;
}

static thew_store_status look_up_and_put(taking *t)
{
    thew_store_status status = read_studio(t);
    if (status >= 0) check(t);
    return status < 0 || has_errors(t) ? status : put_all(t);
}

static thew_verdict refuse_all(thew_taken_in *taken, thew_refusal *refusal)
{
    *taken = (thew_taken_in){ 0 };
    return thew_refuse(refusal, THEW_INVALID, "nothing was taken in: correct what is said of each place and try again");
}

thew_verdict thew_take_in(thew_studio *studio, const thew_actor *actor, const thew_given_files *given, bool dry,
                          thew_taken_in *taken, thew_trouble_list *trouble, thew_refusal *refusal)
{
    *taken = (thew_taken_in){ 0 };
    g_auto(taking) t = {
        .studio = studio, .db = studio->db, .actor = actor, .trouble = trouble, .taken = taken, .now = thew_studio_now(studio)
    };
    read_files(&t, given); // long files are read before others have to wait
    thew_store_status status = thew_db_begin(studio->db);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    status = look_up_and_put(&t);
    if (status < 0 || dry || has_errors(&t))
        thew_db_rollback(studio->db);
    else
        status = thew_db_commit(studio->db);
    if (status < 0) *taken = (thew_taken_in){ 0 };
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    if (has_errors(&t)) return refuse_all(taken, refusal);
    return taken->people + taken->items + taken->readings + taken->sets + taken->check_ins > 0 ? THEW_DONE : THEW_DONE_BEFORE;
}
