// command.c: see command.h.
#include "cli/command.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "cli/version.h"
#include "exchange/date.h"

#define FINDINGS_SHOWN 50
#define THEW_VERSION_LINE "thew " THEW_VERSION "\n"

// GLib's page, in characters that every terminal has, under one heading.
static int print_help(const GOptionContext *context)
{
    g_autofree char *page = g_option_context_get_help((GOptionContext *)context, TRUE, NULL);
    g_autoptr(GString) text = g_string_new(page);
    g_string_replace(text, "[OPTION\u2026]", "[OPTION...]", 1);
    g_string_replace(text, "Application Options:", "Options:", 1);
    return thew_output("-", text->str, text->len);
}

bool thew_options_parse(const char *command, const char *arguments, const char *summary, const char *description,
                        const GOptionEntry *entries, int *argc, char ***argv, int *status)
{
    gboolean help = FALSE, version = FALSE;
    const GOptionEntry common[] = {
        { "help", 'h', 0, G_OPTION_ARG_NONE, &help, "show this page", NULL },
        { "version", 0, 0, G_OPTION_ARG_NONE, &version, "show which thew this is", NULL },
        { 0 },
    };
    g_autoptr(GOptionContext) context = g_option_context_new(arguments);
    g_option_context_set_summary(context, summary);
    g_option_context_set_description(context, description);
    g_option_context_set_help_enabled(context, FALSE);
    g_option_context_add_main_entries(context, entries, NULL);
    g_option_context_add_main_entries(context, common, NULL);
    g_autofree char *name = g_strdup_printf("thew %s", command);
    g_set_prgname(name);
    g_autoptr(GError) error = NULL;
    if (!g_option_context_parse(context, argc, argv, &error)) {
        *status = thew_usage_error(command, "%s", error->message);
        return false;
    }
    if (help)
        *status = print_help(context);
    else if (version)
        *status = thew_output("-", THEW_VERSION_LINE, strlen(THEW_VERSION_LINE));
    return !help && !version;
}

int thew_usage_error(const char *command, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    g_autofree char *sentence = g_strdup_vprintf(format, arguments);
    va_end(arguments);
    fprintf(stderr, "thew %s: %s (see thew %s --help)\n", command, sentence, command);
    return THEW_EXIT_USAGE;
}

int thew_trouble_report(const thew_trouble_list *trouble)
{
    g_autoptr(GString) text = g_string_new(NULL);
    thew_trouble_print(trouble, FINDINGS_SHOWN, text);
    fwrite(text->str, 1, text->len, stderr);
    return thew_trouble_count(trouble, THEW_TROUBLE_ERROR) > 0 ? THEW_EXIT_REFUSED : THEW_EXIT_OK;
}

static bool is_lost; // standard output, and that was said

int thew_output_lost(int number)
{
    if (!is_lost && number != EPIPE)
        fprintf(stderr, "thew: standard output could not be written: %s\n", g_strerror(number));
    is_lost = true;
    return THEW_EXIT_REFUSED;
}

int thew_output_end(int status)
{
    errno = 0;
    bool written = fflush(stdout) == 0 && !ferror(stdout);
    int number = errno;
    if (fclose(stdout) != 0 && written && errno != EBADF) { // EBADF: there was none, and nothing to write either
        written = false;
        number = errno;
    }
    return written || is_lost ? status : thew_output_lost(number);
}

int thew_output(const char *path, const char *text, gsize length)
{
    if (!path || strcmp(path, "-") == 0) {
        bool written = fwrite(text, 1, length, stdout) == length && fflush(stdout) == 0;
        return written ? THEW_EXIT_OK : thew_output_lost(errno);
    }
    g_autoptr(GError) error = NULL;
    if (g_file_set_contents(path, text, (gssize)length, &error))
        return THEW_EXIT_OK;
    fprintf(stderr, "thew: %s\n", error->message);
    return THEW_EXIT_REFUSED;
}

bool thew_output_has_bold(void)
{
    const char *no = getenv("NO_COLOR"), *terminal = getenv("TERM");
    return isatty(STDOUT_FILENO) && !(no && *no) && terminal && strcmp(terminal, "dumb") != 0;
}

bool thew_date_option(const char *text, int *day)
{
    thew_date date;
    if (!thew_date_parse(text, &date) || !thew_date_exists(date))
        return false;
    *day = thew_date_number(date);
    return true;
}
