// know.h: everything that the store has of one person who trains, as the engine's neighbours want it.
// Knows how rows become a participant: whose kit is whose, which readings make a band's curve, what is current. Leaves to others:
// what follows from it (advise.h, believe.h), people who do not train (accounts).
#ifndef THEW_STUDIO_KNOW_H
#define THEW_STUDIO_KNOW_H

#include "store/checkin.h"
#include "store/diary.h"
#include "store/kit.h"
#include "store/person.h"
#include "studio/participant.h"
#include "studio/set_up.h"

/// One person. Owns all that the participant points at.
typedef struct {
    thew_participant participant;
    const thew_store_person *person; // as kept; its revision is what all this stands for
    thew_settings settings;
    thew_rows *set;     // thew_store_set: current, in the order of participant.entry
    thew_rows *checkin; // thew_store_checkin: current, in the order of participant.checkin
    GPtrArray *note;    // owned strings: pieces of kit that could not be used, and why
    // what the above lives in
    thew_rows *people, *item, *reading, *choice, *limit;
    GPtrArray *caution, *exercise;
} thew_knowledge;

/// Read one person, all of one moment.
///   knowledge   out: NULL unless THEW_DONE
///   returns     THEW_DONE, THEW_ABSENT, THEW_UNABLE
thew_verdict thew_know(thew_studio *studio, const char *person, thew_knowledge **knowledge, thew_refusal *refusal);
void thew_knowledge_free(thew_knowledge *knowledge);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_knowledge, thew_knowledge_free)

/// The record behind an entry of the participant's.
const char *thew_know_record(const thew_knowledge *knowledge, guint entry);

/// The band of an item: the curve through the readings of its latest measuring; its step on the ladder where it was never measured.
///   reading   rows of thew_store_reading of this item and of others
///   status    as thew_band_fit
thew_status thew_know_band(const thew_store_item *item, const thew_rows *reading, thew_band *band);

/// Words of the store as the engine's, and back; what is unknown is the default of files (no condition, to failure, both sides).
thew_side thew_know_side(const char *word);
thew_ended thew_know_ended(const char *word);
/// Whether a word is one of the list, and so may be kept.
bool thew_know_is_side(const char *word);
bool thew_know_is_ended(const char *word);

/// "green + blue, mark-2"; "body weight": what was done, by the names that a set gives. Newly allocated.
char *thew_know_label(const char *implement, const char *setting);

#endif
