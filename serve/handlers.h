// handlers.h: every handler of routes_list.h; each is in the file that the list's headings name.
#ifndef THEW_HANDLERS_H
#define THEW_HANDLERS_H

#include "serve/bodies.h"
#include "serve/request.h"
#include "serve/routes.h"

#define ROUTE(method, pattern, whom, act, body, query, handle, answer, summary) void handle(thew_request *request);
#include "serve/routes_list.h"
#undef ROUTE

#endif
