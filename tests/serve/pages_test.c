// Which embedded file answers which path, in which form; and whether a tag is named. Invented files.
#include <string.h>

#include "serve/pages.h"
#include "tests/exchange/expect.h"

#define DIGEST "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef"
static const thew_web_file file[] = {
    { "assets/app-7XQ2K3AB.js", "text/javascript", { "plain", 5 }, { "gz", 2 }, { "br", 2 }, DIGEST, 1 },
    { "icon.png", "image/png", { "png", 3 }, { 0, 0 }, { 0, 0 }, DIGEST, 0 },
    { "index.html", "text/html", { "page", 4 }, { "gz", 2 }, { 0, 0 }, DIGEST, 0 },
};

static void paths(void **state)
{
    (void)state;
    static const struct {
        const char *path, *accepts, *name;
        thew_encoding encoding;
    } row[] = {
        { "/", NULL, "index.html", THEW_PLAIN },
        { "/index.html", NULL, "index.html", THEW_PLAIN },
        { "/person/ada", NULL, "index.html", THEW_PLAIN },
        { "/person/ada.b", NULL, "index.html", THEW_PLAIN },
        { "/a.b/kit", NULL, "index.html", THEW_PLAIN },
        { "/assets/none.js", NULL, NULL, THEW_PLAIN },
        { "/icon.png", "gzip, br", "icon.png", THEW_PLAIN },
        { "/../icon.png", NULL, NULL, THEW_PLAIN },
        { "//icon.png", NULL, NULL, THEW_PLAIN },
        { "icon.png", NULL, NULL, THEW_PLAIN },
        { "/assets/app-7XQ2K3AB.js", "gzip", "assets/app-7XQ2K3AB.js", THEW_GZIP },
        { "/assets/app-7XQ2K3AB.js", "gzip, deflate, br", "assets/app-7XQ2K3AB.js", THEW_BROTLI },
        { "/assets/app-7XQ2K3AB.js", "br;q=0, GZIP ; q=0.5", "assets/app-7XQ2K3AB.js", THEW_GZIP },
        { "/assets/app-7XQ2K3AB.js", "br;q=0.0", "assets/app-7XQ2K3AB.js", THEW_PLAIN },
        { "/assets/app-7XQ2K3AB.js", "brotli, gzipped", "assets/app-7XQ2K3AB.js", THEW_PLAIN },
        { "/assets/app-7XQ2K3AB.js", ",,;q,br", "assets/app-7XQ2K3AB.js", THEW_BROTLI },
        { "/", "br", "index.html", THEW_PLAIN },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(row); i++) {
        thew_page page = thew_pages_find(file, G_N_ELEMENTS(file), row[i].path, row[i].accepts);
        expect_text(row[i].path, row[i].name, page.file ? page.file->name : NULL);
        expect_number(row[i].path, row[i].encoding, page.encoding);
    }
    expect_end(2 * G_N_ELEMENTS(row));
}

static void tags(void **state)
{
    (void)state;
    static const struct {
        const char *why, *given;
        bool matches;
    } row[] = {
        { "none is given", NULL, false },
        { "the very same", "\"a\"", true },
        { "weak", "W/\"a\"", true },
        { "any", "*", true },
        { "another", "\"b\"", false },
        { "one of several", "\"b\" , W/\"a\"", true },
        { "the beginning of one", "\"ab\"", false },
        { "without quotes", "a", false },
        { "empty", "", false },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(row); i++)
        expect_number(row[i].why, row[i].matches, thew_etag_matches(row[i].given, "\"a\""));
    thew_page plain = thew_pages_find(file, G_N_ELEMENTS(file), "/assets/app-7XQ2K3AB.js", NULL),
              packed = thew_pages_find(file, G_N_ELEMENTS(file), "/assets/app-7XQ2K3AB.js", "br");
    expect_number("each form has its own tag", 1, strcmp(plain.etag, packed.etag) != 0);
    expect_end(G_N_ELEMENTS(row) + 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = { cmocka_unit_test(paths), cmocka_unit_test(tags) };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
