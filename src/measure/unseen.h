/*
 * Unseen: what people are told beside a publication that was not at hand when its formula was
 * written down here. Who relies on it compares with a copy of their own.
 */
#ifndef MEASURE_UNSEEN_H
#define MEASURE_UNSEEN_H

#define UNSEEN "not at hand when this was written: compare with your own copy"
#define UNSEEN_BOTH "neither at hand when this was written: compare with your own copies"

#endif
