// admit_account.c: accounts, whom they may see, and the one-time links by which their owners come in first. See admit.h.
#include <string.h>

#include "store/person.h"
#include "studio/admit_parts.h"
#include "studio/check.h"
#include "studio/held.h"
#include "studio/secret.h"

#define DAY_US (G_GINT64_CONSTANT(86400) * G_USEC_PER_SEC)

static const char bad_link[] = "this link was used already, has ended, or never was one: ask your coach for a new one";
static const char bad_login[] = "a login has 2 to 64 letters, digits, or . _ - @ +";

static const char *const roles[] = { "coach", "assistant", "participant", "helper", "clinician", NULL };

// --- looking at what is given ----------------------------------------------------------------------------------------------------

static bool person_is_there(thew_studio *studio, const char *person)
{
    g_autoptr(thew_rows) rows = NULL;
    return person && thew_store_person_find(studio->db, studio->id, person, &rows) >= 0;
}

static void check_person(thew_studio *studio, const thew_account_given *given, thew_refusal *refusal)
{
    bool participant = g_strcmp0(given->role, "participant") == 0;
    if (participant && !given->person)
        thew_refusal_add(refusal, "/person", "a participant's account is of one of the people: say of whom");
    else if (!participant && given->person)
        thew_refusal_add(refusal, "/person", "only a participant's account is of one of the people; leave this out");
    else if (given->person && !person_is_there(studio, given->person))
        thew_refusal_add(refusal, "/person", "there is no such person here");
}

static void check_sight(thew_studio *studio, const thew_store_sight *sees, guint index, bool clinician, thew_refusal *refusal)
{
    const thew_store_sight *sight = &sees[index];
    if (!person_is_there(studio, sight->person)) thew_refusal_at(refusal, "sees", index, "person", "there is no such person here");
    for (guint j = 0; j < index; j++)
        if (g_strcmp0(sees[j].person, sight->person) == 0)
            thew_refusal_at(refusal, "sees", index, "person", "this person stands twice");
    g_autofree char *pointer = g_strdup_printf("/sees/%u/until_day", index);
    if (!thew_check_day(refusal, pointer, sight->until_day, !clinician)) return;
    if (sight->until_day.year != 0 && thew_studio_number(sight->until_day) < thew_studio_today(studio))
        thew_refusal_add(refusal, pointer, "this day is past");
}

// Everybody who may see somebody else's records is named with whom, and a clinician with until when.
static void check_sees(thew_studio *studio, const char *role, const thew_store_sight *sees, guint count, thew_refusal *refusal)
{
    bool clinician = g_strcmp0(role, "clinician") == 0, helper = g_strcmp0(role, "helper") == 0;
    if (count > 0 && !clinician && !helper) {
        thew_refusal_add(refusal, "/sees", "only helpers and clinicians are told whom they may see; leave this empty");
        return;
    }
    if (count == 0 && (clinician || helper)) thew_refusal_add(refusal, "/sees", "say whom they may see");
    for (guint i = 0; i < count; i++)
        check_sight(studio, sees, i, clinician, refusal);
}

static thew_store_status check_free(thew_studio *studio, const char *login, const char *account, thew_refusal *refusal)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status = thew_store_account_by_login(studio->db, studio->id, login, &rows);
    if (status == THEW_STORE_NOT_FOUND) return THEW_STORE_OK;
    if (status >= 0 && strcmp(thew_row(rows, thew_store_account, 0)->account, account) != 0)
        thew_refusal_add(refusal, "/login", "another account has this login; choose another");
    return status;
}

// --- links -----------------------------------------------------------------------------------------------------------------------

void thew_link_purpose_clear(thew_link_purpose *purpose)
{
    g_free(purpose->login);
    g_free(purpose->called);
    *purpose = (thew_link_purpose){ 0 };
}

static thew_store_status make_link(thew_studio *studio, const char *account, thew_link *link)
{
    thew_utc now = thew_studio_now(studio);
    char digest[THEW_SECRET_TEXT];
    thew_secret_new(link->secret);
    thew_secret_digest(THEW_SECRET_LINK, link->secret, digest);
    g_strlcpy(link->account, account, sizeof link->account);
    link->ends_us = (thew_utc){ now.us + THEW_INVITATION_DAYS * DAY_US };
    thew_store_status status = thew_store_invitation_end_all(studio->db, studio->id, account, now);
    return status < 0 ? status
                      : thew_store_invitation_add(studio->db, studio->id,
                                                  &(thew_store_invitation){ digest, account, now, link->ends_us, { 0 } });
}

// The account of a link that is good.
static thew_store_status find_link(thew_studio *studio, const char *digest, thew_rows **account)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status = thew_store_invitation_find(studio->db, studio->id, digest, &rows);
    if (status < 0) return status;
    const thew_store_invitation *row = thew_row(rows, thew_store_invitation, 0);
    if (row->used_us.us != 0 || row->ends_us.us <= thew_studio_now(studio).us) return THEW_STORE_NOT_FOUND;
    status = thew_store_account_find(studio->db, studio->id, row->account, account);
    if (status < 0) return status;
    return thew_row(*account, thew_store_account, 0)->closed_us.us == 0 ? status : THEW_STORE_NOT_FOUND;
}

static thew_verdict no_link(thew_studio *studio, thew_store_status status, thew_refusal *refusal)
{
    return status == THEW_STORE_NOT_FOUND ? thew_refuse(refusal, THEW_ABSENT, "%s", bad_link)
                                          : thew_refuse_store(refusal, studio->db, status);
}

thew_verdict thew_admit_link(thew_studio *studio, const char *secret, thew_link_purpose *purpose, thew_refusal *refusal)
{
    *purpose = (thew_link_purpose){ 0 };
    g_autoptr(thew_rows) rows = NULL;
    char digest[THEW_SECRET_TEXT];
    thew_secret_digest(THEW_SECRET_LINK, secret, digest);
    thew_store_status status = find_link(studio, digest, &rows);
    if (status < 0) return no_link(studio, status, refusal);
    const thew_store_account *account = thew_row(rows, thew_store_account, 0);
    if (!thew_role_read(account->role, &purpose->role)) return thew_refuse_store(refusal, studio->db, THEW_STORE_BUG);
    purpose->login = g_strdup(account->login);
    purpose->called = g_strdup(account->called);
    return THEW_DONE;
}

static thew_store_status use_link(thew_studio *studio, const char *digest, const thew_store_account *account,
                                  thew_admitted *admitted)
{
    thew_actor actor = { account->account, NULL };
    thew_store_status status = thew_store_invitation_use(studio->db, studio->id, digest, thew_studio_now(studio));
    if (status >= 0) status = thew_store_account_put(studio->db, studio->id, account);
    if (status >= 0) status = thew_store_session_end_all(studio->db, studio->id, account->account);
    if (status >= 0) status = thew_session_begin(studio, account, admitted);
    return status < 0 ? status : thew_note_access_within(studio, &actor, NULL, "use link", "");
}

thew_verdict thew_admit_by_link(thew_studio *studio, const char *secret, const char *login, const char *password,
                                const char *called, thew_admitted *admitted, thew_refusal *refusal)
{
    *admitted = (thew_admitted){ 0 };
    g_autoptr(thew_rows) rows = NULL;
    char digest[THEW_SECRET_TEXT];
    thew_secret_digest(THEW_SECRET_LINK, secret, digest);
    thew_store_status status = find_link(studio, digest, &rows);
    if (status < 0) return no_link(studio, status, refusal);
    thew_store_account account = *thew_row(rows, thew_store_account, 0);
    g_autofree char *normal = thew_login_normal(login ? login : account.login);
    if (!normal) thew_refusal_add(refusal, "/login", "%s", bad_login);
    if (called) thew_check_text(refusal, "/called", called, 1, THEW_NAME_MAX);
    account.called = called ? called : account.called;
    const char *fault = thew_password_fault(password, normal, account.called);
    if (fault) thew_refusal_add(refusal, "/password", "%s", fault);
    if (!thew_refusal_is_empty(refusal)) return THEW_INVALID;
    status = check_free(studio, normal, account.account, refusal);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    if (!thew_refusal_is_empty(refusal)) return THEW_CONFLICT;

    g_autofree char *hash = thew_password_hash(password);
    if (!hash) return thew_refuse(refusal, THEW_UNABLE, "there is not enough memory to keep a password: try again");
    account.login = normal;
    account.password_hash = hash;
    status = thew_db_begin(studio->db);
    if (status >= 0) status = thew_db_end(studio->db, use_link(studio, digest, &account, admitted));
    if (status < 0) thew_admitted_clear(admitted);
    return status < 0 ? no_link(studio, status, refusal) : THEW_DONE;
}

// --- accounts --------------------------------------------------------------------------------------------------------------------

static thew_store_status put_sights(thew_studio *studio, const char *account, const thew_store_sight *sees, guint count)
{
    g_autoptr(thew_rows) before = NULL;
    thew_store_status status = thew_store_sight_of(studio->db, studio->id, account, &before);
    for (guint i = 0; status >= 0 && i < before->row->len; i++)
        status = thew_store_sight_end(studio->db, studio->id, account, thew_row(before, thew_store_sight, i)->person);
    for (guint i = 0; status >= 0 && i < count; i++)
        status = thew_store_sight_put(studio->db, studio->id, &(thew_store_sight){ account, sees[i].person, sees[i].until_day });
    for (guint i = 0; status >= 0 && i < count; i++)
        status = thew_note_access_within(studio, NULL, sees[i].person, "let see", "another account may see these records");
    return status;
}

static thew_store_status make(thew_studio *studio, const thew_actor *actor, const thew_account_given *given, const char *login,
                              thew_link *link)
{
    thew_store_account account = { .account = given->account,
                                   .login = login,
                                   .role = given->role,
                                   .called = given->called,
                                   .person = given->person,
                                   .made_us = thew_studio_now(studio) };
    thew_store_status status = thew_store_account_put(studio->db, studio->id, &account);
    if (status >= 0) status = put_sights(studio, given->account, given->sees, given->sees_count);
    if (status >= 0) status = make_link(studio, given->account, link);
    return status < 0 ? status : thew_note_access_within(studio, actor, given->person, "make account", given->role);
}

static thew_store_status check_is_new(thew_studio *studio, const char *account, const char *login, thew_refusal *refusal)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status = thew_store_account_find(studio->db, studio->id, account, &rows);
    if (status >= 0) thew_refusal_add(refusal, "/account", "there is an account of this identifier already");
    if (status < 0 && status != THEW_STORE_NOT_FOUND) return status;
    return check_free(studio, login, account, refusal);
}

thew_verdict thew_admit_make(thew_studio *studio, const thew_actor *actor, const thew_account_given *given, thew_link *link,
                             thew_refusal *refusal)
{
    *link = (thew_link){ 0 };
    g_autofree char *login = thew_login_normal(given->login);
    thew_check_identifier(refusal, "/account", given->account);
    if (!login) thew_refusal_add(refusal, "/login", "%s", bad_login);
    thew_check_text(refusal, "/called", given->called, 1, THEW_NAME_MAX);
    thew_check_word(refusal, "/role", given->role, roles, false);
    thew_store_status status = thew_db_begin(studio->db);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    check_person(studio, given, refusal);
    check_sees(studio, given->role, given->sees, given->sees_count, refusal);
    thew_verdict verdict = thew_refusal_is_empty(refusal) ? THEW_DONE : THEW_INVALID;
    if (verdict == THEW_DONE) {
        status = check_is_new(studio, given->account, login, refusal);
        if (!thew_refusal_is_empty(refusal)) verdict = THEW_CONFLICT;
    }
    if (verdict != THEW_DONE) {
        thew_db_rollback(studio->db);
        return verdict;
    }
    return thew_refuse_store(refusal, studio->db,
                             thew_db_end(studio->db, status < 0 ? status : make(studio, actor, given, login, link)));
}

// An account that is open, found inside the transaction that changes it.
static thew_store_status find_open(thew_studio *studio, const char *account, thew_rows **rows)
{
    thew_store_status status = thew_store_account_find(studio->db, studio->id, account, rows);
    return status >= 0 && thew_row(*rows, thew_store_account, 0)->closed_us.us != 0 ? THEW_STORE_NOT_FOUND : status;
}

static thew_verdict no_account(thew_studio *studio, thew_store_status status, thew_refusal *refusal)
{
    return status == THEW_STORE_NOT_FOUND ? thew_refuse(refusal, THEW_ABSENT, "there is no such account, or it is closed")
                                          : thew_refuse_store(refusal, studio->db, status);
}

static thew_store_status invite(thew_studio *studio, const thew_actor *actor, const char *account, thew_link *link)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status = find_open(studio, account, &rows);
    if (status >= 0) status = make_link(studio, account, link);
    return status < 0 ? status : thew_note_access_within(studio, actor, NULL, "make link", "");
}

thew_verdict thew_admit_invite(thew_studio *studio, const thew_actor *actor, const char *account, thew_link *link,
                               thew_refusal *refusal)
{
    *link = (thew_link){ 0 };
    thew_store_status status = thew_db_begin(studio->db);
    if (status >= 0) status = thew_db_end(studio->db, invite(studio, actor, account, link));
    return no_account(studio, status, refusal);
}

// Coaches who can come in, besides this account (NULL: all).
static thew_store_status count_coaches(thew_studio *studio, const char *besides, int *count)
{
    g_autoptr(thew_rows) all = NULL;
    thew_store_status status = thew_store_account_all(studio->db, studio->id, &all);
    *count = 0;
    for (guint i = 0; status >= 0 && i < all->row->len; i++) {
        const thew_store_account *account = thew_row(all, thew_store_account, i);
        *count += strcmp(account->role, "coach") == 0 && account->closed_us.us == 0 && account->password_hash &&
                  g_strcmp0(account->account, besides) != 0;
    }
    return status;
}

static thew_store_status close_account(thew_studio *studio, const thew_actor *actor, const thew_store_account *account)
{
    thew_utc now = thew_studio_now(studio);
    thew_store_account closed = *account;
    closed.closed_us = now;
    closed.password_hash = NULL; // nothing of it is needed any more
    thew_store_status status = thew_store_account_put(studio->db, studio->id, &closed);
    if (status >= 0) status = thew_store_session_end_all(studio->db, studio->id, account->account);
    if (status >= 0) status = thew_store_invitation_end_all(studio->db, studio->id, account->account, now);
    return status < 0 ? status : thew_note_access_within(studio, actor, account->person, "close account", account->role);
}

thew_store_status thew_account_close_within(thew_studio *studio, const thew_actor *actor, const char *account)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status = find_open(studio, account, &rows);
    return status < 0 ? status : close_account(studio, actor, thew_row(rows, thew_store_account, 0));
}

thew_verdict thew_admit_close(thew_studio *studio, const thew_actor *actor, const char *account, thew_refusal *refusal)
{
    g_autoptr(thew_rows) rows = NULL;
    int left = 0;
    thew_store_status status = thew_db_begin(studio->db);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    status = find_open(studio, account, &rows);
    if (status >= 0) status = count_coaches(studio, account, &left);
    if (status >= 0 && left == 0 && strcmp(thew_row(rows, thew_store_account, 0)->role, "coach") == 0) {
        thew_db_rollback(studio->db);
        return thew_refuse(refusal, THEW_CONFLICT, "this is the last coach who can come in; make another coach's account first");
    }
    if (status >= 0) status = close_account(studio, actor, thew_row(rows, thew_store_account, 0));
    return no_account(studio, thew_db_end(studio->db, status), refusal);
}

thew_verdict thew_admit_sights(thew_studio *studio, const thew_actor *actor, const char *account, const thew_store_sight *sees,
                               guint count, thew_refusal *refusal)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status = thew_db_begin(studio->db);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    status = find_open(studio, account, &rows);
    if (status >= 0) check_sees(studio, thew_row(rows, thew_store_account, 0)->role, sees, count, refusal);
    if (!thew_refusal_is_empty(refusal)) {
        thew_db_rollback(studio->db);
        return THEW_INVALID;
    }
    if (status >= 0) status = put_sights(studio, account, sees, count);
    if (status >= 0) status = thew_note_access_within(studio, actor, NULL, "change account", "whom it may see");
    return no_account(studio, thew_db_end(studio->db, status), refusal);
}

// --- all of them -----------------------------------------------------------------------------------------------------------------

void thew_accounts_free(thew_accounts *accounts)
{
    if (!accounts) return;
    g_array_unref(accounts->account);
    g_ptr_array_unref(accounts->held);
    g_free(accounts);
}

static thew_store_status has_good_link(thew_studio *studio, const char *account, bool *has)
{
    g_autoptr(thew_rows) links = NULL;
    thew_store_status status = thew_store_invitation_of(studio->db, studio->id, account, &links);
    for (guint i = 0; status >= 0 && i < links->row->len; i++) {
        const thew_store_invitation *link = thew_row(links, thew_store_invitation, i);
        *has = *has || (link->used_us.us == 0 && link->ends_us.us > thew_studio_now(studio).us);
    }
    return status;
}

static thew_store_status show(thew_studio *studio, const thew_store_account *account, thew_accounts *into)
{
    thew_account_shown shown = { .account = *account };
    thew_rows *sights = NULL;
    thew_store_status status = thew_store_sight_of(studio->db, studio->id, account->account, &sights);
    thew_hold(into->held, sights, (GDestroyNotify)thew_rows_free);
    bool linked = false;
    if (status >= 0) status = has_good_link(studio, account->account, &linked);
    if (status < 0) return status;
    shown.invited = linked && !account->password_hash;
    shown.account.password_hash = NULL;
    shown.sees = (const thew_store_sight *)(void *)sights->row->data;
    shown.sees_count = sights->row->len;
    g_array_append_val(into->account, shown);
    return status;
}

static thew_store_status read_accounts(thew_studio *studio, thew_accounts *into)
{
    thew_rows *all = NULL;
    thew_store_status status = thew_store_account_all(studio->db, studio->id, &all);
    thew_hold(into->held, all, (GDestroyNotify)thew_rows_free);
    for (guint i = 0; status >= 0 && i < all->row->len; i++)
        status = show(studio, thew_row(all, thew_store_account, i), into);
    return status;
}

thew_verdict thew_admit_list(thew_studio *studio, thew_accounts **accounts, thew_refusal *refusal)
{
    *accounts = NULL;
    g_autoptr(thew_accounts) read = g_new0(thew_accounts, 1);
    read->account = g_array_new(FALSE, FALSE, sizeof(thew_account_shown));
    read->held = thew_held_new();
    thew_store_status status = thew_db_begin_reading(studio->db);
    if (status >= 0) status = thew_db_end(studio->db, read_accounts(studio, read));
    thew_verdict verdict = thew_refuse_store(refusal, studio->db, status);
    if (verdict == THEW_DONE) *accounts = g_steal_pointer(&read);
    return verdict;
}

// --- the first coach -------------------------------------------------------------------------------------------------------------

thew_store_status thew_admit_has_coach(thew_studio *studio, bool *has)
{
    int count;
    thew_store_status status = count_coaches(studio, NULL, &count);
    *has = count > 0;
    return status;
}

// A coach whose link was lost before it was used gets another, not a second account.
static thew_store_status first_coach(thew_studio *studio, const char *called, thew_link *link)
{
    thew_actor actor = { "cli", NULL };
    g_autoptr(thew_rows) all = NULL;
    thew_store_status status = thew_store_account_all(studio->db, studio->id, &all);
    for (guint i = 0; status >= 0 && i < all->row->len; i++) {
        const thew_store_account *account = thew_row(all, thew_store_account, i);
        if (strcmp(account->role, "coach") == 0 && account->closed_us.us == 0)
            return invite(studio, &actor, account->account, link);
    }
    g_autofree char *id = thew_studio_identifier();
    thew_account_given given = { .account = id, .login = "coach", .role = "coach", .called = called };
    return status < 0 ? status : make(studio, &actor, &given, given.login, link);
}

thew_verdict thew_admit_first_coach(thew_studio *studio, const char *called, thew_link *link, thew_refusal *refusal)
{
    *link = (thew_link){ 0 };
    if (!thew_check_text(refusal, "/called", called, 1, THEW_NAME_MAX)) return THEW_INVALID;
    bool has = false;
    thew_store_status status = thew_db_begin(studio->db);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    status = thew_admit_has_coach(studio, &has);
    if (status >= 0 && has) {
        thew_db_rollback(studio->db);
        return thew_refuse(refusal, THEW_CONFLICT, "there is a coach who can come in already");
    }
    if (status >= 0) status = first_coach(studio, called, link);
    return thew_refuse_store(refusal, studio->db, thew_db_end(studio->db, status));
}
