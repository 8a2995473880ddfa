// http.c: see http.h.
#include "serve/http.h"

#include <arpa/inet.h>
#include <errno.h>
#include <microhttpd.h>
#include <netdb.h>
#include <netinet/tcp.h>
#include <signal.h>
#include <string.h>
#include <sys/resource.h>
#include <unistd.h>

#include "serve/pages.h"
#include "serve/routes.h"
#include "studio/believe.h"

#define CONNECTION_BYTES 16384   // for lines and headers of one request
#define SWALLOWED_MAX (64 << 20) // of a body that is too large: read and dropped, so that its sender hears why
#define HELD_MAX (256 << 20)     // of all bodies together
#define REOPEN_S 5               // between tries at a studio that could not be opened, or only for reading
#define CATCH_UP_S 2             // between looks at whose estimates are behind
#define END_S 10                 // for requests under way when the end is asked for

typedef struct {
    thew_server *server;
    struct MHD_Daemon *daemon;
    GAsyncQueue *queue; // of exchanges
    GMutex lock;
    GCond nothing_under_way, end;
    int under_way; // exchanges that a worker has or had, and whose answer is not sent yet
    bool is_ending;
    gint64 held; // bytes of bodies
} house;

typedef enum { TAKING_IN, WAITING, ANSWERED } stage;

// A request and its answer, on their way.
typedef struct {
    house *house;
    struct MHD_Connection *connection;
    stage stage;
    thew_method method;
    bool is_counted; // among those under way
    GByteArray *body;
    gsize body_max, swallowed;
    bool is_too_large, is_too_much;
    char *path;
    char address[64];
    thew_request request;
} exchange;

// --- what a request's handler can ask of it

static const char *header_of(void *of, const char *name)
{
    return MHD_lookup_connection_value(((exchange *)of)->connection, MHD_HEADER_KIND, name);
}

// MHD has taken + for a blank; what is written %XX is left to us. Bad escapes make no text: the raw one is then found faulty.
static const char *argument_of(void *of, const char *name)
{
    exchange *x = of;
    const char *value = MHD_lookup_connection_value(x->connection, MHD_GET_ARGUMENT_KIND, name);
    if (!value) return NULL;
    char *text = g_uri_unescape_string(value, NULL);
    return text ? thew_request_own(&x->request, text) : value;
}

typedef struct {
    void (*each)(thew_request *request, const char *name);
    thew_request *request;
} visit;

static enum MHD_Result visit_argument(void *user, enum MHD_ValueKind kind, const char *key, const char *value)
{
    (void)kind;
    (void)value;
    const visit *to = user;
    to->each(to->request, key);
    return MHD_YES;
}

static void arguments_of(void *of, void (*each)(thew_request *request, const char *name), thew_request *request)
{
    visit to = { each, request };
    MHD_get_connection_values(((exchange *)of)->connection, MHD_GET_ARGUMENT_KIND, visit_argument, &to);
}

static size_t leave_escapes(void *user, struct MHD_Connection *connection, char *text)
{
    (void)user;
    (void)connection;
    return strlen(text);
}

static thew_method method_of(const char *word)
{
    static const struct {
        const char *word;
        thew_method method;
    } all[] = { { "GET", THEW_GET }, { "HEAD", THEW_HEAD }, { "POST", THEW_POST }, { "PUT", THEW_PUT }, { "DELETE", THEW_DELETE } };
    for (gsize i = 0; i < G_N_ELEMENTS(all); i++)
        if (strcmp(all[i].word, word) == 0) return all[i].method;
    return THEW_OTHER_METHOD;
}

// --- sending

// A drawing that is looked at by itself brings its style along, and may do nothing else.
#define POLICY_OF_DRAWINGS "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'"
#define POLICY                                                                                                                     \
    "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' data:; object-src 'none'; "        \
    "frame-ancestors 'none'; base-uri 'none'; form-action 'self'"

static void add_headers_of_all(const thew_server *server, struct MHD_Response *response, const char *policy)
{
    const struct {
        const char *name, *value;
    } all[] = {
        { "Content-Security-Policy", policy },
        { "X-Content-Type-Options", "nosniff" },
        { "Referrer-Policy", "no-referrer" },
        { "Cross-Origin-Opener-Policy", "same-origin" },
        { "Cross-Origin-Embedder-Policy", "require-corp" },
        { "Cross-Origin-Resource-Policy", "same-origin" },
        { "Permissions-Policy", "camera=(), geolocation=(), microphone=()" },
    };
    for (gsize i = 0; i < G_N_ELEMENTS(all); i++)
        MHD_add_response_header(response, all[i].name, all[i].value);
    if (server->is_public_https) MHD_add_response_header(response, "Strict-Transport-Security", "max-age=31536000");
}

static void unref_bytes(void *bytes)
{
    g_bytes_unref(bytes);
}

static enum MHD_Result send_answer(exchange *x)
{
    const thew_answer *answer = &x->request.answer;
    struct MHD_Response *response;
    if (answer->body) {
        gsize size;
        const void *bytes = g_bytes_get_data(answer->body, &size);
        response =
            MHD_create_response_from_buffer_with_free_callback_cls(size, (void *)bytes, unref_bytes, g_bytes_ref(answer->body));
        MHD_add_response_header(response, "Content-Type", answer->type);
    } else {
        response = MHD_create_response_from_buffer(0, "", MHD_RESPMEM_PERSISTENT);
    }
    bool says_how_long = false;
    for (int i = 0; i < answer->header_count; i++) {
        MHD_add_response_header(response, answer->header[i].name, answer->header[i].value);
        says_how_long |= strcmp(answer->header[i].name, "Cache-Control") == 0;
    }
    if (!says_how_long) MHD_add_response_header(response, "Cache-Control", "no-store");
    bool is_drawing = answer->type && g_str_has_prefix(answer->type, "image/svg+xml");
    add_headers_of_all(x->house->server, response, is_drawing ? POLICY_OF_DRAWINGS : POLICY);
    enum MHD_Result result = MHD_queue_response(x->connection, (unsigned)answer->status, response);
    MHD_destroy_response(response);
    return result;
}

static enum MHD_Result refuse(exchange *x, int status, const char *sentence)
{
    thew_answer_problem(&x->request, status, "%s", sentence);
    return send_answer(x);
}

// --- pages

static enum MHD_Result send_page(exchange *x, const thew_page *page, bool is_unchanged)
{
    struct MHD_Response *response =
        is_unchanged ? MHD_create_response_from_buffer(0, "", MHD_RESPMEM_PERSISTENT)
                     : MHD_create_response_from_buffer(page->bytes.size, (void *)page->bytes.bytes, MHD_RESPMEM_PERSISTENT);
    if (!is_unchanged) MHD_add_response_header(response, "Content-Type", page->file->type);
    if (!is_unchanged && page->encoding) MHD_add_response_header(response, "Content-Encoding", thew_encoding_word(page->encoding));
    MHD_add_response_header(response, "ETag", page->etag);
    MHD_add_response_header(response, "Vary", "Accept-Encoding");
    MHD_add_response_header(response, "Cache-Control",
                            page->file->named_by_hash ? "public, max-age=31536000, immutable" : "no-cache");
    add_headers_of_all(x->house->server, response, POLICY);
    enum MHD_Result result = MHD_queue_response(x->connection, is_unchanged ? 304 : 200, response);
    MHD_destroy_response(response);
    return result;
}

static enum MHD_Result answer_page(exchange *x)
{
    if (!thew_server_is_named(x->house->server, header_of(x, "Host")))
        return refuse(x, 421, "This server does not go by that name; thew serve --host NAME makes it do.");
    thew_page page = thew_pages_find(thew_web_files, thew_web_files_count, x->path, header_of(x, "Accept-Encoding"));
    if (!page.file && thew_web_files_count == 0)
        return refuse(x, 404, "This program was built without its pages; /api/ is served.");
    if (!page.file) return refuse(x, 404, "Nothing is served at this address.");
    if (x->method != THEW_GET && x->method != THEW_HEAD) {
        thew_answer_header(&x->request, "Allow", "GET, HEAD");
        return refuse(x, 405, "This can be asked by GET, HEAD only.");
    }
    return send_page(x, &page, thew_etag_matches(header_of(x, "If-None-Match"), page.etag));
}

// --- taking in

// Who stands in front and speaks TLS says last who asked it; nobody else is believed.
static const char *address_of(exchange *x)
{
    const char *told = x->house->server->is_public_https ? header_of(x, "X-Forwarded-For") : NULL;
    if (told) {
        const char *last = strrchr(told, ',');
        g_strlcpy(x->address, last ? last + 1 : told, sizeof x->address);
        return g_strstrip(x->address);
    }
    const union MHD_ConnectionInfo *info = MHD_get_connection_info(x->connection, MHD_CONNECTION_INFO_CLIENT_ADDRESS);
    const struct sockaddr *at = info ? info->client_addr : NULL;
    if (!at || getnameinfo(at, at->sa_family == AF_INET6 ? sizeof(struct sockaddr_in6) : sizeof(struct sockaddr_in), x->address,
                           sizeof x->address, NULL, 0, NI_NUMERICHOST) != 0)
        return NULL;
    return x->address;
}

static void begin_exchange(exchange *x)
{
    x->request.server = x->house->server;
    x->request.method = x->method;
    x->request.address = address_of(x);
    x->request.path = x->path;
    x->request.header = header_of;
    x->request.argument = argument_of;
    x->request.arguments = arguments_of;
    x->request.of = x;
    thew_request_begin(&x->request);
}

static bool may_hold(house *h, gint64 more)
{
    g_mutex_lock(&h->lock);
    bool may = h->held + more <= HELD_MAX;
    if (may) h->held += more;
    g_mutex_unlock(&h->lock);
    return may;
}

static void drop_body(exchange *x)
{
    if (!x->body) return;
    may_hold(x->house, -(gint64)x->body->len);
    g_clear_pointer(&x->body, g_byte_array_unref);
}

//   returns   MHD_NO: the connection is ended, since its sender does not stop
static enum MHD_Result take_in(exchange *x, const char *bytes, size_t size)
{
    if (!x->is_too_large && !x->is_too_much) {
        gsize have = x->body ? x->body->len : 0;
        x->is_too_large = have + size > x->body_max;
        x->is_too_much = !x->is_too_large && !may_hold(x->house, (gint64)size);
        if (x->is_too_large || x->is_too_much) {
            drop_body(x);
        } else {
            if (!x->body) x->body = g_byte_array_new();
            g_byte_array_append(x->body, (const guint8 *)bytes, (guint)size);
            return MHD_YES;
        }
    }
    x->swallowed += size;
    return x->swallowed <= SWALLOWED_MAX ? MHD_YES : MHD_NO;
}

// --- through the queue

// Before the exchange is in the queue its connection has to sleep: a worker may be done before we come back.
static enum MHD_Result enqueue(exchange *x)
{
    house *h = x->house;
    g_mutex_lock(&h->lock);
    bool is_ending = h->is_ending;
    if (!is_ending) {
        h->under_way++;
        x->is_counted = true;
    }
    g_mutex_unlock(&h->lock);
    if (is_ending) return refuse(x, 503, "This server is going down.");
    x->request.bytes = x->body ? (const char *)x->body->data : "";
    x->request.size = x->body ? x->body->len : 0;
    x->stage = WAITING;
    MHD_suspend_connection(x->connection);
    g_async_queue_push(h->queue, x);
    return MHD_YES;
}

static enum MHD_Result answer_complete(exchange *x)
{
    if (x->is_too_large) {
        g_autofree char *sentence = g_strdup_printf("The body may have at most %zu bytes.", x->body_max);
        return refuse(x, 413, sentence);
    }
    if (x->is_too_much) {
        thew_answer_header(&x->request, "Retry-After", "5");
        return refuse(x, 503, "Too much is being sent at once; try again in a moment.");
    }
    bool is_page = !g_str_has_prefix(x->path, "/api/") && strcmp(x->path, "/api") != 0;
    return is_page ? answer_page(x) : enqueue(x);
}

static enum MHD_Result on_request(void *user, struct MHD_Connection *connection, const char *url, const char *method,
                                  const char *version, const char *upload, size_t *upload_size, void **slot)
{
    (void)version;
    exchange *x = *slot;
    if (!x) { // nothing is queued on the first call: that would end the connection
        *slot = x = g_new0(exchange, 1);
        *x = (exchange){ .house = user, .connection = connection, .method = method_of(method), .path = g_strdup(url) };
        x->body_max = thew_routes_body_max(x->path);
        begin_exchange(x);
        return MHD_YES;
    }
    if (*upload_size > 0) {
        enum MHD_Result goes_on = take_in(x, upload, *upload_size);
        *upload_size = 0;
        return goes_on;
    }
    return x->stage == ANSWERED ? send_answer(x) : answer_complete(x);
}

static void on_done(void *user, struct MHD_Connection *connection, void **slot, enum MHD_RequestTerminationCode how)
{
    (void)connection;
    (void)how;
    house *h = user;
    exchange *x = *slot;
    *slot = NULL;
    if (!x) return;
    drop_body(x);
    thew_request_end(&x->request);
    g_free(x->path);
    if (x->is_counted) {
        g_mutex_lock(&h->lock);
        if (--h->under_way == 0) g_cond_broadcast(&h->nothing_under_way);
        g_mutex_unlock(&h->lock);
    }
    g_free(x);
}

// --- workers

static void keep_open(const house *h, thew_studio **studio, gint64 *tried_us)
{
    bool is_whole = *studio && thew_db_opened_for((*studio)->db) != THEW_DB_READ;
    gint64 now = g_get_monotonic_time();
    if (is_whole || (*tried_us && now - *tried_us < REOPEN_S * G_USEC_PER_SEC)) return;
    *tried_us = now;
    thew_studio *opened = NULL;
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    if (thew_server_open(h->server, &opened, refusal) != THEW_DONE) return;
    thew_studio_close(*studio);
    *studio = opened;
}

static gpointer work(gpointer user)
{
    house *h = user;
    thew_studio *studio = NULL;
    gint64 tried_us = 0;
    for (exchange *x; (x = g_async_queue_pop(h->queue)) != user;) {
        keep_open(h, &studio, &tried_us);
        x->request.studio = studio;
        thew_routes_answer(&x->request);
        x->stage = ANSWERED;
        MHD_resume_connection(x->connection);
    }
    thew_studio_close(studio);
    return NULL;
}

// --- what can wait

// Whoever's estimates are behind what is known of them (a large import, a band measured anew) is brought up to date while nothing
// else is asked of the processor: whoever looks at everybody then need not read every diary. One person at a time, so that nobody
// waits long.
static bool catch_up(house *h, thew_studio *studio)
{
    guint left = 0;
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    thew_server_begin_writing(h->server);
    thew_verdict verdict = thew_believe_stale(studio, 1, &left, refusal);
    thew_server_end_writing(h->server);
    return verdict == THEW_DONE && left > 0;
}

static bool has_to_end(house *h, gint64 wait_us)
{
    g_mutex_lock(&h->lock);
    gint64 until = g_get_monotonic_time() + wait_us;
    while (!h->is_ending && g_cond_wait_until(&h->end, &h->lock, until))
        continue;
    bool is_ending = h->is_ending;
    g_mutex_unlock(&h->lock);
    return is_ending;
}

static gpointer keep_house(gpointer user)
{
    house *h = user;
    thew_studio *studio = NULL;
    gint64 tried_us = 0, wait_us = 0;
    setpriority(PRIO_PROCESS, (id_t)gettid(), 15); // of this thread (Linux)
    while (!has_to_end(h, wait_us)) {
        keep_open(h, &studio, &tried_us);
        bool may_write = studio && thew_db_opened_for(studio->db) != THEW_DB_READ;
        wait_us = may_write && catch_up(h, studio) ? 0 : CATCH_UP_S * G_USEC_PER_SEC;
    }
    thew_studio_close(studio);
    return NULL;
}

// --- the beginning and the end

static void stay_silent(void *user, const char *format, va_list arguments)
{
    (void)user;
    (void)format;
    (void)arguments;
}

static int open_socket(const thew_http_options *options, GString *trouble)
{
    struct addrinfo wanted = { .ai_family = AF_UNSPEC, .ai_socktype = SOCK_STREAM, .ai_flags = AI_NUMERICHOST | AI_PASSIVE },
                    *found;
    g_autofree char *port = g_strdup_printf("%d", options->port);
    if (getaddrinfo(options->address, port, &wanted, &found) != 0) {
        g_string_printf(trouble, "\"%s\" is no address; 127.0.0.1 or ::1 would be one", options->address);
        return -1;
    }
    int yes = 1, listener = socket(found->ai_family, SOCK_STREAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0);
    setsockopt(listener, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
    bool is_open = listener >= 0 && bind(listener, found->ai_addr, found->ai_addrlen) == 0 && listen(listener, 1024) == 0;
    int number = errno;
    freeaddrinfo(found);
    if (is_open) return listener;
    if (listener >= 0) close(listener);
    if (number == EADDRINUSE)
        g_string_printf(trouble, "port %d of %s is taken: another program listens there; choose another by --port", options->port,
                        options->address);
    else
        g_string_printf(trouble, "port %d of %s cannot be listened at: %s", options->port, options->address, g_strerror(number));
    return -1;
}

static int port_of(int listener)
{
    struct sockaddr_storage at;
    socklen_t size = sizeof at;
    if (getsockname(listener, (struct sockaddr *)&at, &size) != 0) return 0;
    return ntohs(at.ss_family == AF_INET6 ? ((struct sockaddr_in6 *)&at)->sin6_port : ((struct sockaddr_in *)&at)->sin_port);
}

static struct MHD_Daemon *start_daemon(house *h, const thew_http_options *options, int listener)
{
    int threads = options->network_threads ? options->network_threads : (int)CLAMP(g_get_num_processors(), 2, 8);
    int connections = options->connections_max ? options->connections_max : 1000;
    return MHD_start_daemon(MHD_USE_EPOLL_INTERNAL_THREAD | MHD_ALLOW_SUSPEND_RESUME | MHD_USE_ERROR_LOG, 0, NULL, NULL, on_request,
                            h, MHD_OPTION_EXTERNAL_LOGGER, stay_silent, NULL, MHD_OPTION_LISTEN_SOCKET, listener,
                            MHD_OPTION_THREAD_POOL_SIZE, (unsigned)threads, MHD_OPTION_CONNECTION_LIMIT, (unsigned)connections,
                            MHD_OPTION_CONNECTION_TIMEOUT, (unsigned)(options->idle_s ? options->idle_s : 30),
                            MHD_OPTION_CONNECTION_MEMORY_LIMIT, (size_t)CONNECTION_BYTES, MHD_OPTION_NOTIFY_COMPLETED, on_done, h,
                            MHD_OPTION_UNESCAPE_CALLBACK, leave_escapes, NULL, MHD_OPTION_STRICT_FOR_CLIENT, 1, MHD_OPTION_END);
}

// Nobody new is let in; whom a worker has is answered, unless they do not listen.
static void end_daemon(house *h)
{
    MHD_socket listener = MHD_quiesce_daemon(h->daemon);
    if (listener != MHD_INVALID_SOCKET) close(listener);
    gint64 until = g_get_monotonic_time() + END_S * G_USEC_PER_SEC;
    g_mutex_lock(&h->lock);
    h->is_ending = true;
    g_cond_broadcast(&h->end);
    while (h->under_way > 0)
        if (!g_cond_wait_until(&h->nothing_under_way, &h->lock, until)) break;
    g_mutex_unlock(&h->lock);
}

static void wait_for_the_end(void)
{
    sigset_t ends;
    sigemptyset(&ends);
    sigaddset(&ends, SIGTERM);
    sigaddset(&ends, SIGINT);
    int which;
    while (sigwait(&ends, &which) != 0)
        continue;
}

static void block_signals(void)
{
    sigset_t ends;
    sigemptyset(&ends);
    sigaddset(&ends, SIGTERM);
    sigaddset(&ends, SIGINT);
    sigaddset(&ends, SIGPIPE);
    pthread_sigmask(SIG_BLOCK, &ends, NULL);
}

bool thew_http_run(thew_server *server, const thew_http_options *options, GString *trouble)
{
    block_signals();
    int listener = open_socket(options, trouble);
    if (listener < 0) return false;
    int port = port_of(listener);
    house h = { .server = server, .queue = g_async_queue_new() };
    g_mutex_init(&h.lock);
    g_cond_init(&h.nothing_under_way);
    g_cond_init(&h.end);
    int workers = options->workers ? options->workers : (int)CLAMP(2 * g_get_num_processors(), 4, 32);
    g_autofree GThread **worker = g_new0(GThread *, workers);
    for (int i = 0; i < workers; i++)
        worker[i] = g_thread_new("worker", work, &h);
    h.daemon = start_daemon(&h, options, listener);
    GThread *keeper = h.daemon ? g_thread_new("keeper", keep_house, &h) : NULL;
    if (h.daemon) {
        if (options->ready) options->ready(options->user, port);
        wait_for_the_end();
        end_daemon(&h);
    } else {
        g_string_assign(trouble, "the server could not start: too few file handles or threads are left");
        close(listener);
    }
    for (int i = 0; i < workers; i++)
        g_async_queue_push(h.queue, &h); // its own address: the end
    for (int i = 0; i < workers; i++)
        g_thread_join(worker[i]);
    if (keeper) g_thread_join(keeper);
    bool was_fine = h.daemon != NULL;
    if (h.daemon) MHD_stop_daemon(h.daemon);
    g_async_queue_unref(h.queue);
    g_mutex_clear(&h.lock);
    g_cond_clear(&h.nothing_under_way);
    g_cond_clear(&h.end);
    return was_fine;
}
