// coach.c: see coach.h.
#include "demo/coach.h"

#define SETTINGS_APART 2 // the coach uses every other mark
#define STEP_RATIO_MIN 1.2
#define WINDOW_FROM_S 60
#define BREAK_DAYS 21

static int setting_number(const thew_fitted *f)
{
    return (int)(f->setting - f->implement->setting);
}

// A diary knows a step by its names. Two ways that share them cannot be told apart on paper: only the one that is found again is
// used.
static bool is_found_again(const thew_ladder *ladder, const thew_fitted *f)
{
    const char *label = f->piece ? f->piece->label : NULL, *setting = setting_number(f) > 0 ? f->setting->id : NULL;
    int found = thew_ladder_find(ladder, f->variant->id, label, setting);
    return found >= 0 && &g_array_index(ladder->fitted, thew_fitted, found) == f;
}

static bool is_usable(const thew_ladder *ladder, const thew_fitted *f)
{
    return !f->piece_2 && setting_number(f) % SETTINGS_APART == 0 && is_found_again(ladder, f);
}

static bool has_implements(const thew_ladder *ladder, const thew_variant *variant)
{
    int count = 0;
    for (guint i = 0; i < ladder->fitted->len; i++) {
        const thew_fitted *f = &g_array_index(ladder->fitted, thew_fitted, i);
        count += f->variant == variant && f->piece;
    }
    return count > 0;
}

static int by_demand(const void *a, const void *b)
{
    const thew_fitted *one = *(const thew_fitted *const *)a, *two = *(const thew_fitted *const *)b;
    return one->rung.peak_share < two->rung.peak_share ? -1 : one->rung.peak_share > two->rung.peak_share;
}

GPtrArray *coach_steps(const thew_ladder *ladder, const thew_variant *variant)
{
    const thew_variant *done = variant ? variant : ladder->exercise->usual;
    bool one_variant = has_implements(ladder, done);
    g_autoptr(GPtrArray) usable = g_ptr_array_new();
    for (guint i = 0; i < ladder->fitted->len; i++) {
        const thew_fitted *f = &g_array_index(ladder->fitted, thew_fitted, i);
        bool same = one_variant ? f->variant == done : f->variant->unilateral == done->unilateral;
        if (same && is_usable(ladder, f)) g_ptr_array_add(usable, (void *)f);
    }
    g_ptr_array_sort(usable, by_demand);
    GPtrArray *steps = g_ptr_array_new();
    double last = 0;
    for (guint i = 0; i < usable->len; i++) {
        const thew_fitted *f = usable->pdata[i];
        if (f->rung.peak_share < last * STEP_RATIO_MIN) continue;
        last = f->rung.peak_share;
        g_ptr_array_add(steps, (void *)f);
    }
    return steps;
}

int coach_next_step(int step, int step_count, const sim_outcome *written, int days_since)
{
    int change = 0;
    switch (written->ended) {
    case THEW_COMPLETED:
        change = 1;
        break;
    case THEW_FAILURE:
        change = written->seconds < WINDOW_FROM_S ? -1 : 0;
        break;
    case THEW_RESERVE:
        change = written->seconds >= WINDOW_FROM_S && written->reserve_s >= 20 ? 1 : written->seconds < WINDOW_FROM_S - 20 ? -1 : 0;
        break;
    case THEW_SYMPTOM:
        change = -1;
        break;
    case THEW_OTHER:
        break;
    }
    if (days_since >= BREAK_DAYS && change > 0) change = 0;
    return CLAMP(step + change, 0, step_count - 1);
}
