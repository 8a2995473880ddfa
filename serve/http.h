// http.h: sockets, threads, limits: from a connection to a thew_request and back.
// Knows HTTP by libmicrohttpd, how much is taken in, and how it ends. Leaves to others: what is answered (routes.h, pages.h).
//
//   network threads ──body complete──> queue ──> workers, each with a studio of its own ──> network threads
//
// One more thread, of low priority, brings estimates up to date that are behind.
//
// Pages are answered by the network threads themselves. Everything under /api/ goes through the queue: while a worker waits for the
// disk or composes a class, nobody else's connection waits. A connection has one request at a time, so the limit of connections is
// the queue's too.
#ifndef THEW_HTTP_H
#define THEW_HTTP_H

#include <stdio.h>

#include "serve/server.h"

typedef struct {
    const char *address;                 // "127.0.0.1", "::1", "0.0.0.0"
    int port;                            // 0: any that is free
    int network_threads, workers;        // 0: by the machine
    int connections_max;                 // 0: 1000
    int idle_s;                          // a connection without a sound is ended; 0: 30
    void (*ready)(void *user, int port); // told once it listens
    void *user;
} thew_http_options;

/// Serve until SIGTERM or SIGINT; requests under way are answered first. Blocks these signals in all threads.
///   returns   false after a sentence to `trouble`: the port is taken, the address is not of this machine, ...
bool thew_http_run(thew_server *server, const thew_http_options *options, GString *trouble);

#endif
