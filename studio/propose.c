// propose.c: advice for a stored person: made, kept with its odds, shown as it was told (see propose.h).
#include "studio/propose.h"

#include <math.h>
#include <string.h>

#include "studio/believe.h"
#include "studio/propose_parts.h"
#include "studio/screen.h"
#include "studio/words.h"

#define AHEAD_DAYS 366     // further ahead nothing is advised
#define SAME_ODDS 1e-9     // odds that do not differ by more were told already
#define LIGHTER_SHARE .999 // of the demand agreed on: what is advised anew is lighter
#define TRIES 3            // of writing down what was found while somebody else wrote

// --- What is told ----------------------------------------------------------------------------------------------------------------

// An identifier that follows from what it is for, in the form of a UUID (RFC 9562 version 8).
static char *identifier_of(const thew_knowledge *k, thew_day day, const thew_advised *advised)
{
    g_autofree char *name = g_strdup_printf("%s\n%d\n%s\n%s\n%" G_GINT64_FORMAT "\n" THEW_ENGINE_VERSION, k->person->person, day,
                                            advised->exercise->id, thew_words_side(advised->side), k->person->revision);
    g_autofree char *sum = g_compute_checksum_for_string(G_CHECKSUM_SHA256, name, -1);
    return g_strdup_printf("%.8s-%.4s-8%.3s-a%.3s-%.12s", sum, sum + 8, sum + 12, sum + 15, sum + 18);
}

// As a diary names it: the piece's label, two as "a+b", NULL for body weight.
static const char *implement_of(const thew_fitted *fitted, GStringChunk *words)
{
    if (!fitted->piece) return NULL;
    if (!fitted->piece_2) return fitted->piece->label;
    g_autofree char *pair = g_strconcat(fitted->piece->label, "+", fitted->piece_2->label, NULL);
    return g_string_chunk_insert_const(words, pair);
}

static const char *setting_of(const thew_fitted *fitted)
{
    return fitted->implement->setting_count > 1 ? fitted->setting->id : NULL;
}

static thew_store_advice told_now(const thew_proposals *p, const thew_advised *advised, const char *id, thew_utc now)
{
    const thew_fitted *take = advised->take;
    const thew_odds *odds = &advised->advice.odds;
    return (thew_store_advice){ .advice = id,
                                .person = p->knowledge->person->person,
                                .day = thew_studio_date(p->day),
                                .exercise = advised->exercise->id,
                                .variant = advised->variant->id,
                                .side = thew_words_side(advised->side),
                                .implement = implement_of(take, p->words),
                                .setting = setting_of(take),
                                .label = take->label,
                                .demand = take->rung.peak_share,
                                .p_floor = odds->p_floor,
                                .p_early = odds->p_early,
                                .p_window = odds->p_window,
                                .p_beyond = odds->p_beyond,
                                .p10_s = odds->p10_s,
                                .p50_s = odds->p50_s,
                                .p90_s = odds->p90_s,
                                .goal_s = thew_advised_aim_s(p->advice, advised),
                                .reason = thew_reason_id(advised->advice.reason.code),
                                .engine = THEW_ENGINE_VERSION,
                                .made_us = now,
                                .became = "open" };
}

static thew_load_names names_of(const thew_store_advice *advice)
{
    return (thew_load_names){ advice->variant, advice->implement, advice->setting };
}

static bool tells_same(const thew_exercise *exercise, const thew_store_advice *a, const thew_store_advice *b)
{
    return thew_load_is_same(exercise, names_of(a), names_of(b)) && fabs(a->p_floor - b->p_floor) < SAME_ODDS &&
           fabs(a->p_early - b->p_early) < SAME_ODDS && fabs(a->p_window - b->p_window) < SAME_ODDS &&
           fabs(a->goal_s - b->goal_s) < SAME_ODDS;
}

// Whether what stands is to be told again instead of what is found now.
static bool stands(const thew_store_advice *kept, const thew_store_advice *now, const thew_exercise *exercise)
{
    if (!kept || (!kept->record && thew_advice_is(kept, "lapsed"))) return false;
    if (kept->record || thew_advice_is(kept, "overridden")) return true;
    if (kept->accepted_us.us != 0) return now->demand >= kept->demand * LIGHTER_SHARE;
    return strcmp(kept->advice, now->advice) == 0 || tells_same(exercise, kept, now);
}

// --- Keeping ---------------------------------------------------------------------------------------------------------------------

// What has to be written, found on rows as they are now.
typedef struct {
    thew_studio *studio;
    const thew_proposals *p;
    thew_day today;
    thew_utc now;
    bool write;  // else only look whether there is anything to write
    guint count; // of things written, or to be written
    thew_store_status status;
} keeping;

static void put(keeping *keep, const thew_store_advice *now)
{
    keep->count++;
    if (!keep->write || keep->status < 0) return;
    g_autoptr(thew_rows) before = NULL;
    keep->status = thew_store_advice_find(keep->studio->db, keep->studio->id, now->advice, &before);
    if (keep->status == THEW_STORE_NOT_FOUND)
        keep->status = thew_store_advice_add(keep->studio->db, keep->studio->id, now);
    else if (keep->status >= 0) // it lapsed when something else stood for a while
        keep->status = thew_store_advice_settle(keep->studio->db, keep->studio->id, now->advice, "open", (thew_utc){ 0 }, NULL);
}

static void lapse(keeping *keep, const thew_store_advice *kept)
{
    keep->count++;
    if (keep->write && keep->status >= 0)
        keep->status = thew_store_advice_settle(keep->studio->db, keep->studio->id, kept->advice, "lapsed", keep->now, NULL);
}

// The advice that goes on for one exercise and side is `now`, or what stands: then now->advice is set to its identifier.
static void keep_one(keeping *keep, const thew_advised *advised, GHashTable *alive)
{
    const thew_proposals *p = keep->p;
    g_autofree char *id = identifier_of(p->knowledge, p->day, advised);
    thew_store_advice now = told_now(p, advised, id, keep->now);
    const thew_store_advice *kept = thew_advice_standing(p->kept, now.day, now.exercise, now.side);
    if (stands(kept, &now, advised->exercise)) {
        g_hash_table_add(alive, g_strdup(kept->advice));
        return;
    }
    g_hash_table_add(alive, g_strdup(now.advice));
    put(keep, &now);
}

// Open advice of days that are past, and of this day where something else goes on.
static void lapse_others(keeping *keep, GHashTable *alive)
{
    for (guint i = 0; i < keep->p->kept->row->len; i++) {
        const thew_store_advice *row = thew_row(keep->p->kept, thew_store_advice, i);
        thew_day day = thew_studio_number(row->day);
        bool over = day < keep->today || (day == keep->p->day && !g_hash_table_contains(alive, row->advice));
        if (over && !row->record && thew_advice_is(row, "open")) lapse(keep, row);
    }
}

static void keep_all(keeping *keep)
{
    g_autoptr(GHashTable) alive = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    keep->count = 0;
    for (guint t = 0; t < keep->p->advice->advised->len; t++) {
        const thew_advised *advised = &g_array_index(keep->p->advice->advised, thew_advised, t);
        if (advised->take) keep_one(keep, advised, alive);
    }
    lapse_others(keep, alive);
}

static thew_store_status read_kept(thew_studio *studio, thew_proposals *p)
{
    g_clear_pointer(&p->kept, thew_rows_free);
    thew_day from = MIN(p->day, thew_studio_today(studio));
    return thew_store_advice_on(studio->db, studio->id, p->knowledge->person->person, thew_studio_date(from), &p->kept);
}

// Whether nothing was written of the person since they were read.
static thew_store_status is_still_so(const thew_studio *studio, const thew_knowledge *k, bool *is)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status = thew_store_person_find(studio->db, studio->id, k->person->person, &rows);
    *is = status >= 0 && thew_row(rows, thew_store_person, 0)->revision == k->person->revision;
    return status;
}

// Write down what was found, unless the person has changed meanwhile: then nothing, and `again`.
static thew_store_status write_down(thew_studio *studio, thew_proposals *p, keeping *keep, bool *again)
{
    bool same = false;
    thew_store_status status = thew_db_begin(studio->db);
    if (status < 0) return status;
    status = is_still_so(studio, p->knowledge, &same);
    *again = !same;
    if (status >= 0 && same) status = read_kept(studio, p);
    if (status >= 0 && same) {
        keep->write = true;
        keep_all(keep);
        status = keep->status;
    }
    if (status >= 0 && same) status = read_kept(studio, p);
    return thew_db_end(studio->db, status);
}

static thew_store_status keep_what_was_found(thew_studio *studio, thew_proposals *p, bool *again)
{
    keeping keep = { .studio = studio, .p = p, .today = thew_studio_today(studio), .now = thew_studio_now(studio) };
    *again = false;
    thew_store_status status = read_kept(studio, p);
    if (status < 0) return status;
    keep_all(&keep);
    bool reading_only = thew_db_opened_for(studio->db) == THEW_DB_READ;
    return keep.count == 0 || reading_only ? status : write_down(studio, p, &keep, again);
}

// --- Showing ---------------------------------------------------------------------------------------------------------------------

static const char *hold(const thew_proposals *p, char *text)
{
    const char *held = g_string_chunk_insert_const(p->words, text);
    g_free(text);
    return held;
}

static const thew_fitted *done_by(const thew_advised *advised, thew_load_names names)
{
    return thew_ladder_done(advised->ladder, names.variant, names.implement, names.setting);
}

static GArray *rungs_of(const thew_advised *advised, const thew_fitted *chosen)
{
    GArray *rungs = g_array_new(FALSE, TRUE, sizeof(thew_proposed_rung));
    for (guint r = 0; r < advised->count; r++) {
        const thew_fitted *fitted = &g_array_index(advised->ladder->fitted, thew_fitted, advised->first + r);
        thew_proposed_rung rung = { .fitted = fitted,
                                    .odds = advised->odds[r],
                                    .is_advised = fitted == advised->take,
                                    .is_last = fitted == advised->last,
                                    .is_chosen = fitted == chosen };
        g_array_append_val(rungs, rung);
    }
    return rungs;
}

static void add_caution(GPtrArray *cautions, const thew_caution *caution)
{
    if (!g_ptr_array_find(cautions, caution->words, NULL)) g_ptr_array_add(cautions, (gpointer)caution->words);
}

// What screening found, then what the implement asks for.
static const char *const *cautions_of(const thew_studio *studio, const thew_proposals *p, const thew_fitted *fitted)
{
    GPtrArray *cautions = g_ptr_array_new();
    size_t count;
    const thew_caution *const *all = thew_catalogue_cautions(studio->catalogue, &count);
    for (const char *const *id = p->knowledge->participant.caution; *id; id++)
        for (size_t c = 0; c < count; c++)
            if (strcmp(all[c]->id, *id) == 0) add_caution(cautions, all[c]);
    for (size_t c = 0; fitted && c < fitted->implement->caution_count; c++)
        add_caution(cautions, fitted->implement->caution[c]);
    g_ptr_array_add(cautions, NULL);
    g_ptr_array_add(p->lists, cautions);
    return (const char *const *)cautions->pdata;
}

static thew_became became_of(const thew_store_advice *row)
{
    if (thew_advice_is(row, "lapsed")) return THEW_LAPSED;
    if (thew_advice_is(row, "overridden")) return THEW_OVERRIDDEN;
    return thew_advice_is(row, "taken") || row->accepted_us.us != 0 ? THEW_TAKEN : THEW_OPEN;
}

static const char *reason_for(const thew_proposals *p, const thew_advised *advised, const thew_store_advice *row)
{
    char *found = thew_words_advised(p->advice, advised);
    if (!row || thew_load_is_same(
                    advised->exercise, names_of(row),
                    (thew_load_names){ advised->variant->id, implement_of(advised->take, p->words), setting_of(advised->take) }))
        return hold(p, found);
    char *text = row->record ? g_strdup_printf("This was advised for the day. For another set, %s: %s", advised->take->label, found)
                             : g_strdup_printf("This was agreed on for the day. By now %s would be advised: %s",
                                               advised->take->label, found);
    g_free(found);
    return hold(p, text);
}

static void show_nothing(thew_proposed *out, const thew_studio *studio, const thew_proposals *p)
{
    const thew_advised *advised = out->advised;
    out->rung = g_array_new(FALSE, TRUE, sizeof(thew_proposed_rung));
    out->caution = cautions_of(studio, p, NULL);
    out->variant = advised->variant->id;
    out->variant_name = advised->variant->name;
    out->label = out->setting_words = out->reason_code = "";
    out->reason = hold(p, g_strdup_printf("Nothing in the kit that is not off limits fits %s.", advised->exercise->name));
}

static void show_told(thew_proposed *out, const thew_proposals *p, const thew_store_advice *row)
{
    out->variant = row->variant;
    out->implement = row->implement;
    out->setting = row->setting;
    out->label = row->label;
    out->goal_s = row->goal_s;
    out->odds = (thew_odds){ row->p_floor, row->p_early, row->p_window, row->p_beyond, row->p10_s, row->p50_s, row->p90_s };
    out->reason_code = row->reason;
    out->became = became_of(row);
    out->record = row->record;
    out->reason = reason_for(p, out->advised, row);
}

static const char *variant_name(const thew_studio *studio, const char *id)
{
    const thew_variant *variant = thew_catalogue_variant(studio->catalogue, id);
    return variant ? variant->name : id;
}

static void show_task(thew_proposed *out, const thew_proposals *p)
{
    const thew_task *task = thew_advised_task(p->advice, out->advised);
    out->floor_s = task->floor_s;
    out->window_from_s = task->window_from_s;
    out->window_to_s = task->window_to_s;
}

static void show_one(thew_proposed *out, const thew_studio *studio, const thew_proposals *p, const thew_rows *overrides)
{
    const thew_advised *advised = out->advised;
    show_task(out, p);
    if (!advised->take) {
        show_nothing(out, studio, p);
        return;
    }
    g_autofree char *id = identifier_of(p->knowledge, p->day, advised);
    thew_store_advice now = told_now(p, advised, g_string_chunk_insert_const(p->words, id), thew_studio_now(studio));
    const thew_store_advice *row = thew_advice_standing(p->kept, now.day, now.exercise, now.side);
    if (!stands(row, &now, advised->exercise)) row = NULL; // open for reading only: nothing could be kept
    out->advice = row ? row->advice : now.advice;
    show_told(out, p, row ? row : &now);
    thew_load_names names = { out->variant, out->implement, out->setting };
    const thew_store_override *instead = row && out->became == THEW_OVERRIDDEN ? thew_override_of(overrides, row->advice) : NULL;
    if (instead) {
        names = (thew_load_names){ instead->variant, instead->implement, instead->setting };
        out->override_label = g_string_chunk_insert_const(p->words, instead->label);
        out->override_reason = g_string_chunk_insert_const(p->words, instead->reason);
    }
    const thew_fitted *told = done_by(advised, (thew_load_names){ out->variant, out->implement, out->setting });
    const thew_fitted *chosen = done_by(advised, names);
    out->variant_name = variant_name(studio, out->variant);
    out->setting_words = told ? told->setting->words : "";
    out->if_completed = advised->if_completed ? advised->if_completed->label : NULL;
    out->if_early = advised->if_early ? advised->if_early->label : NULL;
    out->rung = rungs_of(advised, chosen);
    out->caution = cautions_of(studio, p, chosen ? chosen : advised->take);
}

static thew_store_status show_all(const thew_studio *studio, thew_proposals *p)
{
    g_autoptr(thew_rows) overrides = NULL;
    thew_store_status status = thew_store_override_of(studio->db, studio->id, p->knowledge->person->person, &overrides);
    for (guint t = 0; status >= 0 && t < p->advice->advised->len; t++) {
        thew_proposed out = { .advised = &g_array_index(p->advice->advised, thew_advised, t) };
        show_one(&out, studio, p, overrides);
        g_array_append_val(p->proposed, out);
    }
    return status;
}

// --- All of it -------------------------------------------------------------------------------------------------------------------

static void note(thew_proposals *p, const char *text)
{
    g_ptr_array_add(p->note, (gpointer)text);
}

// What screening and the day's own check-in have to say first.
static void note_first(const thew_screening *screening, thew_proposals *p)
{
    if (screening->verdict == THEW_SCREEN_NOT_ASKED)
        note(p, "The screening is not complete: ask its questions before the first session.");
    for (guint i = 0; i < p->knowledge->checkin->row->len; i++) {
        const thew_store_checkin *row = thew_row(p->knowledge->checkin, thew_store_checkin, i);
        if (thew_studio_number(row->entry.day) != p->day || !row->verdict) continue;
        if (strcmp(row->verdict, "ask_first") == 0) note(p, "The day's check-in says: ask a clinician first.");
        if (strcmp(row->verdict, "not_today") == 0) note(p, "The day's check-in says: not today.");
        if (strcmp(row->verdict, "lighter") == 0) note(p, "The day's check-in says: lighter, or half the sets.");
    }
}

static void note_rest(thew_proposals *p)
{
    for (guint i = 0; i < p->knowledge->note->len; i++)
        note(p, p->knowledge->note->pdata[i]);
    for (guint i = 0; i < p->advice->note->len; i++)
        note(p, p->advice->note->pdata[i]);
}

static thew_verdict check_day(const thew_studio *studio, thew_day day, thew_refusal *refusal)
{
    thew_day today = thew_studio_today(studio);
    char text[THEW_DATE_TEXT];
    thew_date_text(thew_studio_date(today), text);
    if (day < today) thew_refusal_add(refusal, "/day", "advice is made for today (%s) or later", text);
    if (day > today + AHEAD_DAYS) thew_refusal_add(refusal, "/day", "advice is made for a year ahead at most; today is %s", text);
    return thew_refusal_is_empty(refusal) ? THEW_DONE : THEW_INVALID;
}

static const char *first_to_ask(const thew_screening *screening)
{
    for (guint f = 0; f < screening->finding->len; f++) {
        const thew_finding *finding = &g_array_index(screening->finding, thew_finding, f);
        if (finding->action == THEW_SCREEN_ASK) return finding->words;
    }
    return "";
}

static thew_verdict check_screening(thew_studio *studio, thew_proposals *p, thew_refusal *refusal)
{
    g_autoptr(thew_screening) screening = NULL;
    thew_verdict verdict = thew_screen_read(studio, p->knowledge->person->person, &screening, refusal);
    if (verdict != THEW_DONE) return verdict;
    if (screening->verdict == THEW_SCREEN_ASK_FIRST)
        return thew_refuse(refusal, THEW_CONFLICT, "%s's screening says to ask a clinician first: %s", p->knowledge->person->called,
                           first_to_ask(screening));
    if (screening->reserve_forced) p->knowledge->participant.endpoint = THEW_TO_RESERVE;
    note_first(screening, p);
    return THEW_DONE;
}

static thew_proposals *nothing_yet(thew_day day)
{
    thew_proposals *p = g_new0(thew_proposals, 1);
    p->day = day;
    p->proposed = g_array_new(FALSE, TRUE, sizeof(thew_proposed));
    p->note = g_ptr_array_new();
    p->words = g_string_chunk_new(1024);
    p->lists = g_ptr_array_new_with_free_func((GDestroyNotify)g_ptr_array_unref);
    return p;
}

static thew_verdict propose(thew_studio *studio, const char *person, thew_proposals *p, bool *again, thew_refusal *refusal)
{
    thew_verdict verdict = thew_know(studio, person, &p->knowledge, refusal);
    if (verdict == THEW_DONE) verdict = check_screening(studio, p, refusal);
    if (verdict != THEW_DONE) return verdict;
    p->advice = thew_believe_advise(studio, p->knowledge, p->day);
    note_rest(p);
    thew_store_status status = keep_what_was_found(studio, p, again);
    if (status >= 0) status = show_all(studio, p);
    return thew_refuse_store(refusal, studio->db, status);
}

thew_verdict thew_propose(thew_studio *studio, const char *person, thew_day day, thew_proposals **proposals, thew_refusal *refusal)
{
    *proposals = NULL;
    if (check_day(studio, day, refusal) != THEW_DONE) return THEW_INVALID;
    for (int try = 0; try < TRIES; try++) {
        g_autoptr(thew_proposals) p = nothing_yet(day);
        bool again = false;
        thew_verdict verdict = propose(studio, person, p, &again, refusal);
        if (verdict != THEW_DONE) return verdict;
        if (again) continue;
        *proposals = g_steal_pointer(&p);
        return THEW_DONE;
    }
    return thew_refuse(refusal, THEW_UNABLE, "somebody else is writing about \"%s\" all the time: try again", person);
}

void thew_proposals_free(thew_proposals *p)
{
    if (!p) return;
    for (guint i = 0; i < p->proposed->len; i++)
        g_array_unref(g_array_index(p->proposed, thew_proposed, i).rung);
    g_array_unref(p->proposed);
    g_ptr_array_unref(p->note);
    g_ptr_array_unref(p->lists);
    thew_person_advice_free(p->advice);
    thew_knowledge_free(p->knowledge);
    thew_rows_free(p->kept);
    g_string_chunk_free(p->words);
    g_free(p);
}

const thew_proposed *thew_proposals_find(const thew_proposals *p, const char *advice)
{
    for (guint i = 0; i < p->proposed->len; i++) {
        const thew_proposed *proposed = &g_array_index(p->proposed, thew_proposed, i);
        if (proposed->advice && strcmp(proposed->advice, advice) == 0) return proposed;
    }
    return NULL;
}

GArray *thew_proposed_ladder(const thew_proposed *proposed, guint at_most)
{
    GArray *ladder = g_array_new(FALSE, FALSE, sizeof(thew_odds_rung));
    guint count = proposed->rung->len, advised = 0;
    for (guint r = 0; r < count; r++)
        if (g_array_index(proposed->rung, thew_proposed_rung, r).is_advised) advised = r;
    guint shown = MIN(at_most, count), from = advised > shown / 2 ? advised - shown / 2 : 0;
    from = MIN(from, count - shown);
    for (guint r = from; r < from + shown; r++) {
        const thew_proposed_rung *rung = &g_array_index(proposed->rung, thew_proposed_rung, r);
        thew_odds_rung one = {
            .label = rung->fitted->label, .odds = rung->odds, .is_advised = rung->is_advised, .is_last = rung->is_last
        };
        g_array_append_val(ladder, one);
    }
    return ladder;
}
