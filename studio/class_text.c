// class_text.c: see class_text.h.
//
//   {"form":1,"wishes":{"goals":[["balance",2]],"minutes":45,"positions":["seated"],"kinds":["band"],"sets":1,"rest_s":90,
//    "fixed":[],"excluded":[]},"slots":[["seated-row","seated-row",1,90]]}
//   {"form":1,"sessions_a_week":2,"weekdays":[2,5],"class":null,"sets":1,"easier_every_weeks":4}
#include "studio/class_text.h"

#include <jansson.h>
#include <string.h>

#define FORM 1 // of these texts; another one comes with another number

// --- writing ---------------------------------------------------------------------------------------------------------------------

static json_t *words_json(const char *const *word)
{
    json_t *array = json_array();
    for (guint i = 0; word && word[i]; i++)
        json_array_append_new(array, json_string(word[i]));
    return array;
}

static json_t *bits_json(unsigned bits, int count, const char *(*word)(int))
{
    json_t *array = json_array();
    for (int i = 0; i < count; i++)
        if (bits >> i & 1u) json_array_append_new(array, json_string(word(i)));
    return array;
}

static const char *position_word(int i)
{
    return thew_position_id((thew_position)i);
}
static const char *kind_word(int i)
{
    return thew_implement_kind_id((thew_implement_kind)i);
}

static json_t *wishes_json(const thew_kept_wishes *wishes)
{
    json_t *goals = json_array();
    for (guint i = 0; i < wishes->goal_count; i++)
        json_array_append_new(goals, json_pack("[s,i]", wishes->goal[i].goal, wishes->goal[i].weight));
    return json_pack("{s:o,s:f,s:o,s:o,s:i,s:i,s:o,s:o}", "goals", goals, "minutes", wishes->minutes, "positions",
                     bits_json(wishes->positions, THEW_POSITION_COUNT, position_word), "kinds",
                     bits_json(wishes->kinds, THEW_IMPLEMENT_COUNT, kind_word), "sets", wishes->sets, "rest_s", wishes->rest_s,
                     "fixed", words_json(wishes->fixed), "excluded", words_json(wishes->excluded));
}

static char *dump(json_t *root)
{
    char *text = json_dumps(root, JSON_COMPACT);
    char *owned = g_strdup(text);
    free(text);
    json_decref(root);
    g_assert(owned);
    return owned;
}

char *thew_class_text(const thew_kept_plan *plan)
{
    json_t *slots = json_array();
    for (guint i = 0; i < plan->slot_count; i++)
        json_array_append_new(
            slots, json_pack("[s,s,i,i]", plan->slot[i].exercise, plan->slot[i].variant, plan->slot[i].sets, plan->slot[i].rest_s));
    return dump(json_pack("{s:i,s:o,s:o}", "form", FORM, "wishes", wishes_json(&plan->wishes), "slots", slots));
}

char *thew_block_text(const thew_block_plan *plan)
{
    json_t *weekdays = json_array();
    for (int i = 0; i < plan->weekday_count; i++)
        json_array_append_new(weekdays, json_integer(plan->weekday[i]));
    return dump(json_pack("{s:i,s:i,s:o,s:s?,s:i,s:i}", "form", FORM, "sessions_a_week", plan->sessions_a_week, "weekdays",
                          weekdays, "class", plan->class, "sets", plan->sets, "easier_every_weeks", plan->easier_every_weeks));
}

// --- reading ---------------------------------------------------------------------------------------------------------------------

static json_t *parse(const char *text)
{
    json_t *root = json_loads(text, JSON_REJECT_DUPLICATES, NULL);
    if (root && json_integer_value(json_object_get(root, "form")) == FORM) return root;
    json_decref(root);
    return NULL;
}

static bool read_words(const json_t *array, GPtrArray *held, const char *const **word)
{
    if (!json_is_array(array)) return false;
    const char **read = thew_hold(held, g_new0(const char *, json_array_size(array) + 1), g_free);
    *word = read;
    for (size_t i = 0; i < json_array_size(array); i++)
        if (!(read[i] = thew_hold_text(held, json_string_value(json_array_get(array, i))))) return false;
    return true;
}

static bool read_bits(const json_t *array, int count, const char *(*word)(int), unsigned *bits)
{
    if (!json_is_array(array)) return false;
    *bits = 0;
    for (size_t i = 0; i < json_array_size(array); i++) {
        int bit = 0;
        while (bit < count && g_strcmp0(word(bit), json_string_value(json_array_get(array, i))) != 0)
            bit++;
        if (bit == count) return false;
        *bits |= 1u << bit;
    }
    return true;
}

static bool read_goals(const json_t *array, GPtrArray *held, thew_kept_wishes *wishes)
{
    if (!json_is_array(array)) return false;
    thew_wish_goal *goal = thew_hold(held, g_new0(thew_wish_goal, json_array_size(array) + 1), g_free);
    wishes->goal = goal;
    for (size_t i = 0; i < json_array_size(array); i++) {
        const char *id = NULL;
        if (json_unpack(json_array_get(array, i), "[s,i!]", &id, &goal[i].weight) != 0) return false;
        goal[i].goal = thew_hold_text(held, id);
        wishes->goal_count++;
    }
    return true;
}

static bool read_wishes(json_t *at, GPtrArray *held, thew_kept_wishes *wishes)
{
    json_t *goals, *positions, *kinds, *fixed, *excluded;
    return json_unpack(at, "{s:o,s:F,s:o,s:o,s:i,s:i,s:o,s:o!}", "goals", &goals, "minutes", &wishes->minutes, "positions",
                       &positions, "kinds", &kinds, "sets", &wishes->sets, "rest_s", &wishes->rest_s, "fixed", &fixed, "excluded",
                       &excluded) == 0 &&
           read_goals(goals, held, wishes) && read_bits(positions, THEW_POSITION_COUNT, position_word, &wishes->positions) &&
           read_bits(kinds, THEW_IMPLEMENT_COUNT, kind_word, &wishes->kinds) && read_words(fixed, held, &wishes->fixed) &&
           read_words(excluded, held, &wishes->excluded);
}

static bool read_slots(const json_t *array, GPtrArray *held, thew_kept_plan *plan)
{
    if (!json_is_array(array)) return false;
    thew_kept_slot *slot = thew_hold(held, g_new0(thew_kept_slot, json_array_size(array) + 1), g_free);
    plan->slot = slot;
    for (size_t i = 0; i < json_array_size(array); i++) {
        const char *exercise = NULL, *variant = NULL;
        if (json_unpack(json_array_get(array, i), "[s,s,i,i!]", &exercise, &variant, &slot[i].sets, &slot[i].rest_s) != 0)
            return false;
        slot[i].exercise = thew_hold_text(held, exercise);
        slot[i].variant = thew_hold_text(held, variant);
        plan->slot_count++;
    }
    return true;
}

bool thew_class_text_read(const char *text, GPtrArray *held, thew_kept_plan *plan)
{
    *plan = (thew_kept_plan){ 0 };
    json_t *root = parse(text);
    bool right = root && read_wishes(json_object_get(root, "wishes"), held, &plan->wishes) &&
                 read_slots(json_object_get(root, "slots"), held, plan);
    if (!right) *plan = (thew_kept_plan){ 0 };
    json_decref(root);
    return right;
}

bool thew_block_text_read(const char *text, GPtrArray *held, thew_block_plan *plan)
{
    *plan = (thew_block_plan){ 0 };
    json_t *root = parse(text), *weekdays = NULL, *class = NULL;
    bool right =
        root && json_unpack(root, "{s:i,s:o,s:o,s:i,s:i}", "sessions_a_week", &plan->sessions_a_week, "weekdays", &weekdays,
                            "class", &class, "sets", &plan->sets, "easier_every_weeks", &plan->easier_every_weeks) == 0;
    right = right && json_array_size(weekdays) <= THEW_BLOCK_WEEKDAYS_MAX && (json_is_null(class) || json_is_string(class));
    for (size_t i = 0; right && i < json_array_size(weekdays); i++)
        plan->weekday[plan->weekday_count++] = (int)json_integer_value(json_array_get(weekdays, i));
    if (right)
        plan->class = thew_hold_text(held, json_string_value(class)); // NULL for null
    else
        *plan = (thew_block_plan){ 0 };
    json_decref(root);
    return right;
}
