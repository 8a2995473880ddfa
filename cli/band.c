// band.c: `thew band`: the force curve of each band of a kit, from its readings, with its error.
#include <jansson.h>
#include <math.h>
#include <string.h>

#include "cli/command.h"
#include "cli/files.h"
#include "draw/curve.h"
#include "studio/known.h"

static const double stretches[] = { 1.25, 1.5, 1.75, 2, 2.5, 3 };

typedef struct {
    const thew_kit_item *item;
    thew_band band;
    thew_status status;
} measured;

static bool is_band(const thew_kit_item *item) { return item->kind == THEW_KIT_BAND || item->kind == THEW_KIT_LOOP; }

// How far a reading lies from the curve, as a share of it.
static double misfit(const thew_band *band, const thew_reading *reading)
{
    double force_n = thew_band_force_n(band, reading->length_m / band->rest_length_m);
    return force_n > 0 ? reading->force_n / force_n - 1 : INFINITY;
}

static void append_band(GString *out, const measured *m)
{
    const thew_band *band = &m->band;
    g_string_append_printf(out, "%s (%s): rest length %.2f m, %u reading%s\n", m->item->implement,
                           strcmp(m->item->person, "*") == 0 ? "everybody's" : m->item->person, band->rest_length_m, m->item->reading->len,
                           m->item->reading->len == 1 ? "" : "s");
    if (m->item->reading->len == 0)
        g_string_append_printf(out, "  Not measured: taken as step %.0f of a ladder, and learned from the diary. Two readings of a scale tell more.\n",
                               m->item->step.value);
    if (m->status > 0)
        g_string_append_printf(out, "  Note: %s.\n", thew_status_sentence(m->status));
    g_string_append_printf(out, "  curve: force = 2 (l - 1/l^2) (%.2f + %.2f / l) N, l = length / rest length\n", band->a0c10_n, band->a0c01_n);
    g_string_append(out, "  LENGTH m  STRETCH  FORCE N   kgf  GIVE OR TAKE\n");
    for (gsize s = 0; s < G_N_ELEMENTS(stretches); s++) {
        double force_n = thew_band_force_n(band, stretches[s]);
        g_string_append_printf(out, "  %8.2f  %7.2f  %7.1f  %4.1f  %10.0f %%\n", stretches[s] * band->rest_length_m, stretches[s], force_n,
                               force_n / 9.80665, thew_band_force_ln_sd(band, stretches[s]) * 100);
    }
    for (guint r = 0; r < m->item->reading->len; r++) {
        const thew_kit_reading *reading = &g_array_index(m->item->reading, thew_kit_reading, r);
        char date[THEW_DATE_TEXT] = "";
        if (reading->measured.year != 0)
            thew_date_text(reading->measured, date);
        g_string_append_printf(out, "  reading %.2f m: %.1f N, %+.0f %% from the curve%s%s\n", reading->reading.length_m, reading->reading.force_n,
                               misfit(band, &reading->reading) * 100, *date ? ", " : "", date);
    }
    g_string_append_c(out, '\n');
}

static json_t *band_json(const measured *m)
{
    const thew_band *band = &m->band;
    json_t *readings = json_array(), *forces = json_array();
    for (guint r = 0; r < m->item->reading->len; r++) {
        const thew_reading *reading = &g_array_index(m->item->reading, thew_kit_reading, r).reading;
        json_array_append_new(readings, json_pack("{s:f,s:f,s:f}", "length_m", reading->length_m, "force_n", reading->force_n, "misfit",
                                                  misfit(band, reading)));
    }
    for (gsize s = 0; s < G_N_ELEMENTS(stretches); s++)
        json_array_append_new(forces, json_pack("{s:f,s:f,s:f,s:f}", "stretch", stretches[s], "length_m", stretches[s] * band->rest_length_m,
                                                "force_n", thew_band_force_n(band, stretches[s]), "ln_sd",
                                                thew_band_force_ln_sd(band, stretches[s])));
    return json_pack("{s:s,s:s,s:f,s:f,s:f,s:[f,f,f],s:f,s:o,s:o}", "person", m->item->person, "implement", m->item->implement, "rest_length_m",
                     band->rest_length_m, "a0c10_n", band->a0c10_n, "a0c01_n", band->a0c01_n, "covariance", band->covariance[0],
                     band->covariance[1], band->covariance[2], "force_ln_sd", band->force_ln_sd, "readings", readings, "forces", forces);
}

static char *band_svg(const measured *m)
{
    g_autoptr(GArray) readings = g_array_new(FALSE, FALSE, sizeof(thew_reading));
    for (guint r = 0; r < m->item->reading->len; r++)
        g_array_append_val(readings, g_array_index(m->item->reading, thew_kit_reading, r).reading);
    return thew_curve_svg(&(thew_curve_plot){ .label = m->item->implement,
                                              .band = &m->band,
                                              .reading = (const thew_reading *)(const void *)readings->data,
                                              .reading_count = (int)readings->len });
}

// The bands of a kit that were asked for.
static GArray *bands_of(const thew_kit_csv *kit, const char *implement)
{
    GArray *bands = g_array_new(FALSE, FALSE, sizeof(measured));
    for (guint i = 0; i < kit->item->len; i++) {
        const thew_kit_item *item = &g_array_index(kit->item, thew_kit_item, i);
        if (!is_band(item) || (implement && strcmp(item->implement, implement) != 0))
            continue;
        measured m = { .item = item };
        m.status = thew_known_band(item, &m.band);
        if (m.status >= 0)
            g_array_append_val(bands, m);
        else
            thew_csv_find(kit->csv, item->at, THEW_KIT_IMPLEMENT, THEW_TROUBLE_ERROR, thew_status_sentence(m.status), NULL);
    }
    return bands;
}

static int run(const char *path, const char *implement, const char *svg, bool json)
{
    g_autoptr(thew_trouble_list) trouble = thew_trouble_list_new();
    g_autoptr(GBytes) bytes = thew_csv_load(path, THEW_CSV_BYTES_MAX, trouble);
    g_autoptr(thew_kit_csv) kit = bytes ? thew_kit_csv_read(thew_csv_shown_name(path), bytes, (thew_date){ 0 }, trouble) : NULL;
    g_autoptr(GArray) bands = kit ? bands_of(kit, implement) : NULL;
    if (thew_trouble_report(trouble) != THEW_EXIT_OK || !kit)
        return THEW_EXIT_REFUSED;
    if (bands->len == 0) {
        g_printerr("%s: there is no band%s%s%s\n", thew_csv_shown_name(path), implement ? " \"" : "", implement ? implement : "",
                   implement ? "\"" : "");
        return THEW_EXIT_REFUSED;
    }
    if (svg) {
        if (bands->len > 1)
            return thew_usage_error("band", "--svg draws one band: say which with --implement LABEL");
        g_autofree char *drawing = band_svg(&g_array_index(bands, measured, 0));
        int status = thew_output(svg, drawing, strlen(drawing));
        if (status != THEW_EXIT_OK || strcmp(svg, "-") == 0)
            return status;
    }
    g_autoptr(GString) text = g_string_new(NULL);
    json_t *all = json_array();
    for (guint b = 0; b < bands->len; b++) {
        if (json)
            json_array_append_new(all, band_json(&g_array_index(bands, measured, b)));
        else
            append_band(text, &g_array_index(bands, measured, b));
    }
    if (json) {
        char *dump = json_dumps(all, JSON_INDENT(1) | JSON_REAL_PRECISION(12));
        g_string_append_printf(text, "%s\n", dump);
        free(dump);
    }
    json_decref(all);
    return thew_output("-", text->str, text->len);
}

int thew_command_band(int argc, char **argv)
{
    g_autofree char *implement = NULL, *svg = NULL;
    gboolean json = FALSE;
    const GOptionEntry entries[] = {
        { "implement", 0, 0, G_OPTION_ARG_STRING, &implement, "only the band of this label", "LABEL" },
        { "svg", 0, 0, G_OPTION_ARG_FILENAME, &svg, "draw its curve into this file; - for standard output, alone", "FILE" },
        { "json", 0, 0, G_OPTION_ARG_NONE, &json, "for programs: one JSON document", NULL },
        { 0 },
    };
    int status = THEW_EXIT_OK;
    if (!thew_options_parse("band", "KIT", "The force of each band of a kit file, from its readings.",
                            "Measure a band with a luggage or kitchen scale: stretch it slowly three times, then read the force\n"
                            "at two lengths or more, about one and a half and two and a half times its rest length.\n",
                            entries, &argc, &argv, &status))
        return status;
    if (argc != 2)
        return thew_usage_error("band", "needs exactly one KIT file, got %d", argc - 1);
    return run(argv[1], implement, svg, json);
}
