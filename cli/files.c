// files.c: see files.h.
#include "cli/files.h"

#include <string.h>

#include "engine/heat.h"
#include "studio/known.h"

#define EVERYBODY "*"

// --- From rows to participants ---------------------------------------------------------------------------------------------------

static void add_piece(thew_files *files, thew_participant *participant, const thew_kit_item *item)
{
    thew_piece piece = { .label = item->implement, .kind = thew_known_implement(item->kind), .mass_kg = item->mass_kg };
    if (item->kind == THEW_KIT_BAND || item->kind == THEW_KIT_LOOP) {
        thew_status status = thew_known_band(item, &piece.band);
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
        if (strcmp(own->person, person) == 0 && strcmp(own->implement, item->implement) == 0 && own->retired.year == 0)
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
        .condition = row->condition == THEW_PEOPLE_NO_CONDITION ? THEW_CONDITION_NONE : THEW_CONDITION_MS, // unknown: be careful
        .endpoint = row->endpoint == THEW_PEOPLE_TO_FAILURE ? THEW_TO_FAILURE : THEW_TO_RESERVE, // undecided: likewise
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
        if (item->retired.year == 0 && is_for(files->kit, item, row->person))
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
        thew_participant *p = thew_csv_link_counts(&row->link) ? g_hash_table_lookup(by_id, row->person) : NULL;
        thew_entry entry = entry_of(row);
        if (p)
            g_array_append_val(p->entry, entry);
    }
    for (guint i = 0; files->days && i < files->days->row->len; i++) {
        const thew_days_row *row = &g_array_index(files->days->row, thew_days_row, i);
        thew_participant *p = thew_csv_link_counts(&row->link) ? g_hash_table_lookup(by_id, row->person) : NULL;
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
    g_autoptr(thew_known_ids) ids = thew_known_ids_new(catalogue);
    thew_cross_check(files->people, files->kit, files->diary, files->days, &(thew_known){ .ids = thew_known_ids_of, .user = ids });
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
