// proof.c - see proof.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "study/source/proof.h"

static const char LOCK_OUT[] = "lock out power and air, release the tension, wait until drums and "
                               "belt stand still before a hand "
                               "goes in; stored pressure and coasting drums hurt too";
static const char DOORS_SHUT[] =
    "doors shut, nobody in line with the infeed, no part under the machine's shortest length";

static const struct proof PROOFS[BW_PART_COUNT] = {
    [BW_PART_SPLICE] =
        {"put another belt of the same kind on that head and change nothing else; if the mark "
         "goes, put the old belt back: a mark that returns follows the belt, one that stays "
         "is the machine's",
         LOCK_OUT},
    [BW_PART_DRUM] =
        {"dial gauge on the drum, turned by hand a full turn at left, middle and right: run-out, "
         "and "
         "whether it is one hump, two, or a flat; then feel both bearings for play and put a "
         "tape round the drum",
         LOCK_OUT},
    [BW_PART_ROLLER] =
        {"dial gauge on that roll, turned by hand a full turn; feel both bearings for play; look "
         "for dust cake and tape on its face",
         LOCK_OUT},
    [BW_PART_BEARING] =
        {"feel that bearing for play and roughness by hand; a recording at the cabinet, doors "
         "shut, before and after it is changed",
         LOCK_OUT},
    [BW_PART_MOTOR] = {"run the motor with its drive belt off, doors shut, and hear whether the "
                       "shake stays; check "
                       "mounts and pulley key while locked out",
                       LOCK_OUT},
    [BW_PART_DRIVE_BELT] =
        {"turn the drive belt by hand and look for cracks, lumps and slack; fit a new one, set "
         "of belts together, and compare a panel",
         LOCK_OUT},
    [BW_PART_BRUSH] =
        {"lift the brush clear and sand one panel; if the mark goes, look for uneven wear and "
         "balance",
         DOORS_SHUT},
    [BW_PART_MAINS] = {"listen whether the hum stays with the belts stopped and the drives on",
                       DOORS_SHUT},
    [BW_PART_OSCILLATION] =
        {"time ten strokes left and ten right through the window and compare their spacing with "
         "the bands",
         DOORS_SHUT},
    [BW_PART_BEAT] =
        {"sand a panel with one of the two heads lifted: waves of two parts go when either "
         "stops cutting",
         DOORS_SHUT},
    [BW_PART_FEED_BELT] =
        {"put a chalk mark on the feed belt's edge at its joint with the machine stopped, and see "
         "whether each mark falls where the joint passes under the head",
         DOORS_SHUT},
    [BW_PART_FEED_DRIVE] =
        {"chalk the suspected shaft or link while locked out and see whether each mark falls "
         "with it; look for worn teeth, slack chain, a loose key",
         LOCK_OUT},
    [BW_PART_HOLD_DOWN] =
        {"lift or take out that roll for one light pass on scrap; if the mark goes, look for dirt, "
         "flats and stuck springs",
         LOCK_OUT},
    [BW_PART_PLANER] = {"look at a panel before it goes into the sander, in low light: marks that "
                        "are there already "
                        "came with the wood",
                        DOORS_SHUT},
    [BW_PART_UNLISTED_TIMED] =
        {"list what turns and is not in the machine file yet (fans, pumps, brushes, a "
         "neighbour's machine on the same floor) with its speed, and ask again",
         DOORS_SHUT},
    [BW_PART_UNLISTED_PACED] =
        {"list every roll, sprocket and belt that the panel passes, before and after the heads "
         "too, with its circumference, and ask again",
         DOORS_SHUT},
};

struct proof proof_of(enum bw_part part) {
    return PROOFS[part];
}
