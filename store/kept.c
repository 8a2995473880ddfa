// kept.c: see kept.h.
#include "store/kept.h"

#include <string.h>

thew_store_status thew_kept_compare(thew_db *db, const thew_map *map, const thew_rows *kept, const void *given, const char *name)
{
    if (kept->row->len == 0) return THEW_STORE_OK;
    char ours[THEW_DIGEST_TEXT], theirs[THEW_DIGEST_TEXT];
    thew_map_digest(map, kept->row->data, ours);
    thew_map_digest(map, given, theirs);
    if (strcmp(ours, theirs) == 0) return THEW_STORE_REPEATED;
    return thew_db_fail(db, THEW_STORE_CONFLICT, "%s, with another content", name);
}

thew_store_status thew_kept_find_version(thew_db *db, const thew_sql *find, const char *studio, const char *name, int version,
                                         const thew_map *map, thew_rows **rows)
{
    thew_query query = thew_query_of(db, find);
    thew_query_text(&query, studio);
    thew_query_text(&query, name);
    thew_query_integer(&query, version);
    return thew_query_rows(&query, map, rows);
}

static thew_store_status must_be_next(thew_db *db, const thew_sql *last, const char *studio, const char *name, int version)
{
    gint64 latest;
    thew_query query = thew_query_of(db, last);
    thew_query_text(&query, studio);
    thew_query_text(&query, name);
    thew_store_status status = thew_query_number(&query, 0, &latest);
    if (status < 0 || version == latest + 1) return status;
    return thew_db_fail(db, THEW_STORE_CONFLICT, "%s, version %d: the next one is %" G_GINT64_FORMAT, name, version, latest + 1);
}

thew_store_status thew_kept_next_version(thew_db *db, const thew_kept_versions *versions, const char *studio, const char *name,
                                         int version, const thew_map *map, const void *given)
{
    g_autoptr(thew_rows) kept = NULL;
    thew_store_status status = thew_kept_find_version(db, versions->find, studio, name, version, map, &kept);
    if (status >= 0) status = thew_kept_compare(db, map, kept, given, name);
    if (status == THEW_STORE_OK) status = must_be_next(db, versions->last, studio, name, version);
    if (status != THEW_STORE_OK) return status;
    return thew_query_put(db, versions->add, THEW_KEYS(studio), map, given);
}

static const char *text_of(const thew_field *field, const char *row)
{
    g_assert(field->kind == THEW_FIELD_TEXT);
    return *(const char *const *)(const void *)(row + field->offset);
}

void thew_kept_check(const thew_map *map, const thew_rows *rows, const char *studio, GPtrArray *finding)
{
    for (guint i = 0; i < rows->row->len; i++) {
        const char *row = thew_rows_at(rows, map->size, i);
        char seal[THEW_SEAL_TEXT];
        thew_map_seal(map, row, seal);
        if (strcmp(seal, text_of(&map->field[map->count - 1], row)) != 0)
            g_ptr_array_add(finding, g_strdup_printf("studio %s: %s %s is not what was written", studio, map->field[0].column,
                                                     text_of(&map->field[0], row)));
    }
}
