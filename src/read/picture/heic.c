// heic.c - HEIC stills (one coded picture, or a grid of them as telephones write) to luma.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// The boxes are read here and the pictures in them decoded by libde265, tile by tile straight into
// the room. The usual library above it joins the tiles in a colour picture of 3 bytes a pixel and
// turns a copy of that, starts threads, loads plugins, and brings four more codecs into the jail; a
// 48-megapixel photo would not fit. It remains the independent decoder in the tests.
#include "base/alloc.h"
#include "read/picture/boxes.h"
#include "read/picture/decode.h"

#include <string.h>

#include <libde265/de265.h>

// A directory has some kilobytes, with a thumbnail inside perhaps a megabyte.
#define MAX_META ((uint64_t)4 << 20)
#define MAX_TILES 4096
struct reader {
    struct job *job;
    struct bw_err *err;
    unsigned char *meta;
    struct items items;
    uint32_t width, height;            // of the main picture as coded
    uint32_t left, top, across, down;  // the part of it that is shown
    uint32_t columns, rows;            // of tiles; 0: not a grid
    bool ranged;                       // colr has said whether the range is narrow
    uint16_t *scaled;                  // one row of a deep tile
};

bool heic_prepare(struct bw_err *err) {
    return de265_isOK(de265_init()) || bw_fail(err, BW_FAILED, "the HEIC decoder cannot be set up");
}

static bool damaged(struct reader *reader, const char *words) {
    return bw_fail(reader->err, BW_INPUT, "the HEIC is damaged or of a kind not read here (%s)",
                   words);
}

// Items' data

// Where a piece lies and how much of it there is. False: outside of the file.
static bool piece_fits(const struct reader *reader, struct piece *piece) {
    uint64_t room = piece->inside ? reader->items.inner.left : reader->job->source.size;
    if (piece->at > room) return false;
    if (piece->size == 0) piece->size = room - piece->at;
    return piece->size <= room - piece->at;
}

static bool piece_read(const struct reader *reader, const struct piece *piece, unsigned char *to) {
    if (piece->inside) {
        memcpy(to, reader->items.inner.at + piece->at, (size_t)piece->size);
        return true;
    }
    size_t n = source_read_at(&reader->job->source, piece->at, to, (size_t)piece->size);
    return n == piece->size;
}

// All pieces of an item in one block for the caller to free; at most `most` bytes.
static bool item_read(struct reader *reader, uint32_t id, uint64_t most, struct bytes *out) {
    uint64_t total = 0;
    struct piece piece;
    unsigned char *block = NULL;
    for (size_t n = 0; item_piece(&reader->items, id, n, &piece); n++) {
        if (!piece_fits(reader, &piece) || piece.size > most - total) goto out;
        unsigned char *larger = bw_realloc(block, (size_t)(total + piece.size));
        if (larger == NULL) {
            bw_free(block);
            return bw_fail_memory(reader->err);
        }
        block = larger;
        if (!piece_read(reader, &piece, block + total)) goto out;
        total += piece.size;
    }
    if (total > 0) {
        *out = (struct bytes){.at = block, .left = (size_t)total};
        return true;
    }
out:
    bw_free(block);
    return bw_fail(
        reader->err, BW_INPUT,
        "the file ends early or its directory points outside of it (%llu bytes); copy it "
        "again",
        (unsigned long long)reader->job->source.size);
}

// What the directory says

static bool read_meta(struct reader *reader) {
    struct job *job = reader->job;
    uint64_t at = 0;
    unsigned char head[16];
    for (int n = 0; n < 1000 && at + 8 <= job->source.size; n++) {
        struct bytes in = {.at = head, .left = source_read_at(&job->source, at, head, sizeof head)};
        uint64_t size = bytes_get(&in, 4), before = 8;
        uint32_t kind = bytes_get(&in, 4);
        if (size == 1) {
            size = bytes_get_long(&in, 8);
            before = 16;
        }
        if (size == 0) size = job->source.size - at;
        if (size < before || size > job->source.size - at) break;
        if (kind == KIND('m', 'e', 't', 'a')) {
            if (size > MAX_META) return damaged(reader, "its directory is too large");
            reader->meta = bw_alloc((size_t)size);
            if (reader->meta == NULL) return bw_fail_memory(reader->err);
            size_t n_read = source_read_at(&job->source, at, reader->meta, (size_t)size);
            struct bytes meta = {.at = reader->meta + before,
                                 .left = (size_t)size - (size_t)before};
            if (n_read != size) break;
            return items_open(meta, &reader->items, reader->err);
        }
        at += size;
    }
    return bw_fail(reader->err, BW_INPUT,
                   "the file ends early or is damaged before its directory (%llu "
                   "bytes); copy it again",
                   (unsigned long long)job->source.size);
}

// The clean aperture (clap) as whole pixels; the centre is given from the middle of the picture.
static bool take_crop(struct reader *reader, struct bytes clap) {
    int64_t value[8];
    for (int i = 0; i < 8; i++) value[i] = (int32_t)bytes_get(&clap, 4);
    for (int i = 1; i < 8; i += 2)
        if (value[i] <= 0) return damaged(reader, "its cropping makes no sense");
    if (clap.over || value[0] % value[1] != 0 || value[2] % value[3] != 0)
        return damaged(reader, "it is cropped between pixels");
    int64_t across = value[0] / value[1], down = value[2] / value[3];
    // left = (width - 1)/2 + off_x - (across - 1)/2, in halves of a pixel
    int64_t left2 = (int64_t)reader->width - across + 2 * value[4] / value[5];
    int64_t top2 = (int64_t)reader->height - down + 2 * value[6] / value[7];
    int64_t left = left2 / 2,
            top = top2 / 2;  // an odd remainder is half a pixel: towards the corner
    if (across <= 0 || down <= 0 || left2 < 0 || top2 < 0 ||
        across > (int64_t)reader->width - left || down > (int64_t)reader->height - top)
        return damaged(reader, "its cropping lies outside");
    reader->left = (uint32_t)left;
    reader->top = (uint32_t)top;
    reader->across = (uint32_t)across;
    reader->down = (uint32_t)down;
    return true;
}

// Turning and mirroring, one after the other: what orientation an orientation becomes.
static const uint8_t TURNED_LEFT[9] = {0, 8, 5, 6, 7, 4, 1, 2, 3};
static const uint8_t LEFT_RIGHT[9] = {0, 2, 1, 4, 3, 6, 5, 8, 7};
static const uint8_t TOP_BOTTOM[9] = {0, 4, 3, 2, 1, 8, 7, 6, 5};

static void take_colours(struct reader *reader, struct bytes colr) {
    struct bw_picture_header *about = &reader->job->about;
    if (bytes_get(&colr, 4) != KIND('n', 'c', 'l', 'x')) return;
    (void)bytes_get(&colr, 2);
    uint32_t transfer = bytes_get(&colr, 2), matrix = bytes_get(&colr, 2),
             range = bytes_get(&colr, 1);
    if (colr.over) return;
    // Codes of ITU-T H.273 (from memory).
    if (transfer == 1 || transfer == 6 || transfer == 14 || transfer == 15)
        about->transfer = BW_TRANSFER_REC709;
    else if (transfer == 8)
        about->transfer = BW_TRANSFER_LINEAR;
    else if (transfer == 16 || transfer == 18)
        (void)bw_fail(reader->err, BW_UNSUPPORTED,
                      "the HEIC is in high dynamic range (PQ or HLG); "
                      "save it as ordinary sRGB");
    if (matrix == 0)
        (void)bw_fail(reader->err, BW_UNSUPPORTED,
                      "the HEIC keeps RGB without a luma; save it as JPEG");
    if ((range & 0x80) == 0) about->flags |= BW_PICTURE_NARROW;
    reader->ranged = true;
}

static bool take_properties(struct reader *reader) {
    struct bw_picture_header *about = &reader->job->about;
    uint32_t kind, id = reader->items.primary;
    struct bytes body;
    if (!item_property_find(&reader->items, id, KIND('i', 's', 'p', 'e'), &body))
        return damaged(reader, "it does not say how large it is");
    (void)bytes_get(&body, 4);
    reader->width = reader->across = bytes_get(&body, 4);
    reader->height = reader->down = bytes_get(&body, 4);
    if (body.over || reader->width == 0 || reader->height == 0 ||
        reader->width > BW_MAX_PICTURE_SIDE || reader->height > BW_MAX_PICTURE_SIDE)
        return bw_fail(reader->err, BW_LIMIT, "%u x %u pixels; a side may have 1 to %d",
                       reader->width, reader->height, BW_MAX_PICTURE_SIDE);
    about->orientation = 1;
    for (size_t n = 0; item_property(&reader->items, id, n, &kind, &body); n++) {
        if (kind == KIND('i', 'r', 'o', 't')) {
            for (uint32_t turns = bytes_get(&body, 1) & 3; turns > 0; turns--)
                about->orientation = TURNED_LEFT[about->orientation];
        } else if (kind == KIND('i', 'm', 'i', 'r')) {
            const uint8_t *mirror = (bytes_get(&body, 1) & 1) != 0 ? LEFT_RIGHT : TOP_BOTTOM;
            about->orientation = mirror[about->orientation];
        } else if (kind == KIND('c', 'l', 'a', 'p')) {
            if (about->orientation != 1) return damaged(reader, "it is cropped after turning");
            if (!take_crop(reader, body)) return false;
        } else if (kind == KIND('c', 'o', 'l', 'r')) {
            take_colours(reader, body);
            if (reader->err->code != BW_OK) return false;
        }
    }
    return true;
}

// EXIF: resolution and time. How the picture is turned is said by the boxes alone.
static void take_exif(struct reader *reader) {
    struct bw_picture_header *about = &reader->job->about;
    uint32_t id = item_about(&reader->items, KIND('E', 'x', 'i', 'f'), KIND('c', 'd', 's', 'c'),
                             reader->items.primary);
    struct bw_err ignored = {0}, *err = reader->err;
    struct bytes data;
    if (id == 0) return;
    reader->err = &ignored;
    if (item_read(reader, id, 1 << 20, &data)) {
        const unsigned char *block = data.at;
        uint32_t orientation = about->orientation, skip = bytes_get(&data, 4);
        (void)bytes_take(&data, skip);
        about_exif(about, data.at, data.left);
        about->orientation = orientation;
        bw_free((void *)(uintptr_t)block);
    }
    reader->err = err;
}

// A side picture that says of itself that it is transparency (its auxC names an "...:alpha" or the
// older "...:auxid:1").
static bool has_alpha(const struct reader *reader) {
    uint32_t side = item_about(&reader->items, KIND('h', 'v', 'c', '1'), KIND('a', 'u', 'x', 'l'),
                               reader->items.primary);
    struct bytes body;
    if (side == 0 || !item_property_find(&reader->items, side, KIND('a', 'u', 'x', 'C'), &body))
        return false;
    (void)bytes_get(&body, 4);
    static const char *const ENDS[] = {":alpha", ":auxid:1"};
    for (size_t i = 0; i < 2; i++) {
        size_t n = strlen(ENDS[i]) + 1, whole = strnlen((const char *)body.at, body.left) + 1;
        if (whole >= n && whole <= body.left && memcmp(body.at + whole - n, ENDS[i], n) == 0)
            return true;
    }
    return false;
}

static bool take_grid(struct reader *reader) {
    struct bytes data;
    if (!item_read(reader, reader->items.primary, 64, &data)) return false;
    const unsigned char *block = data.at;
    (void)bytes_get(&data, 1);
    unsigned size = (bytes_get(&data, 1) & 1) != 0 ? 4 : 2;
    reader->rows = bytes_get(&data, 1) + 1;
    reader->columns = bytes_get(&data, 1) + 1;
    uint32_t width = bytes_get(&data, size), height = bytes_get(&data, size);
    bool over = data.over;
    bw_free((void *)(uintptr_t)block);
    if (over || width != reader->width || height != reader->height)
        return damaged(reader, "its grid and its size do not agree");
    return true;
}

struct tile {
    uint32_t id;
    uint32_t column, row;
    uint32_t width, height;  // that each tile must have
};

// One coded picture

static bool push(struct reader *reader, de265_decoder_context *hevc, struct bytes data,
                 unsigned length_bytes) {
    while (data.left > 0) {
        size_t n = bytes_get(&data, length_bytes);
        struct bytes unit = bytes_take(&data, n);
        if (data.over || n > INT32_MAX) return damaged(reader, "a coded piece is cut off");
        if (!de265_isOK(de265_push_NAL(hevc, unit.at, (int)n, 0, NULL)))
            return bw_fail_memory(reader->err);
    }
    return true;
}

// The parameter sets of the hvcC box (ISO/IEC 14496-15), and how long the lengths in the data are.
static bool push_config(struct reader *reader, de265_decoder_context *hevc, uint32_t id,
                        unsigned *length_bytes) {
    struct bytes config;
    if (!item_property_find(&reader->items, id, KIND('h', 'v', 'c', 'C'), &config))
        return damaged(reader, "a tile lacks its settings");
    (void)bytes_take(&config, 21);
    *length_bytes = (bytes_get(&config, 1) & 3) + 1;
    uint32_t arrays = bytes_get(&config, 1);
    for (uint32_t a = 0; a < arrays && !config.over; a++) {
        (void)bytes_get(&config, 1);
        uint32_t units = bytes_get(&config, 2);
        for (uint32_t u = 0; u < units && !config.over; u++) {
            struct bytes unit = bytes_take(&config, bytes_get(&config, 2));
            if (!config.over && !de265_isOK(de265_push_NAL(hevc, unit.at, (int)unit.left, 0, NULL)))
                return bw_fail_memory(reader->err);
        }
    }
    return !config.over || damaged(reader, "a tile's settings are cut off");
}

// The decoder warns and paints over damage; a measurement must not.
static bool run_decoder(struct reader *reader, de265_decoder_context *hevc,
                        const struct de265_image **out) {
    de265_error status = de265_flush_data(hevc);
    int more = 1;
    while (de265_isOK(status) && more != 0 && de265_peek_next_picture(hevc) == NULL) {
        more = 0;
        status = de265_decode(hevc, &more);
    }
    if (de265_isOK(status)) status = de265_get_warning(hevc);
    if (status == DE265_ERROR_OUT_OF_MEMORY) return bw_fail_memory(reader->err);
    if (!de265_isOK(status)) return damaged(reader, de265_get_error_text(status));
    *out = de265_get_next_picture(hevc);
    return *out != NULL || damaged(reader, "a tile holds no picture");
}

// What libde265 holds for a coded picture: its planes by the settings box, and as much as one plane
// again for its notes on blocks (measured: 0.7 bytes a pixel). Settings that lie run into the
// memory limit.
static uint64_t decoder_bytes(struct reader *reader, const struct tile *tile) {
    static const uint64_t HALF_PLANES[] = {2, 3, 4, 6};  // grey, 4:2:0, 4:2:2, 4:4:4
    struct bytes config;
    uint32_t chroma = 3, deep = 1;
    if (item_property_find(&reader->items, tile->id, KIND('h', 'v', 'c', 'C'), &config)) {
        (void)bytes_take(&config, 16);
        chroma = bytes_get(&config, 1) & 3;
        deep = (bytes_get(&config, 1) & 7) != 0;
    }
    return (uint64_t)tile->width * tile->height * (HALF_PLANES[chroma] * (deep + 1) + 2) / 2;
}

static bool open_sheet(struct reader *reader, const struct de265_image *picture, uint64_t work) {
    struct bw_picture_header *about = &reader->job->about;
    int bits = de265_get_bits_per_pixel(picture, 0);
    if (bits < 8 || bits > 16) return damaged(reader, "its bit depth");
    about->file_bits = (uint32_t)bits;
    about->file_channels = de265_get_chroma_format(picture) == de265_chroma_mono ? 1 : 3;
    if (!reader->ranged && de265_get_image_full_range_flag(picture) == 0)
        about->flags |= BW_PICTURE_NARROW;
    return sheet_open(&reader->job->sheet, reader->across, reader->down, bits == 8 ? 8 : 16, work,
                      reader->err);
}

// Where a tile's picture goes: its corner within the shown part, which may lie outside on the left
// or top.
static bool place(struct reader *reader, const struct de265_image *picture, int64_t x, int64_t y) {
    struct sheet *sheet = &reader->job->sheet;
    int stride, bits = (int)reader->job->about.file_bits;
    const unsigned char *plane = de265_get_image_plane(picture, 0, &stride);
    int64_t width = de265_get_image_width(picture, 0), height = de265_get_image_height(picture, 0);
    int64_t skip_x = x < 0 ? -x : 0, skip_y = y < 0 ? -y : 0;
    if (de265_get_bits_per_pixel(picture, 0) != bits)
        return damaged(reader, "its tiles differ in depth");
    if (skip_x >= width || skip_y >= height) return true;
    struct block block = {.x = (uint32_t)(x + skip_x),
                          .y = (uint32_t)(y + skip_y),
                          .width = (uint32_t)(width - skip_x),
                          .height = (uint32_t)(height - skip_y)};
    const unsigned char *first = plane + skip_y * stride + skip_x * (bits > 8 ? 2 : 1);
    if (bits == 8) {
        block.codes = first;
        block.row_codes = (size_t)stride;
        sheet_put(sheet, block);
        return true;
    }
    // Deep tiles fill 16 bits, so that one table serves all: v (2^16 - 1)/(2^n - 1), rounded.
    uint32_t top = (1u << bits) - 1, rows = block.height;
    block.height = 1;
    for (uint32_t row = 0; row < rows; row++, block.y++, first += stride) {
        for (uint32_t i = 0; i < block.width; i++) {
            uint16_t code;
            memcpy(&code, first + 2 * (size_t)i, 2);
            reader->scaled[i] = (uint16_t)((code * 65535u + top / 2) / top);
        }
        block.codes = reader->scaled;
        block.row_codes = block.width;
        sheet_put(sheet, block);
    }
    return true;
}

static bool use_tile(struct reader *reader, const struct de265_image *picture,
                     const struct tile *tile) {
    uint32_t width = (uint32_t)de265_get_image_width(picture, 0);
    uint32_t height = (uint32_t)de265_get_image_height(picture, 0);
    if (width != tile->width || height != tile->height)
        return damaged(reader, "a tile is not of the size stated");
    if (reader->job->sheet.codes == NULL &&
        !open_sheet(reader, picture, decoder_bytes(reader, tile)))
        return false;
    if (reader->job->about.file_bits > 8 && reader->scaled == NULL) {
        reader->scaled = bw_alloc_zero(width, sizeof *reader->scaled);
        if (reader->scaled == NULL) return bw_fail_memory(reader->err);
    }
    return place(reader, picture, (int64_t)tile->column * width - reader->left,
                 (int64_t)tile->row * height - reader->top);
}

static bool decode_tile(struct reader *reader, const struct tile *tile) {
    struct bytes data = {0};
    unsigned length_bytes = 4;
    uint32_t kind = item_kind(&reader->items, tile->id);
    if (kind != KIND('h', 'v', 'c', '1') && kind != KIND('h', 'e', 'v', '1'))
        return bw_fail(reader->err, BW_UNSUPPORTED,
                       "the picture inside is not coded as HEVC; save it as "
                       "HEIC, JPEG or PNG");
    uint64_t work = decoder_bytes(reader, tile);
    if (work > BW_MAX_PICTURE_WORK_BYTES)
        return bw_fail(reader->err, BW_LIMIT,
                       "%u x %u pixels coded in one piece need %llu MB to decode; at most "
                       "%llu are used",
                       tile->width, tile->height, (unsigned long long)(work / 1000000),
                       (unsigned long long)(BW_MAX_PICTURE_WORK_BYTES / 1000000));
    if (!item_read(reader, tile->id, BW_MAX_PICTURE_WORK_BYTES / 4, &data)) return false;
    const unsigned char *block = data.at;
    const struct de265_image *picture = NULL;
    de265_decoder_context *hevc = de265_new_decoder();
    bool ok = hevc != NULL || bw_fail_memory(reader->err);
    ok = ok && push_config(reader, hevc, tile->id, &length_bytes) &&
         push(reader, hevc, data, length_bytes);
    bw_free((void *)(uintptr_t)block);
    ok = ok && run_decoder(reader, hevc, &picture) && use_tile(reader, picture, tile);
    if (hevc != NULL) (void)de265_free_decoder(hevc);
    return ok;
}

static bool tile_size(struct reader *reader, uint32_t id, struct tile *tile) {
    struct bytes size;
    if (!item_property_find(&reader->items, id, KIND('i', 's', 'p', 'e'), &size))
        return damaged(reader, "a tile does not say how large it is");
    (void)bytes_get(&size, 4);
    tile->width = bytes_get(&size, 4);
    tile->height = bytes_get(&size, 4);
    if (size.over || tile->width == 0 || tile->height == 0 || tile->width > BW_MAX_PICTURE_SIDE ||
        tile->height > BW_MAX_PICTURE_SIDE)
        return damaged(reader, "a tile is of an impossible size");
    return true;
}

static bool decode_grid(struct reader *reader) {
    struct bytes ids;
    unsigned id_bytes;
    uint32_t n = reader->rows * reader->columns;
    if (!item_refers(&reader->items, reader->items.primary, KIND('d', 'i', 'm', 'g'), &ids,
                     &id_bytes) ||
        ids.left != (size_t)n * id_bytes || n > MAX_TILES)
        return damaged(reader, "its grid lacks tiles");
    struct tile tile = {0};
    for (uint32_t i = 0; i < n; i++) {
        tile.id = bytes_get(&ids, id_bytes);
        tile.column = i % reader->columns;
        tile.row = i / reader->columns;
        if (i == 0 && !tile_size(reader, tile.id, &tile)) return false;
        if ((uint64_t)tile.width * reader->columns < reader->width ||
            (uint64_t)tile.height * reader->rows < reader->height)
            return damaged(reader, "its tiles do not cover it");
        if (!decode_tile(reader, &tile)) return false;
    }
    return true;
}

static bool decode(struct reader *reader) {
    struct bw_picture_header *about = &reader->job->about;
    about->format = BW_FORMAT_HEIC;
    if (!read_meta(reader) || !take_properties(reader)) return false;
    if (has_alpha(reader)) about->flags |= BW_PICTURE_ALPHA;
    take_exif(reader);
    if (item_kind(&reader->items, reader->items.primary) == KIND('g', 'r', 'i', 'd'))
        return take_grid(reader) && decode_grid(reader);
    struct tile whole = {
        .id = reader->items.primary, .width = reader->width, .height = reader->height};
    return decode_tile(reader, &whole);
}

bool decode_heic(struct job *job, struct bw_err *err) {
    struct reader reader = {.job = job, .err = err};
    bool ok = decode(&reader);
    bw_free(reader.meta);
    bw_free(reader.scaled);
    return ok;
}
