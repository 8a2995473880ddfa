// hand_out.c: see hand_out.h.
#include "studio/hand_out.h"

#include <jansson.h>
#include <math.h>
#include <string.h>

#include "exchange/instant.h"
#include "exchange/zip_write.h"
#include "store/access.h"
#include "store/account.h"
#include "store/addition.h"
#include "store/advice.h"
#include "store/block.h"
#include "store/class.h"
#include "store/outcome.h"
#include "store/run.h"
#include "store/studio.h"
#include "studio/as_file.h"
#include "studio/remove.h"

#define EVER_US G_MAXINT64
#define ZIP_TIME_S 631152000 // 1990-01-01: the same whenever it is made
#define ALL G_MAXINT         // rows

/// What is being handed out.
typedef struct {
    thew_db *db;
    const char *studio;
    const char *person;      // NULL: everybody
    const thew_rows *people; // thew_store_person, by identifier: those it is about
} handing;

typedef thew_store_status file_writer(const handing *h, GString *out);

// --- people
// --------------------------------------------------------------------------------------------------------------------------

static gint by_identifier(gconstpointer a, gconstpointer b)
{
    return strcmp(((const thew_store_person *)a)->person, ((const thew_store_person *)b)->person);
}

static thew_store_status find_people(handing *h, thew_rows **people)
{
    thew_store_status status =
        h->person ? thew_store_person_find(h->db, h->studio, h->person, people) : thew_store_person_all(h->db, h->studio, people);
    if (status < 0) return status;
    g_array_sort((*people)->row, by_identifier);
    h->people = *people;
    return status;
}

static const char *person_at(const handing *h, guint i)
{
    return thew_row(h->people, thew_store_person, i)->person;
}

// --- the coach's files -----------------------------------------------------------------------------------------------------------

static thew_store_status write_people(const handing *h, GString *out)
{
    thew_store_status status = THEW_STORE_OK;
    thew_people_csv_write_header(out);
    for (guint i = 0; i < h->people->row->len && status >= 0; i++) {
        g_autoptr(thew_rows) choice = NULL;
        status = thew_store_choice_all(h->db, h->studio, person_at(h, i), &choice);
        if (status < 0) break;
        thew_people_row row = thew_as_file_person(thew_row(h->people, thew_store_person, i), choice);
        thew_people_csv_write(out, &row);
        thew_as_file_person_clear(&row);
    }
    return status;
}

// Everybody's first, then by owner and label; of one label what is in use first, then by the day on which it was retired.
static gint item_order(gconstpointer a, gconstpointer b)
{
    const thew_store_item *x = a, *y = b;
    int order = g_strcmp0(x->person, y->person); // NULL comes first
    if (order == 0) order = strcmp(x->label, y->label);
    if (order == 0) order = thew_date_compare(x->retired_day, y->retired_day);
    return order != 0 ? order : strcmp(x->item, y->item);
}

static thew_store_status find_items(const handing *h, thew_rows **items)
{
    thew_store_status status =
        h->person ? thew_store_item_of(h->db, h->studio, h->person, items) : thew_store_item_all(h->db, h->studio, items);
    if (status >= 0) g_array_sort((*items)->row, item_order);
    return status;
}

static thew_store_status write_kit(const handing *h, GString *out)
{
    g_autoptr(thew_rows) items = NULL;
    thew_store_status status = find_items(h, &items);
    thew_kit_csv_write_header(out);
    for (guint i = 0; status >= 0 && i < items->row->len; i++) {
        const thew_store_item *item = thew_row(items, thew_store_item, i);
        g_autoptr(thew_rows) reading = NULL;
        status = thew_store_reading_of(h->db, h->studio, item->item, &reading);
        if (status < 0) break;
        thew_kit_item row = thew_as_file_item(item, reading);
        thew_kit_csv_write(out, &row);
        thew_as_file_item_clear(&row);
    }
    return status;
}

// A person's records stand in the order in which they were kept: what replaces a record stands below it.
static thew_store_status write_diary(const handing *h, GString *out)
{
    thew_store_status status = THEW_STORE_OK;
    thew_diary_csv_write_header(out);
    for (guint i = 0; i < h->people->row->len && status >= 0; i++) {
        g_autoptr(thew_rows) sets = NULL;
        status = thew_store_diary_history(h->db, h->studio, person_at(h, i), &sets);
        for (guint s = 0; status >= 0 && s < sets->row->len; s++) {
            thew_diary_row row = thew_as_file_set(thew_row(sets, thew_store_set, s));
            thew_diary_csv_write(out, &row);
        }
    }
    return status;
}

static thew_store_status write_days(const handing *h, GString *out)
{
    thew_store_status status = THEW_STORE_OK;
    thew_days_csv_write_header(out);
    for (guint i = 0; i < h->people->row->len && status >= 0; i++) {
        g_autoptr(thew_rows) checkins = NULL;
        status = thew_store_checkin_history(h->db, h->studio, person_at(h, i), &checkins);
        for (guint c = 0; status >= 0 && c < checkins->row->len; c++) {
            thew_days_row row = thew_as_file_checkin(thew_row(checkins, thew_store_checkin, c));
            thew_days_csv_write(out, &row);
        }
    }
    return status;
}

// --- rows as JSON ----------------------------------------------------------------------------------------------------------------

static bool is_secret_or_seal(const char *column)
{
    static const char *const left_out[] = { "password_hash", "digest", "code", NULL };
    return g_strv_contains(left_out, column);
}

static json_t *text_json(const char *column, const char *text)
{
    static const char *const nested[] = { "plan", "answers", "reengaged", "fit", "json", "detail", NULL };
    json_t *within =
        text && g_strv_contains(nested, column) ? json_loads(text, JSON_DECODE_ANY | JSON_REJECT_DUPLICATES, NULL) : NULL;
    return within ? within : text ? json_string(text) : json_null();
}

static json_t *real_json(double value)
{
    return isfinite(value) ? json_real(value) : json_null();
}

static json_t *member_json(const thew_field *field, const void *row)
{
    const void *at = (const char *)row + field->offset;
    switch (field->kind) {
    case THEW_FIELD_TEXT:
        return text_json(field->column, *(const char *const *)at);
    case THEW_FIELD_INT:
        return json_integer(*(const int *)at);
    case THEW_FIELD_INT64:
        return json_integer(*(const gint64 *)at);
    case THEW_FIELD_BOOL:
        return json_boolean(*(const bool *)at);
    case THEW_FIELD_REAL:
        return real_json(*(const double *)at);
    case THEW_FIELD_MAYBE: {
        const thew_maybe_real *number = at;
        return number->known ? real_json(number->value) : json_null();
    }
    case THEW_FIELD_DATE: {
        char text[THEW_DATE_TEXT];
        const thew_date *date = at;
        return date->year ? json_string(thew_date_text(*date, text)) : json_null();
    }
    case THEW_FIELD_UTC: {
        char text[THEW_INSTANT_TEXT];
        const thew_utc *utc = at;
        return utc->us ? json_string(thew_instant_us_text(utc->us, text)) : json_null();
    }
    case THEW_FIELD_BLOB:
        return json_null();
    }
    g_assert_not_reached();
}

// "made_us" is an instant in a text: "made_at".
static void set_member(json_t *object, const thew_field *field, const void *row)
{
    g_autofree char *name = g_strdup(field->column);
    if (field->kind == THEW_FIELD_UTC && g_str_has_suffix(name, "_us")) strcpy(name + strlen(name) - 3, "_at");
    if (strcmp(name, "at_us") == 0 || strcmp(name, "at_at") == 0) strcpy(name, "at");
    json_object_set_new(object, name, member_json(field, row));
}

//   key, of   whose they are, if the rows do not say it themselves; NULL
static void write_rows(GString *out, const thew_rows *rows, const char *key, const char *of)
{
    for (guint i = 0; i < rows->row->len; i++) {
        const void *row = thew_rows_at(rows, rows->map->size, i);
        json_t *object = json_object();
        if (key) json_object_set_new(object, key, json_string(of));
        for (int f = 0; f < rows->map->count; f++)
            if (!is_secret_or_seal(rows->map->field[f].column)) set_member(object, &rows->map->field[f], row);
        char *line = json_dumps(object, JSON_COMPACT | JSON_REAL_PRECISION(17));
        g_string_append_printf(out, "%s\n", line);
        free(line);
        json_decref(object);
    }
}

// --- table by table --------------------------------------------------------------------------------------------------------------

typedef thew_store_status of_person(thew_db *db, const char *studio, const char *person, thew_rows **rows);

static thew_store_status write_each(const handing *h, GString *out, of_person *read, const char *key)
{
    thew_store_status status = THEW_STORE_OK;
    for (guint i = 0; i < h->people->row->len && status >= 0; i++) {
        g_autoptr(thew_rows) rows = NULL;
        status = read(h->db, h->studio, person_at(h, i), &rows);
        if (status >= 0) write_rows(out, rows, key, person_at(h, i));
    }
    return status;
}

static thew_store_status write_studio(const handing *h, GString *out)
{
    g_autoptr(thew_rows) studio = NULL, settings = NULL;
    thew_store_status status = thew_store_studio_find(h->db, h->studio, &studio);
    if (status >= 0) write_rows(out, studio, NULL, NULL);
    if (status >= 0 && !h->person) status = thew_store_setting_all(h->db, h->studio, &settings);
    if (settings) write_rows(out, settings, NULL, NULL);
    return status;
}

static thew_store_status write_person_rows(const handing *h, GString *out)
{
    write_rows(out, h->people, NULL, NULL);
    return THEW_STORE_OK;
}

static thew_store_status write_lists(const handing *h, GString *out)
{
    return write_each(h, out, thew_store_choice_all, "person");
}
static thew_store_status write_limits(const handing *h, GString *out)
{
    return write_each(h, out, thew_store_limit_all, "person");
}
static thew_store_status write_answers(const handing *h, GString *out)
{
    return write_each(h, out, thew_store_answer_all, "person");
}
static thew_store_status write_sets(const handing *h, GString *out)
{
    return write_each(h, out, thew_store_diary_history, NULL);
}
static thew_store_status write_checkins(const handing *h, GString *out)
{
    return write_each(h, out, thew_store_checkin_history, NULL);
}
static thew_store_status write_outcomes(const handing *h, GString *out)
{
    return write_each(h, out, thew_store_outcome_history, NULL);
}
static thew_store_status write_advice(const handing *h, GString *out)
{
    return write_each(h, out, thew_store_advice_of, NULL);
}
static thew_store_status write_overrides(const handing *h, GString *out)
{
    return write_each(h, out, thew_store_override_of, NULL);
}

static thew_store_status write_items(const handing *h, GString *out)
{
    g_autoptr(thew_rows) items = NULL;
    thew_store_status status = find_items(h, &items);
    if (status >= 0) write_rows(out, items, NULL, NULL);
    return status;
}

static thew_store_status write_readings(const handing *h, GString *out)
{
    g_autoptr(thew_rows) items = NULL;
    thew_store_status status = find_items(h, &items);
    for (guint i = 0; status >= 0 && i < items->row->len; i++) {
        g_autoptr(thew_rows) readings = NULL;
        status = thew_store_reading_of(h->db, h->studio, thew_row(items, thew_store_item, i)->item, &readings);
        if (status >= 0) write_rows(out, readings, NULL, NULL);
    }
    return status;
}

static thew_store_status write_blocks(const handing *h, GString *out)
{
    thew_store_status status = THEW_STORE_OK;
    for (guint i = 0; i < h->people->row->len && status >= 0; i++) {
        g_autoptr(thew_rows) latest = NULL;
        status = thew_store_block_latest(h->db, h->studio, person_at(h, i), &latest);
        for (guint b = 0; status >= 0 && b < latest->row->len; b++) {
            g_autoptr(thew_rows) versions = NULL;
            status = thew_store_block_versions(h->db, h->studio, thew_row(latest, thew_store_block, b)->block, &versions);
            if (status >= 0) write_rows(out, versions, NULL, NULL);
        }
    }
    return status;
}

static thew_store_status write_classes(const handing *h, GString *out)
{
    g_autoptr(thew_rows) latest = NULL;
    thew_store_status status = thew_store_class_latest(h->db, h->studio, &latest);
    for (guint c = 0; status >= 0 && c < latest->row->len; c++) {
        g_autoptr(thew_rows) versions = NULL;
        status = thew_store_class_versions(h->db, h->studio, thew_row(latest, thew_store_class, c)->class, &versions);
        if (status >= 0) write_rows(out, versions, NULL, NULL);
    }
    return status;
}

static thew_store_status write_runs(const handing *h, GString *out)
{
    g_autoptr(thew_rows) runs = NULL;
    thew_store_status status = thew_store_run_between(h->db, h->studio, (thew_utc){ G_MININT64 }, (thew_utc){ EVER_US }, &runs);
    if (status >= 0) write_rows(out, runs, NULL, NULL);
    return status;
}

// Of each class held: who took part, or what happened.
static thew_store_status write_in_runs(const handing *h, GString *out, bool events)
{
    g_autoptr(thew_rows) runs = NULL;
    thew_store_status status = thew_store_run_between(h->db, h->studio, (thew_utc){ G_MININT64 }, (thew_utc){ EVER_US }, &runs);
    for (guint r = 0; status >= 0 && r < runs->row->len; r++) {
        const char *run = thew_row(runs, thew_store_run, r)->run;
        g_autoptr(thew_rows) rows = NULL;
        status = events ? thew_store_event_after(h->db, h->studio, run, 0, &rows)
                        : thew_store_run_person_all(h->db, h->studio, run, &rows);
        for (guint p = status >= 0 && !events && h->person ? rows->row->len : 0; p-- > 0;)
            if (strcmp(thew_row(rows, thew_store_run_person, p)->person, h->person) != 0) g_array_remove_index(rows->row, p);
        if (status >= 0) write_rows(out, rows, "run", run);
    }
    return status;
}

static thew_store_status write_run_people(const handing *h, GString *out)
{
    return write_in_runs(h, out, false);
}
static thew_store_status write_run_events(const handing *h, GString *out)
{
    return write_in_runs(h, out, true);
}

static thew_store_status write_additions(const handing *h, GString *out)
{
    g_autoptr(thew_rows) latest = NULL;
    thew_store_status status = thew_store_addition_latest(h->db, h->studio, &latest);
    for (guint a = 0; status >= 0 && a < latest->row->len; a++) {
        g_autoptr(thew_rows) versions = NULL;
        status = thew_store_addition_versions(h->db, h->studio, thew_row(latest, thew_store_addition, a)->name, &versions);
        if (status >= 0) write_rows(out, versions, NULL, NULL);
    }
    return status;
}

static thew_store_status write_accounts(const handing *h, GString *out)
{
    g_autoptr(thew_rows) accounts = NULL;
    thew_store_status status = thew_store_account_all(h->db, h->studio, &accounts);
    for (guint a = status >= 0 && h->person ? accounts->row->len : 0; a-- > 0;)
        if (g_strcmp0(thew_row(accounts, thew_store_account, a)->person, h->person) != 0) g_array_remove_index(accounts->row, a);
    if (status >= 0) write_rows(out, accounts, NULL, NULL);
    return status;
}

static thew_store_status write_sights(const handing *h, GString *out)
{
    return write_each(h, out, thew_store_sight_on, NULL);
}

static thew_store_status write_devices(const handing *h, GString *out)
{
    g_autoptr(thew_rows) devices = NULL;
    thew_store_status status = thew_store_device_all(h->db, h->studio, &devices);
    for (guint d = status >= 0 && h->person ? devices->row->len : 0; d-- > 0;)
        if (g_strcmp0(thew_row(devices, thew_store_device, d)->person, h->person) != 0) g_array_remove_index(devices->row, d);
    if (status >= 0) write_rows(out, devices, NULL, NULL);
    return status;
}

static thew_store_status write_access(const handing *h, GString *out)
{
    g_autoptr(thew_rows) entries = NULL;
    thew_store_status status = h->person ? thew_store_access_of(h->db, h->studio, h->person, ALL, &entries)
                                         : thew_store_access_all(h->db, h->studio, ALL, &entries);
    if (status >= 0) write_rows(out, entries, NULL, NULL);
    return status;
}

// --- which files there are -------------------------------------------------------------------------------------------------------

typedef struct {
    const char *name, *what;
    file_writer *write;
    bool of_studio; // names no person: left out of a person's export
} file_entry;

static const file_entry files[] = {
    [THEW_SHEET_PEOPLE] = { "people.csv", "who trains", write_people, false },
    [THEW_SHEET_KIT] = { "kit.csv", "implements and readings; * is everybody's", write_kit, false },
    [THEW_SHEET_DIARY] = { "diary.csv", "every set ever written down, corrections and what they replaced", write_diary, false },
    [THEW_SHEET_DAYS] = { "days.csv", "every check-in, likewise", write_days, false },
    { "studio.jsonl", "the studio, then what it has set otherwise than usual", write_studio, false },
    { "people.jsonl", "people as they are kept", write_person_rows, false },
    { "lists.jsonl", "their goals, exercises and cautions, in order", write_lists, false },
    { "limits.jsonl", "movements and positions that are off limits", write_limits, false },
    { "screening.jsonl", "every answer ever given; the latest of a question holds", write_answers, false },
    { "items.jsonl", "kit as it is kept", write_items, false },
    { "readings.jsonl", "what a scale said of it", write_readings, false },
    { "sets.jsonl", "sets as they are kept: also device, class, re-engagements", write_sets, false },
    { "checkins.jsonl", "check-ins as they are kept: also answers and verdict", write_checkins, false },
    { "outcomes.jsonl", "outcome measures", write_outcomes, false },
    { "advice.jsonl", "what was advised, with its odds, and what became of it", write_advice, false },
    { "overrides.jsonl", "what the coach chose instead, and why", write_overrides, false },
    { "blocks.jsonl", "training blocks, every version", write_blocks, false },
    { "classes.jsonl", "classes, every version", write_classes, true },
    { "runs.jsonl", "classes as they were held", write_runs, true },
    { "run_people.jsonl", "who took part, with which loads", write_run_people, false },
    { "run_events.jsonl", "start, pause, skip, stop of each", write_run_events, true },
    { "additions.jsonl", "what the studio has added to the catalogue, every version", write_additions, true },
    { "accounts.jsonl", "who may come in, without secrets", write_accounts, false },
    { "sights.jsonl", "which helper or clinician may see whom, until when", write_sights, false },
    { "devices.jsonl", "devices that were joined", write_devices, false },
    { "access.jsonl", "who looked at whose records, newest first", write_access, false },
};

const char *thew_sheet_name(thew_sheet sheet)
{
    return files[sheet].name;
}

// --- handing out -----------------------------------------------------------------------------------------------------------------

thew_store_status thew_hand_out_within(thew_studio *studio, thew_sheet sheet, const char *person, GString *out)
{
    g_autoptr(thew_rows) people = NULL;
    handing h = { studio->db, studio->id, person, NULL };
    thew_store_status status = find_people(&h, &people);
    return status < 0 ? status : files[sheet].write(&h, out);
}

static thew_store_status note(const handing *h, const thew_actor *actor, thew_utc at, const char *person, const char *action,
                              const char *what)
{
    g_autofree char *entry = thew_studio_identifier();
    return thew_store_access_add(h->db, h->studio, &(thew_store_access){ entry, at, actor->account, person, action, what });
}

// Everybody whose records they are can see it.
static thew_store_status note_all(const handing *h, const thew_actor *actor, thew_utc at, const char *action, const char *what)
{
    thew_store_status status = h->person ? THEW_STORE_OK : note(h, actor, at, NULL, action, what);
    for (guint i = 0; i < h->people->row->len && status >= 0; i++)
        status = note(h, actor, at, person_at(h, i), action, what);
    return status;
}

static void handed_free(gpointer at)
{
    thew_handed *handed = at;
    g_free(handed->name);
    g_string_free(handed->text, TRUE);
    g_free(handed);
}

static GString *hand(GPtrArray *handed, const char *name)
{
    thew_handed *file = g_new(thew_handed, 1);
    *file = (thew_handed){ g_strdup(name), g_string_new(NULL) };
    g_ptr_array_add(handed, file);
    return file->text;
}

static void write_contents(const handing *h, GString *out)
{
    g_string_append_printf(out, "All that is kept of %s, as of one moment.\n\n", h->person ? "one person" : "a studio");
    for (gsize f = 0; f < G_N_ELEMENTS(files); f++)
        if (!h->person || !files[f].of_studio) g_string_append_printf(out, "%-17s %s\n", files[f].name, files[f].what);
    g_string_append(
        out, "\nCSV files follow RFC 4180 in UTF-8; `thew import` reads them. In .jsonl files each line is a JSON object, its\n"
             "members named as the store's columns; days and instants are RFC 3339 texts, numbers SI, null is unknown or\n"
             "without end. Left out: secrets, and estimates, which thew makes anew from the diary.\n");
}

static thew_store_status write_all(const handing *h, GPtrArray *handed)
{
    thew_store_status status = THEW_STORE_OK;
    write_contents(h, hand(handed, "contents.txt"));
    for (gsize f = 0; f < G_N_ELEMENTS(files) && status >= 0; f++)
        if (!h->person || !files[f].of_studio) status = files[f].write(h, hand(handed, files[f].name));
    return status;
}

// Read as of one moment; then noted as of just before, so that whatever is written meanwhile is later than the export.
static thew_verdict read_and_note(thew_studio *studio, const thew_actor *actor, const char *person, int sheet, GString *out,
                                  GPtrArray *handed, thew_refusal *refusal)
{
    thew_utc at = thew_studio_now(studio);
    g_autoptr(thew_rows) people = NULL;
    handing h = { studio->db, studio->id, person, NULL };
    thew_store_status status = thew_db_begin_reading(studio->db);
    if (status >= 0) {
        status = find_people(&h, &people);
        if (status >= 0) status = handed ? write_all(&h, handed) : files[sheet].write(&h, out);
        status = thew_db_end(studio->db, status);
    }
    if (status == THEW_STORE_NOT_FOUND && person && !people)
        return thew_refuse(refusal, THEW_ABSENT, "there is nobody called \"%s\" in this studio's files", person);
    if (status >= 0 && thew_db_opened_for(studio->db) != THEW_DB_READ) {
        status = thew_db_begin(studio->db);
        if (status >= 0)
            status = thew_db_end(studio->db, note_all(&h, actor, at, handed ? THEW_ACTION_EXPORT : "read",
                                                      handed ? "everything" : files[sheet].name));
    }
    return thew_refuse_store(refusal, studio->db, status);
}

thew_verdict thew_hand_out_sheet(thew_studio *studio, const thew_actor *actor, thew_sheet sheet, const char *person, GString *out,
                                 thew_refusal *refusal)
{
    return read_and_note(studio, actor, person, (int)sheet, out, NULL, refusal);
}

thew_verdict thew_hand_out(thew_studio *studio, const thew_actor *actor, const char *person, GPtrArray **handed,
                           thew_refusal *refusal)
{
    g_autoptr(GPtrArray) all = g_ptr_array_new_with_free_func(handed_free);
    *handed = NULL;
    thew_verdict verdict = read_and_note(studio, actor, person, -1, NULL, all, refusal);
    if (verdict == THEW_DONE) *handed = g_steal_pointer(&all);
    return verdict;
}

thew_verdict thew_hand_out_zip(thew_studio *studio, const thew_actor *actor, const char *person, GBytes **zip,
                               thew_refusal *refusal)
{
    g_autoptr(GPtrArray) handed = NULL;
    *zip = NULL;
    thew_verdict verdict = thew_hand_out(studio, actor, person, &handed, refusal);
    if (verdict != THEW_DONE) return verdict;
    g_autoptr(GArray) entries = g_array_new(FALSE, FALSE, sizeof(thew_zip_entry));
    for (guint f = 0; f < handed->len; f++) {
        const thew_handed *file = handed->pdata[f];
        thew_zip_entry entry = { file->name, file->text->str, file->text->len };
        g_array_append_val(entries, entry);
    }
    g_autoptr(GError) error = NULL;
    *zip = thew_zip_write((const thew_zip_entry *)(gconstpointer)entries->data, entries->len, ZIP_TIME_S, &error);
    return *zip ? THEW_DONE : thew_refuse(refusal, THEW_UNABLE, "%s", error->message);
}
