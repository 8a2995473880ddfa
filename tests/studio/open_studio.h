// open_studio.h: a studio in a file of its own, and files as texts taken into it. Everything in them is invented.
#ifndef THEW_TEST_OPEN_STUDIO_H
#define THEW_TEST_OPEN_STUDIO_H

#include "store/inspect.h"
#include "studio/hand_out.h"
#include "studio/take_in.h"
#include "tests/store/fixture.h"

#define NOW_US G_GINT64_CONSTANT(1774958400000000) // 2026-03-31T12:00:00Z: the day after which no record may lie

static thew_catalogue *the_catalogue;
static const thew_actor the_coach = { "cli", NULL };

static int load_catalogue(void **state)
{
    (void)state;
    the_catalogue = thew_catalogue_load(NULL, NULL);
    return the_catalogue ? 0 : -1;
}

static int unload_catalogue(void **state)
{
    (void)state;
    thew_catalogue_free(the_catalogue);
    return 0;
}

/// A new studio in the test's folder, open.
static inline thew_studio *studio_in(void **state, const char *name)
{
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    const char *path = in_folder(state, name);
    thew_studio *studio = NULL;
    if (!g_file_test(path, G_FILE_TEST_EXISTS)) assert_int_equal(thew_studio_make(path, "Test", "UTC", "en", refusal), THEW_DONE);
    assert_int_equal(thew_studio_open(path, THEW_DB_WRITE, the_catalogue, &studio, refusal), THEW_DONE);
    studio->clock_us = (thew_utc){ NOW_US };
    return studio;
}

/// The coach's files, NULL for those that are not given.
typedef struct {
    const char *people, *kit, *diary, *days;
} texts;

static inline thew_verdict take_in(thew_studio *studio, const texts *given, bool dry, thew_taken_in *taken, char **found)
{
    const char *const text[] = { given->people, given->kit, given->diary, given->days };
    GBytes *bytes[4];
    for (int f = 0; f < 4; f++)
        bytes[f] = text[f] ? g_bytes_new_static(text[f], strlen(text[f])) : NULL;
    const thew_given_files files = {
        { "people.csv", bytes[0] }, { "kit.csv", bytes[1] }, { "diary.csv", bytes[2] }, { "days.csv", bytes[3] }
    };
    g_autoptr(thew_trouble_list) trouble = thew_trouble_list_new();
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    thew_verdict verdict = thew_take_in(studio, &the_coach, &files, dry, taken, trouble, refusal);
    if (verdict == THEW_UNABLE) fprintf(stderr, "unable: %s\n", refusal->sentence);
    *found = findings(trouble);
    for (int f = 0; f < 4; f++)
        if (bytes[f]) g_bytes_unref(bytes[f]);
    return verdict;
}

/// "2 people, 1 items, ..." of what was taken in.
static inline char *taken_text(const thew_taken_in *taken)
{
    return g_strdup_printf("%u people, %u items, %u readings, %u sets, %u check-ins, %u repeated", taken->people, taken->items,
                           taken->readings, taken->sets, taken->check_ins, taken->repeated);
}

#endif
