// advise.c: `thew advise`: from people, kit and diary to each person's next loads, as a table or as JSON.
// Knows arguments and layout. Leaves to others: reading (files.h), deciding (studio/advise.h), sentences (studio/words.h).
#include <jansson.h>
#include <math.h>
#include <string.h>

#include "cli/command.h"
#include "cli/files.h"
#include "studio/advise.h"
#include "studio/words.h"

typedef struct {
    char *people, *kit, *days, *on, *person, *catalogue;
    gboolean json, brief;
    thew_day day;
    const char *diary;
} options;

static void options_clear(options *o)
{
    g_free(o->people);
    g_free(o->kit);
    g_free(o->days);
    g_free(o->on);
    g_free(o->person);
    g_free(o->catalogue);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(options, options_clear)

// A caution that the cross-check has found in the catalogue.
static const thew_caution *caution_of(const thew_catalogue *catalogue, const char *id)
{
    size_t count;
    const thew_caution *const *all = thew_catalogue_cautions(catalogue, &count);
    for (size_t c = 0; c < count; c++)
        if (strcmp(all[c]->id, id) == 0)
            return all[c];
    g_assert_not_reached();
}

// --- JSON ------------------------------------------------------------------------------------------------------------------------

static json_t *seconds_json(double seconds) { return isfinite(seconds) ? json_real(seconds) : json_null(); }

static json_t *odds_json(const thew_odds *o)
{
    return json_pack("{s:f,s:f,s:f,s:f,s:{s:o,s:o,s:o}}", "p_floor", o->p_floor, "p_early", o->p_early, "p_window", o->p_window, "p_beyond",
                     o->p_beyond, "seconds", "p10", seconds_json(o->p10_s), "p50", seconds_json(o->p50_s), "p90", seconds_json(o->p90_s));
}

static json_t *rung_json(const thew_fitted *f)
{
    return json_pack("{s:s,s:s,s:s?,s:s?,s:s,s:f,s:f}", "take", f->label, "variant", f->variant->id, "implement",
                     f->piece ? f->piece->label : NULL, "second_implement", f->piece_2 ? f->piece_2->label : NULL, "setting", f->setting->id,
                     "demand", f->rung.peak_share, "mean_share", f->rung.mean_share);
}

static json_t *reason_json(const thew_reason *r, bool has_last)
{
    json_t *reason = json_pack("{s:s,s:{s:f,s:f}}", "code", thew_reason_id(r->code), "ln_capacity", "mean", r->capacity.mean, "sd", r->capacity.sd);
    if (has_last) {
        json_object_set_new(reason, "last_ended", json_string(thew_words_ended(r->last_ended)));
        json_object_set_new(reason, "last_seconds", json_real(r->last_seconds));
        json_object_set_new(reason, "rise", json_real(r->rise_share));
    }
    if (r->limit > 0)
        json_object_set_new(reason, "limit", json_real(r->limit));
    return reason;
}

static json_t *advised_json(const thew_person_advice *a, const thew_advised *advised)
{
    g_autofree char *earliest = thew_words_date(advised->earliest);
    json_t *out = json_pack("{s:s,s:s,s:i,s:s}", "exercise", advised->exercise->id, "side", thew_words_side(advised->side), "records",
                            advised->record_count, "earliest", earliest);
    if (!advised->take) {
        json_object_set_new(out, "take", json_null());
        return out;
    }
    g_autofree char *sentence = thew_words_advised(a, advised);
    json_t *take = rung_json(advised->take);
    json_object_update_missing_new(out, take);
    json_t *odds = odds_json(&advised->advice.odds);
    json_object_update_missing_new(out, odds);
    json_object_set_new(out, "goal_seconds", json_real(thew_advised_aim_s(a, advised)));
    json_object_set_new(out, "reason", reason_json(&advised->advice.reason, advised->last != NULL));
    json_object_set_new(out, "sentence", json_string(sentence));
    if (advised->if_completed)
        json_object_set_new(out, "if_completed", json_string(advised->if_completed->label));
    if (advised->if_early)
        json_object_set_new(out, "if_early", json_string(advised->if_early->label));
    if (advised->other)
        json_object_set_new(out, "consider", json_string(advised->other->id));
    json_t *cautions = json_array();
    for (size_t c = 0; c < advised->take->implement->caution_count; c++)
        json_array_append_new(cautions, json_string(advised->take->implement->caution[c]->words));
    json_object_set_new(out, "cautions", cautions);
    json_t *rungs = json_array();
    for (guint r = 0; r < advised->count; r++) {
        json_t *rung = rung_json(&g_array_index(advised->ladder->fitted, thew_fitted, advised->first + r));
        json_object_update_missing_new(rung, odds_json(&advised->odds[r]));
        json_array_append_new(rungs, rung);
    }
    json_object_set_new(out, "rungs", rungs);
    return out;
}

static json_t *person_json(const thew_catalogue *catalogue, const thew_participant *participant, const thew_person_advice *a)
{
    json_t *list = json_array(), *notes = json_array(), *cautions = json_array();
    for (const char *const *id = participant->caution; id && *id; id++)
        json_array_append_new(cautions, json_string(caution_of(catalogue, *id)->words));
    for (guint t = 0; t < a->advised->len; t++)
        json_array_append_new(list, advised_json(a, &g_array_index(a->advised, thew_advised, t)));
    for (guint n = 0; n < a->note->len; n++)
        json_array_append_new(notes, json_string(a->note->pdata[n]));
    return json_pack("{s:s,s:s,s:s,s:i,s:b,s:o,s:o,s:o}", "person", participant->id, "called", participant->called, "endpoint",
                     participant->endpoint == THEW_TO_RESERVE ? "reserve" : "failure", "records", a->record_count, "declined", a->declined,
                     "cautions", cautions, "notes", notes, "advice", list);
}

// --- For people ------------------------------------------------------------------------------------------------------------------

#define COLUMNS 8
#define COLUMN_FIRST_RIGHT 3 // from here on set to the right
static const char *const heading[COLUMNS] = { "EXERCISE", "SIDE", "TAKE", "60-90 s", "<30 s", "LIKELY s", "AIM s", "FROM" };

static char *likely_text(const thew_odds *o)
{
    if (!isfinite(o->p50_s) || o->p50_s > 600)
        return g_strdup("over 600");
    if (!isfinite(o->p90_s) || o->p90_s > 600)
        return g_strdup_printf("%.0f (%.0f-600+)", o->p50_s, o->p10_s);
    return g_strdup_printf("%.0f (%.0f-%.0f)", o->p50_s, o->p10_s, o->p90_s);
}

// "Wed 11 Mar"
static char *short_day(thew_day day)
{
    char *text = thew_words_day(day);
    *strrchr(text, ' ') = '\0';
    return text;
}

static char *percent_text(double p) { return p < .005 ? g_strdup("<1 %") : g_strdup_printf("%.0f %%", p * 100); }

// out [COLUMNS]: owned strings
static void cells_of(const thew_person_advice *a, const thew_advised *advised, char **cell)
{
    const thew_odds *o = &advised->advice.odds;
    cell[0] = g_strdup(advised->variant && advised->take ? advised->variant->name : advised->exercise->name);
    cell[1] = g_strdup(thew_words_side(advised->side));
    bool too_heavy = advised->take && advised->advice.reason.code == THEW_REASON_TOO_HEAVY;
    cell[2] = advised->take ? g_strdup_printf("%s%s", advised->take->label, too_heavy ? " (too heavy)" : "") : g_strdup("nothing in the kit fits");
    cell[3] = advised->take ? percent_text(o->p_window) : g_strdup("");
    cell[4] = advised->take ? percent_text(o->p_floor) : g_strdup("");
    cell[5] = advised->take ? likely_text(o) : g_strdup("");
    cell[6] = advised->take ? g_strdup_printf("%.0f", thew_advised_aim_s(a, advised)) : g_strdup("");
    cell[7] = advised->take ? short_day(advised->earliest) : g_strdup("");
}

static void append_cell(GString *out, const char *text, glong width, bool right)
{
    glong pad = width - g_utf8_strlen(text, -1);
    if (right)
        g_string_append_printf(out, "%*s%s", (int)pad, "", text);
    else
        g_string_append_printf(out, "%s%*s", text, (int)pad, "");
}

static void append_row(GString *out, char *const *cell, const glong *width)
{
    g_string_append(out, "  ");
    for (int c = 0; c < COLUMNS; c++) {
        if (c > 0)
            g_string_append(out, "  ");
        append_cell(out, cell[c], width[c], c >= COLUMN_FIRST_RIGHT);
    }
    while (out->len > 0 && out->str[out->len - 1] == ' ')
        g_string_truncate(out, out->len - 1);
    g_string_append_c(out, '\n');
}

// A sentence, folded at spaces to the width of a page.
//   at   characters that stand on the line already
#define PAGE 100
static void append_folded_from(GString *out, const char *indent, glong at, const char *text)
{
    g_auto(GStrv) words = g_strsplit(text, " ", -1);
    for (char **w = words; *w; w++) {
        glong length = g_utf8_strlen(*w, -1);
        if (at > 0 && at + 1 + length > PAGE) {
            g_string_append_c(out, '\n');
            at = 0;
        }
        g_string_append_printf(out, "%s%s", at == 0 ? indent : " ", *w);
        at += (at == 0 ? (glong)strlen(indent) : 1) + length;
    }
    g_string_append_c(out, '\n');
}

static void append_folded(GString *out, const char *indent, const char *text) { append_folded_from(out, indent, 0, text); }

// What would have to be in the kit.
static void append_needs(GString *out, const thew_exercise *exercise)
{
    bool named[THEW_IMPLEMENT_COUNT] = { false };
    g_autoptr(GString) text = g_string_new("Needs:");
    for (size_t v = 0; v < exercise->variant_count; v++)
        for (size_t i = 0; i < exercise->variant[v]->implement_count; i++) {
            thew_implement_kind kind = exercise->variant[v]->implement[i].kind;
            if (!named[kind])
                g_string_append_printf(text, "%s %s", text->str[text->len - 1] == ':' ? "" : " or", thew_implement_kind_id(kind));
            named[kind] = true;
        }
    g_string_append(text, ", of a force or mass that suits this body.");
    append_folded(out, "    ", text->str);
}

// The same in the diary's words, where they differ from those that go without saying.
static void append_write(GString *out, const thew_advised *advised)
{
    const thew_fitted *take = advised->take;
    g_autoptr(GString) text = g_string_new(NULL);
    g_string_append_printf(text, "Write: exercise %s", advised->exercise->id);
    if (take->variant != advised->exercise->usual)
        g_string_append_printf(text, ", variant %s", take->variant->id);
    if (advised->side != THEW_BOTH)
        g_string_append_printf(text, ", side %s", thew_words_side(advised->side));
    if (take->piece)
        g_string_append_printf(text, ", implement %s%s%s", take->piece->label, take->piece_2 ? "+" : "", take->piece_2 ? take->piece_2->label : "");
    if (take->implement->setting_count > 1)
        g_string_append_printf(text, ", setting %s", take->setting->id);
    if (advised->other)
        g_string_append_printf(text, "; or variant %s", advised->other->id);
    append_folded(out, "    ", text->str);
}

static void append_why(GString *out, const thew_person_advice *a, const thew_advised *advised)
{
    if (!advised->take) {
        append_needs(out, advised->exercise);
        return;
    }
    const thew_implement *implement = advised->take->implement;
    g_autofree char *how = g_strdup_printf("How: %s%s%s", implement->words, implement->setting_count > 1 ? " " : "",
                                           implement->setting_count > 1 ? advised->take->setting->words : "");
    append_folded(out, "    ", how);
    g_autofree char *sentence = thew_words_advised(a, advised);
    g_autofree char *day = thew_words_day(advised->earliest);
    g_autofree char *text = advised->earliest > a->on ? g_strdup_printf("Why: %s Earliest good day: %s.", sentence, day) : g_strdup_printf("Why: %s", sentence);
    append_folded(out, "    ", text);
    append_write(out, advised);
}

// Once for each person.
static void append_caution(GString *out, GHashTable *said, const thew_caution *caution)
{
    if (g_hash_table_size(said) == 0)
        g_string_append(out, "  Before the sets:\n");
    if (!g_hash_table_add(said, (void *)caution))
        return;
    g_string_append(out, "  -");
    append_folded_from(out, "    ", 3, caution->words);
}

// What screening found for this person, then what has to be confirmed before a set.
static void append_cautions(GString *out, const thew_catalogue *catalogue, const thew_participant *participant, const thew_person_advice *a)
{
    g_autoptr(GHashTable) said = g_hash_table_new(g_direct_hash, g_direct_equal);
    for (const char *const *id = participant->caution; id && *id; id++)
        append_caution(out, said, caution_of(catalogue, *id));
    for (guint t = 0; t < a->advised->len; t++) {
        const thew_advised *advised = &g_array_index(a->advised, thew_advised, t);
        for (size_t c = 0; advised->take && c < advised->take->implement->caution_count; c++) {
            const thew_caution *caution = advised->take->implement->caution[c];
            if (caution->confirm)
                append_caution(out, said, caution);
        }
    }
}

static void append_person(GString *out, const thew_catalogue *catalogue, const thew_participant *participant, const thew_person_advice *a,
                          bool brief)
{
    g_autofree char *day = thew_words_day(a->on);
    bool bold = thew_output_has_bold();
    g_string_append_printf(out, "%s%s%s, %s (%d set%s on record)\n", bold ? "\033[1m" : "", participant->called, bold ? "\033[0m" : "", day,
                           a->record_count, a->record_count == 1 ? "" : "s");
    if (participant->endpoint == THEW_TO_RESERVE)
        append_folded(out, "  ", "Sets stop in reserve, a repetition or two before failure: aim there. The odds say when failure would come.");
    for (guint n = 0; n < a->note->len; n++) {
        g_autofree char *text = g_strdup_printf("Note: %s.", (const char *)a->note->pdata[n]);
        append_folded(out, "  ", text);
    }
    guint rows = a->advised->len;
    if (rows == 0) {
        g_string_append(out, "  No exercise is planned or on record.\n\n");
        return;
    }
    g_autofree char **cells = g_new0(char *, rows * COLUMNS);
    glong width[COLUMNS];
    for (int c = 0; c < COLUMNS; c++)
        width[c] = g_utf8_strlen(heading[c], -1);
    for (guint t = 0; t < rows; t++) {
        cells_of(a, &g_array_index(a->advised, thew_advised, t), &cells[t * COLUMNS]);
        for (int c = 0; c < COLUMNS; c++)
            width[c] = MAX(width[c], g_utf8_strlen(cells[t * COLUMNS + (guint)c], -1));
    }
    append_row(out, (char *const *)heading, width);
    for (guint t = 0; t < rows; t++) {
        append_row(out, &cells[t * COLUMNS], width);
        if (!brief)
            append_why(out, a, &g_array_index(a->advised, thew_advised, t));
    }
    for (guint i = 0; i < rows * COLUMNS; i++)
        g_free(cells[i]);
    if (!brief)
        append_cautions(out, catalogue, participant, a);
    g_string_append_c(out, '\n');
}

// --- The command -----------------------------------------------------------------------------------------------------------------

static const char description[] =
    "DIARY is the file of sets that were done; - reads standard input. thew template writes an\n"
    "empty file of each kind. For every exercise: what to take, the chance that the set then\n"
    "reaches momentary failure inside the window of 60-90 s, the chance that it ends before 30 s,\n"
    "the likely seconds (and the range that 8 of 10 such sets fall in), the seconds to aim at, the\n"
    "earliest good day, how and why, and what to write into the diary when it is done.\n"
    "\n"
    "thew advises; the coach decides; a clinician's word comes first. Exit status: 0 done, 1 a\n"
    "file was wrong (nothing is printed but what is wrong with it), 2 the call was wrong.\n";

static int run(options *o)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(thew_catalogue) catalogue = thew_catalogue_load(o->catalogue, &error);
    if (!catalogue) {
        g_printerr("%s\n", error->message);
        return THEW_EXIT_REFUSED;
    }
    thew_paths paths = { .people = o->people, .kit = o->kit, .diary = o->diary, .days = o->days };
    g_autoptr(thew_files) files = thew_files_read(catalogue, paths, (thew_date){ 0 });
    if (thew_trouble_report(files->trouble) != THEW_EXIT_OK || !files->participant)
        return THEW_EXIT_REFUSED;
    if (o->person && !thew_files_find(files, o->person)) {
        g_printerr("%s: there is no person \"%s\"\n", thew_csv_shown_name(o->people), o->person);
        return THEW_EXIT_REFUSED;
    }
    g_autoptr(GString) text = g_string_new(NULL);
    json_t *people = json_array();
    for (guint i = 0; i < files->participant->len; i++) {
        const thew_participant *participant = files->participant->pdata[i];
        if (o->person && strcmp(participant->id, o->person) != 0)
            continue;
        g_autoptr(thew_person_advice) advice = thew_advise_person(catalogue, participant, o->day);
        if (o->json)
            json_array_append_new(people, person_json(catalogue, participant, advice));
        else
            append_person(text, catalogue, participant, advice, o->brief);
    }
    if (o->json) {
        g_autofree char *on = thew_words_date(o->day);
        json_t *all = json_pack("{s:s,s:O}", "on", on, "people", people);
        char *dump = json_dumps(all, JSON_INDENT(1) | JSON_REAL_PRECISION(12));
        g_string_append(text, dump);
        g_string_append_c(text, '\n');
        free(dump);
        json_decref(all);
    }
    json_decref(people);
    return thew_output("-", text->str, text->len);
}

int thew_command_advise(int argc, char **argv)
{
    g_auto(options) o = { 0 };
    const GOptionEntry entries[] = {
        { "people", 0, 0, G_OPTION_ARG_FILENAME, &o.people, "who trains (required)", "FILE" },
        { "kit", 0, 0, G_OPTION_ARG_FILENAME, &o.kit, "what they train with (required)", "FILE" },
        { "days", 0, 0, G_OPTION_ARG_FILENAME, &o.days, "check-ins: heat, fatigue, sleep, readiness", "FILE" },
        { "on", 0, 0, G_OPTION_ARG_STRING, &o.on, "the day to advise for, from what is recorded up to and on it (default: today)", "YYYY-MM-DD" },
        { "person", 0, 0, G_OPTION_ARG_STRING, &o.person, "only this person", "ID" },
        { "brief", 0, 0, G_OPTION_ARG_NONE, &o.brief, "the tables alone, without how, why and cautions", NULL },
        { "json", 0, 0, G_OPTION_ARG_NONE, &o.json, "for programs: one JSON document with every rung's odds", NULL },
        { "catalogue", 0, 0, G_OPTION_ARG_FILENAME, &o.catalogue, "a folder of further exercises", "FOLDER" },
        { 0 },
    };
    int status = THEW_EXIT_OK;
    if (!thew_options_parse("advise", "DIARY", "The next load of each person's exercises.", description, entries, &argc, &argv, &status))
        return status;
    if (argc != 2)
        return thew_usage_error("advise", "needs exactly one DIARY file, got %d", argc - 1);
    if (!o.people || !o.kit)
        return thew_usage_error("advise", "needs --people FILE and --kit FILE");
    o.diary = argv[1];
    if (!thew_paths_use_input_once((thew_paths){ .people = o.people, .kit = o.kit, .diary = o.diary, .days = o.days }))
        return thew_usage_error("advise", "standard input (-) can be one file only");
    o.day = thew_words_today();
    if (o.on && !thew_date_option(o.on, &o.day))
        return thew_usage_error("advise", "--on must be a day that exists, as YYYY-MM-DD; got \"%s\"", o.on);
    return run(&o);
}
