// compose_class_parts.h: what the files of composing a class share: the wishes in the catalogue's own terms, the choice, the plan's
// making. Not for use outside studio/: everybody else asks through compose_class.h.
#ifndef THEW_STUDIO_COMPOSE_CLASS_PARTS_H
#define THEW_STUDIO_COMPOSE_CLASS_PARTS_H

#include "studio/compose_class.h"

#define THEW_CLASS_KIT_BODY (1u << THEW_IMPLEMENT_BODY)
#define THEW_CLASS_KIT_ANCHOR (1u << THEW_IMPLEMENT_COUNT)
#define THEW_CLASS_KIT_ALL ((1u << (THEW_IMPLEMENT_COUNT + 1)) - 1)
#define THEW_CLASS_POSITIONS_ALL ((1u << THEW_POSITION_COUNT) - 1)

/// An exercise, or one of its variants.
typedef struct {
    const thew_exercise *exercise;
    const thew_variant *variant; // NULL: any
} thew_class_named;

/// Wishes, every name found and every number looked at.
typedef struct {
    const thew_catalogue *catalogue;
    const thew_class_wishes *wishes;
    const thew_goal *goal[THEW_COMPOSE_MARKS_MAX]; // [goal_count], those that count: the engine's goals
    int goal_weight[THEW_COMPOSE_MARKS_MAX];
    int goal_count;
    const thew_muscle *const *muscle; // [muscle_count], the engine's muscles
    int muscle_count;
    int seconds;
    unsigned positions, kit;  // kit: bit 1 << thew_implement_kind, THEW_CLASS_KIT_ANCHOR
    GArray *fixed, *excluded; // thew_class_named
} thew_class_asked;

/// Look at the wishes; faults go to the refusal.
void thew_class_ask(const thew_catalogue *catalogue, const thew_class_wishes *wishes, thew_class_asked *asked,
                    thew_refusal *refusal);
void thew_class_asked_clear(thew_class_asked *asked);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(thew_class_asked, thew_class_asked_clear)

/// An exercise or variant by identifier or name, whatever the case.
///   hint      out, may be NULL: what was probably meant, borrowed; NULL if nothing lies near
///   returns   false if there is none
bool thew_class_find(const thew_catalogue *catalogue, const char *name, thew_class_named *named, const char **hint);

/// One way to do an exercise.
typedef struct {
    const thew_exercise *exercise;
    const thew_variant *variant;
    const thew_implement *implement;
    bool is_fixed;
    int sets;
} thew_class_option;

bool thew_class_is_in(const GArray *named, const thew_variant *variant);
/// What an implement needs, as bits of a kit.
unsigned thew_class_kit_of(const thew_implement *implement);
/// The first implement of a variant that the kit has; NULL if it has none.
const thew_implement *thew_class_implement(const thew_class_asked *asked, const thew_variant *variant);
/// The usual variant, or the nearest to it that position, kit and the excluded allow (the easier of two); NULL if none is.
///   positions   bit 1 << thew_position
const thew_variant *thew_class_variant(const thew_class_asked *asked, const thew_exercise *exercise, unsigned positions);

/// What the engine calls an option.
thew_compose_candidate thew_class_candidate(const thew_class_asked *asked, const thew_class_option *option);
/// What the engine is asked, but for candidates.
void thew_class_task(const thew_class_asked *asked, thew_compose_task *task);
/// From the first set's start to the last one's end.
int thew_class_option_s(const thew_class_asked *asked, const thew_class_option *option);

/// A plan from options in order: times, goals, muscles, what earlier sets leave, findings. Score and proof are left to the caller.
///   option   [count]
thew_class_plan *thew_class_plan_new(const thew_class_asked *asked, const thew_class_option *option, guint count);

#endif
