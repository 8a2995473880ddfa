// keep_class.h: classes as they are kept: versions that never change.
// Knows what is kept of a class. Leaves to others: composing and judging it (compose_class.h), fitting it to people (fit_class.h),
// holding it.
#ifndef THEW_STUDIO_KEEP_CLASS_H
#define THEW_STUDIO_KEEP_CLASS_H

#include "studio/class_text.h"
#include "studio/compose_class.h"
#include "studio/studio.h"

/// One version.
typedef struct {
    const char *class; // identifier
    int version;       // 1, or the next
    const char *called;
    bool retired; // off the list from here on
    thew_kept_plan plan;
    double minutes; // with set-up, both sides and rests; the store's, as are the next
    thew_utc made_us;
    const char *written_by;
} thew_class_version;

typedef struct {
    const char *class, *called;
    int version;
    double minutes;
    guint slots;
    const char *const *goal; // NULL-terminated: those wished for
    bool retired;
    thew_utc made_us;
} thew_class_brief;

typedef struct {
    GArray *brief;   // thew_class_brief: the latest of each, by what they are called; retired ones too
    GPtrArray *held; // what holds the texts
} thew_classes;
void thew_classes_free(thew_classes *classes);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_classes, thew_classes_free)

typedef struct {
    thew_class_version class;
    GPtrArray *held;
} thew_class_kept;
void thew_class_kept_free(thew_class_kept *kept);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_class_kept, thew_class_kept_free)

/// Keep the next version of a class.
///   verdict   THEW_DONE; THEW_DONE_BEFORE; THEW_CONFLICT (not the next version); THEW_INVALID with "/slots/2/variant",
///             "/wishes/goals/0/goal", ...
thew_verdict thew_keep_class(thew_studio *studio, const thew_actor *actor, const thew_class_version *class, thew_refusal *refusal);
thew_verdict thew_keep_class_list(thew_studio *studio, thew_classes **classes, thew_refusal *refusal);
/// One version; 0: the latest.
thew_verdict thew_keep_class_read(thew_studio *studio, const char *class, int version, thew_class_kept **kept,
                                  thew_refusal *refusal);

// --- plans that are not kept yet -------------------------------------------------------------------------------------------------

/// The best class for these wishes, with the studio's window; pointers begin with "/", as "/goals/0/goal".
///   plan   out: see compose_class.h; NULL unless THEW_DONE
thew_verdict thew_keep_class_compose(thew_studio *studio, const thew_kept_wishes *wishes, thew_class_plan **plan,
                                     thew_refusal *refusal);
/// What an order made by hand comes to; pointers begin with "/wishes" and "/slots".
thew_verdict thew_keep_class_judge(thew_studio *studio, const thew_kept_plan *given, thew_class_plan **plan, thew_refusal *refusal);

#endif
