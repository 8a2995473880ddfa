// capacity.c: see capacity.h.
#include "capacity.h"

#include <assert.h>
#include <stddef.h>
#include <string.h>

#include "capacity_parts.h"
#include "real.h"
#include "settle.h"

#define STRIDE THEW_STATE_MAX
#define UNMOVED 2e-7 // of an SD
#define REFERENCE_S 75.0       // the time that a lever starts from: the middle of the default window
#define SHOWN_LN_SD .15        // of what a set shows about what was expected when the day began (judgement)
#define USUAL_WEIGHT 3         // check-ins that the assumed usual of 4 (fatigue) and 6 (sleep) counts for

thew_capacity_prior thew_capacity_prior_default(bool fluctuating)
{
    return (thew_capacity_prior){
        // CV of time to failure 14.9-15.8 % between two visits (Frykholm 2018) is .075 in ln k at half of capacity; half of that
        // variance is the day's. Multiple sclerosis varies 1.2-1.4 times as much from day to day (Manca 2018). Wrong entries: judgement.
        .noise = { .sd = .0294, .tail = .0394 },
        .day_sd = fluctuating ? .065 : .053,
        // Judgement: .025 a root-week, so that half a year adds .13; half of it common to the whole body.
        .walk_sd_per_root_day = .0095,
        .walk_common_share = .5,
        // 1.2 % a week over 12 weeks (Dalgas 2009: .35-1.99), fading over months to next to nothing (judgement).
        .drift_per_day = .0017,
        .drift_sd_per_day = .0012,
        .drift_fade_days = 120,
        .drift_settled_per_day = .0003,
        // -4 to -14 % in ten weeks after training stopped (Gomez-Illan 2020): here -8.9 %, levelling off towards -14 %. The first two weeks
        // are free, and how it levels off is a judgement.
        .away_after_days = 14,
        .away_per_day = -.0020,
        .away_fade_days = 70,
        // Relapses .05-.23 a person-year (see the table of facts); infections and the like make it about one a year (judgement).
        .jump_per_day = fluctuating ? 1.0 / 365 : .3 / 365,
        .jump_after_symptom = .10,
        .jump_sd = .25,
        // Judgement: no published slope of strength on heat index; 60-80 % of people with MS are sensitive (Davis 2010).
        .heat_per_c = fluctuating ? -.008 : -.002,
        .heat_sd_per_c = fluctuating ? .008 : .003,
        .heat_from_c = 24,
        .fatigue_per_point = -.006,
        .fatigue_sd_per_point = .006,
        .sleep_per_point = .003,
        .sleep_sd_per_point = .004,
        .readiness_sd = .08, // five-times sit-to-stand repeats within about 8 % (judgement from the outcome measures' table)
        // +10 % of time from the first to the second visit for holds (Frykholm 2018), half of it for repetitions, at slope 2.
        .learning_hold = .048,
        .learning_repetitions = .024,
        .offset_sd = .04,
        // .5 between any two exercises to begin with; sides of one exercise .65 in MS (they differ by 20-30 %), .9 otherwise.
        .alike_all = .5,
        .alike_joint = .1,
        .alike_sides = fluctuating ? .05 : .3,
    };
}

static double *at(thew_capacity *c, int row, int column) { return &c->covariance[row * STRIDE + column]; }

// Forget component i: independent of all others, with this mean and variance.
static void renew(thew_capacity *c, int i, double mean, double variance)
{
    for (int j = 0; j < c->dim; j++)
        *at(c, i, j) = *at(c, j, i) = 0;
    c->mean[i] = mean;
    *at(c, i, i) = variance;
}

// x_i += factor x_j.
static void fold(thew_capacity *c, int i, int j, double factor)
{
    c->mean[i] += factor * c->mean[j];
    for (int k = 0; k < c->dim; k++)
        *at(c, i, k) += factor * thew_cov(c, j, k);
    for (int k = 0; k < c->dim; k++)
        *at(c, k, i) += factor * thew_cov(c, k, j);
}

static double prior_covariance(const thew_profile *p, int a, int b)
{
    const thew_track *s = &p->track[a], *t = &p->track[b];
    if (a == b)
        return s->ln_sd * s->ln_sd;
    double alike = p->prior.alike_all;
    if (p->task[s->task].joint == p->task[t->task].joint)
        alike += p->prior.alike_joint;
    if (s->task == t->task)
        alike += p->prior.alike_sides;
    return alike * s->ln_sd * t->ln_sd;
}

thew_status thew_capacity_start(const thew_profile *profile, thew_capacity *capacity)
{
    if (profile->track_count > THEW_TRACKS_MAX || profile->task_count > THEW_TRACKS_MAX)
        return THEW_TOO_MANY;
    const thew_capacity_prior *prior = &profile->prior;
    *capacity = (thew_capacity){ .day = THEW_NO_DAY, .last_set = THEW_NO_DAY, .dim = THEW_FIXED + profile->track_count };
    capacity->fatigue_usual = 4;
    capacity->sleep_usual = 6;
    renew(capacity, THEW_AT_DRIFT, prior->drift_per_day, prior->drift_sd_per_day * prior->drift_sd_per_day);
    renew(capacity, THEW_AT_HEAT, prior->heat_per_c, prior->heat_sd_per_c * prior->heat_sd_per_c);
    renew(capacity, THEW_AT_FATIGUE, prior->fatigue_per_point, prior->fatigue_sd_per_point * prior->fatigue_sd_per_point);
    renew(capacity, THEW_AT_SLEEP, prior->sleep_per_point, prior->sleep_sd_per_point * prior->sleep_sd_per_point);
    for (int t = 0; t < profile->track_count; t++) {
        const thew_track *track = &profile->track[t];
        assert(track->task >= 0 && track->task < profile->task_count && track->ln_sd > 0);
        capacity->mean[thew_at_track(t)] = track->ln_mean;
        for (int u = 0; u < profile->track_count; u++)
            *at(capacity, thew_at_track(t), thew_at_track(u)) = prior_covariance(profile, t, u);
        capacity->last_visit[t] = THEW_NO_DAY;
        capacity->lever[t] = capacity->lever_before[t] = thew_endurance_tau_lever(profile->task[track->task].endurance, REFERENCE_S, 1);
    }
    return THEW_OK;
}

// --- The evidence of a day -------------------------------------------------------------------------------------------------------

thew_form thew_form_of(const thew_profile *profile, thew_day_load load, int track, int offset, double today, double training)
{
    int index[] = { THEW_AT_DAY, THEW_AT_JUMP, THEW_AT_DRIFT, THEW_AT_HEAT, THEW_AT_FATIGUE, THEW_AT_SLEEP };
    double factor[] = { today, 1, training, load.heat_excess_c, load.fatigue_excess, load.sleep_excess };
    thew_form f = { 0 };
    for (int i = 0; i < THEW_FIXED; i++) {
        f.index[f.count] = index[i];
        f.factor[f.count] = factor[i];
        f.count += factor[i] != 0;
    }
    if (track >= 0) {
        f.index[f.count] = thew_at_track(track);
        f.factor[f.count++] = 1;
    }
    if (offset >= 0) {
        f.index[f.count] = thew_at_offset(profile, offset);
        f.factor[f.count++] = 1;
    }
    return f;
}

double thew_form_mean(const thew_capacity *capacity, const thew_form *form)
{
    double sum = 0;
    for (int t = 0; t < form->count; t++)
        sum += form->factor[t] * capacity->mean[form->index[t]];
    return sum;
}

double thew_form_variance(const thew_capacity *capacity, const thew_form *form)
{
    double sum = 0;
    for (int i = 0; i < form->count; i++) {
        double row = 0;
        for (int j = 0; j < form->count; j++)
            row += form->factor[j] * thew_cov(capacity, form->index[i], form->index[j]);
        sum += form->factor[i] * row;
    }
    return sum;
}

static thew_form form_today(const thew_profile *p, const thew_capacity *c, int track, int offset)
{
    thew_day_load load = { c->heat_excess_c, c->fatigue_excess, c->sleep_excess };
    return thew_form_of(p, load, track, offset, 1, 0);
}

// out [dim]: covariance of every component with u.
static void form_covariance(const thew_capacity *c, const thew_form *f, double *out)
{
    for (int i = 0; i < c->dim; i++)
        out[i] = 0;
    for (int t = 0; t < f->count; t++) {
        const double *row = &c->covariance[f->index[t] * STRIDE];
        double factor = f->factor[t];
        for (int i = 0; i < c->dim; i++)
            out[i] += factor * row[i];
    }
}

static double form_dot(const thew_form *f, const double *with)
{
    double sum = 0;
    for (int t = 0; t < f->count; t++)
        sum += f->factor[t] * with[f->index[t]];
    return sum;
}

// The belief after what is known of u changed: a rank-one update.
static void change(thew_capacity *c, const double *with_u, thew_rank_one to)
{
    for (int i = 0; i < c->dim; i++)
        c->mean[i] += to.step * with_u[i];
    for (int i = 0; i < c->dim; i++) {
        double *row = &c->covariance[i * STRIDE];
        double factor = to.shrink * with_u[i];
        for (int j = 0; j < c->dim; j++)
            row[j] -= factor * with_u[j];
    }
}

// What today's evidence speaks about: u of each site, then the jump.
static thew_form form_of_site(const thew_profile *p, const thew_capacity *c, int s)
{
    if (s == c->site_count)
        return (thew_form){ .count = 1, .index = { THEW_AT_JUMP }, .factor = { 1 } };
    return form_today(p, c, c->site[s].track, c->site[s].offset);
}

static thew_natural natural_of_site(const thew_capacity *c, int s)
{
    if (s == c->site_count)
        return (thew_natural){ c->jump_precision, c->jump_precision_mean };
    return (thew_natural){ c->site[s].precision, c->site[s].precision_mean };
}

static void read_today(const thew_profile *p, const thew_capacity *c, thew_today *today)
{
    thew_form form[THEW_TODAY_MAX];
    today->count = c->site_count + 1;
    for (int u = 0; u < today->count; u++) {
        double with_u[STRIDE];
        form[u] = form_of_site(p, c, u);
        form_covariance(c, &form[u], with_u);
        today->mean[u] = thew_form_mean(c, &form[u]);
        for (int v = 0; v <= u; v++)
            today->covariance[u][v] = today->covariance[v][u] = form_dot(&form[v], with_u);
    }
}

static void set_natural_of_site(thew_capacity *c, int s, thew_natural to)
{
    if (s == c->site_count) {
        c->jump_precision = to.precision;
        c->jump_precision_mean = to.precision_mean;
    } else {
        c->site[s].precision = to.precision;
        c->site[s].precision_mean = to.precision_mean;
    }
}

// The whole state follows the sites from what they were. A site that moved next to nothing stays where it was, and costs nothing.
static void follow_sites(const thew_profile *p, thew_capacity *c, const thew_natural *before)
{
    for (int s = 0; s <= c->site_count; s++) {
        thew_natural now = natural_of_site(c, s);
        thew_natural by = { now.precision - before[s].precision, now.precision_mean - before[s].precision_mean };
        double with_u[STRIDE];
        thew_form f = form_of_site(p, c, s);
        form_covariance(c, &f, with_u);
        double mean = thew_form_mean(c, &f), variance = form_dot(&f, with_u);
        double moved = thew_abs(by.precision_mean - by.precision * mean) * thew_sqrt(variance) + thew_abs(by.precision) * variance;
        if (moved > UNMOVED)
            change(c, with_u, thew_rank_one_of(by, mean, variance));
        else
            set_natural_of_site(c, s, before[s]);
    }
}

// Settle the day's evidence, the last site being new or none being so.
static void settle(const thew_profile *p, thew_capacity *c, bool is_new)
{
    thew_today today;
    thew_natural before[THEW_TODAY_MAX];
    read_today(p, c, &today);
    for (int s = 0; s <= c->site_count; s++)
        before[s] = natural_of_site(c, s);
    if (is_new)
        c->ln_evidence += thew_settle_new(&p->prior, c, &today);
    thew_settle(&p->prior, c, &today);
    follow_sites(p, c, before);
}

static void add_site(const thew_profile *p, thew_capacity *c, thew_site site)
{
    if (c->site_count == THEW_DAY_SETS_MAX) { // a day of more sets than anybody does: the oldest is settled for good
        for (int s = 1; s < c->site_count; s++)
            c->site[s - 1] = c->site[s];
        c->site_count--;
    }
    site.precision = site.precision_mean = 0; // nothing yet
    c->site[c->site_count++] = site;
    settle(p, c, true);
}

// --- From day to day -------------------------------------------------------------------------------------------------------------

// What more days away cost after so many: an approach to away_per_day x away_fade_days.
static double away_ln(const thew_capacity_prior *prior, double after_days, double days)
{
    double fade = prior->away_fade_days;
    if (fade <= 0)
        return prior->away_per_day * days;
    return prior->away_per_day * fade * (thew_exp(-after_days / fade) - thew_exp(-(after_days + days) / fade));
}

thew_transition thew_transition_to(const thew_profile *profile, const thew_capacity *capacity, thew_day day)
{
    const thew_capacity_prior *prior = &profile->prior;
    thew_transition t = { .days = capacity->day == THEW_NO_DAY ? 0 : (double)day - (double)capacity->day, .drift_keep = 1 };
    if (t.days <= 0)
        return t;
    if (capacity->last_set != THEW_NO_DAY) {
        double since_set = (double)capacity->day - (double)capacity->last_set;
        t.training = thew_clamp(prior->away_after_days - since_set, 0, t.days);
        t.away = t.days - t.training;
        t.away_ln = away_ln(prior, thew_max(since_set - prior->away_after_days, 0), t.away);
    }
    t.walk_variance = prior->walk_sd_per_root_day * prior->walk_sd_per_root_day * t.days;
    if (prior->drift_fade_days > 0)
        t.drift_keep = thew_exp(-t.training / prior->drift_fade_days);
    t.jump_p = 1 - thew_exp(-prior->jump_per_day * t.days);
    if (capacity->symptom)
        t.jump_p = thew_max(t.jump_p, prior->jump_after_symptom);
    return t;
}

// Gains while training, losses after the break has grown long; drift fades.
static void move_strength(const thew_profile *p, thew_capacity *c, const thew_transition *to)
{
    const thew_capacity_prior *prior = &p->prior;
    for (int t = 0; t < p->track_count; t++) {
        fold(c, thew_at_track(t), THEW_AT_DRIFT, to->training);
        c->mean[thew_at_track(t)] += to->away_ln;
    }
    for (int t = 0; t < p->track_count; t++)
        for (int u = 0; u < p->track_count; u++)
            *at(c, thew_at_track(t), thew_at_track(u)) += to->walk_variance * (t == u ? 1 : prior->walk_common_share);
    double keep = to->drift_keep;
    fold(c, THEW_AT_DRIFT, THEW_AT_DRIFT, keep - 1);
    c->mean[THEW_AT_DRIFT] += (1 - keep) * prior->drift_settled_per_day;
    *at(c, THEW_AT_DRIFT, THEW_AT_DRIFT) += (1 - keep * keep) * prior->drift_sd_per_day * prior->drift_sd_per_day;
}

static void begin_day(const thew_profile *p, thew_capacity *c, thew_day day)
{
    const thew_capacity_prior *prior = &p->prior;
    thew_transition to = thew_transition_to(p, c, day);
    for (int t = 0; t < p->track_count; t++)
        fold(c, thew_at_track(t), THEW_AT_JUMP, 1); // a jump stays
    move_strength(p, c, &to);
    for (int t = 0; t < p->track_count; t++) {
        c->lever_before[t] = c->lever[t];
        c->expected_ln[t] = c->mean[thew_at_track(t)];
    }
    c->day = day;
    c->site_count = 0;
    c->symptom = false;
    c->conditions = (thew_conditions){ 0 };
    c->heat_excess_c = c->fatigue_excess = c->sleep_excess = 0;
    renew(c, THEW_AT_DAY, 0, prior->day_sd * prior->day_sd);
    c->jump_p = c->jump_prior_p = prior->jump_sd > 0 ? to.jump_p : 0;
    c->jump_precision = c->jump_precision_mean = 0;
    renew(c, THEW_AT_JUMP, 0, c->jump_prior_p > 0 ? prior->jump_sd * prior->jump_sd : 0);
    settle(p, c, false);
}

static double above_usual(double value, double *usual, int *count)
{
    double excess = value - *usual;
    *usual += excess / (++*count + USUAL_WEIGHT);
    return excess;
}

static void take_back(bool told, double excess, double *usual, int *count)
{
    if (told)
        *usual -= excess / ((*count)-- + USUAL_WEIGHT);
}

// The last check-in of a day counts; what an earlier one told is taken back.
static void take_conditions(const thew_profile *p, thew_capacity *c, const thew_conditions *now)
{
    take_back(c->conditions.has_fatigue, c->fatigue_excess, &c->fatigue_usual, &c->fatigue_count);
    take_back(c->conditions.has_sleep, c->sleep_excess, &c->sleep_usual, &c->sleep_count);
    c->conditions = *now;
    c->heat_excess_c = now->has_heat ? thew_max(now->heat_index_c - p->prior.heat_from_c, 0) : 0;
    c->fatigue_excess = now->has_fatigue ? above_usual(now->fatigue, &c->fatigue_usual, &c->fatigue_count) : 0;
    c->sleep_excess = now->has_sleep ? above_usual(now->sleep, &c->sleep_usual, &c->sleep_count) : 0;
    if (now->has_readiness) {
        thew_evidence reading = { .low = now->readiness, .high = now->readiness };
        add_site(p, c, (thew_site){ .evidence = reading, .track = -1, .offset = -1 });
    }
}

static bool is_finite(double x) { return x - x == 0; }

static bool conditions_finite(const thew_conditions *c)
{
    return (!c->has_heat || is_finite(c->heat_index_c)) && (!c->has_fatigue || is_finite(c->fatigue)) && (!c->has_sleep || is_finite(c->sleep)) &&
           (!c->has_readiness || is_finite(c->readiness));
}

thew_status thew_capacity_go_to(const thew_profile *profile, thew_capacity *capacity, thew_day day, const thew_conditions *conditions)
{
    if (capacity->day != THEW_NO_DAY && day < capacity->day)
        return THEW_DATE_BEFORE_STATE;
    if (conditions && !conditions_finite(conditions))
        return THEW_NOT_FINITE;
    if (capacity->day == THEW_NO_DAY || day > capacity->day)
        begin_day(profile, capacity, day);
    if (conditions && capacity->site_count == 0)
        take_conditions(profile, capacity, conditions);
    return THEW_OK;
}

// --- Sets ------------------------------------------------------------------------------------------------------------------------

int thew_capacity_offset(const thew_capacity *capacity, int task, unsigned key)
{
    for (int o = 0; o < capacity->offset_count; o++)
        if (capacity->offset[o].key == key && capacity->offset[o].task == task)
            return o;
    return -1;
}

double thew_offset_variance(const thew_profile *profile, const thew_rung *rung)
{
    double sd = rung->ln_sd > 0 ? rung->ln_sd : profile->prior.offset_sd;
    return sd * sd;
}

static bool used_today(const thew_capacity *c, int offset)
{
    for (int s = 0; s < c->site_count; s++)
        if (c->site[s].offset == offset)
            return true;
    return false;
}

// Which offset to let go when there is no room: the one used longest ago, never one of today's.
static int offset_to_drop(const thew_capacity *c)
{
    int oldest = -1;
    for (int o = 0; o < c->offset_count; o++)
        if (!used_today(c, o) && (oldest < 0 || c->offset[o].last_used < c->offset[oldest].last_used))
            oldest = o;
    return oldest;
}

// The offset of a rung, made if it is new. May let another go.
static int offset_for(const thew_profile *p, thew_capacity *c, int task, const thew_rung *rung, thew_status *status)
{
    int o = thew_capacity_offset(c, task, rung->key);
    if (o < 0 && c->offset_count < THEW_OFFSETS_MAX) {
        o = c->offset_count++;
        c->dim++;
    } else if (o < 0) {
        o = offset_to_drop(c);
        *status = THEW_DROPPED_OFFSET;
        assert(o >= 0); // a day has fewer sets than there are offsets
    } else {
        c->offset[o].last_used = c->day;
        return o;
    }
    c->offset[o] = (thew_offset){ .key = rung->key, .task = (int16_t)task, .last_used = c->day };
    renew(c, thew_at_offset(p, o), 0, thew_offset_variance(p, rung));
    return o;
}
_Static_assert(THEW_DAY_SETS_MAX < THEW_OFFSETS_MAX, "an offset can always be let go");

static double learning_of(const thew_profile *p, const thew_capacity *c, int track)
{
    if (c->visit_count[track] > 1)
        return 0;
    bool hold = p->task[p->track[track].task].kind == THEW_HOLD;
    return -(hold ? p->prior.learning_hold : p->prior.learning_repetitions);
}

// The time level that a set speaks about: the time that was felt to be left, or else the time it was expected to last when the day began,
// between floor and window's close. Were it the time at which it ended, an ever earlier failure would be ever less sure, and at last say
// less than a later one.
static double tau_lever(const thew_task *task, const thew_set *set, double expected_ln)
{
    double seconds = thew_endurance_time_s(task->endurance, set->rung.peak_share / thew_exp(expected_ln), set->rung.mean_share);
    seconds = thew_clamp(seconds, task->floor_s, task->window_to_s);
    if (set->ended == THEW_RESERVE && set->reserve_s >= 0)
        seconds = set->seconds + set->reserve_s;
    return thew_endurance_tau_lever(task->endurance, thew_max(seconds, 1), set->rung.mean_share);
}

// The lever follows each of the day's sets as far as ln k follows u of that set: posterior covariance x precision. All from where the day
// began, so that the order of its sets does not matter.
static void move_levers(const thew_profile *p, thew_capacity *c)
{
    for (int t = 0; t < p->track_count; t++)
        c->lever[t] = c->lever_before[t];
    for (int s = 0; s < c->site_count; s++) {
        const thew_site *site = &c->site[s];
        if (site->track < 0)
            continue;
        double with_u[STRIDE];
        thew_form f = form_today(p, c, site->track, site->offset);
        form_covariance(c, &f, with_u);
        double pull = thew_clamp(with_u[thew_at_track(site->track)] * site->precision, 0, 1);
        c->lever[site->track] += pull * (site->lever - c->lever_before[site->track]);
    }
}

static bool set_is_finite(const thew_set *s)
{
    return is_finite(s->seconds) && s->seconds >= 0 && is_finite(s->reserve_s) && is_finite(s->rung.peak_share) && s->rung.peak_share > 0 &&
           is_finite(s->rung.mean_share) && s->rung.mean_share > 0 && s->rung.mean_share <= 1 && is_finite(s->rung.ln_sd);
}

static void count_visit(thew_capacity *c, const thew_set *set)
{
    c->record_count[set->track]++;
    if (c->last_visit[set->track] != set->day)
        c->visit_count[set->track]++;
    c->last_visit[set->track] = set->day;
    c->last_set = set->day;
    if (set->ended == THEW_SYMPTOM)
        c->symptom = true;
}

thew_status thew_capacity_record(const thew_profile *profile, thew_capacity *capacity, const thew_set *set)
{
    if (set->track < 0 || set->track >= profile->track_count)
        return THEW_UNKNOWN_EXERCISE;
    if (!set_is_finite(set))
        return THEW_NOT_FINITE;
    thew_status status = thew_capacity_go_to(profile, capacity, set->day, 0);
    if (status < 0)
        return status;
    count_visit(capacity, set);
    int task_index = profile->track[set->track].task;
    const thew_task *task = &profile->task[task_index];
    thew_evidence evidence = thew_evidence_of(task, &set->rung, set->ended, set->seconds, set->reserve_s);
    if (evidence.low == -__builtin_inf() && evidence.high == __builtin_inf() && evidence.reading_sd == 0)
        return THEW_OK; // stopped at once: nothing is learned
    int offset = offset_for(profile, capacity, task_index, &set->rung, &status);
    double expected_ln = capacity->expected_ln[set->track], before = capacity->lever_before[set->track];
    double sooner = tau_lever(task, set, expected_ln - SHOWN_LN_SD) - before, later = tau_lever(task, set, expected_ln + SHOWN_LN_SD) - before;
    thew_site site = { .evidence = evidence,
                       .extra_variance = task->tau_ln_sd * task->tau_ln_sd * (sooner * sooner + later * later) / 2,
                       .shift = learning_of(profile, capacity, set->track),
                       .lever = tau_lever(task, set, expected_ln),
                       .rung = set->rung,
                       .ended = set->ended,
                       .seconds = set->seconds,
                       .track = (int16_t)set->track,
                       .offset = (int16_t)offset };
    add_site(profile, capacity, site);
    move_levers(profile, capacity);
    return status;
}

const thew_site *thew_capacity_last(const thew_capacity *capacity, int track)
{
    for (int s = capacity->site_count - 1; s >= 0; s--)
        if (capacity->site[s].track == track)
            return &capacity->site[s];
    return 0;
}

// The covariance comes last, and mostly little of it is in use.
static void copy_used(const thew_capacity *from, thew_capacity *to)
{
    memcpy(to, from, offsetof(thew_capacity, covariance));
    for (int i = 0; i < from->dim; i++)
        memcpy(&to->covariance[i * STRIDE], &from->covariance[i * STRIDE], (size_t)from->dim * sizeof *from->covariance);
}

void thew_capacity_had(const thew_profile *profile, const thew_capacity *capacity, int track, thew_ended ended, double seconds,
                       thew_capacity *out)
{
    const thew_site *last = thew_capacity_last(capacity, track);
    assert(last && (last->ended == THEW_FAILURE || last->ended == THEW_COMPLETED));
    copy_used(capacity, out);
    thew_site *site = &out->site[last - capacity->site];
    site->evidence = thew_evidence_of(&profile->task[profile->track[track].task], &site->rung, ended, seconds, -1);
    site->ended = ended;
    site->seconds = seconds;
    settle(profile, out, false);
    move_levers(profile, out);
}

// --- Looking ---------------------------------------------------------------------------------------------------------------------

thew_estimate thew_capacity_of(const thew_profile *profile, const thew_capacity *capacity, int track)
{
    assert(track >= 0 && track < profile->track_count);
    int i = thew_at_track(track);
    double variance = thew_cov(capacity, i, i) + 2 * thew_cov(capacity, i, THEW_AT_JUMP) + thew_cov(capacity, THEW_AT_JUMP, THEW_AT_JUMP);
    return (thew_estimate){ capacity->mean[i] + capacity->mean[THEW_AT_JUMP], thew_sqrt(variance) };
}

thew_estimate thew_capacity_jump(const thew_capacity *capacity)
{
    return (thew_estimate){ capacity->mean[THEW_AT_JUMP], thew_sqrt(thew_cov(capacity, THEW_AT_JUMP, THEW_AT_JUMP)) };
}

thew_estimate thew_capacity_today(const thew_profile *profile, const thew_capacity *capacity, int track, const thew_rung *rung)
{
    assert(track >= 0 && track < profile->track_count);
    int offset = thew_capacity_offset(capacity, profile->track[track].task, rung->key);
    thew_form f = form_today(profile, capacity, track, offset);
    double variance = thew_form_variance(capacity, &f) + (offset < 0 ? thew_offset_variance(profile, rung) : 0);
    return (thew_estimate){ thew_form_mean(capacity, &f), thew_sqrt(variance) };
}
