// people.c: those who train: the list, one of them, taking on, changing, screening, removing.
#include "serve/handlers.h"
#include "serve/tell.h"
#include "studio/enrol.h"
#include "studio/remove.h"
#include "studio/screen.h"

// --- the list

static json_t *tell_brief(const thew_person_brief *one)
{
    return json_pack("{s:s, s:s, s:o, s:o, s:o, s:i, s:b, s:b, s:i, s:o}", "person", one->person, "called", one->called,
                     "since_day", thew_tell_date(one->since_day), "left_day", thew_tell_date(one->left_day), "last_day",
                     thew_tell_day(one->standing.last_day), "sets", one->standing.sets, "screened", one->screened, "declined",
                     one->standing.declined, "waiting", one->standing.waiting, "endpoint", thew_tell_text(one->endpoint));
}

void thew_people_list(thew_request *request)
{
    g_autoptr(thew_people) people = NULL;
    if (!thew_request_done(request, thew_enrol_list(request->studio, &people, request->refusal))) return;
    json_t *list = json_array();
    for (guint i = 0; i < people->brief->len; i++) {
        const thew_person_brief *one = &g_array_index(people->brief, thew_person_brief, i);
        bool may_see = thew_request_would(request, THEW_ACT_READ_PERSON, one->person) ||
                       thew_request_would(request, THEW_ACT_READ_STRENGTH, one->person); // a clinician, whose report it is
        if (may_see) json_array_append_new(list, tell_brief(one));
    }
    thew_answer_json(request, 200, list);
}

// --- one of them

static json_t *tell_limits(const thew_person_change *known)
{
    json_t *list = json_array();
    for (guint i = 0; i < known->limit_count; i++)
        json_array_append_new(list, thew_shape_write(&thew_part_limit, &known->limit[i]));
    return list;
}

static json_t *tell_cautions(const GArray *caution)
{
    json_t *list = json_array();
    for (guint i = 0; i < caution->len; i++) {
        const thew_person_caution *one = &g_array_index(caution, thew_person_caution, i);
        json_array_append_new(list, json_pack("{s:s, s:s}", "caution", one->caution, "words", one->words));
    }
    return list;
}

static json_t *tell_known(const thew_person_change *known)
{
    return json_pack("{s:s, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:b, s:s, s:o, s:o, s:o, s:o, s:o}", "called", known->called, "sex",
                     thew_tell_text(known->sex), "birth_year", known->birth_year ? json_integer(known->birth_year) : json_null(),
                     "height_m", thew_tell_maybe(known->height_m), "mass_kg", thew_tell_maybe(known->mass_kg), "condition",
                     thew_tell_text(known->condition), "endpoint", thew_tell_text(known->endpoint), "weaker_side",
                     thew_tell_text(known->weaker_side), "heat_sensitive", known->heat_sensitive, "note",
                     known->note ? known->note : "", "since_day", thew_tell_date(known->since_day), "left_day",
                     thew_tell_date(known->left_day), "goals", thew_tell_texts(known->goal), "exercises",
                     thew_tell_texts(known->exercise), "limits", tell_limits(known));
}

static json_t *tell_person(const thew_person_whole *whole)
{
    json_t *person = tell_known(&whole->known);
    const thew_standing_brief *standing = &whole->standing;
    json_t *rest = json_pack("{s:s, s:o, s:o, s:o, s:o, s:i, s:b, s:o}", "person", whole->person, "made_at",
                             thew_tell_instant(whole->made_us), "changed_at", thew_tell_instant(whole->changed_us), "cautions",
                             tell_cautions(whole->caution), "last_day", thew_tell_day(standing->last_day), "sets", standing->sets,
                             "declined", standing->declined, "earliest", thew_tell_day(standing->earliest));
    json_object_update(person, rest);
    json_decref(rest);
    json_object_set_new(person, "screening", thew_tell_screening(whole->screening));
    return person;
}

static void answer_person(thew_request *request, int status, const char *person)
{
    g_autoptr(thew_person_whole) whole = NULL;
    if (thew_request_done(request, thew_enrol_read(request->studio, person, &whole, request->refusal)))
        thew_answer_json(request, status, tell_person(whole));
}

void thew_people_read(thew_request *request)
{
    answer_person(request, 200, request->part[0]);
}

static thew_person_change change_of(const thew_person_body *given)
{
    thew_person_change change = given->known;
    change.goal = given->goals.item;
    change.exercise = given->exercises.item;
    change.limit = given->limits.item;
    change.limit_count = given->limits.count;
    return change;
}

void thew_people_make(thew_request *request)
{
    const thew_person_body *given = thew_request_row(request, thew_person_body);
    thew_person_change change = change_of(given);
    thew_actor actor = thew_request_actor(request);
    if (thew_request_done(request, thew_enrol(request->studio, &actor, given->person, &change, request->refusal)))
        answer_person(request, 201, given->person);
}

void thew_people_write(thew_request *request)
{
    thew_person_change change = change_of(thew_request_row(request, thew_person_body));
    thew_actor actor = thew_request_actor(request);
    if (thew_request_done(request, thew_enrol_change(request->studio, &actor, request->part[0], &change, request->refusal)))
        answer_person(request, 200, request->part[0]);
}

void thew_people_remove(thew_request *request)
{
    const char *called = thew_request_row(request, thew_remove_body)->called;
    thew_actor actor = thew_request_actor(request);
    if (thew_request_done(request, thew_remove_person(request->studio, &actor, request->part[0], called, NULL, request->refusal)))
        thew_answer_nothing(request);
}

void thew_screening_answer(thew_request *request)
{
    const thew_shape_list *answers = &thew_request_row(request, thew_screening_body)->answers;
    thew_actor actor = thew_request_actor(request);
    g_autoptr(thew_screening) screening = NULL;
    if (thew_request_done(request, thew_screen(request->studio, &actor, request->part[0], answers->item, answers->count, &screening,
                                               request->refusal)))
        thew_answer_json(request, 200, thew_tell_screening(screening));
}
