// limits.h - every maximum of the program in one place, each with its reason.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_BASE_LIMITS_H
#define BW_BASE_LIMITS_H

#include <stdint.h>

// A hand-written document (machine file, knowledge file) is some hundred lines; 1 MiB is a mistake.
#define BW_MAX_DOCUMENT_BYTES ((size_t)1 << 20)
// A machine file nests five deep; 32 leaves room and keeps recursion off the guard page.
#define BW_MAX_DEPTH 32
// Nodes one document may make: 1 MiB of "- a" lines is 350,000; nobody's machine has 100,000 keys.
#define BW_MAX_NODES 100000
// Spaces and line breaks in a row in a YAML document; a hand leaves some dozens at most, and the
// time the scanner takes grows with the square.
#define BW_MAX_BLANK_RUN 500
// Longest quantity anybody types is about forty characters; longer text is refused unread.
#define BW_MAX_QUANTITY_TEXT 200
// Longest option value or phrase ("14.6 mm at 24 ft/min ...").
#define BW_MAX_PHRASE 1000
// What one request or study may hold; a study that wants more is wrong or attacked.
#define BW_MAX_ARENA_BYTES ((size_t)512 << 20)
// One growing buffer (a JSON answer, an SVG): far above any real one.
#define BW_MAX_BUFFER_BYTES ((size_t)64 << 20)
// Words of an error that people read in one glance; longer input is cut with an ellipsis.
#define BW_MAX_ERROR_TEXT 400
#define BW_MAX_ERROR_FIELD 160
#define BW_MAX_ERROR_FILE 240
// A carried table: woods are some eighty rows of fourteen columns, a cell is a sentence at most.
#define BW_MAX_TABLE_ROWS 2000
#define BW_MAX_TABLE_COLUMNS 40
#define BW_MAX_TABLE_CELL 1000

// A picture file: a 100-megapixel 16-bit colour scan without compression has 600 MB.
#define BW_MAX_PICTURE_FILE_BYTES ((uint64_t)1 << 30)
// Decoded grey codes and what the decoder holds besides, together: with the programs themselves
// this stays under the 250 MB promised for a picture of 100 megapixels.
#define BW_MAX_PICTURE_WORK_BYTES ((uint64_t)220000000)
// Pixels along one side; the longest flatbed scan at 2400 dpi has 40,000.
#define BW_MAX_PICTURE_SIDE 100000
// A sound file: an hour of two channels of 16 bits at 48 kHz has 690 MB.
#define BW_MAX_SOUND_FILE_BYTES ((uint64_t)1 << 30)
// Decoded samples, four bytes each: eleven minutes of two channels at 48 kHz. More is left unread.
#define BW_MAX_SOUND_BYTES ((uint64_t)256 << 20)
// What a sound decoder holds besides.
#define BW_MAX_SOUND_WORK_BYTES ((uint64_t)64 << 20)
// Sensors on a machine are four at most; recorders have eight tracks.
#define BW_MAX_SOUND_CHANNELS 16
// Samples a second; vibration is recorded at up to some 200,000.
#define BW_MAX_SOUND_RATE 2e6
// A line of numbers in a text file of samples.
#define BW_MAX_SOUND_LINE 4096

// What a reader may say on its standard error; one line is usual.
#define BW_MAX_READER_TALK 4096
// A reader's time by the clock and of the processor: 100 megapixels take up to eight seconds of
// computing, and a shop's laptop is slower and has other things to do.
#define BW_MAX_READER_SECONDS 120
#define BW_MAX_READER_CPU_SECONDS 60

// A surface trace or map: instruments store up to 4 million points; 8 million heights are 64 MB.
#define BW_MAX_PROFILE_POINTS ((uint64_t)8000000)
#define BW_MAX_PROFILE_FILE_BYTES ((uint64_t)128 << 20)
// What the reader may hold besides the heights: the file, and an archive's largest member unpacked.
#define BW_MAX_PROFILE_WORK_BYTES ((uint64_t)300 << 20)
// A line of a text file, and the columns in it; a logger writes some ten.
#define BW_MAX_PROFILE_LINE 4096
#define BW_MAX_PROFILE_COLUMNS 64

#endif
