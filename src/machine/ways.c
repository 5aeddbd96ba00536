// ways.c - the ways these quantities are really measured, and the standard deviation each deserves.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Source of every number here: common practice, no source; meant as editable defaults. `shared`
// is the part of the variance that all readings taken this way have in common (a dial never set
// again is wrong by the same factor at every setting; a stopwatch errs anew each time).
#include "machine/machine.h"

const struct bw_way bw_feed_ways[] = {
    {"dial", "read off the variator's dial", 0.10, 0, 0.8},
    {"display", "read off the drive's display", 0.04, 0, 0.8},
    {"plate", "the rating plate's figure", 0.10, 0, 0.8},
    {"watch", "a mark on the feed belt timed over 3 m", 0.01, 0, 0.3},
    {"timed 3 m", "a mark on the feed belt timed over 3 m", 0.01, 0, 0.3},
    {"film", "a panel of known length filmed in cut, nose and tail past a post", 0.0025, 0, 0.2},
    {NULL, NULL, 0, 0, 0},
};
const struct bw_way bw_belt_speed_ways[] = {
    {"plate", "the rating plate's figure", 0.05, 0, 1},
    {"motor", "motor speed times pulleys times drum", 0.02, 0, 1},
    {"display", "read off the drive's display", 0.04, 0, 1},
    {"tachometer", "a contact wheel or optical pick-up fitted locked out", 0.005, 0, 1},
    {"recording", "splice rate from a recording, doors shut, times the belt's length", 0.0032, 0,
     1},
    {NULL, NULL, 0, 0, 0},
};
const struct bw_way bw_diameter_ways[] = {
    {"plate", "as built; a reground drum is 1 to 4 % smaller", 0.015, 0, 1},
    {"tape", "tape round it, over pi", 0.003, 0, 1},
    {"caliper", "a large caliper", 0.002, 0, 1},
    {"rule", "a rule held across", 0.01, 0, 1},
    {NULL, NULL, 0, 0, 0},
};
const struct bw_way bw_circumference_ways[] = {
    {"tape", "tape round it, locked out", 0.003, 0, 1},
    {NULL, NULL, 0, 0, 0},
};
const struct bw_way bw_belt_length_ways[] = {
    {"print", "printed on the belt's back", 0.003, 0, 1},
    {"tape", "tape along both edges, the mean", 0.002, 0, 1},
    {"plate", "the machine's plate", 0.004, 0, 1},
    {NULL, NULL, 0, 0, 0},
};
const struct bw_way bw_pitch_ways[] = {
    {"rule", "ten to twenty marks counted along a rule", 0.015, 0, 0},
    {"one gap", "one gap measured with a rule", 0.03, 0.0005, 0},
    {"tape", "marks counted over a metre of tape", 0.008, 0, 0},
    {"photo", "a photo with a rule or tape laid on the panel", 0.015, 0, 0.5},
    {"pencil lines", "a photo with two pencil lines 500 mm apart on the face", 0.0025, 0, 0.5},
    {"card", "a photo with a bank card near the marks", 0.008, 0, 0.5},
    {"scan", "a flatbed scan", 0.003, 0, 0.5},
    {NULL, NULL, 0, 0, 0},
};
const struct bw_way bw_rate_ways[] = {
    {"recording", "a phone recording, doors shut, this head alone", 0.001, 0, 0},
    {"pick-up", "an optical pick-up on tape, fitted locked out, read with doors shut", 0.0005, 0,
     0},
    {"film", "counted frames of a film through the window", 0.003, 0, 0},
    {NULL, NULL, 0, 0, 0},
};
const struct bw_way bw_turns_ways[] = {
    {"plate", "the motor's plate at its rated load", 0.01, 0, 1},
    {"pick-up", "an optical pick-up on tape, fitted locked out, read with doors shut", 0.0005, 0,
     1},
    {"display", "read off the drive's display", 0.02, 0, 1},
    {NULL, NULL, 0, 0, 0},
};
const struct bw_way bw_strokes_ways[] = {
    {"watch", "ten cycles timed", 0.03, 0, 1},
    {"plate", "as set by the maker", 0.15, 0, 1},
    {NULL, NULL, 0, 0, 0},
};
