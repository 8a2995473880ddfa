// grid.c: see grid.h.
#include "grid.h"

#include <assert.h>

#include "real.h"

#define REFERENCE_S 75.0 // as in capacity.c: the time at which ln k is read
#define DIRECT_CELLS 3.0 // a kernel wider than this (SD, in cells) is applied as it is, a narrower one in small steps
#define KERNEL_REACH 5.0 // SDs
#define TAIL_REACH 20.0  // scales of the noise's tail
#define NO_WEIGHT 1e-25  // cells of less are passed over: all of them together are far below the last digit

static int k_count_of(int finer) { return THEW_GRID_K * finer; }
static int tau_count_of(int finer) { return finer > 1 ? THEW_GRID_TAU_MAX : THEW_GRID_TAU; }
static int day_count_of(int finer) { return finer > 1 ? THEW_GRID_DAY_MAX : THEW_GRID_DAY; }

int thew_grid_doubles(int finer) { return k_count_of(finer) * (tau_count_of(finer) * day_count_of(finer) + 8); }

static double *row_of(const thew_grid *g, int tau, int day) { return g->weight + (tau * g->day_count + day) * g->k_count; }

// Nodes of the day's effect: a histogram, exact to many digits while its nodes lie less than an SD or so apart.
static void set_day_nodes(thew_grid *g, double day_sd)
{
    int half = g->day_count / 2;
    if (day_sd <= 0) {
        for (int j = 0; j < g->day_count; j++)
            g->day_weight[j] = j == half;
        g->day_cells = 1;
        return;
    }
    double apart_sd = g->day_count == THEW_GRID_DAY ? .9 : .5;
    g->day_cells = (int)(apart_sd * day_sd / g->k_step + .5);
    if (g->day_cells < 1)
        g->day_cells = 1;
    double x = g->day_cells * g->k_step / day_sd;
    double sum = 0;
    for (int j = 0; j < g->day_count; j++)
        sum += g->day_weight[j] = thew_normal_density((j - half) * x);
    for (int j = 0; j < g->day_count; j++)
        g->day_weight[j] /= sum;
}

static double node_z(const thew_grid *g, int node) { return (node - g->tau_count / 2) * (g->tau_count > THEW_GRID_TAU ? .5 : .72); }

static void set_tau_nodes(const thew_task *task, thew_grid *g, double *tau_weight)
{
    double sum = 0;
    double read = thew_log(thew_endurance_load_share(task->endurance, REFERENCE_S, 1));
    for (int t = 0; t < g->tau_count; t++) {
        double z = node_z(g, t);
        g->tau_ln[t] = thew_log(task->endurance.tau_s) + z * task->tau_ln_sd;
        thew_endurance here = { thew_exp(g->tau_ln[t]), task->endurance.rho };
        g->shift[t] = thew_log(thew_endurance_load_share(here, REFERENCE_S, 1)) - read;
        sum += tau_weight[t] = thew_normal_density(z);
    }
    for (int t = 0; t < g->tau_count; t++)
        tau_weight[t] /= sum;
}

void thew_grid_start(const thew_profile *profile, int finer, double *memory, thew_grid *grid)
{
    assert(profile->track_count == 1 && profile->task_count == 1 && finer >= 1);
    const thew_track *track = &profile->track[0];
    *grid = (thew_grid){
        .k_count = k_count_of(finer),
        .tau_count = tau_count_of(finer),
        .day_count = day_count_of(finer),
        .k_step = THEW_GRID_K_STEP / finer,
        .day = THEW_NO_DAY,
        .last_set = THEW_NO_DAY,
        .last_visit = THEW_NO_DAY,
        .weight = memory,
        .scratch = memory + k_count_of(finer) * tau_count_of(finer) * day_count_of(finer),
    };
    grid->k_from = track->ln_mean - grid->k_step * grid->k_count / 2;
    set_day_nodes(grid, profile->prior.day_sd);
    double tau_weight[THEW_GRID_TAU_MAX];
    set_tau_nodes(&profile->task[0], grid, tau_weight);
    double sum = 0;
    for (int i = 0; i < grid->k_count; i++)
        sum += grid->scratch[i] = thew_normal_density((grid->k_from + i * grid->k_step - track->ln_mean) / track->ln_sd);
    for (int t = 0; t < grid->tau_count; t++)
        for (int j = 0; j < grid->day_count; j++)
            for (int i = 0; i < grid->k_count; i++)
                row_of(grid, t, j)[i] = tau_weight[t] * grid->day_weight[j] * grid->scratch[i] / sum;
}

// --- From day to day -------------------------------------------------------------------------------------------------------------

// Scratch, in k_counts. Beginning a day: 3 for a row as it spreads, 1 for each step's kernel. Records: 2 for the likelihood. Odds: 1 for
// a row, 2 for u, 2 for what is seen, 2 for its sums, 1 for a kernel.

// One pass of a three-point kernel of variance 2 p cells^2; what would leave the grid stays at its edge.
static void spread_step(double *row, double *next, int count, double p)
{
    next[0] = row[0] + p * (row[1] - row[0]);
    next[count - 1] = row[count - 1] + p * (row[count - 2] - row[count - 1]);
    for (int i = 1; i < count - 1; i++)
        next[i] = row[i] + p * (row[i - 1] - 2 * row[i] + row[i + 1]);
    for (int i = 0; i < count; i++)
        row[i] = next[i];
}

// Kernels stand in zeros, so that several cells can be spread at once: a loop with more sums than loads is twice as fast.
#define AT_ONCE 4
#define PADDING (AT_ONCE - 1)

static int reach_of(double sd_cells) { return (int)(KERNEL_REACH * sd_cells) + 1; }
static int reach_max(const thew_grid *g) { return (g->k_count - 1) / 2 - PADDING; }

// A normal of this SD over whole cells; sums to 1.
//   kernel   out [PADDING + 2 reach + 1 + PADDING]
static void normal_kernel(double sd_cells, int reach, double *kernel)
{
    double *middle = kernel + PADDING + reach, sum = 0;
    for (int j = -reach; j <= reach; j++)
        middle[j] = -.5 * (j / sd_cells) * (j / sd_cells);
    thew_exp_n(middle - reach, middle - reach, 2 * reach + 1);
    for (int j = -reach; j <= reach; j++)
        sum += middle[j];
    for (int j = -reach; j <= reach; j++)
        middle[j] /= sum;
    for (int j = 0; j < PADDING; j++)
        kernel[j] = middle[reach + 1 + j] = 0;
}

// out [count + 2 reach + PADDING]: the row spread by a kernel, reaching further to both sides.
static void convolve(const double *row, int count, const double *kernel, int reach, double *out)
{
    for (int i = 0; i < count + 2 * reach + PADDING; i++)
        out[i] = 0;
    for (int i = 0; i < count; i += AT_ONCE) {
        double w[AT_ONCE], all = 0;
        for (int n = 0; n < AT_ONCE; n++)
            all += w[n] = i + n < count ? row[i + n] : 0;
        if (all < NO_WEIGHT)
            continue;
        const double *k = kernel + PADDING;
        for (int j = 0; j <= 2 * reach + PADDING; j++)
            out[i + j] += (w[0] * k[j] + w[1] * k[j - 1]) + (w[2] * k[j - 2] + w[3] * k[j - 3]);
    }
}

// A normal step of the strength: a share of every row is spread by it. What leaves the grid is lost (normalise() makes up for it).
typedef struct {
    double sd_cells, share;
    int reach;
    double *kernel;
} widening;

static void spread(const thew_grid *g, const widening *s, double *row)
{
    if (s->share <= 0 || s->sd_cells <= 0)
        return;
    if (s->reach > 0) {
        convolve(row, g->k_count, s->kernel, s->reach, g->scratch);
        for (int i = 0; i < g->k_count; i++)
            row[i] += s->share * (g->scratch[s->reach + i] - row[i]);
        return;
    }
    double variance = s->sd_cells * s->sd_cells;
    int passes = (int)(variance * 1.5) + 1;
    for (int n = 0; n < passes; n++)
        spread_step(row, g->scratch, g->k_count, variance / (2 * passes));
}

// kernel: room for k_count
static widening widening_of(const thew_grid *g, double sd, double share, double *kernel)
{
    widening s = { .sd_cells = sd / g->k_step, .share = share, .kernel = kernel };
    if (s.sd_cells > DIRECT_CELLS || share < 1) {
        s.reach = reach_of(s.sd_cells);
        if (s.reach > reach_max(g)) // years away: as far as there is a grid
            s.reach = reach_max(g);
        normal_kernel(s.sd_cells, s.reach, kernel);
    }
    return s;
}

static void normalise(thew_grid *g)
{
    int count = g->tau_count * g->day_count * g->k_count;
    double sum = 0;
    for (int i = 0; i < count; i++)
        sum += g->weight[i];
    assert(sum > 0);
    g->ln_evidence += thew_log(sum);
    for (int i = 0; i < count; i++)
        g->weight[i] /= sum;
}

static double jump_chance(const thew_profile *p, const thew_grid *g, double days)
{
    double chance = 1 - thew_exp(-p->prior.jump_per_day * days);
    return g->symptom ? thew_max(chance, p->prior.jump_after_symptom) : chance;
}

// What more days away cost after so many.
static double away_ln(const thew_capacity_prior *prior, double after_days, double days)
{
    double fade = prior->away_fade_days;
    double kept = fade > 0 ? thew_exp(-after_days / fade) * (1 - thew_exp(-days / fade)) * fade : days;
    return prior->away_per_day * kept;
}

static void begin_day(const thew_profile *p, thew_grid *g, thew_day day)
{
    const thew_capacity_prior *prior = &p->prior;
    double days = g->day == THEW_NO_DAY ? 0 : (double)(day - g->day);
    double since_set = g->last_set == THEW_NO_DAY ? 0 : (double)(g->day - g->last_set);
    double training = g->last_set == THEW_NO_DAY ? 0 : thew_clamp(prior->away_after_days - since_set, 0, days);
    double away = g->last_set == THEW_NO_DAY ? 0 : days - training;
    g->k_from += prior->drift_per_day * training + away_ln(prior, thew_max(since_set - prior->away_after_days, 0), away);
    double chance = days > 0 && prior->jump_sd > 0 ? jump_chance(p, g, days) : 0;
    widening walk = widening_of(g, prior->walk_sd_per_root_day * thew_sqrt(days), 1, g->scratch + 3 * g->k_count);
    widening jump = widening_of(g, prior->jump_sd, chance, g->scratch + 4 * g->k_count);
    for (int t = 0; t < g->tau_count; t++) {
        double *all = row_of(g, t, 0);
        for (int j = 1; j < g->day_count; j++)
            for (int i = 0; i < g->k_count; i++)
                all[i] += row_of(g, t, j)[i];
        spread(g, &walk, all);
        spread(g, &jump, all);
        for (int j = g->day_count - 1; j >= 0; j--)
            for (int i = 0; i < g->k_count; i++)
                row_of(g, t, j)[i] = g->day_weight[j] * all[i];
    }
    g->day = day;
    g->symptom = false;
}

// --- Sets ------------------------------------------------------------------------------------------------------------------------

static thew_task with_tau(const thew_task *task, double tau_ln)
{
    thew_task e = *task;
    e.endurance.tau_s = thew_exp(tau_ln);
    return e;
}

static double learning_of(const thew_profile *p, const thew_grid *g)
{
    if (g->visit_count > 1)
        return 0;
    return -(p->task[0].kind == THEW_HOLD ? p->prior.learning_hold : p->prior.learning_repetitions);
}

static void count_visit(thew_grid *g, const thew_set *set)
{
    g->record_count++;
    if (g->last_visit != set->day)
        g->visit_count++;
    g->last_visit = g->last_set = set->day;
    if (set->ended == THEW_SYMPTOM)
        g->symptom = true;
}

// What was recorded is a time, and evidence is a density in ln capacity: how many of these lie in a second (|d ln L / d ln T|) hangs on tau, so
// it must count between one tau and another.
static double per_time(const thew_task *task, const thew_rung *rung, const thew_evidence *evidence)
{
    bool point = evidence->low == evidence->high;
    if (!point && evidence->reading_sd == 0)
        return 1;
    double share = rung->peak_share / thew_exp(point ? evidence->low : evidence->reading);
    return thew_max(-1 / thew_endurance_slope(task->endurance, thew_clamp(share, 1e-9, 1 - 1e-9), rung->mean_share), 1e-12);
}

thew_status thew_grid_record(const thew_profile *profile, thew_grid *grid, const thew_set *set)
{
    if (grid->day != THEW_NO_DAY && set->day < grid->day)
        return THEW_DATE_BEFORE_STATE;
    if (grid->day != set->day)
        begin_day(profile, grid, set->day);
    count_visit(grid, set);
    int reach = grid->day_count / 2 * grid->day_cells; // cells that the day's effect reaches to either side
    assert(2 * reach <= grid->k_count);
    thew_evidence usual = thew_evidence_of(&profile->task[0], &set->rung, set->ended, set->seconds, set->reserve_s);
    for (int t = 0; t < grid->tau_count; t++) {
        thew_task task = with_tau(&profile->task[0], grid->tau_ln[t]);
        thew_evidence evidence = thew_evidence_of(&task, &set->rung, set->ended, set->seconds, set->reserve_s);
        double density = per_time(&task, &set->rung, &evidence) / per_time(&profile->task[0], &set->rung, &usual);
        double from = grid->k_from - grid->shift[t] + learning_of(profile, grid) - reach * grid->k_step;
        thew_evidence_likelihood_n(&evidence, &profile->prior.noise, from, grid->k_step, grid->scratch, grid->k_count + 2 * reach);
        for (int j = 0; j < grid->day_count; j++) {
            double *row = row_of(grid, t, j);
            const double *likelihood = grid->scratch + j * grid->day_cells;
            for (int i = 0; i < grid->k_count; i++)
                row[i] *= density * likelihood[i];
        }
    }
    normalise(grid);
    return THEW_OK;
}

// --- Looking ---------------------------------------------------------------------------------------------------------------------

thew_estimate thew_grid_capacity(const thew_profile *profile, const thew_grid *grid)
{
    (void)profile;
    double mean = 0, square = 0;
    for (int t = 0; t < grid->tau_count; t++)
        for (int j = 0; j < grid->day_count; j++)
            for (int i = 0; i < grid->k_count; i++) {
                double w = row_of(grid, t, j)[i], x = i * grid->k_step;
                mean += w * x;
                square += w * x * x;
            }
    return (thew_estimate){ grid->k_from + mean, thew_sqrt(thew_max(square - mean * mean, 0)) };
}

thew_estimate thew_grid_tau(const thew_grid *grid)
{
    double mean = 0, square = 0;
    for (int t = 0; t < grid->tau_count; t++) {
        double w = 0;
        for (int i = 0; i < grid->day_count * grid->k_count; i++)
            w += row_of(grid, t, 0)[i];
        mean += w * grid->tau_ln[t];
        square += w * grid->tau_ln[t] * grid->tau_ln[t];
    }
    return (thew_estimate){ mean, thew_sqrt(thew_max(square - mean * mean, 0)) };
}

// Distribution of u = ln k + day at one tau, over cells that reach further by the day's effect to both sides. Not normalised: sums to the
// weight of that tau.
//   out      [k_count + 2 reach]
//   returns  reach
static int fold_day(const thew_grid *g, int t, bool another_day, double *out)
{
    int reach = g->day_count / 2 * g->day_cells;
    double *all = g->scratch;
    for (int i = 0; i < g->k_count + 2 * reach; i++)
        out[i] = 0;
    for (int i = 0; i < g->k_count; i++) {
        all[i] = 0;
        for (int j = 0; j < g->day_count; j++)
            all[i] += row_of(g, t, j)[i];
    }
    for (int j = 0; j < g->day_count; j++)
        for (int i = 0; i < g->k_count; i++)
            out[i + j * g->day_cells] += another_day ? g->day_weight[j] * all[i] : row_of(g, t, j)[i];
    return reach;
}

static double threshold_ln(const thew_task *task, const thew_rung *rung, double seen_s)
{
    double tired_s = thew_tempo_tired_before_s(thew_evidence_tempo(task, rung), false, seen_s);
    return thew_evidence_capacity_ln(task, rung, thew_max(tired_s, 1));
}

double thew_grid_fails_before_p(const thew_profile *profile, const thew_grid *grid, const thew_rung *rung, bool another_day, double seen_s)
{
    const thew_noise *noise = &profile->prior.noise;
    double p = 0;
    for (int t = 0; t < grid->tau_count; t++) {
        thew_task task = with_tau(&profile->task[0], grid->tau_ln[t]);
        double *u = grid->scratch + 2 * grid->k_count;
        int reach = fold_day(grid, t, another_day, u);
        double limit = threshold_ln(&task, rung, seen_s) - grid->k_from + grid->shift[t] + reach * grid->k_step;
        for (int i = 0; i < grid->k_count + 2 * reach; i++) {
            double below;
            thew_noise_above_n(noise->sd, noise->tail, &(double){ i * grid->k_step - limit }, &below, 1);
            p += u[i] * below;
        }
    }
    return p;
}

// A distribution function on a grid, read between its cells.
typedef struct {
    const double *density, *below; // [count], per cell; below[i]: up to the middle of cell i
    int count;
    double from, step;
} table;

// Cubic between cells, by value and density (Hermite), held between its neighbours.
static double read_table(const table *f, double x)
{
    double place = (x - f->from) / f->step;
    if (place <= 0)
        return 0;
    if (place >= f->count - 1)
        return f->below[f->count - 1];
    int i = (int)place;
    double s = place - i, r = 1 - s;
    double value = f->below[i] * (1 + 2 * s) * r * r + f->below[i + 1] * s * s * (3 - 2 * s) + f->density[i] * s * r * r -
                   f->density[i + 1] * s * s * r;
    return thew_clamp(value, f->below[i], f->below[i + 1]);
}

// Kernel of the noise over whole cells; sums to 1.
//   kernel, spare   as normal_kernel
static void noise_kernel(const thew_noise *noise, double step, int reach, double *kernel, double *spare)
{
    double sum = 0;
    for (int j = 0; j <= 2 * reach; j++)
        spare[j] = (j - reach) * step;
    thew_noise_density_n(noise->sd, noise->tail, spare, kernel + PADDING, 2 * reach + 1);
    for (int j = 0; j <= 2 * reach; j++)
        sum += kernel[PADDING + j];
    for (int j = 0; j <= 2 * reach; j++)
        kernel[PADDING + j] /= sum;
    for (int j = 0; j < PADDING; j++)
        kernel[j] = kernel[PADDING + 2 * reach + 1 + j] = 0;
}

// What a load share that fails at a time depends on besides the rung: L = 1 / (1 + a q).
static double moment_of(const thew_task *task, const thew_rung *rung, double seen_s)
{
    double tired_s = thew_tempo_tired_before_s(thew_evidence_tempo(task, rung), false, seen_s);
    return 1 / thew_endurance_load_share(task->endurance, thew_max(tired_s, 1), 1) - 1;
}

static void add_odds(const thew_task *task, const thew_rung *rung, int rung_count, const table *f, thew_odds *odds)
{
    double floor = 0, from = 0, to = 0;
    for (int r = 0; r < rung_count; r++) {
        if (r == 0 || rung[r].ends_from_s != rung[r - 1].ends_from_s || rung[r].ends_to_s != rung[r - 1].ends_to_s) {
            floor = moment_of(task, &rung[r], task->floor_s);
            from = moment_of(task, &rung[r], task->window_from_s);
            to = moment_of(task, &rung[r], task->window_to_s);
        }
        double d = rung[r].peak_share, a = rung[r].mean_share;
        odds[r].p_floor += read_table(f, thew_log(d * (1 + a * floor)));
        odds[r].p_early += read_table(f, thew_log(d * (1 + a * from)));
        odds[r].p_window += read_table(f, thew_log(d * (1 + a * to)));
    }
}

void thew_grid_odds(const thew_profile *profile, const thew_grid *grid, const thew_rung *rung, int rung_count, bool another_day,
                    thew_odds *odds)
{
    const thew_noise *noise = &profile->prior.noise;
    int reach = (int)((KERNEL_REACH * noise->sd + TAIL_REACH * noise->tail) / grid->k_step) + 1;
    assert(reach <= reach_max(grid));
    double *u = grid->scratch + grid->k_count, *seen = u + 2 * grid->k_count, *below = seen + 2 * grid->k_count;
    double *kernel = below + 2 * grid->k_count;
    noise_kernel(noise, grid->k_step, reach, kernel, u);
    for (int r = 0; r < rung_count; r++)
        odds[r] = (thew_odds){ 0 };
    for (int t = 0; t < grid->tau_count; t++) {
        int day_reach = fold_day(grid, t, another_day, u);
        int u_count = grid->k_count + 2 * day_reach, count = u_count + 2 * reach;
        assert(count + PADDING <= 2 * grid->k_count);
        convolve(u, u_count, kernel, reach, seen);
        double sum = 0;
        for (int i = 0; i < count; i++) {
            below[i] = sum + .5 * seen[i];
            sum += seen[i];
        }
        table f = { seen, below, count, grid->k_from - grid->shift[t] - (day_reach + reach) * grid->k_step, grid->k_step };
        thew_task task = with_tau(&profile->task[0], grid->tau_ln[t]);
        add_odds(&task, rung, rung_count, &f, odds);
    }
    for (int r = 0; r < rung_count; r++) { // from chances of ending before a time to chances of ending between times
        odds[r].p_beyond = 1 - odds[r].p_window;
        odds[r].p_window -= odds[r].p_early;
        odds[r].p_early -= odds[r].p_floor;
    }
}
