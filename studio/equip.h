// equip.h: kit: what people train with, measured by a scale, with its curve, its error, its wear.
// Knows what makes an item complete and what readings say. Leaves to others: the curve itself (engine/band.h), its picture
// (draw/curve.h), which loads come of it (fit.h).
#ifndef THEW_STUDIO_EQUIP_H
#define THEW_STUDIO_EQUIP_H

#include "engine/band.h"
#include "store/kit.h"
#include "studio/studio.h"

/// What is said of an item. NULL and all-zero: unknown, everybody's, in use.
typedef struct {
    const char *item;   // identifier
    const char *person; // the owner; NULL: everybody's
    const char *label;
    const char *kind; // "band", "loop", "dumbbell", "cuff"
    thew_maybe_real mass_kg, rest_length_m, step;
    const char *note;
    thew_date retired_day;
} thew_item_given;

typedef struct {
    const char *reading; // identifier
    double length_m, force_n;
    thew_date measured_day; // all-zero: unknown
    const char *note;       // "" for none
} thew_reading_given;

typedef struct {
    double length_m, force_n, low_n, high_n; // 80 % interval
} thew_curve_point;

#define THEW_CURVE_POINTS 41
/// A band's force against its length, from the rest length to three times that.
typedef struct {
    thew_band band;
    thew_curve_point point[THEW_CURVE_POINTS];
    double at_double_n;   // at twice the rest length
    double error_percent; // half of the 80 % interval there
    char *news;           // a sentence: one reading only, readings beyond the curve, not measured; NULL: none
} thew_curve;
void thew_curve_free(thew_curve *curve);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_curve, thew_curve_free)

/// An item as it is kept.
typedef struct {
    thew_store_item item;
    const char *owner_called;          // NULL: everybody's
    const thew_store_reading *reading; // [reading_count], oldest first
    guint reading_count;
    thew_curve *curve; // owned; NULL: no band, or one that nothing is known of
    char *wear;        // owned; a sentence on how its force changed between readings months apart; NULL: nothing to say
} thew_equipment;

typedef struct {
    GPtrArray *item; // thew_equipment, owned: in use first, by label
    GPtrArray *held; // what holds the texts
} thew_kit;
void thew_kit_free(thew_kit *kit);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_kit, thew_kit_free)

/// Add an item.
///   verdict   THEW_DONE_BEFORE (the very same); THEW_CONFLICT (another of that identifier; the label is in use); THEW_INVALID
thew_verdict thew_equip_add(thew_studio *studio, const thew_actor *actor, const thew_item_given *given, thew_refusal *refusal);
/// Change it, or retire it (retired_day). Its kind and its owner stay what they were once something was measured or done with it:
/// another kind is another item.
thew_verdict thew_equip_change(thew_studio *studio, const thew_actor *actor, const thew_item_given *given, thew_refusal *refusal);
/// Add readings of a band or loop: all or none.
///   verdict   THEW_INVALID with "/readings/1/length_m", ...; THEW_CONFLICT
thew_verdict thew_equip_measure(thew_studio *studio, const thew_actor *actor, const char *item, const thew_reading_given *reading,
                                guint count, thew_refusal *refusal);

/// A person's own and everybody's; or the whole studio's (person NULL).
thew_verdict thew_equip_list(thew_studio *studio, const char *person, thew_kit **kit, thew_refusal *refusal);
/// One item: `kit` then has exactly one.
thew_verdict thew_equip_read(thew_studio *studio, const char *item, thew_kit **kit, thew_refusal *refusal);

/// The curve of readings as somebody types them; keeps nothing.
///   reading   [count]; only length_m and force_n are looked at
///   verdict   THEW_INVALID with "/rest_length_m", "/readings/0/force_n", ...
thew_verdict thew_equip_curve(double rest_length_m, const thew_reading_given *reading, guint count, thew_curve **curve,
                              thew_refusal *refusal);

#endif
