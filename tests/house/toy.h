// toy.h - a small study with every kind of field, to drive through every face.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef TOY_H
#define TOY_H

#include "study/study.h"

extern const struct bw_study toy_study;

// Puts the toy among the studies, once however often it is called.
void toy_register(void);

#endif
