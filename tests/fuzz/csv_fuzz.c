// csv_fuzz.c: any bytes as one of the coach's four files, or as a plain table that must survive being written again.
// The first byte chooses: 0 people, 1 kit, 2 diary, 3 days, 4 a plain table of the columns a, b and c; the others are the file.
#include <string.h>

#include "exchange/cross_check.h"
#include "exchange/csv_write.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static GBytes *bytes_of(const char *text)
{
    return g_bytes_new_static(text, strlen(text));
}

static const char *const *ids(void *user, thew_known_kind kind, thew_known_where where)
{
    static const char *const some[] = { "curl", "row", NULL };
    (void)user;
    (void)where;
    return kind == THEW_KNOWN_SETTINGS ? NULL : some;
}

// Whatever is wrong can be said.
static void say(const thew_trouble_list *trouble)
{
    g_autoptr(GString) out = g_string_new(NULL);
    thew_trouble_print(trouble, G_MAXUINT, out);
    g_assert(g_utf8_validate(out->str, (gssize)out->len, NULL));
}

static void read_coach_file(int which, GBytes *bytes)
{
    const thew_date any_day = { 0, 0, 0 };
    const thew_known known = { ids, NULL };
    g_autoptr(thew_trouble_list) trouble = thew_trouble_list_new();
    g_autoptr(GBytes) some_people = bytes_of("person,birth_year,condition,endpoint\nana,1971,ms,failure\nbo,,none,failure\n");
    g_autoptr(GBytes) some_kit = bytes_of("person,implement,kind,mass_kg\nana,iron,dumbbell,2\n*,cuff,cuff,1\n");
    g_autoptr(thew_people_csv) people = thew_people_csv_read("people.csv", which == 0 ? bytes : some_people, any_day, trouble);
    g_autoptr(thew_kit_csv) kit = thew_kit_csv_read("kit.csv", which == 1 ? bytes : some_kit, any_day, trouble);
    g_autoptr(thew_diary_csv) diary = which == 2 ? thew_diary_csv_read("diary.csv", bytes, any_day, trouble) : NULL;
    g_autoptr(thew_days_csv) days = which == 3 ? thew_days_csv_read("days.csv", bytes, any_day, trouble) : NULL;
    thew_cross_check(people, kit, diary, days, &known);
    say(trouble);
}

#define COLUMNS 3
static const thew_csv_column columns[COLUMNS] = {
    {"a",  false, ""},
    { "b", false, ""},
    { "c", false, ""}
};

// Every row that is read, written anew.
static GBytes *written_anew(GBytes *bytes, thew_trouble_list *trouble)
{
    g_autoptr(thew_csv) csv = thew_csv_new("t.csv", bytes, columns, COLUMNS, trouble);
    GString *out = g_string_new("a,b,c\r\n");
    while (csv != NULL && thew_csv_next(csv)) {
        const char *field[COLUMNS];
        for (int i = 0; i < COLUMNS; i++)
            field[i] = thew_csv_field(csv, i);
        thew_csv_write_row(out, field, COLUMNS);
        for (int i = THEW_CSV_WHOLE_ROW; i < COLUMNS; i++)
            thew_csv_find(csv, thew_csv_here(csv), i, THEW_TROUBLE_NOTE, "here", NULL);
    }
    return g_string_free_to_bytes(out);
}

static void read_plain_table(GBytes *bytes)
{
    g_autoptr(thew_trouble_list) trouble = thew_trouble_list_new();
    g_autoptr(GBytes) once = written_anew(bytes, trouble);
    say(trouble);
    g_autoptr(thew_trouble_list) again = thew_trouble_list_new();
    g_autoptr(GBytes) twice = written_anew(once, again);
    g_assert(thew_trouble_count(again, THEW_TROUBLE_ERROR) == 0);
    g_assert(g_bytes_equal(once, twice));
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size == 0) return 0;
    g_autoptr(GBytes) bytes = g_bytes_new(data + 1, size - 1);
    int which = (uint8_t)(data[0] - '0') % 5;
    if (which == 4)
        read_plain_table(bytes);
    else
        read_coach_file(which, bytes);
    return 0;
}
