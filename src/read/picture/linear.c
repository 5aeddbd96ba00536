// linear.c - see linear.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "read/picture/linear.h"

#include <math.h>
#include <stddef.h>

static double srgb(double v) { return v <= 0.04045 ? v / 12.92 : pow((v + 0.055) / 1.055, 2.4); }

// The camera side of BT.709 turned round, with the constants for which its two parts meet; the
// recommendation rounds them to 1.099 and 0.018, which would make the table fall at the joint.
#define REC709_A 1.09929682680944
#define REC709_B 0.018053968510807

static double rec709(double v) {
    return v < 4.5 * REC709_B ? v / 4.5 : pow((v + REC709_A - 1) / REC709_A, 1 / 0.45);
}

static double light(const struct bw_picture_header *header, double v) {
    switch (header->transfer) {
    case BW_TRANSFER_GAMMA: return pow(v, header->gamma);
    case BW_TRANSFER_REC709: return rec709(v);
    case BW_TRANSFER_LINEAR: return v;
    default: return srgb(v);
    }
}

void linear_fill(const struct bw_picture_header *header, float *linear) {
    size_t n = (size_t)1 << header->bits;
    bool narrow = (header->flags & BW_PICTURE_NARROW) != 0;
    // Narrow range of n bits: black 16 and white 235, each times 2^(n - 8), of 2^n - 1.
    double unit = ldexp(1, (int)header->file_bits - 8) / (ldexp(1, (int)header->file_bits) - 1);
    for (size_t i = 0; i < n; i++) {
        double v = (double)i / (double)(n - 1);
        if (narrow) v = (v / unit - 16) / 219;
        linear[i] = (float)light(header, v < 0 ? 0 : v > 1 ? 1 : v);
    }
}
