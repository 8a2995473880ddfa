// files.c: see files.h.
#include "cli/files.h"

#include <string.h>

#include "engine/heat.h"

#define EVERYBODY "*"

// --- What the catalogue knows, for the cross-check -------------------------------------------------------------------------------

typedef struct {
    const thew_catalogue *catalogue;
    GPtrArray *lists; // owned: the arrays handed out
} known_ids;

static const char *const *hand_out(known_ids *known, GPtrArray *ids)
{
    g_ptr_array_add(ids, NULL);
    gpointer *list = g_ptr_array_free(ids, FALSE);
    g_ptr_array_add(known->lists, list);
    return (const char *const *)list;
}

static thew_implement_kind implement_of(thew_kit_kind kind)
{
    static const thew_implement_kind of[] = { [THEW_KIT_UNKNOWN] = THEW_IMPLEMENT_BODY,
                                              [THEW_KIT_BAND] = THEW_IMPLEMENT_BAND,
                                              [THEW_KIT_LOOP] = THEW_IMPLEMENT_LOOP,
                                              [THEW_KIT_DUMBBELL] = THEW_IMPLEMENT_DUMBBELL,
                                              [THEW_KIT_CUFF] = THEW_IMPLEMENT_CUFF };
    return of[kind];
}

static void list_settings(const thew_exercise *exercise, thew_known_where where, GPtrArray *ids)
{
    for (size_t v = 0; v < exercise->variant_count; v++) {
        const thew_variant *variant = exercise->variant[v];
        if (strcmp(variant->id, where.variant ? where.variant : exercise->usual->id) != 0)
            continue;
        for (size_t i = 0; i < variant->implement_count; i++)
            for (size_t s = 0; variant->implement[i].kind == implement_of(where.implement) && s < variant->implement[i].setting_count; s++)
                g_ptr_array_add(ids, (void *)variant->implement[i].setting[s].id);
    }
}

static const char *const *ids_of(void *user, thew_known_kind kind, thew_known_where where)
{
    known_ids *known = user;
    GPtrArray *ids = g_ptr_array_new();
    const thew_exercise *exercise = where.exercise ? thew_catalogue_exercise(known->catalogue, where.exercise) : NULL;
    size_t count;
    switch (kind) {
    case THEW_KNOWN_EXERCISES: {
        const thew_exercise *const *all = thew_catalogue_exercises(known->catalogue, &count);
        for (size_t e = 0; e < count; e++)
            g_ptr_array_add(ids, (void *)all[e]->id);
        break;
    }
    case THEW_KNOWN_CAUTIONS: {
        const thew_caution *const *all = thew_catalogue_cautions(known->catalogue, &count);
        for (size_t c = 0; c < count; c++)
            g_ptr_array_add(ids, (void *)all[c]->id);
        break;
    }
    case THEW_KNOWN_VARIANTS:
        for (size_t v = 0; exercise && v < exercise->variant_count; v++)
            g_ptr_array_add(ids, (void *)exercise->variant[v]->id);
        break;
    case THEW_KNOWN_SETTINGS:
        if (exercise)
            list_settings(exercise, where, ids);
        break;
    }
    return hand_out(known, ids);
}

// --- From rows to participants ---------------------------------------------------------------------------------------------------

thew_status thew_files_band(const thew_kit_item *item, thew_band *band)
{
    thew_date latest = { 0 };
    for (guint r = 0; r < item->reading->len; r++) {
        thew_date measured = g_array_index(item->reading, thew_kit_reading, r).measured;
        if (thew_date_compare(measured, latest) > 0)
            latest = measured;
    }
    g_autoptr(GArray) readings = g_array_new(FALSE, FALSE, sizeof(thew_reading));
    for (guint r = 0; r < item->reading->len; r++) {
        const thew_kit_reading *reading = &g_array_index(item->reading, thew_kit_reading, r);
        if (thew_date_compare(reading->measured, latest) == 0)
            g_array_append_val(readings, reading->reading);
    }
    if (readings->len == 0) {
        *band = thew_band_unmeasured(item->rest_length_m, (int)item->step.value);
        return THEW_OK;
    }
    return thew_band_fit(item->rest_length_m, (const thew_reading *)(const void *)readings->data, (int)readings->len, 0, band, NULL);
}

static void add_piece(thew_files *files, thew_participant *participant, const thew_kit_item *item)
{
    thew_piece piece = { .label = item->implement, .kind = implement_of(item->kind), .mass_kg = item->mass_kg };
    if (item->kind == THEW_KIT_BAND || item->kind == THEW_KIT_LOOP) {
        thew_status status = thew_files_band(item, &piece.band);
        if (status < 0) {
            thew_csv_find(files->kit->csv, item->at, THEW_KIT_IMPLEMENT, THEW_TROUBLE_ERROR, thew_status_sentence(status), NULL);
            return;
        }
    }
    g_array_append_val(participant->piece, piece);
}

// A person's own stands before everybody's of the same label.
static bool is_for(const thew_kit_csv *kit, const thew_kit_item *item, const char *person)
{
    if (strcmp(item->person, person) == 0)
        return true;
    if (strcmp(item->person, EVERYBODY) != 0)
        return false;
    for (guint i = 0; i < kit->item->len; i++) {
        const thew_kit_item *own = &g_array_index(kit->item, thew_kit_item, i);
        if (strcmp(own->person, person) == 0 && strcmp(own->implement, item->implement) == 0)
            return false;
    }
    return true;
}

static thew_entry entry_of(const thew_diary_row *row)
{
    return (thew_entry){
        .day = thew_date_number(row->date),
        .exercise = row->exercise,
        .variant = row->variant,
        .implement = row->implement,
        .setting = row->setting,
        .side = (thew_side)row->side,
        .ended = (thew_ended)(row->ended - THEW_DIARY_FAILURE),
        .seconds = row->seconds,
        .reserve_s = row->reserve_s.known ? row->reserve_s.value : -1,
    };
}
G_STATIC_ASSERT((int)THEW_DIARY_LEFT == (int)THEW_LEFT && (int)THEW_DIARY_RIGHT == (int)THEW_RIGHT);
G_STATIC_ASSERT((int)THEW_PEOPLE_LEFT == (int)THEW_LEFT && (int)THEW_PEOPLE_RIGHT == (int)THEW_RIGHT);
G_STATIC_ASSERT(THEW_DIARY_OTHER - THEW_DIARY_FAILURE == (int)THEW_OTHER);

static thew_checkin checkin_of(const thew_days_row *row)
{
    thew_conditions c = {
        .has_fatigue = row->fatigue.known,
        .has_sleep = row->sleep.known,
        .has_readiness = row->readiness.known,
        .fatigue = row->fatigue.value,
        .sleep = row->sleep.value,
        .readiness = row->readiness.value,
        .has_heat = row->heat_index_c.known || (row->room_c.known && row->humidity_percent.known),
    };
    if (c.has_heat)
        c.heat_index_c = row->heat_index_c.known ? row->heat_index_c.value
                                                 : thew_heat_index_c(row->room_c.value, row->humidity_percent.value);
    return (thew_checkin){ .day = thew_date_number(row->date), .conditions = c };
}

static int entry_order(const void *a, const void *b)
{
    thew_day one = ((const thew_entry *)a)->day, two = ((const thew_entry *)b)->day;
    return one < two ? -1 : one > two;
}

static int checkin_order(const void *a, const void *b)
{
    thew_day one = ((const thew_checkin *)a)->day, two = ((const thew_checkin *)b)->day;
    return one < two ? -1 : one > two;
}

static void participant_free(void *at)
{
    thew_participant *p = at;
    g_array_free(p->piece, TRUE);
    g_array_free(p->entry, TRUE);
    g_array_free(p->checkin, TRUE);
    g_free(p);
}

static thew_participant *participant_of(thew_files *files, const thew_people_row *row)
{
    thew_participant *p = g_new0(thew_participant, 1);
    *p = (thew_participant){
        .id = row->person,
        .called = row->called,
        .sex = row->sex,
        .birth_year = row->birth_year,
        .height_m = row->height_m,
        .mass_kg = row->mass_kg,
        .condition = row->condition == THEW_PEOPLE_MS ? THEW_CONDITION_MS : THEW_CONDITION_NONE,
        .endpoint = row->endpoint == THEW_PEOPLE_TO_RESERVE ? THEW_TO_RESERVE : THEW_TO_FAILURE,
        .weaker_side = (thew_side)row->weaker_side,
        .caution = row->cautions,
        .heat_sensitive = row->heat_sensitive,
        .exercise = row->exercises,
        .piece = g_array_new(FALSE, FALSE, sizeof(thew_piece)),
        .entry = g_array_new(FALSE, FALSE, sizeof(thew_entry)),
        .checkin = g_array_new(FALSE, FALSE, sizeof(thew_checkin)),
    };
    for (guint i = 0; files->kit && i < files->kit->item->len; i++) {
        const thew_kit_item *item = &g_array_index(files->kit->item, thew_kit_item, i);
        if (is_for(files->kit, item, row->person))
            add_piece(files, p, item);
    }
    return p;
}

// Hand every set and check-in to its person in one pass each.
static void hand_out_records(thew_files *files)
{
    g_autoptr(GHashTable) by_id = g_hash_table_new(g_str_hash, g_str_equal);
    for (guint i = 0; i < files->participant->len; i++)
        g_hash_table_insert(by_id, (void *)((thew_participant *)files->participant->pdata[i])->id, files->participant->pdata[i]);
    for (guint i = 0; files->diary && i < files->diary->row->len; i++) {
        const thew_diary_row *row = &g_array_index(files->diary->row, thew_diary_row, i);
        thew_participant *p = row->is_superseded ? NULL : g_hash_table_lookup(by_id, row->person);
        thew_entry entry = entry_of(row);
        if (p)
            g_array_append_val(p->entry, entry);
    }
    for (guint i = 0; files->days && i < files->days->row->len; i++) {
        const thew_days_row *row = &g_array_index(files->days->row, thew_days_row, i);
        thew_participant *p = g_hash_table_lookup(by_id, row->person);
        thew_checkin checkin = checkin_of(row);
        if (p)
            g_array_append_val(p->checkin, checkin);
    }
    for (guint i = 0; i < files->participant->len; i++) {
        thew_participant *p = files->participant->pdata[i];
        g_array_sort(p->entry, entry_order); // stable: a day's sets keep their order
        g_array_sort(p->checkin, checkin_order);
    }
}

bool thew_paths_use_input_once(thew_paths paths)
{
    const char *const path[] = { paths.people, paths.kit, paths.diary, paths.days };
    int count = 0;
    for (gsize p = 0; p < G_N_ELEMENTS(path); p++)
        count += path[p] && strcmp(path[p], "-") == 0;
    return count <= 1;
}

static GBytes *load(thew_files *files, const char *path) { return path ? thew_csv_load(path, THEW_CSV_BYTES_MAX, files->trouble) : NULL; }

static void read_each(thew_files *files, thew_paths paths, thew_date today)
{
    g_autoptr(GBytes) people = load(files, paths.people);
    g_autoptr(GBytes) kit = load(files, paths.kit);
    g_autoptr(GBytes) diary = load(files, paths.diary);
    g_autoptr(GBytes) days = load(files, paths.days);
    if (people)
        files->people = thew_people_csv_read(thew_csv_shown_name(paths.people), people, today, files->trouble);
    if (kit)
        files->kit = thew_kit_csv_read(thew_csv_shown_name(paths.kit), kit, today, files->trouble);
    if (diary)
        files->diary = thew_diary_csv_read(thew_csv_shown_name(paths.diary), diary, today, files->trouble);
    if (days)
        files->days = thew_days_csv_read(thew_csv_shown_name(paths.days), days, today, files->trouble);
}

thew_files *thew_files_read(const thew_catalogue *catalogue, thew_paths paths, thew_date today)
{
    thew_files *files = g_new0(thew_files, 1);
    files->trouble = thew_trouble_list_new();
    read_each(files, paths, today);
    known_ids known = { catalogue, g_ptr_array_new_with_free_func(g_free) };
    thew_known ask = { ids_of, &known };
    thew_cross_check(files->people, files->kit, files->diary, files->days, &ask);
    g_ptr_array_free(known.lists, TRUE);
    if (thew_trouble_count(files->trouble, THEW_TROUBLE_ERROR) > 0 || !files->people)
        return files;
    files->participant = g_ptr_array_new_with_free_func(participant_free);
    for (guint i = 0; i < files->people->row->len; i++)
        g_ptr_array_add(files->participant, participant_of(files, &g_array_index(files->people->row, thew_people_row, i)));
    hand_out_records(files);
    return files;
}

const thew_participant *thew_files_find(const thew_files *files, const char *person)
{
    for (guint i = 0; files->participant && i < files->participant->len; i++) {
        const thew_participant *p = files->participant->pdata[i];
        if (strcmp(p->id, person) == 0)
            return p;
    }
    return NULL;
}

void thew_files_free(thew_files *files)
{
    if (!files)
        return;
    g_clear_pointer(&files->participant, g_ptr_array_unref);
    g_clear_pointer(&files->people, thew_people_csv_free);
    g_clear_pointer(&files->kit, thew_kit_csv_free);
    g_clear_pointer(&files->diary, thew_diary_csv_free);
    g_clear_pointer(&files->days, thew_days_csv_free);
    thew_trouble_list_free(files->trouble);
    g_free(files);
}
