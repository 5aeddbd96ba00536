// nearest.h - the known word nearest to a misspelt one, for "did you mean".
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_BASE_NEAREST_H
#define BW_BASE_NEAREST_H

#include <stddef.h>

// Zero-initialise, set `word`, offer the candidates one after another, read `best`: NULL when none is
// near enough to be meant (more than a third of the longer word would have to change). The first of equals wins.
struct bw_nearest {
    const char *word, *best;
    size_t distance;
};
void bw_nearest_offer(struct bw_nearest *nearest, const char *candidate);

#endif
