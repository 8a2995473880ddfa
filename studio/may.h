// may.h: what each role may do, in one table.
// Knows roles, acts, and whose records they concern. Leaves to others: who somebody is (admit.h), what is then done.
#ifndef THEW_STUDIO_MAY_H
#define THEW_STUDIO_MAY_H

#include <stdbool.h>

typedef enum { THEW_COACH, THEW_ASSISTANT, THEW_PARTICIPANT, THEW_HELPER, THEW_CLINICIAN, THEW_ROLE_COUNT } thew_role;

/// Whose records an act concerns, seen from an account.
typedef enum {
    THEW_WHOSE_OWN,     // the person whose account it is
    THEW_WHOSE_SEEN,    // one whom a helper or a clinician may see, today
    THEW_WHOSE_OTHER,   // anybody else
    THEW_WHOSE_STUDIO,  // no person's
    THEW_WHOSE_COUNT
} thew_whose;

// name, what it is, as an error's sentence may say it
#define THEW_ACT_LIST(X)                                                          \
    X(THEW_ACT_READ_STUDIO, "see the studio's settings")                          \
    X(THEW_ACT_WRITE_STUDIO, "change the studio's settings")                      \
    X(THEW_ACT_READ_CATALOGUE, "see exercises and drawings")                      \
    X(THEW_ACT_OVERVIEW, "see everybody's day and every person on one page")      \
    X(THEW_ACT_ENROL, "take someone on")                                          \
    X(THEW_ACT_READ_PERSON, "see what is known of a person")                      \
    X(THEW_ACT_WRITE_PERSON, "change what is known of a person")                  \
    X(THEW_ACT_READ_SCREENING, "see the screening")                               \
    X(THEW_ACT_SCREEN, "answer the screening")                                    \
    X(THEW_ACT_READ_ADVICE, "see the next loads")                                 \
    X(THEW_ACT_DECIDE_ADVICE, "take or overrule an advice")                       \
    X(THEW_ACT_READ_STRENGTH, "see strength over months and the report")          \
    X(THEW_ACT_READ_DIARY, "see the training diary")                              \
    X(THEW_ACT_RECORD, "write sets into the training diary")                      \
    X(THEW_ACT_READ_CHECK_INS, "see check-ins")                                   \
    X(THEW_ACT_CHECK_IN, "check in")                                              \
    X(THEW_ACT_READ_OUTCOMES, "see outcome measures")                             \
    X(THEW_ACT_RECORD_OUTCOME, "write outcome measures")                          \
    X(THEW_ACT_READ_BLOCKS, "see training blocks")                                \
    X(THEW_ACT_PLAN_BLOCK, "plan training blocks")                                \
    X(THEW_ACT_READ_KIT, "see kit")                                               \
    X(THEW_ACT_WRITE_KIT, "add, change or retire kit")                            \
    X(THEW_ACT_MEASURE_KIT, "add readings of kit")                                \
    X(THEW_ACT_READ_CLASSES, "see classes")                                       \
    X(THEW_ACT_WRITE_CLASSES, "compose and keep classes")                         \
    X(THEW_ACT_FIT_CLASS, "see how a class fits each person")                     \
    X(THEW_ACT_EXPORT_PERSON, "export all that is kept of a person")              \
    X(THEW_ACT_EXPORT_STUDIO, "export everything")                                \
    X(THEW_ACT_IMPORT, "import files")                                            \
    X(THEW_ACT_REMOVE_PERSON, "remove a person")                                  \
    X(THEW_ACT_ACCOUNTS, "see and change accounts")                               \
    X(THEW_ACT_READ_ACCESS, "see who looked")

#define THEW_ACT_ENUM(name, words) name,
typedef enum { THEW_ACT_LIST(THEW_ACT_ENUM) THEW_ACT_COUNT } thew_act;
#undef THEW_ACT_ENUM

/// Whether a role may do that to those records.
bool thew_may(thew_role role, thew_act act, thew_whose whose);
/// "see the training diary": after "you may not".
const char *thew_act_words(thew_act act);

/// "coach", "assistant", "participant", "helper", "clinician".
const char *thew_role_word(thew_role role);
///   returns   whether there is such a role
bool thew_role_read(const char *word, thew_role *role);

#endif
