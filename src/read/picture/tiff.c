// tiff.c - TIFF scans of 8 or 16 bits, grey or RGB, in strips or tiles, to luma.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Strips are read row by row, so that a scan kept as one huge strip needs no huge buffer. Colours
// kept in planes are read through three handles on one file, each with its own place: one handle
// would start over for every row.
#include "base/alloc.h"
#include "base/format.h"
#include "read/picture/decode.h"
#include "read/picture/exif.h"

#include <math.h>
#include <stdarg.h>
#include <string.h>

#include <tiffio.h>

// A tile of a scan is 256 or 512 square; one of this size is a trap.
#define MAX_TILE_BYTES ((uint64_t)32 << 20)
#define TAG_RAW_CAMERA 50706  // DNGVersion
#define LINEAR_RAW 34892      // DNG, not in every tiff.h

struct plane {
    TIFF *tiff;
    struct source source;
    unsigned char *buffer;  // one row or one tile
};

struct reader {
    struct job *job;
    struct bw_err *err;
    struct plane planes[3];
    uint32_t width, height;
    uint16_t bits, samples, photometric, planar, compression;
    bool pixels;  // reading them: a complaint of a codec is an error now
};

// How libtiff reads, and what it says

static tmsize_t on_read(thandle_t handle, void *to, tmsize_t bytes) {
    struct plane *plane = handle;
    return bytes <= 0 ? 0 : (tmsize_t)source_read(&plane->source, to, (size_t)bytes);
}

static tmsize_t on_write(thandle_t handle, void *from, tmsize_t bytes) {
    (void)handle;
    (void)from;
    (void)bytes;
    return 0;
}

static toff_t on_seek(thandle_t handle, toff_t to, int whence) {
    struct plane *plane = handle;
    uint64_t base = whence == SEEK_CUR   ? plane->source.at
                    : whence == SEEK_END ? plane->source.size
                                         : 0;
    plane->source.at = base + to;  // may lie beyond the end: nothing is read there
    return plane->source.at;
}

static int on_close(thandle_t handle) {
    (void)handle;
    return 0;
}

static toff_t on_size(thandle_t handle) { return ((struct plane *)handle)->source.size; }

static int on_error(TIFF *tiff, void *user, const char *module, const char *format, va_list args)
    BW_PRINTF(4, 0);
static int on_error(TIFF *tiff, void *user, const char *module, const char *format, va_list args) {
    (void)tiff;
    (void)module;
    struct reader *reader = user;
    char words[200];
    (void)bw_vformat(words, sizeof words, format, args);
    (void)bw_fail(reader->err, BW_INPUT, "the TIFF is damaged or of a kind not read here (%s)",
                  words);
    return 1;
}

static int on_warning(TIFF *tiff, void *user, const char *module, const char *format, va_list args)
    BW_PRINTF(4, 0);
static int on_warning(TIFF *tiff, void *user, const char *module, const char *format,
                      va_list args) {
    const struct reader *reader = user;
    return reader->pixels ? on_error(tiff, user, module, format, args) : 1;
}

static bool open_plane(struct reader *reader, struct plane *plane) {
    plane->source = reader->job->source;
    plane->source.at = 0;
    TIFFOpenOptions *options = TIFFOpenOptionsAlloc();
    if (options == NULL) return bw_fail_memory(reader->err);
    TIFFOpenOptionsSetMaxSingleMemAlloc(options, (tmsize_t)BW_MAX_PICTURE_WORK_BYTES);
    TIFFOpenOptionsSetErrorHandlerExtR(options, on_error, reader);
    TIFFOpenOptionsSetWarningHandlerExtR(options, on_warning, reader);
    plane->tiff = TIFFClientOpenExt("picture", "rm", plane, on_read, on_write, on_seek, on_close,
                                    on_size, NULL, NULL, options);
    TIFFOpenOptionsFree(options);
    if (plane->tiff != NULL) return true;
    return bw_fail(reader->err, BW_INPUT, "the TIFF has no readable directory");
}

// What the directory says

static bool unsupported(struct reader *reader, const char *what) {
    return bw_fail(reader->err, BW_UNSUPPORTED, "the TIFF %s; save it as 8 or 16-bit grey or RGB",
                   what);
}

static bool compression_fits(struct reader *reader) {
    switch (reader->compression) {
    case COMPRESSION_NONE:
    case COMPRESSION_LZW:
    case COMPRESSION_ADOBE_DEFLATE:
    case COMPRESSION_DEFLATE:
    case COMPRESSION_PACKBITS:
    case COMPRESSION_JPEG: return true;
    default:
        return bw_fail(reader->err, BW_UNSUPPORTED,
                       "the TIFF is compressed in a way not read here "
                       "(number %u); save it with LZW or ZIP",
                       reader->compression);
    }
}

static bool colours_fit(struct reader *reader) {
    switch (reader->photometric) {
    case PHOTOMETRIC_MINISBLACK:
    case PHOTOMETRIC_MINISWHITE: return true;
    case PHOTOMETRIC_RGB: return reader->samples >= 3 || unsupported(reader, "lacks a colour");
    case PHOTOMETRIC_YCBCR:
        if (reader->compression == COMPRESSION_JPEG && reader->samples == 3) return true;
        return unsupported(reader, "keeps colours as YCbCr without JPEG");
    case PHOTOMETRIC_SEPARATED:
        return unsupported(reader, "is in printing colours (CMYK), which say nothing of light");
    case PHOTOMETRIC_PALETTE: return unsupported(reader, "has a palette");
    case PHOTOMETRIC_CFA:
    case LINEAR_RAW: return unsupported(reader, "is a raw camera file");
    default: return unsupported(reader, "is in a colour space not read here");
    }
}

static bool read_directory(struct reader *reader) {
    TIFF *tiff = reader->planes[0].tiff;
    uint16_t format, raw_count;
    uint32_t subfile = 0;
    const void *raw;
    if (TIFFGetField(tiff, TIFFTAG_IMAGEWIDTH, &reader->width) != 1 ||
        TIFFGetField(tiff, TIFFTAG_IMAGELENGTH, &reader->height) != 1)
        return bw_fail(reader->err, BW_INPUT, "the TIFF does not say how large it is");
    (void)TIFFGetFieldDefaulted(tiff, TIFFTAG_BITSPERSAMPLE, &reader->bits);
    (void)TIFFGetFieldDefaulted(tiff, TIFFTAG_SAMPLESPERPIXEL, &reader->samples);
    (void)TIFFGetFieldDefaulted(tiff, TIFFTAG_PLANARCONFIG, &reader->planar);
    (void)TIFFGetFieldDefaulted(tiff, TIFFTAG_COMPRESSION, &reader->compression);
    (void)TIFFGetFieldDefaulted(tiff, TIFFTAG_SAMPLEFORMAT, &format);
    (void)TIFFGetFieldDefaulted(tiff, TIFFTAG_SUBFILETYPE, &subfile);
    if (TIFFGetField(tiff, TIFFTAG_PHOTOMETRIC, &reader->photometric) != 1)
        return bw_fail(reader->err, BW_INPUT, "the TIFF does not say what its numbers mean");
    if (TIFFGetField(tiff, TAG_RAW_CAMERA, &raw_count, &raw) == 1)
        return unsupported(reader, "is a raw camera file");
    if ((subfile & FILETYPE_REDUCEDIMAGE) != 0)
        return unsupported(reader, "begins with a small preview and not with the picture");
    if (reader->bits != 8 && reader->bits != 16)
        return bw_fail(reader->err, BW_UNSUPPORTED,
                       "the TIFF has %u bits a channel; save it with 8 or 16", reader->bits);
    if (format != SAMPLEFORMAT_UINT && format != SAMPLEFORMAT_VOID)
        return unsupported(reader, "holds signed or fractional numbers");
    if (reader->samples == 0 || reader->samples > 64)
        return unsupported(reader, "has no colours or too many");
    return compression_fits(reader) && colours_fit(reader);
}

static void take_scale(TIFF *tiff, struct bw_picture_header *about) {
    uint16_t unit = RESUNIT_INCH;
    float x = 0, y = 0;
    (void)TIFFGetFieldDefaulted(tiff, TIFFTAG_RESOLUTIONUNIT, &unit);
    if (TIFFGetField(tiff, TIFFTAG_XRESOLUTION, &x) != 1 ||
        TIFFGetField(tiff, TIFFTAG_YRESOLUTION, &y) != 1)
        return;
    double metre = unit == RESUNIT_INCH ? 1 / 0.0254 : unit == RESUNIT_CENTIMETER ? 100 : 0;
    about->scale = BW_SCALE_TIFF;
    about->x_per_m = (double)x * metre;
    about->y_per_m = (double)y * metre;
}

// Time from the camera's directory, which takes the handle away from the picture's: a handle of its
// own.
static void take_time(struct reader *reader) {
    struct plane plane = {0};
    struct bw_err ignored = {0}, *err = reader->err;
    uint64_t at = 0;
    char *time = NULL, *offset = NULL;
    reader->err = &ignored;  // a broken camera directory does not spoil the picture
    if (open_plane(reader, &plane) && TIFFGetField(plane.tiff, TIFFTAG_EXIFIFD, &at) == 1 &&
        TIFFReadEXIFDirectory(plane.tiff, at) == 1 &&
        TIFFGetField(plane.tiff, EXIFTAG_DATETIMEORIGINAL, &time) == 1 && strlen(time) >= 19) {
        bool zone = TIFFGetField(plane.tiff, EXIFTAG_OFFSETTIMEORIGINAL, &offset) == 1;
        exif_time(time, zone && strlen(offset) >= 6 ? offset : NULL, reader->job->about.taken_at);
    }
    if (plane.tiff != NULL) TIFFClose(plane.tiff);
    reader->err = err;
}

static void take_about(struct reader *reader) {
    struct bw_picture_header *about = &reader->job->about;
    TIFF *tiff = reader->planes[0].tiff;
    uint16_t orientation = 1;
    about->format = BW_FORMAT_TIFF;
    about->file_bits = reader->bits;
    about->file_channels = reader->samples;
    if (TIFFGetField(tiff, TIFFTAG_ORIENTATION, &orientation) == 1 && orientation >= 1 &&
        orientation <= 8)
        about->orientation = orientation;
    uint16_t colours = reader->photometric <= PHOTOMETRIC_MINISBLACK ? 1 : 3;
    if (reader->samples > colours) about->flags |= BW_PICTURE_ALPHA;
    if (TIFFLastDirectory(tiff) == 0) about->flags |= BW_PICTURE_MORE;
    take_scale(tiff, about);
    take_time(reader);
}

// Pixels

static bool grey(const struct reader *reader) {
    return reader->photometric == PHOTOMETRIC_MINISBLACK ||
           reader->photometric == PHOTOMETRIC_MINISWHITE;
}
static bool in_planes(const struct reader *reader) {
    return reader->planar == PLANARCONFIG_SEPARATE && !grey(reader) && reader->samples > 1;
}
static size_t plane_count(const struct reader *reader) { return in_planes(reader) ? 3 : 1; }

// `n` pixels of the buffers, from pixel `from` of each, to luma codes.
static void to_luma(const struct reader *reader, size_t from, size_t n, void *to) {
    bool planes = in_planes(reader);
    size_t step = planes || reader->planar == PLANARCONFIG_SEPARATE ? 1 : reader->samples;
    const unsigned char *channel[3];
    size_t size = reader->bits / 8;
    for (size_t c = 0; c < 3; c++) {
        size_t inside = planes || grey(reader) ? 0 : c;
        channel[c] = reader->planes[planes ? c : 0].buffer + (from * step + inside) * size;
    }
    bool negative = reader->photometric == PHOTOMETRIC_MINISWHITE;
    for (size_t i = 0; i < n; i++) {
        size_t at = i * step;
        if (size == 1) {
            uint8_t code = grey(reader) ? channel[0][at]
                                        : luma8(channel[0][at], channel[1][at], channel[2][at]);
            ((uint8_t *)to)[i] = negative ? (uint8_t)(255 - code) : code;
        } else {
            uint16_t p[3];
            for (size_t c = 0; c < 3; c++) memcpy(&p[c], channel[c] + 2 * at, 2);
            uint16_t code = grey(reader) ? p[0] : luma16(p[0], p[1], p[2]);
            ((uint16_t *)to)[i] = negative ? (uint16_t)(65535 - code) : code;
        }
    }
}

static bool broken_pixels(struct reader *reader, uint32_t row) {
    return bw_fail(reader->err, BW_INPUT,
                   "the TIFF's pixels end or break off at row %u; copy it again", row);
}

static bool read_strips(struct reader *reader) {
    for (uint32_t y = 0; y < reader->height; y++) {
        for (size_t p = 0; p < plane_count(reader); p++)
            if (TIFFReadScanline(reader->planes[p].tiff, reader->planes[p].buffer, y,
                                 (uint16_t)p) != 1 ||
                reader->err->code != BW_OK)
                return broken_pixels(reader, y);
        to_luma(reader, 0, reader->width, sheet_line(&reader->job->sheet));
        sheet_line_done(&reader->job->sheet);
    }
    return true;
}

static bool read_tile(struct reader *reader, uint32_t x, uint32_t y) {
    for (size_t p = 0; p < plane_count(reader); p++)
        if (TIFFReadTile(reader->planes[p].tiff, reader->planes[p].buffer, x, y, 0, (uint16_t)p) <
                0 ||
            reader->err->code != BW_OK)
            return broken_pixels(reader, y);
    return true;
}

static bool read_tiles(struct reader *reader, uint32_t across, uint32_t down) {
    void *codes = bw_alloc((size_t)across * down * (reader->bits / 8));
    if (codes == NULL) return bw_fail_memory(reader->err);
    bool ok = true;
    for (uint64_t y = 0; ok && y < reader->height; y += down) {
        for (uint64_t x = 0; ok && x < reader->width; x += across) {
            ok = read_tile(reader, (uint32_t)x, (uint32_t)y);
            if (!ok) break;
            to_luma(reader, 0, (size_t)across * down, codes);
            sheet_put(&reader->job->sheet, (struct block){.x = (uint32_t)x,
                                                          .y = (uint32_t)y,
                                                          .width = across,
                                                          .height = down,
                                                          .codes = codes,
                                                          .row_codes = across});
        }
    }
    bw_free(codes);
    return ok;
}

// Row or tile buffers; what libtiff needs for one piece must hold at least what we take out of it.
static bool open_buffers(struct reader *reader, bool tiled, uint32_t across, uint32_t down) {
    TIFF *first = reader->planes[0].tiff;
    uint64_t bytes = tiled ? TIFFTileSize64(first) : TIFFScanlineSize64(first);
    uint64_t samples = reader->planar == PLANARCONFIG_SEPARATE ? 1 : reader->samples;
    uint64_t pixels = tiled ? (uint64_t)across * down : reader->width;
    if (bytes < pixels * samples * (reader->bits / 8u) || bytes > MAX_TILE_BYTES)
        return bw_fail(reader->err, BW_LIMIT, "the TIFF's pieces are of an impossible size");
    if (!sheet_open(&reader->job->sheet, reader->width, reader->height, reader->bits,
                    bytes * plane_count(reader) + (tiled ? bytes : 0), reader->err))
        return false;
    for (size_t p = 0; p < plane_count(reader); p++) {
        if (p > 0 && !open_plane(reader, &reader->planes[p])) return false;
        reader->planes[p].buffer = bw_alloc_zero(1, (size_t)bytes);
        if (reader->planes[p].buffer == NULL) return bw_fail_memory(reader->err);
    }
    return true;
}

static bool read_pixels(struct reader *reader) {
    TIFF *tiff = reader->planes[0].tiff;
    uint32_t across = 0, down = 0;
    if (reader->compression == COMPRESSION_JPEG && reader->photometric == PHOTOMETRIC_YCBCR)
        (void)TIFFSetField(tiff, TIFFTAG_JPEGCOLORMODE, JPEGCOLORMODE_RGB);
    bool tiled = TIFFIsTiled(tiff) != 0;
    if (tiled && (TIFFGetField(tiff, TIFFTAG_TILEWIDTH, &across) != 1 ||
                  TIFFGetField(tiff, TIFFTAG_TILELENGTH, &down) != 1 || across == 0 || down == 0))
        return bw_fail(reader->err, BW_INPUT, "the TIFF does not say how large its tiles are");
    if (!open_buffers(reader, tiled, across, down)) return false;
    reader->pixels = true;
    return tiled ? read_tiles(reader, across, down) : read_strips(reader);
}

bool decode_tiff(struct job *job, struct bw_err *err) {
    struct reader reader = {.job = job, .err = err};
    bool ok = open_plane(&reader, &reader.planes[0]) && read_directory(&reader);
    if (ok) {
        take_about(&reader);
        ok = read_pixels(&reader) && err->code == BW_OK;
    }
    for (size_t p = 0; p < 3; p++) {
        if (reader.planes[p].tiff != NULL) TIFFClose(reader.planes[p].tiff);
        bw_free(reader.planes[p].buffer);
    }
    return ok;
}
