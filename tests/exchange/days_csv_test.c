// days_csv_test.c: check-ins in days.csv, and the sentence when one cannot be.
// Everything here is invented.
#include "expect.h"

#include <string.h>

#include "exchange/days_csv.h"

#define HEADER "date,person,room_c,humidity_percent,heat_index_c,fatigue,sleep,readiness,note\n"

static const thew_date today = { 2026, 3, 31 };

static thew_days_csv *read_text(const char *text, thew_trouble_list *trouble)
{
    g_autoptr(GBytes) bytes = g_bytes_new(text, strlen(text));
    return thew_days_csv_read("days.csv", bytes, today, trouble);
}

static void dump_number(GString *out, const char *name, thew_maybe number)
{
    if (number.known) g_string_append_printf(out, " %s%g", name, number.value);
}

static void dump(GString *out, const thew_days_row *row)
{
    char day[THEW_DATE_TEXT];
    g_string_append_printf(out, "%s %s", thew_date_text(row->date, day), row->person);
    dump_number(out, "room", row->room_c);
    dump_number(out, "humidity", row->humidity_percent);
    dump_number(out, "index", row->heat_index_c);
    dump_number(out, "fatigue", row->fatigue);
    dump_number(out, "sleep", row->sleep);
    dump_number(out, "readiness", row->readiness);
    g_string_append_printf(out, " (%s)%s%s\n", row->note, row->link.is_superseded ? " superseded" : "",
                           row->link.is_withdrawn ? " withdrawn" : "");
}

static void readings(void **state)
{
    (void)state;
    // clang-format off
    static const struct {
        const char *why, *text, *rows, *findings;
    } row[] = {
        { "room and humidity", HEADER "2026-01-20,ana,21.5,45,,4,7,-0.05,slept badly\n",
          "2026-01-20 ana room21.5 humidity45 fatigue4 sleep7 readiness-0.05 (slept badly)\n", "" },
        { "a heat index instead", HEADER "2026-01-20,ana,,,27,,,,\n", "2026-01-20 ana index27 ()\n", "" },
        { "zero is a number like others", HEADER "2026-01-20,ana,0,0,,0,0,0,\n",
          "2026-01-20 ana room0 humidity0 fatigue0 sleep0 readiness0 ()\n", "" },
        { "nothing but the day", HEADER "2026-01-20,ana,,,,,,,\n", "2026-01-20 ana ()\n", "" },
        { "only the columns that must be there", "person,date\nana,2026-01-20\n", "2026-01-20 ana ()\n", "" },
        { "days of several people", HEADER "2026-01-20,a,,,,,,,\n2026-01-21,a,,,,,,,\n2026-01-20,b,,,,,,,\n",
          "2026-01-20 a ()\n2026-01-21 a ()\n2026-01-20 b ()\n", "" },
        { "nothing yet", HEADER, "", "" },
        { "every field wrong", HEADER "20.1.2026, a,61,101,81,11,-1,x,\n", "",
          "days.csv:2:1: date: must be a date written like 2026-03-31; got \"20.1.2026\"\n"
          "days.csv:2:11: person: must not begin or end with a space; got \" a\"\n"
          "days.csv:2:14: room_c: must be a temperature in degrees Celsius from -20 to 60; got \"61\"\n"
          "days.csv:2:17: humidity_percent: must be a percentage from 0 to 100; got \"101\"\n"
          "days.csv:2:21: heat_index_c: must be a heat index in degrees Celsius from -20 to 80; got \"81\"\n"
          "days.csv:2:21: heat_index_c: a heat index beside the room's temperature and humidity; give it or these two; got \"81\"\n"
          "days.csv:2:24: fatigue: must be a score from 0 to 10; got \"11\"\n"
          "days.csv:2:27: sleep: must be a score from 0 to 10; got \"-1\"\n"
          "days.csv:2:30: readiness: must be a natural logarithm from -5 to 5; got \"x\"\n" },
        { "what must be there", HEADER ",,,,,,,,x\n", "",
          "days.csv:2:1: date: must not be empty\ndays.csv:2:2: person: must not be empty\n" },
        { "columns that must be there", "room_c\n", "",
          "days.csv:1: the column \"date\" is missing\ndays.csv:1: the column \"person\" is missing\n" },
        { "percent with its sign", HEADER "2026-01-20,a,21,45%,,,,,\n", "2026-01-20 a room21 ()\n",
          "days.csv:2:17: humidity_percent: must be a percentage from 0 to 100; the number alone, without its unit; got "
          "\"45%\"\n" },
        { "a temperature alone", HEADER "2026-01-20,a,21,,,,,,\n", "2026-01-20 a room21 ()\n",
          "days.csv:2:17: note: humidity_percent: a temperature without its humidity; heat is not known from it\n" },
        { "a humidity alone", HEADER "2026-01-20,a,,45,,,,,\n", "2026-01-20 a humidity45 ()\n",
          "days.csv:2:14: note: room_c: a humidity without its temperature; heat is not known from it\n" },
        { "two of a day with records, the second corrected, the first withdrawn",
          "date,person,fatigue,record,replaces,withdrawn\n2026-01-20,a,4,c1,,\n2026-01-20,a,5,c2,,\n2026-01-20,a,6,c3,c2,\n"
          "2026-01-20,a,,c4,c1,yes\n",
          "2026-01-20 a fatigue4 () superseded\n2026-01-20 a fatigue5 () superseded\n2026-01-20 a fatigue6 ()\n2026-01-20 a () withdrawn\n",
          "" },
        { "the same record with another content", "date,person,fatigue,record\n2026-01-20,a,4,c1\n2026-01-20,a,5,c1\n",
          "2026-01-20 a fatigue4 ()\n",
          "days.csv:3:16: record: line 2 has another check-in under this record; a correction has a record of its own and names the old "
          "one in replaces; got \"c1\"\n" },
        { "a heat index beside a temperature alone", HEADER "2026-01-20,a,21,,27,,,,\n", "2026-01-20 a room21 index27 ()\n", "" },
        { "tomorrow", HEADER "2026-04-01,a,,,,,,,\n", "",
          "days.csv:2:1: date: must not lie after today, 2026-03-31; got \"2026-04-01\"\n" },
        { "a day twice", HEADER "2026-01-20,a,,,,4,,,\n2026-01-20,b,,,,,,,\n2026-01-20,a,,,,4,,,\n",
          "2026-01-20 a fatigue4 ()\n2026-01-20 b ()\n2026-01-20 a fatigue4 ()\n",
          "days.csv:4:1: date: line 2 has this person's day already; a day has one check-in, or each of its own record; got \"2026-01-20\"\n" },
    };
    // clang-format on
    EACH(i, row)
    {
        g_autoptr(thew_trouble_list) trouble = thew_trouble_list_new();
        g_autoptr(thew_days_csv) days = read_text(row[i].text, trouble);
        g_autoptr(GString) rows = g_string_new(NULL);
        for (guint k = 0; days != NULL && k < days->row->len; k++)
            dump(rows, &g_array_index(days->row, thew_days_row, k));
        g_autofree char *found = findings(trouble);
        expect_text(row[i].why, row[i].rows, rows->str);
        expect_text(row[i].why, row[i].findings, found);
    }
    expect_end(30);
}

static void template(void **state)
{
    (void)state;
    g_autoptr(GString) text = g_string_new(NULL);
    thew_days_csv_template(text);
    g_autoptr(thew_trouble_list) trouble = thew_trouble_list_new();
    g_autoptr(thew_days_csv) empty = read_text(text->str, trouble);
    expect_number("as it comes it is empty", 0, empty->row->len);
    expect_text("it says that it is invented", "yes", strstr(text->str, "invented") != NULL ? "yes" : "no");
    const char *example = strstr(text->str, "# 2026-");
    g_string_append_len(text, example + 2, strchr(example, '\n') + 1 - (example + 2));
    g_autoptr(thew_days_csv) filled = read_text(text->str, trouble);
    g_autofree char *found = findings(trouble);
    expect_text("no findings", "", found);
    expect_number("one day", 1, filled->row->len);
    expect_end(4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(readings),
        cmocka_unit_test(template),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
