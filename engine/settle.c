// settle.c: see settle.h.
#include "settle.h"

#include "real.h"

#define SETTLED 1e-4 // of an SD: evidence that moves a mean by less is left alone
// Readings and limits that pull apart can make the sites swing: a sweep that does not calm them halves the steps of the next.
#define SWEEPS_MAX 400 // three do on most days, twenty on 99 of 100
#define CALMER .7
#define STEP_MIN .2
#define SITE_PRECISION_MIN 1e-9
#define STILL_PRECISION 1e12 // a jump known to be none: an SD of 1e-6

typedef struct {
    double mean, variance;
} normal;

thew_rank_one thew_rank_one_of(thew_natural change, double mean_u, double variance_u)
{
    double scale = 1 / (1 + change.precision * variance_u);
    return (thew_rank_one){ (change.precision_mean - change.precision * mean_u) * scale, change.precision * scale };
}

static void change_site(thew_today *b, int u, thew_natural change)
{
    thew_rank_one to = thew_rank_one_of(change, b->mean[u], b->covariance[u][u]);
    double with_u[THEW_TODAY_MAX];
    for (int i = 0; i < b->count; i++)
        with_u[i] = b->covariance[u][i];
    for (int i = 0; i < b->count; i++) {
        b->mean[i] += to.step * with_u[i];
        double factor = to.shrink * with_u[i];
        for (int j = 0; j < b->count; j++)
            b->covariance[i][j] -= factor * with_u[j];
    }
}

// Only the part in use: a day of few sets leaves most of the block untouched.
static void copy_today(const thew_today *from, thew_today *to)
{
    to->count = from->count;
    for (int i = 0; i < from->count; i++) {
        to->mean[i] = from->mean[i];
        for (int j = 0; j < from->count; j++)
            to->covariance[i][j] = from->covariance[i][j];
    }
}

// The belief about one u without what its own site says of it.
static normal cavity_of(const thew_today *b, int u, thew_natural site)
{
    double precision = 1 / b->covariance[u][u] - site.precision;
    return (normal){ (b->mean[u] / b->covariance[u][u] - site.precision_mean) / precision, 1 / precision };
}

// Move a site towards the one that turns the cavity into a normal of these moments. A site may not take away: its precision stays
// just above zero.
//   step      1 all the way
//   returns   how far the mean of u was from where it ought to be, in SDs of u
static double move_site(thew_today *b, int u, normal cavity, normal told, double step, thew_natural *site)
{
    double precision = thew_max(1 / told.variance - 1 / cavity.variance, SITE_PRECISION_MIN);
    double precision_mean = precision * told.mean + (told.mean - cavity.mean) / cavity.variance;
    thew_natural change = { step * (precision - site->precision), step * (precision_mean - site->precision_mean) };
    double off = thew_abs(told.mean - b->mean[u]) / thew_sqrt(b->covariance[u][u]);
    change_site(b, u, change);
    site->precision += change.precision;
    site->precision_mean += change.precision_mean;
    return off;
}

// A readiness reading errs in the same way as a set, by its own SD.
static thew_noise noise_of_readiness(const thew_capacity_prior *prior)
{
    thew_noise n = prior->noise;
    double by = prior->readiness_sd / thew_sqrt(n.sd * n.sd + 2 * n.tail * n.tail);
    return (thew_noise){ by * n.sd, by * n.tail };
}

// What a site's evidence makes of the belief about its u.
static thew_moments evidence_on(const thew_capacity_prior *prior, const thew_site *site, normal cavity, bool want_ln)
{
    thew_noise noise = site->track < 0 ? noise_of_readiness(prior) : prior->noise;
    thew_moments told =
        thew_evidence_moments(&site->evidence, &noise, site->extra_variance, cavity.mean + site->shift, cavity.variance, want_ln);
    told.mean -= site->shift;
    return told;
}

double thew_settle_new(const thew_capacity_prior *prior, thew_capacity *capacity, thew_today *today)
{
    int last = capacity->site_count - 1;
    thew_site *site = &capacity->site[last];
    normal cavity = cavity_of(today, last, (thew_natural){ 0, 0 });
    thew_moments told = evidence_on(prior, site, cavity, true);
    thew_natural now = { 0, 0 };
    move_site(today, last, cavity, (normal){ told.mean, told.variance }, 1, &now);
    site->precision = now.precision;
    site->precision_mean = now.precision_mean;
    return told.ln_evidence;
}

// ln of the integral of N(u; mean, variance) exp(-precision u^2 / 2 + precision_mean u).
static double ln_integral(normal u, thew_natural site)
{
    double total = 1 / u.variance + site.precision, linear = u.mean / u.variance + site.precision_mean;
    return .5 * (linear * linear / total - u.mean * u.mean / u.variance - thew_log(1 + site.precision * u.variance));
}

// The day under one answer to "did something sudden happen": its belief, its sites, and ln of the chance it gives to what was seen.
typedef struct {
    thew_today today;
    thew_natural site[THEW_TODAY_MAX]; // of the sets
    double ln_evidence;
} hypothesis;

// What the sites make of the chance of everything seen (Rasmussen & Williams 2006, 3.65, as a product of scaled normals).
static double ln_evidence_of(const thew_capacity_prior *prior, const thew_capacity *c, const thew_today *bare, const hypothesis *h)
{
    static const thew_natural nothing = { 0, 0 };
    thew_today grown;
    copy_today(bare, &grown);
    double sum = 0;
    for (int u = 0; u < c->site_count; u++) {
        normal cavity = cavity_of(&h->today, u, h->site[u]);
        thew_moments told = evidence_on(prior, &c->site[u], cavity, true);
        normal so_far = cavity_of(&grown, u, nothing);
        sum += told.ln_evidence - ln_integral(cavity, h->site[u]) + ln_integral(so_far, h->site[u]);
        change_site(&grown, u, h->site[u]);
    }
    return sum;
}

// Sweep over the sets until none moves the belief.
static void settle_hypothesis(const thew_capacity_prior *prior, const thew_capacity *c, const thew_today *bare, hypothesis *h)
{
    copy_today(bare, &h->today);
    for (int u = 0; u < c->site_count; u++)
        h->site[u] = (thew_natural){ 0, 0 }; // a cold start: what comes out hangs on the day's evidence alone, not on how it came in
    double step = 1, off_before = __builtin_inf();
    for (int sweep = 0; sweep < SWEEPS_MAX; sweep++) {
        double off = 0;
        for (int u = 0; u < c->site_count; u++) {
            normal cavity = cavity_of(&h->today, u, h->site[u]);
            thew_moments told = evidence_on(prior, &c->site[u], cavity, false);
            off = thew_max(off, move_site(&h->today, u, cavity, (normal){ told.mean, told.variance }, step, &h->site[u]));
        }
        if (off < SETTLED)
            break;
        if (off > CALMER * off_before)
            step = thew_max(step / 2, STEP_MIN);
        off_before = off;
    }
    h->ln_evidence = ln_evidence_of(prior, c, bare, h);
}

// The belief before the day's evidence: every site taken out.
static void take_out_sites(const thew_capacity *c, const thew_today *today, thew_today *bare)
{
    copy_today(today, bare);
    change_site(bare, bare->count - 1, (thew_natural){ -c->jump_precision, -c->jump_precision_mean });
    for (int u = 0; u < c->site_count; u++)
        change_site(bare, u, (thew_natural){ -c->site[u].precision, -c->site[u].precision_mean });
}

static void keep_sites(thew_capacity *c, const thew_natural *site, thew_today *today)
{
    for (int u = 0; u < c->site_count; u++) {
        c->site[u].precision = site[u].precision;
        c->site[u].precision_mean = site[u].precision_mean;
        change_site(today, u, site[u]);
    }
}

// Where nothing sudden can happen there is one hypothesis.
static void settle_plainly(const thew_capacity_prior *prior, thew_capacity *c, const thew_today *bare, thew_today *today)
{
    hypothesis only;
    settle_hypothesis(prior, c, bare, &only);
    c->jump_p = 0;
    c->jump_precision = c->jump_precision_mean = 0;
    copy_today(bare, today);
    keep_sites(c, only.site, today);
}

// The jump's prior is nothing with 1 - p, else N(0, jump_sd^2). Both are settled by themselves, since a set that lies far off
// under the one may be plain under the other; then weighed by what each makes of the day. The sites kept are the weighted mean of both,
// and the jump's own site gives it the mean and variance of the mixture.
void thew_settle(const thew_capacity_prior *prior, thew_capacity *capacity, thew_today *today)
{
    thew_today bare, calm;
    take_out_sites(capacity, today, &bare);
    int j = bare.count - 1;
    double chance = capacity->jump_prior_p;
    if (chance <= 0 || bare.covariance[j][j] <= 0) {
        settle_plainly(prior, capacity, &bare, today);
        return;
    }
    hypothesis sudden, still;
    settle_hypothesis(prior, capacity, &bare, &sudden);
    copy_today(&bare, &calm);
    change_site(&calm, j, (thew_natural){ STILL_PRECISION, 0 });
    settle_hypothesis(prior, capacity, &calm, &still);

    double against = (1 - chance) / chance * thew_exp(thew_clamp(still.ln_evidence - sudden.ln_evidence, -600, 600));
    double weight = 1 / (1 + against);
    thew_natural site[THEW_TODAY_MAX];
    for (int u = 0; u < capacity->site_count; u++) {
        site[u].precision = still.site[u].precision + weight * (sudden.site[u].precision - still.site[u].precision);
        site[u].precision_mean = still.site[u].precision_mean + weight * (sudden.site[u].precision_mean - still.site[u].precision_mean);
    }
    copy_today(&bare, today);
    keep_sites(capacity, site, today);

    normal told = { weight * sudden.today.mean[j], 0 };
    told.variance = weight * (sudden.today.covariance[j][j] + sudden.today.mean[j] * sudden.today.mean[j]) - told.mean * told.mean;
    normal cavity = cavity_of(today, j, (thew_natural){ 0, 0 });
    thew_natural jump = { 0, 0 };
    move_site(today, j, cavity, told, 1, &jump);
    capacity->jump_p = weight;
    capacity->jump_precision = jump.precision;
    capacity->jump_precision_mean = jump.precision_mean;
}
