// place.c - see place.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/place.h"

#include "base/utf8.h"

#include <string.h>

static bool is_break(char c) { return c == '\n' || c == '\r'; }

struct bw_place bw_place_begin(const char *file, const char *bytes, size_t length) {
    static const char MARK[] = "\xef\xbb\xbf";
    size_t skip = length >= 3 && memcmp(bytes, MARK, 3) == 0 ? 3 : 0;
    return (struct bw_place){
        .file = file, .text = bytes + skip, .length = length - skip, .line = 1, .column = 1};
}

void bw_place_move(struct bw_place *place, size_t offset) {
    if (offset < place->offset) {
        place->offset = 0;
        place->line = place->column = 1;
    }
    while (place->offset < offset) {
        const char *at = place->text + place->offset;
        size_t left = place->length - place->offset;
        uint32_t code;
        size_t step = bw_utf8_step(at, left, &code);
        bool half_a_break = at[0] == '\r' && left > 1 && at[1] == '\n';
        place->offset += step == 0 ? 1 : step;
        place->column++;
        if (is_break(at[0]) && !half_a_break) {
            place->line++;
            place->column = 1;
        }
    }
}

size_t bw_place_line_begin(const struct bw_place *place, size_t offset) {
    while (offset > 0 && !is_break(place->text[offset - 1])) offset--;
    return offset;
}

size_t bw_place_line_end(const struct bw_place *place, size_t offset) {
    while (offset < place->length && !is_break(place->text[offset])) offset++;
    return offset;
}

bool bw_place_blame(struct bw_place *place, size_t offset, struct bw_err *err) {
    bw_place_move(place, offset);
    size_t begin = bw_place_line_begin(place, offset);
    size_t end = bw_place_line_end(place, offset);
    bw_err_file(err, place->file);
    bw_err_place(err, place->line, place->column);
    // A caret far to the right of a cut line would point at nothing, and errors are valid UTF-8.
    bool shown = offset - begin < BW_MAX_ERROR_FIELD / 2;
    if (shown && bw_utf8_valid(place->text + begin, end - begin))
        bw_err_excerpt(err, place->text + begin, end - begin);
    return false;
}

static bool check(size_t step, uint32_t code, struct bw_err *err) {
    if (step == 0) {
        bw_err_mend(err, "save the file as UTF-8");
        return bw_fail(err, BW_SYNTAX, "this is not UTF-8 text");
    }
    if (code == 0) {
        bw_err_mend(err, "save the file as UTF-8 text");
        return bw_fail(err, BW_SYNTAX, "a NUL byte in the text");
    }
    if ((code < 0x20 && code != '\t' && code != '\n' && code != '\r') || code == 0x7f) {
        bw_err_mend(err, "remove it");
        return bw_fail(err, BW_SYNTAX, "a control character (U+%04X) in the text", (unsigned)code);
    }
    if (code == 0xfeff) {
        bw_err_mend(err, "remove it; most editors do not show it");
        return bw_fail(err, BW_SYNTAX, "a byte order mark inside the text");
    }
    return true;
}

bool bw_place_check_text(struct bw_place *place, struct bw_err *err) {
    for (size_t i = 0; i < place->length;) {
        uint32_t code = 0;
        size_t step = bw_utf8_step(place->text + i, place->length - i, &code);
        if (!check(step, code, err)) return bw_place_blame(place, i, err);
        i += step;
    }
    return true;
}
