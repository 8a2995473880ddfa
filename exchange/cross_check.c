// cross_check.c: names of one file looked up in the others (see cross_check.h).
//
// A diary of a million rows has a few hundred different names: each different question is answered once and remembered with the row
// in which it first came up, and errors are worded at the end, when it is known how many rows share them.
#include "exchange/cross_check.h"

#include "exchange/nearest.h"

#define LISTED 8 // more known names than these are not listed when no hint can be given

typedef struct {
    const thew_people_csv *people;
    const thew_kit_csv *kit;
    const thew_known *known;
    GHashTable *kit_item; // "person\nimplement" to thew_kit_item
    const thew_people_csv *more_people;
    bool has_people, has_kit; // else nothing is checked against them
} file_set;

typedef enum { ASKS_PERSON, ASKS_IMPLEMENT, ASKS_EXERCISE, ASKS_VARIANT, ASKS_SETTING, ASKS_CAUTION, ASKS_GOAL } subject;

// Names are compared as pointers: a table keeps each name once.
typedef struct {
    subject subject;
    int column;
    const char *id;
    const char *person;     // for an implement: who uses it
    thew_known_where where; // for a variant or a setting
    // the answer
    bool is_known;
    gconstpointer found; // the person's row or the implement's item
    thew_csv_row first;
    guint more_count; // further rows
} question;

typedef struct {
    const file_set *others;
    const thew_csv *csv;
    GHashTable *asked;
    GPtrArray *unknown; // question, in the order in which they came up
} file_check;

static guint hash_question(gconstpointer key)
{
    const question *q = key;
    guint hash = (guint)q->column * 31 + g_direct_hash(q->id);
    hash = (hash * 31 + g_direct_hash(q->person)) * 31 + g_direct_hash(q->where.exercise);
    return (hash * 31 + g_direct_hash(q->where.variant)) * 31 + (guint)q->where.implement;
}

static gboolean is_same_question(gconstpointer first, gconstpointer second)
{
    const question *a = first, *b = second;
    return a->column == b->column && a->id == b->id && a->person == b->person && a->where.exercise == b->where.exercise &&
           a->where.variant == b->where.variant && a->where.implement == b->where.implement;
}

// ----------------------------------------------------------------------------------------------------------------------- answers

static const thew_kit_item *kit_item(const file_set *others, const char *person, const char *implement)
{
    g_autofree char *key = g_strconcat(person, "\n", implement, NULL);
    return g_hash_table_lookup(others->kit_item, key);
}

// A person's own stands before everybody's.
static const thew_kit_item *usable_item(const file_set *others, const char *person, const char *implement)
{
    const thew_kit_item *own = kit_item(others, person, implement);
    return own != NULL ? own : kit_item(others, "*", implement);
}

// Two bands used side by side are written with a plus between them: "soft+middle", spaces or none.
//   returns   the first of them, NULL if these are not two bands
static const thew_kit_item *usable_pair(const file_set *others, const char *person, const char *implement)
{
    g_auto(GStrv) label = g_strsplit(implement, "+", 3);
    if (g_strv_length(label) != 2) return NULL;
    const thew_kit_item *one = usable_item(others, person, g_strstrip(label[0]));
    const thew_kit_item *other = usable_item(others, person, g_strstrip(label[1]));
    bool are_bands = one != NULL && other != NULL && one->kind == THEW_KIT_BAND && other->kind == THEW_KIT_BAND;
    return are_bands && one != other ? one : NULL;
}

static const char *const *known_ids(const file_set *others, const question *q)
{
    static const thew_known_kind kind[] = { [ASKS_EXERCISE] = THEW_KNOWN_EXERCISES,
                                            [ASKS_VARIANT] = THEW_KNOWN_VARIANTS,
                                            [ASKS_SETTING] = THEW_KNOWN_SETTINGS,
                                            [ASKS_CAUTION] = THEW_KNOWN_CAUTIONS,
                                            [ASKS_GOAL] = THEW_KNOWN_GOALS };
    return others->known != NULL && others->known->ids != NULL ? others->known->ids(others->known->user, kind[q->subject], q->where) : NULL;
}

// What cannot be known counts as known.
static void answer(const file_set *others, question *q)
{
    const char *const *ids;
    switch (q->subject) {
    case ASKS_PERSON:
        if (others->people != NULL) q->found = thew_people_csv_find(others->people, q->id);
        if (others->more_people != NULL && q->found == NULL) q->found = thew_people_csv_find(others->more_people, q->id);
        q->is_known = !others->has_people || q->found != NULL ||
                      (others->people != NULL && !thew_csv_is_complete(others->people->csv));
        return;
    case ASKS_IMPLEMENT:
        if (others->has_kit) q->found = usable_item(others, q->person, q->id);
        if (others->has_kit && q->found == NULL) q->found = usable_pair(others, q->person, q->id);
        q->is_known = !others->has_kit || q->found != NULL || (others->kit != NULL && !thew_csv_is_complete(others->kit->csv));
        return;
    default:
        ids = known_ids(others, q);
        q->is_known = ids == NULL || g_strv_contains(ids, q->id);
    }
}

// Ask, or remember the answer. The question stays the check's own; NULL if there is no name to ask about.
static const question *ask(file_check *check, thew_csv_row at, question asked)
{
    if (asked.id == NULL) return NULL;
    question *q = g_hash_table_lookup(check->asked, &asked);
    if (q != NULL) {
        q->more_count++;
        return q;
    }
    q = g_new(question, 1);
    *q = asked;
    q->first = at;
    answer(check->others, q);
    g_hash_table_add(check->asked, q);
    if (!q->is_known) g_ptr_array_add(check->unknown, q);
    return q;
}

// ------------------------------------------------------------------------------------------------------------------------- hints

static char *hint_nearest(const char *id, const char *const *names)
{
    const char *nearest = thew_nearest(id, names);
    return nearest != NULL ? g_strdup_printf("perhaps \"%s\" is meant", nearest) : NULL;
}

static char *hint_person(const file_set *others, const question *q)
{
    const thew_people_csv *const table[] = { others->people, others->more_people };
    g_autoptr(GPtrArray) names = g_ptr_array_new();
    for (gsize t = 0; t < G_N_ELEMENTS(table); t++)
        for (guint i = 0; table[t] != NULL && i < table[t]->row->len; i++)
            g_ptr_array_add(names, (gpointer)g_array_index(table[t]->row, thew_people_row, i).person);
    g_ptr_array_add(names, NULL);
    char *hint = hint_nearest(q->id, (const char *const *)names->pdata);
    return hint != NULL ? hint : g_strdup(others->more_people != NULL ? "must be one of the people's file or of the studio"
                                                                      : "must be one of the people's file");
}

static char *hint_implement(const file_set *others, const question *q)
{
    const thew_kit_csv *const table[] = { others->kit, others->known != NULL ? others->known->kit : NULL };
    g_autoptr(GPtrArray) names = g_ptr_array_new();
    const char *owner = NULL;
    for (gsize t = 0; t < G_N_ELEMENTS(table); t++)
        for (guint i = 0; table[t] != NULL && i < table[t]->item->len; i++) {
            const thew_kit_item *item = &g_array_index(table[t]->item, thew_kit_item, i);
            if (g_str_equal(item->person, q->person) || g_str_equal(item->person, "*"))
                g_ptr_array_add(names, (gpointer)item->implement);
            else if (g_str_equal(item->implement, q->id))
                owner = item->person;
        }
    g_ptr_array_add(names, NULL);
    if (owner != NULL) return g_strdup_printf("it is \"%s\"'s alone; a row with * would make it everybody's", owner);
    char *hint = hint_nearest(q->id, (const char *const *)names->pdata);
    return hint != NULL ? hint : g_strdup("must be one of the kit's file, two bands of it as a+b, or empty for body weight");
}

static char *hint_known(const file_set *others, const question *q)
{
    const char *const *ids = known_ids(others, q);
    char *hint = hint_nearest(q->id, ids);
    if (hint != NULL) return hint;
    guint count = g_strv_length((char **)ids);
    if (count == 0) return g_strdup("there is none, leave it empty");
    if (count > LISTED) return g_strdup("must be an identifier of the catalogue");
    g_autofree char *list = g_strjoinv(", ", (char **)ids);
    return g_strdup_printf("must be one of: %s", list);
}

static char *hint_of(const file_set *others, const question *q)
{
    if (q->subject == ASKS_PERSON) return hint_person(others, q);
    return q->subject == ASKS_IMPLEMENT ? hint_implement(others, q) : hint_known(others, q);
}

static char *unknown_what(const question *q)
{
    static const char *const what[] = { "person", "implement", "exercise", "variant", "setting", "caution", "goal" };
    GString *text = g_string_new("unknown ");
    g_string_append(text, what[q->subject]);
    if (q->subject == ASKS_IMPLEMENT) g_string_append_printf(text, " of \"%s\"", q->person);
    if (q->where.exercise != NULL) g_string_append_printf(text, " of \"%s\"", q->where.exercise);
    if (q->more_count > 0)
        g_string_append_printf(text, ", here and in %u more row%s", q->more_count, q->more_count == 1 ? "" : "s");
    return g_string_free(text, FALSE);
}

static file_check begin(const file_set *others, const thew_csv *csv)
{
    return (file_check){ others, csv, g_hash_table_new_full(hash_question, is_same_question, g_free, NULL), g_ptr_array_new() };
}

static void conclude(file_check *check)
{
    for (guint i = 0; i < check->unknown->len; i++) {
        const question *q = check->unknown->pdata[i];
        g_autofree char *wrong = unknown_what(q);
        g_autofree char *right = thew_csv_has_room(check->csv) ? hint_of(check->others, q) : NULL;
        thew_csv_find(check->csv, q->first, q->column, THEW_TROUBLE_ERROR, wrong, right);
    }
    g_ptr_array_free(check->unknown, TRUE);
    g_hash_table_destroy(check->asked);
}

// ------------------------------------------------------------------------------------------------------------------------- files

static void check_people(const file_set *others)
{
    file_check check = begin(others, others->people->csv);
    for (guint i = 0; i < others->people->row->len; i++) {
        const thew_people_row *row = &g_array_index(others->people->row, thew_people_row, i);
        for (const char **id = row->exercises; *id != NULL; id++)
            ask(&check, row->at, (question){ .subject = ASKS_EXERCISE, .column = THEW_PEOPLE_EXERCISES, .id = *id });
        for (const char **id = row->cautions; *id != NULL; id++)
            ask(&check, row->at, (question){ .subject = ASKS_CAUTION, .column = THEW_PEOPLE_CAUTIONS, .id = *id });
        for (const char **id = row->goals; *id != NULL; id++)
            ask(&check, row->at, (question){ .subject = ASKS_GOAL, .column = THEW_PEOPLE_GOALS, .id = *id });
    }
    conclude(&check);
}

static void check_kit(const file_set *others)
{
    file_check check = begin(others, others->kit->csv);
    for (guint i = 0; i < others->kit->item->len; i++) {
        const thew_kit_item *item = &g_array_index(others->kit->item, thew_kit_item, i);
        if (g_str_equal(item->person, "*")) continue;
        ask(&check, item->at, (question){ .subject = ASKS_PERSON, .column = THEW_KIT_PERSON, .id = item->person });
    }
    conclude(&check);
}

//   person   the answer about the person of that row, or NULL
static void check_born(const thew_csv *csv, thew_csv_row at, int column, thew_date date, const question *person)
{
    const thew_people_row *row = person != NULL ? person->found : NULL;
    if (row == NULL || row->birth_year == 0 || date.year >= row->birth_year) return;
    g_autofree char *wrong = g_strdup_printf("before \"%s\" was born in %d", row->person, row->birth_year);
    thew_csv_find(csv, at, column, THEW_TROUBLE_ERROR, wrong, "correct the date, or birth_year in the people's file");
}

static void check_diary_row(file_check *check, const thew_diary_row *row)
{
    const question *person =
        ask(check, row->at, (question){ .subject = ASKS_PERSON, .column = THEW_DIARY_PERSON, .id = row->person });
    check_born(check->csv, row->at, THEW_DIARY_DATE, row->date, person);
    const question *exercise =
        ask(check, row->at, (question){ .subject = ASKS_EXERCISE, .column = THEW_DIARY_EXERCISE, .id = row->exercise });
    const question *implement = NULL;
    if (person->is_known)
        implement = ask(
            check, row->at,
            (question){ .subject = ASKS_IMPLEMENT, .column = THEW_DIARY_IMPLEMENT, .id = row->implement, .person = row->person });
    if (!exercise->is_known) return; // of an unknown one nothing is known
    const question *variant = ask(
        check, row->at,
        (question){
            .subject = ASKS_VARIANT, .column = THEW_DIARY_VARIANT, .id = row->variant, .where = { .exercise = row->exercise } });
    if (variant != NULL && !variant->is_known) return;
    const thew_kit_item *item = implement != NULL ? implement->found : NULL;
    if (row->implement != NULL && item == NULL) return;
    thew_known_where where = { row->exercise, row->variant, item != NULL ? item->kind : THEW_KIT_UNKNOWN };
    ask(check, row->at, (question){ .subject = ASKS_SETTING, .column = THEW_DIARY_SETTING, .id = row->setting, .where = where });
}

static void check_diary(const file_set *others, const thew_diary_csv *diary)
{
    file_check check = begin(others, diary->csv);
    for (guint i = 0; i < diary->row->len; i++)
        check_diary_row(&check, &g_array_index(diary->row, thew_diary_row, i));
    conclude(&check);
}

static void check_days(const file_set *others, const thew_days_csv *days)
{
    file_check check = begin(others, days->csv);
    for (guint i = 0; i < days->row->len; i++) {
        const thew_days_row *row = &g_array_index(days->row, thew_days_row, i);
        const question *person =
            ask(&check, row->at, (question){ .subject = ASKS_PERSON, .column = THEW_DAYS_PERSON, .id = row->person });
        check_born(days->csv, row->at, THEW_DAYS_DATE, row->date, person);
    }
    conclude(&check);
}

// What is in use hides what was retired under the same label.
static void index_kit(GHashTable *index, const thew_kit_csv *kit)
{
    for (guint i = 0; kit != NULL && i < kit->item->len; i++) {
        thew_kit_item *item = &g_array_index(kit->item, thew_kit_item, i);
        g_autofree char *key = g_strconcat(item->person, "\n", item->implement, NULL);
        const thew_kit_item *other = g_hash_table_lookup(index, key);
        if (other == NULL || other->retired.year > 0) g_hash_table_insert(index, g_steal_pointer(&key), item);
    }
}

void thew_cross_check(const thew_people_csv *people, const thew_kit_csv *kit, const thew_diary_csv *diary,
                      const thew_days_csv *days, const thew_known *known)
{
    g_autoptr(GHashTable) kit_item = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    const thew_people_csv *more_people = known != NULL ? known->people : NULL;
    const thew_kit_csv *more_kit = known != NULL ? known->kit : NULL;
    index_kit(kit_item, kit);
    index_kit(kit_item, more_kit);
    const file_set others = { people, kit, known, kit_item, more_people, people != NULL || more_people != NULL,
                              kit != NULL || more_kit != NULL };
    if (people != NULL) check_people(&others);
    if (kit != NULL) check_kit(&others);
    if (diary != NULL) check_diary(&others, diary);
    if (days != NULL) check_days(&others, days);
}
