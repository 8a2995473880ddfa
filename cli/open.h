// open.h: the studio's file, as commands find and open it, and how they say why something was refused.
// Knows --studio. Leaves to others: what is done with a studio (studio/).
#ifndef THEW_CLI_OPEN_H
#define THEW_CLI_OPEN_H

#include "studio/studio.h"

/// An entry for GOption. `path`: a char *, owned.
#define THEW_STUDIO_OPTION(path)                                                                                                   \
    {                                                                                                                              \
        "studio", 0, 0, G_OPTION_ARG_FILENAME, &(path),                                                                            \
            "the studio's file (default: THEW_STUDIO of the environment, or "                                                      \
            "studio.thew)",                                                                                                        \
            "FILE"                                                                                                                 \
    }

/// What the command line writes beside what it keeps.
extern const thew_actor thew_cli_actor;

/// Where the studio's file is: the option if given, what the environment says in THEW_STUDIO, "studio.thew".
const char *thew_studio_file(const char *option);

/// A studio that is open, with the catalogue that it needs.
typedef struct {
    thew_catalogue *catalogue;
    thew_studio *studio;
} thew_opened;
void thew_opened_clear(thew_opened *opened);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(thew_opened, thew_opened_clear)

/// Open it.
///   returns   exit status, after a sentence to standard error unless it is THEW_EXIT_OK
int thew_open(const char *option, thew_db_mode mode, thew_opened *opened);

/// Say on standard error why something was refused, a line for each fault; returns THEW_EXIT_REFUSED.
int thew_refused(const thew_refusal *refusal);

#endif
