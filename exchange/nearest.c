// nearest.c: distances between names (see nearest.h).
#include "exchange/nearest.h"

// Lower-case code points; -1 if too long.
static int fold(const char *text, gunichar folded[THEW_NEAREST_LENGTH])
{
    int length = 0;
    for (; *text != '\0'; text = g_utf8_next_char(text)) {
        if (length == THEW_NEAREST_LENGTH) return -1;
        folded[length++] = g_unichar_tolower(g_utf8_get_char(text));
    }
    return length;
}

static int distance(const gunichar *a, int a_length, const gunichar *b, int b_length)
{
    int row[3][THEW_NEAREST_LENGTH + 1]; // of the table: before the last, last, this
    int *older = row[0], *last = row[1], *now = row[2];
    for (int j = 0; j <= b_length; j++)
        last[j] = j;
    for (int i = 1; i <= a_length; i++) {
        now[0] = i;
        for (int j = 1; j <= b_length; j++) {
            int best = last[j - 1] + (a[i - 1] != b[j - 1]);
            best = MIN(best, MIN(last[j], now[j - 1]) + 1);
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) best = MIN(best, older[j - 2] + 1);
            now[j] = best;
        }
        int *reused = older;
        older = last, last = now, now = reused;
    }
    return last[b_length];
}

int thew_nearest_distance(const char *a, const char *b)
{
    gunichar a_folded[THEW_NEAREST_LENGTH], b_folded[THEW_NEAREST_LENGTH];
    int a_length = fold(a, a_folded), b_length = fold(b, b_folded);
    if (a_length < 0 || b_length < 0) return THEW_NEAREST_LENGTH + 1;
    return distance(a_folded, a_length, b_folded, b_length);
}

const char *thew_nearest(const char *name, const char *const *names)
{
    gunichar given[THEW_NEAREST_LENGTH], known[THEW_NEAREST_LENGTH];
    int given_length = fold(name, given), nearest_distance = G_MAXINT;
    const char *nearest = NULL;
    for (; given_length > 0 && *names != NULL; names++) {
        int known_length = fold(*names, known);
        int allowed = MAX(given_length, known_length) / 3;
        if (known_length < 0 || ABS(given_length - known_length) > allowed) continue;
        int away = distance(given, given_length, known, known_length);
        if (away > allowed || away >= nearest_distance) continue;
        nearest = *names;
        nearest_distance = away;
    }
    return nearest;
}
