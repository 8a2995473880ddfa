// account.c: `thew account`: who may come in to the desk, and one-time links to hand over.
// Knows arguments and layout. Leaves to others: secrets, what is allowed (studio/admit.h).
#include <stdio.h>
#include <string.h>

#include "cli/command.h"
#include "cli/open.h"
#include "exchange/instant.h"
#include "studio/admit.h"

#define HERE "http://127.0.0.1:7060"

typedef struct {
    char *path, *login, *role, *called, *person, *until, *at;
    char **sees;
    thew_date until_day; // all-zero: without end
} options;

static void options_clear(options *o)
{
    g_free(o->path);
    g_free(o->login);
    g_free(o->role);
    g_free(o->called);
    g_free(o->person);
    g_free(o->until);
    g_free(o->at);
    g_strfreev(o->sees);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(options, options_clear)

static const char description[] =
    "  list            who there is\n"
    "  invite          make an account (--login, --role) and a link for its owner to choose a password\n"
    "  link LOGIN      a new link, as for a forgotten password\n"
    "  close LOGIN     nobody comes in by it any more; the last coach's stays\n\n"
    "A link is good once and for a week, and is shown this once only: hand it over to nobody else.\n";

static const char *account_state(const thew_account_shown *shown)
{
    return shown->account.closed_us.us ? "closed" : shown->invited ? "invited" : "open";
}

static int list(thew_studio *studio)
{
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    g_autoptr(thew_accounts) accounts = NULL;
    if (thew_admit_list(studio, &accounts, refusal) != THEW_DONE) return thew_refused(refusal);
    if (accounts->account->len == 0) printf("nobody yet; thew account invite --login NAME --role coach makes the first\n");
    for (guint a = 0; a < accounts->account->len; a++) {
        const thew_account_shown *shown = &g_array_index(accounts->account, thew_account_shown, a);
        printf("%-20s %-12s %-8s %s", shown->account.login, shown->account.role, account_state(shown), shown->account.called);
        if (shown->account.person) printf(" (%s)", shown->account.person);
        for (guint s = 0; s < shown->sees_count; s++)
            printf("%s %s", s == 0 ? "; sees" : ",", shown->sees[s].person);
        putchar('\n');
    }
    return THEW_EXIT_OK;
}

static int show_link(const options *o, const thew_link *link)
{
    char until[THEW_INSTANT_TEXT];
    printf("%s/welcome#%s\ngood once, until %s\n", o->at ? o->at : HERE, link->secret,
           thew_instant_us_text(link->ends_us.us, until));
    return THEW_EXIT_OK;
}

static int invite(thew_studio *studio, const options *o)
{
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    g_autofree char *account = thew_studio_identifier();
    g_autoptr(GArray) sees = g_array_new(FALSE, TRUE, sizeof(thew_store_sight));
    for (char **person = o->sees; person && *person; person++) {
        thew_store_sight sight = { .account = account, .person = *person, .until_day = o->until_day };
        g_array_append_val(sees, sight);
    }
    const thew_account_given given = { account,   o->login,
                                       o->role,   o->called ? o->called : o->login,
                                       o->person, (const thew_store_sight *)(gconstpointer)sees->data,
                                       sees->len };
    thew_link link;
    thew_verdict verdict = thew_admit_make(studio, &thew_cli_actor, &given, &link, refusal);
    return verdict == THEW_DONE ? show_link(o, &link) : thew_refused(refusal);
}

// The identifier of the account with that login. Newly allocated; NULL after a sentence.
static char *account_of(thew_studio *studio, const char *login)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status = thew_store_account_by_login(studio->db, studio->id, login, &rows);
    if (status >= 0) return g_strdup(thew_row(rows, thew_store_account, 0)->account);
    fprintf(stderr, "thew: %s\n",
            status == THEW_STORE_NOT_FOUND ? "there is no such login; thew account list shows those there are"
                                           : thew_db_sentence(studio->db));
    return NULL;
}

static int renew(thew_studio *studio, const options *o, const char *login)
{
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    g_autofree char *account = account_of(studio, login);
    thew_link link;
    if (!account) return THEW_EXIT_REFUSED;
    thew_verdict verdict = thew_admit_invite(studio, &thew_cli_actor, account, &link, refusal);
    return verdict == THEW_DONE ? show_link(o, &link) : thew_refused(refusal);
}

static int close_account(thew_studio *studio, const char *login)
{
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    g_autofree char *account = account_of(studio, login);
    if (!account) return THEW_EXIT_REFUSED;
    thew_verdict verdict = thew_admit_close(studio, &thew_cli_actor, account, refusal);
    if (verdict != THEW_DONE && verdict != THEW_DONE_BEFORE) return thew_refused(refusal);
    printf("%s: closed\n", login);
    return THEW_EXIT_OK;
}

static int run(const options *o, const char *what, const char *login)
{
    g_auto(thew_opened) opened = { 0 };
    if (!thew_admit_ready()) {
        fputs("thew: this system has no source of randomness for secrets\n", stderr);
        return THEW_EXIT_REFUSED;
    }
    int status = thew_open(o->path, THEW_DB_WRITE, &opened);
    if (status != THEW_EXIT_OK) return status;
    if (strcmp(what, "list") == 0) return list(opened.studio);
    if (strcmp(what, "invite") == 0) return invite(opened.studio, o);
    return strcmp(what, "link") == 0 ? renew(opened.studio, o, login) : close_account(opened.studio, login);
}

int thew_command_account(int argc, char **argv)
{
    g_auto(options) o = { 0 };
    const GOptionEntry entries[] = {
        THEW_STUDIO_OPTION(o.path),
        { "login", 0, 0, G_OPTION_ARG_STRING, &o.login, "invite: what they type to come in", "NAME" },
        { "role", 0, 0, G_OPTION_ARG_STRING, &o.role, "invite: coach, assistant, participant, helper or clinician", "ROLE" },
        { "called", 0, 0, G_OPTION_ARG_STRING, &o.called, "invite: what to call them (default: the login)", "NAME" },
        { "person", 0, 0, G_OPTION_ARG_STRING, &o.person, "invite a participant: who of the people they are", "PERSON" },
        { "sees", 0, 0, G_OPTION_ARG_STRING_ARRAY, &o.sees, "invite a helper or clinician: whom they may see; repeat it",
          "PERSON" },
        { "until", 0, 0, G_OPTION_ARG_STRING, &o.until, "and the last day of that (needed for a clinician)", "DAY" },
        { "at", 0, 0, G_OPTION_ARG_STRING, &o.at, "where the studio is served (default: " HERE ")", "URL" },
        { 0 },
    };
    int status = THEW_EXIT_OK;
    if (!thew_options_parse("account", "list | invite | link LOGIN | close LOGIN", "Who may come in to the desk.", description,
                            entries, &argc, &argv, &status))
        return status;
    static const char *const alone[] = { "list", "invite", NULL }, *const of_login[] = { "link", "close", NULL };
    const char *what = argc > 1 ? argv[1] : "";
    if (!g_strv_contains(alone, what) && !g_strv_contains(of_login, what))
        return thew_usage_error("account", "needs one of list, invite, link, close; got \"%s\"", what);
    if (argc != (g_strv_contains(alone, what) ? 2 : 3))
        return thew_usage_error("account", "%s %s", what,
                                g_strv_contains(alone, what) ? "takes options only" : "needs exactly one LOGIN");
    if (strcmp(what, "invite") == 0 && (!o.login || !o.role)) return thew_usage_error("account", "invite needs --login and --role");
    if (o.until && (!thew_date_parse(o.until, &o.until_day) || !thew_date_exists(o.until_day)))
        return thew_usage_error("account", "--until must be a day like 2026-03-31; got \"%s\"", o.until);
    return run(&o, what, argc == 3 ? argv[2] : NULL);
}
