// kit_csv_test.c: rows of kit.csv grouped into implements, and the sentence when they do not fit together.
// Everything here is invented. One kilogram-force: 9.80665 N by definition (3rd CGPM 1901).
#include "expect.h"

#include <string.h>

#include "exchange/kit_csv.h"

#define HEADER "person,implement,kind,mass_kg,rest_length_m,length_m,force_n,force_kgf,step,measured,note\n"

static const thew_date today = { 2026, 3, 31 };

static thew_kit_csv *read_text(const char *text, thew_trouble_list *trouble)
{
    g_autoptr(GBytes) bytes = g_bytes_new(text, strlen(text));
    return thew_kit_csv_read("kit.csv", bytes, today, trouble);
}

static void dump(GString *out, const thew_kit_item *item)
{
    g_string_append_printf(out, "%s/%s kind%d %gkg rest%g", item->person, item->implement, item->kind, item->mass_kg,
                           item->rest_length_m);
    if (item->step.known) g_string_append_printf(out, " step%g", item->step.value);
    for (guint i = 0; i < item->reading->len; i++) {
        const thew_kit_reading *reading = &g_array_index(item->reading, thew_kit_reading, i);
        char day[THEW_DATE_TEXT];
        g_string_append_printf(out, " %gm:%.5fN", reading->reading.length_m, reading->reading.force_n);
        if (reading->measured.year > 0) g_string_append_printf(out, "@%s", thew_date_text(reading->measured, day));
        if (reading->note[0] != '\0') g_string_append_printf(out, "(%s)", reading->note);
    }
    char retired[THEW_DATE_TEXT];
    g_string_append_printf(out, " (%s)%s%s\n", item->note, item->retired.year > 0 ? " until " : "",
                           item->retired.year > 0 ? thew_date_text(item->retired, retired) : "");
}

static void values(void **state)
{
    (void)state;
    // clang-format off
    static const struct {
        const char *why, *text, *items;
    } row[] = {
        { "weights", HEADER "ana,small,dumbbell,1.5,,,,,,,old\n*,ankle,cuff,.5,,,,,,,\n",
          "ana/small kind3 1.5kg rest0 (old)\n*/ankle kind4 0.5kg rest0 ()\n" },
        { "no owner is everybody", HEADER ",small,dumbbell,1,,,,,,,\n", "*/small kind3 1kg rest0 ()\n" },
        { "readings of one band, newtons and kilograms",
          HEADER "ana,long,band,,1.2,1.8,30,,,2026-01-15,first\nana,long,band,,1.2,2.4,,5,,2026-01-15,\n",
          "ana/long kind1 0kg rest1.2 1.8m:30.00000N@2026-01-15(first) 2.4m:49.03325N@2026-01-15 (first)\n" },
        { "what was said once need not be said again; others between",
          HEADER "ana,long,band,,1.2,1.8,30,,,,\nbo,long,loop,,,,,,3,,\nana,long,band,,,2.4,50,,,,\nbo,long,loop,,.3,,,,,,\n",
          "ana/long kind1 0kg rest1.2 1.8m:30.00000N 2.4m:50.00000N ()\nbo/long kind2 0kg rest0.3 step3 ()\n" },
        { "the softest, unmeasured", HEADER "*,soft,band,,1,,,,0,,\n", "*/soft kind1 0kg rest1 step0 ()\n" },
        { "a step and readings", HEADER "*,soft,band,,1,1.5,20,,2,,\n", "*/soft kind1 0kg rest1 step2 1.5m:20.00000N ()\n" },
        { "the same label of two people is two things", HEADER "a,x,dumbbell,1,,,,,,,\nb,x,cuff,2,,,,,,,\n*,x,dumbbell,3,,,,,,,\n",
          "a/x kind3 1kg rest0 ()\nb/x kind4 2kg rest0 ()\n*/x kind3 3kg rest0 ()\n" },
        { "measured anew: less force on another day is wear, not a slip",
          HEADER "*,x,band,,1,1.5,20,,,2026-01-01,\n*,x,band,,1,1.6,19,,,2026-03-01,\n",
          "*/x kind1 0kg rest1 1.5m:20.00000N@2026-01-01 1.6m:19.00000N@2026-03-01 ()\n" },
        { "only the columns that must be there", "implement,kind,mass_kg\nx,dumbbell,2\n", "*/x kind3 2kg rest0 ()\n" },
        { "one label, one retired and one in use: two things",
          "person,implement,kind,mass_kg,retired\na,x,dumbbell,1,2026-03-01\na,x,dumbbell,2,\n",
          "a/x kind3 1kg rest0 () until 2026-03-01\na/x kind3 2kg rest0 ()\n" },
        { "nothing yet", HEADER, "" },
    };
    // clang-format on
    EACH(i, row)
    {
        g_autoptr(thew_trouble_list) trouble = thew_trouble_list_new();
        g_autoptr(thew_kit_csv) kit = read_text(row[i].text, trouble);
        g_autoptr(GString) items = g_string_new(NULL);
        for (guint k = 0; k < kit->item->len; k++)
            dump(items, &g_array_index(kit->item, thew_kit_item, k));
        g_autofree char *found = findings(trouble);
        expect_text(row[i].why, row[i].items, items->str);
        expect_text(row[i].why, "", found);
    }
    expect_end(20);
}

static void faults(void **state)
{
    (void)state;
    // clang-format off
    static const struct {
        const char *why, *text, *findings;
    } row[] = {
        { "every field wrong", HEADER "a ,,Band,0,0,0,x,y,-1,2027-01-01,\n",
          "kit.csv:2:1: person: must not begin or end with a space; got \"a \"\n" "kit.csv:2:4: implement: must not be empty\n"
          "kit.csv:2:5: kind: must be band, loop, dumbbell or cuff; perhaps \"band\" is meant; got \"Band\"\n"
          "kit.csv:2:10: mass_kg: must be a mass in kilograms from 0.05 to 100; got \"0\"\n"
          "kit.csv:2:12: rest_length_m: must be a length in metres from 0.05 to 10; got \"0\"\n"
          "kit.csv:2:14: length_m: must be a length in metres from 0.05 to 30; got \"0\"\n"
          "kit.csv:2:16: force_n: must be a force in newtons from 0.1 to 2000; got \"x\"\n"
          "kit.csv:2:18: force_kgf: must be a force in kilograms from 0.01 to 200; got \"y\"\n"
          "kit.csv:2:18: force_kgf: a force in newtons and one in kilograms; leave one of them empty; got \"y\"\n"
          "kit.csv:2:20: step: must be a whole number from 0 to 20; got \"-1\"\n"
          "kit.csv:2:23: measured: must not lie after today, 2026-03-31; got \"2027-01-01\"\n" },
        { "two kinds", HEADER "a,x,dumbbell,1,,,,,,,\na,x,cuff,1,,,,,,,\n",
          "kit.csv:3:5: kind: line 2 says dumbbell of the same implement; give different things different labels; got \"cuff\"\n" },
        { "two rest lengths", HEADER "a,x,band,,1.2,1.8,30,,,,\na,x,band,,1.25,2.4,40,,,,\n",
          "kit.csv:3:11: rest_length_m: line 2 says 1.2 of the same implement; one implement has one value; got \"1.25\"\n" },
        { "two masses", HEADER "a,x,cuff,1,,,,,,,\na,x,cuff,2,,,,,,,\n",
          "kit.csv:3:10: mass_kg: line 2 says 1 of the same implement; one implement has one value; got \"2\"\n" },
        { "two steps", HEADER "a,x,band,,1,,,,1,,\na,x,band,,,,,,2,,\n",
          "kit.csv:3:15: step: line 2 says 1 of the same implement; one implement has one value; got \"2\"\n" },
        { "a mass for a band", HEADER "a,x,band,1,1,,,,0,,\n",
          "kit.csv:2:10: mass_kg: a band is known by its force, not by its mass; leave it empty; got \"1\"\n" },
        { "a mass for a loop", HEADER "a,x,loop,1,1,,,,0,,\n",
          "kit.csv:2:10: mass_kg: a loop is known by its force, not by its mass; leave it empty; got \"1\"\n" },
        { "no mass for a dumbbell", HEADER "a,x,dumbbell,,,,,,,,\n",
          "kit.csv:2:14: mass_kg: a dumbbell without its mass; weigh it\n" },
        { "no mass for a cuff", HEADER "a,x,cuff,,,,,,,,\n", "kit.csv:2:10: mass_kg: a cuff without its mass; weigh it\n" },
        { "a wrong mass is not a missing one", HEADER "a,x,cuff,1kg,,,,,,,\n",
          "kit.csv:2:10: mass_kg: must be a mass in kilograms from 0.05 to 100; the number alone, without its unit; got "
          "\"1kg\"\n" },
        { "what only bands have", HEADER "a,x,dumbbell,1,1,2,3,,4,2026-01-01,\n",
          "kit.csv:2:16: rest_length_m: a dumbbell is known by its mass alone; leave it empty; got \"1\"\n"
          "kit.csv:2:18: length_m: a dumbbell is known by its mass alone; leave it empty; got \"2\"\n"
          "kit.csv:2:20: force_n: a dumbbell is known by its mass alone; leave it empty; got \"3\"\n"
          "kit.csv:2:23: step: a dumbbell is known by its mass alone; leave it empty; got \"4\"\n"
          "kit.csv:2:25: measured: a dumbbell is known by its mass alone; leave it empty; got \"2026-01-01\"\n" },
        { "a reading that is not longer than rest", HEADER "a,x,band,,1.2,1.2,30,,,,\na,x,band,,,1.1,30,,,,\n",
          "kit.csv:2:15: length_m: must be longer than the rest length, 1.2 m; got \"1.2\"\n"
          "kit.csv:3:12: length_m: must be longer than the rest length, 1.2 m; got \"1.1\"\n" },
        { "the rest length may come later", HEADER "a,x,band,,,1.1,30,,,,\na,x,band,,1.2,1.5,40,,,,\n",
          "kit.csv:2:12: length_m: must be longer than the rest length, 1.2 m; got \"1.1\"\n" },
        { "no rest length", HEADER "a,x,band,,,1.1,30,,,,\n",
          "kit.csv:2:11: rest_length_m: a band without its rest length; measure it hanging loose\n" },
        { "neither reading nor step", HEADER "a,x,loop,,.3,,,,,,\n",
          "kit.csv:2:17: step: a loop without readings; give a length and its force, or its step on the ladder\n" },
        { "a length without a force", HEADER "a,x,band,,1,1.5,,,,,\n",
          "kit.csv:2:13: length_m: a length without its force; a reading is both; got \"1.5\"\n" },
        { "a force without a length", HEADER "a,x,band,,1,,,3,,,\n",
          "kit.csv:2:13: length_m: a force without the length it was read at; a reading is both\n" },
        { "newtons and kilograms", HEADER "a,x,band,,1,1.5,30,3,,,\n",
          "kit.csv:2:20: force_kgf: a force in newtons and one in kilograms; leave one of them empty; got \"3\"\n" },
        { "a day without a reading", HEADER "a,x,band,,1,,,,2,2026-01-01,\n",
          "kit.csv:2:18: measured: a day without a reading; leave it empty; got \"2026-01-01\"\n" },
        { "longer, and yet it pulls less", HEADER "a,x,band,,1,1.8,30,,,,\na,x,band,,1,1.5,40,,,,\n",
          "kit.csv:2:13: note: length_m: longer than in line 3, and yet it pulls less; measure again?; got \"1.8\"\n" },
        { "columns that must be there", "person\n",
          "kit.csv:1: the column \"implement\" is missing\nkit.csv:1: the column \"kind\" is missing\n" },
    };
    // clang-format on
    EACH(i, row)
    {
        g_autoptr(thew_trouble_list) trouble = thew_trouble_list_new();
        g_autoptr(thew_kit_csv) kit = read_text(row[i].text, trouble);
        (void)kit;
        g_autofree char *found = findings(trouble);
        expect_text(row[i].why, row[i].findings, found);
    }
    expect_end(21);
}

static void template(void **state)
{
    (void)state;
    g_autoptr(GString) text = g_string_new(NULL);
    thew_kit_csv_template(text);
    g_autoptr(thew_trouble_list) trouble = thew_trouble_list_new();
    g_autoptr(thew_kit_csv) empty = read_text(text->str, trouble);
    expect_number("as it comes it is empty", 0, empty->item->len);
    expect_text("it says that it is invented", "yes", strstr(text->str, "invented") != NULL ? "yes" : "no");
    const char *example = strstr(text->str, "# ana,");
    g_string_append_len(text, example + 2, strchr(example, '\n') + 1 - (example + 2));
    g_autoptr(thew_kit_csv) filled = read_text(text->str, trouble);
    g_autofree char *found = findings(trouble);
    expect_text("no findings", "", found);
    expect_number("one band", 1, filled->item->len);
    expect_end(4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(values),
        cmocka_unit_test(faults),
        cmocka_unit_test(template),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
