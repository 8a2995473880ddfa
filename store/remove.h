// remove.h: everything that is kept of a person, gone.
// Knows that every table which holds a person refers to `person` and goes with it, and makes sure. Leaves to others: the export
// before it, who may ask for it (studio/); backups made earlier, which still hold them.
#ifndef THEW_STORE_REMOVE_H
#define THEW_STORE_REMOVE_H

#include "store/db.h"

/// Remove a person and all that is theirs: diary, kit, account, device, the log of who looked. Afterwards every table that, by the
/// database's own schema, has a column `person` is asked whether it still knows them; if one does, nothing is removed.
///   status   THEW_STORE_NOT_FOUND, THEW_STORE_BUG (a table kept them, or is not known to this program)
THEW_STORE_MUST_USE thew_store_status thew_store_remove_person(thew_db *db, const char *studio, const char *person);

/// To be called after the commit, outside a transaction: no trace stays in the files. What was deleted is overwritten in the
/// database itself; here the log, which still holds the pages as they were, is emptied.
///   status   THEW_STORE_TRACES: a reader holds the log; ask again when it is done
THEW_STORE_MUST_USE thew_store_status thew_store_remove_traces(thew_db *db);

#endif
