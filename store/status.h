// status.h: what everything that is asked of the store says about itself.
// One list holds code and sentence, so no code lacks a text. 0 is success, positive is success with news, negative is failure: then
// nothing was changed. The whole sentence, with the place and the cause, is thew_db_sentence's.
#ifndef THEW_STORE_STATUS_H
#define THEW_STORE_STATUS_H

#define THEW_STORE_STATUS_LIST(X)                                                                                                  \
    X(THEW_STORE_OK, 0, "done")                                                                                                    \
    X(THEW_STORE_REPEATED, 1, "the very same is kept already: nothing was changed")                                                \
    X(THEW_STORE_TRACES, 2,                                                                                                        \
      "removed; but somebody is still reading an earlier state, so traces stay in the log until they are done")                    \
    X(THEW_STORE_NOT_FOUND, -1, "there is no such thing in this studio")                                                           \
    X(THEW_STORE_CONFLICT, -2, "something else is kept in this place already")                                                     \
    X(THEW_STORE_REFUSED, -3, "what was to be kept breaks a rule of its table")                                                    \
    X(THEW_STORE_BUSY, -4, "another program is writing: try again")                                                                \
    X(THEW_STORE_FULL, -5, "the disk is full: nothing of this change was kept; make room and try again")                           \
    X(THEW_STORE_READ_ONLY, -6, "it can be read, but not written: give the right to write to it and its folder, or only look")     \
    X(THEW_STORE_DAMAGED, -7, "it is damaged: keep the file as it is, and go on from a backup")                                    \
    X(THEW_STORE_NO_FILE, -8, "it cannot be opened")                                                                               \
    X(THEW_STORE_FOREIGN, -9, "it is no studio of ours")                                                                           \
    X(THEW_STORE_EMPTY, -10, "it holds no studio: was it cut off, or never begun?")                                                \
    X(THEW_STORE_NEWER, -11, "a newer version of this program wrote it: use that one, so that nothing it kept is lost")            \
    X(THEW_STORE_OLDER, -12, "an older version of this program wrote it: open it for writing once, and it is brought up to date")  \
    X(THEW_STORE_ALTERED, -13, "a migration that it went through differs from the one in this program: it is of another lineage")  \
    X(THEW_STORE_EXISTS, -14, "there is something of that name already: choose another")                                           \
    X(THEW_STORE_DISK, -15, "the disk failed: nothing of this change was kept")                                                    \
    X(THEW_STORE_NESTED, -16, "a transaction is open already")                                                                     \
    X(THEW_STORE_NO_TRANSACTION, -17, "no transaction is open")                                                                    \
    X(THEW_STORE_BUG, -18, "a mistake in this program: please report it")

#define THEW_STORE_STATUS_ENUM(name, code, sentence) name = code,
typedef enum { THEW_STORE_STATUS_LIST(THEW_STORE_STATUS_ENUM) } thew_store_status;
#undef THEW_STORE_STATUS_ENUM

// A result that matters cannot be ignored.
#define THEW_STORE_MUST_USE __attribute__((warn_unused_result))

/// The sentence that belongs to a status; "unknown status" for a number that is none. Never NULL.
const char *thew_store_status_sentence(thew_store_status status);

#endif
