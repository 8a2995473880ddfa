// filter_bench.c: what one set costs: taking it in and giving the odds of a ladder, by the joint filter and by the grid.
// Prints `case,count,us` and, as comments, microseconds each with what was aimed for; then how the rebuilding of a diary grows.
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "bench/scene.h"
#include "engine/grid.h"

enum { YEAR_SETS = 600, TRIES = 7 };

static scene person;
static thew_capacity capacity;
static thew_grid grid;
static double grid_memory[70000];
static double kept; // what is computed is used, so that no compiler leaves it out

static double now_us(void)
{
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now); // this process's own: others' work on the machine counts little
    return 1e6 * (double)now.tv_sec + 1e-3 * (double)now.tv_nsec;
}

static void must(thew_status status)
{
    if (status < 0) {
        fprintf(stderr, "%s\n", thew_status_sentence(status));
        exit(1);
    }
}

static void give_odds(int track, thew_day day)
{
    thew_prospect prospect[SCENE_RUNGS];
    const thew_task *task = &person.profile.task[person.profile.track[track].task];
    thew_outlook_ladder(&person.profile, &capacity, track, person.ladder[track], SCENE_RUNGS, day, NULL, prospect);
    thew_odds odds[SCENE_RUNGS];
    thew_outlook_odds_n(task, person.ladder[track], prospect, SCENE_RUNGS, odds);
    kept += odds[0].p_window;
}

/// Plays a diary, looking at so many ladders after every set: that of its own exercise first.
static void play(int set_count, int ladder_count)
{
    thew_diary diary = scene_diary(&person, set_count);
    must(thew_capacity_start(&person.profile, &capacity));
    int checkin = 0;
    for (int i = 0; i < set_count; i++) {
        const thew_set *set = &diary.set[i];
        if (capacity.day != set->day)
            must(thew_capacity_go_to(&person.profile, &capacity, set->day, &diary.checkin[checkin++].conditions));
        must(thew_capacity_record(&person.profile, &capacity, set));
        for (int t = 0; t < ladder_count; t++)
            give_odds((set->track + t) % SCENE_TRACKS, set->day + 2);
    }
}

static void play_alone(int set_count)
{
    play(set_count, 0);
}
static void play_one_ladder(int set_count)
{
    play(set_count, 1);
}
static void play_all_ladders(int set_count)
{
    play(set_count, SCENE_TRACKS);
}

/// The sets of the first exercise, as if it were the person's only one.
static void play_grid(int set_count)
{
    thew_profile alone = person.profile;
    alone.task_count = alone.track_count = 1;
    thew_grid_start(&alone, 1, grid_memory, &grid);
    thew_odds odds[SCENE_RUNGS];
    for (int i = 0; i < set_count; i++) {
        if (person.set[i].track) continue;
        must(thew_grid_record(&alone, &grid, &person.set[i]));
        thew_grid_odds(&alone, &grid, person.ladder[0], SCENE_RUNGS, true, odds);
        kept += odds[0].p_window;
    }
}

static void rebuild(int set_count)
{
    thew_diary diary = scene_diary(&person, set_count);
    must(thew_diary_play(&person.profile, &diary, THEW_DAY_MAX, &capacity));
    kept += capacity.mean[THEW_FIXED];
}

/// The least of a few tries: other work on the machine only adds.
static double best_us(void (*run)(int), int set_count)
{
    double best = INFINITY;
    for (int try = 0; try < TRIES; try++) {
        double begin = now_us();
        run(set_count);
        best = fmin(best, now_us() - begin);
    }
    return best;
}

static double tell(const char *name, int count, double us, double aim_us)
{
    printf("filter %s,%d,%.0f\n# %.2f us each", name, count, us, us / count);
    if (aim_us > 0) printf("; aim %.0f", aim_us);
    puts("");
    return us / count;
}

static int first_track_sets(void)
{
    int count = 0;
    for (int i = 0; i < YEAR_SETS; i++)
        count += person.set[i].track == 0;
    return count;
}

static void tell_rebuilding(void)
{
    double first = 0;
    for (int count = 100; count <= SCENE_SETS_MAX; count *= 2) {
        double each = tell("rebuild", count, best_us(rebuild, count), 0);
        if (count == 100) first = each;
        printf("# a set costs %.2f times what it does in a diary of 100\n", each / first);
    }
}

int main(void)
{
    scene_make(&person, 1, SCENE_SETS_MAX);
    tell("joint record", YEAR_SETS, best_us(play_alone, YEAR_SETS), 0);
    double joint = tell("joint record and 12 rungs", YEAR_SETS, best_us(play_one_ladder, YEAR_SETS), 25);
    tell("joint record and 48 rungs", YEAR_SETS, best_us(play_all_ladders, YEAR_SETS), 0);
    int sets = first_track_sets();
    double exact = tell("grid record and 12 rungs", sets, best_us(play_grid, YEAR_SETS), 150);
    printf("# grid / joint: %.1f\n", exact / joint);
    printf("# bytes a person: joint %zu, grid %zu an exercise; aim 65536\n", sizeof(thew_capacity),
           sizeof(thew_grid) + sizeof(double) * (size_t)thew_grid_doubles(1));
    tell_rebuilding();
    return kept > 0 ? 0 : 1;
}
