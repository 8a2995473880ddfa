// set_up.h: what the studio is called, where its days begin, its language, and what it has set otherwise than the program would.
// Knows which settings there are, their limits and their defaults. Leaves to others: what they do (advise.h, check_in.h).
#ifndef THEW_STUDIO_SET_UP_H
#define THEW_STUDIO_SET_UP_H

#include "studio/studio.h"

/// Every setting with its default.
typedef struct {
    double heat_caution_c;             // heat index from which a session is made lighter; 27 (NWS band "caution" begins at 80 F)
    double window_from_s, window_to_s; // the window of a set; 60, 90
    double floor_s;                    // a set that ends before is too short; 30
} thew_settings;
thew_settings thew_settings_default(void);

typedef struct {
    int people, items, classes; // not left; in use; not retired
    gint64 sets;                // current
} thew_studio_counts;

typedef struct {
    char *studio, *called, *zone, *language;
    bool demo; // everything in it is invented
    thew_settings settings;
    thew_studio_counts counts;
} thew_studio_shown;
void thew_studio_shown_free(thew_studio_shown *shown);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_studio_shown, thew_studio_shown_free)

typedef struct {
    const char *called, *zone, *language;
    thew_settings settings;
} thew_studio_change;

thew_verdict thew_set_up_read(thew_studio *studio, thew_studio_shown **shown, thew_refusal *refusal);
/// The same without counting, which takes its time in a large studio: the counts are 0.
thew_verdict thew_set_up_glance(thew_studio *studio, thew_studio_shown **shown, thew_refusal *refusal);
/// Change all of it. `studio` itself follows; handles of other threads have to be refreshed.
///   verdict   THEW_INVALID: "/zone", "/settings/window_to_s", ...
thew_verdict thew_set_up_change(thew_studio *studio, const thew_actor *actor, const thew_studio_change *change,
                                thew_refusal *refusal);
/// Take name and zone from the store anew: after another handle has changed them.
thew_verdict thew_set_up_refresh(thew_studio *studio, thew_refusal *refusal);
/// The settings alone; where one is not set, or kept as something that is no number, the default.
thew_store_status thew_set_up_settings(thew_studio *studio, thew_settings *settings);
/// Say that everything in the studio is invented (or no longer).
thew_verdict thew_set_up_demo(thew_studio *studio, bool demo, thew_refusal *refusal);

#endif
