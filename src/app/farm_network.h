/*
 * Farm network: the flows of farm_flows.h that nobody measured, worked out from the paths, and
 * what follows from all of them. Only for farm_flows.c.
 */
#ifndef APP_FARM_NETWORK_H
#define APP_FARM_NETWORK_H

#include "app/farm_flows.h"

/* Stations and paths are there; the rest is filled in. What can't be worked out says why. */
void farm_network_work_out(struct arena *mem, struct farm_flows *flows);

#endif
