// propose_answer.c: what becomes of an advice: the coach's answer, and the set that is done (see propose.h).
#include <string.h>

#include "store/diary.h"
#include "studio/check.h"
#include "studio/propose_parts.h"

// --- Which load ------------------------------------------------------------------------------------------------------------------

// The first setting of the first implement of its kind goes unsaid.
static const char *said_setting(const thew_variant *variant, const char *setting)
{
    for (size_t i = 0; setting && i < variant->implement_count; i++) {
        bool first_of_kind = true;
        for (size_t j = 0; j < i; j++)
            first_of_kind = first_of_kind && variant->implement[j].kind != variant->implement[i].kind;
        if (first_of_kind && strcmp(variant->implement[i].setting[0].id, setting) == 0) return NULL;
    }
    return setting;
}

static const thew_variant *variant_of(const thew_exercise *exercise, const char *id)
{
    for (size_t v = 0; id && v < exercise->variant_count; v++)
        if (strcmp(exercise->variant[v]->id, id) == 0) return exercise->variant[v];
    return exercise->usual;
}

// "soft + middle" as "middle+soft".
static char *plain_implement(const char *implement)
{
    g_auto(GStrv) label = g_strsplit(implement ? implement : "", "+", 3);
    if (g_strv_length(label) != 2) return g_strdup(implement ? implement : "");
    const char *one = g_strstrip(label[0]), *other = g_strstrip(label[1]);
    return strcmp(one, other) < 0 ? g_strconcat(one, "+", other, NULL) : g_strconcat(other, "+", one, NULL);
}

bool thew_load_is_same(const thew_exercise *exercise, thew_load_names a, thew_load_names b)
{
    const thew_variant *variant = variant_of(exercise, a.variant);
    if (variant != variant_of(exercise, b.variant)) return false;
    g_autofree char *one = plain_implement(a.implement), *other = plain_implement(b.implement);
    return strcmp(one, other) == 0 && g_strcmp0(said_setting(variant, a.setting), said_setting(variant, b.setting)) == 0;
}

// --- Which advice ----------------------------------------------------------------------------------------------------------------

bool thew_advice_is(const thew_store_advice *advice, const char *became)
{
    return strcmp(advice->became, became) == 0;
}

bool thew_advice_is_answered(const thew_store_advice *advice)
{
    return advice->accepted_us.us != 0 || thew_advice_is(advice, "overridden");
}

bool thew_advice_is_for(const thew_store_advice *advice, thew_date day, const char *exercise, const char *side)
{
    return thew_date_compare(advice->day, day) == 0 && strcmp(advice->exercise, exercise) == 0 && strcmp(advice->side, side) == 0;
}

static int rank_of(const thew_store_advice *advice)
{
    if (advice->record) return 3;
    if (thew_advice_is(advice, "lapsed")) return 0;
    return thew_advice_is_answered(advice) ? 2 : 1;
}

const thew_store_advice *thew_advice_standing(const thew_rows *advice, thew_date day, const char *exercise, const char *side)
{
    const thew_store_advice *stands = NULL;
    for (guint i = 0; i < advice->row->len; i++) { // in order of the time it was made
        const thew_store_advice *row = thew_row(advice, thew_store_advice, i);
        if (thew_advice_is_for(row, day, exercise, side) && (!stands || rank_of(row) >= rank_of(stands))) stands = row;
    }
    return stands;
}

const thew_store_override *thew_override_of(const thew_rows *overrides, const char *advice)
{
    const thew_store_override *last = NULL;
    for (guint i = 0; i < overrides->row->len; i++) {
        const thew_store_override *row = thew_row(overrides, thew_store_override, i);
        if (strcmp(row->advice, advice) == 0) last = row;
    }
    return last;
}

const char *thew_became_word(thew_became became)
{
    static const char *const word[] = {
        [THEW_OPEN] = "open", [THEW_TAKEN] = "taken", [THEW_OVERRIDDEN] = "overridden", [THEW_LAPSED] = "lapsed"
    };
    return word[became];
}

// --- The coach's answer ----------------------------------------------------------------------------------------------------------

static thew_verdict absent(thew_refusal *refusal, const char *advice)
{
    return thew_refuse(refusal, THEW_ABSENT, "there is no advice \"%s\" in this studio", advice);
}

thew_verdict thew_propose_whose(const thew_studio *studio, const char *advice, char **person, thew_day *day, thew_refusal *refusal)
{
    g_autoptr(thew_rows) rows = NULL;
    *person = NULL;
    thew_store_status status = thew_store_advice_find(studio->db, studio->id, advice, &rows);
    if (status == THEW_STORE_NOT_FOUND) return absent(refusal, advice);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    *person = g_strdup(thew_row(rows, thew_store_advice, 0)->person);
    *day = thew_studio_number(thew_row(rows, thew_store_advice, 0)->day);
    return THEW_DONE;
}

// Whether it can still be answered.
static thew_verdict answerable(const thew_store_advice *advice, thew_refusal *refusal)
{
    if (advice->record)
        return thew_refuse(refusal, THEW_CONFLICT, "a set was done on this advice already: correct the set instead");
    if (thew_advice_is(advice, "lapsed"))
        return thew_refuse(refusal, THEW_CONFLICT, "this advice has lapsed: something newer is advised");
    return THEW_DONE;
}

// Reads the advice within a transaction of its own, hands it to `answer`, and ends.
typedef thew_verdict (*answering)(thew_studio *studio, const thew_store_advice *advice, const void *user, thew_refusal *refusal);

static thew_verdict answer(thew_studio *studio, const char *advice, answering how, const void *user, thew_refusal *refusal)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status = thew_db_begin(studio->db);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    status = thew_store_advice_find(studio->db, studio->id, advice, &rows);
    if (status < 0) {
        thew_db_rollback(studio->db);
        return status == THEW_STORE_NOT_FOUND ? absent(refusal, advice) : thew_refuse_store(refusal, studio->db, status);
    }
    thew_verdict verdict = how(studio, thew_row(rows, thew_store_advice, 0), user, refusal);
    if (verdict != THEW_DONE) {
        thew_db_rollback(studio->db);
        return verdict;
    }
    return thew_refuse_store(refusal, studio->db, thew_db_commit(studio->db));
}

static thew_store_status open_again(thew_studio *studio, const char *advice)
{
    return thew_store_advice_settle(studio->db, studio->id, advice, "open", (thew_utc){ 0 }, NULL);
}

static thew_verdict accept(thew_studio *studio, const thew_store_advice *advice, const void *user, thew_refusal *refusal)
{
    (void)user;
    thew_verdict verdict = answerable(advice, refusal);
    if (verdict != THEW_DONE) return verdict;
    if (advice->accepted_us.us != 0) return THEW_DONE_BEFORE;
    thew_store_status status = open_again(studio, advice->advice); // an override before it no longer holds
    if (status >= 0) status = thew_store_advice_accept(studio->db, studio->id, advice->advice, thew_studio_now(studio));
    return thew_refuse_store(refusal, studio->db, status);
}

thew_verdict thew_propose_accept(thew_studio *studio, const char *advice, thew_refusal *refusal)
{
    return answer(studio, advice, accept, NULL, refusal);
}

static thew_verdict undo(thew_studio *studio, const thew_store_advice *advice, const void *user, thew_refusal *refusal)
{
    (void)user;
    thew_verdict verdict = answerable(advice, refusal);
    if (verdict != THEW_DONE) return verdict;
    if (!thew_advice_is_answered(advice)) return THEW_DONE_BEFORE;
    thew_store_status status = open_again(studio, advice->advice);
    if (status >= 0) status = thew_store_advice_accept(studio->db, studio->id, advice->advice, (thew_utc){ 0 });
    return thew_refuse_store(refusal, studio->db, status);
}

thew_verdict thew_propose_undo(thew_studio *studio, const char *advice, thew_refusal *refusal)
{
    return answer(studio, advice, undo, NULL, refusal);
}

// --- Another load ----------------------------------------------------------------------------------------------------------------

typedef struct {
    const thew_actor *actor;
    const thew_other_load *choice;
} other;

static void check_variant(const thew_exercise *exercise, const thew_knowledge *k, const thew_variant *variant, const char *named,
                          thew_day day, thew_refusal *refusal)
{
    if (named && strcmp(variant->id, named) != 0)
        thew_refusal_add(refusal, "/variant", "%s has no variant \"%s\"", exercise->name, named);
    else if (thew_participant_is_off_limits(&k->participant, variant, day))
        thew_refusal_add(refusal, "/variant", "%s is off limits for %s; lift the limit first, if it no longer holds", variant->name,
                         k->person->called);
}

// A coach may choose a load that would not be advised, but none that is unsafe or not there.
static void check_fitted(const thew_knowledge *k, const thew_fitted *fitted, const thew_other_load *choice, thew_refusal *refusal)
{
    if (!fitted) {
        g_autofree char *label = thew_know_label(choice->implement, choice->setting);
        thew_refusal_add(refusal, "/implement", "%s's kit makes no such load (%s)", k->person->called, label);
    } else if (fitted->fitness == THEW_STRETCHED || fitted->fitness == THEW_TOO_GREAT || fitted->fitness == THEW_RETIRED) {
        thew_refusal_add(refusal, "/implement", "%s cannot be taken: %s", fitted->label, thew_fitness_words(fitted->fitness));
    }
}

static thew_store_status keep_override(thew_studio *studio, const thew_store_advice *advice, const other *o,
                                       const thew_fitted *fitted)
{
    const thew_other_load *choice = o->choice;
    thew_utc now = thew_studio_now(studio);
    thew_store_override row = { .override = choice->override,
                                .advice = advice->advice,
                                .person = advice->person,
                                .variant = fitted->variant->id,
                                .implement = choice->implement,
                                .setting = choice->setting,
                                .label = fitted->label,
                                .demand = { true, fitted->rung.peak_share },
                                .reason = choice->reason,
                                .made_us = now,
                                .written_by = o->actor->account };
    thew_store_status status = thew_store_override_add(studio->db, studio->id, &row);
    if (status >= 0) status = thew_store_advice_accept(studio->db, studio->id, advice->advice, (thew_utc){ 0 });
    return status < 0 ? status : thew_store_advice_settle(studio->db, studio->id, advice->advice, "overridden", now, NULL);
}

// One of that identifier, written before. The time is not compared: sending again is harmless.
static thew_verdict written_before(thew_studio *studio, const thew_store_advice *advice, const thew_other_load *choice, bool *is,
                                   thew_refusal *refusal)
{
    g_autoptr(thew_rows) rows = NULL;
    const thew_exercise *exercise = thew_catalogue_exercise(studio->catalogue, advice->exercise);
    thew_store_status status = thew_store_override_of(studio->db, studio->id, advice->person, &rows);
    *is = false;
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    for (guint i = 0; i < rows->row->len; i++) {
        const thew_store_override *row = thew_row(rows, thew_store_override, i);
        if (strcmp(row->override, choice->override) != 0) continue;
        thew_load_names kept = { row->variant, row->implement, row->setting },
                        given = { choice->variant, choice->implement, choice->setting };
        *is = true;
        if (strcmp(row->advice, advice->advice) == 0 && strcmp(row->reason, choice->reason) == 0 && exercise &&
            thew_load_is_same(exercise, kept, given))
            return THEW_DONE_BEFORE;
        return thew_refuse(refusal, THEW_CONFLICT, "an override of the identifier \"%s\" says something else already",
                           choice->override);
    }
    return THEW_DONE;
}

static thew_verdict override(thew_studio *studio, const thew_store_advice *advice, const void *user, thew_refusal *refusal)
{
    const other *o = user;
    bool before;
    thew_verdict verdict = written_before(studio, advice, o->choice, &before, refusal);
    if (verdict == THEW_DONE) verdict = answerable(advice, refusal);
    if (verdict != THEW_DONE) return verdict;
    g_autoptr(thew_knowledge) k = NULL;
    verdict = thew_know(studio, advice->person, &k, refusal);
    if (verdict != THEW_DONE) return verdict;
    const thew_exercise *exercise = thew_catalogue_exercise(studio->catalogue, advice->exercise);
    if (!exercise) return thew_refuse(refusal, THEW_CONFLICT, "the catalogue no longer has the exercise \"%s\"", advice->exercise);
    thew_day day = thew_studio_number(advice->day);
    const thew_variant *variant = variant_of(exercise, o->choice->variant);
    check_variant(exercise, k, variant, o->choice->variant, day, refusal);
    if (!thew_refusal_is_empty(refusal)) return THEW_INVALID;
    g_autoptr(thew_ladder) ladder = thew_fit(exercise, &k->participant, day, NULL);
    const thew_fitted *fitted = thew_ladder_done(ladder, variant->id, o->choice->implement, o->choice->setting);
    check_fitted(k, fitted, o->choice, refusal);
    if (!thew_refusal_is_empty(refusal)) return THEW_INVALID;
    return thew_refuse_store(refusal, studio->db, keep_override(studio, advice, o, fitted));
}

thew_verdict thew_propose_override(thew_studio *studio, const thew_actor *actor, const char *advice, const thew_other_load *choice,
                                   thew_refusal *refusal)
{
    thew_check_identifier(refusal, "/override", choice->override);
    thew_check_text(refusal, "/reason", choice->reason, 1, THEW_NOTE_MAX);
    if (!thew_refusal_is_empty(refusal)) return THEW_INVALID;
    return answer(studio, advice, override, &(other){ actor, choice }, refusal);
}

// --- The set that is done --------------------------------------------------------------------------------------------------------

// What an advice becomes, and by which set.
typedef struct {
    const char *became, *record;
} fate;

static const thew_store_set *set_done(const thew_rows *sets, const char *exercise, const char *side)
{
    for (guint i = 0; i < sets->row->len; i++) {
        const thew_store_set *set = thew_row(sets, thew_store_set, i);
        if (strcmp(set->exercise, exercise) == 0 && strcmp(set->side, side) == 0) return set;
    }
    return NULL;
}

static fate fate_of(const thew_studio *studio, const thew_store_advice *advice, const thew_store_override *instead,
                    const thew_store_set *set, bool is_past)
{
    if (!set) {
        if (!advice->record) return (fate){ advice->became, NULL }; // nothing happened to it
        return (fate){ instead ? "overridden" : is_past && advice->accepted_us.us == 0 ? "lapsed" : "open", NULL };
    }
    const thew_exercise *exercise = thew_catalogue_exercise(studio->catalogue, advice->exercise);
    thew_load_names told = { advice->variant, advice->implement, advice->setting },
                    done = { set->variant, set->implement, set->setting };
    bool chose_otherwise = instead && (thew_advice_is(advice, "overridden"));
    bool same = exercise && thew_load_is_same(exercise, told, done);
    return (fate){ same && !chose_otherwise ? "taken" : "overridden", set->entry.record };
}

static thew_store_status settle_one(thew_studio *studio, const thew_store_advice *advice, fate to)
{
    if (thew_advice_is(advice, to.became) && g_strcmp0(advice->record, to.record) == 0) return THEW_STORE_OK;
    thew_utc at = strcmp(to.became, "open") == 0 ? (thew_utc){ 0 } : thew_studio_now(studio);
    return thew_store_advice_settle(studio->db, studio->id, advice->advice, to.became, at, to.record);
}

thew_store_status thew_propose_settle(thew_studio *studio, const char *person, thew_day day)
{
    g_autoptr(thew_rows) advice = NULL, sets = NULL, overrides = NULL;
    thew_date date = thew_studio_date(day);
    bool is_past = day < thew_studio_today(studio);
    thew_store_status status = thew_store_advice_on(studio->db, studio->id, person, date, &advice);
    if (status < 0 || advice->row->len == 0) return status;
    status = thew_store_diary_current(studio->db, studio->id, person, date, date, &sets);
    if (status >= 0) status = thew_store_override_of(studio->db, studio->id, person, &overrides);
    for (guint i = 0; status >= 0 && i < advice->row->len; i++) {
        const thew_store_advice *row = thew_row(advice, thew_store_advice, i);
        if (thew_date_compare(row->day, date) != 0 || row != thew_advice_standing(advice, date, row->exercise, row->side)) continue;
        const thew_store_set *set = set_done(sets, row->exercise, row->side);
        status = settle_one(studio, row, fate_of(studio, row, thew_override_of(overrides, row->advice), set, is_past));
    }
    return status;
}
