// admit.h: who comes in: accounts, one-time links, passwords, sessions, whom an account may see, and the note of who looked.
// Knows secrets and how they are kept: passwords as Argon2id, tokens and links as digests only. Leaves to others: what a role may
// do (may.h), cookies and addresses (serve/).
#ifndef THEW_STUDIO_ADMIT_H
#define THEW_STUDIO_ADMIT_H

#include "store/access.h"
#include "store/account.h"
#include "studio/may.h"
#include "studio/studio.h"

#define THEW_SECRET_TEXT 44 // bytes of a link's secret or a session's token: 256 bits in URL-safe base64, with its end
#define THEW_IDENTIFIER_TEXT 65
#define THEW_INVITATION_DAYS 7
#define THEW_SESSION_DAYS 14     // without being seen, a session ends
#define THEW_SESSION_DAYS_MAX 90 // seen or not
#define THEW_PASSWORD_MIN 10     // characters
#define THEW_PASSWORD_MAX 200

/// To be called once before anything else here.
///   returns   false if there is no source of randomness
bool thew_admit_ready(void);

// --- who somebody is -------------------------------------------------------------------------------------------------------------

/// Somebody who has come in.
typedef struct {
    char *account, *login, *called;
    char *person; // a participant's own; NULL
    thew_role role;
    GArray *sight;                     // thew_store_sight: whom a helper or clinician may see, until when
    char csrf_token[THEW_SECRET_TEXT]; // of this session
    bool is_to_be_seen;                // see thew_admit_session
    thew_rows *held;
} thew_visitor;
void thew_visitor_free(thew_visitor *visitor);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_visitor, thew_visitor_free)

/// Whose records a person's are to a visitor, on a day. NULL: the studio's.
thew_whose thew_visitor_whose(const thew_visitor *visitor, const char *person, thew_day today);
/// Whether they may.
///   person   NULL: no person's
bool thew_visitor_may(const thew_visitor *visitor, thew_act act, const char *person, thew_day today);
/// The same with a sentence.
///   verdict   THEW_DONE or THEW_FORBIDDEN
thew_verdict thew_visitor_require(const thew_visitor *visitor, thew_act act, const char *person, thew_day today,
                                  thew_refusal *refusal);

// --- coming in -------------------------------------------------------------------------------------------------------------------

/// Failed logins of late, in memory: the caller's, shared by threads. After five in a row for a login, or twenty from an address (a
/// whole studio may come from one), each further try has to wait, twice as long each time, a quarter of an hour at most. After an
/// hour without any, all is forgotten.
typedef struct thew_throttle thew_throttle;
thew_throttle *thew_throttle_new(void);
void thew_throttle_free(thew_throttle *throttle);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_throttle, thew_throttle_free)

/// What came of it.
typedef struct {
    char token[THEW_SECRET_TEXT]; // for the cookie; "" unless THEW_DONE
    thew_utc ends_us;             // of the session
    int wait_s;                   // above 0: too many tries; nothing was looked at
    thew_visitor *visitor;        // owned; NULL unless THEW_DONE
} thew_admitted;
void thew_admitted_clear(thew_admitted *admitted);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(thew_admitted, thew_admitted_clear)

/// Log in by password. A tenth of a second of work, so not to be done while others wait for this studio's handle. Takes as long
/// whether there is such a login or not, and says the same whatever was wrong.
///   address    of the other end, for the throttle; NULL: none
///   verdict    THEW_DONE, THEW_FORBIDDEN (see wait_s)
thew_verdict thew_admit_login(thew_studio *studio, thew_throttle *throttle, const char *login, const char *password,
                              const char *address, thew_admitted *admitted, thew_refusal *refusal);
/// Who a session's token belongs to. A session goes on from when it was last seen; that is written every few minutes only, and only
/// where the studio is open for writing: else visitor->is_to_be_seen says that somebody who writes should call this once.
///   visitor    out: NULL unless THEW_DONE
///   verdict    THEW_DONE, THEW_FORBIDDEN
thew_verdict thew_admit_session(thew_studio *studio, const char *token, thew_visitor **visitor, thew_refusal *refusal);
/// Whether a request bears the session's own token against forged requests. Constant time.
bool thew_admit_csrf_matches(const thew_visitor *visitor, const char *given);
/// End a session. Harmless if there is none.
thew_verdict thew_admit_logout(thew_studio *studio, const char *token, thew_refusal *refusal);
/// Change one's password; the account's other sessions end.
///   token      of the session that stays; NULL: none does
///   verdict    THEW_INVALID: "/old" is wrong, "/new" is too short, ...; wait_s as for a login
thew_verdict thew_admit_password(thew_studio *studio, thew_throttle *throttle, const thew_visitor *visitor, const char *token,
                                 const char *old_password, const char *new_password, int *wait_s, thew_refusal *refusal);

// --- one-time links --------------------------------------------------------------------------------------------------------------

/// A link to hand over: its secret is told once and kept as a digest only.
typedef struct {
    char account[THEW_IDENTIFIER_TEXT];
    char secret[THEW_SECRET_TEXT];
    thew_utc ends_us;
} thew_link;

/// What a link is for.
typedef struct {
    char *login, *called; // login NULL: to be chosen
    thew_role role;
} thew_link_purpose;
void thew_link_purpose_clear(thew_link_purpose *purpose);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(thew_link_purpose, thew_link_purpose_clear)

///   verdict    THEW_DONE; THEW_ABSENT: no such link, used, ended, or the account is closed
thew_verdict thew_admit_link(thew_studio *studio, const char *secret, thew_link_purpose *purpose, thew_refusal *refusal);
/// Use it up: choose login, password and what to be called, and come in. The account's sessions until then end.
///   verdict    THEW_ABSENT as above; THEW_INVALID: "/password", "/login", "/called"; THEW_CONFLICT: the login is taken (the link
///   stays good)
thew_verdict thew_admit_by_link(thew_studio *studio, const char *secret, const char *login, const char *password,
                                const char *called, thew_admitted *admitted, thew_refusal *refusal);

// --- accounts --------------------------------------------------------------------------------------------------------------------

typedef struct {
    const char *account; // identifier
    const char *login;
    const char *role, *called;
    const char *person;           // a participant's; NULL otherwise
    const thew_store_sight *sees; // [sees_count], whom a helper or clinician may see; their `account` is not looked at
    guint sees_count;
} thew_account_given;

typedef struct {
    thew_store_account account;   // password_hash is never shown: NULL here
    bool invited;                 // has no password yet, and a link that is good
    const thew_store_sight *sees; // [sees_count]
    guint sees_count;
} thew_account_shown;
typedef struct {
    GArray *account; // thew_account_shown, by login
    GPtrArray *held;
} thew_accounts;
void thew_accounts_free(thew_accounts *accounts);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_accounts, thew_accounts_free)

/// Make an account, with a link for its owner.
///   verdict   THEW_INVALID ("/login", "/role", "/person", "/sees/0/person", "/sees/0/until_day"); THEW_CONFLICT (the identifier or
///   the login is taken)
thew_verdict thew_admit_make(thew_studio *studio, const thew_actor *actor, const thew_account_given *given, thew_link *link,
                             thew_refusal *refusal);
/// A new link, as for a forgotten password: older ones are good no more, the password is until the link is used.
thew_verdict thew_admit_invite(thew_studio *studio, const thew_actor *actor, const char *account, thew_link *link,
                               thew_refusal *refusal);
/// Close an account; its sessions end. The last coach's cannot be closed (THEW_CONFLICT).
thew_verdict thew_admit_close(thew_studio *studio, const thew_actor *actor, const char *account, thew_refusal *refusal);
/// Whom a helper or clinician may see, in place of before: "/sees/0/person", ...
thew_verdict thew_admit_sights(thew_studio *studio, const thew_actor *actor, const char *account, const thew_store_sight *sees,
                               guint count, thew_refusal *refusal);
thew_verdict thew_admit_list(thew_studio *studio, thew_accounts **accounts, thew_refusal *refusal);

/// The first coach's link: makes the account "coach" in a studio that has no coach who can come in.
///   verdict   THEW_CONFLICT: there is one
thew_verdict thew_admit_first_coach(thew_studio *studio, const char *called, thew_link *link, thew_refusal *refusal);
/// Whether anybody can come in at all: a coach with a password.
thew_store_status thew_admit_has_coach(thew_studio *studio, bool *has);

// --- who looked ------------------------------------------------------------------------------------------------------------------

/// Note in the log, in a transaction of its own.
///   person   whose records; NULL: nobody's
///   action   "read", "export", "change", ...
///   what     names no person
thew_verdict thew_note_access(thew_studio *studio, const thew_actor *actor, const char *person, const char *action,
                              const char *what, thew_refusal *refusal);
/// The same inside a transaction that is open.
thew_store_status thew_note_access_within(thew_studio *studio, const thew_actor *actor, const char *person, const char *action,
                                          const char *what);

typedef struct {
    thew_store_access access;
    const char *account_called; // NULL: nobody known, or gone
} thew_access_shown;
typedef struct {
    GArray *entry; // thew_access_shown, newest first
    GPtrArray *held;
} thew_access_log;
void thew_access_log_free(thew_access_log *log);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_access_log, thew_access_log_free)

/// Who looked: about a person, or all (person NULL), at most `count` (1 to 1000).
thew_verdict thew_admit_access(thew_studio *studio, const char *person, int count, thew_access_log **log, thew_refusal *refusal);

#endif
