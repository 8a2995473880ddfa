// account.h: who may come in: accounts, whom they may see, one-time links, devices, sessions.
// Knows what is kept. Leaves to others: passwords and tokens (they come as hashes and digests), what a role may do, the time.
#ifndef THEW_STORE_ACCOUNT_H
#define THEW_STORE_ACCOUNT_H

#include "store/query.h"

typedef struct {
    const char *account;       // identifier
    const char *login;         // unique in the studio
    const char *password_hash; // Argon2id text; NULL: cannot log in by password
    const char *role;          // "coach", "assistant", "participant", "helper", "clinician"
    const char *called;
    const char *person; // who a participant's account is of; NULL otherwise
    thew_utc made_us, closed_us;
} thew_store_account;

/// Whom a helper or a clinician may see.
typedef struct {
    const char *account, *person;
    thew_date until_day; // all-zero: without end
} thew_store_sight;

/// A link that works once.
typedef struct {
    const char *invitation; // digest of its secret
    const char *account;
    thew_utc made_us, ends_us, used_us;
} thew_store_invitation;

typedef struct {
    const char *device; // identifier, made on it
    const char *account, *person;
    const char *called;
    thew_utc made_us, seen_us;
} thew_store_device;

typedef struct {
    const char *session; // digest of its token
    const char *account, *device;
    thew_utc made_us, seen_us, ends_us;
} thew_store_session;

/// Make or change (when it was made stays). A login that another account has is THEW_STORE_REFUSED.
THEW_STORE_MUST_USE thew_store_status thew_store_account_put(thew_db *db, const char *studio, const thew_store_account *account);
/// One row of thew_store_account, closed ones too, or THEW_STORE_NOT_FOUND.
THEW_STORE_MUST_USE thew_store_status thew_store_account_find(thew_db *db, const char *studio, const char *account,
                                                              thew_rows **rows);
THEW_STORE_MUST_USE thew_store_status thew_store_account_by_login(thew_db *db, const char *studio, const char *login,
                                                                  thew_rows **rows);
/// With its devices, sessions and links. To close one (closed_us) keeps it to be named; a person's own goes with the person by
/// itself, a helper's does not.
THEW_STORE_MUST_USE thew_store_status thew_store_account_remove(thew_db *db, const char *studio, const char *account);
THEW_STORE_MUST_USE thew_store_status thew_store_account_all(thew_db *db, const char *studio, thew_rows **rows);

THEW_STORE_MUST_USE thew_store_status thew_store_sight_put(thew_db *db, const char *studio, const thew_store_sight *sight);
THEW_STORE_MUST_USE thew_store_status thew_store_sight_end(thew_db *db, const char *studio, const char *account,
                                                           const char *person);
/// Rows of thew_store_sight: of an account; of a person.
THEW_STORE_MUST_USE thew_store_status thew_store_sight_of(thew_db *db, const char *studio, const char *account, thew_rows **rows);
THEW_STORE_MUST_USE thew_store_status thew_store_sight_on(thew_db *db, const char *studio, const char *person, thew_rows **rows);

THEW_STORE_MUST_USE thew_store_status thew_store_invitation_add(thew_db *db, const char *studio,
                                                                const thew_store_invitation *invitation);
/// One row of thew_store_invitation, used or not.
THEW_STORE_MUST_USE thew_store_status thew_store_invitation_find(thew_db *db, const char *studio, const char *invitation,
                                                                 thew_rows **rows);
/// Use it up: THEW_STORE_NOT_FOUND if there is none, if it was used before or has ended. Of two who try at once one succeeds.
THEW_STORE_MUST_USE thew_store_status thew_store_invitation_use(thew_db *db, const char *studio, const char *invitation,
                                                                thew_utc now);

/// Rows of thew_store_invitation of an account, oldest first, used ones too.
THEW_STORE_MUST_USE thew_store_status thew_store_invitation_of(thew_db *db, const char *studio, const char *account,
                                                               thew_rows **rows);
/// None of an account's that were not used is good any more.
THEW_STORE_MUST_USE thew_store_status thew_store_invitation_end_all(thew_db *db, const char *studio, const char *account,
                                                                    thew_utc now);

THEW_STORE_MUST_USE thew_store_status thew_store_device_put(thew_db *db, const char *studio, const thew_store_device *device);
THEW_STORE_MUST_USE thew_store_status thew_store_device_find(thew_db *db, const char *studio, const char *device, thew_rows **rows);
THEW_STORE_MUST_USE thew_store_status thew_store_device_all(thew_db *db, const char *studio, thew_rows **rows);
/// Its sessions end with it.
THEW_STORE_MUST_USE thew_store_status thew_store_device_remove(thew_db *db, const char *studio, const char *device);

THEW_STORE_MUST_USE thew_store_status thew_store_session_add(thew_db *db, const char *studio, const thew_store_session *session);
/// One row of thew_store_session that has not ended by then.
THEW_STORE_MUST_USE thew_store_status thew_store_session_find(thew_db *db, const char *studio, const char *session, thew_utc now,
                                                              thew_rows **rows);
/// It was seen, and goes on until then.
THEW_STORE_MUST_USE thew_store_status thew_store_session_seen(thew_db *db, const char *studio, const char *session, thew_utc now,
                                                              thew_utc ends_us);
THEW_STORE_MUST_USE thew_store_status thew_store_session_end(thew_db *db, const char *studio, const char *session);
/// All of an account, as when its password changes.
THEW_STORE_MUST_USE thew_store_status thew_store_session_end_all(thew_db *db, const char *studio, const char *account);
/// Those that had ended by then are forgotten.
THEW_STORE_MUST_USE thew_store_status thew_store_session_sweep(thew_db *db, const char *studio, thew_utc now);

#endif
