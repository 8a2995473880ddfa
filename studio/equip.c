// equip.c: see equip.h.
#include "studio/equip.h"

#include <math.h>
#include <string.h>

#include "store/diary.h"
#include "store/person.h"
#include "studio/check.h"
#include "studio/held.h"
#include "studio/know.h"
#include "studio/words.h"

#define Z80 1.2815515655446004 // 80 % of a normal lies within this many SD
#define Z95 1.959963984540054
#define STEP_MAX 12
#define READINGS_MAX 50
#define MONTHS_APART_DAYS 60 // readings further apart than this say something of wear (judgement)
#define OFF_THE_CURVE .25    // a reading this far off is more likely misread than true (judgement)

static const char *const kinds[] = { "band", "loop", "dumbbell", "cuff", NULL };

static bool stretches(const char *kind)
{
    return g_strcmp0(kind, "band") == 0 || g_strcmp0(kind, "loop") == 0;
}

// --- curves ----------------------------------------------------------------------------------------------------------------------

void thew_curve_free(thew_curve *curve)
{
    if (!curve) return;
    g_free(curve->news);
    g_free(curve);
}

static thew_curve *curve_of(const thew_band *band)
{
    thew_curve *curve = g_new0(thew_curve, 1);
    curve->band = *band;
    for (int p = 0; p < THEW_CURVE_POINTS; p++) {
        double stretch = 1 + 2.0 * p / (THEW_CURVE_POINTS - 1), force_n = thew_band_force_n(band, stretch);
        double spread = p > 0 ? exp(Z80 * thew_band_force_ln_sd(band, stretch)) : 1;
        curve->point[p] = (thew_curve_point){ stretch * band->rest_length_m, force_n, force_n / spread, force_n * spread };
    }
    curve->at_double_n = thew_band_force_n(band, 2);
    curve->error_percent = 100 * expm1(Z80 * thew_band_force_ln_sd(band, 2));
    return curve;
}

// The reading that lies furthest off; a share of the curve.
static double worst_misfit(const thew_band *band, const thew_reading *reading, guint count, guint *which)
{
    double worst = 0;
    for (guint r = 0; r < count; r++) {
        double misfit = reading[r].force_n / thew_band_force_n(band, reading[r].length_m / band->rest_length_m) - 1;
        if (fabs(misfit) <= fabs(worst)) continue;
        worst = misfit;
        *which = r;
    }
    return worst;
}

static char *news_of(const thew_band *band, thew_status status, const thew_reading *reading, guint count)
{
    guint which = 0;
    if (status == THEW_ONE_READING)
        return g_strdup(
            "Measured at one length only: the rest of the curve is what such rubber usually does. A reading at another length "
            "makes it much surer.");
    if (status == THEW_BEYOND_CURVE)
        return g_strdup(
            "A reading lies beyond 3.1 times the rest length, where the curve is a guess and a band is near its end: measure "
            "between one and a half and two and a half times.");
    double misfit = worst_misfit(band, reading, count, &which);
    if (fabs(misfit) < OFF_THE_CURVE) return NULL;
    return g_strdup_printf(
        "The readings do not lie on one curve: the one at %.2f m is %.0f %% %s it. One of them was misread: measure "
        "them once more.",
        reading[which].length_m, 100 * fabs(misfit), misfit > 0 ? "above" : "below");
}

static bool check_reading(double rest_length_m, const thew_reading_given *reading, guint index, thew_refusal *refusal)
{
    guint before = refusal->fault->len;
    if (!isfinite(reading->length_m) || reading->length_m <= rest_length_m || reading->length_m > 10)
        thew_refusal_at(refusal, "readings", index, "length_m",
                        "the stretched length must be above the rest length, %.2f m, and at most 10 m", rest_length_m);
    if (!isfinite(reading->force_n) || reading->force_n <= 0 || reading->force_n > 2000)
        thew_refusal_at(refusal, "readings", index, "force_n", "the force must be above 0 and at most 2000 newtons (204 kgf)");
    return refusal->fault->len == before;
}

static bool check_rest_length(double rest_length_m, const char *pointer, thew_refusal *refusal)
{
    return thew_check_number(refusal, pointer, rest_length_m, .05, 5, "metres");
}

thew_verdict thew_equip_curve(double rest_length_m, const thew_reading_given *reading, guint count, thew_curve **curve,
                              thew_refusal *refusal)
{
    *curve = NULL;
    bool rest = check_rest_length(rest_length_m, "/rest_length_m", refusal);
    if (count < 1 || count > READINGS_MAX) thew_refusal_add(refusal, "/readings", "from 1 to %d readings are needed", READINGS_MAX);
    g_autoptr(GArray) taken = g_array_new(FALSE, FALSE, sizeof(thew_reading));
    for (guint r = 0; r < MIN(count, READINGS_MAX); r++) {
        thew_reading one = { reading[r].length_m, reading[r].force_n };
        check_reading(rest ? rest_length_m : 0, &reading[r], r, refusal);
        g_array_append_val(taken, one);
    }
    if (!thew_refusal_is_empty(refusal)) return THEW_INVALID;
    thew_band band;
    int at_fault;
    const thew_reading *all = (const thew_reading *)(const void *)taken->data;
    thew_status status = thew_band_fit(rest_length_m, all, (int)count, 0, &band, &at_fault);
    if (status < 0) {
        g_autofree char *pointer = g_strdup_printf("/readings/%d", MAX(at_fault, 0));
        thew_refusal_add(refusal, pointer, "%s", thew_status_sentence(status));
        return THEW_INVALID;
    }
    *curve = curve_of(&band);
    (*curve)->news = news_of(&band, status, all, count);
    return THEW_DONE;
}

// --- wear ------------------------------------------------------------------------------------------------------------------------

typedef struct {
    thew_day day;
    thew_band band;
} measuring;

static GArray *readings_of_day(const thew_store_reading *reading, guint count, thew_date day)
{
    GArray *taken = g_array_new(FALSE, FALSE, sizeof(thew_reading));
    for (guint r = 0; r < count; r++) {
        thew_reading one = { reading[r].length_m, reading[r].force_n };
        if (thew_date_compare(reading[r].measured_day, day) == 0) g_array_append_val(taken, one);
    }
    return taken;
}

static bool measured_on(const thew_equipment *e, thew_date day, measuring *out)
{
    g_autoptr(GArray) taken = readings_of_day(e->reading, e->reading_count, day);
    out->day = thew_studio_number(day);
    return taken->len > 0 && e->item.rest_length_m.known &&
           thew_band_fit(e->item.rest_length_m.value, (const thew_reading *)(const void *)taken->data, (int)taken->len, 0,
                         &out->band, NULL) >= 0;
}

// The first and the last measuring whose day is known.
static bool first_and_last(const thew_equipment *e, measuring *first, measuring *last)
{
    const thew_store_reading *earliest = NULL, *latest = NULL;
    for (guint r = 0; r < e->reading_count; r++) {
        const thew_store_reading *reading = &e->reading[r];
        if (reading->measured_day.year == 0) continue;
        if (!earliest || thew_date_compare(reading->measured_day, earliest->measured_day) < 0) earliest = reading;
        if (!latest || thew_date_compare(reading->measured_day, latest->measured_day) > 0) latest = reading;
    }
    return earliest && measured_on(e, earliest->measured_day, first) && measured_on(e, latest->measured_day, last) &&
           last->day - first->day >= MONTHS_APART_DAYS;
}

// The curve's own misfit is the same in both and falls out of their ratio only if both were read alike; kept in, it makes the
// sentence the more careful one.
static char *wear_of(const thew_equipment *e)
{
    measuring first, last;
    if (!first_and_last(e, &first, &last)) return NULL;
    double before_n = thew_band_force_n(&first.band, 2), now_n = thew_band_force_n(&last.band, 2);
    double ln_sd = hypot(thew_band_force_ln_sd(&first.band, 2), thew_band_force_ln_sd(&last.band, 2));
    double change = log(now_n / before_n), percent = 100 * fabs(expm1(change)), error = 100 * expm1(Z95 * ln_sd);
    g_autofree char *since = thew_words_day(first.day);
    if (fabs(change) < Z95 * ln_sd)
        return g_strdup_printf("No change beyond the error of measuring since %s (%.0f %% %s; up to %.0f %% could be chance).",
                               since, percent, change < 0 ? "less" : "more", error);
    if (change > 0)
        return g_strdup_printf(
            "%.0f %% more force than on %s, which no band grows by itself: was it gripped at the same length? Measure it "
            "again.",
            percent, since);
    return g_strdup_printf(
        "%.0f %% less force than on %s, more than the error of measuring (%.0f %%): it wears out. Look it over for nicks "
        "and pale lines, and replace it in good time.",
        percent, since, error);
}

// --- looking ---------------------------------------------------------------------------------------------------------------------

static void equipment_free(gpointer data)
{
    thew_equipment *e = data;
    thew_curve_free(e->curve);
    g_free(e->wear);
    g_free(e);
}

void thew_kit_free(thew_kit *kit)
{
    if (!kit) return;
    g_ptr_array_unref(kit->item);
    g_ptr_array_unref(kit->held);
    g_free(kit);
}

static thew_kit *kit_new(void)
{
    thew_kit *kit = g_new0(thew_kit, 1);
    kit->item = g_ptr_array_new_with_free_func(equipment_free);
    kit->held = thew_held_new();
    return kit;
}

static void take_curve(thew_equipment *e, const thew_rows *readings)
{
    thew_band band;
    if (!stretches(e->item.kind)) return;
    thew_status status = thew_know_band(&e->item, readings, &band);
    if (status < 0) return;
    e->curve = curve_of(&band);
    if (e->reading_count == 0) {
        e->curve->news =
            g_strdup("Not measured yet: its force is a guess from its place among its like. Two readings of a scale tell far "
                     "more.");
        return;
    }
    g_autoptr(GArray) taken = readings_of_day(e->reading, e->reading_count, e->reading[e->reading_count - 1].measured_day);
    e->curve->news = news_of(&band, status, (const thew_reading *)(const void *)taken->data, taken->len);
}

static thew_store_status take_item(thew_studio *studio, const thew_store_item *item, GHashTable *called, thew_kit *kit)
{
    thew_rows *readings = NULL;
    thew_store_status status = thew_store_reading_of(studio->db, studio->id, item->item, &readings);
    thew_hold(kit->held, readings, (GDestroyNotify)thew_rows_free);
    if (status < 0) return status;
    thew_equipment *e = g_new0(thew_equipment, 1);
    e->item = *item;
    e->owner_called = item->person ? g_hash_table_lookup(called, item->person) : NULL;
    e->reading = (const thew_store_reading *)(void *)readings->row->data;
    e->reading_count = readings->row->len;
    take_curve(e, readings);
    e->wear = stretches(item->kind) ? wear_of(e) : NULL;
    g_ptr_array_add(kit->item, e);
    return status;
}

static thew_store_status read_called(thew_studio *studio, thew_kit *kit, GHashTable *called)
{
    thew_rows *people = NULL;
    thew_store_status status = thew_store_person_all(studio->db, studio->id, &people);
    thew_hold(kit->held, people, (GDestroyNotify)thew_rows_free);
    for (guint i = 0; status >= 0 && i < people->row->len; i++) {
        const thew_store_person *person = thew_row(people, thew_store_person, i);
        g_hash_table_insert(called, (char *)person->person, (char *)person->called);
    }
    return status;
}

static thew_store_status take_items(thew_studio *studio, const thew_rows *items, thew_kit *kit)
{
    g_autoptr(GHashTable) called = g_hash_table_new(g_str_hash, g_str_equal);
    thew_store_status status = read_called(studio, kit, called);
    for (int retired = 0; retired <= 1; retired++)
        for (guint i = 0; status >= 0 && i < items->row->len; i++) {
            const thew_store_item *item = thew_row(items, thew_store_item, i);
            if ((item->retired_day.year != 0) == retired) status = take_item(studio, item, called, kit);
        }
    return status;
}

static thew_store_status read_kit(thew_studio *studio, const char *person, thew_kit *kit)
{
    thew_rows *items = NULL;
    g_autoptr(thew_rows) there = NULL;
    thew_store_status status = THEW_STORE_OK;
    if (person) status = thew_store_person_find(studio->db, studio->id, person, &there);
    if (status >= 0)
        status = person ? thew_store_item_of(studio->db, studio->id, person, &items)
                        : thew_store_item_all(studio->db, studio->id, &items);
    thew_hold(kit->held, items, (GDestroyNotify)thew_rows_free);
    return status < 0 ? status : take_items(studio, items, kit);
}

thew_verdict thew_equip_list(thew_studio *studio, const char *person, thew_kit **kit, thew_refusal *refusal)
{
    *kit = NULL;
    g_autoptr(thew_kit) read = kit_new();
    thew_store_status status = thew_db_begin_reading(studio->db);
    if (status >= 0) status = thew_db_end(studio->db, read_kit(studio, person, read));
    thew_verdict verdict = thew_refuse_store(refusal, studio->db, status);
    if (verdict == THEW_DONE) *kit = g_steal_pointer(&read);
    return verdict;
}

static thew_store_status read_item(thew_studio *studio, const char *item, thew_kit *kit)
{
    thew_rows *items = NULL;
    thew_store_status status = thew_store_item_find(studio->db, studio->id, item, &items);
    thew_hold(kit->held, items, (GDestroyNotify)thew_rows_free);
    return status < 0 ? status : take_items(studio, items, kit);
}

thew_verdict thew_equip_read(thew_studio *studio, const char *item, thew_kit **kit, thew_refusal *refusal)
{
    *kit = NULL;
    g_autoptr(thew_kit) read = kit_new();
    thew_store_status status = thew_db_begin_reading(studio->db);
    if (status >= 0) status = thew_db_end(studio->db, read_item(studio, item, read));
    thew_verdict verdict = thew_refuse_store(refusal, studio->db, status);
    if (verdict == THEW_DONE) *kit = g_steal_pointer(&read);
    return verdict;
}

// --- adding, changing ------------------------------------------------------------------------------------------------------------

static void check_numbers(const thew_item_given *given, thew_refusal *refusal)
{
    static const char absent_band[] = "a band or loop has no mass here; leave this out",
                      absent_weight[] = "only bands and loops have this; leave it out";
    bool band = stretches(given->kind);
    if (band && given->mass_kg.known) thew_refusal_add(refusal, "/mass_kg", "%s", absent_band);
    if (!band && !given->mass_kg.known) thew_refusal_add(refusal, "/mass_kg", "how heavy is it? Its mass is needed");
    if (!band) thew_check_maybe(refusal, "/mass_kg", given->mass_kg, .05, 100, "kilograms");
    if (band && !given->rest_length_m.known)
        thew_refusal_add(refusal, "/rest_length_m", "how long is it lying flat? Its rest length is needed");
    if (band && given->rest_length_m.known) check_rest_length(given->rest_length_m.value, "/rest_length_m", refusal);
    if (!band && given->rest_length_m.known) thew_refusal_add(refusal, "/rest_length_m", "%s", absent_weight);
    if (!band && given->step.known) thew_refusal_add(refusal, "/step", "%s", absent_weight);
    if (band && given->step.known &&
        (given->step.value != floor(given->step.value) || given->step.value < 0 || given->step.value > STEP_MAX))
        thew_refusal_add(refusal, "/step", "this is its place among its like, a whole number from 0, the softest, to %d", STEP_MAX);
}

static void check_given(const thew_item_given *given, thew_refusal *refusal)
{
    thew_check_identifier(refusal, "/item", given->item);
    thew_check_text(refusal, "/label", given->label, 1, THEW_NAME_MAX);
    thew_check_text(refusal, "/note", given->note, 0, THEW_NOTE_MAX);
    thew_check_day(refusal, "/retired_day", given->retired_day, true);
    if (thew_check_word(refusal, "/kind", given->kind, kinds, false)) check_numbers(given, refusal);
}

static thew_store_item row_of(const thew_studio *studio, const thew_item_given *given)
{
    return (thew_store_item){ .item = given->item,
                              .person = given->person,
                              .label = given->label,
                              .kind = given->kind,
                              .mass_kg = given->mass_kg,
                              .rest_length_m = given->rest_length_m,
                              .step = given->step,
                              .note = given->note ? given->note : "",
                              .made_us = thew_studio_now(studio),
                              .retired_day = given->retired_day };
}

static bool same_maybe(thew_maybe_real a, thew_maybe_real b)
{
    return a.known == b.known && (!a.known || a.value == b.value);
}

static bool is_same(const thew_store_item *a, const thew_store_item *b)
{
    return g_strcmp0(a->person, b->person) == 0 && strcmp(a->label, b->label) == 0 && strcmp(a->kind, b->kind) == 0 &&
           same_maybe(a->mass_kg, b->mass_kg) && same_maybe(a->rest_length_m, b->rest_length_m) && same_maybe(a->step, b->step) &&
           strcmp(a->note, b->note) == 0 && thew_date_compare(a->retired_day, b->retired_day) == 0;
}

// A label in use is one thing only: diaries name what was used by it.
static thew_store_status check_label(thew_studio *studio, const thew_store_item *item, thew_refusal *refusal)
{
    g_autoptr(thew_rows) all = NULL;
    thew_store_status status = thew_store_item_all(studio->db, studio->id, &all);
    for (guint i = 0; status >= 0 && i < all->row->len && item->retired_day.year == 0; i++) {
        const thew_store_item *other = thew_row(all, thew_store_item, i);
        if (strcmp(other->item, item->item) != 0 && other->retired_day.year == 0 && strcmp(other->label, item->label) == 0 &&
            g_strcmp0(other->person, item->person) == 0)
            thew_refusal_add(refusal, "/label",
                             "something of this owner is labelled \"%s\" already: choose another label, or retire that one",
                             item->label);
    }
    return status;
}

static thew_store_status check_owner(thew_studio *studio, const char *person, thew_refusal *refusal)
{
    g_autoptr(thew_rows) there = NULL;
    thew_store_status status = person ? thew_store_person_find(studio->db, studio->id, person, &there) : THEW_STORE_OK;
    if (status != THEW_STORE_NOT_FOUND) return status;
    thew_refusal_add(refusal, "/person", "there is no such person here");
    return THEW_STORE_OK;
}

// Whoever owned it may have sets on record with it, by its label.
static thew_store_status was_used(thew_studio *studio, const thew_store_item *item, bool *used)
{
    g_autoptr(thew_rows) readings = NULL, sets = NULL;
    thew_store_status status = thew_store_reading_of(studio->db, studio->id, item->item, &readings);
    if (status >= 0) *used = readings->row->len > 0;
    if (status >= 0 && !*used)
        status = thew_store_diary_current(studio->db, studio->id, item->person, (thew_date){ 0 }, (thew_date){ 0 }, &sets);
    for (guint i = 0; status >= 0 && !*used && i < sets->row->len; i++)
        *used = g_strcmp0(thew_row(sets, thew_store_set, i)->implement, item->label) == 0;
    return status;
}

// What was measured stays longer than the band at rest.
static thew_store_status check_rest(thew_studio *studio, const thew_store_item *row, thew_refusal *refusal)
{
    g_autoptr(thew_rows) readings = NULL;
    thew_store_status status = thew_store_reading_of(studio->db, studio->id, row->item, &readings);
    for (guint i = 0; status >= 0 && i < readings->row->len; i++) {
        double length_m = thew_row(readings, thew_store_reading, i)->length_m;
        if (row->rest_length_m.value < length_m) continue;
        thew_refusal_add(refusal, "/rest_length_m", "it was measured when stretched to %.2f m, so its rest length is less",
                         length_m);
        break;
    }
    return status;
}

// What the past rests on cannot become another thing, or the past would.
static thew_store_status check_identity(thew_studio *studio, const thew_store_item *before, const thew_store_item *after,
                                        thew_refusal *refusal)
{
    bool kind = strcmp(before->kind, after->kind) != 0, owner = g_strcmp0(before->person, after->person) != 0;
    bool label = strcmp(before->label, after->label) != 0, used = false;
    if (!kind && !owner && !label) return THEW_STORE_OK;
    thew_store_status status = was_used(studio, before, &used);
    if (status < 0 || !used) return status;
    if (kind)
        thew_refusal_add(refusal, "/kind", "it was measured or used as a %s: retire it, and add the other as another item",
                         before->kind);
    if (owner) thew_refusal_add(refusal, "/person", "it was measured or used: retire it here, and add it for its new owner");
    if (label)
        thew_refusal_add(refusal, "/label", "the diary knows it as \"%s\": retire it, and add it under its new label",
                         before->label);
    return status;
}

static thew_verdict settle(thew_studio *studio, thew_verdict verdict, thew_refusal *refusal)
{
    if (verdict == THEW_DONE) return thew_refuse_store(refusal, studio->db, thew_db_commit(studio->db));
    thew_db_rollback(studio->db);
    return verdict;
}

static thew_verdict put(thew_studio *studio, const thew_store_item *row, thew_refusal *refusal)
{
    thew_store_status status = check_owner(studio, row->person, refusal);
    if (!thew_refusal_is_empty(refusal)) return THEW_INVALID;
    if (status >= 0) status = check_label(studio, row, refusal);
    if (!thew_refusal_is_empty(refusal)) return THEW_CONFLICT;
    if (status >= 0) status = thew_store_item_put(studio->db, studio->id, row);
    return thew_refuse_store(refusal, studio->db, status);
}

static thew_verdict add(thew_studio *studio, const thew_store_item *row, thew_refusal *refusal)
{
    g_autoptr(thew_rows) there = NULL;
    thew_store_status status = thew_store_item_find(studio->db, studio->id, row->item, &there);
    if (status >= 0)
        return is_same(thew_row(there, thew_store_item, 0), row)
                   ? THEW_DONE_BEFORE
                   : thew_refuse(refusal, THEW_CONFLICT, "another item of this identifier is kept already");
    return status == THEW_STORE_NOT_FOUND ? put(studio, row, refusal) : thew_refuse_store(refusal, studio->db, status);
}

static thew_verdict change(thew_studio *studio, const thew_store_item *row, thew_refusal *refusal)
{
    g_autoptr(thew_rows) there = NULL;
    thew_store_status status = thew_store_item_find(studio->db, studio->id, row->item, &there);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    const thew_store_item *before = thew_row(there, thew_store_item, 0);
    if (is_same(before, row)) return THEW_DONE_BEFORE;
    status = check_identity(studio, before, row, refusal);
    if (status >= 0 && stretches(row->kind)) status = check_rest(studio, row, refusal);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    return thew_refusal_is_empty(refusal) ? put(studio, row, refusal) : THEW_CONFLICT;
}

thew_verdict thew_equip_add(thew_studio *studio, const thew_actor *actor, const thew_item_given *given, thew_refusal *refusal)
{
    (void)actor;
    check_given(given, refusal);
    if (!thew_refusal_is_empty(refusal)) return THEW_INVALID;
    thew_store_item row = row_of(studio, given);
    thew_store_status status = thew_db_begin(studio->db);
    return status < 0 ? thew_refuse_store(refusal, studio->db, status) : settle(studio, add(studio, &row, refusal), refusal);
}

thew_verdict thew_equip_change(thew_studio *studio, const thew_actor *actor, const thew_item_given *given, thew_refusal *refusal)
{
    (void)actor;
    check_given(given, refusal);
    if (!thew_refusal_is_empty(refusal)) return THEW_INVALID;
    thew_store_item row = row_of(studio, given);
    thew_store_status status = thew_db_begin(studio->db);
    return status < 0 ? thew_refuse_store(refusal, studio->db, status) : settle(studio, change(studio, &row, refusal), refusal);
}

// --- measuring -------------------------------------------------------------------------------------------------------------------

static void check_readings(thew_studio *studio, const thew_store_item *item, const thew_reading_given *reading, guint count,
                           thew_refusal *refusal)
{
    if (!stretches(item->kind))
        thew_refusal_add(refusal, "", "only bands and loops are measured; of a %s the mass is known", item->kind);
    if (count < 1 || count > READINGS_MAX) thew_refusal_add(refusal, "/readings", "from 1 to %d readings are needed", READINGS_MAX);
    for (guint r = 0; r < MIN(count, READINGS_MAX); r++) {
        g_autofree char *id = g_strdup_printf("/readings/%u/reading", r), *day = g_strdup_printf("/readings/%u/measured_day", r),
                        *note = g_strdup_printf("/readings/%u/note", r);
        thew_check_identifier(refusal, id, reading[r].reading);
        check_reading(item->rest_length_m.value, &reading[r], r, refusal);
        thew_check_text(refusal, note, reading[r].note, 0, THEW_NOTE_MAX);
        if (thew_check_day(refusal, day, reading[r].measured_day, true) && reading[r].measured_day.year != 0 &&
            thew_studio_number(reading[r].measured_day) > thew_studio_today(studio) + 1)
            thew_refusal_add(refusal, day, "this day is still to come");
    }
}

static bool is_same_reading(const thew_store_reading *kept, const thew_reading_given *given)
{
    return kept->length_m == given->length_m && kept->force_n == given->force_n &&
           thew_date_compare(kept->measured_day, given->measured_day) == 0 &&
           strcmp(kept->note, given->note ? given->note : "") == 0;
}

// Sent again after an answer that was lost: kept already, whatever the hour it came in.
static thew_store_status add_reading(thew_studio *studio, const char *item, const thew_rows *kept, const thew_reading_given *given,
                                     bool *is_new)
{
    for (guint i = 0; i < kept->row->len; i++) {
        const thew_store_reading *row = thew_row(kept, thew_store_reading, i);
        if (strcmp(row->reading, given->reading) == 0 && is_same_reading(row, given)) return THEW_STORE_OK;
    }
    *is_new = true;
    thew_store_status status =
        thew_store_reading_add(studio->db, studio->id,
                               &(thew_store_reading){ given->reading, item, given->length_m, given->force_n, given->measured_day,
                                                      given->note ? given->note : "", thew_studio_now(studio), NULL });
    return status;
}

static thew_verdict measure(thew_studio *studio, const char *item, const thew_reading_given *reading, guint count,
                            thew_refusal *refusal)
{
    g_autoptr(thew_rows) there = NULL, kept = NULL;
    thew_store_status status = thew_store_item_find(studio->db, studio->id, item, &there);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    check_readings(studio, thew_row(there, thew_store_item, 0), reading, count, refusal);
    if (!thew_refusal_is_empty(refusal)) return THEW_INVALID;
    status = thew_store_reading_of(studio->db, studio->id, item, &kept);
    bool is_new = false;
    for (guint r = 0; status >= 0 && r < count; r++) {
        status = add_reading(studio, item, kept, &reading[r], &is_new);
        if (status == THEW_STORE_CONFLICT)
            thew_refusal_at(refusal, "readings", r, "reading",
                            "a reading of this identifier is kept already, with another content");
    }
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    return is_new ? THEW_DONE : THEW_DONE_BEFORE;
}

thew_verdict thew_equip_measure(thew_studio *studio, const thew_actor *actor, const char *item, const thew_reading_given *reading,
                                guint count, thew_refusal *refusal)
{
    (void)actor;
    thew_store_status status = thew_db_begin(studio->db);
    return status < 0 ? thew_refuse_store(refusal, studio->db, status)
                      : settle(studio, measure(studio, item, reading, count, refusal), refusal);
}
