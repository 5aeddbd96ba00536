// model.h - everything in a machine that can leave a repeating mark, and how sure.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// All rates and pitches are products of powers of a few uncertain quantities (belt speed, belt
// length, drum circumference ...), so their logarithms are linear forms over one joint normal
// belief. That is what lets one measured mark sharpen every other.
#ifndef BW_MACHINE_MODEL_H
#define BW_MACHINE_MODEL_H

#include "machine/machine.h"
#include "numeric/gauss.h"

enum bw_part {
    BW_PART_SPLICE,
    BW_PART_DRUM,
    BW_PART_ROLLER,
    BW_PART_BEARING,
    BW_PART_MOTOR,
    BW_PART_DRIVE_BELT,
    BW_PART_BRUSH,
    BW_PART_MAINS,
    BW_PART_OSCILLATION,
    BW_PART_BEAT,
    BW_PART_FEED_BELT,
    BW_PART_FEED_DRIVE,
    BW_PART_HOLD_DOWN,
    BW_PART_PLANER,
    BW_PART_UNLISTED_TIMED,  // something that turns or shakes in time and is not in the file
    BW_PART_UNLISTED_PACED,  // something tied to the panel's travel and not in the file
    BW_PART_COUNT
};

struct bw_harmonic {  // the mark set's pitch is the source's pitch over `order`
    double order;
    double share;       // of this source's prior
    const char *fault;  // what is wrong then: "out of round"; NULL: nothing particular
    double narrow;      // chance that the marks look narrow rather than like smooth waves
};
#define BW_MAX_HARMONICS 26

struct bw_source {
    const char *id;    // "head2.splice": stable, used in documents
    const char *name;  // "head 2 belt splice"
    enum bw_part part;
    int head;    // index, -1: none
    bool timed;  // form is ln(rate in Hz); else ln(pitch in m)
    bool wide;   // some value it hangs on is unknown in the file
    struct bw_form form;
    int n_harmonics;
    struct bw_harmonic harmonics[BW_MAX_HARMONICS];
    double weight;  // prior, not yet normalised
    double lean;  // tan of the mark's slant per metre of pitch, splice only: tan(angle)/length; NaN
                  // unknown
};

struct bw_cost {  // what an unknown value costs
    const char *field, *text;
    int head;  // index of the head it bears on, -1: the feed side
};

struct bw_model {
    struct bw_arena *arena;
    const struct bw_machine *machine;
    struct bw_gauss *belief;  // over the variables; room is left for feeds (BW_MODEL_SPARE)
    const char **variables;   // their names, capacity of the belief
    bool *motor_bound;  // variable scales with the mains frequency if the plate is for another one
    int *belt_speed;    // variable of each head's belt speed, -1: none
    struct bw_source *sources;
    int n_sources;
    struct bw_cost *costs;
    int n_costs;
    bool failed;  // sticky: out of memory while building
};

#define BW_MODEL_SPARE 64

// Builds the model in `arena`. Errors: BW_MEMORY; BW_NOT_FOUND or BW_INPUT for a bearing or grit
// that cannot be read (the error names the field; the caller adds the file).
bool bw_model_build(struct bw_arena *arena, const struct bw_machine *machine, struct bw_model **out,
                    struct bw_err *err) BW_CHECKED;

// A new variable, known only to ln(value) = mean with sd; its index.
int bw_model_variable(struct bw_model *model, const char *name, double value, double relative_sd);

const struct bw_source *bw_model_find(const struct bw_model *model, const char *id);
const char *bw_part_word(enum bw_part part);  // "belt splice"

// The height a source can leave at a pitch (m), by what presses the belt.
struct bw_height {
    double ridge;  // m, highest; NaN: nothing bounds it
    double share;  // of a mark that passes the pressing part's length, 1 where it is a steel drum
};
struct bw_height bw_source_height(const struct bw_model *model, const struct bw_source *source,
                                  double pitch);

#define BW_SEEN_RIDGE 1e-6  // m; lower ridges cannot be seen (common practice, no source)

#endif
