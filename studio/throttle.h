// throttle.h: who failed of late, and how long they have to wait; for the files of admit.h only.
// Knows keys and times. Leaves to others: what was tried. Shared by threads.
#ifndef THEW_STUDIO_THROTTLE_H
#define THEW_STUDIO_THROTTLE_H

#include "studio/admit.h"

#define THEW_TRIES_LOGIN 5
#define THEW_TRIES_ADDRESS 20
#define THEW_THROTTLE_WAIT_MAX_S 900
#define THEW_THROTTLE_KEYS_MAX 10000

/// Begin a try for a login from an address (NULL: unknown). It counts as failed until it is told to have succeeded, so that many at
/// once gain nothing.
///   returns   0, or the seconds to wait: then it did not count
int thew_throttle_begin(thew_throttle *throttle, const char *login, const char *address, thew_utc now);
/// It succeeded: failures of this login are forgotten, and this try of the address is.
void thew_throttle_succeeded(thew_throttle *throttle, const char *login, const char *address);

#endif
