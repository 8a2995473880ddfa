// csv.h: strict reading of comma-separated values.
// Knows RFC 4180's grammar, where every field stands, and which columns a table has. Leaves to others: what a field means (cell.h),
// what a row means (people_csv.h and its neighbours), how findings are shown (trouble.h).
//
// What is taken, beside the grammar of RFC 4180 section 2:
//   - UTF-8 for its TEXTDATA, which is ASCII; a byte order mark at the start is skipped; control characters stay refused, tabs too
//   - LF as well as CRLF at the end of a line; never CR alone (inside quotes CR and LF are text, as the grammar has it)
//   - the header is not optional, and every name in it must be known
//   - lines that start with # above the header are comments, empty lines there are skipped. The RFC knows no comments; they are
//     what lets a file of invented people say so in its first line. Below the header a # is text like any other.
//   - a line with nothing in it is a row of one empty field, so it is wrong in a table of several columns
// What is refused is named by line and character; the reader goes on with the next row, so that several errors come out at once.
//
// A row's fields lie in one buffer that is used again: bytes of the file + one row is all the memory it takes.
#ifndef THEW_CSV_H
#define THEW_CSV_H

#include "exchange/trouble.h"

#define THEW_CSV_BYTES_MAX ((gsize)256 << 20)
#define THEW_CSV_FIELD_BYTES_MAX 65536
#define THEW_CSV_COLUMNS_MAX 256

/// A column that a table may have. Tables describe theirs as an array, and use its indices as an enum.
typedef struct {
    const char *name;
    bool required;       // the column must be there (its fields may still be empty)
    const char *meaning; // for the template; no commas and no quotes, so that a spreadsheet saves it as it was
} thew_csv_column;

/// Where a row begins; kept beside what was read, it lets a later check point at any of the row's fields.
typedef struct {
    guint32 offset; // bytes
    guint32 line;   // from 1
} thew_csv_row;

typedef struct thew_csv thew_csv;

/// Read a whole file, or standard input for "-".
///   limit_bytes   usually THEW_CSV_BYTES_MAX; more is refused
///   returns       NULL after adding an error
GBytes *thew_csv_load(const char *path, gsize limit_bytes, thew_trouble_list *trouble);
/// The name under which findings show a path: itself, or "standard input" for "-".
const char *thew_csv_shown_name(const char *path);

/// Check the bytes as text, read comments and header.
///   name      shown in findings
///   column    [column_count], must outlive the reader
///   trouble   must outlive the reader
///   returns   NULL after adding errors, if no row could be understood: no text, no header, a required column missing. Other
///             faults of the header (an unknown column, one named twice) are errors too, but reading goes on without that column.
thew_csv *thew_csv_new(const char *name, GBytes *bytes, const thew_csv_column *column, int column_count,
                       thew_trouble_list *trouble);
void thew_csv_free(thew_csv *csv);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_csv, thew_csv_free)

/// Go to the next row that follows the grammar and has as many fields as the header; errors are added for those passed over.
///   returns   false at the end of the file
bool thew_csv_next(thew_csv *csv);
/// The same, but a row of nothing but empty fields, as spreadsheets leave them, is an error too.
bool thew_csv_next_filled(thew_csv *csv);

/// The current row.
thew_csv_row thew_csv_here(const thew_csv *csv);
/// A field of the current row, "" if the file has no such column. Valid until the next row is asked for.
const char *thew_csv_field(const thew_csv *csv, int column);

/// Whether the file has that column.
bool thew_csv_has_column(const thew_csv *csv, int column);

#define THEW_CSV_WHOLE_ROW (-1)
/// Add a finding about a field of any row read so far; what was found there is shown with it.
///   column         or THEW_CSV_WHOLE_ROW
///   wrong, right   see thew_trouble; one of them may be NULL
void thew_csv_find(const thew_csv *csv, thew_csv_row row, int column, thew_severity severity, const char *wrong, const char *right);

/// Whether every row was understood so far. If not, a name that cannot be found may stand in a row that was lost.
bool thew_csv_is_complete(const thew_csv *csv);
/// Count the current row as lost: its key could not be understood.
void thew_csv_lose(thew_csv *csv);

/// True while hints are worth their cost (thew_trouble_has_room).
bool thew_csv_has_room(const thew_csv *csv);

#endif
