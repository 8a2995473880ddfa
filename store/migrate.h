// migrate.h: from any earlier version's tables to this one's.
// Knows numbered migrations, which of them a database went through, and when to refuse it. Leaves to others:
// what they do (migrations/).
//
// A migration is a file, NNNN_what.sql, numbered from 0001 without gaps, embedded in the program. Once released it is never
// changed: table `migration` keeps each one's SHA-256, and a database that went through another text of it is refused. So is one
// whose tables are not as the last one left them (its SHA-256 over all definitions says so): bent, or changed by hand. All that are
// missing run in one transaction: a database is at a version, never between two. While they run, foreign keys do not hold (a table
// can be rebuilt under its references); before the commit everything is checked.
//
// For PostgreSQL the same files, four words apart: INTEGER is BIGINT, REAL is DOUBLE PRECISION, BLOB is BYTEA, STRICT is nothing.
// So in these files they are written in capitals, and stand for nothing else.
#ifndef THEW_STORE_MIGRATE_H
#define THEW_STORE_MIGRATE_H

#include "store/db.h"
#include "tools/embedded.h"

/// The migrations in the program, in order.
const thew_embedded *thew_migrations(size_t *count);

/// Run what is missing.
///   file     [count], in order
///   status   THEW_STORE_NEWER, _ALTERED, _DAMAGED, _BUG (the migration does not run), and whatever the disk says;
///            unchanged on failure
THEW_STORE_MUST_USE thew_store_status thew_migrate(thew_db *db, const thew_embedded *file, size_t count);
/// For a database that is only looked at: all must have run.
///   status   THEW_STORE_NEWER, _OLDER, _ALTERED, _DAMAGED
THEW_STORE_MUST_USE thew_store_status thew_migrate_check(thew_db *db, const thew_embedded *file, size_t count);

#endif
