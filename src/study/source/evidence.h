// evidence.h - what was read off panels and machine, and the hypotheses it allows.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_SOURCE_EVIDENCE_H
#define BW_STUDY_SOURCE_EVIDENCE_H

#include "machine/model.h"
#include "study/source/record.h"

#define MAX_ITEMS (SOURCE_MAX_MARKS + SOURCE_MAX_RATES)

// One way an observation may have come about. Its predicted ln(pitch) or ln(rate) is `form`.
struct hypothesis {
    const struct bw_source *source;
    int harmonic;  // index into the source's
    int copy;      // unlisted sources: index of the item that brought it in, else 0
    double weight;  // prior, with look, depth, heads in cut and trials; 0: only as a follower
    struct bw_form form;
    double slant, slant_sd;  // expected slope of the mark across, and what is uncertain about it
};

struct item {
    int mark;          // index into the input's marks, -1: a rate
    bool given;        // told what it is
    int setting;       // index, -1 for a rate
    int follows;       // item index it must share its source with, -1
    double value, sd;  // ln(pitch) or ln(rate)
    bool has_slant;
    double slant, slant_reading_sd;
    struct bw_form crook;  // slope of the panel itself, shared by all marks of a setting
    struct hypothesis *hypotheses;
    int n;
};

struct setting {
    struct bw_quantity feed;  // as stated, v NaN: not
    struct bw_form form;      // of ln(feed)
    double typical;           // m/s, best guess
    double own_sd;            // relative, the part not shared with other settings
    int bias;                 // variable shared by all feeds read that way, -1
    int crook;                // variable
};

// A discrete error that would shift or loosen some speeds.
#define MAX_SHIFTS (BW_MAX_HEADS + 8)
struct scenario {
    const char *name;  // NULL: all as stated
    double weight;
    int n;
    struct {
        int variable;
        double shift, extra_sd;
    } shifts[MAX_SHIFTS];
};

#define MAX_SETTINGS SOURCE_MAX_MARKS
#define MAX_SCENARIOS (BW_MAX_HEADS + 6)
#define MAX_ASSUMPTIONS 24

struct evidence {
    struct bw_arena *arena;
    struct bw_model *model;
    const struct source_input *input;
    struct item items[MAX_ITEMS];
    int n_items;
    struct setting settings[MAX_SETTINGS];
    int n_settings;
    struct scenario scenarios[MAX_SCENARIOS];
    int n_scenarios;
    int unlisted[2][MAX_ITEMS];  // variables of unlisted sources, paced and timed, by item
    struct source_line assumptions[MAX_ASSUMPTIONS];
    int n_assumptions;
    bool failed;  // sticky, out of memory
};

// Errors: BW_MEMORY, BW_NOT_FOUND (an `is` that names no source), BW_INPUT.
bool evidence_gather(struct bw_arena *arena, struct bw_model *model,
                     const struct source_input *input, struct evidence **out,
                     struct bw_err *err) BW_CHECKED;

// The first mark that nobody named, as an item index; the first mark if all are named.
int evidence_focus(const struct evidence *evidence);

bool same_hypothesis(const struct hypothesis *a, const struct hypothesis *b);

#endif
