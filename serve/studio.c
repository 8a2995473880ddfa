// studio.c: the studio, its settings, the catalogue, whether it serves, what it serves.
#include "serve/handlers.h"
#include "serve/openapi.h"
#include "serve/pages.h"
#include "serve/tell.h"
#include "studio/set_up.h"

static void answer_studio(thew_request *request)
{
    g_autoptr(thew_studio_shown) shown = NULL;
    if (!thew_request_done(request, thew_set_up_read(request->studio, &shown, request->refusal))) return;
    json_t *counts = json_pack("{s:i, s:I, s:i, s:i}", "people", shown->counts.people, "sets", (json_int_t)shown->counts.sets,
                               "items", shown->counts.items, "classes", shown->counts.classes);
    thew_answer_json(request, 200,
                     json_pack("{s:s, s:s, s:s, s:s, s:b, s:o, s:s, s:s, s:o}", "studio", shown->studio, "called", shown->called,
                               "zone", shown->zone, "language", shown->language, "demo", shown->demo, "settings",
                               thew_shape_write(&thew_part_settings, &shown->settings), "version", request->server->version,
                               "engine", THEW_ENGINE_VERSION, "counts", counts));
}

void thew_studio_read(thew_request *request)
{
    answer_studio(request);
}

void thew_studio_write(thew_request *request)
{
    const thew_studio_change *change = thew_request_row(request, thew_studio_change);
    thew_actor actor = thew_request_actor(request);
    if (!thew_request_done(request, thew_set_up_change(request->studio, &actor, change, request->refusal))) return;
    g_atomic_int_inc(&request->server->generation);
    answer_studio(request);
}

void thew_catalogue_read(thew_request *request)
{
    const char *etag = request->server->catalogue_etag;
    thew_answer_header(request, "ETag", "%s", etag);
    thew_answer_header(request, "Cache-Control", "private, no-cache");
    if (thew_etag_matches(request->header(request->of, "If-None-Match"), etag)) {
        request->answer.status = 304;
        return;
    }
    request->answer.status = 200;
    request->answer.type = "application/json";
    request->answer.body = g_bytes_ref(request->server->catalogue_json);
}

void thew_health(thew_request *request)
{
    g_autoptr(thew_studio_shown) shown = NULL;
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    bool readable = request->studio && thew_set_up_glance(request->studio, &shown, refusal) == THEW_DONE;
    thew_answer_json(request, readable ? 200 : 503,
                     json_pack("{s:s, s:s, s:b}", "status", readable ? "pass" : "fail", "version", request->server->version,
                               "studio_readable", readable));
}

void thew_openapi(thew_request *request)
{
    request->answer.status = 200;
    request->answer.type = "application/json";
    request->answer.body = g_bytes_new_static(thew_openapi_json(), thew_openapi_size());
}
