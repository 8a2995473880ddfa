// coach.h: how loads are chosen in the demo studio: by hand and on paper, as common practice has it (no source).
// Knows a short list of coarse steps for each exercise and the rule: heavier after a completed set, lighter after one that ended
// early. Leaves to others: what a step really asks of anybody (bench/simulate.h). It never looks at what thew would advise.
#ifndef THEW_DEMO_COACH_H
#define THEW_DEMO_COACH_H

#include "bench/simulate.h"
#include "studio/fit.h"

/// The steps of one exercise that a coach keeps in mind: each implement in a few settings, from the lightest, no two closer than 20
/// %. Where there is no implement, the variants themselves are the steps. Pairs of bands are not used.
///   variant   NULL: the usual one
///   returns   const thew_fitted *, borrowed from the ladder; may be empty
GPtrArray *coach_steps(const thew_ladder *ladder, const thew_variant *variant);

/// The next step after a set as it was written down.
///   step         of the set
///   step_count   at least 1
///   days_since   since the set before
int coach_next_step(int step, int step_count, const sim_outcome *written, int days_since);

#endif
