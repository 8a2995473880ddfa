// statements.c: see statements.h.
#include "store/statements.h"

static const thew_sql_list *const all[] = {
    &thew_access_sql,  &thew_account_sql, &thew_addition_sql, &thew_advice_sql,  &thew_belief_sql, &thew_block_sql,
    &thew_checkin_sql, &thew_class_sql,   &thew_diary_sql,    &thew_inspect_sql, &thew_kit_sql,    &thew_migrate_sql,
    &thew_outcome_sql, &thew_person_sql,  &thew_remove_sql,   &thew_run_sql,     &thew_standing_sql, &thew_studio_sql, &thew_tables_sql,
};

const thew_sql_list *const *thew_statements(size_t *count)
{
    *count = G_N_ELEMENTS(all);
    return all;
}
