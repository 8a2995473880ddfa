// believe.h: what is believed of each person, kept up to date beside the diary: the belief itself, and where they stand.
// Knows that both are a cache that follows the diary, and can be dropped and made again, bit for bit. Leaves to others: the belief
// (belief.h), what is advised (propose.h), who needs looking at (watch.h).
#ifndef THEW_STUDIO_BELIEVE_H
#define THEW_STUDIO_BELIEVE_H

#include "store/standing.h"
#include "studio/advise.h"
#include "studio/know.h"

/// Advice for a person on a day from what is kept, going on from the belief that is. Exactly what thew_advise_person says.
/// Writes nothing.
thew_person_advice *thew_believe_advise(const thew_studio *studio, const thew_knowledge *knowledge, thew_day on);

/// Bring one person's belief and standing up to date in the store. Part of the caller's transaction if one is open, else one of its
/// own.
///   returns   THEW_DONE, THEW_DONE_BEFORE (it was), THEW_ABSENT, THEW_UNABLE
thew_verdict thew_believe(thew_studio *studio, const char *person, thew_refusal *refusal);

/// The same for those whose belief is behind, at most so many, a transaction each.
///   left   out: how many stay behind; may be NULL
thew_verdict thew_believe_stale(thew_studio *studio, guint at_most, guint *left, thew_refusal *refusal);

/// The same for a moment: two of them, and more until so many milliseconds are over. The rest stays for the next time.
thew_verdict thew_believe_a_moment(thew_studio *studio, int milliseconds, thew_refusal *refusal);

/// Drop everybody's and make it again.
///   progress   told after each person; may be NULL
typedef void (*thew_believe_told)(void *user, guint done, guint of);
thew_verdict thew_rebuild(thew_studio *studio, thew_believe_told progress, void *user, guint *count, thew_refusal *refusal);

#endif
