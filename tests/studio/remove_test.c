// remove_test.c: removing a person: not before an export, not by mistake, and then without a trace, in the file's own bytes too.
#define _GNU_SOURCE // memmem
#include "studio/remove.h"

#include "store/account.h"
#include "store/diary.h"
#include "studio/admit.h"
#include "studio/enrol.h"
#include "studio/equip.h"
#include "studio/hand_out.h"
#include "tests/studio/use_case.h"

static int load(void **state)
{
    (void)state;
    return thew_admit_ready() ? 0 : -1;
}

static void did(scene *s, const char *record, const char *note)
{
    thew_store_set set = {
        .entry = { .record = record, .person = "p1", .day = { 2026, 3, 20 }, .written_by = "coach-1", .note = note },
        .exercise = "seated-row",
        .side = "both",
        .ended = "failure",
        .seconds = 62
    };
    assert_int_equal(thew_db_begin(s->studio->db), THEW_STORE_OK);
    thew_store_status status = thew_store_diary_add(s->studio->db, s->studio->id, &set);
    assert_int_equal(thew_db_end(s->studio->db, status), THEW_STORE_OK);
}

static thew_verdict remove_ida(scene *s, const char *called)
{
    bool traces;
    return thew_remove_person(s->studio, &the_coach, "p1", called, &traces, s->refusal);
}

// The store writes its own hour beside each record: exports have to be later than that, so the studio's clock is the system's here.
static void people(scene *s)
{
    s->studio->clock_us.us = 0;
    thew_person_change ida = { .called = "Ida Zweitausend", .note = "likes marmalade" }, bo = { .called = "Bo", .note = "" };
    must(s, thew_enrol(s->studio, &the_coach, "p1", &ida, s->refusal));
    must(s, thew_enrol(s->studio, &the_coach, "p2", &bo, s->refusal));
}

static void export(scene *s)
{
    g_autoptr(GPtrArray) files = NULL;
    g_usleep(1000);
    must(s, thew_hand_out(s->studio, &the_coach, "p1", &files, s->refusal));
}

static void what_has_to_be_so_before(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    people(&s);
    row_said(&s, "nothing exported", THEW_CONFLICT, "", remove_ida(&s, "Ida Zweitausend"));
    export(&s);
    row_said(&s, "another name", THEW_INVALID, "/called", remove_ida(&s, "Bo"));
    row_said(&s, "no name", THEW_INVALID, "/called", remove_ida(&s, NULL));
    row_said(&s, "another case", THEW_INVALID, "/called", remove_ida(&s, "ida zweitausend"));
    g_usleep(1000);
    did(&s, "r1", "");
    row_said(&s, "a set since the export", THEW_CONFLICT, "", remove_ida(&s, "Ida Zweitausend"));
    export(&s);
    g_usleep(1000);
    thew_screen_given answer = { "fall", "no", "" };
    must(&s, thew_screen(s.studio, &the_coach, "p1", &answer, 1, NULL, s.refusal));
    row_said(&s, "an answer since the export", THEW_CONFLICT, "", remove_ida(&s, "Ida Zweitausend"));
    export(&s);
    row_said(&s, "all is so", THEW_DONE, "", remove_ida(&s, "Ida Zweitausend"));
    row_said(&s, "once more", THEW_ABSENT, "", remove_ida(&s, "Ida Zweitausend"));
    rows_end(16);
}

static bool is_in_file(const scene *s, const char *text)
{
    static const char *const suffix[] = { "", "-wal" };
    bool found = false;
    EACH(i, suffix)
    {
        g_autofree char *path = g_strconcat(s->where.file, suffix[i], NULL), *bytes = NULL;
        gsize size = 0;
        if (g_file_get_contents(path, &bytes, &size, NULL)) found = found || memmem(bytes, size, text, strlen(text));
    }
    return found;
}

static void nothing_is_left(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    people(&s);
    thew_item_given item = {
        .item = "i1", .person = "p1", .label = "striped-ribbon", .kind = "band", .rest_length_m = { true, 1.5 }, .note = ""
    };
    must(&s, thew_equip_add(s.studio, &the_coach, &item, s.refusal));
    did(&s, "r1", "felt like porridge");
    static const char *const theirs[] = { "Ida Zweitausend", "likes marmalade", "striped-ribbon", "felt like porridge" };
    EACH(i, theirs)
    row_true(theirs[i], "it is in the file before", is_in_file(&s, theirs[i]));
    export(&s);
    row_said(&s, "removed", THEW_DONE, "", remove_ida(&s, "Ida Zweitausend"));
    must(&s, thew_remove_traces(s.studio, s.refusal));
    EACH(i, theirs)
    row_true(theirs[i], "it is not in the file after", !is_in_file(&s, theirs[i]));
    thew_person_whole *whole;
    row_said(&s, "she", THEW_ABSENT, "", thew_enrol_read(s.studio, "p1", &whole, s.refusal));
    g_autoptr(thew_access_log) log = NULL;
    must(&s, thew_admit_access(s.studio, NULL, 1000, &log, s.refusal));
    bool noted = false;
    for (guint i = 0; i < log->entry->len; i++) {
        const thew_store_access *access = &g_array_index(log->entry, thew_access_shown, i).access;
        noted = noted || strcmp(access->action, "remove") == 0;
        row_true("the log", "it names nobody who is gone", g_strcmp0(access->person, "p1") != 0 && !strstr(access->what, "Ida"));
    }
    row_true("the log", "says that somebody was removed", noted);
    rows_end(8 + 4 + 1);
}

static void accounts_go_with_them(void **state)
{
    (void)state;
    g_auto(scene) s = scene_set();
    people(&s);
    static const thew_store_sight ida[] = { { NULL, "p1", { 0 } } }, both[] = { { NULL, "p1", { 0 } }, { NULL, "p2", { 0 } } };
    static const thew_account_given given[] = { { "a1", "ida", "participant", "Ida", "p1", NULL, 0 },
                                                { "a2", "ann", "helper", "Ann", NULL, ida, 1 },
                                                { "a3", "cem", "helper", "Cem", NULL, both, 2 } };
    EACH(i, given)
    {
        thew_link link;
        must(&s, thew_admit_make(s.studio, &the_coach, &given[i], &link, s.refusal));
    }
    export(&s);
    must(&s, remove_ida(&s, "Ida Zweitausend"));
    g_autoptr(thew_accounts) all = NULL;
    must(&s, thew_admit_list(s.studio, &all, s.refusal));
    row_near("her own is gone", 2, all->account->len, 0);
    for (guint i = 0; i < all->account->len; i++) {
        const thew_account_shown *at = &g_array_index(all->account, thew_account_shown, i);
        bool cem = strcmp(at->account.account, "a3") == 0;
        row_true(at->account.called, cem ? "sees somebody still: open" : "has nobody left to see: closed",
                 (at->account.closed_us.us == 0) == cem);
        row_near(at->account.called, cem ? 1 : 0, at->sees_count, 0);
    }
    rows_end(5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_has_to_be_so_before),
        cmocka_unit_test(nothing_is_left),
        cmocka_unit_test(accounts_go_with_them),
    };
    return cmocka_run_group_tests(tests, load, NULL);
}
