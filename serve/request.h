// request.h: one request as a handler sees it, and the answer that it gives.
// Knows paths, parameters, bodies, problem details (RFC 9457). Leaves to others: sockets (http.h), which handler (routes.h), what
// is decided (studio/).
//
// A handler reads with the functions below and calls exactly one of the thew_answer functions, on its way out. Whatever it makes
// with thew_request_own lives until the answer has gone.
#ifndef THEW_REQUEST_H
#define THEW_REQUEST_H

#include <glib.h>
#include <jansson.h>
#include <stdbool.h>

#include "serve/shape.h"
#include "studio/admit.h"
#include "studio/studio.h"

typedef struct thew_server thew_server;
typedef struct thew_route thew_route;

typedef enum { THEW_GET = 1, THEW_HEAD = 2, THEW_POST = 4, THEW_PUT = 8, THEW_DELETE = 16, THEW_OTHER_METHOD = 32 } thew_method;

#define THEW_PATH_PARTS 4 // {..} in a pattern at most
#define THEW_ANSWER_HEADERS 8

typedef struct {
    int status; // 0: not answered yet
    const char *type;
    GBytes *body; // NULL: none
    struct {
        const char *name;
        char *value;
    } header[THEW_ANSWER_HEADERS];
    int header_count;
} thew_answer;

typedef struct thew_request thew_request;
struct thew_request {
    thew_server *server;
    const char *address; // of the other end; NULL: unknown
    thew_method method;
    const char *path;                                    // as it was sent, without the query
    const char *(*header)(void *of, const char *name);   // NULL where it was not sent
    const char *(*argument)(void *of, const char *name); // of the query; decoded
    /// Every parameter's name, once each.
    void (*arguments)(void *of, void (*each)(thew_request *request, const char *name), thew_request *request);
    void *of;
    const char *bytes; // the body, [size]
    size_t size;

    // Filled on the way.
    thew_studio *studio; // this thread's
    const thew_route *route;
    const char *part[THEW_PATH_PARTS]; // what stands at the {..}
    thew_visitor *who;                 // NULL: nobody who is known
    thew_day today;                    // in the studio's zone, as the request began
    thew_shaped body;                  // read by the route's shape
    thew_refusal *refusal;             // for whatever a use case has to say
    GPtrArray *owned;
    thew_answer answer;
};

/// All-zero but for the first members is a request at its beginning.
void thew_request_begin(thew_request *request);
void thew_request_end(thew_request *request);

/// Who asks, as it is written beside what they write.
thew_actor thew_request_actor(const thew_request *request);
/// The body's struct.
#define thew_request_row(request, type) ((const type *)(request)->body.row)
/// Free a string with the request; returns it.
char *thew_request_own(thew_request *request, char *text);

// The query's parameters. Each notes a fault in the refusal where it cannot be read; thew_request_sound answers if there was one.
const char *thew_request_text(thew_request *request, const char *name, const char *absent);
thew_date thew_request_day(thew_request *request, const char *name); // all-zero where it is absent
double thew_request_number(thew_request *request, const char *name, double low, double high, double absent);
bool thew_request_flag(thew_request *request, const char *name);
/// One of NULL-terminated words; `absent` where it is not there.
const char *thew_request_word(thew_request *request, const char *name, const char *const *word, const char *absent);
/// Whether all was well so far; if not, 400 is answered.
bool thew_request_sound(thew_request *request);

// Answers.
void thew_answer_header(thew_request *request, const char *name, const char *format, ...) G_GNUC_PRINTF(3, 4);
/// Takes the value.
void thew_answer_json(thew_request *request, int status, json_t *value);
/// Takes the bytes (g_malloc'ed).
void thew_answer_bytes(thew_request *request, int status, const char *type, char *bytes, gsize size);
/// Takes the drawing.
void thew_answer_svg(thew_request *request, char *svg);
void thew_answer_nothing(thew_request *request); // 204
/// A problem with a sentence.
void thew_answer_problem(thew_request *request, int status, const char *format, ...) G_GNUC_PRINTF(3, 4);
/// The same with a member of its own (RFC 9457, 3.2); takes the value.
void thew_answer_problem_with(thew_request *request, int status, const char *member, json_t *value, const char *format, ...)
    G_GNUC_PRINTF(5, 6);
/// What a use case that did not do it means: 422 (400 where the request itself could not be read), 404, 409, 403, 503 or 507, with
/// its sentences.
void thew_answer_refusal(thew_request *request, thew_verdict verdict);
/// Whether it was done (before, too); if not, that is answered.
bool thew_request_done(thew_request *request, thew_verdict verdict);
/// The same for a status of the store.
bool thew_request_store(thew_request *request, int status);

#endif
