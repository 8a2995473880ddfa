// bodies.h: what each body says, as a struct and its shape.
// Knows members and kinds, as web/src/api-types.ts has them. Leaves to others: what is right for whom (studio/).
#ifndef THEW_BODIES_H
#define THEW_BODIES_H

#include "serve/shape.h"
#include "store/checkin.h"
#include "store/diary.h"
#include "store/outcome.h"
#include "studio/class_text.h"
#include "studio/enrol.h"
#include "studio/equip.h"
#include "studio/plan_block.h"
#include "studio/set_up.h"

typedef struct {
    int nothing;
} thew_empty_body;

typedef struct {
    const char *login, *password;
} thew_login_body;

typedef struct {
    const char *secret, *login, *password, *called;
} thew_invitation_body;

typedef struct {
    const char *old_password, *new_password;
} thew_password_body;

typedef struct {
    const char *account, *login, *role, *called, *person;
    thew_shape_list sees; // thew_store_sight
} thew_account_body;

/// The lists are those of the change.
typedef struct {
    const char *person; // of a new one
    thew_person_change known;
    thew_shape_list goals, exercises, limits; // texts, texts, thew_store_limit
} thew_person_body;

typedef struct {
    const char *called;
} thew_remove_body;

typedef struct {
    thew_shape_list answers; // thew_screen_given
} thew_screening_body;

typedef struct {
    const char *override, *variant, *implement, *setting, *reason;
} thew_override_body;

typedef struct {
    thew_shape_list row; // thew_store_set, thew_store_checkin, thew_store_outcome
} thew_entries_body;

typedef struct {
    thew_block block;
    thew_shape_list weekdays; // int
} thew_block_body;

typedef struct {
    thew_shape_list readings; // thew_reading_given
} thew_readings_body;

typedef struct {
    double rest_length_m;
    thew_shape_list readings; // thew_reading_given, without names
    thew_maybe_real width;
} thew_curve_body;

typedef struct {
    thew_shape_list goals; // thew_wish_goal
    double minutes;
    thew_shape_list positions, kinds; // words
    int sets, rest_s;
    thew_shape_list fixed, excluded; // texts
} thew_wishes_body;

typedef struct {
    const char *class, *called;
    int version;
    bool retired;
    thew_wishes_body wishes;
    thew_shape_list slots; // thew_kept_slot
} thew_class_body;

typedef struct {
    const char *people, *kit, *diary, *days;
    bool dry;
} thew_import_body;

extern const thew_shape thew_body_empty, thew_body_login, thew_body_invitation, thew_body_password, thew_body_account,
    thew_body_studio, thew_body_new_person, thew_body_person, thew_body_remove, thew_body_screening, thew_body_override,
    thew_body_sets, thew_body_check_ins, thew_body_outcomes, thew_body_block, thew_body_item, thew_body_readings, thew_body_curve,
    thew_body_class, thew_body_wishes, thew_body_order, thew_body_import;

/// Parts that answers have too.
extern const thew_shape thew_part_sight, thew_part_settings, thew_part_limit, thew_part_set, thew_part_check_in, thew_part_outcome,
    thew_part_item, thew_part_reading, thew_part_wishes, thew_part_slot;

/// By the name that routes_list.h uses; for the description of it all and tests.
const thew_shape *const *thew_bodies(size_t *count);

#endif
