// held.h: what an answer points at, freed with it.
// Knows nothing of what it is. An answer borrows texts from rows, chunks and blocks of several kinds; here they stay until it goes.
#ifndef THEW_STUDIO_HELD_H
#define THEW_STUDIO_HELD_H

#include <glib.h>

/// A new place to hold things; g_ptr_array_unref frees all of them.
GPtrArray *thew_held_new(void);
/// Hold one. NULL is harmless.
///   returns   what
gpointer thew_hold(GPtrArray *held, gpointer what, GDestroyNotify release);
/// A copy of a text that lives as long. NULL stays NULL.
char *thew_hold_text(GPtrArray *held, const char *text);
/// A text made by printf's rules that lives as long.
char *thew_hold_format(GPtrArray *held, const char *format, ...) G_GNUC_PRINTF(2, 3);

#endif
