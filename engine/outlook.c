// outlook.c: see outlook.h.
#include "outlook.h"

#include <assert.h>

#include "capacity_parts.h"
#include "real.h"

#define TENTH_Z (-1.2815515655446004)
#define FLOOR_S 1.0 // levers and thresholds below this time are those at this time
#define SQRT_2 0x1.6a09e667f3bcdp+0
#define INV_SQRT_2PI 0x1.9884533d43651p-2
#define QUANTILE_STEPS_MAX 40
#define QUANTILE_STEP_LAST 2e-3 // of the SD: the error after a step is about its cube
#define BLOCK (THEW_NOISE_BLOCK / 3) // rungs looked at together, so that each special function is called for all of them at once (real.h)

// Everything about the day ahead that does not depend on the rung.
typedef struct {
    bool today;
    thew_day_load load;
    thew_transition to;
    thew_form form;       // u of the track, less the rung's own offset
    thew_prospect common; // of that form
} day_ahead;

// A person's usual as it was before the belief's own day told its part.
static double usual_before(bool told_today, double value, double excess, double usual) { return told_today ? value - excess : usual; }

static thew_day_load load_of(const thew_profile *p, const thew_capacity *c, bool today, const thew_conditions *conditions)
{
    const thew_conditions *told = &c->conditions;
    double fatigue_usual = usual_before(today && told->has_fatigue, told->fatigue, c->fatigue_excess, c->fatigue_usual);
    double sleep_usual = usual_before(today && told->has_sleep, told->sleep, c->sleep_excess, c->sleep_usual);
    return (thew_day_load){
        .heat_excess_c = conditions->has_heat ? thew_max(conditions->heat_index_c - p->prior.heat_from_c, 0) : 0,
        .fatigue_excess = conditions->has_fatigue ? conditions->fatigue - fatigue_usual : 0,
        .sleep_excess = conditions->has_sleep ? conditions->sleep - sleep_usual : 0,
    };
}

static day_ahead look_ahead(const thew_profile *p, const thew_capacity *c, int track, thew_day day, const thew_conditions *conditions)
{
    assert(track >= 0 && track < p->track_count);
    assert(c->day == THEW_NO_DAY || day >= c->day);
    const thew_capacity_prior *prior = &p->prior;
    day_ahead a = { .today = c->day == day, .to = thew_transition_to(p, c, day) };
    if (a.today && (!conditions || c->site_count > 0)) // the belief has taken in its own day's conditions already
        a.load = (thew_day_load){ c->heat_excess_c, c->fatigue_excess, c->sleep_excess };
    else if (conditions)
        a.load = load_of(p, c, a.today, conditions);
    a.form = thew_form_of(p, a.load, track, -1, a.today, a.to.training);
    thew_form plain = thew_form_of(p, (thew_day_load){ 0 }, track, -1, 0, a.to.training);
    a.common = (thew_prospect){
        .day_ln = thew_form_mean(c, &a.form) - thew_form_mean(c, &plain),
        .mean = thew_form_mean(c, &a.form) + a.to.away_ln,
        .variance = thew_form_variance(c, &a.form) + (a.today ? 0 : prior->day_sd * prior->day_sd + a.to.walk_variance),
        .jump_p = a.to.jump_p,
        .jump_variance = prior->jump_sd * prior->jump_sd,
        .noise = prior->noise,
        .lever = c->lever[track],
        .tau_ln_sd = p->task[p->track[track].task].tau_ln_sd,
    };
    return a;
}

static thew_prospect prospect_of(const thew_profile *p, const thew_capacity *c, const day_ahead *a, int track, const thew_rung *rung)
{
    thew_prospect q = a->common;
    int offset = thew_capacity_offset(c, p->track[track].task, rung->key);
    if (offset < 0) {
        q.variance += thew_offset_variance(p, rung);
        return q;
    }
    int at = thew_at_offset(p, offset);
    double covariance = 0;
    for (int i = 0; i < a->form.count; i++)
        covariance += a->form.factor[i] * thew_cov(c, a->form.index[i], at);
    q.mean += c->mean[at];
    q.variance += 2 * covariance + thew_cov(c, at, at);
    return q;
}

thew_prospect thew_outlook_prospect(const thew_profile *profile, const thew_capacity *capacity, int track, const thew_rung *rung,
                                    thew_day day, const thew_conditions *conditions)
{
    thew_prospect q;
    thew_outlook_ladder(profile, capacity, track, rung, 1, day, conditions, &q);
    return q;
}

void thew_outlook_ladder(const thew_profile *profile, const thew_capacity *capacity, int track, const thew_rung *rung, int rung_count,
                         thew_day day, const thew_conditions *conditions, thew_prospect *out)
{
    day_ahead ahead = look_ahead(profile, capacity, track, day, conditions);
    for (int r = 0; r < rung_count; r++)
        out[r] = prospect_of(profile, capacity, &ahead, track, &rung[r]);
}

// --- What will be seen ---------------------------------------------------------------------------------------------------------

// u + noise: the noise's tail, about a normal that holds all else; and with chance jump_p, if there was a jump, a normal so wide that of
// the noise only the variance counts.
typedef struct {
    double mean, sd, tail;
    double jump_p, jump_sd;
} outcome;

static outcome outcome_of(const thew_prospect *q, double extra_variance)
{
    double tail = q->noise.tail, variance = q->variance + extra_variance + q->noise.sd * q->noise.sd;
    return (outcome){
        .mean = q->mean,
        .sd = thew_sqrt(variance),
        .tail = tail,
        .jump_p = q->jump_p,
        .jump_sd = thew_sqrt(variance + 2 * tail * tail + q->jump_variance),
    };
}

// Share of each outcome below its u; density there and its slope if wanted (or NULL).
//   count   at most THEW_NOISE_BLOCK
static void below_n(const outcome *o, const double *u, int count, double *below, double *density, double *slope)
{
    double sd[THEW_NOISE_BLOCK] = { 0 }, z[THEW_NOISE_BLOCK] = { 0 }, jump[THEW_NOISE_BLOCK];
    for (int i = 0; i < count; i++) {
        sd[i] = o[i].sd;
        z[i] = u[i] - o[i].mean;
        jump[i] = -z[i] / (o[i].jump_sd * SQRT_2);
    }
    thew_noise_below_each(sd, o[0].tail, z, count, below, density, slope);
    thew_erfc_n(jump, jump, count);
    for (int i = 0; i < count; i++)
        below[i] += o[i].jump_p * (.5 * jump[i] - below[i]);
    if (!density)
        return;
    for (int i = 0; i < count; i++)
        jump[i] = -.5 * (z[i] / o[i].jump_sd) * (z[i] / o[i].jump_sd);
    thew_exp_n(jump, jump, count);
    for (int i = 0; i < count; i++) {
        double here = INV_SQRT_2PI / o[i].jump_sd * jump[i];
        density[i] += o[i].jump_p * (here - density[i]);
        slope[i] -= o[i].jump_p * (here * z[i] / (o[i].jump_sd * o[i].jump_sd) + slope[i]);
    }
}

// The u below which the share p < 1/2 of each outcome lies. Below the common mean the distribution is convex, and Halley's steps from near it
// cannot miss.
//   z       the standard normal's quantile
//   count   at most BLOCK
static void quantile_n(const outcome *o, int count, double p, double z, double *u)
{
    double below[BLOCK], density[BLOCK], slope[BLOCK];
    bool found[BLOCK] = { false };
    for (int i = 0; i < count; i++)
        u[i] = o[i].mean + z * thew_sqrt(o[i].sd * o[i].sd + 2 * o[i].tail * o[i].tail);
    for (int step = 0, left = count; step < QUANTILE_STEPS_MAX && left > 0; step++) {
        below_n(o, u, count, below, density, slope);
        for (int i = 0; i < count; i++) {
            if (found[i])
                continue;
            double newton = (below[i] - p) / density[i];
            double by = newton / (1 - .5 * newton * slope[i] / density[i]);
            u[i] -= by;
            found[i] = thew_abs(by) < QUANTILE_STEP_LAST * o[i].sd;
            left -= found[i];
        }
    }
}

double thew_outlook_quantile_ln(const thew_prospect *prospect, double p)
{
    assert(p > 0 && p < 1);
    if (p == .5)
        return prospect->mean; // the middle of every part
    outcome o = outcome_of(prospect, 0);
    double tail = thew_min(p, 1 - p), u;
    quantile_n(&o, 1, tail, thew_normal_quantile(tail), &u);
    return p < .5 ? u : 2 * prospect->mean - u;
}

// --- Odds ----------------------------------------------------------------------------------------------------------------------

// A threshold's time, apart from demand and its mean share: L = 1 / (1 + a q), and the lever is a w L.
typedef struct {
    double q, w;
} moment;

static moment moment_of(const thew_task *task, const thew_rung *rung, double seen_s)
{
    double tired_s = thew_max(thew_tempo_tired_before_s(thew_evidence_tempo(task, rung), false, seen_s), FLOOR_S);
    double share = thew_endurance_load_share(task->endurance, tired_s, 1);
    return (moment){ 1 / share - 1, thew_endurance_tau_lever(task->endurance, tired_s, 1) / share };
}

// What will be seen on that rung, and the u below which it fails before that moment.
//   ratio   out: e to that u
static outcome threshold_of(const thew_rung *rung, const thew_prospect *q, moment at, double *ratio)
{
    double inverse = 1 + rung->mean_share * at.q;
    double off = (rung->mean_share * at.w / inverse - q->lever) * q->tau_ln_sd;
    *ratio = rung->peak_share * inverse;
    return outcome_of(q, off * off);
}

double thew_outlook_fails_before_p(const thew_task *task, const thew_rung *rung, const thew_prospect *prospect, double seen_s)
{
    double ratio, p;
    outcome o = threshold_of(rung, prospect, moment_of(task, rung, seen_s), &ratio);
    double threshold = thew_log(ratio);
    below_n(&o, &threshold, 1, &p, 0, 0);
    return p;
}

// fails [3 count]: before the floor, before the window, before its close, of each rung
static void fails_before_n(const thew_task *task, const thew_rung *rung, const thew_prospect *prospect, int count, double *fails)
{
    outcome o[3 * BLOCK];
    double threshold[3 * BLOCK];
    double until_s[3] = { task->floor_s, task->window_from_s, task->window_to_s };
    moment at[3];
    for (int i = 0; i < 3 * count; i++) {
        const thew_rung *r = &rung[i / 3];
        if (i < 3 || r->ends_from_s != r[-1].ends_from_s || r->ends_to_s != r[-1].ends_to_s)
            at[i % 3] = moment_of(task, r, until_s[i % 3]);
        o[i] = threshold_of(r, &prospect[i / 3], at[i % 3], &threshold[i]);
    }
    thew_log_n(threshold, threshold, 3 * count);
    below_n(o, threshold, 3 * count, fails, 0, 0);
}

static double time_s(const thew_task *task, const thew_rung *rung, double capacity)
{
    double tired_s = thew_endurance_time_s(task->endurance, rung->peak_share / capacity, rung->mean_share);
    return tired_s == __builtin_inf() ? tired_s : thew_tempo_seen_failing_s(thew_evidence_tempo(task, rung), false, tired_s);
}

// capacity [3 count]: a tenth, half, nine tenths of what is seen lie below
static void capacities_n(const thew_prospect *prospect, int count, double *capacity)
{
    outcome o[BLOCK];
    double tenth[BLOCK];
    for (int i = 0; i < count; i++)
        o[i] = outcome_of(&prospect[i], 0);
    quantile_n(o, count, .1, TENTH_Z, tenth);
    for (int i = 0; i < count; i++) { // every part lies evenly about the mean
        capacity[3 * i] = tenth[i];
        capacity[3 * i + 1] = o[i].mean;
        capacity[3 * i + 2] = 2 * o[i].mean - tenth[i];
    }
    thew_exp_n(capacity, capacity, 3 * count);
}

static void chances_of_block(const thew_task *task, const thew_rung *rung, const thew_prospect *prospect, int count, thew_odds *odds)
{
    double fails[3 * BLOCK];
    fails_before_n(task, rung, prospect, count, fails);
    for (int i = 0; i < count; i++) {
        double floor = fails[3 * i], early = thew_max(fails[3 * i + 1], floor), late = thew_max(fails[3 * i + 2], early);
        odds[i] = (thew_odds){ .p_floor = floor, .p_early = early - floor, .p_window = late - early, .p_beyond = 1 - late };
    }
}

static void times_of_block(const thew_task *task, const thew_rung *rung, const thew_prospect *prospect, int count, thew_odds *odds)
{
    double capacity[3 * BLOCK];
    capacities_n(prospect, count, capacity);
    for (int i = 0; i < count; i++) {
        odds[i].p10_s = time_s(task, &rung[i], capacity[3 * i]);
        odds[i].p50_s = time_s(task, &rung[i], capacity[3 * i + 1]);
        odds[i].p90_s = time_s(task, &rung[i], capacity[3 * i + 2]);
    }
}

static int block_of(int rung_count, int done) { return rung_count - done < BLOCK ? rung_count - done : BLOCK; }

void thew_outlook_chances_n(const thew_task *task, const thew_rung *rung, const thew_prospect *prospect, int rung_count, thew_odds *odds)
{
    for (int done = 0; done < rung_count; done += BLOCK)
        chances_of_block(task, rung + done, prospect + done, block_of(rung_count, done), odds + done);
}

void thew_outlook_odds_n(const thew_task *task, const thew_rung *rung, const thew_prospect *prospect, int rung_count, thew_odds *odds)
{
    thew_outlook_chances_n(task, rung, prospect, rung_count, odds);
    for (int done = 0; done < rung_count; done += BLOCK)
        times_of_block(task, rung + done, prospect + done, block_of(rung_count, done), odds + done);
}

thew_odds thew_outlook_odds(const thew_task *task, const thew_rung *rung, const thew_prospect *prospect)
{
    thew_odds odds;
    thew_outlook_odds_n(task, rung, prospect, 1, &odds);
    return odds;
}
