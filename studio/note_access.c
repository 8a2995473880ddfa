// note_access.c: who did what to whose records; see the end of admit.h.
#include "studio/admit.h"
#include "studio/held.h"

thew_store_status thew_note_access_within(thew_studio *studio, const thew_actor *actor, const char *person, const char *action,
                                          const char *what)
{
    g_autofree char *entry = thew_studio_identifier();
    return thew_store_access_add(
        studio->db, studio->id,
        &(thew_store_access){ entry, thew_studio_now(studio), actor ? actor->account : NULL, person, action, what ? what : "" });
}

thew_verdict thew_note_access(thew_studio *studio, const thew_actor *actor, const char *person, const char *action,
                              const char *what, thew_refusal *refusal)
{
    thew_store_status status = thew_db_begin(studio->db);
    if (status >= 0) status = thew_db_end(studio->db, thew_note_access_within(studio, actor, person, action, what));
    return thew_refuse_store(refusal, studio->db, status);
}

void thew_access_log_free(thew_access_log *log)
{
    if (!log) return;
    g_array_unref(log->entry);
    g_ptr_array_unref(log->held);
    g_free(log);
}

static thew_store_status read_log(thew_studio *studio, const char *person, int count, thew_access_log *log)
{
    thew_rows *rows = NULL, *accounts = NULL;
    thew_store_status status = person ? thew_store_access_of(studio->db, studio->id, person, count, &rows)
                                      : thew_store_access_all(studio->db, studio->id, count, &rows);
    thew_hold(log->held, rows, (GDestroyNotify)thew_rows_free);
    if (status >= 0) status = thew_store_account_all(studio->db, studio->id, &accounts);
    thew_hold(log->held, accounts, (GDestroyNotify)thew_rows_free);
    if (status < 0) return status;
    g_autoptr(GHashTable) called = g_hash_table_new(g_str_hash, g_str_equal);
    for (guint i = 0; i < accounts->row->len; i++) {
        const thew_store_account *account = thew_row(accounts, thew_store_account, i);
        g_hash_table_insert(called, (char *)account->account, (char *)account->called);
    }
    for (guint i = 0; i < rows->row->len; i++) {
        thew_access_shown shown = { .access = *thew_row(rows, thew_store_access, i) };
        shown.account_called = shown.access.account ? g_hash_table_lookup(called, shown.access.account) : NULL;
        g_array_append_val(log->entry, shown);
    }
    return status;
}

thew_verdict thew_admit_access(thew_studio *studio, const char *person, int count, thew_access_log **log, thew_refusal *refusal)
{
    *log = NULL;
    g_autoptr(thew_access_log) read = g_new0(thew_access_log, 1);
    read->entry = g_array_new(FALSE, FALSE, sizeof(thew_access_shown));
    read->held = thew_held_new();
    thew_store_status status = thew_db_begin_reading(studio->db);
    if (status >= 0) status = thew_db_end(studio->db, read_log(studio, person, CLAMP(count, 1, 1000), read));
    thew_verdict verdict = thew_refuse_store(refusal, studio->db, status);
    if (verdict == THEW_DONE) *log = g_steal_pointer(&read);
    return verdict;
}
