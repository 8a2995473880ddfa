// bodies.c: see bodies.h. Numbers' ranges here keep out what cannot be meant; what is right for whom is the use case's to say.
#include "serve/bodies.h"

#include "studio/admit.h"
#include "studio/check.h"
#include "studio/record.h"

#define LONG_TEXT (16 << 20) // characters of an imported file
#define LIST_MAX 100

#define WORDS(name, ...) static const char *const name[] = { __VA_ARGS__, NULL }
WORDS(sides, "both", "left", "right");
WORDS(ends, "failure", "completed", "reserve", "symptom", "other");
WORDS(roles, "coach", "assistant", "participant", "helper", "clinician");
WORDS(sexes, "female", "male");
WORDS(conditions, "ms", "none");
WORDS(endpoints, "failure", "reserve");
WORDS(left_right, "left", "right");
WORDS(limit_kinds, "movement", "position");
WORDS(item_kinds, "band", "loop", "dumbbell", "cuff");
WORDS(kinds, "body", "band", "loop", "dumbbell", "cuff");
WORDS(positions, "seated", "standing", "lying");

// --- who may come in

const thew_shape thew_body_empty = { "Nothing", NULL, 0, sizeof(thew_empty_body) };

#define T thew_login_body
static const thew_shape_field login[] = {
    THEW_IS_TEXT("login", T, login, 1, THEW_NAME_MAX),
    THEW_IS_TEXT("password", T, password, 1, THEW_PASSWORD_MAX),
};
const thew_shape thew_body_login = THEW_SHAPE("Login", T, login);
#undef T

#define T thew_invitation_body
static const thew_shape_field invitation[] = {
    THEW_IS_TEXT("secret", T, secret, 1, 200),
    THEW_IS_TEXT("login", T, login, 1, THEW_NAME_MAX),
    THEW_IS_TEXT("password", T, password, 1, THEW_PASSWORD_MAX),
    THEW_IS_TEXT("called", T, called, 1, THEW_NAME_MAX),
};
const thew_shape thew_body_invitation = THEW_SHAPE("UseOfLink", T, invitation);
#undef T

#define T thew_password_body
static const thew_shape_field password[] = {
    THEW_IS_TEXT("old", T, old_password, 1, THEW_PASSWORD_MAX),
    THEW_IS_TEXT("new", T, new_password, 1, THEW_PASSWORD_MAX),
};
const thew_shape thew_body_password = THEW_SHAPE("PasswordChange", T, password);
#undef T

#define T thew_store_sight
static const thew_shape_field sight[] = { THEW_IS_NAME("person", T, person), THEW_MAYBE_DAY("until_day", T, until_day) };
const thew_shape thew_part_sight = THEW_SHAPE("Sight", T, sight);
#undef T

#define T thew_account_body
static const thew_shape_field account[] = {
    THEW_IS_NAME("account", T, account),  THEW_IS_TEXT("login", T, login, 1, THEW_NAME_MAX),
    THEW_IS_WORD("role", T, role, roles), THEW_IS_TEXT("called", T, called, 1, THEW_NAME_MAX),
    THEW_MAYBE_NAME("person", T, person), THEW_IS_LIST("sees", T, sees, 0, 1000, &thew_part_sight),
};
const thew_shape thew_body_account = THEW_SHAPE("NewAccount", T, account);
#undef T

// --- the studio

#define T thew_settings
static const thew_shape_field settings[] = {
    THEW_IS_REAL("heat_caution_c", T, heat_caution_c, 0, 60),
    THEW_IS_REAL("window_from_s", T, window_from_s, 0, 3600),
    THEW_IS_REAL("window_to_s", T, window_to_s, 0, 3600),
    THEW_IS_REAL("floor_s", T, floor_s, 0, 3600),
};
const thew_shape thew_part_settings = THEW_SHAPE("Settings", T, settings);
#undef T

#define T thew_studio_change
static const thew_shape_field studio[] = {
    THEW_IS_TEXT("called", T, called, 1, THEW_NAME_MAX),
    THEW_IS_TEXT("zone", T, zone, 1, 64),
    THEW_IS_TEXT("language", T, language, 1, 35),
    THEW_IS_OBJECT("settings", T, settings, &thew_part_settings),
};
const thew_shape thew_body_studio = THEW_SHAPE("StudioChange", T, studio);
#undef T

// --- people

#define T thew_store_limit
static const thew_shape_field limit[] = {
    THEW_IS_WORD("kind", T, kind, limit_kinds),
    THEW_IS_NAME("what", T, what),
    THEW_IS_LINES("reason", T, reason, THEW_NOTE_MAX),
    THEW_MAYBE_DAY("until_day", T, until_day),
};
const thew_shape thew_part_limit = THEW_SHAPE("Limit", T, limit);
#undef T

#define T thew_person_body
#define PERSON_FIELDS                                                                                                              \
    THEW_IS_TEXT("called", T, known.called, 1, THEW_NAME_MAX), THEW_MAYBE_WORD("sex", T, known.sex, sexes),                        \
        THEW_MAYBE_INT("birth_year", T, known.birth_year, 1850, 2200), THEW_MAYBE_REAL("height_m", T, known.height_m, 0.5, 2.5),   \
        THEW_MAYBE_REAL("mass_kg", T, known.mass_kg, 15, 350), THEW_MAYBE_WORD("condition", T, known.condition, conditions),       \
        THEW_MAYBE_WORD("endpoint", T, known.endpoint, endpoints),                                                                 \
        THEW_MAYBE_WORD("weaker_side", T, known.weaker_side, left_right), THEW_IS_FLAG("heat_sensitive", T, known.heat_sensitive), \
        THEW_IS_LINES("note", T, known.note, THEW_NOTE_MAX), THEW_MAYBE_DAY("since_day", T, known.since_day),                      \
        THEW_MAYBE_DAY("left_day", T, known.left_day), THEW_IS_NAMES("goals", T, goals, LIST_MAX),                                 \
        THEW_IS_NAMES("exercises", T, exercises, LIST_MAX), THEW_IS_LIST("limits", T, limits, 0, LIST_MAX, &thew_part_limit)
static const thew_shape_field person[] = { PERSON_FIELDS };
static const thew_shape_field new_person[] = { THEW_IS_NAME("person", T, person), PERSON_FIELDS };
const thew_shape thew_body_person = THEW_SHAPE("PersonChange", T, person);
const thew_shape thew_body_new_person = THEW_SHAPE("NewPerson", T, new_person);
#undef T

#define T thew_remove_body
static const thew_shape_field removal[] = { THEW_IS_TEXT("called", T, called, 1, THEW_NAME_MAX) };
const thew_shape thew_body_remove = THEW_SHAPE("Removal", T, removal);
#undef T

#define T thew_screen_given
static const thew_shape_field answer[] = {
    THEW_IS_NAME("question", T, question),
    THEW_IS_TEXT("answer", T, answer, 1, 200),
    THEW_IS_LINES("note", T, note, THEW_NOTE_MAX),
};
static const thew_shape given_answer = THEW_SHAPE("ScreeningAnswer", T, answer);
#undef T

#define T thew_screening_body
static const thew_shape_field screening[] = { THEW_IS_LIST("answers", T, answers, 1, LIST_MAX, &given_answer) };
const thew_shape thew_body_screening = THEW_SHAPE("ScreeningAnswers", T, screening);
#undef T

#define T thew_override_body
static const thew_shape_field override[] = {
    THEW_IS_NAME("override", T, override),
    THEW_MAYBE_NAME("variant", T, variant),
    THEW_MAYBE_TEXT("implement", T, implement, 200),
    THEW_MAYBE_NAME("setting", T, setting),
    THEW_IS_LINES("reason", T, reason, THEW_NOTE_MAX),
};
const thew_shape thew_body_override = THEW_SHAPE("Override", T, override);
#undef T

// --- the diary

#define ENTRY_FIELDS                                                                                                               \
    THEW_IS_NAME("record", T, entry.record), THEW_IS_NAME("person", T, entry.person), THEW_IS_DAY("day", T, entry.day),            \
        THEW_MAYBE_INSTANT("at", T, entry.at_us), THEW_MAYBE_NAME("replaces", T, entry.replaces),                                  \
        THEW_IS_FLAG("withdrawn", T, entry.withdrawn), THEW_IS_LINES("note", T, entry.note, THEW_NOTE_MAX)

#define T thew_store_set
static const thew_shape_field set[] = {
    ENTRY_FIELDS,
    THEW_IS_NAME("exercise", T, exercise),
    THEW_MAYBE_NAME("variant", T, variant),
    THEW_IS_WORD("side", T, side, sides),
    THEW_MAYBE_TEXT("implement", T, implement, 200),
    THEW_MAYBE_NAME("setting", T, setting),
    THEW_IS_WORD("ended", T, ended, ends),
    THEW_IS_REAL("seconds", T, seconds, 0, 3600),
    THEW_MAYBE_REAL("reserve_s", T, reserve_s, 0, 3600),
    THEW_MAYBE_REAL("exertion", T, exertion, 0, 10),
};
const thew_shape thew_part_set = THEW_SHAPE("NewSet", T, set);
#undef T

#define T thew_store_checkin
static const thew_shape_field check_in[] = {
    ENTRY_FIELDS,
    THEW_MAYBE_REAL("room_c", T, room_c, -40, 60),
    THEW_MAYBE_REAL("humidity_percent", T, humidity_percent, 0, 100),
    THEW_MAYBE_REAL("fatigue", T, fatigue, 0, 10),
    THEW_MAYBE_REAL("sleep", T, sleep, 0, 10),
    THEW_MAYBE_REAL("readiness", T, readiness, -5, 5),
    THEW_MAYBE_PAIRS("answers", T, answers, LIST_MAX),
};
const thew_shape thew_part_check_in = THEW_SHAPE("NewCheckIn", T, check_in);
#undef T

#define T thew_store_outcome
static const thew_shape_field outcome[] = {
    ENTRY_FIELDS,
    THEW_IS_NAME("measure", T, measure),
    THEW_IS_REAL("value", T, value, -1e6, 1e6),
    THEW_IS_TEXT("unit", T, unit, 0, 40),
    THEW_IS_WORD("side", T, side, sides),
    THEW_IS_FLAG("practice", T, practice),
    THEW_MAYBE_TEXT("aid", T, aid, THEW_NAME_MAX),
};
const thew_shape thew_part_outcome = THEW_SHAPE("NewOutcome", T, outcome);
#undef T

#define T thew_entries_body
static const thew_shape_field sets[] = { THEW_IS_LIST("sets", T, row, 1, THEW_BATCH_MAX, &thew_part_set) };
static const thew_shape_field check_ins[] = { THEW_IS_LIST("check_ins", T, row, 1, THEW_BATCH_MAX, &thew_part_check_in) };
static const thew_shape_field outcomes[] = { THEW_IS_LIST("outcomes", T, row, 1, THEW_BATCH_MAX, &thew_part_outcome) };
const thew_shape thew_body_sets = THEW_SHAPE("NewSets", T, sets);
const thew_shape thew_body_check_ins = THEW_SHAPE("NewCheckIns", T, check_ins);
const thew_shape thew_body_outcomes = THEW_SHAPE("NewOutcomes", T, outcomes);
#undef T

// --- training blocks

#define T thew_block_body
static const thew_shape_field block_plan[] = {
    THEW_IS_INT("sessions_a_week", T, block.plan.sessions_a_week, 0, 14),
    THEW_IS_INTS("weekdays", T, weekdays, 1, 7),
    THEW_MAYBE_NAME("class", T, block.plan.class),
    THEW_IS_INT("sets", T, block.plan.sets, 0, 100),
    THEW_MAYBE_INT("easier_every_weeks", T, block.plan.easier_every_weeks, 1, 100),
};
static const thew_shape block_plan_shape = THEW_SHAPE("BlockPlan", T, block_plan);
static const thew_shape_field block[] = {
    THEW_IS_NAME("block", T, block.block),
    THEW_IS_INT("version", T, block.version, 1, 1000000),
    THEW_IS_TEXT("called", T, block.called, 1, THEW_NAME_MAX),
    THEW_IS_DAY("from_day", T, block.from_day),
    THEW_IS_DAY("until_day", T, block.until_day),
    THEW_IS_FLAG("retired", T, block.retired),
    { "plan", THEW_SHAPE_OBJECT, false, 0, 0, NULL, &block_plan_shape, 0, false }, // its members lie in the same struct
};
const thew_shape thew_body_block = THEW_SHAPE("Block", T, block);
#undef T

// --- kit

#define T thew_item_given
static const thew_shape_field item[] = {
    THEW_IS_NAME("item", T, item),
    THEW_MAYBE_NAME("person", T, person),
    THEW_IS_TEXT("label", T, label, 1, THEW_NAME_MAX),
    THEW_IS_WORD("kind", T, kind, item_kinds),
    THEW_MAYBE_REAL("mass_kg", T, mass_kg, 0, 1000),
    THEW_MAYBE_REAL("rest_length_m", T, rest_length_m, 0, 100),
    THEW_MAYBE_REAL("step", T, step, 0, 100),
    THEW_IS_LINES("note", T, note, THEW_NOTE_MAX),
    THEW_MAYBE_DAY("retired_day", T, retired_day),
};
const thew_shape thew_body_item = THEW_SHAPE("NewItem", T, item);
const thew_shape thew_part_item = THEW_SHAPE("NewItem", T, item);
#undef T

#define T thew_reading_given
static const thew_shape_field reading[] = {
    THEW_IS_NAME("reading", T, reading),           THEW_IS_REAL("length_m", T, length_m, 0, 100),
    THEW_IS_REAL("force_n", T, force_n, 0, 1e5),   THEW_MAYBE_DAY("measured_day", T, measured_day),
    THEW_IS_LINES("note", T, note, THEW_NOTE_MAX),
};
const thew_shape thew_part_reading = THEW_SHAPE("NewReading", T, reading);
static const thew_shape_field point[] = {
    THEW_IS_REAL("length_m", T, length_m, 0, 100),
    THEW_IS_REAL("force_n", T, force_n, 0, 1e5),
};
static const thew_shape point_shape = THEW_SHAPE("ReadingPoint", T, point);
#undef T

#define T thew_readings_body
static const thew_shape_field readings[] = { THEW_IS_LIST("readings", T, readings, 1, LIST_MAX, &thew_part_reading) };
const thew_shape thew_body_readings = THEW_SHAPE("NewReadings", T, readings);
#undef T

#define T thew_curve_body
static const thew_shape_field curve[] = {
    THEW_IS_REAL("rest_length_m", T, rest_length_m, 0, 100),
    THEW_IS_LIST("readings", T, readings, 0, LIST_MAX, &point_shape),
    THEW_MAYBE_REAL("width", T, width, 0, 4000),
};
const thew_shape thew_body_curve = THEW_SHAPE("CurveQuestion", T, curve);
#undef T

// --- classes

#define T thew_wish_goal
static const thew_shape_field wish_goal[] = { THEW_IS_NAME("goal", T, goal), THEW_IS_INT("weight", T, weight, 0, 1000) };
static const thew_shape wish_goal_shape = THEW_SHAPE("WishGoal", T, wish_goal);
#undef T

#define T thew_wishes_body
static const thew_shape_field wishes[] = {
    THEW_IS_LIST("goals", T, goals, 0, LIST_MAX, &wish_goal_shape),
    THEW_IS_REAL("minutes", T, minutes, 0, 1440),
    THEW_IS_WORDS("positions", T, positions, 3, positions),
    THEW_IS_WORDS("kinds", T, kinds, 5, kinds),
    THEW_IS_INT("sets", T, sets, 0, 100),
    THEW_IS_INT("rest_s", T, rest_s, 0, 3600),
    THEW_IS_NAMES("fixed", T, fixed, LIST_MAX),
    THEW_IS_NAMES("excluded", T, excluded, LIST_MAX),
};
const thew_shape thew_body_wishes = THEW_SHAPE("Wishes", T, wishes);
const thew_shape thew_part_wishes = THEW_SHAPE("Wishes", T, wishes);
#undef T

#define T thew_kept_slot
static const thew_shape_field slot[] = {
    THEW_IS_NAME("exercise", T, exercise),
    THEW_IS_NAME("variant", T, variant),
    THEW_IS_INT("sets", T, sets, 0, 100),
    THEW_IS_INT("rest_s", T, rest_s, 0, 3600),
};
const thew_shape thew_part_slot = THEW_SHAPE("PlanSlot", T, slot);
#undef T

#define T thew_class_body
static const thew_shape_field class[] = {
    THEW_IS_NAME("class", T, class),
    THEW_IS_INT("version", T, version, 1, 1000000),
    THEW_IS_TEXT("called", T, called, 1, THEW_NAME_MAX),
    THEW_IS_OBJECT("wishes", T, wishes, &thew_part_wishes),
    THEW_IS_LIST("slots", T, slots, 0, LIST_MAX, &thew_part_slot),
    THEW_IS_FLAG("retired", T, retired),
};
const thew_shape thew_body_class = THEW_SHAPE("NewClass", T, class);
static const thew_shape_field order[] = {
    THEW_IS_OBJECT("wishes", T, wishes, &thew_part_wishes),
    THEW_IS_LIST("order", T, slots, 0, LIST_MAX, &thew_part_slot),
};
const thew_shape thew_body_order = THEW_SHAPE("Order", T, order);
#undef T

// --- in and out

#define T thew_import_body
static const thew_shape_field import[] = {
    THEW_MAYBE_LINES("people", T, people, LONG_TEXT),
    THEW_MAYBE_LINES("kit", T, kit, LONG_TEXT),
    THEW_MAYBE_LINES("diary", T, diary, LONG_TEXT),
    THEW_MAYBE_LINES("days", T, days, LONG_TEXT),
    THEW_IS_FLAG("dry", T, dry),
};
const thew_shape thew_body_import = THEW_SHAPE("Files", T, import);
#undef T

const thew_shape *const *thew_bodies(size_t *count)
{
    static const thew_shape *const all[] = {
        &thew_body_empty,    &thew_body_login,      &thew_body_invitation, &thew_body_password, &thew_body_account,
        &thew_body_studio,   &thew_body_new_person, &thew_body_person,     &thew_body_remove,   &thew_body_screening,
        &thew_body_override, &thew_body_sets,       &thew_body_check_ins,  &thew_body_outcomes, &thew_body_block,
        &thew_body_item,     &thew_body_readings,   &thew_body_curve,      &thew_body_class,    &thew_body_wishes,
        &thew_body_order,    &thew_body_import,
    };
    *count = G_N_ELEMENTS(all);
    return all;
}
