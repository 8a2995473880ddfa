// write.c: see write.h.
#include "demo/write.h"

#include <string.h>

#include "exchange/csv_write.h"
#include "exchange/days_csv.h"
#include "exchange/diary_csv.h"
#include "exchange/people_csv.h"
#include "studio/words.h"

typedef void template_writer(GString *out);

// The top of a file. Its header is the last line of the format's own empty file.
static void begin(GString *out, const char *what, template_writer *template)
{
    g_autoptr(GString) empty = g_string_new(NULL);
    template(empty);
    g_string_truncate(empty, empty->len - strlen("\r\n"));
    g_string_append_printf(
        out, "# %s of the demo studio. Invented: nobody in it is real, and no figure was taken from anybody's records.\r\n", what);
    g_string_append(out, "# Made by demo_files, which plays simulated people; the same seed makes the same file.\r\n");
    g_string_append_printf(out, "%s\r\n", strrchr(empty->str, '\n') + 1);
}

static void end_row(GString *out, char **field, int count)
{
    for (int f = 0; f < count; f++)
        if (!field[f]) field[f] = g_strdup("");
    thew_csv_write_row(out, (const char *const *)field, count);
    for (int f = 0; f < count; f++)
        g_clear_pointer(&field[f], g_free);
}

static char *number(double value)
{
    char text[G_ASCII_DTOSTR_BUF_SIZE];
    return g_strdup(thew_csv_number_text(value, text));
}

static char *tenths(double value)
{
    char text[G_ASCII_DTOSTR_BUF_SIZE];
    return g_strdup(g_ascii_formatd(text, sizeof text, "%.1f", value));
}

// --- people.csv ------------------------------------------------------------------------------------------------------------------

// "a/b c" names variants too, which people.csv does not.
static char *exercise_ids(const char *exercises)
{
    g_auto(GStrv) names = g_strsplit(exercises, " ", -1);
    for (char **n = names; *n; n++)
        if (strchr(*n, '/')) *strchr(*n, '/') = '\0';
    return g_strjoinv(" ", names);
}

void write_people(GString *out)
{
    begin(out, "The people", thew_people_csv_template);
    for (int i = 0; i < cast_people_count; i++) {
        const cast_person *p = &cast_people[i];
        char *field[THEW_PEOPLE_COLUMNS] = { 0 };
        field[THEW_PEOPLE_PERSON] = g_strdup(p->id);
        field[THEW_PEOPLE_CALLED] = g_strdup(p->called);
        field[THEW_PEOPLE_SEX] = g_strdup(p->sex == THEW_SEX_FEMALE ? "female" : "male");
        field[THEW_PEOPLE_BIRTH_YEAR] = g_strdup_printf("%d", p->birth_year);
        if (!p->size_unsaid) {
            field[THEW_PEOPLE_HEIGHT_M] = number(p->height_m);
            field[THEW_PEOPLE_MASS_KG] = number(p->mass_kg);
        }
        field[THEW_PEOPLE_CONDITION] = g_strdup(p->ms ? "ms" : "none");
        field[THEW_PEOPLE_ENDPOINT] = g_strdup(p->endpoint == SIM_TO_RESERVE ? "reserve" : "failure");
        field[THEW_PEOPLE_WEAKER_SIDE] = g_strdup(p->weaker_side == THEW_BOTH ? "" : thew_words_side(p->weaker_side));
        field[THEW_PEOPLE_HEAT_SENSITIVE] = g_strdup(p->heat_sensitive ? "yes" : "no");
        field[THEW_PEOPLE_EXERCISES] = exercise_ids(p->exercises);
        field[THEW_PEOPLE_CAUTIONS] = g_strdup(p->cautions);
        field[THEW_PEOPLE_NOTE] = g_strdup(p->note);
        end_row(out, field, THEW_PEOPLE_COLUMNS);
    }
}

// --- kit.csv ---------------------------------------------------------------------------------------------------------------------

static void begin_piece(char **field, const cast_person *who, const cast_piece *piece)
{
    field[THEW_KIT_PERSON] = g_strdup(who->id);
    field[THEW_KIT_IMPLEMENT] = g_strdup(piece->label);
    field[THEW_KIT_KIND] = g_strdup(thew_implement_kind_id(piece->kind));
    if (piece->mass_kg > 0) field[THEW_KIT_MASS_KG] = number(piece->mass_kg);
    if (piece->rest_length_m > 0) field[THEW_KIT_REST_LENGTH_M] = number(piece->rest_length_m);
}

static void write_piece(GString *out, const play_studio *studio, int person, int piece)
{
    const cast_person *who = &cast_people[person];
    const cast_piece *p = &cast_pieces[piece];
    char *field[THEW_KIT_COLUMNS] = { 0 };
    if (p->reading_count == 0) {
        begin_piece(field, who, p);
        if (p->rest_length_m > 0) field[THEW_KIT_STEP] = g_strdup_printf("%d", p->step);
        end_row(out, field, THEW_KIT_COLUMNS);
        return;
    }
    for (guint r = 0; r < studio->reading->len; r++) {
        const play_reading *reading = &g_array_index(studio->reading, play_reading, r);
        if (reading->person != person || reading->piece != piece) continue;
        begin_piece(field, who, p);
        field[THEW_KIT_LENGTH_M] = number(reading->length_m);
        field[THEW_KIT_FORCE_KGF] = tenths(reading->kgf);
        field[THEW_KIT_MEASURED] = g_strdup(reading->measured);
        end_row(out, field, THEW_KIT_COLUMNS);
    }
}

void write_kit(GString *out, const play_studio *studio)
{
    begin(out, "The kit", thew_kit_csv_template);
    for (int i = 0; i < cast_people_count; i++)
        for (int p = 0; p < cast_piece_count; p++)
            if (strcmp(cast_pieces[p].kit, cast_people[i].kit) == 0) write_piece(out, studio, i, p);
}

// --- diary.csv -------------------------------------------------------------------------------------------------------------------

void write_diary(GString *out, const play_studio *studio)
{
    begin(out, "The diary", thew_diary_csv_template);
    for (guint i = 0; i < studio->set->len; i++) {
        const play_set *set = &g_array_index(studio->set, play_set, i);
        char *field[THEW_DIARY_COLUMNS] = { 0 };
        field[THEW_DIARY_DATE] = thew_words_date(set->day);
        field[THEW_DIARY_PERSON] = g_strdup(cast_people[set->person].id);
        field[THEW_DIARY_EXERCISE] = g_strdup(set->exercise);
        field[THEW_DIARY_VARIANT] = g_strdup(set->variant);
        field[THEW_DIARY_SIDE] = g_strdup(thew_words_side(set->side));
        field[THEW_DIARY_IMPLEMENT] = g_strdup(set->implement);
        field[THEW_DIARY_SETTING] = g_strdup(set->setting);
        field[THEW_DIARY_ENDED] = g_strdup(thew_words_ended(set->written.ended));
        field[THEW_DIARY_SECONDS] = g_strdup_printf("%.0f", set->written.seconds);
        if (set->written.ended == THEW_RESERVE && set->written.reserve_s >= 0)
            field[THEW_DIARY_RESERVE_S] = g_strdup_printf("%.0f", set->written.reserve_s);
        if (set->says_exertion) field[THEW_DIARY_EXERTION] = g_strdup_printf("%.0f", set->written.exertion);
        field[THEW_DIARY_RECORD] = g_strdup(set->record);
        field[THEW_DIARY_REPLACES] = g_strdup(set->replaces);
        field[THEW_DIARY_NOTE] = g_strdup(set->note);
        end_row(out, field, THEW_DIARY_COLUMNS);
    }
}

// --- days.csv --------------------------------------------------------------------------------------------------------------------

void write_days(GString *out, const play_studio *studio)
{
    begin(out, "The check-ins", thew_days_csv_template);
    for (guint i = 0; i < studio->day->len; i++) {
        const play_day *day = &g_array_index(studio->day, play_day, i);
        char *field[THEW_DAYS_COLUMNS] = { 0 };
        field[THEW_DAYS_DATE] = thew_words_date(day->day);
        field[THEW_DAYS_PERSON] = g_strdup(cast_people[day->person].id);
        if (day->has_room) {
            field[THEW_DAYS_ROOM_C] = number(day->room.room_c);
            field[THEW_DAYS_HUMIDITY_PERCENT] = number(day->room.humidity_percent);
        }
        if (day->has_scores) {
            field[THEW_DAYS_FATIGUE] = number(day->scores.fatigue);
            field[THEW_DAYS_SLEEP] = number(day->scores.sleep);
        }
        end_row(out, field, THEW_DAYS_COLUMNS);
    }
}

// --- truth.csv -------------------------------------------------------------------------------------------------------------------

void write_truth(GString *out, const play_studio *studio)
{
    static const char *const slip[SIM_SLIP_COUNT] = { "", "seconds", "implement", "side", "ending" };
    g_string_append(out, "# What is true of the demo studio's diary, row by row. Invented.\r\nlasts_s,wrong\r\n");
    for (guint i = 0; i < studio->set->len; i++) {
        const play_set *set = &g_array_index(studio->set, play_set, i);
        char *field[] = { tenths(set->lasts_s), g_strdup(slip[set->slip]) };
        end_row(out, field, 2);
    }
}
