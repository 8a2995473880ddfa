// kit.c: what people train with: items, readings, curves.
#include "serve/handlers.h"
#include "serve/kit_parts.h"
#include "serve/tell.h"

// --- telling

static json_t *tell_curve(const thew_curve *curve, const char *svg)
{
    json_t *points = json_array();
    for (int i = 0; i < THEW_CURVE_POINTS; i++) {
        const thew_curve_point *one = &curve->point[i];
        json_array_append_new(points, json_pack("{s:o, s:o, s:o, s:o}", "length_m", thew_tell_real(one->length_m), "force_n",
                                                thew_tell_real(one->force_n), "low_n", thew_tell_real(one->low_n), "high_n",
                                                thew_tell_real(one->high_n)));
    }
    return json_pack("{s:o, s:o, s:o, s:o, s:s}", "points", points, "at_double_n", thew_tell_real(curve->at_double_n),
                     "error_percent", thew_tell_real(curve->error_percent), "news", thew_tell_text(curve->news), "svg", svg);
}

static json_t *tell_readings(const thew_equipment *one)
{
    json_t *list = json_array();
    for (guint i = 0; i < one->reading_count; i++) {
        const thew_store_reading *kept = &one->reading[i];
        const thew_reading_given reading = { kept->reading, kept->length_m, kept->force_n, kept->measured_day,
                                             kept->note ? kept->note : "" };
        json_array_append_new(list, thew_shape_write(&thew_part_reading, &reading));
    }
    return list;
}

static json_t *tell_item(const thew_equipment *one)
{
    const thew_store_item *kept = &one->item;
    const thew_item_given given = { kept->item,       kept->person,        kept->label, kept->kind,
                                    kept->mass_kg,    kept->rest_length_m, kept->step,  kept->note ? kept->note : "",
                                    kept->retired_day };
    json_t *item = thew_shape_write(&thew_part_item, &given);
    json_object_set_new(item, "owner_called", thew_tell_text(one->owner_called));
    json_object_set_new(item, "readings", tell_readings(one));
    g_autofree char *svg = one->curve ? thew_drawing_of_curve(one, 0) : NULL;
    json_object_set_new(item, "curve", one->curve ? tell_curve(one->curve, svg) : json_null());
    json_object_set_new(item, "wear", thew_tell_text(one->wear));
    return item;
}

// --- asking

// Who may see a person's kit sees everybody's beside it: the person trains with both.
void thew_kit_list(thew_request *request)
{
    const char *person = thew_request_text(request, "person", NULL);
    if (!thew_request_sound(request) || !thew_request_may(request, THEW_ACT_READ_KIT, person)) return;
    g_autoptr(thew_kit) kit = NULL;
    if (!thew_request_done(request, thew_equip_list(request->studio, person, &kit, request->refusal))) return;
    json_t *list = json_array();
    for (guint i = 0; i < kit->item->len; i++)
        json_array_append_new(list, tell_item(kit->item->pdata[i]));
    thew_answer_json(request, 200, list);
}

static void answer_item(thew_request *request, int status, const char *item)
{
    g_autoptr(thew_kit) kit = NULL;
    if (thew_request_done(request, thew_equip_read(request->studio, item, &kit, request->refusal)))
        thew_answer_json(request, status, tell_item(kit->item->pdata[0]));
}

bool thew_request_may_item(thew_request *request, thew_act act, const char *item, thew_kit **kit)
{
    g_autoptr(thew_kit) found = NULL;
    *kit = NULL;
    if (!thew_request_done(request, thew_equip_read(request->studio, item, &found, request->refusal))) return false;
    if (!thew_request_may(request, act, ((const thew_equipment *)found->item->pdata[0])->item.person)) return false;
    *kit = g_steal_pointer(&found);
    return true;
}

void thew_kit_add(thew_request *request)
{
    const thew_item_given *given = thew_request_row(request, thew_item_given);
    if (!thew_request_may(request, THEW_ACT_WRITE_KIT, given->person)) return;
    thew_actor actor = thew_request_actor(request);
    if (thew_request_done(request, thew_equip_add(request->studio, &actor, given, request->refusal)))
        answer_item(request, 201, given->item);
}

void thew_kit_change(thew_request *request)
{
    const thew_item_given *given = thew_request_row(request, thew_item_given);
    if (!g_str_equal(given->item, request->part[0])) {
        thew_refusal_add(request->refusal, "/item", "is \"%.64s\"; must be \"%.64s\", as in the address", given->item,
                         request->part[0]);
        thew_answer_refusal(request, THEW_INVALID);
        return;
    }
    g_autoptr(thew_kit) kit = NULL;
    if (!thew_request_may_item(request, THEW_ACT_WRITE_KIT, given->item, &kit)) return;
    if (!thew_request_may(request, THEW_ACT_WRITE_KIT, given->person)) return;
    thew_actor actor = thew_request_actor(request);
    if (thew_request_done(request, thew_equip_change(request->studio, &actor, given, request->refusal)))
        answer_item(request, 200, given->item);
}

void thew_kit_measure(thew_request *request)
{
    const thew_shape_list *readings = &thew_request_row(request, thew_readings_body)->readings;
    g_autoptr(thew_kit) kit = NULL;
    if (!thew_request_may_item(request, THEW_ACT_MEASURE_KIT, request->part[0], &kit)) return;
    thew_actor actor = thew_request_actor(request);
    if (thew_request_done(request, thew_equip_measure(request->studio, &actor, request->part[0], readings->item, readings->count,
                                                      request->refusal)))
        answer_item(request, 200, request->part[0]);
}

void thew_curve_question(thew_request *request)
{
    const thew_curve_body *given = thew_request_row(request, thew_curve_body);
    g_autoptr(thew_curve) curve = NULL;
    if (!thew_request_done(
            request, thew_equip_curve(given->rest_length_m, given->readings.item, given->readings.count, &curve, request->refusal)))
        return;
    g_autofree char *svg = thew_drawing_of_typed_curve(curve, given->readings.item, given->readings.count,
                                                       given->width.known ? given->width.value : 0);
    thew_answer_json(request, 200, tell_curve(curve, svg));
}
