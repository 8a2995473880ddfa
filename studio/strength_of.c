// strength_of.c: see strength_of.h.
#include "studio/strength_of.h"

#include <math.h>
#include <string.h>

#include "engine/smooth.h"
#include "studio/words.h"

#define HEAT_C 27.0 // from this heat index a day is marked (the studio's default caution)

// --- The line --------------------------------------------------------------------------------------------------------------------

typedef struct {
    const thew_person_advice *advice;
    const thew_participant *participant;
    int track;
    thew_day first; // of the track's sets
    thew_strength *out;
} drawing;

static thew_diary diary_of(const thew_person_advice *a)
{
    thew_diary diary = { .set = (const thew_set *)(const void *)a->set->data,
                         .set_count = (int)a->set->len,
                         .checkin = (const thew_checkin *)(const void *)a->checkin->data,
                         .checkin_count = (int)a->checkin->len };
    while (diary.checkin_count > 0 && diary.checkin[diary.checkin_count - 1].day > a->on)
        diary.checkin_count--;
    return diary;
}

static void add(GArray *to, thew_day day, thew_estimate estimate)
{
    thew_strength_estimate one = { day, estimate.mean, estimate.sd };
    g_array_append_val(to, one);
}

static bool smooth(const drawing *d)
{
    const thew_profile *profile = &d->advice->profile;
    thew_diary diary = diary_of(d->advice);
    int days = thew_smooth_day_count(&diary);
    size_t bytes = thew_smooth_bytes(days);
    g_autofree void *memory = g_malloc(bytes);
    g_autofree thew_day *day = g_new(thew_day, (gsize)MAX(days, 1));
    g_autofree thew_smooth_at *at = g_new(thew_smooth_at, (gsize)MAX(days * profile->track_count, 1));
    if (days == 0 || thew_smooth(profile, &diary, memory, bytes, day, at) < 0) return false;
    for (int i = 0; i < days; i++) {
        const thew_smooth_at *here = &at[i * profile->track_count + d->track];
        if (day[i] < d->first) continue;
        add(d->out->smoothed, day[i], here->smoothed);
        add(d->out->filtered, day[i], here->filtered);
    }
    const thew_strength_estimate *first = (const void *)d->out->smoothed->data;
    return d->out->smoothed->len > 0 && isfinite(first->ln_mean);
}

// --- Points ----------------------------------------------------------------------------------------------------------------------

// The capacity that a set implies: of a failure about that, of all others at least that. False: it says nothing.
static bool implied_ln(const thew_evidence *evidence, double *ln)
{
    if (isfinite(evidence->low))
        *ln = isfinite(evidence->high) ? (evidence->low + evidence->high) / 2 : evidence->low;
    else
        *ln = evidence->high;
    return isfinite(*ln);
}

static void add_point(const drawing *d, guint s, const char *const *record)
{
    const thew_set *set = &g_array_index(d->advice->set, thew_set, s);
    guint entry_index = g_array_index(d->advice->set_entry, guint, s);
    const thew_entry *entry = &g_array_index(d->participant->entry, thew_entry, entry_index);
    const thew_task *task = &d->advice->profile.task[d->advice->profile.track[d->track].task];
    thew_evidence evidence = thew_evidence_of(task, &set->rung, set->ended, set->seconds, set->reserve_s);
    thew_strength_set mark = { .day = set->day, .ended = set->ended };
    if (!implied_ln(&evidence, &mark.ln_capacity)) return;
    g_autofree char *label = thew_know_label(entry->implement, entry->setting);
    thew_strength_point point = { .record = record ? g_string_chunk_insert_const(d->out->words, record[entry_index]) : NULL,
                                  .label = g_string_chunk_insert_const(d->out->words, label),
                                  .ended = set->ended,
                                  .seconds = set->seconds,
                                  .percent = thew_strength_percent(d->out, mark.ln_capacity) };
    g_array_append_val(d->out->set, mark);
    g_array_append_val(d->out->point, point);
}

static void mark_heat(const drawing *d)
{
    for (guint c = 0; c < d->advice->checkin->len; c++) {
        const thew_checkin *checkin = &g_array_index(d->advice->checkin, thew_checkin, c);
        bool hot = checkin->conditions.has_heat && checkin->conditions.heat_index_c >= HEAT_C;
        if (hot && checkin->day >= d->first && checkin->day <= d->advice->on) g_array_append_val(d->out->heat_day, checkin->day);
    }
}

// Days on which a sudden decline was seen: the forward pass once more, a day at a time.
static void mark_jumps(const drawing *d)
{
    const thew_profile *profile = &d->advice->profile;
    thew_diary diary = diary_of(d->advice);
    thew_diary_place place = { 0, 0 };
    g_autofree thew_capacity *capacity = g_new(thew_capacity, 1);
    if (thew_capacity_start(profile, capacity) < 0) return;
    for (thew_day day; (day = thew_diary_next(&diary, place)) != THEW_NO_DAY;) {
        if (thew_diary_play_day(profile, &diary, &place, capacity) < 0) return;
        if (day >= d->first && thew_advise_declined(capacity)) g_array_append_val(d->out->jump_day, day);
    }
}

// --- In words --------------------------------------------------------------------------------------------------------------------

// The first day against the last. Both estimates share much of their error, so taking them for independent errs on the side of "noise".
static char *sentence_of(const thew_strength *s)
{
    const thew_strength_estimate *first = &g_array_index(s->smoothed, thew_strength_estimate, 0);
    const thew_strength_estimate *last = &g_array_index(s->smoothed, thew_strength_estimate, s->smoothed->len - 1);
    g_autofree char *since = thew_words_day(first->day);
    if (last->day == first->day) return g_strdup_printf("Only one day is on record so far, %s.", since);
    double change = last->ln_mean - first->ln_mean;
    double half = THEW_STRENGTH_Z80 * sqrt(first->ln_sd * first->ln_sd + last->ln_sd * last->ln_sd);
    double percent = (exp(change) - 1) * 100, low = (exp(change - half) - 1) * 100, high = (exp(change + half) - 1) * 100;
    const char *verdict = fabs(change) > half ? "more than noise: real change" : "no more than noise so far";
    if (fabs(percent) < .5) return g_strdup_printf("As strong as on %s (80 in 100 sure: %+.0f to %+.0f %%).", since, low, high);
    return g_strdup_printf("%.0f %% %s than on %s (80 in 100 sure: %+.0f to %+.0f %%): %s.", fabs(percent),
                           percent > 0 ? "stronger" : "weaker", since, low, high, verdict);
}

#define NEWS_DAYS 56 // for so long a sudden decline is said first

// The last sudden decline that is still news: from the day before it to the latest.
static char *decline_of(const thew_strength *s)
{
    if (s->jump_day->len == 0) return NULL;
    thew_day jump = g_array_index(s->jump_day, thew_day, s->jump_day->len - 1);
    const thew_strength_estimate *last = &g_array_index(s->smoothed, thew_strength_estimate, s->smoothed->len - 1);
    guint before = s->smoothed->len;
    while (before > 0 && g_array_index(s->smoothed, thew_strength_estimate, before - 1).day >= jump)
        before--;
    if (before == 0 || last->day - jump > NEWS_DAYS) return NULL;
    double change = last->ln_mean - g_array_index(s->smoothed, thew_strength_estimate, before - 1).ln_mean;
    g_autofree char *day = thew_words_day(jump);
    if (change >= 0) return g_strdup_printf("A sudden decline was seen on %s, and is made up for since. ", day);
    return g_strdup_printf("A sudden decline was seen on %s: about %.0f %% weaker than just before. ", day,
                           (1 - exp(change)) * 100);
}

// --- All of it -------------------------------------------------------------------------------------------------------------------

static thew_strength *empty(const thew_exercise *exercise, thew_side side)
{
    thew_strength *s = g_new0(thew_strength, 1);
    s->exercise = exercise;
    s->side = side;
    s->smoothed = g_array_new(FALSE, FALSE, sizeof(thew_strength_estimate));
    s->filtered = g_array_new(FALSE, FALSE, sizeof(thew_strength_estimate));
    s->set = g_array_new(FALSE, FALSE, sizeof(thew_strength_set));
    s->point = g_array_new(FALSE, FALSE, sizeof(thew_strength_point));
    s->heat_day = g_array_new(FALSE, FALSE, sizeof(thew_day));
    s->jump_day = g_array_new(FALSE, FALSE, sizeof(thew_day));
    s->words = g_string_chunk_new(256);
    return s;
}

static int track_of(const thew_person_advice *a, const char *exercise, thew_side side)
{
    for (guint t = 0; t < a->advised->len; t++) {
        const thew_advised *advised = &g_array_index(a->advised, thew_advised, t);
        if (advised->side == side && strcmp(advised->exercise->id, exercise) == 0) return (int)t;
    }
    return -1;
}

static thew_day first_day(const thew_person_advice *a, int track)
{
    for (guint s = 0; s < a->set->len; s++)
        if (g_array_index(a->set, thew_set, s).track == track) return g_array_index(a->set, thew_set, s).day;
    return THEW_NO_DAY;
}

thew_strength *thew_strength_of(const thew_catalogue *catalogue, const thew_participant *participant, const char *const *record,
                                const char *exercise, thew_side side, thew_day until)
{
    g_autoptr(thew_person_advice) advice = thew_advise_person(catalogue, participant, until);
    int track = track_of(advice, exercise, side);
    thew_day first = track < 0 ? THEW_NO_DAY : first_day(advice, track);
    if (first == THEW_NO_DAY) return NULL;
    g_autoptr(thew_strength) out = empty(g_array_index(advice->advised, thew_advised, (guint)track).exercise, side);
    drawing d = { advice, participant, track, first, out };
    if (!smooth(&d)) return NULL;
    for (guint s = 0; s < advice->set->len; s++)
        if (g_array_index(advice->set, thew_set, s).track == track) add_point(&d, s, record);
    mark_heat(&d);
    mark_jumps(&d);
    g_autofree char *decline = decline_of(out), *months = sentence_of(out);
    if (decline) *months = g_ascii_tolower(*months);
    out->sentence = decline ? g_strconcat(decline, "All in all ", months, NULL) : g_strdup(months);
    return g_steal_pointer(&out);
}

thew_verdict thew_studio_strength(thew_studio *studio, const char *person, const char *exercise, thew_side side,
                                  thew_strength **strength, thew_refusal *refusal)
{
    *strength = NULL;
    g_autoptr(thew_knowledge) k = NULL;
    thew_verdict verdict = thew_know(studio, person, &k, refusal);
    if (verdict != THEW_DONE) return verdict;
    g_autofree const char **record = g_new0(const char *, k->participant.entry->len + 1);
    for (guint e = 0; e < k->participant.entry->len; e++)
        record[e] = thew_know_record(k, e);
    *strength = thew_strength_of(studio->catalogue, &k->participant, record, exercise, side, thew_studio_today(studio));
    if (*strength) return THEW_DONE;
    return thew_refuse(refusal, THEW_ABSENT, "%s has no set of \"%s\" (%s) on record that could be used", k->person->called,
                       exercise, thew_words_side(side));
}

void thew_strength_free(thew_strength *s)
{
    if (!s) return;
    GArray *array[] = { s->smoothed, s->filtered, s->set, s->point, s->heat_day, s->jump_day };
    for (gsize i = 0; i < G_N_ELEMENTS(array); i++)
        g_array_unref(array[i]);
    g_string_chunk_free(s->words);
    g_free(s->sentence);
    g_free(s);
}

double thew_strength_percent(const thew_strength *s, double ln_capacity)
{
    return 100 * exp(ln_capacity - g_array_index(s->smoothed, thew_strength_estimate, 0).ln_mean);
}

thew_strength_plot thew_strength_plot_of(const thew_strength *s, const char *title, double width_px)
{
    return (thew_strength_plot){ .title = title,
                                 .smoothed = (const void *)s->smoothed->data,
                                 .smoothed_count = (int)s->smoothed->len,
                                 .filtered = (const void *)s->filtered->data,
                                 .filtered_count = (int)s->filtered->len,
                                 .set = (const void *)s->set->data,
                                 .set_count = (int)s->set->len,
                                 .heat_day = (const void *)s->heat_day->data,
                                 .heat_count = (int)s->heat_day->len,
                                 .jump_day = (const void *)s->jump_day->data,
                                 .jump_count = (int)s->jump_day->len,
                                 .width_px = width_px };
}
