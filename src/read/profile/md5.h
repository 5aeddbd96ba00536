// md5.h - MD5 (RFC 1321), which X3P files carry against damage; it guards against nobody.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_READ_PROFILE_MD5_H
#define BW_READ_PROFILE_MD5_H

#include <stddef.h>
#include <stdint.h>

void md5(const unsigned char *bytes, size_t length, unsigned char out[16]);

#endif
