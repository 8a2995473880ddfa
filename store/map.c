// map.c: see map.h.
#include "store/map.h"

#include <string.h>

#include "store/map_value.h"

thew_utc thew_utc_now(void)
{
    return (thew_utc){ g_get_real_time() };
}

// --- rows

thew_rows *thew_rows_new(size_t row_size)
{
    thew_rows *rows = g_new0(thew_rows, 1);
    rows->row = g_array_new(FALSE, TRUE, (guint)row_size);
    rows->words = g_string_chunk_new(4096);
    return rows;
}

void thew_rows_free(thew_rows *rows)
{
    if (rows == NULL) return;
    g_array_unref(rows->row);
    g_string_chunk_free(rows->words);
    g_free(rows);
}

const void *thew_rows_at(const thew_rows *rows, size_t row_size, guint i)
{
    g_assert(i < rows->row->len && row_size == g_array_get_element_size(rows->row));
    return rows->row->data + i * row_size;
}

// --- members to values

static thew_db_value integer(gint64 value)
{
    return (thew_db_value){ .type = THEW_DB_INTEGER, .integer = value };
}

static thew_db_value real(double value)
{
    return (thew_db_value){ .type = THEW_DB_REAL, .real = value };
}

static thew_db_value bytes(thew_db_type type, const void *at, size_t size)
{
    return at == NULL ? (thew_db_value){ .type = THEW_DB_NULL } : (thew_db_value){ .type = type, .bytes = at, .size = size };
}

thew_db_value thew_value_text(const char *text)
{
    return bytes(THEW_DB_TEXT, text, text != NULL ? strlen(text) : 0);
}

thew_db_value thew_value_date(thew_date date, char scratch[THEW_DATE_TEXT])
{
    if (date.year == 0) return (thew_db_value){ .type = THEW_DB_NULL };
    g_assert(thew_date_exists(date));
    return thew_value_text(thew_date_text(date, scratch));
}

thew_db_value thew_field_value(const thew_field *field, const void *row, char scratch[THEW_DATE_TEXT])
{
    const void *member = (const char *)row + field->offset;
    switch (field->kind) {
    case THEW_FIELD_TEXT:
        return thew_value_text(*(const char *const *)member);
    case THEW_FIELD_INT:
        return integer(*(const int *)member);
    case THEW_FIELD_INT64:
        return integer(*(const gint64 *)member);
    case THEW_FIELD_BOOL:
        return integer(*(const bool *)member);
    case THEW_FIELD_REAL:
        return real(*(const double *)member);
    case THEW_FIELD_MAYBE: {
        const thew_maybe_real *maybe = member;
        return maybe->known ? real(maybe->value) : (thew_db_value){ .type = THEW_DB_NULL };
    }
    case THEW_FIELD_DATE:
        return thew_value_date(*(const thew_date *)member, scratch);
    case THEW_FIELD_UTC: {
        const thew_utc *utc = member;
        return utc->us != 0 ? integer(utc->us) : (thew_db_value){ .type = THEW_DB_NULL };
    }
    case THEW_FIELD_BLOB: {
        const thew_blob *blob = member;
        return bytes(THEW_DB_BLOB, blob->bytes, blob->size);
    }
    }
    g_assert_not_reached();
}

// --- values to members

static thew_db_type kept_as(thew_field_kind kind)
{
    switch (kind) {
    case THEW_FIELD_TEXT:
    case THEW_FIELD_DATE:
        return THEW_DB_TEXT;
    case THEW_FIELD_REAL:
    case THEW_FIELD_MAYBE:
        return THEW_DB_REAL;
    case THEW_FIELD_BLOB:
        return THEW_DB_BLOB;
    default:
        return THEW_DB_INTEGER;
    }
}

static bool may_be_null(thew_field_kind kind)
{
    return kind != THEW_FIELD_INT && kind != THEW_FIELD_INT64 && kind != THEW_FIELD_BOOL && kind != THEW_FIELD_REAL;
}

// Of the right type already; what is left can be wrong in a bent file only.
static bool take(thew_field_kind kind, void *member, const thew_db_value *value, GStringChunk *words)
{
    switch (kind) {
    case THEW_FIELD_TEXT:
        *(const char **)member = g_string_chunk_insert_len(words, value->bytes, (gssize)value->size);
        return g_utf8_validate(value->bytes, (gssize)value->size, NULL);
    case THEW_FIELD_INT:
        *(int *)member = (int)value->integer;
        return value->integer >= G_MININT && value->integer <= G_MAXINT;
    case THEW_FIELD_INT64:
        *(gint64 *)member = value->integer;
        return true;
    case THEW_FIELD_BOOL:
        *(bool *)member = value->integer != 0;
        return value->integer == 0 || value->integer == 1;
    case THEW_FIELD_REAL:
        *(double *)member = value->real;
        return true;
    case THEW_FIELD_MAYBE:
        *(thew_maybe_real *)member = (thew_maybe_real){ true, value->real };
        return true;
    case THEW_FIELD_DATE: {
        thew_date *date = member;
        return value->size == THEW_DATE_TEXT - 1 && thew_date_parse(value->bytes, date) && thew_date_exists(*date);
    }
    case THEW_FIELD_UTC:
        *(thew_utc *)member = (thew_utc){ value->integer };
        return true;
    case THEW_FIELD_BLOB:
        *(thew_blob *)member = (thew_blob){ g_string_chunk_insert_len(words, value->bytes, (gssize)value->size), value->size };
        return true;
    }
    g_assert_not_reached();
}

bool thew_field_take(const thew_field *field, void *row, const thew_db_value *value, GStringChunk *words)
{
    if (value->type == THEW_DB_NULL) return may_be_null(field->kind); // the row was all zero
    return value->type == kept_as(field->kind) && take(field->kind, (char *)row + field->offset, value, words);
}

// --- digest

static void digest_value(GChecksum *sum, const thew_db_value *value)
{
    guint64 bits = (guint64)value->integer;
    if (value->type == THEW_DB_REAL) {
        double number = value->real == 0 ? 0 : value->real; // one zero, not two
        memcpy(&bits, &number, sizeof bits);
    }
    if (value->type == THEW_DB_TEXT || value->type == THEW_DB_BLOB) {
        bits = value->size;
    }
    bits = GUINT64_TO_LE(bits);
    g_checksum_update(sum, (const guchar *)&bits, sizeof bits);
    if (value->bytes != NULL) g_checksum_update(sum, (const guchar *)value->bytes, (gssize)value->size);
}

static void digest_members(GChecksum *sum, const thew_map *map, int from, int until, const void *row)
{
    for (int i = from; i < until; i++) {
        char scratch[THEW_DATE_TEXT];
        thew_db_value value = thew_field_value(&map->field[i], row, scratch);
        if (value.type == THEW_DB_NULL) continue;
        g_checksum_update(sum, (const guchar *)map->field[i].column, (gssize)strlen(map->field[i].column) + 1);
        digest_value(sum, &value);
    }
}

void thew_map_digest(const thew_map *map, const void *row, char digest[THEW_DIGEST_TEXT])
{
    g_autoptr(GChecksum) sum = g_checksum_new(G_CHECKSUM_SHA256);
    digest_members(sum, map, 0, map->given, row);
    g_strlcpy(digest, g_checksum_get_string(sum), THEW_DIGEST_TEXT);
}

void thew_map_seal(const thew_map *map, const void *row, char seal[THEW_SEAL_TEXT])
{
    thew_map_digest(map, row, seal);
    g_autoptr(GChecksum) sum = g_checksum_new(G_CHECKSUM_SHA256);
    g_checksum_update(sum, (const guchar *)seal, THEW_DIGEST_TEXT - 1);
    digest_members(sum, map, map->given, map->count - 1, row); // the last is the seal itself
    g_strlcpy(seal + THEW_DIGEST_TEXT - 1, g_checksum_get_string(sum), THEW_SEAL_TEXT - THEW_DIGEST_TEXT + 1);
}
