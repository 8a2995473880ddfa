// How fast the use cases are in a large studio: prints `case,count,ms` and the figures that follow.
//
// 1,000 invented people with 200 sets each, written by a small generator of its own: half a year of two sessions a week, four
// exercises, kit of their own. Everything goes through studio/, in a file on the disk that is measured.
//   studio_bench [PEOPLE [FOLDER]]
#include <glib/gstdio.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "store/belief.h"
#include "store/diary.h"
#include "store/kit.h"
#include "store/person.h"
#include "studio/believe.h"
#include "studio/propose.h"
#include "studio/record.h"
#include "studio/strength_of.h"
#include "studio/watch.h"

#define SESSIONS 50
#define BELIEVED 100 // people whose beliefs are computed
#define TODAY 20543  // 2026-03-31
#define NOON_US G_GINT64_CONSTANT(1774958400000000)

static const struct {
    const char *exercise, *implement;
} trained[] = {
    { "seated-row", "soft" }, { "seated-curl", "light" }, { "seated-chest-press", "firm" }, { "seated-knee-extension", "soft" }
};

static guint64 seed = 20261125;

static double unit(void) // xorshift64* (memory)
{
    seed ^= seed >> 12, seed ^= seed << 25, seed ^= seed >> 27;
    return (double)((seed * G_GUINT64_CONSTANT(2685821657736338717)) >> 11) * 0x1p-53;
}

static void must(const thew_studio *studio, thew_store_status status)
{
    if (status >= 0) return;
    fprintf(stderr, "studio_bench: %s\n", thew_db_sentence(studio->db));
    exit(1);
}

static void check(thew_verdict verdict, const thew_refusal *refusal)
{
    if (verdict == THEW_DONE || verdict == THEW_DONE_BEFORE) return;
    const char *why = refusal->fault->len ? ((thew_fault *)refusal->fault->pdata[0])->sentence : refusal->sentence;
    fprintf(stderr, "studio_bench: %s\n", why ? why : "failed");
    exit(1);
}

// --- The studio ------------------------------------------------------------------------------------------------------------------

static void own(thew_studio *studio, const char *person, const char *label, const char *kind, double mass_kg, double force_n)
{
    g_autofree char *item = g_strdup_printf("%s-%s", person, label);
    thew_store_item row = { .item = item, .person = person, .label = label, .kind = kind, .note = "", .made_us = { 1 } };
    row.mass_kg = (thew_maybe_real){ mass_kg > 0, mass_kg };
    row.rest_length_m = (thew_maybe_real){ force_n > 0, 2 };
    must(studio, thew_store_item_put(studio->db, studio->id, &row));
    for (int r = 0; r < 2 && force_n > 0; r++) {
        g_autofree char *id = g_strdup_printf("%s-%d", item, r);
        must(studio, thew_store_reading_add(studio->db, studio->id,
                                            &(thew_store_reading){ .reading = id,
                                                                   .item = item,
                                                                   .length_m = r ? 4 : 3,
                                                                   .force_n = force_n * (r ? 1 : .62),
                                                                   .note = "",
                                                                   .made_us = { 1 } }));
    }
}

static void add_set(thew_studio *studio, const char *person, int session, int which)
{
    g_autofree char *record = g_strdup_printf("%s-%d-%d", person, session, which),
                    *setting = g_strdup_printf("mark-%d", session / 10);
    bool band = trained[which].implement[0] != 'l';
    double seconds = floor(45 + 45 * unit());
    thew_store_set set = {
        .entry = { .record = record,
                   .person = person,
                   .day = thew_studio_date(TODAY - 1 - (SESSIONS - 1 - session) * 7 / 2),
                   .written_by = "bench",
                   .note = "" },
        .exercise = trained[which].exercise,
        .side = which == 3 ? (session % 2 ? "left" : "right") : "both",
        .implement = trained[which].implement,
        .setting = band ? setting : NULL,
        .ended = seconds > 85 ? "completed" : "failure",
        .seconds = seconds,
    };
    must(studio, thew_store_diary_add(studio->db, studio->id, &set));
}

static void add_person(thew_studio *studio, int number)
{
    static const char *const exercises[] = { "seated-row", "seated-curl", "seated-chest-press", "seated-knee-extension", NULL };
    g_autofree char *person = g_strdup_printf("p%04d", number);
    thew_store_person row = { .person = person,
                              .called = person,
                              .sex = "female",
                              .birth_year = 1950 + number % 40,
                              .condition = "ms",
                              .endpoint = "failure",
                              .note = "",
                              .made_us = { 1 },
                              .changed_us = { 1 } };
    must(studio, thew_db_begin(studio->db));
    must(studio, thew_store_person_put(studio->db, studio->id, &row));
    must(studio, thew_store_choice_replace(studio->db, studio->id, person, "exercise", exercises));
    own(studio, person, "soft", "band", 0, 20);
    own(studio, person, "firm", "band", 0, 38);
    own(studio, person, "light", "dumbbell", 1.5, 0);
    own(studio, person, "iron", "dumbbell", 3, 0);
    for (int session = 0; session < SESSIONS; session++)
        for (int which = 0; which < (int)G_N_ELEMENTS(trained); which++)
            add_set(studio, person, session, which);
    must(studio, thew_db_commit(studio->db));
}

// --- Timing ----------------------------------------------------------------------------------------------------------------------

typedef struct {
    thew_studio *studio;
    int people;
    thew_refusal *refusal;
} scene;

typedef void (*task)(scene *s, const char *person, int turn);

static double cpu_ms(void)
{
    return (double)clock() / CLOCKS_PER_SEC * 1000;
}

// Milliseconds for each; on a machine that others use too, those of the processor say more.
static double time_of(scene *s, const char *name, int count, task run)
{
    gint64 began = g_get_monotonic_time();
    double cpu = cpu_ms();
    for (int i = 0; i < count; i++) {
        g_autofree char *person = g_strdup_printf("p%04d", i % MIN(s->people, BELIEVED));
        run(s, person, i);
    }
    double ms = (double)(g_get_monotonic_time() - began) / 1000;
    printf("%s,%d,%.2f\n# of the processor: %.2f ms each\n", name, count, ms, (cpu_ms() - cpu) / count);
    fflush(stdout);
    return ms / count;
}

static void run_know(scene *s, const char *person, int turn)
{
    (void)turn;
    g_autoptr(thew_knowledge) k = NULL;
    check(thew_know(s->studio, person, &k, s->refusal), s->refusal);
}

static void run_cached(scene *s, const char *person, int turn)
{
    (void)turn;
    g_autoptr(thew_knowledge) k = NULL;
    check(thew_know(s->studio, person, &k, s->refusal), s->refusal);
    thew_person_advice_free(thew_believe_advise(s->studio, k, TODAY));
}

static void run_scratch(scene *s, const char *person, int turn)
{
    (void)turn;
    g_autoptr(thew_knowledge) k = NULL;
    check(thew_know(s->studio, person, &k, s->refusal), s->refusal);
    thew_person_advice_free(thew_advise_person(s->studio->catalogue, &k->participant, TODAY));
}

static void run_propose(scene *s, const char *person, int turn)
{
    (void)turn;
    g_autoptr(thew_proposals) p = NULL;
    check(thew_propose(s->studio, person, TODAY, &p, s->refusal), s->refusal);
}

static void run_record(scene *s, const char *person, int turn)
{
    g_autofree char *record = g_strdup_printf("new-%d", turn);
    thew_record_result result;
    thew_store_set set = { .entry = { .record = record, .person = person, .day = thew_studio_date(TODAY) },
                           .exercise = "seated-row",
                           .side = "both",
                           .implement = "soft",
                           .setting = "mark-4",
                           .ended = "failure",
                           .seconds = 70 };
    check(thew_record_sets(s->studio, &(thew_actor){ "bench", NULL }, &set, 1, &result, s->refusal), s->refusal);
}

static void run_today(scene *s, const char *person, int turn)
{
    (void)person, (void)turn;
    g_autoptr(thew_today) today = NULL;
    check(thew_watch(s->studio, TODAY, &today, s->refusal), s->refusal);
    if (turn == 0)
        printf("# today: %u signs, %u train, %u have, %u behind\n", today->attention->len, today->trains->len, today->recent->len,
               today->behind);
}

static void run_strength(scene *s, const char *person, int turn)
{
    (void)turn;
    g_autoptr(thew_strength) strength = NULL;
    check(thew_studio_strength(s->studio, person, "seated-row", THEW_BOTH, &strength, s->refusal), s->refusal);
}

static void clear_away(const char *folder)
{
    g_autoptr(GDir) dir = g_dir_open(folder, 0, NULL);
    for (const char *name; (name = g_dir_read_name(dir)) != NULL;) {
        g_autofree char *path = g_build_filename(folder, name, NULL);
        g_remove(path);
    }
    g_rmdir(folder);
}

// Everybody has the same diary in all but chance: the others stand where the first one does, so that only so many are computed.
static void believe_the_rest(scene *s)
{
    g_autoptr(thew_rows) belief = NULL, standing = NULL, people = NULL;
    thew_studio *studio = s->studio;
    must(studio, thew_store_belief_find(studio->db, studio->id, "p0000", &belief));
    must(studio, thew_store_standing_find(studio->db, studio->id, "p0000", &standing));
    must(studio, thew_store_person_all(studio->db, studio->id, &people));
    must(studio, thew_db_begin(studio->db));
    for (guint i = BELIEVED; i < people->row->len; i++) {
        const thew_store_person *person = thew_row(people, thew_store_person, i);
        thew_store_belief b = *thew_row(belief, thew_store_belief, 0);
        thew_store_standing st = *thew_row(standing, thew_store_standing, 0);
        b.person = st.person = person->person;
        b.revision = st.revision = person->revision;
        must(studio, thew_store_belief_put(studio->db, studio->id, &b));
        must(studio, thew_store_standing_put(studio->db, studio->id, &st));
    }
    must(studio, thew_db_commit(studio->db));
}

static void run_all(scene *s)
{
    gint64 began = g_get_monotonic_time();
    guint count = 0;
    for (int i = 0; i < s->people; i++)
        add_person(s->studio, i);
    double wrote_ms = (double)(g_get_monotonic_time() - began) / 1000;
    int sets = s->people * SESSIONS * (int)G_N_ELEMENTS(trained);
    printf("write the studio,%d,%.0f\n", sets, wrote_ms);
    fflush(stdout);
    began = g_get_monotonic_time();
    double cpu = cpu_ms();
    count = (guint)MIN(s->people, BELIEVED);
    check(thew_believe_stale(s->studio, count, NULL, s->refusal), s->refusal);
    double rebuilt_ms = (double)(g_get_monotonic_time() - began) / 1000;
    printf("rebuild,%u,%.0f\n# of the processor: %.2f ms each\n", count, rebuilt_ms, (cpu_ms() - cpu) / count);
    believe_the_rest(s);
    int few = MIN(s->people, 100);
    double know = time_of(s, "read one person", few, run_know);
    double cached = time_of(s, "advice, going on from what is believed", few, run_cached);
    double scratch = time_of(s, "advice, from the whole diary", few, run_scratch);
    double first = time_of(s, "advice, made and kept", few, run_propose);
    double second = time_of(s, "advice, asked again", few, run_propose);
    double record = time_of(s, "record a set, advice settled, belief up to date", few, run_record);
    double today = time_of(s, "today", 20, run_today);
    double strength = time_of(s, "strength over months", MIN(few, 20), run_strength);
    printf("# %d people, %d sets; one person %.1f ms\n", s->people, sets, know);
    printf("# advice %.1f ms, of the whole diary %.1f ms (x %.1f); kept %.1f ms, asked again %.1f ms\n", cached, scratch,
           scratch / cached, first, second);
    printf("# a set recorded %.1f ms; today %.1f ms; strength %.1f ms\n", record, today, strength);
    printf("# rebuilt: %.0f people a second, %.0f sets a second\n", count / rebuilt_ms * 1000,
           count * SESSIONS * 4 / rebuilt_ms * 1000);
}

int main(int argc, char **argv)
{
    scene s = { .people = argc > 1 ? atoi(argv[1]) : 1000, .refusal = thew_refusal_new() };
    g_autofree char *folder = g_build_filename(argc > 2 ? argv[2] : g_get_tmp_dir(), "thew-bench-XXXXXX", NULL);
    g_autoptr(GError) error = NULL;
    g_autoptr(thew_catalogue) catalogue = thew_catalogue_load(NULL, &error);
    if (s.people < 1 || !catalogue || g_mkdtemp(folder) == NULL) {
        fprintf(stderr, "studio_bench: %s\n",
                s.people < 1 ? "PEOPLE must be a number from 1"
                : error      ? error->message
                             : "no folder could be made");
        return 1;
    }
    g_autofree char *path = g_build_filename(folder, "studio.thew", NULL);
    check(thew_studio_make(path, "Invented", "UTC", "en", s.refusal), s.refusal);
    check(thew_studio_open(path, THEW_DB_WRITE, catalogue, &s.studio, s.refusal), s.refusal);
    s.studio->clock_us = (thew_utc){ NOON_US };
    puts("case,count,ms");
    run_all(&s);
    thew_studio_close(s.studio);
    thew_refusal_free(s.refusal);
    clear_away(folder);
    return 0;
}
