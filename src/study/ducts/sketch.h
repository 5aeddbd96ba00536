// sketch.h - a sketch of one trunk turned into lines and junctions.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_DUCTS_SKETCH_H
#define BW_STUDY_DUCTS_SKETCH_H

#include "base/arena.h"
#include "study/ducts/file.h"

// Writes struct ducts_line and struct ducts_junction lists that live in the arena. False: out of
// memory.
bool ducts_sketch(struct bw_arena *arena, const struct ducts_file *file, struct bw_list *lines,
                  struct bw_list *junctions);

#endif
