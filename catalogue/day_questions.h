// day_questions.h: what is asked before a session, as data: the safety rules that only the person can answer.
// Knows the file records/day_questions.json, which is built into the program. Leaves to others: what follows from an answer
// (studio/check_in.h), questions about a whole programme.
#ifndef THEW_DAY_QUESTIONS_H
#define THEW_DAY_QUESTIONS_H

#include <stddef.h>

typedef enum { THEW_FOLLOWS_LIGHTER, THEW_FOLLOWS_NOT_TODAY, THEW_FOLLOWS_ASK_FIRST } thew_follows;

/// A question that is answered "yes" or "no"; "no" is always the harmless answer.
typedef struct {
    const char *question;    // identifier
    const char *words;       // the question
    thew_follows follows;    // from a yes
    const char *what_to_do;  // a sentence, if it is a yes
    const char *const *rule; // NULL-terminated identifiers of the safety rules
} thew_day_question;

/// All of them, in the order to ask. They live as long as the program.
const thew_day_question *thew_day_questions(size_t *count);
/// By identifier; NULL if there is none.
const thew_day_question *thew_day_question_find(const char *question);

#endif
