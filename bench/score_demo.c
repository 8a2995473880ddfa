// score_demo.c: whether thew's odds come true for the demo studio: predicted against happened, set by set, each predicted that
// morning.
//   score_demo [--rows] FOLDER...     each as `demo_files FOLDER --truth FOLDER/truth.csv` made it; --rows prints every set instead
// For every day of training in the second half of the diary it asks for advice knowing what was written before that day and that
// day's check-in, and compares the odds of the step that was then done with the second at which the set failed or, where it was
// ended in another way or written down wrongly, would have failed. Knows that the studio is simulated, and so what nobody can know
// of real people. The bodies are richer than the engine's model (simulate.h), so this is a fair measure of the odds; of the choice
// it says nothing, since loads were chosen by hand.
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "cli/files.h"
#include "studio/advise.h"

#define BINS_MAX 16

// Forecasts of one chance, gathered in bins.
typedef struct {
    const char *what;
    int bin_count;
    double edge[BINS_MAX + 1];
    double n[BINS_MAX], predicted[BINS_MAX], happened[BINS_MAX];
    double brier, climate; // sums of squares: of the forecasts; count and hits are in the bins
} reliability;

typedef struct {
    reliability window, floor, beyond;
    double n, within_80, below_p50, below_p10, above_p90;
    double ln_score; // of the four outcomes, natural logarithm
    bool rows;       // print each set
} score;

static const double tenths[] = { 0, .1, .2, .3, .4, .5, .6, .7, .8, .9, 1 };
static const double small[] = { 0, .005, .01, .02, .05, .1, .2, .5, 1 };

static reliability bins(const char *what, const double *edge, int edge_count)
{
    reliability r = { .what = what, .bin_count = edge_count - 1 };
    memcpy(r.edge, edge, (size_t)edge_count * sizeof *edge);
    return r;
}

static void count(reliability *r, double p, bool happened)
{
    int bin = 0;
    while (bin + 1 < r->bin_count && p >= r->edge[bin + 1])
        bin++;
    r->n[bin] += 1;
    r->predicted[bin] += p;
    r->happened[bin] += happened;
    r->brier += (p - happened) * (p - happened);
}

static void print(const reliability *r)
{
    double n = 0, predicted = 0, happened = 0;
    printf("\n%s\n  predicted      sets   mean p  happened    +-\n", r->what);
    for (int b = 0; b < r->bin_count; b++) {
        n += r->n[b], predicted += r->predicted[b], happened += r->happened[b];
        if (r->n[b] == 0) continue;
        double share = r->happened[b] / r->n[b];
        printf("  %.3f-%.3f  %6.0f    %.3f     %.3f  %.3f\n", r->edge[b], r->edge[b + 1], r->n[b], r->predicted[b] / r->n[b], share,
               sqrt(share * (1 - share) / r->n[b]));
    }
    double base = happened / n;
    printf("  all          %6.0f    %.3f     %.3f         Brier %.4f (always saying %.3f: %.4f)\n", n, predicted / n, base,
           r->brier / n, base, base * (1 - base));
}

// --- One set ---------------------------------------------------------------------------------------------------------------------

static const thew_odds *odds_of(const thew_person_advice *advice, const thew_entry *entry, const thew_task **task,
                                const thew_fitted **fitted)
{
    for (guint t = 0; t < advice->advised->len; t++) {
        const thew_advised *advised = &g_array_index(advice->advised, thew_advised, t);
        if (advised->side != entry->side || strcmp(advised->exercise->id, entry->exercise) != 0) continue;
        int found = thew_ladder_find(advised->ladder, entry->variant, entry->implement, entry->setting) - (int)advised->first;
        if (found < 0 || found >= (int)advised->count || !advised->odds) return NULL;
        *task = thew_advised_task(advice, advised);
        *fitted = &g_array_index(advised->ladder->fitted, thew_fitted, advised->first + (guint)found);
        return &advised->odds[found];
    }
    return NULL;
}

static void count_set(score *s, const thew_odds *o, const thew_task *task, double seconds)
{
    bool floor = seconds < task->floor_s, beyond = seconds >= task->window_to_s, window = !beyond && seconds >= task->window_from_s;
    count(&s->window, o->p_window, window);
    count(&s->floor, o->p_floor, floor);
    count(&s->beyond, o->p_beyond, beyond);
    s->n += 1;
    s->below_p10 += seconds < o->p10_s;
    s->below_p50 += seconds < o->p50_s;
    s->above_p90 += seconds > o->p90_s;
    s->ln_score += log(fmax(floor ? o->p_floor : beyond ? o->p_beyond : window ? o->p_window : o->p_early, 1e-6));
}

// --- One person ------------------------------------------------------------------------------------------------------------------

// A set with what is true of it.
typedef struct {
    thew_entry entry;
    double lasts_s;
    bool wrong;
} truth_set;

// What would have been seen. A failure as it was written has the reaction time in it, as the engine's records have.
static double seen_s(const truth_set *set)
{
    bool as_written = set->entry.ended == THEW_FAILURE && !set->wrong;
    return as_written ? set->entry.seconds : set->lasts_s;
}

static void print_row(const thew_participant *participant, const truth_set *set, const thew_odds *o, const thew_fitted *fitted)
{
    printf("%s,%d,%s,%d,%.3f,%.2f,%d,%.4f,%.4f,%.4f,%.4f,%.1f,%.1f\n", participant->id, set->entry.day, set->entry.exercise,
           (int)set->entry.side, fitted->demand.peak_share, fitted->demand.sticking_s, (int)set->entry.ended, o->p_floor,
           o->p_early, o->p_window, o->p_beyond, o->p50_s, seen_s(set));
}

static void score_day(score *s, const thew_catalogue *catalogue, const thew_participant *participant, const GArray *sets,
                      thew_day day)
{
    thew_participant before = *participant;
    before.entry = g_array_new(FALSE, FALSE, sizeof(thew_entry));
    for (guint e = 0; e < participant->entry->len; e++) {
        const thew_entry *entry = &g_array_index(participant->entry, thew_entry, e);
        if (entry->day < day) g_array_append_val(before.entry, *entry);
    }
    g_autoptr(thew_person_advice) advice = thew_advise_person(catalogue, &before, day);
    for (guint i = 0; i < sets->len; i++) {
        const truth_set *set = &g_array_index(sets, truth_set, i);
        const thew_task *task = NULL;
        const thew_fitted *fitted = NULL;
        const thew_odds *odds = set->entry.day == day && !set->wrong ? odds_of(advice, &set->entry, &task, &fitted) : NULL;
        if (!odds) continue;
        count_set(s, odds, task, seen_s(set));
        if (s->rows) print_row(participant, set, odds, fitted);
    }
    g_array_unref(before.entry);
}

static void score_person(score *s, const thew_catalogue *catalogue, const thew_participant *participant, const GArray *sets,
                         thew_day from)
{
    thew_day scored = THEW_NO_DAY;
    for (guint i = 0; i < sets->len; i++) {
        thew_day day = g_array_index(sets, truth_set, i).entry.day;
        if (day < from || day <= scored) continue;
        scored = day;
        score_day(s, catalogue, participant, sets, day);
    }
}

// --- One studio ------------------------------------------------------------------------------------------------------------------

// The rows of one person that count, with the truth, whose lines are in the diary's order.
static GArray *sets_of(const thew_files *files, const char *person, char **line)
{
    GArray *sets = g_array_new(FALSE, FALSE, sizeof(truth_set));
    for (guint i = 0; i < files->diary->row->len; i++) {
        const thew_diary_row *row = &g_array_index(files->diary->row, thew_diary_row, i);
        if (!thew_csv_link_counts(&row->link) || strcmp(row->person, person) != 0) continue;
        truth_set set = { .entry = { .day = thew_date_number(row->date),
                                     .exercise = row->exercise,
                                     .variant = row->variant,
                                     .implement = row->implement,
                                     .setting = row->setting,
                                     .side = (thew_side)row->side,
                                     .ended = (thew_ended)(row->ended - THEW_DIARY_FAILURE),
                                     .seconds = row->seconds },
                          .lasts_s = g_ascii_strtod(line[i], NULL),
                          .wrong = strchr(line[i], ',')[1] != '\0' };
        g_array_append_val(sets, set);
    }
    return sets;
}

static bool score_studio(score *s, const thew_catalogue *catalogue, const char *folder)
{
    g_autofree char *people = g_build_filename(folder, "people.csv", NULL), *kit = g_build_filename(folder, "kit.csv", NULL);
    g_autofree char *diary = g_build_filename(folder, "diary.csv", NULL), *days = g_build_filename(folder, "days.csv", NULL);
    g_autofree char *truth = g_build_filename(folder, "truth.csv", NULL), *text = NULL;
    g_autoptr(thew_files) files = thew_files_read(catalogue, (thew_paths){ people, kit, diary, days }, (thew_date){ 0 });
    if (!files->participant || !files->diary || !g_file_get_contents(truth, &text, NULL, NULL)) {
        fprintf(stderr, "score_demo: %s does not hold a studio and its truth.csv\n", folder);
        return false;
    }
    g_auto(GStrv) line = g_strsplit(text, "\r\n", -1);
    thew_day first = INT32_MAX, last = 0;
    for (guint i = 0; i < files->diary->row->len; i++) {
        thew_day day = thew_date_number(g_array_index(files->diary->row, thew_diary_row, i).date);
        first = MIN(first, day);
        last = MAX(last, day);
    }
    for (guint p = 0; p < files->participant->len; p++) {
        const thew_participant *participant = files->participant->pdata[p];
        g_autoptr(GArray) sets = sets_of(files, participant->id, line + 2); // a comment and the header
        score_person(s, catalogue, participant, sets, first + (last - first) / 2);
    }
    return true;
}

int main(int argc, char **argv)
{
    g_autoptr(GError) error = NULL;
    g_autoptr(thew_catalogue) catalogue = thew_catalogue_load(NULL, &error);
    if (!catalogue || argc < 2) {
        fprintf(stderr, "%s\n", error ? error->message : "usage: score_demo [--rows] FOLDER...");
        return 2;
    }
    score s = { .window = bins("Fails inside the window of 60-90 s", tenths, G_N_ELEMENTS(tenths)),
                .floor = bins("Ends before 30 s", small, G_N_ELEMENTS(small)),
                .beyond = bins("Goes on after 90 s", tenths, G_N_ELEMENTS(tenths)) };
    s.rows = strcmp(argv[1], "--rows") == 0;
    if (s.rows) puts("person,day,exercise,side,demand,sticking_s,ended,p_floor,p_early,p_window,p_beyond,p50_s,seen_s");
    for (int f = s.rows ? 2 : 1; f < argc; f++)
        if (!score_studio(&s, catalogue, argv[f])) return 1;
    if (s.rows) return 0;
    printf("%d studio%s, %.0f sets of the second half, each predicted that morning\n", argc - 1, argc > 2 ? "s" : "", s.n);
    print(&s.window);
    print(&s.floor);
    print(&s.beyond);
    printf("\nshorter than p10 %.3f, than the likely time %.3f; longer than p90 %.3f; ln score %.4f a set\n", s.below_p10 / s.n,
           s.below_p50 / s.n, s.above_p90 / s.n, s.ln_score / s.n);
    return 0;
}
