// expect.h - the roughness a grit leaves in this shop, from the shop's own readings.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_TRACE_EXPECT_H
#define BW_STUDY_TRACE_EXPECT_H

#include "study/trace/record.h"
#include "trade/grit.h"

// Which readings may be compared: of one cut-off and direction, and of one stock where both say it.
struct trace_kind {
    const struct bw_grit *grit;  // NULL: not known
    const char *stock;
    double cut_off;  // m, NaN: not known
    int direction;
};

struct trace_expected {
    long readings, grits;   // of the record that could be used
    struct bw_quantity ra;  // of one place; unknown: not calibrated
    struct bw_list grains;  // struct trace_grain: the readings used, and the line's ends
};

// Ra = a + b times grain size by least squares, once three grits are on record and one reading
// more than the line has numbers; the sd is of one more place. Grits that cannot be read are an
// error with their place. Errors: BW_INPUT, BW_MEMORY.
bool trace_expect(struct bw_arena *arena, const struct bw_grits *grits,
                  const struct bw_list *record, const struct trace_kind *kind,
                  struct trace_expected *out, struct bw_err *err) BW_CHECKED;

// Measured against expected, in words; NULL where nothing is expected.
const char *trace_compare(struct bw_arena *arena, const struct trace_expected *expected,
                          struct bw_quantity ra, const struct bw_grit *grit);

#endif
