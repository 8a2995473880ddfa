// statements.h: every statement of the store, so that a test can prepare each of them on each database.
// Knows the subjects' lists. A statement that stands in none of them is found by a test.
#ifndef THEW_STORE_STATEMENTS_H
#define THEW_STORE_STATEMENTS_H

#include "store/query.h"

typedef struct {
    const thew_sql *sql; // [count]
    size_t count;
} thew_sql_list;

extern const thew_sql_list thew_access_sql, thew_account_sql, thew_addition_sql, thew_advice_sql, thew_belief_sql, thew_block_sql,
    thew_checkin_sql, thew_class_sql, thew_diary_sql, thew_inspect_sql, thew_kit_sql, thew_migrate_sql, thew_outcome_sql,
    thew_person_sql, thew_remove_sql, thew_run_sql, thew_standing_sql, thew_studio_sql, thew_tables_sql;

/// All of them.
const thew_sql_list *const *thew_statements(size_t *count);

#endif
