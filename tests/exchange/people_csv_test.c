// people_csv_test.c: what a row of people.csv says, and the sentence when it cannot.
// Everybody here is invented.
#include "expect.h"

#include <string.h>

#include "exchange/people_csv.h"

#define HEADER                                                                                                                     \
    "person,called,sex,birth_year,height_m,mass_kg,condition,endpoint,weaker_side,heat_sensitive,exercises,cautions,note\n"

static const thew_date today = { 2026, 3, 31 };

static thew_people_csv *read_text(const char *text, gssize length, thew_trouble_list *trouble)
{
    g_autoptr(GBytes) bytes = g_bytes_new(text, length < 0 ? strlen(text) : (gsize)length);
    return thew_people_csv_read("people.csv", bytes, today, trouble);
}

// A row in one line, everything in it.
static void dump(GString *out, const thew_people_row *row)
{
    g_autofree char *exercises = g_strjoinv("+", (char **)row->exercises), *cautions = g_strjoinv("+", (char **)row->cautions);
    g_string_append_printf(out, "%s %s sex%d %d %gm %gkg condition%d endpoint%d weaker%d heat%d [%s] [%s] (%s)\n", row->person,
                           row->called, row->sex, row->birth_year, row->height_m, row->mass_kg, row->condition, row->endpoint,
                           row->weaker_side, row->heat_sensitive, exercises, cautions, row->note);
    if (row->goals[0] == NULL && row->since_day.year == 0) return;
    char since[THEW_DATE_TEXT], left[THEW_DATE_TEXT];
    g_autofree char *goals = g_strjoinv("+", (char **)row->goals);
    g_string_truncate(out, out->len - 1);
    g_string_append_printf(out, " {%s} %s to %s\n", goals, thew_date_text(row->since_day, since), thew_date_text(row->left_day, left));
}

static void values(void **state)
{
    (void)state;
    // clang-format off
    static const struct {
        const char *why, *text, *rows;
    } row[] = {
        { "everything",
          HEADER "ana,Ana M,female,1971,1.68,64.5,ms,failure,left,yes,seated-row chair-hover,band-recoil,\"numb, left\"\n",
          "ana Ana M sex1 1971 1.68m 64.5kg condition1 endpoint1 weaker1 heat1 [seated-row+chair-hover] [band-recoil] (numb, "
          "left)\n" },
        { "the other of everything", HEADER "bo,,male,1950,.5,350,none,reserve,right,no,,,\n",
          "bo bo sex2 1950 0.5m 350kg condition2 endpoint2 weaker2 heat0 [] [] ()\n" },
        { "as little as possible; heat as the condition has it", HEADER "a,,,,,,ms,failure,,,,,\nb,,,,,,none,failure,,,,,\n",
          "a a sex0 0 0m 0kg condition1 endpoint1 weaker0 heat1 [] [] ()\n"
          "b b sex0 0 0m 0kg condition2 endpoint1 weaker0 heat0 [] [] ()\n" },
        { "the same against the condition", HEADER "a,,,,,,ms,failure,,no,,,\nb,,,,,,none,failure,,yes,,,\n",
          "a a sex0 0 0m 0kg condition1 endpoint1 weaker0 heat0 [] [] ()\n"
          "b b sex0 0 0m 0kg condition2 endpoint1 weaker0 heat1 [] [] ()\n" },
        { "only the columns that must be there", "endpoint,condition,person\nreserve,ms,ana\n",
          "ana ana sex0 0 0m 0kg condition1 endpoint2 weaker0 heat1 [] [] ()\n" },
        { "nothing is decided: careful about heat", "person,condition,endpoint\na,unknown,undecided\n",
          "a a sex0 0 0m 0kg condition0 endpoint0 weaker0 heat1 [] [] ()\n" },
        { "goals, and when", "person,condition,endpoint,goals,since,left_on\na,ms,failure,stairs walk,2026-01-02,2026-03-04\n",
          "a a sex0 0 0m 0kg condition1 endpoint1 weaker0 heat1 [] [] () {stairs+walk} 2026-01-02 to 2026-03-04\n" },
        { "nobody yet", HEADER, "" },
    };
    // clang-format on
    EACH(i, row)
    {
        g_autoptr(thew_trouble_list) trouble = thew_trouble_list_new();
        g_autoptr(thew_people_csv) people = read_text(row[i].text, -1, trouble);
        g_autoptr(GString) rows = g_string_new(NULL);
        for (guint k = 0; k < people->row->len; k++)
            dump(rows, &g_array_index(people->row, thew_people_row, k));
        g_autofree char *found = findings(trouble);
        expect_text(row[i].why, row[i].rows, rows->str);
        expect_text(row[i].why, "", found);
    }
    expect_end(12);
}

static void faults(void **state)
{
    (void)state;
    // clang-format off
    static const struct {
        const char *why, *text, *findings;
    } row[] = {
        { "every field wrong, all of it said",
          HEADER " a,12345678901234567890123456789012345678901234567890123456789012345678901234567890123456789012345678901,F,19x4,168,14.9,MS,fail,l,y,a a,b b,\x7F\n"
          " a,12345678901234567890123456789012345678901234567890123456789012345678901234567890123456789012345678901,F,19x4,168,14.9,MS,fail,l,y,a a,b b,\n",
          "people.csv:2:142: a control character (U+007F); a field is plain text\n"
          "people.csv:3:1: person: must not begin or end with a space; got \" a\"\n"
          "people.csv:3:4: called: must be at most 100 characters long; got \"1234567890123456789012345678901234567890…\"\n"
          "people.csv:3:106: sex: must be female, male or empty; got \"F\"\n"
          "people.csv:3:108: birth_year: must be a year from 1900 to 2026; got \"19x4\"\n"
          "people.csv:3:113: height_m: must be a height in metres from 0.5 to 2.5; got \"168\"\n"
          "people.csv:3:117: mass_kg: must be a mass in kilograms from 15 to 350; got \"14.9\"\n"
          "people.csv:3:122: condition: must be ms, none or unknown; perhaps \"ms\" is meant; got \"MS\"\n"
          "people.csv:3:125: endpoint: must be failure, reserve or undecided; got \"fail\"\n"
          "people.csv:3:130: weaker_side: must be left, right or empty; got \"l\"\n"
          "people.csv:3:132: heat_sensitive: must be yes, no or empty; got \"y\"\n"
          "people.csv:3:134: exercises: \"a\"; must name each only once; got \"a a\"\n"
          "people.csv:3:138: cautions: \"b\"; must name each only once; got \"b b\"\n" },
        { "what must be there", HEADER ",Ana,,,,,,,,,,,\n",
          "people.csv:2:1: person: must not be empty\n" "people.csv:2:10: condition: must not be empty\n"
          "people.csv:2:11: endpoint: must not be empty\n" },
        { "columns that must be there", "person,called\n",
          "people.csv:1: the column \"condition\" is missing\npeople.csv:1: the column \"endpoint\" is missing\n" },
        { "born next year", HEADER "a,,,2027,,,ms,failure,,,,,\n",
          "people.csv:2:5: birth_year: must be a year from 1900 to 2026; got \"2027\"\n" },
        { "one person, two rows", HEADER "a,,,,,,ms,failure,,,,,\nb,,,,,,ms,failure,,,,,\na,,,,,,ms,failure,,,,,\n",
          "people.csv:4:1: person: this person is in line 2 already; each person has one row; got \"a\"\n" },
        { "everybody is nobody", HEADER "*,,,,,,ms,failure,,,,,\n",
          "people.csv:2:1: person: * stands for everybody in kit.csv; must be one person's name; got \"*\"\n" },
        { "rows of commas, as spreadsheets leave them", HEADER "a,,,,,,ms,failure,,,,,\n,,,,,,,,,,,,\n",
          "people.csv:3: a row without any entry; take it out\n" },
    };
    // clang-format on
    EACH(i, row)
    {
        g_autoptr(thew_trouble_list) trouble = thew_trouble_list_new();
        g_autoptr(thew_people_csv) people = read_text(row[i].text, -1, trouble);
        (void)people;
        g_autofree char *found = findings(trouble);
        expect_text(row[i].why, row[i].findings, found);
    }
    expect_end(7);
}

static void bodies(void **state)
{
    (void)state;
    // clang-format off
    static const struct {
        const char *why;
        int birth_year;
        thew_date day;
        double age_y;
    } row[] = {
        { "unknown", 0, { 2026, 3, 31 }, 0 },
        { "in the middle of the year: whole years", 1971, { 2026, 6, 1 }, 54 + 11. / 24 + .5 },
        { "born this year: the engine counts from 1", 2026, { 2026, 3, 31 }, 1 },
        { "the oldest that can be written: the engine counts to 120", 1900, { 2026, 3, 31 }, 120 },
    };
    // clang-format on
    EACH(i, row)
    {
        const thew_people_row person = { .sex = THEW_SEX_FEMALE, .birth_year = row[i].birth_year, .height_m = 1.68, .mass_kg = 64 };
        thew_body body = thew_people_body(&person, row[i].day);
        expect_number(row[i].why, (int)(row[i].age_y * 1e6 + .5), (int)(body.age_y * 1e6 + .5)); // to a millionth of a year
        expect_number("height as it is", 1.68, body.height_m);
        expect_number("mass as it is", 64, body.mass_kg);
        expect_number("sex as it is", THEW_SEX_FEMALE, body.sex);
    }
    expect_end(16);
}

// The example of the template is a row like any other once it stands below the header.
static void template(void **state)
{
    (void)state;
    g_autoptr(GString) text = g_string_new(NULL);
    thew_people_csv_template(text);
    g_autoptr(thew_trouble_list) trouble = thew_trouble_list_new();
    g_autoptr(thew_people_csv) empty = read_text(text->str, -1, trouble);
    expect_number("as it comes it is empty", 0, empty->row->len);
    expect_text("it says that it is invented", "yes", strstr(text->str, "invented") != NULL ? "yes" : "no");
    const char *example = strstr(text->str, "# ana,");
    g_string_append_len(text, example + 2, strchr(example, '\n') + 1 - (example + 2));
    g_autoptr(thew_people_csv) filled = read_text(text->str, -1, trouble);
    g_autofree char *found = findings(trouble);
    expect_text("no findings", "", found);
    expect_number("one person", 1, filled->row->len);
    expect_text("found by name", "Ana", thew_people_csv_find(filled, "ana")->called);
    expect_text("nobody else is", NULL, thew_people_csv_find(filled, "bo") != NULL ? "somebody" : NULL);
    expect_end(6);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(values),
        cmocka_unit_test(faults),
        cmocka_unit_test(bodies),
        cmocka_unit_test(template),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
