// nearest_test.c: distances between names, and which hint is given.
// Outside truth: the definition of the distance, computed again by plain recursion (the oracle below).
#include "expect.h"

#include <string.h>

#include "exchange/nearest.h"

static void distances(void **state)
{
    (void)state;
    // clang-format off
    static const struct {
        const char *why, *a, *b;
        int distance;
    } row[] = {
        { "the same", "person", "person", 0 },
        { "case does not count", "Person", "PERSON", 0 },
        { "case of other scripts neither", "ÄRGER", "ärger", 0 },
        { "one left out", "persn", "person", 1 },
        { "one too many", "perrson", "person", 1 },
        { "one replaced", "persom", "person", 1 },
        { "two neighbours swapped", "pesron", "person", 1 },
        { "swapped, nothing between them (restricted form: 3, not 2)", "ca", "abc", 3 },
        { "letters count, not bytes", "käse", "kase", 1 },
        { "against nothing", "", "abc", 3 },
        { "a well-known pair", "kitten", "sitting", 3 },
    };
    // clang-format on
    EACH(i, row)
    {
        expect_number(row[i].why, row[i].distance, thew_nearest_distance(row[i].a, row[i].b));
        expect_number(row[i].why, row[i].distance, thew_nearest_distance(row[i].b, row[i].a));
    }
    expect_end(22);
}

// The definition, without a table: try every edit at the ends.
static int oracle(const char *a, size_t m, const char *b, size_t n)
{
    if (m == 0 || n == 0) return (int)(m + n);
    int best = oracle(a, m - 1, b, n - 1) + (a[m - 1] != b[n - 1]);
    best = MIN(best, oracle(a, m - 1, b, n) + 1);
    best = MIN(best, oracle(a, m, b, n - 1) + 1);
    if (m > 1 && n > 1 && a[m - 1] == b[n - 2] && a[m - 2] == b[n - 1]) best = MIN(best, oracle(a, m - 2, b, n - 2) + 1);
    return best;
}

static void agrees_with_the_definition(void **state)
{
    (void)state;
    g_autoptr(GRand) random = g_rand_new_with_seed(4180);
    for (int i = 0; i < 500; i++) {
        char text[2][8];
        for (int k = 0; k < 2; k++) {
            int length = g_rand_int_range(random, 0, 7);
            for (int j = 0; j < length; j++)
                text[k][j] = (char)g_rand_int_range(random, 'a', 'd');
            text[k][length] = '\0';
        }
        g_autofree char *why = g_strdup_printf("seed 4180, pair %d: %s, %s", i, text[0], text[1]);
        expect_number(why, oracle(text[0], strlen(text[0]), text[1], strlen(text[1])), thew_nearest_distance(text[0], text[1]));
    }
    expect_end(500);
}

static void hints(void **state)
{
    (void)state;
    static const char *const names[] = { "person", "birth_year", "sex", "bo", "exercise", "exercises", NULL };
    // clang-format off
    static const struct {
        const char *why, *name, *nearest;
    } row[] = {
        { "swapped letters", "brith_year", "birth_year" },
        { "case alone", "BO", "bo" },
        { "nearer of two", "exercisess", "exercises" },
        { "the first of two as near", "exercis", "exercise" },
        { "a third of the letters may differ", "pexsxn", "person" },
        { "more is no slip", "pxxsxn", NULL },
        { "one of two letters is too much", "bx", NULL },
        { "one more than two is a third", "bob", "bo" },
        { "nothing alike", "weight", NULL },
        { "nothing at all", "", NULL },
        { "far too long a name", "xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx", NULL },
    };
    // clang-format on
    EACH(i, row) expect_text(row[i].why, row[i].nearest, thew_nearest(row[i].name, names));
    expect_end(11);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(distances),
        cmocka_unit_test(agrees_with_the_definition),
        cmocka_unit_test(hints),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
