// diary_csv_test.c: sets, repeats and corrections in diary.csv, and the sentence when they make no sense.
// Everything here is invented.
#include "expect.h"

#include <string.h>

#include "exchange/diary_csv.h"

#define HEADER "date,person,exercise,variant,side,implement,setting,ended,seconds,reserve_s,exertion,record,replaces,note\n"

#define MORE "date,person,exercise,implement,ended,seconds,record,replaces,withdrawn,at\n"

static const thew_date today = { 2026, 3, 31 };

static thew_diary_csv *read_text(const char *text, thew_trouble_list *trouble)
{
    g_autoptr(GBytes) bytes = g_bytes_new(text, strlen(text));
    return thew_diary_csv_read("diary.csv", bytes, today, trouble);
}

static const char *or_dash(const char *text)
{
    return text != NULL ? text : "-";
}

static void dump(GString *out, const thew_diary_row *row)
{
    char day[THEW_DATE_TEXT];
    g_string_append_printf(out, "%s %s %s %s side%d %s %s ended%d %gs", thew_date_text(row->date, day), row->person, row->exercise,
                           or_dash(row->variant), row->side, or_dash(row->implement), or_dash(row->setting), row->ended,
                           row->seconds);
    if (row->reserve_s.known) g_string_append_printf(out, " reserve%g", row->reserve_s.value);
    if (row->exertion.known) g_string_append_printf(out, " exertion%g", row->exertion.value);
    g_string_append_printf(out, " %s>%s (%s)", or_dash(row->link.record), or_dash(row->link.replaces), row->note);
    if (row->link.is_superseded) g_string_append_printf(out, " superseded by %u", row->link.superseded_by);
    if (row->link.is_withdrawn) g_string_append(out, " withdrawn");
    if (row->at_us != 0) g_string_append_printf(out, " at %" G_GINT64_FORMAT, row->at_us);
    g_string_append_c(out, '\n');
}

typedef struct {
    const char *why, *text, *rows, *findings;
} reading;

static void expect_reading(const reading *row)
{
    g_autoptr(thew_trouble_list) trouble = thew_trouble_list_new();
    g_autoptr(thew_diary_csv) diary = read_text(row->text, trouble);
    g_autoptr(GString) rows = g_string_new(NULL);
    for (guint i = 0; diary != NULL && i < diary->row->len; i++)
        dump(rows, &g_array_index(diary->row, thew_diary_row, i));
    g_autofree char *found = findings(trouble);
    if (row->rows != NULL) expect_text(row->why, row->rows, rows->str);
    expect_text(row->why, row->findings, found);
}

static void values(void **state)
{
    (void)state;
    // clang-format off
    static const reading row[] = {
        { "everything",
          HEADER "2026-01-20,ana,seated-row,seated-row-light,left,long band,short grip,reserve,74.5,12,8,r1,,\"warm, tired\"\n",
          "2026-01-20 ana seated-row seated-row-light side1 long band short grip ended3 74.5s reserve12 exertion8 r1>- (warm, "
          "tired)\n", "" },
        { "as little as possible", HEADER "2026-01-20,ana,x,,,,,failure,60,,,,,\n",
          "2026-01-20 ana x - side0 - - ended1 60s ->- ()\n", "" },
        { "sides", HEADER "2026-01-20,a,x,,right,,,failure,60,,,,,\n2026-01-20,a,x,,both,,,failure,60,,,,,\n",
          "2026-01-20 a x - side2 - - ended1 60s ->- ()\n2026-01-20 a x - side0 - - ended1 60s ->- ()\n", "" },
        { "endings",
          HEADER "2026-01-20,a,x,,,,,completed,90,,,,,\n2026-01-20,a,x,,,,,reserve,60,,,,,\n2026-01-20,a,x,,,,,symptom,0,,,,,\n"
          "2026-01-20,a,x,,,,,other,3600,,0,,,\n",
          "2026-01-20 a x - side0 - - ended2 90s ->- ()\n2026-01-20 a x - side0 - - ended3 60s ->- ()\n"
          "2026-01-20 a x - side0 - - ended4 0s ->- ()\n2026-01-20 a x - side0 - - ended5 3600s exertion0 ->- ()\n", "" },
        { "any order of dates, today's too", HEADER "2026-03-31,a,x,,,,,failure,60,,,,,\n2026-01-20,a,x,,,,,failure,60,,,,,\n",
          "2026-03-31 a x - side0 - - ended1 60s ->- ()\n2026-01-20 a x - side0 - - ended1 60s ->- ()\n", "" },
        { "only the columns that must be there", "seconds,ended,implement,exercise,person,date\n60,failure,,x,a,2026-01-20\n",
          "2026-01-20 a x - side0 - - ended1 60s ->- ()\n", "" },
        { "nothing yet", HEADER, "", "" },
    };
    // clang-format on
    EACH(i, row) expect_reading(&row[i]);
    expect_end(14);
}

static void faults(void **state)
{
    (void)state;
    // clang-format off
    static const reading row[] = {
        { "every field wrong", HEADER "2026-02-30,a ,,\u200B,l, b,c ,failed,3601,-1,11,r ,x ,\n", "",
          "diary.csv:2:1: date: no such day: February 2026 has 28 days; got \"2026-02-30\"\n"
          "diary.csv:2:12: person: must not begin or end with a space; got \"a \"\n" "diary.csv:2:15: exercise: must not be empty\n"
          "diary.csv:2:16: variant: must be printable characters; got \"\\u{200B}\"\n"
          "diary.csv:2:18: side: must be left, right, both or empty; got \"l\"\n"
          "diary.csv:2:20: implement: must not begin or end with a space; got \" b\"\n"
          "diary.csv:2:23: setting: must not begin or end with a space; got \"c \"\n"
          "diary.csv:2:26: ended: must be failure, completed, reserve, symptom or other; got \"failed\"\n"
          "diary.csv:2:33: seconds: must be a number of seconds from 0 to 3600; got \"3601\"\n"
          "diary.csv:2:38: reserve_s: must be a number of seconds from 0 to 3600; got \"-1\"\n"
          "diary.csv:2:41: exertion: must be an exertion from 0 to 10; got \"11\"\n"
          "diary.csv:2:44: record: must not begin or end with a space; got \"r \"\n"
          "diary.csv:2:47: replaces: must not begin or end with a space; got \"x \"\n" },
        { "what must be there", HEADER ",,,,,,,,,,,,,x\n", "",
          "diary.csv:2:1: date: must not be empty\n" "diary.csv:2:2: person: must not be empty\n"
          "diary.csv:2:3: exercise: must not be empty\n" "diary.csv:2:8: ended: must not be empty\n"
          "diary.csv:2:9: seconds: must not be empty\n" },
        { "columns that must be there", "date\n", "",
          "diary.csv:1: the column \"person\" is missing\n" "diary.csv:1: the column \"exercise\" is missing\n"
          "diary.csv:1: the column \"implement\" is missing\n" "diary.csv:1: the column \"ended\" is missing\n"
          "diary.csv:1: the column \"seconds\" is missing\n" },
        { "tomorrow", HEADER "2026-04-01,a,x,,,,,failure,60,,,,,\n", "",
          "diary.csv:2:1: date: must not lie after today, 2026-03-31; got \"2026-04-01\"\n" },
        { "a reserve after failure", HEADER "2026-01-20,a,x,,,,,failure,60,5,,,,\n", NULL,
          "diary.csv:2:31: reserve_s: only a set that ended in reserve has seconds left; leave it empty; got \"5\"\n" },
        { "seconds with a comma, in quotes and without",
          HEADER "2026-01-20,a,x,,,,,failure,\"60,5\",,,,,\n2026-01-20,a,x,,,,,failure,60,5,,,,,\n", NULL,
          "diary.csv:2:28: seconds: must be a number of seconds from 0 to 3600; decimals have a point; got \"60,5\"\n"
          "diary.csv:3: 15 fields where the header has 14; a field with a comma in it goes in quotes, and decimals have a "
          "point\n" },
    };
    // clang-format on
    EACH(i, row) expect_reading(&row[i]);
    expect_end(10);
}

#define SET(day, record, replaces, note) "2026-01-" day ",a,x,,,,,failure,60,,," record "," replaces "," note "\n"
#define ROW(day, record, replaces, note) "2026-01-" day " a x - side0 - - ended1 60s " record ">" replaces " (" note ")"

static void repeats(void **state)
{
    (void)state;
    // clang-format off
    static const reading row[] = {
        { "the same record and all else: taken once, with a note",
          HEADER SET("20", "r1", "", "") SET("21", "r2", "", "") SET("20", "r1", "", ""),
          ROW("20", "r1", "-", "") "\n" ROW("21", "r2", "-", "") "\n",
          "diary.csv:4:33: note: record: repeats line 2; it is taken once; got \"r1\"\n" },
        { "the same record with another day", HEADER SET("20", "r1", "", "") SET("21", "r1", "", ""), ROW("20", "r1", "-", "") "\n",
          "diary.csv:3:33: record: line 2 has another set under this record; a correction has a record of its own and names the "
          "old one " "in replaces; got \"r1\"\n" },
        { "the same record with another note", HEADER SET("20", "r1", "", "") SET("20", "r1", "", "x"),
          ROW("20", "r1", "-", "") "\n",
          "diary.csv:3:33: record: line 2 has another set under this record; a correction has a record of its own and names the "
          "old one " "in replaces; got \"r1\"\n" },
        { "the same record, a number written otherwise: it is the same number",
          HEADER "2026-01-20,a,x,,,,,failure,60,,5,r1,,\n2026-01-20,a,x,,both,,,failure,60.0,,5.00,r1,,\n",
          "2026-01-20 a x - side0 - - ended1 60s exertion5 r1>- ()\n",
          "diary.csv:3:43: note: record: repeats line 2; it is taken once; got \"r1\"\n" },
        { "the same without records: asked, both kept", HEADER SET("20", "", "", "") SET("20", "", "", "") SET("20", "", "", ""),
          ROW("20", "-", "-", "") "\n" ROW("20", "-", "-", "") "\n" ROW("20", "-", "-", "") "\n",
          "diary.csv:3: note: the same in everything as line 2; was it done twice? Both are kept\n"
          "diary.csv:4: note: the same in everything as line 2; was it done twice? Both are kept\n" },
        { "the same on another day: nothing to ask", HEADER SET("20", "", "", "") SET("21", "", "", ""),
          ROW("20", "-", "-", "") "\n" ROW("21", "-", "-", "") "\n", "" },
        { "the same but for the note: nothing to ask", HEADER SET("20", "", "", "") SET("20", "", "", "second set"),
          ROW("20", "-", "-", "") "\n" ROW("20", "-", "-", "second set") "\n", "" },
        { "the same under two records: two sets", HEADER SET("20","r1","","") SET("20", "r2", "", ""),
          ROW("20", "r1", "-", "") "\n" ROW("20", "r2", "-", "") "\n", "" },
        { "one with a record, one without: two sets", HEADER SET("20", "r1", "", "") SET("20", "", "", ""),
          ROW("20", "r1", "-", "") "\n" ROW("20", "-", "-", "") "\n", "" },
        { "an unknown exertion is not zero", HEADER "2026-01-20,a,x,,,,,failure,60,,,,,\n2026-01-20,a,x,,,,,failure,60,,0,,,\n",
          "2026-01-20 a x - side0 - - ended1 60s ->- ()\n2026-01-20 a x - side0 - - ended1 60s exertion0 ->- ()\n", "" },
    };
    // clang-format on
    EACH(i, row) expect_reading(&row[i]);
    expect_end(20);
}

static void corrections(void **state)
{
    (void)state;
    // clang-format off
    static const reading row[] = {
        { "one replaces another", HEADER SET("20", "r1", "", "") SET("20", "r2", "r1", ""),
          ROW("20", "r1", "-", "") " superseded by 1\n" ROW("20", "r2", "r1", "") "\n", "" },
        { "a correction without a record of its own", HEADER SET("20", "r1", "", "") SET("20", "", "r1", ""),
          ROW("20", "r1", "-", "") " superseded by 1\n" ROW("20", "-", "r1", "") "\n", "" },
        { "in any order", HEADER SET("20", "r2", "r1", "") SET("20", "r1", "", ""),
          ROW("20", "r2", "r1", "") "\n" ROW("20","r1","-", "") " superseded by 0\n", "" },
        { "a chain", HEADER SET("20", "r1", "", "") SET("20", "r2", "r1", "") SET("20", "r3", "r2",""),
          ROW("20", "r1", "-", "") " superseded by 1\n" ROW("20", "r2", "r1", "") " superseded by 2\n" ROW("20", "r3", "r2", "")
          "\n", "" },
        { "two for the same record", HEADER SET("20", "r1", "", "") SET("20", "r2","r1", "") SET("20", "r3", "r1", ""), NULL,
          "diary.csv:4:36: replaces: line 3 replaces this record already; a further correction replaces the latest one; got "
          "\"r1\"\n" },
        { "an unknown record", HEADER SET("20", "r1", "", "") SET("20", "r2", "r9", ""), NULL,
          "diary.csv:3:36: replaces: no such record in this file; name the record that was wrong; got \"r9\"\n" },
        { "what may stand in a row that was lost is not missed", HEADER "2026-01-20,a,x\n" SET("20", "r2", "r9", ""), NULL,
          "diary.csv:2: 3 fields where the header has 14; an empty field keeps its comma\n" },
        { "itself", HEADER SET("20", "r1", "r1", ""), NULL,
          "diary.csv:2:36: replaces: replaces itself; name the record that was wrong; got \"r1\"\n" },
        { "a circle of two", HEADER SET("20", "r1", "r2", "") SET("20", "r2", "r1", ""), NULL,
          "diary.csv:2:36: replaces: records that replace each other in a circle; only what was written earlier can be replaced; "
          "got \"r2\"\n" },
        { "a circle of three beside a chain",
          HEADER SET("20", "r1", "", "") SET("20", "r2", "r1", "") SET("20", "c1", "c3", "") SET("20", "c2", "c1", "")
          SET("20", "c3", "c2", ""), NULL,
          "diary.csv:4:36: replaces: records that replace each other in a circle; only what was written earlier can be replaced; "
          "got \"c3\"\n" },
        { "a correction sent twice is one", HEADER SET("20", "r1", "", "") SET("20", "r2", "r1", "") SET("20", "r2", "r1", ""),
          ROW("20", "r1", "-", "") " superseded by 1\n" ROW("20", "r2", "r1", "") "\n",
          "diary.csv:4:33: note: record: repeats line 3; it is taken once; got \"r2\"\n" },
        { "one that never was", MORE "2026-01-20,a,x,,failure,60,r1,,,\n2026-01-20,a,x,,failure,60,r2,r1,yes,\n",
          "2026-01-20 a x - side0 - - ended1 60s r1>- () superseded by 1\n2026-01-20 a x - side0 - - ended1 60s r2>r1 () withdrawn\n", "" },
        { "withdrawing nothing", MORE "2026-01-20,a,x,,failure,60,r1,,yes,\n", NULL,
          "diary.csv:2:32: withdrawn: withdraws nothing; name the record that never was in replaces; got \"yes\"\n" },
        { "when it ended, with its offset", MORE "2026-01-20,a,x,,failure,60,r1,,,2026-01-20T18:00:00.5+01:00\n",
          "2026-01-20 a x - side0 - - ended1 60s r1>- () at 1768928400500000\n", "" },
        { "no time", MORE "2026-01-20,a,x,,failure,60,r1,,no,18:00\n", NULL,
          "diary.csv:2:35: at: must be a time written like 2026-03-31T17:05:00Z or 2026-03-31T19:05:00+02:00; got \"18:00\"\n" },
        { "the same correction twice without records",
          HEADER SET("20", "r1", "", "") SET("20", "", "r1", "") SET("20", "", "r1", ""), NULL,
          "diary.csv:4:34: replaces: line 3 replaces this record already; a further correction replaces the latest one; got "
          "\"r1\"\n" "diary.csv:4: note: the same in everything as line 3; was it done twice? Both are kept\n" },
    };
    // clang-format on
    EACH(i, row) expect_reading(&row[i]);
    expect_end(17);
}

// Chains and circles at random, against the plain definition: a row is in a circle if following what it replaces comes back to it.
static void random_corrections(void **state)
{
    (void)state;
    for (guint32 seed = 1; seed <= 300; seed++) {
        g_autoptr(GRand) random = g_rand_new_with_seed(seed);
        enum { COUNT = 12 };
        int replaces[COUNT], circles = 0;
        for (int i = 0; i < COUNT; i++) // a shuffled list with holes: each is replaced at most once
            replaces[i] = i;
        for (int i = COUNT - 1; i > 0; i--) {
            int other = g_rand_int_range(random, 0, i + 1), kept = replaces[i];
            replaces[i] = replaces[other];
            replaces[other] = kept;
        }
        GString *text = g_string_new(HEADER);
        for (int i = 0; i < COUNT; i++) {
            if (replaces[i] == i || g_rand_int_range(random, 0, 4) == 0) replaces[i] = -1;
            g_string_append_printf(text, "2026-01-20,a,x,,,,,failure,60,,,r%d,", i);
            if (replaces[i] >= 0) g_string_append_printf(text, "r%d", replaces[i]);
            g_string_append(text, ",\n");
        }
        for (int i = 0; i < COUNT; i++) {
            int at = replaces[i], lowest = i;
            while (at >= 0 && at != i && lowest <= at)
                at = replaces[at];
            circles += at == i; // counted at its lowest row only
        }
        g_autofree char *table = g_string_free(text, FALSE), *why = g_strdup_printf("seed %u", seed);
        g_autoptr(thew_trouble_list) trouble = thew_trouble_list_new();
        g_autoptr(thew_diary_csv) diary = read_text(table, trouble);
        expect_number(why, circles, (double)thew_trouble_count(trouble, THEW_TROUBLE_ERROR));
        for (guint i = 0; i < COUNT; i++) {
            const thew_diary_row *row = &g_array_index(diary->row, thew_diary_row, i);
            if (replaces[i] >= 0)
                expect_number(why, i, g_array_index(diary->row, thew_diary_row, (guint)replaces[i]).link.superseded_by);
            bool is_replaced = false;
            for (int k = 0; k < COUNT; k++)
                is_replaced = is_replaced || replaces[k] == (int)i;
            expect_number(why, is_replaced, row->link.is_superseded);
        }
    }
    expect_end(5000);
}

// Each row's own text, read and written again; written rows name every column.
static void written_as_read(void **state)
{
    (void)state;
    static const char rows[] = "2026-01-20,ana,row,row-light,left,\"long, green\",mark-3,reserve,74.5,12,8,r1,,,2026-01-20T17:00:00Z,\"a \"\"b\"\"\"\r\n"
                               "2026-01-21,ana,row,,both,,,failure,60,,,r2,r1,yes,,\r\n";
    g_autoptr(GString) text = g_string_new(NULL), again = g_string_new(NULL);
    thew_diary_csv_write_header(text);
    thew_diary_csv_write_header(again);
    g_string_append(text, rows);
    g_autoptr(thew_trouble_list) trouble = thew_trouble_list_new();
    g_autoptr(thew_diary_csv) diary = read_text(text->str, trouble);
    for (guint i = 0; i < diary->row->len; i++)
        thew_diary_csv_write(again, &g_array_index(diary->row, thew_diary_row, i));
    expect_text("the same bytes", text->str, again->str);
    expect_number("no findings", 0, (double)(thew_trouble_count(trouble, THEW_TROUBLE_ERROR) + thew_trouble_count(trouble, THEW_TROUBLE_NOTE)));
    expect_end(2);
}

static void template(void **state)
{
    (void)state;
    g_autoptr(GString) text = g_string_new(NULL);
    thew_diary_csv_template(text);
    g_autoptr(thew_trouble_list) trouble = thew_trouble_list_new();
    g_autoptr(thew_diary_csv) empty = read_text(text->str, trouble);
    expect_number("as it comes it is empty", 0, empty->row->len);
    expect_text("it says that it is invented", "yes", strstr(text->str, "invented") != NULL ? "yes" : "no");
    const char *example = strstr(text->str, "# 2026-");
    g_string_append_len(text, example + 2, strchr(example, '\n') + 1 - (example + 2));
    g_autoptr(thew_diary_csv) filled = read_text(text->str, trouble);
    g_autofree char *found = findings(trouble);
    expect_text("no findings", "", found);
    expect_number("one set", 1, filled->row->len);
    expect_end(4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(values),
        cmocka_unit_test(faults),
        cmocka_unit_test(repeats),
        cmocka_unit_test(corrections),
        cmocka_unit_test(random_corrections),
        cmocka_unit_test(written_as_read),
        cmocka_unit_test(template),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
