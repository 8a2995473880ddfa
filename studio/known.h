// known.h: what catalogue and engine say of the names and kit in files.
// Knows identifiers and kinds. Leaves to others: the files (exchange/), what an identifier means (catalogue/).
#ifndef THEW_STUDIO_KNOWN_H
#define THEW_STUDIO_KNOWN_H

#include "catalogue/catalogue.h"
#include "exchange/cross_check.h"

typedef struct thew_known_ids thew_known_ids;

/// For thew_known: `ids` is thew_known_ids_of, `user` is this.
///   catalogue   must outlive it
thew_known_ids *thew_known_ids_new(const thew_catalogue *catalogue);
void thew_known_ids_free(thew_known_ids *known);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_known_ids, thew_known_ids_free)

const char *const *thew_known_ids_of(void *user, thew_known_kind kind, thew_known_where where);

/// A kind of a kit file, as the catalogue has it.
thew_implement_kind thew_known_implement(thew_kit_kind kind);

/// The band that an item of a kit is, from its readings (those of the latest day, if they are dated) or its step.
///   status   as thew_band_fit, or THEW_OK for an unmeasured band
thew_status thew_known_band(const thew_kit_item *item, thew_band *band);

#endif
