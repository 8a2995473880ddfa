// csv_bench.c: a diary of 100 MB from the disk into rows, beside a bare search for line ends in the same bytes in the same run.
// Prints `case,count,ms` (count in rows, processor time) and, as comments, MB a second, the ratio to the bare search and the peak
// of memory. Each case is a process of its own, so that the peaks do not mix. Everybody in the diary is invented.
#define _GNU_SOURCE // wait4
#include <stdio.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include <glib/gstdio.h>

#include "exchange/cross_check.h"

enum { MB = 100 };

static double now_ms(void)
{
    return 1e3 * (double)clock() / CLOCKS_PER_SEC;
} // of the processor: others may use the machine too

// Two hundred people, each row another set, every tenth with a quoted note.
static void write_diary(const char *path)
{
    GString *text = g_string_new(
        "# invented\r\ndate,person,exercise,variant,side,implement,setting,ended,seconds,exertion,record,replaces,note\r\n");
    for (guint i = 0; text->len < MB * 1000000u; i++)
        g_string_append_printf(text, "20%02u-%02u-%02u,person%u,exercise%u,,%s,band %u,half grip,%s,%u.%u,%u,record%u,,%s\r\n",
                               10 + i / 90000 % 16, 1 + i / 7500 % 12, 1 + i / 300 % 28, i % 200, i % 12, i % 2 ? "left" : "right",
                               i % 9, i % 5 ? "failure" : "completed", 40 + i % 60, i % 10, i % 11, i,
                               i % 10 ? "" : "\"warm, \"\"tired\"\"\"");
    GError *error = NULL;
    if (!g_file_set_contents(path, text->str, (gssize)text->len, &error)) g_error("%s", error->message);
    g_string_free(text, TRUE);
}

typedef struct {
    guint64 count;
    double ms;
} result;

static guint64 count_lines(GBytes *bytes)
{
    gsize length;
    const char *at = g_bytes_get_data(bytes, &length), *end = at + length;
    guint64 count = 0;
    for (; (at = memchr(at, '\n', (gsize)(end - at))) != NULL; at++)
        count++;
    return count;
}

static guint64 count_rows(GBytes *bytes, thew_trouble_list *trouble)
{
    static const thew_csv_column column[] = {
        {"date",       true, ""},
        { "person",    true, ""},
        { "exercise",  true, ""},
        { "variant",   true, ""},
        { "side",      true, ""},
        { "implement", true, ""},
        { "setting",   true, ""},
        { "ended",     true, ""},
        { "seconds",   true, ""},
        { "exertion",  true, ""},
        { "record",    true, ""},
        { "replaces",  true, ""},
        { "note",      true, ""}
    };
    g_autoptr(thew_csv) csv = thew_csv_new("diary.csv", bytes, column, G_N_ELEMENTS(column), trouble);
    guint64 count = 0;
    while (thew_csv_next(csv))
        count++;
    return count;
}

static guint64 count_sets(GBytes *bytes, thew_trouble_list *trouble)
{
    g_autoptr(thew_diary_csv) diary = thew_diary_csv_read("diary.csv", bytes, (thew_date){ 0, 0, 0 }, trouble);
    thew_cross_check(NULL, NULL, diary, NULL, NULL);
    return diary->row->len;
}

static result run(const char *path, const char *name)
{
    g_autoptr(thew_trouble_list) trouble = thew_trouble_list_new();
    double begin = now_ms();
    g_autoptr(GBytes) bytes = thew_csv_load(path, THEW_CSV_BYTES_MAX, trouble);
    result outcome = { 1, now_ms() - begin };
    if (g_str_equal(name, "load")) return outcome;
    begin = now_ms();
    outcome.count = g_str_equal(name, "line ends") ? count_lines(bytes)
                    : g_str_equal(name, "rows")    ? count_rows(bytes, trouble)
                                                   : count_sets(bytes, trouble);
    outcome.ms = now_ms() - begin;
    if (thew_trouble_count(trouble, THEW_TROUBLE_ERROR) > 0) g_error("the diary has faults");
    return outcome;
}

// In a process of its own.
//   peak_mb   out: the most memory that it held
static result run_alone(const char *path, const char *name, double *peak_mb)
{
    int ends[2], status;
    struct rusage usage;
    result outcome = { 0, 0 };
    if (pipe(ends) != 0) g_error("no pipe");
    pid_t child = fork();
    if (child == 0) {
        outcome = run(path, name);
        _exit(write(ends[1], &outcome, sizeof outcome) != sizeof outcome);
    }
    wait4(child, &status, 0, &usage);
    if (status != 0 || read(ends[0], &outcome, sizeof outcome) != sizeof outcome) g_error("%s failed", name);
    close(ends[0]);
    close(ends[1]);
    *peak_mb = (double)usage.ru_maxrss * 1024 / 1e6;
    return outcome;
}

int main(void)
{
    static const char *const name[] = { "load", "line ends", "rows", "sets" };
    g_autofree char *folder = g_dir_make_tmp("thew-bench-XXXXXX", NULL), *path = g_build_filename(folder, "diary.csv", NULL);
    double bare_ms = 0;
    pid_t writer = fork(); // its memory is not to be counted
    if (writer == 0) {
        write_diary(path);
        _exit(0);
    }
    waitpid(writer, NULL, 0);
    for (size_t i = 0; i < G_N_ELEMENTS(name); i++) {
        double peak_mb;
        result outcome = run_alone(path, name[i], &peak_mb);
        if (g_str_equal(name[i], "line ends")) bare_ms = outcome.ms;
        printf("csv %s,%" G_GUINT64_FORMAT ",%.1f\n# %.0f MB/s, peak %.0f MB", name[i], outcome.count, outcome.ms,
               MB * 1e3 / outcome.ms, peak_mb);
        if (bare_ms > 0) printf(", %.1f times the bare search", outcome.ms / bare_ms);
        puts("");
    }
    g_unlink(path);
    g_rmdir(folder);
    return 0;
}
