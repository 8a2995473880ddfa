// day_questions.c: see day_questions.h.
#include "catalogue/day_questions.h"

#include <string.h>

#include "catalogue/records.h"

static void read_one(thew_json at, void *item)
{
    static const char *const keys[] = { "question", "words", "follows", "what_to_do", "rules", NULL };
    static const char *const follows[] = { "lighter", "not_today", "ask_first", NULL };
    thew_day_question *question = item;
    if (!thew_json_object(&at, keys)) return;
    size_t rules;
    question->question = thew_json_id(thew_json_key(&at, "question"));
    question->words = thew_json_text(thew_json_key(&at, "words"));
    question->follows = (thew_follows)MAX(thew_json_choice(thew_json_key(&at, "follows"), follows), 0);
    question->what_to_do = thew_json_text(thew_json_key(&at, "what_to_do"));
    question->rule = thew_json_texts(thew_json_key(&at, "rules"), 1, 8, thew_json_text, &rules);
}

static const GArray *table(void)
{
    static gsize once;
    if (g_once_init_enter(&once))
        g_once_init_leave(&once, (gsize)thew_records_read("day_questions.json", "questions", 40, sizeof(thew_day_question), read_one));
    return (const GArray *)once;
}

const thew_day_question *thew_day_questions(size_t *count)
{
    *count = table()->len;
    return (const thew_day_question *)(const void *)table()->data;
}

const thew_day_question *thew_day_question_find(const char *question)
{
    size_t count;
    const thew_day_question *all = thew_day_questions(&count);
    for (size_t i = 0; i < count; i++)
        if (strcmp(all[i].question, question) == 0) return &all[i];
    return NULL;
}
