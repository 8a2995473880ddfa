// demand_memo.c: see demand_memo.h.
#include "studio/demand_memo.h"

#include <string.h>

#define MOST 200000 // loads: some 80 MB, four hundred people of as many bodies; then it begins anew

typedef struct {
    thew_demand_key key;
    thew_load_demand load;
} remembered;

struct thew_demand_memo {
    gatomicrefcount owners;
    GMutex lock; // held for a look or a note, never while a demand is computed
    GHashTable *by_key; // remembered, which begins with its key
};

// FNV-1a by words (memory): the keys are their own, so nobody can choose them to collide.
static guint hash_key(gconstpointer at)
{
    guint64 word[sizeof(thew_demand_key) / sizeof(guint64)], hash = G_GUINT64_CONSTANT(14695981039346656037);
    G_STATIC_ASSERT(sizeof(thew_demand_key) % sizeof(guint64) == 0);
    memcpy(word, at, sizeof word);
    for (gsize i = 0; i < G_N_ELEMENTS(word); i++)
        hash = (hash ^ word[i]) * G_GUINT64_CONSTANT(1099511628211);
    return (guint)(hash ^ hash >> 32);
}

static gboolean is_same_key(gconstpointer a, gconstpointer b)
{
    return memcmp(a, b, sizeof(thew_demand_key)) == 0;
}

thew_demand_memo *thew_demand_memo_new(void)
{
    thew_demand_memo *memo = g_new(thew_demand_memo, 1);
    g_atomic_ref_count_init(&memo->owners);
    g_mutex_init(&memo->lock);
    memo->by_key = g_hash_table_new_full(hash_key, is_same_key, g_free, NULL);
    return memo;
}

thew_demand_memo *thew_demand_memo_share(thew_demand_memo *memo)
{
    g_atomic_ref_count_inc(&memo->owners);
    return memo;
}

void thew_demand_memo_free(thew_demand_memo *memo)
{
    if (!memo || !g_atomic_ref_count_dec(&memo->owners)) return;
    g_hash_table_unref(memo->by_key);
    g_mutex_clear(&memo->lock);
    g_free(memo);
}

static void take_band(double out[8], const thew_band *band)
{
    if (!band) return;
    const double all[8] = { band->rest_length_m, band->a0c10_n,       band->a0c01_n,     band->covariance[0],
                            band->covariance[1], band->covariance[2], band->force_ln_sd, band->reading_count };
    memcpy(out, all, sizeof all);
}

thew_demand_key thew_demand_key_of(const thew_implement *implement, const thew_setting *setting, const thew_body_model *body,
                                   double piece_kg, const thew_band *band, const thew_band *band_2)
{
    thew_demand_key key;
    memset(&key, 0, sizeof key);
    key.implement = implement;
    key.setting = setting;
    key.sex = body->sex;
    key.age_y = body->age_y;
    key.height_m = body->height_m;
    key.mass_kg = body->mass_kg;
    key.size_ln_sd = body->size_ln_sd;
    key.piece_kg = piece_kg;
    take_band(key.band[0], band);
    take_band(key.band[1], band_2);
    return key;
}

bool thew_demand_memo_find(thew_demand_memo *memo, const thew_demand_key *key, thew_load_demand *load)
{
    g_mutex_lock(&memo->lock);
    const remembered *found = g_hash_table_lookup(memo->by_key, key);
    if (found) *load = found->load;
    g_mutex_unlock(&memo->lock);
    return found != NULL;
}

void thew_demand_memo_keep(thew_demand_memo *memo, const thew_demand_key *key, const thew_load_demand *load)
{
    remembered *one = g_new(remembered, 1);
    one->key = *key;
    one->load = *load;
    g_mutex_lock(&memo->lock);
    if (g_hash_table_size(memo->by_key) >= MOST) g_hash_table_remove_all(memo->by_key);
    g_hash_table_add(memo->by_key, one);
    g_mutex_unlock(&memo->lock);
}
