// assert.h: an assertion that fails tells the page, which throws; see wasm/README.md.
#ifndef THEW_WASM_ASSERT_H
#define THEW_WASM_ASSERT_H

void thew_host_assertion_failed(const char *truth, const char *file, int line)
    __attribute__((noreturn, import_module("host"), import_name("assertion_failed")));

#define static_assert _Static_assert

#endif

// As the standard wants it: each inclusion looks at NDEBUG again.
#undef assert
#ifdef NDEBUG
#define assert(truth) ((void)0)
#else
#define assert(truth) ((truth) ? (void)0 : thew_host_assertion_failed(#truth, __FILE_NAME__, __LINE__))
#endif
