// status.c: see status.h.
#include "store/status.h"

#define CASE(name, code, sentence)                                                                                                 \
    case name:                                                                                                                     \
        return sentence;

const char *thew_store_status_sentence(thew_store_status status)
{
    switch (status) {
        THEW_STORE_STATUS_LIST(CASE)
    }
    return "unknown status";
}
