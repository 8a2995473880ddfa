// studio.h: a studio that is open: what every use case works on.
// Knows the store, the catalogue and the clock as one thing. Leaves to others: what is done with them (a file a use case).
//
// A thew_studio serves one thread at a time; threads open their own and share the catalogue, which never changes.
// Start here: advise.h, record.h, then the other verbs.
#ifndef THEW_STUDIO_H
#define THEW_STUDIO_H

#include "catalogue/catalogue.h"
#include "engine/capacity.h"
#include "store/db.h"
#include "store/map.h"
#include "studio/refusal.h"

/// What the engine's estimates are kept under: a belief of another version is made anew.
#define THEW_ENGINE_VERSION "2"

typedef struct {
    thew_db *db;
    const thew_catalogue *catalogue;
    char *id;        // the studio's identifier
    char *called;
    GTimeZone *zone; // where its days begin
    struct thew_demand_memo *memo; // what loads ask of bodies, as far as it was computed (demand_memo.h)
    thew_utc clock_us; // the instant that it is; 0: the system's clock. Tests and the demo set it
} thew_studio;

/// Who asks, as it is written beside what they write.
typedef struct {
    const char *account; // identifier; "cli" for the command line
    const char *device;  // NULL: none
} thew_actor;

/// Make a studio in a new file.
///   path      not there yet, or empty of studios
///   zone      of the tz database; NULL: the system's
thew_verdict thew_studio_make(const char *path, const char *called, const char *zone, const char *language, thew_refusal *refusal);

/// Open the one studio of a file.
///   catalogue   stays the caller's, and must outlive it
///   studio      out: NULL unless THEW_DONE
thew_verdict thew_studio_open(const char *path, thew_db_mode mode, const thew_catalogue *catalogue, thew_studio **studio,
                              thew_refusal *refusal);
/// Remember what loads ask of bodies together with others: threads of one catalogue, each with its own studio.
void thew_studio_remember_in(thew_studio *studio, struct thew_demand_memo *memo);
void thew_studio_close(thew_studio *studio);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_studio, thew_studio_close)

/// The instant that it is, and the day in the studio's zone.
thew_utc thew_studio_now(const thew_studio *studio);
thew_day thew_studio_today(const thew_studio *studio);
/// The day of an instant in the studio's zone.
thew_day thew_studio_day(const thew_studio *studio, thew_utc at);

/// A day as the store's date, and back; all-zero is THEW_NO_DAY.
thew_date thew_studio_date(thew_day day);
thew_day thew_studio_number(thew_date date);

/// A new random identifier (RFC 9562 version 4). Newly allocated.
char *thew_studio_identifier(void);

#endif
