// harmonics.h - how much a spectrum speaks for a family of lines at k f, and for which f.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_NUMERIC_HARMONICS_H
#define BW_NUMERIC_HARMONICS_H

#include "numeric/spectra.h"

#define BW_HARMONICS_MOST 24

// What a family should look like: the chance that its k-th line stands out, and how its levels
// fall.
struct bw_family {
    int n;  // lines looked at, at most BW_HARMONICS_MOST
    double chance[BW_HARMONICS_MOST];
    double fall_db;    // from one line to the next; NaN: levels say nothing
    double spread_db;  // sd about that
};

// Lines that something else explains: their places say nothing about a family.
struct bw_explained {
    double rate_hz;  // all whole multiples of it
};
#define BW_EXPLAINED_MOST 16

struct bw_search {
    const struct bw_lines *lines;
    const struct bw_family *family;
    const struct bw_explained *explained;
    int n_explained;
    double middle, relative_sd;  // prior of f, normal in ln f
    double reach;                // looked at within this many sd
};
struct bw_found {
    double log_evidence;  // ln of the Bayes factor over "no such family", f integrated out
    double f, sd;         // at its likeliest place, refined; Hz
    int counted;          // lines that stand out by themselves
    int looked;           // lines that could
    double level_db[BW_HARMONICS_MOST];  // over the floor, NaN: not looked at
};

// ln of the Bayes factor for a family at exactly f.
double bw_harmonics_at(const struct bw_search *search, double f);
// The same with f integrated over its prior, and its likeliest value refined by the lines that
// stand out. Accuracy: sd is that of a weighted fit to their places, widened where they scatter and
// where other values of f are nearly as likely.
void bw_harmonics_find(const struct bw_search *search, struct bw_found *out);

// Ratio at a frequency between bins; 0 outside.
double bw_lines_at(const struct bw_lines *lines, double f);
// Least ratio that stands out: noise reaches it at one bin in a hundred thousand.
double bw_lines_threshold(int segments);

#endif
