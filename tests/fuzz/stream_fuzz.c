// stream_fuzz.c: any bytes told to `thew stream`: every line has its answer, every answer is JSON, odds are odds, and the exit
// status says whether a line was refused.
#define _POSIX_C_SOURCE 200809L // fmemopen, open_memstream
#include <glib.h>
#include <jansson.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/command.h"
#include "cli/stream.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static size_t lines_of(const uint8_t *data, size_t size)
{
    size_t count = 0;
    for (size_t i = 0; i < size; i++)
        count += data[i] == '\n';
    return count + (size > 0 && data[size - 1] != '\n');
}

static double number_at(const json_t *object, const char *key)
{
    const json_t *value = json_object_get(object, key);
    g_assert(json_is_number(value));
    g_assert(isfinite(json_number_value(value)));
    return json_number_value(value);
}

static void check_odds(const json_t *odds)
{
    double sum = 0;
    const char *const chance[] = { "p_floor", "p_early", "p_window", "p_beyond" }, *const time[] = { "p10", "p50", "p90" };
    for (gsize i = 0; i < G_N_ELEMENTS(chance); i++) {
        double p = number_at(odds, chance[i]);
        g_assert(p >= 0 && p <= 1);
        sum += p;
    }
    g_assert(fabs(sum - 1) < 1e-9);
    double before = 0;
    for (gsize i = 0; i < G_N_ELEMENTS(time); i++) {
        double seconds = number_at(json_object_get(odds, "seconds"), time[i]);
        g_assert(seconds >= before && seconds <= 3600);
        before = seconds;
    }
}

static void check_state(const json_t *state)
{
    g_assert(number_at(json_object_get(state, "ln_capacity"), "sd") >= 0);
    number_at(json_object_get(state, "ln_capacity"), "mean");
    number_at(json_object_get(state, "ln_tau"), "mean");
    g_assert(number_at(state, "records") >= 0);
}

//   returns   true if the line was refused
static bool check_answer(const char *text, size_t length, size_t line)
{
    json_t *answer = json_loadb(text, length, JSON_REJECT_DUPLICATES, NULL);
    g_assert(json_object_size(answer) == 1);
    const json_t *advice = json_object_get(answer, "advice"), *state = json_object_get(answer, "state"),
                 *error = json_object_get(answer, "error");
    if (advice) {
        size_t i;
        json_t *rung;
        check_odds(advice);
        json_array_foreach(json_object_get(advice, "rungs"), i, rung) check_odds(rung);
    } else if (state) {
        check_state(state);
    } else if (error) {
        g_assert(json_integer_value(json_object_get(error, "line")) == (json_int_t)line);
        g_assert(json_is_string(json_object_get(error, "at")) && json_string_length(json_object_get(error, "what")) > 0);
    } else {
        g_assert(json_is_true(json_object_get(answer, "ok")));
    }
    bool refused = error != NULL;
    json_decref(answer);
    return refused;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *said = NULL;
    size_t length = 0;
    FILE *from = fmemopen((void *)(size ? data : (const uint8_t *)""), size ? size : 1, "r"), *to = open_memstream(&said, &length);
    g_assert(from && to);
    if (size == 0) getc(from); // fmemopen has no empty file
    int status = thew_stream_run(from, to);
    fclose(from);
    fclose(to);
    size_t line = 0;
    bool refused = false;
    for (char *at = said, *end; (end = memchr(at, '\n', length - (size_t)(at - said))) != NULL; at = end + 1)
        refused |= check_answer(at, (size_t)(end - at), ++line);
    g_assert(line == lines_of(data, size));
    g_assert(status == (refused ? THEW_EXIT_REFUSED : THEW_EXIT_OK));
    free(said);
    return 0;
}
