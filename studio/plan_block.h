// plan_block.h: training blocks: a person's weeks laid out, and what was done of them.
// Knows what a plan may say, and compares it with the diary. Leaves to others: which loads (advise.h), which exercises
// (compose_class.h), reminders.
#ifndef THEW_STUDIO_PLAN_BLOCK_H
#define THEW_STUDIO_PLAN_BLOCK_H

#include "store/block.h"
#include "studio/class_text.h"
#include "studio/studio.h"

/// A block as given or kept.
typedef struct {
    const char *block; // identifier
    int version;       // 1, or the next
    const char *person;
    const char *called;
    thew_date from_day, until_day; // both included
    bool retired;                  // given up
    thew_block_plan plan;          // class_text.h
    thew_utc made_us;              // the store's, as are the next
    const char *written_by;
} thew_block;

/// One week of a block, Monday to Sunday, cut off at the block's ends.
typedef struct {
    thew_day from_day, until_day;
    bool easier; // by the plan
    int planned; // sessions: days to train
    int done;    // days with a set on record
    bool over;   // the week is past
} thew_block_week;

typedef struct {
    thew_block block;
    GArray *week;      // thew_block_week
    int planned, done; // sessions of the weeks that are over
    char *words;       // a sentence: planned against done
    GPtrArray *note;   // owned sentences: more than three sessions a week; no rest day between; ...
} thew_block_whole;

typedef struct {
    GPtrArray *block; // thew_block_whole, owned, by day; those given up too
    GPtrArray *held;  // what holds the texts
} thew_blocks;
void thew_blocks_free(thew_blocks *blocks);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_blocks, thew_blocks_free)

/// Keep a block's next version.
///   verdict   THEW_DONE; THEW_DONE_BEFORE; THEW_CONFLICT (not the next version, or of another person); THEW_ABSENT (the person);
///             THEW_INVALID with "/from_day", "/plan/weekdays/1", ...
thew_verdict thew_plan_block(thew_studio *studio, const thew_actor *actor, const thew_block *block, thew_refusal *refusal);
/// The latest version of each of a person's blocks.
thew_verdict thew_plan_block_list(thew_studio *studio, const char *person, thew_blocks **blocks, thew_refusal *refusal);

/// What is unusual about a plan, as sentences: it may be kept all the same. Owned strings.
GPtrArray *thew_plan_block_notes(const thew_block_plan *plan);
/// Whether a day is one to train by a plan: on one of its weekdays.
bool thew_plan_block_trains(const thew_block *block, thew_day day);

#endif
