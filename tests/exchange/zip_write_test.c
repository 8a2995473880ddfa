// zip_write_test.c: archives read back by libarchive's reader, which shares no code with its writer; and the same bytes each time.
#include "expect.h"

#include <archive.h>
#include <archive_entry.h>
#include <string.h>

#include "exchange/zip_write.h"

#define TIME_S 631152000 // 1990-01-01T00:00:00Z

// "name size bytes" of each entry.
static char *read_back(GBytes *zip)
{
    gsize size;
    const void *bytes = g_bytes_get_data(zip, &size);
    struct archive *archive = archive_read_new();
    struct archive_entry *entry;
    GString *text = g_string_new(NULL);
    archive_read_support_format_zip(archive);
    assert_int_equal(archive_read_open_memory(archive, bytes, size), ARCHIVE_OK);
    while (archive_read_next_header(archive, &entry) == ARCHIVE_OK) {
        char buffer[64] = "";
        la_ssize_t got = archive_read_data(archive, buffer, sizeof buffer - 1);
        g_string_append_printf(text, "%s %d %s\n", archive_entry_pathname(entry), (int)got, buffer);
        expect_number("the time that was chosen", TIME_S, (double)archive_entry_mtime(entry));
    }
    archive_read_free(archive);
    return g_string_free(text, FALSE);
}

static void files_come_back(void **state)
{
    (void)state;
    g_autofree char *long_text = g_strnfill(50000, 'a');
    const thew_zip_entry entry[] = { { "people.csv", "person\r\n", 8 }, { "empty.jsonl", "", 0 }, { "folder/über.txt", "ä", 2 } };
    const thew_zip_entry big = { "long.txt", long_text, 50000 };
    g_autoptr(GError) error = NULL;
    g_autoptr(GBytes) zip = thew_zip_write(entry, G_N_ELEMENTS(entry), TIME_S, &error);
    g_autoptr(GBytes) again = thew_zip_write(entry, G_N_ELEMENTS(entry), TIME_S, &error);
    g_autoptr(GBytes) packed = thew_zip_write(&big, 1, TIME_S, &error), none = thew_zip_write(entry, 0, TIME_S, &error);
    assert_non_null(zip);
    g_autofree char *back = read_back(zip);
    expect_text("in their order", "people.csv 8 person\r\n\nempty.jsonl 0 \nfolder/über.txt 2 ä\n", back);
    expect_number("the same bytes again", 1, g_bytes_equal(zip, again));
    expect_number("packed to under a tenth", 1, g_bytes_get_size(packed) < 5000);
    g_autofree char *nothing = read_back(none);
    expect_text("an archive of nothing", "", nothing);
    expect_end(7);
}

int main(void)
{
    const struct CMUnitTest tests[] = { cmocka_unit_test(files_come_back) };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
