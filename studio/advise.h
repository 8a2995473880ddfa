// advise.h: the next load of each of a person's exercises, from all that was written down.
// Knows the whole way: kit and body to ladder, diary to belief, belief to choice, and the earliest good day. Leaves to others: files,
// tables, screens, the sentence (words.h); and the decision.
#ifndef THEW_STUDIO_ADVISE_H
#define THEW_STUDIO_ADVISE_H

#include "engine/advice.h"
#include "studio/belief.h"
#include "studio/fit.h"

/// Advice for one exercise on one side.
typedef struct {
    const thew_exercise *exercise;
    thew_side side;
    const thew_ladder *ladder;       // every rung of every variant
    const thew_variant *variant;     // the one that is done: as last time, or the usual one
    guint first, count;              // its rungs within the ladder; count 0: the kit has nothing that fits, no advice
    thew_odds *odds;                 // [count]
    thew_advice advice;              // indices count from `first`
    bool outside_endurance;          // the load lies where the endurance curve is not known well
    const thew_fitted *take, *last, *better; // rungs of the advice, of the last set, and the one that was held back; or NULL
    const thew_fitted *if_completed, *if_early; // what would be advised next after a completed set, and after one ended half way to
                                                // the window; NULL if that is the same rung
    const thew_variant *other;       // regression or progression, where the ladder is used up; or NULL
    int record_count;                // sets on record for this exercise and side
    thew_day last_day;               // THEW_NO_DAY: none
    thew_day earliest;               // earliest good day
} thew_advised;

/// One person's advice.
typedef struct {
    thew_day on;
    thew_endpoint endpoint;
    GPtrArray *ladder;   // owned: thew_ladder
    GArray *advised;     // thew_advised; exercises in the order asked for; of one, both sides together, then the weaker, then the other
    GPtrArray *note;     // owned strings: what was left out, and why
    GArray *set;         // thew_set: those that were taken in, in order of day
    GArray *set_entry;   // guint: the participant's entry behind each of them
    GArray *checkin;     // thew_checkin: those that were taken in; up to and after the day
    int record_count;    // sets that were taken in
    bool declined;       // a sudden decline was seen on the last day
    thew_capacity *capacity;
    thew_profile profile;
} thew_person_advice;

/// The task (window, tempo, endurance) behind an advice of this person's.
const thew_task *thew_advised_task(const thew_person_advice *person, const thew_advised *advised);
/// The seconds to aim at: for sets to failure the engine's goal, or the window's close where the set will more likely than not get there;
/// for sets that stop in reserve, a repetition or two before failure is likely, and never after the window's close.
double thew_advised_aim_s(const thew_person_advice *person, const thew_advised *advised);
/// Half way between floor and window: the early end that `if_early` supposes.
double thew_advised_early_s(const thew_task *task);

/// What lies further back than this from the next record, or from the day asked for, says nothing any more (mostly it is a wrong date): the
/// belief starts anew. What a break costs is known for months only (judgement).
#define THEW_FORGOTTEN_DAYS (3 * 365)
bool thew_advise_is_forgotten(thew_day before, thew_day now);
/// Whether a belief is made of numbers.
bool thew_advise_is_sound(const thew_capacity *capacity);
/// Whether a belief saw a sudden decline on its day.
bool thew_advise_declined(const thew_capacity *capacity);

/// Advise for a day, from what was recorded up to and on it.
///   returns   never NULL; everything that could not be used is in its notes
thew_person_advice *thew_advise_person(const thew_catalogue *catalogue, const thew_participant *participant, thew_day on);
/// The same, going on from what is believed already (belief.h): exactly the same advice, sooner.
///   belief   in and out; NULL: none
thew_person_advice *thew_advise_from(const thew_catalogue *catalogue, const thew_participant *participant, thew_day on,
                                     thew_belief *belief);
void thew_person_advice_free(thew_person_advice *advice);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_person_advice, thew_person_advice_free)

#endif
