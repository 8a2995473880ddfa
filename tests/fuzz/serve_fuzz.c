// serve_fuzz.c: any body, at any path, with any parameters, asked by a coach: every request has one answer, every answer is JSON or
// what its route promises, no answer is a mistake of the program, and what was read by a shape is written back as the same.
//
// An input is: a byte that chooses the route, the parts of the path and the query up to a line end, the body.
#include <glib.h>
#include <glib/gstdio.h>
#include <jansson.h>
#include <stdint.h>
#include <string.h>

#include "serve/bodies.h"
#include "serve/routes.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static thew_server server;
static thew_studio *studio;
static char *cookie, *token;

static void begin(void)
{
    g_assert(thew_admit_ready());
    g_autofree char *folder = g_dir_make_tmp("fuzz-XXXXXX", NULL);
    char *path = g_build_filename(folder, "studio.thew", NULL);
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    server.studio_path = path;
    server.version = "fuzz";
    server.catalogue = thew_catalogue_load(NULL, NULL);
    thew_server_begin(&server);
    g_assert(thew_studio_make(path, "Invented", "UTC", "en", refusal) == THEW_DONE);
    g_assert(thew_server_open(&server, &studio, refusal) == THEW_DONE);
    thew_link link = { 0 };
    g_auto(thew_admitted) admitted = { 0 };
    g_assert(thew_admit_first_coach(studio, "Cora", &link, refusal) == THEW_DONE);
    g_assert(thew_admit_by_link(studio, link.secret, "cora", "kettle lamp orchard nine", "Cora", &admitted, refusal) == THEW_DONE);
    cookie = g_strdup_printf(THEW_COOKIE "=%s", admitted.token);
    token = g_strdup(admitted.visitor->csrf_token);
}

// --- a request without a socket

typedef struct {
    const char *name[8], *value[8];
    int count;
} query;

static const char *header_of(void *of, const char *name)
{
    (void)of;
    return strcmp(name, "Host") == 0           ? "localhost"
           : strcmp(name, "Cookie") == 0       ? cookie
           : strcmp(name, "X-CSRF-Token") == 0 ? token
           : strcmp(name, "Content-Type") == 0 ? "application/json"
                                               : NULL;
}

static const char *argument_of(void *of, const char *name)
{
    const query *q = of;
    for (int i = 0; i < q->count; i++)
        if (strcmp(q->name[i], name) == 0) return q->value[i];
    return NULL;
}

static void arguments_of(void *of, void (*each)(thew_request *request, const char *name), thew_request *request)
{
    const query *q = of;
    for (int i = 0; i < q->count; i++)
        each(request, q->name[i]);
}

// "a&b" as parts of the path, then name=value: what the route's pattern and query take.
static char *path_of(const thew_route *route, char **word, int *used)
{
    GString *path = g_string_new(NULL);
    for (const char *at = route->pattern; *at; at++) {
        if (*at != '{') {
            g_string_append_c(path, *at);
            continue;
        }
        const char *part = word[*used] ? word[(*used)++] : "x";
        g_string_append_uri_escaped(path, part, NULL, FALSE);
        at = strchr(at, '}');
    }
    return g_string_free(path, FALSE);
}

static void look_at(const thew_request *request)
{
    const thew_answer *answer = &request->answer;
    g_assert(answer->status >= 200 && answer->status < 600);
    g_assert(answer->status != 500);
    if (!answer->body) return;
    gsize length;
    const char *text = g_bytes_get_data(answer->body, &length);
    if (!g_str_has_prefix(answer->type, "application/json") && !g_str_has_prefix(answer->type, "application/problem+json")) return;
    json_t *value = json_loadb(text, length, JSON_REJECT_DUPLICATES, NULL);
    g_assert(value);
    if (answer->status >= 400) g_assert(json_integer_value(json_object_get(value, "status")) == answer->status);
    json_decref(value);
}

static void ask(const thew_route *route, char **word, const uint8_t *body, size_t size)
{
    int used = 0;
    g_autofree char *path = path_of(route, word, &used);
    query q = { 0 };
    for (; word[used] && q.count < 8; used++) {
        char *equals = strchr(word[used], '=');
        if (!equals) continue;
        *equals = '\0';
        q.name[q.count] = word[used];
        q.value[q.count++] = equals + 1;
    }
    thew_request request = { .server = &server,
                             .method = route->method,
                             .path = path,
                             .header = header_of,
                             .argument = argument_of,
                             .arguments = arguments_of,
                             .of = &q,
                             .bytes = (const char *)body,
                             .size = size,
                             .studio = studio };
    thew_request_begin(&request);
    thew_routes_answer(&request);
    look_at(&request);
    thew_request_end(&request);
}

// What a shape has read, it writes; what it has written, it reads.
static void there_and_back(const thew_shape *shape, const uint8_t *body, size_t size)
{
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    g_auto(thew_shaped) one = { 0 }, two = { 0 };
    if (!thew_shape_read(shape, (const char *)body, size, &one, refusal)) return;
    json_t *written = thew_shape_write(shape, one.row);
    char *text = json_dumps(written, 0);
    g_assert(thew_shape_read(shape, text, strlen(text), &two, refusal));
    json_t *again = thew_shape_write(shape, two.row);
    g_assert(json_equal(written, again));
    json_decref(written);
    json_decref(again);
    free(text);
}

// Those that hash a password on purpose slowly, or end the session that all this goes by.
static bool is_left_out(const thew_route *route)
{
    const char *const out[] = { "/api/login", "/api/invitation", "/api/password", "/api/logout" };
    for (gsize i = 0; i < G_N_ELEMENTS(out); i++)
        if (strcmp(route->pattern, out[i]) == 0) return true;
    return strstr(route->pattern, "/api/accounts") != NULL;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (!studio) begin();
    if (size < 1) return 0;
    size_t count;
    const thew_route *all = thew_routes(&count), *route = &all[data[0] % count];
    const uint8_t *line = data + 1, *end = memchr(line, '\n', size - 1), *body = end ? end + 1 : data + size;
    g_autofree char *words = g_strndup((const char *)line, (size_t)((end ? end : data + size) - line));
    g_auto(GStrv) word = g_strsplit(words, "&", 12);
    size_t left = (size_t)(data + size - body);
    if (!is_left_out(route)) ask(route, word, body, left);
    if (route->body) there_and_back(route->body, body, left);
    return 0;
}
