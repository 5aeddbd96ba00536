// jpeg.c - see jpeg.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "photos/jpeg.h"

#include <stdio.h>

#include <jpeglib.h>

unsigned char *jpeg_write(const struct pixels *pixels, int quality, size_t *size_out) {
    struct jpeg_compress_struct jpeg;
    struct jpeg_error_mgr errors;
    jpeg.err = jpeg_std_error(&errors);
    jpeg_create_compress(&jpeg);
    unsigned char *bytes = NULL;
    unsigned long size = 0;
    jpeg_mem_dest(&jpeg, &bytes, &size);
    jpeg.image_width = (JDIMENSION)pixels->width;
    jpeg.image_height = (JDIMENSION)pixels->height;
    jpeg.input_components = 3;
    jpeg.in_color_space = JCS_RGB;
    jpeg_set_defaults(&jpeg);
    jpeg_set_quality(&jpeg, quality, TRUE);
    jpeg.optimize_coding = TRUE;
    jpeg.dct_method = JDCT_ISLOW;
    jpeg_start_compress(&jpeg, TRUE);
    while (jpeg.next_scanline < jpeg.image_height) {
        JSAMPROW row = pixels->rgb + (size_t)jpeg.next_scanline * (size_t)pixels->width * 3;
        jpeg_write_scanlines(&jpeg, &row, 1);
    }
    jpeg_finish_compress(&jpeg);
    jpeg_destroy_compress(&jpeg);
    *size_out = size;
    return bytes;
}

unsigned char *jpeg_luma(struct bw_arena *arena, const unsigned char *bytes, size_t size,
                         int *width_out, int *height_out) {
    struct jpeg_decompress_struct jpeg;
    struct jpeg_error_mgr errors;
    jpeg.err = jpeg_std_error(&errors);
    jpeg_create_decompress(&jpeg);
    jpeg_mem_src(&jpeg, bytes, (unsigned long)size);
    jpeg_read_header(&jpeg, TRUE);
    jpeg.out_color_space = JCS_GRAYSCALE;
    jpeg_start_decompress(&jpeg);
    size_t width = jpeg.output_width;
    unsigned char *luma = bw_arena_array(arena, width, jpeg.output_height);
    while (luma != NULL && jpeg.output_scanline < jpeg.output_height) {
        JSAMPROW row = luma + width * jpeg.output_scanline;
        jpeg_read_scanlines(&jpeg, &row, 1);
    }
    *width_out = (int)width;
    *height_out = (int)jpeg.output_height;
    if (luma != NULL) jpeg_finish_decompress(&jpeg);
    jpeg_destroy_decompress(&jpeg);
    return luma;
}
