// may.c: see may.h. The table is the whole of it.
#include "studio/may.h"

#include <stddef.h>
#include <string.h>

#define OWN (1u << THEW_WHOSE_OWN)
#define SEEN (1u << THEW_WHOSE_SEEN)
#define STUDIO (1u << THEW_WHOSE_STUDIO)
#define ANY (OWN | SEEN | 1u << THEW_WHOSE_OTHER)
#define NO 0u

// Whose records an act may concern, by role. Who writes for somebody else (a helper) writes under their own name.
// clang-format off
static const unsigned char table[THEW_ACT_COUNT][THEW_ROLE_COUNT] = {
    //                               coach         assistant     participant   helper        clinician
    [THEW_ACT_READ_STUDIO] =       { STUDIO,       STUDIO,       NO,           NO,           NO     },
    [THEW_ACT_WRITE_STUDIO] =      { STUDIO,       NO,           NO,           NO,           NO     },
    [THEW_ACT_READ_CATALOGUE] =    { STUDIO,       STUDIO,       STUDIO,       STUDIO,       STUDIO },
    [THEW_ACT_OVERVIEW] =          { STUDIO,       STUDIO,       NO,           NO,           NO     },
    [THEW_ACT_ENROL] =             { STUDIO,       STUDIO,       NO,           NO,           NO     },
    [THEW_ACT_READ_PERSON] =       { ANY,          ANY,          OWN,          SEEN,         NO     },
    [THEW_ACT_WRITE_PERSON] =      { ANY,          ANY,          NO,           NO,           NO     },
    [THEW_ACT_READ_SCREENING] =    { ANY,          ANY,          OWN,          SEEN,         SEEN   },
    [THEW_ACT_SCREEN] =            { ANY,          ANY,          NO,           NO,           NO     },
    [THEW_ACT_READ_ADVICE] =       { ANY,          ANY,          OWN,          SEEN,         NO     },
    [THEW_ACT_DECIDE_ADVICE] =     { ANY,          ANY,          NO,           NO,           NO     },
    [THEW_ACT_READ_STRENGTH] =     { ANY,          ANY,          OWN,          SEEN,         SEEN   },
    [THEW_ACT_READ_DIARY] =        { ANY,          ANY,          OWN,          SEEN,         NO     },
    [THEW_ACT_RECORD] =            { ANY,          ANY,          OWN,          SEEN,         NO     },
    [THEW_ACT_READ_CHECK_INS] =    { ANY,          ANY,          OWN,          SEEN,         NO     },
    [THEW_ACT_CHECK_IN] =          { ANY,          ANY,          OWN,          SEEN,         NO     },
    [THEW_ACT_READ_OUTCOMES] =     { ANY,          ANY,          OWN,          SEEN,         SEEN   },
    [THEW_ACT_RECORD_OUTCOME] =    { ANY,          ANY,          NO,           NO,           NO     },
    [THEW_ACT_READ_BLOCKS] =       { ANY,          ANY,          OWN,          SEEN,         NO     },
    [THEW_ACT_PLAN_BLOCK] =        { ANY,          ANY,          NO,           NO,           NO     },
    [THEW_ACT_READ_KIT] =          { ANY | STUDIO, ANY | STUDIO, OWN,          SEEN,         NO     },
    [THEW_ACT_WRITE_KIT] =         { ANY | STUDIO, ANY | STUDIO, NO,           NO,           NO     },
    [THEW_ACT_MEASURE_KIT] =       { ANY | STUDIO, ANY | STUDIO, OWN,          SEEN,         NO     },
    [THEW_ACT_READ_CLASSES] =      { STUDIO,       STUDIO,       STUDIO,       STUDIO,       NO     },
    [THEW_ACT_WRITE_CLASSES] =     { STUDIO,       STUDIO,       NO,           NO,           NO     },
    [THEW_ACT_FIT_CLASS] =         { ANY,          ANY,          OWN,          SEEN,         NO     },
    [THEW_ACT_EXPORT_PERSON] =     { ANY,          ANY,          OWN,          NO,           NO     },
    [THEW_ACT_EXPORT_STUDIO] =     { STUDIO,       STUDIO,       NO,           NO,           NO     },
    [THEW_ACT_IMPORT] =            { STUDIO,       NO,           NO,           NO,           NO     },
    [THEW_ACT_REMOVE_PERSON] =     { ANY,          NO,           NO,           NO,           NO     },
    [THEW_ACT_ACCOUNTS] =          { STUDIO,       NO,           NO,           NO,           NO     },
    [THEW_ACT_READ_ACCESS] =       { ANY | STUDIO, NO,           OWN,          NO,           NO     },
};
// clang-format on

bool thew_may(thew_role role, thew_act act, thew_whose whose)
{
    if ((unsigned)role >= THEW_ROLE_COUNT || (unsigned)act >= THEW_ACT_COUNT || (unsigned)whose >= THEW_WHOSE_COUNT) return false;
    return (table[act][role] >> whose & 1u) != 0;
}

#define THEW_ACT_WORDS(name, words) [name] = words,
const char *thew_act_words(thew_act act)
{
    static const char *const words[] = { THEW_ACT_LIST(THEW_ACT_WORDS) };
    return words[act];
}

static const char *const role_word[THEW_ROLE_COUNT] = { "coach", "assistant", "participant", "helper", "clinician" };

const char *thew_role_word(thew_role role)
{
    return role_word[role];
}

bool thew_role_read(const char *word, thew_role *role)
{
    for (int r = 0; word != NULL && r < THEW_ROLE_COUNT; r++)
        if (strcmp(role_word[r], word) == 0) {
            *role = (thew_role)r;
            return true;
        }
    return false;
}
