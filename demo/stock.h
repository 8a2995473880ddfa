// stock.h: the demo studio as a studio's file: its people screened, its kit measured, half a year of diary taken in as a coach's
// files are, outcome measures, two classes, training blocks, advice that waits; and a coach who can come in. Knows what is made up
// beyond the files, and that the studio says of itself that it is invented. Leaves to others: people, sets and days (play.h), every
// rule of the work (studio/).
#ifndef THEW_DEMO_STOCK_H
#define THEW_DEMO_STOCK_H

#include "studio/studio.h"

#define STOCK_LOGIN "demo-coach"

/// Make it.
///   path       not there yet
///   seed       the same gives the same studio, but for identifiers, the password, and its days: they are moved by whole weeks, so
///   that
///              the last ones are of the week before today
///   password   out: newly allocated, of STOCK_LOGIN; kept nowhere
///   verdict    THEW_CONFLICT: there is such a file; else as of the use case that failed: then nothing stays
thew_verdict stock_make(const char *path, const thew_catalogue *catalogue, uint64_t seed, char **password, thew_refusal *refusal);

#endif
