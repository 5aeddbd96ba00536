// markup.h - text into XML and HTML.
// SPDX-License-Identifier: GPL-3.0-or-later
#ifndef BW_BASE_MARKUP_H
#define BW_BASE_MARKUP_H

#include "base/buffer.h"

// As XML 1.0 and HTML take it between tags and in double-quoted attributes: markup escaped, control
// characters as spaces, ill-formed UTF-8 replaced (U+FFFD).
void bw_markup_escape(struct bw_buffer *out, const char *text, size_t length);

#endif
