// scene_print.c: the scene's person, diaries and what the engine makes of them, as JSON: for bench/reference_numpy.py, which
// computes the same a second time. `us` is the engine's own processor time for a diary with the odds of a ladder after every set.
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "bench/scene.h"

enum { DIARIES = 4, SETS = 150, TRIES = 5, DAYS_AHEAD = 2 };

static scene person;
static thew_capacity capacity;
static thew_odds odds[SETS][SCENE_RUNGS];
static thew_estimate estimate[SETS][SCENE_TRACKS];

static double now_us(void)
{
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return 1e6 * (double)now.tv_sec + 1e-3 * (double)now.tv_nsec;
}

static void must(thew_status status)
{
    if (status >= 0) return;
    fprintf(stderr, "%s\n", thew_status_sentence(status));
    exit(1);
}

static void play(void)
{
    const thew_checkin *checkin = person.checkin;
    must(thew_capacity_start(&person.profile, &capacity));
    for (int i = 0; i < SETS; i++) {
        const thew_set *set = &person.set[i];
        if (capacity.day != set->day) must(thew_capacity_go_to(&person.profile, &capacity, set->day, &checkin++->conditions));
        must(thew_capacity_record(&person.profile, &capacity, set));
        for (int t = 0; t < SCENE_TRACKS; t++)
            estimate[i][t] = thew_capacity_of(&person.profile, &capacity, t);
        thew_prospect prospect[SCENE_RUNGS];
        const thew_rung *ladder = person.ladder[set->track];
        const thew_task *task = &person.profile.task[person.profile.track[set->track].task];
        thew_outlook_ladder(&person.profile, &capacity, set->track, ladder, SCENE_RUNGS, set->day + DAYS_AHEAD, NULL, prospect);
        thew_outlook_odds_n(task, ladder, prospect, SCENE_RUNGS, odds[i]);
    }
}

static double best_us(void)
{
    double best = INFINITY;
    for (int try = 0; try < TRIES; try++) {
        double begin = now_us();
        play();
        best = fmin(best, now_us() - begin);
    }
    return best;
}

#define NUMBER(from, name) printf("\"" #name "\":%.17g,", (double)(from)->name)

static void print_prior(const thew_capacity_prior *p)
{
    printf("\"prior\":{");
    NUMBER(p, noise.sd), NUMBER(p, noise.tail), NUMBER(p, day_sd), NUMBER(p, walk_sd_per_root_day);
    NUMBER(p, walk_common_share), NUMBER(p, drift_per_day), NUMBER(p, drift_sd_per_day), NUMBER(p, drift_fade_days);
    NUMBER(p, drift_settled_per_day), NUMBER(p, away_after_days), NUMBER(p, away_per_day), NUMBER(p, away_fade_days);
    NUMBER(p, jump_per_day);
    NUMBER(p, jump_after_symptom), NUMBER(p, jump_sd), NUMBER(p, heat_per_c), NUMBER(p, heat_sd_per_c), NUMBER(p, heat_from_c);
    NUMBER(p, fatigue_per_point), NUMBER(p, fatigue_sd_per_point), NUMBER(p, sleep_per_point), NUMBER(p, sleep_sd_per_point);
    NUMBER(p, readiness_sd), NUMBER(p, learning_hold), NUMBER(p, learning_repetitions), NUMBER(p, alike_all),
        NUMBER(p, alike_joint);
    printf("\"alike_sides\":%.17g},\n", p->alike_sides);
}

static void print_rung(const thew_rung *r)
{
    printf("{");
    NUMBER(r, peak_share), NUMBER(r, mean_share), NUMBER(r, ln_sd);
    printf("\"key\":%u}", r->key);
}

// A track with its task and its ladder; in a scene each has its own.
static void print_track(const scene *s, int t)
{
    const thew_task *task = &s->profile.task[s->profile.track[t].task];
    printf("%s{\"hold\":%s,\"joint\":%d,", t ? ",\n" : "", task->kind == THEW_HOLD ? "true" : "false", (int)task->joint);
    NUMBER(&s->profile.track[t], ln_mean), NUMBER(&s->profile.track[t], ln_sd);
    NUMBER(task, endurance.tau_s), NUMBER(task, endurance.rho), NUMBER(task, tau_ln_sd), NUMBER(task, starts_lifting);
    NUMBER(task, floor_s), NUMBER(task, window_from_s), NUMBER(task, window_to_s);
    printf("\"tempo\":[%.17g,%.17g,%.17g,%.17g],\n \"ladder\":[", task->tempo.lowering_s, task->tempo.pause_low_s,
           task->tempo.lifting_s, task->tempo.pause_high_s);
    for (int r = 0; r < SCENE_RUNGS; r++) {
        if (r) printf(",");
        print_rung(&s->ladder[t][r]);
    }
    printf("]}");
}

static void print_checkin(const thew_checkin *c)
{
    printf("{\"day\":%d", (int)c->day);
    if (c->conditions.has_heat) printf(",\"heat\":%.17g", c->conditions.heat_index_c);
    if (c->conditions.has_fatigue) printf(",\"fatigue\":%.17g", c->conditions.fatigue);
    if (c->conditions.has_sleep) printf(",\"sleep\":%.17g", c->conditions.sleep);
    if (c->conditions.has_readiness) printf(",\"readiness\":%.17g", c->conditions.readiness);
    printf("}");
}

// Infinity as Python's reader takes it.
static void print_seconds(double seconds)
{
    if (seconds == INFINITY)
        printf(",Infinity");
    else
        printf(",%.17g", seconds);
}

static void print_set(const thew_set *set, const thew_estimate *known, const thew_odds *chances)
{
    static const char *const word[] = { "failure", "completed", "reserve", "symptom", "other" };
    printf("{\"day\":%d,\"track\":%d,\"ended\":\"%s\",\"seconds\":%.17g,\"reserve_s\":%.17g,\"rung\":", (int)set->day, set->track,
           word[set->ended], set->seconds, set->reserve_s);
    print_rung(&set->rung);
    printf(",\n \"capacity\":[");
    for (int t = 0; t < SCENE_TRACKS; t++)
        printf("%s[%.17g,%.17g]", t ? "," : "", known[t].mean, known[t].sd);
    printf("],\n \"odds\":[");
    for (int r = 0; r < SCENE_RUNGS; r++) {
        const thew_odds *o = &chances[r];
        printf("%s[%.17g,%.17g,%.17g,%.17g", r ? "," : "", o->p_floor, o->p_early, o->p_window, o->p_beyond);
        print_seconds(o->p10_s), print_seconds(o->p50_s), print_seconds(o->p90_s);
        printf("]");
    }
    printf("]}");
}

int main(void)
{
    printf("{\"days_ahead\":%d,\"diaries\":[\n", DAYS_AHEAD);
    for (int n = 0; n < DIARIES; n++) {
        scene_make(&person, (uint64_t)n + 1, SETS);
        double us = best_us();
        printf("%s{\"us\":%.17g,", n ? ",\n" : "", us);
        print_prior(&person.profile.prior);
        printf("\"tracks\":[");
        for (int t = 0; t < SCENE_TRACKS; t++)
            print_track(&person, t);
        printf("],\n\"checkins\":[");
        for (int i = 0; i < person.checkin_count; i++) {
            if (i) printf(",\n");
            print_checkin(&person.checkin[i]);
        }
        printf("],\n\"sets\":[");
        for (int i = 0; i < SETS; i++) {
            if (i) printf(",\n");
            print_set(&person.set[i], estimate[i], odds[i]);
        }
        printf("]}");
    }
    printf("]}\n");
    return 0;
}
