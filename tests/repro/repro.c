// repro.c: prints the reproducibility hash of this build.
#include <inttypes.h>
#include <stdio.h>

#include "tests/repro/repro_hash.h"

int main(void)
{
    printf("%016" PRIx64 "\n", thew_repro_hash());
    return 0;
}
