// csv_nodes.h - a CSV file of records as the tree every other input becomes.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_BASE_CSV_NODES_H
#define BW_BASE_CSV_NODES_H

#include "base/node.h"
#include "base/csv.h"

// The first row names the fields, each later row is an item; comment lines begin with '#', an
// empty cell is a value not given. A name may carry a unit for its whole column: "area [m2]". The
// list's items are maps with the places of their cells, ready for bw_bind. Errors: BW_SYNTAX,
// BW_INPUT, BW_LIMIT, BW_MEMORY with file and place.
bool bw_csv_nodes(struct bw_arena *arena, const char *file, const char *bytes, size_t length,
                  struct bw_node **out, struct bw_err *err) BW_CHECKED;

#endif
