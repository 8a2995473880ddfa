// kit_csv.h: kit.csv, what people train with: bands with their readings, dumbbells, cuffs.
// Knows its columns and how several rows make one implement. Leaves to others: the curve through the readings (engine/band.h),
// which of them are too old to be fitted together.
#ifndef THEW_KIT_CSV_H
#define THEW_KIT_CSV_H

#include "engine/band.h"
#include "exchange/cell.h"

#define THEW_NEWTONS_PER_KGF 9.80665 // standard gravity, exact (3rd CGPM 1901)

typedef enum { THEW_KIT_UNKNOWN, THEW_KIT_BAND, THEW_KIT_LOOP, THEW_KIT_DUMBBELL, THEW_KIT_CUFF } thew_kit_kind;

typedef enum {
    THEW_KIT_PERSON,
    THEW_KIT_IMPLEMENT,
    THEW_KIT_KIND,
    THEW_KIT_MASS_KG,
    THEW_KIT_REST_LENGTH_M,
    THEW_KIT_LENGTH_M,
    THEW_KIT_FORCE_N,
    THEW_KIT_FORCE_KGF,
    THEW_KIT_STEP,
    THEW_KIT_MEASURED,
    THEW_KIT_RETIRED,
    THEW_KIT_NOTE,
    THEW_KIT_COLUMNS
} thew_kit_column;

/// One reading of a scale.
typedef struct {
    thew_csv_row at;
    thew_reading reading;
    thew_date measured; // all-zero: unknown
    const char *note;
} thew_kit_reading;

/// One implement, from one row or more: those of one owner, one label, and one day on which it was retired (torn, given away), if any. Numbers are 0 where they do not apply or are unknown.
typedef struct {
    thew_csv_row at;       // its first row
    const char *person;    // "*" for everybody's
    const char *implement; // the owner's own label
    thew_kit_kind kind;
    double mass_kg;       // dumbbell, cuff
    double rest_length_m; // band, loop
    thew_maybe step;      // band, loop: place on its ladder, 0 for the softest
    GArray *reading;      // thew_kit_reading, in the file's order; empty for an unmeasured band and for weights
    thew_date retired;    // all-zero: in use
    const char *note;     // of its first row
    bool is_note_of_reading; // which is a reading's too
} thew_kit_item;

/// The table owns everything its items point at.
typedef struct {
    thew_csv *csv;
    GStringChunk *words;
    GArray *item; // thew_kit_item, in the order of their first rows
} thew_kit_csv;

/// Read, group and check by itself. Kept as far as it could be understood: ask thew_trouble_count before use.
///   today     latest date of a reading; all-zero: any
///   trouble   must outlive the table
///   returns   NULL after adding errors, if no row could be understood
thew_kit_csv *thew_kit_csv_read(const char *name, GBytes *bytes, thew_date today, thew_trouble_list *trouble);
void thew_kit_csv_free(thew_kit_csv *kit);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_kit_csv, thew_kit_csv_free)

/// The file's header, and the rows of an item: one for each reading, or one for all of it; a row of its own first where the item's note is
/// another than that of its first reading.
void thew_kit_csv_write_header(GString *out);
void thew_kit_csv_write(GString *out, const thew_kit_item *item);

/// An empty file to fill in.
void thew_kit_csv_template(GString *out);

#endif
