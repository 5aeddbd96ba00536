// part.h - what the files of the study `listen` share.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_LISTEN_PART_H
#define BW_STUDY_LISTEN_PART_H

#include "machine/model.h"
#include "numeric/harmonics.h"
#include "numeric/spectra.h"
#include "read/sound.h"
#include "study/listen/record.h"

#define LISTEN_MOST_SPEEDS 48
#define LISTEN_MOST_BEARINGS 40
#define LISTEN_MOST_REMARKS 12
#define LISTEN_TURNS 30.0  // of the slowest part sought, least (common practice, no source)

// Something that may be heard to turn: a source of the machine file, the shaft given, or a family
// of lines that nobody has named.
struct listen_turner {
    const struct bw_source *source;  // NULL: none
    const char *name;
    struct bw_form form;       // of ln rate in the belief; n 0: it is not in the belief
    double stated, stated_sd;  // Hz, before listening
    struct bw_family family;
    bool heard, decided;
    struct bw_found found;  // where heard
    double rate, sd;        // Hz, after all that was heard
};

// One recording, listened to.
struct listen_ear {
    struct bw_run *run;
    const struct listen_input *input;
    const struct bw_sound *sound;
    struct bw_record_of record;
    struct bw_spectra spectra;
    struct listen_recording *verdict;
    struct bw_model *model;  // NULL: no machine file
    struct bw_gauss *told;   // the belief, with what was heard
    double mains;            // Hz, NaN: not known
    struct listen_turner turners[LISTEN_MOST_SPEEDS];
    int n_turners;
    int order[LISTEN_MOST_SPEEDS];  // of the turners heard, the surest first
    int n_heard;
    struct bw_explained explained[BW_EXPLAINED_MOST];
    int n_explained;
};

struct listen_charts {
    const struct listen_ear *ear;
    const struct listen_bearing *bearing;  // the one to draw, or NULL
    struct bw_band band;                   // its envelope
    double part_rate[4];                   // Hz, where its parts' blows would be
    uint8_t *gram;                         // spectrogram; NULL: none
    struct bw_gram size;
};

bool listen_check_recording(struct listen_ear *ear, struct bw_err *err) BW_CHECKED;
// After the spectra are made: band and hum.
bool listen_judge_recording(struct listen_ear *ear, struct bw_err *err) BW_CHECKED;

bool listen_speeds(struct listen_ear *ear, struct bw_err *err) BW_CHECKED;

bool listen_bearings(struct listen_ear *ear, struct bw_list *out, struct listen_charts *charts,
                     struct bw_err *err) BW_CHECKED;

// Level in dB of a turner's lines together in this recording.
double listen_level(const struct listen_ear *ear, const struct listen_turner *turner);

bool listen_charts_make(struct listen_ear *ear, struct listen_charts *charts,
                        struct bw_err *err) BW_CHECKED;

#endif
