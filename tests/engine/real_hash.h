// real_hash.h: one number that stands for the bits of every function of engine/real.h on fixed arguments.
#ifndef THEW_TESTS_REAL_HASH_H
#define THEW_TESTS_REAL_HASH_H

#include <stdint.h>

/// What thew_real_hash answers on every host. A change here is a change of the engine's bits, hence of every stored forecast.
#define REAL_HASH_EXPECTED 0x9c79ed58b70444dau

/// FNV-1a, 64 bits, over the results. Needs no library, so it runs as WebAssembly too.
uint64_t thew_real_hash(void);

#endif
