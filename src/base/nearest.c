// nearest.c - see nearest.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/nearest.h"

#include "base/utf8.h"

#include <string.h>

void bw_nearest_offer(struct bw_nearest *nearest, const char *candidate) {
    size_t longer = strlen(nearest->word), other = strlen(candidate);
    if (other > longer) longer = other;
    size_t distance = bw_text_distance(nearest->word, candidate);
    if (3 * distance > longer) return;
    if (nearest->best != NULL && distance >= nearest->distance) return;
    nearest->best = candidate;
    nearest->distance = distance;
}
