// request.c: see request.h.
#include "serve/request.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define REAL_DIGITS 15 // of the numbers that are written: what was typed comes back as it was

void thew_request_begin(thew_request *request)
{
    request->refusal = thew_refusal_new();
    request->owned = g_ptr_array_new_with_free_func(g_free);
}

void thew_request_end(thew_request *request)
{
    thew_shaped_clear(&request->body);
    g_clear_pointer(&request->who, thew_visitor_free);
    g_clear_pointer(&request->refusal, thew_refusal_free);
    g_clear_pointer(&request->owned, g_ptr_array_unref);
    g_clear_pointer(&request->answer.body, g_bytes_unref);
    for (int i = 0; i < request->answer.header_count; i++)
        g_free(request->answer.header[i].value);
    request->answer = (thew_answer){ 0 };
}

thew_actor thew_request_actor(const thew_request *request)
{
    return (thew_actor){ request->who ? request->who->account : NULL, NULL };
}

char *thew_request_own(thew_request *request, char *text)
{
    g_ptr_array_add(request->owned, text);
    return text;
}

// --- the query

static void argument_fault(thew_request *request, const char *name, const char *value, const char *right)
{
    thew_refusal_add(request->refusal, "", "the parameter %s is \"%.60s\"; it must be %s", name, value, right);
}

const char *thew_request_text(thew_request *request, const char *name, const char *absent)
{
    const char *value = request->argument(request->of, name);
    if (!value) return absent;
    if (g_utf8_validate(value, -1, NULL) && g_utf8_strlen(value, -1) <= 200) return value;
    thew_refusal_add(request->refusal, "", "the parameter %s must be a text of at most 200 characters", name);
    return absent;
}

thew_date thew_request_day(thew_request *request, const char *name)
{
    thew_date date = { 0 };
    const char *value = thew_request_text(request, name, NULL);
    if (value && (!thew_date_parse(value, &date) || !thew_date_exists(date))) {
        argument_fault(request, name, value, "a day that there is (\"2026-03-31\")");
        return (thew_date){ 0 };
    }
    return date;
}

double thew_request_number(thew_request *request, const char *name, double low, double high, double absent)
{
    const char *value = thew_request_text(request, name, NULL);
    if (!value) return absent;
    char *end;
    double number = g_ascii_strtod(value, &end);
    if (end != value && *end == '\0' && number >= low && number <= high) return number;
    g_autofree char *right = g_strdup_printf("a number from %g to %g", low, high);
    argument_fault(request, name, value, right);
    return absent;
}

bool thew_request_flag(thew_request *request, const char *name)
{
    static const char *const word[] = { "true", "false", NULL };
    return thew_request_word(request, name, word, "false") == word[0];
}

const char *thew_request_word(thew_request *request, const char *name, const char *const *word, const char *absent)
{
    const char *value = thew_request_text(request, name, NULL);
    if (!value) return absent;
    for (guint i = 0; word[i]; i++)
        if (strcmp(word[i], value) == 0) return word[i];
    g_autofree char *words = g_strjoinv(", ", (char **)word);
    g_autofree char *right = g_strdup_printf("one of %s", words);
    argument_fault(request, name, value, right);
    return absent;
}

bool thew_request_sound(thew_request *request)
{
    if (thew_refusal_is_empty(request->refusal)) return true;
    thew_answer_problem(request, 400, "The request could not be read.");
    return false;
}

// --- answers

void thew_answer_header(thew_request *request, const char *name, const char *format, ...)
{
    g_assert(request->answer.header_count < THEW_ANSWER_HEADERS);
    va_list arguments;
    va_start(arguments, format);
    int i = request->answer.header_count++;
    request->answer.header[i].name = name;
    request->answer.header[i].value = g_strdup_vprintf(format, arguments);
    va_end(arguments);
}

void thew_answer_bytes(thew_request *request, int status, const char *type, char *bytes, gsize size)
{
    g_clear_pointer(&request->answer.body, g_bytes_unref);
    request->answer.status = status;
    request->answer.type = type;
    request->answer.body = g_bytes_new_take(bytes, size);
}

static void answer_json_as(thew_request *request, int status, const char *type, json_t *value)
{
    char *text = json_dumps(value, JSON_COMPACT | JSON_REAL_PRECISION(REAL_DIGITS) | JSON_ENCODE_ANY);
    json_decref(value);
    g_assert(text); // texts come from JSON or the store: valid UTF-8
    gsize size = strlen(text);
    thew_answer_bytes(request, status, type, g_memdup2(text, size), size);
    free(text);
}

void thew_answer_json(thew_request *request, int status, json_t *value)
{
    answer_json_as(request, status, "application/json", value);
}

void thew_answer_svg(thew_request *request, char *svg)
{
    thew_answer_bytes(request, 200, "image/svg+xml; charset=utf-8", svg, strlen(svg));
}

void thew_answer_nothing(thew_request *request)
{
    request->answer.status = 204;
}

static const char *title_of(int status)
{
    switch (status) {
    case 400:
        return "The request cannot be understood";
    case 401:
        return "Nobody is logged in";
    case 403:
        return "Not allowed";
    case 404:
        return "There is no such thing";
    case 405:
        return "Not done that way";
    case 409:
        return "Not as things stand";
    case 413:
        return "Too large";
    case 415:
        return "Another kind of content";
    case 421:
        return "Another host";
    case 422:
        return "Something is wrong with what was given";
    case 429:
        return "Too many tries";
    case 503:
        return "Not possible just now";
    case 507:
        return "The disk is full";
    default:
        return "Something went wrong";
    }
}

// Sentences of the store may hold bytes that are none: a path, say.
static json_t *safe_string(const char *text)
{
    g_autofree char *valid = g_utf8_make_valid(text, -1);
    return json_string(valid);
}

static void answer_problem(thew_request *request, int status, const char *sentence, const char *member, json_t *value)
{
    json_t *errors = json_array();
    for (guint i = 0; i < request->refusal->fault->len; i++) {
        const thew_fault *one = request->refusal->fault->pdata[i];
        json_array_append_new(errors,
                              json_pack("{s:o, s:o}", "pointer", safe_string(one->pointer), "detail", safe_string(one->sentence)));
    }
    json_t *problem = json_pack("{s:s, s:s, s:i, s:o, s:o}", "type", "about:blank", "title", title_of(status), "status", status,
                                "detail", safe_string(sentence), "errors", errors);
    if (member) json_object_set_new(problem, member, value);
    answer_json_as(request, status, "application/problem+json", problem);
}

void thew_answer_problem(thew_request *request, int status, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    g_autofree char *sentence = g_strdup_vprintf(format, arguments);
    va_end(arguments);
    answer_problem(request, status, sentence, NULL, NULL);
}

void thew_answer_problem_with(thew_request *request, int status, const char *member, json_t *value, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    g_autofree char *sentence = g_strdup_vprintf(format, arguments);
    va_end(arguments);
    answer_problem(request, status, sentence, member, value);
}

static int status_of(thew_verdict verdict)
{
    switch (verdict) {
    case THEW_INVALID:
        return 422;
    case THEW_ABSENT:
        return 404;
    case THEW_CONFLICT:
        return 409;
    case THEW_FORBIDDEN:
        return 403;
    default:
        return 503;
    }
}

static const char *sentence_of(const thew_refusal *refusal, thew_verdict verdict)
{
    if (refusal->sentence) return refusal->sentence;
    if (refusal->fault->len == 1) return ((const thew_fault *)refusal->fault->pdata[0])->sentence;
    switch (verdict) {
    case THEW_INVALID:
        return "Several things are wrong with what was given.";
    case THEW_ABSENT:
        return "There is no such thing here.";
    case THEW_CONFLICT:
        return "It contradicts what is kept.";
    case THEW_FORBIDDEN:
        return "This account may not do that.";
    default:
        return "It could not be done just now; nothing was changed.";
    }
}

void thew_answer_refusal(thew_request *request, thew_verdict verdict)
{
    int status = status_of(verdict);
    const char *sentence = sentence_of(request->refusal, verdict);
    if (status == 503 && strstr(sentence, "disk is full")) status = 507; // the store's own word for it (store/status.h)
    if (status == 503) thew_answer_header(request, "Retry-After", "5");
    answer_problem(request, status, sentence, NULL, NULL);
}

bool thew_request_done(thew_request *request, thew_verdict verdict)
{
    if (verdict == THEW_DONE || verdict == THEW_DONE_BEFORE) return true;
    thew_answer_refusal(request, verdict);
    return false;
}

bool thew_request_store(thew_request *request, int status)
{
    return thew_request_done(request, thew_refuse_store(request->refusal, request->studio->db, (thew_store_status)status));
}
