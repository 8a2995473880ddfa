// use_case.h: a new studio in a file of its own, for tests of one use case each: what it says, what is then kept. All is invented.
#ifndef THEW_TEST_USE_CASE_H
#define THEW_TEST_USE_CASE_H

#include "studio/studio.h"
#include "tests/studio/place.h"
#include "tests/text_rows.h"

#define NOON_US G_GINT64_CONSTANT(1774958400000000) // 2026-03-31T12:00:00Z, a Tuesday
#define HOUR_US (G_GINT64_CONSTANT(3600) * G_USEC_PER_SEC)
#define THE_DAY(y, m, d) ((thew_date){ y, m, d })

static const thew_actor the_coach = { "coach-1", NULL };

typedef struct {
    place where;
    thew_catalogue *catalogue;
    thew_studio *studio;
    thew_refusal *refusal; // what the last call said
} scene;

static inline void again(scene *s)
{
    thew_refusal_free(s->refusal);
    s->refusal = thew_refusal_new();
}

static inline scene scene_set(void)
{
    scene s = { .where = place_make(), .refusal = thew_refusal_new() };
    g_autoptr(GError) error = NULL;
    s.catalogue = thew_catalogue_load(NULL, &error);
    if (!s.catalogue) fail_msg("%s", error->message);
    assert_int_equal(thew_studio_make(s.where.file, "Riverside", "Europe/Vienna", "en", s.refusal), THEW_DONE);
    assert_int_equal(thew_studio_open(s.where.file, THEW_DB_WRITE, s.catalogue, &s.studio, s.refusal), THEW_DONE);
    s.studio->clock_us = (thew_utc){ NOON_US };
    return s;
}

static inline void scene_clear(scene *s)
{
    thew_studio_close(s->studio);
    thew_catalogue_free(s->catalogue);
    thew_refusal_free(s->refusal);
    place_clear(&s->where);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(scene, scene_clear)

static inline void wait_hours(scene *s, int hours)
{
    s->studio->clock_us.us += hours * HOUR_US;
}

/// Every fault's place, joined by blanks: "/called /limits/0/what"; the sentence where there is none.
static inline char *places(const thew_refusal *refusal)
{
    GString *all = g_string_new(NULL);
    for (guint i = 0; i < refusal->fault->len; i++)
        g_string_append_printf(all, "%s%s", i ? " " : "", ((thew_fault *)refusal->fault->pdata[i])->pointer);
    return g_string_free(all, FALSE);
}

static const char *const verdict_name[] = { "done", "done before", "invalid", "absent", "conflict", "forbidden", "unable" };

/// What was said, and where the faults are; then the slate is clean.
static inline void row_said(scene *s, const char *why, thew_verdict expected, const char *expected_places, thew_verdict obtained)
{
    g_autofree char *obtained_places = places(s->refusal);
    row_text(why, verdict_name[expected], verdict_name[obtained]);
    row_text(why, expected_places, obtained_places);
    if (expected != obtained && s->refusal->sentence) printf("#   said: %s\n", s->refusal->sentence);
    again(s);
}

/// Must be; the rest of the test makes no sense without.
static inline void must(scene *s, thew_verdict obtained)
{
    g_autofree char *at = places(s->refusal);
    if (obtained != THEW_DONE)
        fail_msg("%s at %s: %s", verdict_name[obtained], at,
                 s->refusal->sentence     ? s->refusal->sentence
                 : s->refusal->fault->len ? ((thew_fault *)s->refusal->fault->pdata[0])->sentence
                                          : "");
    again(s);
}

#endif
