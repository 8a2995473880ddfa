// days_csv.h: days.csv, one check-in for each person and day; several if each has a record, of which the last counts.
// Knows its columns. Leaves to others: the heat index of air and humidity (engine/heat.h), people that exist (cross_check.h).
#ifndef THEW_DAYS_CSV_H
#define THEW_DAYS_CSV_H

#include "exchange/cell.h"
#include "exchange/correction.h"

typedef enum {
    THEW_DAYS_DATE,
    THEW_DAYS_PERSON,
    THEW_DAYS_ROOM_C,
    THEW_DAYS_HUMIDITY_PERCENT,
    THEW_DAYS_HEAT_INDEX_C,
    THEW_DAYS_FATIGUE,
    THEW_DAYS_SLEEP,
    THEW_DAYS_READINESS,
    THEW_DAYS_RECORD,
    THEW_DAYS_REPLACES,
    THEW_DAYS_WITHDRAWN,
    THEW_DAYS_AT,
    THEW_DAYS_NOTE,
    THEW_DAYS_COLUMNS
} thew_days_column;

/// One check-in: the room and its humidity, or the heat index, or neither. Of the first two one alone says nothing of heat.
typedef struct {
    thew_csv_row at;
    thew_date date;
    const char *person;
    thew_maybe room_c, humidity_percent;
    thew_maybe heat_index_c;
    thew_maybe fatigue, sleep; // 0 to 10
    thew_maybe readiness;      // ln of the day's short task relative to this person's usual
    thew_csv_link link;            // record, replaces, withdrawn
    gint64 at_us;              // when it was written; 0: only the day is known
    const char *note;          // ""
} thew_days_row;

/// The table owns everything its rows point at.
typedef struct {
    thew_csv *csv;
    GStringChunk *words;
    GArray *row; // thew_days_row, in the file's order; a record that is repeated is there once
} thew_days_csv;

/// Read and check by itself. Kept as far as it could be understood: ask thew_trouble_count before use.
///   today     latest date; all-zero: any
///   trouble   must outlive the table
///   returns   NULL after adding errors, if no row could be understood
thew_days_csv *thew_days_csv_read(const char *name, GBytes *bytes, thew_date today, thew_trouble_list *trouble);
/// The same for a file that goes where there are records already, which it may correct.
thew_days_csv *thew_days_csv_read_beside(const char *name, GBytes *bytes, thew_date today, const thew_known_records *elsewhere,
                                         thew_trouble_list *trouble);
void thew_days_csv_free(thew_days_csv *days);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_days_csv, thew_days_csv_free)

/// A row's fields as they would be written.
///   field   out [THEW_DAYS_COLUMNS]: newly allocated, NULL for none
void thew_days_csv_fields(const thew_days_row *row, char **field);
/// The file's header, and a check-in's row.
void thew_days_csv_write_header(GString *out);
void thew_days_csv_write(GString *out, const thew_days_row *row);

/// An empty file to fill in.
void thew_days_csv_template(GString *out);

#endif
