// believe.c: see believe.h.
#include "studio/believe.h"

#include <string.h>

#include "engine/recovery.h"
#include "store/belief.h"
#include "studio/screen.h"

// --- The belief that is kept -----------------------------------------------------------------------------------------------------

// Whatever cannot be used is no belief: the diary has it all.
static thew_store_status find_belief(const thew_studio *studio, const char *person, thew_belief *belief, gint64 *revision)
{
    g_autoptr(thew_rows) rows = NULL;
    *belief = (thew_belief){ 0 };
    *revision = -1;
    thew_store_status status = thew_store_belief_find(studio->db, studio->id, person, &rows);
    if (status == THEW_STORE_NOT_FOUND) return THEW_STORE_OK;
    if (status < 0) return status;
    const thew_store_belief *row = thew_row(rows, thew_store_belief, 0);
    if (strcmp(row->engine, THEW_ENGINE_VERSION) != 0) return THEW_STORE_OK;
    thew_belief_unpack(row->posterior.bytes, row->posterior.size, belief);
    *revision = row->revision;
    return THEW_STORE_OK;
}

// One that stands for no day yet is a single byte.
static thew_store_status put_belief(const thew_studio *studio, const thew_knowledge *k, const thew_belief *belief)
{
    g_autoptr(GBytes) bytes = belief->is_some ? thew_belief_pack(belief) : g_bytes_new_static("", 1);
    gsize size;
    const void *data = g_bytes_get_data(bytes, &size);
    return thew_store_belief_put(studio->db, studio->id,
                                 &(thew_store_belief){ .person = k->person->person,
                                                       .engine = THEW_ENGINE_VERSION,
                                                       .revision = k->person->revision,
                                                       .made_us = thew_studio_now(studio),
                                                       .posterior = { data, size } });
}

thew_person_advice *thew_believe_advise(const thew_studio *studio, const thew_knowledge *k, thew_day on)
{
    g_autofree thew_belief *belief = g_new(thew_belief, 1);
    gint64 revision;
    thew_store_status status = find_belief(studio, k->person->person, belief, &revision);
    return thew_advise_from(studio->catalogue, &k->participant, on, status < 0 ? NULL : belief);
}

// --- Where somebody stands -------------------------------------------------------------------------------------------------------

#define DAYS_KEPT 62 // bits of thew_store_standing.days that are used

static void stand_on_days(const thew_participant *p, thew_store_standing *s)
{
    const GArray *entry = p->entry;
    s->sets = (int)entry->len;
    if (entry->len == 0) return;
    thew_day last = g_array_index(entry, thew_entry, entry->len - 1).day;
    s->first_day = thew_studio_date(g_array_index(entry, thew_entry, 0).day);
    s->last_day = thew_studio_date(last);
    s->earliest_day = thew_studio_date(last + thew_recovery_days(thew_recovery_default()));
    for (guint e = entry->len; e-- > 0;) {
        gint64 before = (gint64)last - g_array_index(entry, thew_entry, e).day;
        if (before >= DAYS_KEPT) break;
        s->days |= (gint64)1 << before;
        s->last_sets += before == 0;
    }
}

static bool same_side(thew_side a, thew_side b)
{
    return a == b || a == THEW_BOTH || b == THEW_BOTH;
}

// The last day on which a muscle was trained sooner than it had recovered, and the last symptom.
static void stand_on_signs(const thew_catalogue *catalogue, const thew_participant *p, thew_store_standing *s)
{
    thew_day trained[THEW_ACTION_COUNT][THEW_RIGHT + 1];
    for (int a = 0; a < THEW_ACTION_COUNT; a++)
        for (int side = 0; side <= THEW_RIGHT; side++)
            trained[a][side] = THEW_NO_DAY;
    int rest = thew_recovery_days(thew_recovery_default());
    for (guint e = 0; e < p->entry->len; e++) {
        const thew_entry *entry = &g_array_index(p->entry, thew_entry, e);
        if (entry->ended == THEW_SYMPTOM) {
            s->symptom_day = thew_studio_date(entry->day);
            s->symptom_exercise = entry->exercise;
        }
        const thew_exercise *exercise = thew_catalogue_exercise(catalogue, entry->exercise);
        if (!exercise) continue;
        for (thew_side side = THEW_BOTH; side <= THEW_RIGHT; side++) {
            thew_day before = trained[exercise->prime_action][side];
            if (!same_side(side, entry->side) || before == THEW_NO_DAY || before == entry->day || entry->day - before >= rest)
                continue;
            s->unrested_day = thew_studio_date(entry->day);
            s->unrested_exercise = entry->exercise;
        }
        trained[exercise->prime_action][entry->side] = entry->day;
    }
}

static bool is_off_limits(const thew_participant *p, const thew_exercise *exercise, thew_day day)
{
    for (size_t v = 0; v < exercise->variant_count; v++)
        if (!thew_participant_is_off_limits(p, exercise->variant[v], day)) return false;
    return true;
}

static void stand_on_advice(const thew_participant *p, const thew_person_advice *advice, thew_store_standing *s)
{
    s->declined = advice->declined;
    for (guint t = 0; t < advice->advised->len; t++) {
        const thew_advised *advised = &g_array_index(advice->advised, thew_advised, t);
        thew_reason_code code = advised->advice.reason.code;
        if (advised->count == 0 && !s->nothing_fits && !is_off_limits(p, advised->exercise, advice->on))
            s->nothing_fits = advised->exercise->id;
        bool used_up = code == THEW_REASON_TOO_LIGHT || code == THEW_REASON_TOO_HEAVY;
        if (advised->count == 0 || advised->record_count == 0 || !used_up || s->used_up_exercise) continue;
        s->used_up_exercise = advised->exercise->id;
        s->used_up_light = code == THEW_REASON_TOO_LIGHT;
    }
}

// Asked to see a clinician first, and no check-in since said otherwise.
static void stand_on_checkins(const thew_knowledge *k, thew_store_standing *s)
{
    for (guint i = 0; i < k->checkin->row->len; i++) {
        const thew_store_checkin *row = thew_row(k->checkin, thew_store_checkin, i);
        if (row->verdict) s->asked_day = strcmp(row->verdict, "ask_first") == 0 ? row->entry.day : (thew_date){ 0 };
    }
}

static int items_in_use(const thew_knowledge *k)
{
    int count = 0;
    for (guint p = 0; p < k->participant.piece->len; p++)
        count += !g_array_index(k->participant.piece, thew_piece, p).retired;
    return count;
}

static thew_store_status put_standing(thew_studio *studio, const thew_knowledge *k, const thew_person_advice *advice)
{
    g_autoptr(thew_screening) screening = NULL;
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    thew_screen_read(studio, k->person->person, &screening, refusal);
    thew_store_standing s = { .person = k->person->person,
                              .engine = THEW_ENGINE_VERSION,
                              .revision = k->person->revision,
                              .screening = screening ? thew_screen_verdict_word(screening->verdict) : NULL,
                              .items = items_in_use(k) };
    stand_on_days(&k->participant, &s);
    stand_on_signs(studio->catalogue, &k->participant, &s);
    stand_on_checkins(k, &s);
    stand_on_advice(&k->participant, advice, &s);
    return thew_store_standing_put(studio->db, studio->id, &s);
}

// --- Keeping up ------------------------------------------------------------------------------------------------------------------

// The day that everything is judged on follows from what is on record, not from the clock, so that making it again makes the same:
// the first good day after the last set.
static thew_day day_to_stand_on(const thew_studio *studio, const thew_participant *p)
{
    if (p->entry->len == 0) return thew_studio_today(studio);
    return g_array_index(p->entry, thew_entry, p->entry->len - 1).day + thew_recovery_days(thew_recovery_default());
}

static thew_store_status is_up_to_date(const thew_studio *studio, const thew_knowledge *k, gint64 belief_revision, bool *is)
{
    g_autoptr(thew_rows) rows = NULL;
    *is = false;
    if (belief_revision != k->person->revision) return THEW_STORE_OK;
    thew_store_status status = thew_store_standing_find(studio->db, studio->id, k->person->person, &rows);
    if (status == THEW_STORE_NOT_FOUND) return THEW_STORE_OK;
    if (status < 0) return status;
    const thew_store_standing *row = thew_row(rows, thew_store_standing, 0);
    *is = row->revision == k->person->revision && strcmp(row->engine, THEW_ENGINE_VERSION) == 0;
    return status;
}

static thew_store_status bring_up(thew_studio *studio, const thew_knowledge *k)
{
    g_autofree thew_belief *belief = g_new(thew_belief, 1);
    gint64 revision;
    bool is = false;
    thew_store_status status = find_belief(studio, k->person->person, belief, &revision);
    if (status >= 0) status = is_up_to_date(studio, k, revision, &is);
    if (status < 0 || is) return is ? THEW_STORE_REPEATED : status;
    g_autoptr(thew_person_advice) advice =
        thew_advise_from(studio->catalogue, &k->participant, day_to_stand_on(studio, &k->participant), belief);
    status = put_belief(studio, k, belief);
    return status < 0 ? status : put_standing(studio, k, advice);
}

thew_verdict thew_believe(thew_studio *studio, const char *person, thew_refusal *refusal)
{
    bool own = !thew_db_is_writing(studio->db);
    thew_store_status status = own ? thew_db_begin(studio->db) : THEW_STORE_OK;
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    g_autoptr(thew_knowledge) k = NULL;
    thew_verdict verdict = thew_know(studio, person, &k, refusal);
    if (verdict != THEW_DONE) {
        if (own) thew_db_rollback(studio->db);
        return verdict;
    }
    status = bring_up(studio, k);
    if (own) status = thew_db_end(studio->db, status);
    return thew_refuse_store(refusal, studio->db, status);
}

// Those whose belief or standing is behind, by identifier.
static thew_store_status list_behind(const thew_studio *studio, GPtrArray *person)
{
    g_autoptr(thew_rows) stale = NULL, overview = NULL;
    g_autoptr(GHashTable) seen = g_hash_table_new(g_str_hash, g_str_equal);
    thew_store_status status = thew_store_belief_stale(studio->db, studio->id, THEW_ENGINE_VERSION, &stale);
    if (status >= 0) status = thew_store_overview_all(studio->db, studio->id, THEW_ENGINE_VERSION, &overview);
    for (guint i = 0; status >= 0 && i < stale->row->len; i++) {
        const char *id = thew_row(stale, thew_store_stale, i)->person;
        g_ptr_array_add(person, g_strdup(id));
        g_hash_table_add(seen, (gpointer)id);
    }
    for (guint i = 0; status >= 0 && i < overview->row->len; i++) {
        const thew_store_overview *row = thew_row(overview, thew_store_overview, i);
        if (!row->current && !g_hash_table_contains(seen, row->standing.person))
            g_ptr_array_add(person, g_strdup(row->standing.person));
    }
    return status;
}

// Until both are over: the count and the time (monotonic, microseconds).
static thew_verdict believe_some(thew_studio *studio, guint at_most, gint64 until_us, guint *left, guint *count,
                                 thew_believe_told told, void *user, thew_refusal *refusal)
{
    g_autoptr(GPtrArray) person = g_ptr_array_new_with_free_func(g_free);
    thew_store_status status = list_behind(studio, person);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    guint wanted = MIN(at_most, person->len), done = 0;
    for (; done < wanted || (done < person->len && g_get_monotonic_time() < until_us); done++) {
        thew_verdict verdict = thew_believe(studio, person->pdata[done], refusal);
        if (verdict != THEW_DONE && verdict != THEW_DONE_BEFORE && verdict != THEW_ABSENT) return verdict;
        if (told) told(user, done + 1, wanted);
    }
    if (left) *left = person->len - done;
    if (count) *count = done;
    return THEW_DONE;
}

thew_verdict thew_believe_stale(thew_studio *studio, guint at_most, guint *left, thew_refusal *refusal)
{
    return believe_some(studio, at_most, 0, left, NULL, NULL, NULL, refusal);
}

thew_verdict thew_believe_a_moment(thew_studio *studio, int milliseconds, thew_refusal *refusal)
{
    return believe_some(studio, 2, g_get_monotonic_time() + milliseconds * 1000, NULL, NULL, NULL, NULL, refusal);
}

thew_verdict thew_rebuild(thew_studio *studio, thew_believe_told told, void *user, guint *count, thew_refusal *refusal)
{
    thew_store_status status = thew_db_begin(studio->db);
    if (status >= 0) {
        status = thew_store_belief_drop(studio->db, studio->id);
        if (status >= 0) status = thew_store_standing_drop(studio->db, studio->id);
        status = thew_db_end(studio->db, status);
    }
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    return believe_some(studio, G_MAXUINT, 0, NULL, count, told, user, refusal);
}
