// record.h - what the study `listen` is told and what it answers, as C records.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_LISTEN_RECORD_H
#define BW_STUDY_LISTEN_RECORD_H

#include "base/field.h"
#include "study/study.h"

enum listen_other { LISTEN_BEFORE, LISTEN_IDLE, LISTEN_OTHER_HEAD };
enum listen_use { LISTEN_USABLE, LISTEN_LIMITED, LISTEN_UNUSABLE };
enum listen_part {
    LISTEN_CAGE,
    LISTEN_ELEMENT,
    LISTEN_OUTER,
    LISTEN_INNER,
    LISTEN_NONE,
    LISTEN_UNKNOWN,  // cannot tell
    LISTEN_PARTS
};

struct listen_input {
    struct bw_file sound, machine, other;
    int other_is;
    long head, channel;
    const char *bearing;
    struct bw_quantity shaft;  // Hz
    int outer_turns;
    struct bw_quantity rate, mains;  // Hz
};

struct listen_remark {
    const char *text;
};
struct listen_recording {
    struct bw_quantity length;        // s
    struct bw_quantity rate;          // Hz
    struct bw_quantity top;           // Hz
    struct bw_quantity slowest;       // Hz
    struct bw_quantity level;         // dB under full scale
    struct bw_quantity clipped, hum;  // shares
    long channel;
    int use;
    struct bw_list remarks;  // struct listen_remark
};
struct listen_speed {
    const char *id, *name, *phrase;
    struct bw_quantity rate, stated;  // Hz
    struct bw_quantity level;         // dB, of its lines together
    long lines;                       // that stand out
    int decided;
};
struct listen_belt {
    const char *name;
    struct bw_quantity stated, found;  // m/s
};
struct listen_line {
    struct bw_quantity frequency, level, over, order;
    const char *source;
};
struct listen_bearing {
    const char *id, *name, *verdict, *evidence;
    struct bw_quantity shaft;                                       // Hz
    struct bw_quantity rate;                                        // Hz, of the part named
    struct bw_quantity low, high;                                   // Hz, band of the evidence
    struct bw_quantity cage, element, outer, inner, none, unknown;  // probabilities
    long harmonics, sidebands;
    int part;
};
struct listen_change {
    const char *name, *verdict;
    struct bw_quantity rate, change;  // Hz; dB, this recording over the other
};
struct listen_charts;
struct listen_output {
    const char *answer, *machine;
    const struct listen_recording *recording, *other;
    struct bw_list speeds;               // struct listen_speed
    struct bw_list belts;                // struct listen_belt
    struct bw_list bearings;             // struct listen_bearing
    struct bw_list lines;                // struct listen_line
    struct bw_list changes;              // struct listen_change
    struct bw_list remarks;              // struct listen_remark
    const struct listen_charts *charts;  // for the plots alone; no field
};

extern const struct bw_record listen_input_record, listen_output_record;

void listen_text(const void *out, struct bw_text *text);
void listen_plots(const void *out, struct bw_plots *plots);
void listen_findings(const void *out, struct bw_findings *findings);

#endif
