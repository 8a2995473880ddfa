// records.c: see records.h.
#include "catalogue/records.h"

#include <string.h>

#include "tools/embedded.h"

extern const thew_embedded thew_embedded_records[];
extern const size_t thew_embedded_records_count;

// What the items point at: as long as the program, and never lost sight of.
static GMutex documents_lock;
static GPtrArray *documents;

static json_t *hold(json_t *document)
{
    g_mutex_lock(&documents_lock);
    if (!documents) documents = g_ptr_array_new();
    g_ptr_array_add(documents, document);
    g_mutex_unlock(&documents_lock);
    return document;
}

static void stop_if_faulty(const thew_json_file *file)
{
    if (file->faults > 0) g_error("%s", file->fault->len > 0 ? (const char *)file->fault->pdata[0] : file->name);
}

static json_t *parse(thew_json_file *file)
{
    for (size_t i = 0; i < thew_embedded_records_count; i++) {
        if (strcmp(thew_embedded_records[i].name, file->name) != 0) continue;
        json_t *root = thew_json_parse(file, thew_embedded_records[i].bytes, thew_embedded_records[i].size);
        stop_if_faulty(file);
        return hold(root);
    }
    g_error("%s is not part of this program", file->name);
}

GArray *thew_records_read(const char *name, const char *list, size_t most, size_t item_size, void (*read)(thew_json at, void *item))
{
    thew_json_file file = { .name = name, .fault = g_ptr_array_new_with_free_func(g_free) };
    thew_json top = thew_json_top(&file, parse(&file));
    const char *const keys[] = { list, NULL };
    thew_json items = thew_json_key(&top, list);
    size_t count = thew_json_object(&top, keys) ? thew_json_array(&items, 1, most) : 0;
    GArray *all = g_array_sized_new(FALSE, TRUE, (guint)item_size, (guint)count);
    g_array_set_size(all, (guint)count);
    for (size_t i = 0; i < count; i++)
        read(thew_json_item(&items, i), all->data + i * item_size);
    stop_if_faulty(&file);
    g_ptr_array_unref(file.fault);
    return all;
}
