// propose.h: advice as the coach sees it: made, kept with its odds, accepted or overridden, and settled by the set that is done.
// Knows the life of an advice. Leaves to others: how it is found (advise.h), the decision.
//
//   open ──accept──> taken ──set done──> taken, with its record         lapsed: its day passed, or something newer is advised
//     └──override──> overridden ──set done──> overridden, with its record
//   undo leads back to open as long as no set was done on it
//
// Identifiers follow from person, day, exercise, side and revision, so asking again changes nothing. What was answered stands for
// its day, unless what is advised anew is lighter (a symptom came up).
#ifndef THEW_STUDIO_PROPOSE_H
#define THEW_STUDIO_PROPOSE_H

#include "draw/odds.h"
#include "store/advice.h"
#include "studio/advise.h"
#include "studio/know.h"

typedef enum { THEW_OPEN, THEW_TAKEN, THEW_OVERRIDDEN, THEW_LAPSED } thew_became;

/// A way of doing it, with its odds.
typedef struct {
    const thew_fitted *fitted;
    thew_odds odds;
    bool is_advised, is_last;
    bool is_chosen; // what is to be done: the override's if there is one
} thew_proposed_rung;

/// Advice for one exercise and side.
typedef struct {
    const char *advice;                                       // identifier; NULL where nothing fits: then there is only `reason`
    const thew_advised *advised;                              // as found now
    const char *variant, *variant_name, *implement, *setting; // as it was told; implement NULL: body weight
    const char *label, *setting_words;
    double goal_s, floor_s, window_from_s, window_to_s;
    thew_odds odds;     // as they were told
    const char *reason; // sentences
    const char *reason_code;
    const char *if_completed, *if_early; // labels of what would be next; NULL: the same
    thew_became became;
    const char *record;                           // the set that was done; NULL
    const char *override_label, *override_reason; // NULL: none
    GArray *rung;                                 // thew_proposed_rung, lightest first
    const char *const *caution;                   // NULL-terminated sentences
} thew_proposed;

/// A person's advice for a day. Owns everything.
typedef struct {
    thew_knowledge *knowledge;
    thew_person_advice *advice;
    thew_day day;
    GArray *proposed; // thew_proposed, in the order of advice->advised
    GPtrArray *note;  // const char *: what was left out, and why
    GStringChunk *words;
    GPtrArray *lists;
    thew_rows *kept;
} thew_proposals;

/// Advice for a day, today or later: made and kept if it is not there. In a studio that is open for reading only, nothing is kept,
/// and identifiers are those that it would have.
///   proposals   out: NULL unless THEW_DONE
///   returns     THEW_DONE, THEW_ABSENT, THEW_INVALID (the day), THEW_CONFLICT (screening says to ask a clinician first: the
///   sentence
///               says what), THEW_UNABLE
thew_verdict thew_propose(thew_studio *studio, const char *person, thew_day day, thew_proposals **proposals, thew_refusal *refusal);
void thew_proposals_free(thew_proposals *proposals);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_proposals, thew_proposals_free)

/// The proposal of that advice; NULL if it is none of these.
const thew_proposed *thew_proposals_find(const thew_proposals *proposals, const char *advice);
/// The rungs as draw/odds.h wants them: at most so many, about the one that is advised, in their order; labels are the proposal's.
///   returns   GArray of thew_odds_rung, the caller's
GArray *thew_proposed_ladder(const thew_proposed *proposed, guint at_most);
/// "open", "taken", "overridden", "lapsed".
const char *thew_became_word(thew_became became);

/// Whose advice it is, for which day: for those who have an identifier only.
///   person   out: newly allocated
thew_verdict thew_propose_whose(const thew_studio *studio, const char *advice, char **person, thew_day *day, thew_refusal *refusal);

/// The coach says yes. THEW_DONE_BEFORE if they did before; THEW_CONFLICT if a set was done, or it lapsed.
thew_verdict thew_propose_accept(thew_studio *studio, const char *advice, thew_refusal *refusal);

/// The coach chooses otherwise. Another override takes the place of the one before.
typedef struct {
    const char *override;                      // identifier, the writer's
    const char *variant, *implement, *setting; // NULL: the usual one, body weight, the first
    const char *reason;                        // not empty
} thew_other_load;
///   refusal   "/variant", "/implement", "/setting", "/reason", "/override"
thew_verdict thew_propose_override(thew_studio *studio, const thew_actor *actor, const char *advice, const thew_other_load *choice,
                                   thew_refusal *refusal);

/// Back to open. THEW_DONE_BEFORE if it is; THEW_CONFLICT once a set was done.
thew_verdict thew_propose_undo(thew_studio *studio, const char *advice, thew_refusal *refusal);

/// Say of every advice for a person on a day what the sets on record make of it: for record.h, within its transaction.
THEW_STORE_MUST_USE thew_store_status thew_propose_settle(thew_studio *studio, const char *person, thew_day day);

#endif
