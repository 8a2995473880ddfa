// smooth.c: see smooth.h.
#include "smooth.h"

#include <assert.h>
#include <string.h>

#include "capacity_parts.h"
#include "real.h"

#define N THEW_STATE_MAX

// The belief at the end of one day, and how the next began.
typedef struct {
    thew_day day;
    int dim;
    thew_transition to_next;
    bool renewed[THEW_OFFSETS_MAX]; // offsets given to another rung during the *next* day: nothing flows back through them
    double mean[N];
    double packed[N * (N + 1) / 2]; // lower triangle, row by row
} saved_day;

// Room for the backward pass.
typedef struct {
    thew_capacity capacity;
    double covariance[N * N], predicted[N * N], cross[N * N], gain[N * N], later[N * N], scratch[N * N];
    double mean[N], predicted_mean[N], later_mean[N];
} workspace;

int thew_smooth_day_count(const thew_diary *diary)
{
    int count = 0;
    thew_diary_place place = { 0, 0 };
    for (thew_day day; (day = thew_diary_next(diary, place)) != THEW_NO_DAY; count++) {
        while (place.set < diary->set_count && diary->set[place.set].day == day)
            place.set++;
        while (place.checkin < diary->checkin_count && diary->checkin[place.checkin].day == day)
            place.checkin++;
    }
    return count;
}

size_t thew_smooth_bytes(int day_count) { return sizeof(workspace) + (size_t)day_count * sizeof(saved_day); }

static void save(const thew_capacity *c, saved_day *s)
{
    *s = (saved_day){ .day = c->day, .dim = c->dim };
    memcpy(s->mean, c->mean, sizeof s->mean);
    double *p = s->packed;
    for (int i = 0; i < c->dim; i++)
        for (int j = 0; j <= i; j++)
            *p++ = thew_cov(c, i, j);
}

static void unpack(const saved_day *s, double *covariance)
{
    const double *p = s->packed;
    for (int i = 0; i < s->dim; i++)
        for (int j = 0; j <= i; j++)
            covariance[i * N + j] = covariance[j * N + i] = *p++;
}

// Factor of x_j(t) in x_i(t+1); the day's and the jump's new values come from nowhere.
static double carried(const thew_profile *p, const thew_transition *to, int i, int j)
{
    if (i == THEW_AT_DAY || i == THEW_AT_JUMP)
        return 0;
    if (i == THEW_AT_DRIFT)
        return j == i ? to->drift_keep : 0;
    bool track = i >= THEW_FIXED && i < THEW_FIXED + p->track_count;
    if (track && j == THEW_AT_JUMP)
        return 1;
    if (track && j == THEW_AT_DRIFT)
        return to->training;
    return i == j;
}

// out = A F', F as `carried`: only jump, drift and the component itself are ever carried.
static void times_carried(const thew_profile *p, const thew_transition *to, int dim, const double *a, double *out)
{
    for (int r = 0; r < dim; r++)
        for (int i = 0; i < dim; i++) {
            double sum = carried(p, to, i, i) * a[r * N + i];
            if (i != THEW_AT_JUMP)
                sum += carried(p, to, i, THEW_AT_JUMP) * a[r * N + THEW_AT_JUMP];
            if (i != THEW_AT_DRIFT)
                sum += carried(p, to, i, THEW_AT_DRIFT) * a[r * N + THEW_AT_DRIFT];
            out[r * N + i] = sum;
        }
}

static void transpose(int dim, const double *a, double *out)
{
    for (int i = 0; i < dim; i++)
        for (int j = 0; j < dim; j++)
            out[j * N + i] = a[i * N + j];
}

static void predict(const thew_profile *p, const saved_day *s, workspace *w)
{
    const thew_capacity_prior *prior = &p->prior;
    const thew_transition *to = &s->to_next;
    for (int i = 0; i < s->dim; i++) {
        double sum = 0;
        for (int j = 0; j < s->dim; j++)
            sum += carried(p, to, i, j) * s->mean[j];
        w->predicted_mean[i] = sum;
    }
    w->predicted_mean[THEW_AT_DRIFT] += (1 - to->drift_keep) * prior->drift_settled_per_day;
    times_carried(p, to, s->dim, w->covariance, w->cross);       // P F'
    transpose(s->dim, w->cross, w->scratch);                     // F P
    times_carried(p, to, s->dim, w->scratch, w->predicted);      // F P F'
    for (int t = 0; t < p->track_count; t++) {
        w->predicted_mean[thew_at_track(t)] += to->away_ln;
        for (int u = 0; u < p->track_count; u++)
            w->predicted[thew_at_track(t) * N + thew_at_track(u)] += to->walk_variance * (t == u ? 1 : prior->walk_common_share);
    }
    double keep = to->drift_keep;
    w->predicted[THEW_AT_DRIFT * N + THEW_AT_DRIFT] += (1 - keep * keep) * prior->drift_sd_per_day * prior->drift_sd_per_day;
}

// Components through which something flows back.
static int flowing(const thew_profile *p, const saved_day *s, const double *predicted, int *which)
{
    int count = 0;
    for (int i = 0; i < s->dim; i++) {
        int offset = i - THEW_FIXED - p->track_count;
        bool gone = offset >= 0 && s->renewed[offset];
        if (i != THEW_AT_DAY && i != THEW_AT_JUMP && !gone && predicted[i * N + i] > 0)
            which[count++] = i;
    }
    return count;
}

// Lower Cholesky factor of the chosen part of a, in place of out's leading count x count.
static void cholesky(const double *a, const int *which, int count, double *out)
{
    for (int i = 0; i < count; i++)
        for (int j = 0; j <= i; j++) {
            double sum = a[which[i] * N + which[j]];
            for (int k = 0; k < j; k++)
                sum -= out[i * N + k] * out[j * N + k];
            out[i * N + j] = i == j ? thew_sqrt(thew_max(sum, 1e-300)) : sum / out[j * N + j];
        }
}

// One row of the gain: x such that x L L' = row.
static void solve_row(const double *l, int count, double *row)
{
    for (int i = 0; i < count; i++) {
        for (int k = 0; k < i; k++)
            row[i] -= l[i * N + k] * row[k];
        row[i] /= l[i * N + i];
    }
    for (int i = count - 1; i >= 0; i--) {
        for (int k = i + 1; k < count; k++)
            row[i] -= l[k * N + i] * row[k];
        row[i] /= l[i * N + i];
    }
}

// From what everything says of the next day (w->later) to what it says of this one.
static void step_back(const thew_profile *p, const saved_day *s, workspace *w)
{
    int which[N];
    unpack(s, w->covariance);
    predict(p, s, w);
    int count = flowing(p, s, w->predicted, which);
    cholesky(w->predicted, which, count, w->scratch);
    for (int r = 0; r < s->dim; r++) {
        for (int i = 0; i < count; i++)
            w->gain[r * N + i] = w->cross[r * N + which[i]];
        solve_row(w->scratch, count, &w->gain[r * N]);
    }
    for (int i = 0; i < count; i++) // how far the next day's belief moved
        for (int j = 0; j < count; j++)
            w->scratch[i * N + j] = w->later[which[i] * N + which[j]] - w->predicted[which[i] * N + which[j]];
    for (int r = 0; r < s->dim; r++) {
        double sum = 0;
        for (int i = 0; i < count; i++)
            sum += w->gain[r * N + i] * (w->later_mean[which[i]] - w->predicted_mean[which[i]]);
        w->mean[r] = s->mean[r] + sum;
        for (int j = 0; j < count; j++) {
            double product = 0;
            for (int i = 0; i < count; i++)
                product += w->gain[r * N + i] * w->scratch[i * N + j];
            w->cross[r * N + j] = product; // gain x movement
        }
    }
    for (int r = 0; r < s->dim; r++)
        for (int q = 0; q < s->dim; q++) {
            double sum = 0;
            for (int j = 0; j < count; j++)
                sum += w->cross[r * N + j] * w->gain[q * N + j];
            w->later[r * N + q] = w->covariance[r * N + q] + sum;
        }
    memcpy(w->later_mean, w->mean, sizeof w->mean);
}

// ln k of a track with its day's jump, which stays.
static thew_estimate track_of(const double *mean, const double *covariance, int track)
{
    int i = thew_at_track(track), j = THEW_AT_JUMP;
    double variance = covariance[i * N + i] + 2 * covariance[i * N + j] + covariance[j * N + j];
    return (thew_estimate){ mean[i] + mean[j], thew_sqrt(thew_max(variance, 0)) };
}

static thew_status forward(const thew_profile *p, const thew_diary *diary, workspace *w, saved_day *saved, int day_count)
{
    thew_status news = thew_capacity_start(p, &w->capacity);
    if (news < 0)
        return news;
    thew_diary_place place = { 0, 0 };
    for (int d = 0; d < day_count; d++) {
        thew_offset before[THEW_OFFSETS_MAX];
        int before_count = w->capacity.offset_count;
        memcpy(before, w->capacity.offset, sizeof before);
        if (d > 0)
            saved[d - 1].to_next = thew_transition_to(p, &w->capacity, thew_diary_next(diary, place));
        thew_status status = thew_diary_play_day(p, diary, &place, &w->capacity);
        if (status < 0)
            return status;
        if (status > 0)
            news = status;
        for (int o = 0; o < before_count && d > 0; o++)
            saved[d - 1].renewed[o] =
                before[o].key != w->capacity.offset[o].key || before[o].task != w->capacity.offset[o].task;
        save(&w->capacity, &saved[d]);
    }
    return news;
}

thew_status thew_smooth(const thew_profile *profile, const thew_diary *diary, void *memory, size_t memory_bytes, thew_day *days,
                        thew_smooth_at *at)
{
    int day_count = thew_smooth_day_count(diary), tracks = profile->track_count;
    if (memory_bytes < thew_smooth_bytes(day_count))
        return THEW_NO_ROOM;
    workspace *w = memory;
    saved_day *saved = (saved_day *)(w + 1);
    thew_status news = forward(profile, diary, w, saved, day_count);
    if (news < 0)
        return news;
    for (int d = day_count - 1; d >= 0; d--) {
        days[d] = saved[d].day;
        unpack(&saved[d], w->covariance);
        for (int t = 0; t < tracks; t++)
            at[d * tracks + t].filtered = track_of(saved[d].mean, w->covariance, t);
        if (d == day_count - 1) {
            memcpy(w->later, w->covariance, sizeof w->later);
            memcpy(w->later_mean, saved[d].mean, sizeof w->later_mean);
        } else {
            step_back(profile, &saved[d], w);
        }
        for (int t = 0; t < tracks; t++)
            at[d * tracks + t].smoothed = track_of(w->later_mean, w->later, t);
    }
    return news;
}
