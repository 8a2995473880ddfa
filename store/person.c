// person.c: see person.h.
#include "store/person.h"

#include "store/kept.h"
#include "store/statements.h"

#define PERSON                                                                                                                     \
    "person, called, sex, birth_year, height_m, mass_kg, condition, endpoint, weaker_side, heat_sensitive, note, since_day, "      \
    "left_day, "                                                                                                                   \
    "made_us, changed_us"
#define ANSWER "question, answered_us, answer, note, written_by"
#define OF_PERSON "WHERE studio = $1 AND person = $2"

enum {
    PUT,
    FIND,
    ALL,
    TOUCH,
    TOUCH_ALL,
    LIST_CLEAR,
    LIST_ADD,
    LIST_ALL,
    LIMIT_PUT,
    LIMIT_LIFT,
    LIMIT_ALL,
    ANSWER_ADD,
    ANSWER_FIND,
    ANSWER_LATEST,
    ANSWER_ALL
};
static const thew_sql sql[] = {
    [PUT] = { "person.put", "INSERT INTO person (studio, " PERSON ", revision) "
                            "VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, 1) "
                            "ON CONFLICT (studio, person) DO UPDATE SET called = excluded.called, sex = excluded.sex, birth_year = "
                            "excluded.birth_year, "
                            "height_m = excluded.height_m, mass_kg = excluded.mass_kg, condition = excluded.condition, endpoint = "
                            "excluded.endpoint, "
                            "weaker_side = excluded.weaker_side, heat_sensitive = excluded.heat_sensitive, note = excluded.note, "
                            "since_day = excluded.since_day, left_day = excluded.left_day, changed_us = excluded.changed_us, "
                            "revision = person.revision + 1" },
    [FIND] = { "person.find", "SELECT " PERSON ", revision FROM person " OF_PERSON },
    [ALL] = { "person.all", "SELECT " PERSON ", revision FROM person WHERE studio = $1 ORDER BY called, person" },
    [TOUCH] = { "person.touch", "UPDATE person SET revision = revision + 1 " OF_PERSON " RETURNING revision" },
    [TOUCH_ALL] = { "person.touch_all", "UPDATE person SET revision = revision + 1 WHERE studio = $1" },
    [LIST_CLEAR] = { "person_list.clear", "DELETE FROM person_list " OF_PERSON " AND list = $3" },
    [LIST_ADD] = { "person_list.add", "INSERT INTO person_list (studio, person, list, place, what) VALUES ($1, $2, $3, $4, $5)" },
    [LIST_ALL] = { "person_list.all", "SELECT list, place, what FROM person_list " OF_PERSON " ORDER BY list, place" },
    [LIMIT_PUT] = { "person_limit.put",
                    "INSERT INTO person_limit (studio, person, kind, what, reason, until_day) VALUES ($1, $2, $3, $4, $5, $6) "
                    "ON CONFLICT (studio, person, kind, what) DO UPDATE SET reason = excluded.reason, until_day = "
                    "excluded.until_day" },
    [LIMIT_LIFT] = { "person_limit.lift", "DELETE FROM person_limit " OF_PERSON " AND kind = $3 AND what = $4" },
    [LIMIT_ALL] = { "person_limit.all",
                    "SELECT kind, what, reason, until_day FROM person_limit " OF_PERSON " ORDER BY kind, what" },
    [ANSWER_ADD] = { "screening_answer.add",
                     "INSERT INTO screening_answer (studio, person, " ANSWER ") VALUES ($1, $2, $3, $4, $5, $6, $7)" },
    [ANSWER_FIND] = { "screening_answer.find",
                      "SELECT " ANSWER " FROM screening_answer " OF_PERSON " AND question = $3 AND answered_us = $4" },
    [ANSWER_LATEST] = { "screening_answer.latest",
                        "SELECT " ANSWER " FROM screening_answer AS a " OF_PERSON
                        " AND answered_us = (SELECT MAX(b.answered_us) FROM screening_answer AS b WHERE b.studio = a.studio "
                        "AND b.person = a.person AND b.question = a.question) ORDER BY question" },
    [ANSWER_ALL] = { "screening_answer.all",
                     "SELECT " ANSWER " FROM screening_answer " OF_PERSON " ORDER BY answered_us, question" },
};
const thew_sql_list thew_person_sql = { sql, G_N_ELEMENTS(sql) };

static const thew_field person_fields[] = {
    THEW_FIELD(thew_store_person, person),      THEW_FIELD(thew_store_person, called),
    THEW_FIELD(thew_store_person, sex),         THEW_FIELD(thew_store_person, birth_year),
    THEW_FIELD(thew_store_person, height_m),    THEW_FIELD(thew_store_person, mass_kg),
    THEW_FIELD(thew_store_person, condition),   THEW_FIELD(thew_store_person, endpoint),
    THEW_FIELD(thew_store_person, weaker_side), THEW_FIELD(thew_store_person, heat_sensitive),
    THEW_FIELD(thew_store_person, note),        THEW_FIELD(thew_store_person, since_day),
    THEW_FIELD(thew_store_person, left_day),    THEW_FIELD(thew_store_person, made_us),
    THEW_FIELD(thew_store_person, changed_us),  THEW_FIELD(thew_store_person, revision),
};
static const thew_map person_map = THEW_MAP(thew_store_person, person_fields, G_N_ELEMENTS(person_fields) - 1);

static const thew_field choice_fields[] = {
    THEW_FIELD(thew_store_choice, list),
    THEW_FIELD(thew_store_choice, place),
    THEW_FIELD(thew_store_choice, what),
};
static const thew_map choice_map = THEW_MAP(thew_store_choice, choice_fields, G_N_ELEMENTS(choice_fields));

static const thew_field limit_fields[] = {
    THEW_FIELD(thew_store_limit, kind),
    THEW_FIELD(thew_store_limit, what),
    THEW_FIELD(thew_store_limit, reason),
    THEW_FIELD(thew_store_limit, until_day),
};
static const thew_map limit_map = THEW_MAP(thew_store_limit, limit_fields, G_N_ELEMENTS(limit_fields));

static const thew_field answer_fields[] = {
    THEW_FIELD(thew_store_answer, question), THEW_FIELD(thew_store_answer, answered_us), THEW_FIELD(thew_store_answer, answer),
    THEW_FIELD(thew_store_answer, note),     THEW_FIELD(thew_store_answer, written_by),
};
static const thew_map answer_map = THEW_MAP(thew_store_answer, answer_fields, G_N_ELEMENTS(answer_fields));

// --- the person

thew_store_status thew_store_person_put(thew_db *db, const char *studio, const thew_store_person *person)
{
    return thew_query_put(db, &sql[PUT], THEW_KEYS(studio), &person_map, person);
}

thew_store_status thew_store_person_find(thew_db *db, const char *studio, const char *person, thew_rows **rows)
{
    return thew_query_one_for(db, &sql[FIND], THEW_KEYS(studio, person), &person_map, rows);
}

thew_store_status thew_store_person_all(thew_db *db, const char *studio, thew_rows **rows)
{
    return thew_query_rows_for(db, &sql[ALL], THEW_KEYS(studio), &person_map, rows);
}

thew_store_status thew_store_person_touch(thew_db *db, const char *studio, const char *person, gint64 *revision)
{
    gint64 next;
    thew_query query = thew_query_of(db, &sql[TOUCH]);
    thew_query_text(&query, studio);
    thew_query_text(&query, person);
    thew_store_status status = thew_query_number(&query, 0, &next);
    if (status >= 0 && next == 0) return thew_db_fail(db, THEW_STORE_NOT_FOUND, "person %s", person);
    if (revision != NULL) *revision = next;
    return status;
}

thew_store_status thew_store_person_touch_all(thew_db *db, const char *studio)
{
    return thew_query_run_for(db, &sql[TOUCH_ALL], THEW_KEYS(studio), NULL);
}

// --- lists

static thew_store_status add_choice(thew_db *db, const char *studio, const char *person, const thew_store_choice *choice)
{
    return thew_query_put(db, &sql[LIST_ADD], THEW_KEYS(studio, person), &choice_map, choice);
}

thew_store_status thew_store_choice_replace(thew_db *db, const char *studio, const char *person, const char *list,
                                            const char *const *what)
{
    thew_store_status status = thew_query_run_for(db, &sql[LIST_CLEAR], THEW_KEYS(studio, person, list), NULL);
    for (int place = 0; status >= 0 && what[place] != NULL; place++)
        status = add_choice(db, studio, person, &(thew_store_choice){ list, place, what[place] });
    return status;
}

thew_store_status thew_store_choice_all(thew_db *db, const char *studio, const char *person, thew_rows **rows)
{
    return thew_query_rows_for(db, &sql[LIST_ALL], THEW_KEYS(studio, person), &choice_map, rows);
}

// --- limits

thew_store_status thew_store_limit_put(thew_db *db, const char *studio, const char *person, const thew_store_limit *limit)
{
    return thew_query_put(db, &sql[LIMIT_PUT], THEW_KEYS(studio, person), &limit_map, limit);
}

thew_store_status thew_store_limit_lift(thew_db *db, const char *studio, const char *person, const char *kind, const char *what)
{
    gint64 changed;
    thew_store_status status = thew_query_run_for(db, &sql[LIMIT_LIFT], THEW_KEYS(studio, person, kind, what), &changed);
    return thew_query_found(db, &sql[LIMIT_LIFT], status, changed);
}

thew_store_status thew_store_limit_all(thew_db *db, const char *studio, const char *person, thew_rows **rows)
{
    return thew_query_rows_for(db, &sql[LIMIT_ALL], THEW_KEYS(studio, person), &limit_map, rows);
}

// --- screening

static thew_store_status find_answer(thew_db *db, const char *studio, const char *person, const thew_store_answer *answer,
                                     thew_rows **rows)
{
    thew_query query = thew_query_of(db, &sql[ANSWER_FIND]);
    thew_query_text(&query, studio);
    thew_query_text(&query, person);
    thew_query_text(&query, answer->question);
    thew_query_utc(&query, answer->answered_us);
    return thew_query_rows(&query, &answer_map, rows);
}

thew_store_status thew_store_answer_add(thew_db *db, const char *studio, const char *person, const thew_store_answer *answer)
{
    g_autoptr(thew_rows) kept = NULL;
    thew_store_status status = find_answer(db, studio, person, answer, &kept);
    if (status >= 0) status = thew_kept_compare(db, &answer_map, kept, answer, answer->question);
    if (status != THEW_STORE_OK) return status;
    return thew_query_put(db, &sql[ANSWER_ADD], THEW_KEYS(studio, person), &answer_map, answer);
}

thew_store_status thew_store_answer_latest(thew_db *db, const char *studio, const char *person, thew_rows **rows)
{
    return thew_query_rows_for(db, &sql[ANSWER_LATEST], THEW_KEYS(studio, person), &answer_map, rows);
}

thew_store_status thew_store_answer_all(thew_db *db, const char *studio, const char *person, thew_rows **rows)
{
    return thew_query_rows_for(db, &sql[ANSWER_ALL], THEW_KEYS(studio, person), &answer_map, rows);
}
