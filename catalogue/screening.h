// screening.h: the questions before somebody starts, as data (screening.json): words, answers, and what follows from them by which
// safety rule. Knows their form. Leaves to others: who answered what (studio/screen.h).
#ifndef THEW_CATALOGUE_SCREENING_H
#define THEW_CATALOGUE_SCREENING_H

#include "catalogue/catalogue.h"

typedef enum { THEW_ASK_YES_NO, THEW_ASK_NUMBER, THEW_ASK_CHOICE } thew_ask_kind;

/// What to do about a finding, the mildest first.
typedef enum {
    THEW_SCREEN_NOTE, // know it
    THEW_SCREEN_CARE, // heed it in every session
    THEW_SCREEN_ASK   // ask a clinician before starting
} thew_screen_action;

typedef struct {
    const char *id, *words;
} thew_choice_words;

/// What follows from some of the answers.
typedef struct {
    const char *const *answer; // [answer_count] identifiers of choices, "yes", "no"; none for a number
    size_t answer_count;
    double from, below; // a number in [from, below)
    const char *rule;   // id of the safety rule that it follows from
    const char *words;  // what to heed
    thew_screen_action action;
    bool reserve;                       // sets end in reserve
    const thew_caution *const *caution; // [caution_count]
    size_t caution_count;
    unsigned positions_off; // bit 1 << thew_position
} thew_consequence;

/// What an answer says of the person, besides.
typedef enum { THEW_TELLS_NOTHING, THEW_TELLS_HEAT, THEW_TELLS_WEAKER_SIDE, THEW_TELLS_CLEARANCE } thew_tells;

typedef struct {
    const char *id, *words, *help; // help: "" for none
    thew_ask_kind kind;
    const char *unit;  // of a number (UCUM); else NULL
    double low, high;  // a number's range
    bool optional;     // may stay without an answer
    const char *usual; // the answer to begin with; NULL: none
    thew_tells tells;
    const thew_choice_words *choice; // [choice_count]
    size_t choice_count;
    const thew_consequence *consequence; // [consequence_count]
    size_t consequence_count;
    const char *const *rule; // [rule_count]: every rule that an answer can lead to, each once
    size_t rule_count;
} thew_question;

/// In the order in which they are to be asked. None in a catalogue without screening.json.
const thew_question *const *thew_catalogue_questions(const thew_catalogue *catalogue, size_t *count);
const thew_question *thew_catalogue_question(const thew_catalogue *catalogue, const char *id);

/// "yes_no", "number", "choice".
const char *thew_ask_kind_id(thew_ask_kind kind);
/// "note", "with_care", "ask_first".
const char *thew_screen_action_id(thew_screen_action action);

#endif
