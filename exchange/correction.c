// correction.c: see correction.h.
#include "exchange/correction.h"

#define NONE G_MAXUINT

static gpointer row_of(const thew_linked *table, guint i)
{
    return table->row->data + i * g_array_get_element_size((GArray *)table->row);
}

static thew_csv_row place_of(const thew_linked *table, gconstpointer row)
{
    return *(const thew_csv_row *)(gconstpointer)((const char *)row + table->at);
}

static thew_csv_link *link_of(const thew_linked *table, gconstpointer row)
{
    return (thew_csv_link *)(gpointer)((char *)row + table->link);
}

static void find(const thew_linked *table, gconstpointer row, int column, const char *wrong, const char *right)
{
    thew_csv_find(table->csv, place_of(table, row), column, THEW_TROUBLE_ERROR, wrong, right);
}

bool thew_csv_link_counts(const thew_csv_link *link)
{
    return !link->is_superseded && !link->is_withdrawn;
}

// A record sent twice changes nothing; a record that says two things must not be taken in.
bool thew_linked_is_new(const thew_linked *table, GHashTable *index_of, gconstpointer row)
{
    const char *record = link_of(table, row)->record;
    gpointer index;
    if (record == NULL) return true;
    if (!g_hash_table_lookup_extended(index_of, record, NULL, &index)) {
        g_hash_table_insert(index_of, (gpointer)record, GUINT_TO_POINTER(table->row->len));
        return true;
    }
    gconstpointer earlier = row_of(table, GPOINTER_TO_UINT(index));
    if (table->says_same(earlier, row)) {
        g_autofree char *wrong = g_strdup_printf("repeats line %u", place_of(table, earlier).line);
        thew_csv_find(table->csv, place_of(table, row), table->record, THEW_TROUBLE_NOTE, wrong, "it is taken once");
    } else {
        g_autofree char *wrong =
            g_strdup_printf("line %u has another %s under this record", place_of(table, earlier).line, table->what);
        find(table, row, table->record, wrong, "a correction has a record of its own and names the old one in replaces");
    }
    return false;
}

//   returns   the index of the record that a row replaces, NONE if it replaces none that can be replaced
static guint resolve(const thew_linked *table, GHashTable *index_of, const thew_known_records *elsewhere, guint i)
{
    gconstpointer row = row_of(table, i);
    const thew_csv_link *link = link_of(table, row);
    gpointer found;
    if (link->is_withdrawn && link->replaces == NULL)
        find(table, row, table->withdrawn, "withdraws nothing", "name the record that never was in replaces");
    if (link->replaces == NULL) return NONE;
    if (link->replaces == link->record) {
        find(table, row, table->replaces, "replaces itself", "name the record that was wrong");
        return NONE;
    }
    if (!g_hash_table_lookup_extended(index_of, link->replaces, NULL, &found)) {
        bool is_elsewhere = elsewhere != NULL && elsewhere->has(elsewhere->user, link->replaces);
        if (!is_elsewhere && thew_csv_is_complete(table->csv)) // else it may stand in a row that could not be read
            find(table, row, table->replaces,
                 elsewhere != NULL ? "no such record in this file or in the studio" : "no such record in this file",
                 "name the record that was wrong");
        return NONE;
    }
    thew_csv_link *replaced = link_of(table, row_of(table, GPOINTER_TO_UINT(found)));
    if (replaced->is_superseded) {
        g_autofree char *wrong =
            g_strdup_printf("line %u replaces this record already", place_of(table, row_of(table, replaced->superseded_by)).line);
        find(table, row, table->replaces, wrong, "a further correction replaces the latest one");
        return NONE;
    }
    replaced->is_superseded = true;
    replaced->superseded_by = i;
    return GPOINTER_TO_UINT(found);
}

// Each row replaces at most one and is replaced by at most one, so what hangs together is a chain or a circle. Walks every chain
// from wherever it is met; a walk can only come back to where it began.
static void check_circles(const thew_linked *table, const GArray *replaced)
{
    g_autofree guint *walk = g_new0(guint, table->row->len); // on which walk a row was met, from 1
    for (guint i = 0; i < table->row->len; i++) {
        guint at = i;
        while (at != NONE && walk[at] == 0) {
            walk[at] = i + 1;
            at = g_array_index(replaced, guint, at);
        }
        if (at == i && walk[i] == i + 1)
            find(table, row_of(table, i), table->replaces, "records that replace each other in a circle",
                 "only what was written earlier can be replaced");
    }
}

void thew_linked_settle(const thew_linked *table, GHashTable *index_of, const thew_known_records *elsewhere)
{
    g_autoptr(GArray) replaced = g_array_sized_new(FALSE, FALSE, sizeof(guint), table->row->len);
    bool any = false;
    for (guint i = 0; i < table->row->len; i++) {
        guint index = resolve(table, index_of, elsewhere, i);
        any = any || index != NONE;
        g_array_append_val(replaced, index);
    }
    if (any) check_circles(table, replaced);
}
