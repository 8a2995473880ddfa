// advice.c: see advice.h.
#include "advice.h"

#include <assert.h>

#include "real.h"

// A first set starts light; only where even the heaviest will almost surely be completed is that worth a word.
#define FIRST_TOO_LIGHT_P .9

#define REASON_CASE(code, id) \
    case code:                \
        return id;

const char *thew_reason_id(thew_reason_code code)
{
    switch (code) {
        THEW_REASON_LIST(REASON_CASE)
    case THEW_REASON_COUNT:
        break;
    }
    return "unknown";
}

// The ladder in order of demand, with what each rung promises.
typedef struct {
    const thew_rung *rung;
    int count;
    int order[THEW_RUNGS_MAX]; // from the lightest
    thew_prospect prospect[THEW_RUNGS_MAX];
    thew_odds odds[THEW_RUNGS_MAX]; // by index as given
} ladder;

// Rungs of the same demand stand by their keys, so that the order in which they were given never matters.
static bool stands_before(const thew_rung *a, const thew_rung *b)
{
    return a->peak_share < b->peak_share || (a->peak_share == b->peak_share && a->key < b->key);
}

static void sort_by_demand(ladder *l)
{
    for (int i = 0; i < l->count; i++) {
        int j = i;
        for (; j > 0 && stands_before(&l->rung[i], &l->rung[l->order[j - 1]]); j--)
            l->order[j] = l->order[j - 1];
        l->order[j] = i;
    }
}

static double share_at(const ladder *l, int place) { return l->rung[l->order[place]].peak_share; }

// The heaviest place of no more than this demand; -1 if all are heavier.
static int place_at_most(const ladder *l, double share)
{
    int place = -1;
    while (place + 1 < l->count && share_at(l, place + 1) <= share)
        place++;
    return place;
}

// The heaviest place that is lighter than this; -1 if none is.
static int place_below(const ladder *l, double share)
{
    int place = -1;
    while (place + 1 < l->count && share_at(l, place + 1) < share)
        place++;
    return place;
}

// Place of the last set's own rung; -1 if it is not on the ladder.
static int place_of_last(const ladder *l, const thew_history *h)
{
    for (int i = 0; i < l->count; i++)
        if (l->rung[l->order[i]].key == h->last_key)
            return i;
    return -1;
}

static bool is_eased(const thew_history *h) { return h->symptom || h->declined || h->days_since_last >= THEW_BREAK_DAYS; }

static thew_reason_code eased_code(const thew_history *h)
{
    if (h->symptom)
        return THEW_REASON_EASED_SYMPTOM;
    return h->declined ? THEW_REASON_EASED_DECLINE : THEW_REASON_EASED_BREAK;
}

// The greatest rise over the last set's demand; but the next rung up is always allowed, unless it is to be eased.
static double greatest_rise(const thew_history *h) { return is_eased(h) ? THEW_RISE_MAX_EASED : THEW_RISE_MAX; }

static int highest_by_rise(const ladder *l, const thew_history *h)
{
    int highest = place_at_most(l, h->last_peak_share * greatest_rise(h));
    int same = place_at_most(l, h->last_peak_share);
    if (is_eased(h) || same + 1 == l->count)
        return highest;
    int next = place_at_most(l, share_at(l, same + 1));
    return next > highest ? next : highest;
}

// First set: the heaviest that a person at the 25th percentile of capacity would hold to mid-window.
static int place_for_first(const ladder *l, const thew_task *task)
{
    double middle_s = (task->window_from_s + task->window_to_s) / 2;
    int place = 0;
    for (int i = 0; i < l->count; i++) {
        const thew_prospect *q = &l->prospect[l->order[i]];
        double weak = q->mean + THEW_FIRST_QUANTILE_Z * thew_sqrt(q->variance);
        if (thew_evidence_capacity_ln(task, &l->rung[l->order[i]], middle_s) <= weak)
            place = i;
    }
    return place;
}

// The place with the best odds from `from` to `to` whose chance of ending before the floor is within the cap; -1 if there is none.
static int best_place(const ladder *l, int from, int to, double cap)
{
    int best = -1;
    for (int i = from; i <= to; i++) {
        const thew_odds *o = &l->odds[l->order[i]];
        if (o->p_floor <= cap && (best < 0 || o->p_window > l->odds[l->order[best]].p_window))
            best = i;
    }
    return best;
}

typedef enum { NO_TREND, WAS_COMPLETED, WAS_IN_WINDOW, WAS_EARLY, WAS_OVERLOAD } trend;

// Of the last set; there is one.
static trend trend_of(const thew_history *h, const thew_task *task)
{
    if (h->last_ended == THEW_COMPLETED)
        return WAS_COMPLETED;
    if (h->last_ended != THEW_FAILURE)
        return NO_TREND;
    if (h->last_seconds >= task->window_to_s)
        return WAS_COMPLETED;
    if (h->last_seconds >= task->window_from_s)
        return WAS_IN_WINDOW;
    return h->last_seconds >= task->floor_s ? WAS_EARLY : WAS_OVERLOAD;
}

// The heaviest place that the way the last set ended allows; -1 if there is none. One set moves the belief by so much and no more, for it
// may be a wrong entry; but until the next set tells, whoever was overloaded gets something lighter if there is anything.
static int highest_by_trend(const ladder *l, const thew_history *h, trend t)
{
    if (t == WAS_OVERLOAD && place_below(l, h->last_peak_share) >= 0)
        return place_below(l, h->last_peak_share);
    return t == WAS_EARLY || t == WAS_OVERLOAD ? place_at_most(l, h->last_peak_share) : l->count - 1;
}

// The lightest place that the way the last set ended allows: a completed set never leads down.
static int lowest_by_trend(const ladder *l, const thew_history *h, trend t)
{
    if (t != WAS_COMPLETED || is_eased(h))
        return 0;
    int same = place_below(l, h->last_peak_share) + 1, most = place_at_most(l, h->last_peak_share);
    int lowest = same < most ? same : most; // of a rung that is not there any more: the heaviest lighter one
    return lowest > 0 ? lowest : 0;
}

// The best place of the last set's own set-up, if there is one and it is as good as `best` but for a hair: changing it is work.
static int place_in_group(const ladder *l, int last, int best, int from, int to, double cap)
{
    unsigned group = l->rung[l->order[last]].group;
    int own = -1;
    for (int i = from; i <= to && group != 0 && l->rung[l->order[best]].group != group; i++) {
        const thew_odds *o = &l->odds[l->order[i]];
        if (l->rung[l->order[i]].group == group && o->p_floor <= cap && (own < 0 || o->p_window > l->odds[l->order[own]].p_window))
            own = i;
    }
    bool as_good = own >= 0 && l->odds[l->order[own]].p_window + THEW_STAY_MARGIN >= l->odds[l->order[best]].p_window;
    return as_good ? own : best;
}

// The best place up to `top`, with what the last set forbids; -1 if every rung there may end too early too often.
static int place_by_odds(const ladder *l, const thew_history *h, trend t, int top, double cap)
{
    int last = place_of_last(l, h), highest = highest_by_trend(l, h, t);
    int to = highest < top ? highest : top;
    int from = lowest_by_trend(l, h, t), best = best_place(l, from, to, cap);
    if (best < 0 && from > 0) { // no further down than the cap demands
        for (best = from <= to ? from - 1 : to; best >= 0 && l->odds[l->order[best]].p_floor > cap;)
            best--;
        from = to = best;
    }
    if (best < 0 || last < 0)
        return best;
    best = place_in_group(l, last, best, from, to, cap);
    if (t != WAS_IN_WINDOW || is_eased(h))
        return best;
    const thew_odds *stay = &l->odds[l->order[last]];
    bool as_good = last <= to && stay->p_floor <= cap && l->odds[l->order[best]].p_window <= stay->p_window + THEW_STAY_MARGIN;
    return as_good ? last : best;
}

static double goal_s(const thew_task *task, const thew_rung *rung, const thew_history *h)
{
    bool same = h->has_last && h->last_key == rung->key;
    if (same && trend_of(h, task) == WAS_COMPLETED)
        return task->window_to_s;
    if (same && trend_of(h, task) == WAS_IN_WINDOW)
        return thew_min(h->last_seconds + 1, task->window_to_s);
    return task->window_from_s;
}

// Demand of the same mean share that a person of that capacity would fail in mid-window, over the rung's.
static double fit_share(const thew_task *task, const thew_rung *rung, double capacity_ln)
{
    double middle_s = (task->window_from_s + task->window_to_s) / 2;
    return thew_exp(capacity_ln - thew_evidence_capacity_ln(task, rung, middle_s));
}

static bool outside_endurance(const thew_rung *rung, double capacity_ln)
{
    double load_share = rung->peak_share / thew_exp(capacity_ln);
    return load_share < .2 || load_share > .8;
}

typedef struct {
    int place;
    thew_reason reason;
} choice;

// The place up to `top` whose set will least likely end before the floor: mostly the lightest, but not if that is hardly known.
static int safest_place(const ladder *l, int top)
{
    int safest = 0;
    for (int i = 1; i <= top; i++)
        if (l->odds[l->order[i]].p_floor < l->odds[l->order[safest]].p_floor)
            safest = i;
    return safest;
}

// Nothing is allowed: the safest, and a regression.
static void too_heavy(choice *c, int place, double limit)
{
    c->place = place;
    c->reason.code = THEW_REASON_TOO_HEAVY;
    c->reason.limit = limit;
}

static choice choose_first(const ladder *l, const thew_task *task, double cap)
{
    choice c = { .place = place_for_first(l, task), .reason = { .code = THEW_REASON_FIRST_SET, .last_rung = -1, .better_rung = -1 } };
    while (c.place >= 0 && l->odds[l->order[c.place]].p_floor > cap)
        c.place--;
    if (c.place < 0) {
        too_heavy(&c, safest_place(l, place_for_first(l, task)), cap);
    } else if (c.place == l->count - 1 && l->odds[l->order[c.place]].p_beyond > FIRST_TOO_LIGHT_P) {
        c.reason.code = THEW_REASON_TOO_LIGHT;
    }
    return c;
}

// Why this place and not another.
//   free     the place that the odds alone would choose
//   within   the place that they would choose among steps of allowed size
static void explain(const ladder *l, const thew_history *h, int free, int within, double cap, choice *c)
{
    const thew_rung *now = &l->rung[l->order[c->place]];
    bool eased = is_eased(h);
    int better = within > c->place ? within : free;
    if (within > c->place) {
        c->reason.code = THEW_REASON_HELD_BY_FLOOR;
        c->reason.limit = cap;
    } else if (free > c->place) {
        c->reason.code = eased ? eased_code(h) : THEW_REASON_HELD_BY_RISE;
        c->reason.limit = eased ? THEW_RISE_MAX_EASED : THEW_RISE_MAX;
    } else if (c->place == l->count - 1 && l->odds[l->order[c->place]].p_beyond > .5) {
        c->reason.code = THEW_REASON_TOO_LIGHT;
    } else if (eased) {
        c->reason.code = eased_code(h);
    } else if (now->key == h->last_key || now->peak_share == h->last_peak_share) {
        c->reason.code = THEW_REASON_STAY;
    } else {
        c->reason.code = now->peak_share > h->last_peak_share ? THEW_REASON_UP : THEW_REASON_DOWN;
    }
    if (better > c->place)
        c->reason.better_rung = l->order[better];
}

// highest   the heaviest place to be thought of
static choice choose(const ladder *l, const thew_task *task, int record_count, const thew_history *h, int highest)
{
    double cap = record_count < THEW_FIRST_SETS ? THEW_FLOOR_CAP_FIRST : THEW_FLOOR_CAP;
    if (!h->has_last)
        return choose_first(l, task, cap);
    int last = place_of_last(l, h), top = highest_by_rise(l, h);
    int within = top < highest ? top : highest;
    trend t = trend_of(h, task);
    choice c = { .reason = { .last_ended = h->last_ended, .last_seconds = h->last_seconds, .last_rung = last < 0 ? -1 : l->order[last],
                             .better_rung = -1 } };
    c.place = place_by_odds(l, h, t, within, cap);
    int by_trend = highest_by_trend(l, h, t);
    if (by_trend < 0) {
        too_heavy(&c, 0, 1);
    } else if (top < 0) {
        too_heavy(&c, 0, greatest_rise(h));
    } else if (c.place < 0) {
        too_heavy(&c, safest_place(l, by_trend < within ? by_trend : within), cap);
    } else {
        explain(l, h, place_by_odds(l, h, t, highest, 1), place_by_odds(l, h, t, within, 1), cap, &c);
    }
    return c;
}

// An earlier failure may never lead higher. Mostly it does not; but where a day's effect explains a failure, or rungs are known unequally
// well, it may speak for a heavier rung, and rightly so. Nobody would understand that: so nothing heavier than what a completed set, or a
// failure at any later second, would have led to.
//   returns   the heaviest place to be thought of after a failure
static int highest_by_later_ends(const thew_profile *profile, const thew_capacity *capacity, int track, thew_day day,
                                 const thew_conditions *conditions, const thew_history *h, ladder *l)
{
    const thew_site *last = thew_capacity_last(capacity, track);
    int highest = l->count - 1;
    if (!h->has_last || h->last_ended != THEW_FAILURE || !last || last->ended != THEW_FAILURE || last->rung.key != h->last_key ||
        last->seconds != h->last_seconds)
        return highest;
    const thew_task *task = &profile->task[profile->track[track].task];
    thew_capacity had;
    thew_history later = *h;
    later.last_ended = THEW_COMPLETED;
    later.last_seconds = task->window_to_s;
    while (highest > 0 && (later.last_ended == THEW_COMPLETED || later.last_seconds > h->last_seconds)) {
        thew_capacity_had(profile, capacity, track, later.last_ended, later.last_seconds, &had);
        thew_outlook_ladder(profile, &had, track, l->rung, l->count, day, conditions, l->prospect);
        thew_outlook_chances_n(task, l->rung, l->prospect, l->count, l->odds);
        highest = choose(l, task, had.record_count[track], &later, highest).place;
        later.last_seconds -= later.last_ended == THEW_FAILURE;
        later.last_ended = THEW_FAILURE;
    }
    return highest;
}

thew_status thew_advise(const thew_profile *profile, const thew_capacity *capacity, int track, const thew_rung *rung, int rung_count,
                        thew_day day, const thew_conditions *conditions, const thew_history *history, thew_odds *odds, thew_advice *advice)
{
    if (rung_count < 1)
        return THEW_NO_RUNG;
    if (rung_count > THEW_RUNGS_MAX)
        return THEW_TOO_MANY;
    if (capacity->day != THEW_NO_DAY && day < capacity->day)
        return THEW_DATE_BEFORE_STATE;
    assert(track >= 0 && track < profile->track_count);
    const thew_task *task = &profile->task[profile->track[track].task];
    ladder l;
    l.rung = rung;
    l.count = rung_count;
    sort_by_demand(&l);
    int highest = highest_by_later_ends(profile, capacity, track, day, conditions, history, &l);
    thew_outlook_ladder(profile, capacity, track, rung, rung_count, day, conditions, l.prospect);
    thew_outlook_odds_n(task, rung, l.prospect, rung_count, l.odds);
    for (int r = 0; odds && r < rung_count; r++)
        odds[r] = l.odds[r];

    choice chosen = choose(&l, task, capacity->record_count[track], history, highest);
    int index = l.order[chosen.place];
    chosen.reason.capacity = thew_capacity_of(profile, capacity, track);
    chosen.reason.today_ln = l.prospect[index].day_ln;
    chosen.reason.fit_share = fit_share(task, &rung[index], l.prospect[index].mean);
    if (history->has_last)
        chosen.reason.rise_share = rung[index].peak_share / history->last_peak_share;
    *advice = (thew_advice){
        .rung = index, .odds = l.odds[index], .goal_s = goal_s(task, &rung[index], history), .reason = chosen.reason
    };
    return outside_endurance(&rung[index], l.prospect[index].mean) ? THEW_OUTSIDE_ENDURANCE : THEW_OK;
}
