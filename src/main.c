/* weirbook: see cli/cli.h. */

#include "cli/cli.h"

int main(int argc, char **argv)
{
    return cli_main(argc > 0 ? argc - 1 : 0, (const char *const *)(argc > 0 ? argv + 1 : argv));
}
