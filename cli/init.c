// init.c: `thew init`: a new studio in a new file.
#include <stdio.h>

#include "cli/command.h"
#include "cli/open.h"

static const char description[] =
    "The file holds everything of the studio. thew import takes in files that there are; thew account\n"
    "invites the coach to the desk; thew serve shows it.\n";

int thew_command_init(int argc, char **argv)
{
    g_autofree char *path = NULL, *name = NULL, *zone = NULL, *language = NULL;
    const GOptionEntry entries[] = {
        THEW_STUDIO_OPTION(path),
        { "name", 0, 0, G_OPTION_ARG_STRING, &name, "what the studio is called (needed)", "NAME" },
        { "zone", 0, 0, G_OPTION_ARG_STRING, &zone, "where its days begin (default: the system's)", "ZONE" },
        { "language", 0, 0, G_OPTION_ARG_STRING, &language, "of its texts (default: en)", "TAG" },
        { 0 },
    };
    int status = THEW_EXIT_OK;
    if (!thew_options_parse("init", NULL, "Make a studio in a new file.", description, entries, &argc, &argv, &status))
        return status;
    if (argc != 1) return thew_usage_error("init", "takes options only; got \"%s\"", argv[1]);
    if (!name || !*g_strstrip(name)) return thew_usage_error("init", "needs --name: what the studio is called");
    g_autoptr(thew_refusal) refusal = thew_refusal_new();
    const char *file = thew_studio_file(path);
    if (thew_studio_make(file, name, zone, language ? language : "en", refusal) != THEW_DONE) return thew_refused(refusal);
    printf("%s: the studio \"%s\" is there\n", file, name);
    return THEW_EXIT_OK;
}
