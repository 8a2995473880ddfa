// days_csv.c: reading days.csv (see days_csv.h).
#include "exchange/days_csv.h"

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
    [THEW_DAYS_NOTE] = { "note", false, "anything" },
};
// clang-format on

static void find(const thew_csv *csv, thew_csv_row row, int column, const char *wrong, const char *right)
{
    thew_csv_find(csv, row, column, THEW_TROUBLE_ERROR, wrong, right);
}

static void check_heat(const thew_csv *csv, thew_csv_row row)
{
    bool room = thew_cell_is_given(csv, THEW_DAYS_ROOM_C), humidity = thew_cell_is_given(csv, THEW_DAYS_HUMIDITY_PERCENT);
    if (thew_cell_is_given(csv, THEW_DAYS_HEAT_INDEX_C) && (room || humidity))
        find(csv, row, THEW_DAYS_HEAT_INDEX_C, "a heat index beside the room's temperature or humidity", "give it or these two");
    else if (room && !humidity)
        find(csv, row, THEW_DAYS_HUMIDITY_PERCENT, "a temperature without its humidity", "give both or neither");
    else if (humidity && !room)
        find(csv, row, THEW_DAYS_ROOM_C, "a humidity without its temperature", "give both or neither");
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
        g_autofree char *wrong = g_strdup_printf("line %u has this person's day already", earlier->at.line);
        find(days->csv, row->at, THEW_DAYS_DATE, wrong, "a day has one check-in");
    }
}

thew_days_csv *thew_days_csv_read(const char *name, GBytes *bytes, thew_date today, thew_trouble_list *trouble)
{
    thew_csv *csv = thew_csv_new(name, bytes, columns, THEW_DAYS_COLUMNS, trouble);
    if (csv == NULL) return NULL;
    thew_days_csv *days = g_new0(thew_days_csv, 1);
    *days = (thew_days_csv){ csv, g_string_chunk_new(4096), g_array_new(FALSE, FALSE, sizeof(thew_days_row)) };
    while (thew_csv_next_filled(csv)) {
        thew_days_row row = { .person = NULL };
        if (read_row(days, today, &row))
            g_array_append_val(days->row, row);
        else
            thew_csv_lose(csv);
    }
    check_days(days);
    return days;
}

void thew_days_csv_free(thew_days_csv *days)
{
    if (days == NULL) return;
    g_array_free(days->row, TRUE);
    g_string_chunk_free(days->words);
    thew_csv_free(days->csv);
    g_free(days);
}

void thew_days_csv_template(GString *out)
{
    static const char *const example[THEW_DAYS_COLUMNS] = { "2026-01-20", "ana", "21", "45", "", "4", "7", "", "" };
    thew_csv_write_template(out, "days.csv: one check-in for each person and day", columns, example, THEW_DAYS_COLUMNS);
}
