// status_test.c: every code has a sentence of its own, and success, news and failure are told apart by sign.
#include "rows.h"

#include "engine/status.h"

#define CODE(name, code, sentence) { #name, name, code, sentence },

static void codes_and_sentences(void **state)
{
    (void)state;
    static const struct {
        const char *name;
        thew_status status;
        int code;
        const char *sentence;
    } row[] = { THEW_STATUS_LIST(CODE) };
    EACH(i, row)
    {
        row_near(row[i].name, row[i].code, row[i].status, 0);
        row_near(row[i].name, 0, strcmp(row[i].sentence, thew_status_sentence(row[i].status)), 0);
        for (size_t j = 0; j < i; j++) {
            row_near("no code is used twice", 1, row[i].code != row[j].code, 0);
            row_near("no sentence is used twice", 1, strcmp(row[i].sentence, row[j].sentence) != 0, 0);
        }
    }
    row_near("success is 0", 0, THEW_OK, 0);
    row_near("a number that is no status", 0, strcmp("unknown status", thew_status_sentence((thew_status)-1000)), 0);
    rows_end(100);
}

int main(void)
{
    const struct CMUnitTest tests[] = { cmocka_unit_test(codes_and_sentences) };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
