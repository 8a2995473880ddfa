// compose_carry.c: what earlier sets of a class leave for later ones. See compose.h.
#include "compose.h"

#include <assert.h>

#include "real.h"

#define SIDES 2

// Fatigued share of every muscle of the left and of the right side.
typedef struct {
    double fatigued[THEW_COMPOSE_MARKS_MAX][SIDES];
} body;

static bool works_on(thew_side side, int s)
{
    return side == THEW_BOTH || s == (side == THEW_LEFT ? 0 : 1);
}

static void rest(body *b, const thew_joint *joint, double seconds)
{
    for (int m = 0; m < THEW_COMPOSE_MARKS_MAX; m++)
        for (int s = 0; s < SIDES; s++)
            b->fatigued[m][s] = thew_fatigue_after(thew_fatigue_rates_of(joint[m]), b->fatigued[m][s], 0, seconds);
}

// Whoever has no part in the set rests meanwhile.
static void work(body *b, const thew_joint *joint, const thew_compose_set *set, double synergist_share)
{
    for (int m = 0; m < THEW_COMPOSE_MARKS_MAX; m++) {
        double share = set->prime_movers >> m & 1 ? 1 : set->synergists >> m & 1 ? synergist_share : 0;
        for (int s = 0; s < SIDES; s++) {
            double load = works_on(set->side, s) ? share * set->load_share : 0;
            b->fatigued[m][s] = thew_fatigue_after(thew_fatigue_rates_of(joint[m]), b->fatigued[m][s], load, set->seconds);
        }
    }
}

// What is left for a set: it lasts while each muscle still has what is asked of it, its share of the load.
static double capacity_left(const body *b, const thew_compose_set *set, double synergist_share)
{
    double left = 1;
    for (int m = 0; m < THEW_COMPOSE_MARKS_MAX; m++) {
        bool is_prime = set->prime_movers >> m & 1, is_synergist = !is_prime && set->synergists >> m & 1;
        double share = is_prime ? 1 : is_synergist ? synergist_share : 0;
        for (int s = 0; s < SIDES && share > 0; s++)
            if (works_on(set->side, s)) left = thew_min(left, (1 - b->fatigued[m][s]) / share);
    }
    return left;
}

void thew_compose_carry(const thew_compose_set *set, int set_count, const thew_joint *joint, double synergist_share,
                        double *capacity_ln)
{
    assert(set_count >= 0 && synergist_share >= 0 && synergist_share <= 1);
    body b = { 0 };
    for (int i = 0; i < set_count; i++) {
        assert(set[i].rest_s >= 0 && set[i].seconds >= 0 && set[i].load_share >= 0 && set[i].load_share <= 1);
        rest(&b, joint, set[i].rest_s);
        capacity_ln[i] = thew_log(capacity_left(&b, &set[i], synergist_share));
        work(&b, joint, &set[i], synergist_share);
    }
}
