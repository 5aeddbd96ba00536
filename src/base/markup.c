// markup.c - see markup.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/markup.h"

#include "base/utf8.h"

void bw_markup_escape(struct bw_buffer *out, const char *text, size_t length) {
    for (size_t i = 0; i < length;) {
        uint32_t code = 0;
        size_t step = bw_utf8_step(text + i, length - i, &code);
        bool forbidden = step == 0 || code == 0xfffe || code == 0xffff;  // XML 1.0, 2.2
        if (forbidden)
            bw_buffer_text(out, "\xef\xbf\xbd");
        else if (code == '&')
            bw_buffer_text(out, "&amp;");
        else if (code == '<')
            bw_buffer_text(out, "&lt;");
        else if (code == '>')
            bw_buffer_text(out, "&gt;");
        else if (code == '"')
            bw_buffer_text(out, "&quot;");
        else if (code < 0x20 || code == 0x7f)
            bw_buffer_char(out, ' ');
        else
            bw_buffer_add(out, text + i, step);
        i += step == 0 ? 1 : step;
    }
}
