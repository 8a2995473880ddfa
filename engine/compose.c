// compose.c: see compose.h. The task laid out, and how a class is judged; the search is in compose_search.c.
#include "compose.h"

#include <assert.h>
#include <string.h>

#include "compose_parts.h"

size_t thew_compose_work_bytes(void)
{
    return sizeof(thew_compose_work);
}

// ---- the task ----

static void check(const thew_compose_task *task)
{
    assert(task->candidate_count >= 0 && task->candidate_count <= THEW_COMPOSE_CANDIDATES_MAX);
    assert(task->slots >= 0 && task->slots <= THEW_COMPOSE_SLOTS_MAX);
    assert(task->seconds >= 0 && task->seconds <= THEW_COMPOSE_SECONDS_MAX);
    assert(task->rest_s >= 0 && task->rest_s <= THEW_COMPOSE_PAUSE_MAX_S && task->change_s >= 0 &&
           task->change_s <= THEW_COMPOSE_PAUSE_MAX_S);
    assert(task->changes_max >= 0 && task->changes_max <= THEW_COMPOSE_SLOTS_MAX);
    assert(task->second_percent >= 0 && task->second_percent <= 100);
    for (int m = 0; m < THEW_COMPOSE_MARKS_MAX; m++) {
        assert(task->goal_weight[m] >= 0 && task->goal_weight[m] <= THEW_COMPOSE_WEIGHT_MAX);
        assert(task->muscle_weight[m] >= 0 && task->muscle_weight[m] <= THEW_COMPOSE_WEIGHT_MAX);
    }
    for (int i = 0; i < task->candidate_count; i++) {
        const thew_compose_candidate *c = &task->candidate[i];
        assert(c->seconds > 0 && c->seconds <= THEW_COMPOSE_SECONDS_MAX && c->family >= 0);
        assert(c->position >= 0 && c->position < THEW_COMPOSE_POSITIONS_MAX && c->region >= 0 &&
               c->region < THEW_COMPOSE_REGIONS_MAX);
        (void)c;
    }
}

static bool clashes(const thew_compose_task *task, int i, int j)
{
    const thew_compose_candidate *a = &task->candidate[i], *b = &task->candidate[j];
    return !task->repeats_allowed && (a->prime_action == b->prime_action || a->prime_movers & b->prime_movers);
}

// b uses as its prime mover what a uses as a synergist: it belongs after a.
static bool belongs_after(const thew_compose_task *task, int a, int b)
{
    return (task->candidate[a].synergists & task->candidate[b].prime_movers) != 0;
}

static bool same_family(const thew_compose_task *task, int i, int j)
{
    return task->candidate[i].family > 0 && task->candidate[i].family == task->candidate[j].family;
}

// Put a where b is in any class without a, and it is no worse. Reflexive and transitive.
static bool can_replace(const thew_compose_plan *plan, int i, int j)
{
    const thew_compose_candidate *a = &plan->task->candidate[i], *b = &plan->task->candidate[j];
    bool covers = !(b->goals & ~a->goals);
    bool same_neighbours = a->prime_movers == b->prime_movers && a->prime_action == b->prime_action && a->position == b->position;
    bool same_family = (plan->family[i] & ~thew_compose_bit(j)) == (plan->family[j] & ~thew_compose_bit(i));
    return covers && same_neighbours && !(a->synergists & ~b->synergists) && a->seconds <= b->seconds && same_family;
}

// Of two that can replace each other the first is the better one, so that nobody is better than himself, in however many steps.
static void prepare_replacements(thew_compose_plan *plan)
{
    for (int i = 0; i < plan->task->candidate_count; i++)
        for (int j = 0; j < plan->task->candidate_count; j++) {
            bool both = plan->usable >> i & plan->usable >> j & 1 && !(plan->must >> j & 1);
            if (i == j || !both || !can_replace(plan, i, j) || (j < i && can_replace(plan, j, i))) continue;
            plan->worse[i] |= thew_compose_bit(j);
            plan->better[j] |= thew_compose_bit(i);
        }
}

static void prepare_pairs(thew_compose_plan *plan)
{
    const thew_compose_task *task = plan->task;
    for (int i = 0; i < task->candidate_count; i++) {
        plan->at[task->candidate[i].position] |= thew_compose_bit(i);
        for (int j = 0; j < task->candidate_count; j++) {
            if (i == j) continue;
            plan->family[i] |= same_family(task, i, j) ? thew_compose_bit(j) : 0;
            plan->later[i] |= belongs_after(task, i, j) ? thew_compose_bit(j) : 0;
            plan->earlier[i] |= belongs_after(task, j, i) ? thew_compose_bit(j) : 0;
            plan->clash[i] |= clashes(task, i, j) ? thew_compose_bit(j) : 0;
        }
    }
}

static int common_divisor(int a, int b)
{
    while (b) {
        int rest = a % b;
        a = b;
        b = rest;
    }
    return a;
}

static void add_worth(thew_compose_plan *plan, int first, int second, bool is_goal, int mark)
{
    int worth = plan->worth_count;
    bool served = false;
    for (thew_compose_bits left = plan->usable; left; left &= left - 1) {
        int i = thew_compose_lowest(left);
        const thew_compose_candidate *c = &plan->task->candidate[i];
        if (!((is_goal ? c->goals : c->prime_movers) >> mark & 1)) continue;
        plan->serves[i][plan->serve_count[i]++] = (uint8_t)worth;
        served = true;
    }
    if (!served) return;
    plan->value[0][worth] = first;
    plan->value[1][worth] = second;
    plan->step = common_divisor(common_divisor(plan->step, first), second);
    plan->worth_count++;
}

static bool is_usable(const thew_compose_task *task, const thew_compose_candidate *c)
{
    return c->choice != THEW_NEVER && task->positions >> c->position & 1 && !(c->kit & ~task->kit);
}

static void prepare(const thew_compose_task *task, thew_compose_plan *plan)
{
    memset(plan, 0, sizeof *plan);
    plan->task = task;
    plan->room_s = task->seconds + task->rest_s; // the last exercise is followed by no rest
    for (int i = 0; i < task->candidate_count; i++) {
        plan->cost_s[i] = task->candidate[i].seconds + task->rest_s;
        plan->cost_step_s = common_divisor(plan->cost_step_s, plan->cost_s[i]);
        plan->must |= task->candidate[i].choice == THEW_MUST ? thew_compose_bit(i) : 0;
        plan->usable |= is_usable(task, &task->candidate[i]) ? thew_compose_bit(i) : 0;
    }
    prepare_pairs(plan);
    prepare_replacements(plan);
    for (int m = 0; m < THEW_COMPOSE_MARKS_MAX; m++) {
        int goal = 100 * task->goal_weight[m], muscle = 100 * task->muscle_weight[m];
        if (goal > 0) add_worth(plan, goal, 0, true, m);
        if (muscle > 0) add_worth(plan, muscle, task->second_percent * task->muscle_weight[m], false, m);
    }
    if (plan->step == 0) plan->step = 1;
}

// ---- judging ----

int thew_compose_compare(thew_compose_score a, thew_compose_score b)
{
    if (a.coverage != b.coverage) return a.coverage > b.coverage ? -1 : 1;
    if (a.violations != b.violations) return a.violations < b.violations ? -1 : 1;
    if (a.changes != b.changes) return a.changes < b.changes ? -1 : 1;
    return a.seconds < b.seconds ? -1 : a.seconds > b.seconds;
}

static void judge_coverage(const thew_compose_task *task, thew_composed *composed)
{
    uint64_t goals = 0, once = 0, twice = 0;
    for (int p = 0; p < composed->count; p++) {
        const thew_compose_candidate *c = &task->candidate[composed->order[p]];
        goals |= c->goals;
        twice |= once & c->prime_movers;
        once |= c->prime_movers;
        composed->region_count[c->region]++;
    }
    for (int m = 0; m < THEW_COMPOSE_MARKS_MAX; m++) {
        int muscle = (once >> m & 1 ? 100 : 0) + (twice >> m & 1 ? task->second_percent : 0);
        composed->score.coverage += (goals >> m & 1 ? 100 : 0) * task->goal_weight[m] + muscle * task->muscle_weight[m];
        composed->goals_uncovered |= task->goal_weight[m] > 0 ? ~goals & thew_compose_bit(m) : 0;
        composed->muscles_uncovered |= task->muscle_weight[m] > 0 ? ~once & thew_compose_bit(m) : 0;
    }
}

static unsigned judge_order(const thew_compose_task *task, thew_composed *composed)
{
    unsigned breaks = 0;
    thew_compose_score *score = &composed->score;
    for (int p = 0; p < composed->count; p++) {
        int now = composed->order[p];
        score->seconds += task->candidate[now].seconds;
        for (int q = 0; q < p; q++) {
            score->violations += belongs_after(task, now, composed->order[q]);
            breaks |= same_family(task, composed->order[q], now) ? THEW_BREAKS_FAMILY : 0;
        }
        if (p == 0) continue;
        int before = composed->order[p - 1];
        bool change = task->candidate[before].position != task->candidate[now].position;
        score->changes += change;
        score->seconds += task->rest_s + (change ? task->change_s : 0);
        breaks |= clashes(task, before, now) ? THEW_BREAKS_REPEAT : 0;
    }
    return breaks;
}

static unsigned judge_choices(const thew_compose_task *task, const thew_composed *composed)
{
    thew_compose_bits chosen = 0;
    unsigned breaks = 0;
    for (int p = 0; p < composed->count; p++)
        chosen |= thew_compose_bit(composed->order[p]);
    assert(thew_compose_count(chosen) == composed->count); // each once
    for (int i = 0; i < task->candidate_count; i++) {
        bool in = chosen >> i & 1;
        breaks |= !in && task->candidate[i].choice == THEW_MUST ? THEW_BREAKS_MUST : 0;
        breaks |= in && task->candidate[i].choice == THEW_NEVER ? THEW_BREAKS_NEVER : 0;
        breaks |= in && !(task->positions >> task->candidate[i].position & 1) ? THEW_BREAKS_POSITION : 0;
        breaks |= in && task->candidate[i].kit & ~task->kit ? THEW_BREAKS_KIT : 0;
    }
    return breaks;
}

unsigned thew_compose_judge(const thew_compose_task *task, const int *order, int count, thew_composed *composed)
{
    check(task);
    assert(count >= 0 && count <= THEW_COMPOSE_SLOTS_MAX);
    *composed = (thew_composed){ .count = count };
    for (int p = 0; p < count; p++) {
        assert(order[p] >= 0 && order[p] < task->candidate_count);
        composed->order[p] = order[p];
    }
    judge_coverage(task, composed);
    unsigned breaks = judge_order(task, composed) | judge_choices(task, composed);
    breaks |= composed->score.seconds > task->seconds ? THEW_BREAKS_SECONDS : 0;
    breaks |= count > task->slots ? THEW_BREAKS_SLOTS : 0;
    breaks |= composed->score.changes > task->changes_max ? THEW_BREAKS_CHANGES : 0;
    return breaks;
}

// ---- composing ----

thew_status thew_compose(const thew_compose_task *task, long long effort_max, thew_compose_work *work, thew_composed *composed,
                         thew_compose_certificate *certificate)
{
    check(task);
    assert(effort_max > 0);
    prepare(task, &work->plan);
    return thew_compose_search(work, effort_max, composed, certificate);
}
