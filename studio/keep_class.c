// keep_class.c: see keep_class.h.
#include "studio/keep_class.h"

#include <string.h>

#include "store/class.h"
#include "studio/check.h"
#include "studio/set_up.h"

// --- from what is kept to what is composed ---------------------------------------------------------------------------------------

typedef struct {
    thew_class_wishes wishes;
    GPtrArray *held;
} translated;

static void translated_clear(translated *t)
{
    g_ptr_array_unref(t->held);
}
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC(translated, translated_clear)

static const char *const *words_of(GPtrArray *held, unsigned bits, int count, const char *(*word)(int), const char *more)
{
    const char **list = thew_hold(held, g_new0(const char *, count + 2), g_free);
    int n = 0;
    for (int i = 0; i < count; i++)
        if (bits >> i & 1u && word(i)) list[n++] = word(i);
    if (more) list[n] = more;
    return list;
}

static const char *position_word(int i)
{
    return thew_position_id((thew_position)i);
}

// Body weight is no kit: it is always there.
static const char *kit_word(int i)
{
    return i == THEW_IMPLEMENT_BODY ? NULL : thew_implement_kind_id((thew_implement_kind)i);
}

static thew_store_status translate(thew_studio *studio, const thew_kept_wishes *wishes, translated *t)
{
    thew_settings settings;
    thew_store_status status = thew_set_up_settings(studio, &settings);
    thew_class_goal_wish *goal = thew_hold(t->held, g_new0(thew_class_goal_wish, wishes->goal_count + 1), g_free);
    for (guint i = 0; i < wishes->goal_count; i++)
        goal[i] = (thew_class_goal_wish){ wishes->goal[i].goal ? wishes->goal[i].goal : "", wishes->goal[i].weight };
    bool band = wishes->kinds >> THEW_IMPLEMENT_BAND & 1u;
    t->wishes = thew_class_wishes_default();
    t->wishes.goal = goal;
    t->wishes.goal_count = wishes->goal_count;
    t->wishes.minutes = wishes->minutes;
    t->wishes.position = words_of(t->held, wishes->positions, THEW_POSITION_COUNT, position_word, NULL);
    t->wishes.kit = words_of(t->held, wishes->kinds, THEW_IMPLEMENT_COUNT, kit_word, band ? "anchor" : NULL);
    t->wishes.fixed = wishes->fixed;
    t->wishes.excluded = wishes->excluded;
    t->wishes.exercises_max = THEW_COMPOSE_SLOTS_MAX;
    t->wishes.sets = wishes->sets;
    t->wishes.rest_s = wishes->rest_s;
    t->wishes.window_from_s = (int)settings.window_from_s;
    t->wishes.window_to_s = (int)(settings.window_to_s + .5);
    return status;
}

static void check_wishes(const thew_kept_wishes *wishes, const char *prefix, thew_refusal *refusal)
{
    if (wishes->positions == 0) {
        g_autofree char *pointer = g_strconcat(prefix, "/positions", NULL);
        thew_refusal_add(refusal, pointer, "at least one position is needed: seated, standing, lying");
    }
}

// Faults are about the names of compose_class.h; whoever asked used others.
static void retell(const thew_refusal *said, const char *wishes_prefix, thew_refusal *refusal)
{
    static const struct {
        const char *theirs, *ours;
        bool of_wishes;
    } name[] = { { "/kit", "/kinds", true }, { "/exercises", "/slots", false } };
    for (guint i = 0; i < said->fault->len; i++) {
        const thew_fault *fault = said->fault->pdata[i];
        g_autofree char *pointer = g_strconcat(wishes_prefix, fault->pointer, NULL);
        for (gsize n = 0; n < G_N_ELEMENTS(name); n++) {
            const char *rest = fault->pointer + strlen(name[n].theirs);
            if (!g_str_has_prefix(fault->pointer, name[n].theirs) || (*rest != '\0' && *rest != '/')) continue;
            g_free(pointer);
            pointer = g_strconcat(name[n].of_wishes ? wishes_prefix : "", name[n].ours, rest, NULL);
            if (g_str_has_suffix(pointer, "/name")) pointer[strlen(pointer) - strlen("/name")] = '\0';
        }
        thew_refusal_add(refusal, pointer, "%s", fault->sentence);
    }
    if (said->sentence) thew_refuse(refusal, THEW_INVALID, "%s", said->sentence);
}

thew_verdict thew_keep_class_compose(thew_studio *studio, const thew_kept_wishes *wishes, thew_class_plan **plan,
                                     thew_refusal *refusal)
{
    *plan = NULL;
    g_auto(translated) t = { .held = thew_held_new() };
    g_autoptr(thew_refusal) said = thew_refusal_new();
    check_wishes(wishes, "", refusal);
    if (!thew_refusal_is_empty(refusal)) return THEW_INVALID;
    thew_store_status status = translate(studio, wishes, &t);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    thew_verdict verdict = thew_class_compose(studio->catalogue, &t.wishes, plan, said);
    retell(said, "", refusal);
    return verdict;
}

// --- orders made by hand ---------------------------------------------------------------------------------------------------------

static void check_slot(const thew_catalogue *catalogue, const thew_kept_slot *slot, guint index, thew_refusal *refusal)
{
    const thew_exercise *exercise = slot->exercise ? thew_catalogue_exercise(catalogue, slot->exercise) : NULL;
    const thew_variant *variant = slot->variant ? thew_catalogue_variant(catalogue, slot->variant) : NULL;
    if (!exercise)
        thew_refusal_at(refusal, "slots", index, "exercise", "there is no exercise \"%s\"", slot->exercise ? slot->exercise : "");
    if (!variant)
        thew_refusal_at(refusal, "slots", index, "variant", "there is no variant \"%s\"", slot->variant ? slot->variant : "");
    else if (exercise && variant->exercise != exercise)
        thew_refusal_at(refusal, "slots", index, "variant", "\"%s\" is no variant of %s", slot->variant, exercise->id);
    if (slot->sets < 1 || slot->sets > THEW_CLASS_SETS_MAX)
        thew_refusal_at(refusal, "slots", index, "sets", "this must be from 1 to %d", THEW_CLASS_SETS_MAX);
    if (slot->rest_s < 0 || slot->rest_s > THEW_COMPOSE_PAUSE_MAX_S)
        thew_refusal_at(refusal, "slots", index, "rest_s", "this must be from 0 to %d seconds", THEW_COMPOSE_PAUSE_MAX_S);
}

static void check_slots(const thew_catalogue *catalogue, const thew_kept_plan *plan, thew_refusal *refusal)
{
    if (plan->slot_count < 1 || plan->slot_count > THEW_COMPOSE_SLOTS_MAX)
        thew_refusal_add(refusal, "/slots", "a class has from 1 to %d exercises", THEW_COMPOSE_SLOTS_MAX);
    for (guint i = 0; i < plan->slot_count; i++)
        check_slot(catalogue, &plan->slot[i], i, refusal);
}

thew_verdict thew_keep_class_judge(thew_studio *studio, const thew_kept_plan *given, thew_class_plan **plan, thew_refusal *refusal)
{
    *plan = NULL;
    check_wishes(&given->wishes, "/wishes", refusal);
    check_slots(studio->catalogue, given, refusal);
    if (!thew_refusal_is_empty(refusal)) return THEW_INVALID;
    g_auto(translated) t = { .held = thew_held_new() };
    g_autoptr(thew_refusal) said = thew_refusal_new();
    thew_store_status status = translate(studio, &given->wishes, &t);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    thew_class_choice choice[THEW_COMPOSE_SLOTS_MAX] = { { 0 } };
    for (guint i = 0; i < given->slot_count; i++)
        choice[i] = (thew_class_choice){ .name = given->slot[i].variant, .sets = given->slot[i].sets };
    thew_verdict verdict = thew_class_judge(studio->catalogue, &t.wishes, choice, given->slot_count, plan, said);
    retell(said, "/wishes", refusal);
    return verdict;
}

// --- keeping ---------------------------------------------------------------------------------------------------------------------

// Sent again after an answer that was lost: the writer and the hour may differ.
static thew_verdict compare(const thew_rows *kept, const thew_class_version *class, const char *text, thew_refusal *refusal)
{
    const thew_store_class *row = thew_row(kept, thew_store_class, 0);
    bool same = strcmp(row->called, class->called) == 0 && row->retired == class->retired && strcmp(row->plan, text) == 0;
    return same ? THEW_DONE_BEFORE
                : thew_refuse(refusal, THEW_CONFLICT, "version %d of this class is kept already, with another content",
                              class->version);
}

static thew_verdict keep(thew_studio *studio, const thew_actor *actor, const thew_class_version *class, double minutes,
                         thew_refusal *refusal)
{
    g_autoptr(thew_rows) kept = NULL;
    g_autofree char *text = thew_class_text(&class->plan);
    thew_store_status status = thew_store_class_find(studio->db, studio->id, class->class, class->version, &kept);
    if (status >= 0) return compare(kept, class, text, refusal);
    if (status != THEW_STORE_NOT_FOUND) return thew_refuse_store(refusal, studio->db, status);
    thew_store_class row = { class->class, class->version, class->called,           minutes,
                             text,         class->retired, thew_studio_now(studio), actor->account };
    return thew_refuse_store(refusal, studio->db, thew_store_class_add(studio->db, studio->id, &row));
}

thew_verdict thew_keep_class(thew_studio *studio, const thew_actor *actor, const thew_class_version *class, thew_refusal *refusal)
{
    thew_check_identifier(refusal, "/class", class->class);
    thew_check_text(refusal, "/called", class->called, 1, THEW_NAME_MAX);
    if (class->version < 1) thew_refusal_add(refusal, "/version", "versions count from 1");
    g_autoptr(thew_class_plan) plan = NULL;
    thew_verdict verdict = thew_keep_class_judge(studio, &class->plan, &plan, refusal);
    if (verdict == THEW_UNABLE) return verdict;
    if (verdict != THEW_DONE || !thew_refusal_is_empty(refusal)) return THEW_INVALID;
    thew_store_status status = thew_db_begin(studio->db);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    verdict = keep(studio, actor, class, plan->seconds / 60, refusal);
    if (verdict != THEW_DONE) {
        thew_db_rollback(studio->db);
        return verdict;
    }
    return thew_refuse_store(refusal, studio->db, thew_db_commit(studio->db));
}

// --- looking ---------------------------------------------------------------------------------------------------------------------

void thew_classes_free(thew_classes *classes)
{
    if (!classes) return;
    g_array_unref(classes->brief);
    g_ptr_array_unref(classes->held);
    g_free(classes);
}

void thew_class_kept_free(thew_class_kept *kept)
{
    if (!kept) return;
    g_ptr_array_unref(kept->held);
    g_free(kept);
}

// What a later version of the program kept in another form is shown with its name and without its plan.
static void take_brief(const thew_store_class *row, thew_classes *into)
{
    thew_kept_plan plan;
    thew_class_text_read(row->plan, into->held, &plan);
    const char **goal = thew_hold(into->held, g_new0(const char *, plan.wishes.goal_count + 1), g_free);
    for (guint i = 0; i < plan.wishes.goal_count; i++)
        goal[i] = plan.wishes.goal[i].goal;
    thew_class_brief brief = { .class = row->class,
                               .called = row->called,
                               .version = row->version,
                               .minutes = row->minutes,
                               .slots = plan.slot_count,
                               .goal = goal,
                               .retired = row->retired,
                               .made_us = row->made_us };
    g_array_append_val(into->brief, brief);
}

thew_verdict thew_keep_class_list(thew_studio *studio, thew_classes **classes, thew_refusal *refusal)
{
    *classes = NULL;
    thew_rows *rows = NULL;
    thew_store_status status = thew_store_class_latest(studio->db, studio->id, &rows);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    thew_classes *read = g_new0(thew_classes, 1);
    read->brief = g_array_new(FALSE, FALSE, sizeof(thew_class_brief));
    read->held = thew_held_new();
    thew_hold(read->held, rows, (GDestroyNotify)thew_rows_free);
    for (guint i = 0; i < rows->row->len; i++)
        take_brief(thew_row(rows, thew_store_class, i), read);
    *classes = read;
    return THEW_DONE;
}

static const thew_store_class *pick(const thew_rows *versions, int version)
{
    for (guint i = versions->row->len; i-- > 0;) {
        const thew_store_class *row = thew_row(versions, thew_store_class, i);
        if (version == 0 || row->version == version) return row;
    }
    return NULL;
}

thew_verdict thew_keep_class_read(thew_studio *studio, const char *class, int version, thew_class_kept **kept,
                                  thew_refusal *refusal)
{
    *kept = NULL;
    g_autoptr(thew_class_kept) read = g_new0(thew_class_kept, 1);
    read->held = thew_held_new();
    thew_rows *rows = NULL;
    thew_store_status status = thew_store_class_versions(studio->db, studio->id, class, &rows);
    thew_hold(read->held, rows, (GDestroyNotify)thew_rows_free);
    if (status < 0) return thew_refuse_store(refusal, studio->db, status);
    const thew_store_class *row = pick(rows, version);
    if (!row) return thew_refuse(refusal, THEW_ABSENT, "there is no such class");
    read->class = (thew_class_version){ .class = row->class,
                                        .version = row->version,
                                        .called = row->called,
                                        .retired = row->retired,
                                        .minutes = row->minutes,
                                        .made_us = row->made_us,
                                        .written_by = row->written_by };
    if (!thew_class_text_read(row->plan, read->held, &read->class.plan))
        return thew_refuse(refusal, THEW_UNABLE, "the plan of this class was kept in a form that this version cannot read");
    *kept = g_steal_pointer(&read);
    return THEW_DONE;
}
