// take_in_test.c: files taken into a studio: what is new, what is there already, what is refused, and nothing half done.
// Everything in the files is invented.
#define _POSIX_C_SOURCE 200809L // kill
#include "tests/studio/open_studio.h"

#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#define PEOPLE "person,condition,endpoint,exercises,cautions\n"
#define KIT "person,implement,kind,mass_kg,rest_length_m,length_m,force_n,measured,retired,note\n"
#define DIARY "date,person,exercise,side,implement,ended,seconds,record,replaces,withdrawn,note\n"
#define DAYS "date,person,room_c,humidity_percent,fatigue\n"
#define ANA PEOPLE "ana,ms,failure,seated-row,\n"
#define BAND KIT "ana,long,band,,1.2,1.8,30,2026-01-15,,\nana,long,band,,1.2,2.4,44,2026-01-15,,\n*,iron,dumbbell,2,,,,,,\n"
#define SETS                                                                                                                       \
    DIARY "2026-01-20,ana,seated-row,left,long,failure,74,,,,\n2026-01-20,ana,seated-row,left,long,failure,74,,,,\n"               \
          "2026-01-21,ana,seated-row,right,long,failure,60,r1,,,\n2026-01-21,ana,seated-row,right,long,failure,66,r2,r1,,slip\n"
#define CHECKINS DAYS "2026-01-20,ana,21,45,4\n"
static const texts all = { ANA, BAND, SETS, CHECKINS };

/// Everything that is kept, revisions and all.
static char *everything(const char *path)
{
    g_autofree char *rows = dump(path), *revisions = look(path, "SELECT person, revision FROM person ORDER BY person");
    return g_strconcat(rows, revisions, NULL);
}

// --- again changes nothing

static void again_changes_nothing(void **state)
{
    g_autoptr(thew_studio) studio = studio_in(state, "a.thew");
    const char *path = in_folder(state, "a.thew");
    thew_taken_in taken;
    g_autofree char *none = everything(path), *found_dry = NULL, *found = NULL, *found_again = NULL;

    expect_number("a dry run says what would come", THEW_DONE, take_in(studio, &all, true, &taken, &found_dry));
    g_autofree char *would = taken_text(&taken);
    expect_text("all of it", "1 people, 2 items, 2 readings, 4 sets, 1 check-ins, 0 repeated", would);
    g_autofree char *after_dry = everything(path);
    expect_text("and keeps nothing", none, after_dry);

    expect_number("taken in", THEW_DONE, take_in(studio, &all, false, &taken, &found));
    g_autofree char *did = taken_text(&taken), *once = everything(path);
    expect_text("as the dry run said", would, did);
    expect_text("the file's twins are asked about, and kept",
                "diary.csv:3: note: the same in everything as line 2; was it done twice? Both are kept\n", found);

    expect_number("again", THEW_DONE_BEFORE, take_in(studio, &all, false, &taken, &found_again));
    g_autofree char *did_again = taken_text(&taken), *twice = everything(path);
    expect_text("nothing is new", "0 people, 0 items, 0 readings, 0 sets, 0 check-ins, 10 repeated", did_again);
    expect_text("nothing has changed", once, twice);

    g_autofree char *counting =
        look(path, "SELECT seconds FROM diary AS e WHERE NOT EXISTS (SELECT 1 FROM diary AS c WHERE c.replaces = "
                   "e.record) ORDER BY revision");
    expect_text("what counts", "74.0\n74.0\n66.0\n", counting);
    g_autoptr(GPtrArray) finding = NULL;
    must(studio->db, thew_store_inspect(studio->db, &finding));
    expect_number("the store is whole", 0, finding->len);
    expect_end(11);
}

// --- one file after the other

typedef struct {
    const char *why;
    texts given;
    thew_verdict verdict;
    const char *taken, *findings;
} step;

static void take_steps(void **state, const step *row, gsize count)
{
    g_autoptr(thew_studio) studio = studio_in(state, "steps.thew");
    for (gsize s = 0; s < count; s++) {
        thew_taken_in taken;
        g_autofree char *found = NULL, *before = everything(in_folder(state, "steps.thew"));
        thew_verdict verdict = take_in(studio, &row[s].given, false, &taken, &found);
        g_autofree char *text = taken_text(&taken), *after = everything(in_folder(state, "steps.thew"));
        expect_number(row[s].why, row[s].verdict, verdict);
        expect_text(row[s].why, row[s].taken, text);
        expect_text(row[s].why, row[s].findings, found);
        if (verdict != THEW_DONE) expect_text("nothing was changed", before, after);
    }
}

#define NOTHING "0 people, 0 items, 0 readings, 0 sets, 0 check-ins, 0 repeated"
static void files_one_by_one(void **state)
{
    // clang-format off
    static const step row[] = {
        { "a diary of nobody known", { .diary = SETS }, THEW_INVALID, NOTHING,
          "diary.csv:2:12: person: unknown person, here and in 3 more rows; must be one of the people's file or of the studio; got "
          "\"ana\"\ndiary.csv:3: note: the same in everything as line 2; was it done twice? Both are kept\n" },
        { "people first", { .people = ANA }, THEW_DONE, "1 people, 0 items, 0 readings, 0 sets, 0 check-ins, 0 repeated", "" },
        { "a diary whose implement nobody has", { .diary = DIARY "2026-01-20,ana,seated-row,left,long,failure,74,,,,\n" }, THEW_INVALID,
          NOTHING, "diary.csv:2:32: implement: unknown implement of \"ana\"; must be one of the kit's file, two bands of it as a+b, or "
          "empty for body weight; got \"long\"\n" },
        { "then kit", { .kit = BAND }, THEW_DONE, "0 people, 2 items, 2 readings, 0 sets, 0 check-ins, 0 repeated", "" },
        { "now the diary finds both in the studio", { .diary = SETS }, THEW_DONE,
          "0 people, 0 items, 0 readings, 4 sets, 0 check-ins, 0 repeated",
          "diary.csv:3: note: the same in everything as line 2; was it done twice? Both are kept\n" },
        { "a hint at a name of the studio", { .diary = DIARY "2026-01-22,anna,seated-row,left,,failure,74,,,,\n" }, THEW_INVALID, NOTHING,
          "diary.csv:2:12: person: unknown person; perhaps \"ana\" is meant; got \"anna\"\n" },
        { "another reading of the band", { .kit = KIT "ana,long,band,,1.2,1.8,28,2026-03-15,,worn\n" }, THEW_DONE,
          "0 people, 0 items, 1 readings, 0 sets, 0 check-ins, 1 repeated", "" },
        { "it is retired", { .kit = KIT "ana,long,band,,1.2,,,,2026-03-20,\n" }, THEW_INVALID, NOTHING,
          "kit.csv:2: step: a band without readings; give a length and its force, or its step on the ladder\n" },
        { "it is retired, with a reading", { .kit = KIT "ana,long,band,,1.2,1.8,28,2026-03-15,2026-03-20,\n" }, THEW_DONE,
          "0 people, 1 items, 0 readings, 0 sets, 0 check-ins, 1 repeated", "" },
        { "a file that knows nothing of retiring leaves it", { .kit = "person,implement,kind,rest_length_m,length_m,force_n,measured\n"
          "ana,long,band,1.2,1.8,30,2026-01-15\n" }, THEW_DONE_BEFORE, "0 people, 0 items, 0 readings, 0 sets, 0 check-ins, 2 repeated", "" },
        { "another of the same label", { .kit = KIT "ana,long,band,,1.4,2,30,2026-03-21,,\n" }, THEW_DONE,
          "0 people, 1 items, 1 readings, 0 sets, 0 check-ins, 0 repeated", "" },
        { "another thing under a label", { .kit = KIT "*,iron,cuff,2,,,,,,\n" }, THEW_INVALID, NOTHING,
          "kit.csv:2:8: kind: the studio keeps a dumbbell under this label; give different things different labels; got \"cuff\"\n" },
        { "its mass was wrong", { .kit = KIT "*,iron,dumbbell,2.5,,,,,,\n" }, THEW_DONE,
          "0 people, 1 items, 0 readings, 0 sets, 0 check-ins, 0 repeated", "" },
    };
    // clang-format on
    take_steps(state, row, G_N_ELEMENTS(row));
    expect_end(40);
}

static void corrections_and_changed_rows(void **state)
{
    // clang-format off
    static const step row[] = {
        { "to begin with", { ANA, BAND, SETS, CHECKINS }, THEW_DONE, "1 people, 2 items, 2 readings, 4 sets, 1 check-ins, 0 repeated",
          "diary.csv:3: note: the same in everything as line 2; was it done twice? Both are kept\n" },
        { "a correction of a record that only the studio has",
          { .diary = DIARY "2026-01-21,ana,seated-row,right,long,failure,67,r3,r2,,\n" }, THEW_DONE,
          "0 people, 0 items, 0 readings, 1 sets, 0 check-ins, 0 repeated", "" },
        { "a second one of the same record", { .diary = DIARY "2026-01-21,ana,seated-row,right,long,failure,68,r4,r2,,\n" }, THEW_INVALID,
          NOTHING, NULL },
        { "of a record that nobody has", { .diary = DIARY "2026-01-21,ana,seated-row,right,long,failure,68,r4,rx,,\n" }, THEW_INVALID, NOTHING,
          "diary.csv:2:52: replaces: no such record in this file or in the studio; name the record that was wrong; got \"rx\"\n" },
        { "a record with another content", { .diary = DIARY "2026-01-21,ana,seated-row,right,long,failure,61,r1,,,\n" }, THEW_INVALID, NOTHING,
          "diary.csv:2:46: seconds: the studio has this set (record r1) with \"60\" here; a correction is a row of its own with a record "
          "of its own and r1 in replaces; another set needs a record of its own; got \"61\"\n" },
        { "a check-in that says otherwise now", { .days = DAYS "2026-01-20,ana,21,45,5\n" }, THEW_INVALID, NOTHING, NULL },
        { "a column that is not in the file is not compared", { .days = "date,person,fatigue\n2026-01-20,ana,4\n" }, THEW_DONE_BEFORE,
          "0 people, 0 items, 0 readings, 0 sets, 0 check-ins, 1 repeated", "" },
        { "a row without a record was changed on paper", { .diary = DIARY "2026-01-20,ana,seated-row,left,long,failure,75,,,,\n" },
          THEW_INVALID, NOTHING, NULL },
        { "what is replaced stands below what replaces it",
          { .diary = DIARY "2026-02-01,ana,seated-row,right,long,failure,50,s2,s1,,\n2026-02-01,ana,seated-row,right,long,failure,55,s1,,,\n" },
          THEW_DONE, "0 people, 0 items, 0 readings, 2 sets, 0 check-ins, 0 repeated", "" },
        { "a set that never was", { .diary = DIARY "2026-02-01,ana,seated-row,right,long,failure,50,s3,s2,yes,twice\n" }, THEW_DONE,
          "0 people, 0 items, 0 readings, 1 sets, 0 check-ins, 0 repeated", "" },
        { "withdrawing nothing", { .diary = DIARY "2026-02-01,ana,seated-row,right,long,failure,50,s4,,yes,\n" }, THEW_INVALID, NOTHING,
          "diary.csv:2:53: withdrawn: withdraws nothing; name the record that never was in replaces; got \"yes\"\n" },
        { "the same day and exercise on another implement, and the first row is gone: was it changed?",
          { .diary = DIARY "2026-01-20,ana,seated-row,left,,failure,74,,,,\n" }, THEW_DONE,
          "0 people, 0 items, 0 readings, 1 sets, 0 check-ins, 0 repeated", NULL },
    };
    // clang-format on
    g_autoptr(thew_studio) studio = studio_in(state, "c.thew");
    for (gsize s = 0; s < G_N_ELEMENTS(row); s++) {
        thew_taken_in taken;
        g_autofree char *found = NULL;
        expect_number(row[s].why, row[s].verdict, take_in(studio, &row[s].given, false, &taken, &found));
        g_autofree char *text = taken_text(&taken);
        expect_text(row[s].why, row[s].taken, text);
        if (row[s].findings) expect_text(row[s].why, row[s].findings, found);
        if (!row[s].findings)
            expect_number(row[s].why, 1, strchr(found, '\n') == found + strlen(found) - 1); // one sentence, with an identifier
    }
    expect_number(
        "two of one place: one is replaced, one withdrawn", 0,
        (double)look_number(in_folder(state, "c.thew"),
                            "SELECT COUNT(*) FROM diary AS e WHERE day = '2026-02-01' AND withdrawn = 0 AND NOT EXISTS (SELECT 1 "
                            "FROM diary AS c WHERE c.replaces = e.record)"));
    expect_end(36);
}

// --- a file never makes things less safe; what it does not say stays

static void what_is_safe_stays(void **state)
{
    g_autoptr(thew_studio) studio = studio_in(state, "safe.thew");
    const char *path = in_folder(state, "safe.thew");
    // clang-format off
    static const struct {
        const char *why, *people, *kept, *findings;
    } row[] = {
        { "everything said", "person,called,condition,endpoint,heat_sensitive,cautions,goals,exercises,since,note\n"
          "ana,Ana,ms,reserve,yes,hold-breathing,goal-a,seated-row,2026-01-01,old\n", NULL, NULL },
        { "fewer columns leave alone", "person,condition,endpoint\nana,ms,reserve\n", "Ana|ms|reserve|1|2026-01-01|old\n", "" },
        { "an old file undoes no caution, no reserve, no heat",
          "person,called,condition,endpoint,heat_sensitive,cautions,note\nana,Anna,none,failure,no,,\n", "Anna|none|reserve|1|2026-01-01|\n",
          "people.csv:2:15: note: endpoint: the studio says reserve; it stays; take it back at the desk; got \"failure\"\n"
          "people.csv:2:23: note: heat_sensitive: the studio says yes; it stays; take it back at the desk; got \"no\"\n"
          "people.csv:2:26: note: cautions: the studio has a caution that is not here; it stays; take it back at the desk\n" },
        { "nothing is decided", "person,condition,endpoint\nbo,unknown,undecided\n", "Anna|none|reserve|1|2026-01-01|\nbo|(null)|(null)|1|(null)|\n", "" },
    };
    // clang-format on
    size_t count;
    const thew_caution *const *cautions = thew_catalogue_cautions(the_catalogue, &count);
    const thew_goal *const *goals = thew_catalogue_goals(the_catalogue, &count);
    EACH(i, row)
    {
        g_autoptr(GString) text = g_string_new(row[i].people);
        g_string_replace(text, "hold-breathing", cautions[0]->id, 0);
        g_string_replace(text, "goal-a", goals[0]->id, 0);
        thew_taken_in taken;
        g_autofree char *found = NULL;
        thew_verdict verdict = take_in(studio, &(texts){ .people = text->str }, false, &taken, &found);
        expect_number(row[i].why, 1, verdict == THEW_DONE || verdict == THEW_DONE_BEFORE);
        g_autofree char *kept =
            look(path, "SELECT called, condition, endpoint, heat_sensitive, since_day, note FROM person ORDER BY person");
        if (row[i].kept) expect_text(row[i].why, row[i].kept, kept);
        if (row[i].findings) expect_text(row[i].why, row[i].findings, found);
    }
    expect_number("its lists are there still", 3,
                  (double)look_number(path, "SELECT COUNT(*) FROM person_list WHERE person = 'ana'"));
    expect_end(11);
}

// --- killed in the middle

#define MANY 20000
static char *many_sets(void)
{
    GString *text = g_string_new(DIARY);
    for (int i = 0; i < MANY; i++)
        g_string_append_printf(text, "2026-01-%02d,ana,seated-row,left,long,failure,%d,r%d,,,\n", 1 + i % 28, 30 + i % 60, i);
    return g_string_free(text, FALSE);
}

static void killed_in_the_middle(void **state)
{
    const char *path = in_folder(state, "killed.thew");
    thew_studio_close(studio_in(state, "killed.thew"));
    g_autofree char *diary = many_sets();
    const texts given = { ANA, BAND, diary, CHECKINS };
    const guint32 seed = 5;
    g_autoptr(GRand) random = g_rand_new_with_seed(seed);
    int unfinished = 0;
    for (int round = 0; round < 25; round++) {
        pid_t child = fork();
        if (child == 0) {
            thew_studio *studio = studio_in(state, "killed.thew");
            thew_taken_in taken;
            char *found = NULL;
            _exit(take_in(studio, &given, false, &taken, &found) == THEW_UNABLE);
        }
        g_usleep((gulong)g_rand_int_range(random, 0, 900000));
        kill(child, SIGKILL);
        int how;
        assert_int_equal(waitpid(child, &how, 0), child);
        gint64 people = look_number(path, "SELECT COUNT(*) FROM person"), sets = look_number(path, "SELECT COUNT(*) FROM diary"),
               checkins = look_number(path, "SELECT COUNT(*) FROM checkin");
        bool nothing = people == 0 && sets == 0 && checkins == 0, whole = people == 1 && sets == MANY && checkins == 1;
        if (!nothing && !whole) fprintf(stderr, "%d people, %d sets, %d check-ins\n", (int)people, (int)sets, (int)checkins);
        expect_number("all of it or nothing", 1, nothing || whole);
        unfinished += nothing;
        if (whole) break;
    }
    printf("# killed %d times before the end (seed %u)\n", unfinished, seed);
    g_autoptr(thew_studio) studio = studio_in(state, "killed.thew");
    thew_taken_in taken;
    g_autofree char *found = NULL;
    thew_verdict verdict = take_in(studio, &given, false, &taken, &found);
    expect_number("after that it goes as if nothing had been", 1, verdict == THEW_DONE || verdict == THEW_DONE_BEFORE);
    g_autoptr(GPtrArray) finding = NULL;
    must(studio->db, thew_store_inspect(studio->db, &finding));
    expect_number("the store is whole", 0, finding->len);
    expect_end(3);
}

#define TEST(f) cmocka_unit_test_setup_teardown(f, make_folder, remove_folder)
int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(again_changes_nothing), TEST(files_one_by_one),     TEST(corrections_and_changed_rows),
        TEST(what_is_safe_stays),    TEST(killed_in_the_middle),
    };
    return cmocka_run_group_tests(tests, load_catalogue, unload_catalogue);
}
