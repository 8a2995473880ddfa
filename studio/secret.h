// secret.h: secrets and what is kept of them; for the files of admit.h only.
// Knows random tokens, their digests, and passwords as Argon2id, by libsodium. Leaves to others: where they are kept, whose they
// are.
#ifndef THEW_STUDIO_SECRET_H
#define THEW_STUDIO_SECRET_H

#include <stdbool.h>

#include "studio/admit.h"

// A digest says what it is of, so that one cannot be passed off as another.
typedef enum { THEW_SECRET_LINK, THEW_SECRET_SESSION, THEW_SECRET_CSRF } thew_secret_kind;

/// 256 random bits as URL-safe base64.
void thew_secret_new(char secret[THEW_SECRET_TEXT]);
/// BLAKE2b-256 of a secret, as the same kind of text. Any text has one.
void thew_secret_digest(thew_secret_kind kind, const char *secret, char digest[THEW_SECRET_TEXT]);
/// In a time that does not depend on where they differ.
bool thew_secret_same(const char *a, const char *b);

/// What is kept of a password (Argon2id, 64 MiB, about a tenth of a second).
///   returns   newly allocated; NULL if there is no memory for it
char *thew_password_hash(const char *password);
/// Whether it is the password. Without a hash (NULL) the answer is no, after the same work.
bool thew_password_matches(const char *hash, const char *password);

/// What is wrong with a password as a new one, or NULL. A static sentence.
///   login, called   not to be in it
const char *thew_password_fault(const char *password, const char *login, const char *called);

#endif
