// belting.h - what a sanding belt is made of: backings, joints, coats, minerals.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_TRADE_BELTING_H
#define BW_TRADE_BELTING_H

#include "trade/table.h"

enum bw_backing_material { BW_PAPER, BW_CLOTH, BW_POLYESTER, BW_FILM };

struct bw_backing {
    const char *name, *coarsest, *finest, *use;  // grits as printed
    int material;                                // enum bw_backing_material
    struct bw_quantity lightest, heaviest;       // kg/m2
    struct bw_trade_origin origin;
};
struct bw_joint_kind {
    const char *name, *use, *avoid;
    int directional;          // 1: only the way of its arrow
    struct bw_quantity step;  // m, thicker than the belt by
    struct bw_trade_origin origin;
};
struct bw_coat {
    const char *name, *use;
    struct bw_quantity least, full;  // share of the face covered
    struct bw_trade_origin origin;
};
struct bw_mineral {
    const char *name, *breaks, *use;
    struct bw_trade_origin origin;
};

extern const struct bw_trade_carried bw_backings_carried, bw_joints_carried, bw_coats_carried,
    bw_minerals_carried;

#endif
