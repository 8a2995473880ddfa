// main.c: the program `thew`: finds the command and hands over.
#include <locale.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/command.h"
#include "cli/version.h"

static const thew_command commands[] = {
    { "advise", "--people FILE --kit FILE DIARY", "the next load of each exercise, with its odds and its reason", thew_command_advise },
    { "demand", "EXERCISE", "what a resistance asks of the joints, through the range of motion", thew_command_demand },
    { "band", "FILE", "the force curve of each band of a kit, from its readings", thew_command_band },
    { "exercises", "", "the exercises there are, with their variants and settings", thew_command_exercises },
    { "draw", "figure | set-line | strength | ladder | curve", "pictures: an exercise, a set, strength over months, the odds, a band", thew_command_draw },
    { "compose", "", "the best class there is for some goals, within minutes, positions and kit", thew_command_compose },
    { "template", "people | kit | diary | days", "an empty file to fill in", thew_command_template },
    { "serve", "", "the studio's pages, to browsers", thew_command_serve },
    { "demo", "", "a studio of invented people to look around in", thew_command_demo },
    { "init", "--name NAME", "a new studio in a new file", thew_command_init },
    { "import", "--people FILE ...", "the coach's files into a studio", thew_command_import },
    { "export", "[people | kit | diary | days]", "what a studio keeps, as files", thew_command_export },
    { "account", "list | invite | link | close", "who may come in to the desk", thew_command_account },
    { "rebuild", "", "all that is estimated, made again from the diary, and compared", thew_command_rebuild },
    { "backup", "TO", "a verified copy of a studio's file", thew_command_backup },
    { "inspect", "", "is all that a studio's file keeps whole?", thew_command_inspect },
    { "stream", "", "answer questions, one JSON object a line", thew_command_stream },
};

static void print_help(FILE *to)
{
    fputs("thew: strength training for people whose strength changes from day to day.\n"
          "It advises; the coach decides; the clinician is deferred to.\n\n"
          "Usage: thew COMMAND [OPTION...]\n\nCommands:\n",
          to);
    for (gsize c = 0; c < G_N_ELEMENTS(commands); c++)
        fprintf(to, "  %-10s %s\n", commands[c].name, commands[c].summary);
    fputs("\n  thew COMMAND --help   what a command takes\n  thew --version        which thew this is\n", to);
}

static int unknown_command(const char *name)
{
    fprintf(stderr, "thew: there is no command \"%s\"; thew --help lists those there are\n", name);
    return THEW_EXIT_USAGE;
}

static int run(int argc, char **argv)
{
    if (argc < 2) {
        print_help(stderr);
        return THEW_EXIT_USAGE;
    }
    if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "-h") == 0) {
        print_help(stdout);
        return THEW_EXIT_OK;
    }
    if (strcmp(argv[1], "--version") == 0) {
        puts("thew " THEW_VERSION);
        return THEW_EXIT_OK;
    }
    for (gsize c = 0; c < G_N_ELEMENTS(commands); c++)
        if (strcmp(argv[1], commands[c].name) == 0)
            return commands[c].run(argc - 1, argv + 1);
    return unknown_command(argv[1]);
}

int main(int argc, char **argv)
{
    setlocale(LC_CTYPE, ""); // names in the user's encoding; numbers and dates stay the same everywhere
    return thew_output_end(run(argc, argv));
}
