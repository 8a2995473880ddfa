// shapes_print.c: every body's shape as JSON Schema, by its name; tools/openapi takes them over.
#include <stdio.h>

#include "serve/bodies.h"

int main(void)
{
    size_t count;
    const thew_shape *const *shape = thew_bodies(&count);
    json_t *all = json_object();
    for (size_t i = 0; i < count; i++)
        json_object_set_new(all, shape[i]->name, thew_shape_schema(shape[i]));
    json_dumpf(all, stdout, JSON_INDENT(1));
    putchar('\n');
    json_decref(all);
    return 0;
}
