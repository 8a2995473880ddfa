// store.c: see store.h.
#include "store/store.h"

#include "store/migrate.h"

thew_store_status thew_store_open(const char *path, thew_db_mode mode, thew_db **db)
{
    thew_store_status status = thew_db_open(path, mode, db);
    if (status < 0) return status;
    size_t count;
    const thew_embedded *migration = thew_migrations(&count);
    return mode == THEW_DB_READ ? thew_migrate_check(*db, migration, count) : thew_migrate(*db, migration, count);
}
