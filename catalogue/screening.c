// screening.c: see screening.h.
#include "catalogue/screening.h"

#include <math.h>

#include "parts.h"

static const char *const question_key[] = { "id",       "words", "help",  "kind",    "unit",  "low", "high",
                                            "optional", "usual", "tells", "choices", "leads", NULL };
static const char *const choice_key[] = { "id", "words", NULL };
static const char *const lead_key[] = { "answers", "from",    "below",    "rule",          "action",
                                        "words",   "reserve", "cautions", "positions_off", NULL };
static const char *const kind_word[] = { "yes_no", "number", "choice", NULL };
static const char *const action_word[] = { "note", "with_care", "ask_first", NULL };
static const char *const tells_word[] = { "heat", "weaker-side", "clearance", NULL }; // from THEW_TELLS_HEAT on

static const size_t QUESTIONS_MAX = 100, CHOICES_MAX = 20, LEADS_MAX = 20, CAUTIONS_MAX = 20;
static const double NUMBER_MAX = 1e6;

// --- one question ----------------------------------------------------------------------------------------------------------------

static void read_choices(thew_catalogue *catalogue, const thew_json *at, thew_question *question)
{
    thew_json choices = thew_json_key(at, "choices");
    if (question->kind != THEW_ASK_CHOICE) {
        if (choices.value != NULL) thew_json_fault(&choices, "must be absent unless kind is choice", "is given");
        return;
    }
    question->choice_count = thew_json_array(&choices, 2, CHOICES_MAX);
    thew_choice_words *choice = THEW_OWN(catalogue, thew_choice_words, question->choice_count);
    question->choice = choice;
    for (size_t i = 0; i < question->choice_count; i++) {
        thew_json item = thew_json_item(&choices, i);
        thew_json_object(&item, choice_key);
        choice[i].id = thew_json_id(thew_json_key(&item, "id"));
        choice[i].words = thew_json_text(thew_json_key(&item, "words"));
        for (size_t j = 0; j < i; j++)
            if (choice[i].id != NULL && g_strcmp0(choice[i].id, choice[j].id) == 0)
                thew_json_fault(&item, "each choice needs its own id", "id \"%s\" stands twice", choice[i].id);
    }
}

static void read_number(const thew_json *at, thew_question *question)
{
    thew_json unit = thew_json_key(at, "unit"), low = thew_json_key(at, "low"), high = thew_json_key(at, "high");
    if (question->kind != THEW_ASK_NUMBER) {
        const thew_json *const field[] = { &unit, &low, &high };
        for (size_t i = 0; i < G_N_ELEMENTS(field); i++)
            if (field[i]->value != NULL) thew_json_fault(field[i], "must be absent unless kind is number", "is given");
        return;
    }
    question->unit = thew_json_text(unit);
    thew_json_real(low, -NUMBER_MAX, NUMBER_MAX, &question->low);
    thew_json_real(high, -NUMBER_MAX, NUMBER_MAX, &question->high);
    if (!(question->low < question->high)) thew_json_fault(&high, "must be above low", "is not above low");
}

static bool can_be_answered(const thew_question *question, const char *answer)
{
    if (question->kind == THEW_ASK_YES_NO) return g_str_equal(answer, "yes") || g_str_equal(answer, "no");
    for (size_t i = 0; i < question->choice_count; i++)
        if (g_strcmp0(question->choice[i].id, answer) == 0) return true;
    return false;
}

static void must_be_answer(const thew_json *at, const thew_question *question, const char *answer)
{
    if (answer == NULL || can_be_answered(question, answer)) return;
    thew_json_fault(at, question->kind == THEW_ASK_YES_NO ? "must be yes or no" : "must be the id of one of its choices",
                    "\"%s\" is no answer to this question", answer);
}

// --- what follows ----------------------------------------------------------------------------------------------------------------

static const char *read_rule(thew_json at)
{
    const char *id = json_string_value(at.value);
    if (id != NULL && strlen(id) == 3 && g_ascii_isupper(id[0]) && g_ascii_isdigit(id[1]) && g_ascii_isdigit(id[2])) return id;
    thew_json_fault(&at, "must name a safety rule, such as \"E01\"", "%s", id == NULL ? "is no text" : "is no safety rule");
    return NULL;
}

static void read_range(const thew_json *at, const thew_question *question, thew_consequence *consequence)
{
    thew_json from = thew_json_key(at, "from"), below = thew_json_key(at, "below"), answers = thew_json_key(at, "answers");
    if (answers.value != NULL) thew_json_fault(&answers, "a number leads by from and below", "is given for a number");
    consequence->below = INFINITY;
    thew_json_real(from, question->low, question->high, &consequence->from);
    if (below.value == NULL) return;
    thew_json_real(below, question->low, question->high, &consequence->below);
    if (!(consequence->from < consequence->below)) thew_json_fault(&below, "must be above from", "is not above from");
}

static void read_answers(thew_catalogue *catalogue, const thew_json *at, const thew_question *question,
                         thew_consequence *consequence)
{
    static const char *const range_key[] = { "from", "below" };
    for (size_t i = 0; i < G_N_ELEMENTS(range_key); i++) {
        thew_json range = thew_json_key(at, range_key[i]);
        if (range.value != NULL) thew_json_fault(&range, "must be absent unless kind is number", "is given");
    }
    thew_json answers = thew_json_key(at, "answers");
    const char **answer = thew_json_texts(answers, 1, CHOICES_MAX, thew_json_id, &consequence->answer_count);
    consequence->answer = thew_catalogue_keep(catalogue, answer);
    for (size_t i = 0; i < consequence->answer_count; i++) {
        thew_json item = thew_json_item(&answers, i);
        must_be_answer(&item, question, answer[i]);
    }
}

static void read_cautions(thew_catalogue *catalogue, thew_json at, thew_consequence *consequence)
{
    if (at.value == NULL) return;
    g_autofree const char **id = thew_json_texts(at, 1, CAUTIONS_MAX, thew_json_id, &consequence->caution_count);
    const thew_caution **caution = THEW_OWN(catalogue, const thew_caution *, consequence->caution_count);
    consequence->caution = caution;
    for (size_t i = 0; i < consequence->caution_count; i++) {
        thew_json item = thew_json_item(&at, i);
        caution[i] = id[i] == NULL ? NULL : g_hash_table_lookup(catalogue->caution_by_id, id[i]);
        if (id[i] != NULL && caution[i] == NULL)
            thew_json_fault(&item, "must be an id of cautions.json", "\"%s\" is not known", id[i]);
    }
}

static void read_positions(thew_json at, thew_consequence *consequence)
{
    if (at.value == NULL) return;
    size_t count = thew_json_array(&at, 1, THEW_POSITION_COUNT);
    for (size_t i = 0; i < count; i++) {
        int position = thew_json_choice(thew_json_item(&at, i), thew_position_word);
        if (position >= 0) consequence->positions_off |= 1u << position;
    }
}

static void read_lead(thew_catalogue *catalogue, const thew_json *at, const thew_question *question, thew_consequence *consequence)
{
    thew_json_object(at, lead_key);
    if (question->kind == THEW_ASK_NUMBER)
        read_range(at, question, consequence);
    else
        read_answers(catalogue, at, question, consequence);
    consequence->rule = read_rule(thew_json_key(at, "rule"));
    int action = thew_json_choice(thew_json_key(at, "action"), action_word);
    if (action >= 0) consequence->action = (thew_screen_action)action;
    consequence->words = thew_json_text(thew_json_key(at, "words"));
    thew_json reserve = thew_json_key(at, "reserve");
    if (reserve.value != NULL) thew_json_flag(reserve, &consequence->reserve);
    read_cautions(catalogue, thew_json_key(at, "cautions"), consequence);
    read_positions(thew_json_key(at, "positions_off"), consequence);
}

// Every rule that an answer can lead to, each once.
static void gather_rules(thew_catalogue *catalogue, thew_question *question)
{
    const char **rule = THEW_OWN(catalogue, const char *, question->consequence_count + 1);
    question->rule = rule;
    for (size_t i = 0; i < question->consequence_count; i++) {
        const char *id = question->consequence[i].rule;
        if (id != NULL && !g_strv_contains(rule, id)) rule[question->rule_count++] = id;
    }
}

static void read_leads(thew_catalogue *catalogue, thew_json at, thew_question *question)
{
    if (at.value == NULL) return;
    question->consequence_count = thew_json_array(&at, 1, LEADS_MAX);
    thew_consequence *consequence = THEW_OWN(catalogue, thew_consequence, question->consequence_count);
    question->consequence = consequence;
    for (size_t i = 0; i < question->consequence_count; i++) {
        thew_json item = thew_json_item(&at, i);
        read_lead(catalogue, &item, question, &consequence[i]);
    }
    gather_rules(catalogue, question);
}

// --- all of them -----------------------------------------------------------------------------------------------------------------

// What is asked about heat or a clearance is a yes or no; a side is one of two words that the store knows.
static void check_tells(const thew_json *at, const thew_question *question)
{
    thew_json tells = thew_json_key(at, "tells");
    if (question->tells == THEW_TELLS_NOTHING) return;
    bool side = question->tells == THEW_TELLS_WEAKER_SIDE;
    if (side && !(question->kind == THEW_ASK_CHOICE && can_be_answered(question, "left") && can_be_answered(question, "right")))
        thew_json_fault(&tells, "a question about the weaker side has the choices left and right", "is weaker-side");
    if (!side && question->kind != THEW_ASK_YES_NO)
        thew_json_fault(&tells, "this is asked as yes_no", "is %s", tells_word[question->tells - THEW_TELLS_HEAT]);
}

static void read_question(thew_catalogue *catalogue, const thew_json *at)
{
    thew_json_object(at, question_key);
    thew_question *question = THEW_OWN(catalogue, thew_question, 1);
    question->id = thew_json_id(thew_json_key(at, "id"));
    question->words = thew_json_text(thew_json_key(at, "words"));
    thew_json help = thew_json_key(at, "help");
    question->help = help.value == NULL ? "" : thew_json_text(help);
    int kind = thew_json_choice(thew_json_key(at, "kind"), kind_word);
    if (kind < 0) return;
    question->kind = (thew_ask_kind)kind;
    read_choices(catalogue, at, question);
    read_number(at, question);
    thew_json optional = thew_json_key(at, "optional");
    if (optional.value != NULL) thew_json_flag(optional, &question->optional);
    thew_json usual = thew_json_key(at, "usual");
    if (usual.value != NULL) {
        question->usual = thew_json_id(usual);
        must_be_answer(&usual, question, question->usual);
    }
    thew_json tells = thew_json_key(at, "tells");
    int told = tells.value == NULL ? -1 : thew_json_choice(tells, tells_word);
    if (told >= 0) question->tells = (thew_tells)(THEW_TELLS_HEAT + told);
    check_tells(at, question);
    read_leads(catalogue, thew_json_key(at, "leads"), question);
    g_ptr_array_add(catalogue->question, question);
    thew_catalogue_put(catalogue->question_by_id, question->id, question, thew_json_key(at, "id"));
}

void thew_screening_read_file(thew_catalogue *catalogue, const thew_json *top)
{
    static const char *const known[] = { "questions", NULL };
    thew_json_object(top, known);
    thew_json questions = thew_json_key(top, "questions");
    size_t count = thew_json_array(&questions, 1, QUESTIONS_MAX);
    for (size_t i = 0; i < count; i++) {
        thew_json item = thew_json_item(&questions, i);
        read_question(catalogue, &item);
    }
}

const thew_question *const *thew_catalogue_questions(const thew_catalogue *catalogue, size_t *count)
{
    *count = catalogue->question->len;
    return (const thew_question *const *)catalogue->question->pdata;
}

const thew_question *thew_catalogue_question(const thew_catalogue *catalogue, const char *id)
{
    return g_hash_table_lookup(catalogue->question_by_id, id);
}

const char *thew_ask_kind_id(thew_ask_kind kind)
{
    return kind_word[kind];
}

const char *thew_screen_action_id(thew_screen_action action)
{
    return action_word[action];
}
