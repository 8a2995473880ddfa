// fit.h: fit an exercise to a person: every way of doing it with the kit they own, as one ladder by demand.
// Knows which resistances a kit makes, which of them are fit to be advised, and what a diary calls each. Leaves to others: which rung
// to take (advise.h).
#ifndef THEW_FIT_H
#define THEW_FIT_H

#include "studio/demand_memo.h"
#include "studio/participant.h"

/// Whether a load is one to advise. What was done on another still says something about strength.
typedef enum {
    THEW_FITS,
    THEW_LOOSE,     // the band hangs loose over much of the lift
    THEW_STRETCHED, // the band would be longer than is safe
    THEW_TOO_SLIGHT,// next to no resistance
    THEW_TOO_GREAT, // nobody moves it
    THEW_RETIRED,   // a piece of it is no longer in use
    THEW_CROWDED    // closer to its neighbours than a ladder of THEW_RUNGS_MAX has room for
} thew_fitness;

/// One way of doing an exercise: variant, implement, setting.
typedef struct {
    const thew_variant *variant;
    const thew_implement *implement;
    const thew_setting *setting;
    const thew_piece *piece, *piece_2; // NULL: none (body weight; one implement)
    thew_demand demand;
    thew_rung rung;                    // what the engine sees
    thew_fitness fitness;
    char *label;                       // what to take: "green + blue, mark-2"; "2 x iron" (one in each hand); "body weight"
} thew_fitted;

/// All of them for one exercise, by variant (easiest first) and demand.
typedef struct {
    const thew_exercise *exercise;
    GArray *fitted;         // thew_fitted: those to advise
    GArray *other;          // thew_fitted: those that the kit makes as well
    GHashTable *by_names;   // owned: what a diary calls them, to index + 1; the other ones count on from the last of `fitted`
} thew_ladder;

/// The ladder of one exercise for a person of that body and kit. May be empty.
///   size_ln_sd   out, may be NULL: how unsure demand is because the body's size was assumed
thew_ladder *thew_fit(const thew_exercise *exercise, const thew_participant *participant, thew_day day, double *size_ln_sd);
void thew_ladder_free(thew_ladder *ladder);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_ladder, thew_ladder_free)

/// What the engine calls its resistance. Points into the kit.
thew_resistance thew_fitted_resistance(const thew_fitted *fitted);

/// A load to advise, found by its names.
///   returns   index into `fitted`, or -1
int thew_ladder_find(const thew_ladder *ladder, const char *variant, const char *implement, const char *setting);

/// What was done, found by its names, fit to be advised or not.
///   returns   NULL if the names mean nothing here (an implement no longer owned, say)
const thew_fitted *thew_ladder_done(const thew_ladder *ladder, const char *variant, const char *implement, const char *setting);

/// Why a load is not one to advise, as the end of a sentence about it ("..., since the band hangs loose over much of the lift").
const char *thew_fitness_words(thew_fitness fitness);

#endif
