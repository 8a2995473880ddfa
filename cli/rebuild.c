// rebuild.c: `thew rebuild`: everything that is estimated, dropped and made again from the diary; is it what stood there?
#include <stdio.h>
#include <string.h>

#include "cli/command.h"
#include "cli/open.h"
#include "store/belief.h"
#include "store/person.h"
#include "studio/believe.h"

static const char description[] =
    "Estimates are a cache beside the diary: nothing is lost by making them again. What was up to date\n"
    "must come out the same, bit for bit; if it does not, each person concerned is named and the exit\n"
    "status is 1.\n";

// Each person's belief, by person: bytes of the rows, which stay the caller's.
typedef struct {
    GPtrArray *held;       // owned thew_rows
    GHashTable *by_person; // to const thew_store_belief
} beliefs;

static void beliefs_clear(beliefs *b)
{
    g_clear_pointer(&b->by_person, g_hash_table_unref);
    g_clear_pointer(&b->held, g_ptr_array_unref);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(beliefs, beliefs_clear)

static thew_store_status read_beliefs(const thew_studio *studio, const thew_rows *people, beliefs *b)
{
    b->held = g_ptr_array_new_with_free_func((GDestroyNotify)thew_rows_free);
    b->by_person = g_hash_table_new(g_str_hash, g_str_equal);
    for (guint i = 0; i < people->row->len; i++) {
        thew_rows *rows = NULL;
        thew_store_status status =
            thew_store_belief_find(studio->db, studio->id, thew_row(people, thew_store_person, i)->person, &rows);
        if (status == THEW_STORE_NOT_FOUND) continue;
        if (status < 0) return status;
        g_ptr_array_add(b->held, rows);
        const thew_store_belief *belief = thew_row(rows, thew_store_belief, 0);
        g_hash_table_insert(b->by_person, (gpointer)belief->person, (gpointer)belief);
    }
    return THEW_STORE_OK;
}

static bool was_current(const thew_store_belief *before, const thew_store_person *person)
{
    return before && before->revision == person->revision && strcmp(before->engine, THEW_ENGINE_VERSION) == 0;
}

static bool is_same(const thew_store_belief *a, const thew_store_belief *b)
{
    return b && a->posterior.size == b->posterior.size && memcmp(a->posterior.bytes, b->posterior.bytes, a->posterior.size) == 0;
}

static int compare(const thew_rows *people, const beliefs *before, const beliefs *after)
{
    guint same = 0, behind = 0, other = 0;
    for (guint i = 0; i < people->row->len; i++) {
        const thew_store_person *person = thew_row(people, thew_store_person, i);
        const thew_store_belief *stood = g_hash_table_lookup(before->by_person, person->person);
        bool current = was_current(stood, person),
             equal = current && is_same(stood, g_hash_table_lookup(after->by_person, person->person));
        behind += !current;
        same += equal;
        other += current && !equal;
        if (current && !equal) printf("%s: not what stood there\n", person->person);
    }
    printf("made again for %u people: %u as it stood, bit for bit; %u had none that was up to date; %u otherwise\n",
           people->row->len, same, behind, other);
    return other == 0 ? THEW_EXIT_OK : THEW_EXIT_REFUSED;
}

static int store_failed(const thew_studio *studio)
{
    fprintf(stderr, "thew: %s\n", thew_db_sentence(studio->db));
    return THEW_EXIT_REFUSED;
}

static int run(thew_studio *studio)
{
    g_autoptr(thew_rows) people = NULL;
    g_auto(beliefs) before = { 0 }, after = { 0 };
    if (thew_store_person_all(studio->db, studio->id, &people) < 0 || read_beliefs(studio, people, &before) < 0)
        return store_failed(studio);
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    guint count;
    thew_verdict verdict = thew_rebuild(studio, NULL, NULL, &count, refusal);
    if (verdict != THEW_DONE && verdict != THEW_DONE_BEFORE) return thew_refused(refusal);
    if (read_beliefs(studio, people, &after) < 0) return store_failed(studio);
    return compare(people, &before, &after);
}

int thew_command_rebuild(int argc, char **argv)
{
    g_autofree char *path = NULL;
    const GOptionEntry entries[] = { THEW_STUDIO_OPTION(path), { 0 } };
    int status = THEW_EXIT_OK;
    if (!thew_options_parse("rebuild", NULL, "Make everything that is estimated again from the diary, and compare.", description,
                            entries, &argc, &argv, &status))
        return status;
    if (argc != 1) return thew_usage_error("rebuild", "takes options only; got \"%s\"", argv[1]);
    g_auto(thew_opened) opened = { 0 };
    status = thew_open(path, THEW_DB_WRITE, &opened);
    return status == THEW_EXIT_OK ? run(opened.studio) : status;
}
