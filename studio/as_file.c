// as_file.c: see as_file.h.
#include "studio/as_file.h"

#include <string.h>

#include "engine/heat.h"

static const char *const sexes[] = { NULL, "female", "male", NULL };
static const char *const conditions[] = { NULL, "ms", "none", NULL };
static const char *const endpoints[] = { NULL, "failure", "reserve", NULL };
static const char *const weaker_sides[] = { NULL, "left", "right", NULL };
static const char *const kinds[] = { NULL, "band", "loop", "dumbbell", "cuff", NULL };
static const char *const sides[] = { "both", "left", "right", NULL };
static const char *const endings[] = { NULL, "failure", "completed", "reserve", "symptom", "other", NULL };

// A word's place in a list that begins with one for nothing; 0 if it is none of them.
static int place_of(const char *const *words, const char *word)
{
    for (int i = 1; word && words[i]; i++)
        if (strcmp(words[i], word) == 0) return i;
    return 0;
}

static thew_maybe maybe_of(thew_maybe_real number)
{
    return (thew_maybe){ number.known, number.value };
}
static thew_maybe_real real_of(thew_maybe number)
{
    return (thew_maybe_real){ number.known, number.value };
}
static thew_maybe_real positive(double value)
{
    return (thew_maybe_real){ value > 0, value };
}

static bool says(const thew_csv *csv, int column)
{
    return !csv || thew_csv_has_column(csv, column);
}

// --- people ----------------------------------------------------------------------------------------------------------------------

const char **thew_as_file_list(const thew_rows *choice, const char *list)
{
    GPtrArray *names = g_ptr_array_new();
    for (guint i = 0; i < choice->row->len; i++) {
        const thew_store_choice *one = thew_row(choice, thew_store_choice, i);
        if (strcmp(one->list, list) == 0) g_ptr_array_add(names, (gpointer)one->what);
    }
    g_ptr_array_add(names, NULL);
    return (const char **)g_ptr_array_free(names, FALSE);
}

thew_people_row thew_as_file_person(const thew_store_person *person, const thew_rows *choice)
{
    return (thew_people_row){
        .person = person->person,
        .called = person->called,
        .sex = (thew_sex)place_of(sexes, person->sex),
        .birth_year = person->birth_year,
        .height_m = person->height_m.value,
        .mass_kg = person->mass_kg.value,
        .condition = (thew_people_condition)place_of(conditions, person->condition),
        .endpoint = (thew_people_endpoint)place_of(endpoints, person->endpoint),
        .weaker_side = (thew_people_side)place_of(weaker_sides, person->weaker_side),
        .heat_sensitive = person->heat_sensitive,
        .exercises = thew_as_file_list(choice, "exercise"),
        .cautions = thew_as_file_list(choice, "caution"),
        .goals = thew_as_file_list(choice, "goal"),
        .since_day = person->since_day,
        .left_day = person->left_day,
        .note = person->note,
    };
}

void thew_as_file_person_clear(thew_people_row *row)
{
    g_clear_pointer(&row->exercises, g_free);
    g_clear_pointer(&row->cautions, g_free);
    g_clear_pointer(&row->goals, g_free);
}

void thew_from_file_person(const thew_people_row *row, const thew_csv *csv, thew_store_person *person)
{
    person->person = row->person;
    if (says(csv, THEW_PEOPLE_CALLED) || !person->called) person->called = row->called;
    if (says(csv, THEW_PEOPLE_SEX)) person->sex = sexes[row->sex];
    if (says(csv, THEW_PEOPLE_BIRTH_YEAR)) person->birth_year = row->birth_year;
    if (says(csv, THEW_PEOPLE_HEIGHT_M)) person->height_m = positive(row->height_m);
    if (says(csv, THEW_PEOPLE_MASS_KG)) person->mass_kg = positive(row->mass_kg);
    person->condition = conditions[row->condition];
    person->endpoint = endpoints[row->endpoint];
    if (says(csv, THEW_PEOPLE_WEAKER_SIDE)) person->weaker_side = weaker_sides[row->weaker_side];
    if (says(csv, THEW_PEOPLE_HEAT_SENSITIVE) || person->made_us.us == 0) person->heat_sensitive = row->heat_sensitive;
    if (says(csv, THEW_PEOPLE_SINCE)) person->since_day = row->since_day;
    if (says(csv, THEW_PEOPLE_LEFT_ON)) person->left_day = row->left_day;
    if (says(csv, THEW_PEOPLE_NOTE) || !person->note) person->note = row->note;
}

// --- kit -------------------------------------------------------------------------------------------------------------------------

static gint reading_order(gconstpointer a, gconstpointer b)
{
    const thew_kit_reading *x = a, *y = b;
    int day = thew_date_compare(x->measured, y->measured);
    if (day != 0) return day;
    if (x->reading.length_m != y->reading.length_m) return x->reading.length_m < y->reading.length_m ? -1 : 1;
    if (x->reading.force_n != y->reading.force_n) return x->reading.force_n < y->reading.force_n ? -1 : 1;
    return strcmp(x->note, y->note);
}

thew_kit_item thew_as_file_item(const thew_store_item *item, const thew_rows *reading)
{
    thew_kit_item row = {
        .person = item->person ? item->person : THEW_EVERYBODY,
        .implement = item->label,
        .kind = (thew_kit_kind)place_of(kinds, item->kind),
        .mass_kg = item->mass_kg.value,
        .rest_length_m = item->rest_length_m.value,
        .step = maybe_of(item->step),
        .reading = g_array_new(FALSE, FALSE, sizeof(thew_kit_reading)),
        .retired = item->retired_day,
        .note = item->note,
    };
    for (guint i = 0; i < reading->row->len; i++) {
        const thew_store_reading *one = thew_row(reading, thew_store_reading, i);
        thew_kit_reading as_file = { .reading = { one->length_m, one->force_n }, .measured = one->measured_day, .note = one->note };
        g_array_append_val(row.reading, as_file);
    }
    g_array_sort(row.reading, reading_order);
    return row;
}

void thew_as_file_item_clear(thew_kit_item *item)
{
    g_clear_pointer(&item->reading, g_array_unref);
}

void thew_from_file_item(const thew_kit_item *row, const thew_csv *csv, thew_store_item *item)
{
    item->person = strcmp(row->person, THEW_EVERYBODY) == 0 ? NULL : row->person;
    item->label = row->implement;
    item->kind = kinds[row->kind];
    if (says(csv, THEW_KIT_MASS_KG)) item->mass_kg = positive(row->mass_kg);
    if (says(csv, THEW_KIT_REST_LENGTH_M)) item->rest_length_m = positive(row->rest_length_m);
    if (says(csv, THEW_KIT_STEP)) item->step = real_of(row->step);
    if (says(csv, THEW_KIT_RETIRED)) item->retired_day = row->retired;
    if (!item->note || (says(csv, THEW_KIT_NOTE) && !row->is_note_of_reading)) item->note = row->note;
}

// --- records ---------------------------------------------------------------------------------------------------------------------

thew_diary_row thew_as_file_set(const thew_store_set *set)
{
    return (thew_diary_row){
        .date = set->entry.day,
        .side = (thew_diary_side)place_of(sides, set->side),
        .ended = (thew_diary_ended)place_of(endings, set->ended),
        .person = set->entry.person,
        .exercise = set->exercise,
        .variant = set->variant,
        .setting = set->setting,
        .implement = set->implement,
        .link = { .record = set->entry.record, .replaces = set->entry.replaces, .is_withdrawn = set->entry.withdrawn },
        .at_us = set->entry.at_us.us,
        .note = set->entry.note,
        .seconds = set->seconds,
        .reserve_s = maybe_of(set->reserve_s),
        .exertion = maybe_of(set->exertion),
    };
}

void thew_from_file_set(const thew_diary_row *row, thew_store_set *set)
{
    set->entry.person = row->person;
    set->entry.day = row->date;
    set->entry.at_us = (thew_utc){ row->at_us };
    set->entry.withdrawn = row->link.is_withdrawn;
    set->entry.note = row->note;
    set->exercise = row->exercise;
    set->variant = row->variant;
    set->side = sides[row->side];
    set->implement = row->implement;
    set->setting = row->setting;
    set->ended = endings[row->ended];
    set->seconds = row->seconds;
    set->reserve_s = real_of(row->reserve_s);
    set->exertion = real_of(row->exertion);
}

thew_days_row thew_as_file_checkin(const thew_store_checkin *checkin)
{
    bool is_said = checkin->room_c.known && checkin->humidity_percent.known;
    return (thew_days_row){
        .date = checkin->entry.day,
        .person = checkin->entry.person,
        .room_c = maybe_of(checkin->room_c),
        .humidity_percent = maybe_of(checkin->humidity_percent),
        .heat_index_c = is_said ? (thew_maybe){ 0 } : maybe_of(checkin->heat_index_c),
        .fatigue = maybe_of(checkin->fatigue),
        .sleep = maybe_of(checkin->sleep),
        .readiness = maybe_of(checkin->readiness),
        .link = { .record = checkin->entry.record, .replaces = checkin->entry.replaces, .is_withdrawn = checkin->entry.withdrawn },
        .at_us = checkin->entry.at_us.us,
        .note = checkin->entry.note,
    };
}

void thew_from_file_checkin(const thew_days_row *row, thew_store_checkin *checkin)
{
    checkin->entry.person = row->person;
    checkin->entry.day = row->date;
    checkin->entry.at_us = (thew_utc){ row->at_us };
    checkin->entry.withdrawn = row->link.is_withdrawn;
    checkin->entry.note = row->note;
    checkin->room_c = real_of(row->room_c);
    checkin->humidity_percent = real_of(row->humidity_percent);
    checkin->heat_index_c = real_of(row->heat_index_c);
    if (row->room_c.known && row->humidity_percent.known)
        checkin->heat_index_c = (thew_maybe_real){ true, thew_heat_index_c(row->room_c.value, row->humidity_percent.value) };
    checkin->fatigue = real_of(row->fatigue);
    checkin->sleep = real_of(row->sleep);
    checkin->readiness = real_of(row->readiness);
}
