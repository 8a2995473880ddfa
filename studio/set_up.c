// set_up.c: see set_up.h.
#include "studio/set_up.h"

#include <math.h>
#include <string.h>

#include "store/class.h"
#include "store/diary.h"
#include "store/kit.h"
#include "store/person.h"
#include "store/studio.h"
#include "studio/admit.h"
#include "studio/check.h"

#define DEMO "demo"
#define SHORTEST_WINDOW_S 5.0 // between its ends, and between floor and window: common practice, no source
#define LANGUAGE_MAX 35       // of a BCP 47 tag without extensions (RFC 5646, section 4.4.1)

// --- settings --------------------------------------------------------------------------------------------------------------------

thew_settings thew_settings_default(void)
{
    // 27 C: where the first band of the National Weather Service's heat index, 80 F, begins (reference/heat_index.csv). The rest is
    // what the engine's own task says.
    return (thew_settings){ .heat_caution_c = 27, .window_from_s = 60, .window_to_s = 90, .floor_s = 30 };
}

typedef struct {
    const char *setting;
    size_t offset;
    double low, high;
    const char *unit;
} setting_row;
#define SETTING(member, low, high, unit)                                                                                           \
    {                                                                                                                              \
#member, offsetof(thew_settings, member), low, high, unit                                                                  \
    }
// The limits keep out slips of the hand; within them the coach decides.
static const setting_row settings[] = {
    SETTING(heat_caution_c, 18, 40, "degrees Celsius"),
    SETTING(window_from_s, 10, 600, "seconds"),
    SETTING(window_to_s, 15, 900, "seconds"),
    SETTING(floor_s, 5, 300, "seconds"),
};

static double *value_of(thew_settings *of, const setting_row *row)
{
    return (double *)(void *)((char *)of + row->offset);
}

static void take_setting(thew_settings *into, const thew_store_setting *kept)
{
    for (size_t i = 0; i < G_N_ELEMENTS(settings); i++) {
        if (strcmp(settings[i].setting, kept->setting) != 0) continue;
        char *end;
        double value = g_ascii_strtod(kept->value, &end);
        if (*end == '\0' && value >= settings[i].low && value <= settings[i].high) *value_of(into, &settings[i]) = value;
    }
}

static bool hangs_together(const thew_settings *settings_given)
{
    return settings_given->window_to_s >= settings_given->window_from_s + SHORTEST_WINDOW_S &&
           settings_given->floor_s <= settings_given->window_from_s - SHORTEST_WINDOW_S;
}

thew_store_status thew_set_up_settings(thew_studio *studio, thew_settings *read)
{
    *read = thew_settings_default();
    g_autoptr(thew_rows) all = NULL;
    thew_store_status status = thew_store_setting_all(studio->db, studio->id, &all);
    for (guint i = 0; status >= 0 && i < all->row->len; i++)
        take_setting(read, thew_row(all, thew_store_setting, i));
    if (!hangs_together(read)) { // set one by one, or by another program
        thew_settings usual = thew_settings_default();
        usual.heat_caution_c = read->heat_caution_c;
        *read = usual;
    }
    return status;
}

// What is as the program would have it is not kept, so that a better default reaches everybody who never chose.
static thew_store_status put_settings(thew_studio *studio, const thew_settings *given)
{
    thew_settings wanted = *given, usual = thew_settings_default();
    thew_store_status status = THEW_STORE_OK;
    for (size_t i = 0; status >= 0 && i < G_N_ELEMENTS(settings); i++) {
        char text[G_ASCII_DTOSTR_BUF_SIZE];
        double value = *value_of(&wanted, &settings[i]);
        g_ascii_dtostr(text, sizeof text, value);
        bool is_usual = value == *value_of(&usual, &settings[i]);
        status =
            thew_store_setting_put(studio->db, studio->id, &(thew_store_setting){ settings[i].setting, is_usual ? NULL : text });
    }
    return status;
}

static bool window_differs(const thew_settings *a, const thew_settings *b)
{
    return a->window_from_s != b->window_from_s || a->window_to_s != b->window_to_s || a->floor_s != b->floor_s;
}

// --- looking ---------------------------------------------------------------------------------------------------------------------

void thew_studio_shown_free(thew_studio_shown *shown)
{
    if (!shown) return;
    g_free(shown->studio);
    g_free(shown->called);
    g_free(shown->zone);
    g_free(shown->language);
    g_free(shown);
}

static thew_store_status count_people(thew_studio *studio, int *count)
{
    g_autoptr(thew_rows) all = NULL;
    thew_store_status status = thew_store_person_all(studio->db, studio->id, &all);
    for (guint i = 0; status >= 0 && i < all->row->len; i++)
        *count += thew_row(all, thew_store_person, i)->left_day.year == 0;
    return status;
}

static thew_store_status count_items(thew_studio *studio, int *count)
{
    g_autoptr(thew_rows) all = NULL;
    thew_store_status status = thew_store_item_all(studio->db, studio->id, &all);
    for (guint i = 0; status >= 0 && i < all->row->len; i++)
        *count += thew_row(all, thew_store_item, i)->retired_day.year == 0;
    return status;
}

static thew_store_status count_classes(thew_studio *studio, int *count)
{
    g_autoptr(thew_rows) all = NULL;
    thew_store_status status = thew_store_class_latest(studio->db, studio->id, &all);
    for (guint i = 0; status >= 0 && i < all->row->len; i++)
        *count += !thew_row(all, thew_store_class, i)->retired;
    return status;
}

static thew_store_status read_demo(thew_studio *studio, bool *demo)
{
    g_autoptr(thew_rows) all = NULL;
    thew_store_status status = thew_store_setting_all(studio->db, studio->id, &all);
    for (guint i = 0; status >= 0 && i < all->row->len; i++)
        *demo = *demo || strcmp(thew_row(all, thew_store_setting, i)->setting, DEMO) == 0;
    return status;
}

static thew_store_status read_studio(thew_studio *studio, thew_studio_shown *shown)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status = thew_store_studio_find(studio->db, studio->id, &rows);
    if (status < 0) return status;
    const thew_store_studio *row = thew_row(rows, thew_store_studio, 0);
    shown->studio = g_strdup(row->studio);
    shown->called = g_strdup(row->called);
    shown->zone = g_strdup(row->zone);
    shown->language = g_strdup(row->language);
    status = thew_set_up_settings(studio, &shown->settings);
    if (status >= 0) status = read_demo(studio, &shown->demo);
    return status;
}

static thew_store_status read_counts(thew_studio *studio, thew_studio_shown *shown)
{
    thew_store_status status = read_studio(studio, shown);
    if (status >= 0) status = count_people(studio, &shown->counts.people);
    if (status >= 0) status = count_items(studio, &shown->counts.items);
    if (status >= 0) status = count_classes(studio, &shown->counts.classes);
    if (status >= 0) status = thew_store_diary_count(studio->db, studio->id, &shown->counts.sets);
    return status;
}

static thew_verdict show(thew_studio *studio, thew_store_status (*take)(thew_studio *studio, thew_studio_shown *shown),
                         thew_studio_shown **shown, thew_refusal *refusal)
{
    *shown = NULL;
    g_autoptr(thew_studio_shown) read = g_new0(thew_studio_shown, 1);
    thew_store_status status = thew_db_begin_reading(studio->db);
    if (status >= 0) status = thew_db_end(studio->db, take(studio, read));
    thew_verdict verdict = thew_refuse_store(refusal, studio->db, status);
    if (verdict == THEW_DONE) *shown = g_steal_pointer(&read);
    return verdict;
}

thew_verdict thew_set_up_read(thew_studio *studio, thew_studio_shown **shown, thew_refusal *refusal)
{
    return show(studio, read_counts, shown, refusal);
}

thew_verdict thew_set_up_glance(thew_studio *studio, thew_studio_shown **shown, thew_refusal *refusal)
{
    return show(studio, read_studio, shown, refusal);
}

// --- changing --------------------------------------------------------------------------------------------------------------------

// Letters and digits in parts of 1 to 8, the first of 2 or 3 letters (RFC 5646, section 2.1, as far as it is used).
static bool is_language(const char *tag)
{
    size_t length = tag ? strlen(tag) : 0, first = tag ? strcspn(tag, "-") : 0;
    if (length > LANGUAGE_MAX || first < 2 || first > 3 || g_str_has_suffix(tag, "-") || strstr(tag, "--")) return false;
    for (size_t i = 0; i < length; i++)
        if (i < first ? !g_ascii_isalpha(tag[i]) : !g_ascii_isalnum(tag[i]) && tag[i] != '-') return false;
    return true;
}

static void check_settings(const thew_settings *given, thew_refusal *refusal)
{
    thew_settings looked_at = *given;
    bool each = true;
    for (size_t i = 0; i < G_N_ELEMENTS(settings); i++) {
        g_autofree char *pointer = g_strconcat("/settings/", settings[i].setting, NULL);
        each = thew_check_number(refusal, pointer, *value_of(&looked_at, &settings[i]), settings[i].low, settings[i].high,
                                 settings[i].unit) &&
               each;
    }
    if (!each) return;
    if (given->window_to_s < given->window_from_s + SHORTEST_WINDOW_S)
        thew_refusal_add(refusal, "/settings/window_to_s",
                         "the window must close at least %g seconds after it opens, at %g or later", SHORTEST_WINDOW_S,
                         given->window_from_s + SHORTEST_WINDOW_S);
    if (given->floor_s > given->window_from_s - SHORTEST_WINDOW_S)
        thew_refusal_add(refusal, "/settings/floor_s", "the floor must lie at least %g seconds before the window, at %g or less",
                         SHORTEST_WINDOW_S, given->window_from_s - SHORTEST_WINDOW_S);
}

static void check_change(const thew_studio_change *change, thew_refusal *refusal)
{
    thew_check_text(refusal, "/called", change->called, 1, THEW_NAME_MAX);
    g_autoptr(GTimeZone) zone = change->zone && *change->zone ? g_time_zone_new_identifier(change->zone) : NULL;
    if (!zone)
        thew_refusal_add(refusal, "/zone", "there is no time zone \"%s\"; \"Europe/Vienna\" would be one",
                         change->zone ? change->zone : "");
    if (!is_language(change->language)) thew_refusal_add(refusal, "/language", "this is no language tag; \"en\" would be one");
    check_settings(&change->settings, refusal);
}

static thew_store_status change_studio(thew_studio *studio, const thew_actor *actor, const thew_studio_change *change)
{
    thew_settings before;
    thew_store_status status = thew_set_up_settings(studio, &before);
    if (status >= 0)
        status = thew_store_studio_put(studio->db, &(thew_store_studio){ studio->id, change->called, change->zone, change->language,
                                                                         thew_studio_now(studio) });
    if (status >= 0) status = put_settings(studio, &change->settings);
    // Another window is other advice.
    if (status >= 0 && window_differs(&before, &change->settings)) status = thew_store_person_touch_all(studio->db, studio->id);
    return status < 0 ? status : thew_note_access_within(studio, actor, NULL, "change", "the studio's settings");
}

thew_verdict thew_set_up_change(thew_studio *studio, const thew_actor *actor, const thew_studio_change *change,
                                thew_refusal *refusal)
{
    check_change(change, refusal);
    if (!thew_refusal_is_empty(refusal)) return THEW_INVALID;
    thew_store_status status = thew_db_begin(studio->db);
    if (status >= 0) status = thew_db_end(studio->db, change_studio(studio, actor, change));
    thew_verdict verdict = thew_refuse_store(refusal, studio->db, status);
    return verdict == THEW_DONE ? thew_set_up_refresh(studio, refusal) : verdict;
}

thew_verdict thew_set_up_refresh(thew_studio *studio, thew_refusal *refusal)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status = thew_store_studio_find(studio->db, studio->id, &rows);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    const thew_store_studio *row = thew_row(rows, thew_store_studio, 0);
    GTimeZone *zone = g_time_zone_new_identifier(row->zone);
    if (zone) {
        g_time_zone_unref(studio->zone);
        studio->zone = zone;
    }
    g_free(studio->called);
    studio->called = g_strdup(row->called);
    return THEW_DONE;
}

thew_verdict thew_set_up_demo(thew_studio *studio, bool demo, thew_refusal *refusal)
{
    thew_store_status status = thew_db_begin(studio->db);
    if (status >= 0)
        status = thew_db_end(studio->db,
                             thew_store_setting_put(studio->db, studio->id, &(thew_store_setting){ DEMO, demo ? "yes" : NULL }));
    return thew_refuse_store(refusal, studio->db, status);
}
