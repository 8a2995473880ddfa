// prior_test.c: priors of strength by their parts, profiles that fill up, and what is known of one exercise saying something of
// another.
#include "people.h"

#include "engine/prior.h"

// Mean: 0 without the condition; with it the middle of the deficits listed in prior.c (memory). SD: the root of healthy spread .28
// squared, the deficit's own spread, the size's, and what SD .40 of ln tau costs at 75 s (lever from endurance.h, its own tests).
static void priors_are_the_sum_of_their_parts(void **state)
{
    (void)state;
    // clang-format off
    static const struct {
        thew_action action;
        double ln_mean, ln_sd;
    } row[] = {
        { THEW_KNEE_EXTENSION,       -.22, .15 }, { THEW_KNEE_FLEXION,        -.32, .20 },
        { THEW_HIP_FLEXION,          -.32, .20 }, { THEW_HIP_EXTENSION,       -.25, .18 },
        { THEW_HIP_ABDUCTION,        -.25, .18 }, { THEW_HIP_ADDUCTION,       -.25, .18 },
        { THEW_ANKLE_DORSIFLEXION,   -.32, .25 }, { THEW_ANKLE_PLANTARFLEXION, -.25, .20 },
        { THEW_TRUNK_FLEXION,        -.15, .12 }, { THEW_TRUNK_EXTENSION,     -.15, .12 },
        { THEW_SHOULDER_FLEXION,     -.10, .10 }, { THEW_SHOULDER_EXTENSION,  -.10, .10 },
        { THEW_SHOULDER_ABDUCTION,   -.10, .10 }, { THEW_SHOULDER_ADDUCTION,  -.10, .10 },
        { THEW_ELBOW_FLEXION,        -.10, .10 }, { THEW_ELBOW_EXTENSION,     -.10, .10 },
    };
    // clang-format on
    EACH(i, row)
    {
        double lever = thew_endurance_tau_lever(thew_endurance_default(thew_action_joint(row[i].action)), 75, 1), size = .05;
        double healthy = .28 * .28 + pow(.4 * lever, 2) + size * size;
        thew_estimate none = thew_prior_capacity(THEW_CONDITION_NONE, row[i].action, size);
        thew_estimate ms = thew_prior_capacity(THEW_CONDITION_MS, row[i].action, size);
        row_near("healthy", 0, none.mean, 0);
        row_near("its SD", sqrt(healthy), none.sd, 1e-12);
        row_near(thew_action_id(row[i].action), row[i].ln_mean, ms.mean, 0);
        row_near("its SD", sqrt(healthy + row[i].ln_sd * row[i].ln_sd), ms.sd, 1e-12);
    }
    rows_end(THEW_ACTION_COUNT * 4);
}

// model.md, section 5: legs weaker than arms, and less sure.
static void the_condition_weakens_legs_more_than_arms(void **state)
{
    (void)state;
    thew_estimate arm = thew_prior_capacity(THEW_CONDITION_MS, THEW_ELBOW_FLEXION, 0);
    thew_estimate leg = thew_prior_capacity(THEW_CONDITION_MS, THEW_HIP_FLEXION, 0);
    row_between("weaker", -1, leg.mean - arm.mean, -.1);
    row_between("less sure", .01, leg.sd - arm.sd, 1);
    rows_end(2);
}

static void joints_stand_for_their_usual_action(void **state)
{
    (void)state;
    static const struct {
        thew_joint joint;
        thew_action action;
    } row[] = {
        { THEW_JOINT_SHOULDER, THEW_SHOULDER_FLEXION }, { THEW_JOINT_ELBOW, THEW_ELBOW_FLEXION },
        { THEW_JOINT_TRUNK, THEW_TRUNK_EXTENSION },     { THEW_JOINT_HIP, THEW_HIP_EXTENSION },
        { THEW_JOINT_KNEE, THEW_KNEE_EXTENSION },       { THEW_JOINT_ANKLE, THEW_ANKLE_PLANTARFLEXION },
    };
    EACH(i, row)
    {
        thew_estimate joint = thew_prior_capacity_of_joint(THEW_CONDITION_MS, row[i].joint, .1);
        thew_estimate action = thew_prior_capacity(THEW_CONDITION_MS, row[i].action, .1);
        row_near("mean", action.mean, joint.mean, 0);
        row_near("SD", action.sd, joint.sd, 0);
    }
    double lever = thew_endurance_tau_lever(thew_endurance_default(THEW_JOINT_GRIP), 75, 1);
    thew_estimate grip = thew_prior_capacity_of_joint(THEW_CONDITION_MS, THEW_JOINT_GRIP, 0);
    row_near("grip: the arm's deficit", -.10, grip.mean, 0);
    row_near("grip: its own endurance", sqrt(.28 * .28 + .1 * .1 + pow(.4 * lever, 2)), grip.sd, 1e-12);
    rows_end(14);
}

static void profiles_fill_up(void **state)
{
    (void)state;
    thew_profile p;
    memset(&p, 0xA5, sizeof p);
    thew_profile_start(THEW_CONDITION_NONE, &p);
    row_near("healthy days", .053, p.prior.day_sd, 0);
    thew_profile_start(THEW_CONDITION_MS, &p);
    row_near("days that differ", .065, p.prior.day_sd, 0);
    thew_task task = thew_task_default(THEW_JOINT_KNEE, THEW_HOLD);
    for (int i = 0; i < THEW_TRACKS_MAX; i++) {
        row_near("a task", i, thew_profile_add_task(&p, task), 0);
        row_near("a track", i, thew_profile_add_track(&p, i / 2, i % 2 ? THEW_RIGHT : THEW_LEFT, (thew_estimate){ .1 * i, .3 }), 0);
    }
    row_near("one task too many", -1, thew_profile_add_task(&p, task), 0);
    row_near("one track too many", -1, thew_profile_add_track(&p, 0, THEW_BOTH, (thew_estimate){ 0, .3 }), 0);
    row_near("still as many", THEW_TRACKS_MAX, p.track_count, 0);
    row_near("found", 7, thew_profile_track(&p, 3, THEW_RIGHT), 0);
    row_near("not found: the side", -1, thew_profile_track(&p, 3, THEW_BOTH), 0);
    row_near("not found: the task", -1, thew_profile_track(&p, THEW_TRACKS_MAX - 1, THEW_LEFT), 0);
    row_near("its mean", .7, p.track[7].ln_mean, 1e-15);
    static thew_capacity c;
    row_near("a full profile starts", THEW_OK, thew_capacity_start(&p, &c), 0);
    rows_end(50);
}

// One reading of one track moves an untrained one by correlation x its SD x the trained one's move in SDs, and makes it surer by
// the square:
//   mean shift = r s_b s_a / (s_a^2 + noise^2) (reading - mean_a);  variance factor 1 - r^2 s_a^2 / (s_a^2 + noise^2)
static void one_exercise_says_something_of_another(void **state)
{
    (void)state;
    static const struct {
        const char *why;
        thew_condition condition;
        int trained, untrained;
        double alike; // shares listed in capacity.c: .5 all, .1 the same joint, .05 (MS) or .3 both sides
    } row[] = {
        { "the other side, MS", THEW_CONDITION_MS, 0, 1, .65 },
        { "the other side, healthy", THEW_CONDITION_NONE, 0, 1, .9 },
        { "another task of the joint", THEW_CONDITION_MS, 0, 2, .6 },
        { "another joint", THEW_CONDITION_MS, 0, 3, .5 },
        { "another joint, from there", THEW_CONDITION_NONE, 3, 0, .5 },
    };
    EACH(i, row) for (double reading = -.8; reading < .7; reading += .35)
    {
        thew_profile p;
        thew_profile_start(row[i].condition, &p);
        const thew_capacity_prior alike = p.prior;
        p.prior = prior_at_rest(.05);
        p.prior.alike_all = alike.alike_all, p.prior.alike_joint = alike.alike_joint, p.prior.alike_sides = alike.alike_sides;
        const thew_joint joint[] = { THEW_JOINT_KNEE, THEW_JOINT_KNEE, THEW_JOINT_ELBOW };
        for (int task = 0; task < 3; task++)
            assert_int_equal(thew_profile_add_task(&p, hold_of(joint[task])), task);
        const thew_estimate prior[] = { { -.22, .35 }, { -.22, .35 }, { -.3, .3 }, { -.1, .25 } };
        const int task[] = { 0, 0, 1, 2 };
        for (int t = 0; t < 4; t++)
            assert_int_equal(thew_profile_add_track(&p, task[t], t == 1 ? THEW_RIGHT : THEW_LEFT, prior[t]), t);
        thew_capacity c = started(&p);
        thew_set set = set_reading(&p, 0, row[i].trained, reading, 75);
        assert_int_equal(thew_capacity_record(&p, &c, &set), THEW_OK);
        thew_estimate a = prior[row[i].trained], b = prior[row[i].untrained], told = thew_capacity_of(&p, &c, row[i].untrained);
        double seen = a.sd * a.sd + .05 * .05, shift = row[i].alike * b.sd * a.sd / seen * (reading - a.mean);
        row_near(row[i].why, b.mean + shift, told.mean, 1e-12);
        row_near(row[i].why, b.sd * sqrt(1 - pow(row[i].alike * a.sd, 2) / seen), told.sd, 1e-12);
        row_between("the right way", 0, (told.mean - b.mean) * (reading - a.mean), 1);
    }
    rows_end(5 * 5 * 3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(priors_are_the_sum_of_their_parts),      cmocka_unit_test(the_condition_weakens_legs_more_than_arms),
        cmocka_unit_test(joints_stand_for_their_usual_action),    cmocka_unit_test(profiles_fill_up),
        cmocka_unit_test(one_exercise_says_something_of_another),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
