// inspect.h: is all that is kept whole and free of contradictions?
// Knows what has to hold, beyond what the database itself makes sure of. Leaves to others: what to do about it.
#ifndef THEW_STORE_INSPECT_H
#define THEW_STORE_INSPECT_H

#include "store/db.h"

/// Look at everything, also in a database that thew_store_open refuses as damaged (then opened by thew_db_open): the file's
/// integrity; every reference; every record against its digest; no record replaced twice; revisions, versions and places without
/// gaps and repeats; no belief ahead of what is known; odds that sum to one.
///   finding   out: newly allocated sentences, each about one thing; empty if all is well
///   status    THEW_STORE_OK though there be findings; a failure only if it could not be looked at
THEW_STORE_MUST_USE thew_store_status thew_store_inspect(thew_db *db, GPtrArray **finding);

#endif
