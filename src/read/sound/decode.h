// decode.h - the decoders of recordings: from descriptor 0 into the room.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_READ_SOUND_DECODE_H
#define BW_READ_SOUND_DECODE_H

#include "base/err.h"
#include "read/jail/jail.h"

struct job {
    const struct bw_jail_room *room;
    struct bw_sound_header about;  // filled in all but samples_at and samples_bytes
};

// The samples' place in the room and how many values it takes.
float *job_samples(const struct job *job);
size_t job_samples_most(const struct job *job);

// Up to `bytes` of the file from `at`; less only at its end or when the disk fails.
size_t file_read(uint64_t at, void *to, size_t bytes);

// Each reads the whole recording. False: one line in err without a mend. Nothing is leaked.
bool decode_coded(struct job *job, struct bw_err *err) BW_CHECKED;    // WAV, FLAC, OGG, MP3, ...
bool decode_numbers(struct job *job, struct bw_err *err) BW_CHECKED;  // text

#endif
