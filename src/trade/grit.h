// grit.h - grit sizes: names as people write them, sizes, neighbours, and the other series by size.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Two series, FEPA P and CAMI, kept apart: grits of different series are compared by size and never
// by number. The figures and their sources are in data/grits.csv.
#ifndef BW_TRADE_GRIT_H
#define BW_TRADE_GRIT_H

#include "trade/table.h"

enum bw_grit_series { BW_GRIT_FEPA_P, BW_GRIT_CAMI, BW_GRIT_SERIES_COUNT };

struct bw_grit {
    const char *name;               // "P80", "CAMI 80"
    int series;                     // enum bw_grit_series
    int class;                      // 0 macro, 1 micro, BW_NO_CHOICE where the series does not say
    struct bw_quantity size;        // average grain size, m
    struct bw_quantity tolerance;   // of the average, m; unknown for most
    struct bw_trade_origin origin;
};

extern const struct bw_trade_carried bw_grits_carried;

// All grits: each series in one run, from coarse to fine.
struct bw_grits {
    const struct bw_grit *items;
    size_t n;
    size_t first[BW_GRIT_SERIES_COUNT], count[BW_GRIT_SERIES_COUNT];
};

// From the carried table; lives in the arena. Some 0.3 ms: load once, then ask often.
bool bw_grits_load(struct bw_arena *arena, struct bw_grits *out, struct bw_err *err) BW_CHECKED;

// Reads "P80", "p 80", "FEPA P80", "CAMI 80", "US 80", "ANSI 80", with or without "grit" behind it.
// A bare number is refused and both grits it may mean are offered with their sizes; F grades are
// refused because they are bonded. `out` points into `grits`. Errors: BW_INPUT with value and mend.
bool bw_grit_read(const struct bw_grits *grits, const char *text, size_t length,
                  const struct bw_grit **out, struct bw_err *err) BW_CHECKED;

// The grit of `series` whose size is nearest to `size_m` (m, > 0), by ratio; of two equally near
// the coarser.
const struct bw_grit *bw_grit_nearest(const struct bw_grits *grits, double size_m,
                                      enum bw_grit_series series);
// Nearest grit of the other series. `ratio_out` (may be NULL): its size over this one's.
const struct bw_grit *bw_grit_other(const struct bw_grits *grits, const struct bw_grit *grit,
                                    double *ratio_out);

// Neighbours in the same series, NULL past its ends.
const struct bw_grit *bw_grit_coarser(const struct bw_grits *grits, const struct bw_grit *grit);
const struct bw_grit *bw_grit_finer(const struct bw_grits *grits, const struct bw_grit *grit);

// By size, for sorting: < 0 where `a` is coarser. Equal sizes: FEPA P first.
int bw_grit_order(const struct bw_grit *a, const struct bw_grit *b);

// Grades left out when a belt of `to` follows one of `from`: P80 then P120 skips one (P100).
// Counted in `to`'s series; a `from` of the other series counts as its nearest there. 0 for
// neighbours, the same grit, and when `to` is not finer.
long bw_grit_skips(const struct bw_grits *grits, const struct bw_grit *from,
                   const struct bw_grit *to);

#endif
