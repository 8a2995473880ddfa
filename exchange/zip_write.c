// zip_write.c: see zip_write.h.
#include "exchange/zip_write.h"

#include <archive.h>
#include <archive_entry.h>
#include <string.h>

static la_ssize_t take(struct archive *archive, void *out, const void *bytes, size_t size)
{
    (void)archive;
    g_byte_array_append(out, bytes, (guint)size);
    return (la_ssize_t)size;
}

static bool write_entry(struct archive *archive, const thew_zip_entry *entry, gint64 time_s)
{
    struct archive_entry *head = archive_entry_new();
    archive_entry_set_pathname_utf8(head, entry->name);
    archive_entry_set_pathname(head, entry->name);
    archive_entry_set_size(head, (gint64)entry->size);
    archive_entry_set_filetype(head, AE_IFREG);
    archive_entry_set_perm(head, 0644);
    archive_entry_set_mtime(head, (time_t)time_s, 0);
    bool written = archive_write_header(archive, head) == ARCHIVE_OK &&
                   archive_write_data(archive, entry->bytes, entry->size) == (la_ssize_t)entry->size &&
                   archive_write_finish_entry(archive) == ARCHIVE_OK;
    archive_entry_free(head);
    return written;
}

GBytes *thew_zip_write(const thew_zip_entry *entry, gsize count, gint64 time_s, GError **error)
{
    g_autoptr(GByteArray) out = g_byte_array_new();
    struct archive *archive = archive_write_new();
    bool written = archive_write_set_format_zip(archive) == ARCHIVE_OK &&
                   archive_write_set_bytes_in_last_block(archive, 1) == ARCHIVE_OK && // nothing after the end
                   archive_write_open(archive, out, NULL, take, NULL) == ARCHIVE_OK;
    for (gsize e = 0; e < count && written; e++)
        written = write_entry(archive, &entry[e], time_s);
    written = written && archive_write_close(archive) == ARCHIVE_OK;
    if (!written)
        g_set_error(error, G_FILE_ERROR, G_FILE_ERROR_FAILED, "the archive could not be made: %s",
                    archive_error_string(archive) ? archive_error_string(archive) : "for a reason unknown");
    archive_write_free(archive);
    return written ? g_byte_array_free_to_bytes(g_steal_pointer(&out)) : NULL;
}
