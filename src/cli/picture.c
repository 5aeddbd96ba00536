// picture.c - `beltwright picture FILE`: what a picture file is, and its decoded grey as PGM.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/cli.h"

#include "base/json.h"
#include "read/picture.h"

#include <errno.h>
#include <math.h>
#include <string.h>

#define DPI (1 / 0.0254)  // pixels per metre of one dot per inch

// EXIF orientations in words: what was done to the stored rows to show them upright.
static const char *const TURNS[9] = {"",
                                     "as stored",
                                     "mirrored left to right",
                                     "half a turn",
                                     "mirrored top to bottom",
                                     "a quarter turn to the right and mirrored",
                                     "a quarter turn to the right",
                                     "a quarter turn to the left and mirrored",
                                     "a quarter turn to the left"};
static const char *const SCALES[] = {"", "JFIF", "EXIF", "pHYs", "TIFF tag"};
static const char *const SCALE_IDS[] = {"", "jfif", "exif", "phys", "tiff"};
static const char *const TRANSFER_IDS[] = {"srgb", "gamma", "rec709", "linear"};

// 72 and 96 dpi are what programs write that know nothing of the object.
static bool placeholder(double per_m) {
    return fabs(per_m / DPI - 72) < 0.51 || fabs(per_m / DPI - 96) < 0.51;
}

static const char *resolution(struct bw_arena *arena, const struct bw_picture_header *about) {
    if (about->scale == BW_SCALE_NONE) return "none stated: marks need a scale in the picture";
    bool same = fabs(about->x_per_m - about->y_per_m) < 1e-6 * about->x_per_m;
    const char *dpi = same ? bw_arena_format(arena, "%.4g dpi", about->x_per_m / DPI)
                           : bw_arena_format(arena, "%.4g dpi across, %.4g down",
                                             about->x_per_m / DPI, about->y_per_m / DPI);
    return bw_arena_format(arena, "%s (%.4g pixels a millimetre, from %s)%s",
                           dpi == NULL ? "?" : dpi, about->x_per_m / 1000, SCALES[about->scale],
                           placeholder(about->x_per_m)
                               ? ": what programs write that do not know; no scale to measure by"
                               : "");
}

static const char *light(struct bw_arena *arena, const struct bw_picture_header *about) {
    const char *narrow = (about->flags & BW_PICTURE_NARROW) != 0 ? ", narrow range" : "";
    switch (about->transfer) {
    case BW_TRANSFER_GAMMA:
        return bw_arena_format(arena, "codes raised to %.4g, as the file says%s", about->gamma,
                               narrow);
    case BW_TRANSFER_REC709:
        return bw_arena_format(arena, "Rec. 709 curve, as the file says%s", narrow);
    case BW_TRANSFER_LINEAR:
        return bw_arena_format(arena, "codes are light, as the file says%s", narrow);
    default: return bw_arena_format(arena, "sRGB curve%s", narrow);
    }
}

static const char *kind(struct bw_arena *arena, const struct bw_picture *picture) {
    const struct bw_picture_header *about = &picture->about;
    static const struct {
        uint32_t flag;
        const char *words;
    } FLAGS[] = {{BW_PICTURE_PROGRESSIVE, ", progressive"},
                 {BW_PICTURE_PALETTE, ", palette"},
                 {BW_PICTURE_ALPHA, ", transparency left aside"},
                 {BW_PICTURE_MORE, ", first of several pictures"}};
    const char *words = bw_arena_format(
        arena, "%s, %u bits, %u channel%s",
        bw_picture_format_name((enum bw_picture_format)about->format), about->file_bits,
        about->file_channels, about->file_channels == 1 ? "" : "s");
    for (size_t i = 0; words != NULL && i < sizeof FLAGS / sizeof FLAGS[0]; i++)
        if ((about->flags & FLAGS[i].flag) != 0)
            words = bw_arena_format(arena, "%s%s", words, FLAGS[i].words);
    return words;
}

static void line(struct bw_buffer *out, const char *name, const char *words) {
    bw_buffer_format(out, "%-12s %s\n", name, words == NULL ? "?" : words);
}

static bool write_text(struct bw_cli *cli, const struct bw_picture *picture, struct bw_err *err) {
    struct bw_buffer out = {0};
    const struct bw_picture_header *about = &picture->about;
    char jail[BW_JAIL_TEXT];
    line(&out, "size",
         bw_arena_format(cli->arena, "%u x %u pixels, upright", picture->width, picture->height));
    line(&out, "kind", kind(cli->arena, picture));
    line(&out, "orientation",
         bw_arena_format(cli->arena, "%u (%s)", about->orientation, TURNS[about->orientation]));
    line(&out, "resolution", resolution(cli->arena, about));
    if (about->taken_at[0] != '\0') line(&out, "taken at", about->taken_at);
    line(&out, "light", light(cli->arena, about));
    line(&out, "decoded in", bw_jail_text(jail, &picture->jail));
    return bw_write(cli, "-", &out, err);
}

static void json_scale(struct bw_json *json, const struct bw_picture_header *about) {
    if (about->scale == BW_SCALE_NONE) return;
    bw_json_key(json, "resolution");
    bw_json_open(json, '{');
    bw_json_key(json, "x_per_m");
    bw_json_number(json, about->x_per_m);
    bw_json_key(json, "y_per_m");
    bw_json_number(json, about->y_per_m);
    bw_json_key(json, "from");
    bw_json_text(json, SCALE_IDS[about->scale]);
    bw_json_key(json, "placeholder");
    bw_json_bool(json, placeholder(about->x_per_m));
    bw_json_close(json, '}');
}

static void json_flags(struct bw_json *json, uint32_t flags) {
    static const struct {
        uint32_t flag;
        const char *key;
    } FLAGS[] = {{BW_PICTURE_PROGRESSIVE, "progressive"},
                 {BW_PICTURE_PALETTE, "palette"},
                 {BW_PICTURE_ALPHA, "transparency"},
                 {BW_PICTURE_NARROW, "narrow_range"},
                 {BW_PICTURE_MORE, "more_pictures"}};
    for (size_t i = 0; i < sizeof FLAGS / sizeof FLAGS[0]; i++) {
        bw_json_key(json, FLAGS[i].key);
        bw_json_bool(json, (flags & FLAGS[i].flag) != 0);
    }
}

static void json_jail(struct bw_json *json, const struct bw_jail_report *jail) {
    static const char *const TIERS[] = {"none", "partial", "full"};
    bw_json_key(json, "jail");
    bw_json_open(json, '{');
    bw_json_key(json, "tier");
    bw_json_text(json, TIERS[jail->tier]);
    bw_json_key(json, "filter");
    bw_json_bool(json, jail->filter);
    bw_json_key(json, "landlock");
    bw_json_count(json, jail->landlock);
    bw_json_close(json, '}');
}

static void json_count(struct bw_json *json, const char *key, uint32_t value) {
    bw_json_key(json, key);
    bw_json_count(json, (long)value);
}

static bool write_json(struct bw_cli *cli, const struct bw_picture *picture, struct bw_err *err) {
    struct bw_buffer out = {0};
    const struct bw_picture_header *about = &picture->about;
    struct bw_json json = bw_json_begin(&out);
    bw_json_open(&json, '{');
    bw_json_key(&json, "shape");
    bw_json_text(&json, "picture/1");
    json_count(&json, "width", picture->width);
    json_count(&json, "height", picture->height);
    json_count(&json, "code_bits", (uint32_t)picture->bits);
    bw_json_key(&json, "format");
    bw_json_text(&json, bw_picture_format_name((enum bw_picture_format)about->format));
    json_count(&json, "file_bits", about->file_bits);
    json_count(&json, "file_channels", about->file_channels);
    json_count(&json, "orientation", about->orientation);
    json_scale(&json, about);
    if (about->taken_at[0] != '\0') {
        bw_json_key(&json, "taken_at");
        bw_json_text(&json, about->taken_at);
    }
    bw_json_key(&json, "transfer");
    bw_json_text(&json, TRANSFER_IDS[about->transfer]);
    if (about->transfer == BW_TRANSFER_GAMMA) {
        bw_json_key(&json, "gamma");
        bw_json_number(&json, about->gamma);
    }
    json_flags(&json, about->flags);
    json_jail(&json, &picture->jail);
    bw_json_close(&json, '}');
    return bw_write(cli, "-", &out, err);
}

// One row of codes as PGM has them: most significant byte first.
static bool write_row(const struct bw_picture *picture, uint32_t y, unsigned char *row,
                      FILE *file) {
    size_t n = picture->width, first = (size_t)y * n;
    if (picture->bits == 8) return fwrite((const uint8_t *)picture->codes + first, 1, n, file) == n;
    const uint16_t *codes = (const uint16_t *)picture->codes + first;
    for (size_t x = 0; x < n; x++) {
        row[2 * x] = (unsigned char)(codes[x] >> 8);
        row[2 * x + 1] = (unsigned char)(codes[x] & 255);
    }
    return fwrite(row, 2, n, file) == n;
}

static bool write_pgm_to(struct bw_cli *cli, const struct bw_picture *picture, FILE *file) {
    unsigned char *row = bw_arena_get(cli->arena, 2 * (size_t)picture->width);
    bool ok = row != NULL && fprintf(file, "P5\n%u %u\n%d\n", picture->width, picture->height,
                                     picture->bits == 8 ? 255 : 65535) > 0;
    for (uint32_t y = 0; ok && y < picture->height; y++) ok = write_row(picture, y, row, file);
    return ok;
}

static bool write_pgm(struct bw_cli *cli, const struct bw_picture *picture, const char *name,
                      struct bw_err *err) {
    bool to_out = strcmp(name, "-") == 0;
    FILE *file = to_out ? cli->out : fopen(name, "wb");
    bool ok = file != NULL && write_pgm_to(cli, picture, file);
    int reason = errno;
    if (file != NULL && !to_out && fclose(file) != 0 && ok) {
        ok = false;
        reason = errno;
    }
    if (ok) return true;
    bw_fail(err, BW_IO, "cannot be written: %s", strerror(reason));
    bw_err_file(err, name);
    return false;
}

static bool run(struct bw_cli *cli, const struct bw_arguments *given, struct bw_err *err) {
    struct bw_picture_options options = {.unjailed = bw_given(given, "unjailed")};
    struct bw_picture picture = {0};
    const char *pgm = bw_given_value(given, "pgm");
    if (!bw_picture_read(bw_given_value(given, "file"), &options, &picture, err)) return false;
    bool ok = true;
    if (pgm != NULL) ok = write_pgm(cli, &picture, pgm, err);
    bool told = pgm != NULL && strcmp(pgm, "-") == 0;  // the picture has the output for itself
    if (ok && !told)
        ok = bw_given(given, "json") ? write_json(cli, &picture, err)
                                     : write_text(cli, &picture, err);
    bw_picture_free(&picture);
    return ok;
}

static const struct bw_option OPTIONS[] = {
    {.name = "file",
     .value = "FILE",
     .takes = BW_TAKES_FILE,
     .positional = true,
     .required = true,
     .help = "the picture: JPEG, PNG, TIFF or HEIC"},
    {.name = "pgm",
     .value = "FILE",
     .takes = BW_TAKES_FILE,
     .help = "write the decoded grey, upright, as PGM; - for the standard output"},
    {.name = "json", .help = "print what is known as JSON"},
    BW_OPTION_UNJAILED,
    BW_OPTION_HELP,
    BW_END_OPTIONS,
};

const struct bw_command bw_command_picture = {
    .page = {.name = "picture",
             .summary = "say what a photo or scan is, and decode it",
             .about =
                 "Prints size, orientation, resolution, depth and the time taken of a picture, as "
                 "every "
                 "study of pictures gets it. Where it was taken is never looked at.\n\n"
                 "A picture from a stranger is decoded by a second program that can do nothing but "
                 "decode: no files, no network, no other program, bounded memory and time. How far "
                 "this "
                 "machine can lock it in is printed last. Where the lock is not full, decoding is "
                 "refused unless you say --unjailed.",
             .example = "beltwright picture photo.jpg --pgm grey.pgm",
             .options = OPTIONS},
    .run = run,
};
