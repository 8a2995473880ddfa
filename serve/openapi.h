// openapi.h: the description of the whole interface (OpenAPI 3.1), as part of the program. tools/openapi makes it.
#ifndef THEW_OPENAPI_H
#define THEW_OPENAPI_H

#include <stddef.h>

const char *thew_openapi_json(void);
size_t thew_openapi_size(void);

#endif
