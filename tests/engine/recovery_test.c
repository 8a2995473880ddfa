// recovery_test.c: the recovery curve at hand-made points, and the days that follow from it.
// The defaults are judgements (see recovery.h); what they are held to is the rest day between sessions of the Canadian guidelines for
// adults with multiple sclerosis (Latimer-Cheung 2013) and the 24-48 h of Moran-Navarro 2017.
#include "rows.h"

#include "engine/recovery.h"

static void curve(void **state)
{
    (void)state;
    thew_recovery usual = thew_recovery_default();
    static const struct {
        const char *why;
        double depth, theta_h, hours, readiness;
    } row[] = {
        { "right after, all of A is lost", .10, 24, 0, .90 },
        { "after one theta, A / e is", .10, 24, 24, 1 - .10 * .36787944117144233 },
        { "after two thetas, A / e^2", .10, 24, 48, 1 - .10 * .13533528323661269 },
        { "half an hour of a slow muscle", .40, 60, 30, 1 - .40 * .60653065971263342 },
        { "nothing lost, nothing to recover", 0, 24, 5, 1 },
    };
    EACH(i, row)
        row_near(row[i].why, row[i].readiness, thew_recovery_readiness((thew_recovery){ row[i].depth, row[i].theta_h }, row[i].hours), 1e-15);
    row_near("default depth", .10, usual.depth, 0);
    row_near("default theta, hours", 24, usual.theta_h, 0);
    rows_end(7);
}

static void days(void **state)
{
    (void)state;
    static const struct {
        const char *why;
        double depth, theta_h, hours;
        int days;
    } row[] = {
        { "the defaults: a rest day between (24 ln 5 h)", .10, 24, 38.626509898418405, 2 },
        { "never under a day, however quick", .10, 5, 24, 1 },
        { "never under a day, however shallow", .01, 100, 24, 1 },
        { "exactly what is allowed is lost at once: a day", .02, 24, 24, 1 },
        { "a deep, slow muscle takes days", .30, 30, 81.2415060330663, 4 },
        { "just over two days is three", .10, 30, 48.28313737302301, 3 },
    };
    EACH(i, row)
    {
        thew_recovery r = { row[i].depth, row[i].theta_h };
        row_near(row[i].why, row[i].hours, thew_recovery_hours(r), 1e-9);
        row_near(row[i].why, row[i].days, thew_recovery_days(r), 0);
        row_between("what is left to lose by then is small enough", 1 - THEW_RECOVERY_LOSS_MAX - 1e-12,
                    thew_recovery_readiness(r, thew_recovery_hours(r)), 1);
    }
    rows_end(18);
}

int main(void)
{
    const struct CMUnitTest tests[] = { cmocka_unit_test(curve), cmocka_unit_test(days) };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
