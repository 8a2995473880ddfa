// advise.c: see advise.h.
#include "studio/advise.h"

#include <math.h>
#include <string.h>

#include "engine/recovery.h"
#include "studio/words.h"

#define DECLINE_JUMP_P .5   // a jump this likely
#define DECLINE_LN (-.10)   // and this far down counts as a sudden decline

// --- Which exercises, which sides ------------------------------------------------------------------------------------------------

static bool is_listed(const GPtrArray *exercises, const thew_exercise *exercise)
{
    return g_ptr_array_find((GPtrArray *)exercises, exercise, NULL);
}

static void note(thew_person_advice *a, const char *format, ...) G_GNUC_PRINTF(2, 3);
static void note(thew_person_advice *a, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    g_ptr_array_add(a->note, g_strdup_vprintf(format, arguments));
    va_end(arguments);
}

// Those asked for first, then those in the diary.
static GPtrArray *exercises_of(const thew_catalogue *catalogue, const thew_participant *participant, thew_day on)
{
    GPtrArray *exercises = g_ptr_array_new();
    for (const char *const *id = participant->exercise; id && *id; id++) {
        const thew_exercise *exercise = thew_catalogue_exercise(catalogue, *id);
        if (exercise && !is_listed(exercises, exercise))
            g_ptr_array_add(exercises, (void *)exercise);
    }
    for (guint e = 0; e < participant->entry->len; e++) {
        const thew_entry *entry = &g_array_index(participant->entry, thew_entry, e);
        const thew_exercise *exercise = thew_catalogue_exercise(catalogue, entry->exercise);
        if (entry->day <= on && exercise && !is_listed(exercises, exercise))
            g_ptr_array_add(exercises, (void *)exercise);
    }
    return exercises;
}

static bool is_recorded(const thew_participant *participant, const thew_exercise *exercise, thew_side side, thew_day on)
{
    for (guint e = 0; e < participant->entry->len; e++) {
        const thew_entry *entry = &g_array_index(participant->entry, thew_entry, e);
        if (entry->day <= on && entry->side == side && strcmp(entry->exercise, exercise->id) == 0)
            return true;
    }
    return false;
}

// The sides to advise on: those recorded, and with one side always the other; without a record, both sides of a unilateral exercise.
static unsigned sides_of(const thew_participant *participant, const thew_exercise *exercise, thew_day on)
{
    const unsigned each = 1u << THEW_LEFT | 1u << THEW_RIGHT;
    unsigned sides = 0;
    for (thew_side side = THEW_BOTH; side <= THEW_RIGHT; side++)
        sides |= is_recorded(participant, exercise, side, on) ? 1u << side : 0;
    if (sides & each)
        return sides | each;
    if (sides)
        return sides;
    return exercise->usual->unilateral ? each : 1u << THEW_BOTH;
}

static thew_task task_of(const thew_exercise *exercise, const thew_window *window)
{
    thew_task task = thew_task_default(thew_action_joint(exercise->prime_action), exercise->kind);
    if (exercise->kind != THEW_HOLD)
        task.tempo = exercise->usual->tempo;
    if (window->window_to_s > 0) {
        task.floor_s = window->floor_s;
        task.window_from_s = window->window_from_s;
        task.window_to_s = window->window_to_s;
    }
    task.starts_lifting = exercise->usual->implement[0].movement.starts_lifting;
    return task;
}

static void add_track(thew_person_advice *a, const thew_participant *participant, const thew_ladder *ladder, int task, thew_side side,
                      double size_ln_sd)
{
    const thew_exercise *exercise = ladder->exercise;
    thew_estimate prior = thew_prior_capacity(participant->condition, exercise->prime_action, size_ln_sd);
    if (thew_profile_add_track(&a->profile, task, side, prior) < 0) {
        note(a, "a side of %s is left out: there is room for %d of one person", exercise->name, THEW_TRACKS_MAX);
        return;
    }
    thew_advised advised = { .exercise = exercise, .side = side, .ladder = ladder, .last_day = THEW_NO_DAY, .earliest = a->on };
    g_array_append_val(a->advised, advised);
}

// Tasks and tracks for everything that is to be advised on.
static void set_up(thew_person_advice *a, const GPtrArray *exercises, const thew_participant *participant)
{
    thew_profile_start(participant->condition, &a->profile);
    for (guint e = 0; e < exercises->len; e++) {
        const thew_exercise *exercise = exercises->pdata[e];
        double size_ln_sd = 0;
        thew_ladder *ladder = thew_fit(exercise, participant, a->on, &size_ln_sd);
        int task = thew_profile_add_task(&a->profile, task_of(exercise, &participant->window));
        if (task < 0) {
            note(a, "%s is left out: there is room for %d exercises of one person", exercise->name, THEW_TRACKS_MAX);
            thew_ladder_free(ladder);
            continue;
        }
        g_ptr_array_add(a->ladder, ladder);
        unsigned sides = sides_of(participant, exercise, a->on);
        bool right_first = participant->weaker_side == THEW_RIGHT;
        const thew_side order[] = { THEW_BOTH, right_first ? THEW_RIGHT : THEW_LEFT, right_first ? THEW_LEFT : THEW_RIGHT };
        for (gsize i = 0; i < G_N_ELEMENTS(order); i++)
            if (sides & 1u << order[i])
                add_track(a, participant, ladder, task, order[i], size_ln_sd);
    }
}

static thew_advised *advised_of(const thew_person_advice *a, const thew_entry *entry, int *track)
{
    for (guint t = 0; t < a->advised->len; t++) {
        thew_advised *advised = &g_array_index(a->advised, thew_advised, t);
        if (advised->side == entry->side && strcmp(advised->exercise->id, entry->exercise) == 0) {
            *track = (int)t;
            return advised;
        }
    }
    return NULL;
}

// --- The diary -------------------------------------------------------------------------------------------------------------------

static const thew_fitted *done_in(const thew_advised *advised, const thew_entry *entry)
{
    return thew_ladder_done(advised->ladder, entry->variant, entry->implement, entry->setting);
}

// Said once for each load that was done.
static void note_load(thew_person_advice *a, GHashTable *told, const thew_advised *advised, const thew_entry *entry, const thew_fitted *done)
{
    g_autofree char *what = g_strdup_printf("%s with %s%s%s", advised->exercise->name, entry->implement ? entry->implement : "body weight",
                                            entry->setting ? ", " : "", entry->setting ? entry->setting : "");
    if (!g_hash_table_add(told, g_strdup(what)))
        return;
    if (done)
        note(a, "%s counts as done, but is not advised: %s", what, thew_fitness_words(done->fitness));
    else
        note(a, "sets of %s are left out: this exercise, kit and body make no such load", what);
}

static void note_later(thew_person_advice *a, int later_count, thew_day last)
{
    g_autofree char *on = thew_words_day(a->on), *until = thew_words_day(last);
    if (later_count == 1)
        note(a, "a set of %s is left out: it is later than %s", until, on);
    if (later_count > 1)
        note(a, "%d sets are left out: they are later than %s (the last is of %s)", later_count, on, until);
}

bool thew_advise_is_forgotten(thew_day before, thew_day now)
{
    return before != THEW_NO_DAY && (gint64)now - before > THEW_FORGOTTEN_DAYS;
}

// The day from which on entries count: all between it and the day asked for lie close enough together.
static thew_day counts_from(const thew_person_advice *a, const thew_participant *participant)
{
    thew_day from = a->on;
    for (guint e = participant->entry->len; e-- > 0;) {
        thew_day day = g_array_index(participant->entry, thew_entry, e).day;
        if (day <= a->on && thew_advise_is_forgotten(day, from))
            break;
        from = MIN(from, day);
    }
    return from;
}

static void note_forgotten(thew_person_advice *a, int count, thew_day last)
{
    g_autofree char *until = thew_words_day(last);
    if (count > 0)
        note(a, "what was done until %s is left out: more than %d years without a set follow (is a date wrong?)", until, THEW_FORGOTTEN_DAYS / 365);
}

// The entries as the engine wants them; those that mean nothing here are named and left out.
static void take_sets(thew_person_advice *a, const thew_participant *participant)
{
    g_autoptr(GHashTable) told = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    int later_count = 0, forgotten_count = 0;
    thew_day from = counts_from(a, participant), forgotten = THEW_NO_DAY;
    for (guint e = 0; e < participant->entry->len; e++) {
        const thew_entry *entry = &g_array_index(participant->entry, thew_entry, e);
        later_count += entry->day > a->on;
        forgotten_count += entry->day < from;
        if (entry->day < from)
            forgotten = entry->day;
        if (entry->day > a->on || entry->day < from)
            continue;
        thew_set set = { .day = entry->day, .ended = entry->ended, .seconds = entry->seconds, .reserve_s = entry->reserve_s };
        thew_advised *advised = advised_of(a, entry, &set.track);
        if (!advised)
            continue; // noted when its exercise was left out, or not in the catalogue
        const thew_fitted *done = done_in(advised, entry);
        if (!done || (done->fitness != THEW_FITS && done->fitness != THEW_CROWDED))
            note_load(a, told, advised, entry, done);
        if (!done)
            continue;
        set.rung = done->rung;
        g_array_append_val(a->set, set);
        g_array_append_val(a->set_entry, e);
        advised->record_count++;
        advised->last_day = entry->day;
    }
    note_forgotten(a, forgotten_count, forgotten);
    if (later_count > 0)
        note_later(a, later_count, g_array_index(participant->entry, thew_entry, participant->entry->len - 1).day);
}

bool thew_advise_is_sound(const thew_capacity *capacity)
{
    for (int i = 0; i < capacity->dim; i++)
        if (!isfinite(capacity->mean[i]) || !isfinite(capacity->covariance[i * THEW_STATE_MAX + i]))
            return false;
    return true;
}

bool thew_advise_declined(const thew_capacity *capacity)
{
    return capacity->jump_p > DECLINE_JUMP_P && thew_capacity_jump(capacity).mean < DECLINE_LN;
}

static void play(thew_person_advice *a, const thew_participant *participant, thew_belief *belief)
{
    const thew_checkin *checkin = (const thew_checkin *)(const void *)participant->checkin->data;
    int checkin_count = (int)participant->checkin->len;
    thew_day from = counts_from(a, participant);
    for (; checkin_count > 0 && thew_advise_is_forgotten(checkin->day, from); checkin_count--)
        checkin++;
    if (checkin_count > 0) g_array_append_vals(a->checkin, checkin, (guint)checkin_count);
    thew_diary diary = { .set = (const thew_set *)(const void *)a->set->data,
                         .set_count = (int)a->set->len,
                         .checkin = checkin,
                         .checkin_count = checkin_count };
    thew_status status = thew_belief_play(&a->profile, &diary, a->on, belief, a->capacity);
    if (status < 0)
        note(a, "the diary could not be read to its end: %s", thew_status_sentence(status));
    a->record_count = (int)a->set->len;
    if (!thew_advise_is_sound(a->capacity)) {
        note(a, "no set could be used: together they are beyond what can be computed");
        a->record_count = 0;
        if (belief) *belief = (thew_belief){ 0 };
        status = thew_capacity_start(&a->profile, a->capacity);
        g_assert(status == THEW_OK); // it has been started before
    }
    a->declined = thew_advise_declined(a->capacity);
}

// --- One exercise and side -------------------------------------------------------------------------------------------------------

static const thew_entry *last_entry(const thew_person_advice *a, const thew_participant *participant, int track)
{
    for (guint e = participant->entry->len; e-- > 0;) {
        const thew_entry *entry = &g_array_index(participant->entry, thew_entry, e);
        int of = -1;
        const thew_advised *advised = entry->day <= a->on ? advised_of(a, entry, &of) : NULL;
        if (advised && of == track && done_in(advised, entry))
            return entry;
    }
    return NULL;
}

static bool symptom_since(const thew_person_advice *a, const thew_participant *participant, thew_day day)
{
    for (guint e = participant->entry->len; e-- > 0;) {
        const thew_entry *entry = &g_array_index(participant->entry, thew_entry, e);
        if (entry->day <= a->on && entry->day >= day && entry->ended == THEW_SYMPTOM)
            return true;
    }
    return false;
}

static const thew_fitted *fitted_at(const thew_advised *advised, int rung)
{
    return rung < 0 ? NULL : &g_array_index(advised->ladder->fitted, thew_fitted, advised->first + (guint)rung);
}

// The rungs of one variant, which stand together in the ladder.
static void take_variant(thew_advised *advised, const thew_variant *variant)
{
    const GArray *fitted = advised->ladder->fitted;
    advised->variant = variant;
    advised->count = 0;
    for (guint i = 0; i < fitted->len; i++) {
        if (g_array_index(fitted, thew_fitted, i).variant != variant)
            continue;
        if (advised->count++ == 0)
            advised->first = i;
    }
}

// As last time; else the usual one; else whatever this kit can do, easiest first. None that is off limits.
static bool choose_variant(const thew_participant *participant, thew_day on, thew_advised *advised, const thew_fitted *last)
{
    const thew_exercise *exercise = advised->exercise;
    const thew_variant *wanted[] = { last ? last->variant : exercise->usual, exercise->usual };
    bool any = false;
    for (size_t w = 0; w < G_N_ELEMENTS(wanted) + exercise->variant_count && advised->count == 0; w++) {
        const thew_variant *variant = w < G_N_ELEMENTS(wanted) ? wanted[w] : exercise->variant[w - G_N_ELEMENTS(wanted)];
        bool off = thew_participant_is_off_limits(participant, variant, on);
        any = any || !off;
        if (!off) take_variant(advised, variant);
    }
    if (advised->count == 0) advised->variant = exercise->usual;
    return any;
}

static void note_off_limits(thew_person_advice *a, const thew_advised *advised)
{
    g_autofree char *said = g_strdup_printf("%s is left out: it is off limits", advised->exercise->name);
    if (!g_ptr_array_find_with_equal_func(a->note, said, g_str_equal, NULL)) g_ptr_array_add(a->note, g_steal_pointer(&said));
}

static thew_history history_of(const thew_person_advice *a, const thew_participant *participant, const thew_entry *entry,
                               const thew_fitted *last)
{
    if (!last)
        return (thew_history){ 0 };
    return (thew_history){
        .has_last = true,
        .last_peak_share = last->rung.peak_share,
        .last_key = last->rung.key,
        .last_ended = entry->ended,
        .last_seconds = entry->seconds,
        .days_since_last = a->on - entry->day,
        .symptom = symptom_since(a, participant, entry->day),
        .declined = a->declined,
    };
}

static const thew_conditions *conditions_on(const thew_participant *participant, thew_day on)
{
    for (guint c = 0; c < participant->checkin->len; c++) {
        const thew_checkin *checkin = &g_array_index(participant->checkin, thew_checkin, c);
        if (checkin->day == on)
            return &checkin->conditions;
    }
    return NULL;
}

// What would be advised the next time, if the advised set ended so. NULL if nothing would change.
static const thew_fitted *after(const thew_person_advice *a, const thew_advised *advised, int track, const thew_rung *rungs, thew_ended ended,
                                double seconds)
{
    g_autofree thew_capacity *later = g_memdup2(a->capacity, sizeof *a->capacity);
    thew_set set = {
        .day = a->on, .track = track, .rung = advised->take->rung, .ended = ended, .seconds = seconds, .reserve_s = -1
    };
    if (thew_capacity_record(&a->profile, later, &set) < 0 || !thew_advise_is_sound(later))
        return NULL;
    thew_history history = { .has_last = true,
                             .last_peak_share = set.rung.peak_share,
                             .last_key = set.rung.key,
                             .last_ended = ended,
                             .last_seconds = seconds,
                             .days_since_last = thew_recovery_days(thew_recovery_default()) };
    thew_advice next;
    if (thew_advise(&a->profile, later, track, rungs, (int)advised->count, a->on + history.days_since_last, NULL, &history, NULL, &next) < 0)
        return NULL;
    const thew_fitted *then = fitted_at(advised, next.rung);
    return then == advised->take ? NULL : then;
}

// Earliest good day: recovery since the last set of any exercise with the same prime mover, on that side.
static thew_day earliest_day(const thew_catalogue *catalogue, const thew_person_advice *a, const thew_participant *participant,
                             const thew_advised *advised)
{
    thew_day earliest = a->on;
    for (guint e = 0; e < participant->entry->len; e++) {
        const thew_entry *entry = &g_array_index(participant->entry, thew_entry, e);
        const thew_exercise *exercise = thew_catalogue_exercise(catalogue, entry->exercise);
        bool same_side = entry->side == advised->side || entry->side == THEW_BOTH || advised->side == THEW_BOTH;
        if (entry->day <= a->on && exercise && exercise->prime_action == advised->exercise->prime_action && same_side)
            earliest = MAX(earliest, entry->day + thew_recovery_days(thew_recovery_default()));
    }
    return earliest;
}

const thew_task *thew_advised_task(const thew_person_advice *person, const thew_advised *advised)
{
    ptrdiff_t track = advised - (const thew_advised *)(const void *)person->advised->data;
    g_assert(track >= 0 && track < person->profile.track_count);
    return &person->profile.task[person->profile.track[track].task];
}

#define RESERVE_REPETITIONS 1.5
#define HOLD_REPETITION_S 10.0 // what stands for a repetition in a hold, as in engine/evidence.c

double thew_advised_aim_s(const thew_person_advice *person, const thew_advised *advised)
{
    const thew_task *task = thew_advised_task(person, advised);
    const thew_odds *odds = &advised->advice.odds;
    if (person->endpoint == THEW_TO_RESERVE) {
        double cycle_s = thew_tempo_cycle_s(task->tempo), repetition_s = cycle_s > 0 ? cycle_s : HOLD_REPETITION_S;
        return CLAMP(odds->p50_s - RESERVE_REPETITIONS * repetition_s, task->floor_s, task->window_to_s);
    }
    bool to_window = advised->advice.goal_s <= task->window_from_s;
    return to_window && odds->p_beyond > .5 ? task->window_to_s : advised->advice.goal_s;
}

double thew_advised_early_s(const thew_task *task) { return (task->floor_s + task->window_from_s) / 2; }

static void advise_one(const thew_catalogue *catalogue, thew_person_advice *a, const thew_participant *participant, int track)
{
    thew_advised *advised = &g_array_index(a->advised, thew_advised, track);
    const thew_entry *entry = last_entry(a, participant, track);
    advised->last = entry ? done_in(advised, entry) : NULL;
    advised->earliest = earliest_day(catalogue, a, participant, advised);
    if (!choose_variant(participant, a->on, advised, advised->last)) note_off_limits(a, advised);
    if (advised->count == 0)
        return;
    g_autofree thew_rung *rungs = g_new(thew_rung, advised->count);
    for (guint r = 0; r < advised->count; r++)
        rungs[r] = fitted_at(advised, (int)r)->rung;
    advised->odds = g_new0(thew_odds, advised->count);
    thew_history history = history_of(a, participant, entry, advised->last);
    thew_status status = thew_advise(&a->profile, a->capacity, track, rungs, (int)advised->count, a->on,
                                     conditions_on(participant, a->on), &history, advised->odds, &advised->advice);
    g_assert(status >= 0); // the ladder has rungs, and the belief is not from the future
    advised->outside_endurance = status == THEW_OUTSIDE_ENDURANCE;
    advised->take = fitted_at(advised, advised->advice.rung);
    advised->better = fitted_at(advised, advised->advice.reason.better_rung);
    if (advised->advice.reason.code == THEW_REASON_TOO_LIGHT)
        advised->other = advised->variant->harder;
    if (advised->advice.reason.code == THEW_REASON_TOO_HEAVY)
        advised->other = advised->variant->easier;
    if (advised->other && thew_participant_is_off_limits(participant, advised->other, a->on)) advised->other = NULL;
    const thew_task *task = thew_advised_task(a, advised);
    advised->if_completed = after(a, advised, track, rungs, THEW_COMPLETED, task->window_to_s);
    advised->if_early = after(a, advised, track, rungs, THEW_FAILURE, thew_advised_early_s(task));
}

thew_person_advice *thew_advise_from(const thew_catalogue *catalogue, const thew_participant *participant, thew_day on,
                                     thew_belief *belief)
{
    thew_person_advice *a = g_new0(thew_person_advice, 1);
    a->on = on;
    a->endpoint = participant->endpoint;
    a->ladder = g_ptr_array_new_with_free_func((GDestroyNotify)thew_ladder_free);
    a->advised = g_array_new(FALSE, TRUE, sizeof(thew_advised));
    a->note = g_ptr_array_new_with_free_func(g_free);
    a->set = g_array_new(FALSE, FALSE, sizeof(thew_set));
    a->set_entry = g_array_new(FALSE, FALSE, sizeof(guint));
    a->checkin = g_array_new(FALSE, FALSE, sizeof(thew_checkin));
    a->capacity = g_new0(thew_capacity, 1);
    g_autoptr(GPtrArray) exercises = exercises_of(catalogue, participant, on);
    set_up(a, exercises, participant);
    take_sets(a, participant);
    play(a, participant, belief);
    for (guint t = 0; t < a->advised->len; t++)
        advise_one(catalogue, a, participant, (int)t);
    return a;
}

thew_person_advice *thew_advise_person(const thew_catalogue *catalogue, const thew_participant *participant, thew_day on)
{
    return thew_advise_from(catalogue, participant, on, NULL);
}

void thew_person_advice_free(thew_person_advice *advice)
{
    if (!advice)
        return;
    for (guint t = 0; t < advice->advised->len; t++)
        g_free(g_array_index(advice->advised, thew_advised, t).odds);
    g_array_free(advice->advised, TRUE);
    g_array_free(advice->set, TRUE);
    g_array_free(advice->set_entry, TRUE);
    g_array_free(advice->checkin, TRUE);
    g_ptr_array_free(advice->ladder, TRUE);
    g_ptr_array_free(advice->note, TRUE);
    g_free(advice->capacity);
    g_free(advice);
}
