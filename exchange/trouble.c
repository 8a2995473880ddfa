// trouble.c: keeping, ordering and wording findings (see trouble.h).
#include "exchange/trouble.h"

#define GOT_SHOWN 40 // characters of a found text that are shown

struct thew_trouble_list {
    GArray *kept[2];     // thew_trouble, by severity
    guint64 count[2];    // by severity
    GPtrArray *file;     // names in the order in which they came up
    GStringChunk *words; // what the kept findings point at
};

thew_trouble_list *thew_trouble_list_new(void)
{
    thew_trouble_list *list = g_new0(thew_trouble_list, 1);
    for (int severity = 0; severity < 2; severity++)
        list->kept[severity] = g_array_new(FALSE, FALSE, sizeof(thew_trouble));
    list->file = g_ptr_array_new();
    list->words = g_string_chunk_new(1024);
    return list;
}

void thew_trouble_list_free(thew_trouble_list *list)
{
    if (list == NULL) return;
    for (int severity = 0; severity < 2; severity++)
        g_array_free(list->kept[severity], TRUE);
    g_ptr_array_free(list->file, TRUE);
    g_string_chunk_free(list->words);
    g_free(list);
}

// The list's own copy of a file's name: equal names become equal pointers, their order that of first appearance.
static const char *file_name(thew_trouble_list *list, const char *given)
{
    g_autofree char *name = g_utf8_make_valid(given, -1); // a file's name may be any bytes
    for (guint i = 0; i < list->file->len; i++)
        if (g_str_equal(list->file->pdata[i], name)) return list->file->pdata[i];
    g_ptr_array_add(list->file, g_string_chunk_insert(list->words, name));
    return list->file->pdata[list->file->len - 1];
}

// A found text may be a whole column of a book: keep what a sentence can show, and enough to see that there was more.
static const char *keep_start(GStringChunk *words, const char *text)
{
    if (text == NULL) return NULL;
    const char *end = text;
    for (int i = 0; i <= GOT_SHOWN && *end != '\0'; i++)
        end = g_utf8_next_char(end);
    return g_string_chunk_insert_len(words, text, end - text);
}

static const char *keep(GStringChunk *words, const char *text)
{
    return text != NULL ? g_string_chunk_insert(words, text) : NULL;
}

bool thew_trouble_keeps(const thew_trouble_list *list, thew_severity severity)
{
    return list->kept[severity]->len < THEW_TROUBLE_KEPT;
}

void thew_trouble_add(thew_trouble_list *list, const thew_trouble *trouble)
{
    g_assert(trouble->file != NULL && (trouble->wrong != NULL || trouble->right != NULL));
    list->count[trouble->severity]++;
    if (!thew_trouble_keeps(list, trouble->severity)) return;
    thew_trouble copy = *trouble;
    copy.file = file_name(list, trouble->file);
    copy.column = keep(list->words, trouble->column);
    copy.wrong = keep(list->words, trouble->wrong);
    copy.right = keep(list->words, trouble->right);
    copy.got = keep_start(list->words, trouble->got);
    g_array_append_val(list->kept[trouble->severity], copy);
}

guint64 thew_trouble_count(const thew_trouble_list *list, thew_severity severity)
{
    return list->count[severity];
}

bool thew_trouble_has_room(const thew_trouble_list *list)
{
    return list->count[THEW_TROUBLE_ERROR] < THEW_TROUBLE_PRINTED;
}

// Foreign text goes to terminals and logs: nothing that moves a cursor, hides or turns text round gets through.
static void append_printable(GString *out, const char *text, int limit)
{
    for (int i = 0; *text != '\0'; text = g_utf8_next_char(text), i++) {
        gunichar character = g_utf8_get_char(text);
        if (i == limit) {
            g_string_append(out, "…");
            return;
        }
        if (character == '\n') {
            g_string_append(out, "\\n");
        } else if (character == '\r') {
            g_string_append(out, "\\r");
        } else if (!g_unichar_isprint(character)) {
            g_string_append_printf(out, "\\u{%04X}", character);
        } else {
            g_string_append_unichar(out, character);
        }
    }
}

static void append_sentence(GString *out, const thew_trouble *trouble)
{
    append_printable(out, trouble->file, -1);
    if (trouble->line > 0) g_string_append_printf(out, ":%u", trouble->line);
    if (trouble->line > 0 && trouble->character > 0) g_string_append_printf(out, ":%u", trouble->character);
    g_string_append(out, trouble->severity == THEW_TROUBLE_NOTE ? ": note: " : ": ");
    if (trouble->column != NULL) g_string_append_printf(out, "%s: ", trouble->column);
    if (trouble->wrong != NULL) append_printable(out, trouble->wrong, -1);
    if (trouble->wrong != NULL && trouble->right != NULL) g_string_append(out, "; ");
    if (trouble->right != NULL) append_printable(out, trouble->right, -1);
    if (trouble->got == NULL || *trouble->got == '\0') return;
    g_string_append(out, "; got \"");
    append_printable(out, trouble->got, GOT_SHOWN);
    g_string_append_c(out, '"');
}

char *thew_trouble_sentence(const thew_trouble *trouble)
{
    GString *out = g_string_new(NULL);
    append_sentence(out, trouble);
    return g_string_free(out, FALSE);
}

static guint file_rank(const thew_trouble_list *list, const char *file)
{
    guint rank = 0;
    while (list->file->pdata[rank] != file)
        rank++;
    return rank;
}

#define ORDER(x, y) (((x) > (y)) - ((x) < (y)))

static gint compare(gconstpointer first, gconstpointer second, gpointer list)
{
    const thew_trouble *a = first, *b = second;
    if (a->file != b->file) return ORDER(file_rank(list, a->file), file_rank(list, b->file));
    if (a->line != b->line) return ORDER(a->line, b->line);
    return ORDER(a->character, b->character);
}

GArray *thew_trouble_all(const thew_trouble_list *list)
{
    GArray *all = g_array_new(FALSE, FALSE, sizeof(thew_trouble));
    for (int severity = 0; severity < 2; severity++) {
        g_autoptr(GArray) sorted = g_array_copy(list->kept[severity]);
        g_array_sort_with_data(sorted, compare, (gpointer)list); // stable: findings of one place stay as found
        if (sorted->len > 0) g_array_append_vals(all, sorted->data, sorted->len);
    }
    return all;
}

void thew_trouble_print(const thew_trouble_list *list, guint limit, GString *out)
{
    guint64 left = list->count[THEW_TROUBLE_ERROR] + list->count[THEW_TROUBLE_NOTE];
    g_autoptr(GArray) sorted = thew_trouble_all(list);
    for (guint i = 0; i < sorted->len && i < limit; i++, left--) {
        append_sentence(out, &g_array_index(sorted, thew_trouble, i));
        g_string_append_c(out, '\n');
    }
    if (left > 0) g_string_append_printf(out, "and %" G_GUINT64_FORMAT " more\n", left);
}
