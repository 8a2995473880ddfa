// string.h: as much of it as the engine may use (tests/purity holds it to that). The functions are in wasm/memory.c.
#ifndef THEW_WASM_STRING_H
#define THEW_WASM_STRING_H

#include <stddef.h>

void *memcpy(void *restrict to, const void *restrict from, size_t size);
void *memmove(void *to, const void *from, size_t size);
void *memset(void *to, int byte, size_t size);
int memcmp(const void *a, const void *b, size_t size);

#endif
