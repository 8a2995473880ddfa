// belief.c: see belief.h.
#include "studio/belief.h"

#include <string.h>

#define FORM 2 // of the bytes; another one is another belief

// --- Bytes: little-endian, one after another, without gaps -----------------------------------------------------------------------

// Goes both ways: to bytes, or from them. After the first thing that does not fit, `good` is false and nothing moves any more.
typedef struct {
    GByteArray *out; // NULL: reading
    const guint8 *in;
    gsize left;
    bool good;
} carrier;

static void carry_64(carrier *c, guint64 *word)
{
    guint64 little = GUINT64_TO_LE(*word);
    if (c->out) {
        g_byte_array_append(c->out, (const guint8 *)&little, sizeof little);
        return;
    }
    c->good = c->good && c->left >= sizeof little;
    if (!c->good) return;
    memcpy(&little, c->in, sizeof little);
    c->in += sizeof little;
    c->left -= sizeof little;
    *word = GUINT64_FROM_LE(little);
}

static void carry_real(carrier *c, double *real)
{
    guint64 word;
    memcpy(&word, real, sizeof word);
    carry_64(c, &word);
    memcpy(real, &word, sizeof word);
}

static void carry_reals(carrier *c, double *real, int count)
{
    for (int i = 0; i < count; i++)
        carry_real(c, &real[i]);
}

static gint64 carry_whole(carrier *c, gint64 whole, gint64 from, gint64 to)
{
    guint64 word = (guint64)whole;
    carry_64(c, &word);
    whole = (gint64)word;
    c->good = c->good && whole >= from && whole <= to;
    return c->good ? whole : from;
}

#define CARRY(c, member, from, to) ((member) = (__typeof__(member))carry_whole((c), (gint64)(member), (from), (to)))

static void carry_conditions(carrier *c, thew_conditions *x)
{
    CARRY(c, x->has_heat, 0, 1);
    CARRY(c, x->has_fatigue, 0, 1);
    CARRY(c, x->has_sleep, 0, 1);
    CARRY(c, x->has_readiness, 0, 1);
    double *const real[] = { &x->heat_index_c, &x->fatigue, &x->sleep, &x->readiness };
    for (gsize i = 0; i < G_N_ELEMENTS(real); i++)
        carry_real(c, real[i]);
}

static void carry_rung(carrier *c, thew_rung *x)
{
    double *const real[] = { &x->peak_share, &x->mean_share, &x->ln_sd, &x->ends_from_s, &x->ends_to_s };
    for (gsize i = 0; i < G_N_ELEMENTS(real); i++)
        carry_real(c, real[i]);
    CARRY(c, x->key, 0, G_MAXUINT32);
    CARRY(c, x->group, 0, G_MAXUINT32);
}

static void carry_site(carrier *c, thew_site *x)
{
    double *const real[] = { &x->evidence.low, &x->evidence.high, &x->evidence.reading, &x->evidence.reading_sd, &x->extra_variance,
                             &x->shift,        &x->lever,         &x->precision,        &x->precision_mean };
    for (gsize i = 0; i < G_N_ELEMENTS(real); i++)
        carry_real(c, real[i]);
    carry_rung(c, &x->rung);
    CARRY(c, x->ended, THEW_FAILURE, THEW_OTHER);
    carry_real(c, &x->seconds);
    CARRY(c, x->track, -1, THEW_TRACKS_MAX - 1);
    CARRY(c, x->offset, -1, THEW_OFFSETS_MAX - 1);
}

static void carry_tracks(carrier *c, thew_capacity *x, int tracks)
{
    for (int t = 0; t < tracks; t++) {
        CARRY(c, x->record_count[t], 0, G_MAXINT32);
        CARRY(c, x->visit_count[t], 0, G_MAXINT32);
        CARRY(c, x->last_visit[t], G_MININT32, G_MAXINT32);
    }
    carry_reals(c, x->lever, tracks);
    carry_reals(c, x->lever_before, tracks);
    carry_reals(c, x->expected_ln, tracks);
}

static void carry_offsets(carrier *c, thew_capacity *x)
{
    for (int o = 0; o < x->offset_count; o++) {
        CARRY(c, x->offset[o].key, 0, G_MAXUINT32);
        CARRY(c, x->offset[o].task, 0, THEW_TRACKS_MAX - 1);
        CARRY(c, x->offset[o].last_used, G_MININT32, G_MAXINT32);
    }
}

// Every member there is: one that the engine gets has to be carried too.
static void carry_capacity(carrier *c, thew_capacity *x)
{
    CARRY(c, x->day, G_MININT32, G_MAXINT32);
    CARRY(c, x->last_set, G_MININT32, G_MAXINT32);
    CARRY(c, x->offset_count, 0, THEW_OFFSETS_MAX);
    CARRY(c, x->dim, THEW_FIXED + x->offset_count, THEW_FIXED + THEW_TRACKS_MAX + x->offset_count);
    CARRY(c, x->site_count, 0, THEW_DAY_SETS_MAX + 1);
    CARRY(c, x->symptom, 0, 1);
    carry_conditions(c, &x->conditions);
    double *const real[] = { &x->heat_excess_c, &x->fatigue_excess, &x->sleep_excess,   &x->fatigue_usual,       &x->sleep_usual,
                             &x->jump_p,        &x->jump_prior_p,   &x->jump_precision, &x->jump_precision_mean, &x->ln_evidence };
    for (gsize i = 0; i < G_N_ELEMENTS(real); i++)
        carry_real(c, real[i]);
    CARRY(c, x->fatigue_count, 0, G_MAXINT32);
    CARRY(c, x->sleep_count, 0, G_MAXINT32);
    if (!c->good) return;
    carry_tracks(c, x, x->dim - THEW_FIXED - x->offset_count);
    carry_offsets(c, x);
    for (int s = 0; s < x->site_count; s++)
        carry_site(c, &x->site[s]);
    carry_reals(c, x->mean, x->dim);
    for (int i = 0; i < x->dim; i++)
        carry_reals(c, &x->covariance[i * THEW_STATE_MAX], x->dim);
}

static void carry_belief(carrier *c, thew_belief *belief)
{
    gint64 form = carry_whole(c, FORM, FORM, FORM);
    c->good = c->good && form == FORM;
    CARRY(c, belief->set_count, 0, G_MAXINT32);
    CARRY(c, belief->checkin_count, 0, G_MAXINT32);
    for (int i = 0; i < THEW_BELIEF_DIGEST; i++)
        CARRY(c, belief->digest[i], 0, G_MAXUINT8);
    carry_capacity(c, &belief->capacity);
}

GBytes *thew_belief_pack(const thew_belief *belief)
{
    g_assert(belief->is_some);
    g_autofree thew_belief *copy = g_memdup2(belief, sizeof *belief);
    carrier c = { .out = g_byte_array_new(), .good = true };
    carry_belief(&c, copy);
    g_assert(c.good);
    return g_byte_array_free_to_bytes(c.out);
}

bool thew_belief_unpack(const void *bytes, gsize size, thew_belief *belief)
{
    *belief = (thew_belief){ 0 };
    carrier c = { .in = bytes, .left = size, .good = true };
    carry_belief(&c, belief);
    belief->is_some = c.good && c.left == 0;
    if (!belief->is_some) *belief = (thew_belief){ 0 };
    return belief->is_some;
}

// --- What was played -------------------------------------------------------------------------------------------------------------

static void take_real(GChecksum *sum, double real)
{
    guint64 word;
    memcpy(&word, &real, sizeof word);
    word = GUINT64_TO_LE(word);
    g_checksum_update(sum, (const guchar *)&word, sizeof word);
}

static void take_reals(GChecksum *sum, const double *real, gsize count)
{
    for (gsize i = 0; i < count; i++)
        take_real(sum, real[i]);
}

// Whole numbers up to 2^53 are exact as reals.
#define TAKE(sum, ...)                                                                                                             \
    do {                                                                                                                           \
        const double list_[] = { __VA_ARGS__ };                                                                                    \
        take_reals((sum), list_, G_N_ELEMENTS(list_));                                                                             \
    } while (0)

static void take_task(GChecksum *sum, const thew_task *task)
{
    TAKE(sum, task->joint, task->kind, task->starts_lifting, task->floor_s, task->window_from_s, task->window_to_s,
         task->tau_ln_sd);
    // tempo and endurance are reals alone
    G_STATIC_ASSERT(sizeof(thew_tempo) % sizeof(double) == 0 && sizeof(thew_endurance) % sizeof(double) == 0);
    take_reals(sum, (const double *)(const void *)&task->tempo, sizeof task->tempo / sizeof(double));
    take_reals(sum, (const double *)(const void *)&task->endurance, sizeof task->endurance / sizeof(double));
}

static void take_profile(GChecksum *sum, const thew_profile *profile)
{
    G_STATIC_ASSERT(sizeof(thew_capacity_prior) % sizeof(double) == 0); // reals alone
    take_reals(sum, (const double *)(const void *)&profile->prior, sizeof profile->prior / sizeof(double));
    TAKE(sum, profile->task_count, profile->track_count);
    for (int t = 0; t < profile->task_count; t++)
        take_task(sum, &profile->task[t]);
    for (int t = 0; t < profile->track_count; t++)
        TAKE(sum, profile->track[t].task, profile->track[t].side, profile->track[t].ln_mean, profile->track[t].ln_sd);
}

static void take_set(GChecksum *sum, const thew_set *set)
{
    const thew_rung *rung = &set->rung;
    TAKE(sum, 1, set->day, set->track, set->ended, set->seconds, set->reserve_s, rung->peak_share, rung->mean_share, rung->ln_sd,
         rung->key, rung->group, rung->ends_from_s, rung->ends_to_s);
}

static void take_checkin(GChecksum *sum, const thew_checkin *checkin)
{
    const thew_conditions *c = &checkin->conditions;
    TAKE(sum, 2, checkin->day, c->has_heat, c->has_fatigue, c->has_sleep, c->has_readiness, c->has_heat ? c->heat_index_c : 0,
         c->has_fatigue ? c->fatigue : 0, c->has_sleep ? c->sleep : 0, c->has_readiness ? c->readiness : 0);
}

// What goes into the filter by the time that so many of each were played.
static void digest_of(const thew_profile *profile, const thew_diary *diary, int set_count, int checkin_count,
                      guint8 digest[THEW_BELIEF_DIGEST])
{
    g_autoptr(GChecksum) sum = g_checksum_new(G_CHECKSUM_SHA256);
    gsize size = THEW_BELIEF_DIGEST;
    take_profile(sum, profile);
    for (int i = 0; i < set_count; i++)
        take_set(sum, &diary->set[i]);
    for (int i = 0; i < checkin_count; i++)
        take_checkin(sum, &diary->checkin[i]);
    g_checksum_get_digest(sum, digest, &size);
}

static bool stands_for(const thew_belief *belief, const thew_profile *profile, const thew_diary *diary)
{
    if (!belief || !belief->is_some || belief->set_count > diary->set_count || belief->checkin_count > diary->checkin_count ||
        belief->capacity.dim != THEW_FIXED + profile->track_count + belief->capacity.offset_count)
        return false;
    // another day has to follow: a later entry of the last day that is in it would have to come before what followed
    thew_day next = thew_diary_next(diary, (thew_diary_place){ belief->set_count, belief->checkin_count });
    if (next == THEW_NO_DAY || next <= belief->capacity.day) return false;
    guint8 digest[THEW_BELIEF_DIGEST];
    digest_of(profile, diary, belief->set_count, belief->checkin_count, digest);
    return memcmp(digest, belief->digest, sizeof digest) == 0;
}

static thew_day day_after(const thew_diary *diary, thew_diary_place place)
{
    thew_day day = thew_diary_next(diary, place);
    while (place.set < diary->set_count && diary->set[place.set].day == day)
        place.set++;
    while (place.checkin < diary->checkin_count && diary->checkin[place.checkin].day == day)
        place.checkin++;
    return thew_diary_next(diary, place);
}

// Keep where the last day begins.
static void keep(thew_belief *belief, const thew_profile *profile, const thew_diary *diary, thew_diary_place place,
                 const thew_capacity *capacity)
{
    if (!belief || place.set + place.checkin == 0) return;
    belief->is_some = true;
    belief->set_count = place.set;
    belief->checkin_count = place.checkin;
    belief->capacity = *capacity;
    digest_of(profile, diary, place.set, place.checkin, belief->digest);
}

thew_status thew_belief_play(const thew_profile *profile, const thew_diary *diary, thew_day until, thew_belief *belief,
                             thew_capacity *capacity)
{
    bool goes_on = stands_for(belief, profile, diary) && belief->capacity.day <= until;
    thew_diary_place place = goes_on ? (thew_diary_place){ belief->set_count, belief->checkin_count } : (thew_diary_place){ 0, 0 };
    thew_status news = THEW_OK;
    if (goes_on)
        *capacity = belief->capacity;
    else if (belief)
        *belief = (thew_belief){ 0 };
    if (!goes_on) news = thew_capacity_start(profile, capacity);
    for (thew_day day; news >= 0 && (day = thew_diary_next(diary, place)) != THEW_NO_DAY && day <= until;) {
        thew_day after = day_after(diary, place);
        bool is_last = after == THEW_NO_DAY || after > until;
        bool stood = goes_on && belief && place.set == belief->set_count && place.checkin == belief->checkin_count;
        if (is_last && !stood) keep(belief, profile, diary, place, capacity);
        thew_status status = thew_diary_play_day(profile, diary, &place, capacity);
        news = status != THEW_OK ? status : news;
    }
    if (news < 0 && belief) *belief = (thew_belief){ 0 };
    return news;
}
