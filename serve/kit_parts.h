// kit_parts.h: what kit.c and drawings.c ask of each other.
#ifndef THEW_SERVE_KIT_PARTS_H
#define THEW_SERVE_KIT_PARTS_H

#include "serve/request.h"
#include "studio/equip.h"

/// A band's curve with its readings, as SVG. Newly allocated.
///   width_px   0: the usual
char *thew_drawing_of_curve(const thew_equipment *item, double width_px);
/// The same of readings that are being typed.
///   reading   [count]; only length_m and force_n are looked at
char *thew_drawing_of_typed_curve(const thew_curve *curve, const thew_reading_given *reading, guint count, double width_px);

/// Whether whoever asks may do that to an item's owner; if not, or if there is no such item, that is answered.
///   kit   out: holds the item; NULL unless they may
bool thew_request_may_item(thew_request *request, thew_act act, const char *item, thew_kit **kit);

#endif
