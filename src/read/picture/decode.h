// decode.h - the decoders: one function per format, from the source to the sheet.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_READ_PICTURE_DECODE_H
#define BW_READ_PICTURE_DECODE_H

#include "read/picture/sheet.h"
#include "read/picture/source.h"

struct job {
    struct source source;
    struct sheet sheet;              // .room is set
    struct bw_picture_header about;  // filled in all but bits, sizes and places
};

// Each reads the whole picture. False: one line in err without a mend (BW_INPUT broken,
// BW_UNSUPPORTED, BW_LIMIT, BW_MEMORY); what stands in the sheet is then worthless. Nothing is
// leaked either way.
bool decode_jpeg(struct job *job, struct bw_err *err) BW_CHECKED;
bool decode_png(struct job *job, struct bw_err *err) BW_CHECKED;
bool decode_tiff(struct job *job, struct bw_err *err) BW_CHECKED;
bool decode_heic(struct job *job, struct bw_err *err) BW_CHECKED;

// Before the jail: tables that the HEVC library makes at its first use.
bool heic_prepare(struct bw_err *err) BW_CHECKED;

// Takes orientation, resolution (unless there is one already) and time over from an EXIF block.
void about_exif(struct bw_picture_header *about, const unsigned char *bytes, size_t length);

#endif
