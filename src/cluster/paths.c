#include "cluster/paths.h"

struct paths paths_of(struct arena *mem, const char *data_folder)
{
    return (struct paths){
        .data = arena_strdup(mem, data_folder),
        .postgres = arena_printf(mem, "%s/postgres", data_folder),
        .fresh = arena_printf(mem, "%s/postgres.new", data_folder),
        .start_lock = arena_printf(mem, "%s/start.lock", data_folder),
        .users_lock = arena_printf(mem, "%s/users.lock", data_folder),
        .start_log = arena_printf(mem, "%s/start.log", data_folder),
        .make_log = arena_printf(mem, "%s/make.log", data_folder),
    };
}
