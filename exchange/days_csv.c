// days_csv.c: reading days.csv (see days_csv.h).
#include "exchange/days_csv.h"

#include <string.h>

#include "exchange/csv_write.h"

// clang-format off
static const thew_csv_column columns[THEW_DAYS_COLUMNS] = {
    [THEW_DAYS_DATE] = { "date", true, "such as 2026-03-31" },
    [THEW_DAYS_PERSON] = { "person", true, "as in people.csv" },
    [THEW_DAYS_ROOM_C] = { "room_c", false, "degrees Celsius of the room; with its humidity" },
    [THEW_DAYS_HUMIDITY_PERCENT] = { "humidity_percent", false, "relative humidity of the room from 0 to 100" },
    [THEW_DAYS_HEAT_INDEX_C] = { "heat_index_c", false, "or the heat index instead of these two" },
    [THEW_DAYS_FATIGUE] = { "fatigue", false, "from 0 = none to 10" },
    [THEW_DAYS_SLEEP] = { "sleep", false, "how well from 0 to 10" },
    [THEW_DAYS_READINESS] = { "readiness", false, "natural logarithm of the short task against this person's usual" },
    [THEW_DAYS_RECORD] = { "record", false, "an identifier that whoever wrote the record gave it" },
    [THEW_DAYS_REPLACES] = { "replaces", false, "the record that this row corrects" },
    [THEW_DAYS_WITHDRAWN] = { "withdrawn", false, "yes = the record in replaces never was; this row only says so" },
    [THEW_DAYS_AT] = { "at", false, "when it was written such as 2026-03-31T17:05:00Z" },
    [THEW_DAYS_NOTE] = { "note", false, "anything" },
};
// clang-format on

static const char *const yes_no[] = { "yes", "no", NULL };

static void find(const thew_csv *csv, thew_csv_row row, int column, const char *wrong, const char *right)
{
    thew_csv_find(csv, row, column, THEW_TROUBLE_ERROR, wrong, right);
}

static void check_heat(const thew_csv *csv, thew_csv_row row)
{
    bool room = thew_cell_is_given(csv, THEW_DAYS_ROOM_C), humidity = thew_cell_is_given(csv, THEW_DAYS_HUMIDITY_PERCENT);
    bool index = thew_cell_is_given(csv, THEW_DAYS_HEAT_INDEX_C);
    if (index && room && humidity)
        find(csv, row, THEW_DAYS_HEAT_INDEX_C, "a heat index beside the room's temperature and humidity", "give it or these two");
    else if (room && !humidity && !index)
        thew_csv_find(csv, row, THEW_DAYS_HUMIDITY_PERCENT, THEW_TROUBLE_NOTE, "a temperature without its humidity",
                      "heat is not known from it");
    else if (humidity && !room && !index)
        thew_csv_find(csv, row, THEW_DAYS_ROOM_C, THEW_TROUBLE_NOTE, "a humidity without its temperature",
                      "heat is not known from it");
}

//   returns   false if it is unknown whose day this is
static bool read_row(const thew_days_csv *days, thew_date today, thew_days_row *row)
{
    const thew_csv *csv = days->csv;
    const thew_limits room = { "a temperature in degrees Celsius", -20, 60 }, humidity = { "a percentage", 0, 100 };
    const thew_limits heat_index = { "a heat index in degrees Celsius", -20, 80 };
    const thew_limits score = { "a score", 0, 10 }, readiness = { "a natural logarithm", -5, 5 };
    row->at = thew_csv_here(csv);
    row->date = thew_cell_date(csv, THEW_DAYS_DATE, THEW_CELL_REQUIRED, today);
    row->person = thew_cell_identifier(csv, THEW_DAYS_PERSON, THEW_CELL_REQUIRED, days->words);
    row->room_c = thew_cell_number(csv, THEW_DAYS_ROOM_C, THEW_CELL_OPTIONAL, room);
    row->humidity_percent = thew_cell_number(csv, THEW_DAYS_HUMIDITY_PERCENT, THEW_CELL_OPTIONAL, humidity);
    row->heat_index_c = thew_cell_number(csv, THEW_DAYS_HEAT_INDEX_C, THEW_CELL_OPTIONAL, heat_index);
    row->fatigue = thew_cell_number(csv, THEW_DAYS_FATIGUE, THEW_CELL_OPTIONAL, score);
    row->sleep = thew_cell_number(csv, THEW_DAYS_SLEEP, THEW_CELL_OPTIONAL, score);
    row->readiness = thew_cell_number(csv, THEW_DAYS_READINESS, THEW_CELL_OPTIONAL, readiness);
    row->link.record = thew_cell_identifier(csv, THEW_DAYS_RECORD, THEW_CELL_OPTIONAL, days->words);
    row->link.replaces = thew_cell_identifier(csv, THEW_DAYS_REPLACES, THEW_CELL_OPTIONAL, days->words);
    row->link.is_withdrawn = thew_cell_choice(csv, THEW_DAYS_WITHDRAWN, THEW_CELL_OPTIONAL, yes_no) == 1;
    row->at_us = thew_cell_instant(csv, THEW_DAYS_AT);
    row->note = thew_cell_text(csv, THEW_DAYS_NOTE, THEW_TEXT_LENGTH, days->words);
    check_heat(csv, row->at);
    return row->date.year > 0 && row->person != NULL;
}

static guint hash_day(gconstpointer key)
{
    const thew_days_row *row = key;
    return (guint)thew_date_number(row->date) * 31 + g_direct_hash(row->person);
}

static gboolean is_same_day(gconstpointer first, gconstpointer second)
{
    const thew_days_row *a = first, *b = second;
    return a->person == b->person && thew_date_compare(a->date, b->date) == 0; // a table keeps each name once
}

// Without records nobody can tell a second check-in from a row written twice.
static void check_days(const thew_days_csv *days)
{
    g_autoptr(GHashTable) first = g_hash_table_new(hash_day, is_same_day);
    for (guint i = 0; i < days->row->len; i++) {
        thew_days_row *row = &g_array_index(days->row, thew_days_row, i);
        const thew_days_row *earlier = g_hash_table_lookup(first, row);
        if (earlier == NULL) {
            g_hash_table_add(first, row);
            continue;
        }
        if (row->link.record != NULL && earlier->link.record != NULL) continue;
        g_autofree char *wrong = g_strdup_printf("line %u has this person's day already", earlier->at.line);
        find(days->csv, row->at, THEW_DAYS_DATE, wrong, "a day has one check-in, or each of its own record");
    }
}

static bool is_same(thew_maybe a, thew_maybe b)
{
    return a.known == b.known && a.value == b.value;
}

static gboolean says_same(gconstpointer first, gconstpointer second)
{
    const thew_days_row *a = first, *b = second;
    return is_same_day(a, b) && is_same(a->room_c, b->room_c) && is_same(a->humidity_percent, b->humidity_percent) &&
           is_same(a->heat_index_c, b->heat_index_c) && is_same(a->fatigue, b->fatigue) && is_same(a->sleep, b->sleep) &&
           is_same(a->readiness, b->readiness) && a->link.replaces == b->link.replaces &&
           a->link.is_withdrawn == b->link.is_withdrawn && a->at_us == b->at_us && g_str_equal(a->note, b->note);
}

thew_days_csv *thew_days_csv_read_beside(const char *name, GBytes *bytes, thew_date today, const thew_known_records *elsewhere,
                                         thew_trouble_list *trouble)
{
    thew_csv *csv = thew_csv_new(name, bytes, columns, THEW_DAYS_COLUMNS, trouble);
    if (csv == NULL) return NULL;
    thew_days_csv *days = g_new0(thew_days_csv, 1);
    *days = (thew_days_csv){ csv, g_string_chunk_new(4096), g_array_new(FALSE, FALSE, sizeof(thew_days_row)) };
    g_autoptr(GHashTable) index_of = g_hash_table_new(g_direct_hash, g_direct_equal); // record (one pointer each) to row
    const thew_linked linked = { csv, days->row, offsetof(thew_days_row, at), offsetof(thew_days_row, link), THEW_DAYS_RECORD,
                                 THEW_DAYS_REPLACES, THEW_DAYS_WITHDRAWN, says_same, "check-in" };
    while (thew_csv_next_filled(csv)) {
        thew_days_row row = { .person = NULL };
        if (!read_row(days, today, &row))
            thew_csv_lose(csv);
        else if (thew_linked_is_new(&linked, index_of, &row))
            g_array_append_val(days->row, row);
    }
    check_days(days);
    thew_linked_settle(&linked, index_of, elsewhere);
    return days;
}

thew_days_csv *thew_days_csv_read(const char *name, GBytes *bytes, thew_date today, thew_trouble_list *trouble)
{
    return thew_days_csv_read_beside(name, bytes, today, NULL, trouble);
}

void thew_days_csv_free(thew_days_csv *days)
{
    if (days == NULL) return;
    g_array_free(days->row, TRUE);
    g_string_chunk_free(days->words);
    thew_csv_free(days->csv);
    g_free(days);
}

void thew_days_csv_write_header(GString *out)
{
    thew_csv_write_header(out, columns, THEW_DAYS_COLUMNS);
}

void thew_days_csv_fields(const thew_days_row *row, char **field)
{
    char *const said[THEW_DAYS_COLUMNS] = {
        [THEW_DAYS_DATE] = thew_csv_day(row->date),
        [THEW_DAYS_PERSON] = g_strdup(row->person),
        [THEW_DAYS_ROOM_C] = thew_csv_number(row->room_c),
        [THEW_DAYS_HUMIDITY_PERCENT] = thew_csv_number(row->humidity_percent),
        [THEW_DAYS_HEAT_INDEX_C] = thew_csv_number(row->heat_index_c),
        [THEW_DAYS_FATIGUE] = thew_csv_number(row->fatigue),
        [THEW_DAYS_SLEEP] = thew_csv_number(row->sleep),
        [THEW_DAYS_READINESS] = thew_csv_number(row->readiness),
        [THEW_DAYS_RECORD] = g_strdup(row->link.record),
        [THEW_DAYS_REPLACES] = g_strdup(row->link.replaces),
        [THEW_DAYS_WITHDRAWN] = g_strdup(row->link.is_withdrawn ? "yes" : NULL),
        [THEW_DAYS_AT] = thew_csv_instant(row->at_us),
        [THEW_DAYS_NOTE] = g_strdup(row->note),
    };
    memcpy(field, said, sizeof said);
}

void thew_days_csv_write(GString *out, const thew_days_row *row)
{
    char *field[THEW_DAYS_COLUMNS];
    thew_days_csv_fields(row, field);
    thew_csv_write_owned(out, field, THEW_DAYS_COLUMNS);
}

void thew_days_csv_template(GString *out)
{
    static const char *const example[THEW_DAYS_COLUMNS] = { "2026-01-20", "ana", "21", "45", "", "4", "7", "", "", "", "", "", "" };
    thew_csv_write_template(out, "days.csv: one check-in for each person and day", columns, example, THEW_DAYS_COLUMNS);
}
