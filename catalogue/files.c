// files.c: where the bytes of a catalogue come from: the program itself, a folder, or both.
#include "parts.h"

#include <string.h>

extern const thew_embedded thew_embedded_catalogue[];
extern const size_t thew_embedded_catalogue_count;

const thew_catalogue_file *thew_catalogue_embedded(size_t *file_count)
{
    *file_count = thew_embedded_catalogue_count;
    return thew_embedded_catalogue;
}

static void free_file(gpointer file)
{
    thew_catalogue_file *f = file;
    g_free((char *)f->name);
    g_free((char *)f->bytes);
    g_free(f);
}

static int by_text(const void *a, const void *b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

// The names of a folder's JSON files, sorted, so that the order of faults does not depend on the disk. Schemas are no data.
static GPtrArray *list_folder(const char *folder, GError **error)
{
    g_autoptr(GDir) dir = g_dir_open(folder, 0, error);
    if (dir == NULL) return NULL;
    GPtrArray *name = g_ptr_array_new_with_free_func(g_free);
    for (const char *entry = g_dir_read_name(dir); entry != NULL; entry = g_dir_read_name(dir))
        if (g_str_has_suffix(entry, ".json") && !g_str_has_suffix(entry, ".schema.json") && entry[0] != '.')
            g_ptr_array_add(name, g_strdup(entry));
    g_ptr_array_sort(name, by_text);
    return name;
}

static bool read_folder(const char *folder, GPtrArray *file, GError **error)
{
    g_autoptr(GPtrArray) name = list_folder(folder, error);
    for (guint i = 0; name != NULL && i < name->len; i++) {
        thew_catalogue_file *f = g_new0(thew_catalogue_file, 1);
        g_ptr_array_add(file, f);
        f->name = g_build_filename(folder, name->pdata[i], NULL);
        if (!g_file_get_contents(f->name, (char **)&f->bytes, &f->size, error)) return false;
    }
    return name != NULL;
}

// A catalogue's folder and its movements/, which need not be there.
static bool read_both(const char *folder, GPtrArray *file, GError **error)
{
    g_autofree char *movements = g_build_filename(folder, "movements", NULL);
    g_autoptr(GError) cause = NULL;
    if (read_folder(folder, file, &cause) && (!g_file_test(movements, G_FILE_TEST_EXISTS) || read_folder(movements, file, &cause)))
        return true;
    g_set_error(error, THEW_CATALOGUE_ERROR, THEW_CATALOGUE_ERROR_FOLDER,
                "%s: could not be read: %s; must be a folder with movements/*.json and the tables that they need", folder,
                cause->message);
    return false;
}

static thew_catalogue *load(const thew_catalogue_file *built_in, size_t built_in_count, const char *folder, GError **error)
{
    g_autoptr(GPtrArray) added = g_ptr_array_new_with_free_func(free_file);
    if (folder != NULL && !read_both(folder, added, error)) return NULL;
    g_autoptr(GArray) all = g_array_new(FALSE, FALSE, sizeof(thew_catalogue_file));
    g_array_append_vals(all, built_in, (guint)built_in_count);
    for (guint i = 0; i < added->len; i++)
        g_array_append_vals(all, added->pdata[i], 1);
    return thew_catalogue_load_files((const thew_catalogue_file *)(void *)all->data, all->len, error);
}

thew_catalogue *thew_catalogue_load(const char *additions, GError **error)
{
    return load(thew_embedded_catalogue, thew_embedded_catalogue_count, additions, error);
}

thew_catalogue *thew_catalogue_load_folder(const char *folder, GError **error)
{
    return load(NULL, 0, folder, error);
}
