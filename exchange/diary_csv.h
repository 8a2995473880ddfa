// diary_csv.h: diary.csv, one row for each set that was done.
// Knows its columns, repeated records and corrections. Leaves to others: people, implements and exercises that exist
// (cross_check.h), what a record says of strength.
#ifndef THEW_DIARY_CSV_H
#define THEW_DIARY_CSV_H

#include "exchange/cell.h"
#include "exchange/correction.h"

typedef enum { THEW_DIARY_BOTH, THEW_DIARY_LEFT, THEW_DIARY_RIGHT } thew_diary_side;

/// How a set ended: momentary failure; the window closed first; stopped early by choice; stopped for a symptom; anything else.
typedef enum {
    THEW_DIARY_ENDED_UNKNOWN,
    THEW_DIARY_FAILURE,
    THEW_DIARY_COMPLETED,
    THEW_DIARY_RESERVE,
    THEW_DIARY_SYMPTOM,
    THEW_DIARY_OTHER
} thew_diary_ended;

typedef enum {
    THEW_DIARY_DATE,
    THEW_DIARY_PERSON,
    THEW_DIARY_EXERCISE,
    THEW_DIARY_VARIANT,
    THEW_DIARY_SIDE,
    THEW_DIARY_IMPLEMENT,
    THEW_DIARY_SETTING,
    THEW_DIARY_ENDED,
    THEW_DIARY_SECONDS,
    THEW_DIARY_RESERVE_S,
    THEW_DIARY_EXERTION,
    THEW_DIARY_RECORD,
    THEW_DIARY_REPLACES,
    THEW_DIARY_WITHDRAWN,
    THEW_DIARY_AT,
    THEW_DIARY_NOTE,
    THEW_DIARY_COLUMNS
} thew_diary_column;

/// One set. Names are NULL where the file has none; equal names of one table are the same pointer.
typedef struct {
    thew_csv_row at;
    thew_date date;
    thew_diary_side side;
    thew_diary_ended ended;
    const char *person, *exercise;
    const char *variant, *setting; // NULL: the usual one
    const char *implement;         // NULL: body weight alone
    thew_csv_link link;                // record, replaces, withdrawn
    gint64 at_us;                  // when it ended; 0: only the day is known
    const char *note;              // ""
    double seconds;
    thew_maybe reserve_s, exertion;
} thew_diary_row;

/// The table owns everything its rows point at.
typedef struct {
    thew_csv *csv;
    GStringChunk *words;
    GArray *row; // thew_diary_row, in the file's order; a record that is repeated is there once
} thew_diary_csv;

/// Read and check by itself: repeats, corrections. Kept as far as it could be understood: ask thew_trouble_count before use.
///   today     latest date; all-zero: any
///   trouble   must outlive the table
///   returns   NULL after adding errors, if no row could be understood
thew_diary_csv *thew_diary_csv_read(const char *name, GBytes *bytes, thew_date today, thew_trouble_list *trouble);
/// The same for a file that goes where there are records already, which it may correct.
thew_diary_csv *thew_diary_csv_read_beside(const char *name, GBytes *bytes, thew_date today, const thew_known_records *elsewhere,
                                           thew_trouble_list *trouble);
void thew_diary_csv_free(thew_diary_csv *diary);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_diary_csv, thew_diary_csv_free)

/// A row's fields as they would be written.
///   field   out [THEW_DIARY_COLUMNS]: newly allocated, NULL for none
void thew_diary_csv_fields(const thew_diary_row *row, char **field);
/// The file's header, and a set's row.
void thew_diary_csv_write_header(GString *out);
void thew_diary_csv_write(GString *out, const thew_diary_row *row);

/// An empty file to fill in.
void thew_diary_csv_template(GString *out);

#endif
