// serve.c: `thew serve`: the studio's pages and its interface over HTTP.
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "cli/command.h"
#include "cli/open.h"
#include "cli/version.h"
#include "exchange/instant.h"
#include "serve/http.h"
#include "serve/server.h"

typedef struct {
    char *address, *studio;
    int port, threads, workers;
    char **host;
    gboolean is_public_https;
    thew_link link; // for the first coach; its secret is "" where somebody can come in already
} serve_options;

static void serve_options_clear(serve_options *o)
{
    g_free(o->address);
    g_free(o->studio);
    g_strfreev(o->host);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(serve_options, serve_options_clear)

static const char description[] = "The studio's file is made if it is not there. Whoever serves a studio to others than this "
                                  "machine puts a server in front of it\n"
                                  "that speaks TLS, and names it: thew serve --host studio.example.org --public-https\n\n"
                                  "While nobody can come in yet, a link for the first coach is shown. It is good once.";

static const char *sentence_of(const thew_refusal *refusal)
{
    if (refusal->sentence) return refusal->sentence;
    return refusal->fault->len > 0 ? ((const thew_fault *)refusal->fault->pdata[0])->sentence : "it does not say why";
}

// --- the studio

static bool make_studio(const char *path)
{
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    if (thew_studio_make(path, "My studio", NULL, "en", refusal) == THEW_DONE) return true;
    fprintf(stderr, "thew serve: %s\n", sentence_of(refusal));
    return false;
}

static thew_studio *open_studio(const thew_server *server)
{
    if (!g_file_test(server->studio_path, G_FILE_TEST_EXISTS) && !make_studio(server->studio_path)) return NULL;
    thew_studio *studio = NULL;
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    if (thew_server_open(server, &studio, refusal) == THEW_DONE) return studio;
    fprintf(stderr, "thew serve: %s\n", sentence_of(refusal));
    return NULL;
}

// A link for the first coach, unless somebody can come in.
static void make_first_link(thew_studio *studio, thew_link *link)
{
    bool has = true;
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    if (thew_admit_has_coach(studio, &has) < 0 || has) return;
    if (thew_admit_first_coach(studio, "Coach", link, refusal) != THEW_DONE)
        fprintf(stderr, "thew serve: no link for the first coach could be made: %s\n", sentence_of(refusal));
}

// --- serving

static void say_where(void *user, int port)
{
    const serve_options *o = user;
    g_autofree char *here = g_strdup_printf(strchr(o->address, ':') ? "http://[%s]:%d" : "http://%s:%d", o->address, port);
    g_autofree char *outside = o->is_public_https && o->host && *o->host ? g_strdup_printf("https://%s", *o->host) : NULL;
    printf("serving %s at %s/\n", o->studio, here);
    if (*o->link.secret) {
        char until[THEW_INSTANT_TEXT];
        thew_instant_us_text(o->link.ends_us.us, until);
        printf("The first coach comes in by this link, once, until %s:\n%s/welcome#%s\n", until, outside ? outside : here,
               o->link.secret);
    }
    fflush(stdout);
}

// The address that is listened at is a name of the server too, unless it stands for all of them.
static char **names_of(const serve_options *o)
{
    GPtrArray *names = g_ptr_array_new();
    for (guint i = 0; o->host && o->host[i]; i++)
        g_ptr_array_add(names, g_strdup(o->host[i]));
    if (strcmp(o->address, "0.0.0.0") != 0 && strcmp(o->address, "::") != 0)
        g_ptr_array_add(names, strchr(o->address, ':') ? g_strdup_printf("[%s]", o->address) : g_strdup(o->address));
    g_ptr_array_add(names, NULL);
    return (char **)g_ptr_array_free(names, FALSE);
}

static int serve(serve_options *o)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(thew_catalogue) catalogue = thew_catalogue_load(NULL, &error);
    if (!catalogue) {
        fprintf(stderr, "%s\n", error->message);
        return THEW_EXIT_REFUSED;
    }
    g_auto(GStrv) names = names_of(o);
    thew_server server = { .studio_path = o->studio,
                           .catalogue = catalogue,
                           .version = THEW_VERSION,
                           .host = (const char *const *)names,
                           .is_public_https = o->is_public_https };
    g_autoptr(thew_studio) studio = open_studio(&server);
    if (!studio) return THEW_EXIT_REFUSED;
    make_first_link(studio, &o->link);
    g_clear_pointer(&studio, thew_studio_close);
    thew_server_begin(&server);
    g_autoptr(GString) trouble = g_string_new(NULL);
    thew_http_options http = { o->address, o->port, o->threads, o->workers, 0, 0, say_where, o };
    bool served = thew_http_run(&server, &http, trouble);
    if (!served) fprintf(stderr, "thew serve: %s\n", trouble->str);
    thew_server_end(&server);
    return served ? THEW_EXIT_OK : THEW_EXIT_REFUSED;
}

int thew_command_serve(int argc, char **argv)
{
    g_auto(serve_options) o = { .port = 7060 };
    const GOptionEntry entries[] = {
        THEW_STUDIO_OPTION(o.studio),
        { "address", 'a', 0, G_OPTION_ARG_STRING, &o.address, "where to listen (default: 127.0.0.1, this machine only)",
          "ADDRESS" },
        { "port", 'p', 0, G_OPTION_ARG_INT, &o.port, "at which port (default: 7060; 0: any that is free)", "NUMBER" },
        { "host", 0, 0, G_OPTION_ARG_STRING_ARRAY, &o.host, "a name under which browsers ask for it; may be given several times",
          "NAME" },
        { "public-https", 0, 0, G_OPTION_ARG_NONE, &o.is_public_https, "a server in front speaks TLS: cookies are for https only",
          NULL },
        { "threads", 0, 0, G_OPTION_ARG_INT, &o.threads, "for the network (default: as many as processors)", "NUMBER" },
        { "workers", 0, 0, G_OPTION_ARG_INT, &o.workers, "for the work (default: twice as many)", "NUMBER" },
        { 0 },
    };
    int status;
    if (!thew_options_parse("serve", NULL, "Serve a studio to browsers.", description, entries, &argc, &argv, &status))
        return status;
    if (argc > 1) return thew_usage_error("serve", "it takes options only, not \"%s\"", argv[1]);
    if (o.port < 0 || o.port > 65535) return thew_usage_error("serve", "a port is a number from 0 to 65535, not %d", o.port);
    if (o.threads < 0 || o.threads > 64) return thew_usage_error("serve", "--threads is a number from 0 to 64, not %d", o.threads);
    if (o.workers < 0 || o.workers > 64) return thew_usage_error("serve", "--workers is a number from 0 to 64, not %d", o.workers);
    if (!thew_admit_ready()) {
        fprintf(stderr, "thew serve: this machine has no source of randomness; without one nobody can come in safely\n");
        return THEW_EXIT_REFUSED;
    }
    if (!o.address) o.address = g_strdup("127.0.0.1");
    char *file = g_strdup(thew_studio_file(o.studio));
    g_free(o.studio);
    o.studio = file;
    return serve(&o);
}
