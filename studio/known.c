// known.c: see known.h.
#include "studio/known.h"

#include <string.h>

struct thew_known_ids {
    const thew_catalogue *catalogue;
    GPtrArray *list; // owned: the arrays handed out
};

thew_known_ids *thew_known_ids_new(const thew_catalogue *catalogue)
{
    thew_known_ids *known = g_new(thew_known_ids, 1);
    *known = (thew_known_ids){ catalogue, g_ptr_array_new_with_free_func(g_free) };
    return known;
}

void thew_known_ids_free(thew_known_ids *known)
{
    if (!known) return;
    g_ptr_array_free(known->list, TRUE);
    g_free(known);
}

thew_implement_kind thew_known_implement(thew_kit_kind kind)
{
    static const thew_implement_kind of[] = { [THEW_KIT_UNKNOWN] = THEW_IMPLEMENT_BODY,
                                              [THEW_KIT_BAND] = THEW_IMPLEMENT_BAND,
                                              [THEW_KIT_LOOP] = THEW_IMPLEMENT_LOOP,
                                              [THEW_KIT_DUMBBELL] = THEW_IMPLEMENT_DUMBBELL,
                                              [THEW_KIT_CUFF] = THEW_IMPLEMENT_CUFF };
    return of[kind];
}

static const char *const *hand_out(thew_known_ids *known, GPtrArray *ids)
{
    g_ptr_array_add(ids, NULL);
    gpointer *list = g_ptr_array_free(ids, FALSE);
    g_ptr_array_add(known->list, list);
    return (const char *const *)list;
}

static void list_settings(const thew_exercise *exercise, thew_known_where where, GPtrArray *ids)
{
    thew_implement_kind kind = thew_known_implement(where.implement);
    for (size_t v = 0; v < exercise->variant_count; v++) {
        const thew_variant *variant = exercise->variant[v];
        if (strcmp(variant->id, where.variant ? where.variant : exercise->usual->id) != 0) continue;
        for (size_t i = 0; i < variant->implement_count; i++)
            for (size_t s = 0; variant->implement[i].kind == kind && s < variant->implement[i].setting_count; s++)
                g_ptr_array_add(ids, (void *)variant->implement[i].setting[s].id);
    }
}

const char *const *thew_known_ids_of(void *user, thew_known_kind kind, thew_known_where where)
{
    thew_known_ids *known = user;
    GPtrArray *ids = g_ptr_array_new();
    const thew_exercise *exercise = where.exercise ? thew_catalogue_exercise(known->catalogue, where.exercise) : NULL;
    size_t count;
    switch (kind) {
    case THEW_KNOWN_EXERCISES: {
        const thew_exercise *const *all = thew_catalogue_exercises(known->catalogue, &count);
        for (size_t e = 0; e < count; e++)
            g_ptr_array_add(ids, (void *)all[e]->id);
        break;
    }
    case THEW_KNOWN_CAUTIONS: {
        const thew_caution *const *all = thew_catalogue_cautions(known->catalogue, &count);
        for (size_t c = 0; c < count; c++)
            g_ptr_array_add(ids, (void *)all[c]->id);
        break;
    }
    case THEW_KNOWN_GOALS: {
        const thew_goal *const *all = thew_catalogue_goals(known->catalogue, &count);
        for (size_t g = 0; g < count; g++)
            g_ptr_array_add(ids, (void *)all[g]->id);
        break;
    }
    case THEW_KNOWN_VARIANTS:
        for (size_t v = 0; exercise && v < exercise->variant_count; v++)
            g_ptr_array_add(ids, (void *)exercise->variant[v]->id);
        break;
    case THEW_KNOWN_SETTINGS:
        if (exercise) list_settings(exercise, where, ids);
        break;
    }
    return hand_out(known, ids);
}

thew_status thew_known_band(const thew_kit_item *item, thew_band *band)
{
    thew_date latest = { 0 };
    for (guint r = 0; r < item->reading->len; r++) {
        thew_date measured = g_array_index(item->reading, thew_kit_reading, r).measured;
        if (thew_date_compare(measured, latest) > 0) latest = measured;
    }
    g_autoptr(GArray) readings = g_array_new(FALSE, FALSE, sizeof(thew_reading));
    for (guint r = 0; r < item->reading->len; r++) {
        const thew_kit_reading *reading = &g_array_index(item->reading, thew_kit_reading, r);
        if (thew_date_compare(reading->measured, latest) == 0) g_array_append_val(readings, reading->reading);
    }
    if (readings->len == 0) {
        *band = thew_band_unmeasured(item->rest_length_m, (int)item->step.value);
        return THEW_OK;
    }
    return thew_band_fit(item->rest_length_m, (const thew_reading *)(const void *)readings->data, (int)readings->len, 0, band,
                         NULL);
}
