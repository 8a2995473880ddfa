// stream.c: `thew stream`: questions in, answers out, one JSON object a line.
// Knows the lines and keeps people, exercises, ladders and diaries in memory while it runs. Leaves to others: fields (field.h), the
// belief and the choice (engine), sentences (studio/words.h).
#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/command.h"
#include "cli/field.h"
#include "cli/stream.h"
#include "engine/advice.h"
#include "engine/prior.h"
#include "studio/advise.h"
#include "studio/words.h"

#define RUNGS_MAX THEW_RUNGS_MAX
#define LINE_BYTES_MAX (1 << 20)
#define LONGEST_S 3600.0 // no set is recorded beyond; longer predictions are given as this

// --- What was told so far --------------------------------------------------------------------------------------------------------

typedef struct {
    char *id;
    thew_task task;
    GHashTable *rung_key; // id of a rung to its key: 1, 2, ... as they come up, so that no two ids share one
} exercise;

typedef struct {
    char *id;
    thew_rung rung;
} named_rung;

typedef struct {
    const exercise *exercise;
    thew_side side;
    GArray *rung; // named_rung
} ladder;

typedef struct {
    const exercise *exercise;
    thew_side side;
    char *rung_id;
    thew_set set; // its track is filled in when the diary is played
} record;

typedef struct {
    char *id;
    bool size_known;     // sex, age, height and mass: demand is then a share of what such a person can do, else less sure
    thew_condition condition;
    GPtrArray *ladder;   // owned
    GArray *record;      // in order of day, then of arrival
    GArray *checkin;     // thew_checkin, in order of day
    // The belief after the first `played` records; stale: play the diary anew.
    bool stale;
    guint played, checked_in;
    GPtrArray *task;     // exercise, as in the profile's tasks
    thew_profile profile;
    thew_capacity capacity;
} person;

typedef struct {
    GHashTable *person, *exercise; // by id; owned
} studio;

static void exercise_free(void *at)
{
    exercise *e = at;
    g_hash_table_unref(e->rung_key);
    g_free(e->id);
    g_free(e);
}

static void rung_clear(void *at) { g_free(((named_rung *)at)->id); }
static void record_clear(void *at) { g_free(((record *)at)->rung_id); }

static void ladder_free(void *at)
{
    ladder *l = at;
    g_array_free(l->rung, TRUE);
    g_free(l);
}

static void person_free(void *at)
{
    person *p = at;
    g_free(p->id);
    g_ptr_array_free(p->ladder, TRUE);
    g_ptr_array_free(p->task, TRUE);
    g_array_free(p->record, TRUE);
    g_array_free(p->checkin, TRUE);
    g_free(p);
}

static ladder *ladder_for(const person *p, const exercise *e, thew_side side)
{
    for (guint i = 0; i < p->ladder->len; i++) {
        ladder *l = p->ladder->pdata[i];
        if (l->exercise == e && l->side == side)
            return l;
    }
    return NULL;
}

// The ladder of a side, or else the one given for both.
static ladder *ladder_of(const person *p, const exercise *e, thew_side side)
{
    ladder *own = ladder_for(p, e, side);
    return own ? own : ladder_for(p, e, THEW_BOTH);
}

// --- The belief ------------------------------------------------------------------------------------------------------------------

static void start_profile(person *p)
{
    thew_profile_start(p->condition, &p->profile);
    g_ptr_array_set_size(p->task, 0);
    p->stale = true;
}

static int task_index(const person *p, const exercise *e)
{
    guint index;
    return g_ptr_array_find(p->task, e, &index) ? (int)index : -1;
}

// The track of an exercise and side, made if need be (then the diary has to be played anew).
//   returns   -1 if there is no room for more
static int track_of(person *p, const exercise *e, thew_side side)
{
    int task = task_index(p, e);
    int track = task < 0 ? -1 : thew_profile_track(&p->profile, task, side);
    if (track >= 0)
        return track;
    if (p->profile.track_count == THEW_TRACKS_MAX)
        return -1;
    if (task < 0) {
        task = thew_profile_add_task(&p->profile, e->task);
        g_ptr_array_add(p->task, (void *)e);
    }
    p->stale = true;
    return thew_profile_add_track(&p->profile, task, side, thew_prior_capacity_of_joint(p->condition, e->task.joint, p->size_known ? 0 : .1));
}

static const record *record_at(const person *p, guint i) { return &g_array_index(p->record, record, i); }
static const thew_checkin *checkin_at(const person *p, guint i) { return &g_array_index(p->checkin, thew_checkin, i); }

// Before going on to a day: what lies too far back is forgotten.
static void forget(const person *p, thew_capacity *capacity, thew_day day)
{
    if (!thew_advise_is_forgotten(capacity->day, day))
        return;
    thew_status status = thew_capacity_start(&p->profile, capacity);
    g_assert(status >= 0);
}

// Take in check-ins up to a day, the day included.
static void check_in(const person *p, thew_capacity *capacity, guint *checked_in, thew_day until)
{
    while (*checked_in < p->checkin->len && checkin_at(p, *checked_in)->day <= until) {
        const thew_checkin *checkin = checkin_at(p, (*checked_in)++);
        forget(p, capacity, checkin->day);
        thew_status status = thew_capacity_go_to(&p->profile, capacity, checkin->day, &checkin->conditions);
        g_assert(status >= 0); // days come in order, numbers were checked
    }
}

static void take_in(person *p, thew_capacity *capacity, guint *checked_in, const record *r)
{
    check_in(p, capacity, checked_in, r->set.day);
    forget(p, capacity, r->set.day);
    thew_set set = r->set;
    set.track = track_of(p, r->exercise, r->side);
    thew_status status = set.track >= 0 ? thew_capacity_record(&p->profile, capacity, &set) : THEW_OK;
    g_assert(status >= 0);
}

static void play_anew(person *p)
{
    for (guint i = 0; i < p->record->len; i++) // all tracks first: making one later would start over
        track_of(p, record_at(p, i)->exercise, record_at(p, i)->side);
    thew_status status = thew_capacity_start(&p->profile, &p->capacity);
    g_assert(status >= 0);
    p->played = p->checked_in = 0;
    p->stale = false;
}

// Bring the belief up to all records.
static void bring_up(person *p)
{
    if (p->stale)
        play_anew(p);
    while (p->played < p->record->len)
        take_in(p, &p->capacity, &p->checked_in, record_at(p, p->played++));
}

// The belief as of a day, that day's check-in and sets included.
static void belief_on(person *p, thew_day day, thew_capacity *capacity)
{
    bring_up(p);
    guint checked_in = p->checked_in;
    bool later = p->record->len > 0 && record_at(p, p->record->len - 1)->set.day > day;
    if (!later && (p->capacity.day == THEW_NO_DAY || p->capacity.day <= day)) {
        *capacity = p->capacity;
    } else { // looking back: only what was known then
        thew_status status = thew_capacity_start(&p->profile, capacity);
        g_assert(status >= 0);
        checked_in = 0;
        for (guint i = 0; i < p->record->len && record_at(p, i)->set.day <= day; i++)
            take_in(p, capacity, &checked_in, record_at(p, i));
    }
    check_in(p, capacity, &checked_in, day);
    forget(p, capacity, day);
}

// --- Lines in --------------------------------------------------------------------------------------------------------------------

static const char *const sides[] = { "both", "left", "right", NULL };
static const char *const endings[] = { "failure", "completed", "reserve", "symptom", "other", NULL };

static person *known_person(studio *s, thew_fields *f)
{
    const char *id = thew_fields_id(f, "person", true);
    person *p = id ? g_hash_table_lookup(s->person, id) : NULL;
    if (id && !p)
        thew_fields_fault(f, "person", json_object_get(f->object, "person"), "must be a person told before");
    return p;
}

static exercise *known_exercise(studio *s, thew_fields *f)
{
    const char *id = thew_fields_id(f, "exercise", true);
    exercise *e = id ? g_hash_table_lookup(s->exercise, id) : NULL;
    if (id && !e)
        thew_fields_fault(f, "exercise", json_object_get(f->object, "exercise"), "must be an exercise told before");
    return e;
}

static void take_person(studio *s, thew_fields *f)
{
    static const char *const sexes[] = { "female", "male", NULL }, *const conditions[] = { "none", "ms", NULL },
                            *const endpoints[] = { "failure", "reserve", NULL };
    const char *id = thew_fields_id(f, "id", true);
    int sex = thew_fields_choice(f, "sex", false, sexes, -1);
    double birth_year = thew_fields_number(f, "birth_year", false, "a year", 1880, 2100, 0);
    double height_m = thew_fields_number(f, "height_m", false, "a height in metres", .5, 2.5, 0);
    double mass_kg = thew_fields_number(f, "mass_kg", false, "a mass in kilograms", 15, 350, 0);
    int condition = thew_fields_choice(f, "condition", false, conditions, 0);
    thew_fields_choice(f, "endpoint", false, endpoints, 0); // how sets are meant to end: each set says how it did
    if (!thew_fields_end(f))
        return;
    person *p = g_hash_table_lookup(s->person, id);
    if (!p) {
        p = g_new0(person, 1);
        p->id = g_strdup(id);
        p->ladder = g_ptr_array_new_with_free_func(ladder_free);
        p->task = g_ptr_array_new();
        p->record = g_array_new(FALSE, FALSE, sizeof(record));
        g_array_set_clear_func(p->record, record_clear);
        p->checkin = g_array_new(FALSE, FALSE, sizeof(thew_checkin));
        g_hash_table_insert(s->person, p->id, p);
    }
    p->size_known = sex >= 0 && birth_year > 0 && height_m > 0 && mass_kg > 0;
    p->condition = condition == 1 ? THEW_CONDITION_MS : THEW_CONDITION_NONE;
    start_profile(p);
}

static void take_window(thew_fields *f, thew_task *task)
{
    double window[2];
    if (thew_fields_numbers(f, "window_s", " of seconds", 1, LONGEST_S, 2, window)) {
        if (window[0] >= window[1])
            thew_fields_fault(f, "window_s", json_object_get(f->object, "window_s"), "must open before it closes");
        task->window_from_s = window[0];
        task->window_to_s = window[1];
    }
    task->floor_s = thew_fields_number(f, "floor_s", false, "a number of seconds", 0, task->window_from_s, MIN(30, task->window_from_s));
}

static void take_tempo(thew_fields *f, thew_task *task)
{
    static const char *const starts[] = { "lowering", "lifting", NULL };
    double tempo[4];
    bool told = thew_fields_numbers(f, "tempo_s", " of seconds", 0, 60, 4, tempo);
    task->starts_lifting = thew_fields_choice(f, "starts", false, starts, 0) == 1;
    if (!told || task->kind == THEW_HOLD || thew_fields_failed(f))
        return;
    if (tempo[2] <= 0)
        thew_fields_fault(f, "tempo_s", json_object_get(f->object, "tempo_s"), "must have a lifting phase (the third number) above 0");
    task->tempo = (thew_tempo){ tempo[0], tempo[1], tempo[2], tempo[3] };
}

static void forget_beliefs(studio *s)
{
    GHashTableIter iter;
    void *p;
    g_hash_table_iter_init(&iter, s->person);
    while (g_hash_table_iter_next(&iter, NULL, &p))
        start_profile(p);
}

static void take_exercise(studio *s, thew_fields *f)
{
    static const char *const joints[] = { "shoulder", "elbow", "trunk", "hip", "knee", "ankle", "grip", NULL };
    static const char *const kinds[] = { "repetitions", "hold", NULL };
    const char *id = thew_fields_id(f, "id", true);
    int joint = thew_fields_choice(f, "prime_joint", true, joints, 0);
    int kind = thew_fields_choice(f, "kind", true, kinds, 0);
    thew_task task = thew_task_default((thew_joint)joint, kind == 1 ? THEW_HOLD : THEW_REPETITIONS);
    take_window(f, &task);
    take_tempo(f, &task);
    if (!thew_fields_end(f))
        return;
    exercise *e = g_hash_table_lookup(s->exercise, id);
    if (e) {
        e->task = task;
        forget_beliefs(s);
        return;
    }
    e = g_new0(exercise, 1);
    *e = (exercise){ .id = g_strdup(id), .task = task, .rung_key = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL) };
    g_hash_table_insert(s->exercise, e->id, e);
}

static unsigned key_of(const exercise *e, const char *id)
{
    unsigned key = GPOINTER_TO_UINT(g_hash_table_lookup(e->rung_key, id));
    if (key > 0)
        return key;
    key = g_hash_table_size(e->rung_key) + 1;
    g_hash_table_insert(e->rung_key, g_strdup(id), GUINT_TO_POINTER(key));
    return key;
}

// One rung; the fault of a rung is the ladder's, at "rungs[3].demand".
static bool take_rung(thew_fields *f, const exercise *e, size_t index, const json_t *value, named_rung *out)
{
    thew_fields rung = thew_fields_of("rung", value);
    const char *id = thew_fields_id(&rung, "id", true);
    double demand = thew_fields_number(&rung, "demand", true, "a share of the reference strength", 1e-4, 20, 1);
    double mean_share = thew_fields_number(&rung, "mean_share", true, "a share", .01, 1, 1);
    if (!thew_fields_end(&rung)) {
        const char *point = strchr(rung.at, '.');
        g_autofree char *key = g_strdup_printf("rungs[%zu]%s", index, point ? point : "");
        thew_fields_fault(f, key, rung.got, "%s", rung.what);
        return false;
    }
    *out = (named_rung){ .id = g_strdup(id), .rung = { .peak_share = demand, .mean_share = mean_share, .key = key_of(e, id) } };
    return true;
}

static const named_rung *rung_named(const ladder *l, const char *id)
{
    for (guint r = 0; r < l->rung->len; r++)
        if (strcmp(g_array_index(l->rung, named_rung, r).id, id) == 0)
            return &g_array_index(l->rung, named_rung, r);
    return NULL;
}

static void fault_no_room(thew_fields *f)
{
    thew_fields_fault(f, "exercise", json_object_get(f->object, "exercise"), "is one too many: a person has at most %d exercises and sides",
                      THEW_TRACKS_MAX);
}

static void take_rungs(thew_fields *f, const json_t *rungs, ladder *l)
{
    size_t count = json_array_size(rungs);
    if (count < 1 || count > RUNGS_MAX)
        thew_fields_fault(f, "rungs", rungs, "must have 1 to %d rungs", RUNGS_MAX);
    for (size_t r = 0; r < count && !thew_fields_failed(f); r++) {
        named_rung rung;
        if (!take_rung(f, l->exercise, r, json_array_get(rungs, r), &rung))
            return;
        if (rung_named(l, rung.id))
            thew_fields_fault(f, "rungs", json_array_get(rungs, r), "must have each id once");
        g_array_append_val(l->rung, rung);
    }
}

static void take_ladder(studio *s, thew_fields *f)
{
    person *p = known_person(s, f);
    exercise *e = known_exercise(s, f);
    thew_side side = (thew_side)thew_fields_choice(f, "side", false, sides, THEW_BOTH);
    const json_t *rungs = thew_fields_array(f, "rungs", true);
    if (!thew_fields_end(f))
        return;
    ladder *l = g_new0(ladder, 1);
    *l = (ladder){ .exercise = e, .side = side, .rung = g_array_new(FALSE, FALSE, sizeof(named_rung)) };
    g_array_set_clear_func(l->rung, rung_clear);
    take_rungs(f, rungs, l);
    if (!thew_fields_failed(f) && track_of(p, e, side) < 0)
        fault_no_room(f);
    if (thew_fields_failed(f)) {
        ladder_free(l);
        return;
    }
    ladder *before = ladder_for(p, e, side);
    if (before)
        g_ptr_array_remove(p->ladder, before);
    g_ptr_array_add(p->ladder, l);
}

static void take_day(studio *s, thew_fields *f)
{
    person *p = known_person(s, f);
    thew_checkin c = { .day = thew_fields_day(f, "date") };
    double none = -1e9;
    c.conditions.heat_index_c = thew_fields_number(f, "heat_index_c", false, "a heat index in degrees Celsius", -40, 80, none);
    c.conditions.fatigue = thew_fields_number(f, "fatigue", false, "a number", 0, 10, none);
    c.conditions.sleep = thew_fields_number(f, "sleep", false, "a number", 0, 10, none);
    c.conditions.readiness = thew_fields_number(f, "readiness", false, "a natural logarithm", -2, 2, none);
    if (!thew_fields_end(f))
        return;
    c.conditions.has_heat = c.conditions.heat_index_c != none;
    c.conditions.has_fatigue = c.conditions.fatigue != none;
    c.conditions.has_sleep = c.conditions.sleep != none;
    c.conditions.has_readiness = c.conditions.readiness != none;
    guint i = p->checkin->len;
    while (i > 0 && checkin_at(p, i - 1)->day >= c.day)
        i--;
    if (i < p->checkin->len && checkin_at(p, i)->day == c.day)
        g_array_remove_index(p->checkin, i);
    g_array_insert_val(p->checkin, i, c);
    if (p->capacity.day != THEW_NO_DAY && c.day <= p->capacity.day)
        p->stale = true;
}

static void take_set(studio *s, thew_fields *f)
{
    person *p = known_person(s, f);
    exercise *e = known_exercise(s, f);
    thew_side side = (thew_side)thew_fields_choice(f, "side", false, sides, THEW_BOTH);
    record r = { .exercise = e, .side = side, .set = { .day = thew_fields_day(f, "date") } };
    const char *rung = thew_fields_id(f, "rung", true);
    r.set.ended = (thew_ended)thew_fields_choice(f, "ended", true, endings, 0);
    r.set.seconds = thew_fields_number(f, "seconds", true, "a number of seconds", 0, LONGEST_S, 0);
    r.set.reserve_s = thew_fields_number(f, "reserve_s", false, "a number of seconds", 0, LONGEST_S, -1);
    thew_fields_number(f, "exertion", false, "a number", 0, 10, 0); // part of the record; the belief does not use it yet
    if (!thew_fields_end(f))
        return;
    const ladder *l = ladder_of(p, e, side);
    if (!l) {
        thew_fields_fault(f, "exercise", json_object_get(f->object, "exercise"), "has no ladder for this person and side");
        return;
    }
    const named_rung *on = rung_named(l, rung);
    if (!on) {
        thew_fields_fault(f, "rung", json_object_get(f->object, "rung"), "must be a rung of the ladder");
        return;
    }
    if (track_of(p, e, side) < 0) {
        fault_no_room(f);
        return;
    }
    r.set.rung = on->rung;
    r.rung_id = g_strdup(rung);
    guint i = p->record->len;
    while (i > 0 && record_at(p, i - 1)->set.day > r.set.day)
        i--;
    p->stale |= i < p->played || (p->capacity.day != THEW_NO_DAY && r.set.day < p->capacity.day);
    g_array_insert_val(p->record, i, r);
}

// --- Answers ---------------------------------------------------------------------------------------------------------------------

static json_t *seconds_json(double seconds) { return json_real(MIN(seconds, LONGEST_S)); }

static json_t *odds_json(const thew_odds *o)
{
    return json_pack("{s:f,s:f,s:f,s:f,s:{s:o,s:o,s:o}}", "p_floor", o->p_floor, "p_early", o->p_early, "p_window", o->p_window, "p_beyond",
                     o->p_beyond, "seconds", "p10", seconds_json(o->p10_s), "p50", seconds_json(o->p50_s), "p90", seconds_json(o->p90_s));
}

static const record *last_record(const person *p, const exercise *e, thew_side side, thew_day day)
{
    for (guint i = p->record->len; i-- > 0;)
        if (record_at(p, i)->set.day <= day && record_at(p, i)->exercise == e && record_at(p, i)->side == side)
            return record_at(p, i);
    return NULL;
}

static bool symptom_between(const person *p, thew_day from, thew_day to)
{
    for (guint i = p->record->len; i-- > 0;) {
        const thew_set *set = &record_at(p, i)->set;
        if (set->day < from)
            break;
        if (set->day <= to && set->ended == THEW_SYMPTOM)
            return true;
    }
    return false;
}

static thew_history history_of(const person *p, const thew_capacity *capacity, const ladder *l, const record *last, thew_day day)
{
    if (!last)
        return (thew_history){ 0 };
    const named_rung *now = rung_named(l, last->rung_id); // the ladder may have been told anew
    const thew_rung *rung = now ? &now->rung : &last->set.rung;
    return (thew_history){
        .has_last = true,
        .last_peak_share = rung->peak_share,
        .last_key = rung->key,
        .last_ended = last->set.ended,
        .last_seconds = last->set.seconds,
        .days_since_last = day - last->set.day,
        .symptom = symptom_between(p, last->set.day, day),
        .declined = thew_advise_declined(capacity),
    };
}

static json_t *reason_json(const thew_reason *r, const ladder *l, bool has_last)
{
    json_t *reason = json_pack("{s:s}", "code", thew_reason_id(r->code));
    if (has_last) {
        json_object_set_new(reason, "last_ended", json_string(thew_words_ended(r->last_ended)));
        json_object_set_new(reason, "last_seconds", json_real(r->last_seconds));
        json_object_set_new(reason, "rise", json_real(r->rise_share));
    }
    if (r->last_rung >= 0)
        json_object_set_new(reason, "last_rung", json_string(g_array_index(l->rung, named_rung, r->last_rung).id));
    if (r->better_rung >= 0)
        json_object_set_new(reason, "better_rung", json_string(g_array_index(l->rung, named_rung, r->better_rung).id));
    if (r->limit > 0)
        json_object_set_new(reason, "limit", json_real(r->limit));
    return reason;
}

static json_t *advice_json(const exercise *e, const ladder *l, const thew_history *history, const thew_odds *odds,
                           const thew_advice *advice)
{
    thew_reason_words words = {
        .reason = advice->reason,
        .floor_s = e->task.floor_s,
        .window_from_s = e->task.window_from_s,
        .window_to_s = e->task.window_to_s,
        .has_last = history->has_last,
        .days_since_last = history->days_since_last,
        .better = advice->reason.better_rung >= 0 ? g_array_index(l->rung, named_rung, advice->reason.better_rung).id : NULL,
    };
    g_autofree char *sentence = thew_words_reason(&words);
    json_t *out = odds_json(&advice->odds), *rungs = json_array();
    for (guint r = 0; r < l->rung->len; r++) {
        json_t *rung = odds_json(&odds[r]);
        json_object_set_new(rung, "id", json_string(g_array_index(l->rung, named_rung, r).id));
        json_array_append_new(rungs, rung);
    }
    json_object_set_new(out, "rung", json_string(g_array_index(l->rung, named_rung, advice->rung).id));
    json_object_set_new(out, "goal_seconds", json_real(advice->goal_s));
    json_object_set_new(out, "reason", reason_json(&advice->reason, l, history->has_last));
    json_object_set_new(out, "sentence", json_string(sentence));
    json_object_set_new(out, "rungs", rungs);
    return json_pack("{s:o}", "advice", out);
}

// Person, exercise, side, day and ladder of a question.
typedef struct {
    person *person;
    exercise *exercise;
    ladder *ladder;
    thew_side side;
    thew_day day;
    int track;
} question;

static bool read_question(studio *s, thew_fields *f, question *q)
{
    q->person = known_person(s, f);
    q->exercise = known_exercise(s, f);
    q->side = (thew_side)thew_fields_choice(f, "side", false, sides, THEW_BOTH);
    q->day = thew_fields_day(f, "date");
    if (!thew_fields_end(f))
        return false;
    q->ladder = ladder_of(q->person, q->exercise, q->side);
    q->track = q->ladder ? track_of(q->person, q->exercise, q->side) : -1;
    if (!q->ladder)
        thew_fields_fault(f, "exercise", json_object_get(f->object, "exercise"), "has no ladder for this person and side");
    else if (q->track < 0)
        fault_no_room(f);
    return q->track >= 0;
}

// The belief that a question is about.
static bool read_belief(studio *s, thew_fields *f, question *q, thew_capacity *capacity)
{
    if (!read_question(s, f, q))
        return false;
    belief_on(q->person, q->day, capacity);
    if (!thew_advise_is_sound(capacity))
        thew_fields_fault(f, "date", json_object_get(f->object, "date"), "cannot be answered: what is on record is beyond what can be computed");
    return !thew_fields_failed(f);
}

static json_t *answer_advise(studio *s, thew_fields *f)
{
    question q;
    thew_capacity capacity;
    if (!read_belief(s, f, &q, &capacity))
        return NULL;
    thew_history history = history_of(q.person, &capacity, q.ladder, last_record(q.person, q.exercise, q.side, q.day), q.day);
    thew_rung rungs[RUNGS_MAX];
    thew_odds odds[RUNGS_MAX];
    for (guint r = 0; r < q.ladder->rung->len; r++)
        rungs[r] = g_array_index(q.ladder->rung, named_rung, r).rung;
    thew_advice advice;
    thew_status status =
        thew_advise(&q.person->profile, &capacity, q.track, rungs, (int)q.ladder->rung->len, q.day, NULL, &history, odds, &advice);
    g_assert(status >= 0); // the ladder has rungs and the belief is not from the future
    return advice_json(q.exercise, q.ladder, &history, odds, &advice);
}

static json_t *answer_state(studio *s, thew_fields *f)
{
    question q;
    thew_capacity capacity;
    if (!read_belief(s, f, &q, &capacity))
        return NULL;
    thew_rung none = { .peak_share = 1, .mean_share = 1, .ln_sd = 1e-9 };
    thew_estimate now = thew_capacity_of(&q.person->profile, &capacity, q.track);
    if (capacity.day != q.day) { // carry it forward to the day asked for
        thew_prospect ahead = thew_outlook_prospect(&q.person->profile, &capacity, q.track, &none, q.day, NULL);
        double day_sd = q.person->profile.prior.day_sd;
        now = (thew_estimate){ ahead.mean, sqrt(MAX(ahead.variance - day_sd * day_sd, 0)) };
    }
    return json_pack("{s:{s:{s:f,s:f},s:{s:f,s:f},s:i}}", "state", "ln_capacity", "mean", now.mean, "sd", now.sd, "ln_tau", "mean",
                     log(q.exercise->task.endurance.tau_s), "sd", q.exercise->task.tau_ln_sd, "records", capacity.record_count[q.track]);
}

// --- The loop --------------------------------------------------------------------------------------------------------------------

typedef struct {
    const char *key;
    void (*take)(studio *, thew_fields *);
    json_t *(*answer)(studio *, thew_fields *);
} line_kind;

static const line_kind kinds[] = {
    { "person", take_person, NULL }, { "exercise", take_exercise, NULL }, { "ladder", take_ladder, NULL },     { "day", take_day, NULL },
    { "set", take_set, NULL },       { "advise", NULL, answer_advise },   { "state", NULL, answer_state },
};

static json_t *error_json(long line, const char *at, const char *what, const json_t *got)
{
    json_t *error = json_pack("{s:I,s:s,s:s}", "line", (json_int_t)line, "at", at, "what", what);
    json_object_set(error, "got", got ? (json_t *)got : json_null());
    return json_pack("{s:o}", "error", error);
}

static json_t *answer_object(studio *s, const json_t *object, long line)
{
    if (!json_is_object(object) || json_object_size(object) != 1)
        return error_json(line, "", "must be an object with one key", object);
    const char *key = json_object_iter_key(json_object_iter((json_t *)object));
    for (gsize k = 0; k < G_N_ELEMENTS(kinds); k++) {
        if (strcmp(kinds[k].key, key) != 0)
            continue;
        thew_fields f = thew_fields_of(key, json_object_get(object, key));
        json_t *answer = NULL;
        if (thew_fields_failed(&f))
            return error_json(line, f.at, f.what, f.got);
        if (kinds[k].take)
            kinds[k].take(s, &f);
        else
            answer = kinds[k].answer(s, &f);
        if (thew_fields_failed(&f)) {
            g_assert(!answer);
            return error_json(line, f.at, f.what, f.got);
        }
        g_assert(answer || kinds[k].take); // a question has an answer or a fault
        return answer ? answer : json_pack("{s:b}", "ok", 1);
    }
    return error_json(line, key, "must be one of person, exercise, ladder, day, set, advise, state", json_object_get(object, key));
}

static json_t *answer_line(studio *s, const char *text, size_t length, long line)
{
    if (length > LINE_BYTES_MAX)
        return error_json(line, "", "must be at most 1048576 bytes long", NULL);
    json_error_t fault;
    json_t *object = json_loadb(text, length, JSON_REJECT_DUPLICATES | JSON_DECODE_ANY, &fault);
    if (!object) {
        g_autofree char *what = g_strdup_printf("must be one JSON object: %s near column %d", fault.text, fault.column);
        g_autofree char *valid = g_utf8_make_valid(what, -1);
        return error_json(line, "", valid, NULL);
    }
    json_t *answer = answer_object(s, object, line);
    json_decref(object);
    return answer;
}

// One line without its end, of any length; beyond the limit the rest is read and thrown away.
//   returns   false at the end of input
static bool read_line(FILE *from, GString *line)
{
    g_string_truncate(line, 0);
    int c;
    while ((c = getc_unlocked(from)) != EOF && c != '\n')
        if (line->len <= LINE_BYTES_MAX)
            g_string_append_c(line, (char)c);
    return c != EOF || line->len > 0;
}

static void clear_studio(studio *s)
{
    g_hash_table_unref(s->person);
    g_hash_table_unref(s->exercise);
}

int thew_stream_run(FILE *from, FILE *to)
{
    studio s = { g_hash_table_new_full(g_str_hash, g_str_equal, NULL, person_free),
                 g_hash_table_new_full(g_str_hash, g_str_equal, NULL, exercise_free) };
    g_autoptr(GString) line = g_string_new(NULL);
    int status = THEW_EXIT_OK, fault = 0;
    for (long number = 1; read_line(from, line); number++) {
        json_t *answer = answer_line(&s, line->str, line->len, number);
        if (json_object_get(answer, "error"))
            status = THEW_EXIT_REFUSED;
        bool written = json_dumpf(answer, to, JSON_COMPACT | JSON_REAL_PRECISION(15)) == 0 && putc('\n', to) != EOF && fflush(to) == 0;
        json_decref(answer);
        if (!written) {
            fault = errno;
            status = -1;
            break;
        }
    }
    clear_studio(&s);
    errno = fault;
    return status;
}

int thew_command_stream(int argc, char **argv)
{
    const GOptionEntry entries[] = { { 0 } };
    int status = THEW_EXIT_OK;
    if (!thew_options_parse("stream", "", "Answer questions, one JSON object a line on standard input, one answer a line on standard output.",
                            "Lines: person, exercise, ladder, day, set are taken in; advise and state are answered. Nothing is kept.\n"
                            "Exit status: 0 if no line was refused, else 1.\n",
                            entries, &argc, &argv, &status))
        return status;
    if (argc != 1)
        return thew_usage_error("stream", "takes no arguments");
    status = thew_stream_run(stdin, stdout);
    if (status < 0)
        return thew_output_lost(errno);
    if (!ferror(stdin))
        return status;
    fputs("thew stream: standard input could not be read\n", stderr);
    return THEW_EXIT_REFUSED;
}
