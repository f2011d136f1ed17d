/*
 * YAML fault: what the parser complains about, in words that a farmer can act on, at the place
 * that tells most: the parser often notices a missing colon or bracket lines later.
 *
 * Only for base/yaml.c; others see the problem it makes.
 */
#ifndef BASE_YAML_FAULT_H
#define BASE_YAML_FAULT_H

#include <yaml.h>

#include "base/yaml.h"

/* The problem of a parser that has just failed on this text. */
struct yaml_problem yaml_fault_of(struct arena *mem, const yaml_parser_t *parser, const char *text,
                                  size_t length);

#endif
