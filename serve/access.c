// access.c: who comes in: sessions, one-time links, passwords, accounts, who looked.
#include "serve/handlers.h"
#include "serve/tell.h"
#include "studio/set_up.h"

static json_t *tell_studio(thew_request *request)
{
    g_autoptr(thew_studio_shown) shown = NULL;
    if (!thew_request_done(request, thew_set_up_glance(request->studio, &shown, request->refusal))) return NULL;
    return json_pack("{s:s, s:s, s:s, s:s, s:b, s:o}", "studio", shown->studio, "called", shown->called, "zone", shown->zone,
                     "language", shown->language, "demo", shown->demo, "today", thew_tell_day(thew_studio_today(request->studio)));
}

static void answer_me(thew_request *request, const thew_visitor *who)
{
    json_t *studio = tell_studio(request);
    if (!studio) return;
    thew_answer_json(request, 200,
                     json_pack("{s:s, s:s, s:s, s:s, s:o, s:s, s:o}", "account", who->account, "login", who->login, "role",
                               thew_role_word(who->role), "called", who->called, "person", thew_tell_text(who->person),
                               "csrf_token", who->csrf_token, "studio", studio));
}

void thew_me(thew_request *request)
{
    answer_me(request, request->who);
}

// --- coming in

static void answer_wait(thew_request *request, int wait_s)
{
    thew_answer_header(request, "Retry-After", "%d", wait_s);
    thew_answer_problem(request, 429, "There were too many tries; try again in %d seconds.", wait_s);
}

static void answer_admitted(thew_request *request, const thew_admitted *admitted)
{
    thew_utc now = thew_studio_now(request->studio);
    thew_answer_cookie(request, admitted->token, (int)((admitted->ends_us.us - now.us) / G_USEC_PER_SEC));
    answer_me(request, admitted->visitor);
}

void thew_login(thew_request *request)
{
    const thew_login_body *given = thew_request_row(request, thew_login_body);
    g_auto(thew_admitted) admitted = { 0 };
    thew_verdict verdict = thew_admit_login(request->studio, request->server->throttle, given->login, given->password,
                                            request->address, &admitted, request->refusal);
    if (verdict == THEW_DONE)
        answer_admitted(request, &admitted);
    else if (admitted.wait_s > 0)
        answer_wait(request, admitted.wait_s);
    else if (verdict == THEW_FORBIDDEN)
        thew_answer_problem(request, 401, "Login or password is not right.");
    else
        thew_answer_refusal(request, verdict);
}

void thew_logout(thew_request *request)
{
    const char *token = thew_request_token(request);
    if (!thew_request_done(request, thew_admit_logout(request->studio, token, request->refusal))) return;
    thew_answer_cookie(request, "", 0);
    thew_answer_nothing(request);
}

void thew_invitation(thew_request *request)
{
    g_auto(thew_link_purpose) purpose = { 0 };
    if (!thew_request_done(request, thew_admit_link(request->studio, request->part[0], &purpose, request->refusal))) return;
    thew_answer_json(request, 200,
                     json_pack("{s:s, s:s, s:o}", "role", thew_role_word(purpose.role), "called",
                               purpose.called ? purpose.called : "", "login", thew_tell_text(purpose.login)));
}

void thew_invitation_use(thew_request *request)
{
    const thew_invitation_body *given = thew_request_row(request, thew_invitation_body);
    g_auto(thew_admitted) admitted = { 0 };
    thew_verdict verdict = thew_admit_by_link(request->studio, given->secret, given->login, given->password, given->called,
                                              &admitted, request->refusal);
    if (thew_request_done(request, verdict)) answer_admitted(request, &admitted);
}

void thew_password(thew_request *request)
{
    const thew_password_body *given = thew_request_row(request, thew_password_body);
    int wait_s = 0;
    thew_verdict verdict =
        thew_admit_password(request->studio, request->server->throttle, request->who, thew_request_token(request),
                            given->old_password, given->new_password, &wait_s, request->refusal);
    if (wait_s > 0)
        answer_wait(request, wait_s);
    else if (thew_request_done(request, verdict))
        thew_answer_nothing(request);
}

// --- accounts

static json_t *tell_account(const thew_account_shown *one)
{
    json_t *sees = json_array();
    for (guint i = 0; i < one->sees_count; i++)
        json_array_append_new(sees, thew_shape_write(&thew_part_sight, &one->sees[i]));
    const thew_store_account *a = &one->account;
    return json_pack("{s:s, s:s, s:s, s:s, s:o, s:o, s:o, s:o, s:b}", "account", a->account, "login", a->login, "role", a->role,
                     "called", a->called, "person", thew_tell_text(a->person), "sees", sees, "made_at",
                     thew_tell_instant(a->made_us), "closed_at", thew_tell_instant(a->closed_us), "invited", one->invited);
}

void thew_accounts_list(thew_request *request)
{
    g_autoptr(thew_accounts) accounts = NULL;
    if (!thew_request_done(request, thew_admit_list(request->studio, &accounts, request->refusal))) return;
    json_t *list = json_array();
    for (guint i = 0; i < accounts->account->len; i++)
        json_array_append_new(list, tell_account(&g_array_index(accounts->account, thew_account_shown, i)));
    thew_answer_json(request, 200, list);
}

// The secret stands behind the #, which no browser sends and no log keeps.
static void answer_link(thew_request *request, int status, const thew_link *link)
{
    const char *host = request->header(request->of, "Host");
    g_autofree char *address =
        g_strdup_printf("%s://%s/welcome#%s", request->server->is_public_https ? "https" : "http", host, link->secret);
    thew_answer_json(
        request, status,
        json_pack("{s:s, s:s, s:o}", "account", link->account, "link", address, "ends_at", thew_tell_instant(link->ends_us)));
}

void thew_accounts_make(thew_request *request)
{
    const thew_account_body *given = thew_request_row(request, thew_account_body);
    thew_account_given account = { given->account, given->login,     given->role,      given->called,
                                   given->person,  given->sees.item, given->sees.count };
    thew_actor actor = thew_request_actor(request);
    thew_link link = { 0 };
    if (thew_request_done(request, thew_admit_make(request->studio, &actor, &account, &link, request->refusal)))
        answer_link(request, 201, &link);
}

void thew_accounts_invite(thew_request *request)
{
    thew_actor actor = thew_request_actor(request);
    thew_link link = { 0 };
    if (thew_request_done(request, thew_admit_invite(request->studio, &actor, request->part[0], &link, request->refusal)))
        answer_link(request, 200, &link);
}

void thew_accounts_close(thew_request *request)
{
    thew_actor actor = thew_request_actor(request);
    if (thew_request_done(request, thew_admit_close(request->studio, &actor, request->part[0], request->refusal)))
        thew_answer_nothing(request);
}

// --- who looked

void thew_access(thew_request *request)
{
    const char *person = thew_request_text(request, "person", NULL);
    int count = (int)thew_request_number(request, "count", 1, 1000, 100);
    if (!thew_request_sound(request) || !thew_request_may(request, THEW_ACT_READ_ACCESS, person)) return;
    g_autoptr(thew_access_log) log = NULL;
    if (!thew_request_done(request, thew_admit_access(request->studio, person, count, &log, request->refusal))) return;
    json_t *list = json_array();
    for (guint i = 0; i < log->entry->len; i++) {
        const thew_access_shown *one = &g_array_index(log->entry, thew_access_shown, i);
        json_array_append_new(list,
                              json_pack("{s:o, s:o, s:o, s:s, s:s}", "at", thew_tell_instant(one->access.at_us), "account_called",
                                        thew_tell_text(one->account_called), "person", thew_tell_text(one->access.person), "action",
                                        one->access.action, "what", one->access.what));
    }
    thew_answer_json(request, 200, list);
}
