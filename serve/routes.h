// routes.h: the one table of what can be asked, and the way of a request from path to answer.
// Knows methods, patterns, who may, which body, in which order doubts are raised. Leaves to others: what is then done (a file a
// subject), sockets (http.h).
//
//   host? → route? (404, 405) → forged? → session? (401) → may they? (403) → kind of content? (415) → body? (400, 422) → handler
#ifndef THEW_ROUTES_H
#define THEW_ROUTES_H

#include "serve/request.h"
#include "serve/server.h"

/// Whom a route is for.
typedef enum {
    THEW_FOR_ALL,     // nobody has to be logged in
    THEW_FOR_ENTERED, // whoever is
    THEW_FOR_STUDIO,  // who may do the act to the studio
    THEW_FOR_PERSON,  // who may do it to the person that the path names first
    THEW_FOR_LATER    // the handler asks for each person concerned (thew_request_may)
} thew_for;

struct thew_route {
    thew_method method; // HEAD goes where GET goes
    const char *pattern;
    thew_for whom;
    thew_act act;
    const thew_shape *body; // NULL: none
    const char *query;      // names of parameters, parted by blanks; others are refused
    void (*handle)(thew_request *request);
};

/// All of them.
const thew_route *thew_routes(size_t *count);

#define THEW_BODY_MAX (1 << 20)    // bytes
#define THEW_IMPORT_MAX (32 << 20) // of POST /api/import
/// How much of a body is taken in for a path.
size_t thew_routes_body_max(const char *path);

/// Answer a request, whatever it is: request->answer is filled.
///   request   its first members filled, thew_request_begin called; studio may be NULL where it could not be opened (503)
void thew_routes_answer(thew_request *request);

/// Whether whoever asks may do that to that person's records (NULL: the studio's); if not, that is answered: 403.
bool thew_request_may(thew_request *request, thew_act act, const char *person);
/// The same question without an answer.
bool thew_request_would(const thew_request *request, thew_act act, const char *person);

#define THEW_COOKIE "thew"
/// Set the session's cookie; "" ends it.
void thew_answer_cookie(thew_request *request, const char *token, int seconds);
/// The session's token as the cookie has it, NULL if there is none. Freed with the request.
const char *thew_request_token(thew_request *request);

#endif
