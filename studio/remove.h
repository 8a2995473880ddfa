// remove.h: removing a person and all that is kept of them, for good.
// Knows what has to be so before: an export since their last record, and the name typed once more. Leaves to others: the export,
// backups made earlier.
#ifndef THEW_STUDIO_REMOVE_H
#define THEW_STUDIO_REMOVE_H

#include "studio/studio.h"

/// What thew_note_access is told when a person's records are handed out (admit.h).
#define THEW_ACTION_EXPORT "export"

/// Remove a person: diary, kit, blocks, advice, belief, screening, account, the log of who looked. The accounts of helpers and
/// clinicians who then have nobody left to see are closed. That somebody was removed is noted, without saying whom.
///   called    typed once more; must be what they are called
///   traces    out: whether traces may remain in the file's log because somebody is reading an earlier state; ask again by
///             thew_remove_traces. May be NULL
///   verdict   THEW_ABSENT; THEW_INVALID ("/called"); THEW_CONFLICT: nothing was exported since their last record
thew_verdict thew_remove_person(thew_studio *studio, const thew_actor *actor, const char *person, const char *called, bool *traces,
                                thew_refusal *refusal);
/// Empty the log of what was removed.
///   verdict   THEW_DONE; THEW_UNABLE: somebody is reading still
thew_verdict thew_remove_traces(thew_studio *studio, thew_refusal *refusal);

/// The instant of the newest thing that is kept of a person: what an export has to be later than. 0: nothing.
thew_store_status thew_remove_last_kept(thew_studio *studio, const char *person, thew_utc *last);

#endif
