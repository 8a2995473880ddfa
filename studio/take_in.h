// take_in.h: the coach's four files taken into a studio: all of it, or nothing and every fault.
// Knows what is new, what is there already, and what contradicts it. Leaves to others: the files' form (exchange/), who may
// (may.h).
//
// Taking in the same files again changes nothing:
//   - people are known by their identifier, kit by owner, label and the day it was retired, readings by what the scale showed;
//   - a set or check-in with a record is known by it. One without gets an identifier that follows from what it is: person, day,
//   exercise,
//     variant, side, load, and which one of these on that day it is; for a check-in, person and day. So a row that was changed in
//     the file after it was taken in is found out and refused: a correction is a row of its own that names the record it replaces;
//   - a column that a file does not have leaves alone what is kept.
// A file never makes things less safe: cautions that are not in it stay, an endpoint "reserve" and a known sensitivity to heat too
// (with a note); these are taken back at the desk.
#ifndef THEW_STUDIO_TAKE_IN_H
#define THEW_STUDIO_TAKE_IN_H

#include "exchange/trouble.h"
#include "studio/studio.h"

/// A file. NULL bytes: not given; what it would say is looked up in the studio.
typedef struct {
    const char *name; // as findings call it
    GBytes *bytes;
} thew_given_file;

typedef struct {
    thew_given_file people, kit, diary, days;
} thew_given_files;

/// What was new or changed, and what was there already just so (rows of all files).
typedef struct {
    guint people, items, readings, sets, check_ins, repeated;
} thew_taken_in;

/// Take in.
///   dry       only say what would come of it
///   taken     out
///   trouble   findings are added, those of severity THEW_TROUBLE_NOTE too
///   verdict   THEW_DONE; THEW_DONE_BEFORE: nothing was new; THEW_INVALID: see trouble, nothing was taken in; THEW_UNABLE
thew_verdict thew_take_in(thew_studio *studio, const thew_actor *actor, const thew_given_files *given, bool dry,
                          thew_taken_in *taken, thew_trouble_list *trouble, thew_refusal *refusal);

#endif
