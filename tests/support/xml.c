// xml.c - see xml.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/xml.h"

#include "base/utf8.h"

#include <string.h>

#define MAX_OPEN 64
#define MAX_ATTRIBUTES 32

struct name {
    const char *at;
    size_t length;
};

struct parser {
    const char *at, *end;
    struct name open[MAX_OPEN];
    size_t depth;
    size_t roots;
};

static bool is_name(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' ||
           c == '_' || c == ':';
}

static struct name take_name(struct parser *p) {
    struct name name = {p->at, 0};
    while (p->at < p->end && is_name(*p->at)) p->at++;
    name.length = (size_t)(p->at - name.at);
    return name;
}

static bool same(struct name a, struct name b) {
    return a.length == b.length && memcmp(a.at, b.at, a.length) == 0;
}

static bool take(struct parser *p, const char *text) {
    size_t length = strlen(text);
    if ((size_t)(p->end - p->at) < length || memcmp(p->at, text, length) != 0) return false;
    p->at += length;
    return true;
}

static void skip_spaces(struct parser *p) {
    while (p->at < p->end && (*p->at == ' ' || *p->at == '\n')) p->at++;
}

// Up to `stop`, entities checked.
static bool take_text(struct parser *p, char stop) {
    static const char *const ENTITIES[] = {"&amp;", "&lt;", "&gt;", "&quot;", "&apos;"};
    while (p->at < p->end && *p->at != stop) {
        if (*p->at == '<') return false;
        bool good = *p->at != '&';
        for (size_t i = 0; i < 5 && !good; i++) good = take(p, ENTITIES[i]) && (p->at--, true);
        if (!good) return false;
        p->at++;
    }
    return true;
}

static const char *take_attributes(struct parser *p) {
    struct name names[MAX_ATTRIBUTES];
    for (size_t n = 0;; n++) {
        const char *before = p->at;
        skip_spaces(p);
        if (p->at == p->end || *p->at == '>' || *p->at == '/') return NULL;
        if (p->at == before || n == MAX_ATTRIBUTES) return before;
        names[n] = take_name(p);
        if (names[n].length == 0) return p->at;
        for (size_t i = 0; i < n; i++)
            if (same(names[i], names[n])) return names[n].at;
        if (!take(p, "=\"") || !take_text(p, '"') || !take(p, "\"")) return p->at;
    }
}

static const char *take_tag(struct parser *p) {
    const char *begin = p->at;
    if (take(p, "</")) {
        struct name name = take_name(p);
        if (p->depth == 0 || !same(name, p->open[--p->depth]) || !take(p, ">")) return begin;
        return NULL;
    }
    if (!take(p, "<")) return begin;
    struct name name = take_name(p);
    if (name.length == 0) return begin;
    if (p->depth == 0 && p->roots++ > 0) return begin;
    const char *fault = take_attributes(p);
    if (fault != NULL) return fault;
    if (take(p, "/>")) return NULL;
    if (!take(p, ">") || p->depth == MAX_OPEN) return p->at;
    p->open[p->depth++] = name;
    return NULL;
}

static const char *bad_character(const char *text, size_t length) {
    for (size_t i = 0; i < length;) {
        uint32_t code = 0;
        size_t step = bw_utf8_step(text + i, length - i, &code);
        bool bad = step == 0 || (code < 0x20 && code != '\n') || code == 0x7f || code == 0xfffe ||
                   code == 0xffff;
        if (bad) return text + i;
        i += step;
    }
    return NULL;
}

const char *xml_fault(const char *text, size_t length) {
    struct parser p = {.at = text, .end = text + length};
    const char *fault = bad_character(text, length);
    if (fault != NULL) return fault;
    while (p.at < p.end) {
        const char *begin = p.at;
        if (*p.at == '<') {
            fault = take_tag(&p);
            if (fault != NULL) return fault;
        } else if (p.depth == 0) {
            skip_spaces(&p);
            if (p.at == begin) return begin;
        } else if (!take_text(&p, '<')) {
            return p.at;
        }
    }
    return p.depth == 0 && p.roots == 1 ? NULL : p.at;
}
