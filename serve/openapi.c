// openapi.c: see openapi.h.
#include "serve/openapi.h"

#include "tools/embedded.h"

extern const thew_embedded thew_embedded_openapi[];

const char *thew_openapi_json(void)
{
    return thew_embedded_openapi[0].bytes;
}

size_t thew_openapi_size(void)
{
    return thew_embedded_openapi[0].size;
}
