// throttle.c: see throttle.h.
#include "studio/throttle.h"

#define FORGOTTEN_US (G_GINT64_CONSTANT(3600) * G_USEC_PER_SEC)

typedef struct {
    int failures;
    gint64 last_us, until_us; // no further try before then
} record;

struct thew_throttle {
    GMutex mutex;
    GHashTable *by_key; // owned text to owned record
};

thew_throttle *thew_throttle_new(void)
{
    thew_throttle *throttle = g_new0(thew_throttle, 1);
    g_mutex_init(&throttle->mutex);
    throttle->by_key = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, g_free);
    return throttle;
}

void thew_throttle_free(thew_throttle *throttle)
{
    if (!throttle) return;
    g_hash_table_unref(throttle->by_key);
    g_mutex_clear(&throttle->mutex);
    g_free(throttle);
}

static gboolean is_forgotten(gpointer key, gpointer value, gpointer now)
{
    (void)key;
    return ((record *)value)->last_us + FORGOTTEN_US < *(gint64 *)now;
}

// Whoever tries ten thousand names must not fill the memory: the one that failed longest ago makes room.
static void make_room(GHashTable *by_key, gint64 now_us)
{
    if (g_hash_table_size(by_key) < THEW_THROTTLE_KEYS_MAX) return;
    if (g_hash_table_foreach_remove(by_key, is_forgotten, &now_us) > 0) return;
    GHashTableIter all;
    gpointer key, value, oldest = NULL;
    gint64 oldest_us = G_MAXINT64;
    g_hash_table_iter_init(&all, by_key);
    while (g_hash_table_iter_next(&all, &key, &value))
        if (((record *)value)->last_us < oldest_us) {
            oldest_us = ((record *)value)->last_us;
            oldest = key;
        }
    g_hash_table_remove(by_key, oldest);
}

static record *record_of(GHashTable *by_key, const char *key, gint64 now_us)
{
    record *found = g_hash_table_lookup(by_key, key);
    if (found && is_forgotten(NULL, found, &now_us)) *found = (record){ 0 };
    if (found) return found;
    make_room(by_key, now_us);
    found = g_new0(record, 1);
    g_hash_table_insert(by_key, g_strdup(key), found);
    return found;
}

static int wait_s(const record *of, gint64 now_us)
{
    return of->until_us <= now_us ? 0 : (int)((of->until_us - now_us + G_USEC_PER_SEC - 1) / G_USEC_PER_SEC);
}

static void count(record *of, int tries, gint64 now_us)
{
    of->failures++;
    of->last_us = now_us;
    int beyond = of->failures - tries;
    gint64 next_s = beyond < 0 ? 0 : MIN((gint64)1 << MIN(beyond, 20), THEW_THROTTLE_WAIT_MAX_S);
    of->until_us = now_us + next_s * G_USEC_PER_SEC;
}

static char *login_key(const char *login)
{
    return g_strconcat("login ", login, NULL);
}

static char *address_key(const char *address)
{
    return g_strconcat("address ", address, NULL);
}

int thew_throttle_begin(thew_throttle *throttle, const char *login, const char *address, thew_utc now)
{
    g_autofree char *by_login = login_key(login), *by_address = address ? address_key(address) : NULL;
    g_mutex_lock(&throttle->mutex);
    // The second lookup may make room and take the first away: so each is looked up when it is used.
    int wait = wait_s(record_of(throttle->by_key, by_login, now.us), now.us);
    if (by_address) wait = MAX(wait, wait_s(record_of(throttle->by_key, by_address, now.us), now.us));
    if (wait == 0) {
        count(record_of(throttle->by_key, by_login, now.us), THEW_TRIES_LOGIN, now.us);
        if (by_address) count(record_of(throttle->by_key, by_address, now.us), THEW_TRIES_ADDRESS, now.us);
    }
    g_mutex_unlock(&throttle->mutex);
    return wait;
}

void thew_throttle_succeeded(thew_throttle *throttle, const char *login, const char *address)
{
    g_autofree char *by_login = login_key(login), *by_address = address ? address_key(address) : NULL;
    g_mutex_lock(&throttle->mutex);
    g_hash_table_remove(throttle->by_key, by_login);
    record *of_address = by_address ? g_hash_table_lookup(throttle->by_key, by_address) : NULL;
    if (of_address) {
        of_address->failures = MAX(of_address->failures - 1, 0);
        of_address->until_us = 0;
    }
    g_mutex_unlock(&throttle->mutex);
}
