// held.c: see held.h.
#include "studio/held.h"

typedef struct {
    gpointer what;
    GDestroyNotify release;
} one;

static void release(gpointer data)
{
    one *held = data;
    held->release(held->what);
    g_free(held);
}

GPtrArray *thew_held_new(void)
{
    return g_ptr_array_new_with_free_func(release);
}

gpointer thew_hold(GPtrArray *held, gpointer what, GDestroyNotify how)
{
    if (!what) return NULL;
    one *more = g_new(one, 1);
    *more = (one){ what, how };
    g_ptr_array_add(held, more);
    return what;
}

char *thew_hold_text(GPtrArray *held, const char *text)
{
    return thew_hold(held, g_strdup(text), g_free);
}

char *thew_hold_format(GPtrArray *held, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    char *text = g_strdup_vprintf(format, arguments);
    va_end(arguments);
    return thew_hold(held, text, g_free);
}
