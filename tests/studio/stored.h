// stored.h: somebody who trains in a studio in a file: kit, exercises, sets written down one by one. All is invented.
#ifndef THEW_TEST_STORED_H
#define THEW_TEST_STORED_H

#include "store/kit.h"
#include "store/person.h"
#include "studio/believe.h"
#include "studio/propose.h"
#include "studio/record.h"
#include "tests/studio/use_case.h"

#define TODAY 20543 // 2026-03-31, the day of NOON_US

static inline void kept(scene *s, thew_store_status status)
{
    if (status < 0) fail_msg("%s", thew_db_sentence(s->studio->db));
}

static inline void own(scene *s, const char *item, const char *person, const char *label, const char *kind, double mass_kg,
                       double rest_m, double force_n)
{
    thew_store_item row = { .item = item, .person = person, .label = label, .kind = kind, .note = "", .made_us = { 1 } };
    row.mass_kg = (thew_maybe_real){ mass_kg > 0, mass_kg };
    row.rest_length_m = (thew_maybe_real){ rest_m > 0, rest_m };
    kept(s, thew_store_item_put(s->studio->db, s->studio->id, &row));
    for (int r = 0; r < 2 && rest_m > 0; r++) {
        g_autofree char *id = g_strdup_printf("%s-%d", item, r);
        thew_store_reading reading = { .reading = id,
                                       .item = item,
                                       .length_m = rest_m * (r ? 2 : 1.5),
                                       .force_n = force_n * (r ? 1 : .62),
                                       .measured_day = { 2026, 1, 2 },
                                       .note = "",
                                       .made_us = { 1 } };
        kept(s, thew_store_reading_add(s->studio->db, s->studio->id, &reading));
    }
}

/// Somebody with two bands and two weights of their own, who wants to row and curl.
static inline void take_on(scene *s, const char *person)
{
    static const char *const exercises[] = { "seated-row", "seated-curl", NULL };
    g_autofree char *soft = g_strconcat(person, "-soft", NULL), *firm = g_strconcat(person, "-firm", NULL),
                    *iron = g_strconcat(person, "-iron", NULL), *light = g_strconcat(person, "-light", NULL);
    thew_store_person row = { .person = person,
                              .called = person,
                              .sex = "female",
                              .birth_year = 1968,
                              .height_m = { true, 1.66 },
                              .mass_kg = { true, 71 },
                              .condition = "ms",
                              .endpoint = "failure",
                              .note = "",
                              .made_us = { 1 },
                              .changed_us = { 1 } };
    kept(s, thew_db_begin(s->studio->db));
    kept(s, thew_store_person_put(s->studio->db, s->studio->id, &row));
    kept(s, thew_store_choice_replace(s->studio->db, s->studio->id, person, "exercise", exercises));
    own(s, soft, person, "soft", "band", 0, 2, 22);
    own(s, firm, person, "firm", "band", 0, 2, 41);
    own(s, iron, person, "iron", "dumbbell", 3, 0, 0);
    own(s, light, person, "light", "dumbbell", 1.5, 0, 0);
    kept(s, thew_db_commit(s->studio->db));
}

/// A set of today's, as somebody would send it.
static inline thew_store_set a_set(const char *record, const char *person)
{
    return (thew_store_set){ .entry = { .record = record, .person = person, .day = { 2026, 3, 31 } },
                             .exercise = "seated-row",
                             .side = "both",
                             .implement = "soft",
                             .setting = "mark-3",
                             .ended = "failure",
                             .seconds = 72 };
}

static inline thew_verdict record_one(scene *s, const thew_store_set *set)
{
    thew_record_result result;
    return thew_record_sets(s->studio, &the_coach, set, 1, &result, s->refusal);
}

/// Whether two advices for a person are the same, down to the bits of their odds; what differs is printed.
static inline void row_same_advice(const char *why, const thew_person_advice *a, const thew_person_advice *b)
{
    row_near(why, a->advised->len, b->advised->len, 0);
    row_near(why, a->record_count, b->record_count, 0);
    row_near(why, a->declined, b->declined, 0);
    for (guint t = 0; t < MIN(a->advised->len, b->advised->len); t++) {
        const thew_advised *one = &g_array_index(a->advised, thew_advised, t), *two = &g_array_index(b->advised, thew_advised, t);
        row_text(why, one->take ? one->take->label : NULL, two->take ? two->take->label : NULL);
        row_true(why, "odds, goal, reason and estimate have the same bits",
                 one->count == two->count && memcmp(one->odds, two->odds, one->count * sizeof *one->odds) == 0 &&
                     one->advice.goal_s == two->advice.goal_s && one->advice.reason.code == two->advice.reason.code &&
                     one->advice.reason.capacity.mean == two->advice.reason.capacity.mean &&
                     one->advice.reason.capacity.sd == two->advice.reason.capacity.sd &&
                     one->advice.reason.today_ln == two->advice.reason.today_ln && one->earliest == two->earliest &&
                     one->last_day == two->last_day);
    }
}

#endif
