// A belief that is kept and gone on from is the belief of the whole diary, bit for bit, whatever happened to the diary meanwhile.
// Truth: the diary played from its beginning by the engine itself (engine/diary.h, its own tests). Diaries are invented
// (tests/repro).
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "studio/belief.h"
#include "tests/repro/diaries.h"
#include "tests/text_rows.h"

static uint64_t seed = 20261125;

// All of it that means something; a capacity's unused tail may hold anything.
static GBytes *bytes_of(const thew_capacity *capacity)
{
    g_autofree thew_belief *belief = g_new0(thew_belief, 1);
    belief->is_some = true;
    belief->capacity = *capacity;
    return thew_belief_pack(belief);
}

static void expect_same(const char *why, const thew_capacity *expected, const thew_capacity *obtained)
{
    g_autoptr(GBytes) a = bytes_of(expected), b = bytes_of(obtained);
    row_true(why, "both beliefs have the same bits", g_bytes_equal(a, b));
}

// As it would be read back.
static void through_bytes(thew_belief *belief)
{
    if (!belief->is_some) return;
    g_autoptr(GBytes) bytes = thew_belief_pack(belief);
    gsize size;
    const void *data = g_bytes_get_data(bytes, &size);
    if (!thew_belief_unpack(data, size, belief)) fail_msg("what was packed cannot be unpacked");
}

typedef struct {
    thew_reference_diary person;
    thew_belief belief;
    thew_capacity going_on, afresh;
} scene;

static scene *a_scene(int index)
{
    scene *s = g_new0(scene, 1);
    thew_reference_diary_make(index, &s->person);
    return s;
}

// Both ways, up to a day.
static void play(const char *why, scene *s, const thew_diary *diary, thew_day until)
{
    thew_status plain = thew_diary_play(&s->person.profile, diary, until, &s->afresh);
    thew_status kept = thew_belief_play(&s->person.profile, diary, until, &s->belief, &s->going_on);
    row_true(why, "both succeed", plain >= 0 && kept >= 0);
    expect_same(why, &s->afresh, &s->going_on);
    through_bytes(&s->belief);
}

// The first so many sets, and the check-ins until the last of them.
static thew_diary beginning(const thew_reference_diary *person, int set_count)
{
    thew_diary diary = person->diary;
    diary.set_count = set_count;
    thew_day last = set_count > 0 ? diary.set[set_count - 1].day : THEW_NO_DAY;
    diary.checkin_count = 0;
    while (diary.checkin_count < person->diary.checkin_count && diary.checkin[diary.checkin_count].day <= last)
        diary.checkin_count++;
    return diary;
}

static void grows_with_its_diary(void **state)
{
    (void)state;
    for (int index = 0; index < THEW_DIARIES_COUNT; index++) {
        g_autofree scene *s = a_scene(index);
        for (int count = 0; count <= s->person.diary.set_count; count += 1 + (int)(random_unit(&seed) * 9)) {
            g_autofree char *why = g_strdup_printf("diary %d, the first %d sets", index, count);
            thew_diary diary = beginning(&s->person, count);
            play(why, s, &diary, THEW_DAY_MAX);
        }
    }
    rows_end(200);
}

static void goes_on_from_where_it_stood(void **state)
{
    (void)state;
    g_autofree scene *s = a_scene(3);
    thew_diary diary = beginning(&s->person, 80), longer = beginning(&s->person, 100);
    play("first", s, &diary, THEW_DAY_MAX);
    row_true("first", "all days but the last are in it", s->belief.is_some && s->belief.capacity.day < diary.set[79].day);
    int before = s->belief.set_count;
    play("again", s, &diary, THEW_DAY_MAX);
    row_near("the same diary moves nothing", before, s->belief.set_count, 0);
    play("longer", s, &longer, THEW_DAY_MAX);
    row_true("longer", "it has moved on", s->belief.set_count > before);
    s->belief.capacity.mean[THEW_FIXED] += 1; // something that the whole diary would not say
    thew_status status = thew_belief_play(&s->person.profile, &longer, THEW_DAY_MAX, &s->belief, &s->going_on);
    row_true("a belief that was tampered with", "it is gone on from, not made anew",
             status >= 0 && s->going_on.mean[THEW_FIXED] > s->afresh.mean[THEW_FIXED] + .01);
    rows_end(8);
}

// What can happen to a diary between two times of asking.
typedef enum { CHANGED, WITHDRAWN, INSERTED, CHECKIN_CHANGED, CHECKIN_WITHDRAWN, ASKED_EARLIER, BODY_CHANGED, EVENTS } event;
static const char *const event_word[] = { "a set corrected",      "a set withdrawn",      "a set written down late",
                                          "a check-in corrected", "a check-in withdrawn", "asked for an earlier day",
                                          "another prior" };

static void happen(event what, scene *s, thew_diary *diary, thew_day *until)
{
    thew_set *set = s->person.set;
    thew_checkin *checkin = s->person.checkin;
    int at = (int)(random_unit(&seed) * diary->set_count), c = (int)(random_unit(&seed) * diary->checkin_count);
    switch (what) {
    case CHANGED:
        set[at].seconds += 3;
        break;
    case WITHDRAWN:
        memmove(&set[at], &set[at + 1], sizeof *set * (size_t)(diary->set_count - at - 1));
        diary->set_count--;
        break;
    case INSERTED:
        diary->set_count = MIN(diary->set_count, THEW_DIARIES_SETS - 1);
        memmove(&set[at + 1], &set[at], sizeof *set * (size_t)(diary->set_count - at));
        diary->set_count++;
        break;
    case CHECKIN_CHANGED:
        checkin[c].conditions.has_fatigue = !checkin[c].conditions.has_fatigue;
        break;
    case CHECKIN_WITHDRAWN:
        memmove(&checkin[c], &checkin[c + 1], sizeof *checkin * (size_t)(diary->checkin_count - c - 1));
        diary->checkin_count--;
        break;
    case ASKED_EARLIER:
        *until = set[at].day;
        break;
    case BODY_CHANGED:
        s->person.profile.track[0].ln_mean += .01;
        break;
    case EVENTS:
        break;
    }
}

static void whatever_happens_to_the_diary(void **state)
{
    (void)state;
    for (int trial = 0; trial < 60; trial++) {
        g_autofree scene *s = a_scene(trial % THEW_DIARIES_COUNT);
        event what = (event)(trial % EVENTS);
        thew_diary diary = beginning(&s->person, 60 + (int)(random_unit(&seed) * 60));
        thew_day until = THEW_DAY_MAX;
        play("before", s, &diary, until);
        happen(what, s, &diary, &until);
        g_autofree char *why = g_strdup_printf("trial %d: %s", trial, event_word[what]);
        play(why, s, &diary, until);
        play("after it", s, &diary, THEW_DAY_MAX);
    }
    rows_end(300);
}

static void bytes_that_are_no_belief(void **state)
{
    (void)state;
    g_autofree scene *s = a_scene(1);
    thew_diary diary = beginning(&s->person, 50);
    play("a belief", s, &diary, THEW_DAY_MAX);
    g_autoptr(GBytes) bytes = thew_belief_pack(&s->belief);
    gsize size;
    const guint8 *data = g_bytes_get_data(bytes, &size);
    g_autofree thew_belief *read = g_new0(thew_belief, 1);
    row_true("whole", "it is read", thew_belief_unpack(data, size, read));
    int taken = 0;
    for (gsize cut = 0; cut < size; cut += 1 + cut / 50)
        taken += thew_belief_unpack(data, cut, read);
    row_near("cut short anywhere: none is taken", 0, taken, 0);
    row_true("cut short", "nothing of it is left", !read->is_some && read->capacity.dim == 0);
    g_autofree guint8 *longer = g_malloc0(size + 8);
    memcpy(longer, data, size);
    row_true("more behind it", "it is refused", !thew_belief_unpack(longer, size + 8, read));
    longer[0] ^= 1;
    row_true("another form", "it is refused", !thew_belief_unpack(longer, size, read));
    for (int trial = 0; trial < 2000; trial++) { // any bytes: never beyond the arrays (a sanitizer would say)
        memcpy(longer, data, size);
        for (int i = 0; i < 4; i++)
            longer[(gsize)(random_unit(&seed) * 600)] = (guint8)(random_unit(&seed) * 256);
        thew_belief_unpack(longer, size, read);
        row_true("bent", "counts stay within their arrays", read->capacity.dim <= THEW_STATE_MAX);
    }
    rows_end(2000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(grows_with_its_diary),
        cmocka_unit_test(goes_on_from_where_it_stood),
        cmocka_unit_test(whatever_happens_to_the_diary),
        cmocka_unit_test(bytes_that_are_no_belief),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
