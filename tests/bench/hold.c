/*
 * Holds the private server of a data folder, so that what is measured beside it neither starts nor
 * stops one: prints where it answers, and lets go when its input ends.
 *
 *     bench_hold FOLDER
 */
#include <stdio.h>

#include "cluster/cluster.h"

int main(int argc, char **argv)
{
    CLEANUP(cluster_leave) struct cluster *cluster = NULL;
    struct err err = ERR_INIT;

    if (argc != 2) {
        fputs("usage: bench_hold FOLDER\n", stderr);
        return 2;
    }
    if (!cluster_hold(argv[1], true, &cluster, &err)) {
        fprintf(stderr, "bench_hold: %s\n%s\n", err.text, err.hint);
        return 1;
    }
    printf("%s\n", cluster_conninfo(cluster));
    fflush(stdout);
    while (getchar() != EOF)
        continue;

    return 0;
}
