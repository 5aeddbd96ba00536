// jpeg.h - pixels to JPEG and back, for the generator of the example photos and its test.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// The program itself never links a codec: pictures are decoded by a reader in a jail.
#ifndef PHOTOS_JPEG_H
#define PHOTOS_JPEG_H

#include "photos/scene.h"

// Bytes of a JPEG; the caller frees them with free(). Ends the program when libjpeg cannot.
unsigned char *jpeg_write(const struct pixels *pixels, int quality, size_t *size_out);
// The luma of a JPEG as rows of bytes in the arena; width and height set. NULL: out of memory.
unsigned char *jpeg_luma(struct bw_arena *arena, const unsigned char *bytes, size_t size,
                         int *width_out, int *height_out);

#endif
