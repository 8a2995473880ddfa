// server.c: see server.h.
#include "serve/server.h"

#include <string.h>

#include "serve/tell.h"
#include "studio/demand_memo.h"

void thew_server_begin(thew_server *server)
{
    server->throttle = thew_throttle_new();
    server->memo = thew_demand_memo_new();
    server->looked = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, g_free);
    g_mutex_init(&server->lock);
    g_cond_init(&server->turn);
    json_t *catalogue = thew_tell_catalogue(server->catalogue);
    char *text = json_dumps(catalogue, JSON_COMPACT | JSON_REAL_PRECISION(THEW_TELL_DIGITS));
    gsize size = strlen(text);
    server->catalogue_json = g_bytes_new(text, size);
    free(text);
    json_decref(catalogue);
    g_autofree char *sum = g_compute_checksum_for_bytes(G_CHECKSUM_SHA256, server->catalogue_json);
    server->catalogue_etag = g_strdup_printf("\"%.32s\"", sum);
}

void thew_server_end(thew_server *server)
{
    g_clear_pointer(&server->throttle, thew_throttle_free);
    g_clear_pointer(&server->memo, thew_demand_memo_free);
    g_clear_pointer(&server->looked, g_hash_table_unref);
    g_mutex_clear(&server->lock);
    g_cond_clear(&server->turn);
    g_clear_pointer(&server->catalogue_json, g_bytes_unref);
    g_clear_pointer(&server->catalogue_etag, g_free);
}

static thew_verdict open_as_far_as_may_be(const thew_server *server, thew_studio **studio, thew_refusal *refusal)
{
    g_autoptr(thew_refusal) first = thew_refusal_new();
    thew_verdict verdict = thew_studio_open(server->studio_path, THEW_DB_WRITE, server->catalogue, studio, first);
    if (verdict == THEW_DONE) return verdict;
    if (thew_studio_open(server->studio_path, THEW_DB_READ, server->catalogue, studio, refusal) == THEW_DONE) return THEW_DONE;
    return thew_refuse(refusal, verdict, "%s", first->sentence ? first->sentence : "The studio cannot be opened.");
}

thew_verdict thew_server_open(const thew_server *server, thew_studio **studio, thew_refusal *refusal)
{
    thew_verdict verdict = open_as_far_as_may_be(server, studio, refusal);
    if (*studio && server->memo) thew_studio_remember_in(*studio, server->memo);
    return verdict;
}

void thew_server_begin_writing(thew_server *server)
{
    g_mutex_lock(&server->lock);
    guint ticket = server->next_ticket++;
    while (server->serving != ticket)
        g_cond_wait(&server->turn, &server->lock);
    g_mutex_unlock(&server->lock);
}

void thew_server_end_writing(thew_server *server)
{
    g_mutex_lock(&server->lock);
    server->serving++;
    g_cond_broadcast(&server->turn);
    g_mutex_unlock(&server->lock);
}

#define LOOK_S (15 * 60)
#define LOOKS_MAX 100000 // remembered; then all are forgotten, and noted again

bool thew_server_is_first_look(thew_server *server, const char *account, const char *person, const char *what)
{
    char *key = g_strdup_printf("%s\n%s\n%s", account, person, what);
    gint64 now = g_get_monotonic_time();
    g_mutex_lock(&server->lock);
    const gint64 *last = g_hash_table_lookup(server->looked, key);
    bool is_first = !last || now - *last > LOOK_S * G_USEC_PER_SEC;
    if (g_hash_table_size(server->looked) > LOOKS_MAX) g_hash_table_remove_all(server->looked);
    if (is_first)
        g_hash_table_insert(server->looked, key, g_memdup2(&now, sizeof now));
    else
        g_free(key);
    g_mutex_unlock(&server->lock);
    return is_first;
}

// The name before the port: "[::1]:7060" is "[::1]".
static size_t name_length(const char *host)
{
    if (*host == '[') {
        const char *end = strchr(host, ']');
        return end ? (size_t)(end - host) + 1 : strlen(host);
    }
    return strcspn(host, ":");
}

static bool is_port(const char *text)
{
    if (*text == '\0') return true;
    if (*text != ':') return false;
    size_t digits = strspn(text + 1, "0123456789");
    return digits > 0 && digits <= 5 && text[1 + digits] == '\0';
}

bool thew_server_is_named(const thew_server *server, const char *host)
{
    static const char *const loopback[] = { "localhost", "127.0.0.1", "[::1]", NULL };
    if (!host) return false;
    size_t length = name_length(host);
    if (!is_port(host + length)) return false;
    const char *const *const lists[] = { loopback, server->host };
    for (gsize l = 0; l < G_N_ELEMENTS(lists); l++)
        for (guint i = 0; lists[l] && lists[l][i]; i++)
            if (strlen(lists[l][i]) == length && g_ascii_strncasecmp(lists[l][i], host, length) == 0) return true;
    return false;
}
