// What is believed of stored people follows their diaries: whatever is written, corrected, withdrawn or left unbelieved, advice
// from the cache is advice from scratch, and what is made again is what stood. Truth: thew_advise_person over the whole diary. All
// is invented.
#include "studio/believe.h"

#include "store/belief.h"
#include "store/diary.h"
#include "tests/studio/stored.h"

static uint64_t seed = 20261125;

static int below(int count)
{
    return (int)(random_unit(&seed) * count);
}

// --- A life with mistakes in it --------------------------------------------------------------------------------------------------

typedef struct {
    GPtrArray *record; // owned: those that can still be corrected
    int next;
    thew_day day;
} life;

static thew_store_set some_set(life *l, const char *person, thew_day day)
{
    static const char *const ended[] = { "failure", "failure", "completed", "reserve", "symptom", "other" };
    static const struct {
        const char *exercise, *implement, *setting;
    } load[] = { { "seated-row", "soft", "mark-3" }, { "seated-row", "firm", "mark-2" }, { "seated-row", "soft+firm", NULL },
                 { "seated-curl", "iron", NULL },    { "seated-curl", "light", NULL },   { "seated-row", "firm", "mark-5" } };
    int which = below(G_N_ELEMENTS(load)), end = below(G_N_ELEMENTS(ended));
    thew_store_set set = { .exercise = load[which].exercise,
                           .implement = load[which].implement,
                           .setting = load[which].setting,
                           .side = "both",
                           .ended = ended[end],
                           .seconds = 30 + below(60) };
    if (end == 3) set.reserve_s = (thew_maybe_real){ true, 10 };
    g_autofree char *record = g_strdup_printf("%s-%d", person, l->next++);
    set.entry.record = g_intern_string(record);
    set.entry.person = person;
    set.entry.day = thew_studio_date(day);
    return set;
}

// One thing happens: a new session, a set written down late, a correction, a withdrawal, a check-in behind the use cases' back.
static void live(scene *s, life *l, const char *person)
{
    int what = below(10);
    if (what < 6 || l->record->len == 0) {
        l->day += below(4);
        int sets = 1 + below(4);
        for (int i = 0; i < sets; i++) {
            thew_store_set set = some_set(l, person, l->day);
            must(s, record_one(s, &set));
            g_ptr_array_add(l->record, (gpointer)set.entry.record);
        }
        return;
    }
    if (what == 6) {
        thew_store_set late = some_set(l, person, l->day - 1 - below(20));
        must(s, record_one(s, &late));
        g_ptr_array_add(l->record, (gpointer)late.entry.record);
        return;
    }
    guint at = (guint)below((int)l->record->len);
    thew_store_set set = some_set(l, person, l->day - below(9));
    set.entry.replaces = l->record->pdata[at];
    set.entry.withdrawn = what == 7;
    if (what == 9) { // written without anybody believing it: as if the power had failed right after the commit
        kept(s, thew_db_begin(s->studio->db));
        set.entry.written_by = "other";
        set.entry.note = "";
        set.exercise = "seated-row";
        kept(s, thew_store_diary_add(s->studio->db, s->studio->id, &set));
        kept(s, thew_db_commit(s->studio->db));
    } else {
        must(s, record_one(s, &set));
    }
    g_ptr_array_remove_index_fast(l->record, at);
    if (what != 7) g_ptr_array_add(l->record, (gpointer)set.entry.record);
}

static void cached_is_from_scratch(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    take_on(&s, "ida");
    s.studio->clock_us.us += 400 * 24 * HOUR_US; // all of it lies in the past, and in two calendar years
    life l = { g_ptr_array_new(), 0, TODAY - 200 };
    for (int step = 0; step < 60; step++) {
        live(&s, &l, "ida");
        if (below(12) == 0) { // a band is measured anew: every set with it reads otherwise
            kept(&s, thew_db_begin(s.studio->db));
            g_autofree char *item = g_strdup_printf("x%d", step);
            thew_store_reading reading = { .reading = item,
                                           .item = "ida-soft",
                                           .length_m = 4,
                                           .force_n = 18 + below(8),
                                           .measured_day = thew_studio_date(TODAY - 150 + step),
                                           .note = "",
                                           .made_us = { 1 } };
            kept(&s, thew_store_reading_add(s.studio->db, s.studio->id, &reading));
            kept(&s, thew_db_commit(s.studio->db));
        }
        g_autoptr(thew_knowledge) k = NULL;
        must(&s, thew_know(s.studio, "ida", &k, s.refusal));
        thew_day on = l.day + below(3);
        g_autoptr(thew_person_advice) cached = thew_believe_advise(s.studio, k, on);
        thew_participant plain = k->participant;
        plain.memo = NULL; // every demand computed anew, too
        g_autoptr(thew_person_advice) scratch = thew_advise_person(s.catalogue, &plain, on);
        g_autofree char *why = g_strdup_printf("step %d", step);
        row_same_advice(why, scratch, cached);
    }
    g_ptr_array_unref(l.record);
    rows_end(300);
}

// --- What is kept beside the diary -----------------------------------------------------------------------------------------------

// Beliefs and standings as the store has them, but for when they were made.
static char *all_that_is_believed(scene *s)
{
    static const char *const person[] = { "ida", "ole", "new" };
    GString *out = g_string_new(NULL);
    for (gsize i = 0; i < G_N_ELEMENTS(person); i++) {
        g_autoptr(thew_rows) belief = NULL, standing = NULL;
        if (thew_store_belief_find(s->studio->db, s->studio->id, person[i], &belief) < 0) continue;
        kept(s, thew_store_standing_find(s->studio->db, s->studio->id, person[i], &standing));
        const thew_store_belief *b = thew_row(belief, thew_store_belief, 0);
        const thew_store_standing *st = thew_row(standing, thew_store_standing, 0);
        g_autofree char *sum = g_compute_checksum_for_data(G_CHECKSUM_SHA256, b->posterior.bytes, b->posterior.size);
        char first[THEW_DATE_TEXT], last[THEW_DATE_TEXT], earliest[THEW_DATE_TEXT];
        g_string_append_printf(out,
                               "%s %s %" G_GINT64_FORMAT " %zu %s | %s %" G_GINT64_FORMAT " %d %s %s %d %" G_GINT64_FORMAT
                               " %d %s %s %d %s %s %d\n",
                               b->person, b->engine, b->revision, b->posterior.size, sum, st->engine, st->revision, st->sets,
                               thew_date_text(st->first_day, first), thew_date_text(st->last_day, last), st->last_sets, st->days,
                               st->declined, st->symptom_exercise, st->used_up_exercise, st->used_up_light, st->nothing_fits,
                               thew_date_text(st->earliest_day, earliest), st->items);
    }
    return g_string_free(out, FALSE);
}

static void made_again_is_what_stood(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    take_on(&s, "ida");
    take_on(&s, "ole");
    take_on(&s, "new");
    life one = { g_ptr_array_new(), 0, TODAY - 150 }, other = { g_ptr_array_new(), 0, TODAY - 90 };
    for (int step = 0; step < 25; step++) {
        live(&s, &one, "ida");
        live(&s, &other, "ole");
    }
    guint left = 99, count = 0;
    must(&s, thew_believe_stale(s.studio, 99, &left, s.refusal));
    row_near("nobody stays behind", 0, left, 0);
    g_autofree char *stood = all_that_is_believed(&s);
    row_has("somebody without a set too", "new " THEW_ENGINE_VERSION, stood);
    wait_hours(&s, 24 * 3);
    must(&s, thew_rebuild(s.studio, NULL, NULL, &count, s.refusal));
    g_autofree char *again_made = all_that_is_believed(&s);
    row_text("three days later, from nothing: bit for bit the same", stood, again_made);
    row_near("all three", 3, count, 0);
    row_said(&s, "nothing to do", THEW_DONE_BEFORE, "", thew_believe(s.studio, "ida", s.refusal));
    row_said(&s, "nobody", THEW_ABSENT, "", thew_believe(s.studio, "nobody", s.refusal));
    g_ptr_array_unref(one.record);
    g_ptr_array_unref(other.record);
    rows_end(8);
}

static void standing_says(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    take_on(&s, "ida");
    static const struct {
        thew_date day;
        const char *ended;
    } row[] = { { { 2026, 3, 2 }, "failure" },
                { { 2026, 3, 24 }, "symptom" },
                { { 2026, 3, 25 }, "failure" },
                { { 2026, 3, 30 }, "completed" } };
    for (gsize i = 0; i < G_N_ELEMENTS(row); i++) {
        g_autofree char *record = g_strdup_printf("r%zu", i);
        thew_store_set set = a_set(record, "ida");
        set.entry.day = row[i].day;
        set.ended = row[i].ended;
        must(&s, record_one(&s, &set));
    }
    g_autoptr(thew_rows) rows = NULL;
    kept(&s, thew_store_standing_find(s.studio->db, s.studio->id, "ida", &rows));
    const thew_store_standing *st = thew_row(rows, thew_store_standing, 0);
    row_near("sets", 4, st->sets, 0);
    row_near("of the last day", 1, st->last_sets, 0);
    row_near("first day", 20514, thew_studio_number(st->first_day), 0);
    row_near("last day", TODAY - 1, thew_studio_number(st->last_day), 0);
    row_near("trained 0, 5, 6 and 28 days before it", 1 | 1 << 5 | 1 << 6 | 1 << 28, (double)st->days, 0);
    row_near("the symptom's day", TODAY - 7, thew_studio_number(st->symptom_day), 0);
    row_text("and exercise", "seated-row", st->symptom_exercise);
    row_near("the same muscles on two days running", TODAY - 6, thew_studio_number(st->unrested_day), 0);
    row_near("earliest good day: a rest day between", TODAY + 1, thew_studio_number(st->earliest_day), 0);
    row_near("pieces of kit", 4, st->items, 0);
    row_text("screening", "not_asked", st->screening);
    row_text("everything has a load", NULL, st->nothing_fits);
    rows_end(12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(cached_is_from_scratch),
        cmocka_unit_test(made_again_is_what_stood),
        cmocka_unit_test(standing_says),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
