// hand_out_test.c: everything that is kept, handed out: nothing is lost on the way out and in again.
// Random studios (their seed is printed) are written into the store as desk and phones write, handed out as files, taken into an
// empty studio and handed out again: the bytes must be the same, and so must every column that the files can say. Everything is
// invented.
#include "tests/studio/open_studio.h"

#include <math.h>

// --- random studios

static const char *const texts_of_all_kinds[] = { "",           "warm",      "she said \"stop\", then went on",
                                                  "two\nlines", " blanks ",  "=1+1",
                                                  "#1",         "über 60 °", "a,b;c" };

static const char *one_of(GRand *random, const char *const *list, int count)
{
    return list[g_rand_int_range(random, 0, count)];
}
#define ONE_OF(random, list) one_of(random, list, (int)G_N_ELEMENTS(list))
static bool chance(GRand *random, double p)
{
    return g_rand_double(random) < p;
}
static thew_maybe_real maybe(GRand *random, double low, double high)
{
    return chance(random, .5) ? (thew_maybe_real){ true, g_rand_double_range(random, low, high) } : (thew_maybe_real){ 0 };
}
static thew_date some_day(GRand *random)
{
    return (thew_date){ (gint16)g_rand_int_range(random, 2024, 2026), (gint8)g_rand_int_range(random, 1, 13),
                        (gint8)g_rand_int_range(random, 1, 29) };
}
static thew_date maybe_day(GRand *random)
{
    return chance(random, .3) ? some_day(random) : (thew_date){ 0 };
}
static thew_utc maybe_utc(GRand *random)
{
    return (thew_utc){ chance(random, .5) ? 1700000000000000 + g_rand_int(random) : 0 };
}

static void put_person(GRand *random, thew_studio *studio, const char *person)
{
    static const char *const sex[] = { NULL, "female", "male" }, *const condition[] = { NULL, "ms", "none" },
                             *const endpoint[] = { NULL, "failure", "reserve" }, *const side[] = { NULL, "left", "right" };
    thew_store_person row = { .person = person,
                              .called = ONE_OF(random, ((const char *const[]){ "Ana", "B, C", "\"D\"" })),
                              .sex = ONE_OF(random, sex),
                              .birth_year = chance(random, .5) ? g_rand_int_range(random, 1930, 2000) : 0,
                              .height_m = maybe(random, 1.4, 2),
                              .mass_kg = maybe(random, 40, 120),
                              .condition = ONE_OF(random, condition),
                              .endpoint = ONE_OF(random, endpoint),
                              .weaker_side = ONE_OF(random, side),
                              .heat_sensitive = chance(random, .5),
                              .note = ONE_OF(random, texts_of_all_kinds),
                              .since_day = maybe_day(random),
                              .left_day = maybe_day(random),
                              .made_us = { 5 },
                              .changed_us = { 6 } };
    must(studio->db, thew_store_person_put(studio->db, studio->id, &row));
    size_t count;
    const thew_goal *const *goal = thew_catalogue_goals(the_catalogue, &count);
    const char *goals[] = { goal[1]->id, goal[0]->id, NULL }, *exercises[] = { "seated-row", NULL };
    if (chance(random, .5)) must(studio->db, thew_store_choice_replace(studio->db, studio->id, person, "goal", goals));
    if (chance(random, .5)) must(studio->db, thew_store_choice_replace(studio->db, studio->id, person, "exercise", exercises));
}

static void put_item(GRand *random, thew_studio *studio, const char *person, int number, bool retired)
{
    g_autofree char *item = g_uuid_string_random(), *label = g_strdup_printf("band %d", number);
    thew_store_item row = { .item = item,
                            .person = person,
                            .label = label,
                            .kind = "band",
                            .rest_length_m = { true, 1.2 },
                            .step = { true, number },
                            .note = ONE_OF(random, texts_of_all_kinds),
                            .made_us = { 7 },
                            .retired_day = retired ? some_day(random) : (thew_date){ 0 } };
    must(studio->db, thew_store_item_put(studio->db, studio->id, &row));
    for (int r = g_rand_int_range(random, 0, 4); r > 0; r--) {
        g_autofree char *reading = g_uuid_string_random();
        double length_m = 1.2 + .3 * r;
        must(studio->db, thew_store_reading_add(studio->db, studio->id,
                                                &(thew_store_reading){ .reading = reading,
                                                                       .item = item,
                                                                       .length_m = length_m,
                                                                       .force_n = 20 * length_m + g_rand_double(random),
                                                                       .measured_day = maybe_day(random),
                                                                       .note = ONE_OF(random, texts_of_all_kinds),
                                                                       .made_us = { 8 } }));
    }
}

// What a record may replace: the last one of a chain, or NULL.
static char *take_replaceable(GRand *random, GPtrArray *open)
{
    if (open->len == 0 || !chance(random, .3)) return NULL;
    return g_ptr_array_steal_index(open, (guint)g_rand_int_range(random, 0, (int)open->len));
}

static thew_store_entry entry(GRand *random, const char *person, const char *record, const char *replaces)
{
    return (thew_store_entry){ .record = record,
                               .person = person,
                               .day = some_day(random),
                               .at_us = maybe_utc(random),
                               .replaces = replaces,
                               .withdrawn = replaces && chance(random, .3),
                               .written_by = "someone",
                               .note = ONE_OF(random, texts_of_all_kinds) };
}

static void put_records(GRand *random, thew_studio *studio, const char *person)
{
    static const char *const side[] = { "both", "left", "right" },
                             *const ended[] = { "failure", "completed", "reserve", "symptom", "other" },
                             *const implement[] = { NULL, "band 0" };
    g_autoptr(GPtrArray) sets = g_ptr_array_new_with_free_func(g_free), checkins = g_ptr_array_new_with_free_func(g_free);
    for (int i = g_rand_int_range(random, 0, 40); i > 0; i--) {
        char *record = g_uuid_string_random();
        g_autofree char *replaces = take_replaceable(random, sets);
        thew_store_set row = { .entry = entry(random, person, record, replaces),
                               .exercise = "seated-row",
                               .side = ONE_OF(random, side),
                               .implement = ONE_OF(random, implement),
                               .ended = ONE_OF(random, ended),
                               .seconds = floor(g_rand_double_range(random, 0, 120) * 10) / 10,
                               .exertion = maybe(random, 0, 10) };
        if (strcmp(row.ended, "reserve") == 0) row.reserve_s = maybe(random, 0, 30);
        must(studio->db, thew_store_diary_add(studio->db, studio->id, &row));
        g_ptr_array_add(sets, record);
    }
    for (int i = g_rand_int_range(random, 0, 20); i > 0; i--) {
        char *record = g_uuid_string_random();
        g_autofree char *replaces = take_replaceable(random, checkins);
        thew_store_checkin row = { .entry = entry(random, person, record, replaces),
                                   .room_c = maybe(random, 10, 35),
                                   .fatigue = maybe(random, 0, 10),
                                   .sleep = maybe(random, 0, 10),
                                   .readiness = maybe(random, -1, 1) };
        row.humidity_percent = maybe(random, 10, 90);
        if (!row.room_c.known || !row.humidity_percent.known) row.heat_index_c = maybe(random, 10, 40);
        must(studio->db, thew_store_checkin_add(studio->db, studio->id, &row));
        g_ptr_array_add(checkins, record);
    }
}

static void fill(GRand *random, thew_studio *studio)
{
    must(studio->db, thew_db_begin(studio->db));
    put_item(random, studio, NULL, 0, false);
    for (int p = g_rand_int_range(random, 0, 6); p > 0; p--) {
        g_autofree char *person = g_strdup_printf("p%d", p);
        put_person(random, studio, person);
        for (int i = g_rand_int_range(random, 0, 4); i > 0; i--) {
            if (chance(random, .3)) put_item(random, studio, person, i, true);
            put_item(random, studio, person, i, chance(random, .2));
        }
        put_records(random, studio, person);
    }
    must(studio->db, thew_db_commit(studio->db));
}

// --- out, in, out

static GString *sheet(thew_studio *studio, thew_sheet which, const char *person)
{
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    GString *text = g_string_new(NULL);
    assert_int_equal(thew_hand_out_sheet(studio, &the_coach, which, person, text, refusal), THEW_DONE);
    return text;
}

// Everything that the files can say, by the database's own hand.
static char *sayable(const char *path)
{
    static const char *const sql[] = {
        "SELECT person, called, sex, birth_year, height_m, mass_kg, condition, endpoint, weaker_side, heat_sensitive, note, "
        "since_day, left_day "
        "FROM person ORDER BY person",
        "SELECT person, list, place, what FROM person_list ORDER BY person, list, place",
        "SELECT person, label, kind, mass_kg, rest_length_m, step, note, retired_day FROM kit_item ORDER BY 1, 2, 8",
        "SELECT i.person, i.label, i.retired_day, r.length_m, r.force_n, r.measured_day, r.note FROM kit_reading AS r JOIN "
        "kit_item AS i ON "
        "i.item = r.item ORDER BY 1, 2, 3, 4, 5, 6, 7",
        "SELECT person, record, day, at_us, replaces, withdrawn, note, exercise, variant, side, implement, setting, ended, "
        "seconds, reserve_s, "
        "exertion FROM diary ORDER BY person, revision",
        "SELECT person, record, day, at_us, replaces, withdrawn, note, room_c, humidity_percent, fatigue, sleep, readiness FROM "
        "checkin ORDER BY "
        "person, revision",
    };
    g_autoptr(GString) all = g_string_new(NULL);
    EACH(i, sql)
    {
        g_autofree char *rows = look(path, sql[i]);
        g_string_append(all, rows);
    }
    return g_string_free(g_steal_pointer(&all), FALSE);
}

static void round_trip(void **state, guint32 seed)
{
    g_autoptr(GRand) random = g_rand_new_with_seed(seed);
    g_autofree char *from_name = g_strdup_printf("from-%u", seed), *to_name = g_strdup_printf("to-%u", seed);
    g_autofree char *why = g_strdup_printf("seed %u", seed);
    g_autoptr(thew_studio) from = studio_in(state, from_name), to = studio_in(state, to_name);
    fill(random, from);
    GString *out[THEW_SHEET_COUNT];
    for (int s = 0; s < THEW_SHEET_COUNT; s++)
        out[s] = sheet(from, (thew_sheet)s, NULL);
    const texts given = { out[0]->str, out[1]->str, out[2]->str, out[3]->str };
    thew_taken_in taken, again;
    g_autofree char *found = NULL, *found_again = NULL;
    thew_verdict verdict = take_in(to, &given, false, &taken, &found);
    expect_number(why, THEW_DONE, verdict);
    if (verdict != THEW_DONE) fprintf(stderr, "%s%s", found, out[1]->str);
    for (int s = 0; s < THEW_SHEET_COUNT; s++) {
        g_autoptr(GString) second = sheet(to, (thew_sheet)s, NULL);
        expect_text(why, out[s]->str, second->str);
    }
    g_autofree char *before = sayable(in_folder(state, from_name)), *after = sayable(in_folder(state, to_name));
    expect_text(why, before, after);
    expect_number("taken into where they came from, they change nothing", THEW_DONE_BEFORE,
                  take_in(from, &given, false, &again, &found_again));
    for (int s = 0; s < THEW_SHEET_COUNT; s++)
        g_string_free(out[s], TRUE);
}

static void random_studios_go_round(void **state)
{
    const char *wanted = g_getenv("THEW_HAND_OUT_SEED");
    guint32 first = wanted ? (guint32)g_ascii_strtoull(wanted, NULL, 10) : 1;
    printf("# seeds %u to %u\n", first, first + 29);
    for (guint32 seed = first; seed < first + 30; seed++)
        round_trip(state, seed);
    expect_end(30 * 7);
}

// --- everything is in it

static guint lines_of(const GPtrArray *files, const char *name)
{
    for (guint f = 0; f < files->len; f++) {
        const thew_handed *file = files->pdata[f];
        guint lines = 0;
        if (strcmp(file->name, name) != 0) continue;
        for (const char *at = file->text->str; (at = strchr(at, '\n')); at++)
            lines++;
        return lines;
    }
    return G_MAXUINT;
}

// A table that is neither handed out nor listed here as left out fails the test.
static void every_table_is_handed_out(void **state)
{
    static const struct {
        const char *table, *file;
    } row[] = {
        { "access_log", "access.jsonl" },
        { "account", "accounts.jsonl" },
        { "account_person", "sights.jsonl" },
        { "addition", "additions.jsonl" },
        { "advice", "advice.jsonl" },
        { "belief", NULL /* made anew */ },
        { "block", "blocks.jsonl" },
        { "checkin", "checkins.jsonl" },
        { "class", "classes.jsonl" },
        { "device", "devices.jsonl" },
        { "diary", "sets.jsonl" },
        { "invitation", NULL /* secret */ },
        { "kit_item", "items.jsonl" },
        { "kit_reading", "readings.jsonl" },
        { "migration", NULL /* the program's */ },
        { "outcome", "outcomes.jsonl" },
        { "override_reason", "overrides.jsonl" },
        { "person", "people.jsonl" },
        { "person_limit", "limits.jsonl" },
        { "person_list", "lists.jsonl" },
        { "run", "runs.jsonl" },
        { "run_event", "run_events.jsonl" },
        { "run_person", "run_people.jsonl" },
        { "screening_answer", "screening.jsonl" },
        { "session", NULL /* secret */ },
        { "standing", NULL /* made anew */ },
        { "studio", NULL /* below */ },
        { "studio_setting", NULL /* below */ },
    };
    const char *path = in_folder(state, "full.thew");
    thew_db *db = open_store(path);
    fill_studio(db, "s");
    fill_person(db, "s", "ada");
    fill_person(db, "s", "bo");
    thew_db_close(db);
    g_autofree char *tables = look(path, "SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name");
    g_autoptr(GString) known = g_string_new(NULL);
    EACH(i, row) g_string_append_printf(known, "%s\n", row[i].table);
    expect_text("the tables there are", known->str, tables);

    g_autoptr(thew_studio) studio = studio_in(state, "full.thew");
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    g_autoptr(GPtrArray) files = NULL, ada = NULL, nobody = NULL;
    EACH(i, row) // before the export is noted
    {
        if (i == 0) assert_int_equal(thew_hand_out(studio, &the_coach, NULL, &files, refusal), THEW_DONE);
        g_autofree char *sql = g_strdup_printf("SELECT COUNT(*) FROM %s", row[i].table);
        gint64 count = look_number(path, sql) - (i == 0 ? 3 : 0); // the export's own: the studio's, ada's, bo's
        if (row[i].file && count == 0) expect_number("the fixture has some of it", 1, strcmp(row[i].table, "standing") == 0);
        if (row[i].file) expect_number(row[i].table, (double)count, lines_of(files, row[i].file));
    }
    expect_number("the studio and its settings", 1 + (double)look_number(path, "SELECT COUNT(*) FROM studio_setting"),
                  lines_of(files, "studio.jsonl"));
    expect_number("noted for each", 2,
                  (double)look_number(path, "SELECT COUNT(*) FROM access_log WHERE action = 'export' AND person IS NOT NULL"));

    assert_int_equal(thew_hand_out(studio, &the_coach, "ada", &ada, refusal), THEW_DONE);
    for (guint f = 0; f < ada->len; f++) {
        const thew_handed *file = ada->pdata[f];
        if (strstr(file->text->str, "bo-") || strstr(file->text->str, "\"bo\""))
            expect_text("nothing of another person", "", file->name);
        if (strstr(file->text->str, "password") || strstr(file->text->str, "argon2")) expect_text("no secret", "", file->name);
    }
    expect_number("all sets of hers", (double)look_number(path, "SELECT COUNT(*) FROM diary WHERE person = 'ada'"),
                  lines_of(ada, "sets.jsonl"));
    expect_number("no classes of the studio's", G_MAXUINT, lines_of(ada, "classes.jsonl"));
    expect_number("somebody unknown", THEW_ABSENT, thew_hand_out(studio, &the_coach, "cy", &nobody, refusal));
    expect_end(25);
}

static void the_same_gives_the_same_zip(void **state)
{
    g_autoptr(thew_studio) studio = studio_in(state, "zip.thew");
    g_autoptr(GRand) random = g_rand_new_with_seed(3);
    fill(random, studio);
    // noted nowhere, so that nothing changes between the two
    g_autoptr(thew_studio) reader = NULL;
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    assert_int_equal(thew_studio_open(in_folder(state, "zip.thew"), THEW_DB_READ, the_catalogue, &reader, refusal), THEW_DONE);
    g_autoptr(GBytes) one = NULL, other = NULL;
    assert_int_equal(thew_hand_out_zip(reader, &the_coach, NULL, &one, refusal), THEW_DONE);
    assert_int_equal(thew_hand_out_zip(reader, &the_coach, NULL, &other, refusal), THEW_DONE);
    expect_number("byte for byte", 1, g_bytes_equal(one, other));
    expect_number("a ZIP file (PK, 3, 4)", 0, memcmp(g_bytes_get_data(one, NULL), "PK\3\4", 4));
    expect_end(2);
}

#define TEST(f) cmocka_unit_test_setup_teardown(f, make_folder, remove_folder)
int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(random_studios_go_round),
        TEST(every_table_is_handed_out),
        TEST(the_same_gives_the_same_zip),
    };
    return cmocka_run_group_tests(tests, load_catalogue, unload_catalogue);
}
