// work.h - what the parts of the study `trace` share while it runs.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_TRACE_WORK_H
#define BW_STUDY_TRACE_WORK_H

#include "study/trace/expect.h"
#include "study/trace/measure.h"
#include "study/trace/profile.h"
#include "study/trace/record.h"

#define TRACE_MOST_REMARKS 20

struct trace_work {
    struct bw_run *run;
    struct bw_arena *arena;
    const struct trace_input *in;
    struct bw_grits grits;
    struct bw_list record;  // struct trace_reading, the shop's
    struct trace_output out;
    struct trace_parameters *parameters;
    struct trace_remark *remarks;
    struct trace_heights heights;  // the middle profile
    struct trace_measured middle;
    bool failed;  // out of memory in a text
};

const char *trace_say(struct trace_work *w, const char *format, ...) BW_PRINTF(2, 3);
void trace_remark(struct trace_work *w, const char *text);  // once each
// NULL text gives NULL.
bool trace_grit(struct trace_work *w, const char *text, const struct bw_grit **out,
                struct bw_err *err) BW_CHECKED;

// The chart of roughness against grain size: what is expected, and what was measured after `grit`.
bool trace_grains(struct trace_work *w, const struct trace_expected *expected,
                  const struct bw_grit *grit, struct bw_quantity ra) BW_CHECKED;

// Typed readings into groups, with what is wrong with the tester's settings (readings.c).
bool trace_readings(struct trace_work *w, struct bw_err *err) BW_CHECKED;
// Equally spaced marks in the middle profile (marks.c).
bool trace_marks(struct trace_work *w, const struct trace_settings *s,
                 struct bw_err *err) BW_CHECKED;
// Curves for the plots, from the middle profile (curves.c). false: out of memory.
bool trace_curves(struct trace_work *w, const struct trace_settings *s) BW_CHECKED;

#endif
