// memory.c: the four functions that a compiler may call by itself, for a host without a C library.
// The first three are single instructions of WebAssembly (bulk memory).
#include <string.h>

void *memcpy(void *restrict to, const void *restrict from, size_t size)
{
    return __builtin_memcpy(to, from, size);
}

void *memmove(void *to, const void *from, size_t size)
{
    return __builtin_memmove(to, from, size);
}

void *memset(void *to, int byte, size_t size)
{
    return __builtin_memset(to, byte, size);
}

int memcmp(const void *a, const void *b, size_t size)
{
    const unsigned char *left = a, *right = b;
    for (size_t i = 0; i < size; i++)
        if (left[i] != right[i]) return left[i] < right[i] ? -1 : 1;
    return 0;
}
