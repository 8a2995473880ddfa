// studio.c: see studio.h.
#include "store/studio.h"

#include "store/statements.h"

#define STUDIO "studio, called, zone, language, made_us"

enum { PUT, FIND, ALL, SET, UNSET, SETTINGS };
static const thew_sql sql[] = {
    [PUT] = { "studio.put", "INSERT INTO studio (" STUDIO ") VALUES ($1, $2, $3, $4, $5) ON CONFLICT (studio) DO UPDATE SET "
                            "called = excluded.called, zone = excluded.zone, language = excluded.language" },
    [FIND] = { "studio.find", "SELECT " STUDIO " FROM studio WHERE studio = $1" },
    [ALL] = { "studio.all", "SELECT " STUDIO " FROM studio ORDER BY studio" },
    [SET] = { "studio_setting.set", "INSERT INTO studio_setting (studio, setting, value) VALUES ($1, $2, $3) "
                                    "ON CONFLICT (studio, setting) DO UPDATE SET value = excluded.value" },
    [UNSET] = { "studio_setting.unset", "DELETE FROM studio_setting WHERE studio = $1 AND setting = $2" },
    [SETTINGS] = { "studio_setting.all", "SELECT setting, value FROM studio_setting WHERE studio = $1 ORDER BY setting" },
};
const thew_sql_list thew_studio_sql = { sql, G_N_ELEMENTS(sql) };

static const thew_field studio_fields[] = {
    THEW_FIELD(thew_store_studio, studio),   THEW_FIELD(thew_store_studio, called),  THEW_FIELD(thew_store_studio, zone),
    THEW_FIELD(thew_store_studio, language), THEW_FIELD(thew_store_studio, made_us),
};
static const thew_map studio_map = THEW_MAP(thew_store_studio, studio_fields, G_N_ELEMENTS(studio_fields));

static const thew_field setting_fields[] = {
    THEW_FIELD(thew_store_setting, setting),
    THEW_FIELD(thew_store_setting, value),
};
static const thew_map setting_map = THEW_MAP(thew_store_setting, setting_fields, G_N_ELEMENTS(setting_fields));

thew_store_status thew_store_studio_put(thew_db *db, const thew_store_studio *studio)
{
    thew_query query = thew_query_of(db, &sql[PUT]);
    thew_query_row(&query, &studio_map, studio);
    return thew_query_run(&query, NULL);
}

thew_store_status thew_store_studio_find(thew_db *db, const char *studio, thew_rows **rows)
{
    return thew_query_one_for(db, &sql[FIND], THEW_KEYS(studio), &studio_map, rows);
}

thew_store_status thew_store_studio_all(thew_db *db, thew_rows **rows)
{
    thew_query query = thew_query_of(db, &sql[ALL]);
    return thew_query_rows(&query, &studio_map, rows);
}

thew_store_status thew_store_setting_put(thew_db *db, const char *studio, const thew_store_setting *setting)
{
    if (setting->value == NULL) return thew_query_run_for(db, &sql[UNSET], THEW_KEYS(studio, setting->setting), NULL);
    return thew_query_put(db, &sql[SET], THEW_KEYS(studio), &setting_map, setting);
}

thew_store_status thew_store_setting_all(thew_db *db, const char *studio, thew_rows **rows)
{
    return thew_query_rows_for(db, &sql[SETTINGS], THEW_KEYS(studio), &setting_map, rows);
}
