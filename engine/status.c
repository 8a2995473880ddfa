// status.c: see status.h.
#include "status.h"

#define CASE(name, code, sentence) \
    case name:                     \
        return sentence;

const char *thew_status_sentence(thew_status status)
{
    switch (status) { THEW_STATUS_LIST(CASE) }
    return "unknown status";
}
