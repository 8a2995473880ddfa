// diary_test.c: diaries are played in order of day, a day's check-in before its sets, and say what went wrong.
#include "people.h"

#include "engine/diary.h"

static thew_profile two_tracks(void)
{
    thew_profile p = { .prior = thew_capacity_prior_default(true), .task_count = 1, .track_count = 2 };
    p.task[0] = thew_task_default(THEW_JOINT_KNEE, THEW_HOLD);
    p.track[0] = (thew_track){ 0, THEW_LEFT, -.2, .3 };
    p.track[1] = (thew_track){ 0, THEW_RIGHT, -.2, .3 };
    return p;
}

// Days 3, 5 and 9 have sets; 3, 4 and 9 a check-in.
static const thew_set sets[] = {
    { 3, 0, { .peak_share = .3, .mean_share = 1, .key = 1 }, THEW_FAILURE, 70, -1 },   { 3, 1, { .peak_share = .3, .mean_share = 1, .key = 1 }, THEW_FAILURE, 50, -1 },
    { 5, 0, { .peak_share = .3, .mean_share = 1, .key = 2 }, THEW_COMPLETED, 90, -1 }, { 9, 1, { .peak_share = .35, .mean_share = 1, .key = 1 }, THEW_SYMPTOM, 40, -1 },
    { 9, 0, { .peak_share = .3, .mean_share = 1, .key = 1 }, THEW_RESERVE, 60, 15 },
};
static const thew_checkin checkins[] = {
    { 3, { .has_heat = true, .heat_index_c = 30 } },
    { 4, { .has_fatigue = true, .fatigue = 7 } },
    { 9, { .has_readiness = true, .readiness = -.1 } },
};
static const thew_diary diary = { sets, 5, checkins, 3 };

static void days_come_in_order(void **state)
{
    (void)state;
    static const struct {
        const char *why;
        thew_diary_place place;
        thew_day day;
    } row[] = {
        { "both on the first day", { 0, 0 }, 3 }, { "sets alone", { 2, 2 }, 5 },  { "a check-in alone", { 2, 1 }, 4 },
        { "no check-in left", { 3, 3 }, 9 },      { "no set left", { 5, 2 }, 9 }, { "nothing left", { 5, 3 }, THEW_NO_DAY },
    };
    EACH(i, row) row_near(row[i].why, row[i].day, thew_diary_next(&diary, row[i].place), 0);
    const thew_diary empty = { 0 };
    row_near("an empty diary", THEW_NO_DAY, thew_diary_next(&empty, (thew_diary_place){ 0, 0 }), 0);
    rows_end(7);
}

static void same_strengths(const char *why, const thew_profile *p, const thew_capacity *a, const thew_capacity *b)
{
    row_near(why, a->day, b->day, 0);
    row_near(why, a->ln_evidence, b->ln_evidence, 0);
    for (int t = 0; t < p->track_count; t++) {
        row_near(why, thew_capacity_of(p, a, t).mean, thew_capacity_of(p, b, t).mean, 0);
        row_near(why, thew_capacity_of(p, a, t).sd, thew_capacity_of(p, b, t).sd, 0);
    }
}

// Played by hand, bit for bit, up to each day.
static void playing_is_recording_in_order(void **state)
{
    (void)state;
    thew_profile p = two_tracks();
    static const struct {
        thew_day until;
        int sets, checkins;
    } row[] = { { 2, 0, 0 }, { 3, 2, 1 }, { 4, 2, 2 }, { 7, 3, 2 }, { THEW_DAY_MAX, 5, 3 } };
    EACH(i, row)
    {
        static thew_capacity played;
        memset(&played, 0xA5, sizeof played);
        row_near("played", THEW_OK, thew_diary_play(&p, &diary, row[i].until, &played), 0);
        thew_capacity byhand = started(&p);
        int s = 0;
        for (int c = 0; c < row[i].checkins; c++) {
            for (; s < row[i].sets && sets[s].day < checkins[c].day; s++)
                assert_int_equal(thew_capacity_record(&p, &byhand, &sets[s]), THEW_OK);
            assert_int_equal(thew_capacity_go_to(&p, &byhand, checkins[c].day, &checkins[c].conditions), THEW_OK);
        }
        for (; s < row[i].sets; s++)
            assert_int_equal(thew_capacity_record(&p, &byhand, &sets[s]), THEW_OK);
        same_strengths("by hand", &p, &byhand, &played);
    }
    rows_end(5 * 7);
}

static void the_last_of_two_checkins_counts(void **state)
{
    (void)state;
    thew_profile p = two_tracks();
    const thew_checkin twice[] = { { 3, { .has_heat = true, .heat_index_c = 40 } }, checkins[0], checkins[1], checkins[2] };
    const thew_diary corrected = { sets, 5, twice, 4 };
    static thew_capacity a, b;
    row_near("twice", THEW_OK, thew_diary_play(&p, &corrected, THEW_DAY_MAX, &a), 0);
    row_near("once", THEW_OK, thew_diary_play(&p, &diary, THEW_DAY_MAX, &b), 0);
    same_strengths("the last counts", &p, &b, &a);
    rows_end(8);
}

static void what_goes_wrong_is_said(void **state)
{
    (void)state;
    thew_set wrong_track = sets[0], disordered[2] = { sets[2], sets[0] }, many[THEW_OFFSETS_MAX + 2];
    wrong_track.track = 2;
    const thew_checkin hot[] = { { 3, { .has_heat = true, .heat_index_c = NAN } } };
    const thew_checkin disordered_days[] = { checkins[1], checkins[0] };
    for (unsigned i = 0; i < THEW_OFFSETS_MAX + 2; i++)
        many[i] = (thew_set){ (thew_day)i, 0, { .peak_share = .3, .mean_share = 1, .key = i }, THEW_FAILURE, 70, -1 };
    many[THEW_OFFSETS_MAX + 1].rung.key = 5; // the last set brings no news of its own
    const struct {
        const char *why;
        thew_diary diary;
        thew_status status;
    } row[] = {
        { "no such track", { &wrong_track, 1, NULL, 0 }, THEW_UNKNOWN_EXERCISE },
        { "sets out of order", { disordered, 2, NULL, 0 }, THEW_DATE_BEFORE_STATE },
        { "check-ins out of order", { NULL, 0, disordered_days, 2 }, THEW_DATE_BEFORE_STATE },
        { "a check-in not a number", { NULL, 0, hot, 1 }, THEW_NOT_FINITE },
        { "more rungs than are held", { many, THEW_OFFSETS_MAX + 2, NULL, 0 }, THEW_DROPPED_OFFSET },
        { "no more than are held", { many, THEW_OFFSETS_MAX, NULL, 0 }, THEW_OK },
        { "nothing", { 0 }, THEW_OK },
    };
    thew_profile p = two_tracks();
    static thew_capacity c;
    EACH(i, row) row_near(row[i].why, row[i].status, thew_diary_play(&p, &row[i].diary, THEW_DAY_MAX, &c), 0);
    p.track_count = THEW_TRACKS_MAX + 1;
    row_near("too many tracks", THEW_TOO_MANY, thew_diary_play(&p, &diary, THEW_DAY_MAX, &c), 0);
    rows_end(8);
}

// Any order in, order of day out, sets of one day as they came.
static void sorting_keeps_the_order_within_a_day(void **state)
{
    (void)state;
    uint64_t seed = 3;
    for (int trial = 0; trial < 50; trial++) {
        thew_set set[60] = { 0 };
        int order[60], count = trial == 0 ? 0 : 1 + random_below(&seed, 60), times[60] = { 0 };
        for (int i = 0; i < count; i++)
            set[i] = (thew_set){ .day = trial < 3 ? (trial == 1 ? i : -i) : random_below(&seed, 20) - 10 };
        thew_diary_sort(set, count, order);
        for (int i = 0; i < count; i++)
            times[order[i]]++;
        for (int i = 0; i < count; i++) {
            row_near("each once", 1, times[i], 0);
            if (i == 0) continue;
            int before = order[i - 1], here = order[i];
            row_near("in order", 1, set[before].day < set[here].day || (set[before].day == set[here].day && before < here), 0);
        }
    }
    rows_end(1000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(days_come_in_order),
        cmocka_unit_test(playing_is_recording_in_order),
        cmocka_unit_test(the_last_of_two_checkins_counts),
        cmocka_unit_test(what_goes_wrong_is_said),
        cmocka_unit_test(sorting_keeps_the_order_within_a_day),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
