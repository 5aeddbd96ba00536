// protocol.h - what passes between a jailed reader and its client.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// A reader is started with three descriptors: 0 the file, 1 the room (a memory file of fixed size),
// 2 a pipe. Before it looks at the file it writes one line to the pipe, how far its jail was built;
// that line can be trusted, because nobody has had a chance to mislead the reader yet. Everything
// in the room was written by a program that has read a stranger's file: the client takes it for
// hostile and checks it.
//
// The room: struct bw_read_envelope, then the reader's own header (struct bw_picture_header,
// bw_sound_header), then the data. Numbers in the machine's own byte order: both ends are one
// build on one machine.
#ifndef BW_READ_PROTOCOL_H
#define BW_READ_PROTOCOL_H

#include "base/err.h"

#include <stdint.h>

#define BW_READ_MAGIC "BWREADER"
#define BW_READ_VERSION 1
#define BW_READ_DATA_AT 4096  // the two headers fit below; data begin on a page

// Start word of a reader: whether it may go on without its full jail.
#define BW_READ_FULL_ONLY "full-jail-only"
#define BW_READ_ANY_JAIL "any-jail"
// Exit status of a reader.
#define BW_READ_EXIT_DONE 0      // the room holds the data
#define BW_READ_EXIT_FAILED 1    // the room says why not
#define BW_READ_EXIT_UNJAILED 3  // stopped before reading: the jail is not full and was demanded
#define BW_READ_EXIT_START 127   // could not start at all

// How far the jail was built. Full: limits, no new privileges and the system-call filter (and
// Landlock where the kernel has it). Partial: Landlock or the filter is there but not what full
// asks for. None: neither.
enum bw_jail { BW_JAIL_NONE, BW_JAIL_PARTIAL, BW_JAIL_FULL };

struct bw_jail_report {
    enum bw_jail tier;
    bool no_new_privileges, filter;
    int landlock;   // version of the kernel's Landlock that is in force, 0: none
    bool by_build;  // left out on purpose by a sanitizer build
};

#define BW_JAIL_LINE 80
// The line a reader writes first, with its newline, and its reading. False: not such a line.
void bw_jail_line(char line[BW_JAIL_LINE], const struct bw_jail_report *report);
bool bw_jail_line_read(const char *text, size_t length, struct bw_jail_report *out) BW_CHECKED;
// For people: "full jail (system-call filter, Landlock 7)". Returns `text`.
#define BW_JAIL_TEXT 120
const char *bw_jail_text(char text[BW_JAIL_TEXT], const struct bw_jail_report *report);

enum bw_read_kind { BW_READ_PICTURE = 1, BW_READ_SOUND = 2, BW_READ_PROFILE = 3 };
enum bw_read_state { BW_READ_NOTHING, BW_READ_DONE, BW_READ_FAILED };

struct bw_read_envelope {
    char magic[8];  // BW_READ_MAGIC, no NUL
    uint32_t version, kind, state;
    uint32_t code;                 // FAILED: an enum bw_code
    uint64_t bytes;                // DONE: of the room that are used, headers included
    char what[BW_MAX_ERROR_TEXT];  // FAILED: one line of plain text
};

enum bw_picture_format { BW_FORMAT_JPEG = 1, BW_FORMAT_PNG, BW_FORMAT_TIFF, BW_FORMAT_HEIC };
enum bw_picture_scale {  // where the resolution was found
    BW_SCALE_NONE,
    BW_SCALE_JFIF,
    BW_SCALE_EXIF,
    BW_SCALE_PHYS,
    BW_SCALE_TIFF
};
enum bw_picture_transfer {  // what made codes of light
    BW_TRANSFER_SRGB,       // assumed or stated: IEC 61966-2-1
    BW_TRANSFER_GAMMA,      // a PNG's own gamma
    BW_TRANSFER_REC709,     // a HEIC's own statement
    BW_TRANSFER_LINEAR
};
#define BW_PICTURE_ALPHA 1u  // had transparency, which was left aside
#define BW_PICTURE_PALETTE 2u
#define BW_PICTURE_NARROW 4u       // black is code 16/255 and white 235/255; the table knows
#define BW_PICTURE_PROGRESSIVE 8u  // progressive or interlaced
#define BW_PICTURE_MORE 16u        // the file holds further pictures, which were not read
#define BW_PICTURE_FLAGS 31u

struct bw_picture_header {
    uint64_t width, height;            // upright, in pixels
    uint64_t codes_at, codes_bytes;    // rows from the top, no gaps; codes of `bits`
    uint64_t linear_at, linear_bytes;  // float[1 << bits]: code to linear light, 0 black to 1 white
    uint32_t bits;                     // 8 or 16
    uint32_t format, scale, transfer, flags;
    uint32_t file_bits, file_channels;  // as stored
    uint32_t orientation;               // as found, 1-8; the codes are upright already
    double x_per_m, y_per_m;            // pixels per metre of the upright picture; 0: not stated
    double gamma;                       // GAMMA: light = code ^ gamma; else 0
    char taken_at[32];                  // "2024-05-01T10:20:30" or with "+02:00"; "" if not stated
};

enum bw_sound_format {
    BW_SOUND_WAV = 1,
    BW_SOUND_FLAC,
    BW_SOUND_OGG,
    BW_SOUND_MP3,
    BW_SOUND_OTHER,  // another kind that the decoder knows: AIFF, AU, CAF ...
    BW_SOUND_CSV
};
#define BW_SOUND_CUT 1u    // the file goes on; the rest was not read
#define BW_SOUND_LOSSY 2u  // coded for the ear: what is above some frequency may be gone
#define BW_SOUND_FLAGS 3u

struct bw_sound_header {
    uint64_t frames;                     // samples of each channel
    uint64_t samples_at, samples_bytes;  // float[frames][channels], full scale 1 (CSV: as written)
    double rate_hz;                      // samples a second; 0: the file does not say
    uint32_t channels, format, flags;
    uint32_t bits;  // of a sample as stored; 0: not known
};

enum bw_profile_format {
    BW_PROFILE_TEXT = 1,  // columns of numbers
    BW_PROFILE_SMD,       // ISO 5436-2, text records
    BW_PROFILE_SDF_TEXT,  // ISO 25178-71
    BW_PROFILE_SDF_BINARY,
    BW_PROFILE_X3P  // ISO 5436-2, archive
};
enum bw_profile_sum {  // what the file's own check sums said
    BW_SUM_NONE,
    BW_SUM_RIGHT,
    BW_SUM_STALE  // the data's sum is right or absent, the description's is not
};

// What a text file left unsaid; numbers are then as they stand in it.
#define BW_PROFILE_BARE_HEIGHTS 1u  // heights have no unit
#define BW_PROFILE_BARE_PLACES 2u   // x and dx have no unit
#define BW_PROFILE_NO_PLACES 4u     // there is no x: dx is 1
#define BW_PROFILE_FLAGS 7u

// One profile (rows 1) or a surface of parallel ones. Heights in metres as the file has them, NaN
// where it has none, row by row.
struct bw_profile_header {
    uint64_t columns, rows;
    uint64_t heights_at, heights_bytes;  // double[rows][columns]
    uint64_t x_at, x_bytes;              // double[columns], rising, where unevenly spaced; 0: even
    uint64_t voids;                      // heights that are NaN
    double dx, dy;                       // m between points and between rows; dy 0 with one row
    uint32_t format, sum, flags;
    char made_at[32];  // date and time as the file has them, plain ASCII; "" if not stated
};

// Checks what stands at the start of the room, `length` bytes of it, in a room of `room_bytes`.
// True: the reader is done and all sizes hold together. Else the reader's own error, or BW_REFUSED
// if the header lies. Outputs untouched on failure.
bool bw_read_envelope_check(const void *bytes, size_t length, uint64_t room_bytes, uint32_t kind,
                            struct bw_read_envelope *out, struct bw_err *err) BW_CHECKED;
// The same for a picture's own header; `used` is the envelope's bytes.
bool bw_picture_header_check(const void *bytes, size_t length, uint64_t used,
                             struct bw_picture_header *out, struct bw_err *err) BW_CHECKED;
// The same for a recording's.
bool bw_sound_header_check(const void *bytes, size_t length, uint64_t used,
                           struct bw_sound_header *out, struct bw_err *err) BW_CHECKED;
// Every sample is a number.
bool bw_sound_samples_check(const float *samples, size_t count, struct bw_err *err) BW_CHECKED;
// The table: finite, within 0..1, never falling.
bool bw_picture_linear_check(const float *linear, size_t count, struct bw_err *err) BW_CHECKED;

// A profile's own header, and what it points to in the room at `room`: places, counts, spacing, no
// infinite height, as many voids as told, rising x.
bool bw_profile_header_check(const void *bytes, size_t length, uint64_t used,
                             struct bw_profile_header *out, struct bw_err *err) BW_CHECKED;
bool bw_profile_data_check(const unsigned char *room, const struct bw_profile_header *header,
                           struct bw_err *err) BW_CHECKED;

#endif
