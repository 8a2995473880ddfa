// diary.c: sets, check-ins and outcome measures: read back, written all or none.
#include "serve/handlers.h"
#include "serve/tell.h"
#include "studio/check_in.h"
#include "studio/record.h"
#include "studio/take_measure.h"

// What the store adds to every record.
static json_t *tell_entry(const thew_shape *shape, const void *row, const thew_store_entry *entry, bool current)
{
    json_t *object = thew_shape_write(shape, row);
    if (!entry->note) json_object_set_new(object, "note", json_string(""));
    json_object_set_new(object, "current", json_boolean(current));
    return object;
}

// Every person in the rows must be one whose records whoever asks may write.
static bool may_write_all(thew_request *request, const thew_shape_list *rows, gsize row_size, thew_act act)
{
    for (guint i = 0; i < rows->count; i++) {
        const thew_store_entry *entry = (const thew_store_entry *)((const char *)rows->item + i * row_size);
        if (!thew_request_may(request, act, entry->person)) return false;
    }
    return true;
}
G_STATIC_ASSERT(offsetof(thew_store_set, entry) == 0 && offsetof(thew_store_checkin, entry) == 0 &&
                offsetof(thew_store_outcome, entry) == 0);

static json_t *tell_result(const char *record, thew_record_result result)
{
    return json_pack("{s:s, s:s}", "record", record, "status", result == THEW_REPEATED ? "repeated" : "kept");
}

static void answer_results(thew_request *request, const thew_shape_list *rows, gsize row_size, const thew_record_result *result)
{
    json_t *list = json_array();
    for (guint i = 0; i < rows->count; i++) {
        const thew_store_entry *entry = (const thew_store_entry *)((const char *)rows->item + i * row_size);
        json_array_append_new(list, tell_result(entry->record, result[i]));
    }
    thew_answer_json(request, 200, json_pack("{s:o}", "results", list));
}

// --- sets

void thew_sets_list(thew_request *request)
{
    thew_date from = thew_request_day(request, "from"), until = thew_request_day(request, "until");
    bool history = thew_request_flag(request, "history");
    if (!thew_request_sound(request)) return;
    g_autoptr(thew_set_list) sets = NULL;
    if (!thew_request_done(request, thew_record_read(request->studio, request->part[0], thew_studio_number(from),
                                                     thew_studio_number(until), history, &sets, request->refusal)))
        return;
    json_t *list = json_array();
    for (guint i = 0; i < sets->row->len; i++) {
        const thew_set_row *one = &g_array_index(sets->row, thew_set_row, i);
        json_t *set = tell_entry(&thew_part_set, one->set, &one->set->entry, one->current);
        json_object_set_new(set, "written_by", json_string(one->set->entry.written_by));
        json_object_set_new(set, "exercise_name", json_string(one->exercise_name));
        json_object_set_new(set, "label", json_string(one->label));
        json_array_append_new(list, set);
    }
    thew_answer_json(request, 200, list);
}

void thew_sets_add(thew_request *request)
{
    const thew_shape_list *rows = &thew_request_row(request, thew_entries_body)->row;
    if (!may_write_all(request, rows, sizeof(thew_store_set), THEW_ACT_RECORD)) return;
    g_autofree thew_record_result *result = g_new0(thew_record_result, rows->count);
    thew_actor actor = thew_request_actor(request);
    if (thew_request_done(request, thew_record_sets(request->studio, &actor, rows->item, rows->count, result, request->refusal)))
        answer_results(request, rows, sizeof(thew_store_set), result);
}

// --- check-ins

static json_t *tell_check_in(const thew_checkin_row *one)
{
    json_t *check_in = tell_entry(&thew_part_check_in, one->checkin, &one->checkin->entry, one->current);
    json_object_set_new(check_in, "heat_index_c", thew_tell_maybe(one->checkin->heat_index_c));
    json_object_set_new(check_in, "verdict", thew_tell_text(one->checkin->verdict));
    json_object_set_new(check_in, "words", thew_tell_texts(one->words));
    return check_in;
}

static bool is_between(thew_date day, thew_date from, thew_date until)
{
    return (!from.year || thew_date_compare(day, from) >= 0) && (!until.year || thew_date_compare(day, until) <= 0);
}

void thew_check_ins_list(thew_request *request)
{
    thew_date from = thew_request_day(request, "from"), until = thew_request_day(request, "until");
    bool history = thew_request_flag(request, "history");
    if (!thew_request_sound(request)) return;
    g_autoptr(thew_checkin_list) check_ins = NULL;
    if (!thew_request_done(request, thew_check_in_read(request->studio, request->part[0], history, &check_ins, request->refusal)))
        return;
    json_t *list = json_array();
    for (guint i = 0; i < check_ins->row->len; i++) {
        const thew_checkin_row *one = &g_array_index(check_ins->row, thew_checkin_row, i);
        if (is_between(one->checkin->entry.day, from, until)) json_array_append_new(list, tell_check_in(one));
    }
    thew_answer_json(request, 200, list);
}

static const thew_checkin_row *find_check_in(const thew_checkin_list *list, const char *record)
{
    for (guint i = 0; i < list->row->len; i++) {
        const thew_checkin_row *one = &g_array_index(list->row, thew_checkin_row, i);
        if (g_str_equal(one->checkin->entry.record, record)) return one;
    }
    return NULL;
}

// The verdict is what the studio found as it kept it: read back from there.
static bool add_verdict(thew_request *request, json_t *result, const thew_store_entry *entry)
{
    g_autoptr(thew_checkin_list) list = NULL;
    if (!thew_request_done(request, thew_check_in_read(request->studio, entry->person, true, &list, request->refusal)))
        return false;
    const thew_checkin_row *kept = find_check_in(list, entry->record);
    json_object_set_new(result, "verdict", thew_tell_text(kept ? kept->checkin->verdict : NULL));
    json_object_set_new(result, "words", thew_tell_texts(kept ? kept->words : NULL));
    return true;
}

void thew_check_ins_add(thew_request *request)
{
    const thew_shape_list *rows = &thew_request_row(request, thew_entries_body)->row;
    if (!may_write_all(request, rows, sizeof(thew_store_checkin), THEW_ACT_CHECK_IN)) return;
    g_autofree thew_record_result *result = g_new0(thew_record_result, rows->count);
    thew_actor actor = thew_request_actor(request);
    if (!thew_request_done(request, thew_check_in(request->studio, &actor, rows->item, rows->count, result, request->refusal)))
        return;
    json_t *list = json_array();
    for (guint i = 0; i < rows->count; i++) {
        const thew_store_entry *entry = &thew_shape_item(*rows, thew_store_checkin, i)->entry;
        json_t *one = tell_result(entry->record, result[i]);
        json_array_append_new(list, one);
        if (!add_verdict(request, one, entry)) {
            json_decref(list);
            return;
        }
    }
    thew_answer_json(request, 200, json_pack("{s:o}", "results", list));
}

// --- outcome measures

void thew_outcomes_list(thew_request *request)
{
    thew_date from = thew_request_day(request, "from"), until = thew_request_day(request, "until");
    bool history = thew_request_flag(request, "history");
    if (!thew_request_sound(request)) return;
    g_autoptr(thew_outcome_list) outcomes = NULL;
    if (!thew_request_done(request, thew_measures_read(request->studio, request->part[0], history, &outcomes, request->refusal)))
        return;
    json_t *list = json_array();
    for (guint i = 0; i < outcomes->row->len; i++) {
        const thew_outcome_row *one = &g_array_index(outcomes->row, thew_outcome_row, i);
        if (!is_between(one->outcome->entry.day, from, until)) continue;
        json_t *outcome = tell_entry(&thew_part_outcome, one->outcome, &one->outcome->entry, one->current);
        json_object_set_new(outcome, "change_words", thew_tell_text(one->change_words));
        json_array_append_new(list, outcome);
    }
    thew_answer_json(request, 200, list);
}

void thew_outcomes_add(thew_request *request)
{
    const thew_shape_list *rows = &thew_request_row(request, thew_entries_body)->row;
    if (!may_write_all(request, rows, sizeof(thew_store_outcome), THEW_ACT_RECORD_OUTCOME)) return;
    g_autofree thew_record_result *result = g_new0(thew_record_result, rows->count);
    thew_actor actor = thew_request_actor(request);
    if (thew_request_done(request, thew_take_measures(request->studio, &actor, rows->item, rows->count, result, request->refusal)))
        answer_results(request, rows, sizeof(thew_store_outcome), result);
}
