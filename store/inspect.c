// inspect.c: see inspect.h.
#include "store/inspect.h"

#include "store/db_backend.h"
#include "store/entry_parts.h"
#include "store/kept.h"
#include "store/kit.h"
#include "store/person.h"
#include "store/run.h"
#include "store/statements.h"
#include "store/studio.h"
#include "store/tables.h"

typedef struct {
    const char *studio, *what;
} offence;

static const thew_field fields[] = {
    THEW_FIELD(offence, studio),
    THEW_FIELD(offence, what),
};
static const thew_map map = THEW_MAP(offence, fields, G_N_ELEMENTS(fields));

// Each gives a row for every offence: studio, what.
#define REPLACED_TWICE(table)                                                                                                      \
    {                                                                                                                              \
        table ".replaced_twice", "SELECT studio, replaces AS what FROM " table                                                     \
                                 " WHERE replaces IS NOT NULL GROUP BY studio, replaces HAVING COUNT(*) > 1"                       \
    }
#define REVISION_AHEAD(table)                                                                                                      \
    {                                                                                                                              \
        table ".revision_ahead", "SELECT e.studio AS studio, e.person AS what FROM " table " AS e JOIN person AS p "               \
                                 "ON p.studio = e.studio AND p.person = e.person WHERE e.revision > p.revision "                   \
                                 "GROUP BY e.studio, e.person"                                                                     \
    }
#define VERSIONS_WITH_GAPS(table, name, number)                                                                                    \
    {                                                                                                                              \
        table ".versions_with_gaps", "SELECT studio, " name " AS what FROM " table " GROUP BY studio, " name " HAVING MAX(" number \
                                     ") <> COUNT(*) OR MIN(" number ") <> 1"                                                       \
    }
static const thew_sql sql[] = {
    REPLACED_TWICE("diary"),
    REPLACED_TWICE("checkin"),
    REPLACED_TWICE("outcome"),
    REVISION_AHEAD("diary"),
    REVISION_AHEAD("checkin"),
    REVISION_AHEAD("outcome"),
    REVISION_AHEAD("belief"),
    REVISION_AHEAD("standing"),
    { "person.revision_twice",
      "SELECT studio, person AS what FROM (SELECT studio, person, revision FROM diary "
      "UNION ALL SELECT studio, person, revision FROM checkin UNION ALL SELECT studio, person, revision FROM outcome"
      ") AS e GROUP BY studio, person, revision HAVING COUNT(*) > 1" },
    VERSIONS_WITH_GAPS("addition", "name", "version"),
    VERSIONS_WITH_GAPS("class", "class", "version"),
    VERSIONS_WITH_GAPS("block", "block", "version"),
    VERSIONS_WITH_GAPS("run_event", "run", "place"),
    { "block.of_two_persons", "SELECT studio, block AS what FROM block GROUP BY studio, block HAVING MIN(person) <> MAX(person)" },
    { "advice.odds_off",
      "SELECT studio, advice AS what FROM advice WHERE p_floor + p_early + p_window + p_beyond NOT BETWEEN 0.999 AND 1.001" },
    { "advice.fate_without_time", "SELECT studio, advice AS what FROM advice WHERE (became = 'open' AND became_us IS NOT NULL) OR "
                                  "(became <> 'open' AND became_us IS NULL)" },
};
const thew_sql_list thew_inspect_sql = { sql, G_N_ELEMENTS(sql) };

static const char *const sentence[] = {
    "record %s of the diary is replaced more than once",
    "check-in %s is replaced more than once",
    "outcome %s is replaced more than once",
    "the diary of %s holds records that the person's revision does not count",
    "check-ins of %s are not counted by the person's revision",
    "outcomes of %s are not counted by the person's revision",
    "the belief about %s stands for more than is known",
    "the standing of %s stands for more than is known",
    "two records of %s have one revision",
    "versions of the addition %s are missing",
    "versions of the class %s are missing",
    "versions of the block %s are missing",
    "events of the run %s are missing",
    "the block %s is of two persons",
    "the odds of advice %s do not sum to one",
    "what became of advice %s, and when, do not agree",
};
G_STATIC_ASSERT(G_N_ELEMENTS(sentence) == G_N_ELEMENTS(sql));

// Damage found while reading is a finding; what else goes wrong is a failure.
static thew_store_status take_damage(thew_db *db, thew_store_status status, GPtrArray *finding)
{
    if (status != THEW_STORE_DAMAGED) return status;
    g_ptr_array_add(finding, g_strdup(thew_db_sentence(db)));
    return THEW_STORE_OK;
}

static thew_store_status look_for(thew_db *db, size_t at, GPtrArray *finding)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_query query = thew_query_of(db, &sql[at]);
    thew_store_status status = take_damage(db, thew_query_rows(&query, &map, &rows), finding);
    g_auto(GStrv) part = g_strsplit(sentence[at], "%s", 2);
    for (guint i = 0; rows != NULL && i < rows->row->len; i++) {
        const offence *row = thew_row(rows, offence, i);
        g_ptr_array_add(finding, g_strdup_printf("studio %s: %s%s%s", row->studio, part[0], row->what, part[1]));
    }
    return status;
}

// --- digests

static thew_store_status records_of(thew_db *db, const thew_entry_table *table, const char *studio, const char *person,
                                    GPtrArray *finding)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status = take_damage(db, thew_entry_history(db, table, studio, person, &rows), finding);
    if (rows != NULL) thew_kept_check(table->map, rows, studio, finding);
    return status;
}

static thew_store_status people_of(thew_db *db, const char *studio, GPtrArray *finding)
{
    static const thew_entry_table *const table[] = { &thew_diary_table, &thew_checkin_table, &thew_outcome_table };
    g_autoptr(thew_rows) people = NULL;
    thew_store_status status = take_damage(db, thew_store_person_all(db, studio, &people), finding);
    for (guint i = 0; status >= 0 && people != NULL && i < people->row->len; i++)
        for (size_t t = 0; status >= 0 && t < G_N_ELEMENTS(table); t++)
            status = records_of(db, table[t], studio, thew_row(people, thew_store_person, i)->person, finding);
    return status;
}

static thew_store_status readings_of(thew_db *db, const char *studio, GPtrArray *finding)
{
    g_autoptr(thew_rows) items = NULL;
    thew_store_status status = take_damage(db, thew_store_item_all(db, studio, &items), finding);
    for (guint i = 0; status >= 0 && items != NULL && i < items->row->len; i++) {
        g_autoptr(thew_rows) rows = NULL;
        const char *item = thew_row(items, thew_store_item, i)->item;
        status = take_damage(db, thew_store_reading_of(db, studio, item, &rows), finding);
        if (rows != NULL) thew_kept_check(&thew_reading_map, rows, studio, finding);
    }
    return status;
}

static thew_store_status events_of(thew_db *db, const char *studio, GPtrArray *finding)
{
    g_autoptr(thew_rows) runs = NULL;
    thew_utc first = { G_MININT64 }, last = { G_MAXINT64 };
    thew_store_status status = take_damage(db, thew_store_run_between(db, studio, first, last, &runs), finding);
    for (guint i = 0; status >= 0 && runs != NULL && i < runs->row->len; i++) {
        g_autoptr(thew_rows) rows = NULL;
        const char *run = thew_row(runs, thew_store_run, i)->run;
        status = take_damage(db, thew_store_event_after(db, studio, run, 0, &rows), finding);
        if (rows != NULL) thew_kept_check(&thew_event_map, rows, studio, finding);
    }
    return status;
}

static thew_store_status digests(thew_db *db, GPtrArray *finding)
{
    g_autoptr(thew_rows) studios = NULL;
    thew_store_status status = take_damage(db, thew_store_studio_all(db, &studios), finding);
    for (guint i = 0; status >= 0 && studios != NULL && i < studios->row->len; i++) {
        const char *studio = thew_row(studios, thew_store_studio, i)->studio;
        status = people_of(db, studio, finding);
        if (status >= 0) status = readings_of(db, studio, finding);
        if (status >= 0) status = events_of(db, studio, finding);
    }
    return status;
}

static thew_store_status look_at_all(thew_db *db, GPtrArray *finding)
{
    thew_store_status status = take_damage(db, db->backend->check(db, finding), finding);
    if (status >= 0) status = take_damage(db, thew_tables_check(db, finding), finding);
    for (size_t i = 0; status >= 0 && i < G_N_ELEMENTS(sql); i++)
        status = look_for(db, i, finding);
    return status < 0 ? status : digests(db, finding);
}

thew_store_status thew_store_inspect(thew_db *db, GPtrArray **finding)
{
    g_autoptr(GPtrArray) found = g_ptr_array_new_with_free_func(g_free);
    *finding = NULL;
    thew_store_status status = thew_db_begin_reading(db);
    if (status < 0) return status;
    status = look_at_all(db, found);
    thew_db_rollback(db); // nothing was written
    if (status >= 0) *finding = g_steal_pointer(&found);
    return status;
}
