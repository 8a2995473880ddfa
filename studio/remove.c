// remove.c: see remove.h.
#include "studio/remove.h"

#include <string.h>

#include "store/access.h"
#include "store/account.h"
#include "store/block.h"
#include "store/checkin.h"
#include "store/diary.h"
#include "store/kit.h"
#include "store/outcome.h"
#include "store/person.h"
#include "store/remove.h"
#include "studio/admit_parts.h"

#define LOG_LOOKED_AT 100000 // entries of one person's log

// --- what an export has to be later than -----------------------------------------------------------------------------------------

static void later(thew_utc *last, thew_utc at)
{
    if (at.us > last->us) *last = at;
}

static thew_store_status last_of_sets(thew_studio *studio, const char *person, thew_utc *last)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status = thew_store_diary_history(studio->db, studio->id, person, &rows);
    for (guint i = 0; status >= 0 && i < rows->row->len; i++)
        later(last, thew_row(rows, thew_store_set, i)->kept.kept_us);
    return status;
}

static thew_store_status last_of_checkins(thew_studio *studio, const char *person, thew_utc *last)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status = thew_store_checkin_history(studio->db, studio->id, person, &rows);
    for (guint i = 0; status >= 0 && i < rows->row->len; i++)
        later(last, thew_row(rows, thew_store_checkin, i)->kept.kept_us);
    return status;
}

static thew_store_status last_of_outcomes(thew_studio *studio, const char *person, thew_utc *last)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status = thew_store_outcome_history(studio->db, studio->id, person, &rows);
    for (guint i = 0; status >= 0 && i < rows->row->len; i++)
        later(last, thew_row(rows, thew_store_outcome, i)->kept.kept_us);
    return status;
}

static thew_store_status last_of_answers(thew_studio *studio, const char *person, thew_utc *last)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status = thew_store_answer_all(studio->db, studio->id, person, &rows);
    for (guint i = 0; status >= 0 && i < rows->row->len; i++)
        later(last, thew_row(rows, thew_store_answer, i)->answered_us);
    return status;
}

static thew_store_status last_of_blocks(thew_studio *studio, const char *person, thew_utc *last)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status = thew_store_block_latest(studio->db, studio->id, person, &rows);
    for (guint i = 0; status >= 0 && i < rows->row->len; i++)
        later(last, thew_row(rows, thew_store_block, i)->made_us);
    return status;
}

static thew_store_status last_of_kit(thew_studio *studio, const char *person, thew_utc *last)
{
    g_autoptr(thew_rows) items = NULL, readings = NULL;
    thew_store_status status = thew_store_item_of(studio->db, studio->id, person, &items);
    for (guint i = 0; status >= 0 && i < items->row->len; i++) {
        const thew_store_item *item = thew_row(items, thew_store_item, i);
        if (!item->person) continue; // everybody's stays
        later(last, item->made_us);
        g_clear_pointer(&readings, thew_rows_free);
        status = thew_store_reading_of(studio->db, studio->id, item->item, &readings);
        for (guint r = 0; status >= 0 && r < readings->row->len; r++)
            later(last, thew_row(readings, thew_store_reading, r)->made_us);
    }
    return status;
}

thew_store_status thew_remove_last_kept(thew_studio *studio, const char *person, thew_utc *last)
{
    static thew_store_status (*const look[])(thew_studio *, const char *, thew_utc *) = {
        last_of_sets, last_of_checkins, last_of_outcomes, last_of_answers, last_of_blocks, last_of_kit,
    };
    g_autoptr(thew_rows) rows = NULL;
    *last = (thew_utc){ 0 };
    thew_store_status status = thew_store_person_find(studio->db, studio->id, person, &rows);
    if (status >= 0) later(last, thew_row(rows, thew_store_person, 0)->changed_us);
    for (gsize i = 0; status >= 0 && i < G_N_ELEMENTS(look); i++)
        status = look[i](studio, person, last);
    return status;
}

static thew_store_status last_export(thew_studio *studio, const char *person, thew_utc *last)
{
    g_autoptr(thew_rows) rows = NULL;
    *last = (thew_utc){ 0 };
    thew_store_status status = thew_store_access_of(studio->db, studio->id, person, LOG_LOOKED_AT, &rows);
    for (guint i = 0; status >= 0 && i < rows->row->len; i++) {
        const thew_store_access *access = thew_row(rows, thew_store_access, i);
        if (strcmp(access->action, THEW_ACTION_EXPORT) == 0) later(last, access->at_us);
    }
    return status;
}

// --- removing --------------------------------------------------------------------------------------------------------------------

static thew_verdict check(thew_studio *studio, const char *person, const char *called, thew_refusal *refusal)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_utc exported, kept;
    thew_store_status status = thew_store_person_find(studio->db, studio->id, person, &rows);
    if (status >= 0 && strcmp(thew_row(rows, thew_store_person, 0)->called, called ? called : "") != 0) {
        thew_refusal_add(refusal, "/called", "type \"%s\" to remove them for good", thew_row(rows, thew_store_person, 0)->called);
        return THEW_INVALID;
    }
    if (status >= 0) status = last_export(studio, person, &exported);
    if (status >= 0) status = thew_remove_last_kept(studio, person, &kept);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    if (exported.us <= kept.us) // in doubt it was before
        return thew_refuse(refusal, THEW_CONFLICT,
                           "nothing was exported since the last that was kept of %s: export it first, since it cannot be "
                           "had back",
                           thew_row(rows, thew_store_person, 0)->called);
    return THEW_DONE;
}

// Helpers and clinicians who could see this person. Owned strings.
static thew_store_status who_sees(thew_studio *studio, const char *person, GPtrArray *account)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status = thew_store_sight_on(studio->db, studio->id, person, &rows);
    for (guint i = 0; status >= 0 && i < rows->row->len; i++)
        g_ptr_array_add(account, g_strdup(thew_row(rows, thew_store_sight, i)->account));
    return status;
}

static thew_store_status close_without_sight(thew_studio *studio, const thew_actor *actor, const GPtrArray *account)
{
    thew_store_status status = THEW_STORE_OK;
    for (guint i = 0; status >= 0 && i < account->len; i++) {
        g_autoptr(thew_rows) left = NULL;
        status = thew_store_sight_of(studio->db, studio->id, account->pdata[i], &left);
        if (status < 0 || left->row->len > 0) continue;
        status = thew_account_close_within(studio, actor, account->pdata[i]);
        if (status == THEW_STORE_NOT_FOUND) status = THEW_STORE_OK; // closed already
    }
    return status;
}

static thew_store_status remove_all(thew_studio *studio, const thew_actor *actor, const char *person)
{
    g_autoptr(GPtrArray) account = g_ptr_array_new_with_free_func(g_free);
    thew_store_status status = who_sees(studio, person, account);
    if (status >= 0) status = thew_store_remove_person(studio->db, studio->id, person);
    if (status >= 0) status = close_without_sight(studio, actor, account);
    return status < 0 ? status : thew_note_access_within(studio, actor, NULL, "remove", "a person and all that was kept of them");
}

thew_verdict thew_remove_person(thew_studio *studio, const thew_actor *actor, const char *person, const char *called, bool *traces,
                                thew_refusal *refusal)
{
    if (traces) *traces = false;
    thew_store_status status = thew_db_begin(studio->db);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    thew_verdict verdict = check(studio, person, called, refusal);
    if (verdict != THEW_DONE) {
        thew_db_rollback(studio->db);
        return verdict;
    }
    status = thew_db_end(studio->db, remove_all(studio, actor, person));
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    // They are gone whatever comes of this.
    thew_store_status swept = thew_store_remove_traces(studio->db);
    if (traces) *traces = swept != THEW_STORE_OK;
    return THEW_DONE;
}

thew_verdict thew_remove_traces(thew_studio *studio, thew_refusal *refusal)
{
    thew_store_status status = thew_store_remove_traces(studio->db);
    if (status == THEW_STORE_TRACES)
        return thew_refuse(refusal, THEW_UNABLE, "somebody is still reading an earlier state: try again in a moment");
    return thew_refuse_store(refusal, studio->db, status);
}
