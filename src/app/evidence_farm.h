/*
 * What the farm file tells a judgement beside readings: accreditations of laboratories, tide
 * tables, sizes and multipliers of meters.
 */
#ifndef APP_EVIDENCE_FARM_H
#define APP_EVIDENCE_FARM_H

#include "farmfile/farm.h"
#include "judge/evidence.h"

/*
 * Fill those lists of the evidence; the texts stay the farm's. A laboratory is told by every name
 * that its results come under.
 */
void evidence_farm_fill(struct arena *mem, const struct farm *farm, struct evidence *evidence);

#endif
