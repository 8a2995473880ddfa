// words.c: see words.h.
#include "studio/words.h"

#include <math.h>

const char *thew_words_side(thew_side side)
{
    static const char *const word[] = { "both", "left", "right" };
    return word[side];
}

const char *thew_words_ended(thew_ended ended)
{
    static const char *const word[] = { "failure", "completed", "reserve", "symptom", "other" };
    return word[ended];
}

#define UNIX_EPOCH_JULIAN 719163 // GDate's number of 1970-01-01

static void set_day(GDate *date, thew_day day)
{
    g_date_clear(date, 1);
    g_date_set_julian(date, (guint32)(day + UNIX_EPOCH_JULIAN));
}

char *thew_words_day(thew_day day)
{
    static const char *const weekday[] = { "", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun" };
    static const char *const month[] = { "", "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec" };
    GDate date;
    set_day(&date, day);
    return g_strdup_printf("%s %d %s %d", weekday[g_date_get_weekday(&date)], g_date_get_day(&date), month[g_date_get_month(&date)],
                           g_date_get_year(&date));
}

char *thew_words_date(thew_day day)
{
    GDate date;
    set_day(&date, day);
    return g_strdup_printf("%04d-%02d-%02d", g_date_get_year(&date), g_date_get_month(&date), g_date_get_day(&date));
}

thew_day thew_words_today(void)
{
    g_autoptr(GDateTime) now = g_date_time_new_now_local();
    int year, month, day;
    g_date_time_get_ymd(now, &year, &month, &day);
    GDate date;
    g_date_clear(&date, 1);
    g_date_set_dmy(&date, (GDateDay)day, (GDateMonth)month, (GDateYear)year);
    return (thew_day)g_date_get_julian(&date) - UNIX_EPOCH_JULIAN;
}

char *thew_words_chance(double p)
{
    int hundredths = (int)(p * 100 + .5);
    if (hundredths < 1)
        return g_strdup("under 1 in 100");
    if (hundredths > 99)
        return g_strdup("over 99 in 100");
    return g_strdup_printf("%d in 100", hundredths);
}

static const char *place_in_window(const thew_reason_words *w)
{
    if (w->reason.last_seconds < w->floor_s)
        return "far before the window";
    if (w->reason.last_seconds < w->window_from_s)
        return "before the window";
    return w->reason.last_seconds < w->window_to_s ? "inside the window" : "after the window";
}

// How the last set ended, as the beginning of a sentence. After a break its age belongs to it.
static char *last_set(const thew_reason_words *w)
{
    static const char *const how[] = { [THEW_FAILURE] = "ended",
                                       [THEW_COMPLETED] = "was completed",
                                       [THEW_RESERVE] = "was stopped by choice",
                                       [THEW_SYMPTOM] = "was stopped for a symptom",
                                       [THEW_OTHER] = "was stopped" };
    g_autofree char *age = w->days_since_last >= THEW_BREAK_DAYS ? g_strdup_printf(", %d days ago,", w->days_since_last) : g_strdup("");
    bool failed = w->reason.last_ended == THEW_FAILURE;
    return g_strdup_printf("The last set%s %s at %d s%s%s", age, how[w->reason.last_ended], (int)(w->reason.last_seconds + .5),
                           failed ? ", " : "", failed ? place_in_window(w) : "");
}

static bool was_inside(const thew_reason_words *w)
{
    return w->reason.last_ended == THEW_FAILURE && w->reason.last_seconds >= w->window_from_s && w->reason.last_seconds < w->window_to_s;
}

#define ASK_CLINICIAN "New or worse symptoms for a day or more, without fever or heat: ask the clinician first."

// " A load some 40 % lighter would fit.": how far the kit is off, where it is off.
static char *fitting_load(const thew_reason *reason)
{
    double off = reason->fit_share - 1;
    if (reason->fit_share <= 0 || (off > -.05 && off < .05))
        return g_strdup("");
    if (off > 2)
        return g_strdup(" A load several times as heavy would fit.");
    return g_strdup_printf(" A load some %.0f %% %s would fit.", (off > 0 ? off : -off) * 100, off > 0 ? "heavier" : "lighter");
}

static char *why(const thew_reason_words *w)
{
    g_autofree char *last = last_set(w);
    g_autofree char *fitting = fitting_load(&w->reason);
    g_autofree char *better = w->better ? g_strdup_printf("A heavier load (%s)", w->better) : g_strdup("A heavier load");
    const char *other_lead = w->other ? " Consider " : "", *other = w->other ? w->other : "", *other_end = w->other ? "." : "";
    switch (w->reason.code) {
    case THEW_REASON_FIRST_SET:
        return g_strdup("Nothing is on record yet: the load comes from sex, age, size and the other exercises, and starts on the light side.");
    case THEW_REASON_UP:
        return g_strdup_printf("%s; %sa heavier load now has the best odds.", last, was_inside(w) ? "with all other sets, " : "");
    case THEW_REASON_STAY:
        return g_strdup_printf(was_inside(w) ? "%s: stay, and aim a second longer." : "%s; the same load still has the best odds.", last);
    case THEW_REASON_DOWN:
        return g_strdup_printf("%s; %sa lighter load now has the best odds.", last, was_inside(w) ? "with all other sets, " : "");
    case THEW_REASON_HELD_BY_FLOOR:
        return g_strdup_printf("%s. %s would come closer to the window, but could end before %.0f s more often than %.0f in 100.", last, better,
                               w->floor_s, w->reason.limit * 100);
    case THEW_REASON_HELD_BY_RISE:
        if (w->reason.limit <= 1)
            return g_strdup_printf("%s: nothing heavier until one goes well.", last);
        return g_strdup_printf("%s. %s would come closer to the window, but asks over %.0f %% more: one step at a time.", last, better,
                               (w->reason.limit - 1) * 100);
    case THEW_REASON_EASED_SYMPTOM:
        return g_strdup("A set was stopped for a symptom: no rise above 10 % until sets go well again. " ASK_CLINICIAN);
    case THEW_REASON_EASED_BREAK:
        return g_strdup_printf("%d days since the last set: no rise above 10 %% to begin with.", w->days_since_last);
    case THEW_REASON_EASED_DECLINE:
        return g_strdup("The last day's sets ended clearly sooner than expected: no rise above 10 % until that is understood. " ASK_CLINICIAN);
    case THEW_REASON_TOO_LIGHT:
        return g_strdup_printf("%s%s the heaviest load will probably be completed.%s%s%s%s", w->has_last ? last : "", w->has_last ? "; even" : "Even",
                               other_lead, other, other_end, fitting);
    case THEW_REASON_TOO_HEAVY:
        return g_strdup_printf("Even the lightest load is too heavy for now: it could end before %.0f s.%s%s%s%s", w->floor_s, other_lead,
                               other, other_end, fitting);
    case THEW_REASON_COUNT:
        break;
    }
    g_assert_not_reached();
}

char *thew_words_reason(const thew_reason_words *words)
{
    thew_reason_code code = words->reason.code;
    char *reason = why(words);
    if (!words->has_last || words->reason.last_ended != THEW_SYMPTOM || code == THEW_REASON_EASED_SYMPTOM || code == THEW_REASON_EASED_DECLINE)
        return reason;
    g_autofree char *alone = reason; // whatever the load, a symptom comes first
    return g_strdup_printf("%s " ASK_CLINICIAN, alone);
}

char *thew_words_advised(const thew_person_advice *person, const thew_advised *advised)
{
    const thew_task *task = thew_advised_task(person, advised);
    thew_reason_words words = {
        .reason = advised->advice.reason,
        .floor_s = task->floor_s,
        .window_from_s = task->window_from_s,
        .window_to_s = task->window_to_s,
        .has_last = advised->last != NULL,
        .days_since_last = advised->last_day == THEW_NO_DAY ? 0 : person->on - advised->last_day,
        .better = advised->better ? advised->better->label : NULL,
        .other = advised->other ? advised->other->name : NULL,
    };
    GString *text = g_string_new(NULL);
    g_autofree char *reason = thew_words_reason(&words);
    g_string_append(text, reason);
    if (advised->if_completed && advised->advice.reason.code != THEW_REASON_TOO_HEAVY)
        g_string_append_printf(text, " If it is completed: %s next.", advised->if_completed->label);
    if (advised->if_early && (!advised->if_completed || advised->if_early != advised->if_completed))
        g_string_append_printf(text, " If it ends at %.0f s: %s next.", thew_advised_early_s(task), advised->if_early->label);
    double today = exp(advised->advice.reason.today_ln) - 1;
    if (today < -.05 || today > .05)
        g_string_append_printf(text, " Today counts as some %.0f %% %s.", fabs(today) * 100, today < 0 ? "weaker" : "stronger");
    if (advised->outside_endurance)
        g_string_append(text, " The odds are rough here: the load is far from what fails in a minute or so.");
    return g_string_free(text, FALSE);
}
