// demand_memo.h: what loads ask of bodies, remembered: the same people are fitted again and again, and fitting is nearly all that
// advice costs. Knows that a demand follows from body, load and tempo alone. Leaves to others: what it is for (fit.h). Of one
// catalogue; threads may share it.
#ifndef THEW_STUDIO_DEMAND_MEMO_H
#define THEW_STUDIO_DEMAND_MEMO_H

#include "catalogue/catalogue.h"

typedef struct thew_demand_memo thew_demand_memo;

/// Everything that a demand follows from. Every byte counts, so begin with thew_demand_key_of.
typedef struct {
    const thew_implement *implement;
    const thew_setting *setting;
    double sex, age_y, height_m, mass_kg, size_ln_sd; // of the body
    double piece_kg;
    double band[2][8]; // of each band, in full; zero without
} thew_demand_key;

thew_demand_memo *thew_demand_memo_new(void);
/// One more owner of it.
thew_demand_memo *thew_demand_memo_share(thew_demand_memo *memo);
/// One owner less; the last one's frees it. NULL is harmless.
void thew_demand_memo_free(thew_demand_memo *memo);

thew_demand_key thew_demand_key_of(const thew_implement *implement, const thew_setting *setting, const thew_body_model *body,
                                   double piece_kg, const thew_band *band, const thew_band *band_2);

/// What a load asks for.
typedef struct {
    thew_demand demand;
    thew_status status; // of thew_demand_of
    bool is_taut;       // no band hangs loose over much of the lift
} thew_load_demand;

/// What was remembered.
///   load      out; untouched if nothing was
///   returns   whether anything was
bool thew_demand_memo_find(thew_demand_memo *memo, const thew_demand_key *key, thew_load_demand *load);
void thew_demand_memo_keep(thew_demand_memo *memo, const thew_demand_key *key, const thew_load_demand *load);

#endif
