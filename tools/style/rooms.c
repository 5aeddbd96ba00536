// rooms.c - who may include whom, where a library is known, where studies are not named.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "style.h"

#include <ctype.h>
#include <string.h>

// From the ground up: a room uses itself and the rooms before it.
static const char *const ROOMS[] = {"base",   "numeric", "trade", "machine", "read", "study",
                                    "reason", "job",     "store", "report",  "cli",  "web"};
#define ROOM_COUNT ((int)(sizeof ROOMS / sizeof *ROOMS))

// Within src/, a library is known in one place.
static const struct {
    const char *header, *within;
} LIBRARIES[] = {
    {"libfyaml.h", "src/base/yaml.c"},
    {"jansson.h", "src/base/json"},
    {"fftw3.h", "src/numeric/"},
    {"gsl/", "src/numeric/"},
    {"klu.h", "src/numeric/"},
    {"seccomp.h", "src/read/"},
    {"jpeglib.h", "src/read/picture/"},
    {"png.h", "src/read/picture/"},
    {"tiffio.h", "src/read/picture/"},
    {"libheif/", "src/read/picture/"},
    {"sndfile.h", "src/read/sound/"},
    {"sqlite3.h", "src/store/"},
    {"libpq-fe.h", "src/store/"},
    {"cairo", "src/report/"},
    {"pango/", "src/report/"},
    {"microhttpd.h", "src/web/"},
};

// The room a path such as "base/err.h" lies in; -1: none.
static int room_of(const char *path, size_t length) {
    for (int i = 0; i < ROOM_COUNT; i++) {
        size_t size = strlen(ROOMS[i]);
        if (length > size && path[size] == '/' && memcmp(path, ROOMS[i], size) == 0) return i;
    }
    return -1;
}

// The study a path such as "study/rates/rates.h" lies in, or NULL.
static const char *study_of(const struct style *style, const char *path, size_t length) {
    static const char FOLDER[] = "study/";
    size_t size = strlen(FOLDER);
    if (length < size || memcmp(path, FOLDER, size) != 0) return NULL;
    for (size_t i = 0; i < style->study_count; i++) {
        const char *name = style->studies[i];
        size_t end = size + strlen(name);
        if (length > end && path[end] == '/' && memcmp(path + size, name, strlen(name)) == 0)
            return name;
    }
    return NULL;
}

static void check_own_include(struct style *style, const struct source *source, int line,
                              const char *included, size_t length) {
    if (memchr(included, '/', length) == NULL) return;  // beside the file itself
    const char *inside = source->path + strlen("src/");
    int from = room_of(inside, strlen(inside)), to = room_of(included, length);
    const char *own = study_of(style, inside, strlen(inside));
    const char *other = study_of(style, included, length);
    if (to < 0 && !path_within(included, "beltwright/"))
        fault(style, line, "include", NULL, "\"%.*s\" lies in no room", (int)length,
              included);
    else if (from >= 0 && to > from)
        fault(style, line, "include", NULL, "%s/ may not use %s/, which stands above it",
              ROOMS[from], ROOMS[to]);
    else if (own != NULL && other != NULL && own != other)
        fault(style, line, "include", NULL, "study %s may not use study %s", own, other);
}

static void check_library(struct style *style, const struct source *source, int line,
                          const char *included) {
    for (size_t i = 0; i < sizeof LIBRARIES / sizeof *LIBRARIES; i++)
        if (path_within(included, LIBRARIES[i].header) &&
            !path_within(source->path, LIBRARIES[i].within))
            fault(style, line, "include", LIBRARIES[i].header, "%s belongs to %s alone",
                  LIBRARIES[i].header, LIBRARIES[i].within);
}

static bool names_study(const struct token *token, const char *study) {
    char forms[4][MAX_NAME + 32];
    (void)snprintf(forms[0], sizeof forms[0], "bw_%s", study);
    (void)snprintf(forms[1], sizeof forms[1], "bw_%s_", study);
    (void)snprintf(forms[2], sizeof forms[2], "bw_study_%s", study);
    (void)snprintf(forms[3], sizeof forms[3], "beltwright %s", study);
    if (token->kind == TOKEN_WORD)
        return token_is(token, forms[0]) || token_is(token, forms[2]) ||
               (token->length > strlen(forms[1]) && path_within(token->text, forms[1]));
    if (token->kind != TOKEN_STRING) return false;
    if (token->length == strlen(study) && memcmp(token->text, study, token->length) == 0)
        return true;
    for (size_t i = 0, n = strlen(forms[3]); i + n <= token->length; i++) {
        bool whole = i + n == token->length || !isalnum((unsigned char)token->text[i + n]);
        if (whole && path_within(token->text + i, forms[3])) return true;
    }
    return false;
}

// cli/ and web/ show whatever the registry holds.
static void check_study_names(struct style *style, const struct source *source) {
    if (!path_within(source->path, "src/cli/") && !path_within(source->path, "src/web/")) return;
    for (size_t i = 0; i < source->token_count; i++)
        for (size_t k = 0; k < style->study_count; k++)
            if (names_study(&source->tokens[i], style->studies[k]))
                fault(style, source->tokens[i].line, "study-name", style->studies[k],
                      "names the study %s; ask the registry", style->studies[k]);
}

void check_rooms(struct style *style, const struct source *source) {
    if (!path_within(source->path, "src/")) return;
    for (size_t i = 1; i + 1 < source->token_count; i++) {
        const struct token *token = &source->tokens[i], *next = token + 1;
        if (!token->directive || !token_is(token, "include") || !token_is(token - 1, "#")) continue;
        if (next->kind == TOKEN_STRING)
            check_own_include(style, source, token->line, next->text, next->length);
        else if (token_is(next, "<"))
            check_library(style, source, token->line, next->text + 1);
    }
    check_study_names(style, source);
}
