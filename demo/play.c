// play.c: see play.h.
#include "demo/play.h"

#include <string.h>

#include "demo/coach.h"
#include "engine/heat.h"

#define WINDOW_TO_S 90.0
#define REST_SIDES_S 60.0 // between the sides of one exercise
#define REST_S 120.0      // between exercises, and between sets of one

// One exercise on one side, as the coach's page has it.
typedef struct {
    int step; // -1: not yet chosen
    thew_day last;
    sim_outcome written; // last time
} page;

typedef struct {
    const thew_exercise *exercise;
    thew_ladder *ladder;
    GPtrArray *steps; // const thew_fitted *
    bool unilateral;
    page page[3]; // by thew_side
} plan;

typedef struct {
    const cast_person *who;
    int index;
    sim_person sim;
    sim_state state;
    sim_random chance; // coming, forgetting, noticing: nothing that the body knows
    thew_participant participant;
    GArray *piece;      // thew_piece, as measured
    GArray *true_piece; // thew_piece, as it really is when new
    GArray *sets_on;    // double: sets done with each, which wear it
    GPtrArray *plans;   // plan *
    int record_count;
    const cast_event *symptom; // waiting for its set, or NULL
    const char *first_note;    // for the next session's first set, or NULL
} trainee;

// --- Kit -------------------------------------------------------------------------------------------------------------------------

// Readings at about 1.5, 2 and 2.6 times the rest length, to the centimetre, as somebody with a tape does it.
static void read_scale(play_studio *studio, const trainee *t, int piece, const char *measured, sim_scale scale, sim_random *random,
                       const thew_band *band)
{
    static const double stretch[] = { 2.0, 1.5, 2.6 };
    const cast_piece *p = &cast_pieces[piece];
    for (int r = 0; r < p->reading_count; r++) {
        double length_m = (double)(int)(100 * p->rest_length_m * stretch[r] + .5) / 100;
        play_reading reading = { t->index, piece, measured, length_m, sim_scale_kgf(scale, random, band, length_m) };
        g_array_append_val(studio->reading, reading);
    }
}

// The band as thew will fit it from the latest readings.
static thew_band fitted_band(const play_studio *studio, const trainee *t, int piece, const char *measured)
{
    const cast_piece *p = &cast_pieces[piece];
    if (p->reading_count == 0) return thew_band_unmeasured(p->rest_length_m, p->step);
    g_autoptr(GArray) readings = g_array_new(FALSE, FALSE, sizeof(thew_reading));
    for (guint i = 0; i < studio->reading->len; i++) {
        const play_reading *r = &g_array_index(studio->reading, play_reading, i);
        thew_reading reading = { r->length_m, r->kgf * THEW_NEWTONS_PER_KGF };
        if (r->person == t->index && r->piece == piece && g_strcmp0(r->measured, measured) == 0)
            g_array_append_val(readings, reading);
    }
    thew_band band;
    thew_status status =
        thew_band_fit(p->rest_length_m, (const thew_reading *)(const void *)readings->data, (int)readings->len, 0, &band, NULL);
    g_assert(status >= 0);
    return band;
}

static void own_piece(play_studio *studio, trainee *t, int index, sim_scale scale)
{
    const cast_piece *p = &cast_pieces[index];
    thew_piece piece = { .label = p->label, .kind = p->kind, .mass_kg = p->mass_kg }, truth = piece;
    if (p->rest_length_m > 0) {
        truth.band = sim_band_make(&t->chance, p->rest_length_m, p->force_n);
        read_scale(studio, t, index, p->measured, scale, &t->chance, &truth.band);
        if (p->again) {
            thew_band worn = sim_band_worn(truth.band, 30); // by the day it is measured again
            read_scale(studio, t, index, p->again, scale, &t->chance, &worn);
        }
        piece.band = fitted_band(studio, t, index, p->again ? p->again : p->measured);
    } else {
        truth.mass_kg *= sim_normal(&t->chance, 1, .015); // a weight is hardly ever what is written on it: judgement
    }
    double none = 0;
    g_array_append_val(t->piece, piece);
    g_array_append_val(t->true_piece, truth);
    g_array_append_val(t->sets_on, none);
}

static void own_kit(play_studio *studio, trainee *t)
{
    sim_scale scale = sim_scale_make(&t->chance);
    for (int p = 0; p < cast_piece_count; p++)
        if (strcmp(cast_pieces[p].kit, t->who->kit) == 0) own_piece(studio, t, p, scale);
}

// The resistance as it really is today.
//   band   out: what it points to
static thew_resistance true_resistance(const trainee *t, const thew_fitted *step, thew_band *band)
{
    if (!step->piece) return thew_implement_resistance(step->implement, step->setting, NULL, 0);
    guint index = (guint)(step->piece - (const thew_piece *)(const void *)t->piece->data);
    const thew_piece *truth = &g_array_index(t->true_piece, thew_piece, index);
    if (truth->mass_kg > 0) return thew_implement_resistance(step->implement, step->setting, NULL, truth->mass_kg);
    *band = sim_band_worn(truth->band, g_array_index(t->sets_on, double, index));
    return thew_implement_resistance(step->implement, step->setting, band, 0);
}

static void wear(const trainee *t, const thew_fitted *step)
{
    if (step->piece) g_array_index(t->sets_on, double, step->piece - (const thew_piece *)(const void *)t->piece->data) += 1;
}

// --- Who begins how --------------------------------------------------------------------------------------------------------------

static const cast_event *event_of(const cast_person *who, cast_what what, thew_day day)
{
    for (int e = 0; e < cast_event_count; e++) {
        const cast_event *event = &cast_events[e];
        bool spans = what == CAST_AWAY && day >= cast_day(event->day) && day < cast_day(event->day) + event->days;
        if (strcmp(event->person, who->id) == 0 && event->what == what && (spans || day == cast_day(event->day))) return event;
    }
    return NULL;
}

static thew_day first_day(const cast_person *who)
{
    for (int e = 0; e < cast_event_count; e++)
        if (strcmp(cast_events[e].person, who->id) == 0 && cast_events[e].what == CAST_FIRST_DAY)
            return cast_day(cast_events[e].day);
    return cast_day(CAST_FROM);
}

static sim_wish wish_of(const cast_person *who)
{
    return (sim_wish){
        .body = { who->sex, 2026.5 - who->birth_year, who->height_m, who->mass_kg },
        .ms = who->ms,
        .severity = who->severity,
        .stronger_ln = who->stronger_ln,
        .weaker_side = who->weaker_side,
        .weaker_by = who->weaker_by,
        .heat_sensitive = who->heat_sensitive,
        .steady_events = true, // what happens to them is told in cast.c
        .wrong_entry_p = who->wrong_entry_p,
        .rounding_s = who->rounding_s,
    };
}

static void plan_free(void *at)
{
    plan *p = at;
    g_ptr_array_unref(p->steps);
    thew_ladder_free(p->ladder);
    g_free(p);
}

// "seated-curl" or "seated-curl/standing-curl"
static plan *plan_of(const thew_catalogue *catalogue, const trainee *t, const char *names)
{
    g_auto(GStrv) name = g_strsplit(names, "/", 2);
    plan *p = g_new0(plan, 1);
    p->exercise = thew_catalogue_exercise(catalogue, name[0]);
    const thew_variant *variant = name[1] ? thew_catalogue_variant(catalogue, name[1]) : NULL;
    if (!p->exercise || (name[1] && !variant)) g_error("%s: no such exercise", names);
    p->unilateral = (variant ? variant : p->exercise->usual)->unilateral;
    p->ladder = thew_fit(p->exercise, &t->participant, cast_day(CAST_TO), NULL);
    p->steps = coach_steps(p->ladder, variant);
    if (p->steps->len == 0) g_error("%s has nothing for %s", t->who->id, names);
    for (int side = THEW_BOTH; side <= THEW_RIGHT; side++)
        p->page[side] = (page){ .step = -1, .last = THEW_NO_DAY };
    return p;
}

static void trainee_free(void *at)
{
    trainee *t = at;
    g_ptr_array_unref(t->plans);
    g_array_unref(t->piece);
    g_array_unref(t->true_piece);
    g_array_unref(t->sets_on);
    g_free(t);
}

static trainee *trainee_new(const thew_catalogue *catalogue, play_studio *studio, const sim_world *world, uint64_t seed, int index)
{
    const cast_person *who = &cast_people[index];
    trainee *t = g_new0(trainee, 1);
    t->who = who;
    t->index = index;
    t->sim = sim_person_make(world, wish_of(who), seed, sim_stream_of(who->id));
    t->state = sim_state_start(&t->sim, cast_day(CAST_FROM));
    t->chance = sim_random_make(seed ^ 1, sim_stream_of(who->id));
    t->piece = g_array_new(FALSE, FALSE, sizeof(thew_piece));
    t->true_piece = g_array_new(FALSE, FALSE, sizeof(thew_piece));
    t->sets_on = g_array_new(FALSE, FALSE, sizeof(double));
    t->plans = g_ptr_array_new_with_free_func(plan_free);
    own_kit(studio, t);
    t->participant = (thew_participant){
        .id = who->id,
        .sex = who->sex,
        .birth_year = who->birth_year,
        .piece = t->piece,
        .height_m = who->size_unsaid ? 0 : who->height_m,
        .mass_kg = who->size_unsaid ? 0 : who->mass_kg,
    };
    g_auto(GStrv) exercises = g_strsplit(who->exercises, " ", -1);
    for (char **names = exercises; *names; names++)
        g_ptr_array_add(t->plans, plan_of(catalogue, t, *names));
    return t;
}

// --- A set -----------------------------------------------------------------------------------------------------------------------

static sim_task task_of(const trainee *t, int exercise, thew_side side, const thew_fitted *step, thew_band *band)
{
    g_autofree char *names = g_strdup_printf("%s %s %s", step->variant->id, step->implement->id, step->label);
    return (sim_task){
        .exercise = exercise,
        .side = side,
        .movement = &step->implement->movement,
        .resistance = true_resistance(t, step, band),
        .tempo = step->variant->tempo,
        .met = sim_stream_of(names),
    };
}

// The first load, by eye: the heaviest that looks good for a minute and a quarter. The eye errs by a quarter (judgement).
static int first_step(trainee *t, const plan *p, int exercise, thew_side side)
{
    double error = sim_normal(&t->chance, -.1, .25);
    int step = 0;
    for (guint s = 0; s < p->steps->len; s++) {
        thew_band band;
        sim_task task = task_of(t, exercise, side, p->steps->pdata[s], &band);
        if (sim_lasts_s(&t->sim, &t->state, &task, error, 100) >= 75) step = (int)s;
    }
    return step;
}

static const char *reason_to_stop(trainee *t, const sim_outcome *o)
{
    static const char *const symptom[] = { "numb hand, better after five minutes", "dizzy, sat down, gone after two minutes",
                                           "spasm in the calf", "sight blurred, clear after cooling" };
    static const char *const other[] = { "the telephone", "the grip slipped", "the strap came loose", "somebody at the door",
                                         "lost count and stopped" };
    int which = sim_pick(&t->chance, 20);
    return o->ended == THEW_SYMPTOM ? symptom[which % 4] : o->ended == THEW_OTHER ? other[which % 5] : NULL;
}

static char *new_record(trainee *t)
{
    t->record_count++;
    return t->who->writes == CAST_PHONE ? g_strdup_printf("%s-%d", t->who->id, t->record_count) : NULL;
}

static void name_step(play_set *set, const plan *p, const thew_fitted *step)
{
    set->variant = step->variant == p->exercise->usual ? NULL : step->variant->id;
    set->implement = step->piece ? step->piece->label : NULL;
    set->setting = step->setting == &step->implement->setting[0] ? NULL : step->setting->id;
}

// What goes wrong at the hand that writes. What cannot go wrong here becomes no slip.
static void slip(trainee *t, const plan *p, int step, play_set *set)
{
    set->slip = sim_write_wrongly(&t->sim, &t->state, &set->written);
    if (set->slip == SIM_SLIP_SIDE) {
        if (set->side == THEW_BOTH)
            set->slip = SIM_NO_SLIP;
        else
            set->side = set->side == THEW_LEFT ? THEW_RIGHT : THEW_LEFT;
    }
    if (set->slip == SIM_SLIP_IMPLEMENT) {
        int other = step > 0 ? step - 1 : step + 1;
        if (other < (int)p->steps->len)
            name_step(set, p, p->steps->pdata[other]);
        else
            set->slip = SIM_NO_SLIP;
    }
}

// A mistake that is noticed is corrected by a record of its own.
static void correct(play_studio *studio, trainee *t, const play_set *wrong, play_set right)
{
    if (wrong->slip == SIM_NO_SLIP || !wrong->record || !sim_chance(&t->chance, .5)) return;
    right.record = new_record(t);
    right.replaces = g_strdup(wrong->record);
    right.note = "corrected";
    g_array_append_val(studio->set, right);
}

static int choose_step(trainee *t, const plan *p, int exercise, thew_side side, thew_day day)
{
    const page *on = &p->page[side];
    if (on->step < 0) return first_step(t, p, exercise, side);
    if (on->last == day) return on->step; // a second set is done with the same
    return coach_next_step(on->step, (int)p->steps->len, &on->written, day - on->last);
}

// What happens, and what is to be said of it.
static sim_outcome happen(trainee *t, int exercise, thew_side side, const thew_fitted *step, const char **note)
{
    thew_band band;
    sim_task task = task_of(t, exercise, side, step, &band);
    sim_outcome o = sim_do(&t->sim, &t->state, &task, t->who->endpoint, WINDOW_TO_S);
    *note = reason_to_stop(t, &o);
    if (t->symptom) {
        o = (sim_outcome){ THEW_SYMPTOM, .5 * o.seconds, -1, o.exertion, o.lasts_s };
        *note = t->symptom->note;
        t->symptom = NULL;
    }
    if (!*note) *note = t->first_note;
    t->first_note = NULL;
    wear(t, step);
    return o;
}

static void do_set(play_studio *studio, trainee *t, int exercise, thew_side side, thew_day day)
{
    plan *p = t->plans->pdata[exercise];
    int step = choose_step(t, p, exercise, side, day);
    const char *note;
    sim_outcome o = happen(t, exercise, side, p->steps->pdata[step], &note);
    play_set set = { .day = day,
                     .person = t->index,
                     .exercise = p->exercise->id,
                     .side = side,
                     .written = sim_written(&t->sim, &t->state, o, WINDOW_TO_S),
                     .says_exertion = t->who->says_exertion && sim_chance(&t->chance, .9),
                     .note = note,
                     .lasts_s = o.lasts_s };
    if (set.written.ended == THEW_RESERVE && sim_chance(&t->chance, .15)) set.written.reserve_s = -1; // not said
    name_step(&set, p, p->steps->pdata[step]);
    play_set right = set;
    slip(t, p, step, &set);
    set.record = new_record(t);
    g_array_append_val(studio->set, set);
    correct(studio, t, &set, right);
    p->page[side] = (page){ step, day, set.written };
}

// --- A session -------------------------------------------------------------------------------------------------------------------

static void do_exercise(play_studio *studio, trainee *t, int exercise, thew_day day)
{
    const plan *p = t->plans->pdata[exercise];
    for (int s = 0; s < t->who->sets; s++) {
        if (!p->unilateral) {
            do_set(studio, t, exercise, THEW_BOTH, day);
        } else {
            bool right_first = t->who->weaker_side == THEW_RIGHT; // the weaker side first
            do_set(studio, t, exercise, right_first ? THEW_RIGHT : THEW_LEFT, day);
            sim_rest(&t->sim, &t->state, REST_SIDES_S);
            do_set(studio, t, exercise, right_first ? THEW_LEFT : THEW_RIGHT, day);
        }
        sim_rest(&t->sim, &t->state, REST_S);
    }
}

static void check_in(play_studio *studio, trainee *t, thew_day day, sim_room room)
{
    play_day d = { .day = day, .person = t->index, .room = room, .scores = sim_state_scores(&t->state) };
    d.has_room = sim_chance(&t->chance, t->who->check_in_p);
    d.has_scores = sim_chance(&t->chance, t->who->check_in_p);
    d.room.room_c = (double)(int)(room.room_c + .5);
    d.room.humidity_percent = (double)(int)(room.humidity_percent / 5 + .5) * 5;
    if (d.has_room || d.has_scores) g_array_append_val(studio->day, d);
}

// Monday = 0; 1970-01-01 was a Thursday.
static bool is_planned(const cast_person *who, int index, thew_day day)
{
    static const int days[4][3] = { { -1, -1, -1 }, { 1, -1, -1 }, { 0, 3, -1 }, { 0, 2, 4 } };
    int weekday = (day + 3) % 7, shifted = who->sessions_a_week == 2 && index % 2 ? weekday - 1 : weekday;
    for (int d = 0; d < 3; d++)
        if (days[who->sessions_a_week][d] == shifted) return true;
    return false;
}

static bool comes(trainee *t, thew_day day, double heat_index_c)
{
    const cast_event *away = event_of(t->who, CAST_AWAY, day);
    bool would = sim_chance(&t->chance, t->who->comes_p), in_heat = sim_chance(&t->chance, .8);
    if (away && away->note) t->first_note = away->note;
    if (away || sim_state_is_ill(&t->state) || day < first_day(t->who) || !is_planned(t->who, t->index, day)) return false;
    if (thew_heat_advise(heat_index_c, t->who->heat_sensitive, THEW_HEAT_FINE) == THEW_HEAT_PAUSE && !in_heat)
        return false; // they should all stay away; not all of them do
    return would || t->symptom;
}

static void live_day(play_studio *studio, trainee *t, thew_day day, const sim_weather *weather)
{
    sim_room room = sim_weather_room(weather, t->who->cooled_room);
    double heat_index_c = thew_heat_index_c(room.room_c, room.humidity_percent);
    if (day > cast_day(CAST_FROM)) sim_state_next_day(&t->sim, &t->state, heat_index_c);
    const cast_event *relapse = event_of(t->who, CAST_RELAPSE, day), *symptom = event_of(t->who, CAST_SYMPTOM, day);
    if (relapse) sim_state_relapse(&t->state, relapse->strikes, relapse->share);
    if (event_of(t->who, CAST_INFECTION, day)) sim_state_infection(&t->state);
    if (symptom) t->symptom = symptom;
    if (!comes(t, day, heat_index_c)) return;
    check_in(studio, t, day, room);
    for (guint e = 0; e < t->plans->len; e++)
        do_exercise(studio, t, (int)e, day);
}

// --- The half year ---------------------------------------------------------------------------------------------------------------

static void clear_set(void *at)
{
    play_set *set = at;
    g_free(set->record);
    g_free(set->replaces);
}

play_studio *play_half_year(const thew_catalogue *catalogue, uint64_t seed)
{
    play_studio *studio = g_new0(play_studio, 1);
    studio->set = g_array_new(FALSE, FALSE, sizeof(play_set));
    g_array_set_clear_func(studio->set, clear_set);
    studio->day = g_array_new(FALSE, FALSE, sizeof(play_day));
    studio->reading = g_array_new(FALSE, FALSE, sizeof(play_reading));
    sim_world world = sim_world_make(seed);
    sim_weather weather = sim_weather_start(seed);
    g_autoptr(GPtrArray) trainees = g_ptr_array_new_with_free_func(trainee_free);
    for (int i = 0; i < cast_people_count; i++)
        g_ptr_array_add(trainees, trainee_new(catalogue, studio, &world, seed, i));
    for (thew_day day = cast_day(CAST_FROM); day <= cast_day(CAST_TO); day++) {
        sim_weather_next(&weather, day, cast_is_heat_wave(day));
        for (guint i = 0; i < trainees->len; i++)
            live_day(studio, trainees->pdata[i], day, &weather);
    }
    return studio;
}

void play_studio_free(play_studio *studio)
{
    if (!studio) return;
    g_array_unref(studio->set);
    g_array_unref(studio->day);
    g_array_unref(studio->reading);
    g_free(studio);
}
