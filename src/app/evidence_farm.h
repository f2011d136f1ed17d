/*
 * What the farm file tells a judgement beside readings: accreditations of laboratories, tide
 * tables, sizes and multipliers of meters.
 */
#ifndef APP_EVIDENCE_FARM_H
#define APP_EVIDENCE_FARM_H

#include "base/crypto.h"
#include "farmfile/farm.h"
#include "judge/evidence.h"

/*
 * Fill those lists of the evidence; the texts stay the farm's. A laboratory is told by every name
 * that its results come under. All of it goes into the digest, so that a verdict is made again
 * when any of it changes.
 */
void evidence_farm_fill(struct arena *mem, const struct farm *farm, struct evidence *evidence,
                        struct sha256_state *digest);

#endif
