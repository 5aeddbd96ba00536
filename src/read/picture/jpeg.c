// jpeg.c - baseline and progressive JPEG to luma.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Of a colour picture only the stored luma is decoded: it is what the camera kept at full
// sharpness, and colours need neither time nor memory.
#include "base/alloc.h"
#include "read/picture/decode.h"

#include <setjmp.h>
#include <stdio.h>
#include <string.h>

#include <jerror.h>
#include <jpeglib.h>

// A picture has a dozen scans; thousands are a way to make a decoder run for hours.
#define MAX_SCANS 200
#define PART 65536

struct reader {
    struct jpeg_decompress_struct jpeg;
    struct jpeg_error_mgr error;
    struct jpeg_source_mgr from;
    struct jpeg_progress_mgr progress;
    jmp_buf out;
    struct job *job;
    struct bw_err *err;
    unsigned char part[PART];
    unsigned char exif[PART];
    size_t exif_bytes;
};

static struct reader *of(j_common_ptr jpeg) { return (struct reader *)jpeg->client_data; }

// Errors, and which warnings are errors

static _Noreturn void give_up(struct reader *reader) { longjmp(reader->out, 1); }

static void damaged(struct reader *reader) {
    char words[JMSG_LENGTH_MAX];
    reader->error.format_message((j_common_ptr)&reader->jpeg, words);
    (void)bw_fail(reader->err, BW_INPUT,
                  "the JPEG data are damaged or of a kind not read here (%s)", words);
}

static _Noreturn void on_error(j_common_ptr jpeg) {
    struct reader *reader = of(jpeg);
    if (jpeg->err->msg_code == JERR_OUT_OF_MEMORY)
        (void)bw_fail_memory(reader->err);
    else
        damaged(reader);
    give_up(reader);
}

// The library paints over damage and goes on; a measurement must not. Stray bytes between parts are
// harmless.
static void on_message(j_common_ptr jpeg, int level) {
    if (level >= 0) return;
    switch (jpeg->err->msg_code) {
    case JWRN_ADOBE_XFORM:
    case JWRN_EXTRANEOUS_DATA:
    case JWRN_JFIF_MAJOR:
    case JWRN_TOO_MUCH_DATA: return;
    default: break;
    }
    damaged(of(jpeg));
    give_up(of(jpeg));
}

static void no_output(j_common_ptr jpeg) { (void)jpeg; }

static void on_progress(j_common_ptr jpeg) {
    struct reader *reader = of(jpeg);
    if (reader->jpeg.input_scan_number <= MAX_SCANS) return;
    (void)bw_fail(reader->err, BW_LIMIT,
                  "the JPEG has more than %d scans; it is made to keep a "
                  "decoder busy",
                  MAX_SCANS);
    give_up(reader);
}

// Bytes in

static void from_start(j_decompress_ptr jpeg) { (void)jpeg; }

static boolean from_fill(j_decompress_ptr jpeg) {
    struct reader *reader = of((j_common_ptr)jpeg);
    size_t n = source_read(&reader->job->source, reader->part, PART);
    if (n == 0) {
        (void)bw_fail(reader->err, BW_INPUT,
                      "the file ends early, after %llu bytes, in the middle of "
                      "the JPEG; copy it again",
                      (unsigned long long)reader->job->source.size);
        give_up(reader);
    }
    reader->from.next_input_byte = reader->part;
    reader->from.bytes_in_buffer = n;
    return TRUE;
}

static void from_skip(j_decompress_ptr jpeg, long bytes) {
    while (bytes > 0 && (size_t)bytes > jpeg->src->bytes_in_buffer) {
        bytes -= (long)jpeg->src->bytes_in_buffer;
        (void)from_fill(jpeg);
    }
    if (bytes <= 0) return;
    jpeg->src->next_input_byte += bytes;
    jpeg->src->bytes_in_buffer -= (size_t)bytes;
}

static unsigned next_byte(struct reader *reader) {
    if (reader->from.bytes_in_buffer == 0) (void)from_fill(&reader->jpeg);
    reader->from.bytes_in_buffer--;
    return *reader->from.next_input_byte++;
}

// Keeps the first EXIF block, skips all else of its kind; the library's own keeping has no limit.
static boolean on_app1(j_decompress_ptr jpeg) {
    static const unsigned char MARK[6] = "Exif\0";
    struct reader *reader = of((j_common_ptr)jpeg);
    unsigned length = next_byte(reader) << 8;
    length |= next_byte(reader);
    length = length < 2 ? 0 : length - 2;
    if (reader->exif_bytes == 0) {
        for (unsigned i = 0; i < length; i++) reader->exif[i] = (unsigned char)next_byte(reader);
        if (length > sizeof MARK && memcmp(reader->exif, MARK, sizeof MARK) == 0)
            reader->exif_bytes = length;
    } else {
        from_skip(jpeg, (long)length);
    }
    return TRUE;
}

static void begin(struct reader *reader) {
    reader->jpeg.err = jpeg_std_error(&reader->error);
    reader->error.error_exit = on_error;
    reader->error.emit_message = on_message;
    reader->error.output_message = no_output;
    reader->jpeg.client_data = reader;
    jpeg_create_decompress(&reader->jpeg);
    reader->from = (struct jpeg_source_mgr){.init_source = from_start,
                                            .fill_input_buffer = from_fill,
                                            .skip_input_data = from_skip,
                                            .resync_to_restart = jpeg_resync_to_restart,
                                            .term_source = from_start};
    reader->jpeg.src = &reader->from;
    reader->progress.progress_monitor = on_progress;
    reader->jpeg.progress = &reader->progress;
    jpeg_set_marker_processor(&reader->jpeg, JPEG_APP0 + 1, on_app1);
}

// What the header says

static void take_about(struct reader *reader) {
    static const double PER_METRE[] = {0, 1 / 0.0254, 100};  // JFIF 1.02: none, inch, centimetre
    const struct jpeg_decompress_struct *jpeg = &reader->jpeg;
    struct bw_picture_header *about = &reader->job->about;
    about->format = BW_FORMAT_JPEG;
    about->file_bits = (uint32_t)jpeg->data_precision;
    about->file_channels = (uint32_t)jpeg->num_components;
    if (jpeg->progressive_mode) about->flags |= BW_PICTURE_PROGRESSIVE;
    if (jpeg->saw_JFIF_marker && jpeg->density_unit <= 2 && jpeg->density_unit >= 1) {
        about->scale = BW_SCALE_JFIF;
        about->x_per_m = jpeg->X_density * PER_METRE[jpeg->density_unit];
        about->y_per_m = jpeg->Y_density * PER_METRE[jpeg->density_unit];
    }
    if (reader->exif_bytes > 6) about_exif(about, reader->exif + 6, reader->exif_bytes - 6);
}

static bool colours_fit(struct reader *reader) {
    switch (reader->jpeg.jpeg_color_space) {
    case JCS_GRAYSCALE:
    case JCS_YCbCr:
    case JCS_RGB: return true;
    case JCS_CMYK:
    case JCS_YCCK:
        return bw_fail(reader->err, BW_UNSUPPORTED,
                       "the JPEG is in printing colours (CMYK), which say "
                       "nothing of light; save it as RGB or grey");
    default:
        return bw_fail(reader->err, BW_UNSUPPORTED,
                       "the JPEG has %d colour channels of unknown "
                       "meaning; save it as RGB or grey",
                       reader->jpeg.num_components);
    }
}

// With several scans the library holds the coefficients of the whole picture, two bytes each.
static uint64_t coefficient_bytes(struct reader *reader) {
    if (!jpeg_has_multiple_scans(&reader->jpeg)) return 0;
    uint64_t bytes = 0;
    const struct jpeg_decompress_struct *jpeg = &reader->jpeg;
    for (int i = 0; i < jpeg->num_components; i++) {
        const jpeg_component_info *part = &jpeg->comp_info[i];
        uint64_t across = part->width_in_blocks + (uint64_t)part->h_samp_factor;
        uint64_t down = part->height_in_blocks + (uint64_t)part->v_samp_factor;
        bytes += across * down * sizeof(JBLOCK);
    }
    return bytes;
}

static bool open_sheet(struct reader *reader) {
    struct jpeg_decompress_struct *jpeg = &reader->jpeg;
    uint64_t work = coefficient_bytes(reader),
             pixels = (uint64_t)jpeg->image_width * jpeg->image_height;
    if (work + pixels > BW_MAX_PICTURE_WORK_BYTES && pixels <= BW_MAX_PICTURE_WORK_BYTES &&
        work > 0)
        return bw_fail(
            reader->err, BW_LIMIT,
            "%u x %u pixels as progressive JPEG need %llu MB to decode, at most %llu are "
            "used; save it as plain (baseline) JPEG",
            jpeg->image_width, jpeg->image_height, (unsigned long long)((work + pixels) / 1000000),
            (unsigned long long)(BW_MAX_PICTURE_WORK_BYTES / 1000000));
    if (!sheet_open(&reader->job->sheet, jpeg->image_width, jpeg->image_height, 8, work,
                    reader->err))
        return false;
    jpeg->mem->max_memory_to_use = (long)BW_MAX_PICTURE_WORK_BYTES;
    return true;
}

// All between setjmp and the end; whatever fails below jumps out of here.
static bool decode(struct reader *reader) {
    struct jpeg_decompress_struct *jpeg = &reader->jpeg;
    struct sheet *sheet = &reader->job->sheet;
    if (setjmp(reader->out) != 0) return false;
    begin(reader);
    (void)jpeg_read_header(jpeg, TRUE);
    take_about(reader);
    if (!colours_fit(reader)) return false;
    jpeg->out_color_space = JCS_GRAYSCALE;
    if (!open_sheet(reader)) return false;
    (void)jpeg_start_decompress(jpeg);
    while (jpeg->output_scanline < jpeg->output_height) {
        JSAMPROW line = sheet_line(sheet);
        if (jpeg_read_scanlines(jpeg, &line, 1) == 1) sheet_line_done(sheet);
    }
    (void)jpeg_finish_decompress(jpeg);
    return true;
}

bool decode_jpeg(struct job *job, struct bw_err *err) {
    struct reader *reader = bw_alloc_zero(1, sizeof *reader);
    if (reader == NULL) return bw_fail_memory(err);
    reader->job = job;
    reader->err = err;
    bool ok = decode(reader);
    jpeg_destroy_decompress(&reader->jpeg);
    bw_free(reader);
    return ok;
}
