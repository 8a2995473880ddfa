// cross_check.h: whether the coach's files agree with each other and with the exercises there are.
// Knows which name in one file must be found in another, and how to hint at the one that was meant. Leaves to others: each file by
// itself (people_csv.h, kit_csv.h, diary_csv.h, days_csv.h), the catalogue.
#ifndef THEW_CROSS_CHECK_H
#define THEW_CROSS_CHECK_H

#include "exchange/days_csv.h"
#include "exchange/diary_csv.h"
#include "exchange/kit_csv.h"
#include "exchange/people_csv.h"

typedef enum { THEW_KNOWN_EXERCISES, THEW_KNOWN_VARIANTS, THEW_KNOWN_SETTINGS, THEW_KNOWN_CAUTIONS, THEW_KNOWN_GOALS } thew_known_kind;

/// For which exercise identifiers are asked; all-zero for exercises, cautions and goals.
typedef struct {
    const char *exercise;
    const char *variant;     // settings only; NULL: the usual one
    thew_kit_kind implement; // settings only; THEW_KIT_UNKNOWN: body weight alone
} thew_known_where;

/// The identifiers that exist, asked once for each name that comes up.
typedef struct {
    /// NULL-terminated and valid while the check lasts; NULL: nothing is known of these, so they are not checked.
    const char *const *(*ids)(void *user, thew_known_kind kind, thew_known_where where);
    void *user;
    const thew_people_csv *people; // who and what is known beside the files, where they go to; NULL: nobody, nothing
    const thew_kit_csv *kit;
} thew_known;

/// Check people, implements, exercises, variants, settings and cautions, and dates before birth. Findings go to the list that each
/// table was read with. A name that is unknown is one error, however many rows have it. What may stand in a row that was lost while
/// reading is not held against another file.
///   people, kit, diary, days, known   any may be NULL: nothing is checked in it or against it
void thew_cross_check(const thew_people_csv *people, const thew_kit_csv *kit, const thew_diary_csv *diary,
                      const thew_days_csv *days, const thew_known *known);

#endif
