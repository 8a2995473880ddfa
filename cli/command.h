// command.h: what every command of `thew` shares: how it is called, how it ends, how it says what is wrong.
// Knows arguments and streams. Leaves to others: how anything is decided.
#ifndef THEW_COMMAND_H
#define THEW_COMMAND_H

#include <glib.h>
#include <stdbool.h>

#include "exchange/trouble.h"

// Exit status.
#define THEW_EXIT_OK 0
#define THEW_EXIT_REFUSED 1 // input was wrong; nothing was done
#define THEW_EXIT_USAGE 2   // the call was wrong

typedef struct {
    const char *name;
    const char *arguments; // as shown behind the name
    const char *summary;   // one line
    int (*run)(int argc, char **argv); // argv[0] is the command's name
} thew_command;

int thew_command_advise(int argc, char **argv);
int thew_command_demand(int argc, char **argv);
int thew_command_band(int argc, char **argv);
int thew_command_stream(int argc, char **argv);
int thew_command_template(int argc, char **argv);
int thew_command_exercises(int argc, char **argv);
int thew_command_draw(int argc, char **argv);
int thew_command_compose(int argc, char **argv);
int thew_command_serve(int argc, char **argv);
int thew_command_init(int argc, char **argv);
int thew_command_import(int argc, char **argv);
int thew_command_export(int argc, char **argv);
int thew_command_backup(int argc, char **argv);
int thew_command_inspect(int argc, char **argv);
int thew_command_rebuild(int argc, char **argv);
int thew_command_account(int argc, char **argv);
int thew_command_demo(int argc, char **argv);

/// Parse a command's options; on a wrong call one sentence goes to standard error. --help and --version are answered here.
///   description  shown below the options in --help; may be NULL
///   returns      false: nothing more is to be done, return *status
bool thew_options_parse(const char *command, const char *arguments, const char *summary, const char *description,
                        const GOptionEntry *entries, int *argc, char ***argv, int *status);

/// One sentence to standard error, with a hint at --help; returns THEW_EXIT_USAGE.
int thew_usage_error(const char *command, const char *format, ...) G_GNUC_PRINTF(2, 3);

/// Findings to standard error; returns THEW_EXIT_REFUSED if there is an error among them, else THEW_EXIT_OK.
int thew_trouble_report(const thew_trouble_list *trouble);

/// Write text to standard output, or to a file (whole or not at all); "-" is standard output.
///   returns   exit status, after a sentence to standard error
int thew_output(const char *path, const char *text, gsize length);

/// Say that standard output could not be written (unless it was said, or nobody reads it any more).
///   number    errno
///   returns   exit status
int thew_output_lost(int number);

/// Standard output ends: what could not be written after all is said, unless it was said before.
///   returns   exit status: the given one, or THEW_EXIT_REFUSED in its place
int thew_output_end(int status);

/// True if text may be set in bold: standard output is a terminal that can, and NO_COLOR is not set.
bool thew_output_has_bold(void);

/// Read a date option ("2026-03-31") into days since 1970-01-01.
///   returns   false if it is none
bool thew_date_option(const char *text, int *day);

#endif
