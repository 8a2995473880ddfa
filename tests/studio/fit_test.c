// fit_test.c: which loads a kit makes, which of them may be advised, and that each is found again by the names a diary uses.
#include "studio/fit.h"

#include <math.h>

#include "engine/advice.h"
#include "tests/studio/somebody.h"

static thew_catalogue *catalogue;

static thew_ladder *fit(const char *exercise, const thew_participant *p)
{
    const thew_exercise *e = thew_catalogue_exercise(catalogue, exercise);
    assert_non_null(e);
    return thew_fit(e, p, DAY, NULL);
}

static const thew_fitted *nth(const GArray *fitted, guint i)
{
    return &g_array_index(fitted, thew_fitted, i);
}

static guint count_of(const GArray *fitted, thew_fitness fitness)
{
    guint count = 0;
    for (guint i = 0; i < fitted->len; i++)
        count += nth(fitted, i)->fitness == fitness;
    return count;
}

// --- What there is ---------------------------------------------------------------------------------------------------------------

// Every way that the catalogue allows with such a kit.
static guint ways(const thew_exercise *e, const thew_participant *p)
{
    guint count = 0, of_kind[THEW_IMPLEMENT_COUNT] = { [THEW_IMPLEMENT_BODY] = 1 };
    for (guint i = 0; i < p->piece->len; i++)
        of_kind[g_array_index(p->piece, thew_piece, i).kind]++;
    guint bands = of_kind[THEW_IMPLEMENT_BAND], pairs = bands * (bands - 1) / 2;
    for (size_t v = 0; v < e->variant_count; v++)
        for (size_t i = 0; i < e->variant[v]->implement_count; i++) {
            const thew_implement *implement = &e->variant[v]->implement[i];
            count +=
                (guint)implement->setting_count * of_kind[implement->kind] + (implement->kind == THEW_IMPLEMENT_BAND ? pairs : 0);
        }
    return count;
}

static thew_participant with_all_kinds(void)
{
    thew_participant p = somebody(THEW_CONDITION_MS);
    own_band(&p, "soft", 2, 25);
    own_band(&p, "hard", 2, 60);
    own_weight(&p, "iron", THEW_IMPLEMENT_DUMBBELL, 2);
    own_weight(&p, "sand", THEW_IMPLEMENT_CUFF, 1.5);
    own_loop(&p, "ring", .3, 1);
    return p;
}

static void test_every_way_is_on_the_ladder(void **state)
{
    (void)state;
    g_auto(thew_participant) p = with_all_kinds();
    size_t count;
    const thew_exercise *const *all = thew_catalogue_exercises(catalogue, &count);
    for (size_t e = 0; e < count; e++) {
        g_autoptr(thew_ladder) ladder = thew_fit(all[e], &p, DAY, NULL);
        // a band that never tightens, where nothing else weighs, makes no load at all
        row_between(all[e]->id, ways(all[e], &p) / 2, ladder->fitted->len + ladder->other->len, ways(all[e], &p));
        row_near(all[e]->id, ladder->fitted->len, count_of(ladder->fitted, THEW_FITS), 0);
        row_near(all[e]->id, 0, count_of(ladder->other, THEW_FITS), 0);
    }
    rows_end(60);
}

static void test_without_a_kit_only_the_body_is_left(void **state)
{
    (void)state;
    g_auto(thew_participant) p = somebody(THEW_CONDITION_NONE);
    g_autoptr(thew_ladder) stand = fit("sit-to-stand", &p), row = fit("seated-row", &p);
    row_true("sit-to-stand", "body weight makes rungs", stand->fitted->len > 0);
    for (guint i = 0; i < stand->fitted->len; i++)
        row_text("sit-to-stand", "body weight", nth(stand->fitted, i)->label);
    row_near("seated-row needs a band", 0, row->fitted->len + row->other->len, 0);
    rows_end(3);
}

static void test_rungs_stand_by_variant_and_demand(void **state)
{
    (void)state;
    g_auto(thew_participant) p = with_all_kinds();
    size_t count;
    const thew_exercise *const *all = thew_catalogue_exercises(catalogue, &count);
    for (size_t e = 0; e < count; e++) {
        g_autoptr(thew_ladder) ladder = thew_fit(all[e], &p, DAY, NULL);
        size_t place = 0;
        for (guint i = 0; i < ladder->fitted->len; i++) {
            const thew_fitted *f = nth(ladder->fitted, i);
            size_t before = place;
            while (place < all[e]->variant_count && all[e]->variant[place] != f->variant)
                place++;
            row_true(all[e]->id, "variants come easiest first, each in one piece", place < all[e]->variant_count);
            if (i > 0 && place == before && nth(ladder->fitted, i - 1)->variant == f->variant)
                row_true(f->label, "a variant's rungs rise", f->rung.peak_share >= nth(ladder->fitted, i - 1)->rung.peak_share);
        }
    }
    rows_end(500);
}

static void test_demand_is_the_engines(void **state)
{
    (void)state;
    g_auto(thew_participant) p = with_all_kinds();
    thew_body_model body = thew_body_build(thew_participant_body(&p, DAY));
    const char *const exercises[] = { "seated-row", "seated-curl", "sit-to-stand", "seated-thigh-spread", "seated-knee-extension" };
    EACH(e, exercises)
    {
        g_autoptr(thew_ladder) ladder = fit(exercises[e], &p);
        for (guint i = 0; i < ladder->fitted->len; i++) {
            const thew_fitted *f = nth(ladder->fitted, i);
            thew_resistance resistance = thew_fitted_resistance(f);
            thew_demand demand;
            assert_true(thew_demand_of(&f->implement->movement, &body, &resistance, f->variant->tempo, &demand) >= 0);
            row_near(f->label, demand.peak_share, f->rung.peak_share, 0);
            row_near(f->label, demand.mean_share, f->rung.mean_share, 0);
            row_true(f->label, "nothing is known better than 4 %", f->rung.ln_sd >= .04 && f->rung.ln_sd >= demand.ln_sd);
        }
    }
    rows_end(200);
}

static void test_two_bands_pull_as_both_do(void **state)
{
    (void)state;
    g_auto(thew_participant) p = with_all_kinds();
    g_autoptr(thew_ladder) ladder = fit("seated-overhead-press", &p);
    const thew_fitted *soft = thew_ladder_done(ladder, NULL, "soft", NULL), *hard = thew_ladder_done(ladder, NULL, "hard", NULL);
    const thew_fitted *both = thew_ladder_done(ladder, NULL, "soft+hard", NULL);
    assert_true(soft && hard && both);
    thew_body_model body = thew_body_build(thew_participant_body(&p, DAY));
    double force_n[3], s = .8;
    const thew_fitted *each[] = { soft, hard, both };
    EACH(i, each)
    {
        thew_resistance resistance = thew_fitted_resistance(each[i]);
        force_n[i] = thew_demand_at_s(&each[i]->implement->movement, &body, &resistance, s).band_force_n;
    }
    row_true("soft", "it pulls", force_n[0] > 0);
    row_relative("side by side forces add", force_n[0] + force_n[1], force_n[2], 1e-12);
    rows_end(2);
}

// --- What is not advised
// -----------------------------------------------------------------------------------------------------------

static void test_unfit_loads_are_kept_apart(void **state)
{
    (void)state;
    static const struct {
        const char *why, *exercise;
        double rest_length_m, force_n;
        thew_fitness fitness;
    } row[] = {
        { "a band far longer than the way hangs loose", "seated-row", 4, 40, THEW_LOOSE },
        { "a band far shorter than the way is stretched too far", "seated-row", .35, 40, THEW_STRETCHED },
        { "a thread is no resistance, where nothing else weighs", "seated-thigh-spread", .5, .02, THEW_TOO_SLIGHT },
        { "a rope that nobody pulls", "seated-row", 1.2, 9000, THEW_TOO_GREAT },
    };
    EACH(i, row)
    {
        g_auto(thew_participant) p = somebody(THEW_CONDITION_NONE);
        own_band(&p, "odd", row[i].rest_length_m, row[i].force_n);
        g_autoptr(thew_ladder) ladder = fit(row[i].exercise, &p);
        const thew_fitted *done = thew_ladder_done(ladder, NULL, "odd", "mark-0");
        assert_non_null(done);
        row_near(row[i].why, row[i].fitness, done->fitness, 0);
        row_near(row[i].why, -1, thew_ladder_find(ladder, NULL, "odd", "mark-0"), 0);
        for (guint f = 0; f < ladder->fitted->len; f++) {
            const thew_fitted *fitted = nth(ladder->fitted, f);
            row_true(row[i].why, "none that is advised is stretched too far",
                     fitted->demand.stretch_max <= fitted->implement->stretch_max);
            row_between(row[i].why, .005, fitted->rung.peak_share, 3);
        }
    }
    rows_end(8);
}

static void test_every_fitness_has_words(void **state)
{
    (void)state;
    for (int f = THEW_FITS; f <= THEW_CROWDED; f++)
        row_true("words", "there are some", thew_fitness_words((thew_fitness)f) && *thew_fitness_words((thew_fitness)f));
    rows_end(6);
}

static void test_a_great_kit_is_thinned_out(void **state)
{
    (void)state;
    static const char *const label[] = { "b1",  "b2",  "b3",  "b4",  "b5",  "b6",  "b7",  "b8",  "b9",  "b10",
                                         "b11", "b12", "b13", "b14", "b15", "b16", "b17", "b18", "b19", "b20" };
    g_auto(thew_participant) p = somebody(THEW_CONDITION_NONE);
    EACH(i, label)
    own_band(&p, label[i], 2, 10 * (1 + (double)i));
    g_autoptr(thew_ladder) ladder = fit("seated-curl", &p);
    const thew_variant *usual = ladder->exercise->usual;
    guint count = 0;
    double low = INFINITY, high = 0, low_all = INFINITY, high_all = 0, ratio = 1;
    for (guint i = 0; i < ladder->fitted->len; i++) {
        const thew_fitted *f = nth(ladder->fitted, i);
        if (f->variant != usual) continue;
        if (count++ > 0) ratio = MAX(ratio, f->rung.peak_share / high);
        low = MIN(low, f->rung.peak_share);
        high = MAX(high, f->rung.peak_share);
    }
    for (guint i = 0; i < ladder->other->len; i++) {
        const thew_fitted *f = nth(ladder->other, i);
        if (f->variant != usual || f->fitness != THEW_CROWDED) continue;
        low_all = MIN(low_all, f->rung.peak_share);
        high_all = MAX(high_all, f->rung.peak_share);
        row_true(f->label, "what was set aside is found by its names",
                 f->piece_2 || thew_ladder_done(ladder, usual->id, f->piece->label, f->setting->id) == f);
    }
    row_near("the engine's room is used", THEW_RUNGS_MAX, count, 0);
    row_true("the ends stay", "nothing set aside lies beyond them", low <= low_all && high >= high_all);
    row_true("no gap opens", "no step is above 25 %", ratio < 1.25);
    row_true("something was set aside", "there is some", count_of(ladder->other, THEW_CROWDED) > 0);
    rows_end(5);
}

// --- Identity --------------------------------------------------------------------------------------------------------------------

static void test_a_rung_stays_itself_when_the_kit_grows(void **state)
{
    (void)state;
    g_auto(thew_participant) before = somebody(THEW_CONDITION_NONE), now = somebody(THEW_CONDITION_NONE);
    own_band(&before, "soft", 2, 25);
    own_band(&now, "new", 2, 40);
    own_weight(&now, "iron", THEW_IMPLEMENT_DUMBBELL, 2);
    own_band(&now, "soft", 2, 25);
    g_autoptr(thew_ladder) small = fit("seated-curl", &before), great = fit("seated-curl", &now);
    for (guint i = 0; i < small->fitted->len; i++) {
        const thew_fitted *f = nth(small->fitted, i);
        const thew_fitted *g = thew_ladder_done(great, f->variant->id, f->piece->label, f->setting->id);
        assert_non_null(g);
        row_near(f->label, f->rung.key, g->rung.key, 0);
        row_near(f->label, f->rung.peak_share, g->rung.peak_share, 0);
    }
    row_true("the kit grew", "there are more rungs", great->fitted->len > small->fitted->len);
    rows_end(20);
}

static void test_a_rung_is_itself_though_measured_anew(void **state)
{
    (void)state;
    g_auto(thew_participant) new = somebody(THEW_CONDITION_NONE), worn = somebody(THEW_CONDITION_NONE);
    own_band(&new, "soft", 2, 25);
    own_band(&worn, "soft", 2, 20);
    g_autoptr(thew_ladder) one = fit("seated-row", &new), other = fit("seated-row", &worn);
    const thew_fitted *a = thew_ladder_done(one, NULL, "soft", "mark-6"), *b = thew_ladder_done(other, NULL, "soft", "mark-6");
    assert_true(a && b);
    row_near("same name", a->rung.key, b->rung.key, 0);
    row_true("worn", "it asks less", b->rung.peak_share < a->rung.peak_share);
    rows_end(2);
}

// "Ab" and "BA" have one and the same hash by multiplying with 33 and adding; so do "b1" and "aR".
static void test_no_two_rungs_share_a_key(void **state)
{
    (void)state;
    g_auto(thew_participant) p = somebody(THEW_CONDITION_NONE);
    const char *const label[] = { "Ab", "BA", "b1", "aR", "1Q", "20" };
    EACH(i, label)
    own_band(&p, label[i], 2, 20 + 5 * (double)i);
    g_autoptr(thew_ladder) ladder = fit("seated-row", &p);
    g_autoptr(GHashTable) keys = g_hash_table_new(g_direct_hash, g_direct_equal);
    for (guint i = 0; i < ladder->fitted->len; i++)
        row_true(nth(ladder->fitted, i)->label, "its key is its own",
                 g_hash_table_add(keys, GUINT_TO_POINTER(nth(ladder->fitted, i)->rung.key)));
    rows_end(100);
}

// --- Names -----------------------------------------------------------------------------------------------------------------------

static void test_names_of_a_diary(void **state)
{
    (void)state;
    static const struct {
        const char *why, *exercise, *variant, *implement, *setting, *label;
    } row[] = {
        { "variant unsaid is the usual one", "seated-curl", NULL, "iron", NULL, "iron" },
        { "a variant said", "seated-curl", "standing-curl", "iron", NULL, "iron" },
        { "two at once", "sit-to-stand", NULL, "iron", NULL, "2 x iron" },
        { "body weight is an implement unsaid", "sit-to-stand", NULL, NULL, NULL, "body weight" },
        { "setting unsaid is the first", "seated-row", NULL, "hard", NULL, "hard, mark-0" },
        { "a setting said", "seated-row", NULL, "hard", "mark-6", "hard, mark-6" },
        { "the second implement of a kind has its own settings", "seated-curl", NULL, "soft", "near-8", "soft, near-8" },
        { "unsaid, the first implement of a kind is meant", "seated-curl", NULL, "soft", NULL, "soft, mark-0" },
        { "two bands", "seated-overhead-press", NULL, "soft+hard", NULL, "soft + hard, mark-0" },
        { "two bands the other way round", "seated-overhead-press", NULL, "hard+soft", NULL, "soft + hard, mark-0" },
        { "two bands as they are printed", "seated-overhead-press", NULL, "soft + hard", NULL, "soft + hard, mark-0" },
        { "two bands with their setting", "seated-overhead-press", NULL, "soft+hard", "mark-0", "soft + hard, mark-0" },
        { "a loop", "seated-thigh-spread", NULL, "ring", NULL, "ring" },
        { "no longer owned", "seated-row", NULL, "old", NULL, NULL },
        { "not for this exercise", "seated-row", NULL, "iron", NULL, NULL },
        { "body weight where there is none", "seated-row", NULL, NULL, NULL, NULL },
        { "no such setting", "seated-row", NULL, "hard", "mark-99", NULL },
        { "no such variant", "seated-row", "lying-row", "hard", NULL, NULL },
        { "three bands", "seated-row", NULL, "soft+hard+soft", NULL, NULL },
        { "half a pair", "seated-row", NULL, "soft+", NULL, NULL },
        { "a band and a dumbbell", "seated-curl", NULL, "soft+iron", NULL, NULL },
    };
    g_auto(thew_participant) p = with_all_kinds();
    EACH(i, row)
    {
        g_autoptr(thew_ladder) ladder = fit(row[i].exercise, &p);
        const thew_fitted *done = thew_ladder_done(ladder, row[i].variant, row[i].implement, row[i].setting);
        row_text(row[i].why, row[i].label, done ? done->label : NULL);
    }
    rows_end(21);
}

static void test_every_rung_is_found_by_its_names(void **state)
{
    (void)state;
    g_auto(thew_participant) p = with_all_kinds();
    size_t count;
    const thew_exercise *const *all = thew_catalogue_exercises(catalogue, &count);
    for (size_t e = 0; e < count; e++) {
        g_autoptr(thew_ladder) ladder = thew_fit(all[e], &p, DAY, NULL);
        for (guint i = 0; i < ladder->fitted->len; i++) {
            const thew_fitted *f = nth(ladder->fitted, i);
            g_autofree char *pair = f->piece_2 ? g_strdup_printf("%s+%s", f->piece_2->label, f->piece->label) : NULL;
            const char *implement = pair ? pair : f->piece ? f->piece->label : NULL;
            row_near(f->label, i, thew_ladder_find(ladder, f->variant->id, implement, f->setting->id), 0);
        }
    }
    rows_end(500);
}

static void test_a_label_with_a_plus_is_one_band(void **state)
{
    (void)state;
    g_auto(thew_participant) p = somebody(THEW_CONDITION_NONE);
    own_band(&p, "a", 2, 25);
    own_band(&p, "b", 2, 30);
    own_band(&p, "a+b", 2, 90);
    g_autoptr(thew_ladder) ladder = fit("seated-overhead-press", &p);
    const thew_fitted *done = thew_ladder_done(ladder, NULL, "a+b", NULL);
    assert_non_null(done);
    row_true("a+b", "it is the band of that label", done->piece_2 == NULL);
    rows_end(1);
}

static int load(void **state)
{
    (void)state;
    catalogue = the_catalogue();
    return 0;
}

static int unload(void **state)
{
    (void)state;
    thew_catalogue_free(catalogue);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_way_is_on_the_ladder),
        cmocka_unit_test(test_without_a_kit_only_the_body_is_left),
        cmocka_unit_test(test_rungs_stand_by_variant_and_demand),
        cmocka_unit_test(test_demand_is_the_engines),
        cmocka_unit_test(test_two_bands_pull_as_both_do),
        cmocka_unit_test(test_unfit_loads_are_kept_apart),
        cmocka_unit_test(test_every_fitness_has_words),
        cmocka_unit_test(test_a_great_kit_is_thinned_out),
        cmocka_unit_test(test_a_rung_stays_itself_when_the_kit_grows),
        cmocka_unit_test(test_a_rung_is_itself_though_measured_anew),
        cmocka_unit_test(test_no_two_rungs_share_a_key),
        cmocka_unit_test(test_names_of_a_diary),
        cmocka_unit_test(test_every_rung_is_found_by_its_names),
        cmocka_unit_test(test_a_label_with_a_plus_is_one_band),
    };
    return cmocka_run_group_tests(tests, load, unload);
}
