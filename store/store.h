// store.h: a studio's store, opened with its tables as this program knows them.
// Start here. Knows how the parts go together. Leaves to others: everything else.
//
//   db.h, query.h, map.h   a database: transactions, statements, structs as rows
//   migrate.h              its tables, version by version (migrations/*.sql describes every column)
//   entry.h                what diary, check-ins and outcome measures have in common: they are only ever added to
//   studio, account, person, kit, addition, diary, checkin, outcome, class, run, block, advice, belief, access
//                          a subject each: its struct, its statements
//   remove.h               everything that is kept of a person, gone
//   backup.h, inspect.h    a verified copy; is all well?
//
// Everywhere: the studio's identifier is part of every key, so one database can hold many, and studios can be spread over many.
// Identifiers are made by whoever writes (text, up to 64 characters). Words of closed lists are texts that the tables check.
// Texts given are only read during the call; what is read comes with its texts as thew_rows.
#ifndef THEW_STORE_STORE_H
#define THEW_STORE_STORE_H

#include "store/db.h"

/// Open a store. For writing, its tables are brought up to date first; for reading they have to be.
///   db       out: never NULL; after a failure good for its sentence only. Close it in either case.
///   status   those of thew_db_open, thew_migrate and thew_migrate_check
THEW_STORE_MUST_USE thew_store_status thew_store_open(const char *path, thew_db_mode mode, thew_db **db);

#endif
