// shape.h: what tests of drawings share: a document as a list of its elements, paths as points, and what must hold of every
// drawing.
#ifndef THEW_TESTS_DRAW_SHAPE_H
#define THEW_TESTS_DRAW_SHAPE_H

#include <glib.h>
#include <math.h>

#include "draw/svg.h"
#include "tests/text_rows.h"

typedef struct {
    char *name;
    GHashTable *attribute; // owned strings
    GString *text;
} shape;

typedef struct {
    GPtrArray *shape; // shape
    GPtrArray *open;  // of which these are open
} shapes;

static inline void shape_free(gpointer p)
{
    shape *s = p;
    g_free(s->name);
    g_hash_table_unref(s->attribute);
    g_string_free(s->text, TRUE);
    g_free(s);
}

static inline void shapes_clear(shapes *s)
{
    g_clear_pointer(&s->shape, g_ptr_array_unref);
    g_clear_pointer(&s->open, g_ptr_array_unref);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(shapes, shapes_clear)

static inline void shapes_begin(GMarkupParseContext *c, const char *name, const char **key, const char **value, gpointer user,
                                GError **error)
{
    (void)c;
    (void)error;
    shapes *all = user;
    shape *s = g_new0(shape, 1);
    s->name = g_strdup(name);
    s->attribute = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, g_free);
    s->text = g_string_new(NULL);
    for (; *key; key++, value++)
        g_hash_table_insert(s->attribute, g_strdup(*key), g_strdup(*value));
    g_ptr_array_add(all->shape, s);
    g_ptr_array_add(all->open, s);
}

static inline void shapes_end(GMarkupParseContext *c, const char *name, gpointer user, GError **error)
{
    (void)c;
    (void)name;
    (void)error;
    shapes *all = user;
    g_ptr_array_set_size(all->open, (int)all->open->len - 1);
}

static inline void shapes_text(GMarkupParseContext *c, const char *text, gsize length, gpointer user, GError **error)
{
    (void)c;
    (void)error;
    shapes *all = user;
    if (all->open->len == 0) return;
    shape *s = all->open->pdata[all->open->len - 1];
    g_string_append_len(s->text, text, (gssize)length);
}

/// Read a document, which must be well-formed XML.
static inline shapes shapes_of(const char *why, const char *svg)
{
    shapes all = { g_ptr_array_new_with_free_func(shape_free), g_ptr_array_new() };
    static const GMarkupParser parser = { .start_element = shapes_begin, .end_element = shapes_end, .text = shapes_text };
    g_autoptr(GMarkupParseContext) context = g_markup_parse_context_new(&parser, 0, &all, NULL);
    g_autoptr(GError) error = NULL;
    bool good = g_markup_parse_context_parse(context, svg, -1, &error) && g_markup_parse_context_end_parse(context, &error);
    row_text(why, NULL, good ? NULL : error->message);
    return all;
}

static inline const char *shape_text(const shape *s, const char *key)
{
    const char *text = g_hash_table_lookup(s->attribute, key);
    return text ? text : "";
}

static inline double shape_number(const shape *s, const char *key)
{
    const char *text = g_hash_table_lookup(s->attribute, key);
    return text ? g_ascii_strtod(text, NULL) : NAN;
}

/// Whether all the words of `classes` are among the shape's.
static inline bool shape_is(const shape *s, const char *classes)
{
    g_auto(GStrv) has = g_strsplit(shape_text(s, "class"), " ", -1), wanted = g_strsplit(classes, " ", -1);
    for (gsize w = 0; wanted[w]; w++)
        if (!g_strv_contains((const char *const *)has, wanted[w])) return false;
    return true;
}

static inline int shapes_count(const shapes *all, const char *classes)
{
    int count = 0;
    for (guint i = 0; i < all->shape->len; i++)
        count += shape_is(all->shape->pdata[i], classes);
    return count;
}

/// The n-th shape with these classes; NULL (and a failed row) if there is none.
static inline const shape *shapes_find(const char *why, const shapes *all, const char *classes, int n)
{
    for (guint i = 0; i < all->shape->len; i++)
        if (shape_is(all->shape->pdata[i], classes) && n-- == 0) return all->shape->pdata[i];
    g_autofree char *what = g_strdup_printf("there is a \"%s\"", classes);
    row_true(why, what, false);
    return NULL;
}

/// Everything that is written, a line each.
static inline char *shapes_texts(const shapes *all)
{
    GString *out = g_string_new("\n");
    for (guint i = 0; i < all->shape->len; i++) {
        const shape *s = all->shape->pdata[i];
        if (strcmp(s->name, "text") == 0) g_string_append_printf(out, "%s\n", s->text->str);
    }
    return g_string_free(out, FALSE);
}

typedef struct {
    double x, y;
} spot;

/// The points that a path goes through (commands M, L, Q, A, Z in capitals only: all that our paths use).
static inline GArray *path_spots(const char *d)
{
    GArray *spots = g_array_new(FALSE, FALSE, sizeof(spot));
    const char *at = d;
    while (*at) {
        char command = *at++;
        int numbers = command == 'A' ? 7 : command == 'Q' ? 4 : command == 'Z' ? 0 : 2;
        double value[7];
        for (int n = 0; n < numbers; n++) {
            char *end;
            value[n] = g_ascii_strtod(at, &end);
            if (end == at) fail_msg("no number in the path at \"%.20s\"", at);
            at = end;
        }
        if (numbers > 0) g_array_append_val(spots, ((spot){ value[numbers - 2], value[numbers - 1] }));
        while (*at == ' ')
            at++;
    }
    return spots;
}

static inline spot path_spot(const shape *path, int n)
{
    if (!path) return (spot){ NAN, NAN };
    g_autoptr(GArray) spots = path_spots(shape_text(path, "d"));
    int index = n < 0 ? (int)spots->len + n : n;
    return index >= 0 && index < (int)spots->len ? g_array_index(spots, spot, index) : (spot){ NAN, NAN };
}

typedef struct {
    double left, right, top, bottom;
} box;

/// The room of a line of text, at most.
static inline box text_box(const shape *text)
{
    bool title = shape_is(text, "title"), bold = title || shape_is(text, "strong");
    double size = title ? THEW_SVG_TITLE : THEW_SVG_TEXT, width = thew_svg_text_width(text->text->str, size, bold);
    double x = shape_number(text, "x"), y = shape_number(text, "y");
    const char *anchor = shape_text(text, "text-anchor");
    double left = strcmp(anchor, "end") == 0 ? x - width : strcmp(anchor, "middle") == 0 ? x - width / 2 : x;
    return (box){ left, left + width, y - .75 * size, y + .2 * size };
}

/// What holds for every drawing: well-formed, named for those who cannot see it, no script, ids with the prefix and each once,
/// every text and point on the page.
///   slack    px that strokes and round ends may lie beyond points, and texts beyond the edge
static inline void check_document(const char *why, const char *svg, const char *prefix, double width)
{
    g_auto(shapes) all = shapes_of(why, svg);
    const shape *root = all.shape->pdata[0];
    double wide = shape_number(root, "width"), high = shape_number(root, "height");
    row_near(why, width, wide, 0);
    g_autofree char *view = g_strdup_printf("0 0 %s %s", shape_text(root, "width"), shape_text(root, "height"));
    row_text(why, view, shape_text(root, "viewBox"));
    g_autoptr(GHashTable) ids = g_hash_table_new(g_str_hash, g_str_equal);
    int titles = 0, descriptions = 0;
    for (guint i = 0; i < all.shape->len; i++) {
        const shape *s = all.shape->pdata[i];
        const char *id = g_hash_table_lookup(s->attribute, "id");
        if (id)
            row_true(why, "each id begins with the prefix and is there once",
                     g_str_has_prefix(id, prefix) && g_hash_table_add(ids, (gpointer)id));
        titles += strcmp(s->name, "title") == 0 && s->text->len > 0;
        descriptions += strcmp(s->name, "desc") == 0 && s->text->len > 0;
        row_true(why, "there is no script", strcmp(s->name, "script") != 0);
        if (strcmp(s->name, "text") == 0) {
            box b = text_box(s);
            g_autofree char *what = g_strdup_printf("%s: \"%s\"", why, s->text->str);
            row_between(what, 0, b.left, b.right);
            row_between(what, 0, b.right, wide);
            row_between(what, 0, b.bottom, high);
        } else if (strcmp(s->name, "circle") == 0) {
            row_between(why, 0, shape_number(s, "cx"), wide);
            row_between(why, 0, shape_number(s, "cy"), high);
        } else if (strcmp(s->name, "path") == 0) {
            g_autoptr(GArray) spots = path_spots(shape_text(s, "d"));
            for (guint p = 0; p < spots->len; p++) {
                row_between(why, 0, g_array_index(spots, spot, p).x, wide);
                row_between(why, 0, g_array_index(spots, spot, p).y, high);
            }
        }
    }
    row_near(why, 1, titles, 0);
    row_near(why, 1, descriptions, 0);
}

/// No text lies on another.
static inline void check_texts_apart(const char *why, const char *svg)
{
    g_auto(shapes) all = shapes_of(why, svg);
    for (guint i = 0; i < all.shape->len; i++) {
        const shape *one = all.shape->pdata[i];
        if (strcmp(one->name, "text") != 0) continue;
        box a = text_box(one);
        for (guint j = i + 1; j < all.shape->len; j++) {
            const shape *two = all.shape->pdata[j];
            if (strcmp(two->name, "text") != 0) continue;
            box b = text_box(two);
            bool apart = a.right <= b.left || b.right <= a.left || a.bottom <= b.top || b.bottom <= a.top;
            g_autofree char *what = g_strdup_printf("\"%s\" and \"%s\" lie apart", one->text->str, two->text->str);
            row_true(why, what, apart);
        }
    }
}

#endif
