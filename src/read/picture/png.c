// png.c - PNG of every depth and colour kind to luma, interlaced or not.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Interlaced pictures are placed pass by pass straight into the room, so they need no picture of
// their own. A palette or fewer than 8 bits become 8-bit codes. Transparency is left aside, never
// mixed in: the stored colours are what was measured.
#include "base/alloc.h"
#include "read/picture/decode.h"

#include <png.h>
#include <setjmp.h>
#include <string.h>

// Ancillary chunks in one file: real ones have a dozen; endless ones keep a decoder busy.
#define MAX_CHUNKS 1000

struct reader {
    png_structp png;
    png_infop info;
    struct job *job;
    struct bw_err *err;
    unsigned char *row;  // one stored row, as the library gives it
    int channels, bits;  // of that row
    size_t chunks;
    uint32_t laid_out;  // the orientation by which the codes are placed
    bool animated;
};

static struct reader *of(png_structp png) { return png_get_error_ptr(png); }

static void on_error(png_structp png, png_const_charp words) {
    struct reader *reader = of(png);
    if (reader->job->source.at >= reader->job->source.size)
        (void)bw_fail(reader->err, BW_INPUT,
                      "the file ends early, after %llu bytes, in the middle of "
                      "the PNG; copy it again",
                      (unsigned long long)reader->job->source.size);
    else
        (void)bw_fail(reader->err, BW_INPUT, "the PNG is damaged near byte %llu (%s)",
                      (unsigned long long)reader->job->source.at, words);
    png_longjmp(png, 1);
}

static void on_warning(png_structp png, png_const_charp words) {
    (void)png;
    (void)words;
}

static void on_read(png_structp png, png_bytep to, size_t bytes) {
    struct reader *reader = of(png);
    uint64_t before = reader->job->source.at;
    if (source_read(&reader->job->source, to, bytes) == bytes) return;
    reader->job->source.at = reader->job->source.size;
    (void)bw_fail(reader->err, BW_INPUT,
                  "the file ends early, at byte %llu, in the middle of the PNG; "
                  "copy it again",
                  (unsigned long long)before);
    png_longjmp(png, 1);
}

// Chunks the library does not know come here. Animation control means there is no single picture.
static int on_chunk(png_structp png, png_unknown_chunkp chunk) {
    struct reader *reader = png_get_user_chunk_ptr(png);
    if (memcmp(chunk->name, "acTL", 4) == 0) reader->animated = true;
    if (++reader->chunks > MAX_CHUNKS) {
        (void)bw_fail(reader->err, BW_LIMIT,
                      "the PNG has more than %d side chunks; it is made to keep "
                      "a decoder busy",
                      MAX_CHUNKS);
        png_longjmp(png, 1);
    }
    return 1;  // dealt with, not kept
}

static bool begin(struct reader *reader) {
    // Texts, profiles and palettes of others are never read: they hold nothing we use and can be
    // bombs.
    static const unsigned char UNREAD[] =
        "tEXt\0zTXt\0iTXt\0iCCP\0sPLT\0hIST\0tIME\0oFFs\0pCAL\0sCAL\0bKGD";
    reader->png = png_create_read_struct(PNG_LIBPNG_VER_STRING, reader, on_error, on_warning);
    reader->info = reader->png == NULL ? NULL : png_create_info_struct(reader->png);
    if (reader->info == NULL) return bw_fail_memory(reader->err);
    png_set_read_fn(reader->png, reader, on_read);
    png_set_user_limits(reader->png, BW_MAX_PICTURE_SIDE, BW_MAX_PICTURE_SIDE);
    png_set_chunk_malloc_max(reader->png, 1 << 20);
    png_set_read_user_chunk_fn(reader->png, reader, on_chunk);
    png_set_keep_unknown_chunks(reader->png, PNG_HANDLE_CHUNK_IF_SAFE, UNREAD,
                                (int)(sizeof UNREAD / 5));
    png_set_crc_action(reader->png, PNG_CRC_ERROR_QUIT, PNG_CRC_ERROR_QUIT);
    return true;
}

static void take_gamma(struct reader *reader) {
    struct bw_picture_header *about = &reader->job->about;
    double gamma;
    int intent;
    if (png_get_sRGB(reader->png, reader->info, &intent) != 0) return;
    if (png_get_gAMA(reader->png, reader->info, &gamma) == 0) return;
    // 1/2.2 is how sRGB is written by programs that cannot say so.
    if (!(gamma >= 0.1 && gamma <= 10) || (gamma > 0.4545 && gamma < 0.4546)) return;
    about->transfer = gamma == 1 ? BW_TRANSFER_LINEAR : BW_TRANSFER_GAMMA;
    about->gamma = gamma == 1 ? 0 : 1 / gamma;
}

static void take_exif(struct reader *reader) {
    png_bytep bytes;
    png_uint_32 length;
    if (png_get_eXIf_1(reader->png, reader->info, &length, &bytes) != 0)
        about_exif(&reader->job->about, bytes, length);
}

static void take_about(struct reader *reader) {
    struct bw_picture_header *about = &reader->job->about;
    png_uint_32 across, down;
    int colour = png_get_color_type(reader->png, reader->info), unit;
    about->format = BW_FORMAT_PNG;
    about->file_bits = png_get_bit_depth(reader->png, reader->info);
    about->file_channels = png_get_channels(reader->png, reader->info);
    if ((colour & PNG_COLOR_MASK_ALPHA) != 0 ||
        png_get_valid(reader->png, reader->info, PNG_INFO_tRNS) != 0)
        about->flags |= BW_PICTURE_ALPHA;
    if (colour == PNG_COLOR_TYPE_PALETTE) about->flags |= BW_PICTURE_PALETTE;
    if (png_get_interlace_type(reader->png, reader->info) != PNG_INTERLACE_NONE)
        about->flags |= BW_PICTURE_PROGRESSIVE;
    if (png_get_pHYs(reader->png, reader->info, &across, &down, &unit) != 0 &&
        unit == PNG_RESOLUTION_METER) {
        about->scale = BW_SCALE_PHYS;
        about->x_per_m = across;
        about->y_per_m = down;
    }
    take_gamma(reader);
    take_exif(reader);
}

static bool open_row(struct reader *reader) {
    int colour = png_get_color_type(reader->png, reader->info);
    if (colour == PNG_COLOR_TYPE_PALETTE) png_set_palette_to_rgb(reader->png);
    if (png_get_bit_depth(reader->png, reader->info) < 8)
        png_set_expand_gray_1_2_4_to_8(reader->png);
    if (colour == PNG_COLOR_TYPE_PALETTE) png_set_strip_alpha(reader->png);
    png_set_swap(reader->png);  // 16-bit codes in the machine's order
#if __BYTE_ORDER__ == __ORDER_BIG_ENDIAN__
#error "png_set_swap is for little-endian machines"
#endif
    png_read_update_info(reader->png, reader->info);
    reader->channels = png_get_channels(reader->png, reader->info);
    reader->bits = png_get_bit_depth(reader->png, reader->info);
    size_t bytes = png_get_rowbytes(reader->png, reader->info);
    if (!sheet_open(&reader->job->sheet, png_get_image_width(reader->png, reader->info),
                    png_get_image_height(reader->png, reader->info), reader->bits, 3 * bytes,
                    reader->err))
        return false;
    reader->row = bw_alloc(bytes);
    return reader->row != NULL || bw_fail_memory(reader->err);
}

// Luma of pixel x of the row.
static uint16_t code_at(const struct reader *reader, uint32_t x) {
    size_t at = (size_t)x * (size_t)reader->channels;
    if (reader->bits == 8) {
        const unsigned char *p = reader->row + at;
        return reader->channels < 3 ? p[0] : luma8(p[0], p[1], p[2]);
    }
    uint16_t p[3] = {0};
    memcpy(p, reader->row + 2 * at, reader->channels < 3 ? 2 : 6);
    return reader->channels < 3 ? p[0] : luma16(p[0], p[1], p[2]);
}

static void read_rows(struct reader *reader) {
    struct sheet *sheet = &reader->job->sheet;
    for (uint32_t y = 0; y < sheet->height; y++) {
        png_read_row(reader->png, reader->row, NULL);
        void *line = sheet_line(sheet);
        if (reader->bits == 8)
            for (uint32_t x = 0; x < sheet->width; x++)
                ((uint8_t *)line)[x] = (uint8_t)code_at(reader, x);
        else
            for (uint32_t x = 0; x < sheet->width; x++) ((uint16_t *)line)[x] = code_at(reader, x);
        sheet_line_done(sheet);
    }
}

// Adam7 (PNG specification, section 8.2, from memory): each pass holds every so many-th column and
// row.
static const struct {
    uint32_t first_column, column_step, first_row, row_step;
} PASSES[7] = {
    {0, 8, 0, 8}, {4, 8, 0, 8}, {0, 4, 4, 8}, {2, 4, 0, 4},
    {0, 2, 2, 4}, {1, 2, 0, 2}, {0, 1, 1, 2},
};

static void read_passes(struct reader *reader) {
    struct sheet *sheet = &reader->job->sheet;
    for (size_t pass = 0; pass < 7; pass++) {
        uint32_t first = PASSES[pass].first_column, step = PASSES[pass].column_step;
        if (first >= sheet->width) continue;  // such a pass has no rows in the file
        for (uint32_t y = PASSES[pass].first_row; y < sheet->height; y += PASSES[pass].row_step) {
            png_read_row(reader->png, reader->row, NULL);
            for (uint32_t x = first, i = 0; x < sheet->width; x += step, i++)
                sheet_set(sheet, x, y, code_at(reader, i));
        }
    }
}

static bool decode(struct reader *reader) {
    if (setjmp(png_jmpbuf(reader->png)) != 0) return false;
    png_read_info(reader->png, reader->info);
    take_about(reader);
    if (reader->animated)
        return bw_fail(reader->err, BW_UNSUPPORTED, "the PNG is animated; save one picture of it");
    reader->laid_out = reader->job->about.orientation;
    if (!open_row(reader)) return false;
    if (png_get_interlace_type(reader->png, reader->info) == PNG_INTERLACE_NONE)
        read_rows(reader);
    else
        read_passes(reader);
    png_read_end(reader->png, reader->info);
    take_exif(reader);  // may stand behind the picture
    return true;
}

static bool decode_once(struct reader *reader) {
    bool ok = begin(reader) && decode(reader);
    png_destroy_read_struct(&reader->png, &reader->info, NULL);
    bw_free(reader->row);
    reader->row = NULL;
    return ok;
}

bool decode_png(struct job *job, struct bw_err *err) {
    struct reader reader = {.job = job, .err = err};
    for (int round = 0;; round++) {
        if (!decode_once(&reader)) return false;
        // Turned by an EXIF block behind the picture: once more, now that it is known.
        if (round > 0 || reader.laid_out == job->about.orientation) return true;
        sheet_close(&job->sheet);
        job->source.at = 0;
        reader.chunks = 0;
    }
}
