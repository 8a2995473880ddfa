// studio.c: see studio.h.
#include "studio/studio.h"

#include "store/store.h"
#include "store/studio.h"
#include "studio/demand_memo.h"

static thew_store_status make(thew_db *db, const char *called, const char *zone, const char *language, thew_refusal *refusal)
{
    thew_store_status status = thew_db_begin(db);
    if (status < 0) return status;
    g_autoptr(thew_rows) all = NULL;
    status = thew_store_studio_all(db, &all);
    if (status >= 0 && all->row->len > 0) {
        thew_refusal_add(refusal, "", "%s holds a studio already: choose another file", thew_db_path(db));
        status = THEW_STORE_EXISTS;
    }
    g_autofree char *id = thew_studio_identifier();
    if (status >= 0)
        status = thew_store_studio_put(db, &(thew_store_studio){ id, called, zone, language, thew_utc_now() });
    return thew_db_end(db, status);
}

thew_verdict thew_studio_make(const char *path, const char *called, const char *zone, const char *language, thew_refusal *refusal)
{
    g_autoptr(GTimeZone) here = zone ? g_time_zone_new_identifier(zone) : g_time_zone_new_local();
    if (!here) {
        thew_refusal_add(refusal, "/zone", "there is no time zone \"%s\"; \"Europe/Vienna\" would be one", zone);
        return THEW_INVALID;
    }
    g_autoptr(thew_db) db = NULL;
    thew_store_status status = thew_store_open(path, THEW_DB_MAKE, &db);
    if (status >= 0) status = make(db, called, zone ? zone : g_time_zone_get_identifier(here), language, refusal);
    return thew_refusal_is_empty(refusal) ? thew_refuse_store(refusal, db, status) : THEW_CONFLICT;
}

static thew_verdict take_in(thew_studio *studio, const char *path, thew_refusal *refusal)
{
    g_autoptr(thew_rows) all = NULL;
    thew_store_status status = thew_store_studio_all(studio->db, &all);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    if (all->row->len != 1)
        return thew_refuse(refusal, THEW_ABSENT, "%s: holds %s; thew init makes one", path,
                           all->row->len ? "more than one studio" : "no studio");
    const thew_store_studio *row = thew_row(all, thew_store_studio, 0);
    studio->id = g_strdup(row->studio);
    studio->called = g_strdup(row->called);
    studio->zone = g_time_zone_new_identifier(row->zone);
    if (!studio->zone) studio->zone = g_time_zone_new_utc(); // a zone that this machine does not know
    return THEW_DONE;
}

thew_verdict thew_studio_open(const char *path, thew_db_mode mode, const thew_catalogue *catalogue, thew_studio **studio,
                              thew_refusal *refusal)
{
    *studio = NULL;
    g_autoptr(thew_studio) opened = g_new0(thew_studio, 1);
    opened->catalogue = catalogue;
    opened->memo = thew_demand_memo_new();
    thew_store_status status = thew_store_open(path, mode, &opened->db);
    if (status < 0) return thew_refuse_store(refusal, opened->db, status);
    thew_verdict verdict = take_in(opened, path, refusal);
    if (verdict == THEW_DONE) *studio = g_steal_pointer(&opened);
    return verdict;
}

void thew_studio_remember_in(thew_studio *studio, struct thew_demand_memo *memo)
{
    thew_demand_memo *before = studio->memo;
    studio->memo = thew_demand_memo_share(memo);
    thew_demand_memo_free(before);
}

void thew_studio_close(thew_studio *studio)
{
    if (!studio) return;
    thew_db_close(studio->db);
    thew_demand_memo_free(studio->memo);
    g_free(studio->id);
    g_free(studio->called);
    if (studio->zone) g_time_zone_unref(studio->zone);
    g_free(studio);
}

thew_utc thew_studio_now(const thew_studio *studio)
{
    return studio->clock_us.us ? studio->clock_us : thew_utc_now();
}

thew_day thew_studio_day(const thew_studio *studio, thew_utc at)
{
    g_autoptr(GDateTime) utc = g_date_time_new_from_unix_utc(at.us / G_USEC_PER_SEC);
    g_autoptr(GDateTime) local = g_date_time_to_timezone(utc, studio->zone);
    thew_date date = { 0 };
    int year, month, day;
    g_date_time_get_ymd(local, &year, &month, &day);
    date = (thew_date){ (int16_t)year, (int8_t)month, (int8_t)day };
    return thew_date_number(date);
}

thew_day thew_studio_today(const thew_studio *studio)
{
    return thew_studio_day(studio, thew_studio_now(studio));
}

thew_date thew_studio_date(thew_day day)
{
    if (day == THEW_NO_DAY) return (thew_date){ 0 };
    g_autoptr(GDateTime) at = g_date_time_new_from_unix_utc((gint64)day * 24 * 3600);
    int year, month, number;
    g_date_time_get_ymd(at, &year, &month, &number);
    return (thew_date){ (int16_t)year, (int8_t)month, (int8_t)number };
}

thew_day thew_studio_number(thew_date date)
{
    return date.year == 0 ? THEW_NO_DAY : thew_date_number(date);
}

char *thew_studio_identifier(void)
{
    return g_uuid_string_random();
}
