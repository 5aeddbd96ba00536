// probes.c - see probes.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "machine/probes.h"

#include "machine/contact.h"

// One probe is one function of contact.h with its inputs in order.
#define PROBE(name, call)                                                                          \
    static bool name(const struct bw_probe_value *in, struct bw_probe_value *out,                  \
                     struct bw_err *err) {                                                         \
        (void)err;                                                                                 \
        out->v = call;                                                                             \
        return true;                                                                               \
    }
PROBE(pitch_of_rate, bw_pitch_of_rate(in[0].v, in[1].v))
PROBE(splice_rate, bw_splice_rate(in[0].v, in[1].v))
PROBE(roll_rate, bw_roll_rate(in[0].v, in[1].v, in[2].v))
PROBE(knife_pitch, bw_knife_pitch(in[0].v, in[1].v, in[2].v))
PROBE(ridge, bw_ridge(in[0].v, in[1].v))
PROBE(contact_share, bw_contact_share(in[0].v, in[1].v))
PROBE(splice_lag, bw_splice_lag(in[0].v, in[1].v, in[2].v, in[3].v))
PROBE(cross_lean, bw_cross_lean(in[0].v, in[1].v))
PROBE(beat_pitch, bw_beat_pitch(in[0].v, in[1].v))
#undef PROBE

const struct bw_probe bw_machine_probes[] = {
    {"pitch_of_rate",
     "pitch of the marks of a part that turns in time",
     {{"feed", BW_DIM_FEED, false}, {"rate", BW_DIM_RATE, false}},
     BW_DIM_LENGTH,
     false,
     pitch_of_rate},
    {"splice_rate",
     "how often a splice passes",
     {{"speed", BW_DIM_SPEED, false}, {"length", BW_DIM_LENGTH, false}},
     BW_DIM_RATE,
     false,
     splice_rate},
    {"roll_rate",
     "turns of a roll under a belt",
     {{"speed", BW_DIM_SPEED, false},
      {"diameter", BW_DIM_LENGTH, false},
      {"belt", BW_DIM_LENGTH, false}},
     BW_DIM_RATE,
     false,
     roll_rate},
    {"knife_pitch",
     "pitch of knife marks",
     {{"feed", BW_DIM_FEED, false},
      {"speed", BW_DIM_TURNS, false},
      {"showing", BW_DIM_NUMBER, false}},
     BW_DIM_LENGTH,
     false,
     knife_pitch},
    {"ridge",
     "highest ridge between circles of a radius at a pitch",
     {{"pitch", BW_DIM_LENGTH, false}, {"radius", BW_DIM_LENGTH, false}},
     BW_DIM_DEPTH,
     false,
     ridge},
    {"contact_share",
     "share of a mark that a pressing length lets through",
     {{"contact", BW_DIM_LENGTH, false}, {"pitch", BW_DIM_LENGTH, false}},
     BW_DIM_RATIO,
     false,
     contact_share},
    {"splice_lag",
     "how far a splice mark lags across a width",
     {{"pitch", BW_DIM_LENGTH, false},
      {"width", BW_DIM_LENGTH, false},
      {"angle", BW_DIM_ANGLE, false},
      {"length", BW_DIM_LENGTH, false}},
     BW_DIM_LENGTH,
     false,
     splice_lag},
    {"cross_lean",
     "lean of a cross belt's marks",
     {{"feed", BW_DIM_FEED, false}, {"speed", BW_DIM_SPEED, false}},
     BW_DIM_ANGLE,
     false,
     cross_lean},
    {"beat_pitch",
     "distance between the waves of two pitches",
     {{"a", BW_DIM_LENGTH, false}, {"b", BW_DIM_LENGTH, false}},
     BW_DIM_LENGTH,
     false,
     beat_pitch},
    {NULL, NULL, {{NULL, BW_DIM_NUMBER, false}}, BW_DIM_NUMBER, false, NULL},
};
