// linear.h - the table from a picture's codes to linear light.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_READ_PICTURE_LINEAR_H
#define BW_READ_PICTURE_LINEAR_H

#include "read/protocol.h"

// Fills linear[0 .. 2^bits) with light in 0..1 by header->transfer, gamma and the narrow-range
// flag. Error below half a unit of the float. Formulas: IEC 61966-2-1 (sRGB) and ITU-R BT.709, from
// memory.
void linear_fill(const struct bw_picture_header *header, float *linear);

#endif
