// repro_hash.h: one number for everything the engine computes over fixed inputs and the reference diaries.
// Knows which results go in, and in which order. Leaves to others: who compiles it how, and what it must be (tools/repro).
#ifndef THEW_REPRO_HASH_H
#define THEW_REPRO_HASH_H

#include <stdint.h>

/// FNV-1a, 64 bits, over the bits of every result. The same on every host, compiler and optimisation, or the engine is at fault.
uint64_t thew_repro_hash(void);

#endif
