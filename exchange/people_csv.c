// people_csv.c: reading people.csv (see people_csv.h).
#include "exchange/people_csv.h"

#include "exchange/csv_write.h"

// clang-format off
static const thew_csv_column columns[THEW_PEOPLE_COLUMNS] = {
    [THEW_PEOPLE_PERSON] = { "person", true, "a short name or number by which the other files know this person" },
    [THEW_PEOPLE_CALLED] = { "called", false, "what to call them on a screen; empty = the same" },
    [THEW_PEOPLE_SEX] = { "sex", false, "female or male; empty = unknown" },
    [THEW_PEOPLE_BIRTH_YEAR] = { "birth_year", false, "four digits; empty = unknown" },
    [THEW_PEOPLE_HEIGHT_M] = { "height_m", false, "metres with a point; empty = unknown" },
    [THEW_PEOPLE_MASS_KG] = { "mass_kg", false, "kilograms; empty = unknown" },
    [THEW_PEOPLE_CONDITION] = { "condition", true, "ms or none or unknown" },
    [THEW_PEOPLE_ENDPOINT] = { "endpoint", true, "failure = sets may go to momentary failure; reserve = they stop before; or undecided" },
    [THEW_PEOPLE_WEAKER_SIDE] = { "weaker_side", false, "left or right; empty = neither or unknown" },
    [THEW_PEOPLE_HEAT_SENSITIVE] = { "heat_sensitive", false, "yes or no; empty = yes for ms" },
    [THEW_PEOPLE_EXERCISES] = { "exercises", false, "identifiers of exercises parted by spaces; empty = any" },
    [THEW_PEOPLE_CAUTIONS] = { "cautions", false, "identifiers of cautions parted by spaces" },
    [THEW_PEOPLE_GOALS] = { "goals", false, "identifiers of goals parted by spaces; the most important first" },
    [THEW_PEOPLE_SINCE] = { "since", false, "day from which they train here" },
    [THEW_PEOPLE_LEFT_ON] = { "left_on", false, "day on which they left; empty = still here" },
    [THEW_PEOPLE_NOTE] = { "note", false, "anything" },
};
// clang-format on

static const char *const sexes[] = { "female", "male", NULL };
static const char *const conditions[] = { "ms", "none", "unknown", NULL };
static const char *const endpoints[] = { "failure", "reserve", "undecided", NULL };
static const char *const sides[] = { "left", "right", NULL };
static const char *const yes_no[] = { "yes", "no", NULL };

static bool is_heat_sensitive(const thew_csv *csv, thew_people_condition condition)
{
    int answer = thew_cell_choice(csv, THEW_PEOPLE_HEAT_SENSITIVE, THEW_CELL_OPTIONAL, yes_no);
    return answer != 0 ? answer == 1 : condition != THEW_PEOPLE_NO_CONDITION; // 60-80 % are (Davis 2010): better to ask once too often
}

//   returns   false if it is unknown whose row this is
static bool read_row(const thew_people_csv *people, thew_date today, thew_people_row *row)
{
    const thew_csv *csv = people->csv;
    GStringChunk *words = people->words;
    const thew_limits birth_year = { "a year", 1900, today.year > 0 ? today.year : 2100 };
    const thew_limits height = { "a height in metres", .5, 2.5 }, mass = { "a mass in kilograms", 15, 350 }; // as engine/body.h
    static const thew_people_condition condition[] = { THEW_PEOPLE_CONDITION_UNKNOWN, THEW_PEOPLE_MS, THEW_PEOPLE_NO_CONDITION,
                                                       THEW_PEOPLE_CONDITION_UNKNOWN };
    static const thew_people_endpoint endpoint[] = { THEW_PEOPLE_ENDPOINT_UNKNOWN, THEW_PEOPLE_TO_FAILURE, THEW_PEOPLE_TO_RESERVE,
                                                     THEW_PEOPLE_ENDPOINT_UNKNOWN };
    row->at = thew_csv_here(csv);
    row->person = thew_cell_identifier(csv, THEW_PEOPLE_PERSON, THEW_CELL_REQUIRED, words);
    row->called = thew_cell_text(csv, THEW_PEOPLE_CALLED, THEW_CALLED_LENGTH, words);
    row->sex = (thew_sex)thew_cell_choice(csv, THEW_PEOPLE_SEX, THEW_CELL_OPTIONAL, sexes);
    row->birth_year = thew_cell_integer(csv, THEW_PEOPLE_BIRTH_YEAR, THEW_CELL_OPTIONAL, birth_year, 0);
    row->height_m = thew_cell_number(csv, THEW_PEOPLE_HEIGHT_M, THEW_CELL_OPTIONAL, height).value;
    row->mass_kg = thew_cell_number(csv, THEW_PEOPLE_MASS_KG, THEW_CELL_OPTIONAL, mass).value;
    row->condition = condition[thew_cell_choice(csv, THEW_PEOPLE_CONDITION, THEW_CELL_REQUIRED, conditions)];
    row->endpoint = endpoint[thew_cell_choice(csv, THEW_PEOPLE_ENDPOINT, THEW_CELL_REQUIRED, endpoints)];
    row->weaker_side = (thew_people_side)thew_cell_choice(csv, THEW_PEOPLE_WEAKER_SIDE, THEW_CELL_OPTIONAL, sides);
    row->heat_sensitive = is_heat_sensitive(csv, row->condition);
    row->exercises = thew_cell_identifiers(csv, THEW_PEOPLE_EXERCISES, words);
    row->cautions = thew_cell_identifiers(csv, THEW_PEOPLE_CAUTIONS, words);
    row->goals = thew_cell_identifiers(csv, THEW_PEOPLE_GOALS, words);
    row->since_day = thew_cell_date(csv, THEW_PEOPLE_SINCE, THEW_CELL_OPTIONAL, today);
    row->left_day = thew_cell_date(csv, THEW_PEOPLE_LEFT_ON, THEW_CELL_OPTIONAL, (thew_date){ 0 });
    row->note = thew_cell_text(csv, THEW_PEOPLE_NOTE, THEW_TEXT_LENGTH, words);
    if (row->person != NULL && row->called[0] == '\0') row->called = row->person;
    return row->person != NULL;
}

// The star stands for everybody in kit.csv, and one name for one person.
static void check_names(thew_people_csv *people)
{
    for (guint i = 0; i < people->row->len; i++) {
        thew_people_row *row = &g_array_index(people->row, thew_people_row, i);
        const thew_people_row *earlier = thew_people_csv_find(people, row->person);
        if (g_str_equal(row->person, "*"))
            thew_csv_find(people->csv, row->at, THEW_PEOPLE_PERSON, THEW_TROUBLE_ERROR, "* stands for everybody in kit.csv",
                          "must be one person's name");
        if (earlier != NULL) {
            g_autofree char *wrong = g_strdup_printf("this person is in line %u already", earlier->at.line);
            thew_csv_find(people->csv, row->at, THEW_PEOPLE_PERSON, THEW_TROUBLE_ERROR, wrong, "each person has one row");
        } else {
            g_hash_table_insert(people->by_person, (gpointer)row->person, row);
        }
    }
}

static void clear_row(gpointer row)
{
    g_free(((thew_people_row *)row)->exercises);
    g_free(((thew_people_row *)row)->cautions);
    g_free(((thew_people_row *)row)->goals);
}

thew_people_csv *thew_people_csv_read(const char *name, GBytes *bytes, thew_date today, thew_trouble_list *trouble)
{
    thew_csv *csv = thew_csv_new(name, bytes, columns, THEW_PEOPLE_COLUMNS, trouble);
    if (csv == NULL) return NULL;
    thew_people_csv *people = g_new0(thew_people_csv, 1);
    people->csv = csv;
    people->words = g_string_chunk_new(4096);
    people->row = g_array_new(FALSE, FALSE, sizeof(thew_people_row));
    people->by_person = g_hash_table_new(g_str_hash, g_str_equal);
    g_array_set_clear_func(people->row, clear_row);
    while (thew_csv_next_filled(csv)) {
        thew_people_row row = { 0 };
        if (read_row(people, today, &row)) {
            g_array_append_val(people->row, row);
        } else {
            clear_row(&row);
            thew_csv_lose(csv);
        }
    }
    check_names(people);
    return people;
}

void thew_people_csv_free(thew_people_csv *people)
{
    if (people == NULL) return;
    g_hash_table_destroy(people->by_person);
    g_array_free(people->row, TRUE);
    g_string_chunk_free(people->words);
    thew_csv_free(people->csv);
    g_free(people);
}

const thew_people_row *thew_people_csv_find(const thew_people_csv *people, const char *person)
{
    return g_hash_table_lookup(people->by_person, person);
}

thew_body thew_people_body(const thew_people_row *row, thew_date day)
{
    double age_y = 0;
    if (row->birth_year > 0) age_y = CLAMP(day.year + (day.month - .5) / 12 - (row->birth_year + .5), 1, 120);
    return (thew_body){ .sex = row->sex, .age_y = age_y, .height_m = row->height_m, .mass_kg = row->mass_kg };
}

void thew_people_csv_write_header(GString *out)
{
    thew_csv_write_header(out, columns, THEW_PEOPLE_COLUMNS);
}

static char *positive(double value)
{
    return thew_csv_number((thew_maybe){ value > 0, value });
}

void thew_people_csv_write(GString *out, const thew_people_row *row)
{
    static const char *const sex[] = { "", "female", "male" }, *const condition[] = { "unknown", "ms", "none" },
                             *const endpoint[] = { "undecided", "failure", "reserve" }, *const side[] = { "", "left", "right" };
    char *field[THEW_PEOPLE_COLUMNS] = {
        [THEW_PEOPLE_PERSON] = g_strdup(row->person),
        [THEW_PEOPLE_CALLED] = g_strdup(row->called),
        [THEW_PEOPLE_SEX] = g_strdup(sex[row->sex]),
        [THEW_PEOPLE_BIRTH_YEAR] = row->birth_year > 0 ? g_strdup_printf("%d", row->birth_year) : NULL,
        [THEW_PEOPLE_HEIGHT_M] = positive(row->height_m),
        [THEW_PEOPLE_MASS_KG] = positive(row->mass_kg),
        [THEW_PEOPLE_CONDITION] = g_strdup(condition[row->condition]),
        [THEW_PEOPLE_ENDPOINT] = g_strdup(endpoint[row->endpoint]),
        [THEW_PEOPLE_WEAKER_SIDE] = g_strdup(side[row->weaker_side]),
        [THEW_PEOPLE_HEAT_SENSITIVE] = g_strdup(row->heat_sensitive ? "yes" : "no"),
        [THEW_PEOPLE_EXERCISES] = g_strjoinv(" ", (char **)row->exercises),
        [THEW_PEOPLE_CAUTIONS] = g_strjoinv(" ", (char **)row->cautions),
        [THEW_PEOPLE_GOALS] = g_strjoinv(" ", (char **)row->goals),
        [THEW_PEOPLE_SINCE] = thew_csv_day(row->since_day),
        [THEW_PEOPLE_LEFT_ON] = thew_csv_day(row->left_day),
        [THEW_PEOPLE_NOTE] = g_strdup(row->note),
    };
    thew_csv_write_owned(out, field, THEW_PEOPLE_COLUMNS);
}

void thew_people_csv_template(GString *out)
{
    static const char *const example[THEW_PEOPLE_COLUMNS] = {
        "ana", "Ana", "female", "1971", "1.68", "64.5", "ms", "failure", "left", "yes", "", "", "", "", "", "numb left hand",
    };
    thew_csv_write_template(out, "people.csv: one row for each person who trains", columns, example, THEW_PEOPLE_COLUMNS);
}
