// csv_write.h: writing comma-separated values that read back as they were.
// Knows RFC 4180's quoting, CRLF, and numbers with a point whatever the locale. Leaves to others: which columns and rows there are.
//
// Text is never changed to please a program that reads it: a note that begins with "=" stays one, and a spreadsheet should be told
// to import columns as text.
#ifndef THEW_CSV_WRITE_H
#define THEW_CSV_WRITE_H

#include "exchange/cell.h"

/// Append a field, in quotes where RFC 4180 section 2 (6) asks for them. UTF-8 without control characters but CR and LF.
void thew_csv_write_field(GString *out, const char *text);
/// Append a row and its CRLF.
void thew_csv_write_row(GString *out, const char *const *field, int count);

/// A finite number in the fewest digits that read back as the same double.
///   text      out, at least G_ASCII_DTOSTR_BUF_SIZE bytes
///   returns   text
char *thew_csv_number_text(double value, char *text);

/// Append the header and its CRLF.
void thew_csv_write_header(GString *out, const thew_csv_column *column, int column_count);

/// What a number, a day or an instant is in a file. Newly allocated; NULL where unknown (a day
/// all-zero, an instant 0).
char *thew_csv_number(thew_maybe number);
char *thew_csv_day(thew_date day);
char *thew_csv_instant(gint64 us);

/// Append a row of owned fields, NULL for none, which are freed.
///   field   [count]
void thew_csv_write_owned(GString *out, char **field, int count);

/// Append an empty table: what it is for, what each column means, an invented example row, all in comments; then the header. The
/// example reads back without a finding if its "# " is taken away and it is put below the header.
///   example   [column_count]
void thew_csv_write_template(GString *out, const char *purpose, const thew_csv_column *column, const char *const *example,
                             int column_count);

#endif
