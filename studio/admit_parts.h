// admit_parts.h: what the files of admit.h share with one another.
#ifndef THEW_STUDIO_ADMIT_PARTS_H
#define THEW_STUDIO_ADMIT_PARTS_H

#include "studio/admit.h"

#define THEW_LOGIN_MIN 2 // characters
#define THEW_LOGIN_MAX 64

/// A login as it is kept and compared: lower case, one form of each letter. Newly allocated; NULL if it can be none.
char *thew_login_normal(const char *login);

/// Inside a transaction: a new session of an account, with its token and its visitor.
thew_store_status thew_session_begin(thew_studio *studio, const thew_store_account *account, thew_admitted *admitted);
/// The visitor of an account.
thew_store_status thew_visitor_read(thew_studio *studio, const thew_store_account *account, const char *token,
                                    thew_visitor **visitor);
/// Inside a transaction: close an account, with its sessions and links. THEW_STORE_NOT_FOUND if there is none that is open.
thew_store_status thew_account_close_within(thew_studio *studio, const thew_actor *actor, const char *account);

#endif
