/*
 * weirbook addition, tanks, mixing-trial, balance, pump-stops, feed, energy: what the records say
 * of tanks and ponds, what is put into them, and their pumps.
 */
#ifndef CLI_COMMAND_WORKS_H
#define CLI_COMMAND_WORKS_H

#include "cli/cli.h"

bool command_addition_add(struct cli *cli, struct err *err);
bool command_addition_list(struct cli *cli, struct err *err);
bool command_addition_take_back(struct cli *cli, struct err *err);
bool command_tanks(struct cli *cli, struct err *err);
bool command_pump_stops(struct cli *cli, struct err *err);
bool command_balance(struct cli *cli, struct err *err);
bool command_energy(struct cli *cli, struct err *err);
bool command_feed(struct cli *cli, struct err *err);
bool command_mixing_trial(struct cli *cli, struct err *err);

/* The words [STATION] [MONTH]: NULL, and the newest month with readings, where not given. */
bool works_words(struct cli *cli, const char **station, day_number *month, struct err *err);

#endif
