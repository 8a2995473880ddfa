// tables.c: the tables that exercises refer to: goals, muscles, cautions, settings of implements.
#include "parts.h"

static const char *const goal_key[] = { "id", "name", "words", NULL };
static const char *const muscle_key[] = { "id", "name", "region", NULL };
static const char *const caution_key[] = { "id", "words", "when", "confirm", "rules", "applies", NULL };
static const char *const applies_key[] = { "implements", "positions", "shoulder_above", NULL };
static const char *const settings_key[] = { "id", "words", "settings", NULL };
static const char *const setting_key[] = { "id", "words", "strand_share", "strands", "anchor_dx_h", NULL };
static const char *const when_word[] = { "before", "during", NULL };

static const size_t ROWS_MAX = 500, SETTINGS_MAX = 60, RULES_MAX = 20;
static const int STRANDS_MAX = 8;

// The rows of a file { "<key>": [ ... ] }.
static thew_json open_rows(const thew_json *top, const char *key, size_t *count)
{
    const char *const known[] = { key, NULL };
    thew_json_object(top, known);
    thew_json rows = thew_json_key(top, key);
    *count = thew_json_array(&rows, 1, ROWS_MAX);
    return rows;
}

void thew_tables_read_goals(thew_catalogue *catalogue, const thew_json *top)
{
    size_t count;
    thew_json rows = open_rows(top, "goals", &count);
    for (size_t i = 0; i < count; i++) {
        thew_json row = thew_json_item(&rows, i);
        thew_json_object(&row, goal_key);
        thew_goal *goal = THEW_OWN(catalogue, thew_goal, 1);
        goal->id = thew_json_id(thew_json_key(&row, "id"));
        goal->name = thew_json_text(thew_json_key(&row, "name"));
        goal->words = thew_json_text(thew_json_key(&row, "words"));
        g_ptr_array_add(catalogue->goal, goal);
        thew_catalogue_put(catalogue->goal_by_id, goal->id, goal, thew_json_key(&row, "id"));
    }
}

void thew_tables_read_muscles(thew_catalogue *catalogue, const thew_json *top)
{
    size_t count;
    thew_json rows = open_rows(top, "muscles", &count);
    for (size_t i = 0; i < count; i++) {
        thew_json row = thew_json_item(&rows, i);
        thew_json_object(&row, muscle_key);
        thew_muscle *muscle = THEW_OWN(catalogue, thew_muscle, 1);
        muscle->id = thew_json_id(thew_json_key(&row, "id"));
        muscle->name = thew_json_text(thew_json_key(&row, "name"));
        int region = thew_json_choice(thew_json_key(&row, "region"), thew_region_word);
        if (region >= 0) muscle->region = (thew_region)region;
        g_ptr_array_add(catalogue->muscle, muscle);
        thew_catalogue_put(catalogue->muscle_by_id, muscle->id, muscle, thew_json_key(&row, "id"));
    }
}

// A set of words as bits; all bits if nothing is said.
static unsigned read_mask(thew_json at, const char *const *word)
{
    if (at.value == NULL) return ~0u;
    unsigned mask = 0;
    size_t count = thew_json_array(&at, 1, g_strv_length((char **)word));
    for (size_t i = 0; i < count; i++) {
        int bit = thew_json_choice(thew_json_item(&at, i), word);
        if (bit >= 0) mask |= 1u << bit;
    }
    return mask;
}

static void read_applies(const thew_json *applies, thew_caution *caution)
{
    caution->named_only = applies->value == NULL;
    if (caution->named_only) return;
    thew_json_object(applies, applies_key);
    caution->implements = read_mask(thew_json_key(applies, "implements"), thew_implement_word);
    caution->positions = read_mask(thew_json_key(applies, "positions"), thew_position_word);
    thew_json above = thew_json_key(applies, "shoulder_above");
    double degrees;
    if (above.value != NULL && thew_json_real(above, 1, 180, &degrees)) caution->shoulder_above_rad = degrees * G_PI / 180;
}

// "E01": a capital and two digits, as in the table of safety rules.
static const char *read_rule_id(thew_json at)
{
    const char *id = json_string_value(at.value);
    if (id != NULL && strlen(id) == 3 && g_ascii_isupper(id[0]) && g_ascii_isdigit(id[1]) && g_ascii_isdigit(id[2])) return id;
    thew_json_fault(&at, "must name a safety rule, such as \"E01\"", "%s", id == NULL ? "is no text" : "is no safety rule");
    return NULL;
}

void thew_tables_read_cautions(thew_catalogue *catalogue, const thew_json *top)
{
    size_t count;
    thew_json rows = open_rows(top, "cautions", &count);
    for (size_t i = 0; i < count; i++) {
        thew_json row = thew_json_item(&rows, i);
        thew_json_object(&row, caution_key);
        thew_caution *caution = THEW_OWN(catalogue, thew_caution, 1);
        caution->id = thew_json_id(thew_json_key(&row, "id"));
        caution->words = thew_json_text(thew_json_key(&row, "words"));
        int when = thew_json_choice(thew_json_key(&row, "when"), when_word);
        if (when >= 0) caution->when = (thew_caution_when)when;
        thew_json confirm = thew_json_key(&row, "confirm");
        if (confirm.value != NULL) thew_json_flag(confirm, &caution->confirm);
        const char **rule = thew_json_texts(thew_json_key(&row, "rules"), 1, RULES_MAX, read_rule_id, &caution->rule_count);
        caution->rule = thew_catalogue_keep(catalogue, rule);
        thew_json applies = thew_json_key(&row, "applies");
        read_applies(&applies, caution);
        g_ptr_array_add(catalogue->caution, caution);
        thew_catalogue_put(catalogue->caution_by_id, caution->id, caution, thew_json_key(&row, "id"));
    }
}

static void read_setting(const thew_json *at, thew_setting *setting)
{
    thew_json_object(at, setting_key);
    setting->id = thew_json_id(thew_json_key(at, "id"));
    setting->words = thew_json_text(thew_json_key(at, "words"));
    thew_json share = thew_json_key(at, "strand_share"), strands = thew_json_key(at, "strands");
    if (share.value != NULL || strands.value != NULL) { // one is no use without the other
        thew_json_real(share, .05, 1, &setting->strand.share);
        thew_json_integer(strands, 1, STRANDS_MAX, &setting->strand.strands);
    }
    thew_json moved = thew_json_key(at, "anchor_dx_h");
    if (moved.value != NULL) thew_json_real(moved, 0, 1, &setting->anchor_dx_h);
}

static bool same_resistance(const thew_setting *a, const thew_setting *b)
{
    return a->strand.share == b->strand.share && a->strand.strands == b->strand.strands && a->anchor_dx_h == b->anchor_dx_h;
}

void thew_tables_read_setting_list(thew_catalogue *catalogue, const thew_json *array, thew_settings *settings)
{
    settings->setting_count = thew_json_array(array, 1, SETTINGS_MAX);
    settings->setting = THEW_OWN(catalogue, thew_setting, settings->setting_count);
    settings->strands = true;
    for (size_t i = 0; i < settings->setting_count; i++) {
        thew_json at = thew_json_item(array, i);
        thew_setting *setting = &settings->setting[i];
        read_setting(&at, setting);
        settings->strands = settings->strands && setting->strand.strands > 0;
        for (size_t j = 0; j < i; j++) {
            const thew_setting *other = &settings->setting[j];
            if (setting->id != NULL && g_strcmp0(setting->id, other->id) == 0)
                thew_json_fault(&at, "each setting of an implement needs its own id", "id \"%s\" stands twice", setting->id);
            else if (same_resistance(setting, other))
                thew_json_fault(&at, "each setting must change the strand or the anchor", "resists just like setting [%zu]", j);
        }
    }
}

void thew_tables_read_settings(thew_catalogue *catalogue, const thew_json *top)
{
    size_t count;
    thew_json rows = open_rows(top, "settings", &count);
    for (size_t i = 0; i < count; i++) {
        thew_json row = thew_json_item(&rows, i);
        thew_json_object(&row, settings_key);
        thew_settings *settings = THEW_OWN(catalogue, thew_settings, 1);
        settings->id = thew_json_id(thew_json_key(&row, "id"));
        settings->words = thew_json_text(thew_json_key(&row, "words"));
        thew_json list = thew_json_key(&row, "settings");
        thew_tables_read_setting_list(catalogue, &list, settings);
        thew_catalogue_put(catalogue->settings_by_id, settings->id, settings, thew_json_key(&row, "id"));
    }
}
