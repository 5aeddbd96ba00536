// machine.h - the machine file: one sander as its technician would describe it.
// SPDX-License-Identifier: GPL-3.0-or-later
//
// Every value may be unknown; what that costs is said where it matters. docs/machine-file.md is
// the reader's version of these records, the field tables in machine.c are the only place they
// are defined.
#ifndef BW_MACHINE_MACHINE_H
#define BW_MACHINE_MACHINE_H

#include "base/field.h"

#define BW_MACHINE_SHAPE "machine/1"
#define BW_MAX_HEADS 12   // the longest panel lines have ten
#define BW_MAX_ROLLERS 8  // per head; three is common
#define BW_MAX_PACED 24   // shafts of the feed drive, hold-downs, outfeed rolls

enum bw_contact {
    BW_STEEL_DRUM,
    BW_RUBBER_DRUM,
    BW_PLATEN,
    BW_SECTIONAL_PLATEN,
    BW_COMBINATION,  // a drum and a platen under one belt
    BW_BRUSH,        // no belt: a brush roller on its own shaft
    BW_CROSS_BELT    // the belt runs across the feed, pressed by a beam
};
enum bw_direction { BW_AGAINST_FEED, BW_WITH_FEED };
enum bw_joint { BW_JOINT_OVERLAP, BW_JOINT_BUTT, BW_JOINT_WAVY, BW_JOINT_SEGMENTED };
enum bw_role { BW_ROLE_TENSION, BW_ROLE_IDLER, BW_ROLE_DRIVE };
enum bw_yes_no { BW_NO, BW_YES };
enum bw_along { BW_INFEED, BW_BETWEEN, BW_OUTFEED };

struct bw_belt {
    struct bw_quantity length, width, thickness;  // m
    struct bw_quantity speed;                     // m/s
    struct bw_quantity joint_angle;               // rad, lean of the joint from square across
    long splices;                                 // per turn of the belt
    int joint;
    const char *grit;  // "P80"
};
struct bw_drum {
    struct bw_quantity diameter, circumference;  // m; the circumference by tape beats the diameter
    struct bw_quantity hardness;                 // Shore A
    struct bw_quantity contact;                  // m, length of contact along the feed
    const char *bearing, *measured_on;
};
struct bw_platen {
    struct bw_quantity contact;        // m, length along the feed
    struct bw_quantity section_pitch;  // m, across, for sectional platens
    const char *cover;
};
struct bw_roller {
    const char *name, *bearing;
    struct bw_quantity diameter, circumference;
    int role;
    int shaft_fixed;  // yes: the outer ring turns
};
struct bw_motor {
    struct bw_quantity power;                  // W
    struct bw_quantity speed;                  // Hz (plates say rpm)
    struct bw_quantity pulley, driven_pulley;  // m, effective diameters
    int direct;                                // yes: coupled without pulleys
    struct bw_quantity drive_belt;             // m, length of the drive belt
    const char *bearing;
    int drives_drum;  // yes: the contact drum; no: another roll of the head
};
struct bw_port {
    const char *name;
    struct bw_quantity diameter;  // m
    struct bw_quantity flow;      // m3/s, least flow on the machine's plate
};
struct bw_head {
    const char *name;
    int contact, direction;
    const struct bw_belt *belt;
    const struct bw_drum *drum;
    const struct bw_platen *platen;
    const struct bw_motor *motor;
    struct bw_list rollers;          // struct bw_roller
    struct bw_list ports;            // struct bw_port
    struct bw_quantity oscillation;  // Hz, whole cycles (left and back)
    struct bw_quantity brush_speed;  // Hz, of a brush roller
};
// Anything that repeats per length of panel travel.
struct bw_paced {
    const char *name;
    struct bw_quantity pitch;     // m of travel per event; or:
    struct bw_quantity diameter;  // m, of a roll that the panel or the feed belt turns
    long teeth;  // a sprocket: the pitch is that of one tooth if given with diameter
    int place;
};
struct bw_conveyor {
    struct bw_quantity belt_length;  // m
    struct bw_list parts;  // struct bw_paced: shafts, sprockets, chains, rolls of the feed drive
};
struct bw_planer {
    const char *name;
    struct bw_quantity feed, speed;     // m/s, Hz
    struct bw_quantity cutting_circle;  // m, diameter
    long knives, showing;               // fitted; that leave a mark (1: one high knife)
};
struct bw_machine {
    const char *name, *note;
    struct bw_quantity supply;        // Hz, mains at the site
    struct bw_quantity plate_supply;  // Hz, mains the plates were written for
    struct bw_quantity width;         // m, working width
    struct bw_quantity feed_min, feed_max;
    struct bw_quantity shortest_part;
    struct bw_list heads;  // struct bw_head, in feed order
    const struct bw_conveyor *conveyor;
    struct bw_list hold_downs;  // struct bw_paced
    const struct bw_planer *planer;
};

extern const struct bw_record bw_machine_record;
extern const struct bw_file_kind bw_machine_file;

// Ways of measuring and what they are worth (trade practice). Each list ends with a NULL name.
extern const struct bw_way bw_feed_ways[], bw_belt_speed_ways[], bw_diameter_ways[],
    bw_circumference_ways[], bw_belt_length_ways[], bw_pitch_ways[], bw_rate_ways[],
    bw_turns_ways[], bw_strokes_ways[];

// Head `index`'s name as people say it: "head 2", with its own name where it has one: "head 2
// (finish)".
const char *bw_head_name(struct bw_arena *arena, const struct bw_machine *machine, size_t index);
const char *bw_contact_word(int contact);
static inline const struct bw_head *bw_machine_head(const struct bw_machine *machine,
                                                    size_t index) {
    return (const struct bw_head *)machine->heads.items + index;
}

#endif
