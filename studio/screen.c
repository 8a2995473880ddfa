// screen.c: see screen.h.
#include "studio/screen.h"

#include <string.h>

#include "studio/admit.h"
#include "studio/check.h"

// A limit of position that came of an answer is told from the coach's own by the beginning of its reason; another answer lifts it
// again.
#define REASON_BEGINS "Screening "

static const char *const verdict_word[] = { "clear", "with_care", "ask_first", "not_asked" };
const char *thew_screen_verdict_word(thew_screen_verdict verdict)
{
    return verdict_word[verdict];
}

void thew_screening_free(thew_screening *screening)
{
    if (!screening) return;
    g_array_unref(screening->answer);
    g_ptr_array_unref(screening->missing);
    g_array_unref(screening->finding);
    g_ptr_array_unref(screening->caution);
    thew_rows_free(screening->rows);
    g_free(screening);
}

// --- judging ---------------------------------------------------------------------------------------------------------------------

static const thew_store_answer *answer_to(const thew_store_answer *answer, guint count, const thew_question *question)
{
    for (guint i = 0; i < count; i++)
        if (strcmp(answer[i].question, question->id) == 0) return &answer[i];
    return NULL;
}

static bool holds(const thew_question *question, const thew_consequence *consequence, const char *answer)
{
    if (question->kind == THEW_ASK_NUMBER) {
        double value = g_ascii_strtod(answer, NULL);
        return value >= consequence->from && value < consequence->below;
    }
    for (size_t i = 0; i < consequence->answer_count; i++)
        if (strcmp(consequence->answer[i], answer) == 0) return true;
    return false;
}

static void add_caution(thew_screening *screening, const char *id)
{
    if (!g_ptr_array_find_with_equal_func(screening->caution, id, g_str_equal, NULL))
        g_ptr_array_add(screening->caution, (char *)id);
}

// A clinician's yes covers what was known when it was given, not what was said afterwards.
static void take_consequence(thew_screening *screening, const thew_question *question, const thew_consequence *consequence,
                             const thew_store_answer *answer, gint64 cleared_us)
{
    bool cleared = consequence->action == THEW_SCREEN_ASK && cleared_us >= answer->answered_us.us;
    thew_finding finding = { .question = question,
                             .rule = consequence->rule,
                             .words = consequence->words,
                             .action = cleared ? THEW_SCREEN_CARE : consequence->action,
                             .cleared = cleared };
    g_array_append_val(screening->finding, finding);
    screening->reserve_forced = screening->reserve_forced || consequence->reserve;
    screening->positions_off |= consequence->positions_off;
    for (size_t i = 0; i < consequence->caution_count; i++)
        add_caution(screening, consequence->caution[i]->id);
}

static void take_telling(thew_screening *screening, const thew_question *question, const char *answer)
{
    if (question->tells == THEW_TELLS_HEAT) {
        screening->heat_sensitive_known = true;
        screening->heat_sensitive = strcmp(answer, "yes") == 0;
    } else if (question->tells == THEW_TELLS_WEAKER_SIDE) {
        screening->weaker_side_known = true;
        bool side = strcmp(answer, "left") == 0 || strcmp(answer, "right") == 0;
        screening->weaker_side = side ? answer : NULL;
    }
}

static void take_answer(thew_screening *screening, const thew_question *question, const thew_store_answer *answer,
                        gint64 cleared_us)
{
    g_array_append_val(screening->answer, *answer);
    take_telling(screening, question, answer->answer);
    for (size_t i = 0; i < question->consequence_count; i++)
        if (holds(question, &question->consequence[i], answer->answer))
            take_consequence(screening, question, &question->consequence[i], answer, cleared_us);
}

// When a clinician's yes was given; before all answers if it was not.
static gint64 clearance_us(const thew_question *const *question, size_t question_count, const thew_store_answer *answer,
                           guint count)
{
    gint64 cleared_us = G_MININT64;
    for (size_t q = 0; q < question_count; q++) {
        if (question[q]->tells != THEW_TELLS_CLEARANCE) continue;
        const thew_store_answer *given = answer_to(answer, count, question[q]);
        if (given && strcmp(given->answer, "yes") == 0) cleared_us = MAX(cleared_us, given->answered_us.us);
    }
    return cleared_us;
}

static gint graver_first(gconstpointer a, gconstpointer b)
{
    const thew_finding *one = a, *two = b;
    return (int)two->action - (int)one->action;
}

static thew_screen_verdict verdict_of(const thew_screening *screening)
{
    thew_screen_action gravest = THEW_SCREEN_NOTE;
    for (guint i = 0; i < screening->finding->len; i++)
        gravest = MAX(gravest, g_array_index(screening->finding, thew_finding, i).action);
    if (gravest == THEW_SCREEN_ASK) return THEW_SCREEN_ASK_FIRST;
    if (screening->missing->len > 0) return THEW_SCREEN_NOT_ASKED;
    return gravest == THEW_SCREEN_CARE ? THEW_SCREEN_WITH_CARE : THEW_SCREEN_CLEAR;
}

thew_screening *thew_screen_judge(const thew_catalogue *catalogue, const thew_store_answer *answer, guint count)
{
    thew_screening *screening = g_new0(thew_screening, 1);
    screening->answer = g_array_new(FALSE, FALSE, sizeof(thew_store_answer));
    screening->missing = g_ptr_array_new();
    screening->finding = g_array_new(FALSE, FALSE, sizeof(thew_finding));
    screening->caution = g_ptr_array_new();
    size_t question_count;
    const thew_question *const *question = thew_catalogue_questions(catalogue, &question_count);
    gint64 cleared_us = clearance_us(question, question_count, answer, count);
    for (size_t q = 0; q < question_count; q++) {
        const thew_store_answer *given = answer_to(answer, count, question[q]);
        if (given)
            take_answer(screening, question[q], given, cleared_us);
        else if (!question[q]->optional)
            g_ptr_array_add(screening->missing, (void *)question[q]);
    }
    g_array_sort(screening->finding, graver_first); // stable: else in the questions' order
    screening->verdict = verdict_of(screening);
    return screening;
}

static thew_store_status read_screening(thew_studio *studio, const char *person, thew_screening **screening)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status = thew_store_answer_latest(studio->db, studio->id, person, &rows);
    if (status < 0) return status;
    *screening = thew_screen_judge(studio->catalogue, (const thew_store_answer *)(void *)rows->row->data, rows->row->len);
    (*screening)->rows = g_steal_pointer(&rows);
    return status;
}

thew_verdict thew_screen_read(thew_studio *studio, const char *person, thew_screening **screening, thew_refusal *refusal)
{
    *screening = NULL;
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status = thew_store_person_find(studio->db, studio->id, person, &rows);
    if (status >= 0) status = read_screening(studio, person, screening);
    return thew_refuse_store(refusal, studio->db, status);
}

// --- keeping ---------------------------------------------------------------------------------------------------------------------

static void check_number(const thew_question *question, const thew_screen_given *given, guint index, thew_refusal *refusal)
{
    char *end;
    double value = g_ascii_strtod(given->answer, &end);
    // strtod also takes blanks, hexadecimal and "nan"; an answer is digits.
    bool plain = *given->answer && strspn(given->answer, "0123456789.") == strlen(given->answer) && *end == '\0';
    if (!plain || !(value >= question->low && value <= question->high))
        thew_refusal_at(refusal, "answers", index, "answer", "this is answered by a number from %g to %g", question->low,
                        question->high);
}

static void check_choice(const thew_question *question, const thew_screen_given *given, guint index, thew_refusal *refusal)
{
    g_autoptr(GPtrArray) word = g_ptr_array_new();
    for (size_t i = 0; i < question->choice_count; i++)
        g_ptr_array_add(word, (char *)question->choice[i].id);
    if (question->kind == THEW_ASK_YES_NO) {
        g_ptr_array_add(word, (char *)"yes");
        g_ptr_array_add(word, (char *)"no");
    }
    g_ptr_array_add(word, NULL);
    g_autofree char *pointer = g_strdup_printf("/answers/%u/answer", index);
    thew_check_word(refusal, pointer, given->answer, (const char *const *)word->pdata, false);
}

static void check_one(const thew_catalogue *catalogue, const thew_screen_given *given, guint count, guint index,
                      thew_refusal *refusal)
{
    const thew_screen_given *at = &given[index];
    const thew_question *question = at->question ? thew_catalogue_question(catalogue, at->question) : NULL;
    if (!question) {
        thew_refusal_at(refusal, "answers", index, "question", "there is no question \"%s\"", at->question ? at->question : "");
        return;
    }
    for (guint j = 0; j < index && j < count; j++)
        if (given[j].question && strcmp(given[j].question, at->question) == 0)
            thew_refusal_at(refusal, "answers", index, "question", "this question is answered twice");
    if (!at->answer)
        thew_refusal_at(refusal, "answers", index, "answer", "an answer is missing");
    else if (question->kind == THEW_ASK_NUMBER)
        check_number(question, at, index, refusal);
    else
        check_choice(question, at, index, refusal);
    g_autofree char *pointer = g_strdup_printf("/answers/%u/note", index);
    if (thew_check_text(refusal, pointer, at->note, 0, THEW_NOTE_MAX) && question->tells == THEW_TELLS_CLEARANCE &&
        g_strcmp0(at->answer, "yes") == 0 && !(at->note && *at->note))
        thew_refusal_add(refusal, pointer, "write who agreed, and when");
}

static bool is_kept(const thew_screening *before, const thew_screen_given *given)
{
    for (guint i = 0; i < before->answer->len; i++) {
        const thew_store_answer *kept = &g_array_index(before->answer, thew_store_answer, i);
        if (strcmp(kept->question, given->question) == 0)
            return strcmp(kept->answer, given->answer) == 0 && strcmp(kept->note, given->note ? given->note : "") == 0;
    }
    return false;
}

// What is as it was keeps its time: whoever sends the whole form again must not make a clinician's yes cover an answer that is new.
static thew_store_status keep_answers(thew_studio *studio, const thew_actor *actor, const char *person,
                                      const thew_screening *before, const thew_screen_given *given, guint count)
{
    thew_utc now = thew_studio_now(studio);
    thew_store_status status = THEW_STORE_OK;
    for (guint i = 0; status >= 0 && i < count; i++)
        if (!is_kept(before, &given[i]))
            status = thew_store_answer_add(studio->db, studio->id, person,
                                           &(thew_store_answer){ given[i].question, now, given[i].answer,
                                                                 given[i].note ? given[i].note : "", actor->account });
    return status;
}

static thew_store_status keep_cautions(thew_studio *studio, const char *person, const thew_screening *screening)
{
    g_autoptr(GPtrArray) caution = g_ptr_array_copy(screening->caution, NULL, NULL);
    g_ptr_array_add(caution, NULL);
    return thew_store_choice_replace(studio->db, studio->id, person, "caution", (const char *const *)caution->pdata);
}

// Rules behind a position that is off limits, as its reason: "Screening (M26): A wheelchair ...".
static char *reason_of(const thew_screening *screening, thew_position position)
{
    for (guint i = 0; i < screening->finding->len; i++) {
        const thew_finding *finding = &g_array_index(screening->finding, thew_finding, i);
        for (size_t c = 0; c < finding->question->consequence_count; c++) {
            const thew_consequence *consequence = &finding->question->consequence[c];
            if (consequence->words == finding->words && consequence->positions_off >> position & 1u)
                return g_strdup_printf(REASON_BEGINS "(%s): %s", finding->rule, finding->words);
        }
    }
    return g_strdup(REASON_BEGINS);
}

static const thew_store_limit *limit_on(const thew_rows *limits, const char *position)
{
    for (guint i = 0; i < limits->row->len; i++) {
        const thew_store_limit *limit = thew_row(limits, thew_store_limit, i);
        if (strcmp(limit->kind, "position") == 0 && strcmp(limit->what, position) == 0) return limit;
    }
    return NULL;
}

// What the coach set by hand stays theirs: it is neither overwritten nor lifted. Only a position that the answers newly put off
// limits is added, so that a limit the coach lifted does not come back with every answer to another question.
static thew_store_status keep_limits(thew_studio *studio, const char *person, const thew_screening *before,
                                     const thew_screening *after)
{
    g_autoptr(thew_rows) limits = NULL;
    thew_store_status status = thew_store_limit_all(studio->db, studio->id, person, &limits);
    for (int position = 0; status >= 0 && position < THEW_POSITION_COUNT; position++) {
        const char *what = thew_position_id((thew_position)position);
        const thew_store_limit *limit = limit_on(limits, what);
        bool ours = limit && g_str_has_prefix(limit->reason, REASON_BEGINS);
        bool was_off = before->positions_off >> position & 1u, is_off = after->positions_off >> position & 1u;
        if (is_off && !was_off && !limit) {
            g_autofree char *reason = reason_of(after, (thew_position)position);
            status = thew_store_limit_put(studio->db, studio->id, person, &(thew_store_limit){ "position", what, reason, { 0 } });
        } else if (!is_off && ours) {
            status = thew_store_limit_lift(studio->db, studio->id, person, "position", what);
        }
    }
    return status;
}

// Heat and the weaker side follow an answer that is new; what the coach set since stays.
static thew_store_status keep_person(thew_studio *studio, const thew_store_person *kept, const thew_screening *before,
                                     const thew_screening *after)
{
    thew_store_person person = *kept;
    if (after->reserve_forced) person.endpoint = "reserve";
    bool heat_is_new = !before->heat_sensitive_known || before->heat_sensitive != after->heat_sensitive;
    if (after->heat_sensitive_known && heat_is_new) person.heat_sensitive = after->heat_sensitive;
    bool side_is_new = !before->weaker_side_known || g_strcmp0(before->weaker_side, after->weaker_side) != 0;
    if (after->weaker_side_known && side_is_new) person.weaker_side = after->weaker_side;
    person.changed_us = thew_studio_now(studio);
    return thew_store_person_put(studio->db, studio->id, &person); // also another revision
}

static thew_store_status keep(thew_studio *studio, const thew_actor *actor, const char *person, const thew_screen_given *given,
                              guint count, thew_screening **screening)
{
    g_autoptr(thew_rows) rows = NULL;
    g_autoptr(thew_screening) before = NULL;
    thew_store_status status = thew_store_person_find(studio->db, studio->id, person, &rows);
    if (status >= 0) status = read_screening(studio, person, &before);
    if (status >= 0) status = keep_answers(studio, actor, person, before, given, count);
    if (status >= 0) status = read_screening(studio, person, screening);
    if (status >= 0) status = keep_cautions(studio, person, *screening);
    if (status >= 0) status = keep_limits(studio, person, before, *screening);
    if (status >= 0) status = keep_person(studio, thew_row(rows, thew_store_person, 0), before, *screening);
    return status < 0 ? status : thew_note_access_within(studio, actor, person, "change", "screening");
}

thew_verdict thew_screen(thew_studio *studio, const thew_actor *actor, const char *person, const thew_screen_given *given,
                         guint count, thew_screening **screening, thew_refusal *refusal)
{
    if (screening) *screening = NULL;
    if (count == 0) thew_refusal_add(refusal, "/answers", "there is no answer in it");
    for (guint i = 0; i < count; i++)
        check_one(studio->catalogue, given, count, i, refusal);
    if (!thew_refusal_is_empty(refusal)) return THEW_INVALID;
    g_autoptr(thew_screening) after = NULL;
    thew_store_status status = thew_db_begin(studio->db);
    if (status >= 0) status = thew_db_end(studio->db, keep(studio, actor, person, given, count, &after));
    thew_verdict verdict = thew_refuse_store(refusal, studio->db, MIN(status, THEW_STORE_OK));
    if (verdict == THEW_DONE && screening) *screening = g_steal_pointer(&after);
    return verdict;
}
