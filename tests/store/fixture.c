// fixture.c: see fixture.h.
#include "tests/store/fixture.h"

#include <glib/gstdio.h>
#include <math.h>
#include <sqlite3.h>
#include <string.h>
#include <unistd.h>

#include "store/tables.h"

void must_(const thew_db *db, thew_store_status status, const char *file, int line)
{
    if (status == THEW_STORE_OK) return;
    fprintf(stderr, "%s:%d: %s: %s\n", file, line, thew_store_status_sentence(status), db != NULL ? thew_db_sentence(db) : "");
    fail();
}

// --- files

static GStringChunk *names;

int make_folder(void **state)
{
    names = g_string_chunk_new(256);
    // In memory where there is such a place: a process that is killed leaves the same behind, and nobody waits for a disk. TMPDIR,
    // if it is set, says otherwise.
    g_autofree char *in_memory = g_strdup("/dev/shm/thew-store-XXXXXX");
    if (g_getenv("TMPDIR") == NULL && g_access("/dev/shm", W_OK) == 0 && g_mkdtemp(in_memory) != NULL)
        *state = g_steal_pointer(&in_memory);
    else
        *state = g_dir_make_tmp("thew-store-XXXXXX", NULL);
    return *state != NULL ? 0 : -1;
}

int remove_folder(void **state)
{
    char *folder = *state;
    g_autoptr(GDir) dir = g_dir_open(folder, 0, NULL);
    for (const char *name; (name = g_dir_read_name(dir)) != NULL;) {
        g_autofree char *path = g_build_filename(folder, name, NULL);
        g_remove(path);
    }
    g_rmdir(folder);
    g_free(folder);
    g_string_chunk_free(names);
    return 0;
}

const char *in_folder(void **state, const char *name)
{
    g_autofree char *path = g_build_filename(*state, name, NULL);
    return g_string_chunk_insert_const(names, path);
}

thew_db *open_as(const char *path, thew_db_mode mode)
{
    thew_db *db = NULL;
    thew_store_status status = thew_store_open(path, mode, &db);
    must(db, status);
    return db;
}

thew_db *open_store(const char *path)
{
    return open_as(path, THEW_DB_MAKE);
}

thew_db *open_bare(const char *path, thew_db_mode mode)
{
    thew_db *db = NULL;
    thew_store_status status = thew_db_open(path, mode, &db);
    must(db, status);
    return db;
}

// --- a studio with one of everything

static char *id(const char *person, const char *what)
{
    g_autofree char *text = g_strconcat(person, "-", what, NULL);
    return g_string_chunk_insert_const(names, text);
}

void fill_studio(thew_db *db, const char *studio)
{
    must(db, thew_db_begin(db));
    must(db, thew_store_studio_put(db, &(thew_store_studio){ studio, "Invented Studio", "Europe/Vienna", "en", { 1001 } }));
    must(db, thew_store_setting_put(db, studio, &(thew_store_setting){ "heat_limit_c", "27" }));
    must(db, thew_store_account_put(db, studio,
                                    &(thew_store_account){ "coach",
                                                           "coach@example.org",
                                                           "$argon2id$v=19$m=65536,t=2,p=1$c2FsdA$aGFzaA",
                                                           "coach",
                                                           "The Coach",
                                                           NULL,
                                                           { 1002 },
                                                           { 0 } }));
    must(db, thew_store_account_put(
                 db, studio,
                 &(thew_store_account){
                     "helper", "helper@example.org", "$argon2id$h", "helper", "A Helper", NULL, { 2002 }, { 2003 } }));
    must(db, thew_store_device_put(db, studio, &(thew_store_device){ "desk", "coach", NULL, "Desk", { 1003 }, { 1004 } }));
    must(db, thew_store_session_add(db, studio,
                                    &(thew_store_session){ "token-digest", "coach", "desk", { 1005 }, { 1006 }, { 9000001 } }));
    must(db,
         thew_store_invitation_add(db, studio, &(thew_store_invitation){ "link-digest", "coach", { 1007 }, { 9000002 }, { 0 } }));
    must(db,
         thew_store_addition_add(db, studio, &(thew_store_addition){ "movements/own.json", 1, "{\"own\": 1}", { 1008 }, "coach" }));
    must(db, thew_store_class_add(db, studio,
                                  &(thew_store_class){ "monday", 1, "Monday", 45.5, "{\"sets\": []}", false, { 1009 }, "coach" }));
    must(db, thew_store_run_put(
                 db, studio,
                 &(thew_store_run){ "run-1", "monday", 1, { 5000001 }, "K7QF", { 5000002 }, "outdoors", { 1010 }, "coach" }));
    must(db, thew_store_event_add(
                 db, studio, "run-1",
                 &(thew_store_event){ "event-1", { 5000003 }, "start", "{\"lead_s\": 5}", "coach", 0, { 0 }, NULL }, NULL));
    must(db, thew_store_item_put(db, studio,
                                 &(thew_store_item){ .item = "shared-2kg",
                                                     .label = "2 kg",
                                                     .kind = "dumbbell",
                                                     .mass_kg = { true, 2 },
                                                     .note = "",
                                                     .made_us = { 1011 } }));
    must(db, thew_db_commit(db));
}

static void fill_way_in(thew_db *db, const char *studio, const char *person)
{
    const char *account = id(person, "account"), *device = id(person, "phone");
    must(db, thew_store_account_put(
                 db, studio,
                 &(thew_store_account){ account, id(person, "login"), NULL, "participant", person, person, { 2001 }, { 0 } }));
    must(db, thew_store_sight_put(db, studio, &(thew_store_sight){ "helper", person, { 2027, 1, 31 } }));
    must(db, thew_store_device_put(db, studio, &(thew_store_device){ device, account, person, "Phone", { 2004 }, { 2005 } }));
    must(db, thew_store_session_add(
                 db, studio, &(thew_store_session){ id(person, "session"), account, device, { 2006 }, { 2007 }, { 9000003 } }));
}

static void fill_about(thew_db *db, const char *studio, const char *person)
{
    must(db, thew_store_choice_replace(db, studio, person, "goal", PARTS("standing-up", "reaching-overhead")));
    must(db, thew_store_choice_replace(db, studio, person, "caution", PARTS("latex")));
    must(db, thew_store_limit_put(db, studio, person,
                                  &(thew_store_limit){ "movement", "sit-to-stand", "hip in June", { 2026, 9, 1 } }));
    must(db,
         thew_store_answer_add(db, studio, person, &(thew_store_answer){ "fell-past-year", { 2101 }, "yes", "twice", "coach" }));
    must(db, thew_store_item_put(db, studio,
                                 &(thew_store_item){ id(person, "green"),
                                                     person,
                                                     "green",
                                                     "band",
                                                     { false, 0 },
                                                     { true, 1.2 },
                                                     { true, 3 },
                                                     "long one",
                                                     { 2102 },
                                                     { 0, 0, 0 } }));
    must(db, thew_store_reading_add(
                 db, studio,
                 &(thew_store_reading){
                     id(person, "reading"), id(person, "green"), 1.8, 21.5, { 2026, 1, 5 }, "luggage scale", { 2103 }, NULL }));
    must(db, thew_store_block_add(db, studio,
                                  &(thew_store_block){ id(person, "block"),
                                                       1,
                                                       person,
                                                       "Winter",
                                                       { 2026, 1, 5 },
                                                       { 2026, 2, 28 },
                                                       "{\"weeks\": 8}",
                                                       false,
                                                       { 2104 },
                                                       "coach" }));
}

static void fill_records(thew_db *db, const char *studio, const char *person)
{
    const char *set = id(person, "set-1"), *advice = id(person, "advice");
    thew_store_entry entry = { set, person, { 2026, 1, 12 }, { 3001 }, NULL, false, "coach", "desk", "" };
    thew_store_set done = { entry,     "run-1", "seated-row", "seated-row-towel", "left",       "green", "mark-3",
                            "failure", 71.5,    { false, 0 }, { true, 8.5 },      "[[75, 80]]", { 0 } };
    must(db, thew_store_diary_add(db, studio, &done));
    done.entry.record = id(person, "set-2");
    done.entry.replaces = set;
    done.entry.note = "it was the reserve";
    done.ended = "reserve";
    done.reserve_s = (thew_maybe_real){ true, 6 };
    must(db, thew_store_diary_add(db, studio, &done));
    entry.record = id(person, "checkin");
    must(db, thew_store_checkin_add(db, studio,
                                    &(thew_store_checkin){ entry,
                                                           { true, 24.5 },
                                                           { true, 40 },
                                                           { true, 24.1 },
                                                           { true, 3 },
                                                           { true, 7 },
                                                           { true, -.05 },
                                                           "{\"new\": false}",
                                                           "go",
                                                           { 0 } }));
    entry.record = id(person, "outcome");
    must(db, thew_store_outcome_add(
                 db, studio, &(thew_store_outcome){ entry, "five-times sit-to-stand", 14.2, "s", "both", true, "stick", { 0 } }));
    must(db, thew_store_advice_add(db, studio,
                                   &(thew_store_advice){ advice,
                                                         person,
                                                         { 2026, 1, 14 },
                                                         "seated-row",
                                                         "seated-row-towel",
                                                         "left",
                                                         "green",
                                                         "mark-4",
                                                         "green, mark-4",
                                                         .41,
                                                         .02,
                                                         .18,
                                                         .55,
                                                         .25,
                                                         48,
                                                         74,
                                                         (double)INFINITY,
                                                         72.5,
                                                         "up",
                                                         "1.0",
                                                         { 3002 },
                                                         "open",
                                                         { 0 },
                                                         NULL,
                                                         { 0 } }));
    must(db, thew_store_advice_accept(db, studio, advice, (thew_utc){ 3008 }));
    must(db, thew_store_advice_settle(db, studio, advice, "taken", (thew_utc){ 3003 }, id(person, "set-2")));
    must(db, thew_store_override_add(db, studio,
                                     &(thew_store_override){ id(person, "override"),
                                                             advice,
                                                             person,
                                                             "seated-row",
                                                             "green",
                                                             "mark-2",
                                                             "green, mark-2",
                                                             { true, .36 },
                                                             "slept badly",
                                                             { 3004 },
                                                             "coach" }));
    must(db, thew_store_run_person_put(db, studio, "run-1", &(thew_store_run_person){ person, "{\"row\": \"green\"}", { 3005 } }));
    must(db, thew_store_belief_put(db, studio, &(thew_store_belief){ person, "1.0", 9, { 3006 }, { "\0\1\2posterior", 12 } }));
    must(db, thew_store_standing_put(db, studio,
                                     &(thew_store_standing){ .person = person,
                                                             .engine = "1.0",
                                                             .revision = 1,
                                                             .sets = 1,
                                                             .first_day = { 2026, 1, 12 },
                                                             .last_day = { 2026, 1, 13 },
                                                             .last_sets = 2,
                                                             .days = 3,
                                                             .declined = true,
                                                             .symptom_day = { 2026, 1, 14 },
                                                             .symptom_exercise = "seated-row",
                                                             .unrested_day = { 2026, 1, 15 },
                                                             .unrested_exercise = "seated-curl",
                                                             .used_up_exercise = "seated-march",
                                                             .used_up_light = true,
                                                             .nothing_fits = "step-up",
                                                             .earliest_day = { 2026, 1, 16 },
                                                             .screening = "with_care",
                                                             .items = 4,
                                                             .asked_day = { 2026, 1, 17 } }));
    must(db, thew_store_access_add(db, studio,
                                   &(thew_store_access){ id(person, "access"), { 3007 }, "coach", person, "read", "diary" }));
}

void fill_person(thew_db *db, const char *studio, const char *person)
{
    must(db, thew_db_begin(db));
    must(db, thew_store_person_put(db, studio,
                                   &(thew_store_person){ person,
                                                         id(person, "called"),
                                                         "female",
                                                         1961,
                                                         { true, 1.68 },
                                                         { true, 64.5 },
                                                         "ms",
                                                         "reserve",
                                                         "left",
                                                         true,
                                                         "<b>likes mornings</b>",
                                                         { 2025, 11, 3 },
                                                         { 0, 0, 0 },
                                                         { 2100 },
                                                         { 2110 },
                                                         0 }));
    fill_way_in(db, studio, person);
    fill_about(db, studio, person);
    fill_records(db, studio, person);
    must(db, thew_db_commit(db));
}

thew_store_set invented_set(const char *person, char record[40], int number)
{
    static const char *const ended[] = { "failure", "completed", "reserve", "symptom", "other" };
    g_snprintf(record, 40, "%s-%06d", person, number);
    GDate day;
    g_date_clear(&day, 1);
    g_date_set_dmy(&day, 1, 1, 2026);
    g_date_add_days(&day, (guint)(number / 8));
    return (thew_store_set){
        .entry = { .record = record,
                   .person = person,
                   .day = { (gint16)g_date_get_year(&day), (gint8)g_date_get_month(&day), (gint8)g_date_get_day(&day) },
                   .at_us = { 1 + number },
                   .written_by = "coach",
                   .note = "" },
        .exercise = "seated-row",
        .side = "both",
        .implement = "green",
        .setting = "mark-3",
        .ended = ended[number % 5],
        .seconds = 40 + number % 50,
    };
}

// --- a second pair of eyes

static int add_row(void *text, int count, char **value, char **name)
{
    (void)name;
    for (int i = 0; i < count; i++)
        g_string_append_printf(text, "%s%s", i > 0 ? "|" : "", value[i] != NULL ? value[i] : "(null)");
    g_string_append_c(text, '\n');
    return 0;
}

static void ask(const char *path, const char *sql, GString *text)
{
    sqlite3 *handle = NULL;
    char *wrong = NULL;
    assert_int_equal(sqlite3_open_v2(path, &handle, SQLITE_OPEN_READWRITE, NULL), SQLITE_OK);
    sqlite3_busy_timeout(handle, 5000);
    if (sqlite3_exec(handle, sql, add_row, text, &wrong) != SQLITE_OK) {
        fprintf(stderr, "%s\n  %s\n", sql, wrong);
        fail();
    }
    sqlite3_close(handle);
}

char *look(const char *path, const char *sql)
{
    GString *text = g_string_new(NULL);
    ask(path, sql, text);
    return g_string_free(text, FALSE);
}

gint64 look_number(const char *path, const char *sql)
{
    g_autofree char *text = look(path, sql);
    return g_ascii_strtoll(text, NULL, 10);
}

void meddle(const char *path, const char *sql)
{
    g_autofree char *nothing = look(path, sql);
    assert_string_equal(nothing, "");
}

char *dump(const char *path)
{
    GString *all = g_string_new(NULL);
    size_t count;
    const thew_table *table = thew_tables(&count);
    for (size_t i = 0; i < count; i++) {
        if (strcmp(table[i].name, "migration") == 0) continue;
        g_autofree char *columns_of =
            g_strdup_printf("SELECT group_concat('quote(\"' || name || '\")', ' || ''|'' || ') FROM pragma_table_info('%s') "
                            "WHERE name NOT IN ('kept_us', 'revision', 'digest') OR '%s' = 'belief'",
                            table[i].name, table[i].name);
        g_autofree char *columns = look(path, columns_of);
        g_strchomp(columns);
        g_autofree char *rows_of = g_strdup_printf("SELECT '%s', %s FROM \"%s\" ORDER BY 2", table[i].name, columns, table[i].name);
        ask(path, rows_of, all);
    }
    return g_string_free(all, FALSE);
}
