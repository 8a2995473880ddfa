// watch.h: Today: who needs the coach, most urgent first; who trains; who has.
// Knows which signs matter, how urgent they are, and what to do about each in a sentence. Leaves to others: where people stand
// (believe.h), screens. It points at people; it diagnoses nobody.
#ifndef THEW_STUDIO_WATCH_H
#define THEW_STUDIO_WATCH_H

#include "studio/believe.h"
#include "studio/studio.h"

// kind, word; most urgent first
#define THEW_ATTENTION_LIST(X)                                                                                                     \
    X(THEW_ATTENTION_DECLINE, "decline")                                                                                           \
    X(THEW_ATTENTION_SYMPTOM, "symptom")                                                                                           \
    X(THEW_ATTENTION_NOT_SCREENED, "not_screened")                                                                                 \
    X(THEW_ATTENTION_TOO_MUCH, "too_much")                                                                                         \
    X(THEW_ATTENTION_LADDER, "ladder_used_up")                                                                                     \
    X(THEW_ATTENTION_MISSED, "missed_weeks")                                                                                       \
    X(THEW_ATTENTION_NO_KIT, "no_kit")                                                                                             \
    X(THEW_ATTENTION_WAITING, "advice_waiting")
#define THEW_ATTENTION_ENUM(kind, word) kind,
typedef enum { THEW_ATTENTION_LIST(THEW_ATTENTION_ENUM) THEW_ATTENTION_COUNT } thew_attention_kind;
#undef THEW_ATTENTION_ENUM

const char *thew_attention_word(thew_attention_kind kind);

typedef struct {
    thew_attention_kind kind;
    const char *person, *called;
    thew_day day;           // that it is about
    const char *words;      // a sentence
    const char *what_to_do; // another
    const char *exercise;   // identifier; NULL
} thew_attention;

typedef struct {
    const char *person, *called;
    const char *why;   // a sentence
    thew_day earliest; // earliest good day; THEW_NO_DAY: any
    bool heat_sensitive;
} thew_trains;

typedef struct {
    const char *person, *called;
    thew_day day;
    int sets;
} thew_trained;

/// One line about somebody, for lists of people.
typedef struct {
    const char *person;
    thew_day last_day, earliest; // THEW_NO_DAY: none, any
    int sets, waiting;
    bool declined, screened;
} thew_watched;

typedef struct {
    thew_day day;
    GArray *attention; // thew_attention
    GArray *trains;    // thew_trains, by what they are called
    GArray *recent;    // thew_trained: the last week, newest first
    GArray *watched;   // thew_watched: all who have not left, by what they are called
    guint waiting;     // advice that waits for a yes, all told
    guint behind;      // people whose standing could not be brought up to date yet: ask again
    thew_rows *overview, *plan;
    GStringChunk *words;
} thew_today;

/// Look at everybody on a day. Brings up to date those who are behind first, if the studio is open for writing, but not more than
/// fit into a moment.
thew_verdict thew_watch(thew_studio *studio, thew_day day, thew_today **today, thew_refusal *refusal);
void thew_today_free(thew_today *today);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_today, thew_today_free)

#endif
