// part.h - what the files of the study `thickness` share.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_STUDY_THICKNESS_PART_H
#define BW_STUDY_THICKNESS_PART_H

#include "numeric/linear.h"
#include "study/study.h"
#include "study/thickness/record.h"

#define MOST_READINGS 1000
#define MOST_PANELS 60
#define MOST_TERMS 12  // of the shape, beside panels and runs
#define MOST_LANES 2   // worn lanes looked for
#define DOUBT 0.01     // chance that sound readings lose one

// --- reading.c: what was typed -------------------------------------------------------------------

struct place {
    int across, along;  // -1 left or front, 0, 1 right or back
};
bool place_read(const char *text, struct place *out);  // "LF", "right back"; false: no place
// Times as "4.2 4.1 4.3 s", in seconds.
#define MOST_TIMES 60
struct times {
    double seconds[MOST_TIMES];
    size_t n;
};
bool times_read(const char *text, struct times *out);
#define TIMES_WANTED "needs two times or more and the unit, such as \"4.2 4.1 4.3 s\""

double panel_length(const struct thickness_input *in);  // m, the usual one where none is given
double panel_width(const struct thickness_input *in);

// A reading as the machine sees it.
struct point {
    const struct thickness_reading *reading;
    double value;
    double across;                 // m right of the machine's middle
    double along;                  // m from the edge that went in first
    double own_across, own_along;  // the same on the panel as marked, from its middle and front
    size_t panel, run;             // index
    bool wrong;
};

// Places worth names of their own, across the machine.
struct lane {
    double across;  // m
    size_t readings;
};

struct work {
    struct bw_run *run;
    const struct thickness_input *in;
    struct point *points;  // all readings
    size_t n;
    const char **panels;
    size_t n_panels;
    long *runs;
    size_t n_runs;
    struct thickness_output out;
    struct thickness_note *notes;
    bool failed;  // out of memory
};

struct bw_doubt doubt_of(const struct work *w);
#define MOST_NOTES 24
const char *say(struct work *w, const char *format, ...) BW_PRINTF(2, 3);
void note(struct work *w, const char *text);
void *items(struct work *w, size_t n, size_t size);  // zeroed, or `failed` set
// Every field of an output list's items not given.
void *blank_items(struct work *w, const char *list, size_t n);

// Reads all points. Errors: BW_LIMIT for too many panels, BW_MEMORY.
bool points_read(struct work *w, struct bw_err *err) BW_CHECKED;
const char *point_place(struct work *w, const struct point *point);  // "LF", "120 mm, 40 mm"

// --- shape.c: the shape of the panels ------------------------------------------------------------

enum term { LEVEL, TAPER, CROWN, LEAD, TRAIL, TWIN_TAPER, TWIN_LEAD, TWIN_TRAIL, WORN_LANE };
struct shape {
    struct bw_linear model;
    struct bw_linear_fit fit;
    size_t column[MOST_TERMS];
    int term[MOST_TERMS];
    size_t n_terms;
    struct level_set {                 // panels or runs among the rows
        size_t column;                 // of the first; one column less than levels
        size_t level[MOST_PANELS], n;  // which is which
    } panels, runs;
    struct lane lanes[MOST_LANES];
    size_t n_lanes;
    double sigma;        // m, of one reading
    const size_t *rows;  // index of each row among the points
};
enum pick { PICK_AFTER, PICK_BEFORE, PICK_ONLY };  // ONLY: head `head` alone
// Fits the picked readings; n_terms 0: too few of them. Marks wrong readings.
bool shape_fit(struct work *w, enum pick pick, long head, struct shape *out,
               struct bw_err *err) BW_CHECKED;
struct bw_quantity shape_value(const struct shape *shape, enum term term);  // unknown: not told
// Thickness of a panel with the shape taken off; of all panels together where `panel` is n_panels.
// Unknown: none of its readings was used.
struct bw_quantity shape_panel(const struct work *w, const struct shape *shape, size_t panel);
double shape_over(const struct work *w);  // m: the width over which taper is told
bool shape_report(struct work *w, struct bw_err *err) BW_CHECKED;

// --- the rest ------------------------------------------------------------------------------------

bool gauge_report(struct work *w, struct bw_err *err) BW_CHECKED;  // gauge.c
bool readout_report(struct work *w, const struct shape *shape,
                    struct bw_err *err) BW_CHECKED;                   // series.c
bool heads_report(struct work *w, struct bw_err *err) BW_CHECKED;     // series.c
void adjust_report(struct work *w, struct bw_quantity slope);         // setup.c
bool shoes_report(struct work *w, struct bw_err *err) BW_CHECKED;     // setup.c
bool tracking_report(struct work *w, struct bw_err *err) BW_CHECKED;  // setup.c
bool plan_report(struct work *w, struct bw_err *err) BW_CHECKED;      // plan.c

void thickness_text(const void *out, struct bw_text *text);  // view.c
void thickness_plots(const void *out, struct bw_plots *plots);
void thickness_findings(const void *out, struct bw_findings *findings);

#endif
