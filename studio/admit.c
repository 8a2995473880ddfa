// admit.c: coming in: by password, by session; who somebody then is. See admit.h; accounts and links are in admit_account.c.
#include "studio/admit.h"

#include <string.h>

#include "studio/admit_parts.h"
#include "studio/secret.h"
#include "studio/throttle.h"

#define DAY_US (G_GINT64_CONSTANT(86400) * G_USEC_PER_SEC)
#define SEEN_EVERY_US (G_GINT64_CONSTANT(300) * G_USEC_PER_SEC)

static const char wrong_login[] = "this login and password do not belong together";
static const char no_session[] = "please log in";

// --- who somebody is -------------------------------------------------------------------------------------------------------------

void thew_visitor_free(thew_visitor *visitor)
{
    if (!visitor) return;
    g_free(visitor->account);
    g_free(visitor->login);
    g_free(visitor->called);
    g_free(visitor->person);
    if (visitor->sight) g_array_unref(visitor->sight);
    thew_rows_free(visitor->held);
    g_free(visitor);
}

thew_store_status thew_visitor_read(thew_studio *studio, const thew_store_account *account, const char *token,
                                    thew_visitor **visitor)
{
    g_autoptr(thew_visitor) read = g_new0(thew_visitor, 1);
    if (!thew_role_read(account->role, &read->role)) return THEW_STORE_BUG;
    read->account = g_strdup(account->account);
    read->login = g_strdup(account->login);
    read->called = g_strdup(account->called);
    read->person = g_strdup(account->person);
    thew_secret_digest(THEW_SECRET_CSRF, token, read->csrf_token);
    thew_store_status status = thew_store_sight_of(studio->db, studio->id, account->account, &read->held);
    if (status < 0) return status;
    read->sight = g_array_ref(read->held->row);
    *visitor = g_steal_pointer(&read);
    return status;
}

static bool sees(const thew_visitor *visitor, const char *person, thew_day today)
{
    for (guint i = 0; i < visitor->sight->len; i++) {
        const thew_store_sight *sight = &g_array_index(visitor->sight, thew_store_sight, i);
        if (strcmp(sight->person, person) == 0) return sight->until_day.year == 0 || today <= thew_studio_number(sight->until_day);
    }
    return false;
}

thew_whose thew_visitor_whose(const thew_visitor *visitor, const char *person, thew_day today)
{
    if (!person) return THEW_WHOSE_STUDIO;
    if (visitor->person && strcmp(visitor->person, person) == 0) return THEW_WHOSE_OWN;
    return sees(visitor, person, today) ? THEW_WHOSE_SEEN : THEW_WHOSE_OTHER;
}

bool thew_visitor_may(const thew_visitor *visitor, thew_act act, const char *person, thew_day today)
{
    return thew_may(visitor->role, act, thew_visitor_whose(visitor, person, today));
}

thew_verdict thew_visitor_require(const thew_visitor *visitor, thew_act act, const char *person, thew_day today,
                                  thew_refusal *refusal)
{
    if (thew_visitor_may(visitor, act, person, today)) return THEW_DONE;
    return thew_refuse(refusal, THEW_FORBIDDEN, "this account may not %s%s", thew_act_words(act), person && !strstr(thew_act_words(act), "person") ? " of this person" : "");
}

void thew_admitted_clear(thew_admitted *admitted)
{
    thew_visitor_free(admitted->visitor);
    *admitted = (thew_admitted){ 0 };
}

// --- sessions --------------------------------------------------------------------------------------------------------------------

static gint64 ends_us(gint64 made_us, gint64 seen_us)
{
    return MIN(seen_us + THEW_SESSION_DAYS * DAY_US, made_us + THEW_SESSION_DAYS_MAX * DAY_US);
}

thew_store_status thew_session_begin(thew_studio *studio, const thew_store_account *account, thew_admitted *admitted)
{
    thew_utc now = thew_studio_now(studio);
    char digest[THEW_SECRET_TEXT];
    thew_secret_new(admitted->token);
    thew_secret_digest(THEW_SECRET_SESSION, admitted->token, digest);
    admitted->ends_us = (thew_utc){ ends_us(now.us, now.us) };
    thew_store_status status = thew_store_session_sweep(studio->db, studio->id, now);
    if (status >= 0)
        status = thew_store_session_add(studio->db, studio->id,
                                        &(thew_store_session){ digest, account->account, NULL, now, now, admitted->ends_us });
    return status < 0 ? status : thew_visitor_read(studio, account, admitted->token, &admitted->visitor);
}

static thew_store_status go_on(thew_studio *studio, const thew_store_session *session)
{
    thew_utc now = thew_studio_now(studio);
    thew_store_status status = thew_db_begin(studio->db);
    if (status < 0) return status;
    return thew_db_end(studio->db, thew_store_session_seen(studio->db, studio->id, session->session, now,
                                                           (thew_utc){ ends_us(session->made_us.us, now.us) }));
}

static thew_store_status find_session(thew_studio *studio, const char *token, thew_rows **session, thew_rows **account)
{
    char digest[THEW_SECRET_TEXT];
    thew_secret_digest(THEW_SECRET_SESSION, token, digest);
    thew_store_status status = thew_store_session_find(studio->db, studio->id, digest, thew_studio_now(studio), session);
    if (status < 0) return status;
    status = thew_store_account_find(studio->db, studio->id, thew_row(*session, thew_store_session, 0)->account, account);
    if (status < 0) return status;
    return thew_row(*account, thew_store_account, 0)->closed_us.us == 0 ? status : THEW_STORE_NOT_FOUND;
}

thew_verdict thew_admit_session(thew_studio *studio, const char *token, thew_visitor **visitor, thew_refusal *refusal)
{
    *visitor = NULL;
    g_autoptr(thew_rows) session = NULL, account = NULL;
    thew_store_status status = find_session(studio, token, &session, &account);
    if (status == THEW_STORE_NOT_FOUND) return thew_refuse(refusal, THEW_FORBIDDEN, "%s", no_session);
    if (status >= 0) status = thew_visitor_read(studio, thew_row(account, thew_store_account, 0), token, visitor);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    const thew_store_session *row = thew_row(session, thew_store_session, 0);
    bool due = thew_studio_now(studio).us - row->seen_us.us >= SEEN_EVERY_US;
    bool writes = thew_db_opened_for(studio->db) != THEW_DB_READ;
    (*visitor)->is_to_be_seen = due && !writes;
    // Whether it can be written down that somebody is here must not keep them out (a full disk): the session just ends sooner.
    if (due && writes && go_on(studio, row) < 0) (*visitor)->is_to_be_seen = true;
    return THEW_DONE;
}

bool thew_admit_csrf_matches(const thew_visitor *visitor, const char *given)
{
    return given != NULL && thew_secret_same(visitor->csrf_token, given);
}

thew_verdict thew_admit_logout(thew_studio *studio, const char *token, thew_refusal *refusal)
{
    char digest[THEW_SECRET_TEXT];
    thew_secret_digest(THEW_SECRET_SESSION, token, digest);
    thew_store_status status = thew_db_begin(studio->db);
    if (status >= 0) status = thew_db_end(studio->db, thew_store_session_end(studio->db, studio->id, digest));
    return thew_refuse_store(refusal, studio->db, status);
}

// --- by password -----------------------------------------------------------------------------------------------------------------

char *thew_login_normal(const char *login)
{
    if (!login || !g_utf8_validate(login, -1, NULL)) return NULL;
    g_autofree char *composed = g_utf8_normalize(login, -1, G_NORMALIZE_NFKC);
    g_autofree char *low = g_utf8_strdown(composed, -1);
    glong length = g_utf8_strlen(low, -1);
    if (length < THEW_LOGIN_MIN || length > THEW_LOGIN_MAX) return NULL;
    for (const char *at = low; *at; at = g_utf8_next_char(at)) {
        gunichar c = g_utf8_get_char(at);
        if (!g_unichar_isalnum(c) && !(c < 128 && strchr("._-@+", (char)c))) return NULL;
    }
    return g_steal_pointer(&low);
}

// The account of a login, if it can come in by password.
static thew_store_status find_account(thew_studio *studio, const char *login, thew_rows **rows, const thew_store_account **account)
{
    *account = NULL;
    if (!login) return THEW_STORE_OK;
    thew_store_status status = thew_store_account_by_login(studio->db, studio->id, login, rows);
    if (status == THEW_STORE_NOT_FOUND) return THEW_STORE_OK;
    if (status < 0) return status;
    const thew_store_account *found = thew_row(*rows, thew_store_account, 0);
    if (found->password_hash && found->closed_us.us == 0) *account = found;
    return status;
}

static thew_verdict too_many(int wait_s, thew_refusal *refusal)
{
    return thew_refuse(refusal, THEW_FORBIDDEN, "too many tries: please wait %d second%s", wait_s, wait_s == 1 ? "" : "s");
}

// To look at a password takes a while, outside any transaction: in it the account may have been closed, or got another password.
//   returns   THEW_STORE_NOT_FOUND: it is not any more what was looked at
static thew_store_status is_as_checked(thew_studio *studio, const thew_store_account *checked)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status = thew_store_account_find(studio->db, studio->id, checked->account, &rows);
    if (status < 0) return status;
    const thew_store_account *now = thew_row(rows, thew_store_account, 0);
    bool is_same = now->closed_us.us == 0 && g_strcmp0(now->password_hash, checked->password_hash) == 0;
    return is_same ? status : THEW_STORE_NOT_FOUND;
}

static thew_verdict come_in(thew_studio *studio, const thew_store_account *account, thew_admitted *admitted, thew_refusal *refusal)
{
    thew_store_status status = thew_db_begin(studio->db);
    if (status >= 0) {
        status = is_as_checked(studio, account);
        if (status >= 0) status = thew_session_begin(studio, account, admitted);
        if (status >= 0) status = thew_note_access_within(studio, &(thew_actor){ account->account, NULL }, NULL, "log in", "");
        status = thew_db_end(studio->db, status);
    }
    if (status < 0) thew_admitted_clear(admitted);
    if (status == THEW_STORE_NOT_FOUND) return thew_refuse(refusal, THEW_FORBIDDEN, "%s", wrong_login);
    return thew_refuse_store(refusal, studio->db, status);
}

thew_verdict thew_admit_login(thew_studio *studio, thew_throttle *throttle, const char *login, const char *password,
                              const char *address, thew_admitted *admitted, thew_refusal *refusal)
{
    *admitted = (thew_admitted){ 0 };
    g_autofree char *normal = thew_login_normal(login);
    const char *key = normal ? normal : "";
    admitted->wait_s = thew_throttle_begin(throttle, key, address, thew_studio_now(studio));
    if (admitted->wait_s > 0) return too_many(admitted->wait_s, refusal);
    g_autoptr(thew_rows) rows = NULL;
    const thew_store_account *account;
    thew_store_status status = find_account(studio, normal, &rows, &account);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    bool right = thew_password_matches(account ? account->password_hash : NULL, password ? password : "");
    if (!right) return thew_refuse(refusal, THEW_FORBIDDEN, "%s", wrong_login);
    thew_throttle_succeeded(throttle, key, address);
    return come_in(studio, account, admitted, refusal);
}

// The session that stays is ended with the others and begun again as it was.
static thew_store_status change_password(thew_studio *studio, const thew_store_account *account, const char *hash,
                                         const char *token)
{
    g_autoptr(thew_rows) session = NULL, its_account = NULL;
    thew_store_account changed = *account;
    changed.password_hash = hash;
    thew_store_status status = is_as_checked(studio, account);
    if (status >= 0) status = thew_store_account_put(studio->db, studio->id, &changed);
    bool stays = false;
    if (status >= 0 && token) {
        thew_store_status found = find_session(studio, token, &session, &its_account);
        stays = found >= 0 && strcmp(thew_row(session, thew_store_session, 0)->account, account->account) == 0;
        if (found < 0 && found != THEW_STORE_NOT_FOUND) status = found;
    }
    if (status >= 0) status = thew_store_session_end_all(studio->db, studio->id, account->account);
    if (status >= 0 && stays) status = thew_store_session_add(studio->db, studio->id, thew_row(session, thew_store_session, 0));
    if (status >= 0) status = thew_note_access_within(studio, &(thew_actor){ account->account, NULL }, NULL, "change password", "");
    return status;
}

thew_verdict thew_admit_password(thew_studio *studio, thew_throttle *throttle, const thew_visitor *visitor, const char *token,
                                 const char *old_password, const char *new_password, int *wait_s, thew_refusal *refusal)
{
    *wait_s = thew_throttle_begin(throttle, visitor->login, NULL, thew_studio_now(studio));
    if (*wait_s > 0) return too_many(*wait_s, refusal);
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status = thew_store_account_find(studio->db, studio->id, visitor->account, &rows);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    const thew_store_account *account = thew_row(rows, thew_store_account, 0);
    if (!thew_password_matches(account->password_hash, old_password ? old_password : ""))
        thew_refusal_add(refusal, "/old", "this is not the password until now");
    else
        thew_throttle_succeeded(throttle, visitor->login, NULL);
    const char *fault = thew_password_fault(new_password, account->login, account->called);
    if (fault) thew_refusal_add(refusal, "/new", "%s", fault);
    if (!thew_refusal_is_empty(refusal)) return THEW_INVALID;
    g_autofree char *hash = thew_password_hash(new_password);
    if (!hash) return thew_refuse(refusal, THEW_UNABLE, "there is not enough memory to keep a password: try again");
    status = thew_db_begin(studio->db);
    if (status >= 0) status = thew_db_end(studio->db, change_password(studio, account, hash, token));
    if (status == THEW_STORE_NOT_FOUND)
        return thew_refuse(refusal, THEW_CONFLICT, "this account was closed or has another password by now; nothing was changed");
    return thew_refuse_store(refusal, studio->db, status);
}
