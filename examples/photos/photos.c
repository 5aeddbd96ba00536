// photos.c - see photos.h. Shops, machines and faults are invented.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "photos/photos.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

// --- what cut the panels -------------------------------------------------------------------------

// Three-head line: splice of head 2, 17.786 m/s over 2.616 m, at 7.302 m/min; its valleys are
// deeper than head 3 takes.
#define SPLICE_PITCH 0.017900
static const struct bw_imprint HEAD2_SPLICE[] = {
    {.kind = BW_IMPRINT_BUMP,
     .pitch = SPLICE_PITCH,
     .depth = 33.5e-6,
     .phase = 0.3,
     .slant = 0.003190,
     .wander = 0.004,
     .seed = 21},
};
static const struct bw_pass THREE_HEADS[] = {
    {BW_LAW_DISPLACEMENT, 0.1284, 0, 0.30e-3, NULL, 0},
    {BW_LAW_PRESSURE, 0.1027, 0.008, 0.10e-3, HEAD2_SPLICE, 1},
    {BW_LAW_PRESSURE, 0, 0.010, 0.03e-3, NULL, 0},
};

// Two-head sander at 12.06 m/min: splice of head 1 (steel) and, on a second panel, splice and drum
// of head 2 in one picture: 18.31 m/s, 1.902 m, drum 158.4 mm with 0.9 mm of belt.
static const struct bw_imprint HEAD2_BOTH[] = {
    {.kind = BW_IMPRINT_BUMP,
     .pitch = 0.020879,
     .depth = 2.2e-6,
     .phase = 0.1,
     .slant = 0.005119,
     .wander = 0.003,
     .seed = 31},
    {.kind = BW_IMPRINT_WAVE, .pitch = 0.0054936, .depth = 10e-6, .phase = 0.6},
};
static const struct bw_pass TWO_HEADS[] = {
    {BW_LAW_DISPLACEMENT, 0.0987, 0, 0.40e-3, NULL, 0},
    {BW_LAW_PRESSURE, 0.0801, 0.008, 0.08e-3, HEAD2_BOTH, 2},
};

// One drum: splice at 18.05 m/s over 1.9065 m, feed 16.5 ft/min; the panel slips at the nose.
static const struct bw_imprint DRUM_SPLICE[] = {
    {.kind = BW_IMPRINT_BUMP,
     .pitch = 0.0088534,
     .depth = 7e-6,
     .phase = 0.8,
     .slant = 0.002165,
     .wander = 0.003,
     .seed = 41},
};
static const struct bw_pass ONE_DRUM[] = {
    {BW_LAW_PRESSURE, 0.0805, 0.0076, 0.10e-3, DRUM_SPLICE, 1},
};

// The three-head line again, jerked by its chain: 19.05 mm of travel a link.
static const struct bw_imprint CHAIN[] = {
    {.kind = BW_IMPRINT_WAVE, .pitch = 0.01907, .depth = 7e-6, .phase = 0.2},
};
static const struct bw_pass CHAINED[] = {
    {BW_LAW_PRESSURE, 0, 0.010, 0.03e-3, CHAIN, 1},
};

static const struct bw_pass CLEAN[] = {
    {BW_LAW_PRESSURE, 0, 0.010, 0.05e-3, NULL, 0},
};

// A board from a moulder: 20.10 m/min, 5012 rpm, one knife of the four stands high.
static const struct bw_imprint KNIVES[] = {
    {.kind = BW_IMPRINT_BUMP, .pitch = 0.0040104, .depth = 0, .phase = 0.4},
};
static const struct bw_pass PLANED[] = {
    {BW_LAW_KNIVES, 0.0625, 0, 0.5e-3, KNIVES, 1},
};

// A hand block went over it, lightly.
static const struct bw_patch RUBBED[] = {{0.31, 0.26, 0.07, 0.05, 0.9}};

// --- the photos ----------------------------------------------------------------------------------

// Camera square above the panel; 1640 x 880 pixels of a third of a millimetre show 550 x 290 mm.
#define CAMERA(...)                                                                                \
    {                                                                                              \
        .width = 1640, .height = 880, .x = 0.290, .y = 0.170, .pixel = 0.333e-3, .shade = 0.15,    \
        .noise = 2.2, .quality = 84, __VA_ARGS__                                                   \
    }
// A torch beyond the leading end, low: 8 degrees in the middle of the picture.
#define TORCH                                                                                      \
    { .x = -0.80, .y = 0.20, .z = 0.150, .ambient = 0.10 }
#define PANEL(passes_, ...)                                                                        \
    {                                                                                              \
        .length = 0.62, .width = 0.36, .step = 0.25e-3, .passes = passes_,                         \
        .n_passes = COUNT(passes_), __VA_ARGS__                                                    \
    }
#define PENCIL                                                                                     \
    { .drawn = true, .first = 0.040, .second = 0.540, .arrow_x = 0.45, .arrow_y = 0.045 }

static const struct photo PHOTOS[] = {
    {.name = "three-head-splice",
     .machine = "three-head",
     .what = "maple; splice of head 2, fading across the width, rubbed at one place",
     .feed = 7.302 / 60,
     .marks = {{"head2.splice", SPLICE_PITCH}},
     .n_marks = 1,
     .scene = {.panel = PANEL(THREE_HEADS, .fade = 0.97, .patches = RUBBED, .n_patches = 1),
               .wood = WOOD_MAPLE,
               .torch = TORCH,
               .pencil = PENCIL,
               .seed = 11,
               .camera = CAMERA(.turn = 0.021, .tilt_x = 0.015, .tilt_y = -0.03)}},
    {.name = "two-head-two-sets",
     .machine = "two-head",
     .what = "MDF; splice and drum of head 2 in one picture",
     .feed = 12.06 / 60,
     .marks = {{"head2.splice", 0.020879}, {"head2.drum", 0.0054936}},
     .n_marks = 2,
     .scene = {.panel = PANEL(TWO_HEADS, .fade = 1),
               .wood = WOOD_MDF,
               .torch = TORCH,
               .pencil = PENCIL,
               .seed = 12,
               .camera = CAMERA(.turn = -0.014, .tilt_y = 0.02)}},
    {.name = "one-head-slip",
     .machine = "one-head",
     .what = "oak; splice, the panel slipping by 6 % at its nose",
     .feed = 0.08382,
     .marks = {{"head1.splice", 0.0088534}},
     .n_marks = 1,
     .scene = {.panel =
                   PANEL(ONE_DRUM, .fade = 1, .travel = {.lead_slip = -0.06, .lead_length = 0.10}),
               .wood = WOOD_OAK,
               .torch = TORCH,
               .pencil = PENCIL,
               .seed = 13,
               .camera = CAMERA(.turn = 0.008)}},
    {.name = "oak-nothing",
     .machine = "one-head",
     .what = "oak; no marks at all",
     .feed = 0.08382,
     .n_marks = 0,
     .scene = {.panel = PANEL(CLEAN, .fade = 1),
               .wood = WOOD_OAK,
               .torch = TORCH,
               .pencil = PENCIL,
               .seed = 14,
               .camera = CAMERA(.turn = -0.018, .tilt_y = 0.06)}},
    {.name = "lamp-bands",
     .machine = "three-head",
     .what = "maple; marks of the feed chain under a flickering lamp",
     .feed = 7.302 / 60,
     .marks = {{"feed.part2", 0.01907}},
     .n_marks = 1,
     .scene = {.panel = PANEL(CHAINED, .fade = 1),
               .wood = WOOD_MAPLE,
               .torch = TORCH,
               .pencil = PENCIL,
               .seed = 15,
               .camera = CAMERA(.turn = 0.010, .band = 0.015, .band_period = 47)}},
    {.name = "lamp-bands-turned",
     .machine = "three-head",
     .what = "the same panel, the phone turned a quarter turn",
     .feed = 7.302 / 60,
     .marks = {{"feed.part2", 0.01907}},
     .n_marks = 1,
     .scene = {.panel = PANEL(CHAINED, .fade = 1),
               .wood = WOOD_MAPLE,
               .torch = TORCH,
               .pencil = PENCIL,
               .seed = 15,
               .camera = {.width = 880,
                          .height = 1640,
                          .x = 0.290,
                          .y = 0.170,
                          .pixel = 0.333e-3,
                          .turn = 1.5808,
                          .shade = 0.15,
                          .noise = 2.2,
                          .quality = 84,
                          .band = 0.015,
                          .band_period = 47}}},
    {.name = "planed-board",
     .machine = "",
     .what = "maple, planed and not sanded: a board of known knife pitch to check a camera with",
     .feed = 20.10 / 60,
     .marks = {{"planer", 0.0040104}},
     .n_marks = 1,
     .scene = {.panel = PANEL(PLANED, .fade = 1),
               .wood = WOOD_MAPLE,
               .torch = TORCH,
               .pencil = PENCIL,
               .seed = 16,
               .camera = CAMERA(.turn = 0.012, .tilt_x = 0.01)}},
    {.name = NULL},
};

const struct photo *photos_all(void) { return PHOTOS; }
