// filter_print.c: what evidence, filter and smoother say of cases that other programs compute too. The first argument says which:
//   moments           low, high, mean, variance, ln chance of a standard normal between low and high      (evidence_scipy.py)
//   nile FILE         year, flow, filtered mean and SD, smoothed mean and SD, ln density so far           (nile.R)
//   censored          diary, "set", low, high, heat                  one line a set                       (censored.R)
//                     diary, "filter", noise SD, prior SD of ln k and heat effect (their means are 0),
//                                      mean and SD of ln k, mean and SD of the heat effect                 one line a diary
#include "tests/engine/people.h"

#include "engine/capacity_parts.h"
#include "engine/smooth.h"

static int refused(const char *why)
{
    fprintf(stderr, "filter_print: %s\n", why);
    return 1;
}

// ---- moments ----

// With noise of next to nothing v is u, and a standard normal belief about u is cut as it is.
static int print_moments(void)
{
    static const double from[] = { -45, -37.5, -20, -8, -4, -1.5, -.3, 0, .2, 1, 2.5, 5, 9, 15, 26, 38, 60 };
    static const double width[] = { 1e-9, 1e-7, 9e-6, 1.1e-5, 1e-4, 1e-3, .02, .3, 1, 3, 10, 80, INFINITY };
    const thew_noise none = { 1e-9, 0 };
    EACH(i, from) EACH(k, width)
    {
        thew_evidence e = { .low = from[i], .high = from[i] + width[k] };
        thew_moments m = thew_evidence_moments(&e, &none, 0, 0, 1, true);
        printf("%.17g,%.17g,%.17g,%.17g,%.17g\n", e.low, e.high, m.mean, m.variance, m.ln_evidence);
        thew_evidence mirrored = { .low = -e.high, .high = -e.low };
        m = thew_evidence_moments(&mirrored, &none, 0, 0, 1, true);
        printf("%.17g,%.17g,%.17g,%.17g,%.17g\n", mirrored.low, mirrored.high, m.mean, m.variance, m.ln_evidence);
    }
    return 0;
}

// ---- the Nile ----

#define YEARS 100
#define SCALE 1e-3 // of flow to ln k

static int print_nile(const char *path)
{
    thew_capacity_prior prior = prior_at_rest(sqrt(15099) * SCALE);
    prior.walk_sd_per_root_day = sqrt(1469.1) * SCALE;
    thew_profile p = alone(prior, hold_of(THEW_JOINT_KNEE), 0, 100); // a prior that says nothing: SD 1e5 in the river's units
    FILE *file = fopen(path, "r");
    char line[256];
    if (!file || !fgets(line, sizeof line, file)) return refused("no file");
    static thew_set set[YEARS];
    static thew_smooth_at at[YEARS];
    static thew_day year[YEARS];
    double flow[YEARS];
    int count = 0;
    for (; count < YEARS && fgets(line, sizeof line, file); count++) {
        char *comma = strchr(line, ',');
        if (!comma) return refused("no comma");
        flow[count] = strtod(comma + 1, NULL);
        set[count] = set_reading(&p, (thew_day)strtol(line, NULL, 10), 0, flow[count] * SCALE, 75);
    }
    fclose(file);
    thew_diary diary = { .set = set, .set_count = count };
    size_t bytes = thew_smooth_bytes(count);
    void *memory = malloc(bytes);
    if (!memory || thew_smooth(&p, &diary, memory, bytes, year, at) != THEW_OK) return refused("not smoothed");
    free(memory);
    static thew_capacity c;
    if (thew_capacity_start(&p, &c) != THEW_OK) return refused("not started");
    for (int t = 0; t < count; t++) {
        if (thew_capacity_record(&p, &c, &set[t]) != THEW_OK) return refused("not recorded");
        printf("%d,%.17g,%.17g,%.17g,%.17g,%.17g,%.17g\n", year[t], flow[t], at[t].filtered.mean / SCALE, at[t].filtered.sd / SCALE,
               at[t].smoothed.mean / SCALE, at[t].smoothed.sd / SCALE, c.ln_evidence + (t + 1) * log(SCALE));
    }
    return 0;
}

// ---- censored diaries ----
// Strength at rest, one set a day, heat on every other day if the diary has any: a censored regression. Where the prior says
// nothing the first two sets fail inside the window: a set completed by somebody of whom nothing at all is known would leave a
// belief that is nothing like a normal, and no person is such.

#define NOISE_SD .2
#define CLOSE_S 90

typedef struct {
    const char *name;
    int sets;
    bool hold;
    double prior_sd, heat_sd; // heat_sd 0: no heat
    double load; // ln of the capacity that tires at the close, over the person's own: the lighter the more are completed
} censored;

static int print_censored_diary(const censored *d, uint64_t seed)
{
    double strength = .1, per_degree = d->heat_sd > 0 ? -.03 : 0;
    thew_task task = hold_of(THEW_JOINT_KNEE);
    if (!d->hold) task.tempo = thew_tempo_default(), task.kind = THEW_REPETITIONS;
    thew_profile p = alone(prior_at_rest(NOISE_SD), task, 0, d->prior_sd);
    p.prior.heat_sd_per_c = d->heat_sd;
    thew_capacity c = started(&p);
    for (int day = 0; day < d->sets; day++) {
        double heat = d->heat_sd > 0 && day % 2 ? random_between(&seed, 2, 10) : 0;
        double v = strength + per_degree * heat + NOISE_SD * random_normal(&seed);
        thew_rung rung = rung_reading(&task, strength + d->load + .2 * random_normal(&seed), CLOSE_S, 1);
        if (d->prior_sd > 10 && day < 2) rung = rung_reading(&task, v, 76, 1);
        thew_set set = set_shown(&p, day, 0, rung, v, CLOSE_S);
        thew_evidence e = thew_evidence_of(&task, &rung, set.ended, set.seconds, -1);
        printf("%s,set,%.17g,%.17g,%.17g\n", d->name, e.low, e.high, heat);
        thew_conditions now = { .has_heat = true, .heat_index_c = 24 + heat };
        if (thew_capacity_go_to(&p, &c, day, &now) != THEW_OK) return refused("not gone to");
        if (thew_capacity_record(&p, &c, &set) != THEW_OK) return refused("not recorded");
    }
    thew_estimate k = thew_capacity_of(&p, &c, 0);
    printf("%s,filter,%.17g,%.17g,%.17g,%.17g,%.17g,%.17g,%.17g\n", d->name, NOISE_SD, d->prior_sd, d->heat_sd, k.mean, k.sd,
           c.mean[THEW_AT_HEAT], sqrt(thew_cov(&c, THEW_AT_HEAT, THEW_AT_HEAT)));
    return 0;
}

static int print_censored(void)
{
    static const censored diary[] = {
        { "holds: hardly any completed", 60, true, 100, 0, .45 },
        { "holds: half completed", 60, true, 100, 0, 0 },
        { "holds: most completed", 60, true, 100, 0, -.25 },
        { "holds: a long diary", 400, true, 100, 0, 0 },
        { "repetitions: intervals", 60, false, 100, 0, .2 },
        { "repetitions: half completed", 60, false, 100, 0, 0 },
        { "repetitions: a long diary", 400, false, 100, 0, 0 },
        { "holds in the heat", 120, true, 100, .3, -.1 },
        { "repetitions in the heat", 120, false, 100, .3, -.1 },
        { "a prior: holds half completed", 60, true, .3, 0, 0 },
        { "a prior: holds most completed", 60, true, .3, 0, -.25 },
        { "a prior: holds in the heat", 120, true, .3, .02, 0 },
        { "a prior: repetitions in the heat", 120, false, .3, .02, 0 },
        { "a prior: hardly anything but completed", 30, true, .3, 0, -.4 },
    };
    EACH(i, diary) if (print_censored_diary(&diary[i], i + 1)) return 1;
    return 0;
}

int main(int count, char **argument)
{
    const char *what = count > 1 ? argument[1] : "";
    if (!strcmp(what, "moments")) return print_moments();
    if (!strcmp(what, "nile") && count > 2) return print_nile(argument[2]);
    if (!strcmp(what, "censored")) return print_censored();
    return refused("moments, nile FILE or censored");
}
