// check_in.c: see check_in.h.
#include "studio/check_in.h"

#include <jansson.h>
#include <string.h>

#include "catalogue/day_questions.h"
#include "engine/heat.h"
#include "studio/batch.h"
#include "studio/check.h"

#define FATIGUE_LIGHTER 7.0 // safety rule M07; its limits are convention
#define FATIGUE_NOT_TODAY 9.0
#define FATIGUE_ABOVE_USUAL 3.0
#define USUAL_LEAST 3       // check-ins that make a usual (judgement)
#define HEAT_CAUTION_C 27.0 // what engine/heat.h's limits stand for; a studio's own moves them all

const char *thew_day_verdict_word(thew_day_verdict verdict)
{
    static const char *const word[] = {
        [THEW_GO] = "go", [THEW_LIGHTER] = "lighter", [THEW_NOT_TODAY] = "not_today", [THEW_ASK_FIRST] = "ask_first"
    };
    return word[verdict];
}

// --- Judging ---------------------------------------------------------------------------------------------------------------------

static void find(thew_day_finding *finding, thew_day_verdict verdict, const char *format, ...) G_GNUC_PRINTF(3, 4);
static void find(thew_day_finding *finding, thew_day_verdict verdict, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    g_ptr_array_add(finding->words, g_strdup_vprintf(format, arguments));
    va_end(arguments);
    finding->verdict = MAX(finding->verdict, verdict);
}

static void judge_fatigue(thew_day_finding *finding, const thew_store_checkin *checkin, double usual)
{
    if (!checkin->fatigue.known) return;
    double fatigue = checkin->fatigue.value;
    if (fatigue >= FATIGUE_NOT_TODAY)
        find(finding, THEW_NOT_TODAY, "Fatigue is %g of 10: rest today, or breathing and stretching only.", fatigue);
    else if (fatigue >= FATIGUE_LIGHTER)
        find(finding, THEW_LIGHTER, "Fatigue is %g of 10: half the sets, or one step lighter.", fatigue);
    else if (usual >= 0 && fatigue >= usual + FATIGUE_ABOVE_USUAL)
        find(finding, THEW_LIGHTER, "Fatigue is %g of 10, well above the usual %.1f: half the sets, or one step lighter.", fatigue,
             usual);
}

static void judge_heat(thew_day_finding *finding, const thew_store_checkin *checkin, const thew_settings *settings,
                       bool heat_sensitive)
{
    finding->has_heat = checkin->room_c.known && checkin->humidity_percent.known;
    if (!finding->has_heat) return;
    finding->heat_index_c = thew_heat_index_c(checkin->room_c.value, checkin->humidity_percent.value);
    double moved_c = settings->heat_caution_c - HEAT_CAUTION_C;
    switch (thew_heat_advise(finding->heat_index_c - moved_c, heat_sensitive, THEW_HEAT_FINE)) {
    case THEW_HEAT_PAUSE:
        find(finding, THEW_NOT_TODAY, "The room feels like %.0f C: no strength session in this heat.", finding->heat_index_c);
        break;
    case THEW_HEAT_LIGHTEN:
        find(finding, THEW_LIGHTER, "The room feels like %.0f C: a fan, a cool drink, longer rests, shorter sets.",
             finding->heat_index_c);
        break;
    case THEW_HEAT_FINE:
        break;
    }
}

static void judge_answers(thew_day_finding *finding, const char *answers)
{
    static const thew_day_verdict verdict[] = {
        [THEW_FOLLOWS_LIGHTER] = THEW_LIGHTER, [THEW_FOLLOWS_NOT_TODAY] = THEW_NOT_TODAY, [THEW_FOLLOWS_ASK_FIRST] = THEW_ASK_FIRST
    };
    json_t *given = answers ? json_loads(answers, JSON_REJECT_DUPLICATES, NULL) : NULL;
    size_t count;
    const thew_day_question *question = thew_day_questions(&count);
    for (size_t q = 0; q < count; q++) {
        const char *answer = json_string_value(json_object_get(given, question[q].question));
        if (answer && strcmp(answer, "yes") == 0) find(finding, verdict[question[q].follows], "%s", question[q].what_to_do);
    }
    json_decref(given);
}

thew_day_finding *thew_check_in_judge(const thew_store_checkin *checkin, const thew_settings *settings, bool heat_sensitive,
                                      double usual_fatigue)
{
    thew_day_finding *finding = g_new0(thew_day_finding, 1);
    finding->words = g_ptr_array_new_with_free_func(g_free);
    judge_answers(finding, checkin->answers);
    judge_fatigue(finding, checkin, usual_fatigue);
    judge_heat(finding, checkin, settings, heat_sensitive);
    return finding;
}

void thew_day_finding_free(thew_day_finding *finding)
{
    if (!finding) return;
    g_ptr_array_unref(finding->words);
    g_free(finding);
}

// --- Checking --------------------------------------------------------------------------------------------------------------------

static void check_answer(thew_batch *batch, guint index, const char *question, const json_t *answer)
{
    g_autofree char *member = g_strdup_printf("answers/%s", question);
    const char *word = json_string_value(answer);
    if (!thew_day_question_find(question))
        thew_refusal_at(batch->refusal, batch->array, index, "answers", "there is no question \"%s\" before a day", question);
    else if (g_strcmp0(word, "yes") != 0 && g_strcmp0(word, "no") != 0)
        thew_refusal_at(batch->refusal, batch->array, index, member, "this is answered by \"yes\" or \"no\"");
}

static void check_answers(thew_batch *batch, guint index, const char *answers)
{
    json_t *given = json_loads(answers, JSON_REJECT_DUPLICATES, NULL);
    const char *question;
    json_t *answer;
    if (!json_is_object(given))
        thew_refusal_at(batch->refusal, batch->array, index, "answers", "this is an object of questions and their answers");
    else
        json_object_foreach(given, question, answer) check_answer(batch, index, question, answer);
    json_decref(given);
}

static void check_checkin(thew_batch *batch, guint index, const thew_store_checkin *checkin)
{
    if (thew_batch_is_kept(batch, &checkin->entry, thew_store_checkin_find)) return;
    thew_batch_check(batch, index, &checkin->entry);
    if (checkin->entry.withdrawn) return;
    const struct {
        const char *member;
        thew_maybe_real value;
        double low, high;
        const char *unit;
    } field[] = {
        { "room_c", checkin->room_c, -20, 60, "degrees Celsius" },
        { "humidity_percent", checkin->humidity_percent, 0, 100, "percent" },
        { "fatigue", checkin->fatigue, 0, 10, "" },
        { "sleep", checkin->sleep, 0, 10, "" },
        { "readiness", checkin->readiness, -5, 5, "" },
    };
    for (gsize f = 0; f < G_N_ELEMENTS(field); f++) {
        g_autofree char *pointer = g_strdup_printf("/%s/%u/%s", batch->array, index, field[f].member);
        thew_check_maybe(batch->refusal, pointer, field[f].value, field[f].low, field[f].high, field[f].unit);
    }
    if (checkin->answers) check_answers(batch, index, checkin->answers);
}

// --- Keeping ---------------------------------------------------------------------------------------------------------------------

typedef struct {
    const thew_store_checkin *checkin;
    thew_settings settings;
} keeping;

static const thew_store_entry *entry_at(const void *user, guint index)
{
    return &((const keeping *)user)->checkin[index].entry;
}

// The mean of what was said on days before; negative if that were too few.
static double usual_before(const thew_rows *checkins, thew_date day)
{
    double sum = 0;
    int count = 0;
    for (guint i = 0; i < checkins->row->len; i++) {
        const thew_store_checkin *row = thew_row(checkins, thew_store_checkin, i);
        if (!row->fatigue.known || thew_date_compare(row->entry.day, day) >= 0) continue;
        sum += row->fatigue.value;
        count++;
    }
    return count < USUAL_LEAST ? -1 : sum / count;
}

// The same answers are the same text, whatever order they came in.
static char *plain_answers(const char *answers)
{
    json_t *given = answers ? json_loads(answers, 0, NULL) : NULL;
    char *made = given ? json_dumps(given, JSON_SORT_KEYS | JSON_COMPACT) : NULL, *text = g_strdup(made);
    free(made);
    json_decref(given);
    return text;
}

// Sent again, it has to say what was found then, even if limits have moved since.
static thew_store_status found_before(const thew_batch *batch, thew_store_checkin *checkin, thew_rows **rows)
{
    thew_store_status status = thew_store_checkin_find(batch->studio->db, batch->studio->id, checkin->entry.record, rows);
    if (status < 0) return status;
    const thew_store_checkin *kept = thew_row(*rows, thew_store_checkin, 0);
    checkin->heat_index_c = kept->heat_index_c;
    checkin->verdict = kept->verdict;
    return status;
}

static thew_store_status keep_withdrawal(thew_batch *batch, const thew_store_entry *entry)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status = thew_store_checkin_find(batch->studio->db, batch->studio->id, entry->replaces, &rows);
    if (status < 0) return status;
    thew_store_checkin taken_back = *thew_row(rows, thew_store_checkin, 0);
    taken_back.entry = *entry;
    return thew_store_checkin_add(batch->studio->db, batch->studio->id, &taken_back);
}

static thew_store_status judge_now(thew_batch *batch, thew_store_checkin *checkin, const thew_settings *settings)
{
    g_autoptr(thew_rows) before = NULL;
    thew_store_status status = thew_store_checkin_current(batch->studio->db, batch->studio->id, checkin->entry.person,
                                                          (thew_date){ 0 }, checkin->entry.day, &before);
    if (status < 0) return status;
    const thew_batch_person *person = g_hash_table_lookup(batch->person, checkin->entry.person);
    g_autoptr(thew_day_finding) finding =
        thew_check_in_judge(checkin, settings, person->person->heat_sensitive, usual_before(before, checkin->entry.day));
    checkin->heat_index_c = (thew_maybe_real){ finding->has_heat, finding->heat_index_c };
    checkin->verdict = thew_day_verdict_word(finding->verdict);
    return THEW_STORE_OK;
}

static thew_store_status keep_checkin(thew_batch *batch, guint index, const void *user)
{
    const keeping *keep = user;
    g_autoptr(thew_rows) kept = NULL;
    thew_store_checkin checkin = keep->checkin[index];
    checkin.entry = thew_batch_entry(batch, &checkin.entry);
    if (checkin.entry.withdrawn) return keep_withdrawal(batch, &checkin.entry);
    g_autofree char *answers = plain_answers(checkin.answers);
    checkin.answers = answers;
    checkin.heat_index_c = (thew_maybe_real){ 0 };
    thew_store_status status = found_before(batch, &checkin, &kept);
    if (status == THEW_STORE_NOT_FOUND) status = judge_now(batch, &checkin, &keep->settings);
    return status < 0 ? status : thew_store_checkin_add(batch->studio->db, batch->studio->id, &checkin);
}

thew_verdict thew_check_in(thew_studio *studio, const thew_actor *actor, const thew_store_checkin *checkin, guint count,
                           thew_record_result *result, thew_refusal *refusal)
{
    g_auto(thew_batch) batch;
    keeping keep = { .checkin = checkin };
    thew_batch_begin(&batch, studio, actor, "check_ins", count, refusal);
    thew_store_status status = thew_set_up_settings(studio, &keep.settings);
    if (status < 0) batch.status = status;
    for (guint i = 0; count <= THEW_BATCH_MAX && i < count; i++)
        check_checkin(&batch, i, &checkin[i]);
    return thew_batch_run(&batch, count, entry_at, keep_checkin, thew_store_checkin_find, false, &keep, result);
}

// --- Reading back ----------------------------------------------------------------------------------------------------------------

static const char *const *words_of(const thew_checkin_list *list, const thew_store_checkin *checkin, const thew_settings *settings,
                                   bool heat_sensitive)
{
    g_autoptr(thew_day_finding) finding =
        thew_check_in_judge(checkin, settings, heat_sensitive, usual_before(list->kept, checkin->entry.day));
    GPtrArray *words = g_steal_pointer(&finding->words);
    finding->words = g_ptr_array_new();
    g_ptr_array_add(words, NULL);
    g_ptr_array_add(list->lists, words);
    return (const char *const *)words->pdata;
}

static int newest_first(const void *a, const void *b)
{
    const thew_store_checkin *one = ((const thew_checkin_row *)a)->checkin, *two = ((const thew_checkin_row *)b)->checkin;
    int days = thew_date_compare(two->entry.day, one->entry.day);
    if (days != 0) return days;
    return one->kept.revision > two->kept.revision ? -1 : one->kept.revision < two->kept.revision;
}

static void take_rows(thew_checkin_list *list, const thew_settings *settings, bool heat_sensitive)
{
    g_autoptr(GHashTable) replaced = g_hash_table_new(g_str_hash, g_str_equal);
    for (guint i = 0; i < list->kept->row->len; i++) {
        const thew_store_checkin *row = thew_row(list->kept, thew_store_checkin, i);
        if (row->entry.replaces) g_hash_table_add(replaced, (gpointer)row->entry.replaces);
    }
    for (guint i = 0; i < list->kept->row->len; i++) {
        const thew_store_checkin *row = thew_row(list->kept, thew_store_checkin, i);
        thew_checkin_row out = { .checkin = row,
                                 .current = !row->entry.withdrawn && !g_hash_table_contains(replaced, row->entry.record),
                                 .words = words_of(list, row, settings, heat_sensitive) };
        g_array_append_val(list->row, out);
    }
    g_array_sort(list->row, newest_first);
}

thew_verdict thew_check_in_read(thew_studio *studio, const char *person, bool history, thew_checkin_list **list,
                                thew_refusal *refusal)
{
    *list = NULL;
    g_autoptr(thew_rows) who = NULL;
    g_autoptr(thew_checkin_list) read = g_new0(thew_checkin_list, 1);
    thew_settings settings;
    read->row = g_array_new(FALSE, FALSE, sizeof(thew_checkin_row));
    read->lists = g_ptr_array_new_with_free_func((GDestroyNotify)g_ptr_array_unref);
    thew_store_status status = thew_store_person_find(studio->db, studio->id, person, &who);
    if (status == THEW_STORE_NOT_FOUND) return thew_refuse(refusal, THEW_ABSENT, "there is nobody \"%s\" in this studio", person);
    if (status >= 0) status = thew_set_up_settings(studio, &settings);
    if (status >= 0)
        status = history
                     ? thew_store_checkin_history(studio->db, studio->id, person, &read->kept)
                     : thew_store_checkin_current(studio->db, studio->id, person, (thew_date){ 0 }, (thew_date){ 0 }, &read->kept);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    take_rows(read, &settings, thew_row(who, thew_store_person, 0)->heat_sensitive);
    *list = g_steal_pointer(&read);
    return THEW_DONE;
}

void thew_checkin_list_free(thew_checkin_list *list)
{
    if (!list) return;
    g_array_unref(list->row);
    g_ptr_array_unref(list->lists);
    thew_rows_free(list->kept);
    g_free(list);
}
