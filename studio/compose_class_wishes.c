// compose_class_wishes.c: the wishes for a class, every name looked up and every number looked at. See compose_class.h.
#include <math.h>
#include <string.h>

#include "exchange/nearest.h"
#include "studio/compose_class_parts.h"

thew_class_wishes thew_class_wishes_default(void)
{
    return (thew_class_wishes){
        .minutes = 60,
        .exercises_max = 10, // 5 to 10 in programmes for people with MS (Kim 2019)
        .sets = 1,           // 1 to 3 there
        .rest_s = 120,       // within the 60 to 240 s of the safety rules
        .side_rest_s = 60,
        .position_change_s = 60,   // to stand up from the chair or lie down without hurry: a judgement
        .position_changes_max = 2, // each costs strength and is a chance to fall: a judgement
        .window_from_s = 60,
        .window_to_s = 90,
        .muscle_weight = 1,
    };
}

// ---- names ----

static bool is_same_name(const char *a, const char *b)
{
    g_autofree char *folded_a = g_utf8_casefold(a, -1), *folded_b = g_utf8_casefold(b, -1);
    return strcmp(folded_a, folded_b) == 0;
}

static bool is_named(const char *name, const char *id, const char *called)
{
    return is_same_name(name, id) || is_same_name(name, called);
}

static void add_name(GPtrArray *known, const char *name)
{
    g_ptr_array_add(known, (gpointer)name);
}

// What was probably meant: one of `known`, which is used up.
static const char *nearest_of(const char *name, GPtrArray *known)
{
    g_ptr_array_add(known, NULL);
    return thew_nearest(name, (const char *const *)known->pdata);
}

static const char *nearest_exercise(const thew_catalogue *catalogue, const char *name)
{
    g_autoptr(GPtrArray) known = g_ptr_array_new();
    size_t count;
    const thew_exercise *const *all = thew_catalogue_exercises(catalogue, &count);
    for (size_t e = 0; e < count; e++) {
        add_name(known, all[e]->id);
        add_name(known, all[e]->name);
        for (size_t v = 0; v < all[e]->variant_count; v++) {
            add_name(known, all[e]->variant[v]->id);
            add_name(known, all[e]->variant[v]->name);
        }
    }
    return nearest_of(name, known);
}

bool thew_class_find(const thew_catalogue *catalogue, const char *name, thew_class_named *named, const char **hint)
{
    size_t count;
    const thew_exercise *const *all = thew_catalogue_exercises(catalogue, &count);
    for (size_t e = 0; e < count; e++)
        if (is_named(name, all[e]->id, all[e]->name)) {
            *named = (thew_class_named){ all[e], NULL };
            return true;
        }
    for (size_t e = 0; e < count; e++)
        for (size_t v = 0; v < all[e]->variant_count; v++)
            if (is_named(name, all[e]->variant[v]->id, all[e]->variant[v]->name)) {
                *named = (thew_class_named){ all[e], all[e]->variant[v] };
                return true;
            }
    if (hint) *hint = nearest_exercise(catalogue, name);
    return false;
}

static const thew_goal *find_goal(const thew_catalogue *catalogue, const char *name, const char **hint)
{
    g_autoptr(GPtrArray) known = g_ptr_array_new();
    size_t count;
    const thew_goal *const *all = thew_catalogue_goals(catalogue, &count);
    for (size_t g = 0; g < count; g++) {
        if (is_named(name, all[g]->id, all[g]->name)) return all[g];
        add_name(known, all[g]->id);
        add_name(known, all[g]->name);
    }
    *hint = nearest_of(name, known);
    return NULL;
}

// ---- what may be wrong ----

static void fault_unknown(thew_refusal *refusal, const char *pointer, const char *kind, const char *name, const char *hint)
{
    thew_refusal_add(refusal, pointer, "there is no %s \"%s\"%s%s%s", kind, name, hint ? "; perhaps \"" : "", hint ? hint : "",
                     hint ? "\" is meant" : "");
}

static void look_at_range(thew_refusal *refusal, const char *pointer, const char *what, int low, int value, int high)
{
    if (value < low || value > high) thew_refusal_add(refusal, pointer, "%s must be from %d to %d, not %d", what, low, high, value);
}

static void ask_numbers(thew_class_asked *asked, thew_refusal *refusal)
{
    const thew_class_wishes *w = asked->wishes;
    if (!(w->minutes > 0 && w->minutes <= THEW_CLASS_MINUTES_MAX)) // not a number is neither
        thew_refusal_add(refusal, "/minutes", "minutes must be above 0 and at most %g, not %g", THEW_CLASS_MINUTES_MAX, w->minutes);
    else
        asked->seconds = (int)floor(w->minutes * 60 + 1e-6);
    look_at_range(refusal, "/exercises_max", "the number of exercises", 1, w->exercises_max, THEW_COMPOSE_SLOTS_MAX);
    look_at_range(refusal, "/sets", "the sets of an exercise", 1, w->sets, THEW_CLASS_SETS_MAX);
    look_at_range(refusal, "/rest_s", "the seconds of rest", 0, w->rest_s, 600);
    look_at_range(refusal, "/side_rest_s", "the seconds between left and right", 0, w->side_rest_s, 600);
    look_at_range(refusal, "/position_change_s", "the seconds to change position", 0, w->position_change_s, 600);
    look_at_range(refusal, "/position_changes_max", "the changes of position", 0, w->position_changes_max, THEW_COMPOSE_SLOTS_MAX);
    look_at_range(refusal, "/muscle_weight", "the weight of a muscle", 0, w->muscle_weight, THEW_CLASS_WEIGHT_MAX);
    if (w->window_from_s < 10 || w->window_to_s > 600 || w->window_from_s > w->window_to_s)
        thew_refusal_add(refusal, "/window", "the window must open at 10 seconds or later and close by 600, not %d to %d",
                         w->window_from_s, w->window_to_s);
}

static bool has_goal(const thew_class_asked *asked, const thew_goal *goal)
{
    for (int g = 0; g < asked->goal_count; g++)
        if (asked->goal[g] == goal) return true;
    return false;
}

static void add_goal(thew_class_asked *asked, const thew_goal *goal, int weight)
{
    asked->goal[asked->goal_count] = goal;
    asked->goal_weight[asked->goal_count++] = weight;
}

static void ask_goal(thew_class_asked *asked, guint index, thew_refusal *refusal)
{
    const thew_class_goal_wish *wish = &asked->wishes->goal[index];
    const char *hint = NULL;
    const thew_goal *goal = find_goal(asked->catalogue, wish->goal, &hint);
    g_autofree char *at = g_strdup_printf("/goals/%u/goal", index);
    if (!goal)
        fault_unknown(refusal, at, "goal", wish->goal, hint);
    else if (has_goal(asked, goal))
        thew_refusal_add(refusal, at, "%s is named twice; once, with its weight, is enough", goal->name);
    if (wish->weight < 1 || wish->weight > THEW_CLASS_WEIGHT_MAX)
        thew_refusal_at(refusal, "goals", index, "weight", "a goal's weight must be from 1 to %d, not %d", THEW_CLASS_WEIGHT_MAX,
                        wish->weight);
    else if (goal && !has_goal(asked, goal))
        add_goal(asked, goal, wish->weight);
}

static void ask_goals(thew_class_asked *asked, thew_refusal *refusal)
{
    size_t count;
    const thew_goal *const *all = thew_catalogue_goals(asked->catalogue, &count);
    size_t counting = asked->wishes->goal_count > 0 ? asked->wishes->goal_count : count;
    if (counting > THEW_COMPOSE_MARKS_MAX) {
        thew_refusal_add(refusal, "/goals", "at most %d goals can count at once, not %zu: name those that matter",
                         THEW_COMPOSE_MARKS_MAX, counting);
        return;
    }
    for (guint g = 0; g < asked->wishes->goal_count; g++)
        ask_goal(asked, g, refusal);
    for (size_t g = 0; g < count && asked->wishes->goal_count == 0; g++)
        add_goal(asked, all[g], 1);
}

static unsigned position_bit(const char *name)
{
    for (int p = 0; p < THEW_POSITION_COUNT; p++)
        if (is_same_name(name, thew_position_id((thew_position)p))) return 1u << p;
    return 0;
}

static unsigned kit_bit(const char *name)
{
    for (int k = 0; k < THEW_IMPLEMENT_COUNT; k++)
        if (is_same_name(name, thew_implement_kind_id((thew_implement_kind)k))) return 1u << k;
    return is_same_name(name, "anchor") ? THEW_CLASS_KIT_ANCHOR : 0;
}

static void ask_words(const char *const *word, const char *array, unsigned (*bit)(const char *), const char *known, unsigned *bits,
                      thew_refusal *refusal)
{
    for (guint i = 0; word && word[i]; i++) {
        unsigned found = bit(word[i]);
        g_autofree char *at = g_strdup_printf("/%s/%u", array, i);
        if (!found) thew_refusal_add(refusal, at, "\"%s\" is none of %s", word[i], known);
        *bits |= found;
    }
}

static void ask_position_and_kit(thew_class_asked *asked, thew_refusal *refusal)
{
    const thew_class_wishes *w = asked->wishes;
    asked->positions = w->position ? 0 : THEW_CLASS_POSITIONS_ALL;
    asked->kit = w->kit ? THEW_CLASS_KIT_BODY : THEW_CLASS_KIT_ALL;
    ask_words(w->position, "positions", position_bit, "seated, standing, lying", &asked->positions, refusal);
    ask_words(w->kit, "kit", kit_bit, "body, band, loop, dumbbell, cuff, anchor", &asked->kit, refusal);
    if (w->position && !w->position[0])
        thew_refusal_add(refusal, "/positions", "at least one of seated, standing, lying is needed");
}

static void ask_exercises(const thew_class_asked *asked, const char *const *name, const char *array, GArray *found,
                          thew_refusal *refusal)
{
    for (guint i = 0; name && name[i]; i++) {
        thew_class_named named;
        const char *hint = NULL;
        g_autofree char *at = g_strdup_printf("/%s/%u", array, i);
        if (thew_class_find(asked->catalogue, name[i], &named, &hint))
            g_array_append_val(found, named);
        else
            fault_unknown(refusal, at, "exercise", name[i], hint);
    }
}

void thew_class_ask(const thew_catalogue *catalogue, const thew_class_wishes *wishes, thew_class_asked *asked,
                    thew_refusal *refusal)
{
    *asked = (thew_class_asked){ .catalogue = catalogue, .wishes = wishes };
    asked->fixed = g_array_new(FALSE, FALSE, sizeof(thew_class_named));
    asked->excluded = g_array_new(FALSE, FALSE, sizeof(thew_class_named));
    size_t count;
    asked->muscle = thew_catalogue_muscles(catalogue, &count);
    if (count > THEW_COMPOSE_MARKS_MAX)
        thew_refusal_add(refusal, "", "the catalogue has %zu muscles; at most %d can count at once", count, THEW_COMPOSE_MARKS_MAX);
    asked->muscle_count = (int)MIN(count, THEW_COMPOSE_MARKS_MAX);
    ask_numbers(asked, refusal);
    ask_goals(asked, refusal);
    ask_position_and_kit(asked, refusal);
    ask_exercises(asked, wishes->fixed, "fixed", asked->fixed, refusal);
    ask_exercises(asked, wishes->excluded, "excluded", asked->excluded, refusal);
}

void thew_class_asked_clear(thew_class_asked *asked)
{
    g_clear_pointer(&asked->fixed, g_array_unref);
    g_clear_pointer(&asked->excluded, g_array_unref);
}
