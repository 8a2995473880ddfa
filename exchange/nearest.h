// nearest.h: which known name was probably meant.
// Knows how far two names lie apart, in slips of a keyboard. Leaves to others: which names are known, how the hint is worded.
#ifndef THEW_NEAREST_H
#define THEW_NEAREST_H

#include <glib.h>

#define THEW_NEAREST_LENGTH 64 // longer names are never hinted at

/// The optimal string alignment distance of two UTF-8 texts without regard to case: letters inserted, left out, replaced, or two
/// neighbours swapped (after Damerau 1964 (memory), in the restricted form: no letter is touched twice).
///   returns   0 for texts that differ in case alone; THEW_NEAREST_LENGTH + 1 if one is longer than THEW_NEAREST_LENGTH
int thew_nearest_distance(const char *a, const char *b);

/// The known name that lies nearest, if it lies near enough to be worth asking for (a third of the longer name's letters; a
/// judgement). The first of several.
///   names     NULL-terminated
///   returns   one of names, or NULL
const char *thew_nearest(const char *name, const char *const *names);

#endif
