// server.h: what all requests share: the studio's place, the catalogue, who may ask from where.
// Knows what does not change while it serves. Leaves to others: threads and sockets (http.h), routes (routes.h).
#ifndef THEW_SERVER_H
#define THEW_SERVER_H

#include <glib.h>

#include "catalogue/catalogue.h"
#include "studio/admit.h"

typedef struct thew_server {
    const char *studio_path;
    const thew_catalogue *catalogue;
    const char *version;     // of the program
    const char *const *host; // NULL-terminated: names under which it may be asked, beside the loopback's own; may be NULL
    bool is_public_https;    // somebody in front of it speaks TLS: cookies are for TLS only

    thew_throttle *throttle;
    struct thew_demand_memo *memo; // of all threads (studio/demand_memo.h)
    GBytes *catalogue_json; // made once
    char *catalogue_etag;
    GMutex lock;
    GCond turn;                 // of those who write
    guint next_ticket, serving; // under the lock
    GHashTable *looked;         // under the lock: who looked at whose what, and when
    gint generation;            // atomic: grows when the studio's name or zone changes, so that every thread takes them anew
} thew_server;

/// Fill in what follows from the first members.
void thew_server_begin(thew_server *server);
void thew_server_end(thew_server *server);

/// Open the studio for one thread: for writing, or only for reading where its file cannot be written.
thew_verdict thew_server_open(const thew_server *server, thew_studio **studio, thew_refusal *refusal);

/// The database has one writer at a time, and those who wait for it there are not served in the order in which they came: some of
/// many would wait for ever. So a handler that writes waits for its turn here first.
void thew_server_begin_writing(thew_server *server);
void thew_server_end_writing(thew_server *server);

/// Whether this look at a person's records is to be noted: the first within a while of this account at this part of them.
bool thew_server_is_first_look(thew_server *server, const char *account, const char *person, const char *what);

/// Whether a Host header names this server: localhost, the loopback's addresses, or one of its own names, with any port. What a
/// page of another origin makes a browser ask under a name of its own (DNS rebinding) is none of these.
bool thew_server_is_named(const thew_server *server, const char *host);

#endif
