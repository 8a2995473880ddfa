// grid_test.c: the oracle judged by finer grids, by sums without any table, by closed forms, and by people drawn from its own
// prior; then the joint filter judged by the oracle, one track at a time. Where the reference is itself weak: the usual grid (cells
// of .02, five nodes for a day) is off by a few hundredths of an SD; so filters are compared with a grid twice as fine, which is
// good to .01 SD.
#include "people.h"

#include "engine/grid.h"
#include "engine/prior.h"

// One knee, holds or repetitions; no drift, since a grid takes it at its mean.
static thew_profile one_track(bool hold, double tau_ln_sd, double tail, bool jumps)
{
    thew_capacity_prior prior = thew_capacity_prior_default(true);
    prior.drift_per_day = prior.drift_sd_per_day = prior.drift_fade_days = prior.away_per_day = 0;
    prior.noise = tail > 0 ? (thew_noise){ prior.noise.sd, tail } : (thew_noise){ .053, 0 };
    if (!jumps) prior.jump_per_day = prior.jump_after_symptom = 0;
    thew_task task = thew_task_default(THEW_JOINT_KNEE, hold ? THEW_HOLD : THEW_REPETITIONS);
    task.tau_ln_sd = tau_ln_sd;
    return alone(prior, task, -.2, .3);
}

static double *memory_for(int finer)
{
    double *memory = malloc(sizeof *memory * (size_t)thew_grid_doubles(finer));
    assert_non_null(memory);
    memset(memory, 0xA5, sizeof *memory * (size_t)thew_grid_doubles(finer));
    return memory;
}

// A person of a profile, drawn from its prior and living by it.
typedef struct {
    const thew_profile *p;
    thew_profile own; // with the tau that is true
    double k, to_own, day_part;
    thew_day day, last_set;
    bool symptom;
} person;

static person born(const thew_profile *p, uint64_t *seed)
{
    person x = { .p = p, .own = *p, .k = p->track[0].ln_mean + p->track[0].ln_sd * random_normal(seed), .last_set = THEW_NO_DAY };
    x.own.task[0].endurance.tau_s *= exp(p->task[0].tau_ln_sd * random_normal(seed));
    x.to_own =
        log(thew_endurance_load_share(p->task[0].endurance, 75, 1) / thew_endurance_load_share(x.own.task[0].endurance, 75, 1));
    return x;
}

static void next_day(person *x, uint64_t *seed, int gap)
{
    const thew_capacity_prior *q = &x->p->prior;
    double chance = 1 - exp(-q->jump_per_day * gap);
    if (x->symptom) chance = fmax(chance, q->jump_after_symptom);
    x->k += q->walk_sd_per_root_day * sqrt(gap) * random_normal(seed);
    if (random_unit(seed) < chance) x->k += q->jump_sd * random_normal(seed);
    x->day_part = q->day_sd * random_normal(seed);
    x->day += gap;
    x->symptom = false;
}

// A set on a rung that a person of ln capacity `about` would fail at 75 s; one in ten stopped after 50 s for a symptom, if it got
// so far.
static thew_set set_of(person *x, uint64_t *seed, double about, bool first_visit)
{
    const thew_capacity_prior *q = &x->p->prior;
    const thew_task *task = &x->p->task[0];
    double noise = random_noise(seed, q->noise);
    double learning = first_visit ? (task->kind == THEW_HOLD ? q->learning_hold : q->learning_repetitions) : 0;
    thew_rung rung = rung_reading(task, about, 75, 1);
    rung.ln_sd = 1e-6; // a grid knows no offsets
    thew_set set = set_shown(&x->own, x->day, 0, rung, x->k + x->day_part - learning + noise + x->to_own, 90);
    double stop_s = task->kind == THEW_HOLD ? 50 : 47; // the end of a lift
    if (random_unit(seed) < .1 && set.seconds > stop_s) set.ended = THEW_SYMPTOM, set.seconds = stop_s, x->symptom = true;
    return set;
}

// ---- the grid alone ----

// The usual grid and one twice as fine beside one eight times as fine.
static void grids_agree_with_finer_ones(void **state)
{
    (void)state;
    static const int finer[] = { 1, 2, 8 };
    static const double mean_sd[] = { .02, .01 }, sd_share[] = { .02, .01 };
    double *memory[3];
    EACH(g, finer) memory[g] = memory_for(finer[g]);
    for (int unsure = 0; unsure < 2; unsure++) {
        thew_profile p = one_track(true, unsure ? .4 : 0, .0394, true);
        uint64_t seed = 5;
        double worst[2] = { 0 }, worst_sd[2] = { 0 }, square[2] = { 0 };
        int days = 0;
        for (int n = 0; n < 3; n++) {
            thew_grid grid[3];
            EACH(g, finer) thew_grid_start(&p, finer[g], memory[g], &grid[g]);
            person x = born(&p, &seed);
            for (int d = 0; d < 8; d++, days++) {
                if (d > 0) next_day(&x, &seed, 2 + random_below(&seed, 4));
                for (int sets = 1 + random_below(&seed, 3); sets > 0; sets--) {
                    thew_set set = set_of(&x, &seed, x.k + .15 * random_normal(&seed), d == 0);
                    EACH(g, finer) assert_int_equal(thew_grid_record(&p, &grid[g], &set), THEW_OK);
                }
                thew_estimate b = thew_grid_capacity(&p, &grid[2]);
                for (int g = 0; g < 2; g++) {
                    thew_estimate a = thew_grid_capacity(&p, &grid[g]);
                    worst[g] = fmax(worst[g], fabs(a.mean - b.mean) / b.sd);
                    worst_sd[g] = fmax(worst_sd[g], fabs(a.sd / b.sd - 1));
                    square[g] += pow((a.mean - b.mean) / b.sd, 2);
                }
            }
        }
        for (int g = 0; g < 2; g++) {
            printf("# %d times as fine, tau %s: mean off by %.4f SD at worst (%.4f rms), SD by %.2f %%\n", finer[g],
                   unsure ? "unsure" : "known", worst[g], sqrt(square[g] / days), 100 * worst_sd[g]);
            row_between("mean", 0, worst[g], mean_sd[g]);
            row_between("SD", 0, worst_sd[g], sd_share[g]);
        }
    }
    EACH(g, finer) free(memory[g]);
    rows_end(8);
}

// A normal prior, one reading, no wrong entry, no change: mean, SD and ln of the density in closed form; and the joint filter's.
static void one_reading_is_the_closed_form(void **state)
{
    (void)state;
    double *memory = memory_for(2);
    for (double reading = -.7; reading < .5; reading += .15)
        for (double day_sd = 0; day_sd < .1; day_sd += .03) {
            thew_profile p = one_track(true, 0, 0, false);
            p.prior.learning_hold = 0;
            p.prior.day_sd = day_sd;
            thew_grid g;
            thew_grid_start(&p, 2, memory, &g);
            thew_set set = set_reading(&p, 3, 0, reading, 75);
            assert_int_equal(thew_grid_record(&p, &g, &set), THEW_OK);
            double noise = .053 * .053 + day_sd * day_sd, gain = .09 / (.09 + noise), off = reading + .2;
            row_near("mean", -.2 + gain * off, thew_grid_capacity(&p, &g).mean, .002);
            row_relative("SD", sqrt(.09 * (1 - gain)), thew_grid_capacity(&p, &g).sd, .01);
            row_near("ln density", -.5 * (off * off / (.09 + noise) + log(2 * THEW_PI * (.09 + noise))), g.ln_evidence, .01);
            set.rung.ln_sd = 1e-6;
            thew_capacity c = started(&p);
            assert_int_equal(thew_capacity_record(&p, &c, &set), THEW_OK);
            row_near("the filter's", c.ln_evidence, g.ln_evidence, .01);
        }
    free(memory);
    rows_end(100);
}

// Odds by table against odds by summing every cell.
static void odds_are_sums_over_cells(void **state)
{
    (void)state;
    // clang-format off
    static const struct {
        int finer;
        bool hold;
        double tau_ln_sd, tail, day_sd, tolerance;
    } row[] = {
        { 1, true,  .4, .0394, .065, .003  },
        { 1, false, 0,  0,   .065, .003  },
        { 1, true,  .4, 0,   .01,  .003  }, // day nodes closer than cells
        { 1, true,  .4, .0394, 0,    .003  },
        { 2, false, .4, .0394, .065, .0005 },
        { 4, true,  0,  .0394, .065, .0001 },
    };
    // clang-format on
    EACH(i, row)
    {
        uint64_t seed = 9 + i;
        thew_profile p = one_track(row[i].hold, row[i].tau_ln_sd, row[i].tail, true);
        p.prior.day_sd = row[i].day_sd;
        double *memory = memory_for(row[i].finer), worst = 0;
        thew_grid g;
        thew_grid_start(&p, row[i].finer, memory, &g);
        person x = born(&p, &seed);
        for (int d = 0; d < 5; d++) {
            if (d > 0) next_day(&x, &seed, 3);
            thew_set set = set_of(&x, &seed, x.k + .1 * random_normal(&seed), d == 0);
            assert_int_equal(thew_grid_record(&p, &g, &set), THEW_OK);
            thew_rung rung[9];
            thew_odds odds[9];
            for (int r = 0; r < 9; r++)
                rung[r] = rung_reading(&p.task[0], x.k - 3 + .75 * r, 75, .7);
            for (int another_day = 0; another_day < 2; another_day++) {
                thew_grid_odds(&p, &g, rung, 9, another_day, odds);
                for (int r = 0; r < 9; r++) {
                    double fails[3] = { p.task[0].floor_s, p.task[0].window_from_s, p.task[0].window_to_s };
                    for (int n = 0; n < 3; n++)
                        fails[n] = thew_grid_fails_before_p(&p, &g, &rung[r], another_day, fails[n]);
                    double off = fmax(fabs(odds[r].p_floor - fails[0]), fabs(odds[r].p_floor + odds[r].p_early - fails[1]));
                    worst = fmax(worst, fmax(off, fabs(1 - odds[r].p_beyond - fails[2])));
                    row_near("they add up", 1, odds[r].p_floor + odds[r].p_early + odds[r].p_window + odds[r].p_beyond, 1e-12);
                }
            }
        }
        printf("# odds, row %zu: off by %.5f at most\n", i, worst);
        row_between("off by", 0, worst, row[i].tolerance);
        free(memory);
    }
    rows_end(6 * 91);
}

// What a grid believes of strength and of tau is right on average over people drawn from its own prior, whatever times their sets
// end at. (It was not, as long as a time's density was left out: see per_time in grid.c.) 300 people, so a mean may be off by 4 /
// sqrt(300) = .23.
static void beliefs_are_right_on_average(void **state)
{
    (void)state;
    double *memory = memory_for(1);
    for (int hold = 0; hold < 2; hold++) {
        thew_profile p = one_track(hold, .4, .0394, true);
        uint64_t seed = 77;
        double k_sum = 0, k_square = 0, tau_sum = 0, tau_square = 0, told = 0;
        int people = 300;
        for (int n = 0; n < people; n++) {
            thew_grid g;
            thew_grid_start(&p, 1, memory, &g);
            person x = born(&p, &seed);
            for (int d = 0; d < 12; d++) {
                if (d > 0) next_day(&x, &seed, 2 + random_below(&seed, 4));
                for (int sets = 1 + random_below(&seed, 3); sets > 0; sets--) {
                    thew_set set = set_of(&x, &seed, thew_grid_capacity(&p, &g).mean + .12 * random_normal(&seed), d == 0);
                    assert_int_equal(thew_grid_record(&p, &g, &set), THEW_OK);
                }
            }
            thew_estimate k = thew_grid_capacity(&p, &g), tau = thew_grid_tau(&g);
            double k_z = (x.k - k.mean) / k.sd, tau_z = (log(x.own.task[0].endurance.tau_s) - tau.mean) / tau.sd;
            k_sum += k_z, k_square += k_z * k_z, tau_sum += tau_z, tau_square += tau_z * tau_z, told += tau.sd;
        }
        printf("# %s: strength off by %+.3f SD (SD %.3f), ln tau by %+.3f SD (SD %.3f), SD of ln tau %.3f\n",
               hold ? "holds" : "repetitions", k_sum / people, sqrt(k_square / people), tau_sum / people, sqrt(tau_square / people),
               told / people);
        row_between("strength", -.23, k_sum / people, .23);
        row_between("its SD", .85, sqrt(k_square / people), 1.15);
        row_between("ln tau", -.23, tau_sum / people, .23);
        row_between("its SD", .85, sqrt(tau_square / people), 1.15);
        row_between("something is learned of tau", 0, told / people, .36);
    }
    free(memory);
    rows_end(10);
}

static void a_grid_starts_at_its_prior_and_keeps_order(void **state)
{
    (void)state;
    double *memory = memory_for(2);
    thew_profile p = one_track(true, .4, .0394, true);
    thew_grid g;
    thew_grid_start(&p, 2, memory, &g);
    row_near("strength", -.2, thew_grid_capacity(&p, &g).mean, .01);
    row_relative("its SD", .3, thew_grid_capacity(&p, &g).sd, .01);
    row_near("ln tau", log(70.8), thew_grid_tau(&g).mean, 1e-9); // fatigue_parameters.csv
    row_relative("its SD", .4, thew_grid_tau(&g).sd, .01);
    thew_set set = set_reading(&p, 10, 0, 0, 75);
    row_near("a set", THEW_OK, thew_grid_record(&p, &g, &set), 0);
    set.day = 9;
    row_near("one of the day before", THEW_DATE_BEFORE_STATE, thew_grid_record(&p, &g, &set), 0);
    set.day = 10 + 20 * 365;
    row_near("one of twenty years after", THEW_OK, thew_grid_record(&p, &g, &set), 0);
    row_between("is uncertain", .02, thew_grid_capacity(&p, &g).sd, 1);
    free(memory);
    rows_end(8);
}

// ---- the filter against the grid ----

typedef struct {
    const char *why;
    bool hold;
    double tau_ln_sd, tail;
    bool jumps;
    double breaks;  // share of days that come after a break of three to seven weeks
    double load;    // ln: how much lighter (below 0) or heavier than what the filter thinks fails at 75 s
    bool near_75;   // loads that the person does fail at close to 75 s
    bool completed; // nothing else is ever recorded
    // what is allowed: share of days whose mean is off by more than .1 SD, bias and rms in SDs, mean ratio of SDs, odds
    double beyond, bias, rms, ratio_from, ratio_to, odds;
} world;

typedef struct {
    int days, beyond;
    double sum, square, worst, ratio, odds_square, odds_worst;
} score;

static void compare(const thew_profile *p, const thew_capacity *c, const thew_grid *g, score *s)
{
    thew_estimate a = thew_capacity_of(p, c, 0), b = thew_grid_capacity(p, g);
    double off = (a.mean - b.mean) / b.sd;
    s->days++;
    s->sum += off;
    s->square += off * off;
    s->worst = fmax(s->worst, fabs(off));
    s->beyond += fabs(off) > .1;
    s->ratio += a.sd / b.sd;
    for (int r = -1; r <= 1; r++) { // today, on three rungs
        thew_rung rung = rung_reading(&p->task[0], b.mean + .12 * r, 75, 1);
        rung.ln_sd = 1e-6;
        thew_prospect prospect = thew_outlook_prospect(p, c, 0, &rung, c->day, NULL);
        thew_odds x = thew_outlook_odds(&p->task[0], &rung, &prospect), y;
        thew_grid_odds(p, g, &rung, 1, false, &y);
        double apart = fmax(fabs(x.p_floor - y.p_floor), fmax(fabs(x.p_window - y.p_window), fabs(x.p_beyond - y.p_beyond)));
        s->odds_square += apart * apart / 3;
        s->odds_worst = fmax(s->odds_worst, apart);
    }
}

static score lived_in(const world *w, double *memory)
{
    score s = { 0 };
    thew_profile p = one_track(w->hold, w->tau_ln_sd, w->tail, w->jumps);
    uint64_t seed = 2024;
    for (int n = 0; n < 10; n++) {
        thew_capacity c = started(&p);
        thew_grid g;
        thew_grid_start(&p, 2, memory, &g);
        person x = born(&p, &seed);
        for (int d = 0; d < 16; d++) {
            if (d > 0)
                next_day(&x, &seed, random_unit(&seed) < w->breaks ? 20 + random_below(&seed, 30) : 2 + random_below(&seed, 4));
            for (int sets = 1 + random_below(&seed, 3); sets > 0; sets--) {
                double about = thew_capacity_of(&p, &c, 0).mean + .1 * random_normal(&seed);
                if (w->near_75) about = x.k + x.day_part + .04 * random_normal(&seed);
                if (w->completed) about = x.k + .1 * random_normal(&seed);
                thew_set set = set_of(&x, &seed, about + w->load, d == 0);
                if (w->completed) set.ended = THEW_COMPLETED, set.seconds = 90;
                assert_int_equal(thew_capacity_record(&p, &c, &set), THEW_OK);
                assert_int_equal(thew_grid_record(&p, &g, &set), THEW_OK);
            }
            compare(&p, &c, &g, &s);
        }
    }
    return s;
}

static void judge(const world *w, double *memory)
{
    score s = lived_in(w, memory);
    double bias = s.sum / s.days, rms = sqrt(s.square / s.days), beyond = (double)s.beyond / s.days, ratio = s.ratio / s.days;
    double odds = sqrt(s.odds_square / s.days);
    printf("# %s: mean off by %+.3f SD on average, %.3f rms, %.2f at worst, %.0f %% of days beyond .1; SD ratio %.3f; odds %.4f "
           "rms, %.3f at worst\n",
           w->why, bias, rms, s.worst, 100 * beyond, ratio, odds, s.odds_worst);
    row_between(w->why, 0, beyond, w->beyond);
    row_between(w->why, -w->bias, bias, w->bias);
    row_between(w->why, 0, rms, w->rms);
    row_between(w->why, w->ratio_from, ratio, w->ratio_to);
    row_between(w->why, 0, odds, w->odds);
}

// Mixed diaries. Without sudden changes the filter is the grid, within .1 SD but for one day in twenty. With them, the grid goes on
// for weeks believing both "it was a bad day" and "something changed" while the filter makes up one belief at each day's end: a
// fifth to a third of days differ by more than .1 SD, about evenly to both sides. With tau unsure the grid learns it and the filter
// does not, so that its odds are wider. Loads so light that most sets are completed make the filter's SD a tenth too small.
static void the_filter_is_the_grid_on_mixed_diaries(void **state)
{
    (void)state;
    // clang-format off
    static const world each[] = {
        //                                  hold   tau    tail  jumps  breaks load  75     only   beyond bias rms  ratio      odds
        { "plain holds",                    true,  0,     0,    false, 0,     0,    false, false, .12,   .03, .08, .98, 1.02, .02 },
        { "plain repetitions",              false, 0,     0,    false, 0,     0,    false, false, .12,   .03, .08, .98, 1.02, .02 },
        { "a noise with tails",                  true,  0,     .0394,  false, 0,     0,    false, false, .12,   .03, .08, .98, 1.02, .02 },
        { "a tau hardly unsure",            true,  .01,   .0394,  false, 0,     0,    false, false, .12,   .03, .08, .98, 1.02, .02 },
        { "sudden changes, symptoms",       true,  0,     .0394,  true,  0,     0,    false, false, .45,   .08, .30, .95, 1.08, .06 },
        { "and breaks",                     true,  0,     .0394,  true,  .15,   0,    false, false, .45,   .08, .30, .95, 1.08, .06 },
        { "and repetitions",                false, 0,     .0394,  true,  .15,   0,    false, false, .45,   .08, .30, .95, 1.08, .06 },
        { "tau unsure, sets near 75 s",     true,  .4,    .0394,  true,  .15,   0,    true,  false, .40,   .10, .30, .95, 1.08, .10 },
        { "tau unsure, sets at any time",   true,  .4,    .0394,  true,  .15,   0,    false, false, .65,   .10, .35, .90, 1.10, .12 },
        { "loads too light",                true,  0,     .0394,  true,  .1,    -.2,  false, false, .50,   .15, .35, .80, 1.05, .09 },
    };
    // clang-format on
    double *memory = memory_for(2);
    EACH(i, each) judge(&each[i], memory);
    free(memory);
    rows_end(50);
}

// The hard case for moment matching, by itself: the mean stays within .2 SD rms, but the SD comes out a quarter too small: the true
// belief has a long tail upwards, and every set that is completed cuts the filter's normal once more where the grid has nothing
// left to cut.
static void completed_sets_only(void **state)
{
    (void)state;
    // clang-format off
    static const world each[] = {
        { "completed only",                       true,  0,  0,   false, 0,   -.3, false, true, .50, .10, .20, .65, 1.02, .11 },
        { "completed only, repetitions",          false, 0,  0,   false, 0,   -.3, false, true, .50, .10, .20, .65, 1.02, .11 },
        { "completed only, changes, breaks",      true,  0,  .0394, true,  .15, -.3, false, true, .50, .10, .25, .65, 1.02, .11 },
        { "completed only, tau unsure",           true,  .4, .0394, true,  .15, -.3, false, true, .50, .10, .25, .65, 1.02, .11 },
    };
    // clang-format on
    double *memory = memory_for(2);
    EACH(i, each) judge(&each[i], memory);
    free(memory);
    rows_end(20);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(grids_agree_with_finer_ones),
        cmocka_unit_test(one_reading_is_the_closed_form),
        cmocka_unit_test(odds_are_sums_over_cells),
        cmocka_unit_test(beliefs_are_right_on_average),
        cmocka_unit_test(a_grid_starts_at_its_prior_and_keeps_order),
        cmocka_unit_test(the_filter_is_the_grid_on_mixed_diaries),
        cmocka_unit_test(completed_sets_only),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
