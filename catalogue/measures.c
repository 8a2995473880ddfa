// measures.c: see measures.h.
#include "catalogue/measures.h"

#include <string.h>

#include "catalogue/records.h"

static void read_change(const thew_json *at, thew_measure *measure)
{
    static const char *const kinds[] = { "unknown", "difference", "share", NULL };
    measure->change = (thew_change_kind)MAX(thew_json_choice(thew_json_key(at, "change"), kinds), 0);
    double most = measure->change == THEW_CHANGE_SHARE ? 1 : 1e4;
    thew_json_real(thew_json_key(at, "smallest_better"), 0, most, &measure->better);
    thew_json_real(thew_json_key(at, "smallest_worse"), 0, most, &measure->worse);
    // only figures have a source
    thew_json source = thew_json_key(at, "source");
    measure->source = measure->change == THEW_CHANGE_UNKNOWN ? "" : thew_json_text(source);
}

static void read_one(thew_json at, void *item)
{
    static const char *const keys[] = { "measure", "name",   "unit",   "words",           "better",         "sided", "from",
                                        "to",      "change", "source", "smallest_better", "smallest_worse", NULL };
    static const char *const better[] = { "lower", "higher", NULL };
    thew_measure *measure = item;
    if (!thew_json_object(&at, keys)) return;
    measure->measure = thew_json_text(thew_json_key(&at, "measure")); // "30-s-chair-stand": may begin with a digit
    measure->name = thew_json_text(thew_json_key(&at, "name"));
    measure->unit = thew_json_text(thew_json_key(&at, "unit"));
    measure->words = thew_json_text(thew_json_key(&at, "words"));
    measure->higher_is_better = thew_json_choice(thew_json_key(&at, "better"), better) == 1;
    thew_json_flag(thew_json_key(&at, "sided"), &measure->sided);
    thew_json_real(thew_json_key(&at, "from"), 0, 1e4, &measure->from);
    thew_json_real(thew_json_key(&at, "to"), measure->from, 1e4, &measure->to);
    read_change(&at, measure);
}

static const GArray *table(void)
{
    static gsize once;
    if (g_once_init_enter(&once))
        g_once_init_leave(&once, (gsize)thew_records_read("measures.json", "measures", 60, sizeof(thew_measure), read_one));
    return (const GArray *)once;
}

const thew_measure *thew_measures(size_t *count)
{
    *count = table()->len;
    return (const thew_measure *)(const void *)table()->data;
}

const thew_measure *thew_measure_find(const char *measure)
{
    size_t count;
    const thew_measure *all = thew_measures(&count);
    for (size_t i = 0; measure && i < count; i++)
        if (strcmp(all[i].measure, measure) == 0 || strcmp(all[i].name, measure) == 0) return &all[i];
    return NULL;
}
