// today.c: who needs the coach, and who trains.
#include "serve/handlers.h"
#include "serve/tell.h"
#include "studio/watch.h"

static json_t *tell_attention(const thew_attention *one)
{
    return json_pack("{s:s, s:s, s:s, s:o, s:s, s:s, s:o}", "kind", thew_attention_word(one->kind), "person", one->person, "called",
                     one->called, "day", thew_tell_day(one->day), "words", one->words, "what_to_do", one->what_to_do, "exercise",
                     thew_tell_text(one->exercise));
}

static json_t *tell_trains(const thew_trains *one)
{
    return json_pack("{s:s, s:s, s:s, s:o, s:b}", "person", one->person, "called", one->called, "why", one->why, "earliest",
                     thew_tell_day(one->earliest), "heat_sensitive", one->heat_sensitive);
}

static json_t *tell_trained(const thew_trained *one)
{
    return json_pack("{s:s, s:s, s:o, s:i}", "person", one->person, "called", one->called, "day", thew_tell_day(one->day), "sets",
                     one->sets);
}

void thew_today_read(thew_request *request)
{
    thew_date date = thew_request_day(request, "day");
    if (!thew_request_sound(request)) return;
    g_autoptr(thew_today) today = NULL;
    thew_day day = thew_tell_day_or_today(request->studio, date);
    if (!thew_request_done(request, thew_watch(request->studio, day, &today, request->refusal))) return;
    json_t *attention = json_array(), *trains = json_array(), *recent = json_array();
    for (guint i = 0; i < today->attention->len; i++)
        json_array_append_new(attention, tell_attention(&g_array_index(today->attention, thew_attention, i)));
    for (guint i = 0; i < today->trains->len; i++)
        json_array_append_new(trains, tell_trains(&g_array_index(today->trains, thew_trains, i)));
    for (guint i = 0; i < today->recent->len; i++)
        json_array_append_new(recent, tell_trained(&g_array_index(today->recent, thew_trained, i)));
    thew_answer_json(request, 200,
                     json_pack("{s:o, s:o, s:o, s:i, s:o}", "day", thew_tell_day(today->day), "attention", attention, "trains",
                               trains, "waiting", (int)today->waiting, "recent", recent));
}
