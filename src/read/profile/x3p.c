// x3p.c - placeholder during building
// SPDX-License-Identifier: GPL-3.0-or-later
#include "read/profile/store.h"
bool read_smd(struct input in, struct store *store, struct bw_err *err) {
    (void)in;
    (void)store;
    return bw_fail(err, BW_UNSUPPORTED, "SMD is not read yet");
}
bool read_sdf_text(struct input in, struct store *store, struct bw_err *err) {
    (void)in;
    (void)store;
    return bw_fail(err, BW_UNSUPPORTED, "SDF is not read yet");
}
bool read_sdf_binary(struct input in, struct store *store, struct bw_err *err) {
    (void)in;
    (void)store;
    return bw_fail(err, BW_UNSUPPORTED, "SDF is not read yet");
}
bool read_x3p(struct input in, struct store *store, struct bw_err *err) {
    (void)in;
    (void)store;
    return bw_fail(err, BW_UNSUPPORTED, "X3P is not read yet");
}
