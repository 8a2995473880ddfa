// place.h: a folder that goes with the test, for studios in files.
#ifndef THEW_TEST_PLACE_H
#define THEW_TEST_PLACE_H

#include <glib.h>
#include <glib/gstdio.h>

typedef struct {
    char *folder, *file;
} place;

static place place_make(void)
{
    char *folder = g_dir_make_tmp("thew-studio-XXXXXX", NULL);
    g_assert_nonnull(folder);
    return (place){ folder, g_build_filename(folder, "studio.thew", NULL) };
}

static void place_clear(place *where)
{
    g_autoptr(GDir) files = g_dir_open(where->folder, 0, NULL);
    for (const char *name = g_dir_read_name(files); name; name = g_dir_read_name(files)) {
        g_autofree char *path = g_build_filename(where->folder, name, NULL);
        g_unlink(path);
    }
    g_rmdir(where->folder);
    g_free(where->folder);
    g_free(where->file);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(place, place_clear)

#endif
