// diary_csv.c: reading diary.csv (see diary_csv.h).
#include "exchange/diary_csv.h"

#include <string.h>

#include "exchange/csv_write.h"

// clang-format off
static const thew_csv_column columns[THEW_DIARY_COLUMNS] = {
    [THEW_DIARY_DATE] = { "date", true, "such as 2026-03-31" },
    [THEW_DIARY_PERSON] = { "person", true, "as in people.csv" },
    [THEW_DIARY_EXERCISE] = { "exercise", true, "its identifier" },
    [THEW_DIARY_VARIANT] = { "variant", false, "its identifier; empty = the usual one" },
    [THEW_DIARY_SIDE] = { "side", false, "left or right or both; empty = both" },
    [THEW_DIARY_IMPLEMENT] = { "implement", true, "as in kit.csv; empty = body weight" },
    [THEW_DIARY_SETTING] = { "setting", false, "grip or length or anchor; empty = the usual one" },
    [THEW_DIARY_ENDED] = { "ended", true, "failure or completed or reserve or symptom or other" },
    [THEW_DIARY_SECONDS] = { "seconds", true, "how long the set lasted" },
    [THEW_DIARY_RESERVE_S] = { "reserve_s", false, "after reserve: the seconds felt to be left" },
    [THEW_DIARY_EXERTION] = { "exertion", false, "perceived exertion from 0 to 10" },
    [THEW_DIARY_RECORD] = { "record", false, "an identifier that whoever wrote the record gave it" },
    [THEW_DIARY_REPLACES] = { "replaces", false, "the record that this row corrects" },
    [THEW_DIARY_WITHDRAWN] = { "withdrawn", false, "yes = the record in replaces never was; this row only says so" },
    [THEW_DIARY_AT] = { "at", false, "when it ended such as 2026-03-31T17:05:00Z" },
    [THEW_DIARY_NOTE] = { "note", false, "anything" },
};
// clang-format on

static const char *const sides[] = { "left", "right", "both", NULL };
static const char *const yes_no[] = { "yes", "no", NULL };
static const char *const endings[] = { "failure", "completed", "reserve", "symptom", "other", NULL };

static thew_diary_row *row_of(const thew_diary_csv *diary, guint i)
{
    return &g_array_index(diary->row, thew_diary_row, i);
}

static void find(const thew_diary_csv *diary, const thew_diary_row *row, int column, const char *wrong, const char *right)
{
    thew_csv_find(diary->csv, row->at, column, THEW_TROUBLE_ERROR, wrong, right);
}

// -------------------------------------------------------------------------------------------------------------------------- rows

static thew_diary_side read_side(const thew_csv *csv)
{
    static const thew_diary_side side[] = { THEW_DIARY_BOTH, THEW_DIARY_LEFT, THEW_DIARY_RIGHT, THEW_DIARY_BOTH };
    return side[thew_cell_choice(csv, THEW_DIARY_SIDE, THEW_CELL_OPTIONAL, sides)];
}

//   returns   false if it is unknown which set this was
static bool read_row(const thew_diary_csv *diary, thew_date today, thew_diary_row *row)
{
    const thew_csv *csv = diary->csv;
    GStringChunk *words = diary->words;
    const thew_limits seconds = { "a number of seconds", 0, 3600 }, exertion = { "an exertion", 0, 10 };
    row->at = thew_csv_here(csv);
    row->date = thew_cell_date(csv, THEW_DIARY_DATE, THEW_CELL_REQUIRED, today);
    row->person = thew_cell_identifier(csv, THEW_DIARY_PERSON, THEW_CELL_REQUIRED, words);
    row->exercise = thew_cell_identifier(csv, THEW_DIARY_EXERCISE, THEW_CELL_REQUIRED, words);
    row->variant = thew_cell_identifier(csv, THEW_DIARY_VARIANT, THEW_CELL_OPTIONAL, words);
    row->side = read_side(csv);
    row->implement = thew_cell_identifier(csv, THEW_DIARY_IMPLEMENT, THEW_CELL_OPTIONAL, words);
    row->setting = thew_cell_identifier(csv, THEW_DIARY_SETTING, THEW_CELL_OPTIONAL, words);
    row->ended = (thew_diary_ended)thew_cell_choice(csv, THEW_DIARY_ENDED, THEW_CELL_REQUIRED, endings);
    row->seconds = thew_cell_number(csv, THEW_DIARY_SECONDS, THEW_CELL_REQUIRED, seconds).value;
    row->reserve_s = thew_cell_number(csv, THEW_DIARY_RESERVE_S, THEW_CELL_OPTIONAL, seconds);
    row->exertion = thew_cell_number(csv, THEW_DIARY_EXERTION, THEW_CELL_OPTIONAL, exertion);
    row->link.record = thew_cell_identifier(csv, THEW_DIARY_RECORD, THEW_CELL_OPTIONAL, words);
    row->link.replaces = thew_cell_identifier(csv, THEW_DIARY_REPLACES, THEW_CELL_OPTIONAL, words);
    row->link.is_withdrawn = thew_cell_choice(csv, THEW_DIARY_WITHDRAWN, THEW_CELL_OPTIONAL, yes_no) == 1;
    row->at_us = thew_cell_instant(csv, THEW_DIARY_AT);
    row->note = thew_cell_text(csv, THEW_DIARY_NOTE, THEW_TEXT_LENGTH, words);
    if (row->ended != THEW_DIARY_ENDED_UNKNOWN && row->ended != THEW_DIARY_RESERVE && thew_cell_is_given(csv, THEW_DIARY_RESERVE_S))
        find(diary, row, THEW_DIARY_RESERVE_S, "only a set that ended in reserve has seconds left", "leave it empty");
    return row->date.year > 0 && row->person != NULL && row->exercise != NULL;
}

// ----------------------------------------------------------------------------------------------------------------------- repeats

static bool is_same(thew_maybe a, thew_maybe b)
{
    return a.known == b.known && a.value == b.value;
}

// Names are compared as pointers: a table keeps each name once.
static gboolean says_same(gconstpointer first, gconstpointer second)
{
    const thew_diary_row *a = first, *b = second;
    return thew_date_compare(a->date, b->date) == 0 && a->side == b->side && a->ended == b->ended && a->person == b->person &&
           a->exercise == b->exercise && a->variant == b->variant && a->setting == b->setting && a->implement == b->implement &&
           a->link.replaces == b->link.replaces && a->link.is_withdrawn == b->link.is_withdrawn && a->at_us == b->at_us &&
           a->seconds == b->seconds && is_same(a->reserve_s, b->reserve_s) &&
           is_same(a->exertion, b->exertion) && g_str_equal(a->note, b->note);
}

// Everything that says_same looks at and that rows of one day may differ in: what many rows shared would be searched one by one.
static guint hash_row(gconstpointer key)
{
    const thew_diary_row *row = key;
    const char *const name[] = { row->person, row->exercise, row->variant, row->implement, row->setting, row->link.replaces };
    const double number[] = { row->seconds, row->reserve_s.value, row->exertion.value };
    guint hash = (guint)thew_date_number(row->date);
    for (gsize i = 0; i < G_N_ELEMENTS(name); i++)
        hash = hash * 31 + g_direct_hash(name[i]);
    for (gsize i = 0; i < G_N_ELEMENTS(number); i++)
        hash = hash * 31 + g_double_hash(&number[i]);
    return ((hash * 31 + (guint)row->side) * 31 + (guint)row->ended) * 31 + g_str_hash(row->note);
}

// Without records nobody can tell a set done twice from a row written twice.
static void ask_about_twins(const thew_diary_csv *diary)
{
    g_autoptr(GHashTable) first = g_hash_table_new(hash_row, says_same);
    for (guint i = 0; i < diary->row->len; i++) {
        thew_diary_row *row = row_of(diary, i);
        if (row->link.record != NULL) continue;
        const thew_diary_row *earlier = g_hash_table_lookup(first, row);
        if (earlier == NULL) {
            g_hash_table_add(first, row);
            continue;
        }
        g_autofree char *wrong = g_strdup_printf("the same in everything as line %u", earlier->at.line);
        thew_csv_find(diary->csv, row->at, THEW_CSV_WHOLE_ROW, THEW_TROUBLE_NOTE, wrong, "was it done twice? Both are kept");
    }
}

// ------------------------------------------------------------------------------------------------------------------------- table

thew_diary_csv *thew_diary_csv_read_beside(const char *name, GBytes *bytes, thew_date today, const thew_known_records *elsewhere,
                                           thew_trouble_list *trouble)
{
    thew_csv *csv = thew_csv_new(name, bytes, columns, THEW_DIARY_COLUMNS, trouble);
    if (csv == NULL) return NULL;
    thew_diary_csv *diary = g_new0(thew_diary_csv, 1);
    *diary = (thew_diary_csv){ csv, g_string_chunk_new(4096), g_array_new(FALSE, FALSE, sizeof(thew_diary_row)) };
    g_autoptr(GHashTable) index_of = g_hash_table_new(g_direct_hash, g_direct_equal); // record (one pointer each) to row
    const thew_linked linked = { csv, diary->row, offsetof(thew_diary_row, at), offsetof(thew_diary_row, link), THEW_DIARY_RECORD,
                                 THEW_DIARY_REPLACES, THEW_DIARY_WITHDRAWN, says_same, "set" };
    while (thew_csv_next_filled(csv)) {
        thew_diary_row row = { .person = NULL };
        if (!read_row(diary, today, &row)) {
            thew_csv_lose(csv);
        } else if (thew_linked_is_new(&linked, index_of, &row)) {
            g_array_append_val(diary->row, row);
        }
    }
    ask_about_twins(diary);
    thew_linked_settle(&linked, index_of, elsewhere);
    return diary;
}

thew_diary_csv *thew_diary_csv_read(const char *name, GBytes *bytes, thew_date today, thew_trouble_list *trouble)
{
    return thew_diary_csv_read_beside(name, bytes, today, NULL, trouble);
}

void thew_diary_csv_free(thew_diary_csv *diary)
{
    if (diary == NULL) return;
    g_array_free(diary->row, TRUE);
    g_string_chunk_free(diary->words);
    thew_csv_free(diary->csv);
    g_free(diary);
}

void thew_diary_csv_write_header(GString *out)
{
    thew_csv_write_header(out, columns, THEW_DIARY_COLUMNS);
}

void thew_diary_csv_fields(const thew_diary_row *row, char **field)
{
    static const char *const side[] = { "both", "left", "right" };
    char *const said[THEW_DIARY_COLUMNS] = {
        [THEW_DIARY_DATE] = thew_csv_day(row->date),
        [THEW_DIARY_PERSON] = g_strdup(row->person),
        [THEW_DIARY_EXERCISE] = g_strdup(row->exercise),
        [THEW_DIARY_VARIANT] = g_strdup(row->variant),
        [THEW_DIARY_SIDE] = g_strdup(side[row->side]),
        [THEW_DIARY_IMPLEMENT] = g_strdup(row->implement),
        [THEW_DIARY_SETTING] = g_strdup(row->setting),
        [THEW_DIARY_ENDED] = g_strdup(endings[row->ended - THEW_DIARY_FAILURE]),
        [THEW_DIARY_SECONDS] = thew_csv_number((thew_maybe){ true, row->seconds }),
        [THEW_DIARY_RESERVE_S] = thew_csv_number(row->reserve_s),
        [THEW_DIARY_EXERTION] = thew_csv_number(row->exertion),
        [THEW_DIARY_RECORD] = g_strdup(row->link.record),
        [THEW_DIARY_REPLACES] = g_strdup(row->link.replaces),
        [THEW_DIARY_WITHDRAWN] = g_strdup(row->link.is_withdrawn ? "yes" : NULL),
        [THEW_DIARY_AT] = thew_csv_instant(row->at_us),
        [THEW_DIARY_NOTE] = g_strdup(row->note),
    };
    memcpy(field, said, sizeof said);
}

void thew_diary_csv_write(GString *out, const thew_diary_row *row)
{
    char *field[THEW_DIARY_COLUMNS];
    thew_diary_csv_fields(row, field);
    thew_csv_write_owned(out, field, THEW_DIARY_COLUMNS);
}

void thew_diary_csv_template(GString *out)
{
    static const char *const example[THEW_DIARY_COLUMNS] = {
        "2026-01-20", "ana", "seated-row", "", "left", "long band", "", "failure", "74", "", "8", "", "", "", "", "",
    };
    thew_csv_write_template(out, "diary.csv: one row for each set that was done", columns, example, THEW_DIARY_COLUMNS);
}
