// capacity_gaussian_test.c: where everything is normal and linear the filter must be the exact Kalman filter, and the smoother the
// exact smoother. Against (1) the Nile series with the figures of Durbin & Koopman, (2) the steady state in closed form, (3) random
// diaries of many tracks against one dense conditioning of all sets at once, written here without any recursion.
#include "people.h"

#include "engine/capacity_parts.h"
#include "engine/smooth.h"

// ---- the Nile ----
// Annual flow at Aswan 1871-1970, 1e8 m3 (nile.csv; Cobb 1978, Durbin & Koopman 2001; the copy is checked against R's
// datasets::Nile in tests/outside/nile.R, which also compares every filtered and smoothed state). Variances 15099 and 1469.1 and
// the diffuse log-likelihood -632.5: Durbin & Koopman 2001, section 2.10 (memory). One year is one day here, and ln k is flow /
// 1000.
#define YEARS 100
#define SCALE 1e-3

static thew_profile nile_profile(void)
{
    thew_capacity_prior prior = prior_at_rest(sqrt(15099) * SCALE);
    prior.walk_sd_per_root_day = sqrt(1469.1) * SCALE;
    return alone(prior, hold_of(THEW_JOINT_KNEE), 0, 100); // vast: 1e5 in the river's units, its variance 6e5 times the noise's
}

static void read_nile(const thew_profile *p, double *flow, thew_set *set)
{
    csv *table = csv_open("nile.csv");
    int count = 0;
    for (; csv_next(table) && count < YEARS; count++) {
        flow[count] = csv_number(table, "flow_1e8_m3");
        set[count] = set_reading(p, count, 0, flow[count] * SCALE, 75);
    }
    assert_int_equal(count, YEARS);
}

static void nile_is_durbin_and_koopmans(void **state)
{
    (void)state;
    thew_profile p = nile_profile();
    double flow[YEARS];
    thew_set set[YEARS];
    read_nile(&p, flow, set);
    thew_capacity c = started(&p);
    double first = 0;
    for (int t = 0; t < YEARS; t++) {
        assert_int_equal(thew_capacity_record(&p, &c, &set[t]), THEW_OK);
        if (t == 0) first = c.ln_evidence;
    }
    // Densities of flow, not of flow / 1000: ln SCALE for each. The first year's term, which a vast prior makes meaningless, is
    // left out (99 terms, each with its -ln(2 pi) / 2).
    double ln_likelihood = c.ln_evidence - first + (YEARS - 1) * log(SCALE);
    row_near("diffuse log-likelihood", -632.5, ln_likelihood, .05);
    rows_end(1);
}

// Filtered and predicted variance in the steady state: P = (q + sqrt(q^2 + 4 q)) / 2 noise variances before a year's reading, P - q
// after.
static void nile_settles_at_the_closed_form(void **state)
{
    (void)state;
    thew_profile p = nile_profile();
    double flow[YEARS];
    thew_set set[YEARS];
    read_nile(&p, flow, set);
    thew_capacity c = started(&p);
    for (int t = 0; t < YEARS; t++)
        assert_int_equal(thew_capacity_record(&p, &c, &set[t]), THEW_OK);
    double q = 1469.1 / 15099, before = (q + sqrt(q * q + 4 * q)) / 2;
    row_relative("filtered", sqrt(15099 * (before - q)), thew_capacity_of(&p, &c, 0).sd / SCALE, 1e-8);
    assert_int_equal(thew_capacity_go_to(&p, &c, YEARS, NULL), THEW_OK);
    row_relative("predicted", sqrt(15099 * before), thew_capacity_of(&p, &c, 0).sd / SCALE, 1e-8);
    rows_end(2);
}

// ---- many tracks against one dense conditioning ----

// A linear form in independent standard normals, which is all that a Gaussian world is made of.
#define SOURCES 560
typedef struct {
    double mean;
    double on[SOURCES];
} form;

#define TRACKS 5
#define TASKS 3
#define KEYS_OFTEN 4 // rungs of a task that are used again and again
#define DAYS 36
#define KEYS DAYS // or new ones every day, more than a filter holds
#define SETS 240

typedef struct {
    thew_profile profile;
    bool new_rungs_daily;
    int sources;
    form drift, heat, fatigue, sleep, track[TRACKS], offset[TASKS][KEYS], day, jump;
    bool offset_made[TASKS][KEYS];
    // as recorded
    thew_set set[SETS];
    thew_checkin checkin[DAYS];
    int set_count, checkin_count;
    // what was read, in the filter's order: a day's readiness before its sets
    int reading_count;
    double reading[SETS], noise_sd[SETS];
    form about[SETS];
    // per day with records
    int day_count, readings_until[DAYS];
    thew_day days[DAYS];
    form strength[DAYS][TRACKS]; // ln k with the day's jump
} world;

static form constant(double mean)
{
    return (form){ .mean = mean };
}

static void add(form *f, double factor, const form *g)
{
    f->mean += factor * g->mean;
    for (int i = 0; i < SOURCES; i++)
        f->on[i] += factor * g->on[i];
}

static int source(world *w)
{
    assert_true(w->sources < SOURCES);
    return w->sources++;
}

static void add_new(world *w, form *f, double sd)
{
    f->on[source(w)] += sd;
}

static double dot(const form *f, const form *g)
{
    double sum = 0;
    for (int i = 0; i < SOURCES; i++)
        sum += f->on[i] * g->on[i];
    return sum;
}

static thew_profile many(bool jumps)
{
    thew_capacity_prior prior = thew_capacity_prior_default(true);
    prior.noise.tail = 0;
    prior.jump_per_day = jumps ? 1e3 : 0; // certain, so that what is left of its prior is a normal; or none
    prior.jump_after_symptom = 0;
    thew_profile p = { .prior = prior, .task_count = TASKS, .track_count = TRACKS };
    const thew_joint joint[TASKS] = { THEW_JOINT_KNEE, THEW_JOINT_KNEE, THEW_JOINT_ELBOW };
    for (int i = 0; i < TASKS; i++)
        p.task[i] = hold_of(joint[i]);
    const thew_track track[TRACKS] = { { 0, THEW_LEFT, -.2, .3 },
                                       { 0, THEW_RIGHT, -.1, .33 },
                                       { 1, THEW_BOTH, 0, .28 },
                                       { 2, THEW_LEFT, .1, .35 },
                                       { 2, THEW_RIGHT, .2, .4 } };
    memcpy(p.track, track, sizeof track);
    return p;
}

// The prior as capacity.h tells it: shares of variance that all tracks, those of a joint, and both sides of a task have in common.
static void make_prior(world *w)
{
    const thew_profile *p = &w->profile;
    int all = source(w), joint = w->sources, task = joint + THEW_JOINT_COUNT;
    w->sources += THEW_JOINT_COUNT + TASKS;
    for (int t = 0; t < TRACKS; t++) {
        const thew_track *track = &p->track[t];
        const thew_capacity_prior *q = &p->prior;
        form *f = &w->track[t];
        *f = constant(track->ln_mean);
        f->on[all] = track->ln_sd * sqrt(q->alike_all);
        f->on[joint + (int)p->task[track->task].joint] = track->ln_sd * sqrt(q->alike_joint);
        f->on[task + track->task] = track->ln_sd * sqrt(q->alike_sides);
        add_new(w, f, track->ln_sd * sqrt(1 - q->alike_all - q->alike_joint - q->alike_sides));
    }
    w->drift = constant(p->prior.drift_per_day);
    w->heat = constant(p->prior.heat_per_c);
    w->fatigue = constant(p->prior.fatigue_per_point);
    w->sleep = constant(p->prior.sleep_per_point);
    add_new(w, &w->drift, p->prior.drift_sd_per_day);
    add_new(w, &w->heat, p->prior.heat_sd_per_c);
    add_new(w, &w->fatigue, p->prior.fatigue_sd_per_point);
    add_new(w, &w->sleep, p->prior.sleep_sd_per_point);
}

static void new_day(world *w, double days, double since_set, bool trained)
{
    const thew_capacity_prior *q = &w->profile.prior;
    if (days > 0) {
        double training = !trained ? 0 : fmin(fmax(q->away_after_days - since_set, 0), days), away = trained ? days - training : 0;
        double before = fmax(since_set - q->away_after_days, 0);
        double walk_sd = q->walk_sd_per_root_day * sqrt(days), keep = exp(-training / q->drift_fade_days);
        int common = source(w);
        for (int t = 0; t < TRACKS; t++) {
            add(&w->track[t], 1, &w->jump);
            add(&w->track[t], training, &w->drift);
            w->track[t].mean += q->away_per_day * q->away_fade_days * (exp(-before / q->away_fade_days) - exp(-(before + away) / q->away_fade_days));
            w->track[t].on[common] += walk_sd * sqrt(q->walk_common_share);
            add_new(w, &w->track[t], walk_sd * sqrt(1 - q->walk_common_share));
        }
        form settled = constant((1 - keep) * q->drift_settled_per_day);
        add(&settled, keep, &w->drift);
        w->drift = settled;
        add_new(w, &w->drift, q->drift_sd_per_day * sqrt(1 - keep * keep));
    }
    w->day = w->jump = constant(0);
    add_new(w, &w->day, q->day_sd);
    if (days > 0 && q->jump_per_day > 0) add_new(w, &w->jump, q->jump_sd);
}

static void read_off(world *w, const form *about, double reading, double noise_sd)
{
    int n = w->reading_count++;
    w->about[n] = *about;
    w->reading[n] = reading;
    w->noise_sd[n] = noise_sd;
}

// What every set of the day has in common.
static form day_part(const world *w, double heat, double fatigue, double sleep)
{
    form f = w->day;
    add(&f, 1, &w->jump);
    add(&f, heat, &w->heat);
    add(&f, fatigue, &w->fatigue);
    add(&f, sleep, &w->sleep);
    return f;
}

// The usual of a reported score: 4 (fatigue) or 6 (sleep) counts as three check-ins.
static double above_usual(double value, double *sum, int *count)
{
    double usual = *sum / *count;
    *sum += value;
    ++*count;
    return value - usual;
}

static void random_checkin(world *w, uint64_t *seed, thew_day day)
{
    w->checkin[w->checkin_count++] = (thew_checkin){ day,
                                                     { .has_heat = random_unit(seed) < .5,
                                                       .has_fatigue = random_unit(seed) < .5,
                                                       .has_sleep = random_unit(seed) < .5,
                                                       .has_readiness = random_unit(seed) < .3,
                                                       .heat_index_c = random_between(seed, 18, 34),
                                                       .fatigue = random_between(seed, 0, 10),
                                                       .sleep = random_between(seed, 0, 10),
                                                       .readiness = random_between(seed, -.2, .2) } };
}

// Some rungs bring their own SD.
static form *offset_of(world *w, int task, int key, double *ln_sd)
{
    *ln_sd = key % 2 ? .07 : 0;
    if (!w->offset_made[task][key]) add_new(w, &w->offset[task][key], *ln_sd > 0 ? *ln_sd : w->profile.prior.offset_sd);
    w->offset_made[task][key] = true;
    return &w->offset[task][key];
}

static void random_set(world *w, uint64_t *seed, thew_day day, const form *of_day, int *visits, thew_day *visited)
{
    const thew_profile *p = &w->profile;
    int t = random_below(seed, TRACKS), key = w->new_rungs_daily ? w->day_count : random_below(seed, KEYS_OFTEN);
    if (visited[t] != day) visits[t]++;
    visited[t] = day;
    double reading = p->track[t].ln_mean + random_between(seed, -.5, .5);
    thew_set *set = &w->set[w->set_count++];
    *set = set_reading(p, day, t, reading, random_between(seed, 5, 150));
    set->rung.key = (unsigned)key;
    form f = *of_day;
    add(&f, 1, &w->track[t]);
    add(&f, 1, offset_of(w, p->track[t].task, key, &set->rung.ln_sd));
    f.mean -= visits[t] == 1 ? p->prior.learning_hold : 0;
    read_off(w, &f, reading, p->prior.noise.sd);
}

static void end_day(world *w, thew_day day)
{
    int d = w->day_count++;
    w->days[d] = day;
    w->readings_until[d] = w->reading_count;
    for (int t = 0; t < TRACKS; t++) {
        w->strength[d][t] = w->track[t];
        add(&w->strength[d][t], 1, &w->jump);
    }
}

// Rungs that are let go are never used again, so that nothing is lost with them and the filter must still be exact.
// Days 1 to 6 apart, every ninth after a break of three to nine weeks; no to seven sets in any order, with or without a check-in.
static void random_world(uint64_t seed, bool jumps, bool new_rungs_daily, world *w)
{
    memset(w, 0, sizeof *w);
    w->new_rungs_daily = new_rungs_daily;
    w->profile = many(jumps);
    make_prior(w);
    double fatigue_sum = 3 * 4, sleep_sum = 3 * 6;
    int fatigue_count = 3, sleep_count = 3, visits[TRACKS] = { 0 };
    thew_day day = 19000, visited[TRACKS] = { 0 }, last_set = THEW_NO_DAY;
    while (w->day_count < DAYS) {
        thew_day before = day;
        if (w->day_count > 0) day += w->day_count % 9 == 8 ? 20 + random_below(&seed, 40) : 1 + random_below(&seed, 6);
        int sets = random_below(&seed, 8);
        bool asked = sets == 0 || random_unit(&seed) < .6;
        new_day(w, day - before, last_set == THEW_NO_DAY ? 0 : before - last_set, last_set != THEW_NO_DAY);
        double heat = 0, fatigue = 0, sleep = 0;
        const thew_conditions *now = &w->checkin[w->checkin_count].conditions;
        if (asked) random_checkin(w, &seed, day);
        if (asked && now->has_heat) heat = fmax(now->heat_index_c - 24, 0);
        if (asked && now->has_fatigue) fatigue = above_usual(now->fatigue, &fatigue_sum, &fatigue_count);
        if (asked && now->has_sleep) sleep = above_usual(now->sleep, &sleep_sum, &sleep_count);
        form of_day = day_part(w, heat, fatigue, sleep);
        if (asked && now->has_readiness) read_off(w, &of_day, now->readiness, w->profile.prior.readiness_sd);
        for (int n = 0; n < sets; n++)
            random_set(w, &seed, day, &of_day, visits, visited);
        if (sets > 0) last_set = day;
        end_day(w, day);
    }
}

// Lower Cholesky factor of the readings' covariance, and the readings' innovations by it. Its leading block belongs to the first
// readings.
static double factor[SETS][SETS], white[SETS];

static void factorise(const world *w)
{
    for (int i = 0; i < w->reading_count; i++) {
        white[i] = w->reading[i] - w->about[i].mean;
        for (int j = 0; j <= i; j++) {
            double sum = dot(&w->about[i], &w->about[j]) + (i == j ? w->noise_sd[i] * w->noise_sd[i] : 0);
            for (int k = 0; k < j; k++)
                sum -= factor[i][k] * factor[j][k];
            factor[i][j] = i == j ? sqrt(sum) : sum / factor[j][j];
        }
        for (int j = 0; j < i; j++)
            white[i] -= factor[i][j] * white[j];
        white[i] /= factor[i][i];
    }
}

typedef struct {
    const form *of;
    double on[SETS];
    double mean;
} belief;

// What the first `count` readings say of a form.
static belief conditioned(const world *w, const form *f, int count)
{
    belief b = { .of = f, .mean = f->mean };
    for (int i = 0; i < count; i++) {
        double sum = dot(f, &w->about[i]);
        for (int k = 0; k < i; k++)
            sum -= factor[i][k] * b.on[k];
        b.on[i] = sum / factor[i][i];
        b.mean += b.on[i] * white[i];
    }
    return b;
}

static double covariance(const belief *a, const belief *b, int count)
{
    double sum = dot(a->of, b->of);
    for (int i = 0; i < count; i++)
        sum -= a->on[i] * b->on[i];
    return sum;
}

static double ln_density(const world *w)
{
    double sum = 0;
    for (int i = 0; i < w->reading_count; i++)
        sum -= .5 * white[i] * white[i] + log(factor[i][i]) + .5 * log(2 * THEW_PI);
    return sum;
}

#define DIM_MAX THEW_STATE_MAX

static void compare_state(const world *w, const thew_capacity *c, int count)
{
    static belief b[DIM_MAX];
    const form *fixed[] = { &w->day, &w->jump, &w->drift, &w->heat, &w->fatigue, &w->sleep };
    for (int i = 0; i < THEW_FIXED; i++)
        b[i] = conditioned(w, fixed[i], count);
    for (int t = 0; t < TRACKS; t++)
        b[thew_at_track(t)] = conditioned(w, &w->track[t], count);
    for (int o = 0; o < c->offset_count; o++)
        b[thew_at_offset(&w->profile, o)] = conditioned(w, &w->offset[c->offset[o].task][c->offset[o].key], count);
    for (int i = 0; i < c->dim; i++) {
        double sd = sqrt(covariance(&b[i], &b[i], count));
        row_near("mean", b[i].mean, c->mean[i], 1e-8);
        for (int j = 0; j < c->dim; j++)
            row_near("covariance", covariance(&b[i], &b[j], count), thew_cov(c, i, j), 1e-8 * sd);
    }
}

static world w;

// Strengths and their SDs after every day; at the end every mean to 1e-8 and every covariance with x_i to 1e-8 SD(x_i); ln of the
// density of all readings to 1e-7.
static void filter_is_one_dense_conditioning(void **state)
{
    (void)state;
    for (uint64_t seed = 1; seed <= 4; seed++) {
        random_world(seed, seed % 2, seed % 4 == 0, &w);
        factorise(&w);
        thew_capacity c = started(&w.profile);
        thew_diary diary = { w.set, w.set_count, w.checkin, w.checkin_count };
        thew_diary_place place = { 0, 0 };
        for (int d = 0; d < w.day_count; d++) {
            thew_status news = thew_diary_play_day(&w.profile, &diary, &place, &c);
            assert_true(news == THEW_OK || (w.new_rungs_daily && news == THEW_DROPPED_OFFSET));
            for (int t = 0; t < TRACKS; t++) {
                belief b = conditioned(&w, &w.strength[d][t], w.readings_until[d]);
                thew_estimate e = thew_capacity_of(&w.profile, &c, t);
                row_near("strength", b.mean, e.mean, 1e-8);
                row_near("its SD", sqrt(covariance(&b, &b, w.readings_until[d])), e.sd, 1e-8);
            }
        }
        compare_state(&w, &c, w.reading_count);
        row_near("ln density of all readings", ln_density(&w), c.ln_evidence, 1e-7);
    }
    rows_end(1000);
}

static void smoother_is_one_dense_conditioning(void **state)
{
    (void)state;
    for (uint64_t seed = 5; seed <= 8; seed++) {
        random_world(seed, seed % 2, seed % 4 == 0, &w);
        factorise(&w);
        thew_diary diary = { w.set, w.set_count, w.checkin, w.checkin_count };
        static thew_smooth_at at[DAYS][TRACKS];
        static thew_day days[DAYS];
        size_t bytes = thew_smooth_bytes(DAYS);
        void *memory = malloc(bytes);
        memset(memory, 0xA5, bytes);
        thew_status news = thew_smooth(&w.profile, &diary, memory, bytes, days, &at[0][0]);
        assert_int_equal(news, w.new_rungs_daily ? THEW_DROPPED_OFFSET : THEW_OK);
        free(memory);
        for (int d = 0; d < DAYS; d++) {
            row_near("day", w.days[d], days[d], 0);
            for (int t = 0; t < TRACKS; t++) {
                int until = w.readings_until[d], all = w.reading_count;
                belief then = conditioned(&w, &w.strength[d][t], until), now = conditioned(&w, &w.strength[d][t], all);
                row_near("filtered", then.mean, at[d][t].filtered.mean, 1e-8);
                row_near("filtered SD", sqrt(covariance(&then, &then, until)), at[d][t].filtered.sd, 1e-8);
                row_near("smoothed", now.mean, at[d][t].smoothed.mean, 1e-8);
                row_near("smoothed SD", sqrt(covariance(&now, &now, all)), at[d][t].smoothed.sd, 1e-8);
            }
        }
    }
    rows_end(4 * DAYS * (1 + 4 * TRACKS));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nile_is_durbin_and_koopmans),
        cmocka_unit_test(nile_settles_at_the_closed_form),
        cmocka_unit_test(filter_is_one_dense_conditioning),
        cmocka_unit_test(smoother_is_one_dense_conditioning),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
