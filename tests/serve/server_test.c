// Under which names a server may be asked (DNS rebinding), which looks are noted, that writers get their turn.
#include "serve/server.h"
#include "tests/exchange/expect.h"

static void names(void **state)
{
    (void)state;
    static const char *const own[] = { "studio.example.org", NULL };
    const thew_server server = { .host = own };
    static const struct {
        const char *host;
        bool is_named;
    } row[] = {
        { NULL, false },
        { "", false },
        { "localhost", true },
        { "localhost:7060", true },
        { "LocalHost:1", true },
        { "127.0.0.1:7060", true },
        { "[::1]:7060", true },
        { "[::1]", true },
        { "[::1", false },
        { "::1", false },
        { "studio.example.org", true },
        { "Studio.Example.Org:443", true },
        { "evil.studio.example.org", false },
        { "studio.example.org.evil.example.net", false },
        { "studio.example.org.", false },
        { "localhost:", false },
        { "localhost:7060 ", false },
        { "localhost:706000", false },
        { "localhost:70x", false },
        { "localhost@evil.example.org", false },
        { "127.0.0.1.evil.example.org", false },
        { "127.0.0.2", false },
    };
    for (size_t i = 0; i < G_N_ELEMENTS(row); i++)
        expect_number(row[i].host ? row[i].host : "(none)", row[i].is_named, thew_server_is_named(&server, row[i].host));
    expect_end(G_N_ELEMENTS(row));
}

static thew_server *begin(thew_catalogue **catalogue)
{
    *catalogue = thew_catalogue_load(NULL, NULL);
    assert_non_null(*catalogue);
    thew_server *server = g_new0(thew_server, 1);
    server->catalogue = *catalogue;
    thew_server_begin(server);
    return server;
}

static void looks(void **state)
{
    (void)state;
    g_autoptr(thew_catalogue) catalogue = NULL;
    thew_server *server = begin(&catalogue);
    expect_number("a first look", 1, thew_server_is_first_look(server, "anna", "ada", "sets"));
    expect_number("again", 0, thew_server_is_first_look(server, "anna", "ada", "sets"));
    expect_number("at another part", 1, thew_server_is_first_look(server, "anna", "ada", "advice"));
    expect_number("of another", 1, thew_server_is_first_look(server, "anna", "ben", "sets"));
    expect_number("by another", 1, thew_server_is_first_look(server, "cora", "ada", "sets"));
    thew_server_end(server);
    g_free(server);
    expect_end(5);
}

static int inside, most, turns;

static gpointer write_often(gpointer user)
{
    thew_server *server = user;
    for (int i = 0; i < 500; i++) {
        thew_server_begin_writing(server);
        inside++;
        most = MAX(most, inside);
        turns++;
        inside--;
        thew_server_end_writing(server);
    }
    return NULL;
}

static void one_writes_at_a_time(void **state)
{
    (void)state;
    g_autoptr(thew_catalogue) catalogue = NULL;
    thew_server *server = begin(&catalogue);
    GThread *thread[4];
    for (int i = 0; i < 4; i++)
        thread[i] = g_thread_new("writer", write_often, server);
    for (int i = 0; i < 4; i++)
        g_thread_join(thread[i]);
    expect_number("at once", 1, most);
    expect_number("everybody's", 2000, turns);
    thew_server_end(server);
    g_free(server);
    expect_end(2);
}

int main(void)
{
    const struct CMUnitTest tests[] = { cmocka_unit_test(names), cmocka_unit_test(looks), cmocka_unit_test(one_writes_at_a_time) };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
