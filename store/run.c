// run.c: see run.h.
#include "store/run.h"

#include "store/kept.h"
#include "store/statements.h"

#define RUN "run, class, version, planned_us, code, code_ends_us, note, made_us, written_by"
#define EVENT "event, at_us, kind, detail, written_by, place, kept_us, digest"

enum { PUT, FIND, BY_CODE, BETWEEN, PERSON_PUT, PERSON_LEAVE, PERSON_ALL, EVENT_ADD, EVENT_FIND, EVENT_LAST, EVENT_AFTER };
static const thew_sql sql[] = {
    [PUT] = { "run.put", "INSERT INTO run (studio, " RUN ") VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10) "
                         "ON CONFLICT (studio, run) DO UPDATE SET planned_us = excluded.planned_us, code = excluded.code, "
                         "code_ends_us = excluded.code_ends_us, note = excluded.note" },
    [FIND] = { "run.find", "SELECT " RUN " FROM run WHERE studio = $1 AND run = $2" },
    [BY_CODE] = { "run.by_code",
                  "SELECT " RUN " FROM run WHERE studio = $1 AND code = $2 AND code_ends_us > $3 ORDER BY made_us DESC, run" },
    [BETWEEN] = { "run.between",
                  "SELECT " RUN " FROM run WHERE studio = $1 AND planned_us >= $2 AND planned_us < $3 ORDER BY planned_us, run" },
    [PERSON_PUT] = { "run_person.put",
                     "INSERT INTO run_person (studio, run, person, fit, joined_us) VALUES ($1, $2, $3, $4, $5) "
                     "ON CONFLICT (studio, run, person) DO UPDATE SET fit = excluded.fit, joined_us = excluded.joined_us" },
    [PERSON_LEAVE] = { "run_person.leave", "DELETE FROM run_person WHERE studio = $1 AND run = $2 AND person = $3" },
    [PERSON_ALL] = { "run_person.all",
                     "SELECT person, fit, joined_us FROM run_person WHERE studio = $1 AND run = $2 ORDER BY person" },
    [EVENT_ADD] = { "run_event.add",
                    "INSERT INTO run_event (studio, run, " EVENT ") VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)" },
    [EVENT_FIND] = { "run_event.find", "SELECT " EVENT " FROM run_event WHERE studio = $1 AND run = $2 AND event = $3" },
    [EVENT_LAST] = { "run_event.last", "SELECT MAX(place) FROM run_event WHERE studio = $1 AND run = $2" },
    [EVENT_AFTER] = { "run_event.after",
                      "SELECT " EVENT " FROM run_event WHERE studio = $1 AND run = $2 AND place > $3 ORDER BY place" },
};
const thew_sql_list thew_run_sql = { sql, G_N_ELEMENTS(sql) };

static const thew_field run_fields[] = {
    THEW_FIELD(thew_store_run, run),        THEW_FIELD(thew_store_run, class),   THEW_FIELD(thew_store_run, version),
    THEW_FIELD(thew_store_run, planned_us), THEW_FIELD(thew_store_run, code),    THEW_FIELD(thew_store_run, code_ends_us),
    THEW_FIELD(thew_store_run, note),       THEW_FIELD(thew_store_run, made_us), THEW_FIELD(thew_store_run, written_by),
};
static const thew_map run_map = THEW_MAP(thew_store_run, run_fields, G_N_ELEMENTS(run_fields));

static const thew_field person_fields[] = {
    THEW_FIELD(thew_store_run_person, person),
    THEW_FIELD(thew_store_run_person, fit),
    THEW_FIELD(thew_store_run_person, joined_us),
};
static const thew_map person_map = THEW_MAP(thew_store_run_person, person_fields, G_N_ELEMENTS(person_fields));

static const thew_field event_fields[] = {
    THEW_FIELD(thew_store_event, event),   THEW_FIELD(thew_store_event, at_us),      THEW_FIELD(thew_store_event, kind),
    THEW_FIELD(thew_store_event, detail),  THEW_FIELD(thew_store_event, written_by), THEW_FIELD(thew_store_event, place),
    THEW_FIELD(thew_store_event, kept_us), THEW_FIELD(thew_store_event, digest),
};
const thew_map thew_event_map = THEW_MAP(thew_store_event, event_fields, G_N_ELEMENTS(event_fields) - 3);

// --- runs

thew_store_status thew_store_run_put(thew_db *db, const char *studio, const thew_store_run *run)
{
    return thew_query_put(db, &sql[PUT], THEW_KEYS(studio), &run_map, run);
}

thew_store_status thew_store_run_find(thew_db *db, const char *studio, const char *run, thew_rows **rows)
{
    return thew_query_one_for(db, &sql[FIND], THEW_KEYS(studio, run), &run_map, rows);
}

thew_store_status thew_store_run_by_code(thew_db *db, const char *studio, const char *code, thew_utc now, thew_rows **rows)
{
    thew_query query = thew_query_of(db, &sql[BY_CODE]);
    thew_query_text(&query, studio);
    thew_query_text(&query, code);
    thew_query_utc(&query, now);
    return thew_query_one(&query, &run_map, rows);
}

thew_store_status thew_store_run_between(thew_db *db, const char *studio, thew_utc from, thew_utc until, thew_rows **rows)
{
    thew_query query = thew_query_of(db, &sql[BETWEEN]);
    thew_query_text(&query, studio);
    thew_query_integer(&query, from.us);
    thew_query_integer(&query, until.us);
    return thew_query_rows(&query, &run_map, rows);
}

// --- who takes part

thew_store_status thew_store_run_person_put(thew_db *db, const char *studio, const char *run, const thew_store_run_person *person)
{
    return thew_query_put(db, &sql[PERSON_PUT], THEW_KEYS(studio, run), &person_map, person);
}

thew_store_status thew_store_run_person_leave(thew_db *db, const char *studio, const char *run, const char *person)
{
    gint64 changed;
    thew_store_status status = thew_query_run_for(db, &sql[PERSON_LEAVE], THEW_KEYS(studio, run, person), &changed);
    return thew_query_found(db, &sql[PERSON_LEAVE], status, changed);
}

thew_store_status thew_store_run_person_all(thew_db *db, const char *studio, const char *run, thew_rows **rows)
{
    return thew_query_rows_for(db, &sql[PERSON_ALL], THEW_KEYS(studio, run), &person_map, rows);
}

// --- the log

static thew_store_status next_place(thew_db *db, const char *studio, const char *run, gint64 *place)
{
    thew_query query = thew_query_of(db, &sql[EVENT_LAST]);
    thew_query_text(&query, studio);
    thew_query_text(&query, run);
    thew_store_status status = thew_query_number(&query, 0, place);
    ++*place;
    return status;
}

static thew_store_status add_event(thew_db *db, const char *studio, const char *run, const thew_store_event *event, gint64 place)
{
    char seal[THEW_SEAL_TEXT];
    thew_store_event whole = *event;
    whole.place = (int)place;
    whole.kept_us = thew_utc_now();
    whole.digest = seal;
    thew_map_seal(&thew_event_map, &whole, seal);
    thew_query query = thew_query_of(db, &sql[EVENT_ADD]);
    thew_query_text(&query, studio);
    thew_query_text(&query, run);
    thew_query_row(&query, &thew_event_map, &whole);
    return thew_query_run(&query, NULL);
}

thew_store_status thew_store_event_add(thew_db *db, const char *studio, const char *run, const thew_store_event *event, int *place)
{
    g_autoptr(thew_rows) kept = NULL;
    thew_store_status status =
        thew_query_rows_for(db, &sql[EVENT_FIND], THEW_KEYS(studio, run, event->event), &thew_event_map, &kept);
    if (status >= 0) status = thew_kept_compare(db, &thew_event_map, kept, event, event->event);
    if (status == THEW_STORE_REPEATED && place != NULL) *place = thew_row(kept, thew_store_event, 0)->place;
    gint64 next;
    if (status == THEW_STORE_OK) status = next_place(db, studio, run, &next);
    if (status != THEW_STORE_OK) return status;
    if (place != NULL) *place = (int)next;
    return add_event(db, studio, run, event, next);
}

thew_store_status thew_store_event_after(thew_db *db, const char *studio, const char *run, int place, thew_rows **rows)
{
    thew_query query = thew_query_of(db, &sql[EVENT_AFTER]);
    thew_query_text(&query, studio);
    thew_query_text(&query, run);
    thew_query_integer(&query, place);
    return thew_query_rows(&query, &thew_event_map, rows);
}
