// cross_check_test.c: names in one file that must be found in another, and the sentence when they are not.
// Everybody and everything here is invented, the exercises too.
#include "expect.h"

#include <string.h>

#include "exchange/cross_check.h"

#define PEOPLE "person,birth_year,condition,endpoint,exercises,cautions\n"
#define KIT "person,implement,kind,mass_kg,rest_length_m,step\n"
#define DIARY "date,person,exercise,variant,implement,setting,ended,seconds\n"
#define DAYS "date,person\n"
#define ANA_AND_BO PEOPLE "ana,1971,ms,failure,,\nbo,,none,failure,,\n"
#define SOME_KIT KIT "ana,long band,band,,1,1\nbo,iron,dumbbell,2,,\n*,cuff,cuff,1,,\n"

static int asked; // how often the catalogue was

// An invented catalogue: two exercises; settings that depend on variant and implement.
static const char *const *ids(void *user, thew_known_kind kind, thew_known_where where)
{
    static const char *const exercises[] = { "curl", "row", NULL }, *const variants[] = { "row", "row-standing", NULL },
                             *const none[] = { NULL }, *const cautions[] = { "band-recoil", "c2", "c3", "c4", "c5",
                                                                             "c6",          "c7", "c8", "c9", NULL },
                             *const goals[] = { "walk", "stairs", NULL },
                             *const band[] = { "half grip", "full grip", NULL }, *const standing[] = { "wide stance", NULL };
    ++*(int *)user;
    switch (kind) {
    case THEW_KNOWN_EXERCISES:
        return exercises;
    case THEW_KNOWN_CAUTIONS:
        return cautions;
    case THEW_KNOWN_GOALS:
        return goals;
    case THEW_KNOWN_VARIANTS:
        return g_str_equal(where.exercise, "row") ? variants : none;
    case THEW_KNOWN_SETTINGS:
        if (where.variant != NULL && g_str_equal(where.variant, "row-standing")) return standing;
        return where.implement == THEW_KIT_BAND ? band : where.implement == THEW_KIT_CUFF ? NULL : none;
    }
    return NULL;
}

static GBytes *bytes_of(const char *text)
{
    return g_bytes_new(text, strlen(text));
}

// All four read and checked; what stands in a file that is NULL is not there.
static char *check(const char *people_text, const char *kit_text, const char *diary_text, const char *days_text, bool knows_ids)
{
    const thew_date today = { 2026, 3, 31 };
    const thew_known known = { .ids = ids, .user = &asked };
    g_autoptr(thew_trouble_list) trouble = thew_trouble_list_new();
    g_autoptr(GBytes) people_bytes = bytes_of(people_text != NULL ? people_text : PEOPLE);
    g_autoptr(GBytes) kit_bytes = bytes_of(kit_text != NULL ? kit_text : KIT);
    g_autoptr(GBytes) diary_bytes = bytes_of(diary_text != NULL ? diary_text : DIARY);
    g_autoptr(GBytes) days_bytes = bytes_of(days_text != NULL ? days_text : DAYS);
    g_autoptr(thew_people_csv) people = thew_people_csv_read("people.csv", people_bytes, today, trouble);
    g_autoptr(thew_kit_csv) kit = thew_kit_csv_read("kit.csv", kit_bytes, today, trouble);
    g_autoptr(thew_diary_csv) diary = thew_diary_csv_read("diary.csv", diary_bytes, today, trouble);
    g_autoptr(thew_days_csv) days = thew_days_csv_read("days.csv", days_bytes, today, trouble);
    thew_cross_check(people_text != NULL ? people : NULL, kit_text != NULL ? kit : NULL, diary_text != NULL ? diary : NULL,
                     days_text != NULL ? days : NULL, knows_ids ? &known : NULL);
    return findings(trouble);
}

typedef struct {
    const char *why, *people, *kit, *diary, *days, *findings;
} files;

static void names(void **state)
{
    (void)state;
    // clang-format off
    static const files row[] = {
        { "all in order", PEOPLE "ana,1971,ms,failure,row curl,band-recoil c9\nbo,,none,failure,,\n", SOME_KIT,
          DIARY "2026-01-20,ana,row,,long band,half grip,failure,60\n2026-01-20,ana,row,row-standing,cuff,wide stance,failure,60\n"
          "2026-01-20,bo,curl,,iron,,failure,60\n2026-01-20,bo,curl,,cuff,anything,failure,60\n2026-01-20,bo,curl,,,,failure,60\n",
          DAYS "2026-01-20,ana\n", "" },
        { "unknown people, each once, with how often", ANA_AND_BO, KIT "anna,x,cuff,1,,\n",
          DIARY "2026-01-20,anna,row,,x,,failure,60\n2026-01-21,anna,row,,,,failure,60\n2026-01-22,carl,row,,,,failure,60\n2026-01-"
          "23,anna,row,,,,failure,60\n", DAYS "2026-01-20,Bo\n2026-01-21,Bo\n",
          "kit.csv:2:1: person: unknown person; perhaps \"ana\" is meant; got \"anna\"\n"
          "diary.csv:2:12: person: unknown person, here and in 2 more rows; perhaps \"ana\" is meant; got \"anna\"\n"
          "diary.csv:4:12: person: unknown person; must be one of the people's file; got \"carl\"\n"
          "days.csv:2:12: person: unknown person, here and in 1 more row; perhaps \"bo\" is meant; got \"Bo\"\n" },
        { "unknown implements: a slip, another's, none alike", ANA_AND_BO, SOME_KIT,
          DIARY
          "2026-01-20,ana,row,,lnog band,,failure,60\n2026-01-20,ana,row,,iron,,failure,60\n2026-01-20,bo,row,,stone,,failure,60\n",
          NULL,
          "diary.csv:2:21: implement: unknown implement of \"ana\"; perhaps \"long band\" is meant; got \"lnog band\"\n"
          "diary.csv:3:21: implement: unknown implement of \"ana\"; it is \"bo\"'s alone; a row with * would make it everybody's; "
          "got \"iron\"\n"
          "diary.csv:4:20: implement: unknown implement of \"bo\"; must be one of the kit's file, two bands of it as a+b, or empty for "
          "body weight; got \"stone\"\n" },
        { "two bands side by side, with spaces or without; not the same twice, not three, not a weight", ANA_AND_BO,
          "person,implement,kind,mass_kg,rest_length_m,step\n*,soft,band,,2,0\nana,hard,band,,2,1\n*,iron,dumbbell,2,,\n*,a+b,cuff,1,,\n",
          DIARY "2026-01-20,ana,row,,soft+hard,half grip,failure,60\n2026-01-21,ana,row,,hard + soft,,failure,60\n"
                "2026-01-22,ana,row,,a+b,,failure,60\n2026-01-23,bo,row,,soft+hard,,failure,60\n"
                "2026-01-24,ana,row,,soft+soft,,failure,60\n2026-01-25,ana,row,,soft+hard+soft,,failure,60\n"
                "2026-01-26,ana,row,,soft+iron,,failure,60\n2026-01-27,ana,row,,soft+,,failure,60\n",
          NULL,
          "diary.csv:5:20: implement: unknown implement of \"bo\"; must be one of the kit's file, two bands of it as a+b, or empty for "
          "body weight; got \"soft+hard\"\n"
          "diary.csv:6:21: implement: unknown implement of \"ana\"; must be one of the kit's file, two bands of it as a+b, or empty for "
          "body weight; got \"soft+soft\"\n"
          "diary.csv:7:21: implement: unknown implement of \"ana\"; must be one of the kit's file, two bands of it as a+b, or empty for "
          "body weight; got \"soft+hard+soft\"\n"
          "diary.csv:8:21: implement: unknown implement of \"ana\"; must be one of the kit's file, two bands of it as a+b, or empty for "
          "body weight; got \"soft+iron\"\n"
          "diary.csv:9:21: implement: unknown implement of \"ana\"; perhaps \"soft\" is meant; got \"soft+\"\n" },
        { "the same name of two people is asked for each", ANA_AND_BO, KIT "ana,x,cuff,1,,\n",
          DIARY "2026-01-20,ana,row,,x,,failure,60\n2026-01-20,bo,row,,x,,failure,60\n", NULL,
          "diary.csv:3:20: implement: unknown implement of \"bo\"; it is \"ana\"'s alone; a row with * would make it everybody's; "
          "got \"x\"\n" },
        { "one's own stands before everybody's", ANA_AND_BO, KIT "*,x,cuff,1,,\nana,x,band,,1,1\n",
          DIARY "2026-01-20,ana,row,,x,half grip,failure,60\n2026-01-20,ana,row,,x,no grip,failure,60\n2026-01-20,bo,row,,x,no "
          "grip,failure,60\n", NULL,
          "diary.csv:3:23: setting: unknown setting of \"row\"; must be one of: half grip, full grip; got \"no grip\"\n" },
        { "unknown exercises, variants, settings", ANA_AND_BO, SOME_KIT,
          DIARY "2026-01-20,ana,rwo,anything,,anything,failure,60\n2026-01-20,ana,row,row-standin,,,failure,60\n2026-01-20,ana,"
          "curl,light,,,failure,60\n" "2026-01-20,ana,row,,long "
          "band,half-grip,failure,60\n2026-01-20,ana,row,row-standing,,narrow,failure,60\n2026-01-20,ana,row,,,half "
          "grip,failure,60\n" "2026-01-20,ana,leg lift,,,,failure,60\n", NULL,
          "diary.csv:2:16: exercise: unknown exercise; perhaps \"row\" is meant; got \"rwo\"\n"
          "diary.csv:3:20: variant: unknown variant of \"row\"; perhaps \"row-standing\" is meant; got \"row-standin\"\n"
          "diary.csv:4:21: variant: unknown variant of \"curl\"; there is none, leave it empty; got \"light\"\n"
          "diary.csv:5:31: setting: unknown setting of \"row\"; perhaps \"half grip\" is meant; got \"half-grip\"\n"
          "diary.csv:6:34: setting: unknown setting of \"row\"; must be one of: wide stance; got \"narrow\"\n"
          "diary.csv:7:22: setting: unknown setting of \"row\"; there is none, leave it empty; got \"half grip\"\n"
          "diary.csv:8:16: exercise: unknown exercise; must be one of: curl, row; got \"leg lift\"\n" },
        { "people's exercises and cautions", PEOPLE "ana,,ms,failure,row curls,band-recoils heat\n", NULL, NULL, NULL,
          "people.csv:2:17: exercises: unknown exercise; perhaps \"curl\" is meant; got \"row curls\"\n"
          "people.csv:2:27: cautions: unknown caution; perhaps \"band-recoil\" is meant; got \"band-recoils heat\"\n"
          "people.csv:2:27: cautions: unknown caution; must be an identifier of the catalogue; got \"band-recoils heat\"\n" },
        { "before somebody was born", ANA_AND_BO, NULL,
          DIARY "1970-12-31,ana,row,,,,failure,60\n1971-01-01,ana,row,,,,failure,60\n1905-01-01,bo,row,,,,failure,60\n",
          DAYS "1969-01-01,ana\n",
          "diary.csv:2:1: date: before \"ana\" was born in 1971; correct the date, or birth_year in the people's file; got "
          "\"1970-12-31\"\n"
          "days.csv:2:1: date: before \"ana\" was born in 1971; correct the date, or birth_year in the people's file; got "
          "\"1969-01-01\"\n" },
        { "a person whose row was lost is not missed", PEOPLE "ana,1971,ms,failure\n", NULL,
          DIARY "2026-01-20,ana,row,,,,failure,60\n", DAYS "2026-01-20,ana\n",
          "people.csv:2: 4 fields where the header has 6; an empty field keeps its comma\n" },
        { "an implement whose row was lost neither", ANA_AND_BO, KIT "ana,x\n", DIARY "2026-01-20,ana,row,,x,y,failure,60\n", NULL,
          "kit.csv:2: 2 fields where the header has 6; an empty field keeps its comma\n" },
        { "a person with a wrong year is known all the same", PEOPLE "ana,1871,ms,failure,,\n", NULL,
          DIARY "2026-01-20,ana,row,,,,failure,60\n", NULL,
          "people.csv:2:5: birth_year: must be a year from 1900 to 2026; got \"1871\"\n" },
        { "without the people's file nobody is unknown", NULL, SOME_KIT, DIARY "2026-01-20,x,row,,cuff,,failure,60\n",
          DAYS "2026-01-20,x\n", "" },
        { "without the kit's file nothing is", ANA_AND_BO, NULL, DIARY "2026-01-20,ana,row,,x,y,failure,60\n", NULL, "" },
    };
    // clang-format on
    EACH(i, row)
    {
        g_autofree char *found = check(row[i].people, row[i].kit, row[i].diary, row[i].days, true);
        expect_text(row[i].why, row[i].findings, found);
    }
    expect_end(13);
}

static void nothing_known_of_exercises(void **state)
{
    (void)state;
    g_autofree char *found = check(PEOPLE "ana,,ms,failure,x,y\nbo,,ms,failure,,\n", SOME_KIT,
                                   DIARY "2026-01-20,ana,a,b,cuff,c,failure,60\n", NULL, false);
    expect_text("then they are not checked", "", found);
    expect_end(1);
}

// The catalogue is asked for what differs, not for each row.
static void asked_once_for_each_name(void **state)
{
    (void)state;
    g_autoptr(GString) diary = g_string_new(DIARY);
    for (int i = 0; i < 1000; i++)
        g_string_append(diary, i % 2 ? "2026-01-20,ana,row,row-standing,cuff,wide stance,failure,60\n"
                                     : "2026-01-21,bo,curl,,,,failure,60\n");
    asked = 0;
    g_autofree char *found = check(ANA_AND_BO, SOME_KIT, diary->str, NULL, true);
    expect_number("two exercises, a variant, a setting", 4, asked);
    g_auto(GStrv) between = g_strsplit(found, "was it done twice", -1);
    expect_number("the repeated rows are asked about", 998, (double)g_strv_length(between) - 1);
    expect_end(2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(names),
        cmocka_unit_test(nothing_known_of_exercises),
        cmocka_unit_test(asked_once_for_each_name),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
