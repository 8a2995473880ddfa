// measures.h: which outcome measures there are, and by how much one person has to change before it means anything, as data.
// Knows the file records/measures.json, which is built into the program; every figure has its source there. Leaves to others: what
// was measured (studio/take_measure.h).
#ifndef THEW_MEASURES_H
#define THEW_MEASURES_H

#include <stdbool.h>
#include <stddef.h>

/// How the smallest real change is told: as a difference, or as a share of the earlier score (timed tests, whose error grows with
/// the time).
typedef enum { THEW_CHANGE_UNKNOWN, THEW_CHANGE_DIFFERENCE, THEW_CHANGE_SHARE } thew_change_kind;

typedef struct {
    const char *measure; // identifier: "five-times-sit-to-stand"
    const char *name;    // the field's: "five-times sit-to-stand"
    const char *unit;    // UCUM: "s", "m", "{count}"
    const char *words;   // how it is taken
    bool higher_is_better;
    bool sided;      // taken on each side
    double from, to; // values that can be
    thew_change_kind change;
    double better, worse; // smallest real change either way: in the unit, or a share of the earlier score
    const char *source;   // of these figures; "" without
} thew_measure;

/// All of them. They live as long as the program.
const thew_measure *thew_measures(size_t *count);
/// By identifier or by name; NULL if there is none.
const thew_measure *thew_measure_find(const char *measure);

#endif
