// secret.c: see secret.h.
#include "studio/secret.h"

#include <sodium.h>
#include <string.h>

#define SECRET_BYTES 32
G_STATIC_ASSERT(sodium_base64_ENCODED_LEN(SECRET_BYTES, sodium_base64_VARIANT_URLSAFE_NO_PADDING) == THEW_SECRET_TEXT);

bool thew_admit_ready(void)
{
    return sodium_init() >= 0;
}

static void to_text(const unsigned char bytes[SECRET_BYTES], char text[THEW_SECRET_TEXT])
{
    sodium_bin2base64(text, THEW_SECRET_TEXT, bytes, SECRET_BYTES, sodium_base64_VARIANT_URLSAFE_NO_PADDING);
}

void thew_secret_new(char secret[THEW_SECRET_TEXT])
{
    unsigned char bytes[SECRET_BYTES];
    randombytes_buf(bytes, sizeof bytes);
    to_text(bytes, secret);
    sodium_memzero(bytes, sizeof bytes);
}

void thew_secret_digest(thew_secret_kind kind, const char *secret, char digest[THEW_SECRET_TEXT])
{
    static const char *const purpose[] = { "thew one-time link", "thew session token", "thew request token" };
    unsigned char bytes[SECRET_BYTES];
    crypto_generichash(bytes, sizeof bytes, (const unsigned char *)secret, strlen(secret), (const unsigned char *)purpose[kind],
                       strlen(purpose[kind])); // the purpose is BLAKE2b's key, 16 bytes at least
    to_text(bytes, digest);
}

bool thew_secret_same(const char *a, const char *b)
{
    size_t length = strlen(a);
    return strlen(b) == length && sodium_memcmp(a, b, length) == 0;
}

// --- passwords -------------------------------------------------------------------------------------------------------------------

// The same letters may come as other bytes from another keyboard (RFC 8265, OpaqueString: NFC). NULL if it is no text.
static char *as_typed_anywhere(const char *password)
{
    return g_utf8_validate(password, -1, NULL) ? g_utf8_normalize(password, -1, G_NORMALIZE_NFC) : NULL;
}

static void wipe(char *text)
{
    if (!text) return;
    sodium_memzero(text, strlen(text));
    g_free(text);
}

char *thew_password_hash(const char *password)
{
    char *text = as_typed_anywhere(password), *hash = g_malloc0(crypto_pwhash_STRBYTES);
    if (!text ||
        crypto_pwhash_str(hash, text, strlen(text), crypto_pwhash_OPSLIMIT_INTERACTIVE, crypto_pwhash_MEMLIMIT_INTERACTIVE) != 0)
        g_clear_pointer(&hash, g_free);
    wipe(text);
    return hash;
}

// A hash that no password has been chosen for: what there is to compare with where there is no account.
static const char *nobody(void)
{
    static char *hash = NULL;
    if (g_once_init_enter(&hash)) {
        char secret[THEW_SECRET_TEXT];
        thew_secret_new(secret);
        char *made = thew_password_hash(secret);
        g_once_init_leave(&hash, made ? made : g_strdup("$argon2id$"));
    }
    return hash;
}

bool thew_password_matches(const char *hash, const char *password)
{
    const char *against = nobody(); // also where it is not needed: made once, whoever asks first
    char *text = as_typed_anywhere(password);
    bool matches = crypto_pwhash_str_verify(hash ? hash : against, text ? text : "", text ? strlen(text) : 0) == 0;
    bool is_text = text != NULL;
    wipe(text);
    return matches && hash != NULL && is_text;
}

static bool is_one_character(const char *password)
{
    gunichar first = g_utf8_get_char(password);
    for (const char *at = password; *at; at = g_utf8_next_char(at))
        if (g_utf8_get_char(at) != first) return false;
    return true;
}

// "1234567890", "abcdefghij": each character the next one's neighbour.
static bool is_a_row(const char *password)
{
    gunichar before = g_utf8_get_char(password);
    for (const char *at = g_utf8_next_char(password); *at; at = g_utf8_next_char(at)) {
        gunichar now = g_utf8_get_char(at);
        if (now != before + 1 && !(before == '9' && now == '0')) return false;
        before = now;
    }
    return true;
}

static bool holds(const char *password, const char *word)
{
    if (!word || g_utf8_strlen(word, -1) < 3) return false;
    g_autofree char *low = g_utf8_casefold(password, -1), *low_word = g_utf8_casefold(word, -1);
    return strstr(low, low_word) != NULL;
}

const char *thew_password_fault(const char *password, const char *login, const char *called)
{
    if (!password || !g_utf8_validate(password, -1, NULL)) return "a password is missing";
    glong length = g_utf8_strlen(password, -1);
    if (length < THEW_PASSWORD_MIN) return "a password has at least 10 characters; a few words make a good one";
    if (length > THEW_PASSWORD_MAX) return "a password has at most 200 characters";
    if (is_one_character(password) || is_a_row(password) || holds(password, "password"))
        return "this password is easily guessed; a few words that do not belong together make a good one";
    if (holds(password, login) || holds(password, called)) return "a password must not hold the login or a name";
    return NULL;
}
