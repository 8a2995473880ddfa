// check_in.h: how somebody comes to a day, and what follows from it: train, train lighter, not today, ask first.
// Knows the safety rules that are looked at before a day (catalogue/records/day_questions.json, fatigue, heat). Leaves to others:
// the screening of a whole programme, what happens within a set.
//
// The verdict is advice. A clinician's word stands above it.
#ifndef THEW_STUDIO_CHECK_IN_H
#define THEW_STUDIO_CHECK_IN_H

#include "store/checkin.h"
#include "studio/record.h"
#include "studio/set_up.h"

/// In order of weight: the heaviest finding decides.
typedef enum { THEW_GO, THEW_LIGHTER, THEW_NOT_TODAY, THEW_ASK_FIRST } thew_day_verdict;

/// "go", "lighter", "not_today", "ask_first".
const char *thew_day_verdict_word(thew_day_verdict verdict);

/// What the rules say of a check-in.
typedef struct {
    thew_day_verdict verdict;
    bool has_heat;
    double heat_index_c;
    GPtrArray *words; // owned sentences: what was found, and what to do
} thew_day_finding;

/// Judge a check-in as it would be kept. Nothing is read or written.
///   usual_fatigue    the person's own, 0 to 10; negative: not known
thew_day_finding *thew_check_in_judge(const thew_store_checkin *checkin, const thew_settings *settings, bool heat_sensitive,
                                      double usual_fatigue);
void thew_day_finding_free(thew_day_finding *finding);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_day_finding, thew_day_finding_free)

/// Keep check-ins; as thew_record_sets, with "/check_ins/0/fatigue". Heat index and verdict are made here, whatever is given.
///   checkin   [count]; answers: a JSON object of question to answer, or NULL
///   result    out [count]
thew_verdict thew_check_in(thew_studio *studio, const thew_actor *actor, const thew_store_checkin *checkin, guint count,
                           thew_record_result *result, thew_refusal *refusal);

typedef struct {
    const thew_store_checkin *checkin; // with heat index and verdict as they were found then
    bool current;
    const char *const *words; // NULL-terminated: what was found, as far as it can still be told
} thew_checkin_row;

typedef struct {
    GArray *row; // thew_checkin_row
    thew_rows *kept;
    GPtrArray *lists;
} thew_checkin_list;

/// A person's check-ins, newest first.
thew_verdict thew_check_in_read(thew_studio *studio, const char *person, bool history, thew_checkin_list **list,
                                thew_refusal *refusal);
void thew_checkin_list_free(thew_checkin_list *list);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_checkin_list, thew_checkin_list_free)

#endif
