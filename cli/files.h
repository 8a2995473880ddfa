// files.h: the coach's files, read together and turned into what the studio works with.
// Knows how people.csv, kit.csv, diary.csv and days.csv belong together. Leaves to others: each format (exchange), the work (studio).
#ifndef THEW_FILES_H
#define THEW_FILES_H

#include "catalogue/catalogue.h"
#include "exchange/cross_check.h"
#include "studio/participant.h"

typedef struct {
    const char *people, *kit, *diary, *days; // paths, "-" for standard input; NULL: not given
} thew_paths;

/// Standard input can be read once: false if more than one path is "-".
bool thew_paths_use_input_once(thew_paths paths);

/// Everything read, and what was made of it.
typedef struct {
    thew_trouble_list *trouble;
    thew_people_csv *people;
    thew_kit_csv *kit;
    thew_diary_csv *diary;
    thew_days_csv *days;
    GPtrArray *participant; // owned: thew_participant, in the order of people.csv; NULL if anything was wrong
} thew_files;

/// Read and check all files that are given. All findings are collected before anything is given up.
///   today     the latest date that a record may have; all-zero: any
thew_files *thew_files_read(const thew_catalogue *catalogue, thew_paths paths, thew_date today);
void thew_files_free(thew_files *files);
G_DEFINE_AUTOPTR_CLEANUP_FUNC(thew_files, thew_files_free)

/// The participant of that name, or NULL.
const thew_participant *thew_files_find(const thew_files *files, const char *person);

#endif
