// picture.h - a picture file as upright grey codes with a table to linear light.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// JPEG, PNG, TIFF, HEIC (docs/readers.md says which kinds). A code is the luma of the values as
// stored, Rec. 601 weights (0.299, 0.587, 0.114), rounded to nearest; JPEG and HEIC give the luma
// they carry, untouched. `linear` takes codes to light: sRGB (IEC 61966-2-1) unless the file says
// otherwise. Places of taking are never passed on.
#ifndef BW_READ_PICTURE_H
#define BW_READ_PICTURE_H

#include "read/protocol.h"

struct bw_picture {
    uint32_t width, height;  // upright, pixels; rows follow each other without gaps
    int bits;                // 8: codes are uint8_t; 16: uint16_t
    const void *codes;
    const float *linear;             // linear[code], 0 black to 1 white; 1 << bits of them
    struct bw_picture_header about;  // format, resolution, orientation as found, time taken, ...
    struct bw_jail_report jail;      // in which it was decoded
    void *map;                       // private: what bw_picture_free gives back
    uint64_t map_bytes;
};

struct bw_picture_options {  // zero: the usual
    bool unjailed;           // decode even where the jail is not full; only from a command line
    double wall_s;           // most time by the clock; 0: BW_MAX_READER_SECONDS
    const char *program;     // for tests: another reader, as a path
};

// Reads the picture file `path`; `options` may be NULL. Errors: BW_NOT_FOUND, BW_IO, and those of
// bw_reader_run, with the file named and the whole story in one line. `out` untouched on failure,
// but for its `jail`, which is filled as soon as it is known.
bool bw_picture_read(const char *path, const struct bw_picture_options *options,
                     struct bw_picture *out, struct bw_err *err) BW_CHECKED;
// The same from a descriptor open for reading, which stays the caller's; `name` is for messages.
bool bw_picture_read_open(int fd, const char *name, const struct bw_picture_options *options,
                          struct bw_picture *out, struct bw_err *err) BW_CHECKED;
void bw_picture_free(struct bw_picture *picture);  // NULL and zeroed are allowed

// Row y (0: the top) as linear light into out[0 .. width).
void bw_picture_row(const struct bw_picture *picture, uint32_t y, float *out);

const char *bw_picture_format_name(enum bw_picture_format format);  // "JPEG"

#endif
