// kit_csv.c: reading and grouping kit.csv (see kit_csv.h).
//
// A row is checked for what its kind may say, then joins the item of its person and implement. What the rows of one item say must
// agree; what they must say together (a dumbbell's mass, a band's rest length) is asked once all are read.
#include "exchange/kit_csv.h"

#include "exchange/csv_write.h"

// clang-format off
static const thew_csv_column columns[THEW_KIT_COLUMNS] = {
    [THEW_KIT_PERSON] = { "person", false, "whose it is; * or empty = everybody's" },
    [THEW_KIT_IMPLEMENT] = { "implement", true, "your own label for it" },
    [THEW_KIT_KIND] = { "kind", true, "band or loop or dumbbell or cuff" },
    [THEW_KIT_MASS_KG] = { "mass_kg", false, "kilograms of a dumbbell or cuff" },
    [THEW_KIT_REST_LENGTH_M] = { "rest_length_m", false, "metres of a band or loop that hangs loose" },
    [THEW_KIT_LENGTH_M] = { "length_m", false, "metres of the same stretch when the scale was read" },
    [THEW_KIT_FORCE_N] = { "force_n", false, "what the scale said in newtons" },
    [THEW_KIT_FORCE_KGF] = { "force_kgf", false, "or in kilograms; one of the two. One row for each reading" },
    [THEW_KIT_STEP] = { "step", false, "unmeasured bands: place on the ladder with 0 for the softest" },
    [THEW_KIT_MEASURED] = { "measured", false, "day of the reading such as 2026-03-31" },
    [THEW_KIT_RETIRED] = { "retired", false, "day from which it is no longer used" },
    [THEW_KIT_NOTE] = { "note", false, "anything" },
};
// clang-format on

static const char *const kinds[] = { "band", "loop", "dumbbell", "cuff", NULL };

static bool is_elastic(thew_kit_kind kind)
{
    return kind == THEW_KIT_BAND || kind == THEW_KIT_LOOP;
}

static void find(const thew_csv *csv, thew_csv_row row, int column, const char *wrong, const char *right)
{
    thew_csv_find(csv, row, column, THEW_TROUBLE_ERROR, wrong, right);
}

// One row, before it joins an item.
typedef struct {
    thew_csv_row at;
    const char *person, *implement, *note;
    thew_kit_kind kind;
    thew_maybe mass_kg, rest_length_m, length_m, force_n, step;
    bool has_force; // one was written, right or wrong
    thew_date measured, retired;
} kit_row;

// An item as it grows, with the rows that said what it has.
typedef struct {
    thew_csv_row mass_at, rest_at, step_at;                 // line 0: none did
    bool mass_tried, rest_tried, reading_tried, step_tried; // something was written there, right or wrong
} kit_sources;

// -------------------------------------------------------------------------------------------------------------------------- rows

static thew_maybe read_force_n(const thew_csv *csv, kit_row *row)
{
    const thew_limits newtons = { "a force in newtons", .1, 2000 }, kgf = { "a force in kilograms", .01, 200 };
    bool both = thew_cell_is_given(csv, THEW_KIT_FORCE_N) && thew_cell_is_given(csv, THEW_KIT_FORCE_KGF);
    thew_maybe force_n = thew_cell_number(csv, THEW_KIT_FORCE_N, THEW_CELL_OPTIONAL, newtons);
    thew_maybe force_kgf = thew_cell_number(csv, THEW_KIT_FORCE_KGF, THEW_CELL_OPTIONAL, kgf);
    row->has_force = thew_cell_is_given(csv, THEW_KIT_FORCE_N) || thew_cell_is_given(csv, THEW_KIT_FORCE_KGF);
    if (both) find(csv, row->at, THEW_KIT_FORCE_KGF, "a force in newtons and one in kilograms", "leave one of them empty");
    if (!both && force_kgf.known) return (thew_maybe){ true, force_kgf.value * THEW_NEWTONS_PER_KGF };
    return force_n;
}

static void refuse_given(const thew_csv *csv, const kit_row *row, int column, const char *why)
{
    if (thew_cell_is_given(csv, column)) find(csv, row->at, column, why, "leave it empty");
}

static void check_weight_row(const thew_csv *csv, const kit_row *row)
{
    static const int elastic_only[] = { THEW_KIT_REST_LENGTH_M, THEW_KIT_LENGTH_M, THEW_KIT_FORCE_N,
                                        THEW_KIT_FORCE_KGF,     THEW_KIT_STEP,     THEW_KIT_MEASURED };
    g_autofree char *why = g_strdup_printf("a %s is known by its mass alone", kinds[row->kind - 1]);
    for (gsize i = 0; i < G_N_ELEMENTS(elastic_only); i++)
        refuse_given(csv, row, elastic_only[i], why);
}

static void check_elastic_row(const thew_csv *csv, const kit_row *row)
{
    g_autofree char *why = g_strdup_printf("a %s is known by its force, not by its mass", kinds[row->kind - 1]);
    bool has_length = thew_cell_is_given(csv, THEW_KIT_LENGTH_M);
    refuse_given(csv, row, THEW_KIT_MASS_KG, why);
    if (has_length && !row->has_force) find(csv, row->at, THEW_KIT_LENGTH_M, "a length without its force", "a reading is both");
    if (row->has_force && !has_length)
        find(csv, row->at, THEW_KIT_LENGTH_M, "a force without the length it was read at", "a reading is both");
    if (!has_length && !row->has_force) refuse_given(csv, row, THEW_KIT_MEASURED, "a day without a reading");
}

//   returns   false if it is unknown what this row is about
static bool read_row(const thew_kit_csv *kit, thew_date today, kit_row *row)
{
    const thew_csv *csv = kit->csv;
    const thew_limits mass = { "a mass in kilograms", .05, 100 }, rest_length = { "a length in metres", .05, 10 };
    const thew_limits length = { "a length in metres", .05, 30 }, step = { "a whole number", 0, 20 };
    row->at = thew_csv_here(csv);
    row->person = "*";
    if (thew_cell_is_given(csv, THEW_KIT_PERSON))
        row->person = thew_cell_identifier(csv, THEW_KIT_PERSON, THEW_CELL_OPTIONAL, kit->words);
    row->implement = thew_cell_identifier(csv, THEW_KIT_IMPLEMENT, THEW_CELL_REQUIRED, kit->words);
    row->kind = (thew_kit_kind)thew_cell_choice(csv, THEW_KIT_KIND, THEW_CELL_REQUIRED, kinds);
    row->mass_kg = thew_cell_number(csv, THEW_KIT_MASS_KG, THEW_CELL_OPTIONAL, mass);
    row->rest_length_m = thew_cell_number(csv, THEW_KIT_REST_LENGTH_M, THEW_CELL_OPTIONAL, rest_length);
    row->length_m = thew_cell_number(csv, THEW_KIT_LENGTH_M, THEW_CELL_OPTIONAL, length);
    row->force_n = read_force_n(csv, row);
    int place = thew_cell_integer(csv, THEW_KIT_STEP, THEW_CELL_OPTIONAL, step, -1);
    if (place >= 0) row->step = (thew_maybe){ true, place };
    row->measured = thew_cell_date(csv, THEW_KIT_MEASURED, THEW_CELL_OPTIONAL, today);
    row->retired = thew_cell_date(csv, THEW_KIT_RETIRED, THEW_CELL_OPTIONAL, (thew_date){ 0 });
    row->note = thew_cell_text(csv, THEW_KIT_NOTE, THEW_TEXT_LENGTH, kit->words);
    if (is_elastic(row->kind)) check_elastic_row(csv, row);
    if (row->kind != THEW_KIT_UNKNOWN && !is_elastic(row->kind)) check_weight_row(csv, row);
    return row->person != NULL && row->implement != NULL;
}

// ---------------------------------------------------------------------------------------------------------------------- grouping

// A quantity that every row of an item may repeat but none may change.
static void join(const thew_csv *csv, const kit_row *row, int column, thew_maybe said, double *value, thew_csv_row *said_at)
{
    if (!said.known) return;
    if (said_at->line == 0) {
        *value = said.value;
        *said_at = row->at;
    } else if (said.value != *value) {
        char text[G_ASCII_DTOSTR_BUF_SIZE];
        g_autofree char *wrong =
            g_strdup_printf("line %u says %s of the same implement", said_at->line, thew_csv_number_text(*value, text));
        find(csv, row->at, column, wrong, "one implement has one value");
    }
}

static void join_kind(const thew_csv *csv, const kit_row *row, thew_kit_item *item)
{
    if (item->kind == THEW_KIT_UNKNOWN) item->kind = row->kind;
    if (row->kind == THEW_KIT_UNKNOWN || row->kind == item->kind) return;
    g_autofree char *wrong = g_strdup_printf("line %u says %s of the same implement", item->at.line, kinds[item->kind - 1]);
    find(csv, row->at, THEW_KIT_KIND, wrong, "give different things different labels");
}

static void join_item(const thew_csv *csv, const kit_row *row, thew_kit_item *item, kit_sources *sources)
{
    double step = item->step.value;
    join_kind(csv, row, item);
    join(csv, row, THEW_KIT_MASS_KG, row->mass_kg, &item->mass_kg, &sources->mass_at);
    join(csv, row, THEW_KIT_REST_LENGTH_M, row->rest_length_m, &item->rest_length_m, &sources->rest_at);
    join(csv, row, THEW_KIT_STEP, row->step, &step, &sources->step_at);
    item->step = (thew_maybe){ sources->step_at.line > 0, step };
    sources->mass_tried |= thew_cell_is_given(csv, THEW_KIT_MASS_KG);
    sources->rest_tried |= thew_cell_is_given(csv, THEW_KIT_REST_LENGTH_M);
    sources->step_tried |= thew_cell_is_given(csv, THEW_KIT_STEP);
    sources->reading_tried |= thew_cell_is_given(csv, THEW_KIT_LENGTH_M) || row->has_force;
    if (!is_elastic(row->kind) || !row->length_m.known || !row->force_n.known) return;
    thew_kit_reading reading = {
        row->at, {row->length_m.value, row->force_n.value},
         row->measured, row->note
    };
    g_array_append_val(item->reading, reading);
}

static guint item_of(thew_kit_csv *kit, GHashTable *index_of, GArray *sources, const kit_row *row)
{
    char retired[THEW_DATE_TEXT] = "";
    if (row->retired.year > 0) thew_date_text(row->retired, retired);
    g_autofree char *key = g_strconcat(row->person, "\n", row->implement, "\n", retired, NULL); // no name has a line end in it
    gpointer found;
    if (g_hash_table_lookup_extended(index_of, key, NULL, &found)) return GPOINTER_TO_UINT(found);
    const thew_kit_item item = { .at = row->at,
                                 .person = row->person,
                                 .implement = row->implement,
                                 .retired = row->retired,
                                 .note = row->note,
                                 .is_note_of_reading = row->length_m.known,
                                 .reading = g_array_new(FALSE, FALSE, sizeof(thew_kit_reading)) };
    const kit_sources none = { .mass_tried = false };
    g_array_append_val(kit->item, item);
    g_array_append_val(sources, none);
    g_hash_table_insert(index_of, g_steal_pointer(&key), GUINT_TO_POINTER(kit->item->len - 1));
    return kit->item->len - 1;
}

// ---------------------------------------------------------------------------------------------------------------------- checking

static gint compare_readings(gconstpointer a, gconstpointer b)
{
    const thew_kit_reading *first = *(const thew_kit_reading *const *)a, *second = *(const thew_kit_reading *const *)b;
    int days = thew_date_compare(first->measured, second->measured);
    if (days != 0) return days;
    return (first->reading.length_m > second->reading.length_m) - (first->reading.length_m < second->reading.length_m);
}

// A band pulls harder the longer it is. A scale's error can hide that, so it is worth a look and no error.
static void check_order(const thew_csv *csv, const thew_kit_item *item)
{
    g_autoptr(GPtrArray) sorted = g_ptr_array_new();
    for (guint i = 0; i < item->reading->len; i++)
        g_ptr_array_add(sorted, &g_array_index(item->reading, thew_kit_reading, i));
    g_ptr_array_sort(sorted, compare_readings);
    for (guint i = 1; i < sorted->len; i++) {
        const thew_kit_reading *shorter = sorted->pdata[i - 1], *longer = sorted->pdata[i];
        if (thew_date_compare(shorter->measured, longer->measured) != 0) continue;
        if (longer->reading.length_m == shorter->reading.length_m || longer->reading.force_n >= shorter->reading.force_n) continue;
        g_autofree char *wrong = g_strdup_printf("longer than in line %u, and yet it pulls less", shorter->at.line);
        thew_csv_find(csv, longer->at, THEW_KIT_LENGTH_M, THEW_TROUBLE_NOTE, wrong, "measure again?");
    }
}

static void check_stretched(const thew_csv *csv, const thew_kit_item *item)
{
    for (guint i = 0; i < item->reading->len; i++) {
        const thew_kit_reading *reading = &g_array_index(item->reading, thew_kit_reading, i);
        if (reading->reading.length_m > item->rest_length_m) continue;
        char text[G_ASCII_DTOSTR_BUF_SIZE];
        g_autofree char *right =
            g_strdup_printf("must be longer than the rest length, %s m", thew_csv_number_text(item->rest_length_m, text));
        find(csv, reading->at, THEW_KIT_LENGTH_M, NULL, right);
    }
}

static void check_item(const thew_csv *csv, const thew_kit_item *item, const kit_sources *sources)
{
    if (item->kind == THEW_KIT_UNKNOWN) return; // said already
    const char *kind = kinds[item->kind - 1];
    if (!is_elastic(item->kind)) {
        g_autofree char *wrong = g_strdup_printf("a %s without its mass", kind);
        if (!sources->mass_tried) find(csv, item->at, THEW_KIT_MASS_KG, wrong, "weigh it");
        return;
    }
    g_autofree char *no_rest = g_strdup_printf("a %s without its rest length", kind);
    g_autofree char *no_force = g_strdup_printf("a %s without readings", kind);
    if (!sources->rest_tried) find(csv, item->at, THEW_KIT_REST_LENGTH_M, no_rest, "measure it hanging loose");
    if (!sources->reading_tried && !sources->step_tried)
        find(csv, item->at, THEW_KIT_STEP, no_force, "give a length and its force, or its step on the ladder");
    if (sources->rest_at.line > 0) check_stretched(csv, item);
    check_order(csv, item);
}

static void clear_item(gpointer item)
{
    g_array_free(((thew_kit_item *)item)->reading, TRUE);
}

thew_kit_csv *thew_kit_csv_read(const char *name, GBytes *bytes, thew_date today, thew_trouble_list *trouble)
{
    thew_csv *csv = thew_csv_new(name, bytes, columns, THEW_KIT_COLUMNS, trouble);
    if (csv == NULL) return NULL;
    thew_kit_csv *kit = g_new0(thew_kit_csv, 1);
    *kit = (thew_kit_csv){ csv, g_string_chunk_new(4096), g_array_new(FALSE, FALSE, sizeof(thew_kit_item)) };
    g_array_set_clear_func(kit->item, clear_item);
    g_autoptr(GArray) sources = g_array_new(FALSE, FALSE, sizeof(kit_sources));
    g_autoptr(GHashTable) index_of = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    while (thew_csv_next_filled(csv)) {
        kit_row row = { 0 };
        if (!read_row(kit, today, &row)) {
            thew_csv_lose(csv);
            continue;
        }
        guint i = item_of(kit, index_of, sources, &row);
        join_item(csv, &row, &g_array_index(kit->item, thew_kit_item, i), &g_array_index(sources, kit_sources, i));
    }
    for (guint i = 0; i < kit->item->len; i++)
        check_item(csv, &g_array_index(kit->item, thew_kit_item, i), &g_array_index(sources, kit_sources, i));
    return kit;
}

void thew_kit_csv_free(thew_kit_csv *kit)
{
    if (kit == NULL) return;
    g_array_free(kit->item, TRUE);
    g_string_chunk_free(kit->words);
    thew_csv_free(kit->csv);
    g_free(kit);
}

void thew_kit_csv_write_header(GString *out)
{
    thew_csv_write_header(out, columns, THEW_KIT_COLUMNS);
}

//   reading   NULL: a row of the item alone
static void write_row(GString *out, const thew_kit_item *item, const thew_kit_reading *reading)
{
    char *field[THEW_KIT_COLUMNS] = {
        [THEW_KIT_PERSON] = g_strdup(item->person),
        [THEW_KIT_IMPLEMENT] = g_strdup(item->implement),
        [THEW_KIT_KIND] = g_strdup(kinds[item->kind - 1]),
        [THEW_KIT_MASS_KG] = thew_csv_number((thew_maybe){ item->mass_kg > 0, item->mass_kg }),
        [THEW_KIT_REST_LENGTH_M] = thew_csv_number((thew_maybe){ item->rest_length_m > 0, item->rest_length_m }),
        [THEW_KIT_STEP] = thew_csv_number(item->step),
        [THEW_KIT_RETIRED] = thew_csv_day(item->retired),
        [THEW_KIT_NOTE] = g_strdup(reading != NULL ? reading->note : item->note),
    };
    if (reading != NULL) {
        field[THEW_KIT_LENGTH_M] = thew_csv_number((thew_maybe){ true, reading->reading.length_m });
        field[THEW_KIT_FORCE_N] = thew_csv_number((thew_maybe){ true, reading->reading.force_n });
        field[THEW_KIT_MEASURED] = thew_csv_day(reading->measured);
    }
    thew_csv_write_owned(out, field, THEW_KIT_COLUMNS);
}

void thew_kit_csv_write(GString *out, const thew_kit_item *item)
{
    const thew_kit_reading *first = item->reading->len > 0 ? &g_array_index(item->reading, thew_kit_reading, 0) : NULL;
    if (first == NULL || !g_str_equal(first->note, item->note)) write_row(out, item, NULL);
    for (guint r = 0; r < item->reading->len; r++)
        write_row(out, item, &g_array_index(item->reading, thew_kit_reading, r));
}

void thew_kit_csv_template(GString *out)
{
    static const char *const example[THEW_KIT_COLUMNS] = {
        "ana", "long band", "band", "", "1.2", "1.8", "", "3.1", "", "2026-01-15", "", "",
    };
    thew_csv_write_template(out, "kit.csv: one row for each weight and for each reading of a band", columns, example,
                            THEW_KIT_COLUMNS);
}
