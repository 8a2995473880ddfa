// records.c: see records.h.
#include "catalogue/records.h"

#include <string.h>

#include "tools/embedded.h"

extern const thew_embedded thew_embedded_records[];
extern const size_t thew_embedded_records_count;

json_t *thew_records_begin(const char *name, thew_json_file *file)
{
    *file = (thew_json_file){ .name = name, .fault = g_ptr_array_new_with_free_func(g_free) };
    for (size_t i = 0; i < thew_embedded_records_count; i++) {
        if (strcmp(thew_embedded_records[i].name, name) != 0) continue;
        json_t *root = thew_json_parse(file, thew_embedded_records[i].bytes, thew_embedded_records[i].size);
        if (!root) thew_records_end(file);
        return root;
    }
    g_error("%s is not part of this program", name);
}

void thew_records_end(thew_json_file *file)
{
    if (file->faults > 0) g_error("%s", file->fault->len > 0 ? (const char *)file->fault->pdata[0] : file->name);
    g_ptr_array_unref(file->fault);
}
