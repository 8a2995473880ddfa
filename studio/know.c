// know.c: see know.h.
#include "studio/know.h"

#include <string.h>

#include "engine/band.h"

// --- Words of the store ----------------------------------------------------------------------------------------------------------

static const char *const side_word[] = { [THEW_BOTH] = "both", [THEW_LEFT] = "left", [THEW_RIGHT] = "right" };
static const char *const ended_word[] = { [THEW_FAILURE] = "failure",
                                          [THEW_COMPLETED] = "completed",
                                          [THEW_RESERVE] = "reserve",
                                          [THEW_SYMPTOM] = "symptom",
                                          [THEW_OTHER] = "other" };

// Its place in the list, or -1.
static int place_of(const char *word, const char *const *list, int count)
{
    for (int i = 0; word && i < count; i++)
        if (strcmp(word, list[i]) == 0) return i;
    return -1;
}

#define PLACE_OF(word, list) place_of(word, list, (int)G_N_ELEMENTS(list))

thew_side thew_know_side(const char *word)
{
    return (thew_side)MAX(PLACE_OF(word, side_word), (int)THEW_BOTH);
}

thew_ended thew_know_ended(const char *word)
{
    int place = PLACE_OF(word, ended_word);
    return place < 0 ? THEW_OTHER : (thew_ended)place;
}

bool thew_know_is_side(const char *word)
{
    return PLACE_OF(word, side_word) >= 0;
}

bool thew_know_is_ended(const char *word)
{
    return PLACE_OF(word, ended_word) >= 0;
}

char *thew_know_label(const char *implement, const char *setting)
{
    return g_strconcat(implement ? implement : "body weight", setting ? ", " : "", setting ? setting : "", NULL);
}

// --- Kit -------------------------------------------------------------------------------------------------------------------------

static thew_implement_kind kind_of(const char *word)
{
    for (thew_implement_kind kind = THEW_IMPLEMENT_BODY; kind < THEW_IMPLEMENT_COUNT; kind++)
        if (strcmp(thew_implement_kind_id(kind), word) == 0) return kind;
    return THEW_IMPLEMENT_BODY;
}

static bool is_stretched(thew_implement_kind kind)
{
    return kind == THEW_IMPLEMENT_BAND || kind == THEW_IMPLEMENT_LOOP;
}

static bool is_of(const thew_store_reading *reading, const thew_store_item *item)
{
    return strcmp(reading->item, item->item) == 0;
}

thew_status thew_know_band(const thew_store_item *item, const thew_rows *reading, thew_band *band)
{
    double rest_m = item->rest_length_m.value;
    thew_date latest = { 0 };
    for (guint r = 0; r < reading->row->len; r++) {
        const thew_store_reading *row = thew_row(reading, thew_store_reading, r);
        if (is_of(row, item) && thew_date_compare(row->measured_day, latest) > 0) latest = row->measured_day;
    }
    g_autoptr(GArray) taken = g_array_new(FALSE, FALSE, sizeof(thew_reading));
    for (guint r = 0; r < reading->row->len; r++) {
        const thew_store_reading *row = thew_row(reading, thew_store_reading, r);
        thew_reading one = { row->length_m, row->force_n };
        if (is_of(row, item) && thew_date_compare(row->measured_day, latest) == 0) g_array_append_val(taken, one);
    }
    if (taken->len == 0) {
        if (!(rest_m > 0)) return THEW_REST_LENGTH_NOT_POSITIVE;
        *band = thew_band_unmeasured(rest_m, (int)item->step.value);
        return THEW_OK;
    }
    return thew_band_fit(rest_m, (const thew_reading *)(const void *)taken->data, (int)taken->len, 0, band, NULL);
}

// A person's own stands before everybody's of the same label, and what is in use before what no longer is.
static bool stands_back(const thew_rows *items, const thew_store_item *item)
{
    for (guint i = 0; i < items->row->len; i++) {
        const thew_store_item *other = thew_row(items, thew_store_item, i);
        if (other == item || strcmp(other->label, item->label) != 0) continue;
        bool retired = item->retired_day.year != 0, other_retired = other->retired_day.year != 0;
        if (retired != other_retired) {
            if (retired) return true;
            continue;
        }
        if (!item->person && other->person) return true;
        if (!item->person == !other->person && other < item) return true; // of two that are gone, one
    }
    return false;
}

static void add_piece(thew_knowledge *k, const thew_store_item *item)
{
    thew_piece piece = {
        .label = item->label, .kind = kind_of(item->kind), .mass_kg = item->mass_kg.value, .retired = item->retired_day.year != 0
    };
    if (is_stretched(piece.kind)) {
        thew_status status = thew_know_band(item, k->reading, &piece.band);
        if (status < 0) {
            g_ptr_array_add(k->note, g_strdup_printf("\"%s\" is left out: %s", item->label, thew_status_sentence(status)));
            return;
        }
    }
    g_array_append_val(k->participant.piece, piece);
}

static void take_kit(thew_knowledge *k)
{
    for (guint i = 0; i < k->item->row->len; i++) {
        const thew_store_item *item = thew_row(k->item, thew_store_item, i);
        if (!stands_back(k->item, item)) add_piece(k, item);
    }
}

// --- The diary -------------------------------------------------------------------------------------------------------------------

static void take_sets(thew_knowledge *k)
{
    for (guint i = 0; i < k->set->row->len; i++) {
        const thew_store_set *set = thew_row(k->set, thew_store_set, i);
        thew_entry entry = { .day = thew_studio_number(set->entry.day),
                             .exercise = set->exercise,
                             .variant = set->variant,
                             .implement = set->implement,
                             .setting = set->setting,
                             .side = thew_know_side(set->side),
                             .ended = thew_know_ended(set->ended),
                             .seconds = set->seconds,
                             .reserve_s = set->reserve_s.known ? set->reserve_s.value : -1 };
        g_array_append_val(k->participant.entry, entry);
    }
}

static void take_checkins(thew_knowledge *k)
{
    for (guint i = 0; i < k->checkin->row->len; i++) {
        const thew_store_checkin *row = thew_row(k->checkin, thew_store_checkin, i);
        thew_checkin checkin = { .day = thew_studio_number(row->entry.day),
                                 .conditions = { .has_heat = row->heat_index_c.known,
                                                 .has_fatigue = row->fatigue.known,
                                                 .has_sleep = row->sleep.known,
                                                 .has_readiness = row->readiness.known,
                                                 .heat_index_c = row->heat_index_c.value,
                                                 .fatigue = row->fatigue.value,
                                                 .sleep = row->sleep.value,
                                                 .readiness = row->readiness.value } };
        g_array_append_val(k->participant.checkin, checkin);
    }
}

// --- The person ------------------------------------------------------------------------------------------------------------------

static bool says(const char *word, const char *what)
{
    return word && strcmp(word, what) == 0;
}

static void take_person(const thew_studio *studio, thew_knowledge *k)
{
    const thew_store_person *p = k->person;
    k->participant = (thew_participant){
        .id = p->person,
        .called = p->called,
        .sex = says(p->sex, "female") ? THEW_SEX_FEMALE
               : says(p->sex, "male") ? THEW_SEX_MALE
                                      : THEW_SEX_UNKNOWN,
        .birth_year = p->birth_year,
        .height_m = p->height_m.value,
        .mass_kg = p->mass_kg.value,
        .condition = says(p->condition, "ms") ? THEW_CONDITION_MS : THEW_CONDITION_NONE,
        .endpoint = says(p->endpoint, "reserve") ? THEW_TO_RESERVE : THEW_TO_FAILURE,
        .weaker_side = thew_know_side(p->weaker_side),
        .heat_sensitive = p->heat_sensitive,
        .piece = g_array_new(FALSE, FALSE, sizeof(thew_piece)),
        .entry = g_array_sized_new(FALSE, FALSE, sizeof(thew_entry), k->set->row->len),
        .checkin = g_array_sized_new(FALSE, FALSE, sizeof(thew_checkin), k->checkin->row->len),
        .limit = g_array_new(FALSE, FALSE, sizeof(thew_limit)),
        .memo = studio->memo,
        .window = { k->settings.floor_s, k->settings.window_from_s, k->settings.window_to_s },
    };
    for (guint i = 0; i < k->choice->row->len; i++) {
        const thew_store_choice *choice = thew_row(k->choice, thew_store_choice, i);
        if (says(choice->list, "exercise")) g_ptr_array_add(k->exercise, (gpointer)choice->what);
        if (says(choice->list, "caution")) g_ptr_array_add(k->caution, (gpointer)choice->what);
    }
    for (guint i = 0; i < k->limit->row->len; i++) {
        const thew_store_limit *row = thew_row(k->limit, thew_store_limit, i);
        thew_limit limit = { says(row->kind, "position"), row->what, thew_studio_number(row->until_day) };
        g_array_append_val(k->participant.limit, limit);
    }
    g_ptr_array_add(k->exercise, NULL);
    g_ptr_array_add(k->caution, NULL);
    k->participant.exercise = (const char *const *)k->exercise->pdata;
    k->participant.caution = (const char *const *)k->caution->pdata;
}

static thew_store_status read_rows(thew_studio *studio, const char *person, thew_knowledge *k)
{
    const thew_date open = { 0 };
    thew_store_status status = thew_store_person_find(studio->db, studio->id, person, &k->people);
    if (status >= 0) status = thew_store_choice_all(studio->db, studio->id, person, &k->choice);
    if (status >= 0) status = thew_store_limit_all(studio->db, studio->id, person, &k->limit);
    if (status >= 0) status = thew_store_item_of(studio->db, studio->id, person, &k->item);
    if (status >= 0) status = thew_store_reading_of_person(studio->db, studio->id, person, &k->reading);
    if (status >= 0) status = thew_store_diary_current(studio->db, studio->id, person, open, open, &k->set);
    if (status >= 0) status = thew_store_checkin_current(studio->db, studio->id, person, open, open, &k->checkin);
    if (status >= 0) status = thew_set_up_settings(studio, &k->settings);
    return status;
}

// All of one moment; within a transaction of the caller's it is that one's.
static thew_store_status read_at_once(thew_studio *studio, const char *person, thew_knowledge *k)
{
    thew_store_status begun = thew_db_begin_reading(studio->db);
    if (begun < 0 && begun != THEW_STORE_NESTED) return begun;
    thew_store_status status = read_rows(studio, person, k);
    return begun == THEW_STORE_NESTED ? status : thew_db_end(studio->db, status);
}

thew_verdict thew_know(thew_studio *studio, const char *person, thew_knowledge **knowledge, thew_refusal *refusal)
{
    *knowledge = NULL;
    g_autoptr(thew_knowledge) k = g_new0(thew_knowledge, 1);
    k->note = g_ptr_array_new_with_free_func(g_free);
    k->exercise = g_ptr_array_new();
    k->caution = g_ptr_array_new();
    thew_store_status status = read_at_once(studio, person, k);
    if (status == THEW_STORE_NOT_FOUND) return thew_refuse(refusal, THEW_ABSENT, "there is nobody \"%s\" in this studio", person);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    k->person = thew_row(k->people, thew_store_person, 0);
    take_person(studio, k);
    take_kit(k);
    take_sets(k);
    take_checkins(k);
    *knowledge = g_steal_pointer(&k);
    return THEW_DONE;
}

void thew_knowledge_free(thew_knowledge *k)
{
    if (!k) return;
    GArray *array[] = { k->participant.piece, k->participant.entry, k->participant.checkin, k->participant.limit };
    for (gsize i = 0; i < G_N_ELEMENTS(array); i++)
        if (array[i]) g_array_unref(array[i]);
    thew_rows *rows[] = { k->people, k->choice, k->limit, k->item, k->reading, k->set, k->checkin };
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++)
        thew_rows_free(rows[i]);
    g_ptr_array_unref(k->note);
    g_ptr_array_unref(k->exercise);
    g_ptr_array_unref(k->caution);
    g_free(k);
}

const char *thew_know_record(const thew_knowledge *knowledge, guint entry)
{
    return thew_row(knowledge->set, thew_store_set, entry)->entry.record;
}
