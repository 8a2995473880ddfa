// exercises.c: `thew exercises`: the catalogue as a list, with the identifiers that files use.
#include "catalogue/catalogue.h"
#include "cli/command.h"

static void append_settings(GString *out, const thew_implement *implement)
{
    g_string_append_printf(out, "      %-9s %s\n", thew_implement_kind_id(implement->kind), implement->words);
    if (implement->setting_count < 2)
        return;
    g_string_append(out, "                settings:");
    for (size_t s = 0; s < implement->setting_count; s++)
        g_string_append_printf(out, " %s", implement->setting[s].id);
    g_string_append_c(out, '\n');
}

static void append_exercise(GString *out, const thew_exercise *exercise, bool detailed)
{
    g_string_append_printf(out, "%-28s %s%s\n", exercise->id, exercise->name, exercise->kind == THEW_HOLD ? " (hold)" : "");
    for (size_t v = 0; detailed && v < exercise->variant_count; v++) {
        const thew_variant *variant = exercise->variant[v];
        g_string_append_printf(out, "    %-24s %s, %s%s%s\n", variant->id, variant->name, thew_position_id(variant->position),
                               variant->unilateral ? ", a side at a time" : "", variant == exercise->usual ? " (the usual one)" : "");
        for (size_t i = 0; i < variant->implement_count; i++)
            append_settings(out, &variant->implement[i]);
    }
}

int thew_command_exercises(int argc, char **argv)
{
    g_autofree char *additions = NULL;
    const GOptionEntry entries[] = {
        { "catalogue", 0, 0, G_OPTION_ARG_FILENAME, &additions, "a folder of further exercises", "FOLDER" },
        { 0 },
    };
    int status = THEW_EXIT_OK;
    if (!thew_options_parse("exercises", "[EXERCISE]", "The exercises there are; of one, its variants, implements and settings.", NULL, entries,
                            &argc, &argv, &status))
        return status;
    if (argc > 2)
        return thew_usage_error("exercises", "takes one EXERCISE at most");
    g_autoptr(GError) error = NULL;
    g_autoptr(thew_catalogue) catalogue = thew_catalogue_load(additions, &error);
    if (!catalogue) {
        g_printerr("%s\n", error->message);
        return THEW_EXIT_REFUSED;
    }
    const thew_exercise *one = argc == 2 ? thew_catalogue_exercise(catalogue, argv[1]) : NULL;
    if (argc == 2 && !one)
        return thew_usage_error("exercises", "there is no exercise \"%s\"; thew exercises lists them", argv[1]);
    g_autoptr(GString) text = g_string_new(NULL);
    size_t count;
    const thew_exercise *const *all = thew_catalogue_exercises(catalogue, &count);
    for (size_t e = 0; e < count; e++)
        if (!one || all[e] == one)
            append_exercise(text, all[e], one != NULL);
    return thew_output("-", text->str, text->len);
}
