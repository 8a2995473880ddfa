// routes.c: see routes.h.
#include "serve/routes.h"

#include <string.h>

#include "serve/handlers.h"
#include "studio/set_up.h"

#define ROUTE(method, pattern, whom, act, body, query, handle, answer, summary)                                                    \
    { THEW_##method, pattern, THEW_FOR_##whom, (thew_act)(act), body, query, handle },
static const thew_route route[] = {
#include "serve/routes_list.h"
};
#undef ROUTE

const thew_route *thew_routes(size_t *count)
{
    *count = G_N_ELEMENTS(route);
    return route;
}

size_t thew_routes_body_max(const char *path)
{
    return strcmp(path, "/api/import") == 0 ? THEW_IMPORT_MAX : THEW_BODY_MAX;
}

// --- from path to route

// One {..} or word after the other; what stands at a {..} is decoded (RFC 3986) and has to be text.
static bool fits(const char *pattern, const char *path, thew_request *request)
{
    int parts = 0;
    for (;;) {
        const char *pattern_end = strchrnul(pattern, '/'), *path_end = strchrnul(path, '/');
        size_t pattern_length = (size_t)(pattern_end - pattern), path_length = (size_t)(path_end - path);
        if (*pattern == '{') {
            char *part = g_uri_unescape_segment(path, path_end, "");
            if (part) thew_request_own(request, part);
            if (!part || !*part || !g_utf8_validate(part, -1, NULL)) return false;
            request->part[parts++] = part;
        } else if (pattern_length != path_length || strncmp(pattern, path, path_length) != 0) {
            return false;
        }
        if (!*pattern_end || !*path_end) return *pattern_end == *path_end;
        pattern = pattern_end + 1;
        path = path_end + 1;
    }
}

static thew_method method_of_route(thew_method method)
{
    return method == THEW_HEAD ? THEW_GET : method;
}

// "GET, HEAD, POST"
static char *words_of(unsigned methods)
{
    GString *words = g_string_new(NULL);
    static const struct {
        thew_method method;
        const char *word;
    } all[] = { { THEW_GET, "GET, HEAD" }, { THEW_POST, "POST" }, { THEW_PUT, "PUT" }, { THEW_DELETE, "DELETE" } };
    for (gsize i = 0; i < G_N_ELEMENTS(all); i++)
        if (methods & all[i].method) g_string_append_printf(words, "%s%s", words->len ? ", " : "", all[i].word);
    return g_string_free(words, FALSE);
}

static bool find_route(thew_request *request)
{
    unsigned methods = 0;
    for (gsize i = 0; i < G_N_ELEMENTS(route); i++) {
        if (!fits(route[i].pattern, request->path, request)) continue;
        methods |= route[i].method;
        if (route[i].method != method_of_route(request->method)) continue;
        request->route = &route[i];
        return true;
    }
    if (methods) {
        g_autofree char *words = words_of(methods);
        thew_answer_header(request, "Allow", "%s", words);
        thew_answer_problem(request, 405, "This can be asked by %s only.", words);
    } else {
        thew_answer_problem(request, 404, "Nothing is served at this address.");
    }
    return false;
}

// One of the words of `names`.
static bool parameter_is_known(const char *names, const char *name)
{
    for (const char *at = names; *at; at += strspn(at, " ")) {
        size_t length = strcspn(at, " ");
        if (strlen(name) == length && strncmp(at, name, length) == 0) return true;
        at += length;
    }
    return false;
}

static void look_at_parameter(thew_request *request, const char *name)
{
    if (!parameter_is_known(request->route->query, name))
        thew_refusal_add(request->refusal, "", "the parameter \"%.60s\" is not known here", name);
}

// --- forged requests

static bool is_reading(const thew_request *request)
{
    return request->method == THEW_GET || request->method == THEW_HEAD;
}

// A browser says where a request comes from; who says nothing is no browser, and holds no cookie of one.
static bool comes_from_elsewhere(const thew_request *request)
{
    const char *site = request->header(request->of, "Sec-Fetch-Site"), *origin = request->header(request->of, "Origin"),
               *host = request->header(request->of, "Host");
    if (site && strcmp(site, "same-origin") != 0 && strcmp(site, "none") != 0) return true;
    if (!origin) return false;
    const char *name = strstr(origin, "://");
    return !name || !host || g_ascii_strcasecmp(name + 3, host) != 0;
}

static bool is_forged(thew_request *request)
{
    if (is_reading(request)) return false;
    if (comes_from_elsewhere(request)) {
        thew_answer_problem(request, 403, "This request comes from another site.");
        return true;
    }
    if (!request->who || request->route->whom == THEW_FOR_ALL) return false;
    const char *token = request->header(request->of, "X-CSRF-Token");
    if (token && thew_admit_csrf_matches(request->who, token)) return false;
    thew_answer_problem(request, 403, "The header X-CSRF-Token is %s; it must be the csrf_token of /api/me.",
                        token ? "not this session's" : "missing");
    return true;
}

// --- who asks

const char *thew_request_token(thew_request *request)
{
    const char *cookies = request->header(request->of, "Cookie");
    for (const char *at = cookies; at && *at; at = strchr(at, ';')) {
        at += strspn(at, "; ");
        if (!g_str_has_prefix(at, THEW_COOKIE "=")) continue;
        at += strlen(THEW_COOKIE "=");
        return thew_request_own(request, g_strndup(at, strcspn(at, "; ")));
    }
    return NULL;
}

void thew_answer_cookie(thew_request *request, const char *token, int seconds)
{
    thew_answer_header(request, "Set-Cookie", THEW_COOKIE "=%s; Path=/; HttpOnly; SameSite=Strict; Max-Age=%d%s", token, seconds,
                       request->server->is_public_https ? "; Secure" : "");
}

// A session that is none is nobody; only what the store cannot do is answered here.
static bool find_out_who(thew_request *request)
{
    const char *token = thew_request_token(request);
    if (!token || request->route->whom == THEW_FOR_ALL) return true;
    thew_visitor *visitor = NULL;
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    thew_verdict verdict = thew_admit_session(request->studio, token, &visitor, refusal);
    request->who = visitor;
    if (verdict != THEW_UNABLE) return true;
    thew_refuse(request->refusal, verdict, "%s", refusal->sentence ? refusal->sentence : "The studio cannot be read.");
    thew_answer_refusal(request, verdict);
    return false;
}

bool thew_request_would(const thew_request *request, thew_act act, const char *person)
{
    return request->who && thew_visitor_may(request->who, act, person, request->today);
}

bool thew_request_may(thew_request *request, thew_act act, const char *person)
{
    if (thew_request_would(request, act, person)) return true;
    thew_answer_problem(request, 403, "This account may not %s%s.", thew_act_words(act), person && !strstr(thew_act_words(act), "person") ? " of this person" : "");
    return false;
}

static bool is_let_in(thew_request *request)
{
    const thew_route *to = request->route;
    if (to->whom == THEW_FOR_ALL) return true;
    if (!request->who) {
        thew_answer_problem(request, 401, "Log in first.");
        return false;
    }
    if (to->whom == THEW_FOR_STUDIO) return thew_request_may(request, to->act, NULL);
    if (to->whom == THEW_FOR_PERSON) return thew_request_may(request, to->act, request->part[0]);
    return true;
}

// Who looks at somebody else's records is noted; that it could not be (a disk that is full) keeps nobody from looking.
static void note_look(thew_request *request)
{
    const char *what = strrchr(request->path, '/') + 1, *person = request->part[0];
    if (request->route->whom != THEW_FOR_PERSON || !is_reading(request) || g_strcmp0(request->who->person, person) == 0) return;
    if (request->route->act == THEW_ACT_EXPORT_PERSON) return; // noted by what hands it out
    if (strchr(request->route->pattern, '}')[1] == '\0') what = "person";
    if (!thew_server_is_first_look(request->server, request->who->account, person, what)) return;
    thew_actor actor = thew_request_actor(request);
    g_autoptr(thew_refusal) ignored = thew_refusal_new();
    (void)thew_note_access(request->studio, &actor, person, "read", what, ignored);
}

// --- what is given

static bool is_json(const char *type)
{
    static const char json[] = "application/json";
    return type && g_ascii_strncasecmp(type, json, sizeof json - 1) == 0 && strchr("; \t", type[sizeof json - 1]);
}

static bool take_body(thew_request *request)
{
    const thew_shape *shape = request->route->body;
    if (!shape || (shape->count == 0 && request->size == 0)) return true;
    if (!is_json(request->header(request->of, "Content-Type"))) {
        thew_answer_problem(request, 415, "The body must be JSON, and Content-Type say application/json.");
        return false;
    }
    if (thew_shape_read(shape, request->bytes, request->size, &request->body, request->refusal)) return true;
    bool is_none = request->body.document == NULL;
    const thew_fault *first = request->refusal->fault->pdata[0];
    guint count = request->refusal->fault->len;
    if (is_none)
        thew_answer_problem(request, 400, "%s", first->sentence);
    else
        thew_answer_problem(request, 422, count == 1 ? "%s %s." : "%s %s, and more.", *first->pointer ? first->pointer : "The body",
                            first->sentence);
    return false;
}

// --- the whole way

// Another thread may have renamed the studio, or moved it to another zone.
static void follow_the_studio(thew_request *request)
{
    static GPrivate seen; // of this thread
    int now = g_atomic_int_get(&request->server->generation);
    if (GPOINTER_TO_INT(g_private_get(&seen)) == now) return;
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    if (thew_set_up_refresh(request->studio, refusal) == THEW_DONE) g_private_set(&seen, GINT_TO_POINTER(now));
}

static bool is_asked_by_name(thew_request *request)
{
    if (thew_server_is_named(request->server, request->header(request->of, "Host"))) return true;
    thew_answer_problem(request, 421, "This server does not go by that name; thew serve --host NAME makes it do.");
    return false;
}

static bool has_studio(thew_request *request)
{
    if (request->studio) {
        follow_the_studio(request);
        request->today = thew_studio_today(request->studio);
        return true;
    }
    thew_answer_header(request, "Retry-After", "5");
    thew_answer_problem(request, 503, "The studio cannot be opened just now.");
    return false;
}

// Whether a handler writes, and not only a little at the end of long work (a password's hash).
static bool writes(const thew_route *to)
{
    const thew_shape *const only_asks[] = { &thew_body_wishes, &thew_body_order, &thew_body_curve, &thew_body_password };
    for (gsize i = 0; i < G_N_ELEMENTS(only_asks); i++)
        if (to->body == only_asks[i]) return false;
    return to->method != THEW_GET && to->whom != THEW_FOR_ALL;
}

static void handle(thew_request *request)
{
    request->arguments(request->of, look_at_parameter, request);
    if (!thew_request_sound(request) || !take_body(request)) return;
    bool in_turn = writes(request->route);
    if (in_turn) thew_server_begin_writing(request->server);
    request->route->handle(request);
    if (in_turn) thew_server_end_writing(request->server);
    if (request->answer.status == 200) note_look(request);
    if (request->answer.status == 0) thew_answer_problem(request, 500, "A mistake in this program: please report it.");
}

void thew_routes_answer(thew_request *request)
{
    if (!is_asked_by_name(request) || !find_route(request) || !has_studio(request)) return;
    if (find_out_who(request) && !is_forged(request) && is_let_in(request)) handle(request);
}
