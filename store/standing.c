// standing.c: see standing.h.
#include "store/standing.h"

#include "store/statements.h"

#define OWN                                                                                                                        \
    "engine, revision, sets, first_day, last_day, last_sets, days, declined, symptom_day, symptom_exercise, unrested_day, "        \
    "unrested_exercise, used_up_exercise, used_up_light, nothing_fits, earliest_day, screening, items, asked_day"

enum { PUT, FIND, OVERVIEW, WAITING, DROP };
static const thew_sql sql[] = {
    [PUT] = { "standing.put",
              "INSERT INTO standing (studio, person, " OWN ") VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, "
              "$14, $15, $16, $17, $18, $19, $20, $21) ON CONFLICT (studio, person) DO UPDATE SET engine = excluded.engine, "
              "revision = excluded.revision, sets = excluded.sets, first_day = excluded.first_day, last_day = excluded.last_day, "
              "last_sets = excluded.last_sets, days = excluded.days, declined = excluded.declined, "
              "symptom_day = excluded.symptom_day, symptom_exercise = excluded.symptom_exercise, "
              "unrested_day = excluded.unrested_day, unrested_exercise = excluded.unrested_exercise, "
              "used_up_exercise = excluded.used_up_exercise, used_up_light = excluded.used_up_light, "
              "nothing_fits = excluded.nothing_fits, earliest_day = excluded.earliest_day, screening = excluded.screening, "
              "items = excluded.items, asked_day = excluded.asked_day" },
    [FIND] = { "standing.find", "SELECT person, " OWN " FROM standing WHERE studio = $1 AND person = $2" },
    // Numbers of those who have no standing yet are 0, their engine none.
    [OVERVIEW] = { "standing.overview",
                   "SELECT p.person, s.engine, COALESCE(s.revision, 0) AS revision, COALESCE(s.sets, 0) AS sets, s.first_day, "
                   "s.last_day, COALESCE(s.last_sets, 0) AS last_sets, COALESCE(s.days, 0) AS days, "
                   "COALESCE(s.declined, 0) AS declined, s.symptom_day, s.symptom_exercise, s.unrested_day, s.unrested_exercise, "
                   "s.used_up_exercise, COALESCE(s.used_up_light, 0) AS used_up_light, s.nothing_fits, s.earliest_day, "
                   "s.screening, COALESCE(s.items, 0) AS items, s.asked_day, p.called, p.endpoint, p.heat_sensitive, p.since_day, "
                   "CASE WHEN s.revision = p.revision AND s.engine = $1 THEN 1 ELSE 0 END AS current "
                   "FROM person AS p LEFT JOIN standing AS s ON s.studio = p.studio AND s.person = p.person "
                   "WHERE p.studio = $2 AND p.left_day IS NULL ORDER BY p.called, p.person" },
    [WAITING] = { "standing.waiting",
                  "SELECT person, COUNT(*) AS count FROM advice WHERE studio = $1 AND became = 'open' AND day >= $2 "
                  "AND accepted_us IS NULL GROUP BY person ORDER BY person" },
    [DROP] = { "standing.drop", "DELETE FROM standing WHERE studio = $1" },
};
const thew_sql_list thew_standing_sql = { sql, G_N_ELEMENTS(sql) };

#define STANDING_FIELDS(type, at)                                                                                                  \
    THEW_FIELD_AS(type, at person, "person"), THEW_FIELD_AS(type, at engine, "engine"),                                            \
        THEW_FIELD_AS(type, at revision, "revision"), THEW_FIELD_AS(type, at sets, "sets"),                                        \
        THEW_FIELD_AS(type, at first_day, "first_day"), THEW_FIELD_AS(type, at last_day, "last_day"),                              \
        THEW_FIELD_AS(type, at last_sets, "last_sets"), THEW_FIELD_AS(type, at days, "days"),                                      \
        THEW_FIELD_AS(type, at declined, "declined"), THEW_FIELD_AS(type, at symptom_day, "symptom_day"),                          \
        THEW_FIELD_AS(type, at symptom_exercise, "symptom_exercise"), THEW_FIELD_AS(type, at unrested_day, "unrested_day"),        \
        THEW_FIELD_AS(type, at unrested_exercise, "unrested_exercise"),                                                            \
        THEW_FIELD_AS(type, at used_up_exercise, "used_up_exercise"), THEW_FIELD_AS(type, at used_up_light, "used_up_light"),      \
        THEW_FIELD_AS(type, at nothing_fits, "nothing_fits"), THEW_FIELD_AS(type, at earliest_day, "earliest_day"),                \
        THEW_FIELD_AS(type, at screening, "screening"), THEW_FIELD_AS(type, at items, "items"),                                    \
        THEW_FIELD_AS(type, at asked_day, "asked_day")

static const thew_field fields[] = { STANDING_FIELDS(thew_store_standing, ) };
static const thew_map map = THEW_MAP(thew_store_standing, fields, G_N_ELEMENTS(fields));

static const thew_field overview_fields[] = {
    STANDING_FIELDS(thew_store_overview, standing.), THEW_FIELD(thew_store_overview, called),
    THEW_FIELD(thew_store_overview, endpoint),       THEW_FIELD(thew_store_overview, heat_sensitive),
    THEW_FIELD(thew_store_overview, since_day),      THEW_FIELD(thew_store_overview, current),
};
static const thew_map overview_map = THEW_MAP(thew_store_overview, overview_fields, G_N_ELEMENTS(overview_fields));

static const thew_field count_fields[] = { THEW_FIELD(thew_store_count, person), THEW_FIELD(thew_store_count, count) };
static const thew_map count_map = THEW_MAP(thew_store_count, count_fields, G_N_ELEMENTS(count_fields));

thew_store_status thew_store_standing_put(thew_db *db, const char *studio, const thew_store_standing *standing)
{
    return thew_query_put(db, &sql[PUT], THEW_KEYS(studio), &map, standing);
}

thew_store_status thew_store_standing_find(thew_db *db, const char *studio, const char *person, thew_rows **rows)
{
    return thew_query_one_for(db, &sql[FIND], THEW_KEYS(studio, person), &map, rows);
}

thew_store_status thew_store_overview_all(thew_db *db, const char *studio, const char *engine, thew_rows **rows)
{
    return thew_query_rows_for(db, &sql[OVERVIEW], THEW_KEYS(engine, studio), &overview_map, rows);
}

thew_store_status thew_store_waiting(thew_db *db, const char *studio, thew_date from, thew_rows **rows)
{
    thew_query query = thew_query_of(db, &sql[WAITING]);
    thew_query_text(&query, studio);
    thew_query_date(&query, from);
    return thew_query_rows(&query, &count_map, rows);
}

thew_store_status thew_store_standing_drop(thew_db *db, const char *studio)
{
    return thew_query_run_for(db, &sql[DROP], THEW_KEYS(studio), NULL);
}
