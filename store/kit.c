// kit.c: see kit.h.
#include "store/kit.h"

#include "store/kept.h"
#include "store/person.h"
#include "store/statements.h"

#define ITEM "item, person, label, kind, mass_kg, rest_length_m, step, note, made_us, retired_day"
#define READING "reading, item, length_m, force_n, measured_day, note, made_us"

enum { ITEM_PUT, ITEM_FIND, ITEM_OF, ITEM_ALL, READING_ADD, READING_FIND, READING_OF, READING_OF_PERSON };
static const thew_sql sql[] = {
    [ITEM_PUT] = { "kit_item.put", "INSERT INTO kit_item (studio, " ITEM ") VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11) "
                                   "ON CONFLICT (studio, item) DO UPDATE SET person = excluded.person, label = excluded.label, "
                                   "kind = excluded.kind, mass_kg = excluded.mass_kg, rest_length_m = excluded.rest_length_m, "
                                   "step = excluded.step, note = excluded.note, retired_day = excluded.retired_day" },
    [ITEM_FIND] = { "kit_item.find", "SELECT " ITEM " FROM kit_item WHERE studio = $1 AND item = $2" },
    [ITEM_OF] = { "kit_item.of",
                  "SELECT " ITEM " FROM kit_item WHERE studio = $1 AND (person = $2 OR person IS NULL) ORDER BY label, item" },
    [ITEM_ALL] = { "kit_item.all", "SELECT " ITEM " FROM kit_item WHERE studio = $1 ORDER BY person NULLS FIRST, label, item" },
    [READING_ADD] = { "kit_reading.add",
                      "INSERT INTO kit_reading (studio, " READING ", digest) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)" },
    [READING_FIND] = { "kit_reading.find", "SELECT " READING ", digest FROM kit_reading WHERE studio = $1 AND reading = $2" },
    [READING_OF] = { "kit_reading.of", "SELECT " READING ", digest FROM kit_reading WHERE studio = $1 AND item = $2 "
                                       "ORDER BY measured_day NULLS FIRST, made_us, reading" },
    [READING_OF_PERSON] = { "kit_reading.of_person",
                            "SELECT " READING
                            ", digest FROM kit_reading AS r WHERE studio = $1 AND EXISTS (SELECT 1 FROM kit_item AS i "
                            "WHERE i.studio = r.studio AND i.item = r.item AND (i.person = $2 OR i.person IS NULL)) "
                            "ORDER BY item, measured_day NULLS FIRST, made_us, reading" },
};
const thew_sql_list thew_kit_sql = { sql, G_N_ELEMENTS(sql) };

static const thew_field item_fields[] = {
    THEW_FIELD(thew_store_item, item),        THEW_FIELD(thew_store_item, person),  THEW_FIELD(thew_store_item, label),
    THEW_FIELD(thew_store_item, kind),        THEW_FIELD(thew_store_item, mass_kg), THEW_FIELD(thew_store_item, rest_length_m),
    THEW_FIELD(thew_store_item, step),        THEW_FIELD(thew_store_item, note),    THEW_FIELD(thew_store_item, made_us),
    THEW_FIELD(thew_store_item, retired_day),
};
static const thew_map item_map = THEW_MAP(thew_store_item, item_fields, G_N_ELEMENTS(item_fields));

static const thew_field reading_fields[] = {
    THEW_FIELD(thew_store_reading, reading), THEW_FIELD(thew_store_reading, item),         THEW_FIELD(thew_store_reading, length_m),
    THEW_FIELD(thew_store_reading, force_n), THEW_FIELD(thew_store_reading, measured_day), THEW_FIELD(thew_store_reading, note),
    THEW_FIELD(thew_store_reading, made_us), THEW_FIELD(thew_store_reading, digest),
};
const thew_map thew_reading_map = THEW_MAP(thew_store_reading, reading_fields, G_N_ELEMENTS(reading_fields) - 1);

static thew_store_status touch_owner(thew_db *db, const char *studio, const char *person)
{
    return person != NULL ? thew_store_person_touch(db, studio, person, NULL) : thew_store_person_touch_all(db, studio);
}

thew_store_status thew_store_item_put(thew_db *db, const char *studio, const thew_store_item *item)
{
    thew_store_status status = touch_owner(db, studio, item->person);
    return status < 0 ? status : thew_query_put(db, &sql[ITEM_PUT], THEW_KEYS(studio), &item_map, item);
}

thew_store_status thew_store_item_find(thew_db *db, const char *studio, const char *item, thew_rows **rows)
{
    return thew_query_one_for(db, &sql[ITEM_FIND], THEW_KEYS(studio, item), &item_map, rows);
}

thew_store_status thew_store_item_of(thew_db *db, const char *studio, const char *person, thew_rows **rows)
{
    return thew_query_rows_for(db, &sql[ITEM_OF], THEW_KEYS(studio, person), &item_map, rows);
}

thew_store_status thew_store_item_all(thew_db *db, const char *studio, thew_rows **rows)
{
    return thew_query_rows_for(db, &sql[ITEM_ALL], THEW_KEYS(studio), &item_map, rows);
}

thew_store_status thew_store_reading_add(thew_db *db, const char *studio, const thew_store_reading *reading)
{
    g_autoptr(thew_rows) kept = NULL, item = NULL;
    thew_store_status status =
        thew_query_rows_for(db, &sql[READING_FIND], THEW_KEYS(studio, reading->reading), &thew_reading_map, &kept);
    if (status >= 0) status = thew_kept_compare(db, &thew_reading_map, kept, reading, reading->reading);
    if (status != THEW_STORE_OK) return status;
    status = thew_store_item_find(db, studio, reading->item, &item);
    if (status >= 0) status = touch_owner(db, studio, thew_row(item, thew_store_item, 0)->person);
    if (status < 0) return status;

    char seal[THEW_SEAL_TEXT];
    thew_store_reading whole = *reading;
    whole.digest = seal;
    thew_map_seal(&thew_reading_map, &whole, seal);
    thew_query query = thew_query_of(db, &sql[READING_ADD]);
    thew_query_text(&query, studio);
    thew_query_row(&query, &thew_reading_map, &whole);
    return thew_query_run(&query, NULL);
}

thew_store_status thew_store_reading_of(thew_db *db, const char *studio, const char *item, thew_rows **rows)
{
    return thew_query_rows_for(db, &sql[READING_OF], THEW_KEYS(studio, item), &thew_reading_map, rows);
}

thew_store_status thew_store_reading_of_person(thew_db *db, const char *studio, const char *person, thew_rows **rows)
{
    return thew_query_rows_for(db, &sql[READING_OF_PERSON], THEW_KEYS(studio, person), &thew_reading_map, rows);
}
