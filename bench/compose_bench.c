// compose_bench.c: how long the best class takes to find and to prove, for a catalogue of 60 movements and 12 slots, over many
// invented ones. The peer is GLPK, a general solver for whole-number programmes, asked two things: the greatest coverage alone,
// where order cannot cost any (repeats allowed, changes free), for which thew finds the order as well; and the whole of it, places
// and all, as one programme. Both must find the same best, which is checked. Prints `case,count,ms` and, as comments, percentiles
// in milliseconds.
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#ifdef THEW_HAS_GLPK
#include <glpk.h>
#endif

#include "engine/compose.h"

enum {
    MOVEMENTS = 60,
    GOALS = 18,
    MUSCLES = 34,
    CATALOGUES = 200,
    PEER_CATALOGUES = 20,
    PEER_LIMIT_MS = 5000,
    WHOLE_CATALOGUES = 3,
    WHOLE_LIMIT_MS = 10000
};
#define AIM_MS 200.0

typedef struct {
    thew_compose_candidate candidate[MOVEMENTS];
    thew_compose_task task;
} scene;

// ---- invented catalogues ----

static uint64_t seed;

static int below(int count)
{
    seed ^= seed >> 12, seed ^= seed << 25, seed ^= seed >> 27; // xorshift64* (memory)
    return (int)((double)((seed * 2685821657736338717u) >> 11) * 0x1p-53 * count);
}

static uint64_t some(int least, int most, int of)
{
    uint64_t bits = 0;
    for (int count = least + below(most - least + 1); count > 0; count--)
        bits |= UINT64_C(1) << below(of);
    return bits;
}

static int set_seconds(void)
{
    return (below(2) ? 90 : 240) * (1 + below(2)); // at once or a side at a time; one set or two
}

static thew_compose_candidate any_movement(void)
{
    return (thew_compose_candidate){
        .seconds = set_seconds(),
        .goals = some(1, 4, GOALS),
        .prime_movers = some(1, 3, MUSCLES),
        .synergists = some(0, 4, MUSCLES),
        .prime_action = (thew_action)below(THEW_ACTION_COUNT),
        .position = below(10) < 6 ? 0 : 1 + below(2),
        .region = below(THEW_COMPOSE_REGIONS_MAX),
    };
}

static void start(scene *s, int number)
{
    seed = 1 + (uint64_t)number * 7919;
    for (int i = 0; i < 20; i++)
        below(2);
    *s = (scene){
        .task = { .candidate_count = MOVEMENTS, .slots = THEW_COMPOSE_SLOTS_MAX, .positions = 7, .rest_s = 120, .change_s = 60 }
    };
    s->task.candidate = s->candidate;
    s->task.second_percent = 50;
    s->task.changes_max = 2;
    s->task.seconds = 60 * (30 + 10 * below(5));
    for (int m = 0; m < MUSCLES; m++)
        s->task.muscle_weight[m] = 1;
    for (int g = 0; g < GOALS; g++)
        s->task.goal_weight[g] = below(3) ? 0 : 1 + below(5);
    for (int i = 0; i < MOVEMENTS; i++)
        s->candidate[i] = any_movement();
}

// Whatever comes.
static void make_mixed(scene *s, int number)
{
    start(s, number);
}

// Every goal counts ten times a muscle: what `thew compose` asks for when no goal is named.
static void make_all_goals(scene *s, int number)
{
    start(s, number);
    for (int g = 0; g < GOALS; g++)
        s->task.goal_weight[g] = 10;
}

// Half of them do what the other half does in other times and positions, as variants do: much alike is hard to tell apart.
static void make_alike(scene *s, int number)
{
    start(s, number);
    for (int i = MOVEMENTS / 2; i < MOVEMENTS; i++) {
        s->candidate[i] = s->candidate[i - MOVEMENTS / 2];
        s->candidate[i].seconds = set_seconds();
        s->candidate[i].position = below(3);
    }
}

// Order cannot cost coverage.
static void make_orderless(scene *s, int number)
{
    start(s, number);
    s->task.repeats_allowed = true;
    s->task.changes_max = THEW_COMPOSE_SLOTS_MAX;
    s->task.change_s = 0;
}

// ---- time ----

static double now_ms(void)
{
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now); // this process's own: others' work on the machine counts little
    return 1e3 * (double)now.tv_sec + 1e-6 * (double)now.tv_nsec;
}

static int rising(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return x < y ? -1 : x > y;
}

static double percentile(const double *sorted, int count, double share)
{
    int at = (int)(share * count);
    return sorted[at < count ? at : count - 1];
}

static double total(const double *ms, int count)
{
    double sum = 0;
    for (int i = 0; i < count; i++)
        sum += ms[i];
    return sum;
}

static double tell(const char *name, double *ms, int count)
{
    printf("compose %s,%d,%.0f\n", name, count, total(ms, count));
    qsort(ms, (size_t)count, sizeof *ms, rising);
    printf("# p50 %.1f, p99 %.1f, greatest %.1f ms", percentile(ms, count, .5), percentile(ms, count, .99), ms[count - 1]);
    return percentile(ms, count, .5);
}

// ---- thew ----

static thew_compose_work *work;

static double compose_ms(const scene *s, thew_composed *composed, thew_compose_certificate *certificate)
{
    double begin = now_ms();
    if (thew_compose(&s->task, THEW_COMPOSE_EFFORT, work, composed, certificate) < 0) {
        fputs("no class was found\n", stderr);
        exit(1);
    }
    return now_ms() - begin;
}

static bool run(const char *name, void (*make)(scene *, int))
{
    static scene s;
    static double ms[CATALOGUES];
    int unproven = 0;
    double gap = 0;
    for (int n = 0; n < CATALOGUES; n++) {
        thew_composed composed;
        thew_compose_certificate certificate;
        make(&s, n);
        ms[n] = compose_ms(&s, &composed, &certificate);
        unproven += !certificate.optimal;
        double short_of = (double)(certificate.bound.coverage - composed.score.coverage) / composed.score.coverage;
        gap = short_of > gap ? short_of : gap;
    }
    tell(name, ms, CATALOGUES);
    printf("; aim %.0f; unproven %d, greatest gap of coverage %.1f %%\n", AIM_MS, unproven, 100 * gap);
    return ms[CATALOGUES - 1] <= AIM_MS;
}

// ---- the peer ----

#ifdef THEW_HAS_GLPK

enum { ENTRIES_MAX = 400000 };

typedef struct {
    glp_prob *problem;
    int row[ENTRIES_MAX], column[ENTRIES_MAX];
    double value[ENTRIES_MAX];
    int count;
} programme;

static void put(programme *p, int row, int column, double value)
{
    if (++p->count >= ENTRIES_MAX) abort();
    p->row[p->count] = row, p->column[p->count] = column, p->value[p->count] = value;
}

static int add_share(programme *p, double worth)
{
    int column = glp_add_cols(p->problem, 1);
    glp_set_col_bnds(p->problem, column, GLP_DB, 0, 1);
    glp_set_obj_coef(p->problem, column, worth);
    return column;
}

static int add_at_most(programme *p, double most)
{
    int row = glp_add_rows(p->problem, 1);
    glp_set_row_bnds(p->problem, row, GLP_UP, 0, most);
    return row;
}

// Columns 1 to MOVEMENTS say what is in; a mark counts no more often than what is in serves it.
static void add_mark(programme *p, const scene *s, double unit, bool is_goal, int mark)
{
    int weight = is_goal ? s->task.goal_weight[mark] : s->task.muscle_weight[mark];
    if (!weight) return;
    int row = add_at_most(p, 0);
    put(p, row, add_share(p, unit * 100 * weight), 1);
    if (!is_goal) put(p, row, add_share(p, unit * s->task.second_percent * weight), 1);
    for (int i = 0; i < MOVEMENTS; i++) {
        uint64_t bits = is_goal ? s->candidate[i].goals : s->candidate[i].prime_movers;
        if (bits >> mark & 1) put(p, row, 1 + i, -1);
    }
}

// Coverage within slots and seconds.
//   unit       worth of a hundredth of coverage
//   returns    the row of the seconds
static int describe_coverage(programme *p, const scene *s, double unit)
{
    glp_set_obj_dir(p->problem, GLP_MAX);
    glp_add_cols(p->problem, MOVEMENTS);
    int slots = add_at_most(p, s->task.slots), seconds = add_at_most(p, s->task.seconds + s->task.rest_s);
    for (int i = 0; i < MOVEMENTS; i++) {
        glp_set_col_kind(p->problem, 1 + i, GLP_BV);
        put(p, slots, 1 + i, 1);
        put(p, seconds, 1 + i, s->candidate[i].seconds + s->task.rest_s);
    }
    for (int g = 0; g < GOALS; g++)
        add_mark(p, s, unit, true, g);
    for (int m = 0; m < MUSCLES; m++)
        add_mark(p, s, unit, false, m);
    return seconds;
}

// One objective that puts seconds after changes, changes after violations, violations after coverage.
#define CHANGE_WORTH 10000.0
#define VIOLATION_WORTH (12 * CHANGE_WORTH)
#define COVERAGE_WORTH (67 * VIOLATION_WORTH / 50)

static int first_place; // column of the first movement in the first slot
static int column_of(int i, int slot)
{
    return first_place + slot * MOVEMENTS + i;
}

// What is in has one slot, and slots fill from the first.
static void describe_places(programme *p, const scene *s)
{
    first_place = glp_add_cols(p->problem, MOVEMENTS * THEW_COMPOSE_SLOTS_MAX);
    for (int c = 0; c < MOVEMENTS * THEW_COMPOSE_SLOTS_MAX; c++)
        glp_set_col_kind(p->problem, first_place + c, GLP_BV);
    for (int i = 0; i < MOVEMENTS; i++) {
        int row = glp_add_rows(p->problem, 1);
        glp_set_row_bnds(p->problem, row, GLP_FX, 0, 0);
        put(p, row, 1 + i, -1);
        for (int slot = 0; slot < THEW_COMPOSE_SLOTS_MAX; slot++)
            put(p, row, column_of(i, slot), 1);
        glp_set_obj_coef(p->problem, 1 + i, -s->candidate[i].seconds - s->task.rest_s);
    }
    for (int slot = 0; slot < THEW_COMPOSE_SLOTS_MAX; slot++) {
        int row = add_at_most(p, slot == 0 ? 1 : 0);
        for (int i = 0; i < MOVEMENTS; i++) {
            put(p, row, column_of(i, slot), 1);
            if (slot > 0) put(p, row, column_of(i, slot - 1), -1);
        }
    }
}

static bool clash(const scene *s, int i, int j)
{
    const thew_compose_candidate *a = &s->candidate[i], *b = &s->candidate[j];
    return i != j && !s->task.repeats_allowed && (a->prime_action == b->prime_action || a->prime_movers & b->prime_movers);
}

static void describe_neighbours(programme *p, const scene *s, int seconds)
{
    int all_changes = add_at_most(p, s->task.changes_max);
    for (int slot = 0; slot + 1 < THEW_COMPOSE_SLOTS_MAX; slot++) {
        for (int i = 0; i < MOVEMENTS; i++) {
            int row = add_at_most(p, 1);
            put(p, row, column_of(i, slot), 1);
            for (int j = 0; j < MOVEMENTS; j++)
                if (clash(s, i, j)) put(p, row, column_of(j, slot + 1), 1);
        }
        int change = add_share(p, -CHANGE_WORTH - s->task.change_s);
        put(p, all_changes, change, 1);
        put(p, seconds, change, s->task.change_s);
        for (int at = 0; at < THEW_COMPOSE_POSITIONS_MAX; at++) {
            int row = add_at_most(p, 1);
            put(p, row, change, -1);
            for (int i = 0; i < MOVEMENTS; i++)
                put(p, row, column_of(i, s->candidate[i].position == at ? slot : slot + 1), 1);
        }
    }
}

// One for each pair in which b needs as a synergist what a, which is before it, has as its prime mover.
static void describe_violations(programme *p, const scene *s)
{
    for (int a = 0; a < MOVEMENTS; a++)
        for (int b = 0; b < MOVEMENTS; b++) {
            if (a == b || !(s->candidate[a].prime_movers & s->candidate[b].synergists)) continue;
            int violation = add_share(p, -VIOLATION_WORTH);
            for (int slot = 1; slot < THEW_COMPOSE_SLOTS_MAX; slot++) {
                int row = add_at_most(p, 1);
                put(p, row, violation, -1);
                put(p, row, column_of(b, slot), 1);
                for (int before = 0; before < slot; before++)
                    put(p, row, column_of(a, before), 1);
            }
        }
}

// Milliseconds; the objective is not a number if its time ran out.
static double peer_ms(const scene *s, bool whole, double *objective)
{
    static programme p;
    p.problem = glp_create_prob();
    p.count = 0;
    double begin = now_ms();
    int seconds = describe_coverage(&p, s, whole ? COVERAGE_WORTH : 1);
    if (whole) {
        describe_places(&p, s);
        describe_neighbours(&p, s, seconds);
        describe_violations(&p, s);
    }
    glp_load_matrix(p.problem, p.count, p.row, p.column, p.value);
    glp_iocp how;
    glp_init_iocp(&how);
    how.msg_lev = GLP_MSG_OFF;
    how.presolve = how.mir_cuts = how.gmi_cuts = GLP_ON;
    how.tm_lim = whole ? WHOLE_LIMIT_MS : PEER_LIMIT_MS;
    bool done = glp_intopt(p.problem, &how) == 0 && glp_mip_status(p.problem) == GLP_OPT;
    *objective = done ? glp_mip_obj_val(p.problem) : (double)NAN;
    glp_delete_prob(p.problem);
    return now_ms() - begin;
}

static double objective_of(const scene *s, const thew_compose_score *score, bool whole)
{
    if (!whole) return score->coverage;
    return COVERAGE_WORTH * score->coverage - VIOLATION_WORTH * score->violations - CHANGE_WORTH * score->changes - score->seconds -
           s->task.rest_s;
}

static bool compare(const char *name, const char *peer_name, bool whole, int count, void (*make)(scene *, int))
{
    static scene s;
    double own[PEER_CATALOGUES], peer[PEER_CATALOGUES];
    int differing = 0, late = 0;
    for (int n = 0; n < count; n++) {
        thew_composed composed;
        thew_compose_certificate certificate;
        double objective;
        make(&s, n);
        own[n] = compose_ms(&s, &composed, &certificate);
        peer[n] = peer_ms(&s, whole, &objective);
        double own_objective = objective_of(&s, &composed.score, whole);
        late += isnan(objective);
        differing += fabs(objective - own_objective) > .5 + 1e-6 * fabs(own_objective);
    }
    double own_p50 = tell(name, own, count);
    puts("");
    double peer_p50 = tell(peer_name, peer, count);
    printf("; %d not done by its limit\n# GLPK / thew, medians: %s%.1f; another best in %d of %d\n", late, late ? "at least " : "",
           peer_p50 / own_p50, differing, count - late);
    return differing == 0;
}

static bool compare_all(void)
{
    glp_term_out(GLP_OFF);
    bool agrees = compare("coverage", "coverage by GLPK", false, PEER_CATALOGUES, make_orderless);
    agrees &= compare("whole", "whole by GLPK", true, WHOLE_CATALOGUES, make_mixed);
    glp_free_env();
    return agrees;
}

#else

static bool compare_all(void)
{
    puts("# no peer: built without GLPK (Debian: libglpk-dev)");
    return true;
}

#endif

int main(void)
{
    work = malloc(thew_compose_work_bytes());
    if (!work) return 1;
    bool in_time = run("mixed", make_mixed);
    in_time &= run("all goals", make_all_goals);
    in_time &= run("much alike", make_alike);
    in_time &= run("in any order", make_orderless);
    bool agrees = compare_all();
    free(work);
    if (!in_time) puts("# some class took longer than it should");
    return agrees ? 0 : 1;
}
