// exchange.c: files in and out.
#include <string.h>

#include "serve/handlers.h"
#include "serve/tell.h"
#include "studio/hand_out.h"
#include "studio/take_in.h"

// --- out

static void answer_zip(thew_request *request, const char *person, const char *name)
{
    thew_actor actor = thew_request_actor(request);
    GBytes *zip = NULL;
    if (!thew_request_done(request, thew_hand_out_zip(request->studio, &actor, person, &zip, request->refusal))) return;
    thew_answer_header(request, "Content-Disposition", "attachment; filename=\"%s\"", name);
    request->answer.status = 200;
    request->answer.type = "application/zip";
    request->answer.body = zip;
}

void thew_people_export(thew_request *request)
{
    answer_zip(request, request->part[0], "person.zip");
}

void thew_export_all(thew_request *request)
{
    answer_zip(request, NULL, "studio.zip");
}

// The route's last part is the file's name.
void thew_export_table(thew_request *request)
{
    const char *name = strrchr(request->path, '/') + 1;
    thew_actor actor = thew_request_actor(request);
    for (int sheet = 0; sheet < THEW_SHEET_COUNT; sheet++) {
        if (strcmp(thew_sheet_name((thew_sheet)sheet), name) != 0) continue;
        GString *text = g_string_new(NULL);
        thew_verdict verdict = thew_hand_out_sheet(request->studio, &actor, (thew_sheet)sheet, NULL, text, request->refusal);
        if (thew_request_done(request, verdict)) {
            gsize size = text->len;
            thew_answer_header(request, "Content-Disposition", "attachment; filename=\"%s\"", name);
            thew_answer_bytes(request, 200, "text/csv; charset=utf-8; header=present", g_string_free(text, FALSE), size);
        } else {
            g_string_free(text, TRUE);
        }
        return;
    }
}

// --- in

static const char *const file_name[] = { "people.csv", "kit.csv", "diary.csv", "days.csv" };

static char *words_of(const thew_trouble *one)
{
    GString *words = g_string_new(NULL);
    const char *const part[] = { one->column, one->wrong, one->right };
    static const char *const joint[] = { ": ", "; " };
    for (gsize i = 0; i < G_N_ELEMENTS(part); i++) {
        if (!part[i]) continue;
        if (words->len) g_string_append(words, joint[i > 1]);
        g_string_append(words, part[i]);
    }
    if (one->got && *one->got) g_string_append_printf(words, "; got \"%s\"", one->got);
    g_autofree char *raw = g_string_free(words, FALSE);
    return g_utf8_make_valid(raw, -1);
}

static json_t *tell_faults(const thew_trouble_list *trouble)
{
    g_autoptr(GArray) all = thew_trouble_all(trouble);
    json_t *list = json_array();
    for (guint i = 0; i < all->len; i++) {
        const thew_trouble *one = &g_array_index(all, thew_trouble, i);
        g_autofree char *words = words_of(one);
        json_array_append_new(list, json_pack("{s:s, s:i, s:i, s:s, s:b}", "file", one->file, "line", (int)one->line, "column",
                                              (int)one->character, "words", words, "warning", one->severity != THEW_TROUBLE_ERROR));
    }
    return list;
}

static json_t *tell_taken(const thew_taken_in *taken, bool dry, const thew_trouble_list *trouble)
{
    return json_pack("{s:i, s:i, s:i, s:i, s:i, s:i, s:b, s:o}", "people", (int)taken->people, "items", (int)taken->items,
                     "readings", (int)taken->readings, "sets", (int)taken->sets, "check_ins", (int)taken->check_ins, "repeated",
                     (int)taken->repeated, "dry", dry, "faults", tell_faults(trouble));
}

// The faults stand in the problem twice: as errors with the file's place in the body, and as they lie in the file.
static void answer_faults(thew_request *request, const thew_trouble_list *trouble)
{
    static const char *const member[] = { "/people", "/kit", "/diary", "/days" };
    g_autoptr(GArray) all = thew_trouble_all(trouble);
    for (guint i = 0; i < all->len; i++) {
        const thew_trouble *one = &g_array_index(all, thew_trouble, i);
        g_autofree char *sentence = thew_trouble_sentence(one);
        for (gsize f = 0; f < G_N_ELEMENTS(file_name); f++)
            if (one->severity == THEW_TROUBLE_ERROR && strcmp(one->file, file_name[f]) == 0)
                thew_refusal_add(request->refusal, member[f], "%s", sentence);
    }
    guint64 count = thew_trouble_count(trouble, THEW_TROUBLE_ERROR);
    thew_answer_problem_with(request, 422, "faults", tell_faults(trouble),
                             "Nothing was taken in: there %s %" G_GUINT64_FORMAT " fault%s in the files.",
                             count == 1 ? "is" : "are", count, count == 1 ? "" : "s");
}

static thew_given_file file_of(const char *name, const char *text)
{
    return (thew_given_file){ name, text ? g_bytes_new_static(text, strlen(text)) : NULL };
}

static void drop_files(const thew_given_files *files)
{
    GBytes *const all[] = { files->people.bytes, files->kit.bytes, files->diary.bytes, files->days.bytes };
    for (gsize i = 0; i < G_N_ELEMENTS(all); i++)
        if (all[i]) g_bytes_unref(all[i]);
}

void thew_import(thew_request *request)
{
    const thew_import_body *given = thew_request_row(request, thew_import_body);
    thew_given_files files = { file_of(file_name[0], given->people), file_of(file_name[1], given->kit),
                               file_of(file_name[2], given->diary), file_of(file_name[3], given->days) };
    thew_actor actor = thew_request_actor(request);
    thew_taken_in taken = { 0 };
    g_autoptr(thew_trouble_list) trouble = thew_trouble_list_new();
    thew_verdict verdict = thew_take_in(request->studio, &actor, &files, given->dry, &taken, trouble, request->refusal);
    if (verdict == THEW_INVALID && thew_trouble_count(trouble, THEW_TROUBLE_ERROR) > 0)
        answer_faults(request, trouble);
    else if (thew_request_done(request, verdict))
        thew_answer_json(request, 200, tell_taken(&taken, given->dry, trouble));
    drop_files(&files);
}
