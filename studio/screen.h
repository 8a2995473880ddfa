// screen.h: the questions before somebody starts, and what follows from the answers.
// Knows how answers lead to findings (the questions and their rules are data: catalogue/screening.json), and keeps them: cautions,
// endpoint and positions off limits follow in the same transaction. Leaves to others: how it is asked; and every decision: it never
// says what somebody has, only what to heed and when to ask a clinician first.
#ifndef THEW_STUDIO_SCREEN_H
#define THEW_STUDIO_SCREEN_H

#include "catalogue/screening.h"
#include "store/person.h"
#include "studio/studio.h"

typedef enum {
    THEW_SCREEN_CLEAR,
    THEW_SCREEN_WITH_CARE,
    THEW_SCREEN_ASK_FIRST, // a clinician; outranks everything
    THEW_SCREEN_NOT_ASKED  // a question that must be answered is not
} thew_screen_verdict;
/// "clear", "with_care", "ask_first", "not_asked".
const char *thew_screen_verdict_word(thew_screen_verdict verdict);

/// What follows from one answer, by one rule.
typedef struct {
    const thew_question *question;
    const char *rule;          // id of the safety rule ("G03")
    const char *words;         // what to heed, a sentence or two; defers to the clinician
    thew_screen_action action; // see catalogue/screening.h
    bool cleared;              // a clinician's yes, given after it was answered, is on record
} thew_finding;

typedef struct {
    GArray *answer;     // thew_store_answer: the latest of each question, in the questions' order
    GPtrArray *missing; // const thew_question *: those that must be answered and are not
    thew_screen_verdict verdict;
    bool reserve_forced;    // sets end in reserve
    GArray *finding;        // thew_finding: the gravest first
    GPtrArray *caution;     // const char *: identifiers, each once: to be said before each set
    unsigned positions_off; // bit 1 << thew_position
    bool heat_sensitive_known, heat_sensitive;
    const char *weaker_side; // "left", "right", NULL: neither, or not asked
    bool weaker_side_known;
    thew_rows *rows; // holds the answers' texts; may be NULL
} thew_screening;
void thew_screening_free(thew_screening *screening);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_screening, thew_screening_free)

/// One answer as given: "yes", "no"; a number ("182"); the identifier of a choice.
typedef struct {
    const char *question, *answer, *note; // note: "" for none; for a clearance: by whom and when
} thew_screen_given;

/// What follows from answers; keeps nothing.
///   answer   [count]: at most one of each question; those of questions that no longer exist are left out
thew_screening *thew_screen_judge(const thew_catalogue *catalogue, const thew_store_answer *answer, guint count);

/// Keep answers (any of the questions), and what follows from all there are: the list of cautions, the endpoint "reserve" where it
/// is forced, limits of position, heat sensitivity and the weaker side where they were asked.
///   verdict   THEW_DONE; THEW_ABSENT; THEW_INVALID with "/answers/2/answer", ...
///   screening out: as it then is; NULL unless THEW_DONE. May be NULL
thew_verdict thew_screen(thew_studio *studio, const thew_actor *actor, const char *person, const thew_screen_given *given,
                         guint count, thew_screening **screening, thew_refusal *refusal);
/// What is on record. For somebody never asked: THEW_SCREEN_NOT_ASKED with every question missing.
thew_verdict thew_screen_read(thew_studio *studio, const char *person, thew_screening **screening, thew_refusal *refusal);

#endif
