// words_test.c: every sentence that a coach reads, as a whole: plain, short, no blame, no diagnosis.
#include "studio/words.h"

#include "tests/text_rows.h"

#define CLINICIAN " New or worse symptoms for a day or more, without fever or heat: ask the clinician first."

static char *say(thew_reason_code code, thew_ended ended, double seconds, int days_since_last, const char *better,
                 const char *other)
{
    thew_reason_words words = {
        .reason = { .code = code,
                    .last_ended = ended,
                    .last_seconds = seconds,
                    .limit = code == THEW_REASON_HELD_BY_RISE ? 1.3 : .1 },
        .floor_s = 30,
        .window_from_s = 60,
        .window_to_s = 90,
        .has_last = days_since_last >= 0,
        .days_since_last = days_since_last,
        .better = better,
        .other = other,
    };
    return thew_words_reason(&words);
}

static void test_every_reason_has_its_sentence(void **state)
{
    (void)state;
    static const struct {
        const char *why;
        thew_reason_code code;
        thew_ended ended;
        double seconds;
        int days_since_last; // -1: no last set
        const char *better, *other;
        const char *sentence;
    } row[] = {
        { "nothing known", THEW_REASON_FIRST_SET, 0, 0, -1, NULL, NULL,
          "Nothing is on record yet: the load comes from sex, age, size and the other exercises, and starts on the light side." },
        { "up", THEW_REASON_UP, THEW_COMPLETED, 90, 3, NULL, NULL,
          "The last set was completed at 90 s; a heavier load now has the best odds." },
        { "stay, inside", THEW_REASON_STAY, THEW_FAILURE, 72.4, 3, NULL, NULL,
          "The last set ended at 72 s, inside the window: stay, and aim a second longer." },
        { "stay, before", THEW_REASON_STAY, THEW_FAILURE, 55, 3, NULL, NULL,
          "The last set ended at 55 s, before the window; the same load still has the best odds." },
        { "stay, after a stop by choice", THEW_REASON_STAY, THEW_RESERVE, 70, 3, NULL, NULL,
          "The last set was stopped by choice at 70 s; the same load still has the best odds." },
        { "down", THEW_REASON_DOWN, THEW_FAILURE, 20, 3, NULL, NULL,
          "The last set ended at 20 s, far before the window; a lighter load now has the best odds." },
        { "down after the window", THEW_REASON_DOWN, THEW_FAILURE, 95, 3, NULL, NULL,
          "The last set ended at 95 s, after the window; a lighter load now has the best odds." },
        { "held by the floor", THEW_REASON_HELD_BY_FLOOR, THEW_COMPLETED, 90, 3, "hard, mark-2", NULL,
          "The last set was completed at 90 s. A heavier load (hard, mark-2) would come closer to the window, but could end before "
          "30 s "
          "more often than 10 in 100." },
        { "held by the floor, unnamed", THEW_REASON_HELD_BY_FLOOR, THEW_OTHER, 44, 3, NULL, NULL,
          "The last set was stopped at 44 s. A heavier load would come closer to the window, but could end before 30 s more often "
          "than "
          "10 in 100." },
        { "held by the rise", THEW_REASON_HELD_BY_RISE, THEW_COMPLETED, 90, 3, "hard, mark-2", NULL,
          "The last set was completed at 90 s. A heavier load (hard, mark-2) would come closer to the window, but asks over 30 % "
          "more: one "
          "step at a time." },
        { "after a symptom", THEW_REASON_EASED_SYMPTOM, THEW_SYMPTOM, 40, 3, NULL, NULL,
          "A set was stopped for a symptom: no rise above 10 % until sets go well again." CLINICIAN },
        { "after a symptom whatever the reason for the load", THEW_REASON_DOWN, THEW_SYMPTOM, 40, 3, NULL, NULL,
          "The last set was stopped for a symptom at 40 s; a lighter load now has the best odds." CLINICIAN },
        { "after a break", THEW_REASON_EASED_BREAK, THEW_FAILURE, 70, 40, NULL, NULL,
          "40 days since the last set: no rise above 10 % to begin with." },
        { "a break is said whatever the reason", THEW_REASON_STAY, THEW_FAILURE, 70, 40, NULL, NULL,
          "The last set, 40 days ago, ended at 70 s, inside the window: stay, and aim a second longer." },
        { "after a decline", THEW_REASON_EASED_DECLINE, THEW_FAILURE, 40, 3, NULL, NULL,
          "The last day's sets ended clearly sooner than expected: no rise above 10 % until that is understood." CLINICIAN },
        { "a decline with a symptom asks once", THEW_REASON_EASED_DECLINE, THEW_SYMPTOM, 40, 3, NULL, NULL,
          "The last day's sets ended clearly sooner than expected: no rise above 10 % until that is understood." CLINICIAN },
        { "too light", THEW_REASON_TOO_LIGHT, THEW_COMPLETED, 90, 3, NULL, "Standing row",
          "The last set was completed at 90 s; even the heaviest load will probably be completed. Consider Standing row." },
        { "too light from the start", THEW_REASON_TOO_LIGHT, 0, 0, -1, NULL, NULL,
          "Even the heaviest load will probably be completed." },
        { "too heavy", THEW_REASON_TOO_HEAVY, THEW_FAILURE, 10, 3, NULL, "Seated short row",
          "Even the lightest load is too heavy for now: it could end before 30 s. Consider Seated short row." },
        { "too heavy, nothing easier", THEW_REASON_TOO_HEAVY, 0, 0, -1, NULL, NULL,
          "Even the lightest load is too heavy for now: it could end before 30 s." },
    };
    bool seen[THEW_REASON_COUNT] = { false };
    EACH(i, row)
    {
        g_autofree char *sentence =
            say(row[i].code, row[i].ended, row[i].seconds, row[i].days_since_last, row[i].better, row[i].other);
        row_text(row[i].why, row[i].sentence, sentence);
        seen[row[i].code] = true;
    }
    EACH(c, seen)
    row_true(thew_reason_id((thew_reason_code)c), "its sentence stands in the table", seen[c]);
    rows_end(30);
}

static void test_how_far_the_kit_is_off(void **state)
{
    (void)state;
    static const struct {
        const char *why;
        thew_reason_code code;
        double fit_share;
        const char *sentence;
    } row[] = {
        { "more is needed", THEW_REASON_TOO_LIGHT, 1.4,
          "Even the heaviest load will probably be completed. A load some 40 % heavier would fit." },
        { "much more", THEW_REASON_TOO_LIGHT, 3.5,
          "Even the heaviest load will probably be completed. A load several times as heavy would fit." },
        { "next to nothing more", THEW_REASON_TOO_LIGHT, 1.04, "Even the heaviest load will probably be completed." },
        { "less", THEW_REASON_TOO_HEAVY, .6,
          "Even the lightest load is too heavy for now: it could end before 30 s. A load some 40 % lighter would fit." },
        { "unknown", THEW_REASON_TOO_HEAVY, 0, "Even the lightest load is too heavy for now: it could end before 30 s." },
    };
    EACH(i, row)
    {
        thew_reason_words words = {
            .reason = { .code = row[i].code, .fit_share = row[i].fit_share }, .floor_s = 30, .window_from_s = 60, .window_to_s = 90
        };
        g_autofree char *sentence = thew_words_reason(&words);
        row_text(row[i].why, row[i].sentence, sentence);
    }
    rows_end(5);
}

static void test_nothing_heavier_after_an_early_end(void **state)
{
    (void)state;
    thew_reason_words words = {
        .reason = { .code = THEW_REASON_HELD_BY_RISE, .last_ended = THEW_FAILURE, .last_seconds = 20, .limit = 1 },
        .floor_s = 30,
        .window_from_s = 60,
        .window_to_s = 90,
        .has_last = true,
        .better = "hard"
    };
    g_autofree char *sentence = thew_words_reason(&words);
    row_text("a rise of nothing", "The last set ended at 20 s, far before the window: nothing heavier until one goes well.",
             sentence);
    rows_end(1);
}

static const char *const unwanted[] = { "(null)", "%%",   "  ",    "..",         " .",   " ,",      ": .",     "nan",     "inf",
                                        "should", "must", "blame", "your fault", "weak", "relapse", "diagnos", "disease", "poor" };

// Every code, ending, time and age together: nothing that reads badly, and nothing that blames or diagnoses.
static void test_no_sentence_reads_badly(void **state)
{
    (void)state;
    static const double seconds[] = { 0, .4, 29.6, 59.5, 60, 89.5, 90, 3600 };
    static const int days[] = { 0, 1, 20, 21, 400 };
    for (int c = 0; c < THEW_REASON_COUNT; c++)
        for (int e = THEW_FAILURE; e <= THEW_OTHER; e++)
            EACH(s, seconds)
    EACH(d, days)
    {
        g_autofree char *said = say((thew_reason_code)c, (thew_ended)e, seconds[s], days[d], (s & 1) ? "x, mark-1" : NULL,
                                    (d & 1) ? "Seated row" : NULL);
        row_true(said, "it begins with a capital or a number", g_ascii_isupper(said[0]) || g_ascii_isdigit(said[0]));
        row_true(said, "it ends in a full stop", g_str_has_suffix(said, "."));
        row_true(said, "it is short", strlen(said) < 300);
        EACH(u, unwanted)
        row_true(said, unwanted[u], strstr(said, unwanted[u]) == NULL);
    }
    rows_end(1000);
}

static void test_days(void **state)
{
    (void)state;
    static const struct {
        const char *why;
        thew_day day;
        const char *date, *words;
    } row[] = {
        { "the first", 0, "1970-01-01", "Thu 1 Jan 1970" },
        { "before the first", -1, "1969-12-31", "Wed 31 Dec 1969" },
        { "a leap day", 19782, "2024-02-29", "Thu 29 Feb 2024" },
        { "a century that has none", -25508, "1900-03-01", "Thu 1 Mar 1900" },
        { "the last that files can say", 2932896, "9999-12-31", "Fri 31 Dec 9999" },
        { "the first that files can say", -719162, "0001-01-01", "Mon 1 Jan 1" },
    };
    EACH(i, row)
    {
        g_autofree char *date = thew_words_date(row[i].day), *words = thew_words_day(row[i].day);
        row_text(row[i].why, row[i].date, date);
        row_text(row[i].why, row[i].words, words);
    }
    rows_end(12);
}

static void test_today_is_in_the_local_zone(void **state)
{
    (void)state;
    thew_day before = thew_words_today();
    g_autoptr(GDateTime) now = g_date_time_new_now_local();
    g_autofree char *expected = g_date_time_format(now, "%Y-%m-%d"), *obtained = thew_words_date(thew_words_today());
    if (before == thew_words_today()) // not just at midnight
        row_text("today", expected, obtained);
    else
        row_true("midnight", "a day has passed", thew_words_today() == before + 1);
    rows_end(1);
}

static void test_small_words(void **state)
{
    (void)state;
    row_text("side", "both", thew_words_side(THEW_BOTH));
    row_text("side", "left", thew_words_side(THEW_LEFT));
    row_text("side", "right", thew_words_side(THEW_RIGHT));
    static const char *const ended[] = { "failure", "completed", "reserve", "symptom", "other" };
    EACH(e, ended)
    row_text("ended", ended[e], thew_words_ended((thew_ended)e));
    static const struct {
        double p;
        const char *words;
    } chance[] = { { 0, "under 1 in 100" }, { .004, "under 1 in 100" }, { .006, "1 in 100" },   { .5, "50 in 100" },
                   { .994, "99 in 100" },   { .996, "over 99 in 100" }, { 1, "over 99 in 100" } };
    EACH(c, chance)
    {
        g_autofree char *words = thew_words_chance(chance[c].p);
        row_text("chance", chance[c].words, words);
    }
    rows_end(15);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_reason_has_its_sentence),
        cmocka_unit_test(test_how_far_the_kit_is_off),
        cmocka_unit_test(test_nothing_heavier_after_an_early_end),
        cmocka_unit_test(test_no_sentence_reads_badly),
        cmocka_unit_test(test_days),
        cmocka_unit_test(test_today_is_in_the_local_zone),
        cmocka_unit_test(test_small_words),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
