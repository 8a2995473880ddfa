// fit_class.c: see fit_class.h.
#include "studio/fit_class.h"

#include <string.h>

#include "store/person.h"
#include "studio/believe.h"
#include "studio/held.h"
#include "studio/keep_class.h"
#include "studio/screen.h"
#include "studio/words.h"

static const char *const state_word[] = { "fits", "easier_variant", "harder_variant", "nothing_fits", "off_limits" };
const char *thew_cell_state_word(thew_cell_state state)
{
    return state_word[state];
}

void thew_class_fits_free(thew_class_fits *fits)
{
    if (!fits) return;
    g_ptr_array_unref(fits->held);
    g_free(fits);
}

// --- one person's advice ---------------------------------------------------------------------------------------------------------

typedef struct {
    thew_studio *studio;
    const thew_kept_slot *slot;
    guint slot_count;
    thew_day day;
    GPtrArray *held;
} matrix;

static bool is_listed(const GPtrArray *list, const char *exercise)
{
    return g_ptr_array_find_with_equal_func((GPtrArray *)list, exercise, g_str_equal, NULL);
}

// The exercises that are advised on anyway; then those of the class that are not among them. While there are none of the latter,
// the belief that is kept beside the diary can be gone on from; else the diary is played once more.
static GPtrArray *exercises_of(const matrix *m, const thew_participant *participant, bool *more)
{
    GPtrArray *list = g_ptr_array_new();
    for (const char *const *id = participant->exercise; id && *id; id++)
        if (!is_listed(list, *id)) g_ptr_array_add(list, (char *)*id);
    for (guint e = 0; e < participant->entry->len; e++) {
        const thew_entry *entry = &g_array_index(participant->entry, thew_entry, e);
        if (entry->day <= m->day && !is_listed(list, entry->exercise)) g_ptr_array_add(list, (char *)entry->exercise);
    }
    *more = false;
    for (guint s = 0; s < m->slot_count; s++)
        if (!is_listed(list, m->slot[s].exercise)) {
            g_ptr_array_add(list, (char *)m->slot[s].exercise);
            *more = true;
        }
    g_ptr_array_add(list, NULL);
    return list;
}

static thew_person_advice *advise(const matrix *m, const thew_knowledge *knowledge)
{
    bool more;
    g_autoptr(GPtrArray) exercises = exercises_of(m, &knowledge->participant, &more);
    if (!more) return thew_believe_advise(m->studio, knowledge, m->day);
    thew_participant participant = knowledge->participant;
    participant.exercise = (const char *const *)exercises->pdata;
    return thew_advise_person(m->studio->catalogue, &participant, m->day);
}

// --- one cell --------------------------------------------------------------------------------------------------------------------

static int place_of(const thew_exercise *exercise, const thew_variant *variant)
{
    for (size_t v = 0; v < exercise->variant_count; v++)
        if (exercise->variant[v] == variant) return (int)v;
    return -1;
}

static bool is_off_limits(const thew_participant *participant, const thew_exercise *exercise, thew_day day)
{
    for (size_t v = 0; v < exercise->variant_count; v++)
        if (!thew_participant_is_off_limits(participant, exercise->variant[v], day)) return false;
    return true;
}

static thew_fit_cell nothing(thew_cell_state state, const char *words)
{
    return (thew_fit_cell){ .state = state, .label = "", .words = words };
}

static void take_side(const thew_person_advice *advice, const thew_advised *advised, thew_fit_cell *cell)
{
    cell->side[cell->side_count++] = (thew_cell_side){ .side = advised->side,
                                                       .label = advised->take->label,
                                                       .window = advised->advice.odds.p_window,
                                                       .goal_s = thew_advised_aim_s(advice, advised) };
}

// "blue, mark-2"; where the sides differ "blue, mark-2 (left); green (right)".
static const char *label_of(const matrix *m, const thew_fit_cell *cell)
{
    if (cell->side_count < 2 || strcmp(cell->side[0].label, cell->side[1].label) == 0)
        return thew_hold_text(m->held, cell->side[0].label);
    return thew_hold_format(m->held, "%s (%s); %s (%s)", cell->side[0].label, thew_words_side(cell->side[0].side),
                            cell->side[1].label, thew_words_side(cell->side[1].side));
}

static const char *words_of(const matrix *m, const thew_fit_cell *cell, const thew_variant *variant)
{
    g_autofree char *chance = thew_words_chance(cell->side[0].window);
    const char *how = cell->state == THEW_CELL_EASIER_VARIANT   ? "the easier variant, "
                      : cell->state == THEW_CELL_HARDER_VARIANT ? "the harder variant, "
                                                                : "";
    if (cell->side_count < 2)
        return thew_hold_format(m->held, "Take %s for %s%s, and aim at %.0f seconds: %s that it ends in the window.", cell->label,
                                how, variant->name, cell->side[0].goal_s, chance);
    g_autofree char *other = thew_words_chance(cell->side[1].window);
    return thew_hold_format(m->held, "Take %s for %s%s: %s that it ends in the window on the %s, %s on the %s.", cell->label, how,
                            variant->name, chance, thew_words_side(cell->side[0].side), other, thew_words_side(cell->side[1].side));
}

// The sides that work with the person's own variant. Of an exercise done with both at once as well as singly, what is done of late
// counts: the advice puts it first.
static const thew_variant *take_sides(const thew_person_advice *advice, const thew_exercise *exercise, thew_fit_cell *cell)
{
    const thew_variant *variant = NULL;
    for (guint a = 0; a < advice->advised->len && cell->side_count < 2; a++) {
        const thew_advised *advised = &g_array_index(advice->advised, thew_advised, a);
        if (advised->exercise != exercise || !advised->take) continue;
        if (variant && (advised->variant != variant || cell->side[0].side == THEW_BOTH || advised->side == THEW_BOTH)) continue;
        variant = advised->variant;
        take_side(advice, advised, cell);
    }
    return variant;
}

static thew_fit_cell cell_of(const matrix *m, const thew_knowledge *knowledge, const thew_person_advice *advice,
                             const thew_kept_slot *slot)
{
    const thew_exercise *exercise = thew_catalogue_exercise(m->studio->catalogue, slot->exercise);
    const thew_variant *wanted = thew_catalogue_variant(m->studio->catalogue, slot->variant);
    if (!exercise || !wanted) return nothing(THEW_CELL_NOTHING_FITS, "This exercise is not in the catalogue any more.");
    if (is_off_limits(&knowledge->participant, exercise, m->day))
        return nothing(THEW_CELL_OFF_LIMITS, thew_hold_format(m->held, "%s is off limits for them.", exercise->name));
    thew_fit_cell cell = { .label = "" };
    const thew_variant *variant = take_sides(advice, exercise, &cell);
    if (!variant)
        return nothing(THEW_CELL_NOTHING_FITS, thew_hold_format(m->held, "Their kit has nothing that fits %s.", exercise->name));
    int apart = place_of(exercise, variant) - place_of(exercise, wanted);
    cell.state = apart == 0 ? THEW_CELL_FITS : apart < 0 ? THEW_CELL_EASIER_VARIANT : THEW_CELL_HARDER_VARIANT;
    cell.variant = variant->id;
    cell.label = label_of(m, &cell);
    cell.words = words_of(m, &cell, variant);
    for (guint s = 0; s < cell.side_count; s++)
        cell.side[s].label = thew_hold_text(m->held, cell.side[s].label);
    return cell;
}

// --- one person ------------------------------------------------------------------------------------------------------------------

// Nothing is fitted to somebody of whom a clinician is to be asked first.
static thew_verdict must_ask_first(const matrix *m, const char *person, bool *ask, thew_refusal *refusal)
{
    g_autoptr(thew_screening) screening = NULL;
    thew_verdict verdict = thew_screen_read(m->studio, person, &screening, refusal);
    *ask = verdict == THEW_DONE && screening->verdict == THEW_SCREEN_ASK_FIRST;
    return verdict;
}

static thew_verdict fit_person(const matrix *m, const char *person, thew_fit_person *row, thew_refusal *refusal)
{
    g_autoptr(thew_knowledge) knowledge = NULL;
    bool ask;
    thew_verdict verdict = must_ask_first(m, person, &ask, refusal);
    if (verdict == THEW_DONE) verdict = thew_know(m->studio, person, &knowledge, refusal);
    if (verdict != THEW_DONE) return verdict;
    row->person = thew_hold_text(m->held, person);
    row->called = thew_hold_text(m->held, knowledge->person->called);
    thew_fit_cell *cell = thew_hold(m->held, g_new0(thew_fit_cell, m->slot_count), g_free);
    row->cell = cell;
    if (ask) {
        for (guint s = 0; s < m->slot_count; s++)
            cell[s] = nothing(THEW_CELL_OFF_LIMITS, "Their screening says to ask a clinician first.");
        return THEW_DONE;
    }
    g_autoptr(thew_person_advice) advice = advise(m, knowledge);
    for (guint s = 0; s < m->slot_count; s++)
        cell[s] = cell_of(m, knowledge, advice, &m->slot[s]);
    return THEW_DONE;
}

// --- everybody -------------------------------------------------------------------------------------------------------------------

static thew_store_status everybody(thew_studio *studio, GPtrArray *person)
{
    g_autoptr(thew_rows) all = NULL;
    thew_store_status status = thew_store_person_all(studio->db, studio->id, &all);
    for (guint i = 0; status >= 0 && i < all->row->len; i++) {
        const thew_store_person *row = thew_row(all, thew_store_person, i);
        if (row->left_day.year == 0) g_ptr_array_add(person, g_strdup(row->person));
    }
    return status;
}

static void take_slots(const matrix *m, thew_class_fits *fits)
{
    thew_fit_slot *slot = thew_hold(m->held, g_new0(thew_fit_slot, m->slot_count), g_free);
    for (guint s = 0; s < m->slot_count; s++) {
        const thew_variant *variant = thew_catalogue_variant(m->studio->catalogue, m->slot[s].variant);
        slot[s] = (thew_fit_slot){ .exercise = thew_hold_text(m->held, m->slot[s].exercise),
                                   .variant = thew_hold_text(m->held, m->slot[s].variant),
                                   .name = variant ? variant->name : thew_hold_text(m->held, m->slot[s].variant) };
    }
    fits->slot = slot;
    fits->slot_count = m->slot_count;
}

thew_verdict thew_fit_slots(thew_studio *studio, const thew_kept_slot *slot, guint slot_count, const char *const *person,
                            thew_day day, thew_class_fits **fits, thew_refusal *refusal)
{
    *fits = NULL;
    g_autoptr(GPtrArray) people = g_ptr_array_new_with_free_func(g_free);
    for (guint i = 0; person && person[i]; i++)
        g_ptr_array_add(people, g_strdup(person[i]));
    thew_store_status status = people->len == 0 ? everybody(studio, people) : THEW_STORE_OK;
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    g_autoptr(thew_class_fits) found = g_new0(thew_class_fits, 1);
    found->held = thew_held_new();
    found->day = day == THEW_NO_DAY ? thew_studio_today(studio) : day;
    matrix m = { studio, slot, slot_count, found->day, found->held };
    take_slots(&m, found);
    thew_fit_person *row = thew_hold(found->held, g_new0(thew_fit_person, people->len), g_free);
    found->person = row;
    found->person_count = people->len;
    for (guint p = 0; p < people->len; p++) {
        thew_verdict verdict = fit_person(&m, people->pdata[p], &row[p], refusal);
        if (verdict != THEW_DONE) return verdict;
    }
    *fits = g_steal_pointer(&found);
    return THEW_DONE;
}

thew_verdict thew_fit_class(thew_studio *studio, const char *class, const char *const *person, thew_day day, thew_class_fits **fits,
                            thew_refusal *refusal)
{
    *fits = NULL;
    g_autoptr(thew_class_kept) kept = NULL;
    thew_verdict verdict = thew_keep_class_read(studio, class, 0, &kept, refusal);
    if (verdict == THEW_DONE)
        verdict = thew_fit_slots(studio, kept->class.plan.slot, kept->class.plan.slot_count, person, day, fits, refusal);
    if (verdict == THEW_DONE) (*fits)->class = thew_hold_text((*fits)->held, class);
    return verdict;
}
