// recovery.c: see recovery.h.
#include "recovery.h"

#include <assert.h>

#include "real.h"

#define HOURS_MIN 24.0
#define HOURS_IN_DAY 24.0

thew_recovery thew_recovery_default(void) { return (thew_recovery){ .depth = .10, .theta_h = 24 }; }

double thew_recovery_readiness(thew_recovery recovery, double hours)
{
    assert(recovery.theta_h > 0 && hours >= 0);
    return 1 - recovery.depth * thew_exp(-hours / recovery.theta_h);
}

double thew_recovery_hours(thew_recovery recovery)
{
    if (recovery.depth <= THEW_RECOVERY_LOSS_MAX)
        return HOURS_MIN;
    return thew_max(recovery.theta_h * thew_log(recovery.depth / THEW_RECOVERY_LOSS_MAX), HOURS_MIN);
}

int thew_recovery_days(thew_recovery recovery)
{
    double days = thew_recovery_hours(recovery) / HOURS_IN_DAY;
    int whole = (int)days;
    return whole < days ? whole + 1 : whole;
}
