// somebody.h: an invented person with kit and diary for the studio's tests, built a line at a time.
#ifndef THEW_TESTS_SOMEBODY_H
#define THEW_TESTS_SOMEBODY_H

#include "studio/participant.h"
#include "tests/text_rows.h"

#define DAY 20500 // 2026-02-16, a Monday

static inline thew_participant somebody(thew_condition condition)
{
    return (thew_participant){
        .id = "ida",
        .called = "Ida",
        .sex = THEW_SEX_FEMALE,
        .birth_year = 1968,
        .height_m = 1.66,
        .mass_kg = 71,
        .condition = condition,
        .piece = g_array_new(FALSE, FALSE, sizeof(thew_piece)),
        .entry = g_array_new(FALSE, FALSE, sizeof(thew_entry)),
        .checkin = g_array_new(FALSE, FALSE, sizeof(thew_checkin)),
    };
}

static inline void nobody(thew_participant *p)
{
    g_array_free(p->piece, TRUE);
    g_array_free(p->entry, TRUE);
    g_array_free(p->checkin, TRUE);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(thew_participant, nobody)

static inline void own_band(thew_participant *p, const char *label, double rest_length_m, double force_n_at_double)
{
    thew_piece piece = { .label = label, .kind = THEW_IMPLEMENT_BAND };
    thew_reading reading[] = { { 1.5 * rest_length_m, .62 * force_n_at_double }, { 2 * rest_length_m, force_n_at_double } };
    assert_true(thew_band_fit(rest_length_m, reading, 2, 0, &piece.band, NULL) >= 0);
    g_array_append_val(p->piece, piece);
}

static inline void own_weight(thew_participant *p, const char *label, thew_implement_kind kind, double mass_kg)
{
    thew_piece piece = { .label = label, .kind = kind, .mass_kg = mass_kg };
    g_array_append_val(p->piece, piece);
}

static inline void own_loop(thew_participant *p, const char *label, double rest_length_m, int step)
{
    thew_piece piece = { .label = label, .kind = THEW_IMPLEMENT_LOOP, .band = thew_band_unmeasured(rest_length_m, step) };
    g_array_append_val(p->piece, piece);
}

// A day of the diary must not lie before the one told last.
static inline void did(thew_participant *p, thew_day day, const char *exercise, thew_side side, const char *implement,
                       const char *setting, thew_ended ended, double seconds)
{
    thew_entry entry = { .day = day,
                         .exercise = exercise,
                         .side = side,
                         .implement = implement,
                         .setting = setting,
                         .ended = ended,
                         .seconds = seconds,
                         .reserve_s = -1 };
    g_array_append_val(p->entry, entry);
}

static inline thew_catalogue *the_catalogue(void)
{
    g_autoptr(GError) error = NULL;
    thew_catalogue *catalogue = thew_catalogue_load(NULL, &error);
    if (!catalogue) fail_msg("%s", error->message);
    return catalogue;
}

#endif
