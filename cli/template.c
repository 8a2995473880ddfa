// template.c: `thew template`: an empty file of each kind, with what its columns mean and an invented example.
#include <string.h>

#include "cli/command.h"
#include "exchange/days_csv.h"
#include "exchange/diary_csv.h"
#include "exchange/kit_csv.h"
#include "exchange/people_csv.h"

static const struct {
    const char *name;
    void (*write)(GString *out);
} templates[] = {
    { "people", thew_people_csv_template },
    { "kit", thew_kit_csv_template },
    { "diary", thew_diary_csv_template },
    { "days", thew_days_csv_template },
};

int thew_command_template(int argc, char **argv)
{
    g_autofree char *to = NULL;
    const GOptionEntry entries[] = {
        { "to", 0, 0, G_OPTION_ARG_FILENAME, &to, "write to this file (default: standard output)", "FILE" },
        { 0 },
    };
    int status = THEW_EXIT_OK;
    if (!thew_options_parse("template", "people | kit | diary | days", "An empty file to fill in.", NULL, entries, &argc, &argv, &status))
        return status;
    for (gsize t = 0; argc == 2 && t < G_N_ELEMENTS(templates); t++) {
        if (strcmp(argv[1], templates[t].name) != 0)
            continue;
        g_autoptr(GString) text = g_string_new(NULL);
        templates[t].write(text);
        return thew_output(to, text->str, text->len);
    }
    if (argc != 2)
        return thew_usage_error("template", "needs exactly one of people, kit, diary, days; got %d", argc - 1);
    return thew_usage_error("template", "needs one of people, kit, diary, days; got \"%s\"", argv[1]);
}
