// hand_out.h: everything that is kept, handed out: of a studio, or of one person.
// Knows which file says what. Leaves to others: how a row is written (exchange/, as_file.h), who may ask for it (may.h).
//
//   people.csv kit.csv diary.csv days.csv    what the coach's files can say, corrections and what they replaced included; reading
//   them
//                                            into an empty studio (take_in.h) and handing them out again gives the same bytes
//   *.jsonl                                  all that is kept, table by table: a JSON object a line, members named as the columns
//   are
//                                            (store/migrations/ says what each means), instants and days as RFC 3339 texts, numbers
//                                            in SI, null for unknown or without end. Texts that are JSON themselves stand there as
//                                            such
//   contents.txt                             this list
//
// Left out: secrets (hashes of passwords, links, sessions) and what the engine can make anew from the diary (the belief).
#ifndef THEW_STUDIO_HAND_OUT_H
#define THEW_STUDIO_HAND_OUT_H

#include "studio/studio.h"

typedef enum { THEW_SHEET_PEOPLE, THEW_SHEET_KIT, THEW_SHEET_DIARY, THEW_SHEET_DAYS, THEW_SHEET_COUNT } thew_sheet;
/// "people.csv", ...
const char *thew_sheet_name(thew_sheet sheet);

/// One of the coach's files; noted in the log as read.
///   person   identifier; NULL: everybody's. A person's kit is their own and everybody's
///   out      appended to; whole unless the verdict is another than THEW_DONE
///   verdict  THEW_DONE, THEW_ABSENT (no such person), THEW_UNABLE
thew_verdict thew_hand_out_sheet(thew_studio *studio, const thew_actor *actor, thew_sheet sheet, const char *person, GString *out,
                                 thew_refusal *refusal);

typedef struct {
    char *name;
    GString *text;
} thew_handed;

/// All files, as of one moment; noted in the log of everybody whose records are in them, as removal asks for (remove.h).
///   files    out: owned thew_handed, in a fixed order; NULL unless THEW_DONE
thew_verdict thew_hand_out(thew_studio *studio, const thew_actor *actor, const char *person, GPtrArray **files,
                           thew_refusal *refusal);
/// The same in one ZIP file. What is the same gives the same bytes.
thew_verdict thew_hand_out_zip(thew_studio *studio, const thew_actor *actor, const char *person, GBytes **zip,
                               thew_refusal *refusal);

/// People and kit of a studio as a files' check looks names up (thew_known). For take_in.h; within a transaction.
thew_store_status thew_hand_out_within(thew_studio *studio, thew_sheet sheet, const char *person, GString *out);

#endif
