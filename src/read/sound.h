// sound.h - a recording as samples: WAV, FLAC, OGG, MP3, or numbers in a text file.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_READ_SOUND_H
#define BW_READ_SOUND_H

#include "read/protocol.h"

struct bw_sound {
    size_t frames;  // samples of each channel
    size_t channels;
    double rate_hz;                // 0: the file does not say (numbers without a column of times)
    const float *samples;          // frame by frame; full scale is 1, or as written in a text file
    struct bw_sound_header about;  // format, depth, what was left out
    struct bw_jail_report jail;    // in which it was decoded
    void *map;                     // private: what bw_sound_free gives back
    uint64_t map_bytes;
};

struct bw_sound_options {  // zero: the usual
    bool unjailed;         // decode even where the jail is not full; only from a command line
    double wall_s;         // most time by the clock; 0: BW_MAX_READER_SECONDS
    const char *program;   // for tests: another reader, as a path
};

// Reads the sound file `path`; `options` may be NULL. Errors: BW_NOT_FOUND, BW_IO, and those of
// bw_reader_run, with the file named and the whole story in one line. `out` untouched on failure,
// but for its `jail`, which is filled as soon as it is known.
bool bw_sound_read(const char *path, const struct bw_sound_options *options, struct bw_sound *out,
                   struct bw_err *err) BW_CHECKED;
// The same from a descriptor open for reading, which stays the caller's; `name` is for messages.
bool bw_sound_read_open(int fd, const char *name, const struct bw_sound_options *options,
                        struct bw_sound *out, struct bw_err *err) BW_CHECKED;
void bw_sound_free(struct bw_sound *sound);  // NULL and zeroed are allowed

const char *bw_sound_format_name(enum bw_sound_format format);  // "WAV"

#endif
