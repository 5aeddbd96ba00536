// main.c - beltwright-read-picture: a stranger's picture in, upright grey codes out, in a jail.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Started by src/read/reader.c with the file on 0, the room on 1, a pipe on 2. docs/readers.md.
#include "read/jail/jail.h"
#include "read/picture/decode.h"
#include "read/picture/exif.h"
#include "read/picture/linear.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

void about_exif(struct bw_picture_header *about, const unsigned char *bytes, size_t length) {
    struct exif exif;
    exif_read(bytes, length, &exif);
    if (exif.orientation != 0) about->orientation = exif.orientation;
    if (about->scale == BW_SCALE_NONE && exif.x_per_m > 0 && exif.y_per_m > 0) {
        about->scale = BW_SCALE_EXIF;
        about->x_per_m = exif.x_per_m;
        about->y_per_m = exif.y_per_m;
    }
    memcpy(about->taken_at, exif.taken_at, sizeof about->taken_at);
}

// What a file is, by its first bytes and never by its name.
struct sort {
    const char *bytes;
    size_t length, at;
    bool (*decode)(struct job *job, struct bw_err *err);  // NULL: known but not read
    const char *name;
};
static const struct sort SORTS[] = {
    {"\xff\xd8\xff", 3, 0, decode_jpeg, "JPEG"},
    {"\x89PNG\r\n\x1a\n", 8, 0, decode_png, "PNG"},
    {"II*\0", 4, 0, decode_tiff, "TIFF"},
    {"MM\0*", 4, 0, decode_tiff, "TIFF"},
    {"II+\0", 4, 0, decode_tiff, "BigTIFF"},
    {"MM\0+", 4, 0, decode_tiff, "BigTIFF"},
    {"ftypheic", 8, 4, decode_heic, "HEIC"},
    {"ftypheix", 8, 4, decode_heic, "HEIC"},
    {"ftypheim", 8, 4, decode_heic, "HEIC"},
    {"ftypmif1", 8, 4, decode_heic, "HEIF"},
    {"ftyphevc", 8, 4, NULL, "a HEIC sequence of pictures"},
    {"ftyphevx", 8, 4, NULL, "a HEIC sequence of pictures"},
    {"ftypmsf1", 8, 4, NULL, "a HEIF sequence of pictures"},
    {"ftypavif", 8, 4, NULL, "an AVIF picture"},
    {"ftypavis", 8, 4, NULL, "an AVIF sequence"},
    {"ftyp", 4, 4, NULL, "a video or another file in boxes"},
    {"GIF8", 4, 0, NULL, "a GIF"},
    {"BM", 2, 0, NULL, "a BMP picture"},
    {"RIFF", 4, 0, NULL, "a WebP picture, a sound or a video"},
    {"\0\0\0\x0cJXL ", 8, 0, NULL, "a JPEG XL picture"},
    {"\xff\x0a", 2, 0, NULL, "a JPEG XL picture"},
    {"\0\0\0\x0cjP  ", 8, 0, NULL, "a JPEG 2000 picture"},
    {"%PDF", 4, 0, NULL, "a PDF"},
    {"PK\3\4", 4, 0, NULL, "a ZIP archive or an office document"},
    {"<", 1, 0, NULL, "a web page or a drawing"},
};

static bool decode(struct job *job, struct bw_err *err) {
    if (!source_open(job->sheet.room->file_bytes, &job->source, err)) return false;
    char head[16] = {0};
    size_t n = source_read_at(&job->source, 0, head, sizeof head);
    for (size_t i = 0; i < sizeof SORTS / sizeof SORTS[0]; i++) {
        const struct sort *sort = &SORTS[i];
        if (n < sort->at + sort->length || memcmp(head + sort->at, sort->bytes, sort->length) != 0)
            continue;
        if (sort->decode != NULL) return sort->decode(job, err);
        return bw_fail(err, BW_UNSUPPORTED,
                       "this is %s; send the picture as JPEG, PNG, TIFF or HEIC", sort->name);
    }
    return bw_fail(err, BW_UNSUPPORTED, "no picture of a kind read here (JPEG, PNG, TIFF, HEIC)");
}

// A resolution that nobody can mean is none; turned pictures have it the other way round.
static void settle_scale(struct bw_picture_header *about) {
    bool sound = about->x_per_m >= 1 && about->x_per_m <= 1e8 && about->y_per_m >= 1 &&
                 about->y_per_m <= 1e8;
    if (about->scale == BW_SCALE_NONE || !sound) {
        about->scale = BW_SCALE_NONE;
        about->x_per_m = about->y_per_m = 0;
    } else if (about->orientation >= 5) {
        double x = about->x_per_m;
        about->x_per_m = about->y_per_m;
        about->y_per_m = x;
    }
}

static int answer(struct job *job, const struct bw_jail_room *room) {
    settle_scale(&job->about);
    linear_fill(&job->about, (float *)(void *)(room->bytes + job->about.linear_at));
    memcpy(room->bytes + sizeof(struct bw_read_envelope), &job->about, sizeof job->about);
    return bw_jail_answer_done(room, BW_READ_PICTURE, job->about.codes_at + job->about.codes_bytes);
}

int main(int argc, char **argv) {
    struct bw_jail_room room;
    struct bw_err err = {0};
    bool ready = heic_prepare(&err);
    int status = bw_jail_start(argc, argv, &room);
    if (status == 0) {
        struct job job = {.sheet.room = &room, .about.orientation = 1};
        job.sheet.about = &job.about;
        if (ready && decode(&job, &err))
            status = answer(&job, &room);
        else
            status = bw_jail_answer_failed(&room, BW_READ_PICTURE, &err);
        sheet_close(&job.sheet);
    }
#ifdef BW_JAIL_OFF
    return status;  // lets the sanitizer look for leaks
#else
    _exit(status);  // libraries' farewells have no business in the jail
#endif
}
