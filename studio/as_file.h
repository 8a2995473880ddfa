// as_file.h: what is kept, as the rows of the coach's files say it, and back.
// Knows which column is which member. Leaves to others: reading and writing the files (exchange/), what to do with them (take_in.h,
// hand_out.h).
#ifndef THEW_STUDIO_AS_FILE_H
#define THEW_STUDIO_AS_FILE_H

#include "exchange/days_csv.h"
#include "exchange/diary_csv.h"
#include "exchange/kit_csv.h"
#include "exchange/people_csv.h"
#include "store/checkin.h"
#include "store/diary.h"
#include "store/kit.h"
#include "store/person.h"

/// Whose an item is, in a file: "*" for everybody's.
#define THEW_EVERYBODY "*"

/// A person's row. Texts stay the given ones; the lists are new.
///   choice   rows of thew_store_choice: theirs
thew_people_row thew_as_file_person(const thew_store_person *person, const thew_rows *choice);
void thew_as_file_person_clear(thew_people_row *row);
/// The names of one list ("exercise", "caution", "goal"), in order. Newly allocated, for g_free; the names stay those of the rows.
const char **thew_as_file_list(const thew_rows *choice, const char *list);

/// An item, its readings in the order of their days and lengths.
///   reading   rows of thew_store_reading: its own
thew_kit_item thew_as_file_item(const thew_store_item *item, const thew_rows *reading);
void thew_as_file_item_clear(thew_kit_item *item);

thew_diary_row thew_as_file_set(const thew_store_set *set);
/// A heat index is left out where room and humidity say it.
thew_days_row thew_as_file_checkin(const thew_store_checkin *checkin);

/// Take over what a row says; the rest stays as it is in what is given.
///   csv   the row's table: of a column that the file does not have, nothing is taken over. NULL: all of them
void thew_from_file_person(const thew_people_row *row, const thew_csv *csv, thew_store_person *person);
void thew_from_file_item(const thew_kit_item *row, const thew_csv *csv, thew_store_item *item);
/// Without identifiers: record and replaces are the caller's.
void thew_from_file_set(const thew_diary_row *row, thew_store_set *set);
/// The heat index is worked out where room and humidity say it.
void thew_from_file_checkin(const thew_days_row *row, thew_store_checkin *checkin);

#endif
