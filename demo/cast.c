// cast.c: see cast.h.
#include "demo/cast.h"

#include "exchange/date.h"

#define COUNT(array) ((int)(sizeof(array) / sizeof(array)[0]))

// clang-format off

// --- What they own ---------------------------------------------------------------------------------------------------------------

#define BAND(kit, label, rest, force, readings, day, again) { kit, label, THEW_IMPLEMENT_BAND, 0, rest, force, readings, 0, day, again }
#define UNMEASURED(kit, label, rest, force, step) { kit, label, THEW_IMPLEMENT_BAND, 0, rest, force, 0, step, NULL, NULL }
#define LOOP(kit, label, rest, force, readings) { kit, label, THEW_IMPLEMENT_LOOP, 0, rest, force, readings, 0, NULL, NULL }
#define DUMBBELL(kit, label, mass) { kit, label, THEW_IMPLEMENT_DUMBBELL, mass, 0, 0, 0, 0, NULL, NULL }
#define CUFF(kit, label, mass) { kit, label, THEW_IMPLEMENT_CUFF, mass, 0, 0, 0, 0, NULL, NULL }

const cast_piece cast_pieces[] = {
    // Four bands, each measured at three lengths, one of them a second time.
    BAND("four", "soft", 2.0, 12, 3, "2026-05-18", NULL),
    BAND("four", "thin", 2.0, 21, 3, "2026-05-18", "2026-09-14"),
    BAND("four", "middle", 2.0, 40, 3, "2026-05-18", NULL),
    BAND("four", "thick", 2.0, 75, 3, "2026-05-18", NULL),
    // Three bands, two readings each.
    BAND("three", "thin one", 1.5, 20, 2, NULL, NULL),
    BAND("three", "middle one", 1.5, 42, 2, NULL, NULL),
    BAND("three", "thick one", 1.5, 88, 2, NULL, NULL),
    // Bands that nobody measured, known by their order.
    UNMEASURED("unmeasured", "first", 1.5, 15, 0),
    UNMEASURED("unmeasured", "second", 1.5, 22, 1),
    UNMEASURED("unmeasured", "third", 1.5, 26, 2),
    UNMEASURED("unmeasured", "fourth", 1.5, 38, 3),
    // One long band, read once.
    BAND("single", "long strip", 2.5, 50, 1, "2026-06-02", NULL),
    // Thin bands and a small dumbbell: soon too light.
    BAND("light", "thin strip", 2.0, 12, 2, NULL, NULL),
    BAND("light", "other thin strip", 2.0, 16, 2, NULL, NULL),
    DUMBBELL("light", "2 kg", 2),
    // One strong band and heavy dumbbells: the lightest step is too much.
    BAND("heavy", "gym band", 1.2, 45, 2, NULL, NULL),
    DUMBBELL("heavy", "5 kg", 5),
    DUMBBELL("heavy", "8 kg", 8),
    // Dumbbells from the cellar.
    DUMBBELL("dumbbells", "1 kg", 1),
    DUMBBELL("dumbbells", "2 kg", 2),
    DUMBBELL("dumbbells", "3 kg", 3),
    DUMBBELL("dumbbells", "4 kg", 4),
    DUMBBELL("dumbbells", "6 kg", 6),
    DUMBBELL("dumbbells", "8 kg", 8),
    DUMBBELL("dumbbells", "10 kg", 10),
    // Cuffs and a loop, for the legs.
    CUFF("cuffs", "cuff half", .5),
    CUFF("cuffs", "cuff 1", 1),
    CUFF("cuffs", "cuff 2", 2),
    CUFF("cuffs", "cuff 3", 3),
    CUFF("cuffs", "cuff 4", 4),
    CUFF("cuffs", "cuff 6", 6),
    LOOP("cuffs", "ankle loop", .35, 95, 2),
    // Something of everything.
    BAND("mixed", "door band", 2.0, 21, 3, NULL, NULL),
    BAND("mixed", "strong band", 2.0, 58, 3, NULL, NULL),
    LOOP("mixed", "short loop", .30, 85, 2),
    DUMBBELL("mixed", "dumbbell 2", 2),
    DUMBBELL("mixed", "dumbbell 4", 4),
    DUMBBELL("mixed", "dumbbell 7", 7),
    CUFF("mixed", "cuff 1", 1),
    CUFF("mixed", "cuff 2", 2),
};
const int cast_piece_count = COUNT(cast_pieces);

// --- Who they are ----------------------------------------------------------------------------------------------------------------

#define MAN THEW_SEX_MALE
#define WOMAN THEW_SEX_FEMALE

const cast_person cast_people[] = {
    { .id = "avo", .called = "Avo", .kit = "four", .sex = WOMAN, .birth_year = 1974, .height_m = 1.66, .mass_kg = 63, .ms = true, .severity = .4,
      .heat_sensitive = true, .sessions_a_week = 3, .comes_p = .92, .sets = 1, .check_in_p = .97, .says_exertion = true,
      .exercises = "seated-row seated-chest-press seated-pull-down seated-knee-extension seated-knee-flexion seated-curl",
      .note = "never misses, writes everything down" },
    { .id = "biri", .called = "Biri", .kit = "dumbbells", .sex = MAN, .birth_year = 1965, .height_m = 1.79, .mass_kg = 92, .ms = true, .severity = .6, .stronger_ln = -.2,
      .endpoint = SIM_TO_RESERVE, .heat_sensitive = true, .sessions_a_week = 2, .comes_p = .85, .sets = 1, .check_in_p = .8, .says_exertion = true,
      .exercises = "seated-curl seated-lateral-raise seated-overhead-press sit-to-stand/raised-sit-to-stand", .cautions = "blood-pressure",
      .note = "treated high blood pressure: sets stop before failure" },
    { .id = "cado", .called = "Cado", .kit = "four", .sex = MAN, .birth_year = 1982, .height_m = 1.83, .mass_kg = 78, .ms = true, .severity = .3, .stronger_ln = -.1,
      .heat_sensitive = false, .sessions_a_week = 2, .comes_p = .95, .sets = 1, .check_in_p = .9,
      .exercises = "seated-row seated-chest-press seated-knee-extension seated-knee-flexion seated-thigh-spread",
      .note = "relapse in September, back since October" },
    { .id = "dela", .called = "Dela", .kit = "three", .sex = WOMAN, .birth_year = 1988, .height_m = 1.71, .mass_kg = 58, .ms = true, .severity = .35,
      .heat_sensitive = true, .sessions_a_week = 2, .comes_p = .95, .sets = 1, .check_in_p = 1, .says_exertion = true,
      .exercises = "seated-row seated-pull-down seated-straight-arm-pull seated-front-raise seated-knee-flexion",
      .note = "flat under the roof, hot in summer" },
    { .id = "emmu", .called = "Emmu", .kit = "", .sex = WOMAN, .birth_year = 1959, .height_m = 1.60, .mass_kg = 68, .stronger_ln = -.35,
      .sessions_a_week = 2, .comes_p = .9, .sets = 1, .writes = CAST_PAPER, .check_in_p = .3, .rounding_s = 1,
      .exercises = "sit-to-stand chair-hover standing-heel-raise seated-lean-back step-up/low-step-up", .note = "no kit: a chair, a step, a wall" },
    { .id = "fenn", .called = "Fenn", .kit = "light", .sex = MAN, .birth_year = 1993, .height_m = 1.88, .mass_kg = 86, .ms = true, .severity = .1,
      .stronger_ln = .25, .sessions_a_week = 2, .comes_p = .85, .sets = 1, .check_in_p = .5,
      .exercises = "seated-row seated-curl seated-lateral-raise seated-pull-down", .note = "has outgrown the bands" },
    { .id = "gilo", .called = "Gilo", .kit = "heavy", .sex = WOMAN, .birth_year = 1952, .height_m = 1.57, .mass_kg = 55, .stronger_ln = -.15,
      .sessions_a_week = 1, .comes_p = .9, .sets = 1, .writes = CAST_PAPER, .check_in_p = .4, .rounding_s = 5,
      .exercises = "seated-curl seated-lateral-raise seated-row seated-overhead-press", .note = "has only her grandson's kit" },
    { .id = "hanu", .called = "Hanu", .kit = "mixed", .sex = WOMAN, .birth_year = 1979, .height_m = 1.64, .mass_kg = 70, .ms = true, .severity = .4,
      .weaker_side = THEW_LEFT, .weaker_by = .38, .heat_sensitive = true, .sessions_a_week = 2, .comes_p = .9, .sets = 1, .check_in_p = .9,
      .says_exertion = true, .exercises = "seated-curl seated-knee-extension seated-lateral-raise seated-march/short-seated-march seated-row",
      .note = "left side much weaker, arm and leg" },
    { .id = "iska", .called = "Iska", .kit = "three", .sex = WOMAN, .birth_year = 1971, .height_m = 1.69, .mass_kg = 74, .ms = true, .severity = .5,
      .heat_sensitive = true, .sessions_a_week = 2, .comes_p = .8, .sets = 1, .check_in_p = .6,
      .exercises = "seated-row seated-pull-down seated-chest-press seated-knee-flexion", .note = "away in August and since the end of October" },
    { .id = "jori", .called = "Jori", .kit = "three", .sex = MAN, .birth_year = 1968, .height_m = 1.75, .mass_kg = 81, .ms = true, .severity = .5,
      .heat_sensitive = true, .sessions_a_week = 1, .comes_p = 1, .sets = 1, .check_in_p = 1,
      .exercises = "seated-row seated-pull-down seated-knee-flexion", .note = "began this week" },
    { .id = "kelo", .called = "Kelo", .kit = "three", .sex = MAN, .birth_year = 1977, .height_m = 1.80, .mass_kg = 88, .ms = true, .severity = .4,
      .heat_sensitive = true, .sessions_a_week = 0, .exercises = "seated-row seated-chest-press seated-knee-extension seated-curl",
      .note = "begins next week" },
    { .id = "luma", .called = "Luma", .kit = "mixed", .sex = WOMAN, .birth_year = 1998, .height_m = 1.72, .mass_kg = 61, .ms = true, .severity = .15,
      .sessions_a_week = 3, .comes_p = .8, .sets = 1, .check_in_p = .9, .says_exertion = true,
      .exercises = "seated-row seated-chest-press seated-curl seated-thigh-spread seated-knee-extension seated-overhead-press seated-trunk-rise" },
    { .id = "mavi", .called = "Mavi", .kit = "four", .sex = WOMAN, .birth_year = 1963, .height_m = 1.62, .mass_kg = 66, .ms = true, .severity = .6,
      .heat_sensitive = true, .sessions_a_week = 2, .comes_p = .9, .sets = 1, .check_in_p = .8,
      .exercises = "seated-row seated-pull-down seated-knee-extension seated-curl", .cautions = "falls" },
    { .id = "noru", .called = "Noru", .kit = "unmeasured", .sex = MAN, .birth_year = 1956, .height_m = 1.74, .mass_kg = 79,
      .sessions_a_week = 2, .comes_p = .9, .sets = 1, .writes = CAST_PAPER, .check_in_p = .5, .rounding_s = 5,
      .exercises = "seated-row seated-pull-down seated-chest-press seated-curl seated-straight-arm-pull", .note = "bands never measured" },
    { .id = "ovi", .called = "Ovi", .kit = "single", .sex = WOMAN, .birth_year = 1985, .height_m = 1.68, .mass_kg = 72, .ms = true, .severity = .3,
      .sessions_a_week = 2, .comes_p = .85, .sets = 1, .check_in_p = .7,
      .exercises = "seated-row seated-chest-press seated-pull-down seated-elbow-press-down", .note = "one long band for everything" },
    { .id = "peri", .called = "Peri", .kit = "mixed", .sex = MAN, .birth_year = 1990, .height_m = 1.77, .mass_kg = 74, .stronger_ln = -.15,
      .sessions_a_week = 3, .comes_p = .85, .sets = 1, .check_in_p = .6, .says_exertion = true,
      .exercises = "seated-curl seated-lateral-raise seated-thigh-spread standing-side-leg-raise", .note = "no condition; back to strength after a long sitting job" },
    { .id = "quil", .called = "Quil", .kit = "four", .sex = WOMAN, .birth_year = 1967, .height_m = 1.65, .mass_kg = 77, .ms = true, .severity = .45,
      .heat_sensitive = true, .sessions_a_week = 2, .comes_p = .9, .sets = 1, .check_in_p = .7, .wrong_entry_p = .09,
      .exercises = "seated-row seated-pull-down seated-curl seated-knee-extension seated-front-raise", .note = "numb fingers: many a wrong tap" },
    { .id = "rasu", .called = "Rasu", .kit = "dumbbells", .sex = MAN, .birth_year = 1973, .height_m = 1.69, .mass_kg = 96, .size_unsaid = true, .ms = true,
      .severity = .5, .stronger_ln = -.2, .heat_sensitive = true, .sessions_a_week = 2, .comes_p = .85, .sets = 1, .check_in_p = .5,
      .exercises = "seated-curl seated-front-raise/bent-arm-front-raise seated-overhead-press bent-over-row/seated-bent-over-row" },
    { .id = "sefa", .called = "Sefa", .kit = "cuffs", .sex = WOMAN, .birth_year = 1981, .height_m = 1.63, .mass_kg = 59, .ms = true, .severity = .3,
      .weaker_side = THEW_RIGHT, .weaker_by = .15, .heat_sensitive = true, .sessions_a_week = 2, .comes_p = .9, .sets = 1, .check_in_p = .8,
      .says_exertion = true, .exercises = "seated-knee-extension seated-march standing-knee-flexion standing-side-leg-raise seated-thigh-spread", .cautions = "falls" },
    { .id = "tomo", .called = "Tomo", .kit = "three", .sex = MAN, .birth_year = 1961, .height_m = 1.76, .mass_kg = 83, .ms = true, .severity = .6, .stronger_ln = -.25,
      .heat_sensitive = true, .sessions_a_week = 3, .comes_p = .95, .sets = 1, .check_in_p = .9, .says_exertion = true,
      .exercises = "seated-row seated-pull-down seated-chest-press seated-knee-flexion seated-straight-arm-pull" },
    { .id = "ulli", .called = "Ulli", .kit = "dumbbells", .sex = WOMAN, .birth_year = 1976, .height_m = 1.70, .mass_kg = 80, .ms = true, .severity = .4,
      .endpoint = SIM_TO_RESERVE, .sessions_a_week = 1, .comes_p = .9, .sets = 2, .check_in_p = .9, .says_exertion = true,
      .exercises = "seated-curl seated-lateral-raise seated-overhead-press overhead-elbow-extension" },
    { .id = "vesa", .called = "Vesa", .kit = "", .sex = MAN, .birth_year = 1986, .height_m = 1.81, .mass_kg = 76, .ms = true, .severity = .3, .stronger_ln = -.15,
      .sessions_a_week = 2, .comes_p = .9, .sets = 1, .check_in_p = .8,
      .exercises = "chair-hover/high-chair-hover seated-lean-back sit-to-stand standing-heel-raise", .note = "holds and body weight" },
    { .id = "wibo", .called = "Wibo", .kit = "three", .sex = MAN, .birth_year = 1969, .height_m = 1.72, .mass_kg = 90,
      .sessions_a_week = 2, .comes_p = .9, .sets = 1, .writes = CAST_PAPER, .check_in_p = 0, .rounding_s = 1,
      .exercises = "seated-row seated-pull-down seated-chest-press seated-curl", .note = "a cold in June" },
    { .id = "yola", .called = "Yola", .kit = "mixed", .sex = WOMAN, .birth_year = 1954, .height_m = 1.58, .mass_kg = 62, .ms = true, .severity = .8,
      .stronger_ln = -.05, .endpoint = SIM_TO_RESERVE, .heat_sensitive = true, .cooled_room = true, .sessions_a_week = 2, .comes_p = .8, .sets = 1, .check_in_p = 1,
      .exercises = "seated-row seated-curl seated-knee-extension seated-pull-down", .cautions = "falls", .note = "her neighbour helps and writes" },
};
const int cast_people_count = COUNT(cast_people);

// --- What happens ----------------------------------------------------------------------------------------------------------------

const cast_event cast_events[] = {
    { .person = "cado", .what = CAST_RELAPSE, .day = "2026-09-08", .strikes = SIM_STRIKES_LEGS, .share = .40 },
    { .person = "cado", .what = CAST_AWAY, .day = "2026-09-12", .days = 12, .note = "back after treatment" },
    { .person = "tomo", .what = CAST_RELAPSE, .day = "2026-11-12", .strikes = SIM_STRIKES_ALL, .share = .28 },
    { .person = "iska", .what = CAST_AWAY, .day = "2026-08-03", .days = 24, .note = "back from the sea" },
    { .person = "iska", .what = CAST_AWAY, .day = "2026-10-26", .days = 30 },
    { .person = "hanu", .what = CAST_AWAY, .day = "2026-07-13", .days = 14 },
    { .person = "emmu", .what = CAST_AWAY, .day = "2026-09-21", .days = 9 },
    { .person = "wibo", .what = CAST_INFECTION, .day = "2026-06-22" },
    { .person = "luma", .what = CAST_INFECTION, .day = "2026-10-19" },
    { .person = "mavi", .what = CAST_SYMPTOM, .day = "2026-11-19", .note = "tingling in both feet, still there in the evening" },
    { .person = "dela", .what = CAST_SYMPTOM, .day = "2026-07-22", .note = "sight blurred in the heat, clear again after cooling" },
    { .person = "jori", .what = CAST_FIRST_DAY, .day = "2026-11-17" },
    { .person = "ovi", .what = CAST_FIRST_DAY, .day = "2026-06-02" },
    { .person = "rasu", .what = CAST_FIRST_DAY, .day = "2026-07-06" },
};
const int cast_event_count = COUNT(cast_events);

static const struct {
    const char *from, *to;
} heat_wave[] = { { "2026-07-06", "2026-07-12" }, { "2026-07-20", "2026-07-28" }, { "2026-08-09", "2026-08-16" } };

// clang-format on

thew_day cast_day(const char *text)
{
    thew_date date = { 0 };
    bool read = thew_date_parse(text, &date);
    g_assert(read && thew_date_exists(date));
    return thew_date_number(date);
}

bool cast_is_heat_wave(thew_day day)
{
    for (int w = 0; w < COUNT(heat_wave); w++)
        if (day >= cast_day(heat_wave[w].from) && day <= cast_day(heat_wave[w].to)) return true;
    return false;
}
