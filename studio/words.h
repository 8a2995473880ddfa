// words.h: plain sentences for what the engine says in codes. English; every text that a person may read is made here.
// Knows words. Leaves to others: numbers, choices, layout.
#ifndef THEW_WORDS_H
#define THEW_WORDS_H

#include "engine/advice.h"
#include "studio/advise.h"

/// What is needed to say why.
typedef struct {
    thew_reason reason;
    double floor_s, window_from_s, window_to_s;
    bool has_last;
    int days_since_last;
    const char *better; // name of the rung that was held back, or NULL
    const char *other;  // name of the regression or progression, or NULL
} thew_reason_words;

/// One or two sentences that say why this load. Newly allocated.
char *thew_words_reason(const thew_reason_words *words);

/// The same for an advice, with what would change it ("After a completed set the next step is ..."). Newly allocated.
char *thew_words_advised(const thew_person_advice *person, const thew_advised *advised);

/// "left", "right", "both".
const char *thew_words_side(thew_side side);
/// "failure", "completed", "reserve", "symptom", "other".
const char *thew_words_ended(thew_ended ended);

/// "Wed 25 Nov 2026" and "2026-11-25". Newly allocated.
char *thew_words_day(thew_day day);
char *thew_words_date(thew_day day);
/// The day of a date that exists; see exchange/date.h for reading one.
thew_day thew_words_today(void);

/// A chance in words that hold up: "58 in 100", "under 1 in 100", "over 99 in 100". Newly allocated.
char *thew_words_chance(double p);

#endif
