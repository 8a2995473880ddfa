// smooth_test.c: smoothing as a user of it sees it. That it is exact where everything is normal: capacity_gaussian_test.c and
// tests/outside/nile.R. Here: memory, odd diaries, and that later days bear on earlier ones as they should.
#include "people.h"

#include "engine/prior.h"
#include "engine/smooth.h"

#define DAYS 40
#define TRACKS 2

static thew_profile person(void)
{
    thew_profile p;
    thew_profile_start(THEW_CONDITION_MS, &p);
    int task = thew_profile_add_task(&p, thew_task_default(THEW_JOINT_KNEE, THEW_HOLD));
    for (thew_side side = THEW_LEFT; side <= THEW_RIGHT; side++)
        assert_true(thew_profile_add_track(&p, task, side, (thew_estimate){ -.2, .3 }) >= 0);
    return p;
}

static double k_on(int day)
{
    return day < DAYS / 2 ? -.1 : -.5;
} // a relapse halfway

static int diary_of(const thew_profile *p, uint64_t seed, thew_set *set)
{
    for (int day = 0; day < DAYS; day++) {
        thew_rung rung = rung_reading(&p->task[0], -.3, 75, 1);
        rung.key = (unsigned)(day % 3);
        set[day] = set_shown(p, 3 * day, 0, rung, k_on(day) + .08 * random_normal(&seed), 90);
    }
    return DAYS;
}

static void memory_is_asked_for_beforehand(void **state)
{
    (void)state;
    thew_profile p = person();
    thew_set set[DAYS];
    thew_diary diary = { .set = set, .set_count = diary_of(&p, 1, set) };
    size_t bytes = thew_smooth_bytes(DAYS);
    unsigned char *memory = malloc(bytes + 16);
    thew_day days[DAYS];
    thew_smooth_at at[DAYS][TRACKS];
    row_near("days", DAYS, thew_smooth_day_count(&diary), 0);
    memset(memory, 0xA5, bytes + 16);
    row_near("a byte too few", THEW_NO_ROOM, thew_smooth(&p, &diary, memory, bytes - 1, days, &at[0][0]), 0);
    row_near("nothing", THEW_NO_ROOM, thew_smooth(&p, &diary, memory, 0, days, &at[0][0]), 0);
    row_near("just enough", THEW_OK, thew_smooth(&p, &diary, memory, bytes, days, &at[0][0]), 0);
    for (int i = 0; i < 16; i++)
        row_near("nothing beyond is touched", 0xA5, memory[bytes + (size_t)i], 0);
    row_between("a day's share", 1, (double)(thew_smooth_bytes(1001) - thew_smooth_bytes(1000)), 32 * 1024);
    free(memory);
    rows_end(21);
}

static void smoothed(const thew_profile *p, const thew_diary *diary, thew_status expected, thew_day *days, thew_smooth_at *at)
{
    size_t bytes = thew_smooth_bytes(thew_smooth_day_count(diary));
    void *memory = malloc(bytes);
    memset(memory, 0xA5, bytes);
    row_near("status", expected, thew_smooth(p, diary, memory, bytes, days, at), 0);
    free(memory);
}

// Filtered: the belief of a diary that ends that day. Smoothed on the last day: the same.
static void filtered_is_the_belief_of_that_day(void **state)
{
    (void)state;
    thew_profile p = person();
    thew_set set[DAYS];
    thew_diary diary = { .set = set, .set_count = diary_of(&p, 2, set) };
    thew_day days[DAYS];
    static thew_smooth_at at[DAYS][TRACKS];
    smoothed(&p, &diary, THEW_OK, days, &at[0][0]);
    for (int d = 0; d < DAYS; d++) {
        static thew_capacity c;
        assert_int_equal(thew_diary_play(&p, &diary, days[d], &c), THEW_OK);
        for (int t = 0; t < TRACKS; t++) {
            row_near("mean", thew_capacity_of(&p, &c, t).mean, at[d][t].filtered.mean, 0);
            row_near("SD", thew_capacity_of(&p, &c, t).sd, at[d][t].filtered.sd, 1e-15);
        }
    }
    for (int t = 0; t < TRACKS; t++) {
        row_near("last day", at[DAYS - 1][t].filtered.mean, at[DAYS - 1][t].smoothed.mean, 0);
        row_near("last day's SD", at[DAYS - 1][t].filtered.sd, at[DAYS - 1][t].smoothed.sd, 0);
    }
    rows_end(1 + DAYS * 4 + 4);
}

// Over 40 people with a relapse halfway: the smoothed line is nearer to the truth than the filtered one, and surer on every day.
static void hindsight_is_better(void **state)
{
    (void)state;
    thew_profile p = person();
    double filtered = 0, after = 0;
    for (uint64_t seed = 1; seed <= 40; seed++) {
        thew_set set[DAYS];
        thew_diary diary = { .set = set, .set_count = diary_of(&p, seed, set) };
        thew_day days[DAYS];
        static thew_smooth_at at[DAYS][TRACKS];
        smoothed(&p, &diary, THEW_OK, days, &at[0][0]);
        for (int d = 0; d < DAYS; d++) {
            filtered += pow(at[d][0].filtered.mean - k_on(d), 2) / (40 * DAYS);
            after += pow(at[d][0].smoothed.mean - k_on(d), 2) / (40 * DAYS);
            for (int t = 0; t < TRACKS; t++)
                row_between("surer", 1e-3, at[d][t].smoothed.sd, at[d][t].filtered.sd * (1 + 1e-9));
        }
    }
    printf("# off the truth, rms: filtered %.4f, smoothed %.4f\n", sqrt(filtered), sqrt(after));
    row_between("smoothed", 0, sqrt(after), .9 * sqrt(filtered));
    rows_end(40 * DAYS * TRACKS);
}

// Days of check-ins alone, an empty diary, a diary that is refused, a filter that had to let rungs go.
static void odd_diaries(void **state)
{
    (void)state;
    thew_profile p = person();
    thew_day days[DAYS + 20];
    static thew_smooth_at at[DAYS + 20][TRACKS];
    thew_diary empty = { 0 };
    row_near("no days", 0, thew_smooth_day_count(&empty), 0);
    smoothed(&p, &empty, THEW_OK, days, &at[0][0]);

    const thew_checkin checkins[] = { { 1, { .has_fatigue = true, .fatigue = 7 } },
                                      { 1, { .has_fatigue = true, .fatigue = 6 } },
                                      { 5, { 0 } } };
    thew_set set[DAYS + 20];
    diary_of(&p, 3, set);
    thew_diary mixed = { set, 3, checkins, 3 }; // sets on days 0, 3, 6
    row_near("days of either", 5, thew_smooth_day_count(&mixed), 0);
    smoothed(&p, &mixed, THEW_OK, days, &at[0][0]);
    const thew_day expected[] = { 0, 1, 3, 5, 6 };
    EACH(d, expected) row_near("in order", expected[d], days[d], 0);

    thew_set later_first[2] = { set[5], set[1] };
    thew_diary disordered = { .set = later_first, .set_count = 2 };
    smoothed(&p, &disordered, THEW_DATE_BEFORE_STATE, days, &at[0][0]);
    thew_profile too_many = p;
    too_many.task_count = THEW_TRACKS_MAX + 1;
    smoothed(&too_many, &mixed, THEW_TOO_MANY, days, &at[0][0]);

    for (int i = 0; i < THEW_OFFSETS_MAX + 10; i++) { // new rungs, and at last an old one that was let go
        set[i] = set_reading(&p, i, 0, -.2, 60);
        set[i].rung.key = i == THEW_OFFSETS_MAX + 9 ? 0 : (unsigned)i;
    }
    thew_diary many = { .set = set, .set_count = THEW_OFFSETS_MAX + 10 };
    smoothed(&p, &many, THEW_DROPPED_OFFSET, days, &at[0][0]);
    for (int d = 0; d < THEW_OFFSETS_MAX + 10; d++)
        row_between("still a belief", 1e-3, at[d][0].smoothed.sd, at[d][0].filtered.sd * (1 + 1e-9));
    rows_end(60);
}

// Nothing of the prior varies: no drift, no heat, no walk. What cannot move is no obstacle.
static void a_world_at_rest_is_smooth(void **state)
{
    (void)state;
    thew_profile p = alone(prior_at_rest(.1), hold_of(THEW_JOINT_KNEE), 0, .3);
    thew_set set[10];
    for (int i = 0; i < 10; i++)
        set[i] = set_reading(&p, i, 0, .1, 75);
    thew_diary diary = { .set = set, .set_count = 10 };
    thew_day days[10];
    static thew_smooth_at at[10];
    smoothed(&p, &diary, THEW_OK, days, at);
    double precision = 1 / .09 + 10 / .01;
    for (int d = 0; d < 10; d++) {
        row_near("one strength", .1 * (10 / .01) / precision, at[d].smoothed.mean, 1e-9);
        row_near("one SD", 1 / sqrt(precision), at[d].smoothed.sd, 1e-9);
    }
    rows_end(21);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(memory_is_asked_for_beforehand),
        cmocka_unit_test(filtered_is_the_belief_of_that_day),
        cmocka_unit_test(hindsight_is_better),
        cmocka_unit_test(odd_diaries),
        cmocka_unit_test(a_world_at_rest_is_smooth),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
