// fit.c: see fit.h.
#include "studio/fit.h"

#include <math.h>
#include <string.h>

#include "engine/advice.h"

#define DEMAND_MIN .005 // lighter than this is no resistance at all,
#define DEMAND_MAX 3.0  // heavier than this nobody moves

static void clear_fitted(void *at) { g_free(((thew_fitted *)at)->label); }

const char *thew_fitness_words(thew_fitness fitness)
{
    static const char *const words[] = {
        [THEW_FITS] = "it fits",
        [THEW_LOOSE] = "the band hangs loose over much of the lift",
        [THEW_STRETCHED] = "the band is stretched further than is safe",
        [THEW_TOO_SLIGHT] = "it is next to no resistance",
        [THEW_TOO_GREAT] = "it is more than anybody moves",
        [THEW_RETIRED] = "it is no longer in use",
        [THEW_CROWDED] = "other loads are next to the same",
    };
    return words[fitness];
}

// --- Names -----------------------------------------------------------------------------------------------------------------------

static char *pieces_label(const thew_implement *implement, const thew_piece *piece, const thew_piece *piece_2)
{
    if (!piece)
        return g_strdup("body weight");
    if (piece_2)
        return g_strdup_printf("%s + %s", piece->label, piece_2->label);
    return implement->pieces > 1 ? g_strdup_printf("%d x %s", implement->pieces, piece->label) : g_strdup(piece->label);
}

// "green + blue, mark-2". The first of one setting goes unnamed.
static char *label_of(const thew_fitted *f)
{
    g_autofree char *what = pieces_label(f->implement, f->piece, f->piece_2);
    return f->implement->setting_count < 2 ? g_steal_pointer(&what) : g_strdup_printf("%s, %s", what, f->setting->id);
}

// The identity of a rung within its exercise: the same names are the same rung, whatever else is in the kit. Labels are people's own
// and may differ in two letters only, where a weaker hash gives the same number.
static unsigned number_of(const char *name)
{
    g_autofree char *sum = g_compute_checksum_for_string(G_CHECKSUM_SHA256, name, -1);
    sum[8] = '\0';
    return (unsigned)g_ascii_strtoull(sum, NULL, 16);
}

static unsigned key_of(const thew_fitted *f)
{
    g_autofree char *name = g_strdup_printf("%s\n%s\n%s\n%s\n%s", f->variant->id, f->implement->id, f->setting->id,
                                            f->piece ? f->piece->label : "", f->piece_2 ? f->piece_2->label : "");
    return number_of(name);
}

static bool is_band(thew_implement_kind kind) { return kind == THEW_IMPLEMENT_BAND || kind == THEW_IMPLEMENT_LOOP; }

// One set-up: the same band, anchored the same way, at any of its marks. Another weight in the hand is none.
static unsigned group_of(const thew_fitted *f)
{
    bool band = f->piece && is_band(f->piece->kind);
    g_autofree char *name = g_strdup_printf("%s\n%s\n%s", f->implement->id, band ? f->piece->label : "", f->piece_2 ? f->piece_2->label : "");
    return MAX(number_of(name), 1);
}

// --- Loads -----------------------------------------------------------------------------------------------------------------------

thew_resistance thew_fitted_resistance(const thew_fitted *fitted)
{
    const thew_piece *piece = fitted->piece;
    bool band = piece && is_band(piece->kind);
    thew_resistance resistance = thew_implement_resistance(fitted->implement, fitted->setting, band ? &piece->band : NULL,
                                                           piece && !band ? piece->mass_kg : 0);
    if (fitted->piece_2) {
        resistance.band_2 = &fitted->piece_2->band;
        resistance.strand_2 = resistance.strand;
    }
    return resistance;
}

// A band that hangs loose over much of the lift is no resistance there; within this far of either turnaround it may.
#define SLACK_RANGE (1.0 / 3)
static bool is_taut(const thew_movement *movement, const thew_body_model *body, const thew_resistance *resistance)
{
    if (!resistance->band)
        return true;
    return thew_demand_at_s(movement, body, resistance, SLACK_RANGE).band_force_n > 0 &&
           thew_demand_at_s(movement, body, resistance, 1 - SLACK_RANGE).band_force_n > 0;
}

static thew_fitness fitness_of(const thew_fitted *f, bool taut)
{
    if ((f->piece && f->piece->retired) || (f->piece_2 && f->piece_2->retired)) return THEW_RETIRED;
    if (f->demand.peak_share > DEMAND_MAX)
        return THEW_TOO_GREAT;
    if (f->implement->stretch_max > 0 && f->demand.stretch_max > f->implement->stretch_max)
        return THEW_STRETCHED;
    if (!taut) return THEW_LOOSE;
    return f->demand.peak_share < DEMAND_MIN ? THEW_TOO_SLIGHT : THEW_FITS;
}

static thew_load_demand compute(const thew_fitted *f, const thew_body_model *body)
{
    const thew_movement *movement = &f->implement->movement;
    thew_resistance resistance = thew_fitted_resistance(f);
    thew_load_demand load = { 0 };
    load.status = thew_demand_of(movement, body, &resistance, f->variant->tempo, &load.demand);
    load.is_taut = load.status >= 0 && is_taut(movement, body, &resistance);
    return load;
}

static thew_load_demand demand_of(const thew_fitted *f, const thew_body_model *body, thew_demand_memo *memo)
{
    if (!memo) return compute(f, body);
    const thew_piece *piece = f->piece;
    bool band = piece && is_band(piece->kind);
    thew_demand_key key = thew_demand_key_of(f->implement, f->setting, body, piece && !band ? piece->mass_kg : 0, band ? &piece->band : NULL,
                                             f->piece_2 ? &f->piece_2->band : NULL);
    thew_load_demand load;
    if (thew_demand_memo_find(memo, &key, &load)) return load;
    load = compute(f, body);
    thew_demand_memo_keep(memo, &key, &load);
    return load;
}

// Whom a ladder is for.
typedef struct {
    thew_body_model body;
    const GArray *piece;
    thew_demand_memo *memo;
} fitting;

static void add(thew_ladder *ladder, const thew_variant *variant, const thew_implement *implement, const thew_setting *setting,
                const thew_piece *piece, const thew_piece *piece_2, const fitting *to)
{
    thew_fitted f = { .variant = variant, .implement = implement, .setting = setting, .piece = piece, .piece_2 = piece_2 };
    thew_load_demand load = demand_of(&f, &to->body, to->memo);
    if (load.status < 0 || !(load.demand.peak_share > 0)) return;
    f.demand = load.demand;
    f.fitness = fitness_of(&f, load.is_taut);
    f.rung = (thew_rung){
        .peak_share = f.demand.peak_share,
        .mean_share = f.demand.mean_share,
        .ln_sd = MAX(f.demand.ln_sd, .04),
        .key = key_of(&f),
        .group = group_of(&f),
        .ends_from_s = f.demand.ends_from_s,
        .ends_to_s = f.demand.ends_to_s,
    };
    f.label = label_of(&f);
    g_array_append_val(f.fitness == THEW_FITS ? ladder->fitted : ladder->other, f);
}

// One implement of the catalogue with every piece of the kit that it fits, alone and, for bands, two side by side.
static void add_implement(thew_ladder *ladder, const thew_variant *variant, const thew_implement *implement, const fitting *to)
{
    const GArray *pieces = to->piece;
    for (size_t s = 0; s < implement->setting_count; s++) {
        const thew_setting *setting = &implement->setting[s];
        if (implement->kind == THEW_IMPLEMENT_BODY) {
            add(ladder, variant, implement, setting, NULL, NULL, to);
            continue;
        }
        for (guint p = 0; p < pieces->len; p++) {
            const thew_piece *piece = &g_array_index(pieces, thew_piece, p);
            if (piece->kind == implement->kind)
                add(ladder, variant, implement, setting, piece, NULL, to);
        }
    }
    if (implement->kind != THEW_IMPLEMENT_BAND)
        return;
    for (guint p = 0; p < pieces->len; p++)
        for (guint q = p + 1; q < pieces->len; q++) {
            const thew_piece *one = &g_array_index(pieces, thew_piece, p), *two = &g_array_index(pieces, thew_piece, q);
            if (one->kind == THEW_IMPLEMENT_BAND && two->kind == THEW_IMPLEMENT_BAND)
                add(ladder, variant, implement, &implement->setting[0], one, two, to);
        }
}

static int by_demand(const void *a, const void *b)
{
    double one = ((const thew_fitted *)a)->rung.peak_share, two = ((const thew_fitted *)b)->rung.peak_share;
    return one < two ? -1 : one > two;
}

// Set aside rungs that lie closest between their neighbours, until the engine has room for the variant's.
static void thin_out(thew_ladder *ladder, guint from)
{
    GArray *fitted = ladder->fitted;
    while (fitted->len > from + THEW_RUNGS_MAX) {
        guint closest = from + 1;
        double gap = INFINITY;
        for (guint i = from + 1; i + 1 < fitted->len; i++) {
            double between = g_array_index(fitted, thew_fitted, i + 1).rung.peak_share / g_array_index(fitted, thew_fitted, i - 1).rung.peak_share;
            closest = between < gap ? i : closest;
            gap = MIN(gap, between);
        }
        thew_fitted crowded = g_array_index(fitted, thew_fitted, closest);
        crowded.fitness = THEW_CROWDED;
        g_array_append_val(ladder->other, crowded);
        memset(&g_array_index(fitted, thew_fitted, closest), 0, sizeof crowded); // what it owned has moved on
        g_array_remove_index(fitted, closest);
    }
}

// All rungs of one variant, lightest first.
static void add_variant(thew_ladder *ladder, const thew_variant *variant, const fitting *to)
{
    guint from = ladder->fitted->len;
    for (size_t i = 0; i < variant->implement_count; i++)
        add_implement(ladder, variant, &variant->implement[i], to);
    if (ladder->fitted->len > from)
        qsort(&g_array_index(ladder->fitted, thew_fitted, from), ladder->fitted->len - from, sizeof(thew_fitted), by_demand);
    thin_out(ladder, from);
}

// What a diary calls a rung: variant, implement (two with a plus between them), setting.
static char *names_of(const char *variant, const char *implement, const char *setting)
{
    return g_strdup_printf("%s\n%s\n%s", variant, implement ? implement : "", setting);
}

static void index_names(thew_ladder *ladder, const thew_fitted *f, const char *implement, const char *setting, void *place)
{
    char *names = names_of(f->variant->id, implement, setting);
    if (g_hash_table_contains(ladder->by_names, names))
        g_free(names);
    else
        g_hash_table_insert(ladder->by_names, names, place);
}

// An unsaid setting is the first one of the first implement of its kind.
static bool goes_unsaid(const thew_fitted *f)
{
    for (const thew_implement *earlier = f->variant->implement; earlier < f->implement; earlier++)
        if (earlier->kind == f->implement->kind)
            return false;
    return f->setting == &f->implement->setting[0];
}

static void index_one(thew_ladder *ladder, const thew_fitted *f, const char *implement, void *place)
{
    index_names(ladder, f, implement, f->setting->id, place);
    if (goes_unsaid(f))
        index_names(ladder, f, implement, "", place);
}

static const thew_fitted *at_place(const thew_ladder *ladder, guint i)
{
    guint count = ladder->fitted->len;
    return i < count ? &g_array_index(ladder->fitted, thew_fitted, i) : &g_array_index(ladder->other, thew_fitted, i - count);
}

// Single pieces first: one whose own label has a plus in it is no pair.
static void index_by_names(thew_ladder *ladder)
{
    guint count = ladder->fitted->len + ladder->other->len;
    for (guint i = 0; i < count; i++) {
        const thew_fitted *f = at_place(ladder, i);
        if (!f->piece_2)
            index_one(ladder, f, f->piece ? f->piece->label : NULL, GUINT_TO_POINTER(i + 1));
    }
    for (guint i = 0; i < count; i++) {
        const thew_fitted *f = at_place(ladder, i);
        if (!f->piece_2)
            continue;
        g_autofree char *one = g_strdup_printf("%s+%s", f->piece->label, f->piece_2->label);
        g_autofree char *other = g_strdup_printf("%s+%s", f->piece_2->label, f->piece->label);
        index_one(ladder, f, one, GUINT_TO_POINTER(i + 1));
        index_one(ladder, f, other, GUINT_TO_POINTER(i + 1));
    }
}

// "soft + middle" as "soft+middle"; NULL if it is no pair.
static char *pair_name(const char *implement)
{
    g_auto(GStrv) label = g_strsplit(implement ? implement : "", "+", 3);
    return g_strv_length(label) == 2 ? g_strconcat(g_strstrip(label[0]), "+", g_strstrip(label[1]), NULL) : NULL;
}

thew_ladder *thew_fit(const thew_exercise *exercise, const thew_participant *participant, thew_day day, double *size_ln_sd)
{
    const fitting to = { thew_body_build(thew_participant_body(participant, day)), participant->piece, participant->memo };
    thew_ladder *ladder = g_new0(thew_ladder, 1);
    ladder->exercise = exercise;
    ladder->fitted = g_array_new(FALSE, FALSE, sizeof(thew_fitted));
    g_array_set_clear_func(ladder->fitted, clear_fitted);
    ladder->other = g_array_new(FALSE, FALSE, sizeof(thew_fitted));
    g_array_set_clear_func(ladder->other, clear_fitted);
    ladder->by_names = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, NULL);
    for (size_t v = 0; v < exercise->variant_count; v++)
        add_variant(ladder, exercise->variant[v], &to);
    index_by_names(ladder);
    if (size_ln_sd)
        *size_ln_sd = to.body.size_ln_sd;
    return ladder;
}

void thew_ladder_free(thew_ladder *ladder)
{
    if (!ladder)
        return;
    g_hash_table_unref(ladder->by_names);
    g_array_free(ladder->fitted, TRUE);
    g_array_free(ladder->other, TRUE);
    g_free(ladder);
}

const thew_fitted *thew_ladder_done(const thew_ladder *ladder, const char *variant, const char *implement, const char *setting)
{
    g_autofree char *names = names_of(variant ? variant : ladder->exercise->usual->id, implement, setting ? setting : "");
    guint place = GPOINTER_TO_UINT(g_hash_table_lookup(ladder->by_names, names));
    if (place > 0)
        return at_place(ladder, place - 1);
    g_autofree char *pair = pair_name(implement);
    return pair && strcmp(pair, implement) != 0 ? thew_ladder_done(ladder, variant, pair, setting) : NULL;
}

int thew_ladder_find(const thew_ladder *ladder, const char *variant, const char *implement, const char *setting)
{
    const thew_fitted *done = thew_ladder_done(ladder, variant, implement, setting);
    return done && done->fitness == THEW_FITS ? (int)(done - &g_array_index(ladder->fitted, thew_fitted, 0)) : -1;
}
