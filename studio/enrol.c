// enrol.c: see enrol.h.
#include "studio/enrol.h"

#include <math.h>
#include <string.h>

#include "engine/capacity.h"
#include "store/advice.h"
#include "store/diary.h"
#include "store/standing.h"
#include "studio/admit.h"
#include "studio/check.h"
#include "studio/held.h"

#define REASON_MAX 500 // characters
#define LIST_MAX 200

static const char *const sexes[] = { "female", "male", NULL };
static const char *const conditions[] = { "ms", "none", NULL };
static const char *const endpoints[] = { "failure", "reserve", NULL };
static const char *const sides[] = { "left", "right", NULL };
static const char *const limit_kinds[] = { "movement", "position", NULL };

// --- looking at what is given ----------------------------------------------------------------------------------------------------

static void check_body(const thew_person_change *change, thew_day today, thew_refusal *refusal)
{
    thew_date now = thew_studio_date(today);
    if (change->birth_year != 0) thew_check_number(refusal, "/birth_year", change->birth_year, now.year - 120, now.year - 1, "");
    thew_check_maybe(refusal, "/height_m", change->height_m, .5, 2.5, "metres");
    thew_check_maybe(refusal, "/mass_kg", change->mass_kg, 15, 350, "kilograms");
    thew_check_word(refusal, "/sex", change->sex, sexes, true);
    thew_check_word(refusal, "/condition", change->condition, conditions, true);
    thew_check_word(refusal, "/endpoint", change->endpoint, endpoints, true);
    thew_check_word(refusal, "/weaker_side", change->weaker_side, sides, true);
}

static void check_days(const thew_person_change *change, thew_refusal *refusal)
{
    bool right = thew_check_day(refusal, "/since_day", change->since_day, true);
    right = thew_check_day(refusal, "/left_day", change->left_day, true) && right;
    if (right && change->since_day.year != 0 && change->left_day.year != 0 &&
        thew_date_compare(change->left_day, change->since_day) < 0)
        thew_refusal_add(refusal, "/left_day", "they cannot leave before they came");
}

typedef const void *(*lookup)(const thew_catalogue *catalogue, const char *id);
static const void *find_goal(const thew_catalogue *catalogue, const char *id)
{
    return thew_catalogue_goal(catalogue, id);
}
static const void *find_exercise(const thew_catalogue *catalogue, const char *id)
{
    return thew_catalogue_exercise(catalogue, id);
}

static void check_list(const thew_catalogue *catalogue, const char *const *id, const char *name, const char *what, lookup find,
                       thew_refusal *refusal)
{
    for (guint i = 0; id && id[i]; i++) {
        g_autofree char *pointer = g_strdup_printf("/%s/%u", name, i);
        if (i >= LIST_MAX) {
            thew_refusal_add(refusal, pointer, "at most %d are possible", LIST_MAX);
            return;
        }
        if (!find(catalogue, id[i])) thew_refusal_add(refusal, pointer, "there is no %s \"%s\" in the catalogue", what, id[i]);
        for (guint j = 0; j < i; j++)
            if (strcmp(id[i], id[j]) == 0) thew_refusal_add(refusal, pointer, "\"%s\" stands twice", id[i]);
    }
}

// A movement off limits is an exercise or one of its variants.
static void check_limit_what(const thew_catalogue *catalogue, const thew_store_limit *limit, guint index, thew_refusal *refusal)
{
    static const char *const positions[] = { "seated", "standing", "lying", NULL };
    const char *what = limit->what ? limit->what : "";
    if (strcmp(limit->kind, "position") == 0) {
        if (!g_strv_contains(positions, what))
            thew_refusal_at(refusal, "limits", index, "what", "a position is seated, standing or lying");
    } else if (!thew_catalogue_exercise(catalogue, what) && !thew_catalogue_variant(catalogue, what)) {
        thew_refusal_at(refusal, "limits", index, "what", "there is no exercise or variant \"%s\" in the catalogue", what);
    }
}

static void check_limit(const thew_catalogue *catalogue, const thew_store_limit *limit, guint index, thew_refusal *refusal)
{
    const thew_store_limit *at = &limit[index];
    g_autofree char *kind = g_strdup_printf("/limits/%u/kind", index), *reason = g_strdup_printf("/limits/%u/reason", index),
                    *until = g_strdup_printf("/limits/%u/until_day", index);
    if (thew_check_word(refusal, kind, at->kind, limit_kinds, false)) check_limit_what(catalogue, at, index, refusal);
    thew_check_text(refusal, reason, at->reason, 0, REASON_MAX);
    thew_check_day(refusal, until, at->until_day, true);
    for (guint j = 0; j < index; j++)
        if (g_strcmp0(at->kind, limit[j].kind) == 0 && g_strcmp0(at->what, limit[j].what) == 0)
            thew_refusal_at(refusal, "limits", index, "what", "this limit stands twice");
}

static void check_change(const thew_studio *studio, const thew_person_change *change, thew_refusal *refusal)
{
    thew_check_text(refusal, "/called", change->called, 1, THEW_NAME_MAX);
    check_body(change, thew_studio_today(studio), refusal);
    thew_check_text(refusal, "/note", change->note, 0, THEW_NOTE_MAX);
    check_days(change, refusal);
    check_list(studio->catalogue, change->goal, "goals", "goal", find_goal, refusal);
    check_list(studio->catalogue, change->exercise, "exercises", "exercise", find_exercise, refusal);
    for (guint i = 0; i < change->limit_count; i++)
        check_limit(studio->catalogue, change->limit, i, refusal);
}

// Two people called the same would be mistaken for one another on every list, and one's load handed to the other.
static thew_store_status check_called(thew_studio *studio, const char *person, const char *called, thew_refusal *refusal)
{
    g_autoptr(thew_rows) all = NULL;
    g_autofree char *wanted = g_utf8_casefold(called, -1);
    thew_store_status status = thew_store_person_all(studio->db, studio->id, &all);
    for (guint i = 0; status >= 0 && i < all->row->len; i++) {
        const thew_store_person *other = thew_row(all, thew_store_person, i);
        g_autofree char *theirs = g_utf8_casefold(other->called, -1);
        if (strcmp(other->person, person) != 0 && other->left_day.year == 0 && strcmp(theirs, wanted) == 0)
            thew_refusal_add(refusal, "/called",
                             "somebody is called \"%s\" already; add an initial, so that nobody is mistaken for them",
                             other->called);
    }
    return status;
}

// --- keeping ---------------------------------------------------------------------------------------------------------------------

static const char *const no_list[] = { NULL };

static thew_store_person row_of(const thew_studio *studio, const char *person, const thew_person_change *change)
{
    thew_utc now = thew_studio_now(studio);
    return (thew_store_person){ .person = person,
                                .called = change->called,
                                .sex = change->sex,
                                .birth_year = change->birth_year,
                                .height_m = change->height_m,
                                .mass_kg = change->mass_kg,
                                .condition = change->condition,
                                .endpoint = change->endpoint,
                                .weaker_side = change->weaker_side,
                                .heat_sensitive = change->heat_sensitive,
                                .note = change->note ? change->note : "",
                                .since_day = change->since_day,
                                .left_day = change->left_day,
                                .made_us = now,
                                .changed_us = now };
}

static thew_store_status put_limits(thew_studio *studio, const char *person, const thew_person_change *change)
{
    g_autoptr(thew_rows) before = NULL;
    thew_store_status status = thew_store_limit_all(studio->db, studio->id, person, &before);
    for (guint i = 0; status >= 0 && i < before->row->len; i++) {
        const thew_store_limit *limit = thew_row(before, thew_store_limit, i);
        status = thew_store_limit_lift(studio->db, studio->id, person, limit->kind, limit->what);
    }
    for (guint i = 0; status >= 0 && i < change->limit_count; i++) {
        thew_store_limit limit = change->limit[i];
        if (!limit.reason) limit.reason = "";
        status = thew_store_limit_put(studio->db, studio->id, person, &limit);
    }
    return status;
}

static thew_store_status put(thew_studio *studio, const char *person, const thew_person_change *change)
{
    thew_store_person row = row_of(studio, person, change);
    thew_store_status status = thew_store_person_put(studio->db, studio->id, &row);
    if (status >= 0)
        status = thew_store_choice_replace(studio->db, studio->id, person, "goal", change->goal ? change->goal : no_list);
    if (status >= 0)
        status =
            thew_store_choice_replace(studio->db, studio->id, person, "exercise", change->exercise ? change->exercise : no_list);
    return status < 0 ? status : put_limits(studio, person, change);
}

static bool same_list(const char *const *a, const char *const *b)
{
    return g_strv_equal(a ? a : no_list, b ? b : no_list);
}

static bool same_maybe(thew_maybe_real a, thew_maybe_real b)
{
    return a.known == b.known && (!a.known || a.value == b.value);
}

static bool same_limits(const thew_person_change *a, const thew_person_change *b)
{
    if (a->limit_count != b->limit_count) return false;
    guint found = 0;
    for (guint i = 0; i < a->limit_count; i++)
        for (guint j = 0; j < b->limit_count; j++)
            found += strcmp(a->limit[i].kind, b->limit[j].kind) == 0 && strcmp(a->limit[i].what, b->limit[j].what) == 0 &&
                     strcmp(a->limit[i].reason ? a->limit[i].reason : "", b->limit[j].reason ? b->limit[j].reason : "") == 0 &&
                     thew_date_compare(a->limit[i].until_day, b->limit[j].until_day) == 0;
    return found == a->limit_count; // each stands once in each
}

static bool is_same(const thew_person_change *a, const thew_person_change *b)
{
    return strcmp(a->called, b->called) == 0 && g_strcmp0(a->sex, b->sex) == 0 && a->birth_year == b->birth_year &&
           same_maybe(a->height_m, b->height_m) && same_maybe(a->mass_kg, b->mass_kg) &&
           g_strcmp0(a->condition, b->condition) == 0 && g_strcmp0(a->endpoint, b->endpoint) == 0 &&
           g_strcmp0(a->weaker_side, b->weaker_side) == 0 && a->heat_sensitive == b->heat_sensitive &&
           strcmp(a->note ? a->note : "", b->note ? b->note : "") == 0 && thew_date_compare(a->since_day, b->since_day) == 0 &&
           thew_date_compare(a->left_day, b->left_day) == 0 && same_list(a->goal, b->goal) && same_list(a->exercise, b->exercise) &&
           same_limits(a, b);
}

// --- one person ------------------------------------------------------------------------------------------------------------------

void thew_person_whole_free(thew_person_whole *person)
{
    if (!person) return;
    g_array_unref(person->caution);
    thew_screening_free(person->screening);
    g_ptr_array_unref(person->held);
    g_free(person);
}

static const char *const *list_of(thew_person_whole *whole, const thew_rows *choices, const char *list)
{
    GPtrArray *what = g_ptr_array_new();
    for (guint i = 0; i < choices->row->len; i++) {
        const thew_store_choice *choice = thew_row(choices, thew_store_choice, i);
        if (strcmp(choice->list, list) == 0) g_ptr_array_add(what, (char *)choice->what);
    }
    g_ptr_array_add(what, NULL);
    const char *const *names = (const char *const *)g_ptr_array_free(what, FALSE);
    return thew_hold(whole->held, (gpointer)names, g_free);
}

static void take_cautions(thew_person_whole *whole, const thew_catalogue *catalogue, const thew_rows *choices)
{
    size_t count;
    const thew_caution *const *known = thew_catalogue_cautions(catalogue, &count);
    for (guint i = 0; i < choices->row->len; i++) {
        const thew_store_choice *choice = thew_row(choices, thew_store_choice, i);
        if (strcmp(choice->list, "caution") != 0) continue;
        thew_person_caution caution = { choice->what, choice->what }; // better its name than silence
        for (size_t c = 0; c < count; c++)
            if (strcmp(known[c]->id, choice->what) == 0) caution.words = known[c]->words;
        g_array_append_val(whole->caution, caution);
    }
}

static void take_row(thew_person_whole *whole, const thew_store_person *row)
{
    whole->person = row->person;
    whole->made_us = row->made_us;
    whole->changed_us = row->changed_us;
    whole->known = (thew_person_change){ .called = row->called,
                                         .sex = row->sex,
                                         .birth_year = row->birth_year,
                                         .height_m = row->height_m,
                                         .mass_kg = row->mass_kg,
                                         .condition = row->condition,
                                         .endpoint = row->endpoint,
                                         .weaker_side = row->weaker_side,
                                         .heat_sensitive = row->heat_sensitive,
                                         .note = row->note,
                                         .since_day = row->since_day,
                                         .left_day = row->left_day };
}

static thew_store_status read_known(thew_studio *studio, const char *person, thew_person_whole *whole)
{
    thew_rows *rows = NULL, *choices = NULL, *limits = NULL;
    thew_store_status status = thew_store_person_find(studio->db, studio->id, person, &rows);
    thew_hold(whole->held, rows, (GDestroyNotify)thew_rows_free);
    if (status >= 0) status = thew_store_choice_all(studio->db, studio->id, person, &choices);
    thew_hold(whole->held, choices, (GDestroyNotify)thew_rows_free);
    if (status >= 0) status = thew_store_limit_all(studio->db, studio->id, person, &limits);
    thew_hold(whole->held, limits, (GDestroyNotify)thew_rows_free);
    if (status < 0) return status;
    take_row(whole, thew_row(rows, thew_store_person, 0));
    whole->known.goal = list_of(whole, choices, "goal");
    whole->known.exercise = list_of(whole, choices, "exercise");
    whole->known.limit = (const thew_store_limit *)(void *)limits->row->data;
    whole->known.limit_count = limits->row->len;
    take_cautions(whole, studio->catalogue, choices);
    return status;
}

static thew_person_whole *whole_new(void)
{
    thew_person_whole *whole = g_new0(thew_person_whole, 1);
    whole->held = thew_held_new();
    whole->caution = g_array_new(FALSE, FALSE, sizeof(thew_person_caution));
    whole->standing = (thew_standing_brief){ .last_day = THEW_NO_DAY, .earliest = THEW_NO_DAY };
    return whole;
}

static thew_store_status read_whole(thew_studio *studio, const char *person, thew_person_whole *whole)
{
    g_autoptr(GHashTable) standing = NULL;
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    thew_store_status status = read_known(studio, person, whole);
    if (status >= 0) status = thew_enrol_standings(studio, person, &standing);
    const thew_standing_brief *found = status >= 0 ? g_hash_table_lookup(standing, person) : NULL;
    if (found) whole->standing = *found;
    if (status >= 0 && thew_screen_read(studio, person, &whole->screening, refusal) != THEW_DONE) status = THEW_STORE_BUG;
    return status;
}

thew_verdict thew_enrol_read(thew_studio *studio, const char *person, thew_person_whole **whole, thew_refusal *refusal)
{
    *whole = NULL;
    g_autoptr(thew_person_whole) read = whole_new();
    thew_store_status status = thew_db_begin_reading(studio->db);
    if (status >= 0) status = thew_db_end(studio->db, read_whole(studio, person, read));
    thew_verdict verdict = thew_refuse_store(refusal, studio->db, status);
    if (verdict == THEW_DONE) *whole = g_steal_pointer(&read);
    return verdict;
}

// --- taking on, changing ---------------------------------------------------------------------------------------------------------

static thew_verdict enrol_within(thew_studio *studio, const char *person, const thew_person_change *change, thew_refusal *refusal)
{
    g_autoptr(thew_person_whole) there = whole_new();
    thew_store_status status = read_known(studio, person, there);
    if (status >= 0)
        return is_same(&there->known, change)
                   ? THEW_DONE_BEFORE
                   : thew_refuse(refusal, THEW_CONFLICT, "somebody of the identifier \"%s\" is here already", person);
    if (status == THEW_STORE_NOT_FOUND) status = check_called(studio, person, change->called, refusal);
    if (!thew_refusal_is_empty(refusal)) return THEW_INVALID;
    if (status >= 0) status = put(studio, person, change);
    return thew_refuse_store(refusal, studio->db, status);
}

// Screening has the last word on how sets end; a clinician has it on screening.
static void check_endpoint(const thew_screening *screening, thew_person_change *change, thew_refusal *refusal)
{
    if (!screening->reserve_forced) return;
    if (g_strcmp0(change->endpoint, "failure") == 0)
        thew_refusal_add(refusal, "/endpoint",
                         "screening asks for sets that end in reserve; the answers behind it would have to change first");
    else
        change->endpoint = "reserve";
}

static thew_verdict change_within(thew_studio *studio, const char *person, const thew_person_change *change, thew_refusal *refusal)
{
    g_autoptr(thew_person_whole) there = whole_new();
    g_autoptr(thew_screening) screening = NULL;
    thew_person_change wanted = *change;
    thew_store_status status = read_known(studio, person, there);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    thew_verdict verdict = thew_screen_read(studio, person, &screening, refusal);
    if (verdict != THEW_DONE) return verdict;
    check_endpoint(screening, &wanted, refusal);
    status = check_called(studio, person, change->called, refusal);
    if (!thew_refusal_is_empty(refusal)) return THEW_INVALID;
    if (is_same(&there->known, &wanted)) return THEW_DONE_BEFORE;
    if (status >= 0) status = put(studio, person, &wanted);
    return thew_refuse_store(refusal, studio->db, status);
}

// One transaction around a step; nothing is kept unless it is THEW_DONE.
static thew_verdict in_transaction(thew_studio *studio, const thew_actor *actor, const char *person,
                                   const thew_person_change *change, const char *done,
                                   thew_verdict (*step)(thew_studio *, const char *, const thew_person_change *, thew_refusal *),
                                   thew_refusal *refusal)
{
    thew_check_identifier(refusal, "/person", person);
    check_change(studio, change, refusal);
    if (!thew_refusal_is_empty(refusal)) return THEW_INVALID;
    thew_store_status status = thew_db_begin(studio->db);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    thew_verdict verdict = step(studio, person, change, refusal);
    if (verdict != THEW_DONE) {
        thew_db_rollback(studio->db);
        return verdict;
    }
    thew_store_status noted = thew_note_access_within(studio, actor, person, done, "");
    return thew_refuse_store(refusal, studio->db, thew_db_end(studio->db, noted));
}

thew_verdict thew_enrol(thew_studio *studio, const thew_actor *actor, const char *person, const thew_person_change *change,
                        thew_refusal *refusal)
{
    return in_transaction(studio, actor, person, change, "take on", enrol_within, refusal);
}

thew_verdict thew_enrol_change(thew_studio *studio, const thew_actor *actor, const char *person, const thew_person_change *change,
                               thew_refusal *refusal)
{
    return in_transaction(studio, actor, person, change, "change", change_within, refusal);
}

// --- everybody -------------------------------------------------------------------------------------------------------------------

void thew_people_free(thew_people *people)
{
    if (!people) return;
    g_array_unref(people->brief);
    thew_rows_free(people->rows);
    g_free(people);
}

static thew_standing_brief *standing_of(GHashTable *standing, const char *person)
{
    thew_standing_brief *brief = g_hash_table_lookup(standing, person);
    if (brief) return brief;
    brief = g_new(thew_standing_brief, 1);
    *brief = (thew_standing_brief){ .last_day = THEW_NO_DAY, .earliest = THEW_NO_DAY };
    g_hash_table_insert(standing, g_strdup(person), brief);
    return brief;
}

// The diary itself tells what happened.
static thew_store_status take_diary(thew_studio *studio, const char *person, GHashTable *standing)
{
    g_autoptr(thew_rows) sets = NULL;
    thew_store_status status = thew_store_diary_current(studio->db, studio->id, person, (thew_date){ 0 }, (thew_date){ 0 }, &sets);
    if (status < 0 || sets->row->len == 0) return status;
    thew_standing_brief *brief = standing_of(standing, person);
    brief->sets = (int)sets->row->len;
    brief->last_day = thew_studio_number(thew_row(sets, thew_store_set, sets->row->len - 1)->entry.day);
    return status;
}

// What is kept beside the diary; of somebody whose standing is behind, what was estimated last still tells most, and the rest is
// counted.
static thew_store_status take_kept(thew_studio *studio, const thew_store_standing *kept, bool current, GHashTable *standing)
{
    thew_standing_brief *brief = standing_of(standing, kept->person);
    brief->declined = kept->declined;
    brief->earliest = thew_studio_number(kept->earliest_day);
    if (!current) return take_diary(studio, kept->person, standing);
    brief->sets = kept->sets;
    brief->last_day = thew_studio_number(kept->last_day);
    return THEW_STORE_OK;
}

static thew_store_status take_one(thew_studio *studio, const char *person, GHashTable *standing)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status = thew_store_standing_find(studio->db, studio->id, person, &rows);
    if (status == THEW_STORE_NOT_FOUND) return take_diary(studio, person, standing);
    return status < 0 ? status : take_kept(studio, thew_row(rows, thew_store_standing, 0), false, standing);
}

static thew_store_status take_all(thew_studio *studio, GHashTable *standing)
{
    g_autoptr(thew_rows) overview = NULL, people = NULL;
    thew_store_status status = thew_store_overview_all(studio->db, studio->id, THEW_ENGINE_VERSION, &overview);
    for (guint i = 0; status >= 0 && i < overview->row->len; i++) {
        const thew_store_overview *at = thew_row(overview, thew_store_overview, i);
        status = take_kept(studio, &at->standing, at->current, standing);
    }
    if (status >= 0) status = thew_store_person_all(studio->db, studio->id, &people);
    for (guint i = 0; status >= 0 && i < people->row->len; i++) { // those who left
        const thew_store_person *person = thew_row(people, thew_store_person, i);
        if (!g_hash_table_contains(standing, person->person)) status = take_one(studio, person->person, standing);
    }
    return status;
}

static thew_store_status take_waiting(thew_studio *studio, const char *person, GHashTable *standing)
{
    g_autoptr(thew_rows) rows = NULL;
    thew_store_status status = thew_store_waiting(studio->db, studio->id, thew_studio_date(thew_studio_today(studio)), &rows);
    for (guint i = 0; status >= 0 && i < rows->row->len; i++) {
        const thew_store_count *waiting = thew_row(rows, thew_store_count, i);
        if (!person || strcmp(person, waiting->person) == 0) standing_of(standing, waiting->person)->waiting = waiting->count;
    }
    return status;
}

thew_store_status thew_enrol_standings(thew_studio *studio, const char *person, GHashTable **standing)
{
    *standing = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, g_free);
    thew_store_status status = person ? take_one(studio, person, *standing) : take_all(studio, *standing);
    return status < 0 ? status : take_waiting(studio, person, *standing);
}

static thew_store_status read_brief(thew_studio *studio, const thew_store_person *row, GHashTable *standing, GArray *into)
{
    g_autoptr(thew_screening) screening = NULL;
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    if (thew_screen_read(studio, row->person, &screening, refusal) != THEW_DONE) return THEW_STORE_BUG;
    const thew_standing_brief *found = g_hash_table_lookup(standing, row->person);
    thew_person_brief brief = { .person = row->person,
                                .called = row->called,
                                .since_day = row->since_day,
                                .left_day = row->left_day,
                                .endpoint = row->endpoint,
                                .screened = screening->missing->len == 0,
                                .standing = { .last_day = THEW_NO_DAY, .earliest = THEW_NO_DAY } };
    if (found) brief.standing = *found;
    g_array_append_val(into, brief);
    return THEW_STORE_OK;
}

static thew_store_status read_people(thew_studio *studio, thew_people *people)
{
    g_autoptr(GHashTable) standing = NULL;
    thew_store_status status = thew_store_person_all(studio->db, studio->id, &people->rows);
    if (status >= 0) status = thew_enrol_standings(studio, NULL, &standing);
    for (guint i = 0; status >= 0 && i < people->rows->row->len; i++)
        status = read_brief(studio, thew_row(people->rows, thew_store_person, i), standing, people->brief);
    return status;
}

thew_verdict thew_enrol_list(thew_studio *studio, thew_people **people, thew_refusal *refusal)
{
    *people = NULL;
    g_autoptr(thew_people) read = g_new0(thew_people, 1);
    read->brief = g_array_new(FALSE, FALSE, sizeof(thew_person_brief));
    thew_store_status status = thew_db_begin_reading(studio->db);
    if (status >= 0) status = thew_db_end(studio->db, read_people(studio, read));
    thew_verdict verdict = thew_refuse_store(refusal, studio->db, status);
    if (verdict == THEW_DONE) *people = g_steal_pointer(&read);
    return verdict;
}
