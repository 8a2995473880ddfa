// refusal.c: see refusal.h.
#include "studio/refusal.h"

static void fault_free(gpointer data)
{
    thew_fault *fault = data;
    g_free(fault->pointer);
    g_free(fault->sentence);
    g_free(fault);
}

thew_refusal *thew_refusal_new(void)
{
    thew_refusal *refusal = g_new0(thew_refusal, 1);
    refusal->fault = g_ptr_array_new_with_free_func(fault_free);
    return refusal;
}

void thew_refusal_free(thew_refusal *refusal)
{
    if (!refusal) return;
    g_ptr_array_unref(refusal->fault);
    g_free(refusal->sentence);
    g_free(refusal);
}

static void take(thew_refusal *refusal, char *pointer, char *sentence)
{
    thew_fault *fault = g_new(thew_fault, 1);
    *fault = (thew_fault){ pointer, sentence };
    g_ptr_array_add(refusal->fault, fault);
}

void thew_refusal_add(thew_refusal *refusal, const char *pointer, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    take(refusal, g_strdup(pointer), g_strdup_vprintf(format, arguments));
    va_end(arguments);
}

void thew_refusal_at(thew_refusal *refusal, const char *array, guint index, const char *member, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    take(refusal, g_strdup_printf("/%s/%u/%s", array, index, member), g_strdup_vprintf(format, arguments));
    va_end(arguments);
}

bool thew_refusal_is_empty(const thew_refusal *refusal)
{
    return refusal->fault->len == 0 && !refusal->sentence;
}

thew_verdict thew_refuse(thew_refusal *refusal, thew_verdict verdict, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    g_free(refusal->sentence);
    refusal->sentence = g_strdup_vprintf(format, arguments);
    va_end(arguments);
    return verdict;
}

static thew_verdict meaning_of(thew_store_status status)
{
    switch (status) {
    case THEW_STORE_NOT_FOUND: return THEW_ABSENT;
    case THEW_STORE_CONFLICT:
    case THEW_STORE_EXISTS: return THEW_CONFLICT;
    case THEW_STORE_REFUSED: return THEW_INVALID;
    default: return THEW_UNABLE;
    }
}

thew_verdict thew_refuse_store(thew_refusal *refusal, const thew_db *db, thew_store_status status)
{
    if (status == THEW_STORE_REPEATED) return THEW_DONE_BEFORE;
    if (status >= 0) return THEW_DONE;
    return thew_refuse(refusal, meaning_of(status), "%s", thew_db_sentence(db));
}
