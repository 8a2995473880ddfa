// account.c: see account.h.
#include "store/account.h"

#include "store/statements.h"

#define ACCOUNT "account, login, password_hash, role, called, person, made_us, closed_us"
#define INVITATION "invitation, account, made_us, ends_us, used_us"
#define DEVICE "device, account, person, called, made_us, seen_us"
#define SESSION "session, account, device, made_us, seen_us, ends_us"

enum {
    PUT,
    FIND,
    BY_LOGIN,
    ALL,
    REMOVE,
    SIGHT_PUT,
    SIGHT_END,
    SIGHT_OF,
    SIGHT_ON,
    INVITATION_ADD,
    INVITATION_FIND,
    INVITATION_USE,
    INVITATION_OF,
    INVITATION_END_ALL,
    DEVICE_PUT,
    DEVICE_FIND,
    DEVICE_ALL,
    DEVICE_REMOVE,
    SESSION_ADD,
    SESSION_FIND,
    SESSION_SEEN,
    SESSION_END,
    SESSION_END_ALL,
    SESSION_SWEEP
};
static const thew_sql sql[] = {
    [PUT] = { "account.put",
              "INSERT INTO account (studio, " ACCOUNT ") VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9) "
              "ON CONFLICT (studio, account) DO UPDATE SET login = excluded.login, password_hash = excluded.password_hash, "
              "role = excluded.role, called = excluded.called, person = excluded.person, closed_us = excluded.closed_us" },
    [FIND] = { "account.find", "SELECT " ACCOUNT " FROM account WHERE studio = $1 AND account = $2" },
    [BY_LOGIN] = { "account.by_login", "SELECT " ACCOUNT " FROM account WHERE studio = $1 AND login = $2" },
    [ALL] = { "account.all", "SELECT " ACCOUNT " FROM account WHERE studio = $1 ORDER BY login" },
    [REMOVE] = { "account.remove", "DELETE FROM account WHERE studio = $1 AND account = $2" },
    [SIGHT_PUT] = { "account_person.put", "INSERT INTO account_person (studio, account, person, until_day) VALUES ($1, $2, $3, $4) "
                                          "ON CONFLICT (studio, account, person) DO UPDATE SET until_day = excluded.until_day" },
    [SIGHT_END] = { "account_person.end", "DELETE FROM account_person WHERE studio = $1 AND account = $2 AND person = $3" },
    [SIGHT_OF] = { "account_person.of",
                   "SELECT account, person, until_day FROM account_person WHERE studio = $1 AND account = $2 ORDER BY person" },
    [SIGHT_ON] = { "account_person.on",
                   "SELECT account, person, until_day FROM account_person WHERE studio = $1 AND person = $2 ORDER BY account" },
    [INVITATION_ADD] = { "invitation.add", "INSERT INTO invitation (studio, " INVITATION ") VALUES ($1, $2, $3, $4, $5, $6)" },
    [INVITATION_FIND] = { "invitation.find", "SELECT " INVITATION " FROM invitation WHERE studio = $1 AND invitation = $2" },
    [INVITATION_USE] = { "invitation.use", "UPDATE invitation SET used_us = $1 "
                                           "WHERE studio = $2 AND invitation = $3 AND used_us IS NULL AND ends_us > $1" },
    [INVITATION_OF] = { "invitation.of",
                        "SELECT " INVITATION " FROM invitation WHERE studio = $1 AND account = $2 ORDER BY made_us, invitation" },
    [INVITATION_END_ALL] = { "invitation.end_all",
                             "UPDATE invitation SET used_us = $1 WHERE studio = $2 AND account = $3 AND used_us IS NULL" },
    [DEVICE_PUT] = { "device.put",
                     "INSERT INTO device (studio, " DEVICE ") VALUES ($1, $2, $3, $4, $5, $6, $7) "
                     "ON CONFLICT (studio, device) DO UPDATE SET account = excluded.account, person = excluded.person, "
                     "called = excluded.called, seen_us = excluded.seen_us" },
    [DEVICE_FIND] = { "device.find", "SELECT " DEVICE " FROM device WHERE studio = $1 AND device = $2" },
    [DEVICE_ALL] = { "device.all", "SELECT " DEVICE " FROM device WHERE studio = $1 ORDER BY device" },
    [DEVICE_REMOVE] = { "device.remove", "DELETE FROM device WHERE studio = $1 AND device = $2" },
    [SESSION_ADD] = { "session.add", "INSERT INTO session (studio, " SESSION ") VALUES ($1, $2, $3, $4, $5, $6, $7)" },
    [SESSION_FIND] = { "session.find", "SELECT " SESSION " FROM session WHERE studio = $1 AND session = $2 AND ends_us > $3" },
    [SESSION_SEEN] = { "session.seen",
                       "UPDATE session SET seen_us = $1, ends_us = $2 WHERE studio = $3 AND session = $4 AND ends_us > $1" },
    [SESSION_END] = { "session.end", "DELETE FROM session WHERE studio = $1 AND session = $2" },
    [SESSION_END_ALL] = { "session.end_all", "DELETE FROM session WHERE studio = $1 AND account = $2" },
    [SESSION_SWEEP] = { "session.sweep", "DELETE FROM session WHERE studio = $1 AND ends_us <= $2" },
};
const thew_sql_list thew_account_sql = { sql, G_N_ELEMENTS(sql) };

static const thew_field account_fields[] = {
    THEW_FIELD(thew_store_account, account),       THEW_FIELD(thew_store_account, login),
    THEW_FIELD(thew_store_account, password_hash), THEW_FIELD(thew_store_account, role),
    THEW_FIELD(thew_store_account, called),        THEW_FIELD(thew_store_account, person),
    THEW_FIELD(thew_store_account, made_us),       THEW_FIELD(thew_store_account, closed_us),
};
static const thew_map account_map = THEW_MAP(thew_store_account, account_fields, G_N_ELEMENTS(account_fields));

static const thew_field sight_fields[] = {
    THEW_FIELD(thew_store_sight, account),
    THEW_FIELD(thew_store_sight, person),
    THEW_FIELD(thew_store_sight, until_day),
};
static const thew_map sight_map = THEW_MAP(thew_store_sight, sight_fields, G_N_ELEMENTS(sight_fields));

static const thew_field invitation_fields[] = {
    THEW_FIELD(thew_store_invitation, invitation), THEW_FIELD(thew_store_invitation, account),
    THEW_FIELD(thew_store_invitation, made_us),    THEW_FIELD(thew_store_invitation, ends_us),
    THEW_FIELD(thew_store_invitation, used_us),
};
static const thew_map invitation_map = THEW_MAP(thew_store_invitation, invitation_fields, G_N_ELEMENTS(invitation_fields));

static const thew_field device_fields[] = {
    THEW_FIELD(thew_store_device, device), THEW_FIELD(thew_store_device, account), THEW_FIELD(thew_store_device, person),
    THEW_FIELD(thew_store_device, called), THEW_FIELD(thew_store_device, made_us), THEW_FIELD(thew_store_device, seen_us),
};
static const thew_map device_map = THEW_MAP(thew_store_device, device_fields, G_N_ELEMENTS(device_fields));

static const thew_field session_fields[] = {
    THEW_FIELD(thew_store_session, session), THEW_FIELD(thew_store_session, account), THEW_FIELD(thew_store_session, device),
    THEW_FIELD(thew_store_session, made_us), THEW_FIELD(thew_store_session, seen_us), THEW_FIELD(thew_store_session, ends_us),
};
static const thew_map session_map = THEW_MAP(thew_store_session, session_fields, G_N_ELEMENTS(session_fields));

// --- accounts

thew_store_status thew_store_account_put(thew_db *db, const char *studio, const thew_store_account *account)
{
    return thew_query_put(db, &sql[PUT], THEW_KEYS(studio), &account_map, account);
}

thew_store_status thew_store_account_find(thew_db *db, const char *studio, const char *account, thew_rows **rows)
{
    return thew_query_one_for(db, &sql[FIND], THEW_KEYS(studio, account), &account_map, rows);
}

thew_store_status thew_store_account_by_login(thew_db *db, const char *studio, const char *login, thew_rows **rows)
{
    return thew_query_one_for(db, &sql[BY_LOGIN], THEW_KEYS(studio, login), &account_map, rows);
}

thew_store_status thew_store_account_all(thew_db *db, const char *studio, thew_rows **rows)
{
    return thew_query_rows_for(db, &sql[ALL], THEW_KEYS(studio), &account_map, rows);
}

thew_store_status thew_store_account_remove(thew_db *db, const char *studio, const char *account)
{
    gint64 changed;
    thew_store_status status = thew_query_run_for(db, &sql[REMOVE], THEW_KEYS(studio, account), &changed);
    return thew_query_found(db, &sql[REMOVE], status, changed);
}

// --- whom they may see

thew_store_status thew_store_sight_put(thew_db *db, const char *studio, const thew_store_sight *sight)
{
    return thew_query_put(db, &sql[SIGHT_PUT], THEW_KEYS(studio), &sight_map, sight);
}

thew_store_status thew_store_sight_end(thew_db *db, const char *studio, const char *account, const char *person)
{
    gint64 changed;
    thew_store_status status = thew_query_run_for(db, &sql[SIGHT_END], THEW_KEYS(studio, account, person), &changed);
    return thew_query_found(db, &sql[SIGHT_END], status, changed);
}

thew_store_status thew_store_sight_of(thew_db *db, const char *studio, const char *account, thew_rows **rows)
{
    return thew_query_rows_for(db, &sql[SIGHT_OF], THEW_KEYS(studio, account), &sight_map, rows);
}

thew_store_status thew_store_sight_on(thew_db *db, const char *studio, const char *person, thew_rows **rows)
{
    return thew_query_rows_for(db, &sql[SIGHT_ON], THEW_KEYS(studio, person), &sight_map, rows);
}

// --- one-time links

thew_store_status thew_store_invitation_add(thew_db *db, const char *studio, const thew_store_invitation *invitation)
{
    return thew_query_put(db, &sql[INVITATION_ADD], THEW_KEYS(studio), &invitation_map, invitation);
}

thew_store_status thew_store_invitation_find(thew_db *db, const char *studio, const char *invitation, thew_rows **rows)
{
    return thew_query_one_for(db, &sql[INVITATION_FIND], THEW_KEYS(studio, invitation), &invitation_map, rows);
}

thew_store_status thew_store_invitation_use(thew_db *db, const char *studio, const char *invitation, thew_utc now)
{
    gint64 changed;
    thew_query query = thew_query_of(db, &sql[INVITATION_USE]);
    thew_query_utc(&query, now);
    thew_query_text(&query, studio);
    thew_query_text(&query, invitation);
    thew_store_status status = thew_query_run(&query, &changed);
    return thew_query_found(db, &sql[INVITATION_USE], status, changed);
}

// --- devices

thew_store_status thew_store_invitation_of(thew_db *db, const char *studio, const char *account, thew_rows **rows)
{
    return thew_query_rows_for(db, &sql[INVITATION_OF], THEW_KEYS(studio, account), &invitation_map, rows);
}

thew_store_status thew_store_invitation_end_all(thew_db *db, const char *studio, const char *account, thew_utc now)
{
    thew_query query = thew_query_of(db, &sql[INVITATION_END_ALL]);
    thew_query_utc(&query, now);
    thew_query_text(&query, studio);
    thew_query_text(&query, account);
    return thew_query_run(&query, NULL);
}

thew_store_status thew_store_device_put(thew_db *db, const char *studio, const thew_store_device *device)
{
    return thew_query_put(db, &sql[DEVICE_PUT], THEW_KEYS(studio), &device_map, device);
}

thew_store_status thew_store_device_find(thew_db *db, const char *studio, const char *device, thew_rows **rows)
{
    return thew_query_one_for(db, &sql[DEVICE_FIND], THEW_KEYS(studio, device), &device_map, rows);
}

thew_store_status thew_store_device_all(thew_db *db, const char *studio, thew_rows **rows)
{
    return thew_query_rows_for(db, &sql[DEVICE_ALL], THEW_KEYS(studio), &device_map, rows);
}

thew_store_status thew_store_device_remove(thew_db *db, const char *studio, const char *device)
{
    gint64 changed;
    thew_store_status status = thew_query_run_for(db, &sql[DEVICE_REMOVE], THEW_KEYS(studio, device), &changed);
    return thew_query_found(db, &sql[DEVICE_REMOVE], status, changed);
}

// --- sessions

thew_store_status thew_store_session_add(thew_db *db, const char *studio, const thew_store_session *session)
{
    return thew_query_put(db, &sql[SESSION_ADD], THEW_KEYS(studio), &session_map, session);
}

thew_store_status thew_store_session_find(thew_db *db, const char *studio, const char *session, thew_utc now, thew_rows **rows)
{
    thew_query query = thew_query_of(db, &sql[SESSION_FIND]);
    thew_query_text(&query, studio);
    thew_query_text(&query, session);
    thew_query_utc(&query, now);
    return thew_query_one(&query, &session_map, rows);
}

thew_store_status thew_store_session_seen(thew_db *db, const char *studio, const char *session, thew_utc now, thew_utc ends_us)
{
    gint64 changed;
    thew_query query = thew_query_of(db, &sql[SESSION_SEEN]);
    thew_query_utc(&query, now);
    thew_query_utc(&query, ends_us);
    thew_query_text(&query, studio);
    thew_query_text(&query, session);
    thew_store_status status = thew_query_run(&query, &changed);
    return thew_query_found(db, &sql[SESSION_SEEN], status, changed);
}

thew_store_status thew_store_session_end(thew_db *db, const char *studio, const char *session)
{
    return thew_query_run_for(db, &sql[SESSION_END], THEW_KEYS(studio, session), NULL);
}

thew_store_status thew_store_session_end_all(thew_db *db, const char *studio, const char *account)
{
    return thew_query_run_for(db, &sql[SESSION_END_ALL], THEW_KEYS(studio, account), NULL);
}

thew_store_status thew_store_session_sweep(thew_db *db, const char *studio, thew_utc now)
{
    thew_query query = thew_query_of(db, &sql[SESSION_SWEEP]);
    thew_query_text(&query, studio);
    thew_query_utc(&query, now);
    return thew_query_run(&query, NULL);
}
