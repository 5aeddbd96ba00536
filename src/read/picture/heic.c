// heic.c - HEIC stills to luma, through libheif with a decoder of our own beneath it.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// libheif takes the boxes apart. The pictures inside are decoded by libde265, called from here and not by
// libheif's own binding, for three reasons: that one starts a thread, which the jail forbids; other
// libheif builds load theirs as a plugin at run time, which the jail forbids too; and we hand back the luma
// alone, so that no memory goes into colours.
#include "base/alloc.h"
#include "read/picture/decode.h"

#include <string.h>

#include <libde265/de265.h>
#include <libheif/heif.h>
#include <libheif/heif_plugin.h>

#define OUR_NAME "beltwright-luma"

// The decoder beneath

struct luma {
    de265_decoder_context *hevc;
    bool strict;
};

static struct heif_error result(enum heif_error_code code, const char *words) {
    return (struct heif_error){.code = code, .subcode = heif_suberror_Unspecified, .message = words};
}
static struct heif_error fine(void) { return result(heif_error_Ok, "Success"); }
static struct heif_error broken(const char *words) {
    return result(heif_error_Decoder_plugin_error, words);
}

static const char *luma_name(void) { return OUR_NAME; }
static int luma_supports(enum heif_compression_format format) {
    return format == heif_compression_HEVC ? 1000 : 0;
}

static struct heif_error luma_new(void **out) {
    struct luma *luma = bw_alloc_zero(1, sizeof *luma);
    if (luma != NULL) luma->hevc = de265_new_decoder();
    if (luma == NULL || luma->hevc == NULL) {
        bw_free(luma);
        return result(heif_error_Memory_allocation_error, "out of memory");
    }
    *out = luma;
    return fine();
}

static void luma_free(void *decoder) {
    struct luma *luma = decoder;
    (void)de265_free_decoder(luma->hevc);
    bw_free(luma);
}

static void luma_strict(void *decoder, int strict) { ((struct luma *)decoder)->strict = strict != 0; }

// `data` is a run of units, each with its length in four bytes before it.
static struct heif_error luma_push(void *decoder, const void *data, size_t size) {
    struct luma *luma = decoder;
    const unsigned char *bytes = data;
    while (size >= 4) {
        uint32_t n = (uint32_t)bytes[0] << 24 | (uint32_t)bytes[1] << 16 | (uint32_t)bytes[2] << 8 |
                     bytes[3];
        if (n > size - 4 || n > INT32_MAX) return broken("a coded piece is longer than its data");
        if (!de265_isOK(de265_push_NAL(luma->hevc, bytes + 4, (int)n, 0, NULL)))
            return broken("a coded piece cannot be taken in");
        bytes += 4 + (size_t)n;
        size -= 4 + (size_t)n;
    }
    return size == 0 ? fine() : broken("coded data end in the middle of a length");
}

static struct heif_error copy_luma(const struct de265_image *from, struct heif_image **out) {
    int width = de265_get_image_width(from, 0), height = de265_get_image_height(from, 0);
    int bits = de265_get_bits_per_pixel(from, 0), from_stride, to_stride;
    struct heif_image *to = NULL;
    struct heif_error error =
        heif_image_create(width, height, heif_colorspace_monochrome, heif_chroma_monochrome, &to);
    if (error.code == heif_error_Ok) error = heif_image_add_plane(to, heif_channel_Y, width, height, bits);
    if (error.code != heif_error_Ok) {
        if (to != NULL) heif_image_release(to);
        return error;
    }
    const uint8_t *rows = de265_get_image_plane(from, 0, &from_stride);
    uint8_t *to_rows = heif_image_get_plane(to, heif_channel_Y, &to_stride);
    size_t bytes = (size_t)width * (bits > 8 ? 2 : 1);
    for (int y = 0; y < height; y++)
        memcpy(to_rows + (size_t)y * (size_t)to_stride, rows + (size_t)y * (size_t)from_stride, bytes);
    *out = to;
    return fine();
}

static struct heif_error luma_decode(void *decoder, struct heif_image **out) {
    struct luma *luma = decoder;
    if (!de265_isOK(de265_flush_data(luma->hevc))) return broken("coded data cannot be taken in");
    int more = 1;
    while (more != 0 && de265_peek_next_picture(luma->hevc) == NULL) {
        more = 0;
        de265_error status = de265_decode(luma->hevc, &more);
        if (!de265_isOK(status)) return broken(de265_get_error_text(status));
    }
    // The decoder warns and paints over; a measurement must not.
    de265_error warning = de265_get_warning(luma->hevc);
    if (!de265_isOK(warning) && warning != DE265_WARNING_NO_WPP_CANNOT_USE_MULTITHREADING)
        return broken(de265_get_error_text(warning));
    const struct de265_image *picture = de265_get_next_picture(luma->hevc);
    return picture == NULL ? broken("coded data hold no picture") : copy_luma(picture, out);
}

static const struct heif_decoder_plugin LUMA_DECODER = {
    .plugin_api_version = 3,
    .get_plugin_name = luma_name,
    .does_support_format = luma_supports,
    .new_decoder = luma_new,
    .free_decoder = luma_free,
    .push_data = luma_push,
    .decode_image = luma_decode,
    .set_strict_decoding = luma_strict,
    .id_name = OUR_NAME,
};

// heif_init is left out on purpose: it is what goes looking for plugins to load.
bool heic_prepare(struct bw_err *err) {
    if (heif_register_decoder_plugin(&LUMA_DECODER).code == heif_error_Ok &&
        de265_isOK(de265_init()))
        return true;
    return bw_fail(err, BW_FAILED, "the HEIC decoder cannot be set up");
}
