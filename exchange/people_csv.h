// people_csv.h: people.csv, one row for each person who trains.
// Knows its columns and what one row says. Leaves to others: exercises and cautions that exist (cross_check.h), screening.
#ifndef THEW_PEOPLE_CSV_H
#define THEW_PEOPLE_CSV_H

#include "engine/body.h"
#include "exchange/cell.h"

typedef enum { THEW_PEOPLE_CONDITION_UNKNOWN, THEW_PEOPLE_MS, THEW_PEOPLE_NO_CONDITION } thew_people_condition;
/// How this person's sets are meant to end; unknown: not decided yet, so nobody should go to failure.
typedef enum { THEW_PEOPLE_ENDPOINT_UNKNOWN, THEW_PEOPLE_TO_FAILURE, THEW_PEOPLE_TO_RESERVE } thew_people_endpoint;
typedef enum { THEW_PEOPLE_SIDE_UNKNOWN, THEW_PEOPLE_LEFT, THEW_PEOPLE_RIGHT } thew_people_side;

typedef enum {
    THEW_PEOPLE_PERSON,
    THEW_PEOPLE_CALLED,
    THEW_PEOPLE_SEX,
    THEW_PEOPLE_BIRTH_YEAR,
    THEW_PEOPLE_HEIGHT_M,
    THEW_PEOPLE_MASS_KG,
    THEW_PEOPLE_CONDITION,
    THEW_PEOPLE_ENDPOINT,
    THEW_PEOPLE_WEAKER_SIDE,
    THEW_PEOPLE_HEAT_SENSITIVE,
    THEW_PEOPLE_EXERCISES,
    THEW_PEOPLE_CAUTIONS,
    THEW_PEOPLE_GOALS,
    THEW_PEOPLE_SINCE,
    THEW_PEOPLE_LEFT_ON,
    THEW_PEOPLE_NOTE,
    THEW_PEOPLE_COLUMNS
} thew_people_column;

/// One person. Numbers are 0 and texts "" where nothing is known.
typedef struct {
    thew_csv_row at;
    const char *person; // identifier
    const char *called; // what to call them on a screen; their identifier if the file has nothing
    thew_sex sex;
    int birth_year;
    double height_m, mass_kg;
    thew_people_condition condition;
    thew_people_endpoint endpoint;
    thew_people_side weaker_side;
    bool heat_sensitive;
    const char **exercises, **cautions, **goals; // identifiers, NULL-terminated, never NULL
    thew_date since_day, left_day;               // all-zero: unknown; still here
    const char *note;
} thew_people_row;

#define THEW_CALLED_LENGTH 100 // characters

/// The table owns everything its rows point at.
typedef struct {
    thew_csv *csv;
    GStringChunk *words;
    GArray *row;           // thew_people_row
    GHashTable *by_person; // identifier to row
} thew_people_csv;

/// Read and check by itself. A row with a fault in it is kept as far as it could be understood: ask thew_trouble_count before use.
///   today     latest birth year is its; all-zero: 2100
///   trouble   must outlive the table
///   returns   NULL after adding errors, if no row could be understood
thew_people_csv *thew_people_csv_read(const char *name, GBytes *bytes, thew_date today, thew_trouble_list *trouble);
void thew_people_csv_free(thew_people_csv *people);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_people_csv, thew_people_csv_free)

/// The row of a person, NULL if there is none.
const thew_people_row *thew_people_csv_find(const thew_people_csv *people, const char *person);

/// What the engine needs to know of a body, on a day: age from the middle of the birth year (so half a year wrong at most), 0 if
/// unknown, else kept within the engine's 1 to 120.
thew_body thew_people_body(const thew_people_row *row, thew_date day);

/// The file's header, and a person's row.
void thew_people_csv_write_header(GString *out);
void thew_people_csv_write(GString *out, const thew_people_row *row);

/// An empty file to fill in.
void thew_people_csv_template(GString *out);

#endif
