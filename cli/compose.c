// compose.c: `thew compose`: a class from goals, positions, kit and minutes; or what an order made by hand comes to.
#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "cli/command.h"
#include "studio/compose_class.h"

typedef struct {
    char **goal, **position, **implement, **fixed, **excluded, **order;
    double minutes;
    int exercises, sets, rest_s, side_rest_s, change_s, changes, muscle_weight;
    gboolean repeats, json;
    char *catalogue;
} options;

static void options_clear(options *o)
{
    char **list[] = { o->goal, o->position, o->implement, o->fixed, o->excluded, o->order };
    for (size_t i = 0; i < G_N_ELEMENTS(list); i++)
        g_strfreev(list[i]);
    g_free(o->catalogue);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(options, options_clear)

// ---- a table ----

static char *clock_words(double seconds)
{
    int s = (int)lround(seconds);
    return g_strdup_printf("%d:%02d", s / 60, s % 60);
}

static char *implement_words(const thew_implement *implement)
{
    return g_strdup_printf("%s%s", thew_implement_kind_id(implement->kind), thew_class_needs_anchor(implement) ? ", anchor" : "");
}

static char *sets_words(const thew_class_item *item)
{
    return g_strdup_printf("%d%s", item->sets, item->by_side ? " L, R" : "");
}

static const thew_class_item *item_at(const thew_class_plan *plan, guint i)
{
    return &g_array_index(plan->item, thew_class_item, i);
}

static void append_item(GString *out, const thew_class_item *item, guint number)
{
    g_autofree char *start = clock_words(item->start_s), *takes = clock_words(item->end_s - item->start_s);
    g_autofree char *implement = implement_words(item->implement), *sets = sets_words(item);
    g_string_append_printf(out, "%2u  %5s  %-30s %-9s %-14s %-6s %6s  %6.0f %%  ", number, start, item->variant->name,
                           thew_position_id(item->variant->position), implement, sets, takes, exp(item->capacity_ln) * 100);
    for (guint g = 0; g < item->serves->len; g++)
        g_string_append_printf(out, "%s%s", g > 0 ? ", " : "", ((const thew_goal *)item->serves->pdata[g])->id);
    g_string_append_c(out, '\n');
}

static void append_goals(GString *out, const thew_class_plan *plan, bool covered, const char *heading)
{
    guint shown = 0;
    for (guint g = 0; g < plan->goal->len; g++) {
        const thew_class_goal *goal = &g_array_index(plan->goal, thew_class_goal, g);
        if ((goal->exercises > 0) != covered) continue;
        g_string_append_printf(out, "%s%s", shown++ > 0 ? ", " : heading, goal->goal->name);
        if (goal->weight > 1) g_string_append_printf(out, " (weight %d)", goal->weight);
    }
    if (shown > 0) g_string_append(out, ".\n");
}

static void append_muscles(GString *out, const thew_class_plan *plan)
{
    guint shown = 0;
    for (guint m = 0; m < plan->muscle->len; m++) {
        const thew_class_muscle *muscle = &g_array_index(plan->muscle, thew_class_muscle, m);
        if (!muscle->within_reach || muscle->as_prime_mover > 0) continue;
        g_string_append_printf(out, "%s%s%s", shown++ > 0 ? ", " : "Not trained as a prime mover: ", muscle->muscle->name,
                               muscle->as_synergist > 0 ? " (as a synergist)" : "");
    }
    if (shown > 0) g_string_append(out, ".\n");
}

static void append_proof(GString *out, const thew_class_plan *plan, bool composed)
{
    if (composed && plan->optimal)
        g_string_append(out, "Nothing better was left out: every other class was ruled out.\n");
    else if (composed && thew_class_gap(plan) > 0)
        g_string_append_printf(out, "The search ended early: another class might cover up to %.1f %% more.\n",
                               thew_class_gap(plan) * 100);
    else if (composed)
        g_string_append(out, "The search ended early: no class covers more, another order might be better.\n");
    if (!plan->has_best_order) return;
    const thew_compose_score *own = &plan->score, *best = &plan->best_order;
    if (thew_compose_compare(*best, *own) >= 0) {
        g_string_append(out, "No other order of these exercises is better.\n");
        return;
    }
    g_string_append_printf(
        out,
        "A better order of the same exercises has %d change%s of position instead of %d, tires a synergist beforehand "
        "%d time%s instead of %d, and takes %d s instead of %d:",
        best->changes, best->changes == 1 ? "" : "s", own->changes, best->violations, best->violations == 1 ? "" : "s",
        own->violations, best->seconds, own->seconds);
    for (guint i = 0; i < plan->best_order_item->len; i++)
        g_string_append_printf(out, "%s %s", i > 0 ? "," : "",
                               item_at(plan, g_array_index(plan->best_order_item, guint, i))->variant->id);
    g_string_append(out, ".\n");
}

static void append_table(GString *out, const thew_class_plan *plan, const thew_class_wishes *wishes, bool composed)
{
    g_string_append(out, " #  START  EXERCISE                       POSITION  WITH           SETS    TAKES  CAPACITY  SERVES\n");
    for (guint i = 0; i < plan->item->len; i++)
        append_item(out, item_at(plan, i), i + 1);
    g_autofree char *takes = clock_words(plan->seconds);
    g_string_append_printf(out, "\nTakes %s of %g minutes; %d change%s of position.\n", takes, wishes->minutes, plan->score.changes,
                           plan->score.changes == 1 ? "" : "s");
    append_goals(out, plan, true, "Covered: ");
    append_goals(out, plan, false, "Uncovered: ");
    append_muscles(out, plan);
    for (guint f = 0; f < plan->finding->len; f++) {
        const thew_class_finding *finding = &g_array_index(plan->finding, thew_class_finding, f);
        g_autofree char *words = thew_class_finding_words(plan, finding);
        g_string_append_printf(out, "%s%s\n", finding->kind < THEW_CLASS_BREAKS_COUNT ? "Against the wishes: " : "Note: ", words);
    }
    append_proof(out, plan, composed);
}

// ---- for programs ----

static const char *const finding_ids[] = { "too_long", "too_many", "changes", "missing", "excluded",     "twice",
                                           "position", "kit",      "repeat",  "order",   "out_of_reach", "narrowed" };
G_STATIC_ASSERT(G_N_ELEMENTS(finding_ids) == THEW_CLASS_NARROWED + 1);

static json_t *score_json(const thew_compose_score *score)
{
    return json_pack("{s:f,s:i,s:i,s:i}", "coverage", score->coverage / 100.0, "violations", score->violations, "position_changes",
                     score->changes, "seconds", score->seconds);
}

static json_t *sets_json(const thew_class_plan *plan, guint i)
{
    static const char *const side[] = { [THEW_BOTH] = "both", [THEW_LEFT] = "left", [THEW_RIGHT] = "right" };
    json_t *sets = json_array();
    for (guint s = 0; s < plan->set->len; s++) {
        const thew_class_set *set = &g_array_index(plan->set, thew_class_set, s);
        if (set->item != i) continue;
        json_array_append_new(sets, json_pack("{s:i,s:s,s:f,s:f,s:f,s:f}", "number", set->number, "side", side[set->side],
                                              "start_s", set->start_s, "seconds", set->seconds, "rest_s", set->rest_s, "capacity",
                                              exp(set->capacity_ln)));
    }
    return sets;
}

static json_t *item_json(const thew_class_plan *plan, guint i)
{
    const thew_class_item *item = item_at(plan, i);
    json_t *serves = json_array();
    for (guint g = 0; g < item->serves->len; g++)
        json_array_append_new(serves, json_string(((const thew_goal *)item->serves->pdata[g])->id));
    return json_pack("{s:s,s:s,s:s,s:s,s:b,s:b,s:b,s:b,s:f,s:f,s:f,s:f,s:o,s:o}", "exercise", item->exercise->id, "variant",
                     item->variant->id, "position", thew_position_id(item->variant->position), "implement", item->implement->id,
                     "anchor", thew_class_needs_anchor(item->implement), "fixed", item->is_fixed, "by_side", item->by_side,
                     "repeats_prime_mover", item->repeats_prime_mover, "start_s", item->start_s, "end_s", item->end_s, "pause_s",
                     item->pause_s, "capacity", exp(item->capacity_ln), "serves", serves, "sets", sets_json(plan, i));
}

static json_t *findings_json(const thew_class_plan *plan)
{
    json_t *findings = json_array();
    for (guint f = 0; f < plan->finding->len; f++) {
        const thew_class_finding *finding = &g_array_index(plan->finding, thew_class_finding, f);
        g_autofree char *words = thew_class_finding_words(plan, finding);
        json_array_append_new(findings, json_pack("{s:s,s:b,s:s}", "kind", finding_ids[finding->kind], "breaks",
                                                  finding->kind < THEW_CLASS_BREAKS_COUNT, "words", words));
    }
    return findings;
}

static json_t *plan_json(const thew_class_plan *plan, bool composed)
{
    json_t *exercises = json_array(), *goals = json_array(), *muscles = json_array();
    for (guint i = 0; i < plan->item->len; i++)
        json_array_append_new(exercises, item_json(plan, i));
    for (guint g = 0; g < plan->goal->len; g++) {
        const thew_class_goal *goal = &g_array_index(plan->goal, thew_class_goal, g);
        json_array_append_new(
            goals, json_pack("{s:s,s:i,s:i}", "goal", goal->goal->id, "weight", goal->weight, "exercises", goal->exercises));
    }
    for (guint m = 0; m < plan->muscle->len; m++) {
        const thew_class_muscle *muscle = &g_array_index(plan->muscle, thew_class_muscle, m);
        json_array_append_new(muscles,
                              json_pack("{s:s,s:i,s:i,s:b}", "muscle", muscle->muscle->id, "as_prime_mover", muscle->as_prime_mover,
                                        "as_synergist", muscle->as_synergist, "within_reach", muscle->within_reach));
    }
    json_t *all =
        json_pack("{s:o,s:o,s:o,s:o,s:f,s:o,s:b}", "exercises", exercises, "goals", goals, "muscles", muscles, "findings",
                  findings_json(plan), "seconds", plan->seconds, "score", score_json(&plan->score), "breaks", plan->breaks);
    if (composed) {
        json_object_set_new(all, "optimal", json_boolean(plan->optimal));
        json_object_set_new(all, "bound", score_json(&plan->bound));
    } else if (plan->has_best_order) {
        json_t *order = json_array();
        for (guint i = 0; i < plan->best_order_item->len; i++)
            json_array_append_new(order, json_string(item_at(plan, g_array_index(plan->best_order_item, guint, i))->variant->id));
        json_object_set_new(all, "best_order", json_pack("{s:o,s:o}", "score", score_json(&plan->best_order), "variants", order));
    }
    return all;
}

// ---- running ----

// "climb-stairs:3": the weight is what follows the last colon, if that is a number.
static bool read_goals(char **goal, GArray *wishes)
{
    for (guint g = 0; goal && goal[g]; g++) {
        char *colon = strrchr(goal[g], ':'), *end = NULL;
        thew_class_goal_wish wish = { goal[g], 1 };
        if (colon && colon[1] >= '0' && colon[1] <= '9') {
            wish.weight = (int)MIN(strtoul(colon + 1, &end, 10), 1000000);
            if (*end) return false;
            *colon = '\0';
        }
        g_array_append_val(wishes, wish);
    }
    return true;
}

static int refused(const thew_refusal *refusal, thew_verdict verdict)
{
    for (guint f = 0; f < refusal->fault->len; f++)
        g_printerr("thew compose: %s\n", ((const thew_fault *)refusal->fault->pdata[f])->sentence);
    if (refusal->sentence) g_printerr("thew compose: %s\n", refusal->sentence);
    return verdict == THEW_INVALID ? THEW_EXIT_USAGE : THEW_EXIT_REFUSED;
}

static thew_verdict make(const thew_catalogue *catalogue, const options *o, const thew_class_wishes *wishes, thew_class_plan **plan,
                         thew_refusal *refusal)
{
    if (!o->order) return thew_class_compose(catalogue, wishes, plan, refusal);
    g_autoptr(GArray) choices = g_array_new(FALSE, FALSE, sizeof(thew_class_choice));
    for (guint i = 0; o->order[i]; i++) {
        thew_class_choice choice = { .name = o->order[i] };
        g_array_append_val(choices, choice);
    }
    return thew_class_judge(catalogue, wishes, (const thew_class_choice *)choices->data, choices->len, plan, refusal);
}

static int run(const options *o, const thew_class_wishes *wishes)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(thew_catalogue) catalogue = thew_catalogue_load(o->catalogue, &error);
    if (!catalogue) {
        g_printerr("%s\n", error->message);
        return THEW_EXIT_REFUSED;
    }
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    g_autoptr(thew_class_plan) plan = NULL;
    thew_verdict verdict = make(catalogue, o, wishes, &plan, refusal);
    if (verdict != THEW_DONE) return refused(refusal, verdict);
    g_autoptr(GString) text = g_string_new(NULL);
    if (o->json) {
        json_t *json = plan_json(plan, !o->order);
        char *dump = json_dumps(json, JSON_INDENT(1) | JSON_REAL_PRECISION(12));
        g_string_append_printf(text, "%s\n", dump);
        free(dump);
        json_decref(json);
    } else {
        append_table(text, plan, wishes, !o->order);
    }
    return thew_output("-", text->str, text->len);
}

static void take_wishes(const options *o, const GArray *goals, thew_class_wishes *wishes)
{
    wishes->goal = (const thew_class_goal_wish *)goals->data;
    wishes->goal_count = goals->len;
    wishes->minutes = o->minutes;
    wishes->position = (const char *const *)o->position;
    wishes->kit = (const char *const *)o->implement;
    wishes->fixed = (const char *const *)o->fixed;
    wishes->excluded = (const char *const *)o->excluded;
    wishes->exercises_max = o->exercises;
    wishes->sets = o->sets;
    wishes->rest_s = o->rest_s;
    wishes->side_rest_s = o->side_rest_s;
    wishes->position_change_s = o->change_s;
    wishes->position_changes_max = o->changes;
    wishes->muscle_weight = o->muscle_weight;
    wishes->repeats_allowed = o->repeats;
}

int thew_command_compose(int argc, char **argv)
{
    thew_class_wishes wishes = thew_class_wishes_default();
    g_auto(options) o = { .minutes = wishes.minutes,
                          .exercises = wishes.exercises_max,
                          .sets = wishes.sets,
                          .rest_s = wishes.rest_s,
                          .side_rest_s = wishes.side_rest_s,
                          .change_s = wishes.position_change_s,
                          .changes = wishes.position_changes_max,
                          .muscle_weight = wishes.muscle_weight };
    const GOptionEntry entries[] = {
        { "goal", 0, 0, G_OPTION_ARG_STRING_ARRAY, &o.goal,
          "a goal that counts, with its weight from 1 to 10; repeat it (default: all alike)", "GOAL[:WEIGHT]" },
        { "minutes", 0, 0, G_OPTION_ARG_DOUBLE, &o.minutes, "how long the class may take (default: 60)", "N" },
        { "position", 0, 0, G_OPTION_ARG_STRING_ARRAY, &o.position, "seated, standing or lying; repeat it (default: any)",
          "POSITION" },
        { "implement", 0, 0, G_OPTION_ARG_STRING_ARRAY, &o.implement,
          "band, loop, dumbbell, cuff, body; and anchor: something firm to fix a band to; repeat it (default: all)", "KIND" },
        { "with", 0, 0, G_OPTION_ARG_STRING_ARRAY, &o.fixed, "an exercise or variant that must be in; repeat it", "EXERCISE" },
        { "without", 0, 0, G_OPTION_ARG_STRING_ARRAY, &o.excluded, "one that must not; repeat it", "EXERCISE" },
        { "exercises", 0, 0, G_OPTION_ARG_INT, &o.exercises, "at most so many exercises, up to 12 (default: 10)", "N" },
        { "sets", 0, 0, G_OPTION_ARG_INT, &o.sets, "sets of each exercise (default: 1)", "N" },
        { "rest", 0, 0, G_OPTION_ARG_INT, &o.rest_s, "seconds of rest between sets and exercises (default: 120)", "S" },
        { "side-rest", 0, 0, G_OPTION_ARG_INT, &o.side_rest_s, "seconds between left and right (default: 60)", "S" },
        { "change-time", 0, 0, G_OPTION_ARG_INT, &o.change_s, "seconds more where the position changes (default: 60)", "S" },
        { "changes", 0, 0, G_OPTION_ARG_INT, &o.changes, "at most so many changes of position (default: 2)", "N" },
        { "muscles", 0, 0, G_OPTION_ARG_INT, &o.muscle_weight,
          "weight of each muscle; a goal of weight 1 weighs ten times 1 (default: 1)", "N" },
        { "repeats", 0, 0, G_OPTION_ARG_NONE, &o.repeats, "allow two in a row on the same prime mover", NULL },
        { "order", 0, 0, G_OPTION_ARG_STRING_ARRAY, &o.order,
          "compose nothing: say what these exercises in this order come to; repeat it", "EXERCISE" },
        { "json", 0, 0, G_OPTION_ARG_NONE, &o.json, "for programs: one JSON document", NULL },
        { "catalogue", 0, 0, G_OPTION_ARG_FILENAME, &o.catalogue, "a folder of further exercises", "FOLDER" },
        { 0 },
    };
    int status = THEW_EXIT_OK;
    if (!thew_options_parse(
            "compose", NULL,
            "The best class there is for some goals, within the minutes, positions and kit; in order, with its times.",
            "CAPACITY is what earlier sets of the class leave of it, predicted; 100 % is fresh.\n"
            "Exercises, variants and goals go by identifier or name; thew exercises lists them.\n",
            entries, &argc, &argv, &status))
        return status;
    if (argc != 1) return thew_usage_error("compose", "takes no arguments but options, got \"%s\"", argv[1]);
    g_autoptr(GArray) goals = g_array_new(FALSE, FALSE, sizeof(thew_class_goal_wish));
    if (!read_goals(o.goal, goals))
        return thew_usage_error("compose", "--goal must be GOAL or GOAL:WEIGHT, the weight a whole number");
    take_wishes(&o, goals, &wishes);
    return run(&o, &wishes);
}
